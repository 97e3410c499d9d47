"""What they eat as they like: ounces, half and double, over-supply, salt that holds them to it."""

from __future__ import annotations

import datetime as dt

import pytest

from haymow.equations.delivery import salt_of_mix_pct
from haymow.equations.safety import salt_limit_kg_per_day
from haymow.evaluate import Values
from haymow.ranch import Ranch
from haymow.tables.make import make

LB = 0.45359237
HAY = {"sample_id": "S-1", "forage": "Hay", "sampled_on": dt.date(2026, 9, 1),
       "basis": "dry matter", "reported.dm": 90, "reported.cp": 9, "reported.tdn": 56,
       "reported.p": 0.15, "reported.cu": 7, "reported.zn": 20, "reported.se": 0.1}


def put_out(mode: str | None = "by its own intake", **tag: object) -> Values:
    """Cows on 27 lb of hay dry matter with 4 oz of a mineral."""
    mineral = {"product": "Mineral", "purpose": "P", "price": 900, "basis": "dry matter",
               "reported.dm": 100, "reported.cp": 0, "reported.tdn": 0, "reported.p": 8,
               "reported.cu": 500, "label_intake": 0.25, **tag}
    entries = {
        "Samples": {1: HAY}, "Forages": {1: {"forage": "Hay", "kind": "cool-season grass hay"}},
        "Herd": {1: {"group": "Cows", "class_name": "mature cow", "head": 100, "weight": 1200,
                     "first_calf_on": dt.date(2027, 4, 1), "peak_milk": 18,
                     "usual_forage": "Hay"}},
        "Diet": {month: {"known_intake": 27} for month in (1, 2, 3)},
        "Supplements": {2: mineral},
        "Plan": {1: {"product": "Mineral", "mode": mode, "from_on": dt.date(2026, 12, 1)}}}
    ranch = Ranch(entries, {"first_month": dt.date(2026, 11, 1)},
                  {"group": 1, "month": 3, "line": 2, "forage": 1, "product": 2, "sample": 1})
    return Values(make(ranch), ranch)


def of(values: Values, column: str, member: str = ""):
    return values.column("SelfFed", column, member)[0]


def test_a_tag_in_pounds_is_said_in_ounces_and_grams():
    values = put_out()
    assert of(values, "label_oz_per_day") == pytest.approx(4)
    assert of(values, "label_g_per_day") == pytest.approx(113.4, abs=0.05)


def test_half_and_double_move_the_need_by_what_the_feed_brings():
    """Arithmetic: 4 oz of 8 % are 9.07 g of phosphorus."""
    values = put_out()
    need = values.column("Needs", "need", "p")[1]
    step = 0.25 * LB * 80 / need * 100
    met = of(values, "expected_pct_of_need")
    assert of(values, "double_pct_of_need") - met == pytest.approx(step)
    assert met - of(values, "half_pct_of_need") == pytest.approx(step / 2)


def test_copper_is_judged_in_the_whole_diet_at_once_twice_and_three_times_the_intake():
    """South Dakota State (arithmetic): 27 lb at 7 ppm with 4 oz at 500 ppm are 11.2-11.7 ppm."""
    values = put_out()
    assert 11.2 < values.column("Minerals", "in_diet", "cu")[1] < 11.7
    assert not of(values, "high_once") and not of(values, "high_triple")
    rich = put_out(**{"reported.cu": 6000})  # 7 and 6,000 ppm: 62 ppm, and 116 at twice of it
    assert "Cu" in of(rich, "high_double") and "Cu" in of(rich, "high_once")
    between = put_out(**{"reported.cu": 2500})  # 30 ppm, 53 at twice, 74 at three times
    assert not of(between, "high_once") and "Cu" in of(between, "high_double")


def test_the_first_month_of_feeding_is_looked_at():
    assert of(put_out(), "month_fed_no") == 2


def test_a_feed_that_is_brought_to_them_is_not_one_of_these():
    values = put_out(mode=None)
    assert of(values, "double_pct_of_need") != of(values, "double_pct_of_need")
    assert not of(values, "high_once")


@pytest.mark.parametrize(("weight", "feed", "percent"), [
    (1000, 2, 33), (1200, 2, 37.5), (1200, 5, 19)])
def test_salt_that_holds_them_to_so_much_feed(weight, feed, percent):
    """Oklahoma State ANSI-3008: 0.1 lb of salt for 100 lb of weight; the shares are arithmetic."""
    share = salt_of_mix_pct(salt_limit_kg_per_day(weight * LB), feed * LB)
    assert share == pytest.approx(percent, abs=0.5)
