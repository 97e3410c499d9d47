"""What is doubtful in entries that could be read: names, doubles, numbers beyond the usual."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable, Iterator, Mapping

from ..problems import InputError, Problem
from ..ranch import Cell, Ranch
from ..tables import Book, Entry, Key, Table
from . import looks
from .places import entry_names, is_list, label_and_unit
from .sheets import limits
from .typed import FIRST_DAY, LAST_DAY

__all__ = ["WILDCARDS", "check_names", "found", "nearest"]

WILDCARDS = "*?~"  # a spreadsheet's MATCH takes them for any letters
_UNWRITABLE = re.compile(r"[\x00-\x08\x0b-\x1f\ud800-\udfff\ufffe\uffff]")
Places = Mapping[tuple[str, int, str], str]


def found(book: Book, ranch: Ranch, places: Places) -> list[Problem]:
    """Problems of the entries, in the order of tables and rows."""
    problems: list[Problem] = []
    for table in book.tables.values():
        rows = ranch.entries.get(table.name, {})
        problems += _doubles(book, table, rows, places)
        for row, cells in sorted(rows.items()):
            for name, value in cells.items():
                column = table.at[name.partition(".")[0]]
                where = places.get((table.name, row, name), f"{table.sheet} row {row}")
                if isinstance(column, Entry):
                    problems += _cell(book, ranch, column, name, value, where)
    return problems


def check_names(ranch: Ranch, book: Book, places: Places) -> None:
    """Raise InputError for the first text that formulas would not find, or no file can hold."""
    for table in book.tables.values():
        for row, cells in sorted(ranch.entries.get(table.name, {}).items()):
            for name, value in cells.items():
                column = table.at[name.partition(".")[0]]
                where = places.get((table.name, row, name), f"{table.sheet} row {row}")
                if isinstance(value, str) and isinstance(column, Entry):
                    _check_text(book, table, column, value, where)


def _check_text(book: Book, table: Table, column: Entry, value: str, where: str) -> None:
    if _UNWRITABLE.search(value):
        raise InputError(f"{where}: {looks.label_of(column)} is {value!r} and holds a sign that no"
                         " cell can; type it anew.")
    if _is_name(book, table, column):
        for problem in _wildcards(column, value, where):
            raise InputError(str(problem))


def nearest(name: str, known: Iterable[str]) -> str:
    """The known name that is most like ``name``; empty if none is like it.

    >>> nearest("Medow hay ", ["Meadow hay", "Oat hay"])
    'Meadow hay'
    """
    from rapidfuzz import fuzz, process

    best = process.extractOne(name, list(known), scorer=fuzz.ratio, score_cutoff=75,
                              processor=lambda text: str(text).casefold().strip())
    return str(best[0]) if best else ""


def _cell(book: Book, ranch: Ranch, column: Entry, name: str, value: Cell, where: str
          ) -> Iterator[Problem]:
    label = _label(book, column, name)
    if column.what == "choice":
        yield from _choice(book, ranch, column, value, where)
    elif isinstance(value, str) and any(_is_target(book, column, t) for t in book.tables.values()):
        yield from _wildcards(column, value, where)
    elif column.what == "date" and isinstance(value, dt.date):
        if not FIRST_DAY <= value < LAST_DAY:
            yield Problem(where, f"{label} is {value:%Y-%m-%d}; expected a day from 2000 to 2099.",
                          "look", "Correct the year.")
    elif column.what == "number" and isinstance(value, int | float):
        low, high, unit = _limits(book, column, name)
        if not low <= value <= high:
            yield Problem(where, f"{label} is {value:g} {unit}".strip()
                          + f"; expected {low:g} to {high:g}.", "look",
                          "Correct it, or leave it if it is meant.")


def _limits(book: Book, column: Entry, name: str) -> tuple[float, float, str]:
    low, high, unit = limits(book.us, column)
    if column.over:
        unit = label_and_unit(book, column, _member(book, column, name))[1]
        high = 100.0 if unit.startswith("%") else high
    return low, high, unit


def _label(book: Book, column: Entry, name: str) -> str:
    return label_and_unit(book, column, _member(book, column, name))[0]


def _member(book: Book, column: Entry, name: str) -> int | None:
    return next(member for member, its in entry_names(book, column) if its == name)


def _choice(book: Book, ranch: Ranch, column: Entry, value: Cell, where: str) -> Iterator[Problem]:
    target, _, key = column.choices.partition(".")
    words = _words(book, ranch, book.tables[target], key)
    label = looks.label_of(column)
    if str(value).casefold() in {word.casefold() for word in words}:
        return
    own = isinstance(book.tables[target].at[key], Entry)
    place = f"on {book.tables[target].sheet}" if own else "in its list"
    near = nearest(str(value), words)
    hint = f" Did you mean '{near}'?" if near else ""
    if near and near.casefold() == str(value).casefold().strip():
        hint = f" It has a blank before or after it that '{near}' has not."
    yield Problem(where, f"{label} is '{value}', which is not {place}.{hint}", "look",
                  "Choose it from the list" + (f", or describe it {place}." if own else "."))
    yield from _wildcards(column, value, where)


def _words(book: Book, ranch: Ranch, target: Table, key: str) -> list[str]:
    column = target.at[key]
    if isinstance(column, Key):
        return [str(word) for word in column.data]
    rows = {**ranch.entries.get(target.name, {}), **target.fixed}
    return [str(cells[key]) for cells in rows.values() if cells.get(key)]


def _wildcards(column: Entry, value: Cell, where: str) -> Iterator[Problem]:
    sign = next((sign for sign in WILDCARDS if sign in str(value)), "")
    if sign:
        yield Problem(where, f"{looks.label_of(column)} is '{value}'; a spreadsheet takes {sign} in"
                      " a name for any letters.", "stop", f"Choose a name without {sign}.")


def _is_name(book: Book, table: Table, column: Entry) -> bool:
    return column.what == "choice" or _is_target(book, column, table)


def _is_target(book: Book, column: Entry, table: Table) -> bool:
    """Whether a column's words are names: it is the list behind some choice, or names the row."""
    if table.at.get(column.name) is not column:
        return False
    chosen = {each.choices for t in book.tables.values() for each in t.entries}
    return f"{table.name}.{column.name}" in chosen or _names_rows(table) == column.name


def _names_rows(table: Table) -> str:
    """The text column that names the rows of a list; empty where a table is none."""
    return table.entries[0].name if is_list(table) else ""


def _doubles(book: Book, table: Table, rows: Mapping[int, Mapping[str, Cell]], places: Places
             ) -> Iterator[Problem]:
    name = _names_rows(table)
    if not name:
        return
    column = table.at[name]
    first: dict[str, int] = {}
    for row, cells in sorted({**rows, **table.fixed}.items()):
        word = str(cells.get(name) or "").casefold()
        if word and first.setdefault(word, row) != row:
            one, two = (places.get((table.name, n, name), f"{table.sheet} row {n}")
                        for n in (first[word], row))
            yield Problem(two, f"{looks.label_of(column)} '{cells[name]}' stands there a second"
                          f" time, after {one}; the first one counts wherever it is named.", "look",
                          "Give one of them another name.")
