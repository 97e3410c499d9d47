"""Put a lab's samples into the rows of Samples: new ones added, known ones compared."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path, PurePath

from ..lab import LabSample, Report, Result, analytes, convert, on_dm
from ..lab.headers import AS_FED, DM, DM90
from ..problems import Problem
from ..ranch import Cell, Ranch, sizes_for
from ..tables import Book
from ..tables.local import LONGEST
from ..tables.make import make
from ..tables.small import BASES
from .doubts import nearest
from .places import entry_names, label_and_unit
from .rebuild import Rebuilt, rebuild

__all__ = ["import_samples", "taken_in"]

WORDS = dict(zip((DM, AS_FED, DM90), BASES, strict=True))
NITRATES = ("no3n", "no3", "kno3")  # the forms a lab reports, in the order of NitrateForms
LAB_KEYS = {"vita": "vit_a"}  # where a report's analyte has another key than our column
Row = dict[str, Cell]


def import_samples(ranch: Ranch, report: Report) -> tuple[Ranch, list[Problem]]:
    """Take the samples of a lab report into the ranch.

    A sample that is there already, with the same values, changes nothing; with other values these
    are replaced and both are told. Values are in the workbook's units, on the basis the report
    prints, or in dry matter where it prints more than one. What the report does not say stays as
    it is.
    """
    rows = {number: dict(cells) for number, cells in ranch.entries.get("Samples", {}).items()}
    taking = _Taking(ranch, rows, report.file)
    for count, sample in enumerate(report.samples, 1):
        taking.take(sample, count)
    entries = {**ranch.entries, "Samples": rows}
    sizes = dict(ranch.sizes)
    if rows:
        room = sizes_for(entries)["sample"]
        sizes["sample"] = max(sizes.get("sample", 0), room)
    return replace(ranch, entries=entries, sizes=sizes), taking.problems


def taken_in(reports: Sequence[Report], workbook: Path) -> tuple[list[Problem], Rebuilt]:
    """Take lab reports into a workbook; what is to be asked, and what was done."""
    problems = [problem for report in reports for problem in report.problems]

    def change(ranch: Ranch) -> Ranch:
        for report in reports:
            ranch, found = import_samples(ranch, report)
            problems.extend(found)
        return ranch

    done = rebuild(workbook, change=change)
    return list(dict.fromkeys([*done.problems, *problems])), done


@dataclass
class _Taking:
    """One report being taken in."""

    ranch: Ranch
    rows: dict[int, Row]
    file: str

    def __post_init__(self) -> None:
        self.book = make(self.ranch)
        self.problems: list[Problem] = []
        self.taken: dict[int, Row] = {}

    def take(self, sample: LabSample, count: int) -> None:
        """Add one sample or compare it with its row."""
        name = self._name(sample, count)
        values = _block(sample, self.book, self.problems)
        new: Row = {"sample_id": name, "sampled_on": sample.sampled_on,
                    "received_on": sample.reported_on,
                    "lab": _findable(sample.lab), **values}
        new = {key: value for key, value in new.items() if value not in (None, "")}
        number = self._row_of(name, new.get("lab"))
        if number in self.taken:
            if self.taken[number] != new:
                self.problems.append(Problem(
                    self._where(name), "It stands in the report twice with different values; the"
                    " first ones were taken.", "stop", "Ask the laboratory which are right."))
            return
        if number is None:
            number = next(n for n in range(1, len(self.rows) + 2) if not _used(self.rows.get(n)))
            self.rows[number] = new | self._forage(sample, name)
        else:
            self._compare(number, new, sample)
        self.taken[number] = new

    def _name(self, sample: LabSample, count: int) -> str:
        if _plain(sample.sample_id):
            return _plain(sample.sample_id)
        name = f"{PurePath(self.file).stem} {count}"
        self.problems.append(Problem(self._where(name), "Its sample number could not be read; this"
                                     " name was given.", "look", "Type the right one on Samples."))
        return name

    def _where(self, name: str) -> str:
        return f"{self.file}, sample {name}"

    def _row_of(self, name: str, lab: Cell) -> int | None:
        """The row of this sample; laboratories may number alike."""
        for number, row in sorted(self.rows.items()):
            same_lab = not lab or not row.get("lab") or _folded(row["lab"]) == _folded(lab)
            if row.get("sample_id") and _folded(row["sample_id"]) == _folded(name) and same_lab:
                return number
        return None

    def _forage(self, sample: LabSample, name: str) -> Row:
        """The forage the description names; as printed, with a question, where none is so named."""
        told = _plain(sample.description)
        known = [str(cells["forage"]) for _, cells in
                 sorted(self.ranch.entries.get("Forages", {}).items()) if cells.get("forage")]
        same = next((each for each in known if _folded(each) == _folded(told)), "")
        if same or not told:
            if not told:
                self.problems.append(Problem(self._where(name), "The report does not say which"
                                             " forage it is.", "look", "Choose it on Samples."))
            return {"forage": same} if same else {}
        near = nearest(told, known)
        self.problems.append(Problem(
            self._where(name), f"'{told}' is not on Forages."
            + (f" Did you mean '{near}'?" if near else ""), "look",
            "Choose its forage on Samples, or describe it on Forages."))
        return {"forage": _findable(told)}

    def _compare(self, number: int, new: Row, sample: LabSample) -> None:
        """Replace what differs in a known row, and tell old and new."""
        row = self.rows[number]
        name = str(new["sample_id"])
        if not row.get("forage"):
            row |= self._forage(sample, name)
        values = any(key.startswith("reported.") for key in new)
        other_basis = values and row.get("basis") not in (None, "", new.get("basis"))
        changes = []
        for key in [key for key in {**row, **new} if _replaced(key, new, other_basis)]:
            old, value = row.get(key), new.get(key)
            if not _equal(old, value):
                changes.append(f"{key.removeprefix('reported.')} {_shown(old)} -> {_shown(value)}")
                row[key] = value
        self.rows[number] = {key: value for key, value in row.items() if value is not None}
        if any(" blank -> " not in text for text in changes):
            self._log(number, changes)
            self.problems.append(Problem(
                self._where(name), f"It was there already (No. {number} on Samples) and was"
                f" replaced: {'; '.join(changes)}.", "look", "Make sure that it is the same"
                " sample."))
        elif changes:
            self.problems.append(Problem(
                self._where(name), f"It was there already (No. {number} on Samples) and was"
                f" filled in: {'; '.join(changes)}.", "note"))


    def _log(self, number: int, changes: list[str]) -> None:
        """A line in the sample's log; the oldest ones go where there is no room."""
        log = str(self.rows[number].get("log") or "")
        lines = [*(log.split(" | ") if log else []), f"{self.file}: {'; '.join(changes)}"[:LONGEST]]
        while len(" | ".join(lines)) > LONGEST:
            del lines[0]
        self.rows[number]["log"] = " | ".join(lines)


def _replaced(key: str, new: Mapping[str, Cell], other_basis: bool) -> bool:
    """Whether a cell follows the report; on another basis all values do, also those it lacks."""
    if key in ("sample_id", "forage", "taken", "log"):
        return False
    return key in new or (other_basis and key.startswith("reported."))


def _block(sample: LabSample, book: Book, problems: list[Problem]) -> Row:
    """Basis and values as the report prints them, or in dry matter where it prints both."""
    dry = on_dm(sample)
    units, forms = _units(book), book.tables["NitrateForms"].columns[-1].data  # type: ignore[attr-defined]
    printed = [r for r in sample.results if r.value is not None and r.analyte != "dm"
               and r.analyte in {*(LAB_KEYS.get(a, a) for a in units), *NITRATES}]
    bases = {r.basis for r in printed if analytes()[r.analyte].scales == "dm"}
    basis = bases.pop() if len(bases) == 1 and bases <= {AS_FED, DM90} else DM
    nitrate = next((n for n in NITRATES if any(r.analyte == n for r in printed)), NITRATES[0])
    found: Row = {}
    for analyte, unit in units.items():
        key = nitrate if analyte in NITRATES else LAB_KEYS.get(analyte, analyte)
        result = dry.get(key)
        if basis != DM and analyte != "dm":
            result = _as_printed([r for r in printed if r.analyte == key], result)
        value = _value(sample, result, unit, problems)
        if value is not None:
            found[f"reported.{analyte}"] = value
    if "reported.no3n" in found:
        found["nitrate_form"] = forms[NITRATES.index(nitrate)]
    return found | {"basis": WORDS[basis]} if found else {}


def _units(book: Book) -> dict[str, str]:
    """The analytes that Samples has a column for, and the unit in its header."""
    column = book.tables["Samples"].at["reported"]
    return {name.partition(".")[2]: label_and_unit(book, column, member)[1]
            for member, name in entry_names(book, column)}


def _as_printed(results: list[Result], dry: Result | None) -> Result | None:
    """The printed result behind the one that was settled on; the only one where none was."""
    if dry is not None:
        return next((r for r in results if r.where == dry.where), None)
    return results[0] if len(results) == 1 else None


def _value(sample: LabSample, result: Result | None, unit: str, problems: list[Problem]
           ) -> float | None:
    if result is None:
        return None
    if result.qualifier in ("<", ">", "ND", "TR"):
        told = result.raw or f"{result.qualifier} {result.value or ''}".strip()
        problems.append(Problem(
            result.where or f"sample {sample.sample_id}", f"{analytes()[result.analyte].label} is"
            f" '{told}', no number; it was left out.", "look",
            "Type a number on Samples if one is to be used."))
        return None
    value = None if result.value is None else convert(result.value, result.unit, unit)
    return None if value is None else float(f"{value:.10g}")


def _plain(text: str) -> str:
    return " ".join(text.split())


def _findable(name: str) -> str:
    """A name without the signs that a spreadsheet's MATCH takes for any letters."""
    return _plain("".join(" " if sign in "*?~" else sign for sign in name))


def _folded(text: Cell) -> str:
    return _plain(str(text)).casefold()


def _used(row: Row | None) -> bool:
    return any(value not in (None, "") for value in (row or {}).values())


def _equal(one: Cell, other: Cell) -> bool:
    if isinstance(one, int | float) and isinstance(other, int | float):
        return abs(one - other) <= 1e-9 * max(abs(one), abs(other))
    if isinstance(one, str) and isinstance(other, str):
        return _folded(one) == _folded(other)
    return one == other


def _shown(value: Cell) -> str:
    if value is None or value == "":
        return "blank"
    return f"{value:%Y-%m-%d}" if isinstance(value, dt.date) else (
        f"{value:g}" if isinstance(value, float | int) else str(value))
