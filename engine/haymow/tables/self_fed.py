"""Self-fed: what is put out for them to eat as they like, and what if they eat half or double."""

from __future__ import annotations

from typing import Any

from .book import Table
from .kinds import Calc, Link, Names, Pull
from .shorthand import calcs, group_link, group_name, keys, pulls, row_key, shown

__all__ = ["self_fed"]

BLOCK: dict[str, Any] = {"over": "mineral"}
PURPOSE: dict[str, Any] = {"member": "purpose_row"}
TIMES = (("once", "as expected"), ("double", "at twice the intake"),
         ("triple", "at three times the intake"))


def self_fed() -> Table:
    """One row a feeding line that is eaten as they like, in its first month."""
    return Table("SelfFed", ("group", "line"), (
        row_key(), *keys("group", "line"), group_name(),
        Pull(name="product", via="plan_row", of="product", label="Product", front=True),
        *[Calc(name=name, front=True) for name in ("label_oz_per_day", "label_g_per_day")],
        Pull(name="purpose", via="purpose_row", of="nutrient", label="Fed for", front=True),
        Calc(name="half_pct_of_need", front=True),
        Pull(name="expected_pct_of_need", via="balance_row", of="pct_of_need", front=True,
             **PURPOSE),
        Calc(name="double_pct_of_need", front=True),
        *[Names(name=f"high_{name}", of=f"over_{name}", used="self_eaten_kg_per_day",
                label=f"Above the limit {words}, as far as known",
                front=True) for name, words in TIMES],
        *shown("salt_limit_kg_per_day"), Calc(name="salt_of_mix_pct", front=True),
        Calc(name="level_brought", label="Brings of the level wanted, %", measure="share",
             front=True, **BLOCK),
        group_link(),
        Link(name="plan_row", to="Plan", on=("group_no", "line_no"), label="Row on Plan"),
        *pulls("plan_row", "first_fed_no mode_no used"),
        Pull(name="purpose_row", via="plan_row", of="purpose_row", to="Nutrients",
             label="Nutrient no."),
        Pull(name="product_row", via="plan_row", of="product_row", to="Supplements",
             label="Row on Supplements"),
        Calc(name="month_fed_no"),
        Link(name="amounts_row", to="Amounts", on=("group_no", "month_fed_no", "line_no"),
             label="Row on Amounts"),
        *[Link(name=f"{table.lower()}_row", to=table, on=("group_no", "month_fed_no"),
               label=f"Row on {table}") for table in ("Minerals", "Balance", "Needs")],
        *pulls("amounts_row", "amount_kg_per_day"),
        *pulls("product_row", "label_intake_kg_per_day dm_known_pct_as_fed"),
        Pull(name="product_pct", via="product_row", of="dry_matter", label="In the product",
             **PURPOSE),
        Pull(name="per_kg_of_purpose", via="purpose_row", of="per_kg"),
        Pull(name="needed", via="needs_row", of="need", label="Need", **PURPOSE),
        *pulls("needs_row", "shrunk_weight_kg"), *pulls("minerals_row", "diet_dm_kg_per_day"),
        *[Pull(name=name, via="minerals_row", of=name, inline=True, **BLOCK)
          for name in ("in_diet", "most", "level")],
        Pull(name="holds", via="product_row", of="dry_matter", inline=True, **BLOCK),
        *calcs("self_eaten_kg_per_day self_fed_pct_of_need salt_limit_kg_per_day"),
        Calc(name="mix_feed_kg_per_day"),
        *[Calc(name=f"over_{name}", label=f"Above {words}", **BLOCK) for name, words in TIMES],
    ), sheet="Put out", purpose="What is put out, in its first month of feeding: what it brings,"
                                 " and what if they eat half, twice or three times. Weigh what is"
                                 " gone every week or two.")
