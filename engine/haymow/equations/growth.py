"""What gain takes, and what gain a surplus makes."""

import numpy as np

from ..dialect import equation, working

__all__ = [
    "conceptus_gain_kg_per_day", "conceptus_weight_kg", "energy_for_gain_mcal_per_day",
    "equivalent_weight_kg", "gain_dm_kg_per_day", "gain_from_diet_kg_per_day",
    "gain_net_protein_g_per_day", "gain_to_target_kg_per_day", "maintenance_dm_kg_per_day",
    "retained_energy_mcal_per_day", "shrunk_gain_kg_per_day", "target_weight_kg",
]

REFERENCE_WEIGHT = 478.0  # kg, shrunk, at 28 % body fat; for all breeding stock too
EMPTY_WEIGHT = 0.891  # kg of empty per kg of shrunk body, growing cattle
EMPTY_GAIN = 0.956  # kg of empty per kg of shrunk gain
RETAINED = 0.0635
GAIN_POWER = 1.097
CONCEPTUS = (0.01828, 0.02, 0.0000143)


@equation("NRC2000", "size scaling; remembered, gives a lecture's steer example", seen=False)
def equivalent_weight_kg(shrunk_weight_kg, final_weight_kg):
    """Weight of the reference animal that is as far grown as this one.

    Any shape; kg, shrunk; final weight at the target fatness, or the mature weight of breeding
    stock.

    EQSBW = SBW * 478 / FSBW

    >>> equivalent_weight_kg(300, 478)
    300.0
    """
    return shrunk_weight_kg * REFERENCE_WEIGHT / final_weight_kg


@equation("NRC2000", "retained energy; remembered, gives a lecture's steer example", seen=False)
def retained_energy_mcal_per_day(equivalent_weight_kg, shrunk_gain_kg_per_day):
    """Energy retained in the body at a gain, which is the net energy for gain (NEg) it needs.

    Any shape; kg and kg/day, shrunk; equivalent weight 140 to 600 kg, gain 0 to 1.8 kg/day;
    Mcal/day out.

    RE = 0.0635 * (0.891 EQSBW)**0.75 * (0.956 SWG)**1.097

    >>> round(retained_energy_mcal_per_day(262.9, 1.63), 1)
    6.2
    """
    return (RETAINED * (EMPTY_WEIGHT * equivalent_weight_kg) ** 0.75
            * (EMPTY_GAIN * shrunk_gain_kg_per_day) ** GAIN_POWER)


@equation("NRC2000", "retained energy, solved for the gain; form remembered", seen=False)
def shrunk_gain_kg_per_day(retained_energy_mcal_per_day, equivalent_weight_kg):
    """Gain that a retained energy makes.

    Any shape; Mcal/day (0 or more) and kg in, kg/day, shrunk, out. The exact inverse of the
    retained energy; the rounded inverse in print, 13.91 RE**0.9116 EQSBW**-0.6837, lies within 1 %.

    SWG = (RE / (0.0635 (0.891 EQSBW)**0.75))**(1/1.097) / 0.956

    >>> round(shrunk_gain_kg_per_day(retained_energy_mcal_per_day(262.9, 1.6), 262.9), 9)
    1.6
    """
    per_gain = RETAINED * (EMPTY_WEIGHT * equivalent_weight_kg) ** 0.75
    return (retained_energy_mcal_per_day / per_gain) ** (1 / GAIN_POWER) / EMPTY_GAIN


@equation("NRC2000", "net protein in gain; remembered, gives the printed CP of bulls", seen=False)
def gain_net_protein_g_per_day(shrunk_gain_kg_per_day, retained_energy_mcal_per_day):
    """Net protein laid down in the gain of a day.

    Any shape; kg/day and Mcal/day in, g/day out.

    NPg = SWG (268 - 29.4 RE / SWG)

    >>> round(gain_net_protein_g_per_day(1.0, 4.0), 1)
    150.4
    """
    return 268 * shrunk_gain_kg_per_day - 29.4 * retained_energy_mcal_per_day


@equation("MONTANA-NE", "gain from a diet, step 1", seen=True)
def maintenance_dm_kg_per_day(nem_without_gain_mcal_per_day, diet_nem_mcal_per_kg):
    """Dry matter that goes to everything but gain.

    Any shape; Mcal/day and Mcal/kg DM in, kg/day out.

    DM = NEm need / NEm of the diet

    >>> round(maintenance_dm_kg_per_day(5.89, 2.09), 2)
    2.82
    """
    return nem_without_gain_mcal_per_day / diet_nem_mcal_per_kg


@equation("MONTANA-NE", "gain from a diet, step 2", seen=True)
def gain_dm_kg_per_day(intake_kg_per_day, maintenance_dm_kg_per_day):
    """Dry matter left for gain; none where the diet does not even maintain.

    Any shape; kg/day in and out.

    DM left = intake - DM for maintenance

    >>> round(float(gain_dm_kg_per_day(7.26, 2.82)), 2)
    4.44
    """
    return np.maximum(intake_kg_per_day - maintenance_dm_kg_per_day, 0)


@equation("MONTANA-NE", "gain from a diet, step 3", seen=True)
def energy_for_gain_mcal_per_day(gain_dm_kg_per_day, diet_neg_mcal_per_kg):
    """Net energy for gain in what is left; none on a feed whose NEg is below zero.

    Any shape; kg/day and Mcal/kg DM in, Mcal/day out.

    NEg = DM left * NEg of the diet

    >>> round(float(energy_for_gain_mcal_per_day(4.44, 1.42)), 2)
    6.3
    """
    return gain_dm_kg_per_day * np.maximum(diet_neg_mcal_per_kg, 0)


@equation("NRC2000", "retained energy, solved for the gain; form remembered", seen=False)
def gain_from_diet_kg_per_day(energy_for_gain_mcal_per_day, equivalent_weight_kg):
    """Gain that a diet makes, if energy limits it and not protein.

    Any shape; Mcal/day and kg in, kg/day, shrunk, out.

    SWG(NEg in what is left, EQSBW)

    >>> round(gain_from_diet_kg_per_day(6.30, 262.9) / 0.4536, 1)  # 3.62 lb by a lecture's slide
    3.7
    """
    return shrunk_gain_kg_per_day(energy_for_gain_mcal_per_day, equivalent_weight_kg)


@working
def target_weight_kg(mature_weight_kg, target_weight_pct):
    """Weight to reach by an event, such as first breeding, from the mature weight.

    Any shape; kg and % in, kg out.

    target = mature weight * percent / 100

    >>> target_weight_kg(545, 60)
    327.0
    """
    return mature_weight_kg * target_weight_pct / 100


@working
def gain_to_target_kg_per_day(shrunk_weight_kg, target_weight_kg, days_to_target):
    """Gain that brings an animal to its target weight in time.

    Any shape; kg and days (not 0) in, kg/day out; without the growth of a conceptus.

    gain = (target - weight) / days

    >>> round(gain_to_target_kg_per_day(240, 330, 180), 3)
    0.5
    """
    return (target_weight_kg - shrunk_weight_kg) / days_to_target


@equation("NRC2000", "conceptus weight; remembered, 1.61 of birth weight at day 280", seen=False)
def conceptus_weight_kg(day_of_gestation, birth_weight_kg):
    """Weight of calf, fluids and membranes on a day of gestation.

    Any shape; day 0 to 283, kg in, kg out. To be taken off a scale weight before her own is judged.

    weight = CBW * 0.01828 * exp(0.02 t - 0.0000143 t**2)

    >>> round(float(conceptus_weight_kg(280, 38)))
    61
    """
    share, slope, bend = CONCEPTUS
    t = day_of_gestation
    return share * birth_weight_kg * np.exp((slope - bend * t) * t)


@equation("NRC2000", "conceptus gain; remembered", seen=False)
def conceptus_gain_kg_per_day(conceptus_weight_kg, day_of_gestation):
    """Gain on the scale that is the conceptus alone.

    Any shape; kg and day in, kg/day out.

    gain = weight * (0.02 - 0.0000286 t)

    >>> round(conceptus_gain_kg_per_day(50, 200), 3)
    0.714
    """
    _, slope, bend = CONCEPTUS
    return conceptus_weight_kg * (slope - 2 * bend * day_of_gestation)
