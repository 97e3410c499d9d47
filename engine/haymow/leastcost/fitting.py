"""The cheapest season that a workbook has feeding lines for."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from ..problems import InputError
from ..ranch import Ranch
from .choices import MOST_LINES, lines_needed
from .result import LeastCost
from .search import least_cost
from .wishes import Wishes

__all__ = ["fitting"]


def fitting(ranch: Ranch, wishes: Wishes, tell: Callable[[str], None] = lambda what: None,
            lines: int = MOST_LINES) -> LeastCost:
    """Find the cheapest season of no more products a group than there are feeding lines.

    Raises InputError where lines of products to keep take up all of them, or as `least_cost` does.
    """
    result = least_cost(ranch, wishes, tell)
    if lines_needed(result) <= lines:
        return result
    kept = lines_needed(result, kept_only=True)
    free = lines - kept
    if free < 1:
        raise InputError(
            f"Lines that stay as they are take up all {lines} feeding lines of a group; make more"
            f" with 'haymow rebuild --lines {kept + 1}'.")
    most = free if wishes.most_per_group is None else min(free, wishes.most_per_group)
    return least_cost(ranch, replace(wishes, most_per_group=most), tell)
