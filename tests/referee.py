"""LibreOffice Calc as the referee: a second opinion on every formula cell.

Its two traps are closed here. It keeps the values stored in a file unless its settings say
otherwise, so the settings are written before every start; and it has gone blind without a word,
so every batch of ``check`` holds a workbook with planted wrong values that must be caught.
"""

from __future__ import annotations

import math
import os
import re
import shutil
import signal
import subprocess
import tempfile
import zipfile
from collections.abc import Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from numbers import Real
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

from openpyxl import Workbook, load_workbook
from openpyxl.utils import get_column_letter
from openpyxl.utils.datetime import to_excel

__all__ = [
    "Difference", "Expected", "RefereeBlind", "RefereeError", "available", "check", "differences",
    "recalculated", "to_pdf", "uncovered",
]

Expected = Mapping[str, Mapping[str, object]]  # sheet -> cell, such as "B7" -> value

SETTINGS = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load">
<prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop></item>
<item oor:path="/org.openoffice.Office.Calc/Formula/Load">
<prop oor:name="ODFRecalcMode" oor:op="fuse"><value>0</value></prop></item>
</oor:items>
"""  # 0: always recalculate
XLSX = "xlsx:Calc MS Excel 2007 XML"
NO_VALUE = "(no value expected)"


class RefereeError(Exception):
    """LibreOffice did not do what it was asked."""


class RefereeBlind(RefereeError):  # noqa: N818  it is what it says
    """The referee passed a value that was planted wrong: nothing it says counts."""


@dataclass(frozen=True)
class Difference:
    """A cell whose value is not the expected one."""

    file: str
    sheet: str
    cell: str
    want: object
    got: object

    def __str__(self) -> str:
        return f"{self.file} {self.sheet}!{self.cell}: {self.got!r}; expected {self.want!r}"


def available() -> bool:
    """Whether LibreOffice is on this computer."""
    return program() is not None


def program() -> str | None:
    """LibreOffice's program, on the PATH or where its installers put it."""
    folders = map(os.environ.get, ("ProgramFiles", "ProgramW6432", "ProgramFiles(x86)"))
    places = [Path("/Applications/LibreOffice.app/Contents/MacOS/soffice")]
    places += [Path(f, "LibreOffice", "program", "soffice.com") for f in folders if f]
    found = shutil.which("soffice") or shutil.which("libreoffice")
    return found or next((str(place) for place in places if place.exists()), None)


def recalculated(paths: Sequence[Path], folder: Path, timeout: float = 900) -> list[Path]:
    """Have every formula of ``paths`` worked out anew, in one call; return the new files.

    They stand in ``folder`` under the same names. Raises RefereeError, naming each file that did
    not come back.
    """
    return _converted(paths, folder, XLSX, timeout)


def to_pdf(paths: Sequence[Path], folder: Path, timeout: float = 300) -> list[Path]:
    """Print ``paths`` to PDF files in ``folder``, in one call."""
    return _converted(paths, folder, "pdf", timeout)


def check(files: Sequence[tuple[Path, Expected]], folder: Path) -> list[Difference]:
    """Recalculate workbooks and list every formula cell that is not as expected.

    A formula cell without an expected value is listed too. Raises RefereeBlind where the values
    planted in the same batch are not caught.
    """
    folder.mkdir(parents=True, exist_ok=True)
    bait = folder / "bait" / "planted.xlsx"
    _plant(bait)
    *answers, planted = recalculated([*(path for path, _ in files), bait], folder)
    _catch(planted)
    found = []
    for (path, expected), answer in zip(files, answers, strict=True):
        found += uncovered(path, expected) + differences(answer, expected)
    return found


def differences(path: Path, expected: Expected, tolerance: float = 1e-9) -> list[Difference]:
    """The cells whose stored value is not the expected one.

    Numbers may differ by ``tolerance`` of their size, or of a thousandth of their column's
    largest expected number. Text must be the same; blank, None, "" and NaN are one. Dates are
    serial numbers. TRUE is not 1: Excel's COUNT leaves it out, LibreOffice's does not.
    """
    found = []
    with closing(load_workbook(path, data_only=True, read_only=True)) as workbook:
        for sheet, wanted in expected.items():
            if sheet in workbook.sheetnames:
                found += _wrong(path.name, workbook[sheet], wanted, tolerance)
            else:
                found.append(Difference(path.name, sheet, "", "a sheet of this name", None))
    return found


def uncovered(path: Path, expected: Expected) -> list[Difference]:
    """The formula cells of a workbook for which nothing is expected."""
    found = []
    with zipfile.ZipFile(path) as parts:
        for sheet, part in _parts(parts).items():
            cells = re.findall(r'<c r="([A-Z]+[0-9]+)"[^>]*><f\b', parts.read(part).decode())
            wanted = expected.get(sheet, {})
            found += [Difference(path.name, sheet, cell, NO_VALUE, "a formula")
                      for cell in cells if cell not in wanted]
    return found


def _converted(paths: Sequence[Path], folder: Path, form: str, timeout: float) -> list[Path]:
    folder.mkdir(parents=True, exist_ok=True)
    ending = "." + form.partition(":")[0]
    wanted = [folder / path.with_suffix(ending).name for path in paths]
    _refuse(paths, wanted)
    for path in wanted:
        path.unlink(missing_ok=True)
    with tempfile.TemporaryDirectory(prefix="office-", ignore_cleanup_errors=True) as profile:
        said = _start(Path(profile).resolve(), ["--convert-to", form, "--outdir", str(folder),
                                                *map(str, paths)], timeout)
    lost = [path.name for path, want in zip(paths, wanted, strict=True) if not want.exists()]
    if lost:  # its exit status is 0 all the same
        raise RefereeError(f"LibreOffice gave nothing back for {', '.join(lost)}; it said: {said}")
    return wanted


def _refuse(paths: Sequence[Path], wanted: Sequence[Path]) -> None:
    """Stop at what LibreOffice would pass over, overwrite or take for a text file."""
    for path, want in zip(paths, wanted, strict=True):
        if not path.exists():
            raise RefereeError(f"{path} is not there.")
        if not zipfile.is_zipfile(path):
            raise RefereeError(f"{path} is not a workbook, or a broken one.")
        if want.resolve() == path.resolve():
            raise RefereeError(f"{path} would be overwritten; give another folder.")
    names = [want.name for want in wanted]
    twice = sorted({name for name in names if names.count(name) > 1})
    if twice:
        raise RefereeError(f"{', '.join(twice)} would be written twice; rename the files.")


def _start(profile: Path, words: list[str], timeout: float) -> str:
    """Run LibreOffice in a profile of its own; return what it said."""
    office = program()
    if office is None:
        raise RefereeError("LibreOffice not found.")
    (profile / "user").mkdir(exist_ok=True)
    (profile / "user" / "registrymodifications.xcu").write_text(SETTINGS, encoding="utf-8")
    command = [office, f"-env:UserInstallation={profile.as_uri()}", "--headless", *words]
    log = profile / "said.txt"
    with log.open("wb") as out:  # not a pipe: its children would hold that open past a time-out
        started = subprocess.Popen(command, stdout=out, stderr=out, stdin=subprocess.DEVNULL,
                                   start_new_session=True)
        try:
            started.wait(timeout)
        except subprocess.TimeoutExpired:
            raise RefereeError(f"LibreOffice was stopped after {timeout:g} s.") from None
        finally:
            _end(started)
    return " ".join(log.read_text("utf-8", errors="replace").split()) or "nothing"


def _end(started: subprocess.Popen[bytes]) -> None:
    """End a process that still runs, with its children."""
    if started.poll() is not None:
        return
    if os.name == "nt":
        subprocess.run(["taskkill", "/F", "/T", "/PID", str(started.pid)], capture_output=True)
    else:
        os.killpg(started.pid, signal.SIGKILL)
    started.wait()


BAIT = {  # cell: formula, the wrong value stored beside it, the right one
    "B1": ("=A1*21", "41", 42),
    "B2": ("=A1+5", "7", 7),  # the one stored right; the expectation is planted wrong
    "B3": ('=IF(A1>1,"yes","no")', "no", "yes"),
}


def _plant(path: Path) -> None:
    """Write the workbook with planted values: formulas beside stored values that are wrong."""
    path.parent.mkdir(exist_ok=True)
    workbook = Workbook()
    sheet = workbook.active
    sheet.title, sheet["A1"] = "Planted", 2
    for cell, (formula, _, _) in BAIT.items():
        sheet[cell] = formula
    plain = path.with_name("plain.xlsx")
    workbook.save(plain)
    with zipfile.ZipFile(plain) as old, zipfile.ZipFile(path, "w") as new:
        for name in old.namelist():
            data = old.read(name).decode()
            if name == "xl/worksheets/sheet1.xml":
                for cell, (_, stored, _) in BAIT.items():
                    data = _stored(data, cell, stored)
            new.writestr(name, data)


def _stored(xml: str, cell: str, value: str) -> str:
    """The sheet's text with ``value`` stored in a formula cell."""
    kind = "" if value.isdigit() else ' t="str"'
    xml, times = re.subn(rf'<c r="{cell}"[^>]*>(<f>.*?</f>)<v\s*(/>|></v>)',
                         rf'<c r="{cell}"{kind}>\1<v>{value}</v>', xml)
    if times != 1:
        raise RefereeError(f"no wrong value could be planted in {cell}")
    return xml


def _catch(planted: Path) -> None:
    """Raise RefereeBlind unless the planted values are caught, and only those."""
    kept = differences(planted, {"Planted": {cell: right for cell, (_, _, right) in BAIT.items()}})
    if kept:
        raise RefereeBlind(f"LibreOffice did not recalculate: {'; '.join(map(str, kept))}")
    wrong = {"B1": 42, "B2": 7 * (1 + 2e-8), "B3": "Yes"}  # B2: just past the tolerance
    caught = [found.cell for found in differences(planted, {"Planted": wrong})]
    if caught != ["B2", "B3"]:
        raise RefereeBlind(f"of the wrong expectations in B2 and B3, only {caught} were caught")


def _wrong(file: str, sheet: Any, wanted: Mapping[str, object], tolerance: float
           ) -> list[Difference]:
    values, scales, found = _values(sheet), _scales(wanted), []
    for cell, value in wanted.items():
        want, got = _plain(value), _plain(values.get(cell))
        if not _same(want, got, tolerance, scales.get(_column(cell), 0.0)):
            found.append(Difference(file, sheet.title, cell, want, got))
    return found


def _values(sheet: Any) -> dict[str, object]:
    """The filled cells of a sheet opened read-only."""
    sheet.reset_dimensions()  # a stated range that is too small would hide cells
    letters: list[str] = []
    values = {}
    for number, row in enumerate(sheet.iter_rows(values_only=True), 1):
        letters += [get_column_letter(place + 1) for place in range(len(letters), len(row))]
        for letter, value in zip(letters, row, strict=False):
            if value is not None:
                values[f"{letter}{number}"] = value
    return values


def _scales(wanted: Mapping[str, object]) -> dict[str, float]:
    """The largest expected number of each column."""
    scales: dict[str, float] = {}
    for cell, value in wanted.items():
        size = _plain(value)
        if isinstance(size, float) and math.isfinite(size):
            scales[_column(cell)] = max(scales.get(_column(cell), 0.0), abs(size))
    return scales


def _column(cell: str) -> str:
    return cell.rstrip("0123456789")


def _plain(value: object) -> object:
    """A value as float, text, True, False or None."""
    if isinstance(value, (date, datetime, time, timedelta)):
        return float(to_excel(value))
    if isinstance(value, Real) and not isinstance(value, bool):
        return None if math.isnan(value) else float(value)
    return None if value == "" else value


def _same(want: object, got: object, tolerance: float, scale: float) -> bool:
    if isinstance(want, float) and isinstance(got, float):
        room = tolerance * max(abs(want), 1e-3 * scale)
        return math.isfinite(want) and abs(want - got) <= room
    return type(want) is type(got) and want == got


def _parts(parts: zipfile.ZipFile) -> dict[str, str]:
    """Each sheet's name and the part of the file that holds it."""
    ends = {link.get("Id"): link.get("Target", "").removeprefix("/").removeprefix("xl/")
            for link in ElementTree.fromstring(parts.read("xl/_rels/workbook.xml.rels"))}
    book = ElementTree.fromstring(parts.read("xl/workbook.xml"))
    return {sheet.get("name", ""): "xl/" + ends[value]
            for sheet in book.iter() if sheet.tag.endswith("}sheet")
            for key, value in sheet.items() if key.endswith("}id")}
