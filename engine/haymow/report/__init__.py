"""The report: a page that prints and stands for itself, all of it from the frames of a plan."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from .. import __version__
from ..problems import InputError, Problem
from . import sections
from .feed_sheet import feed_sheets
from .markup import Html, joined, tag
from .style import CSS

if TYPE_CHECKING:
    from ..plan import Plan

__all__ = ["Written", "render", "write"]

MARK = '<meta name="generator" content="Haymow '  # by this an older report is known
ENDING = "-report.html"


class Written(NamedTuple):
    """Where the report is, and whether an older one stood there."""

    path: Path
    replaced: bool


def render(planned: Plan, name: str, found: Sequence[Problem] = ()) -> str:
    """The page: the answer first, then each group, forage, cost, doubts, cautions, feed sheets.

    ``name`` is the workbook's; ``found`` is what is to be looked at. The same plan gives the same
    text.
    """
    parts = [
        sections.answer(planned), sections.to_feed(planned), sections.what_can_kill(),
        *sections.by_group(planned), sections.forage(planned), sections.costs(planned),
        sections.on_table_values(planned), sections.not_known(planned, found),
        *feed_sheets(planned), sections.sources(planned)]
    body = tag("main", tag("h1", f"Feeding plan: {name}"), tag("p", _about(planned), klass="quiet"),
               joined(parts))
    head = joined([Html('<meta charset="utf-8">'), Html(f'{MARK}{__version__}">'),
                   Html('<meta name="viewport" content="width=device-width, initial-scale=1">'),
                   tag("title", f"Feeding plan: {name}"), tag("style", Html(CSS))])
    page = joined([tag("head", head), tag("body", body)])
    return f"<!DOCTYPE html>\n{tag('html', page, lang='en')}\n"


def write(planned: Plan, workbook: Path, folder: Path, found: Sequence[Problem] = ()) -> Written:
    """Write the report of a workbook into ``folder``, which is made if need be.

    Its own older report is replaced. Raises InputError where a file of somebody else has its name.
    """
    path = folder / f"{workbook.stem}{ENDING}"
    older = path.exists()
    if older and not _ours(path):
        raise InputError(f"{path} exists and is no report of Haymow; it was left as it is. Rename"
                         " it, or choose another folder.")
    text = render(planned, workbook.name, found)
    folder.mkdir(parents=True, exist_ok=True)
    new = path.with_name(f"{path.name}.new")
    try:
        new.write_text(text, encoding="utf-8", newline="\n")
        os.replace(new, path)
    finally:
        new.unlink(missing_ok=True)
    return Written(path, older)


def _ours(path: Path) -> bool:
    """Whether a file says that this program made it."""
    if not path.is_file():
        return False
    with path.open(encoding="utf-8", errors="replace") as file:
        return MARK in file.read(1000)


def _about(planned: Plan) -> str:
    months = planned.budget["month"].dropna()
    season = f"{months.iloc[0]:%b %Y} to {months.iloc[-1]:%b %Y}. " if len(months) else ""
    units = "US units: pounds, tons of 2,000 lb" if planned.units["fed"] == "tons" \
        else "Metric units: kg, tonnes"
    return f"{season}{units}. Made by Haymow {__version__} from the workbook as it was then."
