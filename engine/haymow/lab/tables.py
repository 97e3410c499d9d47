"""From a grid to raw samples: the tables in it, and the lines above and below them."""

from __future__ import annotations

import re
from collections import abc
from dataclasses import dataclass, field, replace

from ..problems import InputError
from .grids import Cell, Grid
from .headers import Heading, read_heading
from .records import Questions
from .values import is_number, is_result
from .words import FIELDS, analytes, clean, plain

__all__ = ["FIELD_KEYS", "IDS", "REPORT_WIDE", "Entry", "RawSample", "Reader", "header_reader",
           "line_fields", "special_row", "split_pairs"]

Reader = abc.Callable[[str], Heading]
REPORT_WIDE = ("lab", "received_on", "reported_on")  # said once, these hold for every sample
IDS = ("sample_id", "lab_no", "description")  # what names a sample, the best one first
FIELD_KEYS = (*IDS, "feed_type", "sampled_on", *REPORT_WIDE, "basis", "method")


@dataclass(frozen=True)
class Entry:
    """One cell of results under its heading; ``limit`` is the reporting limit printed beside it."""

    heading: Heading
    cell: Cell
    head_where: str
    place: int = 0  # column in its row, to see a row that slipped
    limit: Cell | None = None
    sign: str = ""


@dataclass
class RawSample:
    """The cells of one sample before anything is read from them."""

    where: str
    table: str
    fields: dict[str, Cell] = field(default_factory=dict)
    entries: list[Entry] = field(default_factory=list)
    in_rows: bool = False  # one sample a row: its results can slip sideways


def header_reader(confirmed: abc.Mapping[str, str]) -> Reader:
    """A reader of headers that knows what the user confirmed: header text -> what it is.

    The answer is an analyte's name or key, with unit and basis if need be ("NO3-N ppm DM"), or
    "skip". Raises InputError for an answer that is not known either.
    """
    answers: dict[str, Heading] = {}
    for header, answer in confirmed.items():
        found = _answered(answer.strip())
        if found.kind not in ("analyte", "field"):
            raise InputError(f"'{answer}', given for the header '{header}', is not a known "
                             f"analyte; "
                             "expected a name such as CP or NO3-N, with unit and basis if need be.")
        answers[clean(header)] = replace(found, text=header, sure="confirmed")

    def read(text: str) -> Heading:
        answer = answers.get(clean(text))
        if not answer:
            return read_heading(text)
        own = read_heading(text)
        return replace(answer, unit=answer.unit or own.unit, basis=answer.basis or own.basis,
                       method=answer.method or own.method)

    return read


def _answered(answer: str) -> Heading:
    if answer == "skip":
        return Heading(answer, "field", "skip")
    if answer in analytes() and not analytes()[answer].ask:
        return Heading(answer, "analyte", answer)
    return read_heading(answer)


def split_pairs(grid: Grid) -> Grid:
    """The grid with lines such as "Crude protein: 6.4" parted into label and result."""
    return replace(grid, rows=tuple(_split(row) for row in grid.rows))


def _split(row: tuple[Cell, ...]) -> tuple[Cell, ...]:
    filled = [cell for cell in row if not cell.blank]
    pairs = [cell.text.rsplit(":", 1) for cell in filled if ":" in cell.text and cell.value is None]
    if not filled or len(pairs) < len(filled):
        return row
    cells = []
    for cell, (label, value) in zip(filled, pairs, strict=True):
        result = replace(cell, text=value.strip())
        if not is_result(result) or read_heading(label).kind == "field":
            return row
        cells += [replace(cell, text=label.strip()), result]
    return tuple(cells)


def line_fields(row: abc.Sequence[Cell]) -> dict[str, Cell]:
    """What a line above or below a table says: "Sample ID: A-101", or a name and a cell beside."""
    found: dict[str, Cell] = {}
    filled = [cell for cell in row if not cell.blank]
    for number, cell in enumerate(filled):
        for part in re.split(r"\s{2,}|;|\t", cell.text):
            key, colon, said = part.partition(":")
            field_key = FIELDS.get(plain(key), "")
            after = filled[number + 1] if number + 1 < len(filled) else None
            if field_key not in FIELD_KEYS or cell.spread:
                continue
            if colon and said.strip():
                found.setdefault(field_key, Cell(said.strip(), None, cell.where))
            elif after and plain(after.text.partition(":")[0]) not in FIELDS:
                found.setdefault(field_key, after)
    return found


def special_row(row: abc.Sequence[Cell], questions: Questions) -> str:
    """``limit`` or ``reference`` for a row of limits or averages, which is no sample."""
    first = next((cell for cell in row if not cell.blank), None)
    kind = FIELDS.get(plain(first.text), "") if first else ""
    if first and kind == "reference" and not is_number(first):
        questions.look(first.where, f"The row '{first.text}' is not taken as a sample.",
                       "Give it another name if it is one.")
    return kind if kind in ("limit", "reference", "method", "unit", "basis") else ""
