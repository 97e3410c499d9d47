"""How a sheet behaves: validation, panes, outline, protection, print setup."""

from __future__ import annotations

from openpyxl.formatting.rule import FormulaRule
from openpyxl.styles import Font, PatternFill
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.pagebreak import Break
from openpyxl.worksheet.properties import PageSetupProperties
from openpyxl.worksheet.worksheet import Worksheet

from .. import __version__
from ..quantities import glossary
from ..tables import Column, Entry, Table
from ..units import unit_of
from . import looks
from .making import Built

__all__ = ["INPUT_SHEETS", "TALL", "dress", "validate"]

INPUT_SHEETS = ("Samples", "Forages", "Herd", "Diet", "Supplements", "Plan", "Storm", "LastWinter",
                "Sampling plan", "Two reports", "Feeding", "On hand", "Local defaults", "Picture")
LABELS = ("group", "forage", "month", "product", "class", "kind", "check", "table_forage",
          "table_feed", "hazard")
FROM_TABLE = {  # table -> the block people read, and the block that flags its table values
    "Forages": ("usual", "stands_in"), "Supplements": ("dry_matter", "stands_in"),
    "Quality": ("quality", "rests")}
TALL = {"Cards": 62, "Sampling": 62, "Labels": 62, "SampleKinds": 78, "Safety": 62,
        "Hazards": 78}  # points: long words wrap there
PAGE_EACH = ("FeedSheet",)  # a page for each member of the first dimension
MARGIN = 0.4  # inches
HEAD_HEIGHT = 62  # points: four lines of a header


def dress(built: Built, table: Table) -> None:
    """Title, panes, widths, outline, conditional looks, protection and print setup."""
    sheet = built.workbook[table.sheet]
    first = sheet["A1"].value is None
    if first:
        sheet["A1"], sheet["A1"].style = table.sheet, "title"
        sheet["A2"], sheet["A2"].style = table.purpose, "quiet"
        _print(sheet, table)
        if table.sheet not in INPUT_SHEETS:
            sheet.protection.sheet = True
            sheet.protection.formatColumns = sheet.protection.autoFilter = False
    elif table.title:
        sheet.cell(table.top - 4, 1, table.title).style = "title"
    if table.sheet == "Lists":
        sheet.freeze_panes = "A4"
        for place, (column, _) in enumerate(built.formulas.cells[table.name], 1):
            letter = get_column_letter(place)
            width = sheet.column_dimensions[letter].width
            sheet.column_dimensions[letter].width = max(width, looks.width_of(column))
        return
    _columns(built, sheet, table, first)
    _conditions(built, sheet, table)
    _rows(built, sheet, table)


def _rows(built: Built, sheet: Worksheet, table: Table) -> None:
    """Heights where long words wrap; a new page for each member of the first dimension."""
    rows = built.book.rows(table)
    if table.name in TALL:
        for row in range(table.top, table.top + rows):
            sheet.row_dimensions[row].height = TALL[table.name]
    if table.name in PAGE_EACH:
        each = rows // built.book.size(table.dimensions[0])
        for row in range(each, rows, each):
            sheet.row_breaks.append(Break(id=table.top - 1 + row))


def _columns(built: Built, sheet: Worksheet, table: Table, first: bool) -> None:
    cells = built.formulas.cells[table.name]
    labels = [i for i, (c, _) in enumerate(cells) if c.name in LABELS and i < 8]
    shared = sum(other.sheet == table.sheet for other in built.book.tables.values()) > 1
    if first:
        sheet.freeze_panes = sheet.cell(table.top, max(labels, default=0) + 2)
    for place, (column, member) in enumerate(cells, 1):
        size = sheet.column_dimensions[get_column_letter(place)]
        size.width = max(size.width if not first else 0, looks.width_of(column))
        sheet.row_dimensions[table.top - 1].height = HEAD_HEIGHT
        if not looks.is_open(column, member, built.book) and not shared:
            size.outlineLevel, size.hidden = 1, True
    if shared:
        _close_working(built, sheet, table)
    sheet.sheet_properties.outlinePr.summaryRight = False
    if not shared:
        last = table.top + built.book.rows(table) - 1
        sheet.auto_filter.ref = f"A{table.top - 1}:{get_column_letter(len(cells))}{last}"


def _close_working(built: Built, sheet: Worksheet, table: Table) -> None:
    """Close a working column only where no table of the sheet has something to read there."""
    for place, (column, _) in enumerate(built.formulas.cells[table.name], 1):
        fronts = [cells[place - 1][0].front for name, cells in built.formulas.cells.items()
                  if built.book.tables[name].sheet == table.sheet and len(cells) >= place]
        if not any(fronts) and not column.front and place > 1:
            size = sheet.column_dimensions[get_column_letter(place)]
            size.outlineLevel, size.hidden = 1, True


def _conditions(built: Built, sheet: Worksheet, table: Table) -> None:
    """Short ones marked (with the number itself beside the color); repeated labels gray."""
    last = table.top + built.book.rows(table) - 1
    letters = built.formulas.letters
    if table.name == "Balance":
        for block, test in (("pct_of_need", "{c}<99.9"), ("over_shown", "{c}<-0.0005")):
            ends = [letters["Balance", block, k] for k in (0, built.book.size("nutrient") - 1)]
            cell = f"{ends[0]}{table.top}"
            rule = FormulaRule(formula=[f"AND(ISNUMBER({cell}),{test.format(c=cell)})"],
                               fill=PatternFill("solid", bgColor=looks.INK["low"]),
                               font=Font(bold=True))
            sheet.conditional_formatting.add(f"{cell}:{ends[1]}{last}", rule)
    if table.name in FROM_TABLE:
        _mark_table_values(built, sheet, table)
    if table.name == "Safety":
        letter = letters["Safety", "worst", None]
        sheet.conditional_formatting.add(f"{letter}{table.top}:{letter}{last}", FormulaRule(
            formula=[f'{letter}{table.top}="hazard"'], font=Font(bold=True),
            fill=PatternFill("solid", bgColor=looks.INK["low"])))
    for name in ("group", "forage"):
        column = table.at.get(name)
        if len(table.dimensions) > 1 and column is not None and not isinstance(column, Entry):
            letter = letters[table.name, name, None]
            rule = FormulaRule(formula=[f"${letter}{table.top}=${letter}{table.top - 1}"],
                               font=Font(color=looks.INK["quiet"]))
            sheet.conditional_formatting.add(f"{letter}{table.top}:{letter}{last}", rule)


def _mark_table_values(built: Built, sheet: Worksheet, table: Table) -> None:
    """Values taken from a published table in bold italics; a column beside names them."""
    read, flags = FROM_TABLE[table.name]
    letters, top, bottom = built.formulas.letters, table.top, table.top + built.book.rows(table) - 1
    flag = letters[table.name, flags, 0]
    last = built.book.size(table.at[read].over) - 1
    areas = [(f"{letters[table.name, read, 0]}{top}:{letters[table.name, read, last]}{bottom}",
              f"{flag}{top}=1")]
    if table.name == "Forages":  # dry matter as fed is a column of its own
        letter = letters[table.name, "dm_pct_as_fed", None]
        areas.append((f"{letter}{top}:{letter}{bottom}", f"${flag}{top}=1"))
    for area, formula in areas:
        sheet.conditional_formatting.add(area, FormulaRule(
            formula=[formula],
            font=Font(bold=True, italic=True, color=looks.INK["from_table"])))


def _print(sheet: Worksheet, table: Table) -> None:
    sheet.page_setup.orientation, sheet.page_setup.fitToWidth = "landscape", 1
    sheet.page_setup.fitToHeight = 0
    sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    sheet.print_title_rows = f"1:{table.top - 1}" if table.sheet != "Lists" else "1:1"
    sheet.oddFooter.left.text = f"&F, Haymow {__version__}"
    sheet.oddFooter.center.text = "&A"
    sheet.oddFooter.right.text = "Page &P of &N"
    for side in ("left", "right"):
        setattr(sheet.page_margins, side, MARGIN)


def validate(built: Built, table: Table) -> None:
    """One validation over each typed column: what may be typed, and what to do instead."""
    sheet = built.workbook[table.sheet]
    last = table.top + built.book.rows(table) - 1
    for column in table.entries:
        members = list(built.book.members(column))
        rule = _rule(built, column)
        letters = [built.formulas.letters[table.name, column.name, m] for m in members]
        if column.only:
            letters = [built.formulas.letters[table.name, column.name, m] for m in members
                       if m is not None and built.book.dimensions[column.over][m] in column.only]
        for letter in letters:
            rule.add(f"{letter}{table.top}:{letter}{last}")
        sheet.add_data_validation(rule)


def _rule(built: Built, column: Column) -> DataValidation:
    assert isinstance(column, Entry)
    label = looks.label_of(column)
    ask = {"allow_blank": True, "showErrorMessage": True, "showInputMessage": True,
           "promptTitle": label[:32], "prompt": column.hint[:255]}
    if column.what == "choice":
        return DataValidation(type="list", formula1=column.choices.replace(".", "_"),
                              errorTitle=label[:32], error=f"Choose {label.lower()} from the list.",
                              **ask)
    if column.what == "text":
        return DataValidation(type="textLength", operator="lessThanOrEqual",
                              formula1=str(column.longest), errorTitle=label[:32],
                              error=f"At most {column.longest} characters.", **ask)
    if column.what == "date":
        return DataValidation(type="date", operator="between", formula1="36526", formula2="73050",
                              errorTitle=label[:32], error="Enter a date between 2000 and 2099.",
                              **ask)
    low, high, unit = limits(built.book.us, column)
    return DataValidation(
        type="decimal", operator="between", formula1=repr(low), formula2=repr(high),
        errorTitle=label[:32], errorStyle="stop" if column.over else "warning",
        error=f"{label} is usually a number from {low:g} to {high:g} {unit}".strip() + ".", **ask)


def limits(us: bool, column: Entry) -> tuple[float, float, str]:
    """Plausible limits of a typed number in the workbook's unit, and that unit."""
    if column.over:
        return 0.0, 1000000.0, ""
    name = column.quantity or column.name
    line = glossary()[name]
    unit = unit_of(name)
    per = unit.si_per_edge(us)
    return line.low / per, line.high / per, unit.shown(us)
