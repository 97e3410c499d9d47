"""The demo ranch: invented, complete, and planned as a careful adviser would."""

from __future__ import annotations

from importlib.resources import as_file, files

import pytest

from haymow import demo
from haymow.lab import read_report
from haymow.plan import plan
from haymow.units import TONNE_PER_TON
from haymow.workbook.take_in import import_samples

TESTED = ("DM", "CP", "TDN", "NEm", "Ca", "P")  # what the demo's lab report speaks of


@pytest.fixture(scope="module")
def report():
    with as_file(files("haymow").joinpath(demo.LAB_REPORT)) as path:
        return read_report(path)


@pytest.fixture(scope="module")
def planned(report):
    return plan(import_samples(demo.ranch(), report)[0])


def test_the_ranch_comes_without_lab_results():
    assert "Samples" not in demo.ranch().entries


def test_the_lab_report_is_read_without_a_question_on_both_bases(report):
    assert report.problems == ()
    assert {(m.analyte, m.basis) for m in report.mapping if m.analyte == "cp"} == {
        ("cp", "as fed"), ("cp", "DM")}


def test_every_sample_finds_its_forage(report):
    assert import_samples(demo.ranch(), report)[1] == []


def test_each_group_has_its_sentence_and_nothing_is_to_be_looked_at(planned):
    assert planned.answers["group"].tolist() == [
        "Spring cows", "Fall cows", "First-calf heifers", "Replacement heifers"]
    assert [problem for problem in planned.problems if problem.severity != "note"] == []


def test_no_group_is_left_badly_short(planned):
    """98 % of every need in every month: what a careful adviser would let stand."""
    tested = planned.balance[planned.balance["nutrient"].isin(TESTED)]
    assert set(tested["nutrient"]) == set(TESTED)
    assert (tested["pct_of_need"] >= 98).all()


def test_the_dormant_range_is_short_of_protein_through_the_winter_and_not_in_summer(planned):
    balance = planned.balance
    protein = balance[(balance["group"] == "Spring cows") & (balance["nutrient"] == "CP")]
    over = dict(zip(protein["month"].dt.month, protein["short_or_over"], strict=True))
    assert max(over[month] for month in (11, 12, 1, 2, 3)) < 0
    assert min(over[month] for month in (5, 6, 7, 8)) > 0


def test_the_metric_ranch_is_the_same_ranch(planned, report):
    """Typed with three figures, so within a few percent."""
    metric = plan(import_samples(demo.ranch(us=False), report)[0])
    assert metric.units["fed"] == "tonnes"
    cost, tons = planned.lines["cost_usd"].sum(), planned.lines["fed"].sum()
    assert metric.lines["cost_usd"].sum() == pytest.approx(cost, rel=0.03)
    assert metric.lines["fed"].sum() == pytest.approx(tons * TONNE_PER_TON, rel=0.03)
