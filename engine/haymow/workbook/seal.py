"""Finish a saved file: formulas, cached results, stable bytes.

The engine's values stand in every formula. The tables' formulas are put into the file here: the
library that saves it takes three times as long for each.
"""

from __future__ import annotations

import math
import os
import re
import zipfile
from collections.abc import Mapping, Sequence
from pathlib import Path
from xml.sax.saxutils import escape

from openpyxl.utils import column_index_from_string, get_column_letter

from .making import Formulated

__all__ = ["Unsealed", "seal"]

_CELL = re.compile(
    r'<c r="([A-Z]+[0-9]+)"((?: s="\d+")?)(?: t="\w+")?><f>(.*?)</f><v\s*/?>(?:</v>)?</c>', re.S)
_SHEET = re.compile(r'<sheet\b[^>]*?\bname="([^"]+)"[^>]*?\br:id="([^"]+)"')
_PART = re.compile(r'<Relationship\b[^>]*?>')
_SAVED = re.compile(rb"(<dcterms:modified\b[^>]*>)[^<]*(<)")
_ROW = re.compile(r'<row r="(\d+)"([^>]*?)(?:/>|>(.*?)</row>)', re.S)
_ANY_CELL = re.compile(r'<c r="([A-Z]+)\d+"[^>]*?(?:/>|>.*?</c>)', re.S)
_SPAN = re.compile(r'<dimension ref="[^"]*"\s*/>')
_DRAWING = re.compile(r"xl/drawings/drawing(\d+)\.xml")
_SHAPE = re.compile(r"(<(?:xdr:)?cNvPr\b[^>/]*?)(?= ?/?>)")
QUOTE = {'"': "&quot;"}
STAMP = (1980, 1, 1, 0, 0, 0)


class Unsealed(RuntimeError):  # noqa: N818  it says what it is
    """A formula cell was left without the engine's value: a fault of the builder."""


def seal(path: Path, cached: Mapping[str, Mapping[str, object]],
         formulated: Formulated | None = None, told: Sequence[str] = ()) -> None:
    """Put formulas and the engine's values into ``path`` and make its bytes stable.

    ``cached`` maps sheet -> cell -> value ("" for blank); ``formulated`` holds formulas that the
    file does not have yet, ``told`` the words for people who do not see the pictures, in their
    order.
    """
    finished = path.with_name(path.name + ".sealing")
    try:
        _finish(path, finished, cached, formulated or {}, told)
        os.replace(finished, path)
    finally:
        finished.unlink(missing_ok=True)


def _finish(path: Path, finished: Path, cached: Mapping[str, Mapping[str, object]],
            formulated: Formulated, told: Sequence[str]) -> None:
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(finished, "w", zipfile.ZIP_DEFLATED) as new:
        parts = _parts(old)
        for name in sorted(old.namelist()):
            data = old.read(name)
            if name in parts:
                sheet = parts[name]
                values = cached.get(sheet, {})
                text = _sealed(data.decode(), sheet, values)
                data = _filled(text, sheet, formulated.get(sheet, {}), values).encode()
            drawing = _DRAWING.fullmatch(name)
            if drawing:
                data = _described(data.decode(), told[int(drawing[1]) - 1:]).encode()
            if name == "docProps/core.xml":  # the library writes the time of saving
                data = _SAVED.sub(rb"\g<1>1980-01-01T00:00:00Z\g<2>", data)
            new.writestr(zipfile.ZipInfo(name, STAMP), data, zipfile.ZIP_DEFLATED)


def _described(xml: str, told: Sequence[str]) -> str:
    """A drawing with words on what it shows."""
    if not told:
        raise Unsealed("a picture has no words on what it shows")
    return _SHAPE.sub(rf'\1 descr="{escape(told[0], QUOTE)}"', xml)


def _parts(archive: zipfile.ZipFile) -> dict[str, str]:
    """Sheet parts and their sheets' names, through the workbook's relations."""
    targets = {}
    for tag in _PART.findall(archive.read("xl/_rels/workbook.xml.rels").decode()):
        found = dict(re.findall(r'(\w+)="([^"]*)"', tag))
        targets[found["Id"]] = found["Target"].removeprefix("/").removeprefix("xl/")
    sheets = _SHEET.findall(archive.read("xl/workbook.xml").decode())
    return {f"xl/{targets[number]}": name.replace("&amp;", "&") for name, number in sheets}


def _sealed(xml: str, sheet: str, values: Mapping[str, object]) -> str:
    def put(match: re.Match[str]) -> str:
        if match[1] not in values:
            raise Unsealed(f"{sheet}!{match[1]} has a formula but the engine gave no value")
        kind, shown = _cached(values[match[1]])
        return f'<c r="{match[1]}"{match[2]}{kind}><f>{match[3]}</f><v>{shown}</v></c>'
    done = _CELL.sub(put, xml)
    if "<v/>" in done or "<v />" in done:
        raise Unsealed(f"{sheet} has a formula cell without a value")
    return done


def _filled(xml: str, sheet: str, rows: Mapping[int, list[tuple[int, str, int, str]]],
            values: Mapping[str, object]) -> str:
    """The sheet with more formulas in its rows."""
    if not rows:
        return xml
    head, _, rest = xml.partition("<sheetData>")
    body, _, tail = rest.partition("</sheetData>")
    found = {int(row): (more, cells) for row, more, cells in _ROW.findall(body)}
    last, done = 1, []
    for row in sorted({*found, *rows}):
        more, there = found.get(row, ("", ""))
        cells = {column_index_from_string(each[1]): each[0] for each in _ANY_CELL.finditer(there)}
        for place, letters, style, text in rows.get(row, []):
            kind, shown = _cached(values[f"{letters}{row}"])
            cells[place] = (f'<c r="{letters}{row}" s="{style}"{kind}><f>{text}</f><v>{shown}</v>'
                            "</c>")
        last = max(last, *cells) if cells else last
        inside = "".join([cells[place] for place in sorted(cells)])
        done.append(f'<row r="{row}"{more}>{inside}</row>')
    span = f'<dimension ref="A1:{get_column_letter(last)}{max({*found, *rows})}" />'
    return f"{_SPAN.sub(span, head)}<sheetData>{''.join(done)}</sheetData>{tail}"


def _cached(value: object) -> tuple[str, str]:
    if isinstance(value, str):
        return ' t="str"', escape(value)
    number = float(value) if isinstance(value, int | float) else math.nan
    if not math.isfinite(number):
        raise Unsealed(f"{value!r} is no value a cell can show")
    return "", repr(number + 0.0).removesuffix(".0")  # + 0.0: never minus zero
