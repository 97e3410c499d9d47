"""The plan's own arithmetic: what stands between the handbook's equations.

Importing this package fills ``haymow.dialect.EQUATIONS`` with the steps and the handbook.
"""

from .. import equations
from . import (
    answers,
    balance,
    calendar,
    feeding,
    herd,
    lines,
    minerals,
    needs,
    products,
    quality,
    weather,
)

__all__ = [
    "answers",
    "balance",
    "calendar",
    "equations",
    "feeding",
    "herd",
    "lines",
    "minerals",
    "needs",
    "products",
    "quality",
    "weather",
]
