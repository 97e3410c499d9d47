"""``haymow feeds`` and its lookup: published forages and feeds by a word of their names."""

from __future__ import annotations

import json

import pytest

from haymow.cli import main
from haymow.feeds import all_rows, find
from haymow.problems import InputError


def test_a_word_finds_what_begins_with_it_in_any_letters():
    assert [row.name for row in find("SOYBEAN hull")] == ["Soybean hulls"]  # no dehulled meal


def test_forages_and_feeds_are_found_together():
    assert {row.kind for row in find("alfalfa")} == {"forage", "feed"}


def test_without_a_word_all_rows_are_listed():
    assert find("") == find("  ") == all_rows()


def test_a_disputed_value_names_the_other_one():
    hulls = find("soybean hulls")[0]
    assert hulls.values["tdn"] == 62.6
    assert "TDN 78" in hulls.note


def test_what_a_table_does_not_say_is_left_out_and_is_no_zero():
    prairie = find("prairie native")[0]
    assert "p" not in prairie.values
    assert find("dicalcium")[0].values["cp"] == 0


def test_remembered_rows_say_so_in_their_name():
    for row in all_rows():
        assert row.read is not row.name.endswith("(remembered)"), row.name


def test_a_word_that_fits_nothing_is_answered_with_the_nearest():
    with pytest.raises(InputError, match=r"tables fits 'aflalfa' \(near it: .*alfalfa"):
        find("aflalfa")


def test_the_command_prints_the_values_and_where_they_are_from(capsys):
    assert main(["feeds", "soybean", "hulls"]) == 0
    printed = capsys.readouterr().out
    assert "Soybean hulls" in printed
    assert "62.6" in printed and "OPEN-BEEF-FEEDS" in printed


def test_the_command_warns_of_what_can_kill(capsys):
    main(["feeds", "urea"])
    assert "can kill" in capsys.readouterr().out
    main(["feeds", "oat", "hay"])
    assert "can kill" not in capsys.readouterr().out


def test_the_command_prints_json_for_a_program(capsys):
    assert main(["feeds", "soybean", "hulls", "--json"]) == 0
    rows = json.loads(capsys.readouterr().out)
    assert [(row["name"], row["values"]["cp"]) for row in rows] == [("Soybean hulls", 12.4)]


def test_an_unknown_word_is_bad_input(capsys):
    assert main(["feeds", "xyzzy"]) == 2
    assert "'haymow feeds' lists all" in capsys.readouterr().err
