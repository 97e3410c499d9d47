"""Feeds that are there, and the herd's feed until turn-out: when it runs out, when to decide."""

import numpy as np

from ..dialect import chosen, only_if, typed_or, working
from .on_hand import CERTAIN, day_of, month_of, share_of

__all__ = [
    "counted_usable_kg", "counted_use_kg", "cut_used_pct", "decide_by_on", "decide_covered",
    "decide_month", "decide_no", "decide_share", "decide_state_no", "decide_used_kg",
    "feed_covered", "feed_months", "feed_out_month", "feed_out_share", "feed_runs_out_on",
    "herd_short_kg", "herd_short_tonne", "on_hand_used_tonne", "still_to_buy_tonne",
    "turn_out_used_on",
]


# --- feeds that are there
@working
def feed_covered(feed_so_far_tonne, on_hand_tonne):
    """1 where what is there lasts to the month's end."""
    return np.where(feed_so_far_tonne <= on_hand_tonne * (1 + CERTAIN), 1.0, 0.0)


@working
def feed_months(feed_covered_known, feed_covered_unknown):
    """Months to whose end it lasts."""
    return only_if(feed_covered_unknown < 1, feed_covered_known)


@working
def feed_out_month(feed_months, months):
    """Month in which it runs out."""
    return month_of(feed_months, months)


@working
def feed_out_share(on_hand_tonne, feed_out_used_tonne, feed_out_so_far_tonne):
    """The part of that month for which it lasts."""
    return share_of(on_hand_tonne, feed_out_used_tonne, feed_out_so_far_tonne)


@working
def feed_runs_out_on(feed_months, months, feed_out_share, feed_out_first_day, feed_out_days):
    """Day on which what is there runs out; none within the plan where it lasts."""
    return day_of(feed_months, months, feed_out_share, feed_out_first_day, feed_out_days)


@working
def on_hand_used_tonne(on_hand_tonne):
    """What is there; none where none is typed."""
    return typed_or(on_hand_tonne, 0.0)


@working
def still_to_buy_tonne(bought_all_tonne, on_hand_used_tonne):
    """What the plan takes beyond what is there."""
    return np.maximum(bought_all_tonne - on_hand_used_tonne, 0.0)


# --- the herd to turn-out
@working
def turn_out_used_on(turn_out_on, plan_end):
    """Turn-out; the plan's end where none is said."""
    return typed_or(turn_out_on, plan_end)


@working
def counted_use_kg(lot_used_kg, usable_kg, turn_out_used_on, first_day, days):
    """Eaten before turn-out, of lots of which it is known what there is."""
    before = np.clip((turn_out_used_on - first_day) / days, 0, 1)
    return lot_used_kg * before


@working
def counted_usable_kg(usable_kg, lot_use_kg):
    """What there is, of lots that are used."""
    return np.where(lot_use_kg > 0, usable_kg, 0.0)


@working
def cut_used_pct(cut_pct):
    """Head that could go, to be named in the words."""
    return cut_pct


@working
def herd_short_kg(herd_usable_kg, herd_use_kg):
    """Dry matter short until turn-out."""
    return np.maximum(herd_use_kg - herd_usable_kg, 0.0)


@working
def decide_used_kg(herd_usable_kg, herd_use_kg, cut_pct):
    """Eaten by the last day on which fewer head still make the feed last.

    What is left then must do for the rest of the season with the smaller herd.
    """
    return (herd_usable_kg - herd_use_kg * (1 - cut_pct / 100)) / (cut_pct / 100)


@working
def decide_covered(herd_so_far_kg, decide_used_kg):
    """1 where all the month is before that day."""
    return np.where(herd_so_far_kg <= decide_used_kg, 1.0, 0.0)


@working
def decide_month(decide_months, months):
    """The month of that day."""
    return month_of(decide_months, months)


@working
def decide_share(decide_used_kg, decide_month_kg, decide_so_far_kg):
    """The part of its month before that day."""
    return share_of(decide_used_kg, decide_month_kg, decide_so_far_kg)


@working
def decide_by_on(decide_share, decide_first_day, decide_days):
    """The last day on which fewer head still make the feed last."""
    return np.floor(decide_first_day + decide_share * decide_days)


@working
def herd_short_tonne(herd_short_kg):
    """Dry matter short until turn-out."""
    return herd_short_kg / 1000


@working
def decide_state_no(herd_short_kg, herd_use_kg, decide_used_kg, met_within_pct):
    """1 enough, 2 a smaller herd in time would do, 3 it would not."""
    short = 2.0 + (decide_used_kg * 100 <= met_within_pct * herd_use_kg)
    return chosen(1 + (herd_short_kg * 100 > met_within_pct * herd_use_kg), 1.0, short)


@working
def decide_no(herd_lots, herd_open, decide_state_no):
    """The same; 0 where nothing is said, 4 where it is not known."""
    return np.where(herd_lots > 0, chosen(1 + (herd_open > 0), decide_state_no, 4.0), 0.0)
