"""Table values of forages and feeds: fixed rows that a user may let stand in for a test."""

from __future__ import annotations

from typing import Any

from .book import Table
from .kinds import Calc, Column, Entry, Key, Link, Names, Pull, Say, Which
from .small import ANALYTES, CORE, MINERALS, rows_of

__all__ = [
    "MEMBERS", "ROWS", "rests", "stand_in", "stands_in", "table_feeds", "table_forages", "told",
]

BLOCK: dict[str, Any] = {"over": "analyte", "measure": "table"}
BASIC = tuple(a for a in ANALYTES if a not in MINERALS)
ROWS = {
    # a standard deviation is no composition and must never stand in
    "table_forage": tuple(row for row in rows_of("table_forages") if row["statistic"] != "sd"),
    "table_feed": rows_of("table_feeds"),
}
MEMBERS = {dimension: tuple(range(1, len(rows) + 1)) for dimension, rows in ROWS.items()}
TOLD = (("source", "Source, key on Sources"), ("seen", "Read there?"),
        ("confidence", "How it was taken over"), ("table_note", "Note"))


def table_forages() -> Table:
    """Forages of published tables."""
    return _table("TableForages", "Table forages", "table_forage", "Forage of a table", (
        ("statistic", "What it is"), ("samples", "Samples")), ())


def table_feeds() -> Table:
    """Feeds of published tables."""
    return _table("TableFeeds", "Table feeds", "table_feed", "Feed of a table", (
        ("feed_class", "Class"), ("form", "Form")), (
        ("npn_pct_of_cp", "NPN, table, % of CP"), ("starch_pct_dm", "Starch, table, % of DM")))


def _table(name: str, sheet: str, dimension: str, label: str, words: tuple[tuple[str, str], ...],
           numbers: tuple[tuple[str, str], ...]) -> Table:
    rows = ROWS[dimension]
    block = Key(name="content", label="In dry matter", front=True, open=CORE, **BLOCK,
                data=tuple(_numbers(dimension, analyte) for analyte in ANALYTES))
    return Table(name, (dimension,), (
        Key(name=f"{dimension}_no", dimension=dimension, label="No.", front=True),
        Key(name=dimension, label=label, front=True, data=tuple(row[dimension] for row in rows)),
        *(Key(name=n, label=told, front=True, data=tuple(row[n] for row in rows))
          for n, told in words),
        block,
        *(Key(name=f"table_{n}", label=told, front=True, data=_numbers(dimension, n))
          for n, told in numbers),
        *(Key(name=n, label=told, front=True,
              data=tuple(row[n.removeprefix("table_")] for row in rows)) for n, told in TOLD)),
        sheet=sheet, purpose="Published values, not of this year and place: a test goes first."
                             " Blank is not known. Keys of sources stand on Sources.")


def _numbers(dimension: str, column: str) -> tuple[float | None, ...]:
    return tuple(float(row[column]) if row[column] else None for row in ROWS[dimension])


def stand_in(to: str, key: str, hint: str) -> Entry:
    """The cell in which a user names the row of a table that may stand in."""
    return Entry(name="stand_in", what="choice", choices=f"{to}.{key}", label="Table value",
                 front=True, hint=hint)


def stands_in(to: str, key: str, used: str, own: tuple[str, ...], number: str, by: str = ""
              ) -> list[Column]:
    """Values of the row that stands in, and where it does; ``own`` is looked at first.

    ``number`` is a column that is never blank: it tells a cell left empty from an unknown word.
    """
    return [
        Link(name="stand_in_row", to=to, by_name="stand_in", key=key, label="Row of the table"),
        Link(name="stand_in_settled", to=to, by_name="stand_in", key=key, blank=number,
             label="Table value settled"),
        Pull(name="table_value", via="stand_in_row", of="content", label="Table value", **BLOCK),
        Calc(name="stands_in", over="analyte", label="Table value stands in", by=by,
             may_be_blank=(*own, "table_value", "table_value_dm", "table_value_rdp")),
        *rests("stands_in", used), Calc(name="table_no"),
    ]


def rests(flags: str, used: str) -> list[Column]:
    """What is named of a block of flags: the basic analytes, the minerals, whether any at all."""
    return [
        Names(name="table_basic", of=flags, used=used, only=BASIC, label="Table values, basic"),
        Names(name="table_minerals", of=flags, used=used, only=MINERALS,
              label="Table values, minerals"),
        Which(name=f"first_{flags}", of=flags, label="First table value"),
    ]


def told(by: str, words: str) -> Say:
    """The mark that people read: which values rest on a table."""
    return Say(name="table_use", by=by, label="Rests on table values", front=True, unknown="",
               sentences=("", *[words] * 2))
