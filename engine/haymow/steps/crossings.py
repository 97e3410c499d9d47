"""The days on which forage falls below a need and rises above it again."""

import numpy as np

from ..dialect import chosen, only_if, ratio, working

__all__ = [
    "falls_on", "month_after", "month_last", "rises_on", "rising_on", "when_no",
]


@working
def falls_on(first_short_month, crossed_on, first_month):
    """Day on which forage falls below the need; the plan's first where it is below already."""
    day = chosen(np.minimum(first_short_month, 2) + 1, first_month, first_month, crossed_on)
    return only_if(first_short_month > 0, day)


@working
def month_last(last_short_month):
    """The last short month; the first of the plan where none is short."""
    return np.maximum(last_short_month, 1)


@working
def month_after(month_last, months):
    """The month after."""
    return np.minimum(month_last + 1, months)


@working
def rising_on(over_last, over_after, mid_last, mid_after):
    """Day on which forage rises above the need: a straight line between two months' middles."""
    share = np.clip(ratio(over_last, over_last - over_after, 0.0), 0, 1)
    return np.floor(mid_last + (mid_after - mid_last) * share)


@working
def rises_on(last_short_month, months, rising_on):
    """The same, where it does so within the plan."""
    return only_if((last_short_month > 0) & (last_short_month < months), rising_on)


@working
def when_no(last_short_month, months):
    """0 never short, 1 short and met again, 2 short to the plan's end."""
    return chosen(1 + (last_short_month > 0) + (last_short_month >= months), 0.0, 1.0, 2.0)
