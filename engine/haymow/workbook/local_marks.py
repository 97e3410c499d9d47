"""Where defaults of the area show: beside their settings on Start, in its cautions, on Sources."""

from __future__ import annotations

from openpyxl.styles import Alignment, Font

from ..tables import Setting
from .making import Built

__all__ = ["local_rows", "local_sources", "mark_local", "put_local"]

HEADS = ("Local default", "Value", "Unit", "As it is shown", "Source")


def local_rows(built: Built, kind: str = "") -> list[int]:
    """Numbers of the rows on Local defaults; of a kind, where one is asked for."""
    rows = built.values.ranch.entries.get("Local", {})
    return [number for number, cells in sorted(rows.items())
            if (cells.get("local_kind") == kind if kind else cells.get("local_kind"))]


def put_local(built: Built, sheet: str, row: int, column: int, number: int,
              name: str = "local_told") -> None:
    """A cell that shows what stands in a row on Local defaults; blank where nothing does."""
    cell = built.sheet(sheet).cell(row, column)
    value = built.values.column("Local", name)[number - 1]
    shown = "" if value is None or value != value else value
    at = f"INDEX(Local_{name},{number})"
    built.formula(sheet, cell.coordinate, f'=IF({at}="","",{at})', shown)
    cell.font = Font(name="Calibri", size=11)


def mark_local(built: Built, row: int, line: Setting) -> None:
    """The source of a setting from the area's defaults: local, until another value is typed."""
    number = next((n for n in local_rows(built, "setting")
                   if built.values.ranch.entries["Local"][n].get("local_item") == line.label), 0)
    if not number:
        return
    typed = built.values.ranch.settings.get(line.name)
    typed = line.value if typed is None else typed
    same = typed == built.values.ranch.entries["Local"][number].get("local_value")
    told = built.values.column("Local", "local_told")[number - 1] if same else "your choice"
    built.formula("Start", f"F{row}", f"=IF(C{row}=INDEX(Local_local_value,{number}),"
                  f'INDEX(Local_local_told,{number}),"your choice")', told or "")
    cell = built.sheet("Start").cell(row, 6)
    cell.style = "fixed"
    cell.alignment = Alignment(wrap_text=True, vertical="top")


def local_sources(built: Built, row: int) -> int:
    """What the file of the area's defaults carried in, on Sources; the next free row."""
    numbers = local_rows(built)
    for place, head in enumerate(HEADS, 1):
        built.sheet("Sources").cell(row + 2, place, head).style = "head"
    names = ("local_item", "local_value", "local_unit", "local_told", "local_source")
    for offset, number in enumerate(numbers, row + 3):
        for place, name in enumerate(names, 1):
            put_local(built, "Sources", offset, place, number, name)
    return row + 3 + len(numbers)
