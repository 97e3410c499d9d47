"""How sure it is that needs are met, and how much of each forage is eaten."""

import numpy as np

from ..dialect import is_missing, normal_chance, only_if, ratio, typed_or, working
from ..equations.surety import combined_error_pct_dm

__all__ = [
    "assumed_error", "away_days", "chance_alone_pct", "chance_plan_pct", "content_margin",
    "content_margin_used", "cp_short_used",
    "deviation_square", "eaten_error", "eaten_short_all_kg", "eaten_used_kg_per_day", "error_next",
    "error_no", "error_now", "errors_alone", "errors_plan", "kept_share", "main_short_kg",
    "mean_only", "month_error", "near_row", "need_margin", "need_margin_used", "one_error",
    "over_plan", "own_error", "own_quality_error",
    "own_quality_error_dm", "quality_mid_day", "sample_variance", "sample_worth_usd", "sd_alone",
    "sd_plan", "season_error", "second_short_kg", "standard_error", "table_error", "third_short_kg",
    "unsure_alone", "unsure_plan", "usual_eaten_kg_per_day", "weight_known", "weight_known_ndfd48",
    "weight_square", "weight_typed", "weight_used", "weighted", "weighted_ndfd48", "weights_whole",
]

ROUNDING = 1e-9  # a single weighed result is its own average but for the last digit
LEAST_RESULTS = 5  # results of one lot from which their own spread replaces the usual one
GREEN_FADE_DAYS, CURED_FADE_DAYS = 30.0, 60.0  # design: how long a sample speaks for a pasture
LEAST_SAMPLES = 2  # before a second sample there is nothing to be unsure about
NEAR_ERRORS = 0.02  # standard errors, half a percent of chance: as sure as wanted
FAR = 9.0  # standard errors; beyond it the chance is 0 or 100 % to the last shown digit
USUAL_EATEN_PCT_BW = 2.0  # common practice; only where intake is not known, to weigh a test's worth


# --- how much of a forage is eaten while protein is short
@working
def cp_short_used(cp_short):
    """1 in a month in which forage alone is short of protein, or that is not known."""
    return typed_or(cp_short, 1.0)


@working
def usual_eaten_kg_per_day(shrunk_weight_kg):
    """What cattle of that weight about eat."""
    return shrunk_weight_kg * USUAL_EATEN_PCT_BW / 100


@working
def eaten_used_kg_per_day(intake_kg_per_day, usual_eaten_kg_per_day):
    """Intake of the plan; where it is not known yet, about what cattle of that weight eat."""
    return typed_or(intake_kg_per_day, usual_eaten_kg_per_day)


@working
def main_short_kg(main_pct, cp_short_used, eaten_used_kg_per_day, head, days):
    """Main forage the group eats in a month short of protein, dry matter."""
    return main_pct / 100 * cp_short_used * eaten_used_kg_per_day * head * days


@working
def second_short_kg(second_pct_used, cp_short_used, eaten_used_kg_per_day, head, days):
    """Second forage the group eats in a month short of protein, dry matter."""
    return second_pct_used / 100 * cp_short_used * eaten_used_kg_per_day * head * days


@working
def third_short_kg(third_pct_used, cp_short_used, eaten_used_kg_per_day, head, days):
    """Third forage the group eats in a month short of protein, dry matter."""
    return third_pct_used / 100 * cp_short_used * eaten_used_kg_per_day * head * days


@working
def eaten_short_all_kg(main_eaten_all_kg, second_eaten_all_kg, third_eaten_all_kg):
    """What all groups eat of it in months short of protein."""
    return main_eaten_all_kg + second_eaten_all_kg + third_eaten_all_kg


# --- averages by weights
@working
def weight_used(weight):
    """What a sample counts; 1 where nothing is typed."""
    return typed_or(weight, 1.0)


@working
def weight_typed(weight, to_dm):
    """Weight of a sample that counts, where one is typed."""
    return np.where(to_dm > 0, weight, 0.0)


@working
def weights_whole(weights_typed, samples_used):
    """Known where all samples are weighed, or none."""
    return only_if((weights_typed == 0) | (weights_typed >= samples_used), 1.0)


@working
def weighted(dry_matter, weight_used):
    """A result times its weight."""
    return dry_matter * weight_used


@working
def weight_known(dry_matter, weight_used):
    """The weight, where there is a result."""
    return np.where(dry_matter >= 0, weight_used, 0.0)


@working
def weighted_ndfd48(dry_matter_ndfd48, dry_matter_ndf, weight_used):
    """Digestible NDF times the weight: a share is averaged by what it is a share of."""
    return dry_matter_ndfd48 * dry_matter_ndf * weight_used


@working
def weight_known_ndfd48(dry_matter_ndfd48, dry_matter_ndf, weight_used):
    """NDF times the weight, where both are known."""
    return np.where(dry_matter_ndfd48 >= 0, dry_matter_ndf * weight_used, 0.0)


# --- how sure an average is
@working
def sample_variance(dry_matter, spot_sd, test_sd, sample_spots, weight_used):
    """Variance of one result, of spots and test, times its weight squared."""
    one = spot_sd**2 / sample_spots + test_sd**2
    return np.where(dry_matter >= 0, one * weight_used**2, 0.0)


@working
def weight_square(dry_matter, weight_used):
    """The weight squared, where there is a result."""
    return np.where(dry_matter >= 0, weight_used**2, 0.0)


@working
def deviation_square(dry_matter, forage_average):
    """How far a result is off the average of its forage, squared."""
    return np.maximum(np.abs(dry_matter - forage_average) - ROUNDING, 0) ** 2


@working
def assumed_error(variance_sum, weight_sum):
    """Standard error of the average from the usual spreads of spots and tests."""
    return only_if(weight_sum > 0, np.sqrt(variance_sum) / weight_sum)


@working
def own_error(deviation_sum, results_known, weight_square_sum, weight_sum, changes):
    """Standard error of the average from the spread of one's own results, of a lot that stays."""
    enough = (results_known >= LEAST_RESULTS) & (changes == 0)
    spread = deviation_sum / (results_known - 1)
    return only_if(enough, np.sqrt(spread * weight_square_sum) / weight_sum)


@working
def standard_error(own_error, assumed_error):
    """Of one's own results once there are five; else from the usual spreads."""
    return typed_or(own_error, assumed_error)


@working
def error_no(own_error_cp, assumed_error_cp):
    """0 no result, 1 assumed, 2 of one's own results."""
    return 1 - is_missing(assumed_error_cp) + (1 - is_missing(own_error_cp))


# --- how sure a forage's content of a month is
@working
def month_error(month_variances, month_weights):
    """Standard error of the samples of one month."""
    return only_if(month_weights > 0, np.sqrt(month_variances) / month_weights)


@working
def quality_mid_day(mid_day):
    """Middle of the month."""
    return mid_day * 1


@working
def away_days(middle_on, middle_before_on, middle_after_on):
    """Days to the nearest sampled month."""
    return np.minimum(np.abs(middle_on - middle_before_on), np.abs(middle_after_on - middle_on))


@working
def near_row(middle_on, middle_before_on, middle_after_on, row_before, row_after):
    """Row of the nearest sampled month; of two as near, the one before."""
    earlier = np.abs(middle_on - middle_before_on) <= np.abs(middle_after_on - middle_on)
    return np.where(earlier, row_before, row_after)


@working
def kept_share(away_days, month_green):
    """How much of a sample still holds so many days away; its square is of the variance."""
    fade_days = CURED_FADE_DAYS + (GREEN_FADE_DAYS - CURED_FADE_DAYS) * month_green
    return np.exp(-1 * away_days / fade_days)


@working
def season_error(near_error, table_sd, kept_share, changes):
    """Standard error between samples: the nearest one's, and what the season may have changed."""
    drift = table_sd**2 * (1 - kept_share**2)
    return only_if(changes > 0, np.sqrt(near_error**2 + drift))


@working
def table_error(stands_in, table_sd):
    """Standard error of a value that rests on the table."""
    return only_if(stands_in > 0, table_sd)


@working
def own_quality_error(curved_error, season_error, lot_error, table_error):
    """Standard error of a forage in a month: by season, else of its lot, else of the table."""
    season = typed_or(season_error, typed_or(lot_error, table_error))
    return typed_or(curved_error, season)


@working
def own_quality_error_dm(changes):
    """Dry matter of the dry matter is certain."""
    return changes * 0


# --- how sure it is that needs are met
@working
def eaten_error(main_error, second_error, third_error, main_pct, second_pct_used, third_pct_used):
    """Standard error of the forage eaten; what is not eaten does not count."""
    return np.sqrt((main_pct * main_error) ** 2 + (second_pct_used * second_error) ** 2
                   + (third_pct_used * third_error) ** 2) / 100


@working
def sd_alone(eaten_error, per_kg, intake_kg_per_day, needed, need_spread_pct):
    """Standard error of what forage alone gives against the need."""
    supply = eaten_error * per_kg * intake_kg_per_day
    return np.sqrt(supply**2 + (needed * need_spread_pct / 100) ** 2)


@working
def sd_plan(eaten_error, per_kg, forage_eaten_kg_per_day, needed, need_spread_pct):
    """Standard error of what forage and feeds give against the need."""
    supply = eaten_error * per_kg * forage_eaten_kg_per_day
    return np.sqrt(supply**2 + (needed * need_spread_pct / 100) ** 2)


@working
def over_plan(diet, needed, met_within_pct):
    """Whole diet over the need; within rounding of it counts as met and no more."""
    return np.where(np.abs(diet - needed) * 100 > met_within_pct * needed, diet - needed, 0.0)


@working
def errors_alone(over, sd_alone):
    """How many standard errors forage alone is above the need."""
    return ratio(over, sd_alone, FAR * (2 * (over >= 0) - 1))


@working
def errors_plan(over_plan, sd_plan):
    """How many standard errors the whole diet is above the need."""
    return ratio(over_plan, sd_plan, FAR * (2 * (over_plan >= 0) - 1))


@working
def chance_alone_pct(errors_alone, main_samples):
    """Chance that forage alone is enough, once its main part has been sampled twice."""
    chance = 100 * normal_chance(np.clip(errors_alone, -FAR, FAR))
    return only_if(main_samples >= LEAST_SAMPLES, chance)


@working
def chance_plan_pct(errors_plan, main_samples):
    """Chance that the whole diet is enough, once its main forage has been sampled twice."""
    chance = 100 * normal_chance(np.clip(errors_plan, -FAR, FAR))
    return only_if(main_samples >= LEAST_SAMPLES, chance)


@working
def unsure_alone(errors_alone, wanted_errors, main_samples):
    """1 where forage alone is less sure to be enough than wanted."""
    less = wanted_errors - errors_alone > NEAR_ERRORS
    return np.where((main_samples >= LEAST_SAMPLES) & less, 1.0, 0.0)


@working
def unsure_plan(errors_plan, wanted_errors, main_samples):
    """1 where the whole diet is less sure to be enough than wanted."""
    less = wanted_errors - errors_plan > NEAR_ERRORS
    return np.where((main_samples >= LEAST_SAMPLES) & less, 1.0, 0.0)


# --- amounts sized to a wanted chance
@working
def content_margin(eaten_error, sd_alone, per_kg, intake_kg_per_day, wanted_errors, size_to_chance):
    """Content that is not counted on: standard errors of forage by their part in what is unsure.

    The forage eaten falls with the feed given, so this is a margin of content, not of an amount.
    """
    part = ratio(eaten_error * per_kg * intake_kg_per_day, sd_alone, 0.0)
    return size_to_chance * wanted_errors * eaten_error * part


@working
def content_margin_used(content_margin):
    """The same; none where it is not known how sure the forage is."""
    return typed_or(content_margin, 0.0)


@working
def need_margin(needed, sd_alone, need_spread_pct, wanted_errors, size_to_chance):
    """Need beyond the mean: standard errors of the need by their part in what is unsure."""
    spread = needed * need_spread_pct / 100
    return size_to_chance * wanted_errors * spread * ratio(spread, sd_alone, 0.0)


@working
def need_margin_used(need_margin):
    """The same; none where it is not known."""
    return typed_or(need_margin, 0.0)


@working
def mean_only(class_row, over, content_margin, size_to_chance):
    """1 where an amount is to be sized to a chance, and it is not known how sure the forage is."""
    wanted = (size_to_chance > 0) & (class_row > 0)
    return np.where(wanted, is_missing(content_margin) * (1 - is_missing(over)), 0.0)


# --- what one more sample is worth
@working
def one_error(margin_reached_cp, margin_errors):
    """Standard error of one more bag taken as planned, CP."""
    return margin_reached_cp / margin_errors


@working
def error_now(standard_error_cp, table_sd_cp):
    """How sure the CP is now; untested, as sure as a table."""
    return typed_or(standard_error_cp, table_sd_cp)


@working
def error_next(error_now, one_error):
    """The same after one more bag."""
    return combined_error_pct_dm(error_now, one_error)


@working
def sample_worth_usd(error_now, error_next, wanted_errors, eaten_short_all_kg, protein_usd,
                     kg_per_weight_unit, samples_used):
    """Protein that need not be fed for safety once one more bag has been tested.

    Said from the second sample on, as the chances are.
    """
    spared_kg = wanted_errors * (error_now - error_next) / 100 * eaten_short_all_kg
    worth = spared_kg * protein_usd / kg_per_weight_unit
    return only_if(samples_used >= LEAST_SAMPLES, worth)
