"""Random ranches, seeded: holes, odd dates, unknown names, bulls, every mode, both unit systems."""

from __future__ import annotations

import datetime as dt
import random
from typing import Any

from haymow.ranch import Ranch
from haymow.tables.safety import SPECIALS
from haymow.tables.small import MODES, MONTHS, rows_of
from haymow.units import KG_PER_LB, TONNE_PER_TON

COATS = [row["coat"] for row in rows_of("coats")]
CLASSES = [row["class"] for row in rows_of("classes")]
KINDS = [row["kind"] for row in rows_of("forage_kinds")]
CURVES = list(dict.fromkeys(row["curve"] for row in rows_of("season_curves")))
SAMPLE_KINDS = [row["how"] for row in rows_of("sample_kinds")]
SUSPICIONS = [row["suspicion"] for row in rows_of("sample_suspicions")]
STAND_INS = [*(row["table_forage"] for row in rows_of("table_forages")), "Some other hay"]
FEEDS = [*(row["table_feed"] for row in rows_of("table_feeds")), "Some other feed"]
METHODS = [row["method"] for row in rows_of("feed_methods")]
PURPOSES = ["CP", "RDP", "TDN", "NEm", "Ca", "P", "DM"]
NAMES = ["Spring cows", "Fall cows", "1st-calf", "Bulls & others", "=Odd name", 'The "good" ones']


class Draw:
    """Random cells; a share of them left blank."""

    def __init__(self, seed: int, holes: float, us: bool) -> None:
        self.random, self.holes = random.Random(seed), holes
        self.lb, self.ton = (1.0, 1.0) if us else (KG_PER_LB, TONNE_PER_TON)

    def hole(self, value: Any) -> Any:
        return None if self.random.random() < self.holes else value

    def number(self, low: float, high: float, scale: float = 1.0, places: int = 2) -> Any:
        return self.hole(round(self.random.uniform(low, high) * scale, places))

    def sometimes(self, value: Any, share: float) -> Any:
        return value if self.random.random() < share else None

    def day(self, first: dt.date, span: int) -> dt.date:
        return first + dt.timedelta(self.random.randrange(span))


def random_ranch(seed: int, groups: int | None = None, months: int = 0, us: bool | None = None,
                 holes: float | None = None) -> Ranch:
    """A ranch of up to five groups, or of as many as asked for."""
    us = seed % 2 == 0 if us is None else us
    months = months or (12, 3, 4, 2, 5, 3)[seed % 6]
    draw = Draw(seed, [0, 0.03, 0.1][seed % 3] if holes is None else holes, us)
    first = dt.date(2024 + seed % 4, 1 + seed % 12, 1 + seed % 28)
    count = groups or draw.random.randrange(1, 6)
    forages = [f"Pasture {i}" if i % 2 else f"Hay {i}" for i in range(1, 3 + count // 2)]
    products = ["none", *(f"Cube {i}" for i in range(1, 4)), "Corn", "Mineral"]
    entries = {
        "Samples": _samples(draw, forages, first),
        "Curves": {len(CURVES) + 1: _curve(draw)},
        "Local": _local(draw, first),
        "Picture": {1: {"forage": draw.sometimes(draw.random.choice([*forages, "Gone"]), 0.6),
                        "drawn": draw.sometimes(draw.random.choice(["TDN", "P", "Ca"]), 0.6)}},
        "Forages": {i: {**_season(draw, forages, first), "forage": name,
                        "kind": draw.hole(draw.random.choice(KINDS)),
                        "stand_in": draw.sometimes(draw.random.choice(STAND_INS), 0.4)}
                    for i, name in enumerate(forages, 1)},
        "Herd": {i: _group(draw, i, forages, first) for i in range(1, count + 1)},
        "Forecast": {1: _storm(draw, forages, first, months, us)},
        "LastWinter": {i: _winter(draw, first) for i in range(1, count + 1)
                       if draw.random.random() < 0.6},
        "Sampling": {i: _sampling(draw, first) for i in range(1, len(forages) + 1)
                     if draw.random.random() < 0.6},
        "TwoReports": {k: {"first": f"S-{draw.random.randrange(1, 6)}",
                           "second": draw.sometimes(f"S-{draw.random.randrange(1, 6)}", 0.8)}
                       for k in (1, 3)},
        "SampleKinds": {draw.random.randrange(1, 7): {"own_sd.cp": draw.number(0.4, 3)}},
        "Diet": {}, "Calendar": {m: _weather(draw, us) for m in range(1, months + 1)
                                  if draw.random.random() < 0.5},
        "Supplements": _products(draw, products), "Plan": {}, "Feeding": {}, "Quality": {},
        "OnHand": {i: _on_hand(draw) for i in range(1, len(forages) + 1)},
    }
    sizes = {"month": months, "line": 3, **{
        dimension: max(entries[table]) + 1 for dimension, table in (
        ("group", "Herd"), ("forage", "Forages"), ("product", "Supplements"),
        ("sample", "Samples"))}}  # one spare row each, so that a hundred of them stay quick
    for group in range(count):
        for month in range(months):
            if draw.random.random() < 0.5:
                entries["Diet"][group * months + month + 1] = _month(draw, forages)
        for line in range(sizes["line"]):
            entries["Plan"][group * sizes["line"] + line + 1] = _line(draw, products, first)
            entries["Feeding"][group * sizes["line"] + line + 1] = {
                "trough": draw.sometimes(draw.number(20, 600), 0.5),
                "goes_along": draw.sometimes(draw.random.choice(["yes", "no", "perhaps"]), 0.3)}
    for _ in range(len(forages)):
        row = draw.random.randrange(sizes["forage"] * months) + 1
        entries["Quality"][row] = {"override.cp": draw.number(4, 12)}
    settings = {"first_month": None if seed % 11 == 10 else first,
                "intake_rule": draw.random.choice([None, 1, 2, 3, 4, 5]),
                "microbial_form": draw.random.choice([None, 1, 2]),
                "nitrate_scheme": draw.random.choice([None, 2, 3, 4]),
                "intake_weather": draw.random.choice([None, 1]),
                "intake_response_pct": draw.random.choice([None, 0, 20]),
                "activity_pct": draw.random.choice([None, 10]),
                "turn_out_on": draw.random.choice([None, draw.day(first, 300)]),
                "growth_year_pct": draw.random.choice([None, 60]),
                "trip_hours": draw.random.choice([None, 1]), "wage_usd": draw.random.choice(
                    [None, 18]), "trip_distance": 20, "distance_usd": draw.random.choice(
                        [None, 0.7]),
                "water_tds_ppm": draw.random.choice([None, 800, 5200, 8000, 12000]),
                "water_sulfate_ppm": draw.random.choice([None, 300, 700, 1800, 3500]),
                "water_no3n_ppm": draw.random.choice([None, 20, 150, 400]),
                "sheep_near": draw.random.choice([None, 0, 1]),
                "size_to_chance": draw.random.choice([None, 0, 1]),
                "need_spread_pct": draw.random.choice([None, 0, 5]),
                "test_usd": draw.random.choice([None, 30, 45])}
    return Ranch({table: {row: {c: v for c, v in cells.items() if v is not None}
                          for row, cells in rows.items()} for table, rows in entries.items()},
                 {name: value for name, value in settings.items() if value is not None},
                 sizes, us)


def _samples(draw: Draw, forages: list[str], first: dt.date) -> dict[int, dict[str, Any]]:
    found = {}
    for i in range(1, 2 * len(forages) + 3):
        dm = draw.number(20, 95)
        wet = draw.random.random() < 0.4
        scale = (dm or 90) / 100 if wet else 1.0
        found[i] = {
            "sample_id": f"S-{i}", "forage": draw.hole(draw.random.choice([*forages, "Nowhere"])),
            "sampled_on": draw.hole(draw.day(first, 400)), "taken": draw.sometimes("20 cores", 0.5),
            "basis": draw.hole("as fed" if wet else "dry matter"), "reported.dm": dm,
            **{f"reported.{a}": draw.number(low * scale, high * scale, places=3)
               for a, low, high in (("cp", 3, 18), ("adf", 30, 48), ("ndf", 45, 72),
                                    ("ca", 0.2, 1.2), ("p", 0.05, 0.3), ("mg", 0.08, 0.4),
                                    ("k", 0.4, 3),
                                    ("s", 0.08, 0.4), ("cu", 2, 15), ("mo", 0.2, 5),
                                    ("fe", 40, 600),
                                    ("se", 0.02, 0.5))},
            "reported.rdp": draw.sometimes(draw.number(50, 85), 0.3),
            "reported.no3n": draw.sometimes(draw.number(100, 6000), 0.3),
            "reported.fat": draw.sometimes(draw.number(1, 4), 0.6),
            **{f"reported.{a}": draw.sometimes(draw.number(low * scale, high * scale), 0.6)
               for a, low, high in (("ash", 4, 14), ("adicp", 0.4, 3), ("ndicp", 1, 5))},
            "reported.ndfd48": draw.sometimes(draw.number(35, 70), 0.6),
            "reported.ivdmd": draw.sometimes(draw.number(40, 75), 0.2),
            "nitrate_form": draw.hole(draw.random.choice(["NO3-N", "NO3", "KNO3"])),
            "reported.tdn": draw.sometimes(draw.number(42 * scale, 66 * scale), 0.6),
            **_on_its_way(draw, first)}
    for i in range(1, len(found), 4):  # a sample whose report is still to come
        found[i] = {"sample_id": f"P-{i}", "forage": draw.random.choice(forages),
                    **_on_its_way(draw, first), "planned_on": draw.day(first, 300)}
    return found


def _season(draw: Draw, forages: list[str], first: dt.date) -> dict[str, Any]:
    """A season curve, and a lot that follows on a day, for some."""
    return {"curve": draw.sometimes(draw.random.choice([*CURVES, "Home curve", "No such"]), 0.5),
            "followed_by": draw.sometimes(draw.random.choice([*forages, "Gone"]), 0.3),
            "followed_on": draw.sometimes(draw.day(first, 400), 0.4)}


def _local(draw: Draw, first: dt.date) -> dict[int, dict[str, Any]]:
    """Defaults of an area; one whose setting was changed since, and one without its kind."""
    source = {"local_source": "Home record"}
    return {1: {**source, "local_kind": "setting", "local_item": "Price of a test",
                "local_value": 30},
            2: {**source, "local_kind": "contact", "local_item": "Laboratory",
                "local_words": draw.hole("Home laboratory")},
            4: {"local_kind": draw.hole("caution"), "local_words": "Beware of the bull."},
            5: {**source, "local_kind": draw.hole("price"), "local_item": "Corn",
                "local_value": draw.number(100, 300), "local_unit": "$/ton",
                "local_on": draw.sometimes(draw.day(first, 90), 0.5)}}


def _curve(draw: Draw) -> dict[str, Any]:
    months = {f"curve_cp.{month}": draw.number(3, 14) for month in MONTHS}
    return {"curve": "Home curve", **months,
            **{f"curve_p.{month}": draw.number(0.04, 0.3) for month in MONTHS}}


def _on_its_way(draw: Draw, first: dt.date) -> dict[str, Any]:
    """How a sample was taken, and how far it has come; some are only planned."""
    return {"how": draw.sometimes(draw.random.choice([*SAMPLE_KINDS, "By guess"]), 0.4),
            "spots": draw.sometimes(draw.random.randrange(1, 40), 0.6),
            "weight": draw.sometimes(draw.number(0.5, 90), 0.5),
            "lab": draw.sometimes(
                draw.random.choice(["Valley Lab", "valley lab", "Hill Lab"]), 0.7),
            "kept_because": draw.sometimes("seen on the report", 0.2),
            "planned_on": draw.sometimes(draw.day(first, 300), 0.3),
            "sent_on": draw.sometimes(draw.day(first, 300), 0.3),
            "received_on": draw.sometimes(draw.day(first, 300), 0.3)}


def _sampling(draw: Draw, first: dt.date) -> dict[str, Any]:
    return {"how": draw.sometimes(draw.random.choice([*SAMPLE_KINDS, "By guess"]), 0.3),
            "outside": draw.sometimes(draw.random.choice(["yes", "no"]), 0.5),
            "ready_on": draw.sometimes(draw.day(first, 200), 0.5),
            "feed_from_on": draw.sometimes(draw.day(first, 300), 0.4),
            "sample_on": draw.sometimes(draw.day(first, 300), 0.2),
            "lot_pieces": draw.sometimes(draw.random.randrange(1, 300), 0.4),
            "own_spots": draw.sometimes(draw.random.randrange(1, 60), 0.2),
            "bags": draw.sometimes(draw.random.randrange(1, 5), 0.3),
            "tests_per_bag": draw.sometimes(draw.random.randrange(1, 4), 0.3),
            "own_margin_pct_dm": draw.sometimes(draw.number(0.2, 3), 0.4),
            "suspicion": draw.sometimes(draw.random.choice([*SUSPICIONS, "aliens"]), 0.4),
            "second_suspicion": draw.sometimes(draw.random.choice(SUSPICIONS), 0.3)}


def _group(draw: Draw, number: int, forages: list[str], first: dt.date) -> dict[str, Any]:
    name = CLASSES[number % len(CLASSES)] if draw.random.random() < 0.5 \
        else draw.random.choice(CLASSES)
    row = next(r for r in rows_of("classes") if r["class"] == name)
    grows, breeds = row["grows"] == "1", row["breeds"] == "1"
    return {
        "group": f"{NAMES[number % len(NAMES)]} {number}", "class_name": draw.hole(name),
        "head": draw.hole(draw.random.randrange(1, 300)),
        "weight": draw.number(400 if grows else 1000, 900 if grows else 1500, draw.lb, 0),
        "weighed_shrunk": draw.sometimes(draw.random.choice(["yes", "no"]), 0.4),
        "first_calf_on": draw.hole(draw.day(first - dt.timedelta(200), 600)) if breeds else None,
        "calving_season_days": draw.sometimes(draw.random.randrange(20, 120), 0.3),
        "peak_milk": draw.number(10, 28, draw.lb) if breeds else None,
        "gain": draw.number(0.2, 2, draw.lb) if grows else None,
        "mature_weight": draw.number(1000, 1500, draw.lb, 0) if grows else None,
        "birth_weight": draw.sometimes(draw.number(60, 95, draw.lb), 0.3),
        "weaned_after_days": draw.sometimes(draw.random.randrange(120, 260), 0.3),
        "breed": draw.sometimes(draw.random.choice(["Hereford", "Simmental",
                                                    "mixed or not known"]), 0.4),
        "breed_factor": draw.sometimes(draw.number(0.9, 1.2), 0.3),
        "usual_forage": draw.hole(draw.random.choice(forages)),
        "condition_score": draw.sometimes(draw.number(2, 7, places=1), 0.7),
        "weight_score": draw.sometimes(draw.number(3, 7, places=1), 0.3),
        "condition_target": draw.sometimes(draw.number(4, 7, places=1), 0.3),
        "target_on": draw.sometimes(draw.day(first, 500), 0.3) if grows else None,
    }


def _storm(draw: Draw, forages: list[str], first: dt.date, months: int, us: bool
           ) -> dict[str, Any]:
    month = (first.month - 1 + draw.random.randrange(months + 1)) % 12
    degrees = draw.random.uniform(-30, 50)
    return {
        "storm_month": draw.hole(MONTHS[month]),
        "storm_air": draw.hole(round(degrees if us else (degrees - 32) / 1.8, 1)),
        "storm_wind": draw.number(0, 40, 1 if us else 1.6),
        "coat": draw.hole(draw.random.choice(COATS)),
        "storm_days": draw.hole(draw.random.randrange(1, 6)),
        "storm_forage": draw.sometimes(draw.random.choice([*forages, "Nowhere"]), 0.5),
    }


def _winter(draw: Draw, first: dt.date) -> dict[str, Any]:
    fall = draw.day(first - dt.timedelta(400), 300)
    fed = draw.random.choice([0, round(draw.random.uniform(1, 6) * draw.lb, 2)])
    return {
        "condition_fall": draw.number(3, 7, places=1), "fall_scored_on": draw.hole(fall),
        "condition_spring": draw.number(3, 7, places=1),
        "spring_scored_on": draw.hole(fall + dt.timedelta(draw.random.randrange(-5, 220))),
        "winter_forage_tdn_pct_dm": draw.number(44, 62), "winter_feed": draw.hole(fed),
        "winter_feed_dm_pct_as_fed": draw.number(85, 95),
        "winter_feed_tdn_pct_dm": draw.number(60, 85),
        "winter_eaten": draw.sometimes(draw.number(18, 32, draw.lb), 0.3),
        "winter_need_mcal_per_day": draw.sometimes(draw.number(8, 16), 0.3),
    }


def _month(draw: Draw, forages: list[str]) -> dict[str, Any]:
    second, third = draw.random.random() < 0.4, draw.random.random() < 0.2
    return {
        "main": draw.sometimes(draw.random.choice(forages), 0.7),
        "second": draw.random.choice([*forages, "Unheard of"]) if second else None,
        "second_pct": draw.hole(25) if second else None,
        "third": draw.random.choice(forages) if third else None,
        "third_pct": draw.hole(15) if third else None,
        "on_offer": draw.sometimes(draw.number(200, 3000, draw.lb), 0.15),
        "known_intake": draw.sometimes(draw.number(14, 30, draw.lb), 0.2),
        "put_out": draw.sometimes(draw.number(8, 40, draw.lb), 0.2),
        "own_need.cp": draw.sometimes(draw.number(1, 3, draw.lb), 0.1),
        "own_need.nem": draw.sometimes(draw.number(8, 16), 0.1),
        "own_need.p": draw.sometimes(draw.number(10, 30), 0.1),
    }


def _weather(draw: Draw, us: bool) -> dict[str, Any]:
    degrees = (-20, 100) if us else (-29, 38)
    return {"air": draw.number(*degrees), "wind": draw.sometimes(draw.number(0, 40), 0.6),
            "coat": draw.hole(draw.random.choice(["dry winter coat", "wet or summer coat"])),
            "mud": draw.sometimes("10 to 20 cm", 0.3),
            "panting": draw.sometimes("rapid shallow", 0.2)}


def _on_hand(draw: Draw) -> dict[str, Any]:
    return {
        "bales": draw.sometimes(draw.number(20, 2000, 1, 0), 0.6),
        "bale": draw.sometimes(draw.number(600, 1500, draw.lb), 0.7),
        "weighed_bales": draw.sometimes(draw.random.choice([1, 2, 8]), 0.5),
        "bale_sd": draw.sometimes(draw.number(20, 200, draw.lb), 0.6),
        "bale_width": draw.sometimes(draw.number(1, 5), 0.3), "bale_diameter": 5,
        "hay": draw.sometimes(draw.number(5, 500, 1), 0.3),
        "store": draw.sometimes("stacked and tarped", 0.5),
        "feeder": draw.sometimes(draw.random.choice(["open ring", "a tub"]), 0.5),
        "storage_loss_pct": draw.sometimes(draw.number(0, 30), 0.3),
        "grazed": draw.sometimes(draw.number(50, 5000, 1), 0.4), "growth": draw.number(500, 4000),
        "harvest_pct": 25, "market": draw.sometimes(draw.number(40, 200), 0.4)}


def _products(draw: Draw, products: list[str]) -> dict[int, dict[str, Any]]:
    found = {}
    for i, name in enumerate(products[1:], 2):
        mineral = name == "Mineral"
        found[i] = {
            "product": name, "purpose": draw.hole("P" if mineral else draw.random.choice(PURPOSES)),
            "price": draw.number(150, 900, 1 / draw.ton, 0),
            "freight": draw.sometimes(draw.number(5, 40, 1 / draw.ton), 0.4),
            "month_price.2": draw.sometimes(draw.number(150, 900, 1 / draw.ton, 0), 0.3),
            "loss_pct": draw.sometimes(draw.number(0, 15), 0.4),
            "most": draw.sometimes(draw.number(1, 8, draw.lb), 0.4),
            "most_pct_bw": draw.sometimes(draw.number(0.1, 0.5), 0.3),
            "cap_words": draw.sometimes("starch", 0.5),
            "on_hand": draw.sometimes(draw.number(0.5, 40), 0.4),
            "fed_by": draw.sometimes(draw.random.choice([*METHODS, "by drone"]), 0.6),
            "load": draw.sometimes(draw.number(5, 100, draw.lb), 0.6),
            "load_name": draw.sometimes("sack", 0.5),
            "least_times_per_week": draw.sometimes(draw.random.choice([1, 3, 7]), 0.2),
            "most_meal": draw.sometimes(draw.number(0.5, 8, draw.lb), 0.3),
            "starch_pct_dm": draw.sometimes(draw.number(0, 72), 0.4),
            "stand_in": draw.sometimes(draw.random.choice(FEEDS), 0.5),
            "npn_pct_of_cp": draw.sometimes(draw.random.choice([0, 22, 60, 100]), 0.4),
            "given_up": draw.sometimes(draw.number(0, 0.8), 0.5),
            "label_intake": draw.number(0.1, 1, draw.lb), "basis": draw.hole("as fed"),
            "reported.dm": draw.sometimes(draw.number(86, 98), 0.9),
            "reported.cp": 0 if mineral else draw.sometimes(draw.number(7, 45), 0.85),
            "reported.tdn": 0 if mineral else draw.sometimes(draw.number(55, 80), 0.8),
            "reported.ca": draw.number(0, 14), "reported.p": draw.number(0.1, 8),
            "reported.rdp": draw.number(30, 80), "reported.cu": draw.number(5, 1500),
            "reported.se": draw.sometimes(draw.number(0.1, 26), 0.5),
            "reported.vita": draw.sometimes(draw.number(1000, 200000), 0.3),
            **_harmful(draw)}
        if draw.random.random() < 0.15:  # known by its table only
            found[i] = {key: value for key, value in found[i].items() if "reported" not in key}
    return found


def _harmful(draw: Draw) -> dict[str, Any]:
    """What makes a feed dangerous, and tags that leave it out."""
    return {"holds": draw.sometimes(draw.random.choice([*SPECIALS, "Beans of some kind"]), 0.4),
            "free_gossypol_ppm_dm": draw.sometimes(draw.number(100, 8000), 0.3),
            "reported.fat": draw.sometimes(draw.number(0, 20), 0.6),
            "reported.s": draw.sometimes(draw.number(0.1, 1.2), 0.6),
            "reported.na": draw.sometimes(draw.random.choice([0.1, 6, 12]), 0.6),
            "reported.no3n": draw.sometimes(draw.number(0, 3000), 0.3),
            "reported.mg": draw.sometimes(draw.number(0, 12), 0.5),
            "reported.mo": draw.sometimes(draw.number(0, 5), 0.5),
            "reported.fe": draw.sometimes(draw.number(0, 900), 0.5)}


def _line(draw: Draw, products: list[str], first: dt.date) -> dict[str, Any]:
    name = draw.random.choice([*products, "No such feed"]) if draw.random.random() < 0.6 else None
    return {
        "product": name,
        "purpose": draw.sometimes(draw.random.choice(PURPOSES), 0.4),
        "from_on": draw.sometimes(draw.day(first, 300), 0.3),
        "to_on": draw.sometimes(draw.day(first + dt.timedelta(60), 300), 0.3),
        "times_per_week": draw.sometimes(draw.random.choice([1, 2, 3, 7]), 0.6),
        "mode": draw.sometimes(draw.random.choice([*MODES, "now and then"]), 0.5),
        "own_amount": draw.sometimes(draw.number(0.2, 4, draw.lb), 0.1),
        "month_amount.2": draw.sometimes(draw.number(0.2, 4, draw.lb), 0.1),
        "most": draw.sometimes(draw.number(0.5, 5, draw.lb), 0.2),
    }
