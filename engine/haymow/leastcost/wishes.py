"""What the user allows and asks of the cheapest season."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from ..problems import InputError, within
from ..tables.small import NUTRIENTS

__all__ = ["Wishes"]

NUMBERS = {  # lowest, highest, unit; of what may be a number or nothing
    "margin_pct": (0, 50, "%"), "most_products": (0, 50, "products"),
    "most_per_group": (1, 50, "products"), "most_feeds_pct_bw": (0, 5, "% of body weight"),
    "storage_usd_per_ton_month": (0, 1000, "$"), "times_per_week": (0, 14, "times a week"),
    "trip_usd": (0, 10_000, "$"), "sets": (1, 10, "sets"), "gap": (0, 0.5, "of the cost"),
    "seconds": (0.1, 36_000, "seconds"),
}


@dataclass(frozen=True)
class Wishes:
    """Choices of the user, in the ranch's own units; everything is left as it is by default.

    Tons are tonnes in a metric ranch. Products, forages and groups are meant by their names.

    Parameters
    ----------
    products : names
        Which may be bought; empty: every product with a price.
    needs : keys of nutrients
        Which needs must be met; a need that is not known is left out in any case.
    minerals : bool
        Whether levels and limits of minerals and vitamins count too, where known.
    margin_pct : float
        To be met beyond each need.
    keep : names
        Feeding lines with these products stay as they are; None: what is put out for them to eat
        as they like (a mineral), unless minerals count.
    most_products, most_per_group : int
        At most so many on the ranch; in one group.
    most_feeds_pct_bw : float
        Most of all feeds together, as fed, by body weight.
    units : product -> tons
        Bought only in whole bags, pallets or truckloads of so many tons.
    on_hand : product -> tons
        Already there, not paid again.
    storage_usd_per_ton_month : float
        Cost of keeping a ton for a month; None: what has prices by month is bought as it is fed.
    times_per_week, trip_usd : float
        How often feeds are brought out (0: as often as Plan says, else daily), and what a trip to
        a group costs.
    forages : group -> names
        Forages that may be shared out to it, in the months in which it eats one of them.
    forage_on_hand : forage -> tons
        As fed, losses taken off; only counted for forages that are shared out.
    sets : int
        How many product sets to show side by side.
    gap, seconds : float
        Within what share of the cheapest whole-number answer, and how long, to look.
    """

    products: tuple[str, ...] = ()
    needs: tuple[str, ...] = NUTRIENTS
    minerals: bool = False
    margin_pct: float = 0.0
    keep: tuple[str, ...] | None = None
    most_products: int | None = None
    most_per_group: int | None = None
    most_feeds_pct_bw: float | None = None
    units: Mapping[str, float] = field(default_factory=dict)
    on_hand: Mapping[str, float] = field(default_factory=dict)
    storage_usd_per_ton_month: float | None = None
    times_per_week: float = 0.0
    trip_usd: float = 0.0
    forages: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    forage_on_hand: Mapping[str, float] = field(default_factory=dict)
    sets: int = 3
    gap: float = 1e-3
    seconds: float = 60.0

    def __post_init__(self) -> None:
        for name, limits in NUMBERS.items():
            if getattr(self, name) is not None:
                within(name, getattr(self, name), *limits)
        for need in self.needs or ("",):
            if need not in NUTRIENTS:
                raise InputError(f"needs has '{need}'; expected some of {', '.join(NUTRIENTS)}.")
        for what in (self.units, self.on_hand, self.forage_on_hand):
            for name, tons in what.items():
                within(f"the amount of {name}", tons, 0, 1e6, "tons")
        if 0 in self.units.values():
            raise InputError("a buying unit is 0 tons; expected more.")
