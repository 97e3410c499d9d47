"""Storm: a forecast, and what it asks of each group for some days. Nothing else rests on it."""

from __future__ import annotations

from .book import Table
from .kinds import Asks, Calc, Entry, Link, Pull, Say
from .shorthand import calcs, group_link, group_name, keys, pulls, shown

__all__ = ["forecast", "storm"]


def forecast(us: bool) -> Table:
    """What is forecast, and how cold that is for cattle."""
    degree, wind = ("\N{DEGREE SIGN}F", "mph") if us else ("\N{DEGREE SIGN}C", "km/h")
    return Table("Forecast", ("season",), (
        *keys("season"),
        Entry(name="storm_month", what="choice", choices="MonthNames.month_name", front=True,
              label="Month of the storm", hint="A month of the plan: its needs are raised."),
        Entry(name="storm_air", front=True, label=f"Air temperature, {degree}",
              hint="Lowest mean of a day that is forecast."),
        Entry(name="storm_wind", front=True, label=f"Wind, {wind}",
              hint="Where the cattle stand; 0 behind a good windbreak."),
        Entry(name="coat", what="choice", choices="Coats.coat", label="Coat", front=True,
              hint="Rain or wet snow makes a coat wet, whatever the season."),
        Entry(name="storm_days", front=True, hint="Days the storm lasts."),
        Entry(name="storm_forage", what="choice", choices="Forages.forage", front=True,
              label="Forage for the storm", hint="Blank: the main forage of each group."),
        Calc(name="feels_like", label=f"Feels like, {degree}", front=True),
        Say(name="forecast_words", by="forecast_no", label="In words", front=True, unknown="",
            sentences=_feels(degree)),
        Asks(name="note", used="storm_month", label="To look at", front=True, needs=(
            ("storm_month_no", "The plan does not have that month. "),
            ("storm_air", "How cold? "), ("storm_wind", "How much wind? 0 in shelter. "),
            ("coat_no", "Which coat? "), ("storm_days", "How many days? "))),
        Link(name="storm_moy", to="MonthNames", by_name="storm_month", key="month_name",
             label="Month of the year"),
        Link(name="coat_no", to="Coats", by_name="coat", key="coat", label="Coat no."),
        Pull(name="coat_limit_f", via="coat_no", of="limit_f", label="Critical temperature"),
        Pull(name="cold_pct_per_f", via="coat_no", of="pct_per_f", label="% per degree"),
        Calc(name="storm_month_no"),
        Calc(name="air_f", by="storm_air_f"), Calc(name="wind_mph", by="storm_wind_mph"),
        Calc(name="critical_shown", label=f"Critical temperature, {degree}"),
        *calcs("wind_chill_f cold_uncapped_pct cold_energy_pct forecast_no"),
    ), sheet="Storm", title="Forecast",
        purpose="Extra feed for a storm. The tons of the plan do not change by it. Young, thin, wet"
                " or sick cattle: shelter first, and ask your veterinarian.")


def _feels(degree: str) -> tuple[str, ...]:
    feels = "feels like {feels_like:0} " + degree
    return (
        feels + ": no more energy needed",
        feels + ", below {critical_shown:0} " + degree + ": {cold_energy_pct:0} % more energy",
        feels + ": {cold_uncapped_pct:0} % more energy would be needed and cannot be fed; shelter"
        " them from wind and wet")


def storm(us: bool, top: int) -> Table:
    """What each group needs more in the storm."""
    weight = "lb" if us else "kg"
    return Table("Storm", ("group",), (
        *keys("group"), group_name(),
        *shown("storm_extra_kg_per_day storm_group_kg_per_day storm_all_tonne"
               " usual_tdn_kg_per_day storm_tdn_kg_per_day"),
        Calc(name="storm_eaten_pct_bw", front=True),
        Say(name="storm_words", by="storm_no", label="What to do", front=True, unknown="",
            sentences=_words(weight)),
        Pull(name="fed_forage", via="fed_row", of="forage", label="Forage fed", front=True),
        group_link(),
        Link(name="forecast_row", to="Forecast", on=(1,), label="Row of the forecast"),
        Pull(name="class_row", via="herd_row", of="class_row", label="Row of the class"),
        *pulls("herd_row", "head"),
        *pulls("forecast_row", "storm_month_no storm_days forecast_no cold_uncapped_pct"),
        Pull(name="storm_forage", via="forecast_row", of="storm_forage", label="Forage named"),
        Pull(name="storm_rise_pct", via="forecast_row", of="cold_energy_pct"),
        Link(name="needs_row", to="Needs", on=("group_no", "storm_month_no"),
             label="Row on Needs"),
        Link(name="diet_row", to="Diet", on=("group_no", "storm_month_no"), label="Row on Diet"),
        Pull(name="main_row", via="diet_row", of="main_row", to="Forages",
             label="Row of the main forage"),
        Link(name="fed_row", to="Forages", by_name="storm_forage", key="forage", blank="main_row",
             label="Row of the forage fed"),
        Pull(name="fed_no", via="fed_row", of="forage_no", label="No. of the forage fed"),
        Link(name="fed_quality", to="Quality", on=("fed_no", "storm_month_no"),
             label="Row of its month"),
        Pull(name="storm_forage_tdn_pct", via="fed_quality", of="quality", member="tdn"),
        Pull(name="storm_forage_dm_pct", via="fed_row", of="dm_pct_as_fed"),
        *pulls("needs_row", "intake_kg_per_day shrunk_weight_kg maintenance_nem_mcal_per_day"
                            " nem_need_mcal_per_day"),
        Pull(name="usual_tdn_kg_per_day", via="needs_row", of="need", member="tdn"),
        Pull(name="month_cold_pct", via="needs_row", of="cold_used_pct_of_need"),
        *calcs("storm_more_pct storm_base_share storm_extra_tdn_kg_per_day storm_tdn_kg_per_day"
               " storm_extra_kg_per_day storm_group_kg_per_day storm_after_days storm_feeding_days"
               " storm_all_tonne storm_known_no"),
        Calc(name="storm_group_no", may_be_blank=("forecast_no", "storm_known_no")),
        Calc(name="storm_no"),
    ), sheet="Storm", top=top, title="What to feed more")


def _words(weight: str) -> tuple[str, ...]:
    feed = ("{storm_extra:1} " + weight + " more {fed_forage} a head and day, {storm_group:0} "
            + weight + " a day for the group; go on for {storm_after_days:0} days after the storm")
    return ("fill in the forecast above", "not known: see this group on Needs, and TDN and dry"
            " matter of its forage", "nothing more to feed", "feed " + feed,
            "{cold_uncapped_pct:0} % more cannot be fed: at most " + feed
            + ", and give shelter and dry bedding")
