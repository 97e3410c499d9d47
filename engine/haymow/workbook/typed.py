"""What a typed cell says: a number, a date or a text, and what was doubtful about it."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass

from ..problems import InputError
from ..ranch import Cell
from ..units import parse, unit_of
from .opened import Opened, Raw

__all__ = ["Asked", "Said", "value_of"]

FIRST_DAY, LAST_DAY = dt.date(2000, 1, 1), dt.date(2100, 1, 1)
_QUOTED = re.compile(r'"[^"]*"|\\.|_.')  # literal text in a number format
OUT = "It was left out."


@dataclass(frozen=True)
class Asked:
    """What is expected in a cell: its label, kind (``Entry.what``), glossary name and unit."""

    label: str
    what: str
    quantity: str = ""
    unit: str = ""
    us: bool = True


@dataclass(frozen=True)
class Said:
    """What was doubtful in a cell, how grave it is (``Problem.severity``), and what to do."""

    what: str
    severity: str = "look"
    do: str = ""


def value_of(opened: Opened, raw: Raw, asked: Asked, where: str) -> tuple[Cell, list[Said]]:
    """The value of a cell as the engine takes it, None where it cannot be said, and the doubts."""
    if raw.kind != "f":
        return _plain(opened, raw, asked)
    result = opened.result(where)
    if result.blank:
        return None, [Said(
            f"{asked.label} holds a formula without a stored result. {OUT}", "stop",
            "Open the workbook in a spreadsheet program, save it, and try again.")]
    value, said = _plain(opened, result, asked)
    if value is None:
        return value, said
    told = f"{asked.label} holds a formula; its result {_shown(value)} was taken."
    return value, [Said(told, "note", "A rebuilt workbook holds the result."), *said]


def _plain(opened: Opened, raw: Raw, asked: Asked) -> tuple[Cell, list[Said]]:
    if raw.kind == "e":
        return _left_out(asked, f"holds the error {raw.value}")
    if raw.kind == "b":
        return _left_out(asked, f"is {str(raw.value).upper()}")
    if asked.what == "date":
        return _date(opened, raw, asked)
    return _number(raw, asked) if asked.what == "number" else _text(raw, asked)


def _left_out(asked: Asked, holds: str) -> tuple[Cell, list[Said]]:
    unit = f"{',' if asked.unit[:1].isdigit() else ' in'} {asked.unit}" if asked.unit else ""
    wanted = {"date": "a date", "text": "text", "choice": "a word of its list"}.get(
        asked.what, f"a number{unit}")
    return None, [Said(f"{asked.label} {holds}; expected {wanted}. {OUT}", "stop",
                       f"Type {wanted} there.")]


def _number(raw: Raw, asked: Asked) -> tuple[Cell, list[Said]]:
    if isinstance(raw.value, int | float):
        if "%" not in _QUOTED.sub("", raw.form):
            return float(raw.value), []
        value = round(raw.value * 100, 10)
        return value, [Said(f"{asked.label} is formatted as a percentage and holds {raw.value:g};"
                            f" it was read as {value:g}.", "look", "Type the plain number there.")]
    if isinstance(raw.value, str):
        number = _number_in(raw.value, asked)
        if number is None:
            return _left_out(asked, f"is '{raw.value}'")
        return number, [Said(f"{asked.label} holds the text '{raw.value}'; it was read as the"
                             f" number {number:g}.", "look", "Type it as a number.")]
    return _left_out(asked, f"holds the date or time {raw.value}")


def _number_in(text: str, asked: Asked) -> float | None:
    """The number that a text is, in the workbook's unit; one with another unit is converted."""
    try:
        return parse("", text)
    except InputError:
        pass
    name = asked.quantity or ("_pct" if asked.unit.startswith("%") else "")
    try:
        return parse(name, text) / unit_of(name).si_per_edge(asked.us)
    except InputError:
        return None


def _date(opened: Opened, raw: Raw, asked: Asked) -> tuple[Cell, list[Said]]:
    if isinstance(raw.value, dt.datetime):
        return raw.value.date(), []
    if isinstance(raw.value, dt.date):
        return raw.value, []
    day = _day_in(opened, raw)
    if day is None:
        return _left_out(asked, f"is '{raw.value}'")
    return day, [Said(f"{asked.label} holds {raw.value!r}, not a date; it was read as"
                      f" {_shown(day)}.", "look", "Type it as a date.")]


def _day_in(opened: Opened, raw: Raw) -> dt.date | None:
    """A date from a bare day number, or from text that can be read in one way only."""
    try:
        if isinstance(raw.value, str):
            return dt.date.fromisoformat(raw.value.strip())
        if isinstance(raw.value, int | float):
            day = opened.day(raw.value)
            return day if FIRST_DAY <= day < LAST_DAY else None
    except (ValueError, OverflowError):
        pass
    return None


def _text(raw: Raw, asked: Asked) -> tuple[Cell, list[Said]]:
    if isinstance(raw.value, str):
        return raw.value, []
    if isinstance(raw.value, int | float):
        text = f"{raw.value:.15g}"
        return text, [Said(f"{asked.label} holds the number {text}, not text; zeros before it, if"
                           " there were any, are lost.", "look", "Type ' before it.")]
    if isinstance(raw.value, dt.date):
        text = f"{raw.value:%Y-%m-%d}"
        return text, [Said(f"{asked.label} holds a date, read as the text {text}; it may have been"
                           f" {raw.value.month}-{raw.value.day}.", "look", "Type ' before it.")]
    return _left_out(asked, f"holds {raw.value}")


def _shown(value: Cell) -> str:
    if isinstance(value, dt.date):
        return f"{value:%b} {value.day}, {value.year}"
    return f"{value:g}" if isinstance(value, float) else str(value)
