"""A workbook opened for reading only: its names, and its cells as typed or as last worked out."""

from __future__ import annotations

import datetime as dt
import io
import re
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Any

from openpyxl import load_workbook
from openpyxl.utils import column_index_from_string, get_column_letter
from openpyxl.utils.datetime import from_excel

from ..problems import InputError
from . import guard

__all__ = ["NOTHING", "Area", "Grid", "Opened", "Raw", "address"]

MOST_ROWS, MOST_COLUMNS = 25_000, 700
_AREA = re.compile(r"(?:'((?:[^']|'')+)'|([^'!\[\]]+))!"
                   r"\$?([A-Z]{1,3})\$?(\d+)(?::\$?([A-Z]{1,3})\$?(\d+))?")


@dataclass(frozen=True)
class Raw:
    """A cell as it stands: value, kind (``n s d b e f``: number, text, date ...), number format."""

    value: Any
    kind: str
    form: str = "General"

    @property
    def blank(self) -> bool:
        """Whether nothing is typed there; blanks alone count as nothing."""
        return self.value is None or (isinstance(self.value, str) and not self.value.strip())


NOTHING = Raw(None, "n")
Grid = dict[tuple[int, int], Raw]  # (row, column) from 1 -> what stands there; blank cells left out


@dataclass(frozen=True)
class Area:
    """The cells of a defined name."""

    sheet: str
    top: int
    left: int
    bottom: int
    right: int


def address(sheet: str, row: int, column: int) -> str:
    """Where a cell stands, as messages say it.

    >>> address("Herd", 9, 4)
    'Herd!D9'
    """
    return f"{sheet}!{get_column_letter(column)}{row}"


@dataclass
class Opened:
    """A workbook that is read and never written. Raises InputError for anything else."""

    path: Path
    _grids: dict[tuple[str, bool], Grid] = field(default_factory=dict)
    _workbooks: dict[bool, Any] = field(default_factory=dict)

    def __post_init__(self) -> None:
        guard.check(self.path)
        self._data = self.path.read_bytes()  # in memory, so that the file itself stays free
        workbook = self._workbook(results=False)
        self.titles = [sheet.title for sheet in workbook.worksheets]
        self.others = [s.title for s in workbook._sheets if s.title not in self.titles]
        self.names = {name: _area(defined.attr_text)
                      for name, defined in workbook.defined_names.items()}
        self.epoch: dt.datetime = workbook.epoch
        about = workbook.properties
        self.version, self.about = about.version or "", about.description or ""

    @cached_property
    def empty(self) -> bool:
        """Whether no sheet holds anything."""
        return not any(self.grid(title) for title in self.titles)

    def grid(self, title: str, results: bool = False) -> Grid:
        """What stands on a sheet, formulas as their text or as their stored results."""
        key = (title, results)
        if key not in self._grids:
            sheet = self._workbook(results)[title]
            with _guarded(self.path):
                self._grids[key] = {
                    (cell.row, cell.column): Raw(cell.value, cell.data_type, cell.number_format)
                    for row in sheet.iter_rows(max_row=MOST_ROWS, max_col=MOST_COLUMNS)
                    for cell in row if cell.value is not None}
        return self._grids[key]

    def cell(self, name: str) -> tuple[Raw, str]:
        """What stands in the one cell of a defined name, and where; NOTHING and "" without it."""
        area = self.names.get(name)
        if area is None or area.sheet not in self.titles:
            return NOTHING, ""
        raw = self.grid(area.sheet).get((area.top, area.left), NOTHING)
        return raw, address(area.sheet, area.top, area.left)

    def result(self, where: str) -> Raw:
        """The stored result of a formula; NOTHING if it was never worked out."""
        sheet, _, cell = where.rpartition("!")
        letters = cell.rstrip("0123456789")
        place = int(cell.removeprefix(letters)), column_index_from_string(letters)
        return self.grid(sheet, results=True).get(place, NOTHING)

    def day(self, number: float) -> dt.date:
        """The date that a day number means in this workbook."""
        day = from_excel(number, self.epoch)
        return day.date() if isinstance(day, dt.datetime) else day

    def _workbook(self, results: bool) -> Any:
        if results not in self._workbooks:
            with _guarded(self.path):
                self._workbooks[results] = load_workbook(
                    io.BytesIO(self._data), read_only=True, data_only=results, keep_links=False)
        return self._workbooks[results]


@contextmanager
def _guarded(path: Path) -> Iterator[None]:
    """Quiet about parts that are not read here anyway; damage becomes one sentence."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        try:
            yield
        except Exception as error:  # whatever a damaged part happens to cause
            raise InputError(f"{path.name} is damaged and cannot be read; open it in a spreadsheet"
                             " program and save it again.") from error


def _area(text: str) -> Area | None:
    """The area a name refers to; None for a deleted one (``#REF!``) or another kind of name.

    >>> _area("'My herd'!$B$7:$B$18").sheet
    'My herd'
    """
    match = _AREA.fullmatch(text or "")
    if match is None:
        return None
    sheet = (match[1] or match[2]).replace("''", "'")
    left, top = column_index_from_string(match[3]), int(match[4])
    right = column_index_from_string(match[5]) if match[5] else left
    return Area(sheet, top, left, int(match[6]) if match[6] else top, right)
