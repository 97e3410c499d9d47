"""``haymow plan --least-cost``: the cheapest season, shown or written into the workbook."""

from __future__ import annotations

import contextlib
import os
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from ..problems import Problem
from . import show

if TYPE_CHECKING:
    from ..leastcost import LeastCost
    from ..ranch import Ranch

__all__ = ["plan_least_cost"]


def plan_least_cost(workbook: Path, write: bool, products: int | None, as_json: bool) -> bool:
    """Find the cheapest season, print it, write it if asked; whether there is more to look at."""
    if write:
        result, problems, done = _written(workbook, products)
    else:
        from ..workbook.read import read

        with show.step(f"Reading {workbook.name}"):
            reading = read(workbook)
        result, problems, done = _searched(reading.ranch, products), list(reading.problems), ""
    found = [*problems, *result.notes]
    if as_json:
        show.in_json(result.as_records() | {"notes": [vars(each) for each in found]})
    else:
        _show(result, found)
        print(done, end="")
    return bool(len(result.shortages)) or any(each.severity != "note" for each in found)


def _show(result: LeastCost, found: Sequence[Problem]) -> None:
    """The cheapest season in sentences; product sets side by side; then what to look at."""
    for sentence in result.words:
        print(sentence)
    print()
    rows = [[str(row["rank"]), row["products"], f"{row['cost_usd']:,.0f}", f"{row['trips']:,}",
             row["still_short"]] for row in result.sets.to_dict("records")]
    show.table("The cheapest sets of products", ["", "Products", "$", "Trips", "Still short"], rows)
    if found:
        print("To look at:")
        show.problems(found)


def _working_on(what: str) -> None:
    """A line on stderr: what is being worked on now."""
    print(f"Looking for {what} ...", file=sys.stderr, flush=True)


def _written(workbook: Path, products: int | None) -> tuple[LeastCost, list[Problem], str]:
    """Write the choices into the workbook, with more feeding lines where they are needed."""
    from ..leastcost import choices, lines_needed
    from ..workbook.rebuild import rebuild
    from ..workbook.sizes import resized

    results: list[LeastCost] = []

    def chosen(ranch: Ranch) -> Ranch:
        results.append(_searched(ranch, products))
        lines = max(lines_needed(results[-1]), ranch.sizes["line"])
        return choices(results[-1], resized(ranch, {"line": lines})[0])

    done = rebuild(workbook, change=chosen)
    told = f"Written into {workbook}; the file as it was: {done.backup.name}\n"
    return results[-1], list(done.problems), told


def _searched(ranch: Ranch, products: int | None) -> LeastCost:
    """The cheapest season, of no more products a group than a workbook has lines for."""
    from ..leastcost import asked, fitting

    wishes = asked(ranch, most_products=products)
    with _answers_only():
        return fitting(ranch, wishes, _working_on)


@contextlib.contextmanager
def _answers_only() -> Iterator[None]:
    """What the solver's library itself prints goes to stderr, so that stdout stays readable."""
    sys.stdout.flush()
    kept = os.dup(1)
    os.dup2(2, 1)
    try:
        yield
    finally:
        os.dup2(kept, 1)
        os.close(kept)
