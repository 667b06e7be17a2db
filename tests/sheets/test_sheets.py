"""A save is one whole, on one line an entry, on today's sheet of this desk; all sheets are read."""

from __future__ import annotations

import os
import shutil
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from rounds.errors import BadEntry, NotSaved
from rounds.logbook import rows
from rounds.logbook.entries import Weighed
from rounds.sheets.store import Sheets
from tests.notation import logbook
from tests.sheets.memory_disk import MemoryDisk
from tests.sheets.saves import FIRST_DAY, NOWHERE, SECOND_DAY, entry, ids, moment, save

SHEET = "sheets/2026/2026-03-10.rack.jsonl"


def test_an_entry_is_one_line_that_a_person_can_read(tmp_path: Path) -> None:
    entries = logbook("""
        2026-03-10 AK
        08:00  wattle  weighed  grams=452
    """)
    Sheets(tmp_path, "rack").append(entries, FIRST_DAY)
    assert (tmp_path / SHEET).read_text() == (
        '{"kind":"weighed","id":"20260310-00000","at":"2026-03-10T08:00:00+01:00","by":"AK",'
        '"about":"animal/wattle","grams":452.0,"crc":"c902deac"}\n'
    )


def test_lines_of_one_save_count_down_to_its_last(tmp_path: Path) -> None:
    Sheets(tmp_path, "rack").append(save(0, 3), FIRST_DAY)
    lines = (tmp_path / SHEET).read_bytes().splitlines()
    assert [rows.more_after(line) for line in lines] == [2, 1, 0]


def test_what_was_written_is_read_by_every_desk(tmp_path: Path) -> None:
    rack, shelf = Sheets(tmp_path, "rack"), Sheets(tmp_path, "shelf")
    rack.append(save(0, 3), FIRST_DAY)
    shelf.append(save(10, 2, by="EM"), FIRST_DAY)
    rack.append(save(20), SECOND_DAY)
    written = ids([*save(0, 3), *save(10, 2, by="EM"), *save(20)])
    assert ids(rack.read()) == ids(shelf.read()) == ids(Sheets(tmp_path, "reader").read()) == written
    assert sorted(path.name for path in (tmp_path / "sheets/2026").iterdir()) == [
        "2026-03-10.rack.jsonl",
        "2026-03-10.shelf.jsonl",
        "2026-03-11.rack.jsonl",
    ]


def test_a_desk_that_starts_again_goes_on_in_todays_sheet(tmp_path: Path) -> None:
    Sheets(tmp_path, "rack").append(save(0, 2), FIRST_DAY)
    Sheets(tmp_path, "rack").append(save(10), FIRST_DAY)
    assert len((tmp_path / SHEET).read_bytes().splitlines()) == 3


def test_yesterdays_sheet_is_not_opened_any_more() -> None:
    opened: list[str] = []
    disk = MemoryDisk(lambda name, path: opened.append(path) if name in ("open", "create") else None)
    sheets = Sheets(NOWHERE, "rack", disk)
    sheets.append(save(0, 2), FIRST_DAY)
    assert opened == [SHEET]
    opened.clear()
    for number in range(3):
        sheets.append(save(10 * number + 10), SECOND_DAY)
    assert opened == ["sheets/2026/2026-03-11.rack.jsonl"]


def test_a_long_day_costs_no_more_than_a_short_one() -> None:
    counted: list[str] = []
    disk = MemoryDisk(lambda name, _: counted.append(name))

    def calls(first: int) -> list[str]:
        counted.clear()
        Sheets(NOWHERE, "rack", disk).append(save(first), FIRST_DAY)
        return list(counted)

    calls(0)
    short = calls(1)
    Sheets(NOWHERE, "rack", disk).append(save(1_000, 2_000), FIRST_DAY)
    assert calls(2) == short
    assert [name for name in short if name in ("read", "write", "sync")] == ["read", "write", "sync"]


def test_an_entry_that_would_not_read_back_is_not_written(tmp_path: Path) -> None:
    sheets = Sheets(tmp_path, "rack")
    wrong = Weighed(id="1", at=moment(0), by="AK", about="animal/../../etc", grams=452)
    with pytest.raises(BadEntry):
        sheets.append([entry(1), wrong], FIRST_DAY)
    assert sheets.read() == []
    assert not (tmp_path / "sheets").exists()


def test_ten_thousand_signs_with_newlines_and_escapes_stay_one_line(tmp_path: Path) -> None:
    noted = entry(2, note="\x1b[2J\u202e\n\r\u2028\0" + "ä" * 9_990)
    sheets = Sheets(tmp_path, "rack")
    sheets.append([noted], FIRST_DAY)
    assert sheets.read() == [noted]
    assert len((tmp_path / SHEET).read_bytes().split(b"\n")) == 2


@pytest.mark.parametrize("name", ["", "..", "a/b", "Rack", "rack.2", "-rack", "rack\n", "a" * 81])
def test_a_desk_name_that_cannot_name_a_sheet_is_refused(tmp_path: Path, name: str) -> None:
    with pytest.raises(ValueError, match="cannot name a sheet"):
        Sheets(tmp_path, name)


def test_sheets_let_in_whom_the_folder_lets_in_but_never_let_everybody_write(tmp_path: Path) -> None:
    for folder_mode, umask, sheet_mode, folder_below in (
        (0o700, 0o022, 0o600, 0o700),
        (0o750, 0o022, 0o640, 0o750),
        (0o770, 0o022, 0o640, 0o770),  # desks of several users of one group each make their own sheets
        (0o777, 0o000, 0o644, 0o775),
        (0o755, 0o077, 0o600, 0o755),
    ):
        colony = tmp_path / f"{folder_mode:o}-{umask:o}"
        colony.mkdir()
        colony.chmod(folder_mode)
        before = os.umask(umask)
        try:
            Sheets(colony, "rack").append(save(0), FIRST_DAY)
        finally:
            os.umask(before)
        assert stat.S_IMODE((colony / SHEET).stat().st_mode) == sheet_mode
        assert stat.S_IMODE((colony / "sheets/2026").stat().st_mode) == folder_below


@pytest.mark.parametrize("where", ["sheets", "sheets/2026", SHEET])
def test_a_link_out_of_the_colony_is_neither_followed_nor_written_through(tmp_path: Path, where: str) -> None:
    outside, colony = tmp_path / "outside", tmp_path / "colony"
    Sheets(outside, "rack").folder.mkdir()
    Sheets(outside, "rack").append(save(0), FIRST_DAY)
    link = colony / where
    link.parent.mkdir(parents=True)
    link.symlink_to(outside / where)
    before = (outside / SHEET).read_bytes()
    sheets = Sheets(colony, "rack")
    assert sheets.read() == []
    assert [trouble.path for trouble in sheets.troubles] == [where]
    assert "link" in sheets.troubles[0].what
    if where == SHEET:
        sheets.append(save(10), FIRST_DAY)
        assert (colony / "sheets/2026/2026-03-10.rack.2.jsonl").is_file()
    else:
        with pytest.raises(NotSaved, match="links are not followed"):
            sheets.append(save(10), FIRST_DAY)
    assert (outside / SHEET).read_bytes() == before


def test_a_sheet_with_a_second_name_elsewhere_is_not_written_to(tmp_path: Path) -> None:
    sheets = Sheets(tmp_path, "rack")
    sheets.append(save(0), FIRST_DAY)
    os.link(tmp_path / SHEET, tmp_path / "snapshot")
    Sheets(tmp_path, "rack").append(save(10), FIRST_DAY)
    assert len((tmp_path / "snapshot").read_bytes().splitlines()) == 1
    assert ids(sheets.read()) == ids([*save(0), *save(10)])


def test_when_the_colonys_folder_is_gone_nothing_is_written_in_its_place(tmp_path: Path) -> None:
    colony = tmp_path / "colony"
    colony.mkdir()
    sheets = Sheets(colony, "rack")
    sheets.append(save(0), FIRST_DAY)
    colony.rename(tmp_path / "drive")
    with pytest.raises(NotSaved, match=r"Not saved: animal/wattle, weighed 410 g and 1 more.*Bring it back"):
        sheets.append(save(10, 2), FIRST_DAY)
    colony.mkdir()  # the empty mount point of a drive that was pulled out
    with pytest.raises(NotSaved):
        sheets.append(save(10, 2), FIRST_DAY)
    assert list(colony.iterdir()) == []
    colony.rmdir()
    (tmp_path / "drive").rename(colony)
    sheets.append(save(10, 2), FIRST_DAY)
    assert ids(Sheets(colony, "reader").read()) == ids([*save(0), *save(10, 2)])
    assert len(list((colony / "sheets/2026").iterdir())) == 1, "the sheet came back with it as it was"


def test_days_are_read_by_the_day_they_were_written(tmp_path: Path) -> None:
    sheets = Sheets(tmp_path, "rack")
    sheets.append(save(0), FIRST_DAY)
    sheets.append(save(10), SECOND_DAY)
    assert sheets.read_days(SECOND_DAY, SECOND_DAY) == save(10)
    assert list(sheets.by_day()) == [save(0), save(10)]


def test_a_subjects_history_comes_newest_first_with_corrections_and_without_the_rest(tmp_path: Path) -> None:
    page = logbook("""
        2026-03-10 AK
        08:00  b3      enclosure_set_up  name=B3
        08:01  wattle  arrived  name=Wattle place=b3
        08:02  sedge   arrived  name=Sedge place=b3
        09:00  wattle  weighed  grams=452
        2026-03-11 EM
        09:00  wattle  weighed  grams=400
        09:01  wattle  corrected  replaces=20260311-00004
        09:02  wattlebird  noted  note="not animal/wattle"
    """)
    sheets = Sheets(tmp_path, "rack")
    sheets.append(page[:4], FIRST_DAY)
    sheets.append(page[4:], SECOND_DAY)
    assert list(sheets.about("animal/wattle")) == [page[5], page[4], page[3], page[1]]
    assert list(sheets.about("enclosure/b3")) == [page[2], page[1], page[0]]
    assert list(sheets.about("animal/nobody")) == []


def test_a_history_leaves_an_unfinished_save_aside(tmp_path: Path) -> None:
    sheets = Sheets(tmp_path, "rack")
    sheets.append(save(1), FIRST_DAY)
    with (tmp_path / SHEET).open("ab") as file:
        file.write(rows.line_of(entry(4), more=1) + b"\n")
    assert list(sheets.about("animal/wattle")) == save(1)


def test_reading_does_not_load_tinydb(tmp_path: Path) -> None:
    Sheets(tmp_path, "rack").append(save(0), FIRST_DAY)
    program = (
        "import sys; from pathlib import Path; from rounds.sheets.store import Sheets;"
        f"assert len(Sheets(Path({str(tmp_path)!r}), 'reader').read()) == 1;"
        "assert not {'tinydb', 'dataclasses', 'asyncio'} & set(sys.modules), sorted(sys.modules)"
    )
    subprocess.run([sys.executable, "-c", program], check=True)


def test_reading_makes_and_changes_nothing(tmp_path: Path) -> None:
    assert Sheets(tmp_path, "reader").read() == []
    assert list(tmp_path.iterdir()) == []
    assert Sheets(tmp_path / "nowhere", "reader").read() == []


def test_a_backup_is_a_copy_and_a_copy_put_back_is_gone_on_with(tmp_path: Path) -> None:
    colony, backup = tmp_path / "colony", tmp_path / "backup"
    colony.mkdir()
    rack = Sheets(colony, "rack")
    rack.append(save(0, 3), FIRST_DAY)
    reader = Sheets(colony, "reader")
    reader.read()
    marks = reader.marks()
    shutil.copytree(colony, backup)
    rack.append(save(10), FIRST_DAY)
    later = (colony / SHEET).read_bytes()
    rack.close()
    shutil.rmtree(colony)
    shutil.copytree(backup, colony)
    again = Sheets(colony, "rack")
    assert again.resume(marks), "what was worked out before still holds: the sheets say the same"
    assert again.news() == []
    again.append(save(20), FIRST_DAY)
    (colony / "sheets/2026/2026-03-10.rack (from the other laptop).jsonl").write_bytes(later)
    assert ids(Sheets(colony, "reader").read()) == ids([*save(0, 3), *save(10), *save(20)])
