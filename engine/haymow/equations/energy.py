"""What maintenance, pregnancy and milk take in energy."""

import numpy as np

from ..dialect import equation, working

__all__ = [
    "lactation_factor", "lactation_nem_mcal_per_day", "maintenance_nem_mcal_per_day",
    "metabolic_weight_kg", "milk_energy_mcal_per_kg", "milk_kg_per_day",
    "pregnancy_nem_mcal_per_day", "shrunk_weight_kg",
]

SHRUNK = 0.96
MAINTENANCE_NEM = 0.077  # Mcal per kg of metabolic weight
NEM_PER_ME = 0.576  # of a forage diet with 2.0 Mcal ME; every published table uses this one
CONCEPTUS_ENERGY = (0.4504, 0.000766, 0.03233, 0.0000275)
PEAK_WEEK = 8.5


@equation("NRC2000", "overnight shrink of 4 %, read in the introduction of MP391", seen=True)
def shrunk_weight_kg(full_weight_kg):
    """Shrunk body weight from full body weight.

    Any shape; kg in and out. Sale weights are mostly shrunk already; a cow of a published table
    is a shrunk weight.

    SBW = 0.96 * BW

    >>> shrunk_weight_kg(500)
    480.0
    """
    return SHRUNK * full_weight_kg


@equation("NRC2000", "p. 6", seen=True)
def metabolic_weight_kg(shrunk_weight_kg):
    """Metabolic weight, to which maintenance and intake are proportional.

    Any shape; kg in, kg to the power 0.75 out.

    W75 = SBW**0.75

    >>> float(metabolic_weight_kg(625.0))
    125.0
    """
    return shrunk_weight_kg**0.75


@working
def lactation_factor(lactating_share, lactation_maintenance):
    """How much maintenance rises in a month of which only a part is spent in milk.

    Any shape; share 0 to 1; factor 1.2 for cows, 1.25 for first-calf heifers, 1 for others.

    L = 1 + share * (L in milk - 1)

    >>> lactation_factor(0.5, 1.2)
    1.1
    """
    return 1 + lactating_share * (lactation_maintenance - 1)


@equation("NRC2000", "0.077 W**0.75, read in J. Anim. Sci. 86:2680; factors remembered", seen=False)
def maintenance_nem_mcal_per_day(metabolic_weight_kg, breed_factor, sex_factor, lactation_factor):
    """Net energy for maintenance of an animal without activity or cold.

    Any shape; Mcal/day out. Factors: breed 0.9 to 1.2, 1.15 for bulls, 1.2 while in milk.

    NEm = 0.077 * SBW**0.75 * BE * SEX * L

    >>> round(maintenance_nem_mcal_per_day(324.3**0.75, 1, 1, 1), 2)  # a steer of 715 lb
    5.88
    """
    return MAINTENANCE_NEM * metabolic_weight_kg * breed_factor * sex_factor * lactation_factor


@equation("NRC2000", "eq. 4-7; form remembered, gives table 4-2 to 0.05 %", seen=False)
def pregnancy_nem_mcal_per_day(day_of_gestation, birth_weight_kg):
    """Net energy for pregnancy on one day, as NEm.

    Any shape; day 0 to 283, kg of calf at birth; Mcal/day out. Negligible before day 90.
    0.576 stands for the NEm/ME of a forage diet; the 13 % of the conceptus is in it already.

    NEm = 0.576 * CBW * (0.4504 - 0.000766 t) * exp((0.03233 - 0.0000275 t) t) / 1000

    >>> round(float(pregnancy_nem_mcal_per_day(250, 38.5)), 2)
    3.33
    """
    a, b, c, d = CONCEPTUS_ENERGY
    t = day_of_gestation
    return NEM_PER_ME * birth_weight_kg * (a - b * t) * np.exp((c - d * t) * t) / 1000


@equation("NRC2000", "eq. 4-11; peak week read on p. 45, form remembered", seen=False)
def milk_kg_per_day(week_of_lactation, peak_milk_kg_per_day):
    """Milk on one day of the lactation.

    Any shape; weeks since calving, kg/day at the peak in week 8.5; kg/day out.

    Yn = PKYD * n / 8.5 * exp(1 - n / 8.5)

    >>> round(float(milk_kg_per_day(8.5, 8.0)), 3)
    8.0
    """
    time = week_of_lactation / PEAK_WEEK
    return peak_milk_kg_per_day * time * np.exp(1 - time)


@equation("NRC2000", "milk energy; remembered, gives the printed lactation energy", seen=False)
def milk_energy_mcal_per_kg(milk_fat_pct, milk_snf_pct):
    """Energy in a kilogram of milk from its fat and its solids-not-fat.

    Any shape; % of milk in, Mcal per kg of milk out.

    E = 0.092 * fat + 0.049 * SNF - 0.0569

    >>> round(milk_energy_mcal_per_kg(4.0, 8.3), 4)
    0.7178
    """
    return 0.092 * milk_fat_pct + 0.049 * milk_snf_pct - 0.0569


@equation("NRC2000", "milk times its energy, counted as NEm", seen=False)
def lactation_nem_mcal_per_day(milk_kg_per_day, milk_energy_mcal_per_kg):
    """Net energy for the milk given in a day, as NEm.

    Any shape; kg/day and Mcal per kg of milk in, Mcal/day out.

    NEm = Yn * E

    >>> lactation_nem_mcal_per_day(8.0, 0.75)
    6.0
    """
    return milk_kg_per_day * milk_energy_mcal_per_kg
