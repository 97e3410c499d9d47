"""The dialect of equations: what it prints, what it refuses, and that it means the same twice."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from openpyxl import Workbook
from openpyxl.utils import get_column_letter

import referee
from haymow import dialect
from haymow.dialect import (
    Node,
    chosen,
    equation,
    if_needed,
    is_missing,
    month_of_year,
    month_start,
    only_if,
    parameters,
    piecewise,
    ratio,
    typed_or,
    working,
)
from haymow.workbook.trace import check_soft, printed

A, B, C = (Node("cell", name) for name in ("$A1", "$B1", "$C1"))


# --- what it prints
@pytest.mark.parametrize(("node", "text"), [
    (-A**2, "(-1)*$A1^2"),
    ((-A)**2, "((-1)*$A1)^2"),
    (A**B**C, "$A1^($B1^$C1)"),
    ((A**B)**C, "($A1^$B1)^$C1"),
    (A**-B, "$A1^((-1)*$B1)"),
    (A**-2.0, "$A1^(-2)"),
    (A - (B - C), "$A1-($B1-$C1)"),
    (A - B - C, "$A1-$B1-$C1"),
    (A / (B * C), "$A1/($B1*$C1)"),
    (A / B * C, "$A1/$B1*$C1"),
    ((A + B) * C, "($A1+$B1)*$C1"),
    (A * -2.0, "$A1*(-2)"),
    (-2.0 - A, "-2-$A1"),
    ((A > B) == (B > C), "($A1>$B1)=($B1>$C1)"),
    ((A > B) & (B > C) | ~(A == C), "OR(AND($A1>$B1,$B1>$C1),NOT($A1=$C1))"),
    ((A > B) * C, "($A1>$B1)*$C1"),
    (np.where(A != B, A, 0), "IF($A1<>$B1,$A1,0)"),
    (np.clip(A, 0, B), "MIN(MAX($A1,0),$B1)"),
    (np.floor(A) + A % 7 + abs(A), "INT($A1)+MOD($A1,7)+ABS($A1)"),
    (np.exp(A) + np.log(A) + np.sqrt(A), "EXP($A1)+LN($A1)+SQRT($A1)"),
    (ratio(A + 1, B - C, 0.0), "IF($B1-$C1=0,0,($A1+1)/($B1-$C1))"),
    (typed_or(A, B), "IF(ISNUMBER($A1),$A1,$B1)"),
    (if_needed(A, B), 'IF(ISNUMBER($A1),$A1,IF($B1>0,"",0))'),
    (if_needed(A, B, C), 'IF(ISNUMBER($A1),$A1,IF($B1>0,"",$C1))'),
    (only_if(A > 0, B), 'IF($A1>0,$B1,"")'),
    (is_missing(A), "IF(ISNUMBER($A1),0,1)"),
    (chosen(A, B, 2.0), "CHOOSE($A1,$B1,2)"),
    (month_start(A, B - 1), "DATE(YEAR($A1),MONTH($A1)+($B1-1),1)"),
    (month_of_year(A), "MONTH($A1)"),
], ids=lambda value: value if isinstance(value, str) else "")
def test_a_traced_equation_prints_as(node, text):
    assert printed(node) == text


@pytest.mark.parametrize(("number", "text"), [
    (1e-05, "1E-05"), (1.5e21, "1.5E+21"), (3.0, "3"), (0.00114, "0.00114"), (1200000, "1200000"),
    (np.float64(0.25), "0.25"),
])
def test_a_number_is_printed_as_a_worksheet_reads_it(number, text):
    assert printed(A * number) == f"$A1*{text}"


# --- what it refuses
@pytest.mark.parametrize(("write", "words"), [
    (lambda: A if A > 0 else B, r"np\.where"),
    (lambda: A > 0 and B > 0, r"np\.where, & and \|"),
    (lambda: A > 0 or B > 0, r"np\.where, & and \|"),
    (lambda: not A > 0, r"np\.where"),
    (lambda: 0 < A < 1, r"np\.where, & and \|"),
    (lambda: max(A, B), r"np\.where"),
    (lambda: np.mean(A), "write the sum and divide"),
    (lambda: np.sum(A), "write the terms out"),
    (lambda: np.isnan(A), "use typed_or or if_needed"),
    (lambda: np.rint(A), "use floor"),
    (lambda: np.fmax(A, B), "use maximum"),
    (lambda: np.fmin(A, B), "use minimum"),
    (lambda: np.float_power(A, B), r"use \*\*"),
    (lambda: np.logical_and(A > 0, B > 0), "use &"),
    (lambda: np.logical_or(A > 0, B > 0), r"use \|"),
    (lambda: np.logical_not(A > 0), "use ~"),
    (lambda: np.sin(A), r"np\.sin is not in the dialect of equations; see DEVELOPERS\.md"),
    (lambda: np.interp(A, [0, 1], [2, 3]), r"np\.interp is not in the dialect"),
    (lambda: np.where(A > 0), r"np\.where is not in the dialect"),
    (lambda: np.add.reduce(A), r"np\.add is not in the dialect"),
    (lambda: printed(A + math.inf), "inf cannot stand in a formula"),
    (lambda: printed(np.where(A > 0, A, np.nan)), "nan cannot stand in a formula"),
])
def test_what_cannot_become_a_formula_is_refused_and_what_to_write_is_said(write, words):
    with pytest.raises(TypeError, match=words):
        write()


@pytest.mark.parametrize("node", [
    A + 1, A > 0, np.minimum(A, B), np.where(A > 0, B, C), typed_or(A, B) * (A + 1),
    only_if(B > 0, A * 2), if_needed(A, B) / C, chosen(A, B, C), typed_or(A + 1, B), -A,
    month_start(A, 1.0), if_needed(B, A),
])
def test_a_parameter_that_may_be_blank_is_refused_inside_arithmetic(node):
    """R2: "" in arithmetic is #VALUE! in the sheet."""
    with pytest.raises(TypeError, match="may be blank: give it a branch or a column"):
        check_soft(node, [A])


@pytest.mark.parametrize("node", [
    A, typed_or(A, B), typed_or(B, A), if_needed(A, B), chosen(B, A, C), only_if(B > 0, A),
    np.where(B > 0, C, A), is_missing(A), is_missing(A) * B + 1,
])
def test_a_parameter_that_may_be_blank_may_be_tested_or_be_a_whole_branch(node):
    check_soft(node, [A])


def test_two_modules_cannot_have_an_equation_of_the_same_name(monkeypatch):
    monkeypatch.setattr(dialect, "EQUATIONS", {})

    def state_no(module):
        def state_no(first_flagged):
            return first_flagged
        state_no.__module__ = module
        return state_no

    working(state_no("balance"))
    working(state_no("balance"))  # the module was read again
    with pytest.raises(ValueError, match="two equations are named state_no"):
        working(state_no("answers"))


def test_a_registered_equation_keeps_its_source_and_its_parameters(monkeypatch):
    monkeypatch.setattr(dialect, "EQUATIONS", {})

    @equation("NRC2000", "table 9", seen=True)
    def half_pct(whole_pct):
        return whole_pct / 2

    kept = dialect.EQUATIONS["half_pct"]
    assert (kept.source, kept.where, kept.seen) == ("NRC2000", "table 9", True)
    assert kept.published
    assert parameters(kept.function) == ["whole_pct"]
    assert kept(3.0) == 1.5


@pytest.mark.parametrize("node", [
    only_if(A > 0, B) + 1, if_needed(A, B) / C, np.minimum(only_if(A > 0, B), C),
    np.where(only_if(A > 0, B) > 0, B, C), chosen(only_if(A > 0, B), A, B),
])
def test_a_result_that_may_be_blank_is_refused_inside_arithmetic(node):
    """R2: the same of a blank that the equation itself makes."""
    with pytest.raises(TypeError, match="may be blank"):
        check_soft(node, [])


# --- each primitive over arrays, blanks among them
@pytest.mark.parametrize(("got", "want"), [
    (typed_or(np.array([1, np.nan]), 5.0), [1, 5]),
    (if_needed(np.array([1, np.nan, np.nan]), np.array([0, 0, 1])), [1, 0, np.nan]),
    (if_needed(np.array([np.nan, np.nan]), np.array([0, 1]), 7.0), [7, np.nan]),
    (only_if(np.array([True, False]), 5.0), [5, np.nan]),
    (is_missing(np.array([np.nan, 0])), [1, 0]),
    (chosen(np.array([1, 2, np.nan]), 5.0, np.nan), [5, np.nan, np.nan]),
    (ratio(np.array([4.0, 4.0]), np.array([2, 0]), -1.0), [2, -1]),
    (piecewise(np.array([0, 15, 99.0]), ((10, 1.0), (20, 3.0), (30, 2.0))), [1, 2, 2]),
    # 46296 is October 1, 2026: the day before is in September, January is three months later
    (month_of_year(np.array([46295, 46296, np.nan])), [9, 10, np.nan]),
    (month_start(np.array([46326, 46326, np.nan]), np.array([0, 3, 1])), [46296, 46388, np.nan]),
    (month_start(np.array([46296.0, 46296]), np.array([-1, np.nan])), [46266, np.nan]),
])
def test_a_primitive_over_arrays(got, want):
    np.testing.assert_array_equal(got, want)


# --- both forms mean the same
Leaf = Callable[[str], Any]
Tree = Callable[[Leaf], Any]
EXPRESSIONS, DEPTH, NOISE, LONGEST = 1200, 5, 1e-10, 4000
FLOATS, WHOLE, TYPED = ("x1", "x2", "x3", "p1", "p2"), ("n1", "n2", "m1", "day"), ("t1", "t2")
LEAVES = {name: get_column_letter(place) for place, name in enumerate(FLOATS + WHOLE + TYPED, 1)}
RESULT = get_column_letter(len(LEAVES) + 1)
LITERALS = (0.0, 1.0, -1.0, 2.0, 100.0, 0.75, -0.138, 1e-05, 2.5e-07, 1e10, 1 / 3, 13.93, 365.25)


class Random:
    """Random expressions: numbers that are always known, conditions, and what may be blank."""

    def __init__(self, seed: int) -> None:
        self.rng = np.random.default_rng(seed)

    def one_of(self, *ways: Callable[[int], Tree], depth: int) -> Tree:
        return ways[self.rng.integers(len(ways))](depth - 1)

    def number(self, depth: int) -> Tree:
        if depth <= 0 or self.rng.random() < 0.1:
            return self.leaf()
        return self.one_of(self.sign, self.sign, self.power, self.call, self.clip, self.branch,
                           self.ratio, self.piecewise, self.chosen, self.known, self.counted,
                           self.date, depth=depth)

    def leaf(self) -> Tree:
        if self.rng.random() < 0.25:
            literal = np.float64(self.rng.choice(LITERALS))
            return lambda leaf: literal
        name = str(self.rng.choice((*FLOATS, "n1", "n2", "m1")))
        return lambda leaf: leaf(name)

    def sign(self, depth: int) -> Tree:
        a, b = self.number(depth), self.number(depth)
        return [lambda leaf: a(leaf) + b(leaf), lambda leaf: a(leaf) - b(leaf),
                lambda leaf: a(leaf) * b(leaf), lambda leaf: -a(leaf),
                lambda leaf: a(leaf) / (np.abs(b(leaf)) + 0.5),
                ][self.rng.integers(5)]

    def power(self, depth: int) -> Tree:
        a, b, c = (self.number(depth) for _ in range(3))

        def some(tree: Tree, leaf: Leaf) -> Any:
            return np.clip(np.abs(tree(leaf)), 0.1, 3.0)

        return [lambda leaf: -a(leaf)**2, lambda leaf: (-a(leaf))**2, lambda leaf: a(leaf)**3,
                lambda leaf: some(a, leaf)**some(b, leaf)**some(c, leaf),
                lambda leaf: (some(a, leaf)**some(b, leaf))**some(c, leaf),
                lambda leaf: some(a, leaf)**-some(b, leaf),
                lambda leaf: -some(a, leaf)**0.75,
                ][self.rng.integers(7)]

    def call(self, depth: int) -> Tree:
        a, b = self.number(depth), self.number(depth)
        return [lambda leaf: np.exp(np.minimum(a(leaf), 5.0)), lambda leaf: np.abs(a(leaf)),
                lambda leaf: np.log(np.abs(a(leaf)) + 0.1), lambda leaf: np.sqrt(abs(a(leaf))),
                lambda leaf: np.minimum(a(leaf), b(leaf)), lambda leaf: np.floor(a(leaf)),
                lambda leaf: np.maximum(a(leaf), b(leaf)),
                lambda leaf: a(leaf) % (abs(b(leaf)) + 0.5),
                ][self.rng.integers(8)]

    def clip(self, depth: int) -> Tree:
        a, b = self.number(depth), self.number(depth)
        return lambda leaf: np.clip(a(leaf), -abs(b(leaf)), abs(b(leaf)) + 1)

    def branch(self, depth: int) -> Tree:
        test, a, b = self.condition(depth), self.number(depth), self.number(depth)
        return lambda leaf: np.where(test(leaf), a(leaf), b(leaf))

    def counted(self, depth: int) -> Tree:
        test, a = self.condition(depth), self.number(depth)
        return lambda leaf: test(leaf) * a(leaf)

    def ratio(self, depth: int) -> Tree:
        a, b, other = self.number(depth), self.number(depth), self.number(depth)
        if self.rng.random() < 0.3:
            return lambda leaf: ratio(a(leaf), leaf("n1") - leaf("n2"), other(leaf))
        return lambda leaf: ratio(a(leaf), b(leaf), other(leaf))

    def piecewise(self, depth: int) -> Tree:
        x, y = self.number(depth), self.number(depth)
        return lambda leaf: piecewise(x(leaf), ((-3.0, 1.0), (2.0, y(leaf)), (9.5, -0.25)))

    def chosen(self, depth: int) -> Tree:
        a, b, c = (self.number(depth) for _ in range(3))
        return lambda leaf: chosen(leaf("n1"), a(leaf), b(leaf), c(leaf))

    def known(self, depth: int) -> Tree:
        """A number made of what may be blank."""
        soft, other = self.soft(depth), self.number(depth)
        if self.rng.random() < 0.3:
            return lambda leaf: is_missing(soft(leaf))
        return lambda leaf: typed_or(soft(leaf), other(leaf))

    def date(self, depth: int) -> Tree:
        if self.rng.random() < 0.5:
            return lambda leaf: month_of_year(leaf("day") + leaf("m1"))
        return lambda leaf: (month_start(leaf("day"), leaf("m1")) - leaf("day")) / 31

    def condition(self, depth: int) -> Tree:
        if depth > 0 and self.rng.random() < 0.4:
            a, b = self.condition(depth - 1), self.condition(depth - 1)
            return [lambda leaf: a(leaf) & b(leaf), lambda leaf: a(leaf) | b(leaf),
                    lambda leaf: ~a(leaf)][self.rng.integers(3)]
        a, b = self.number(depth - 1), self.number(depth - 1)
        return [lambda leaf: a(leaf) < b(leaf), lambda leaf: a(leaf) >= b(leaf),
                lambda leaf: a(leaf) > b(leaf), lambda leaf: a(leaf) <= b(leaf),
                lambda leaf: leaf("n1") == leaf("n2"), lambda leaf: leaf("n1") != 2.0,
                ][self.rng.integers(6)]

    def soft(self, depth: int) -> Tree:
        """What may be blank: typed, or blank by a rule."""
        typed = str(self.rng.choice(TYPED))
        if depth <= 0:
            return lambda leaf: leaf(typed)
        a, b, test = self.number(depth - 1), self.number(depth - 1), self.condition(depth - 1)
        soft = self.soft(depth - 1)
        return [lambda leaf: leaf(typed), lambda leaf: only_if(test(leaf), a(leaf)),
                lambda leaf: if_needed(leaf(typed), leaf("m1")),
                lambda leaf: if_needed(leaf(typed), a(leaf), b(leaf)),
                lambda leaf: chosen(leaf("n2"), soft(leaf), leaf(typed), a(leaf)),
                lambda leaf: np.where(test(leaf), soft(leaf), b(leaf)),
                lambda leaf: typed_or(leaf(typed), soft(leaf)),
                ][self.rng.integers(7)]

    def row(self) -> dict[str, float]:
        rng = self.rng
        cells = {name: round(rng.uniform(-20, 20), 6) for name in FLOATS}
        cells |= {"p1": round(rng.uniform(0.1, 30), 6), "p2": round(rng.uniform(0.1, 3), 6),
                  "n1": float(rng.integers(1, 4)), "n2": float(rng.integers(1, 4)),
                  "m1": float(rng.integers(-14, 15)), "day": float(rng.integers(40000, 60000))}
        return cells | {name: math.nan if rng.random() < 0.5 else round(rng.uniform(-9, 9), 4)
                        for name in TYPED}


def value(tree: Tree, row: dict[str, float], noise: np.random.Generator | None = None) -> float:
    """The expression by NumPy; with noise, each mention of a number is off by a hair."""
    def leaf(name: str) -> Any:
        off = 1 + NOISE * noise.uniform(-1, 1) if noise and name not in WHOLE else 1.0
        return np.float64(row[name] * off)
    with np.errstate(all="ignore"):
        return float(tree(leaf))


def steady(tree: Tree, row: dict[str, float], noise: np.random.Generator) -> bool:
    """Whether rounding does not decide the result (F4: spreadsheets snap differences near 0)."""
    exact = value(tree, row)
    near = [value(tree, row, noise) for _ in range(5)]
    if math.isnan(exact):
        return all(map(math.isnan, near))
    return abs(exact) < 1e12 and all(abs(n - exact) <= 1e-7 * abs(exact) for n in near)


def traced(tree: Tree, number: int) -> str:
    """The expression as it stands in a row of the sheet; "" where it cannot be written."""
    try:
        with np.errstate(all="ignore"):  # literals among themselves are worked out in Python
            text = printed(tree(lambda name: Node("cell", f"${LEAVES[name]}{number}")))
    except TypeError as refused:
        if not str(refused).endswith("cannot stand in a formula"):
            raise
        return ""
    return text if len(text) < LONGEST else ""


def random_expressions() -> tuple[list[tuple[Tree, str, dict[str, float]]], int]:
    """Expressions with a row of numbers each, and how many were drawn for that."""
    source, noise = Random(7), np.random.default_rng(8)
    kept: list[tuple[Tree, str, dict[str, float]]] = []
    drawn = 0
    while len(kept) < EXPRESSIONS:
        drawn += 1
        tree = (source.soft if drawn % 4 == 0 else source.number)(DEPTH)
        row, text = source.row(), traced(tree, len(kept) + 1)
        if text and steady(tree, row, noise):
            kept.append((tree, text, row))
    return kept, drawn


@pytest.mark.referee
def test_random_expressions_give_the_same_in_numpy_and_in_the_sheet(tmp_path):
    kept, drawn = random_expressions()
    assert drawn < 1.5 * EXPRESSIONS, "too many expressions hang on rounding"
    workbook = Workbook()
    sheet, expected = workbook.active, {}
    sheet.title = "Random"
    for number, (tree, text, row) in enumerate(kept, 1):
        for name, letter in LEAVES.items():
            place, blank = f"{letter}{number}", math.isnan(row[name])
            sheet[place] = '=""' if blank else row[name]  # blank as a guard leaves it
            if blank:
                expected[place] = ""
        sheet[f"{RESULT}{number}"] = "=" + text
        expected[f"{RESULT}{number}"] = value(tree, row)
    path = tmp_path / "random.xlsx"
    workbook.save(path)
    wrong = referee.check([(path, {"Random": expected})], tmp_path / "again")
    texts = {f"{RESULT}{number}": text for number, (_, text, _) in enumerate(kept, 1)}
    assert not wrong, "\n".join(f"{one}: {texts[one.cell]}" for one in wrong[:20])
    assert_covered(" ".join(texts.values()))


def assert_covered(text: str) -> None:
    """Every sign and function that the dialect can print stands in one of the expressions."""
    names = {*dialect.CALLS.values(), "IF", "ISNUMBER", "CHOOSE", "DATE", "YEAR", "MONTH"}
    signs = {sign for sign, _ in dialect.SIGNS.values()}
    assert {name for name in names if f"{name}(" not in text} == set()
    assert {sign for sign in signs if sign not in text} == set()
    assert "1E-05" in text
