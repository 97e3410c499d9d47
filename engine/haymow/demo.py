"""The demo ranch: an invented one, as its owner would type it in before the lab report comes."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import replace

from .quantities import quantity
from .ranch import Cell, Ranch, sizes_for
from .tables import Book, Entry
from .tables.make import make
from .units import Unit

__all__ = ["LAB_REPORT", "ranch"]

LAB_REPORT = "data/demo_lab.csv"  # in this package: the report that belongs to the demo ranch
FIRST_MONTH = dt.date(2026, 10, 1)
Row = dict[str, Cell]

FORAGES: tuple[Row, ...] = (
    {"forage": "Ridge range", "kind": "native range"},
    {"forage": "Creek pasture", "kind": "improved pasture"},
    {"forage": "Meadow hay", "kind": "cool-season grass hay"},
    {"forage": "Oat hay", "kind": "small-grain hay"},
)
HERD: tuple[Row, ...] = (
    {"group": "Spring cows", "class_name": "mature cow", "head": 180, "weight": 1250,
     "first_calf_on": dt.date(2027, 3, 10), "peak_milk": 18, "usual_forage": "Ridge range",
     "condition_score": 5},
    {"group": "Fall cows", "class_name": "mature cow", "head": 60, "weight": 1250,
     "first_calf_on": dt.date(2026, 9, 1), "peak_milk": 18, "usual_forage": "Creek pasture",
     "condition_score": 5.5},
    {"group": "First-calf heifers", "class_name": "first-calf heifer", "head": 30, "weight": 980,
     "first_calf_on": dt.date(2027, 2, 20), "calving_season_days": 45, "peak_milk": 18,
     "gain": 0.5, "mature_weight": 1200, "usual_forage": "Creek pasture",
     "condition_score": 5.5},
    {"group": "Replacement heifers", "class_name": "replacement heifer", "head": 35,
     "weight": 560, "gain": 1.0, "mature_weight": 1200, "usual_forage": "Creek pasture"},
)
PRODUCTS: tuple[Row, ...] = (  # after row 1, "none"; invented tags and prices
    {"product": "38 % cube", "purpose": "CP", "price": 440, "freight": 20, "loss_pct": 3,
     "fed_by": "cubes, on sod", "load": 12, "load_name": "feeder clicks", "npn_pct_of_cp": 0,
     "starch_pct_dm": 8,
     "basis": "as fed", "reported.dm": 90, "reported.cp": 38, "reported.tdn": 68,
     "reported.ca": 0.4, "reported.p": 1.0, "reported.rdp": 62, "reported.fat": 2.5},
    {"product": "Corn", "purpose": "TDN", "price": 190, "freight": 15, "loss_pct": 5,
     "most_pct_bw": 0.25, "cap_words": "starch", "given_up": 0.4,
     "fed_by": "cubes or meal, in a bunk or trough", "load": 25, "load_name": "buckets",
     "npn_pct_of_cp": 0,
     "starch_pct_dm": 70,
     "basis": "as fed", "reported.dm": 87, "reported.cp": 7.6, "reported.tdn": 77,
     "reported.ca": 0.03, "reported.p": 0.26, "reported.rdp": 35, "reported.fat": 3.4},
    {"product": "Dried distillers grains", "purpose": "CP", "price": 235, "freight": 25,
     "loss_pct": 12, "most_pct_bw": 0.5, "cap_words": "fat and sulfur", "given_up": 0.3,
     "fed_by": "loose by-product, in a bunk or trough", "load": 25, "load_name": "buckets",
     "npn_pct_of_cp": 0,
     "starch_pct_dm": 5,
     "basis": "as fed", "reported.dm": 89, "reported.cp": 27, "reported.tdn": 79,
     "reported.ca": 0.05, "reported.p": 0.75, "reported.rdp": 32, "reported.fat": 8,
     "reported.s": 0.6},
    {"product": "Mineral", "purpose": "P", "price": 900, "freight": 20, "label_intake": 0.2,
     "fed_by": "on their own: block, tub, mineral feeder", "load": 50, "load_name": "sacks",
     "basis": "as fed", "reported.dm": 97, "reported.cp": 0, "reported.tdn": 0,
     "reported.ca": 22, "reported.p": 5, "reported.rdp": 0, "reported.mg": 2, "reported.na": 6,
     "reported.cu": 1200, "reported.zn": 3000, "reported.mn": 2500, "reported.se": 26,
     "reported.i": 60, "reported.co": 12, "reported.vita": 300000},
)
HAY: Mapping[str, tuple[range, Row]] = {  # months of the plan (4: January) and what is eaten then
    "Spring cows": (range(4, 7), {"second": "Meadow hay", "second_pct": 30}),
    "Fall cows": (range(3, 8), {"main": "Meadow hay"}),
    "First-calf heifers": (range(3, 7), {"main": "Meadow hay"}),
    "Replacement heifers": (range(2, 8), {"main": "Oat hay"}),
}
MINERAL: Row = {"product": "Mineral", "mode": "by its own intake"}
PLAN: Mapping[str, tuple[Row, ...]] = {
    "Spring cows": ({"product": "38 % cube", "times_per_week": 3}, MINERAL),
    "Fall cows": ({"product": "Dried distillers grains", "purpose": "TDN", "times_per_week": 6},
                  MINERAL),
    "First-calf heifers": ({"product": "Corn"}, MINERAL),
    "Replacement heifers": ({"product": "Dried distillers grains", "purpose": "TDN"}, MINERAL),
}


TROUGHS = {"Fall cows": 150, "First-calf heifers": 75, "Replacement heifers": 80}
ON_HAND: Mapping[int, Row] = {  # by the number of the forage
    1: {"grazed": 6000, "growth": 1100, "harvest_pct": 25},
    2: {"grazed": 900, "growth": 2600, "harvest_pct": 35},
    3: {"bales": 520, "bale": 1180, "weighed_bales": 8, "bale_sd": 95, "store": "inside",
        "feeder": "ring with sheeted bottom", "market": 160},
    4: {"bales": 135, "bale": 1050, "store": "stacked and tarped",
        "feeder": "ring with sheeted bottom", "market": 120},
}
TRIP: Mapping[str, float] = {"trip_hours": 0.75, "wage_usd": 18}


def ranch(us: bool = True) -> Ranch:
    """The demo ranch without its lab results, in US or metric units.

    Everything about it is invented: names, animals, tags and prices.
    """
    groups = [str(row["group"]) for row in HERD]
    entries: dict[str, dict[int, Row]] = {
        "Forages": _numbered(FORAGES), "Herd": _numbered(HERD),
        "Supplements": _numbered(PRODUCTS, 2),
        "Diet": {12 * number + month: dict(HAY[group][1])
                 for number, group in enumerate(groups) for month in HAY[group][0]},
        "Plan": {3 * number + line: row for number, group in enumerate(groups)
                 for line, row in enumerate(PLAN[group], 1)},
        "OnHand": {number: dict(row) for number, row in ON_HAND.items()},
        "Feeding": {3 * number + 1: {"trough": TROUGHS[group]}
                    for number, group in enumerate(groups) if group in TROUGHS},
    }
    typed = Ranch(entries, {"first_month": FIRST_MONTH, **TRIP}, sizes_for(entries))
    return typed if us else _metric(typed)


def _numbered(rows: tuple[Row, ...], first: int = 1) -> dict[int, Row]:
    return {number: dict(row) for number, row in enumerate(rows, first)}


def _metric(typed: Ranch) -> Ranch:
    """The same ranch in kg and tonnes, as somebody would type it: three figures."""
    book = make(typed)
    entries = {table: {number: {name: _in_si(book, table, name, value)
                                for name, value in row.items()} for number, row in rows.items()}
               for table, rows in typed.entries.items()}
    return replace(typed, entries=entries, us=False)


def _in_si(book: Book, table: str, name: str, value: Cell) -> Cell:
    column = book.tables[table].at.get(name)
    if not isinstance(column, Entry) or not column.quantity or not isinstance(value, int | float):
        return value
    unit: Unit = quantity(column.quantity).unit
    factor = unit.si_per_edge(True)
    return value if factor == 1 else float(f"{value * factor:.3g}")
