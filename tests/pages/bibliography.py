"""One bibliography, and what rests on each source."""

from __future__ import annotations

from collections.abc import Iterator

import agreement as print_rows
from haymow.dialect import EQUATIONS

from . import used
from .handbook import page_of
from .markdown import link, page

__all__ = ["sources", "tables_from"]

ABOUT = """\
Every publication that an equation, a constant, a default or a check names, by its key. *Read*: what
is used of it was read there; *partly*: some of it was, the note says what; *remembered*: it was not
at hand, and what is used of it is known by heart. Published tables are carried over as figures,
never as text."""
READ = {"yes": "Read", "partly": "Partly read", "no": "Remembered"}


def sources() -> str:
    """docs/sources.md."""
    rows = sorted(used.data_tables()["sources"], key=lambda row: row["key"])
    return page("Sources", ABOUT, *map(_entry, rows))


def _entry(row: dict[str, str]) -> str:
    note = f": {row['note']}" if row["note"] else ""
    return "\n".join([f"## {row['key']}", "", f"{row['citation']}.", "",
                      f"- {READ[row['seen']]}{note}.", *_used(row["key"])])


def _used(key: str) -> Iterator[str]:
    equations = [e for e in EQUATIONS.values() if e.source == key]
    if key == "HAYMOW":
        yield f"- Equations: {len(equations)}, in {link('handbook.md', 'handbook.md')} and " \
              f"{link('steps.md', 'steps.md')}."
    elif equations:
        yield "- Equations: " + ", ".join(
            link(f"`{e.name}`", page_of(e.name), e.name) for e in equations) + "."
    tables = tables_from(key)
    if tables:
        yield "- Tables: " + ", ".join(f"`data/{name}.csv` ({count})"
                                       for name, count in tables.items()) + "."
    settings = used.settings_from(key)
    if settings:
        yield "- Settings: " + ", ".join(settings) + "."
    count = sum(row["source"] == key for row in print_rows.rows())
    if not (equations or tables or settings or count):
        yield "- Named in notes only."
    if count:
        yield f"- Published values compared: {link(str(count), 'agreement.md', key)}."


def tables_from(key: str) -> dict[str, int]:
    """Packaged table -> how many of its rows name the source."""
    found = {}
    for name, rows in used.data_tables().items():
        count = sum(any(value == key and column.endswith("source") for column, value in row.items())
                    for row in rows if name not in ("sources", "settings"))
        if count:
            found[name] = count
    return found
