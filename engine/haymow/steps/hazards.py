"""How near each hazard comes: 1 ok, 3 look, 4 hazard; blank where a value is missing."""

import numpy as np

from ..dialect import is_missing, only_if, ratio, typed_or, working
from ..equations.nitrate import no3n_with_water_ppm_dm
from ..equations.safety import (
    MOST_GOSSYPOL,
    MOST_SHEEP_CU,
    SEED_OF_DIET,
    salt_limit_kg_per_day,
)
from ..equations.safety import salt_kg_per_day as salt_of_sodium
from ..equations.tags import SELENIUM_MOST
from ..tables.small import rows_of
from ..units import KG_PER_LB

__all__ = [
    "cap_level", "copper_double_level", "copper_level", "copper_why_no", "day_dm_kg_per_day",
    "diet_cp_on_day_kg_per_day", "diet_fat_pct_dm", "double_cu_ppm_dm", "fat_level",
    "fed_gossypol_g_per_day", "fed_salt_kg_per_day", "fed_se_mg_per_day", "fed_starch_pct_bw",
    "gossypol_fed_level", "gossypol_level", "gossypol_over", "green_level",
    "highest_no3n_ppm_dm", "nitrate_level", "no3n_feed_ppm_dm", "no3n_safe_ppm_dm",
    "no3n_whole_ppm_dm", "salt_diet_level", "salt_fed_level", "salty_feed", "scheme_used_no",
    "se_diet_level", "se_law_level", "seed_kg_per_day", "selenium_rich", "sheep_diet_level",
    "sheep_used", "starch_level", "sulfate_level", "sulfate_used_ppm", "sulfur_level",
    "tds_level", "tds_used_ppm", "tender", "tetany_level", "tetany_ratio_level", "urea_danger",
    "urea_fed_level", "urea_kg_per_day", "urea_level", "urea_look", "urea_of_diet_pct",
    "urea_why_no", "water_no3n_level", "water_no3n_missing", "water_no3n_used_ppm",
    "water_untested",
]

NEARLY = 0.9  # of a limit, from which it is looked at
MOST_NPN = 100 / 3  # % of the diet's crude protein; quoted in the trade
MOST_UREA_OF_DIET = 1.0  # % of the dry matter; quoted in the trade
MEAL_UREA = 0.0003  # of body weight at one feeding: harms cattle not used to it; from memory
DAY_UREA = 0.00025  # of body weight a day on forage; from memory
YOUNG_KG = 450 * KG_PER_LB  # lighter cattle get no urea
POOR_TDN = 50.0  # % of DM: too little energy to use urea; from memory
CLEARLY = 1 + 1e-6  # an amount held to a limit is not above it
FAR_STARCH = 2.0  # times the limit on Start; ours
LOOK_FAT, MOST_FAT = 5.0, 7.0  # % of DM; from memory
_LEVELS = {row["nutrient"]: row for row in rows_of("mineral_levels")}
LOOK_SE, MOST_SE = (float(_LEVELS["se"][f"most_{year}"]) for year in (2000, 2016))
RICH_SE = 0.3  # ppm of DM, of forage beside which none is to be added
MOST_SALT = float(_LEVELS["salt"]["most_used"])
LIMITER = 0.5  # of the salt limit, from which a feed counts as limited by salt; design choice
DEADLY_SALT = 4 * KG_PER_LB  # kg at once
CALF_S, LOOK_S, MOST_S = (float(row["class_from"]) for row in rows_of("water_classes")
                          if row["measure"] == "sulfate mg/L" and float(row["class_from"]) > 0)
_TDS = [float(row["class_from"]) for row in rows_of("water_classes")
        if row["measure"] == "dissolved solids mg/L"]
LOOK_TDS, RISK_TDS, MOST_TDS = _TDS[-3:]
LOOK_N, MOST_N = (float(row["class_from"]) for row in rows_of("water_classes")
                  if row["measure"] == "nitrate-nitrogen mg/L" and float(row["class_from"]) > 0)


# --- nitrate
@working
def scheme_used_no(nitrate_scheme):
    """The scheme on Start, if it is one of the list."""
    first = (nitrate_scheme == 1) | (nitrate_scheme == 2)
    return only_if(first | (nitrate_scheme == 3) | (nitrate_scheme == 4), nitrate_scheme)


@working
def highest_no3n_ppm_dm(main_no3n_ppm_dm, second_no3n_ppm_dm, third_no3n_ppm_dm):
    """The highest of the forages that are eaten."""
    return np.maximum(main_no3n_ppm_dm, np.maximum(second_no3n_ppm_dm, third_no3n_ppm_dm))


@working
def no3n_feed_ppm_dm(forage_no3n_ppm_dm, forage_eaten_kg_per_day, fed_no3n, fed_tested):
    """Forages and the feeds that were tested; an untested feed counts neither way."""
    brought = forage_no3n_ppm_dm * forage_eaten_kg_per_day + fed_no3n
    return ratio(brought, forage_eaten_kg_per_day + fed_tested, 0.0)


@working
def water_no3n_used_ppm(water_no3n_ppm, class_row):
    """Nitrate-nitrogen of the water; none counted where it was not tested."""
    return typed_or(water_no3n_ppm, 0.0)


@working
def water_no3n_missing(water_no3n_ppm, class_row):
    """1 where the water was not tested for nitrate."""
    return is_missing(water_no3n_ppm) * 1


@working
def no3n_whole_ppm_dm(no3n_feed_ppm_dm, water_no3n_used_ppm, water_used_l_per_day,
                      diet_dm_kg_per_day):
    """Nitrate-nitrogen of the whole diet, water included."""
    return no3n_with_water_ppm_dm(no3n_feed_ppm_dm, water_no3n_used_ppm, water_used_l_per_day,
                                  diet_dm_kg_per_day)


@working
def no3n_safe_ppm_dm(pregnant_share, safe_no3n_ppm_dm, safe_pregnant_no3n_ppm_dm):
    """Below it the diet is safe for these animals."""
    return np.where(pregnant_share > 0, safe_pregnant_no3n_ppm_dm, safe_no3n_ppm_dm)


@working
def nitrate_level(no3n_whole_ppm_dm, highest_no3n_ppm_dm, no3n_safe_ppm_dm, safe_no3n_ppm_dm):
    """1 ok, 3 limited for these animals, or one forage is, 4 the diet is above any animal's limit.

    A class that may be half of the diet is no whole diet: what exceeds it is a hazard.
    """
    limited = np.maximum(no3n_whole_ppm_dm, highest_no3n_ppm_dm) >= no3n_safe_ppm_dm
    return 1 + limited * 2.0 + (no3n_whole_ppm_dm >= safe_no3n_ppm_dm)


# --- urea
@working
def day_dm_kg_per_day(forage_eaten_kg_per_day, fed_day_kg):
    """Dry matter of the whole diet on a day of feeding."""
    return forage_eaten_kg_per_day + fed_day_kg


@working
def diet_cp_on_day_kg_per_day(forage_cp_pct_dm, forage_eaten_kg_per_day, fed_cp):
    """Crude protein of the whole diet on a day of feeding."""
    return forage_cp_pct_dm * forage_eaten_kg_per_day / 100 + fed_cp


@working
def urea_kg_per_day(fed_urea):
    """Urea, and what counts as urea, of all feeds."""
    return fed_urea * 1


@working
def urea_of_diet_pct(urea_kg_per_day, day_dm_kg_per_day):
    """Its part of the dry matter."""
    return ratio(urea_kg_per_day, day_dm_kg_per_day, 0.0) * 100


@working
def urea_danger(npn_of_diet_cp_pct, urea_of_diet_pct, meal_urea_kg_per_day, shrunk_weight_kg):
    """1 too much at a feeding, 2 of the diet, 3 of the protein, 4 cattle too light for it."""
    meal = (meal_urea_kg_per_day > MEAL_UREA * shrunk_weight_kg) * 1.0
    diet = (urea_of_diet_pct > MOST_UREA_OF_DIET) * 2.0
    protein = (npn_of_diet_cp_pct > MOST_NPN) * 3.0
    return np.maximum(np.maximum(meal, diet),
                      np.maximum(protein, (shrunk_weight_kg < YOUNG_KG) * 4.0))


@working
def urea_look(new_urea, rare_feedings, strong_feeds, tdn_pct_dm, urea_kg_per_day, shrunk_weight_kg):
    """5 new to it, 6 too seldom, 7 strong feed, 8 poor forage, 9 much by weight; 0 none."""
    fed = np.maximum((new_urea > 0) * 5.0, (rare_feedings > 0) * 6.0)
    strong = np.maximum((strong_feeds > 0) * 7.0, (tdn_pct_dm < POOR_TDN) * 8.0)
    much = (urea_kg_per_day > DAY_UREA * shrunk_weight_kg) * 9.0
    return np.maximum(np.maximum(fed, strong), much)


@working
def urea_why_no(urea_danger, urea_look):
    """Why: the danger, else what to look at, else 0."""
    return np.where(urea_danger > 0, urea_danger, urea_look)


@working
def urea_fed_level(urea_danger, urea_why_no):
    """1 ok, 3 look, 4 hazard, where urea is fed."""
    return 1 + (urea_why_no > 0) * 2.0 + (urea_danger > 0)


@working
def urea_level(fed_urea, urea_fed_level):
    """The same; 0 where none is fed."""
    return np.where(fed_urea > 0, urea_fed_level, 0.0)


# --- the others
@working
def sulfur_level(diet_s_pct_dm, most_s_pct_dm):
    """1 ok, 3 near the limit, 4 above it."""
    return 1 + (diet_s_pct_dm > NEARLY * most_s_pct_dm) * 2.0 + (diet_s_pct_dm > most_s_pct_dm)


@working
def sulfate_used_ppm(water_sulfate_ppm, class_row):
    """Sulfate of the water, 0 where it was not tested."""
    return typed_or(water_sulfate_ppm, 0.0)


@working
def double_cu_ppm_dm(diet_cu_ppm_dm, diet_dm_kg_per_day, self_fed_kg, self_fed_cu):
    """Copper of the diet where they eat twice of what is put out."""
    brought = diet_cu_ppm_dm * diet_dm_kg_per_day + self_fed_cu
    return ratio(brought, diet_dm_kg_per_day + self_fed_kg, 0.0)


@working
def copper_level(diet_cu_ppm_dm, most_cu_ppm_dm):
    """1 ok, 4 above what cattle bear."""
    return 1 + (diet_cu_ppm_dm > most_cu_ppm_dm) * 3.0


@working
def copper_why_no(double_cu_ppm_dm, most_cu_ppm_dm, copper_no):
    """0 ok, 1 above it at twice the mineral, 2 bound by other minerals, 3 both."""
    bound = (typed_or(copper_no, 0.0) > 0) * 2.0
    return (double_cu_ppm_dm > most_cu_ppm_dm) * 1.0 + bound


@working
def copper_double_level(copper_why_no):
    """1 ok, 3 to look at."""
    return 1 + np.minimum(copper_why_no, 1) * 2


@working
def sheep_diet_level(diet_cu_ppm_dm):
    """1 ok, 4 above what a sheep's whole diet may hold."""
    return 1 + (diet_cu_ppm_dm > MOST_SHEEP_CU) * 3.0


@working
def fed_se_mg_per_day(fed_se):
    """Selenium of all feeds."""
    return fed_se * 1


@working
def se_law_level(fed_se_mg_per_day, fed_semix):
    """1 within the law on added selenium, 4 not."""
    return 1 + ((fed_se_mg_per_day > SELENIUM_MOST) | (fed_semix > 0)) * 3.0


@working
def selenium_rich(forage_se_ppm_dm, fed_se_mg_per_day):
    """1 where selenium is fed beside forage that holds enough."""
    return np.where((forage_se_ppm_dm >= RICH_SE) & (fed_se_mg_per_day > 0), 1.0, 0.0)


@working
def se_diet_level(diet_se_ppm_dm, selenium_rich):
    """1 ok, 3 above the older limit or rich forage, 4 above the newer one."""
    much = (diet_se_ppm_dm > LOOK_SE) | (selenium_rich > 0)
    return np.maximum(1 + much * 2.0, (diet_se_ppm_dm > MOST_SE) * 4.0)


@working
def water_untested(sulfate_used_ppm, water_tds_ppm, water_no3n_ppm, class_row):
    """How many of the three tests of the water are missing."""
    return is_missing(water_tds_ppm) + is_missing(water_no3n_ppm) + (sulfate_used_ppm <= 0)


@working
def sheep_used(sheep_near, class_row):
    """1 where sheep can reach the feed."""
    return np.where(typed_or(sheep_near, 0.0) > 0, 1.0, 0.0)


@working
def tds_used_ppm(water_tds_ppm, class_row):
    """Dissolved solids of the water, 0 where they were not tested."""
    return typed_or(water_tds_ppm, 0.0)


@working
def fed_salt_kg_per_day(fed_na):
    """Salt of all feeds, by their sodium."""
    return salt_of_sodium(fed_na)


@working
def salty_feed(salt_kg_per_day, shrunk_weight_kg):
    """1 where so much salt is fed that it limits intake."""
    limit = LIMITER * salt_limit_kg_per_day(shrunk_weight_kg)
    return np.where(salt_kg_per_day > limit, 1.0, 0.0)


@working
def salt_fed_level(salty_feed, tds_used_ppm, salt_kg_per_day):
    """1 ok, 3 limited by salt, 4 with salty water, or a deadly dose."""
    deadly = (salty_feed * tds_used_ppm >= LOOK_TDS) | (salt_kg_per_day >= DEADLY_SALT)
    return 1 + salty_feed * 2 + deadly


@working
def salt_diet_level(diet_salt_pct_dm):
    """1 ok, 3 above what the whole diet may hold."""
    return 1 + (diet_salt_pct_dm > MOST_SALT) * 2.0


@working
def tender(pregnant_share, lactating_share, grows):
    """1 for pregnant, nursing and young cattle."""
    return np.where(pregnant_share + lactating_share + grows > 0, 1.0, 0.0)


@working
def tds_level(tds_used_ppm, tender):
    """1 ok, 3 avoid for these animals, 4 a risk; by the classes of dissolved solids."""
    look = (tds_used_ppm >= LOOK_TDS) * tender * 2
    risk = (tds_used_ppm >= RISK_TDS) * (2 + tender)
    return 1 + np.maximum(np.maximum(look, risk), (tds_used_ppm >= MOST_TDS) * 3.0)


@working
def sulfate_level(sulfate_used_ppm, grows):
    """1 ok, 3 too much for calves or on dry feed, 4 not to be drunk."""
    look = (sulfate_used_ppm >= LOOK_S) | ((sulfate_used_ppm >= CALF_S) & (grows > 0))
    return 1 + look * 2.0 + (sulfate_used_ppm >= MOST_S)


@working
def water_no3n_level(water_no3n_used_ppm):
    """1 ok, 3 add the feed's nitrate, 4 can kill."""
    return 1 + (water_no3n_used_ppm >= LOOK_N) * 2.0 + (water_no3n_used_ppm >= MOST_N)


@working
def seed_kg_per_day(fed_seed):
    """Whole cottonseed, as fed."""
    return fed_seed * 1


@working
def fed_gossypol_g_per_day(fed_gossypol):
    """Free gossypol of all feeds."""
    return fed_gossypol * 1


@working
def gossypol_over(fed_gossypol_g_per_day, seed_kg_per_day, seed_most_kg_per_day,
                  day_dm_kg_per_day):
    """1 where gossypol or whole cottonseed is above a limit."""
    seed = (seed_kg_per_day > seed_most_kg_per_day) \
        | (seed_kg_per_day * 100 > SEED_OF_DIET * day_dm_kg_per_day)
    return np.where(seed | (fed_gossypol_g_per_day > MOST_GOSSYPOL), 1.0, 0.0)


@working
def gossypol_fed_level(gossypol_over, sex_factor, grows):
    """1 ok, 3 fed to bulls or growing cattle, 4 above a limit, where cottonseed is fed."""
    return 1 + np.maximum(((sex_factor > 1) | (grows > 0)) * 2.0, gossypol_over * 3)


@working
def gossypol_level(fed_cotton, gossypol_fed_level):
    """The same; 0 where no cottonseed is fed."""
    return np.where(fed_cotton > 0, gossypol_fed_level, 0.0)


@working
def diet_fat_pct_dm(fat_pct_dm, forage_eaten_kg_per_day, fed_fat, day_dm_kg_per_day):
    """Fat of the whole diet."""
    brought = fat_pct_dm * forage_eaten_kg_per_day + fed_fat
    return ratio(brought, day_dm_kg_per_day, 0.0)


@working
def fat_level(diet_fat_pct_dm):
    """1 ok, 3 much, 4 too much."""
    return 1 + (diet_fat_pct_dm > LOOK_FAT) * 2.0 + (diet_fat_pct_dm > MOST_FAT)


@working
def fed_starch_pct_bw(fed_starch, shrunk_weight_kg):
    """Starch of all feeds on a day of feeding."""
    return fed_starch / shrunk_weight_kg


@working
def starch_level(fed_starch_pct_bw, most_starch_pct_bw):
    """1 ok, 3 above the limit on Start, 4 far above."""
    most = most_starch_pct_bw * CLEARLY
    return 1 + (fed_starch_pct_bw > most) * 2.0 + (fed_starch_pct_bw > FAR_STARCH * most)


@working
def tetany_ratio_level(tetany_no):
    """1 ok, 3 above the ratio of risk."""
    return 1 + tetany_no * 2


@working
def cap_level(ca_p_no):
    """1 in order, 3 not."""
    return 1 + np.minimum(ca_p_no, 1) * 2


@working
def tetany_level(lactating_share, mg_short):
    """3 where magnesium is short in milk."""
    return 1 + ((lactating_share > 0) & (mg_short > 0)) * 2.0


@working
def green_level(green_no, fed_vita, vita_level, diet_dm_kg_per_day):
    """3 from 120 days without green feed on, if feeds bring too little vitamin A."""
    short = (green_no >= 2) & (fed_vita < vita_level * diet_dm_kg_per_day)
    return 1 + short * 2.0
