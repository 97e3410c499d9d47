"""The cheapest season as it is handed out: frames in the ranch's units, and words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import TYPE_CHECKING, Any

from ..problems import Problem
from .facts import Facts
from .program import Array

if TYPE_CHECKING:
    import pandas as pd

__all__ = ["LeastCost"]

INNER = ("facts", "dry_kg_per_day", "lifting")  # not for programs that read the answer


@dataclass(frozen=True)
class LeastCost:
    """The cheapest season. Frames are in the ranch's units; ``units`` names them by column.

    ``words``: the answer in sentences. ``sheet_usd``: what the sheet's total will be once the
    choices are written, ``feed_usd`` the chosen feeds' part of it; ``cost_usd``: what was made
    least, with trips, storage, whole buying units and what is on hand. ``complete`` is False
    where time ran out; ``gap`` is how far a cheaper answer could be, as a share.

    ``amounts``: group, month, product, as fed a head and day, tons, cost. ``orders``: what to buy.
    ``forages``: what is shared out. ``shortages``: needs that cannot be met; ``remedies``: what
    would make it possible. ``prices``: what a unit of a nutrient more would cost. ``limits``:
    those that bind, and what a unit more a head and day would save. ``enters``: the price at
    which each product that is not bought would be. ``grazing``: what a week of it saves, by group
    and month. ``sets``: product sets side by side. ``facts``, ``dry_kg_per_day`` (group x month x
    product) and ``lifting`` (the product of each group that restores intake, or -1) are what
    `choices` writes from.
    """

    words: tuple[str, ...]
    sheet_usd: float
    feed_usd: float
    kept_usd: float
    cost_usd: float
    trips: int
    trip_usd: float
    gap: float
    complete: bool
    amounts: pd.DataFrame
    orders: pd.DataFrame
    forages: pd.DataFrame
    shortages: pd.DataFrame
    remedies: tuple[str, ...]
    prices: pd.DataFrame
    limits: pd.DataFrame
    enters: pd.DataFrame
    grazing: pd.DataFrame
    sets: pd.DataFrame
    units: Mapping[str, str]
    notes: tuple[Problem, ...]
    facts: Facts
    dry_kg_per_day: Array
    lifting: Array

    def as_records(self) -> dict[str, Any]:
        """The same as plain lists and words, for JSON: dates as text, unknown as None."""
        found: dict[str, Any] = {}
        for each in fields(self):
            value = getattr(self, each.name)
            if each.name not in INNER:
                found[each.name] = _records(value) if hasattr(value, "columns") else value
        found["notes"] = [vars(note) for note in self.notes]
        return found


def _records(frame: pd.DataFrame) -> list[dict[str, Any]]:
    plain = frame.assign(**{name: frame[name].dt.strftime("%Y-%m-%d") for name in ("month",)
                            if name in frame and len(frame)})
    plain = plain.astype(object).where(plain.notna(), None)
    return [{str(name): value for name, value in row.items()} for row in plain.to_dict("records")]
