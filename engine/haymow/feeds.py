"""Published forages and feeds by a word of their name: what `haymow feeds` lists."""

from __future__ import annotations

import difflib
import re
from collections.abc import Mapping
from dataclasses import dataclass

from .problems import InputError
from .tables.small import ANALYTES, rows_of

__all__ = ["TableRow", "all_rows", "find"]

KINDS = {"table_forages": ("forage", "table_forage", "statistic"),
         "table_feeds": ("feed", "table_feed", "form")}
MORE = ("npn_pct_of_cp", "starch_pct_dm")


@dataclass(frozen=True)
class TableRow:
    """A row of a published table.

    ``values`` are of dry matter, in the units of the sheet Table forages or Table feeds (% of DM;
    ppm of DM for trace minerals; Mcal/kg DM for NEm); DM is % as fed, RDP and NPN are % of CP. What
    the table does not say is not in it. ``source`` is a key of the bibliography; ``read`` says
    whether it was read there or is remembered.
    """

    kind: str
    name: str
    what: str
    values: Mapping[str, float]
    source: str
    read: bool
    confidence: str
    note: str


def all_rows() -> list[TableRow]:
    """Every row of both tables, forages first."""
    return [_row(table, row) for table in KINDS for row in rows_of(table)]


def find(word: str = "") -> list[TableRow]:
    """The rows in whose names a word begins with each of ``word``; all rows where it is blank.

    Raises InputError, with the nearest names, where nothing fits.

    >>> [row.name for row in find("gluten wet")]
    ['Corn gluten feed, wet']
    """
    wanted = word.casefold().split()
    rows = all_rows()
    found = [row for row in rows
             if all(any(told.startswith(part) for told in _words(row)) for part in wanted)]
    if found:
        return found
    raise InputError(f"no forage or feed of the tables fits '{word}'{_near(word, rows)}; "
                     "'haymow feeds' lists all.")


def _row(table: str, row: Mapping[str, str]) -> TableRow:
    kind, name, what = KINDS[table]
    values = {key: float(row[key]) for key in (*ANALYTES, *MORE) if row.get(key)}
    return TableRow(kind, row[name], row[what], values, row["source"], row["seen"] == "yes",
                    row["confidence"], row["note"])


def _words(row: TableRow) -> list[str]:
    return re.findall(r"[\w%.-]+", f"{row.name} {row.what}".casefold())


def _near(word: str, rows: list[TableRow]) -> str:
    """A hint at what may have been meant."""
    words = sorted({told for row in rows for told in _words(row)})
    near = difflib.get_close_matches(word.casefold(), words, n=3, cutoff=0.5)
    return f" (near it: {', '.join(near)})" if near else ""
