"""How much dry matter an animal eats, and the diet that just carries its need at that intake."""

import numpy as np

from ..dialect import equation, piecewise, working

__all__ = [
    "calf_density_mcal_per_kg", "calf_intake_kg_per_day", "class_intake_pct_bw",
    "cow_density_mcal_per_kg", "cow_intake_kg_per_day", "ndf_cap_kg_per_day",
    "tdn_need_kg_per_day", "yearling_density_mcal_per_kg", "yearling_intake_kg_per_day",
]

# Energy eaten per kg of metabolic weight as a parabola of the diet's NEm: square, line, constant.
COW_SQUARE = 0.04997  # hers has no line
COW_OPEN, COW_PREGNANT = 0.0384, 0.04631  # her constant before and once she has conceived
CALF = (-0.0466, 0.2435, -0.1128)
YEARLING = (-0.0466, 0.2435, -0.0869)
PER_MILK = 0.2  # kg of DM per kg of milk
LEAST_DIVISOR = 0.95  # Mcal/kg; below, intake would rise as the forage gets worse


@equation("NRC2000", "ch. 7, cows; remembered, gives remembered tables to 0.05 lb", seen=False)
def cow_intake_kg_per_day(metabolic_weight_kg, diet_nem_mcal_per_kg, pregnant_share,
                          milk_kg_per_day):
    """Dry matter that a cow is predicted to eat.

    Any shape; kg/day out; diet NEm 0.7 to 2 Mcal/kg. On pens of 2002 to 2022 it ran 14 to 17 %
    low. Printed tables were made without the least divisor.

    DMI = SBW**0.75 (0.04997 NEm**2 + c) / max(NEm, 0.95) + 0.2 Yn,
    c = 0.0384 open, 0.04631 pregnant

    >>> round(float(cow_intake_kg_per_day(544.3**0.75, 1.2, 1, 0)), 1)
    11.1
    """
    energy = metabolic_weight_kg * (COW_SQUARE * diet_nem_mcal_per_kg**2 + _cow(pregnant_share))
    return energy / _divisor(diet_nem_mcal_per_kg) + PER_MILK * milk_kg_per_day


@equation("NRC2000", "ch. 7, calves; remembered, gives bulls in print to 0.8 %", seen=False)
def calf_intake_kg_per_day(metabolic_weight_kg, diet_nem_mcal_per_kg):
    """Dry matter that a weaned calf of up to about 12 months is predicted to eat.

    Any shape; kg/day out; diet NEm 0.95 to 2.2 Mcal/kg.

    DMI = SBW**0.75 (0.2435 NEm - 0.0466 NEm**2 - 0.1128) / max(NEm, 0.95)

    >>> round(float(calf_intake_kg_per_day(226.8**0.75, 1.243)) / 0.4536, 1)  # bull of 500 lb
    12.2
    """
    return _growing_intake(CALF, metabolic_weight_kg, diet_nem_mcal_per_kg)


@equation("NRC2000", "ch. 7, yearlings; remembered, gives bulls to 2.3 %", seen=False)
def yearling_intake_kg_per_day(metabolic_weight_kg, diet_nem_mcal_per_kg):
    """Dry matter that growing cattle older than about 12 months are predicted to eat.

    Any shape; kg/day out; diet NEm 0.95 to 2.2 Mcal/kg. About 18 % above the calf of the same
    weight: choose by age.

    DMI = SBW**0.75 (0.2435 NEm - 0.0466 NEm**2 - 0.0869) / max(NEm, 0.95)

    >>> round(float(yearling_intake_kg_per_day(680.4**0.75, 1.41)) / 0.4536)  # 34.5 lb printed
    34
    """
    return _growing_intake(YEARLING, metabolic_weight_kg, diet_nem_mcal_per_kg)


@equation("NEBRASKA-INTAKE", "rule by forage class; high class remembered, lines ours", seen=False)
def class_intake_pct_bw(tdn_pct_dm, lactating_share):
    """Dry matter that a cow eats by the class of her forage, if its protein is enough.

    Any shape; % of DM and share 0 to 1 in, % of body weight a day out. The classes (TDN below 52,
    52 to 59, above) are read as a curve with straight lines between their middles.

    1.8, 2.05, 2.5 % dry and 2.0, 2.3, 2.7 % in milk at TDN 48.5, 55.5, 62.5 %

    >>> float(class_intake_pct_bw(55.5, 0)), float(class_intake_pct_bw(70, 1))
    (2.05, 2.7)
    """
    return piecewise(tdn_pct_dm, tuple(
        (middle, dry + more_in_milk * lactating_share)
        for middle, dry, more_in_milk in ((48.5, 1.8, 0.2), (55.5, 2.05, 0.25), (62.5, 2.5, 0.2))))


@equation("MERTENS", "intake limited by fiber; 120 / NDF is a capacity of 1.2 %", seen=True)
def ndf_cap_kg_per_day(shrunk_weight_kg, ndf_pct_dm, ndf_capacity_pct_bw):
    """Dry matter at which the fiber of the forage fills an animal.

    Any shape; kg/day out; capacity 1.1 to 1.4 % of body weight. An upper limit for forage with
    more than about 50 % NDF; below that energy rules.

    DMI, % of weight = 100 * capacity / NDF

    >>> round(ndf_cap_kg_per_day(500, 40, 1.2), 6)  # 3.0 % of weight
    15.0
    """
    return shrunk_weight_kg * ndf_capacity_pct_bw / ndf_pct_dm


@equation("NRC2000", "the cow's intake, solved for the diet; form remembered", seen=False)
def cow_density_mcal_per_kg(metabolic_weight_kg, pregnant_share, milk_kg_per_day,
                            nem_need_mcal_per_day):
    """Diet NEm at which a cow's predicted intake just carries her energy need.

    Any shape; Mcal/kg DM out. This is how printed requirement tables are made, not what she eats.

    x with DMI(x) * x = need

    >>> x = float(cow_density_mcal_per_kg(100, 1, 5, 12))
    >>> round(float(cow_intake_kg_per_day(100, x, 1, 5)) * x, 9)
    12.0
    """
    missing = _cow(pregnant_share) * metabolic_weight_kg - nem_need_mcal_per_day
    return _rising_root(COW_SQUARE * metabolic_weight_kg, PER_MILK * milk_kg_per_day, missing)


@equation("NRC2000", "the calf's intake, solved for the diet; form remembered", seen=False)
def calf_density_mcal_per_kg(metabolic_weight_kg, nem_need_mcal_per_day):
    """Diet NEm at which a weaned calf's predicted intake just carries its energy need.

    Any shape; Mcal/kg DM out; at most 2.6, where no richer diet would bring more.

    x with DMI(x) * x = need

    >>> x = float(calf_density_mcal_per_kg(60, 6))
    >>> round(float(calf_intake_kg_per_day(60, x)) * x, 9)
    6.0
    """
    return _growing_density(CALF, metabolic_weight_kg, nem_need_mcal_per_day)


@equation("NRC2000", "the yearling's intake, solved for the diet; form remembered", seen=False)
def yearling_density_mcal_per_kg(metabolic_weight_kg, nem_need_mcal_per_day):
    """Diet NEm at which a yearling's predicted intake just carries its energy need.

    Any shape; Mcal/kg DM out; at most 2.6, where no richer diet would bring more.

    x with DMI(x) * x = need

    >>> x = float(yearling_density_mcal_per_kg(80, 9))
    >>> round(float(yearling_intake_kg_per_day(80, x)) * x, 9)
    9.0
    """
    return _growing_density(YEARLING, metabolic_weight_kg, nem_need_mcal_per_day)


@working
def tdn_need_kg_per_day(nem_need_mcal_per_day, needed_density_mcal_per_kg, tdn_at_density_pct_dm):
    """TDN that an animal needs in a day.

    Any shape; kg/day out.

    TDN = NEm need / NEm of the needed diet * its TDN / 100

    >>> tdn_need_kg_per_day(12, 1.2, 55)
    5.5
    """
    return nem_need_mcal_per_day / needed_density_mcal_per_kg * tdn_at_density_pct_dm / 100


def _cow(pregnant_share):
    return COW_OPEN + pregnant_share * (COW_PREGNANT - COW_OPEN)


def _divisor(nem):
    return np.maximum(nem, LEAST_DIVISOR)


def _growing_intake(parabola, weight, nem):
    square, line, constant = parabola
    return weight * (line * nem + square * nem**2 + constant) / _divisor(nem)


def _growing_density(parabola, weight, need):
    square, line, constant = parabola
    return _rising_root(square * weight, line * weight, constant * weight - need)


def _rising_root(a, b, c):
    """Where a x**2 + b x + c rises through zero, whichever way it opens; else its top."""
    return (np.sqrt(np.maximum(b**2 - 4 * a * c, 0)) - b) / (2 * a)
