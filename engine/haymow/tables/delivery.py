"""Feeding, Feed sheet: what one feeding is, trips and their cost; what to print for the feeder."""

from __future__ import annotations

from .book import Table
from .kinds import Calc, Entry, Link, Pull, Say
from .shorthand import calcs, group_link, group_name, keys, month_name, pulls, row_key, shown, typed

__all__ = ["feed_sheet", "feeding"]


def feeding() -> Table:
    """Each feeding line as work: how much at a time, room, trips."""
    return Table("Feeding", ("group", "line"), (
        row_key(), *keys("group", "line"), group_name(),
        Pull(name="product", via="plan_row", of="product", label="Product", front=True),
        *typed("trough_m", hint="Trough or bunk for this group, both sides counted. Blank: not"
                                " checked."),
        Entry(name="goes_along", what="choice", choices="YesNo.answer", front=True,
              label="Goes along with another line",
              hint="yes: it goes out on the same trip and counts none of its own."),
        Pull(name="starts_on", via="plan_row", of="starts_on", front=True),
        Calc(name="last_fed_on", front=True),
        Pull(name="times_used", via="plan_row", of="times_used", front=True),
        *shown("per_feeding_kg meal_kg"), Calc(name="loads_per_feeding", front=True),
        Pull(name="load_name", via="product_row", of="load_name", label="Counted in", front=True),
        Say(name="interval_words", by="interval_no", label="How often", front=True, unknown="",
            sentences=("", "fed less often than it should be: at least {least_used_per_week:1}"
                           " times a week",
                       "may have to be fed every day: enter its CP and NPN on Supplements")),
        *shown("trough_needed_m trough_per_head_m"),
        Say(name="room_words", by="room_no", label="Room at the trough", front=True, unknown="",
            sentences=("", "how long is the trough?", "all can eat at once",
                       "too short: the timid get less; more trough, or two groups")),
        *[Calc(name=name, front=True) for name in (
            "trips", "work_hours", "delivery_usd", "delivery_day_usd_per_head_day")],
        group_link(), *pulls("herd_row", "head"),
        Pull(name="shrunk_weight_kg", via="herd_row", of="herd_weight_kg"),
        Link(name="plan_row", to="Plan", on=("group_no", "line_no"), label="Row on Plan"),
        Pull(name="product_row", via="plan_row", of="product_row", to="Supplements",
             label="Row on Supplements"),
        *pulls("plan_row", "end_on mode_no known_season_tonne per_feeding_kg season_days"),
        *pulls("product_row", "load_kg at_trough least_used_per_week"),
        Link(name="goes_along_no", to="YesNo", by_name="goes_along", key="answer",
             blank_name="no", label="Goes along, no."),
        *calcs("meal_kg trough_per_head_m"),
        Calc(name="seldom"), Calc(name="interval_no", may_be_blank=("seldom",)),
        *calcs("trough_space_m trough_needed_m"),
        Calc(name="room_measured_no"), Calc(name="room_no", may_be_blank=("room_measured_no",)),
        Calc(name="too_short"),
        *calcs("trips_for wage_trip_usd travel_usd"),
        Calc(name="wage_used_usd", may_be_blank=("wage_trip_usd",)),
        Calc(name="travel_used_usd", may_be_blank=("travel_usd",)),
        Calc(name="trip_usd", may_be_blank=("wage_trip_usd", "travel_usd")),
    ), purpose="Each line as work. What a trip costs is asked on Start; blank there: not counted.")


def feed_sheet() -> Table:
    """What whoever feeds takes along: by group, feed and month."""
    return Table("FeedSheet", ("group", "line", "month"), (
        row_key(), *keys("group", "line", "month"), group_name(),
        Say(name="feed", by="sheet_fed_no", label="Feed", front=True, unknown="", sentences=(
            "", "{product}", "{product}: not known, see Plan")),
        month_name(),
        *[Calc(name=name, front=True) for name in ("sheet_from_on", "sheet_until_on")],
        Calc(name="sheet_times", front=True), *shown("sheet_feeding_kg"),
        Say(name="loads", by="sheet_loads_no", label="Which is", front=True, unknown="",
            sentences=("", "{sheet_loads:1} {load_name}")),
        *shown("sheet_meal_kg"),
        Say(name="how", by="sheet_fed_no", label="Fed how", front=True, unknown="",
            sentences=("", "{fed_by}", "")),
        Say(name="care", by="sheet_care_no", label="Take care", front=True, unknown="", sentences=(
            "", "holds urea or other NPN: never to hungry or unadapted cattle; follow the tag",
            "may hold urea or other NPN: read the tag")),
        group_link(), *pulls("herd_row", "head"),
        Link(name="plan_row", to="Plan", on=("group_no", "line_no"), label="Row on Plan"),
        Pull(name="product", via="plan_row", of="product", label="Product"),
        Link(name="amounts_row", to="Amounts", on=("group_no", "month_no", "line_no"),
             label="Row on Amounts"),
        Pull(name="product_row", via="plan_row", of="product_row", to="Supplements",
             label="Row on Supplements"),
        *pulls("plan_row", "start_on end_on used"),
        *pulls("amounts_row", "per_head_or_none_kg_per_day fed_days_used cost_usd"),
        *pulls("product_row", "load_kg npn_used_pct_of_cp load_name fed_by"),
        Pull(name="product_cp", via="product_row", of="dry_matter", member="cp"),
        *pulls("month_no", "first_day days"),
        *pulls("plan_row", "times_used"),
        *calcs("sheet_feeding_kg sheet_meal_kg sheet_loads sheet_loads_no"),
        Calc(name="sheet_fed"), Calc(name="sheet_fed_used", may_be_blank=("sheet_fed",)),
        Calc(name="sheet_fed_no", may_be_blank=("cost_usd",)),
        Calc(name="sheet_holds_cp"),
        Calc(name="sheet_may_hold_npn", may_be_blank=("sheet_holds_cp",)),
        Calc(name="sheet_npn"), Calc(name="sheet_care_no", may_be_blank=("sheet_npn",)),
    ), sheet="Feed sheet", purpose="To print for whoever feeds, a page for each group. Weigh what"
                                   " one load holds. Change to a new feed over two to three weeks.")
