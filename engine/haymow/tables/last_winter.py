"""LastWinter: what last winter's scores, feed and days say about intake and walking."""

from __future__ import annotations

from .book import Table
from .kinds import Calc, Column, Entry, Link, Pull, Roll, Say
from .shorthand import calcs, group_link, group_name, keys, pulls, shown, typed

__all__ = ["last_winter", "month_columns"]


def last_winter(us: bool) -> Table:
    """Entries of last winter, and what follows from them."""
    return Table("LastWinter", ("group",), (
        *keys("group"), group_name(),
        Entry(name="condition_fall", front=True, hint="Score 1 (thin) to 9 (fat) in fall."),
        Entry(name="fall_scored_on", what="date", front=True, hint="Day of that score."),
        Entry(name="condition_spring", front=True, hint="Score of the same animals in spring."),
        Entry(name="spring_scored_on", what="date", front=True, hint="Day of that score."),
        Entry(name="winter_forage_tdn_pct_dm", front=True,
              hint="TDN of the forage between these days, dry matter."),
        *typed("winter_feed_kg_per_day",
               hint="Supplement a head and day, as fed, mean of these days. 0: none was fed."),
        Entry(name="winter_feed_dm_pct_as_fed", front=True, hint="Its dry matter."),
        Entry(name="winter_feed_tdn_pct_dm", front=True,
              hint="Its TDN in dry matter: the tag's divided by its dry matter."),
        *typed("winter_eaten_kg_per_day",
               hint="Forage dry matter a head ate, where it was weighed out. Blank: by class."),
        Entry(name="winter_need_mcal_per_day", front=True,
              hint="Own figure for the need. Blank: that of the plan at the same time of year."),
        Say(name="winter_words", by="winter_words_no", label="What it implies", front=True,
            unknown="", sentences=_words("lb" if us else "kg")),
        *shown("implied_intake_kg_per_day winter_eaten_used_kg_per_day"),
        Calc(name="implied_intake_pct_bw", front=True),
        Calc(name="implied_activity_pct", front=True),
        Calc(name="winter_need_used_mcal_per_day", front=True, may_be_blank=(
            "winter_need_mcal_per_day", "winter_plan_need_mcal_per_day")),
        Calc(name="winter_change_mcal", front=True),
        Calc(name="winter_body_nem_mcal_per_day", front=True),
        group_link(),
        *pulls("herd_row", "scored herd_weight_kg own_score_5_weight_kg by_class"),
        *calcs("winter_days winter_fall_5_kg"),
        Calc(name="winter_score_5_kg", may_be_blank=("own_score_5_weight_kg", "winter_fall_5_kg")),
        *_sums(("winter_found_days", "winter_month_days", "sum"),
               ("winter_need_sum_mcal", "winter_month_need_mcal", "sum"),
               ("winter_need_unknown", "winter_month_need_mcal", "unknown"),
               ("winter_keep_sum_mcal", "winter_month_keep_mcal", "sum"),
               ("winter_keep_unknown", "winter_month_keep_mcal", "unknown"),
               ("winter_milk_days", "winter_month_milk_days", "sum"),
               ("winter_milk_unknown", "winter_month_milk_days", "unknown")),
        *calcs("winter_plan_need_mcal_per_day winter_forage_nem_mcal_per_kg"
               " winter_feed_nem_mcal_per_kg winter_fed_mcal_per_day"),
        Calc(name="winter_fed_used_mcal_per_day", may_be_blank=("winter_fed_mcal_per_day",)),
        *calcs("implied_nem_mcal_per_day implied_intake_kg_per_day winter_lactating_share"
               " winter_class_kg_per_day"),
        Calc(name="winter_eaten_used_kg_per_day", may_be_blank=(
            "winter_eaten_kg_per_day", "winter_class_kg_per_day")),
        *calcs("unexplained_nem_mcal_per_day winter_keep_mcal_per_day intake_fits activity_unfit"),
        Calc(name="activity_unfit_used", may_be_blank=("activity_unfit",)),
        Calc(name="winter_outcome_no"),
        Calc(name="winter_words_no", may_be_blank=("winter_outcome_no",)),
    ), purpose="Check intake against last winter: from scores, feed and days to"
                                    " what they ate or walked.")


def _sums(*names: tuple[str, str, str]) -> list[Column]:
    return [Roll(name=name, table="Condition", of=of, how=how) for name, of, how in names]


def _words(weight: str) -> tuple[str, ...]:
    intake = "put {implied_intake:1} " + weight + " under known intake on Diet"
    return (
        "not known: an entry of this row, the need of those months or the weight is missing",
        intake + "; or, where they ate {winter_eaten_used:1} " + weight + ", put"
        " {implied_activity_pct:0} % in the setting 'Extra energy for walking on range' on Start",
        intake + "; walking does not explain it",
        "these entries do not fit together: an intake of {implied_intake_pct_bw:1} % of body weight"
        " follows")


def month_columns() -> list[Column]:
    """Need of the plan's months at the time of year of last winter: working of Condition."""
    return [
        Link(name="winter_row", to="LastWinter", on=("group_no",), label="Row on LastWinter"),
        *pulls("winter_row", "fall_scored_on winter_days"),
        *pulls("needs_row", "nem_need_mcal_per_day maintenance_nem_mcal_per_day"),
        Pull(name="month_lactating_share", via="needs_row", of="lactating_share"),
        *calcs("winter_cycle_days winter_month_days winter_month_need_mcal"
               " winter_month_keep_mcal winter_month_milk_days"),
    ]
