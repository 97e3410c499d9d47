"""Amounts of feed as fed and in dry matter, and what a unit of a nutrient in it costs."""

from ..dialect import equation

__all__ = ["as_fed_kg_per_day", "dry_matter_kg_per_day", "nutrient_usd_per_kg"]


@equation("STANDARD", "arithmetic of the dry matter basis", seen=True)
def as_fed_kg_per_day(dry_matter_kg_per_day, dm_pct_as_fed):
    """Amount as fed that holds an amount of dry matter.

    Any shape; kg/day in and out.

    as fed = dry matter / (DM / 100)

    >>> as_fed_kg_per_day(9.0, 90.0)
    10.0
    """
    return dry_matter_kg_per_day / dm_pct_as_fed * 100


@equation("STANDARD", "arithmetic of the dry matter basis", seen=True)
def dry_matter_kg_per_day(as_fed_kg_per_day, dm_pct_as_fed):
    """Dry matter in an amount as fed.

    Any shape; kg/day in and out.

    dry matter = as fed * DM / 100

    >>> dry_matter_kg_per_day(10.0, 90.0)
    9.0
    """
    return as_fed_kg_per_day * dm_pct_as_fed / 100


@equation("STANDARD", "price over content", seen=True)
def nutrient_usd_per_kg(price_usd_per_tonne, dm_pct_as_fed, value_pct_dm):
    """What a unit of a nutrient in a feed costs.

    Any shape; $/tonne as fed and % in, $/kg of the nutrient out. The content is in dry matter.

    cost = price / (1000 * DM / 100 * content / 100)

    >>> round(nutrient_usd_per_kg(300.0, 90.0, 30.0), 2)
    1.11
    """
    return price_usd_per_tonne * 10 / (dm_pct_as_fed * value_pct_dm)
