"""The plan's own arithmetic: what stands between the handbook's equations.

Importing this package fills ``haymow.dialect.EQUATIONS`` with the steps and the handbook.
"""

from .. import equations
from . import (
    answers,
    balance,
    calendar,
    cards,
    condition,
    feeding,
    gain,
    herd,
    last_winter,
    lines,
    measures,
    minerals,
    needs,
    picture,
    products,
    quality,
    sampling,
    season,
    storm,
    surety,
    table_values,
    weather,
)

__all__ = [
    "answers",
    "balance",
    "calendar",
    "cards",
    "condition",
    "equations",
    "feeding",
    "gain",
    "herd",
    "last_winter",
    "lines",
    "measures",
    "minerals",
    "needs",
    "picture",
    "products",
    "quality",
    "sampling",
    "season",
    "storm",
    "surety",
    "table_values",
    "weather",
]
