"""Nothing typed is ever lost: edits are on disk at once, undone and done again, and a crash between two files does no harm."""

import json

import pytest

from tractwright.errors import SheetError
from tractwright.page.desk import JOURNAL, Desk, StaleEditError

SHEET = '[job]\nname = "invented"\n[runner]\nlength = "200 mm"\nbore = "40 mm"\n'


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "job.toml").write_text(SHEET)
    return tmp_path


def test_a_new_folder_gets_a_sheet(tmp_path):
    desk = Desk(tmp_path / "new")
    assert (tmp_path / "new" / "job.toml").read_text() == desk.now.sheet_text
    assert desk.facts["engine.cylinders"] == 4


def test_an_edit_is_on_disk_at_once(folder):
    Desk(folder).set_fact("runner.length", "250 mm")
    assert '"250 mm"' in (folder / "job.toml").read_text()


def test_undo_and_redo_go_all_the_way(folder):
    desk = Desk(folder)
    desk.set_fact("runner.length", "250 mm")
    desk.hold("flange.cover.thickness_mm", 11.0)
    desk.undo()
    assert desk.now.held == {}
    desk.undo()
    assert desk.now.sheet_text == SHEET
    assert (folder / "job.toml").read_text() == SHEET
    assert desk.undoable == ""
    desk.redo()
    desk.redo()
    assert desk.now.held == {"flange.cover.thickness_mm": 11.0}
    assert desk.redoable == ""


def test_a_drag_is_one_edit_to_undo(folder):
    desk = Desk(folder)
    for length in (201, 202, 203, 204):
        desk.set_fact("runner.length", f"{length} mm", going_on=length < 204)
    desk.set_fact("runner.length", "205 mm")
    desk.undo()
    assert desk.facts["runner.length"] == "204 mm"
    desk.undo()
    assert desk.now.sheet_text == SHEET


def test_a_sheet_changed_outside_just_before_an_edit_is_not_written_over(folder):
    """An edit once put the page's own text back over what another program had written a moment before."""
    desk = Desk(folder)
    (folder / "job.toml").write_text(SHEET.replace("200", "260"))
    desk.set_fact("runner.bore", "41 mm")
    assert (desk.facts["runner.length"], desk.facts["runner.bore"]) == ("260 mm", "41 mm")
    (folder / "job.toml").write_text(SHEET.replace("200", "270"))
    desk.written()
    assert "270" in (folder / "job.toml").read_text()
    assert desk.look_outside()


def test_held_numbers_survive_a_crash_before_they_are_described(folder):
    desk = Desk(folder)
    desk.hold("flange.cover.thickness_mm", 11.0)
    desk.set_fact("runner.length", "250 mm")
    del desk
    assert Desk(folder).now.held == {"flange.cover.thickness_mm": 11.0}


def test_a_crash_between_journal_and_sheet_loses_nothing(folder, monkeypatch):
    desk = Desk(folder)
    desk.hold("flange.cover.thickness_mm", 11.0)
    monkeypatch.setattr("tractwright.page.desk._text", _crash)
    with pytest.raises(KeyboardInterrupt):
        desk.set_fact("runner.length", "250 mm")
    monkeypatch.undo()
    assert Desk(folder).now.held == {"flange.cover.thickness_mm": 11.0}


def _crash(_path):
    raise KeyboardInterrupt


def test_a_journal_that_is_older_than_the_files_does_not_count(folder):
    Desk(folder).hold("flange.cover.thickness_mm", 11.0)
    (folder / "job.toml").write_text(SHEET.replace("200", "260"))
    assert Desk(folder).now.held == {}


@pytest.mark.parametrize("broken", ["", "[]", "{", json.dumps({"held": 3, "files": []})])
def test_a_broken_journal_does_not_count(folder, broken):
    (folder / JOURNAL).write_text(broken)
    assert Desk(folder).now.sheet_text == SHEET


def test_a_change_from_outside_is_noticed_and_can_be_undone(folder):
    desk = Desk(folder)
    assert not desk.look_outside()
    (folder / "job.toml").write_text(SHEET.replace("200", "260"))
    assert desk.look_outside()
    assert desk.facts["runner.length"] == "260 mm"
    desk.undo()
    assert desk.facts["runner.length"] == "200 mm"


def test_an_edit_begun_before_the_same_number_changed_is_refused(folder):
    desk = Desk(folder)
    seen = desk.revision
    desk.set_fact("runner.length", "250 mm")
    with pytest.raises(StaleEditError, match=r"runner\.length"):
        desk.set_fact("runner.length", "210 mm", seen=seen)
    desk.set_fact("runner.bore", "41 mm", seen=seen)
    assert desk.facts["runner.length"] == "250 mm"


def test_freeing_gives_a_number_back(folder):
    desk = Desk(folder)
    desk.hold_all({"a.b": 1.0, "c.d": 2.0}, "two")
    desk.free("a.b")
    assert desk.now.held == {"c.d": 2.0}


def test_a_sheet_that_is_no_text_is_told(folder):
    (folder / "job.toml").write_bytes(b"\xff\xfe\x00")
    with pytest.raises(SheetError, match="UTF-8"):
        Desk(folder)
