"""What can be wrong with something a user gave: one error type, one record."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["InputError", "Problem", "within"]


class InputError(ValueError):
    """A value the user can correct. The message is one sentence the user can act on."""


@dataclass(frozen=True)
class Problem:
    """Something found wrong: where, what, and what to do. ``severity`` is stop, look or note."""

    where: str
    what: str
    severity: str = "look"
    do: str = ""

    def __str__(self) -> str:
        return f"{self.where}: {self.what}" + (f" {self.do}" if self.do else "")


def within(name: str, value: float, low: float, high: float, unit: str) -> float:
    """Return ``value`` if it is a number from ``low`` to ``high``; else raise InputError."""
    if low <= value <= high:  # false for NaN, so a blank lab cell fails here too
        return value
    raise InputError(f"{name} is {value:g} {unit}; expected {low:g} to {high:g} {unit}.")
