"""Plan, Balance, Amounts: what is short, and which feed closes it."""

from __future__ import annotations

from typing import Any

from .book import Table
from .caps import LIMITS, month_caps
from .herd import WORDS
from .kinds import (
    Asks,
    Calc,
    Edge,
    Entry,
    Into,
    Last,
    Link,
    Prev,
    Pull,
    Roll,
    Running,
    Say,
    Which,
)
from .shorthand import calcs, group_link, group_name, keys, month_name, pulls, row_key, shown, typed

__all__ = ["amounts", "balance", "plan"]

BLOCK: dict[str, Any] = {"over": "nutrient"}
PURPOSE: dict[str, Any] = {"member": "purpose_row"}
WHEN = (("then", "month_looked_at"), ("earlier", "month_earlier"))


def plan(us: bool) -> Table:
    """Feeding lines: choices, and what comes of them."""
    return Table("Plan", ("group", "line"), (
        row_key(), *keys("group", "line"), group_name(),
        Entry(name="product", what="choice", choices="Supplements.product", label="Product",
              front=True, hint="What to feed. Blank: nothing."),
        Entry(name="purpose", what="choice", choices="Purposes.purpose", label="To close",
              front=True, hint="The nutrient the amount is sized on. Blank: what it is fed for."),
        Entry(name="from_on", what="date", label="From", front=True,
              hint="Blank: the day the forage falls short."),
        Entry(name="to_on", what="date", label="To", front=True,
              hint="Last day. Blank: end of the last short month."),
        Entry(name="times_per_week", front=True, hint="Feedings a week, 1 to 7. Blank: 7."),
        Entry(name="mode", what="choice", choices="Modes.mode", label="Mode", front=True,
              hint="as needed by month, one level amount, or by its own intake. Blank: as needed."),
        *typed("own_amount_kg_per_day",
               hint="Your own amount a head and day, as fed. Blank: worked out."),
        *typed("most_kg_per_day", hint="Your own limit a head and day, as fed. Blank: none."),
        Entry(name="month_amount", over="month", label="Own amount, month",
              quantity="own_amount_kg_per_day",
              hint="Your own amount a head and day in this month of the plan, as fed."),
        Calc(name="starts_on", by="start_or_none", label="Starts", front=True),
        *shown("mean_per_head_kg_per_day most_per_head_kg_per_day per_feeding_kg"
               " known_season_tonne known_bought_tonne"),
        Calc(name="known_usd", front=True),
        Calc(name="day_cost_usd_per_head_day", front=True),
        Calc(name="least_shown_pct_of_need", front=True),
        Say(name="reason", by="reason_no", label="What limits it", front=True, sentences=(
            "", "none needed", "nothing: the need sets it", "limit: {limit_words}",
            "this feed cannot close it", "not known in {not_known:0} months")),
        Asks(name="note", used="product", label="To look at", front=True, needs=(
            ("product_row", "The product is not on Supplements. "),
            ("purpose_row", "It is not said which nutrient to close. "),
            ("mode_no", "The mode is not one of the list. "))),
        Say(name="words", by="words_no", label="In words", unknown="", sentences=(
            "", "none needed", _fed(us), "{product}: not known", _self_fed(us))),
        Say(name="opening", by="later_no", label="Words before", unknown="", sentences=(
            "", "none needed until {start_on:day}; then ")),
        Say(name="ending", by="reason_no", label="Words after", unknown="", sentences=(
            "", "", "", " (limit: {limit_words})", " (it cannot close the need)", "")),
        group_link(),
        *pulls("herd_row", "head"),
        Link(name="product_row", to="Supplements", by_name="product", key="product",
             blank_name="none", label="Row on Supplements"),
        *pulls("product_row", "used dm_known_pct_as_fed"),
        Pull(name="product_dm_pct", via="product_row", of="dm_known_pct_as_fed"),
        Pull(name="cap_words", via="product_row", of="cap_words", label="Limit of the product"),
        Pull(name="cap_unsaid", via="product_row", of="cap_unsaid", label="Where no words are"),
        *pulls("product_row", "product_cap_used_kg_per_day meal_cap_used_kg most_used_pct_bw"
                              " meal_pct_bw meal_no"),
        Pull(name="own_purpose_row", via="product_row", of="purpose_row", to="Nutrients",
             label="Nutrient of the product"),
        Link(name="purpose_row", to="Nutrients", by_name="purpose", key="nutrient",
             blank="own_purpose_row", label="Nutrient no."),
        Link(name="mode_no", to="Modes", by_name="mode", key="mode", blank_name="as needed",
             label="Mode no."),
        Calc(name="times_used", may_be_blank=("times_per_week",)),
        *calcs("own_dm_kg_per_day line_cap_kg_per_day"),
        Calc(name="line_cap_used_kg_per_day", may_be_blank=("line_cap_kg_per_day",)),
        *calcs("firm_cap_kg_per_day firm_cap_no weight_cap_pct_bw weight_cap_no"),
        Link(name="balance_row", to="Balance", on=("group_no", 1), label="First row on Balance"),
        Edge(name="first_short_month", via="balance_row", of="short_sized", **PURPOSE,
             label="First short month"),
        Edge(name="last_short_month", via="balance_row", of="short_sized", which="last", **PURPOSE,
             label="Last short month"),
        *calcs("month_looked_at month_earlier"),
        *[Link(name=f"{w}_row", to="Balance", on=("group_no", m), label=f"Row {w}")
          for w, m in WHEN],
        *[Pull(name=f"over_{w}", via=f"{w}_row", of="over_sized", **PURPOSE) for w, _ in WHEN],
        *[Link(name=f"{w}_month", to="Calendar", on=(m,), label=f"Month {w}") for w, m in WHEN],
        *[Pull(name=f"mid_{w}", via=f"{w}_month", of="mid_day") for w, _ in WHEN],
        *calcs("crossed_on first_short_on last_short_on typed_end_on"),
        Calc(name="start_by_mode", may_be_blank=("first_short_on",)),
        Calc(name="start_on", may_be_blank=("from_on", "start_by_mode")),
        Calc(name="end_by_mode", may_be_blank=("last_short_on",)),
        Calc(name="end_on", may_be_blank=("typed_end_on", "end_by_mode")),
        Into(name="month_amount_kg_per_day", of="month_amount", over="month", label="Own amount"),
        Calc(name="month_dm_kg_per_day", over="month", label="Own amount, dry matter"),
        *[Roll(name=name, table="Amounts", of=of) for name, of in (
            ("season_usd", "cost_usd"), ("season_tonne", "fed_tonne"),
            ("bought_season_tonne", "bought_tonne"),
            ("season_days", "fed_days_used"), ("months_cannot", "cannot_close_known"),
            ("months_left_short", "capped_short"))],
        Roll(name="limit_no", table="Amounts", of="limit_seen_no", how="largest"),
        Roll(name="first_fed_no", table="Amounts", of="fed_from_no", how="least"),
        Roll(name="least_met_pct_of_need", table="Amounts", of="met_used_pct_of_need", how="least"),
        Roll(name="not_known", table="Amounts", of="cost_usd", how="unknown"),
        Roll(name="most_per_head_kg_per_day", table="Amounts", of="per_head_or_none_kg_per_day",
             how="largest"),
        Calc(name="not_known_used"),
        *calcs("head_days mean_per_head_kg_per_day per_feeding_kg reason_no words_no later_no"),
        Say(name="limit_words", by="limit_no", label="Which limit", unknown="", sentences=LIMITS),
        *calcs("known_season_tonne known_bought_tonne"),
    ), sortable=True, purpose="What to feed whom. Yellow cells are your choices; the rest follows.")


def _fed(us: bool) -> str:
    """What is fed, in words."""
    weight, load = ("lb", "tons") if us else ("kg", "tonnes")
    return ("{opening}{product} from {start_on:day}, up to {per_feeding:0} " + weight
            + " for the group {times_used:0} times a week, {known_bought:1} " + load
            + ", ${known_usd:0}{ending}")


def _self_fed(us: bool) -> str:
    """What is put out for them to eat as they like, in words."""
    weight, load = ("lb", "tons") if us else ("kg", "tonnes")
    return ("{opening}{product} put out from {start_on:day}, {mean_per_head:2} " + weight
            + " a head and day expected, {known_bought:1} " + load + ", ${known_usd:0}{ending}")


def balance() -> Table:
    """Need against supply."""
    return Table("Balance", ("group", "month"), (
        row_key(), *keys("group", "month"), group_name(), month_name(),
        Say(name="state", by="state_no", label="Forage alone", front=True, unknown="",
            used="class_row", sentences=("enough", *(f"short of {w}" for w in WORDS),
                       *(f"not known: {w}" for w in WORDS))),
        Say(name="table_use", by="table_no", label="Rests on table values", front=True, unknown="",
            sentences=("", "{eaten_named}", "feeds (see Supplements)",
                       "{eaten_named}and feeds (see Supplements)")),
        Calc(name="pct_of_need", label="Whole diet, % of need", front=True, measure="share",
             **BLOCK),
        Calc(name="over_shown", label="Forage alone, short (-) or over (+)", front=True,
             measure="daily", **BLOCK),
        Calc(name="need_shown", label="Need", measure="daily", **BLOCK),
        Calc(name="forage_shown", label="From forage", measure="daily", **BLOCK),
        Calc(name="feeds_shown", label="From feeds", measure="daily", **BLOCK),
        group_link(),
        Pull(name="class_row", via="herd_row", of="class_row", label="Row of the class"),
        Link(name="needs_row", to="Needs", on=("group_no", "month_no"), label="Row on Needs"),
        Link(name="diet_row", to="Diet", on=("group_no", "month_no"), label="Row on Diet"),
        Link(name="last_line", to="Amounts", on=("group_no", "month_no", "lines"),
             label="Last line on Amounts"),
        *pulls("needs_row", "intake_kg_per_day"),
        *[Pull(name=n, via=via, of=of, **BLOCK, label=label, inline=n == "from_feeds")
          for n, via, of, label in (("needed", "needs_row", "need", "Need, engine's unit"),
                                    ("forage_pct", "diet_row", "eaten", "In forage"),
                                    ("from_feeds", "last_line", "brought", ""))],
        Calc(name="from_forage", label="From forage, engine's unit", **BLOCK),
        Calc(name="over", label="Short (-) or over (+), engine's unit", **BLOCK),
        Calc(name="short", label="Short", **BLOCK),
        Link(name="surety_row", to="Surety", on=("group_no", "month_no"), label="Row on How sure"),
        *[Pull(name=name, via="surety_row", of=f"{name}_used", inline=True, **BLOCK)
          for name in ("content_margin", "need_margin")],
        Calc(name="forage_sized", label="In forage, counted on", **BLOCK),
        Calc(name="need_sized", label="Need that amounts are sized to", **BLOCK),
        Calc(name="over_sized", label="Counted on, short (-) or over (+)", **BLOCK),
        Calc(name="short_sized", label="Short of what is counted on", **BLOCK),
        Calc(name="missing", label="Not known", may_be_blank=("short",), **BLOCK),
        Calc(name="flagged", label="Short or not known", may_be_blank=("short",), **BLOCK),
        Which(name="first_flagged", of="flagged", label="First flagged"),
        Calc(name="flagged_any"),
        Calc(name="first_no"),
        Pull(name="first_missing", via="row_no", of="missing", member="first_no",
             into="Balance", label="It is not known"),
        Calc(name="state_no"),
        Pull(name="forage_eaten_kg_per_day", via="last_line", of="forage_after_kg_per_day"),
        Calc(name="diet", label="Whole diet, engine's unit", **BLOCK),
        Calc(name="still_short", label="Still short", **BLOCK),
        *[Pull(name=name, via="diet_row", of=of, inline=True)
          for name, of in (("eaten_named", "table_use"), ("eaten_table_no", "table_no"))],
        Pull(name="fed_table_no", via="last_line", of="table_so_far_no"),
        Calc(name="forage_table_no", may_be_blank=("eaten_table_no",)),
        Calc(name="feeds_table_no", may_be_blank=("fed_table_no",)),
        Calc(name="table_no", by="balance_table_no"), Calc(name="plan_on_table"),
    ), purpose="Per head and day, mean of the month. Short of dry matter means short of forage.")


def amounts() -> Table:
    """Working of Plan: each line against what the lines before it left."""
    return Table("Amounts", ("group", "month", "line"), (
        row_key(), *keys("group", "month", "line"), group_name(), month_name(),
        Pull(name="product", via="plan_row", of="product", label="Product", front=True),
        *shown("per_head_or_none_kg_per_day fed_tonne"),
        Calc(name="cost_usd", front=True),
        group_link(),
        Link(name="plan_row", to="Plan", on=("group_no", "line_no"), label="Row on Plan"),
        Link(name="needs_row", to="Needs", on=("group_no", "month_no"), label="Row on Needs"),
        *pulls("plan_row", "firm_cap_kg_per_day firm_cap_no weight_cap_pct_bw weight_cap_no"
                           " start_on end_on mode_no own_dm_kg_per_day", inline=True),
        Pull(name="month_dm_kg_per_day", via="plan_row", of="month_dm_kg_per_day",
             member="month_no", inline=True),
        Pull(name="purpose_row", via="plan_row", of="purpose_row", to="Nutrients",
             label="Nutrient no."),
        Pull(name="product_row", via="plan_row", of="product_row", to="Supplements",
             label="Row on Supplements"),
        *pulls("product_row", "used"),
        Pull(name="given_up", via="product_row", of="given_up_used"),
        *pulls("product_row", "label_dm_kg_per_day"),
        *pulls("product_row", "starch_counted_pct_dm npn_counted_pct_dm fat_over_counted_pct_dm"
                              " sulfur_over_counted_pct_dm fat_counted_pct_dm"
                              " sulfur_counted_pct_dm loss_used_pct", inline=True),
        Pull(name="month_usd_per_tonne", via="product_row", of="month_usd_per_tonne",
             member="month_no", inline=True),
        Pull(name="product_dm_pct", via="product_row", of="dm_known_pct_as_fed"),
        *pulls("herd_row", "head", inline=True),
        *pulls("needs_row", "intake_kg_per_day"),
        *pulls("needs_row", "shrunk_weight_kg fat_room_pct_dm sulfur_room_pct_dm", inline=True),
        Link(name="balance_row", to="Balance", on=("group_no", "month_no"),
             label="Row on Balance"),
        Pull(name="needed", via="balance_row", of="need_sized", **PURPOSE, label="Need"),
        Pull(name="forage_pct", via="balance_row", of="forage_sized", **PURPOSE,
             label="In forage"),
        Pull(name="product_pct", via="product_row", of="dry_matter", inline=True, **PURPOSE),
        Pull(name="per_kg_of_purpose", via="purpose_row", of="per_kg"),
        Pull(name="lifts_intake", via="purpose_row", of="lifts_intake", inline=True),
        Prev(name="brought_before", of="brought", along="line", first=0, **PURPOSE),
        Prev(name="forage_before_kg_per_day", of="forage_after_kg_per_day", along="line",
             first="intake_kg_per_day"),
        Prev(name="lift_before", of="lift_taken_or_not", along="line", first=0),
        *month_caps(),
        Calc(name="fed_days"), Calc(name="fed_days_used"),
        Calc(name="fed_days_known", may_be_blank=("fed_days_used",)), Calc(name="fed_from_no"),
        *calcs("gap net_per_kg lift lift_taken"),
        Calc(name="lift_taken_or_not", may_be_blank=("lift_taken",)),
        *calcs("wanted_kg_per_day as_needed_kg_per_day as_needed_kg"),
        Running(name="kg_so_far", of="as_needed_kg", along="month", quantity="as_needed_kg"),
        Running(name="days_so_far", of="fed_days", along="month", quantity="fed_days"),
        Calc(name="level_so_far_kg_per_day"),
        Last(name="level_kg_per_day", of="level_so_far_kg_per_day", along="month"),
        Calc(name="by_mode_kg_per_day", may_be_blank=(
            "as_needed_kg_per_day", "level_kg_per_day", "label_dm_kg_per_day")),
        Calc(name="fed_each_day_kg_per_day",
             may_be_blank=("month_dm_kg_per_day", "own_dm_kg_per_day", "by_mode_kg_per_day")),
        *calcs("fed_kg fed_kg_per_day"),
        Calc(name="amount_kg_per_day", may_be_blank=("fed_kg_per_day",)),
        Calc(name="lifted_kg_per_day"),
        Calc(name="lifted_or_none_kg_per_day", may_be_blank=("lifted_kg_per_day",)),
        *calcs("forage_after_kg_per_day cannot_close cap_no"),
        Calc(name="limit_seen_no", may_be_blank=("cap_no",)),
        Calc(name="cannot_close_known", may_be_blank=("cannot_close",)),
        *[Pull(name=n, via="balance_row", of=of, **PURPOSE) for n, of in (
            ("met_pct_of_need", "pct_of_need"), ("left_short", "still_short"))],
        Calc(name="met_used_pct_of_need", may_be_blank=("met_pct_of_need",)),
        Calc(name="capped_short", may_be_blank=("left_short",)),
        Calc(name="fed_known_tonne"),
        Calc(name="fed_tonne", may_be_blank=("fed_known_tonne",)),
        Calc(name="bought_tonne"),
        Calc(name="per_head_kg_per_day"),
        Calc(name="per_head_or_none_kg_per_day", may_be_blank=("per_head_kg_per_day",)),
        Calc(name="brought", label="Brought so far", over="analyte"),
        Prev(name="brought_earlier", of="brought", along="line", first=0, inline=True,
             over="analyte"),
        Pull(name="product_part", via="product_row", of="dry_matter", inline=True,
             over="analyte"),
        Pull(name="product_table_no", via="product_row", of="table_no", inline=True),
        Prev(name="table_before_no", of="table_so_far_no", along="line", first=0, inline=True),
        Calc(name="table_so_far_no"),
    ), purpose="Working of Plan, one row a line and month. Filter it, never sort it.")
