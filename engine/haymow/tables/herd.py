"""Herd, Diet: who eats what."""

from __future__ import annotations

from .book import Table
from .kinds import Asks, Calc, Column, Entry, Link, Pull, Say
from .shorthand import calcs, group_link, group_name, keys, month_name, pulls, row_key, typed
from .small import rows_of
from .table_values import told

__all__ = ["diet", "herd"]

FORAGES_EATEN = ("main", "second", "third")
WORDS = tuple(row["words"] for row in rows_of("nutrients") if row["slice"] == "nutrient")


def herd() -> Table:
    """The animal groups."""
    return Table("Herd", ("group",), (
        *keys("group"),
        Entry(name="group", what="text", label="Group", must=True, front=True,
              hint="Your name for the animals that are fed alike."),
        Entry(name="class_name", what="choice", choices="Classes.class", label="Class", must=True,
              front=True, hint="Choose from the list."),
        Entry(name="head", front=True, must=True, hint="Number of animals."),
        *typed("weight_kg", must=True, hint="Mean weight at the start of the plan."),
        Entry(name="weighed_shrunk", what="choice", choices="YesNo.answer", front=True,
              label="Weighed shrunk?",
              hint="yes: after a night without feed and water, or a sale weight; blank: no."),
        Entry(name="first_calf_on", what="date", front=True,
              hint="Day the first calf of the season comes; asked of groups that calve."),
        Entry(name="calving_season_days", front=True,
              hint="Days from the first calf to the last; blank: the setting on Start."),
        *typed("peak_milk_kg_per_day",
               hint="Of mature cows of this kind. Blank: that of the breed type."),
        *typed("gain_kg_per_day", hint="Gain to plan for, shrunk; asked of growing cattle."),
        *typed("mature_weight_kg", hint="Shrunk weight when grown; asked of growing cattle."),
        *typed("birth_weight_kg",
               hint="Blank: that of the breed type, else a fifteenth of the mature weight."),
        Entry(name="weaned_after_days", front=True, hint="Blank: the setting on Start."),
        Entry(name="breed", what="choice", choices="Breeds.breed_type", label="Breed type",
              front=True, hint="Gives usual values, from memory, where you type none of your own."),
        Entry(name="breed_factor", front=True,
              hint="Of maintenance. Blank: that of the breed type, else 1."),
        Entry(name="usual_forage", what="choice", choices="Forages.forage", label="Runs on",
              front=True, hint="What the group eats where Diet names nothing else."),
        Entry(name="condition_score", front=True,
              hint="Mean of the group at the start of the plan: 1 thin to 9 fat."),
        Entry(name="weight_score", front=True,
              hint="Score when that weight was taken; blank: the score of now."),
        Entry(name="condition_target", front=True,
              hint="Score wanted at calving; blank: 5, for a first calf 6."),
        Entry(name="target_on", what="date", front=True,
              hint="Day for the target weight, such as the first of breeding; blank: calving."),
        Asks(name="note", used="group class_name", label="To look at", front=True, needs=(
            ("group", "Name the group. "),
            ("class_row", "Choose a class of the list. "), ("head", "How many head? "),
            ("herd_weight_kg", "What do they weigh? "),
            ("calving_used_on", "When is the first calf due? "),
            ("peak_used_kg_per_day", "How much milk at the peak? "),
            ("gain_used_kg_per_day", "What gain is planned? "),
            ("mature_weight_used_kg", "What will they weigh when grown? "))),
        Link(name="class_row", to="Classes", by_name="class_name", key="class",
             label="Row of the class"),
        *pulls("class_row", "breeds grows first_calf sex_factor lactation_maintenance milk_factor"
                            " intake_form by_class target_score"),
        Pull(name="target_event", via="class_row", of="target_event", label="Next target"),
        Link(name="target_row", to="Targets", by_name="target_event", key="event",
             label="Row of the target"),
        *pulls("target_row", "target_weight_pct"),
        Link(name="usual_forage_row", to="Forages", by_name="usual_forage", key="forage",
             label="Row on Forages"),
        Link(name="weighed_no", to="YesNo", by_name="weighed_shrunk", key="answer",
             blank_name="no", label="Weighed, no."),
        Calc(name="herd_typed_kg", by="herd_weight_kg"), Calc(name="weight_now_kg"),
        Calc(name="herd_weight_kg", by="weighed_kg", may_be_blank=("weight_now_kg",)),
        *calcs("scored own_score_5_weight_kg"),
        Calc(name="condition_target_used", may_be_blank=("condition_target",)),
        Calc(name="calving_days_used", may_be_blank=("calving_season_days",)),
        Calc(name="calving_mid_on"),
        Calc(name="calving_used_on", may_be_blank=("calving_mid_on",)),
        Calc(name="mature_weight_used_kg", may_be_blank=("mature_weight_kg",)),
        Link(name="breed_row", to="Breeds", by_name="breed", key="breed_type",
             label="Row of the breed type"),
        *[Pull(name=f"breed_{n}", via="breed_row", of=n) for n in (
            "birth_weight_kg", "peak_milk_kg_per_day")],
        Pull(name="breed_breed_factor", via="breed_row", of="breed_factor"),
        Calc(name="usual_birth_weight_kg", may_be_blank=("breed_birth_weight_kg",)),
        Calc(name="own_birth_weight_kg"),
        Calc(name="birth_weight_used_kg", may_be_blank=("birth_weight_kg",)),
        Calc(name="own_peak_milk_kg_per_day",
             may_be_blank=("peak_milk_kg_per_day", "breed_peak_milk_kg_per_day")),
        Calc(name="peak_used_kg_per_day", may_be_blank=("own_peak_milk_kg_per_day",)),
        Calc(name="own_peak_kg_per_day"),
        Calc(name="gain_used_kg_per_day", may_be_blank=("gain_kg_per_day",)),
        Calc(name="weaned_used_days", may_be_blank=("weaned_after_days",)),
        Calc(name="breed_factor_used", may_be_blank=("breed_factor", "breed_breed_factor")),
    ), sortable=True, purpose="One row a group of animals that are fed alike.")


def _on_tables() -> list[Column]:
    """Which of the forages eaten rest on table values."""
    found: list[Column] = []
    for s in FORAGES_EATEN:
        found += [
            Pull(name=f"{s}_rests", via=f"{s}_quality", of="table_no", inline=True),
            Pull(name=f"{s}_named", via=f"{s}_quality", of="table_use", inline=True),
            Calc(name=f"{s}_table_no"),
            Say(name=f"{s}_table", by=f"{s}_table_no", label=f"Table values, {s} forage",
                unknown="", sentences=("", *[f"{{{s}_named}} "] * 2)),
        ]
    return [*found, Calc(name="table_no", by="diet_table_no")]


def diet() -> Table:
    """What each group eats, month by month."""
    parts = [Pull(name=f"{s}_part", via=f"{s}_quality", of="quality", inline=True, over="analyte")
             for s in FORAGES_EATEN]
    return Table("Diet", ("group", "month"), (
        row_key(), *keys("group", "month"), group_name(), month_name(),
        Entry(name="main", what="choice", choices="Forages.forage", label="Main forage",
              front=True, hint="Takes the rest. Blank: what the group runs on by Herd."),
        Entry(name="second", what="choice", choices="Forages.forage", label="Second forage",
              front=True, hint="Only where two are eaten."),
        Entry(name="second_pct", front=True, hint="Its part of the dry matter eaten."),
        Entry(name="third", what="choice", choices="Forages.forage", label="Third forage",
              front=True, hint="Only where three are eaten."),
        Entry(name="third_pct", front=True, hint="Its part of the dry matter eaten."),
        *typed("known_intake_kg_per_day",
               hint="Dry matter a head eats, where you know it. Blank: predicted."),
        *typed("put_out_kg_per_day",
               hint="Forage put out a head and day, as fed, where it is rationed."),
        *typed("on_offer_kg_per_ha",
               hint="Standing forage, dry matter, where it may be scarce. Blank: enough."),
        Entry(name="own_need", over="nutrient", measure="daily", label="Own need",
              hint="Replaces the computed need, in this month only."),
        Asks(name="note", used="group", label="To look at", front=True, needs=(
            ("main_row", "The main forage is not on Forages. "),
            ("second_no", "The second forage is not on Forages. "),
            ("third_no", "The third forage is not on Forages. "),
            ("second_pct_used", "What part is the second forage? "),
            ("third_pct_used", "What part is the third forage? "))),
        told("table_no", "{main_table}{second_table}{third_table}"),
        group_link(),
        Pull(name="usual_forage_row", via="herd_row", of="usual_forage_row", to="Forages",
             label="Row of the usual forage"),
        Link(name="main_row", to="Forages", by_name="main", key="forage",
             blank="usual_forage_row", label="Row of the main forage"),
        *[Link(name=f"{s}_row", to="Forages", by_name=s, key="forage", blank="main_row",
               label=f"Row of the {s} forage") for s in FORAGES_EATEN[1:]],
        # a forage's number, not its row: Forages may be sorted, Quality may not
        *[Pull(name=f"{s}_no", via=f"{s}_row", of="forage_no", label=f"No. of the {s} forage")
          for s in FORAGES_EATEN],
        Calc(name="second_pct_used", may_be_blank=("second_pct",)),
        Calc(name="third_pct_used", may_be_blank=("third_pct",)),
        Calc(name="main_pct"),
        *[Link(name=f"{s}_quality", to="Quality", on=(f"{s}_no", "month_no"),
               label=f"Row of the {s} forage's month") for s in FORAGES_EATEN],
        *parts,
        Calc(name="eaten", over="analyte", measure="content", label="Eaten"),
        *[Pull(name=f"{s}_dm", via=f"{s}_row", of="dm_pct_as_fed", inline=True)
          for s in FORAGES_EATEN],
        Calc(name="as_fed_per_dm"),
        Calc(name="put_out_dm_kg_per_day"),
        Calc(name="own_need_si", over="nutrient", label="Own need"),
        *_on_tables(),
    ), sortable=True, purpose="What each group eats. Blank rows take what the group runs on.")
