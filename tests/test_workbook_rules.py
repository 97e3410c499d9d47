"""The rules a planning workbook must keep, R1 to R30, on a US and on a metric workbook as built.

`docs/workbook-rules.md` lists all thirty, with the test or the reason why there is none.
"""

from __future__ import annotations

import re
import types
import zipfile
from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import product
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from openpyxl import Workbook, load_workbook
from openpyxl.utils import column_index_from_string

from haymow import __version__
from haymow.dialect import EQUATIONS
from haymow.evaluate import Values
from haymow.quantities import glossary
from haymow.ranch import Ranch
from haymow.tables import (
    Asks,
    Book,
    Calc,
    Column,
    Edge,
    Entry,
    Key,
    Nearest,
    Roll,
    Say,
    Shown,
    Table,
    Tally,
)
from haymow.tables.make import make
from haymow.tables.small import rows_of
from haymow.units import UNITS, unit_of
from haymow.workbook import looks
from haymow.workbook.build import build
from haymow.workbook.formulas import Formulas, filled
from haymow.workbook.sheets import INPUT_SHEETS
from random_ranch import random_ranch
from small_ranch import SIZES, small_ranch, without

SYSTEMS = ("us", "metric")
PAGES = ("Start", "Sources")  # sheets that hold no table
REFERENCE = re.compile(r"(\$?)\b([A-Z]{1,3})(\$?)(\d+)\b")
GUARD = re.compile(r'^IF\(COUNT\((?:[^()]|\([^()]*\))*\)<\d+,"",')
NUMBER = re.compile(r"(?<![\w.$])\d+\.?\d*(?:E[+-]?\d+)?")


@dataclass
class Made:
    """A workbook as built, and what it was built from."""

    path: Path
    book: Book
    formulas: Formulas
    cached: dict[str, dict[str, Any]]

    @cached_property
    def workbook(self) -> Workbook:
        return load_workbook(self.path)

    @cached_property
    def in_tables(self) -> dict[tuple[str, str], list[str]]:
        """The formulas of each column as they stand on the sheet, block members one by one."""
        found = {}
        for table in self.book.tables.values():
            sheet = self.workbook[table.sheet]
            for place, (column, member) in enumerate(self.formulas.cells[table.name], 1):
                if not isinstance(column, Key | Entry):
                    name = column.name if member is None else f"{column.name}.{member + 1}"
                    found[table.name, name] = [
                        sheet.cell(table.top + row, place).value
                        for row in range(self.book.rows(table))]
        return found

    @cached_property
    def all_formulas(self) -> dict[str, str]:
        return {f"{sheet.title}!{cell.coordinate}": cell.value
                for sheet in self.workbook for row in sheet.iter_rows() for cell in row
                if cell.data_type == "f"}

    def calculated(self) -> Iterator[tuple[Table, Column, int | None, str]]:
        """Each calculated column with the formula of its first row, without the equals sign."""
        for table in self.book.tables.values():
            for column, member in self.formulas.cells[table.name]:
                if not isinstance(column, Key | Entry):
                    template = self.formulas.template(table, column, member)
                    yield table, column, member, filled(template, table.top + 1000)

    def entry_cells(self) -> dict[str, set[str]]:
        """The cells of each sheet that a user types into."""
        found: dict[str, set[str]] = defaultdict(set)
        for table in self.book.tables.values():
            for column in table.entries:
                for member in self.book.members(column):
                    if member is None or not column.only \
                            or self.book.dimensions[column.over][member] in column.only:
                        letter = self.formulas.letters[table.name, column.name, member]
                        found[table.sheet] |= {f"{letter}{table.top + row}"
                                               for row in range(self.book.rows(table))}
        for name, where in self.workbook.defined_names.items():
            if name in self.book.settings and self.book.settings[name].typed:
                found["Start"].add(where.attr_text.partition("!")[2].replace("$", ""))
        return found


@pytest.fixture(scope="module", params=SYSTEMS)
def made(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Made:
    ranch = small_ranch(request.param == "us")
    path = tmp_path_factory.mktemp(request.param) / "plan.xlsx"
    book = make(ranch)
    return Made(path, book, Formulas(book), build(ranch, path))


def bare(formula: str) -> str:
    """The formula without its words."""
    return re.sub(r'"[^"]*"', '""', formula)


def words_on(sheet: Any) -> str:
    return "\n".join(str(cell.value) for row in sheet.iter_rows() for cell in row if cell.value)


# --- R1 to R3: sheets
ANSWERS = {"Needs", "Balance", "Amounts", "Budget", "Checks", "Answers", "Nutrients", "Lists",
           "Sources"}


def test_r01_sheets_of_needs_and_answers_take_no_entries(made):
    unlocked = {sheet.title for sheet in made.workbook for row in sheet.iter_rows()
                for cell in row if not cell.protection.locked}
    assert unlocked == {sheet for sheet, cells in made.entry_cells().items() if cells}
    assert unlocked >= {*INPUT_SHEETS, "Start"}
    assert set(made.workbook.sheetnames) >= ANSWERS
    assert unlocked & ANSWERS == set()


def test_r02_start_comes_first_and_says_what_this_is_and_is_not(made):
    assert made.workbook.sheetnames[0] == "Start"
    sheet = made.workbook["Start"]
    head = " ".join(str(sheet.cell(row, column).value or "") for row in (1, 2, 3)
                    for column in (1, 2))
    assert f"Haymow {__version__}" in head
    assert re.search(r"feed(ing)? season|forage test", head), "what it is for"
    text = words_on(sheet)
    for heading in ("What to feed", "Settings", "Steps", "Cautions", "Key"):
        assert heading in text
    for word in ("veterinarian", "nutritionist", "extension", "feed law"):
        assert word in text
    steps = [cell.hyperlink.location or cell.hyperlink.target for row in sheet.iter_rows()
             for cell in row if cell.hyperlink]
    targets = {step.lstrip("#").partition("!")[0].strip("'") for step in steps}
    assert targets >= set(INPUT_SHEETS)
    assert targets <= set(made.workbook.sheetnames)


def test_r03_a_quantity_has_the_same_header_wherever_it_stands(made):
    heads: dict[tuple[str, bool], set[str]] = defaultdict(set)
    for table in made.book.tables.values():
        for column, member in made.formulas.cells[table.name]:
            number = bool(getattr(column, "dimension", ""))
            if column.name in glossary() and member is None and not number:
                head = looks.heading(made.book, column, member)
                heads[column.name, isinstance(column, Entry)].add(
                    head.removesuffix(f", {unit_of(column.name).si}"))
    assert {name: each for name, each in heads.items() if len(each) > 1} == {}


# --- R4 to R8: formulas
def relative(formula: str, row: int, column: int, across: bool = False) -> str:
    """The formula with rows (and, across a block, columns) counted from its own cell.

    A step above the sheet is printed as row 1: such a branch is never taken, see `filled`.
    """
    def place(match: re.Match[str]) -> str:
        fixed, letters, held, number = match.groups()
        down = number if held else "up" if number == "1" else f"[{int(number) - row}]"
        side = letters
        if across and not fixed:
            side = f"[{column_index_from_string(letters) - column}]"
        return f"{side}{held}{down}"
    return REFERENCE.sub(place, bare(formula))


def alike(one: str, other: str) -> bool:
    """Whether two relative formulas are the same but for steps above the sheet."""
    parts = [re.split(r"\[-?\d+\]|up", text) for text in (one, other)]
    steps = [re.findall(r"\[-?\d+\]|up", text) for text in (one, other)]
    return parts[0] == parts[1] and all(
        a == b or "up" in (a, b) for a, b in zip(*steps, strict=True))


def test_r04_a_column_has_one_formula_from_first_to_last_row(made):
    different = set()
    for (name, column), formulas in made.in_tables.items():
        table = made.book.tables[name]
        texts = [relative(text, row, 0) for row, text in enumerate(formulas, table.top)]
        if not all(alike(text, texts[-1]) for text in texts):
            different.add((name, column))
    assert different == {("Checks", "found")}  # each row counts another column


def test_r04_a_block_has_one_formula_across_its_members(made):
    different = set()
    for table in made.book.tables.values():
        for column in (c for c in table.columns if c.over and not c.inline):
            if isinstance(column, Entry | Key):
                continue
            texts = defaultdict(set)
            for member in made.book.members(column):
                name = made.book.equation_name(column, member, EQUATIONS)
                place = column_index_from_string(
                    made.formulas.letters[table.name, column.name, member])
                formula = filled(made.formulas.template(table, column, member), 1000)
                texts[name].add(relative(formula, 1000, place, across=True))
            different |= {(table.name, column.name, name) for name, each in texts.items()
                          if len(each) > 1}
    assert different == set()


def test_r05_no_quantity_is_worked_out_twice_in_a_table(made):
    found: dict[tuple[str, str], list[str]] = defaultdict(list)
    for table, column, member, formula in made.calculated():
        if isinstance(column, Calc | Roll | Edge | Nearest) and not member:
            found[table.name, formula].append(column.name)
    assert [names for names in found.values() if len(names) > 1] == []


PLAIN = {0, 1, 100, 12, 24, 7, *range(2, 10),  # 2 to 9: numbers of choices and outcomes
         10, 1000, 10000, 32, 1.8}  # between kg, g and tonnes, % of %, and degrees F and C
SOLVED = {  # equations whose coefficients are worked out in Python before they are printed
    "tdn_of_density_pct_dm": "the cubic of NEm solved for TDN",
    "own_milk_kg_per_day": "the milk curve integrated: e",
    **dict.fromkeys(("score_at_calving", "score_at_calving_alone", "score_with_plan",
                     "score_forage_alone"), "body energy solved for the score"),
}


def stated(function: Any, seen: set[Any]) -> Iterator[float]:
    """The numbers in a function's source, and in what it calls and names."""
    if function in seen:
        return
    seen.add(function)
    code = [function.__code__]
    while code:
        for value in (one := code.pop()).co_consts:
            if isinstance(value, types.CodeType):
                code.append(value)
            else:
                yield from flat(value)
        for name in one.co_names:
            named = function.__globals__.get(name)
            if isinstance(named, types.FunctionType) and named.__module__.startswith("haymow"):
                yield from stated(named, seen)
            else:
                yield from flat(named)


def flat(value: Any) -> Iterator[float]:
    if isinstance(value, tuple | dict):
        for part in value.values() if isinstance(value, dict) else value:
            yield from flat(part)
    elif isinstance(value, int | float) and not isinstance(value, bool):
        yield abs(float(value))


def literals(formula: str) -> set[float]:
    """The numbers in a formula; those of the guard's count and of fixed rows are none."""
    text = re.sub(r"COUNT\((?:[^()]|\([^()]*\))*\)<\d+", "", bare(formula))
    return {float(number) for number in NUMBER.findall(REFERENCE.sub("", text))}


def test_r06_the_numbers_in_a_formula_are_its_equations_own_coefficients(made):
    """Taken from the equation's source code: what it states, or two of those put together."""
    foreign = {}
    for table, column, member, formula in made.calculated():
        if not isinstance(column, Calc):
            continue
        equation = EQUATIONS[made.book.equation_name(column, member, EQUATIONS)]
        own = set(stated(equation.function, set())) | {1.0}
        own |= {c for a, b in product(own, own) for c in (a + b, abs(a - b), a * b, a / (b or 1))}
        left = {number for number in literals(formula)
                if not any(abs(number - known) <= 1e-14 * number for known in own)}
        if left and equation.name not in SOLVED:
            foreign[table.name, column.name] = left
    assert foreign == {}


def test_r06_a_step_of_the_plan_states_no_number_without_a_name():
    """Its thresholds are settings or named, explained constants; only equations have figures."""
    unnamed = {}
    for equation in EQUATIONS.values():
        module = equation.function.__module__
        if module.startswith("haymow.steps"):
            code = [equation.function.__code__]
            numbers = {n for one in code for value in one.co_consts for n in flat(value)}
            if numbers - PLAIN:
                unnamed[equation.name] = numbers - PLAIN
    assert unnamed == {}


def test_r06_other_kinds_hold_only_counts_and_member_numbers(made):
    members = {float(n) for each in made.book.dimensions.values() for n in range(len(each) + 1)}
    members.add(10000.0)  # puts rows of other keys behind all others where the least is sought
    foreign = {}
    for table, column, _, formula in made.calculated():
        left = literals(formula) - members
        if left and not isinstance(column, Calc | Tally | Say | Asks):
            foreign[table.name, column.name] = left
    assert foreign == {}


SHORT, SPAN, MIX, CURVE, WORDS = 120, 250, 350, 450, 800


def longest(column: Column, equation: str, behind: str) -> int:
    """How many characters a formula may have behind its guard.

    More than a step: a span of rows named twice; a mix (values looked up inside the formula); one
    published curve or table, whose parts mean nothing by themselves; joined words.
    """
    if joins_words(behind):
        return WORDS
    if isinstance(column, Edge | Nearest | Roll):
        return SPAN
    if isinstance(column, Calc) and "INDEX(" not in behind:
        function = EQUATIONS[equation].function
        called = {function.__globals__.get(name) for name in function.__code__.co_names}
        curves = {e.function for e in EQUATIONS.values() if e.published
                  or not e.function.__module__.startswith("haymow.steps")}
        return CURVE if (called | {function}) & curves else SHORT
    return MIX


def joins_words(formula: str) -> bool:
    return "&" in bare(formula) or ("CHOOSE(" in formula and '"' in formula)


def test_r07_formulas_are_short(made):
    over = {}
    for table, column, member, formula in made.calculated():
        behind = GUARD.sub("", formula, count=1)
        equation = made.book.equation_name(column, member, EQUATIONS)
        if len(behind) > longest(column, equation, behind):
            over[table.name, column.name] = len(behind)
    assert over == {}


def nested(formula: str) -> int:
    """How deep IF stands inside IF; the guard's tests for blanks (COUNT, ISNUMBER) do not count."""
    open_calls: list[bool] = []
    deepest = 0
    for token in re.finditer(r"([A-Z]*)\((?=(COUNT|ISNUMBER)\(|)|\)", bare(formula)):
        if token[0] == ")":
            open_calls.pop()
        else:
            open_calls.append(token[1] == "IF" and not token[2])
            deepest = max(deepest, sum(open_calls))
    return deepest


def test_r07_no_if_stands_inside_an_if_but_for_the_guard(made):
    deep = {(table.name, column.name): formula for table, column, _, formula in made.calculated()
            if nested(formula) > 1 and not (joins_words(formula) or isinstance(column, Asks))}
    assert deep == {}


def test_r07_the_depth_of_if_is_counted():
    assert nested('IF(COUNT($A1)<1,"",IF(ISNUMBER($B1),$B1,IF($A1>0,"IF(",0)))') == 1
    assert nested("IF($A1>0,MAX(IF($B1>0,1,2),3),4)+IF($C1>0,1,2)") == 2


# of the functions that Excel 2010, LibreOffice 7.4 and Google Sheets share
SAFE = {"SUM", "SUMIF", "SUMIFS", "SUMPRODUCT", "INT", "MOD", "ABS", "SQRT", "EXP", "LN", "COUNT",
        "COUNTIF", "COUNTIFS", "AVERAGE", "AVERAGEIFS", "MIN", "MAX", "IF", "AND", "OR", "NOT",
        "IFERROR", "ISNUMBER", "INDEX", "MATCH", "CHOOSE", "ROWS", "DATE", "YEAR", "MONTH", "DAY"}
KNOWN = {  # older than that list
    "FIXED",  # turns a number into words without a locale's codes
    "NORMSDIST",  # the normal distribution; checked against scipy by every parity run
}


def test_r07_r08_r28_only_functions_that_every_program_has_and_none_is_volatile(made):
    """No chain of IF, no VLOOKUP; TODAY, NOW, OFFSET, INDIRECT and RAND are not on the list."""
    used = {name for formula in made.all_formulas.values()
            for name in re.findall(r"([A-Z][A-Z0-9.]*)\(", bare(formula))}
    assert used - SAFE - KNOWN == set()
    for name, where in made.workbook.defined_names.items():
        assert "(" not in where.attr_text, name


def test_r08_iferror_stands_around_look_ups_only(made):
    for place, formula in made.all_formulas.items():
        inside = re.findall(r"IFERROR\((\w+)\(", bare(formula))
        assert len(inside) == formula.count("IFERROR("), place
        assert set(inside) <= {"MATCH", "AVERAGEIFS"}, place


# --- R9 to R13: labels, styles, entries
def test_r09_every_number_with_a_unit_has_it_in_its_header(made):
    known = {unit.shown(us) for unit in UNITS.values() for us in (True, False)}
    missing = []
    for table in made.book.tables.values():
        for column, member in made.formulas.cells[table.name]:
            if isinstance(column, Key | Say | Asks) or member is not None:
                continue
            at_edge = isinstance(column, Entry | Shown)
            unit = unit_of(column.quantity or getattr(column, "of", "") * isinstance(column, Shown)
                           or column.name).shown(made.book.us and at_edge)
            place = made.formulas.letters[table.name, column.name, member]
            head = made.workbook[table.sheet][f"{place}{table.top - 1}"].value
            if unit not in ("", "date") and not head.endswith(f", {unit}"):
                missing.append((table.name, column.name, head, unit))
            assert unit in known or not unit
    assert missing == []


@pytest.mark.parametrize("block", ["dry_matter", "averaged", "quality", "override", "eaten",
                                   "pct_of_need", "over_shown", "need_shown", "need_in_unit"])
def test_r09_every_member_of_a_block_has_its_unit_in_its_header(made, block):
    units = {"lb/day", "kg/day", "g/day", "mg/day", "IU/day", "Mcal/day", "%", "% of DM",
             "% of NDF", "Mcal/kg DM", "ppm of DM", "IU/kg DM", "% of need"}
    heads = [made.workbook[table.sheet][f"{letter}{table.top - 1}"].value
             for table in made.book.tables.values() if block in table.at
             for (name, column, _), letter in made.formulas.letters.items()
             if name == table.name and column == block]
    assert heads
    assert {head for head in heads if head.rpartition(", ")[2] not in units} == set()


def test_r10_cells_to_type_in_look_like_it_and_no_others_do(made):
    entries = made.entry_cells()
    for sheet in made.workbook:
        styled = {cell.coordinate for row in sheet.iter_rows() for cell in row
                  if cell.style == "entry" and not cell.protection.locked}
        unlocked = {cell.coordinate for row in sheet.iter_rows() for cell in row
                    if not cell.protection.locked}
        assert styled == unlocked == entries.get(sheet.title, set()), sheet.title


def test_r10_styles_differ_by_border_or_word_as_well_as_by_color(made):
    key = words_on(made.workbook["Start"])
    assert all(f"{word}: " in key for word in ("enter", "result", "working", "fixed"))
    for table in (t for t in made.book.tables.values() if t.sheet != "Lists"):
        sheet = made.workbook[table.sheet]
        for place, (column, _) in enumerate(made.formulas.cells[table.name], 1):
            typed = isinstance(column, Entry)
            assert sheet.cell(table.top - 3, place).value in (
                ("enter",) if typed else ("result", "working", "fixed"))
            cell = sheet.cell(table.top, place)
            if cell.style == "entry" or not typed:
                side = cell.border.left
                dashed = side is not None and side.style == "dashed"
                assert dashed is typed, (table.name, column.name)


def test_r11_r29_every_setting_says_on_the_sheet_what_it_does_and_where_it_comes_from(made):
    sheet = made.workbook["Start"]
    bare_rows = {}
    for name in (s.name for s in made.book.settings.values() if s.typed):
        row = int(made.workbook.defined_names[name].attr_text.rpartition("$")[2])
        meaning, source = sheet.cell(row, 5).value, sheet.cell(row, 6).value
        if not meaning or not source:
            bare_rows[name] = (meaning, source)
    assert bare_rows == {}


def test_r29_every_row_of_a_constant_table_names_a_source_of_the_bibliography():
    known = {row["key"] for row in rows_of("sources")}
    for data in ("classes", "forage_kinds"):
        for row in rows_of(data):
            assert row["source"] in known, row


def test_r29_every_constant_and_source_stands_on_the_sheet_sources(made):
    sheet = made.workbook["Sources"]
    rows = {str(row[0].value): row for row in sheet.iter_rows(min_row=6)}
    for line in (s for s in made.book.settings.values() if not s.typed):
        assert rows[line.name][4].value, line.name
    assert {row["key"] for row in rows_of("sources")} <= rows.keys()
    assert glossary().keys() <= rows.keys()


def test_r12_what_must_be_typed_is_in_sight_and_in_print(made):
    for table in made.book.tables.values():
        sheet = made.workbook[table.sheet]
        assert not sheet.print_area, table.name
        for entry in (e for e in table.entries if e.must):
            letter = made.formulas.letters[table.name, entry.name, None]
            assert not sheet.column_dimensions[letter].hidden, (table.name, entry.name)


def test_r13_every_entry_has_one_validation_with_words(made):
    for sheet, cells in made.entry_cells().items():
        covered: Counter[str] = Counter()
        for rule in made.workbook[sheet].data_validations.dataValidation:
            for area in rule.sqref.ranges:
                covered.update(f"{made.workbook[sheet].cell(row, column).coordinate}"
                               for row, column in area.cells)
            assert rule.showErrorMessage and rule.error and rule.errorTitle
            assert rule.showInputMessage and rule.prompt and rule.promptTitle, rule.promptTitle
            if rule.type == "list":
                assert rule.formula1 in made.workbook.defined_names, rule.formula1
            else:
                assert rule.type in ("decimal", "date", "textLength")
                assert not rule.formula1.startswith("=")
        assert covered == Counter(dict.fromkeys(cells, 1)), sheet


def test_r13_unusual_numbers_are_warned_of_and_wrong_words_are_refused(made):
    for sheet in made.entry_cells():
        for rule in made.workbook[sheet].data_validations.dataValidation:
            style = rule.errorStyle or "stop"
            assert style in (("stop", "warning") if rule.type == "decimal" else ("stop",))


# --- R14 and R26: what is missing shows
def values(ranch: Ranch) -> Values:
    return Values(make(ranch), ranch)


def found(of: Values) -> list[float]:
    """How many rows each check has found."""
    return of.column("Checks", "found").tolist()


def at_a_trough(ranch):
    """A foot of trough for a hundred cows."""
    method = "cubes or meal, in a bunk or trough"
    return without(without(ranch, "Feeding", 1, "trough", 1.0), "Supplements", 2, "fed_by", method)


BROKEN = {  # check, by its sheet and column: a ranch on which it must say so
    ("Herd", "note"): lambda r: without(r, "Herd", 1, "head"),
    ("Samples", "note"): lambda r: without(r, "Samples", 1, "forage", "Nowhere"),
    ("Forages", "note"): lambda r: without(r, "Forages", 1, "kind"),
    ("Diet", "note"): lambda r: without(r, "Diet", 2, "second", "Nowhere"),
    ("Supplements", "note"): lambda r: without(r, "Supplements", 2, "basis"),
    ("Plan", "note"): lambda r: without(r, "Plan", 1, "product", "Nowhere"),
    ("Plan", "not_known_used"): lambda r: without(r, "Herd", 1, "peak_milk"),
    ("Plan", "months_left_short"): lambda r: without(r, "Plan", 1, "most", 0.01),
    ("Feeding", "too_short"): at_a_trough,
    ("OnHand", "lot_flag"): lambda r: without(r, "OnHand", 1, "bales", 10),
    ("Measures", "nitrate_look"): lambda r: without(r, "Samples", 1, "reported.no3n", 3000),
    ("Forages", "table_use"): lambda r: without(r, "Forages", 1, "stand_in", "Oat hay"),
    ("Supplements", "table_use"): lambda r: without(r, "Supplements", 2, "stand_in", "Corn grain"),
    ("Surety", "first_mean_only"): lambda r: replace(
        r, entries={**r.entries, "Samples": {}, "Quality": {
            n: {"override.cp": 5.0, "override.tdn": 50.0} for n in range(1, 5)}},
        settings={**r.settings, "size_to_chance": 1.0}),
    ("Plan", "months_cannot"): lambda r: without(r, "Supplements", 2, "reported.cp", 0),
    ("Safety", "hazard_words"): lambda r: without(r, "Supplements", 3, "reported.se", 400),
    ("Safety", "look_words"): lambda r: without(r, "Samples", 1, "reported.p", 0.6),
    ("Safety", "energy_open"): lambda r: without(r, "Samples", 1, "reported.tdn", 38),
}
ALL_WELL = "All checks passed."


def test_r14_each_check_can_fail_and_the_overall_flag_follows():
    ranch = small_ranch()
    before = found(values(ranch))
    checks = make(ranch).tables["Checks"].at["found"].columns
    for number, check in enumerate(checks):
        if check in BROKEN:
            after = values(BROKEN[check](ranch))
            assert found(after)[number] > before[number], check
            said = after.column("Checks", "result")[number]
            assert said in ("look", "note"), check
            assert said == "note" or after.column("Season", "overall")[0] != ALL_WELL, check


def test_r14_each_check_finds_something_on_one_of_many_ranches():
    ranches = [small_ranch(), *(random_ranch(seed) for seed in range(12)),
               *(broken(small_ranch()) for broken in BROKEN.values())]
    most = np.max([found(values(ranch)) for ranch in ranches], axis=0)
    checks = make(small_ranch()).tables["Checks"].at["found"].columns
    assert [check for check, count in zip(checks, most, strict=True) if not count] == []


def test_r14_a_workbook_in_which_nothing_is_to_look_at_says_so():
    blank = values(Ranch(sizes=SIZES))
    assert not any(found(blank))
    assert blank.column("Season", "overall")[0] == ALL_WELL


def test_r14_each_check_says_what_to_do_and_the_flag_stands_on_every_sheet_in_view(made):
    sheet = made.workbook["Checks"]
    for row in range(made.book.rows(made.book.tables["Checks"])):
        cells = [sheet.cell(made.book.tables["Checks"].top + row, place).value
                 for place in range(1, 7)]
        assert all(cells), cells
    flagged = {place for place, formula in made.all_formulas.items()
               if formula == "=Season_overall"}
    assert flagged == {"Start!B6", *(f"{name}!A3" for name in made.workbook.sheetnames
                                     if name != "Start")}
    for each in (s for s in made.workbook if s.title != "Start"):
        assert each.freeze_panes and each[each.freeze_panes].row > 3, each.title


def on_top(book: Book, table: Table) -> Table:
    """The first table on this table's sheet."""
    return next(other for other in book.tables.values() if other.sheet == table.sheet)


def test_r15_headers_and_the_month_stay_in_view(made):
    for table in made.book.tables.values():
        sheet = made.workbook[table.sheet]
        if table.sheet == "Lists" or table is not on_top(made.book, table):
            continue
        pane = sheet[sheet.freeze_panes]
        assert pane.row == table.top, table.name
        if "month" in table.at and "group" in table.at:
            month = made.formulas.letters[table.name, "month", None]
            assert column_index_from_string(month) < pane.column, table.name


def required(ranch: Ranch) -> Iterator[tuple[str, int, str]]:
    """Table, row and column of what must be typed, as far as the ranch has it."""
    for table in make(ranch).tables.values():
        for row, cells in ranch.entries.get(table.name, {}).items():
            for entry in (e for e in table.entries if e.must and cells.get(e.name) is not None):
                yield table.name, row, entry.name


@pytest.mark.parametrize("where", list(required(small_ranch())), ids=str)
def test_r26_a_missing_entry_is_said_and_never_becomes_a_zero(where):
    before, after = values(small_ranch()), values(without(small_ranch(), *where))
    assert any(more > less for more, less in zip(found(after), found(before), strict=True))
    for name in ("Needs", "Balance"):
        for column in before.book.tables[name].columns:
            if isinstance(column, Calc | Shown) and not column.name.startswith(FLAGS):
                for member in before.book.members(column):
                    had, has = (v.whole(v.book.tables[name], column, member)
                                for v in (before, after))
                    assert not ((has == 0) & (had != 0)).any(), (name, column.name)
    lines = after.column("Plan", "reason")
    for name in ("season_usd", "season_tonne", "mean_per_head_kg_per_day"):
        emptied = (after.column("Plan", name) == 0) & (before.column("Plan", name) != 0)
        assert all("not known" in words for words in lines[emptied]), name


FLAGS = ("short", "missing", "flagged", "still_short", "first_", "state_no")


# --- R15 to R25: the file
def test_r16_no_cell_is_merged(made):
    assert {sheet.title: sheet.merged_cells.ranges for sheet in made.workbook
            if sheet.merged_cells.ranges} == {}


def test_r17_headers_of_a_table_are_text_one_line_and_all_different(made):
    for table in made.book.tables.values():
        sheet = made.workbook[table.sheet]
        heads = [sheet.cell(table.top - 1, place).value
                 for place in range(1, len(made.formulas.cells[table.name]) + 1)]
        assert all(isinstance(head, str) and head.strip() and "\n" not in head for head in heads)
        twice = {head for head, count in Counter(h.casefold() for h in heads).items() if count > 1}
        assert twice == set(), table.name


def test_r18_every_name_is_absolute_and_resolves_and_every_name_used_is_there(made):
    names = made.workbook.defined_names
    for name, where in names.items():
        sheet, _, area = where.attr_text.partition("!")
        assert sheet.strip("'") in made.workbook.sheetnames, name
        assert re.fullmatch(r"\$[A-Z]+\$\d+(:\$[A-Z]+\$\d+)?", area), name
        assert not re.fullmatch(r"[A-Za-z]{1,3}\d+|[Rr]\d*[Cc]\d*", name), "a cell's address"
    used = {word for formula in made.all_formulas.values()
            for word in re.findall(r"[A-Za-z_][A-Za-z_0-9]*\b(?![(!])",
                                   REFERENCE.sub("", NUMBER.sub("", bare(formula))))}
    assert used - names.keys() == set()
    assert not any("#REF!" in formula for formula in made.all_formulas.values())


def test_r18_a_tables_name_covers_all_rows_of_its_column(made):
    for table in made.book.tables.values():
        for column in (c for c in table.columns if not c.inline):
            area = made.workbook.defined_names[f"{table.name}_{column.name}"].attr_text
            first, last = (int(row) for row in re.findall(r"\$(\d+)", area))
            assert (first, last) == (table.top, table.top + made.book.rows(table) - 1)


def test_r19_nothing_is_hidden_but_closed_columns_that_open_with_a_click(made):
    for sheet in made.workbook:
        assert sheet.sheet_state == "visible", sheet.title
        assert not any(size.hidden for size in sheet.row_dimensions.values()), sheet.title
        for letter, size in sheet.column_dimensions.items():
            assert bool(size.hidden) == bool(size.outlineLevel), (sheet.title, letter)


def test_r20_protection_has_no_password_and_leaves_entry_sheets_open(made):
    for sheet in made.workbook:
        assert not sheet.protection.password, sheet.title
        assert sheet.protection.hashValue is None
        assert sheet.protection.sheet is (sheet.title not in INPUT_SHEETS), sheet.title
    assert "protect" in words_on(made.workbook["Start"])


def test_r21_the_file_says_which_version_made_it(made):
    with zipfile.ZipFile(made.path) as parts:
        core = parts.read("docProps/core.xml").decode()
    assert f"<cp:version>{__version__}</cp:version>" in core or f">{__version__}<" in core
    where = made.workbook.defined_names["made_by_version"].attr_text
    sheet, _, cell = where.partition("!")
    assert made.workbook[sheet][cell.replace("$", "")].value == __version__
    assert ("US" if made.book.us else "metric") in made.workbook.properties.description


def test_r23_every_sheet_prints_one_page_wide_with_titles_and_footer(made):
    for sheet in made.workbook:
        assert sheet.sheet_properties.pageSetUpPr.fitToPage, sheet.title
        assert (sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight) == (1, 0), sheet.title
        assert sheet.page_setup.orientation == "landscape"
        footer = sheet.oddFooter
        assert footer.left.text.startswith("&F") and footer.center.text == "&A"
        assert footer.right.text == "Page &P of &N"
        assert __version__ in footer.left.text, sheet.title
    for table in made.book.tables.values():
        if table.sheet != "Lists" and table is on_top(made.book, table):
            titles = made.workbook[table.sheet].print_title_rows
            assert titles == f"$1:${table.top - 1}", table.name


def luminance(color: str) -> float:
    """Relative luminance of WCAG 2."""
    parts = (int(color[-6:][place:place + 2], 16) / 255 for place in (0, 2, 4))
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    dark, light = sorted(map(luminance, (one, other)))
    return (light + 0.05) / (dark + 0.05)


def test_r24_text_stands_out_from_its_ground(made):
    """4.5 to 1, of every style in use and of what conditions change in it."""
    looked_at = set()
    for sheet in made.workbook:
        for cell in (cell for row in sheet.iter_rows() for cell in row if cell.value is not None):
            color = cell.font.color
            ink = color.rgb if color and color.type == "rgb" else "000000"
            ground = cell.fill.fgColor.rgb if cell.fill.fill_type == "solid" else "FFFFFF"
            looked_at.add((ink[-6:], ground[-6:], cell.font.size or 11))
        for area in sheet.conditional_formatting:
            cell = sheet[str(area.sqref).partition(":")[0]]
            for rule in area.rules:
                ink = rule.dxf.font.color.rgb if rule.dxf.font.color else "000000"
                ground = rule.dxf.fill.bgColor.rgb if rule.dxf.fill else cell.fill.fgColor.rgb
                looked_at.add((ink[-6:], ground[-6:], 11))
    assert len(looked_at) > 4
    assert {pair: contrast(*pair[:2]) for pair in looked_at if contrast(*pair[:2]) < 4.5} == {}
    assert min(size for _, _, size in looked_at) >= 11
    assert contrast("000000", "FFFFFF") == pytest.approx(21) and contrast("FFFFFF", "777777") < 4.5


def test_r24_marks_do_not_rest_on_color_alone(made):
    """What a condition colors is bold as well, or a word beside it says it."""
    for sheet in made.workbook:
        for area in sheet.conditional_formatting:
            for rule in area.rules:
                assert rule.dxf.fill is None or rule.dxf.font.b, sheet.title
                assert "ISNUMBER" in rule.formula[0] or "=" in rule.formula[0], rule.formula


def test_r24_sheet_names_are_short_words_and_the_cursor_stands_at_the_top(made):
    for sheet in made.workbook:
        assert re.fullmatch(r"[A-Z][A-Za-z ]{2,30}", sheet.title)
        assert {view.activeCell for view in sheet.views.sheetView[0].selection} <= {"A1", None} or \
            all(sheet[s.activeCell].row <= 10 for s in sheet.views.sheetView[0].selection)


def test_r24_r25_every_drawing_has_words_and_every_line_its_own_mark(made):
    with zipfile.ZipFile(made.path) as parts:
        drawings = [name for name in parts.namelist() if name.startswith("xl/drawings/drawing")]
        for name in drawings:
            for shown in re.findall(r"<xdr:cNvPr\b[^>]*>", parts.read(name).decode()):
                assert re.search(r'\bdescr="[^"]{20,}"', shown), name


# --- R27 to R30: numbers
def test_r27_only_days_and_words_are_rounded(made):
    rounded = {(table.name, column.name) for table, column, _, formula in made.calculated()
               if re.search(r"\b(?:ROUND\w*|INT|TRUNC|CEILING|FLOOR|FIXED)\(", bare(formula))
               and not isinstance(column, Say)}
    rounded -= {("Sampling", "spots_by_margin"), ("Feeding", "trips")}  # nobody takes half a core
    # or makes half a trip; the exact numbers are in the columns before
    assert {(table, column) for table, column in rounded if not column.endswith("_on")} == set()


def test_r28_iteration_is_off_and_the_file_recalculates_when_opened(made):
    assert not made.workbook.calculation.iterate
    assert made.workbook.calculation.fullCalcOnLoad


def test_r30_the_sign_is_explained_and_never_hidden_in_a_formula(made):
    table = made.book.tables["Balance"]
    heads = [made.workbook["Balance"][f"{letter}{table.top - 1}"].value
             for (name, column, _), letter in made.formulas.letters.items()
             if name == "Balance" and column in ("over", "over_shown")]
    assert heads
    assert all("short (-)" in head.lower() and "over (+)" in head.lower() for head in heads)
    for place, formula in made.all_formulas.items():
        minus = re.findall(r"(?:^=|[(,<>=*/^])-(?!\d)", bare(formula))
        assert minus == [], place
