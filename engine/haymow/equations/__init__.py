"""The handbook: pure equations, each named after the quantity it gives.

Importing this package fills ``haymow.dialect.EQUATIONS``.
"""

from . import (
    answers,
    balance,
    calendar,
    energy,
    feeding,
    forage,
    growth,
    herd,
    intake,
    minerals,
    months,
    needs,
    protein,
    quality,
)

__all__ = [
    "answers", "balance", "calendar", "energy", "feeding", "forage", "growth", "herd", "intake", "minerals",
    "months", "needs", "protein", "quality",
]
