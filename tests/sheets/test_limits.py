"""How large things may be: what is written stays below what every reader takes, and nothing large stops a save."""

from __future__ import annotations

import os
import tracemalloc
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rounds.errors import BadEntry
from rounds.logbook import rows
from rounds.logbook.entries import TakenOver
from rounds.sheets import limits
from rounds.sheets.disk import Disk
from rounds.sheets.history import Shelf
from rounds.sheets.store import Sheets
from rounds.sheets.watch import name_of, sheet_path
from tests.sheets.memory_disk import File, MemoryDisk
from tests.sheets.saves import FIRST_DAY, NOWHERE, entry, ids, moment, read_back, save

SHEET = sheet_path(FIRST_DAY, "rack")


def parts(folder: Path) -> list[str]:
    return sorted(path.name.removeprefix("2026-03-10.") for path in folder.rglob("*.jsonl"))


def test_whatever_is_written_is_below_what_every_reader_takes() -> None:
    assert limits.LINE * 2 <= limits.LONGEST_LINE
    assert limits.SAVE_LINES < 10**limits.MORE_DIGITS
    assert limits.SAVE + 2 * limits.LINE <= limits.LAST_LOOK
    # What was lost is written again ahead of the save, in a part of its own.
    assert limits.PART + limits.PART + limits.SAVE <= limits.AT_ONCE
    assert limits.SAVE <= limits.PART
    assert limits.PARTS < 10**limits.PART_DIGITS
    assert limits.LONGEST_LINE < limits.BLOCK
    assert name_of(sheet_path(FIRST_DAY, "rack", limits.PARTS)) is not None
    last = rows.line_of(entry(1), limits.SAVE_LINES - 1)
    assert rows.more_after(last) == limits.SAVE_LINES - 1


def test_a_part_that_is_full_is_gone_on_with_in_another_and_all_counts(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(limits, "PART", 2_000)
    rack = Sheets(tmp_path, "rack")
    for number in range(30):
        rack.append(save(10 * number, 2), FIRST_DAY)
    assert len(parts(tmp_path)) > 3
    assert all(path.stat().st_size <= limits.PART for path in tmp_path.rglob("*.jsonl"))
    rack.close()
    again = Sheets(tmp_path, "rack")
    again.append(save(900), FIRST_DAY)
    reader = Sheets(tmp_path, "reader")
    assert ids(reader.read()) == ids([*(one for number in range(30) for one in save(10 * number, 2)), *save(900)])
    assert reader.troubles == []


def test_a_save_larger_than_a_part_is_left_alone_is_written_into_a_part_of_its_own(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(limits, "PART", 500)
    rack = Sheets(tmp_path, "rack")
    rack.append(save(0, 6), FIRST_DAY)
    rack.append(save(10), FIRST_DAY)
    assert parts(tmp_path) == ["rack.2.jsonl", "rack.jsonl"]
    assert ids(Sheets(tmp_path, "reader").read()) == ids([*save(0, 6), *save(10)])


@pytest.mark.parametrize(
    ("many", "matters", "said"),
    [(limits.SAVE_LINES + 1, (), "too much for one save"), (1, ("x" * limits.LINE,), "an entry takes 2 MiB")],
)
def test_a_save_that_is_too_large_is_refused_with_a_sentence_and_nothing_of_it_is_written(
    tmp_path: Path, many: int, matters: tuple[str, ...], said: str
) -> None:
    rack = Sheets(tmp_path, "rack")
    large = [
        TakenOver(id=f"n{number}", at=moment(0), by="AK", about="room", matters=matters) for number in range(many)
    ]
    with pytest.raises(BadEntry, match=said):
        rack.append(large, FIRST_DAY)
    assert parts(tmp_path) == []
    rack.append(save(1), FIRST_DAY)


@pytest.mark.parametrize("while_open", [True, False])
def test_a_huge_file_in_place_of_the_open_sheet_is_left_alone_and_costs_no_memory(
    tmp_path: Path, while_open: bool
) -> None:
    rack = Sheets(tmp_path, "rack")
    rack.append(save(0, 3), FIRST_DAY)
    sheet = tmp_path / SHEET
    if while_open:
        other = sheet.with_name("other")
        other.touch()
        os.truncate(other, 1_000_000_000)
        other.rename(sheet)
    else:
        rack.close()
        os.truncate(sheet, 1_000_000_000)
        rack = Sheets(tmp_path, "rack")
    tracemalloc.start()
    rack.append(save(10), FIRST_DAY)
    _, most = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert most < 20 << 20
    assert sheet.stat().st_size == 1_000_000_000, "it is left as it is"
    (other,) = (path for path in tmp_path.rglob("*.jsonl") if path != sheet)
    assert other.read_bytes().count(b"\n") == (4 if while_open else 1), "what it took the place of is saved again"


def test_a_sheet_too_large_to_be_read_at_one_go_is_read_in_blocks(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    rack = Sheets(tmp_path, "rack")
    written = [one for number in range(60) for one in rack.append(save(10 * number, 1 + number % 4), FIRST_DAY)]
    monkeypatch.setattr(limits, "AT_ONCE", 1_000)
    for block in (300, 700, 1_500, 100_000):
        monkeypatch.setattr(limits, "BLOCK", block)
        reader = Sheets(tmp_path, "reader")
        assert reader.read() == written
        assert reader.troubles == []
        rack.append(save(9_000 + block), FIRST_DAY)
        written += save(9_000 + block)
        assert reader.news() == save(9_000 + block)
        later = Sheets(tmp_path, "later")
        assert later.resume(reader.marks())
        assert later.news() == []
        found = list(Shelf(Disk(str(tmp_path))).about("animal/wattle"))
        assert ids(found) == ids(one for one in written if one.about == "animal/wattle")


def test_of_a_huge_run_of_empty_bytes_behind_a_sheet_little_is_read(tmp_path: Path) -> None:
    rack = Sheets(tmp_path, "rack")
    rack.append(save(0, 3), FIRST_DAY)
    rack.close()
    sheet = tmp_path / SHEET
    os.truncate(sheet, 1_000_000_000)
    reader = Sheets(tmp_path, "reader")
    tracemalloc.start()
    assert reader.read() == save(0, 3)
    assert reader.news() == []
    _, most = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert most < 100 << 20
    assert [(trouble.line, "Nothing from there on is read" in trouble.what) for trouble in reader.troubles] == [
        (4, True)
    ]


@settings(max_examples=60)
@given(st.integers(0, 4_000), st.binary(max_size=3), st.sampled_from([200, 900, 5_000]))
def test_reading_in_blocks_finds_what_reading_at_one_go_finds(place: int, put: bytes, block: int) -> None:
    disk = MemoryDisk()
    rack = Sheets(NOWHERE, "rack", disk)
    for number in range(12):
        rack.append(save(10 * number, 1 + number % 3), FIRST_DAY)
    file = disk.files[SHEET]
    place = min(place, len(file.content))
    if 0 < place < 200:
        place = 0  # it still begins as a sheet
    file.content = file.content[:place] + put + file.content[place:]
    at_one_go = Shelf(disk).reading(SHEET)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(limits, "AT_ONCE", 10)
        patch.setattr(limits, "BLOCK", block)
        patch.setattr(limits, "LONGEST_LINE", 4_000)
        in_blocks = Shelf(disk).reading(SHEET)
    if in_blocks.troubles and "does not begin as one" in in_blocks.troubles[0].what:
        assert place == 0
        return
    assert ids(in_blocks.entries) == ids(at_one_go.entries)
    assert (in_blocks.end, in_blocks.lines) == (at_one_go.end, at_one_go.lines)
    assert (in_blocks.unfinished is None) == (at_one_go.unfinished is None)


# One rule for the last line, for reading and for appending


def _line(number: int, more: int = 0) -> bytes:
    return rows.line_of(entry(number), more)


ENDS = st.lists(
    st.one_of(
        st.binary(max_size=6),
        st.sampled_from([b"\n", b"\r\n", b"\0\0", b" ", b"\xef\xbb\xbf", b"{}", b"\r", b"\n\n"]),
        st.builds(_line, st.integers(100, 130), st.integers(0, 2)),
        st.builds(
            lambda number, more, at: _line(number, more)[:at] + b"~" + _line(number, more)[at + 1 :],
            st.integers(100, 130),
            st.integers(0, 2),
            st.integers(1, 60),
        ),
        st.builds(lambda number, at: _line(number)[:at], st.integers(100, 130), st.integers(1, 120)),
    ),
    max_size=7,
).map(b"".join)


@settings(max_examples=400)
@given(ENDS)
def test_what_counts_before_a_save_counts_after_it_and_nothing_is_cut_that_is_not_kept(end: bytes) -> None:
    disk = MemoryDisk()
    rack = Sheets(NOWHERE, "rack", disk)
    rack.append(save(0, 2), FIRST_DAY)
    rack.close()
    file: File = disk.files[SHEET]
    file.content += end
    found = file.content
    before = ids(read_back(disk))
    Sheets(NOWHERE, "rack", disk).append(save(900), FIRST_DAY)
    assert ids(one for one in read_back(disk) if one.id != save(900)[0].id) == before
    kept = b"".join(file.content for path, file in disk.files.items() if "aside" in path)
    here = disk.files[SHEET].content
    cut = len(found) - len(kept)
    assert here.startswith(found[:cut])
    assert found[cut:] == kept


def test_a_damaged_last_line_without_its_newline_stays_and_the_save_it_ends_goes_on_counting(
    tmp_path: Path,
) -> None:
    rack = Sheets(tmp_path, "rack")
    rack.append(save(0, 3), FIRST_DAY)
    rack.close()
    sheet = tmp_path / SHEET
    content = sheet.read_bytes()
    sheet.write_bytes(content[:-1].replace(b"note 2", b"nope 2"))
    before = Sheets(tmp_path, "reader")
    assert ids(before.read()) == ids(save(0, 2))
    Sheets(tmp_path, "rack").append(save(10), FIRST_DAY)
    after = Sheets(tmp_path, "reader")
    assert ids(after.read()) == ids([*save(0, 2), *save(10)])
    assert after.troubles == before.troubles
    assert not (tmp_path / "sheets/aside").exists()
