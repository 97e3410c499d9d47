"""``haymow excel``: is Excel ready for the functions and macros, and what to do if not."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

__all__ = ["app"]

app = typer.Typer(help="Functions and macros in Excel: what is there, and what to do.",
                  no_args_is_help=True)
Of = Annotated[Path | None, typer.Argument(
    help="A workbook with macros, to compare its version with the installed one.")]
For = Annotated[Path | None, typer.Argument(
    help="A workbook without macros, whose 'Run main' on the ribbon is to work.")]


@app.command()
def check(workbook: Of = None) -> int:
    """Say what is there for Excel's functions and macros, and what is missing.

    Example: haymow excel check ranch.xlsm
    """
    from ..excel.check import check_report
    found = check_report(workbook)
    for problem in found:
        typer.echo(f"{'ok' if problem.severity == 'note' else 'look'}: {problem}")
    return int(any(problem.severity != "note" for problem in found))


@app.command()
def install(workbook: For = None) -> int:
    """Set up the add-in that runs the functions and macros.

    Example: haymow excel install
    """
    from ..excel.check import install as set_up
    for line in set_up(workbook):
        typer.echo(line)
    return 0
