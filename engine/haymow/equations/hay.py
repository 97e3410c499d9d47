"""Hay and pasture on hand: bales, losses, what can be eaten, what must be hauled.

Losses are divided by what is left of the feed, never added on top of it: only that keeps every
pound (some printed sheets do the other).
"""

from ..dialect import equation

__all__ = [
    "bale_size_kg", "grazable_dm_kg", "hay_bales", "hay_hauled_kg", "hay_price_usd_per_tonne",
    "hay_usable_dm_kg",
]

QUARTER_PI = 0.7853981633974483


@equation("TAMU-HAY", "bale list, 11.21 lb per cubic foot", seen=True)
def bale_size_kg(bale_width_m, bale_diameter_m, bale_density_kg_per_m3):
    """Weight of a round bale by its size; bales of one size vary by 200 to 500 lb: weigh some.

    Any shape; m and kg/m3 in, kg out.

    pi / 4 diameter**2 width density

    >>> round(float(bale_size_kg(5 * 0.3048, 6 * 0.3048, 11.21 * 16.018463)) / 0.45359237)
    1585
    """
    return QUARTER_PI * bale_diameter_m**2 * bale_width_m * bale_density_kg_per_m3


@equation("HAYMOW", "conservation of feed", seen=True)
def hay_usable_dm_kg(hay_kg, dm_pct_as_fed, storage_loss_pct, feeding_loss_pct):
    """Dry matter that will be eaten of hay that is there.

    Any shape; kg as fed and % in, kg of dry matter out.

    hay DM (1 - storage loss) (1 - feeding loss)

    >>> float(hay_usable_dm_kg(1000.0, 90.0, 10.0, 20.0))
    648.0
    """
    kept = (100 - storage_loss_pct) * (100 - feeding_loss_pct) / 10000
    return hay_kg * dm_pct_as_fed / 100 * kept


@equation("HAYMOW", "conservation of feed", seen=True)
def hay_hauled_kg(eaten_dm_kg, dm_pct_as_fed, storage_loss_pct, feeding_loss_pct):
    """Hay as fed that must be there for so much dry matter to be eaten.

    Any shape; kg of dry matter and % in, kg as fed out.

    eaten / DM / ((1 - storage loss) (1 - feeding loss))

    >>> float(hay_hauled_kg(648.0, 90.0, 10.0, 20.0))
    1000.0
    """
    kept = (100 - storage_loss_pct) * (100 - feeding_loss_pct) / 10000
    return eaten_dm_kg / (dm_pct_as_fed / 100) / kept


@equation("STANDARD", "weight over weight", seen=True)
def hay_bales(hay_hauled_kg, bale_kg):
    """Bales of so much hay.

    Any shape; kg in, bales out.

    hay / bale

    >>> hay_bales(1000.0, 500.0)
    2.0
    """
    return hay_hauled_kg / bale_kg


@equation("STANDARD", "price over weight", seen=True)
def hay_price_usd_per_tonne(bale_usd, bale_kg):
    """Price of hay that is sold by the bale.

    Any shape; $ and kg in, $/tonne out.

    bale price / bale weight * 1,000

    >>> hay_price_usd_per_tonne(40.0, 500.0)
    80.0
    """
    return bale_usd / bale_kg * 1000


@equation("HAYMOW", "area times growth times the part grazed", seen=True)
def grazable_dm_kg(grazed_ha, growth_kg_per_ha, growth_year_pct, harvest_pct):
    """Dry matter that can be grazed of a pasture's growth of the season.

    Any shape; ha, kg/ha of dry matter and % in, kg out. A dry year grows less, a wet one more.

    area growth (% of usual) (part grazed)

    >>> grazable_dm_kg(10.0, 2000.0, 100.0, 25.0)
    5000.0
    """
    return grazed_ha * growth_kg_per_ha * growth_year_pct * harvest_pct / 10000
