"""When short: the days on which forage falls below each need and rises above it again."""

from __future__ import annotations

from .book import Table
from .kinds import Calc, Edge, Link, Pull, Say
from .shorthand import calcs, group_link, group_name, keys, row_key

__all__ = ["when_short"]

MONTHS = (("then", "month_looked_at"), ("earlier", "month_earlier"), ("last", "month_last"),
          ("after", "month_after"))


def when_short() -> Table:
    """One row a group and nutrient."""
    return Table("WhenShort", ("group", "nutrient"), (
        row_key(), *keys("group", "nutrient"), group_name(),
        Pull(name="nutrient", via="nutrient_no", of="nutrient", label="Nutrient", front=True),
        Say(name="when_words", by="when_no", label="Forage alone", front=True, used="class_row",
            sentences=("enough all through the plan",
                       "short from {falls_on:day} to {rises_on:day}",
                       "short from {falls_on:day} to the plan's end")),
        Calc(name="falls_on", front=True), Calc(name="rises_on", front=True),
        group_link(),
        Pull(name="class_row", via="herd_row", of="class_row", label="Row of the class"),
        Link(name="balance_row", to="Balance", on=("group_no", 1), label="First row on Balance"),
        Edge(name="first_short_month", via="balance_row", of="short", member="nutrient_no",
             label="First short month"),
        Edge(name="last_short_month", via="balance_row", of="short", which="last",
             member="nutrient_no", label="Last short month"),
        *calcs("month_looked_at month_earlier month_last month_after"),
        *[Link(name=f"{w}_row", to="Balance", on=("group_no", m), label=f"Row {w}")
          for w, m in MONTHS],
        *[Pull(name=f"over_{w}", via=f"{w}_row", of="over", member="nutrient_no")
          for w, _ in MONTHS],
        *[Link(name=f"{w}_month", to="Calendar", on=(m,), label=f"Month {w}") for w, m in MONTHS],
        *[Pull(name=f"mid_{w}", via=f"{w}_month", of="mid_day") for w, _ in MONTHS],
        *calcs("crossed_on rising_on when_no"),
    ), sheet="When short", purpose="By a straight line between the middles of two months. Where a"
                                   " need is short in two spells, from the first to the last.")
