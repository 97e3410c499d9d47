"""Quality over the season: curves shifted by own samples, lots that follow, averages pulled."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest

from haymow.evaluate import Values
from haymow.ranch import Ranch
from haymow.tables.make import make
from haymow.tables.season import BUILT_IN
from haymow.tables.small import MONTHS, rows_of
from haymow.workbook.read import read
from haymow.workbook.rebuild import save
from sample_ranch import ranch

TALLGRASS = next(row for row in rows_of("season_curves")
                 if (row["curve"], row["nutrient"]) == ("tallgrass range", "cp"))
OCT_TO_SEP = [float(TALLGRASS[m]) for m in (*MONTHS[9:], *MONTHS[:9])]
SAMPLE = {"forage": "Ridge range", "basis": "dry matter", "reported.dm": 90, "spots": 20,
          "reported.adf": 42, "sample_id": "R"}


def on_curve(*samples: dict, settings: dict | None = None, **forage: object) -> Ranch:
    of = ranch({n: {**SAMPLE, "sample_id": f"R{n}", **row} for n, row in enumerate(samples, 1)})
    rows = {n: dict(row) for n, row in of.entries["Forages"].items()}
    rows[1] |= {"curve": "tallgrass range", **forage}
    return replace(of, entries={**of.entries, "Forages": rows},
                   settings={**of.settings, **(settings or {})})


def cp(of: Ranch, column: str = "quality", member: str = "cp", row: int = 0) -> np.ndarray:
    return Values(make(of), of).column("Quality", column, member)[12 * row:12 * row + 12]


# --- the curve
def test_the_curves_are_marked_as_remembered():
    assert all("FROM MEMORY" in row["note"] and row["seen"] == "no"
               for row in rows_of("season_curves"))
    values = Values(make(ranch()), ranch())
    assert all("memory" in words for words in values.column("Curves", "curve_source")[:4])


def test_seen_points_of_kansas_and_nebraska_lie_near_the_curves():
    """KSU96-like county column: tallgrass 6 % by July 1, at most 5 by the end; cow diets of
    VOLESKY2007: 10.7 on April 10, 13.9 in May."""
    diet = next(r for r in rows_of("season_curves") if r["curve"].startswith("mixed")
                and r["nutrient"] == "cp")
    assert float(diet["Apr"]) == pytest.approx(10.7, abs=0.5)
    assert float(diet["May"]) == pytest.approx(13.9, abs=0.5)


def test_a_sample_on_the_curve_leaves_it_where_it_is():
    """Mid-October: 4.5 % CP."""
    of = on_curve({"sampled_on": dt.date(2026, 10, 16), "reported.cp": 4.5})
    assert cp(of) == pytest.approx(OCT_TO_SEP, abs=0.02)


def test_a_sample_off_the_curve_shifts_its_month_most_and_fades_away():
    of = on_curve({"sampled_on": dt.date(2026, 10, 16), "reported.cp": 6.0})
    shift = cp(of) - OCT_TO_SEP
    assert 0 < shift[0] < 1.5, "pulled toward the table by its spread"
    assert (np.diff(shift) < 0).all() and shift[9] < 0.01


def test_the_shift_is_the_combination_of_curve_and_sample():
    """STATISTICS: (x / SE^2 + prior / s0^2) / (1/SE^2 + 1/s0^2), at no days away."""
    of = on_curve({"sampled_on": dt.date(2026, 10, 16), "reported.cp": 6.0})
    error, spread = cp(of, "month_error")[0], 4.5 * 0.26
    x = 6.0 - cp(of, "curve_value")[0]
    wanted = x / error**2 / (1 / error**2 + 1 / spread**2)
    assert cp(of, "curve_shift")[0] == pytest.approx(wanted, abs=0.01)
    assert cp(of, "own_quality_error")[0] == pytest.approx(
        1 / np.sqrt(1 / error**2 + 1 / spread**2))


def test_it_fades_over_thirty_days_while_green_and_sixty_when_cured():
    """Design of the season curves: offset fades over about 30 days green, 60 cured."""
    of = on_curve({"sampled_on": dt.date(2026, 10, 16), "reported.cp": 6.0})
    fade = Values(make(of), of).column("Quality", "fade_before")
    assert fade[1] == pytest.approx(np.exp(-30.5 / 60), abs=0.005)
    assert fade[8] == pytest.approx(np.exp(-243 / 30), abs=0.001)


def test_without_pulling_the_curve_goes_through_the_sample():
    of = on_curve({"sampled_on": dt.date(2026, 10, 16), "reported.cp": 6.0},
                  settings={"pull_to_table": 0})
    assert cp(of) == pytest.approx(np.array(OCT_TO_SEP) + 1.5, abs=0.03)


def test_a_sample_of_the_first_of_a_month_is_compared_with_the_line_between_middles():
    """Half way from mid-September (5.25) to mid-October (4.5)."""
    of = on_curve({"sampled_on": dt.date(2026, 10, 1), "reported.cp": 6.0})
    values = Values(make(of), of)
    assert values.column("Samples", "curve_at", "cp")[0] == pytest.approx(4.875, abs=0.02)
    january = on_curve({"sampled_on": dt.date(2027, 1, 1), "reported.cp": 4.0})
    values = Values(make(january), january)
    assert values.column("Samples", "curve_at", "cp")[0] == pytest.approx(3.375, abs=0.02)


def test_without_a_curve_the_line_between_samples_stays():
    rows = ({"sampled_on": dt.date(2026, 10, 16), "reported.cp": 6.0},
            {"sampled_on": dt.date(2026, 12, 16), "reported.cp": 4.0})
    assert cp(on_curve(*rows, curve=None))[1] == pytest.approx(5.0)


def test_a_curve_alone_is_not_taken_for_a_result():
    assert np.isnan(cp(on_curve())).all()


def test_the_users_own_value_of_a_month_goes_first():
    of = on_curve({"sampled_on": dt.date(2026, 10, 16), "reported.cp": 6.0})
    of = replace(of, entries={**of.entries, "Quality": {2: {"override.cp": 9.0}}})
    assert cp(of)[1] == 9.0


def test_degradable_protein_follows_the_protein_in_use():
    of = on_curve({"sampled_on": dt.date(2026, 10, 16), "reported.cp": 6.0})
    assert cp(of, member="rdp") == pytest.approx(0.65 * cp(of))


def test_where_the_curve_carries_the_month_it_says_so():
    of = on_curve({"sampled_on": dt.date(2026, 10, 16), "reported.cp": 6.0})
    words = Values(make(of), of).column("Quality", "curve_words")
    assert words[0] == "own samples on the curve"
    assert words[6] == "mostly the table curve, shifted"


def test_a_curve_of_ones_own_area_is_kept_in_the_workbook(tmp_path):
    of = on_curve({"sampled_on": dt.date(2026, 10, 16), "reported.cp": 6.0}, curve="Home")
    own = {"curve": "Home", **{f"curve_cp.{month}": 6.0 for month in MONTHS}}
    small = {"group": 1, "forage": 4, "product": 2, "sample": 2, "month": 3, "line": 1}
    number = len(BUILT_IN) + 1
    entries = {"Forages": of.entries["Forages"], "Samples": of.entries["Samples"],
               "Curves": {number: own}}
    of = Ranch(entries, of.settings, small)
    assert Values(make(of), of).column("Quality", "quality", "cp")[:3] == pytest.approx([6.0] * 3)
    save(of, tmp_path / "home.xlsx")
    assert read(tmp_path / "home.xlsx").ranch.entries["Curves"] == {number: own}


# --- lots that follow each other
def two_lots(day: dt.date) -> Ranch:
    rows = {1: {"sample_id": "M", "forage": "Meadow hay", "reported.cp": 10.0},
            2: {"sample_id": "O", "forage": "Oat hay", "reported.cp": 7.0}}
    of = ranch({n: {**row, "basis": "dry matter", "spots": 20} for n, row in rows.items()})
    forages = {n: dict(row) for n, row in of.entries["Forages"].items()}
    forages[3] |= {"followed_by": "Oat hay", "followed_on": day}
    return replace(of, entries={**of.entries, "Forages": forages})


def test_a_lot_is_followed_by_another_from_a_day_on():
    """Ten of November's thirty days are of the new lot."""
    found = cp(two_lots(dt.date(2026, 11, 21)), row=2)
    assert found[:4] == pytest.approx([10.0, 10 - 3 * 10 / 30, 7.0, 7.0])


def test_the_lot_that_follows_may_be_untested_until_it_is_fed():
    of = two_lots(dt.date(2026, 12, 1))
    samples = {1: of.entries["Samples"][1]}
    found = cp(replace(of, entries={**of.entries, "Samples": samples}), row=2)
    assert found[:2] == pytest.approx([10.0, 10.0]) and np.isnan(found[2:]).all()


def test_a_mixed_month_errs_as_both_lots_do_apart():
    of = two_lots(dt.date(2026, 11, 16))
    single = cp(two_lots(dt.date(2027, 12, 1)), "quality_error", row=2)[0]
    assert cp(of, "quality_error", row=2)[1] == pytest.approx(np.hypot(single / 2, single / 2))


# --- averages pulled toward the table value
def pulled(*values: float, pull: int = 1) -> float:
    rows = {n: {"sample_id": f"H{n}", "forage": "Meadow hay", "basis": "dry matter", "spots": 20,
                "reported.cp": value} for n, value in enumerate(values, 1)}
    of = ranch(rows)
    forages = {n: dict(row) for n, row in of.entries["Forages"].items()}
    forages[3] |= {"stand_in": "Smooth brome hay, midbloom"}
    of = replace(of, entries={**of.entries, "Forages": forages},
                 settings={**of.settings, "pull_to_table": pull})
    found = Values(make(of), of)
    assert found.column("Forages", "pull_words")[2] == (
        "averages pulled toward the table value" if pull else None)
    return float(found.column("Forages", "usual", "cp")[2])


def test_one_sample_is_not_trusted_like_ten():
    """BV003: smooth brome hay, midbloom, 10.0 % CP; lots differ by 26 % of it."""
    one, ten = pulled(7.0), pulled(*[7.0] * 4)
    assert 7.0 < ten < one < 10.0
    error = np.sqrt(1.5**2 / 20 + 0.5**2)
    assert one == pytest.approx(10 - 3 * 2.6**2 / (2.6**2 + error**2))


def test_pulling_can_be_switched_off():
    assert pulled(7.0, pull=0) == 7.0
