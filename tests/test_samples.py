"""Samples from plan to shelf, as a user sees them on the sheets and on the command line."""

from __future__ import annotations

import datetime as dt
import json

import pytest

from haymow.cli import main
from haymow.evaluate import Values
from haymow.ranch import Ranch
from haymow.samples import sample_plan, with_planned
from haymow.tables.make import make
from haymow.workbook.read import read
from haymow.workbook.rebuild import save
from sample_ranch import ranch

HAY = {"sample_id": "H-1", "forage": "Meadow hay"}
TESTED = {**HAY, "basis": "dry matter", "reported.dm": 88, "reported.cp": 9.6, "reported.adf": 38}


def told(of: Ranch, column: str, forage: str = "Meadow hay", member: str = ""):
    values = Values(make(of), of)
    row = list(values.column("Sampling", "forage")).index(forage)
    return values.column("Sampling", column, member)[row]


def shown(of: Ranch, table: str, column: str, row: int = 1):
    return Values(make(of), of).column(table, column)[row - 1]


def day(number: float) -> dt.date:
    return dt.date(1899, 12, 30) + dt.timedelta(int(number))


# --- how many, and how sure
def test_hay_takes_twenty_cores_and_says_how_sure_that_is():
    assert told(ranch(), "sampling_words") == (
        "20 cores about Sep 6, bags to the laboratory: 1; then CP is within 1.2 and TDN within"
        " 1.1")


def test_a_narrow_margin_that_one_test_cannot_keep_is_said():
    narrow = ranch(sampling={"Meadow hay": {"own_margin_pct_dm": 0.5}})
    assert "test it more than once" in told(narrow, "sampling_words")
    twice = ranch(sampling={"Meadow hay": {"own_margin_pct_dm": 0.8, "tests_per_bag": 2}})
    assert "test it more" not in told(twice, "sampling_words")
    assert told(twice, "margin_reached", member="cp") <= 0.8 + 1e-9


def test_a_lot_of_twelve_bales_is_not_cored_twenty_times():
    assert told(ranch(sampling={"Meadow hay": {"lot_pieces": 12}}), "spots_used") == 12


def test_ones_own_spread_replaces_the_usual_one():
    own = ranch(SampleKinds={1: {"own_sd.cp": 3.0}})
    assert told(own, "spots_used") == pytest.approx(4 * 18, abs=2)
    assert told(ranch(), "spot_sd", member="cp") == 1.5


# --- when
@pytest.mark.parametrize(("entries", "wanted"), [
    ({"ready_on": dt.date(2026, 7, 1)}, dt.date(2026, 7, 26)),
    ({"ready_on": dt.date(2026, 7, 1), "outside": "yes", "feed_from_on": dt.date(2026, 12, 20)},
     dt.date(2026, 11, 25)),
    ({"feed_from_on": dt.date(2026, 12, 20)}, dt.date(2026, 11, 25)),
    ({"sample_on": dt.date(2026, 8, 8), "outside": "yes"}, dt.date(2026, 8, 8)),
])
def test_the_day_follows_storage_baling_and_feeding(entries, wanted):
    """3 to 4 weeks after baling under a roof, as long before feeding outside."""
    assert day(told(ranch(sampling={"Meadow hay": entries}), "due_on")) == wanted


def test_pasture_is_sampled_monthly_while_green_and_every_other_month_when_cured():
    plan = sample_plan(ranch()).forages.set_index("forage")
    months = [text[:7] for text in plan.loc["Ridge range", "days"]]
    assert months == ["2026-10", "2026-12", "2027-02", "2027-04", "2027-05", "2027-06",
                      "2027-07", "2027-08", "2027-09"]


# --- what to ask for, what it costs
def test_a_suspicion_adds_what_to_ask_the_laboratory_for():
    words = told(ranch(sampling={"Oat hay": {
        "suspicion": "drought, frost, shade or much nitrogen",
        "second_suspicion": "hay heated, brown, sweet smell"}}), "ask_words", "Oat hay")
    assert "which form" in words and "bound protein" in words


def test_an_untested_forage_shows_on_start_with_cost_and_what_it_may_cost():
    words = shown(ranch(), "Season", "sampling_told")
    assert "Forages not sampled: 4" in words and "$168" in words and "of protein" in words
    assert told(ranch({1: TESTED}), "untested") == 0


def test_not_testing_costs_protein_by_the_usual_error_of_a_table():
    """LAB-POPULATION: 26 % of the CP; times what is eaten, times the price of protein."""
    mean, eaten = told(ranch(), "lot_mean", member="cp"), told(ranch(), "eaten_short_all_kg")
    assert told(ranch(), "not_testing_usd") == pytest.approx(
        0.26 * mean / 100 * eaten * 0.6 / 0.45359237)


# --- on its way
@pytest.mark.parametrize(("more", "status"), [
    ({}, "planned"), ({"sampled_on": dt.date(2026, 9, 6)}, "taken"),
    ({"sampled_on": dt.date(2026, 9, 6), "sent_on": dt.date(2026, 9, 7)}, "sent"),
    ({"received_on": dt.date(2026, 9, 20)}, "received"),
    ({"basis": "dry matter", "reported.cp": 9.0}, "used"),
])
def test_the_status_follows_what_is_typed(more, status):
    found = ranch({1: {**HAY, **more}})
    assert shown(found, "Samples", "status") == status
    assert told(found, "on_the_way", member=status) == 1


def test_nothing_is_asked_of_a_sample_whose_report_is_still_to_come():
    waiting = {**HAY, "planned_on": dt.date(2026, 9, 6)}
    assert shown(ranch({1: waiting}), "Samples", "note") is None
    assert "as fed or dry" in shown(ranch({1: {**waiting, "reported.cp": 9}}), "Samples", "note")
    assert "as fed or dry" in shown(ranch({1: HAY}), "Samples", "note")


def test_a_sample_to_take_has_a_label_until_it_is_taken():
    waiting = {**HAY, "planned_on": dt.date(2026, 9, 6)}
    label = shown(ranch({1: waiting}), "Labels", "label_words")
    assert label.startswith("H-1: Meadow hay, hay cores, 20 cores; test for dry matter")
    assert "freezer bag" in shown(ranch({1: waiting}), "Labels", "label_handle")
    taken = ranch({1: {**waiting, "sampled_on": dt.date(2026, 9, 6)}})
    assert shown(taken, "Labels", "label_words") is None
    assert shown(ranch({1: waiting}), "SampleKinds", "still_to_take") == 1
    assert shown(taken, "SampleKinds", "still_to_take") == 0


def test_rows_are_planned_once_with_ids_of_their_own():
    planned, ids = with_planned(ranch({1: TESTED}))
    assert len(set(ids)) == len(ids) and "OH-2609-1" in ids
    assert not any(name.startswith("MH") for name in ids), "tested hay is not sampled again"
    assert with_planned(planned)[1] == []


# --- the command
@pytest.fixture
def workbook(tmp_path):
    """A small one: two forages, one group, so that it is written quickly."""
    path = tmp_path / "ranch.xlsx"
    whole = ranch()
    forages = {n: whole.entries["Forages"][k] for n, k in ((1, 1), (2, 3))}
    small = {"Forages": forages, "Herd": {1: whole.entries["Herd"][1]}}
    sizes = {"group": 1, "forage": 2, "product": 2, "sample": 2, "month": 4, "line": 1}
    save(Ranch(small, whole.settings, sizes), path)
    return path


def test_the_command_prints_the_plan_and_writes_rows_only_where_told(workbook, capsys):
    before = workbook.read_bytes()
    assert main(["sample-plan", str(workbook)]) == 0
    out = capsys.readouterr().out
    assert "Meadow hay: 20 cores" in out and "corer" in out and "Follow your laboratory" in out
    assert workbook.read_bytes() == before
    assert main(["sample-plan", str(workbook), "--add", "--json"]) == 0
    added = json.loads(capsys.readouterr().out)["added"]
    rows = read(workbook).ranch.entries["Samples"].values()
    assert [row["sample_id"] for row in rows] == added


def test_a_report_fills_the_row_that_was_planned_for_it(workbook, tmp_path, capsys):
    main(["sample-plan", str(workbook), "--add"])
    report = tmp_path / "lab.csv"
    report.write_text("Sample ID,DM %,CP % DM,ADF % DM\nMH-2609-1,88,9.6,38\n", encoding="utf-8")
    main(["import-lab", str(report), "--into", str(workbook)])
    rows = read(workbook).ranch.entries["Samples"]
    mine = [row for row in rows.values() if row["sample_id"] == "MH-2609-1"]
    assert len(mine) == 1 and mine[0]["reported.cp"] == 9.6 and "planned_on" in mine[0]
    capsys.readouterr()
