"""The small constant tables: lists of words, nutrients, classes, kinds, months."""

from __future__ import annotations

import csv
from functools import cache
from importlib.resources import files

from ..quantities import glossary
from ..units import HA_PER_ACRE, KG_PER_LB, M_PER_FT, TONNE_PER_TON
from .book import Setting, Table
from .kinds import Calc, Column, Entry, Key, Link, Pull, Say
from .local import LOCAL_KINDS
from .picture import DRAWN

__all__ = ["ANALYTES", "CORE", "MINERALS", "MODES", "NUTRIENTS", "SLICES", "constants", "rows_of",
           "settings",           "size_setting", "small_tables"]

MODES = ("as needed", "level", "by its own intake")
BASES = ("dry matter", "as fed", "air dry (90 % DM)")
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


@cache
def rows_of(name: str) -> tuple[dict[str, str], ...]:
    """The rows of a packaged table, ``data/<name>.csv``."""
    text = files("haymow").joinpath(f"data/{name}.csv").read_text("utf-8")
    return tuple(csv.DictReader(text.splitlines()))


CORE = (*(row["nutrient"] for row in rows_of("nutrients") if row["slice"] == "nutrient"), "adf",
        "ndf")  # of a block of analytes, what stands open
MPH_PER_KM_PER_H = 1 / 1.609344  # exact
ANALYTES = tuple(row["nutrient"] for row in rows_of("nutrients"))
NUTRIENTS = tuple(row["nutrient"] for row in rows_of("nutrients") if row["slice"] == "nutrient")
MINERALS = tuple(row["nutrient"] for row in rows_of("nutrients") if row["slice"] == "mineral")
SLICES = {"nutrient": ("analyte", 0), "mineral": ("analyte", ANALYTES.index(MINERALS[0]))}


def constant(table: str, column: str) -> Key:
    """A column of a packaged table as constants."""
    texts = [row[column] for row in rows_of(table)]
    try:
        data: tuple[object, ...] = tuple(float(text) if text else "" for text in texts)
    except ValueError:
        data = tuple(texts)
    line = glossary().get(column)
    return Key(name=column, data=data, label=line.label if line else column.replace("_", " "),
               front=True)


def word_list(name: str, dimension: str, column: str, words: tuple[str, ...], top: int) -> Table:
    """A list of words that a cell may hold, on the sheet Lists."""
    return Table(name, (dimension,), (
        Key(name=f"{dimension}_no", dimension=dimension, label="No.", front=True),
        Key(name=column, data=words, label=column.replace("_", " "), front=True)),
        sheet="Lists", top=top)


def small_tables(us: bool, kg_per_weight_unit: float) -> list[Table]:
    """Nutrients, Calendar, Classes, Kinds and the word lists."""
    shown = {"weight": kg_per_weight_unit, "": 1.0}
    units = {"kg/day": "lb/day" if us else "kg/day"}
    lines = rows_of("nutrients")
    nutrients = Table("Nutrients", ("analyte",), (
        Key(name="analyte_no", dimension="analyte", label="No.", front=True),
        Key(name="nutrient", data=tuple(row["short"] for row in lines), label="Nutrient",
            front=True),
        constant("nutrients", "words"),
        Key(name="shown_unit", label="Unit on the sheets", front=True,
            data=tuple(units.get(row["need_unit"], row["need_unit"]) for row in lines)),
        Key(name="si_per_shown", data=tuple(shown[row["us_per"]] for row in lines),
            label="Engine's unit in one of these", front=True),
        constant("nutrients", "per_kg"), constant("nutrients", "lifts_intake"),
        constant("nutrients", "must_know"), *_levels(), _table_spreads(),
        constant("nutrients", "asks_lab")),
        purpose="What is balanced, in the order in which shortages are worked on.")
    calendar = Table("Calendar", ("month",), (
        Key(name="month_no", dimension="month", label="No.", front=True),
        *(Calc(name=n, front=True) for n in ("first_day", "days")), *_weather(us)),
        purpose="The months of the plan, and their weather: empty means no stress assumed.")
    classes = _constants("Classes", "class", "classes", 7)
    kinds = _constants("Kinds", "kind", "forage_kinds", classes.top + len(rows_of("classes")) + 5)
    coats = _constants("Coats", "coat", "coats", kinds.top + len(rows_of("forage_kinds")) + 5)
    targets = _constants("Targets", "event", "targets", coats.top + len(rows_of("coats")) + 5)
    breeds = _constants("Breeds", "breed", "breeds", targets.top + len(rows_of("targets")) + 5)
    top = breeds.top + len(rows_of("breeds")) + 5
    methods = _constants("FeedMethods", "method", "feed_methods", top)
    top += len(rows_of("feed_methods")) + 5
    stores = _constants("HayStores", "store", "hay_stores", top)
    top += len(rows_of("hay_stores")) + 5
    feeders = _constants("HayFeeders", "feeder", "hay_feeders", top)
    top += len(rows_of("hay_feeders")) + 5
    tables = [nutrients, calendar, classes, kinds, coats, targets, breeds, methods, stores, feeders]
    for name, dimension, column, words in (
            ("Purposes", "purpose", "purpose", tuple(
                row["short"] for row in lines if row["slice"] == "nutrient")),
            ("Modes", "mode", "mode", MODES), ("Bases", "basis", "basis", BASES),
            ("Muds", "mud", "mud", ("none", "10 to 20 cm", "30 to 60 cm")),
            ("Pantings", "panting", "panting", ("none", "rapid shallow", "deep, mouth open")),
            ("NitrateForms", "form", "form", ("NO3-N", "NO3", "KNO3")),
            ("LocalKinds", "local_kind", "local_kind", LOCAL_KINDS),
            ("DrawnNutrients", "drawn", "drawn", DRAWN),
            ("YesNo", "answer", "answer", ("no", "yes")),
            ("MonthNames", "moy", "month_name", MONTHS)):
        tables.append(word_list(name, dimension, column, words, top))
        top += len(words) + 5
    return tables


def _levels() -> list[Column]:
    """What the diet should hold, and at most, by mineral; 0 where no level is set."""
    levels = {row["nutrient"]: row for row in rows_of("mineral_levels")}
    names = ("need_growing", "need_gestating", "need_lactating", "most_used")
    return [Key(name=name, label=label, front=True, data=tuple(
        float(levels.get(analyte, {}).get(name) or 0) for analyte in ANALYTES))
        for name, label in zip(names, ("Level, growing", "Level, gestating", "Level, lactating",
                                       "Most, whole diet"), strict=True)]


def _table_spreads() -> Key:
    """How far lots of a kind are from its table value; 0 where that is not known."""
    found = {row["nutrient"]: float(row["table_spread_pct"]) for row in rows_of("table_spreads")}
    return Key(name="table_spread_pct", label="Spread of table values, % of the mean", front=True,
               data=tuple(found.get(analyte, 0.0) for analyte in ANALYTES))


def _weather(us: bool) -> list[Column]:
    """Weather of a month, and what it does to need and intake."""
    degree, wind = ("\N{DEGREE SIGN}F", "mph") if us else ("\N{DEGREE SIGN}C", "km/h")
    return [
        Entry(name="air", front=True, label=f"Mean air temperature, {degree}",
              hint="Mean of the month. Empty: no stress assumed."),
        Entry(name="wind", front=True, label=f"Wind, {wind}",
              hint="Mean wind where the cattle stand. Empty: sheltered."),
        Entry(name="coat", what="choice", choices="Coats.coat", label="Coat", front=True,
              hint="Sets the temperature below which more energy is needed."),
        Entry(name="mud", what="choice", choices="Muds.mud", label="Mud", front=True,
              hint="Mud lowers intake. Empty: none."),
        Entry(name="panting", what="choice", choices="Pantings.panting", label="Panting",
              front=True, hint="Heat raises the need for maintenance. Empty: none."),
        Calc(name="wind_chill_f", by="chill_used_f", front=True, quantity="wind_chill_f",
             may_be_blank=("windy_f",)),
        Calc(name="cold_energy_pct", front=True),
        Say(name="cold_words", by="cold_no", label="Cold", front=True, unknown="no stress assumed",
            sentences=("no cold stress", "more energy needed", "cannot all be fed: shelter them")),
        Calc(name="mid_day"), Calc(name="moy"), Calc(name="month_green"),
        Calc(name="air_f", by="typed_air_f"), Calc(name="wind_mph", by="typed_wind_mph"),
        Calc(name="windy_f", by="wind_chill_f", quantity="wind_chill_f"),
        Link(name="coat_no", to="Coats", by_name="coat", key="coat", label="Coat no."),
        Pull(name="coat_limit_f", via="coat_no", of="limit_f", label="Critical temperature"),
        Pull(name="cold_pct_per_f", via="coat_no", of="pct_per_f", label="% per degree"),
        Calc(name="cold_uncapped_pct"), Calc(name="cold_no"),
        Link(name="mud_no", to="Muds", by_name="mud", key="mud", blank_name="none",
             label="Mud no."),
        Link(name="panting_no", to="Pantings", by_name="panting", key="panting",
             blank_name="none", label="Panting no."),
        Calc(name="mud_used_factor", by="mud_factor"),
        Calc(name="heat_used_factor", by="panting_factor"),
        Calc(name="air_c", by="air_c_of_f"), Calc(name="temperature_factor"),
        Calc(name="temperature_used_factor", may_be_blank=("temperature_factor",)),
    ]


def _constants(name: str, dimension: str, data: str, top: int) -> Table:
    columns = list(rows_of(data)[0])
    return Table(name, (dimension,), (
        Key(name=f"{dimension}_no", dimension=dimension, label="No.", front=True),
        *(constant(data, column) for column in columns if column != f"{dimension}_no")),
        sheet="Lists", top=top)


def settings(us: bool) -> dict[str, Setting]:
    """The settings a user may change, from ``data/settings.csv``; US | metric where they differ.

    They come part by part, as the parts first appear in the file.
    """
    found, lines = {}, rows_of("settings")
    parts = list(dict.fromkeys(line["part"] for line in lines))
    for line in sorted(lines, key=lambda each: parts.index(each["part"])):
        row = {name: text.split("|")[0 if us else -1] for name, text in line.items()}
        found[row["name"]] = Setting(
            name=row["name"], value=float(row["value"]) if row["value"] else None,
            label=row["label"], unit=row["unit"], meaning=row["meaning"], source=row["source"],
            low=float(row["low"]), high=float(row["high"]), part=row["part"],
            what="date" if row["unit"] == "date" else "number")
    return found


def constants(sizes: dict[str, int], us: bool) -> dict[str, Setting]:
    """Fixed named numbers: unit factors and the sizes of this workbook."""
    weight, load, area = ("lb", "ton", "acre") if us else ("kg", "tonne", "ha")
    kg, tonne, ha = (KG_PER_LB, TONNE_PER_TON, HA_PER_ACRE) if us else (1.0, 1.0, 1.0)
    degree, zero, wind = (1.0, 0.0, 1.0) if us else (1.8, 32.0, MPH_PER_KM_PER_H)
    fixed = {
        "ha_per_area_unit": Setting(name="ha_per_area_unit", value=ha, typed=False,
                                    label=f"ha in one {area}", source="exact by definition"),
        "m_per_length_unit": Setting(name="m_per_length_unit", value=M_PER_FT if us else 1.0,
                                     typed=False, label=f"m in one {'ft' if us else 'm'}",
                                     source="exact by definition"),
        "f_per_degree": Setting(name="f_per_degree", value=degree, typed=False,
                                label="degrees F in one degree of this workbook",
                                source="exact by definition"),
        "f_at_zero": Setting(name="f_at_zero", value=zero, typed=False,
                             label="degrees F at 0 degrees of this workbook",
                             source="exact by definition"),
        "mph_per_wind_unit": Setting(name="mph_per_wind_unit", value=wind, typed=False,
                                     label="mph in one wind unit of this workbook",
                                     source="exact by definition"),
        "kg_per_weight_unit": Setting(name="kg_per_weight_unit", value=kg, typed=False,
                                      label=f"kg in one {weight}", source="exact by definition"),
        "tonne_per_load_unit": Setting(name="tonne_per_load_unit", value=tonne, typed=False,
                                       label=f"tonnes in one {load}",
                                       source="exact by definition"),
        "year_days": Setting(name="year_days", value=365.25, typed=False, unit="days",
                             label="Length of a year", source="calendar"),
        "plan_end": Setting(name="plan_end", by="plan_end", typed=False, unit="date",
                            label="The day after the plan", source="worked out", what="date"),
    }
    for dimension, size in sizes.items():
        fixed[dimension + "s"] = size_setting(dimension + "s", size)
    return fixed


def size_setting(name: str, size: int) -> Setting:
    """A count that formulas name."""
    return Setting(name=name, value=float(size), typed=False, label=f"Number of {name}",
                   source="size of this workbook")
