"""What limits an amount, and that the limit that binds is named."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import Any

import pytest

from haymow.evaluate import Values
from haymow.leastcost import Wishes, choices, least_cost
from haymow.plan import plan
from haymow.ranch import Ranch
from haymow.tables.make import make
from least_cost_ranch import gap_ranch

CORN = {"cp": 8, "tdn": 80, "price": 200, "purpose": "TDN", "starch_pct_dm": 72}
BARLEY = {"cp": 11, "tdn": 82, "price": 220, "purpose": "TDN", "starch_pct_dm": 57}
SEED = {"cp": 22, "tdn": 90, "price": 300, "purpose": "TDN", "fat": 20, "starch_pct_dm": 0}
SULFUR = {"cp": 28, "tdn": 80, "price": 250, "purpose": "TDN", "s": 1.1, "starch_pct_dm": 0}
UREA = {"cp": 40, "tdn": 60, "price": 400, "npn_pct_of_cp": 50, "starch_pct_dm": 0}
CUBE = {"cp": 38, "tdn": 70, "price": 475, "npn_pct_of_cp": 0, "starch_pct_dm": 0}
MUCH: dict[str, float] = {"cp": 5.0, "tdn": 30.0}
HAY = {"fat": 2.0, "s": 0.15}


def ranch(feeds: dict[str, dict[str, Any]], lines: list[dict[str, Any]],
          gap: dict[str, float] | None = None, **settings: float) -> Ranch:
    """One group, one month, short of far more than any limit allows."""
    found = gap_ranch(feeds, [gap or MUCH], hay=HAY, **settings)
    found.entries["Plan"].update(dict(enumerate(lines, 1)))
    return found


def said(of: Ranch) -> list[str]:
    return list(plan(of).lines["limit"])


def amounts(of: Ranch) -> tuple[Values, Any, float]:
    """Dry matter of each line a head and day, and the animal's weight, kg."""
    values = Values(make(of), of)
    return (values, values.column("Amounts", "amount_kg_per_day"),
            values.column("Needs", "shrunk_weight_kg")[0])


def test_starch_holds_an_amount_back_at_its_share_of_body_weight():
    corn = ranch({"Corn": CORN}, [{"product": "Corn"}])
    _, fed, weight = amounts(corn)
    assert fed[0] * 0.72 == pytest.approx(0.003 * weight)
    assert said(corn) == ["limit: starch"]


def test_starch_of_two_lines_counts_together():
    both = ranch({"Corn": CORN, "Barley": BARLEY},
                 [{"product": "Barley", "most": 1.0}, {"product": "Corn"}])
    _, fed, weight = amounts(both)
    assert fed[0] * 0.57 + fed[1] * 0.72 == pytest.approx(0.003 * weight)
    assert said(both) == ["limit: your own limit", "limit: starch"]


def test_a_second_starch_feed_gets_nothing_once_the_first_is_at_the_limit():
    both = ranch({"Corn": CORN, "Barley": BARLEY}, [{"product": "Barley"}, {"product": "Corn"}])
    assert amounts(both)[1][1] == pytest.approx(0, abs=1e-9)


def test_fewer_feedings_allow_less_starch_because_a_meal_has_its_own_limit():
    corn = ranch({"Corn": CORN}, [{"product": "Corn", "times_per_week": 3}])
    _, fed, weight = amounts(corn)
    assert fed[0] * 7 / 3 * 0.72 == pytest.approx(0.003 * weight)
    assert said(corn) == ["limit: starch at one meal"]


@pytest.mark.parametrize("given_up", [None, 0.5])
def test_fat_stops_where_the_whole_diet_holds_six_percent(given_up):
    seed = ranch({"Seed": {**SEED, "given_up": given_up}}, [{"product": "Seed"}])
    values, fed, _ = amounts(seed)
    forage = values.column("Balance", "forage_eaten_kg_per_day")[0]
    assert fed[0] * 20 / 0.90 + forage * 2.0 == pytest.approx(6 * (fed[0] + forage))
    assert said(seed) == ["limit: fat"]


def test_sulfur_stops_where_the_whole_diet_is_at_its_limit_with_the_water_counted():
    for sulfate in (0.0, 300.0):
        feed = ranch({"Distillers": SULFUR}, [{"product": "Distillers"}],
                     water_sulfate_ppm=sulfate)
        values, fed, _ = amounts(feed)
        assert fed[0] > 0
        assert said(feed) == ["limit: sulfur"]
        found = values.column("Minerals", "in_diet", "s")[0]
        assert found == pytest.approx(0.50, abs=0.012)  # water is spread over forage alone: below
        assert found <= 0.50 + 1e-9


def test_nonprotein_nitrogen_has_a_limit_a_day_and_one_a_meal():
    daily = ranch({"Urea cube": UREA}, [{"product": "Urea cube"}])
    _, fed, weight = amounts(daily)
    assert fed[0] * 0.40 * 0.5 * 100 / 90 == pytest.approx(0.0007 * weight)  # tag as fed, 90 % DM
    assert said(daily) == ["limit: nonprotein nitrogen"]
    weekly = ranch({"Urea cube": UREA}, [{"product": "Urea cube", "times_per_week": 1}])
    assert amounts(weekly)[1][0] == pytest.approx(fed[0] / 7)
    assert said(weekly) == ["limit: nonprotein nitrogen at one meal"]


def test_a_protein_cube_once_a_week_is_limited_by_the_size_of_a_meal():
    """7 lb at one feeding is published for a 1,000-lb cow (Idaho): 0.7 % of weight, as fed."""
    cube = ranch({"Cube": CUBE}, [{"product": "Cube", "times_per_week": 1}])
    _, fed, weight = amounts(cube)
    assert fed[0] / 0.90 * 7 == pytest.approx(0.007 * weight)
    assert said(cube) == ["limit: the size of a meal"]


def test_the_feed_s_own_limits_are_named_as_the_user_words_them():
    def with_limit(**cells: Any) -> list[str]:
        return said(ranch({"Cube": {**CUBE, **cells}}, [{"product": "Cube"}]))

    assert with_limit(most=1.0, cap_words="price") == ["limit: price"]
    assert with_limit(most=1.0) == ["limit: the feed's own"]
    assert with_limit(most_pct_bw=0.1, cap_words="label") == ["limit: label"]
    assert with_limit(most_meal=1.0) == ["limit: the most at one feeding"]


def test_a_feed_that_cannot_close_the_need_is_said_apart_from_a_limit():
    corn = {**CORN, "cp": 1, "given_up": 1.0}
    assert said(ranch({"Corn": corn}, [{"product": "Corn", "purpose": "CP"}])) == [
        "this feed cannot close it"]


def test_an_amount_that_the_user_set_is_not_called_limited():
    own = ranch({"Corn": CORN}, [{"product": "Corn", "own_amount": 9.0}])
    assert "limit" not in said(own)[0]


def test_unknown_starch_limits_nothing_and_is_told():
    plain = {name: value for name, value in CORN.items() if name != "starch_pct_dm"}
    corn = ranch({"Corn": plain}, [{"product": "Corn"}])
    values, fed, _ = amounts(corn)
    assert values.column("Supplements", "uncounted")[1].split() == ["starch", "NPN", "fat",
                                                                     "sulfur"]
    assert fed[0] > amounts(ranch({"Corn": CORN}, [{"product": "Corn"}]))[1][0]
    told = [str(problem) for problem in plan(corn).problems]
    assert any("starch NPN fat sulfur" in problem for problem in told)


def test_the_cheapest_season_keeps_the_limit_on_starch_too():
    corn = ranch({"Corn": CORN}, [], gap={"tdn": 2.0})
    found = least_cost(corn, Wishes(needs=("tdn",)))
    _, fed, weight = amounts(choices(found, corn))
    assert fed.sum() * 0.72 <= 0.003 * weight + 1e-6


def test_a_level_line_feeds_one_amount_that_comes_to_what_is_needed_in_all():
    """Arithmetic: 0.38 and 0.76 lb of CP are 1 and 2 lb of a 38 % cube, 1.51 on average."""
    feeds = {"Cube": {"cp": 38, "tdn": 70, "price": 400}}
    cows = gap_ranch(feeds, [{"cp": 0.38}, {"cp": 0.76}])
    fed = {}
    for mode in ("as needed", "level"):
        lines = {1: {"product": "Cube", "purpose": "CP", "mode": mode,
                     "from_on": dt.date(2026, 11, 1), "to_on": dt.date(2026, 12, 31)}}
        typed = replace(cows, entries={**cows.entries, "Plan": lines})
        values = Values(make(typed), typed)
        fed[mode] = values.column("Amounts", "per_head_or_none").reshape(2, -1)[:, 0]
    assert fed["as needed"] == pytest.approx([1, 2])
    assert fed["level"] == pytest.approx([(30 * 1 + 31 * 2) / 61] * 2)
