"""Homes and colonies put back, moved or read only; another colony at the same path; what the keeper is told."""

from __future__ import annotations

import errno
import io
import os
import shutil
import stat
from datetime import timedelta
from pathlib import Path

import pytest

from rounds.cli import main
from rounds.desk import own_journal
from rounds.desk.colony_file import write_new
from rounds.logbook.drafts import draft
from rounds.logbook.entries import TakenOver
from rounds.sheets.disk import Disk
from rounds.sheets.journal import KEPT
from tests.desks.clones import Machine, bring, notes, own, put_back
from tests.desks.laptops import Clock

# Homes and colonies from a backup


def test_a_home_folder_put_back_from_yesterday_costs_the_name_and_no_entry(
    shed: Machine, tmp_path: Path, clock: Clock
) -> None:
    shed.write()
    shed.quit()
    shutil.copytree(shed.home, tmp_path / "home of yesterday")
    name = shed.name
    shed.write("since")
    clock.forward(days=1)
    shed.write("today")
    shed.quit()
    shutil.rmtree(shed.home)
    (tmp_path / "home of yesterday").rename(shed.home)
    assert shed.open().name != name
    shed.write()
    assert shed.ids() >= set(shed.acknowledged)


def test_a_colony_put_back_from_a_backup_gets_this_desks_newer_entries_again_and_says_so_once(
    shed: Machine, tmp_path: Path
) -> None:
    shed.write()
    shed.quit()
    shutil.copytree(shed.colony, tmp_path / "backup")
    shed.write("newer")
    shed.write("newest")
    shed.quit()
    shutil.rmtree(shed.colony)
    shutil.copytree(tmp_path / "backup", shed.colony)
    shed.open()
    assert shed.ids() >= set(shed.acknowledged)
    assert ["2 entries were gone" in told for told in shed.told] == [True]
    shed.quit()
    shed.open()
    assert len(shed.told) == 1
    assert [one.by for one in notes(shed)] == ["AK"]


def test_home_and_colony_from_the_same_backup_go_on_under_another_name_without_a_word(
    shed: Machine, tmp_path: Path
) -> None:
    kept = shed.write()
    shed.quit()
    backup = tmp_path / "backup"
    shutil.copytree(shed.colony.parent, backup)
    lost = shed.write("after the backup")
    name = shed.name
    shed.quit()
    before = shed.colony.parent.rename(tmp_path / "before")  # so that its inodes are not given out again
    shutil.copytree(backup, shed.colony.parent)
    shutil.rmtree(before)
    assert shed.open().name != name, "what was written since the backup may lie elsewhere, under the old one"
    assert shed.told == []
    assert kept in shed.ids()
    assert lost not in shed.ids(), "no copy holds it: a backup is as old as it is"


def test_a_colony_put_back_under_a_running_desk_gets_what_it_lacks(shed: Machine, tmp_path: Path) -> None:
    shed.write()
    shutil.copytree(shed.colony, tmp_path / "backup")
    shed.write("newer")
    shutil.rmtree(shed.colony)
    shed.listen()
    assert shed.told == []
    shutil.copytree(tmp_path / "backup", shed.colony)
    shed.listen()
    assert shed.ids() >= set(shed.acknowledged)


def test_a_drive_pulled_out_and_put_in_again_costs_nothing(shed: Machine, tmp_path: Path) -> None:
    shed.write()
    name = shed.name
    shed.colony.rename(tmp_path / "drive")
    shed.colony.mkdir()
    for _ in range(3):
        shed.listen()
    assert shed.write() == ""
    assert list(shed.colony.iterdir()) == [], "nothing is written at an empty mount point"
    shed.colony.rmdir()
    (tmp_path / "drive").rename(shed.colony)
    shed.listen()
    shed.write()
    assert (shed.name, shed.told) == (name, ["The colony's folder is gone (a drive pulled out?). Bring it back."])
    assert len(shed.sheets()) == 2


def test_a_colony_that_was_moved_goes_on_without_a_word(shed: Machine, tmp_path: Path) -> None:
    shed.write()
    shed.quit()
    shed.colony.rename(tmp_path / "moved")
    shed.colony = tmp_path / "moved"
    shed.write()
    assert shed.told == []
    assert shed.ids() >= set(shed.acknowledged)


def test_nothing_of_one_colony_is_ever_written_on_the_sheets_of_another_at_its_path(
    shed: Machine, tmp_path: Path
) -> None:
    old = {shed.write(), shed.write()}
    shed.quit()
    shed.colony.rename(tmp_path / "old")
    write_new(shed.colony, "Quandong shed", "Europe/Vienna")
    new = shed.write("of the new one")
    for _ in range(3):
        shed.quit()
        shed.open()
        shed.listen()
    assert shed.ids() == {new}
    assert shed.told == []
    shed.quit()
    # The old one comes back to its path, without what was written last.
    shutil.rmtree(shed.colony)
    (tmp_path / "old").rename(shed.colony)
    own(shed, shed.sheets()[-1].name.split(".")[1]).unlink()
    shed.open()
    assert shed.ids() >= old
    assert new not in shed.ids()


def test_a_demo_made_afresh_knows_nothing_of_the_one_before(shed: Machine, clock: Clock) -> None:
    def demo(*words: str) -> int:
        os.environ["XDG_STATE_HOME"] = str(shed.home)
        folder = ["--folder", str(shed.home / "demo")]
        return main(("demo", *folder, *words), clock=clock, out=io.StringIO(), err=io.StringIO())

    assert demo() == 0
    shed.colony = shed.home / "demo"
    tried = shed.write("a try")
    shed.quit()
    assert demo("--fresh") == 0
    shed.open()
    shed.listen()
    assert tried not in shed.ids()
    assert shed.told == []


# Where it cannot be done


def test_a_colony_that_can_only_be_read_is_opened_and_what_it_lacks_written_as_soon_as_it_can_be(
    shed: Machine, monkeypatch: pytest.MonkeyPatch
) -> None:
    shed.write()
    shed.write()
    sheet = own(shed)
    shed.quit()
    sheet.unlink()

    def read_only(self: Disk, path: str, flags: int, mode: int = 0o600) -> int:
        if flags & os.O_CREAT and "journal" not in self._at(""):
            raise OSError(errno.EROFS, "Read-only file system")
        return opened(self, path, flags, mode)

    opened = Disk.open
    with monkeypatch.context() as broken:
        broken.setattr(Disk, "open", read_only)
        shed.open()
        shed.listen()
        shed.listen()
        (told,) = shed.told
        assert told.startswith("Saved entries are gone from this desk's sheet and are not written again yet.")
        assert "the disk can only be read just now" in told
    shed.listen()
    assert shed.ids() >= set(shed.acknowledged)
    assert "2 entries were gone from" in shed.told[1]


def test_a_state_folder_that_cannot_be_written_holds_up_no_save(shed: Machine) -> None:
    shed.home.rmdir()
    shed.home.write_text("no folder")
    shed.write()
    shed.listen()
    shed.quit()
    shed.write()
    assert shed.ids() >= set(shed.acknowledged)
    assert shed.told == []


def test_the_journal_is_the_users_alone_and_kept_for_a_month(shed: Machine, clock: Clock) -> None:
    shed.write()
    journal = shed.home / "rounds/journal"
    for file in (journal, *journal.rglob("*")):
        assert stat.S_IMODE(file.stat().st_mode) == (0o700 if file.is_dir() else 0o600)
    shed.quit()

    def is_kept() -> bool:
        return any(file.name.startswith("2026-04-12") for file in journal.rglob("*.jsonl"))

    for _ in range(KEPT.days):
        clock.forward(days=1)
        shed.write()
        shed.quit()
        assert is_kept()
    clock.forward(days=1)
    shed.open()
    assert not is_kept()
    assert timedelta(days=31) == KEPT


def test_another_users_colony_has_another_journal(shed: Machine, tmp_path: Path) -> None:
    os.environ["XDG_STATE_HOME"] = str(shed.home)
    (shed.home / "rounds").mkdir()
    link = tmp_path / "link"
    link.symlink_to(shed.colony)
    places = {own_journal.of(path)._at("") for path in (shed.colony, link, tmp_path)}
    assert len(places) == 2, "two paths of one colony are one, another folder is another"


# What the keeper sees of it


def test_taking_back_takes_back_what_the_keeper_did_and_not_the_note(shed: Machine) -> None:
    shed.write("451")
    older = own(shed).read_bytes()
    shed.write("452")
    last = shed.write("453")
    put_back(own(shed), older)
    shed.listen()
    assert [one.id for one in shed.open().take_back()] == [last]


def test_the_shift_goes_on_under_the_new_name(shed: Machine) -> None:
    from rounds.desk.shift import Shift

    desk = shed.open()
    desk.record(draft(TakenOver, "room", desk=desk.name))
    shed.write()
    own(shed).unlink()
    for _ in range(2):
        shed.listen()
    assert Shift(desk).keeper_before() == "AK"
    name = desk.name
    shed.quit()
    assert Shift(shed.open()).keeper_before() == "AK", "at the next start too"
    assert shed.name == name


def test_a_plain_command_says_it_on_standard_error(shed: Machine) -> None:
    shed.write()
    shed.write()
    sheet = own(shed)
    shed.quit()
    sheet.unlink()
    err = io.StringIO()
    words = ("log", "noted", "room", "note=on the command line")
    environment = {"ROUNDS_COLONY": str(shed.colony), "ROUNDS_KEEPER": "EM"}
    assert main(words, clock=shed.clock, environment=environment, out=io.StringIO(), err=err) == 0
    assert "2 entries were gone from" in err.getvalue()
    assert shed.ids() >= set(shed.acknowledged)
    assert [one.by for one in notes(shed)] == ["EM"]


def test_the_same_file_brought_by_a_copier_is_no_news(shed: Machine) -> None:
    shed.write()
    sheet = own(shed)
    for _ in range(3):
        bring(sheet, sheet)
        shed.write()
    assert len(shed.sheets()) == 2
