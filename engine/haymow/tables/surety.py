"""How sure it is that a group's needs are met, and how much of each forage is eaten."""

from __future__ import annotations

from .book import Table
from .kinds import Calc, Column, Link, Pull
from .shorthand import calcs, group_link, group_name, keys, month_name, pulls, row_key

__all__ = ["surety"]

PARTS = ("main", "second", "third")


def surety() -> Table:
    """One row a group and month."""
    return Table("Surety", ("group", "month"), (
        row_key(), *keys("group", "month"), group_name(), month_name(),
        *_eaten(),
    ), sheet="How sure", purpose="How sure it is that needs are met, from the spread of the"
                                 " samples. Once a forage has been sampled twice.")


def _eaten() -> list[Column]:
    """What each forage gives to the group in that month."""
    return [
        group_link(),
        Link(name="diet_row", to="Diet", on=("group_no", "month_no"), label="Row on Diet"),
        Link(name="needs_row", to="Needs", on=("group_no", "month_no"), label="Row on Needs"),
        *pulls("herd_row", "head"), *pulls("month_no", "days"),
        *pulls("needs_row", "intake_kg_per_day shrunk_weight_kg"),
        *pulls("diet_row", "main_no second_no third_no"),
        *pulls("diet_row", "main_pct second_pct_used third_pct_used"),
        Link(name="balance_row", to="Balance", on=("group_no", "month_no"),
             label="Row on Balance"),
        Pull(name="cp_short", via="balance_row", of="short", member="cp", label="Short of CP"),
        Calc(name="cp_short_used", may_be_blank=("cp_short",)),
        Calc(name="usual_eaten_kg_per_day"),
        Calc(name="eaten_used_kg_per_day", may_be_blank=("intake_kg_per_day",)),
        *calcs("main_short_kg second_short_kg third_short_kg"),
    ]
