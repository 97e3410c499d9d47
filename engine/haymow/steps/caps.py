"""Limits on a line's amount: the feed's, a meal's, the user's own, and those of the whole diet.

Which of them binds is a number: where two are the same, the later one is named.
"""

import numpy as np

from ..dialect import ratio, typed_or, working
from ..equations.ratios import sulfur_most_pct_dm

__all__ = [
    "NO_LIMIT", "cap_kg_per_day", "cap_no", "capped_short", "fat_cap_kg_per_day",
    "fat_counted_pct_dm", "fat_over_counted_pct_dm", "fat_over_pct_dm", "fat_room_pct_dm",
    "fat_so_far_kg_per_day", "feed_cap_no", "firm_cap_kg_per_day", "firm_cap_no",
    "limit_seen_no", "line_cap_kg_per_day", "line_cap_used_kg_per_day", "meal_cap_kg",
    "meal_cap_used_kg", "meal_no", "meal_pct_bw", "most_used_pct_bw", "natural_counted_pct_dm",
    "npn_cap_kg_per_day", "npn_counted_pct_dm", "npn_cp_pct_dm", "npn_meal_pct_bw",
    "npn_so_far_kg_per_day", "product_cap_kg_per_day", "product_cap_used_kg_per_day",
    "protein_meal_pct_bw", "starch_cap_kg_per_day", "starch_counted_pct_dm",
    "starch_meal_pct_bw", "starch_so_far_kg_per_day", "starch_used_pct_dm",
    "sulfur_cap_kg_per_day", "sulfur_counted_pct_dm", "sulfur_over_counted_pct_dm",
    "sulfur_over_pct_dm", "sulfur_room_pct_dm", "sulfur_so_far_kg_per_day", "weight_cap_no",
    "weight_cap_pct_bw",
]

NO_LIMIT = 9999.0  # kg/day, kg at a meal, or % of body weight: no cap
(PRODUCT, MEAL, OWN, WEIGHT, PROTEIN_MEAL, STARCH_MEAL, NPN_MEAL, STARCH, NPN, FAT,
 SULFUR) = map(float, range(1, 12))  # their words stand in `tables/caps.py`
PROTEIN_FEED = 30.0  # % natural CP of dry matter, from which a feed may be fed once a week
MOST_SULFUR = float(sulfur_most_pct_dm(100.0))  # of a diet of forage; Minerals judges it as it is
G_PER_KG_OF_PCT = 10
TIE = 1 + 1e-9  # two limits that are the same but for rounding both bind
SELF_FED = 3  # the mode in which they eat as they like


# --- of a product
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
def meal_cap_kg(most_meal_kg, dm_known_pct_as_fed):
    """The product's own limit at one feeding, dry matter."""
    return most_meal_kg * dm_known_pct_as_fed / 100


@working
def meal_cap_used_kg(meal_cap_kg):
    """The product's own limit at one feeding; none where none is typed."""
    return typed_or(meal_cap_kg, NO_LIMIT)


@working
def starch_used_pct_dm(starch_pct_dm, table_starch_pct_dm):
    """Starch: the tag's or the test's, else the table's."""
    return typed_or(starch_pct_dm, table_starch_pct_dm)


@working
def starch_counted_pct_dm(starch_used_pct_dm):
    """Starch that limits count: none where it is not known."""
    return typed_or(starch_used_pct_dm, 0.0)


@working
def npn_cp_pct_dm(npn_used_pct_of_cp, dry_matter_cp):
    """Crude protein that is nonprotein nitrogen."""
    return npn_used_pct_of_cp * dry_matter_cp / 100


@working
def npn_counted_pct_dm(npn_cp_pct_dm):
    """The same as limits count it: none where it is not known."""
    return typed_or(npn_cp_pct_dm, 0.0)


@working
def fat_counted_pct_dm(dry_matter_fat):
    """Fat that limits count: none where it is not known."""
    return typed_or(dry_matter_fat, 0.0)


@working
def sulfur_counted_pct_dm(dry_matter_s):
    """Sulfur that limits count: none where it is not known."""
    return typed_or(dry_matter_s, 0.0)


@working
def fat_over_pct_dm(dry_matter_fat, most_fat_pct_dm):
    """Fat above what the whole diet may hold."""
    return np.where(dry_matter_fat > most_fat_pct_dm, dry_matter_fat - most_fat_pct_dm, 0.0)


@working
def fat_over_counted_pct_dm(fat_over_pct_dm):
    """The same; none where fat is not known."""
    return typed_or(fat_over_pct_dm, 0.0)


@working
def sulfur_over_pct_dm(dry_matter_s):
    """Sulfur above what the whole diet may hold."""
    return np.where(dry_matter_s > MOST_SULFUR, dry_matter_s - MOST_SULFUR, 0.0)


@working
def sulfur_over_counted_pct_dm(sulfur_over_pct_dm):
    """The same; none where sulfur is not known."""
    return typed_or(sulfur_over_pct_dm, 0.0)


@working
def natural_counted_pct_dm(natural_cp_pct_dm):
    """CP without nonprotein nitrogen; none where it is not known."""
    return typed_or(natural_cp_pct_dm, 0.0)


@working
def protein_meal_pct_bw(natural_counted_pct_dm, most_meal_pct_bw, dm_known_pct_as_fed):
    """Most dry matter at one meal of a feed of 30 % natural protein or more."""
    meal = most_meal_pct_bw * dm_known_pct_as_fed / 100
    return np.where(natural_counted_pct_dm >= PROTEIN_FEED, meal, NO_LIMIT)


@working
def starch_meal_pct_bw(starch_counted_pct_dm, most_meal_starch_pct_bw):
    """Most dry matter at one meal by its starch."""
    return ratio(most_meal_starch_pct_bw * 100, starch_counted_pct_dm, NO_LIMIT)


@working
def npn_meal_pct_bw(npn_counted_pct_dm, most_meal_npn_cp_pct_bw):
    """Most dry matter at one meal by its nonprotein nitrogen."""
    return ratio(most_meal_npn_cp_pct_bw * 100, npn_counted_pct_dm, NO_LIMIT)


@working
def meal_pct_bw(protein_meal_pct_bw, starch_meal_pct_bw, npn_meal_pct_bw):
    """Most dry matter at one meal: the limit that binds first."""
    return np.minimum(np.minimum(protein_meal_pct_bw, starch_meal_pct_bw), npn_meal_pct_bw)


@working
def meal_no(protein_meal_pct_bw, starch_meal_pct_bw, npn_meal_pct_bw, meal_pct_bw):
    """Which limit that is."""
    size = (protein_meal_pct_bw <= meal_pct_bw * TIE) * PROTEIN_MEAL
    starch = (starch_meal_pct_bw <= meal_pct_bw * TIE) * STARCH_MEAL
    return np.maximum(np.maximum(size, starch), (npn_meal_pct_bw <= meal_pct_bw * TIE) * NPN_MEAL)


# --- of a line
@working
def line_cap_kg_per_day(most_kg_per_day, product_dm_pct):
    """The user's own limit on this line, dry matter."""
    return most_kg_per_day * product_dm_pct / 100


@working
def line_cap_used_kg_per_day(line_cap_kg_per_day):
    """The user's own limit on this line; none where none is typed."""
    return typed_or(line_cap_kg_per_day, NO_LIMIT)


@working
def firm_cap_kg_per_day(line_cap_used_kg_per_day, product_cap_used_kg_per_day, meal_cap_used_kg,
                        times_used):
    """The first of the limits in pounds: the user's, the product's, the product's at a feeding."""
    day = np.minimum(line_cap_used_kg_per_day, product_cap_used_kg_per_day)
    return np.minimum(day, meal_cap_used_kg * times_used / 7)


@working
def firm_cap_no(firm_cap_kg_per_day, line_cap_used_kg_per_day, product_cap_used_kg_per_day,
                meal_cap_used_kg, times_used):
    """Which limit that is."""
    product = (product_cap_used_kg_per_day <= firm_cap_kg_per_day * TIE) * PRODUCT
    meal = (meal_cap_used_kg * times_used / 7 <= firm_cap_kg_per_day * TIE) * MEAL
    own = (line_cap_used_kg_per_day <= firm_cap_kg_per_day * TIE) * OWN
    return np.maximum(np.maximum(product, meal), own)


@working
def weight_cap_pct_bw(most_used_pct_bw, product_dm_pct, meal_pct_bw, times_used):
    """The first of the limits by body weight, dry matter a day."""
    return np.minimum(most_used_pct_bw * product_dm_pct / 100, meal_pct_bw * times_used / 7)


@working
def weight_cap_no(weight_cap_pct_bw, most_used_pct_bw, product_dm_pct, meal_pct_bw, times_used,
                  meal_no):
    """Which limit that is."""
    day = (most_used_pct_bw * product_dm_pct / 100 <= weight_cap_pct_bw * TIE) * WEIGHT
    meal = (meal_pct_bw * times_used / 7 <= weight_cap_pct_bw * TIE) * meal_no
    return np.maximum(day, meal)


# --- of a month's forage
@working
def fat_room_pct_dm(fat_pct_dm, most_fat_pct_dm):
    """What forage leaves below the most fat of the whole diet."""
    return np.maximum(most_fat_pct_dm - fat_pct_dm, 0)


@working
def sulfur_room_pct_dm(forage_s_pct_dm, water_s_g_per_day, intake_kg_per_day):
    """What forage and water leave below the most sulfur of the whole diet; unknown counts none."""
    water = ratio(typed_or(water_s_g_per_day, 0.0), G_PER_KG_OF_PCT * intake_kg_per_day, 0.0)
    return np.maximum(MOST_SULFUR - typed_or(forage_s_pct_dm, 0.0) - water, 0)


# --- of a line in a month, the lines before it counted
@working
def starch_so_far_kg_per_day(starch_before_kg_per_day, amount_kg_per_day, starch_counted_pct_dm):
    """Starch in this and the earlier lines."""
    return starch_before_kg_per_day + amount_kg_per_day * starch_counted_pct_dm / 100


@working
def npn_so_far_kg_per_day(npn_before_kg_per_day, amount_kg_per_day, npn_counted_pct_dm):
    """Nonprotein nitrogen, as crude protein, in this and the earlier lines."""
    return npn_before_kg_per_day + amount_kg_per_day * npn_counted_pct_dm / 100


@working
def fat_so_far_kg_per_day(fat_before_kg_per_day, amount_kg_per_day, fat_counted_pct_dm):
    """Fat in this and the earlier lines."""
    return fat_before_kg_per_day + amount_kg_per_day * fat_counted_pct_dm / 100


@working
def sulfur_so_far_kg_per_day(sulfur_before_kg_per_day, amount_kg_per_day, sulfur_counted_pct_dm):
    """Sulfur in this and the earlier lines."""
    return sulfur_before_kg_per_day + amount_kg_per_day * sulfur_counted_pct_dm / 100


def _where_held(left, takes, held):
    """What is left over what a kg takes; no limit for a feed that holds none."""
    free = held <= 0
    return np.maximum(left, 0) / (takes + free * 1.0) + free * NO_LIMIT


@working
def starch_cap_kg_per_day(most_starch_pct_bw, shrunk_weight_kg, starch_before_kg_per_day,
                          starch_counted_pct_dm):
    """Dry matter at which starch reaches its limit."""
    left = most_starch_pct_bw * shrunk_weight_kg - 100 * starch_before_kg_per_day
    return _where_held(left, starch_counted_pct_dm, starch_counted_pct_dm)


@working
def npn_cap_kg_per_day(most_npn_cp_pct_bw, shrunk_weight_kg, npn_before_kg_per_day,
                       npn_counted_pct_dm):
    """Dry matter at which nonprotein nitrogen reaches its limit."""
    left = most_npn_cp_pct_bw * shrunk_weight_kg - 100 * npn_before_kg_per_day
    return _where_held(left, npn_counted_pct_dm, npn_counted_pct_dm)


@working
def fat_cap_kg_per_day(fat_over_counted_pct_dm, fat_room_pct_dm, most_fat_pct_dm, given_up,
                       forage_before_kg_per_day, brought_earlier_dm, fat_before_kg_per_day):
    """Dry matter at which the fat of the whole diet reaches its limit."""
    feeds = most_fat_pct_dm * brought_earlier_dm - 100 * fat_before_kg_per_day
    left = fat_room_pct_dm * forage_before_kg_per_day + feeds
    takes = fat_over_counted_pct_dm + given_up * fat_room_pct_dm
    return _where_held(left, takes, fat_over_counted_pct_dm)


@working
def sulfur_cap_kg_per_day(sulfur_over_counted_pct_dm, sulfur_room_pct_dm, given_up,
                          forage_before_kg_per_day, brought_earlier_dm, sulfur_before_kg_per_day):
    """Dry matter at which the sulfur of the whole diet reaches its limit."""
    feeds = MOST_SULFUR * brought_earlier_dm - 100 * sulfur_before_kg_per_day
    left = sulfur_room_pct_dm * forage_before_kg_per_day + feeds
    takes = sulfur_over_counted_pct_dm + given_up * sulfur_room_pct_dm
    return _where_held(left, takes, sulfur_over_counted_pct_dm)


@working
def cap_kg_per_day(firm_cap_kg_per_day, weight_cap_pct_bw, shrunk_weight_kg,
                   starch_cap_kg_per_day, npn_cap_kg_per_day, fat_cap_kg_per_day,
                   sulfur_cap_kg_per_day):
    """The limit that binds first."""
    feed = np.minimum(firm_cap_kg_per_day, weight_cap_pct_bw * shrunk_weight_kg / 100)
    own = np.minimum(starch_cap_kg_per_day, npn_cap_kg_per_day)
    diet = np.minimum(fat_cap_kg_per_day, sulfur_cap_kg_per_day)
    return np.minimum(np.minimum(feed, own), diet)


@working
def feed_cap_no(cap_kg_per_day, firm_cap_kg_per_day, firm_cap_no, weight_cap_pct_bw,
                shrunk_weight_kg, weight_cap_no):
    """Which limit of the feed or the user binds; 0 if none does."""
    weight = weight_cap_pct_bw * shrunk_weight_kg / 100
    return np.maximum((firm_cap_kg_per_day <= cap_kg_per_day * TIE) * firm_cap_no,
                      (weight <= cap_kg_per_day * TIE) * weight_cap_no)


@working
def cap_no(wanted_kg_per_day, cap_kg_per_day, feed_cap_no, starch_cap_kg_per_day,
           npn_cap_kg_per_day, fat_cap_kg_per_day, sulfur_cap_kg_per_day, mode_no,
           fed_each_day_kg_per_day, by_mode_kg_per_day):
    """Which limit keeps a line that the plan sizes from closing the gap; 0 where none does."""
    starch = (starch_cap_kg_per_day <= cap_kg_per_day * TIE) * STARCH
    npn = (npn_cap_kg_per_day <= cap_kg_per_day * TIE) * NPN
    fat = (fat_cap_kg_per_day <= cap_kg_per_day * TIE) * FAT
    sulfur = (sulfur_cap_kg_per_day <= cap_kg_per_day * TIE) * SULFUR
    most = np.maximum(np.maximum(starch, npn), np.maximum(fat, sulfur))
    sized = (mode_no < SELF_FED) & (fed_each_day_kg_per_day == by_mode_kg_per_day)
    held = sized & (wanted_kg_per_day > cap_kg_per_day)
    return np.where(held, np.maximum(feed_cap_no, most), 0.0)


@working
def limit_seen_no(cap_no, fed_days_known):
    """The same in a month of feeding; 0 where it cannot be said."""
    return np.where(fed_days_known > 0, typed_or(cap_no, 0.0), 0.0)


@working
def capped_short(limit_seen_no, left_short):
    """1 where a limit binds and the need stays short with all lines."""
    return np.where(limit_seen_no > 0, typed_or(left_short, 1.0), 0.0)
