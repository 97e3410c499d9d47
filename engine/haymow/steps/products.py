"""A product: its limits, price and losses, as the lines use them."""

import numpy as np

from ..dialect import typed_or, working

__all__ = [
    "delivered_usd_per_tonne", "freight_used_usd_per_tonne", "given_up_used",
    "label_dm_kg_per_day", "loss_used_pct", "month_usd_per_tonne", "most_used_pct_bw",
    "product_cap_kg_per_day", "product_cap_used_kg_per_day", "used",
]

NO_LIMIT = 9999.0  # kg/day or % of body weight: no cap


@working
def used(product_no):
    """0 for the row "none", else 1."""
    return np.where(product_no > 1, 1.0, 0.0)


@working
def product_cap_kg_per_day(most_kg_per_day, dm_known_pct_as_fed):
    """The product's own daily limit, dry matter."""
    return most_kg_per_day * dm_known_pct_as_fed / 100


@working
def product_cap_used_kg_per_day(product_cap_kg_per_day):
    """The product's own daily limit; none where none is typed."""
    return typed_or(product_cap_kg_per_day, NO_LIMIT)


@working
def most_used_pct_bw(most_pct_bw, dm_known_pct_as_fed):
    """The product's limit by body weight, as fed; none where none is typed."""
    return typed_or(most_pct_bw, NO_LIMIT)


@working
def label_dm_kg_per_day(label_intake_kg_per_day, dm_known_pct_as_fed):
    """The label's intake, dry matter."""
    return label_intake_kg_per_day * dm_known_pct_as_fed / 100


@working
def given_up_used(given_up, used):
    """Forage given up per part of product; none where none is typed."""
    return typed_or(given_up, 0.0)


@working
def freight_used_usd_per_tonne(freight_usd_per_tonne):
    """Freight; none where none is typed."""
    return typed_or(freight_usd_per_tonne, 0.0)


@working
def loss_used_pct(loss_pct, usual_loss_pct):
    """Storage and feeding loss: typed, else usual for how it is fed, else none counted."""
    return typed_or(loss_pct, typed_or(usual_loss_pct, 0.0))


@working
def delivered_usd_per_tonne(price_usd_per_tonne, freight_used_usd_per_tonne):
    """Price with freight."""
    return price_usd_per_tonne + freight_used_usd_per_tonne


@working
def month_usd_per_tonne(month_price_usd_per_tonne, price_usd_per_tonne, freight_used_usd_per_tonne):
    """Delivered price of a month: the month's own where one is typed."""
    return typed_or(month_price_usd_per_tonne, price_usd_per_tonne) + freight_used_usd_per_tonne
