"""Macros in an open workbook: a stand-in for Excel's book over a real file."""

from __future__ import annotations

import datetime as dt
import shutil
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import pytest
from openpyxl import load_workbook
from openpyxl.utils import range_boundaries

from haymow import demo
from haymow.cli import main
from haymow.excel import macros
from haymow.plan import plan
from haymow.ranch import Ranch
from haymow.workbook.build import build
from haymow.workbook.read import read
from haymow.workbook.template import OUTCOME_ROWS, links
from least_cost_ranch import gap_ranch

ROOT = Path(__file__).resolve().parents[1]
LAB_REPORT = ROOT / "engine/haymow" / demo.LAB_REPORT


class Book:
    """An open workbook as xlwings shows it: as strict as Excel about protected cells."""

    def __init__(self, path, system="win32"):
        self.fullname, self.name = str(path), path.name
        self.opened = load_workbook(path, keep_vba=path.suffix == ".xlsm")
        self.said, self.saved = [], True
        self.app, self.sheets, self.names = App(self.said), Sheets(self), Names(self)
        self.api = SimpleNamespace(SaveCopyAs=self.opened.save) if system == "win32" \
            else SimpleNamespace(saved=SimpleNamespace(get=lambda: self.saved))

    def put(self, sheet, row, column, value):
        cell = self.opened[sheet].cell(row, column)
        if self.opened[sheet].protection.sheet and cell.protection.locked:
            raise PermissionError(f"{sheet}!{cell.coordinate} is protected")
        if isinstance(value, str) and not value.startswith("'"):
            raise AssertionError(f"'{value}' may turn into a formula, a date or a number")
        cell.value = value[1:] if isinstance(value, str) else value
        if isinstance(value, str):
            cell.data_type = "s"

    def cells(self):
        return {(sheet.title, cell.coordinate): cell.value for sheet in self.opened
                for row in sheet.iter_rows() for cell in row if cell.value is not None}

    def outcome(self):
        sheet, area = self.opened.defined_names["macro_outcome"].attr_text.split("!")
        left, top, _, bottom = range_boundaries(area)
        assert bottom - top + 1 == OUTCOME_ROWS
        told = [self.opened[sheet].cell(row, left).value for row in range(top, bottom + 1)]
        return [line for line in told if line]


class App:
    def __init__(self, said):
        self.__dict__["said"] = said

    def __setattr__(self, name, value):
        assert name == "status_bar"
        self.said.append(value)

    @contextmanager
    def properties(self, **changed):
        assert changed == {"calculation": "manual", "screen_updating": False}
        yield

    def alert(self, words, title):
        self.said.append((title, words))


class Sheets:
    def __init__(self, book):
        self.book = book

    def __getitem__(self, title):
        return SimpleNamespace(range=lambda at: Cell(self.book, title, at))


class Cell:
    def __init__(self, book, sheet, at):
        self.__dict__.update(book=book, sheet=sheet, at=at)

    def __setattr__(self, name, value):
        assert name == "value"
        rows = value if isinstance(value, list) else [[value]]
        for down, row in enumerate(rows):
            for right, each in enumerate(row):
                self.book.put(self.sheet, self.at[0] + down, self.at[1] + right, each)


class Names:
    def __init__(self, book):
        self.book = book

    def contains(self, name):
        return name in self.book.opened.defined_names

    def __getitem__(self, name):
        sheet, area = self.book.opened.defined_names[name].attr_text.split("!")
        left, top, _, _ = range_boundaries(area)
        return SimpleNamespace(refers_to_range=Cell(self.book, sheet, (top, left)))


SMALL = Ranch(  # one group, two months: a file that opens quickly
    {"Forages": {1: {"forage": "Ridge range", "kind": "native range"}},
     "Herd": {1: {"group": "Cows", "class_name": "mature cow", "head": 100, "weight": 1250,
                  "first_calf_on": dt.date(2027, 3, 10), "peak_milk": 18,
                  "usual_forage": "Ridge range"}}},
    {"first_month": dt.date(2026, 10, 1)},
    {"group": 1, "month": 2, "forage": 2, "product": 2, "sample": 24, "line": 1})


@pytest.fixture(scope="session")
def small_file(tmp_path_factory):
    path = tmp_path_factory.mktemp("macros") / "ranch.xlsx"
    build(SMALL, path, links)
    return path


@pytest.fixture
def book(small_file, tmp_path):
    return Book(Path(shutil.copy(small_file, tmp_path)))


def backups(book):
    return sorted(Path(book.fullname).parent.glob("*.bak-*"))


def test_a_lab_report_fills_samples_and_no_other_cell(book):
    before = book.cells()
    macros.perform(book, "import_lab", str(LAB_REPORT))
    after = book.cells()
    changed = {where for where in {*before, *after} if before.get(where) != after.get(where)}
    assert {sheet for sheet, _ in changed} == {"Samples", "Checks"}
    assert len([1 for sheet, _ in changed if sheet == "Samples"]) > 20
    book.opened.save(book.fullname)
    samples = read(Path(book.fullname)).ranch.entries["Samples"]
    assert all(row["basis"] and row["sample_id"] for row in samples.values())
    assert "backup" not in book.said[-1] and "cells written" in book.said[-1]


def test_the_backup_is_the_workbook_as_it_was_with_what_was_not_saved_yet(book):
    book.put("Samples", 50, 30, 1.0)  # typed, but not saved
    before = book.cells()
    macros.perform(book, "import_lab", str(LAB_REPORT))
    (backup,) = backups(book)
    assert Book(backup).cells() == before
    assert backup.name in book.outcome()[1]


def test_the_same_report_twice_writes_nothing_the_second_time(book):
    macros.perform(book, "import_lab", str(LAB_REPORT))
    before = book.cells()
    said = macros.perform(book, "import_lab", str(LAB_REPORT)).said
    assert said.endswith("all of it was there already.")
    assert len(backups(book)) == 1
    assert {k: v for k, v in book.cells().items() if k[0] != "Checks"} == {
        k: v for k, v in before.items() if k[0] != "Checks"}


def test_text_of_a_report_never_becomes_a_formula(book, tmp_path):
    report = tmp_path / "odd.csv"
    report.write_text("Sample ID,Crude Protein % DM,Dry Matter %\n=1+1,7.5,91\n0012,8.5,92\n")
    macros.perform(book, "import_lab", str(report))
    book.opened.save(book.fullname)
    rows = read(Path(book.fullname)).ranch.entries["Samples"].values()
    names = [row["sample_id"] for row in rows]
    assert "0012" in names and "=1+1" in names


def test_a_report_that_does_not_fit_is_refused_before_anything_is_written(tmp_path):
    path = tmp_path / "small.xlsx"
    build(replace(SMALL, sizes={**SMALL.sizes, "sample": 1}), path, links)
    book = Book(path)
    outcome = macros.perform(book, "import_lab", str(LAB_REPORT))
    assert "no room" in outcome.said and "haymow rebuild" in outcome.said
    assert backups(book) == []
    assert read(path).ranch.entries.get("Samples", {}) == {}


@pytest.mark.parametrize(("report", "words"), [
    ("", "No lab report was chosen."), ("nowhere.csv", "nowhere.csv"),
])
def test_a_report_that_is_none_is_one_sentence(report, words, book):
    outcome = macros.perform(book, "import_lab", report)
    assert outcome.said.startswith("Stopped: ") and words in outcome.said
    assert book.outcome()[1] == outcome.said and book.said[-1].endswith(outcome.said)
    assert backups(book) == []


def test_the_plan_is_the_engines_and_stands_on_checks_and_in_the_status_bar(book):
    outcome = macros.perform(book, "plan")
    planned = plan(read(Path(book.fullname)).ranch)
    assert list(outcome.lines) == list(planned.answers["sentence"])
    assert outcome.said == f"{planned.cost}. {planned.overall}"
    assert book.outcome()[1:] == [outcome.said, *outcome.lines]
    assert book.outcome()[0].startswith("Make the plan, 20")
    assert book.said[0] == "Haymow: Make the plan ..." and outcome.said in book.said[-1]
    assert len(book.said) > 3  # progress on the way


def test_a_check_names_the_cell_of_what_needs_correcting(book):
    book.put("Herd", _row_of(book, "Herd"), _column_of(book, "Herd_head"), "'many")
    outcome = macros.perform(book, "check")
    assert any("Herd!" in line and "many" in line for line in outcome.lines)
    assert not any("carried over" in line for line in outcome.lines)


def _column_of(book, name):
    return range_boundaries(book.opened.defined_names[name].attr_text.split("!")[1])[0]


def _row_of(book, table):
    return range_boundaries(book.opened.defined_names[f"{table}_head"].attr_text.split("!")[1])[1]


def test_more_than_fits_on_checks_says_how_much_more(book, monkeypatch):
    long = macros.Outcome("90 things.", tuple(f"line {k}" for k in range(90)))
    monkeypatch.setitem(macros.MACROS, "check", ("Check", lambda book, argument: long))
    macros.perform(book, "check")
    assert len(book.outcome()) == OUTCOME_ROWS
    assert book.outcome()[-1] == f"{92 - OUTCOME_ROWS + 1} more: 'haymow check' lists all."


CUBE = {"cp": 38, "tdn": 70, "rdp": 60, "ca": 0.4, "p": 1, "price": 475}
CORN = {"cp": 7.7, "tdn": 76.4, "rdp": 40, "ca": 0.03, "p": 0.3, "price": 200, "purpose": "TDN"}
MINERAL = {"cp": 0, "tdn": 0, "rdp": 0, "ca": 14, "p": 8, "price": 900, "purpose": "P",
           "label_intake": 0.2}


def short_ranch(**feeds):
    """A hundred cows on hay that is short of protein and energy, and what could be fed."""
    gaps = [{"cp": 0.3, "tdn": 0.5}, {"cp": 0.6, "tdn": 3.0}, {"cp": 0.8, "tdn": 4.5}]
    return gap_ranch(feeds, gaps, hay={"rdp": 70, "ca": 0.5, "p": 0.3}, head=100)


@pytest.fixture(scope="module")
def priced_file(tmp_path_factory):
    path = tmp_path_factory.mktemp("priced") / "ranch.xlsx"
    build(short_ranch(Cube=CUBE, Corn=CORN), path, links)
    return path


@pytest.fixture
def priced(priced_file, tmp_path):
    return Book(Path(shutil.copy(priced_file, tmp_path)))


def saved(book):
    book.opened.save(book.fullname)
    return read(Path(book.fullname)).ranch


def test_least_cost_writes_what_the_command_writes_and_only_into_plan(priced, priced_file):
    before = priced.cells()
    outcome = macros.perform(priced, "least_cost")
    after = priced.cells()
    changed = {where for where in {*before, *after} if before.get(where) != after.get(where)}
    assert {sheet for sheet, _ in changed} == {"Plan", "Checks"}
    (backup,) = backups(priced)
    assert Book(backup).cells() == before and backup.name in outcome.said
    copy = Path(shutil.copy(priced_file, Path(priced.fullname).parent / "by_command.xlsx"))
    main(["plan", str(copy), "--least-cost", "--write"])
    ranch, by_command = saved(priced), read(copy).ranch
    assert ranch.entries["Plan"] == by_command.entries["Plan"] != {}


def test_least_cost_says_cost_before_and_after_products_and_what_stays_short(priced):
    empty = plan(saved(priced))
    outcome = macros.perform(priced, "least_cost")
    planned = plan(saved(priced))
    assert outcome.said.startswith(f"{planned.cost}; before: {empty.cost}. ")
    assert any(line.startswith("Before: Cows, still short") for line in outcome.lines)
    assert (planned.balance["still_short"] == 0).all()  # nothing is short, nothing unknown
    assert "Now nothing is still short." in outcome.lines
    bought = next(line for line in outcome.lines if line.startswith("Feeds for $"))
    assert all(name in bought for name in planned.lines["product"])


def test_least_cost_twice_writes_nothing_the_second_time(priced):
    macros.perform(priced, "least_cost")
    saved(priced)
    said = macros.perform(priced, "least_cost").said
    assert said.endswith("Plan holds these choices already; nothing was written.")
    assert len(backups(priced)) == 1


def test_least_cost_keeps_to_the_feeding_lines_of_the_open_workbook(tmp_path):
    path, ranch = tmp_path / "one.xlsx", short_ranch(Cube=CUBE, Corn=CORN)
    build(replace(ranch, sizes={**ranch.sizes, "line": 1}), path, links)
    one = Book(path)
    assert "cells of Plan written" in macros.perform(one, "least_cost").said
    assert len({row["product"] for row in saved(one).entries["Plan"].values()}) == 1


def test_least_cost_without_a_free_line_says_what_to_do(tmp_path):
    path, ranch = tmp_path / "full.xlsx", short_ranch(Cube=CUBE, Mineral=MINERAL)
    fed = ranch.entries | {"Plan": {1: {"product": "Mineral", "mode": "by its own intake"}}}
    build(replace(ranch, entries=fed, sizes={**ranch.sizes, "line": 1}), path, links)
    book = Book(path)
    assert "haymow rebuild --lines 2" in macros.perform(book, "least_cost").said
    assert backups(book) == []


def test_least_cost_of_nothing_to_plan_is_one_sentence(book):
    said = macros.perform(book, "least_cost").said
    assert said.startswith("Stopped: ") and said.count(".") <= 3
    assert backups(book) == []


def test_a_fault_is_shown_and_raised(book, monkeypatch):
    def fails(book, argument):
        raise ZeroDivisionError("division by zero")
    monkeypatch.setitem(macros.MACROS, "check", ("Check", fails))
    with pytest.raises(ZeroDivisionError):
        macros.perform(book, "check")
    assert "Stopped by a fault: division by zero" in book.said[-1]


def test_where_excel_cannot_copy_an_unsaved_workbook_is_refused(small_file, tmp_path):
    book = Book(Path(shutil.copy(small_file, tmp_path)), system="darwin")
    book.saved = False
    assert "save it and start again" in macros.perform(book, "check").said
    book.saved = True
    assert "to look at" in macros.perform(book, "check").said


@pytest.mark.parametrize("place", ["ranch.xlsx", "https://drive.example/ranch.xlsx"])
def test_a_workbook_without_a_place_on_this_computer_is_refused(place, book):
    book.fullname = place
    assert "ordinary folder" in macros.perform(book, "check").said


def test_a_workbook_without_macros_is_checked_by_run_main(small_file, tmp_path, monkeypatch):
    import xlwings

    plain = tmp_path / "plain.xlsx"
    build(SMALL, plain)
    book = Book(plain)
    monkeypatch.setattr(xlwings.Book, "caller", lambda: book)
    before = book.cells()
    macros.main()
    assert book.cells() == before
    title, words = book.said[-1]
    assert title == "Haymow" and "to look at" in words


def test_the_template_takes_a_report_too(tmp_path):
    path = Path(shutil.copy(ROOT / "workbook_template/haymow-us.xlsm", tmp_path))
    book = Book(path)
    outcome = macros.perform(book, "import_lab", str(LAB_REPORT))
    assert "cells written" in outcome.said
    assert backups(book)[0].suffix == ".xlsm"


def test_the_report_is_written_beside_the_workbook_and_touches_no_cell(book):
    before = {k: v for k, v in book.cells().items() if k[0] != "Checks"}
    outcome = macros.perform(book, "report")
    path = Path(book.fullname).with_name("ranch-report.html")
    assert outcome.said == ("ranch-report.html is written beside the workbook; open it in a browser"
                            " and print it.")
    assert book.outcome()[1] == outcome.said and outcome.said in book.said[-1]
    planned = plan(read(Path(book.fullname)).ranch)
    assert list(outcome.lines) == list(planned.answers["sentence"])
    assert "Feed sheet: Cows" in path.read_text("utf-8")
    assert {k: v for k, v in book.cells().items() if k[0] != "Checks"} == before
    assert backups(book) == []


def test_a_second_report_says_that_it_replaced_the_older_one(book):
    macros.perform(book, "report")
    assert "in place of the older report" in macros.perform(book, "report").said


def test_a_file_of_the_users_own_is_never_replaced_by_a_report(book):
    own = Path(book.fullname).with_name("ranch-report.html")
    own.write_text("my notes")
    assert "left as it is" in macros.perform(book, "report").said
    assert own.read_text() == "my notes"


def test_the_report_of_the_macro_is_the_one_of_the_command(book, tmp_path):
    macros.perform(book, "report")
    main(["report", book.fullname, "--out", str(tmp_path / "command")])
    by_macro = Path(book.fullname).with_name("ranch-report.html").read_text("utf-8")
    by_command = (tmp_path / "command" / "ranch-report.html").read_text("utf-8")
    assert by_macro == by_command
