"""Whatever bytes stand in a sheet, reading it gives entries that were written there, and never an error."""

from __future__ import annotations

import random
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from rounds.logbook import rows
from rounds.logbook.entries import Entry
from rounds.sheets.open_sheet import last_save
from rounds.sheets.parse import line_by_line, read_sheet
from rounds.sheets.store import Sheets
from tests.conftest import RecordFigure
from tests.sheets.memory_disk import File, MemoryDisk
from tests.sheets.saves import NOWHERE, entry

ENTRIES = [entry(number, note="" if number % 4 else "nött\n\x1b[1m") for number in range(12)]
MORE = (0, 2, 1, 0, 0, 1, 0, 0, 3, 2, 1, 0)
LINES = [rows.line_of(one, more) for one, more in zip(ENTRIES, MORE, strict=True)]
SHEET = b"".join(line + b"\n" for line in LINES)
PIECES = (
    b"\n",
    b"\r\n",
    b"\0" * 7,
    b"\xef\xbb\xbf",
    b'"',
    b"}",
    b"{",
    b"\xff",
    b'"crc":"',
    b',"more":9',
    b"\\u0000",
    b"[",
)


def mutated(rng: random.Random) -> bytes:
    """The sheet with one to four changes such as disks, editors, sync programs and people make."""
    content = bytearray(SHEET)
    for _ in range(rng.randint(1, 4)):
        place = rng.randrange(len(content) + 1)
        stop = min(len(content), place + rng.choice((1, 1, 3, 40, 400)))
        change = rng.randrange(8)
        if change == 0 and place < len(content):
            content[place] ^= 1 << rng.randrange(8)
        elif change == 1:
            del content[place:stop]
        elif change == 2:
            content[place:place] = rng.choice(PIECES)
        elif change == 3:
            content[place:stop] = bytes(stop - place)
        elif change == 4:
            content[place:place] = content[place:stop]
        elif change == 5:
            del content[place:]
        elif change == 6:
            content[place:stop] = rng.randbytes(stop - place)
        else:
            other = rng.randrange(len(content) + 1)
            content[place:place] = content[other : other + rng.choice((5, 150, 1_000))]
    return bytes(content)


def held(content: bytes) -> None:
    """What has to hold of any bytes whatever."""
    reading = read_sheet("sheet", content)
    slow = line_by_line("sheet", content)
    assert reading.entries == slow.entries, "looking closer finds the same entries"
    written = set(LINES)
    by_id = {one.id: one for one in ENTRIES}
    assert all(by_id.get(one.id) == one for one in reading.entries), "nothing is made up"
    assert 0 <= reading.end <= len(content)
    again = read_sheet("sheet", content[: reading.end]).entries
    assert again == reading.entries[: len(again)]
    assert all(trouble.what.isprintable() and trouble.line <= content.count(b"\n") + 1 for trouble in slow.troubles)
    # Every line that is as it was written counts, but for a save at the end that is not finished.
    finished = content
    if slow.unfinished is not None:
        finished = b"\n".join(content.split(b"\n")[: slow.unfinished.line - 1])
    intact = [line.removesuffix(b"\r") for line in finished.split(b"\n") if line.removesuffix(b"\r") in written]
    counted: list[Entry] = list(reading.entries)
    for line in intact:
        assert rows.entry_of(line) in counted


def test_a_sheet_changed_at_random_never_makes_up_loses_or_stops(record_figure: RecordFigure) -> None:
    rng = random.Random(20260310)
    inputs = 6_000
    for _ in range(inputs):
        held(mutated(rng))
    record_figure(
        "fuzzed sheets, changed at random", f"{inputs} inputs, no error, nothing made up, no good line lost"
    )


@given(st.lists(st.one_of(st.binary(max_size=60), st.sampled_from(LINES), st.sampled_from(PIECES)), max_size=12))
@settings(max_examples=400, deadline=None)
def test_any_bytes_at_all_are_read(pieces: list[bytes]) -> None:
    held(b"\n".join(pieces))
    held(b"".join(pieces))


def test_whatever_an_own_sheet_ends_in_the_desk_goes_on_and_nothing_good_is_cut(
    record_figure: RecordFigure,
) -> None:
    rng = random.Random(7)
    inputs = 3_000
    path = "sheets/2026/2026-03-10.rack.jsonl"
    new = entry(99)
    for _ in range(inputs):
        content = mutated(rng)
        disk = MemoryDisk()
        disk.folders.update({"sheets": 1, "sheets/2026": 1})
        disk.files[path] = File(50)
        disk.files[path].content = content
        before = {one.id for one in Sheets(NOWHERE, "reader", disk).read()}
        Sheets(NOWHERE, "rack", disk).append([new], new.at.date())
        after = {one.id for one in Sheets(NOWHERE, "reader", disk).read()}
        assert after == before | {new.id}
        kept = disk.files[path].content
        aside = [file.content for name, file in disk.files.items() if "/aside/" in name]
        if aside:
            (cut_off,) = aside
            assert content.endswith(cut_off), "what was cut off is kept"
            content = content.removesuffix(cut_off)
        assert kept.startswith(content)
    record_figure("fuzzed ends of a desk's own sheet", f"{inputs} inputs, each gone on with, nothing good cut")


def test_the_end_of_a_long_sheet_is_found_from_behind(tmp_path: Path) -> None:
    sheets = Sheets(tmp_path, "rack")
    long = [entry(number, note="x" * 9_999) for number in range(40)]
    sheets.append(long, long[0].at.date())
    disk = MemoryDisk()
    disk.files["one"] = File(50)
    content = next(tmp_path.rglob("*.jsonl")).read_bytes()
    torn = b"".join(content.splitlines(keepends=True)[:-1]) + b"{"
    for end, expected in ((content, (len(content), False, b"")), (content + torn, (len(content), False, torn))):
        disk.files["one"].content = end
        handle = disk.open("one", 0)
        assert last_save(disk, handle, len(end)) == expected
