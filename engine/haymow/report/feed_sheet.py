"""The feed sheet: for each group a page for whoever feeds."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from . import cautions
from .figures import amount, dated, day, last_day, number, often
from .markup import Html, items, joined, section, table, tag

if TYPE_CHECKING:
    import pandas as pd

    from ..plan import Plan

__all__ = ["feed_sheets"]

ROOM = 8  # empty rows to write on


def feed_sheets(planned: Plan) -> Iterator[Html]:
    """What each group gets: feeds, days, amount of one feeding in each month, room to write."""
    for group, name in planned.answers[["group_no", "group"]].itertuples(index=False):
        yield section(f"Feed sheet: {name}", *_of_group(planned, group),
                      items(cautions.FOR_FEEDING), klass="page sheet")


def _of_group(planned: Plan, group: int) -> list[Html]:
    lines = planned.lines[planned.lines["group_no"] == group]
    fed = lines[~(lines["fed"] == 0)]  # also those of which nothing is known
    if not len(fed):
        return [tag("p", "Nothing is fed besides forage.")]
    if not dated(planned):
        return [tag("p", "The first month of the plan is missing.")]
    amounts = planned.amounts[planned.amounts["group_no"] == group]
    return [_lines(fed, planned), _months(fed, amounts, planned), _to_write(fed)]


def _lines(fed: pd.DataFrame, planned: Plan) -> Html:
    head = number(fed["head"].iloc[0])
    rows = [(row["product"], day(row["starts_on"]), last_day(row["ends_before_on"]),
             often(row["times_per_week"], row["mode"]), f"{amount(row['per_head'])}")
            for row in fed.to_dict("records")]
    return table(f"{head} head. Amounts are as fed; ?: not known, ask before you feed.",
                 ("Feed", "First day", "Last day", "How often",
                  f"A head, mean, {planned.units['per_head']}"), rows, words=4)


def _months(fed: pd.DataFrame, amounts: pd.DataFrame, planned: Plan) -> Html:
    """The amount of one feeding for the whole group, by month; months without feeds left out."""
    lines = fed["line"].tolist()
    heads = ["Month", *(f"{row['product']}, {planned.units['per_feeding']}"
                        + (" a day, about" if row["mode"] == "by its own intake" else " a feeding")
                        for row in fed.to_dict("records"))]
    rows = []
    for month, of in amounts.groupby("month", sort=False):
        known = of.set_index("line")["per_feeding"]
        cells = [known.get(line) for line in lines]
        if any(value != 0 for value in cells):
            rows.append((f"{month:%b %Y}", *(_cell(value) for value in cells)))
    return table("For the whole group", heads, rows)


def _cell(value: Any) -> str:
    return "-" if value == 0 else amount(value)


def _to_write(fed: pd.DataFrame) -> Html:
    """Empty rows: the day, what was fed, by whom."""
    heads = ["Day", *(str(product) for product in fed["product"]), "Head", "Remarks", "By"]
    blank = tag("tr", *[tag("td")] * len(heads))
    return tag("table", tag("caption", "What was fed"), tag("thead", tag("tr", *(
        tag("th", head, scope="col") for head in heads))), tag("tbody", joined([blank] * ROOM)),
        klass="write")
