"""Our equations against numbers in print: within the tolerance of each row, or strictly not."""

import pytest

from agreement import STATUSES, rows, worked_out
from recipes import data


def asserted():
    for row in rows():
        if row["status"] != "REFERENCE ONLY":
            marks = [pytest.mark.xfail(strict=True, reason=row["note"])]
            yield pytest.param(row, id=f"{row['table']}-{row['id']}",
                               marks=marks if row["status"] == "DISAGREES" else [])


@pytest.mark.parametrize("row", list(asserted()))
def test_our_equations_agree_with_print(row):
    printed, off = float(row["value"]), float(row["tolerance"])
    ours = worked_out(row)
    assert ours == pytest.approx(printed, abs=off, rel=0), f"{row['source']}, {row['where']}"


def test_every_source_of_a_published_row_is_in_the_bibliography():
    known = {row["key"] for row in data("sources")}
    assert {row["source"] for row in rows()} <= known


def test_every_published_row_says_what_it_is_and_why_it_is_not_asserted():
    for row in rows():
        assert row["status"] in STATUSES, row["id"]
        assert row["source"] and row["where"] and row["value"], row["id"]
        assert row["note"] or row["status"] == "AGREES", row["id"]
    names = [row["id"] for row in rows()]
    assert len(names) == len(set(names))
