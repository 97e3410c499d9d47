"""The feed sheet: for each group a page for whoever feeds."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from . import cautions
from .figures import amount, day, number, often, put_out
from .markup import Html, items, joined, paragraphs, section, table, tag

if TYPE_CHECKING:
    import pandas as pd

    from ..plan import Plan

__all__ = ["feed_sheets"]

ROOM = 8  # empty rows to write on
AMOUNTS = ("one_feeding", "in_loads", "a_head_each_time")


def feed_sheets(planned: Plan) -> Iterator[Html]:
    """What each group gets: feeds, days, what one feeding is, room to write."""
    for group, name in planned.answers[["group_no", "group"]].itertuples(index=False):
        yield section(f"Feed sheet: {name}", *_of_group(planned, group),
                      items(cautions.FOR_FEEDING), klass="page sheet")


def _of_group(planned: Plan, group: int) -> list[Html]:
    """A table for each feed, then what to take care of, then empty rows."""
    sheet = planned.feed_sheet[planned.feed_sheet["group_no"] == group]
    lines = planned.lines[planned.lines["group_no"] == group]
    lines = lines[lines["line"].isin(sheet["line"])]
    if not len(lines):
        return [tag("p", "Nothing is fed besides forage.")]
    feeds = [_feed(row, sheet[sheet["line"] == row["line"]], planned)
             for row in lines.to_dict("records")]
    products = dict(zip(lines["line"], lines["product"], strict=True))
    care = {f"Take care: {products[row['line']]} {row['care']}."
            for row in sheet.dropna(subset=["care"]).to_dict("records")}
    head = tag("p", f"{number(lines['head'].iloc[0])} head. Amounts are as fed; ?: not known, ask"
                    " before you feed.")
    return [head, *feeds, paragraphs(sorted(care), "care"), _to_write(lines)]


def _feed(line: dict[Any, Any], months: pd.DataFrame, planned: Plan) -> Html:
    """One feed: how often and how, then its amounts; months of the same amounts together."""
    how = next((f"; {words}" for words in months["how"].dropna()), "")
    head = f"{line['product']}: {often(line['times_per_week'], line['mode'])}{how}"
    rows = []
    for told, run in itertools.groupby(months.to_dict("records"), key=_told):
        same = list(run)
        rows.append((_from(same[0]), _until(same[-1]), *told))
    of_group, of_head = ("The group eats a day, about", "A head a day") \
        if put_out(line["mode"]) else ("One feeding of the group", "A head each time")
    unit = planned.units["one_feeding"]
    return joined([tag("h3", head), table(
        "", ("From", "To", f"{of_group}, {unit}", "Which is", f"{of_head}, {unit}"), rows,
        words=2)])


def _told(row: dict[Any, Any]) -> tuple[str, str, str]:
    loads = row["in_loads"]
    return (amount(row["one_feeding"]), loads if isinstance(loads, str) else "",
            amount(row["a_head_each_time"]))


def _from(row: dict[Any, Any]) -> str:
    """The first day; the month alone where the day is not known."""
    return day(row["from_on"]) if row["from_on"] == row["from_on"] else _month(row["month"])


def _until(row: dict[Any, Any]) -> str:
    return day(row["until_on"]) if row["until_on"] == row["until_on"] else _month(row["month"])


def _month(month: Any) -> str:
    return f"{month:%b %Y}" if month == month else "?"


def _to_write(lines: pd.DataFrame) -> Html:
    """Empty rows: the day, what was fed, by whom."""
    heads = ["Day", *(str(product) for product in lines["product"]), "Head", "Remarks", "By"]
    blank = tag("tr", *[tag("td")] * len(heads))
    return tag("table", tag("caption", "What was fed"), tag("thead", tag("tr", *(
        tag("th", head, scope="col") for head in heads))), tag("tbody", joined([blank] * ROOM)),
        klass="write")
