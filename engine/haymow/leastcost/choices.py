"""Write a cheapest season into the entry cells of Plan (and Diet), where anyone can overrule it."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import numpy as np

from ..problems import InputError
from ..ranch import EPOCH, Cell, Ranch
from ..tables.make import make
from ..tables.small import MODES
from ..units import KG_PER_LB
from .facts import Facts
from .kept import cleared
from .program import Array
from .result import LeastCost

__all__ = ["MOST_LINES", "choices", "lines_needed"]

MOST_LINES = 8  # feeding lines a group that a workbook has room for
DAILY = 7
Row = dict[str, Cell]


def lines_needed(result: LeastCost, kept_only: bool = False) -> int:
    """Feeding lines a group that the choices take up, kept ones counted (or only these)."""
    kept = _kept(result)
    fed = (result.dry_kg_per_day > 0).any(1).sum(1) * (not kept_only)
    needed = fed + [len(kept.get(int(group), {})) for group in result.facts.groups]
    return int(max([0 if kept_only else 1, *needed]))


def choices(result: LeastCost, ranch: Ranch) -> Ranch:
    """The ranch with the cheapest season as its choices.

    Each feed gets a line: product, purpose, dates, how often, and its amount by month. Lines of
    products to keep stand first, as they were; lines of groups that could not be planned stay.
    ``ranch`` may be a larger version of the one that was solved. Raises InputError where Plan has
    fewer lines than are needed.
    """
    facts, lines = result.facts, ranch.sizes["line"]
    if lines_needed(result) > lines:
        raise InputError(
            f"The cheapest season feeds {lines_needed(result)} products to one group and Plan has"
            f" {lines} lines; make more with 'haymow rebuild --lines {lines_needed(result)}', or"
            " allow fewer products.")
    plan = dict(cleared(ranch, facts.kept, facts.groups).entries["Plan"])
    kept = _kept(result)
    for at, group in enumerate(facts.groups):
        first = int(group) * lines + len(kept.get(int(group), {})) + 1
        for row, number in enumerate(_in_order(result, at), first):
            plan[row] = _line(result, ranch, at, number)
    diet = facts.ranch.entries.get("Diet", {}) if facts.wishes.forages else ranch.entries.get(
        "Diet", {})
    return replace(ranch, entries={**ranch.entries, "Plan": plan, "Diet": diet})


def _kept(result: LeastCost) -> dict[int, dict[int, Row]]:
    """The kept lines of each group."""
    ranch, found = result.facts.ranch, dict[int, dict[int, Row]]()
    for row, cells in cleared(ranch, result.facts.kept).entries["Plan"].items():
        found.setdefault((row - 1) // ranch.sizes["line"], {})[row] = dict(cells)
    return found


def _in_order(result: LeastCost, at: int) -> list[int]:
    """The products of a group: the one that restores intake first, then by what they cost."""
    usd = (result.dry_kg_per_day * result.facts.usd_per_kg)[at].sum(0)
    fed = np.flatnonzero((result.dry_kg_per_day[at] > 0).any(0))
    return sorted(map(int, fed), key=lambda p: (p != result.lifting[at], -usd[p]))


def _line(result: LeastCost, ranch: Ranch, at: int, number: int) -> Row:
    """The entries of one feeding line."""
    facts, dry = result.facts, result.dry_kg_per_day[at, :, number]
    fed, products = np.flatnonzero(dry > 0), facts.products
    kg = KG_PER_LB if ranch.us else 1.0
    row: Row = {"product": products.names[number], "purpose": _purpose(result, at, number),
                "from_on": _day(facts.first_days[fed[0]]),
                "to_on": _day(facts.first_days[fed[-1]] + facts.days[fed[-1]] - 1)}
    if products.self_fed[number]:
        row["mode"] = MODES[2]
    elif products.times_per_week[at, number] != DAILY:
        row["times_per_week"] = float(products.times_per_week[at, number])
    most = _own_most(facts, ranch, at, number)
    if most is not None:
        row["most"] = most
    for month in np.flatnonzero(facts.solved[at] | products.self_fed[number]):
        row[f"month_amount.{month + 1}"] = float(dry[month] / products.dm_pct[number] * 100 / kg)
    return row


def _purpose(result: LeastCost, at: int, number: int) -> str:
    """The need a line is shown against: the product's own, if it is known with all feeds here.

    One that restores intake is for CP, any other then not for a protein, so that the sheet counts
    the response once.
    """
    facts = result.facts
    words = _purposes(facts)
    own = words.get(float(facts.products.purpose_rows[number]), "")
    if result.lifting[at] == number:
        return "CP"
    fed = np.flatnonzero((result.dry_kg_per_day[at] > 0).any(0))
    good = [need.name for need in facts.needs if need.name in words.values()
            and need.known[at][facts.solved[at]].all() and _known_in(facts, need.key, fed)]
    if result.lifting[at] >= 0:
        good = [name for name in good if name not in ("CP", "RDP")]
    return own if own in good else "DM"


def _purposes(facts: Facts) -> dict[float, str]:
    book = make(facts.ranch)
    table = book.lists["nutrient"]
    data = table.at["nutrient"].data  # type: ignore[attr-defined]
    members = book.dimensions[table.dimensions[0]]
    return {float(members.index(key) + 1): str(data[members.index(key)])
            for key in book.dimensions["nutrient"]}


def _known_in(facts: Facts, key: str, fed: Array) -> bool:
    return bool(facts.products.known[key][fed].all())


def _own_most(facts: Facts, ranch: Ranch, at: int, number: int) -> Cell:
    """The user's own limit on a line of this product in this group, as it was typed."""
    lines = ranch.sizes["line"]
    for line in range(lines):
        cells = ranch.entries.get("Plan", {}).get(int(facts.groups[at]) * lines + line + 1, {})
        name = str(cells.get("product") or "")
        if name.casefold() == facts.products.names[number].casefold():
            return cells.get("most")
    return None


def _day(number: float) -> dt.date:
    return EPOCH + dt.timedelta(int(number))
