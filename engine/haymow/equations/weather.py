"""What cold, heat, wind and mud do to energy need and intake.

Temperatures are in degrees Fahrenheit and wind in miles per hour, as the tables print them.
"""

import numpy as np

from ..dialect import chosen, equation, piecewise, working

__all__ = [
    "air_f", "cold_energy_pct", "cold_nem_mcal_per_day", "cold_uncapped_pct", "heat_factor",
    "intake_mud_factor", "intake_temperature_factor", "wind_chill_f", "wind_mph",
]

COLD_MOST = 50.0  # %; above, nobody can feed it: shown as "cannot be fed"


@equation("STANDARD", "degrees", seen=True)
def air_f(air_c):
    """Air temperature in degrees Fahrenheit from degrees Celsius.

    Any shape.

    F = 32 + 1.8 * C

    >>> air_f(-10)
    14.0
    """
    return 32 + 1.8 * air_c


@equation("STANDARD", "miles", seen=True)
def wind_mph(wind_km_per_h):
    """Wind in miles per hour from kilometers per hour.

    Any shape.

    mph = km/h / 1.609344

    >>> round(wind_mph(16.09344), 6)
    10.0
    """
    return wind_km_per_h / 1.609344


@equation("SDSU-COLD", "table 1, and KSU-COLD table 2 for 5 mph above 30 F", seen=True)
def wind_chill_f(air_f, wind_mph):
    """Effective temperature for cattle in wind.

    Any shape; air and wind in, degrees F out; the printed table (air -10 to 30 F, wind 5 to 30 mph)
    with straight lines both ways. Calm air is its own temperature; beyond the table its last line
    holds on, which is our choice. Not the wind chill of people.

    air less 6 to 7 at 5 mph, 11 to 12 at 10, 20 to 21 at 20, 36 to 37 at 30 mph

    >>> float(wind_chill_f(15, 5)), float(wind_chill_f(25, 20))
    (8.0, 4.5)
    """
    return air_f - piecewise(wind_mph, (
        (0.0, 0.0),
        (5.0, piecewise(air_f, ((5.0, 6.0), (10.0, 7.0)))),
        (10.0, piecewise(air_f, ((10.0, 11.0), (20.0, 12.0)))),
        (20.0, piecewise(air_f, ((20.0, 20.0), (30.0, 21.0)))),
        (30.0, piecewise(air_f, ((0.0, 36.0), (10.0, 37.0), (20.0, 36.0)))),
    ))


@equation("SDSU-COLD", "1 % per degree; 2 % for wet coats by OSU-COLD", seen=True)
def cold_uncapped_pct(coat_limit_f, wind_chill_f, cold_pct_per_f):
    """How much cold raises the energy need, without a limit.

    Any shape; degrees F, % per degree in, % out. Protein, minerals and vitamins do not rise.

    rise = (critical temperature - effective temperature) * % per degree, at least 0

    >>> float(cold_uncapped_pct(32, 4, 1))
    28.0
    """
    return np.maximum(coat_limit_f - wind_chill_f, 0) * cold_pct_per_f


@working
def cold_energy_pct(cold_uncapped_pct):
    """How much cold raises the energy need, as far as it can be fed.

    Any shape; % in and out, at most 50.

    rise = min(rise, 50)

    >>> float(cold_energy_pct(110))
    50.0
    """
    return np.minimum(cold_uncapped_pct, COLD_MOST)


@working
def cold_nem_mcal_per_day(nem_without_gain_mcal_per_day, maintenance_nem_mcal_per_day,
                          cold_energy_pct, cold_on_total):
    """Energy that cold adds, to the whole need (1) or to maintenance only (0).

    Any shape; Mcal/day, % and 0 or 1 in, Mcal/day out. Printed examples raise the whole need.

    NEm = need * rise / 100

    >>> float(cold_nem_mcal_per_day(12, 9, 10, 1)), float(cold_nem_mcal_per_day(12, 9, 10, 0))
    (1.2, 0.9)
    """
    raised = np.where(cold_on_total > 0, nem_without_gain_mcal_per_day,
                      maintenance_nem_mcal_per_day)
    return raised * cold_energy_pct / 100


@equation("NRC2000", "heat; remembered", seen=False)
def heat_factor(panting_no):
    """Maintenance in heat beside that in comfort: an advisory, off by default.

    Any shape; 1 none, 2 rapid shallow panting, 3 deep panting with open mouth.

    1, 1.07, 1.18

    >>> float(heat_factor(2.0))
    1.07
    """
    return chosen(panting_no, 1.0, 1.07, 1.18)


@equation("NRC2000", "intake and temperature; remembered", seen=False)
def intake_temperature_factor(air_c, nights_cool):
    """Intake in heat or cold beside that at 15 to 25 C; nights_cool is 1 where nights cool down.

    Any shape; degrees C in, factor out. Grazing cattle may graze less in frost: never add the
    bonus of cold to pasture.

    1.16 below -15 C, 1.07 to -5, 1.05 to 5, 1.03 to 15, 1.00 to 25, 0.90 to 35, above 0.65 or 0.90

    >>> [round(float(intake_temperature_factor(c, 0.0)), 2) for c in (-20, -10, 0, 10, 20, 30, 40)]
    [1.16, 1.07, 1.05, 1.03, 1.0, 0.9, 0.65]
    """
    hot = (air_c > 35) & (nights_cool <= 0)
    return (1.16 + np.where(air_c >= -15, -0.09, 0.0) + np.where(air_c >= -5, -0.02, 0.0)
            + np.where(air_c >= 5, -0.02, 0.0) + np.where(air_c >= 15, -0.03, 0.0)
            + np.where(air_c > 25, -0.10, 0.0) + np.where(hot, -0.25, 0.0))


@equation("NRC2000", "intake and mud; remembered", seen=False)
def intake_mud_factor(mud_no):
    """Intake in mud: 1 none, 2 of 10 to 20 cm, 3 of 30 to 60 cm.

    Any shape; factor out. Loss of gain and extra energy in mud are other numbers.

    1, 0.85, 0.70

    >>> float(intake_mud_factor(3.0))
    0.7
    """
    return chosen(mud_no, 1.0, 0.85, 0.70)
