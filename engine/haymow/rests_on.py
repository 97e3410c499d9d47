"""What a plan rests on: forage month by month, samples, settings, publications."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from .dialect import EQUATIONS
from .evaluate import Values
from .ranch import EPOCH
from .tables import Book, Calc
from .tables.small import rows_of

if TYPE_CHECKING:
    import pandas as pd

__all__ = ["dates", "named", "of_nutrients", "quality", "samples", "settings", "sources"]

Array = NDArray[Any]

WORKED_OUT_IN = ("Samples", "Forages", "Quality", "Herd", "Needs", "Diet", "Supplements", "Plan",
                 "Balance", "Amounts", "Protein", "Minerals")  # tables behind a plan's numbers


def quality(values: Values) -> pd.DataFrame:
    """What each forage holds in each month in dry matter: one row a nutrient."""
    keep = named(values, "Quality", "forage")
    names = {"forage_no": values.column("Quality", "forage_no")[keep].astype(int),
             "forage": values.column("Quality", "forage")[keep],
             "month": dates(values.column("Quality", "month")[keep])}
    return _by_nutrient(values, "Quality", "quality", keep, names)


def samples(values: Values) -> pd.DataFrame:
    """What laboratories found, in dry matter: one row a known value of a sample with a forage."""
    rows = values.column("Samples", "forage_row")
    keep = ~np.isnan(rows)
    at = rows[keep].astype(int) - 1
    names = {"forage_no": at + 1, "forage": values.column("Forages", "forage")[at],
             "sample_id": values.column("Samples", "sample_id")[keep],
             "sampled_on": dates(values.column("Samples", "sampled_on")[keep])}
    return _by_nutrient(values, "Samples", "dry_matter", keep, names).dropna(
        subset=["content"], ignore_index=True)


def _by_nutrient(values: Values, table: str, block: str, keep: Array, names: dict[str, Array]
                 ) -> pd.DataFrame:
    """The block of a table as rows: its names, nutrient, unit and content in dry matter."""
    import pandas as pd

    members = [m for m in values.book.dimensions["nutrient"] if m != "dm"]
    known = {row["nutrient"]: (row["short"], row["pct_unit"]) for row in rows_of("nutrients")}
    columns = {name: np.repeat(column, len(members)) for name, column in names.items()}
    columns["nutrient"] = np.tile([known[m][0] for m in members], keep.sum())
    columns["unit"] = np.tile([known[m][1] for m in members], keep.sum())
    content = [values.column(table, block, member)[keep] for member in members]
    columns["content"] = np.stack(content, axis=1).reshape(-1)
    return pd.DataFrame(columns)


def settings(values: Values) -> pd.DataFrame:
    """Settings that a user may change: label, value in use, unit, source."""
    import pandas as pd

    lines = [line for line in values.book.settings.values() if line.typed and line.what != "date"]
    return pd.DataFrame({
        "setting": [line.label for line in lines],
        "value": [float(values.setting(line.name)) for line in lines],
        "usual": [np.nan if line.value is None else float(line.value) for line in lines],
        "unit": [line.unit for line in lines], "source": [line.source for line in lines]})


def sources(book: Book) -> pd.DataFrame:
    """Publications behind the equations of the plan's tables, and whether all was read there."""
    import pandas as pd

    seen: dict[str, bool] = {}
    for name in WORKED_OUT_IN:
        for column in book.tables[name].columns:
            for member in book.members(column) if isinstance(column, Calc) else ():
                equation = EQUATIONS[book.equation_name(column, member, EQUATIONS)]
                if equation.published:
                    seen[equation.source] = seen.get(equation.source, True) and equation.seen
    rows = [row for row in rows_of("sources") if row["key"] in seen]
    return pd.DataFrame({"key": [row["key"] for row in rows],
                         "citation": [row["citation"] for row in rows],
                         "read": [seen[row["key"]] for row in rows]})


def of_nutrients(values: Values, column: str) -> Array:
    """A column of the sheet Nutrients for those that are balanced; more may stand there."""
    table = values.book.lists["nutrient"]
    all_of_them = values.book.dimensions[table.dimensions[0]]
    rows = [all_of_them.index(member) for member in values.book.dimensions["nutrient"]]
    found: Array = values.column(table.name, column)[rows]
    return found


def named(values: Values, table: str, column: str) -> Array:
    """Which rows have a name."""
    return np.array([word is not None for word in values.column(table, column)])


def dates(days: Array) -> Array:
    """Day numbers as dates, for pandas."""
    known = ~np.isnan(days)
    found: Array = np.datetime64(EPOCH, "s") + np.where(known, days, 0).astype("m8[D]")
    found[~known] = np.datetime64("NaT")
    return found
