"""How sure it is that needs are met, and how much of each forage is eaten."""

import numpy as np

from ..dialect import is_missing, only_if, typed_or, working

__all__ = [
    "assumed_error", "cp_short_used", "deviation_square", "eaten_short_all_kg",
    "eaten_used_kg_per_day", "error_no", "main_short_kg", "own_error", "sample_variance",
    "second_short_kg", "standard_error", "third_short_kg", "usual_eaten_kg_per_day", "weight_known",
    "weight_known_ndfd48", "weight_square", "weight_typed", "weight_used", "weighted",
    "weighted_ndfd48", "weights_whole",
]

ROUNDING = 1e-9  # a single weighed result is its own average but for the last digit
LEAST_RESULTS = 5  # results of one lot from which their own spread replaces the usual one
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
