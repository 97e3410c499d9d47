"""The book of one size: every table of the workbook."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ..ranch import Ranch
from ..units import KG_PER_LB
from . import (
    answers,
    cards,
    condition,
    crossings,
    delivery,
    forages,
    herd,
    last_winter,
    local,
    measures,
    minerals,
    needs,
    on_hand,
    picture,
    plan,
    safety,
    sampling,
    season,
    self_fed,
    small,
    storm,
    supplements,
    surety,
    table_values,
)
from .book import Book

__all__ = ["make"]

GAP = 6  # rows between two tables on a sheet


def make(ranch: Ranch) -> Book:
    """All tables, dimensions and settings for a ranch's sizes and units."""
    sizes: Mapping[str, int] = ranch.sizes
    kg = KG_PER_LB if ranch.us else 1.0
    tables = [
        forages.samples(), sampling.sampling(), sampling.labels(), forages.forages(),
        herd.herd(), herd.diet(), supplements.supplements(),
        plan.plan(ranch.us), measures.measures(), cards.cards(), cards.two_reports(),
        forages.quality(), needs.needs(),
        plan.balance(), crossings.when_short(), minerals.minerals(),
        minerals.protein(), safety.safety(ranch.us), safety.hazards(), plan.amounts(),
        safety.safety_lines(),
        delivery.feeding(), delivery.feed_sheet(), self_fed.self_fed(), on_hand.decision(ranch.us),
        on_hand.on_hand(ranch.us, 7 + 1 + GAP), on_hand.eaten(), on_hand.lot_use(),
        on_hand.feed_months(),
        on_hand.herd_months(), on_hand.lot_months(7 + sizes["month"] + GAP),
        condition.goals(ranch.us), condition.condition(),
        storm.forecast(ranch.us), storm.storm(ranch.us, 7 + 1 + GAP),
        last_winter.last_winter(ranch.us),
        surety.surety(), picture.picture(),
        answers.season(), answers.budget(7 + 1 + GAP), answers.checks(),
        answers.answers(sizes["line"]), table_values.table_forages(), table_values.table_feeds(),
        sampling.sample_kinds(), season.curves(), local.local(),
        *picture.points(dict(sizes)), *small.small_tables(ranch.us, kg),
    ]
    tables += measures.class_tables(tables)
    tables += sampling.list_tables(tables)
    tables += safety.list_tables(tables)
    members: dict[str, tuple[Any, ...]] = {
        d: tuple(range(1, n + 1)) for d, n in sizes.items()}
    members.update(nutrient=small.NUTRIENTS, analyte=small.ANALYTES, mineral=small.MINERALS,
                   season=(1,), check=answers.CHECKS)
    members.update({t.dimensions[0]: t.columns[-1].data for t in tables  # type: ignore[attr-defined]
                    if t.sheet == "Lists"})
    members.update(measures.MEMBERS, **table_values.MEMBERS, **sampling.MEMBERS, **cards.MEMBERS,
                   **season.MEMBERS, **safety.MEMBERS, **local.MEMBERS,
                   **picture.MEMBERS)
    counted = {d: len(members[d]) for d in (
        "month", "line", "nutrient", "mineral", "analyte", "hazard", *measures.MEMBERS)}
    fixed = small.constants(counted, ranch.us)
    fixed["mineral_from"] = small.size_setting("mineral_from", small.SLICES["mineral"][1])
    for name, along in (("Quality", "forage"), ("PictureMonths", ""), ("PictureNeeds", "group")):
        fixed[f"{name}_rows"] = small.size_setting(
            f"{name}_rows", sizes.get(along, 1) * sizes["month"])
    return Book(tables={t.name: t for t in tables}, dimensions=members,
                settings={**small.settings(ranch.us), **fixed},
                attributes={"analyte": "Nutrients", "nutrient": "Nutrients", "mineral": "Nutrients",
                            "month": "Calendar", **measures.ATTRIBUTES, **sampling.ATTRIBUTES,
                            **safety.ATTRIBUTES},
                us=ranch.us, slices=small.SLICES)


