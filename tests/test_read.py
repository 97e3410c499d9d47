"""Reading a workbook back: what people do to a sheet loses nothing they typed."""

from __future__ import annotations

import datetime as dt
import shutil

import pytest
from openpyxl.chart import BarChart, Reference
from openpyxl.comments import Comment
from openpyxl.workbook.defined_name import DefinedName

import referee
from edits import edited, plain, small_ranch, told
from haymow.ranch import Ranch, sizes_for
from haymow.tables.make import make
from haymow.workbook.build import build
from haymow.workbook.read import problems, read
from random_ranch import random_ranch


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    path = tmp_path_factory.mktemp("built") / "ranch.xlsx"
    build(small_ranch(), path)
    return path


@pytest.fixture
def path(built, tmp_path):
    return shutil.copy(built, tmp_path / "ranch.xlsx")


def test_a_workbook_as_made_holds_its_ranch_and_raises_no_question(path):
    reading = read(path)
    assert reading.ranch == small_ranch()
    assert reading.problems == ()
    assert reading.choices_for == dt.date(2026, 10, 1)
    assert reading.places["Herd", 2, "weight"] == "Herd!E8"


@pytest.mark.parametrize("seed", range(4))
def test_any_ranch_comes_back_entry_for_entry(seed, tmp_path):
    ranch = random_ranch(seed)
    build(ranch, tmp_path / "ranch.xlsx")
    again = read(tmp_path / "ranch.xlsx").ranch
    assert plain(again) == plain(ranch)
    assert (again.us, dict(again.sizes)) == (ranch.us, dict(ranch.sizes))
    usual = {line.name: line.value for line in make(ranch).settings.values()}
    assert {**usual, **again.settings} == {**usual, **ranch.settings}


def test_a_blank_workbook_is_a_blank_ranch(tmp_path):
    build(Ranch(sizes=sizes_for({}), us=False), tmp_path / "blank.xlsx")
    reading = read(tmp_path / "blank.xlsx")
    assert plain(reading.ranch) == {} and not reading.ranch.us and reading.problems == ()


def test_rows_columns_sheets_moved_and_headers_renamed_lose_nothing(path):
    with edited(path) as edits:
        edits.insert_rows("Herd", 1, 2)
        edits.insert_columns("Herd", 3)
        edits.move_column("Herd_weight", edits.area("Herd_usual_forage")[1])
        edits.header("Herd_head").value = "How many"
        edits.sort("Herd_group", "Herd_group_no")
        edits.insert_columns("Samples", edits.area("Samples_reported")[1] + 3)
        edits.sort("Samples_sample_id", "Samples_sample_no")
        edits.sort("Diet_main", "Diet_row_no")
        edits.sort("Supplements_product", "Supplements_product_no")
        edits.rename("Plan", "What we feed")
        edits.workbook.move_sheet("Forages", 5)
        edits.workbook.move_sheet("Sources", -9)
    reading = read(path)
    assert reading.ranch == small_ranch()
    assert told(reading.problems) == ("Herd!E8: 'How many' is not part of the plan. It will not be"
                                      " carried over into a rebuilt workbook.")


def test_a_row_inserted_without_a_number_is_kept_where_the_table_is_a_list(path):
    with edited(path) as edits:
        edits.insert_rows("Herd", 8)
        for column, value in ((2, "Late calvers"), (4, 17), (5, 1100)):
            edits.workbook["Herd"].cell(8, column).value = value
        edits.insert_rows("Forages", 7)
        edits.workbook["Forages"].cell(7, 2).value = "Stubble"
    reading = read(path)
    expected = plain(small_ranch())
    expected["Herd"][4] = {"group": "Late calvers", "head": 17.0, "weight": 1100.0}
    expected["Forages"][3] = {"forage": "Stubble"}
    assert plain(reading.ranch) == expected
    assert "Herd!8:8: The row (Late calvers, 17, 1100) has no number." in told(reading.problems)


def test_a_row_inserted_into_a_plan_is_told_with_its_content(path):
    with edited(path) as edits:
        edits.insert_rows("Plan", 8)
        edits.workbook["Plan"].cell(8, edits.area("Plan_product")[1]).value = "Cube"
    reading = read(path)
    assert reading.ranch == small_ranch()
    assert "Plan!8:8: The row (Cube) has no number. Type it into a row that has one." in told(
        reading.problems)


def test_rows_typed_below_the_last_one_are_read_until_three_are_empty(path):
    with edited(path) as edits:
        bottom = edits.area("Samples_sample_id")[4]
        for row in (bottom + 2, bottom + 3, bottom + 8):
            edits.workbook["Samples"].cell(row, 2).value = f"B-{row}"
    reading = read(path)
    rows = plain(reading.ranch)["Samples"]
    assert [cells["sample_id"] for cells in rows.values()] == ["A-1", "A-2", "B-14", "B-15"]
    assert "Samples!B20: 'B-20' is not part of the plan." in told(reading.problems)


def test_more_rows_than_there_is_room_for_are_all_read(path):
    with edited(path) as edits:
        bottom = edits.area("Herd_group")[4]
        for row in range(bottom + 1, bottom + 4):
            edits.workbook["Herd"].cell(row, 2).value = f"Group {row}"
    ranch = read(path).ranch
    assert [cells["group"] for cells in plain(ranch)["Herd"].values()] == [
        "Spring cows", "Heifers", "Bulls", "Group 11", "Group 12", "Group 13"]
    assert ranch.sizes["group"] == 6


def test_a_copied_row_does_not_win_over_the_one_it_was_copied_from(path):
    with edited(path) as edits:
        herd = edits.workbook["Herd"]
        edits.insert_rows("Herd", 9)
        for column in range(1, herd.max_column + 1):
            herd.cell(9, column).value = herd.cell(7, column).value
        herd.cell(9, 4).value = 1
    reading = read(path)
    assert plain(reading.ranch)["Herd"][1]["head"] == 120
    assert plain(reading.ranch)["Herd"][4]["head"] == 1
    assert "has the number 1, as row 7 has. It is kept" in told(reading.problems)
    assert "Group 'Spring cows' stands there a second time, after Herd!B7" in told(reading.problems)


def test_a_deleted_row_of_the_herd_leaves_the_others_their_plans(path):
    with edited(path) as edits:
        edits.delete_row("Herd", 7)
    expected = plain(small_ranch())
    del expected["Herd"][1]
    reading = read(path)
    assert plain(reading.ranch) == expected
    assert reading.ranch.sizes["group"] == 4


def test_a_deleted_column_is_told_and_the_others_are_read(path):
    with edited(path) as edits:
        edits.delete_column("Herd", edits.area("Herd_weight")[1])
    reading = read(path)
    expected = plain(small_ranch())
    for cells in expected["Herd"].values():
        del cells["weight"]
    assert plain(reading.ranch) == expected
    assert "The column 'Weight, lb' is not there any more; nothing was read for it." in told(
        reading.problems)


def test_a_column_whose_name_is_lost_is_found_by_its_header(path):
    with edited(path) as edits:
        edits.header("Herd_weight").value = "  weight,  LB"
        edits.workbook.defined_names["Herd_weight"].attr_text = "Herd!#REF!"
        del edits.workbook.defined_names["Samples_reported"]
    reading = read(path)
    assert reading.ranch == small_ranch()
    assert "Herd!E6: The column 'Weight, lb' has lost its name and was found by its header" in told(
        reading.problems)


def test_a_header_that_stands_twice_is_not_guessed_at(path):
    with edited(path) as edits:
        del edits.workbook.defined_names["Forages_kind"]
        edits.workbook["Forages"].cell(6, 60).value = edits.header("Forages_forage").offset(
            0, 1).value
    reading = read(path)
    assert "kind" not in plain(reading.ranch)["Forages"][1]
    assert "stands there more than once; nothing was read for it" in told(reading.problems)


def test_all_names_lost_still_leaves_the_sheets_headers(path):
    with edited(path) as edits:
        for name in list(edits.workbook.defined_names):
            if name.startswith(("Diet_", "Forages_")):
                del edits.workbook.defined_names[name]
    assert read(path).ranch == small_ranch()


def test_deleted_sheets_are_told(path):
    with edited(path) as edits:
        for title in ("Quality", "Sources"):
            del edits.workbook[title]
            for name, defined in list(edits.workbook.defined_names.items()):
                if defined.attr_text.startswith(title + "!"):
                    edits.workbook.defined_names[name] = DefinedName(name, attr_text="#REF!")
    reading = read(path)
    expected = plain(small_ranch())
    del expected["Quality"]
    assert plain(reading.ranch) == expected
    assert reading.ranch.us and reading.ranch.sizes == small_ranch().sizes
    assert "The sheet Quality is not there any more" in told(reading.problems)


def test_the_number_of_months_changed_by_hand_shifts_no_choice(path):
    with edited(path) as edits:
        edits.cell("months").value = 6
    reading = read(path)
    assert reading.ranch == small_ranch()
    assert "The number of months is 6; 4 was taken, as the rows say." in told(reading.problems)


def test_what_is_not_ours_is_noted_and_not_taken_for_entries(path):
    with edited(path) as edits:
        book = edits.workbook
        book.create_sheet("My notes")["A1"] = "call the vet"
        book["Herd"]["B2"] = "remember the bulls"
        book["Start"]["H3"] = 12.5
        book["Plan"]["A5"].comment = Comment("why?", "someone")
        chart = BarChart()
        chart.add_data(Reference(book["Herd"], min_col=4, min_row=7, max_row=9))
        book["Diet"].add_chart(chart, "Z3")
        edits.cell("Plan_season_usd").value = 5000
    reading = read(path)
    assert reading.ranch == small_ranch()
    listed = told(reading.problems)
    for words in ("My notes: This sheet is not one of Haymow's.", "Herd!B2: 'remember the bulls'",
                  "Start!H3: '12.5'", "Plan: The comments there", "Diet: The pictures or charts",
                  "5000 is typed over a formula"):
        assert words in listed
    assert len(reading.problems) == 6


def test_the_row_none_stays_and_what_is_typed_over_it_is_kept(path):
    with edited(path) as edits:
        edits.cell("Supplements_product", 1).value = "Corn"
        edits.cell("Supplements_price", 1).value = 200
    reading = read(path)
    assert plain(reading.ranch)["Supplements"][4]["product"] == "Corn"
    assert plain(reading.ranch)["Supplements"][4]["price"] == 200
    assert "'Corn' is typed over the row 'none', which stays." in told(reading.problems)


def test_a_changed_first_month_is_noticed(path):
    with edited(path) as edits:
        edits.cell("first_month").value = dt.datetime(2026, 12, 1)
    assert "The first month was changed from Oct 2026 to Dec 2026" in told(read(path).problems)


def test_dates_of_a_workbook_that_counts_from_1904_are_right(path):
    with edited(path) as edits:
        edits.workbook.epoch = dt.datetime(1904, 1, 1)
        for name, number, day in (("Herd_first_calf_on", 1, dt.datetime(2027, 3, 1)),
                                  ("Samples_sampled_on", 1, dt.datetime(2026, 10, 5)),
                                  ("Plan_from_on", 3, dt.datetime(2026, 11, 12)),
                                  ("first_month", 1, dt.datetime(2026, 10, 1)),
                                  ("choices_for", 1, dt.datetime(2026, 10, 1))):
            edits.cell(name, number).value = day
    assert read(path).ranch == small_ranch()


def test_problems_list_doubts_then_what_rows_miss_then_what_holds_the_plan_back(path):
    with edited(path) as edits:
        edits.cell("Herd_class_name", 3).value = None
        edits.cell("Plan_most", 1).value = 0.1
    listed = told(problems(path))
    assert "Herd!B9 (Bulls): Choose a class of the list." in listed
    assert "Plan!E7 (Spring cows, Cube): limit" in listed


@pytest.mark.referee
def test_a_workbook_saved_by_another_program_holds_the_same(path, tmp_path):
    [saved] = referee.recalculated([path], tmp_path / "saved")
    reading = read(saved)
    assert reading.ranch == small_ranch()
    assert reading.version and reading.problems == ()
