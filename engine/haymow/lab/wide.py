"""Tables with one sample a row and the analytes across."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from .grids import Cell, Grid
from .headers import Heading
from .records import Questions
from .tables import FIELD_KEYS, IDS, Entry, RawSample, Reader, special_row
from .values import is_number, is_result
from .words import plain

__all__ = ["is_wide_header", "read_wide"]

_MONTH_BESIDE = {"yr", "year", "day", "dy"}


@dataclass
class _Column:
    """One column: its heading, where that stands, and the reporting limit printed for it."""

    heading: Heading
    where: str
    limit: Cell | None = None


@dataclass
class _Head:
    """The header of a table: its columns, and the first and last row it takes."""

    columns: dict[int, _Column] = field(default_factory=dict)
    first: int = 0
    last: int = 0


def is_wide_header(grid: Grid, row: int, read: Reader) -> bool:
    """Whether analytes stand across in this row, with room for samples below."""
    if row >= len(grid.rows):
        return False
    cells = [cell for cell in grid.rows[row] if not cell.blank]
    found = [read(cell.text) for cell in cells if len(cell.text) < 120]
    names = {h.key for h in found if h.kind in ("analyte", "ask")}
    below = grid.rows[row + 1] if row + 1 < len(grid.rows) else ()
    if sum(is_number(cell) for cell in below) > 1:
        names |= {h.key for h in found if h.kind == "suggested"}
    fields = {h.key for h in found if h.kind == "field"}
    named = len(names) > 1 or (len(names) == 1 and fields & set(IDS))
    listed = "analyte" in fields and len(names) < 3  # "Component, As received, Dry matter"
    return bool(named) and not listed and not any(is_number(cell) for cell in cells)


def read_wide(grid: Grid, row: int, read: Reader, questions: Questions
              ) -> tuple[list[RawSample], int]:
    """The samples of the table whose header stands in ``row``, and the row after it."""
    head = _head(grid, row, read)
    _unknown_columns(grid, head, questions)
    samples: list[RawSample] = []
    empty, at = 0, head.last + 1
    while at < len(grid.rows) and empty < 2 and not is_wide_header(grid, at, read):
        cells = grid.rows[at]
        results = [grid.at(at, n) for n, c in head.columns.items()
                   if c.heading.kind not in ("field", "") and not grid.at(at, n).blank]
        if empty and not all(is_result(cell) for cell in results):
            if not any(is_number(cell) for cell in results):
                break  # words behind a gap are a footer
            questions.stop(results[0].where, "This row stands apart from its table and holds words "
                           "where results were expected; it was not read.", "Move it to the table.")
        elif not results:
            empty += 1
        else:
            empty = 0
            _row(grid, at, head, samples, questions)
        if empty and any(":" in cell.text for cell in cells):
            break  # a line such as "Reported: 12 June 2026" ends the table
        at += 1
    return samples, at


def _row(grid: Grid, at: int, head: _Head, samples: list[RawSample], questions: Questions) -> None:
    cells = grid.rows[at]
    special = special_row(cells, questions)
    if special == "limit":
        for number, column in head.columns.items():
            column.limit = grid.at(at, number)
    if special:
        return
    if not grid.fixed and _uneven(grid, at, head, questions):
        return
    samples.append(_sample(grid, at, head))


def _uneven(grid: Grid, at: int, head: _Head, questions: Questions) -> bool:
    """Whether a row of text has more cells than the header, or fewer while others have not."""
    cells, width = grid.rows[at], max(head.columns) + 1
    spare = [cell for cell in cells[width:] if not cell.blank]
    around = [row for row in grid.rows[head.last + 1:] if len(row) > 1]
    short = len(cells) < width and any(len(row) >= width for row in around)
    if spare or short:
        questions.stop(spare[0].where if spare else cells[0].where, f"Row {at + 1} has "
                       f"{'more' if spare else 'fewer'} cells than the header: it may have "
                       f"slipped, "
                       "and none of it was read.", "Correct the row and read it again.")
    return bool(spare) or short


def _sample(grid: Grid, at: int, head: _Head) -> RawSample:
    first = next(cell for cell in grid.rows[at] if not cell.blank)
    sample = RawSample(first.where, f"{grid.name} row {head.first + 1}", in_rows=True)
    for number, column in sorted(head.columns.items()):
        cell = grid.at(at, number)
        if column.heading.kind == "field":
            if column.heading.key in FIELD_KEYS and not cell.blank:
                sample.fields.setdefault(column.heading.key, cell)
        elif not cell.blank and (column.heading.kind in ("analyte", "ask") or (
                column.heading.kind == "suggested" and is_number(cell))):
            sample.entries.append(Entry(column.heading, cell, column.where, number, column.limit))
    return sample


def _head(grid: Grid, row: int, read: Reader) -> _Head:
    last = row
    while _is_beside(grid, last + 1, row, read):
        last += 1
    first = row
    while first > 0 and _is_beside(grid, first - 1, row, read):
        first -= 1
    main = {n: cell for n, cell in enumerate(grid.rows[row]) if not cell.blank}
    below = {n: [c.text for r in range(row + 1, last + 1) if (c := _own(grid, r, n, row))]
             for n in range(grid.width)}
    _spread_names(main, below, read)
    bands = [_band(grid, r, row, main, read) for r in range(first, row)]
    head = _Head({}, first, last)
    for number, cell in sorted(main.items()):
        heading = read(cell.text)
        for text in [*below.get(number, []), *(band[number] for band in bands if number in band)]:
            if heading.kind in ("analyte", "ask", "suggested"):
                heading = heading.filled(read(text))
        head.columns[number] = _Column(heading, cell.where)
    _months(head)
    return head


def _own(grid: Grid, row: int, column: int, main: int) -> Cell | None:
    """The cell, unless it is empty or the header cell itself merged over several rows."""
    cell = grid.at(row, column)
    return None if cell.blank or (cell.spread and cell.text == grid.at(main, column).text) else cell


def _is_beside(grid: Grid, row: int, main: int, read: Reader) -> bool:
    """Whether a row beside the header holds only units, bases and methods."""
    if not 0 <= row < len(grid.rows):
        return False
    cells = [cell for n in range(len(grid.rows[row])) if (cell := _own(grid, row, n, main))]
    found = [read(cell.text) for cell in cells]
    told = [h for h in found if h.alone or h.kind == "method"]
    labels = [h for h in found if h.kind == "field" and h.key in ("unit", "basis", "method")]
    return bool(told) and len(told) + len(labels) == len(cells)


def _spread_names(main: dict[int, Cell], below: dict[int, list[str]], read: Reader) -> None:
    """A name holds for the next column too if only its basis differs there ("AF | DM" below)."""
    used: dict[int, set[str]] = {}
    owner = -1
    for number in sorted(set(main) | {n for n, texts in below.items() if texts}):
        bases = {alone[0] for text in below.get(number, []) if (alone := read(text).alone)} - {""}
        if number in main:
            owner = number
            used[owner] = bases
        elif owner >= 0 and bases and used[owner] and not bases & used[owner]:
            main[number] = replace(main[owner], where=main[owner].where)
            used[owner] |= bases


def _band(grid: Grid, band: int, row: int, main: dict[int, Cell], read: Reader) -> dict[int, str]:
    """What stands above each column. Without merged cells a word reaches right only if at least
    two different ones stand there and the same names come back under each."""
    cells = {n: cell for n, cell in enumerate(grid.rows[band]) if not cell.blank}
    found = {n: cell.text for n, cell in cells.items()}
    starts = [n for n, cell in cells.items() if not cell.spread]
    reach: dict[int, list[int]] = {
        start: [n for n in main if start <= n < min([s for s in starts if s > start],
                                                    default=grid.width)] for start in starts}
    keys = [{read(main[n].text).key for n in columns} - {""} for columns in reach.values()]
    if len({plain(cells[s].text) for s in starts}) > 1 and keys and set.intersection(*keys):
        for start, columns in reach.items():
            found.update({n: cells[start].text for n in columns if n not in found})
    return found


def _months(head: _Head) -> None:
    """``Mo`` beside a year or a day is the month, not molybdenum."""
    if any(plain(c.heading.text) in _MONTH_BESIDE for c in head.columns.values()):
        for column in head.columns.values():
            if column.heading.key == "mo" and not column.heading.unit:
                column.heading = Heading(column.heading.text, "field", "skip")


def _unknown_columns(grid: Grid, head: _Head, questions: Questions) -> None:
    """Ask once about columns that hold numbers under no known heading; they are not read."""
    width = max((len(row) for row in grid.rows[head.last + 1:]), default=0)
    asked: dict[str, str] = {}
    for number in range(min(width, max(head.columns) + 1 if not grid.fixed else width)):
        column = head.columns.get(number)
        date = column is not None and column.heading.key == "date"  # which one is not said
        first = next((c for r in range(head.last + 1, len(grid.rows))
                      if is_number(c := grid.at(r, number)) or (date and not c.blank)), None)
        if first and not column:
            asked.setdefault(first.where, "a column without heading")
        elif first and column and (date or column.heading.kind in ("unknown", "basis")):
            asked.setdefault(column.where, f"'{column.heading.text}'")
            if column.heading.kind == "unknown":
                questions.ask("header", column.heading.text,
                              f"'{column.heading.text}' is not known.")
    if asked:
        questions.look(next(iter(asked)), f"Not known, and not read: {', '.join(asked.values())}.",
                       "Say what they are if they matter.")
