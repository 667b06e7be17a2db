"""The journal of a desk's own sheets: it fails, is cut and is behind like any file, and no save suffers by it."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable
from itertools import product
from pathlib import Path

import pytest

from rounds.errors import NotSaved
from rounds.logbook.entries import Entry
from rounds.sheets.agreement import Agreement, agreement
from rounds.sheets.identity import Unlocked
from rounds.sheets.store import Sheets
from tests.conftest import RecordFigure
from tests.sheets.memory_disk import MemoryDisk, PowerCut
from tests.sheets.saves import FIRST_DAY, NOWHERE, SECOND_DAY, ids, read_back, save
from tests.sheets.test_faults import FAULTS, STORY, Fault, tell_the_story

SHEET = "sheets/2026/2026-03-10.rack.jsonl"
RECORD = "1/2026-03-10.rack.jsonl"


def colony(before: Callable[[str, str], None] | None = None) -> MemoryDisk:
    """A colony that was begun."""
    disk = MemoryDisk()
    handle = disk.open("colony.toml", os.O_RDWR | os.O_CREAT)
    disk.write(handle, b'name = "Quandong shed"')
    disk.sync(handle)
    disk.sync_folder("")
    disk.before = before
    return disk


def rack(disk: MemoryDisk, journal: MemoryDisk, name: str = "rack") -> Sheets:
    """The desk, started: its own sheets were looked at."""
    sheets = Sheets(NOWHERE, name, disk, journal=journal, identity=Unlocked(name))
    sheets.look_after_own(SECOND_DAY, back=True)
    return sheets


def power_is_back(disk: MemoryDisk) -> MemoryDisk:
    """The same disk, of which every byte that was written is there: a program that was killed leaves it so."""
    disk.before = None
    return disk


def test_the_journal_holds_what_the_sheet_holds() -> None:
    disk, journal = colony(), MemoryDisk()
    desk = rack(disk, journal)
    desk.append(save(0), FIRST_DAY)
    desk.append(save(10, 3), FIRST_DAY)
    assert journal.contents()[RECORD] == disk.contents()[SHEET]
    desk.append(save(20), SECOND_DAY)
    assert journal.contents()["1/2026-03-11.rack.jsonl"] == disk.contents()["sheets/2026/2026-03-11.rack.jsonl"]


def test_a_sheet_agrees_with_its_record_or_lacks_its_last_save_or_is_anothers() -> None:
    disk = MemoryDisk()
    desk = Sheets(NOWHERE, "rack", disk)
    ends = [0]
    for first, many in ((0, 1), (10, 3), (20, 2)):
        desk.append(save(first, many), FIRST_DAY)
        ends.append(len(disk.contents()[SHEET]))
    record = disk.contents()[SHEET]
    assert agreement(record, record) is Agreement.SAME
    for cut in range(len(record)):
        wanted = Agreement.BEHIND if cut >= ends[2] else Agreement.OTHER
        assert agreement(record, record[:cut]) is wanted
        assert agreement(record, record[:cut] + b"?" + record[cut + 1 :]) is Agreement.OTHER
    assert agreement(record, record + b'{"kind":"noted"') is Agreement.SAME, (
        "a crash leaves that, and nothing counts"
    )
    assert agreement(record[: ends[2]], record) is Agreement.OTHER
    assert agreement(record, None) is Agreement.OTHER
    assert agreement(b"", b"") is Agreement.SAME


@pytest.mark.parametrize("lasting", [False, True], ids=["once", "lasting"])
def test_whichever_call_to_the_journal_fails_every_save_is_on_disk_at_once(
    lasting: bool, record_figure: RecordFigure
) -> None:
    calls: list[str] = []
    sheets = Sheets(NOWHERE, "rack", colony(), journal=MemoryDisk(lambda name, _: calls.append(name)))
    sheets.look_after_own(FIRST_DAY, back=True)
    tell_the_story(sheets, Fault(-1, 0), list)
    cases = 0
    for call in range(1, len(calls) + 1):
        for code in FAULTS.values():
            for short in (False, True):
                fault = Fault(call, code, lasting=lasting)
                fault.short = short
                disk, journal = colony(), MemoryDisk(fault)
                fault.disk = journal
                desk = rack(disk, journal)
                for day, entries in STORY:
                    desk.append(entries, day)
                assert ids(read_back(disk)) == ids(entry for _, entries in STORY for entry in entries)
                assert desk.desk == "rack"
                desk.close()
                power_is_back(journal)
                again = rack(disk, journal)
                again.append(save(90), SECOND_DAY)
                written = ids(entry for _, entries in STORY for entry in entries)
                assert ids(read_back(disk)) == sorted([*written, *ids(save(90))])
                assert not any(told.entries for told in again.rescues())
                cases += 1
    record_figure(f"faults of the journal, {'lasting' if lasting else 'once'}", f"{cases}, no save held up")


def test_whichever_call_to_the_colonys_disk_fails_the_next_start_finds_just_what_was_acknowledged(
    record_figure: RecordFigure,
) -> None:
    calls: list[str] = []
    tell_the_story(rack(colony(lambda name, _: calls.append(name)), MemoryDisk()), Fault(-1, 0), list)
    cases = renamed = 0
    for call in range(1, len(calls) + 1):
        for code in FAULTS.values():
            fault = Fault(call, code)
            disk, journal = colony(fault), MemoryDisk()
            desk = Sheets(NOWHERE, "rack", disk, journal=journal)
            told = tell_the_story(desk, fault, lambda disk=disk: read_back(disk))  # type: ignore[misc]
            desk.close()
            power_is_back(disk)
            again = rack(disk, journal)
            assert ids(read_back(disk)) == ids(told)
            renamed += again.desk != "rack"
            assert not any(one.entries for one in again.rescues())
            cases += 1
    assert renamed == 0, "a save that failed is no other machine"
    record_figure("faults of the disk, and a start after each", f"{cases}, nothing lost, nothing made up, one name")


def test_whenever_the_program_is_killed_the_next_start_keeps_the_name_and_loses_nothing(
    record_figure: RecordFigure,
) -> None:
    kills, call = 0, 0
    done = False
    while not done:
        call += 1
        for taken in (0, 1, 40, 200):
            left = [call]

            disk, journal = colony(), MemoryDisk()

            def killed(
                name: str,
                _path: str,
                left: list[int] = left,
                taken: int = taken,
                disks: tuple[MemoryDisk, ...] = (disk, journal),
            ) -> None:
                left[0] -= 1
                if not left[0] and name == "write" and taken:
                    for one in disks:
                        one.takes = taken
                    left[0] = 1
                elif left[0] <= 0:
                    raise PowerCut

            disk.before = journal.before = killed
            acknowledged: list[Entry] = []
            under_way: list[Entry] = []
            try:
                desk = Sheets(NOWHERE, "rack", disk, journal=journal)
                for day, entries in STORY:
                    under_way = entries
                    desk.append(entries, day)
                    acknowledged += entries
                    under_way = []
                done = True
            except PowerCut:
                kills += 1
            power_is_back(disk).takes = power_is_back(journal).takes = None
            again = rack(disk, journal)
            found = ids(read_back(disk))
            assert found in (ids(acknowledged), ids([*acknowledged, *under_way]))
            assert again.desk == "rack"
            assert again.rescues() == []
            again.append(save(90, 2), SECOND_DAY)
            assert ids(read_back(disk)) == sorted([*found, *ids(save(90, 2))])
    record_figure("kills between the sheet and its journal", f"{kills}, nothing lost, the name kept")


def test_whatever_a_power_cut_leaves_of_sheet_and_journal_nothing_acknowledged_is_lost(
    record_figure: RecordFigure,
) -> None:
    pairs = call = 0
    done = False
    while not done:
        call += 1
        left = [call]

        def cut_off(_name: str, _path: str, left: list[int] = left) -> None:
            left[0] -= 1
            if left[0] <= 0:
                raise PowerCut

        disk, journal = colony(cut_off), MemoryDisk(cut_off)
        acknowledged: list[Entry] = []
        under_way: list[Entry] = []
        try:
            desk = Sheets(NOWHERE, "rack", disk, journal=journal)
            for day, entries in STORY[:3]:
                under_way = entries
                desk.append(entries, day)
                acknowledged += entries
                under_way = []
            done = True
        except PowerCut:
            pass
        power_is_back(disk)
        power_is_back(journal)
        sheets = [*{tuple(sorted(one.contents().items())): one for one in disk.after_power_cut()}.values()]
        records = [*{tuple(sorted(one.contents().items())): one for one in journal.after_power_cut()}.values()]
        for sheet, record in product(sheets[:: max(1, len(sheets) // 12)], records[:: max(1, len(records) // 12)]):
            found_disk = sheet.copy()
            again = rack(found_disk, record.copy())
            again.append(save(90, 2), SECOND_DAY)
            found = ids(read_back(found_disk))
            wanted = [*acknowledged, *save(90, 2)]
            assert found in (ids(wanted), ids([*wanted, *under_way]))
            pairs += 1
    record_figure(
        "power cuts of sheet and journal", f"{pairs} pairs found afterwards, nothing lost, none half there"
    )


def test_an_older_sheet_that_comes_back_costs_the_name_and_no_entry() -> None:
    disk, journal = colony(), MemoryDisk()
    desk = rack(disk, journal)
    for number in range(0, 40, 10):
        desk.append(save(number), FIRST_DAY)
    whole = disk.contents()[SHEET]
    for cut in range(len(whole)):
        older, record = disk.copy(), journal.copy()
        older.files[SHEET].content = whole[:cut]
        standing = len(read_back(older))
        again = rack(older, record)
        assert ids(read_back(older)) == ids(entry for number in range(0, 40, 10) for entry in save(number))
        told = again.rescues()
        is_behind = whole[:cut].count(b"\n") == 3
        assert (again.desk == "rack") == is_behind, "one save behind is what a crash leaves"
        assert sum(one.entries for one in told) == (0 if is_behind else 4 - standing)
        assert rack(older, record, again.desk).rescues() == [], "not told again at the next start"


def test_what_is_missing_is_kept_while_the_disk_is_full_and_written_as_soon_as_there_is_room() -> None:
    disk, journal = colony(), MemoryDisk()
    desk = rack(disk, journal)
    desk.append(save(0), FIRST_DAY)
    desk.append(save(10), FIRST_DAY)
    del disk.files[SHEET]

    def full(name: str, _path: str) -> None:
        if name in ("write", "create"):
            raise OSError(errno.ENOSPC, "No space left on device")

    disk.before = full
    again = Sheets(NOWHERE, "rack", disk, journal=journal)
    for _ in range(3):
        with pytest.raises(NotSaved, match=r"not written again yet\. They are kept.*the disk is full"):
            again.look_after_own(FIRST_DAY)
        assert again.rescues() == [], "nothing is told before it is done"
    with pytest.raises(NotSaved, match="the disk is full"):
        again.append(save(20), FIRST_DAY)
    power_is_back(disk)
    again.look_after_own(FIRST_DAY)
    assert ids(read_back(disk)) == ids([*save(0), *save(10)])
    assert [one.entries for one in again.rescues() if one.entries] == [2]


def test_a_file_of_a_gigabyte_in_place_of_the_sheet_is_not_read(tmp_path: Path) -> None:
    journal = tmp_path / "journal"
    journal.mkdir()
    from rounds.sheets.disk import Disk

    read: list[int] = []

    class Counting(Disk):
        def read(self, handle: int, size: int, offset: int) -> bytes:
            found = super().read(handle, size, offset)
            read.append(len(found))
            return found

    colony = tmp_path / "colony"
    colony.mkdir()
    desk = Sheets(colony, "rack", Counting(str(colony)), journal=Disk(str(journal)))
    desk.append(save(0), FIRST_DAY)
    (colony / SHEET).unlink()
    with (colony / SHEET).open("wb") as huge:
        huge.truncate(1 << 30)
    read.clear()
    desk.append(save(10), FIRST_DAY)
    assert sum(read) < 100_000
    assert ids(Sheets(colony, "reader").read()) == ids([*save(0), *save(10)])


@pytest.mark.parametrize("where", [RECORD, "1/known-by"])
def test_a_huge_file_in_the_journal_is_not_read_and_stops_no_save(where: str, tmp_path: Path) -> None:
    from rounds.sheets.disk import Disk

    colony, journal = tmp_path / "colony", tmp_path / "journal"
    colony.mkdir()
    journal.mkdir()
    Sheets(colony, "rack", journal=Disk(str(journal))).append(save(0), FIRST_DAY)
    with (journal / where).open("ab") as huge:
        huge.truncate(1 << 36)
    desk = Sheets(colony, "rack", journal=Disk(str(journal)), identity=Unlocked("rack"))
    desk.look_after_own(FIRST_DAY, back=True)
    desk.append(save(10), FIRST_DAY)
    assert ids(Sheets(colony, "reader").read()) == ids([*save(0), *save(10)])


# What is left when journal or sheet is damaged


def three_saves() -> tuple[MemoryDisk, MemoryDisk, list[bytes]]:
    """The desk has saved three times, the last two of several lines: its disk, its journal, the lines."""
    disk, journal = colony(), MemoryDisk()
    desk = rack(disk, journal)
    for first, many in ((0, 1), (10, 3), (20, 3)):
        desk.append(save(first, many), FIRST_DAY)
    return disk, journal, disk.contents()[SHEET].splitlines(keepends=True)


def emptied(content: bytes, begin: int, stop: int) -> bytes:
    """What a power cut leaves of bytes that were not written yet."""
    return content[:begin] + bytes(stop - begin) + content[stop:]


def test_half_a_save_out_of_a_torn_journal_is_never_written() -> None:
    disk, journal, lines = three_saves()
    whole, begin = b"".join(lines), sum(map(len, lines[:4]))
    acknowledged = ids([*save(0), *save(10, 3)])
    for stop in range(begin + 1, len(whole), 7):
        for first in (begin, begin - 1, (begin + stop) // 2):
            found, record = disk.copy(), journal.copy()
            found.files[SHEET].content = whole[:begin]
            record.files[RECORD].content = emptied(whole, first, stop)
            again = rack(found, record)
            assert ids(read_back(found)) == acknowledged
            assert again.rescues() == []
            assert again.desk == "rack"


def test_where_the_power_cut_left_empty_bytes_for_the_last_save_it_is_written_and_nothing_is_told() -> None:
    disk, journal, lines = three_saves()
    whole, begin = b"".join(lines), sum(map(len, lines[:4]))
    for stop in range(begin + 1, len(whole) + 1, 7):
        for left in (
            whole[:begin] + bytes(stop - begin),
            emptied(whole, begin, stop),
            emptied(whole, stop, len(whole)),
        ):
            found = disk.copy()
            found.files[SHEET].content = left
            again = rack(found, journal.copy())
            assert again.desk == "rack"
            assert again.rescues() == []
            assert ids(read_back(found)) == ids([*save(0), *save(10, 3), *save(20, 3)])


def test_a_journal_with_empty_bytes_in_it_is_filled_from_the_sheet_and_costs_no_name() -> None:
    disk, journal, lines = three_saves()
    whole = b"".join(lines)
    for begin in range(0, len(whole), 60):
        found, record = disk.copy(), journal.copy()
        record.files[RECORD].content = emptied(whole, begin, begin + 60)[: len(whole)]
        again = rack(found, record)
        assert (again.desk, again.rescues()) == ("rack", [])
        again.append(save(30), FIRST_DAY)
        del found.files[SHEET]
        rack(found, record)
        assert ids(read_back(found)) == ids([*save(0), *save(10, 3), *save(20, 3), *save(30)])


def test_a_journal_that_cannot_be_cut_after_a_refused_save_keeps_what_was_saved() -> None:
    disk, journal, _ = three_saves()
    desk = rack(disk, journal)
    desk.append(save(30), FIRST_DAY)

    def broken(name: str, _path: str) -> None:
        if name in ("write", "cut", "remove"):
            raise OSError(errno.EIO, "Input/output error")

    disk.before = broken
    journal.before = lambda name, path: None if name == "write" else broken(name, path)
    with pytest.raises(NotSaved):
        desk.append(save(40), FIRST_DAY)
    power_is_back(disk)
    power_is_back(journal)
    desk.append(save(50), FIRST_DAY)
    desk.close()
    saved = ids([*save(0), *save(10, 3), *save(20, 3), *save(30), *save(50)])
    assert ids(read_back(disk)) == saved, "and the refused save is on no sheet"
    for path in [path for path in disk.files if ".rack" in path]:
        del disk.files[path]
    rack(disk, journal)
    assert ids(read_back(disk)) == saved
