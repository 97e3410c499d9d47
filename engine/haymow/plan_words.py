"""A plan in sentences: what stays short with it, and what is not known."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from .plan import Plan

__all__ = ["StillShort", "still_short"]


class StillShort(NamedTuple):
    """What stays short in one group, or what is not known there: ``group`` is its number."""

    group: int
    name: str
    what: str
    told: str

    def __str__(self) -> str:
        return f"{self.name}, {self.what} with the plan: {self.told}."


def still_short(planned: Plan) -> Iterator[StillShort]:
    """For each group what stays short with the plan, how far down and how long; what is unknown."""
    count = len(planned.balance) // max(len(planned.answers), 1)
    for number, group in enumerate(planned.answers["group"]):  # names may stand twice
        balance = planned.balance[number * count:(number + 1) * count]
        for what, left in (("still short", balance[balance["still_short"] == 1]),
                           ("not known", balance[balance["still_short"].isna()])):
            said: dict[str, list[str]] = {}
            for nutrient, rows in left.groupby("nutrient", sort=False):
                # cut, not rounded: what is short never reads 100 %
                down = f"down to {int(rows['pct_of_need'].min())} % " if what != "not known" else ""
                months = f"{len(rows)} month{'' if len(rows) == 1 else 's'}"
                said.setdefault(f"{down}in {months}", []).append(str(nutrient))
            if said:
                told = "; ".join(f"{', '.join(names)} {how}" for how, names in said.items())
                yield StillShort(number, str(group), what, told)
