"""The VBA project of a workbook with macros: taken over, byte for byte, when it is made anew."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from ..problems import InputError
from .leftovers import sheet_parts
from .opened import Opened
from .template import MADE_FOR, OUTCOME, links

if TYPE_CHECKING:
    from .build import Built

__all__ = ["Project", "project_of", "put_in"]

PART = "xl/vbaProject.bin"
LISTS = {  # what the library looks for in the file that macros are taken over from
    "[Content_Types].xml": '<Types xmlns="http://schemas.openxmlformats.org/package/2006/'
                           'content-types"></Types>',
    "_rels/.rels": '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/'
                   'relationships"></Relationships>',
}
PAGES = {"Start": "first_month", "Sources": "kg_per_weight_unit"}  # sheet -> a name on it
HEAD = 4096  # bytes of a sheet's part in which its code name stands
CODE_NAME = re.compile(r'<(?:\w+:)?(?:sheetPr|workbookPr)\b[^>]*?\bcodeName="([^"]*)"')


@dataclass(frozen=True)
class Project:
    """A project, the names by which its code calls workbook and sheets, and whether it is ours.

    ``made_for`` is the version of xlwings that its wrappers are from, "" where it is not known.
    """

    data: bytes
    workbook: str | None
    sheets: Mapping[str, str]
    ours: bool
    made_for: str


def project_of(path: Path) -> Project:
    """The project of an ``.xlsm``; InputError where it has none."""
    opened = Opened(path)
    with zipfile.ZipFile(path) as archive:
        if PART not in archive.namelist():
            raise InputError(f"{path.name} holds no macros; save it as .xlsx, or take macros from"
                             " another .xlsm.")
        codes = {title: _code_name(archive, part) for title, part in sheet_parts(archive).items()}
        names = {title: code for title, code in codes.items() if code}
        made_for, _ = opened.cell(MADE_FOR)
        return Project(archive.read(PART), _code_name(archive, "xl/workbook.xml"), {
            **names, **_renamed(opened, names)}, OUTCOME in opened.names,
            "" if made_for.blank else str(made_for.value))


def put_in(built: Built, project: Project) -> None:
    """Give a workbook in the making a project, and the links that start it where it is ours."""
    if project.ours:
        links(built, project.made_for)
    workbook = built.workbook
    workbook.code_name = project.workbook
    for sheet in workbook.worksheets:
        if sheet.title in project.sheets:
            sheet.sheet_properties.codeName = project.sheets[sheet.title]
    kept = io.BytesIO()
    with zipfile.ZipFile(kept, "w") as archive:
        for name, text in LISTS.items():
            archive.writestr(name, text)
        archive.writestr(PART, project.data)
    workbook.vba_archive = zipfile.ZipFile(kept)


def _code_name(archive: zipfile.ZipFile, part: str) -> str | None:
    with archive.open(part) as file:
        match = CODE_NAME.search(file.read(HEAD).decode("utf-8", "replace"))
    return match[1] if match else None


def _renamed(opened: Opened, codes: Mapping[str, str]) -> dict[str, str]:
    """Our sheet -> code name, where a user has given the sheet another name."""
    from ..ranch import Ranch, sizes_for
    from ..tables.make import make

    marks = {table.sheet: f"{table.name}_{table.number_key}"
             for table in make(Ranch(sizes=sizes_for({}))).tables.values()}
    found = {}
    for sheet, name in {**marks, **PAGES}.items():
        area = opened.names.get(name)
        if area is not None and area.sheet in codes:
            found[sheet] = codes[area.sheet]
    return found
