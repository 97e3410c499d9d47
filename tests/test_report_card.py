"""What reports say: cards in plain words, doubts kept with a reason, two reports side by side."""

from __future__ import annotations

import datetime as dt
import json
from dataclasses import replace

import numpy as np
import pytest

from haymow.cli import main
from haymow.evaluate import Values
from haymow.ranch import Ranch
from haymow.report_card import cards, doubts, lab_history
from haymow.tables.make import make
from haymow.workbook.rebuild import save
from sample_ranch import ranch

HAY = {"forage": "Meadow hay", "basis": "dry matter", "reported.dm": 88, "reported.cp": 9.6,
       "reported.adf": 38.0, "reported.ndf": 60, "reported.ca": 0.5, "reported.p": 0.2, "spots": 20,
       "sampled_on": dt.date(2026, 9, 3)}


def lot(*rows: dict) -> Ranch:
    return ranch({n: {**HAY, "sample_id": f"S{n}", **row} for n, row in enumerate(rows, 1)})


def lines(**row: object) -> tuple[str, ...]:
    return cards(lot(row))[0].lines


def compared(first: dict, second: dict) -> str:
    of = lot(first, second)
    typed = {1: {"first": "S1", "second": "S2"}}
    of = replace(of, entries={**of.entries, "TwoReports": typed})
    return Values(make(of), of).column("TwoReports", "compared_words")[0]


# --- the card
def test_a_card_has_at_most_eight_plain_lines_and_no_rfv():
    full = lines(**{"reported.no3n": 900, "nitrate_form": "NO3-N", "lab": "A",
                    "kept_because": "seen on the report"})
    assert 6 <= len(full) <= 8
    assert not any("RFV" in line for line in full)
    assert full[0] == "S1: Meadow hay, hay cores, 20 cores, Sep 3"


@pytest.mark.parametrize(("cp", "words"), [
    (5.9, "short for any cow"), (7.5, "short in the last two months before calving"),
    (9.6, "short with milk"), (11.5, "enough for a cow with 20 lb")])
def test_protein_is_told_by_whom_it_is_enough_for(cp, words):
    """NRC2000-COWS: 6.0-6.5 in mid gestation, 8.8 in the last month, 9.9-10.7 with 20 lb milk."""
    assert any(line.startswith("CP") and words in line for line in lines(**{"reported.cp": cp}))


def test_energy_says_which_equation_it_rests_on():
    """NFTA-A3: 88.9 - 0.779 x 38 is 59.3."""
    by_adf = next(line for line in lines() if line.startswith("TDN"))
    assert by_adf.startswith("TDN 59 % by the ADF line of cool-season grass hay")
    printed = next(line for line in lines(**{"reported.tdn": 55}) if line.startswith("TDN"))
    assert printed.startswith("TDN 55 % as printed, 59 % by the ADF line")


def test_wet_hay_is_warned_of_and_wet_pasture_is_not():
    """MISSISSIPPI: baled hay heats above 18 to 20 % moisture."""
    assert any("heat and mold" in line for line in lines(**{"reported.dm": 80}))
    assert not any("heat" in line for line in lines(**{"reported.dm": 83}))
    pasture = ranch({1: {**HAY, "sample_id": "P", "forage": "Ridge range", "reported.dm": 40}})
    assert not any("heat" in line for line in cards(pasture)[0].lines)


def test_minerals_are_left_to_the_whole_diet():
    assert any("judged with the whole diet" in line for line in lines())


def test_a_sample_without_a_report_has_no_card():
    waiting = ranch({1: {"sample_id": "W", "forage": "Meadow hay",
                         "planned_on": dt.date(2026, 9, 3)}})
    assert cards(waiting) == []


# --- doubts
def test_a_suspect_value_is_told_with_what_it_may_be_until_a_reason_is_given():
    found = doubts(lot({"reported.cp": 1.5}), {("Samples", 1, "reported.cp"): "Samples!Q7"})
    told = next(str(problem) for problem in found if "1.5" in problem.what)
    assert told.startswith("Samples!Q7 (S1)") and "nitrogen typed as crude protein" in told
    assert "say on Samples why" in told
    kept = doubts(lot({"reported.cp": 1.5, "kept_because": "old straw"}))
    assert all(problem.severity == "note" for problem in kept)
    assert any("It was kept: old straw." in problem.what for problem in kept)
    assert "Kept although it looks wrong: old straw." in lines(
        **{"reported.cp": 1.5, "kept_because": "old straw"})[-1]


def test_an_ordinary_sample_raises_no_doubt():
    assert doubts(lot({})) == []


def test_two_laboratories_on_one_lot_are_warned_of():
    """OPEN-SPREADS: two central laboratories differ by 2.2 units of CP and 3.6 of NDF."""
    mixed = lot({"lab": "Valley Lab"}, {"lab": "Hill Lab"})
    assert any("Laboratories: more than one" in problem.what for problem in doubts(mixed))
    assert "Another laboratory" in cards(mixed)[1].lines[-1]
    alike = lot({"lab": "Valley Lab"}, {"lab": "valley lab"}, {})
    assert doubts(alike) == []


# --- two reports side by side
def test_two_samples_of_a_lot_that_differ_by_chance_are_ordinary():
    """Twice 20 cores and a test: 1.96 x sqrt(2 x (1.5^2/20 + 0.5^2)) = 1.67 units of CP."""
    assert compared({"reported.cp": 9.0}, {"reported.cp": 10.6}) == "ordinary difference"
    assert compared({"reported.cp": 9.0}, {"reported.cp": 10.7}) == "more than ordinary: CP "


def test_between_laboratories_more_is_ordinary():
    labs = ({"lab": "A", "reported.cp": 9.0}, {"lab": "B", "reported.cp": 11.0})
    assert compared(*labs) == "ordinary difference"
    assert compared({**labs[0], "lab": "B"}, labs[1]) == "more than ordinary: CP "


def test_another_equation_for_tdn_is_told_from_another_hay():
    """A western line gives 3 units less than the legume-and-grass line at 38 % ADF (NFTA-A3)."""
    western = 82.38 - 0.7515 * 38
    assert compared({"reported.tdn": 59.3}, {"reported.tdn": western}) == (
        "another equation for TDN; the rest is ordinary")
    coarser = {"reported.adf": 42.0, "reported.tdn": 88.9 - 0.779 * 42}
    assert compared({"reported.tdn": 59.3}, coarser) == "more than ordinary: TDN "


def test_samples_of_two_forages_are_not_compared():
    assert compared({}, {"forage": "Oat hay"}) == "not of one forage"


def test_history_lists_a_lot_by_date_and_compares_each_with_the_one_before():
    later = {"sampled_on": dt.date(2027, 1, 10), "reported.cp": 13.0, "reported.adf": 38}
    found = lab_history(lot(later, {}))
    assert [sample.sample_id for sample in found[0].samples] == ["S2", "S1"]
    assert found[0].compared == (("S2", "S1", "more than ordinary: CP"),)
    assert np.isclose(found[0].samples[0].values["tdn"], 88.9 - 0.779 * 38)


def test_a_pasture_is_not_compared_across_the_season():
    rows = [{"forage": "Ridge range", "sampled_on": day, "reported.cp": cp} for day, cp in (
        (dt.date(2026, 6, 5), 12.0), (dt.date(2026, 10, 5), 5.0), (dt.date(2026, 10, 20), 5.4))]
    assert [pair[:2] for pair in lab_history(lot(*rows))[0].compared] == [("S2", "S3")]


# --- the commands
@pytest.fixture
def workbook(tmp_path):
    path = tmp_path / "ranch.xlsx"
    of = lot({})
    sizes = {"group": 1, "forage": 4, "product": 2, "sample": 4, "month": 2, "line": 1}
    entries = {name: of.entries[name] for name in ("Forages", "Samples")}
    save(Ranch(entries, of.settings, sizes), path)
    return path


def test_importing_a_report_says_what_it_says(workbook, tmp_path, capsys):
    report = tmp_path / "lab.csv"
    report.write_text("Sample ID,Desc,DM %,CP % DM,ADF % DM\nN-7,Meadow hay,88,2.0,38\n", "utf-8")
    assert main(["import-lab", str(report), "--into", str(workbook)]) == 1
    out = capsys.readouterr().out
    assert "N-7: Meadow hay" in out and "CP 2.0 %: short for any cow" in out
    assert "(N-7)" in out and "cool-season grass hay usually has" in out
    assert main(["check", str(workbook)]) == 1
    assert "say on Samples why it is right" in capsys.readouterr().out


def test_lab_history_is_printed_for_people_and_for_programs(workbook, capsys):
    assert main(["lab-history", str(workbook)]) == 0
    assert "Meadow hay, % of dry matter" in capsys.readouterr().out
    assert main(["lab-history", str(workbook), "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["lots"][0]["samples"][0]["values"]["cp"] == 9.6
    assert main(["lab-history", str(workbook), "--forage", "Moss"]) == 2
    assert "no tested sample of 'Moss'" in capsys.readouterr().err
