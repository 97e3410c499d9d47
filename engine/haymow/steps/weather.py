"""Weather of a month, from what the user types to factors on need and intake."""

import numpy as np

from ..dialect import typed_or, working
from ..equations.weather import heat_factor, intake_mud_factor, intake_temperature_factor

__all__ = [
    "air_c_of_f", "chill_used_f", "cold_no", "cold_share_pct", "cold_used_pct", "mud_factor",
    "own_cold_nem_mcal_per_day", "panting_factor", "temperature_factor",
    "temperature_used_factor", "typed_air_f", "typed_wind_mph",
]


@working
def typed_air_f(air, f_per_degree, f_at_zero):
    """Air temperature in degrees F."""
    return air * f_per_degree + f_at_zero


@working
def typed_wind_mph(wind, mph_per_wind_unit):
    """Wind in mph."""
    return wind * mph_per_wind_unit


@working
def chill_used_f(windy_f, air_f):
    """Effective temperature: with the wind typed, else the air's."""
    return typed_or(windy_f, air_f)


@working
def cold_no(cold_uncapped_pct, cold_energy_pct):
    """0 no cold stress, 1 more energy, 2 more than can be fed."""
    return (cold_uncapped_pct > 0) * 1.0 + (cold_uncapped_pct > cold_energy_pct)


@working
def mud_factor(mud_no):
    """Intake in mud."""
    return intake_mud_factor(mud_no)


@working
def panting_factor(panting_no):
    """Maintenance in heat."""
    return heat_factor(panting_no)


@working
def air_c_of_f(air_f):
    """Air temperature in degrees C."""
    return (air_f - 32) / 1.8


@working
def temperature_factor(air_c, nights_cool):
    """Intake by the temperature."""
    return intake_temperature_factor(air_c, nights_cool)


@working
def temperature_used_factor(temperature_factor, intake_weather):
    """The same; 1 where the setting is off or no temperature is typed."""
    return np.where(intake_weather > 0, typed_or(temperature_factor, 1.0), 1.0)


@working
def cold_share_pct(cold_energy_pct):
    """Rise of the need in cold; none where no weather is typed."""
    return typed_or(cold_energy_pct, 0.0)


@working
def cold_used_pct(cold_used_pct_of_need):
    """The same, to be read."""
    return cold_used_pct_of_need * 1


@working
def own_cold_nem_mcal_per_day(nem_in_comfort_mcal_per_day, maintenance_nem_mcal_per_day,
                              cold_used_pct_of_need, cold_on_total, heat_used_factor):
    """Energy that cold and heat add."""
    raised = np.where(cold_on_total > 0, nem_in_comfort_mcal_per_day,
                      maintenance_nem_mcal_per_day)
    heat = maintenance_nem_mcal_per_day * (heat_used_factor - 1)
    return raised * cold_used_pct_of_need / 100 + heat
