"""Which forage goes to which group: the diets that may be fed, and the shares chosen."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from ..evaluate import Values
from ..ranch import Cell, Ranch
from ..tables.make import make
from ..units import KG_PER_LB
from .facts import Facts
from .kept import named
from .program import Array
from .reading import Diets, as_now
from .wishes import Wishes

__all__ = ["possible", "shared_out"]

EATEN = ("main", "second", "third")  # on Diet; no more are fed together
LEAST_SHARE = 1e-4
PARTS = tuple(f"{name}{end}" for name in EATEN[1:] for end in ("", "_pct"))
Cells = dict[str, Cell]


def possible(ranch: Ranch, wishes: Wishes) -> Diets:
    """The ranch with each forage that may be shared out to a group, in turn, as its only one.

    It is shared out in the months in which the group's main forage is one of these.
    """
    if not wishes.forages:
        return as_now(ranch)
    values = Values(make(ranch), ranch)
    names = [str(n or "") for n in values.column("Forages", "forage")]
    groups = [str(n or "") for n in values.column("Herd", "group")]
    allowed = {named((group,), groups, "Herd")[0]: named(forages, names, "Forages")
               for group, forages in wishes.forages.items()}
    shape = (ranch.sizes["group"], ranch.sizes["month"])
    main = np.nan_to_num(values.column("Diet", "main_row")).reshape(shape) - 1
    shared = np.zeros(shape, bool)
    for group, forages in allowed.items():
        shared[group] = np.isin(main[group], forages)
    count = max(len(forages) for forages in allowed.values())
    offers = np.full((count + 1, shape[0]), -1)
    for group, forages in allowed.items():
        offers[1:len(forages) + 1, group] = forages
    may_eat = np.concatenate([~shared[None], shared & (offers[1:, :, None] >= 0)])
    ranches = tuple(_only(ranch, names, shared, each) for each in offers[1:])
    return Diets((ranch, *ranches), offers, may_eat, bool(wishes.forage_on_hand))


def _only(ranch: Ranch, names: list[str], shared: Array, offer: Array) -> Ranch:
    """The ranch in which each group eats one forage alone where it is shared out."""
    rows = _diet_rows(ranch)
    for group, month in np.argwhere(shared & (offer >= 0)[:, None]):
        cells = rows.setdefault(int(group * shared.shape[1] + month + 1), {})
        _clear(cells)
        cells["main"] = names[offer[group]]
    return replace(ranch, entries={**ranch.entries, "Diet": rows})


def shared_out(facts: Facts, shares: Array) -> Ranch:
    """The ranch with the chosen forages on Diet; forage put out where there is too little."""
    ranch, rows = facts.ranch, _diet_rows(facts.ranch)
    months = ranch.sizes["month"]
    for at, month in np.argwhere(~facts.may_eat[0] & facts.solved):
        cells = rows.setdefault(int(facts.groups[at] * months + month + 1), {})
        part = np.where(facts.offers[:, at] >= 0, shares[:, at, month], 0.0)
        dry = part * np.nan_to_num(facts.eaten[:, at, month])
        if dry.sum() <= 0:
            continue
        _clear(cells)
        for name, diet in zip(EATEN, np.argsort(-dry, kind="stable"), strict=False):
            share = dry[diet] / dry.sum()
            if share > LEAST_SHARE:
                cells[name] = facts.forage_names[facts.offers[diet, at]]
                if name != EATEN[0]:
                    cells[f"{name}_pct"] = float(share * 100)
        if part.sum() < 1 - LEAST_SHARE:
            tonnes = float(part @ np.nan_to_num(facts.forage_tonne[:, at, month]))
            kg = tonnes * 1000 / (facts.head[at] * facts.days[month])
            cells["put_out"] = float(kg / (KG_PER_LB if ranch.us else 1.0))
    return replace(ranch, entries={**ranch.entries, "Diet": rows})


def _diet_rows(ranch: Ranch) -> dict[int, Cells]:
    return {row: dict(cells) for row, cells in ranch.entries.get("Diet", {}).items()}


def _clear(cells: Cells) -> None:
    for name in PARTS:
        cells.pop(name, None)
