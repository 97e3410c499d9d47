"""How many cores, bags and tests a lot needs, and how sure the result then is: pure arithmetic.

Spots (bales, places on a pasture), cores of one bale, parts of an unground composite and tests are
separate sources of variance: more of one does nothing about another.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from .equations.surety import (
    chance_enough_pct,
    sampling_error_pct_dm,
    spots_of_lot,
    spots_wanted,
)
from .problems import InputError, within
from .tables.small import rows_of

__all__ = [
    "LEAST_RESULTS", "NITRATE_LOG_SD", "Design", "Prices", "Spread", "chance", "cheapest",
    "cores_per_bale", "cost", "margin_of", "nitrate_range", "number_of_tests", "own_sd",
    "spots_for", "spread_for", "standard_error", "weighted",
]

LEAST_RESULTS = 5  # results of one's own from which their spread replaces the default
NITRATE_LOG_SD = 0.6  # OPEN-SPREADS: of the logarithm, within field and treatment, 63 df
MOST_SPOTS, MOST_TESTS = 1000, 12
ROUNDING = 1e-9  # 18.000000000001 cores are 18


@dataclass(frozen=True)
class Spread:
    """Standard deviations of one analyte, in its unit: between spots, cores, parts, tests."""

    spot: float
    core: float = 0.0
    split: float = 0.0
    test: float = 0.0


@dataclass(frozen=True)
class Design:
    """What is taken and tested: spots over all bags, cores of each spot, bags, tests of each."""

    spots: int
    cores_per_spot: int = 1
    bags: int = 1
    tests_per_bag: int = 1

    @property
    def tests(self) -> int:
        """Tests over all bags."""
        return self.bags * self.tests_per_bag


@dataclass(frozen=True)
class Prices:
    """What sampling costs, $: going to a bale or spot, a core, mailing a bag, a test."""

    spot: float = 0.0
    core: float = 0.0
    bag: float = 0.0
    test: float = 0.0


def spread_for(how: str, nutrient: str, mean: float | None = None,
               results: Sequence[float] = ()) -> Spread:
    """The spread to plan with: of one's own single-spot results once there are five, else usual.

    Parameters
    ----------
    how, nutrient : str
        A kind of sample and an analyte of ``data/sampling_defaults.csv``.
    mean : float, optional
        What is expected, where the usual spread is a share of it; else a typical value.
    results : sequence of float
        Own results of single spots or cores, each tested by itself.

    Raises
    ------
    InputError
        There is no usual spread of that kind of sample and analyte.
    """
    row = next((r for r in rows_of("sampling_defaults")
                if r["how"] == how and r["nutrient"] == nutrient), None)
    if row is None:
        raise InputError(f"There is no usual spread of '{nutrient}' in '{how}'; expected one of"
                         " data/sampling_defaults.csv.")
    own = own_sd(results)
    middle = float(np.mean(results)) if own is not None else mean
    middle = float(row["typical"]) if middle is None else middle
    test = float(row["test_sd"]) + float(row["test_cv_pct"]) * middle / 100
    if own is not None:  # their spread holds that of the tests too
        return Spread(math.sqrt(max(own**2 - test**2, 0.0)), test=test)
    return Spread(float(row["spot_sd"]) + float(row["spot_cv_pct"]) * middle / 100, test=test)


def own_sd(results: Sequence[float]) -> float | None:
    """Standard deviation of own results; None below five of them."""
    return float(np.std(results, ddof=1)) if len(results) >= LEAST_RESULTS else None


def number_of_tests(sd: float, margin: float, confidence_pct: float = 95.0) -> int:
    """Samples, each tested by itself, for a mean within ``margin``: ``n = (t(n-1) sd / E)^2``.

    Raises InputError for a margin or confidence out of range, or if more than 1,000 are needed.
    """
    from scipy.stats import t

    _checked(margin, confidence_pct)
    two_sided = 0.5 + confidence_pct / 200
    for n in range(2, MOST_SPOTS + 1):
        if n >= (t.ppf(two_sided, n - 1) * sd / margin) ** 2 - ROUNDING:
            return n
    raise _too_many(margin)


def spots_for(spread: Spread, margin: float, *, cores_per_spot: int = 1, tests: int = 1,
              pieces: int | None = None, confidence_pct: float = 95.0) -> int:
    """Spots of composites whose tested mean lies within ``margin``, of a lot of ``pieces`` if any.

    Raises InputError, with the number of tests that would do, where no number of spots does.
    """
    errors = _checked(margin, confidence_pct)
    field = math.hypot(spread.spot, spread.core / math.sqrt(cores_per_spot))
    tested = math.hypot(spread.split, spread.test)
    wanted = float(spots_wanted(field, tested, margin, errors, tests))
    if math.isnan(wanted):
        least = math.floor((tested * errors / margin) ** 2) + 1
        raise InputError(f"No number of spots brings the mean within {margin:g}: {tests} test(s)"
                         f" alone are less sure than that; test at least {least} times.")
    if pieces is not None:
        wanted = float(spots_of_lot(max(wanted, 1.0), float(pieces)))
    if wanted > MOST_SPOTS:
        raise _too_many(margin)
    return max(math.ceil(wanted - ROUNDING), 1)


def standard_error(spread: Spread, design: Design) -> float:
    """Standard error of the tested mean."""
    return float(sampling_error_pct_dm(
        spread.spot, spread.core, spread.split, spread.test, float(design.spots),
        float(design.cores_per_spot), float(design.tests)))


def margin_of(spread: Spread, design: Design, confidence_pct: float = 95.0) -> float:
    """How far the tested mean may be from the true one, either side."""
    return _checked(1.0, confidence_pct) * standard_error(spread, design)


def cores_per_bale(spread: Spread, bale_usd: float, core_usd: float) -> int:
    """Cores to take of each bale: ``sqrt(bale cost / core cost) * core SD / bale SD``, at least 1.

    >>> cores_per_bale(Spread(spot=1.5, core=1.0), bale_usd=0.5, core_usd=0.5)
    1
    """
    if spread.spot <= 0 or core_usd <= 0:
        raise InputError("Spread between bales and cost of a core must be above 0.")
    return max(math.floor(math.sqrt(bale_usd / core_usd) * spread.core / spread.spot), 1)


def cost(design: Design, prices: Prices) -> float:
    """What a design costs, $.

    >>> cost(Design(spots=20), Prices(bag=15, test=30))
    45.0
    """
    each = prices.spot + design.cores_per_spot * prices.core
    return float(design.spots * each + design.bags * prices.bag + design.tests * prices.test)


def cheapest(spread: Spread, margin: float, prices: Prices, *, pieces: int | None = None,
             confidence_pct: float = 95.0) -> Design:
    """The cheapest design of one bag that keeps the margin, over its number of tests.

    Raises InputError where twelve tests do not keep it.
    """
    found, refused = [], InputError("")
    for tests in range(1, MOST_TESTS + 1):
        try:
            spots = spots_for(spread, margin, tests=tests, pieces=pieces,
                              confidence_pct=confidence_pct)
        except InputError as error:
            refused = error
            continue
        found.append(Design(spots, tests_per_bag=tests))
    if not found:
        raise refused
    return min(found, key=lambda design: cost(design, prices))


def nitrate_range(value_ppm: float, spots: int = 1, confidence_pct: float = 95.0
                  ) -> tuple[float, float]:
    """Between which values the true nitrate lies: its spread is even on the log scale.

    >>> low, high = nitrate_range(1000.0)
    >>> round(low), round(high)
    (309, 3241)
    """
    errors = _checked(1.0, confidence_pct)
    fold = math.exp(errors * NITRATE_LOG_SD / math.sqrt(spots))
    return value_ppm / fold, value_ppm * fold


def chance(mean: float, needed: float, error: float, results: int | None = None) -> float:
    """Chance, %, that the true mean is at least what is needed; Student's t for few ``results``."""
    if results is None or results < 2:
        return float(chance_enough_pct(mean, needed, error))
    from scipy.stats import t

    return float(100 * t.cdf((mean - needed) / error, results - 1))


def weighted(values: Sequence[float], weights: Sequence[float], errors: Sequence[float]
             ) -> tuple[float, float]:
    """Mean by weights (tons of dry matter, area, part of the diet) and its standard error.

    >>> mean, error = weighted([8.0, 6.0], [30.0, 10.0], [0.6, 0.6])
    >>> round(mean, 2), round(error, 3)
    (7.5, 0.474)
    """
    part = np.asarray(weights, float) / np.sum(weights)
    mean = float(np.sum(part * np.asarray(values, float)))
    return mean, float(np.sqrt(np.sum((part * np.asarray(errors, float)) ** 2)))


def _checked(margin: float, confidence_pct: float) -> float:
    """Standard errors in a margin of that confidence."""
    from scipy.special import ndtri

    within("The wanted margin", margin, 1e-6, 1e6, "")
    within("The confidence", confidence_pct, 50, 99.9, "%")
    return float(ndtri(0.5 + confidence_pct / 200))


def _too_many(margin: float) -> InputError:
    return InputError(f"A mean within {margin:g} needs more than {MOST_SPOTS:,} spots; accept a"
                      " wider margin.")
