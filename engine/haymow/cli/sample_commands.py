"""Commands about samples: what to take, and what laboratories have said."""

from __future__ import annotations

from dataclasses import asdict
from typing import Annotated

import typer

from ..problems import InputError, Problem
from . import show, show_samples
from .commands import DONE, PROBLEMS, Json, Workbook, app

__all__ = ["lab_history", "sample_plan", "sure"]


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
    show_samples.plan(planned)
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


@app.command("lab-history")
def lab_history(
        workbook: Workbook,
        forage: Annotated[str, typer.Option(help="Only this forage.")] = "",
        as_json: Json = False) -> int:
    """Show all reports of each lot side by side, and whether they differ by more than chance.

    Example: haymow lab-history ranch.xlsx --forage "Meadow hay"
    """
    with show.step(f"Reading {workbook.name}"):
        from ..report_card import cards, doubts
        from ..report_card import lab_history as work_out
        from ..workbook.read import read

        reading = read(workbook)
        found, told = work_out(reading.ranch, forage), doubts(reading.ranch, reading.places)
    if not found:
        raise InputError(f"There is no tested sample of '{forage}'; expected a name of Forages."
                         if forage else f"{workbook.name} holds no tested sample yet.")
    if as_json:
        show.in_json({"lots": [asdict(lot) for lot in found],
                      "cards": [asdict(card) for card in cards(reading.ranch)],
                      "doubts": [vars(doubt) for doubt in told]})
        return DONE
    show_samples.histories(found)
    show.problems(told)
    return DONE


@app.command()
def sure(
        workbook: Workbook,
        chance: Annotated[float, typer.Option(help="Chance to size amounts to, %.")] = 80.0,
        write: Annotated[bool, typer.Option(
            "--write", help="Have the workbook size amounts to that chance; a backup is kept."
            )] = False,
        as_json: Json = False) -> int:
    """Say how sure it is that needs are met, by draws, and what one more sample is worth.

    Example: haymow sure ranch.xlsx --chance 80
    """
    problems = _written(workbook, chance) if write else []
    with show.step(f"Reading {workbook.name}"):
        from ..risk import risk, worth_of_samples
        from ..workbook.read import read

        ranch = read(workbook).ranch
    with show.step("Drawing"):
        found, worth = risk(ranch), worth_of_samples(ranch)
    if as_json:
        show.in_json(show_samples.risk_record(found) | {
            "one_more_sample_usd": dict(worth), "problems": [vars(p) for p in problems]})
    else:
        show_samples.risk(found, worth)
        show.problems(problems)
    return PROBLEMS if problems else DONE


def _written(workbook: Workbook, chance: float) -> list[Problem]:
    from ..ranch import Ranch
    from ..risk import sized
    from ..workbook.rebuild import rebuild

    found: list[Problem] = []

    def change(ranch: Ranch) -> Ranch:
        ranch, problems = sized(ranch, chance)
        found.extend(problems)
        return ranch

    with show.step(f"Writing {workbook.name}"):
        rebuild(workbook, change=change)
    return found
