"""Averages of a forage's samples: by weights, ratios by their parts, how sure, table counted."""

from __future__ import annotations

import numpy as np
import pytest

from haymow.evaluate import Values
from haymow.sampling import Design, spread_for, standard_error, weighted
from haymow.tables.make import make
from sample_ranch import ranch

HAY = {"forage": "Meadow hay", "basis": "dry matter"}


def samples(*rows: dict) -> dict[int, dict]:
    return {n: {**HAY, "sample_id": f"S{n}", **row} for n, row in enumerate(rows, 1)}


def of_hay(given: dict, column: str, member: str, table: str = "Forages"):
    of = ranch(given)
    values = Values(make(of), of)
    row = list(values.column("Forages", "forage")).index("Meadow hay")
    return values.column(table, column, member)[row]


def test_a_lot_of_ninety_tons_counts_nine_times_one_of_ten():
    """90 t at 8 % and 10 t at 14 % are 8.6 % CP; without weights they would be 11."""
    rows = [{"weight": 90, "reported.cp": 8.0}, {"weight": 10, "reported.cp": 14.0}]
    assert of_hay(samples(*rows), "averaged", "cp") == pytest.approx(8.6)
    plain = [{"reported.cp": 8.0}, {"reported.cp": 14.0}]
    assert of_hay(samples(*plain), "averaged", "cp") == pytest.approx(11.0)


def test_leaf_and_stem_by_their_part_of_the_plant_are_the_whole_plant():
    """WSG-LEAF-STEM: 39 % leaf with 9.7 % CP and 66.0 % NDF, stem 4.3 and 75.3: 6.4 and 71.7."""
    rows = [{"weight": 39, "reported.cp": 9.7, "reported.ndf": 66.0},
            {"weight": 61, "reported.cp": 4.3, "reported.ndf": 75.3}]
    assert of_hay(samples(*rows), "averaged", "cp") == pytest.approx(6.4, abs=0.05)
    assert of_hay(samples(*rows), "averaged", "ndf") == pytest.approx(71.7, abs=0.05)


def test_a_digestibility_is_averaged_by_what_it_is_a_part_of():
    """Half NDF 40 digested 60 %, half NDF 80 digested 45 %: 60 of 120 parts are digested, 50 %."""
    rows = [{"reported.ndf": 40, "reported.ndfd48": 60},
            {"reported.ndf": 80, "reported.ndfd48": 45}]
    assert of_hay(samples(*rows), "averaged", "ndfd48") == pytest.approx(50.0)


def test_a_missing_result_neither_counts_nor_is_taken_for_zero():
    rows = [{"reported.cp": 8.0, "reported.p": 0.2}, {"reported.cp": 10.0}]
    assert of_hay(samples(*rows), "averaged", "p") == pytest.approx(0.2)
    assert np.isnan(of_hay(samples(*rows), "averaged", "ca"))


def test_samples_weighed_in_part_only_are_asked_about():
    rows = [{"weight": 90, "reported.cp": 8.0}, {"reported.cp": 14.0}]
    assert "a weight, or none" in of_hay(samples(*rows), "note", "")
    assert of_hay(samples({"reported.cp": 8.0}, {"reported.cp": 9.0}), "note", "") is None


def test_the_error_beside_the_average_is_that_of_the_engine():
    """Two bags of 20 cores, one test each; a bag of unknown make counts as one core."""
    rows = [{"spots": 20, "weight": 3, "reported.cp": 8.0},
            {"spots": 10, "weight": 1, "reported.cp": 9.0}]
    spread = spread_for("hay cores", "cp")
    errors = [standard_error(spread, Design(n)) for n in (20, 10)]
    assert of_hay(samples(*rows), "standard_error", "cp") == pytest.approx(
        weighted([8.0, 9.0], [3, 1], errors)[1])
    one = of_hay(samples({"reported.cp": 8.0}), "standard_error", "cp")
    assert one == pytest.approx(np.hypot(1.5, 0.5))


def test_five_own_results_of_a_lot_say_themselves_how_sure_they_are():
    results = [7.1, 9.4, 6.2, 8.8, 7.7]
    rows = [{"reported.cp": cp, "spots": 20} for cp in results]
    assert of_hay(samples(*rows), "standard_error", "cp") == pytest.approx(
        np.std(results, ddof=1) / np.sqrt(5))
    assert of_hay(samples(*rows), "error_words", "") == "your own results"
    assert of_hay(samples(*rows[:4]), "error_words", "") == "usual spreads (assumed)"


def test_the_season_of_a_pasture_is_not_taken_for_spread():
    rows = [{"forage": "Ridge range", "reported.cp": cp, "spots": 20}
            for cp in (12.0, 10.0, 7.0, 5.0, 4.0, 3.5)]
    of = ranch({n: {**HAY, "sample_id": f"P{n}", **row} for n, row in enumerate(rows, 1)})
    values = Values(make(of), of)
    assert values.column("Forages", "error_words")[0] == "usual spreads (assumed)"
