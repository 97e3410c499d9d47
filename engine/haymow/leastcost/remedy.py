"""What would make an impossible season possible: limits raised as little as can be, or a feed."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from .building import build
from .facts import Facts
from .program import Array
from .sets import amounts_of, short_of
from .solving import Solver

__all__ = ["Remedy", "remedy"]

LEAST_RISE = 1e-4  # kg of dry matter a day, or share of a limit: less is rounding of the solver


@dataclass(frozen=True)
class Remedy:
    """What helps: more products at all; amounts up to ``rises`` (NaN: limit as it is); limits.

    ``rises`` is group x month x product, kg of dry matter a head and day that would be fed;
    ``limits`` are the words of those on all feeds that would be exceeded, by group; ``left`` is
    what stays short of each need even so, as shares of it, group x month.
    """

    more_products: bool
    rises: Array
    limits: tuple[tuple[int, str], ...]
    left: tuple[Array, ...]


def remedy(facts: Facts) -> Remedy:
    """Find what would be needed so that as little as possible stays short."""
    counted = facts.wishes.most_products is not None or facts.wishes.most_per_group is not None
    free = replace(facts, wishes=replace(facts.wishes, most_products=None, most_per_group=None))
    if counted and not _any_short(free):
        return Remedy(True, np.full(facts.shape, np.nan), (),
                      tuple(np.zeros(facts.shape[:2]) for _ in facts.needs))
    season = build(free, open_limits=True)
    answer, _ = Solver(season).cheapest()
    over = answer.x[season.over[0]]
    rises = np.where(over > LEAST_RISE, amounts_of(season, answer), np.nan)
    limits = tuple((int(group), limit.words)
                   for limit, columns in zip(facts.limits, season.over[1:], strict=True)
                   for group in np.flatnonzero((answer.x[columns] > LEAST_RISE).any(1)))
    return Remedy(False, rises, limits, tuple(short_of(season, answer)[:-1]))


def _any_short(facts: Facts) -> bool:
    season = build(facts)
    return any(block.any() for block in short_of(season, Solver(season).cheapest()[0]))
