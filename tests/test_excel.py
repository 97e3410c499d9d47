"""The functions as a worksheet calls them: through xlwings' own dispatch, see excel_stubs."""

from __future__ import annotations

import datetime as dt
import inspect
import re
from decimal import Decimal
from pathlib import Path

import numpy as np
import pytest
from scipy.stats import norm

import excel_stubs
from excel_stubs import DIV0, MISSING, NA, SPILL, Cells, called
from haymow.dialect import EQUATIONS, parameters
from haymow.excel import answers, handbook
from haymow.excel.check import Machine, check_report, install
from haymow.excel.generate import function_name, modules, with_table
from haymow.excel.offered import CATEGORY, MOST_HELP
from haymow.plan import plan
from haymow.problems import InputError
from haymow.quantities import glossary
from haymow.ranch import Ranch
from haymow.units import KG_PER_LB, TONNE_PER_TON

ROOT = Path(__file__).resolve().parents[1]
PUBLISHED = sorted(e.name for e in EQUATIONS.values()
                   if e.published and e.function.__module__.startswith("haymow.equations."))
FUNCTIONS = [*answers.__all__, *map(function_name, PUBLISHED)]
JANUARY = dt.datetime(2027, 1, 15, tzinfo=dt.UTC)  # pywin32's dates have a time zone
CALVES = dt.datetime(2027, 3, 1, tzinfo=dt.UTC)
ADDRESS = re.compile(r"[A-Z]{1,3}[0-9]+|R[0-9]*C[0-9]*")
VBA_WORDS = {  # reserved identifiers of [MS-VBAL] 3.3.5.2, and words with a meaning in statements
    "abs", "access", "addressof", "alias", "and", "any", "append", "array", "as", "attribute",
    "base", "binary", "boolean", "byref", "byte", "byval", "call", "case", "cbool", "cbyte", "ccur",
    "cdate", "cdbl", "cdec", "cint", "circle", "clng", "clnglng", "clngptr", "close", "compare",
    "const", "csng", "cstr", "currency", "cvar", "cverr", "database", "date", "debug", "decimal",
    "declare", "defbool", "defbyte", "defcur", "defdate", "defdbl", "defdec", "defint", "deflng",
    "deflnglng", "deflngptr", "defobj", "defsng", "defstr", "defvar", "dim", "do", "doevents",
    "double", "each", "else", "elseif", "empty", "end", "endif", "enum", "eqv", "erase", "error",
    "event", "exit", "explicit", "false", "fix", "for", "friend", "function", "get", "global",
    "gosub", "goto", "if", "imp", "implements", "in", "input", "inputb", "int", "integer", "is",
    "lbound", "len", "lenb", "let", "lib", "like", "line", "lock", "long", "longlong", "longptr",
    "loop", "lset", "me", "mid", "midb", "mod", "module", "name", "new", "next", "not", "nothing",
    "null", "object", "on", "open", "option", "optional", "or", "output", "paramarray", "preserve",
    "print", "private", "property", "pset", "public", "put", "raiseevent", "random", "read",
    "redim", "rem", "reset", "resume", "return", "rset", "scale", "seek", "select", "set", "sgn",
    "shared", "single", "spc", "static", "step", "stop", "string", "sub", "tab", "text", "then",
    "time", "to", "true", "type", "typeof", "ubound", "unlock", "until", "variant", "wend", "while",
    "width", "with", "withevents", "write", "xor",
}


@pytest.fixture(scope="module")
def udfs():
    with excel_stubs.excel() as found:
        yield found


@pytest.fixture(scope="module")
def imported(udfs):
    return excel_stubs.imported(udfs)


def plausible(name):
    """A number two fifths of the way between the quantity's limits."""
    line = glossary()[name]
    low = line.low if np.isfinite(line.low) else -100.0
    high = line.high if np.isfinite(line.high) else low + 200.0
    return float(low + 0.4 * (high - low))


# --- what is made

def test_the_modules_of_functions_are_the_ones_the_equations_make():
    folder = ROOT / "engine/haymow/excel/handbook"
    found = {path.name: path.read_text("utf-8") for path in folder.glob("*.py")}
    assert found == modules(), "run: python workbook_template/make.py"


def test_the_table_in_the_docs_is_the_one_the_functions_make():
    page = (ROOT / "docs/excel.md").read_text("utf-8")
    assert page == with_table(page), "run: python workbook_template/make.py"
    assert all(f"`{name}`" in page for name in FUNCTIONS)


def test_every_published_equation_is_a_function_with_its_quantities_as_arguments():
    assert sorted(handbook.__all__) == sorted(map(function_name, PUBLISHED))
    for name in PUBLISHED:
        function = getattr(handbook, function_name(name))
        assert list(inspect.signature(function).parameters) == parameters(EQUATIONS[name].function)


def test_functions_that_answer_a_question_give_quantities_of_the_glossary_too():
    for name in answers.__all__:
        assert name == function_name(name.removeprefix("HM_").lower())
        assert name.removeprefix("HM_").lower() in glossary()


@pytest.mark.parametrize("name", FUNCTIONS)
def test_a_function_can_be_typed_into_a_cell_and_stand_in_vba(name, imported):
    arguments = list(inspect.signature(getattr(answers, name, None)
                                       or getattr(handbook, name)).parameters)
    for word in [name, *arguments]:
        assert re.fullmatch(r"[A-Za-z]\w{0,254}", word)
        assert not ADDRESS.fullmatch(word.upper())
        assert word.lower() not in VBA_WORDS
    assert "caller" not in arguments
    assert re.search(rf"^Function {name}\((Optional )?{arguments[0]}\b", imported.text, re.M)


@pytest.mark.parametrize("word", ["HM1", "CP1", "R1C1", "sub", "date"])
def test_a_name_that_excel_or_vba_reads_otherwise_is_found(word):
    assert ADDRESS.fullmatch(word.upper()) or word.lower() in VBA_WORDS


@pytest.mark.parametrize("name", FUNCTIONS)
def test_excel_explains_the_function_and_each_argument_in_full(name, imported):
    told = imported.help[name]
    assert told["Category"] == CATEGORY
    names = list(inspect.signature(getattr(answers, name, None)
                                   or getattr(handbook, name)).parameters)
    assert len(told["ArgumentDescriptions"]) == len(names)
    for text in [told["Description"], *told["ArgumentDescriptions"]]:
        assert 0 < len(text) <= MOST_HELP and "\n" not in text and text.isascii()
    for argument, text in zip(names, told["ArgumentDescriptions"], strict=True):
        if argument != "class_name":
            assert text.startswith(glossary()[argument].label)


# --- every function, called from a worksheet

@pytest.mark.parametrize("quantity", PUBLISHED)
def test_cells_of_any_shape_give_what_the_engine_gives(quantity, udfs):
    names = parameters(EQUATIONS[quantity].function)
    values = [plausible(name) for name in names]
    with np.errstate(all="ignore"):
        want = float(EQUATIONS[quantity].function(*map(np.float64, values)))
    if not np.isfinite(want):
        want = f"ERR: {glossary()[quantity].label} cannot be worked out from these values."
    name = function_name(quantity)
    same = pytest.approx(want, rel=1e-12) if isinstance(want, float) else want
    first, rest = values[0], values[1:]
    assert called(udfs, name, *values) == [[same]]
    assert called(udfs, name, Cells((first,), (first,)), *rest) == [[same], [same]]
    block = called(udfs, name, Cells((first, None), (first, first)), *rest)
    assert block == [[same, ""], [same, same]]
    columns = [Cells((value,), (value,), (value,)) for value in values]
    assert called(udfs, name, *columns) == [[same]] * 3


@pytest.mark.parametrize("quantity", PUBLISHED)
def test_no_cell_that_is_not_a_plausible_number_gives_one(quantity, udfs):
    _first, *rest = map(plausible, parameters(EQUATIONS[quantity].function))
    label = glossary()[parameters(EQUATIONS[quantity].function)[0]].label
    odd = [None, "", "  ", NA, SPILL, "ERR: Weight is 9 kg.", "much", True, JANUARY, 1e12]
    got = [row[0] for row in called(udfs, function_name(quantity),
                                    Cells(*[(cell,) for cell in odd]), *rest)]
    assert got[:3] == ["", "", ""]
    assert got[3:6] == [f"ERR: {label} is #N/A.", f"ERR: {label} is an error.",
                        "ERR: Weight is 9 kg."]
    assert all(text.startswith("ERR: ") for text in got[6:])
    assert label in got[9] and "expected" in got[9]


# --- how cells are read

def test_an_error_is_passed_on_even_where_another_cell_is_blank(udfs):
    assert called(udfs, "HM_VALUE_PCT_DM", DIV0, None) == [["ERR: As fed is #DIV/0!."]]


def test_a_wrong_number_says_what_was_expected(udfs):
    got = called(udfs, "HM_TDN_FROM_ADF_PCT_DM", 130.0, 88.9, 0.779)
    assert got == [["ERR: ADF is 130 % of DM; expected 10 to 75 % of DM."]]


def test_a_row_and_a_column_span_a_table(udfs):
    got = called(udfs, "HM_VALUE_PCT_DM", Cells((9.0,), (18.0,)), Cells((90.0, 50.0, 45.0)))
    assert got == [[pytest.approx(x) for x in row] for row in [[10, 18, 20], [20, 36, 40]]]


def test_ranges_that_do_not_fit_say_so_in_one_cell(udfs):
    got = called(udfs, "HM_VALUE_PCT_DM", Cells((9.0,), (18.0,)), Cells((90.0,), (50.0,), (45.0,)))
    assert got == [["ERR: The ranges have 2 x 1, 3 x 1 cells; expected the same number of rows and"
                    " columns, or one cell."]]


@pytest.mark.parametrize(("cell", "want"), [
    (Decimal("35"), 35.0),  # a cell formatted as currency
    ("35", 35.0), ("85 lb", 85 * KG_PER_LB), ("85lbs", 85 * KG_PER_LB), ("35 kg", 35.0),
])
def test_currency_and_numbers_typed_with_their_unit_are_understood(cell, want, udfs):
    day = 250.0
    engine = EQUATIONS["pregnancy_nem_mcal_per_day"].function(day, want)
    got = called(udfs, "HM_PREGNANCY_NEM_MCAL_PER_DAY", day, cell)
    assert got == [[pytest.approx(float(engine), rel=1e-12)]]


# --- functions that answer a question at once

COW = {"class_name": "mature cow", "shrunk_weight_kg": 567.0, "asked_on": JANUARY,
       "calves_on": CALVES, "peak_milk_kg_per_day": 9.0}
HEIFER = {"class_name": "replacement heifer", "shrunk_weight_kg": 255.0, "asked_on": JANUARY,
          "gain_kg_per_day": 0.5, "mature_weight_kg": 545.0}


def asked(udfs, name, **given):
    """A call with arguments by name; those that are not given are left out, as in Excel."""
    names = inspect.signature(getattr(answers, name)).parameters
    return called(udfs, name, *[given.get(each, MISSING) for each in names])


def planned_need(animal, nutrient):
    """The same animal as a group of its own in a plan of one month."""
    row = {"group": "Group", "class_name": animal["class_name"], "head": 1,
           "weight": animal["shrunk_weight_kg"], "weighed_shrunk": "yes",
           "first_calf_on": animal["calves_on"].date() if "calves_on" in animal else None,
           "calving_season_days": 1, "peak_milk": animal.get("peak_milk_kg_per_day"),
           "gain": animal.get("gain_kg_per_day"), "mature_weight": animal.get("mature_weight_kg")}
    sizes = {"month": 1, "line": 1, "group": 1, "forage": 1, "product": 2, "sample": 1}
    needs = plan(Ranch({"Herd": {1: row}}, {"first_month": dt.date(2027, 1, 1)}, sizes, us=False)
                 ).needs
    return needs.set_index("nutrient").at[nutrient, "need"]


@pytest.mark.parametrize("animal", [COW, HEIFER], ids=["cow", "heifer"])
@pytest.mark.parametrize(("name", "nutrient"), [
    ("HM_CLASS_CP_NEED_KG_PER_DAY", "CP"), ("HM_CLASS_TDN_NEED_KG_PER_DAY", "TDN"),
    ("HM_CLASS_NEM_NEED_MCAL_PER_DAY", "NEm"),
])
def test_the_need_of_a_class_is_what_the_plan_says_of_such_a_group(name, nutrient, animal, udfs):
    want = planned_need(animal, nutrient)
    assert asked(udfs, name, **animal) == [[pytest.approx(want, rel=1e-12)]]


def test_needs_of_many_cells_and_months_stand_each_in_its_place(udfs):
    july = JANUARY.replace(month=7)
    days = Cells((JANUARY,), (july,), (None,), (JANUARY,))
    got = asked(udfs, "HM_CLASS_CP_NEED_KG_PER_DAY", **COW | {"asked_on": days})
    alone = [asked(udfs, "HM_CLASS_CP_NEED_KG_PER_DAY", **COW | {"asked_on": day})[0]
             for day in (JANUARY, july)]
    assert got == [alone[0], alone[1], [""], alone[0]]
    assert alone[1][0] > 1.2 * alone[0][0]  # in milk she needs more than late in pregnancy


def test_a_need_that_lacks_something_asks_for_it(udfs):
    got = asked(udfs, "HM_CLASS_CP_NEED_KG_PER_DAY", **COW | {"calves_on": MISSING})
    assert got == [["ERR: When is the first calf due?"]]


def test_an_unknown_class_is_told_the_known_ones(udfs):
    got = asked(udfs, "HM_CLASS_CP_NEED_KG_PER_DAY", **COW | {"class_name": "kow"})
    assert re.fullmatch(r"ERR: Class is 'kow'; expected mature cow, .*, mature bull\.", got[0][0])


def test_a_day_that_is_none_is_refused(udfs):
    got = asked(udfs, "HM_CLASS_CP_NEED_KG_PER_DAY",
                **COW | {"asked_on": Cells(("soon",), (567.0,))})
    assert got == [["ERR: Day is 'soon'; expected a date."],
                   ["ERR: Day is 567; expected a date from 2000 to 2099."]]


def test_intake_follows_the_forage_and_its_fiber(udfs):
    tdn = Cells((45.0,), (55.0,), (65.0,))
    free = asked(udfs, "HM_CLASS_FORAGE_INTAKE_KG_PER_DAY", **COW, forage_tdn_pct_dm=tdn)
    eaten = [row[0] for row in free]
    assert 0.015 * 567 < eaten[0] < eaten[1] < eaten[2] < 0.03 * 567
    capped = asked(udfs, "HM_CLASS_FORAGE_INTAKE_KG_PER_DAY", **COW, forage_tdn_pct_dm=tdn,
                   forage_ndf_pct_dm=80.0)
    assert max(row[0] for row in capped) <= 0.013 * 567 / 0.80 + 1e-9


def test_a_published_gap_is_closed_by_the_published_amount(udfs):
    """Oklahoma State newsletter series: 25 lb of 5 % CP, 1.84 lb needed, a 38 % cube."""
    short = called(udfs, "HM_SHORT_OR_OVER_KG_PER_DAY", "25 lb/day", 5.0, "1.84 lb/day")[0][0]
    assert short / KG_PER_LB == pytest.approx(-0.59, abs=0.005)
    cube = called(udfs, "HM_TO_FEED_KG_PER_DAY", -short, 38.0, 5.0, MISSING)[0][0]
    assert 1.54 <= cube / KG_PER_LB <= 1.56


def test_a_feed_that_holds_too_little_is_refused_however_much_is_fed(udfs):
    got = called(udfs, "HM_TO_FEED_KG_PER_DAY", Cells((0.3,), (0.0,)), 5.0, 7.0, 1.0)
    assert got == [["ERR: The feed holds too little to close what is short."], [0.0]]


@pytest.mark.parametrize(("price", "dm", "content", "want", "within", "source"), [
    (150, 90, 30, 0.28, 0.005, "Iowa State 2020, dried distillers, CP"),
    (3.65 / 56 * 2000, 85, 8.6, 0.89, 0.005, "Iowa State 2020, corn, CP"),
    (175, 87, 40.6, 0.2477, 0.0001, "North Dakota State 2009, canola meal, CP"),
    (118, 86, 88, 0.08, 0.005, "Nebraska 2020, corn, TDN"),
    (100, 90, 52, 0.11, 0.005, "Nebraska 2020, hay, TDN"),
])
def test_a_pound_of_a_nutrient_costs_what_extension_prints(price, dm, content, want, within,
                                                           source, udfs):
    per_tonne = price / TONNE_PER_TON
    got = called(udfs, "HM_NUTRIENT_USD_PER_KG", per_tonne, float(dm), float(content))[0][0]
    assert got * KG_PER_LB == pytest.approx(want, abs=within), source


def test_the_chance_of_enough_is_that_of_a_normal_distribution(udfs):
    off = np.linspace(-3, 3, 61)
    got = called(udfs, "HM_CHANCE_ENOUGH_PCT", Cells(*[(7 + x,) for x in off.tolist()]), 7.0, 0.6)
    assert [row[0] for row in got] == pytest.approx(100 * norm.cdf(off / 0.6), abs=1e-5)


def test_without_a_standard_error_it_is_certain(udfs):
    got = called(udfs, "HM_CHANCE_ENOUGH_PCT", Cells((7.0,), (6.9,)), 7.0, 0.0)
    assert got == [[pytest.approx(100)], [pytest.approx(0, abs=1e-9)]]


# --- haymow excel check, haymow excel install

def machine(tmp_path, system="win32", **changed):
    python = tmp_path / "Python311" / "python.exe"
    kept = {"system": system, "python": python, "python_version": (3, 11, 7), "xlwings": "0.37.8",
            "home": tmp_path, "app_data": tmp_path / "AppData", "registry": lambda key, name: None}
    return Machine(**kept | changed)


def filled(tmp_path, there):
    """A computer where everything is in its place."""
    places = ["AppData/Microsoft/Excel/XLSTART/xlwings.xlam", "Python311/xlwings64-0.37.8.dll",
              ".xlwings/xlwings.conf"] if there.system == "win32" else [
        "Library/Group Containers/UBF8T346G9.Office/User Content.localized/Startup.localized/Excel/"
        "xlwings.xlam", "Library/Containers/com.microsoft.Excel/Data/xlwings.conf",
        "Library/Application Scripts/com.microsoft.Excel/xlwings-0.37.8.applescript"]
    for place in places:
        (tmp_path / place).parent.mkdir(parents=True, exist_ok=True)
        key = "WIN" if there.system == "win32" else "MAC"
        (tmp_path / place).write_text(f'"INTERPRETER_{key}","{there.python}"\n')
    return there


def wrong(report):
    return [problem for problem in report if problem.severity != "note"]


@pytest.mark.parametrize("system", ["win32", "darwin"])
def test_a_computer_with_everything_in_its_place_passes(system, tmp_path):
    there = filled(tmp_path, machine(tmp_path, system))
    assert wrong(check_report(ROOT / "workbook_template/haymow-us.xlsm", there)) == []


@pytest.mark.parametrize(("system", "words"), [
    ("win32", ["add-in is not installed", "which Python Excel is to start", "xlwings64-0.37.8"]),
    ("darwin", ["add-in is not installed", "which Python Excel is to start", "macros will not"]),
])
def test_what_is_missing_is_named_with_what_to_do(system, words, tmp_path):
    found = wrong(check_report(machine=machine(tmp_path, system)))
    assert len(found) == len(words)
    for problem, part in zip(found, words, strict=True):
        assert part in problem.what and problem.do


@pytest.mark.parametrize(("changed", "words"), [
    ({"python": Path("C:/Program Files/WindowsApps/python.exe")}, "store's package"),
    ({"python_version": (3, 9, 2)}, "3.11 or newer"),
    ({"xlwings": "0.38.0"}, "Its macros are of xlwings 0.37.8, and 0.38.0 is installed"),
    ({"registry": lambda key, name: 4}, "macros switched off"),
    ({"python": Path("D:/other/python.exe")}, "and Haymow is installed in"),
])
def test_a_known_cause_of_trouble_is_found(changed, words, tmp_path):
    there = filled(tmp_path, machine(tmp_path))
    report = check_report(ROOT / "workbook_template/haymow-us.xlsm",
                          machine(tmp_path, **changed))
    assert there.system == "win32"
    assert any(words in problem.what for problem in wrong(report))


def test_on_other_systems_the_check_says_that_the_workbook_needs_no_excel(tmp_path):
    report = check_report(machine=machine(tmp_path, "linux"))
    assert wrong(report) == []
    assert "every answer in it is a formula" in report[-1].do
    with pytest.raises(InputError, match="nothing to install"):
        install(machine=machine(tmp_path, "linux"))


def test_installing_runs_the_installer_of_xlwings_and_writes_what_run_main_needs(tmp_path):
    workbook, asked_for = tmp_path / "plan.xlsx", []
    workbook.write_bytes(b"")
    done = install(workbook, machine(tmp_path), lambda words: asked_for.append(words) or "Done!")
    assert asked_for[0][1:] == ["-c", "from xlwings.cli import main; main()", "addin", "install"]
    assert done[0] == "Done!" and "restart" not in done[-1].lower()
    assert (tmp_path / "plan.py").read_text().startswith("from haymow.excel.macros import main")
    with pytest.raises(InputError, match="exists and was left as it is"):
        install(workbook, machine(tmp_path), lambda words: "Done!")


def test_a_workbook_that_run_main_cannot_find_is_refused_before_anything_is_done(tmp_path):
    workbook = tmp_path / "my plan.xlsx"
    workbook.write_bytes(b"")
    with pytest.raises(InputError, match="'my plan' has others; rename it"):
        install(workbook, machine(tmp_path), lambda words: pytest.fail("started"))
