"""The picture on the sheet Picture: a chart over the points that the tables work out."""

from __future__ import annotations

from typing import Any

from openpyxl.chart import Reference, ScatterChart, Series
from openpyxl.chart.data_source import StrRef
from openpyxl.chart.series import SeriesLabel
from openpyxl.chart.shapes import GraphicalProperties
from openpyxl.chart.text import RichText
from openpyxl.drawing.line import LineProperties
from openpyxl.drawing.text import CharacterProperties, Paragraph, ParagraphProperties

from .making import Built

__all__ = ["draw_picture"]

ANCHOR = "B11"
WIDTH_CM, HEIGHT_CM = 27.0, 11.5
FORAGE, SAMPLE, GRID = "2E6B3E", "7A3E00", "D9D9D9"
TWO_MONTHS = 365.25 / 6  # days
MARKS = ("square", "triangle", "circle", "x", "star", "plus", "dash", "dot")
DASHES = ("sysDash", "dash", "lgDash", "dashDot", "sysDot", "lgDashDot")
COLORS = ("1F4E79", "B03A2E", "6C3483", "117A65", "7D6608", "34495E")
ALT = ("Chart: what the chosen forage holds by month in percent of dry matter, one standard error"
       " either side, its samples as diamonds, and what the diet of each group has to hold.")


def draw_picture(built: Built) -> None:
    """Samples on the curve of a forage, against the need of each group."""
    chart = ScatterChart()
    chart.style, chart.width, chart.height = 2, WIDTH_CM, HEIGHT_CM
    chart.scatterStyle = "lineMarker"
    chart.visible_cells_only = False  # the points stand behind a closed outline
    chart.legend.position = "r"
    _axis(chart.x_axis, "Month", "mmm yyyy")
    _axis(chart.y_axis, "% of dry matter", "0.0")
    chart.y_axis.scaling.min = 0
    months = ("PictureMonths", "point_on", 0, built.book.size("month"))
    for name, title, width, dash in (
            ("drawn_content_point", "In the forage", 34000, None),
            ("drawn_high_point", "one standard error more", 9500, "sysDot"),
            ("drawn_low_point", "one standard error less", 9500, "sysDot")):
        line = _series(built, months, name, title)
        _line(line, FORAGE, width, dash)
        chart.series.append(line)
    chart.series.append(_dots(built))
    for number, row in enumerate(_groups(built)):
        chart.series.append(_need(built, number, row))
    built.sheet("Picture").add_chart(chart, ANCHOR)
    built.told.append(ALT)


def _groups(built: Built) -> list[int]:
    """The groups that are drawn, from 0: those in use, or all rows of a blank workbook."""
    names = built.values.column("Herd", "group")
    used = [k for k, name in enumerate(names) if name is not None]
    return used or list(range(len(names)))


def _dots(built: Built) -> Any:
    dots = _series(built, ("PictureSamples", "sample_point_on", 0, built.book.size("sample")),
                   "sample_point", "Samples")
    dots.marker.symbol, dots.marker.size = "diamond", 10
    dots.marker.graphicalProperties = GraphicalProperties(solidFill=SAMPLE)
    dots.graphicalProperties = GraphicalProperties(ln=LineProperties(noFill=True))
    return dots


def _need(built: Built, number: int, row: int) -> Any:
    months = built.book.size("month")
    line = _series(built, ("PictureNeeds", "point_on", row * months, months),
                   "drawn_need_pct_dm_point", "")
    letter = built.formulas.letters["PictureNeeds", "group", None]
    top = built.book.tables["PictureNeeds"].top + row * months
    line.tx = SeriesLabel(strRef=StrRef(f"'Picture points'!${letter}${top}"))
    color = COLORS[number % len(COLORS)]
    _line(line, color, 15900, DASHES[number % len(DASHES)])
    line.marker.symbol, line.marker.size = MARKS[number % len(MARKS)], 6
    line.marker.graphicalProperties = GraphicalProperties(
        solidFill=color, ln=LineProperties(solidFill=color))
    return line


def _series(built: Built, of: tuple[str, str, int, int], name: str, title: str) -> Any:
    """A line over rows of a table: days across, values up."""
    table, days, start, count = of
    top = built.book.tables[table].top + start
    across, up = (_area(built, table, column, top, count) for column in (days, name))
    line = Series(up, across, title=title or None)
    line.smooth = False
    line.marker.symbol = "none"
    return line


def _area(built: Built, table: str, column: str, top: int, count: int) -> Reference:
    sheet = built.workbook[built.book.tables[table].sheet]
    letter = built.formulas.letters[table, column, None]
    cells = f"${letter}${top}:${letter}${top + count - 1}"
    return Reference(sheet, range_string=f"'{sheet.title}'!{cells}")


def _line(series: Any, color: str, width: int, dash: str | None) -> None:
    series.graphicalProperties = GraphicalProperties(
        ln=LineProperties(solidFill=color, w=width, prstDash=dash))


def _axis(axis: Any, title: str, form: str) -> None:
    axis.title, axis.delete = title, False
    axis.number_format = form
    if title == "Month":
        axis.majorGridlines, axis.majorUnit = None, TWO_MONTHS
    else:
        axis.majorGridlines.spPr = GraphicalProperties(ln=LineProperties(solidFill=GRID))
    small = CharacterProperties(sz=900)
    axis.txPr = RichText(p=[Paragraph(pPr=ParagraphProperties(defRPr=small), endParaRPr=small)])
