"""How large a workbook is, what of it is in use, and where rows go when that changes."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, replace

from ..problems import InputError, Problem
from ..ranch import Cell, Ranch, sizes_for
from ..tables import Book, Table
from ..tables.make import make
from ..units import KG_PER_LB
from .opened import Opened
from .places import Placed, is_list

__all__ = [
    "MOST_ROWS", "agrees", "grown", "is_us", "least", "months_later", "moved", "of", "resized",
    "told", "used",
]

Entries = Mapping[str, Mapping[int, Mapping[str, Cell]]]
MOST_ROWS = 2_000  # of groups, forages, products or samples
MOST_COUNTED = 120  # months or lines
COUNTED = ("month", "line")  # dimensions whose size a named cell says


def least() -> dict[str, int]:
    """The sizes of the smallest workbook."""
    return {name: 1 for name in sizes_for({})} | {"product": 2}


def is_us(opened: Opened, problems: list[Problem]) -> bool:
    """Whether the workbook is in pounds, by its cell ``kg_per_weight_unit``."""
    raw, where = opened.cell("kg_per_weight_unit")
    if where:
        for us, factor in ((True, KG_PER_LB), (False, 1.0)):
            if raw.value == factor:
                return us
        raise InputError(f"{where} of {opened.path.name} is {raw.value}; expected kg in one pound"
                         f" ({KG_PER_LB}) or in one kg (1).")
    if not opened.about.startswith("units: "):
        raise InputError(f"{opened.path.name} has lost its sheet Sources, which says whether it is"
                         " in pounds or kg; take your last backup (its name holds .bak-).")
    problems.append(Problem("Sources", f"The sheet is not there any more; {opened.about} was taken"
                            " from the file's properties.", "look", "'haymow rebuild' brings it"
                            " back."))
    return "US" in opened.about


def told(opened: Opened) -> dict[str, int]:
    """The smallest sizes, with the months and lines that the workbook says it has."""
    return {**least(), **{d: max(_named(opened, d), 1) for d in COUNTED}}


def _named(opened: Opened, dimension: str) -> int:
    raw, _ = opened.cell(dimension + "s")
    whole = raw.kind == "n" and isinstance(raw.value, int | float) and raw.value % 1 == 0
    return int(raw.value) if whole and 0 < raw.value <= MOST_COUNTED else 0


def of(opened: Opened, placed: Mapping[str, Placed], problems: list[Problem]
       ) -> dict[str, int]:
    """The sizes: months and lines by their named cells, the others by the rows' numbers."""
    found = dict(least())
    for each in placed.values():
        if is_list(each.table):
            dimension = each.table.dimensions[0]
            found[dimension] = max(_numbers(each, dimension), default=1)
    for dimension in COUNTED:
        found[dimension] = _counted(opened, placed, dimension, problems)
    for each in placed.values():  # a group may have lost its row on Herd and not those on Plan
        for dimension in each.table.dimensions:
            if dimension in found and dimension not in COUNTED:
                found[dimension] = max([found[dimension], *_numbers(each, dimension)])
    return found


def _numbers(placed: Placed, dimension: str) -> list[int]:
    numbers = [placed.number(row, f"{dimension}_no") for row in _rows(placed)]
    return [n for n in numbers if n and n <= MOST_ROWS]


def _rows(placed: Placed) -> range:
    return range(placed.head + 1, placed.bottom + 1)


def _counted(opened: Opened, placed: Mapping[str, Placed], dimension: str, problems: list[Problem]
             ) -> int:
    """The named cell's number, unless the rows of the tables say another with one voice."""
    named, where = _named(opened, dimension), opened.cell(dimension + "s")[1]
    rows = [[each.number(row, key) for key in (
                each.table.number_key, *(f"{d}_no" for d in each.table.dimensions))]
            for each in placed.values() if len(each.table.dimensions) == 2
            and each.table.dimensions[-1] == dimension for row in _rows(each)]
    known = [(n, first, last) for n, first, last in rows if n and first and last]
    counted = max((last for _, _, last in known), default=0)
    for size in (named, counted):
        if size and all(n == (first - 1) * size + last for n, first, last in known):
            if size != named:
                problems.append(Problem(
                    where or "Sources", f"The number of {dimension}s is"
                    f" {named or 'not there any more'}; {size} was taken, as the rows say.", "look",
                    "Do not change it by hand; 'haymow rebuild' does it."))
            return size
    return named or counted or 1


def agrees(book: Book, placed: Placed, row: int, number: int) -> bool:
    """Whether a row's number is that of its group and month (and so on), where these are known."""
    dimensions = placed.table.dimensions
    if len(dimensions) == 1:
        return True
    expected = 0
    for dimension in dimensions:
        its = placed.number(row, f"{dimension}_no")
        if its is None:
            return True
        expected = expected * book.size(dimension) + its - 1
    return number == expected + 1


def used(book: Book, entries: Entries) -> dict[str, set[int]]:
    """The members of each dimension that hold entries."""
    found: dict[str, set[int]] = {d: set() for d in book.dimensions}
    for name, rows in entries.items():
        table = book.tables[name]
        for row, cells in rows.items():
            names = [name for name, value in cells.items() if value is not None and value != ""]
            for dimension, member in _members(book, table, row).items() if names else ():
                found[dimension].add(member)
            for name in names:  # a block along months stands for those months
                if table.at[name.partition(".")[0]].over in COUNTED:
                    found[table.at[name.partition(".")[0]].over].add(int(name.partition(".")[2]))
    return found


def _members(book: Book, table: Table, row: int) -> dict[str, int]:
    """A row's number in each dimension, from 1.

    A table of one dimension may have more rows than the book has room for.
    """
    if len(table.dimensions) == 1:
        return {table.dimensions[0]: row}
    found, left = {}, row - 1
    for dimension in reversed(table.dimensions):
        found[dimension] = left % book.size(dimension) + 1
        left //= book.size(dimension)
    return found


def grown(book: Book, sizes: Mapping[str, int], entries: Entries) -> dict[str, int]:
    """The sizes, and at least room for what is in use."""
    taken = used(book, entries)
    return {d: max([size, *taken[d]]) for d, size in sizes.items()}


def resized(ranch: Ranch, asked: Mapping[str, int]) -> tuple[Ranch, list[Problem]]:
    """The ranch with other sizes, each entry in the row of its group, month and line.

    There is room for all that is in use and a few rows more; nothing in use is cut off.
    """
    old = make(ranch)
    taken = used(old, ranch.entries)
    problems, sizes = [], dict(ranch.sizes)
    for dimension, size in asked.items():
        if dimension not in sizes:
            raise InputError(f"'{dimension}' has no size; expected one of {', '.join(sizes)}.")
        sizes[dimension] = max([size, 1, *taken[dimension]])
        if sizes[dimension] > size:
            problems.append(Problem(
                f"Number of {dimension}s", f"{size} was asked for, and {sizes[dimension]} is kept:"
                " the last one is in use.", "look", "Clear its entries first."))
    room = sizes_for(ranch.entries, sizes["month"], sizes["line"])
    sizes = {d: size if d in asked else max([size, room[d], *taken[d]])
             for d, size in sizes.items()}
    return _into(ranch, old, sizes), problems


def _into(ranch: Ranch, old: Book, sizes: Mapping[str, int]) -> Ranch:
    new = make(replace(ranch, sizes=sizes))
    entries = {}
    for name, rows in ranch.entries.items():
        table = old.tables[name]
        entries[name] = {_row(new, table, _members(old, table, row)): cells
                         for row, cells in rows.items()}
    return replace(ranch, entries=entries, sizes=sizes)


def _row(book: Book, table: Table, members: Mapping[str, int]) -> int:
    number = 0
    for dimension in table.dimensions:
        number = number * book.size(dimension) + members[dimension] - 1
    return number + 1


def months_later(made_for: dt.date | None, first: Cell) -> int:
    """How many months later the plan begins now; 0 where either month is not known.

    >>> months_later(dt.date(2026, 10, 1), dt.date(2027, 1, 15))
    3
    """
    if made_for is None or not isinstance(first, dt.date):
        return 0
    return (first.year - made_for.year) * 12 + first.month - made_for.month


def moved(ranch: Ranch, made_for: dt.date | None) -> tuple[Ranch, list[Problem]]:
    """The ranch with what stands month by month moved from a plan that began on another day.

    What falls out of the plan is left out and reported.
    """
    later = months_later(made_for, ranch.settings.get("first_month"))
    if made_for is None or later == 0:
        return ranch, []
    book = make(ranch)
    problems: list[Problem] = []
    entries = dict(ranch.entries)
    for name, rows in ranch.entries.items():
        table = book.tables[name]
        move = _Move(book, table, later, made_for, problems)
        if "month" in table.dimensions:
            entries[name] = move.rows(rows)
        elif any(column.over == "month" for column in table.entries):
            entries[name] = {row: move.block(row, cells) for row, cells in rows.items()}
    return replace(ranch, entries=entries), problems


@dataclass
class _Move:
    """What one table says month by month, moved so many months; what falls out is told."""

    book: Book
    table: Table
    later: int
    made_for: dt.date
    problems: list[Problem]

    def rows(self, rows: Mapping[int, Mapping[str, Cell]]) -> dict[int, Mapping[str, Cell]]:
        """A table with a row for each month."""
        found = {}
        for row, cells in rows.items():
            members = _members(self.book, self.table, row)
            month = self._month(members["month"])
            if month:
                found[_row(self.book, self.table, members | {"month": month})] = cells
            else:
                self._falls_out(members, members["month"], cells)
        return found

    def block(self, row: int, cells: Mapping[str, Cell]) -> dict[str, Cell]:
        """A row with a block of months."""
        found = {}
        for name, value in cells.items():
            column, _, member = name.partition(".")
            if self.table.at[column].over != "month":
                found[name] = value
            elif month := self._month(int(member)):
                found[f"{column}.{month}"] = value
            else:
                self._falls_out(_members(self.book, self.table, row), int(member), {name: value})
        return found

    def _month(self, month: int) -> int:
        """The month's new number; 0 outside of the plan."""
        moved = month - self.later
        return moved if 1 <= moved <= self.book.size("month") else 0

    def _falls_out(self, members: Mapping[str, int], month: int, cells: Mapping[str, Cell]) -> None:
        at = self.made_for.year * 12 + self.made_for.month + month - 2
        told = ", ".join(f"{name} {value}" for name, value in cells.items())
        others = "".join(f"{d} {n}, " for d, n in members.items() if d != "month")
        self.problems.append(Problem(
            self.table.sheet, f"{others}{dt.date(at // 12, at % 12 + 1, 1):%b %Y}: {told} falls out"
            " of the plan and was left out.", "stop", "It stays in the backup."))
