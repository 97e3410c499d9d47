"""What can harm: urea, salt, cottonseed, selenium mixes and copper for sheep, and their limits."""

import numpy as np

from ..dialect import equation, ratio, working
from ..units import KG_PER_LB
from .tags import SODIUM_IN_SALT
from .water import L_PER_GAL

__all__ = [
    "diet_salt_pct_dm", "gossypol_of_seed_pct", "npn_of_diet_cp_pct", "salt_kg_per_day",
    "salt_limit_kg_per_day", "salt_water_l_per_day", "seed_most_kg_per_day", "urea_of_npn_pct",
]

CP_OF_UREA = 281.0  # % CP of urea with 45 % N: the convention of labels
MOST_SHEEP_CU = 15.0  # ppm of DM; SHEEP-COPPER
MOST_SE_MIX = 120.0  # ppm in a free-choice salt and mineral mix for beef cattle; FDA-SELENIUM
MOST_GOSSYPOL = 24.0  # g of free gossypol a day, lactating dairy cows; COTTON-LIMITS
SEED_OF_DIET = 15.0  # % of the dry matter; FLORIDA-AN134


@equation("NEBRASKA-NPN", "tag 37-8: 8 / 2.81; 281 as MISSOURI-G2071 prints", seen=True)
def urea_of_npn_pct(npn_cp_pct):
    """Urea in a feed from the protein that its tag gives as nonprotein nitrogen.

    Any shape; % CP from nonprotein nitrogen in, % urea out, both of the same matter.

    urea = NPN / 2.81

    >>> round(urea_of_npn_pct(8), 2)
    2.85
    """
    return npn_cp_pct / CP_OF_UREA * 100


@equation("FAO-NPN", "chapter 5, table 4; the share of the whole diet", seen=True)
def npn_of_diet_cp_pct(urea_kg_per_day, diet_cp_kg_per_day):
    """Share of a diet's crude protein that is urea or counted as urea.

    Any shape; kg/day in, % of the crude protein out. A third is the most in use.

    share = 281 * urea / CP

    >>> round(float(npn_of_diet_cp_pct(80, 640)))
    35
    """
    return ratio(CP_OF_UREA * urea_kg_per_day, diet_cp_kg_per_day, 0.0)


@equation("OSU-ANSI-3008", "text: 0.1 lb a 100 lb of weight", seen=True)
def salt_limit_kg_per_day(shrunk_weight_kg):
    """Salt that cattle take at most of a mix whose intake the salt is to limit.

    Any shape; kg in, kg/day out.

    salt = weight / 1000

    >>> round(salt_limit_kg_per_day(1000 * 0.45359237) / 0.45359237, 6)
    1.0
    """
    return shrunk_weight_kg / 1000


@equation("OSU-ANSI-3008", "text: 5 gallons a pound of salt", seen=True)
def salt_water_l_per_day(salt_kg_per_day):
    """Water that cattle drink more for the salt in their feed.

    Any shape; kg/day in, L/day out.

    water = 5 gallons for each pound

    >>> round(salt_water_l_per_day(0.45359237) / 3.785411784, 6)
    5.0
    """
    return 5 * L_PER_GAL * salt_kg_per_day / KG_PER_LB


@equation("STANDARD", "atomic weights: salt is 39.3 % sodium", seen=True)
def salt_kg_per_day(na_g_per_day):
    """Salt that holds so much sodium.

    Any shape; g/day in, kg/day out.

    salt = Na / 0.393 / 1000

    >>> round(salt_kg_per_day(9.432), 6)
    0.024
    """
    return na_g_per_day / SODIUM_IN_SALT / 1000


@working
def diet_salt_pct_dm(na_pct_dm):
    """Sodium of the whole diet, as salt.

    Any shape; % of DM in and out.

    >>> round(diet_salt_pct_dm(0.393), 6)
    1.0
    """
    return na_pct_dm / SODIUM_IN_SALT


@equation("FLORIDA-AN134", "point 1: 0.5 % of weight, weaned calves 0.33 %", seen=True)
def seed_most_kg_per_day(shrunk_weight_kg, grows):
    """Most whole cottonseed, as fed: grown cattle (0) and weaned, growing cattle (1).

    Any shape; kg in, kg/day out. None for calves under four months.

    seed = 0.005 weight; 0.0033 weight of growing cattle

    >>> float(seed_most_kg_per_day(1000, 0))
    5.0
    """
    return shrunk_weight_kg * np.where(grows > 0, 0.0033, 0.005)


@equation("COTTON-LIMITS", "text: whole seed is 0.68 of the kernel", seen=True)
def gossypol_of_seed_pct(kernel_gossypol_pct):
    """Gossypol of whole cottonseed from an analysis of its kernel.

    Any shape; % in and out.

    seed = 0.68 kernel

    >>> round(gossypol_of_seed_pct(0.92), 2)
    0.63
    """
    return 0.68 * kernel_gossypol_pct
