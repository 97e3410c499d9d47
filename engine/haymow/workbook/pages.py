"""Start, Sources and the check flag of every sheet: what stands outside the tables."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import Any

from openpyxl.styles import Alignment, Font, Protection
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.properties import PageSetupProperties

from .. import __version__
from ..quantities import glossary
from ..ranch import day_number
from ..tables import Setting
from ..tables.small import rows_of
from . import looks
from .local_marks import local_rows, local_sources, mark_local, put_local
from .making import Built

__all__ = ["flags", "sources", "start"]

LINE_HEIGHT = 15.5  # points

STEPS = (
    ("Start", "Set the first month below, under Settings; look through the rest there once."),
    ("Sampling plan", "What to sample, how much of it, when; Labels and How to sample go along."),
    ("Samples", "Enter what the laboratory reports, or let 'haymow import-lab' do it."),
    ("Two reports", "Set two samples of one lot side by side: do they agree?"),
    ("Forages", "Name pastures and hay lots; choose their kind."),
    ("Picture", "See samples on the curve of a forage, against the need of each group."),
    ("Herd", "Name the groups that are fed alike."),
    ("Diet", "Say what each group eats in which month."),
    ("Supplements", "Enter tags and prices of feeds you could buy."),
    ("Plan", "Choose a feed for each group; amounts, tons and cost follow."),
    ("Feeding", "Say how feed is brought out: trough, trips; what that takes and costs follows."),
    ("Put out", "What they eat as they like: what it brings, what if half, twice or three times."),
    ("When short", "See the days on which forage falls below each need and rises above it."),
    ("Feed sheet", "Print it for whoever feeds, a page for each group."),
    ("On hand", "Say what hay and pasture there is: how long it lasts, what to buy by when."),
    ("Balance", "See month by month what is short, and what the feeds do about it."),
    ("Safety", "See what could harm, what to do and whom to ask; Hazards has the limits."),
    ("Goals", "See who is fit at calving and grown in time; Condition has it by month."),
    ("Storm", "When a storm is forecast: what to feed more for these days."),
    ("LastWinter", "Check intake and walking against the scores of last winter."),
    ("Local defaults", "What your area holds; add contacts and cautions of your own."),
)
PURPOSE = ("Plans what to feed beef cattle through a feeding season, from forage tests, for those"
           " who feed them. Sheets with answers are protected against slips, without a password.")
CAUTIONS = (
    "A planning aid, not a diagnosis. It does not replace your veterinarian, a nutritionist or"
    " local extension, nor the label of a feed or feed law.",
    "Urea and other nonprotein nitrogen, nitrate, sulfur, selenium, copper (sheep), moldy feed,"
    " sudden changes of feed and injections can kill: ask before you feed or treat.",
    "A sample stands for its lot only. Test again when the lot, the season or the forage changes.",
    "Change to grain and to feeds with urea over two to three weeks, and see that all animals can"
    " eat at the same time.",
)
WHOM = ("Your laboratory, veterinarian, nutritionist and local extension. Contacts on Local"
        " defaults stand here once the workbook is made or rebuilt.")
KEY = (("entry", "enter", "You type here (dashed border, the word enter above)."),
       ("result", "result", "An answer: it changes when you change an entry."),
       ("working", "working", "Working steps; open them with the + above the columns."),
       ("fixed", "fixed", "Does not change."),
       ("result", "bold italics", "A table value stands in for a test (Forages, Quality,"
        " Supplements); what rests on it says so."))


def start(built: Built) -> None:
    """The answer first, then steps, cautions, the key to the styles, and settings."""
    sheet = built.sheet("Start")
    sheet["A1"], sheet["A1"].style = "Start", "title"
    for letter, width in zip("ABCDEF", (3, 46, 16, 22, 78, 44), strict=True):
        sheet.column_dimensions[letter].width = width
    units = "US units: pounds, tons of 2,000 lb, $/ton" if built.book.us \
        else "Metric units: kg, tonnes, $/tonne"
    sheet["B2"], sheet["B2"].style = f"{units}. Made by Haymow {__version__}.", "quiet"
    sheet["B3"], sheet["B3"].style = PURPOSE, "quiet"
    row = _answers(built, 5)
    row = _lines(built, row, "Steps", [f"{name}: {what}" for name, what in STEPS])
    row = _lines(built, row, "Cautions", list(CAUTIONS), local_rows(built, "caution"))
    row = _lines(built, row, "Whom to ask", [WHOM], local_rows(built, "contact"))
    _settings(built, _key(built, row))
    _page(sheet)


def _answers(built: Built, row: int) -> int:
    """Checks and cost, then a sentence for each group."""
    sheet = built.sheet("Start")
    sheet.cell(row, 2, "What to feed").style = "title"
    for name in ("overall", "money", "sampling_told"):
        row += 1
        text = built.values.column("Season", name)[0]
        built.formula("Start", f"B{row}", f"=Season_{name}", text)
        sheet.cell(row, 2).font = Font(name="Calibri", size=12, bold=True)
    for number, text in enumerate(built.values.column("Answers", "sentence"), 1):
        row += 1
        built.formula("Start", f"B{row}", f"=INDEX(Answers_sentence,{number})", text or "")
        sheet.cell(row, 2).font = Font(name="Calibri", size=12)
    return row + 2


def _page(sheet: Any) -> None:
    sheet.protection.sheet = True
    sheet.protection.formatColumns = False
    sheet.page_setup.orientation, sheet.page_setup.fitToWidth = "landscape", 1
    sheet.page_setup.fitToHeight = 0
    sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    sheet.oddFooter.left.text = f"&F, Haymow {__version__}"
    sheet.oddFooter.center.text = "&A"
    sheet.oddFooter.right.text = "Page &P of &N"


def _settings(built: Built, row: int) -> None:
    """What is asked for the whole ranch, under the heading of each part."""
    sheet, part = built.sheet("Start"), ""
    sheet.cell(row, 2, "Settings").style = "title"
    row += 1
    for line in built.book.settings.values():
        if not line.typed:
            continue
        if line.part != part:
            part = line.part
            for place, head in enumerate((part, "Value", "Unit", "What it does", "Source"), 2):
                sheet.cell(row, place, head).style = "head"
            row += 1
        _setting(built, row, line)
        row += 1


def _setting(built: Built, row: int, line: Setting) -> None:
    sheet = built.sheet("Start")
    typed = built.values.ranch.settings.get(line.name)
    value: Any = line.value if typed is None else typed
    texts = (line.label, None, "" if line.unit == "date" else line.unit, line.meaning, line.source)
    for place, text in enumerate(texts, 2):
        cell = sheet.cell(row, place, text)
        cell.style = "fixed"
        cell.alignment = Alignment(wrap_text=True, vertical="top")
    mark_local(built, row, line)
    lines = max(-(-len(line.meaning) // 74), -(-len(line.source) // 40), 1)
    sheet.row_dimensions[row].height = LINE_HEIGHT * lines
    cell = sheet.cell(row, 3)
    cell.style = "entry"
    cell.alignment = Alignment(vertical="top")
    if value is not None:
        cell.value = day_number(value) if line.what == "date" and not isinstance(value, float) \
            else value
    cell.number_format = looks.DATE if line.what == "date" else "General"
    built.workbook.defined_names[line.name] = DefinedName(line.name, attr_text=f"Start!$C${row}")
    kind = "date" if line.what == "date" else "decimal"
    rule = DataValidation(type=kind, operator="between", formula1=repr(line.low),
                          formula2=repr(line.high), allow_blank=True, showErrorMessage=True,
                          errorTitle=line.label[:32], showInputMessage=True,
                          prompt=line.meaning[:255], promptTitle=line.label[:32],
                          error=f"Enter a {kind} within the limits." if kind == "date"
                          else f"Enter a number from {line.low:g} to {line.high:g}.")
    rule.add(f"C{row}")
    sheet.add_data_validation(rule)


def _lines(built: Built, row: int, title: str, lines: list[str], local: Sequence[int] = ()
           ) -> int:
    sheet = built.sheet("Start")
    sheet.cell(row, 2, title).style = "title"
    for number, text in enumerate(lines, 1):
        cell = sheet.cell(row + number, 2, text)
        cell.font = Font(name="Calibri", size=11)
        if title == "Steps":
            cell.hyperlink = f"#'{text.partition(':')[0]}'!A1"
    for number, line in enumerate(local, len(lines) + 1):
        put_local(built, "Start", row + number, 2, line)
    return row + len(lines) + len(local) + 2


def _key(built: Built, row: int) -> int:
    sheet = built.sheet("Start")
    sheet.cell(row, 2, "Key").style = "title"
    for number, (style, word, meaning) in enumerate(KEY, 1):
        sheet.cell(row + number, 2, f"{word}: {meaning}").style = style
        sheet.cell(row + number, 2).protection = Protection(locked=True)
    return row + len(KEY) + 2


def sources(built: Built) -> None:
    """Every constant with its source, the bibliography and the glossary."""
    sheet = built.sheet("Sources")
    sheet["A1"], sheet["A1"].style = "Sources", "title"
    sheet["A2"] = "Where every constant, default and equation comes from."
    sheet["A2"].style = "quiet"
    _look_of_sources(sheet)
    row = _heads(built, 5, ("Constant", "Value", "Unit", "What it is", "Source"))
    for line in (s for s in built.book.settings.values() if not s.typed):
        cells = (line.name, None, line.unit, line.label, line.source)
        for place, text in enumerate(cells, 1):
            sheet.cell(row, place, text).style = "fixed"
        value = built.values.setting(line.name)
        if line.by:
            known = value == value
            built.formula("Sources", f"B{row}", _constant_text(line.by), value if known else "")
        else:
            sheet.cell(row, 2, value)
        sheet.cell(row, 2).number_format = looks.DATE if line.what == "date" else "General"
        built.workbook.defined_names[line.name] = DefinedName(
            line.name, attr_text=f"Sources!$B${row}")
        row += 1
    row = _made(built, row)
    row = local_sources(built, row)
    row = _heads(built, row + 2, ("Key", "Read?", "", "Publication", "Note"))
    for source in rows_of("sources"):
        for place, text in enumerate((source["key"], source["seen"], "", source["citation"],
                                      source["note"]), 1):
            sheet.cell(row, place, text).style = "fixed"
        row += 1
    _glossary(built, row + 2)


def _look_of_sources(sheet: Any) -> None:
    sheet.freeze_panes = "A4"
    _page(sheet)
    for letter, width in zip("ABCDE", (30, 14, 16, 70, 60), strict=True):
        sheet.column_dimensions[letter].width = width


def _made(built: Built, row: int) -> int:
    """What reading back needs to know: the first month the choices were made for, the version."""
    first = built.values.ranch.settings.get("first_month")
    for name, value, label in (
            ("choices_for", day_number(first) if isinstance(first, dt.date) else None,
             "Diet and Quality were filled in for a plan starting on"),
            ("made_by_version", __version__, "Version of Haymow that made this workbook")):
        for place, text in enumerate((name, value, "", label, "stays as it is"), 1):
            built.sheet("Sources").cell(row, place, text).style = "fixed"
        built.sheet("Sources").cell(row, 2).number_format = looks.DATE
        built.workbook.defined_names[name] = DefinedName(name, attr_text=f"Sources!$B${row}")
        row += 1
    return row


def _constant_text(by: str) -> str:
    return {"plan_end": '=IF(COUNT(first_month)<1,"",DATE(YEAR(first_month),'
                        'MONTH(first_month)+months,1))'}[by]


def _heads(built: Built, row: int, heads: tuple[str, ...]) -> int:
    for place, head in enumerate(heads, 1):
        built.sheet("Sources").cell(row, place, head).style = "head"
    return row + 1


def _glossary(built: Built, row: int) -> None:
    sheet = built.sheet("Sources")
    row = _heads(built, row, ("Quantity", "Unit here", "Usual range", "Meaning", "Label"))
    for line in glossary().values():
        per = line.unit.si_per_edge(built.book.us)
        span = f"{line.low / per:g} to {line.high / per:g}"
        for place, text in enumerate((line.name, line.unit.shown(built.book.us), span,
                                      line.meaning, line.label), 1):
            sheet.cell(row, place, text).style = "fixed"
        row += 1


def flags(built: Built) -> None:
    """The overall check, in the frozen head of every sheet."""
    value = built.values.column("Season", "overall")[0]
    for name in built.workbook.sheetnames:
        if name == "Start":
            continue
        sheet = built.workbook[name]
        built.formula(name, "A3", "=Season_overall", value)
        sheet["A3"].style = "quiet"
