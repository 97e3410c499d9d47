"""What a read lab report is: results as printed, samples, and how each header was understood."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field

from ..problems import Problem

__all__ = ["Ask", "LabSample", "Mapping", "Questions", "Report", "Result"]


@dataclass(frozen=True)
class Result:
    """One result as the report prints it.

    ``value`` is None where there is no number; with qualifier ``<`` or ``>`` it is the limit.
    ``qualifier`` is empty, ``<``, ``>``, ``ND``, ``NA``, ``TR``, ``+/-``, the lab's own mark, or
    ``?``: left out until a question about it is answered (``raw`` keeps what is printed).
    ``basis`` is ``DM``, ``as fed``, ``90% DM``, or empty: not said, or none applies.
    """

    analyte: str
    value: float | None
    qualifier: str = ""
    unit: str = ""
    basis: str = ""
    method: str = ""
    raw: str = ""
    where: str = ""


@dataclass(frozen=True)
class LabSample:
    """One sample of a report. An empty ``sample_id`` means that it could not be read."""

    sample_id: str
    description: str = ""
    feed_type: str = ""
    lab: str = ""
    sampled_on: dt.date | None = None
    received_on: dt.date | None = None
    reported_on: dt.date | None = None
    results: tuple[Result, ...] = ()


@dataclass(frozen=True)
class Mapping:
    """How a header was understood; ``sure``: exact, synonym, confirmed, suggested or asked."""

    header: str
    analyte: str
    unit: str
    basis: str
    method: str
    sure: str
    where: str


@dataclass(frozen=True)
class Ask:
    """A question that an answer to ``read_report`` settles.

    ``kind``: header, basis, dates or keep. ``about``: the header's text, or the cell to keep.
    """

    kind: str
    about: str
    question: str


@dataclass(frozen=True)
class Report:
    """A read file: its samples, the questions it leaves open, and the mapping of its headers.

    ``asks`` are those of the questions that can be answered and read anew.
    """

    file: str
    samples: tuple[LabSample, ...]
    problems: tuple[Problem, ...]
    mapping: tuple[Mapping, ...]
    asks: tuple[Ask, ...] = ()


@dataclass
class Questions:
    """What is asked while a file is read. ``stop``: the value is left out; ``look``: it is kept."""

    asked: list[Problem] = field(default_factory=list)
    asks: list[Ask] = field(default_factory=list)

    def ask(self, kind: str, about: str, question: str) -> None:
        """A question that can be answered; the same one is put once."""
        if all((each.kind, each.about) != (kind, about) for each in self.asks):
            self.asks.append(Ask(kind, about, question))

    def stop(self, where: str, what: str, do: str = "") -> None:
        """Something is left out until it is answered."""
        self._add(Problem(where, what, "stop", do))

    def look(self, where: str, what: str, do: str = "") -> None:
        """Something was read in the only way it can be, or left aside, and should be looked at."""
        self._add(Problem(where, what, "look", do))

    def _add(self, problem: Problem) -> None:
        if problem not in self.asked:
            self.asked.append(problem)
