"""Feed on hand: what the plan eats of each lot, when it runs out, what to buy by when."""

import numpy as np

from ..dialect import is_missing, only_if, ratio, typed_or, working
from ..equations.hay import hay_hauled_kg, hay_usable_dm_kg

__all__ = [
    "CERTAIN", "bale_density_kg_per_m3", "bale_error_pct", "bale_error_used_pct",
    "bale_used_kg", "baled_kg", "buy_by_on", "covered", "covered_high", "covered_high_months",
    "covered_low", "covered_low_months", "covered_months", "day_of", "feeding_untold",
    "feeding_used_pct", "grazed_counted_kg", "hay_counted_kg", "hay_kg", "lasts_days",
    "loss_no", "lot_asked", "lot_aum", "lot_bales_no", "lot_dm_pct_as_fed", "lot_flag",
    "lot_here_tonne", "lot_left_kg", "lot_may_run_out", "lot_need_hauled_kg", "lot_need_tonne",
    "lot_no", "lot_open", "lot_range_no", "lot_runs_out", "lot_short_bales",
    "lot_short_hauled_kg", "lot_short_kg", "lot_short_tonne", "lot_state_no",
    "lot_usable_dm_kg", "lot_value_usd", "month_of", "out_high_month", "out_high_share",
    "out_low_month", "out_low_share", "out_month", "out_share", "runs_out_high_on",
    "runs_out_low_on", "runs_out_on", "share_of", "stacked_kg", "storage_untold",
    "storage_used_pct", "usable_high_kg", "usable_kg", "usable_low_kg",
]

WEIGHED = 2  # bales from which their spread says anything
CERTAIN = 1e-9  # share of a lot by which rounding may exceed it
AIR_DRY = 0.90  # dry matter of air-dry forage
DAYS_A_MONTH = 30.4


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


def month_of(covered_months, months):
    """The month in which something runs out."""
    return np.minimum(covered_months + 1, months)


def share_of(usable, used, so_far):
    """The part of that month for which it lasts."""
    return np.clip(ratio(usable - (so_far - used), used, 1.0), 0, 1)


def day_of(covered_months, months, share, first_day, days):
    """The day on which it runs out; none where it lasts."""
    return only_if(covered_months < months, np.floor(first_day + share * days))


@working
def out_month(covered_months, months):
    """Month in which it runs out."""
    return month_of(covered_months, months)


@working
def out_low_month(covered_low_months, months):
    """The same with light bales."""
    return month_of(covered_low_months, months)


@working
def out_high_month(covered_high_months, months):
    """The same with heavy bales."""
    return month_of(covered_high_months, months)


@working
def out_share(usable_kg, out_used_kg, out_so_far_kg):
    """The part of that month for which it lasts."""
    return share_of(usable_kg, out_used_kg, out_so_far_kg)


@working
def out_low_share(usable_low_kg, out_low_used_kg, out_low_so_far_kg):
    """The same with light bales."""
    return share_of(usable_low_kg, out_low_used_kg, out_low_so_far_kg)


@working
def out_high_share(usable_high_kg, out_high_used_kg, out_high_so_far_kg):
    """The same with heavy bales."""
    return share_of(usable_high_kg, out_high_used_kg, out_high_so_far_kg)


@working
def runs_out_on(covered_months, months, out_share, out_first_day, out_days):
    """Day on which it runs out; none within the plan where it lasts."""
    return day_of(covered_months, months, out_share, out_first_day, out_days)


@working
def runs_out_low_on(covered_low_months, months, out_low_share, out_low_first_day, out_low_days):
    """The same with bales as light as they may be."""
    return day_of(covered_low_months, months, out_low_share, out_low_first_day, out_low_days)


@working
def runs_out_high_on(covered_high_months, months, out_high_share, out_high_first_day,
                     out_high_days):
    """The same with bales as heavy as they may be."""
    return day_of(covered_high_months, months, out_high_share, out_high_first_day, out_high_days)


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
def hay_counted_kg(hay_usable_dm_kg):
    """Hay that will be eaten; none where none is typed."""
    return typed_or(hay_usable_dm_kg, 0.0)


@working
def grazed_counted_kg(grazable_dm_kg):
    """What will be grazed; nothing where nothing is typed."""
    return typed_or(grazable_dm_kg, 0.0)


@working
def usable_kg(hay_usable_dm_kg, grazable_dm_kg, hay_counted_kg, grazed_counted_kg):
    """Dry matter that will be eaten of this lot, as hay and standing."""
    known = is_missing(hay_usable_dm_kg) + is_missing(grazable_dm_kg) < 2
    return only_if(known, hay_counted_kg + grazed_counted_kg)


@working
def storage_untold(storage_loss_pct, usual_storage_loss_pct):
    """1 where the storage loss is neither typed nor usual for how it is stored."""
    return is_missing(storage_loss_pct) * is_missing(usual_storage_loss_pct)


@working
def feeding_untold(feeding_loss_pct, usual_feeding_loss_pct):
    """1 where the feeding loss is neither typed nor usual for the feeder."""
    return is_missing(feeding_loss_pct) * is_missing(usual_feeding_loss_pct)


@working
def loss_no(hay_kg, storage_untold, feeding_untold):
    """1 where a loss of hay is not counted."""
    return (1 - is_missing(hay_kg)) * np.minimum(storage_untold + feeding_untold, 1)


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
def lot_range_no(runs_out_low_on, runs_out_high_on, bale_error_pct):
    """1 where the day it runs out has a range, 2 where heavy bales last."""
    told = (1 - is_missing(runs_out_low_on)) * (1 - is_missing(bale_error_pct))
    return told * (1 + is_missing(runs_out_high_on))


@working
def lot_may_run_out(lot_runs_out, runs_out_low_on):
    """1 where it lasts by the mean of the bales, but not with light ones."""
    return (1 - lot_runs_out) * (1 - is_missing(runs_out_low_on))


@working
def lot_open(lot_use_kg, lot_unknown, usable_kg):
    """1 where it is eaten, or that is not known, and it cannot be said how long it lasts."""
    eaten = np.minimum((lot_use_kg > 0) + (lot_unknown > 0) * 1.0, 1)
    doubt = np.minimum(is_missing(usable_kg) + (lot_unknown > 0), 1)
    return eaten * doubt


@working
def lot_asked(bales, hay_tonne, grazed_ha):
    """1 where anything is said of what there is."""
    return np.where(is_missing(bales) + is_missing(hay_tonne) + is_missing(grazed_ha) < 3, 1.0, 0.0)


@working
def lot_no(lot_asked, lot_state_no):
    """0 nothing said, 1 not known, 2 not used, 3 lasts; runs out: 4 to 6; 7 may."""
    return np.where(lot_asked > 0, typed_or(lot_state_no, 1.0), 0.0)


@working
def lot_state_no(lot_use_kg, lot_left_kg, lot_bales_no, lot_may_run_out):
    """2 not used, 3 lasts, 4 runs out (tons), 5 (bales), 6 (pasture), 7 may run out."""
    return np.where(lot_use_kg > 0, 3.0 + lot_bales_no + 4 * lot_may_run_out, 2.0)


@working
def lot_flag(lot_no):
    """1 where it runs out or is not known."""
    return np.where((lot_no == 1) | (lot_no > 3), 1.0, 0.0)
