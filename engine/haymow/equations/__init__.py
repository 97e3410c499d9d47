"""The handbook: pure equations, each named after the quantity it gives.

Importing this package fills ``haymow.dialect.EQUATIONS``.
"""

from . import (
    amounts,
    condition,
    delivery,
    energy,
    forage,
    growth,
    hay,
    intake,
    intake_rules,
    measures,
    minerals,
    months,
    nitrate,
    protein,
    ratios,
    safety,
    supply,
    surety,
    tags,
    water,
    weather,
)

__all__ = [
    "amounts", "condition", "delivery", "energy", "forage", "growth", "hay", "intake",
    "intake_rules", "measures", "minerals", "months", "nitrate", "protein", "ratios", "safety",
    "supply", "surety", "tags", "water", "weather",
]
