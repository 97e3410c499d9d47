"""Start, Budget, Checks: the answer first, the money, and what to look at."""

from __future__ import annotations

from .book import Table
from .kinds import Calc, Key, Link, Pull, Roll, Say, Tally
from .shorthand import group_link, group_name, keys, month_name, shown

__all__ = ["CHECKS", "NOTES", "answers", "budget", "checks", "season"]

CHECKS = (  # table, column, what it means, what to do
    ("Herd", "note", "Herd rows that miss something", "Fill in what the row asks for."),
    ("Samples", "note", "Samples that miss something", "Fill in what the row asks for."),
    ("Forages", "note", "Forages that miss something", "Fill in what the row asks for."),
    ("Diet", "note", "Diet rows that miss something", "Name a forage that is on Forages."),
    ("Supplements", "note", "Supplements that miss something", "Fill in what the row asks for."),
    ("Plan", "note", "Feeding lines that miss something", "Fill in what the row asks for."),
    ("Plan", "not_known_used", "Feeding lines not known in some month",
     "See on Balance which nutrient is not known, and order it from the laboratory."),
    ("Plan", "months_left_short", "Feeding lines held back by a limit, the need still short",
     "Choose another feed, add a line, or accept what stays short."),
    ("Feeding", "interval_words", "Feeding lines that go out more seldom than such a feed should",
     "Feed it more often, or choose a feed that may be fed seldom."),
    ("Feeding", "too_short", "Feeding lines at a trough that is too short",
     "More trough, feed on clean sod, or two groups."),
    ("OnHand", "lot_flag", "Forages that run out before the plan's end, or may",
     "Order in time, feed another lot, or feed fewer head; see On hand."),
    ("Balance", "first_missing", "Months in which it cannot be said whether forage is enough",
     "See on Balance which nutrient is not known, and order it from the laboratory."),
    ("Protein", "rdp_unknown", "Months in which RDP of the diet is not known",
     "Ask for the RDP share of the feed, or judge by CP and TDN:CP alone."),
    ("Minerals", "unknown", "Months with minerals or vitamins that are not known",
     "Order them if there is a reason to doubt; see Minerals for which."),
    ("Minerals", "high_in", "Months with a mineral above its limit",
     "Look at Minerals, and ask a nutritionist or veterinarian before feeding on."),
    ("Supplements", "uncounted", "Feeds of which a limit counts nothing: it is not known",
     "Ask for the tag or a test; type 0 where there is none."),
    ("Plan", "months_cannot", "Feeding lines whose feed cannot close the need",
     "Choose a feed with more of that nutrient."),
    ("Measures", "nitrate_look", "Samples whose nitrate limits feeding, or has no class",
     "See Measures; ask your veterinarian or local extension before you feed it."),
    ("Forages", "table_use", "Forages that rest on table values",
     "Sample it: a table value is of another field and year."),
    ("Surety", "first_mean_only", "Months whose amounts are sized on the mean only",
     "It is not known how sure their forage is: sample it, or name a table value."),
    ("Supplements", "table_use", "Feeds that rest on table values",
     "Ask the seller for the tag or a test, and enter it."),
    ("Safety", "hazard_words", "Months with a hazard in the whole diet",
     "See Safety for what to do and whom to ask, before you feed on."),
    ("Safety", "look_words", "Months with something in the whole diet to look at for safety",
     "See Safety for what to do and whom to ask."),
    ("Safety", "energy_open", "Months in which protein will not fix the forage",
     "It is short of energy: plan a feed for energy, better hay or fewer head."),
    ("Safety", "unknown_words", "Months with a hazard that cannot be judged",
     "What is not known is not safe: see Safety and Hazards for what to order."),
)


NOTES = {("Protein", "rdp_unknown"), ("Minerals", "unknown"), ("Forages", "table_use"),
         ("Supplements", "table_use"), ("Supplements", "uncounted"), ("Safety", "unknown_words")}
# notes are worth knowing; the plan stands without


def answers(lines: int) -> Table:
    """One sentence per group."""
    rest = "".join(f"{{then_{k}}}" for k in range(2, lines + 1)) + "{on_tables}"
    told, nothing = "{group}: {words_1}" + rest, "{group}: {alone}" + rest
    rows, more = [], []
    for k in range(1, lines + 1):
        rows += [Link(name=f"line_{k}", to="Plan", on=("group_no", k), label=f"Row of line {k}"),
                 Pull(name=f"words_{k}", via=f"line_{k}", of="words", label=f"Line {k} in words"),
                 Pull(name=f"reason_{k}", via=f"line_{k}", of="reason_no",
                      label=f"Outcome of line {k}")]
        if k > 1:
            more.append(Say(name=f"then_{k}", by=f"reason_{k}", label=f"Then line {k}",
                            unknown="; one line is not known",
                            sentences=("", *[f"; {{words_{k}}}"] * 5)))
    return Table("Answers", ("group",), (
        *keys("group"),
        Say(name="sentence", by="sentence_no", label="What to feed", front=True, unknown="",
            sentences=(nothing, *[told] * 5, "{group}: one line is not known")),
        group_link(), group_name(),
        *rows, *more,
        Calc(name="sentence_no", may_be_blank=("reason_1",)),
        Pull(name="class_row", via="herd_row", of="class_row", label="Row of the class"),
        Roll(name="short_months", table="Balance", of="flagged_any", label="Months flagged"),
        Say(name="alone", by="alone_no", label="Without feeds", unknown="not known",
            sentences=("none needed; forage meets all needs of the season",
                       "no feed planned, though forage is short or not known in {short_months:0}"
                       " months (see Balance)")),
        Calc(name="alone_no"),
        Roll(name="table_months", table="Balance", of="plan_on_table",
             label="Months that rest on table values"),
        Say(name="on_tables", by="on_tables_no", label="Table values", unknown="", sentences=(
            "", " (rests on table values: see Balance)")),
        Calc(name="on_tables_no"),
    ), purpose="How the sentences on Start are put together.")


def season() -> Table:
    """The season in one row."""
    return Table("Season", ("season",), (
        *keys("season"),
        *shown("all_bought_tonne"),
        Roll(name="all_usd", table="Budget", of="month_usd", front=True),
        Roll(name="all_not_known", table="Budget", of="not_known", front=True),
        Roll(name="to_look_at", table="Checks", of="look_flag", front=True),
        Say(name="overall", by="overall_no", label="Checks", front=True, sentences=(
            "All checks passed.", "{to_look_at:0} of the checks want a look: see Checks.")),
        Calc(name="overall_no"),
        Say(name="money", by="money_no", label="Cost", front=True, sentences=(
            "${all_usd:0} for the season", "at least ${all_usd:0}: {all_not_known:0} amounts are"
            " not known")),
        Calc(name="money_no"),
        Say(name="sampling_told", by="sampling_told_no", label="Samples", front=True, sentences=(
            "Every forage in use has been sampled.",
            "Samples still to take: {samples_to_take:0} (see Sampling plan).",
            "Forages not sampled: {forages_untested:0}; tests would cost ${tests_left_usd:0} (see"
            " Sampling plan).",
            "Forages not sampled: {forages_untested:0}; tests would cost ${tests_left_usd:0}, a"
            " wrong table value perhaps ${not_tested_usd:0} of protein (see Sampling plan).")),
        Calc(name="sampling_told_no"),
        *[Roll(name=name, table=table, of=of) for name, table, of in (
            ("forages_untested", "Sampling", "untested"),
            ("samples_to_take", "SampleKinds", "still_to_take"),
            ("tests_left_usd", "Sampling", "untested_tests_usd"),
            ("not_tested_usd", "Sampling", "untested_risk_usd"))],
        Roll(name="forage_all_usd", table="OnHand", of="lot_value_usd", front=True),
        Roll(name="delivery_all_usd", table="Feeding", of="delivery_usd", front=True),
        Roll(name="all_bought_tonne", table="Budget", of="month_bought_tonne"),
    ), sheet="Budget", title="The season")


def budget(top: int) -> Table:
    """Tons and dollars by month."""
    return Table("Budget", ("month",), (
        *keys("month"), month_name(),
        *shown("month_fed_tonne month_bought_tonne"),
        Roll(name="month_usd", table="Amounts", of="cost_usd", front=True),
        Roll(name="not_known", table="Amounts", of="cost_usd", how="unknown", front=True),
        Roll(name="month_fed_tonne", table="Amounts", of="fed_tonne"),
        Roll(name="month_bought_tonne", table="Amounts", of="bought_tonne"),
    ), top=top, title="Month by month", purpose="What the plan costs, and when.")


def checks() -> Table:
    """What to look at."""
    return Table("Checks", ("check",), (
        *keys("check"),
        Key(name="check", data=tuple(words for _, _, words, _ in CHECKS), label="Check",
            front=True),
        Tally(name="found", columns=tuple((t, c) for t, c, _, _ in CHECKS), label="Found",
              front=True),
        Say(name="result", by="result_no", label="Result", front=True,
            sentences=("ok", "look", "note")),
        Key(name="on_sheet", data=tuple(table for table, _, _, _ in CHECKS), label="Sheet",
            front=True),
        Key(name="do", data=tuple(do for _, _, _, do in CHECKS), label="What to do", front=True),
        Key(name="finding_no", label="Look (1) or note (2)",
            data=tuple(2.0 if check[:2] in NOTES else 1.0 for check in CHECKS)),
        Calc(name="result_no"), Calc(name="look_flag"),
    ), purpose="What to look at before the plan is trusted.")
