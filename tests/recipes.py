"""How printed tables were made where that is not how an animal is fed, and their conversions.

End of month, gestation counted to 280 days, intake solved from the need: such conventions live
here, in the tests, and nowhere in the product. A recipe stands under the quantity it gives; its
parameters are quantities, or words of a row.
"""

import csv
from importlib.resources import files

import numpy as np
from scipy.optimize import brentq

from haymow.dialect import EQUATIONS
from haymow.equations import ratios, safety, supply, tags, water
from haymow.equations.forage import feed_de_mcal_per_kg, feed_me_mcal_per_kg
from haymow.equations.forage import feed_neg_mcal_per_kg as neg_of_me
from haymow.equations.forage import feed_nem_mcal_per_kg as nem_of_me
from haymow.equations.intake import (
    LEAST_DIVISOR,
    calf_intake_kg_per_day,
    yearling_intake_kg_per_day,
)
from haymow.evaluate import Values
from haymow.ranch import Ranch, sizes_for
from haymow.steps import harmful, minerals
from haymow.steps.balance import from_forage, over
from haymow.steps.feeding import bought_tonne, net_per_kg, wanted_kg_per_day
from haymow.steps.needs import as_fed_per_dm
from haymow.tables.make import make
from haymow.units import KG_PER_LB, TONNE_PER_TON

MONTH = 30.4  # days, in the tables
MET_WITHIN_PCT = 0.1  # the default setting
TABLE_TDN = 0.982  # what cow tables print per TDN of the NEm cubic; fitted, of the tables only


def data(name):
    """The rows of a data file of the product."""
    text = files("haymow").joinpath(f"data/{name}.csv").read_text("utf-8")
    return list(csv.DictReader(text.splitlines()))


def looked_up(name, column, number=0, **where):
    """A number of a data file, of the row (or the row with this number) that has these words."""
    found = [row for row in data(name) if all(row[key] == word for key, word in where.items())]
    return float(found[int(number)][column])


def stage(month, birth_weight_kg):
    """A cow at the end of a month since calving, as the tables have her: weaned after month 6."""
    conceived = 280 - (12 - month) * MONTH
    pregnant, milked = float(conceived > 0), float(month <= 6)
    return {
        "day_of_gestation": max(conceived, 0.0), "birth_weight_kg": birth_weight_kg * pregnant,
        "pregnant_share": pregnant, "lactating_share": milked,
        "week_of_lactation": month * MONTH / 7 * milked,
        "last_90_days_share": float(conceived > 193),
    }


def total_nem(maintenance_nem_mcal_per_day, pregnancy_nem_mcal_per_day, lactation_nem_mcal_per_day):
    return maintenance_nem_mcal_per_day + pregnancy_nem_mcal_per_day + lactation_nem_mcal_per_day


def energies(tdn):
    me = feed_me_mcal_per_kg(feed_de_mcal_per_kg(tdn))
    return nem_of_me(me), neg_of_me(me)


def growing_tdn(intake, metabolic_weight_kg, maintenance, gain):
    """TDN at which the predicted intake just carries maintenance and gain."""
    def left(tdn):
        nem, neg = energies(tdn)
        return (intake(metabolic_weight_kg, nem) - maintenance / nem) * neg - gain
    return brentq(left, 42, 95)


def nem_per_lb_coefficient(power):
    """Coefficient of a power of TDN in the NEm of a pound of feed."""
    tdn = np.linspace(40, 80, 9)
    return np.polynomial.polynomial.polyfit(tdn, energies(tdn)[0] * KG_PER_LB, 3)[int(power)]


def on_supplements(column, nutrient):
    """A price of the sheet Supplements: typed there as printed, read from its column."""
    def price(price_usd_per_tonne, dm_pct_as_fed, tag_pct, basis):
        entries = {"Supplements": {2: {
            "product": "It", "price": price_usd_per_tonne, "basis": basis,
            "reported.dm": dm_pct_as_fed, f"reported.{nutrient}": tag_pct}}}
        ranch = Ranch(entries, {}, sizes_for(entries), us=False)
        return Values(make(ranch), ranch).column("Supplements", column)[1]
    return price


RECIPES = {
    "cp_price_usd_per_kg": on_supplements("cp_price_usd_per_kg", "cp"),
    "tdn_price_usd_per_kg": on_supplements("tdn_price_usd_per_kg", "tdn"),
    "nem_need_mcal_per_day": total_nem,
    "diet_nem_mcal_per_kg": lambda feed_nem_mcal_per_kg: feed_nem_mcal_per_kg,
    "table_intake_kg_per_day":
        lambda nem_need_mcal_per_day, cow_density_mcal_per_kg:
        nem_need_mcal_per_day / cow_density_mcal_per_kg,
    "table_yearling_intake_kg_per_day":  # printed tables divide by the NEm as it is, however low
        lambda yearling_intake_kg_per_day, diet_nem_mcal_per_kg:
        yearling_intake_kg_per_day * max(1.0, LEAST_DIVISOR / diet_nem_mcal_per_kg),
    "needed_density_mcal_per_kg": lambda cow_density_mcal_per_kg: cow_density_mcal_per_kg,
    "tdn_at_density_pct_dm":
        lambda needed_density_mcal_per_kg:
        EQUATIONS["tdn_at_nem_pct_dm"](needed_density_mcal_per_kg),
    "table_tdn_pct_dm": lambda tdn_at_density_pct_dm: TABLE_TDN * tdn_at_density_pct_dm,
    "table_tdn_kg_per_day":
        lambda table_intake_kg_per_day, table_tdn_pct_dm:
        table_intake_kg_per_day * table_tdn_pct_dm / 100,
    "table_cp_pct_dm":
        lambda cp_need_kg_per_day, table_intake_kg_per_day:
        100 * cp_need_kg_per_day / table_intake_kg_per_day,
    "cp_in_intake_pct_dm":
        lambda cp_need_kg_per_day, eaten_kg_per_day: 100 * cp_need_kg_per_day / eaten_kg_per_day,
    "calf_tdn_pct_dm":
        lambda metabolic_weight_kg, maintenance_nem_mcal_per_day, retained_energy_mcal_per_day:
        growing_tdn(calf_intake_kg_per_day, metabolic_weight_kg, maintenance_nem_mcal_per_day,
                    retained_energy_mcal_per_day),
    "yearling_tdn_pct_dm":
        lambda metabolic_weight_kg, maintenance_nem_mcal_per_day, retained_energy_mcal_per_day:
        growing_tdn(yearling_intake_kg_per_day, metabolic_weight_kg, maintenance_nem_mcal_per_day,
                    retained_energy_mcal_per_day),
    "calf_tdn_kg_per_day":
        lambda calf_tdn_pct_dm, metabolic_weight_kg:
        calf_tdn_pct_dm / 100
        * calf_intake_kg_per_day(metabolic_weight_kg, energies(calf_tdn_pct_dm)[0]),
    "yearling_tdn_kg_per_day":
        lambda yearling_tdn_pct_dm, metabolic_weight_kg:
        yearling_tdn_pct_dm / 100
        * yearling_intake_kg_per_day(metabolic_weight_kg, energies(yearling_tdn_pct_dm)[0]),
    "calf_cp_pct_dm":
        lambda cp_need_kg_per_day, calf_tdn_pct_dm, metabolic_weight_kg:
        100 * cp_need_kg_per_day
        / calf_intake_kg_per_day(metabolic_weight_kg, energies(calf_tdn_pct_dm)[0]),
    "mp_per_cp":
        lambda mp_need_g_per_day, cp_need_kg_per_day: mp_need_g_per_day / cp_need_kg_per_day / 1000,
    "class_sex_factor": lambda name: looked_up("classes", "sex_factor", **{"class": name}),
    "class_milk_factor": lambda name: looked_up("classes", "milk_factor", **{"class": name}),
    "class_lactation_maintenance":
        lambda name: looked_up("classes", "lactation_maintenance", **{"class": name}),
    "peak_week":
        lambda peak_milk_kg_per_day: max(
            np.arange(1, 20, 0.1),
            key=lambda week: EQUATIONS["milk_kg_per_day"](week, peak_milk_kg_per_day)),
    "as_fed_kg_per_day":
        lambda intake_kg_per_day, dm_pct_as_fed:
        intake_kg_per_day * as_fed_per_dm(100, 0, 0, dm_pct_as_fed, dm_pct_as_fed, dm_pct_as_fed),
    "class_as_fed_kg_per_day":
        lambda intake_by_class_kg_per_day, dm_pct_as_fed:
        intake_by_class_kg_per_day / dm_pct_as_fed * 100,
    "dry_part_kg_per_day":
        lambda as_fed_kg_per_day, dm_pct_as_fed:
        as_fed_kg_per_day * EQUATIONS["value_pct_as_fed"](100, dm_pct_as_fed) / 100,
    "from_forage_kg_per_day":
        lambda forage_pct, per_kg, intake_kg_per_day:
        from_forage(forage_pct, per_kg, intake_kg_per_day),
    "over_need_kg_per_day":
        lambda supplied_kg_per_day, needed_kg_per_day: over(supplied_kg_per_day, needed_kg_per_day),
    "left_short_kg_per_day":
        lambda supplied_kg_per_day, needed_kg_per_day:
        -over(supplied_kg_per_day, needed_kg_per_day),
    "to_close_kg_per_day":
        lambda left_short_kg_per_day, tag_pct, forage_pct, given_up:
        wanted_kg_per_day(left_short_kg_per_day,
                          net_per_kg(tag_pct, forage_pct, given_up, 0.01, MET_WITHIN_PCT), 0.0),
    "bought_kg_per_day":
        lambda fed_kg_per_day, loss_used_pct: bought_tonne(fed_kg_per_day, loss_used_pct),
    "coat_limit_f": lambda coat_no: looked_up("coats", "limit_f", coat_no - 1),
    "need_in_cold":
        lambda nem_without_gain_mcal_per_day, cold_energy_pct:
        nem_without_gain_mcal_per_day + EQUATIONS["cold_nem_mcal_per_day"](
            nem_without_gain_mcal_per_day, 0, cold_energy_pct, 1),
    "most_tdn_per_cp": lambda: supply.MOST_TDN_PER_CP,
    "target_weight_pct":
        lambda event: looked_up("targets", "target_weight_pct", event=event),
    "tdn_air_dry_pct": lambda tdn_from_adf_pct_dm: 0.9 * tdn_from_adf_pct_dm,
    "nem_per_lb_coefficient": nem_per_lb_coefficient,
    "ddm_slope": lambda: EQUATIONS["ddm_pct_dm"](0) - EQUATIONS["ddm_pct_dm"](1),
    "kno3_of_nitrate_ppm_dm":
        lambda no3n_from_nitrate_ppm_dm: EQUATIONS["kno3_ppm_dm"](no3n_from_nitrate_ppm_dm),
    "s_of_sulfate": lambda: water.S_PER_SULFATE,
    "pct_of_ppm": lambda ppm: ppm / 10_000,
    "ppm_of_pct": lambda pct: pct * 10_000,
    "kg_of_lb": lambda lb: lb * KG_PER_LB,
    "lb_of_kg": lambda kg: kg / KG_PER_LB,
    "ppm_of_mg_per_lb": lambda mg_per_lb: mg_per_lb / KG_PER_LB,
    "pct_of_g_per_lb": lambda g_per_lb: g_per_lb / KG_PER_LB / 10,
    "g_per_lb_of_pct": lambda pct: pct * KG_PER_LB * 10,
    "ppm_of_g_per_ton": lambda g_per_ton: g_per_ton / TONNE_PER_TON,
    "g_per_ton_of_ppm": lambda ppm: ppm * TONNE_PER_TON,
    "lb_per_ton_of_pct": lambda pct: pct / 100 * 1000 * TONNE_PER_TON / KG_PER_LB,
    "meq_per_pct": lambda element: ratios.MEQ_PER_PCT[element],
    "mineral_level":
        lambda nutrient, column: looked_up("mineral_levels", column, nutrient=nutrient),
    "mineral_level_per_lb":
        lambda nutrient, column:
        looked_up("mineral_levels", column, nutrient=nutrient) * KG_PER_LB,
    "by_intake_iu_per_day":
        lambda intake_kg_per_day, need_iu_per_kg_dm: intake_kg_per_day * need_iu_per_kg_dm,
    "selenium_most": lambda: tags.SELENIUM_MOST,
    "selenium_mix_most": lambda: safety.MOST_SE_MIX,
    "sheep_copper_most": lambda: safety.MOST_SHEEP_CU,
    "gossypol_most": lambda: safety.MOST_GOSSYPOL,
    "seed_of_diet_most": lambda: safety.SEED_OF_DIET,
    "ca_p_most": lambda: minerals.HIGH_CA_P,
    "urea_brought_kg_per_day":
        lambda mineral_kg_per_day, urea_pct_dm:
        harmful.brings(mineral_kg_per_day, harmful.carried_urea(urea_pct_dm)),
    "selenium_ppm_at_limit":
        lambda mineral_kg_per_day:
        EQUATIONS["mineral_for_gap_ppm"](tags.SELENIUM_MOST, mineral_kg_per_day),
    "bag_days":
        lambda head, mineral_kg_per_day, bag_kg:
        1 / EQUATIONS["bags_needed"](head, mineral_kg_per_day, 1, bag_kg),
    "diet_with_mineral_ppm_dm":
        lambda forage_kg_per_day, forage_ppm, mineral_kg_per_day, tag_ppm:
        EQUATIONS["whole_diet_ppm_dm"](
            forage_kg_per_day * forage_ppm
            + EQUATIONS["mineral_brings_mg_per_day"](mineral_kg_per_day, tag_ppm),
            forage_kg_per_day + mineral_kg_per_day),
    "nitrate_class_from":
        lambda scheme, class_no:
        looked_up("nitrate_classes", "from_no3n_ppm_dm", class_no, scheme=scheme),
    "nitrate_class_from_no3n_pct": lambda nitrate_class_from: nitrate_class_from / 10_000,
    "nitrate_class_from_pct":
        lambda nitrate_class_from: EQUATIONS["nitrate_ppm_dm"](nitrate_class_from) / 10_000,
    "nitrate_pct": lambda nitrate_ppm_dm: nitrate_ppm_dm / 10_000,
    "water_class_from":
        lambda measure, class_no:
        looked_up("water_classes", "class_from", class_no, measure=measure),
}
