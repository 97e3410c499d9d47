"""Reading lab reports at the screen: what is open is asked, and an answer is read anew."""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path

import pytest

from haymow.cli import lab_commands, main
from haymow.cli.lab_commands import Answers, asked
from haymow.lab import on_dm
from haymow.ranch import Ranch, sizes_for
from haymow.workbook.read import read
from haymow.workbook.rebuild import save

REPORTS = Path(__file__).parent / "lab_reports"


class Typist:
    """Somebody at the screen: answers by a word of the question, else Enter."""

    def __init__(self, **answers: str) -> None:
        self.answers, self.heard = answers, list[str]()

    def __call__(self, question: str) -> str:
        self.heard.append(question)
        told = [answer for word, answer in self.answers.items() if word in question]
        answer = told[0] if told else ""
        if isinstance(answer, list):
            answer = answer.pop(0)
        return answer


def values(name: str, typist: Typist) -> dict[str, float]:
    report = asked(REPORTS / name, Answers(), typist)
    return {key: result.value for key, result in on_dm(report.samples[0]).items()}


def test_a_header_that_is_not_known_is_asked_and_taken_as_answered():
    """The report prints 9.3 under a misspelled header, and 17 under a word of no meaning."""
    typist = Typist(Protien="cp", Wibble="Fe ppm DM")
    found = values("misspelled.csv", typist)
    assert (found["cp"], found["fe"]) == (9.3, 17.0)
    assert len(typist.heard) == 3 and "may be crude protein (cp)" in " ".join(typist.heard)
    assert "ca" not in found, "Enter leaves it out"


def test_a_nitrate_without_a_form_is_asked_for_its_form():
    typist = Typist(**{"'Nitrate ppm": "NO3 ppm DM"})
    assert values("nitrate_forms.csv", typist)["no3"] == 5313
    assert len(typist.heard) == 1 and "the form is not said" in typist.heard[0]


def test_a_silent_basis_is_asked_once_with_both_readings():
    typist = Typist(basis="as fed", fed="as fed")
    assert values("no_basis.csv", typist)["cp"] == pytest.approx(24.0)  # 8.4 / 0.35
    assert len(typist.heard) == 1 and "or 24 if it is as fed" in typist.heard[0]


def test_dates_that_can_be_read_both_ways_are_asked():
    report = asked(REPORTS / "two_date_styles.csv", Answers(), Typist(date="mdy"))
    assert report.samples[2].sampled_on == dt.date(2026, 7, 5)


def test_a_value_that_cannot_be_is_kept_only_with_a_reason_which_is_told():
    typist = Typist(**{"impossible.csv!G3": "buffer was tested"})
    report = asked(REPORTS / "impossible.csv", Answers(), typist)
    kept = [problem for problem in report.problems if problem.where == "impossible.csv!G3"]
    assert [p.severity for p in kept] == ["look"] and "buffer was tested" in kept[0].what
    assert any(p.where == "impossible.csv!C2" and p.severity == "stop" for p in report.problems)


def test_an_answer_that_is_not_understood_is_said_and_asked_again(capsys):
    typist = Typist(Wibble=["wobble", "Fe ppm DM"])
    assert values("misspelled.csv", typist)["fe"] == 17.0
    assert "'wobble', given for the header 'Wibble'" in capsys.readouterr().out


@pytest.mark.parametrize("name", [path.name for path in sorted(REPORTS.iterdir())
                                  if path.suffix in (".csv", ".tsv", ".txt", ".xlsx")
                                  and not path.name.startswith("expected")])
def test_pressing_enter_at_every_question_reads_what_nobody_at_the_screen_reads(name):
    alone, at_screen = asked(REPORTS / name, Answers(), None), asked(
        REPORTS / name, Answers(), Typist())
    assert at_screen == alone


# --- the command
@pytest.fixture
def workbook(tmp_path) -> Path:
    path = tmp_path / "ranch.xlsx"
    entries = {"Forages": {1: {"forage": "Creek", "kind": "native range"}}}
    sizes = {**sizes_for(entries), "group": 1, "product": 2, "line": 1, "month": 2}
    save(Ranch(entries, {"first_month": dt.date(2026, 10, 1)}, sizes), path)
    return path


def test_at_the_screen_the_command_asks_and_writes_what_was_answered(workbook, monkeypatch, capsys):
    monkeypatch.setattr(lab_commands, "interactive", lambda: True)
    monkeypatch.setattr("builtins.input", Typist(Protien="cp", Wibble="skip", Calcum="ca"))
    main(["import-lab", str(REPORTS / "misspelled.csv"), "--into", str(workbook)])
    row = read(workbook).ranch.entries["Samples"][1]
    assert (row["reported.cp"], row["reported.ca"]) == (9.3, 0.41)
    assert "Wibble" not in capsys.readouterr().out.replace("skip", "")


def test_without_a_screen_nothing_is_asked_and_code_1_says_so(workbook, monkeypatch, capsys):
    monkeypatch.setattr("builtins.input", lambda _: pytest.fail("asked"))
    assert main(["import-lab", str(REPORTS / "misspelled.csv"), "--into", str(workbook)]) == 1
    out = capsys.readouterr().out
    assert "misspelled.csv!C1" in out and "may be crude protein" in out
    assert "reported.cp" not in read(workbook).ranch.entries["Samples"][1]


def test_answers_can_be_given_as_options(workbook):
    main(["import-lab", str(REPORTS / "misspelled.csv"), "--into", str(workbook),
          "--header", "Crud Protien % DM=cp", "--header", "Wibble=skip", "--header",
          "Calcum % DM=ca"])
    assert read(workbook).ranch.entries["Samples"][1]["reported.cp"] == 9.3


@pytest.mark.parametrize(("words", "said"), [
    (["--header", "Wibble"], "'Wibble' was not understood"),
    (["--header", "Wibble=wobble"], "'wobble', given for the header"),
    (["--basis", "dry"], "basis is 'dry'"),
    (["--dates", "ymd"], "expected one of mdy, dmy"),
])
def test_an_option_that_is_not_understood_is_one_sentence_and_code_2(words, said, capsys):
    assert main(["import-lab", str(REPORTS / "misspelled.csv"), "--dry-run", *words]) == 2
    assert said in capsys.readouterr().err


def test_json_holds_reports_and_problems(workbook, capsys):
    code = main(["import-lab", str(REPORTS / "wide_plain.csv"), "--into", str(workbook), "--json"])
    found = json.loads(capsys.readouterr().out)
    assert code == 1 and found["reports"][0]["file"] == "wide_plain.csv"
    assert any("is not on Forages" in problem["what"] for problem in found["problems"])
    assert (workbook.parent / found["backup"]).exists()


def test_a_corrected_report_replaces_and_leaves_a_line_in_the_log(workbook, tmp_path):
    first, second = tmp_path / "lab.csv", tmp_path / "lab-corrected.csv"
    text = "Sample ID,Description,DM %,CP % DM,ADF % DM\nA-1,Creek,90,{},38\n"
    for path, cp in ((first, "8.1"), (second, "9.2")):
        path.write_text(text.format(cp), "utf-8")
    for path in (first, first):
        main(["import-lab", str(path), "--into", str(workbook)])
        assert "log" not in read(workbook).ranch.entries["Samples"][1]
    main(["import-lab", str(second), "--into", str(workbook)])
    row = read(workbook).ranch.entries["Samples"][1]
    assert row["reported.cp"] == 9.2 and row["log"] == "lab-corrected.csv: cp 8.1 -> 9.2"
    again = read(workbook).ranch
    main(["import-lab", str(second), "--into", str(workbook)])
    assert read(workbook).ranch == again
