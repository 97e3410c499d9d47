"""Lab reports as labs send them: what is read, what is asked, and that nothing is guessed.

The files of lab_reports/ are our own, of an invented lab and ranch. Their right values were typed
from the reports (expected.csv, as printed) and worked out by hand (expected_dm.csv, with the sum).
"""

import contextlib
import csv
import datetime as dt
import re
import tempfile
import unicodedata
import zipfile
from importlib import resources
from pathlib import Path

import openpyxl
import pytest
from hypothesis import HealthCheck, configuration, given, settings
from hypothesis import strategies as st

from haymow.lab import convert, on_dm, read_report, repeats, suspicions
from haymow.lab.headers import read_heading
from haymow.problems import InputError

configuration.set_hypothesis_home_dir(Path(tempfile.gettempdir()) / "haymow-hypothesis")
HERE = Path(__file__).parent
REPORTS = HERE / "lab_reports"
OPEN = HERE / "open_data"


def table(name):
    with (REPORTS / name).open(newline="", encoding="utf-8") as lines:
        return list(csv.DictReader(lines))


def by_file(rows):
    files = {}
    for row in rows:
        files.setdefault(row["file"], []).append(row)
    return files


EXPECTED = by_file(table("expected.csv"))
QUESTIONS = by_file(table("expected_questions.csv"))
FILES = sorted(p.name for p in REPORTS.iterdir() if p.suffix != ".py" and "expected" not in p.name)


def test_there_is_a_right_value_or_a_question_for_every_report_file():
    assert len(FILES) >= 40
    assert set(FILES) == set(EXPECTED) | set(QUESTIONS)


@pytest.mark.parametrize("name", FILES)
def test_each_report_is_read_as_its_table_of_right_values_says(name):
    found = sorted((s.sample_id, r.analyte, r.value, r.qualifier, r.unit, r.basis)
                   for s in read_report(REPORTS / name).samples for r in s.results)
    wanted = sorted((r["sample"], r["analyte"], float(r["value"]) if r["value"] else None,
                     r["qualifier"], r["unit"], r["basis"]) for r in EXPECTED.get(name, []))
    assert found == wanted


@pytest.mark.parametrize("name", FILES)
def test_each_report_raises_its_questions_and_no_others(name):
    found = sorted((p.where, p.severity) for p in read_report(REPORTS / name).problems)
    wanted = sorted((f"{name}!{q['where']}" if q["where"] else name, q["severity"])
                    for q in QUESTIONS.get(name, []))
    assert found == wanted
    texts = {p.where: str(p) for p in read_report(REPORTS / name).problems}
    for question in QUESTIONS.get(name, []):
        where = f"{name}!{question['where']}" if question["where"] else name
        assert question["words"] in texts[where]


@pytest.mark.parametrize("row", table("expected_dm.csv"),
                         ids=lambda r: f"{r['file']}-{r['sample']}-{r['analyte']}")
def test_values_are_put_on_the_dry_matter_or_left_out(row):
    sample = next(s for s in read_report(REPORTS / row["file"]).samples
                  if s.sample_id == row["sample"])
    found = on_dm(sample).get(row["analyte"])
    if not row["value"]:
        assert found is None or found.value is None
    else:
        assert found.value == pytest.approx(float(row["value"]), rel=2e-5)
        assert found.unit == row["unit"]


# What the lines around a table say

def test_ids_descriptions_and_dates_come_from_the_lines_around_the_table():
    sample = read_report(REPORTS / "two_basis_report.csv").samples[0]
    assert (sample.sample_id, sample.description) == ("QF-110", "North stack")
    assert sample.sampled_on == dt.date(2026, 10, 4)
    assert sample.reported_on == dt.date(2026, 10, 12)  # stands below the table


def test_each_of_two_stacked_reports_keeps_its_own_lines():
    found = [(s.description, s.reported_on)
             for s in read_report(REPORTS / "stacked_reports.csv").samples]
    assert found == [("East bale row", dt.date(2026, 10, 20)),
                     ("West bale row", dt.date(2026, 10, 20))]


def test_dates_of_one_style_are_read_and_of_an_unclear_one_are_not():
    found = [s.sampled_on for s in read_report(REPORTS / "two_date_styles.csv").samples]
    assert found == [dt.date(2026, 6, 30), dt.date(2026, 7, 4), None, dt.date(2026, 7, 15)]


def test_a_workbook_of_the_1904_calendar_keeps_its_dates():
    sample = read_report(REPORTS / "dates_1904.xlsx").samples[0]
    assert sample.sampled_on == dt.date(2026, 7, 2)


def test_text_that_looks_like_a_formula_stays_text():
    found = [s.description for s in read_report(REPORTS / "hostile_text.csv").samples]
    assert found == ['=HYPERLINK("http://example.invalid","hay")', "+1 bale set aside"]


def test_accents_of_a_western_windows_file_are_read_right():
    assert read_report(REPORTS / "cp1252.csv").samples[0].description == (
        "P\u00e2ture de l\u2019\u00e9tang \u2013 bas")


def test_the_mapping_says_how_sure_each_header_is():
    found = {m.header: (m.analyte, m.sure) for m in read_report(REPORTS / "misspelled.csv").mapping}
    assert found["Crud Protien % DM"] == ("cp", "suggested")
    assert found["ADF % DM"] == ("adf", "exact")
    nitrate = {m.header: (m.analyte, m.sure)
               for m in read_report(REPORTS / "nitrate_forms.csv").mapping}
    assert nitrate["Nitrate ppm DM"] == ("", "asked")
    assert nitrate["Nitrate ion ppm DM"] == ("no3", "synonym")


# Answers to questions

def values_of(report, number=0):
    return {r.analyte: r.value for r in report.samples[number].results}


def test_a_suggestion_is_used_only_once_it_is_confirmed():
    path = REPORTS / "misspelled.csv"
    assert "cp" not in values_of(read_report(path))
    report = read_report(path, confirmed={"Crud Protien % DM": "cp", "Wibble": "Fe ppm DM"})
    assert values_of(report)["cp"] == 9.3
    assert values_of(report)["fe"] == 17.0
    assert [p.where for p in report.problems] == ["misspelled.csv!D1"]


def test_the_form_of_nitrate_can_be_told():
    report = read_report(REPORTS / "nitrate_forms.csv",
                         confirmed={"Nitrate ppm DM": "NO3 ppm DM"})
    assert not report.problems
    assert on_dm(report.samples[0])["no3"].value == 5313


def test_the_basis_can_be_told_where_the_report_is_silent():
    path = REPORTS / "no_basis.csv"
    dry = on_dm(read_report(path, basis="DM").samples[0])
    wet = on_dm(read_report(path, basis="as fed").samples[0])
    assert dry["cp"].value == 8.4
    assert wet["cp"].value == pytest.approx(24.0)  # 8.4 / 0.35
    assert not read_report(path, basis="DM").problems


def test_the_order_of_day_and_month_can_be_told():
    samples = read_report(REPORTS / "two_date_styles.csv", date_order="mdy").samples
    assert samples[2].sampled_on == dt.date(2026, 7, 5)


def test_a_value_outside_of_the_limits_can_be_kept_with_a_reason():
    report = read_report(REPORTS / "impossible.csv", keep={"impossible.csv!G3": "buffer was "
                                                                                "tested"})
    assert values_of(report, 1)["ph"] == 15
    kept = [p for p in report.problems if p.where == "impossible.csv!G3"]
    assert [(p.severity, "buffer was tested" in p.what) for p in kept] == [("look", True)]


@pytest.mark.parametrize(("answer", "words"), [
    ({"basis": "dry"}, "basis is 'dry'; expected one of DM, as fed, 90% DM"),
    ({"date_order": "ymd"}, "expected one of mdy, dmy"),
    ({"confirmed": {"Wibble": "wobble"}}, "'wobble', given for the header 'Wibble'"),
])
def test_an_answer_that_is_not_understood_is_refused(answer, words):
    with pytest.raises(InputError, match=words):
        read_report(REPORTS / "misspelled.csv", **answer)


# Files that are no reports

def zipped(path, parts):
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in parts:
            archive.writestr(name, data)


def test_a_missing_file_is_one_sentence(tmp_path):
    with pytest.raises(InputError, match=r"none\.csv cannot be opened"):
        read_report(tmp_path / "none.csv")


@pytest.mark.parametrize(("name", "data", "words"), [
    ("empty.csv", b"  \n", "is empty"),
    ("old.xls", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "old or a locked workbook"),
    ("page.xls", b"<html><table><tr><td>CP</td></tr></table></html>", "web page"),
    ("broken.xlsx", b"PK\x03\x04 not a zip", "damaged"),
    ("broken.pdf", b"%PDF-1.4 nothing else", "damaged or locked|holds a picture"),
    ("noise.csv", bytes(range(256)) * 4, "not a text|No table"),
])
def test_a_file_that_is_no_report_is_one_sentence(tmp_path, name, data, words):
    path = tmp_path / name
    path.write_bytes(data)
    try:
        said = " ".join(map(str, read_report(path).problems))
    except InputError as error:
        said = str(error)
    assert re.search(words, said)


@pytest.mark.parametrize(("parts", "words"), [
    ([("xl/workbook.xml", b"<!DOCTYPE a [<!ENTITY b 'c'>]><workbook/>")], "not an ordinary "
                                                                          "workbook"),
    ([("xl/workbook.xml", b"0" * 60_000_000)], "not an ordinary workbook"),
    ([("xl/workbook.xml", b"<workbook/>"), ("../out.xml", b"")], "not an ordinary workbook"),
    ([("word/document.xml", b"<document/>")], "no .xlsx workbook"),
    ([("xl/workbook.xml", b"<workbook/>")], "not a workbook that can be read"),
])
def test_a_hostile_or_strange_zip_is_not_opened(tmp_path, parts, words):
    path = tmp_path / "report.xlsx"
    zipped(path, parts)
    with pytest.raises(InputError, match=words):
        read_report(path)


def test_a_scanned_pdf_is_said_to_be_a_picture(tmp_path):
    from matplotlib.figure import Figure

    Figure(figsize=(2, 2)).savefig(tmp_path / "scan.pdf")
    with pytest.raises(InputError, match="holds a picture and no text"):
        read_report(tmp_path / "scan.pdf")


def test_a_cell_far_out_neither_hangs_nor_hides(tmp_path):
    book = openpyxl.Workbook()
    book.active.append(["Sample ID", "DM %", "CP % DM"])
    book.active.append(["QF-500", 88.0, 9.0])
    book.active["XFD1048576"] = 1
    book.save(tmp_path / "far.xlsx")
    report = read_report(tmp_path / "far.xlsx")
    assert values_of(report) == {"dm": 88.0, "cp": 9.0}
    assert any("Only rows 1 to" in p.what for p in report.problems)


def test_results_behind_a_wide_gap_are_asked_about(tmp_path):
    path = tmp_path / "gap.csv"
    path.write_text("Sample ID,DM %,CP % DM\nQF-501,88.0,9.0\n,,\n,,\n,,\nQF-502,87.0,10.0\n")
    report = read_report(path)
    assert [s.sample_id for s in report.samples] == ["QF-501"]
    assert any(p.where == "gap.csv!A6" and p.severity == "stop" for p in report.problems)


# Real files

def test_planted_faults_of_a_real_file_are_found_and_the_rest_is_read():
    report = read_report(OPEN / "ilri_new_data.csv", basis="DM", confirmed={"ME": "ME MJ/kg"})
    stops = {p.where for p in report.problems if p.severity == "stop"}
    assert stops == {f"ilri_new_data.csv!{cell}" for cell in ("L3", "N3", "L10")}
    assert len(report.samples) == 10
    first = on_dm(report.samples[0])
    assert first["cp"].value == 4.310769375
    assert first["me"].value == pytest.approx(8.6300392 / 4.184)
    assert "dm" not in on_dm(report.samples[1])


with (OPEN / "ilri_browseME.csv").open(encoding="cp1252") as first_line:
    BROWSE = dict.fromkeys(next(csv.reader(first_line))[1:], "skip")
BROWSE |= {"CP_wet": "CP g/kg DM", "NDF_wet": "NDF g/kg DM", "IVDMD_wet_max": "IVDMD g/kg DM"}


def test_a_real_file_in_grams_gives_percent_and_its_digit_too_many_is_found():
    report = read_report(OPEN / "ilri_browseME.csv", confirmed=BROWSE)
    assert report.samples[0].sample_id == "Wait-a-bit thorn (Acacia brevispica Harms)"
    assert on_dm(report.samples[0])["cp"].value == 21.1
    (stop,) = [p for p in report.problems if p.severity == "stop"]
    assert "is 7194 g/kg" in stop.what
    assert stop.where == "ilri_browseME.csv!I11"


def test_a_real_table_reads_the_same_from_text_and_from_its_workbook():
    text, book = (read_report(OPEN / name, confirmed=BROWSE).samples[:12]
                  for name in ("ilri_browseME.csv", "ilri_browseME.xlsx"))
    differ = [(a.sample_id, r.value, q.value) for a, b in zip(text, book, strict=True)
              for r, q in zip(a.results, b.results, strict=True) if r.value != q.value]
    assert [a.sample_id for a in text] == [b.sample_id for b in book]
    assert [values for _, *values in differ] == [[None, 719.0]]  # the digit too many


def test_nothing_is_taken_from_the_real_file_before_its_headers_are_told():
    report = read_report(OPEN / "ilri_browseME.csv")
    assert not [r for s in report.samples for r in s.results if r.value is not None]


def test_entry_errors_of_real_pasture_analyses_are_found():
    units = {"P": "P g/kg", "Ca": "Ca g/kg", "K": "K g/kg", "Mg": "Mg g/kg", "Na": "Na mg/kg",
             "Fe": "Fe mg/kg", "Cu": "Cu mg/kg", "Mn": "Mn mg/kg", "Zn": "Zn mg/kg",
             "ME": "ME MJ/kg", "NEm": "NEm MJ/kg", "NEg": "NEg MJ/kg", "NEl": "NEl MJ/kg"}
    report = read_report(OPEN / "ilri_pasture_extract.csv", basis="DM", confirmed=units)
    samples = {s.sample_id: on_dm(s) for s in report.samples}
    assert "8.07" in next(str(p) for p in report.problems if p.severity == "stop")
    assert samples["103256"].keys() & {"om", "cp"} == {"cp"}  # OM 8.07 % is left out
    assert samples["37217"]["p"].value == pytest.approx(0.11)
    for sample, analyte in (("112871", "phosphorus"), ("116085", "phosphorus"),
                            ("111031", "magnesium"), ("27610", "phosphorus")):
        dry = {k: r.value for k, r in samples[sample].items() if r.value is not None}
        assert analyte in {p.where for p in suspicions(dry, "native range")}


def test_a_copied_cell_of_a_real_file_is_found():
    with (OPEN / "ilri_feedQuality_EQUIP.csv").open(newline="") as lines:
        rows = [r for r in csv.DictReader(lines) if r["IVOMD"] == r["ME"] == "8.75"]
    assert len(rows) == 1
    dry = {"ivomd": 8.75, "me": 8.75 / 4.184, "cp": 9.4}  # energy is MJ/kg in the file
    (found,) = suspicions(dry, "other")
    assert "both stand as 8.75" in found.what


# Plausibility

HAY = {"dm": 88, "cp": 9.4, "adf": 38.2, "ndf": 61, "ca": 0.41, "p": 0.21}


def test_an_ordinary_grass_hay_raises_no_suspicion():
    assert suspicions(HAY, "cool-season grass hay") == []


@pytest.mark.parametrize(("kind", "changed", "severity", "words"), [
    ("cool-season grass hay", {"cp": 1.5}, "look", "nitrogen typed as crude protein"),
    ("haylage", {"dm": 35, "cp": 3.2, "adf": 30, "ndf": 50}, "look", "as fed value typed as dry"),
    ("cool-season grass hay", {"cp": 94}, "stop", "expected 0.5 to 40"),
    ("cool-season grass hay", {"ndf": 6.1}, "look", "decimal point that slipped"),
    ("cool-season grass hay", {"adf": 62, "ndf": 39}, "stop", "may be swapped"),
    ("cool-season grass hay", {"moisture": 35}, "stop", "do not add up to 100"),
    ("cool-season grass hay", {"n": 1.2}, "stop", "not 6.25 times nitrogen"),
    ("cool-season grass hay", {"no3": 4000, "no3n": 4000}, "stop", "do not go together"),
    ("cool-season grass hay", {"nem": 2.5, "tdn": 57}, "note", "another energy system"),
    ("cool-season grass hay", {"neg": 1.3, "nem": 1.2}, "stop", "not below NEm"),
    ("cool-season grass hay", {"rfv": 70}, "look", "does not follow from ADF"),
    ("cool-season grass hay", {"adicp": 1.5}, "look", "heat may have damaged"),
    ("cool-season grass hay", {"dm": 80}, "look", "may heat and mold"),
    ("cool-season grass hay", {"ndfd30": 50, "ndfd48": 40}, "stop", "cannot fall"),
    ("cool-season grass hay", {"rdp": 66, "rup": 44}, "stop", "do not add up to 100"),
    ("cool-season grass hay", {"lignin": 39}, "stop", "may be % of NDF"),
    ("cool-season grass hay", {"fe": 900, "ash": 13}, "look", "soil in the sample"),
    ("cool-season grass hay", {"cu": 5, "mo": 3}, "look", "less than 4 times molybdenum"),
    ("cool-season grass hay", {"ca": 0.41, "p": 0.04}, "look", "more than 8 times phosphorus"),
    ("cool-season grass hay", {"fat": 22, "ash": 14}, "stop", "add up to more than the dry"),
    ("legume hay", {"ca": 0.6}, "look", "low for a legume"),
])
def test_a_suspicious_value_is_named_with_what_it_may_be(kind, changed, severity, words):
    found = suspicions({**HAY, **changed}, kind)
    assert any(p.severity == severity and words in f"{p.what} {p.do}" for p in found), found


def test_green_and_dormant_range_are_both_ordinary_but_not_mixed():
    green = {"dm": 30, "cp": 14, "adf": 30, "ndf": 55}
    assert suspicions(green, "native range") == []
    assert suspicions({"dm": 80, "cp": 3.5, "adf": 48, "ndf": 72}, "native range") == []
    assert suspicions({**green, "ndf": 88}, "native range")


def test_a_sample_that_repeats_an_earlier_one_is_named():
    (found,) = repeats(HAY, {"QF-1": HAY, "QF-2": {**HAY, "cp": 9.5}})
    assert "same as in sample QF-1" in found.what


def test_every_kind_with_ranges_is_a_forage_kind():
    data = resources.files("haymow").joinpath("data")
    ranges, kinds = (list(csv.DictReader(data.joinpath(name).read_text().splitlines()))
                     for name in ("lab_ranges.csv", "forage_kinds.csv"))
    assert {r["kind"] for r in ranges} - {"any"} <= {k["kind"] for k in kinds}


# Conversions against published figures

@pytest.mark.parametrize(("value", "unit", "to", "wanted", "tolerance"), [
    (1, "%", "g/kg", 10, 0), (1, "%", "ppm", 10_000, 0),  # by definition
    (1, "Mcal/kg", "MJ/kg", 4.184, 0),  # thermochemical calorie
    (1, "Mcal/lb", "Mcal/kg", 2.2046, 5e-5),  # National Swine Nutrition Guide conversions
    (1, "ppm", "mg/lb", 0.4536, 5e-5),  # same
    (1270, "IU/lb", "IU/kg", 2800, 1),  # requirement printed both ways, Kansas State
])
def test_units_convert_as_published(value, unit, to, wanted, tolerance):
    assert convert(value, unit, to) == pytest.approx(wanted, abs=tolerance or 1e-9)


# Nothing is changed silently, whatever happens to the text

TEXTS = [(REPORTS / name).read_text(encoding="utf-8") for name in (
    "wide_plain.csv", "two_basis_report.csv", "long_list.csv", "semicolon_comma.csv",
    "transposed.csv", "label_value.txt", "names_over_bases.csv", "below_detection.csv")]
ALPHABET = ",;\t\"\n .:%<>-/0159eEaDMNF\u00a0\u00e9"
TRIES = settings(max_examples=120, deadline=None, database=None, derandomize=True,
                 suppress_health_check=[HealthCheck.function_scoped_fixture])


def readings(raw):
    """Every number that a text can stand for by the usual marks of thousands and decimals."""
    text = re.sub("(?<=\\d)[ '\u00a0\u202f\u2009](?=\\d{3})", "", raw)
    found = set()
    for match in re.findall(r"[-+]?[\d.,]*\d(?:[eE][-+]?\d+)?", text):
        for decimal, group in ((".", ","), (",", ".")):
            with contextlib.suppress(ValueError):
                found.add(float(match.replace(group, "").replace(decimal, ".")))
    return found


@given(data=st.data())
@TRIES
def test_mutilated_reports_never_crash_and_every_value_stands_in_its_text(tmp_path, data):
    text = data.draw(st.sampled_from(TEXTS))
    for _ in range(data.draw(st.integers(1, 6))):
        at = data.draw(st.integers(0, len(text)))
        cut = data.draw(st.integers(0, 4))
        text = text[:at] + data.draw(st.text(ALPHABET, max_size=3)) + text[at + cut:]
    path = tmp_path / "report.csv"
    path.write_text(text, encoding="utf-8", newline="")
    try:
        report = read_report(path)
    except InputError:
        return
    for result in (r for s in report.samples for r in s.results if r.value is not None):
        limit = result.qualifier == "<" and not readings(result.raw)  # stands in the limit column
        assert limit or result.value in readings(result.raw)
        assert result.raw in text


@given(cell=st.text(st.characters(exclude_categories=["Cs", "Cc"]), max_size=12),
       row=st.integers(1, 2), column=st.integers(4, 11))
@TRIES
def test_whatever_stands_in_one_cell_leaves_all_others_as_they_were(tmp_path, cell, row, column):
    rows = list(csv.reader(TEXTS[0].splitlines()))
    before = {(s.sample_id, r.analyte): r.value
              for s in read_report(REPORTS / "wide_plain.csv").samples for r in s.results}
    rows[row][column] = cell
    path = tmp_path / "report.csv"
    with path.open("w", newline="", encoding="utf-8") as lines:
        csv.writer(lines).writerows(rows)
    changed = (rows[row][0], read_heading(rows[0][column]).key)
    for sample in read_report(path).samples:
        for result in sample.results:
            key = (sample.sample_id, result.analyte)
            if result.value is not None and key != changed:
                assert result.value == before[key]
            elif result.value is not None:
                assert result.value in readings(unicodedata.normalize("NFKC", cell))


@pytest.mark.parametrize("padded", [True, False], ids=["row filled up", "row left short"])
@pytest.mark.parametrize("column", range(4, 12))
def test_a_lost_cell_never_moves_values_to_other_analytes(tmp_path, column, padded):
    rows = list(csv.reader(TEXTS[0].splitlines()))
    before = {(s.sample_id, r.analyte): r.value
              for s in read_report(REPORTS / "wide_plain.csv").samples for r in s.results}
    rows[1] = rows[1][:column] + rows[1][column + 1:] + ([""] if padded else [])
    path = tmp_path / "report.csv"
    path.write_text("\n".join(map(",".join, rows)))
    report = read_report(path)
    for sample in report.samples:
        for result in sample.results:
            assert result.value in (None, before[sample.sample_id, result.analyte])
    assert report.problems or column == 11


@pytest.mark.parametrize("unit", ["%", "g/kg", "ppm", "mg/kg"])
def test_siblings_of_one_unit_agree_there_and_back(unit):
    for value in (0.0123, 1.0, 47.11):
        assert convert(convert(value, "%", unit), unit, "%") == pytest.approx(value, rel=1e-12)
