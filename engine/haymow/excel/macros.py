"""What the links and the ribbon start in an open workbook: read a copy, ask the engine, write.

A macro reads a copy of the workbook as it is now, through the same reader as the command line.
What it changes are typed cells of the sheets it says, found by their names, after that copy was
kept as a backup. The formulas stay the single calculation.
"""

from __future__ import annotations

import datetime as dt
import math
import shutil
import tempfile
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from ..problems import InputError, Problem
from ..ranch import Cell, Ranch
from ..tables.make import make
from ..workbook.template import OUTCOME, OUTCOME_ROWS

if TYPE_CHECKING:
    from ..plan import Plan

__all__ = ["MACROS", "Outcome", "main", "perform", "run"]

LEFT_BEHIND = "not be carried over"  # what only a rebuild leaves behind is no matter here
COPY = "haymow-copy"


class Outcome(NamedTuple):
    """What a macro has to say: one sentence, then lines to look at."""

    said: str
    lines: tuple[str, ...] = ()


@dataclass(frozen=True)
class Copy:
    """The workbook as it was when the macro started, in a file of its own."""

    path: Path
    ranch: Ranch
    places: Mapping[tuple[str, int, str], str]
    problems: tuple[Problem, ...]


def main() -> None:
    """What "Run main" on the xlwings ribbon does in a workbook without macros: check it."""
    import xlwings as xw

    book = xw.Book.caller()
    outcome = perform(book, "check")
    book.app.alert("\n".join([outcome.said, *outcome.lines[:10]]), title="Haymow")


def run(name: str, argument: str = "") -> None:
    """Start a macro of the calling workbook; ``argument`` is UTF-16 in hexadecimal digits."""
    import xlwings as xw

    perform(xw.Book.caller(), name, bytes.fromhex(argument).decode("utf-16-be"))


def perform(book: Any, name: str, argument: str = "") -> Outcome:
    """Do a macro in ``book`` and show its outcome in the status bar and on Checks.

    Bad input ends as one sentence. Anything unexpected is shown too and raised again.
    """
    title, macro = MACROS[name]
    _status(book, f"{title} ...")
    try:
        outcome = macro(book, argument)
    except InputError as error:
        outcome = Outcome(f"Stopped: {error}")
    except Exception as error:
        _show(book, title, Outcome(f"Stopped by a fault: {error}. Nothing more was written."))
        raise
    _show(book, title, outcome)
    return outcome


def check(book: Any, _: str) -> Outcome:
    """List what needs correcting, cell by cell."""
    with _copied(book) as copy:
        found = _found(book, copy)
    said = f"{len(found)} things to look at." if found else "Nothing to look at."
    return Outcome(said, tuple(str(problem) for problem in found))


def make_plan(book: Any, _: str) -> Outcome:
    """Work out the plan with the engine and say it; the sheets show the same."""
    from ..plan import plan

    with _copied(book) as copy:
        _status(book, "working out the plan ...")
        planned = plan(copy.ranch, copy.places)
    return Outcome(f"{planned.cost}. {planned.overall}",
                   tuple(str(sentence) for sentence in planned.answers["sentence"]))


def import_lab(book: Any, report: str) -> Outcome:
    """Read a lab report into Samples; nothing but rows of Samples is touched."""
    from ..lab import read_report
    from ..workbook.take_in import import_samples

    if not report:
        raise InputError("No lab report was chosen.")
    path = Path(report)
    read = read_report(path)
    with _copied(book) as copy:
        ranch, more = import_samples(copy.ranch, read)
        backup, cells = _write(book, copy, ranch, ("Samples",))
    samples = f"{len(read.samples)} sample{'' if len(read.samples) == 1 else 's'}"
    said = (f"{samples} of {path.name} read, {cells} cells written; as it was before:"
            f" {backup.name}." if backup else f"{samples} of {path.name} read; all of it was there"
            " already.")
    return Outcome(said, tuple(str(problem) for problem in (*read.problems, *more)))


def least_cost(book: Any, _: str) -> Outcome:
    """Find the cheapest season and write its choices into Plan; shared-out forage into Diet."""
    from ..leastcost import asked, choices, fitting
    from ..plan import plan
    from ..plan_words import still_short

    def tell(what: str) -> None:
        _status(book, f"looking for {what} ...")

    with _copied(book) as copy:
        result = fitting(copy.ranch, asked(copy.ranch), tell, copy.ranch.sizes["line"])
        chosen = choices(result, copy.ranch)
        before, after = plan(copy.ranch), plan(chosen)
        backup, cells = _write(book, copy, chosen, ("Plan", "Diet"))
    where = "Plan and Diet" if result.facts.wishes.forages else "Plan"
    done = f"{cells} cells of {where} written; as it was before: {backup.name}" if backup \
        else "Plan holds these choices already; nothing was written"
    short = [f"Before: {line}" for line in still_short(before)]
    short += [str(line) for line in still_short(after)] or ["Now nothing is still short."]
    return Outcome(f"{after.cost}; before: {before.cost}. {done}.",
                   (*short, *result.words, *(str(note) for note in result.notes)))


def report(book: Any, _: str) -> Outcome:
    """Write the report with its feed sheets beside the workbook; no cell is touched."""
    from ..plan import plan
    from ..report import write

    with _copied(book) as copy:
        _status(book, "working out the plan ...")
        planned = plan(copy.ranch, copy.places)
        found = _to_look_at(copy, planned)
        _status(book, "drawing and writing the report ...")
        place = _place_of(book)
        try:
            written = write(planned, place, place.parent, found)
        except OSError as error:
            raise InputError(f"The report cannot be written in {place.parent}: {error.strerror}."
                             " If it is open in another program, close it there.") from error
    done = "in place of the older report" if written.replaced else "beside the workbook"
    return Outcome(f"{written.path.name} is written {done}; open it in a browser and print it.",
                   tuple(str(sentence) for sentence in planned.answers["sentence"]))


MACROS: Mapping[str, tuple[str, Callable[[Any, str], Outcome]]] = {
    "import_lab": ("Import a lab report", import_lab),
    "plan": ("Make the plan", make_plan),
    "least_cost": ("Least cost", least_cost),
    "check": ("Check", check),
    "report": ("Feed sheet and report", report),
}


def _found(book: Any, copy: Copy) -> list[Problem]:
    from ..plan import plan

    _status(book, "checking ...")
    return _to_look_at(copy, plan(copy.ranch, copy.places))


def _to_look_at(copy: Copy, planned: Plan) -> list[Problem]:
    """What the command line lists too: in cells, in what laboratories report, in the plan."""
    from ..report_card import doubts

    found = [*copy.problems, *doubts(copy.ranch, copy.places), *planned.problems]
    return list(dict.fromkeys(found))


@contextmanager
def _copied(book: Any) -> Iterator[Copy]:
    """A copy of the workbook as it is now, read; removed afterwards."""
    from ..workbook.read import read

    _status(book, "reading the workbook ...")
    with tempfile.TemporaryDirectory(prefix=f"{COPY}-") as folder:
        path = Path(folder) / _place_of(book).name
        _save_copy(book, path)
        reading = read(path)
        problems = tuple(p for p in reading.problems if LEFT_BEHIND not in p.what)
        yield Copy(path, reading.ranch, reading.places, problems)


def _place_of(book: Any) -> Path:
    """Where the open workbook is kept; InputError unless that is a folder of this computer."""
    try:
        path = Path(book.fullname)
    except Exception as error:  # xlwings cannot tell where a synchronized folder is
        raise InputError(f"{book.name} is kept in a folder that Python cannot find; save it in an"
                         " ordinary folder of this computer.") from error
    if "://" in str(book.fullname) or path.parent == Path():
        raise InputError(f"{book.name} has no place on this computer yet; save it in an ordinary"
                         " folder, not on a web drive.")
    return path


def _save_copy(book: Any, path: Path) -> None:
    """A copy with all that is typed so far; where Excel cannot make one, of a saved workbook."""
    save_copy = getattr(book.api, "SaveCopyAs", None)  # Excel for Windows
    if save_copy is not None:
        save_copy(str(path))
        return
    if not book.api.saved.get():
        raise InputError(f"{book.name} has changes that are not saved; save it and start again.")
    shutil.copy2(_place_of(book), path)


def _write(book: Any, copy: Copy, ranch: Ranch, tables: tuple[str, ...]
           ) -> tuple[Path | None, int]:
    """Write what is new in ``ranch`` into the cells of ``tables``: the backup, and how many cells.

    Raises InputError, before anything is written, where a row is not in the workbook.
    """
    cells = _changed(copy, ranch, tables)
    if not cells:
        return None, 0
    backup = _free(_place_of(book))
    shutil.copy2(copy.path, backup)
    _status(book, f"writing {len(cells)} cells ...")
    with book.app.properties(calculation="manual", screen_updating=False):
        for (sheet, row, column), value in cells.items():
            book.sheets[sheet].range((row, column)).value = _as_typed(value)
    return backup, len(cells)


def _changed(copy: Copy, ranch: Ranch, tables: tuple[str, ...]
             ) -> dict[tuple[str, int, int], Cell]:
    """(sheet, row, column) -> value of the cells whose entry differs."""
    from ..workbook.opened import Opened
    from ..workbook.places import locate

    opened, book = Opened(copy.path), make(copy.ranch)
    found: dict[tuple[str, int, int], Cell] = {}
    for name in tables:
        new = _differences(copy.ranch.entries.get(name, {}), ranch.entries.get(name, {}))
        placed = locate(opened, book, book.tables[name]) if new else None
        if placed is None:
            continue
        rows = {row.number: row.row for row in placed.rows() if row.number is not None}
        for (number, entry), value in new.items():
            if number not in rows or entry not in placed.columns:
                raise InputError(f"{placed.sheet} has no room for No. {number}, {entry}; close the"
                                 " workbook and run 'haymow rebuild' to get more rows.")
            found[placed.sheet, rows[number], placed.columns[entry]] = value
    return found


def _differences(old: Mapping[int, Mapping[str, Cell]], new: Mapping[int, Mapping[str, Cell]]
                 ) -> dict[tuple[int, str], Cell]:
    found: dict[tuple[int, str], Cell] = {}
    for number in sorted({*old, *new}):
        before, after = old.get(number, {}), new.get(number, {})
        for entry in {**before, **after}:
            if not _alike(before.get(entry), after.get(entry)):
                found[number, entry] = after.get(entry)
    return found


def _alike(one: Cell, other: Cell) -> bool:
    """The same entry; numbers that no eye and no answer can tell apart are the same."""
    if isinstance(one, int | float) and isinstance(other, int | float):
        return math.isclose(one, other, rel_tol=1e-9)
    return one == other


def _as_typed(value: Cell) -> Any:
    """Text with the mark that keeps it text: no formula, no date, no lost zeros."""
    if isinstance(value, str):
        return f"'{value}"
    if isinstance(value, dt.date):
        return dt.datetime(value.year, value.month, value.day)
    return value


def _free(path: Path) -> Path:
    """A name for the backup beside the workbook: ``plan.bak-20261001-080000.xlsm``."""
    stamp = f"{dt.datetime.now():%Y%m%d-%H%M%S}"
    for more in ["", *(f"-{count}" for count in range(2, 1000))]:
        free = path.with_name(f"{path.stem}.bak-{stamp}{more}{path.suffix}")
        if not free.exists():
            return free
    raise InputError(f"The folder {path.parent} is full of copies of {path.name}; clear it up.")


def _status(book: Any, text: str) -> None:
    book.app.status_bar = f"Haymow: {text}"


def _show(book: Any, title: str, outcome: Outcome) -> None:
    """The status bar, and the named cells on Checks where the workbook has them."""
    _status(book, f"{title}: {outcome.said}")
    if not book.names.contains(OUTCOME):
        return
    lines = [f"{title}, {dt.datetime.now():%Y-%m-%d %H:%M}", outcome.said, *outcome.lines]
    if len(lines) > OUTCOME_ROWS:
        rest = len(lines) - OUTCOME_ROWS + 1
        lines = [*lines[:OUTCOME_ROWS - 1], f"{rest} more: 'haymow check' lists all."]
    lines += [""] * (OUTCOME_ROWS - len(lines))
    book.names[OUTCOME].refers_to_range.value = [[f"'{line}" if line else None] for line in lines]
