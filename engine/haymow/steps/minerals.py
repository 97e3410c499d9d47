"""The whole diet against mineral levels and limits, and what microbes and cow get of protein."""

import numpy as np

from ..dialect import chosen, is_missing, only_if, ratio, typed_or, working
from ..equations.ratios import (
    ca_p_ratio,
    copper_alarms,
    cu_mo_ratio,
    sulfur_most_pct_dm,
    tetany_ratio,
)
from ..equations.supply import mp_from_rup_g_per_day
from ..equations.water import S_PER_SULFATE, water_l_per_day

__all__ = [
    "ca_p_no", "copper_no", "copper_target_known", "days_without_green_days", "diet_ca_p_ratio",
    "diet_ca_pct_dm", "diet_copper_alarms", "diet_cu_mo_ratio", "diet_dm_eaten",
    "diet_dm_kg_per_day", "diet_p_pct_dm", "diet_tdn_eaten", "diet_tdn_per_cp",
    "diet_tetany_ratio", "excess_first", "excess_level", "excess_second", "excess_third",
    "excess_unknown", "feeds_rup_g_per_day", "forage_in_diet_pct", "forage_rup_g_per_day",
    "green_end_on", "green_flag", "green_no", "green_until_on", "green_used_row", "high_flag",
    "in_diet", "level", "level_cu", "most", "most_s", "mp_from_all_rup",
    "mp_from_feeds_rup_g_per_day", "mp_from_forage_rup_g_per_day", "rdp_supply_of_diet",
    "screen_no", "short_flag", "stage_no", "tetany_no", "unknown_flag", "water_at_air_l_per_day",
    "water_brings", "water_brings_fe", "water_brings_mg", "water_brings_na", "water_brings_s",
    "water_used_l_per_day",
]

G_PER_KG = 1000
MILKING_SHARE = 0.5  # of a month in milk, from which it counts as one in milk
LOW_CA_P, HIGH_CA_P = 1.5, 7  # as `ca_p_ratio` says
TETANY = 2.2  # as `tetany_ratio` says
GREEN_DAYS = (60, 120, 180)  # days without green feed: notice, warning, stores gone


@working
def diet_dm_kg_per_day(forage_eaten_kg_per_day, feeds_dm_kg_per_day):
    """Dry matter of the whole diet."""
    return forage_eaten_kg_per_day + feeds_dm_kg_per_day


@working
def forage_in_diet_pct(forage_eaten_kg_per_day, diet_dm_kg_per_day):
    """Forage's part of the whole diet."""
    return ratio(forage_eaten_kg_per_day, diet_dm_kg_per_day, 1.0) * 100


@working
def stage_no(lactating_share, breeds, sex_factor):
    """1 growing and others, 2 gestating, 3 in milk (and bulls, for vitamin A)."""
    milking = (lactating_share >= MILKING_SHARE) | (sex_factor > 1)
    return np.where(milking, 3.0, 1.0 + (breeds > 0))


@working
def water_at_air_l_per_day(air_f, milk_kg_per_day, shrunk_weight_kg):
    """Water drunk at the month's temperature."""
    return water_l_per_day(air_f, milk_kg_per_day, shrunk_weight_kg)


@working
def water_used_l_per_day(water_l_per_day, usual_water_pct_bw, shrunk_weight_kg):
    """The same; by weight where no temperature is typed."""
    return typed_or(water_l_per_day, usual_water_pct_bw / 100 * shrunk_weight_kg)


@working
def level(stage_no, need_growing, need_gestating, need_lactating):
    """Level wanted in the whole diet; 0 where none is set."""
    return chosen(stage_no, need_growing, need_gestating, need_lactating)


@working
def level_cu(copper_target_known, stage_no, need_growing, need_gestating, need_lactating):
    """Copper: more where it is bound."""
    return np.maximum(copper_target_known,
                      chosen(stage_no, need_growing, need_gestating, need_lactating))


@working
def copper_target_known(copper_target_ppm_dm):
    """Copper to aim at; 0 where it cannot be said what binds it."""
    return typed_or(copper_target_ppm_dm, 0.0)


@working
def most(most_used):
    """Most the whole diet should hold; 0 where no limit is set."""
    return most_used * 1


@working
def most_s(forage_in_diet_pct):
    """Sulfur: less where little forage is fed."""
    return sulfur_most_pct_dm(forage_in_diet_pct)


@working
def water_brings(water_used_l_per_day):
    """Minerals that water is not counted for."""
    return water_used_l_per_day * 0


@working
def water_brings_s(water_used_l_per_day, water_sulfate_ppm):
    """Sulfur from sulfate in water, g a day."""
    return water_used_l_per_day * water_sulfate_ppm * S_PER_SULFATE / G_PER_KG


@working
def water_brings_na(water_used_l_per_day, water_sodium_ppm):
    """Sodium from water, g a day."""
    return water_used_l_per_day * water_sodium_ppm / G_PER_KG


@working
def water_brings_mg(water_used_l_per_day, water_magnesium_ppm):
    """Magnesium from water, g a day."""
    return water_used_l_per_day * water_magnesium_ppm / G_PER_KG


@working
def water_brings_fe(water_used_l_per_day, water_iron_ppm):
    """Iron from water, mg a day."""
    return water_used_l_per_day * water_iron_ppm


@working
def in_diet(forage_pct, per_kg, forage_eaten_kg_per_day, brought, water_brings,
            diet_dm_kg_per_day):
    """Content of the whole diet, water included."""
    supplied = forage_pct * per_kg * forage_eaten_kg_per_day + brought + water_brings
    return ratio(supplied, per_kg * diet_dm_kg_per_day, 0.0)


@working
def short_flag(in_diet, level, met_within_pct):
    """1 where the diet holds less than the level."""
    return np.where((level - in_diet) * 100 > met_within_pct * level, 1.0, 0.0)


@working
def high_flag(in_diet, most):
    """1 where the diet holds more than the limit."""
    return np.where((most > 0) & (in_diet > most), 1.0, 0.0)


@working
def unknown_flag(in_diet, class_row, need_lactating, most_used):
    """1 where it is not known, of those with a level or a limit."""
    asked = np.where((class_row > 0) & (need_lactating + most_used > 0), 1.0, 0.0)
    return is_missing(in_diet) * asked


@working
def excess_first(high_flag_mg, high_flag_fe, high_flag_mn):
    """How many of these are known to be above their limits."""
    return typed_or(high_flag_mg, 0.0) + typed_or(high_flag_fe, 0.0) + typed_or(high_flag_mn, 0.0)


@working
def excess_second(high_flag_zn, high_flag_co):
    """The same of these."""
    return typed_or(high_flag_zn, 0.0) + typed_or(high_flag_co, 0.0)


@working
def excess_third(high_flag_i, high_flag_mo):
    """The same of these."""
    return typed_or(high_flag_i, 0.0) + typed_or(high_flag_mo, 0.0)


@working
def excess_unknown(unknown_flag_mg, unknown_flag_fe, unknown_flag_mn, unknown_flag_zn,
                   unknown_flag_co, unknown_flag_i, unknown_flag_mo):
    """How many of all these are not known."""
    return (unknown_flag_mg + unknown_flag_fe + unknown_flag_mn + unknown_flag_zn
            + unknown_flag_co + unknown_flag_i + unknown_flag_mo)


@working
def excess_level(excess_first, excess_second, excess_third, excess_unknown):
    """1 none above its limit, 2 some not known, 4 one above."""
    above = (excess_first + excess_second + excess_third > 0) * 4.0
    return np.maximum(above, 1 + np.minimum(excess_unknown, 1))


@working
def diet_ca_pct_dm(ca_forage_pct, forage_eaten_kg_per_day, ca_brought, diet_dm_kg_per_day):
    """Calcium of the whole diet."""
    return ratio(ca_forage_pct * 10 * forage_eaten_kg_per_day + ca_brought,
                 10 * diet_dm_kg_per_day, 0.0)


@working
def diet_p_pct_dm(p_forage_pct, forage_eaten_kg_per_day, p_brought, diet_dm_kg_per_day):
    """Phosphorus of the whole diet."""
    return ratio(p_forage_pct * 10 * forage_eaten_kg_per_day + p_brought,
                 10 * diet_dm_kg_per_day, 0.0)


@working
def diet_ca_p_ratio(diet_ca_pct_dm, diet_p_pct_dm):
    """Ca:P of the whole diet."""
    return ca_p_ratio(diet_ca_pct_dm, diet_p_pct_dm)


@working
def ca_p_no(diet_ca_p_ratio):
    """0 in order, 1 below 1.5, 2 below 1, 3 above 7."""
    low = (diet_ca_p_ratio < LOW_CA_P) * 1.0 + (diet_ca_p_ratio < 1)
    return low + (diet_ca_p_ratio > HIGH_CA_P) * 3.0


@working
def diet_tetany_ratio(in_diet_k, diet_ca_pct_dm, in_diet_mg):
    """Tetany ratio of the whole diet."""
    return tetany_ratio(in_diet_k, diet_ca_pct_dm, in_diet_mg)


@working
def tetany_no(diet_tetany_ratio):
    """1 above 2.2."""
    return np.where(diet_tetany_ratio > TETANY, 1.0, 0.0)


@working
def diet_cu_mo_ratio(in_diet_cu, in_diet_mo):
    """Cu:Mo of the whole diet."""
    return cu_mo_ratio(in_diet_cu, in_diet_mo)


@working
def diet_copper_alarms(diet_cu_mo_ratio, in_diet_mo, in_diet_s, in_diet_fe):
    """How many things in the diet bind copper."""
    return copper_alarms(diet_cu_mo_ratio, in_diet_mo, in_diet_s, in_diet_fe)


@working
def copper_no(copper_alarms):
    """0 none, 1 one, 2 several."""
    return np.minimum(copper_alarms, 2)


@working
def green_flag(changes, month_green):
    """1 in a month in which the main forage is green, else blank."""
    return only_if(changes * month_green > 0, 1.0)


@working
def green_used_row(green_row):
    """Row of the last green month; blank where there is none."""
    return only_if(green_row > 0, green_row)


@working
def green_end_on(green_first_day, green_days):
    """The day after the last green month."""
    return green_first_day + green_days


@working
def green_until_on(green_end_on, first_month):
    """The same; the plan's start where it holds no green month yet."""
    return typed_or(green_end_on, first_month)


@working
def days_without_green_days(first_day, days, green_until_on, class_row):
    """Days without green feed at the month's end: at least so many."""
    return np.where(class_row > 0, np.maximum(first_day + days - green_until_on, 0), 0.0)


@working
def green_no(days_without_green_days):
    """0 to 60 days, then 1, 2 from 120, 3 from 180."""
    day, (first, second, third) = days_without_green_days, GREEN_DAYS
    return (day >= first) * 1.0 + (day >= second) + (day >= third)


# --- protein
@working
def rdp_supply_of_diet(diet_rdp_kg_per_day):
    """RDP of the whole diet."""
    return diet_rdp_kg_per_day * G_PER_KG


@working
def diet_tdn_eaten(diet_tdn_kg_per_day):
    """TDN of the whole diet."""
    return diet_tdn_kg_per_day * 1


@working
def diet_dm_eaten(diet_dm_kg_per_day):
    """Dry matter of the whole diet."""
    return diet_dm_kg_per_day * 1


@working
def diet_tdn_per_cp(diet_tdn_kg_per_day, diet_cp_kg_per_day):
    """TDN:CP of the whole diet."""
    return ratio(diet_tdn_kg_per_day, diet_cp_kg_per_day, 0.0)


@working
def forage_rup_g_per_day(diet_cp_kg_per_day, feeds_cp_kg_per_day, diet_rdp_kg_per_day,
                         feeds_rdp_kg_per_day):
    """Undegradable protein of the forage."""
    protein = diet_cp_kg_per_day - feeds_cp_kg_per_day
    return (protein - (diet_rdp_kg_per_day - feeds_rdp_kg_per_day)) * G_PER_KG


@working
def feeds_rup_g_per_day(feeds_cp_kg_per_day, feeds_rdp_kg_per_day):
    """Undegradable protein of the feeds."""
    return (feeds_cp_kg_per_day - feeds_rdp_kg_per_day) * G_PER_KG


@working
def mp_from_forage_rup_g_per_day(forage_rup_g_per_day, forage_rup_digested_pct):
    """Metabolizable protein from it."""
    return mp_from_rup_g_per_day(forage_rup_g_per_day, forage_rup_digested_pct)


@working
def mp_from_feeds_rup_g_per_day(feeds_rup_g_per_day, feeds_rup_digested_pct):
    """Metabolizable protein from it."""
    return mp_from_rup_g_per_day(feeds_rup_g_per_day, feeds_rup_digested_pct)


@working
def mp_from_all_rup(mp_from_forage_rup_g_per_day, mp_from_feeds_rup_g_per_day):
    """Metabolizable protein from undegradable protein."""
    return mp_from_forage_rup_g_per_day + mp_from_feeds_rup_g_per_day


@working
def rdp_unknown(rdp_balance_g_per_day, class_row):
    """1 where RDP of the diet is not known."""
    return np.where(class_row > 0, is_missing(rdp_balance_g_per_day), 0.0)


@working
def screen_no(tdn_per_cp, diet_tdn_per_cp, most_tdn_per_cp):
    """0 in step, 1 forage alone short of nitrogen, 2 the whole diet too."""
    alone = (tdn_per_cp > most_tdn_per_cp) * 1.0
    return np.maximum(alone, (diet_tdn_per_cp > most_tdn_per_cp) * 2.0)
