"""Cells of results read: unit and basis settled, limits held, doubts asked."""

from __future__ import annotations

from collections import abc
from dataclasses import dataclass, field

from .headers import AS_FED, DM
from .records import Questions, Result
from .tables import Entry, RawSample, Reader
from .units import candidates, convert
from .values import NumberStyle, Value, read_value
from .words import Analyte, analytes

__all__ = ["Told", "fits_usually", "results_of"]

_LOW_AS_FED = 0.1  # the low limits are of the dry matter; wet feed may be a tenth of it as fed
_MOST = 0.8  # part of a column that must fit a unit that is not printed; the rest is asked by cell
_SIGNS = {"lt": "<", "<": "<", "gt": ">", ">": ">", "nd": "ND", "u": "ND"}
_PARTS_FROM_COLUMN = ("lignin",)  # labs say so when they print it of NDF


@dataclass(frozen=True)
class Told:
    """What holds for the whole file: its number style, its stated basis, the user's answers."""

    style: NumberStyle
    read: Reader
    stated: str = ""
    answer: str = ""
    keep: abc.Mapping[str, str] = field(default_factory=dict)


@dataclass
class _Reading:
    """One entry on its way to a result."""

    sample: RawSample
    entry: Entry
    value: Value
    unit: str = ""
    doubt: bool = False

    @property
    def analyte(self) -> Analyte:
        return analytes()[self.entry.heading.key]


def results_of(samples: list[RawSample], told: Told, questions: Questions) -> list[list[Result]]:
    """The results of each sample, in order. One in doubt has no value and the qualifier ``?``."""
    groups: dict[tuple[str, str], list[_Reading]] = {}
    rows: list[list[_Reading]] = []
    for sample in samples:
        rows.append([])
        for entry in sample.entries:
            reading = _Reading(sample, entry, read_value(entry.cell, told.style))
            if _asked(entry, questions):
                continue
            rows[-1].append(reading)
            groups.setdefault((entry.head_where, entry.heading.unit), []).append(reading)
    assumed: dict[str, list[str]] = {}
    for readings in groups.values():
        _settle_unit(readings, assumed, questions)
    for table, names in assumed.items():
        questions.look(table, f"No unit is printed for {', '.join(names)}; each was read in its "
                       f"usual "
                       "unit, the only one that fits.", "Check them.")
    return [[r for reading in row if (r := _result(reading, told, questions))] for row in rows]


def fits_usually(analyte: Analyte, value: float, unit: str) -> bool:
    """Whether a value in ``unit`` lies in the range that this analyte usually has."""
    usual = convert(value, unit, analyte.unit)
    return usual is not None and analyte.usual_low <= usual <= analyte.usual_high


def _asked(entry: Entry, questions: Questions) -> bool:
    heading = entry.heading
    if heading.kind == "ask":
        questions.stop(entry.head_where, f"'{heading.text}' was left out: "
                       f"{analytes()[heading.key].ask}.",
                       "Ask the lab which it is and name the header so.")
        questions.ask("header", heading.text, f"'{heading.text}': {analytes()[heading.key].ask}.")
    elif heading.kind == "suggested":
        questions.stop(entry.head_where, f"'{heading.text}' is not a known name and was left out; "
                       f"it "
                       f"may be {analytes()[heading.key].label}.", "Confirm it or say what it is.")
        questions.ask("header", heading.text, f"'{heading.text}' may be"
                      f" {analytes()[heading.key].label} ({heading.key}).")
    return heading.kind != "analyte"


def _settle_unit(readings: list[_Reading], assumed: dict[str, list[str]], questions: Questions
                 ) -> None:
    """Give each reading of one header its unit; ask once if there is none or a strange one."""
    first = readings[0]
    analyte, entry = first.analyte, first.entry
    bare = [r for r in readings if not entry.heading.unit and not r.value.unit]
    for reading in readings:
        reading.unit = entry.heading.unit or reading.value.unit
    if bare:
        _infer(bare, analyte, assumed, questions)
    for reading in readings:
        own, unit = reading.value.unit, reading.unit
        if own and convert(1.0, own, unit) != 1.0:
            _out(reading, questions, f"the cell says {own} under a header in {unit}")
        elif unit and not _usable(analyte, unit):
            reading.doubt = True
            questions.stop(entry.head_where, f"The unit '{unit}' of {analyte.label} is not one "
                           f"that is "
                           f"known for it; expected {analyte.unit} or the like. Its values were "
                           f"left "
                           "out.", "Correct the unit in the header.")


def _usable(analyte: Analyte, unit: str) -> bool:
    part = f"% of {analyte.part_of.upper()}"
    return convert(1.0, unit, analyte.unit) is not None or (
        bool(analyte.part_of) and unit in (part, "%", "g/kg"))


def _infer(bare: list[_Reading], analyte: Analyte, assumed: dict[str, list[str]],
           questions: Questions) -> None:
    numbers = [r.value.number for r in bare if r.value.number is not None]
    fits = [unit for unit in candidates(analyte.unit) if numbers and sum(
        fits_usually(analyte, number, unit) for number in numbers) >= _MOST * len(numbers)]
    if analyte.unit in ("index", "pH") or not numbers:
        fits = [analyte.unit]
    elif fits == [analyte.unit]:
        sheet = bare[0].entry.head_where.rpartition("!")[0]
        if analyte.label not in (names := assumed.setdefault(sheet, [])):
            names.append(analyte.label)
    for reading in bare:
        reading.unit = analyte.unit if fits == [analyte.unit] else ""
        reading.doubt = fits != [analyte.unit]
    if fits != [analyte.unit]:
        could = " or ".join(f"{numbers[0]:g} {unit}" for unit in fits)
        why = f"it could be {could}" if could else (
            f"no unit puts its values (the first is {numbers[0]:g}) into their usual range")
        questions.stop(bare[0].entry.head_where, f"No unit is printed for {analyte.label}: {why}. "
                       f"Its "
                       "values were left out.", "Write the unit in the header.")


def _result(reading: _Reading, told: Told, questions: Questions) -> Result | None:
    entry, value = reading.entry, reading.value
    basis = _basis(reading, told, questions)
    if _is_whole(reading):
        return None  # dry matter of the dry matter is always 100
    if not reading.doubt and value.doubt:
        _out(reading, questions, value.doubt, value.do)
    number, qualifier = _qualified(reading, told, questions)
    if not reading.doubt and number is not None:
        _limits(reading, number, qualifier, basis, told, questions)
    if not reading.doubt and _part_unknown(reading, basis):
        reading.doubt = True
        part = reading.analyte.part_of.upper()
        questions.stop(entry.head_where, f"{reading.analyte.label} may be % of {part} or % of the "
                       f"dry "
                       "matter; the report does not say. It was left out.",
                       f"Write '% of {part}' or '% DM' in the header.")
    unit = _final_unit(reading)
    percent = entry.cell.percent and number is not None
    raw = f"{number:g}%" if percent else entry.cell.text.strip()
    if reading.doubt:
        number, qualifier = None, "?"
    return Result(reading.analyte.key, number, qualifier, unit, basis, entry.heading.method, raw,
                  entry.cell.where)


def _final_unit(reading: _Reading) -> str:
    """The unit as printed; a bare % of a digestibility is the % its name says."""
    of = reading.analyte.unit
    return of if reading.unit == "%" and of in ("% of NDF", "% of OM", "% of DM", "% of BW") else (
        reading.unit)


def _qualified(reading: _Reading, told: Told, questions: Questions) -> tuple[float | None, str]:
    entry, number, qualifier = reading.entry, reading.value.number, reading.value.qualifier
    sign = _SIGNS.get(entry.sign.casefold(), entry.sign)
    qualifier = qualifier or sign
    limit = read_value(entry.limit, told.style).number if entry.limit else None
    if number is None and qualifier == "<" and limit is not None:
        number = limit
    where, label = entry.cell.where, reading.analyte.label
    if qualifier == "ND":
        questions.look(where, f"{label} is 'ND': not detected or not determined. It has no value.",
                       "Ask the lab which it is.")
        number = None
    elif qualifier not in ("", "<", ">", "NA", "TR"):
        questions.look(where, f"{label} carries the mark '{qualifier}'.", "Read the lab's note on "
                                                                          "it.")
    elif number is not None and number == limit and not qualifier:
        questions.look(where, f"{label} stands exactly at the reporting limit; it may mean 'less "
                       "than'.", "Ask the lab.")
    return number, qualifier


def _limits(reading: _Reading, number: float, qualifier: str, basis: str, told: Told,
            questions: Questions) -> None:
    """Leave out what cannot be: outside of the hard limits, or a zero that may mean not tested."""
    analyte, unit = reading.analyte, reading.unit
    low, high = analyte.low, analyte.high
    usual = convert(number, unit, analyte.unit)
    if usual is None or unit == "% of " + analyte.part_of.upper():
        usual, low, high = number, 0.0, 100.0
    low *= _LOW_AS_FED if analyte.scales == "dm" and basis != DM else 1
    what = ""
    if number == 0 and not analyte.zero_ok and low > 0:
        what = f"{analyte.label} is printed as 0, which may mean not tested or below the limit"
    elif usual > high or (usual < low and qualifier != "<"):
        what = (f"{analyte.label} is {number:g} {unit}{_on(basis)}; expected {low:g} to {high:g} "
                f"{analyte.unit}")
    if not what:
        return
    reason = told.keep.get(reading.entry.cell.where)
    if reason:
        questions.look(reading.entry.cell.where, f"{what}. It was kept: {reason}.")
    else:
        where = reading.entry.cell.where
        questions.ask("keep", where, f"{where}: {what}.")
        _out(reading, questions, what, _may_be(usual, low, high) if analyte.scales == "dm" else "")


def _may_be(value: float, low: float, high: float) -> str:
    for factor, words in ((0.1, "g/kg typed as %, or a digit too many"), (100, "a fraction typed "
                                                                               "as %"),
                          (1e-4, "ppm typed as %"), (0.01, "a decimal point lost")):
        if low <= value * factor <= high:
            return f"It may be {words}. Compare it with the report."
    return "Compare it with the report."


def _on(basis: str) -> str:
    return f" {basis}" if basis else ""


def _basis(reading: _Reading, told: Told, questions: Questions) -> str:
    entry, analyte = reading.entry, reading.analyte
    if analyte.scales != "dm":
        return AS_FED if analyte.scales == "as fed" else ""
    row = reading.sample.fields.get("basis")
    of_row = (told.read(row.text).alone or ("?" + row.text, ""))[0] if row else ""
    basis = entry.heading.basis or of_row
    if entry.heading.basis and of_row and of_row != entry.heading.basis:
        basis = f"?{of_row} in its row, {entry.heading.basis} in its header"
    if basis.startswith("?"):
        _out(reading, questions, f"the basis '{basis[1:]}' of {analyte.label} is not clear",
             "Write DM, as fed or 90% DM.")
        return ""
    of_part = reading.unit.startswith("% of ") and reading.unit != "% of DM"
    return "" if of_part else basis or told.stated or told.answer


def _is_whole(reading: _Reading) -> bool:
    """Dry matter 100 or moisture 0 in a column of the dry matter: true of every feed."""
    row = reading.sample.fields.get("basis")
    dry = reading.entry.heading.basis == DM or bool(row and row.text.strip().casefold() in (
        "dm", "dry", "dry matter", "100% dm"))
    whole = {"dm": 100.0, "moisture": 0.0}.get(reading.analyte.key)
    return whole is not None and dry and (
        reading.value.number == whole or reading.value.qualifier == "NA")


def _part_unknown(reading: _Reading, basis: str) -> bool:
    """Whether a bare % may be of the dry matter or of a part of it, and nothing says which."""
    analyte, heading = reading.analyte, reading.entry.heading
    row = reading.sample.fields.get("basis")
    said = heading.own_basis or row or heading.basis == AS_FED or (
        analyte.key in _PARTS_FROM_COLUMN and basis)
    return bool(analyte.part_of) and reading.unit == "%" and not said


def _out(reading: _Reading, questions: Questions, what: str, do: str = "") -> None:
    reading.doubt = True
    start = what[0] if what[1:2].isupper() else what[0].upper()  # "pH" stays as it is
    questions.stop(reading.entry.cell.where, start + what[1:] + ". It was left out.",
                   do or "Compare it with the report.")
