"""Safety: how each hazard of the whole diet stands, by group and month, and what to do."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from .book import Table
from .kinds import Calc, Column, Entry, Key, Link, Names, Pull, Roll, Say, Which
from .measures import ALL_OF_IT, NITRATES, SCHEMES
from .shorthand import calcs, group_link, group_name, keys, month_name, pulls, row_key, shown
from .small import rows_of, word_list

__all__ = [
    "ATTRIBUTES", "HAZARD", "LOOK", "MEMBERS", "NOT_KNOWN", "ROWS", "SEVERITIES", "asks",
    "entries", "hazards", "list_tables",
    "product_columns", "safety", "safety_lines", "unjudged",
]

ROWS = rows_of("hazards")
HAZARDS = tuple(row["key"] for row in ROWS)
CARGO = ("urea", "no3n", "tested", "fat", "starch", "cu", "se", "na", "vita", "gossypol", "seed",
         "cotton", "raw", "semix", "cufeed", "cp", "strong")  # what a product brings
DOUBT = ("urea", "fat", "starch", "cu", "se", "gossypol")  # what a tag may leave out
MEMBERS = {"hazard": HAZARDS, "cargo": CARGO, "doubt": DOUBT}
ATTRIBUTES = {"hazard": "Hazards"}
SPECIALS = ("nothing of these", "raw soybeans", "whole cottonseed", "cottonseed meal",
            "cottonseed hulls")
SEVERITIES = ("", "ok", "not known", "look", "hazard")
NOT_KNOWN, LOOK, HAZARD = 2, 3, 4
BLOCK: dict[str, Any] = {"over": "hazard"}
PARTS = ("main", "second", "third")
GAP = 5  # rows between two tables on Lists
SHARES = (("", "most_pct_of_diet"), ("pregnant_", "most_pct_of_diet_pregnant"))
IN_DIET = (("diet_s_pct_dm", "in_diet", "s"), ("most_s_pct_dm", "most", "s"),
           ("diet_cu_ppm_dm", "in_diet", "cu"), ("most_cu_ppm_dm", "most", "cu"),
           ("diet_se_ppm_dm", "in_diet", "se"), ("forage_se_ppm_dm", "forage_pct", "se"),
           ("na_pct_dm", "in_diet", "na"), ("diet_mg_pct_dm", "in_diet", "mg"))
URGES = ("", "much at one feeding", "above 1 % of the diet", "above a third of the CP",
         "not for cattle this light", "bring it in over two to three weeks",
         "fed too seldom: every day is safer", "a strong feed: all must get their share, no more",
         "poor forage: little energy to use it", "much for their weight")
NO_PROTEIN = (
    "protein will not fix this forage: it is short of energy ({tdn_short:1} <weight> TDN a day"
    " short, protein met)",
    "protein will not fix this forage: it is short of energy ({tdn_short:1} <weight> TDN a day"
    " short, protein met), and its fiber fills them first",
    "protein will not fix this hay; it is short of energy and bulk ({tdn_short:1} <weight> TDN a"
    " day short, protein met)")


def entries() -> list[Entry]:
    """What a product's row on Supplements asks for the sake of safety."""
    return [
        Entry(name="holds", what="choice", choices="Specials.special", label="Holds", front=True,
              hint="Raw soybeans or cottonseed in it. Blank: nothing of these."),
        Entry(name="free_gossypol_ppm_dm", front=True,
              hint="Of a cottonseed product, as tested, in dry matter. Blank: not known."),
    ]


def asks() -> tuple[tuple[str, str], ...]:
    """What such a row may miss."""
    return (("holds_no", "What it holds is not on the list. "),)


def product_columns() -> list[Column]:
    """What a kg of a product brings of what can harm, and what its tag leaves out."""
    return [
        Link(name="holds_no", to="Specials", by_name="holds", key="special",
             blank_name=SPECIALS[0], label="Holds, no."),
        Calc(name="urea_pct_dm"), Calc(name="urea_used_pct_dm", may_be_blank=("urea_pct_dm",)),
        Calc(name="fat_used_pct_dm", may_be_blank=("dry_matter_fat",)),
        Calc(name="starch_told_pct_dm", may_be_blank=("starch_used_pct_dm",)),
        Calc(name="gossypol_g_per_kg"),
        Calc(name="gossypol_used_g_per_kg", may_be_blank=("gossypol_g_per_kg",)),
        Calc(name="carried", over="cargo", label="A kg brings", may_be_blank=(
            "urea_used_pct_dm", "fat_used_pct_dm", "starch_told_pct_dm", "gossypol_used_g_per_kg",
            "dry_matter_no3n", "dry_matter_cu", "dry_matter_se", "dry_matter_na",
            "dry_matter_vita")),
        Calc(name="untold_of", by="untold", over="doubt", label="Not told", may_be_blank=(
            "urea_used_pct_dm", "fat_used_pct_dm", "starch_told_pct_dm", "gossypol_used_g_per_kg",
            "dry_matter_cu", "dry_matter_se")),
    ]


def unjudged() -> list[Column]:
    """Of a forage on the sampling plan: suspicions whose result has no entry anywhere."""
    return [
        *[Pull(name=f"{which}_no_entry", via=via, of="no_entry", label=f"No entry, {which}")
          for which, via in (("first", "suspicion_row"), ("second", "second_suspicion_row"))],
        Calc(name="unjudged_no", may_be_blank=("first_no_entry", "second_no_entry")),
        Say(name="unjudged_words", by="unjudged_no", label="Not judged anywhere", unknown="",
            sentences=("", "{forage} ({suspicion})", "{forage} ({second_suspicion})",
                       "{forage} ({suspicion}; {second_suspicion})")),
    ]


def safety_lines() -> Table:
    """What each feeding line brings of what can harm."""
    return Table("SafetyLines", ("group", "month", "line"), (
        row_key(), *keys("group", "month", "line"), group_name(), month_name(),
        Pull(name="product", via="plan_row", of="product", label="Product", front=True),
        group_link(),
        Link(name="plan_row", to="Plan", on=("group_no", "line_no"), label="Row on Plan"),
        Link(name="amounts_row", to="Amounts", on=("group_no", "month_no", "line_no"),
             label="Row on Amounts"),
        Pull(name="product_row", via="plan_row", of="product_row", to="Supplements",
             label="Row on Supplements"),
        *pulls("amounts_row", "amount_kg_per_day"),
        *pulls("amounts_row", "fed_each_day_kg_per_day fed_days_used", inline=True),
        *pulls("plan_row", "times_used mode_no start_on", inline=True),
        *pulls("month_no", "first_day days", inline=True),
        Pull(name="carried", via="product_row", of="carried", over="cargo", inline=True),
        Pull(name="untold_of", via="product_row", of="untold_of", over="doubt", inline=True),
        Calc(name="fed_flag"),
        Calc(name="day_kg_per_day", may_be_blank=("fed_each_day_kg_per_day",)),
        Calc(name="brings", over="cargo", label="Brings a head on a day of feeding"),
        Calc(name="doubted", over="doubt", label="Not told, and fed"),
        *calcs("line_meal_urea rare_urea adapting strong_urea self_fed_kg_per_day"
               " self_fed_cu_mg_per_day"),
    ), sheet="Safety lines", purpose="Working of Safety, one row a line and month.")


def safety(us: bool) -> Table:
    """How each hazard stands."""
    return Table("Safety", ("group", "month"), (
        row_key(), *keys("group", "month"), group_name(), month_name(),
        Say(name="worst", by="worst_no", label="Worst", front=True, unknown="", used="class_row",
            sentences=SEVERITIES),
        *[Names(name=name, of="state", flag=flag, after=". ", used="class_row", label=label,
                front=True) for name, flag, label in (
            ("hazard_words", HAZARD, "Hazard"), ("look_words", LOOK, "Look"),
            ("unknown_words", NOT_KNOWN, "Not known"))],
        Say(name="what_words", by="first_any_no", label="The first, in words", front=True,
            unknown="", used="class_row", sentences=("", *[f"{{{key}_words}}" for key in HAZARDS])),
        Say(name="do_words", by="worst_no", label="What to do first", front=True, unknown="",
            used="class_row", sentences=("", "", "{do_unknown}", "{do_look}", "{do_danger}")),
        Say(name="whom_words", by="worst_no", label="Whom to ask", front=True, unknown="",
            used="class_row", sentences=("", "", *["{ask}"] * 3)),
        Say(name="protein_words", by="protein_cannot_no", label="What protein can do", front=True,
            used="class_row", sentences=("", "{energy_why}", "protein first; yet {energy_why}")),
        *[_words(us, row) for row in ROWS],
        *_links(), *_feeds(), *_suspected(), *_nitrate(), *_urea(), *_levels(us),
        Calc(name="state", label="State", may_be_blank=_SOFT, **BLOCK),
        *[Which(name=name, of="state", flag=flag, label=label) for name, flag, label in (
            ("first_hazard", HAZARD, "First hazard"), ("first_look", LOOK, "First to look at"),
            ("first_not_known", NOT_KNOWN, "First that is not known"))],
        *calcs("worst_no first_milder_no first_any_no first_listed_no"),
        *[Pull(name=name, via="first_listed_no", of=name, into="Hazards", label=label)
          for name, label in (("do_danger", "To do at a hazard"), ("do_look", "To do at a look"),
                              ("do_unknown", "To do where not known"), ("ask", "Whom to ask"))],
    ), purpose="The whole diet, with water. A planning aid, no diagnosis: sick, blind or down"
               " cattle off the feed, and call your veterinarian. What is not known is never ok."
               " Each hazard's own sentence stands behind the + above the columns.")


_SOFT = (
    "nitrate_level", "urea_level", "sulfur_level", "copper_level", "copper_double_level",
    "sheep_diet_level", "se_diet_level", "salt_diet_level", "gossypol_level", "fat_level",
    "starch_level",
    "suspected_level", "excess_level", "tetany_ratio_level", "tetany_level", "cap_level",
    "green_level")


def _weighed(us: bool, sentences: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(words.replace("<weight>", "lb" if us else "kg") for words in sentences)


def _words(us: bool, row: dict[str, str]) -> Say:
    """What one hazard's number means, in words."""
    sentences = tuple(row[name] for name in ("none", "ok", "unknown", "look", "danger"))
    return Say(name=f"{row['key']}_words", by="state", member=row["key"], label=row["hazard"],
               unknown="", used="class_row", sentences=_weighed(us, sentences))


def _links() -> list[Column]:
    """The rows of the same group and month elsewhere, and what is read there."""
    same = ("group_no", "month_no")
    return [
        group_link(),
        Pull(name="class_row", via="herd_row", of="class_row", label="Row of the class"),
        *[Link(name=f"{table.lower()}_row", to=table, on=same, label=f"Row on {table}")
          for table in ("Needs", "Diet", "Balance", "Minerals")],
        *pulls("herd_row", "grows"), *pulls("herd_row", "sex_factor", inline=True),
        *pulls("needs_row", "pregnant_share lactating_share shrunk_weight_kg"),
        *pulls("needs_row", "intake_rule_no tdn_pct_dm fat_pct_dm", inline=True),
        *pulls("balance_row", "forage_eaten_kg_per_day"),
        *[Pull(name=f"{of}_{n}", via="balance_row", of=of, member=n) for of, n in (
            ("short", "tdn"), ("short", "cp"), ("short", "dm"), ("over", "tdn"))],
        Pull(name="tdn_met_pct_of_need", via="balance_row", of="pct_of_need", member="tdn"),
        Pull(name="forage_cp_pct_dm", via="diet_row", of="eaten", member="cp"),
        *pulls("minerals_row", "diet_dm_kg_per_day water_used_l_per_day diet_tetany_ratio"
                               " diet_ca_p_ratio days_without_green_days"),
        *pulls("minerals_row", "copper_no ca_p_no tetany_no green_no excess_level", inline=True),
        *[Pull(name=name, via="minerals_row", of=of, member=member)
          for name, of, member in IN_DIET],
        Pull(name="mg_short", via="minerals_row", of="short_flag", member="mg",
             label="Short of magnesium"),
        Pull(name="vita_level", via="minerals_row", of="level", member="vita",
             label="Vitamin A wanted"),
    ]


def _feeds() -> list[Column]:
    """What all lines bring together."""
    return [
        Roll(name="fed", table="SafetyLines", of="brings", over="cargo", label="Feeds bring"),
        Roll(name="untold", table="SafetyLines", of="doubted", over="doubt", label="Not told"),
        Roll(name="lines_unknown", table="SafetyLines", of="fed_flag", how="unknown",
             label="Lines of unknown amount"),
        *[Roll(name=name, table="SafetyLines", of=of) for name, of in (
            ("meal_urea_kg_per_day", "line_meal_urea"), ("rare_feedings", "rare_urea"),
            ("new_urea", "adapting"), ("strong_feeds", "strong_urea"),
            ("fed_day_kg", "day_kg_per_day"), ("self_fed_kg", "self_fed_kg_per_day"),
            ("self_fed_cu", "self_fed_cu_mg_per_day"))],
    ]


def _suspected() -> list[Column]:
    """Forages eaten that are under a suspicion whose result has no entry."""
    found: list[Column] = []
    for part in PARTS:
        used = "main_unjudged_no" if part == "main" else f"{part}_unjudged_used"
        found += [
            Pull(name=f"{part}_no", via="diet_row", of=f"{part}_no",
                 label=f"No. of the {part} forage"),
            Link(name=f"{part}_sampling", to="Sampling", on=(f"{part}_no",),
                 label=f"Row of the {part} forage on Sampling plan"),
            Pull(name=f"{part}_unjudged_no", via=f"{part}_sampling", of="unjudged_no"),
            Pull(name=f"{part}_unjudged", via=f"{part}_sampling", of="unjudged_words",
                 label=f"Suspicion of the {part} forage"),
            *([] if part == "main" else [Calc(name=used)]),
            Say(name=f"{part}_suspected", by=used, label=f"Suspected, {part} forage", unknown="",
                sentences=("", *[f"{{{part}_unjudged}}. "] * 3))]
    return [*found, Calc(name="suspected_level")]


def _nitrate() -> list[Column]:
    """Nitrate of forages, feeds and water, and the limits of the scheme on Start."""
    found: list[Column] = [
        Pull(name="forage_no3n_ppm_dm", via="diet_row", of="eaten", member="no3n")]
    for part in PARTS:
        found += [Pull(name=f"{part}_quality", via="diet_row", of=f"{part}_quality", to="Quality",
                       label=f"Row of the {part} forage's month"),
                  Pull(name=f"{part}_no3n_ppm_dm", via=f"{part}_quality", of="quality",
                       member="no3n")]
    return [
        *found, Calc(name="scheme_used_no"),
        *[Pull(name=f"safe_{whose}no3n_ppm_dm", via="scheme_used_no",
               of=f"safe_{whose}no3n_ppm_dm", into="NitrateLimits") for whose, _ in SHARES],
        *calcs("highest_no3n_ppm_dm no3n_feed_ppm_dm"),
        Calc(name="water_no3n_used_ppm", may_be_blank=("water_no3n_ppm",)),
        Calc(name="water_no3n_missing", may_be_blank=("water_no3n_ppm",)),
        Say(name="water_counted", by="water_no3n_missing", label="Water counted", unknown="",
            sentences=("water counted", "water not tested")),
        *calcs("no3n_whole_ppm_dm no3n_safe_ppm_dm nitrate_level"),
    ]


def _urea() -> list[Column]:
    """Urea by feeding, by day, in the protein and in the dry matter."""
    return [
        Calc(name="day_dm_kg_per_day"),
        Calc(name="diet_cp_kg_per_day", by="diet_cp_on_day_kg_per_day"),
        *calcs("urea_kg_per_day npn_of_diet_cp_pct urea_of_diet_pct urea_danger urea_look"
               " urea_why_no urea_fed_level"),
        Say(name="urea_why", by="urea_why_no", label="Why urea", unknown="", sentences=URGES),
        Calc(name="urea_level", may_be_blank=("urea_fed_level",)),
        *[column for name in ("urea_kg_per_day", "meal_urea_kg_per_day")
          for column in _quiet(name)],
    ]


def _quiet(name: str) -> list[Column]:
    """A quantity in the workbook's unit, for words; no column that people read."""
    return [replace(column, front=False) for column in shown(name)]


def _levels(us: bool) -> list[Column]:
    """How near each of the other hazards comes."""
    return [
        *calcs("sulfur_level double_cu_ppm_dm copper_level sheep_diet_level"),
        Calc(name="copper_why_no", may_be_blank=("copper_no",)),
        Say(name="copper_why", by="copper_why_no", label="Why copper", unknown="", sentences=(
            "", "too much if they eat twice of it", "bound by other minerals",
            "too much if they eat twice of it, and bound by other minerals")),
        Calc(name="copper_double_level"),
        Calc(name="sheep_used", may_be_blank=("sheep_near",)),
        *calcs("fed_se_mg_per_day se_law_level selenium_rich se_diet_level"),
        Calc(name="tds_used_ppm", may_be_blank=("water_tds_ppm",)),
        Calc(name="sulfate_used_ppm", may_be_blank=("water_sulfate_ppm",)),
        Calc(name="water_untested", may_be_blank=("water_tds_ppm", "water_no3n_ppm")),
        *calcs("tender tds_level sulfate_level water_no3n_level"),
        Calc(name="salt_kg_per_day", by="fed_salt_kg_per_day"), *_quiet("salt_kg_per_day"),
        *calcs("salt_water_l_per_day diet_salt_pct_dm salty_feed salt_fed_level"
               " salt_diet_level seed_kg_per_day seed_most_kg_per_day fed_gossypol_g_per_day"
               " gossypol_over gossypol_fed_level"),
        *_quiet("seed_kg_per_day"), *_quiet("seed_most_kg_per_day"),
        Calc(name="gossypol_level", may_be_blank=("gossypol_fed_level",)),
        *calcs("diet_fat_pct_dm fat_level fed_starch_pct_bw starch_level"),
        *calcs("cap_level tetany_ratio_level tetany_level green_level tdn_short_kg_per_day"
               " energy_why_no protein_cannot_no energy_open"),
        *_quiet("tdn_short_kg_per_day"),
        Say(name="energy_why", by="energy_why_no", label="Why protein cannot do it", unknown="",
            sentences=_weighed(us, ("", *NO_PROTEIN))),
    ]


def hazards() -> Table:
    """What each hazard means, what to do, whom to ask."""
    told = (("hazard", "Hazard"), ("do_danger", "Hazard: what to do"),
            ("do_look", "Look: what to do"), ("do_unknown", "Not known: what to order"),
            ("ask", "Whom to ask"), ("source", "Source, key on Sources"), ("seen", "Read there?"),
            ("limits_note", "Limits"))
    return Table("Hazards", ("hazard",), (
        Key(name="hazard_no", dimension="hazard", label="No.", front=True),
        *[Key(name=name, label=label, front=True,
              data=tuple(row[name.removeprefix("limits_")] for row in ROWS))
          for name, label in told]),
        purpose="Limits differ between publications; the one in use is named. Ask before you feed"
                " what is flagged.")


def list_tables(others: list[Table]) -> list[Table]:
    """What a feed may hold, and the limits of the nitrate schemes, below what stands on Lists."""
    top = max(t.top + len(t.columns[-1].data) for t in others  # type: ignore[attr-defined]
              if t.sheet == "Lists") + GAP
    return [word_list("Specials", "special", "special", SPECIALS, top),
            _limits(top + len(SPECIALS) + GAP)]


def _limits(top: int) -> Table:
    """For each scheme the nitrate from which it does not let a feed be the whole diet."""
    columns = [Key(name=f"safe_{whose}no3n_ppm_dm", front=True,
                   data=tuple(min(float(row["from_no3n_ppm_dm"]) for row in NITRATES
                                  if row["scheme"] == scheme and float(row[share]) < ALL_OF_IT)
                              for scheme in SCHEMES)) for whose, share in SHARES]
    return Table("NitrateLimits", ("nitrate_limit",), (
        Key(name="nitrate_limit_no", dimension="nitrate_limit", label="No.", front=True),
        Key(name="limit_scheme", label="Scheme", front=True, data=SCHEMES), *columns),
        sheet="Lists", top=top)
