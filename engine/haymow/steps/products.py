"""A product: its price and losses, as the lines use them."""

import numpy as np

from ..dialect import typed_or, working

__all__ = [
    "delivered_usd_per_tonne", "freight_used_usd_per_tonne", "given_up_used",
    "label_dm_kg_per_day", "loss_used_pct", "month_usd_per_tonne", "used",
]


@working
def used(product_no):
    """0 for the row "none", else 1."""
    return np.where(product_no > 1, 1.0, 0.0)


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
