"""Build the workbook: tables with formulas, names, validations and the engine's results."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from copy import copy
from pathlib import Path
from typing import Any
from xml.sax.saxutils import escape
from zipfile import ZIP_STORED, ZipFile

from openpyxl import Workbook
from openpyxl.styles import Alignment
from openpyxl.utils import get_column_letter
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.worksheet import Worksheet
from openpyxl.writer.excel import ExcelWriter

from .. import __version__
from ..evaluate import Values
from ..ranch import Ranch
from ..tables import Column, Entry, Key, Table, Tally
from ..tables.make import make
from . import looks, pages
from .charts import draw_picture
from .formulas import Formulas, filled, loosened
from .making import Built, Cached
from .seal import seal
from .sheets import TALL, dress, validate

__all__ = ["Built", "build"]

FIXED_DAY = dt.datetime(2020, 1, 1)


def build(ranch: Ranch, path: Path, more: Callable[[Built], None] | None = None) -> Cached:
    """Write the workbook of ``ranch`` to ``path``; return what each formula cell shows.

    The result maps sheet -> cell -> value. An existing file is replaced; whoever calls this
    decides whether it may be. ``more`` adds what only this workbook has.
    """
    book = make(ranch)
    built = Built(book, Values(book, ranch), Formulas(book), Workbook())
    built.workbook.remove(built.workbook.active)
    looks.add_styles(built.workbook)
    built.sheet("Start")  # first of all sheets; filled once the answers stand
    for table in book.tables.values():
        _write_table(built, table)
    pages.start(built)
    pages.sources(built)
    for table in book.tables.values():
        dress(built, table)
        validate(built, table)
    pages.flags(built)
    draw_picture(built)
    if more:
        more(built)
    _properties(built.workbook, ranch)
    with ZipFile(path, "w", ZIP_STORED) as archive:  # sealing presses it
        ExcelWriter(built.workbook, archive).save()
    seal(path, built.cached, built.formulated, built.told)
    return built.cached


def _properties(workbook: Workbook, ranch: Ranch) -> None:
    """Neutral properties, so that the same ranch gives the same bytes."""
    about = workbook.properties
    about.creator, about.title = "Haymow", "Haymow feeding plan"
    about.created = about.modified = FIXED_DAY
    about.version = __version__
    about.description = "units: US" if ranch.us else "units: metric"
    workbook.calculation.fullCalcOnLoad = True
    workbook.active = 0


def _write_table(built: Built, table: Table) -> None:
    sheet = built.sheet(table.sheet)
    cells = built.formulas.cells[table.name]
    for place, text in enumerate(looks.headings(built.book, cells), 1):
        sheet.cell(table.top - 1, place, text).style = "head"
    for place, (column, member) in enumerate(cells, 1):
        _head(sheet, table, column, member, place)
        _write_column(built, sheet, table, (column, member), place)
    _names(built, table)


def _head(sheet: Worksheet, table: Table, column: Column, member: int | None, place: int) -> None:
    if table.sheet == "Lists":
        return
    sheet.cell(table.top - 3, place, looks.role(column)).style = "quiet"
    if member is not None:
        sheet.cell(table.top - 2, place, member + 1).style = "quiet"


def _write_column(built: Built, sheet: Worksheet, table: Table,
                  what: tuple[Column, int | None], place: int) -> None:
    column, member = what
    values = built.values.whole(table, column, member)
    texts = _texts(built, table, column, member, len(values))
    style = _prototype(built, sheet, table, column, member)
    if texts is not None:
        number = built.workbook._cell_styles.add(style)  # a style as the file counts them
        texts = [escape(text) for text in texts]
        _formulas(built, table, texts, values, (place, get_column_letter(place), number))
        return
    words = getattr(column, "what", "") in ("text", "choice")
    for row, value in enumerate(values, table.top):
        cell = sheet.cell(row, place)
        cell._style = style
        if value is not None and value == value:
            cell.value = value if isinstance(value, str) else float(value)
            if words or isinstance(value, str):
                cell.data_type = "s"  # a name that starts with "=" stays a name


def _formulas(built: Built, table: Table, texts: list[str], values: Any,
              at: tuple[int, str, int]) -> None:
    """Formulas and what they show, for `seal` to write: one by one they would take long."""
    cached, rows = built.cached[table.sheet], built.formulated[table.sheet]
    for row, value in enumerate(values, table.top):
        rows.setdefault(row, []).append((*at, filled(texts[(row - table.top) % len(texts)], row)))
        blank = value is None or value != value
        shown = value if isinstance(value, str) else float(value or 0)
        cached[f"{at[1]}{row}"] = "" if blank else shown


def _texts(built: Built, table: Table, column: Column, member: int | None, rows: int
           ) -> list[str] | None:
    """The column's formula; rows take turns with several; None for constants and entries."""
    if isinstance(column, Key | Entry):
        return None
    if isinstance(column, Tally):
        return [built.formulas.template(table, column, None, row) for row in range(rows)]
    text = built.formulas.template(table, column, member)
    return [text, loosened(text)]


def _prototype(built: Built, sheet: Worksheet, table: Table, column: Column, member: int | None
               ) -> Any:
    """The style all cells of a column share: made once, not per cell."""
    cell = sheet.cell(1, 1)
    kept = copy(cell._style)
    cell.style = looks.style_of(column, member, built.book)
    cell.number_format = looks.format_of(column, member, built.book)
    if table.name in TALL and column.front:
        cell.alignment = Alignment(vertical="top", wrap_text=column.name in looks.LONG_WORDS)
    style = cell._style
    cell._style = kept
    return style


def _names(built: Built, table: Table) -> None:
    """One defined name per column; a block is one name."""
    last = table.top + built.book.rows(table) - 1
    sheet = f"'{table.sheet}'" if " " in table.sheet else table.sheet
    for column in (c for c in table.columns if not c.inline):
        letters = [built.formulas.letters[table.name, column.name, m]
                   for m in built.book.members(column)]
        where = f"{sheet}!${letters[0]}${table.top}:${letters[-1]}${last}"
        name = f"{table.name}_{column.name}"
        built.workbook.defined_names[name] = DefinedName(name, attr_text=where)
