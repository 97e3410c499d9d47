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
from .ranch import Ranch
from .rests_on import dates, named, of_nutrients, quality, samples, settings, sources
from .tables import Table
from .tables.answers import CHECKS, NOTES
from .tables.make import make
from .tables.small import MODES
from .units import unit_of

if TYPE_CHECKING:
    import pandas as pd

__all__ = ["Plan", "plan"]

Array = NDArray[Any]
Names = Mapping[str, str]  # column of a frame -> column of the table
Places = Mapping[tuple[str, int, str], str]  # (table, row number, column) -> cell of a workbook

ANSWERS = {"group_no": "group_no", "group": "group", "sentence": "sentence"}
MONTHS = {"intake_set_by": "rule", "intake": "intake", "milk": "milk",
          "weight": "shrunk_weight"}
BALANCE = {"need": "need_shown", "from_forage": "forage_shown", "from_feeds": "feeds_shown",
           "short_or_over": "over_shown", "pct_of_need": "pct_of_need",
           "still_short": "still_short"}
LINES = {"group_no": "group_no", "group": "group", "head": "head", "line": "line_no",
         "product": "product", "starts_on": "starts_on",
         "ends_before_on": "end_on", "times_per_week": "times_used",
         "per_head": "mean_per_head", "most_per_head": "most_per_head",
         "per_feeding": "per_feeding", "fed": "known_season", "to_buy": "known_bought",
         "cost_usd": "known_usd", "cost_usd_per_head_day": "day_cost_usd_per_head_day",
         "worst_pct_of_need": "least_shown_pct_of_need", "not_known": "not_known",
         "limit": "reason", "words": "words"}
UNSAID = ": what to feed is not known yet; 'haymow check' lists what is missing"
AMOUNTS_OF_LINES = ("per_head", "most_per_head", "per_feeding", "fed", "to_buy", "cost_usd",
                    "cost_usd_per_head_day")
AMOUNTS = {"group_no": "group_no", "group": "group", "month": "month", "line": "line_no",
           "product": "product", "per_head": "per_head_or_none", "fed": "fed",
           "cost_usd": "cost_usd"}
BUDGET = {"month": "month", "fed": "month_fed", "to_buy": "month_bought", "cost_usd": "month_usd",
          "not_known": "not_known"}
SAID_BY = {  # check -> the column of its table that says it in words, where it is no words itself
    **{("Plan", column): "reason" for table, column, _, _ in CHECKS if table == "Plan"
       and column != "note"}, ("Measures", "nitrate_look"): "nitrate_words",
    ("Feeding", "too_short"): "room_words", ("OnHand", "lot_flag"): "lot_words"}
FEED_SHEET = {"group_no": "group_no", "group": "group", "line": "line_no", "month": "month",
              "feed": "feed", "from_on": "sheet_from_on", "until_on": "sheet_until_on",
              "times_per_week": "sheet_times", "one_feeding": "sheet_feeding",
              "in_loads": "loads", "a_head_each_time": "sheet_meal", "how": "how", "care": "care"}
FRAMES = {"Needs": MONTHS, "Plan": LINES, "Amounts": AMOUNTS, "Budget": BUDGET,
          "FeedSheet": FEED_SHEET}


@dataclass(frozen=True)
class Plan:
    """A feeding season worked out. Frames are in the ranch's units; ``units`` names them by column.

    ``answers``: group, sentence. ``months``: group, month, state of forage alone, the first
    nutrient that is short or not known, intake and what sets it, milk, shrunk weight, which table
    values it rests on. ``needs`` and ``balance``: group, month, nutrient, unit, then daily amounts
    a head; ``short_or_over`` is forage alone, ``pct_of_need`` the whole diet; ``still_short`` is 1
    where that falls short by more than rounding, else 0. ``lines``: one row a feeding line in use;
    ``ends_before_on`` is the first day without it, and sums are of the months that are known
    (``not_known`` counts the others). ``amounts``: the lines month by month. ``feed_sheet``: what
    whoever feeds takes along, by group, line and month. ``budget``: by month. ``safety``: group,
    month, hazard, severity (ok, not known, look, hazard), what, do, ask. ``checks``: what to look
    at. ``on_hand``: how long each lot lasts, and the herd's feed, in sentences. ``quality``
    (forage, month, nutrient) and ``samples`` (one row a value that a laboratory gave) are in dry
    matter; ``settings`` and ``sources`` are what the plan rests on.
    What is not known is NaN or None, never 0.
    """

    answers: pd.DataFrame
    months: pd.DataFrame
    needs: pd.DataFrame
    balance: pd.DataFrame
    lines: pd.DataFrame
    amounts: pd.DataFrame
    feed_sheet: pd.DataFrame
    budget: pd.DataFrame
    safety: pd.DataFrame
    checks: pd.DataFrame
    on_hand: tuple[str, ...]
    quality: pd.DataFrame
    samples: pd.DataFrame
    settings: pd.DataFrame
    sources: pd.DataFrame
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
    balance = _balance(values)
    return Plan(
        answers=_answers(values),
        months=_months(values),
        needs=balance[["group", "month", "nutrient", "unit", "need"]],
        balance=balance,
        lines=_feeding_lines(values),
        amounts=_amounts(values),
        feed_sheet=_feed_sheet(values),
        budget=_frame(values, "Budget", BUDGET),
        safety=safety.frame(values),
        checks=_frame(values, "Checks", {n: n for n in ("check", "found", "result", "do")}),
        on_hand=tuple(f"{words}." for words in values.column("OnHand", "lot_words") if words)
        + tuple(str(words) for words in values.column("Decision", "decide_words") if words),
        quality=quality(values), samples=samples(values), settings=settings(values),
        sources=sources(values.book),
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
        columns[new] = dates(column) if new == "month" or new.endswith("_on") else column
        if new in ("line", "group_no", "found", "not_known"):
            columns[new] = columns[new].astype(int)
    return pd.DataFrame(columns)


def _answers(values: Values) -> pd.DataFrame:
    """A sentence for each group; one of which too little is known says so."""
    frame = _frame(values, "Answers", ANSWERS, named(values, "Answers", "group"))
    missing = frame["sentence"].isna()
    frame.loc[missing, "sentence"] = frame["group"].map(str) + UNSAID
    return frame


def _months(values: Values) -> pd.DataFrame:
    """Balance's words beside what Needs says of the same months: both have a row a month."""
    keep = named(values, "Needs", "group")
    frame = _frame(values, "Balance", {"group": "group", "month": "month", "state": "state",
                                       "on_table_values": "table_use"}, keep)
    nutrients = [None, *of_nutrients(values, "nutrient")]
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
    modes = values.column("Plan", "mode_no")[_lines(values, "Plan")]
    frame["mode"] = [MODES[int(number) - 1] if number == number else None for number in modes]
    return frame


def _amounts(values: Values) -> pd.DataFrame:
    """The lines month by month; the column itself has 0 a head where nothing is known."""
    keep = _lines(values, "Amounts")
    frame = _frame(values, "Amounts", AMOUNTS, keep)
    unknown = np.isnan(values.column("Amounts", "per_head_kg_per_day")[keep])
    frame.loc[unknown, "per_head"] = np.nan
    return frame


def _feed_sheet(values: Values) -> pd.DataFrame:
    """What goes out month by month, known or not."""
    fed = values.column("FeedSheet", "sheet_fed_no") != 0
    return _frame(values, "FeedSheet", FEED_SHEET, named(values, "FeedSheet", "group") & fed
                  & named(values, "FeedSheet", "product"))


def _balance(values: Values) -> pd.DataFrame:
    """The blocks of Balance, one row a group, month and nutrient."""
    import pandas as pd

    keep = named(values, "Balance", "group")
    members = values.book.dimensions["nutrient"]
    columns: dict[str, Any] = {
        "group": np.repeat(values.column("Balance", "group")[keep], len(members)),
        "month": np.repeat(dates(values.column("Balance", "month")[keep]), len(members)),
        "nutrient": np.tile(of_nutrients(values, "nutrient"), keep.sum()),
        "unit": np.tile(of_nutrients(values, "shown_unit"), keep.sum()),
    }
    for new, old in BALANCE.items():
        block = [values.column("Balance", old, member)[keep] for member in members]
        columns[new] = np.stack(block, axis=1).reshape(-1)
    return pd.DataFrame(columns)


def _lines(values: Values, table: str) -> Array:
    """Feeding lines in use: a group with a name, a product that is not "none", known or not."""
    other: Array = values.column(table, "used") != 0
    return named(values, table, "group") & named(values, table, "product") & other


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
    if not named(values, "Herd", "group").any():
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
            value = f"{dates(np.array([value]))[0].item():%b %Y}"
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
