"""What a diet supplies in protein: microbes, what passes the rumen, and the balance."""

import numpy as np

from ..dialect import chosen, equation, ratio, working

__all__ = [
    "cp_need_by_rdp_g_per_day", "intake_protein_factor", "microbial_cp_10_g_per_day",
    "microbial_cp_13_g_per_day", "microbial_cp_2016_g_per_day", "microbial_cp_g_per_day",
    "microbial_made_g_per_day", "mp_balance_g_per_day", "mp_from_microbes_g_per_day",
    "mp_from_rup_g_per_day", "mp_supply_g_per_day", "rdp_balance_g_per_day",
    "rdp_supply_g_per_day", "rup_need_g_per_day", "rup_supply_g_per_day", "tdn_per_cp",
]

MOST_FAT = 3.9  # % of DM up to which the 2016 form takes TDN as it is
MP_PER_MICROBIAL = 0.64
MOST_TDN_PER_CP = 7.0  # above, forage is short of nitrogen for its energy
ENOUGH_CP = 8.0  # % of DM


@equation("NRC2000", "p. 17, working value of 13 g per 100 g TDN", seen=True)
def microbial_cp_13_g_per_day(tdn_eaten_kg_per_day):
    """Microbial crude protein that the energy eaten allows, at 13 % of TDN.

    Any shape; kg/day in, g/day out. Too much on poor forage.

    MCP = 0.13 * TDN

    >>> microbial_cp_13_g_per_day(5)
    650
    """
    return 130 * tdn_eaten_kg_per_day


@equation("GALYEAN2024", "abstract: 10 % of TDN fits as well as regressions", seen=True)
def microbial_cp_10_g_per_day(tdn_eaten_kg_per_day):
    """Microbial crude protein that the energy eaten allows, at 10 % of TDN.

    Any shape; kg/day in, g/day out; error of about 155 g/day.

    MCP = 0.10 * TDN

    >>> microbial_cp_10_g_per_day(5)
    500
    """
    return 100 * tdn_eaten_kg_per_day


@equation("GALYEAN2014", "form of the 2016 edition; coefficients remembered", seen=False)
def microbial_cp_2016_g_per_day(tdn_eaten_kg_per_day, intake_kg_per_day, fat_pct_dm):
    """Microbial crude protein that the energy eaten allows, by the form of 2016.

    Any shape; kg/day and % of DM in, g/day out. Above 3.9 % of fat the energy of fat is left out.

    MCP = 0.087 TDN + 42.73; above 3.9 % fat 0.096 (TDN - 2.25 fat) + 53.33, all in g

    >>> round(float(microbial_cp_2016_g_per_day(5, 9, 2.5)), 2)
    477.73
    """
    fat_free = tdn_eaten_kg_per_day - 2.25 * fat_pct_dm / 100 * intake_kg_per_day
    return np.where(fat_pct_dm > MOST_FAT, 96 * fat_free + 53.33, 87 * tdn_eaten_kg_per_day + 42.73)


@working
def microbial_cp_g_per_day(microbial_form, microbial_cp_13_g_per_day, microbial_cp_10_g_per_day,
                           microbial_cp_2016_g_per_day):
    """Microbial crude protein by the chosen form: 1 of 13 %, 2 of 10 %, 3 of 2016.

    Any shape; g/day in and out.

    >>> float(microbial_cp_g_per_day(2.0, 650, 500, 478))
    500.0
    """
    return chosen(microbial_form, microbial_cp_13_g_per_day, microbial_cp_10_g_per_day,
                  microbial_cp_2016_g_per_day)


@working
def rdp_supply_g_per_day(cp_eaten_kg_per_day, rdp_pct_of_cp):
    """Protein that breaks down in the rumen (RDP).

    Any shape; kg/day and % of CP in, g/day out.

    RDP = CP * share

    >>> rdp_supply_g_per_day(0.8, 65)
    520.0
    """
    return 10 * cp_eaten_kg_per_day * rdp_pct_of_cp


@working
def rup_supply_g_per_day(cp_eaten_kg_per_day, rdp_pct_of_cp):
    """Protein that passes the rumen (RUP).

    Any shape; kg/day and % of CP in, g/day out.

    RUP = CP * (1 - share broken down)

    >>> rup_supply_g_per_day(0.8, 65)
    280.0
    """
    return 10 * cp_eaten_kg_per_day * (100 - rdp_pct_of_cp)


@equation("NRC2000", "microbes need as much as they make; remembered", seen=False)
def rdp_balance_g_per_day(rdp_supply_g_per_day, microbial_cp_g_per_day):
    """Degradable protein over (+) or short (-) of what the microbes can use.

    Any shape; g/day in and out. Short: expect lower intake and digestion; recycled nitrogen covers
    a small shortage.

    balance = RDP - MCP

    >>> rdp_balance_g_per_day(420, 500)
    -80
    """
    return rdp_supply_g_per_day - microbial_cp_g_per_day


@working
def microbial_made_g_per_day(microbial_cp_g_per_day, rdp_supply_g_per_day):
    """Microbial protein made: what energy allows, or less where degradable protein is short.

    Any shape; g/day in and out.

    made = min(MCP, RDP)

    >>> float(microbial_made_g_per_day(500, 420))
    420.0
    """
    return np.minimum(microbial_cp_g_per_day, rdp_supply_g_per_day)


@equation("NRC2000", "80 % true protein, 80 % digested; remembered", seen=False)
def mp_from_microbes_g_per_day(microbial_made_g_per_day):
    """Metabolizable protein from microbes.

    Any shape; g/day in and out.

    MP = 0.64 * MCP

    >>> mp_from_microbes_g_per_day(500)
    320.0
    """
    return MP_PER_MICROBIAL * microbial_made_g_per_day


@equation("NRC2000", "80 % of RUP; 60 % of a forage's in 2016; remembered", seen=False)
def mp_from_rup_g_per_day(rup_supply_g_per_day, rup_digested_pct):
    """Metabolizable protein from what passes the rumen.

    Any shape; g/day and % in, g/day out; 80 % of all feeds in 2000, 60 % of forages in 2016.

    MP = RUP * digestibility

    >>> mp_from_rup_g_per_day(200, 60)
    120.0
    """
    return rup_supply_g_per_day * rup_digested_pct / 100


@working
def mp_supply_g_per_day(mp_from_microbes_g_per_day, mp_from_rup_g_per_day):
    """Metabolizable protein that a diet supplies.

    Any shape; g/day in and out.

    >>> mp_supply_g_per_day(320, 120)
    440
    """
    return mp_from_microbes_g_per_day + mp_from_rup_g_per_day


@working
def mp_balance_g_per_day(mp_supply_g_per_day, mp_need_g_per_day):
    """Metabolizable protein over (+) or short (-).

    Any shape; g/day in and out.

    >>> mp_balance_g_per_day(440, 520)
    -80
    """
    return mp_supply_g_per_day - mp_need_g_per_day


@equation("NRC2000", "what microbes leave short; remembered", seen=False)
def rup_need_g_per_day(mp_need_g_per_day, microbial_cp_g_per_day, rup_digested_pct):
    """Protein passing the rumen that the animal needs beside its microbes.

    Any shape; g/day and % in, g/day out, at least 0.

    RUP = (MP need - 0.64 MCP) / digestibility

    >>> float(rup_need_g_per_day(400, 500, 80))
    100.0
    """
    left = np.maximum(mp_need_g_per_day - MP_PER_MICROBIAL * microbial_cp_g_per_day, 0)
    return 100 * left / rup_digested_pct


@equation("GALYEAN2014", "crude protein of the 2016 edition; logic remembered", seen=False)
def cp_need_by_rdp_g_per_day(microbial_cp_g_per_day, rup_need_g_per_day):
    """Crude protein need as the sum of degradable and undegradable protein.

    Any shape; g/day in and out.

    CP = RDP need + RUP need, RDP need = MCP

    >>> cp_need_by_rdp_g_per_day(500, 100)
    600
    """
    return microbial_cp_g_per_day + rup_need_g_per_day


@equation("MOORE1999", "abstract", seen=True)
def tdn_per_cp(tdn_pct_dm, cp_pct_dm):
    """Energy of a forage beside its protein; above 7 it is short of nitrogen.

    Any shape; % of DM in, ratio out; 0 where there is no protein.

    TDN / CP

    >>> float(tdn_per_cp(49, 7))
    7.0
    """
    return ratio(tdn_pct_dm, cp_pct_dm, 0.0)


@working
def intake_protein_factor(cp_pct_dm, tdn_per_cp):
    """Intake of a forage short of protein beside its intake once the diet has enough: assumption.

    Any shape; % of DM and ratio in, 0.75 to 1 out. From classes of hay intake by protein (1.5 % of
    weight below 6 % CP, 2.0 above 8 %); lifted when the diet comes to TDN:CP 7 or CP 8 %.
    Intakes by forage class assume enough protein already: never multiply those.

    1 at CP 8 % or TDN:CP 7; a straight line down to 0.75 at CP 6 %

    >>> float(intake_protein_factor(7.0, 8.0)), float(intake_protein_factor(7.0, 6.5))
    (0.875, 1.0)
    """
    line = 0.75 + 0.25 * np.clip((cp_pct_dm - 6) / (ENOUGH_CP - 6), 0, 1)
    return np.where(tdn_per_cp > MOST_TDN_PER_CP, line, 1.0)
