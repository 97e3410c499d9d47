"""The blank workbooks, and the VBA text in them: read back, and run where it can be."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest
from openpyxl import load_workbook
from pyopenvba import ExcelFile, check_file
from pyopenvba.apps.excel import ExcelApplication
from pyopenvba.interpreter import HostBridge, Interpreter, VBAObject, method

import excel_stubs
import referee
from haymow.dialect import EQUATIONS, parameters
from haymow.excel.generate import help_module
from haymow.excel.macros import MACROS
from haymow.workbook.read import read
from haymow.workbook.template import LINKS, vba_modules, write_templates
from test_excel import FUNCTIONS, plausible

FOLDER = Path(__file__).resolve().parents[1] / "workbook_template"
NAMES = ("haymow-us", "haymow-metric")
MAKE = "run: python workbook_template/make.py"
OURS = ("HaymowMacros", "HaymowHelp", "xlwings_udfs", "xlwings", "Dictionary")
HARD = "C:\\My files\\O'Brien & \"Sons\" 100% ü €😀.csv"


def parts(path):
    with zipfile.ZipFile(path) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def lines(text):
    """The code without attributes, as any reader shows it."""
    kept = [line.rstrip() for line in text.splitlines()]
    return [line for line in kept if line and not line.startswith(("Attribute ", "VERSION "))]


def read_by_oletools(path):
    """Module -> code; in a process of its own, since it warns about its own dependencies."""
    done = subprocess.run([sys.executable, "-m", "oletools.olevba", "--code", "--json", path],
                          capture_output=True, text=True, check=True)
    found = next(each for each in json.loads(done.stdout) if "macros" in each)
    return {Path(macro["vba_filename"]).stem: macro["code"] for macro in found["macros"]}


@pytest.fixture(scope="module")
def vba():
    return vba_modules(FOLDER)


# --- the files

def test_the_templates_are_the_ones_the_builder_makes_byte_for_byte(tmp_path):
    for text in FOLDER.glob("*.bas"):
        shutil.copy(text, tmp_path)
    for made in write_templates(tmp_path):
        ours, theirs = parts(made), parts(FOLDER / made.name)
        assert [name for name in ours if ours[name] != theirs.get(name)] == [], MAKE
        assert list(ours) == list(theirs), MAKE
        assert sorted(ours) == list(ours)


def test_the_wrappers_and_the_help_are_the_ones_the_functions_make():
    with excel_stubs.excel() as udfs:
        imported = excel_stubs.imported(udfs)
    assert (FOLDER / "xlwings_udfs.bas").read_text("ascii") == imported.text, MAKE
    text = help_module()
    assert (FOLDER / "haymow_help.bas").read_text("ascii") == text, MAKE
    for name, told in imported.help.items():  # what xlwings' own import tells Excel
        for words in [told["Description"], *told["ArgumentDescriptions"]]:
            assert '"' + words.replace('"', '""') + '"' in text, name


@pytest.mark.parametrize("name", NAMES)
def test_macros_change_no_sheet_but_checks_and_one_cell_of_start(name):
    def sheets(path):
        workbook = load_workbook(path)
        return {sheet.title: {cell.coordinate: cell.value for row in sheet.iter_rows()
                              for cell in row if cell.value is not None} for sheet in workbook}
    plain, macros = sheets(FOLDER / f"{name}.xlsx"), sheets(FOLDER / f"{name}.xlsm")
    assert list(plain) == list(macros)
    assert {title for title in plain if plain[title] != macros[title]} == {"Start", "Checks"}
    assert set(macros["Start"]) - set(plain["Start"]) == {"E2"}
    assert plain["Checks"].items() <= macros["Checks"].items()


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("ending", [".xlsx", ".xlsm"])
def test_a_template_is_read_as_a_blank_ranch(name, ending):
    reading = read(FOLDER / (name + ending))
    assert reading.ranch.us == (name == "haymow-us")
    assert not any(reading.ranch.entries.values())
    assert [p for p in reading.problems if p.severity != "note"] == []


@pytest.mark.parametrize("name", NAMES)
def test_two_readers_find_the_modules_as_they_were_reviewed(name, vba):
    path = FOLDER / f"{name}.xlsm"
    assert check_file(path).ok
    with ExcelFile(path) as file:
        ours = file.vba_modules()
    theirs = read_by_oletools(path)
    vba = {**vba, "ThisWorkbook": (FOLDER / "this_workbook.bas").read_text("ascii")}
    for module, text in vba.items():
        want = lines(text)[5 if text.startswith("VERSION") else 0:]
        assert lines(ours[module])[-len(want):] == want
        assert lines(theirs[module])[-len(want):] == want
    others = set(theirs) - set(vba)
    assert not any(lines(theirs[other]) for other in others)  # the sheets have no code


@pytest.mark.parametrize("name", NAMES)
def test_saving_with_another_library_keeps_the_project(name, tmp_path):
    workbook = load_workbook(FOLDER / f"{name}.xlsm", keep_vba=True)
    workbook.save(tmp_path / "again.xlsm")
    project = "xl/vbaProject.bin"
    assert parts(tmp_path / "again.xlsm")[project] == parts(FOLDER / f"{name}.xlsm")[project]


@pytest.mark.referee
def test_another_spreadsheet_program_opens_all_four_and_agrees_with_their_values(tmp_path):
    paths = [FOLDER / (name + ending) for name in NAMES for ending in (".xlsx", ".xlsm")]
    copies = [shutil.copy(path, tmp_path / f"{path.stem}{path.suffix[1:]}{path.suffix}")
              for path in paths]
    checked = []
    for copy in map(Path, copies):
        formulas, values = load_workbook(copy), load_workbook(copy, data_only=True)
        checked.append((copy, {sheet.title: {
            cell.coordinate: values[sheet.title][cell.coordinate].value
            for row in sheet.iter_rows() for cell in row if cell.data_type == "f"}
            for sheet in formulas}))
    assert referee.check(checked, tmp_path / "again") == []


# --- the code

def test_no_line_or_module_is_longer_than_vba_takes(vba):
    for text in vba.values():
        assert max(map(len, text.splitlines())) <= 1023
        procedures = re.findall(r"^(?:Public |Private )?(?:Sub|Function) .*?^End (?:Sub|Function)",
                                text, re.M | re.S)
        assert all(len(procedure) < 64_000 for procedure in procedures)
        assert len(text.splitlines()) < 65_000
        assert not re.search(r"(?:_\n[^\n]*){25}", text)  # at most 24 line continuations


def test_no_cell_can_start_a_macro_by_its_name_as_a_formula(vba):
    public = re.findall(r"^Public (?:Sub|Function) (\w+)", vba["HaymowMacros"], re.M)
    assert public and not any(re.fullmatch(r"[A-Za-z]{1,3}[0-9]+", name) for name in public)


@pytest.fixture(scope="module")
def office():
    """The macros in a stand-in for Excel, whose Python answers all but "check"."""
    app = ExcelApplication()
    app.add_workbook()
    app.add_named_range("macro_outcome", "=Sheet1!$B$2:$B$31")
    for name, file, kind in (("HaymowMacros", "haymow_macros.bas", "standard"),
                             ("HaymowHelp", "haymow_help.bas", "standard"),
                             ("ThisWorkbook", "this_workbook.bas", "document")):
        app.add_module((FOLDER / file).read_text("ascii"), name=name, kind=kind)
    app.add_module(
        "Public Asked As String\n"
        "Public Function RunPython(PythonCommand As String)\n"
        "    Asked = PythonCommand\n"
        '    If InStr(PythonCommand, "check") = 0 Then ThisWorkbook.Names("macro_outcome")'
        '.RefersToRange.Cells(1, 1).Value = "answered"\n'
        "End Function\n"
        "Public Function AskedFor() As String\n"
        "    AskedFor = Asked\n"
        '    Asked = ""\n'
        "End Function\n", name="xlwings")
    return app


@pytest.mark.parametrize("link", [name for name in LINKS
                                  if name not in ("macro_import_lab", "macro_help")])
def test_a_link_starts_its_macro_in_python(link, office):
    office.run("HaymowMacros.FollowLink", link)
    command = office.run("AskedFor")
    name = re.fullmatch(r"from haymow\.excel\.macros import run; run\('(\w+)', ''\)", command)[1]
    assert name in MACROS and link == f"macro_{name}"


def test_every_link_has_a_macro_and_every_macro_a_link(vba):
    cases = set(re.findall(r'Case "(\w+)":', vba["HaymowMacros"]))
    assert cases == set(LINKS)
    assert {name.removeprefix("macro_") for name in cases} - {"help"} == set(MACROS)


def test_another_link_starts_nothing(office):
    office.run("HaymowMacros.FollowLink", "Herd!A1")
    assert office.run("AskedFor") == ""


def test_silence_of_python_is_said_in_words_that_help(office):
    before = len(office.interpreter.dialogs)
    office.run("HaymowMacros.CheckWorkbook")  # RunPython of the stand-in leaves it unanswered
    kind, words, title, _ = office.interpreter.dialogs[-1]
    assert len(office.interpreter.dialogs) == before + 1
    assert (kind, title) == ("MsgBox", "Haymow")
    assert "haymow excel check" in words and "every answer in it is a formula" in words


def test_a_file_name_reaches_python_whatever_stands_in_it(office):
    units = HARD.encode("utf-16-be")
    as_in_vba = "".join(chr(int.from_bytes(units[k:k + 2])) for k in range(0, len(units), 2))
    command = office.run("HaymowMacros.CommandFor", "import_lab", as_in_vba)
    digits = re.fullmatch(r".*run\('import_lab', '([0-9A-F]*)'\)", command)[1]
    assert bytes.fromhex(digits).decode("utf-16-be") == HARD


def test_the_status_bar_goes_back_to_excel_only_from_us(office):
    office.application.status_bar = "Haymow: done"
    office.run("HaymowMacros.ClearStatus")
    assert office.application.status_bar is False
    office.application.status_bar = "another program"
    office.run("HaymowMacros.ClearStatus")
    assert office.application.status_bar == "another program"


class Python(VBAObject):
    """What ``XLPy`` is in a wrapper: the server that calls a function."""

    def __init__(self, udfs):
        self.udfs = udfs

    @method
    def CallUDF(self, Module, Function, Arguments):  # noqa: N802, N803  VBA's names
        return self.udfs.call_udf(Module, Function, tuple(Arguments.items))[0][0]


class Host(HostBridge):
    def __init__(self, udfs):
        self.server = Python(udfs)

    def global_object(self, name):
        return self.server if name == "xlpy" else super().global_object(name)


def test_every_wrapper_calls_its_function_with_its_arguments():
    """The VBA text itself, run; its branch for other programs, which has no calling cell."""
    text = (FOLDER / "xlwings_udfs.bas").read_text("ascii").replace(
        """#Const App = "Microsoft Excel" 'Adjust when using outside of Excel""", "")
    with excel_stubs.excel() as udfs:
        vba = Interpreter(host=Host(udfs))
        vba.add_module(text, name="xlwings_udfs")
        wrong = {}
        for name in FUNCTIONS:
            quantity = name.removeprefix("HM_").lower()
            if quantity not in EQUATIONS:
                continue
            given = [plausible(each) for each in parameters(EQUATIONS[quantity].function)]
            got, want = vba.run(name, given), excel_stubs.called(udfs, name, *given)[0][0]
            if got != want:
                wrong[name] = (got, want)
    assert wrong == {}
