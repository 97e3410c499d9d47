"""Looks: styles, headers, widths, formats. Nothing here changes a value."""

from __future__ import annotations

from openpyxl.styles import Alignment, Border, Font, NamedStyle, PatternFill, Protection, Side
from openpyxl.workbook import Workbook

from ..quantities import glossary
from ..tables import Asks, Book, Column, Entry, Key, Link, Names, Nearest, Say, Shown, Which
from ..tables.small import rows_of
from ..units import unit_of

__all__ = [
    "DATE", "INK", "add_styles", "format_of", "heading", "is_open", "role", "style_of", "width_of",
]

INK = {"paper": "FFFFFF", "entry": "FFF3D1", "entry_edge": "B98A2F", "result": "E6F0EA",
       "fixed": "EFEFEF", "head": "3B4A3F", "head_text": "FFFFFF", "low": "F6C9B2",
       "quiet": "666666", "from_table": "7A3E00"}
DATE = "d mmm yyyy"
LONG_WORDS = {**{f"{row['key']}_words": 40 for row in rows_of("hazards")}, "sentence": 110,
              "verdict": 96, "growth": 84, "storm_words": 110,
              "forecast_words": 84, "winter_words": 110,
              **{f"card_{n}": 34 for n in range(1, 9)}, "compared_words": 60, "lab_words": 40,
              "kept_because": 30, "picture_words": 80, "local_words": 60, "local_source": 48,
              "local_told": 80, "sampling_words": 54, "ask_words": 40, "label_words": 62,
              "label_handle": 40,
              "take": 44, "handle": 44, "tool": 30, "suspicion": 30, "second_suspicion": 30,
              "table_use": 34, "nitrate_words": 58, "interval_words": 44,
              "room_words": 44, "care": 62, "how": 36, "feed": 26, "lot_words": 70,
              "when_words": 40, "decide_words": 96,
              "tdn_by": 54, "table_forage": 48, "table_feed": 48, "table_note": 70, "source": 22,
              "confidence": 20, "hazard_words": 18, "look_words": 18, "unknown_words": 34,
              "what_words": 50, "do_words": 50, "whom_words": 24, "protein_words": 36,
              "do_danger": 44, "do_look": 44, "do_unknown": 44, "ask": 26,
              "limits_note": 44, "hazard": 18}  # column widths in characters
PERCENTS = {"share": "% of need", "chance": "%"}
_LINES = {row["nutrient"]: row for row in rows_of("nutrients")}
_ROW_NUMBERS = (Link, Nearest, Which)

ZERO_SAYS = {  # answers in which a zero must be seen: none is not the same as not known
    "milk", "most_in_diet_pct", "most_in_diet_pregnant_pct", "dilution_parts",
    "pregnant_dilution_parts", "no3n_ppm_dm", "nitrate_ppm_dm", "kno3_ppm_dm",
    "bound_cp_pct_of_cp", "npn_used_pct_of_cp"}


def add_styles(workbook: Workbook) -> None:
    """Few named styles, each told apart by border or word as well as by color."""
    dashed = Side(style="dashed", color=INK["entry_edge"])
    thin = Side(style="hair", color="B0B0B0")
    base = {"font": Font(name="Calibri", size=11)}
    for name, fill, border, locked in (
            ("entry", INK["entry"], Border(dashed, dashed, dashed, dashed), False),
            ("result", INK["result"], Border(bottom=thin), True),
            ("working", INK["paper"], Border(bottom=thin), True),
            ("fixed", INK["fixed"], Border(bottom=thin), True)):
        workbook.add_named_style(NamedStyle(
            name, fill=PatternFill("solid", fgColor=fill), border=border,
            protection=Protection(locked=locked), **base))
    workbook.add_named_style(NamedStyle(
        "head", fill=PatternFill("solid", fgColor=INK["head"]),
        font=Font(name="Calibri", size=11, bold=True, color=INK["head_text"]),
        alignment=Alignment(wrap_text=True, vertical="bottom")))
    workbook.add_named_style(NamedStyle(
        "quiet", font=Font(name="Calibri", size=11, color=INK["quiet"])))
    workbook.add_named_style(NamedStyle(
        "title", font=Font(name="Calibri", size=18, bold=True, color=INK["head"])))


def style_of(column: Column, member: int | None, book: Book) -> str:
    """The style of a column's cells."""
    if isinstance(column, Entry):
        free = not column.only or member is None \
            or book.dimensions[column.over][member] in column.only
        return "entry" if free else "fixed"
    if isinstance(column, Key):
        return "fixed"
    return "result" if column.front else "working"


def is_open(column: Column, member: int | None, book: Book) -> bool:
    """Whether people read it: the others stand behind a closed outline."""
    if column.open and member is not None:
        return book.dimensions[column.over][member] in column.open
    return column.front


def role(column: Column) -> str:
    """The word above a column that says the same as its color."""
    if isinstance(column, Entry):
        return "enter"
    return "fixed" if isinstance(column, Key) else "result" if column.front else "working"


def label_of(column: Column) -> str:
    """What a column is called, without its unit."""
    if column.label:
        return column.label
    name = column.quantity or getattr(column, "of", "") or column.name
    line = glossary().get(column.quantity or column.name) or glossary().get(name)
    return line.label if line else column.name.replace("_", " ")


def heading(book: Book, column: Column, member: int | None) -> str:
    """Label and unit as the column's header shows them."""
    label = label_of(column)
    if column.over and member is not None:
        name = book.dimensions[column.over][member]
        unit = (_member_unit(book, column.measure, name) if name in _LINES
                else _unit(book, column))
        return f"{label}: {member_word(book, column, member)}" + (f", {unit}" if unit else "")
    unit = _unit(book, column)
    return f"{label}, {unit}" if unit and unit != "date" else label


def headings(book: Book, cells: list[tuple[Column, int | None]]) -> list[str]:
    """The headers of a table; one that would repeat an earlier one says that it is working."""
    found: dict[str, str] = {}
    for column, member in cells:
        text = heading(book, column, member)
        while text.casefold() in found:
            text = f"(working) {text}"
        found[text.casefold()] = text
    return list(found.values())


def _unit(book: Book, column: Column) -> str:
    typed_words = getattr(column, "what", "") in ("text", "choice")
    words = isinstance(column, Say | Asks | Names) or typed_words
    if words or isinstance(column, Key):
        return ""
    edge = isinstance(column, Entry | Shown)
    unit = unit_of(column.quantity or column.name)
    return unit.shown(book.us) if edge else unit.si


def member_word(book: Book, column: Column, member: int) -> str:
    """CP, NEm, Ca: a nutrient or analyte in a header."""
    name = book.dimensions[column.over][member]
    return _LINES[name]["short"] if name in _LINES else str(name)


def _member_unit(book: Book, measure: str, name: str) -> str:
    line = _LINES.get(name, {})
    if measure in PERCENTS:
        return PERCENTS[measure]
    if measure == "daily":
        return "lb/day" if book.us and line["need_unit"] == "kg/day" else line["need_unit"]
    if measure == "table":
        return {"rdp": "% of CP", "dm": "% as fed"}.get(name, line["pct_unit"])
    if measure == "content":
        return line["pct_unit"]
    return _reported_unit(book, name) if measure == "reported" else ""


def _reported_unit(book: Book, name: str) -> str:
    """The unit a report or a tag prints."""
    first, _, basis = _LINES[name]["pct_unit"].partition(" of ")
    if name == "rdp":
        return "% of CP"
    weight = "lb" if book.us else "kg"
    return f"{first} of {basis}" if basis == "NDF" else first.replace("/kg DM", f"/{weight}")


def format_of(column: Column, member: int | None, book: Book) -> str:
    """The number format, from the glossary or what a block's members are."""
    if isinstance(column, _ROW_NUMBERS) or column.name.endswith(("_no", "_row", "_month")):
        return "0"
    if column.name == "month":
        return "mmm yyyy"
    if column.name.endswith("_on") or column.name in ("first_day", "mid_day"):
        return DATE
    if column.measure:
        name = book.dimensions[column.over][member or 0]
        return _block_format(column.measure, name)
    line = glossary().get(column.quantity or column.name)
    form = line.format if line else "General"
    return f"{form};-{form};" if column.front and not isinstance(column, Entry | Key) and line \
        and column.name not in ZERO_SAYS else form


def _block_format(measure: str, name: str) -> str:
    if measure in ("share", "chance"):
        return "0"
    if measure == "daily":
        return "0.00" if name in ("cp", "rdp") else "0.0"
    unit = _LINES.get(name, {}).get("pct_unit", "")
    if unit.startswith("IU") or name in ("fe", "no3n", "zn", "mn"):
        return "#,##0"
    small = ("ca", "p", "nem", "mg", "k", "na", "cl", "s", "se", "co", "i")
    return "0.00" if name in small else "0.0"


def width_of(column: Column) -> float:
    """Column width in characters."""
    if column.name in LONG_WORDS:
        return LONG_WORDS[column.name]
    if isinstance(column, Key) and column.dimension:
        return 6
    if isinstance(column, Asks | Names) or column.name in (
            "state", "reason", "check", "do", "citation"):
        return 34
    words = getattr(column, "what", "") in ("text", "choice")
    if words or column.name in ("group", "forage", "product", "class", "kind", "basis", "note"):
        return 20
    return 12.5
