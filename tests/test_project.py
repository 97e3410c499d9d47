"""Workbooks with macros, made anew: the macros stay, read by two independent readers."""

from __future__ import annotations

import re
import shutil
import zipfile
from pathlib import Path

import pytest
from openpyxl import load_workbook
from pyopenvba import ExcelFile, check_file

import referee
from haymow import demo
from haymow.cli import main
from haymow.excel import macros
from haymow.problems import InputError
from haymow.workbook.build import build
from haymow.workbook.opened import Opened
from haymow.workbook.read import read
from haymow.workbook.rebuild import rebuild, save
from haymow.workbook.template import MADE_FOR, OUTCOME, _add_project, links, vba_modules
from test_macros import LAB_REPORT, SMALL, Book
from test_templates import FOLDER, parts, read_by_oletools

PROJECT = "xl/vbaProject.bin"


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    """A small workbook with our macros, as the templates are made."""
    path = tmp_path_factory.mktemp("project") / "ranch.xlsm"
    build(SMALL, path, links)
    _add_project(path, vba_modules(FOLDER), (FOLDER / "this_workbook.bas").read_text("ascii"))
    return path


@pytest.fixture
def workbook(made, tmp_path):
    return Path(shutil.copy(made, tmp_path))


def code_names(path):
    """Sheet -> the name by which the code calls it; "" for the workbook."""
    book = load_workbook(path, keep_vba=True)
    return {"": book.code_name, **{s.title: s.sheet_properties.codeName for s in book}}


def test_a_rebuild_keeps_the_macros_byte_for_byte_and_the_file_as_it_was(workbook, made):
    done = rebuild(workbook, sizes={"group": 3})
    assert done.ranch.sizes["group"] == 3 and done.problems == ()
    assert parts(workbook)[PROJECT] == parts(made)[PROJECT]
    assert done.backup.suffix == ".xlsm" and done.backup.read_bytes() == made.read_bytes()


def test_two_readers_find_the_same_code_after_a_rebuild(workbook, made):
    rebuild(workbook)
    assert check_file(workbook).ok
    with ExcelFile(workbook) as ours, ExcelFile(made) as before:
        assert ours.vba_modules() == before.vba_modules()
    code = read_by_oletools(workbook)
    assert code == read_by_oletools(made)
    assert "AskPython" in code["HaymowMacros"] and "FollowLink" in code["ThisWorkbook"]


def test_the_code_still_finds_workbook_and_sheets_by_its_own_names(workbook, made):
    rebuild(workbook)
    names = code_names(workbook)
    assert names == code_names(made)
    assert names[""] == "ThisWorkbook" and None not in names.values()


def test_a_sheet_that_was_renamed_keeps_its_name_in_the_code(workbook):
    book = load_workbook(workbook, keep_vba=True)
    known = book["Herd"].sheet_properties.codeName
    book["Herd"].title = "Our cows"
    for defined in book.defined_names.values():
        defined.attr_text = re.sub(r"^Herd!", "'Our cows'!", defined.attr_text)
    book.save(workbook)
    rebuild(workbook)
    assert code_names(workbook)["Herd"] == known


def test_the_parts_of_the_file_say_that_it_holds_macros(workbook):
    rebuild(workbook)
    found = parts(workbook)
    types, related = found["[Content_Types].xml"], found["xl/_rels/workbook.xml.rels"]
    assert b"sheet.macroEnabled.main+xml" in types and b"ms-office.vbaProject" in types
    assert related.count(b"relationships/vbaProject") == 1
    assert list(found) == sorted(found)


def test_a_lab_report_is_read_into_a_workbook_with_macros(workbook, made, capsys):
    assert main(["import-lab", str(LAB_REPORT), "--into", str(workbook)]) in (0, 1)
    assert "the file as it was: ranch.bak-" in capsys.readouterr().out
    assert len(read(workbook).ranch.entries["Samples"]) > 3
    assert parts(workbook)[PROJECT] == parts(made)[PROJECT]


def test_links_and_the_version_their_macros_are_from_stay(workbook):
    book = load_workbook(workbook, keep_vba=True)
    sheet, cell = book.defined_names[MADE_FOR].attr_text.replace("$", "").split("!")
    book[sheet][cell] = "0.30.1"  # the macros of an older one; the installed one is another
    book.save(workbook)
    rebuild(workbook)
    assert Opened(workbook).cell(MADE_FOR)[0].value == "0.30.1"
    assert Opened(workbook).cell("macro_import_lab")[0].value == "Import a lab report"
    outcome = macros.perform(Book(workbook), "check")
    assert not outcome.said.startswith("Stopped")


def test_nothing_of_ours_is_reported_as_left_behind(workbook):
    book = Book(workbook)
    macros.perform(book, "check")  # leaves words on Checks
    book.opened.save(workbook)
    area = Opened(workbook).names[OUTCOME]
    assert Opened(workbook).grid(area.sheet)[area.top, area.left].value
    assert [p for p in read(workbook).problems if "carried over" in p.what] == []


def test_macros_of_ones_own_are_kept_and_get_no_links_of_ours(tmp_path):
    path = tmp_path / "own.xlsm"
    build(SMALL, path)
    _add_project(path, {"Mine": 'Attribute VB_Name = "Mine"\nPublic Sub Hello()\nEnd Sub\n'}, "")
    rebuild(path)
    assert "Public Sub Hello()" in read_by_oletools(path)["Mine"]
    assert OUTCOME not in Opened(path).names


def test_an_xlsm_without_macros_is_refused_in_one_sentence(workbook, tmp_path):
    path = tmp_path / "renamed.xlsm"
    build(SMALL, path)
    before = path.read_bytes()
    with pytest.raises(InputError, match=r"renamed\.xlsm holds no macros; save it as \.xlsx"):
        rebuild(path)
    assert path.read_bytes() == before


def test_a_new_workbook_with_macros_is_not_made_from_nothing(tmp_path):
    with pytest.raises(InputError, match=r"does not end in \.xlsx"):
        save(demo.ranch(), tmp_path / "new.xlsm")


def test_newer_macros_are_taken_from_another_workbook(workbook, made, tmp_path, capsys):
    old = load_workbook(workbook, keep_vba=True)
    sheet, cell = old.defined_names[MADE_FOR].attr_text.replace("$", "").split("!")
    old[sheet][cell] = "0.30.1"
    old.save(workbook)
    mine = tmp_path / "own.xlsm"
    shutil.copy(workbook, mine)
    assert main(["rebuild", str(mine), "--macros", str(made)]) == 0
    assert Opened(mine).cell(MADE_FOR)[0].value == Opened(made).cell(MADE_FOR)[0].value != "0.30.1"
    assert parts(mine)[PROJECT] == parts(made)[PROJECT]
    assert read(mine).ranch.entries == read(workbook).ranch.entries


def test_a_workbook_without_macros_gets_them_in_a_file_beside_it(made, tmp_path, capsys):
    plain = tmp_path / "ranch.xlsx"
    build(SMALL, plain)
    before = plain.read_bytes()
    assert main(["rebuild", str(plain), "--macros", str(made)]) == 0
    assert "ranch.xlsm; the file as it was: ranch.xlsx" in capsys.readouterr().out
    other = tmp_path / "ranch.xlsm"
    assert plain.read_bytes() == before and "AskPython" in read_by_oletools(other)["HaymowMacros"]
    assert read(other).ranch.entries == read(plain).ranch.entries
    kept = other.read_bytes()
    assert main(["rebuild", str(plain), "--macros", str(made)]) == 2  # never over the other one
    assert "ranch.xlsm exists and is left as it is" in capsys.readouterr().err
    assert other.read_bytes() == kept


def test_macros_from_a_file_without_any_are_refused(workbook, tmp_path, capsys):
    plain = tmp_path / "plain.xlsx"
    build(SMALL, plain)
    before = workbook.read_bytes()
    assert main(["rebuild", str(workbook), "--macros", str(plain)]) == 2
    assert "plain.xlsx holds no macros" in capsys.readouterr().err
    assert workbook.read_bytes() == before


def test_another_library_keeps_the_macros_of_a_rebuilt_workbook(workbook, made, tmp_path):
    rebuild(workbook)
    load_workbook(workbook, keep_vba=True).save(tmp_path / "again.xlsm")
    assert parts(tmp_path / "again.xlsm")[PROJECT] == parts(made)[PROJECT]


def test_the_same_workbook_is_rebuilt_to_the_same_parts(workbook, tmp_path):
    other = Path(shutil.copy(workbook, tmp_path / "other.xlsm"))
    rebuild(workbook)
    rebuild(other)
    assert parts(workbook) == parts(other)
    with zipfile.ZipFile(workbook) as archive:
        assert {info.date_time for info in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}


@pytest.mark.referee
def test_another_spreadsheet_program_opens_it_and_agrees_with_its_values(workbook, tmp_path):
    rebuild(workbook)
    formulas, values = load_workbook(workbook), load_workbook(workbook, data_only=True)
    shown = {sheet.title: {cell.coordinate: values[sheet.title][cell.coordinate].value
                           for row in sheet.iter_rows() for cell in row if cell.data_type == "f"}
             for sheet in formulas}
    assert referee.check([(workbook, shown)], tmp_path / "again") == []
