"""Where a table's columns and rows stand in a workbook that people have worked in.

A column is its defined name; where that is lost, its header. A row is its constant number. What
stands where is never taken from a position.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass, field

from ..problems import Problem
from ..tables import Book, Column, Entry, Key, Table
from . import looks
from .opened import NOTHING, Grid, Opened, Raw, address

__all__ = ["Placed", "Row", "entry_names", "is_list", "label_and_unit", "locate", "normal"]

ABOVE = 15  # rows looked at for the headers, above the first data row
EMPTY_ROWS = 3  # end of a table that was typed on below its rows
ROW_LIMIT = 100_000  # no row number is larger


@dataclass(frozen=True)
class Row:
    """A row of a sheet: its constant number (None without one), and what is typed in it."""

    row: int
    number: int | None
    typed: dict[str, Raw]


@dataclass
class Placed:
    """A table as found: sheet, header row, last row of its named range, columns by entry name."""

    table: Table
    sheet: str
    head: int
    bottom: int
    grid: Grid
    columns: dict[str, int] = field(default_factory=dict)
    keys: dict[str, int] = field(default_factory=dict)
    known: set[int] = field(default_factory=set)
    problems: list[Problem] = field(default_factory=list)

    def at(self, row: int, name: str) -> str:
        """Where an entry stands, as messages say it."""
        return address(self.sheet, row, self.columns[name])

    def number(self, row: int, key: str) -> int | None:
        """The whole number that stands in a key column, if one does."""
        raw = self.grid.get((row, self.keys.get(key, 0)), NOTHING)
        whole = raw.kind == "n" and isinstance(raw.value, int | float) and raw.value % 1 == 0
        return int(raw.value) if whole and 1 <= raw.value <= ROW_LIMIT else None

    def rows(self) -> Iterator[Row]:
        """Rows below the headers; past the named range until three have nothing in them."""
        empty, row = 0, self.head
        last = max((r for r, _ in self.grid), default=0)
        while row < max(last, self.bottom) and empty < EMPTY_ROWS:
            row += 1
            typed = {name: raw for name, column in self.columns.items()
                     if not (raw := self.grid.get((row, column), NOTHING)).blank}
            number = self.number(row, self.table.number_key)
            if typed or number is not None:
                empty = 0
                yield Row(row, number, typed)
            elif row > self.bottom:
                empty += 1


def is_list(table: Table) -> bool:
    """Whether a table's rows are named by the user, so that another row may be added."""
    first = table.entries[0] if table.entries else None
    return first is not None and first.what == "text" and table.sortable


def entry_names(book: Book, column: Column) -> Iterator[tuple[int | None, str]]:
    """(member, name) of a column's cells in a ranch's entries: ``reported.cp``."""
    for member in book.members(column):
        yield member, column.name if member is None else \
            f"{column.name}.{book.dimensions[column.over][member]}"


def label_and_unit(book: Book, column: Column, member: int | None) -> tuple[str, str]:
    """The two parts of a header, such as ("Reported: NEm", "Mcal/lb")."""
    label = looks.label_of(column)
    if member is not None:
        label += f": {looks.member_word(book, column, member)}"
    return label, looks.heading(book, column, member)[len(label) + 2:]


def normal(text: object) -> str:
    """A header for comparing: one form of each character, small letters, single blanks.

    >>> normal(" Weight,  LB ")
    'weight, lb'
    """
    return " ".join(unicodedata.normalize("NFKC", str(text)).casefold().split())


def locate(opened: Opened, book: Book, table: Table) -> Placed | None:
    """Find a table by its names, or by headers on the sheet of its name; None without either."""
    heads = _headings(book, table)
    placed = _by_names(opened, table, heads) or _by_title(opened, table, heads)
    if placed is None:
        return None
    for column in table.columns:
        if isinstance(column, Entry | Key):
            _place(opened, book, placed, column)
        elif not column.inline:
            placed.known |= {c for _, c in _members(opened, book, placed, column)}
    placed.known |= {*placed.columns.values(), *placed.keys.values()}
    return placed


def _headings(book: Book, table: Table) -> list[str]:
    return [normal(looks.heading(book, column, member)) for column in table.columns
            if not column.inline for member in book.members(column)]


def _by_names(opened: Opened, table: Table, heads: list[str]) -> Placed | None:
    """The sheet and rows of the number column's name; else of the first entry's that has one."""
    for name in [table.number_key, *(column.name for column in table.entries)]:
        area = opened.names.get(f"{table.name}_{name}")
        if area is not None and area.sheet in opened.titles:
            grid = opened.grid(area.sheet)
            first = max(area.top - ABOVE, 1)
            head = _header_row(grid, range(area.top - 1, first - 1, -1), heads)
            return Placed(table, area.sheet, head or area.top - 1, area.bottom, grid)
    return None


def _by_title(opened: Opened, table: Table, heads: list[str]) -> Placed | None:
    if table.sheet not in opened.titles:
        return None
    grid = opened.grid(table.sheet)
    head = _header_row(grid, range(1, table.top + ABOVE), heads)
    return Placed(table, table.sheet, head, head, grid) if head else None


def _header_row(grid: Grid, rows: range, heads: list[str]) -> int:
    """The row with the most of the expected headers, the first of equals; 0 if there is none."""
    found = dict.fromkeys(rows, 0)
    for (row, _), raw in grid.items():
        if row in found and raw.kind == "s" and normal(raw.value) in heads:
            found[row] += 1
    best = max(found, key=lambda row: found[row], default=0)
    return best if best and found[best] else 0


def _place(opened: Opened, book: Book, placed: Placed, column: Column) -> None:
    """Put the cells of an entry or key into the found columns, or say that they are gone."""
    found = dict(_members(opened, book, placed, column))
    for member, name in entry_names(book, column):
        where = found.get(member) or _by_header(book, placed, column, member)
        if where:
            (placed.columns if isinstance(column, Entry) else placed.keys)[name] = where


def _members(opened: Opened, book: Book, placed: Placed, column: Column
             ) -> list[tuple[int | None, int]]:
    """(member, column) by the defined name; a block's members by the number above the header."""
    area = opened.names.get(f"{placed.table.name}_{column.name}")
    if area is None or area.sheet != placed.sheet:
        return []
    if not column.over:
        return [(None, area.left)] if area.left == area.right else []
    found: dict[int | None, int] = {}
    heads = {normal(looks.heading(book, column, member)): member for member in book.members(column)}
    for place in range(area.left, area.right + 1):
        number = placed.grid.get((placed.head - 1, place), NOTHING).value
        member = heads.get(normal(placed.grid.get((placed.head, place), NOTHING).value))
        if isinstance(number, int | float) and 1 <= number <= book.size(column.over):
            member = int(number) - 1
        if member is not None:
            found.setdefault(member, place)
    return list(found.items())


def _by_header(book: Book, placed: Placed, column: Column, member: int | None) -> int:
    """The one column with this header; 0, and a problem, if there is none or more than one."""
    heading = looks.heading(book, column, member)
    places = [place for (row, place), raw in placed.grid.items()
              if row == placed.head and normal(raw.value) == normal(heading)]
    if len(places) == 1:
        placed.problems.append(Problem(
            address(placed.sheet, placed.head, places[0]),
            f"The column '{heading}' has lost its name and was found by its header.", "note",
            "'haymow rebuild' gives it back."))
        return places[0]
    if isinstance(column, Key) and column.name != placed.table.number_key:
        return 0
    lost = "stands there more than once" if places else "is not there any more"
    placed.problems.append(Problem(
        placed.sheet, f"The column '{heading}' {lost}; nothing was read for it.", "stop",
        "Take the entries from your last backup if you need them; 'haymow rebuild' brings the"
        " column back."))
    return 0
