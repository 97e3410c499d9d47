"""On hand: what the plan eats of each lot, how long it lasts, what to buy by when."""

from __future__ import annotations

from .book import Table
from .kinds import Calc, Column, Entry, Key, Link, Pull, Roll, Say
from .shorthand import calcs, group_link, group_name, keys, month_name, pulls, row_key, shown, typed

__all__ = ["decision", "eaten", "feed_columns", "feed_months",
           "herd_months", "lot_months", "lot_use", "on_hand"]

EATEN = ("main", "second", "third")
GUESSES = ("", "_low", "_high")  # bales as they are said, as light and as heavy as they may be
LASTS = "lasts to the plan's end"
SHORT = "{out_words}{lot_short:0} "


def eaten() -> Table:
    """What each group eats of its main, second and third forage."""
    return Table("Eaten", ("group", "month"), (
        row_key(), *keys("group", "month"), group_name(), month_name(),
        *[Calc(name=f"{s}_used_kg", front=True) for s in EATEN],
        group_link(), *pulls("herd_row", "head"), *pulls("month_no", "days"),
        Link(name="diet_row", to="Diet", on=("group_no", "month_no"), label="Row on Diet"),
        Link(name="balance_row", to="Balance", on=("group_no", "month_no"), label="Row on Balance"),
        *pulls("balance_row", "forage_eaten_kg_per_day"),
        *[Pull(name=f"{s}_no", via="diet_row", of=f"{s}_no", label=f"No. of the {s} forage")
          for s in EATEN],
        *pulls("diet_row", "main_pct second_pct_used third_pct_used"),
        Calc(name="group_forage_kg"),
        *[Calc(name=f"{s}_not_known", may_be_blank=(f"{s}_used_kg",)) for s in EATEN],
    ), purpose="What each group eats of which forage, dry matter in kg: working of On hand.")


def lot_use() -> Table:
    """What is eaten under a lot's name, and what of it the lot that follows gives."""
    return Table("LotUse", ("forage", "month"), (
        row_key(), *keys("forage", "month"),
        *[Key(name=f"{s}_no", dimension="forage", label=f"As the {s} forage") for s in EATEN],
        *_named("named_kg", "used_kg"), *_named("unknown", "not_known"),
        *calcs("named_kg named_unknown"),
        Link(name="quality_row", to="Quality", on=("forage_no", "month_no"),
             label="Row on Quality"),
        *pulls("quality_row", "next_share_used next_no_used"),
        *calcs("kept_kg handed_kg"),
    ), sheet="Lot use", purpose="What all groups eat of each lot: working of On hand.")


def _named(what: str, of: str) -> list[Column]:
    return [Roll(name=f"{s}_{what}", table="Eaten", of=f"{s}_{of}",
                 shared=(f"{s}_no", "month_no")) for s in EATEN]


def lot_months(top: int) -> Table:
    """Each lot by month: eaten, eaten so far, whether it lasts."""
    return Table("LotMonths", ("forage", "month"), (
        row_key(), *keys("forage", "month"),
        Pull(name="forage", via="forage_row", of="forage", label="Forage", front=True),
        month_name(),
        Calc(name="lot_used_kg", front=True), Calc(name="covered", front=True),
        Link(name="forage_row", to="Forages", on=("forage_no",), label="Row on Forages"),
        Key(name="next_no_used", dimension="forage", label="As the lot that follows"),
        Roll(name="handed_in_kg", table="LotUse", of="handed_kg",
             shared=("next_no_used", "month_no")),
        Link(name="use_row", to="LotUse", on=("forage_no", "month_no"), label="Row on Lot use"),
        *pulls("use_row", "kept_kg named_unknown"), *pulls("month_no", "first_day days"),
        Link(name="lot_row", to="OnHand", on=("forage_no",), label="Row on On hand"),
        *pulls("lot_row", " ".join(f"usable{g}_kg" for g in GUESSES)),
        Roll(name="lot_so_far_kg", table="LotMonths", of="lot_used_kg", upto="month"),
        *calcs("covered_low covered_high"),
        Calc(name="turn_out_used_on", may_be_blank=("turn_out_on", "plan_end")),
        Calc(name="counted_use_kg"),
    ), sheet="Lot months", top=top, title="Each lot by month, dry matter in kg")


def on_hand(us: bool, top: int) -> Table:
    """What there is of each lot, and how long it lasts."""
    ton = "tons" if us else "tonnes"
    return Table("OnHand", ("forage",), (
        *keys("forage"),
        Pull(name="forage", via="forage_row", of="forage", label="Forage", front=True),
        Entry(name="bales", front=True, hint="Bales there are at the plan's start."),
        *typed("bale_kg", hint="Mean of weighed bales, or as sold. Blank: by size."),
        Entry(name="weighed_bales", front=True, hint="How many were weighed."),
        *typed("bale_sd_kg", hint="Spread (standard deviation) of the weighed bales."),
        *typed("bale_width_m bale_diameter_m", hint="Of round bales, where none was weighed."),
        *typed("hay_tonne", hint="Where it is not in bales: so much as fed."),
        Entry(name="store", what="choice", choices="HayStores.store", label="Stored", front=True,
              hint="Gives a usual loss where you type none."),
        Entry(name="storage_loss_pct", front=True, hint="Lost in storage. Blank: as usual."),
        Entry(name="feeder", what="choice", choices="HayFeeders.feeder", label="Fed in",
              front=True, hint="Gives a usual loss where you type none."),
        Entry(name="feeding_loss_pct", front=True, hint="Lost in feeding. Blank: as usual."),
        *typed("grazed_ha", hint="Pasture: area that is grazed."),
        *typed("growth_kg_per_ha", hint="Its growth in a usual season, dry matter."),
        Entry(name="harvest_pct", front=True,
              hint="Part that is eaten: 25 on range grazed all season, 35 in rotation (from"
                   " memory)."),
        *typed("market_usd_per_tonne", hint="Market value as fed, where it lies."),
        Say(name="lot_words", by="lot_no", label="How long it lasts", front=True, unknown="",
            sentences=("", "{forage}: not known how long it lasts", "{forage} is not fed",
                       "{forage} " + LASTS + "{no_loss}",
                       SHORT + ton + " short{no_loss}",
                       SHORT + ton + ", {lot_short_bales:0} bales short{no_loss}",
                       SHORT + ton + " of dry matter short",
                       "{forage} lasts, but with light bales runs out from"
                       " {runs_out_low_on:day}{no_loss}")),
        Calc(name="runs_out_on", front=True), Calc(name="runs_out_low_on", front=True),
        Calc(name="runs_out_high_on", front=True), Calc(name="lasts_days", front=True),
        Calc(name="buy_by_on", front=True), *shown("lot_here_tonne lot_need_tonne lot_short_tonne"),
        Calc(name="lot_short_bales", front=True), Calc(name="lot_aum", front=True),
        Calc(name="lot_value_usd", front=True),
        *_there(), *_reach(), *_short(),
    ), sheet="On hand", top=top, title="Each lot")


def _there() -> list[Column]:
    """What there is, and what of it will be eaten."""
    return [
        Link(name="forage_row", to="Forages", on=("forage_no",), label="Row on Forages"),
        *pulls("forage_row", "dm_pct_as_fed"),
        *calcs("bale_density_kg_per_m3 bale_size_kg"),
        Calc(name="bale_used_kg", may_be_blank=("bale_kg", "bale_size_kg")),
        *calcs("baled_kg stacked_kg"),
        Calc(name="hay_kg", may_be_blank=("baled_kg", "stacked_kg")),
        Link(name="store_row", to="HayStores", by_name="store", key="store",
             label="Row of the store"),
        Link(name="feeder_row", to="HayFeeders", by_name="feeder", key="feeder",
             label="Row of the feeder"),
        *pulls("store_row", "usual_storage_loss_pct"),
        *pulls("feeder_row", "usual_feeding_loss_pct"),
        Calc(name="storage_used_pct", may_be_blank=("storage_loss_pct", "usual_storage_loss_pct")),
        Calc(name="feeding_used_pct", may_be_blank=("feeding_loss_pct", "usual_feeding_loss_pct")),
        Calc(name="hay_usable_dm_kg", by="lot_usable_dm_kg"), Calc(name="grazable_dm_kg"),
        Calc(name="hay_counted_kg", may_be_blank=("hay_usable_dm_kg",)),
        Calc(name="grazed_counted_kg", may_be_blank=("grazable_dm_kg",)),
        Calc(name="usable_kg", may_be_blank=("hay_usable_dm_kg", "grazable_dm_kg")),
        *[Calc(name=f"{what}_untold", may_be_blank=(
            f"{what}_loss_pct", f"usual_{what}_loss_pct")) for what in ("storage", "feeding")],
        Calc(name="loss_no", may_be_blank=("hay_kg",)),
        Say(name="no_loss", by="loss_no", label="Losses", unknown="", sentences=(
            "", " (a loss is not counted: say how it is stored and fed)")),
        Calc(name="bale_error_pct"),
        Calc(name="bale_error_used_pct", may_be_blank=("bale_error_pct",)),
        *calcs("usable_low_kg usable_high_kg"),
    ]


def _reach() -> list[Column]:
    """The month in which it runs out, and the day in it: three guesses."""
    found: list[Column] = [
        Roll(name="lot_use_kg", table="LotMonths", of="lot_used_kg"),
        Roll(name="lot_unknown", table="LotMonths", of="lot_used_kg", how="unknown")]
    for guess in GUESSES:
        found += [
            Roll(name=f"covered{guess}_known", table="LotMonths", of=f"covered{guess}"),
            Roll(name=f"covered{guess}_unknown", table="LotMonths", of=f"covered{guess}",
                 how="unknown"),
            Calc(name=f"covered{guess}_months"), Calc(name=f"out{guess}_month"),
            Link(name=f"out{guess}_row", to="LotMonths", on=("forage_no", f"out{guess}_month"),
                 label=f"Row in which it runs out{guess.replace('_', ', ')}"),
            *[Pull(name=f"out{guess}_{name}", via=f"out{guess}_row", of=of) for name, of in (
                ("used_kg", "lot_used_kg"), ("so_far_kg", "lot_so_far_kg"),
                ("first_day", "first_day"), ("days", "days"))],
            Calc(name=f"out{guess}_share")]
    return found


def _short() -> list[Column]:
    """What is short, in tons and bales, and the words."""
    return [
        Calc(name="lot_dm_pct_as_fed", may_be_blank=("hay_kg",)),
        *calcs("lot_left_kg lot_short_kg lot_need_hauled_kg lot_short_hauled_kg lot_need_tonne"
               " lot_short_tonne lot_here_tonne lot_runs_out"),
        Calc(name="lot_bales_no", may_be_blank=("bales", "hay_kg")),
        Calc(name="lot_state_no"),
        Calc(name="lot_asked", may_be_blank=("bales", "hay_tonne", "grazed_ha")),
        Calc(name="lot_no", may_be_blank=("lot_state_no",)), Calc(name="lot_flag"),
        Calc(name="lot_range_no", may_be_blank=(
            "runs_out_low_on", "runs_out_high_on", "bale_error_pct")),
        Calc(name="lot_may_run_out", may_be_blank=("runs_out_low_on",)),
        Calc(name="lot_open", may_be_blank=("usable_kg",)),
        Say(name="between", by="lot_range_no", label="Range", unknown="", sentences=(
            "", " (between {runs_out_low_on:day} and {runs_out_high_on:day})",
            " (as early as {runs_out_low_on:day}, or lasts)")),
        Say(name="out_words", by="lot_runs_out", label="When it runs out", unknown="",
            sentences=("", "{forage} runs out about {runs_out_on:day}{between}: ")),
        Calc(name="counted_usable_kg"),
    ]


def feed_months() -> Table:
    """Each feed by month: what the plan takes of it, whether what is there lasts."""
    return Table("FeedMonths", ("product", "month"), (
        row_key(), *keys("product", "month"),
        Pull(name="product", via="product_row", of="product", label="Product", front=True),
        month_name(),
        *shown("feed_used_tonne"), Calc(name="feed_covered", front=True),
        Link(name="product_row", to="Supplements", on=("product_no",),
             label="Row on Supplements"),
        *pulls("product_row", "on_hand_tonne"), *pulls("month_no", "first_day days"),
        Roll(name="feed_used_tonne", table="Amounts", of="bought_tonne",
             shared=("product_row", "month_no")),
        Roll(name="feed_so_far_tonne", table="FeedMonths", of="feed_used_tonne", upto="month"),
    ), sheet="Feed months", purpose="Each feed by month, losses counted: working of Supplements.")


def feed_columns() -> list[Column]:
    """Columns of Supplements: what is there of a feed, when it runs out, what is left to buy."""
    return [
        Calc(name="feed_runs_out_on", front=True), *shown("still_to_buy_tonne"),
        *[Roll(name=f"feed_covered_{name}", table="FeedMonths", of="feed_covered", how=how)
          for name, how in (("known", "sum"), ("unknown", "unknown"))],
        *calcs("feed_months feed_out_month"),
        Link(name="feed_out_row", to="FeedMonths", on=("product_no", "feed_out_month"),
             label="Row in which it runs out"),
        *[Pull(name=f"feed_out_{name}", via="feed_out_row", of=of) for name, of in (
            ("used_tonne", "feed_used_tonne"), ("so_far_tonne", "feed_so_far_tonne"),
            ("first_day", "first_day"), ("days", "days"))],
        Calc(name="feed_out_share"),
        Calc(name="on_hand_used_tonne", may_be_blank=("on_hand_tonne",)),
        Calc(name="still_to_buy_tonne"),
    ]


def herd_months() -> Table:
    """What the herd eats of all lots by month, until turn-out."""
    return Table("HerdMonths", ("month",), (
        *keys("month"), month_name(), *pulls("month_no", "first_day days"),
        Roll(name="herd_month_kg", table="LotMonths", of="counted_use_kg"),
        Roll(name="herd_so_far_kg", table="HerdMonths", of="herd_month_kg", upto="month"),
        Link(name="decision_row", to="Decision", on=(1,), label="Row of the decision"),
        *pulls("decision_row", "decide_used_kg"), Calc(name="decide_covered"),
    ), sheet="Lot months", purpose="What the herd eats of all lots, and of each: working of On"
                                   " hand.")


def decision(us: bool) -> Table:
    """Whether feed on hand covers the herd to turn-out, and until when one must decide."""
    ton = "tons" if us else "tonnes"
    return Table("Decision", ("season",), (
        *keys("season"),
        Say(name="decide_words", by="decide_no", label="Until turn-out", front=True, unknown="",
            sentences=(
                "", "All forage on hand together covers the herd to turn-out.",
                "Forage on hand is {herd_short:0} " + ton + " of dry matter short to turn-out: buy,"
                " or decide by {decide_by_on:day} to go on with {cut_used_pct:0} % fewer head.",
                "Forage on hand is {herd_short:0} " + ton + " of dry matter short to turn-out, more"
                " than {cut_used_pct:0} % fewer head from now on would save: buy or sell now.",
                "Not known whether forage covers the herd: of {herd_open:0} forages in use it is"
                " not said how much there is, or not known how much is eaten.")),
        *shown("herd_short_tonne"),
        Roll(name="herd_usable_kg", table="OnHand", of="counted_usable_kg"),
        Roll(name="herd_lots", table="OnHand", of="lot_asked"),
        Roll(name="herd_open", table="OnHand", of="lot_open"),
        Roll(name="herd_use_kg", table="LotMonths", of="counted_use_kg"),
        *calcs("cut_used_pct herd_short_kg herd_short_tonne decide_used_kg"
               " decide_state_no decide_no"),
        Roll(name="decide_months", table="HerdMonths", of="decide_covered"),
        Calc(name="decide_month"),
        Link(name="decide_row", to="HerdMonths", on=("decide_month",), label="Row of the day"),
        *[Pull(name=f"decide_{name}", via="decide_row", of=of) for name, of in (
            ("month_kg", "herd_month_kg"), ("so_far_kg", "herd_so_far_kg"),
            ("first_day", "first_day"), ("days", "days"))],
        *calcs("decide_share decide_by_on"),
    ), sheet="On hand", purpose="One row a forage, as on Forages. Losses are divided by what is"
                                " left of the feed, not added on top. Weigh some bales.")
