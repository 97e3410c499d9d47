"""The picture an adviser draws: samples on the curve of a forage, against the need of groups."""

from __future__ import annotations

import datetime as dt
import re
import zipfile
from dataclasses import replace

import numpy as np
import pytest

from haymow.evaluate import Values
from haymow.ranch import Ranch
from haymow.tables.make import make
from haymow.workbook.build import build
from haymow.workbook.seal import Unsealed, seal
from sample_ranch import ranch

RANGE = {"forage": "Ridge range", "basis": "dry matter", "reported.dm": 90, "reported.adf": 42}


def drawn(of: Ranch | None = None, **choice: str) -> Values:
    of = of or ranch({
        1: {**RANGE, "sample_id": "R1", "sampled_on": dt.date(2026, 10, 5), "reported.cp": 5.8},
        2: {**RANGE, "sample_id": "R2", "sampled_on": dt.date(2025, 5, 20), "reported.cp": 12.5},
        3: {**RANGE, "sample_id": "H1", "forage": "Meadow hay", "reported.cp": 9.0}})
    of = replace(of, entries={**of.entries, "Picture": {1: choice}})
    return Values(make(of), of)


def test_the_line_is_what_the_forage_holds_in_use():
    values = drawn()
    assert values.column("PictureMonths", "drawn_content_point") == pytest.approx(
        values.column("Quality", "quality", "cp")[:12])
    low, high = (values.column("PictureMonths", f"drawn_{end}_point") for end in ("low", "high"))
    error = values.column("Quality", "quality_error", "cp")[:12]
    assert (high - low)[:3] == pytest.approx(2 * error[:3])


def test_samples_of_the_forage_stand_at_their_day_of_the_season_whatever_their_year():
    values = drawn()
    up = values.column("PictureSamples", "sample_point")
    across = values.column("PictureSamples", "sample_point_on")
    first = dt.date(2026, 10, 1)
    days = [float((day - dt.date(1899, 12, 30)).days) for day in (
        dt.date(2026, 10, 5), dt.date(2027, 5, 20))]
    assert up[:2] == pytest.approx([5.8, 12.5]) and across[:2] == pytest.approx(days, abs=1)
    assert (up[2:] == -1).all(), "hay is not drawn, nor are empty rows"
    assert (across >= (first - dt.date(1899, 12, 30)).days).all()


def test_another_forage_and_nutrient_can_be_chosen():
    values = drawn(forage="Meadow hay", drawn="CP")
    assert values.column("PictureSamples", "sample_point")[2] == pytest.approx(9.0)
    assert values.column("Picture", "picture_words")[0].startswith("Meadow hay: CP")
    tdn = drawn(drawn="TDN")
    assert tdn.column("PictureMonths", "drawn_content")[0] == pytest.approx(
        tdn.column("Quality", "quality", "tdn")[0])


def test_the_need_of_a_group_is_a_share_of_what_it_eats():
    values = drawn()
    need, eaten = (values.column("Needs", name, member)[0]
                   for name, member in (("need", "cp"), ("intake_kg_per_day", "")))
    assert values.column("PictureNeeds", "drawn_need_pct_dm_point")[0] == pytest.approx(
        100 * need / eaten)


def test_a_month_that_is_not_known_is_drawn_on_its_neighbor_never_as_nothing():
    of = ranch({})
    of = replace(of, entries={**of.entries, "Forages": {
        1: {"forage": "Ridge range", "kind": "native range"}},
        "Quality": {month: {"override.cp": 6.0 + month} for month in (3, 4, 8)}})
    values = drawn(of)
    points = values.column("PictureMonths", "drawn_content_point")
    assert points == pytest.approx([9, 9, 9, 10, 10, 10, 10, 14, 14, 14, 14, 14])
    days = values.column("PictureMonths", "point_on")
    assert (np.diff(days) >= 0).all() and len(set(days)) == 3


def test_a_group_of_which_nothing_is_known_lies_below_the_axis():
    points = drawn().column("PictureNeeds", "drawn_need_pct_dm_point")
    assert (points[-12:] == -1).all() and points.min() == -1


@pytest.fixture(scope="module")
def parts(tmp_path_factory):
    path = tmp_path_factory.mktemp("picture") / "ranch.xlsx"
    build(ranch({}), path)
    with zipfile.ZipFile(path) as archive:
        return {name: archive.read(name).decode() for name in archive.namelist()
                if name.startswith(("xl/charts", "xl/drawings"))}


def test_the_chart_has_words_axes_from_nothing_up_and_shows_closed_columns(parts):
    chart = parts["xl/charts/chart1.xml"]
    assert re.search(r'plotVisOnly val="0"', chart)
    assert re.search(r'min val="0"', chart)
    shape = re.search(r"<(?:xdr:)?cNvPr[^>]*>", parts["xl/drawings/drawing1.xml"])[0]
    assert 'descr="Chart: what the chosen forage holds by month' in shape


def test_every_line_of_a_group_has_a_mark_of_its_own_and_its_name(parts):
    marks = re.findall(r'<(?:c:)?symbol val="(\w+)"', parts["xl/charts/chart1.xml"])
    groups = [mark for mark in marks if mark not in ("none", "diamond")]
    assert len(groups) == 4 == len(set(groups)) and marks.count("diamond") == 1
    assert "'Picture points'!$" in parts["xl/charts/chart1.xml"]


def test_a_picture_without_words_is_a_fault(tmp_path):
    from openpyxl import Workbook
    from openpyxl.chart import BarChart, Reference

    book = Workbook()
    chart = BarChart()
    chart.add_data(Reference(book.active, range_string="Sheet!$A$1:$A$2"))
    book.active.add_chart(chart, "C3")
    book.save(tmp_path / "a.xlsx")
    with pytest.raises(Unsealed, match="no words"):
        seal(tmp_path / "a.xlsx", {})
