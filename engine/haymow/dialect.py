"""The dialect of equations: plain NumPy functions that can also be traced into a formula."""

from __future__ import annotations

import functools
import inspect
import itertools
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.lib.mixins

__all__ = [
    "EQUATIONS", "Equation", "Node", "chosen", "equation", "if_needed", "is_missing",
    "month_of_year", "month_start", "normal_chance", "only_if", "parameters", "piecewise", "ratio",
    "symbolic", "typed_or", "working",
]

CALLS: dict[Any, str] = {
    np.exp: "EXP", np.log: "LN", np.sqrt: "SQRT", np.absolute: "ABS", np.minimum: "MIN",
    np.maximum: "MAX", np.floor: "INT", np.remainder: "MOD", np.bitwise_and: "AND",
    np.bitwise_or: "OR", np.invert: "NOT",
}
COMPARE, ADD, MULTIPLY, POWER = range(4)
SIGNS: dict[Any, tuple[str, int]] = {
    np.add: ("+", ADD), np.subtract: ("-", ADD), np.multiply: ("*", MULTIPLY),
    np.divide: ("/", MULTIPLY), np.power: ("^", POWER), np.less: ("<", COMPARE),
    np.greater: (">", COMPARE), np.less_equal: ("<=", COMPARE), np.greater_equal: (">=", COMPARE),
    np.equal: ("=", COMPARE), np.not_equal: ("<>", COMPARE),
}
INSTEAD = {
    "float_power": "use **", "mean": "write the sum and divide", "sum": "write the terms out",
    "isnan": "use typed_or or if_needed", "divide_by_zero": "use ratio", "rint": "use floor",
    "logical_and": "use &", "logical_or": "use |", "logical_not": "use ~",
    "power": "use **", "fmax": "use maximum", "fmin": "use minimum",
}


@dataclass(frozen=True)
class Equation:
    """A function named after the quantity it gives, with where it comes from."""

    name: str
    function: Callable[..., Any]
    source: str
    where: str
    seen: bool

    @property
    def published(self) -> bool:
        """Whether it comes from outside the project."""
        return self.source != "HAYMOW"

    def __call__(self, *given: Any, **named: Any) -> Any:
        """What the function gives."""
        return self.function(*given, **named)


EQUATIONS: dict[str, Equation] = {}


def equation(source: str, where: str, seen: bool
             ) -> Callable[[Callable[..., Any]], Callable[..., Any]]:
    """Register a function as the equation of the quantity it is named after.

    ``source`` is a key of ``data/sources.csv``; ``seen`` says whether the form was read in the
    publication (True) or is remembered (False).
    """
    def register(function: Callable[..., Any]) -> Callable[..., Any]:
        name = function.__name__
        if name in EQUATIONS and EQUATIONS[name].function.__module__ != function.__module__:
            raise ValueError(f"two equations are named {name}")
        EQUATIONS[name] = Equation(name, function, source, where, seen)
        return function
    return register


def working(function: Callable[..., Any]) -> Callable[..., Any]:
    """Register a step of the plan's own arithmetic, which no publication prints."""
    return equation("HAYMOW", "docs/how-it-works.md", True)(function)


@functools.cache
def parameters(function: Callable[..., Any]) -> list[str]:
    """Names of the quantities a function needs.

    >>> parameters(lambda milk_kg_per_day, breeds: 0)
    ['milk_kg_per_day', 'breeds']
    """
    return list(inspect.signature(function).parameters)


class Node(np.lib.mixins.NDArrayOperatorsMixin):
    """One operation of a formula: what is done, to what."""

    def __init__(self, what: Any, *parts: Any) -> None:
        self.what, self.parts = what, parts

    def __bool__(self) -> bool:
        raise TypeError("a Python 'if', 'and', 'or' or chained comparison cannot become a formula;"
                        " use np.where, & and |")

    def __array_ufunc__(self, ufunc: Any, method: str, *parts: Any, **options: Any) -> Node:
        if ufunc is np.negative:
            return Node(np.multiply, -1.0, *parts)
        if method != "__call__" or (ufunc not in CALLS and ufunc not in SIGNS):
            raise TypeError(_refusal(ufunc.__name__))
        return Node(ufunc, *parts)

    def __array_function__(self, function: Any, types: Any, parts: Any, options: Any) -> Node:
        if function is np.where and len(parts) == 3:
            return Node("IF", *parts)
        if function is np.clip:
            return Node(np.minimum, Node(np.maximum, parts[0], parts[1]), parts[2])
        raise TypeError(_refusal(function.__name__))


def _refusal(name: str) -> str:
    return f"np.{name} is not in the dialect of equations; {INSTEAD.get(name, 'see DEVELOPERS.md')}"


def symbolic(*values: Any) -> bool:
    """Whether a formula is being traced."""
    return any(isinstance(value, Node) for value in values)


def typed_or(value: Any, other: Any) -> Any:
    """``value`` where somebody typed one, else ``other``.

    >>> float(typed_or(np.nan, 3.0))
    3.0
    """
    if symbolic(value, other):
        return Node("IF", Node("ISNUMBER", value), value, other)
    return np.where(np.isnan(value), other, value)


def if_needed(value: Any, needed: Any, other: Any = 0.0) -> Any:
    """``value``; without one: unknown where it is needed, else ``other``.

    For typed values only; it does not switch a typed value off (use ``where`` for that).
    """
    if symbolic(value, needed, other):
        return Node("IF", Node("ISNUMBER", value), value, Node("IF", needed > 0, '""', other))
    return np.where(np.isnan(value), np.where(np.asarray(needed) > 0, np.nan, other), value)


def chosen(number: Any, *alternatives: Any) -> Any:
    """The alternative with this number, from 1; those not chosen may be unknown.

    >>> float(chosen(2.0, np.nan, 7.0))
    7.0
    """
    if symbolic(number, *alternatives):
        return Node("CHOOSE", number, *alternatives)
    shape = np.broadcast_shapes(np.shape(number), *map(np.shape, alternatives))
    number = np.broadcast_to(number, shape)
    known = np.where(np.isnan(number), 1, number).astype(int) - 1
    picked = np.choose(known, [np.broadcast_to(a, shape) for a in alternatives])
    return np.where(np.isnan(number), np.nan, picked)


def ratio(top: Any, bottom: Any, other: Any) -> Any:
    """``top`` / ``bottom``, or ``other`` where bottom is zero."""
    if symbolic(top, bottom, other):
        return Node("IF", bottom == 0, other, top / bottom)
    bottom = np.asarray(bottom, float)
    return np.where(bottom == 0, other, top / np.where(bottom == 0, 1, bottom))


def piecewise(x: Any, points: tuple[tuple[float, Any], ...]) -> Any:
    """A line through ``points`` (x, y), level beyond both ends; y may be quantities.

    >>> float(piecewise(15.0, ((10.0, 1.0), (20.0, 3.0))))
    2.0
    """
    value: Any = points[0][1]
    for (x0, y0), (x1, y1) in itertools.pairwise(points):
        value = value + np.clip((x - x0) / (x1 - x0), 0.0, 1.0) * (y1 - y0)
    return value


def only_if(condition: Any, value: Any) -> Any:
    """``value`` where the condition holds, else unknown.

    >>> float(only_if(np.array(1.0) > 0, 5.0))
    5.0
    """
    if symbolic(condition, value):
        return Node("IF", condition, value, '""')
    return np.where(condition, value, np.nan)


def is_missing(value: Any) -> Any:
    """1 where the value is not known, else 0."""
    if symbolic(value):
        return Node("IF", Node("ISNUMBER", value), 0.0, 1.0)
    return np.where(np.isnan(value), 1.0, 0.0)


def normal_chance(z: Any) -> Any:
    """Chance, 0 to 1, that a standard normal number is at most ``z``.

    >>> round(float(normal_chance(1.645)), 3)
    0.95
    """
    if symbolic(z):
        return Node("NORMSDIST", z)
    from scipy.special import ndtr  # takes a while to load, and few quantities ask for it

    return ndtr(z)


def month_of_year(day: Any) -> Any:
    """Number of the month, 1 to 12, that holds a day.

    >>> float(month_of_year(46296.0))
    10.0
    """
    if symbolic(day):
        return Node("MONTH", day)
    day = np.asarray(day, float)
    known = ~np.isnan(day)
    date = np.datetime64("1899-12-30") + np.where(known, day, 0).astype(int)
    month = (date.astype("M8[M]") - date.astype("M8[Y]").astype("M8[M]")).astype(float) + 1
    return np.where(known, month, np.nan)


def month_start(day: Any, later: Any) -> Any:
    """First day of the month ``later`` months after the one that holds ``day`` (day numbers)."""
    if symbolic(day, later):
        return Node("DATE", Node("YEAR", day), Node("MONTH", day) + later, 1.0)
    epoch = np.datetime64("1899-12-30")
    day, later = np.broadcast_arrays(np.asarray(day, float), np.asarray(later, float))
    known = ~(np.isnan(later) | np.isnan(day))
    month = (epoch + np.where(known, day, 0).astype(int)).astype("M8[M]")
    month = month + np.where(known, later, 0).astype(int)
    return np.where(known, (month.astype("M8[D]") - epoch).astype(float), np.nan)
