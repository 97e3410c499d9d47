"""Read a lab report: the one way in, from a file to samples, questions and mapping."""

from __future__ import annotations

import re
from collections import abc
from pathlib import Path

from ..problems import InputError
from .assemble import assemble
from .basis import settle
from .dates import date_orders
from .down import label_columns, read_down
from .files import open_report
from .grids import Cell, Grid
from .headers import AS_FED, DM, DM90
from .records import LabSample, Mapping, Questions, Report
from .results import Told, results_of
from .tables import (
    REPORT_WIDE,
    RawSample,
    Reader,
    header_reader,
    line_fields,
    split_pairs,
)
from .values import NumberStyle, is_number, number_style
from .wide import is_wide_header, read_wide
from .words import analytes, clean, plain, synonyms

__all__ = ["read_report"]

_STATES = re.compile(r"\b(?:all|results?|values?|reported|expressed|analys[ei]s|data)\b")


def read_report(
    path: Path,
    confirmed: abc.Mapping[str, str] | None = None,
    basis: str = "",
    date_order: str = "",
    keep: abc.Mapping[str, str] | None = None,
) -> Report:
    """Read a lab report: CSV, TSV, semicolon text, XLSX or PDF with text, in any usual layout.

    Parameters
    ----------
    path : Path
        The report.
    confirmed : mapping, optional
        Answers to questions about headers: header text -> "cp", "NO3-N ppm DM" or "skip".
    basis : str
        "DM", "as fed" or "90% DM" for results whose basis the report does not say.
    date_order : str
        "mdy" or "dmy" for dates that can be read both ways.
    keep : mapping, optional
        Cells outside of the hard limits that are right all the same: "file.csv!D7" -> reason.

    Returns
    -------
    Report
        What could be read with certainty. Each doubt is a problem with its cell: ``stop`` where a
        value was left out, ``look`` where it was kept.

    Raises
    ------
    InputError
        The file is missing, unsafe, empty, or no report; or an answer is not understood.
    """
    for name, answer, allowed in (("basis", basis, ("", DM, AS_FED, DM90)),
                                  ("date_order", date_order, ("", "mdy", "dmy"))):
        if answer not in allowed:
            raise InputError(f"{name} is '{answer}'; expected one of {', '.join(allowed[1:])}.")
    path = Path(path)
    read = header_reader(confirmed or {})
    grids, delimiter, opened = open_report(path)
    questions = Questions(list(opened))
    raws, stated = _raw_samples([split_pairs(grid) for grid in grids], read, questions)
    if not raws:
        questions.stop(path.name, "No table of results was found.", "Check that this is a lab "
                       "report; "
                       "analytes such as CP or ADF must be named in it.")
    style = _style(raws, delimiter, path.name, questions)
    told = Told(style, read, stated, basis, keep or {})
    results = results_of(raws, told, questions)
    texts = [cell.text for raw in raws for key, cell in raw.fields.items() if key.endswith("_on")]
    samples = assemble(raws, results, date_orders(texts, date_order), questions)
    _unknown_bases(samples, questions)
    later = [problem for sample in samples for problem in settle(sample)[1]]
    return Report(path.name, tuple(samples), (*questions.asked, *later), _mapping(raws),
                  tuple(questions.asks))


def _raw_samples(grids: list[Grid], read: Reader, questions: Questions
                 ) -> tuple[list[RawSample], str]:
    found: list[RawSample] = []
    lines: list[str] = []
    for grid in grids:
        before = len(found)
        fields: dict[str, Cell] = {}
        bare: list[Cell] = []
        spent = False  # a table came after the fields: the next sample id starts anew
        row = 0
        while row < len(grid.rows):
            step = _table(grid, row, read, questions)
            if step:
                _give(step[0], fields)
                found += step[0]
                row, spent = step[1], True
                continue
            said = line_fields(grid.rows[row])
            if spent and {"sample_id", "lab_no"} & said.keys():
                fields, spent = {k: c for k, c in fields.items() if k in REPORT_WIDE}, False
            fields |= said
            lines += [cell.text for cell in grid.rows[row] if not cell.blank]
            bare += _left_aside(grid, row, read, questions)
            row += 1
        if bare:
            questions.stop(bare[0].where, f"{len(bare)} row(s) of numbers, the first one here, "
                           f"stand "
                           "under no header that is known; they were not read.",
                           "Name the columns in one row above them.")
        _give(found[before:], {k: c for k, c in fields.items() if k in REPORT_WIDE})
    return found, _stated_basis(lines)


def _table(grid: Grid, row: int, read: Reader, questions: Questions
           ) -> tuple[list[RawSample], int] | None:
    if is_wide_header(grid, row, read):
        return read_wide(grid, row, read, questions)
    if any(read(cell.text).key == "analyte" for cell in grid.rows[row]):
        row += 1  # the header of a list of analytes: its rows follow
    labels = label_columns(grid, row, read)
    return read_down(grid, row, labels, read, questions) if labels else None


def _give(samples: list[RawSample], fields: dict[str, Cell]) -> None:
    """What the lines around a table say holds for its samples where these do not say it."""
    for sample in samples:
        for key, cell in fields.items():
            sample.fields.setdefault(key, cell)


def _left_aside(grid: Grid, row: int, read: Reader, questions: Questions) -> list[Cell]:
    """A line with an analyte and a number that is part of no table is never passed over silently.

    Gives the first cell of a line of several numbers that names nothing.
    """
    cells = [cell for cell in grid.rows[row] if not cell.blank]
    named = [c for c in cells if len(c.text) < 60 and (
        read(c.text).kind in ("analyte", "ask") or _speaks_of_one(c.text))]
    if named and any(is_number(c) for c in cells):
        questions.stop(named[0].where, f"'{named[0].text}' stands with a number in a line that "
                       f"could "
                       "not be understood; it was left out.", "Type it in by hand if it is a "
                                                              "result.")
        return []
    several = sum(is_number(c) for c in cells) > 1
    return cells[:1] if several and not any(read(c.text).kind == "field" for c in cells) else []


def _speaks_of_one(text: str) -> bool:
    """Whether a known name of three letters or more stands in a longer text ("ADF was about")."""
    return any(len(word) > 2 and plain(word) in synonyms() for word in clean(text).split())


def _stated_basis(lines: abc.Iterable[str]) -> str:
    """The one basis that lines such as "All results on a dry matter basis" state."""
    found = set()
    for line in map(clean, lines):
        if "basis" not in line or not _STATES.search(line) or re.search(r"\bnot\b", line):
            continue
        words = re.sub(r"except (?:for )?(?:moisture|dry matter|dm)\b", "", line)
        said = {b for b, pattern in _STATED.items() if re.search(pattern, words)}
        found |= said if said else {"?"}
    return found.pop() if len(found) == 1 and "?" not in found else ""


_STATED = {DM90: r"90 ?% ?(?:dm|dry)|air[- ]dr", AS_FED: r"as[- ](?:fed|received|sampled|is)\b",
           DM: r"(?<!90% )(?<!90 % )(?:dry[- ]matter|\bdm|dry|moisture[- ]free)[- ]basis"}


def _style(raws: list[RawSample], delimiter: str, name: str, questions: Questions) -> NumberStyle:
    texts = [e.cell.text for raw in raws for e in raw.entries if e.cell.value is None]
    style = number_style(texts, point=delimiter in (",", ""))
    if style.mixed:
        questions.look(name, "Some numbers have a decimal comma and some a decimal point; each was "
                       "read only where one reading is possible.", "Check them.")
    return style


def _unknown_bases(samples: list[LabSample], questions: Questions) -> None:
    """One question for each table about results whose basis is not said."""
    groups: dict[str, tuple[list[str], str]] = {}
    for sample in samples:
        dm = next((r.value for r in sample.results if r.analyte == "dm" and r.value), None)
        for result in sample.results:
            analyte = analytes()[result.analyte]
            if analyte.scales != "dm" or result.basis or result.value is None or (
                    result.unit.startswith("% of ")):
                continue
            names, example = groups.setdefault(result.where.rpartition("!")[0], ([], ""))
            if analyte.label not in names:
                names.append(analyte.label)
            if dm and not example:
                example = (f" {analyte.label} {result.raw} is {result.value:g} of the dry matter, "
                           f"or "
                           f"{result.value / dm * 100:.3g} if it is as fed.")
                groups[result.where.rpartition("!")[0]] = (names, example)
    for where, (names, example) in groups.items():
        questions.stop(where, f"The report does not say whether {', '.join(names)} are of the dry "
                       f"matter or as fed; they are left out of the dry matter values.{example}",
                       "Say which basis it is.")
        questions.ask("basis", "", f"{where}: are {', '.join(names)} of the dry matter or as fed?"
                      f"{example}")


def _mapping(raws: list[RawSample]) -> tuple[Mapping, ...]:
    found: dict[tuple[str, str], Mapping] = {}
    for raw in raws:
        for entry in raw.entries:
            h = entry.heading
            basis = h.basis if not h.basis.startswith("?") else ""
            found.setdefault((entry.head_where, h.basis), Mapping(
                h.text, "" if h.kind == "ask" else h.key, h.unit, basis, h.method,
                "asked" if h.kind == "ask" else h.sure, entry.head_where))
    return tuple(found.values())

