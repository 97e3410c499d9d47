"""What stands in a workbook and is none of our entries: told before a rebuild leaves it behind."""

from __future__ import annotations

import re
import tempfile
import zipfile
from collections import Counter
from collections.abc import Iterator
from functools import cache
from pathlib import Path, PurePosixPath
from typing import NamedTuple

from ..problems import Problem
from ..ranch import Ranch
from ..tables import Book
from . import sizes
from .build import build
from .opened import Grid, Opened, address
from .places import Placed, locate

__all__ = ["found", "sheet_parts"]

MOST_TOLD = 20  # cells of a sheet that are listed one by one
NOT_KEPT = "It will not be carried over into a rebuilt workbook."
WITH_MACROS = ".xlsm"
KEPT_ABOVE = 3  # rows of ours above the headers: what a column is, and its member's number
_KINDS = {"comments": "comments", "drawing": "pictures or charts", "pivotTable": "pivot tables",
          "table": "tables laid over cells", "oleObject": "embedded files", "control": "buttons",
          "threadedComment": "comments"}
_PARTS = {"vbaProject": "macros", "externalLinks": "links to other workbooks",
          "connections": "connections to data"}
_ANCHOR = re.compile(rb"<(?:\w+:)?(?:twoCell|oneCell|absolute)Anchor\b")


class Own(NamedTuple):
    """What a fresh workbook holds besides entries: texts, sheets, pictures and the like."""

    texts: frozenset[str]
    sheets: tuple[str, ...]
    things: Counter[tuple[str, str]]


def found(opened: Opened, book: Book, placed: list[Placed], same_version: bool) -> list[Problem]:
    """Notes on sheets, pictures, comments, macros and texts that are not ours."""
    macros = opened.path.suffix.lower() == WITH_MACROS
    own = _own(book.us, book.size("line"), book.size("month"))
    ours = _sheets(opened, book, placed, own)
    notes = [Problem(title, f"This sheet is not one of Haymow's. {NOT_KEPT}", "note")
             for title in [*opened.titles, *opened.others] if title not in ours]
    for (title, kind), count in sorted(_things(opened.path).items()):
        if macros and kind == _PARTS["vbaProject"]:
            continue  # a rebuild takes them over
        if title in [*ours, ""] and count > own.things[ours.get(title, ""), kind]:
            notes.append(Problem(title or opened.path.name, f"The {kind} there are not Haymow's. "
                                 + NOT_KEPT.replace("It", "They"), "note"))
    for title in dict.fromkeys(each.sheet for each in placed):
        tables = _tables_on(opened, book, placed, title)
        notes += _told(title, _in_tables(opened, title, tables, own, same_version))
    if same_version:
        for title, name in ours.items():
            if name in ("Start", "Sources"):
                notes += _told(title, _in_page(opened, title, own))
    return notes


def _told(title: str, cells: Iterator[Problem]) -> list[Problem]:
    notes = list(cells)
    if len(notes) > MOST_TOLD:
        rest = len(notes) - MOST_TOLD
        notes = [*notes[:MOST_TOLD], Problem(title, f"{rest} more cells there are not Haymow's. "
                                             + NOT_KEPT.replace("It", "They"), "note")]
    return notes


def _tables_on(opened: Opened, book: Book, placed: list[Placed], title: str) -> list[Placed]:
    """All tables of ours on a sheet, also those without entries."""
    found = [each for each in placed if each.sheet == title]
    names = {each.table.name for each in found}
    for table in book.tables.values():
        area = None
        if table.sheet != "Lists" and table.name not in names:
            area = opened.names.get(f"{table.name}_{table.number_key}")
        if area is not None and area.sheet == title:
            other = locate(opened, book, table)
            found += [other] if other else []
    return found


def _in_tables(opened: Opened, title: str, tables: list[Placed], own: Own, same_version: bool
               ) -> Iterator[Problem]:
    """Cells outside of the tables, and typed ones where a formula stood.

    The heads of another version may be worded otherwise; they are passed over.
    """
    last = {id(each): max([row.row for row in each.rows()] + [each.bottom]) for each in tables}
    first = min(each.head for each in tables)
    for (row, column), raw in opened.grid(title).items():
        if raw.blank or str(raw.value) in own.texts or (row <= first and not same_version):
            continue
        its = next((each for each in tables if column in each.known
                    and each.head - KEPT_ABOVE <= row <= last[id(each)]), None)
        where = address(title, row, column)
        number_above = its and row <= its.head and isinstance(raw.value, int | float)
        if its is None or (row <= its.head and not number_above):
            yield Problem(where, _not_ours(raw.value), "note")
        elif not number_above and raw.kind != "f" \
                and column not in {*its.columns.values(), *its.keys.values()}:
            yield Problem(where, f"{_short(raw.value)} is typed over a formula; the rebuilt"
                          " workbook has the formula again.", "look", "Type it into an entry"
                          " column if it is to count.")


def _in_page(opened: Opened, title: str, own: Own) -> Iterator[Problem]:
    """Typed cells of a page, Start or Sources, that no name points to and that we did not write."""
    named = {(area.top, area.left) for area in opened.names.values()
             if area is not None and area.sheet == title}
    for (row, column), raw in opened.grid(title).items():
        if raw.blank or raw.kind == "f" or (row, column) in named or str(raw.value) in own.texts:
            continue
        yield Problem(address(title, row, column), _not_ours(raw.value), "note")


def _not_ours(value: object) -> str:
    return f"'{_short(value)}' is not part of the plan. {NOT_KEPT}"


def _short(value: object) -> str:
    text = " ".join(str(value).split())
    return text if len(text) <= 60 else text[:57] + "..."


def _sheets(opened: Opened, book: Book, placed: list[Placed], own: Own) -> dict[str, str]:
    """Sheets of ours, as they are called now -> as we call them."""
    found = {each.sheet: each.table.sheet for each in placed}
    pages = {"first_month": "Start", "kg_per_weight_unit": "Sources"}
    for name, area in opened.names.items():
        sheet = pages.get(name, "")
        table = book.tables.get(name.partition("_")[0])
        if area is not None and area.sheet in opened.titles and (sheet or table):
            found.setdefault(area.sheet, sheet or (table.sheet if table else ""))
    return {title: title for title in own.sheets if title in opened.titles} | found


@cache
def _own(us: bool, lines: int, months: int) -> Own:
    """What a workbook with one group holds: the same texts and pictures as one with more."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "own.xlsx"
        build(Ranch(sizes={**sizes.least(), "line": lines, "month": months}, us=us), path)
        opened = Opened(path)
        grids: list[Grid] = [opened.grid(title) for title in opened.titles]
        texts = frozenset(str(raw.value) for grid in grids for raw in grid.values()
                          if raw.kind in ("s", "f"))
        return Own(texts, tuple(opened.titles), _things(path))


def _things(path: Path) -> Counter[tuple[str, str]]:
    """(sheet, kind of thing) -> how many, by the parts of the file; sheet "" for the workbook."""
    counted: Counter[tuple[str, str]] = Counter()
    with zipfile.ZipFile(path) as archive:
        names = archive.namelist()
        for part, kind in _PARTS.items():
            counted["", kind] += sum(1 for name in names if name.startswith(f"xl/{part}"))
        for title, sheet in sheet_parts(archive).items():
            for kind, target in _relations(archive, sheet):
                if kind in _KINDS:
                    counted[title, _KINDS[kind]] += _count(archive, kind, target, names)
    return +counted


def _count(archive: zipfile.ZipFile, kind: str, target: str, names: list[str]) -> int:
    if kind != "drawing" or target not in names:
        return 1
    return len(_ANCHOR.findall(archive.read(target)))


def sheet_parts(archive: zipfile.ZipFile) -> dict[str, str]:
    """Sheet -> the part of the file that holds it."""
    text = archive.read("xl/workbook.xml").decode("utf-8", "replace")
    targets = {number: target for number, _, target in _tags(archive, "xl/workbook.xml")}
    found = {}
    for tag in re.findall(r"<(?:\w+:)?sheet\b[^>]*>", text):
        name, number = (re.search(rf'\b{key}="([^"]*)"', tag) for key in ("name", r"\w+:id"))
        if name and number and number[1] in targets:
            found[_unescaped(name[1])] = targets[number[1]]
    return found


def _relations(archive: zipfile.ZipFile, part: str) -> list[tuple[str, str]]:
    return [(kind, target) for _, kind, target in _tags(archive, part)]


def _tags(archive: zipfile.ZipFile, part: str) -> list[tuple[str, str, str]]:
    """(id, kind, target part) of a part's relations."""
    folder, name = str(PurePosixPath(part).parent), PurePosixPath(part).name
    try:
        text = archive.read(f"{folder}/_rels/{name}.rels").decode("utf-8", "replace")
    except KeyError:
        return []
    found = []
    for tag in re.findall(r"<(?:\w+:)?Relationship\b[^>]*>", text):
        says = dict(re.findall(r'(\w+)="([^"]*)"', tag))
        kind = says.get("Type", "").rpartition("/")[2]
        found.append((says.get("Id", ""), kind, _joined(folder, says.get("Target", ""))))
    return found


def _joined(folder: str, target: str) -> str:
    """
    The part a relation of a part in ``folder`` points to.

    >>> _joined("xl/worksheets", "../drawings/drawing1.xml")
    'xl/drawings/drawing1.xml'
    """
    steps: list[str] = [] if target.startswith("/") else folder.split("/")
    for step in target.strip("/").split("/"):
        steps = steps[:-1] if step == ".." else [*steps, step]
    return "/".join(steps)


def _unescaped(text: str) -> str:
    from xml.sax.saxutils import unescape

    return unescape(text, {"&quot;": '"', "&apos;": "'"})
