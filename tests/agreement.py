"""How a published number is worked out again: its row, our equations, and what it left unsaid.

A row of ``published/*.csv`` names a quantity, what the publication gave and what it printed.
"""

import csv
from functools import cache
from inspect import signature
from pathlib import Path

from haymow.dialect import EQUATIONS
from haymow.units import parse
from recipes import RECIPES, stage

PUBLISHED = Path(__file__).with_name("published")
STATUSES = ("AGREES", "DISAGREES", "REFERENCE ONLY")

UNSAID = {  # what the publications leave unsaid
    "breed_factor": 1.0, "sex_factor": 1.0, "lactation_maintenance": 1.2, "lactating_share": 0.0,
    "pregnant_share": 0.0, "day_of_gestation": 0.0, "birth_weight_kg": 0.0, "milk_fat_pct": 4.0,
    "milk_snf_pct": 8.3, "milk_protein_pct": 3.4, "milk_kg_per_day": 0.0, "gain_mp_g_per_day": 0.0,
    "gain_net_protein_g_per_day": 0.0, "last_90_days_share": 0.0,
}
WORDS = {"name", "event", "element", "nutrient", "column", "scheme", "measure", "basis"}
ALSO = {  # units of print that the product has no use for, in ours
    "oz/day": 28.349523125, "oz/day_kg": 0.028349523125, "gal/day": 3.785411784,
}


@cache
def rows():
    """All rows of all published tables, as text, with the table's name."""
    return [{"table": path.stem, **row} for path in sorted(PUBLISHED.glob("*.csv"))
            for row in csv.DictReader(path.read_text("utf-8").splitlines())]


def in_ours(quantity, value, unit):
    """A printed value in the unit of the quantity."""
    if unit in ALSO:
        return float(value) * ALSO[unit]
    return parse(quantity, f"{value} {unit}")


def given(row):
    """What the publication gave, in the engine's units; one set for each month of a range."""
    found, months = dict(UNSAID), []
    for item in filter(None, row["inputs"].split(";")):
        name, text = item.split("=")
        if name in WORDS:
            found[name] = text
        elif name == "months_since_calving":
            first, last = (text.split(" to ") * 2)[:2]
            months = list(range(int(first), int(last) + 1))
        else:
            found[name] = parse(name, text)
    return [found | stage(month, found["birth_weight_kg"]) for month in months] or [found]


def ours(quantity, known):
    """The quantity from what is known: given, by recipe, by equation, or left unsaid."""
    said = known.get(quantity)
    if isinstance(said, str):
        return said
    if said is not None and said != UNSAID.get(quantity):
        return said
    function = RECIPES.get(quantity) or getattr(EQUATIONS.get(quantity), "function", None)
    if function is None:
        if said is None:
            raise LookupError(f"{quantity} is not given and has no equation")
        return said
    try:
        return float(function(*(ours(name, known) for name in signature(function).parameters)))
    except LookupError:
        if said is None:
            raise
        return said


def worked_out(row):
    """The row's quantity by our equations, in the printed unit; the mean where months are given."""
    answers = [ours(row["quantity"], known) for known in given(row)]
    return sum(answers) / len(answers) / in_ours(row["quantity"], 1, row["unit"])
