"""A storm: how much more energy for some days, how much forage that is, what cannot be fed."""

import numpy as np

from ..dialect import is_missing, month_of_year, only_if, typed_or, working
from ..equations.weather import COLD_MOST

__all__ = []

LEAST_RISE = 0.05  # %; less is no rise: the sheet shows whole percents


# --- the forecast
@working
def storm_month_no(storm_moy, first_month, months):
    """Month of the plan that bears this name, the first of them; none where the plan has none."""
    number = np.remainder(storm_moy - month_of_year(first_month), 12) + 1
    return only_if(number <= months, number)


@working
def storm_air_f(storm_air, f_per_degree, f_at_zero):
    """Air temperature in degrees F."""
    return storm_air * f_per_degree + f_at_zero


@working
def storm_wind_mph(storm_wind, mph_per_wind_unit):
    """Wind in mph."""
    return storm_wind * mph_per_wind_unit


@working
def feels_like(wind_chill_f, f_per_degree, f_at_zero):
    """Effective temperature in the workbook's degrees."""
    return (wind_chill_f - f_at_zero) / f_per_degree


@working
def critical_shown(coat_limit_f, f_per_degree, f_at_zero):
    """Critical temperature of the coat in the workbook's degrees."""
    return (coat_limit_f - f_at_zero) / f_per_degree


@working
def forecast_no(cold_uncapped_pct):
    """0 not cold enough, 1 more energy, 2 more than can be fed."""
    return (np.where(cold_uncapped_pct > LEAST_RISE, 1.0, 0.0)
            + np.where(cold_uncapped_pct > COLD_MOST + LEAST_RISE, 1.0, 0.0))


# --- a group
@working
def storm_more_pct(storm_rise_pct, month_cold_pct):
    """Rise that can be fed over that which the month's need already holds."""
    return np.maximum(storm_rise_pct - month_cold_pct, 0)


@working
def storm_base_share(cold_on_total, month_cold_pct, maintenance_nem_mcal_per_day,
                     nem_need_mcal_per_day):
    """Part of the need that rises: all of it as it is without cold, or maintenance only."""
    return np.where(cold_on_total > 0, 100 / (100 + month_cold_pct),
                    maintenance_nem_mcal_per_day / nem_need_mcal_per_day)


@working
def storm_extra_tdn_kg_per_day(usual_tdn_kg_per_day, storm_base_share, storm_more_pct):
    """TDN that is needed more."""
    return usual_tdn_kg_per_day * storm_base_share * storm_more_pct / 100


@working
def storm_tdn_kg_per_day(usual_tdn_kg_per_day, storm_extra_tdn_kg_per_day):
    """TDN needed in the storm, as far as it can be fed."""
    return usual_tdn_kg_per_day + storm_extra_tdn_kg_per_day


@working
def storm_extra_kg_per_day(storm_extra_tdn_kg_per_day, storm_forage_tdn_pct,
                           storm_forage_dm_pct):
    """Forage, as fed, that brings the TDN needed more."""
    per_kg = storm_forage_tdn_pct * storm_forage_dm_pct / 10000
    return only_if(per_kg > 0, storm_extra_tdn_kg_per_day / per_kg)


@working
def storm_group_kg_per_day(storm_extra_kg_per_day, head):
    """The same for the whole group."""
    return storm_extra_kg_per_day * head


@working
def storm_after_days(storm_carry_days):
    """Days after the storm on which the extra goes on."""
    return storm_carry_days * 1


@working
def storm_feeding_days(storm_days, storm_after_days):
    """Days of the storm and those after it."""
    return storm_days + storm_after_days


@working
def storm_all_tonne(storm_group_kg_per_day, storm_feeding_days):
    """Forage for the group in the storm and after."""
    return storm_group_kg_per_day * storm_feeding_days / 1000


@working
def storm_eaten_pct_bw(intake_kg_per_day, storm_extra_kg_per_day, storm_forage_dm_pct,
                       shrunk_weight_kg):
    """Forage dry matter with the extra, by body weight."""
    eaten = intake_kg_per_day + storm_extra_kg_per_day * storm_forage_dm_pct / 100
    return eaten / shrunk_weight_kg * 100


@working
def storm_known_no(forecast_no, storm_more_pct, storm_extra_kg_per_day):
    """2 nothing more to feed, 3 feed more, 4 more than can be fed."""
    return 2 + np.where(storm_more_pct > LEAST_RISE, forecast_no, 0.0)


@working
def storm_group_no(forecast_no, storm_known_no):
    """0 no forecast, 1 need or forage not known, 2 to 4 as above."""
    return np.where(is_missing(forecast_no) > 0, 0.0, typed_or(storm_known_no, 1.0))


@working
def storm_no(class_row, storm_group_no):
    """The same; blank where there is no group."""
    return storm_group_no * 1
