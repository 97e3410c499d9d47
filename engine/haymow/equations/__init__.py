"""The handbook: pure equations, each named after the quantity it gives.

Importing this package fills ``haymow.dialect.EQUATIONS``.
"""

from . import (
    condition,
    energy,
    forage,
    growth,
    intake,
    intake_rules,
    measures,
    minerals,
    months,
    nitrate,
    protein,
    ratios,
    supply,
    tags,
    water,
    weather,
)

__all__ = [
    "condition", "energy", "forage", "growth", "intake", "intake_rules", "measures", "minerals",
    "months", "nitrate", "protein", "ratios", "supply", "tags", "water", "weather",
]
