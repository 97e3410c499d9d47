"""Quality over the season: table curves shifted by own samples, and lots that follow each other."""

from __future__ import annotations

from typing import Any

from .book import Table
from .kinds import Calc, Column, Entry, Link, Pull, Roll, Say
from .local import LONGEST
from .shorthand import calcs, keys
from .small import MONTHS, rows_of

__all__ = ["BUILT_IN", "CURVED", "MEMBERS", "curves", "forage_entries", "forage_season",
           "quality_season", "sample_season"]

CURVED = ("cp", "tdn", "p")
BUILT_IN = tuple(dict.fromkeys(row["curve"] for row in rows_of("season_curves")))
OWN_CURVES = 4  # rows for curves of one's own area
MEMBERS = {"curve": tuple(range(1, len(BUILT_IN) + OWN_CURVES + 1))}
WORDS = {"cp": "CP, % of DM", "tdn": "TDN, % of DM", "p": "P, % of DM"}
BLOCK: dict[str, Any] = {"over": "nutrient", "measure": "content"}


def curves() -> Table:
    """Table curves by month of the year, and room for those of one's own area."""
    return Table("Curves", ("curve",), (
        *keys("curve"),
        Entry(name="curve", what="text", label="Curve", front=True,
              hint="Your name for the curve, such as the range site and area."),
        Entry(name="curve_source", what="text", label="Where it comes from", front=True,
              longest=LONGEST,
              hint="Who measured it, where and in which years."),
        *[Entry(name=f"curve_{name}", over="moy", label=WORDS[name], front=True,
                hint="Content in dry matter in the middle of that month.") for name in CURVED],
    ), sheet="Season curves", fixed=dict(enumerate(map(_row, BUILT_IN), 1)),
        purpose="What ranges hold by month, from memory and of low confidence: name one on Forages"
                " and your own dated samples shift it. Add curves of your area below.")


def _row(curve: str) -> dict[str, Any]:
    found: dict[str, Any] = {
        "curve": curve, "curve_source": "from memory, low confidence; replace by tests"}
    for row in rows_of("season_curves"):
        if row["curve"] == curve:
            found |= {f"curve_{row['nutrient']}.{month}": float(row[month]) for month in MONTHS}
    return found


def forage_entries() -> list[Column]:
    """Columns of Forages: its curve, who may have it, and the lot that follows it."""
    return [
        Entry(name="curve", what="choice", choices="Curves.curve", label="Season curve",
              front=True, hint="Your samples shift it. Blank: straight lines between samples."),
        Entry(name="shared", what="choice", choices="YesNo.answer", label="May go to any group",
              front=True, hint="yes: least cost may give this lot to the group that needs it."),
        Entry(name="followed_by", what="choice", choices="Forages.forage", label="Followed by",
              front=True, hint="The lot that is fed in its place from the next day on."),
        Entry(name="followed_on", what="date", label="From", front=True,
              hint="First day of the lot that follows."),
    ]


def forage_season() -> list[Column]:
    """Columns of Forages: links, and averages pulled toward the table value."""
    return [
        Link(name="curve_row", to="Curves", by_name="curve", key="curve", label="Row of the curve"),
        Link(name="next_row", to="Forages", by_name="followed_by", key="forage",
             label="Row of the lot that follows"),
        Pull(name="next_no", via="next_row", of="forage_no", label="No. of the lot that follows"),
        Calc(name="prior_sd", label="Spread of the table value", **BLOCK),
        Calc(name="pulled", label="Average pulled toward the table", **BLOCK),
        Calc(name="pulled_error", label="Pulled, give or take", **BLOCK),
        Calc(name="used_error", label="In use, give or take", may_be_blank=("pulled_error",),
             **BLOCK),
        Say(name="pull_words", by="pull_no", label="Averages and the table value", front=True,
            unknown="", sentences=("", "averages pulled toward the table value")),
        Calc(name="pull_no", may_be_blank=("pulled_cp", "pulled_tdn", "pulled_p")),
    ]


def sample_season() -> list[Column]:
    """Columns of Samples: how far a result is off the curve of its day."""
    ends = (("low", "curve_low_moy"), ("high", "curve_high_moy"))
    return [
        Pull(name="curve_row", via="forage_row", of="curve_row", to="Curves",
             label="Row of the curve"),
        *calcs("sample_month_on sample_next_on curve_day curve_low_moy curve_high_moy curve_share"),
        *[Pull(name=f"curve_{name}_{end}", via="curve_row", of=f"curve_{name}", member=moy,
               label=f"{WORDS[name]}, {end}") for name in CURVED for end, moy in ends],
        Calc(name="curve_at", label="Curve on that day", over="nutrient"),
        Calc(name="off_curve", label="Off the curve", over="nutrient"),
    ]


def quality_season() -> list[Column]:
    """Columns of Quality: the curve shifted by the nearest sampled months, fading with the days."""
    sides = ("before", "after")
    return [
        Pull(name="curve_row", via="forage_row", of="curve_row", to="Curves",
             label="Row of the curve"),
        *[Pull(name=f"curve_{name}_month", via="curve_row", of=f"curve_{name}", member="moy",
               label=f"{WORDS[name]}, curve") for name in CURVED],
        Calc(name="curve_value", label="Curve", over="nutrient"),
        Roll(name="month_off", table="Samples", of="off_curve", how="mean",
             shared=("forage_row", "moy"), label="Samples of the month off the curve",
             over="nutrient"),
        *[Pull(name=f"off_{side}", via=f"row_{side}", of="month_off", into="Quality",
               label=f"Off the curve, sampled month {side}", over="nutrient") for side in sides],
        *[Pull(name=f"error_{side}", via=f"row_{side}", of="month_error", into="Quality",
               label=f"Standard error, sampled month {side}", over="nutrient") for side in sides],
        Calc(name="curve_sd", label="Spread of the curve", over="nutrient"),
        *[Calc(name=f"{what}_{side}") for what in ("fade", "reach") for side in sides],
        *[Calc(name=f"apart_{side}", label=f"Variance, sampled month {side}", over="nutrient")
          for side in sides],
        *[Calc(name=f"trust_{side}", label=f"Trust in the sampled month {side}", over="nutrient")
          for side in sides],
        Calc(name="trust_table", label="Trust in the curve", over="nutrient"),
        Calc(name="curve_shift", label="Shift of the curve", over="nutrient"),
        Calc(name="curved", label="Curve, shifted", **BLOCK),
        Calc(name="curved_error", label="Curve, give or take", over="nutrient"),
        Say(name="curve_words", by="curve_no", label="Season curve", front=True, unknown="",
            sentences=("own samples on the curve", "mostly the table curve, shifted")),
        Calc(name="curve_no"),
    ]
