"""Bad input: one sentence with the cell, what was expected and what to do; nothing is lost."""

from __future__ import annotations

import datetime as dt
import io
import re
import shutil
import struct
import zipfile

import pytest
from openpyxl import Workbook

from edits import edited, plain, small_ranch, told
from haymow.problems import InputError
from haymow.ranch import Ranch
from haymow.workbook import guard
from haymow.workbook.build import build
from haymow.workbook.read import problems, read
from haymow.workbook.rebuild import rebuild, save

OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(600)


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    path = tmp_path_factory.mktemp("built") / "ranch.xlsx"
    build(small_ranch(), path)
    return path


@pytest.fixture
def path(built, tmp_path):
    return shutil.copy(built, tmp_path / "ranch.xlsx")


def expected_with(table: str, row: int, name: str, value: object) -> dict[str, object]:
    entries = plain(small_ranch())
    cells = entries[table][row]
    if value is None:
        del cells[name]
    else:
        cells[name] = value
    return entries


CELLS = {  # name, row, analyte, typed, read as, words
    "a word for a number": (
        "Herd_weight", 1, "", "heavy", None,
        "Herd!E7: Weight is 'heavy'; expected a number in lb. It was left out. Type a number in lb"
        " there."),
    "a number as text": (
        "Herd_weight", 1, "", " 1,150 ", 1150.0,
        "Herd!E7: Weight holds the text ' 1,150 '; it was read as the number 1150. Type it as a"
        " number."),
    "a number with its unit": ("Herd_weight", 1, "", "1150 lb", 1150.0, "read as the number 1150"),
    "a number with another unit": ("Herd_weight", 1, "", "500 kg", 1102.31131, "number 1102.31"),
    "a decimal comma": ("Herd_weight", 1, "", "1150,5", None, "Weight is '1150,5'; expected"),
    "below detection": ("Samples_reported", 1, "cp", "<0.5", None,
                        "Reported: CP is '<0.5'; expected a number in %."),
    "true or false": ("Herd_head", 1, "", True, None, "is TRUE; expected a number"),
    "an error": ("Herd_head", 1, "", "#N/A", None, "holds the error #N/A"),
    "a date for a number": ("Herd_head", 1, "", dt.datetime(2026, 1, 2), None, "the date or time"),
    "a formula never worked out": ("Herd_head", 1, "", "=60*2", None, "without a stored result"),
    "a word for a date": ("Herd_first_calf_on", 1, "", "next spring", None,
                          "is 'next spring'; expected a date"),
    "a date that can be read two ways": ("Herd_first_calf_on", 1, "", "3/4/2027", None,
                                         "expected a date"),
    "a date as text": ("Herd_first_calf_on", 1, "", "2027-03-04", dt.date(2027, 3, 4),
                       "read as Mar 4, 2027"),
    "a number for a name": ("Samples_sample_id", 1, "", 4567, "4567", "zeros before it"),
    "a date for a name": ("Samples_sample_id", 1, "", dt.datetime(2026, 8, 27), "2026-08-27",
                          "it may have been 8-27"),
    "out of range": (
        "Herd_weight", 1, "", 12, 12.0, "Herd!E7: Weight is 12 lb; expected"),
    "more than all": ("Samples_reported", 1, "cp", 612, 612.0, "CP is 612 %; expected 0 to 100."),
    "a year too early": ("Herd_first_calf_on", 1, "", dt.datetime(1927, 3, 1), dt.date(1927, 3, 1),
                         "expected a day from 2000 to 2099"),
    "an unknown name": (
        "Herd_class_name", 1, "", "llama", "llama", "Class is 'llama', which is not in its list."),
    "a nearly right name": (
        "Herd_usual_forage", 2, "", "Medow hay", "Medow hay",
        "Runs on is 'Medow hay', which is not on Forages. Did you mean 'Meadow hay'? Choose it from"
        " the list, or describe it on Forages."),
    "a blank behind a name": (
        "Plan_product", 1, "", "Cube ", "Cube ", "has a blank before or after"),
    "a pasture never described": (
        "Diet_main", 1, "", "Badlands", "Badlands", "Main forage is 'Badlands', which is not on"),
    "a name with a wildcard": ("Forages_forage", 1, "", "Creek*", "Creek*",
                               "a spreadsheet takes * in a name for any letters"),
}


@pytest.mark.parametrize("case", CELLS)
def test_a_doubtful_cell_is_told_in_one_sentence_and_the_rest_is_read(case, path):
    name, row, analyte, typed, value, words = CELLS[case]
    with edited(path) as edits:
        cell = edits.cell(name, row, analyte)
        cell.value = typed
        if isinstance(typed, str) and typed.startswith("#"):
            cell.data_type = "e"
        where = f"{cell.parent.title}!{cell.coordinate}: "
    reading = read(path)
    entry = name.partition("_")[2] + (f".{analyte}" if analyte else "")
    assert plain(reading.ranch) == {
        table: {n: {k: pytest.approx(v) if isinstance(v, float) else v for k, v in cells.items()}
                for n, cells in rows.items()}
        for table, rows in expected_with(name.partition("_")[0], row, entry, value).items()}
    said = [str(problem) for problem in reading.problems if str(problem).startswith(where)]
    assert words in said[0]


def test_a_percentage_is_read_as_it_is_shown_and_a_percent_sign_in_quotes_is_none(path):
    with edited(path) as edits:
        for row, form in ((1, "0.0%"), (2, '0.0"%"')):
            edits.cell("Samples_reported", row, "cp").value = 0.075
            edits.cell("Samples_reported", row, "cp").number_format = form
    reading = read(path)
    samples = plain(reading.ranch)["Samples"]
    assert (samples[1]["reported.cp"], samples[2]["reported.cp"]) == (7.5, 0.075)
    assert "formatted as a percentage and holds 0.075; it was read as 7.5" in told(reading.problems)


def test_a_formula_in_an_entry_cell_gives_its_stored_result(path):
    with edited(path) as edits:
        edits.cell("Herd_head", 1).value = "=60*2"
        cell = edits.cell("Herd_head", 1).coordinate
    _store(path, "Herd", cell, "123")
    reading = read(path)
    assert plain(reading.ranch)["Herd"][1]["head"] == 123
    assert f"Herd!{cell}: Head holds a formula; its result 123 was taken." in told(reading.problems)


def _store(path, sheet, cell, value):
    """Give the one formula cell of a saved workbook a stored result, as Excel does."""
    with zipfile.ZipFile(path) as old:
        parts = {name: old.read(name) for name in old.namelist()}
    for name, data in parts.items():
        if name.startswith("xl/worksheets/sheet") and b">60*2<" in data:
            parts[name] = re.sub(rb"<f>60\*2</f><v\s*/?>(</v>)?",
                                 b"<f>60*2</f><v>" + value.encode() + b"</v>", data)
    with zipfile.ZipFile(path, "w") as new:
        for name, data in parts.items():
            new.writestr(name, data)


def test_two_of_the_same_name_are_both_kept_and_told(path):
    with edited(path) as edits:
        edits.cell("Forages_forage", 2).value = "creek PASTURE"
    reading = read(path)
    assert plain(reading.ranch)["Forages"][2]["forage"] == "creek PASTURE"
    assert ("Forages!B8: Forage 'creek PASTURE' stands there a second time, after Forages!B7; the"
            " first one counts wherever it is named. Give one of them another name."
            ) in told(reading.problems)


def test_a_group_that_calves_without_a_date_is_asked_for_it(path):
    with edited(path) as edits:
        edits.cell("Herd_first_calf_on", 1).value = None
    assert "Herd!B7 (Spring cows): When is the first calf due?" in told(problems(path))


def test_a_setting_out_of_its_limits_or_blank_or_not_a_number_is_told(path):
    with edited(path) as edits:
        edits.cell("activity_pct").value = 400
        edits.cell("milk_fat_pct").value = None
        edits.cell("intake_rule").value = "both"
    reading = read(path)
    listed = told(reading.problems)
    assert reading.ranch.settings["activity_pct"] == 400
    assert "Extra energy for walking on range is 400 %; expected 0 to 60." in listed
    assert "Milk fat is blank; the usual value 4 is taken." in listed
    assert " is 'both'; expected a number, 1 to" in listed


def zipped(**parts: bytes) -> bytes:
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in parts.items():
            archive.writestr(name.replace("__", "."), content)
    return data.getvalue()


def other_workbook(**cells: object) -> bytes:
    workbook = Workbook()
    for cell, value in cells.items():
        workbook.active[cell] = value
    data = io.BytesIO()
    workbook.save(data)
    return data.getvalue()


FILES = {
    "empty file": (b"", r"plan\.xlsx is empty \(0 bytes\)"),
    "empty workbook": (other_workbook(), r"plan\.xlsx is an empty workbook; 'haymow new'"),
    "workbook of something else": (other_workbook(A1="Invoice", B2=12),
                                   r"plan\.xlsx was not made by Haymow"),
    "text": (b"group,head\ncows,12\n", r"plan\.xlsx is not a workbook; expected an \.xlsx file"),
    "old workbook": (OLE, r"plan\.xlsx is an old \.xls workbook; save it as \.xlsx"),
    "password": (OLE + "EncryptedPackage".encode("utf-16-le"), r"plan\.xlsx has a password"),
    "OpenDocument": (zipped(content__xml=b"<a/>"), r"plan\.xlsx is an OpenDocument file"),
    "zip file": (zipped(picture__png=b"1"), r"plan\.xlsx is a zip file, not an \.xlsx workbook"),
    "binary workbook": (zipped(**{"xl/workbook.bin": b"1"}), r"plan\.xlsx is a binary workbook"),
    "document type": (zipped(**{"xl/workbook.xml": b'<?xml version="1.0"?><!DOCTYPE a [<!ENTITY b '
                                                   b'"c">]><workbook>&b;</workbook>'}),
                      r"plan\.xlsx is no ordinary workbook"),
    "wide document type": (zipped(**{"xl/workbook.xml": "<!DOCTYPE a><a/>".encode("utf-16")}),
                           r"plan\.xlsx is no ordinary workbook"),
    "climbing name": (zipped(**{"xl/workbook.xml": b"<a/>", "../../evil": b"1"}),
                      r"plan\.xlsx is no ordinary workbook"),
    "broken part": (zipped(**{"xl/workbook.xml": b"<workbook>"}), r"plan\.xlsx is damaged"),
}


@pytest.mark.parametrize("case", FILES)
def test_a_file_that_is_no_workbook_of_ours_is_refused_in_one_sentence(case, tmp_path):
    content, words = FILES[case]
    path = tmp_path / "plan.xlsx"
    path.write_bytes(content)
    with pytest.raises(InputError, match=words):
        read(path)
    with pytest.raises(InputError, match=words):
        rebuild(path)
    assert path.read_bytes() == content
    assert [each.name for each in tmp_path.iterdir()] == ["plan.xlsx"]


def test_a_cut_off_workbook_is_refused(path):
    path.write_bytes(path.read_bytes()[:20_000])
    with pytest.raises(InputError, match=r"ranch\.xlsx is damaged and cannot be opened"):
        read(path)


def test_a_part_that_lies_about_its_size_is_caught_by_counting(tmp_path, monkeypatch):
    monkeypatch.setattr(guard, "MOST_PART_BYTES", 1_000_000)
    data = zipped(**{"xl/workbook.xml": b"<a/>", "xl/bomb.xml": b" " * 3_000_000})
    place = data.index(b"PK\x01\x02", data.index(b"PK\x01\x02") + 1)  # the bomb's directory entry
    path = tmp_path / "plan.xlsx"
    path.write_bytes(data[:place + 24] + struct.pack("<I", 100) + data[place + 28:])
    with pytest.raises(InputError, match=r"no ordinary workbook|damaged"):
        read(path)
    path.write_bytes(data)
    with pytest.raises(InputError, match="no ordinary workbook"):
        read(path)


def test_a_missing_workbook_a_folder_and_an_owner_mark_are_named(tmp_path):
    with pytest.raises(InputError, match=r"There is no file .*plan\.xlsx; check its name"):
        read(tmp_path / "plan.xlsx")
    with pytest.raises(InputError, match=r"is a folder; give the workbook in it"):
        read(tmp_path)
    (tmp_path / "~$plan.xlsx").write_bytes(b"owner")
    with pytest.raises(InputError, match=r"only marks a workbook that is open; give the workbook"):
        read(tmp_path / "~$plan.xlsx")


@pytest.mark.parametrize(("version", "words"), [
    ("99.0.0", r"was made by Haymow 99\.0\.0, which is newer than this one"),
    ("0.0.7", r"was made by Haymow 0\.0\.7, which is too old to be read"),
])
def test_a_workbook_of_a_version_that_cannot_be_read_says_so(version, words, path):
    with edited(path) as edits:
        edits.cell("made_by_version").value = version
    with pytest.raises(InputError, match=words):
        read(path)


def test_an_output_that_exists_is_not_overwritten(path):
    before = path.read_bytes()
    with pytest.raises(InputError, match=r"ranch\.xlsx exists and was not overwritten"):
        save(small_ranch(), path)
    assert path.read_bytes() == before


@pytest.mark.parametrize(("name", "words"), [
    ("plan.xls", r"plan\.xls does not end in \.xlsx"), ("plan.xlsm", r"does not end in \.xlsx"),
    ("gone/plan.xlsx", "There is no folder .*gone"), ("", "is a folder"),
])
def test_an_output_that_cannot_be_written_is_refused_before_anything_is_made(name, words, tmp_path):
    with pytest.raises(InputError, match=words):
        save(small_ranch(), tmp_path / name)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(("text", "words"), [
    ("Creek? pasture", r"Forages row 1: Forage is 'Creek\? pasture'; a spreadsheet takes \?"),
    ("Creek\x07pasture", "holds a sign that no cell can"),
])
def test_a_name_that_formulas_would_not_find_is_not_written(text, words, tmp_path):
    ranch = Ranch({"Forages": {1: {"forage": text}}}, sizes=small_ranch().sizes)
    with pytest.raises(InputError, match=words):
        save(ranch, tmp_path / "plan.xlsx")
    assert list(tmp_path.iterdir()) == []
