"""What the program starts from: the sheets' own numbers, as arrays over groups and months."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TypeVar

import numpy as np

from ..problems import Problem
from ..ranch import Ranch
from ..units import TONNE_PER_TON
from .program import Array
from .wishes import Wishes

__all__ = ["Facts", "Limit", "Need", "Products"]

Wished = TypeVar("Wished")
ROUNDING = 1e-9  # 2 times a week in 28 days are 8 trips, not 9


@dataclass(frozen=True)
class Need:
    """A need, in each diet that may be fed.

    Daily amounts a head in the engine's unit. ``has`` (before new feeds) and ``wants`` are diet x
    group x month; ``forage`` (group x month) is what a kg of forage holds, ``brings`` (group x
    month x product) what a kg of dry matter adds, forage given up counted. Needs of a lower
    ``tier`` are worked on first.
    """

    key: str
    name: str
    unit: str
    si_per_shown: float
    tier: int
    has: Array
    wants: Array
    forage: Array
    brings: Array

    @property
    def known(self) -> Array:
        """Group x month: whether it is known in every diet."""
        return np.asarray(~np.isnan(self.has + self.wants + self.forage).any(0))


@dataclass(frozen=True)
class Limit:
    """A limit on several feeds together: sum of ``takes`` * kg of dry matter <= ``room``.

    ``takes`` is group x month x product, ``room`` group x month; NaN where no limit is known.
    """

    words: str
    takes: Array
    room: Array


@dataclass(frozen=True)
class Products:
    """The feeds that may be chosen; ``rows`` are their numbers on Supplements, from 0.

    ``most_kg_per_day`` and ``bound_by`` are group x month x product: the most dry matter a head
    and day, and the number in ``bounds`` of the rule behind it; ``outermost_kg_per_day`` is what
    no animal eats more than. ``times_per_week`` is group x
    product, ``usd_per_tonne`` (freight counted) month x product, all others are by product;
    ``known`` says for each need which contents are.
    """

    rows: Array
    names: tuple[str, ...]
    dm_pct: Array
    given_up: Array
    loss_pct: Array
    usd_per_tonne: Array
    freight_usd_per_tonne: Array
    self_fed: Array
    purpose_rows: Array
    known: Mapping[str, Array]
    times_per_week: Array
    most_kg_per_day: Array
    outermost_kg_per_day: Array
    bound_by: Array
    bounds: tuple[str, ...]


@dataclass(frozen=True)
class Facts:
    """One ranch, ready to be put into a program.

    ``ranch`` is as it was given, ``groups`` are the planned ones' numbers from 0; ``solved`` (group
    x month) says where anything is known. ``eaten`` is forage a head and day, diet x group x
    month; ``offers`` (diet x group) the forage behind each diet, -1 where it is none or the one
    on the sheet; ``may_eat`` and ``forage_tonne`` are diet x group x month. ``tdn_over`` and
    ``tdn_per_kg`` are TDN less the allowed multiple of CP: before feeds (diet x group x month),
    and of a kg of each feed. ``lift`` is the most forage eaten more, and ``lift_per_kg`` that for
    a kg of feed, once protein is enough. ``kept`` are products whose lines stay, and ``kept_usd``
    is what those cost, and the lines of groups that are not planned.
    """

    ranch: Ranch
    wishes: Wishes
    groups: Array
    names: tuple[str, ...]
    head: Array
    days: Array
    first_days: Array
    weight_kg: Array
    solved: Array
    eaten: Array
    offers: Array
    may_eat: Array
    forage_tonne: Array
    products: Products
    needs: tuple[Need, ...]
    limits: tuple[Limit, ...]
    tdn_over: Array
    tdn_per_kg: Array
    tdn_forage: Array
    energy_short: Array
    lift: Array
    lift_per_kg: Array
    met_within_pct: float
    forage_names: tuple[str, ...]
    kept: tuple[str, ...]
    kept_usd: float
    notes: tuple[Problem, ...]

    @property
    def fed_tonne_per_kg(self) -> Array:
        """Tonnes fed, as fed, for a kg of dry matter a head and day: group x month x product."""
        head_days = self.head[:, None, None] * self.days[None, :, None]
        return np.asarray(head_days / self.products.dm_pct / 10)

    @property
    def tonne_per_kg(self) -> Array:
        """Tonnes to buy for the same."""
        return np.asarray(self.fed_tonne_per_kg / (1 - self.products.loss_pct / 100))

    @property
    def usd_per_kg(self) -> Array:
        """What the same costs at the prices on Supplements, with freight."""
        return self.tonne_per_kg * self.products.usd_per_tonne

    @staticmethod
    def wished(wish: Mapping[str, Wished], name: str) -> Wished | None:
        """What a wish says of a product, whatever the case of its letters."""
        return next((value for key, value in wish.items()
                     if key.strip().casefold() == name.casefold()), None)

    @property
    def tonne_per_ton(self) -> float:
        """Tonnes in one of the ranch's tons."""
        return TONNE_PER_TON if self.ranch.us else 1.0

    @property
    def trips_of_month(self) -> Array:
        """Trips to a group that is brought feeds in a month: group x month."""
        brought = ~self.products.self_fed
        times = np.where(brought, self.products.times_per_week, 0.0).max(1, initial=0.0)
        return np.asarray(np.ceil(times[:, None] * self.days / 7 - ROUNDING))

    @property
    def may_rise(self) -> Array:
        """How far a limit could be raised at all: not what animals take by themselves."""
        outermost = self.products.outermost_kg_per_day
        own = self.products.most_kg_per_day
        fixed = self.products.self_fed | ~self.solved[..., None]
        return np.asarray(np.where(fixed, np.where(self.solved[..., None], own, 0.0), outermost))

    @property
    def shape(self) -> tuple[int, int, int]:
        """Numbers of groups, months and products."""
        return (*self.solved.shape, len(self.products.names))
