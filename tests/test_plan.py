"""``plan(ranch)``: frames that say what to feed; expected numbers by hand."""

from __future__ import annotations

import datetime as dt
import json

import pytest

from haymow.plan import plan
from haymow.problems import InputError
from haymow.ranch import Ranch, sizes_for
from haymow.units import KG_PER_LB, TONNE_PER_TON

FIRST = dt.date(2026, 12, 1)


def ranch(us=True, **changed):
    """Ten cows of 1,000 that eat 20 of hay with 5 % CP and need 2: short of 1."""
    entries = {
        "Forages": {1: {"forage": "Hay", "kind": "other"}},
        "Samples": {1: {"sample_id": "1", "forage": "Hay", "basis": "dry matter",
                        "reported.cp": 5, "reported.tdn": 55, "reported.ca": 1, "reported.p": 1}},
        "Herd": {1: {"group": "Cows", "class_name": "open cow", "head": 10, "weight": 1000,
                     "usual_forage": "Hay"}},
        "Diet": {row: {"known_intake": 20, "own_need.cp": 2} for row in range(1, 13)},
        "Supplements": {2: {"product": "Cake", "purpose": "CP", "price": 100, "basis": "as fed",
                            "reported.dm": 90, "reported.cp": 50, "reported.tdn": 70,
                            "reported.ca": 0, "reported.p": 0}},
        "Plan": {1: {"product": "Cake", "from_on": FIRST, "to_on": dt.date(2026, 12, 31)}},
    }
    entries |= changed
    return Ranch(entries, {"first_month": FIRST}, sizes_for(entries), us=us)


def test_amounts_tons_and_dollars_of_a_month_by_hand():
    found = plan(ranch())
    line = found.lines.iloc[0]
    assert line["per_head"] == pytest.approx(2)  # 1 lb short / 50 %
    assert line["per_feeding"] == pytest.approx(20)  # daily, ten head
    assert line["fed"] == pytest.approx(20 * 31 / 2000)
    assert line["cost_usd"] == pytest.approx(31)
    assert found.units["fed"] == "tons"
    december = found.budget.iloc[0]
    assert (december["fed"], december["cost_usd"]) == pytest.approx((0.31, 31))
    assert found.budget["cost_usd"].sum() == pytest.approx(31)


def test_the_same_ranch_typed_in_kilograms_is_fed_the_same():
    pounds = ranch()
    herd = {1: pounds.entries["Herd"][1] | {"weight": 1000 * KG_PER_LB}}
    diet = {row: {"known_intake": 20 * KG_PER_LB, "own_need.cp": 2 * KG_PER_LB}
            for row in range(1, 13)}
    cake = {2: pounds.entries["Supplements"][2] | {"price": 100 / TONNE_PER_TON}}
    line = plan(ranch(us=False, Herd=herd, Diet=diet, Supplements=cake)).lines.iloc[0]
    assert line["per_head"] == pytest.approx(2 * KG_PER_LB)
    assert line["fed"] == pytest.approx(0.31 * TONNE_PER_TON)
    assert line["cost_usd"] == pytest.approx(31)


def test_balance_has_a_row_for_each_group_month_and_nutrient():
    balance = plan(ranch()).balance
    assert len(balance) == 12 * len(set(balance["nutrient"]))
    first = balance.set_index(["month", "nutrient"]).loc[("2026-12-01", "CP")]
    assert first["short_or_over"] == pytest.approx(-1)
    assert (first["unit"], first["pct_of_need"]) == ("lb/day", pytest.approx(100))
    january = balance.set_index(["month", "nutrient"]).loc[("2027-01-01", "CP")]
    assert (january["pct_of_need"], january["still_short"]) == (pytest.approx(50), 1)


def test_groups_without_a_name_and_lines_without_a_product_are_left_out():
    found = plan(ranch(Plan={2: {"product": "none"}, 4: {"product": "Cake"}}))
    assert found.answers["group"].tolist() == ["Cows"]
    assert found.lines.empty
    assert found.amounts.empty
    assert (found.budget["cost_usd"] == 0).all()


def test_a_product_that_is_not_described_stays_in_sight_and_nothing_is_known_of_it():
    found = plan(ranch(Plan={1: {"product": "Cakes"}}))
    assert found.lines["product"].tolist() == ["Cakes"]
    assert found.lines[["per_head", "fed", "cost_usd"]].isna().all(axis=None)
    assert "at least" in found.cost
    assert str(found.problems[0]) == (
        "Plan no. 1 (Cows, Cakes): The product is not on Supplements. It is not said which nutrient"
        " to close.")


def test_a_missing_lab_value_is_unknown_and_not_zero():
    samples = {1: {"sample_id": "1", "forage": "Hay", "basis": "dry matter", "reported.tdn": 55}}
    found = plan(ranch(Samples=samples))
    protein = found.balance[found.balance["nutrient"] == "CP"]
    assert protein[["from_forage", "short_or_over", "still_short"]].isna().all(axis=None)
    assert set(found.months["first_flagged"]) == {"CP"}
    assert set(found.months["state"]) == {"not known: crude protein"}
    assert found.lines["limit"].tolist() == ["not known in 12 months"]


def test_enough_forage_is_an_answer_with_zeros():
    enough = {row: {"known_intake": 20, "own_need.cp": 1} for row in range(1, 13)}
    found = plan(ranch(Diet=enough, Plan={1: {"product": "Cake"}}))
    assert found.answers["sentence"].tolist() == ["Cows: none needed"]
    assert found.lines["fed"].tolist() == [0]
    assert found.lines["starts_on"].isna().all()
    assert "$0" in found.cost


def test_a_limit_is_named_where_the_row_stands():
    cake = {2: ranch().entries["Supplements"][2] | {"most": 1.0, "cap_words": "urea"}}
    places = {("Plan", 1, "product"): "Plan!E7"}
    found = plan(ranch(Supplements=cake), places)
    assert found.lines["per_head"].tolist() == pytest.approx([1])
    looks = [problem for problem in found.problems if problem.where.startswith("Plan")]
    assert [str(problem) for problem in looks] == [
        "Plan!E7 (Cows, Cake): limit: urea. Choose another feed, add a line, or accept what stays"
        " short."]


def test_an_empty_ranch_is_told_where_to_begin():
    found = plan(Ranch(sizes=sizes_for({})))
    assert found.answers.empty
    assert [problem.where for problem in found.problems] == ["Start", "Herd"]
    assert {problem.severity for problem in found.problems} == {"stop"}


def test_words_where_a_number_belongs_are_refused_with_their_row():
    with pytest.raises(InputError, match=r"Herd row 1: head is 'ten'; expected a number\."):
        plan(ranch(Herd={1: ranch().entries["Herd"][1] | {"head": "ten"}}))


def test_records_are_json_with_dates_as_text_and_unknown_as_null():
    records = json.loads(json.dumps(plan(ranch(Plan={1: {"product": "Cakes"}})).as_records(),
                                    allow_nan=False))
    assert records["budget"][0]["month"] == "2026-12-01"
    assert records["lines"][0]["fed"] is None
    assert records["problems"][0]["where"] == "Plan no. 1 (Cows, Cakes)"


def test_the_feed_sheet_says_what_one_feeding_is_by_hand():
    fed = {1: {"product": "Cake", "from_on": dt.date(2026, 12, 5), "times_per_week": 2,
               "to_on": dt.date(2026, 12, 31)}}
    (row,) = plan(ranch(Plan=fed)).feed_sheet.to_dict("records")
    assert (row["feed"], row["times_per_week"], str(row["from_on"].date())) == (
        "Cake", 2, "2026-12-05")
    assert row["one_feeding"] == pytest.approx(2 * 10 * 7 / 2)  # lb
    assert row["a_head_each_time"] == pytest.approx(7)


def test_amounts_of_a_month_that_are_not_known_are_blank_and_stay_on_the_feed_sheet():
    samples = {1: {"sample_id": "1", "forage": "Hay", "basis": "dry matter", "reported.tdn": 55}}
    found = plan(ranch(Samples=samples))
    assert found.amounts["per_head"].isna().all()
    assert len(found.feed_sheet) == 12 and found.feed_sheet["one_feeding"].isna().all()


def test_a_group_of_which_too_little_is_known_has_a_sentence_that_says_so():
    herd = {1: {**ranch().entries["Herd"][1], "class_name": None}}
    assert plan(ranch(Herd=herd)).answers["sentence"].tolist() == [
        "Cows: what to feed is not known yet; 'haymow check' lists what is missing"]


def test_what_the_plan_rests_on_is_handed_out():
    found = plan(ranch())
    protein = found.quality[found.quality["nutrient"] == "CP"]
    assert len(protein) == 12 and set(protein["content"]) == {5.0}
    tested = found.samples.set_index("nutrient")
    assert tested.loc["CP", ["sample_id", "content", "unit"]].tolist() == ["1", 5.0, "% of DM"]
    assert set(found.sources["read"]) == {True, False}
    met = found.settings.set_index("setting").loc["Need counts as met within"]
    assert met["value"] == met["usual"] == 0.1
