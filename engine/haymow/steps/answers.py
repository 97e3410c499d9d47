"""Which sentence says the answer."""

import numpy as np

from ..dialect import typed_or, working

__all__ = [
    "alone_no", "flagged_any", "look_flag", "money_no", "not_known_used", "overall_no", "result_no",
    "sentence_no",
]


@working
def sentence_no(reason_1, class_row):
    """0 nothing planned, 1 to 5 what comes of the first line, 6 not known; blank: no group."""
    return np.where(class_row > 0, typed_or(reason_1, 6.0), 6.0)


@working
def alone_no(short_months):
    """0 forage meets everything, 1 it does not."""
    return np.where(short_months > 0, 1.0, 0.0)


@working
def flagged_any(first_flagged):
    """1 in a month in which forage alone is short or not known."""
    return np.where(first_flagged > 0, 1.0, 0.0)


@working
def not_known_used(not_known, used):
    """Months not known, of lines with a product."""
    return np.where(used > 0, not_known, 0.0)


@working
def result_no(found, finding_no):
    """0 ok, 1 look, 2 note."""
    return np.where(found > 0, finding_no, 0.0)


@working
def look_flag(result_no):
    """1 for a check that wants a look."""
    return np.where(result_no == 1, 1.0, 0.0)


@working
def overall_no(to_look_at):
    """0 all passed, 1 something to look at."""
    return np.where(to_look_at > 0, 1.0, 0.0)


@working
def money_no(all_not_known):
    """0 known, 1 at least."""
    return np.where(all_not_known > 0, 1.0, 0.0)
