"""The command that reads lab reports, and the questions it puts to whoever sits at the screen."""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from ..problems import InputError, Problem
from . import show
from .commands import Json, app, code_of

if TYPE_CHECKING:
    from ..lab import Ask, Report
    from ..workbook.rebuild import Rebuilt

__all__ = ["Answers", "asked", "import_lab"]

HINTS = {
    "header": "What is it? Such as 'cp', 'NO3-N ppm DM' or 'skip'; Enter leaves it out: ",
    "basis": "DM, as fed or 90% DM? Enter leaves them out: ",
    "dates": "Month first (mdy) or day first (dmy)? Enter leaves such dates out: ",
    "keep": "If it is right all the same, why? Enter leaves it out: "}


@dataclass
class Answers:
    """What was answered, as ``read_report`` takes it."""

    confirmed: dict[str, str] = field(default_factory=dict)
    basis: str = ""
    date_order: str = ""
    keep: dict[str, str] = field(default_factory=dict)

    def read(self, path: Path) -> Report:
        """The report with these answers."""
        from ..lab import read_report

        return read_report(path, self.confirmed, self.basis, self.date_order, self.keep)

    def take(self, ask: Ask, answer: str) -> None:
        """One more answer."""
        if ask.kind == "header":
            self.confirmed[ask.about] = answer
        elif ask.kind == "keep":
            self.keep[ask.about] = answer
        elif ask.kind == "basis":
            self.basis = answer
        else:
            self.date_order = answer

    def drop(self, ask: Ask) -> None:
        """Take an answer back that was not understood."""
        self.confirmed.pop(ask.about, None)
        if ask.kind in ("basis", "dates"):
            self.take(ask, "")


def asked(path: Path, answers: Answers, ask: Callable[[str], str] | None) -> Report:
    """The report, read with the answers; ``ask`` puts what is open, until nothing new is."""
    report, done = answers.read(path), set[tuple[str, str]]()
    while ask is not None:
        open_ask = next((each for each in report.asks if (each.kind, each.about) not in done), None)
        if open_ask is None:
            break
        answer = ask(f"{open_ask.question} {HINTS[open_ask.kind]}").strip()
        if not answer:
            done.add((open_ask.kind, open_ask.about))
            continue
        answers.take(open_ask, answer)
        try:
            report = answers.read(path)
            done.add((open_ask.kind, open_ask.about))
        except InputError as error:  # not understood: said, and asked again
            answers.drop(open_ask)
            print(error)
    return report


@app.command("import-lab")
def import_lab(
        files: Annotated[list[Path], typer.Argument(help="Lab reports.")],
        into: Annotated[Path | None, typer.Option(help="The workbook that takes them in.")] = None,
        dry_run: Annotated[bool, typer.Option("--dry-run", help="Only show what is read.")] = False,
        header: Annotated[list[str] | None, typer.Option(
            help="What a header means: 'Wibble=Fe ppm DM', or '=skip'. Repeat it.")] = None,
        basis: Annotated[str, typer.Option(
            help="DM, as fed or 90% DM, where the report does not say.")] = "",
        dates: Annotated[str, typer.Option(help="mdy or dmy, for dates read both ways.")] = "",
        keep: Annotated[list[str] | None, typer.Option(
            help="Keep an unlikely value: 'report.csv!D7=tested twice'. Repeat it.")] = None,
        as_json: Json = False) -> int:
    """Read lab reports into a workbook's Samples.

    What is not certain is asked where somebody sits at the screen; else it is told with its cell
    and left out.

    Example: haymow import-lab report.csv --into ranch.xlsx
    """
    if into is None and not dry_run:
        raise InputError("--into is missing; name the workbook that takes the results in, or add "
                         "--dry-run to look at them only.")
    from ..workbook.take_in import taken_in

    answers = Answers(_pairs(header), basis, dates, _pairs(keep))
    ask = typed if interactive() and not as_json else None
    reports = [asked(path, answers, ask) for path in files]
    if dry_run:
        return _shown(reports, as_json)
    assert into is not None
    with show.step(f"Reading into {into.name}"):
        problems, done = taken_in(reports, into)
    if as_json:
        show.in_json({"reports": [show.report_record(report) for report in reports],
                      "problems": [vars(problem) for problem in problems],
                      "backup": done.backup.name})
        return code_of(problems)
    problems += _said(done, reports)
    show.problems(problems)
    print(f"Read {show.counted(len(files), 'report')} into {into};"
          f" the file as it was: {done.backup.name}")
    return code_of(problems)


def interactive() -> bool:
    """Whether somebody sits at the screen."""
    return sys.stdin.isatty() and sys.stdout.isatty()


def typed(question: str) -> str:
    """What is typed; nothing where the input ends."""
    try:
        return input(question)
    except EOFError:
        return ""


def _shown(reports: list[Report], as_json: bool) -> int:
    if as_json:
        show.in_json([show.report_record(report) for report in reports])
    else:
        for report in reports:
            show.report(report)
    return code_of([problem for report in reports for problem in report.problems])


def _said(done: Rebuilt, reports: list[Report]) -> list[Problem]:
    """Print what the reports just read in say, in plain words; what looks wrong in them."""
    from ..report_card import cards, doubts
    from .show_samples import card

    ids = {sample.sample_id for report in reports for sample in report.samples}
    for each in cards(done.ranch, ids - {""}):
        card(each)
    return doubts(done.ranch, ids=ids)


def _pairs(said: list[str] | None) -> dict[str, str]:
    found = {}
    for text in said or []:
        name, sign, value = text.rpartition("=")
        if not sign or not name.strip() or not value.strip():
            raise InputError(f"'{text}' was not understood; expected what it is about, = and the"
                             " answer, such as 'Wibble=Fe ppm DM'.")
        found[name.strip()] = value.strip()
    return found
