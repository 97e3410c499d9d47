"""The faults met before, each with the check that keeps it out: F1 to F10 and R2 to R6.

F11, a referee that has gone blind, is in `test_referee.py`; F2 and F3, primitives of the dialect,
and R2, a blank in arithmetic, in `test_dialect.py`; R1, columns that rest on each other, in
`test_circles.py`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from typing import Any

import numpy as np
import pytest
from openpyxl import load_workbook

import referee
from haymow.dialect import EQUATIONS, Node, parameters
from haymow.evaluate import Values
from haymow.ranch import Ranch
from haymow.tables import Book, Calc, Column, Entry, Into, Key, Link, Pull, Roll, Say, Shown, Table
from haymow.tables.make import make
from haymow.workbook import looks
from haymow.workbook.build import build
from haymow.workbook.formulas import Formulas, filled, guarded
from random_ranch import random_ranch
from small_ranch import small_ranch, without

ROW = 1000
CELL = re.compile(r"\$?[A-Z]{1,3}\$?\d+")
CALL = re.compile(r"\b(COUNT|ISNUMBER)\(")


@cache
def book() -> Book:
    return make(small_ranch())


@cache
def formulas() -> Formulas:
    return Formulas(book())


def written() -> Iterator[tuple[Table, Column, int | None, str]]:
    """Each calculated column and its formula, with the words taken out but for ""."""
    for table in book().tables.values():
        for column, member in formulas().cells[table.name]:
            if not isinstance(column, Entry | Key):
                text = filled(formulas().template(table, column, member), ROW)
                words = re.sub(r'"[^"]*"', lambda m: m[0] if m[0] == '""' else '"words"', text)
                yield table, column, member, words


def arguments(text: str, start: int) -> list[str]:
    """What stands between the commas of a call whose bracket opens just before ``start``."""
    parts, depth = [""], 1
    for sign in text[start:]:
        depth += (sign == "(") - (sign == ")")
        if not depth:
            return parts
        parts = [*parts, ""] if sign == "," and depth == 1 else [*parts[:-1], parts[-1] + sign]
    raise ValueError(f"a bracket is open in {text}")


def values(ranch: Ranch) -> Values:
    return Values(make(ranch), ranch)


def test_f01_blank_tests_look_at_bare_cells_never_at_converted_ones():
    """An empty cell times a factor is 0, and 0 is a number."""
    one = r"(?:\$?[A-Z]{1,3}\$?\d+|[A-Za-z]\w+)"
    bare = re.compile(rf"{one}(?::{one})?|INDEX\(.*\)(?::INDEX\(.*\))?|IF\({one}=1,[\d.]+,{one}\)")
    tested = [(table.name, column.name, part) for table, column, _, text in written()
              for call in CALL.finditer(text) for part in arguments(text, call.end())]
    assert len(tested) > 500
    assert [each for each in tested if not bare.fullmatch(each[2])] == []


@pytest.mark.parametrize("us", [True, False])
def test_f01_a_blank_weight_stays_blank_in_both_unit_systems(us):
    found = values(without(small_ranch(us), "Herd", 1, "weight"))
    assert np.isnan(found.column("Herd", "weight_kg")[0])
    assert np.isnan(found.column("Herd", "herd_weight_kg")[0])


def comparisons(node: Any) -> Iterator[Node]:
    if isinstance(node, Node):
        if node.what in (np.less, np.greater, np.less_equal, np.greater_equal, np.equal):
            yield node
        for part in node.parts:
            yield from comparisons(part)


def subtracts(node: Any) -> bool:
    """Whether a value may be a hair off 0 because two like values were subtracted."""
    if not isinstance(node, Node) or isinstance(node.what, str):
        return False
    if node.what in (np.multiply, np.divide):
        return any(subtracts(part) for part in node.parts)
    plain = any(not isinstance(part, Node) for part in node.parts)
    whole = all(not isinstance(part, Node) or (part.what == "cell" and any(
        word in part.parts[0] for word in WHOLE)) for part in node.parts)
    return node.what is np.subtract and not whole and not plain


WHOLE = ("day", "month", "_on", "_no", "row_", "moy")  # exact in both programs


def traced(table: Table, column: Calc, member: int | None) -> tuple[Any, dict[int, str]]:
    """The equation's operations, and the parameter that each of its cells is."""
    name = book().equation_name(column, member, EQUATIONS)
    given = {p: Node("cell", p) for p in parameters(EQUATIONS[name].function)}
    return EQUATIONS[name].function(**given), {id(node): p for p, node in given.items()}


SMOOTH = {  # what is decided makes no difference at 0
    "crossed_on": "0 only where both months are the same one",
    "rising_on": "0 only where both months are the same one",
    "condition_nem_mcal_per_day": "a share of the difference itself",
    "body_energy_change_mcal": "a share of the difference itself",
}


def smooth(name: str) -> bool:
    return bool({name, *EQUATIONS[name].function.__code__.co_names} & SMOOTH.keys())


def test_f04_nothing_is_decided_on_a_difference_being_above_zero():
    """Spreadsheets turn a difference near 0 into 0, NumPy does not: compare with a share of it."""
    found = set()
    for table in book().tables.values():
        for column in (c for c in table.columns if isinstance(c, Calc)):
            for member in book().members(column):
                node, names = traced(table, column, member)
                for test in comparisons(node):
                    one, other = test.parts
                    if other == 0 if not isinstance(other, Node) else False:
                        source = table.at.get(names.get(id(one), ""))
                        through = isinstance(source, Calc) and subtracts(
                            traced(table, source, 0 if source.over else None)[0])
                        name = book().equation_name(column, member, EQUATIONS)
                        if (subtracts(one) or through) and not smooth(name):
                            found.add((table.name, column.name, source.name if source else ""))
    assert found == set()


def test_f04_a_need_met_but_for_rounding_is_met():
    gap, short = EQUATIONS["gap"].function, EQUATIONS["short"].function
    assert float(gap(1.0, 1.0, 1 - 1e-13, 1.0, 0.0, 0.1)) == 0
    assert float(short(1 - 1e-13, 1.0, 0.1)) == 0
    assert float(gap(1.0, 1.0, 0.99, 1.0, 0.0, 0.1)) == pytest.approx(0.01)
    assert float(short(0.99, 1.0, 0.1)) == 1


def test_f05_the_guard_counts_every_cell_that_the_formula_needs():
    missing = []
    for table, column, _, text in written():
        keys = {formulas().letters[table.name, c.name, k] for c in table.columns
                if isinstance(c, Key) and not c.inline for k in book().members(c)}
        if not isinstance(column, Calc) or not text.startswith("IF(COUNT("):
            continue
        counted = arguments(text, len("IF(COUNT("))
        soft = {part for call in re.finditer(r"ISNUMBER\(", text)
                for part in arguments(text, call.end())}
        allowed = column.may_be_blank
        soft |= {formulas().letters[table.name, name, None] for name in allowed
                 if name in table.at and (table.name, name, None) in formulas().letters}
        for cell in set(CELL.findall(text)):
            letter = cell.replace("$", "").rstrip("0123456789")
            inside = any(cell in part for part in counted)
            if not inside and letter not in keys and cell not in soft and letter not in soft \
                    and not cell.endswith(f"${table.top - 2}") and not allowed:
                missing.append((table.name, column.name, cell))
    assert missing == []


def test_f05_a_mix_without_its_share_is_blank_and_without_its_forage_too():
    ranch = small_ranch()
    for column in ("second_pct", "second"):
        found = values(without(ranch, "Diet", 2, column, None if column == "second_pct" else "?"))
        assert np.isnan(found.column("Diet", "eaten", "cp")[1]), column
        assert not np.isnan(found.column("Diet", "eaten", "cp")[0])
    assert guarded("$A1*$B1", ["$A1", "$B1", "$A1"]) == 'IF(COUNT($A1,$B1)<2,"",$A1*$B1)'


def test_f06_units_are_converted_only_where_something_is_typed_or_shown():
    factors = re.compile(r"kg_per_weight_unit|tonne_per_load_unit")
    found = 0
    for table, column, member, text in written():
        count = len(factors.findall(text))
        found += count
        if isinstance(column, Calc) and count:  # a typed block, or a setting in the sheets' unit
            asked = parameters(EQUATIONS[book().equation_name(column, member, EQUATIONS)].function)
            places = [book().find(table, column, name, member) for name in asked]
            assert any(isinstance(place.column, Entry) or (
                place.column is None and book().settings[str(place.member)].typed)
                for place in places), (table.name, column.name)
        elif count:
            assert isinstance(column, Into | Shown), (table.name, column.name)
        assert count <= 1, text
    assert found > 20


def entry_names() -> dict[str, Entry]:
    return {f"{t.name}_{e.name}": e for t in book().tables.values() for e in t.entries}


def test_f07_r04_a_typed_cell_is_looked_up_only_where_a_blank_is_told_from_zero():
    """INDEX of an empty cell is 0, and so is a blank that CHOOSE passes on."""
    looked_up = 0
    for table, column, _, text in written():
        for found in re.finditer(r"INDEX\((\w+)[^()]*(?:\([^()]*\)[^()]*)*\)", text):
            if found[1] in entry_names():
                looked_up += 1
                told = f'{found[0]}=""' in text or any(
                    found[0] in part for call in CALL.finditer(text)
                    for part in arguments(text, call.end()))
                assert told, (table.name, column.name, text)
    assert looked_up > 4


def test_f07_words_that_were_not_typed_are_no_zero():
    found = values(small_ranch())
    assert set(found.column("Plan", "cap_words")) == {None}


def test_f08_marks_are_set_on_numbers_only(tmp_path):
    """Text is above every number: "" > 0 is TRUE."""
    build(small_ranch(), tmp_path / "plan.xlsx")
    rules = [rule.formula[0] for sheet in load_workbook(tmp_path / "plan.xlsx")
             for area in sheet.conditional_formatting for rule in area.rules]
    compared = [rule for rule in rules if re.search(r"[<>]", rule)]
    assert compared
    assert all(re.fullmatch(r"AND\(ISNUMBER\((\$?[A-Z]+\$?\d+)\),\1[<>]=?-?[\d.]+\)", rule)
               for rule in compared), compared


def test_f09_totals_pass_over_blanks_and_counts_count_numbers():
    text = "\n".join(text for _, _, _, text in written())
    assert "COUNTA(" not in text
    assert "COUNTBLANK(" not in text
    assert not re.search(r'COUNTIFS?\([^()]*"<>"', text)
    assert not re.search(r"SUMPRODUCT\((?!MAX\(|MIN\()", text)


def test_f09_the_largest_and_the_least_are_taken_only_over_columns_that_are_never_blank():
    for seed in (1, 2, 5):
        found = values(random_ranch(seed, holes=0.3))
        rolls = [c for t in found.book.tables.values() for c in t.columns
                 if isinstance(c, Roll) and c.how in ("largest", "least")]
        assert rolls
        for roll in rolls:
            assert not np.isnan(found.column(roll.table, roll.of)).any(), roll.name


@pytest.mark.parametrize(("table", "row", "column"), [
    ("Supplements", 2, "price"), ("Herd", 1, "head"), ("Herd", 2, "weight"),
])
def test_f10_a_total_with_unknown_parts_says_at_least_and_how_many(table, row, column):
    full, found = values(small_ranch()), values(without(small_ranch(), table, row, column))
    assert "at least" not in full.column("Season", "money")[0]
    assert full.column("Season", "all_not_known")[0] == 0
    unknown = int(np.isnan(found.column("Amounts", "cost_usd")).sum())
    assert unknown > 0
    assert found.column("Season", "all_not_known")[0] == unknown
    assert found.column("Season", "money")[0].startswith("at least $")
    assert f"{unknown} amounts" in found.column("Season", "money")[0]


@pytest.mark.parametrize("typed", [
    {"product": "none", "own_amount": 5}, {"product": "none", "most": 3},
    {"product": "none", "mode": "by its own intake", "times_per_week": 2}, {"own_amount": 5},
])
def test_r03_a_line_without_a_product_is_fed_nothing_whatever_is_typed_beside(typed):
    ranch = small_ranch()
    for column, value in typed.items():
        ranch = without(ranch, "Plan", 4, column, value)
    found = values(ranch)
    assert found.column("Plan", "season_tonne")[3] == 0
    assert found.column("Plan", "season_usd")[3] == 0
    assert found.column("Plan", "not_known_used")[3] == 0
    assert found.column("Plan", "words")[3] is None


def test_r05_only_days_are_shown_as_dates():
    """A count in a date format comes back as a date, and 0 as a time."""
    found = values(small_ranch())
    shown_as_date = 0
    for table in found.book.tables.values():
        for column in (c for c in table.columns if not c.inline and not isinstance(c, Say)):
            for member in found.book.members(column):
                form = looks.format_of(column, member, found.book).partition(";")[0]
                numbers = found.whole(table, column, member)
                if "yy" in form and numbers.dtype != object:
                    shown_as_date += 1
                    days = numbers[~np.isnan(numbers) & (numbers != 0)]  # 0: not asked for
                    assert (days > 36526).all(), (table.name, column.name)
    assert shown_as_date > 10


def test_r06_every_row_has_a_constant_number_and_links_ask_for_that_number():
    for table in book().tables.values():
        key = table.at[table.number_key]
        assert isinstance(key, Key) and not key.data, table.name
        if len(table.dimensions) > 1 and table.entries:
            assert table.number_key == "row_no" == table.columns[0].name, table.name
    for table, column, _, text in written():
        if isinstance(column, Link) and not column.by_name:
            target = book().tables[column.to]
            wanted = f"MATCH({{}},{target.name}_{target.number_key},0)"
            assert (wanted.partition("{}")[2] in text) is target.sortable, (table.name, column.name)


SORTED = ("Samples", "Forages", "Herd", "Diet", "Supplements", "Plan")


def row_numbers() -> set[tuple[str, str]]:
    """The columns that say in which row of a list something stands."""
    return {(table.sheet, formulas().letters[table.name, column.name, None])
            for table in book().tables.values() for column in table.columns
            if not column.inline and (isinstance(column, Link) or getattr(column, "to", ""))}


@pytest.mark.referee
def test_r06_lists_sorted_by_the_user_change_no_answer(tmp_path):
    """Rows of every list in reverse: all that does not stand on those sheets stays the same."""
    path = tmp_path / "plan.xlsx"
    cached = build(small_ranch(), path)
    workbook = load_workbook(path)
    for name in SORTED:
        table, sheet = book().tables[name], workbook[name]
        assert table.sortable
        rows = range(table.top, table.top + book().rows(table))
        for place, (column, _) in enumerate(formulas().cells[name], 1):
            if isinstance(column, Entry | Key):
                turned = [sheet.cell(row, place).value for row in reversed(rows)]
                for row, value in zip(rows, turned, strict=True):
                    sheet.cell(row, place).value = value
    workbook.save(tmp_path / "sorted.xlsx")
    (answer,) = referee.recalculated([tmp_path / "sorted.xlsx"], tmp_path / "again")
    others = {sheet: {cell: value for cell, value in cells.items()
                      if (sheet, cell.rstrip("0123456789")) not in row_numbers()}
              for sheet, cells in cached.items() if sheet not in SORTED}
    assert sum(map(len, others.values())) > 1000
    wrong = referee.differences(answer, others)
    assert not wrong, "\n".join(map(str, wrong[:20]))
    assert referee.differences(answer, {"Herd": cached["Herd"]})  # they did move


def test_an_inline_pull_of_what_may_be_blank_through_a_link_that_may_be_is_refused():
    """INDEX of a blank row is an error, even where the value would only be tested."""
    table = Table("Herd", ("group",), (
        Key(name="group_no", dimension="group"), Entry(name="forage", what="text"),
        Link(name="row", to="Herd", by_name="forage", key="forage"),
        Pull(name="breed_factor", via="row", of="own", inline=True), Entry(name="own"),
        Calc(name="breed_factor_used", may_be_blank=("breed_factor",))))
    one = Book(tables={"Herd": table}, dimensions={"group": (1,)}, settings={}, attributes={})
    with pytest.raises(TypeError, match=r"Herd\.breed_factor may be blank, as may its link"):
        Formulas(one).template(table, table.at["breed_factor_used"])


def test_a_parameter_that_stands_nowhere_is_named():
    table = Table("Herd", ("group",), (Calc(name="calving_mid_on"),))
    one = Book(tables={"Herd": table}, dimensions={"group": (1,)}, settings={}, attributes={})
    with pytest.raises(KeyError, match=r"Herd\.calving_mid_on needs first_calf_on, which is no"):
        Formulas(one).template(table, table.at["calving_mid_on"])


def test_a_true_circle_of_columns_is_named_not_run_into():
    table = Table("Herd", ("group",), (
        Into(name="weight_kg", of="shrunk"), Shown(name="shrunk", of="weight_kg")))
    one = Book(tables={"Herd": table}, dimensions={"group": (1,)}, attributes={},
               settings=make(small_ranch()).settings)
    with pytest.raises(ValueError, match=r"circle: \('Herd', 'weight_kg'"):
        Values(one, Ranch()).column("Herd", "weight_kg")
