"""The command ``haymow``: what it prints, what it returns, what it leaves alone."""

from __future__ import annotations

import contextlib
import datetime as dt
import io
import json
import subprocess
import sys
from importlib.resources import as_file, files

import pytest

from haymow.calc import handbook
from haymow.cli import app, main
from haymow.cli.show import formula
from haymow.demo import LAB_REPORT
from haymow.dialect import parameters
from haymow.ranch import Ranch, sizes_for
from haymow.workbook.read import read
from haymow.workbook.rebuild import save

COMMANDS = [command.name or command.callback.__name__ for command in app.registered_commands]
GROUPS = ["Spring cows", "Fall cows", "First-calf heifers", "Replacement heifers"]


@pytest.fixture
def run(capsys):
    def haymow(*words):
        code = main([str(word) for word in words])
        printed = capsys.readouterr()
        return code, printed.out, printed.err
    return haymow


@pytest.fixture(scope="module")
def demo_run(tmp_path_factory):
    """The demo, run once: exit code, what it printed on both streams, and its workbook."""
    folder = tmp_path_factory.mktemp("demo") / "out"
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        code = main(["demo", "--out", str(folder)])
    return code, out.getvalue(), err.getvalue(), folder / "demo-ranch.xlsx"


@pytest.fixture(scope="module")
def demo_workbook(demo_run):
    return demo_run[3]


@pytest.fixture
def lab_report():
    with as_file(files("haymow").joinpath(LAB_REPORT)) as path:
        yield path


@pytest.fixture
def blank(tmp_path):
    """A workbook with two forages and nothing else."""
    path = tmp_path / "ranch.xlsx"
    entries = {"Forages": {1: {"forage": "Ridge range", "kind": "native range"},
                           2: {"forage": "Oat hay", "kind": "small-grain hay"}}}
    save(Ranch(entries, {"first_month": dt.date(2026, 10, 1)}, sizes_for(entries)), path)
    return path


@pytest.mark.parametrize("command", COMMANDS)
def test_help_of_every_command_shows_an_example(run, command):
    code, out, _ = run(command, "--help")
    assert code == 0
    assert f"Example: haymow {command} " in out


def test_without_words_the_commands_are_listed(run):
    code, out, _ = run()
    assert code == 0
    assert all(f"  {command} " in out for command in COMMANDS)


def test_help_loads_nothing_heavy():
    heavy = "{'numpy', 'pandas', 'openpyxl', 'scipy', 'rich', 'xlwings'}"
    code = f"import haymow.cli, sys; print(sorted({heavy} & set(sys.modules)))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout == "[]\n"


def test_it_runs_as_a_module():
    done = subprocess.run([sys.executable, "-m", "haymow", "--version"], capture_output=True,
                          text=True)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith("haymow ")


# --- demo
def test_the_demo_prints_the_answer_first_and_where_the_workbook_is(demo_run):
    code, out, err, workbook = demo_run
    lines = out.splitlines()
    assert code == 0
    assert [line.partition(":")[0] for line in lines[:4]] == GROUPS
    assert lines[4].startswith("$")
    assert lines[-1] == f"The workbook: {workbook}"
    assert "Writing the workbook ... " in err


def test_a_second_demo_keeps_the_workbook_of_the_first(run, demo_workbook):
    before = demo_workbook.read_bytes()
    out = run("demo", "--out", demo_workbook.parent)[1]
    kept = demo_workbook.parent / out.splitlines()[-1].rpartition(" ")[2]
    assert kept.read_bytes() == before


def test_the_demo_workbook_holds_the_lab_results_and_passes_its_checks(run, demo_workbook):
    assert len(read(demo_workbook).ranch.entries["Samples"]) == 10
    code, out, _ = run("check", demo_workbook)
    assert (code, out.splitlines()[-1]) == (0, "0 problems in demo-ranch.xlsx.")
    assert "not known" in out  # the notes: what the demo's report did not test


# --- plan, check
def test_plan_prints_json_for_a_program_and_writes_nothing(run, demo_workbook):
    before = demo_workbook.read_bytes(), sorted(demo_workbook.parent.iterdir())
    code, out, _ = run("plan", demo_workbook, "--json")
    records = json.loads(out)
    assert code == 0
    assert [row["group"] for row in records["answers"]] == GROUPS
    assert run("plan", demo_workbook)[1].startswith(records["answers"][0]["sentence"])
    assert (demo_workbook.read_bytes(), sorted(demo_workbook.parent.iterdir())) == before


def test_check_names_the_cell_and_what_it_asks_for(run, tmp_path):
    path = tmp_path / "ranch.xlsx"
    entries = {"Herd": {1: {"group": "Cows", "class_name": "open cow", "weight": 1200}}}
    save(Ranch(entries, {"first_month": dt.date(2026, 10, 1)}, sizes_for(entries)), path)
    code, out, _ = run("check", path)
    assert code == 1
    assert "Herd!B7 (Cows): How many head?" in out.splitlines()
    found = json.loads(run("check", path, "--json")[1])
    assert found[0]["where"] == "Herd!B7 (Cows)"


def test_a_workbook_without_groups_says_where_to_begin(run, blank):
    code, out, _ = run("plan", blank)
    assert code == 1
    assert "Herd: No group has a name yet. Begin on that sheet." in out


# --- new, rebuild
def test_new_makes_a_workbook_of_the_size_and_units_asked_for(run, tmp_path):
    path = tmp_path / "ranch.xlsx"
    code, out, _ = run("new", path, "--metric", "--first-month", "2026-10", "--months", "6",
                       "--groups", "7")
    ranch = read(path).ranch
    assert (code, out.startswith("Made ")) == (0, True)
    assert (ranch.us, ranch.sizes["month"], ranch.sizes["group"]) == (False, 6, 7)
    assert ranch.settings["first_month"] == dt.date(2026, 10, 1)


def test_new_leaves_an_existing_file_as_it_is(run, tmp_path):
    path = tmp_path / "ranch.xlsx"
    path.write_bytes(b"precious")
    code, _, err = run("new", path)
    assert (code, path.read_bytes()) == (2, b"precious")
    assert err == f"error: {path} exists and is left as it is; give another name.\n"


def test_rebuild_makes_room_and_keeps_entries_and_the_old_file(run, blank):
    before = blank.read_bytes()
    code, out, _ = run("rebuild", blank, "--groups", "9")
    ranch = read(blank).ranch
    assert (code, ranch.sizes["group"]) == (0, 9)
    assert ranch.entries["Forages"][2]["forage"] == "Oat hay"
    assert (blank.parent / out.rstrip().rpartition(" ")[2]).read_bytes() == before


# --- import-lab
def test_import_lab_takes_samples_in_and_asks_about_the_rest(run, blank, lab_report):
    code, out, _ = run("import-lab", lab_report, "--into", blank)
    rows = read(blank).ranch.entries["Samples"].values()
    assert code == 1  # two of the four forages are not described in this workbook
    assert "'Meadow hay' is not on Forages." in out
    assert {row["sample_id"]: row["reported.cp"] for row in rows}["26-1605"] == 8.6  # % of DM


def test_a_report_read_twice_changes_nothing(run, demo_workbook, lab_report):
    before = read(demo_workbook).ranch
    assert run("import-lab", lab_report, "--into", demo_workbook)[0] == 0
    assert read(demo_workbook).ranch == before


def test_a_dry_run_shows_how_headers_are_understood_and_writes_nothing(run, lab_report):
    code, out, _ = run("import-lab", lab_report, "--dry-run")
    assert code == 0
    assert "26-1605, Oat hay, 2026-09-03: dm 87.2, cp 8.6" in out
    report = json.loads(run("import-lab", lab_report, "--dry-run", "--json")[1])[0]
    assert report["mapping"][1]["header"] == "Crude Protein, % as received"
    assert report["mapping"][1]["basis"] == "as fed"


# --- calc
def test_calc_prints_value_unit_formula_and_source(run):
    """NRC 2000, table 4-2, day 250: 3.333 Mcal/day."""
    code, out, _ = run("calc", "pregnancy_nem_mcal_per_day", "day_of_gestation=250",
                       "birth_weight_kg=38.5")
    assert code == 0
    assert out.startswith("Pregnancy (pregnancy_nem_mcal_per_day): 3.33 Mcal/day\n")
    assert "formula: pregnancy_nem_mcal_per_day = " in out
    assert "source: NRC2000, eq. 4-7" in out
    assert "remembered, not read there" in out


def test_calc_takes_and_prints_pounds(run):
    out = run("calc", "shrunk_weight", "full_weight=1000lb", "--us")[1]
    assert out.startswith("Shrunk weight (shrunk_weight_kg): 960 lb (435 kg)\n")
    found = json.loads(run("calc", "shrunk_weight", "full_weight=1000lb", "--json")[1])
    assert (found["unit_us"], found["value_us"]) == ("lb", pytest.approx(960))
    assert (found["source"], found["read_in_publication"]) == ("NRC2000", True)


def test_calc_lists_quantities_by_a_word(run):
    code, out, _ = run("calc", "--list", "milk")
    assert code == 0
    assert "milk_energy_mcal_per_kg: " in out
    assert "shrunk_weight_kg: " not in out
    names = [row["quantity"] for row in json.loads(run("calc", "--list", "--json")[1])]
    assert "shrunk_weight_kg" in names


@pytest.mark.parametrize("equation", handbook(), ids=lambda equation: equation.name)
def test_every_quantity_of_the_list_has_its_formula_in_the_names_of_its_values(equation):
    assert all(name in formula(equation) for name in parameters(equation.function))


# --- bad input: one sentence, exit 2
@pytest.mark.parametrize(("words", "said"), [
    (("plan", "{folder}/nothing.xlsx"), "nothing.xlsx"),
    (("check", "{folder}/words.xlsx"), "is not a workbook"),
    (("plan", "{folder}"), "folder"),
    (("new", "{folder}/ranch.doc"), "does not end in .xlsx"),
    (("new", "{folder}/none/ranch.xlsx"), "There is no folder"),
    (("new", "{folder}/ranch.xlsx", "--first-month", "2026-13"), "such as 2026-10"),
    (("new", "{folder}/ranch.xlsx", "--months", "99"), "--months"),
    (("import-lab", "{folder}/words.xlsx"), "--into is missing"),
    (("import-lab", "{folder}/nothing.csv", "--dry-run"), "nothing.csv cannot be opened"),
    (("calc",), "needs the name of a quantity"),
    (("calc", "pregnancy_nem", "250"), "expected name=value"),
    (("calc", "pregnency_nem"), "did you mean pregnancy_nem_mcal_per_day"),
    (("calc", "pregnancy_nem", "day_of_gestation=250"), "also needs birth_weight_kg"),
    (("calc", "--list", "unicorn"), "no quantity of the handbook fits"),
    (("plant",), "plan"),
])
def test_bad_input_is_one_sentence_and_code_2(run, tmp_path, words, said):
    (tmp_path / "words.xlsx").write_text("no workbook")
    code, out, err = run(*(word.format(folder=tmp_path) for word in words))
    told = [line for line in err.splitlines() if " ... " not in line]  # steps begun before it
    assert (code, out, len(told)) == (2, "", 1)
    assert told[0].startswith("error: ")
    assert said in told[0]
    assert [path.name for path in tmp_path.iterdir()] == ["words.xlsx"]
