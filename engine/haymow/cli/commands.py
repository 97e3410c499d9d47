"""The command line: a command opens what it needs, calls one function, prints, returns a code."""

from __future__ import annotations

import datetime as dt
import re
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from .. import __version__
from ..problems import InputError, Problem
from . import excel, show

if TYPE_CHECKING:
    from ..dialect import Equation
    from ..plan import Plan

__all__ = ["app", "code_of", "main"]

DONE, PROBLEMS, BAD_INPUT, STOPPED = 0, 1, 2, 130
DEMO_NAME = "demo-ranch.xlsx"

app = typer.Typer(add_completion=False, rich_markup_mode=None,
                  pretty_exceptions_enable=False,
                  context_settings={"help_option_names": ["-h", "--help"]})

Workbook = Annotated[Path, typer.Argument(help="A workbook made by Haymow.")]
Json = Annotated[bool, typer.Option("--json", help="Print JSON, for a program to read.")]
Metric = Annotated[bool, typer.Option("--metric", help="kg and tonnes instead of lb and tons.")]
Groups = Annotated[int | None, typer.Option(min=1, max=200, help="Room for so many groups.")]
Forages = Annotated[int | None, typer.Option(min=1, max=200, help="Room for so many forages.")]
Products = Annotated[int | None, typer.Option(min=2, max=200, help="Room for so many products.")]
Samples = Annotated[int | None, typer.Option(min=1, max=2000, help="Room for so many samples.")]
Lines = Annotated[int | None, typer.Option(min=1, max=8, help="Feeding lines for each group.")]
Months = Annotated[int | None, typer.Option(min=1, max=36, help="Months of the plan.")]
Macros = Annotated[Path | None, typer.Option(
    help="Take macros from this .xlsm, such as a newer blank one.")]
LeastCost = Annotated[bool, typer.Option(
    "--least-cost", help="Choose the feeds anew, so that the season costs least.")]
Write = Annotated[bool, typer.Option(
    "--write", help="Write these choices into the workbook, after a backup.")]
MostProducts = Annotated[int | None, typer.Option(
    "--products", min=1, max=50, help="Buy at most so many products.")]


def main(words: Sequence[str] | None = None) -> int:
    """Run ``haymow`` with ``words`` (default: those of the process); return its exit code.

    0 done, 1 problems found, 2 bad input, which is one sentence on stderr.
    """
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")  # a sign the screen cannot show stops nothing
    try:
        return int(app(args=words, prog_name="haymow", standalone_mode=False) or DONE)
    except InputError as error:
        return _refused(str(error))
    except OSError as error:
        return _refused(f"{error.filename or 'a file'}: {error.strerror or error}.")
    except (KeyboardInterrupt, typer.Abort):
        print("Stopped.", file=sys.stderr)
        return STOPPED
    except Exception as error:
        told = getattr(error, "format_message", None)  # what the parser found wrong with the words
        if told is None:
            raise
        return _refused(f"{told()} 'haymow --help' shows what there is.")


app.add_typer(excel.app, name="excel")


@app.callback(invoke_without_command=True)
def haymow(context: typer.Context,
           version: Annotated[bool, typer.Option("--version", help="Print the version.")] = False,
           ) -> None:
    """Plan a beef herd's feeding season from forage tests.

    Start with: haymow demo
    """
    if version:
        print(f"haymow {__version__}")
    elif context.invoked_subcommand is None:
        print(context.get_help())


@app.command()
def demo(out: Annotated[Path, typer.Option(help="Folder to write to.")] = Path("haymow-demo"),
         metric: Metric = False) -> int:
    """Plan the season of an invented ranch: workbook, lab report, plan, checks.

    Example: haymow demo --out demo/out
    """
    from importlib.resources import as_file, files

    from .. import demo as scenario
    from ..lab import read_report
    from ..workbook.rebuild import save
    from ..workbook.take_in import taken_in

    out.mkdir(parents=True, exist_ok=True)
    workbook = out / DEMO_NAME
    with show.step("Writing the workbook"):
        replaced = save(scenario.ranch(not metric), workbook, overwrite=True)
    packaged = files("haymow").joinpath(scenario.LAB_REPORT)
    with show.step("Reading in the lab report"), as_file(packaged) as report:
        problems, done = taken_in([read_report(report)], workbook)
    done.backup.unlink()  # the workbook without results, a moment old
    planned, found = _planned(workbook)
    show.plan(planned, list(dict.fromkeys([*problems, *found])))
    print(f"\nThe workbook: {workbook}")
    if replaced:
        print(f"The one that was there before: {replaced.name}")
    return DONE


@app.command()
def new(file: Annotated[Path, typer.Argument(help="The workbook to make.")],
        metric: Metric = False,
        first_month: Annotated[str, typer.Option(help="Such as 2026-10; else this month.")] = "",
        months: Months = None, groups: Groups = None, forages: Forages = None,
        products: Products = None, samples: Samples = None, lines: Lines = None,
        defaults: Annotated[Path | None, typer.Option(
            help="A file with the curves, prices, contacts, cautions and settings of an area."
            )] = None) -> int:
    """Make a blank workbook; with --defaults, one that knows your area.

    Example: haymow new ranch.xlsx --first-month 2026-10
    """
    from ..ranch import Ranch, sizes_for
    from ..workbook.defaults import with_defaults
    from ..workbook.rebuild import save

    if file.exists():
        raise InputError(f"{file} exists and is left as it is; give another name.")
    sizes = sizes_for({}) | _sizes(group=groups, forage=forages, product=products,
                                   sample=samples, month=months, line=lines)
    blank = Ranch(settings={"first_month": _month(first_month)}, sizes=sizes, us=not metric)
    if defaults is not None:
        blank = with_defaults(blank, defaults)
    with show.step(f"Writing {file.name}"):
        save(blank, file)
    print(f"Made {file}. Open it and begin at the sheet Start.")
    if defaults is not None:
        carried = len(blank.entries.get("Local", {}))
        print(f"Carried in {show.counted(carried, 'default')} of {defaults.name}; the sheet Local"
              " defaults lists them with their sources.")
    return DONE


@app.command()
def plan(workbook: Workbook, least_cost: LeastCost = False, write: Write = False,
         products: MostProducts = None, as_json: Json = False) -> int:
    """Say what to feed whom, from when, at what cost. Writes nothing, unless told to.

    Example: haymow plan ranch.xlsx --least-cost --products 3
    """
    if least_cost:
        from .least_cost import plan_least_cost

        return PROBLEMS if plan_least_cost(workbook, write, products, as_json) else DONE
    if write or products is not None:
        raise InputError("--write and --products belong to --least-cost; add it.")
    planned, found = _planned(workbook)
    if as_json:
        show.in_json(planned.as_records() | {"problems": [vars(problem) for problem in found]})
    else:
        show.plan(planned, found)
    return code_of(found)


@app.command()
def check(workbook: Workbook, as_json: Json = False) -> int:
    """List what needs correcting in a workbook, cell by cell.

    Example: haymow check ranch.xlsx
    """
    found = _planned(workbook)[1]
    if as_json:
        show.in_json([vars(problem) for problem in found])
    else:
        show.problems(found)
        wrong = [problem for problem in found if problem.severity != "note"]
        print(f"{show.counted(len(wrong), 'problem')} in {workbook.name}.")
    return code_of(found)


@app.command()
def rebuild(workbook: Workbook, groups: Groups = None, forages: Forages = None,
            products: Products = None, samples: Samples = None, lines: Lines = None,
            months: Months = None, macros: Macros = None) -> int:
    """Make a workbook anew from what was typed into it, with more room where asked.

    The old file is kept beside it.

    Example: haymow rebuild ranch.xlsx --groups 12
    """
    from ..workbook.rebuild import rebuild as again

    sizes = _sizes(group=groups, forage=forages, product=products, sample=samples, line=lines,
                   month=months)
    with show.step(f"Rebuilding {workbook.name}"):
        done = again(workbook, sizes=sizes, macros=macros)
    show.problems(done.problems)
    print(f"Rebuilt {done.path}; the file as it was: {done.backup.name}")
    return code_of(done.problems)


@app.command()
def calc(
        quantity: Annotated[str | None, typer.Argument(help="A quantity of the handbook.")] = None,
        values: Annotated[list[str] | None, typer.Argument(help="name=value, one or more.")] = None,
        us: Annotated[bool, typer.Option("--us", help="Pounds and tons, in and out.")] = False,
        show_list: Annotated[bool, typer.Option(
            "--list", help="List the quantities, or those that a word fits.")] = False,
        as_json: Json = False) -> int:
    """Work out one quantity of the handbook; show its formula and source.

    Example: haymow calc pregnancy_nem day_of_gestation=250 birth_weight=85lb
    """
    from ..calc import calculate, handbook

    if show_list:
        return _list(handbook(" ".join([quantity or "", *(values or [])])), as_json)
    if quantity is None:
        raise InputError("calc needs the name of a quantity; 'haymow calc --list' lists all.")
    answer = calculate(quantity, dict(map(_pair, values or [])), us)
    if as_json:
        show.in_json(show.answer_record(answer))
    else:
        show.answer(answer, us)
    return DONE


@app.command()
def feeds(
        word: Annotated[list[str] | None, typer.Argument(help="Words of its name.")] = None,
        as_json: Json = False) -> int:
    """List published forages and feeds, or those that a word fits.

    Example: haymow feeds soybean hulls
    """
    from ..feeds import find

    found = find(" ".join(word or []))
    if as_json:
        show.in_json([show.feed_record(row) for row in found])
    else:
        show.feeds(found)
    return DONE


def _list(found: list[Equation], as_json: bool) -> int:
    if not found:
        raise InputError("no quantity of the handbook fits that word; 'haymow calc --list' lists "
                         "all.")
    if as_json:
        show.in_json([show.quantity_record(equation) for equation in found])
    else:
        show.quantities(found)
    return DONE


def _pair(text: str) -> tuple[str, str]:
    name, sign, value = text.partition("=")
    if not sign or not name.strip() or not value.strip():
        raise InputError(f"'{text}' was not understood; expected name=value, such as "
                         "day_of_gestation=250.")
    return name.strip(), value.strip()


def code_of(found: Sequence[Problem]) -> int:
    """The exit code: whether anything is to be looked at."""
    return PROBLEMS if any(problem.severity != "note" for problem in found) else DONE


def _refused(sentence: str) -> int:
    print(f"error: {sentence}", file=sys.stderr)
    return BAD_INPUT


def _month(text: str) -> dt.date:
    if not text:
        return dt.date.today().replace(day=1)
    match = re.fullmatch(r"(\d{4})-(\d{1,2})(?:-\d{1,2})?", text.strip())
    if not match or not 1 <= int(match[2]) <= 12:
        raise InputError(f"the first month is '{text}'; expected year and month, such as 2026-10.")
    return dt.date(int(match[1]), int(match[2]), 1)


def _sizes(**wanted: int | None) -> dict[str, int]:
    return {name: count for name, count in wanted.items() if count is not None}


def _planned(workbook: Path) -> tuple[Plan, list[Problem]]:
    """The plan of a workbook, and all that is to be looked at: in its cells, then in the plan."""
    with show.step(f"Reading {workbook.name}"):
        from ..workbook.read import read

        reading = read(workbook)
    with show.step("Working out the plan"):
        from ..plan import plan as work_out
        from ..report_card import doubts

        planned = work_out(reading.ranch, reading.places)
    doubtful = doubts(reading.ranch, reading.places)
    return planned, [*reading.problems, *doubtful, *planned.problems]
