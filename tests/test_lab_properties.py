"""Lab reports rewritten, reordered and damaged: never a crash, never another value without a word.

Right values are those of lab_reports/expected.csv, typed from the reports.
"""

from __future__ import annotations

import csv
import datetime as dt
import io
import re
import tempfile
import warnings
from collections import Counter
from pathlib import Path

import openpyxl
import pytest
from hypothesis import HealthCheck, configuration, given, settings
from hypothesis import strategies as st

from haymow.lab import Report, read_report
from haymow.problems import InputError

configuration.set_hypothesis_home_dir(Path(tempfile.gettempdir()) / "haymow-hypothesis")
REPORTS = Path(__file__).parent / "lab_reports"
TRIES = settings(max_examples=60, deadline=None, database=None, derandomize=True,
                 suppress_health_check=[HealthCheck.function_scoped_fixture])
Key = tuple[str, str, str, str]  # sample, analyte, unit, basis


def right(name: str) -> Counter[tuple[Key, float | None, str]]:
    """What a report holds: how often each result stands there."""
    with (REPORTS / "expected.csv").open(newline="", encoding="utf-8") as lines:
        return Counter(((r["sample"], r["analyte"], r["unit"], r["basis"]),
                        float(r["value"]) if r["value"] else None, r["qualifier"])
                       for r in csv.DictReader(lines) if r["file"] == name)


def results(report: Report) -> Counter[tuple[Key, float | None, str]]:
    return Counter(((s.sample_id, r.analyte, r.unit, r.basis), r.value, r.qualifier)
                   for s in report.samples for r in s.results)


TEXTS = {path.name: path.read_bytes().decode("utf-8") for path in sorted(REPORTS.iterdir())
         if path.suffix in (".csv", ".tsv", ".txt") and not path.name.startswith("expected")
         and path.name not in ("cp1252.csv", "latin1_hard_spaces.csv", "utf16.txt")}
WIDE = ("wide_plain.csv", "two_basis_suffix.csv", "grams_per_kg.csv", "thousands.csv",
        "moisture_and_dm.csv", "nitrate_forms.csv", "parts_of_protein.csv", "methods.csv",
        "air_dry.csv", "tdn_columns.csv", "energy_units.csv")  # a row a sample, header first


def cells_of(name: str) -> list[list[str]]:
    return list(csv.reader(io.StringIO(TEXTS[name])))


def written(path: Path, rows: list[list[str]], mark: str = ",") -> Path:
    with path.open("w", newline="", encoding="utf-8") as lines:
        csv.writer(lines, delimiter=mark).writerows(rows)
    return path


def nothing_else(report: Report, name: str) -> None:
    """Each value is one the report holds; one that is missing or left out is asked about."""
    wanted, found = right(name), results(report)
    for (key, value, _), _ in (found - wanted).items():
        assert value is None, f"{name}: {key} was read as {value}"
    if any(value is not None for (_, value, _), _ in (wanted - found).items()):
        assert report.problems, f"{name}: something was left out without a word"


# --- the same report, written otherwise
@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "utf-16-be", "cp1252"])
@pytest.mark.parametrize("name", sorted(TEXTS))
def test_another_encoding_holds_the_same_values(name, encoding, tmp_path):
    text = TEXTS[name].removeprefix("\ufeff")
    if encoding == "utf-16-be":
        text = "\ufeff" + text
    try:
        data = text.encode(encoding)
    except UnicodeEncodeError:
        pytest.skip("it has letters that this encoding lacks")
    path = tmp_path / name
    path.write_bytes(data)
    assert results(read_report(path)) == results(read_report(REPORTS / name)) == right(name)


@pytest.mark.parametrize("end", ["\r\n", "\r"])
@pytest.mark.parametrize("name", sorted(TEXTS))
def test_other_line_ends_hold_the_same_values(name, end, tmp_path):
    path = tmp_path / name
    plain = TEXTS[name].replace("\r\n", "\n").replace("\r", "\n")
    path.write_bytes(plain.replace("\n", end).encode("utf-8"))
    assert results(read_report(path)) == right(name)


@pytest.mark.parametrize("mark", [";", "\t", "|"])
@pytest.mark.parametrize("name", WIDE)
def test_another_delimiter_holds_the_same_values(name, mark, tmp_path):
    nothing_else(read_report(written(tmp_path / name, cells_of(name), mark)), name)


@pytest.mark.parametrize("name", WIDE)
def test_numbers_as_cells_of_a_workbook_hold_the_same_values(name, tmp_path):
    book = openpyxl.Workbook()
    for row in cells_of(name):
        book.active.append([float(cell) if re.fullmatch(r"\d+\.?\d*", cell) else cell
                            for cell in row])
    book.save(tmp_path / "report.xlsx")
    nothing_else(read_report(tmp_path / "report.xlsx"), name)


@given(name=st.sampled_from(WIDE), data=st.data())
@TRIES
def test_reordered_columns_and_rows_hold_the_same_values(tmp_path, name, data):
    head, *rows = cells_of(name)
    order = data.draw(st.permutations(range(len(head))))
    rows = data.draw(st.permutations(rows))
    moved = [[row[k] if k < len(row) else "" for k in order] for row in (head, *rows)]
    nothing_else(read_report(written(tmp_path / "report.csv", moved)), name)


@given(name=st.sampled_from(WIDE), data=st.data())
@TRIES
def test_lines_around_and_empty_columns_between_change_no_value(tmp_path, name, data):
    rows = cells_of(name)
    for _ in range(data.draw(st.integers(0, 2))):
        at = data.draw(st.integers(0, len(rows[0])))
        rows = [[*row[:at], "", *row[at:]] for row in rows]
    above = data.draw(st.lists(st.sampled_from([
        [], ["Home Laboratory"], ["Page 1 of 1"], ["12 Creek Road", "", "Town"], ["", "", ""],
        ["Thank you for your business"]]), max_size=4))
    below = data.draw(st.lists(st.sampled_from([
        [], ["End of report"], ["Approved by:", "A. Sample"], ["*** notes ***"]]), max_size=3))
    nothing_else(read_report(written(tmp_path / "report.csv", above + rows + below)), name)


@given(name=st.sampled_from(WIDE), data=st.data())
@TRIES
def test_a_column_taken_out_or_emptied_moves_nothing(tmp_path, name, data):
    rows = cells_of(name)
    at = data.draw(st.integers(0, len(rows[0]) - 1))
    keep = data.draw(st.booleans())
    cut = [row[:at] + ([""] if keep else []) + row[at + 1:] for row in rows]
    read = read_report(written(tmp_path / "report.csv", cut))
    values = {(key[1], value) for (key, value, _) in right(name)}
    for key, value, _ in results(read):
        assert value is None or (key[1], value) in values, (name, rows[0][at], key, value)


# --- damaged
BYTES = {path.name: path.read_bytes() for path in sorted(REPORTS.iterdir())
         if path.suffix in (".csv", ".xlsx", ".pdf", ".txt", ".tsv")
         and not path.name.startswith("expected")}


@given(name=st.sampled_from(sorted(BYTES)), data=st.data())
@settings(TRIES, max_examples=150)
def test_changed_bytes_are_read_or_refused_in_one_sentence(tmp_path, name, data):
    damaged = bytearray(BYTES[name])
    for _ in range(data.draw(st.integers(1, 8))):
        at = data.draw(st.integers(0, len(damaged)))
        cut = data.draw(st.integers(0, 6))
        damaged[at:at + cut] = data.draw(st.binary(max_size=6))
    if data.draw(st.booleans()):
        damaged = damaged[:data.draw(st.integers(1, len(damaged)))] if damaged else damaged
    path = tmp_path / name
    path.write_bytes(bytes(damaged))
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # what a parser mutters about a damaged file
        try:
            report = read_report(path)
        except InputError as error:
            assert str(error) and "\n" not in str(error)
            return
    assert all(r.value is None or r.value == r.value for s in report.samples for r in s.results)


STRANGE = st.one_of(
    st.booleans(), st.dates(dt.date(1950, 1, 1), dt.date(2080, 1, 1)),
    st.times(), st.floats(allow_nan=False, allow_infinity=False, width=32),
    st.integers(-10**12, 10**12), st.sampled_from(["#N/A", "#DIV/0!", "=A1*2", "=1/0", "NA", "ND",
                                                   "<0.01", "8-10", "1,234", "", " ", "'", "?"]),
    st.text(st.characters(exclude_categories=["Cs", "Cc"]), max_size=8))


@given(cell=STRANGE, row=st.integers(2, 3), column=st.integers(5, 12),
       form=st.sampled_from(["General", "0%", "0.00", "m/d/yyyy", "@"]))
@TRIES
def test_whatever_stands_in_a_cell_of_a_workbook_leaves_all_others(tmp_path, cell, row, column,
                                                                   form):
    book = openpyxl.Workbook()
    rows = cells_of("wide_plain.csv")
    for each in rows:
        book.active.append([float(text) if re.fullmatch(r"\d+\.?\d*", text) else text
                            for text in each])
    place = book.active.cell(row, column, cell)
    place.number_format = form
    book.save(tmp_path / "report.xlsx")
    name, wanted = rows[row - 1][0], right("wide_plain.csv")
    left = {key for key, value, sign in results(read_report(tmp_path / "report.xlsx"))
            if value is not None and (key, value, sign) not in wanted}
    assert len(left) <= 1 and all(key[0] == name for key in left)
