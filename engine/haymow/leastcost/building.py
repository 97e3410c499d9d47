"""The season as one program: amounts by group, month and product, and all that hangs on them."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from .facts import Facts, Limit, Need
from .kept import named
from .program import Array, Program

__all__ = ["Season", "build"]

Parts = list[tuple[Array | float, Array]]  # coefficients and the columns they stand at
TIE = 1e-6  # of its price: keeps what is paid already from being fed for nothing
LEAST_LIMIT_KG = 0.1  # of dry matter a day: a limit of nothing is exceeded in shares of this
LEAST = 1e-9  # of a need, so that no share of it is taken of nothing


@dataclass
class Season:
    """A program and where its columns and rows stand; blocks that are not asked for are empty.

    ``amounts``: group x month x product, kg of dry matter a head and day. ``shares``: diet x group
    x month. ``slack``: for each need, group x month, the share of it that stays short;
    ``ratio_slack`` TDN above the allowed multiple of CP. ``outer_rows`` tie amounts to what is
    bought and chosen. ``over``: how far limits are exceeded, where that is asked. ``bought``: by
    product, for the season or each month, tonnes; ``orders`` whole units of it. ``chosen``: by
    product, ``chosen_in`` and ``lifting`` group x product, ``trips`` group x month, 0 or 1.
    """

    facts: Facts
    program: Program
    amounts: Array
    shares: Array
    slack: list[Array] = field(default_factory=list)
    need_rows: list[Array] = field(default_factory=list)
    need_scale: list[Array] = field(default_factory=list)
    ratio_slack: Array = field(default_factory=lambda: np.zeros((0, 0), int))
    limit_rows: list[Array] = field(default_factory=list)
    outer_rows: list[Array] = field(default_factory=list)
    over: list[Array] = field(default_factory=list)
    eaten_more: Array | None = None
    bought: dict[int, Array] = field(default_factory=dict)
    orders: dict[int, Array] = field(default_factory=dict)
    chosen: Array | None = None
    chosen_in: Array | None = None
    lifting: Array | None = None
    put_out: Array | None = None
    trips: Array | None = None

    def usd(self, x: Array) -> float:
        """What these values of the columns cost."""
        cost = self.program.cost
        cost[self.amounts[..., _stored_products(self.facts)]] = 0.0
        return float(cost @ x)

    @property
    def whole_choices(self) -> list[Array]:
        """The columns that are 0 or 1."""
        return [block.reshape(-1) for block in (self.chosen, self.chosen_in, self.lifting,
                                                self.trips, self.put_out) if block is not None]


def build(facts: Facts, open_limits: bool = False) -> Season:
    """Put the program of a season together.

    With ``open_limits`` it costs only what limits are exceeded by, each in shares of itself.
    """
    program = Program()
    most = np.where(facts.solved[..., None], facts.products.most_kg_per_day, 0.0)
    may = np.maximum(most, facts.may_rise) if open_limits else most
    amounts = program.add_columns(facts.shape, high=may,
                                  cost=0.0 if open_limits else _usd_per_kg(facts))
    season = Season(facts, program, amounts, _shares(facts, program))
    _put_out(season, most)
    if open_limits:
        _opened(season, most)
    _lift(season)
    for need in facts.needs:
        _need(season, need)
    _ratio(season)
    _forage_left(season)
    for limit in facts.limits:
        _limit(season, limit)
    _forage_on_hand(season)
    if not open_limits:
        for number in range(len(facts.products.names)):
            _purchases(season, number)
        _choices(season)
        _trips(season)
    return season


def _put_out(season: Season, most: Array) -> None:
    """What animals take by themselves is out for a month or not; then they eat what they eat."""
    self_fed = season.facts.products.self_fed
    if not self_fed.any():
        return
    amounts, eaten = season.amounts[..., self_fed], most[..., self_fed]
    season.put_out = season.program.add_columns(
        amounts.shape, high=(eaten > 0).astype(float), whole=True)
    season.outer_rows.append(season.program.add_rows(
        amounts.shape, [(1.0, amounts), (-eaten, season.put_out)], least=0.0, most=0.0))


def _opened(season: Season, most: Array) -> None:
    """How far an amount exceeds its limit."""
    over = season.program.add_columns(most.shape, cost=1 / np.maximum(most, LEAST_LIMIT_KG))
    season.program.add_rows(most.shape, [(1.0, season.amounts), (-1.0, over)], most=most)
    season.over.append(over)


def _usd_per_kg(facts: Facts) -> Array:
    """Cost of a kg of dry matter a head and day; next to nothing for what is paid when bought."""
    return np.where(_stored_products(facts), facts.usd_per_kg * TIE, facts.usd_per_kg)


def _stored_products(facts: Facts) -> Array:
    return np.array([_is_stored(facts, p) for p in range(len(facts.products.names))], bool)


def _is_stored(facts: Facts, number: int) -> bool:
    """Whether what is bought is followed apart from what is fed."""
    wishes, name = facts.wishes, facts.products.names[number]
    tons = (facts.wished(each, name) for each in (wishes.units, wishes.on_hand))
    kept = wishes.storage_usd_per_ton_month is not None and len(_prices(facts, number)) > 1
    return kept or any(each is not None for each in tons)


def _shares(facts: Facts, program: Program) -> Array:
    """Each diet's part in what a group eats in a month; together all of it."""
    may = facts.may_eat & facts.solved
    may[0] |= ~may.any(0)
    shares = program.add_columns(may.shape, high=may.astype(float))
    program.add_rows(may.shape[1:], [(1.0, np.moveaxis(shares, 0, -1))], least=1.0, most=1.0)
    return shares


def _need(season: Season, need: Need) -> None:
    """Forage and feeds bring what is needed, in shares of the need; a slack says what does not."""
    facts, program = season.facts, season.program
    known = need.known & facts.solved
    wants = np.where(known, need.wants, 1.0) * (1 + facts.wishes.margin_pct / 100)
    scale = 1 / np.maximum(np.abs(wants[0]), LEAST)
    over = np.where(known, need.has - wants, 0.0)
    within = np.abs(over) * 100 < facts.met_within_pct * wants
    over = np.where(within & (over < 0), 0.0, over)
    slack = program.add_columns(known.shape, high=0.0)
    brings = np.where(known[..., None], need.brings, 0.0) * scale[..., None]
    parts: Parts = [
        (brings, season.amounts), (np.moveaxis(over * scale, 0, -1), _last(season.shares)),
        (1.0, slack)]
    if season.eaten_more is not None:
        forage = np.where(known, need.forage, 0.0) * scale
        parts.append((forage[..., None], season.eaten_more))
    season.slack.append(slack)
    season.need_scale.append(scale)
    season.need_rows.append(program.add_rows(
        known.shape, parts, least=np.where(known, 0.0, -np.inf)))


def _last(shares: Array) -> Array:
    return np.moveaxis(shares, 0, -1)


def _ratio(season: Season) -> None:
    """No energy feed while nitrogen is short for the microbes, and never more so than forage alone.

    Where energy is short the whole diet must come down to the allowed TDN:CP; how far it does not
    is a slack that only the search for what is possible opens.
    """
    facts, program = season.facts, season.program
    over = facts.tdn_over
    known = ~np.isnan(over).any(0) & facts.solved
    over = np.where(known, over, 0.0)
    takes = np.where(known[..., None], facts.tdn_per_kg, 0.0)
    slack = program.add_columns(known.shape, high=0.0)
    must = facts.energy_short & known
    base = np.where(must, over, np.minimum(over, 0.0))  # elsewhere forage's own excess is no sin
    parts: Parts = [
        (takes, season.amounts), (np.moveaxis(base, 0, -1), _last(season.shares)),
        (-1.0, slack)]
    if season.lifting is not None:  # all that may be eaten more, so that less of it is no way out
        more = np.where(must, facts.tdn_forage * facts.lift, 0.0)
        parts.append((more[..., None], np.broadcast_to(season.lifting[:, None, :], facts.shape)))
    program.add_rows(known.shape, parts, most=np.where(known, 0.0, np.inf))
    season.ratio_slack = slack


def _lift(season: Season) -> None:
    """Forage eaten more once protein is enough: by one feed a group, the first on its lines."""
    facts, program = season.facts, season.program
    if not (facts.lift > 0).any():
        return
    per_kg = np.where(facts.solved[..., None], facts.lift_per_kg, 0.0)
    more = program.add_columns(facts.shape)
    lifting = program.add_columns((facts.shape[0], facts.shape[2]), high=1.0, whole=True)
    scale = 1 / np.maximum(per_kg, 1.0)  # a tiny gap makes a pound of feed restore very much
    program.add_rows(facts.shape, [(scale, more), (-per_kg * scale, season.amounts)], most=0.0)
    program.add_rows(facts.shape, [(1.0, more), (
        -np.broadcast_to(facts.lift[..., None], facts.shape),
        np.broadcast_to(lifting[:, None, :], facts.shape))], most=0.0)
    program.add_rows(facts.shape[:1], [(1.0, lifting)], least=1.0, most=1.0)
    season.eaten_more, season.lifting = more, lifting


def _forage_left(season: Season) -> None:
    """No more forage can be given up than is eaten."""
    facts = season.facts
    if not (facts.products.given_up > 0).any():
        return
    eaten = np.where(facts.solved, np.nan_to_num(facts.eaten), 0.0)
    season.program.add_rows(facts.solved.shape, [
        (facts.products.given_up, season.amounts),
        (-np.moveaxis(eaten, 0, -1), _last(season.shares))], most=0.0)


def _limit(season: Season, limit: Limit) -> None:
    """Feeds together keep a limit, where it is known."""
    known = ~np.isnan(limit.takes.sum(-1) + limit.room) & season.facts.solved
    takes = np.where(known[..., None], limit.takes, 0.0)
    room = np.where(known, limit.room, np.inf)
    parts: Parts = [(takes, season.amounts)]
    if season.over:
        scale = np.maximum(np.where(np.isfinite(room), room, 1.0), LEAST)
        season.over.append(season.program.add_columns(known.shape, cost=1.0))
        parts.append((-scale, season.over[-1]))
    season.limit_rows.append(season.program.add_rows(known.shape, parts, most=room))


def _forage_on_hand(season: Season) -> None:
    """Of a forage that is shared out, no more is fed than there is."""
    facts = season.facts
    names = facts.forage_names
    for name, tons in facts.wishes.forage_on_hand.items():
        number = named((name,), names, "Forages")[0]
        offered = (facts.offers == number)[..., None] & facts.may_eat
        if offered.any():
            tonnes = np.where(offered, np.nan_to_num(facts.forage_tonne), 0.0)
            season.program.add_rows((), [(tonnes.reshape(-1), season.shares.reshape(-1))],
                                    most=tons * facts.tonne_per_ton)


def _purchases(season: Season, number: int) -> None:
    """What is bought of a product: by month if its price is, in whole units if it has them."""
    facts, program, wishes = season.facts, season.program, season.facts.wishes
    name = facts.products.names[number]
    if not _is_stored(facts, number):
        return
    months = facts.shape[1]
    prices = _prices(facts, number)
    by_month = len(prices) > 1
    periods = months if by_month else 1
    unit = facts.wished(wishes.units, name)
    bought = program.add_columns((periods,), cost=0.0 if unit else prices)
    if unit:
        tonnes = unit * facts.tonne_per_ton
        orders = program.add_columns((periods,), cost=prices * tonnes, whole=True)
        program.add_rows((periods,), [(1.0, bought), (-tonnes, orders)], most=0.0)
        season.orders[number] = orders
    season.bought[number] = bought
    _stored(season, number, bought, facts.wished(wishes.on_hand, name) or 0.0)


def _prices(facts: Facts, number: int) -> Array:
    """Price a tonne, freight counted: one, or one for each month where they differ."""
    prices = facts.products.usd_per_tonne[:, number]
    return prices if (prices != prices[0]).any() else prices[:1]


def _stored(season: Season, number: int, bought: Array, on_hand: float) -> None:
    """Nothing is fed before it is there; what is kept over a month costs storage."""
    facts, program = season.facts, season.program
    months, there = facts.shape[1], on_hand * facts.tonne_per_ton
    fed = np.moveaxis(facts.tonne_per_kg[..., number], 1, 0)  # month x group
    columns = np.moveaxis(season.amounts[..., number], 1, 0)
    if len(bought) == 1:
        season.outer_rows.append(program.add_rows(
            (), [(fed.reshape(-1), columns.reshape(-1)), (-1.0, bought)], most=there))
        return
    storage = facts.wishes.storage_usd_per_ton_month
    none_kept = storage is None and not there and number not in season.orders
    left = program.add_columns((months,), high=0.0 if none_kept else np.inf,
                               cost=(storage or 0.0) / facts.tonne_per_ton)
    before = np.concatenate([[-1], left[:-1]])
    signs = np.where(before < 0, 0.0, -1.0)
    first = np.where(before < 0, there, 0.0)
    season.outer_rows.append(program.add_rows((months,), [
        (1.0, left), (signs, np.maximum(before, 0)), (-1.0, bought), (fed, columns)],
        least=first, most=first))


def _choices(season: Season) -> None:
    """At most so many products, on the ranch and in a group."""
    facts, program, wishes = season.facts, season.program, season.facts.wishes
    most = program.high[season.amounts]
    groups, _, products = facts.shape
    if wishes.most_products is not None and wishes.most_products < products:
        season.chosen = program.add_columns((products,), high=1.0, whole=True)
        _only_if(season, most, np.broadcast_to(season.chosen, facts.shape))
        program.add_rows((), [(1.0, season.chosen)], most=wishes.most_products)
    if wishes.most_per_group is not None and wishes.most_per_group < products:
        season.chosen_in = program.add_columns((groups, products), high=1.0, whole=True)
        _only_if(season, most, np.broadcast_to(season.chosen_in[:, None, :], facts.shape))
        program.add_rows((groups,), [(1.0, season.chosen_in)], most=wishes.most_per_group)


def _only_if(season: Season, most: Array, choice: Array, of: Array | float = 1.0) -> None:
    """An amount is fed only where the choice is 1."""
    of = np.broadcast_to(np.asarray(of, float), most.shape)
    season.outer_rows.append(season.program.add_rows(
        most.shape, [(of, season.amounts), (-most, choice)], most=0.0))


def _trips(season: Season) -> None:
    """A month in which a group is brought feeds costs its trips."""
    facts, program = season.facts, season.program
    if facts.wishes.trip_usd == 0:
        return
    brought = ~facts.products.self_fed
    trips = program.add_columns(facts.shape[:2], high=1.0, whole=True,
                                cost=facts.wishes.trip_usd * facts.trips_of_month)
    most = np.where(brought, program.high[season.amounts], 0.0)
    _only_if(season, most, np.broadcast_to(trips[..., None], facts.shape), brought)
    season.trips = trips

