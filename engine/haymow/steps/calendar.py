"""The plan's months."""

import numpy as np

from ..dialect import month_of_year, month_start, working

__all__ = [
    "days", "first_day", "mid_day", "month_green", "moy", "plan_end",
]


@working
def first_day(first_month, month_no):
    """First day of a plan month (day number)."""
    return month_start(first_month, month_no - 1)


@working
def days(first_month, month_no):
    """Length of a plan month."""
    return month_start(first_month, month_no) - month_start(first_month, month_no - 1)


@working
def mid_day(first_day, days):
    """Middle of a plan month."""
    return first_day + days / 2


@working
def plan_end(first_month, months):
    """The day after the plan's last day."""
    return month_start(first_month, months)


@working
def moy(first_day):
    """Month of the year, 1 to 12."""
    return month_of_year(first_day)


@working
def month_green(moy, green_from_moy, green_to_moy):
    """1 in a month in which pasture is green, else 0; the season may run over New Year."""
    months_in = np.remainder(moy - green_from_moy, 12)
    return np.where(months_in <= np.remainder(green_to_moy - green_from_moy, 12), 1.0, 0.0)
