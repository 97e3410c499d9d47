"""Units of lab results: their spellings and what one is in another."""

from __future__ import annotations

import re

from ..units import KG_PER_LB
from .words import clean

__all__ = ["candidates", "convert", "unit_of_text"]

MJ_PER_MCAL = 4.184  # exact, thermochemical calorie
_FAMILIES: tuple[dict[str, float], ...] = (
    {"%": 1.0, "g/kg": 0.1, "ppm": 1e-4, "mg/kg": 1e-4, "ppb": 1e-7, "mg/lb": 1e-4 / KG_PER_LB},
    {"Mcal/kg": 1.0, "Mcal/lb": 1 / KG_PER_LB, "Mcal/cwt": 0.01 / KG_PER_LB,
     "MJ/kg": 1 / MJ_PER_MCAL, "kcal/kg": 1e-3},
    {"IU/kg": 1.0, "IU/lb": 1 / KG_PER_LB, "IU/g": 1e3},
    {"mEq/100 g": 1.0, "mEq/kg": 0.1},
)
_OF_THE_WHOLE = {"% of DM": "%", "%": "% of DM"}  # digestibility of the dry matter is printed as %
_SPELLINGS = {
    "%": r"%(?: ?of(?![a-z0-9]))?|g ?/ ?100 ?g",
    "% of CP": r"% ?(?:of )?(?:the )?(?:crude protein|protein|cp)",
    "% of NDF": r"% ?(?:of )?a?ndf(?:om)?",
    "% of N": r"% ?(?:of )?(?:total )?n(?:itrogen)?",
    "% of OM": r"% ?(?:of )?(?:om|organic matter)",
    "% of BW": r"% ?(?:of )?(?:bw|body ?weight)",
    "g/kg": r"g ?/ ?kg|g kg ?-1|g per kg",
    "mg/kg": r"mg ?/ ?kg|mg kg ?-1|ug ?/ ?g|mg per kg",
    "ppm": r"ppm|parts per million",
    "ppb": r"ppb",
    "mg/lb": r"mg ?/ ?lb",
    "Mcal/kg": r"mcals? ?/ ?kg|mcals? per kg",
    "Mcal/lb": r"mcals? ?/ ?lbs?|mcals? per (?:lb|pound)s?",
    "Mcal/cwt": r"(?:mcals?|therms?) ?/ ?cwt|(?:mcals?|therms?) per cwt|mcals? ?/ ?100 ?lbs?",
    "MJ/kg": r"mj ?/ ?kg|mj kg ?-1|mj per kg",
    "kcal/kg": r"kcals? ?/ ?kg",
    "IU/kg": r"iu ?/ ?kg",
    "IU/lb": r"iu ?/ ?lb",
    "IU/g": r"iu ?/ ?g",
    "mEq/100 g": r"meq ?/ ?100 ?g(?:ms?)?",
    "mEq/kg": r"meq ?/ ?kg",
    "index": r"index",
}
PATTERN = "|".join(  # longest spelling first, so that "% of CP" is not read as "%"
    f"(?P<u{number}>(?<![a-z0-9])(?:{pattern}){'(?![a-z0-9])' if number else ''})"
    for number, pattern in
    sorted(enumerate(_SPELLINGS.values()), key=lambda item: (item[0] == 0, -len(item[1]))))
NAMES = tuple(_SPELLINGS)


def unit_of_text(text: str) -> str:
    """The unit that ``text`` is, and nothing besides; empty if it is none.

    >>> unit_of_text("Mcal / lb")
    'Mcal/lb'
    """
    text = re.sub(r"\b(?:pct|percent|per cent)\b", "%", clean(text)).strip("()[]. ")
    return next((unit for unit, pattern in _SPELLINGS.items() if re.fullmatch(pattern, text)), "")


def convert(value: float, unit: str, to: str) -> float | None:
    """``value`` in another unit of the same kind; None if there is no conversion.

    >>> convert(2500, "ppm", "%")
    0.25
    """
    if unit == to or _OF_THE_WHOLE.get(unit) == to or (unit, to) in (
            ("%", "% of NDF"), ("%", "% of OM"), ("%", "% of BW"), ("", "pH"), ("", "index")):
        return value
    if to in ("% of DM", "% of OM") and unit == "g/kg":
        to = "%"
    family = next((f for f in _FAMILIES if unit in f and to in f), None)
    return value * family[unit] / family[to] if family else None


def candidates(unit: str) -> tuple[str, ...]:
    """Units in which something usually given in ``unit`` may have been printed."""
    if unit == "ppm":
        return ("ppm", "%", "g/kg")
    if unit == "%":
        return ("%", "g/kg", "ppm")
    if unit in ("% of DM", "% of OM"):
        return (unit, "g/kg")
    family = next((f for f in _FAMILIES if unit in f), None)
    return tuple(family) if family else (unit,)
