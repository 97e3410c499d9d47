"""What can harm in the whole diet, hazard by hazard: a long frame, and problems for words."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from .evaluate import Values
from .problems import Problem
from .ranch import EPOCH
from .tables.safety import HAZARD, LOOK, NOT_KNOWN, ROWS, SEVERITIES

if TYPE_CHECKING:
    import pandas as pd

__all__ = ["dangers", "frame", "problems"]

Array = NDArray[Any]
TO_DO = {HAZARD: "do_danger", LOOK: "do_look", NOT_KNOWN: "do_unknown"}


def frame(values: Values) -> pd.DataFrame:
    """Group, month, hazard, severity, what, do, ask: a row for each hazard that could be."""
    import pandas as pd

    parts = []
    for row in ROWS:
        state = values.column("Safety", "state", row["key"])
        keep = np.nan_to_num(state) > 0
        severity = state[keep].astype(int)
        parts.append(pd.DataFrame({
            "group": values.column("Safety", "group")[keep],
            "month": _dates(values.column("Safety", "month")[keep]),
            "hazard": row["hazard"], "severity": [SEVERITIES[number] for number in severity],
            "what": values.column("Safety", f"{row['key']}_words")[keep],
            "do": [row[TO_DO[number]] if number in TO_DO else "" for number in severity],
            "ask": row["ask"]}))
    found = pd.concat(parts, ignore_index=True)
    return found.sort_values(["group", "month"], kind="stable", ignore_index=True)


def dangers(values: Values) -> Iterator[Problem]:
    """What is a hazard, group by group: said before everything else."""
    for rows in _groups(values):
        for row in ROWS:
            yield from _said(values, rows, row, HAZARD)


def problems(values: Values) -> Iterator[Problem]:
    """For each group what to look at, then what is not known."""
    for rows in _groups(values):
        for row in ROWS:
            yield from _said(values, rows, row, LOOK)
        yield from _energy(values, rows)
        yield from _unknown(values, rows)


def _groups(values: Values) -> Iterator[Array]:
    """The rows of each group with a name."""
    groups = values.column("Safety", "group")
    for group in dict.fromkeys(name for name in groups if name is not None):
        yield np.flatnonzero(groups == group)


def _said(values: Values, rows: Array, row: dict[str, str], severity: int) -> Iterator[Problem]:
    """One hazard of one group, in the words of its first month."""
    found = rows[values.column("Safety", "state", row["key"])[rows] == severity]
    if len(found):
        words = values.column("Safety", f"{row['key']}_words")[found[0]]
        yield Problem(_where(values, found), f"{row['hazard']}, {SEVERITIES[severity]}: {words}.",
                      "look", f"{row[TO_DO[severity]]} Ask {row['ask']}.")


def _energy(values: Values, rows: Array) -> Iterator[Problem]:
    """Where protein will not fix the forage, and the plan leaves the energy short."""
    found = rows[np.nan_to_num(values.column("Safety", "energy_open")[rows]) > 0]
    if len(found):
        words = str(values.column("Safety", "protein_words")[found[0]])
        yield Problem(_where(values, found), f"{words[0].upper()}{words[1:]}.", "look",
                      "Plan a feed for energy, better hay or fewer head.")


def _unknown(values: Values, rows: Array) -> Iterator[Problem]:
    """What cannot be judged in some month: one line a group."""
    names = [row["hazard"] for row in ROWS
             if (values.column("Safety", "state", row["key"])[rows] == NOT_KNOWN).any()]
    if names:
        group = values.column("Safety", "group")[rows[0]]
        yield Problem(f"Safety ({group})", f"Not known in some month: {', '.join(names)}.", "note",
                      "What is not known is not safe: see Safety and Hazards for what to order.")


def _where(values: Values, rows: Array) -> str:
    """Sheet, group, and in which months."""
    group = values.column("Safety", "group")[rows[0]]
    first = _dates(values.column("Safety", "month")[rows[:1]])[0].item()
    when = f"{first:%b %Y}" if first else "no month"
    return f"Safety ({group}, {when})" if len(rows) == 1 \
        else f"Safety ({group}, {len(rows)} months from {when})"


def _dates(days: Array) -> Array:
    known = ~np.isnan(days)
    dates: Array = np.datetime64(EPOCH, "s") + np.where(known, days, 0).astype("m8[D]")
    dates[~known] = np.datetime64("NaT")
    return dates
