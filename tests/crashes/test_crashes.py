"""The power is cut at each instant of whole stories: what was acknowledged is there, and the program goes on."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path
from unittest import mock

import pytest

from tests.conftest import RecordFigure
from tests.crashes.disks import Disks, File
from tests.crashes.judge import Telling
from tests.crashes.record import NO_TIMES, Cut, FolderSynced, Named, Renamed, Synced, Wrote
from tests.crashes.stories import STORIES, Story

MEMORY = Path("/dev/shm")
#: Disks drawn an instant here; `python -m tests.crashes` draws more.
FEW = 2
#: A short story.
SAVES = next(story for story in STORIES if story.name == "saves of many lines")


@pytest.fixture
def home() -> Iterator[Path]:
    """A keeper's home folder, in memory where that can be had."""
    with tempfile.TemporaryDirectory(dir=MEMORY if MEMORY.is_dir() else None) as folder:
        yield Path(folder).resolve()


@pytest.fixture(scope="module")
def counted() -> list[int]:
    """Instants and crash points so far."""
    return [0, 0]


@pytest.mark.parametrize("story", STORIES, ids=[story.name for story in STORIES])
def test_whenever_the_power_is_cut_what_was_acknowledged_is_there_and_the_next_save_too(
    story: Story, home: Path, counted: list[int], record_figure: RecordFigure
) -> None:
    points = list(Telling(story, 1, home).points(FEW))
    again = f"python -m tests.crashes --story '{story.name}' --disks {FEW} --point"
    assert [f"{point.wrong}: {again} {point.instant}.{point.number}" for point in points if point.wrong] == []
    counted[0] += len({point.instant for point in points})
    counted[1] += len(points)
    record_figure("power cuts under whole stories", f"{counted[0]} instants, {counted[1]} crash points")


def test_a_program_that_does_not_sync_is_found_out(home: Path) -> None:
    with mock.patch("rounds.system.sync"):
        wrong = {point.wrong.partition(":")[0] for point in Telling(SAVES, 1, home).points(FEW) if point.wrong}
    assert "lost though acknowledged" in wrong


def test_a_program_that_does_not_sync_its_folders_is_found_out(home: Path) -> None:
    with mock.patch("rounds.system.sync_folder"):
        wrong = {point.wrong.partition(":")[0] for point in Telling(SAVES, 1, home).points(FEW) if point.wrong}
    assert "lost though acknowledged" in wrong


def test_of_what_is_not_synced_any_sector_may_be_there_and_the_size_before_the_bytes() -> None:
    file = File(b"a" * 300)
    file.change(Wrote(1, 300, b"b" * 600))
    found = file.all_contents()
    assert found is not None
    assert set(found) >= {
        b"a" * 300,
        b"a" * 300 + b"b" * 600,
        b"a" * 300 + b"\0" * 600,
        b"a" * 300 + b"\0" * 212 + b"b" * 388,
        b"a" * 300 + b"b" * 212 + b"\0" * 388,
        b"a" * 300 + b"b" * 212,
    }
    file.sync(failed=False)
    assert file.all_contents() == [b"a" * 300 + b"b" * 600]


def test_after_a_failed_sync_a_later_one_brings_nothing_down() -> None:
    file = File(b"")
    file.change(Wrote(1, 0, b"one"))
    file.sync(failed=True)
    file.change(Cut(1, 0))
    file.sync(failed=False)
    assert set(file.all_contents() or []) == {b"", b"one", b"\0\0\0"}


def test_a_name_is_certain_once_its_folder_is_synced_and_a_rename_may_come_before_the_content() -> None:
    disks = Disks({"sheets": 0, "sheets/day": 1}, {1: (b"old", NO_TIMES)})
    disks.take(Named("sheets/day.mending", 2))
    disks.take(Wrote(2, 0, b"new"))
    disks.take(Renamed("sheets/day.mending", "sheets/day", 2))

    def days() -> set[bytes]:
        return {disk.files["sheets/day"] for disk in disks.some(100, mock.Mock())}

    assert days() == {b"old", b"new", b"", b"\0\0\0"}
    disks.take(Synced(2))
    assert days() == {b"old", b"new"}
    disks.take(FolderSynced("sheets"))
    assert days() == {b"new"}


def test_what_lies_in_a_folder_without_a_name_is_lost_with_it() -> None:
    disks = Disks({}, {})
    disks.take(Named("sheets", 0))
    disks.take(Named("sheets/day", 1))
    disks.take(FolderSynced("sheets"))
    assert {frozenset(disk.files) for disk in disks.some(100, mock.Mock())} == {
        frozenset(),
        frozenset({"sheets/day"}),
    }
