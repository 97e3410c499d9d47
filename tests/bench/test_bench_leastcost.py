"""How long the cheapest season takes beside the bare solver: 12 groups, 12 months, 15 products.

Aimed at: 0.2 s without buying units, 5 s with them at a gap of 1e-3.
"""

from __future__ import annotations

import random
from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, linprog, milp

from haymow.leastcost import Wishes, least_cost
from haymow.leastcost.building import build
from haymow.leastcost.reading import as_now, facts
from haymow.leastcost.solving import Solver
from random_ranch import random_ranch

KINDS = (  # CP, TDN, $ a ton, Ca, P; lowest and highest: cube, grain, distillers, fiber, meal
    (25, 45, 65, 72, 410, 550, 0.3, 0.5, 0.8, 1.2), (8, 12, 75, 80, 170, 230, 0.02, 0.04, 0.2, 0.3),
    (24, 30, 75, 82, 220, 300, 0.04, 0.06, 0.7, 0.9),
    (12, 20, 60, 72, 190, 260, 0.4, 0.6, 0.4, 0.6),
    (35, 50, 70, 80, 350, 500, 0.2, 0.4, 0.6, 1.0))
UNITS = {f"Feed {number}": (1.0, 24.0, 24.0, 12.0, 1.0)[number % 5] for number in range(15)}


def season_ranch(seed: int):
    """A big ranch without holes; every feed can be bought, grain and distillers are limited."""
    draw = random.Random(seed)
    ranch = random_ranch(2, groups=12, months=12, us=True, holes=0.0)
    feeds = {}
    for number in range(15):
        ends = KINDS[number % 5]
        cp, tdn, usd, ca, p = (draw.uniform(*ends[2 * k:2 * k + 2]) for k in range(5))
        feeds[number + 2] = {
            "product": f"Feed {number}", "purpose": "CP", "price": round(usd), "loss_pct": 3,
            "basis": "as fed", "reported.dm": 90, "reported.cp": cp, "reported.tdn": tdn,
            "reported.ca": ca, "reported.p": p, "reported.rdp": draw.uniform(35, 70)}
        if number % 5 in (1, 2):
            feeds[number + 2] |= {"most_pct_bw": 0.25 * (number % 5), "given_up": 0.3}
    entries = {**ranch.entries, "Supplements": feeds, "Plan": {}}
    return replace(ranch, entries=entries, sizes={**ranch.sizes, "product": 17},
                   settings={**ranch.settings, "intake_response_pct": 0})


@pytest.fixture(params=[1, 2, 3], scope="module")
def ranch(request):
    return season_ranch(request.param)


@pytest.fixture(params=["plain", "units"], scope="module")
def ready(request, ranch):
    return facts(Wishes(units=UNITS if request.param == "units" else {}), as_now(ranch))


def test_read_the_facts(benchmark, ranch):
    benchmark.pedantic(facts, (Wishes(), as_now(ranch)), rounds=5, warmup_rounds=1)


def test_build_and_solve(benchmark, ready):
    benchmark.pedantic(lambda: Solver(build(ready)).cheapest(), rounds=3)


def test_the_bare_solver_on_the_same_matrix(benchmark, ready):
    solver = Solver(build(ready))
    program, split = solver.program, solver.split
    cost = program.cost / program.cost.max()
    if solver.whole.any():
        rows = LinearConstraint(solver.matrix, program.least, program.most)
        benchmark.pedantic(lambda: milp(
            cost, integrality=solver.whole, bounds=Bounds(solver.low, solver.high),
            constraints=rows, options={"mip_rel_gap": 1e-3}), rounds=3)
    else:
        ends = np.stack([solver.low, solver.high], axis=1)
        benchmark.pedantic(lambda: linprog(cost, split.under, split.right, split.equal,
                                           split.equals, ends, method="highs"), rounds=3)


def test_the_whole_answer_with_three_sets(benchmark, ranch):
    benchmark.pedantic(least_cost, (ranch,), rounds=2)
