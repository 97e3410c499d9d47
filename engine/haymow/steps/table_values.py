"""Where a table value stands in for a test, and what rests on one; the price of nutrients."""

import numpy as np

from ..dialect import is_missing, only_if, typed_or, working
from ..equations.amounts import nutrient_usd_per_kg
from ..equations.forage import feed_de_mcal_per_kg, feed_me_mcal_per_kg, feed_nem_mcal_per_kg

__all__ = [
    "balance_table_no", "basis_known", "cp_price_usd_per_kg", "diet_table_no",
    "dm_or_table_pct_as_fed", "feed_content", "feed_content_dm", "feed_content_nem",
    "feed_content_rdp", "feed_rdp_pct_of_cp", "feeds_table_no", "forage_table_no", "main_table_no",
    "natural_cp_pct_dm", "natural_cp_price_usd_per_kg", "npn_used_pct_of_cp", "on_tables_no",
    "plan_on_table", "quality_table_no", "rdp_by_share_pct_dm", "rests", "rests_nem",
    "second_table_no", "stands_in", "stands_in_dm", "stands_in_nem", "stands_in_rdp", "table_no",
    "table_rdp_pct_of_cp", "table_so_far_no", "tag_dm_pct_as_fed", "tag_stands_in",
    "tag_stands_in_nem", "tag_stands_in_rdp", "tdn_price_usd_per_kg", "third_table_no", "typed",
    "usable_usd_per_tonne", "usual", "usual_dm", "usual_me_mcal_per_kg", "usual_nem", "usual_rdp",
]


# --- forages: the average of the samples, else the table
@working
def usual(averaged, table_value):
    """The average of the samples; without one, the table value."""
    return typed_or(averaged, table_value)


@working
def usual_dm(kind_row):
    """Dry matter itself: all of it, of a forage whose kind is known."""
    return np.where(kind_row > 0, 100.0, 0.0)


@working
def usual_nem(usual_me_mcal_per_kg):
    """NEm from the ME."""
    return feed_nem_mcal_per_kg(usual_me_mcal_per_kg)


@working
def usual_me_mcal_per_kg(usual_tdn):
    """ME from the TDN."""
    return feed_me_mcal_per_kg(feed_de_mcal_per_kg(usual_tdn))


@working
def usual_rdp(pulled_rdp_pct_dm, averaged_rdp, rdp_by_share_pct_dm):
    """Rumen-degradable protein of the samples; without one, by its share of the CP in use."""
    return typed_or(pulled_rdp_pct_dm, typed_or(averaged_rdp, rdp_by_share_pct_dm))


@working
def rdp_by_share_pct_dm(usual_cp, rdp_used_pct_of_cp):
    """Rumen-degradable protein by its share of the CP in use."""
    return usual_cp * rdp_used_pct_of_cp / 100


@working
def table_rdp_pct_of_cp(table_value_rdp, rdp_pct_of_cp):
    """Share of the CP that is degradable: the table's, else that of the kind of forage."""
    return typed_or(table_value_rdp, rdp_pct_of_cp)


@working
def dm_or_table_pct_as_fed(sampled_dm_pct_as_fed, table_value_dm):
    """Dry matter of the samples, else of the table."""
    return typed_or(sampled_dm_pct_as_fed, table_value_dm)


@working
def stands_in(averaged, table_value):
    """1 where the table value is used: none of our own, and one in the table."""
    return is_missing(averaged) * (1 - is_missing(table_value))


@working
def stands_in_dm(sampled_dm_pct_as_fed, table_value_dm):
    """The same for dry matter as fed."""
    return is_missing(sampled_dm_pct_as_fed) * (1 - is_missing(table_value_dm))


@working
def stands_in_nem(stands_in_tdn):
    """NEm follows the TDN."""
    return stands_in_tdn * 1


@working
def stands_in_rdp(averaged_rdp, table_value_rdp, stands_in_cp):
    """The table's share of the CP, or the table's CP."""
    return np.maximum(is_missing(averaged_rdp) * (1 - is_missing(table_value_rdp)), stands_in_cp)


# --- feeds: the tag or test, else the table
@working
def tag_dm_pct_as_fed(reported_dm, table_value_dm):
    """Dry matter of the tag, else of the table."""
    return typed_or(reported_dm, table_value_dm)


@working
def typed(reported):
    """1 where the tag says something of this analyte."""
    return 1 - is_missing(reported)


@working
def basis_known(first_typed, basis_no):
    """The basis of what is typed; not asked where nothing is typed."""
    return np.where(first_typed > 0, basis_no, 1.0)


@working
def feed_content(reported, tagged, table_value):
    """The tag's value; the table's only where the tag says nothing."""
    return np.where(is_missing(reported) > 0, table_value, tagged)


@working
def feed_content_dm(dm_known_pct_as_fed):
    """Dry matter itself: all of it."""
    return np.where(dm_known_pct_as_fed > 0, 100.0, 0.0)


@working
def feed_content_nem(feed_me_mcal_per_kg):
    """NEm from the ME; a mineral has none."""
    return np.maximum(feed_nem_mcal_per_kg(feed_me_mcal_per_kg), 0)


@working
def feed_content_rdp(dry_matter_cp, rdp_used_pct_of_cp):
    """Rumen-degradable protein of a feed, from its share of the CP."""
    return dry_matter_cp * rdp_used_pct_of_cp / 100


@working
def feed_rdp_pct_of_cp(reported_rdp, table_value_rdp):
    """Share of the CP that is degradable: the tag's, else the table's."""
    return typed_or(reported_rdp, table_value_rdp)


@working
def tag_stands_in(reported, table_value):
    """1 where the table value is used: nothing on the tag, and a value in the table."""
    return is_missing(reported) * (1 - is_missing(table_value))


@working
def tag_stands_in_nem(stands_in_tdn):
    """NEm follows the TDN."""
    return stands_in_tdn * 1


@working
def tag_stands_in_rdp(reported_rdp, table_value_rdp, stands_in_cp):
    """The table's share of the CP, or the table's CP."""
    return np.maximum(is_missing(reported_rdp) * (1 - is_missing(table_value_rdp)), stands_in_cp)


# --- what rests on a table: 0 nothing, 1 what the plan does not ask for, 2 what it does
@working
def table_no(first_stands_in, nutrients):
    """Of a feed or a forage."""
    some = np.minimum(first_stands_in, 1)
    return some + np.where(first_stands_in <= nutrients, some, 0.0)


@working
def rests(override, first_stands, second_stands):
    """1 where a month rests on the table value: the user has set none of their own."""
    return is_missing(override) * np.maximum(first_stands, second_stands)


@working
def rests_nem(rests_tdn):
    """NEm follows the TDN."""
    return rests_tdn * 1


@working
def quality_table_no(first_rests, rests_ndf, rests_fat, nutrients):
    """Of a forage in a month; NDF and fat set intake and microbes."""
    some = np.minimum(first_rests, 1)
    balanced = np.where(first_rests <= nutrients, some, 0.0)
    return some + np.maximum(balanced, np.maximum(rests_ndf, rests_fat))


@working
def main_table_no(main_pct, main_rests, met_within_pct):
    """Of the main forage, where it is eaten."""
    return np.where(main_pct > met_within_pct, main_rests, 0.0)


@working
def second_table_no(second_pct_used, second_rests):
    """Of the second forage, where it is eaten."""
    return np.where(second_pct_used > 0, second_rests, 0.0)


@working
def third_table_no(third_pct_used, third_rests):
    """Of the third forage, where it is eaten."""
    return np.where(third_pct_used > 0, third_rests, 0.0)


@working
def diet_table_no(main_table_no, second_table_no, third_table_no):
    """Of the forages eaten."""
    return np.maximum(np.maximum(main_table_no, second_table_no), third_table_no)


@working
def table_so_far_no(table_before_no, per_head_or_none_kg_per_day, product_table_no):
    """Of the feeds up to this line, where they are fed."""
    return np.maximum(table_before_no,
                      np.where(per_head_or_none_kg_per_day > 0, product_table_no, 0.0))


@working
def forage_table_no(eaten_table_no):
    """Of the forages eaten; 0 where they are not known."""
    return typed_or(eaten_table_no, 0.0)


@working
def feeds_table_no(fed_table_no):
    """Of the feeds; 0 where they are not known."""
    return typed_or(fed_table_no, 0.0)


@working
def balance_table_no(forage_table_no, feeds_table_no):
    """0 nothing, 1 forage, 2 feeds, 3 both."""
    return np.minimum(forage_table_no, 1) + 2 * np.minimum(feeds_table_no, 1)


@working
def plan_on_table(forage_table_no, feeds_table_no):
    """1 where something that the plan asks for rests on a table."""
    return np.where(np.maximum(forage_table_no, feeds_table_no) > 1, 1.0, 0.0)


@working
def on_tables_no(table_months):
    """0 nothing rests on a table, 1 something does."""
    return np.where(table_months > 0, 1.0, 0.0)


# --- nonprotein nitrogen, and what a nutrient costs
@working
def npn_used_pct_of_cp(npn_pct_of_cp, table_npn_pct_of_cp):
    """Share of the CP that is nonprotein nitrogen: the tag's, else the table's."""
    return typed_or(npn_pct_of_cp, table_npn_pct_of_cp)


@working
def natural_cp_pct_dm(dry_matter_cp, npn_used_pct_of_cp):
    """CP without nonprotein nitrogen."""
    return dry_matter_cp * (1 - npn_used_pct_of_cp / 100)


@working
def usable_usd_per_tonne(delivered_usd_per_tonne, loss_used_pct):
    """Delivered price of what is eaten: over 1 - loss, never times 1 + loss."""
    return delivered_usd_per_tonne / (1 - loss_used_pct / 100)


@working
def cp_price_usd_per_kg(usable_usd_per_tonne, dm_known_pct_as_fed, dry_matter_cp):
    """What a unit of CP costs."""
    return only_if(dry_matter_cp > 0, nutrient_usd_per_kg(
        usable_usd_per_tonne, dm_known_pct_as_fed, dry_matter_cp))


@working
def natural_cp_price_usd_per_kg(usable_usd_per_tonne, dm_known_pct_as_fed, natural_cp_pct_dm):
    """What a unit of CP costs that is no nonprotein nitrogen."""
    return only_if(natural_cp_pct_dm > 0, nutrient_usd_per_kg(
        usable_usd_per_tonne, dm_known_pct_as_fed, natural_cp_pct_dm))


@working
def tdn_price_usd_per_kg(usable_usd_per_tonne, dm_known_pct_as_fed, dry_matter_tdn):
    """What a unit of TDN costs."""
    return only_if(dry_matter_tdn > 0, nutrient_usd_per_kg(
        usable_usd_per_tonne, dm_known_pct_as_fed, dry_matter_tdn))
