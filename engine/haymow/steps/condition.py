"""Condition: where scores go with what is fed, and what it takes to be fit at calving.

The body lays on energy that the diet brings over the need and gives some where it is short. The
path of a group is the sum of its months; its scores follow from the energy held.
"""

import numpy as np

from ..dialect import is_missing, month_start, only_if, typed_or, working
from ..equations.condition import (
    body_energy_change_mcal,
    body_energy_mcal,
    condition_at_energy,
    condition_nem_mcal_per_day,
    condition_weight_kg,
    condition_weight_pct,
    score_energy_mcal,
    weight_at_score_5_kg,
)

__all__ = []

WITHIN = 0.05  # score: nearer than the last printed digit counts as reached


# --- a group's weight and condition
@working
def weighed_kg(weight_now_kg, herd_typed_kg):
    """Shrunk weight at the score of now; as weighed where one of the scores is not known."""
    return typed_or(weight_now_kg, herd_typed_kg)


@working
def weight_now_kg(herd_typed_kg, weight_score, condition_score):
    """Weight taken at another score, brought to the score of now."""
    at_five = weight_at_score_5_kg(herd_typed_kg, weight_score)
    return condition_weight_kg(at_five, condition_weight_pct(condition_score))


@working
def condition_target_used(condition_target, target_score):
    """Score wanted at calving: typed, else usual for the class."""
    return typed_or(condition_target, target_score)


@working
def scored(grows, breeds):
    """1 where condition is followed: grown cattle and females that calve, not growing cattle."""
    return np.maximum(1 - grows, breeds)


@working
def own_score_5_weight_kg(herd_weight_kg, condition_score, scored):
    """Weight at score 5; of groups whose condition is followed."""
    return only_if(scored > 0, weight_at_score_5_kg(herd_weight_kg, condition_score))


# --- the way to calving
@working
def plan_start_on(first_month):
    """First day of the plan."""
    return month_start(first_month, 0.0)


@working
def days_to_calving(first_calf, calving_used_on, plan_start_on, year_days):
    """Days from the plan's start to the next calving; a first calf may be more than a year away."""
    away = calving_used_on - plan_start_on
    first = (first_calf > 0) & (calving_used_on > plan_start_on)
    return np.where(first, away, np.remainder(away, year_days))


@working
def next_calving_on(breeds, plan_start_on, days_to_calving):
    """Day of the next calving, middle of the season; none of groups that do not calve."""
    return only_if(breeds > 0, plan_start_on + np.floor(days_to_calving))


@working
def goal_left_days(next_calving_on, plan_start_on):
    """Days left to calving; one at least."""
    return np.maximum(next_calving_on - plan_start_on, 1)


@working
def energy_now_mcal(own_score_5_weight_kg, condition_score):
    """Energy in the body at the start of the plan."""
    return body_energy_mcal(own_score_5_weight_kg, condition_score)


@working
def regain_mcal(own_score_5_weight_kg, condition_score, condition_target_used):
    """Energy to lay on until the score wanted; 0 where the score of now is higher."""
    energy = score_energy_mcal(own_score_5_weight_kg, condition_score, condition_target_used)
    return np.maximum(energy, 0)


@working
def regain_nem_mcal_per_day(regain_mcal, goal_left_days):
    """Diet energy over the need that this takes in a day."""
    return condition_nem_mcal_per_day(regain_mcal, goal_left_days)


@working
def regain_gain_kg_per_day(own_score_5_weight_kg, condition_score, condition_target_used,
                           goal_left_days):
    """Gain of her own weight that this takes in a day, without the calf."""
    points = condition_weight_pct(condition_target_used) - condition_weight_pct(condition_score)
    return own_score_5_weight_kg * np.maximum(points, 0) / 100 / goal_left_days


@working
def energy_at_calving_mcal(energy_now_mcal, planned_change_mcal, planned_unknown):
    """Energy in the body at calving, or at the plan's end, with the plan."""
    return only_if(planned_unknown < 1, np.maximum(energy_now_mcal + planned_change_mcal, 0))


@working
def energy_at_calving_alone_mcal(energy_now_mcal, alone_change_mcal, alone_unknown):
    """The same on forage alone."""
    return only_if(alone_unknown < 1, np.maximum(energy_now_mcal + alone_change_mcal, 0))


@working
def score_at_calving(energy_at_calving_mcal, own_score_5_weight_kg):
    """Score then, with the plan."""
    return np.clip(condition_at_energy(energy_at_calving_mcal, own_score_5_weight_kg), 1.0, 9.0)


@working
def score_at_calving_alone(energy_at_calving_alone_mcal, own_score_5_weight_kg):
    """Score then, on forage alone."""
    energy = energy_at_calving_alone_mcal
    return np.clip(condition_at_energy(energy, own_score_5_weight_kg), 1.0, 9.0)


@working
def still_wanted_mcal(own_score_5_weight_kg, score_at_calving, condition_target_used):
    """Energy that the plan leaves to be laid on."""
    return score_energy_mcal(own_score_5_weight_kg, score_at_calving, condition_target_used)


@working
def extra_nem_mcal_per_day(still_wanted_mcal, goal_left_days):
    """Diet energy a day over the plan's that would close this."""
    return condition_nem_mcal_per_day(still_wanted_mcal, goal_left_days)


@working
def realistic_gain_kg_per_day(most_regain, kg_per_weight_unit):
    """The most that a cow is counted on to regain in a day."""
    return most_regain * kg_per_weight_unit


@working
def too_fast(regain_gain_kg_per_day, realistic_gain_kg_per_day):
    """1 where the score wanted takes more gain than is realistic."""
    return np.where(regain_gain_kg_per_day > realistic_gain_kg_per_day, 1.0, 0.0)


@working
def reached(score_at_calving, condition_target_used):
    """1 where the plan brings the score wanted."""
    return np.where(score_at_calving + WITHIN >= condition_target_used, 1.0, 0.0)


@working
def in_order_now(condition_score, condition_target_used):
    """1 where the score of now is the one wanted or better."""
    return np.where(condition_score + WITHIN >= condition_target_used, 1.0, 0.0)


@working
def path_no(reached, in_order_now, counted_days, goal_left_days):
    """5 calves after the plan's end, 6 on target, 7 gets there, 8 stays short."""
    return np.where(counted_days < goal_left_days, 5.0, 8 - reached - reached * in_order_now)


@working
def path_known_no(path_no):
    """The same, 4 where it is not known what the plan brings."""
    return typed_or(path_no, 4.0)


@working
def takes_no(too_fast, in_order_now):
    """0 it takes so much, 1 that is not realistic, 2 nothing: the score is in order now."""
    return np.where(in_order_now > 0, 2.0, too_fast)


@working
def calving_no(takes_no, path_known_no):
    """The same, 3 where the gain is not realistic."""
    return np.where(takes_no == 1, 3.0, path_known_no)


@working
def verdict_known_no(condition_score, calving_no):
    """1 score not known, 2 weight or date not known, 3 to 8 as above."""
    return np.where(is_missing(condition_score) > 0, 1.0, typed_or(calving_no, 2.0))


@working
def verdict_no(breeds, verdict_known_no):
    """The same, 0 of groups that do not calve."""
    return breeds * verdict_known_no


# --- month by month
@working
def plan_surplus_mcal_per_day(diet_nem, needed_nem):
    """Energy of the whole diet over (+) or short (-) of the need."""
    return diet_nem - needed_nem


@working
def plan_change_mcal(plan_surplus_mcal_per_day, days):
    """What the body lays on (+) or gives (-) in the month, with the plan."""
    return body_energy_change_mcal(plan_surplus_mcal_per_day, days)


@working
def alone_month_mcal(alone_surplus_mcal_per_day, days):
    """The same on forage alone."""
    return body_energy_change_mcal(alone_surplus_mcal_per_day, days)


@working
def plan_energy_mcal(energy_now_mcal, plan_so_far_mcal, plan_unknown):
    """Energy in the body at the month's end, with the plan; unknown once a month is."""
    return only_if(plan_unknown < 1, np.maximum(energy_now_mcal + plan_so_far_mcal, 0))


@working
def alone_energy_mcal(energy_now_mcal, alone_so_far_mcal, alone_so_far_unknown):
    """The same on forage alone."""
    return only_if(alone_so_far_unknown < 1, np.maximum(energy_now_mcal + alone_so_far_mcal, 0))


@working
def score_with_plan(plan_energy_mcal, own_score_5_weight_kg):
    """Score at the month's end, with the plan."""
    return np.clip(condition_at_energy(plan_energy_mcal, own_score_5_weight_kg), 1.0, 9.0)


@working
def score_forage_alone(alone_energy_mcal, own_score_5_weight_kg):
    """Score at the month's end, on forage alone."""
    return np.clip(condition_at_energy(alone_energy_mcal, own_score_5_weight_kg), 1.0, 9.0)


@working
def weight_by_score_kg(own_score_5_weight_kg, score_with_plan):
    """Weight at that score."""
    return condition_weight_kg(own_score_5_weight_kg, condition_weight_pct(score_with_plan))


@working
def month_end_weight_kg(weight_by_gain_kg, weight_by_score_kg):
    """Weight at the month's end: of growing cattle by gain, of others by score."""
    return typed_or(weight_by_gain_kg, weight_by_score_kg)


@working
def month_goal_days(next_calving_on, first_day, days):
    """Days of the month before the next calving."""
    return np.clip(next_calving_on - first_day, 0, days)


@working
def goal_plan_mcal(plan_surplus_mcal_per_day, month_goal_days):
    """What the body lays on or gives on them, with the plan."""
    return body_energy_change_mcal(plan_surplus_mcal_per_day, month_goal_days)


@working
def goal_alone_mcal(alone_surplus_mcal_per_day, month_goal_days):
    """The same on forage alone."""
    return body_energy_change_mcal(alone_surplus_mcal_per_day, month_goal_days)


@working
def goal_plan_used_mcal(goal_plan_mcal, month_goal_days):
    """The same; 0 of months after calving, known or not."""
    return np.where(month_goal_days > 0, goal_plan_mcal, 0.0)


@working
def goal_alone_used_mcal(goal_alone_mcal, month_goal_days):
    """The same on forage alone."""
    return np.where(month_goal_days > 0, goal_alone_mcal, 0.0)
