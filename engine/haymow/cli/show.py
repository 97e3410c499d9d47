"""What commands print: answers first, then tables; words for people, JSON for programs."""

from __future__ import annotations

import contextlib
import json
import sys
import time
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

from ..plan_words import still_short
from ..problems import Problem

if TYPE_CHECKING:
    import pandas as pd

    from ..calc import Answer, Step
    from ..dialect import Equation
    from ..feeds import TableRow
    from ..lab import LabSample, Report
    from ..plan import Plan
    from ..quantities import Quantity

__all__ = ["answer", "answer_record", "counted", "feed_record", "feeds", "in_json",
           "plan", "problems", "quantities", "quantity_record", "report", "report_record",
           "step", "table"]

GROUPS_ACROSS = 4  # columns of groups that a screen of 80 characters holds


@contextlib.contextmanager
def step(what: str) -> Iterator[None]:
    """A line on stderr for what may take more than a second: what, then how long it took."""
    print(f"{what} ... ", end="", file=sys.stderr, flush=True)
    start, end = time.perf_counter(), "stopped"
    try:
        yield
        end = f"{time.perf_counter() - start:.1f} s"
    finally:
        print(end, file=sys.stderr, flush=True)


def counted(number: int, thing: str) -> str:
    """A number with its noun.

    >>> counted(1, "problem"), counted(2, "problem")
    ('1 problem', '2 problems')
    """
    return f"{number} {thing}{'' if number == 1 else 's'}"


def in_json(value: Any) -> None:
    """Print for a program."""
    print(json.dumps(value, indent=2, default=str, allow_nan=False))


def problems(found: Sequence[Problem]) -> None:
    """One line each."""
    for problem in found:
        print(problem)


# --- the plan
def plan(planned: Plan, found: Sequence[Problem]) -> None:
    """A sentence for each group and the cost; then month by month; then what to look at."""
    for sentence in planned.answers["sentence"]:
        print(sentence)
    checked = "" if found else f" {planned.overall}"
    print(f"{planned.cost[0].upper()}{planned.cost[1:]}.{checked}\n")
    if not planned.budget["month"].isna().any():
        for first in range(0, len(planned.answers), GROUPS_ACROSS):
            _month_table(planned, first)
    for line in (*still_short(planned), *planned.on_hand):
        print(line)
    if found:
        print("\nTo look at:")
        problems(found)


def _month_table(planned: Plan, first: int) -> None:
    """Some groups from the ``first`` on; beside the first ones tons and dollars of all."""
    count = len(planned.budget)
    heads, columns = ["Month"], [planned.budget["month"].dt.strftime("%b %Y")]
    for number, group in enumerate(planned.answers["group"][first:first + GROUPS_ACROSS], first):
        months = planned.months[number * count:(number + 1) * count]  # names may stand twice
        heads.append(group)
        columns.append(months.apply(_short, axis=1))
    if first == 0:
        heads += [planned.units["fed"].capitalize(), "$"]
        columns += [planned.budget["fed"].map("{:.1f}".format),
                    planned.budget["cost_usd"].map("{:,.0f}".format)]
    rows = [list(row) for row in zip(*columns, strict=True)]
    table("What forage alone is short of first (?: not known)", heads, rows,
           right=0 if first else 2)


def _short(month: pd.Series[Any]) -> str:
    """The nutrient to look at first, with ? where it is not known; a dash for none."""
    if not isinstance(month["first_flagged"], str):
        return "-"
    return month["first_flagged"] + ("?" if month["state"].startswith("not known") else "")


def table(title: str, heads: list[str], rows: list[list[str]], right: int = 0) -> None:
    """A table of words; the last ``right`` columns are numbers."""
    from rich import box
    from rich.console import Console
    from rich.table import Table
    from rich.text import Text

    console = Console(highlight=False)
    table = Table(title=Text(title), box=box.SIMPLE_HEAD, title_justify="left", pad_edge=False)
    for number, head in enumerate(heads):
        justify: Any = "right" if number >= len(heads) - right else "left"
        longest = max(map(len, head.split()), default=1)  # whole words of a header, whatever gives
        table.add_column(Text(head), justify=justify, min_width=longest)
    for row in rows:
        table.add_row(*(Text(cell) for cell in row))
    console.print(table)


# --- lab reports
def report(read: Report) -> None:
    """What was read: how each header was understood, the samples, what is asked."""
    from ..lab import on_dm

    table(f"{read.file}: how its headers were understood",
           ["Cell", "Header", "Read as", "Unit", "Basis", "Sure"],
           [[m.where.rpartition("!")[2], m.header, m.analyte, m.unit, m.basis, m.sure]
            for m in read.mapping])
    for sample in read.samples:
        values = ", ".join(f"{key} {result.value:g}" for key, result in on_dm(sample).items())
        print(f"{_named(sample)}: {values or 'nothing could be read'}")
    problems(read.problems)


def _named(sample: LabSample) -> str:
    words = (sample.sample_id, sample.description, str(sample.sampled_on or ""))
    return ", ".join(word for word in words if word) or "a sample without a name"


def report_record(read: Report) -> dict[str, Any]:
    """The same for a program."""
    from dataclasses import asdict

    return asdict(read)


# --- quantities
def answer(found: Answer, us: bool) -> None:
    """The value with its unit, what it came from, formula and source."""
    result = found.result
    print(f"{result.quantity.label} ({result.quantity.name}): {_value(result, us)}")
    for given in found.given:
        print(f"  given: {given.quantity.name} = {_value(given, us)}")
    for worked in found.steps:
        print(f"  worked out: {worked.quantity.name} = {_value(worked, us)}")
    for worked in (result, *found.steps):
        assert worked.equation is not None
        print(f"  formula: {worked.quantity.name} = {formula(worked.equation)}")
        print(f"    {_source(worked.equation)}")


def answer_record(found: Answer) -> dict[str, Any]:
    """The same for a program."""
    return _step_record(found.result) | {
        "given": [_step_record(given) for given in found.given],
        "steps": [_step_record(worked) for worked in found.steps]}


def _step_record(worked: Step) -> dict[str, Any]:
    unit = worked.quantity.unit
    record = {"quantity": worked.quantity.name, "label": worked.quantity.label,
              "value": worked.value, "unit": unit.si,
              "value_us": worked.value_us, "unit_us": unit.us}
    if worked.equation:
        from ..calc import citation

        record |= {"formula": formula(worked.equation), "source": worked.equation.source,
                   "citation": citation(worked.equation.source), "where": worked.equation.where,
                   "read_in_publication": worked.equation.seen}
    return record


def formula(equation: Equation) -> str:
    """An equation as one line of arithmetic with the names of its quantities."""
    from ..dialect import Node, parameters
    from ..workbook.trace import printed

    names = parameters(equation.function)
    return printed(equation.function(**{name: Node("cell", name) for name in names}))


def _source(equation: Equation) -> str:
    from ..calc import citation

    how = "read there" if equation.seen else "remembered, not read there"
    if not equation.published:
        how = "the project's own step"
    return f"source: {equation.source}, {equation.where} ({how}): {citation(equation.source)}"


def _value(worked: Step, us: bool) -> str:
    quantity, unit = worked.quantity, worked.quantity.unit
    shown = [_figure(quantity, worked.value, unit.si), _figure(quantity, worked.value_us, unit.us)]
    if unit.si == unit.us:
        return shown[0]
    return f"{shown[us]} ({shown[not us]})"


def _figure(quantity: Quantity, value: float, unit: str) -> str:
    """As many decimals as the sheets show, but never fewer than three figures."""
    places = len(quantity.format.partition(".")[2])
    text = f"{value:,.{places}f}"
    if float(f"{value:.3g}") != float(text.replace(",", "")) and abs(value) < 100:
        text = f"{value:.3g}"
    return f"{text} {unit}".strip()


def quantities(found: Sequence[Equation]) -> None:
    """A line for each: name, label, unit, what it rests on."""
    from ..dialect import parameters
    from ..quantities import quantity

    for equation in found:
        line = quantity(equation.name)
        units = " or ".join(dict.fromkeys(u for u in (line.unit.si, line.unit.us) if u))
        print(f"{equation.name}: {line.label}{', ' + units if units else ''}; from "
              f"{', '.join(parameters(equation.function)) or 'nothing'}")


def quantity_record(equation: Equation) -> dict[str, Any]:
    """The same for a program."""
    from ..dialect import parameters
    from ..quantities import quantity

    line = quantity(equation.name)
    return {"quantity": line.name, "label": line.label, "meaning": line.meaning,
            "unit": line.unit.si, "unit_us": line.unit.us,
            "from": parameters(equation.function), "source": equation.source}


# --- published forages and feeds
ACROSS = (("DM", "dm"), ("CP", "cp"), ("TDN", "tdn"), ("Ca", "ca"), ("P", "p"))
HARMFUL_SE = 5.0  # ppm of DM; what the whole diet may hold at most
TOLD_IN_FULL = 6  # rows whose source and note are printed as well


def feeds(found: Sequence[TableRow]) -> None:
    """A line for each row; of a few rows also source and note."""
    table("Published values, % of DM (DM % as fed); a test of your own goes first",
           ["Name", *(head for head, _ in ACROSS), "Read"],
           [[row.name, *(f"{row.values[key]:g}" if key in row.values else "-"
                         for _, key in ACROSS), "yes" if row.read else "no"] for row in found],
           right=len(ACROSS) + 1)
    if len(found) <= TOLD_IN_FULL:
        for row in found:
            note = f"; {row.note}" if row.note else ""
            print(f"{row.name}: {row.source}, {row.confidence}{note}")
    if any(row.values.get("npn_pct_of_cp") or row.values.get("se", 0) > HARMFUL_SE
           for row in found):
        print("Nonprotein nitrogen, such as urea, and selenium can kill: keep to label and feed"
              " law, and ask a nutritionist or veterinarian before you feed them.")


def feed_record(row: TableRow) -> dict[str, Any]:
    """The same for a program, with all values."""
    from dataclasses import asdict

    return asdict(row)
