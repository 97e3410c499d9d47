"""Quality over the season: a table curve shifted by dated samples; averages pulled to a table."""

import numpy as np

from ..dialect import is_missing, month_of_year, month_start, only_if, ratio, typed_or, working
from ..equations.surety import combined_error_pct_dm, combined_pct_dm
from .surety import CURED_FADE_DAYS, GREEN_FADE_DAYS

__all__ = [
    "apart_after", "apart_before", "curve_at", "curve_at_cp", "curve_at_p", "curve_at_tdn",
    "curve_day", "curve_high_moy", "curve_low_moy", "curve_no", "curve_sd", "curve_share",
    "curve_shift", "curve_value", "curve_value_cp", "curve_value_p", "curve_value_tdn", "curved",
    "curved_error", "fade_after", "fade_before", "first_lot_row", "next_no_used", "next_share",
    "next_share_used", "off_curve", "prior_sd", "pull_no", "pulled", "pulled_error",
    "pulled_rdp_pct_dm", "quality", "quality_error", "reach_after", "reach_before",
    "sample_month_on", "sample_next_on", "second_lot_row", "trust_after", "trust_before",
    "trust_table", "used_error", "usual_ca", "usual_cp", "usual_p", "usual_tdn",
]

LEAST_VARIANCE = 1e-9
YEAR_MONTHS = 12
MIDDLE = 0.5  # a month's value stands in its middle


# --- averages pulled toward the table value
@working
def prior_sd(table_value, table_spread_pct, pull_to_table):
    """Spread of the table value between lots; none where averages are not to be pulled."""
    return only_if(pull_to_table > 0, table_value * table_spread_pct / 100)


@working
def pulled(averaged, table_value, prior_sd, standard_error):
    """The average pulled toward the table value, by how sure each of them is."""
    return combined_pct_dm(table_value, prior_sd, averaged, standard_error)


@working
def pulled_error(pulled, prior_sd, standard_error):
    """Standard error of the pulled average."""
    return combined_error_pct_dm(prior_sd, standard_error) + pulled * 0


@working
def used_error(pulled_error, standard_error):
    """Standard error of what is in use."""
    return typed_or(pulled_error, standard_error)


@working
def pull_no(pulled_cp, pulled_tdn, pulled_p):
    """1 where an average was pulled."""
    return 1 - is_missing(pulled_cp) * is_missing(pulled_tdn) * is_missing(pulled_p)


@working
def usual_cp(pulled_cp, averaged, table_value):
    """The average, pulled where so set; without one, the table value."""
    return typed_or(pulled_cp, typed_or(averaged, table_value))


@working
def usual_tdn(pulled_tdn, averaged, table_value):
    """The average, pulled where so set; without one, the table value."""
    return typed_or(pulled_tdn, typed_or(averaged, table_value))


@working
def usual_ca(pulled_ca, averaged, table_value):
    """The average, pulled where so set; without one, the table value."""
    return typed_or(pulled_ca, typed_or(averaged, table_value))


@working
def usual_p(pulled_p, averaged, table_value):
    """The average, pulled where so set; without one, the table value."""
    return typed_or(pulled_p, typed_or(averaged, table_value))


@working
def pulled_rdp_pct_dm(pulled_cp, averaged_rdp, averaged_cp):
    """RDP follows the pulled CP."""
    return ratio(pulled_cp * averaged_rdp, averaged_cp, 0.0)


# --- a sample against the curve of its day
@working
def sample_month_on(sampled_on):
    """First day of the month in which it was sampled."""
    return month_start(sampled_on, 0.0)


@working
def sample_next_on(sampled_on):
    """First day of the next month."""
    return month_start(sampled_on, 1.0)


@working
def curve_day(sampled_on, sample_month_on, sample_next_on):
    """Where in its month the day lies, from the middle of the month: -0.5 to 0.5."""
    return (sampled_on - sample_month_on) / (sample_next_on - sample_month_on) - MIDDLE


@working
def curve_low_moy(curve_day, sampled_on):
    """Month of the year whose middle comes before the day."""
    back = month_of_year(sampled_on) - (curve_day < 0) * 1
    return back + YEAR_MONTHS * (back < 1)


@working
def curve_high_moy(curve_low_moy):
    """Month of the year whose middle comes next."""
    return curve_low_moy + 1 - YEAR_MONTHS * (curve_low_moy == YEAR_MONTHS)


@working
def curve_share(curve_day):
    """How far the day lies from the one middle to the next."""
    return curve_day + (curve_day < 0) * 1


@working
def curve_at(dry_matter, curve_share):
    """No curve is kept for this nutrient."""
    return only_if((dry_matter < 0) & (curve_share < 0), 0.0)


@working
def curve_at_cp(curve_cp_low, curve_cp_high, curve_share):
    """CP of the curve on that day."""
    return curve_cp_low + (curve_cp_high - curve_cp_low) * curve_share


@working
def curve_at_tdn(curve_tdn_low, curve_tdn_high, curve_share):
    """TDN of the curve on that day."""
    return curve_tdn_low + (curve_tdn_high - curve_tdn_low) * curve_share


@working
def curve_at_p(curve_p_low, curve_p_high, curve_share):
    """P of the curve on that day."""
    return curve_p_low + (curve_p_high - curve_p_low) * curve_share


@working
def off_curve(dry_matter, curve_at):
    """A result less the curve on its day."""
    return dry_matter - curve_at


# --- a month
@working
def curve_value(changes):
    """No curve is kept for this nutrient."""
    return only_if(changes < 0, 0.0)


@working
def curve_value_cp(curve_cp_month, changes):
    """CP of the curve in the middle of the month, of forage that changes with the season."""
    return only_if(changes > 0, curve_cp_month)


@working
def curve_value_tdn(curve_tdn_month, changes):
    """TDN of the curve in the middle of the month, of forage that changes with the season."""
    return only_if(changes > 0, curve_tdn_month)


@working
def curve_value_p(curve_p_month, changes):
    """P of the curve in the middle of the month, of forage that changes with the season."""
    return only_if(changes > 0, curve_p_month)


@working
def fade_before(middle_on, middle_before_on, month_green):
    """How much the sampled month before still says: it fades within 30 or 60 days."""
    days = CURED_FADE_DAYS + (GREEN_FADE_DAYS - CURED_FADE_DAYS) * month_green
    return np.exp(-1 * np.abs(middle_on - middle_before_on) / days)


@working
def fade_after(middle_on, middle_after_on, month_green):
    """How much the sampled month after says already."""
    days = CURED_FADE_DAYS + (GREEN_FADE_DAYS - CURED_FADE_DAYS) * month_green
    return np.exp(-1 * np.abs(middle_after_on - middle_on) / days)


@working
def curve_sd(curve_value, table_spread_pct):
    """How far seasons and places are from the curve."""
    return curve_value * table_spread_pct / 100


@working
def reach_before(fade_before, pull_to_table):
    """How much of the shift before is left; all of it where nothing is pulled to the curve."""
    return np.where(pull_to_table > 0, fade_before, 1.0)


@working
def reach_after(fade_after, pull_to_table):
    """How much of the shift after holds already; all of it where nothing is pulled."""
    return np.where(pull_to_table > 0, fade_after, 1.0)


@working
def apart_before(error_before, curve_sd, fade_before):
    """Variance of the sampled month before as told of this month: its own, and the time between."""
    return np.maximum(error_before**2 + curve_sd**2 * (1 - fade_before**2), LEAST_VARIANCE)


@working
def apart_after(error_after, curve_sd, fade_after):
    """The same of the sampled month after."""
    return np.maximum(error_after**2 + curve_sd**2 * (1 - fade_after**2), LEAST_VARIANCE)


@working
def trust_before(reach_before, apart_before):
    """Precision that the sampled month before gives."""
    return reach_before**2 / apart_before


@working
def trust_after(reach_after, apart_after, row_before, row_after):
    """Precision that the sampled month after gives; a month that is both counts once."""
    return np.where(row_after > row_before, reach_after**2 / apart_after, 0.0)


@working
def trust_table(curve_sd, pull_to_table):
    """Precision of the curve itself; none where averages are not pulled to a table."""
    return pull_to_table / np.maximum(curve_sd**2, LEAST_VARIANCE)


@working
def curve_shift(off_before, off_after, trust_before, trust_after, trust_table, reach_before,
                reach_after):
    """What the samples shift the curve by in this month: the process fades toward no shift."""
    told = off_before * trust_before / reach_before + off_after * trust_after / reach_after
    return told / (trust_before + trust_after + trust_table)


@working
def curved(curve_value, curve_shift):
    """The curve with its shift; never below nothing."""
    return np.maximum(curve_value + curve_shift, 0)


@working
def curved_error(trust_before, trust_after, trust_table):
    """Standard error of the shifted curve."""
    return 1 / np.sqrt(trust_before + trust_after + trust_table)


@working
def curve_no(trust_before_cp, trust_after_cp, trust_table_cp):
    """1 where the CP rests on the table curve more than on samples."""
    return np.where(trust_table_cp > trust_before_cp + trust_after_cp, 1.0, 0.0)


# --- lots that follow each other
@working
def next_share(followed_on, first_day, days, next_no):
    """Part of the month in which the lot that follows is fed."""
    return np.clip((first_day + days - followed_on) / days, 0, 1) + next_no * 0


@working
def next_share_used(next_share):
    """The same; none where no lot follows."""
    return typed_or(next_share, 0.0)


@working
def first_lot_row(row_no, next_share_used, next_quality_row):
    """Row of this forage, until the lot that follows has taken the whole month."""
    return np.where(next_share_used < 1, row_no, next_quality_row)


@working
def second_lot_row(row_no, next_share_used, next_quality_row):
    """Row of the lot that follows, once it is fed."""
    return np.where(next_share_used > 0, next_quality_row, row_no)


@working
def next_no_used(next_no, forage_no):
    """No. of the lot that follows; this one where none does."""
    return typed_or(next_no, forage_no)


@working
def quality(first_lot, second_lot, next_share_used):
    """What is fed in the month: of this lot, and of the one that follows."""
    return first_lot + (second_lot - first_lot) * next_share_used


@working
def quality_error(first_error, second_error, next_share_used):
    """Standard error of what is fed in the month; lots err apart."""
    return np.sqrt((first_error * (1 - next_share_used)) ** 2
                   + (second_error * next_share_used) ** 2)
