"""Supply against need."""

import numpy as np

from ..dialect import is_missing, ratio, typed_or, working

__all__ = [
    "diet", "feeds_shown", "first_no", "flagged", "forage_shown", "forage_sized", "from_forage",
    "missing", "need_shown", "need_sized", "over", "over_shown", "over_sized", "pct_of_need",
    "short", "short_sized", "state_no", "still_short",
]


@working
def from_forage(forage_pct, per_kg, intake_kg_per_day):
    """What forage alone gives."""
    return forage_pct * per_kg * intake_kg_per_day


@working
def over(from_forage, needed):
    """Forage alone, short (-) or over (+)."""
    return from_forage - needed


@working
def short(from_forage, needed, met_within_pct):
    """1 where forage alone leaves the need short by more than rounding."""
    return np.where((needed - from_forage) * 100 > met_within_pct * needed, 1.0, 0.0)


# --- what amounts are sized on: the mean, or less of it where a chance is wanted
@working
def forage_sized(forage_pct, content_margin):
    """Content of forage that amounts count on."""
    return np.maximum(forage_pct - content_margin, 0)


@working
def need_sized(needed, need_margin):
    """Need that amounts are sized to."""
    return needed + need_margin


@working
def over_sized(forage_sized, per_kg, intake_kg_per_day, need_sized):
    """What is counted on of forage alone, short (-) or over (+)."""
    return forage_sized * per_kg * intake_kg_per_day - need_sized


@working
def short_sized(over_sized, need_sized, met_within_pct):
    """1 where what is counted on of forage alone leaves the need short by more than rounding."""
    return np.where(over_sized * -100 > met_within_pct * need_sized, 1.0, 0.0)


@working
def diet(forage_pct, per_kg, forage_eaten_kg_per_day, from_feeds):
    """What forage and feeds give together."""
    return forage_pct * per_kg * forage_eaten_kg_per_day + from_feeds


@working
def pct_of_need(diet, needed):
    """The whole diet as a share of the need."""
    return ratio(diet, needed, 1.0) * 100


@working
def still_short(diet, needed, met_within_pct):
    """1 where the whole diet leaves the need short by more than rounding."""
    return np.where((needed - diet) * 100 > met_within_pct * needed, 1.0, 0.0)


@working
def missing(short, class_row, must_know):
    """1 where it cannot be said whether forage alone meets the need, of what must be known."""
    return np.where(class_row > 0, is_missing(short), 0.0) * must_know


@working
def flagged(short, missing):
    """1 where forage alone is short, or it cannot be said of what must be known."""
    return np.where(missing > 0, 1.0, typed_or(short, 0.0))


@working
def state_no(first_flagged, first_missing, nutrients):
    """0 all met, then the first short nutrient, then (behind the list) the first unknown one."""
    return first_flagged + first_missing * nutrients


@working
def first_no(first_flagged):
    """Number of the first flagged nutrient, 1 where there is none."""
    return np.maximum(first_flagged, 1)


@working
def need_shown(needed, si_per_shown):
    """Need in the workbook's unit."""
    return needed / si_per_shown


@working
def over_shown(over, si_per_shown):
    """Short (-) or over (+) in the workbook's unit."""
    return over / si_per_shown


@working
def forage_shown(from_forage, si_per_shown):
    """From forage in the workbook's unit."""
    return from_forage / si_per_shown


@working
def feeds_shown(from_feeds, si_per_shown):
    """From feeds in the workbook's unit."""
    return from_feeds / si_per_shown
