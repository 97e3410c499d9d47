"""What they eat as they like: what it brings, and what if they eat half, twice or three times."""

import numpy as np

from ..dialect import only_if, ratio, working

__all__ = [
    "double_pct_of_need", "fed_from_no", "half_pct_of_need", "label_g_per_day",
    "label_oz_per_day", "level_brought", "mix_feed_kg_per_day", "month_fed_no", "over_double",
    "over_once", "over_triple", "self_eaten_kg_per_day", "self_fed_pct_of_need",
]

KG_PER_OZ = 0.028349523125  # exact
FAR = 9999.0  # beyond any month
OWN_INTAKE = 3  # the mode in which they eat as they like
CLEARLY = 1 + 1e-9  # a content that is the limit but for rounding is not above it


@working
def fed_from_no(month_no, fed_days_known):
    """Number of a month of feeding; far above where nothing is fed."""
    return np.where(fed_days_known > 0, month_no, FAR)


@working
def month_fed_no(first_fed_no, months):
    """The first month of feeding; the last of the plan where nothing is fed."""
    return np.minimum(first_fed_no, months)


@working
def label_g_per_day(label_intake_kg_per_day, used):
    """What the tag says they eat."""
    return label_intake_kg_per_day * 1000


@working
def label_oz_per_day(label_intake_kg_per_day, used):
    """The same in ounces."""
    return label_intake_kg_per_day / KG_PER_OZ


@working
def self_eaten_kg_per_day(mode_no, amount_kg_per_day):
    """Dry matter of what they eat as they like; not known for what is brought to them."""
    return only_if((mode_no >= OWN_INTAKE) & (amount_kg_per_day > 0), amount_kg_per_day)


@working
def mix_feed_kg_per_day(self_eaten_kg_per_day, dm_known_pct_as_fed):
    """The same as fed: the feed that salt in a mix would have to hold them to."""
    return self_eaten_kg_per_day / dm_known_pct_as_fed * 100


@working
def self_fed_pct_of_need(self_eaten_kg_per_day, product_pct, per_kg_of_purpose, needed):
    """What it brings of the need it is fed for."""
    return ratio(self_eaten_kg_per_day * product_pct * per_kg_of_purpose, needed, 0.0) * 100


@working
def half_pct_of_need(expected_pct_of_need, self_fed_pct_of_need):
    """How much of the need is met where they eat half of it."""
    return expected_pct_of_need - self_fed_pct_of_need / 2


@working
def double_pct_of_need(expected_pct_of_need, self_fed_pct_of_need):
    """How much of the need is met where they eat twice of it."""
    return expected_pct_of_need + self_fed_pct_of_need


@working
def level_brought(self_eaten_kg_per_day, holds, level, diet_dm_kg_per_day):
    """What it brings of the level wanted, in percent; none where no level is set."""
    return ratio(self_eaten_kg_per_day * holds, level * diet_dm_kg_per_day, 0.0) * 100


def _above(times, self_eaten_kg_per_day, holds, in_diet, most, diet_dm_kg_per_day):
    more = (times - 1) * self_eaten_kg_per_day
    brought = in_diet * diet_dm_kg_per_day + more * holds
    allowed = most * CLEARLY * (diet_dm_kg_per_day + more)
    return np.where((most > 0) & (brought > allowed), 1.0, 0.0)


@working
def over_once(self_eaten_kg_per_day, holds, in_diet, most, diet_dm_kg_per_day):
    """1 where the whole diet is above its limit."""
    return _above(1, self_eaten_kg_per_day, holds, in_diet, most, diet_dm_kg_per_day)


@working
def over_double(self_eaten_kg_per_day, holds, in_diet, most, diet_dm_kg_per_day):
    """1 where it is with twice the intake."""
    return _above(2, self_eaten_kg_per_day, holds, in_diet, most, diet_dm_kg_per_day)


@working
def over_triple(self_eaten_kg_per_day, holds, in_diet, most, diet_dm_kg_per_day):
    """1 where it is with three times the intake."""
    return _above(3, self_eaten_kg_per_day, holds, in_diet, most, diet_dm_kg_per_day)
