"""Dates in a report: read only where day and month cannot be mixed up."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable

from .grids import Cell
from .words import clean

__all__ = ["date_orders", "read_date"]

FIRST, LAST = dt.date(1990, 1, 1), dt.date(2100, 1, 1)  # outside: another calendar or a typing slip
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_NUMERIC = re.compile(r"(\d{1,2})([/.-])(\d{1,2})\2(\d{4}|\d{2})(?: .*|,.*)?")
_ISO = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:[t ].*)?")
_DAY_MONTH = re.compile(r"(\d{1,2})[ -/.]*([a-z]{3,9})\.?[ ,-/.]+(\d{4}|\d{2})(?: .*)?")
_MONTH_DAY = re.compile(r"([a-z]{3,9})\.?[ -/.]*(\d{1,2})(?:st|nd|rd|th)?[ ,-/]+(\d{4}|\d{2})(?: "
                        r".*)?")


def date_orders(texts: Iterable[str], told: str = "") -> dict[str, str]:
    """For each mark between numbers (``/ - .``), ``mdy`` or ``dmy`` if the dates of a file show it.

    A mark that shows both, or neither, is left out, unless ``told`` says the order.

    >>> date_orders(["6/30/2026", "7/1/2026", "07-01-2026"])
    {'/': 'mdy'}
    """
    shown: dict[str, set[str]] = {}
    for text in texts:
        match = _NUMERIC.fullmatch(clean(text))
        if match:
            first, second = int(match[1]), int(match[3])
            seen = shown.setdefault(match[2], set())
            seen |= {"mdy"} if second > 12 >= first else {"dmy"} if first > 12 >= second else set()
    orders = {mark: next(iter(seen)) for mark, seen in shown.items() if len(seen) == 1}
    return {mark: orders.get(mark, told) for mark in shown if mark in orders or (
        told and not shown[mark])}


def read_date(cell: Cell, orders: dict[str, str]) -> tuple[dt.date | None, str]:
    """(date, "") or (None, what is doubtful); (None, "") for an empty cell."""
    if cell.blank or clean(cell.text) in ("na", "n/a", "-", "--", "none"):
        return None, ""
    if cell.typed_date is not None:
        return _checked(cell.typed_date.year, cell.typed_date.month, cell.typed_date.day, cell.text)
    text = clean(cell.text)
    if match := _ISO.fullmatch(text):
        return _checked(int(match[1]), int(match[2]), int(match[3]), cell.text)
    for pattern, day_at, month_at in ((_DAY_MONTH, 1, 2), (_MONTH_DAY, 2, 1)):
        match = pattern.fullmatch(text)
        if match and match[month_at][:3] in _MONTHS:
            month = _MONTHS.index(match[month_at][:3]) + 1
            return _checked(_year(match[3]), month, int(match[day_at]), cell.text)
    if match := _NUMERIC.fullmatch(text):
        return _numeric(match, orders, cell.text)
    return None, f"'{cell.text}' is not a date"


def _numeric(match: re.Match[str], orders: dict[str, str], text: str) -> tuple[dt.date | None, str]:
    first, second, year = int(match[1]), int(match[3]), _year(match[4])
    order = orders.get(match[2], "")
    if first == second or first > 12 or second > 12:  # only one reading is possible
        month, day = (second, first) if first > 12 else (first, second)
        return _checked(year, month, day, text)
    if not order:
        return None, (f"'{text}' may be {_MONTHS[first - 1].title()} {second} or "
                      f"{_MONTHS[second - 1].title()} {first}, {year}")
    month, day = (first, second) if order == "mdy" else (second, first)
    return _checked(year, month, day, text)


def _year(text: str) -> int:
    return int(text) + (2000 if len(text) == 2 else 0)


def _checked(year: int, month: int, day: int, text: str) -> tuple[dt.date | None, str]:
    try:
        date = dt.date(year, month, day)
    except ValueError:
        return None, f"'{text}' is not a date of the calendar"
    if not FIRST <= date <= LAST:
        return None, f"{date} is outside of {FIRST.year} to {LAST.year}"
    return date, ""
