"""Small ranches for the cheapest season: known intake and needs, so that the gaps are known."""

from __future__ import annotations

import datetime as dt
from typing import Any

from haymow.ranch import Ranch

__all__ = ["FIRST", "fed_ranch", "gap_ranch", "hay_ranch"]

FIRST = dt.date(2026, 11, 1)  # a month of 30 days
HAY = {"cp": 5.0, "tdn": 55.0}


def gap_ranch(feeds: dict[str, dict[str, Any]], gaps: list[dict[str, float]], intake: float = 25.0,
              hay: dict[str, float] | None = None, head: int = 1, weight: float = 1200,
              **settings: float) -> Ranch:
    """One group on 25 lb of hay, short of so many pounds (Mcal, g) in each month.

    Feeds are as fed with 90 % dry matter; ``pct``: dry matter and content as they are.
    """
    forage = HAY | (hay or {})
    report = {f"reported.{name}": value for name, value in forage.items()}
    own = [{"known_intake": intake, **{
        f"own_need.{name}": intake * forage.get(name, 100.0 if name == "dm" else 0.0) / 100 + gap
        for name, gap in month.items()}} for month in gaps]
    entries: dict[str, dict[int, dict[str, Any]]] = {
        "Samples": {1: {"sample_id": "S-1", "forage": "Hay", "sampled_on": dt.date(2026, 9, 1),
                        "basis": "dry matter", "reported.dm": 90, **report}},
        "Forages": {1: {"forage": "Hay", "kind": "cool-season grass hay"}},
        "Herd": {1: {"group": "Cows", "class_name": "mature cow", "head": head, "weight": weight,
                     "first_calf_on": dt.date(2027, 4, 1), "peak_milk": 18,
                     "usual_forage": "Hay"}},
        "Diet": dict(enumerate(own, 1)),
        "Supplements": {number: {"product": name, "purpose": "CP", "basis": "as fed",
                                 "reported.dm": 90, **_typed(cells)}
                        for number, (name, cells) in enumerate(feeds.items(), 2)},
        "Plan": {},
    }
    sizes = {"group": 1, "month": len(gaps), "line": 5, "forage": 1, "product": len(feeds) + 1,
             "sample": 1}
    return Ranch(entries, {"first_month": FIRST, "most_tdn_per_cp": 12, **settings}, sizes)


def _typed(cells: dict[str, Any]) -> dict[str, Any]:
    contents = ("dm", "cp", "tdn", "rdp", "ca", "p", "s", "fat")
    return {f"reported.{name}" if name in contents else name: value
            for name, value in cells.items()}


def fed_ranch(**changes: Any) -> Ranch:
    """Two dear and two cheap feeds, three months with growing gaps of protein and energy."""
    feeds = {"Cube": {"cp": 38, "tdn": 70, "price": 475},
             "Distillers": {"cp": 27.72, "tdn": 80.1, "price": 260, "most": 3},
             "Corn": {"cp": 7.67, "tdn": 76.4, "price": 200, "most": 3, "purpose": "TDN"},
             "Alfalfa": {"cp": 17.2, "tdn": 48, "price": 180}}
    gaps = [{"cp": 0.3, "tdn": 0.5}, {"cp": 0.6, "tdn": 3.0}, {"cp": 0.8, "tdn": 4.5}]
    return gap_ranch(feeds, gaps, head=100, **changes)


def hay_ranch() -> Ranch:
    """Dry cows on good hay and cows in milk on poor hay: the wrong way round."""
    def sample(forage: str, cp: float, tdn: float) -> dict[str, Any]:
        return {"sample_id": forage, "forage": forage, "sampled_on": dt.date(2026, 9, 1),
                "basis": "dry matter", "reported.dm": 90, "reported.cp": cp, "reported.tdn": tdn}

    def cows(name: str, calves_on: dt.date, forage: str) -> dict[str, Any]:
        return {"group": name, "class_name": "mature cow", "head": 100, "weight": 1200,
                "first_calf_on": calves_on, "peak_milk": 20, "usual_forage": forage}

    entries: dict[str, dict[int, dict[str, Any]]] = {
        "Samples": {1: sample("Good hay", 12, 60), 2: sample("Poor hay", 6, 52)},
        "Forages": {1: {"forage": "Good hay", "kind": "cool-season grass hay"},
                    2: {"forage": "Poor hay", "kind": "cool-season grass hay"}},
        "Herd": {1: cows("Dry cows", dt.date(2027, 5, 1), "Good hay"),
                 2: cows("Cows in milk", dt.date(2026, 10, 1), "Poor hay")},
        "Supplements": {
            2: {"product": "Cube", "purpose": "CP", "price": 450, "basis": "as fed",
                "reported.dm": 90, "reported.cp": 38, "reported.tdn": 70},
            3: {"product": "Corn", "purpose": "TDN", "price": 200, "basis": "as fed",
                "reported.dm": 88, "reported.cp": 8, "reported.tdn": 78, "most_pct_bw": 0.5}},
    }
    sizes = {"group": 3, "month": 3, "line": 3, "forage": 3, "product": 4, "sample": 3}
    return Ranch(entries, {"first_month": dt.date(2026, 12, 1)}, sizes)
