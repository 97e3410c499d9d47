"""Table values that stand in for a test: only where nothing of one's own is known, and marked."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from haymow.evaluate import Values
from haymow.plan import plan
from haymow.tables.make import make
from haymow.tables.small import ANALYTES, rows_of
from small_ranch import small_ranch, without

HAY, CUBE = "Timothy hay, midbloom (remembered)", "Range cubes 38 % CP (as-fed)"
HULLS = "Soybean hulls"


def changed(*changes: tuple[Any, ...]) -> Any:
    """The small ranch with some cells typed anew: (table, row, column, value)."""
    ranch = small_ranch()
    ranch = replace(ranch, entries={"Quality": {}, **ranch.entries})
    for table, row, column, value in changes:
        ranch = without(ranch, table, row, column, value)
    return ranch


def values(*changes: tuple[Any, ...]) -> Values:
    ranch = changed(*changes)
    return Values(make(ranch), ranch)


def cell(found: Values, table: str, column: str, row: int = 1, member: str = "") -> Any:
    value = found.column(table, column, member)[row - 1]
    return None if isinstance(value, float) and np.isnan(value) else value


# --- the packaged tables
@pytest.mark.parametrize(("name", "rows", "known", "cp", "tdn"), [
    ("table_forages", 103, 609, 1066.32, 3795.9), ("table_feeds", 68, 919, 2160.3, 3248.5)])
def test_the_tables_are_as_they_were_taken_over(name, rows, known, cp, tdn):
    """Counts and column sums of the collected values they come from, counted there."""
    found = rows_of(name)
    assert len(found) == rows
    assert sum(bool(row[analyte]) for row in found for analyte in ANALYTES) == known
    assert sum(float(row["cp"] or 0) for row in found) == pytest.approx(cp)
    assert sum(float(row["tdn"] or 0) for row in found) == pytest.approx(tdn)


@pytest.mark.parametrize("name", ["table_forages", "table_feeds"])
def test_every_row_has_its_own_name_a_source_and_says_whether_it_was_read(name):
    known = {row["key"] for row in rows_of("sources")}
    rows = rows_of(name)
    names = [row[name.removesuffix("s")].casefold() for row in rows]
    assert len(names) == len(set(names))
    assert not any(set("*?~") & set(each) for each in names)  # MATCH takes these for any letters
    for row in rows:
        assert row["source"] in known
        assert row["seen"] in ("yes", "no") and row["confidence"]


def test_a_spread_can_never_stand_in():
    choices = make(small_ranch()).tables["TableForages"].at["table_forage"].data
    assert not any(name.endswith("SD") for name in choices)
    assert any(row["statistic"] == "sd" for row in rows_of("table_forages"))


# --- forages
def test_without_a_choice_no_table_value_is_used_and_nothing_is_marked():
    found = values(("Samples", 1, "reported.ca", None))
    assert cell(found, "Forages", "usual", member="ca") is None
    for table in ("Forages", "Quality", "Diet", "Balance", "Supplements", "Minerals", "Protein"):
        assert all(words is None for words in found.column(table, "table_use")), table
    assert not any("table" in words for words in found.column("Answers", "sentence"))


def test_a_sample_goes_first_and_only_what_it_lacks_comes_from_the_table():
    ranch = changed(("Samples", 1, "reported.ca", None), ("Forages", 1, "stand_in", HAY))
    ranch = replace(ranch, settings={**ranch.settings, "pull_to_table": 0})
    found = Values(make(ranch), ranch)
    assert cell(found, "Forages", "usual", member="cp") == 5  # own
    assert cell(found, "Forages", "usual", member="ca") == 0.48  # BV081
    assert cell(found, "Forages", "table_use") == "table values stand in: Ca Mg K "
    assert cell(found, "Quality", "quality", member="ca") == 0.48


def test_what_the_table_does_not_know_stays_unknown():
    found = values(("Samples", 1, "reported.ca", None), ("Forages", 1, "stand_in", HAY))
    assert cell(found, "Forages", "usual", member="zn") is None


def test_a_forage_without_any_sample_takes_energy_and_degradable_protein_from_the_table():
    found = values(("Forages", 3, "forage", "Bought"), ("Forages", 3, "kind", "other"),
                   ("Forages", 3, "stand_in", HAY))
    assert cell(found, "Forages", "usual", 3, "tdn") == 57
    assert cell(found, "Forages", "usual", 3, "rdp") == pytest.approx(9.7 * 0.70)  # of its kind
    assert cell(found, "Forages", "dm_pct_as_fed", 3) == 89
    assert "RDP CP TDN NEm Ca P" in cell(found, "Forages", "table_use", 3)


def test_a_value_of_ones_own_for_a_month_takes_the_mark_off_that_month():
    found = values(("Samples", 1, "reported.ca", None), ("Forages", 1, "stand_in", HAY),
                   ("Quality", 2, "override.ca", 0.3))
    assert cell(found, "Quality", "quality", 2, "ca") == 0.3
    assert [cell(found, "Quality", "table_use", row) for row in (1, 2)] == [
        "Range: Ca Mg K ", "Range: Mg K "]


def test_the_mark_follows_the_forage_to_who_eats_it():
    """Hay is eaten by the cows in the second month only."""
    found = values(("Samples", 2, "reported.ca", None), ("Forages", 2, "stand_in", HAY))
    marked = [row for row in range(1, 9) if cell(found, "Diet", "table_use", row)]
    assert marked == [2]
    assert cell(found, "Balance", "table_use", 2).strip() == "Hay: Ca Mg K"
    assert cell(found, "Minerals", "table_use", 2) == cell(found, "Balance", "table_use", 2)
    sentences = found.column("Answers", "sentence")
    assert [text.endswith("(rests on table values: see Balance)") for text in sentences] == [
        True, False]


def test_a_mineral_the_plan_does_not_ask_for_is_marked_but_not_in_the_answer():
    found = values(("Forages", 1, "stand_in", HAY))
    assert cell(found, "Balance", "table_use").strip() == "Range: Mg K"
    assert not any("table" in words for words in found.column("Answers", "sentence"))


@pytest.mark.parametrize(("table", "row", "column"), [
    ("Forages", 1, "Table forages"), ("Supplements", 2, "Table feeds")])
def test_a_name_that_is_not_in_the_table_is_said(table, row, column):
    found = values((table, row, "stand_in", "Moon hay"))
    assert cell(found, table, "note", row) == f"The table value is not on {column}. "


# --- feeds
def test_a_tag_without_tdn_asks_for_a_table_value():
    found = values(("Supplements", 2, "reported.tdn", None))
    assert "No TDN: choose what stands in" in cell(found, "Supplements", "note", 2)
    assert cell(found, "Supplements", "dry_matter", 2, "tdn") is None


def test_a_tag_without_tdn_takes_that_of_the_table_and_says_so():
    found = values(("Supplements", 2, "reported.tdn", None), ("Supplements", 2, "stand_in", CUBE))
    assert cell(found, "Supplements", "note", 2) is None
    assert cell(found, "Supplements", "dry_matter", 2, "tdn") == 77.8  # 70 as fed at 90 % DM
    assert cell(found, "Supplements", "dry_matter", 2, "cp") == pytest.approx(38 / 0.9)  # the tag
    assert cell(found, "Supplements", "table_use", 2) == "table values stand in: TDN NEm "
    assert cell(found, "Balance", "table_use") == "feeds (see Supplements)"


def test_a_feed_that_is_not_fed_marks_nothing():
    found = values(("Supplements", 4, "product", "Hulls"), ("Supplements", 4, "stand_in", HULLS))
    assert cell(found, "Supplements", "table_use", 4)
    assert all(words is None for words in found.column("Balance", "table_use"))


def test_a_typed_value_whose_basis_is_not_said_is_never_replaced_by_the_table():
    found = values(("Supplements", 2, "basis", None), ("Supplements", 2, "stand_in", CUBE))
    assert cell(found, "Supplements", "dry_matter", 2, "cp") is None
    assert "Say whether as fed or dry matter" in cell(found, "Supplements", "note", 2)


def test_a_feed_known_by_its_table_alone_is_not_asked_for_a_basis():
    found = values(*((("Supplements", 4, column, value)) for column, value in {
        "product": "Hulls", "purpose": "TDN", "price": 180, "stand_in": HULLS}.items()))
    assert cell(found, "Supplements", "note", 4) is None
    assert cell(found, "Supplements", "dry_matter", 4, "cp") == 12.4


def test_an_as_fed_tag_takes_its_dry_matter_from_the_table():
    found = values(("Supplements", 2, "reported.dm", None), ("Supplements", 2, "stand_in", HULLS))
    assert cell(found, "Supplements", "dry_matter", 2, "cp") == pytest.approx(38 / 0.9)


# --- checks
def test_each_use_is_listed_among_what_is_to_be_looked_at():
    ranch = changed(("Samples", 1, "reported.ca", None), ("Forages", 1, "stand_in", HAY),
                    ("Supplements", 2, "stand_in", CUBE))
    told = "\n".join(map(str, plan(ranch).problems))
    assert "(Range): table values stand in: Ca Mg K. Sample it" in told


# --- what a nutrient costs
def test_a_price_counts_freight_and_losses_and_shows_urea_apart():
    """$475 + 25 a ton, 10 % lost, 38 % CP as fed of which 22 % is no protein."""
    found = values(*((("Supplements", 2, column, value)) for column, value in {
        "price": 475, "freight": 25, "loss_pct": 10, "npn_pct_of_cp": 22}.items()))
    usable = 500 / 0.9
    assert cell(found, "Supplements", "cp_price", 2) == pytest.approx(usable / 2000 / 0.38)
    assert cell(found, "Supplements", "natural_cp_price", 2) == pytest.approx(
        usable / 2000 / 0.38 / 0.78)
    assert cell(found, "Supplements", "tdn_price", 2) == pytest.approx(usable / 2000 / 0.70)


@pytest.mark.parametrize(("typed", "stand_in", "share"), [
    (30, "Urea, feed grade 45 % N", 30), (None, "Urea, feed grade 45 % N", 100),
    (None, HULLS, 0), (None, CUBE, None), (None, None, None)])
def test_the_tag_says_first_how_much_of_the_protein_is_urea(typed, stand_in, share):
    found = values(("Supplements", 2, "npn_pct_of_cp", typed),
                   ("Supplements", 2, "stand_in", stand_in))
    assert cell(found, "Supplements", "npn_used_pct_of_cp", 2) == share


def test_protein_that_is_all_urea_has_no_price_of_natural_protein():
    found = values(("Supplements", 2, "npn_pct_of_cp", 100))
    assert cell(found, "Supplements", "natural_cp_price", 2) is None
    assert cell(found, "Supplements", "cp_price", 2) is not None


def test_a_feed_without_protein_has_no_price_of_protein():
    assert cell(values(), "Supplements", "cp_price", 3) is None
