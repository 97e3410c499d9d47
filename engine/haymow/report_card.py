"""What laboratory reports say: cards in plain words, doubts, and the reports of a lot compared.

The sentences are those of the sheets "What reports say" and "Two reports"; they stand there once.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from .evaluate import Values
from .lab import analytes, suspicions
from .problems import Problem
from .ranch import Ranch
from .samples import day_of
from .tables.cards import LINES, MEMBERS
from .tables.make import make
from .tables.small import ANALYTES

__all__ = ["Card", "LotHistory", "Tested", "cards", "doubts", "lab_history"]

LAB_KEYS = {"vita": "vit_a"}  # where the readers of reports call an analyte otherwise
SHOWN = ("dm", "cp", "adf", "ndf", "tdn", "ca", "p")


@dataclass(frozen=True)
class Card:
    """One sample's card: its number and id, and at most eight lines."""

    row: int
    sample_id: str
    lines: tuple[str, ...]


@dataclass(frozen=True)
class Tested:
    """One sample of a lot: where it was tested, how it was taken, and its values in dry matter."""

    sample_id: str
    sampled_on: dt.date | None
    lab: str
    how: str
    spots: int
    values: Mapping[str, float]


@dataclass(frozen=True)
class LotHistory:
    """All tested samples of a forage, oldest first; each compared with the one before."""

    forage: str
    samples: tuple[Tested, ...]
    compared: tuple[tuple[str, str, str], ...]
    laboratories: str


def cards(ranch: Ranch, ids: set[str] | None = None) -> list[Card]:
    """The cards of all tested samples, or of those with one of these ids."""
    values = Values(make(ranch), ranch)
    wanted = None if ids is None else {name.casefold() for name in ids}
    found = []
    for row, name in enumerate(values.column("Cards", "sample_id")):
        if name is not None and (wanted is None or str(name).casefold() in wanted):
            lines = [values.column("Cards", line)[row] for line in LINES]
            told = tuple(str(line).strip() for line in lines if line)
            if told:
                found.append(Card(row + 1, str(name), told))
    return found


def doubts(ranch: Ranch, places: Mapping[tuple[str, int, str], str] | None = None,
           ids: set[str] | None = None) -> list[Problem]:
    """What looks wrong in the samples' values, and lots that two laboratories have tested.

    ``places`` says where entries stand in a workbook; ``ids`` limits it to some samples. A sample
    with a reason to keep its values is told as a note, with the reason.
    """
    values = Values(make(ranch), ranch)
    places = places or {}
    found: list[Problem] = []
    names = values.column("Samples", "sample_id")
    for row in np.flatnonzero(~np.isnan(values.column("Samples", "to_dm"))):
        if ids is None or names[row] in ids:
            found += _of_sample(values, int(row), places)
    for k, words in enumerate(values.column("Forages", "lab_words")):
        if words is not None:
            name = values.column("Forages", "forage")[k]
            found.append(Problem(f"Forages ({name})", f"Laboratories: {words}.", "note",
                                 "'haymow lab-history' shows them side by side."))
    return found


def _of_sample(values: Values, row: int, places: Mapping[tuple[str, int, str], str]
               ) -> Iterator[Problem]:
    name = values.column("Samples", "sample_id")[row]
    reason = values.column("Samples", "kept_because")[row]
    labels = {analyte.label: key for key, analyte in analytes().items()}
    for each in suspicions(_reported(values, row), str(_kind(values, row) or "")):
        key = labels.get(each.where, "")
        where = places.get(("Samples", row + 1, f"reported.{_column(key)}"),
                           f"Samples no. {row + 1}")
        where += f" ({name})" if name else ""
        if reason:
            yield Problem(where, f"{each.what} It was kept: {reason}.", "note")
        else:
            yield Problem(where, each.what, each.severity,
                          f"{each.do} Or say on Samples why it is right.".strip())


def _reported(values: Values, row: int) -> dict[str, float]:
    """What was typed or imported, in dry matter, by the names that readers of reports use."""
    found = {}
    for analyte in ANALYTES:
        if np.isnan(values.column("Samples", "reported", analyte)[row]):
            continue
        column = "dm_known_pct_as_fed" if analyte == "dm" else "dry_matter"
        member = "" if analyte == "dm" else analyte
        value = values.column("Samples", column, member)[row]
        key = LAB_KEYS.get(analyte, analyte)
        if key in analytes() and analyte != "rdp" and value == value:
            found[key] = float(value)
    return found


def _column(key: str) -> str:
    return next((ours for ours, theirs in LAB_KEYS.items() if theirs == key), key)


def _kind(values: Values, row: int) -> object:
    forage = values.column("Samples", "forage_row")[row]
    return None if np.isnan(forage) else values.column("Forages", "kind")[int(forage) - 1]


def lab_history(ranch: Ranch, forage: str = "") -> list[LotHistory]:
    """The tested samples of each forage (or of one), and how each differs from the one before.

    Pasture changes with the season, so that only samples of one month are compared.
    """
    values = Values(make(ranch), ranch)
    found = []
    for k, name in enumerate(values.column("Forages", "forage")):
        if name is None or (forage and str(name).casefold() != forage.casefold()):
            continue
        rows = _rows_of(values, k)
        if rows:
            pairs = [pair for pair in pairwise(rows) if _comparable(values, k, *pair)]
            found.append(LotHistory(
                str(name), tuple(_tested(values, row) for row in rows),
                tuple(_compared(ranch, values, pairs)),
                str(values.column("Forages", "lab_words")[k] or "")))
    return found


def _rows_of(values: Values, forage: int) -> list[int]:
    """Rows of its tested samples that have an id, oldest first."""
    of = values.column("Samples", "forage_row") == forage + 1
    tested = ~np.isnan(values.column("Samples", "to_dm"))
    named = np.array([name is not None for name in values.column("Samples", "sample_id")])
    days = np.nan_to_num(values.column("Samples", "sampled_on"))
    return sorted((int(row) for row in np.flatnonzero(of & tested & named)),
                  key=lambda row: (days[row], row))


def _comparable(values: Values, forage: int, one: int, other: int) -> bool:
    months = values.column("Samples", "moy")
    stays = values.column("Forages", "changes")[forage] == 0
    return bool(stays or months[one] == months[other])


def _tested(values: Values, row: int) -> Tested:
    known = {}
    for analyte in SHOWN:
        column = "dm_known_pct_as_fed" if analyte == "dm" else "dry_matter"
        value = values.column("Samples", column, "" if analyte == "dm" else analyte)[row]
        if value == value:
            known[analyte] = float(value)
    return Tested(
        str(values.column("Samples", "sample_id")[row]),
        day_of(values.column("Samples", "sampled_on")[row]),
        str(values.column("Samples", "lab")[row] or ""),
        str(values.column("Cards", "how")[row] or ""),
        int(values.column("Samples", "sample_spots")[row]), known)


def _compared(ranch: Ranch, values: Values, pairs: list[tuple[int, int]]
              ) -> Iterator[tuple[str, str, str]]:
    """First id, second id, verdict: by the sheet "Two reports", a few at a time."""
    ids = values.column("Samples", "sample_id")
    room = len(MEMBERS["pair"])
    for start in range(0, len(pairs), room):
        few = pairs[start:start + room]
        typed = {n: {"first": str(ids[a]), "second": str(ids[b])}
                 for n, (a, b) in enumerate(few, 1)}
        asked = replace(ranch, entries={**ranch.entries, "TwoReports": typed})
        words = Values(make(asked), asked).column("TwoReports", "compared_words")
        for (a, b), told in zip(few, words, strict=False):
            if told is not None:
                yield str(ids[a]), str(ids[b]), str(told).strip()
