"""What in a sample's dry matter values cannot be right, or looks wrong, and what it may be."""

from __future__ import annotations

import csv
from collections import abc
from functools import cache
from importlib.resources import files
from itertools import combinations
from typing import NamedTuple

from ..problems import Problem
from .rules import RULES, Values
from .units import candidates, convert
from .words import Analyte, analytes

__all__ = ["repeats", "suspicions"]

_CHECK = "Compare it with the report, and check the forage kind."
_DIGITS_TO_COMPARE = 3
_ANALYTES_TO_COMPARE = 4


class _Range(NamedTuple):
    low: float
    high: float


def suspicions(dm_values: abc.Mapping[str, float], kind: str) -> list[Problem]:
    """What looks wrong in one sample.

    Parameters
    ----------
    dm_values : mapping
        Analyte key -> value on the dry matter in its usual unit, as ``on_dm`` gives them.
    kind : str
        Forage kind as in forage_kinds.csv; with an unknown one only limits and rules are tried.

    Returns
    -------
    list of Problem
        ``stop``: cannot be; ``look``: unlike this kind of forage, or values that do not go
        together; ``note``: good to know. Each says what it may be and what to do.
    """
    known = {key: value for key, value in dm_values.items() if key in analytes()}
    found = [problem for key, value in known.items()
             if (problem := _impossible(analytes()[key], value))]
    impossible = {problem.where for problem in found}
    found += [problem for problem in _unlike(known, kind) if problem.where not in impossible]
    found += _copied(known)
    values = Values(known, kind.casefold().strip())
    for rule in RULES:
        if rule.needs <= known.keys() and rule.wrong(values):
            label = analytes()[rule.about].label
            found.append(Problem(label, rule.sentence(values), rule.severity, rule.do))
    return found


def repeats(dm_values: abc.Mapping[str, float], earlier: abc.Mapping[str, abc.Mapping[str, float]]
            ) -> list[Problem]:
    """Earlier samples (by their name) with the very same values: one may be a copy."""
    found = []
    for name, values in earlier.items():
        shared = dm_values.keys() & values.keys()
        if len(shared) >= _ANALYTES_TO_COMPARE and all(dm_values[k] == values[k] for k in shared):
            found.append(Problem(name, f"All {len(shared)} values are the same as in sample "
                                 f"{name}; "
                                 "one may be a copy of the other.", "look",
                                 "Check that both were tested."))
    return found


def _impossible(analyte: Analyte, value: float) -> Problem | None:
    if analyte.low <= value <= analyte.high or analyte.ask:
        return None
    return Problem(analyte.label, f"{_name(analyte)} is {value:g} {analyte.unit}; expected "
                   f"{analyte.low:g} to {analyte.high:g}.", "stop",
                   f"It may be {_may_be(analyte, value, _Range(analyte.low, analyte.high), None)}. "
                   "Compare it with the report.")


def _unlike(values: dict[str, float], kind: str) -> list[Problem]:
    """Values outside of what this kind of forage usually has; of several states the nearest."""
    states = _ranges().get(kind.casefold().strip(), [{}])
    best = min(states, key=lambda ranges: sum(_outside(values, key, ranges) for key in values))
    ranges = {**_ranges()["any"][0], **best} if best else {}
    found = []
    for key in values:
        if _outside(values, key, ranges):
            analyte, usual = analytes()[key], ranges[key]
            may_be = _may_be(analyte, values[key], usual, values.get("dm"))
            found.append(Problem(
                analyte.label, f"{_name(analyte)} is {values[key]:g} {analyte.unit}; {kind} "
                f"usually "
                f"has {usual.low:g} to {usual.high:g}. It may be {may_be}.", "look", _CHECK))
    return found


def _outside(values: dict[str, float], key: str, ranges: dict[str, _Range]) -> bool:
    return key in ranges and not ranges[key].low <= values[key] <= ranges[key].high


def _may_be(analyte: Analyte, value: float, usual: _Range, dm: float | None) -> str:
    """The slip that would bring the value into its range; else that it may be true."""
    wet = dm / 100 if dm and 0 < dm < 90 else None  # drier: basis explains too little
    slips = [
        (1 / wet if wet and analyte.scales == "dm" else None, "an as fed value typed as dry "
                                                              "matter"),
        (wet if analyte.scales == "dm" else None, "a value put on the dry matter twice"),
        (6.25 if analyte.key == "cp" else None, "nitrogen typed as crude protein"),
        *((convert(1.0, unit, analyte.unit), f"{unit} typed as Mcal/kg")
          for unit in ("Mcal/lb", "MJ/kg") if analyte.unit == "Mcal/kg"),
        (convert(1.0, "Mcal/kg", "Mcal/lb") if analyte.unit == "Mcal/kg" else None,
         "Mcal/kg typed as Mcal/lb"),
        (0.1, "a digit too many, or g/kg typed as %"), (10, "a decimal point that slipped"),
        (100, "a fraction typed as %"), (1e-4, "ppm typed as %")]
    for factor, words in slips:
        if factor and usual.low <= value * factor <= usual.high:
            return words
    return "another kind of forage, soil in the sample, or true"


def _copied(values: dict[str, float]) -> list[Problem]:
    """The same number in some unit for two analytes, one of them outside of its usual range."""
    found = []
    forms = {key: _printed(analytes()[key], value) for key, value in values.items()}
    for one, other in combinations(values, 2):
        same = sorted(forms[one] & forms[other])
        if same and not (_usual(one, values[one]) and _usual(other, values[other])):
            a, b = analytes()[one], analytes()[other]
            found.append(Problem(a.label, f"{_name(a)} and {b.label} both stand as {same[0]}; one "
                                 f"may "
                                 "be a copied cell.", "look", "Compare both with the report."))
    return found


def _printed(analyte: Analyte, value: float) -> set[str]:
    """How a value may have been printed, in each of its units, if it has digits enough to tell."""
    forms = (convert(value, analyte.unit, unit) for unit in candidates(analyte.unit))
    texts = {f"{number:.6g}" for number in forms if number is not None}
    return {t for t in texts if len(t.replace(".", "").strip("0-")) >= _DIGITS_TO_COMPARE}


def _usual(key: str, value: float) -> bool:
    analyte = analytes()[key]
    return analyte.usual_low <= value <= analyte.usual_high


def _name(analyte: Analyte) -> str:
    label = analyte.label
    return label if label[1:2].isupper() else label[0].upper() + label[1:]


@cache
def _ranges() -> dict[str, list[dict[str, _Range]]]:
    """Usual ranges of each kind; a kind with several states (green, dormant) has several."""
    text = files("haymow").joinpath("data/lab_ranges.csv").read_text(encoding="utf-8")
    found: dict[str, list[dict[str, _Range]]] = {}
    for row in csv.DictReader(text.splitlines()):
        spans = {key: _Range(*map(float, cell.split("-"))) for key, cell in row.items()
                 if key not in ("kind", "state", "source") and cell}
        found.setdefault(row["kind"], []).append(spans)
    return found
