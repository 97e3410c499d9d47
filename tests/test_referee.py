"""The referee itself: what it must catch, and how it says that it cannot."""

from __future__ import annotations

import math
import os
import subprocess
import sys
import time
import zipfile
from datetime import date, datetime
from pathlib import Path

import pytest
from openpyxl import Workbook

import referee

RIGHT = {"Herd": {"B1": 3.0, "B2": 6.0, "B3": "", "B4": "yes"}}


def _workbook(path: Path) -> Path:
    workbook = Workbook()
    sheet = workbook.active
    sheet.title = "Herd"
    sheet["A1"], sheet["A2"] = 2, 4
    sheet["B1"], sheet["B2"] = "=A1*1.5", "=A2*1.5"
    sheet["B3"], sheet["B4"] = '=IF(A3="","",A3)', '=IF(A1>1,"yes","no")'
    workbook.save(path)
    return path


def _typed(path: Path, **cells: object) -> Path:
    workbook = Workbook()
    workbook.active.title = "Herd"
    for cell, value in cells.items():
        workbook.active[cell] = value
    workbook.save(path)
    return path


@pytest.mark.referee
def test_a_right_workbook_passes_and_one_wrong_expectation_in_a_batch_is_named(tmp_path):
    files = [(_workbook(tmp_path / f"{n}.xlsx"), RIGHT) for n in range(3)]
    assert referee.check(files, tmp_path / "out") == []
    files[1] = (files[1][0], {"Herd": {**RIGHT["Herd"], "B2": 6.00001}})
    assert list(map(str, referee.check(files, tmp_path / "out"))) == [
        "1.xlsx Herd!B2: 6.0; expected 6.00001"
    ]


@pytest.mark.referee
def test_an_answer_of_an_earlier_batch_never_stands_in_for_a_new_one(tmp_path):
    path, out = _workbook(tmp_path / "plan.xlsx"), tmp_path / "out"
    assert referee.check([(path, RIGHT)], out) == []
    with zipfile.ZipFile(path, "w") as emptied:
        emptied.writestr("hello.txt", "a zip, but no workbook")
    with pytest.raises(referee.RefereeError, match=r"nothing back for plan\.xlsx"):
        referee.recalculated([path], out)
    assert not (out / "plan.xlsx").exists()


@pytest.mark.referee
@pytest.mark.parametrize("mode", ["1", "2"], ids=["never", "ask"])
def test_a_referee_that_keeps_stored_values_is_found_blind(tmp_path, monkeypatch, mode):
    kept = referee.SETTINGS.replace("<value>0<", f"<value>{mode}<")
    monkeypatch.setattr(referee, "SETTINGS", kept)
    with pytest.raises(referee.RefereeBlind, match=r"Planted!B1: 41\.0; expected 42\.0"):
        referee.check([(_workbook(tmp_path / "plan.xlsx"), RIGHT)], tmp_path / "out")


@pytest.mark.referee
def test_a_comparison_that_lets_everything_pass_is_found_blind(tmp_path, monkeypatch):
    monkeypatch.setattr(referee, "_same", lambda *_: True)
    with pytest.raises(referee.RefereeBlind, match="B2 and B3"):
        referee.check([(_workbook(tmp_path / "plan.xlsx"), RIGHT)], tmp_path / "out")


@pytest.mark.referee
def test_a_damaged_sheet_is_not_taken_for_agreement(tmp_path):
    path, damaged = _workbook(tmp_path / "plan.xlsx"), tmp_path / "damaged.xlsx"
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(damaged, "w") as new:
        for name in old.namelist():
            whole = old.read(name)
            new.writestr(name, whole[:len(whole) // 2] if "sheet1" in name else whole)
    (answer,) = referee.recalculated([damaged], tmp_path / "out")
    assert {found.cell for found in referee.differences(answer, RIGHT)} == {"B1", "B2", "B4"}


@pytest.mark.referee
def test_a_workbook_is_printed_to_pdf(tmp_path):
    (pdf,) = referee.to_pdf([_workbook(tmp_path / "plan.xlsx")], tmp_path / "out")
    assert pdf.name == "plan.pdf"
    assert pdf.read_bytes().startswith(b"%PDF-")


def test_files_the_referee_cannot_take_are_refused_by_name(tmp_path):
    torn = tmp_path / "torn.xlsx"
    torn.write_bytes(_workbook(tmp_path / "plan.xlsx").read_bytes()[:500])
    (tmp_path / "other").mkdir()
    same = [tmp_path / "plan.xlsx", _workbook(tmp_path / "other" / "plan.xlsx")]
    for paths, folder, words in (
        ([tmp_path / "gone.xlsx"], "out", r"gone\.xlsx is not there"),
        ([torn], "out", r"torn\.xlsx is not a workbook, or a broken one"),
        ([tmp_path / "plan.xlsx"], ".", r"plan\.xlsx would be overwritten"),
        (same, "out", r"plan\.xlsx would be written twice"),
    ):
        with pytest.raises(referee.RefereeError, match=words):
            referee.recalculated(paths, tmp_path / folder)


@pytest.mark.skipif(os.name == "nt", reason="the stand-in that hangs is a shell script")
def test_a_referee_that_hangs_is_ended_with_its_children(tmp_path, monkeypatch):
    hangs = tmp_path / "hangs"
    hangs.write_text(f"#!/bin/sh\nsleep 60 &\necho $! > {tmp_path}/child\nwait\n")
    hangs.chmod(0o755)
    monkeypatch.setattr(referee, "program", lambda: str(hangs))
    start = time.perf_counter()
    with pytest.raises(referee.RefereeError, match="stopped after 1 s"):
        referee.recalculated([_workbook(tmp_path / "plan.xlsx")], tmp_path / "out", timeout=1)
    assert time.perf_counter() - start < 10
    assert not _lives(int((tmp_path / "child").read_text()))


def _lives(process: int) -> bool:
    """Whether a process still runs; one ended but not yet collected does not."""
    for _ in range(20):
        state = subprocess.run(["ps", "-o", "stat=", "-p", str(process)], capture_output=True)
        if state.stdout.strip()[:1] in (b"", b"Z"):
            return False
        time.sleep(0.1)
    return True


@pytest.mark.parametrize(("stored", "want"), [
    (1.0, 1 + 5e-10), ("", None), (None, math.nan), (None, ""), ("hay", "hay"), (True, True),
    (date(2030, 3, 5), 47547.0), (datetime(2030, 3, 5, 12), 47547.5), (47547.0, date(2030, 3, 5)),
], ids=str)
def test_values_that_are_the_same(tmp_path, stored, want):
    path = _typed(tmp_path / "plan.xlsx", B7=stored)
    assert referee.differences(path, {"Herd": {"B7": want}}) == []


@pytest.mark.parametrize(("stored", "want"), [
    (1.0, 1 + 2e-9), (0.0, ""), (None, 0.0), ("1", 1.0), ("hay", "Hay"), (True, 1.0),
    ("#N/A", 1.0), (date(2030, 3, 5), 47548.0), (1.0, math.inf),
], ids=str)
def test_values_that_differ(tmp_path, stored, want):
    path = _typed(tmp_path / "plan.xlsx", B7=stored)
    assert [d.cell for d in referee.differences(path, {"Herd": {"B7": want}})] == ["B7"]


def test_a_small_number_is_judged_by_its_columns_scale_and_by_no_other_column(tmp_path):
    path = _typed(tmp_path / "plan.xlsx", B1=1e6, B2=1e-7, C1=1e-7, C2=5.0)
    want = {"Herd": {"B1": 1e6, "B2": 0.0, "C1": 0.0, "C2": math.inf}}
    assert [found.cell for found in referee.differences(path, want)] == ["C1", "C2"]


def test_a_missing_sheet_and_a_formula_nobody_expects_are_differences(tmp_path):
    path = _workbook(tmp_path / "plan.xlsx")
    (found,) = referee.differences(path, {"Diet": {"A1": 1.0}})
    assert (found.sheet, found.want) == ("Diet", "a sheet of this name")
    part = {"Herd": {"B1": 3.0, "B3": "", "B4": "yes"}}
    assert [found.cell for found in referee.uncovered(path, part)] == ["B2"]
    assert referee.uncovered(path, RIGHT) == []


@pytest.mark.parametrize(("ci", "code", "words"), [
    ("", 0, "LibreOffice not found: 1 check left out"),
    ("true", 1, "LibreOffice not found: CI needs it for 1 check"),
])
def test_without_libreoffice_checks_are_left_out_in_one_line_but_not_in_ci(ci, code, words):
    started = (
        "import sys, pytest, referee; referee.available = lambda: False;"
        f"sys.exit(pytest.main([{__file__!r}, '-k', 'printed_to_pdf or cannot_take']))"
    )
    folder = Path(__file__).parent
    done = subprocess.run([sys.executable, "-c", started], cwd=folder, capture_output=True,
                          text=True, env={**os.environ, "CI": ci, "PYTHONPATH": str(folder)})
    assert (done.returncode, done.stdout.count("LibreOffice not found")) == (code, 1), done.stdout
    assert words in done.stdout
