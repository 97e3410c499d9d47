"""Commands about samples: what to take, and what laboratories have said."""

from __future__ import annotations

from typing import Annotated

import typer

from . import show
from .commands import DONE, Json, Workbook, app

__all__ = ["sample_plan"]


@app.command("sample-plan")
def sample_plan(
        workbook: Workbook,
        add: Annotated[bool, typer.Option(
            "--add", help="Write a row on Samples for each bag to take, with an id.")] = False,
        as_json: Json = False) -> int:
    """Say what to sample, how much of it, when and how, and print labels.

    Example: haymow sample-plan ranch.xlsx
    """
    ids = _added(workbook) if add else []
    with show.step(f"Reading {workbook.name}"):
        from ..samples import sample_plan as work_out
        from ..workbook.read import read

        planned = work_out(read(workbook).ranch)
    if as_json:
        show.in_json(planned.as_records() | {"added": ids})
        return DONE
    show.samples(planned)
    for name in ids:
        print(f"Written on Samples: {name}")
    return DONE


def _added(workbook: Workbook) -> list[str]:
    from ..ranch import Ranch
    from ..samples import with_planned
    from ..workbook.rebuild import rebuild

    ids: list[str] = []

    def change(ranch: Ranch) -> Ranch:
        ranch, names = with_planned(ranch)
        ids.extend(names)
        return ranch

    with show.step(f"Writing {workbook.name}"):
        rebuild(workbook, change=change)
    return ids
