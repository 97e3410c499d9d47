"""An .xlsx report as grids, opened only after its zip and XML were found harmless."""

from __future__ import annotations

import datetime as dt
import io
import warnings
import zipfile
from typing import Any

from ..problems import InputError, Problem
from .grids import NO_CELL, Cell, Grid, address

__all__ = ["workbook_grids"]

MOST_ENTRIES, MOST_ENTRY_BYTES, MOST_TOTAL_BYTES = 2_000, 50_000_000, 100_000_000
MOST_ROWS, MOST_COLUMNS, MOST_EMPTY = 5_000, 200, 50
_UNCALCULATED = ("the cell holds a formula without a stored result; open the file in a spreadsheet "
                 "program, save it, and read it again")


def workbook_grids(name: str, data: bytes) -> tuple[list[Grid], list[Problem]]:
    """The visible sheets of a workbook. Raises InputError if it is unsafe or not a workbook."""
    _guard(name, data)
    import openpyxl

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # parts that openpyxl leaves out are not read here anyway
        try:
            stored, formulas = (
                openpyxl.load_workbook(io.BytesIO(data), data_only=values, keep_links=False)
                for values in (True, False))
        except Exception as error:  # openpyxl raises what the damaged part happens to cause
            raise InputError(f"{name} is not a workbook that can be read. Save it as .xlsx again."
                             ) from error
    grids, problems = [], []
    for sheet in stored.worksheets:
        if sheet.sheet_state != "visible":
            problems.append(Problem(f"{name}!{sheet.title}", "This sheet is hidden and was not "
                                    "read.",
                                    "look", "Show it in the workbook if it holds results."))
            continue
        grid, more = _sheet(name, sheet, formulas[sheet.title])
        grids.append(grid)
        problems += more
    return grids, problems


def _guard(name: str, data: bytes) -> None:
    """Refuse bombs, entities, encrypted or strange entries before any parser sees them."""
    try:
        archive = zipfile.ZipFile(io.BytesIO(data))
    except Exception as error:  # BadZipFile, or what the damage happens to cause
        raise InputError(f"{name} is damaged. Ask the lab for it again.") from error
    entries = archive.infolist()
    names = [entry.filename for entry in entries]
    declared = sum(entry.file_size for entry in entries)
    strange = (len(entries) > MOST_ENTRIES or len(set(names)) < len(names)
               or declared > MOST_TOTAL_BYTES or any(entry.flag_bits & 1 for entry in entries)
               or any(n.startswith(("/", "\\")) or ".." in n.split("/") for n in names))
    if strange or any(_too_large_or_entity(archive, entry) for entry in entries):
        raise InputError(f"{name} is not an ordinary workbook (too large inside, or with parts "
                         f"that "
                         "a lab report never has) and was not opened.")
    if "xl/workbook.xml" not in names:
        raise InputError(f"{name} is a zip file but no .xlsx workbook. Save it as .xlsx and try "
                         f"again.")


def _too_large_or_entity(archive: zipfile.ZipFile, entry: zipfile.ZipInfo) -> bool:
    """Whether an entry really is larger than allowed, or its XML declares a document type."""
    read = 0
    xml = entry.filename.endswith((".xml", ".rels", ".vml"))
    tail = b""
    try:
        with archive.open(entry) as part:
            while chunk := part.read(1 << 16):
                read += len(chunk)
                if read > MOST_ENTRY_BYTES or (xml and b"<!DOCTYPE" in tail + chunk):
                    return True
                tail = chunk[-9:]
    except Exception:  # zipfile and zlib raise what the damage happens to cause
        return True
    return False


def _sheet(name: str, sheet: Any, formulas: Any) -> tuple[Grid, list[Problem]]:
    where = f"{name}!{sheet.title}"
    rows: list[tuple[Cell, ...]] = []
    empty = 0
    last_row, last_column = min(sheet.max_row, MOST_ROWS), min(sheet.max_column, MOST_COLUMNS)
    for number, cells in enumerate(sheet.iter_rows(max_row=last_row, max_col=last_column)):
        rows.append(tuple(_cell(cell, formulas, f"{where}!{address(number, column)}")
                          for column, cell in enumerate(cells)))
        empty = 0 if any(not cell.blank for cell in rows[-1]) else empty + 1
        if empty > MOST_EMPTY:
            break
    problems = []
    if len(rows) < sheet.max_row or last_column < sheet.max_column:
        problems.append(Problem(where, f"Only rows 1 to {len(rows)} and {last_column} columns were "
                                "read.", "look", "Move results that stand further out."))
    return Grid(where, tuple(_merged(rows, sheet)), fixed=True), problems


def _cell(cell: Any, formulas: Any, where: str) -> Cell:
    value = cell.value
    if value is None:
        formula = formulas[cell.coordinate].data_type == "f"
        return Cell(where=where, fault=_UNCALCULATED) if formula else Cell(where=where)
    if cell.data_type == "e":
        return Cell(str(value), None, where, fault=f"the cell holds the error {value}")
    if isinstance(value, dt.datetime | dt.date | dt.time):
        moment = value if isinstance(value, dt.datetime) else _moment(value)
        return Cell(str(value), moment, where)
    if isinstance(value, int | float) and not isinstance(value, bool):
        percent = "%" in str(cell.number_format).split(";")[0]
        whole = float(value).is_integer() and abs(value) < 1e16
        return Cell(str(int(value)) if whole else f"{value:.10g}", float(value), where, percent)
    return Cell(str(value), None, where)


def _moment(value: dt.date | dt.time) -> dt.datetime:
    day = value if isinstance(value, dt.date) else dt.date(1900, 1, 1)
    return dt.datetime(day.year, day.month, day.day)


def _merged(rows: list[tuple[Cell, ...]], sheet: Any) -> list[tuple[Cell, ...]]:
    """Words of a merged cell stand in every place it covers; a number never does."""
    filled = [list(row) for row in rows]
    for area in sheet.merged_cells.ranges:
        top, left = area.min_row - 1, area.min_col - 1
        origin = filled[top][left] if top < len(filled) and left < len(filled[top]) else NO_CELL
        if origin.blank or origin.value is not None:
            continue
        for row in range(top, min(area.max_row, len(filled))):
            for column in range(left, min(area.max_col, len(filled[row]))):
                if filled[row][column].blank:
                    filled[row][column] = Cell(origin.text, None, filled[row][column].where,
                                               spread=True)
    return [tuple(row) for row in filled]
