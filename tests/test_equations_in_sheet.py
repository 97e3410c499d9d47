"""Every equation twice: NumPy over arrays, and its traced formula recalculated by LibreOffice.

The formulas stand in tables made of the workbook's own column kinds, one table a module, so that
the guards are the real ones. Entries in the workbook's units (`Into`) and answers in them
(`Shown`) stand in a table of their own, in a US and in a metric workbook of the same batch.
"""

from __future__ import annotations

import zipfile
from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from xml.sax.saxutils import escape

import numpy as np
import pytest
from openpyxl import Workbook
from openpyxl.workbook.defined_name import DefinedName

import haymow.steps  # noqa: F401  (fills EQUATIONS)
import referee
from haymow.dialect import EQUATIONS, Equation, parameters, symbolic
from haymow.evaluate import Values, conversions
from haymow.quantities import glossary
from haymow.ranch import Ranch
from haymow.tables import Book, Calc, Column, Entry, Into, Shown, Table
from haymow.tables.make import make
from haymow.tables.small import constants
from haymow.units import KG_PER_LB, TONNE_PER_TON, unit_of
from haymow.workbook.formulas import Formulas, filled

LEAST = 2000  # rows an equation is compared on
ROWS = 2300  # some have a blank
BLANK, BLANK_WHERE_ALLOWED, AT_AN_END = 0.005, 0.04, 0.02  # shares of the typed cells
TYPED_ROWS = 20  # of each converted quantity
MOST_WITHOUT = 0.05  # share of an equation's rows on which both forms have an error
FIRST_DAY, DAYS = 46296, 730  # all dates lie in two years, so that spells and months overlap
ERRORS = ("#DIV/0!", "#NUM!", "#VALUE!")
FACTORS = ("kg_per_weight_unit", "tonne_per_load_unit")
CODES = {  # whole numbers that the glossary does not list: lowest, highest
    "row_no": (1, 96), "row_before": (0, 96), "row_after": (0, 96), "before": (0, 96),
    "after": (0, 96), "class_row": (1, 10), "herd_row": (1, 60), "product_no": (1, 12),
    "mode_no": (1, 3), "basis_no": (1, 3), "weighed_no": (1, 2), "reason_1": (0, 5),
    "month_no": (1, 24), "months": (1, 24), "first_short_month": (0, 24),
    "last_short_month": (0, 24), "short_months": (0, 24), "first_flagged": (0, 6),
    "first_missing": (0, 1), "short": (0, 1), "missing": (0, 1), "nutrients": (6, 16),
    "second_no": (1, 4), "main_no": (1, 4), "third_no": (1, 4), "found": (0, 5),
    "intake_rule": (1, 2),
}
RANGES = {  # the same of other numbers; 0 to 100 without a line here or in the glossary
    "main_dm": (20, 100), "second_dm": (20, 100), "third_dm": (20, 100), "reported_dm": (5, 100),
    "reported_tdn": (25, 95), "dry_matter_tdn": (25, 95), "quality_tdn": (25, 95),
    "met_within_pct": (0, 5), "gain_nem_per_neg": (1.2, 6), "si_per_shown": (0.4, 1),
    "per_kg": (0.01, 10),
}


def differs(tdn_pct_dm):
    """An equation whose two forms differ by a ten-millionth."""
    return tdn_pct_dm * (1 + 1e-7) if symbolic(tdn_pct_dm) else tdn_pct_dm * 1


def fails_often(tdn_pct_dm):
    """An equation without an answer on more than one row in twenty."""
    return np.log(tdn_pct_dm - 30)


PLANTED = {f.__name__: Equation(f.__name__, f, "HAYMOW", "here", True)
           for f in (differs, fails_often)}


def by_module() -> dict[str, list[Equation]]:
    """Every equation of the engine by the module it stands in, and the planted ones."""
    found: dict[str, list[Equation]] = defaultdict(list)
    for each in EQUATIONS.values():
        found[each.function.__module__.rpartition(".")[2]].append(each)
    return found


@cache
def may_be_blank() -> dict[str, set[str]]:
    """The parameters an equation may find unknown, as the workbook's columns say."""
    book = make(Ranch(sizes=dict.fromkeys(
        ("group", "month", "forage", "product", "sample", "line"), 2)))
    found: dict[str, set[str]] = defaultdict(set)
    for table in book.tables.values():
        for column in (c for c in table.columns if isinstance(c, Calc)):
            for member in book.members(column):
                found[book.equation_name(column, member, EQUATIONS)] |= set(column.may_be_blank)
    return found


def table_of(name: str, equations: list[Equation]) -> Table:
    """The parameters as entries, through a guard where they may be blank, and the results."""
    soft = {each.name: may_be_blank()[each.name] & set(parameters(each.function))
            for each in equations}
    columns: list[Column] = []
    for parameter in dict.fromkeys(p for e in equations for p in parameters(e.function)):
        if any(parameter in each for each in soft.values()):
            columns += [Entry(name=f"typed_{parameter}", quantity=parameter),
                        Into(name=parameter, of=f"typed_{parameter}")]
        else:
            columns.append(Entry(name=parameter))
    columns += [Calc(name=f"result_{e.name}", by=e.name, may_be_blank=tuple(soft[e.name]))
                for e in equations]
    return Table(name, ("case",), tuple(columns))


def converted() -> Table:
    """Every quantity that is converted at the edges: typed, in the engine's unit, shown again."""
    columns: list[Column] = []
    for name in (name for name in glossary() if conversions(name)):
        columns += [Entry(name=f"typed_{name}", quantity=name),
                    Into(name=name, of=f"typed_{name}"), Shown(name=f"shown_{name}", of=name)]
    return Table("Converted", ("case",), tuple(columns))


def drawn(name: str, rng: np.random.Generator, rows: int) -> np.ndarray:
    """Random values over the plausible range, in the engine's unit."""
    line = glossary().get(name)
    low, high = RANGES.get(name) or ((line.low, line.high) if line else (0.0, 100.0))
    if name.endswith("_on") or low == glossary()["first_day"].low \
            or name in ("plan_end", "first_month"):
        return rng.integers(FIRST_DAY, FIRST_DAY + DAYS, rows).astype(float)
    coded = line is not None and line.format == "0" and low == int(low) and high - low <= 12
    if name in CODES or coded:
        low, high = CODES.get(name, (low, high))
        return rng.integers(int(low), int(high) + 1, rows).astype(float)
    ends = [low, high, 0.0] if low <= 0 <= high else [low, high]
    return np.where(rng.random(rows) < AT_AN_END, rng.choice(ends, rows),
                    rng.uniform(low, high, rows))


def typed(book: Book) -> Ranch:
    """Random entries in the workbook's units, some left blank."""
    rng = np.random.default_rng(int(book.us))
    entries: dict[str, dict[int, dict[str, float]]] = {}
    for table in book.tables.values():
        soft = {p for c in table.columns if isinstance(c, Calc) for p in c.may_be_blank}
        rows = entries[table.name] = {row: {} for row in range(1, book.rows(table) + 1)}
        for column in table.entries:
            name = column.quantity or column.name
            values = drawn(name, rng, len(rows)) / unit_of(name).si_per_edge(book.us)
            blank = rng.random(len(rows)) < (BLANK_WHERE_ALLOWED if name in soft else BLANK)
            for row in np.flatnonzero(~blank).tolist():
                rows[row + 1][column.name] = float(values[row])
    return Ranch(entries=entries, us=book.us)


class Written:
    """Tables as a bare workbook, what their formulas should show, and where NumPy fails."""

    def __init__(self, us: bool, tables: list[Table], rows: int) -> None:
        kg, tonne = (KG_PER_LB, TONNE_PER_TON) if us else (1.0, 1.0)
        self.book = Book(tables={t.name: t for t in tables}, attributes={},
                         dimensions={"case": tuple(range(rows))},
                         settings=constants({}, us, kg, tonne), us=us)
        self.formulas, self.values = Formulas(self.book), Values(self.book, typed(self.book))
        self.expected: dict[str, dict[str, object]] = {t.name: {} for t in tables}
        self.column_of: dict[tuple[str, str], str] = {}
        self.fails: set[tuple[str, str]] = set()
        self.rows: Counter[str] = Counter()

    def save(self, path: Path) -> None:
        """Write the cells into the empty sheets of a workbook: much faster than cell by cell."""
        workbook = Workbook()
        workbook.active.title = "Factors"
        for row, name in enumerate(FACTORS, 1):
            workbook.active.cell(row, 1, self.book.settings[name].value)
            workbook.defined_names[name] = DefinedName(name, attr_text=f"Factors!$A${row}")
        for name in self.book.tables:
            workbook.create_sheet(name)
        empty = path.with_suffix(".empty")
        workbook.save(empty)
        parts = {f"xl/worksheets/sheet{number}.xml": table
                 for number, table in enumerate(self.book.tables.values(), 2)}
        with zipfile.ZipFile(empty) as old, zipfile.ZipFile(path, "w", zipfile.ZIP_STORED) as new:
            for name in old.namelist():
                text = old.read(name).decode()
                if name in parts:
                    text = text.replace("<sheetData/>", self.data(parts[name])) \
                        .replace("<sheetData />", self.data(parts[name]))
                new.writestr(name, text)

    def data(self, table: Table) -> str:
        columns = [self.cells(table, column) for column in table.columns]
        rows = (f'<row r="{number}">{"".join(cells)}</row>'
                for number, cells in enumerate(zip(*columns, strict=True), table.top))
        return f"<sheetData>{''.join(rows)}</sheetData>"

    def cells(self, table: Table, column: Column) -> list[str]:
        found = self.values.at(table, column)
        letter = self.formulas.letters[table.name, column.name, None]
        places = [f"{letter}{table.top + i}" for i in range(len(found))]
        if isinstance(column, Entry):
            return ["" if np.isnan(value) else f'<c r="{place}"><v>{value!r}</v></c>'
                    for place, value in zip(places, found.tolist(), strict=True)]
        finite = np.isfinite(found)
        self.expected[table.name].update(
            zip(places, np.where(finite, found, np.nan).tolist(), strict=True))
        self.column_of[table.name, letter] = getattr(column, "by", column.name)
        if isinstance(column, Calc):
            known = self.known(table, column)
            self.rows[column.by] = int(known.sum())
            self.fails |= {(table.name, places[i]) for i in np.flatnonzero(known & ~finite)}
        formula = escape(self.formulas.template(table, column))
        return [f'<c r="{place}"><f>{filled(formula, row)}</f></c>'
                for row, place in enumerate(places, table.top)]

    def known(self, table: Table, column: Calc) -> np.ndarray:
        """The rows on which an equation has all it asks for."""
        asked = [self.values.at(table, table.at[name])
                 for name in parameters(EQUATIONS[column.by].function)
                 if name not in column.may_be_blank]
        everywhere = np.ones(self.book.rows(table), bool)
        return np.all([everywhere, *(~np.isnan(value) for value in asked)], axis=0)


@dataclass
class Compared:
    """What came of both workbooks, by the equation's name (or that of a converted column)."""

    wrong: dict[str, list[referee.Difference]] = field(default_factory=lambda: defaultdict(list))
    without: Counter[str] = field(default_factory=Counter)  # rows with an error in both forms
    rows: Counter[str] = field(default_factory=Counter)  # rows with all that the equation asks for


@pytest.fixture(scope="module")
def written() -> Iterator[dict[str, Written]]:
    """The workbooks by file name."""
    with pytest.MonkeyPatch.context() as patch:
        for name, planted in PLANTED.items():
            patch.setitem(EQUATIONS, name, planted)
        tables = [table_of(name, each) for name, each in by_module().items()]
        yield {"equations.xlsx": Written(False, tables, ROWS),
               "us.xlsx": Written(True, [converted()], TYPED_ROWS),
               "metric.xlsx": Written(False, [converted()], TYPED_ROWS)}


@pytest.fixture(scope="module")
def compared(written, tmp_path_factory) -> Compared:
    """All workbooks, recalculated in one call."""
    folder = tmp_path_factory.mktemp("equations")
    for name, each in written.items():
        each.save(folder / name)
    found = Compared(rows=written["equations.xlsx"].rows)
    files = [(folder / name, each.expected) for name, each in written.items()]
    for one in referee.check(files, folder / "again"):
        each = written[one.file]
        name = each.column_of[one.sheet, one.cell.rstrip("0123456789")]
        if (one.sheet, one.cell) in each.fails and one.got in ERRORS:
            found.without[name] += 1
        else:
            found.wrong[name].append(one)
    return found


@pytest.mark.referee
def test_every_equation_gives_the_same_numbers_in_numpy_and_in_the_sheet(compared):
    wrong = {name: each for name, each in compared.wrong.items() if name != "differs"}
    shown = [f"{name} ({len(each)} rows): {each[0]}" for name, each in wrong.items()]
    assert not wrong, "\n".join(shown)


@pytest.mark.referee
def test_every_equation_was_compared_on_two_thousand_rows(compared):
    assert {name for name in EQUATIONS if compared.rows[name] < LEAST} == set()


@pytest.mark.referee
def test_an_equation_whose_two_forms_differ_is_caught(compared):
    assert len(compared.wrong["differs"]) > LEAST


@pytest.mark.referee
def test_few_rows_have_no_answer_in_either_form(compared):
    """Division by a zero end of a range and the like: the sheets' validation keeps them out."""
    many = {name for name, count in compared.without.items()
            if count > MOST_WITHOUT * compared.rows[name]}
    assert many == {"fails_often"}


@pytest.mark.referee
def test_what_is_typed_in_either_unit_system_is_shown_again_as_typed(written, compared):
    """``compared`` proves the sheets; here: the engine's own numbers, against the typed ones."""
    for name in ("us.xlsx", "metric.xlsx"):
        values, table = written[name].values, written[name].book.tables["Converted"]
        for entry in table.entries:
            unit = unit_of(entry.quantity)
            typed_in = values.at(table, entry)
            inside = values.at(table, table.at[entry.quantity])
            want = typed_in * (0.45359237**unit.weight * 0.90718474**unit.load if "us" in name else 1)
            np.testing.assert_allclose(inside, want, rtol=1e-14)
            shown = values.at(table, table.at[f"shown_{entry.quantity}"])
            np.testing.assert_allclose(shown, typed_in, rtol=1e-14)
