"""``haymow report``: the page as a reader finds it, expected numbers by hand."""

from __future__ import annotations

import ast
import base64
import datetime as dt
import subprocess
import sys
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path
from xml.etree import ElementTree

import pytest

from haymow import demo, report
from haymow.cli import main
from haymow.lab import read_report
from haymow.plan import plan
from haymow.report import cautions
from haymow.workbook.build import build
from haymow.workbook.read import read
from haymow.workbook.take_in import import_samples
from random_ranch import random_ranch
from test_plan import FIRST, ranch

ENGINE = Path(report.__file__).resolve().parents[1]
VOID = {"meta", "img", "br"}
BAD = '<script>alert("1")</script> & <b>'


class Page(HTMLParser):
    """A page taken apart: sections by heading, their tables and paragraphs, all pictures."""

    def __init__(self, text):
        super().__init__()
        self.open, self.names, self.pictures, self.links = [], [], [], []
        self.sections, self.now = {}, {"tables": [], "said": []}  # before the first heading
        self.feed(text)
        assert self.open == []

    def handle_starttag(self, name, given):
        self.names.append(name)
        given = dict(given)
        self.links += [value for key, value in given.items() if key in ("src", "href")]
        if name == "img":
            self.pictures.append(given)
        if name not in VOID:
            self.open.append(name)
        if name == "table":
            self.now["tables"].append([])
        if name == "tr":
            self.now["tables"][-1].append([])
        if name in ("td", "th"):
            self.now["tables"][-1][-1].append("")
        if name in ("p", "li"):
            self.now["said"].append("")

    def handle_endtag(self, name):
        assert self.open.pop() == name

    def handle_data(self, data):
        if self.open[-1:] == ["h2"]:
            self.now = self.sections[data] = {"tables": [], "said": []}
        elif self.open[-1:] in (["td"], ["th"]):
            self.now["tables"][-1][-1][-1] += data
        elif self.open[-1:] in (["p"], ["li"]) and "section" in self.open:
            self.now["said"][-1] += data


def page(typed, found=()):
    return Page(report.render(plan(typed), "ranch.xlsx", found))


@pytest.fixture(scope="module")
def workbook(tmp_path_factory):
    path = tmp_path_factory.mktemp("report") / "ranch.xlsx"
    build(ranch(), path)
    return path


@pytest.fixture(scope="module")
def tested():
    """The demo ranch with its lab report."""
    packaged = ENGINE / demo.LAB_REPORT
    return import_samples(demo.ranch(), read_report(packaged))[0]


# --- the file

def test_the_command_writes_a_page_and_says_where(workbook, tmp_path, capsys):
    code = main(["report", str(workbook), "--out", str(tmp_path / "new" / "folder")])
    written = tmp_path / "new" / "folder" / "ranch-report.html"
    assert f"Wrote {written}." in capsys.readouterr().out
    assert code == main(["check", str(workbook)])
    assert Page(written.read_text("utf-8")).sections


def test_the_same_workbook_gives_the_same_bytes_and_its_older_report_is_replaced(
        workbook, tmp_path, capsys):
    main(["report", str(workbook), "--out", str(tmp_path)])
    first = (tmp_path / "ranch-report.html").read_bytes()
    main(["report", str(workbook), "--out", str(tmp_path)])
    assert (tmp_path / "ranch-report.html").read_bytes() == first
    assert "the older report was replaced" in capsys.readouterr().out
    assert [path.name for path in tmp_path.iterdir()] == ["ranch-report.html"]


def test_another_process_writes_the_same_bytes(workbook, tmp_path):
    for name in ("one", "other"):
        subprocess.run([sys.executable, "-m", "haymow", "report", workbook, "--out",
                        tmp_path / name], capture_output=True)
    one, other = ((tmp_path / n / "ranch-report.html").read_bytes() for n in ("one", "other"))
    assert one == other


def test_a_file_of_somebody_else_is_left_as_it_is(workbook, tmp_path, capsys):
    own = tmp_path / "ranch-report.html"
    own.write_text("<p>My own notes</p>")
    assert main(["report", str(workbook), "--out", str(tmp_path)]) == 2
    assert "is no report of Haymow" in capsys.readouterr().err
    assert own.read_text() == "<p>My own notes</p>"


def test_a_missing_workbook_is_refused(tmp_path, capsys):
    assert main(["report", str(tmp_path / "none.xlsx")]) == 2
    assert "none.xlsx" in capsys.readouterr().err


def test_the_page_stands_for_itself(tested):
    found = page(tested)
    assert all(link.startswith("data:image/svg+xml;base64,") for link in found.links)
    assert not {"script", "link", "iframe", "form"} & set(found.names)


def test_nothing_is_drawn_before_a_report_is_asked_for():
    subprocess.run([sys.executable, "-c", "import sys, haymow.report, haymow.cli;"
                    " sys.exit('matplotlib' in sys.modules)"], check=True)


def test_the_report_works_nothing_out():
    for path in [*(ENGINE / "report").glob("*.py"), ENGINE / "plots.py"]:
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.ImportFrom):
                first = (node.module or "").partition(".")[0]
                assert first not in ("equations", "steps", "evaluate", "tables", "units"), path.name


# --- what stands in it

def test_the_answer_comes_first_and_is_the_plans(tested):
    planned, found = plan(tested), page(tested)
    assert next(iter(found.sections)) == "What to feed"
    said = found.sections["What to feed"]["said"]
    assert said[:-1] == planned.answers["sentence"].tolist()
    assert planned.overall in said[-1] and planned.cost[1:] in said[-1]


def test_feeding_lines_by_hand():
    line = page(ranch()).sections["Feeding lines"]["tables"][0][1]
    # 1 lb of CP short, 50 % in the cake: 2 lb a head, ten head; 31 days; $100 a ton
    assert line[:9] == ["Cows", "Cake", "Dec 1, 2026", "Dec 31, 2026", "every day", "2.0", "20",
                        "0.3", "31"]


def test_feed_sheet_by_hand_three_times_a_week():
    fed = {1: {"product": "Cake", "from_on": FIRST, "to_on": dt.date(2026, 12, 31),
               "times_per_week": 3}}
    months, to_write = page(ranch(Plan=fed)).sections["Feed sheet: Cows"]["tables"]
    assert months[1:] == [  # 2 lb x 10 head x 7 days / 3; only the month in which it is fed
        ["Dec 1, 2026", "Dec 31, 2026", "47", "", "4.7"]]
    assert "lb" in months[0][2]
    assert len(to_write) > 5 and to_write[1] == [""] * 5
    text = report.render(plan(ranch(Plan=fed)), "ranch.xlsx")
    assert "<h3>Cake: 3 times a week</h3>" in text


def test_a_feed_that_is_put_out_says_so_and_months_of_one_amount_stand_together():
    mineral = {2: ranch().entries["Supplements"][2] | {"label_intake": 0.25}}
    fed = {1: {"product": "Cake", "mode": "by its own intake"}}
    typed = ranch(Supplements=mineral, Plan=fed)
    assert "<h3>Cake: put out, always there</h3>" in report.render(plan(typed), "ranch.xlsx")
    months, _ = page(typed).sections["Feed sheet: Cows"]["tables"]
    assert months[1:] == [["Dec 1, 2026", "Nov 30, 2027", "2.5", "", "0.25"]]  # 10 head
    assert months[0][2] == "The group eats a day, about, lb"


def test_the_feed_sheet_counts_in_loads_and_warns_of_urea():
    cake = {2: ranch().entries["Supplements"][2] | {
        "load": 10, "load_name": "buckets", "npn_pct_of_cp": 30}}
    found = page(ranch(Supplements=cake)).sections["Feed sheet: Cows"]
    assert found["tables"][0][1][3] == "2.0 buckets"  # 20 lb a feeding
    assert any(line.startswith("Take care: Cake holds urea or other NPN") for line in
               found["said"])


def test_each_group_has_its_part_and_its_feed_sheet_even_where_names_stand_twice():
    rows = {1: ranch().entries["Herd"][1], 2: ranch().entries["Herd"][1] | {"head": 20}}
    both = ranch(Herd=rows, Plan={4: {"product": "Cake", "from_on": FIRST,
                                      "to_on": dt.date(2026, 12, 31)}})
    text = report.render(plan(both), "ranch.xlsx")
    assert text.count("<h2>Cows</h2>") == text.count("<h2>Feed sheet: Cows</h2>") == 2
    assert text.count("Nothing is fed besides forage.") == 1


def test_short_or_over_and_share_of_need_by_hand():
    found = page(ranch()).sections["Cows"]["tables"]
    alone, whole = found[1], found[2]
    at = [head.partition(",")[0] for head in alone[0]].index("CP")
    assert alone[1][at] == "-1.00"  # eats 20 lb with 5 %, needs 2
    assert [row[at] for row in whole[1:3]] == ["100", "50 !"]  # fed in December only


def test_what_is_not_known_is_a_question_mark_and_is_listed():
    samples = {1: {"sample_id": "1", "forage": "Hay", "basis": "dry matter", "reported.tdn": 55}}
    found = page(ranch(Samples=samples))
    alone = found.sections["Cows"]["tables"][1]
    at = [head.partition(",")[0] for head in alone[0]].index("CP")
    assert {row[at] for row in alone[1:]} == {"?"}
    told = " ".join(found.sections["What is not known"]["said"])
    assert "Cows, not known with the plan: " in told and "CP" in told
    assert "Cows, Cake: the amount is not known in 12 months." in told
    assert found.sections["Feed sheet: Cows"]["tables"][0][1][2] == "?"
    assert found.sections["Cost by month"]["tables"][0][1][3].startswith("at least ")


def test_what_is_to_be_looked_at_is_listed():
    planned = plan(ranch(Plan={1: {"product": "Cakes"}}))
    found = Page(report.render(planned, "ranch.xlsx", planned.problems))
    assert found.sections["To look at"]["said"] == [str(each) for each in planned.problems]


def test_table_values_are_named():
    forages = {1: {"forage": "Hay", "kind": "other",
                   "stand_in": "Bermudagrass hay, late vegetative"}}
    typed = ranch(Samples={}, Forages=forages)
    words = set(plan(typed).months["on_table_values"].dropna()) - {""}
    told = page(typed).sections["What rests on table values"]["said"]
    assert words and all(any(word in line for line in told) for word in words)
    assert "Nothing" in page(ranch()).sections["What rests on table values"]["said"][0]


def test_cost_by_month_is_the_budget(tested):
    rows = page(tested).sections["Cost by month"]["tables"][0][1:]
    budget = plan(tested).budget
    assert [row[3] for row in rows] == [f"{usd:,.0f}" for usd in budget["cost_usd"]]


@pytest.mark.parametrize("word", [
    "urea", "nitrate", "copper", "sheep", "selenium", "moldy", "cold", "injections",
    "veterinarian", "nutritionist", "extension", "feed law", "label"])
def test_the_cautions_name_what_can_kill_and_whom_to_ask(word):
    said = " ".join(page(ranch()).sections["Cautions"]["said"]).casefold()
    assert word in said


def test_whoever_feeds_is_told_to_stop_at_spoiled_feed():
    said = page(ranch()).sections["Feed sheet: Cows"]["said"]
    assert said[-len(cautions.FOR_FEEDING):] == list(cautions.FOR_FEEDING)
    assert any("spoiled" in line for line in cautions.FOR_FEEDING)


def test_sources_say_what_was_read_and_what_is_from_memory(tested):
    publications, settings = page(tested).sections["Sources"]["tables"]
    assert {row[1] for row in publications[1:]} == {"read", "part of it from memory"}
    assert any("Nutrient Requirements of Beef Cattle" in row[0] for row in publications)
    changed = replace(tested, settings={**tested.settings, "met_within_pct": 1})
    lines = page(changed).sections["Sources"]["tables"][1]
    assert dict(row[:2] for row in lines)["Need counts as met within"] == "1 (usual: 0.1)"
    assert len(lines) == len(settings)


def test_metric_workbooks_give_kilograms_and_tonnes():
    found = page(demo.ranch(us=False))
    heads = found.sections["Feeding lines"]["tables"][0][0]
    assert any("kg" in head for head in heads) and any("tonnes" in head for head in heads)
    assert not any("lb" in head or "tons" in head.split() for head in heads)


def test_an_empty_workbook_gives_a_page_that_says_what_is_missing():
    from haymow.ranch import Ranch, sizes_for

    planned = plan(Ranch(sizes=sizes_for({})))
    found = Page(report.render(planned, "blank.xlsx", planned.problems))
    assert found.sections["What to feed"]["said"][0] == "No group has a name yet."
    assert "No feed is planned." in found.sections["Feeding lines"]["said"]
    assert any("Begin on that sheet" in line for line in found.sections["To look at"]["said"])


# --- what users type

def test_what_a_user_types_never_becomes_markup():
    typed = ranch(
        Herd={1: ranch().entries["Herd"][1] | {"group": BAD}},
        Supplements={2: ranch().entries["Supplements"][2] | {"product": BAD}},
        Plan={1: {"product": BAD, "from_on": FIRST}})
    text = report.render(plan(typed), f"{BAD}.xlsx")
    found = Page(text)
    assert "script" not in found.names and "b" not in found.names and "<script" not in text
    assert f"Feed sheet: {BAD}" in found.sections
    assert found.sections["Feeding lines"]["tables"][0][1][:2] == [BAD, BAD]


def test_any_sample_name_can_be_drawn():
    samples = {number: ranch().entries["Samples"][1] | {
        "sample_id": name, "sampled_on": dt.date(2026, number, 5)}
        for number, name in enumerate((r"$\frac{1}{", "_hidden", "<&>", "a$b$c"), 1)}
    found = page(ranch(Samples=samples))
    shown = " ".join(word for picture in found.pictures for word in words_of(picture))
    assert all(sample["sample_id"] in shown for sample in samples.values())


@pytest.mark.parametrize("seed", [2, 5, 7, 10, 12])
def test_any_ranch_gives_a_page_without_the_computers_words_for_nothing(seed):
    planned = plan(random_ranch(seed, groups=2, months=seed, holes=0.1))
    found = Page(report.render(planned, "ranch.xlsx", planned.problems))
    cells = [cell for part in found.sections.values() for table in part["tables"]
             for row in table for cell in row]
    words = {word.casefold() for part in found.sections.values() for line in part["said"]
             for word in line.split()} | {cell.casefold() for cell in cells}
    assert not {"nan", "nat", "inf", "-0"} & words
    for name in planned.answers["group"]:
        assert {name, f"Feed sheet: {name}"} <= set(found.sections)


def test_without_a_first_month_the_page_says_so_and_draws_nothing():
    typed = replace(ranch(), settings={})
    found = page(typed, plan(typed).problems)
    assert found.pictures == []
    assert any("first month of the plan is missing" in line
               for line in found.sections["To look at"]["said"])


# --- pictures

def words_of(picture):
    """The text of a picture; it must be well-formed and hold nothing that runs."""
    tree = ElementTree.fromstring(base64.b64decode(picture["src"].partition(",")[2]))
    assert not [each for each in tree.iter() if each.tag.endswith(("script", "image"))]
    return [each.text for each in tree.iter() if each.tag.endswith("}text")]


def test_every_picture_has_words_instead_and_names_its_nutrients(tested):
    found = page(tested)
    assert len(found.pictures) > len(plan(tested).answers)
    assert all(len(picture["alt"]) > 20 for picture in found.pictures)
    first = words_of(found.pictures[0])
    assert {"CP, lb/day", "Ca, g/day", "need", "from feeds", "from forage"} <= set(first)
    planned = plan(tested)
    group = planned.balance[:len(planned.balance) // len(planned.answers)]
    for nutrient, rows in group.groupby("nutrient"):
        assert f"{nutrient}: whole diet at least {int(rows['pct_of_need'].min())} % of need" \
            in found.pictures[0]["alt"]


def test_forage_is_drawn_only_where_there_is_more_than_one_sample(tested):
    assert "Forage through the season" not in page(ranch()).sections
    two = {1: ranch().entries["Samples"][1] | {"sampled_on": dt.date(2026, 9, 1)},
           2: ranch().entries["Samples"][1] | {"sample_id": "2", "reported.cp": 7,
                                               "sampled_on": dt.date(2026, 11, 3)}}
    text = report.render(plan(ranch(Samples=two)), "ranch.xlsx")
    found = Page(text)
    assert "Forage through the season" in found.sections
    assert any("Sample 2 (Nov 03, 2026): CP 7.0." in picture["alt"] for picture in found.pictures)


def test_a_month_that_is_not_known_is_marked_in_the_picture():
    samples = {1: {"sample_id": "1", "forage": "Hay", "basis": "dry matter", "reported.tdn": 55}}
    found = page(ranch(Samples=samples))
    assert "CP: whole diet not known" in found.pictures[0]["alt"]
    assert words_of(found.pictures[0]).count("?") >= 12


def test_drawing_leaves_the_settings_of_the_drawing_library_alone(tested):
    import matplotlib

    before = dict(matplotlib.rcParams)
    page(ranch())
    assert dict(matplotlib.rcParams) == before


def test_the_report_of_the_demo_reads_back_from_its_workbook(tmp_path, tested):
    path = tmp_path / "demo.xlsx"
    build(tested, path)
    again = plan(read(path).ranch)
    assert report.render(again, "x", ()) == report.render(plan(tested), "x", ())
