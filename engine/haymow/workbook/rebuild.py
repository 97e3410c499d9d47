"""Write a user's workbook: never over the old one before the new one has been read back."""

from __future__ import annotations

import datetime as dt
import math
import os
import re
import shutil
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

from ..problems import InputError, Problem
from ..ranch import Cell, Ranch
from ..tables.make import make
from . import doubts, sizes
from .build import Built, build
from .read import Reading, read

__all__ = ["Rebuilt", "rebuild", "save"]

BACKUPS = 5  # that many are kept beside the workbook
RETRIES, PAUSE_S = 8, 0.25  # about 2 s in all: scanners and sync clients let go by then
PLAIN, WITH_MACROS = (".xlsx",), ".xlsm"
More = Callable[[Built], None]
Entries = Mapping[str, Mapping[int, Mapping[str, Cell]]]


@dataclass(frozen=True)
class Rebuilt:
    """What a rebuild did: where, what was doubtful or left out, what is in it, and the backup."""

    path: Path
    problems: tuple[Problem, ...]
    ranch: Ranch
    backup: Path


class NotWritten(RuntimeError):  # noqa: N818  it is what it says
    """A finished file did not hold what was put in: a fault of the builder or the reader."""


def save(ranch: Ranch, path: Path, overwrite: bool = False) -> Path | None:
    """Write a ranch to a new workbook; an existing one is replaced only where told, after a backup.

    Returns the backup, if there was something to back up. Raises InputError if the file exists, is
    open, or cannot be written; then nothing has changed.
    """
    path = Path(path)
    _check_target(path)
    if path.exists() and not overwrite:
        raise InputError(f"{path.name} exists and was not overwritten; give another name, or say"
                         " that it may be replaced.")
    new = _written(ranch, path)
    return _put(new, path)


def rebuild(path: Path, change: Callable[[Ranch], Ranch] | None = None,
            sizes: Mapping[str, int] | None = None, macros: Path | None = None) -> Rebuilt:
    """Read a workbook, change what it holds, and write it anew in its place, after a backup.

    Macros of an ``.xlsm`` are taken over as they are, or from another one (``macros``). With these
    an ``.xlsx`` stays, and an ``.xlsm`` is written beside it.

    Parameters
    ----------
    path : Path
        A workbook made by Haymow.
    change : callable, optional
        Takes what was read and gives what is to be written. Entries stand in the rows of the
        months (and so on) they were read for; a changed first month moves them afterwards.
    sizes : mapping, optional
        The number of months, lines, groups and so on, by dimension; nothing in use is cut off.
    macros : Path, optional
        The ``.xlsm`` to take macros from.

    Raises
    ------
    InputError
        The workbook cannot be read, holds names that formulas would not find, was changed
        meanwhile, or is open. Then it is as it was; if a new one was finished, the message says
        under which name it was kept.
    """
    path = Path(path)
    _check_target(path, (*PLAIN, WITH_MACROS))
    reading = read(path)
    target, before = path.with_suffix(WITH_MACROS) if macros else path, _stamp(path)
    if target != path and target.exists():
        raise InputError(f"{target.name} exists and is left as it is; rename it, or rebuild it.")
    more = _macros(macros or path) if target.suffix.lower() == WITH_MACROS else None
    ranch, problems = _changed(reading, change, sizes or {})
    new = _written(ranch, target, more)
    if _stamp(path) != before:
        raise InputError(f"{path.name} was changed by another program meanwhile; your new plan was"
                         f" saved as {new.name}. Run the command again to take up the changes.")
    backup = _put(new, target) or path
    return Rebuilt(target, (*reading.problems, *problems), ranch, backup)


def _changed(reading: Reading, change: Callable[[Ranch], Ranch] | None, asked: Mapping[str, int]
             ) -> tuple[Ranch, list[Problem]]:
    """What is to be written: with room first, then moved by date, changed, and cut to size."""
    ranch = reading.ranch
    doubts.check_names(ranch, make(ranch), reading.places)
    ranch, _ = sizes.resized(ranch, {d: max(n, ranch.sizes.get(d, 0)) for d, n in asked.items()})
    ranch, fallen = sizes.moved(ranch, reading.choices_for)
    if change is not None:
        first = ranch.settings.get("first_month")
        ranch, later = sizes.moved(change(ranch), first if isinstance(first, dt.date) else None)
        fallen = fallen + later
    ranch, kept = sizes.resized(ranch, asked)
    return ranch, fallen + kept


def _macros(path: Path) -> More:
    """What takes the macros of a workbook over into the new one."""
    from .project import project_of, put_in

    project = project_of(path)
    return lambda built: put_in(built, project)


def _check_target(path: Path, endings: tuple[str, ...] = PLAIN) -> None:
    if path.is_dir():
        raise InputError(f"{path} is a folder; give the name of a workbook in it.")
    if path.suffix.lower() not in endings:
        raise InputError(f"{path.name} does not end in {' or '.join(endings)}; only such workbooks"
                         " are written.")
    if not path.parent.is_dir():
        raise InputError(f"There is no folder {path.parent}; make it first or give another.")


def _stamp(path: Path) -> tuple[int, int]:
    about = path.stat()
    return about.st_mtime_ns, about.st_size


def _written(ranch: Ranch, path: Path, more: More | None = None) -> Path:
    """A finished and proven new file beside ``path``, under a name that can be read."""
    doubts.check_names(ranch, make(ranch), {})
    new = _free(path, "new")
    try:
        build(ranch, new, more)
        with new.open("rb+") as file:
            os.fsync(file.fileno())
        _prove(ranch, new)
    except OSError as error:
        _clear(new)
        raise InputError(f"{path.name} cannot be written in the folder {path.parent}"
                         f" ({error.strerror}); nothing was changed.") from error
    except BaseException:
        _clear(new)
        raise
    return new


def _clear(new: Path) -> None:
    for left in new.parent.glob(f"{_escaped(new.name)}*"):  # sealing leaves its own beside it
        left.unlink(missing_ok=True)


def _free(path: Path, word: str) -> Path:
    """A name beside ``path`` that is not taken: ``plan.bak-20261001-080000.xlsx``."""
    stamp = f"{dt.datetime.now():%Y%m%d-%H%M%S}"
    for count in range(1, 1000):
        more = f"-{count}" if count > 1 else ""
        free = path.with_name(f"{path.stem}.{word}-{stamp}{more}{path.suffix}")
        if not free.exists():
            return free
    raise InputError(f"The folder {path.parent} is full of copies of {path.name}; clear it up.")


def _prove(ranch: Ranch, new: Path) -> None:
    """Read the new file back: it must hold what was put in."""
    again = read(new).ranch
    if not (_same(ranch.entries, again.entries) and ranch.us == again.us
            and dict(ranch.sizes) == dict(again.sizes)
            and _plain(_settings(ranch)) == _plain(_settings(again))):
        raise NotWritten(f"{new.name} does not hold what was put in; nothing was replaced.")


def _settings(ranch: Ranch) -> dict[str, Cell]:
    """The settings that differ from the usual."""
    usual = {line.name: line.value for line in make(ranch).settings.values()}
    return {name: value for name, value in ranch.settings.items() if value != usual.get(name)}


def _plain(cells: Mapping[str, Cell]) -> dict[str, Cell]:
    """Cells without blank ones; blanks alone count as nothing, as they do in reading."""
    return {name: value for name, value in cells.items()
            if value is not None and not (isinstance(value, str) and not value.strip())}


def _same(entries: Entries, others: Entries) -> bool:
    def flat(given: Entries) -> dict[tuple[str, int, str], Cell]:
        return {(table, row, name): value for table, rows in given.items()
                for row, cells in rows.items() for name, value in _plain(cells).items()}
    one, other = flat(entries), flat(others)
    return one.keys() == other.keys() and all(_equal(one[key], other[key]) for key in one)


def _equal(one: Cell, other: Cell) -> bool:
    """Numbers may differ in the 16th digit: openpyxl writes no more."""
    if isinstance(one, int | float) and isinstance(other, int | float):
        return math.isclose(one, other, rel_tol=1e-14)
    return one == other


def _put(new: Path, path: Path) -> Path | None:
    """Put the new file in the place of the old one, after a backup of that."""
    if _is_open(path):
        raise _open_elsewhere(new, path)
    backup = None
    try:
        if path.exists():
            backup = _free(path, "bak")
            shutil.copy2(path, backup)
        _replace(new, path)
    except PermissionError as error:
        if backup is not None:
            backup.unlink(missing_ok=True)
        raise _open_elsewhere(new, path) from error
    _drop_old_backups(path)
    return backup


def _replace(new: Path, path: Path) -> None:
    for _ in range(RETRIES):
        try:
            os.replace(new, path)
            return
        except PermissionError:
            time.sleep(PAUSE_S)
    os.replace(new, path)


def _is_open(path: Path) -> bool:
    """Whether a spreadsheet program's mark says so: Excel's, or LibreOffice's."""
    return any(path.with_name(mark).exists()
               for mark in (f"~${path.name}", f".~lock.{path.name}#"))


def _open_elsewhere(new: Path, path: Path) -> InputError:
    return InputError(f"{path.name} is open in another program. Close it and try again; your new"
                      f" plan was saved as {new.name}.")


def _drop_old_backups(path: Path) -> None:
    own = re.compile(re.escape(path.stem) + r"\.bak-\d{8}-\d{6}(-\d+)?" + re.escape(path.suffix))
    backups = sorted(each for each in path.parent.iterdir() if own.fullmatch(each.name))
    for old in backups[:-BACKUPS]:
        old.unlink(missing_ok=True)


def _escaped(name: str) -> str:
    return "".join(f"[{letter}]" if letter in "*?[" else letter for letter in name)
