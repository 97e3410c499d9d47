"""A small ranch, and what people do to its workbook in a spreadsheet program.

openpyxl moves cells and leaves the defined names behind; here these follow, as they do there.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from openpyxl import load_workbook
from openpyxl.utils import column_index_from_string, get_column_letter

from haymow.ranch import Ranch
from haymow.tables.small import ANALYTES

AREA = re.compile(r"'?([^'!]+)'?!\$([A-Z]+)\$(\d+)(?::\$([A-Z]+)\$(\d+))?")
SIZES = {"month": 4, "line": 2, "group": 4, "forage": 4, "product": 4, "sample": 6}


def small_ranch() -> Ranch:
    """Three groups, two forages, two feeds, four months from October."""
    return Ranch(
        entries={
            "Samples": {
                1: {"sample_id": "A-1", "forage": "Creek pasture", "basis": "dry matter",
                    "sampled_on": dt.date(2026, 10, 5), "reported.cp": 6.1, "reported.tdn": 54.0},
                2: {"sample_id": "A-2", "forage": "Meadow hay", "basis": "as fed",
                    "reported.dm": 88.0, "reported.cp": 8.25, "reported.adf": 35.5}},
            "Forages": {1: {"forage": "Creek pasture", "kind": "native range"},
                        2: {"forage": "Meadow hay", "kind": "cool-season grass hay"}},
            "Herd": {
                1: {"group": "Spring cows", "class_name": "mature cow", "head": 120.0,
                    "weight": 1250.0, "first_calf_on": dt.date(2027, 3, 1), "peak_milk": 20.0,
                    "usual_forage": "Creek pasture"},
                2: {"group": "Heifers", "class_name": "replacement heifer", "head": 35.0,
                    "weight": 560.0, "gain": 1.25, "mature_weight": 1200.0,
                    "usual_forage": "Meadow hay"},
                3: {"group": "Bulls", "class_name": "mature bull", "head": 6.0, "weight": 1900.0,
                    "usual_forage": "Meadow hay"}},
            "Diet": {1: {"main": "Meadow hay"}, 2: {"second": "Meadow hay", "second_pct": 25.0},
                     6: {"own_need.cp": 1.5}, 12: {"known_intake": 38.0}},
            "Supplements": {2: {"product": "Cube", "purpose": "CP", "price": 475.0,
                                "basis": "as fed", "reported.dm": 90.0, "reported.cp": 38.0},
                            3: {"product": "Mineral", "purpose": "P", "price": 900.0,
                                "label_intake": 0.25, "basis": "as fed", "reported.dm": 97.0,
                                "reported.p": 8.0}},
            "Plan": {1: {"product": "Cube", "times_per_week": 3.0, "month_amount.2": 1.5,
                         "month_amount.4": 2.0}, 2: {"product": "Mineral"},
                     3: {"product": "Cube", "mode": "level", "from_on": dt.date(2026, 11, 12)}},
            "Quality": {5: {"override.cp": 9.0}},
        },
        settings={"first_month": dt.date(2026, 10, 1), "activity_pct": 10.0},
        sizes=dict(SIZES))


class Edits:
    """An opened workbook; cells are found by the table's names, not by letters."""

    def __init__(self, path: Path) -> None:
        self.workbook: Any = load_workbook(path)

    def area(self, name: str) -> tuple[str, int, int, int, int]:
        """Sheet, first column, first row, last column, last row of a name."""
        text = self.workbook.defined_names[name].attr_text
        sheet, left, top, right, bottom = AREA.fullmatch(text).groups()
        right, bottom = right or left, bottom or top
        return (sheet, column_index_from_string(left), int(top),
                column_index_from_string(right), int(bottom))

    def cell(self, name: str, number: int = 1, analyte: str = "") -> Any:
        """The cell of a name in the row that carries a number (in a block, of an analyte)."""
        sheet, left, top, _, bottom = self.area(name)
        left += ANALYTES.index(analyte) if analyte else 0
        keys = {"Herd": "group_no", "Forages": "forage_no", "Samples": "sample_no",
                "Supplements": "product_no"}
        table = name.partition("_")[0]
        key = self.area(f"{table}_{keys.get(table, 'row_no')}")[1] if table in (
            *keys, "Diet", "Plan", "Quality") else None
        for row in range(top, bottom + 1):
            if key is None or self.workbook[sheet].cell(row, key).value == number:
                return self.workbook[sheet].cell(row, left)
        raise LookupError(f"{name} {number}")

    def header(self, name: str) -> Any:
        """The header cell above a name's column."""
        sheet, left, top, _, _ = self.area(name)
        return self.workbook[sheet].cell(top - 1, left)

    def insert_rows(self, sheet: str, at: int, count: int = 1) -> None:
        self.workbook[sheet].insert_rows(at, count)
        self._names(sheet, lambda a: (a[0], a[1] + count * (a[1] >= at), a[2],
                                      a[3] + count * (a[3] >= at)))

    def delete_row(self, sheet: str, at: int) -> None:
        self.workbook[sheet].delete_rows(at)
        self._names(sheet, lambda a: (a[0], a[1] - (a[1] > at), a[2], a[3] - (a[3] >= at)))

    def insert_columns(self, sheet: str, at: int, count: int = 1) -> None:
        self.workbook[sheet].insert_cols(at, count)
        self._names(sheet, lambda a: (a[0] + count * (a[0] >= at), a[1],
                                      a[2] + count * (a[2] >= at), a[3]))

    def delete_column(self, sheet: str, at: int) -> None:
        self.workbook[sheet].delete_cols(at)
        self._names(sheet, lambda a: (a[0] - (a[0] > at), a[1], a[2] - (a[2] >= at), a[3]))

    def move_column(self, name: str, to: int) -> None:
        """Cut a column with all above it and insert it before another."""
        sheet, left, _, _, _ = self.area(name)
        self.insert_columns(sheet, to)
        left += left >= to
        moved = self.workbook[sheet]
        for row in range(1, moved.max_row + 1):
            old, new = moved.cell(row, left), moved.cell(row, to)
            new.value, new._style, old.value = old.value, old._style, None
        self._point(name, sheet, to)
        self.delete_column(sheet, left)

    def sort(self, name: str, number_name: str) -> None:
        """Sort a table by a column, from last to first, blanks below; numbers go along."""
        sheet, left, top, _, bottom = self.area(name)
        page = self.workbook[sheet]
        rows = [[(page.cell(r, c).value, page.cell(r, c)._style)
                 for c in range(1, page.max_column + 1)] for r in range(top, bottom + 1)]
        rows.sort(key=lambda cells: str(cells[left - 1][0] or ""), reverse=True)
        for row, cells in enumerate(rows, top):
            for column, (value, style) in enumerate(cells, 1):
                page.cell(row, column).value = value
                page.cell(row, column)._style = style

    def rename(self, sheet: str, title: str) -> None:
        self.workbook[sheet].title = title
        for defined in self.workbook.defined_names.values():
            match = AREA.fullmatch(defined.attr_text)
            if match and match[1] == sheet:
                defined.attr_text = f"'{title}'!" + defined.attr_text.rpartition("!")[2]

    def _point(self, name: str, sheet: str, column: int) -> None:
        _, _, top, _, bottom = self.area(name)
        letter = get_column_letter(column)
        self.workbook.defined_names[name].attr_text = \
            f"'{sheet}'!${letter}${top}:${letter}${bottom}"

    def _names(self, sheet: str, change: Callable[[tuple[int, int, int, int]],
                                                  tuple[int, int, int, int]]) -> None:
        for defined in self.workbook.defined_names.values():
            match = AREA.fullmatch(defined.attr_text)
            if match and match[1] == sheet:
                left, top, right, bottom = change((
                    column_index_from_string(match[2]), int(match[3]),
                    column_index_from_string(match[4] or match[2]), int(match[5] or match[3])))
                gone = right < left or bottom < top
                defined.attr_text = f"'{sheet}'!" + ("#REF!" if gone else
                    f"${get_column_letter(left)}${top}:${get_column_letter(right)}${bottom}")


@contextmanager
def edited(path: Path) -> Any:
    """Edit a workbook in place, as a spreadsheet program would."""
    edits = Edits(path)
    yield edits
    edits.workbook.save(path)


def plain(ranch: Ranch) -> dict[str, Any]:
    """Entries without blank cells and rows, for comparing."""
    return {name: found for name, rows in ranch.entries.items() if (found := {
        row: kept for row, cells in rows.items() if (kept := {
            key: round(value, 12) if isinstance(value, float | int) else value
            for key, value in cells.items() if value not in (None, "")})})}


def told(problems: Any) -> str:
    """All problems as text, one a line."""
    return "\n".join(map(str, problems))
