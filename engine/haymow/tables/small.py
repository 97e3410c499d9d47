"""The small constant tables: lists of words, nutrients, classes, kinds, months."""

from __future__ import annotations

import csv
from functools import cache
from importlib.resources import files

from .book import Setting, Table
from .kinds import Calc, Key

__all__ = ["ANALYTES", "MINERALS", "MODES", "NUTRIENTS", "SLICES", "constants", "rows_of", "settings",
           "size_setting", "small_tables"]

MODES = ("as needed", "level", "by its own intake")
BASES = ("dry matter", "as fed", "air dry (90 % DM)")
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


@cache
def rows_of(name: str) -> tuple[dict[str, str], ...]:
    """The rows of a packaged table, ``data/<name>.csv``."""
    text = files("haymow").joinpath(f"data/{name}.csv").read_text("utf-8")
    return tuple(csv.DictReader(text.splitlines()))


ANALYTES = tuple(row["nutrient"] for row in rows_of("nutrients"))
NUTRIENTS = tuple(row["nutrient"] for row in rows_of("nutrients") if row["slice"] == "nutrient")
MINERALS = tuple(row["nutrient"] for row in rows_of("nutrients") if row["slice"] == "mineral")
SLICES = {"nutrient": ("analyte", 0), "mineral": ("analyte", ANALYTES.index(MINERALS[0]))}


def constant(table: str, column: str) -> Key:
    """A column of a packaged table as constants."""
    texts = [row[column] for row in rows_of(table)]
    try:
        data: tuple[object, ...] = tuple(float(text) for text in texts)
    except ValueError:
        data = tuple(texts)
    return Key(name=column, data=data, label=column.replace("_", " "), front=True)


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
        constant("nutrients", "must_know"), constant("nutrients", "asks_lab")),
        purpose="What is balanced, in the order in which shortages are worked on.")
    calendar = Table("Calendar", ("month",), (
        Key(name="month_no", dimension="month", label="No.", front=True),
        *(Calc(name=n, front=True) for n in ("first_day", "days", "mid_day", "moy"))),
        purpose="The months of the plan.")
    classes = _constants("Classes", "class", "classes", 7)
    kinds = _constants("Kinds", "kind", "forage_kinds", classes.top + len(rows_of("classes")) + 5)
    top = kinds.top + len(rows_of("forage_kinds")) + 5
    tables = [nutrients, calendar, classes, kinds]
    for name, dimension, column, words in (
            ("Purposes", "purpose", "purpose", tuple(
                row["short"] for row in lines if row["slice"] == "nutrient")),
            ("Modes", "mode", "mode", MODES), ("Bases", "basis", "basis", BASES),
            ("NitrateForms", "form", "form", ("NO3-N", "NO3", "KNO3")),
            ("YesNo", "answer", "answer", ("no", "yes")),
            ("MonthNames", "moy", "month_name", MONTHS)):
        tables.append(word_list(name, dimension, column, words, top))
        top += len(words) + 5
    return tables


def _constants(name: str, dimension: str, data: str, top: int) -> Table:
    columns = list(rows_of(data)[0])
    return Table(name, (dimension,), (
        Key(name=f"{dimension}_no", dimension=dimension, label="No.", front=True),
        *(constant(data, column) for column in columns)), sheet="Lists", top=top)


def settings() -> dict[str, Setting]:
    """The settings a user may change, from ``data/settings.csv``."""
    found = {}
    for row in rows_of("settings"):
        found[row["name"]] = Setting(
            name=row["name"], value=float(row["value"]) if row["value"] else None,
            label=row["label"], unit=row["unit"], meaning=row["meaning"], source=row["source"],
            low=float(row["low"]), high=float(row["high"]),
            what="date" if row["unit"] == "date" else "number")
    return found


def constants(sizes: dict[str, int], us: bool, kg: float, tonne: float) -> dict[str, Setting]:
    """Fixed named numbers: unit factors and the sizes of this workbook."""
    weight, load = ("lb", "ton") if us else ("kg", "tonne")
    fixed = {
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
