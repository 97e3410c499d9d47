"""``haymow report``: a page that prints, with the feed sheets in it."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from . import show
from .commands import Workbook, _planned, app, code_of

__all__ = ["report"]


@app.command()
def report(
        workbook: Workbook,
        out: Annotated[Path | None, typer.Option(
            help="Folder to write to; else beside the workbook.")] = None) -> int:
    """Write the plan as a page to print: answer, groups, costs, cautions, feed sheets.

    Example: haymow report ranch.xlsx --out reports
    """
    planned, found = _planned(workbook)
    folder = workbook.parent if out is None else out
    with show.step("Drawing and writing the report"):
        from ..report import write

        written = write(planned, workbook, folder, found)
    print(f"Wrote {written.path}{'; the older report was replaced' * written.replaced}.")
    return code_of(found)
