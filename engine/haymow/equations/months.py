"""Means over a month of what changes from day to day: exact, from the curves' own integrals.

``cycle_day`` is the day since calving on which the month starts, from 0 to ``year_days``. The next
calving may fall inside the month; conception is 283 days before it.
"""

import numpy as np

from ..dialect import equation, working
from .energy import CONCEPTUS_ENERGY, NEM_PER_ME, PEAK_WEEK
from .minerals import LATE_DAYS
from .protein import CONCEPTUS_PROTEIN, G_PER_CONCEPTUS_UNIT, MP_USED

__all__ = [
    "gestation_day_first", "gestation_day_last", "lactating_share", "last_90_days_share",
    "milk_month_kg_per_day", "pregnancy_mp_month_g_per_day", "pregnancy_nem_month_mcal_per_day",
    "pregnant_share",
]

GESTATION = 283.0  # days
PEAK_DAY = PEAK_WEEK * 7


@working
def gestation_day_first(cycle_day, year_days):
    """Day of gestation on which the month starts; negative while conception is to come.

    Any shape; days; -83 to 283.

    t = day since calving - (365.25 - 283)

    >>> gestation_day_first(100, 365.25)
    17.75
    """
    return cycle_day - (year_days - GESTATION)


@working
def gestation_day_last(gestation_day_first, days):
    """Day of gestation on which the month ends, 283 where she calves before; negative if open.

    Any shape; days; -55 to 283.

    t = first day of gestation + days of the month, at most 283

    >>> float(gestation_day_last(270, 31))
    283.0
    """
    return np.minimum(gestation_day_first + days, GESTATION)


@working
def pregnant_share(gestation_day_first, gestation_day_last, days, breeds):
    """Share of the month in which the cow is pregnant.

    Any shape; days in, 0 to 1 out; 0 for a class that does not breed (``breeds`` 0).

    share = days of gestation in the month / days

    >>> round(float(pregnant_share(-10, 20, 30, 1)), 3)
    0.667
    """
    return breeds * _days_from(0.0, gestation_day_first, gestation_day_last) / days


@working
def last_90_days_share(gestation_day_first, gestation_day_last, days, breeds):
    """Share of the month that lies in the last 90 days of pregnancy.

    Any shape; days in, 0 to 1 out.

    share = days of the month after day 193 of gestation / days

    >>> float(last_90_days_share(178, 208, 30, 1))
    0.5
    """
    late = _days_from(GESTATION - LATE_DAYS, gestation_day_first, gestation_day_last)
    return breeds * late / days


@working
def lactating_share(cycle_day, days, year_days, weaned_after_days, breeds):
    """Share of the month in which the cow is in milk, also after a calving inside the month.

    Any shape; days in, 0 to 1 out; weaning within the year.

    share = (days before weaning + days after the next calving) / days

    >>> round(float(lactating_share(355.25, 31, 365.25, 205, 1)), 3)
    0.677
    """
    first, last, again = _milking_days(cycle_day, days, year_days, weaned_after_days)
    return breeds * (last - first + again) / days


@equation("NRC2000", "eq. 4-7, integrated; within 0.03 % of its numeric integral", seen=False)
def pregnancy_nem_month_mcal_per_day(gestation_day_first, gestation_day_last, days,
                                     birth_weight_kg, breeds):
    """Net energy for pregnancy, mean of a month, as NEm.

    Any shape; Mcal/day out. The day's curve is the slope of this curve but for rounding of its
    printed coefficients.

    NEm = 0.576 CBW (E(last) - E(first)) / days / 1000,
    E = 0.4504 / 0.03233 exp((0.03233 - 0.0000275 t) t)

    >>> round(float(pregnancy_nem_month_mcal_per_day(249, 251, 2, 38.5, 1)), 2)
    3.33
    """
    grown = _conceptus(CONCEPTUS_ENERGY, gestation_day_first, gestation_day_last)
    return breeds * NEM_PER_ME * birth_weight_kg * grown / 1000 / days


@equation("NRC2000", "eq. 4-9, integrated; within 0.1 % of its numeric integral", seen=False)
def pregnancy_mp_month_g_per_day(gestation_day_first, gestation_day_last, days, birth_weight_kg,
                                 breeds):
    """Metabolizable protein for pregnancy, mean of a month.

    Any shape; g/day out.

    MP = 6.25 CBW (P(last) - P(first)) / days / 0.65,
    P = 0.001669 / 0.0278 exp((0.0278 - 0.0000176 t) t)

    >>> round(float(pregnancy_mp_month_g_per_day(-40, 0, 30, 36, 1)), 1)
    0.0
    """
    grown = _conceptus(CONCEPTUS_PROTEIN, gestation_day_first, gestation_day_last)
    return breeds * G_PER_CONCEPTUS_UNIT * birth_weight_kg * grown / MP_USED / days


@equation("NRC2000", "eq. 4-11, integrated; form remembered", seen=False)
def milk_month_kg_per_day(cycle_day, days, year_days, weaned_after_days, peak_milk_kg_per_day,
                          breeds):
    """Milk, mean of a month; nothing from weaning to the next calving.

    Any shape; days and kg/day in, kg/day out.

    Y = 59.5 PKYD (M(first) - M(last)) / days, M = (1 + d / 59.5) exp(1 - d / 59.5)

    >>> round(float(milk_month_kg_per_day(45, 30, 365.25, 205, 10, 1)), 1)  # about the peak
    9.9
    """
    first, last, again = _milking_days(cycle_day, days, year_days, weaned_after_days)
    given = _to_come(first) - _to_come(last) + _to_come(0.0) - _to_come(again)
    return breeds * peak_milk_kg_per_day * PEAK_DAY * given / days


def _days_from(day, first, last):
    return np.maximum(last, day) - np.maximum(first, day)


def _conceptus(coefficients, first, last):
    """What the conceptus takes from one day of gestation to another, per kg of calf at birth.

    The day's curve (a - b t) exp((c - d t) t) is a / c times the slope of the exponential, because
    b is 2 d a / c to within the rounding of the printed coefficients.
    """
    a, _, c, d = coefficients
    first, last = np.maximum(first, 0), np.maximum(last, 0)
    return a * (np.exp((c - d * last) * last) - np.exp((c - d * first) * first)) / c


def _milking_days(cycle_day, days, year_days, weaned_after_days):
    """Days in milk at the month's start and end, and days in milk after a calving inside it."""
    first = np.minimum(cycle_day, weaned_after_days)
    last = np.minimum(cycle_day + days, weaned_after_days)
    return first, last, np.maximum(cycle_day + days - year_days, 0)


def _to_come(day):
    """Milk still to come from a day on, as a multiple of peak milk times the day of the peak."""
    time = day / PEAK_DAY
    return (1 + time) * np.exp(1 - time)
