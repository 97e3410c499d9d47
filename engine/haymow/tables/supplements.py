"""Supplements: feeds that can be bought or are on hand, their tags, prices and limits."""

from __future__ import annotations

from . import safety
from .book import Table
from .caps import product_limits
from .forages import reported
from .kinds import Asks, Calc, Column, Entry, Into, Link, Pull, Roll, Which
from .local import LONGEST
from .on_hand import feed_columns
from .shorthand import calcs, keys, pulls, shown, typed
from .small import ANALYTES, CORE
from .table_values import stand_in, stands_in, told

__all__ = ["supplements"]

NONE = {"product": "none", "purpose": "CP", "price": 0.0, "basis": "dry matter",
        "reported.dm": 100.0, "starch_pct_dm": 0.0, "npn_pct_of_cp": 0.0,
        **{f"reported.{n}": 0.0 for n in ANALYTES if n not in ("dm", "nem")}}


def supplements() -> Table:
    """Feeds that can be bought or are on hand."""
    return Table("Supplements", ("product",), (
        *keys("product"),
        Entry(name="product", what="text", label="Product", must=True, front=True,
              hint='Your name for the feed. The row "none" stays.'),
        Entry(name="purpose", what="choice", choices="Purposes.purpose", label="Fed for",
              front=True, hint="The nutrient it is bought for."),
        *typed("price_usd_per_tonne", hint="As fed, where you buy it."),
        *typed("freight_usd_per_tonne", hint="Blank: none counted."),
        Entry(name="priced_on", what="date", label="Price of", front=True,
              hint="Day of the price."),
        Entry(name="price_source", what="text", label="Price from", front=True, longest=LONGEST,
              hint="Whose price it is; a default of the area says local."),
        *typed("on_hand_tonne", hint="So much is there already. Blank: none."),
        *typed("buying_unit_tonne",
               hint="Sold in whole lots of so much: a truckload, a pallet. Blank: any amount."),
        Entry(name="loss_pct", front=True, hint="Storage and feeding loss. Blank: none counted."),
        *typed("most_kg_per_day", hint="Most to feed a head and day, as fed. Blank: no limit."),
        Entry(name="most_pct_bw", front=True,
              hint="Most to feed, as fed, by body weight: grain 0.25. Blank: no limit."),
        *typed("most_meal_kg", hint="Most a head at one feeding, as fed. Blank: no limit."),
        Entry(name="cap_words", what="text", label="Why a limit", front=True,
              hint="Named where one of these limits binds: label, price, bunk, urea."),
        Entry(name="given_up", front=True,
              hint="Grass given up per pound of feed, dry matter. Blank: none."),
        *typed("label_intake_kg_per_day",
               hint="Expected intake a head and day, as fed, of a feed that is put out."),
        stand_in("TableFeeds", "table_feed",
                 "A published feed: its values stand in where the tag says nothing."),
        Entry(name="npn_pct_of_cp", front=True,
              hint="Share of the CP that is urea or other nonprotein nitrogen: of a tag 37-8, 22."),
        Entry(name="starch_pct_dm", front=True,
              hint="Starch in dry matter; 0 where there is none. Blank: the table value, else not"
                   " known."),
        *reported("analyte", "As on the tag or the test.",
                  Calc(name="dm_known_pct_as_fed", by="tag_dm_pct_as_fed",
                       may_be_blank=("reported_dm", "table_value_dm"))),
        Entry(name="fed_by", what="choice", choices="FeedMethods.method", label="Fed how",
              front=True, hint="Form and method: gives a usual loss where you type none."),
        Entry(name="least_times_per_week", front=True,
              hint="Feed it so many times a week at least. Blank: what is usual for its CP."),
        *typed("load_kg", hint="What one feeder click, scoop, sack or bale of it weighs."),
        Entry(name="load_name", what="text", label="Which is one", front=True,
              hint="Such as click, scoop, sack."),
        Entry(name="month_price", over="month", label="Price, month",
              quantity="price_usd_per_tonne",
              hint="Price as fed in this month of the plan. Blank: the price of the row."),
        *safety.entries(),
        Asks(name="note", used="product basis", label="To look at", front=True, needs=(
            ("product", "Name the product. "),
            ("basis_known", "Say whether as fed or dry matter. "),
            ("dm_known_pct_as_fed", "What is its dry matter %? "),
            ("stand_in_settled", "The table value is not on Table feeds. "),
            ("tdn_known", "No TDN: choose what stands in (of a mineral, type 0). "),
            ("price_usd_per_tonne", "What does it cost? "),
            ("purpose_row", "What is it fed for? "), *safety.asks())),
        told("table_no", "table values stand in: {table_basic}{table_minerals}"),
        Asks(name="uncounted", used="product", label="Limits count none of its", front=True,
             needs=(("starch_used_pct_dm", "starch "), ("npn_cp_pct_dm", "NPN "),
                    ("fat_over_pct_dm", "fat "), ("sulfur_over_pct_dm", "sulfur "))),
        *shown("cp_price_usd_per_kg natural_cp_price_usd_per_kg tdn_price_usd_per_kg"),
        Calc(name="npn_used_pct_of_cp", may_be_blank=("npn_pct_of_cp", "table_npn_pct_of_cp"),
             front=True),
        Calc(name="used"),
        Calc(name="dry_matter", by="feed_content", label="In dry matter", front=True,
             measure="content", over="analyte", open=CORE,
             may_be_blank=("reported", "tagged", "table_value")),
        *_tag(),
        Link(name="purpose_row", to="Nutrients", by_name="purpose", key="nutrient",
             label="Nutrient no."),
        Calc(name="given_up_used", may_be_blank=("given_up",)),
        Calc(name="freight_used_usd_per_tonne", may_be_blank=("freight_usd_per_tonne",)),
        Link(name="fed_by_row", to="FeedMethods", by_name="fed_by", key="method",
             label="Row of how it is fed"),
        *pulls("fed_by_row", "usual_loss_pct at_trough"),
        Calc(name="loss_used_pct", may_be_blank=("loss_pct", "usual_loss_pct")),
        *calcs("cp_pct_as_fed least_usual_per_week"),
        Calc(name="least_used_per_week",
             may_be_blank=("least_times_per_week", "least_usual_per_week")),
        Into(name="month_price_usd_per_tonne", of="month_price", over="month", label="Price"),
        Calc(name="month_usd_per_tonne", over="month", label="Delivered price",
             may_be_blank=("month_price_usd_per_tonne",)),
        *calcs("delivered_usd_per_tonne label_dm_kg_per_day natural_cp_pct_dm usable_usd_per_tonne"
               " cp_price_usd_per_kg"
               " natural_cp_price_usd_per_kg tdn_price_usd_per_kg"),
        *product_limits(),
        Roll(name="bought_all_tonne", table="Amounts", of="bought_tonne",
             linked_by="product_row"),
        Roll(name="cost_all_usd", table="Amounts", of="cost_usd", linked_by="product_row",
             front=True),
        *shown("bought_all_tonne"), *feed_columns(), *safety.product_columns(),
    ), sortable=True, purpose="One row a feed: tag or test, price, limits.", fixed={1: NONE})


def _tag() -> list[Column]:
    """The tag on dry matter, and the table that may stand in for it."""
    return [
        Calc(name="tagged", by="tag", label="Tag, in dry matter", measure="content",
             over="analyte"),
        Calc(name="typed", over="analyte", label="On the tag", may_be_blank=("reported",)),
        Which(name="first_typed", of="typed", label="First on the tag"),
        Calc(name="basis_known", may_be_blank=("basis_no",)),
        Calc(name="tdn_known"),
        *stands_in("TableFeeds", "table_feed", "product", ("reported", "reported_rdp"),
                   "product_no", by="tag_stands_in"),
        Pull(name="table_npn_pct_of_cp", via="stand_in_row", of="table_npn_pct_of_cp"),
        Calc(name="rdp_used_pct_of_cp", by="feed_rdp_pct_of_cp",
             may_be_blank=("reported_rdp", "table_value_rdp")),
        Calc(name="feed_me_mcal_per_kg", by="tag_me_mcal_per_kg"),
    ]
