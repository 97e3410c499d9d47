"""Limits on feeds: a product's own ones, and those on the whole diet, as one list each.

A line joins by names: where the tables have its column and its setting (or level), it counts.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from ..evaluate import Values
from ..problems import Problem
from .program import Array

__all__ = ["BOUNDS", "DIET_LIMITS", "Bound", "DietLimit", "bound_kg_per_day"]


@dataclass(frozen=True)
class Bound:
    """A limit of one product: a column of Supplements, as ``of`` says.

    ``dm``: kg of dry matter a head and day; ``weight``: as fed, % of body weight a day;
    ``meal``: kg of dry matter at one feeding; ``meal weight``: the same as % of body weight.
    """

    column: str
    of: str
    words: str


@dataclass(frozen=True)
class DietLimit:
    """A limit on a substance in the whole diet.

    ``part`` is a column of Supplements (or a block's member), % of dry matter - or of the product's
    CP, where ``share_of`` names that; ``forage`` says whether that in forage counts too.
    ``most`` is a setting; ``of`` what it is a percentage of: ``weight`` of body weight a day,
    ``diet`` of its dry matter, ``cp`` of its CP, ``feeds`` of the feeds' dry matter.
    """

    part: str
    most: str
    of: str
    words: str
    forage: str = ""
    share_of: str = ""
    per_meal: bool = False


BOUNDS = (
    Bound("product_cap_used_kg_per_day", "dm", "the product's own limit"),
    Bound("most_used_pct_bw", "weight", "the product's limit by body weight"),
    Bound("meal_cap_used_kg", "meal", "the product's limit at one meal"),
    Bound("protein_meal_pct_bw", "meal weight", "the size of a meal"),
)
DIET_LIMITS = (
    DietLimit("starch_used_pct_dm", "most_starch_pct_bw", "weight", "starch"),
    DietLimit("starch_used_pct_dm", "most_meal_starch_pct_bw", "weight", "starch at one meal",
              per_meal=True),
    DietLimit("dry_matter.fat", "most_fat_pct_dm", "diet", "fat", "fat"),
    DietLimit("npn_used_pct_of_cp", "most_npn_pct_of_cp", "cp", "nonprotein nitrogen",
              share_of="dry_matter.cp"),
    DietLimit("npn_used_pct_of_cp", "most_npn_cp_pct_bw", "weight", "nonprotein nitrogen",
              share_of="dry_matter.cp"),
    DietLimit("npn_used_pct_of_cp", "most_meal_npn_cp_pct_bw", "weight",
              "nonprotein nitrogen at one meal", share_of="dry_matter.cp", per_meal=True),
)


def bound_kg_per_day(values: Values, bound: Bound, rows: Array, weight_kg: Array,
                     times_per_week: Array) -> Array | None:
    """That limit as dry matter a head and day, group x month x product; None if there is none."""
    if bound.column not in values.book.tables["Supplements"].at:
        return None
    limit = values.column("Supplements", bound.column)[rows]
    dm_pct = values.column("Supplements", "dm_known_pct_as_fed")[rows]
    if bound.of == "weight":
        return np.asarray(limit * weight_kg[..., None] * dm_pct / 10000)
    if bound.of == "meal weight":
        return np.asarray(limit * weight_kg[..., None] / 100 * times_per_week / 7)
    per_day = limit * times_per_week / 7 if bound.of == "meal" else limit
    return np.asarray(np.broadcast_to(per_day, (*weight_kg.shape, len(rows))))


def diet_limits(values: Values, rows: Array, names: tuple[str, ...]
                ) -> Iterator[tuple[DietLimit, Array, float, list[Problem]]]:
    """The limits that this book has: with each product's part (of 1) and the setting.

    A product of which the part is not known counts as 0 and is told.
    """
    for line in DIET_LIMITS:
        if line.most not in values.book.settings or not _has(values, line.part):
            continue
        most = values.setting(line.most)
        if np.isnan(most):
            continue
        part = _supplements(values, line.part, rows) / 100
        if line.share_of:
            part = part * _supplements(values, line.share_of, rows) / 100
        unknown = [name for name, value in zip(names, part, strict=True) if np.isnan(value)]
        told = [Problem("Supplements", f"{line.words} of {', '.join(unknown)} is not known; the"
                        f" limit on {line.words} counts none of it.", "look",
                        "Ask for the tag or a test.")] if unknown else []
        yield line, np.nan_to_num(part), most, told


def _has(values: Values, part: str) -> bool:
    column, _, member = part.partition(".")
    found = values.book.tables["Supplements"].at.get(column)
    return found is not None and (not member or member in values.book.dimensions[found.over])


def _supplements(values: Values, part: str, rows: Array) -> Array:
    column, _, member = part.partition(".")
    return np.asarray(values.column("Supplements", column, member)[rows])
