"""No circle among cells, as a spreadsheet counts them: a range rests on all its cells.

Excel calls a formula circular if a range in it holds a cell that rests on the formula, even where
criteria leave that cell out; LibreOffice works such a sheet out all the same, so that the referee
cannot find it. These checks read the formulas.
"""

from __future__ import annotations

import graphlib
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
from openpyxl import load_workbook
from openpyxl.utils import range_boundaries
from openpyxl.utils.cell import get_column_letter

from haymow.ranch import Ranch
from haymow.tables import Entry, Key, Last, Prev, Running
from haymow.tables.make import make
from haymow.workbook.build import build
from haymow.workbook.formulas import Formulas, filled
from small_ranch import small_ranch

ROW = 1000  # a row with room above and below for every step
CELL = r"\$?([A-Z]{1,3})\$?(\d+)"
OWN_NUMBER = re.compile(r"IF\(\$?([A-Z]+\d+)=(\w+),")
STEPPING = "Amounts"  # the one table whose rows rest on other rows of it
Node = tuple[str, str]  # table (or sheet) and column (or cell)


class Columns:
    """Which columns of the tables rest on which: through cells, and through ranges."""

    def __init__(self, ranch: Ranch) -> None:
        book = make(ranch)
        formulas = Formulas(book)
        columns = {(t, letter): (t, name) for (t, name, _), letter in formulas.letters.items()}
        names = {f"{table.name}_{column.name}": (table.name, column.name)
                 for table in book.tables.values() for column in table.columns}
        self.cells: dict[Node, set[Node]] = {}
        self.ranges: dict[Node, set[Node]] = {}
        for table in book.tables.values():
            for column, member in formulas.cells[table.name]:
                if isinstance(column, Entry | Key):
                    continue
                text = filled(formulas.template(table, column, member), ROW)
                node = table.name, column.name
                spans = {columns[table.name, letter] for letter in letters_of_spans(text)}
                named = {names[word] for word in re.findall(r"\w+", text) if word in names}
                self.ranges.setdefault(node, set()).update(spans | named)
                self.cells.setdefault(node, set()).update(
                    columns[table.name, letter] for letter, _ in re.findall(CELL, text)
                    if (table.name, letter) in columns)

    def behind(self, node: Node) -> set[Node]:
        """Every column that a column rests on, directly or not."""
        seen: set[Node] = set()
        ahead = [node]
        while ahead:
            one = ahead.pop()
            new = (self.cells.get(one, set()) | self.ranges.get(one, set())) - seen
            seen |= new
            ahead += new
        return seen


def letters_of_spans(text: str) -> Iterator[str]:
    """The columns of spans over more than one row: those over one row are as good as cells."""
    for first, top, last, bottom in re.findall(f"{CELL}:{CELL}", text):
        if top != bottom:
            left, _, right, _ = range_boundaries(f"{first}1:{last}1")
            yield from (get_column_letter(place) for place in range(left, right + 1))


@cache
def columns() -> Columns:
    return Columns(small_ranch())


@cache
def in_circles() -> dict[Node, set[Node]]:
    """The columns that rest on themselves, with all that each rests on."""
    return {node: behind for node in columns().cells
            if node in (behind := columns().behind(node))}


def test_only_columns_of_amounts_rest_on_each_other():
    """R1: a column that rests on its own rows gave wrong numbers in LibreOffice elsewhere.

    A block's members may rest on other members of it: the table of cells below has no circle.
    """
    tables = {table for table, _ in in_circles()}
    assert STEPPING in tables, "nothing found: the check is blind"
    blocks = {(t.name, c.name) for t in make(small_ranch()).tables.values() for c in t.columns
              if c.over}
    alone = {node for node, behind in in_circles().items()
             if not (behind & in_circles().keys()) & blocks}
    assert {table for table, _ in alone} <= {STEPPING}


def test_no_range_lies_between_two_columns_that_rest_on_each_other():
    found = [(node, other) for node, behind in in_circles().items() if node[0] == STEPPING
             for other in columns().ranges[node]
             if other in in_circles() and node in columns().behind(other)]
    assert found == []


def test_no_column_outside_amounts_refers_to_itself_or_to_another_row():
    found = set()
    for table in make(small_ranch()).tables.values():
        for column in table.columns:
            if isinstance(column, Prev | Running | Last):
                found.add(table.name)
    assert found == {STEPPING}


# --- cell by cell
def taken(text: str, constants: dict[str, object]) -> str:
    """The formula with each IF on a row's own number replaced by the branch that is taken.

    A first line has no line before it: `IF($D9=1,0,$AJ8)` never looks at the row above.
    """
    start = 0
    while found := OWN_NUMBER.search(text, start):
        here = constants.get(found[1])
        start = found.end()
        if here is None:
            continue
        parts, depth, place = [""], 1, found.end()
        while depth:
            sign = text[place]
            depth += (sign == "(") - (sign == ")")
            parts = [*parts, ""] if sign == "," and depth == 1 else [*parts[:-1], parts[-1] + sign]
            place += 1
        parts[-1] = parts[-1].removesuffix(")")
        branch = parts[int(float(here) != float(constants.get(found[2], found[2])))]
        text = f"{text[:found.start()]}({branch}){text[place:]}"
        start = found.start()
    return text


def cell_graph(path: Path) -> dict[Node, set[Node]]:
    """Each formula cell of a small workbook, and all the cells its ranges and names cover."""
    build(small_ranch(month=3), path)
    workbook = load_workbook(path)
    areas = {name: where.attr_text.replace("$", "").replace("'", "").split("!")
             for name, where in workbook.defined_names.items()}
    named = {name: workbook[sheet][area].value for name, (sheet, area) in areas.items()
             if ":" not in area}
    graph = {}
    for sheet in workbook:
        cells = [cell for row in sheet.iter_rows() for cell in row]
        constants = named | {cell.coordinate: cell.value for cell in cells
                             if cell.data_type == "n" and cell.value is not None}
        for cell in (cell for cell in cells if cell.data_type == "f"):
            text = taken(re.sub(r'"[^"]*"', "", cell.value), constants)
            graph[sheet.title, cell.coordinate] = {
                (where, place) for where, area in areas_in(text, sheet.title, areas)
                for place in cells_of(area)}
    return graph


def areas_in(text: str, sheet: str, names: dict[str, list[str]]) -> Iterator[tuple[str, str]]:
    for word in re.findall(r"[A-Za-z_]\w+", text):
        if word in names:
            yield names[word][0], names[word][1]
    for area in re.findall(rf"(?<!\w){CELL}(?::{CELL})?(?!\w)", text):
        first, top, last, bottom = area
        yield sheet, f"{first}{top}:{last or first}{bottom or top}"


@cache
def cells_of(area: str) -> list[str]:
    left, top, right, bottom = range_boundaries(area)
    return [f"{get_column_letter(place)}{row}" for row in range(top, bottom + 1)
            for place in range(left, right + 1)]


@pytest.fixture(scope="module")
def graph(tmp_path_factory: pytest.TempPathFactory) -> dict[Node, set[Node]]:
    return cell_graph(tmp_path_factory.mktemp("circles") / "plan.xlsx")


def test_no_formula_rests_on_itself_even_through_a_range(graph):
    graphlib.TopologicalSorter(graph).prepare()  # raises CycleError with the circle


def test_only_a_branch_that_is_never_taken_is_left_out():
    assert taken("IF($D9=1,MAX($A9,2),$J8)+1", {"D9": 1}) == "(MAX($A9,2))+1"
    assert taken("IF($D9=1,0,MAX($J8,1))", {"D9": 2}) == "(MAX($J8,1))"
    assert taken("IF(B9=months,$A9,IF(B9=1,2,$K12))", {"B9": 3, "months": 4}) == "(($K12))"
    assert taken("IF($C9=1,IF($D9=1,$A9,2),$K12)", {"D9": 1}) == "IF($C9=1,($A9),$K12)"


def test_a_range_over_its_own_column_would_be_found(graph):
    sheet, cell = next(node for node in graph if node[0] == STEPPING and node[1].endswith("8"))
    over_all = {(sheet, f"{cell.removesuffix('8')}{row}") for row in range(7, 12)}
    with pytest.raises(graphlib.CycleError):
        graphlib.TopologicalSorter({**graph, (sheet, cell): over_all}).prepare()
