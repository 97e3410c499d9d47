"""What commands about samples print: what to take, how sure it is, what reports say."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from ..tables.small import rows_of
from . import show

if TYPE_CHECKING:
    import pandas as pd

    from ..report_card import Card, LotHistory
    from ..risk import Risk
    from ..samples import SamplePlan

__all__ = ["card", "histories", "plan", "risk", "risk_record"]

SHOWN = ("dm", "cp", "adf", "ndf", "tdn", "ca", "p")


def plan(planned: SamplePlan) -> None:
    """What to take of each forage, what to take along, then labels to cut out."""
    print(f"{planned.told}\n")
    for row in planned.as_records()["forages"]:
        print(f"{row['forage']}: {row['take']}.")
        days = ", ".join(row["days"]) or "not known; set the first month, or a day of its own"
        print(f"  Days: {days}")
        print(f"  Ask the laboratory for: {row['ask_for']}.")
        on_the_way = ", ".join(f"{row[status]} {status}" for status in (
            "planned", "taken", "sent", "received", "used") if row[status])
        money = [words.format(row[name]) for name, words in (
            ("tests_usd", "tests and mailing ${:,.0f}"),
            ("not_testing_usd", "not testing may cost ${:,.0f} of protein")) if row[name]]
        print(f"  Samples: {on_the_way or 'none'}. " + "; ".join(money).capitalize() + ".")
    print("\nTake along, and how:")
    for row in planned.kinds.itertuples():
        print(f"  {row.kind_of_sample} ({row.still_to_take:.0f} to take): {row.take_along}.")
        print(f"    {row.how_to_take}. Bag: {row.bag_and_mailing}. Follow your laboratory's rules.")
    for row in planned.labels.itertuples():
        print(f"\n[ ] {row.label}\n    {row.bag_and_mailing}")


def risk(found: Risk, worth: Mapping[str, float]) -> None:
    """Chances of enough by month: forage alone, then with the plan; then what a sample is worth."""
    frame = found.chances
    known = frame[frame["chance_alone"].notna()]
    if known.empty:
        print("Nothing to be unsure about yet: sample a forage twice to see how sure it is.")
    words = {row["nutrient"]: row["short"] for row in rows_of("nutrients")}
    names = list(dict.fromkeys(frame["nutrient"]))
    for group in dict.fromkeys(known["group"]):
        rows = []
        for month, each in known[known["group"] == group].groupby("month", sort=True):
            cells = dict(zip(each["nutrient"], zip(each["drawn_alone"], each["drawn_plan"],
                                                   strict=True), strict=True))
            pairs = [_pair(*cells[n]) if n in cells else "" for n in names]
            rows.append([f"{month:%b %Y}", *pairs])
        show.table(f"{group}: chance of enough, %, forage alone / with the plan",
                   ["Month", *(words[name] for name in names)], rows,
                   right=len(names))
    for name, usd in worth.items():
        print(f"{name}: one more sample is worth about ${usd:,.0f} of protein fed for safety.")


def _pair(alone: float, with_plan: float) -> str:
    return " / ".join("?" if each != each else f"{each:.0f}" for each in (alone, with_plan))


def risk_record(found: Risk) -> dict[str, Any]:
    """The same for a program."""
    plain = {name: _records(frame)
             for name, frame in (("chances", found.chances), ("all_met", found.all_met))}
    return {**plain, "draws": found.draws}


def _records(frame: pd.DataFrame) -> list[dict[str, Any]]:
    return [{str(k): None if v is None or v != v else v for k, v in row.items()}
            for row in frame.to_dict("records")]


# --- what reports say
def card(each: Card) -> None:
    """A card: its first line, then the others indented."""
    first, *rest = each.lines
    print(first)
    for line in rest:
        print(f"  {line}")


def histories(found: Sequence[LotHistory]) -> None:
    """All reports of each lot side by side, then how each differs from the one before."""
    names = [row["nutrient"] for row in rows_of("nutrients") if row["nutrient"] in SHOWN]
    words = {row["nutrient"]: row["short"] for row in rows_of("nutrients")}
    for lot in found:
        print(f"\n{lot.forage}, % of dry matter (DM: as fed)")
        _lines([["Sample", "Sampled", *(words[n] for n in names), "How taken", "Laboratory"],
                *([s.sample_id, f"{s.sampled_on:%Y-%m-%d}" if s.sampled_on else "",
                   *(_number(s.values.get(n)) for n in names), f"{s.how} x {s.spots}", s.lab]
                  for s in lot.samples)])
        for one, other, told in lot.compared:
            print(f"{one} and {other}: {told}.")
        if lot.laboratories:
            print(f"Laboratories: {lot.laboratories}.")


def _lines(rows: list[list[str]]) -> None:
    """Columns as wide as their words; the last one may run on."""
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    for row in rows:
        cells = [cell.ljust(width) for cell, width in zip(row, widths, strict=True)]
        print("  ".join(cells).rstrip())


def _number(value: float | None) -> str:
    return "" if value is None else f"{value:.2f}" if value < 5 else f"{value:.1f}"
