"""The days on which forage falls below each need and rises above it again."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from haymow.evaluate import Values
from haymow.ranch import EPOCH
from haymow.tables.make import make
from least_cost_ranch import gap_ranch

FIRST = dt.date(2026, 11, 1)


def crossings(*gaps: float) -> dict[str, object]:
    """What is said of CP where hay is short of so many pounds in each month."""
    ranch = gap_ranch({}, [{"cp": gap} for gap in gaps])
    values = Values(make(ranch), ranch)
    row = list(values.column("WhenShort", "nutrient")).index("CP")
    return {name: values.column("WhenShort", name)[row]
            for name in ("when_words", "falls_on", "rises_on")}


def day(number: float) -> dt.date:
    return EPOCH + dt.timedelta(int(number))


def test_the_day_lies_on_a_straight_line_between_the_middles_of_two_months():
    """Arithmetic: 0.2 lb over in November and 0.2 short in December cross on the first of it."""
    found = crossings(-0.2, 0.2, 0.2, -0.2)
    assert abs((day(found["falls_on"]) - dt.date(2026, 12, 1)).days) <= 1
    assert abs((day(found["rises_on"]) - dt.date(2027, 1, 31)).days) <= 1
    assert found["when_words"].startswith("short from Nov 30 to Jan 3") or found[
        "when_words"].startswith("short from Dec 1 to Jan 3")


def test_short_from_the_first_month_starts_with_the_plan_and_to_the_last_ends_with_it():
    found = crossings(0.5, 0.5)
    assert day(found["falls_on"]) == FIRST and np.isnan(found["rises_on"])
    assert found["when_words"] == "short from Nov 1 to the plan's end"


def test_what_is_never_short_says_so():
    found = crossings(-0.5, -0.5)
    assert found["when_words"] == "enough all through the plan"
    assert np.isnan(found["falls_on"]) and np.isnan(found["rises_on"])


def test_a_nutrient_that_is_not_known_is_not_said_to_be_enough():
    ranch = gap_ranch({}, [{"cp": 0.5}])
    values = Values(make(ranch), ranch)
    row = list(values.column("WhenShort", "nutrient")).index("P")
    assert values.column("WhenShort", "when_words")[row] == "not known"


@pytest.mark.parametrize("gaps", [(0.4, -0.4, 0.4), (0.4, -0.4, 0.4, -0.4)])
def test_two_spells_run_from_the_first_to_the_last(gaps):
    found = crossings(*gaps)
    assert day(found["falls_on"]) == FIRST
    assert np.isnan(found["rises_on"]) == (gaps[-1] > 0)
