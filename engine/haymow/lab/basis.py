"""Results on 100 % dry matter in usual units: one for each analyte, both bases compared."""

from __future__ import annotations

from dataclasses import dataclass, replace

from ..problems import Problem
from .headers import AS_FED, DM, DM90
from .records import LabSample, Questions, Result
from .units import convert
from .values import half_step
from .words import analytes

__all__ = ["on_dm", "settle"]

_WET = ("wc", "wet", "dumas", "kjeldahl", "combustion", "icp")
_WHOLE = ("summative", "oardc", "weiss", "nrc", "1x", "ndfd", "lignin")
_SUM_SLIP = 0.2  # printed DM and moisture may each be rounded


@dataclass(frozen=True)
class _Dry:
    """A result on the dry matter, how far it may be rounded, and how far its method is trusted."""

    result: Result
    value: float
    slack: float
    rank: int
    printed: bool


def on_dm(sample: LabSample) -> dict[str, Result]:
    """One result for each analyte on 100 % dry matter, in its usual unit (``dm`` stays as fed).

    Left out: results without a basis or value, two bases that disagree, methods that cannot be
    ranked. What was left out and why is in ``Report.problems``.
    """
    return settle(sample)[0]


def settle(sample: LabSample) -> tuple[dict[str, Result], list[Problem]]:
    """The results on the dry matter, and what is to be asked about them."""
    questions = Questions()
    found: dict[str, Result] = {}
    dm = _dry_matter(sample, questions)
    if dm:
        found["dm"] = dm
    groups: dict[str, list[Result]] = {}
    for result in sample.results:
        if result.analyte not in ("dm", "moisture"):
            groups.setdefault(result.analyte, []).append(result)
    for key in sorted(groups, key=lambda key: bool(analytes()[key].part_of)):
        if analytes()[key].part_of:  # what is a part of CP or NDF needs these first
            _protein(found)
        if chosen := _one(groups[key], found, questions):
            found[key] = chosen
    _protein(found)
    return found, questions.asked


def _dry_matter(sample: LabSample, questions: Questions) -> Result | None:
    """Dry matter from its own result and from moisture; both must add up to 100."""
    given = [(r, convert(r.value, r.unit, "%")) for key in ("dm", "moisture")
             for r in sample.results if r.analyte == key and r.value is not None]
    values = [(r, percent if r.analyte == "dm" else 100 - percent)
              for r, percent in given if percent is not None]
    if not values:
        return None
    first, value = values[0]
    for other, second in values[1:]:
        if abs(second - value) > _SUM_SLIP:
            what = (f"dry matter {first.raw} and moisture {other.raw} do not add up to 100"
                    if first.analyte != other.analyte else f"{first.analyte} is both {first.raw} "
                    f"and "
                    f"{other.raw}")
            questions.stop(other.where, f"Sample {sample.sample_id}: {what}; dry matter was left "
                           f"out.",
                           "Compare them with the report.")
            return None
    return replace(first, analyte="dm", value=round(value, 10), unit="%", basis=AS_FED)


def _one(results: list[Result], found: dict[str, Result], questions: Questions) -> Result | None:
    dry = [d for d in (_dry(result, found, questions) for result in results) if d]
    if not dry:
        return next((r for r in results if r.value is None and r.qualifier != "?"), None)
    methods: dict[str, list[_Dry]] = {}
    for each in dry:
        methods.setdefault(each.result.method.casefold(), []).append(each)
    chosen = []
    for group in methods.values():
        best = sorted(group, key=lambda d: not d.printed)[0]
        if any(not _agree(best, other) for other in group):
            _disagree(best, group, questions)
            return None
        chosen.append(best)
    return _ranked(chosen, questions)


def _ranked(chosen: list[_Dry], questions: Questions) -> Result | None:
    """The result by the most trusted method; none if two that differ are trusted alike."""
    chosen.sort(key=lambda d: -d.rank)
    best = chosen[0]
    others = [d for d in chosen[1:] if not _agree(best, d)]
    if not others:
        return best.result
    label = analytes()[best.result.analyte].label
    listed = ", ".join(f"{d.value:.4g} ({d.result.method or 'method not said'})"
                       for d in (best, *others))
    if any(d.rank == best.rank for d in others):
        questions.stop(best.result.where, f"{label} is printed in several ways: {listed}. It was "
                       f"left "
                       "out.", "Say which one to use.")
        return None
    questions.look(best.result.where, f"{label} is printed in several ways: {listed}. The first "
                   f"was "
                   "taken.", "Say so if another is to be used.")
    return best.result


def _agree(one: _Dry, other: _Dry) -> bool:
    """Whether two results may be the same: within rounding, or both beyond a limit."""
    if one.result.qualifier != other.result.qualifier:
        return False
    beyond = one.result.qualifier in ("<", ">")
    return beyond or abs(one.value - other.value) <= one.slack + other.slack + 1e-9


def _disagree(best: _Dry, group: list[_Dry], questions: Questions) -> None:
    other = next(d for d in group if not _agree(best, d))
    label = analytes()[best.result.analyte].label
    listed = " and ".join(f"{d.result.raw} {d.result.unit} {d.result.basis}".strip()
                          for d in (best, other))
    why = "" if best.result.raw and best.printed == other.printed else (
        "; as fed must be the dry matter value times dry matter")
    questions.stop(best.result.where, f"{label}: {listed} ({other.result.where}) do not "
                   f"agree{why}. "
                   "It was left out.", "Compare both, and dry matter, with the report.")


def _dry(result: Result, found: dict[str, Result], questions: Questions) -> _Dry | None:
    """One result on the dry matter in its usual unit, or None if that cannot be said."""
    if result.value is None or result.qualifier == "?":
        return None
    analyte = analytes()[result.analyte]
    factor, slack = 1.0, 0.0
    if analyte.scales != "none" or result.basis:
        known = _factor(result, found, questions)
        if known is None:
            return None
        factor, slack = known
    to = _to_usual(result, found, questions)
    if to is None:
        return None
    value = result.value * factor * to
    half = half_step(result.raw, result.value) * factor * to
    basis = DM if analyte.scales == "dm" else ""
    final = replace(result, value=float(f"{value:.12g}"), unit=analyte.unit, basis=basis)
    return _Dry(final, value, half + abs(value) * slack, _rank(result), result.basis in ("", DM))


def _factor(result: Result, found: dict[str, Result], questions: Questions
            ) -> tuple[float, float] | None:
    """(what makes it of the dry matter, relative slack by rounded dry matter)."""
    if result.basis == DM or result.unit.startswith("% of "):
        return 1.0, 0.0
    if result.basis == DM90:
        return 1 / 0.90, 0.0
    dm = found.get("dm")
    if result.basis == AS_FED and dm and dm.value:
        from ..equations.forage import value_pct_dm

        return float(value_pct_dm(1.0, dm.value)), half_step(dm.raw) / dm.value
    if result.basis == AS_FED:
        questions.stop(result.where, f"{analytes()[result.analyte].label} is as fed, and without "
                       f"dry "
                       "matter it cannot be put on the dry matter. It was left out.",
                       "Add dry matter or moisture.")
    return None


def _to_usual(result: Result, found: dict[str, Result], questions: Questions) -> float | None:
    """What one of its units is in the usual unit; by way of CP, N or NDF if it is a part of it."""
    analyte = analytes()[result.analyte]
    plain = convert(1.0, result.unit, analyte.unit)
    if plain is not None:
        return plain
    whole = _whole(analyte.part_of, found)
    if whole is None or not whole > 0:
        questions.stop(result.where, f"{analyte.label} is given in {result.unit}; without "
                       f"{analyte.part_of.upper()} it cannot be put into {analyte.unit}. It was "
                       f"left "
                       "out.", f"Add {analyte.part_of.upper()}.")
        return None
    if result.unit.startswith("% of "):
        return whole / 100
    percent = convert(1.0, result.unit, "%")
    return percent * 100 / whole if percent is not None else None


def _whole(part_of: str, found: dict[str, Result]) -> float | None:
    if part_of == "n" and "n" not in found and "cp" in found:
        crude = found["cp"].value
        return crude / _cp_per_nitrogen() if crude else None
    return found[part_of].value if part_of in found else None


def _protein(found: dict[str, Result]) -> None:
    """Crude protein from nitrogen where the lab prints only that."""
    nitrogen = found.get("n")
    if nitrogen and nitrogen.value is not None and "cp" not in found:
        found["cp"] = replace(nitrogen, analyte="cp", value=nitrogen.value * _cp_per_nitrogen(),
                              method="N x 6.25")


def _cp_per_nitrogen() -> float:
    from ..equations.forage import cp_from_nitrogen_pct_dm

    return float(cp_from_nitrogen_pct_dm(1.0))


def _rank(result: Result) -> int:
    """How far a method is trusted: TDN from more than fiber first, wet chemistry before NIR."""
    method = result.method.casefold()
    if result.analyte == "tdn":
        return 2 if any(word in method for word in _WHOLE) else 1 if "adf" in method else 0
    if "nir" in method:
        return 0
    return 2 if any(word in method for word in _WET) else 1


