"""A sheet that is put back as it was counts as it is put back, at a start and in a running app."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from rounds.cache.cache import Cache
from rounds.desk.colony_file import load
from rounds.desk.desk import Desk
from rounds.sheets import watch
from rounds.sheets.store import Sheets
from tests.desks.laptops import Clock, colony, laptop, weight, weights
from tests.desks.test_restore import rounds

NOW = "2026-04-12 18:00"
SHEET = Path("sheets/2026/2026-04-10.rack.jsonl")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Wattle weighed 392 g two days ago, and a sheet of another desk since."""
    made = colony(tmp_path / "colony")
    laptop(made, "2026-04-10 08:00").record(weight("wattle", 392))
    laptop(made, "2026-04-11 08:00", "office", "EM").record(weight("sedge", 380))
    return made


def started(folder: Path, *, at_once: bool = False, name: str = "rack") -> Desk:
    """A desk that goes on from what it knew, as `rounds` opens it."""
    desk = Desk(folder, load(folder), Sheets(folder, name), clock=Clock(NOW), keeper="AK", cache=Cache(folder))
    if not desk.load_from_cache(at_once=at_once):
        desk.read()
    return desk


def listened(desk: Desk) -> None:
    """Some looks at the folder; when all is to be read again, it is."""
    for _ in range(12):
        desk.news()
        if desk.is_stale:
            desk.read()


def flipped(sheet: Path) -> None:
    """392 becomes 384 on the disk, and neither size nor time tells."""
    before = sheet.stat()
    content = sheet.read_bytes()
    with sheet.open("r+b") as out:
        out.write(content.replace(b"392.0", b"384.0"))
    os.utime(sheet, ns=(before.st_atime_ns, before.st_mtime_ns))
    assert sheet.stat().st_size == before.st_size


def put_back(backup: Path, sheet: Path) -> None:
    """`cp -a`: the same file, with the size and the time it had."""
    with sheet.open("r+b") as out:
        out.write(backup.read_bytes())
        out.truncate()
    times = backup.stat()
    os.utime(sheet, ns=(times.st_atime_ns, times.st_mtime_ns))


@pytest.mark.parametrize("kept_between", [True, False])
def test_a_sheet_with_a_flipped_byte_counts_again_at_the_next_start_once_it_is_put_back(
    folder: Path, tmp_path: Path, kept_between: bool
) -> None:
    shutil.copytree(folder, tmp_path / "backup")
    assert started(folder).keep()
    flipped(folder / SHEET)
    damaged = started(folder)
    assert weights(damaged, "wattle") == []
    assert [trouble.line for trouble in damaged.troubles] == [1]
    assert rounds(folder, "check")[0] == 1
    if kept_between:
        assert damaged.keep()
        again = started(folder)
        assert (weights(again, "wattle"), len(again.troubles)) == ([], 1), "the trouble is told at each start"
    put_back(tmp_path / "backup" / SHEET, folder / SHEET)
    restored = started(folder)
    assert weights(restored, "wattle") == [392]
    assert list(restored.troubles) == []
    assert "DAMAGED" not in rounds(folder, "check")[1]
    assert restored.standing.digest() == laptop(folder, NOW).standing.digest()


@pytest.mark.parametrize("harm", [flipped, lambda sheet: os.truncate(sheet, 60)])
def test_a_running_desk_notices_the_flipped_byte_and_the_sheet_put_back(
    folder: Path, tmp_path: Path, harm: Callable[[Path], None], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(watch, "_SETTLED_NS", -1)  # nothing but its own look tells it
    shutil.copytree(folder, tmp_path / "backup")
    running = started(folder)
    listened(running)
    harm(folder / SHEET)
    listened(running)
    assert weights(running, "wattle") == []
    assert len(running.troubles) == 1
    put_back(tmp_path / "backup" / SHEET, folder / SHEET)
    listened(running)
    assert weights(running, "wattle") == [392]
    assert list(running.troubles) == []
    assert running.standing.digest() == laptop(folder, NOW).standing.digest()


def test_a_disk_that_turns_a_bit_and_keeps_every_time_is_found_out_in_turn(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    running = started(folder)
    listened(running)
    monkeypatch.setattr(watch.Mark, "is_of", lambda *_: True)
    flipped(folder / SHEET)
    listened(running)
    assert weights(running, "wattle") == []
    assert [trouble.line for trouble in running.troubles] == [1]


def test_a_sheet_renamed_over_by_one_of_equal_size_and_time_is_read_again(folder: Path) -> None:
    assert started(folder).keep()
    sheet = folder / SHEET
    other = sheet.with_name("other")
    shutil.copy2(sheet, other)
    flipped(other)
    other.rename(sheet)
    assert weights(started(folder), "wattle") == []


def test_a_whole_folder_put_back_over_a_damaged_one_counts_as_it_is_put_back(folder: Path, tmp_path: Path) -> None:
    shutil.copytree(folder, tmp_path / "backup")
    for sheet in folder.rglob("*.jsonl"):
        sheet.write_bytes(sheet.read_bytes().replace(b"kind", b"kimd"))
    hurt = started(folder)
    assert hurt.standing.subjects("animal") == []
    assert hurt.keep()
    for sheet in (tmp_path / "backup").rglob("*.jsonl"):
        put_back(sheet, folder / sheet.relative_to(tmp_path / "backup"))
    assert started(folder).standing.digest() == laptop(folder, NOW).standing.digest()
    assert weights(started(folder), "wattle") == [392]


def test_a_first_look_at_once_does_not_trust_an_end_that_is_not_as_it_was(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert started(folder).keep()
    monkeypatch.setattr(watch.Mark, "fits", lambda *_: True)
    assert not started(folder, at_once=True).is_stale
    sheet = folder / SHEET
    before = sheet.stat()
    with sheet.open("r+b") as out:
        # Another letter of its checksum, whichever stood there.
        out.seek(-5, os.SEEK_END)
        stood = out.read(1)
        out.seek(-5, os.SEEK_END)
        out.write(b"1" if stood == b"0" else b"0")
    os.utime(sheet, ns=(before.st_atime_ns, before.st_mtime_ns))
    assert weights(started(folder, at_once=True), "wattle") == []
