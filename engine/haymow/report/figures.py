"""Numbers and days as the report writes them; what is not known is a question mark."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from ..plan import Plan

__all__ = ["amount", "dated", "day", "last_day", "number", "often", "put_out", "words"]

UNKNOWN, DAILY = "?", 7


def number(value: Any, places: int = 0) -> str:
    """A number with its thousands parted.

    >>> number(1234.5), number(float("nan")), number(-0.001, 1)
    ('1,234', '?', '0.0')
    """
    if value is None or value != value:
        return UNKNOWN
    text = f"{value:,.{places}f}"
    return text.removeprefix("-") if float(text.replace(",", "")) == 0 else text


def amount(value: Any) -> str:
    """What somebody is to weigh: whole from 10 on, else with a decimal or two.

    >>> amount(428.05), amount(6.04), amount(0.2)
    ('428', '6.0', '0.20')
    """
    return number(value, 2 if value < 1 else 1 if value < 10 else 0)


def dated(planned: Plan) -> bool:
    """Whether the months of the plan are known: without the first one nothing has a day."""
    return len(planned.budget) > 0 and not bool(planned.budget["month"].isna().any())


def words(value: Any) -> str:
    """Words of a frame; where there are none, it is not known.

    >>> words("enough"), words(float("nan"))
    ('enough', '?')
    """
    return value if isinstance(value, str) else UNKNOWN


def day(value: Any) -> str:
    """A day; none is a dash."""
    return "-" if value is None or value != value else f"{value:%b} {value.day}, {value.year}"


def last_day(value: Any) -> str:
    """The day before, of the first day without a feed."""
    return day(value - dt.timedelta(days=1)) if value == value else "-"


def put_out(mode: str | None) -> bool:
    """Whether they eat of a feed as they like."""
    return mode == "by its own intake"


def often(times_per_week: float, mode: str | None) -> str:
    """How often a feed is brought.

    >>> often(3.0, "level"), often(7.0, "as needed"), often(7.0, "by its own intake")
    ('3 times a week', 'every day', 'put out, always there')
    """
    if put_out(mode):
        return "put out, always there"
    if times_per_week != times_per_week:
        return UNKNOWN
    if times_per_week == DAILY:
        return "every day"
    return "once a week" if times_per_week == 1 else f"{times_per_week:g} times a week"
