"""The main thing: what a ranch should feed, to whom, from when, and what it costs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from . import safety
from .evaluate import Values
from .problems import Problem
from .ranch import EPOCH, Ranch
from .tables import Table
from .tables.answers import CHECKS, NOTES
from .tables.make import make
from .units import unit_of

if TYPE_CHECKING:
    import pandas as pd

__all__ = ["Plan", "plan"]

Array = NDArray[Any]
Names = Mapping[str, str]  # column of a frame -> column of the table
Places = Mapping[tuple[str, int, str], str]  # (table, row number, column) -> cell of a workbook

MONTHS = {"intake_set_by": "rule", "intake": "intake", "milk": "milk",
          "weight": "shrunk_weight"}
BALANCE = {"need": "need_shown", "from_forage": "forage_shown", "from_feeds": "feeds_shown",
           "short_or_over": "over_shown", "pct_of_need": "pct_of_need",
           "still_short": "still_short"}
LINES = {"group": "group", "line": "line_no", "product": "product", "starts_on": "starts_on",
         "ends_before_on": "end_on", "times_per_week": "times_used",
         "per_head": "mean_per_head", "most_per_head": "most_per_head",
         "per_feeding": "per_feeding", "fed": "known_season", "to_buy": "known_bought",
         "cost_usd": "known_usd", "cost_usd_per_head_day": "day_cost_usd_per_head_day",
         "worst_pct_of_need": "least_shown_pct_of_need", "not_known": "not_known",
         "limit": "reason", "words": "words"}
AMOUNTS_OF_LINES = ("per_head", "most_per_head", "per_feeding", "fed", "to_buy", "cost_usd",
                    "cost_usd_per_head_day")
AMOUNTS = {"group": "group", "month": "month", "line": "line_no", "product": "product",
           "per_head": "per_head_or_none", "fed": "fed", "cost_usd": "cost_usd"}
BUDGET = {"month": "month", "fed": "month_fed", "to_buy": "month_bought", "cost_usd": "month_usd",
          "not_known": "not_known"}
SAID_BY = {  # check -> the column of its table that says it in words, where it is no words itself
    **{("Plan", column): "reason" for table, column, _, _ in CHECKS if table == "Plan"
       and column != "note"}, ("Measures", "nitrate_look"): "nitrate_words"}
FRAMES = {"Needs": MONTHS, "Plan": LINES, "Amounts": AMOUNTS, "Budget": BUDGET}


@dataclass(frozen=True)
class Plan:
    """A feeding season worked out. Frames are in the ranch's units; ``units`` names them by column.

    ``answers``: group, sentence. ``months``: group, month, state of forage alone, the first
    nutrient that is short or not known, intake and what sets it, milk, shrunk weight. ``needs``
    and ``balance``: group, month, nutrient, unit, then daily amounts a head; ``short_or_over`` is
    forage alone, ``pct_of_need`` the whole diet; ``still_short`` is 1 where that falls short by
    more than rounding, else 0. ``lines``: one row a feeding line in use; ``ends_before_on`` is the
    first day without it, and sums are of the months that are known (``not_known`` counts the
    others). ``amounts``: the lines month by month. ``budget``: by month. ``safety``: group, month,
    hazard, severity (ok, not known, look, hazard), what, do, ask. ``checks``: what to look at.
    What is not known is NaN or None, never 0.
    """

    answers: pd.DataFrame
    months: pd.DataFrame
    needs: pd.DataFrame
    balance: pd.DataFrame
    lines: pd.DataFrame
    amounts: pd.DataFrame
    budget: pd.DataFrame
    safety: pd.DataFrame
    checks: pd.DataFrame
    overall: str
    cost: str
    units: Mapping[str, str]
    problems: tuple[Problem, ...]

    def as_records(self) -> dict[str, Any]:
        """The plan as plain lists and words, for JSON: dates as text, unknown as None."""
        found: dict[str, Any] = {}
        for field in fields(self):
            value = getattr(self, field.name)
            found[field.name] = _records(value) if hasattr(value, "columns") else value
        found["problems"] = [vars(problem) for problem in self.problems]
        return found


def plan(ranch: Ranch, places: Places | None = None) -> Plan:
    """Work out the whole season of ``ranch``.

    ``places`` says where entries stand in a workbook, for the words of ``problems``: (table, row
    number, column) -> cell. Groups without a name and lines without a product are left out.
    Raises InputError where an entry is of the wrong kind (words where a number was expected).
    """
    values = Values(make(ranch), ranch)
    groups = _named(values, "Answers", "group")
    balance = _balance(values)
    return Plan(
        answers=_frame(values, "Answers", {"group": "group", "sentence": "sentence"}, groups),
        months=_months(values),
        needs=balance[["group", "month", "nutrient", "unit", "need"]],
        balance=balance,
        lines=_feeding_lines(values),
        amounts=_frame(values, "Amounts", AMOUNTS, _lines(values, "Amounts")),
        budget=_frame(values, "Budget", BUDGET),
        safety=safety.frame(values),
        checks=_frame(values, "Checks", {n: n for n in ("check", "found", "result", "do")}),
        overall=str(values.column("Season", "overall")[0]),
        cost=str(values.column("Season", "money")[0]),
        units=_units(values),
        problems=(*_missing(values), *safety.dangers(values), *_problems(values, places or {}),
                  *safety.problems(values)),
    )


def _frame(values: Values, table: str, names: Names, keep: Array | None = None) -> pd.DataFrame:
    """The named columns of a table, only the rows to ``keep``."""
    import pandas as pd

    columns = {}
    for new, old in names.items():
        column = values.column(table, old)
        column = column if keep is None else column[keep]
        columns[new] = _dates(column) if new == "month" or new.endswith("_on") else column
        if new in ("line", "found", "not_known"):
            columns[new] = columns[new].astype(int)
    return pd.DataFrame(columns)


def _months(values: Values) -> pd.DataFrame:
    """Balance's words beside what Needs says of the same months: both have a row a month."""
    keep = _named(values, "Needs", "group")
    frame = _frame(values, "Balance", {"group": "group", "month": "month", "state": "state"}, keep)
    nutrients = [None, *_of_nutrients(values, "nutrient")]
    flagged = values.column("Balance", "first_flagged")[keep]
    frame["first_flagged"] = [nutrients[int(number)] if number == number else None
                              for number in flagged]
    for new, old in MONTHS.items():
        frame[new] = values.column("Needs", old)[keep]
    return frame


def _feeding_lines(values: Values) -> pd.DataFrame:
    """The lines in use; sums of a line of which nothing is known are not 0 but unknown."""
    frame = _frame(values, "Plan", LINES, _lines(values, "Plan"))
    nothing = frame["not_known"] == values.book.size("month")
    frame.loc[nothing, list(AMOUNTS_OF_LINES)] = np.nan
    return frame


def _balance(values: Values) -> pd.DataFrame:
    """The blocks of Balance, one row a group, month and nutrient."""
    import pandas as pd

    keep = _named(values, "Balance", "group")
    members = values.book.dimensions["nutrient"]
    columns: dict[str, Any] = {
        "group": np.repeat(values.column("Balance", "group")[keep], len(members)),
        "month": np.repeat(_dates(values.column("Balance", "month")[keep]), len(members)),
        "nutrient": np.tile(_of_nutrients(values, "nutrient"), keep.sum()),
        "unit": np.tile(_of_nutrients(values, "shown_unit"), keep.sum()),
    }
    for new, old in BALANCE.items():
        block = [values.column("Balance", old, member)[keep] for member in members]
        columns[new] = np.stack(block, axis=1).reshape(-1)
    return pd.DataFrame(columns)


def _of_nutrients(values: Values, column: str) -> Array:
    """A column of the sheet Nutrients for those that are balanced; more may stand there."""
    table = values.book.lists["nutrient"]
    all_of_them = values.book.dimensions[table.dimensions[0]]
    rows = [all_of_them.index(member) for member in values.book.dimensions["nutrient"]]
    found: Array = values.column(table.name, column)[rows]
    return found


def _named(values: Values, table: str, column: str) -> Array:
    """Which rows have a name."""
    return np.array([word is not None for word in values.column(table, column)])


def _lines(values: Values, table: str) -> Array:
    """Feeding lines in use: a group with a name, a product that is not "none", known or not."""
    other: Array = values.column(table, "used") != 0
    return _named(values, table, "group") & _named(values, table, "product") & other


def _dates(days: Array) -> Array:
    """Day numbers as dates, for pandas."""
    known = ~np.isnan(days)
    dates: Array = np.datetime64(EPOCH, "s") + np.where(known, days, 0).astype("m8[D]")
    dates[~known] = np.datetime64("NaT")
    return dates


def _units(values: Values) -> dict[str, str]:
    """The unit of each column of the frames that has one; of daily needs see their own column."""
    found = {}
    for table, names in FRAMES.items():
        for new, old in names.items():
            column = values.book.tables[table].at.get(old)
            unit = unit_of(column.quantity or old).shown(values.book.us) if column else ""
            if unit and unit != "date":
                found[new] = unit
    return found


def _missing(values: Values) -> Iterator[Problem]:
    """What no answer can do without."""
    if np.isnan(values.setting("first_month")):
        yield Problem("Start", "The first month of the plan is missing.", "stop",
                      "Enter it under Settings.")
    if not _named(values, "Herd", "group").any():
        yield Problem("Herd", "No group has a name yet.", "stop", "Begin on that sheet.")


def _problems(values: Values, places: Places) -> Iterator[Problem]:
    """What Checks counts, row by row."""
    cells: dict[tuple[str, int], str] = {}
    for (name, number, _), cell in places.items():
        cells.setdefault((name, number), cell)
    said = set()
    for name, column, check, do in (each for each in CHECKS if each[0] != "Safety"):
        found = _found(values.column(name, column))
        severity = "note" if (name, column) in NOTES else "look"
        if not values.book.tables[name].entries and "month" in values.book.tables[name].at:
            yield from _by_group(values, name, found, (check, severity, do))
            continue
        words = values.column(name, SAID_BY.get((name, column), column))
        for row in found:
            where = cells.get((name, row + 1), f"{name} no. {row + 1}")
            where += _called(values, values.book.tables[name], row)
            what = words[row].strip() if column == "note" else f"{words[row].strip()}."
            if (where, what) not in said:
                yield Problem(where, what, severity, "" if column == "note" else do)
            said.add((where, what))


def _by_group(values: Values, name: str, found: list[int], says: tuple[str, str, str]
              ) -> Iterator[Problem]:
    """What is worked out month by month: one line a group, not one a month."""
    check, severity, do = says
    groups = values.column(name, "group")[found]
    for group in dict.fromkeys(groups):
        yield Problem(f"{name} ({group})", f"{check}: {(groups == group).sum()}.", severity, do)


def _found(column: Array) -> list[int]:
    """The rows that Checks counts: those with words, or with a number above 0."""
    if column.dtype == object:
        return [row for row, word in enumerate(column) if word is not None]
    return [int(row) for row in np.flatnonzero(np.nan_to_num(column) > 0)]


def _called(values: Values, table: Table, row: int) -> str:
    """What a user knows a row by: its sample, group, forage, product, month; "" where nothing."""
    parts = []
    for name in ("sample_id", "group", "forage", "product", "month"):
        if name not in table.at or (name == "forage" and table.name == "Samples"):
            continue
        value = values.whole(table, table.at[name])[row]
        if isinstance(value, float) and not np.isnan(value):
            value = f"{_dates(np.array([value]))[0].item():%b %Y}"
        if isinstance(value, str):
            parts.append(value)
    return f" ({', '.join(parts)})" if parts else ""


def _records(frame: pd.DataFrame) -> list[dict[str, Any]]:
    """A frame's rows; dates as text, unknown as None."""
    rows = []
    for row in frame.to_dict("records"):
        rows.append({str(name): _plain(value) for name, value in row.items()})
    return rows


def _plain(value: Any) -> Any:
    if value is None or value != value:
        return None
    return value.date().isoformat() if hasattr(value, "date") else value
