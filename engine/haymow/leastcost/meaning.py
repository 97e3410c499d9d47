"""What an answer of the solver means: amounts, orders, prices of needs, limits, grazing."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import numpy as np

from ..ranch import EPOCH
from ..units import KG_PER_LB
from .building import Season
from .facts import Facts
from .program import Array
from .sets import ProductSet, amounts_of, short_of
from .solving import Answer, Solver

if TYPE_CHECKING:
    import pandas as pd

__all__ = ["amounts", "enters", "forages", "grazing", "limits", "months_of", "orders", "prices",
           "sets", "shortages", "trips", "worth_usd_per_tonne"]

WEEK = 7
LEAST_USD = 1e-6  # a unit more that costs less than this costs nothing
CENT = 0.005


def _kg_per_unit(facts: Facts) -> float:
    return KG_PER_LB if facts.ranch.us else 1.0


def months_of(facts: Facts) -> Array:
    """The first days of the plan's months, as dates for pandas."""
    known = np.nan_to_num(facts.first_days).astype("m8[D]")
    return np.asarray(np.datetime64(EPOCH, "s") + known)


def _table(facts: Facts, where: Array, **columns: Any) -> pd.DataFrame:
    """Rows of group and month (and more) for the places in ``where``; more columns behind."""
    import pandas as pd

    at = np.argwhere(where)
    names = np.array(facts.names, object)
    first = {"group": names[at[:, 0]], "month": months_of(facts)[at[:, 1]]}
    if where.ndim > 2:
        first["product"] = np.array(facts.products.names, object)[at[:, 2]]
    picked = {name: np.broadcast_to(value, where.shape)[where] for name, value in columns.items()}
    return pd.DataFrame(first | picked)


def amounts(facts: Facts, dry: Array) -> pd.DataFrame:
    """Group, month, product: as fed a head and day, tons fed and to buy, cost on the sheet."""
    as_fed = dry / facts.products.dm_pct * 100 / _kg_per_unit(facts)
    ton = facts.tonne_per_ton
    return _table(facts, dry > 0, per_head=as_fed, fed=dry * facts.fed_tonne_per_kg / ton,
                  to_buy=dry * facts.tonne_per_kg / ton, cost_usd=dry * facts.usd_per_kg)


def orders(season: Season, answer: Answer, dry: Array) -> pd.DataFrame:
    """Product by product: tons needed, on hand, and what to order, in whole units where asked."""
    import pandas as pd

    facts, ton, rows = season.facts, season.facts.tonne_per_ton, []
    for number in map(int, np.flatnonzero(dry.any((0, 1)))):
        name = facts.products.names[number]
        needed = float((dry * facts.tonne_per_kg)[..., number].sum() / ton)
        there = facts.wished(facts.wishes.on_hand, name) or 0.0
        unit = facts.wished(facts.wishes.units, name) or np.nan
        ordered, count, usd = needed, np.nan, float((dry * facts.usd_per_kg)[..., number].sum())
        if number in season.bought:
            paid = season.orders.get(number, season.bought[number])
            ordered, usd = float(answer.x[paid].sum()), float(
                season.program.cost[paid] @ answer.x[paid])
            count, ordered = (ordered, ordered * unit) if number in season.orders else (
                np.nan, ordered / ton)
        rows.append({"product": name, "needed": needed, "on_hand": there, "unit": unit,
                     "units": np.round(count), "ordered": ordered,
                     "left_over": max(there + ordered - needed, 0.0), "paid_usd": usd})
    return pd.DataFrame(rows, columns=["product", "needed", "on_hand", "unit", "units", "ordered",
                                       "left_over", "paid_usd"])


def forages(facts: Facts, shares: Array) -> pd.DataFrame:
    """Group, month, forage: tons as fed of what is shared out."""
    import pandas as pd

    found = []
    for diet in range(1, len(facts.offers)):
        offered = (facts.offers[diet] >= 0)[:, None] & facts.may_eat[diet]
        frame = _table(facts, offered & (shares[diet] > CENT), fed=shares[diet] * np.nan_to_num(
            facts.forage_tonne[diet]) / facts.tonne_per_ton)
        at = np.argwhere(offered & (shares[diet] > CENT))[:, 0]
        frame.insert(2, "forage", [facts.forage_names[facts.offers[diet, g]] for g in at])
        found.append(frame)
    if not found:
        return pd.DataFrame(columns=["group", "month", "forage", "fed"])
    return pd.concat(found).sort_values(["group", "month", "forage"], ignore_index=True)


def shortages(season: Season, answer: Answer) -> pd.DataFrame:
    """Group, month, nutrient: what stays short a head and day, and how much of the need is met."""
    import pandas as pd

    facts, found = season.facts, []
    for need, share in zip(facts.needs, short_of(season, answer), strict=False):
        wants = np.nan_to_num(need.wants[0]) * (1 + facts.wishes.margin_pct / 100)
        frame = _table(facts, share * 100 > facts.met_within_pct,
                       short=share * wants / need.si_per_shown, pct_of_need=(1 - share) * 100)
        frame.insert(2, "nutrient", need.name)
        frame.insert(3, "unit", need.unit)
        found.append(frame)
    ratio = short_of(season, answer)[-1]
    frame = _table(facts, ratio > CENT, short=np.nan, pct_of_need=np.nan)
    frame.insert(2, "nutrient", "CP for its TDN")
    frame.insert(3, "unit", "")
    filled = [each for each in (*found, frame) if len(each)]
    if not filled:
        return frame
    return pd.concat(filled, ignore_index=True)


def prices(season: Season, priced: Answer) -> pd.DataFrame:
    """Group, month, nutrient: what a unit of it more, to be met, would cost."""
    import pandas as pd

    facts, found = season.facts, []
    assert priced.row_usd is not None
    head_days = np.maximum(facts.head[:, None] * facts.days, 1)
    for need, rows, scale in zip(facts.needs, season.need_rows, season.need_scale, strict=True):
        usd = priced.row_usd[rows] * scale / head_days * need.si_per_shown
        frame = _table(facts, usd > LEAST_USD, usd_per_unit=usd)
        frame.insert(2, "nutrient", need.name)
        frame.insert(3, "unit", need.unit.partition("/")[0])
        found.append(frame)
    filled = [each for each in found if len(each)]
    return pd.concat(filled, ignore_index=True) if filled else found[0]


def worth_usd_per_tonne(season: Season, solver: Solver, priced: Answer) -> Array:
    """What a tonne to buy of each product brings in the needs it serves: group, month, product."""
    assert priced.row_usd is not None
    usd = priced.row_usd.copy()
    for rows in season.outer_rows:
        usd[rows] = 0.0
    value = (solver.matrix.T @ usd)[season.amounts]
    return np.asarray(value / np.maximum(season.facts.tonne_per_kg, 1e-12))


def enters(season: Season, solver: Solver, priced: Answer, dry: Array) -> pd.DataFrame:
    """Products that are not fed: their price, and the price at which they would enter, and where.

    Prices are as on Supplements for that month: a ton as fed, freight not counted. What animals
    take by themselves is out or not, so no price of the next pound can be given for it.
    """
    import pandas as pd

    facts, ton = season.facts, season.facts.tonne_per_ton
    open_to = season.facts.products.most_kg_per_day > 0
    worth = np.where(open_to & facts.solved[..., None],
                     worth_usd_per_tonne(season, solver, priced), -np.inf)
    rows = []
    for number in np.flatnonzero(~dry.any((0, 1)) & ~facts.products.self_fed):
        at = np.unravel_index(int(worth[..., number].argmax()), facts.shape[:2])
        freight = facts.products.freight_usd_per_tonne[number]
        enters_at = (worth[..., number][at] - freight) * ton
        rows.append({"product": facts.products.names[number],
                     "price_usd_per_ton": (facts.products.usd_per_tonne[at[1], number]
                                           - freight) * ton,
                     "enters_at_usd_per_ton": enters_at if enters_at > 0 else np.nan,
                     "group": facts.names[at[0]], "month": months_of(facts)[at[1]]})
    return pd.DataFrame(rows, columns=["product", "price_usd_per_ton", "enters_at_usd_per_ton",
                                       "group", "month"])


def limits(season: Season, solver: Solver, priced: Answer, dry: Array) -> pd.DataFrame:
    """Limits that bind: what a unit more a head and day, as fed, would save a head and day."""
    import pandas as pd

    facts = season.facts
    assert priced.row_usd is not None
    head_days = np.maximum(facts.head[:, None] * facts.days, 1)
    worth = (worth_usd_per_tonne(season, solver, priced) - facts.products.usd_per_tonne
             ) * facts.tonne_per_kg / head_days[..., None]
    worth = worth * facts.products.dm_pct / 100 * _kg_per_unit(facts)
    most = facts.products.most_kg_per_day
    binds = ((dry > 0) & (dry >= most * (1 - LEAST_USD)) & (worth > LEAST_USD)
             & ~facts.products.self_fed)
    own = _table(facts, binds, saves_usd_per_head_day=worth)
    bounds = np.array(facts.products.bounds, object)
    own.insert(3, "limit", bounds[facts.products.bound_by[binds]] if binds.any() else [])
    found = [own]
    for limit, rows in zip(facts.limits, season.limit_rows, strict=True):
        frame = _table(facts, -priced.row_usd[rows] / head_days > LEAST_USD,
                       saves_usd_per_head_day=np.nan)
        frame.insert(2, "product", "")
        frame.insert(3, "limit", limit.words)
        found.append(frame)
    filled = [each for each in found if len(each)]
    return pd.concat(filled, ignore_index=True) if filled else own


def grazing(facts: Facts, dry: Array) -> pd.DataFrame:
    """Group, month: what a week fed as in the group's cheapest month would save there."""
    daily = (dry * facts.usd_per_kg).sum(-1) / facts.days
    cheapest = np.where(facts.solved, daily, np.inf).min(1, keepdims=True)
    saves = np.where(facts.solved, (daily - cheapest) * WEEK, 0.0)
    return _table(facts, saves > CENT, saves_usd=saves)


def trips(season: Season, dry: Array) -> int:
    """Trips to all groups in the season with feeds that are brought."""
    brought = (dry[..., ~season.facts.products.self_fed] > 0).any(-1)
    return int((season.facts.trips_of_month * brought).sum())


def _how_short(short: pd.DataFrame) -> Iterator[str]:
    """Nutrient by nutrient: in how many months of groups, and how far down."""
    for nutrient, rows in short.groupby("nutrient", sort=False):
        least = rows["pct_of_need"].min()
        down = "" if np.isnan(least) else f", down to {int(least)} % of need"
        yield f"{nutrient} in {len(rows)} month{'' if len(rows) == 1 else 's'}{down}"


def sets(season: Season, found: list[ProductSet]) -> pd.DataFrame:
    """The sets side by side: products, cost, trips, what stays short."""
    import pandas as pd

    facts, rows = season.facts, []
    for rank, each in enumerate(found, 1):
        dry = amounts_of(season, each.answer)
        told = "; ".join(_how_short(shortages(season, each.answer)))
        rows.append({"rank": rank, "products": ", ".join(
                        facts.products.names[p] for p in each.products) or "none",
                     "feed_usd": float((dry * facts.usd_per_kg).sum()),
                     "trips": trips(season, dry), "cost_usd": season.usd(each.answer.x),
                     "still_short": told or "nothing"})
    return pd.DataFrame(rows)
