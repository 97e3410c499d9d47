"""Bringing feed out: trips, what they cost, room at the trough, how often; the feed sheet."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from haymow.evaluate import Values
from haymow.ranch import Ranch
from haymow.tables.make import make
from least_cost_ranch import gap_ranch

GAPS = [{"cp": 0.5}] * 4
DAYS = {"from_on": dt.date(2026, 11, 1), "to_on": dt.date(2027, 2, 28)}  # 120 days


def fed(line: dict[str, object] | None = None, feed: dict[str, object] | None = None,
        feeding: dict[str, object] | None = None, **settings: float) -> Values:
    """100 cows on a level pound of cube for 120 days."""
    cube = {"cp": 38, "tdn": 70, "price": 400, "npn_pct_of_cp": 0, **(feed or {})}
    ranch: Ranch = gap_ranch({"Cube": cube}, GAPS, head=100, **settings)
    entries = {**ranch.entries, "Feeding": {1: feeding or {}},
               "Plan": {1: {"product": "Cube", "own_amount": 1, **DAYS, **(line or {})}}}
    ranch = replace(ranch, entries=entries)
    return Values(make(ranch), ranch)


def of(values: Values, column: str, table: str = "Feeding"):
    return values.column(table, column)[0]


@pytest.mark.parametrize(("times", "trips", "usd", "per_head_day"), [
    (7, 120, 3840, 0.320), (3, 52, 1664, 0.139), (1, 18, 576, 0.048)])
def test_trips_cost_what_the_worked_example_says(times, trips, usd, per_head_day):
    """Arithmetic: 100 head, 120 days, an hour at $18 and 20 miles at $0.70 a trip."""
    values = fed({"times_per_week": times}, trip_hours=1, wage_usd=18, trip_distance=20,
                 distance_usd=0.7)
    assert of(values, "trips") == trips
    assert of(values, "delivery_usd") == pytest.approx(usd)
    assert of(values, "delivery_day_usd_per_head_day") == pytest.approx(per_head_day, abs=0.0005)


def test_a_pound_a_day_given_once_a_week_is_seven_pounds_at_a_time():
    """Univ. of Idaho, strategic supplementation: 1 lb a day may be given as 7 lb a week."""
    values = fed({"times_per_week": 1})
    assert of(values, "meal") == pytest.approx(7)
    assert of(values, "per_feeding") == pytest.approx(700)


def test_what_a_trip_costs_is_not_known_where_nothing_is_said_and_counts_what_is():
    assert of(fed(), "delivery_usd") != of(fed(), "delivery_usd")
    assert of(fed(trip_hours=2, wage_usd=20), "delivery_usd") == pytest.approx(120 * 40)
    assert of(fed(trip_hours=2, wage_usd=20, trip_distance=5), "delivery_usd") == 120 * 40


def test_a_line_that_goes_along_has_no_trips_of_its_own():
    assert of(fed(feeding={"goes_along": "yes"}, trip_hours=1, wage_usd=18), "trips") == 0


@pytest.mark.parametrize(("feed", "times", "words"), [
    ({}, 1, None),
    ({"cp": 25}, 1, "fed less often than it should be: at least 3.5 times a week"),
    ({"npn_pct_of_cp": 20}, 3, "fed less often than it should be: at least 7.0 times a week"),
    ({"npn_pct_of_cp": None}, 3,
     "may have to be fed every day: enter its CP and NPN on Supplements"),
    ({"cp": 25, "least_times_per_week": 1}, 1, None),
    ({"npn_pct_of_cp": None}, 7, None)])
def test_a_feed_that_must_be_fed_more_often_is_named(feed, times, words):
    """Texas A&M: 30 % CP and more once a week, less every other day; urea daily."""
    assert (of(fed({"times_per_week": times}, feed), "interval_words") or None) == words


@pytest.mark.parametrize(("trough", "words"), [
    (None, "how long is the trough?"), (300, "all can eat at once"),
    (120, "too short: the timid get less; more trough, or two groups")])
def test_room_at_the_trough_is_compared_with_the_care_guide(trough, words):
    """1,200 lb cows shrunk to 1,152: between 27 and 28 inches each, 100 head 225 to 233 ft."""
    bunk = {"fed_by": "cubes or meal, in a bunk or trough"}
    values = fed(feed=bunk, feeding={"trough": trough} if trough else {})
    assert 225 < of(values, "trough_needed") < 233.4
    assert of(values, "room_words") == words


def test_on_the_ground_no_trough_is_asked_for():
    assert of(fed(feed={"fed_by": "cubes, on sod"}), "room_words") in (None, "")


def test_a_usual_loss_stands_in_where_none_is_typed_and_is_named_by_form_and_method():
    """New Mexico State: by-product on the ground loses 10 to 25 %; cubes do not share it."""
    loose = fed(feed={"fed_by": "loose by-product, on the ground"})
    assert loose.column("Supplements", "loss_used_pct")[1] == 17.5
    assert fed(feed={"fed_by": "cubes, on sod"}).column("Supplements", "loss_used_pct")[1] == 3.5
    typed = fed(feed={"fed_by": "cubes, on sod", "loss_pct": 1})
    assert typed.column("Supplements", "loss_used_pct")[1] == 1


def test_the_feed_sheet_says_pounds_loads_and_days_for_the_group():
    values = fed({"times_per_week": 3, "to_on": dt.date(2027, 1, 15)},
                 {"load": 10, "load_name": "scoops"})
    sheet = {name: list(values.column("FeedSheet", name)[:4])
             for name in ("feed", "sheet_feeding", "loads", "sheet_meal", "sheet_until_on")}
    assert [feed or "" for feed in sheet["feed"]] == ["Cube", "Cube", "Cube", ""]
    assert sheet["sheet_feeding"][0] == pytest.approx(700 / 3)
    assert sheet["loads"][0] == "23.3 scoops"
    assert sheet["sheet_until_on"][2] - sheet["sheet_until_on"][1] == 15


def test_urea_is_warned_of_on_the_feed_sheet_and_not_knowing_is_said():
    assert "never to hungry" in of(fed(feed={"npn_pct_of_cp": 20}), "care", "FeedSheet")
    assert "may hold urea" in of(fed(feed={"npn_pct_of_cp": None}), "care", "FeedSheet")
    assert not of(fed(), "care", "FeedSheet")
