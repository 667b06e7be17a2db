"""A history too long for one list: read sheet by sheet, gone on from, and given up when it is stale."""

from __future__ import annotations

import os
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest

from rounds.sheets.store import Sheets
from rounds.sheets.watch import marks_of
from tests.sheets.saves import FIRST_DAY, ids, save


@pytest.fixture
def colony(tmp_path: Path) -> Path:
    """Four days by two desks, and a copy of one sheet made by a sync program."""
    for number in range(4):
        day = FIRST_DAY + timedelta(days=number)
        Sheets(tmp_path, "rack").append(save(10 * number, 3), day)
        Sheets(tmp_path, "office").append(save(500 + 10 * number, 2, by="EM"), day)
    copied = (tmp_path / "sheets/2026/2026-03-11.rack.jsonl").read_bytes()
    (tmp_path / "sheets/2026/2026-03-11.rack (conflict).jsonl").write_bytes(copied)
    return tmp_path


def test_sheet_by_sheet_is_all_at_once(colony: Path) -> None:
    at_once, in_parts = Sheets(colony, "reader"), Sheets(colony, "reader")
    parts = list(in_parts.read_through())
    assert ids(entry for part in parts for entry in part.entries) == ids(at_once.read())
    assert [part.done for part in parts] == list(range(1, 10))
    assert {part.of for part in parts} == {9}
    assert [part.path[12:22] for part in parts] == sorted((part.path[12:22] for part in parts), reverse=True)
    assert in_parts.troubles == at_once.troubles
    assert in_parts.marks() == at_once.marks()
    assert in_parts.news() == []
    Sheets(colony, "rack").append(save(100, 2), FIRST_DAY)
    assert ids(in_parts.news()) == ids(save(100, 2))
    assert in_parts.is_verified


def test_restored_marks_are_verified_by_a_look_at_the_sheets(colony: Path) -> None:
    earlier = Sheets(colony, "reader")
    earlier.read()
    Sheets(colony, "rack").append(save(200), FIRST_DAY)
    later = Sheets(colony, "reader")
    later.restore(marks_of(earlier.marks()))
    verified = [later.is_verified, later.verify(), later.is_verified]
    assert verified == [False, True, True]
    assert ids(later.news()) == ids(save(200))


def changed_in_place(path: Path) -> None:
    with path.open("r+b") as sheet:
        sheet.write(b"{")
        sheet.seek(20)
        sheet.write(b"x")


def cut_short(path: Path) -> None:
    os.truncate(path, path.stat().st_size - 5)


@pytest.mark.parametrize("harm", [changed_in_place, cut_short, Path.unlink], ids=["changed", "cut", "gone"])
@pytest.mark.parametrize("sheet", ["2026-03-10.rack", "2026-03-13.office"])
def test_a_sheet_harmed_behind_its_mark_makes_what_was_read_stale(
    colony: Path, sheet: str, harm: Callable[[Path], None]
) -> None:
    path = colony / "sheets/2026" / f"{sheet}.jsonl"
    running = Sheets(colony, "reader")
    running.read()
    later = Sheets(colony, "reader")
    later.restore(marks_of(running.marks()))
    harm(path)
    assert not later.verify()
    assert not later.is_verified
    for _ in range(2):  # at the first look it may be just being copied
        running.news()
    verified = [running.is_verified]
    running.read()
    assert [*verified, running.is_verified] == [False, True]
