"""The picture an adviser draws: samples on the curve of a forage, against the need of each group.

Points that are not known are drawn on their nearest known neighbor, so that a line never drops to
nothing; where nothing is known they lie below the axis and are not seen.
"""

from __future__ import annotations

from typing import Any

from .book import Table
from .kinds import Calc, Column, Entry, Link, Nearest, Pull, Say
from .shorthand import calcs, group_link, group_name, keys, month_name, pulls, row_key

__all__ = ["DRAWN", "MEMBERS", "picture", "points"]

DRAWN = ("CP", "TDN", "RDP", "Ca", "P")  # in % of dry matter
MEMBERS = {"picture": (1,)}
SHEET = "Picture points"
GAP = 6  # rows between two tables on the sheet
SIDES = ("before", "after")
OF_NUTRIENT: dict[str, Any] = {"member": "nutrient_row"}


def picture() -> Table:
    """What is drawn: a forage and a nutrient."""
    return Table("Picture", ("picture",), (
        *keys("picture"),
        Entry(name="forage", what="choice", choices="Forages.forage", label="Forage", front=True,
              hint="Blank: the first one on Forages."),
        Entry(name="drawn", what="choice", choices="DrawnNutrients.drawn", label="Nutrient",
              front=True, hint="Blank: CP."),
        Say(name="picture_words", by="picture_words_no", label="What the picture shows", front=True,
            unknown="", sentences=(
                "{forage_shown}: {nutrient_shown}, % of dry matter; no sample yet",
                "{forage_shown}: {nutrient_shown}, % of dry matter; {samples_used:0} samples")),
        Link(name="first_row", to="Forages", on=(1,), label="First row on Forages"),
        Link(name="forage_row", to="Forages", by_name="forage", key="forage", blank="first_row",
             label="Row on Forages"),
        Link(name="nutrient_row", to="Nutrients", by_name="drawn", key="nutrient",
             blank_name="CP", label="Nutrient no."),
        Pull(name="forage_shown", via="forage_row", of="forage", label="Forage drawn"),
        Pull(name="forage_no", via="forage_row", of="forage_no", label="No. of the forage"),
        Pull(name="samples_used", via="forage_row", of="samples_used", label="Samples in use"),
        Pull(name="nutrient_shown", via="nutrient_row", of="nutrient", label="Nutrient drawn"),
        Calc(name="picture_words_no"),
    ), purpose="Samples on the curve of a forage, against the need of each group, month by month."
               " Choose forage and nutrient; groups added later show once rebuilt.")


def points(sizes: dict[str, int]) -> list[Table]:
    """The points that are drawn, on a sheet of their own."""
    months_top = 7
    samples_top = months_top + sizes["month"] + GAP
    needs_top = samples_top + sizes["sample"] + GAP
    return [_months(months_top), _samples(samples_top), _needs(needs_top)]


def _chosen() -> list[Column]:
    return [
        Link(name="picture_row", to="Picture", on=(1,), label="Row on Picture"),
        Pull(name="nutrient_row", via="picture_row", of="nutrient_row", to="Nutrients",
             label="Nutrient no."),
    ]


def _drawn(names: tuple[str, ...], of: str, table: str) -> list[Column]:
    """Each point on its nearest known month."""
    return [
        *[Nearest(name=f"point_{side}", of=of, side=side, label=f"Known month {side}, row")
          for side in SIDES],
        Calc(name="point_row"), Pull(name="point_known_on", via="point_row", of="mid_day",
                                     into=table, label="Middle of the known month"),
        Calc(name="point_on", may_be_blank=("point_known_on",)),
        *[Pull(name=f"{name}_known", via="point_row", of=name, into=table,
               label=f"{name.replace('_', ' ')}, known month") for name in names],
        *[Calc(name=f"{name}_point", may_be_blank=(f"{name}_known",)) for name in names],
    ]


def _months(top: int) -> Table:
    """What the forage holds by month, give or take."""
    return Table("PictureMonths", ("picture", "month"), (
        row_key(), *keys("picture", "month"), month_name(), *_chosen(),
        *pulls("month_no", "mid_day"),
        Pull(name="forage_no", via="picture_row", of="forage_no", label="No. of the forage"),
        Link(name="quality_row", to="Quality", on=("forage_no", "month_no"),
             label="Row on Quality"),
        Pull(name="drawn_content", via="quality_row", of="quality", label="Holds", front=True,
             **OF_NUTRIENT),
        Pull(name="drawn_error", via="quality_row", of="quality_error", label="Give or take",
             front=True, **OF_NUTRIENT),
        Calc(name="drawn_error_used", may_be_blank=("drawn_error",)),
        *calcs("drawn_low drawn_high"),
        *_drawn(("drawn_content", "drawn_low", "drawn_high"), "drawn_content", "PictureMonths"),
    ), sheet=SHEET, top=top, purpose="Working of Picture: the points that are drawn.")


def _samples(top: int) -> Table:
    """Samples of the forage, in the season of the plan whatever their year."""
    return Table("PictureSamples", ("sample",), (
        *keys("sample"), *_chosen(),
        Link(name="sample_row", to="Samples", on=("sample_no",), label="Row on Samples"),
        *[Pull(name=name, via="sample_row", of=name, label=label) for name, label in (
            ("sampled_on", "Sampled on"), ("forage_no", "No. of the forage"))],
        Pull(name="drawn_forage_no", via="picture_row", of="forage_no",
             label="No. of the forage drawn"),
        Pull(name="drawn_sample", via="sample_row", of="dry_matter", label="Holds", front=True,
             **OF_NUTRIENT),
        Calc(name="sample_point_known"),
        Calc(name="sample_point", may_be_blank=("sample_point_known",)),
        Calc(name="sample_day_on"), Calc(name="sample_point_on", may_be_blank=("sample_day_on",)),
    ), sheet=SHEET, top=top, title="Samples")


def _needs(top: int) -> Table:
    """What the diet of each group has to hold."""
    return Table("PictureNeeds", ("group", "month"), (
        row_key(), *keys("group", "month"), group_name(), month_name(), group_link(), *_chosen(),
        *pulls("month_no", "mid_day"),
        Link(name="needs_row", to="Needs", on=("group_no", "month_no"), label="Row on Needs"),
        Pull(name="drawn_need", via="needs_row", of="need", label="Need, engine's unit",
             **OF_NUTRIENT),
        *pulls("needs_row", "intake_kg_per_day"),
        Pull(name="drawn_per_kg", via="nutrient_row", of="per_kg", label="Per kg"),
        Calc(name="drawn_need_pct_dm", front=True),
        *_drawn(("drawn_need_pct_dm",), "drawn_need_pct_dm", "PictureNeeds"),
    ), sheet=SHEET, top=top, title="Needs of the groups")
