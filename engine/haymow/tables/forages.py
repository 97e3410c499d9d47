"""Samples, Forages, Quality: from a lab's report to what a forage holds in each month."""

from __future__ import annotations

from typing import Any

from .book import Table
from .cards import kept_entry, lab_words, sample_labs
from .kinds import Asks, Calc, Column, Entry, Link, Nearest, Pull, Roll
from .local import LONGEST
from .sampling import sample_entries, sample_working, sure_of
from .season import forage_entries, forage_season, sample_season
from .shorthand import calcs, keys, month_name, pulls, row_key
from .small import ANALYTES, CORE
from .surety import quality_errors
from .table_values import rests, stand_in, stands_in, told

__all__ = ["forages", "quality", "reported", "samples"]

BLOCK: dict[str, Any] = {"over": "analyte", "measure": "content", "open": CORE}
OWN = tuple(a for a in ANALYTES if a not in ("dm", "nem", "rdp"))  # what a user may set for a month


def reported(over: str, hint: str, dm: Calc) -> list[Column]:
    """Values as reported or on a tag, with their basis, and the factor to dry matter.

    ``dm`` gives the dry matter in use.
    """
    return [
        Entry(name="basis", what="choice", choices="Bases.basis", label="Basis", must=True,
              front=True, hint="Whether the values stand on dry matter or as fed."),
        Entry(name="reported", over=over, label="Reported", front=True, hint=hint,
              measure="reported", open=CORE),
        Link(name="basis_no", to="Bases", by_name="basis", key="basis", label="Basis no."),
        dm, Calc(name="dm_factor_as_fed"),
        Calc(name="to_dm", may_be_blank=("dm_factor_as_fed",)),
    ]


def samples() -> Table:
    """What a laboratory reports."""
    return Table("Samples", ("sample",), (
        *keys("sample"),
        Entry(name="sample_id", what="text", label="Sample", front=True,
              hint="Your own or the laboratory's number of the sample."),
        Entry(name="forage", what="choice", choices="Forages.forage", label="Forage", must=True,
              front=True, hint="The pasture or hay lot, as it is named on Forages."),
        Entry(name="sampled_on", what="date", label="Sampled on", front=True,
              hint="Day on which the sample was taken."),
        Entry(name="taken", what="text", label="How taken", front=True,
              hint="Whole lot or part, by whom, what was left out."),
        *sample_entries(), kept_entry(),
        Entry(name="lab", what="text", label="Laboratory", front=True,
              hint="Who tested it; one lot should stay with one laboratory."),
        Entry(name="log", what="text", label="Log", front=True, longest=LONGEST,
              hint="What a corrected report replaced: old and new values, and its file."),
        Entry(name="nitrate_form", what="choice", choices="NitrateForms.form", front=True,
              label="Nitrate form", hint="In which form the nitrate is reported; ask the lab."),
        *reported("analyte", "As the report prints it; leave blank what was not tested.",
                  Calc(name="dm_known_pct_as_fed")),
        Asks(name="note", used="sample_id", label="To look at", front=True, needs=(
            ("forage_row", "The forage is not on Forages. "),
            ("basis_told", "Say whether as fed or dry matter. "),
            ("to_dm_told", "As fed, so it needs its dry matter %. "),
            ("tdn_told", "No TDN and no ADF: order one of them. "))),
        Calc(name="dry_matter", label="In dry matter", front=True,
             may_be_blank=("tdn_from_report_pct_dm", "tdn_from_adf_pct_dm"), **BLOCK),
        Link(name="forage_row", to="Forages", by_name="forage", key="forage",
             label="Row on Forages"),
        *pulls("forage_row", "tdn_at_no_adf_pct tdn_per_adf rdp_pct_of_cp"),
        Calc(name="rdp_share_pct_of_cp"),
        Calc(name="rdp_used_pct_of_cp", may_be_blank=("rdp_share_pct_of_cp", "rdp_pct_of_cp")),
        Link(name="form_no", to="NitrateForms", by_name="nitrate_form", key="form",
             label="Nitrate form no."),
        Calc(name="no3n_ppm_dm", by="sample_no3n_ppm_dm"),
        Calc(name="tdn_from_report_pct_dm"),
        Calc(name="tdn_from_adf_pct_dm", by="sample_tdn_from_adf_pct_dm"),
        Calc(name="tdn_known"),
        Calc(name="feed_me_mcal_per_kg", by="sample_me_mcal_per_kg"),
        Calc(name="moy", by="sample_moy"),
        *sample_working(), *sample_labs(), *sample_season(),
    ), sortable=True, purpose="One row a sample. Enter what the report prints, with its basis.")


def forages() -> Table:
    """Pastures and hay lots."""
    return Table("Forages", ("forage",), (
        *keys("forage"),
        Entry(name="forage", what="text", label="Forage", must=True, front=True,
              hint="Your name for the pasture or hay lot."),
        Entry(name="kind", what="choice", choices="Kinds.kind", label="Kind", must=True,
              front=True, hint="Sets how TDN follows from ADF, and whether it changes by month."),
        stand_in("TableForages", "table_forage",
                 "A published forage: its values stand in where no sample says anything."),
        *forage_entries(),
        Roll(name="samples_used", table="Samples", of="to_dm", how="count",
             linked_by="forage_row", label="Samples", front=True),
        told("table_no", "table values stand in: {table_basic}{table_minerals}"),
        Calc(name="usual", label="In use, in dry matter", front=True, may_be_blank=(
            "averaged", "table_value", "averaged_rdp", "rdp_by_share_pct_dm", "pulled_cp",
            "pulled_tdn", "pulled_ca", "pulled_p", "pulled_rdp_pct_dm"), **BLOCK),
        Calc(name="dm_pct_as_fed", by="dm_or_table_pct_as_fed", front=True,
             may_be_blank=("sampled_dm_pct_as_fed", "table_value_dm")),
        *sure_of(), *lab_words(),
        Asks(name="note", used="forage kind", label="To look at", front=True, needs=(
            ("forage", "Name the forage. "), ("kind_row", "Choose its kind. "),
            ("stand_in_settled", "The table value is not on Table forages. "),
            ("weights_whole", "Give all of its samples a weight, or none. "))),
        Link(name="kind_row", to="Kinds", by_name="kind", key="kind", label="Row of the kind"),
        *pulls("kind_row", "tdn_at_no_adf_pct tdn_per_adf rdp_pct_of_cp changes"),
        Roll(name="averaged", table="Samples", of="weighted", per="weight_known", how="ratio",
             linked_by="forage_row", label="Average, in dry matter",
             over="analyte", measure="content"),
        Roll(name="sampled_dm_pct_as_fed", table="Samples", of="dm_known_pct_as_fed", how="mean",
             linked_by="forage_row"),
        *stands_in("TableForages", "table_forage", "forage",
                   ("averaged", "sampled_dm_pct_as_fed", "averaged_rdp"), "forage_no"),
        Calc(name="usual_me_mcal_per_kg"),
        Calc(name="rdp_used_pct_of_cp", by="table_rdp_pct_of_cp",
             may_be_blank=("table_value_rdp", "rdp_pct_of_cp")),
        Calc(name="rdp_by_share_pct_dm"), Calc(name="pulled_rdp_pct_dm"),
        Calc(name="rdp_part_usual"),
        *forage_season(),
    ), sortable=True, purpose="One row a pasture or hay lot.")


def quality() -> Table:
    """What each forage holds in each month."""
    return Table("Quality", ("forage", "month"), (
        row_key(), *keys("forage", "month"),
        Pull(name="forage", via="forage_row", of="forage", label="Forage", front=True),
        month_name(),
        told("table_no", "{forage}: {table_basic}{table_minerals}"),
        Calc(name="quality", label="In use", front=True, **BLOCK),
        Entry(name="override", over="analyte", measure="content", only=OWN, label="Your own",
              open=("cp", "tdn", "ca", "p"), front=True,
              hint="Replaces what follows from the samples, in this month only; dry matter."),
        Link(name="forage_row", to="Forages", on=("forage_no",), label="Row on Forages"),
        Pull(name="moy", via="month_no", of="moy"),
        *pulls("forage_row", "changes"),
        Roll(name="sampled", table="Samples", of="weighted", per="weight_known", how="ratio",
             shared=("forage_row", "moy"), label="Samples of the month", **BLOCK),
        Roll(name="month_samples", table="Samples", of="to_dm", how="count",
             shared=("forage_row", "moy"), label="Number of samples of the month"),
        Calc(name="has_samples"),
        Nearest(name="before", of="has_samples", side="before", label="Last sampled month, row"),
        Nearest(name="after", of="has_samples", side="after", label="Next sampled month, row"),
        *calcs("row_before row_after"),
        *[Pull(name=f"value_{side}", via=f"row_{side}", of="sampled", into="Quality", inline=True,
               **BLOCK) for side in ("before", "after")],
        Calc(name="between", label="Between samples", **BLOCK),
        *quality_errors(),
        *[Pull(name=name, via="forage_row", of=name, inline=True, **BLOCK)
          for name in ("usual", "stands_in")],
        Calc(name="own_quality", label="This lot", may_be_blank=(
            "override", "between", "usual", "curved_cp", "curved_tdn", "curved_p"),
            over="analyte", measure="content"),
        Calc(name="rdp_part_season"),
        Pull(name="rdp_part_usual", via="forage_row", of="rdp_part_usual"),
        Calc(name="rdp_part", may_be_blank=("rdp_part_season", "rdp_part_usual")),
        *_following(),
        Calc(name="rests", over="analyte", label="Rests on a table value",
             may_be_blank=("override",)),
        *rests("rests", "forage"), Calc(name="table_no", by="quality_table_no"),
        Calc(name="feed_me_mcal_per_kg", by="quality_me_mcal_per_kg"),
    ), purpose="What each forage holds, month by month, in dry matter.")


def _following() -> list[Column]:
    """The lot that follows on a day, and both lots' values."""
    found: list[Column] = [
        *pulls("forage_row", "followed_on"),
        Pull(name="next_no", via="forage_row", of="next_no", label="No. of the lot that follows"),
        Calc(name="next_share"), Calc(name="next_share_used", may_be_blank=("next_share",)),
        Calc(name="next_no_used", may_be_blank=("next_no",)),
        Link(name="next_quality_row", to="Quality", on=("next_no_used", "month_no"),
             label="Row of the lot that follows"),
        *calcs("first_lot_row second_lot_row"),
    ]
    for lot in ("first", "second"):
        found += [
            Pull(name=f"{lot}_lot", via=f"{lot}_lot_row", of="own_quality", into="Quality",
                 inline=True, over="analyte"),
            Pull(name=f"{lot}_forage_row", via=f"{lot}_lot_row", of="forage_row", into="Quality",
                 to="Forages", label=f"Row on Forages, {lot} lot"),
            Pull(name=f"{lot}_stands", via=f"{lot}_forage_row", of="stands_in", inline=True,
                 over="analyte")]
    return found


