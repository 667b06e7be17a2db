"""`rounds check --repair` sets damage aside, keeps every byte, and never guesses."""

from __future__ import annotations

import contextlib
import errno
import os
from pathlib import Path

import pytest

from rounds.logbook import rows
from rounds.sheets.parse import LINES_MISSING
from rounds.sheets.repair import repair
from rounds.sheets.store import Sheets
from tests.conftest import RecordFigure
from tests.sheets.memory_disk import File, MemoryDisk, PowerCut
from tests.sheets.saves import FIRST_DAY, NOWHERE, SECOND_DAY, entry, ids, read_back, save

SHEET = "sheets/2026/2026-03-10.rack.jsonl"
WHOLE = [*save(0), *save(10, 3), *save(20)]


def lines(*numbers: int) -> bytes:
    return b"".join(rows.line_of(entry(number)) + b"\n" for number in numbers)


@pytest.fixture
def sheet(tmp_path: Path) -> Path:
    sheets = Sheets(tmp_path, "rack")
    for entries in (save(0), save(10, 3), save(20)):
        sheets.append(entries, FIRST_DAY)
    sheets.close()
    return tmp_path / SHEET


def test_a_sound_colony_is_left_as_it_is(sheet: Path) -> None:
    before = sheet.stat()
    assert repair(sheet.parents[2], SECOND_DAY) == []
    assert sheet.stat() == before or sheet.stat().st_mtime_ns == before.st_mtime_ns
    assert not (sheet.parents[1] / "aside").exists()


def test_bad_lines_are_set_aside_and_the_sheet_as_it_was_is_kept(sheet: Path) -> None:
    there = sheet.read_bytes().splitlines(keepends=True)
    there[2] = there[2].replace(b"ak", b"AK")
    unfinished = rows.line_of(entry(30), more=1) + b"\n" + b'{"kind":"wa'
    found = b"\xef\xbb\xbf" + b"".join([*there[:1], b"hello\r\n", bytes(9), *there[1:], unfinished])
    sheet.write_bytes(found)
    before = Sheets(sheet.parents[2], "reader").read()
    (mended,) = repair(sheet.parents[2], SECOND_DAY)
    assert mended.path == SHEET
    assert (sheet.parents[2] / mended.aside).read_bytes() == found
    assert "4 lines set aside" in mended.what
    assert sheet.read_bytes() == b"".join([there[0], there[1], there[3], there[4]])
    after = Sheets(sheet.parents[2], "reader")
    assert after.read() == before
    assert after.troubles == []
    assert repair(sheet.parents[2], SECOND_DAY) == []


def test_todays_sheet_is_left_to_the_desk_that_may_be_writing_it(sheet: Path) -> None:
    sheet.write_bytes(sheet.read_bytes() + b"hello\n")
    before = sheet.read_bytes()
    (mended,) = repair(sheet.parents[2], FIRST_DAY)
    assert mended.aside == ""
    assert "a desk may still be writing it" in mended.what
    assert sheet.read_bytes() == before


def test_an_entry_of_a_newer_version_stays_in_its_sheet(sheet: Path) -> None:
    from zlib import crc32

    newer = b'{"kind":"sung_to","id":"ak-9","at":"2026-03-10T08:00:00+01:00","by":"AK","about":"animal/wattle"'
    newer += b',"crc":"%08x"}\n' % crc32(newer)
    sheet.write_bytes(sheet.read_bytes() + b"hello\n" + newer)
    repair(sheet.parents[2], SECOND_DAY)
    assert sheet.read_bytes().endswith(newer)
    assert b"hello" not in sheet.read_bytes()


def test_a_copy_that_holds_nothing_new_is_put_aside_and_one_that_does_stays(sheet: Path) -> None:
    copy = sheet.with_name("2026-03-10.rack (copy).jsonl")
    copy.write_bytes(sheet.read_bytes()[:-30])
    (mended,) = repair(sheet.parents[2], SECOND_DAY)
    assert not copy.exists()
    assert mended.aside == "sheets/aside/2026-03-10.rack (copy).jsonl.copy"
    copy.write_bytes(sheet.read_bytes() + lines(40))
    (mended,) = repair(sheet.parents[2], SECOND_DAY)
    assert copy.exists()
    assert "holds 1 entries that stand nowhere else" in mended.what
    assert ids(Sheets(sheet.parents[2], "reader").read()) == ids([*WHOLE, entry(40)])


def test_what_is_aside_is_never_written_over_and_never_read(sheet: Path) -> None:
    good = sheet.read_bytes()
    for text in (b"one\n", b"two\n", b"one\n"):
        sheet.write_bytes(good + text)
        repair(sheet.parents[2], SECOND_DAY)
    kept = sorted(path.read_bytes() for path in (sheet.parents[1] / "aside").iterdir())
    assert kept == sorted([good + b"one\n", good + b"two\n"])
    (sheet.parents[1] / "aside/2026-03-10.other.jsonl").write_bytes(lines(70))
    assert ids(Sheets(sheet.parents[2], "reader").read()) == ids(WHOLE)


@pytest.mark.parametrize("spoiled", range(5))
def test_without_one_line_of_a_save_the_others_still_are_a_whole_save(sheet: Path, spoiled: int) -> None:
    there = sheet.read_bytes().splitlines(keepends=True)
    there[spoiled] = there[spoiled].replace(b'"by":"AK"', b'"by":"EM"')
    sheet.write_bytes(b"".join(there))
    before = Sheets(sheet.parents[2], "reader").read()
    assert len(before) == 4
    (mended,) = repair(sheet.parents[2], SECOND_DAY)
    assert "1 line set aside" in mended.what
    after = Sheets(sheet.parents[2], "reader")
    assert after.read() == before
    assert after.troubles == []
    missing = [trouble for trouble in after.look_over() if LINES_MISSING in trouble.what]
    assert after.look_over() == missing
    assert len(missing) == (spoiled in (2, 3)), "that a line is lacking behind the first of a save is still seen"


def test_what_other_programs_put_around_the_lines_is_taken_away_and_counts_as_no_line(sheet: Path) -> None:
    right = sheet.read_bytes()
    sheet.write_bytes(b"\xef\xbb\xbf" + right.replace(b"\n", b"\r\n") + b"\n")
    (mended,) = repair(sheet.parents[2], SECOND_DAY)
    assert "what other programs had put around its lines set aside" in mended.what
    assert mended.aside == "sheets/aside/2026-03-10.rack.as-found"
    assert sheet.read_bytes() == right


@pytest.mark.parametrize(
    ("found", "mended"), [(0o600, 0o600), (0o640, 0o640), (0o666, 0o644), (0o444, 0o644), (0o777, 0o644)]
)
def test_a_mended_sheet_lets_in_whom_the_sheet_let_in_but_only_its_keeper_write(
    sheet: Path, found: int, mended: int
) -> None:
    sheet.write_bytes(sheet.read_bytes() + b"hello\n")
    sheet.chmod(found)
    before = os.umask(0)
    try:
        repair(sheet.parents[2], SECOND_DAY)
    finally:
        os.umask(before)
    assert sheet.stat().st_mode & 0o777 == mended


def test_a_repair_goes_on_where_another_was_stopped_over_its_draft(sheet: Path) -> None:
    right = sheet.read_bytes()
    sheet.write_bytes(right + b"hello\n")
    draft = sheet.with_name(f"{sheet.name}.mending")
    draft.write_bytes(right[:40])
    repair(sheet.parents[2], SECOND_DAY)
    assert sheet.read_bytes() == right
    assert not draft.exists()


def test_two_copies_do_not_vouch_for_each_other(sheet: Path) -> None:
    copies = [sheet.with_name(f"2026-03-10.rack ({number}).jsonl") for number in (1, 2)]
    for copy in copies:
        copy.write_bytes(sheet.read_bytes() + lines(40, 50))
    told = repair(sheet.parents[2], SECOND_DAY)
    assert [mended.aside for mended in told] == ["", ""]
    assert all("holds 2 entries that stand nowhere else" in mended.what for mended in told)
    assert ids(Sheets(sheet.parents[2], "reader").read()) == ids([*WHOLE, entry(40), entry(50)])


def test_a_copy_holding_what_stands_on_several_sheets_of_its_day_is_put_aside(sheet: Path) -> None:
    office = Sheets(sheet.parents[2], "office")
    office.append(save(60, by="EM"), FIRST_DAY)
    office.close()
    copy = sheet.with_name("2026-03-10.rack (copy).jsonl")
    copy.write_bytes(sheet.read_bytes() + sheet.with_name("2026-03-10.office.jsonl").read_bytes() + b"hello\n")
    (mended,) = repair(sheet.parents[2], SECOND_DAY)
    assert not copy.exists()
    assert b"hello" in (sheet.parents[2] / mended.aside).read_bytes(), "also what counts for nothing is kept"


def test_a_copy_with_an_entry_of_a_newer_version_stays(sheet: Path) -> None:
    from zlib import crc32

    newer = b'{"kind":"sung_to","id":"ak-9","at":"2026-03-10T08:00:00+01:00","by":"AK","about":"animal/wattle"'
    copy = sheet.with_name("2026-03-10.rack (copy).jsonl")
    copy.write_bytes(sheet.read_bytes() + newer + b',"crc":"%08x"}\n' % crc32(newer))
    repair(sheet.parents[2], SECOND_DAY)
    assert copy.exists()


def test_a_copy_put_aside_is_held_somewhere_whenever_the_power_is_cut() -> None:
    copy = "sheets/2026/2026-03-10.rack (copy).jsonl"

    def colony() -> MemoryDisk:
        disk = MemoryDisk()
        Sheets(NOWHERE, "rack", disk).append(save(0, 2), FIRST_DAY)
        (image, *_) = disk.after_power_cut()
        file = image.files[copy] = image.certain_names[copy] = File(99)
        file.content = file.certain = image.files[SHEET].content + b"hello\n"
        return image

    calls: list[str] = []
    disk = colony()
    disk.before = lambda name, _: calls.append(name)
    assert [mended.path for mended in repair(NOWHERE, SECOND_DAY, disk)] == [copy]
    assert copy not in disk.files
    for number in range(len(calls) + 1):
        left = [number]

        def strike(_name: str, _path: str, left: list[int] = left) -> None:
            left[0] -= 1
            if left[0] < 0:
                raise PowerCut

        disk = colony()
        disk.before = strike
        with contextlib.suppress(PowerCut):
            repair(NOWHERE, SECOND_DAY, disk)
        disk.before = None
        for image in disk.after_power_cut():
            assert ids(read_back(image)) == ids(save(0, 2))
            assert any(content.endswith(b"hello\n") for content in image.contents().values())


def test_a_repair_that_is_stopped_or_fails_at_any_call_loses_nothing(record_figure: RecordFigure) -> None:
    damaged = lines(0) + b"hello\n" + lines(10, 20) + rows.line_of(entry(30), more=1) + b"\n"
    good = ids([entry(0), entry(10), entry(20)])

    def colony() -> MemoryDisk:
        disk = MemoryDisk()
        writer = Sheets(NOWHERE, "rack", disk)
        writer.append([entry(0)], FIRST_DAY)
        file = disk.files[SHEET]
        file.content = file.certain = damaged
        return disk

    calls: list[str] = []
    disk = colony()
    disk.before = lambda name, _: calls.append(name)
    assert len(repair(NOWHERE, SECOND_DAY, disk)) == 1
    cases = 0
    for number in range(1, len(calls) + 1):
        for error in (
            PowerCut(),
            OSError(errno.ENOSPC, "No space left on device"),
            OSError(errno.EIO, "I/O error"),
        ):
            count = [0]

            def strike(
                _name: str, _path: str, n: int = number, e: BaseException = error, c: list[int] = count
            ) -> None:
                c[0] += 1
                if c[0] == n or (c[0] > n and isinstance(e, PowerCut)):
                    raise e

            disk = colony()
            disk.before = strike
            try:
                told = repair(NOWHERE, SECOND_DAY, disk)
            except PowerCut:
                told = []
            disk.before = None
            for image in disk.after_power_cut():
                cases += 1
                assert ids(read_back(image)) == good
                held = list(image.contents().values())
                assert any(content == damaged for content in held), "every byte as it was found is kept"
            if isinstance(error, OSError):
                assert ids(read_back(disk)) == good
                assert all(mended.what for mended in told)
            repair(NOWHERE, SECOND_DAY, disk)
            assert Sheets(NOWHERE, "reader", disk).look_over() == []
            assert ids(read_back(disk)) == good
    record_figure("repairs stopped or failing", f"{cases} disks found afterwards, nothing lost")
