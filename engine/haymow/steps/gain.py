"""Growth: what gain the diet carries, and whether it reaches the target weight in time."""

import numpy as np

from ..dialect import only_if, ratio, typed_or, working
from ..equations.forage import feed_de_mcal_per_kg, feed_me_mcal_per_kg, feed_neg_mcal_per_kg
from ..equations.growth import (
    energy_for_gain_mcal_per_day,
    gain_dm_kg_per_day,
    gain_from_diet_kg_per_day,
    gain_to_target_kg_per_day,
    maintenance_dm_kg_per_day,
    target_weight_kg,
)

__all__ = []

LEAST_NEM = 0.1  # Mcal/kg; keeps the division by what is not eaten defined


@working
def class_target_kg(mature_weight_used_kg, target_weight_pct):
    """Weight to reach by the next event of the class."""
    return target_weight_kg(mature_weight_used_kg, target_weight_pct)


@working
def target_used_on(target_on, next_calving_on):
    """Day by which: typed, else the next calving."""
    return typed_or(target_on, next_calving_on)


@working
def target_left_days(target_used_on, plan_start_on):
    """Days left to it; none where the day is past."""
    return only_if(target_used_on > plan_start_on, target_used_on - plan_start_on)


@working
def gain_wanted_kg_per_day(herd_weight_kg, class_target_kg, target_left_days):
    """Gain that reaches the target weight in time."""
    return gain_to_target_kg_per_day(herd_weight_kg, class_target_kg, target_left_days)


@working
def mean_diet_gain_kg_per_day(grown_kg, grown_unknown, plan_days, grows):
    """Gain that the diet carries, mean of the plan; of growing cattle."""
    return only_if((grown_unknown < 1) & (grows > 0), grown_kg / plan_days)


@working
def target_reached(herd_weight_kg, gained_kg, gained_unknown, due_weight_kg, met_within_pct):
    """1 where the diet keeps them on the way to the target weight."""
    weight = (herd_weight_kg + gained_kg) * (100 + met_within_pct)
    return only_if(gained_unknown < 1, (weight >= due_weight_kg * 100) * 1.0)


@working
def due_weight_kg(herd_weight_kg, class_target_kg, target_counted_days, target_left_days):
    """Weight due by then: the target, or so far on the way as the plan goes."""
    share = np.minimum(target_counted_days / np.maximum(target_left_days, 1), 1)
    return herd_weight_kg + (class_target_kg - herd_weight_kg) * share


@working
def target_no(target_reached):
    """3 on the way, 4 behind."""
    return 4 - target_reached


@working
def growth_known_no(mean_diet_gain_kg_per_day, target_no):
    """2 no target, else as above; not known without the diet's gain."""
    return typed_or(target_no, 2.0)


@working
def growth_used_no(growth_known_no):
    """1 not known, 2 to 4 as above."""
    return typed_or(growth_known_no, 1.0)


@working
def growth_no(grows, growth_used_no):
    """The same, 0 of cattle that do not grow."""
    return grows * growth_used_no


@working
def whole_nem_mcal_per_kg(diet_nem, diet_dm):
    """NEm of the whole diet."""
    return np.maximum(ratio(diet_nem, diet_dm, 0.0), LEAST_NEM)


@working
def whole_tdn_pct_dm(diet_tdn, diet_dm):
    """TDN of the whole diet."""
    return ratio(diet_tdn, diet_dm, 0.0) * 100


@working
def whole_neg_mcal_per_kg(whole_tdn_pct_dm):
    """NEg of the whole diet."""
    return feed_neg_mcal_per_kg(feed_me_mcal_per_kg(feed_de_mcal_per_kg(whole_tdn_pct_dm)))


@working
def left_for_gain_kg_per_day(diet_dm, nem_without_gain_mcal_per_day, whole_nem_mcal_per_kg):
    """Dry matter that the diet leaves for gain."""
    dense = np.maximum(whole_nem_mcal_per_kg, LEAST_NEM)
    kept = maintenance_dm_kg_per_day(nem_without_gain_mcal_per_day, dense)
    return gain_dm_kg_per_day(diet_dm, kept)


@working
def neg_for_gain_mcal_per_day(left_for_gain_kg_per_day, whole_neg_mcal_per_kg):
    """Net energy for gain in it."""
    return energy_for_gain_mcal_per_day(left_for_gain_kg_per_day, whole_neg_mcal_per_kg)


@working
def diet_gain_kg_per_day(neg_for_gain_mcal_per_day, equivalent_weight_kg, grows):
    """Gain that the diet carries if energy limits it; of growing cattle."""
    gain = gain_from_diet_kg_per_day(neg_for_gain_mcal_per_day, equivalent_weight_kg)
    return only_if(grows > 0, gain)


@working
def wanted_gain_kg_per_day(shrunk_gain_kg_per_day, grows):
    """Gain planned on Herd; of growing cattle."""
    return only_if(grows > 0, shrunk_gain_kg_per_day)


@working
def diet_gain_kg(diet_gain_kg_per_day, days):
    """Gain of the month."""
    return diet_gain_kg_per_day * days


@working
def weight_by_gain_kg(herd_weight_kg, gain_so_far_kg, gain_so_far_unknown):
    """Weight at the month's end by the gain that the diet carries."""
    return only_if(gain_so_far_unknown < 1, herd_weight_kg + gain_so_far_kg)


@working
def on_the_way_kg(herd_weight_kg, class_target_kg, month_end_days, target_left_days):
    """Weight at the month's end on a straight line to the target."""
    share = np.minimum(month_end_days / np.maximum(target_left_days, 1), 1)
    return herd_weight_kg + (class_target_kg - herd_weight_kg) * share


@working
def month_end_days(first_day, days, plan_start_on):
    """Days from the plan's start to the month's end."""
    return first_day + days - plan_start_on


@working
def month_target_days(target_used_on, first_day, days):
    """Days of the month before the day of the target weight."""
    return np.clip(target_used_on - first_day, 0, days)


@working
def target_gain_kg(diet_gain_kg_per_day, month_target_days):
    """Gain on them."""
    return diet_gain_kg_per_day * month_target_days


@working
def target_gain_used_kg(target_gain_kg, month_target_days):
    """The same; 0 of months after that day, known or not."""
    return np.where(month_target_days > 0, target_gain_kg, 0.0)
