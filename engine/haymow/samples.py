"""Samples from plan to shelf: what to take next, labels, and rows for what is planned."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from typing import TYPE_CHECKING, Any

import numpy as np

from .evaluate import Values
from .ranch import EPOCH, Cell, Ranch, sizes_for
from .tables.make import make

if TYPE_CHECKING:
    import pandas as pd

__all__ = ["SamplePlan", "day_of", "sample_plan", "with_planned"]

FORAGES = {"forage": "forage", "take": "sampling_words", "ask_for": "ask_words",
           "spots": "spots_used", "tests_usd": "tests_cost_usd",
           "not_testing_usd": "not_testing_usd"}
MARGINS = ("cp", "tdn", "ca", "p")
STATUSES = ("planned", "taken", "sent", "received", "used")
KINDS = {"kind_of_sample": "how", "still_to_take": "still_to_take", "take_along": "tool",
         "how_to_take": "take", "bag_and_mailing": "handle"}
GREEN_STEP, CURED_STEP = 1, 2  # months between two samples of a pasture


@dataclass(frozen=True)
class SamplePlan:
    """What to sample.

    ``forages``: one row a forage: words, days, cores or spots, margins (% of DM), cost, and how
    many samples are planned, taken, sent, received, used. ``labels``: what is still to be taken,
    with the words to write on the bag. ``kinds``: what to take along and how to handle it, only
    kinds in use. ``told``: the sentence on Start. What is not known is NaN or None.
    """

    forages: pd.DataFrame
    labels: pd.DataFrame
    kinds: pd.DataFrame
    told: str

    def as_records(self) -> dict[str, Any]:
        """The plan as plain lists and words, for JSON."""
        found: dict[str, Any] = {"told": self.told}
        for field in fields(self)[:3]:
            frame = getattr(self, field.name)
            found[field.name] = [{str(k): None if v is None or v != v else v
                                  for k, v in row.items()} for row in frame.to_dict("records")]
        return found


def sample_plan(ranch: Ranch) -> SamplePlan:
    """What to take where, when, with what, and how sure the result will be."""
    import pandas as pd

    values = Values(make(ranch), ranch)
    forages = _frame(values, "Sampling", FORAGES)
    days = sampling_days(values)
    forages.insert(2, "days", [[day.isoformat() for day in each] for each in days])
    for nutrient in MARGINS:
        forages[f"{nutrient}_within"] = values.column("Sampling", "margin_reached", nutrient)
    for status in STATUSES:
        forages[status] = values.column("Sampling", "on_the_way", status).astype(int)
    labels = _frame(values, "Labels", {"sample_id": "sample_id", "label": "label_words",
                                       "bag_and_mailing": "label_handle"})
    labels["planned_on"] = [day_of(number) for number in values.column("Labels", "planned_on")]
    kinds = _frame(values, "SampleKinds", KINDS)
    in_use = {int(row) for row in values.column("Sampling", "how_row") if row == row}
    kinds = kinds[[row in in_use for row in range(1, len(kinds) + 1)]]
    return SamplePlan(pd.DataFrame(forages[forages["forage"].notna()]).reset_index(drop=True),
                      pd.DataFrame(labels[labels["label"].notna()]).reset_index(drop=True),
                      pd.DataFrame(kinds).reset_index(drop=True),
                      str(values.column("Season", "sampling_told")[0]))


def with_planned(ranch: Ranch) -> tuple[Ranch, list[str]]:
    """The ranch with a row on Samples for each bag to take, and their ids.

    A forage with samples planned or on their way, and hay that has been tested, gets none.
    """
    values = Values(make(ranch), ranch)
    names = values.column("Sampling", "forage")
    bags = values.column("Sampling", "bags_used")
    changes = values.column("Forages", "changes")[_numbers(values) - 1]
    waiting = np.sum([values.column("Sampling", "on_the_way", s) for s in STATUSES[:4]], axis=0)
    used = values.column("Sampling", "on_the_way", "used")
    rows = {n: dict(cells) for n, cells in ranch.entries.get("Samples", {}).items()}
    ids: list[str] = []
    for k, days in enumerate(sampling_days(values)):
        if names[k] is None or waiting[k] or (used[k] and changes[k] != 1):
            continue
        for day in days:
            for _ in range(int(bags[k])):
                row = _planned_row(str(names[k]), day, rows)
                rows[_free_row(rows)] = row
                ids.append(str(row["sample_id"]))
    entries = {**ranch.entries, "Samples": rows}
    room = max(sizes_for(entries)["sample"], ranch.sizes.get("sample", 0))
    return replace(ranch, entries=entries, sizes={**ranch.sizes, "sample": room}), ids


def sampling_days(values: Values) -> list[list[dt.date]]:
    """For each forage the days to sample: hay once, pasture at each change while it is eaten."""
    due = values.column("Sampling", "due_on")
    changes = values.column("Forages", "changes")[_numbers(values) - 1]
    eaten = _months_eaten(values)
    found = []
    for k, day in enumerate(due):
        if changes[k] == 1 and eaten[k]:
            found.append(_season(values, eaten[k]))
        else:
            first = day_of(day)
            found.append([first] if first else [])
    return found


def _season(values: Values, months: list[int]) -> list[dt.date]:
    """The middle of each green month, and of every other one once the pasture is cured."""
    green = values.column("Calendar", "month_green")
    found: list[dt.date] = []
    last = -CURED_STEP
    for month in months:
        step = GREEN_STEP if green[month] == 1 else CURED_STEP
        day = day_of(values.column("Calendar", "mid_day")[month])
        if month - last >= step and day:
            found.append(day)
            last = month
    return found


def _months_eaten(values: Values) -> list[list[int]]:
    """For each forage the months of the plan (from 0) in which some group eats it."""
    months = values.book.size("month")
    found: list[set[int]] = [set() for _ in range(values.book.size("forage"))]
    groups = [name is not None for name in values.column("Diet", "group")]
    for part, share in (("main", "main_pct"), ("second", "second_pct_used"),
                        ("third", "third_pct_used")):
        number, eaten = values.column("Diet", f"{part}_no"), values.column("Diet", share)
        for row in np.flatnonzero(~np.isnan(number) & (np.nan_to_num(eaten) > 0) & groups):
            found[int(number[row]) - 1].add(int(row) % months)
    return [sorted(each) for each in found]


def _numbers(values: Values) -> Any:
    return np.arange(1, values.book.size("forage") + 1)


def _frame(values: Values, table: str, names: Mapping[str, str]) -> pd.DataFrame:
    import pandas as pd

    return pd.DataFrame({new: values.column(table, old) for new, old in names.items()})


def day_of(number: float) -> dt.date | None:
    """The date of a spreadsheet's day number; None where it is not known."""
    return None if number != number else EPOCH + dt.timedelta(int(number))


def _planned_row(forage: str, day: dt.date, rows: Mapping[int, Mapping[str, Cell]]
                 ) -> dict[str, Cell]:
    """A row with an id of its own: the forage's initials, year and month, a count."""
    initials = "".join(word[0] for word in forage.split() if word[0].isalnum()).upper() or "S"
    taken = {str(cells.get("sample_id") or "").casefold() for cells in rows.values()}
    count = 1
    while (name := f"{initials}-{day:%y%m}-{count}").casefold() in taken:
        count += 1
    return {"sample_id": name, "forage": forage, "planned_on": day}


def _free_row(rows: Mapping[int, Mapping[str, Cell]]) -> int:
    used = {n for n, cells in rows.items() if any(v not in (None, "") for v in cells.values())}
    return next(n for n in range(1, len(used) + 2) if n not in used)
