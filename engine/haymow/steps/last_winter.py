"""Last winter as a check: what intake or walking its scores, feed and days imply."""

import numpy as np

from ..dialect import only_if, typed_or, working
from ..equations.condition import (
    condition_nem_mcal_per_day,
    score_energy_mcal,
    weight_at_score_5_kg,
)
from ..equations.forage import feed_de_mcal_per_kg, feed_me_mcal_per_kg, feed_nem_mcal_per_kg
from ..equations.intake import class_intake_pct_bw
from ..equations.months import lactating_share

__all__ = []

OPEN_DAYS = 2  # days of the winter that the plan's months may leave open, for leap years
LEAST_INTAKE, MOST_INTAKE = 0.8, 4.0  # % of body weight; beyond, the entries do not fit together
MOST_ACTIVITY = 60  # %; the setting takes no more


@working
def winter_days(fall_scored_on, spring_scored_on):
    """Days between the two scores."""
    return only_if(spring_scored_on > fall_scored_on, spring_scored_on - fall_scored_on)


@working
def winter_score_5_kg(own_score_5_weight_kg, winter_fall_5_kg):
    """Weight at score 5: by Herd, else with the fall's score."""
    return typed_or(own_score_5_weight_kg, winter_fall_5_kg)


@working
def winter_fall_5_kg(herd_weight_kg, condition_fall, scored):
    """Weight at score 5, were Herd's weight that of the fall's score."""
    return only_if(scored > 0, weight_at_score_5_kg(herd_weight_kg, condition_fall))


@working
def winter_change_mcal(winter_score_5_kg, condition_fall, condition_spring):
    """Energy that the body laid on (+) or gave (-) over the winter."""
    return score_energy_mcal(winter_score_5_kg, condition_fall, condition_spring)


@working
def winter_body_nem_mcal_per_day(winter_change_mcal, winter_days):
    """Diet energy that went into the body (+) or that the body stood in for (-), a day."""
    return condition_nem_mcal_per_day(winter_change_mcal, winter_days)


@working
def winter_plan_need_mcal_per_day(winter_need_sum_mcal, winter_need_unknown, winter_found_days,
                                  winter_days):
    """Need by the plan, mean of the same time of the year; where its months hold that time."""
    covered = (winter_found_days + OPEN_DAYS >= winter_days) & (winter_found_days > 0)
    return only_if(covered & (winter_need_unknown < 1), winter_need_sum_mcal / winter_found_days)


@working
def winter_need_used_mcal_per_day(winter_need_mcal_per_day, winter_plan_need_mcal_per_day):
    """Need: typed, else by the plan."""
    return typed_or(winter_need_mcal_per_day, winter_plan_need_mcal_per_day)


@working
def winter_forage_nem_mcal_per_kg(winter_forage_tdn_pct_dm):
    """NEm of last winter's forage."""
    return feed_nem_mcal_per_kg(feed_me_mcal_per_kg(feed_de_mcal_per_kg(winter_forage_tdn_pct_dm)))


@working
def winter_feed_nem_mcal_per_kg(winter_feed_tdn_pct_dm):
    """NEm of last winter's feed."""
    return feed_nem_mcal_per_kg(feed_me_mcal_per_kg(feed_de_mcal_per_kg(winter_feed_tdn_pct_dm)))


@working
def winter_fed_mcal_per_day(winter_feed_kg_per_day, winter_feed_dm_pct_as_fed,
                            winter_feed_nem_mcal_per_kg):
    """NEm that the feed brought."""
    return (winter_feed_kg_per_day * winter_feed_dm_pct_as_fed / 100
            * winter_feed_nem_mcal_per_kg)


@working
def winter_fed_used_mcal_per_day(winter_feed_kg_per_day, winter_fed_mcal_per_day):
    """The same; 0 where nothing was fed."""
    return np.where(winter_feed_kg_per_day > 0, winter_fed_mcal_per_day, 0.0)


@working
def implied_nem_mcal_per_day(winter_need_used_mcal_per_day, winter_body_nem_mcal_per_day,
                             winter_fed_used_mcal_per_day):
    """NEm that must have come from forage."""
    return (winter_need_used_mcal_per_day + winter_body_nem_mcal_per_day
            - winter_fed_used_mcal_per_day)


@working
def implied_intake_kg_per_day(implied_nem_mcal_per_day, winter_forage_nem_mcal_per_kg):
    """Forage intake that this implies, dry matter."""
    return implied_nem_mcal_per_day / winter_forage_nem_mcal_per_kg


@working
def implied_intake_pct_bw(implied_intake_kg_per_day, herd_weight_kg):
    """The same by body weight."""
    return implied_intake_kg_per_day / herd_weight_kg * 100


@working
def winter_lactating_share(winter_milk_days, winter_milk_unknown, winter_found_days):
    """Share of the winter in milk."""
    known = (winter_milk_unknown < 1) & (winter_found_days > 0)
    return only_if(known, winter_milk_days / winter_found_days)


@working
def winter_class_kg_per_day(winter_forage_tdn_pct_dm, winter_lactating_share, herd_weight_kg,
                            by_class):
    """Intake that the forage's class would give; of cows."""
    share = class_intake_pct_bw(winter_forage_tdn_pct_dm, winter_lactating_share)
    return only_if(by_class > 0, share * herd_weight_kg / 100)


@working
def winter_eaten_used_kg_per_day(winter_eaten_kg_per_day, winter_class_kg_per_day):
    """Forage eaten: weighed out, else by class."""
    return typed_or(winter_eaten_kg_per_day, winter_class_kg_per_day)


@working
def unexplained_nem_mcal_per_day(winter_eaten_used_kg_per_day, winter_forage_nem_mcal_per_kg,
                                 implied_nem_mcal_per_day):
    """NEm of the forage eaten that neither need nor body account for."""
    eaten = winter_eaten_used_kg_per_day * winter_forage_nem_mcal_per_kg
    return eaten - implied_nem_mcal_per_day


@working
def winter_keep_mcal_per_day(winter_keep_sum_mcal, winter_keep_unknown, winter_found_days):
    """NEm for maintenance, mean of the time."""
    known = (winter_keep_unknown < 1) & (winter_found_days > 0)
    return only_if(known, winter_keep_sum_mcal / winter_found_days)


@working
def implied_activity_pct(unexplained_nem_mcal_per_day, winter_keep_mcal_per_day, activity_pct):
    """Extra energy for walking that would account for it."""
    return activity_pct + unexplained_nem_mcal_per_day / winter_keep_mcal_per_day * 100


@working
def intake_fits(implied_intake_pct_bw):
    """1 where an animal can eat so much, or so little."""
    low, high = implied_intake_pct_bw >= LEAST_INTAKE, implied_intake_pct_bw <= MOST_INTAKE
    return np.where(low & high, 1.0, 0.0)


@working
def activity_unfit(implied_activity_pct):
    """1 where the setting for walking cannot hold it."""
    low, high = implied_activity_pct < 0, implied_activity_pct > MOST_ACTIVITY
    return np.where(low | high, 1.0, 0.0)


@working
def activity_unfit_used(activity_unfit):
    """The same, 1 where it is not known."""
    return typed_or(activity_unfit, 1.0)


@working
def winter_outcome_no(intake_fits, activity_unfit_used):
    """1 intake or walking, 2 intake only, 3 the entries do not fit together."""
    return np.where(intake_fits > 0, 1 + activity_unfit_used, 3.0)


@working
def winter_words_no(condition_fall, winter_outcome_no):
    """0 something is not known, 1 to 3 as above; blank where no score is typed."""
    return typed_or(winter_outcome_no, 0.0)


@working
def winter_cycle_days(first_day, fall_scored_on, year_days):
    """Days from the fall's score to the month's first day, of any year."""
    return np.remainder(first_day - fall_scored_on, year_days)


@working
def winter_month_days(winter_cycle_days, days, year_days, winter_days):
    """Days of the month that lie between the scores."""
    return lactating_share(winter_cycle_days, days, year_days, winter_days, 1.0) * days


@working
def winter_month_need_mcal(nem_need_mcal_per_day, winter_month_days):
    """Need of those days."""
    return nem_need_mcal_per_day * winter_month_days


@working
def winter_month_keep_mcal(maintenance_nem_mcal_per_day, winter_month_days):
    """Maintenance of those days."""
    return maintenance_nem_mcal_per_day * winter_month_days


@working
def winter_month_milk_days(month_lactating_share, winter_month_days):
    """Days in milk among them."""
    return month_lactating_share * winter_month_days
