"""The finishing step: results in every formula cell, the same bytes twice, names kept as text."""

from __future__ import annotations

import math
import time
import zipfile
from pathlib import Path
from xml.etree import ElementTree

import pytest
from openpyxl import Workbook, load_workbook

from haymow.ranch import Ranch
from haymow.workbook.build import build
from haymow.workbook.seal import Unsealed, seal
from small_ranch import small_ranch, without

NAMES = ('=2+2', '=HYPERLINK("http://x","y")', '+1', '-1', '@SUM(1)', '<b>', '"quoted"', "'single",
         'hay & "straw" <3 lots>', "Café 1 µ", "1e5", "TRUE", "#REF!")


def named() -> Ranch:
    """The small ranch with a group and a forage of each name."""
    ranch = small_ranch(group=len(NAMES), forage=len(NAMES), month=2, line=1)
    for row, name in enumerate(NAMES, 1):
        cow = {**ranch.entries["Herd"][1], "group": name, "usual_forage": name}
        for table, cells in (("Herd", cow), ("Forages", {"forage": name, "kind": "native range"})):
            for column, value in cells.items():
                ranch = without(ranch, table, row, column, value)
    return ranch


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("seal") / "plan.xlsx"
    build(small_ranch(), path)
    return path


@pytest.mark.parametrize("us", [True, False], ids=["us", "metric"])
def test_the_same_ranch_gives_the_same_bytes(tmp_path, us):
    build(small_ranch(us), tmp_path / "one.xlsx")
    time.sleep(1.1)  # a time of day in the file would show
    build(small_ranch(us), tmp_path / "two.xlsx")
    assert (tmp_path / "one.xlsx").read_bytes() == (tmp_path / "two.xlsx").read_bytes()


def test_a_changed_entry_gives_other_bytes(tmp_path, path):
    build(without(small_ranch(), "Herd", 1, "head", 101), tmp_path / "other.xlsx")
    assert (tmp_path / "other.xlsx").read_bytes() != path.read_bytes()


def test_every_formula_cell_carries_the_value_that_build_promised(tmp_path):
    path = tmp_path / "plan.xlsx"
    cached = build(small_ranch(), path)
    formulas, shown = load_workbook(path), load_workbook(path, data_only=True)
    found = 0
    for sheet in formulas:
        for cell in (c for row in sheet.iter_rows() for c in row if c.data_type == "f"):
            want = cached[sheet.title][cell.coordinate]
            got = shown[sheet.title][cell.coordinate]
            if isinstance(want, float) and not got.is_date:
                assert got.value == want, (sheet.title, cell.coordinate)
            elif isinstance(want, str):  # openpyxl reads an empty string as nothing
                assert (got.value or "") == want, (sheet.title, cell.coordinate)
            found += 1
    assert found == sum(map(len, cached.values())) > 1000


def test_no_formula_cell_of_the_file_is_without_a_stored_value(path):
    """In the file itself: a blank is an empty text, never a missing value."""
    with zipfile.ZipFile(path) as parts:
        sheets = [n for n in parts.namelist() if n.startswith("xl/worksheets/sheet")]
        for name in sheets:
            for cell in ElementTree.fromstring(parts.read(name)).iter():
                formula = next((c for c in cell if c.tag.endswith("}f")), None)
                if cell.tag.endswith("}c") and formula is not None:
                    value = next((c for c in cell if c.tag.endswith("}v")), None)
                    assert value is not None, (name, cell.get("r"))
                    assert value.text or cell.get("t") == "str", (name, cell.get("r"))


def test_names_stay_the_text_they_are(tmp_path):
    path = tmp_path / "plan.xlsx"
    build(named(), path)
    workbook, shown = load_workbook(path), load_workbook(path, data_only=True)
    for table in ("Herd_group", "Forages_forage"):
        sheet, _, area = workbook.defined_names[table].attr_text.replace("$", "").partition("!")
        cells = [row[0] for row in workbook[sheet][area]]
        assert [(cell.value, cell.data_type) for cell in cells] == [(n, "s") for n in NAMES]
    sentences = [cell.value for row in shown["Start"].iter_rows() for cell in row
                 if isinstance(cell.value, str)]
    for name in NAMES:
        assert sum(said.startswith(f"{name}: ") for said in sentences) == 1, name
    with zipfile.ZipFile(path) as parts:
        for part in (n for n in parts.namelist() if n.endswith(".xml")):
            ElementTree.fromstring(parts.read(part))


def plain(path: Path, title: str = "One & two") -> Path:
    workbook = Workbook()
    workbook.active.title = title
    workbook.active["A1"] = 'of "hay" & <straw>'
    workbook.active["B1"], workbook.active["B2"] = "=A1", '=IF(A1="x & y","<",2)'
    workbook.save(path)
    return path


def test_sheet_names_formulas_and_values_with_signs_of_markup_are_kept(tmp_path):
    path = plain(tmp_path / "plan.xlsx")
    seal(path, {"One & two": {"B1": 'of "hay" & <straw>', "B2": 2.0}})
    formulas, shown = load_workbook(path)["One & two"], load_workbook(path, data_only=True)
    assert shown["One & two"]["B1"].value == shown["One & two"]["A1"].value == 'of "hay" & <straw>'
    assert (formulas["B2"].value, shown["One & two"]["B2"].value) == ('=IF(A1="x & y","<",2)', 2)


@pytest.mark.parametrize(("values", "words"), [
    ({"B1": "x"}, r"One & two!B2 has a formula but the engine gave no value"),
    ({}, r"One & two!B1 has a formula"),
    ({"B1": "x", "B2": math.nan}, "nan is no value a cell can show"),
    ({"B1": "x", "B2": math.inf}, "inf is no value a cell can show"),
    ({"B1": "x", "B2": None}, "None is no value a cell can show"),
])
def test_a_formula_without_a_value_stops_the_build_and_leaves_the_file(tmp_path, values, words):
    path = plain(tmp_path / "plan.xlsx")
    before = path.read_bytes()
    with pytest.raises(Unsealed, match=words):
        seal(path, {"One & two": values})
    assert path.read_bytes() == before
    assert list(tmp_path.iterdir()) == [path]
    assert load_workbook(path, data_only=True)["One & two"]["B2"].value is None


@pytest.mark.parametrize(("value", "want"), [
    (-0.0, "0"), (0.0, "0"), (3.0, "3"), (1 / 3, "0.3333333333333333"), (1e-9, "1e-09"),
])
def test_a_number_is_stored_to_its_last_digit_and_never_as_minus_zero(tmp_path, value, want):
    path = plain(tmp_path / "plan.xlsx")
    seal(path, {"One & two": {"B1": "", "B2": value}})
    with zipfile.ZipFile(path) as parts:
        text = parts.read("xl/worksheets/sheet1.xml").decode()
    assert f"<v>{want}</v></c>" in text
    assert '<c r="B1" t="str"><f>A1</f><v></v></c>' in text
