"""One name, one writer: machines that were copied, and sheets that go back in time."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest

from rounds.desk.desk import Desk
from rounds.sheets.disk import Disk
from rounds.sheets.repair import repair
from tests.conftest import RecordFigure
from tests.desks.clones import DAY, Chance, Machine, notes, own, put_back, sync
from tests.desks.laptops import ROOM, Clock, colony, note

# Machines that were copied


def test_a_clone_that_finds_what_the_other_wrote_takes_a_name_of_its_own(shed: Machine, tmp_path: Path) -> None:
    shed.write("before the image")
    shed.quit()
    other = shed.clone(tmp_path / "other")
    shed.write("after it")
    first = shed.name
    sync(shed, other)
    assert other.open().name != first
    assert other.told == [
        f"This desk is now {other.name}. Another program changed its sheet, or the power went; nothing is missing."
    ]
    other.write()
    assert other.ids() >= {*shed.acknowledged, *other.acknowledged}
    name = other.name
    other.quit()
    other.told.clear()
    assert other.open().name == name, "for good"
    assert other.told == [], "and told once"


def test_clones_that_write_apart_and_meet_lose_nothing_though_the_newest_file_wins(
    shed: Machine, tmp_path: Path
) -> None:
    shed.write("before the image")
    shed.quit()
    other = shed.clone(tmp_path / "other")
    for machine in (shed, other):
        machine.write()
        machine.write()
        machine.quit()
    assert own(shed).name == own(other).name, "one name so far"
    for machine in (shed, other):
        machine.quit()
    sync(shed, other)
    for _ in range(2):
        for machine in (shed, other):
            machine.open()
            machine.listen()
        sync(shed, other)
    everything = {*shed.acknowledged, *other.acknowledged}
    assert shed.ids() >= everything
    assert other.ids() >= everything
    assert shed.name != other.name
    assert len([*shed.told, *other.told]) == 1, "the one whose entries were gone is told, once"


def test_a_clone_of_which_yesterdays_sheet_was_written_by_the_other_takes_another_name(
    shed: Machine, tmp_path: Path, clock: Clock
) -> None:
    shed.write()
    shed.quit()
    other = shed.clone(tmp_path / "other")
    clock.forward(days=1)
    shed.write()
    sync(shed, other)
    clock.forward(days=1)
    assert other.open().name != shed.name


def test_two_clones_in_one_network_folder_at_one_time_write_two_sheets(shed: Machine, tmp_path: Path) -> None:
    shed.write()
    shed.quit()
    other = shed.clone(tmp_path / "other")
    other._journal().rename(tmp_path / "journal")
    other.colony = shed.colony
    (tmp_path / "journal").rename(other._journal())
    shed.open()
    other.open()
    assert shed.name == other.name
    for machine in (shed, other, other, shed, other):
        machine.write()
    assert shed.name != other.name
    assert shed.ids() >= {*shed.acknowledged, *other.acknowledged}


@pytest.mark.parametrize("image", ["one image", "one image, three machines", "machines of their own"])
def test_whatever_a_copier_does_between_clones_nothing_acknowledged_is_lost(
    image: str, tmp_path: Path, clock: Clock, record_figure: RecordFigure
) -> None:
    acknowledged = 0
    for seed in range(5):
        clock.set(DAY)
        folder = tmp_path / str(seed)
        first = Machine(folder / "one", clock)
        first.home.mkdir(parents=True)
        colony(first.colony, ROOM)
        if image != "machines of their own":
            first.write("before the image")
            first.quit()
        many = 3 if "three" in image else 2
        machines = [first, *(first.clone(folder / f"clone {number}") for number in range(1, many))]
        chance = Chance(machines, clock, seed)
        for _ in range(50):
            chance.step()
        chance.settle()
        everything = {one for machine in machines for one in machine.acknowledged}
        for machine in machines:
            assert machine.ids() >= everything, f"seed {seed}"
            assert machine.desk is not None
            assert [one for one in machine.desk.troubles if "twice" in one.what] == []
            machine.quit()
        acknowledged += len(everything)
    record_figure(f"the worst of copiers, {image}", f"5 seeds, {acknowledged} entries acknowledged, nothing lost")


# A sheet that goes back in time


def test_a_sheet_put_back_under_a_running_desk_is_noticed_while_it_listens(shed: Machine) -> None:
    shed.write("451")
    older = own(shed).read_bytes()
    before = shed.name
    lost = [shed.write("452"), shed.write("453")]
    sheet = own(shed)
    put_back(sheet, older)
    assert not shed.ids() & set(lost)
    shed.listen()
    assert shed.ids() >= set(shed.acknowledged)
    assert sheet.read_bytes() == older, "what another program put there is left as it is"
    assert shed.name != before
    assert shed.told == [f"2 entries were gone from {sheet.name}. They are saved again. Nothing is lost."]
    shed.listen()
    shed.quit()
    shed.open()
    assert len(shed.told) == 1, "told once"
    (written,) = notes(shed)
    assert (written.about, written.by) == ("room", "AK")
    assert written.note == (
        f"2 saved entries are written again by desk {shed.name}: gone from {sheet.name}. The sheet was "
        "damaged, an older file was put there, or another machine had this desk's name."
    )


def test_a_sheet_put_back_after_the_last_key_is_noticed_on_quitting(shed: Machine) -> None:
    shed.write("451")
    older = own(shed).read_bytes()
    shed.write("452")
    shed.write("453")
    put_back(own(shed), older)
    shed.quit()
    assert shed.ids() >= set(shed.acknowledged)


@pytest.mark.parametrize("lost", [1, 2, 3])
def test_a_sheet_put_back_while_no_desk_runs_is_noticed_at_the_next_start(shed: Machine, lost: int) -> None:
    contents = []
    for number in range(4):
        shed.write(f"number {number}")
        contents.append(own(shed).read_bytes())
    sheet = own(shed)
    shed.quit()
    put_back(sheet, contents[3 - lost])
    shed.open()
    assert shed.ids() >= set(shed.acknowledged)


def test_a_sheet_of_an_earlier_day_is_looked_at_too_and_written_again_today(shed: Machine, clock: Clock) -> None:
    shed.write()
    shed.write()
    sheet = own(shed)
    older = sheet.read_bytes().splitlines(keepends=True)[0]
    clock.forward(days=9)
    shed.write()
    put_back(sheet, older[:40])
    for _ in range(2):
        shed.listen()
    assert shed.ids() >= set(shed.acknowledged)
    assert sheet.read_bytes() == older[:40], "an earlier day is never opened for writing"


def test_what_a_second_window_wrote_that_has_ended_is_looked_after_by_the_first(shed: Machine) -> None:
    first = shed.open()
    second = Desk.open(shed.colony, clock=shed.clock, keeper="EM")
    (entry,) = second.record(note("from the second window"))
    (other,) = second.record(note("and another"))
    sheet = own(shed, second.name)
    first.news()
    second.close()
    sheet.unlink()
    for _ in range(2):
        first.news()
    assert shed.ids() >= {entry.id, other.id}


def test_what_another_window_writes_just_now_is_left_to_it(shed: Machine) -> None:
    first = shed.open()
    second = Desk.open(shed.colony, clock=shed.clock, keeper="EM")
    second.record(note("one"))
    (entry,) = second.record(note("two"))
    own(shed, second.name).unlink()
    for _ in range(3):
        first.news()
    assert entry.id not in shed.ids()
    second.close()
    assert entry.id in shed.ids()


def test_touching_or_copying_a_sheet_or_putting_it_back_byte_for_byte_changes_nothing(shed: Machine) -> None:
    shed.write()
    name, sheet = shed.name, own(shed)
    os.utime(sheet, (1, 1))
    shed.listen()
    put_back(sheet, sheet.read_bytes())
    shed.listen()
    shed.write()
    put_back(sheet, sheet.read_bytes())
    shed.write()
    put_back(sheet, sheet.read_bytes())
    shed.quit()
    assert shed.name == name
    assert shed.told == []
    assert shed.ids() >= set(shed.acknowledged)
    assert len(shed.sheets()) == 2


def test_a_sheet_changed_in_place_at_its_old_size_is_noticed(shed: Machine) -> None:
    shed.write("451")
    shed.write("452")
    sheet = own(shed)
    sheet.write_bytes(sheet.read_bytes().replace(b'"451"', b'"951"'))
    shed.listen()
    assert shed.ids() >= set(shed.acknowledged)
    assert "1 entry was gone from" in shed.told[0]


def test_a_sheet_changed_in_place_with_its_size_and_time_put_back_is_noticed_before_the_next_save(
    shed: Machine,
) -> None:
    shed.write("451")
    shed.write("452")
    sheet = own(shed)
    time_ns = sheet.stat().st_mtime_ns
    with sheet.open("r+b") as file:
        file.seek(-1, os.SEEK_END)
        file.write(b"?")  # the newline was part of it
    os.utime(sheet, ns=(time_ns, time_ns))
    shed.write("453")
    assert shed.ids() >= set(shed.acknowledged)


def test_a_backup_made_of_links_and_other_rights_on_the_sheet_change_nothing(shed: Machine, tmp_path: Path) -> None:
    shed.write()
    name, sheet = shed.name, own(shed)
    (tmp_path / "backup").hardlink_to(sheet)
    shed.listen()
    sheet.chmod(0o640)
    shed.write()
    shed.quit()
    assert shed.name == name
    assert shed.told == []


# The home folder put back, and the colony with it


def test_home_and_colony_put_back_together_cost_the_name_and_nothing_of_the_time_between(
    shed: Machine, clock: Clock, tmp_path: Path
) -> None:
    house = Machine(tmp_path / "house", clock)
    shed.write("451")
    shed.quit()
    shed.back_up(tmp_path / "backup")
    shed.write("452")
    shed.write("453")
    name = shed.name
    shed.quit()
    sync(shed, house)
    shed.put_back(tmp_path / "backup")
    shed.write("454")
    assert shed.name != name
    assert shed.told == []
    sync(shed, house)
    shed.listen()
    shed.quit()
    for machine in (shed, house):
        assert machine.ids() >= set(shed.acknowledged)


def test_what_a_journal_that_was_put_back_lacks_is_taken_from_the_sheets_and_looked_after(
    shed: Machine, tmp_path: Path
) -> None:
    shed.write("451")
    shed.quit()
    shed.back_up(tmp_path / "backup")
    sheet, older = own(shed), own(shed).read_bytes()
    shed.write("452")
    shed.write("453")
    shed.quit()
    shed.put_back(tmp_path / "backup", home_alone=True)
    shed.write("454")
    put_back(sheet, older)  # a sync program brings it from elsewhere
    for _ in range(2):
        shed.listen()
    assert shed.ids() >= set(shed.acknowledged)


def test_so_is_what_stands_under_a_name_that_was_drawn_since_the_backup(shed: Machine, tmp_path: Path) -> None:
    shed.write("451")
    shed.quit()
    shed.back_up(tmp_path / "backup")
    own(shed).unlink()
    shed.write("452")
    shed.write("453")
    sheet = own(shed)
    shed.quit()
    shed.put_back(tmp_path / "backup", home_alone=True)
    shed.write("454")
    sheet.write_bytes(b"")
    for _ in range(2):
        shed.listen()
    assert shed.ids() >= set(shed.acknowledged)


# A repair and damage are no other machine


def test_a_repair_of_yesterdays_sheet_costs_no_name_and_nothing_is_written_again(
    shed: Machine, clock: Clock
) -> None:
    shed.open().record(note("451"), note("452"), note("453"))
    shed.write("454")
    name, sheet = shed.name, own(shed)
    shed.quit()
    lines = sheet.read_bytes().splitlines(keepends=True)
    lines.insert(2, b'{"kind":"noted","crc":"00000000"}\n')
    sheet.write_bytes(b"".join(lines))
    clock.forward(days=1)
    repair(shed.colony, clock().date())
    assert len(sheet.read_bytes().splitlines()) == 4
    assert shed.name == name
    assert shed.told == []
    assert len(shed.sheets()) == 2


def test_an_entry_that_was_damaged_yesterday_is_written_again_under_the_same_name(
    shed: Machine, clock: Clock
) -> None:
    for text in ("451", "452", "453"):
        shed.write(text)
    name, sheet = shed.name, own(shed)
    shed.quit()
    sheet.write_bytes(sheet.read_bytes().replace(b'"452"', b'"952"'))
    clock.forward(days=1)
    assert shed.name == name
    assert "1 entry was gone from" in shed.told[0]
    assert shed.ids() >= set(shed.acknowledged)
    shed.quit()
    shed.open()
    assert len(shed.told) == 1, "once"


# Crashes and failed saves are no other machine


def test_a_killed_desk_keeps_its_name_wherever_its_sheet_or_its_journal_was_cut(
    shed: Machine, record_figure: RecordFigure
) -> None:
    shed.write("first")
    name, sheet = shed.name, own(shed)
    (record,) = shed.home.glob("rounds/journal/*/1/*.jsonl")
    begin = sheet.stat().st_size
    shed.write("last")
    shed.kill()
    whole = sheet.read_bytes()
    assert record.read_bytes() == whole
    cases = 0
    for cut in range(begin, len(whole) + 1, 3):
        for sheet_left, record_left in ((cut, len(whole)), (begin, cut)):
            sheet.write_bytes(whole[:sheet_left])
            record.write_bytes(whole[:record_left])
            shed.open()
            assert shed.name == name
            assert shed.told == []
            assert (shed.acknowledged[1] in shed.ids()) == (record_left == len(whole))
            assert shed.acknowledged[0] in shed.ids()
            shed.kill()
            cases += 1
    record_figure("sheet or journal cut by a crash", f"{cases}, the name kept, the last save written to its end")


def test_a_disk_that_does_not_take_a_save_costs_no_name(shed: Machine, monkeypatch: pytest.MonkeyPatch) -> None:
    shed.write()
    name = shed.name
    with monkeypatch.context() as broken:
        broken.setattr(Disk, "sync", _refuses)
        assert shed.write() == ""
    shed.write()
    assert own(shed).with_name(f"{own(shed).stem}.2.jsonl").exists(), "a second part, as ever"
    shed.quit()
    assert shed.name == name
    assert shed.told == []
    assert len(shed.ids()) == 5 + 2


def _refuses(*_: object) -> None:
    raise OSError(errno.EIO, "Input/output error")
