"""Open a report file: text, workbook or PDF, as grids of cells."""

from __future__ import annotations

import codecs
import csv
import io
from pathlib import Path

from ..problems import InputError, Problem
from .grids import Cell, Grid, address
from .headers import read_heading

__all__ = ["open_report"]

MOST_BYTES = 10_000_000
MOST_ROWS, MOST_COLUMNS = 20_000, 400
_MARKS = ((codecs.BOM_UTF8, "utf-8-sig"), (codecs.BOM_UTF32_LE, "utf-32"),
          (codecs.BOM_UTF32_BE, "utf-32"), (codecs.BOM_UTF16_LE, "utf-16"),
          (codecs.BOM_UTF16_BE, "utf-16"))
_OTHERS = {"cp1252": "Windows-1252", "latin_1": "Latin-1", "utf_16_le": "UTF-16 without its mark",
           "utf_16_be": "UTF-16 without its mark"}


def open_report(path: Path) -> tuple[list[Grid], str, list[Problem]]:
    """The grids of a file, the delimiter of a text file, and what was strange in opening it.

    Raises InputError if it is missing, too large, or not a report that can be read.
    """
    try:
        size = path.stat().st_size
        data = path.read_bytes() if size <= MOST_BYTES else b""
    except OSError as error:
        raise InputError(f"{path.name} cannot be opened ({error.strerror}). Check the name and "
                         "that it is not open in another program.") from error
    if size > MOST_BYTES:
        raise InputError(f"{path.name} has {size / 1e6:.0f} MB; a lab report of up to 10 MB was "
                         "expected.")
    if not data.strip():
        raise InputError(f"{path.name} is empty. Ask the lab for the report again.")
    return _by_content(path.name, data)


def _by_content(name: str, data: bytes) -> tuple[list[Grid], str, list[Problem]]:
    start = data[:512].lstrip().lower()
    if data.startswith(b"PK"):
        from .workbooks import workbook_grids

        return (*_swap(workbook_grids(name, data)),)
    if start.startswith(b"%pdf"):
        from .pdfs import pdf_grids

        return pdf_grids(name, data), "", []
    if data.startswith(b"\xd0\xcf\x11\xe0"):
        raise InputError(f"{name} is an old or a locked workbook (.xls, or with a password). Save "
                         f"it "
                         "as .xlsx without a password and read that.")
    if start.startswith((b"<!doctype", b"<html", b"<?xml")):
        raise InputError(f"{name} is a web page or XML. Ask the lab for CSV, XLSX or PDF.")
    text, problems = _decode(name, data)
    grid, delimiter = _best_grid(name, text)
    return [grid], delimiter, problems + _too_much(name, text) + _open_quotes(grid)


def _swap(found: tuple[list[Grid], list[Problem]]) -> tuple[list[Grid], str, list[Problem]]:
    return found[0], "", found[1]


def _decode(name: str, data: bytes) -> tuple[str, list[Problem]]:
    for mark, encoding in _MARKS:
        if data.startswith(mark):
            try:
                return data.decode(encoding), []
            except UnicodeDecodeError as error:
                raise InputError(f"{name} says it is {encoding} but is damaged. Ask the lab for it "
                                 "again.") from error
    try:
        text = data.decode("utf-8")
        if "\0" not in text:
            return text, []
    except UnicodeDecodeError:
        pass
    from charset_normalizer import from_bytes

    best = from_bytes(data, cp_isolation=list(_OTHERS)).best()
    if best is None or "\0" in str(best):
        raise InputError(f"{name} is not a text, workbook or PDF file that can be read. Ask the "
                         f"lab "
                         "for CSV, XLSX or PDF.")
    called = _OTHERS.get(best.encoding, best.encoding)
    return str(best), [Problem(name, f"The text is not UTF-8; it was read as {called}.", "look",
                               "Check letters with accents and signs such as \u00b5.")]


def _best_grid(name: str, text: str) -> tuple[Grid, str]:
    """The grid by the delimiter that brings out the most known headers."""
    lines = text.replace("\r\n", "\n").replace("\r", "\n")
    told = lines[4:5] if lines[:4].lower() == "sep=" else ""
    if told:
        lines = "\n" + lines.split("\n", 1)[-1]  # the row stays, so that addresses stay right
    tries = [(_grid(name, lines, mark), mark) for mark in (told or ",;\t|")]
    return max(tries, key=lambda found: _known(found[0]))


def _grid(name: str, text: str, delimiter: str) -> Grid:
    csv.field_size_limit(MOST_BYTES)
    rows = []
    lines = io.StringIO(text.replace("\0", ""))
    for row, texts in enumerate(csv.reader(lines, delimiter=delimiter)):
        if row == MOST_ROWS:
            break
        rows.append(tuple(Cell(_unquoted(said), None, f"{name}!{address(row, column)}")
                          for column, said in enumerate(texts[:MOST_COLUMNS])))
    return Grid(name, tuple(rows))


def _unquoted(text: str) -> str:
    """Without the mark that spreadsheets and our own exports set before text."""
    return text[1:] if text.startswith("'") and text[1:2] in "=+-@" and len(text) > 1 else text


def _known(grid: Grid) -> tuple[int, int]:
    """How many cells of the first rows are known words; then how many cells there are."""
    cells = [cell for row in grid.rows[:60] for cell in row if not cell.blank]
    kinds = ("analyte", "ask", "field", "basis", "unit")
    short = [cell.text for cell in cells if len(cell.text) < 80]
    return sum(read_heading(text).kind in kinds for text in short), len(cells)


def _too_much(name: str, text: str) -> list[Problem]:
    if text.count("\n") <= MOST_ROWS:
        return []
    return [Problem(name, f"Only the first {MOST_ROWS:,} rows were read.", "stop", "Split the "
                                                                                   "file.")]


def _open_quotes(grid: Grid) -> list[Problem]:
    """A quotation mark that is never closed swallows the rows behind it."""
    return [Problem(cell.where, "A quotation mark seems never to be closed: several lines ran into "
                    "this cell.", "stop", "Correct the marks and read the file again.")
            for row in grid.rows for cell in row if cell.text.count("\n") > 3]
