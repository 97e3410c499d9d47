"""The finishing step: results in every formula cell, the same bytes twice, names kept as text."""

from __future__ import annotations

import math
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


def named(name: str) -> Ranch:
    """The small ranch with this name for its first group and forage."""
    ranch = without(small_ranch(), "Herd", 1, "group", name)
    ranch = without(ranch, "Herd", 1, "usual_forage", name)
    return without(ranch, "Forages", 1, "forage", name)


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("seal") / "plan.xlsx"
    build(small_ranch(), path)
    return path


@pytest.mark.parametrize("us", [True, False], ids=["us", "metric"])
def test_the_same_ranch_gives_the_same_bytes(tmp_path, us):
    build(small_ranch(us), tmp_path / "one.xlsx")
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


@pytest.mark.parametrize("name", NAMES)
def test_a_name_stays_the_text_it_is(tmp_path, name):
    path = tmp_path / "plan.xlsx"
    build(named(name), path)
    workbook, shown = load_workbook(path), load_workbook(path, data_only=True)
    where = workbook.defined_names["Herd_group"].attr_text.replace("$", "").split("!")[1]
    typed = workbook["Herd"][where.split(":")[0]]
    assert (typed.value, typed.data_type) == (name, "s")
    sentences = [cell.value for row in shown["Start"].iter_rows() for cell in row
                 if isinstance(cell.value, str) and cell.value.startswith(f"{name}: ")]
    assert len(sentences) == 1
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
def test_a_formula_cell_without_a_value_stops_the_build_and_leaves_the_file(tmp_path, values, words):
    path = plain(tmp_path / "plan.xlsx")
    before = path.read_bytes()
    with pytest.raises(Unsealed, match=words):
        seal(path, {"One & two": values})
    assert path.read_bytes() == before
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
