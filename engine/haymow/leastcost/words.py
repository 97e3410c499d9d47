"""The cheapest season in plain sentences."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import numpy as np

from ..units import KG_PER_LB
from .facts import Facts
from .remedy import Remedy

if TYPE_CHECKING:
    import pandas as pd

__all__ = ["cost_words", "forage_words", "money_words", "remedy_words", "short_words"]

NAMES = {"lb": "a pound", "kg": "a kilogram", "g": "a gram", "mg": "a milligram", "IU": "an IU"}
CAUTION = ("Limits of urea, sulfur, fat, starch and meals are kept where tags say enough; look at"
           " Safety, and ask your nutritionist or extension office, before you buy.")
LEFT = 1e-3  # share of a need that stays short whatever is fed: less is rounding


def cost_words(facts: Facts, amounts: pd.DataFrame, orders: pd.DataFrame, trips: int,
               trip_usd: float) -> Iterator[str]:
    """What is bought, what it costs, what is left over."""
    ton = "tons" if facts.ranch.us else "tonnes"
    if facts.kept_usd:
        kept = f"{', '.join(facts.kept)} " if facts.kept else "Lines of groups not planned "
        total = facts.kept_usd + amounts["cost_usd"].sum()
        yield f"{kept}as planned: ${facts.kept_usd:,.0f}; with all feeds ${total:,.0f}."
    if not len(amounts):
        yield "Nothing more need be bought: what is fed already meets all needs that are known."
        return
    by_product = amounts.groupby("product", sort=False)[["to_buy", "cost_usd"]].sum()
    each = [f"{row['product']} {row['to_buy']:,.1f} {ton} (${row['cost_usd']:,.0f})"
            for row in _rows(by_product.sort_values("cost_usd", ascending=False).reset_index())]
    yield f"Feeds for ${by_product['cost_usd'].sum():,.0f}: {', '.join(each)}."
    yield CAUTION
    for row in _rows(orders.dropna(subset=["units"])):
        yield (f"Order {row['units']:.0f} x {row['unit']:g} {ton} of {row['product']};"
               f" {row['left_over']:,.1f} {ton} will be left over.")
    if trip_usd:
        yield f"{trips:,} trips to the groups cost ${trips * trip_usd:,.0f}."


def forage_words(facts: Facts, forages: pd.DataFrame) -> Iterator[str]:
    """Which lot goes to whom, a sentence for each lot that was shared out."""
    ton = "tons" if facts.ranch.us else "tonnes"
    for lot, rows in forages.groupby("forage", sort=False):
        to = rows.groupby("group", sort=False)[["fed"]].sum().reset_index()
        each = [f"{row['fed']:,.1f} {ton} to {row['group']}" for row in _rows(to)]
        yield f"{lot}: {', '.join(each)}."


def short_words(facts: Facts, shortages: pd.DataFrame) -> Iterator[str]:
    """What cannot be met, a sentence for each group and nutrient: how often, and the worst."""
    order = {name: number for number, name in reversed(list(enumerate(facts.names)))}
    by_group = shortages.sort_values("group", key=lambda names: names.map(order), kind="stable")
    for (group, nutrient), rows in by_group.groupby(["group", "nutrient"], sort=False):
        if rows["pct_of_need"].isna().all():
            yield (f"{group}: in {_months(len(rows))} the whole diet holds too little CP for its"
                   " TDN; an energy feed would do little there.")
            continue
        worst = _rows(rows.nsmallest(1, "pct_of_need"))[0]
        yield (f"{group}: {nutrient} cannot be met in {_months(len(rows))}; in"
               f" {worst['month']:%b %Y} it stays {worst['short']:.3g} {worst['unit']} a head short"
               f" ({int(worst['pct_of_need'])} % of need).")


def remedy_words(facts: Facts, found: Remedy) -> Iterator[str]:
    """What would make it possible."""
    if found.more_products:
        yield "All needs could be met if more products were allowed."
        return
    products, unit = facts.products, "lb" if facts.ranch.us else "kg"
    as_fed = 100 / products.dm_pct / (KG_PER_LB if facts.ranch.us else 1.0)
    for group, product in np.argwhere(~np.isnan(found.rises).all(1)):
        month = int(np.nanargmax(found.rises[group, :, product]))
        at = group, month, product
        yield (f"It would take {found.rises[at] * as_fed[product]:.3g} {unit} of"
               f" {products.names[product]} a head and day for {facts.names[group]} in"
               f" {_month(facts, month)}; now at most"
               f" {products.most_kg_per_day[at] * as_fed[product]:.3g}:"
               f" {products.bounds[products.bound_by[at]]}.")
    for group, words in found.limits:
        yield f"It would take more {words} than is allowed for {facts.names[group]}."
    for need, left in zip(facts.needs, found.left, strict=True):
        groups = [facts.names[g] for g in np.flatnonzero((left > LEFT).any(1))]
        if groups:
            yield (f"No feed on Supplements brings enough {need.name} for {', '.join(groups)}; it"
                   " would take another feed, or another forage.")


def money_words(facts: Facts, prices: pd.DataFrame, enters: pd.DataFrame, grazing: pd.DataFrame,
                limits: pd.DataFrame) -> Iterator[str]:
    """What a unit of a nutrient is worth, what would enter, what a week of grazing saves."""
    for nutrient, rows in prices.groupby("nutrient", sort=False):
        unit = NAMES.get(rows["unit"].iloc[0], f"a {rows['unit'].iloc[0]}")
        monthly = ", ".join(_by_month(rows))
        yield f"{unit[0].upper()}{unit[1:]} of {nutrient} more would cost, by month: {monthly}."
    ton = "ton" if facts.ranch.us else "tonne"
    for row in _nearest(enters):
        yield (f"{row['product']} would be bought at ${row['enters_at_usd_per_ton']:,.0f} a {ton};"
               f" its price is ${row['price_usd_per_ton']:,.0f}.")
    saved = _rows(grazing.groupby("month")[["saves_usd"]].sum().reset_index())
    if saved:
        last, first = saved[-1], saved[0]
        yield (f"A week more of grazing saves ${last['saves_usd']:,.0f} in"
               f" {last['month']:%b %Y}, ${first['saves_usd']:,.0f} in {first['month']:%b %Y}.")
    for row in _rows(limits.dropna(subset=["saves_usd_per_head_day"]).sort_values(
            "saves_usd_per_head_day").tail(1)):
        yield (f"The limit that costs most: {row['product']} for {row['group']} in"
               f" {row['month']:%b %Y} ({row['limit']}); a {'lb' if facts.ranch.us else 'kg'} more"
               f" would save ${row['saves_usd_per_head_day']:.2g} a head and day.")


def _by_month(prices: pd.DataFrame) -> Iterator[str]:
    """The highest price of each month, months of one price together: "$0.14 Dec to Feb"."""
    most = _rows(prices.groupby("month")[["usd_per_unit"]].max().reset_index())
    told = [(f"${row['usd_per_unit']:.3g}", row["month"]) for row in most]
    for price, run in itertools.groupby(told, key=lambda each: each[0]):
        months = [month for _, month in run]
        ends = dict.fromkeys(f"{month:%b}" for month in (months[0], months[-1]))
        yield f"{price} {' to '.join(ends)}"


def _rows(frame: pd.DataFrame) -> list[dict[Any, Any]]:
    return frame.to_dict("records")


def _nearest(enters: pd.DataFrame) -> list[dict[Any, Any]]:
    """The product whose price would have to fall least."""
    known = enters.dropna(subset=["enters_at_usd_per_ton"])
    cut = known["enters_at_usd_per_ton"] / known["price_usd_per_ton"]
    return _rows(known.assign(cut=cut).sort_values("cut").tail(1))


def _months(count: int) -> str:
    return f"{count} month{'' if count == 1 else 's'}"


def _month(facts: Facts, month: int) -> str:
    from .meaning import months_of

    return f"{months_of(facts)[month].item():%b %Y}"
