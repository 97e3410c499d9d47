"""Solve a season: first plainly; where that is impossible, what must stay short, then the rest."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from scipy import sparse
from scipy.optimize import Bounds, LinearConstraint, linprog, milp

from ..problems import InputError
from .building import Season
from .program import Array, Program
from .reading import RATIO_TIER

__all__ = ["Answer", "Solver"]

INFEASIBLE = 2  # status of both solvers
ROOM = 1e-5  # share of a need by which a shortage found may be exceeded: the solver's tolerances


@dataclass(frozen=True)
class Answer:
    """Values of all columns, their cost, what a unit more in each row costs, and how close."""

    x: Array
    usd: float
    row_usd: Array | None
    gap: float
    complete: bool


class Solver:
    """One season's matrix, solved with changing limits of its columns."""

    def __init__(self, season: Season) -> None:
        self.season, self.program = season, season.program
        self.low, self.high = season.program.low, season.program.high
        self.whole = season.program.whole
        self.matrix = season.program.matrix()
        self.split = _Split(season.program, self.matrix)
        self.choosing = self.whole.copy()  # whole choices, buying units not rounded
        for orders in season.orders.values():
            self.choosing[orders] = 0.0

    def cheapest(self, high: Array | None = None, whole: Array | None = None
                 ) -> tuple[Answer, Array]:
        """The cheapest season in which as little stays short as can be, and its highest limits.

        ``high`` are other highest values of the columns (products that are not to be used),
        ``whole`` which hold whole numbers. The limits that come back hold the slack of what stays
        short.
        """
        high = self.high if high is None else high
        whole = self.whole if whole is None else whole
        answer = self.solve(self.program.cost, high, whole)
        if answer is not None:
            return answer, high
        high, last = self.least_short(high)
        answer = self.solve(self.program.cost, high, whole) or self._held(
            self.program.cost, high, last)
        assert answer is not None  # the last tier's own choices are possible
        return answer, high

    def least_short(self, high: Array) -> tuple[Array, Answer]:
        """Highest limits that leave just the slack that is needed, tier after tier; the last one.

        The solver has called whole choices impossible that it had just made itself: these are then
        held for the next tier.
        """
        high, season = high.copy(), self.season
        last = Answer(np.zeros(0), 0.0, None, 0.0, True)
        blocks = [*zip((need.tier for need in season.facts.needs), season.slack, strict=True),
                  (RATIO_TIER, season.ratio_slack)]
        for _, block in blocks:
            high[block] = np.inf
        for tier in sorted({tier for tier, _ in blocks}):
            cost = np.zeros(self.program.columns)
            slack = np.concatenate([b.reshape(-1) for at, b in blocks if at == tier])
            cost[slack] = 1.0
            found = self.solve(cost, high, self.choosing) or self._held(
                cost, high, last)
            assert found is not None  # nothing fed and all short is always possible
            last = found
            high[slack] = np.maximum(found.x[slack], 0.0) * (1 + ROOM) + ROOM
        return high, last

    def solve(self, cost: Array, high: Array, whole: Array, low: Array | None = None
              ) -> Answer | None:
        """The cheapest values of all columns; None where there are none."""
        low = self.low if low is None else low
        scale = np.abs(cost).max() or 1.0
        if whole.any():
            return self._whole(cost, low, high, whole)
        split = self.split
        found = linprog(cost / scale, split.under, split.right, split.equal, split.equals,
                        np.stack([low, high], axis=1), method="highs")
        if found.status == INFEASIBLE:
            return None
        _check(found.status, found.message)
        return Answer(found.x, float(cost @ found.x), split.rows(found) * scale, 0.0, True)

    def _whole(self, cost: Array, low: Array, high: Array, whole: Array) -> Answer | None:
        found = self._searched(cost, low, high, whole, presolve=True)
        if found.status == INFEASIBLE:
            # the solver's presolve has called possible seasons impossible: look twice
            if self.solve(cost, high, np.zeros_like(whole), low) is None:
                return None
            found = self._searched(cost, low, high, whole, presolve=False)
            if found.status == INFEASIBLE:
                return None
        if found.x is None:
            raise InputError(f"No season of whole numbers was found in {self._seconds:g} s; allow"
                             " more seconds, or wish for less.")
        fixed = self._fixed(cost, low, high, found.x, np.flatnonzero(whole))
        x = found.x if fixed is None else fixed.x
        return Answer(x, float(cost @ x), None, float(found.mip_gap or 0.0), found.status == 0)

    @property
    def _seconds(self) -> float:
        return self.season.facts.wishes.seconds

    def _searched(self, cost: Array, low: Array, high: Array, whole: Array, presolve: bool) -> Any:
        rows = LinearConstraint(self.matrix, self.program.least, self.program.most)
        return milp(cost / (np.abs(cost).max() or 1.0), integrality=whole,
                    bounds=Bounds(low, high), constraints=rows,
                    options={"mip_rel_gap": self.season.facts.wishes.gap, "presolve": presolve,
                             "time_limit": self._seconds})

    def _fixed(self, cost: Array, low: Array, high: Array, x: Array, columns: Array
               ) -> Answer | None:
        """The same with whole numbers held, so that none is whole by tolerance only."""
        low, high = low.copy(), high.copy()
        low[columns] = high[columns] = np.round(x[columns])
        found = self.solve(cost, high, np.zeros_like(self.whole), low)
        if found is None:  # whole by tolerance only: what that was worth may stay short
            for slack in (*self.season.slack, self.season.ratio_slack):
                high[slack] = np.maximum(high[slack], ROOM)
            found = self.solve(cost, high, np.zeros_like(self.whole), low)
        return found

    def _held(self, cost: Array, high: Array, last: Answer) -> Answer | None:
        """The cheapest with the choices of another answer; units bought are rounded up."""
        found = self._fixed(cost, self.low, high, last.x, np.flatnonzero(self.choosing))
        if found is None:
            return None
        x = found.x.copy()
        for orders in self.season.orders.values():
            x[orders] = np.ceil(x[orders] - ROOM)
        return replace(found, x=x, usd=float(cost @ x))

    def priced(self, answer: Answer, high: Array) -> Answer:
        """The same with what a unit more costs: choices fixed, buying units not rounded."""
        if answer.row_usd is not None:
            return answer
        columns = np.concatenate([np.zeros(0, int), *self.season.whole_choices])
        found = self._fixed(self.program.cost, self.low, high, answer.x, columns)
        assert found is not None  # the answer itself is within these limits
        return found


def _check(status: int, message: str) -> None:
    if status != 0:
        raise RuntimeError(f"the solver stopped without an answer: {message}")


class _Split:
    """Rows as linprog wants them: at most, and equal; and the way back."""

    def __init__(self, program: Program, matrix: sparse.csr_array) -> None:
        least, most = program.least, program.most
        even = least == most
        upper, lower = np.isfinite(most) & ~even, np.isfinite(least) & ~even
        self.even, self.upper, self.lower = map(np.flatnonzero, (even, upper, lower))
        self.under = sparse.vstack([matrix[self.upper], -matrix[self.lower]], format="csr")
        self.right = np.concatenate([most[self.upper], -least[self.lower]])
        self.equal, self.equals = matrix[self.even], least[self.even]
        self.count = program.rows

    def rows(self, found: object) -> Array:
        """What a unit more on the right side of each row costs."""
        usd = np.zeros(self.count)
        under = found.ineqlin.marginals  # type: ignore[attr-defined]
        np.add.at(usd, self.upper, under[:len(self.upper)])
        np.add.at(usd, self.lower, -under[len(self.upper):])
        usd[self.even] = found.eqlin.marginals  # type: ignore[attr-defined]
        return usd
