"""Condition, growth and last winter: published numbers through the sheets' own columns."""

from __future__ import annotations

import datetime as dt
import math

import numpy as np
import pytest

from haymow.evaluate import Values
from haymow.ranch import Ranch, sizes_for
from haymow.tables import Roll
from haymow.tables.make import make
from haymow.units import KG_PER_LB
from haymow.workbook.formulas import Formulas

FIRST = dt.date(2026, 12, 1)
NEM_55 = 1.1411  # Mcal/kg DM at 55 % TDN: 4.409, 0.82 and the cubic of the handbook by hand
SEASON = {"calving_season_days": 1, "peak_milk": 0}


def cow(score=5.0, weight=1200, calves=None, **more):
    """A mature cow, weighed shrunk, that calves on a day (by default far off)."""
    return {"group": "Cows", "class_name": "mature cow", "head": 10, "weight": weight,
            "weighed_shrunk": "yes", "first_calf_on": calves or dt.date(2027, 11, 30), **SEASON,
            "condition_score": score, "usual_forage": "Hay", **more}


def ranch(*herd, eats=20.0, tdn=55.0, nem=None, settings=None, **changed):
    """Groups that eat so much hay with so much TDN; ``nem`` is the own need of the first group."""
    entries = {
        "Forages": {1: {"forage": "Hay", "kind": "other"}},
        "Samples": {1: {"sample_id": "1", "forage": "Hay", "basis": "dry matter",
                        "reported.dm": 90, "reported.cp": 12, "reported.tdn": tdn}},
        "Herd": dict(enumerate(herd or (cow(),), 1)),
        "Diet": {12 * group + month: {"known_intake": eats} for group in range(max(len(herd), 1))
                 for month in range(1, 13)},
    }
    if nem is not None:
        for month in range(1, 13):
            entries["Diet"][month]["own_need.nem"] = nem
    entries |= changed
    return Ranch(entries, {"first_month": FIRST, **(settings or {})}, sizes_for(entries))


def column(typed, table, name):
    return Values(make(typed), typed).column(table, name)


def goal(typed, name, group=0):
    return column(typed, "ConditionGoal", name)[group]


def months(typed, name, count=12):
    return column(typed, "Condition", name)[:count]


def supplied(typed):
    """NEm that the first group gets of its hay in a day."""
    return column(typed, "Condition", "diet_nem")[0]


# --- the body's energy, as printed
@pytest.mark.parametrize(("source", "weight", "start", "to", "printed"), [
    ("BREED-MAGAZINE-2018", 1200, 4, 5, 226), ("BREED-MAGAZINE-2018", 1500, 4, 5, 283),
    ("BREED-MAGAZINE-2018", 1300, 2, 3, 186), ("BREED-MAGAZINE-2018", 1400, 5, 6, 308),
    ("BREED-MAGAZINE-2018", 1500, 6, 7, 389), ("NEBRASKA-BCS", 1100, 4, 5, 207)])
def test_the_energy_of_a_score_is_the_printed_one(source, weight, start, to, printed):
    """Columns are by weight at score 5, so the weight is typed with that score."""
    typed = ranch(cow(start, weight, weight_score=5, condition_target=to))
    assert goal(typed, "regain_mcal") == pytest.approx(printed, abs=1.2), source


@pytest.mark.parametrize(("score", "percent"), [(3, 87), (4, 93), (6, 108), (7, 118)])
def test_a_weight_taken_at_another_score_is_brought_to_the_score_of_now(score, percent):
    """MISSISSIPPI-BCS, table 1: weight beside that at score 5."""
    typed = ranch(cow(score, 1200, weight_score=5))
    now = column(typed, "Herd", "herd_weight_kg")[0] / KG_PER_LB
    assert now / 1200 * 100 == pytest.approx(percent, abs=0.6)
    assert months(typed, "herd_weight_kg", 1)[0] / KG_PER_LB == pytest.approx(now)
    assert column(ranch(cow(score, 1200)), "Herd", "herd_weight_kg")[0] == pytest.approx(
        1200 * KG_PER_LB)  # without a second score the weight stays as weighed


def days_from_first(days):
    return FIRST + dt.timedelta(days)


def test_sixty_nine_days_of_three_mcal_over_the_need_raise_a_cow_of_1100_lb_from_4_to_5():
    """NEBRASKA-BCS, table 3: 207 Mcal, 5 lb of alfalfa with 0.60 Mcal NEm a pound, 69 days."""
    fed = supplied(ranch())
    typed = ranch(cow(4, 1100, weight_score=5, calves=days_from_first(69)), nem=fed - 3.0)
    assert goal(typed, "goal_left_days") == 69
    assert goal(typed, "score_at_calving") == pytest.approx(5, abs=0.01)
    assert goal(typed, "regain_nem_mcal_per_day") == pytest.approx(3, abs=0.01)
    assert goal(typed, "verdict") == "reaches 5.0 by Feb 8"


def test_a_mcal_lost_stands_for_four_fifths_of_one_in_the_diet():
    """NRC2000, remembered: 207 Mcal of the body in 69 days are 2.4 Mcal short a day."""
    fed = supplied(ranch())
    typed = ranch(cow(5, 1100, calves=days_from_first(69)), nem=fed + 0.8 * 3.0)
    assert goal(typed, "score_at_calving") == pytest.approx(4, abs=0.01)


# --- month by month
def test_a_cow_that_gets_what_she_needs_keeps_her_score_and_weight():
    typed = ranch(cow(5.5, 1250), nem=supplied(ranch()))
    assert months(typed, "score_with_plan") == pytest.approx([5.5] * 12)
    assert months(typed, "month_end_weight") == pytest.approx([1250] * 12)


def test_the_path_is_the_running_sum_of_the_months_by_hand():
    fed = supplied(ranch())
    typed = ranch(cow(5, 1200), nem=fed - 1.0)
    lengths = [31, 31, 28, 31]
    so_far = months(typed, "plan_so_far_mcal", 4)
    assert so_far == pytest.approx([sum(lengths[:n]) for n in range(1, 5)])
    scores = months(typed, "score_with_plan")
    assert (np.diff(scores) > 0).all()


def test_a_month_that_is_not_known_leaves_the_path_open_from_there():
    diet = {month: {"known_intake": 20, "own_need.nem": 10} for month in range(1, 13)}
    diet[3]["second"] = "Nowhere"
    path = months(ranch(Diet=diet), "score_with_plan")
    assert not any(math.isnan(score) for score in path[:2])
    assert all(math.isnan(score) for score in path[2:])


def test_feeds_are_in_the_path_with_the_plan_and_not_in_that_of_forage_alone():
    feeds = {"Supplements": {2: {"product": "Corn", "purpose": "TDN", "price": 200,
                                 "basis": "as fed", "reported.dm": 87, "reported.cp": 8,
                                 "reported.tdn": 76}},
             "Plan": {1: {"product": "Corn", "own_amount": 4, "from_on": FIRST,
                          "to_on": dt.date(2027, 3, 31)}}}
    typed = ranch(cow(4, 1200), nem=supplied(ranch()), **feeds)
    assert months(typed, "score_forage_alone") == pytest.approx([4] * 12)
    fed = months(typed, "score_with_plan")
    assert fed[0] > 4.1 and fed[3] > 4.5
    assert fed[4:] == pytest.approx([fed[3]] * 8)


def test_the_running_sum_is_written_over_the_rows_of_the_group_up_to_the_month():
    book = make(ranch())
    table = book.tables["Condition"]
    text = Formulas(book).template(table, table.at["plan_so_far_mcal"])
    month = Formulas(book).cell(table, table.at["month_no"])
    assert f'Condition_month_no,"<="&{month}' in text
    own = Formulas(book).letters["Condition", "plan_so_far_mcal", None]
    assert own + "{r" not in text.replace("$", "")  # it rests on no cell of its own column
    with pytest.raises(ValueError, match="run up to a row"):
        Roll(name="x", table="Condition", of="days", upto="month", linked_by="herd_row")


# --- verdicts
def test_two_scores_in_sixty_days_are_called_not_realistic():
    """A county extension example (BC07, BC08): 160 to 200 lb in 60 days, 2.66 to 3.33 lb a day."""
    typed = ranch(cow(3, 1200, weight_score=5, calves=days_from_first(60)))
    assert 2.65 < goal(typed, "regain_gain") < 3.34
    verdict = goal(typed, "verdict")
    assert verdict.startswith("not realistic in the days left (2.7 lb a day)")
    for way in ("sort thin cows off", "start earlier", "wean earlier"):
        assert way in verdict
    patient = ranch(cow(3, 1200, weight_score=5, calves=days_from_first(60)),
                    settings={"most_regain": 3.4})
    assert "not realistic" not in goal(patient, "verdict")


def test_the_target_at_calving_is_5_and_for_a_first_calf_6():
    """NEBRASKA-BCS: mature cows 5, first-calf heifers 6."""
    heifer = cow(5, 1000, class_name="first-calf heifer", gain=0.3, mature_weight=1200)
    typed = ranch(cow(), heifer)
    assert list(column(typed, "ConditionGoal", "condition_target_used")[:2]) == [5, 6]
    assert goal(ranch(cow(5, condition_target=5.5)), "condition_target_used") == 5.5


@pytest.mark.parametrize(("over", "score", "words"), [
    (0.0, 5.0, "on target: 5.0 at calving"),
    (-2.4, 5.0, "4.1 at calving, short of 5.0: it takes 3.0 Mcal of NEm a day more"),
    (0.5, 6.0, "on target: 6.1 at calving")])
def test_the_verdict_follows_what_the_plan_brings(over, score, words):
    """BREED-MAGAZINE-2018: 226 Mcal below score 5, 311 above 6, of a cow of 1,200 lb at score 5."""
    fed = supplied(ranch())
    typed = ranch(cow(score, 1200, calves=days_from_first(69)), nem=fed - over)
    assert goal(typed, "verdict").startswith(words)


def test_what_is_not_known_is_said_and_never_taken_as_fit():
    assert goal(ranch(cow(None)), "verdict") == "not known: score the group"
    undated = cow() | {"first_calf_on": None}
    assert "calving date" in goal(ranch(undated), "verdict")
    no_intake = ranch(Samples={})
    assert goal(no_intake, "verdict").startswith("not known what the plan brings")
    assert column(ranch(cow()), "ConditionGoal", "verdict")[1] is None
    steer = cow(5, 700) | {"class_name": "stocker or yearling", "gain": 1, "mature_weight": 1300}
    assert goal(ranch(steer), "verdict") == "does not calve"


def test_calving_after_the_plan_is_judged_at_the_plans_end_and_said_so():
    typed = ranch(cow(4, calves=dt.date(2027, 11, 1)), nem=supplied(ranch()))
    short = Ranch({**typed.entries, "Diet": {1: typed.entries["Diet"][1],
                                             2: typed.entries["Diet"][2]}},
                  typed.settings, {**typed.sizes, "month": 2})
    assert goal(short, "verdict").startswith("calves after the plan's end: score 4.0 then; it ")


# --- growth
def steer(**more):
    return {"group": "Steers", "class_name": "stocker or yearling", "head": 10, "weight": 715,
            "weighed_shrunk": "yes", "gain": 0, "mature_weight": 1300, "usual_forage": "Hay",
            **more}


def test_a_steers_gain_from_his_diet_is_the_printed_one():
    """MONTANA-NE: 715 lb, 1,300 lb when finished, 16 lb DM with 2.09 Mcal NEm/kg: 3.62 lb a day."""
    typed = ranch(steer(), eats=16, tdn=84.95)
    assert months(typed, "whole_nem_mcal_per_kg", 1)[0] == pytest.approx(2.09, abs=0.005)
    assert months(typed, "left_for_gain_kg_per_day", 1)[0] == pytest.approx(4.44, abs=0.03)
    assert months(typed, "diet_gain", 1)[0] == pytest.approx(3.62, abs=0.1)


def test_weight_follows_the_gain_that_the_diet_carries():
    typed = ranch(steer(), eats=16, tdn=70)
    gain, weight = months(typed, "diet_gain"), months(typed, "month_end_weight")
    assert weight[1] == pytest.approx(715 + 31 * gain[0] + 31 * gain[1])
    assert goal(typed, "growth").startswith("this diet carries")
    starved = months(ranch(steer(), eats=4), "diet_gain")
    assert list(starved) == [0] * 12  # the model gives no loss


@pytest.mark.parametrize(("source", "name", "percent"), [
    ("SDSU-HEIFERS and ARKANSAS-MP391", "replacement heifer", 60),
    ("IOWA-HEIFER", "bred heifer", 85), ("IOWA-HEIFER", "second-calf cow", 92)])
def test_target_weights_are_the_published_shares_of_the_mature_weight(source, name, percent):
    heifer = steer(class_name=name, mature_weight=1200, first_calf_on=dt.date(2027, 4, 1), **SEASON)
    assert goal(ranch(heifer), "class_target") == pytest.approx(12 * percent), source


@pytest.mark.parametrize(("tdn", "said"), [(72, "on the way to 720 lb by Jun 1"), (50, "behind")])
def test_a_heifer_is_told_whether_her_diet_reaches_the_target_in_time(tdn, said):
    """560 lb to 720 lb in 182 days takes 0.88 lb a day."""
    heifer = steer(class_name="replacement heifer", weight=560, mature_weight=1200, gain=0.9,
                   target_on=dt.date(2027, 6, 1))
    typed = ranch(heifer, eats=14, tdn=tdn)
    assert goal(typed, "gain_wanted") == pytest.approx(160 / 182)
    assert goal(typed, "growth").startswith(said)
    assert "it takes 0.88" in goal(typed, "growth")
    line = months(typed, "on_the_way")
    assert line[0] == pytest.approx(560 + 160 * 31 / 182)
    assert line[6:] == pytest.approx([720] * 6)


# --- last winter
WINTER = {"condition_fall": 5, "fall_scored_on": dt.date(2025, 12, 1), "condition_spring": 5,
          "spring_scored_on": dt.date(2026, 3, 11), "winter_forage_tdn_pct_dm": 55,
          "winter_feed": 0, "winter_need_mcal_per_day": 10}


DRY = cow(5, 1100, calves=dt.date(2027, 4, 15))  # weaned in November


def winter(typed, name):
    return column(typed, "LastWinter", name)[0]


def last(**more):
    return ranch(DRY, LastWinter={1: {**WINTER, **more}})


def test_a_cow_that_held_her_score_ate_her_need():
    """10 Mcal a day of hay with 1.14 Mcal NEm/kg: 19.3 lb, 1.76 % of 1,100 lb."""
    assert winter(last(), "implied_intake") * KG_PER_LB == pytest.approx(10 / NEM_55, rel=1e-4)
    assert winter(last(), "implied_intake_pct_bw") == pytest.approx(1.758, abs=0.002)
    assert "put 19.3 lb under known intake on Diet" in winter(last(), "winter_words")


def test_a_score_lost_in_a_hundred_days_stood_in_for_energy_of_the_diet():
    """NEBRASKA-BCS: 207 Mcal of a cow of 1,100 lb; four fifths of it, 1.66 Mcal a day."""
    typed = last(condition_spring=4)
    assert winter(typed, "winter_days") == 100
    assert winter(typed, "winter_body_nem_mcal_per_day") == pytest.approx(-1.66, abs=0.005)
    assert winter(typed, "implied_intake") * KG_PER_LB == pytest.approx(
        (10 - 1.66) / NEM_55, abs=0.01)


def test_feed_given_is_taken_off_what_forage_must_have_brought():
    """3 lb as fed with 90 % DM at 55 % TDN stands for 2.7 lb of the hay."""
    typed = last(winter_feed=3, winter_feed_dm_pct_as_fed=90, winter_feed_tdn_pct_dm=55)
    assert winter(typed, "implied_intake") == pytest.approx(
        winter(last(), "implied_intake") - 2.7)


def test_the_need_of_that_time_of_the_year_is_taken_from_the_plan():
    """December 1 to March 11: 31, 31, 28 days and 10 of March, whatever the year."""
    typed = last(winter_need_mcal_per_day=None)
    need = column(typed, "Needs", "nem_need_mcal_per_day")[:4]
    by_hand = sum(n * d for n, d in zip(need, (31, 31, 28, 10), strict=True)) / 100
    assert winter(typed, "winter_need_used_mcal_per_day") == pytest.approx(by_hand, rel=2e-3)


def test_walking_that_is_implied_makes_intake_and_need_agree_once_it_is_the_setting():
    eaten = {"winter_need_mcal_per_day": None, "winter_eaten": 22}
    implied = winter(last(**eaten), "implied_activity_pct")
    assert 0 < implied < 60
    assert f"put {implied:.0f} % in the setting" in winter(last(**eaten), "winter_words")
    settled = ranch(DRY, LastWinter={1: {**WINTER, **eaten}},
                    settings={"activity_pct": implied})
    assert winter(settled, "implied_intake") == pytest.approx(22)
    assert winter(settled, "implied_activity_pct") == pytest.approx(implied)


def test_without_weighing_the_forage_class_stands_for_what_was_eaten():
    """NEBRASKA-INTAKE: 2.05 % of body weight of a dry cow on average forage (55.5 % TDN)."""
    typed = last(winter_forage_tdn_pct_dm=55.5, winter_eaten=None)
    assert winter(typed, "winter_eaten_used") == pytest.approx(1100 * 2.05 / 100, rel=0.001)


@pytest.mark.parametrize("gone", ["condition_spring", "spring_scored_on", "winter_feed",
                                  "winter_forage_tdn_pct_dm"])
def test_what_is_missing_of_last_winter_stays_unknown_and_is_said(gone):
    typed = last(**{gone: None})
    assert math.isnan(winter(typed, "implied_intake"))
    assert winter(typed, "winter_words").startswith("not known")
    assert winter(ranch(), "winter_words") is None  # nothing typed, nothing said


def test_entries_that_cannot_be_true_together_are_not_made_a_setting():
    words = winter(last(condition_fall=2, condition_spring=8), "winter_words")
    assert words.startswith("these entries do not fit together")
    lazy = winter(last(winter_eaten=12), "winter_words")
    assert "walking does not explain it" in lazy
