"""Taking a lab report into Samples: nothing twice, nothing replaced without a word."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from edits import small_ranch, told
from haymow.lab import LabSample, Report, Result
from haymow.units import KG_PER_LB
from haymow.workbook.rebuild import save
from haymow.workbook.take_in import import_samples

DAY = dt.date(2026, 11, 20)


def sample(name="B-7", described="Creek pasture", lab="County lab", basis="DM", **values):
    """A sample whose results are percentages (NEm in Mcal/lb), all on one basis but dry matter."""
    results = tuple(
        Result(key, value, unit="Mcal/lb" if key == "nem" else "%",
               basis="as fed" if key in ("dm", "moisture") else basis, raw=str(value),
               where=f"lab.csv!{key}")
        for key, value in values.items())
    return LabSample(name, described, lab=lab, sampled_on=DAY, results=results)


def report(*samples):
    return Report("lab.csv", samples, (), ())


def taken(ranch, *samples):
    ranch, problems = import_samples(ranch, report(*samples))
    return ranch, problems


def test_a_new_sample_stands_in_the_next_free_row_as_the_report_prints_it():
    ranch, problems = taken(small_ranch(), sample(
        basis="as fed", dm=88.0, cp=7.04, adf=35.2, ndf=52.8, tdn=49.28, ca=0.35, p=0.15,
        hemi=17.6))
    assert problems == []
    assert ranch.entries["Samples"][3] == {
        "sample_id": "B-7", "forage": "Creek pasture", "sampled_on": DAY, "lab": "County lab",
        "basis": "as fed", "reported.dm": 88.0, "reported.cp": 7.04, "reported.adf": 35.2,
        "reported.ndf": 52.8, "reported.tdn": 49.28, "reported.ca": 0.35, "reported.p": 0.15}
    assert ranch.entries["Samples"][1] == small_ranch().entries["Samples"][1]


@pytest.mark.parametrize(("basis", "word"), [
    ("DM", "dry matter"), ("90% DM", "air dry (90 % DM)")])
def test_the_basis_of_the_report_is_kept(basis, word):
    ranch, _ = taken(small_ranch(), sample(basis=basis, cp=8.0))
    row = ranch.entries["Samples"][3]
    assert (row["basis"], row["reported.cp"]) == (word, 8.0)


def test_values_on_two_bases_are_taken_in_dry_matter():
    wet = sample(basis="as fed", dm=80.0, cp=8.0)
    both = replace(wet, results=(*wet.results, Result("tdn", 55.0, unit="%", basis="DM", raw="55")))
    ranch, _ = taken(small_ranch(), both)
    row = ranch.entries["Samples"][3]
    assert (row["basis"], row["reported.dm"], row["reported.cp"], row["reported.tdn"]) == (
        "dry matter", 80.0, 10.0, 55.0)


@pytest.mark.parametrize(("us", "value"), [(True, 0.6), (False, 0.6 / KG_PER_LB)])
def test_energy_is_put_into_the_workbooks_unit(us, value):
    ranch, _ = taken(replace(small_ranch(), us=us), sample(nem=0.6))
    assert ranch.entries["Samples"][3]["reported.nem"] == pytest.approx(value, rel=1e-9)


def test_minerals_shares_and_nitrate_stand_in_the_units_of_their_headers():
    mixed = LabSample("B-9", "Creek pasture", results=(
        Result("cu", 6.0, unit="mg/kg", basis="DM", raw="6.0"),
        Result("rdp", 62.0, unit="% of CP", raw="62"), Result("cp", 8.0, unit="%", basis="DM"),
        Result("kno3", 0.4, unit="%", basis="DM", raw="0.4"),
        Result("vit_a", 9000.0, unit="IU/lb", basis="DM", raw="9000")))
    row = taken(small_ranch(), mixed)[0].entries["Samples"][3]
    assert (row["reported.cu"], row["reported.rdp"], row["nitrate_form"]) == (6.0, 62.0, "KNO3")
    assert row["reported.no3n"] == pytest.approx(4000)
    assert row["reported.vita"] == pytest.approx(9000)


def test_the_same_report_again_changes_nothing():
    once, _ = taken(small_ranch(), sample(cp=8.0, dm=91.0), sample("B-8", cp=9.0))
    again, problems = taken(once, sample(cp=8.0, dm=91.0), sample("B-8", cp=9.0))
    assert again == once and problems == []


def test_a_known_sample_with_other_values_is_replaced_and_both_are_told():
    once, _ = taken(small_ranch(), sample(cp=8.0, p=0.2))
    again, problems = taken(once, sample(cp=8.4, p=0.2, ca=0.4))
    row = again.entries["Samples"][3]
    assert (row["reported.cp"], row["reported.p"], row["reported.ca"]) == (8.4, 0.2, 0.4)
    assert told(problems) == (
        "lab.csv, sample B-7: It was there already (No. 3 on Samples) and was replaced:"
        " cp 8 -> 8.4; ca blank -> 0.4. Make sure that it is the same sample.")


def test_what_the_report_lacks_and_what_the_user_chose_stays():
    once, _ = taken(small_ranch(), sample(described="north end", cp=8.0, tdn=55.0))
    row = {**once.entries["Samples"][3], "forage": "Meadow hay", "taken": "20 cores"}
    once = replace(once, entries={**once.entries, "Samples": {**once.entries["Samples"], 3: row}})
    again, problems = taken(once, sample(described="north end", cp=8.0, ca=0.4))
    assert again.entries["Samples"][3] == {**row, "reported.ca": 0.4}
    assert "was filled in: ca blank -> 0.4" in told(problems)


def test_values_of_another_basis_never_stand_beside_old_ones():
    once, _ = taken(small_ranch(), sample(cp=8.0, tdn=55.0))
    again, problems = taken(once, sample(basis="as fed", dm=90.0, cp=7.2))
    row = again.entries["Samples"][3]
    assert (row["basis"], row["reported.cp"]) == ("as fed", 7.2)
    assert "reported.tdn" not in row
    assert "tdn 55 -> blank" in told(problems)


def test_a_forage_is_matched_by_its_whole_name_and_only_suggested_by_a_like_one():
    ranch, problems = taken(small_ranch(), sample("B-1", "meadow  HAY", cp=8.0),
                            sample("B-2", "Medow hay", cp=8.0), sample("B-3", "", cp=8.0),
                            sample("B-4", "Lot*7", cp=8.0))
    rows = ranch.entries["Samples"]
    assert [rows[n].get("forage") for n in (3, 4, 5, 6)] == [
        "Meadow hay", "Medow hay", None, "Lot 7"]
    assert [str(problem) for problem in problems] == [
        "lab.csv, sample B-2: 'Medow hay' is not on Forages. Did you mean 'Meadow hay'?"
        " Choose its forage on Samples, or describe it on Forages.",
        "lab.csv, sample B-3: The report does not say which forage it is. Choose it on Samples.",
        "lab.csv, sample B-4: 'Lot*7' is not on Forages."
        " Choose its forage on Samples, or describe it on Forages."]


def test_a_result_below_detection_is_no_number():
    low = LabSample("B-9", "Creek pasture", results=(
        Result("p", 0.02, "<", "%", "DM", raw="<0.02", where="lab.csv!H3"),
        Result("cp", 7.0, "", "%", "DM", raw="7.0")))
    ranch, problems = taken(small_ranch(), low)
    assert "reported.p" not in ranch.entries["Samples"][3]
    assert "lab.csv!H3: phosphorus is '<0.02', no number; it was left out." in told(problems)


def test_a_sample_that_stands_twice_in_a_report_is_taken_once():
    ranch, problems = taken(small_ranch(), sample(cp=8.0), sample(cp=8.0), sample(cp=9.0))
    assert len(ranch.entries["Samples"]) == 3
    assert ranch.entries["Samples"][3]["reported.cp"] == 8.0
    assert [problem.severity for problem in problems] == ["stop"]


def test_laboratories_that_number_alike_do_not_overwrite_each_other():
    ranch, _ = taken(small_ranch(), sample(lab="County lab", cp=8.0),
                     sample(lab="Valley lab", cp=9.0))
    assert [ranch.entries["Samples"][n]["lab"] for n in (3, 4)] == ["County lab", "Valley lab"]


def test_a_sample_whose_number_could_not_be_read_gets_a_name_and_is_not_doubled():
    once, problems = taken(small_ranch(), sample("", cp=8.0))
    assert once.entries["Samples"][3]["sample_id"] == "lab 1"
    assert "Its sample number could not be read" in told(problems)
    assert taken(once, sample("", cp=8.0))[0] == once


def test_more_samples_than_rows_make_room_and_can_be_saved(tmp_path):
    ranch, _ = taken(small_ranch(), *(sample(f"C-{n}", cp=7.0) for n in range(30)))
    assert ranch.sizes["sample"] == 36
    save(ranch, tmp_path / "plan.xlsx")


def test_the_day_of_the_report_is_taken_and_not_that_on_which_the_lab_got_the_bag():
    day = dt.date(2026, 11, 28)
    both = replace(sample(cp=8.0), received_on=dt.date(2026, 11, 23), reported_on=day)
    without = replace(sample("B-8", cp=8.0), received_on=dt.date(2026, 11, 23))
    rows = taken(small_ranch(), both, without)[0].entries["Samples"]
    assert rows[3]["received_on"] == day and "received_on" not in rows[4]


def test_a_report_without_a_day_leaves_the_day_that_was_typed():
    once, _ = taken(small_ranch(), sample(cp=8.0))
    rows = {n: dict(row) for n, row in once.entries["Samples"].items()}
    rows[3]["received_on"] = dt.date(2026, 12, 1)
    typed = replace(once, entries={**once.entries, "Samples": rows})
    again, problems = taken(typed, sample(cp=8.0))
    assert again == typed and problems == []


def test_the_log_keeps_the_newest_lines_within_a_cell():
    ranch, _ = taken(small_ranch(), sample(cp=8.0))
    for n in range(30):
        ranch, _ = taken(ranch, sample(cp=8.1 + n / 10))
    log = ranch.entries["Samples"][3]["log"]
    assert len(log) <= 240 and log.endswith("cp 10.9 -> 11") and log.count("|") > 5
