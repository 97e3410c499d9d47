"""Limits on amounts as columns: of a feed on Supplements, of a line in a month on Amounts."""

from __future__ import annotations

from .kinds import Asks, Calc, Column, Prev, Pull
from .shorthand import calcs

__all__ = ["LIMITS", "month_caps", "product_limits"]

LIMITS = (  # words of the limit that binds, in the order of the numbers in `steps/caps.py`
    "", "{cap_words}{cap_unsaid}", "the most at one feeding", "your own limit",
    "{cap_words}{cap_unsaid}", "the size of a meal", "starch at one meal",
    "nonprotein nitrogen at one meal", "starch", "nonprotein nitrogen", "fat", "sulfur")


def product_limits() -> list[Column]:
    """What limits a feed: by the user, by a meal, by starch, nonprotein nitrogen, fat, sulfur."""
    return [
        Asks(name="cap_unsaid", used="product", label="Words where none are typed",
             needs=(("cap_words", "the feed's own"),)),
        *calcs("product_cap_kg_per_day meal_cap_kg"),
        Calc(name="product_cap_used_kg_per_day", may_be_blank=("product_cap_kg_per_day",)),
        Calc(name="most_used_pct_bw", may_be_blank=("most_pct_bw",)),
        Calc(name="meal_cap_used_kg", may_be_blank=("meal_cap_kg",)),
        Pull(name="table_starch_pct_dm", via="stand_in_row", of="table_starch_pct_dm"),
        Calc(name="starch_used_pct_dm", may_be_blank=("starch_pct_dm", "table_starch_pct_dm")),
        *calcs("npn_cp_pct_dm fat_over_pct_dm sulfur_over_pct_dm"),
        Calc(name="starch_counted_pct_dm", may_be_blank=("starch_used_pct_dm",)),
        Calc(name="npn_counted_pct_dm", may_be_blank=("npn_cp_pct_dm",)),
        Calc(name="fat_counted_pct_dm", may_be_blank=("dry_matter_fat",)),
        Calc(name="sulfur_counted_pct_dm", may_be_blank=("dry_matter_s",)),
        Calc(name="fat_over_counted_pct_dm", may_be_blank=("fat_over_pct_dm",)),
        Calc(name="sulfur_over_counted_pct_dm", may_be_blank=("sulfur_over_pct_dm",)),
        Calc(name="natural_counted_pct_dm", may_be_blank=("natural_cp_pct_dm",)),
        *calcs("protein_meal_pct_bw starch_meal_pct_bw npn_meal_pct_bw meal_pct_bw meal_no"),
    ]


def month_caps() -> list[Column]:
    """What limits a line in a month, the earlier lines counted."""
    return [
        *[Prev(name=f"{part}_before_kg_per_day", of=f"{part}_so_far_kg_per_day", along="line",
               first=0, inline=True) for part in ("starch", "npn", "fat", "sulfur")],
        *calcs("starch_so_far_kg_per_day npn_so_far_kg_per_day starch_cap_kg_per_day"
               " npn_cap_kg_per_day"),
        *calcs("fat_so_far_kg_per_day sulfur_so_far_kg_per_day fat_cap_kg_per_day"
               " sulfur_cap_kg_per_day cap_kg_per_day feed_cap_no"),
    ]
