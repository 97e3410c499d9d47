"""Work out one quantity of the handbook from values that a user types."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from . import equations
from .dialect import EQUATIONS, Equation, parameters
from .problems import InputError
from .quantities import Quantity, checked_value, glossary, quantity
from .tables.small import rows_of
from .units import edge_name, parse

__all__ = ["Answer", "Step", "calculate", "citation", "equations", "handbook"]


LEAST_ALIKE = 60  # of 100; less is no suggestion


@dataclass(frozen=True)
class Step:
    """One quantity with its value in the engine's unit; ``equation`` is None where it was given."""

    quantity: Quantity
    value: float
    equation: Equation | None = None

    @property
    def value_us(self) -> float:
        """The value in the unit of a US workbook."""
        return self.value / self.quantity.unit.si_per_edge(True)


@dataclass(frozen=True)
class Answer:
    """What was asked for, the values given, and what was worked out on the way, in order."""

    result: Step
    given: tuple[Step, ...]
    steps: tuple[Step, ...]


def calculate(name: str, given: Mapping[str, str], us: bool = False) -> Answer:
    """Work out the quantity ``name`` from typed values, ``{"birth_weight": "85 lb"}``.

    A value without a unit is in the unit of its name; without one there either, in pounds and tons
    if ``us``, and refused where that could be meant both ways. What is not given is worked out
    where the handbook has an equation of that name. Raises InputError for a name that is not
    known, a value that is no number or not plausible, and values that are missing.

    >>> round(calculate("shrunk_weight_kg", {"full_weight": "1000 kg"}).result.value)
    960
    """
    wanted = _known_name(name)
    names = _below(wanted)
    values = dict(_typed(wanted, names, text, value, us) for text, value in given.items())
    found = _Search(values)
    missing = found.missing(wanted)
    if missing:
        raise InputError(f"{wanted} also needs {'; '.join(_asked(n, wanted) for n in missing)}. "
                         "Give each as name=value.")
    return Answer(
        result=found.steps.pop(wanted),
        given=tuple(Step(quantity(name), value) for name, value in values.items()),
        steps=tuple(found.steps.values()),
    )


def handbook(word: str = "") -> list[Equation]:
    """Equations that can be worked out by hand, whose name, label or meaning holds ``word``.

    >>> "milk_energy_mcal_per_kg" in [found.name for found in handbook("milk")]
    True
    """
    words = word.casefold().split()
    return [EQUATIONS[name] for name in sorted(EQUATIONS) if _has_equation(name)
            and all(w in _told(quantity(name)).casefold() for w in words)]


def citation(key: str) -> str:
    """The source with this key, as the bibliography has it."""
    return next(row["citation"] for row in rows_of("sources") if row["key"] == key)


def _told(line: Quantity) -> str:
    return f"{line.name} {line.name.replace('_', ' ')} {line.label} {line.meaning}"


class _Search:
    """Works out what it can; ``steps`` are in the order in which they follow from each other."""

    def __init__(self, values: Mapping[str, float]) -> None:
        self.values = dict(values)
        self.steps: dict[str, Step] = {}
        self.within: list[str] = []

    def missing(self, name: str) -> list[str]:
        """Work ``name`` out; the names of what is missing for that, none where it is known now."""
        if name in self.values:
            return []
        if name in self.within or not _has_equation(name):
            return [name]
        self.within.append(name)
        function = EQUATIONS[name].function
        missing = {n: self.missing(n) for n in parameters(function)}
        # what rests on the very thing that is looked for has to be given itself
        missing = {n: [n] if set(rest) & set(self.within) else rest for n, rest in missing.items()}
        self.within.pop()
        if not any(missing.values()):
            self._work_out(name)
            return []
        # nothing of it given: ask for the quantity itself, not for all that it rests on
        if self.within and not any(_touched(n, self.values) for n in missing):
            return [name]
        return [n for names in missing.values() for n in names]

    def _work_out(self, name: str) -> None:
        function = EQUATIONS[name].function
        with np.errstate(all="ignore"):
            value = float(function(*(np.float64(self.values[n]) for n in parameters(function))))
        if not np.isfinite(value):
            raise InputError(f"{quantity(name).label} ({name}) cannot be worked out from these"
                             " values; check that none of them is out of its usual range.")
        self.values[name] = value
        self.steps[name] = Step(quantity(name), value, EQUATIONS[name])


def _touched(name: str, values: Mapping[str, float]) -> bool:
    """Whether anything of what ``name`` rests on is known."""
    return any(n in values for n in _below(name)) or name in values


def _has_equation(name: str) -> bool:
    """Whether the handbook (not the plan's own steps) gives it from quantities of the glossary."""
    if name not in EQUATIONS:
        return False
    function, lines = EQUATIONS[name].function, glossary()
    ours = function.__module__.startswith(equations.__name__)
    return ours and all(n in lines for n in (name, *parameters(function)))


def _below(name: str) -> list[str]:
    """All quantities that ``name`` rests on, nearest first."""
    found: list[str] = []
    waiting = [name]
    while waiting:
        here = waiting.pop(0)
        if _has_equation(here):
            fresh = [n for n in parameters(EQUATIONS[here].function)
                     if n not in found and n != name]
            found += fresh
            waiting += fresh
    return found


def _known_name(name: str) -> str:
    """The quantity of that name, with or without its unit; InputError with near ones."""
    names = [e.name for e in handbook()]
    fitting = [n for n in names if name in (n, edge_name(n))]
    if len(fitting) == 1 or name in fitting:
        return name if name in fitting else fitting[0]
    near = " or ".join(fitting or _near(name, names))
    listed = "'haymow calc --list' lists all"
    raise InputError(f"{name} is not a quantity of the handbook"
                     + (f"; did you mean {near}? {listed}." if near else f"; {listed}."))


def _near(name: str, names: list[str]) -> list[str]:
    from rapidfuzz import fuzz

    spelled = {full: max(fuzz.ratio(name, full), fuzz.ratio(name, edge_name(full)))
               for full in names}
    best = sorted(spelled, key=lambda full: -spelled[full])[:2]
    return [full for full in best if spelled[full] >= LEAST_ALIKE]


def _typed(wanted: str, names: list[str], text: str, value: str, us: bool) -> tuple[str, float]:
    """The quantity that ``text`` names among those ``wanted`` rests on, and its value."""
    fitting = [n for n in names if text == n] or [n for n in names if text == edge_name(n)]
    if not fitting:
        near = _near(text, names)
        raise InputError(f"{wanted} is not worked out from {text}"
                         + (f"; did you mean {' or '.join(near)}?" if near else "."))
    name = fitting[0]
    number = parse(name, value)
    unit = quantity(name).unit
    if text != name and _bare(value) and unit.si != unit.us:
        if not us:
            raise InputError(f"{text} is '{value}' without a unit; write {text}={value}{unit.us}"
                             f" or {name}={value}.")
        number *= unit.si_per_edge(True)
    return name, checked_value(name, number)


def _bare(value: str) -> bool:
    try:
        float(value.replace(",", ""))
    except ValueError:
        return False
    return True


def _asked(name: str, wanted: str) -> str:
    """A missing quantity: its name, what it is, its unit, and what it could be worked out from."""
    line = quantity(name)
    units = " or ".join(_units(line))
    return f"{name} ({line.label}{', ' + units if units else ''}{_or_from(name, wanted)})"


def _units(line: Quantity) -> Iterator[str]:
    yield from dict.fromkeys(unit for unit in (line.unit.si, line.unit.us) if unit)


def _or_from(name: str, wanted: str) -> str:
    names = parameters(EQUATIONS[name].function) if _has_equation(name) else []
    return f"; or {' and '.join(names)}" if names and wanted not in names else ""
