"""Samples put together: ids, dates, rows that slipped, duplicates, parts from several tables."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import replace
from itertools import pairwise

from .dates import read_date
from .grids import Cell
from .records import LabSample, Questions, Result
from .results import fits_usually
from .tables import IDS, RawSample
from .words import analytes, clean

__all__ = ["assemble"]

_DATE_LIKE = re.compile(
    r"\d{1,2}[-/ ](?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*(?:[-/ ]\d{2,4})?"
    r"|(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*[-/ ]\d{1,4}"
    r"|\d{1,2}/\d{1,2}/\d{2,4}|\d{4}-\d{2}-\d{2}(?: 00:00:00)?|\d{1,2}-\d{1,2}-\d{4}")
_POWER = re.compile(r"\d+(?:\.\d+)?e\+?\d+")
_LEAST_SLIPPED = 2


def assemble(raws: list[RawSample], results: list[list[Result]], orders: dict[str, str],
             questions: Questions) -> list[LabSample]:
    """Samples in the order of the report; what is ambiguous between them is asked and left out."""
    made: list[tuple[RawSample, LabSample]] = []
    for raw, row in zip(raws, results, strict=True):
        if raw.in_rows and _slipped(raw, row):
            questions.stop(raw.where, "The results of this row fit their headers only when moved "
                           "by "
                           "one cell; the row may have slipped. They were left out.",
                           "Correct the row in the file and read it again.")
            row = [replace(result, value=None, qualifier="?") for result in row]
        if raw.entries:
            made.append((raw, _sample(raw, tuple(row), orders, questions)))
    return _merged(made, questions)


def _sample(raw: RawSample, results: tuple[Result, ...], orders: dict[str, str],
            questions: Questions) -> LabSample:
    def text(key: str) -> str:
        return " ".join(raw.fields[key].text.split()) if key in raw.fields else ""

    dates: dict[str, dt.date | None] = {}
    for key in ("sampled_on", "received_on", "reported_on"):
        dates[key], doubt = read_date(raw.fields.get(key, Cell()), orders)
        if doubt:
            questions.stop(raw.fields[key].where, f"The date {doubt}. It was left out.",
                           "Write it as 2026-06-30, or say whether day or month comes first.")
        if " may be " in doubt:
            questions.ask("dates", "", f"The date {doubt}.")
    known = [(key, day) for key, day in dates.items() if day]
    for (before, first), (after, second) in pairwise(known):
        if first > second:
            questions.look(raw.fields[after].where, f"{after.removesuffix('_on')} {second} is "
                           f"before "
                           f"{before.removesuffix('_on')} {first}.", "Check both dates.")
    named = next((key for key in IDS if key in raw.fields), "")
    sample_id = _id(raw.fields[named], questions) if named else ""
    if not named:
        questions.stop(raw.where, "These results carry no sample id.", "Give the sample an id.")
    return LabSample(sample_id, text("description"), text("feed_type"), text("lab"), **dates,
                     results=results)


def _id(cell: Cell, questions: Questions) -> str:
    """The id as text, or nothing where a spreadsheet changed it."""
    text = " ".join(cell.text.split())
    if cell.typed_date is not None or _DATE_LIKE.fullmatch(clean(text)):
        day = cell.typed_date
        shown = f"'{day.month}-{day.day}' or '{day.month}-{day.day}-{day.year % 100}'" if day else (
            "something like '8-27'")
        questions.stop(cell.where, f"The sample id is the date '{text}'; a spreadsheet may have "
                       f"made "
                       f"it from {shown}.", "Type the id again as text.")
        return ""
    typed = isinstance(cell.value, float)
    if _POWER.fullmatch(clean(text)) or (isinstance(cell.value, float) and abs(cell.value) >= 1e10):
        questions.stop(cell.where, f"The sample id '{text}' has lost digits to number format.",
                       "Type the id again as text.")
        return ""
    if typed:
        questions.look(cell.where, f"The sample id {text} is stored as a number; zeros in front "
                       f"may "
                       "be lost.", "Compare it with the label.")
    return text


def _slipped(raw: RawSample, row: list[Result]) -> bool:
    """Whether results fit their usual ranges only when moved one column left or right."""
    entries = {e.cell.where: e for e in raw.entries}
    if any(r.where not in entries for r in row):
        return False
    places = {entries[r.where].place: r for r in row}
    numbers = {place: _number(r) for place, r in places.items()}
    bad = sum(not _fits(places[p], numbers[p]) for p in places)
    cannot = any(r.qualifier == "?" and numbers[p] is not None for p, r in places.items())
    if bad < (1 if cannot else 2) or len(places) < _LEAST_SLIPPED + 1:
        return False
    order = sorted(places)
    for start in order[:1 - _LEAST_SLIPPED]:
        for step in (-1, 1):
            moved = {p + step if p >= start else p: numbers[p] for p in order}
            same = [p for p in moved if p in places]
            if len(moved) == len(order) and len(same) >= len(order) - 1 and all(
                    _fits(places[p], moved[p]) for p in same):
                return True
    return False


def _number(result: Result) -> float | None:
    if re.fullmatch(r"[1-9]\d{0,2}[.,]\d{3}", result.raw):
        return None  # thousands or decimals
    try:
        return float(re.sub(r"[^\d.eE+-]", "", result.raw.replace(",", ".")))
    except ValueError:
        return None


def _fits(result: Result, number: float | None) -> bool:
    return number is not None and fits_usually(analytes()[result.analyte], number, result.unit)


def _merged(made: list[tuple[RawSample, LabSample]], questions: Questions) -> list[LabSample]:
    """One sample for each id. Twice in one table it is kept out, unless the rows are the same."""
    groups: dict[str, list[tuple[RawSample, LabSample]]] = {}
    for number, (raw, sample) in enumerate(made):
        groups.setdefault(sample.sample_id.casefold() or f"\0{number}", []).append((raw, sample))
    kept = []
    for group in groups.values():
        tables: dict[tuple[str, str], list[tuple[RawSample, LabSample]]] = {}
        for raw, sample in group:
            basis = raw.fields["basis"].text if "basis" in raw.fields else ""
            tables.setdefault((raw.table, basis), []).append((raw, sample))
        parts = [one for twins in tables.values() if (one := _only(twins, questions))]
        if len(parts) == len(tables):
            kept.append(_joined(parts, questions))
    return kept


def _only(twins: list[tuple[RawSample, LabSample]], questions: Questions) -> LabSample | None:
    (first_raw, first), *others = twins
    for raw, other in others:
        if _said(other) != _said(first):
            questions.stop(raw.where, f"Sample id '{first.sample_id}' stands twice with other "
                           f"values "
                           f"({first_raw.where} and {raw.where}); both were left out.",
                           "Give one another id, or remove it.")
            return None
        questions.look(raw.where, f"Sample id '{first.sample_id}' stands twice with the same "
                       f"values; "
                       "it was read once.", "Remove one of the two rows.")
    return first


def _said(sample: LabSample) -> tuple[object, ...]:
    return (sample.description, sample.sampled_on,
            *((r.analyte, r.raw, r.unit, r.basis, r.method) for r in sample.results))


def _joined(parts: list[LabSample], questions: Questions) -> LabSample:
    """One sample from its parts in several tables (minerals below, one sheet a package)."""
    first, *others = parts
    for other in others:
        if first.description and other.description and first.description != other.description:
            questions.look(other.results[0].where, f"Sample id '{first.sample_id}' is described as "
                           f"'{first.description}' and as '{other.description}'.", "Check that "
                           "both "
                           "are one sample.")
        first = replace(
            first, results=first.results + other.results,
            description=first.description or other.description,
            feed_type=first.feed_type or other.feed_type, lab=first.lab or other.lab,
            sampled_on=first.sampled_on or other.sampled_on,
            received_on=first.received_on or other.received_on,
            reported_on=first.reported_on or other.reported_on)
    return first
