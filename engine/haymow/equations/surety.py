"""How sure a number from samples is, and how many samples make it as sure as wanted."""

import numpy as np

from ..dialect import equation, normal_chance, only_if, ratio

__all__ = [
    "chance_enough_pct", "combined_error_pct_dm", "combined_pct_dm", "sampling_error_pct_dm",
    "spots_of_lot", "spots_wanted",
]

LEAST_VARIANCE = 1e-9
FAR = 9.0  # standard errors; beyond it the chance is 0 or 100 % to the last shown digit


@equation("STATISTICS", "the normal distribution of a mean", seen=False)
def chance_enough_pct(value_pct_dm, needed_pct_dm, standard_error_pct_dm):
    """Chance that the true mean of a forage is at least what is needed.

    Any shape; % of DM in, % out. The standard error is that of the mean of the samples; for few
    samples the chance is a little too sure of itself. Without an error it is 0 or 100 %.

    P = Phi((mean - needed) / standard error)

    >>> round(float(chance_enough_pct(8.0, 7.0, 0.6)), 1)
    95.2
    """
    certain = np.where(value_pct_dm >= needed_pct_dm, FAR, -FAR)
    errors = ratio(value_pct_dm - needed_pct_dm, standard_error_pct_dm, certain)
    return 100 * normal_chance(np.clip(errors, -FAR, FAR))


@equation("STATISTICS", "variance of the mean of a composite, by stages", seen=False)
def sampling_error_pct_dm(spot_sd_pct_dm, core_sd_pct_dm, split_sd_pct_dm, test_sd_pct_dm, spots,
                          cores_per_spot, tests):
    """Standard error of the tested mean of a lot or pasture.

    Any shape; standard deviations between spots (or bales), between cores of one spot, between
    parts of an unground composite, and between repeated tests, % of DM. ``spots`` and ``tests``
    are counted over all composites.

    SE^2 = spot^2/n + core^2/(n k) + (split^2 + test^2)/m

    >>> round(float(sampling_error_pct_dm(2.0, 0.0, 0.30, 0.35, 20.0, 1.0, 1.0)), 2)
    0.64
    """
    field = (spot_sd_pct_dm**2 + core_sd_pct_dm**2 / cores_per_spot) / spots
    return np.sqrt(field + (split_sd_pct_dm**2 + test_sd_pct_dm**2) / tests)


@equation("STATISTICS", "number of spots of a composite for a wanted margin", seen=False)
def spots_wanted(spot_sd_pct_dm, test_sd_pct_dm, margin_pct_dm, margin_errors, tests):
    """Spots or cores that bring the tested mean within the wanted margin; not rounded up.

    Any shape; % of DM in. Unknown where no number of spots will do, because the tests alone are
    less sure than the margin: then more tests are needed.

    n = spot^2 / ((margin / z)^2 - test^2/m)

    >>> round(float(spots_wanted(1.5, 0.5, 1.2, 1.96, 1.0)))
    18
    """
    allowed, taken = (margin_pct_dm / margin_errors) ** 2, test_sd_pct_dm**2 / tests
    left = np.maximum(allowed - taken, LEAST_VARIANCE)  # decided below, by what was typed
    return only_if(allowed > taken, spot_sd_pct_dm**2 / left)


@equation("STATISTICS", "sampling without replacement from a finite lot", seen=False)
def spots_of_lot(spots_wanted, lot_pieces):
    """Bales to sample of a lot of so many; not rounded up.

    Any shape; counts in and out.

    n' = n / (1 + (n - 1) / N)

    >>> round(float(spots_of_lot(20.0, 40.0)), 1)
    13.6
    """
    return spots_wanted / (1 + (spots_wanted - 1) / lot_pieces)


@equation("STATISTICS", "two estimates combined by their precision", seen=False)
def combined_pct_dm(prior_pct_dm, prior_sd_pct_dm, value_pct_dm, standard_error_pct_dm):
    """A test pulled toward a table value, by how sure each of them is.

    Any shape; % of DM in and out. The table value counts with its own spread between lots.

    mean = (prior/s0^2 + value/SE^2) / (1/s0^2 + 1/SE^2)

    >>> round(float(combined_pct_dm(8.0, 2.0, 6.0, 1.0)), 1)
    6.4
    """
    share = ratio(prior_sd_pct_dm**2, prior_sd_pct_dm**2 + standard_error_pct_dm**2, 1.0)
    return prior_pct_dm + (value_pct_dm - prior_pct_dm) * share


@equation("STATISTICS", "two estimates combined by their precision", seen=False)
def combined_error_pct_dm(prior_sd_pct_dm, standard_error_pct_dm):
    """Standard error of a test that was pulled toward a table value.

    Any shape; % of DM in and out.

    1 / SE'^2 = 1/s0^2 + 1/SE^2

    >>> round(float(combined_error_pct_dm(2.0, 1.0)), 3)
    0.894
    """
    together = np.sqrt(prior_sd_pct_dm**2 + standard_error_pct_dm**2)
    return ratio(prior_sd_pct_dm * standard_error_pct_dm, together, 0.0)
