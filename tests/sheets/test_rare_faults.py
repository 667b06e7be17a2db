"""What a disk or another program seldom does: nothing that can be read is lost by it."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from rounds.logbook import rows
from rounds.sheets import aside, parse
from rounds.sheets.aside import keep_aside
from rounds.sheets.disk import Disk, what_can_be_read, write_all
from rounds.sheets.history import Shelf
from rounds.sheets.parse import judge, line_by_line, read_sheet
from rounds.sheets.positions import Misplaced, SheetLines
from rounds.sheets.store import Sheets
from tests.fuzzing.targets.lines import with_check
from tests.notation import logbook
from tests.sheets.memory_disk import File, HookedDisk, MemoryDisk
from tests.sheets.saves import FIRST_DAY, SECOND_DAY, ids, save

SHEET = "sheets/2026/2026-03-10.rack.jsonl"
LATER = "sheets/2026/2026-03-11.rack.jsonl"


@pytest.fixture
def two_days(tmp_path: Path) -> Path:
    """A colony with a sheet of each of two days."""
    sheets = Sheets(tmp_path, "rack")
    sheets.append(save(0, 3), FIRST_DAY)
    sheets.append(save(30, 3), SECOND_DAY)
    sheets.close()
    return tmp_path


# Files and folders


def test_a_file_that_goes_while_its_folder_is_listed_is_not_listed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "here").touch()
    (tmp_path / "going").touch()
    scan = os.scandir

    class Listing:
        def __init__(self, path: str) -> None:
            self.names = list(scan(path))
            (tmp_path / "going").unlink(missing_ok=True)

        def __enter__(self) -> list[os.DirEntry[str]]:
            return self.names

        def __exit__(self, *_: object) -> None:
            pass

    monkeypatch.setattr(os, "scandir", Listing)
    assert [name for name, _ in Disk(str(tmp_path)).list("")] == ["here"]


def on_a_disk(before: Callable[[str, str], None], content: bytes = b"x" * 9_000) -> tuple[MemoryDisk, int]:
    """A file on a disk in memory, open."""
    disk = MemoryDisk(before)
    disk.files["one"] = File(9)
    disk.files["one"].content = content
    return disk, disk.open("one", 0)


def test_only_what_the_disk_itself_refuses_is_read_around() -> None:
    def refused(name: str, _: str) -> None:
        if name == "read":
            raise PermissionError(errno.EACCES, "Permission denied")

    disk, handle = on_a_disk(refused)
    with pytest.raises(PermissionError):
        what_can_be_read(disk, handle)


def test_a_file_cut_while_its_worn_out_blocks_are_read_around_ends_where_it_was_cut() -> None:
    reads: list[str] = []

    def worn_out_and_cut(name: str, _: str) -> None:
        if name == "read":
            reads.append(name)
            if len(reads) == 1:
                raise OSError(errno.EIO, "I/O error")
            if len(reads) == 3:
                disk.files["one"].content = b"x" * 4_096

    disk, handle = on_a_disk(worn_out_and_cut)
    assert what_can_be_read(disk, handle) == b"x" * 4_096


def test_a_disk_that_takes_no_byte_and_says_nothing_is_an_error_and_no_loop() -> None:
    class Deaf(MemoryDisk):
        def write(self, handle: int, content: bytes) -> int:
            return 0

    with pytest.raises(OSError, match=os.strerror(errno.EIO)):
        write_all(Deaf(), 7, b"line")


def test_where_every_name_aside_is_taken_nothing_is_written_over(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(aside, "_MOST", 3)
    disk = Disk(str(tmp_path))
    assert [keep_aside(disk, "torn", content) for content in (b"a", b"b")] == [
        "sheets/aside/torn",
        "sheets/aside/torn-2",
    ]
    with pytest.raises(FileExistsError):
        keep_aside(disk, "torn", b"c")
    assert (tmp_path / "sheets/aside/torn").read_bytes() == b"a"


# Lines


def test_a_sound_line_that_is_no_json_stays_and_does_not_count() -> None:
    judged = judge(with_check(b"hello"))
    assert judged.sound
    assert judged.entry is None
    assert judged.what.startswith("cannot be read by this version")


def test_one_who_is_named_beside_the_subject_has_to_be_one_of_ours_too() -> None:
    (good,) = logbook("2026-03-10 AK\n08:00 wattle moved to=b3")
    line = rows.line_of(good)
    strange = with_check(line.partition(b',"crc"')[0].replace(b"enclosure/b3", b"enclosure/../b3"))
    content = line + b"\n" + strange + b"\n"
    assert read_sheet(SHEET, content).entries == [good]
    assert [trouble.line for trouble in line_by_line(SHEET, content).troubles] == [2]


def test_however_many_subjects_were_met_the_next_one_is_judged_alike(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(parse, "_known_subjects", {f"animal/a{number}" for number in range(100_001)})
    (one,) = logbook("2026-03-10 AK\n08:00 quite-new weighed grams=400")
    line = rows.line_of(one) + b"\n"
    assert read_sheet(SHEET, line).entries == [one]
    assert read_sheet(SHEET, line.replace(b"animal/quite-new", b"animal/../quite")).entries == []


# Sheets that cannot be read, beside one that can


def failing(folder: Path, path: str) -> Shelf:
    """The sheets of a colony, one of which cannot be opened."""

    def fail(name: str, what: str) -> None:
        if name == "open" and what == path:
            raise OSError(errno.EIO, "I/O error")

    return Shelf(HookedDisk(str(folder), fail))


def test_a_history_and_a_search_pass_over_a_sheet_that_cannot_be_opened(two_days: Path) -> None:
    shelf = failing(two_days, SHEET)
    later = [one for one in save(30, 3) if one.about == "animal/wattle"]
    assert list(shelf.about("animal/wattle")) == later
    assert ids(entry for part in shelf.newest_first() for entry in part.entries) == ids(save(30, 3))
    # The later sheet may hold a late note of these days, and cannot be asked.
    shelf = failing(two_days, LATER)
    shelf_of_day = [
        part for part in shelf.newest_first(date(2026, 3, 8), date(2026, 3, 9)) if part.day == "2026-03-11"
    ]
    assert [part.entries for part in shelf_of_day] == [[]]


def test_a_pipe_in_the_place_of_a_sheet_holds_nothing_up(two_days: Path) -> None:
    def swap(name: str, what: str) -> None:
        if name == "open" and what == LATER and (two_days / LATER).is_file():
            (two_days / LATER).unlink()
            os.mkfifo(two_days / LATER)

    shelf = Shelf(HookedDisk(str(two_days), swap))
    assert shelf.reading(SHEET).entries == save(0, 3)
    reading = shelf.reading(LATER)
    assert reading.entries == []
    assert "it is no file" in reading.troubles[0].what


def test_a_day_whose_sheets_hold_nothing_good_is_no_day(two_days: Path) -> None:
    (two_days / LATER).write_bytes(b"hello\n")
    assert [day for day, _ in Shelf(Disk(str(two_days))).by_day()] == ["2026-03-10"]


def test_a_look_over_all_tells_of_a_save_that_was_not_finished(two_days: Path) -> None:
    with (two_days / LATER).open("ab") as sheet:
        sheet.write(rows.line_of(save(60)[0], 1) + b"\n")
    (told,) = Shelf(Disk(str(two_days))).look_over()
    assert (told.path, told.line) == (LATER, 4)
    assert "was not finished" in told.what


def test_a_history_asks_of_a_save_that_was_not_finished_what_counts(two_days: Path) -> None:
    """Of two lines about her the first belongs to a save without an end."""
    begun = rows.line_of(save(61)[0], 1) + b"\n"
    with (two_days / LATER).open("ab") as sheet:
        sheet.write(begun)
    assert b"animal/wattle" in begun
    assert ids(Shelf(Disk(str(two_days))).about("animal/wattle")) == ids(
        one for one in [*save(0, 3), *save(30, 3)] if one.about == "animal/wattle"
    )


def test_a_history_passes_over_a_damaged_line_about_her(two_days: Path) -> None:
    whole = (two_days / SHEET).read_bytes()
    (two_days / SHEET).write_bytes(whole.replace(b'"grams":401.0', b'"grams":901.0'))
    assert b"901" in (two_days / SHEET).read_bytes()
    shelf = Shelf(Disk(str(two_days)))
    assert ids(shelf.about("animal/wattle")) == ids(one for one in save(30, 3) if one.about == "animal/wattle")


# What was read before, and is not there as it was


def test_sheets_that_were_never_in_doubt_need_no_look(two_days: Path) -> None:
    sheets = Sheets(two_days, "reader")
    sheets.read()
    assert sheets.verify()


def test_a_sheet_that_was_marked_and_cannot_be_opened_makes_what_was_read_stale(two_days: Path) -> None:
    first = Sheets(two_days, "reader")
    first.read()
    with (two_days / LATER).open("ab") as sheet:
        sheet.write(rows.line_of(save(60)[0]) + b"\n")

    def fail(name: str, what: str) -> None:
        if name == "open" and what == LATER:
            raise OSError(errno.EIO, "I/O error")

    again = Sheets(two_days, "reader", HookedDisk(str(two_days), fail))
    assert not again.resume(first.marks())
    assert not again.is_verified


def test_a_sheet_that_goes_between_the_listing_and_the_reading_is_passed_over(two_days: Path) -> None:
    def take(name: str, what: str) -> None:
        if name == "open" and what == LATER:
            (two_days / LATER).unlink(missing_ok=True)

    sheets = Sheets(two_days, "reader", HookedDisk(str(two_days), take))
    assert sheets.read() == save(0, 3)


def test_a_folder_of_sheets_that_goes_and_comes_back_is_read_again(two_days: Path) -> None:
    reader = Sheets(two_days, "reader")
    assert ids(reader.read()) == ids([*save(0, 3), *save(30, 3)])
    (two_days / "sheets").rename(two_days / "elsewhere")
    reader.news()
    (two_days / "elsewhere").rename(two_days / "sheets")
    reader.news()
    assert ids(Sheets(two_days, "reader").read()) == ids([*save(0, 3), *save(30, 3)])
    assert ids(reader.read()) == ids([*save(0, 3), *save(30, 3)])
    assert reader.troubles == []


def test_the_sheets_of_a_year_whose_folder_goes_are_told_and_count_until_it_comes_back(two_days: Path) -> None:
    reader = Sheets(two_days, "reader")
    reader.read()
    (two_days / "sheets/2026").rename(two_days / "elsewhere")
    reader.news()
    assert sorted(trouble.path for trouble in reader.troubles) == [SHEET, LATER]
    (two_days / "elsewhere").rename(two_days / "sheets/2026")
    assert reader.news() == []
    assert reader.troubles == []


def test_a_line_said_to_stand_where_no_line_begins_is_misplaced(two_days: Path) -> None:
    sheets = Sheets(two_days, "reader")
    sheets.read()
    size = (two_days / SHEET).stat().st_size
    with pytest.raises(Misplaced):
        list(sheets.lines.about("animal/wattle", {SHEET: [size]}, {SHEET: size, LATER: size}))


@pytest.mark.parametrize("start", [0, 1 << 20])
def test_a_stretch_of_a_sheet_that_ended_before_it_or_went_is_none(two_days: Path, start: int) -> None:
    sheets = Sheets(two_days, "reader")
    sheets.read()
    lines: SheetLines = sheets.lines
    if not start:
        (two_days / SHEET).unlink()
    assert lines.span(SHEET, start) is None
    found: Any = lines.span(LATER, 0)
    assert found is not None
