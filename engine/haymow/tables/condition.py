"""Condition: the way to calving and to target weights, for each group and month by month."""

from __future__ import annotations

from .book import Table
from .kinds import Calc, Column, Link, Pull, Roll, Say
from .last_winter import month_columns
from .shorthand import calcs, group_link, group_name, keys, month_name, pulls, row_key, shown

__all__ = ["condition", "goals"]

FROM_DIET = (
    ("diet_nem", "diet", "nem", "Whole diet: NEm"), ("diet_tdn", "diet", "tdn", "Whole diet: TDN"),
    ("diet_dm", "diet", "dm", "Whole diet: DM"), ("needed_nem", "needed", "nem", "Need: NEm"),
    ("alone_surplus_mcal_per_day", "over", "nem", ""))


def _sums(*names: tuple[str, str, str]) -> list[Column]:
    return [Roll(name=name, table="Condition", of=of, how=how) for name, of, how in names]


def goals(us: bool) -> Table:
    """Where each group stands, what it takes, and what the plan brings."""
    weight = "lb" if us else "kg"
    return Table("ConditionGoal", ("group",), (
        *keys("group"), group_name(),
        Say(name="verdict", by="verdict_no", label="On the way to calving", front=True, unknown="",
            sentences=VERDICTS),
        Say(name="growth", by="growth_no", label="Growth", front=True, unknown="",
            sentences=_growths(weight)),
        Pull(name="condition_score", via="herd_row", of="condition_score", front=True),
        Pull(name="condition_target_used", via="herd_row", of="condition_target_used", front=True),
        Calc(name="score_at_calving", front=True), Calc(name="score_at_calving_alone", front=True),
        Calc(name="next_calving_on", front=True), Calc(name="goal_left_days", front=True),
        Calc(name="regain_mcal", front=True), Calc(name="regain_nem_mcal_per_day", front=True),
        *shown("regain_gain_kg_per_day class_target_kg"),
        Calc(name="target_used_on", front=True, may_be_blank=("target_on", "next_calving_on")),
        *shown("gain_wanted_kg_per_day mean_diet_gain_kg_per_day"),
        group_link(),
        *pulls("herd_row", "scored breeds grows first_calf calving_used_on herd_weight_kg"
                           " own_score_5_weight_kg mature_weight_used_kg target_on"
                           " target_weight_pct"),
        *calcs("plan_start_on days_to_calving energy_now_mcal regain_gain_kg_per_day"),
        *_sums(("planned_change_mcal", "goal_plan_used_mcal", "sum"),
               ("planned_unknown", "goal_plan_used_mcal", "unknown"),
               ("alone_change_mcal", "goal_alone_used_mcal", "sum"),
               ("alone_unknown", "goal_alone_used_mcal", "unknown"),
               ("counted_days", "month_goal_days", "sum"),
               ("grown_kg", "diet_gain_kg", "sum"), ("grown_unknown", "diet_gain_kg", "unknown"),
               ("plan_days", "days", "sum"),
               ("gained_kg", "target_gain_used_kg", "sum"),
               ("gained_unknown", "target_gain_used_kg", "unknown"),
               ("target_counted_days", "month_target_days", "sum")),
        *calcs("energy_at_calving_mcal energy_at_calving_alone_mcal still_wanted_mcal"
               " extra_nem_mcal_per_day realistic_gain_kg_per_day too_fast reached in_order_now"
               " path_no"),
        Calc(name="path_known_no", may_be_blank=("path_no",)), *calcs("takes_no calving_no"),
        Say(name="takes", by="takes_no", label="What it takes", sentences=_takes(weight)),
        Calc(name="verdict_known_no", may_be_blank=("condition_score", "calving_no")),
        Calc(name="verdict_no"),
        *calcs("class_target_kg target_left_days gain_wanted_kg_per_day mean_diet_gain_kg_per_day"
               " due_weight_kg target_reached target_no"),
        Calc(name="growth_known_no", may_be_blank=("target_no",)),
        Calc(name="growth_used_no", may_be_blank=("growth_known_no",)), Calc(name="growth_no"),
    ), sheet="Goals", purpose="Whether each group is fit at calving and grown in time. Score 1 is"
                              " thin, 9 fat.")


def _takes(weight: str) -> tuple[str, ...]:
    return (
        "it takes {regain_nem_mcal_per_day:1} Mcal of NEm a day over the need",
        "not realistic in the days left ({regain_gain:1} " + weight + " a day): sort thin cows off"
        " and feed them apart, start earlier, or wean earlier",
        "the score of now is in order")


VERDICTS = (
    "does not calve", "not known: score the group",
    "not known: weight and calving date are needed (Herd)", "{takes}",
    "not known what the plan brings (see Balance); {takes}",
    "calves after the plan's end: score {score_at_calving:1} then; {takes}",
    "on target: {score_at_calving:1} at calving",
    "reaches {condition_target_used:1} by {next_calving_on:day}",
    "{score_at_calving:1} at calving, short of {condition_target_used:1}: it takes"
    " {extra_nem_mcal_per_day:1} Mcal of NEm a day more than the plan gives")


def _growths(weight: str) -> tuple[str, ...]:
    carries = "this diet carries {mean_diet_gain:2} " + weight + " a day"
    target = "{class_target:0} " + weight + " by {target_used_on:day}"
    takes = "it takes {gain_wanted:2}"
    return ("", "not known what gain this diet carries", carries,
            f"on the way to {target}: {takes}, {carries}",
            f"behind, {target}: {takes}, {carries}")


def condition() -> Table:
    """Scores and weights at the end of each month."""
    return Table("Condition", ("group", "month"), (
        row_key(), *keys("group", "month"), group_name(), month_name(),
        Calc(name="score_with_plan", front=True), Calc(name="score_forage_alone", front=True),
        *shown("month_end_weight_kg on_the_way_kg diet_gain_kg_per_day wanted_gain_kg_per_day"),
        group_link(),
        Link(name="goal_row", to="ConditionGoal", on=("group_no",), label="Row on Goals"),
        Link(name="needs_row", to="Needs", on=("group_no", "month_no"), label="Row on Needs"),
        Link(name="balance_row", to="Balance", on=("group_no", "month_no"),
             label="Row on Balance"),
        *pulls("month_no", "first_day days"),
        *pulls("herd_row", "grows herd_weight_kg own_score_5_weight_kg"),
        *pulls("goal_row", "energy_now_mcal next_calving_on plan_start_on class_target_kg"
                           " target_used_on target_left_days"),
        *pulls("needs_row", "shrunk_gain_kg_per_day nem_without_gain_mcal_per_day"
                            " equivalent_weight_kg"),
        *[Pull(name=name, via="balance_row", of=of, member=member, label=label)
          for name, of, member, label in FROM_DIET],
        *calcs("plan_surplus_mcal_per_day plan_change_mcal alone_month_mcal"),
        *_so_far(("plan_so_far_mcal", "plan_change_mcal", "sum"),
                 ("plan_unknown", "plan_change_mcal", "unknown"),
                 ("alone_so_far_mcal", "alone_month_mcal", "sum"),
                 ("alone_so_far_unknown", "alone_month_mcal", "unknown")),
        *calcs("plan_energy_mcal alone_energy_mcal weight_by_score_kg month_goal_days"
               " goal_plan_mcal goal_alone_mcal"),
        *[Calc(name=f"goal_{way}_used_mcal", may_be_blank=(f"goal_{way}_mcal",))
          for way in ("plan", "alone")],
        *calcs("whole_nem_mcal_per_kg whole_tdn_pct_dm whole_neg_mcal_per_kg"
               " left_for_gain_kg_per_day neg_for_gain_mcal_per_day diet_gain_kg_per_day"
               " wanted_gain_kg_per_day diet_gain_kg"),
        *_so_far(("gain_so_far_kg", "diet_gain_kg", "sum"),
                 ("gain_so_far_unknown", "diet_gain_kg", "unknown")),
        *calcs("weight_by_gain_kg month_end_days on_the_way_kg month_target_days target_gain_kg"),
        Calc(name="month_end_weight_kg", may_be_blank=("weight_by_gain_kg", "weight_by_score_kg")),
        Calc(name="target_gain_used_kg", may_be_blank=("target_gain_kg",)),
        *month_columns(),
    ), purpose="Scores and weights at the end of each month: the body lays on what the diet brings"
               " over the need and stands in for what it lacks; of growing females after the gain"
               " planned.")


def _so_far(*names: tuple[str, str, str]) -> list[Column]:
    return [Roll(name=name, table="Condition", of=of, how=how, upto="month")
            for name, of, how in names]
