"""Feeding lines: how much of a product, from when, at what cost.

Each line is sized against what the lines before it left. With the intake response proportional to
the share of the gap that is closed everything is linear, so the amount has a closed form.
"""

import numpy as np

from ..dialect import chosen, month_start, only_if, ratio, typed_or, working

__all__ = [
    "amount_kg_per_day", "as_needed_kg", "as_needed_kg_per_day", "at_cap", "at_cap_known",
    "bought_tonne", "brought", "by_mode_kg_per_day", "cannot_close", "cannot_close_known",
    "cap_kg_per_day", "cost_usd", "crossed_on", "day_cost_usd_per_head_day",
    "delivered_usd_per_tonne", "end_by_mode", "end_on", "fed_days", "fed_days_used",
    "fed_each_day_kg_per_day", "fed_kg", "fed_kg_per_day", "fed_known_tonne", "fed_tonne",
    "first_short_on", "forage_after_kg_per_day", "freight_used_usd_per_tonne", "gap",
    "given_up_used", "head_days", "label_dm_kg_per_day", "last_short_on",
    "least_shown_pct_of_need", "level_so_far_kg_per_day", "lift", "lift_taken",
    "later_no", "lift_taken_or_not", "lifted_kg_per_day", "lifted_or_none_kg_per_day", "limit_no",
    "line_cap_kg_per_day", "line_cap_used_kg_per_day", "loss_used_pct",
    "mean_per_head_kg_per_day", "month_earlier", "month_looked_at", "most_used_pct_bw",
    "net_per_kg", "own_cap_known", "own_dm_kg_per_day", "per_feeding_kg", "per_head_kg_per_day",
    "per_head_or_none_kg_per_day", "product_cap_kg_per_day", "product_cap_used_kg_per_day",
    "reason_no", "start_by_mode", "start_on", "start_or_none", "times_used", "typed_end_on",
    "used", "wanted_kg_per_day", "weight_cap_kg_per_day", "words_no",
]

NO_LIMIT = 9999.0  # kg/day or % of body weight: no cap


# --- the product
@working
def used(product_no):
    """0 for the row "none", else 1."""
    return np.where(product_no > 1, 1.0, 0.0)


@working
def product_cap_kg_per_day(most_kg_per_day, dm_known_pct_as_fed):
    """The product's own daily limit, dry matter."""
    return most_kg_per_day * dm_known_pct_as_fed / 100


@working
def product_cap_used_kg_per_day(product_cap_kg_per_day):
    """The product's own daily limit; none where none is typed."""
    return typed_or(product_cap_kg_per_day, NO_LIMIT)


@working
def most_used_pct_bw(most_pct_bw, dm_known_pct_as_fed):
    """The product's limit by body weight, as fed; none where none is typed."""
    return typed_or(most_pct_bw, NO_LIMIT)


@working
def label_dm_kg_per_day(label_intake_kg_per_day, dm_known_pct_as_fed):
    """The label's intake, dry matter."""
    return label_intake_kg_per_day * dm_known_pct_as_fed / 100


@working
def given_up_used(given_up, used):
    """Forage given up per part of product; none where none is typed."""
    return typed_or(given_up, 0.0)


@working
def freight_used_usd_per_tonne(freight_usd_per_tonne):
    """Freight; none where none is typed."""
    return typed_or(freight_usd_per_tonne, 0.0)


@working
def loss_used_pct(loss_pct):
    """Storage and feeding loss; none counted where none is typed."""
    return typed_or(loss_pct, 0.0)


@working
def delivered_usd_per_tonne(price_usd_per_tonne, freight_used_usd_per_tonne):
    """Price with freight."""
    return price_usd_per_tonne + freight_used_usd_per_tonne


# --- the line's dates
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
    first = np.where(first_short_month == 1, first_month, crossed_on)
    return np.where(first_short_month == 0, plan_end, first)


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
def line_cap_kg_per_day(most_kg_per_day, product_dm_pct):
    """The user's own limit on this line, dry matter."""
    return most_kg_per_day * product_dm_pct / 100


@working
def line_cap_used_kg_per_day(line_cap_kg_per_day):
    """The user's own limit on this line; none where none is typed."""
    return typed_or(line_cap_kg_per_day, NO_LIMIT)


# --- amounts, month by month
@working
def weight_cap_kg_per_day(most_used_pct_bw, shrunk_weight_kg, product_dm_pct):
    """The product's limit by body weight, dry matter."""
    return most_used_pct_bw * shrunk_weight_kg * product_dm_pct / 10000


@working
def cap_kg_per_day(line_cap_used_kg_per_day, product_cap_used_kg_per_day, weight_cap_kg_per_day):
    """The limit that binds first."""
    own = np.minimum(line_cap_used_kg_per_day, product_cap_used_kg_per_day)
    return np.minimum(own, weight_cap_kg_per_day)


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
def net_per_kg(product_pct, forage_pct, given_up, per_kg_of_purpose):
    """What one part of product closes, forage given up counted."""
    return (product_pct - given_up * forage_pct) * per_kg_of_purpose


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
    share = ratio(gap, gap + lift, 1.0)
    return np.where(net_per_kg > 0, ratio(gap, net_per_kg, 0.0) * share, 0.0)


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
    """Dry matter per head on a day the line is fed: own amount of the month, of the line, by mode."""
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
    share = np.clip(ratio(amount_kg_per_day * net_per_kg, gap, 0.0), 0, 1)
    return np.where(lift > 0, intake_kg_per_day * intake_response_pct / 100 * share, 0.0)


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
def at_cap(wanted_kg_per_day, cap_kg_per_day, fed_days):
    """1 where the cap keeps the line from closing the gap."""
    return np.where((wanted_kg_per_day > cap_kg_per_day) & (fed_days > 0), 1.0, 0.0)


@working
def at_cap_known(at_cap, used):
    """The same, 0 where it cannot be said."""
    return np.where(used > 0, typed_or(at_cap, 0.0), 0.0)


@working
def cannot_close(gap, net_per_kg, fed_days):
    """1 where the product holds too little to close the gap however much is fed."""
    return np.where((gap > 0) & (net_per_kg <= 0) & (fed_days > 0), 1.0, 0.0)


@working
def cannot_close_known(cannot_close, used):
    """The same, 0 where it cannot be said."""
    return np.where(used > 0, typed_or(cannot_close, 0.0), 0.0)


@working
def own_cap_known(at_cap_known, line_cap_used_kg_per_day, cap_kg_per_day):
    """1 where it is the user's own limit that binds."""
    return np.where(line_cap_used_kg_per_day <= cap_kg_per_day, at_cap_known, 0.0)


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
def cost_usd(bought_tonne, delivered_usd_per_tonne):
    """Cost of the month."""
    return bought_tonne * delivered_usd_per_tonne


@working
def per_head_kg_per_day(fed_each_day_kg_per_day, product_dm_pct, fed_days, used):
    """As fed per head on a day of feeding; none for a line without a product."""
    fed = (fed_days > 0) & (used > 0)
    return np.where(fed, fed_each_day_kg_per_day / product_dm_pct * 100, 0.0)


@working
def per_head_or_none_kg_per_day(per_head_kg_per_day):
    """The same, 0 where it cannot be said."""
    return typed_or(per_head_kg_per_day, 0.0)


# --- the line's outcome
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
def reason_no(used, not_known, season_tonne, months_at_cap, months_cannot):
    """0 no product, 1 none needed, 2 as planned, 3 limited by a cap, 4 cannot close, 5 unknown."""
    capped = np.where(months_at_cap > 0, 3.0, np.where(season_tonne > 0, 2.0, 1.0))
    worked = np.where(months_cannot > 0, 4.0, capped)
    return used * np.where(not_known > 0, 5.0, worked)


@working
def words_no(reason_no, mode_no):
    """0 no product, 1 none needed, 2 fed, 3 not known, 4 put out for them to eat as they like."""
    fed = np.where(mode_no > 2, 4.0, 2.0)
    return np.where(reason_no > 4, 3.0, np.where(reason_no > 1, fed, reason_no))


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
    return np.where(fed_days_known > 0, typed_or(met_pct_of_need, -1.0), 9999.0)


@working
def capped_short(at_cap_known, left_short):
    """1 where a cap binds and the need stays short with all lines."""
    return np.where(at_cap_known > 0, typed_or(left_short, 1.0), 0.0)


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
def limit_no(months_own_cap):
    """0 the product's limit, 1 the user's own."""
    return np.where(months_own_cap > 0, 1.0, 0.0)


@working
def day_cost_usd_per_head_day(known_usd, head_days):
    """Cost per head and day of feeding."""
    return ratio(known_usd, head_days, 0.0)

