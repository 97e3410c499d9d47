"""From what the user says of a group to what the needs are worked out from."""

import numpy as np

from ..dialect import chosen, if_needed, typed_or, working
from ..equations.energy import shrunk_weight_kg
from ..equations.months import lactating_share, milk_month_kg_per_day

__all__ = [
    "birth_weight_used_kg", "breed_factor_used", "calving_days_used", "calving_mid_on",
    "calving_used_on", "cycle_day", "gain_used_kg_per_day", "has_calved", "herd_weight_kg",
    "mature_weight_used_kg", "month_weight_kg", "own_birth_weight_kg", "own_lactating_share",
    "own_milk_kg_per_day", "own_peak_kg_per_day", "own_peak_milk_kg_per_day",
    "peak_used_kg_per_day", "usual_birth_weight_kg", "weaned_used_days",
]

CALF_PER_DAM = 15  # birth weight is 6.67 % of the mature cow's: the share the printed tables use


@working
def herd_weight_kg(weight_kg, weighed_no):
    """Shrunk weight, from a full (1) or an already shrunk (2) weight."""
    return chosen(weighed_no, shrunk_weight_kg(weight_kg), weight_kg)


@working
def calving_days_used(calving_season_days, calving_season_usual_days):
    """Length of the calving season."""
    return typed_or(calving_season_days, calving_season_usual_days)


@working
def calving_mid_on(first_calf_on, calving_days_used):
    """Middle of the calving season: the group's date."""
    return first_calf_on + np.floor(calving_days_used / 2)


@working
def calving_used_on(calving_mid_on, breeds):
    """The group's date; not asked of groups that do not calve."""
    return if_needed(calving_mid_on, breeds)


@working
def mature_weight_used_kg(mature_weight_kg, grows, herd_weight_kg):
    """Mature weight, shrunk; that of grown cattle is their own."""
    return if_needed(mature_weight_kg, grows, herd_weight_kg)


@working
def birth_weight_used_kg(birth_weight_kg, usual_birth_weight_kg):
    """Calf birth weight."""
    return typed_or(birth_weight_kg, usual_birth_weight_kg)


@working
def own_birth_weight_kg(mature_weight_used_kg):
    """Birth weight by the weight of the dam."""
    return mature_weight_used_kg / CALF_PER_DAM


@working
def usual_birth_weight_kg(breed_birth_weight_kg, own_birth_weight_kg):
    """Birth weight where none is typed: of the breed type, else by the dam."""
    return typed_or(breed_birth_weight_kg, own_birth_weight_kg)


@working
def own_peak_milk_kg_per_day(peak_milk_kg_per_day, breed_peak_milk_kg_per_day):
    """Peak milk as typed, else of the breed type."""
    return typed_or(peak_milk_kg_per_day, breed_peak_milk_kg_per_day)


@working
def peak_used_kg_per_day(own_peak_milk_kg_per_day, breeds):
    """Peak milk of mature cows of this kind; not asked of groups that do not calve."""
    return if_needed(own_peak_milk_kg_per_day, breeds)


@working
def own_peak_kg_per_day(peak_used_kg_per_day, milk_factor):
    """Peak milk at this group's age."""
    return peak_used_kg_per_day * milk_factor


@working
def gain_used_kg_per_day(gain_kg_per_day, grows):
    """Gain to plan for; not asked of grown cattle."""
    return if_needed(gain_kg_per_day, grows)


@working
def weaned_used_days(weaned_after_days, weaning_usual_days):
    """Age at weaning."""
    return typed_or(weaned_after_days, weaning_usual_days)


@working
def breed_factor_used(breed_factor, breed_breed_factor):
    """Maintenance factor as typed, else of the breed type, else 1."""
    return typed_or(breed_factor, typed_or(breed_breed_factor, 1.0))


@working
def month_weight_kg(herd_weight_kg, gain_used_kg_per_day, mid_day, first_month):
    """Shrunk weight in the middle of a month."""
    return herd_weight_kg + gain_used_kg_per_day * (mid_day - first_month)


@working
def cycle_day(first_day, calving_used_on, breeds, year_days):
    """Day since calving on which the month starts."""
    return breeds * np.remainder(first_day - calving_used_on, year_days)


@working
def has_calved(first_calf, first_day, days, calving_used_on):
    """0 in the months before a heifer's first calf, else 1."""
    return np.where((first_calf > 0) & (first_day + days <= calving_used_on), 0.0, 1.0)


@working
def own_lactating_share(cycle_day, days, year_days, weaned_after_days, has_calved, breeds):
    """Share of the month in milk; none before a first calf."""
    return lactating_share(cycle_day, days, year_days, weaned_after_days, breeds) * has_calved


@working
def own_milk_kg_per_day(cycle_day, days, year_days, weaned_after_days, peak_milk_kg_per_day,
                        has_calved):
    """Milk, mean of the month; none before a first calf."""
    return milk_month_kg_per_day(cycle_day, days, year_days, weaned_after_days,
                                 peak_milk_kg_per_day, has_calved)
