"""Every equation twice: NumPy over arrays, and its traced formula recalculated by LibreOffice.

The formulas stand in a table made of the workbook's own column kinds, so that the guards are the
real ones. Entries in the workbook's units (`Into`) and answers in them (`Shown`) stand in a table
of their own, in a US and in a metric workbook of the same batch.
"""

from __future__ import annotations

import csv
import math
import zipfile
from collections import defaultdict
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from xml.sax.saxutils import escape

import numpy as np
import pytest
from numpy.typing import NDArray
from openpyxl import Workbook
from openpyxl.workbook.defined_name import DefinedName

import haymow.steps  # noqa: F401  (fills EQUATIONS)
import referee
from haymow.dialect import EQUATIONS, Equation, Node, parameters, symbolic
from haymow.evaluate import Values, conversions
from haymow.quantities import glossary
from haymow.ranch import Ranch
from haymow.tables import Book, Calc, Column, Entry, Into, Shown, Table
from haymow.tables.make import make
from haymow.units import unit_of
from haymow.workbook.formulas import Formulas, filled
from small_ranch import SIZES

Array = NDArray[np.float64]
LEAST = 2000  # rows an equation is compared on
ROWS = 2300  # some have a blank
BLANK, BLANK_WHERE_ALLOWED, AT_AN_END = 0.005, 0.04, 0.02  # shares of the typed cells
TYPED_ROWS = 20  # of each converted quantity
TOLERANCE = 1e-9  # of a number, or of a thousandth of its column's largest
MOST_WITHOUT = 0.05  # share of an equation's rows on which both forms have an error
STORED = 41  # a wrong value beside the formulas of ``stale``
FIRST_DAY, DAYS = 46296, 730  # all dates lie in two years, so that spells and months overlap
ERRORS = ("#DIV/0!", "#NUM!", "#VALUE!", "Err:502", "Err:503")
CSV = "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,true"  # as shown
FACTORS = {"kg_per_weight_unit": 0.45359237, "tonne_per_load_unit": 0.90718474,
           "ha_per_area_unit": 0.40468564224,
           "m_per_length_unit": 0.3048}  # by definition: a pound, 2,000 of them, an acre, a foot
CODES = {  # whole numbers that the glossary does not list: lowest, highest
    "row_no": (1, 96), "row_before": (0, 96), "row_after": (0, 96), "before": (0, 96),
    "after": (0, 96), "class_row": (1, 10), "herd_row": (1, 60), "product_no": (1, 12),
    "mode_no": (1, 3), "basis_no": (1, 3), "weighed_no": (1, 2), "reason_1": (0, 5),
    "month_no": (1, 24), "months": (1, 24), "first_short_month": (0, 24),
    "last_short_month": (0, 24), "short_months": (0, 24), "first_flagged": (0, 6),
    "first_missing": (0, 1), "short": (0, 1), "missing": (0, 1), "nutrients": (6, 16),
    "second_no": (1, 4), "main_no": (1, 4), "third_no": (1, 4), "found": (0, 5),
    "intake_rule": (1, 2), "moy": (1, 12), "green_from_moy": (1, 12), "green_to_moy": (1, 12),
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


def stale(tdn_pct_dm):
    """An equation beside whose formulas a wrong value is stored."""
    return tdn_pct_dm + 1


PLANTED = {f.__name__: Equation(f.__name__, f, "HAYMOW", "here", True)
           for f in (differs, fails_often, stale)}


@cache
def may_be_blank() -> dict[str, set[str]]:
    """The parameters an equation may find unknown, as the workbook's columns say."""
    book = make(Ranch(sizes=SIZES))
    found: dict[str, set[str]] = defaultdict(set)
    for table in book.tables.values():
        for column in (c for c in table.columns if isinstance(c, Calc)):
            for member in book.members(column):
                found[book.equation_name(column, member, EQUATIONS)] |= set(column.may_be_blank)
    return found


@cache
def chosen_by() -> dict[str, int]:
    """The parameters that choose among alternatives, and how many there are."""
    found: dict[str, int] = {}

    def look(node: object) -> None:
        if isinstance(node, Node):
            if node.what == "CHOOSE" and node.parts[0].what == "cell":
                name, count = node.parts[0].parts[0], len(node.parts) - 1
                found[name] = min(found.get(name, count), count)
            for part in node.parts:
                look(part)

    for each in EQUATIONS.values():
        look(each.function(*(Node("cell", name) for name in parameters(each.function))))
    return found


def handbook() -> Table:
    """All parameters as entries, through a guard where they may be blank, and all results."""
    soft = {name: may_be_blank()[name] & set(parameters(each.function))
            for name, each in EQUATIONS.items()}
    columns: list[Column] = []
    for parameter in dict.fromkeys(p for e in EQUATIONS.values() for p in parameters(e.function)):
        if any(parameter in each for each in soft.values()):
            columns += [Entry(name=f"typed_{parameter}", quantity=parameter),
                        Into(name=parameter, of=f"typed_{parameter}")]
        else:
            columns.append(Entry(name=parameter))
    columns += [Calc(name=f"result_{name}", by=name, may_be_blank=tuple(soft[name]))
                for name in EQUATIONS]
    return Table("Handbook", ("case",), tuple(columns))


def converted() -> Table:
    """Every quantity that is converted at the edges: typed, in the engine's unit, shown again."""
    columns: list[Column] = []
    for name in (name for name in glossary() if conversions(name)):
        columns += [Entry(name=f"typed_{name}", quantity=name),
                    Into(name=name, of=f"typed_{name}"), Shown(name=f"shown_{name}", of=name)]
    return Table("Converted", ("case",), tuple(columns))


def drawn(name: str, rng: np.random.Generator, rows: int) -> Array:
    """Random values over the plausible range, in the engine's unit."""
    line = glossary().get(name)
    low, high = RANGES.get(name) or ((line.low, line.high) if line else (0.0, 100.0))
    if name.endswith("_on") or low == glossary()["first_day"].low \
            or name in ("plan_end", "first_month"):
        return rng.integers(FIRST_DAY, FIRST_DAY + DAYS, rows).astype(float)
    coded = line is not None and line.format == "0" and low == int(low) and high - low <= 12
    if name in CODES or coded or name in chosen_by():
        low, high = CODES.get(name, (low, high))
        low, high = (1, chosen_by()[name]) if name in chosen_by() else (low, high)
        return rng.integers(int(low), int(high) + 1, rows).astype(float)
    ends = [low, high, 0.0] if low <= 0 <= high else [low, high]
    return np.where(rng.random(rows) < AT_AN_END, rng.choice(ends, rows),
                    rng.uniform(low, high, rows))


def typed(book: Book, table: Table, rows: int) -> Ranch:
    """Random entries in the workbook's units, some left blank."""
    rng = np.random.default_rng(int(book.us))
    soft = {p for c in table.columns if isinstance(c, Calc) for p in c.may_be_blank}
    entries: dict[int, dict[str, float]] = {row: {} for row in range(1, rows + 1)}
    for column in table.entries:
        name = column.quantity or column.name
        values = drawn(name, rng, rows) / unit_of(name).si_per_edge(book.us)
        blank = rng.random(rows) < (BLANK_WHERE_ALLOWED if name in soft else BLANK)
        for row in np.flatnonzero(~blank).tolist():
            entries[row + 1][column.name] = float(values[row])
    return Ranch(entries={table.name: entries}, us=book.us)


class Sheet:
    """A table as a bare sheet, and what LibreOffice makes of it."""

    def __init__(self, path: Path, table: Table, us: bool, rows: int) -> None:
        self.path, self.table = path, table
        self.book = Book(tables={table.name: table}, dimensions={"case": tuple(range(rows))},
                         attributes={}, us=us,
                         settings=make(Ranch(sizes=SIZES, us=us)).settings)
        self.formulas = Formulas(self.book)
        self.values = Values(self.book, typed(self.book, table, rows))
        self.got: dict[str, list[str]] = {}

    def at(self, name: str) -> Array:
        """The engine's values of a column."""
        return self.values.at(self.table, self.table.at[name])

    def known(self, column: Calc) -> Array:
        """The rows on which an equation has all it asks for."""
        asked = [name for name in parameters(EQUATIONS[column.by].function)
                 if name not in column.may_be_blank]
        everywhere = np.ones(self.book.rows(self.table), bool)
        return np.all([everywhere, *(~np.isnan(self.at(name)) for name in asked)], axis=0)

    def save(self) -> None:
        """Write the cells as text into the empty sheet of a workbook: quicker than one by one."""
        workbook = Workbook()
        workbook.active.title = self.table.name
        for row, name in enumerate(FACTORS, 1):
            workbook.active.cell(row, 1, self.book.settings[name].value)
            where = f"{self.table.name}!$A${row}"
            workbook.defined_names[name] = DefinedName(name, attr_text=where)
        workbook.active["A3"].number_format = "0.00000000000000E+00"  # style 1 of the formulas
        empty = self.path.with_suffix(".empty")
        workbook.save(empty)
        columns = [self.cells(column) for column in self.table.columns]
        rows = "".join(f'<row r="{number}">{"".join(cells)}</row>' for number, cells
                       in enumerate(zip(*columns, strict=True), self.table.top))
        with zipfile.ZipFile(empty) as old, zipfile.ZipFile(self.path, "w") as new:
            for name in old.namelist():
                text = old.read(name).decode()
                if name == "xl/worksheets/sheet1.xml":
                    before, after = text.split("</sheetData>")
                    text = f"{before}{rows}</sheetData>{after}"
                new.writestr(name, text)

    def cells(self, column: Column) -> list[str]:
        letter = self.formulas.letters[self.table.name, column.name, None]
        places = [f"{letter}{self.table.top + i}" for i in range(self.book.rows(self.table))]
        if isinstance(column, Entry):
            return ["" if np.isnan(value) else f'<c r="{place}"><v>{value!r}</v></c>'
                    for place, value in zip(places, self.at(column.name).tolist(), strict=True)]
        template = escape(self.formulas.template(self.table, column))
        if column.name == "result_stale":
            return [f'<c r="{place}" s="1"><f>{filled(template, row)}</f><v>{STORED}</v></c>'
                    for row, place in enumerate(places, self.table.top)]
        formula = filled(template, self.table.top)
        shared = f'<f t="shared" si="{self.table.columns.index(column)}"'  # the text stands once
        first = f'{shared} ref="{places[0]}:{places[-1]}">{formula}</f>'
        return [f'<c r="{place}" s="1">{shared + "/>" if i else first}</c>'
                for i, place in enumerate(places)]

    def read(self, answer: Path) -> None:
        """Take what LibreOffice worked out, as text, column by column."""
        with answer.open(encoding="utf-8", newline="") as file:
            rows = list(csv.reader(file))[self.table.top - 1:]
        self.got = dict(zip((c.name for c in self.table.columns), zip(*rows, strict=True),
                            strict=True))

    def calculated(self) -> list[Column]:
        return [column for column in self.table.columns if not isinstance(column, Entry)]

    def wrong(self, column: Column) -> tuple[list[str], int]:
        """The rows of a column that differ, and how many have an error in both forms."""
        want = self.at(column.name)
        texts = np.array(self.got[column.name])
        failed = np.isin(texts, ERRORS) & ~np.isfinite(want)
        if isinstance(column, Calc):
            failed &= self.known(column)
        blank = (texts == "") & ~np.isfinite(want)
        numbers = np.array([_number(text) for text in texts])
        scale = np.max(np.abs(want), initial=0, where=np.isfinite(want))
        with np.errstate(invalid="ignore"):
            same = np.abs(numbers - want) <= TOLERANCE * np.maximum(np.abs(want), 1e-3 * scale)
        bad = np.flatnonzero(~(same | blank | failed))
        return [f"{texts[i] or 'blank'}, expected {want[i]!r}" for i in bad], int(failed.sum())


def _number(text: str) -> float:
    try:
        return float(text)
    except ValueError:
        return np.nan


@pytest.fixture(scope="module")
def sheets(tmp_path_factory: pytest.TempPathFactory) -> Iterator[dict[str, Sheet]]:
    """The tables, recalculated in one call; values stored in the file do not count."""
    folder = tmp_path_factory.mktemp("equations")
    with pytest.MonkeyPatch.context() as patch:
        for name, planted in PLANTED.items():
            patch.setitem(EQUATIONS, name, planted)
        found = {"handbook": Sheet(folder / "handbook.xlsx", handbook(), False, ROWS),
                 "us": Sheet(folder / "us.xlsx", converted(), True, TYPED_ROWS),
                 "metric": Sheet(folder / "metric.xlsx", converted(), False, TYPED_ROWS)}
        for sheet in found.values():
            sheet.save()
        paths = [sheet.path for sheet in found.values()]
        answers = referee._converted(paths, folder / "again", CSV, 300)
        for sheet, answer in zip(found.values(), answers, strict=True):
            sheet.read(answer)
        yield found


@pytest.mark.referee
def test_every_equation_gives_the_same_numbers_in_numpy_and_in_the_sheet(sheets):
    wrong = {}
    for column in sheets["handbook"].calculated():
        rows, _ = sheets["handbook"].wrong(column)
        if rows and column.name != "result_differs":
            wrong[column.name] = f"{len(rows)} rows: {rows[0]}"
    assert wrong == {}


@pytest.mark.referee
def test_every_equation_was_compared_on_two_thousand_rows(sheets):
    counts = {column.by: sheets["handbook"].known(column).sum()
              for column in sheets["handbook"].calculated() if isinstance(column, Calc)}
    assert counts.keys() >= EQUATIONS.keys()
    assert {name: count for name, count in counts.items() if count < LEAST} == {}


@pytest.mark.referee
def test_an_equation_whose_two_forms_differ_is_caught(sheets):
    rows, _ = sheets["handbook"].wrong(sheets["handbook"].table.at["result_differs"])
    assert len(rows) > LEAST


@pytest.mark.referee
def test_few_rows_have_no_answer_in_either_form(sheets):
    """Division by a zero end of a range and the like: the sheets' validation keeps them out."""
    many = set()
    for column in sheets["handbook"].calculated():
        _, without = sheets["handbook"].wrong(column)
        if without > MOST_WITHOUT * ROWS:
            many.add(column.name)
    assert many == {"result_fails_often"}


@pytest.mark.referee
@pytest.mark.parametrize("system", ["us", "metric"])
def test_what_is_typed_in_either_unit_system_is_converted_and_shown_again_as_typed(sheets, system):
    sheet = sheets[system]
    for entry in sheet.table.entries:
        name = entry.quantity
        per = math.prod(FACTORS[factor]**power for factor, power in conversions(name))
        per = per if system == "us" else 1.0
        for column, want in ((name, sheet.at(entry.name) * per),
                             (f"shown_{name}", sheet.at(entry.name))):
            np.testing.assert_allclose(sheet.at(column), want, rtol=1e-14, err_msg=column)
            assert sheet.wrong(sheet.table.at[column]) == ([], 0), column
