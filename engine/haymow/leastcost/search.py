"""The cheapest season of a ranch, from its entries to the answer in words."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

import numpy as np

from ..ranch import Ranch
from . import meaning, words
from .building import Season, build
from .facts import Facts
from .forages import possible, shared_out
from .program import Array
from .reading import as_now, facts
from .remedy import remedy
from .result import LeastCost
from .sets import ProductSet, amounts_of, cheapest_sets, used
from .solving import Answer, Solver
from .wishes import Wishes

if TYPE_CHECKING:
    import pandas as pd

__all__ = ["least_cost"]


def least_cost(ranch: Ranch, wishes: Wishes | None = None,
               tell: Callable[[str], None] = lambda what: None) -> LeastCost:
    """Find the cheapest season in which as little as possible stays short.

    One program over groups, months and products: all needs that are known, in the order of work;
    no energy feed before protein; every limit; on wish forages shared out, whole buying units, few
    products, trips, prices by month. Needs are met first, then cost is least.

    Parameters
    ----------
    ranch : Ranch
        As it was typed. Its feeding lines are chosen anew, except those to keep.
    wishes : Wishes, optional
        What is allowed and asked.
    tell : callable, optional
        Is told what is being worked on.

    Raises
    ------
    InputError
        Nothing can be planned yet, or a wish names what the ranch does not have.
    """
    wishes = wishes or Wishes()
    shares_of_forage, ready = _forages(ranch, wishes, tell)
    tell("the cheapest season")
    season = build(ready)
    solver = Solver(season)
    answer, high = solver.cheapest()
    first = ProductSet(used(season, answer), answer, high)
    tell("other sets of products")
    found = cheapest_sets(solver, first, wishes.sets, tell)
    priced = solver.priced(found[0].answer, found[0].high)
    return _result(season, solver, priced, found, shares_of_forage, tell)


def _forages(ranch: Ranch, wishes: Wishes, tell: Callable[[str], None]
             ) -> tuple[pd.DataFrame, Facts]:
    """Share out forages first, where any may be; the facts with these diets on the sheet."""
    diets = possible(ranch, wishes)
    ready = facts(wishes, diets)
    if len(diets.ranches) == 1:
        return meaning.forages(ready, np.zeros(ready.eaten.shape)), ready
    tell("which forage to whom")
    season = build(ready)
    shares = Solver(season).cheapest()[0].x[season.shares]
    shared = shared_out(ready, shares)
    return meaning.forages(ready, shares), facts(wishes, as_now(shared))


def _result(season: Season, solver: Solver, priced: Answer, found: list[ProductSet],
            forages: pd.DataFrame, tell: Callable[[str], None]) -> LeastCost:
    """Put the answer together."""
    ready, answer = season.facts, found[0].answer
    dry = amounts_of(season, answer)
    amounts, orders = meaning.amounts(ready, dry), meaning.orders(season, answer, dry)
    short = meaning.shortages(season, answer)
    helps: tuple[str, ...] = ()
    if len(short):
        tell("what would make it possible")
        helps = tuple(words.remedy_words(ready, remedy(ready)))
    prices, enters = meaning.prices(season, priced), meaning.enters(season, solver, priced, dry)
    limits, grazing = meaning.limits(season, solver, priced, dry), meaning.grazing(ready, dry)
    trips, feed_usd = meaning.trips(season, dry), float(amounts["cost_usd"].sum())
    told = [*words.cost_words(ready, amounts, orders, trips, ready.wishes.trip_usd),
            *words.forage_words(ready, forages),
            *words.short_words(ready, short), *helps,
            *words.money_words(ready, prices, enters, grazing, limits)]
    if not answer.complete:
        told.append(f"Time ran out: a season up to {answer.gap * 100:.1f} % cheaper may exist.")
    return LeastCost(
        words=tuple(told), sheet_usd=feed_usd + ready.kept_usd, feed_usd=feed_usd,
        kept_usd=ready.kept_usd, cost_usd=_cost(season, answer, dry), trips=trips,
        trip_usd=trips * ready.wishes.trip_usd, gap=answer.gap, complete=answer.complete,
        amounts=amounts, orders=orders, forages=forages, shortages=short,
        remedies=helps, prices=prices, limits=limits, enters=enters, grazing=grazing,
        sets=meaning.sets(season, found), units=_units(ready),
        notes=ready.notes, facts=ready, dry_kg_per_day=dry, lifting=_lifting(season, answer, dry))


def _cost(season: Season, answer: Answer, dry: Array) -> float:
    """What was made least, without the solver's rounding of amounts."""
    x = answer.x.copy()
    x[season.amounts] = dry
    return season.usd(x)


def _lifting(season: Season, answer: Answer, dry: Array) -> Array:
    """The product of each group that restores its intake; -1 for none."""
    if season.lifting is None:
        return np.full(len(dry), -1)
    chosen = (answer.x[season.lifting] > 0.5) & (dry > 0).any(1)
    return np.where(chosen.any(1), chosen.argmax(1), -1)


def _units(ready: Facts) -> Mapping[str, str]:
    us = ready.ranch.us
    weight, load = ("lb", "tons") if us else ("kg", "tonnes")
    per_ton = f"$/{'ton' if us else 'tonne'}"
    return {"per_head": f"{weight}/day", "fed": load, "to_buy": load, "cost_usd": "$",
            "needed": load, "on_hand": load, "unit": load, "ordered": load, "left_over": load,
            "price_usd_per_ton": per_ton, "enters_at_usd_per_ton": per_ton, "saves_usd": "$",
            "saves_usd_per_head_day": "$/head/day"}
