"""The cheapest sets of products, side by side: each leaves out something of the ones before it."""

from __future__ import annotations

import heapq
import itertools
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from .building import Season
from .program import Array
from .reading import RATIO_TIER
from .solving import Answer, Solver

__all__ = ["LEAST_KG", "ProductSet", "amounts_of", "cheapest_sets", "short_of"]

LEAST_KG = 1e-6  # of dry matter a head and day: less is rounding of the solver
LEAST_SHORT = 2e-5  # share of a need, or TDN:CP points: less is rounding of the solver


@dataclass(frozen=True)
class ProductSet:
    """A season with one set of products; ``high`` are the limits it was found under."""

    products: tuple[int, ...]
    answer: Answer
    high: Array


def amounts_of(season: Season, answer: Answer) -> Array:
    """Dry matter a head and day, without what is rounding: group x month x product."""
    found = answer.x[season.amounts]
    return np.asarray(np.where(found > LEAST_KG, found, 0.0))


def short_of(season: Season, answer: Answer) -> list[Array]:
    """What stays short of each need, as shares of it, then TDN above what CP allows."""
    blocks = [*season.slack, season.ratio_slack]
    return [np.where(answer.x[b] > LEAST_SHORT, answer.x[b], 0.0) for b in blocks]


def cheapest_sets(solver: Solver, first: ProductSet, count: int,
                  tell: Callable[[str], None]) -> list[ProductSet]:
    """The ``count`` best seasons of different product sets, the best first.

    Best is what leaves least short, then what costs least. Buying units are rounded for those
    that are shown only, so their order is that without rounding. A set is left by forbidding one
    of its products: every other set lacks at least one of them or costs more with it.
    """
    number = itertools.count()  # breaks ties, so that nothing else is compared
    found, seen = [first], {frozenset[int]()}
    heap: list[tuple[tuple[float, ...], int, frozenset[int], ProductSet]] = []
    latest, banned = first, frozenset[int]()
    while len(found) < count:
        for product in latest.products:
            ban = banned | {product}
            if ban not in seen:
                seen.add(ban)
                tell(f"the season without {solver.season.facts.products.names[product]}")
                each = _without(solver, ban, solver.choosing)
                heapq.heappush(heap, (_score(solver.season, each), next(number), ban, each))
        if not heap:
            break
        *_, banned, latest = heapq.heappop(heap)
        if latest.products not in [each.products for each in found]:
            found.append(latest)
    # within its gap the first may cost more than one found with fewer products
    rounded = [first, *(_rounded(solver, each) for each in found[1:])]
    return sorted(rounded, key=lambda each: _score(solver.season, each))


def _without(solver: Solver, ban: frozenset[int], whole: Array) -> ProductSet:
    high = solver.high.copy()
    high[solver.season.amounts[..., sorted(ban)]] = 0.0
    answer, high = solver.cheapest(high, whole)
    return ProductSet(used(solver.season, answer), answer, high)


def used(season: Season, answer: Answer) -> tuple[int, ...]:
    """The products that are fed at all."""
    return tuple(int(p) for p in np.flatnonzero(amounts_of(season, answer).any((0, 1))))


def _score(season: Season, each: ProductSet) -> tuple[float, ...]:
    """What stays short in the order of work, rounded so that no noise of the solver ranks; cost."""
    *needs, ratio = short_of(season, each.answer)
    tiers = [need.tier for need in season.facts.needs]
    short = {tier: 0.0 for tier in sorted({*tiers, RATIO_TIER})}
    for tier, block in zip([*tiers, RATIO_TIER], [*needs, ratio], strict=True):
        short[tier] += float(block.sum())
    return (*(round(share, 3) for share in short.values()), each.answer.usd)


def _rounded(solver: Solver, each: ProductSet) -> ProductSet:
    """The same set bought in whole units, where any are asked for."""
    if not solver.season.orders:
        return each
    others = set(range(solver.season.facts.shape[2])) - set(each.products)
    return _without(solver, frozenset(others), solver.whole)
