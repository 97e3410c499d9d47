"""Feed on hand: what the plan eats of each lot, when it runs out, what to buy by when."""

import numpy as np

from ..dialect import chosen, is_missing, only_if, ratio, typed_or, working
from ..equations.hay import hay_hauled_kg, hay_usable_dm_kg

__all__ = [
    "bale_density_kg_per_m3", "bale_error_pct", "bale_error_used_pct", "bale_used_kg",
    "baled_kg", "buy_by_on", "counted_usable_kg", "counted_use_kg", "covered", "covered_high",
    "covered_high_months", "covered_low", "covered_low_months", "covered_months",
    "cut_used_pct", "decide_by_on", "decide_covered", "decide_month", "decide_no",
    "decide_share", "decide_used_kg", "feed_covered", "feed_months", "feed_out_month",
    "feed_out_share", "feed_runs_out_on", "feeding_used_pct", "group_forage_kg", "handed_kg",
    "hay_kg", "herd_short_kg", "herd_short_tonne", "kept_kg", "lasts_days", "lot_asked",
    "lot_aum", "lot_bales_no", "lot_dm_pct_as_fed", "lot_flag", "lot_here_tonne", "lot_left_kg",
    "lot_need_hauled_kg", "lot_need_tonne", "lot_no", "lot_range_no", "lot_runs_out",
    "lot_short_bales", "lot_short_hauled_kg", "lot_short_kg", "lot_short_tonne", "lot_state_no",
    "lot_usable_dm_kg", "lot_used_kg", "lot_value_usd", "main_not_known", "main_used_kg",
    "named_kg", "named_unknown", "on_hand_used_tonne", "out_high_month", "out_high_share",
    "out_low_month", "out_low_share", "out_month", "out_share", "runs_out_high_on",
    "runs_out_low_on", "runs_out_on", "second_not_known", "second_used_kg", "stacked_kg",
    "still_to_buy_tonne", "storage_used_pct", "third_not_known", "third_used_kg",
    "turn_out_used_on", "usable_high_kg", "usable_kg", "usable_low_kg",
]

WEIGHED = 2  # bales from which their spread says anything
CERTAIN = 1e-9  # share of a lot by which rounding may exceed it
AIR_DRY = 0.90  # dry matter of air-dry forage
DAYS_A_MONTH = 30.4


# --- what each group eats of each lot
@working
def group_forage_kg(forage_eaten_kg_per_day, head, days):
    """Forage that the group eats in the month, dry matter."""
    return forage_eaten_kg_per_day * head * days


@working
def main_used_kg(group_forage_kg, main_pct):
    """Of the main forage."""
    return group_forage_kg * main_pct / 100


@working
def second_used_kg(group_forage_kg, second_pct_used):
    """Of the second forage."""
    return group_forage_kg * second_pct_used / 100


@working
def third_used_kg(group_forage_kg, third_pct_used):
    """Of the third forage."""
    return group_forage_kg * third_pct_used / 100


@working
def main_not_known(main_used_kg):
    """1 where a group's part of the main forage is not known."""
    return is_missing(main_used_kg)


@working
def second_not_known(second_used_kg):
    """1 where a group's part of the second forage is not known."""
    return is_missing(second_used_kg)


@working
def third_not_known(third_used_kg):
    """1 where a group's part of the third forage is not known."""
    return is_missing(third_used_kg)


@working
def named_kg(main_named_kg, second_named_kg, third_named_kg):
    """What all groups eat under this lot's name in the month."""
    return main_named_kg + second_named_kg + third_named_kg


@working
def named_unknown(main_unknown, second_unknown, third_unknown):
    """Groups of which that is not known."""
    return main_unknown + second_unknown + third_unknown


@working
def kept_kg(named_kg, next_share_used):
    """Of it from this lot, not the one that follows."""
    return named_kg * (1 - next_share_used)


@working
def handed_kg(named_kg, next_share_used):
    """Of it from the lot that follows."""
    return named_kg * next_share_used


@working
def lot_used_kg(kept_kg, handed_in_kg, named_unknown):
    """Eaten of this lot in the month; not known where a group's is not."""
    return only_if(named_unknown < 1, kept_kg + handed_in_kg)


# --- how far it reaches
@working
def covered(lot_so_far_kg, usable_kg):
    """1 where the lot lasts to the month's end."""
    return np.where(lot_so_far_kg <= usable_kg * (1 + CERTAIN), 1.0, 0.0)


@working
def covered_low(lot_so_far_kg, usable_low_kg):
    """The same with bales as light as they may be."""
    return np.where(lot_so_far_kg <= usable_low_kg * (1 + CERTAIN), 1.0, 0.0)


@working
def covered_high(lot_so_far_kg, usable_high_kg):
    """The same with bales as heavy as they may be."""
    return np.where(lot_so_far_kg <= usable_high_kg * (1 + CERTAIN), 1.0, 0.0)


@working
def covered_months(covered_known, covered_unknown, lot_unknown):
    """Months to whose end the lot lasts."""
    return only_if(covered_unknown + lot_unknown < 1, covered_known)


@working
def covered_low_months(covered_low_known, covered_low_unknown, lot_unknown):
    """The same with bales as light as they may be."""
    return only_if(covered_low_unknown + lot_unknown < 1, covered_low_known)


@working
def covered_high_months(covered_high_known, covered_high_unknown, lot_unknown):
    """The same with bales as heavy as they may be."""
    return only_if(covered_high_unknown + lot_unknown < 1, covered_high_known)


def _month(covered_months, months):
    return np.minimum(covered_months + 1, months)


def _share(usable, used, so_far):
    return np.clip(ratio(usable - (so_far - used), used, 1.0), 0, 1)


def _day(covered_months, months, share, first_day, days):
    return only_if(covered_months < months, np.floor(first_day + share * days))


@working
def out_month(covered_months, months):
    """Month in which it runs out."""
    return _month(covered_months, months)


@working
def out_low_month(covered_low_months, months):
    """The same with light bales."""
    return _month(covered_low_months, months)


@working
def out_high_month(covered_high_months, months):
    """The same with heavy bales."""
    return _month(covered_high_months, months)


@working
def out_share(usable_kg, out_used_kg, out_so_far_kg):
    """The part of that month for which it lasts."""
    return _share(usable_kg, out_used_kg, out_so_far_kg)


@working
def out_low_share(usable_low_kg, out_low_used_kg, out_low_so_far_kg):
    """The same with light bales."""
    return _share(usable_low_kg, out_low_used_kg, out_low_so_far_kg)


@working
def out_high_share(usable_high_kg, out_high_used_kg, out_high_so_far_kg):
    """The same with heavy bales."""
    return _share(usable_high_kg, out_high_used_kg, out_high_so_far_kg)


@working
def runs_out_on(covered_months, months, out_share, out_first_day, out_days):
    """Day on which it runs out; none within the plan where it lasts."""
    return _day(covered_months, months, out_share, out_first_day, out_days)


@working
def runs_out_low_on(covered_low_months, months, out_low_share, out_low_first_day, out_low_days):
    """The same with bales as light as they may be."""
    return _day(covered_low_months, months, out_low_share, out_low_first_day, out_low_days)


@working
def runs_out_high_on(covered_high_months, months, out_high_share, out_high_first_day,
                     out_high_days):
    """The same with bales as heavy as they may be."""
    return _day(covered_high_months, months, out_high_share, out_high_first_day, out_high_days)


# --- what is there
@working
def bale_density_kg_per_m3(bale_density, kg_per_weight_unit, m_per_length_unit):
    """Density of round bales in the engine's unit."""
    return bale_density * kg_per_weight_unit / m_per_length_unit**3


@working
def bale_used_kg(bale_kg, bale_size_kg):
    """Weight of a bale: typed or weighed, else by its size."""
    return typed_or(bale_kg, bale_size_kg)


@working
def baled_kg(bales, bale_used_kg):
    """Hay in bales, as fed."""
    return bales * bale_used_kg


@working
def stacked_kg(hay_tonne):
    """Hay or silage by the ton, as fed."""
    return hay_tonne * 1000


@working
def hay_kg(baled_kg, stacked_kg):
    """Hay there is, as fed: bales, else tons."""
    return typed_or(baled_kg, stacked_kg)


@working
def storage_used_pct(storage_loss_pct, usual_storage_loss_pct):
    """Storage loss: typed, else usual for how it is stored, else none counted."""
    return typed_or(storage_loss_pct, typed_or(usual_storage_loss_pct, 0.0))


@working
def feeding_used_pct(feeding_loss_pct, usual_feeding_loss_pct):
    """Feeding loss: typed, else usual for the feeder, else none counted."""
    return typed_or(feeding_loss_pct, typed_or(usual_feeding_loss_pct, 0.0))


@working
def lot_usable_dm_kg(hay_kg, dm_pct_as_fed, storage_used_pct, feeding_used_pct):
    """Dry matter that will be eaten of the hay there is."""
    return hay_usable_dm_kg(hay_kg, dm_pct_as_fed, storage_used_pct, feeding_used_pct)


@working
def usable_kg(hay_usable_dm_kg, grazable_dm_kg):
    """Dry matter that will be eaten of this lot: hay, else what is grazed."""
    return typed_or(hay_usable_dm_kg, grazable_dm_kg)


@working
def bale_error_pct(bale_sd_kg, weighed_bales, bale_used_kg, margin_errors):
    """How far the mean of weighed bales may be off, either side."""
    error = margin_errors * bale_sd_kg / np.sqrt(np.maximum(weighed_bales, 1)) / bale_used_kg * 100
    return only_if(weighed_bales >= WEIGHED, np.minimum(error, 100))


@working
def bale_error_used_pct(bale_error_pct):
    """The same; none where it cannot be said."""
    return typed_or(bale_error_pct, 0.0)


@working
def usable_low_kg(usable_kg, bale_error_used_pct):
    """What will be eaten with bales as light as they may be."""
    return usable_kg * (1 - bale_error_used_pct / 100)


@working
def usable_high_kg(usable_kg, bale_error_used_pct):
    """What will be eaten with bales as heavy as they may be."""
    return usable_kg * (1 + bale_error_used_pct / 100)


# --- what is short
@working
def lot_left_kg(usable_kg, lot_use_kg, lot_unknown):
    """Left at the plan's end; below zero where it runs out."""
    return only_if(lot_unknown < 1, usable_kg - lot_use_kg)


@working
def lot_short_kg(lot_left_kg):
    """Dry matter short."""
    return np.maximum(-lot_left_kg, 0.0)


@working
def lot_need_hauled_kg(lot_use_kg, lot_dm_pct_as_fed, storage_used_pct, feeding_used_pct):
    """Hay as fed that the plan takes of this lot, losses counted."""
    return hay_hauled_kg(lot_use_kg, lot_dm_pct_as_fed, storage_used_pct, feeding_used_pct)


@working
def lot_short_hauled_kg(lot_short_kg, lot_dm_pct_as_fed, storage_used_pct, feeding_used_pct):
    """Hay as fed to buy, losses counted."""
    return hay_hauled_kg(lot_short_kg, lot_dm_pct_as_fed, storage_used_pct, feeding_used_pct)


@working
def lot_need_tonne(lot_need_hauled_kg):
    """The plan takes of it, as fed with losses."""
    return lot_need_hauled_kg / 1000


@working
def lot_short_tonne(lot_short_hauled_kg):
    """To buy, as fed with losses."""
    return lot_short_hauled_kg / 1000


@working
def lot_here_tonne(hay_kg):
    """Hay there is, as fed."""
    return hay_kg / 1000


@working
def lot_short_bales(lot_short_hauled_kg, bale_used_kg):
    """Bales to buy."""
    return lot_short_hauled_kg / bale_used_kg


@working
def lot_value_usd(lot_need_tonne, market_usd_per_tonne):
    """What the plan eats of it is worth."""
    return lot_need_tonne * market_usd_per_tonne


@working
def lasts_days(runs_out_on, first_month):
    """Days from the plan's start until it runs out."""
    return runs_out_on - first_month


@working
def buy_by_on(runs_out_on, lead_days):
    """Last day to order what is short."""
    return runs_out_on - lead_days


@working
def lot_aum(usable_kg, aum_weight, kg_per_weight_unit):
    """Animal unit months of it, by the weight said on Start."""
    return usable_kg / (aum_weight * kg_per_weight_unit * AIR_DRY)


@working
def lot_runs_out(lot_short_kg, met_within_pct, lot_use_kg):
    """1 where it does not reach to the plan's end."""
    return np.where(lot_short_kg * 100 > met_within_pct * lot_use_kg, 1.0, 0.0)


@working
def lot_dm_pct_as_fed(hay_kg, dm_pct_as_fed):
    """Dry matter of hay; pasture is counted in dry matter."""
    return np.where(is_missing(hay_kg) > 0, 100.0, dm_pct_as_fed)


@working
def lot_bales_no(bales, hay_kg, lot_runs_out):
    """0 where it lasts, 1 short by weight, 2 short in bales, 3 short of pasture."""
    hay = (2 - is_missing(bales)) * (1 - is_missing(hay_kg))
    return lot_runs_out * (hay + 3 * is_missing(hay_kg))


@working
def lot_range_no(runs_out_low_on, bale_error_pct):
    """1 where the day it runs out has a range."""
    return np.where(is_missing(runs_out_low_on) + is_missing(bale_error_pct) < 1, 1.0, 0.0)


@working
def lot_asked(bales, hay_tonne, grazed_ha):
    """1 where anything is said of what there is."""
    return np.where(is_missing(bales) + is_missing(hay_tonne) + is_missing(grazed_ha) < 3, 1.0, 0.0)


@working
def lot_no(lot_asked, lot_state_no):
    """0 nothing said, 1 not known, 2 not used, 3 lasts; runs out: 4 tons, 5 bales, 6 pasture."""
    return np.where(lot_asked > 0, typed_or(lot_state_no, 1.0), 0.0)


@working
def lot_state_no(lot_use_kg, lot_left_kg, lot_bales_no):
    """2 not used, 3 lasts, 4 runs out (tons), 5 (bales), 6 (pasture)."""
    return np.where(lot_use_kg > 0, 3.0 + lot_bales_no, 2.0)


@working
def lot_flag(lot_no):
    """1 where it runs out or is not known."""
    return np.where((lot_no == 1) | (lot_no > 3), 1.0, 0.0)


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
    return _month(feed_months, months)


@working
def feed_out_share(on_hand_tonne, feed_out_used_tonne, feed_out_so_far_tonne):
    """The part of that month for which it lasts."""
    return _share(on_hand_tonne, feed_out_used_tonne, feed_out_so_far_tonne)


@working
def feed_runs_out_on(feed_months, months, feed_out_share, feed_out_first_day, feed_out_days):
    """Day on which what is there runs out; none within the plan where it lasts."""
    return _day(feed_months, months, feed_out_share, feed_out_first_day, feed_out_days)


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
    return _month(decide_months, months)


@working
def decide_share(decide_used_kg, decide_month_kg, decide_so_far_kg):
    """The part of its month before that day."""
    return _share(decide_used_kg, decide_month_kg, decide_so_far_kg)


@working
def decide_by_on(decide_share, decide_first_day, decide_days):
    """The last day on which fewer head still make the feed last."""
    return np.floor(decide_first_day + decide_share * decide_days)


@working
def herd_short_tonne(herd_short_kg):
    """Dry matter short until turn-out."""
    return herd_short_kg / 1000


@working
def decide_no(herd_lots, herd_short_kg, herd_use_kg, decide_used_kg, met_within_pct):
    """0 nothing said, 1 enough, 2 a smaller herd in time would do, 3 it would not do."""
    short = 2.0 + (decide_used_kg <= 0)
    state = chosen(1 + (herd_short_kg * 100 > met_within_pct * herd_use_kg), 1.0, short)
    return np.where(herd_lots > 0, state, 0.0)
