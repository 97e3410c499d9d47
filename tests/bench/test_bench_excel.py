"""One call over 10,000 cells beside 10,000 calls, through xlwings' own dispatch (no COM)."""

from __future__ import annotations

import pytest

import excel_stubs
from excel_stubs import Cells, called

CELLS = 10_000
ADF = [(20 + 40 * k / CELLS,) for k in range(CELLS)]


@pytest.fixture(scope="module")
def udfs():
    with excel_stubs.excel() as found:
        yield found


def test_one_call_over_10000_cells(benchmark, udfs):
    block = Cells(*ADF)
    got = benchmark(called, udfs, "HM_DDM_PCT_DM", block)
    assert len(got) == CELLS


def test_10000_calls_of_one_cell(benchmark, udfs):
    cells = [Cells(cell) for cell in ADF]
    got = benchmark.pedantic(lambda: [called(udfs, "HM_DDM_PCT_DM", cell) for cell in cells],
                             rounds=1)
    assert len(got) == CELLS


def test_the_need_of_a_class_in_1000_cells(benchmark, udfs):
    import datetime as dt

    day = dt.datetime(2027, 1, 15, tzinfo=dt.UTC)
    weights = Cells(*[(450.0 + k / 10,) for k in range(1000)])
    got = benchmark(called, udfs, "HM_CLASS_CP_NEED_KG_PER_DAY", "mature cow", weights, day,
                    day.replace(month=3), 9.0, -2147352572, -2147352572)
    assert isinstance(got[0][0], float) and len(got) == 1000
