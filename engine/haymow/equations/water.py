"""How much cattle drink and what the water brings."""

import numpy as np

from ..dialect import equation
from ..units import KG_PER_LB

__all__ = ["water_element_pct_dm", "water_l_per_day", "water_sulfur_pct_dm"]

L_PER_GAL = 3.785411784
S_PER_SULFATE = 32.06 / 96.06


@equation("MONTANA-WATER", "line through its four points; scaling by weight is ours", seen=True)
def water_l_per_day(air_f, milk_kg_per_day, shrunk_weight_kg):
    """Water that a cow drinks and eats in a day.

    Any shape; 40 to 90 degrees F, kg/day and kg in, L/day out. About a quarter apart between
    publications for cows in milk.

    gallons = (9.2 + 0.102 (F - 40)) weight / 1,300 lb + 0.20 per lb of milk

    >>> round(float(water_l_per_day(90.0, 0.0, 1300 * 0.45359237)) / 3.785, 1)
    14.3
    """
    dry = 9.2 + 0.102 * (np.clip(air_f, 40.0, 90.0) - 40)
    milk = 0.20 * milk_kg_per_day / KG_PER_LB
    return L_PER_GAL * (dry * shrunk_weight_kg / KG_PER_LB / 1300 + milk)


@equation("STANDARD", "mg/L times L over dry matter", seen=True)
def water_element_pct_dm(water_ppm, water_l_per_day, intake_kg_per_day):
    """What an element in the water adds to the diet, as if it were in the dry matter.

    Any shape; mg/L, L/day and kg/day in, % of DM out.

    mg/L * L / 10,000 / intake

    >>> water_element_pct_dm(500, 50, 10)
    0.25
    """
    return water_ppm * water_l_per_day / 10000 / intake_kg_per_day


@equation("VIRGINIA-SPES201", "table 1, S in SO4", seen=True)
def water_sulfur_pct_dm(sulfate_ppm, water_l_per_day, intake_kg_per_day):
    """Sulfur that sulfate in the water adds to the diet.

    Any shape; mg/L as SO4, L/day and kg/day in, % of DM out.

    0.334 SO4 * L / 10,000 / intake

    >>> round(water_sulfur_pct_dm(1500, 54.1, 11.79), 2)
    0.23
    """
    return water_element_pct_dm(S_PER_SULFATE * sulfate_ppm, water_l_per_day, intake_kg_per_day)
