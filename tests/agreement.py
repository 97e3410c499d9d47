"""How a published number is worked out again: its row, its conventions, our equations.

A row of ``published/*.csv`` names a quantity and what the publication gave. Recipes say how a
printed table was made where that is not how an animal is fed: end of month, gestation counted to
280 days, intake solved from the need. They live here, in the tests, and nowhere in the product.
"""

import csv
from functools import cache
from importlib.resources import files
from inspect import signature
from pathlib import Path

import haymow.equations  # noqa: F401  (fills EQUATIONS)
import numpy as np
from haymow.dialect import EQUATIONS
from haymow.equations.forage import feed_de_mcal_per_kg, feed_me_mcal_per_kg
from haymow.equations.forage import feed_neg_mcal_per_kg as neg_of_me
from haymow.equations.forage import feed_nem_mcal_per_kg as nem_of_me
from haymow.equations.intake import (
    LEAST_DIVISOR,
    calf_intake_kg_per_day,
    yearling_intake_kg_per_day,
)
from haymow.units import parse
from scipy.optimize import brentq

PUBLISHED = Path(__file__).with_name("published")
STATUSES = ("AGREES", "DISAGREES", "REFERENCE ONLY")
MONTH = 30.4  # days, in the tables
TABLE_TDN = 0.982  # what cow tables print per TDN of the NEm cubic; fitted, of the tables only

UNSAID = {  # what the publications leave unsaid
    "breed_factor": 1.0, "sex_factor": 1.0, "lactation_maintenance": 1.2, "lactating_share": 0.0,
    "pregnant_share": 0.0, "day_of_gestation": 0.0, "birth_weight_kg": 0.0, "milk_fat_pct": 4.0,
    "milk_snf_pct": 8.3, "milk_protein_pct": 3.4, "milk_kg_per_day": 0.0, "gain_mp_g_per_day": 0.0,
    "gain_net_protein_g_per_day": 0.0, "last_90_days_share": 0.0,
}
ALSO = {"oz/day": 28.349523125}  # units of print that the product has no use for, in ours


@cache
def rows():
    """All rows of all published tables, as text, with the table's name."""
    return [{"table": path.stem, **row} for path in sorted(PUBLISHED.glob("*.csv"))
            for row in csv.DictReader(path.read_text("utf-8").splitlines())]


def sources():
    """The bibliography."""
    text = files("haymow").joinpath("data/sources.csv").read_text("utf-8")
    return list(csv.DictReader(text.splitlines()))


def in_ours(quantity, value, unit):
    """A printed value in the unit of the quantity."""
    if unit in ALSO:
        return float(value) * ALSO[unit]
    return parse(quantity, f"{value} {unit}")


def given(row):
    """What the publication gave, in the engine's units; one set for each month of a range."""
    found, months = dict(UNSAID), []
    for item in filter(None, row["inputs"].split(";")):
        name, text = item.split("=")
        if name == "months_since_calving":
            first, last = (text.split(" to ") * 2)[:2]
            months = list(range(int(first), int(last) + 1))
        else:
            found[name] = parse(name, text)
    return [found | stage(month, found["birth_weight_kg"]) for month in months] or [found]


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


def ours(quantity, known):
    """The quantity from what is known: given, by recipe, by equation, or left unsaid."""
    said = known.get(quantity)
    if said is not None and said != UNSAID.get(quantity):
        return said
    function = RECIPES.get(quantity) or getattr(EQUATIONS.get(quantity), "function", None)
    if function is None:
        if said is None:
            raise LookupError(f"{quantity} is not given and has no equation")
        return said
    try:
        return float(function(*(ours(name, known) for name in signature(function).parameters)))
    except LookupError:
        if said is None:
            raise
        return said


def worked_out(row):
    """The row's quantity by our equations, in the printed unit; the mean where months are given."""
    answers = [ours(row["quantity"], known) for known in given(row)]
    return sum(answers) / len(answers) / in_ours(row["quantity"], 1, row["unit"])


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


RECIPES = {
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
    "peak_week":
        lambda peak_milk_kg_per_day: max(
            np.arange(1, 20, 0.1),
            key=lambda week: EQUATIONS["milk_kg_per_day"](week, peak_milk_kg_per_day)),
}
