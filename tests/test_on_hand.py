"""Feed on hand: how long each lot lasts, what is short, until when one must decide."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from haymow.evaluate import Values
from haymow.leastcost import asked
from haymow.ranch import EPOCH, Ranch
from haymow.tables.make import make

FIRST = dt.date(2026, 11, 1)
HAY = {"forage": "Meadow hay", "kind": "cool-season grass hay"}
COWS = {"group": "Cows", "class_name": "mature cow", "head": 300, "weight": 1200,
        "first_calf_on": dt.date(2027, 4, 1), "peak_milk": 18, "usual_forage": "Meadow hay"}
SAMPLE = {"sample_id": "S-1", "forage": "Meadow hay", "basis": "dry matter",
          "sampled_on": dt.date(2026, 9, 1), "reported.dm": 92, "reported.cp": 9,
          "reported.tdn": 56}


ENOUGH = "All forage on hand together covers the herd to turn-out."


def winter(months: int = 4, lot: dict[str, object] | None = None, **settings: object) -> Values:
    """300 cows of 1,200 lb on 24 lb of hay, dry matter: 2 % of weight."""
    entries = {"Samples": {1: SAMPLE}, "Forages": {1: HAY, 2: {**HAY, "forage": "Other hay"}},
               "Herd": {1: COWS}, "OnHand": {1: lot or {}},
               "Diet": {month: {"known_intake": 24} for month in range(1, months + 1)}}
    ranch = Ranch(entries, {"first_month": FIRST, **settings},
                  {"group": 1, "month": months, "line": 1, "forage": 2, "product": 2, "sample": 1})
    return Values(make(ranch), ranch)


def of(values: Values, column: str, table: str = "OnHand"):
    return values.column(table, column)[0]


def day(number: float) -> dt.date:
    return EPOCH + dt.timedelta(int(number))


BALES = {"bales": 950, "bale": 1200, "feeding_loss_pct": 15, "storage_loss_pct": 0}


def test_a_winter_of_hay_comes_to_the_tons_of_the_extension_example():
    """Oklahoma State Extension (arithmetic): 120 days take 550 to 555 tons of 92 % hay."""
    assert 550 < of(winter(lot=BALES), "lot_need") < 555


def test_the_bales_of_the_extension_example_are_enough_for_123_to_125_days():
    """Oklahoma State Extension (arithmetic): 950 bales of 1,200 lb."""
    assert 123 <= of(winter(5, BALES), "lasts_days") <= 125
    assert of(winter(4, BALES), "lot_words") == "Meadow hay lasts to the plan's end"


def test_weigh_tickets_show_that_they_run_out_before():
    """Oklahoma State Extension (arithmetic): tickets of 1,100 lb; out after 113 to 114 days."""
    values = winter(lot={**BALES, "bale": 1100})
    assert 113 <= of(values, "lasts_days") <= 114
    assert 53 <= of(values, "lot_short_bales") <= 57
    assert of(values, "lot_words").startswith("Meadow hay runs out about Feb 22: 30 tons, 54 bales")


def test_the_spread_of_weighed_bales_gives_the_day_a_range():
    """Standard error: 100 lb over the root of 4, 1.96 of them, are 98 lb of 1,100 either side."""
    values = winter(lot={**BALES, "bale": 1100, "weighed_bales": 4, "bale_sd": 100})
    early, late = of(values, "runs_out_low_on"), of(values, "runs_out_high_on")
    assert of(values, "bale_error_pct") == pytest.approx(98 / 11, rel=1e-3)
    assert early < of(values, "runs_out_on") and late != late  # heavy ones last
    assert of(values, "runs_out_on") - early == pytest.approx(10, abs=1)


def test_one_weighed_bale_says_nothing_of_a_range():
    values = winter(lot={**BALES, "bale": 1100, "weighed_bales": 1, "bale_sd": 0})
    assert "between" not in of(values, "lot_words")


def test_losses_are_usual_for_store_and_feeder_where_none_is_typed():
    """Illinois: 20.5 % at an open ring; Virginia: 12 % stacked and tarped."""
    values = winter(lot={"bales": 950, "bale": 1200, "feeder": "open ring",
                         "store": "stacked and tarped"})
    assert (of(values, "feeding_used_pct"), of(values, "storage_used_pct")) == (20.5, 12)
    assert of(values, "lot_need") == pytest.approx(
        300 * 24 * 120 / 2000 / 0.92 / (0.88 * 0.795), rel=1e-9)


def test_a_lot_of_which_nothing_is_said_says_nothing_and_one_half_said_is_not_known():
    assert not of(winter(), "lot_words")
    assert of(winter(lot={"bales": 900}), "lot_words") == "Meadow hay: not known how long it lasts"


def test_a_lot_whose_use_is_not_known_is_not_said_to_last():
    values = winter(lot=BALES)
    ranch = values.ranch
    herd = {1: {name: value for name, value in COWS.items() if name != "head"}}
    ranch = replace(ranch, entries={**ranch.entries, "Herd": herd})
    assert "not known" in of(Values(make(ranch), ranch), "lot_words")


def test_round_bales_that_nobody_weighed_go_by_their_size():
    """Texas A&M, Banta: a 5x6 bale at 11.21 lb per cubic foot weighs 1,584 lb."""
    values = winter(lot={"bales": 100, "bale_width": 5, "bale_diameter": 6})
    assert of(values, "lot_here") * 2000 / 100 == pytest.approx(1584, abs=1)


def test_pasture_grows_less_in_a_dry_year():
    """Arithmetic: 1,000 acres of 1,200 lb, a quarter eaten, are 150 tons; dry: 60 %."""
    lot = {"grazed": 1000, "growth": 1200, "harvest_pct": 25}
    usual, dry = winter(lot=lot), winter(lot=lot, growth_year_pct=60)
    assert of(usual, "usable_kg") / 907.18474 == pytest.approx(150)
    assert of(dry, "usable_kg") / of(usual, "usable_kg") == pytest.approx(0.6)


def test_an_animal_unit_month_is_the_weight_that_is_said_on_start():
    """NRCS: 26 lb air-dry a day, 790 lb a month."""
    lot = {"grazed": 1000, "growth": 1200, "harvest_pct": 25}
    assert of(winter(lot=lot), "lot_aum") == pytest.approx(300_000 / (790 * 0.9))


def test_the_order_must_go_out_before_it_runs_out():
    values = winter(lot={**BALES, "bale": 1100}, lead_days=21)
    assert of(values, "runs_out_on") - of(values, "buy_by_on") == 21


def test_the_last_day_to_decide_leaves_just_enough_for_the_smaller_herd():
    """Arithmetic: what is left that day must carry three quarters of the herd to turn-out."""
    values = winter(lot={**BALES, "bale": 1100}, cut_pct=25)
    by = of(values, "decide_by_on", "Decision") - day_of(FIRST)
    use = 300 * 24.0

    def spare(days: float) -> float:
        return 950 * 1100 * 0.92 * 0.85 - use * days - 0.75 * use * (120 - days)

    assert spare(by) >= 0 > spare(by + 1)
    assert "decide by" in of(values, "decide_words", "Decision")


def day_of(date: dt.date) -> int:
    return (date - EPOCH).days


def test_far_too_little_says_to_act_now_and_enough_says_so():
    assert "buy or sell now" in of(winter(lot={**BALES, "bales": 300}), "decide_words", "Decision")
    assert of(winter(lot=BALES), "decide_words", "Decision") == ENOUGH
    assert not of(winter(), "decide_words", "Decision")


def test_turn_out_before_the_plans_end_asks_for_less():
    short = {**BALES, "bale": 1100}
    values = winter(lot=short, turn_out_on=dt.date(2027, 2, 10))
    assert of(values, "decide_words", "Decision") == ENOUGH


def test_the_lot_that_follows_is_eaten_from_its_day_on():
    values = winter(lot=BALES)
    ranch = values.ranch
    forages = {1: {**HAY, "followed_by": "Other hay", "followed_on": dt.date(2026, 12, 1)},
               2: {**HAY, "forage": "Other hay"}}
    ranch = replace(ranch, entries={**ranch.entries, "Forages": forages})
    eaten = Values(make(ranch), ranch).column("OnHand", "lot_use_kg") / 0.45359237
    assert list(eaten) == pytest.approx([300 * 24 * 30, 300 * 24 * 90])


def test_feed_that_is_there_is_not_bought_again_and_says_when_it_runs_out():
    """Arithmetic: 300 cows on 2 lb for 120 days take 36 tons; 12 of them last 40 days."""
    values = winter()
    ranch = values.ranch
    cube = {"product": "Cube", "purpose": "CP", "price": 400, "basis": "as fed", "reported.dm": 90,
            "reported.cp": 38, "reported.tdn": 70, "on_hand": 12}
    line = {"product": "Cube", "own_amount": 2, "from_on": FIRST, "to_on": dt.date(2027, 2, 28)}
    ranch = replace(ranch, entries={**ranch.entries, "Supplements": {2: cube}, "Plan": {1: line}})
    values = Values(make(ranch), ranch)
    assert values.column("Supplements", "still_to_buy")[1] == pytest.approx(24)
    assert day(values.column("Supplements", "feed_runs_out_on")[1]) == FIRST + dt.timedelta(40)


def test_the_cheapest_season_knows_what_is_there():
    wishes = asked(winter(lot={**BALES, "bales": 100}).ranch)
    assert wishes.forage_on_hand["Meadow hay"] == pytest.approx(100 * 1200 * 0.85 / 2000)


def test_a_forage_in_use_without_an_amount_leaves_the_herd_not_known():
    values = winter(lot=BALES)
    mixed = {month: {"known_intake": 24, "second": "Other hay", "second_pct": 60}
             for month in range(1, 5)}
    ranch = replace(values.ranch, entries={**values.ranch.entries, "Diet": mixed})
    assert of(Values(make(ranch), ranch), "decide_words", "Decision").startswith("Not known")
    half = winter(lot={"bales": 900})
    assert of(half, "decide_words", "Decision").startswith("Not known whether")


def test_a_loss_that_is_neither_typed_nor_usual_is_said_not_to_count():
    assert "a loss is not counted" in of(winter(lot={"bales": 950, "bale": 1200}), "lot_words")
    assert "loss" not in of(winter(lot=BALES), "lot_words")


def test_a_lot_that_lasts_by_the_mean_but_not_with_light_bales_is_told():
    values = winter(lot={**BALES, "weighed_bales": 4, "bale_sd": 100})
    assert of(values, "lot_words").startswith("Meadow hay lasts, but with light bales runs out")
    assert of(values, "lot_flag") == 1


def test_heavy_bales_that_last_leave_no_second_day():
    values = winter(lot={**BALES, "bale": 1100, "weighed_bales": 4, "bale_sd": 100})
    assert "(as early as Feb 12, or lasts)" in of(values, "lot_words")


def test_bales_and_pasture_on_one_row_add_up():
    both = {**BALES, "grazed": 1000, "growth": 1200, "harvest_pct": 25}
    assert of(winter(lot=both), "usable_kg") == pytest.approx(
        of(winter(lot=BALES), "usable_kg") + 150 * 907.18474)
