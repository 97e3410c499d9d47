"""Rebuilding a user's workbook: everything typed is carried over, and a failure changes nothing."""

from __future__ import annotations

import datetime as dt
import os
import shutil
import zipfile
from dataclasses import replace

import pytest

from edits import edited, plain, small_ranch, told
from haymow.problems import InputError
from haymow.workbook import rebuild as rebuilding
from haymow.workbook.build import build
from haymow.workbook.read import read
from haymow.workbook.rebuild import NotWritten, rebuild, save


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    path = tmp_path_factory.mktemp("built") / "ranch.xlsx"
    build(small_ranch(), path)
    return path


@pytest.fixture
def path(built, tmp_path):
    return shutil.copy(built, tmp_path / "ranch.xlsx")


@pytest.fixture
def quick(monkeypatch):
    """A new file at once: what is tested is how it gets into place."""
    monkeypatch.setattr(rebuilding, "PAUSE_S", 0)
    monkeypatch.setattr(rebuilding, "_written", lambda ranch, path, more=None: shutil.copy(
        path, rebuilding._free(path, "new")))


def names(path):
    return sorted(each.name for each in path.parent.iterdir())


def test_a_saved_ranch_is_read_back_and_leaves_one_file(tmp_path):
    assert save(small_ranch(), tmp_path / "ranch.xlsx") is None
    assert read(tmp_path / "ranch.xlsx").ranch == small_ranch()
    assert names(tmp_path / "ranch.xlsx") == ["ranch.xlsx"]


def test_saving_over_a_workbook_keeps_the_old_one_beside_it(path):
    before = path.read_bytes()
    backup = save(replace(small_ranch(), entries={}), path, overwrite=True)
    assert backup.read_bytes() == before
    assert plain(read(path).ranch) == {}


def test_a_rebuilt_workbook_holds_all_entries_in_fresh_sheets_and_a_backup_the_old_file(path):
    with edited(path) as edits:
        edits.insert_rows("Herd", 8)
        edits.workbook["Herd"].cell(8, 2).value = "Late calvers"
        edits.sort("Samples_sample_id", "Samples_sample_no")
        edits.rename("Diet", "What they eat")
        edits.delete_column("Forages", edits.area("Forages_note")[1])
    before = path.read_bytes()
    done = rebuild(path)
    assert done.backup.read_bytes() == before
    assert done.backup.name.startswith("ranch.bak-") and done.backup.suffix == ".xlsx"
    assert "The row (Late calvers) has no number." in told(done.problems)
    again = read(path)
    expected = plain(small_ranch())
    expected["Herd"][4] = {"group": "Late calvers"}
    assert plain(again.ranch) == plain(done.ranch) == expected
    assert again.problems == () and names(path) == [done.backup.name, "ranch.xlsx"]
    with zipfile.ZipFile(path) as archive:
        assert archive.testzip() is None


def test_rebuilding_makes_room_and_rebuilding_again_changes_nothing(path):
    done = rebuild(path)
    assert done.ranch.sizes == {**small_ranch().sizes, "group": 8, "forage": 8, "product": 8,
                                "sample": 24}
    assert rebuild(path).ranch == done.ranch
    assert plain(done.ranch) == plain(small_ranch())


def test_more_months_and_lines_leave_each_choice_with_its_group_and_month(path):
    done = rebuild(path, sizes={"month": 12, "line": 3})
    entries = plain(read(path).ranch)
    old = plain(small_ranch())
    assert entries["Diet"] == {1: old["Diet"][1], 2: old["Diet"][2],  # group 1: October, November
                               14: old["Diet"][6],  # group 2, November
                               28: old["Diet"][12]}  # group 3, January
    assert entries["Plan"] == {1: old["Plan"][1], 2: old["Plan"][2], 4: old["Plan"][3]}
    assert entries["Quality"] == {13: old["Quality"][5]}
    assert done.problems == ()


def test_nothing_in_use_is_cut_off_by_fewer_months(path):
    done = rebuild(path, sizes={"month": 2, "group": 1, "line": 1})
    assert (done.ranch.sizes["month"], done.ranch.sizes["group"]) == (4, 3)
    assert "Number of months: 2 was asked for, and 4 is kept" in told(done.problems)
    entries = plain(read(path).ranch)
    old = plain(small_ranch())
    assert entries["Plan"] == old["Plan"] and entries["Diet"] == old["Diet"]


def test_an_unknown_size_is_refused(path):
    with pytest.raises(InputError, match="'cows' has no size; expected one of month"):
        rebuild(path, sizes={"cows": 3})


def test_a_later_first_month_moves_choices_by_date_and_tells_what_falls_out(path):
    with edited(path) as edits:
        edits.cell("first_month").value = dt.datetime(2026, 11, 15)
    done = rebuild(path)
    entries = plain(read(path).ranch)
    old = plain(small_ranch())
    assert entries["Diet"] == {1: old["Diet"][2],  # group 1, November, now the first month
                               5: old["Diet"][6], 11: old["Diet"][12]}
    assert "Quality" not in entries
    listed = told(done.problems)
    assert "Diet: group 1, Oct 2026: main Meadow hay falls out of the plan" in listed
    assert "Quality: forage 2, Oct 2026: override.cp 9.0 falls out of the plan" in listed
    assert entries["Plan"][1] == {"product": "Cube", "times_per_week": 3.0,
                                  "month_amount.1": 1.5, "month_amount.3": 2.0}
    assert entries["Plan"][3] == old["Plan"][3]  # a line's own dates stay
    again = rebuild(path)
    assert plain(again.ranch) == entries and again.problems == ()


def test_an_earlier_first_month_with_more_months_loses_nothing(path):
    with edited(path) as edits:
        edits.cell("first_month").value = dt.datetime(2026, 8, 1)
    done = rebuild(path, sizes={"month": 6})
    assert plain(read(path).ranch)["Diet"] == {
        3: {"main": "Meadow hay"}, 4: {"second": "Meadow hay", "second_pct": 25.0},
        10: {"own_need.cp": 1.5}, 18: {"known_intake": 38.0}}
    assert "falls out" not in told(done.problems)


def test_a_change_is_written_and_a_first_month_it_sets_moves_the_choices(path):
    def change(ranch):
        herd = {**ranch.entries["Herd"], 1: {**ranch.entries["Herd"][1], "head": 99.0}}
        return replace(ranch, entries={**ranch.entries, "Herd": herd},
                       settings={**ranch.settings, "first_month": dt.date(2026, 9, 1)})
    rebuild(path, change, sizes={"month": 6})
    reading = read(path)
    assert plain(reading.ranch)["Herd"][1]["head"] == 99
    assert plain(reading.ranch)["Diet"][2] == {"main": "Meadow hay"}
    assert reading.choices_for == dt.date(2026, 9, 1) and reading.problems == ()


def test_a_name_with_a_wildcard_is_refused_with_its_cell_and_the_file_stays(path):
    with edited(path) as edits:
        edits.cell("Herd_group", 2).value = "Heifers*"
    before = path.read_bytes()
    with pytest.raises(InputError, match=r"Herd!B8: Group is 'Heifers\*'; a spreadsheet takes \*"):
        rebuild(path)
    assert path.read_bytes() == before and names(path) == ["ranch.xlsx"]


@pytest.mark.parametrize("mark", ["~$ranch.xlsx", ".~lock.ranch.xlsx#"])
def test_an_open_workbook_stays_and_the_new_one_is_kept_under_a_name_that_is_told(
        mark, path, quick):
    (path.parent / mark).write_bytes(b"owner")
    before = path.read_bytes()
    with pytest.raises(InputError, match=(
            r"ranch\.xlsx is open in another program\. Close it and try again; your new plan was"
            r" saved as ranch\.new-\S+xlsx")) as refused:
        rebuild(path)
    assert path.read_bytes() == before
    kept = str(refused.value).rpartition(" as ")[2].removesuffix(".")
    assert plain(read(path.parent / kept).ranch) == plain(small_ranch())
    assert len(names(path)) == 3


def test_a_workbook_that_cannot_be_replaced_is_tried_again_then_kept_with_the_new_one_beside(
        path, quick, monkeypatch):
    tries = []

    def locked(new, old):
        tries.append(new)
        raise PermissionError(13, "in use")
    monkeypatch.setattr(os, "replace", _only_for(path, locked))
    before = path.read_bytes()
    with pytest.raises(InputError, match="is open in another program"):
        rebuild(path)
    assert len(tries) == rebuilding.RETRIES + 1
    assert path.read_bytes() == before
    assert [name.partition("-")[0] for name in names(path)] == ["ranch.new", "ranch.xlsx"]


def test_a_workbook_that_is_free_again_after_a_moment_is_replaced(path, quick, monkeypatch):
    real, tries = os.replace, []

    def soon(new, old):
        tries.append(new)
        if len(tries) < 3:
            raise PermissionError(13, "in use")
        real(new, old)
    monkeypatch.setattr(os, "replace", _only_for(path, soon))
    rebuild(path)
    assert len(tries) == 3 and plain(read(path).ranch) == plain(small_ranch())


def _only_for(path, instead):
    real = os.replace
    return lambda new, old: (instead if old == path else real)(new, old)


@pytest.mark.parametrize("fault", [OSError(28, "No space left on device"), ZeroDivisionError()])
def test_a_failure_while_writing_leaves_the_old_workbook_and_nothing_else(fault, path, monkeypatch):
    def fail(ranch, new, more):
        new.write_bytes(b"half a file")
        new.with_name(new.name + ".sealing").write_bytes(b"half of it")
        raise fault
    monkeypatch.setattr(rebuilding, "build", fail)
    before = path.read_bytes()
    with pytest.raises((InputError, ZeroDivisionError)) as refused:
        rebuild(path)
    assert isinstance(fault, ZeroDivisionError) or "No space left on device" in str(refused.value)
    assert path.read_bytes() == before and names(path) == ["ranch.xlsx"]


def test_a_new_file_that_does_not_hold_what_was_put_in_replaces_nothing(path, monkeypatch):
    def careless(ranch, new, more):
        herd = {1: {**ranch.entries["Herd"][1], "head": 1.0}}
        return build(replace(ranch, entries={**ranch.entries, "Herd": herd}), new)
    monkeypatch.setattr(rebuilding, "build", careless)
    before = path.read_bytes()
    with pytest.raises(NotWritten, match="does not hold what was put in; nothing was replaced"):
        rebuild(path)
    assert path.read_bytes() == before and names(path) == ["ranch.xlsx"]


def test_a_workbook_saved_by_someone_else_meanwhile_is_not_overwritten(path, quick):
    def change(ranch):
        with edited(path) as edits:
            edits.cell("Herd_head", 1).value = 77
        return ranch
    with pytest.raises(InputError, match=r"was changed by another program meanwhile; your"):
        rebuild(path, change)
    assert plain(read(path).ranch)["Herd"][1]["head"] == 77


def test_the_last_five_backups_are_kept_and_copies_with_other_names_never_touched(path, quick):
    mine = path.with_name("ranch.bak-20200101-000000 before the drought.xlsx")
    mine.write_bytes(b"mine")
    for day in range(1, 8):
        path.with_name(f"ranch.bak-2020010{day}-000000.xlsx").write_bytes(b"old")
    done = rebuild(path)
    left = [name for name in names(path) if ".bak-" in name]
    assert left == ["ranch.bak-20200101-000000 before the drought.xlsx",
                    *(f"ranch.bak-2020010{day}-000000.xlsx" for day in range(4, 8)),
                    done.backup.name]
