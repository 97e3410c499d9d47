"""Mineral tags and vitamin A: what a product brings, and what one would have to hold."""

from ..dialect import equation, working

__all__ = [
    "bags_needed", "carotene_left_share", "mineral_brings_g_per_day", "mineral_brings_mg_per_day",
    "mineral_eaten_kg_per_day", "mineral_for_gap_pct", "mineral_for_gap_ppm",
    "mineral_of_tag_pct", "selenium_mix_most_kg_per_day",
    "sodium_from_salt_pct", "vitamin_a_iu_per_kg_dm", "whole_diet_ppm_dm",
]

SELENIUM_MOST = 3.0  # mg of added selenium per head and day: the legal ceiling for beef cattle
SODIUM_IN_SALT = 0.393
CAROTENE_IU = 400.0  # IU of vitamin A for cattle in a mg
CURED = 0.20  # of the carotene of fresh forage left after curing
KEPT = 0.93  # a month in store


@equation("STANDARD", "amount times content", seen=True)
def mineral_brings_g_per_day(mineral_kg_per_day, tag_pct):
    """What a mineral brings of an element that its tag gives in percent.

    Any shape; kg/day and % in, g/day out.

    g = kg * % * 10

    >>> mineral_brings_g_per_day(0.1, 18)
    18.0
    """
    return 10 * mineral_kg_per_day * tag_pct


@equation("STANDARD", "amount times content", seen=True)
def mineral_brings_mg_per_day(mineral_kg_per_day, tag_ppm):
    """What a mineral brings of an element that its tag gives in parts per million.

    Any shape; kg/day and ppm in, mg/day out.

    mg = kg * ppm

    >>> round(mineral_brings_mg_per_day(0.227, 100), 1)
    22.7
    """
    return mineral_kg_per_day * tag_ppm


@working
def mineral_for_gap_pct(gap_g_per_day, mineral_kg_per_day):
    """Content at which a mineral closes a gap at its intake, in percent.

    Any shape; g/day and kg/day in, % out.

    % = gap / kg / 10

    >>> round(mineral_for_gap_pct(3.4, 0.0567), 1)
    6.0
    """
    return gap_g_per_day / mineral_kg_per_day / 10


@working
def mineral_for_gap_ppm(gap_mg_per_day, mineral_kg_per_day):
    """Content at which a mineral closes a gap at its intake, in parts per million.

    Any shape; mg/day and kg/day in, ppm out.

    ppm = gap / kg

    >>> round(mineral_for_gap_ppm(163.2, 0.1134))
    1439
    """
    return gap_mg_per_day / mineral_kg_per_day


@equation("MONTANA-MINERAL", "example 1", seen=True)
def whole_diet_ppm_dm(supplied_mg_per_day, diet_kg_per_day):
    """Concentration in the whole diet: the only one to compare with a need or a limit.

    Any shape; mg/day and kg of DM a day, the mineral's own included, in; ppm of DM out.

    ppm = mg / kg

    >>> round(whole_diet_ppm_dm(292.8, 12.81), 1)
    22.9
    """
    return supplied_mg_per_day / diet_kg_per_day


@equation("FDA-SELENIUM", "3 mg of added selenium per head and day, beef cattle", seen=True)
def selenium_mix_most_kg_per_day(tag_se_ppm):
    """Most of a selenium mix that may be eaten in a day under the legal ceiling.

    Any shape; ppm (at most 120 in free-choice mixes) in, kg/day out. All sources count together;
    selenium in the forage neither counts nor makes room. A state's rule may be stricter.

    kg = 3 mg / ppm

    >>> round(selenium_mix_most_kg_per_day(120) * 1000)
    25
    """
    return SELENIUM_MOST / tag_se_ppm


@equation("STANDARD", "atomic weights: salt is 39.3 % sodium", seen=True)
def sodium_from_salt_pct(salt_pct):
    """Sodium that a percentage of salt holds.

    Any shape; % in and out.

    Na = 0.393 * salt

    >>> round(sodium_from_salt_pct(24), 2)
    9.43
    """
    return SODIUM_IN_SALT * salt_pct


@equation("OSU-ANSI-3036", "text: 1 mg of beta-carotene is 400 IU", seen=True)
def vitamin_a_iu_per_kg_dm(carotene_ppm_dm):
    """Vitamin A that cattle make of the carotene of a forage.

    Any shape; mg/kg DM in, IU/kg DM out.

    A = 400 * carotene

    >>> vitamin_a_iu_per_kg_dm(7)
    2800.0
    """
    return CAROTENE_IU * carotene_ppm_dm


@equation("HAY-STORAGE", "80 % lost in curing, then 7 % of the rest a month", seen=True)
def carotene_left_share(stored_months):
    """Share of the fresh forage's carotene that is left in stored hay.

    Any shape; months in, share out. Hay older than six months and dormant range are best planned
    with none.

    share = 0.20 * 0.93**months

    >>> round(carotene_left_share(6), 2)
    0.13
    """
    return CURED * KEPT**stored_months


@equation("NEBRASKA-MG", "bag count", seen=True)
def bags_needed(head, mineral_kg_per_day, feeding_days, bag_kg):
    """Bags of mineral that a group takes.

    Any shape; head, kg/day, days and kg in; bags out, not rounded.

    bags = head * kg/day * days / bag

    >>> round(bags_needed(100, 2 / 16 * 0.45359237, 60, 50 * 0.45359237), 6)
    15.0
    """
    return head * mineral_kg_per_day * feeding_days / bag_kg


@equation("SDSU-MINERAL", "arithmetic of a mineral program: use over head and days", seen=False)
def mineral_eaten_kg_per_day(mineral_used_kg, head, feeding_days):
    """What a head has eaten of a mineral, from what the group has used up.

    Any shape; kg, head and days in; kg/day out. Weigh what is left in the feeders.

    kg/day = used / head / days

    >>> round(mineral_eaten_kg_per_day(6000, 100, 365) * 16, 2)  # pounds in, ounces out
    2.63
    """
    return mineral_used_kg / head / feeding_days


@equation("SDSU-MINERAL", "arithmetic of a mineral program: eaten over tag", seen=False)
def mineral_of_tag_pct(mineral_eaten_kg_per_day, label_intake_kg_per_day):
    """What is eaten of a mineral, beside the intake that its tag expects.

    Any shape; kg/day in, % out. Well above or below 100 the tag's contents mislead.

    100 eaten / tag

    >>> round(mineral_of_tag_pct(2.63, 4))
    66
    """
    return 100 * mineral_eaten_kg_per_day / label_intake_kg_per_day
