"""Engine = values stored in the file = LibreOffice, in every formula cell."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

import referee
from haymow.workbook.build import build
from random_ranch import random_ranch

RANCHES = 100
BATCH = 25


@pytest.mark.referee
@pytest.mark.parametrize("first", range(0, RANCHES, BATCH))
def test_a_hundred_random_ranches_agree_in_every_formula_cell(first, tmp_path):
    files = [_built(seed, tmp_path) for seed in range(first, first + BATCH)]
    wrong = referee.check(files, tmp_path / "again")
    assert not wrong, "\n".join(map(str, wrong[:20]))


@pytest.mark.referee
def test_sixty_groups_over_two_years_agree_in_every_formula_cell(tmp_path):
    path = tmp_path / "large.xlsx"
    expected = build(random_ranch(2, groups=60, months=24), path)
    wrong = referee.check([(path, expected)], tmp_path / "again")
    assert not wrong, "\n".join(map(str, wrong[:20]))


def _built(seed: int, folder: Path) -> tuple[Path, dict[str, dict[str, object]]]:
    path = folder / f"ranch{seed}.xlsx"
    return path, build(random_ranch(seed), path)


def test_the_random_ranches_hold_what_users_get_wrong():
    """Blanks, bulls, unknown names, odd dates and both unit systems all occur."""
    ranches = [random_ranch(seed) for seed in range(RANCHES)]
    cells = [(name, value) for ranch in ranches for rows in ranch.entries.values()
             for row in rows.values() for name, value in row.items()]
    values = {value for _, value in cells if isinstance(value, str)}
    assert {"mature bull", "growing bull", "Nowhere", "Unheard of", "No such feed"} <= values
    assert {ranch.us for ranch in ranches} == {True, False}
    assert any(r.settings["first_month"].day > 1 for r in ranches if "first_month" in r.settings)
    assert any("first_month" not in ranch.settings for ranch in ranches)
    assert any(isinstance(value, dt.date) for _, value in cells)
