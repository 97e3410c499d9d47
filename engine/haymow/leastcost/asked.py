"""What the workbook itself asks of the cheapest season: settings on Start, lots on Supplements."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

from ..evaluate import Values
from ..ranch import Ranch
from ..tables.make import make
from ..units import unit_of
from .wishes import Wishes

__all__ = ["asked"]


def asked(ranch: Ranch, **changes: Any) -> Wishes:
    """The wishes that stand on the sheets; ``changes`` that are not None take their place."""
    values = Values(make(ranch), ranch)
    most = values.setting("least_products")
    storage = values.setting("least_storage_usd")
    found: dict[str, Any] = {
        "most_products": None if np.isnan(most) else int(most),
        "margin_pct": _or_zero(values, "least_margin_pct"),
        "times_per_week": _or_zero(values, "least_times_per_week"),
        "storage_usd_per_ton_month": None if np.isnan(storage) else storage,
        "trip_usd": float(np.nan_to_num(values.column("Feeding", "trip_usd")).max(initial=0.0)),
        "forages": _shared(values),
        "on_hand": dict(_tons(values, "Supplements", "product", "on_hand_tonne")),
        "forage_on_hand": dict(_forage(values)),
        "units": dict(_tons(values, "Supplements", "product", "buying_unit_tonne")),
    }
    return Wishes(**found | {name: value for name, value in changes.items() if value is not None})


def _or_zero(values: Values, setting: str) -> float:
    return float(np.nan_to_num(values.setting(setting)))


def _shared(values: Values) -> dict[str, tuple[str, ...]]:
    """The lots that may go to any group, for each group."""
    rows = zip(values.column("Forages", "forage"), values.column("Forages", "shared"), strict=True)
    lots = tuple(str(lot) for lot, answer in rows
                 if lot and str(answer or "").strip().casefold() == "yes")
    return {str(group): lots for group in values.column("Herd", "group") if group and lots}


def _forage(values: Values) -> Iterator[tuple[str, float]]:
    """What will be eaten of each lot, as fed, in the ranch's tons: losses are taken off."""
    per_ton = unit_of("hay_tonne").si_per_edge(values.book.us)
    for lot, kg, dm in zip(*(values.column("OnHand", name) for name in (
            "forage", "usable_kg", "dm_pct_as_fed")), strict=True):
        if lot and not np.isnan(kg + dm):
            yield str(lot), float(kg / dm / 10 / per_ton)


def _tons(values: Values, table: str, name: str, column: str) -> Iterator[tuple[str, float]]:
    """Named rows of which so many of the ranch's tons are known."""
    per_ton = unit_of(column).si_per_edge(values.book.us)
    for row, tonnes in zip(values.column(table, name), values.column(table, column), strict=True):
        if row and not np.isnan(tonnes):
            yield str(row), float(tonnes) / per_ton
