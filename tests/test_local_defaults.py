"""Defaults of an area: one file carried into a new workbook, each marked local with its source."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from openpyxl import load_workbook

from haymow.cli import main
from haymow.evaluate import Values
from haymow.problems import InputError
from haymow.ranch import Ranch, sizes_for
from haymow.tables.make import make
from haymow.tables.season import BUILT_IN
from haymow.units import KG_PER_LB, TONNE_PER_TON
from haymow.workbook.defaults import with_defaults
from haymow.workbook.read import read

EXAMPLE = Path(__file__).parents[1] / "demo" / "local-defaults.toml"
HEAD = 'area = "Home"\nsource = "Home record"\n'


def blank(us: bool = True) -> Ranch:
    sizes = {**sizes_for({}), "group": 1, "forage": 2, "product": 4, "sample": 2, "month": 2,
             "line": 1}
    return Ranch(settings={"first_month": dt.date(2026, 10, 1)}, sizes=sizes, us=us)


def taken(tmp_path: Path, text: str, us: bool = True) -> Ranch:
    path = tmp_path / "home.toml"
    path.write_text(HEAD + text, "utf-8")
    return with_defaults(blank(us), path)


@pytest.fixture(scope="module")
def workbook(tmp_path_factory) -> Path:
    path = tmp_path_factory.mktemp("local") / "ranch.xlsx"
    sizes = {"groups": 1, "forages": 2, "products": 3, "samples": 2, "lines": 1, "months": 2}
    words = [word for name, size in sizes.items() for word in (f"--{name}", str(size))]
    assert main(["new", str(path), "--defaults", str(EXAMPLE), "--first-month", "2026-10",
                 *words]) == 0
    return path


# --- where they show
def test_start_shows_local_settings_cautions_and_contacts_with_their_source(workbook):
    sheet = load_workbook(workbook, data_only=True)["Start"]
    rows = {row[1].value: row for row in sheet.iter_rows() if row[1].value}
    price = rows["Price of protein"]
    assert price[2].value == 0.58
    assert price[5].value == "local: Bench Feed, price list, invented"
    told = [str(text) for text in rows]
    assert any("sulfate" in text and "(local: well tests of 2024" in text for text in told)
    assert any(text.startswith("Veterinarian: Dr. A. Sample") and text.endswith("(local)")
               for text in told)
    assert "Whom to ask" in told and any("not a diagnosis" in text for text in told)


def test_curves_feeds_and_sources_say_local_too(workbook):
    book = load_workbook(workbook, data_only=True)
    said = {title: [str(cell.value) for row in book[title].iter_rows() for cell in row
                    if cell.value is not None]
            for title in ("Season curves", "Supplements", "Sources", "Local defaults")}
    assert "local: 24 plucked samples, 2020-2025, invented" in said["Season curves"]
    assert "local: Bench Feed, price list, invented" in said["Supplements"]
    assert "Bench 32 % cube: 410.00 $/ton, local: Bench Feed, price list, invented" \
        in said["Sources"]
    assert {"setting", "price", "curve", "contact", "caution"} <= set(said["Local defaults"])


def test_a_changed_setting_is_no_longer_called_local(tmp_path):
    of = taken(tmp_path, "[settings]\ntest_usd = 28\n")
    assert of.settings["test_usd"] == 28
    from haymow.workbook.build import build

    changed = Ranch(of.entries, {**of.settings, "test_usd": 31.0}, of.sizes)
    shown = [build(each, tmp_path / "x.xlsx")["Start"].values() for each in (of, changed)]
    assert "local: Home record (Home)" in shown[0] and "your choice" not in shown[0]
    assert "your choice" in shown[1] and "local: Home record (Home)" not in shown[1]


def test_a_rebuild_keeps_them_and_finds_nothing_strange(workbook):
    before = read(workbook)
    assert main(["rebuild", str(workbook)]) == 0
    after = read(workbook)
    assert after.ranch.entries == before.ranch.entries and after.problems == ()
    assert len(after.ranch.entries["Local"]) == 10
    assert {"test_usd": 28, "protein_usd": 0.58, "green_from_moy": 4}.items() \
        <= after.ranch.settings.items()


def test_a_local_curve_is_used_like_a_table_curve(tmp_path):
    months = ", ".join(str(3 + n) for n in range(12))
    of = taken(tmp_path, f'[[curve]]\nname = "Home curve"\ncp = [{months}]\n')
    entries = {**of.entries, "Forages": {1: {"forage": "Ridge", "kind": "native range",
                                             "curve": "Home curve"}},
               "Samples": {1: {"forage": "Ridge", "sample_id": "R", "basis": "dry matter",
                               "reported.dm": 90, "reported.cp": 12, "reported.adf": 40,
                               "sampled_on": dt.date(2026, 10, 16)}}}
    of = Ranch(entries, of.settings, of.sizes)
    values = Values(make(of), of)
    assert of.entries["Curves"][len(BUILT_IN) + 1]["curve_source"] == "local: Home record (Home)"
    assert values.column("Quality", "curve_value", "cp")[:2] == pytest.approx([12, 13])


# --- units
def test_pounds_and_tons_of_the_file_become_kilograms_of_a_metric_workbook(tmp_path):
    text = ('[settings]\nprotein_usd = { value = 0.58, unit = "$/lb CP" }\n'
            '[[product]]\nname = "Cube"\nfor = "CP"\nprice = 400\nper = "ton"\n'
            'priced_on = 2026-09-01\nlabel_intake = 0.25\n')
    us, metric = taken(tmp_path, text), taken(tmp_path, text, us=False)
    assert us.settings["protein_usd"] == 0.58
    assert metric.settings["protein_usd"] == pytest.approx(0.58 / KG_PER_LB)
    rows = [of.entries["Supplements"][2] for of in (us, metric)]
    assert rows[0]["price"] == 400 and rows[0]["label_intake"] == 0.25
    assert rows[1]["price"] == pytest.approx(400 / TONNE_PER_TON)
    assert rows[1]["label_intake"] == pytest.approx(0.25 * KG_PER_LB)
    assert metric.entries["Local"][2]["local_unit"] == "$/tonne"


# --- what a file should not say
PRODUCT = '[[product]]\nname = "Cube"\nfor = "CP"\n'


@pytest.mark.parametrize(("text", "words"), [
    ("x = 1\n", r"line 3, x: is not a key of this file; expected one of area, source"),
    ("[settings]\ngreen_from_may = 4\n", "line 4, settings, green_from_may: .*did you mean "
                                         "green_from_moy"),
    ("[settings]\ngreen_from_moy = 14\n", "line 4, settings, green_from_moy: is 14; expected a"
                                          " number from 1 to 12"),
    ("[settings]\nfirst_month = 2026-10-01\n", "first_month: is not a key"),
    ("[settings]\nprotein_usd = 0.58\n", r"protein_usd: needs its unit; expected \{ value"),
    ('[settings]\nprotein_usd = { value = 58, unit = "$/lb CP" }\n',
     r"protein_usd: is 58; expected a number from 0 to 10 \$/lb CP"),
    ('[settings]\ntest_usd = "30 dollars"\n', "test_usd: is '30 dollars'; expected a number"),
    ("[settings]\ntest_usd = true\n", "test_usd: is True; expected a number"),
    ('[[curve]]\nname = "A"\ncp = [1, 2]\n', "line 5, curve 1, cp: expected 12 numbers"),
    ('[[curve]]\nname = "A"\ncp = [9,9,9,9,9,9,9,9,9,9,9,90]\n',
     r"cp: is 90; expected a number from 0.5 to 40 % of DM in Dec"),
    ('[[curve]]\nname = "A"\n', "line 3, curve 1: holds no cp, tdn or p"),
    ('[[curve]]\nname = "tallgrass range"\ncp = [9]\n', "which is a table curve"),
    (PRODUCT + "price = 400\npriced_on = 2026-09-01\n", 'per: is missing; expected per = "ton"'),
    (PRODUCT + 'price = 400\nper = "ton"\n', "priced_on: is missing; a price needs its day"),
    (PRODUCT + 'price = 400\nper = "ton"\npriced_on = "May"\n', "priced_on: is 'May'"),
    (PRODUCT + "cp = 38\n", 'basis: is missing; expected "as fed"'),
    (PRODUCT + 'basis = "as fed"\ncp = 380\n', "line 7, product 1, cp: is 380; expected"),
    (PRODUCT + 'basis = "wet"\n', "basis: is 'wet', which is not in the list"),
    (PRODUCT.replace("CP", "Protein"), "for: is 'Protein', which is not in the list"),
    (PRODUCT + PRODUCT, "line 6, product 2, name|line 7, product 2, name"),
    ('[[contact]]\nwho = "Laboratory"\n', "line 3, contact 1, name: is missing"),
    ('[[caution]]\ntext = ""\n', "caution 1, text: is ''; expected words"),
    ('[caution]\ntext = "A"\n', r"expected tables headed \[\[caution\]\]"),
    ("[settings\n", "is not TOML that can be read: .*line 3"),
])
def test_what_a_file_should_not_say_is_one_sentence_with_its_line(tmp_path, text, words):
    with pytest.raises(InputError, match=words) as told:
        taken(tmp_path, text)
    assert "\n" not in str(told.value) and str(told.value).startswith("home.toml")


def test_too_many_defaults_are_refused(tmp_path):
    with pytest.raises(InputError, match="caution 41: is one too many"):
        taken(tmp_path, '[[caution]]\ntext = "Beware."\n' * 41)
    curve = '[[curve]]\nname = "C{}"\ncp = [9,9,9,9,9,9,9,9,9,9,9,9]\n'
    with pytest.raises(InputError, match="curve 5: is one too many"):
        taken(tmp_path, "".join(curve.format(n) for n in range(5)))


@pytest.mark.parametrize(("data", "words"), [
    (b"\xff\xfea\x00", "not UTF-8"), (b"", "source: is missing"), (b"a" * 300_000, "300 kB")])
def test_a_file_that_is_none_is_one_sentence(tmp_path, data, words):
    path = tmp_path / "home.toml"
    path.write_bytes(data)
    with pytest.raises(InputError, match=words):
        with_defaults(blank(), path)


def test_the_command_refuses_a_missing_file_and_writes_nothing(tmp_path, capsys):
    made = tmp_path / "ranch.xlsx"
    assert main(["new", str(made), "--defaults", str(tmp_path / "gone.toml")]) == 2
    assert "There is no file" in capsys.readouterr().err and not made.exists()
