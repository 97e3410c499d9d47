"""Printed worked examples through the whole path: typed into a workbook, read back, planned."""

from __future__ import annotations

import datetime as dt

import pytest
from haymow.plan import Plan, plan
from haymow.ranch import Ranch, sizes_for
from haymow.workbook.build import build
from haymow.workbook.read import read

MONTHS = range(1, 13)  # rows of the first group on Diet


@pytest.fixture
def planned(tmp_path):
    def through_a_workbook(entries: dict, first_month: dt.date) -> Plan:
        path = tmp_path / "ranch.xlsx"
        build(Ranch(entries, {"first_month": first_month}, sizes_for(entries)), path)
        reading = read(path)
        assert reading.problems == ()
        return plan(reading.ranch)
    return through_a_workbook


# --- Protein for 300 cows on native grass: Oklahoma State University, weekly cow-calf newsletter,
# Johnson, winters of 2022 and 2023. Weight, intake, needs, tag and price are printed; amounts, tons
# and dollars follow from them by arithmetic. 90 days are those of December to February.
DAYS = (dt.date(2026, 12, 1), dt.date(2027, 2, 28))


def oklahoma(own_need: dict[str, float]) -> dict:
    return {
        "Forages": {1: {"forage": "Native grass", "kind": "native range"}},
        "Samples": {1: {"sample_id": "1", "forage": "Native grass", "basis": "dry matter",
                        "reported.cp": 5, "reported.tdn": 55}},
        "Herd": {1: {"group": "Cows", "class_name": "mature cow", "head": 300, "weight": 1300,
                     "weighed_shrunk": "yes", "first_calf_on": dt.date(2027, 3, 1),
                     "calving_season_days": 10, "peak_milk": 20,
                     "usual_forage": "Native grass"}},
        "Diet": {row: {"known_intake": 25, **own_need} for row in MONTHS},
        "Supplements": {2: {"product": "38 % cube", "purpose": "CP", "price": 475,
                            "basis": "as fed", "reported.dm": 90, "reported.cp": 38,
                            "reported.tdn": 70}},
        "Plan": {1: {"product": "38 % cube", "times_per_week": 2,
                     "from_on": DAYS[0], "to_on": DAYS[1]}},
    }


def winter(frame):
    return frame[frame["month"] < "2027-03-01"]


def of(frame, nutrient):
    return frame[frame["nutrient"] == nutrient]


@pytest.fixture
def cows(planned):
    return planned(oklahoma({"own_need.cp": 1.84, "own_need.tdn": 13.3}), DAYS[0])


def test_the_cows_are_short_of_protein_and_not_of_energy(cows):
    balance = winter(cows.balance)
    assert of(balance, "CP")["short_or_over"].tolist() == pytest.approx([-0.59] * 3, abs=0.005)
    assert (of(balance, "TDN")["short_or_over"] > 0).all()
    assert winter(cows.months)["intake_set_by"].tolist() == ["known intake"] * 3


def test_amount_feeding_tons_and_dollars_are_those_of_the_newsletter(cows):
    line = cows.lines.iloc[0]
    assert line["ends_before_on"] - line["starts_on"] == dt.timedelta(days=90)
    assert 1.54 <= line["per_head"] <= 1.56  # lb a head and day, as fed
    assert 1620 <= line["per_feeding"] <= 1640  # lb for the group, twice a week
    assert 20.8 <= line["fed"] <= 21.1  # tons, before waste
    assert 9880 <= line["cost_usd"] <= 10000
    assert line["limit"] == "nothing: the need sets it"


def test_without_the_typed_need_the_computed_one_lies_in_the_printed_range(planned):
    """The newsletters' own table of late gestation spans 1.6 to 2.3 lb of crude protein."""
    balance = winter(planned(oklahoma({}), DAYS[0]).balance)
    assert of(balance, "CP")["need"].between(1.6, 2.3).all()


# --- A nursing cow on rationed hay: Alabama Cooperative Extension System, column of 2008. Needs, hay
# and by-product are printed; the amount is its arithmetic. The hay is taken as 100 % dry matter,
# as there. The cow's weight and the corn's cap of 0.25 % of weight are ours: they name the limit.
def alabama(lines: dict[int, dict]) -> dict:
    return {
        "Forages": {1: {"forage": "Hay", "kind": "warm-season grass hay"}},
        "Samples": {1: {"sample_id": "1", "forage": "Hay", "basis": "dry matter",
                        "reported.dm": 100, "reported.cp": 9, "reported.tdn": 48}},
        "Herd": {1: {"group": "Nursing cow", "class_name": "mature cow", "head": 1,
                     "weight": 1100, "first_calf_on": dt.date(2026, 11, 1), "peak_milk": 20,
                     "usual_forage": "Hay"}},
        "Diet": {row: {"put_out": 10, "own_need.cp": 3, "own_need.tdn": 12} for row in MONTHS},
        "Supplements": {
            2: {"product": "Corn", "purpose": "CP", "price": 150, "basis": "as fed",
                "reported.dm": 88, "reported.cp": 7.5, "reported.tdn": 79,
                "most_pct_bw": 0.25, "cap_words": "starch"},
            3: {"product": "By-product", "purpose": "CP", "price": 150, "basis": "as fed",
                "reported.dm": 90, "reported.cp": 18, "reported.tdn": 72}},
        "Plan": lines,
    }


def test_the_nursing_cow_is_short_of_what_the_column_prints(planned):
    balance = planned(alabama({}), dt.date(2026, 12, 1)).balance
    assert of(balance, "CP")["short_or_over"].tolist() == pytest.approx([-2.1] * 12)
    assert of(balance, "TDN")["short_or_over"].tolist() == pytest.approx([-7.2] * 12)


def test_corn_for_protein_is_held_back_and_the_limit_named(planned):
    found = planned(alabama({1: {"product": "Corn"}}), dt.date(2026, 12, 1))
    assert found.lines["limit"].tolist() == ["limit: starch"]
    assert "(limit: starch)" in found.answers["sentence"][0]
    assert (of(found.balance, "CP")["pct_of_need"] < 40).all()


def test_the_by_product_is_sized_by_protein_and_covers_the_energy(planned):
    found = planned(alabama({1: {"product": "By-product"},
                             2: {"product": "By-product", "purpose": "TDN"}}),
                    dt.date(2026, 12, 1))
    for_protein, for_energy = found.lines["per_head"]
    assert 11.6 <= for_protein <= 11.8  # lb a day, as fed
    assert for_energy == 0
    assert found.lines["limit"].tolist() == ["nothing: the need sets it", "none needed"]
