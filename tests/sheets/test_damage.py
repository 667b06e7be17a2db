"""Whatever befalls a sheet, it is read for what it holds, the rest is told, and nothing is fatal."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest

from rounds.logbook import rows
from rounds.sheets.store import Sheets, Trouble
from tests.sheets.memory_disk import HookedDisk
from tests.sheets.saves import FIRST_DAY, SECOND_DAY, entry, ids, save

SHEET = "sheets/2026/2026-03-10.rack.jsonl"
#: Two saves of one entry, one of three, one of one: lines 1, 2, 3 to 5, 6.
WHOLE = [*save(0), *save(1), *save(10, 3), *save(20)]


@pytest.fixture
def sheet(tmp_path: Path) -> Path:
    """A sheet of four saves."""
    sheets = Sheets(tmp_path, "rack")
    for entries in (save(0), save(1), save(10, 3), save(20)):
        sheets.append(entries, FIRST_DAY)
    sheets.close()
    return tmp_path / SHEET


def read(sheet: Path) -> tuple[list[str], list[Trouble]]:
    """Ids that count, and what is told."""
    sheets = Sheets(sheet.parents[2], "reader")
    return ids(sheets.read()), sheets.troubles


def lines(sheet: Path) -> list[bytes]:
    return sheet.read_bytes().splitlines(keepends=True)


def without(*entries: int) -> list[str]:
    """Ids of the whole sheet but these lines (from 1)."""
    return ids(one for number, one in enumerate(WHOLE, 1) if number not in entries)


def test_a_sound_sheet_has_no_troubles(sheet: Path) -> None:
    assert read(sheet) == (ids(WHOLE), [])


def test_a_flipped_bit_is_noticed_whichever_it_is(sheet: Path) -> None:
    content = sheet.read_bytes()
    line = len(lines(sheet)[0])
    for place in range(line - 1):  # the whole first line, but its end
        for bit in range(8):
            flipped = bytearray(content)
            flipped[place] ^= 1 << bit
            if flipped[place] in b"\n":
                continue
            sheet.write_bytes(flipped)
            found, troubles = read(sheet)
            assert found == without(1)
            assert [trouble.line for trouble in troubles] == [1]


def test_a_hand_edit_is_set_aside_and_told_with_its_line(sheet: Path) -> None:
    edited = sheet.read_bytes().replace(b'"grams":401', b'"grams":410')
    sheet.write_bytes(edited)
    found, (trouble,) = read(sheet)
    assert found == without(2)
    assert (trouble.path, trouble.line) == (SHEET, 2)
    assert trouble.what.startswith("line 2 was changed after it was written")
    assert b"410" in trouble.line_text
    assert sheet.read_bytes() == edited, "reading changes nothing"


def test_a_line_put_behind_ones_own_saves_is_told_with_its_number(tmp_path: Path) -> None:
    sheets = Sheets(tmp_path, "rack")
    assert sheets.read() == []
    sheets.append(save(0), FIRST_DAY)
    sheets.append(save(10, 3), FIRST_DAY)
    with (tmp_path / SHEET).open("ab") as file:
        file.write(b"hello\n")
    assert sheets.news() == []
    (trouble,) = sheets.troubles
    assert (trouble.line, trouble.line_text) == (5, b"hello")


def test_a_damaged_line_within_a_save_does_not_take_the_others_with_it(sheet: Path) -> None:
    sheet.write_bytes(sheet.read_bytes().replace(b"ak-000011", b"ak-0000x1"))
    found, troubles = read(sheet)
    assert found == without(4)
    assert [trouble.line for trouble in troubles] == [4]


@pytest.mark.parametrize("spoiled", range(6))
def test_a_foreign_line_is_told_and_the_others_count(sheet: Path, spoiled: int) -> None:
    foreign = [
        b"<<<<<<< other\n",
        b'{"kind":"weighed","id":"1","at":"2026-03-10T08:00:00+01:00","by":"X","about":"animal/wattle","grams":1}\n',
        b"\xff\xfe\x00broken \x80 text\n",
        b'["a","list"]\n',
        b"[" * 100_000 + b"\n",
        b'{"kind":' * 50_000 + b"\n",
    ]
    there = lines(sheet)
    sheet.write_bytes(b"".join([*there[:2], foreign[spoiled], *there[2:]]))
    found, (trouble,) = read(sheet)
    assert found == ids(WHOLE)
    assert trouble.line == 3
    assert "is no entry of ours" in trouble.what
    assert len(trouble.line_text) <= 4096


def test_a_thousand_bad_lines_in_a_row_are_told_once(sheet: Path) -> None:
    with sheet.open("ab") as file:
        file.write(b"garbage\n" * 1_000)
    found, (trouble,) = read(sheet)
    assert found == ids(WHOLE)
    assert trouble.what.startswith("lines 7 to 1006: each is no entry of ours")


def test_a_byte_order_mark_and_other_line_ends_are_read_through(sheet: Path) -> None:
    sheet.write_bytes(b"\xef\xbb\xbf" + sheet.read_bytes().replace(b"\n", b"\r\n"))
    found, (trouble,) = read(sheet)
    assert found == ids(WHOLE)
    assert "a byte-order mark and line ends of another system" in trouble.what
    assert trouble.line == 0


def test_empty_lines_and_a_lost_last_newline_are_nothing_to_tell(sheet: Path) -> None:
    sheet.write_bytes(sheet.read_bytes().replace(b"\n", b"\n\n").rstrip(b"\n"))
    assert read(sheet) == (ids(WHOLE), [])


def test_a_run_of_empty_bytes_is_told_and_what_follows_it_counts(sheet: Path) -> None:
    there = lines(sheet)
    sheet.write_bytes(b"".join([*there[:2], bytes(500), *there[2:]]))
    found, (trouble,) = read(sheet)
    assert found == ids(WHOLE)
    assert "empty bytes before a line" in trouble.what
    sheet.write_bytes(b"".join([*there[:2], bytes(500), b"\n", *there[2:]]))
    found, (trouble,) = read(sheet)
    assert found == ids(WHOLE)
    assert "line 3 holds only empty bytes" in trouble.what


def test_a_sheet_cut_anywhere_gives_its_whole_saves(sheet: Path) -> None:
    content = sheet.read_bytes()
    ends = {0: 0}
    reached = 0
    for number, line in enumerate(lines(sheet), 1):
        reached += len(line)
        if rows.more_after(line.rstrip(b"\n")) == 0:
            ends[reached - 1] = ends[reached] = number
    for length in range(len(content) + 1):
        sheet.write_bytes(content[:length])
        whole = max(number for end, number in ends.items() if end <= length)
        found, troubles = read(sheet)
        assert found == ids(WHOLE[:whole])
        assert len(troubles) == (0 if length in ends else 1)
        if troubles:
            assert troubles[0].line == whole + 1
            assert "save that was not finished" in troubles[0].what


def test_an_entry_of_a_newer_version_stays_in_the_sheet_and_is_told(sheet: Path) -> None:
    newer = b'{"kind":"sung_to","id":"ak-9","at":"2026-03-10T08:00:00+01:00","by":"AK","about":"animal/wattle"'
    with sheet.open("ab") as file:
        file.write(checked(newer))
    content = sheet.read_bytes()
    found, (trouble,) = read(sheet)
    assert found == ids(WHOLE)
    assert (
        "line 7 is of a kind this version does not know ('sung_to'): it was written by a newer one" in trouble.what
    )
    writer = Sheets(sheet.parents[2], "rack")
    writer.append(save(30), FIRST_DAY)
    assert sheet.read_bytes().startswith(content), "nothing is cut"


def test_a_newer_versions_further_member_does_not_hide_the_entry(sheet: Path) -> None:
    more = b'{"kind":"watered","id":"ak-9","at":"2026-03-10T08:00:00+01:00","by":"AK","about":"enclosure/b3","ph":7'
    with sheet.open("ab") as file:
        file.write(checked(more))
    assert read(sheet) == (sorted([*ids(WHOLE), "ak-9"]), [])


@pytest.mark.parametrize(
    ("about", "told"),
    [("animal/../../etc", "'animal/../../etc'"), ("\\u001b[2J", "'\\x1b[2J'"), ("", "'(nothing)'")],
)
def test_a_subject_that_is_none_of_ours_is_told_and_does_not_count(sheet: Path, about: str, told: str) -> None:
    line = f'{{"kind":"noted","id":"x","at":"2026-03-10T08:00:00+01:00","by":"AK","about":"{about}","note":"n"'
    moved = (
        '{"kind":"moved","id":"y","at":"2026-03-10T08:00:00+01:00","by":"AK","about":"animal/wattle","to":"/etc"'
    )
    with sheet.open("ab") as file:
        file.write(checked(line.encode()) + checked(moved.encode()))
    found, troubles = read(sheet)
    assert found == ids(WHOLE)
    assert [trouble.line for trouble in troubles] == [7, 8]
    assert f"line 7 names {told}, which is no subject of ours" in troubles[0].what
    assert "\x1b" not in troubles[0].what


def test_a_known_kind_with_a_value_this_version_cannot_hold_is_told(sheet: Path) -> None:
    line = (
        b'{"kind":"weighed","id":"x","at":"2026-03-10T08:00:00+01:00","by":"AK","about":"animal/wattle","grams":-1'
    )
    with sheet.open("ab") as file:
        file.write(checked(line))
    found, (trouble,) = read(sheet)
    assert found == ids(WHOLE)
    assert "line 7 cannot be read by this version (weighed, grams" in trouble.what


@pytest.mark.parametrize(
    "name",
    [
        "2026-03-10.rack (conflicted copy 2026-03-11).jsonl",
        "2026-03-10.rack.conflict-20260311-081500.jsonl",
        "2026-03-10.rack.jsonl.old.jsonl",
        "copy.jsonl",
    ],
)
def test_a_copy_by_a_sync_program_is_told_and_its_entries_count_once(sheet: Path, name: str) -> None:
    sheet.with_name(name).write_bytes(sheet.read_bytes() + rows.line_of(entry(40)) + b"\n")
    found, (trouble,) = read(sheet)
    assert found == ids([*WHOLE, entry(40)])
    assert (trouble.path, trouble.line) == (f"sheets/2026/{name}", 0)
    assert "copy" in trouble.what


def test_a_sheet_that_holds_everything_twice_counts_once(sheet: Path) -> None:
    sheet.write_bytes(sheet.read_bytes() * 2)
    found, (trouble,) = read(sheet)
    assert found == ids(WHOLE)
    assert "6 of its entries stand on the sheets twice; each counts once" in trouble.what


def test_two_entries_of_one_id_that_differ_are_told(sheet: Path) -> None:
    with sheet.open("ab") as file:
        file.write(rows.line_of(entry(1, note="another")) + b"\n")
    found, (trouble,) = read(sheet)
    assert found == ids(WHOLE)
    assert "the entry 'ak-000001' says something else" in trouble.what


def test_a_line_missing_within_a_save_is_found_by_a_thorough_look(sheet: Path) -> None:
    there = lines(sheet)
    del there[3]
    sheet.write_bytes(b"".join(there))
    assert read(sheet)[0] == without(4)
    (trouble,) = Sheets(sheet.parents[2], "reader").look_over()
    assert trouble.line == 4
    assert "lines of a save are missing" in trouble.what


@pytest.mark.parametrize(
    ("put", "told"),
    [
        (lambda path: path.mkdir(), "is no file"),
        (lambda path: os.mkfifo(path), "is no file"),
        (lambda path: path.symlink_to("2026-03-10.rack.jsonl"), "is a link"),
        (lambda path: path.symlink_to("/nowhere"), "is a link"),
        (lambda path: path.symlink_to(path.name), "is a link"),
    ],
    ids=["folder", "pipe", "link", "dead link", "link to itself"],
)
def test_what_is_no_file_is_told_and_the_rest_is_read(sheet: Path, put: Callable[[Path], None], told: str) -> None:
    path = sheet.with_name("2026-03-11.rack.jsonl")
    put(path)
    found, (trouble,) = read(sheet)
    assert found == ids(WHOLE)
    assert trouble.path == "sheets/2026/2026-03-11.rack.jsonl"
    assert told in trouble.what
    Sheets(sheet.parents[2], "rack").append(save(50), SECOND_DAY)
    assert read(sheet)[0] == ids([*WHOLE, *save(50)])


def test_a_sheet_that_cannot_be_opened_is_told_and_read_once_it_can(sheet: Path) -> None:
    locked = [True]

    def before(name: str, _path: str) -> None:
        if locked[0] and name == "open":
            raise PermissionError(13, "Permission denied")

    sheets = Sheets(sheet.parents[2], "reader", HookedDisk(str(sheet.parents[2]), before))
    assert sheets.read() == []
    (trouble,) = sheets.troubles
    assert trouble.what == f"{SHEET} cannot be read (Permission denied); its entries do not count now."
    locked[0] = False
    assert ids(sheets.news()) == ids(WHOLE)
    assert sheets.troubles == []


def test_where_the_disk_is_worn_out_the_rest_of_the_sheet_is_read(sheet: Path) -> None:
    Sheets(sheet.parents[2], "rack").append(save(100, 200), FIRST_DAY)

    class Worn(HookedDisk):
        def read(self, handle: int, size: int, offset: int) -> bytes:
            if offset <= 8_192 < offset + size:
                raise OSError(5, "Input/output error")
            return super().read(handle, size, offset)

    sheets = Sheets(sheet.parents[2], "reader", Worn(str(sheet.parents[2]), lambda *_: None))
    found = set(ids(sheets.read()))
    gone = set(ids([*WHOLE, *save(100, 200)])) - found
    assert 15 < len(gone) < 40, "about one block of 4096 bytes"
    assert sheets.troubles


def test_a_folder_that_cannot_be_looked_into_is_told(sheet: Path) -> None:
    def before(name: str, path: str) -> None:
        if name == "list" and path == "sheets/2026":
            raise PermissionError(13, "Permission denied")

    sheets = Sheets(sheet.parents[2], "reader", HookedDisk(str(sheet.parents[2]), before))
    assert sheets.read() == []
    assert [trouble.what for trouble in sheets.troubles] == [
        "sheets/2026 cannot be looked into (Permission denied); the sheets in it do not count now."
    ]


def test_a_file_in_place_of_the_sheets_folder_is_told(tmp_path: Path) -> None:
    (tmp_path / "sheets").write_text("hello")
    sheets = Sheets(tmp_path, "rack")
    assert sheets.read() == []
    assert "should be a folder" in sheets.troubles[0].what


def test_a_file_name_that_would_move_the_cursor_is_shown_as_text(sheet: Path) -> None:
    name = os.fsdecode(b"\x1b[2J\xff\n2026.jsonl")
    sheet.with_name(name).write_bytes(b"")
    found, (trouble,) = read(sheet)
    assert found == ids(WHOLE)
    assert trouble.path == "sheets/2026/\\x1b[2J\\xff\\n2026.jsonl"
    assert trouble.what.isprintable()


def test_files_of_other_names_are_passed_over(sheet: Path) -> None:
    for name in ("note.txt", ".2026-03-10.rack.jsonl.x7Yz", "2026-03-10.rack.jsonl.part", "2026-03-10.rack.jsonl~"):
        sheet.with_name(name).write_text("{}\n")
    assert read(sheet) == (ids(WHOLE), [])


# A desk's own torn end, found when it next writes


def test_an_own_torn_end_is_put_aside_and_cut_before_the_next_save(sheet: Path) -> None:
    content = sheet.read_bytes()
    torn = rows.line_of(entry(30), more=1) + b"\n" + rows.line_of(entry(31))[:50]
    sheet.write_bytes(content + torn)
    sheets = Sheets(sheet.parents[2], "rack")
    assert ids(sheets.read()) == ids(WHOLE)
    sheets.append(save(40), FIRST_DAY)
    assert sheet.read_bytes() == content + rows.line_of(entry(40)) + b"\n"
    aside = sheet.parents[1] / f"aside/2026-03-10.rack.torn-at-{len(content)}"
    assert aside.read_bytes() == torn
    assert any(str(aside.relative_to(sheet.parents[2])) in trouble.what for trouble in sheets.troubles)
    assert read(sheet) == (ids([*WHOLE, entry(40)]), [])


def test_another_desks_torn_end_is_told_and_left(sheet: Path) -> None:
    torn = sheet.read_bytes() + b'{"kind":"wat'
    sheet.write_bytes(torn)
    shelf = Sheets(sheet.parents[2], "shelf")
    shelf.read()
    shelf.append(save(50, by="EM"), FIRST_DAY)
    assert sheet.read_bytes() == torn
    assert [trouble.line for trouble in shelf.troubles] == [7]
    assert not (sheet.parents[1] / "aside").exists()


def test_an_own_sheet_that_ends_in_something_else_is_left_and_the_desk_goes_on_beside_it(sheet: Path) -> None:
    for end in (b"hello\n", rows.line_of(entry(30), more=1) + b"\n" + b"hello\n"):
        content = sheet.read_bytes() + end
        sheet.write_bytes(content)
        Sheets(sheet.parents[2], "rack").append(save(40), FIRST_DAY)
        assert sheet.read_bytes() == content
        part = sheet.with_name("2026-03-10.rack.2.jsonl")
        assert part.read_bytes() == rows.line_of(entry(40)) + b"\n"
        part.unlink()


def test_a_lost_last_newline_is_put_back_by_the_next_save(sheet: Path) -> None:
    content = sheet.read_bytes()
    sheet.write_bytes(content[:-1])
    Sheets(sheet.parents[2], "rack").append(save(40), FIRST_DAY)
    assert sheet.read_bytes() == content + rows.line_of(entry(40)) + b"\n"


def checked(body: bytes) -> bytes:
    """A line with its check, whatever it says."""
    from zlib import crc32

    return body + b',"crc":"%08x"}\n' % crc32(body)
