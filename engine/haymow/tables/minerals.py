"""Minerals and Protein: the whole diet against levels and limits; what microbes and cow get."""

from __future__ import annotations

from typing import Any

from .book import Table
from .kinds import Calc, Link, Names, Nearest, Pull, Say
from .shorthand import calcs, group_link, group_name, keys, month_name, pulls, row_key

__all__ = ["minerals", "protein"]

EXCESS = ("mg", "fe", "mn", "zn", "co", "i", "mo")  # those that have no words of their own
BLOCK: dict[str, Any] = {"over": "mineral"}


def _links() -> list[Link]:
    return [
        Link(name="needs_row", to="Needs", on=("group_no", "month_no"), label="Row on Needs"),
        Link(name="diet_row", to="Diet", on=("group_no", "month_no"), label="Row on Diet"),
        Link(name="balance_row", to="Balance", on=("group_no", "month_no"),
             label="Row on Balance"),
        Link(name="last_line", to="Amounts", on=("group_no", "month_no", "lines"),
             label="Last line on Amounts"),
    ]


def minerals() -> Table:
    """Minerals and vitamins of the whole diet."""
    return Table("Minerals", ("group", "month"), (
        row_key(), *keys("group", "month"), group_name(), month_name(),
        Names(name="short_of", of="short_flag", used="class_row", label="Short of", front=True),
        Names(name="high_in", of="high_flag", used="class_row", label="High in", front=True),
        Names(name="unknown", of="unknown_flag", used="class_row",
              label="Not known: order, or ask for the tag", front=True),
        Calc(name="diet_ca_p_ratio", front=True),
        Say(name="ca_p_words", by="ca_p_no", label="Ca:P", front=True, used="class_row",
            sentences=(
            "in order", "below 1.5: little room", "below 1: too low",
            "above 7: watch phosphorus")),
        Calc(name="diet_tetany_ratio", front=True),
        Say(name="tetany_words", by="tetany_no", label="Grass tetany", front=True, used="class_row",
            sentences=(
            "ratio in order; low magnesium is not cleared by it",
            "above 2.2: risk of tetany; high-magnesium mineral, ask your veterinarian")),
        Calc(name="diet_cu_mo_ratio", front=True),
        Say(name="copper_words", by="copper_no", label="Copper", front=True, used="class_row",
            sentences=(
            "nothing in the diet binds much copper",
            "copper is bound: aim higher, confirm by liver samples with your veterinarian",
            "copper is bound by several: aim higher, confirm by liver samples with your"
            " veterinarian")),
        Calc(name="days_without_green_days", front=True),
        Say(name="green_words", by="green_no", label="Vitamin A", front=True, used="class_row",
            sentences=(
            "", "60 days without green feed: note it",
            "120 days without green feed: liver stores may be used up; ask about vitamin A",
            "180 days without green feed: strong concern; ask your veterinarian")),
        Pull(name="table_use", via="balance_row", of="table_use", front=True,
             label="Rests on table values"),
        Calc(name="in_diet", label="In the whole diet", measure="content", **BLOCK),
        Calc(name="level", label="Level wanted", measure="content", **BLOCK),
        group_link(),
        Pull(name="class_row", via="herd_row", of="class_row", label="Row of the class"),
        *_links(),
        *pulls("needs_row", "lactating_share breeds sex_factor shrunk_weight_kg milk_kg_per_day"),
        *pulls("balance_row", "forage_eaten_kg_per_day"),
        *pulls("month_no", "first_day days moy"),
        Pull(name="main_no", via="diet_row", of="main_no", label="No. of the main forage"),
        Link(name="main_quality", to="Quality", on=("main_no", "month_no"),
             label="Row of the main forage's month"),
        Pull(name="changes", via="main_quality", of="changes"),
        Pull(name="feeds_dm_kg_per_day", via="last_line", of="brought", member="dm"),
        *[Pull(name=f"{n}_forage_pct", via="diet_row", of="eaten", member=n) for n in ("ca", "p")],
        *[Pull(name=f"{n}_brought", via="last_line", of="brought", member=n) for n in ("ca", "p")],
        *calcs("diet_dm_kg_per_day forage_in_diet_pct stage_no"),
        Calc(name="water_l_per_day", by="water_at_air_l_per_day"),
        Calc(name="water_used_l_per_day", may_be_blank=("water_l_per_day",)),
        Pull(name="air_f", via="month_no", of="air_f"),
        Pull(name="forage_pct", via="diet_row", of="eaten", label="In forage", measure="content",
             **BLOCK),
        Pull(name="brought", via="last_line", of="brought", label="From feeds a day", **BLOCK),
        Calc(name="water_brings", label="From water a day", **BLOCK),
        Calc(name="short_flag", label="Short", **BLOCK),
        Calc(name="high_flag", label="High", **BLOCK),
        Calc(name="unknown_flag", label="Not known", may_be_blank=("in_diet",), **BLOCK),
        *[Calc(name=f"excess_{k}", may_be_blank=tuple(f"high_flag_{n}" for n in EXCESS))
          for k in ("first", "second", "third")],
        *calcs("excess_unknown excess_level"),
        Calc(name="most", label="Most", measure="content", **BLOCK),
        *calcs("diet_ca_pct_dm diet_p_pct_dm ca_p_no tetany_no"),
        Calc(name="copper_alarms", by="diet_copper_alarms"),
        Calc(name="copper_target_ppm_dm"),
        Calc(name="copper_target_known", may_be_blank=("copper_target_ppm_dm",)),
        Calc(name="copper_no"),
        *calcs("green_flag"),
        Nearest(name="green_row", of="green_flag", side="before", label="Last green month, row"),
        Calc(name="green_used_row"),
        *[Pull(name=f"green_{n}", via="green_used_row", of=n, into="Minerals")
          for n in ("first_day", "days")],
        Calc(name="green_until_on", may_be_blank=("green_end_on",)),
        Calc(name="green_end_on"), Calc(name="green_no"),
    ), purpose="The whole diet, water counted where it was tested. A forage or a tag alone is"
               " never judged.")


def protein() -> Table:
    """Degradable and metabolizable protein of the whole diet."""
    return Table("Protein", ("group", "month"), (
        row_key(), *keys("group", "month"), group_name(), month_name(),
        Calc(name="tdn_per_cp", front=True),
        Calc(name="diet_tdn_per_cp", front=True),
        Say(name="screen", by="screen_no", label="In words", front=True, used="class_row",
            sentences=(
            "protein is in step with energy",
            "forage alone: nitrogen is short for the microbes; protein first",
            "still short for the microbes with all feeds: no grain before protein")),
        Calc(name="rdp_balance_g_per_day", front=True),
        Calc(name="mp_balance_g_per_day", front=True),
        Calc(name="microbial_cp_g_per_day", front=True),
        Calc(name="mp_supply_g_per_day", front=True),
        Pull(name="table_use", via="balance_row", of="table_use", front=True,
             label="Rests on table values"),
        group_link(), *_links(),
        Pull(name="class_row", via="herd_row", of="class_row", label="Row of the class"),
        *pulls("needs_row", "mp_need_g_per_day tdn_pct_dm cp_pct_dm fat_pct_dm"),
        *pulls("balance_row", "forage_eaten_kg_per_day"),
        *[Pull(name=f"diet_{n}_kg_per_day", via="balance_row", of="diet", member=n)
          for n in ("cp", "rdp", "tdn", "dm")],
        *[Pull(name=f"feeds_{n}_kg_per_day", via="last_line", of="brought", member=n)
          for n in ("cp", "rdp")],
        Calc(name="tdn_eaten_kg_per_day", by="diet_tdn_eaten"),
        Calc(name="intake_kg_per_day", by="diet_dm_eaten"),
        *calcs("microbial_cp_13_g_per_day microbial_cp_10_g_per_day microbial_cp_2016_g_per_day"),
        Calc(name="rdp_supply_g_per_day", by="rdp_supply_of_diet"),
        *calcs("microbial_made_g_per_day mp_from_microbes_g_per_day forage_rup_g_per_day"
               " feeds_rup_g_per_day mp_from_forage_rup_g_per_day mp_from_feeds_rup_g_per_day"),
        Calc(name="mp_from_rup_g_per_day", by="mp_from_all_rup"),
        Calc(name="screen_no"),
        Calc(name="rdp_unknown", may_be_blank=("rdp_balance_g_per_day",)),
    ), purpose="Whole diet, per head and day. A shortage of RDP lowers intake and digestion.")
