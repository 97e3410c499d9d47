"""The workbook, sheet by sheet: what is typed, what is answered."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from haymow.tables import Book, Column, Entry, Key, Table
from haymow.workbook import looks
from haymow.workbook.sheets import limits

from .markdown import figure, link, page, table
from .used import book

__all__ = ["sheets"]

ABOUT = """\
What stands on each sheet of the workbook, in US units. Working columns are closed behind the +
above the columns; each is one short formula of [handbook.md](handbook.md) or [steps.md](steps.md)
or looks something up. Every column is a defined name, `Table_column`.

Two more sheets have no table: **Start** (the answer in a sentence per group, settings, steps,
cautions) and **Sources** (every constant, the bibliography, the glossary)."""


def sheets() -> str:
    """docs/sheets.md."""
    found: dict[str, list[Table]] = {}
    for each in book().tables.values():
        found.setdefault(each.sheet, []).append(each)
    contents = "\n".join(f"- {link(name, heading=name)}: {_purpose(tables)}"
                         for name, tables in found.items())
    return page("Sheets", ABOUT, contents, _settings(book()),
                *(part for name, tables in found.items() for part in _sheet(name, tables)))


def _purpose(tables: list[Table]) -> str:
    return next((t.purpose for t in tables if t.purpose), "fixed lists that other sheets look up")


def _settings(of: Book) -> str:
    rows = [(s.part, s.label, figure(s.value) if isinstance(s.value, float) else s.value or "",
             s.unit, s.meaning, s.source) for s in of.settings.values() if s.typed]
    return "## Settings on Start\n\n" + table(
        ("Part", "Setting", "Default", "Unit", "What it does", "Source"), rows)


def _sheet(name: str, tables: list[Table]) -> Iterator[str]:
    yield f"## {name}"
    yield _purpose(tables)
    for each in tables:
        if len(tables) > 1:
            yield f"Table `{each.name}`{': ' + each.title if each.title else ''}."
        yield _columns(each)


def _columns(of: Table) -> str:
    typed = [(_heading(column), _asked(column), column.hint, "yes" if column.must else "")
             for column in of.entries]
    read = [c for c in of.columns if c.front and not isinstance(c, Entry)]
    working = sum(not c.front and not c.inline for c in of.columns)
    parts = [f"One row for each {' and '.join(of.dimensions)}"
             f"{', in any order' if of.sortable else ''}."]
    if typed:
        parts.append(table(("You type", "What", "Hint", "Must"), typed))
    if read:
        kind = "Fixed" if all(isinstance(c, Key) for c in read) else "You read"
        parts.append(f"{kind}: " + "; ".join(map(_heading, _shown(read))) + ".")
    if working:
        parts.append(f"{working} working columns.")
    return "\n\n".join(parts)


def _shown(columns: Iterable[Column]) -> list[Column]:
    return [c for c in columns if not (isinstance(c, Key) and c.dimension)]


def _heading(column: Column) -> str:
    """The column's header; a block's with its members."""
    if not column.over:
        return looks.heading(book(), column, None)
    only = getattr(column, "only", ())
    members = [looks.member_word(book(), column, number)
               for number, name in enumerate(book().dimensions[column.over])
               if not only or name in only]
    return f"{looks.label_of(column)} ({', '.join(members)})"


def _asked(column: Entry) -> str:
    if column.what == "choice":
        return f"a word of {column.choices.partition('.')[0]}"
    if column.what != "number":
        return column.what
    if column.over:
        return "number"
    low, high, unit = limits(True, column)
    return f"number, usually {figure(low)} to {figure(high)} {unit}".strip()
