"""A workbook in the making: what stands where, and what its formulas should show."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from openpyxl import Workbook
from openpyxl.worksheet.worksheet import Worksheet

from ..evaluate import Values
from ..tables import Book
from .formulas import Formulas

__all__ = ["Built", "Cached", "Formulated"]

Cached = dict[str, dict[str, Any]]  # sheet -> cell -> what the formula shows
Formulated = dict[str, dict[int, list[tuple[int, str, int, str]]]]
"""Sheet -> row -> column's number and letters, style, formula of the cells written at sealing.

The formula is text of XML already.
"""


@dataclass
class Built:
    """A workbook in the making: what stands where, and what its formulas should show."""

    book: Book
    values: Values
    formulas: Formulas
    workbook: Workbook
    cached: Cached = field(default_factory=dict)
    formulated: Formulated = field(default_factory=dict)
    told: list[str] = field(default_factory=list)  # what each picture shows, in words

    def sheet(self, name: str) -> Worksheet:
        """The sheet of that name, made where it is new."""
        if name not in self.workbook.sheetnames:
            self.workbook.create_sheet(name)
            self.cached[name], self.formulated[name] = {}, {}
        return self.workbook[name]

    def formula(self, sheet: str, place: str, text: str, value: Any) -> None:
        """A formula outside the tables, with what it should show."""
        self.sheet(sheet)[place] = text
        self.cached[sheet][place] = value
