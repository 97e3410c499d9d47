"""The sheet Measures: indexes, classes, nitrate and energy of a sample, as printed elsewhere."""

from __future__ import annotations

import numpy as np
import pytest

from haymow.evaluate import Values
from haymow.ranch import Ranch, sizes_for
from haymow.tables.make import make
from haymow.tables.small import rows_of
from haymow.workbook import looks

LATE_HAY = {"dm": 90, "cp": 6.4, "adf": 45.3, "ndf": 71.9, "fat": 1.9, "ash": 3.43, "adicp": 0.8,
            "ndicp": 2.1, "tdn": 53}  # the posted report LAB-REPORT
CLEMSON, MANITOBA, SOUTH_DAKOTA, THREE_STATES = 1, 2, 3, 4


def measured(kind="cool-season grass hay", scheme=CLEMSON, form=None, basis="dry matter", **tested):
    """What Measures says of one sample: column -> value, None where it is not known."""
    cells = {"sample_id": "1", "forage": "Lot", "basis": basis, "nitrate_form": form,
             **{f"reported.{name}": value for name, value in tested.items()}}
    entries = {"Forages": {1: {"forage": "Lot", "kind": kind}},
               "Samples": {1: {name: value for name, value in cells.items() if value is not None}}}
    ranch = Ranch(entries, {"nitrate_scheme": scheme}, sizes_for(entries))
    values = Values(make(ranch), ranch)

    def known(name):
        value = values.column("Measures", name)[0]
        return None if isinstance(value, float) and np.isnan(value) else value
    return known


# --- published numbers, through the sheet
@pytest.mark.parametrize(("column", "printed", "off"), [
    ("rfv", 69, 1), ("nfc_with_ndicp_pct_dm", 18.5, 0.05), ("nfc_pct_dm", 16.4, 0.05),
    ("bound_cp_pct_of_cp", 12.5, 0.05), ("adjusted_cp_pct_dm", 6.4, 0.05)])
def test_a_posted_laboratory_report_comes_out_as_it_prints(column, printed, off):
    """LAB-REPORT, late-cut timothy mix; the simple NFC is 100 less its four parts."""
    assert measured(**LATE_HAY)(column) == pytest.approx(printed, abs=off)


def test_relative_feed_value_of_the_textbook_hay():
    """ADF 30 and NDF 40: 152, as many extension pages print (FT001 and others)."""
    assert measured("legume hay", adf=30, ndf=40)("rfv") == pytest.approx(152, abs=0.5)


@pytest.mark.parametrize(("kind", "tested", "tdn", "rfq"), [
    ("legume hay", {"cp": 19, "fat": 2.3, "ash": 9.5, "ndf": 42, "ndfd48": 46}, 61.0, 143),
    ("cool-season grass hay",
     {"cp": 10, "fat": 2.2, "ash": 8, "ndf": 64, "ndfd48": 52, "adf": 38}, 55.3, 107)])
def test_summative_tdn_and_forage_quality_by_hand(kind, tested, tdn, rfq):
    """GEORGIA-FORAGES, worked by hand with 0.93 of the NDF where NDICP was not measured."""
    found = measured(kind, dm=90, **tested)
    assert found("summative_tdn_pct_dm") == pytest.approx(tdn, abs=0.05)
    assert found("rfq") == pytest.approx(rfq, abs=0.5)


def test_forage_that_is_neither_legume_nor_grass_has_no_summative_tdn():
    tested = {"cp": 8, "fat": 3, "ash": 4, "ndf": 44, "ndfd48": 60, "adf": 26}
    assert measured("corn silage", **tested)("summative_tdn_pct_dm") is None


def test_true_digestibility_is_what_the_fiber_leaves():
    assert measured(ndf=64, ndfd48=52)("ivtd_pct_dm") == pytest.approx(69.3, abs=0.05)


# --- which TDN
def test_the_tdn_in_use_says_where_it_comes_from():
    assert measured(tdn=53, adf=40)("tdn_by") == "as the report prints it"
    assert measured("corn silage", adf=30)("tdn_by") == (
        "from ADF, line of corn silage: 87.84 - 0.700 x ADF")
    assert measured(cp=9)("tdn_by") is None


def test_other_tdn_stands_beside_it_and_changes_nothing():
    found = measured(tdn=53, adf=40)
    assert found("tdn_known") == 53
    assert found("tdn_from_adf_pct_dm") == pytest.approx(57.7, abs=0.05)  # 88.9 - 0.779 x 40


# --- market classes, USDA-AMS-HAY
@pytest.mark.parametrize(("kind", "tested", "by_rfv", "by_cp"), [
    ("legume hay", {"adf": 29, "ndf": 36, "cp": 19}, "Premium", "Good"),  # RFV 171
    ("legume hay", {"adf": 26, "ndf": 32, "cp": 23}, "Supreme", "Supreme"),
    ("western alfalfa hay", {"adf": 36, "ndf": 46, "cp": 15}, "Utility", "Utility"),
    ("cool-season grass hay", {"adf": 36, "ndf": 60, "cp": 10}, None, "Good"),
    ("warm-season grass hay", {"cp": 14}, None, "Premium"),
    ("warm-season grass hay", {"cp": 4.9}, None, "Utility")])
def test_each_criterion_has_its_own_market_class(kind, tested, by_rfv, by_cp):
    found = measured(kind, **tested)
    assert (found("rfv_class"), found("cp_class")) == (by_rfv, by_cp)


@pytest.mark.parametrize("kind", ["native range", "mixed hay", "corn silage"])
def test_forage_that_no_market_classes_has_no_class(kind):
    found = measured(kind, adf=30, ndf=40, cp=20)
    assert (found("rfv_class"), found("cp_class")) == (None, None)


# --- nitrate
def test_the_three_forms_of_nitrate_stand_side_by_side():
    """1 % nitrate is 2,259 ppm of NO3-N and 1.63 % of KNO3 by the atomic weights."""
    found = measured(no3n=10000, form="NO3")
    assert found("no3n_ppm_dm") == pytest.approx(2259, abs=0.5)
    assert found("nitrate_ppm_dm") == pytest.approx(10000)
    assert found("kno3_ppm_dm") == pytest.approx(16306, abs=1)


@pytest.mark.parametrize(("no3n", "most", "pregnant"), [
    (999, 100, 100), (1000, 100, 50), (1499, 100, 50), (1500, 50, 50), (2000, 35, 0),
    (3500, 25, 0), (4000, 0, 0), (9000, 0, 0)])
def test_nitrate_classes_begin_at_their_limits(no3n, most, pregnant):
    """CLEMSON-NITRATE."""
    found = measured(no3n=no3n, form="NO3-N")
    assert (found("most_in_diet_pct"), found("most_in_diet_pregnant_pct")) == (most, pregnant)


@pytest.mark.parametrize(("scheme", "words"), [
    (CLEMSON, "half of the diet at most"),
    (MANITOBA, "potentially toxic: not the only feed"),
    (SOUTH_DAKOTA, "caution: dilute"),
    (THREE_STATES, "generally safe; half of the diet for pregnant")])
def test_a_scheme_is_used_by_itself(scheme, words):
    found = measured(no3n=1600, form="NO3-N", scheme=scheme)
    assert found("nitrate_words") == f"1,600 ppm NO3-N: {words}"
    rows = [row for row in rows_of("nitrate_classes") if row["words"] == words]
    assert rows


def test_a_scheme_that_is_not_on_the_list_gives_no_class_and_says_so():
    found = measured(no3n=1600, form="NO3-N", scheme=5)
    assert found("nitrate_words") == "no class: choose a scheme of the list on Start"
    assert found("most_in_diet_pct") is None


def test_nitrate_without_its_form_gets_no_class_but_the_question():
    found = measured(no3n=3000)
    assert found("nitrate_words") == (
        "no class: ask the laboratory for its form (NO3-N, NO3 or KNO3)")
    assert found("no3n_ppm_dm") is None
    assert found("most_in_diet_pct") is None
    assert found("nitrate_look") == 1


def test_nitrate_without_its_basis_asks_for_it():
    assert measured(no3n=3000, form="NO3", basis=None)("nitrate_words") == (
        "no class: say on Samples on which basis it is reported")


def test_without_a_nitrate_test_nothing_is_said():
    found = measured(**LATE_HAY)
    assert found("nitrate_words") is None
    assert found("nitrate_look") == 0


@pytest.mark.parametrize(("no3n", "parts", "pregnant"), [
    (500, 0, 0), (1200, 0, 1), (1800, 1, 1), (3600, 3, None), (5000, None, None)])
def test_how_much_other_feed_dilutes_it(no3n, parts, pregnant):
    """A share of 50 % is one part beside one; where it may not be fed, there is no answer."""
    found = measured(no3n=no3n, form="NO3-N")
    assert found("dilution_parts") == (None if parts is None else pytest.approx(parts))
    assert found("pregnant_dilution_parts") == (
        None if pregnant is None else pytest.approx(pregnant))


def test_a_mix_stays_below_the_safe_level_even_where_the_class_allows_more():
    """SDSU-NITRATE: half at most, but of 4,000 ppm half is 2,000 and safe ends at 1,500."""
    found = measured(no3n=4000, form="NO3-N", scheme=SOUTH_DAKOTA)
    assert found("most_in_diet_pct") == 50
    assert found("dilution_parts") == pytest.approx((4000 - 1500) / 1500)


def test_a_share_of_zero_is_seen_on_the_sheet():
    """Do not feed must never look like not known."""
    book = make(Ranch(sizes=sizes_for({})))
    for name in ("most_in_diet_pct", "most_in_diet_pregnant_pct", "dilution_parts"):
        form = looks.format_of(book.tables["Measures"].at[name], None, book)
        assert not form.endswith(";"), name
