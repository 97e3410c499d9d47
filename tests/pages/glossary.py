"""The glossary of quantities."""

from __future__ import annotations

from haymow.dialect import EQUATIONS
from haymow.quantities import glossary

from . import used
from .handbook import page_of, span
from .markdown import link, page, table

__all__ = ["quantities"]

ABOUT = """\
Every quantity by its name, which carries its unit. The engine works in the metric unit; a US
workbook shows and takes the US unit. What lies outside the usual range is asked about or refused;
ranges are in the metric unit and are limits of what is plausible, not of what is good."""


def quantities() -> str:
    """docs/quantities.md."""
    rows = [(f"`{line.name}`", line.label, line.meaning, line.unit.si, line.unit.us, span(line),
             _from(line.name)) for line in sorted(glossary().values(), key=lambda q: q.name)]
    return page("Quantities", ABOUT, table(
        ("Name", "Label", "Meaning", "Metric", "US", "Usual range", "Comes from"), rows))


def _from(name: str) -> str:
    """An equation, a typed cell, a packaged table, a sheet that looks it up or adds it up; else it
    is given to ``haymow calc``.
    """
    found = [link("equation", page_of(name), name)] if name in EQUATIONS else []
    found += [f"typed on {sheet}" for sheet in used.typed_on().get(name, [])]
    found += [f"`data/{table}.csv`" for table, rows in used.data_tables().items()
              if rows and name in rows[0]]
    found = found or [f"on {sheet}" for sheet in used.looked_up().get(name, [])]
    return ", ".join(dict.fromkeys(found)) or "given"
