"""Points of the picture: what a forage holds and what groups need, by the days of the plan."""

import numpy as np

from ..dialect import ratio, typed_or, working

__all__ = [
    "drawn_content_point", "drawn_error_used", "drawn_high", "drawn_high_point", "drawn_low",
    "drawn_low_point", "drawn_need_pct_dm", "drawn_need_pct_dm_point", "picture_words_no",
    "point_on", "point_row", "sample_day_on", "sample_point", "sample_point_known",
    "sample_point_on",
]

BELOW = -1.0  # % of DM: below the axis, so that it is not seen


@working
def picture_words_no(forage_no, samples_used):
    """0 without a sample, else 1."""
    return np.where((samples_used > 0) & (forage_no > 0), 1.0, 0.0)


@working
def drawn_error_used(drawn_error):
    """How far it may be off; nothing is drawn beside the line where that is not known."""
    return typed_or(drawn_error, 0.0)


@working
def drawn_low(drawn_content, drawn_error_used):
    """One standard error less."""
    return np.maximum(drawn_content - drawn_error_used, 0)


@working
def drawn_high(drawn_content, drawn_error_used):
    """One standard error more."""
    return drawn_content + drawn_error_used


@working
def drawn_need_pct_dm(drawn_need, drawn_per_kg, intake_kg_per_day):
    """What the whole diet has to hold."""
    return ratio(drawn_need, drawn_per_kg * intake_kg_per_day, 0.0)


@working
def point_row(row_no, point_before, point_after):
    """Row of the nearest known month: the one before, else the one after, else this one."""
    later = point_after + row_no * (point_after == 0)
    return point_before + later * (point_before == 0)


@working
def point_on(point_known_on, first_month):
    """Day at which the point is drawn."""
    return typed_or(point_known_on, first_month)


@working
def drawn_content_point(drawn_content_known):
    """What it holds, as it is drawn."""
    return typed_or(drawn_content_known, BELOW)


@working
def drawn_low_point(drawn_low_known):
    """One standard error less, as it is drawn."""
    return typed_or(drawn_low_known, BELOW)


@working
def drawn_high_point(drawn_high_known):
    """One standard error more, as it is drawn."""
    return typed_or(drawn_high_known, BELOW)


@working
def drawn_need_pct_dm_point(drawn_need_pct_dm_known):
    """The need as it is drawn."""
    return typed_or(drawn_need_pct_dm_known, BELOW)


@working
def sample_point_known(drawn_sample, forage_no, drawn_forage_no):
    """What a sample of the drawn forage holds."""
    return np.where(forage_no == drawn_forage_no, drawn_sample, BELOW)


@working
def sample_point(sample_point_known):
    """The same as it is drawn."""
    return typed_or(sample_point_known, BELOW)


@working
def sample_day_on(sampled_on, first_month, year_days):
    """The day of the sample in the season of the plan, whatever its year."""
    return first_month + np.remainder(sampled_on - first_month, year_days)


@working
def sample_point_on(sample_day_on, first_month):
    """The same; a sample without a day stands at the start."""
    return typed_or(sample_day_on, first_month)
