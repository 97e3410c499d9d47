"""The documents: what is made is up to date, what is written names only what there is."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from openpyxl import load_workbook

import agreement
from haymow.dialect import EQUATIONS, Equation, chosen, piecewise, typed_or
from haymow.ranch import Ranch, sizes_for
from haymow.workbook.build import build
from pages import PAGES
from pages.commands import documented
from pages.markdown import anchor
from pages.mathematics import formula
from pages.used import book, data_tables, key_in

ROOT = Path(__file__).resolve().parents[1]
DOCS = ROOT / "docs"
PICTURE = 150_000  # bytes
DOCUMENTS = [ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted(DOCS.glob("*.md"))]
WRITTEN = [path for path in DOCUMENTS if path.name not in PAGES]
NO_SOURCE = {  # packaged tables whose rows need none
    "sources": "the bibliography itself", "quantities": "limits of what is plausible, our choice",
    "demo_lab": "invented", "nutrients": "units, and the order of work",
}
READ = ("yes", "partly", "no")
LINK = re.compile(r"\[[^\]]*\]\(([^)\s]+)\)")
FENCE = re.compile(r"^```(\w*)\n(.*?)^```", re.M | re.S)


def named(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def found_in(paths: list[Path], pattern: re.Pattern[str]) -> Iterator[tuple[str, str]]:
    for path in paths:
        for match in pattern.finditer(path.read_text("utf-8")):
            yield named(path), match[1]


# --- made pages
@pytest.mark.parametrize("name", PAGES)
def test_a_made_page_is_what_it_is_made_from(name):
    file = DOCS / name
    assert file.exists() and file.read_text("utf-8") == PAGES[name](), \
        f"docs/{name} is out of date: run 'python tests/generate_docs.py'"


@pytest.fixture(scope="module")
def sheet_names(tmp_path_factory):
    path = tmp_path_factory.mktemp("blank") / "blank.xlsx"
    build(Ranch(sizes=sizes_for({})), path)
    return load_workbook(path, read_only=True).sheetnames


def test_every_sheet_of_the_workbook_is_described(sheet_names):
    page = PAGES["sheets.md"]()
    assert [n for n in sheet_names if f"\n## {n}\n" not in page and f"**{n}**" not in page] == []


def described() -> dict[str, str]:
    """What the pages say of each equation."""
    pages = PAGES["handbook.md"]() + PAGES["steps.md"]()
    return {part.partition("\n")[0]: part for part in pages.split("\n### ")[1:]}


def test_every_equation_is_in_the_handbook_with_its_formula_and_source():
    entries = described()
    own = {name for name, e in EQUATIONS.items() if e.function.__module__.startswith("haymow.")}
    assert set(entries) == own
    assert [n for n, text in entries.items() if "```math" not in text or "- Source:" not in text] \
        == []


def test_no_equation_and_no_step_is_left_unused():
    assert [name for name, text in described().items() if "- Used: nowhere yet" in text] == []


# --- sources
def known_sources() -> set[str]:
    return {row["key"] for row in data_tables()["sources"]}


def test_every_source_has_a_citation_and_says_whether_it_was_read():
    rows = data_tables()["sources"]
    assert [r["key"] for r in rows if not r["citation"] or r["seen"] not in READ] == []
    assert len(known_sources()) == len(rows)


@pytest.mark.parametrize("table", sorted(set(data_tables()) - set(NO_SOURCE) - {"settings"}))
def test_every_row_of_a_packaged_table_names_its_source(table):
    rows = data_tables()[table]
    columns = [name for name in rows[0] if name.endswith("source")]
    assert columns, f"data/{table}.csv has no column for the source"
    assert [row for row in rows if not any(row[name] for name in columns)] == []
    assert {row[name] for row in rows for name in columns} - known_sources() - {""} == set()


def test_every_setting_with_a_default_names_its_source():
    defaults = {s.name: s.source for s in book().settings.values()
                if s.typed and s.value is not None}
    assert {name: source for name, source in defaults.items()
            if key_in(source) not in known_sources()} == {}


def test_every_remembered_equation_can_be_told_from_those_that_were_read():
    text = PAGES["handbook.md"]()
    remembered = [e for e in EQUATIONS.values() if not e.seen]
    assert remembered
    assert text.count("(*remembered*)") == len(remembered)


def test_the_readme_does_not_claim_more_published_values_than_there_are():
    claimed = re.search(r"More than (\d+) numbers that others have published",
                        (ROOT / "README.md").read_text("utf-8"))
    assert claimed
    asserted = [row for row in agreement.rows() if row["status"] == "AGREES"]
    assert len(asserted) > int(claimed[1])


# --- commands
@pytest.mark.parametrize("command", documented(), ids=lambda command: command.name)
def test_a_command_says_what_it_does_with_an_example_and_help_for_every_word(command):
    assert command.about and command.example.startswith(f"haymow {command.name}")
    assert [word.shown for word in command.words if not word.help] == []
    assert list(wrong_commands(command.example)) == []


def test_the_documents_name_only_commands_and_options_that_there_are():
    for path in WRITTEN:
        text = path.read_text("utf-8")
        lines = [line for _, block in FENCE.findall(text) for line in block.splitlines()]
        lines += re.findall(r"`([^`\n]+)`", FENCE.sub("", text))
        assert [wrong for line in lines for wrong in wrong_commands(line)] == [], named(path)


def test_every_command_is_in_the_list_of_commands():
    assert [c.name for c in documented()
            if f"\n## haymow {c.name}\n" not in PAGES["commands.md"]()] == []


@pytest.mark.parametrize(("line", "wrong"), [
    ("haymow frobnicate x", ["frobnicate"]), ("haymow plan --nonsense", ["--nonsense"]),
    ("haymow plan ranch.xlsx --json", []), ("haymow excel check a.xlsm", []),
    ("a line that says haymow", []),
])
def test_a_wrong_command_is_found(line, wrong):
    assert list(wrong_commands(line)) == wrong


def wrong_commands(line: str) -> Iterator[str]:
    """Commands and options of a line ``haymow ...`` that do not exist."""
    words = line.split()
    if words[:1] != ["haymow"] or len(words) < 2:
        return
    commands = {command.name: command for command in documented()}
    name = " ".join(words[1:3]) if " ".join(words[1:3]) in commands else words[1]
    if name not in commands and name != "COMMAND" and not name.startswith("-"):
        yield name
    elif name in commands:
        options = {flag for word in commands[name].words
                   for flag in re.findall(r"--?[\w-]+", word.shown)} | {"--help", "-h"}
        yield from (word for word in words[2:] if word.startswith("-") and word not in options)
        rest = words[1 + len(name.split()):]
        if rest and not rest[0].startswith("-") and all(
                word.shown.startswith("-") for word in commands[name].words):
            yield rest[0]


# --- links, files, pictures
def headings(path: Path) -> set[str]:
    text = FENCE.sub("", path.read_text("utf-8"))
    return {anchor(line) for line in re.findall(r"^#+ (.+)$", text, re.M)}


@pytest.mark.parametrize("path", DOCUMENTS, ids=named)
def test_every_link_leads_somewhere(path):
    broken = []
    for target in LINK.findall(FENCE.sub("", path.read_text("utf-8"))):
        if "://" in target:
            continue
        file, _, heading = target.partition("#")
        to = (path.parent / file).resolve() if file else path
        if not to.exists() or (heading and heading not in headings(to)):
            broken.append(target)
    assert broken == []


def test_every_document_can_be_reached_from_the_readme():
    reached, waiting = set(), [ROOT / "README.md"]
    while waiting:
        path = waiting.pop()
        reached.add(path)
        targets = LINK.findall(path.read_text("utf-8"))
        found = {(path.parent / t.partition("#")[0]).resolve() for t in targets if "://" not in t}
        waiting += [to for to in found if to.suffix == ".md" and to.exists() and to not in reached]
    assert [named(path) for path in DOCUMENTS if path not in reached] == []


@pytest.mark.parametrize("path", WRITTEN, ids=named)
def test_a_document_names_only_files_that_there_are(path):
    text = path.read_text("utf-8")
    names = re.findall(r"`([\w./-]+\.(?:py|csv|md|toml|png)|\.?[a-z][\w.-]*/[\w./-]*)`", text)
    names += re.findall(r"python3? ([\w/]+\.py)", text)
    assert [name for name in names if not there_is(name)] == []


def there_is(name: str) -> bool:
    """A file or folder by its path in the repository, or by the end of its path in the engine."""
    if name.startswith((".venv", "demo/out")):
        return True  # made by the commands
    places = (ROOT, ROOT / "engine" / "haymow", ROOT / "tests", DOCS)
    return any((place / made).exists() for place in places for made in (name, name + ".py")) or \
        any(path.as_posix().endswith("/" + name) for path in (ROOT / "engine").rglob("*.*"))


def test_every_module_of_the_engine_stands_in_the_table_of_layers():
    table = (ROOT / "DEVELOPERS.md").read_text("utf-8").partition("## Layers")[2]
    engine = ROOT / "engine" / "haymow"
    names = [f"{path.name}/" for path in engine.iterdir() if (path / "__init__.py").exists()]
    names += [path.name for path in engine.glob("*.py") if not path.name.startswith("__")]
    assert [name for name in names if f"`{name}`" not in table.partition("## ")[0]] == []


def test_what_the_developers_page_quotes_stands_in_the_code_as_quoted():
    quoted = re.findall(r"<!-- from (\S+) -->\n```\w*\n(.*?)\n```",
                        (ROOT / "DEVELOPERS.md").read_text("utf-8"), re.S)
    assert len(quoted) >= 4
    assert [file for file, text in quoted if text not in (ROOT / file).read_text("utf-8")] == []


def test_the_readme_shows_start_and_plan_in_words_and_in_pictures_of_a_modest_size():
    shown = re.findall(r"!\[(.+)\]\((.+\.png)\)", (ROOT / "README.md").read_text("utf-8"))
    assert [Path(file).stem for _, file in shown] == ["start", "plan"]
    assert all(len(words) > 30 for words, _ in shown)
    assert all((ROOT / file).stat().st_size <= PICTURE for _, file in shown)


# --- mathematics
def latex(function) -> list[str]:
    return formula(Equation(function.__name__, function, "HAYMOW", "", True))


def y_kg(x_kg, days):
    return (x_kg + 1) * days / 2 - x_kg**2


def least(x_kg, days):
    return np.minimum(np.maximum(x_kg, 0), 5) - (x_kg - days)


def words(x_kg, days):
    return np.where((x_kg > 1) & (days <= 3), typed_or(x_kg, days), 0)


def mode(x_kg):
    return chosen(x_kg, 7.0, np.exp(-x_kg))


def line(x_kg):
    return piecewise(x_kg, ((10.0, 1.0), (20.0, 3.0), (30.0, 2.0)))


def twice(first_quantity_kg, second_quantity_kg):
    total = first_quantity_kg + second_quantity_kg * 0.125
    return total / (1 + total)


@pytest.mark.parametrize(("function", "lines"), [
    (y_kg, [r"\text{y} = \frac{\left(\text{x} + 1\right) \cdot \text{days}}{2} - \text{x}^{2}"]),
    (least, [r"\text{least} = \left[\text{x}\right]_{0}^{5} - "
             r"\left(\text{x} - \text{days}\right)"]),
    (words, [r"\text{words} = \begin{cases} \text{x} & \text{if }\text{x} > 1 \text{ and } "
             r"\text{days} \le 3 \text{ and } \text{x}\text{ is known} \\" + "\n"
             r"\text{days} & \text{if }\text{x} > 1 \text{ and } \text{days} \le 3 \\" + "\n"
             r"0 & \text{otherwise} \end{cases}"]),
    (mode, [r"\text{mode} = \begin{cases} 7 & \text{if }\text{x} = 1 \\" + "\n"
            r"\exp\left(-\text{x}\right) & \text{if }\text{x} = 2 \end{cases}"]),
    (line, [r"\text{line} = \begin{cases} 1 & \text{at }\text{x} = 10\text{ and below} \\" + "\n"
            r"3 & \text{at }\text{x} = 20 \\" + "\n"
            r"2 & \text{at }\text{x} = 30\text{ and above} \end{cases}"]),
    (twice, [r"\text{twice} = \frac{a}{1 + a}",
             r"a = \text{first quantity} + \text{second quantity} \cdot 0.125"]),
], ids=lambda value: getattr(value, "__name__", ""))
def test_an_equation_is_printed_as_mathematics(function, lines):
    assert latex(function) == lines


def test_the_packaged_tables_are_rows_of_the_same_length():
    for path in (ROOT / "engine/haymow/data").glob("*.csv"):
        lengths = {len(row) for row in csv.reader(path.read_text("utf-8").splitlines())}
        assert len(lengths) == 1 or path.stem == "demo_lab", path.name
