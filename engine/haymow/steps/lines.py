"""A feeding line: from when to when, and what comes of it in the season."""

import numpy as np

from ..dialect import chosen, month_start, only_if, ratio, typed_or, working

__all__ = [
    "crossed_on", "day_cost_usd_per_head_day", "end_by_mode", "end_on", "fed_days_known",
    "first_short_on", "head_days", "known_bought_tonne", "known_season_tonne", "known_usd",
    "last_short_on", "later_no", "least_shown_pct_of_need", "mean_per_head_kg_per_day",
    "met_used_pct_of_need", "month_earlier", "month_looked_at", "own_dm_kg_per_day",
    "per_feeding_kg", "reason_no", "start_by_mode", "start_on", "start_or_none", "times_used",
    "typed_end_on", "words_no",
]

FAR = 9999.0  # % of need: above any month of feeding


@working
def month_looked_at(first_short_month):
    """The first short month; the first of the plan where none is short."""
    return np.maximum(first_short_month, 1)


@working
def month_earlier(month_looked_at):
    """The month before."""
    return np.maximum(month_looked_at - 1, 1)


@working
def crossed_on(over_earlier, over_then, mid_earlier, mid_then):
    """Day on which forage falls below need: a straight line between the middles of two months."""
    share = np.clip(ratio(over_earlier, over_earlier - over_then, 0.0), 0, 1)
    return np.floor(mid_earlier + (mid_then - mid_earlier) * share)


@working
def first_short_on(first_short_month, crossed_on, first_month, plan_end):
    """First day of need; the plan's end where there is none."""
    return chosen(np.minimum(first_short_month, 2) + 1, plan_end, first_month, crossed_on)


@working
def last_short_on(first_month, last_short_month):
    """The day after the last short month."""
    return month_start(first_month, last_short_month)


@working
def start_by_mode(mode_no, first_short_on, first_month):
    """A product fed by its own intake starts with the plan, others with the need."""
    return chosen(mode_no, first_short_on, first_short_on, first_month)


@working
def end_by_mode(mode_no, last_short_on, plan_end):
    """A product fed by its own intake goes on to the plan's end, others to the last short month."""
    return chosen(mode_no, last_short_on, last_short_on, plan_end)


@working
def start_on(from_on, start_by_mode):
    """First day of feeding."""
    return typed_or(from_on, start_by_mode)


@working
def typed_end_on(to_on):
    """The day after the last day typed."""
    return to_on + 1


@working
def end_on(typed_end_on, end_by_mode):
    """The day after the last day of feeding."""
    return typed_or(typed_end_on, end_by_mode)


@working
def times_used(times_per_week, used):
    """Feedings a week; 7 where none are typed."""
    return typed_or(times_per_week, 7.0)


@working
def own_dm_kg_per_day(own_amount_kg_per_day, product_dm_pct):
    """The user's own amount, dry matter."""
    return own_amount_kg_per_day * product_dm_pct / 100


@working
def per_feeding_kg(most_per_head_kg_per_day, head, times_used):
    """As fed for the whole group at one feeding, in the month that needs most."""
    return most_per_head_kg_per_day * head * 7 / times_used


@working
def mean_per_head_kg_per_day(known_season_tonne, head_days):
    """As fed per head and day of feeding, mean of the season."""
    return ratio(known_season_tonne, head_days, 0.0) * 1000


@working
def head_days(head, season_days):
    """Head times days of feeding."""
    return head * season_days


@working
def reason_no(used, not_known, season_tonne, limit_no, months_cannot):
    """0 no product, 1 none needed, 2 as planned, 3 limited by a cap, 4 cannot close, 5 unknown."""
    fed = np.maximum((season_tonne > 0) + 1.0, (limit_no > 0) * 3.0)
    worked = np.maximum(fed, (months_cannot > 0) * 4.0)
    return used * np.maximum(worked, (not_known > 0) * 5.0)


@working
def words_no(reason_no, mode_no):
    """0 no product, 1 none needed, 2 fed, 3 not known, 4 put out for them to eat as they like."""
    fed = 2.0 + (mode_no > 2) * 2.0
    return chosen(reason_no + 1, 0.0, 1.0, fed, fed, fed, 3.0)


@working
def later_no(start_on, first_month):
    """1 where feeding starts later than the plan."""
    return np.where(start_on > first_month, 1.0, 0.0)


@working
def start_or_none(season_tonne, start_on):
    """First day of feeding, where anything is fed."""
    return only_if(season_tonne > 0, start_on)


@working
def fed_days_known(fed_days_used):
    """Days of feeding, 0 where it cannot be said."""
    return typed_or(fed_days_used, 0.0)


@working
def met_used_pct_of_need(met_pct_of_need, fed_days_known):
    """Share of the need met in a month of feeding; far above where nothing is fed."""
    return np.where(fed_days_known > 0, typed_or(met_pct_of_need, -1.0), FAR)


@working
def least_shown_pct_of_need(known_season_tonne, least_met_pct_of_need):
    """The worst month of feeding, where anything is fed and all is known."""
    shown = (known_season_tonne > 0) & (least_met_pct_of_need >= 0)
    return only_if(shown, least_met_pct_of_need)


@working
def known_season_tonne(season_tonne, not_known_used):
    """Tonnes fed, where all months are known."""
    return only_if(not_known_used < 1, season_tonne)


@working
def known_bought_tonne(bought_season_tonne, not_known_used):
    """Tonnes to buy, where all months are known."""
    return only_if(not_known_used < 1, bought_season_tonne)


@working
def known_usd(season_usd, not_known_used):
    """Cost, where all months are known."""
    return only_if(not_known_used < 1, season_usd)


@working
def day_cost_usd_per_head_day(known_usd, head_days):
    """Cost per head and day of feeding."""
    return ratio(known_usd, head_days, 0.0)
