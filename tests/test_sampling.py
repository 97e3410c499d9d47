"""How many cores, how sure: against counts and errors that others have published or printed."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

from haymow.problems import InputError
from haymow.sampling import (
    Design,
    Prices,
    Spread,
    chance,
    cheapest,
    cores_per_bale,
    cost,
    margin_of,
    nitrate_range,
    number_of_tests,
    own_sd,
    spots_for,
    spread_for,
    standard_error,
    weighted,
)

N_TABLE = [  # textbook iteration of Student's t: SD, margin, at 95 %, at 90 %
    (1.0, 1.0, 7, 5), (1.0, 0.5, 18, 13), (1.5, 1.0, 12, 9), (1.5, 0.5, 38, 27),
    (2.0, 1.0, 18, 13), (3.0, 1.0, 38, 27), (3.0, 1.5, 18, 13),
]
LOT_SPREAD = Spread(spot=2.0, split=0.30, test=0.35)


@pytest.mark.parametrize(("sd", "margin", "at_95", "at_90"), N_TABLE)
def test_the_number_of_single_samples_is_that_of_the_t_table(sd, margin, at_95, at_90):
    assert (number_of_tests(sd, margin, 95), number_of_tests(sd, margin, 90)) == (at_95, at_90)


@pytest.mark.parametrize(("sd", "margin", "cores"), [(1.08, 1.0, 7), (0.87, 0.5, 14)])
def test_a_maize_study_took_as_many_cores(sd, margin, cores):
    """NZ-MAIZE: 7 single cores for 1.0 unit of DM, 14 for 0.5; SDs implied by its two seasons."""
    assert number_of_tests(sd, margin) == pytest.approx(cores, abs=1)


@pytest.mark.parametrize(("spots", "tests", "error"), [
    (1, 1, 2.05), (5, 1, 1.01), (10, 1, 0.78), (20, 1, 0.64), (40, 1, 0.56), (20, 2, 0.55),
])
def test_the_error_of_a_composite_is_that_of_the_printed_illustration(spots, tests, error):
    """STATISTICS: SD 2.0 between spots, 0.35 between tests, 0.30 between parts of a composite."""
    found = standard_error(LOT_SPREAD, Design(spots, tests_per_bag=tests))
    assert found == pytest.approx(error, abs=0.006)


def test_past_twenty_cores_a_second_test_helps_as_much_as_twenty_more_cores():
    twice = standard_error(LOT_SPREAD, Design(20, tests_per_bag=2))
    assert twice == pytest.approx(standard_error(LOT_SPREAD, Design(40)), abs=0.02)


@pytest.mark.parametrize(("nutrient", "margin", "level"), [
    ("cp", 1.2, 19.4), ("adf", 1.3, 32.4), ("ndf", 1.9, 43.7)])
def test_twenty_cores_and_one_test_come_to_about_five_percent(nutrient, margin, level):
    """IDAHO-LABS: one sample is good to about 5 % of the value; levels of ALFALFA-TABLE."""
    found = margin_of(spread_for("hay cores", nutrient), Design(20))
    assert found == pytest.approx(margin, abs=0.05)
    assert 100 * found / level == pytest.approx(5, abs=1.5)


def test_one_core_of_each_bale_is_best_for_hay():
    """SHEAFFER2000: one core per bale made the total number of cores smallest."""
    for core_sd in (0.5, 1.0, 1.5):
        assert cores_per_bale(Spread(spot=1.5, core=core_sd), 0.25, 0.25) == 1


def test_where_walking_costs_more_than_coring_more_cores_of_a_bale_pay():
    assert cores_per_bale(Spread(spot=1.0, core=1.0), bale_usd=9.0, core_usd=1.0) == 3


@given(st.floats(0.3, 4), st.floats(0, 0.6), st.integers(1, 4))
def test_margin_and_number_undo_each_other(spot, test, tests):
    spread, margin = Spread(spot, test=test), 1.9 * test + 0.8
    spots = spots_for(spread, margin, tests=tests)
    assert margin_of(spread, Design(spots, tests_per_bag=tests)) <= margin + 1e-6
    if spots > 1:
        fewer = Design(spots - 1, tests_per_bag=tests)
        assert margin_of(spread, fewer) > margin - 1e-6


def test_no_number_of_cores_makes_up_for_too_few_tests():
    with pytest.raises(InputError, match=r"1 test\(s\) alone are less sure.*at least 4 times"):
        spots_for(Spread(spot=1.5, test=0.5), margin=0.5)
    assert spots_for(Spread(spot=1.5, test=0.5), margin=0.5, tests=4) > 100


def test_a_small_lot_needs_fewer_bales():
    spread = spread_for("hay cores", "cp")
    many, few = spots_for(spread, 1.2), spots_for(spread, 1.2, pieces=12)
    assert few < 12 < many


def test_own_results_replace_the_usual_spread_once_there_are_five():
    results = [7.1, 9.4, 6.2, 8.8, 7.7]
    assert own_sd(results[:4]) is None
    assert spread_for("hay cores", "cp", results=results[:4]).spot == 1.5
    own = spread_for("hay cores", "cp", results=results)
    assert own.spot**2 + own.test**2 == pytest.approx(np.var(results, ddof=1))


def test_the_spread_of_plucked_spots_is_a_share_of_what_is_expected():
    """OPEN-SPREADS: CP 20 %, digestibility 14 %, P 30 % of the mean."""
    found = [spread_for("hand plucked", n, mean).spot for n, mean in (
        ("cp", 10.0), ("tdn", 50.0), ("p", 0.2))]
    assert found == pytest.approx([2.0, 7.0, 0.06])


def test_an_unknown_kind_of_sample_is_refused_by_name():
    with pytest.raises(InputError, match="'gold' in 'hay cores'"):
        spread_for("hay cores", "gold")


@pytest.mark.parametrize(("bad", "words"), [
    ({"margin": 0.0}, "margin is 0"), ({"confidence_pct": 100.0}, "confidence is 100 %"),
    ({"margin": 0.001}, "wider margin")])
def test_a_margin_nobody_can_keep_is_refused(bad, words):
    with pytest.raises(InputError, match=words):
        number_of_tests(**{"sd": 3.0, "margin": 1.0, **bad})


def test_the_cheapest_design_keeps_the_margin_and_beats_one_test_more():
    spread, prices = spread_for("hay cores", "cp"), Prices(spot=1.0, bag=15, test=30)
    found = cheapest(spread, 1.1, prices)
    assert margin_of(spread, found) <= 1.1
    other = Design(spots_for(spread, 1.1, tests=found.tests + 1), tests_per_bag=found.tests + 1)
    assert cost(found, prices) < cost(other, prices)


def test_one_nitrate_sample_in_six_is_off_by_more_than_1_8_times():
    """OPEN-SPREADS: SD of the logarithm 0.6, so 16 % exceed 1.8 times the geometric mean."""
    low, high = nitrate_range(1000.0, confidence_pct=68)
    assert high / 1000 == pytest.approx(1.8, abs=0.05)
    assert 100 * norm.sf(np.log(1.8) / 0.6) == pytest.approx(16, abs=0.6)
    assert low * high == pytest.approx(1000**2)


@pytest.mark.parametrize(("mean", "percent"), [(7.5, 80), (8.0, 95), (7.0, 50)])
def test_the_chance_is_that_of_the_worked_example(mean, percent):
    """STATISTICS: need 7.0 % CP, standard error 0.6."""
    assert chance(mean, 7.0, 0.6) == pytest.approx(percent, abs=0.5)


def test_few_results_make_the_chance_less_sure_of_itself():
    assert chance(8.0, 7.0, 0.6) > chance(8.0, 7.0, 0.6, results=4) > 85


def test_a_large_lot_counts_more_than_a_small_one_and_the_error_follows():
    """By tons of dry matter: 90 t at 8 and 10 t at 14 are 8.6, not 11."""
    mean, error = weighted([8.0, 14.0], [90.0, 10.0], [0.6, 0.6])
    assert mean == pytest.approx(8.6)
    assert error == pytest.approx(np.hypot(0.9 * 0.6, 0.1 * 0.6))
