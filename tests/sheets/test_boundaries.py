"""What a sheet is known again by, where a reading goes on, which days are looked through: both sides of each."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path
from zlib import crc32

import msgspec
import pytest

from rounds.logbook import rows
from rounds.logbook.entries import Entry
from rounds.sheets import limits
from rounds.sheets.disk import Disk
from rounds.sheets.history import Shelf, once
from rounds.sheets.late import late_lines
from rounds.sheets.parse import LINES_MISSING, Reading, line_by_line, read_sheet
from rounds.sheets.store import Sheets
from rounds.sheets.watch import Mark, in_turn, name_of, sheet_path
from tests.sheets.memory_disk import Status
from tests.sheets.saves import FIRST_DAY, SECOND_DAY, entry, ids, save

SHEET = "sheets/2026/2026-03-10.rack.jsonl"


def line(number: int, more: int = 0) -> bytes:
    """The line of a number's entry, of whose save so many more follow."""
    return rows.line_of(entry(number), more=more) + b"\n"


# What a sheet is known again by


def test_a_sheet_is_as_it_was_marked_only_by_inode_size_and_both_times() -> None:
    mark = Mark(inode=7, size=100, mtime_ns=5_000, ctime_ns=6_000)
    assert mark.fits(Status(0, 7, 100, 5_000, 6_000))
    for changed in (
        Status(0, 8, 100, 5_000, 6_000),
        Status(0, 7, 99, 5_000, 6_000),
        Status(0, 7, 101, 5_000, 6_000),
        Status(0, 7, 100, 4_999, 6_000),
        Status(0, 7, 100, 5_001, 6_000),
        Status(0, 7, 100, 5_000, 6_001),
    ):
        assert not mark.fits(changed)
        assert not mark.is_of(changed)


def test_the_mark_of_a_sheet_with_troubles_never_fits_and_one_marked_too_soon_is_looked_into() -> None:
    status = Status(0, 7, 100, 5_000, 6_000)
    troubled = Mark(inode=7, size=100, mtime_ns=5_000, troubled=True, ctime_ns=6_000)
    assert not troubled.fits(status)
    assert troubled.is_of(status)
    soon = Mark(inode=7, size=100, mtime_ns=5_000)
    assert not soon.fits(status)
    assert soon.may_fit(status)
    assert not soon.may_fit(Status(0, 7, 100, 5_001, 6_000))
    assert not soon._replace(troubled=True).may_fit(status)


@pytest.mark.parametrize("grown", [b"", b"\n"])
def test_a_sheet_that_only_grew_is_read_from_its_mark_and_any_other_from_its_beginning(
    tmp_path: Path, grown: bytes
) -> None:
    (tmp_path / "sheets/2026").mkdir(parents=True)
    content = line(0) + line(1)
    (tmp_path / SHEET).write_bytes(content + grown)
    shelf = Shelf(Disk(str(tmp_path)))

    def begins(end: int, check: int) -> int:
        start, behind, _ = shelf.unread(SHEET, Mark(1, end, 1, end=end, check=check))
        assert behind == (content + grown)[start:]
        return start

    first, every = len(line(0)), len(content)
    assert begins(first, crc32(line(0))) == first
    assert begins(every, crc32(content)) == every
    assert begins(first, crc32(line(0)) ^ 1) == 0
    assert begins(first - 1, crc32(line(0))) == 0
    assert begins(every + 2, crc32(content)) == 0
    assert begins(0, 0) == 0
    assert shelf.unread(SHEET)[:2] == (0, content + grown)


@pytest.mark.parametrize(("more", "entries"), [(0, 2), (-1, 0)])
def test_a_file_far_too_large_for_a_sheet_that_does_not_begin_as_one_is_told_and_left(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, more: int, entries: int
) -> None:
    Sheets(tmp_path, "rack").append(save(0, 2), FIRST_DAY)
    (tmp_path / SHEET).write_bytes(b"no line of ours\n" + (tmp_path / SHEET).read_bytes())
    monkeypatch.setattr(limits, "AT_ONCE", (tmp_path / SHEET).stat().st_size + more)
    reading = Shelf(Disk(str(tmp_path))).reading(SHEET)
    assert len(reading.entries) == entries
    assert [trouble.what for trouble in reading.troubles if "cannot be read" in trouble.what] == [
        f"{SHEET} cannot be read (it is far too large for a sheet and does not begin as one); its entries do not "
        "count now."
    ] * (entries == 0)


# How sheets are named and ordered


@pytest.mark.parametrize(
    ("path", "day", "part"),
    [
        ("sheets/2026/2026-03-10.rack.jsonl", FIRST_DAY, 1),
        ("sheets/2026/2026-03-10.rack.2.jsonl", FIRST_DAY, 2),
        ("sheets/2026/2026-03-10.rack.999999.jsonl", FIRST_DAY, 999_999),
        ("sheets/2028/2028-02-29.rack.jsonl", date(2028, 2, 29), 1),
    ],
)
def test_a_sheet_is_named_by_day_desk_and_part(path: str, day: date, part: int) -> None:
    assert name_of(path) == (day, "rack", part)
    assert sheet_path(day, "rack", part) == path


@pytest.mark.parametrize(
    "path",
    [
        "sheets/2025/2026-03-10.rack.jsonl",
        "sheets/2026/2026-03-10.rack.0.jsonl",
        "sheets/2026/2026-03-10.rack.1.jsonl",
        "sheets/2026/2026-03-10.rack.02.jsonl",
        "sheets/2026/2026-03-10.rack.1000000.jsonl",
        "sheets/2027/2027-02-29.rack.jsonl",
        "sheets/2026/2026-03-10.-rack.jsonl",
        f"sheets/2026/2026-03-10.{'r' * 81}.jsonl",
        "sheets/2026/2026-03-10.rack.jsonl ",
    ],
)
def test_what_is_named_otherwise_is_a_copy(path: str) -> None:
    assert name_of(path) is None


def test_a_desk_has_a_name_of_up_to_eighty_signs() -> None:
    assert name_of(f"sheets/2026/2026-03-10.{'r' * 80}.jsonl") is not None


def test_sheets_are_read_by_day_a_copy_after_them_and_what_has_no_day_last() -> None:
    turns = [
        "sheets/2025/2025-12-31.shelf.jsonl",
        "sheets/2026/2026-03-10.rack.jsonl",
        "sheets/2026/2026-03-10.shelf.jsonl",
        "sheets/2026/2026-03-10.rack (copy).jsonl",
        "sheets/2026/2026-03-11.rack.jsonl",
        "sheets/2026/a copy.jsonl",
    ]
    assert sorted(set(turns), key=in_turn) == turns


def test_a_copy_taken_away_is_nothing_to_tell_and_a_sheet_is(tmp_path: Path) -> None:
    Sheets(tmp_path, "rack").append(save(0), FIRST_DAY)
    sheet = tmp_path / SHEET
    copy = sheet.with_name("2026-03-10.rack (copy).jsonl")
    copy.write_bytes(sheet.read_bytes())
    empty = sheet.with_name("2026-03-10.shelf.jsonl")
    empty.write_bytes(b"")
    reader = Sheets(tmp_path, "reader")
    reader.read()
    copy.unlink()
    empty.unlink()
    reader.news()
    assert reader.troubles == []
    sheet.unlink()
    reader.news()
    assert [trouble.path for trouble in reader.troubles] == [SHEET]


# Where a reading goes on, and what of it counts


@pytest.mark.parametrize("read", [read_sheet, line_by_line])
def test_a_reading_ends_behind_the_last_whole_save(read: Callable[[str, bytes, int], Reading]) -> None:
    whole = line(0) + line(10, 2) + line(11, 1) + line(12)
    reading = read(SHEET, whole, 5)
    assert (reading.end, reading.lines, reading.unfinished, reading.bad) == (len(whole), 8, None, ())
    begun = whole + line(20, 1)
    for content in (begun, begun + b'{"kind":"wa'):
        reading = read(SHEET, content, 5)
        assert (reading.end, reading.lines) == (len(whole), 8)
        assert ids(reading.entries) == ids([entry(0), *save(10, 3)])
        assert reading.bad == ((len(whole), len(content)),)
        assert reading.unfinished is not None
        assert reading.unfinished.line == 9
        assert reading.unfinished.line_text + b"\n" == line(20, 1)


def test_what_is_bad_is_known_to_the_byte_and_ends_where_the_next_good_line_begins() -> None:
    first, foreign = line(0), b"hello\n"
    content = first + foreign + line(3) + foreign + foreign + line(6) + line(9, 1) + foreign
    reading = line_by_line(SHEET, content)
    one, two = len(first), len(first + foreign + line(3))
    begun = len(content) - len(line(9, 1) + foreign)
    assert reading.bad == (
        (one, one + 6),
        (two, two + 6),
        (two + 6, two + 12),
        (begun, len(content)),
    )
    assert (reading.end, reading.lines) == (begun, 6)
    assert [trouble.line for trouble in reading.troubles] == [2, 4, 8]
    assert reading.troubles[1].what.startswith("lines 4 to 5: each")
    reading = line_by_line(SHEET, first + b"\n" + foreign + b"\n")
    assert (reading.end, reading.lines) == (one + 1, 2), (
        "an empty line is passed over, one behind a bad line is not"
    )


def test_of_a_sheet_without_a_whole_save_nothing_is_read_and_its_bad_bytes_are_told_once() -> None:
    begun = line(0, 1).replace(b'"by":"AK"', b'"by":"EM"')
    reading = line_by_line(SHEET, begun, 5)
    assert (reading.entries, reading.end, reading.lines) == ([], 0, 4)
    assert reading.bad == ((0, len(begun)),)


def test_lines_missing_between_two_of_a_save_are_told_and_a_new_save_is_not() -> None:
    def told(*content: bytes) -> list[int]:
        troubles = line_by_line(SHEET, b"".join(content)).troubles
        return [trouble.line for trouble in troubles if LINES_MISSING in trouble.what]

    assert told(line(0, 2), line(1, 1), line(2)) == []
    assert told(line(0), line(1, 1), line(2), line(3)) == []
    assert told(line(0, 2), line(2)) == [2]
    assert told(line(0, 1), line(1, 1), line(2)) == [2]
    assert told(line(0, 3), b"hello\n", line(1, 1), line(2)) == [], "the foreign line stands in its place"
    assert told(line(0, 2), b"hello\n", line(1, 1), line(2)) == [3]
    assert told(line(0, 1), b"hello\n", line(3, 2), line(4, 1), line(5)) == [], "it stands for the last of the save"


@pytest.mark.parametrize("many", [1, 400, 1200])
def test_a_long_sheet_is_read_to_its_last_line_whatever_is_read_together(many: int) -> None:
    content = b"".join(line(number) for number in range(many))
    reading = read_sheet(SHEET, content)
    assert reading.entries == save(0, many)
    assert (reading.end, reading.lines, reading.is_doubled) == (len(content), many, False)
    assert reading.all_lines is not None
    assert sum(reading.all_lines.lengths) == len(content)
    assert read_sheet(SHEET, content + line(0)).is_doubled


def test_a_long_line_is_shown_up_to_4096_bytes() -> None:
    (trouble,) = line_by_line(SHEET, b"x" * 5_000 + b"\n").troubles
    assert trouble.line_text == b"x" * 4_096


# Which days are looked through


@pytest.fixture
def week(tmp_path: Path) -> Path:
    """One entry a day from 10 to 15 March, seen when it was written."""
    sheets = Sheets(tmp_path, "rack")
    for number in range(6):
        sheets.append([_seen(number)], FIRST_DAY + timedelta(days=number))
    sheets.close()
    return tmp_path


def _seen(number: int) -> Entry:
    one = entry(number)
    return msgspec.structs.replace(one, at=one.at + timedelta(days=number))


def test_of_some_days_the_first_and_the_last_are_read_too(week: Path) -> None:
    shelf = Shelf(Disk(str(week)))
    assert ids(shelf.of_days(FIRST_DAY, FIRST_DAY)) == ids(save(0))
    assert ids(shelf.of_days(SECOND_DAY, SECOND_DAY + timedelta(days=2))) == ids(save(1, 3))
    copy = week / "sheets/2026/a copy.jsonl"
    copy.write_bytes(line(50))
    assert ids(shelf.of_days(FIRST_DAY, FIRST_DAY)) == ids([entry(0), entry(50)]), "a copy may be of any day"


def test_a_search_of_some_days_reads_a_day_more_on_both_sides_and_counts_every_sheet(week: Path) -> None:
    """An offset may put an entry on the day before or after; later sheets matter only with a note of these days."""
    (week / "sheets/2026/2026-03-15.shelf.jsonl").write_bytes(rows.line_of(_seen(0)) + b"\n")
    shelf = Shelf(Disk(str(week)))
    assert list(shelf.newest_first(date(2026, 4, 12), date(2026, 4, 12))) == []
    day = date(2026, 3, 12)
    slices = list(shelf.newest_first(day, day))
    assert [slice.day for slice in slices] == [f"2026-03-{number}" for number in (15, 14, 13, 12, 11)]
    assert [(slice.done, slice.of) for slice in slices] == [(2, 6), (3, 6), (4, 6), (5, 6), (6, 6)]
    assert [ids(slice.entries) for slice in slices[2:]] == [ids([_seen(number)]) for number in (3, 2, 1)]
    every = list(shelf.newest_first())
    assert [(slice.done, slice.of) for slice in every][-1] == (7, 7)


@pytest.mark.parametrize(
    ("first", "last", "months"),
    [
        (date(2026, 3, 2), date(2026, 3, 30), "2026-03"),
        (date(2026, 3, 1), date(2026, 3, 30), "2026-02 2026-03"),
        (date(2026, 3, 2), date(2026, 3, 31), "2026-03 2026-04"),
        (date(2025, 12, 2), date(2026, 1, 30), "2025-12 2026-01"),
        (date(2025, 12, 31), date(2026, 1, 1), "2025-12 2026-01"),
        (date(2026, 1, 1), date(2026, 1, 1), "2025-12 2026-01"),
    ],
)
def test_a_late_note_is_looked_for_by_the_months_of_its_days(first: date, last: date, months: str) -> None:
    wanted = late_lines(first, last)
    assert wanted is not None
    around = [f"{year}-{month:02d}" for year in (2025, 2026) for month in range(1, 13)]
    assert [month for month in around if wanted.search(b'{"at":"%s-07T08:00' % month.encode())] == months.split()
    assert wanted.search(b'{"kind":"corrected"')
    assert not wanted.search(b'{"kind":"noted"')


@pytest.mark.parametrize(("last", "before"), [(date(2026, 1, 30), False), (date(2026, 1, 31), True)])
def test_of_more_than_ten_years_the_years_will_do(last: date, before: bool) -> None:
    wanted = late_lines(date(2016, 2, 2), last)
    assert wanted is not None
    for year, month in ((2016, 2), (2020, 7), (2026, 1)):
        assert wanted.search(b'"at": "%d-%02d-07' % (year, month))
    for year in (2015, 2027):
        assert not wanted.search(b'"at": "%d-06-07' % year)
    assert bool(wanted.search(b'"at": "2026-06-07')) == before


def test_of_an_id_that_stands_twice_the_first_counts_and_the_order_stays() -> None:
    other = entry(1, note="again")
    assert once([entry(2), entry(1), entry(0), other]) == [entry(2), entry(1), entry(0)]
    assert once(save(0, 3)[::-1]) == save(0, 3)[::-1]
