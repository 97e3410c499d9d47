"""What an animal needs in metabolizable protein (MP), and the crude protein that carries it."""

import numpy as np

from ..dialect import equation

__all__ = [
    "cp_need_kg_per_day", "gain_mp_g_per_day", "lactation_mp_g_per_day",
    "maintenance_mp_g_per_day", "mp_need_g_per_day", "pregnancy_mp_g_per_day",
]

CONCEPTUS_PROTEIN = (0.001669, 0.00000211, 0.0278, 0.0000176)
G_PER_CONCEPTUS_UNIT = 6.25  # crude protein from nitrogen
MP_USED = 0.65  # for milk and conceptus
MP_PER_CP = 0.67


@equation("NRC2000", "maintenance; remembered, gives the printed CP of bulls", seen=False)
def maintenance_mp_g_per_day(metabolic_weight_kg):
    """Metabolizable protein for maintenance.

    Any shape; kg**0.75 of shrunk weight in, g/day out.

    MP = 3.8 * SBW**0.75

    >>> maintenance_mp_g_per_day(100)
    380.0
    """
    return 3.8 * metabolic_weight_kg


@equation("NRC2000", "eq. 4-9; form remembered, agrees with remembered cow tables", seen=False)
def pregnancy_mp_g_per_day(day_of_gestation, birth_weight_kg):
    """Metabolizable protein for pregnancy on one day.

    Any shape; day 0 to 283, kg of calf at birth; g/day out.

    MP = 6.25 CBW (0.001669 - 0.00000211 t) exp((0.0278 - 0.0000176 t) t) / 0.65

    >>> round(float(pregnancy_mp_g_per_day(280, 36.3)))
    227
    """
    a, b, c, d = CONCEPTUS_PROTEIN
    t = day_of_gestation
    grown = birth_weight_kg * (a - b * t) * np.exp((c - d * t) * t)
    return G_PER_CONCEPTUS_UNIT * grown / MP_USED


@equation("NRC2000", "milk protein at 65 %; remembered, gives a printed cow column", seen=False)
def lactation_mp_g_per_day(milk_kg_per_day, milk_protein_pct):
    """Metabolizable protein for the milk given in a day.

    Any shape; kg/day and % of milk (3.4 where not known) in, g/day out.

    MP = Yn * protein in milk, g/kg / 0.65

    >>> round(lactation_mp_g_per_day(6.5, 3.4))
    340
    """
    return milk_kg_per_day * milk_protein_pct * 10 / MP_USED


@equation("NRC2000", "gain; remembered, gives the printed CP of bulls", seen=False)
def gain_mp_g_per_day(gain_net_protein_g_per_day, equivalent_weight_kg):
    """Metabolizable protein for gain.

    Any shape; g/day and kg in, g/day out. Protein is used less well as an animal grows, down to
    0.492 at an equivalent weight of 300 kg and level from there.

    MP = NPg / (0.834 - 0.00114 EQSBW), NPg / 0.492 above 300 kg

    >>> round(float(gain_mp_g_per_day(100, 200)), 1)
    165.0
    """
    return gain_net_protein_g_per_day / np.maximum(0.834 - 0.00114 * equivalent_weight_kg, 0.492)


@equation("NRC2000", "sum of what the animal does", seen=False)
def mp_need_g_per_day(maintenance_mp_g_per_day, pregnancy_mp_g_per_day, lactation_mp_g_per_day,
                      gain_mp_g_per_day):
    """Metabolizable protein that an animal needs in a day.

    Any shape; g/day in and out.

    MP = maintenance + pregnancy + milk + gain

    >>> mp_need_g_per_day(430, 100, 0, 0)
    530
    """
    return (maintenance_mp_g_per_day + pregnancy_mp_g_per_day + lactation_mp_g_per_day
            + gain_mp_g_per_day)


@equation("ARKANSAS-MP391", "introduction", seen=True)
def cp_need_kg_per_day(mp_need_g_per_day):
    """Crude protein that carries a metabolizable protein.

    Any shape; g/day in, kg/day out. It takes no account of how much the rumen breaks down: a
    screen for forage, not a judge of urea or bypass protein.

    CP = MP / 0.67

    >>> round(cp_need_kg_per_day(670), 6)
    1.0
    """
    return mp_need_g_per_day / MP_PER_CP / 1000
