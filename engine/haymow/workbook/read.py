"""Read back what people typed into a workbook, wherever it stands now.

Only typed cells and the constant numbers of rows are read; what formulas show never is. Whatever
could not be placed or understood becomes a `Problem` with its cell.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from .. import __version__
from ..problems import InputError, Problem
from ..ranch import Cell, Ranch
from ..tables import Setting, Table
from ..tables.make import make
from . import doubts, leftovers, sizes
from .opened import Opened
from .places import Placed, Row, entry_names, is_list, label_and_unit, locate
from .typed import Asked, value_of

__all__ = ["Reading", "problems", "read"]

OLDEST = (0, 1)  # the first version whose workbooks can be read


@dataclass(frozen=True)
class Reading:
    """What a workbook holds: the ranch, what was doubtful, and who made it for which first month.

    ``places`` says where each entry stands, (table, row number, column) -> "Herd!C9".
    """

    ranch: Ranch
    problems: tuple[Problem, ...]
    version: str
    choices_for: dt.date | None
    places: Mapping[tuple[str, int, str], str]


def read(path: Path) -> Reading:
    """Read a workbook that Haymow made, however it was changed since.

    Raises
    ------
    InputError
        It is missing, no workbook, not one of ours, locked, damaged, or made by a version that
        this one cannot read.
    """
    opened = Opened(path)
    _check_ours(opened)
    return _Reader(opened).read()


def problems(path: Path) -> list[Problem]:
    """All that needs a look: doubts in reading, then what the plan finds missing or held back."""
    from ..plan import plan

    reading = read(path)
    return [*reading.problems, *plan(reading.ranch, reading.places).problems]


def _check_ours(opened: Opened) -> None:
    name = opened.path.name
    if not any(area is not None for key, area in opened.names.items()
               if key.startswith(("Herd_", "Plan_", "Samples_", "Forages_"))):
        if opened.empty:
            raise InputError(f"{name} is an empty workbook; 'haymow new' makes one to fill in.")
        raise InputError(f"{name} was not made by Haymow (it has no tables such as Herd and Plan);"
                         " 'haymow new' makes one to fill in.")
    version = _version(opened)
    known = tuple(int(part) for part in version.split(".")[:2] if part.isdigit())
    own = tuple(int(part) for part in __version__.split(".")[:2])
    if known > own:
        raise InputError(f"{name} was made by Haymow {version}, which is newer than this one"
                         f" ({__version__}); install the newer version to read it.")
    if known and known < OLDEST:
        raise InputError(f"{name} was made by Haymow {version}, which is too old to be read; make a"
                         " new workbook with 'haymow new' and copy the entries over.")


def _version(opened: Opened) -> str:
    raw, _ = opened.cell("made_by_version")
    return str(raw.value or opened.version or "")


class _Reader:
    """One reading: a book of the workbook's size, then table after table."""

    def __init__(self, opened: Opened) -> None:
        self.opened = opened
        self.problems: list[Problem] = []
        self.entries: dict[str, dict[int, dict[str, Cell]]] = {}
        self.places: dict[tuple[str, int, str], str] = {}
        self.us = sizes.is_us(opened, self.problems)
        self.book = make(Ranch(sizes=sizes.told(opened), us=self.us))
        self.placed: dict[str, Placed] = {}

    def read(self) -> Reading:
        self._locate()
        found = sizes.of(self.opened, self.placed, self.problems)
        self.book = make(Ranch(sizes=found, us=self.us))
        self.problems += self._locate()
        settings = self._settings()
        loose = [(placed, row) for placed in self.placed.values()
                 for row in self._table(placed)]
        for placed, row in loose:
            self._loose(placed, row)
        ranch = Ranch(self.entries, settings, sizes.grown(self.book, found, self.entries), self.us)
        choices_for = self._choices_for(settings.get("first_month"))
        ours = _version(self.opened) == __version__
        more = [*doubts.found(self.book, ranch, self.places),
                *leftovers.found(self.opened, self.book, list(self.placed.values()), ours)]
        return Reading(ranch, (*self.problems, *more), _version(self.opened), choices_for,
                       self.places)

    def _locate(self) -> list[Problem]:
        """Find the tables with entries; what is wrong with them."""
        problems = []
        for table in self.book.tables.values():
            placed = locate(self.opened, self.book, table) if table.entries else None
            if placed is not None:
                self.placed[table.name] = placed
                problems += placed.problems
            elif table.entries:
                problems.append(Problem(
                    table.sheet, f"The sheet {table.sheet} is not there any more; nothing was read"
                    " from it.", "stop", "Take your last backup if you need its entries."))
        return problems

    def _settings(self) -> dict[str, Cell]:
        found: dict[str, Cell] = {}
        for line in self.book.settings.values():
            if line.typed:
                value = self._setting(line)
                if value is not None and value != line.value:
                    found[line.name] = value
        return found

    def _setting(self, line: Setting) -> Cell:
        raw, where = self.opened.cell(line.name)
        usual = f"{line.value:g}" if isinstance(line.value, float) else line.value
        default = "" if usual is None else f"; the usual value {usual} is taken"
        if not where:
            self.problems.append(Problem("Start", f"The setting '{line.label}' is not there any"
                                         f" more{default}.", "look", "'haymow rebuild' brings it"
                                         " back."))
            return None
        if raw.blank:
            if default:
                self.problems.append(Problem(where, f"{line.label} is blank{default}."))
            return None
        value = self._value(raw, Asked(line.label, line.what, unit=line.unit, us=self.us), where)
        if isinstance(value, float) and not line.low <= value <= line.high:
            self.problems.append(Problem(
                where, f"{line.label} is {value:g} {line.unit}; expected {line.low:g} to"
                f" {line.high:g}.", "look", "Correct it, or leave it if it is meant."))
        return value

    def _value(self, raw: Any, asked: Asked, where: str) -> Cell:
        value, said = value_of(self.opened, raw, asked, where)
        self.problems += [Problem(where, each.what, each.severity, each.do) for each in said]
        return value

    def _table(self, placed: Placed) -> list[Row]:
        """Read a table's rows; return those that have no number of their own."""
        asked = self._asked(placed.table)
        loose, seen = [], dict[int, int]()
        for row in placed.rows():
            number = self._number(placed, row, seen)
            if number is not None:
                seen[number] = row.row
            if not row.typed:
                continue
            if number is None:
                loose.append(row)
            elif number in placed.table.fixed:
                loose += self._fixed(placed, row, number)
            else:
                self._row(placed, row, number, asked)
        return loose

    def _asked(self, table: Table) -> dict[str, Asked]:
        found = {}
        for column in table.entries:
            for member, name in entry_names(self.book, column):
                label, unit = label_and_unit(self.book, column, member)
                quantity = column.quantity or ("" if column.over else column.name)
                found[name] = Asked(label, column.what, quantity, unit, self.us)
        return found

    def _number(self, placed: Placed, row: Row, seen: Mapping[int, int]) -> int | None:
        """The row's own number, if it can be trusted; else None, and a problem where it matters."""
        table, number = placed.table, row.number
        rows = sizes.MOST_ROWS if is_list(table) else self.book.rows(table)
        wrong = ""
        if number is None:
            wrong = "has no number"
        elif number in seen:
            wrong = f"has the number {number}, as row {seen[number]} has"
        elif number > rows or not sizes.agrees(self.book, placed, row.row, number):
            wrong = f"has the number {number}, which belongs to no row of this workbook"
        if wrong and row.typed:
            self.problems.append(Problem(
                f"{placed.sheet}!{row.row}:{row.row}", f"The row ({_content(row)}) {wrong}.",
                "look" if is_list(table) else "stop",
                "It is kept under the next free number." if is_list(table)
                else "Type it into a row that has one."))
        return None if wrong else number

    def _fixed(self, placed: Placed, row: Row, number: int) -> list[Row]:
        """A row that stays as it is: what was typed over its name is kept as a new row."""
        fixed = placed.table.fixed[number]
        name = next(iter(fixed))
        raw = row.typed.get(name)
        if raw is not None and str(raw.value).casefold() != str(fixed[name]).casefold():
            self.problems.append(Problem(
                placed.at(row.row, name), f"'{raw.value}' is typed over the row '{fixed[name]}',"
                " which stays.", "look", "It is kept under the next free number."))
            return [row]
        changed = [name for name, raw in row.typed.items() if raw.value != fixed.get(name)]
        if changed:
            self.problems.append(Problem(
                placed.at(row.row, changed[0]), f"The row '{fixed[name]}' stays as it is; what is"
                f" typed in it ({row.typed[changed[0]].value}) was left out.", "stop",
                "Use a row of its own."))
        return []

    def _row(self, placed: Placed, row: Row, number: int, asked: Mapping[str, Asked]) -> None:
        for name, raw in row.typed.items():
            where = placed.at(row.row, name)
            value = self._value(raw, asked[name], where)
            if value is not None:
                self.entries.setdefault(placed.table.name, {}).setdefault(number, {})[name] = value
                self.places[placed.table.name, number, name] = where

    def _loose(self, placed: Placed, row: Row) -> None:
        """Keep a row without a number under the next free one, where a table is a list."""
        table = placed.table
        if is_list(table):
            taken = sizes.used(self.book, self.entries)[table.dimensions[0]] | set(table.fixed)
            number = next(n for n in range(1, sizes.MOST_ROWS * 2) if n not in taken)
            self._row(placed, row, number, self._asked(table))

    def _choices_for(self, first_month: Cell) -> dt.date | None:
        raw = self.opened.cell("choices_for")[0]
        made_for = raw.value.date() if isinstance(raw.value, dt.datetime) else None
        if isinstance(first_month, dt.date) and sizes.months_later(made_for, first_month):
            self.problems.append(Problem(
                self.opened.cell("first_month")[1], "The first month was changed from"
                f" {made_for:%b %Y} to {first_month:%b %Y}; what is typed month by month (Diet,"
                " Quality and so on) still stands in the old months' rows.", "look",
                "'haymow rebuild' moves it."))
        return made_for


def _content(row: Row) -> str:
    return ", ".join(str(raw.value) for raw in row.typed.values())[:120]
