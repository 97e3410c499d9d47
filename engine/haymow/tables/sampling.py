"""Sampling plan, labels, kinds of sample: what to take where, how, when, and how far it is."""

from __future__ import annotations

from typing import Any

from .book import Table
from .kinds import Calc, Column, Entry, Key, Link, Pull, Roll, Say
from .safety import unjudged
from .shorthand import calcs, keys, pulls
from .small import NUTRIENTS, rows_of

__all__ = ["ATTRIBUTES", "MEMBERS", "labels", "list_tables", "sample_entries", "sample_kinds",
           "sample_working", "sampling", "sure_of"]

STATUSES = ("planned", "taken", "sent", "received", "used")
KINDS = rows_of("sample_kinds")
SUSPICIONS = rows_of("sample_suspicions")
MEMBERS = {"how": tuple(row["how"] for row in KINDS), "status_step": STATUSES}
ATTRIBUTES = {"status_step": "Statuses"}
ASKED = ("cp", "tdn", "ca", "p")  # whose spread people see and may replace
BASIC = "dry matter, CP, ADF, NDF, TDN with the name of its equation, Ca, P"
HOW_SURE = ", bags to the laboratory: {bags_used:0}; then CP is within {margin_shown_cp:1} and" \
           " TDN within {margin_shown_tdn:1}"
BLOCK: dict[str, Any] = {"over": "nutrient", "measure": "content"}
GAP = 5  # rows between two tables on Lists


# --- columns of Samples
def sample_entries() -> list[Column]:
    """How a sample is taken, and how far it has come."""
    return [
        Entry(name="how", what="choice", choices="SampleKinds.how", label="Kind of sample",
              front=True, hint="Clipped or plucked is not the same. Blank: as on Sampling plan."),
        Entry(name="spots", front=True, hint="Cores or spots in the bag. Blank: one."),
        Entry(name="weight", quantity="sample_weight", front=True,
              hint="Tons, acres or part of the diet it stands for. Blank: all alike."),
        Entry(name="planned_on", what="date", label="Planned for", front=True,
              hint="Day on which it is to be taken; its report is then awaited."),
        Entry(name="sent_on", what="date", label="Sent on", front=True,
              hint="Day on which it was mailed."),
        Entry(name="received_on", what="date", label="Report received", front=True,
              hint="Day on which the report came."),
        Say(name="status", by="sample_status_no", label="Status", front=True, used="sample_id",
            unknown="", sentences=("", *STATUSES)),
    ]


def sample_working() -> list[Column]:
    """Links to the plan, status, and what a report still to come need not say."""
    return [
        Pull(name="forage_no", via="forage_row", of="forage_no", label="No. of the forage"),
        Link(name="sampling_row", to="Sampling", on=("forage_no",), label="Row on Sampling plan"),
        Pull(name="planned_how_row", via="sampling_row", of="how_row", to="SampleKinds",
             label="Kind of sample planned"),
        Link(name="how_row", to="SampleKinds", by_name="how", key="how", blank="planned_how_row",
             label="Row of the kind of sample"),
        Calc(name="underway_no", may_be_blank=("sampled_on", "sent_on")),
        Calc(name="sample_status_no", may_be_blank=("received_on", "forage_row", "to_dm")),
        Calc(name="status_flag", over="status_step", label="Status"),
        Calc(name="to_take"),
        Calc(name="unreported", may_be_blank=(
            "reported_cp", "reported_adf", "reported_tdn", "reported_no3n")),
        Calc(name="awaited", may_be_blank=("planned_on", "sent_on", "received_on")),
        Calc(name="basis_told", may_be_blank=("basis_no", "awaited")),
        Calc(name="to_dm_told", may_be_blank=("to_dm", "awaited")),
        Calc(name="tdn_told", may_be_blank=("tdn_known", "awaited")),
        Calc(name="sample_spots", may_be_blank=("spots",)),
        Calc(name="weight_used", may_be_blank=("weight",)), Calc(name="weight_typed"),
        Calc(name="weighted", label="Times its weight", over="analyte"),
        Calc(name="weight_known", label="Weight where known", over="analyte"),
        *[Pull(name=name, via="sampling_row", of=name, inline=True, over="nutrient")
          for name in ("spot_sd", "test_sd")],
        Pull(name="forage_average", via="forage_row", of="averaged", inline=True,
             over="nutrient"),
        Calc(name="sample_variance", label="Variance, weighed", over="nutrient"),
        Calc(name="weight_square", label="Weight squared", over="nutrient"),
        Calc(name="deviation_square", label="Off the average, squared", over="nutrient"),
    ]


# --- columns of Forages
def sure_of() -> list[Column]:
    """How sure the average is, where that comes from, and whether all samples are weighed."""
    return [
        Pull(name="standard_error", via="sampling_row", of="standard_error", front=True,
             label="Average of samples, give or take", open=ASKED, **BLOCK),
        Say(name="error_words", by="error_no", label="Give or take comes from", front=True,
            unknown="", sentences=("", "usual spreads (assumed)", "your own results")),
        Link(name="sampling_row", to="Sampling", on=("forage_no",), label="Row on Sampling plan"),
        Pull(name="error_no", via="sampling_row", of="error_no", label="Give or take from, no."),
        Roll(name="weights_typed", table="Samples", of="weight_typed", how="count",
             linked_by="forage_row", label="Samples with a weight"),
        Calc(name="weights_whole"),
    ]


# --- the sheets
def sampling() -> Table:
    """One row a forage: what to sample, how much of it, when, and what it costs."""
    return Table("Sampling", ("forage",), (
        *keys("forage"),
        Pull(name="forage", via="forage_row", of="forage", label="Forage", front=True),
        Say(name="sampling_words", by="plan_word_no", label="What to take", front=True,
            used="forage", unknown="choose its kind on Forages", sentences=_words()),
        Say(name="ask_words", by="ask_no", label="Ask the laboratory for", front=True,
            used="forage", unknown=BASIC, sentences=(BASIC, BASIC + "; {ask_first}{ask_second}")),
        Entry(name="how", what="choice", choices="SampleKinds.how", label="Kind of sample",
              front=True, hint="Blank: usual for the kind of forage."),
        Entry(name="outside", what="choice", choices="YesNo.answer", label="Stored outside?",
              front=True, hint="Hay outside is tested 3 to 4 weeks before it is fed. Blank: no."),
        Entry(name="ready_on", what="date", label="Baled on", front=True,
              hint="Hay under a roof is tested 3 to 4 weeks after that day."),
        Entry(name="feed_from_on", what="date", label="Fed or grazed from", front=True,
              hint="Blank: the first day of the plan."),
        Entry(name="sample_on", what="date", label="Own day to sample", front=True,
              hint="Blank: worked out."),
        Entry(name="lot_pieces", front=True, hint="Bales in the lot. Blank: very many."),
        Entry(name="own_spots", quantity="spots", label="Own number of cores or spots",
              front=True, hint="Blank: worked out from the wanted margins."),
        Entry(name="bags", front=True, hint="Bags sent by themselves. Blank: one."),
        Entry(name="tests_per_bag", front=True, hint="Tests of each bag. Blank: one."),
        Entry(name="own_margin_pct_dm", front=True,
              hint="How far CP may be off, either side. Blank: the setting on Start."),
        Entry(name="suspicion", what="choice", choices="Suspicions.suspicion", front=True,
              label="What is suspected", hint="Adds what to ask the laboratory for."),
        Entry(name="second_suspicion", what="choice", choices="Suspicions.suspicion", front=True,
              label="Suspected as well", hint="Adds what to ask the laboratory for."),
        Calc(name="due_on", label="Sample on", front=True,
             may_be_blank=("sample_on", "barn_due_on")),
        Calc(name="spots_used", front=True, may_be_blank=("own_spots", "spots_capped")),
        Calc(name="margin_reached", label="Then within, either side", front=True, open=ASKED,
             **BLOCK),
        Calc(name="tests_cost_usd", front=True), Calc(name="not_testing_usd", front=True),
        Calc(name="sample_worth_usd", front=True),
        Roll(name="on_the_way", table="Samples", of="status_flag", linked_by="sampling_row",
             over="status_step", label="Samples", front=True),
        *_links(), *_spread(), *_number(), *_errors(),
        Calc(name="feed_from_used_on", may_be_blank=("feed_from_on",)),
        *calcs("barn_due_on before_feeding_on plan_word_no"),
        Say(name="taking", by="taking_no", label="How much", unknown="", sentences=(
            "{spots_used:0} {piece} about {due_on:day}" + HOW_SURE, "{spots_used:0} {piece}"
            + HOW_SURE)),
        Calc(name="taking_no", may_be_blank=("due_on",)),
        *[Roll(name=f"{part}_eaten_all_kg", table="Surety", of=f"{part}_short_kg",
               linked_by=f"{part}_no") for part in ("main", "second", "third")],
        Calc(name="eaten_short_all_kg"),
        Pull(name="samples_used", via="forage_row", of="samples_used", label="Samples in use"),
        *calcs("untested untested_tests_usd untested_risk_usd"),
    ), sheet="Sampling plan", purpose="Sample what is eaten, before it is eaten. Rained-on, heated"
                                      " or moldy hay is a lot of its own; never mix cuttings.")


def _words() -> tuple[str, ...]:
    more = "; the tests alone are less sure than wanted: test it more than once"
    again = "; again at each change of growth: monthly while green, each 6 to 8 weeks when cured"
    return "{taking}", "{taking}" + more, "{taking}" + again, "{taking}" + more + again


def _links() -> list[Column]:
    return [
        Link(name="forage_row", to="Forages", on=("forage_no",), label="Row on Forages"),
        Pull(name="kind_row", via="forage_row", of="kind_row", to="Kinds",
             label="Row of the kind"),
        Pull(name="kind_how", via="kind_row", of="how", label="Usual kind of sample"),
        Link(name="usual_how_row", to="SampleKinds", by_name="kind_how", key="how",
             label="Row of the usual kind of sample"),
        Link(name="how_row", to="SampleKinds", by_name="how", key="how", blank="usual_how_row",
             label="Row of the kind of sample"),
        *pulls("how_row", "least_spots timed"),
        Pull(name="piece", via="how_row", of="piece", label="Cores or spots"),
        Link(name="outside_no", to="YesNo", by_name="outside", key="answer", blank_name="no",
             label="Outside, no."),
        *[Link(name=f"{name}_row", to="Suspicions", by_name=name, key="suspicion", label=label)
          for name, label in (("suspicion", "Row of what is suspected"),
                              ("second_suspicion", "Row of what is suspected as well"))],
        *[Pull(name=name, via=via, of="ask_for", label=label) for name, via, label in (
            ("ask_first", "suspicion_row", "Asked for"),
            ("ask_more", "second_suspicion_row", "Asked for as well"))],
        Say(name="ask_second", by="second_suspicion_no", label="and in words", unknown="",
            sentences=("", "; {ask_more}")),
        Calc(name="ask_no"), Calc(name="second_suspicion_no"), *unjudged(),
    ]


def _spread() -> list[Column]:
    """What the forage is expected to hold, and how that varies."""
    return [
        *[Pull(name=name, via="forage_row", of=name, label=label, **BLOCK) for name, label in (
            ("averaged", "Average"), ("table_value", "Table value"))],
        *[Pull(name=name, via="how_row", of=name, inline=True, over="nutrient") for name in (
            "typical", "default_spot_sd", "spot_cv_pct", "default_test_sd", "test_cv_pct")],
        Pull(name="own_sd", via="how_row", of="own_sd", label="Own spread", over="nutrient"),
        Calc(name="lot_mean", label="Expected", may_be_blank=("averaged", "table_value"), **BLOCK),
        *calcs("me_here_mcal_per_kg me_above_mcal_per_kg nem_per_tdn"),
        Calc(name="usual_spot_sd", label="Usual spread between spots", over="nutrient"),
        Calc(name="spot_sd", label="Spread between spots", over="nutrient",
             may_be_blank=("own_sd",)),
        Calc(name="test_sd", label="Spread between tests", over="nutrient"),
        Calc(name="table_sd", label="Spread of a table value", over="nutrient"),
    ]


def _number() -> list[Column]:
    """Spots for the wanted margins."""
    return [
        Calc(name="bags_used", may_be_blank=("bags",)),
        Calc(name="tests_used", may_be_blank=("tests_per_bag",)), Calc(name="tests_all"),
        Calc(name="margin_cp_used_pct_dm", may_be_blank=("own_margin_pct_dm",)),
        *calcs("spots_for_cp spots_for_tdn spots_needed spots_of_the_lot"),
        Calc(name="spots_exact", may_be_blank=("spots_of_the_lot", "spots_needed")),
        Calc(name="spots_by_margin"),
        Calc(name="spots_least", may_be_blank=("spots_by_margin",)),
        *calcs("spots_advised spots_capped"),
        Calc(name="spots_impossible", may_be_blank=("spots_needed",)),
        *calcs("margin_shown_cp margin_shown_tdn"),
    ]


def _errors() -> list[Column]:
    """Standard error of the average: from the usual spreads, or from one's own results."""
    sums = [Roll(name=name, table="Samples", of=of, linked_by="sampling_row", over="nutrient",
                 label=label) for name, of, label in (
        ("weight_sum", "weight_known", "Weights"),
        ("weight_square_sum", "weight_square", "Weights squared"),
        ("variance_sum", "sample_variance", "Variances, weighed"),
        ("deviation_sum", "deviation_square", "Off the average, squared"))]
    return [
        Pull(name="changes", via="kind_row", of="changes"),
        Roll(name="results_known", table="Samples", of="weight_square", how="count",
             linked_by="sampling_row", over="nutrient", label="Results"),
        *sums,
        Calc(name="assumed_error", label="Standard error, assumed", over="nutrient"),
        Calc(name="own_error", label="Standard error, own", over="nutrient"),
        Calc(name="standard_error", label="Standard error", over="nutrient",
             may_be_blank=("own_error", "assumed_error")),
        Calc(name="error_no", may_be_blank=("own_error_cp", "assumed_error_cp")),
        *calcs("one_error"), Calc(name="error_now", may_be_blank=("standard_error_cp",)),
        *calcs("error_next"),
    ]


def labels() -> Table:
    """A label for each sample still to be taken, with room to write on."""
    rest = "; test for {ask_words}; taken on ____________ by ____________"
    ask = "{sample_id}: {forage}, {how}"
    return Table("Labels", ("sample",), (
        *keys("sample"),
        Say(name="label_words", by="label_no", label="Cut out and put in the bag", front=True,
            used="sample_id", unknown="", sentences=(
                ask + ", {label_spots:0} {piece}" + rest, "", ask + rest, "")),
        Calc(name="label_on", label="Take on", front=True),
        Say(name="label_handle", by="label_no", label="Bag and mailing", front=True,
            used="sample_id", unknown="", sentences=("{handle}", "") * 2),
        Link(name="sample_row", to="Samples", on=("sample_no",), label="Row on Samples"),
        *[Pull(name=name, via="sample_row", of=name, label=label) for name, label in (
            ("sample_id", "Sample"), ("forage", "Forage"))],
        *pulls("sample_row", "to_take planned_on"),
        Pull(name="sampling_row", via="sample_row", of="sampling_row", to="Sampling",
             label="Row on Sampling plan"),
        Pull(name="how_row", via="sample_row", of="how_row", to="SampleKinds",
             label="Row of the kind of sample"),
        *[Pull(name=name, via="how_row", of=name, label=label) for name, label in (
            ("how", "Kind of sample"), ("piece", "What it is counted in"),
            ("handle", "Its bag and mailing"))],
        Pull(name="label_spots", via="sampling_row", of="spots_used", quantity="spots"),
        Pull(name="ask_words", via="sampling_row", of="ask_words", label="Ask for"),
        Calc(name="label_no", may_be_blank=("to_take", "label_spots")),
    ), purpose="One label for each sample that is still to be taken; print it before you go.")


def sample_kinds() -> Table:
    """Kinds of sample: how to take and mail them, and how much their results vary."""
    spreads = [Key(name=name, over="nutrient", label=label, front=True, open=ASKED, data=tuple(
        _spreads(column, nutrient) for nutrient in NUTRIENTS), measure=measure)
        for name, label, column, measure in (
            ("default_spot_sd", "Between spots or bales", "spot_sd", "content"),
            ("spot_cv_pct", "and of the mean", "spot_cv_pct", ""),
            ("default_test_sd", "Between tests", "test_sd", "content"),
            ("test_cv_pct", "and of the mean, tests", "test_cv_pct", ""),
            ("typical", "Typical content", "typical", "content"))]
    words = (("tool", "Take along"), ("take", "How to take it"), ("handle", "Bag and mailing"))
    return Table("SampleKinds", ("how",), (
        *keys("how"),
        Key(name="how", label="Kind of sample", front=True, data=MEMBERS["how"]),
        Roll(name="still_to_take", table="Samples", of="to_take", how="count",
             linked_by="how_row", label="Still to take", front=True),
        *[Key(name=name, label=label, front=True, data=tuple(row[name] for row in KINDS))
          for name, label in words],
        Key(name="least_spots", label="Fewest cores or spots", front=True,
            data=tuple(float(row["least_spots"]) for row in KINDS)),
        Key(name="piece", label="Cores or spots", data=tuple(row["piece"] for row in KINDS)),
        Key(name="timed", label="When",
            data=tuple(float(row["timed"]) for row in KINDS)),
        Entry(name="own_sd", over="nutrient", measure="content", only=ASKED, open=ASKED,
              label="Own spread", front=True,
              hint="Standard deviation of five or more of your own single results."),
        *spreads,
        Key(name="source", label="Source", front=True, data=tuple(row["source"] for row in KINDS)),
    ), sheet="How to sample", purpose="What to take along, how to take and mail a sample, and how"
                                      " much results vary. Follow your laboratory's own rules.")


def _spreads(column: str, nutrient: str) -> tuple[float, ...]:
    """One number a kind of sample; 0 where a nutrient follows another or is certain."""
    found = {(row["how"], row["nutrient"]): row for row in rows_of("sampling_defaults")}
    return tuple(_default(column, nutrient, found.get((how, nutrient), {}),
                          found.get((how, "cp" if nutrient == "rdp" else "tdn"), {}))
                 for how in MEMBERS["how"])


def _default(column: str, nutrient: str, row: dict[str, str], related: dict[str, str]) -> float:
    if row:
        return float(row[column])
    if column != "typical":
        return 0.0
    if nutrient == "dm":
        return 100.0
    level = float(related["typical"])
    return level * RDP_SHARE if nutrient == "rdp" else _nem(level)


RDP_SHARE = 0.7  # of the CP: the middle of what is published for forage (forage_kinds.csv)


def _nem(tdn: float) -> float:
    from ..equations.forage import (
        feed_de_mcal_per_kg,
        feed_me_mcal_per_kg,
        feed_nem_mcal_per_kg,
    )

    return float(feed_nem_mcal_per_kg(feed_me_mcal_per_kg(feed_de_mcal_per_kg(tdn))))


def list_tables(others: list[Table]) -> list[Table]:
    """Suspicions and the steps of a sample, below what stands on Lists already."""
    top = max(t.top + len(t.columns[-1].data) for t in others  # type: ignore[attr-defined]
              if t.sheet == "Lists") + GAP
    words = (("suspicion", "suspicion"), ("ask_for", "ask the laboratory for"),
             ("sample_so", "how to sample it"), ("source", "source"))
    return [
        Table("Statuses", ("status_step",), (
            Key(name="status_step_no", dimension="status_step", label="No.", front=True),
            Key(name="status_step", label="Status of a sample", front=True, data=STATUSES)),
            sheet="Lists", top=top),
        Table("Suspicions", ("suspicion",), (
            Key(name="suspicion_no", dimension="suspicion", label="No.", front=True),
            *(Key(name=name, label=label, front=True,
                  data=tuple(row[name] for row in SUSPICIONS)) for name, label in words[:-1]),
            Key(name="no_entry", front=True, label="No entry for the result (1)",
                data=tuple(float(row["no_entry"]) for row in SUSPICIONS)),
            *(Key(name=name, label=label, front=True,
                  data=tuple(row[name] for row in SUSPICIONS)) for name, label in words[-1:])),
            sheet="Lists", top=top + len(STATUSES) + GAP)]
