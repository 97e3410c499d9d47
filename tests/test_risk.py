"""How sure it is that needs are met: the sheet's closed form, draws, amounts for a chance."""

from __future__ import annotations

import datetime as dt
import json
from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import norm

from haymow.cli import main
from haymow.evaluate import Values
from haymow.leastcost import Wishes, choices, least_cost
from haymow.plan import plan
from haymow.problems import InputError
from haymow.ranch import Ranch
from haymow.risk import risk, sized, worth_of_samples
from haymow.tables.make import make
from haymow.workbook.rebuild import save
from sample_ranch import ranch

RANGE = {"forage": "Ridge range", "basis": "dry matter", "reported.dm": 90}
HAY = {"forage": "Meadow hay", "basis": "dry matter", "reported.dm": 88, "spots": 20}


def winter(**sample: object):
    """Cured range, sampled twice in October by 20 plucked spots each, and hay."""
    rows = [{**RANGE, "sample_id": f"R{n}", "sampled_on": dt.date(2026, 10, day), "spots": 20,
             "reported.cp": 5.8, "reported.tdn": 50, "reported.ca": 0.4, "reported.p": 0.08,
             **sample}
            for n, day in enumerate((5, 20), 1)]
    hay = {**HAY, "sample_id": "H1", "reported.cp": 9.5, "reported.tdn": 57, "reported.ca": 0.5,
           "reported.p": 0.2}
    found = ranch(dict(enumerate([*rows, hay], 1)))
    daily = {**found.entries["Plan"][1], "times_per_week": 7}  # no meal is too large then
    return replace(found, entries={**found.entries, "Plan": {**found.entries["Plan"], 1: daily}})


def of_cows(of, column, member="cp"):
    values = Values(make(of), of)
    return values.column("Surety", column, member)[:12]


# --- closed form
def test_the_chance_is_the_normal_one_of_the_gap_in_standard_errors():
    of = winter()
    over, sd = of_cows(of, "over"), of_cows(of, "sd_alone")
    assert of_cows(of, "chance_alone_pct") == pytest.approx(100 * norm.cdf(over / sd), abs=1e-6)


@pytest.mark.parametrize(("mean", "percent"), [(7.5, 80), (8.0, 95), (7.0, 50)])
def test_the_worked_example_stands_in_the_sheet(mean, percent):
    """STATISTICS: need 7.0 % CP, standard error 0.6: 80, 95 and 50 %."""
    of = winter(**{"reported.cp": mean})
    eaten = of_cows(of, "intake_kg_per_day", "")[0]
    own = {"own_need.cp": 7.0 / 100 * eaten / 0.45359237}
    of = replace(of, entries={**of.entries, "Diet": {1: own}})
    values = Values(make(of), of)
    error = values.column("Surety", "eaten_error", "cp")[0]
    z = (mean - 7.0) / error
    assert of_cows(of, "chance_alone_pct")[0] == pytest.approx(100 * norm.cdf(z), abs=0.01)
    assert 100 * norm.cdf((mean - 7.0) / 0.6) == pytest.approx(percent, abs=0.5)


def test_two_forages_err_apart_so_a_mix_is_surer_than_its_worst_part():
    of = winter()
    values = Values(make(of), of)
    diet = {1: {"second": "Meadow hay", "second_pct": 50}}
    mixed = replace(of, entries={**of.entries, "Diet": diet})
    hay = values.column("Forages", "standard_error", "cp")[2]
    alone = of_cows(of, "eaten_error")[0]
    assert of_cows(mixed, "eaten_error")[0] == pytest.approx(np.hypot(0.5 * alone, 0.5 * hay))


def test_nothing_is_said_before_a_second_sample():
    of = winter()
    once = replace(of, entries={**of.entries, "Samples": {
        n: row for n, row in of.entries["Samples"].items() if row["sample_id"] != "R2"}})
    assert np.isnan(of_cows(once, "chance_alone_pct")).all()
    values = Values(make(once), once)
    assert not any(values.column("Surety", "unsure_alone_words")[:12])


def test_a_sample_speaks_for_its_own_month_most_and_longer_on_cured_grass():
    """Design: fades over 30 days while green, 60 when cured, to the spread of a table value."""
    of = winter()
    values = Values(make(of), of)
    errors = values.column("Quality", "quality_error", "cp")[:12]
    assert errors[0] == min(errors) and (np.diff(errors[:6]) > 0).all()
    spread = values.column("Sampling", "table_sd", "cp")[0]
    assert errors[2] == pytest.approx(np.hypot(errors[0], spread * np.sqrt(
        1 - np.exp(-2 * (15.5 + 30 + 15.5) / 60))), rel=0.01)


def test_unsure_needs_make_the_chance_go_toward_even():
    sure = winter(**{"reported.cp": 9.0})
    unsure = replace(sure, settings={**sure.settings, "need_spread_pct": 15})
    assert 50 < of_cows(unsure, "chance_alone_pct")[0] < of_cows(sure, "chance_alone_pct")[0]


# --- draws
def test_draws_and_closed_form_agree_in_every_month_and_nutrient():
    """Within three standard errors of 4,000 draws, and half a point for what counts as met."""
    found = risk(winter()).chances
    for name in ("alone", "plan"):
        told = found[found[f"chance_{name}"].between(0.5, 99.5)
                     & ~found[f"chance_{name}"].between(49.9, 50.1)]
        assert len(told) > 20
        share = told[f"chance_{name}"] / 100
        allowed = 300 * np.sqrt(share * (1 - share) / 4000) + 0.5
        off = (told[f"drawn_{name}"] - told[f"chance_{name}"]).abs()
        assert (off <= allowed).all(), told[off > allowed]


def test_the_same_seed_draws_the_same_and_all_at_once_is_rarer_than_any_alone():
    first, again = risk(winter(), draws=500), risk(winter(), draws=500)
    assert first.chances.equals(again.chances)
    least = first.chances.groupby(["group", "month"], sort=False)["drawn_alone"].min()
    both = first.all_met["all_met_alone"].to_numpy()
    known = ~np.isnan(both)
    assert known.sum() >= 12 and (both[known] <= least.to_numpy()[known] + 1e-9).all()


def test_too_few_draws_are_refused():
    with pytest.raises(InputError, match="draws is 10"):
        risk(winter(), draws=10)


# --- amounts for a wanted chance
def sure_enough(of: Ranch, errors: float = 0.84, **more: float) -> Ranch:
    return replace(of, settings={**of.settings, "size_to_chance": 1, "wanted_errors": errors,
                                 **more})


@pytest.mark.parametrize(("errors", "percent"), [(0.84, 80), (1.28, 90), (1.64, 95)])
def test_amounts_sized_to_a_chance_meet_it_exactly_and_cost_more(errors, percent):
    """STATISTICS, 2.4: plan on x - z SE; at 80, 90 and 95 % z is 0.84, 1.28 and 1.64."""
    of = winter()
    surer = sure_enough(of, errors)
    before, after = (of_cows(each, "chance_plan_pct") for each in (of, surer))
    assert before.min() == pytest.approx(50, abs=1), "sized on the mean: an even chance"
    fed = Values(make(surer), surer).column("Amounts", "amount_kg_per_day")[:36:3] > 0
    assert fed.sum() > 5 and after[fed] == pytest.approx(percent, abs=0.1)
    assert after.min() > percent - 0.1, "months that forage alone covers are as sure"
    cost = [plan(each).lines["cost_usd"].iloc[0] for each in (of, surer)]
    assert cost[1] > cost[0]


@pytest.mark.parametrize("switch", [0, None])
def test_without_the_switch_amounts_are_those_of_the_mean(switch):
    of = winter()
    off = replace(of, settings={**of.settings, "size_to_chance": switch, "wanted_errors": 1.64})
    assert Values(make(off), off).column("Amounts", "amount_kg_per_day") == pytest.approx(
        Values(make(of), of).column("Amounts", "amount_kg_per_day"), nan_ok=True)


def test_draws_meet_the_chance_that_amounts_were_sized_to():
    found = risk(sure_enough(winter())).chances
    cp = found[(found["nutrient"] == "cp") & found["chance_plan"].between(79, 81)]
    assert len(cp) > 5 and (cp["drawn_plan"] - 80).abs().max() < 2.5


def test_unsure_needs_are_counted_in_the_amount():
    """Forage and need unsure at once, and forage given up: the tangent is a little below."""
    of = sure_enough(winter(), need_spread_pct=10)
    after = of_cows(of, "chance_plan_pct")
    assert after.min() == pytest.approx(80, abs=0.3)


def test_a_month_that_is_enough_on_the_mean_but_not_sure_is_fed():
    of = winter(**{"reported.cp": 7.4})
    surer = sure_enough(of, 1.64)
    amounts = [Values(make(each), each).column("Amounts", "amount_kg_per_day")[:36:3]
               for each in (of, surer)]
    assert ((amounts[0] == 0) & (amounts[1] > 0)).any()


def test_a_forage_of_unknown_spread_is_sized_on_the_mean_and_told():
    of = winter()
    bare = {n: {name: row[name] for name in ("forage", "kind")}
            for n, row in of.entries["Forages"].items()}
    of = replace(of, entries={**of.entries, "Samples": {}, "Forages": bare, "Quality": {
        month: {"override.cp": 5.0, "override.tdn": 50.0} for month in range(1, 13)}})
    values = Values(make(sure_enough(of)), sure_enough(of))
    at = list(values.column("Checks", "check")).index(
        "Months whose amounts are sized on the mean only")
    assert values.column("Checks", "found")[at] > 5
    assert Values(make(of), of).column("Checks", "found")[at] == 0


def test_a_limit_that_keeps_the_chance_away_is_told():
    of = winter()
    rows = {n: dict(row) for n, row in of.entries["Plan"].items()}
    rows[1] |= {"most": 0.4}
    _, problems = sized(replace(of, entries={**of.entries, "Plan": rows}), 90)
    assert any("Spring cows" in str(problem) and "below 90 %" in str(problem)
               for problem in problems)


def test_the_cheapest_season_is_as_sure_as_wanted():
    of = sure_enough(winter())
    chosen = choices(least_cost(of, Wishes(needs=("cp",))), of)
    assert of_cows(chosen, "chance_plan_pct").min() > 79


# --- what one more sample is worth
def test_one_more_sample_is_worth_the_protein_it_spares():
    """The safety at 80 % is 0.84 standard errors of the CP, times what is eaten while short."""
    of = winter()
    values = Values(make(of), of)
    now, one = (values.column("Sampling", name)[0] for name in ("error_now", "one_error"))
    after = 1 / np.sqrt(1 / now**2 + 1 / one**2)
    spared = 0.84 * (now - after) / 100 * values.column("Sampling", "eaten_short_all_kg")[0]
    assert worth_of_samples(of)["Ridge range"] == pytest.approx(spared * 0.6 / 0.45359237)


def test_a_forage_sampled_once_has_no_such_worth_yet():
    assert "Meadow hay" not in worth_of_samples(winter())


def test_a_third_sample_is_worth_less_than_a_second():
    of = winter()
    more = {**of.entries["Samples"], 4: {**of.entries["Samples"][1], "sample_id": "R3"}}
    thrice = replace(of, entries={**of.entries, "Samples": more})
    assert worth_of_samples(thrice)["Ridge range"] < worth_of_samples(of)["Ridge range"]


# --- the command
def test_the_command_says_how_sure_it_is_and_writes_surer_amounts(tmp_path, capsys):
    path = tmp_path / "ranch.xlsx"
    of = winter()
    groups = {n: of.entries["Herd"][n] for n in (1,)}
    lines = {1: of.entries["Plan"][1]}
    sizes = {"group": 1, "forage": 4, "product": 5, "sample": 4, "month": 4, "line": 1}
    entries = {**of.entries, "Herd": groups, "Diet": {}, "Plan": lines, "Feeding": {}}
    save(Ranch(entries, of.settings, sizes), path)
    assert main(["sure", str(path)]) == 0
    out = capsys.readouterr().out
    assert "Spring cows: chance of enough" in out and "Oct 2026" in out
    assert "Ridge range: one more sample is worth about $" in out
    assert main(["sure", str(path), "--chance", "90", "--write", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert min(row["chance_plan"] for row in found["chances"] if row["nutrient"] == "cp") > 89
    assert main(["sure", str(path), "--chance", "20", "--write"]) == 2
