"""The glossary: every quantity with its label, meaning, plausible range and format."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from .problems import InputError, within
from .units import Unit, unit_of

__all__ = ["Quantity", "checked_value", "glossary", "quantity"]


@dataclass(frozen=True)
class Quantity:
    """One line of the glossary; ``low`` and ``high`` are plausible limits in the engine's unit."""

    name: str
    label: str
    meaning: str
    low: float
    high: float
    format: str

    @property
    def unit(self) -> Unit:
        """The unit that the name carries."""
        return unit_of(self.name)

    def heading(self, us: bool) -> str:
        """Label and unit as a column header shows them."""
        unit = self.unit.shown(us)
        return f"{self.label}, {unit}" if unit and unit != "date" else self.label


@cache
def glossary() -> dict[str, Quantity]:
    """All quantities by name, from ``data/quantities.csv``."""
    text = files("haymow").joinpath("data/quantities.csv").read_text("utf-8")
    found: dict[str, Quantity] = {}
    for row in csv.DictReader(text.splitlines()):
        low, high = (float(row[end]) if row[end] else sign * float("inf")
                     for end, sign in (("low", -1), ("high", 1)))
        if row["name"] in found:
            raise ValueError(f"quantities.csv names {row['name']} twice")
        found[row["name"]] = Quantity(row["name"], row["label"], row["meaning"], low, high,
                                      row["format"] or "0.0")
    return found


def quantity(name: str) -> Quantity:
    """The glossary's line for ``name``; InputError for a name that is not in it."""
    if name in glossary():
        return glossary()[name]
    raise InputError(f"{name} is not a quantity of the handbook; 'haymow calc --list' lists all.")


def checked_value(name: str, value: float) -> float:
    """``value`` if it is plausible for the quantity; else InputError with what was expected."""
    line = quantity(name)
    return within(line.label, value, line.low, line.high, line.unit.si)
