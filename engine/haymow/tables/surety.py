"""How sure it is that a group's needs are met, and how much of each forage is eaten."""

from __future__ import annotations

from typing import Any

from .book import Table
from .kinds import Calc, Column, Link, Names, Pull, Roll, Which
from .season import quality_season
from .shorthand import calcs, group_link, group_name, keys, month_name, pulls, row_key

__all__ = ["quality_errors", "surety"]

PARTS = ("main", "second", "third")
SHOWN = ("cp", "tdn", "nem", "ca", "p")  # enough to eat is no question of samples
BLOCK: dict[str, Any] = {"over": "nutrient"}


def quality_errors() -> list[Column]:
    """Columns of Quality: how sure a forage's content of a month is."""
    return [
        Link(name="sampling_row", to="Sampling", on=("forage_no",), label="Row on Sampling plan"),
        Pull(name="lot_error", via="forage_row", of="used_error", inline=True, **BLOCK),
        Pull(name="table_sd", via="sampling_row", of="table_sd", inline=True, **BLOCK),
        *[Roll(name=name, table="Samples", of=of, shared=("forage_row", "moy"), label=label,
               **BLOCK) for name, of, label in (
            ("month_weights", "weight_known", "Weights of the month"),
            ("month_variances", "sample_variance", "Variances of the month"))],
        Calc(name="month_error", label="Standard error of the month", **BLOCK),
        Calc(name="middle_on", by="quality_mid_day"),
        *[Pull(name=f"middle_{side}_on", via=f"row_{side}", of="middle_on", into="Quality")
          for side in ("before", "after")],
        *calcs("away_days kept_share near_row"),
        Pull(name="near_error", via="near_row", of="month_error", into="Quality",
             label="Standard error of the nearest sampled month", **BLOCK),
        Calc(name="season_error", label="Standard error, by season", **BLOCK),
        Calc(name="table_error", label="Standard error of the table value", **BLOCK),
        *quality_season(),
        Calc(name="own_quality_error", label="Give or take of this lot", may_be_blank=(
            "curved_error", "season_error", "lot_error", "table_error"), **BLOCK),
        *[Pull(name=f"{lot}_error", via=f"{lot}_lot_row", of="own_quality_error", into="Quality",
               inline=True, **BLOCK) for lot in ("first", "second")],
        Calc(name="quality_error", label="Give or take", measure="content", **BLOCK),
    ]


def surety() -> Table:
    """One row a group and month."""
    return Table("Surety", ("group", "month"), (
        row_key(), *keys("group", "month"), group_name(), month_name(),
        Names(name="unsure_alone_words", of="unsure_alone", used="class_row", only=SHOWN,
              label="Forage alone: less sure than wanted", front=True),
        Names(name="unsure_plan_words", of="unsure_plan", used="class_row", only=SHOWN,
              label="With the plan: less sure than wanted", front=True),
        *[Calc(name=f"chance_{name}_pct", label=f"Chance of enough, {label}", front=True,
               open=SHOWN, measure="chance", **BLOCK)
          for name, label in (("alone", "forage alone"), ("plan", "with the plan"))],
        *_eaten(), *_errors(),
    ), sheet="How sure", purpose="Chance that the group gets enough, from the spread of its samples"
                                 " and tests. Shown once its main forage has been sampled twice.")


def _eaten() -> list[Column]:
    """What each forage gives to the group in that month."""
    return [
        group_link(),
        Pull(name="class_row", via="herd_row", of="class_row", label="Row of the class"),
        Link(name="diet_row", to="Diet", on=("group_no", "month_no"), label="Row on Diet"),
        Link(name="needs_row", to="Needs", on=("group_no", "month_no"), label="Row on Needs"),
        *pulls("herd_row", "head"), *pulls("month_no", "days"),
        *pulls("needs_row", "intake_kg_per_day shrunk_weight_kg"),
        *[Pull(name=f"{part}_no", via="diet_row", of=f"{part}_no",
               label=f"No. of the {part} forage") for part in PARTS],
        *pulls("diet_row", "main_pct second_pct_used third_pct_used"),
        Link(name="balance_row", to="Balance", on=("group_no", "month_no"),
             label="Row on Balance"),
        Pull(name="cp_short", via="balance_row", of="short", member="cp", label="Short of CP"),
        Calc(name="cp_short_used", may_be_blank=("cp_short",)),
        Calc(name="usual_eaten_kg_per_day"),
        Calc(name="eaten_used_kg_per_day", may_be_blank=("intake_kg_per_day",)),
        *calcs("main_short_kg second_short_kg third_short_kg"),
    ]


def _errors() -> list[Column]:
    """From the errors of the forages eaten to those of what the group gets."""
    return [
        *[Pull(name=f"{part}_quality", via="diet_row", of=f"{part}_quality", to="Quality",
               label=f"Row of the {part} forage's month") for part in PARTS],
        *[Pull(name=f"{part}_error", via=f"{part}_quality", of="quality_error", inline=True,
               **BLOCK) for part in PARTS],
        *[Link(name=f"{part}_sampling", to="Sampling", on=(f"{part}_no",),
               label=f"Row of the {part} forage on Sampling plan") for part in PARTS[:1]],
        Pull(name="main_samples", via="main_sampling", of="samples_used",
             label="Samples of the main forage"),
        *pulls("balance_row", "forage_eaten_kg_per_day"),
        *[Pull(name=name, via="balance_row", of=of, label=label, **BLOCK) for name, of, label in (
            ("needed", "needed", "Need, engine's unit"),
            ("over", "over", "Forage alone, short (-) or over (+), engine's unit"),
            ("diet", "diet", "Whole diet, engine's unit"))],
        Calc(name="eaten_error", label="Forage eaten, give or take", measure="content", **BLOCK),
        *[Calc(name=f"sd_{name}", label=f"Standard error of the supply, {label}", **BLOCK)
          for name, label in (("alone", "forage alone"), ("plan", "with the plan"))],
        Calc(name="over_plan", label="With the plan, short (-) or over (+), engine's unit",
             **BLOCK),
        *[Calc(name=f"errors_{name}", label=f"Standard errors above the need, {label}", **BLOCK)
          for name, label in (("alone", "forage alone"), ("plan", "with the plan"))],
        Calc(name="content_margin", label="Content not counted on", measure="content", **BLOCK),
        Calc(name="content_margin_used", label="Content not counted on, in use",
             may_be_blank=("content_margin",), **BLOCK),
        Calc(name="need_margin", label="Need beyond the mean", **BLOCK),
        Calc(name="need_margin_used", label="Need beyond the mean, in use",
             may_be_blank=("need_margin",), **BLOCK),
        Calc(name="mean_only", label="Sized on the mean only", may_be_blank=(
            "content_margin", "over"), **BLOCK),
        Which(name="first_mean_only", of="mean_only", label="First sized on the mean only"),
        *[Calc(name=f"unsure_{name}", label=f"Less sure than wanted, {label}", **BLOCK)
          for name, label in (("alone", "forage alone"), ("plan", "with the plan"))],
    ]
