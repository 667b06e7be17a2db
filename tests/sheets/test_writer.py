"""What one desk's writer does when its sheet is moved, held elsewhere or kept away from it."""

from __future__ import annotations

import errno
from pathlib import Path

import pytest

from rounds.errors import NotSaved
from rounds.sheets.store import Sheets
from rounds.sheets.watch import sheet_path
from tests.sheets.memory_disk import MemoryDisk
from tests.sheets.saves import FIRST_DAY, NOWHERE, ids, read_back, save


def test_a_sheet_that_came_back_as_another_part_is_gone_on_with_and_nothing_is_saved_twice(tmp_path: Path) -> None:
    rack = Sheets(tmp_path, "rack")
    rack.append(save(0, 3), FIRST_DAY)
    first, second = (tmp_path / sheet_path(FIRST_DAY, "rack", part) for part in (1, 2))
    first.rename(second)
    rack.append(save(10), FIRST_DAY)
    lines = b"".join(file.read_bytes() for file in (tmp_path / "sheets").rglob("*.jsonl")).splitlines()
    assert len(lines) == 4
    assert ids(Sheets(tmp_path, "reader").read()) == ids([*save(0, 3), *save(10)])


def test_a_save_that_fails_is_not_owed_and_can_be_given_again(tmp_path: Path) -> None:
    rack = Sheets(tmp_path, "rack")
    rack.append(save(0), FIRST_DAY)
    moved = tmp_path.with_name(f"{tmp_path.name}-away")
    tmp_path.rename(moved)
    with pytest.raises(NotSaved):
        rack.append(save(10), FIRST_DAY)
    moved.rename(tmp_path)
    rack.append(save(10), FIRST_DAY)
    assert ids(Sheets(tmp_path, "reader").read()) == ids([*save(0), *save(10)])
    lines = b"".join(file.read_bytes() for file in (tmp_path / "sheets").rglob("*.jsonl")).splitlines()
    assert len(lines) == 2


def test_a_torn_end_is_told_of_the_whole_sheet_with_its_beginning(tmp_path: Path) -> None:
    rack = Sheets(tmp_path, "rack")
    rack.append(save(0), FIRST_DAY)
    rack.close()
    sheet = tmp_path / sheet_path(FIRST_DAY, "rack")
    torn = b'{"kind":"noted","note":"' + b"x" * 5000
    sheet.write_bytes(sheet.read_bytes() + torn)
    again = Sheets(tmp_path, "rack")
    again.append(save(10), FIRST_DAY)
    (trouble,) = again.troubles
    assert (trouble.path, trouble.line) == (sheet_path(FIRST_DAY, "rack"), 0)
    assert trouble.line_text == torn[:4096]


def test_a_write_that_failed_once_leaves_the_sheet_to_be_gone_on_with() -> None:
    full = [False]

    def before(name: str, _path: str) -> None:
        if name == "write" and full[0]:
            raise OSError(errno.ENOSPC, "No space left on device")

    disk = MemoryDisk(before)
    rack = Sheets(NOWHERE, "rack", disk)
    rack.append(save(0), FIRST_DAY)
    full[0] = True
    with pytest.raises(NotSaved):
        rack.append(save(10), FIRST_DAY)
    full[0] = False
    rack.append(save(10), FIRST_DAY)
    assert list(disk.contents()) == [sheet_path(FIRST_DAY, "rack")]
    assert ids(read_back(disk)) == ids([*save(0), *save(10)])


def test_what_an_earlier_run_saved_in_the_sheet_is_saved_again_too_when_it_is_taken_away(tmp_path: Path) -> None:
    earlier = Sheets(tmp_path, "rack")
    earlier.append(save(0, 3), FIRST_DAY)
    earlier.close()
    rack = Sheets(tmp_path, "rack")
    rack.append(save(10), FIRST_DAY)
    (tmp_path / sheet_path(FIRST_DAY, "rack")).unlink()
    rack.append(save(20), FIRST_DAY)
    assert ids(Sheets(tmp_path, "reader").read()) == ids([*save(0, 3), *save(10), *save(20)])
