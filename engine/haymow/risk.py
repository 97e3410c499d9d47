"""How sure it is that needs are met, by draws of what forages hold; the chance to size to.

The workbook has the same chances in closed form (sheet "How sure"). The draws know nothing of that
formula: they draw each forage's content, mix the diet, and count.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from .evaluate import Values
from .problems import Problem, within
from .ranch import Ranch
from .samples import day_of
from .steps.surety import NEAR_ERRORS
from .tables.make import make

if TYPE_CHECKING:
    import pandas as pd

__all__ = ["Risk", "risk", "sized", "worth_of_samples"]

Array = NDArray[Any]
PARTS = (("main", "main_pct"), ("second", "second_pct_used"), ("third", "third_pct_used"))
NUTRIENTS = ("rdp", "cp", "tdn", "nem", "ca", "p")
DRAWS, SEED = 4000, 20261001
ERRORS_SHOWN = 4  # decimals of a setting
CORRELATIONS = {  # OPEN-SPREADS, between samples of hay: CP-TDN 0.3; the rest taken as none
    ("cp", "tdn"): 0.3, ("cp", "rdp"): 1.0, ("tdn", "nem"): 1.0, ("cp", "nem"): 0.3,
    ("rdp", "tdn"): 0.3, ("rdp", "nem"): 0.3,
}


@dataclass(frozen=True)
class Risk:
    """Chances, %, one row a group, month (its first day) and nutrient.

    ``chance_alone`` and ``chance_plan`` are the workbook's (NaN before the main forage has a second
    sample), ``drawn_alone`` and ``drawn_plan`` by draws. ``all_met``: by group and month the drawn
    chance, %, that all nutrients are met at once; NaN where one of them is not known.
    """

    chances: pd.DataFrame
    all_met: pd.DataFrame
    draws: int


def risk(ranch: Ranch, draws: int = DRAWS, seed: int = SEED) -> Risk:
    """Chances that forage alone, and forage with the plan, meets the needs of each group and month.

    Only what the samples leave unsure is drawn, with the setting for the spread of needs; feeds
    are taken to hold what their tag says, and intake as planned. The same seed gives the same
    draws. Raises InputError for fewer than 100 or more than a million draws.
    """
    import pandas as pd

    within("The number of draws", float(draws), 100, 1e6, "")
    values = Values(make(ranch), ranch)
    rows = [k for k, name in enumerate(values.column("Surety", "group")) if name is not None]
    frame = _keys(values, rows)
    drawn = _Drawn(values, draws, np.random.default_rng(seed))
    met = {name: drawn.met(name) for name in ("alone", "plan")}
    for new, name in (("chance_alone", "alone"), ("chance_plan", "plan")):
        frame[new] = np.stack([values.column("Surety", f"chance_{name}_pct", n)[rows]
                               for n in NUTRIENTS], axis=1).reshape(-1)
        frame[f"drawn_{name}"] = (100 * met[name].mean(-1))[:, rows].T.reshape(-1)
    whole = pd.DataFrame({"group": values.column("Surety", "group")[rows],
                          "month": _months(values, rows),
                          "all_met_alone": 100 * met["alone"].min(0).mean(-1)[rows],
                          "all_met_plan": 100 * met["plan"].min(0).mean(-1)[rows]})
    return Risk(frame, whole, draws)


def _keys(values: Values, rows: list[int]) -> pd.DataFrame:
    import pandas as pd

    count = len(NUTRIENTS)
    return pd.DataFrame({
        "group": np.repeat(values.column("Surety", "group")[rows], count),
        "month": [day for day in _months(values, rows) for _ in NUTRIENTS],
        "nutrient": np.tile(NUTRIENTS, len(rows))})


def _months(values: Values, rows: list[int]) -> list[dt.date | None]:
    return [day_of(day) for day in values.column("Surety", "month")[rows]]


class _Drawn:
    """What forages may hold: a number for each nutrient, forage and month, and draw."""

    def __init__(self, values: Values, draws: int, random: np.random.Generator) -> None:
        self.values, self.draws, self.random = values, draws, random
        middle = np.stack([values.column("Quality", "quality", n) for n in NUTRIENTS])
        error = np.stack([values.column("Quality", "quality_error", n) for n in NUTRIENTS])
        unit = self._correlated(middle.shape[1])
        self.content = middle[..., None] + error[..., None] * unit

    def _correlated(self, rows: int) -> Array:
        """Standard normal numbers (nutrient, row, draw); a forage errs alike in its nutrients."""
        size = len(NUTRIENTS)
        wanted = np.eye(size)
        for (one, other), r in CORRELATIONS.items():
            i, j = NUTRIENTS.index(one), NUTRIENTS.index(other)
            wanted[i, j] = wanted[j, i] = r
        roots, vectors = np.linalg.eigh(wanted)
        factor = vectors * np.sqrt(np.clip(roots, 0, None))
        free = self.random.standard_normal((size, rows * self.draws))
        found: Array = (factor @ free).reshape(size, rows, self.draws)
        return found

    def met(self, which: str) -> Array:
        """1 where the supply meets the need, (nutrient, group and month, draw); NaN: not known."""
        values = self.values
        eaten = values.column("Surety", "intake_kg_per_day" if which == "alone"
                              else "forage_eaten_kg_per_day")
        spread = values.setting("need_spread_pct") / 100
        found = []
        for k, name in enumerate(NUTRIENTS):
            mixed = sum(np.nan_to_num(values.column("Surety", share))[:, None] / 100
                        * self._part(k, part) for part, share in PARTS)
            per_kg = _per_kg(values, name)
            need = values.column("Surety", "needed", name)[:, None]
            need = need * (1 + spread * self.random.standard_normal((len(need), self.draws)))
            supply = mixed * per_kg * eaten[:, None]
            if which == "plan":
                supply = supply + self._feeds(name)[:, None]
            close = values.setting("met_within_pct") / 100
            ok = np.where(np.isnan(supply) | np.isnan(need), np.nan, supply >= need * (1 - close))
            found.append(ok)
        return np.stack(found)

    def _part(self, nutrient: int, part: str) -> Array:
        rows = self.values.column("Surety", f"{part}_quality")
        known = ~np.isnan(rows)
        picked = self.content[nutrient][np.where(known, rows, 1).astype(int) - 1]
        return np.where(known[:, None], picked, np.nan)

    def _feeds(self, name: str) -> Array:
        """What feeds bring: the whole diet without its forage."""
        values = self.values
        forage = values.column("Balance", "forage_eaten_kg_per_day")
        eaten = values.column("Diet", "eaten", name)
        given = eaten * _per_kg(values, name) * forage
        found: Array = values.column("Surety", "diet", name) - given
        return found


def _per_kg(values: Values, name: str) -> float:
    table = values.book.lists["nutrient"]
    row = values.book.dimensions[table.dimensions[0]].index(name)
    return float(values.column(table.name, "per_kg")[row])


def sized(ranch: Ranch, chance_pct: float = 80.0) -> tuple[Ranch, list[Problem]]:
    """The ranch with its amounts sized so that each line's nutrient is as sure.

    Two settings say so; the amounts themselves follow in the workbook, in closed form. What keeps
    the chance of a line in mode "as needed" away is told. Raises InputError for a chance outside of
    50 to 99.5 %.
    """
    from scipy.special import ndtri

    within("The wanted chance", chance_pct, 50, 99.5, "%")
    errors = round(float(ndtri(chance_pct / 100)), ERRORS_SHOWN)
    found = replace(ranch, settings={**ranch.settings, "size_to_chance": 1.0,
                                     "wanted_errors": errors})
    return found, list(_held_back(Values(make(found), found), errors, chance_pct))


def _sizable(values: Values) -> Iterator[tuple[int, int, str]]:
    """Row on Plan (from 0), group (from 0) and nutrient of the lines that may be sized."""
    lines = values.book.size("line")
    own = values.column("Plan", "own_dm_kg_per_day")
    for row, used in enumerate(values.column("Plan", "used")):
        purpose = values.column("Plan", "purpose_row")[row]
        if used == 1 and values.column("Plan", "mode_no")[row] == 1 and np.isnan(own[row]) \
                and purpose == purpose:
            name = values.book.dimensions["analyte"][int(purpose) - 1]
            if name in NUTRIENTS:
                yield row, row // lines, name


def _held_back(values: Values, errors: float, chance_pct: float) -> Iterator[Problem]:
    months = values.book.size("month")
    for row, group, name in _sizable(values):
        at = slice(group * months, (group + 1) * months)
        short = values.column("Surety", "errors_plan", name)[at] < errors - NEAR_ERRORS
        if short.any():
            told = values.column("Herd", "group")[group]
            yield Problem(f"Plan, {told}, {values.column('Plan', 'product')[row]}",
                          f"In {int(short.sum())} month(s) the chance stays below"
                          f" {chance_pct:g} %.", "look",
                          "A limit or its first and last day hold it back.")


def worth_of_samples(ranch: Ranch) -> Mapping[str, float]:
    """What one more sample of each forage is worth, $: protein that need not be fed for safety."""
    values = Values(make(ranch), ranch)
    names = values.column("Sampling", "forage")
    worth = values.column("Sampling", "sample_worth_usd")
    return {str(name): float(usd) for name, usd in zip(names, worth, strict=True)
            if name is not None and usd == usd}
