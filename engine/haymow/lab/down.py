"""Tables with one analyte a row: single reports, samples side by side, long lists."""

from __future__ import annotations

from collections import abc
from dataclasses import dataclass, field, replace
from itertools import pairwise

from .grids import NO_CELL, Cell, Grid
from .headers import Heading
from .records import Questions
from .tables import FIELD_KEYS, IDS, Entry, RawSample, Reader
from .values import is_number, is_result

__all__ = ["label_columns", "read_down"]

_HEADER_ROWS = 4
_NAMES = ("analyte", "ask", "suggested")
_HEADS = ("unit", "value", "analyte", *IDS[:2])


@dataclass
class _Column:
    """What a column beside the labels is: ``value`` (of a sample, on a basis) or a field."""

    role: str
    heading: Heading = field(default_factory=lambda: Heading(""))
    sample: Cell = NO_CELL
    where: str = ""


def label_columns(grid: Grid, row: int, read: Reader) -> list[int]:
    """Columns of this row that hold an analyte's name with a result somewhere to the right."""
    if row >= len(grid.rows):
        return []
    cells = grid.rows[row]
    first = next((n for n, cell in enumerate(cells) if not cell.blank), -1)
    named = [n for n, cell in enumerate(cells) if _names(cell, read)
             and (n == first or not cell.text.lstrip().startswith("%"))]  # "% CP" is a unit there
    if not named:
        return []
    parts = [*named, len(cells)]
    return [n for n, end in pairwise(parts)
            if any(is_result(cell) for cell in cells[n + 1:end])] or (
        named[:1] if _has_result(cells, named[0]) else [])


def read_down(grid: Grid, row: int, columns: list[int], read: Reader, questions: Questions
              ) -> tuple[list[RawSample], int]:
    """The samples of the block that starts in ``row``, and the row after it."""
    end = _end(grid, row, columns, read)
    samples: dict[tuple[str, str], RawSample] = {}
    top = _top(grid, row, columns[0], read)
    for number, label in enumerate(columns):
        last = columns[number + 1] if number + 1 < len(columns) else grid.width
        span = [n for n in range(last) if n != label and (n > label or number == 0)]
        roles = _roles(grid, (top, row, end), label, span, read)
        _settle_values(grid, (row, end), roles, questions)
        for at in range(top, end):
            _row(grid, at, label, roles, samples, read, questions)
    return list(samples.values()), end


def _names(cell: Cell, read: Reader) -> bool:
    if cell.blank or cell.value is not None or len(cell.text) > 80 or is_result(cell):
        return False  # "NA" alone is no sign of a list of analytes
    return read(cell.text).kind in ("analyte", "ask")


def _has_result(cells: abc.Sequence[Cell], label: int) -> bool:
    return any(is_number(cell) for n, cell in enumerate(cells) if n != label)


def _end(grid: Grid, row: int, columns: list[int], read: Reader) -> int:
    """The row after the block: a gap of two, or a line that has no label, ends it."""
    last, at = row, row + 1
    while at < len(grid.rows) and at - last < 3:
        label = next((grid.at(at, c) for c in columns if not grid.at(at, c).blank), NO_CELL)
        found = read(label.text) if not label.blank else Heading("")
        if label.text.rstrip().endswith(":") or (":" in label.text and found.kind == "unknown"):
            break
        if found.kind == "field" and found.key in ("analyte", *IDS[:2]):
            break
        if not label.blank and any(is_result(c) for c in grid.rows[at] if c is not label):
            last = at
        at += 1
    return last + 1


def _top(grid: Grid, row: int, label: int, read: Reader) -> int:
    """First header row: rows directly above that head the columns or describe samples across."""
    top = row
    while top > 0 and row - top < _HEADER_ROWS + 4:
        cells = grid.rows[top - 1]
        beside = [c for n, c in enumerate(cells) if n != label and not c.blank]
        corner = read(grid.at(top - 1, label).text)
        heads = any(read(c.text).alone or read(c.text).key in _HEADS for c in beside)
        if not beside or not (heads or corner.key in ("analyte", *FIELD_KEYS)):
            break
        if ":" in grid.at(top - 1, label).text and len(beside) < 2:
            break
        top -= 1
    return top


def _roles(grid: Grid, rows: tuple[int, int, int], label: int, span: list[int], read: Reader
           ) -> dict[int, _Column]:
    top, row, _ = rows
    across = [r for r in range(top, row) if _is_sample_row(grid, r, label, read)]
    roles: dict[int, _Column] = {}
    before: _Column | None = None
    for number in span:
        texts = [grid.at(r, number) for r in range(top, row) if not grid.at(r, number).blank
                 and not _is_field_row(grid, r, label, read)]
        column = _role(texts, read)
        ids = [grid.at(r, number) for r in across if not grid.at(r, number).blank]
        if ids and column.role in ("value", "unknown", ""):
            column = replace(column, role="value", sample=ids[0])
        elif across and before and column.heading.basis and before.heading.basis not in (
                "", column.heading.basis):
            column = replace(column, sample=before.sample)  # the id stands over its two bases
        roles[number] = column
        before = column
    return roles


def _is_sample_row(grid: Grid, row: int, label: int, read: Reader) -> bool:
    """Whether sample ids stand across: headed so, or several unknown words beside "Analyte"."""
    corner = read(grid.at(row, label).text)
    others = [c for n, c in enumerate(grid.rows[row]) if n != label and not c.blank]
    names = [c for c in others if read(c.text).kind in ("unknown", "", "suggested") or is_number(c)]
    if corner.key in IDS[:2]:
        return bool(names)
    return corner.key in ("analyte", "") and len(names) > 1


def _is_field_row(grid: Grid, row: int, label: int, read: Reader) -> bool:
    corner = read(grid.at(row, label).text)
    return corner.key in FIELD_KEYS or _is_sample_row(grid, row, label, read)


def _role(texts: list[Cell], read: Reader) -> _Column:
    column = _Column("")
    for cell in texts:
        found = read(cell.text)
        if found.alone or found.kind == "method":
            column = replace(column, role="value", heading=column.heading.filled(found))
        elif found.kind == "field":
            column = replace(column, role=found.key)
            if found.key == "value":
                column.heading = column.heading.filled(found)
        else:
            column = replace(column, role=column.role or "unknown")
        column.where = column.where or cell.where
    return column


def _settle_values(grid: Grid, rows: tuple[int, int], roles: dict[int, _Column],
                   questions: Questions) -> None:
    """Without headings one column of numbers is the result; of several none is taken."""
    bare = [n for n, column in roles.items() if column.role in ("", "unknown")
            and any(is_number(grid.at(r, n)) for r in range(*rows))]
    known = any(column.role == "value" for column in roles.values())
    if len(bare) == 1 and not known and roles[bare[0]].role == "":
        roles[bare[0]].role = "value"
        for number, column in roles.items():
            texts = [grid.at(r, number) for r in range(*rows) if not grid.at(r, number).blank]
            if column.role == "" and texts and not any(is_number(c) for c in texts):
                column.role = "unit"
        return
    for number in bare:
        cell = next(grid.at(r, number) for r in range(*rows) if is_number(grid.at(r, number)))
        ask = questions.look if known else questions.stop
        ask(roles[number].where or cell.where, "This column has no heading that says what its "
            "numbers are; it was not read.", "Write 'As received', 'Dry matter' or 'Result' above.")


def _row(grid: Grid, at: int, label: int, roles: dict[int, _Column],
         samples: dict[tuple[str, str], RawSample], read: Reader, questions: Questions) -> None:
    name = grid.at(at, label)
    heading = read(name.text)
    beside = {column.role: grid.at(at, n) for n, column in roles.items()
              if not grid.at(at, n).blank and column.role not in ("value", "", "unknown")}
    values = [(n, column) for n, column in roles.items() if column.role == "value"
              and not grid.at(at, n).blank]
    if heading.kind == "field" and heading.key in FIELD_KEYS:
        for number, column in values:
            if not column.sample.blank:
                sample = _sample(grid, column, {}, samples, at, label)
                sample.fields[heading.key] = grid.at(at, number)
        return
    if heading.kind == "unknown" and any(is_number(grid.at(at, n)) for n, _ in values):
        questions.look(name.where, f"The name '{name.text}' is not known; its results were not "
                       f"read.",
                       "Say what it is if it matters.")
        questions.ask("header", name.text, f"'{name.text}' is not known.")
    if heading.kind not in _NAMES:
        return
    for number, column in values:
        sample = _sample(grid, column, beside, samples, at, label)
        cell = grid.at(at, number)
        sample.entries.append(_entry(heading, column, beside, cell, name.where, read))


def _sample(grid: Grid, column: _Column, beside: dict[str, Cell],
            samples: dict[tuple[str, str], RawSample], at: int, label: int) -> RawSample:
    mark = next((beside[key] for key in IDS if key in beside), column.sample)
    key = (mark.text.strip(), "")
    if key not in samples:
        where = mark.where or grid.at(at, label).where
        samples[key] = RawSample(where, f"{grid.name} row {at + 1} {where}")
        if not mark.blank:
            samples[key].fields["sample_id"] = mark
    for name in FIELD_KEYS[2:-2]:
        if name in beside:
            samples[key].fields.setdefault(name, beside[name])
    return samples[key]


def _entry(heading: Heading, column: _Column, beside: dict[str, Cell], cell: Cell, where: str,
           read: Reader) -> Entry:
    for role in ("unit", "basis"):
        if role not in beside:
            continue
        said = read(beside[role].text)
        if said.alone:
            own = heading.own_basis or bool(said.alone[0])
            heading = replace(heading.filled(said), own_basis=own)
        elif role == "unit" and not heading.unit:
            heading = replace(heading, unit=beside[role].text.strip())
        elif role == "basis" and not heading.basis:
            heading = replace(heading, basis="?" + beside[role].text.strip())
    if "method" in beside:
        heading = replace(heading, method=heading.method or beside["method"].text.strip())
    sign = beside["qualifier"].text.strip() if "qualifier" in beside else ""
    return Entry(heading.filled(column.heading), cell, where, limit=beside.get("limit"), sign=sign)
