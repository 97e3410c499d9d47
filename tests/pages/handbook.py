"""The handbook, and the plan's own steps: each equation as mathematics with its source."""

from __future__ import annotations

import datetime as dt
import inspect
import re
import sys
from collections.abc import Iterator
from functools import cache

import agreement as print_rows
from haymow import steps as plan_steps
from haymow.dialect import EQUATIONS, Equation, parameters
from haymow.quantities import Quantity, glossary
from haymow.ranch import EPOCH
from haymow.units import unit_of

from . import used
from .markdown import figure, link, page, table
from .mathematics import formula, names_in

__all__ = ["chapters", "handbook", "page_of", "span", "steps", "units"]

HANDBOOK, STEPS = "handbook.md", "steps.md"
ABOUT_HANDBOOK = """\
Every equation that a number of the plan, of a lab report or of `haymow calc` can come from. An
equation stands under the name of the quantity it gives; the number on a sheet, the number on the
command line and the formula printed here are one function of the engine.

How to read it:

- Words in a formula are quantities, with their unit in the list below the formula. Inside, weights
  are in kg, energy in Mcal and contents in % of the dry matter (DM); pounds and tons are turned
  into these before.
- Square brackets with two small numbers hold a value between two limits.
- A brace lists choices: the first line whose condition holds counts. Where its lines say "at", they
  are points, with straight lines between them.
- A letter stands for a part that would be printed twice; it is given below.
- The usual range is what the engine takes without asking, in the metric unit.
- *Remembered* means that the form or a coefficient was not read in the publication but is known by
  heart, and was checked against printed results where there are any.

The steps between these equations, which no publication prints, are listed in
[steps.md](steps.md); what each quantity means in [quantities.md](quantities.md); how far the
numbers agree with print in [agreement.md](agreement.md)."""
ABOUT_STEPS = """\
The plan's own arithmetic: what stands between the [handbook's](handbook.md) equations. No
publication prints these steps; [how-it-works.md](how-it-works.md) tells the whole path in words.
Formulas read as in the handbook."""


def handbook() -> str:
    """docs/handbook.md."""
    return page("The handbook", ABOUT_HANDBOOK, *_body("haymow.equations"))


def steps() -> str:
    """docs/steps.md."""
    return page("The plan's own steps", ABOUT_STEPS, *_body("haymow.steps"))


def _body(package: str) -> Iterator[str]:
    found = chapters(package)
    yield "\n".join(f"- {link(title, heading=title)}: "
                    + ", ".join(link(f"`{e.name}`", heading=e.name) for e in equations)
                    for title, (_, equations) in found.items())
    for title, (about, equations) in found.items():
        yield f"## {title}"
        yield about
        yield from map(_entry, equations)


@cache
def chapters(package: str) -> dict[str, tuple[str, list[Equation]]]:
    """Title of each module -> what else its docstring says, and its equations as they stand."""
    assert plan_steps  # importing it fills the registry
    found: dict[str, tuple[str, list[Equation]]] = {}
    by_module: dict[str, list[Equation]] = {}
    for equation in EQUATIONS.values():
        by_module.setdefault(equation.function.__module__, []).append(equation)
    for name in sorted(n for n in by_module if n.startswith(package + ".")):
        own = by_module[name]
        title, _, more = inspect.cleandoc(sys.modules[name].__doc__ or name).partition("\n")
        found[title.rstrip(".")] = (more.strip(), sorted(own, key=_line))
    return found


def _line(equation: Equation) -> int:
    return int(equation.function.__code__.co_firstlineno)


def page_of(name: str) -> str:
    """The page on which an equation stands."""
    return HANDBOOK if ".equations." in EQUATIONS[name].function.__module__ else STEPS


def _entry(equation: Equation) -> str:
    """One equation."""
    said = inspect.getdoc(equation.function) or ""
    summary, notes, usual = _parts(said)
    blocks = "\n".join(f"```math\n{line}\n```" for line in formula(equation))
    return "\n\n".join(filter(None, (
        f"### {equation.name}", f"**{_title(equation.name)}.** {summary}", notes, blocks,
        f"In short: `{usual}`" if usual else "", _given(equation), _facts(equation))))


def _parts(said: str) -> tuple[str, str, str]:
    """Of a docstring: the summary, the notes, the formula in the trade's own letters."""
    paragraphs = [p for p in said.split("\n\n") if not p.startswith(">>>")]
    summary = " ".join(paragraphs[0].split())
    notes = [" ".join(p.split()) for p in paragraphs[1:]]
    usual = notes.pop() if len(notes) > 1 else ""
    told = re.sub(r"^Any shape;\s*", "Units: ", " ".join(notes))
    return summary, re.sub(r"^Any shape\.\s*", "", told), usual


def _title(name: str) -> str:
    line = glossary().get(name)
    label = line.label if line else used.label_of(name)
    unit = units(name)
    return f"{label}, {unit}" if unit else label


def units(name: str) -> str:
    """The unit of a quantity, with the one of a US workbook behind it where that differs."""
    unit = unit_of(name)
    return unit.si if unit.si == unit.us else f"{unit.si} ({unit.us})"


def span(line: Quantity | None) -> str:
    """The usual range."""
    if line is None or not (abs(line.low) < float("inf") or abs(line.high) < float("inf")):
        return ""
    if line.unit.si == "date":
        return f"{day(line.low)} to {day(line.high)}"
    return f"{figure(line.low)} to {figure(line.high)}"


def day(number: float) -> str:
    """A day number as a date."""
    return (EPOCH + dt.timedelta(number)).isoformat()


def _given(equation: Equation) -> str:
    """What the equation needs."""
    names = names_in(equation)
    rows = []
    for name in parameters(equation.function):
        line = glossary().get(name)
        meaning = line.meaning or line.label if line else used.label_of(name)
        rows.append((names[name], f"`{name}`", meaning, units(name), span(line)))
    return table(("In the formula", "Quantity", "What it is", "Unit", "Usual range"), rows)


def _facts(equation: Equation) -> str:
    usual = span(glossary().get(equation.name))
    told = {"Usual range of the result": usual, "Source": _source(equation),
            "Checked against print": _checked(equation.name), "Used": _used(equation.name)}
    return "\n".join(f"- {what}: {words}" for what, words in told.items() if words)


def _source(equation: Equation) -> str:
    if not equation.published:
        return link("own arithmetic", "sources.md", equation.source)
    how = "read there" if equation.seen else "*remembered*"
    return f"{link(equation.source, 'sources.md', equation.source)}, {equation.where} ({how})"


@cache
def _checks() -> dict[str, int]:
    found: dict[str, int] = {}
    for row in print_rows.rows():
        if row["status"] == "AGREES":
            found[row["quantity"]] = found.get(row["quantity"], 0) + 1
    return found


def _checked(name: str) -> str:
    count = _checks().get(name, 0)
    said = "1 value agrees" if count == 1 else f"{count} values agree"
    return link(said, "agreement.md") if count else ""


def _used(name: str) -> str:
    columns = "; ".join(used.columns_of().get(name, []))
    inside = ", ".join(link(f"`{other}`", "" if page_of(other) == page_of(name) else page_of(other),
                            other) for other in used.held_in().get(name, []))
    told = [f"on {columns}" if columns else "", f"inside {inside}" if inside else "",
            f"`haymow calc {name}`" if _by_hand(name) else ""]
    return "; ".join(part for part in told if part) or "nowhere yet"


def _by_hand(name: str) -> bool:
    return all(n in glossary() for n in (name, *parameters(EQUATIONS[name].function)))
