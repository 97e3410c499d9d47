"""Amounts of a line, month by month: each is sized against what the lines before it left.

With the intake response proportional to the share of the gap that is closed everything is linear,
so the amount has a closed form.
"""

import numpy as np

from ..dialect import chosen, ratio, typed_or, working

__all__ = [
    "amount_kg_per_day", "as_needed_kg", "as_needed_kg_per_day", "bought_tonne", "brought",
    "by_mode_kg_per_day", "cannot_close", "cannot_close_known", "cost_usd", "fed_days",
    "fed_days_used", "fed_each_day_kg_per_day", "fed_kg", "fed_kg_per_day", "fed_known_tonne",
    "fed_tonne", "forage_after_kg_per_day", "gap", "level_so_far_kg_per_day", "lift", "lift_taken",
    "lift_taken_or_not", "lifted_kg_per_day", "lifted_or_none_kg_per_day", "month_dm_kg_per_day",
    "net_per_kg", "per_head_kg_per_day", "per_head_or_none_kg_per_day", "wanted_kg_per_day",
]


@working
def fed_days(start_on, end_on, first_day, days):
    """Days of the month on which the line is fed."""
    return np.clip(np.minimum(end_on, first_day + days) - np.maximum(start_on, first_day), 0, days)


@working
def gap(needed, forage_pct, forage_before_kg_per_day, per_kg_of_purpose, brought_before,
        met_within_pct):
    """What is still short before this line; 0 where only rounding is."""
    still = needed - forage_pct * per_kg_of_purpose * forage_before_kg_per_day - brought_before
    return np.where(still * 100 > met_within_pct * needed, still, 0.0)


@working
def net_per_kg(product_pct, forage_pct, given_up, per_kg_of_purpose, met_within_pct):
    """What one part of product closes, forage given up counted; 0 where only rounding is left."""
    net = product_pct - given_up * forage_pct
    return np.where(net * 100 > met_within_pct * product_pct, net * per_kg_of_purpose, 0.0)


@working
def lift(intake_kg_per_day, forage_pct, per_kg_of_purpose, lifts_intake, intake_response_pct,
         lift_before):
    """What forage eaten more brings once protein is enough: with the first such line only."""
    response = lifts_intake * (1 - lift_before) * intake_response_pct / 100
    return intake_kg_per_day * response * forage_pct * per_kg_of_purpose


@working
def lift_taken(lift_before, lifts_intake, gap):
    """1 once a line for protein has had its effect on intake."""
    return np.where((lifts_intake > 0) & (gap > 0), 1.0, lift_before)


@working
def lift_taken_or_not(lift_taken, lift_before, used):
    """The same for lines without a product."""
    return np.where(used > 0, typed_or(lift_taken, 0.0), lift_before)


@working
def wanted_kg_per_day(gap, net_per_kg, lift):
    """Dry matter of product that would close the gap; none where the product cannot."""
    closes = (net_per_kg > 0) & (gap > 0)
    return np.where(closes, gap / net_per_kg * gap / (gap + lift), 0.0)


@working
def as_needed_kg_per_day(wanted_kg_per_day, cap_kg_per_day):
    """The amount under the cap."""
    return np.minimum(wanted_kg_per_day, cap_kg_per_day)


@working
def as_needed_kg(as_needed_kg_per_day, fed_days):
    """The amount of the month."""
    return as_needed_kg_per_day * fed_days


@working
def level_so_far_kg_per_day(kg_so_far, days_so_far):
    """Mean of the days fed so far; at the end, the level amount."""
    return ratio(kg_so_far, days_so_far, 0.0)


@working
def by_mode_kg_per_day(mode_no, as_needed_kg_per_day, level_kg_per_day, label_dm_kg_per_day):
    """The amount by the line's mode."""
    return chosen(mode_no, as_needed_kg_per_day, level_kg_per_day, label_dm_kg_per_day)


@working
def fed_each_day_kg_per_day(month_dm_kg_per_day, own_dm_kg_per_day, by_mode_kg_per_day):
    """Dry matter per head on a day of feeding: own amount of the month, of the line, by mode."""
    return typed_or(month_dm_kg_per_day, typed_or(own_dm_kg_per_day, by_mode_kg_per_day))


@working
def month_dm_kg_per_day(month_amount_kg_per_day, product_dm_pct):
    """The user's own amount of a month, dry matter."""
    return month_amount_kg_per_day * product_dm_pct / 100


@working
def fed_kg(fed_each_day_kg_per_day, fed_days):
    """Dry matter per head in the month."""
    return fed_each_day_kg_per_day * fed_days


@working
def fed_kg_per_day(fed_kg, days):
    """The same as a mean of all days of the month."""
    return fed_kg / days


@working
def amount_kg_per_day(fed_kg_per_day, used):
    """Dry matter per head and day of the month; 0 for a line without a product."""
    return np.where(used > 0, fed_kg_per_day, 0.0)


@working
def lifted_kg_per_day(amount_kg_per_day, net_per_kg, gap, lift, intake_kg_per_day,
                      intake_response_pct):
    """Forage eaten more because of this line."""
    more = intake_kg_per_day * intake_response_pct / 100
    share = np.clip(amount_kg_per_day * net_per_kg / gap, 0, 1)
    return np.where((lift > 0) & (gap > 0), more * share, 0.0)


@working
def lifted_or_none_kg_per_day(lifted_kg_per_day, used):
    """The same; 0 for a line without a product."""
    return np.where(used > 0, lifted_kg_per_day, 0.0)


@working
def forage_after_kg_per_day(forage_before_kg_per_day, given_up, amount_kg_per_day,
                            lifted_or_none_kg_per_day):
    """Forage eaten with this line."""
    given = given_up * amount_kg_per_day
    return np.maximum(forage_before_kg_per_day - given + lifted_or_none_kg_per_day, 0)


@working
def brought(brought_earlier, amount_kg_per_day, product_part, per_kg):
    """What this and the earlier lines bring."""
    return brought_earlier + amount_kg_per_day * product_part * per_kg


@working
def cannot_close(gap, net_per_kg, fed_days):
    """1 where the product holds too little to close the gap however much is fed."""
    return np.where((gap > 0) & (net_per_kg <= 0) & (fed_days > 0), 1.0, 0.0)


@working
def cannot_close_known(cannot_close, used):
    """The same, 0 where it cannot be said."""
    return np.where(used > 0, typed_or(cannot_close, 0.0), 0.0)


@working
def fed_days_used(fed_days, used):
    """Days of feeding; none for a line without a product."""
    return np.where(used > 0, fed_days, 0.0)


@working
def fed_known_tonne(amount_kg_per_day, days, head, product_dm_pct):
    """Tonnes as fed for the group in the month."""
    return amount_kg_per_day * days * head / product_dm_pct / 10


@working
def fed_tonne(fed_known_tonne, used):
    """The same; 0 for a line without a product."""
    return np.where(used > 0, fed_known_tonne, 0.0)


@working
def bought_tonne(fed_tonne, loss_used_pct):
    """Tonnes to buy: fed / (1 - loss)."""
    return fed_tonne / (1 - loss_used_pct / 100)


@working
def cost_usd(bought_tonne, month_usd_per_tonne):
    """Cost of the month."""
    return bought_tonne * month_usd_per_tonne


@working
def per_head_kg_per_day(fed_each_day_kg_per_day, product_dm_pct, fed_days, used):
    """As fed per head on a day of feeding; none for a line without a product."""
    fed = (fed_days > 0) & (used > 0)
    return np.where(fed, fed_each_day_kg_per_day / product_dm_pct * 100, 0.0)


@working
def per_head_or_none_kg_per_day(per_head_kg_per_day):
    """The same, 0 where it cannot be said."""
    return typed_or(per_head_kg_per_day, 0.0)
