"""How sure a number from samples is."""

import numpy as np

from ..dialect import equation, ratio

__all__ = ["chance_enough_pct"]

NORMAL_TAIL = (0.319381530, -0.356563782, 1.781477937, -1.821255978, 1.330274429)
NORMAL_BEND = 0.2316419
FAR = 9.0  # standard errors; beyond it the chance is 0 or 100 % to the last shown digit


@equation("ABRAMOWITZ-STEGUN", "26.2.17; the normal distribution of a mean", seen=False)
def chance_enough_pct(value_pct_dm, needed_pct_dm, standard_error_pct_dm):
    """Chance that the true mean of a forage is at least what is needed.

    Any shape; % of DM in, % out. The standard error is that of the mean of the samples; for few
    samples the chance is a little too sure of itself. Without an error it is 0 or 100 %.

    P = Phi((mean - needed) / standard error), the distribution by a polynomial (to 0.00001 %)

    >>> round(float(chance_enough_pct(8.0, 7.0, 0.6)), 1)
    95.2
    """
    certain = np.where(value_pct_dm >= needed_pct_dm, FAR, -FAR)
    errors = np.clip(ratio(value_pct_dm - needed_pct_dm, standard_error_pct_dm, certain), -FAR, FAR)
    t = 1 / (1 + NORMAL_BEND * np.abs(errors))
    b1, b2, b3, b4, b5 = NORMAL_TAIL
    tail = t * (b1 + t * (b2 + t * (b3 + t * (b4 + t * b5))))
    beyond = 100 * tail * np.exp(-0.5 * errors**2) / np.sqrt(2 * np.pi)
    return np.where(errors < 0, beyond, 100 - beyond)
