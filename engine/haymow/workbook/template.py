"""Blank workbooks to begin with: US and metric, without macros and with them.

The workbook with macros is the builder's own file, with links and room for an outcome on Checks,
and a VBA project made of reviewed text. The project's container is written by pyOpenVBA, which
leaves every other part of the file as it is.
"""

from __future__ import annotations

import os
import re
import zipfile
from collections.abc import Mapping
from importlib.metadata import version
from importlib.resources import files
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from openpyxl.styles import Protection
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.hyperlink import Hyperlink

from ..ranch import Ranch, sizes_for
from .build import FIXED_DAY, build
from .seal import STAMP

if TYPE_CHECKING:
    from .build import Built

__all__ = ["LINKS", "MADE_FOR", "OUTCOME", "OUTCOME_ROWS", "links", "vba_modules",
           "write_templates"]

OUTCOME, OUTCOME_ROWS = "macro_outcome", 30  # named cells on Checks that hold the last outcome
MADE_FOR = "macros_for_xlwings"  # named cell: the version of xlwings its macros are from
LINKS = {  # name of the link's cell -> its words, and what it does
    "macro_import_lab": ("Import a lab report",
                         "asks for the file and reads it into Samples; a backup is kept"),
    "macro_plan": ("Make the plan", "works it out with the engine and says it below"),
    "macro_least_cost": ("Least cost", "finds the cheapest season; a backup is kept"),
    "macro_check": ("Check", "lists below what needs correcting, cell by cell"),
    "macro_report": ("Feed sheet and report", "writes a page to print beside the workbook"),
    "macro_help": ("Help for the functions", "lets Insert Function explain each HM_ function"),
}
PLAIN = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"
WITH_MACROS = "application/vnd.ms-excel.sheet.macroEnabled.main+xml"
TYPES, ABOUT = "[Content_Types].xml", "docProps/core.xml"
SAVED_AT = re.compile(r"(<dcterms:modified\b[^>]*>)[^<]*(<)")
TEXTS = ("haymow_macros.bas", "haymow_help.bas", "xlwings_udfs.bas")  # of the folder of templates
OF_WORKBOOK = "this_workbook.bas"


def write_templates(folder: Path) -> list[Path]:
    """Write the four blank workbooks into ``folder``, which holds the reviewed VBA text.

    The same text and versions give the same bytes. An existing file is replaced.
    """
    written = []
    for name, us in (("haymow-us", True), ("haymow-metric", False)):
        blank = Ranch(sizes=sizes_for({}), us=us)
        plain = folder / f"{name}.xlsx"
        build(blank, plain)
        _repacked(plain)
        macros = folder / f"{name}.xlsm"
        made = folder / f"{name}.making.xlsm"
        build(blank, made, links)
        _add_project(made, vba_modules(folder), (folder / OF_WORKBOOK).read_text("ascii"))
        os.replace(made, macros)
        written += [plain, macros]
    return written


def vba_modules(folder: Path) -> dict[str, str]:
    """Module -> VBA text: ours, and the two that xlwings ships for workbooks without its add-in."""
    shipped = files("xlwings")
    texts = [(folder / name).read_text("ascii") for name in TEXTS]
    texts.append(shipped.joinpath("xlwings.bas").read_text("ascii"))
    found = {_name(text): text for text in texts}
    found["Dictionary"] = shipped.joinpath("addin", "Dictionary.cls").read_text("ascii")
    return found


def _name(text: str) -> str:
    return text.partition('Attribute VB_Name = "')[2].partition('"')[0]


def links(built: Built, made_for: str = "") -> None:
    """Links that start macros, and cells for what they say, below the table on Checks.

    ``made_for`` is the version of xlwings that the macros are from: else the installed one.
    """
    sheet, table = built.sheet("Checks"), built.book.tables["Checks"]
    row = table.top + built.book.rows(table) + 2
    _name_cell(built, "Start", "E2", "macro_links")
    _link(built.sheet("Start")["E2"], "Macros: start them on Checks", f"Checks!B{row}")
    sheet.cell(row, 2, "Macros: click one (Excel with Python)").style = "title"
    for name, (words, what) in LINKS.items():
        row += 1
        _name_cell(built, "Checks", f"B{row}", name)
        _link(sheet.cell(row, 2), words, name)
        sheet.cell(row, 3, what).style = "quiet"
    row += 1
    sheet.cell(row, 2, made_for or version("xlwings")).style = "quiet"
    sheet.cell(row, 3, "version of xlwings these macros are from").style = "quiet"
    _name_cell(built, "Checks", f"B{row}", MADE_FOR)
    row += 2
    sheet.cell(row, 2, "What the last macro said").style = "title"
    for offset in range(1, OUTCOME_ROWS + 1):
        sheet.cell(row + offset, 2).protection = Protection(locked=False)
    where = f"Checks!$B${row + 1}:$B${row + OUTCOME_ROWS}"
    built.workbook.defined_names[OUTCOME] = DefinedName(OUTCOME, attr_text=where)


def _link(cell: Any, words: str, to: str) -> None:
    cell.value, cell.style = words, "quiet"
    cell.hyperlink = Hyperlink(ref=cell.coordinate, location=to, display=words, tooltip=words)


def _name_cell(built: Built, sheet: str, cell: str, name: str) -> None:
    where = f"{sheet}!${cell[0]}${cell[1:]}"
    built.workbook.defined_names[name] = DefinedName(name, attr_text=where)


def _add_project(path: Path, modules: dict[str, str], of_workbook: str) -> None:
    """Give the workbook at ``path`` a VBA project; every other part stays as it is."""
    from pyopenvba import ExcelFile, VBAModuleKind

    _repacked(path, {PLAIN: WITH_MACROS})
    with ExcelFile(path) as file:
        project = file.add_vba_project()
        for name, text in modules.items():
            kind = VBAModuleKind.other if text.startswith("VERSION") else VBAModuleKind.standard
            project.add_module(name, _lines(text), kind=kind)
        file.set_module("ThisWorkbook", _lines(of_workbook))
        file.save()
    _repacked(path)


def _lines(text: str) -> str:
    """The text with the line ends VBA has."""
    return "\r\n".join(text.splitlines()) + "\r\n"


def _repacked(path: Path, types: Mapping[str, str] = MappingProxyType({})) -> None:
    """The same parts in order of their names, without the time of saving; ``types`` exchanged."""
    with zipfile.ZipFile(path) as old:
        parts = {name: old.read(name).decode() if name.endswith(".xml") else old.read(name)
                 for name in sorted(old.namelist())}
    for old_type, new_type in types.items():
        parts[TYPES] = str(parts[TYPES]).replace(old_type, new_type)
    parts[ABOUT] = SAVED_AT.sub(rf"\g<1>{FIXED_DAY:%Y-%m-%dT%H:%M:%SZ}\2", str(parts[ABOUT]))
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as new:
        for name, data in parts.items():
            new.writestr(zipfile.ZipInfo(name, STAMP), data, zipfile.ZIP_DEFLATED)
