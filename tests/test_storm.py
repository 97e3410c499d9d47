"""The storm card: published examples through the sheet's own columns, and what it leaves alone.

Names in brackets are keys of the bibliography; CS numbers are of worked examples in print of which
the bibliography holds no key, named beside them.
"""

from __future__ import annotations

import datetime as dt

import pytest

from haymow.evaluate import Values
from haymow.plan import plan
from haymow.ranch import Ranch, sizes_for
from haymow.tables.make import make
from haymow.units import KG_PER_LB
from haymow.workbook.formulas import Formulas

FIRST = dt.date(2026, 12, 1)
TDN = 55.0  # % of DM of the hay
DM = 90.0
DRY, HEAVY, WET = "dry winter coat", "dry heavy winter coat", "wet or summer coat"


def ranch(need_tdn=10.0, us=True, storm=None, settings=None, **changed):
    """Ten cows of 1,200 lb on hay, with this need of TDN, in pounds, and a forecast for January."""
    entries = {
        "Forages": {1: {"forage": "Hay", "kind": "other"}, 2: {"forage": "Straw", "kind": "other"}},
        "Samples": {row: {"sample_id": name, "forage": name, "basis": "dry matter",
                          "reported.dm": DM, "reported.cp": 8, "reported.tdn": tdn,
                          "reported.ndf": 60}
                    for row, name, tdn in ((1, "Hay", TDN), (2, "Straw", 44.0))},
        "Herd": {1: {"group": "Cows", "class_name": "open cow", "head": 10,
                     "weight": 1200 if us else 1200 * KG_PER_LB, "usual_forage": "Hay"}},
        "Diet": {row: {"own_need.tdn": need_tdn if us else need_tdn * KG_PER_LB}
                 for row in range(1, 13)},
        "Forecast": {1: {"storm_month": "Jan", "storm_wind": 0, "coat": DRY, "storm_days": 3,
                         **(storm or {})}},
    }
    entries |= changed
    return Ranch(entries, {"first_month": FIRST, **(settings or {})}, sizes_for(entries), us=us)


def card(table, name, typed):
    """A column of the Storm sheet for the first group (or of its forecast)."""
    return Values(make(typed), typed).column(table, name)[0]


def hay_in_storm(hay_lb, typed):
    """Hay, as fed, of a cow whose ration of so much hay just meets her need, in the storm."""
    return hay_lb + card("Storm", "storm_extra", typed)


def met_by_hay(hay_lb):
    """The TDN that so much of the hay, as fed, holds."""
    return hay_lb * DM / 100 * TDN / 100


# --- published examples
@pytest.mark.parametrize(("source", "air", "wind", "coat", "rise", "off"), [
    ("OSU-COLD", 4, 0, DRY, 28, 0.001), ("OSU-COLD", 4, 0, WET, 110, 0.001),
    ("SDSU-COLD", 15, 5, HEAVY, 10, 2), ("KSU-COLD, CS06", 22, 0, WET, 74, 0.01),
    ("Alabama Extension, CS14", 25, 0, WET, 68, 0.01),
    ("Nebraska, Rasby's tables, CS16", 0, 15, DRY, 47, 0.51),  # between two columns
])
def test_a_printed_rise_of_the_energy_need_stands_on_the_card(source, air, wind, coat, rise, off):
    typed = ranch(storm={"storm_air": air, "storm_wind": wind, "coat": coat})
    assert card("Forecast", "cold_uncapped_pct", typed) == pytest.approx(rise, abs=off), source


@pytest.mark.parametrize(("source", "hay", "air", "printed", "off"), [
    ("OSU-COLD and Selk, CS02", 16, 4, 20.5, 0.05),
    ("University of Tennessee, Neel, CS04", 25, 25, 26.75, 0.005),
])
def test_printed_pounds_of_hay_in_the_storm(source, hay, air, printed, off):
    typed = ranch(met_by_hay(hay), storm={"storm_air": air})
    assert hay_in_storm(hay, typed) == pytest.approx(printed, abs=off), source


@pytest.mark.parametrize(("source", "tdn", "air", "printed", "off"), [
    ("KSU-COLD, CS05", 12, 22, 13.2, 0.005), ("NDSU-COLD", 12.7, 18, 14.48, 0.005),
    ("Oklahoma Extension column, CS09", 17.6, 15, 20.5, 0.1),
])
def test_printed_pounds_of_tdn_in_the_storm(source, tdn, air, printed, off):
    typed = ranch(tdn, storm={"storm_air": air})
    assert card("Storm", "storm_tdn", typed) == pytest.approx(printed, abs=off), source


@pytest.mark.parametrize(("air", "wind", "printed"), [
    (-10, 5, -16), (0, 20, -20), (10, 10, -1), (20, 30, -16), (30, 20, 9), (-5, 15, -20)])
def test_the_wind_chill_of_the_printed_table_in_both_unit_systems(air, wind, printed):
    """SDSU-COLD table 1; for 15 mph the Nebraska table by Rasby."""
    typed = ranch(storm={"storm_air": air, "storm_wind": wind})
    assert card("Forecast", "feels_like", typed) == pytest.approx(printed, abs=0.51)
    metric = ranch(us=False, storm={"storm_air": (air - 32) / 1.8, "storm_wind": wind * 1.609344})
    assert card("Forecast", "feels_like", metric) * 1.8 + 32 == pytest.approx(
        card("Forecast", "feels_like", typed))


def test_a_wet_coat_in_a_storm_cannot_be_fed_and_the_words_say_what_to_do():
    """OSU-COLD calls 110 % impossible to feed."""
    typed = ranch(met_by_hay(16), storm={"storm_air": 4, "coat": WET})
    words = card("Storm", "storm_words", typed)
    assert words.startswith("110 % more cannot be fed: at most 8.0 lb more Hay")
    assert "shelter" in words
    assert hay_in_storm(16, typed) == pytest.approx(24)  # half more, not twice as much
    assert "cannot be fed" in card("Forecast", "forecast_words", typed)


# --- what it asks, and of whom
def test_the_extra_goes_on_for_the_days_after_the_storm():
    """4.48 lb for each of ten cows on three days and two after: 224 lb."""
    typed = ranch(met_by_hay(16), storm={"storm_air": 4})
    assert card("Storm", "storm_all", typed) * 2000 == pytest.approx(4.48 * 10 * 5)
    none_after = ranch(met_by_hay(16), storm={"storm_air": 4}, settings={"storm_carry_days": 0})
    assert card("Storm", "storm_all", none_after) * 2000 == pytest.approx(4.48 * 10 * 3)


def test_the_same_storm_typed_in_metric_units_asks_the_same_hay():
    pounds = ranch(12, storm={"storm_air": 14})
    kilograms = ranch(12, us=False, storm={"storm_air": -10})
    assert card("Storm", "storm_extra", kilograms) == pytest.approx(
        card("Storm", "storm_extra", pounds) * KG_PER_LB)


def test_another_forage_may_be_fed_and_an_unknown_one_is_not_taken_for_the_main_one():
    straw = ranch(storm={"storm_air": 4, "storm_forage": "Straw"})
    hay = ranch(storm={"storm_air": 4})
    assert card("Storm", "storm_extra", straw) * 44 == pytest.approx(
        card("Storm", "storm_extra", hay) * TDN)
    nowhere = ranch(storm={"storm_air": 4, "storm_forage": "Nowhere"})
    assert "not known" in card("Storm", "storm_words", nowhere)


def test_cold_that_the_month_already_holds_is_not_counted_twice():
    """12 lb typed hold 10 %; the storm's 28 % of what is needed without cold is on top of it."""
    weather = {2: {"air": 22, "coat": DRY}}
    usual = card("Storm", "storm_tdn", ranch(12, storm={"storm_air": 4}, Calendar=weather))
    assert usual == pytest.approx(12 / 1.10 * 1.28)
    same = ranch(12, storm={"storm_air": 22}, Calendar=weather)
    assert card("Storm", "storm_words", same) == "nothing more to feed"


def test_cold_may_raise_maintenance_only():
    all_of_it = ranch(12, storm={"storm_air": 4})
    kept = ranch(12, storm={"storm_air": 4}, settings={"cold_on_total": 0, "activity_pct": 50})
    share = 1 / 1.5  # of an open cow that walks much, maintenance is two thirds
    assert card("Storm", "storm_extra", kept) == pytest.approx(
        card("Storm", "storm_extra", all_of_it) * share)


# --- what is not known
@pytest.mark.parametrize(("gone", "asked"), [
    ("storm_air", "How cold? "), ("storm_wind", "How much wind? 0 in shelter. "),
    ("coat", "Which coat? "), ("storm_days", "How many days? ")])
def test_what_the_forecast_lacks_is_asked_for_and_nothing_is_assumed(gone, asked):
    storm = {"storm_air": 4, gone: None}
    typed = ranch(storm=storm)
    assert card("Forecast", "note", typed) == asked
    if gone != "storm_days":  # the amount a day needs no number of days
        assert card("Storm", "storm_words", typed) == "fill in the forecast above"
    assert card("Storm", "storm_all", typed) != card("Storm", "storm_all", typed)  # unknown


def test_a_month_that_the_plan_does_not_have_is_said():
    typed = ranch(storm={"storm_air": 4}, Diet={1: {"own_need.tdn": 12}})
    short = Ranch(typed.entries, typed.settings, {**typed.sizes, "month": 1})
    assert card("Forecast", "note", short) == "The plan does not have that month. "
    assert "not known" in card("Storm", "storm_words", short)


def test_a_row_without_a_group_says_nothing():
    typed = ranch(storm={"storm_air": 4})
    assert Values(make(typed), typed).column("Storm", "storm_words")[1] is None


# --- what it leaves alone
def test_the_tons_and_dollars_of_the_plan_do_not_change_by_a_storm():
    calm, storm = ranch(), ranch(storm={"storm_air": -10, "storm_wind": 30, "coat": WET})
    assert plan(calm).budget.equals(plan(storm).budget)
    assert plan(calm).months.equals(plan(storm).months)


def test_no_other_sheet_rests_on_the_storm():
    book = make(ranch())
    formulas = Formulas(book)
    for table in (t for t in book.tables.values() if t.sheet not in ("Storm", "Lists", "Checks")):
        for column, member in formulas.cells[table.name]:
            if hasattr(column, "dimension") or hasattr(column, "choices"):
                continue
            text = formulas.template(table, column, member)
            assert "Storm_" not in text and "Forecast_" not in text, (table.name, column.name)
