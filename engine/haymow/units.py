"""Units: what the suffix of a name says, and how it stands in a US and in a metric workbook."""

from __future__ import annotations

import re
from dataclasses import dataclass

from .problems import InputError

__all__ = ["HA_PER_ACRE", "KG_PER_LB", "M_PER_FT", "TONNE_PER_TON", "UNITS", "Unit", "edge_name",
           "parse", "unit_of"]

KG_PER_LB = 0.45359237  # exact, by definition of the international pound
TONNE_PER_TON = 0.90718474  # 2,000 lb, exact
HA_PER_ACRE = 0.40468564224  # international acre, exact
M_PER_FT = 0.3048  # exact, international foot


@dataclass(frozen=True)
class Unit:
    """A unit inside the engine and at the edges.

    ``weight``, ``load``, ``area`` and ``length`` are the powers of the workbook's weight unit (lb
    or kg), load unit (ton or tonne), area unit (acre or ha) and length unit (ft or m) in the unit:
    SI value = typed value * kg_per_lb**weight * ....
    """

    si: str
    us: str
    weight: int = 0
    load: int = 0
    area: int = 0
    length: int = 0

    def shown(self, us: bool) -> str:
        """The unit's text in a US or a metric workbook."""
        return self.us if us else self.si

    def si_per_edge(self, us: bool) -> float:
        """What one unit at the edge is inside the engine."""
        factor = KG_PER_LB**self.weight * TONNE_PER_TON**self.load
        return factor * HA_PER_ACRE**self.area * M_PER_FT**self.length if us else 1.0


UNITS: dict[str, Unit] = {  # the longest matching suffix of a name is its unit
    "metabolic_weight_kg": Unit("kg^0.75", "kg^0.75"),
    "milk_energy_mcal_per_kg": Unit("Mcal/kg milk", "Mcal/lb milk", weight=-1),
    "_pct_dm": Unit("% of DM", "% of DM"),
    "_pct_as_fed": Unit("% as fed", "% as fed"),
    "_pct_bw_per_day": Unit("% of body weight/day", "% of body weight/day"),
    "_pct_bw": Unit("% of body weight", "% of body weight"),
    "_pct_of_need": Unit("% of need", "% of need"),
    "_pct_of_cp": Unit("% of CP", "% of CP"),
    "_pct_of_ndf": Unit("% of NDF", "% of NDF"),
    "_pct": Unit("%", "%"),
    "_ppm_dm": Unit("ppm of DM", "ppm of DM"),
    "_ppm": Unit("ppm", "ppm"),
    "_mg_per_day": Unit("mg/day", "mg/day"),
    "_mg_per_kg_dm": Unit("mg/kg DM", "mg/kg DM"),
    "_iu_per_kg_dm": Unit("IU/kg DM", "IU/lb DM", weight=-1),
    "_iu_per_kg": Unit("IU/kg", "IU/lb", weight=-1),
    "_iu_per_day": Unit("IU/day", "IU/day"),
    "_oz_per_day": Unit("oz/day", "oz/day"),
    "_g_per_day": Unit("g/day", "g/day"),
    "_g_per_kg": Unit("g/kg", "g/kg"),
    "_kg_per_ha": Unit("kg/ha", "lb/acre", weight=1, area=-1),
    "_kg_per_day": Unit("kg/day", "lb/day", weight=1),
    "_kg": Unit("kg", "lb", weight=1),
    "_kg_per_m3": Unit("kg/m3", "lb/ft3", weight=1, length=-3),
    "_ha": Unit("ha", "acres", area=1),
    "_m": Unit("m", "ft", length=1),
    "_tonne": Unit("tonnes", "tons", load=1),
    "_mcal_per_kg": Unit("Mcal/kg DM", "Mcal/lb DM", weight=-1),
    "_mcal_per_day": Unit("Mcal/day", "Mcal/day"),
    "_mcal": Unit("Mcal", "Mcal"),
    "_usd_per_tonne": Unit("$/tonne", "$/ton", load=-1),
    "_usd_per_kg": Unit("$/kg", "$/lb", weight=-1),
    "_usd_per_head_day": Unit("$/head/day", "$/head/day"),
    "_usd": Unit("$", "$"),
    "_per_week": Unit("times/week", "times/week"),
    "_weeks": Unit("weeks", "weeks"),
    "_days": Unit("days", "days"),
    "_months": Unit("months", "months"),
    "_on": Unit("date", "date"),
}
_BY_LENGTH = sorted(UNITS, key=len, reverse=True)
NONE = Unit("", "")


def unit_of(name: str) -> Unit:
    """The unit that a name carries in its suffix; the empty unit without one.

    >>> unit_of("shrunk_weight_kg").us
    'lb'
    """
    suffix = next((s for s in _BY_LENGTH if name.endswith(s)), None)
    return UNITS[suffix] if suffix else NONE


def edge_name(name: str) -> str:
    """The name of a quantity without its unit: what a typed or shown column is called.

    >>> edge_name("shrunk_weight_kg")
    'shrunk_weight'
    """
    suffix = next((s for s in _BY_LENGTH if s.startswith("_") and name.endswith(s)), "")
    return name.removesuffix(suffix)


_NUMBER = re.compile(r"\s*([+-]?(?:\d[\d,]*\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)\s*(.*?)\s*")


def parse(name: str, text: str) -> float:
    """The number in ``text`` as the unit of ``name`` has it; a unit written behind it is converted.

    >>> round(parse("birth_weight_kg", "85 lb"), 2)
    38.56
    """
    match = _NUMBER.fullmatch(text)
    unit = unit_of(name)
    if not match or not _grouped(match[1]):
        raise InputError(f"{name} is '{text}'; expected a number, such as 12.5 or 12.5{unit.us}.")
    number, written = float(match[1].replace(",", "")), match[2].casefold().replace(" ", "")
    if written in ("", _plain(unit.si)):
        return number
    if written in _spellings(unit):
        return number * unit.si_per_edge(True)
    accepted = " or ".join(dict.fromkeys(u for u in (unit.si, unit.us) if u)) or "no unit"
    raise InputError(f"{name} is '{text}'; expected a number in {accepted}.")


def _grouped(digits: str) -> bool:
    """Whether commas, if any, part thousands (``1,200``), not decimals (``8,5``)."""
    return "," not in digits or bool(re.fullmatch(r"[+-]?\d{1,3}(,\d{3})+(\.\d*)?", digits))


def _plain(unit: str) -> str:
    return unit.casefold().replace(" ", "")


def _spellings(unit: Unit) -> set[str]:
    us = _plain(unit.us)
    return {us, us.replace("lb", "lbs"), us.removesuffix("dm")} if unit.us != unit.si else {us}
