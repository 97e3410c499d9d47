"""The parts of the report, each from the frames of a plan."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from .. import plots
from ..plan_words import still_short
from ..problems import Problem
from . import cautions
from .figures import amount, dated, day, last_day, number, often, words
from .markup import Html, figure, items, joined, paragraphs, section, table, tag

if TYPE_CHECKING:
    import pandas as pd

    from ..plan import Plan

__all__ = ["answer", "by_group", "costs", "forage", "not_known", "on_table_values", "sources",
           "to_feed", "what_can_kill"]


def answer(planned: Plan) -> Html:
    """What to feed, in sentences, and what it costs."""
    said = planned.answers["sentence"].tolist() or ["No group has a name yet."]
    cost = f"{planned.cost[0].upper()}{planned.cost[1:]}. {planned.overall}"
    return section("What to feed", paragraphs([*said, cost]), klass="answer")


def to_feed(planned: Plan) -> Html:
    """The feeding lines of all groups."""
    units = planned.units
    rows = [(row["group"], row["product"], day(row["starts_on"]), last_day(row["ends_before_on"]),
             often(row["times_per_week"], row["mode"]), amount(row["per_head"]),
             amount(row["per_feeding"]), number(row["to_buy"], 1), number(row["cost_usd"]),
             words(row["limit"])) for row in planned.lines.to_dict("records")]
    return section("Feeding lines", table(
        "Amounts are as fed. Tons and dollars are of the months that are known; ?: not known.",
        ("Group", "Feed", "From", "To", "How often", f"A head, mean, {units['per_head']}",
         f"One feeding of the group, up to, {units['per_feeding']}",
         f"To buy, {units['to_buy']}", "$", "What limits it"), rows, words=5)
        if rows else tag("p", "No feed is planned."))


def by_group(planned: Plan) -> Iterator[Html]:
    """A part for each group: what is short, what the feeds do about it, month by month."""
    count = len(planned.balance) // max(len(planned.answers), 1)
    months = len(planned.months) // max(len(planned.answers), 1)
    short = list(still_short(planned))
    for number_, group in enumerate(planned.answers["group"]):
        balance = planned.balance[number_ * count:(number_ + 1) * count]
        stays = [str(each) for each in short if each.group == number_]
        said = [planned.answers["sentence"].iloc[number_],
                *(stays or ["With the plan nothing stays short."])]
        by_month = _by_month(planned.months[number_ * months:(number_ + 1) * months], balance,
                             planned) if dated(planned) else []
        yield section(str(group), paragraphs(said), *by_month, klass="page")


def _by_month(months: pd.DataFrame, balance: pd.DataFrame, planned: Plan) -> list[Html]:
    """A group's picture and tables."""
    return [
        figure(plots.supply(balance),
               "Supply against need by month, whole diet, mean of the month."),
        _months(months, planned),
        _block(balance, "short_or_over", "Forage alone: short (-) or over (+) a head and day"),
        _block(balance, "pct_of_need", "Whole diet with the feeds, % of need (!: still short)")]


def _months(months: pd.DataFrame, planned: Plan) -> Html:
    rows = [(f"{row['month']:%b %Y}", words(row["state"]), number(row["intake"], 1),
             words(row["intake_set_by"])) for row in months.to_dict("records")]
    return table("Forage month by month", ("Month", "Forage alone",
                 f"Eaten, dry matter, {planned.units['intake']}", "Set by"), rows, words=2)


def _block(balance: pd.DataFrame, column: str, caption: str) -> Html:
    """Months down, nutrients across."""
    nutrients = list(dict.fromkeys(balance["nutrient"]))
    share = column == "pct_of_need"
    units = ["%"] * len(nutrients) if share else balance["unit"].tolist()[:len(nutrients)]
    rows = []
    for month, of in balance.groupby("month", sort=False):
        cells = [_share(value, left) if share else number(value, 2)
                 for value, left in zip(of[column], of["still_short"], strict=True)]
        rows.append((f"{month:%b %Y}", *cells))
    heads = ["Month", *(f"{name}, {unit}" for name, unit in zip(nutrients, units, strict=True))]
    return table(f"{caption}; ?: not known", heads, rows)


def _share(value: float, still_short: float) -> str:
    """A share of the need; cut, not rounded, where it is short, so that it never reads 100."""
    return f"{int(value)} !" if still_short == 1 else number(value)


def forage(planned: Plan) -> Html:
    """Each forage with more than one sample on its curve."""
    figures = []
    for forage_no, tested in planned.samples.groupby("forage_no"):
        if dated(planned) and tested["sample_id"].nunique(dropna=False) > 1:
            held = planned.quality[planned.quality["forage_no"] == forage_no]
            figures.append(joined([tag("h3", str(tested["forage"].iloc[0])), figure(
                plots.curve(held, tested), "In dry matter. Line: what the plan counts with; points:"
                " samples, each in its month of the year.")]))
    if not figures:
        return Html("")
    return section("Forage through the season", *figures, klass="page")


def costs(planned: Plan) -> Html:
    """Tons and dollars by month."""
    budget, units = planned.budget, planned.units
    if not dated(planned):
        return Html("")
    rows = [(f"{row['month']:%b %Y}", number(row["fed"], 1), number(row["to_buy"], 1),
             ("at least " if row["not_known"] else "") + number(row["cost_usd"]))
            for row in budget.to_dict("records")]
    heads = ("Month", f"Fed, {units['fed']}", f"To buy, {units['to_buy']}", "$")
    return section("Cost by month", tag("p", f"{planned.cost[0].upper()}{planned.cost[1:]}."),
                   figure(plots.costs(budget), "What the plan's feeds cost in each month."),
                   table("All groups; losses are counted in what is to buy", heads, rows))


def on_table_values(planned: Plan) -> Html:
    """Which answers rest on published values instead of a test."""
    told = []
    for group, of in planned.months.groupby("group", sort=False):
        for said, rows in of[of["on_table_values"].fillna("") != ""].groupby(
                "on_table_values", sort=False):
            told.append(f"{group}, {_counted(len(rows))}: {said}")
    return section("What rests on table values", tag(
        "p", "A table value is of another field and year: sample the forage, or ask for the tag.")
        if told else tag("p", "Nothing: no table value stands in for a test."), items(told))


def _counted(months: int) -> str:
    return f"{months} month{'' if months == 1 else 's'}"


def not_known(planned: Plan, found: Sequence[Problem]) -> Html:
    """What could not be said, and what is to be looked at."""
    unknown = [str(each) for each in still_short(planned) if each.what == "not known"]
    lines = [f"{row['group']}, {row['product']}: the amount is not known in"
             f" {_counted(row['not_known'])}." for row in planned.lines.to_dict("records")
             if row["not_known"]]
    told = [*unknown, *lines]
    looks = [str(problem) for problem in found]
    return joined([
        section("What is not known", items(told) if told else tag(
            "p", "Need and supply of the nutrients above are known in all months.")),
        section("To look at", items(looks) if looks else tag("p", "Nothing."))])


def what_can_kill() -> Html:
    """The cautions."""
    return section("Cautions", items(cautions.ALL), klass="caution")


def sources(planned: Plan) -> Html:
    """Publications and settings behind the numbers."""
    rows = [(row["citation"], "read" if row["read"] else "part of it from memory")
            for row in planned.sources.to_dict("records")]
    in_use = [(row["setting"], _set(row["value"], row["usual"]), row["unit"], row["source"])
              for row in planned.settings.to_dict("records")]
    return section("Sources", table("Publications behind the equations", ("Publication", "Read?"),
                                    rows, words=2),
                   table("Settings in use", ("Setting", "Value", "Unit", "Source"), in_use,
                         words=4), klass="page")


def _set(value: float, usual: float) -> str:
    """A setting, and the usual value where it is another one."""
    told, known = ("blank" if each != each else f"{each:g}" for each in (value, usual))
    return told if told == known else f"{told} (usual: {known})"
