"""How far the numbers agree with print, source by source."""

from __future__ import annotations

import statistics
from collections.abc import Sequence

import agreement as print_rows

from .markdown import link, page, table

__all__ = ["agreement", "relative"]

Row = dict[str, str]
ABOUT = """\
Numbers that others have printed, worked out again by the engine. Each row names what a publication
gave and what it printed; the test `tests/test_published.py` fails when an answer that agrees leaves
its tolerance, and also when one that is listed as disagreeing starts to agree. The rows stand in
`tests/published/`. No expected value comes from our own output.

- *Agrees*: within the tolerance of the row, mostly half of the last printed digit.
- *Disagrees*: it does not, for the reason given.
- *For reference*: not compared, for the reason given; most are another quantity than the engine's.

Differences are relative to the printed number. Where the source printed two digits only, half of
the last digit alone is up to 5 %."""
LARGEST = 10  # rows shown of those that agree least
STATUSES = {"AGREES": "agree", "DISAGREES": "disagree", "REFERENCE ONLY": "for reference"}


def agreement() -> str:
    """docs/agreement.md."""
    found: dict[str, list[Row]] = {}
    for row in sorted(print_rows.rows(), key=lambda r: (r["source"], r["table"])):
        found.setdefault(row["source"], []).append(row)
    return page("Agreement with print", ABOUT, _total(print_rows.rows()), _summary(found),
                _largest(found), *(_source(key, rows) for key, rows in found.items()))


def relative(row: Row) -> float | None:
    """The difference relative to the printed number; None where that is 0."""
    printed = float(row["value"])
    return abs(print_rows.worked_out(row) - printed) / abs(printed) if printed else None


def _having(rows: Sequence[Row], status: str) -> list[Row]:
    return [row for row in rows if row["status"] == status]


def _spread(rows: Sequence[Row]) -> tuple[str, str]:
    """Median and largest difference of the rows that agree."""
    found = [r for r in map(relative, _having(rows, "AGREES")) if r is not None]
    return (_pct(statistics.median(found)), _pct(max(found))) if found else ("", "")


def _pct(share: float) -> str:
    return f"{100 * share:.2f} %"


def _total(rows: Sequence[Row]) -> str:
    counts = {status: len(_having(rows, status)) for status in STATUSES}
    median, largest = _spread(rows)
    sources = len({row["source"] for row in rows})
    return (f"**{len(rows)} published values from {sources} sources: {counts['AGREES']} agree, "
            f"{counts['DISAGREES']} disagree, {counts['REFERENCE ONLY']} are for reference. Of "
            f"those that agree the median difference is {median}, the largest {largest}.**")


def _largest(found: dict[str, list[Row]]) -> str:
    """Where rows that agree differ most, and why the tolerance is as wide."""
    rows = [row for each in found.values() for row in _having(each, "AGREES")]
    rows.sort(key=lambda row: -(relative(row) or 0))
    return "## Largest differences of those that agree\n\n" + table(
        ("Source", "Where", "Quantity", "Printed", "Ours", "Tolerance", "Difference", "Note"),
        [(link(row["source"], heading=row["source"]), row["where"], f"`{row['quantity']}`",
          _printed(row), _ours(row), row["tolerance"], _pct(relative(row) or 0), row["note"])
         for row in rows[:LARGEST]])


def _summary(found: dict[str, list[Row]]) -> str:
    rows = []
    for key, each in found.items():
        counts = [len(_having(each, status)) or "" for status in STATUSES]
        rows.append((link(key, heading=key), len(each), *counts, *_spread(each)))
    return "## By source\n\n" + table(
        ("Source", "Values", "Agree", "Disagree", "For reference", "Median difference", "Largest"),
        rows, right=range(1, 7))


def _source(key: str, rows: list[Row]) -> str:
    parts = [f"## {key}", f"{link('Citation', 'sources.md', key)}. {_counted(rows)}"]
    agrees = _having(rows, "AGREES")
    if agrees:
        parts.append(_agreeing(agrees))
    for status, words in (("DISAGREES", "Disagrees"), ("REFERENCE ONLY", "For reference")):
        some = _having(rows, status)
        if some:
            parts.append(f"{words}:\n\n" + table(
                ("Row", "Where", "Quantity", "Printed", "Ours", "Reason"),
                [(row["id"], row["where"], f"`{row['quantity']}`", _printed(row), _ours(row),
                  row["note"]) for row in some]) if status == "DISAGREES" else table(
                ("Row", "Where", "What", "Printed", "Reason"),
                [(row["id"], row["where"], f"`{row['quantity']}`", _printed(row), row["note"])
                 for row in some]))
    return "\n\n".join(parts)


def _counted(rows: Sequence[Row]) -> str:
    said = [f"{len(_having(rows, status))} {words}" for status, words in STATUSES.items()
            if _having(rows, status)]
    return ", ".join(said).capitalize() + "."


def _agreeing(rows: Sequence[Row]) -> str:
    """The quantities that agree, each with its rows and its largest difference."""
    found: dict[str, list[Row]] = {}
    for row in rows:
        found.setdefault(row["quantity"], []).append(row)
    lines = [(f"`{name}`", len(each), *_spread(each)) for name, each in found.items()]
    return table(("Quantity that agrees", "Values", "Median difference", "Largest"), lines,
                 right=range(1, 4))


def _printed(row: Row) -> str:
    return f"{row['value']} {row['unit']}".strip()


def _ours(row: Row) -> str:
    """Our answer where there is one, to four figures."""
    if row["status"] == "REFERENCE ONLY":
        return ""
    return f"{print_rows.worked_out(row):.4g} {row['unit']}".strip()


