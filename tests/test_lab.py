"""Lab reports as labs send them: what is read, what is asked, and that nothing is guessed."""

import csv
import datetime as dt
from pathlib import Path

import pytest

from haymow.lab import on_dm, read_report
from haymow.problems import InputError

HERE = Path(__file__).parent
REPORTS = HERE / "lab_reports"
OPEN = HERE / "open_data"


def table(name):
    with (REPORTS / name).open(newline="", encoding="utf-8") as lines:
        return list(csv.DictReader(lines))


def by_file(rows):
    files = {}
    for row in rows:
        files.setdefault(row["file"], []).append(row)
    return files


EXPECTED = by_file(table("expected.csv"))
QUESTIONS = by_file(table("expected_questions.csv"))
FILES = sorted(p.name for p in REPORTS.iterdir() if p.suffix != ".py" and "expected" not in p.name)


def test_there_is_a_right_value_or_a_question_for_every_report_file():
    assert len(FILES) >= 40
    assert set(FILES) == set(EXPECTED) | set(QUESTIONS)


@pytest.mark.parametrize("name", FILES)
def test_each_report_is_read_as_its_table_of_right_values_says(name):
    found = sorted((s.sample_id, r.analyte, r.value, r.qualifier, r.unit, r.basis)
                   for s in read_report(REPORTS / name).samples for r in s.results)
    wanted = sorted((r["sample"], r["analyte"], float(r["value"]) if r["value"] else None,
                     r["qualifier"], r["unit"], r["basis"]) for r in EXPECTED.get(name, []))
    assert found == wanted


@pytest.mark.parametrize("name", FILES)
def test_each_report_raises_its_questions_and_no_others(name):
    found = sorted((p.where, p.severity) for p in read_report(REPORTS / name).problems)
    wanted = sorted((f"{name}!{q['where']}" if q["where"] else name, q["severity"])
                    for q in QUESTIONS.get(name, []))
    assert found == wanted
    texts = {p.where: str(p) for p in read_report(REPORTS / name).problems}
    for question in QUESTIONS.get(name, []):
        where = f"{name}!{question['where']}" if question["where"] else name
        assert question["words"] in texts[where]


@pytest.mark.parametrize("row", table("expected_dm.csv"),
                         ids=lambda r: f"{r['file']}-{r['sample']}-{r['analyte']}")
def test_values_are_put_on_the_dry_matter_or_left_out(row):
    sample = next(s for s in read_report(REPORTS / row["file"]).samples
                  if s.sample_id == row["sample"])
    found = on_dm(sample).get(row["analyte"])
    if not row["value"]:
        assert found is None or found.value is None
    else:
        assert found.value == pytest.approx(float(row["value"]), rel=2e-5)
        assert found.unit == row["unit"]
