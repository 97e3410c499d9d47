"""How each hazard of the whole diet stands: 0 cannot be, 1 ok, 2 not known, 3 look, 4 hazard.

The numbers are in order, so that the worst of several is the largest: what is known to harm goes
before what is not known, and what is not known is never ok.
"""

import numpy as np

from ..dialect import only_if, typed_or, working

__all__ = [
    "energy_open", "energy_why_no", "first_any_no", "first_listed_no", "first_milder_no",
    "protein_cannot_no", "second_unjudged_used", "state_cap", "state_copper", "state_excess",
    "state_fat", "state_gossypol", "state_green", "state_nitrate", "state_rawbeans",
    "state_salt", "state_selenium", "state_sheep", "state_starch", "state_sulfur",
    "state_suspected", "state_tetany", "state_urea", "state_water", "suspected_level",
    "tdn_short_kg_per_day", "third_unjudged_used", "unjudged_no", "worst_no",
]

NOT_KNOWN = 2.0
WELL_MET = 95.0  # % of the need; design choice: a month that begins fed late is not meant


# --- how each hazard stands
@working
def state_nitrate(nitrate_level, lines_unknown, class_row):
    """What is not known of feeds leaves nitrate unknown too."""
    return np.maximum(typed_or(nitrate_level, NOT_KNOWN), np.minimum(lines_unknown, 1) * NOT_KNOWN)


@working
def state_urea(urea_level, untold_urea, lines_unknown, class_row):
    """None, or within limits, only if all feeds tell."""
    doubt = np.minimum(untold_urea + lines_unknown, 1) * NOT_KNOWN
    return np.maximum(typed_or(urea_level, NOT_KNOWN), doubt)


@working
def state_rawbeans(fed_raw, fed_urea, untold_urea, lines_unknown, class_row):
    """Raw soybeans with urea, at any amount."""
    beans = np.where(fed_raw > 0, 1.0, 0.0)
    doubt = np.minimum(beans * untold_urea + lines_unknown, 1) * NOT_KNOWN
    return np.maximum(beans * (1 + (fed_urea > 0) * 3), doubt)


@working
def state_sulfur(sulfur_level, sulfate_used_ppm, class_row):
    """Not known before the water is tested."""
    return np.maximum(typed_or(sulfur_level, NOT_KNOWN), (sulfate_used_ppm <= 0) * NOT_KNOWN)


@working
def state_copper(copper_level, copper_double_level, class_row):
    """Of the whole diet, never of forage or tag alone."""
    return np.maximum(typed_or(copper_level, NOT_KNOWN), typed_or(copper_double_level, NOT_KNOWN))


@working
def state_sheep(sheep_diet_level, fed_cufeed, untold_cu, lines_unknown, sheep_used, class_row):
    """Where sheep can reach the feed."""
    doubt = np.minimum(untold_cu + lines_unknown, 1) * NOT_KNOWN
    worst = np.maximum(doubt, (fed_cufeed > 0) * 4.0)
    return sheep_used * np.maximum(typed_or(sheep_diet_level, NOT_KNOWN), worst)


@working
def state_selenium(se_law_level, se_diet_level, untold_se, lines_unknown, class_row):
    """By the law on added selenium and by what cattle bear."""
    doubt = np.minimum(untold_se + lines_unknown, 1) * NOT_KNOWN
    return np.maximum(np.maximum(se_law_level, typed_or(se_diet_level, NOT_KNOWN)), doubt)


@working
def state_salt(salt_fed_level, salt_diet_level, class_row):
    """By the salt of feeds and by that of the whole diet."""
    return np.maximum(salt_fed_level, typed_or(salt_diet_level, NOT_KNOWN))


@working
def state_water(tds_level, sulfate_level, water_no3n_level, water_untested, class_row):
    """By the worst of its classes."""
    worst = np.maximum(tds_level, np.maximum(sulfate_level, water_no3n_level))
    return np.maximum(worst, np.minimum(water_untested, 1) * NOT_KNOWN)


@working
def state_gossypol(gossypol_level, untold_gossypol, lines_unknown, class_row):
    """Where cottonseed is fed."""
    doubt = np.minimum(untold_gossypol + lines_unknown, 1) * NOT_KNOWN
    return np.maximum(typed_or(gossypol_level, NOT_KNOWN), doubt)


@working
def state_starch(starch_level, untold_starch, lines_unknown, class_row):
    """Of all feeds."""
    doubt = np.minimum(untold_starch + lines_unknown, 1) * NOT_KNOWN
    return np.maximum(typed_or(starch_level, NOT_KNOWN), doubt)


@working
def state_fat(fat_level, untold_fat, lines_unknown, class_row):
    """Of the whole diet."""
    doubt = np.minimum(untold_fat + lines_unknown, 1) * NOT_KNOWN
    return np.maximum(typed_or(fat_level, NOT_KNOWN), doubt)


@working
def state_excess(excess_level, class_row):
    """Known to be above, known not to be, or not known."""
    return typed_or(excess_level, NOT_KNOWN)


@working
def state_tetany(tetany_ratio_level, tetany_level, class_row):
    """By the ratio, and by magnesium of cows in milk."""
    return np.maximum(typed_or(tetany_ratio_level, NOT_KNOWN), typed_or(tetany_level, NOT_KNOWN))


@working
def state_cap(cap_level, class_row):
    """In order, or not."""
    return typed_or(cap_level, NOT_KNOWN)


@working
def state_green(green_level, class_row):
    """Vitamin A by days without green feed."""
    return typed_or(green_level, NOT_KNOWN)


@working
def worst_no(first_hazard, first_look, first_not_known):
    """The worst of all hazards of the row, in the same numbers."""
    found = np.maximum((first_hazard > 0) * 4.0, (first_look > 0) * 3.0)
    return np.maximum(found, np.maximum((first_not_known > 0) * NOT_KNOWN, 1.0))


@working
def first_milder_no(first_look, first_not_known):
    """Number of the first one to look at, else of the first that is not known; 0 if none."""
    return np.where(first_look > 0, first_look, first_not_known)


@working
def first_any_no(first_hazard, first_milder_no):
    """Number of the first one of the worst kind; 0 where all is in order."""
    return np.where(first_hazard > 0, first_hazard, first_milder_no)


@working
def first_listed_no(first_any_no):
    """The same; blank where all is in order."""
    return only_if(first_any_no > 0, first_any_no)


# --- under suspicion
@working
def unjudged_no(first_no_entry, second_no_entry, forage_no):
    """1 the first suspicion has no entry for its result, 2 the second one, 3 both."""
    return typed_or(first_no_entry, 0.0) + 2 * typed_or(second_no_entry, 0.0)


@working
def second_unjudged_used(second_no, main_no, second_unjudged_no):
    """The same of the second forage, where it is another than the main one."""
    return np.where(second_no == main_no, 0.0, second_unjudged_no)


@working
def third_unjudged_used(third_no, main_no, third_unjudged_no):
    """The same of the third forage."""
    return np.where(third_no == main_no, 0.0, third_unjudged_no)


@working
def suspected_level(main_unjudged_no, second_unjudged_used, third_unjudged_used):
    """0 no forage eaten is under such a suspicion, 2 one is: not known."""
    found = main_unjudged_no + second_unjudged_used + third_unjudged_used
    return np.where(found > 0, NOT_KNOWN, 0.0)


@working
def state_suspected(suspected_level, class_row):
    """A test without an entry is not known until the suspicion is taken off."""
    return typed_or(suspected_level, NOT_KNOWN)


# --- protein will not fix it
@working
def tdn_short_kg_per_day(over_tdn):
    """TDN that forage alone leaves short, protein met; 0 where none."""
    return np.maximum(over_tdn * -1, 0)


@working
def energy_why_no(short_tdn, short_dm, intake_rule_no):
    """0 enough energy, 1 short of it, 2 and fiber fills them, 3 and too little forage."""
    return short_tdn * (1 + np.maximum((intake_rule_no == 6) * 1.0, short_dm * 2))


@working
def protein_cannot_no(energy_why_no, short_cp):
    """0 enough energy, 1 short of it though protein is met, 2 short of both."""
    return np.minimum(energy_why_no, 1) * (1 + short_cp)


@working
def energy_open(protein_cannot_no, tdn_met_pct_of_need):
    """1 where protein will not fix the forage and the plan leaves it well short of energy."""
    return np.where((protein_cannot_no > 0) & (tdn_met_pct_of_need < WELL_MET), 1.0, 0.0)
