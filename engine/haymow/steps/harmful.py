"""What each product and each feeding line brings of what can harm."""

import numpy as np

from ..dialect import is_missing, typed_or, working
from ..equations.safety import MOST_SE_MIX, MOST_SHEEP_CU, urea_of_npn_pct

__all__ = [
    "adapting", "brings", "brings_tested", "carried_cotton", "carried_cp", "carried_cu",
    "carried_cufeed", "carried_fat", "carried_gossypol", "carried_na", "carried_no3n",
    "carried_raw", "carried_se", "carried_seed", "carried_semix", "carried_starch",
    "carried_strong", "carried_tested", "carried_urea", "carried_vita", "day_kg_per_day",
    "doubted", "fat_used_pct_dm", "fed_flag", "gossypol_g_per_kg", "gossypol_used_g_per_kg",
    "line_meal_urea", "rare_urea", "self_fed_cu_mg_per_day", "self_fed_kg_per_day",
    "starch_told_pct_dm", "strong_urea", "untold_cu", "untold_fat", "untold_gossypol",
    "untold_se", "untold_starch", "untold_urea", "urea_pct_dm", "urea_used_pct_dm",
]

COTTON = 3  # number of whole cottonseed among what a feed may hold; meal and hulls follow
MOST_UREA_OF_FEED = 3.0  # % of a feed as fed by hand
EVERY_OTHER_DAY = 3.5  # feedings a week
ADAPT_DAYS = 21.0  # two to three weeks; from memory


# --- a product: what a kg of its dry matter brings
@working
def urea_pct_dm(dry_matter_cp, npn_used_pct_of_cp):
    """Urea, and what counts as urea, by the tag's nonprotein nitrogen."""
    return urea_of_npn_pct(dry_matter_cp * npn_used_pct_of_cp / 100)


@working
def urea_used_pct_dm(dry_matter_cp, urea_pct_dm):
    """The same; none in a feed without protein."""
    return np.where(dry_matter_cp > 0, urea_pct_dm, 0.0)


@working
def fat_used_pct_dm(dry_matter_tdn, dry_matter_fat):
    """Fat; none in a feed without energy."""
    return np.where(dry_matter_tdn > 0, dry_matter_fat, 0.0)


@working
def gossypol_g_per_kg(free_gossypol_ppm_dm):
    """Free gossypol."""
    return free_gossypol_ppm_dm / 1000


@working
def gossypol_used_g_per_kg(holds_no, gossypol_g_per_kg):
    """The same; none in a feed that is no cottonseed product."""
    return np.where(holds_no >= COTTON, gossypol_g_per_kg, 0.0)


@working
def carried_urea(urea_used_pct_dm):
    """Urea, kg; 0 where it is not known."""
    return typed_or(urea_used_pct_dm, 0.0) / 100


@working
def carried_strong(urea_used_pct_dm, dm_factor_as_fed):
    """What holds much urea as fed, kg."""
    as_fed = typed_or(urea_used_pct_dm, 0.0) / dm_factor_as_fed
    return np.where(as_fed > MOST_UREA_OF_FEED, 1.0, 0.0)


@working
def carried_cp(dry_matter_cp):
    """Crude protein, kg; 0 where it is not known."""
    return typed_or(dry_matter_cp, 0.0) / 100


@working
def carried_no3n(dry_matter_no3n):
    """Nitrate-nitrogen, mg; 0 where it was not tested."""
    return typed_or(dry_matter_no3n, 0.0)


@working
def carried_tested(dry_matter_no3n):
    """Dry matter that was tested for nitrate, kg."""
    return 1 - is_missing(dry_matter_no3n)


@working
def carried_fat(fat_used_pct_dm):
    """Fat, in hundredths of a kg; 0 where it is not known."""
    return typed_or(fat_used_pct_dm, 0.0)


@working
def carried_cu(dry_matter_cu):
    """Copper, mg; 0 where it is not known."""
    return typed_or(dry_matter_cu, 0.0)


@working
def carried_se(dry_matter_se):
    """Selenium, mg; 0 where it is not known."""
    return typed_or(dry_matter_se, 0.0)


@working
def carried_na(dry_matter_na):
    """Sodium, g; 0 where it is not known."""
    return typed_or(dry_matter_na, 0.0) * 10


@working
def carried_vita(dry_matter_vita):
    """Vitamin A, IU; 0 where it is not known."""
    return typed_or(dry_matter_vita, 0.0)


@working
def carried_gossypol(gossypol_used_g_per_kg):
    """Free gossypol, g; 0 where it is not known."""
    return typed_or(gossypol_used_g_per_kg, 0.0)


@working
def carried_seed(holds_no, dm_factor_as_fed):
    """Whole cottonseed, kg as fed."""
    return np.where(holds_no == COTTON, dm_factor_as_fed, 0.0)


@working
def carried_cotton(holds_no):
    """Cottonseed products, kg."""
    return np.where(holds_no >= COTTON, 1.0, 0.0)


@working
def carried_raw(holds_no):
    """Raw soybeans, kg."""
    return np.where(holds_no == 2, 1.0, 0.0)


@working
def carried_semix(dry_matter_se):
    """What holds more selenium than law lets a free-choice mix hold, kg."""
    return np.where(typed_or(dry_matter_se, 0.0) > MOST_SE_MIX, 1.0, 0.0)


@working
def carried_cufeed(dry_matter_cu):
    """What holds more copper than a sheep's whole diet may, kg."""
    return np.where(typed_or(dry_matter_cu, 0.0) > MOST_SHEEP_CU, 1.0, 0.0)


@working
def untold_urea(urea_used_pct_dm, used):
    """1 where it is not known whether the feed holds urea."""
    return is_missing(urea_used_pct_dm) * used


@working
def untold_fat(fat_used_pct_dm, used):
    """1 where its fat is not known."""
    return is_missing(fat_used_pct_dm) * used


@working
def starch_told_pct_dm(dry_matter_tdn, starch_used_pct_dm):
    """Starch of a feed; none in a feed without energy."""
    return np.where(dry_matter_tdn > 0, starch_used_pct_dm, 0.0)


@working
def carried_starch(starch_told_pct_dm):
    """Starch, in hundredths of a kg; 0 where it is not known."""
    return typed_or(starch_told_pct_dm, 0.0)


@working
def untold_starch(starch_told_pct_dm, used):
    """1 where its starch is not known."""
    return is_missing(starch_told_pct_dm) * used


@working
def untold_cu(dry_matter_cu, used):
    """1 where its copper is not known."""
    return is_missing(dry_matter_cu) * used


@working
def untold_se(dry_matter_se, used):
    """1 where its selenium is not known."""
    return is_missing(dry_matter_se) * used


@working
def untold_gossypol(gossypol_used_g_per_kg, holds_no):
    """1 where free gossypol of a meal or of hulls is not known; seed is judged by its weight."""
    return is_missing(gossypol_used_g_per_kg) * (holds_no > COTTON)


# --- a line of feed
@working
def day_kg_per_day(fed_flag, fed_each_day_kg_per_day):
    """Dry matter on a day of feeding: a month that is fed in part must not hide it."""
    return np.where(fed_flag > 0, fed_each_day_kg_per_day, 0.0)


@working
def brings(day_kg_per_day, carried):
    """What the line brings a head on a day of feeding."""
    return day_kg_per_day * carried


@working
def brings_tested(day_kg_per_day, carried, fed_days_used, days):
    """What thins nitrate: only what is fed on all days of the month."""
    return np.where(fed_days_used >= days, day_kg_per_day * carried, 0.0)


@working
def doubted(fed_flag, untold_of):
    """1 where the line feeds what its tag does not tell."""
    return fed_flag * untold_of


@working
def fed_flag(amount_kg_per_day):
    """1 where the line feeds something in the month."""
    return np.where(amount_kg_per_day > 0, 1.0, 0.0)


@working
def line_meal_urea(brings_urea, times_used):
    """Urea at one feeding, kg a head."""
    return brings_urea * 7 / times_used


@working
def rare_urea(brings_urea, times_used):
    """1 where a feed with urea is fed less often than every other day."""
    return np.where((brings_urea > 0) & (times_used < EVERY_OTHER_DAY), 1.0, 0.0)


@working
def adapting(brings_urea, start_on, first_day):
    """1 in a month in which cattle are still getting used to a feed with urea."""
    return np.where((brings_urea > 0) & (start_on + ADAPT_DAYS > first_day), 1.0, 0.0)


@working
def strong_urea(brings_strong, mode_no):
    """1 where a feed that is fed by hand holds much urea."""
    return np.where((brings_strong > 0) & (mode_no < 3), 1.0, 0.0)


@working
def self_fed_kg_per_day(day_kg_per_day, mode_no):
    """Dry matter of what is put out for them to eat as they like."""
    return np.where(mode_no > 2, day_kg_per_day, 0.0)


@working
def self_fed_cu_mg_per_day(brings_cu, mode_no):
    """Copper in it."""
    return np.where(mode_no > 2, brings_cu, 0.0)
