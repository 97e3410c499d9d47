"""A file's sheets and pages as grids of cells that remember where they stood."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

__all__ = ["NO_CELL", "Cell", "Grid", "address"]


@dataclass(frozen=True)
class Cell:
    """One cell: its text, its typed value if a workbook gave one, and where it stood.

    ``percent``: the number is a fraction shown as percent. ``fault``: why it cannot be read.
    ``spread``: the text comes from a merged cell that covers this place.
    """

    text: str = ""
    value: float | dt.datetime | bool | None = None
    where: str = ""
    percent: bool = False
    fault: str = ""
    spread: bool = False

    @property
    def blank(self) -> bool:
        """Nothing stands here."""
        return not self.text.strip() and not self.fault

    @property
    def typed_date(self) -> dt.date | None:
        """The date a workbook stores here."""
        return self.value.date() if isinstance(self.value, dt.datetime) else None


NO_CELL = Cell()


@dataclass(frozen=True)
class Grid:
    """The cells of one sheet, page or text file. ``fixed``: columns cannot slip (a workbook)."""

    name: str
    rows: tuple[tuple[Cell, ...], ...]
    fixed: bool = False

    def at(self, row: int, column: int) -> Cell:
        """The cell there; an empty one outside of the grid."""
        if 0 <= row < len(self.rows) and 0 <= column < len(self.rows[row]):
            return self.rows[row][column]
        return NO_CELL

    @property
    def width(self) -> int:
        """Number of columns of the longest row."""
        return max((len(row) for row in self.rows), default=0)


def address(row: int, column: int) -> str:
    """Name of a cell counted from 0.

    >>> address(6, 27)
    'AB7'
    """
    letters, number = "", column + 1
    while number:
        number, left = divmod(number - 1, 26)
        letters = chr(65 + left) + letters
    return f"{letters}{row + 1}"
