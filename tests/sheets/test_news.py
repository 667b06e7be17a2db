"""Other desks' saves appear, each once, whatever a sync program does to the files."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from rounds.errors import NotSaved
from rounds.logbook import rows
from rounds.logbook.entries import Entry
from rounds.sheets import watch
from rounds.sheets.store import Sheets
from tests.sheets.memory_disk import HookedDisk
from tests.sheets.saves import FIRST_DAY, SECOND_DAY, entry, ids, save

SHEET = "sheets/2026/2026-03-10.rack.jsonl"


def lines(*entries: Entry) -> bytes:
    """Each a save of its own."""
    return b"".join(rows.line_of(one) + b"\n" for one in entries)


def test_another_desks_saves_appear_once_and_own_ones_are_no_news(tmp_path: Path) -> None:
    rack, shelf = Sheets(tmp_path, "rack"), Sheets(tmp_path, "shelf")
    assert rack.read() == shelf.read() == []
    rack.append(save(0, 3), FIRST_DAY)
    assert shelf.news() == save(0, 3)
    assert shelf.news() == rack.news() == []
    shelf.append(save(10, by="EM"), FIRST_DAY)
    rack.append(save(20), FIRST_DAY)
    assert rack.news() == save(10, by="EM")
    assert shelf.news() == save(20)
    rack.append(save(30), SECOND_DAY)
    assert shelf.news() == save(30)
    assert rack.news() == shelf.news() == []


def test_a_save_that_is_only_partly_there_is_no_news_yet(tmp_path: Path) -> None:
    rack, shelf = Sheets(tmp_path, "rack"), Sheets(tmp_path, "shelf")
    shelf.read()
    rack.append(save(0, 3), FIRST_DAY)
    rack.append(save(10, 3), FIRST_DAY)
    sheet = tmp_path / SHEET
    content = sheet.read_bytes()
    told: list[Entry] = []
    for length in range(len(content) + 1):
        with sheet.open("r+b") as file:  # as a copying program lets it grow
            file.truncate(0)
            file.write(content[:length])
        new = shelf.news()
        assert new in ([], save(0, 3), save(10, 3))
        told += new
        assert shelf.troubles == []
    assert told == [*save(0, 3), *save(10, 3)]
    assert shelf.troubles == []


def test_a_sheet_replaced_by_a_sync_program_gives_only_what_is_new(tmp_path: Path) -> None:
    rack, shelf = Sheets(tmp_path, "rack"), Sheets(tmp_path, "shelf")
    rack.append(save(0, 3), FIRST_DAY)
    shelf.read()
    draft = tmp_path / "draft"
    draft.write_bytes((tmp_path / SHEET).read_bytes() + lines(entry(10)))
    draft.rename(tmp_path / SHEET)
    assert shelf.news() == [entry(10)]
    draft.write_bytes(lines(entry(10), entry(11)))  # an older line is gone from it, another has come
    draft.rename(tmp_path / SHEET)
    assert [*shelf.news(), *shelf.news()] == [entry(11)], "at the second look: it may be just being copied"
    assert shelf.news() == []


def test_a_sheet_cut_and_grown_again_loses_and_doubles_nothing(tmp_path: Path) -> None:
    rack, shelf = Sheets(tmp_path, "rack"), Sheets(tmp_path, "shelf")
    rack.append(save(0, 3), FIRST_DAY)
    shelf.read()
    (tmp_path / SHEET).write_bytes(b"")
    assert shelf.news() == []
    (tmp_path / SHEET).write_bytes(lines(*save(0, 3), entry(10)))
    assert shelf.news() == [entry(10)]


def test_a_sheet_changed_in_the_middle_while_it_grew_is_read_anew(tmp_path: Path) -> None:
    shelf = Sheets(tmp_path, "shelf")
    sheet = tmp_path / SHEET
    sheet.parent.mkdir(parents=True)
    whole = lines(entry(0), entry(3), entry(6))
    hole = whole[:10] + bytes(30) + whole[40:]
    sheet.write_bytes(hole)
    assert shelf.read() == [entry(3), entry(6)]
    assert len(shelf.troubles) == 1
    with sheet.open("r+b") as file:  # the missing block arrives
        file.write(whole + lines(entry(9)))
    assert shelf.news() == [entry(0), entry(9)]
    assert shelf.troubles == []


def test_troubles_of_a_sheet_stay_told_while_it_grows(tmp_path: Path) -> None:
    rack, shelf = Sheets(tmp_path, "rack"), Sheets(tmp_path, "shelf")
    rack.append(save(0), FIRST_DAY)
    sheet = tmp_path / SHEET
    sheet.write_bytes(b"\xef\xbb\xbfhello\n" + sheet.read_bytes())
    shelf.read()
    told = shelf.troubles
    assert [trouble.line for trouble in told] == [0, 1]
    with sheet.open("ab") as file:
        file.write(lines(entry(3)) + b"more\n" + lines(entry(6)))
    assert shelf.news() == [entry(3), entry(6)]
    assert [trouble.line for trouble in shelf.troubles] == [0, 1, 4]
    with sheet.open("ab") as file:
        file.write(lines(entry(9)))
    assert shelf.news() == [entry(9)]
    assert [trouble.line for trouble in shelf.troubles] == [0, 1, 4]


def test_sheets_that_arrive_late_are_found_whatever_their_day(tmp_path: Path) -> None:
    rack, shelf = Sheets(tmp_path, "rack"), Sheets(tmp_path, "shelf")
    rack.append(save(0), SECOND_DAY)
    shelf.read()
    old = tmp_path / "sheets/2024/2024-05-06.cellar.jsonl"
    old.parent.mkdir()
    old.write_bytes(lines(entry(100)))
    assert shelf.news() == [entry(100)]
    (tmp_path / "sheets/2026/2026-01-01.cellar.jsonl").write_bytes(lines(entry(101)))
    assert shelf.news() == [entry(101)]
    with old.open("ab") as file:
        file.write(lines(entry(102)))
    assert shelf.news() == [entry(102)]
    assert shelf.news() == []


def test_a_sheet_that_comes_within_one_tick_of_the_file_systems_clock_is_found(tmp_path: Path) -> None:
    rack, shelf = Sheets(tmp_path, "rack"), Sheets(tmp_path, "shelf")
    rack.append(save(0), FIRST_DAY)
    shelf.read()
    folder = tmp_path / "sheets/2026"
    tick = folder.stat().st_mtime_ns
    Sheets(tmp_path, "cellar").append(save(10, by="EM"), FIRST_DAY)
    os.utime(folder, ns=(tick, tick))
    assert shelf.news() == save(10, by="EM")


def test_what_this_desk_has_written_is_not_read_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(watch.Watch, "to_read_in_turn", lambda _: None)
    opened: list[str] = []
    disk = HookedDisk(str(tmp_path), lambda name, path: opened.append(path) if name == "open" else None)
    rack = Sheets(tmp_path, "rack", disk)
    rack.read()
    for number in range(5):
        rack.append(save(10 * number, 2), FIRST_DAY)
        assert rack.news() == []
    assert opened == []


def test_old_sheets_written_into_in_place_are_found_in_turn(tmp_path: Path) -> None:
    folder = tmp_path / "sheets/2025"
    folder.mkdir(parents=True)
    days = [f"2025-{month:02d}-{day:02d}" for month in range(1, 13) for day in range(1, 29)]
    for number, day in enumerate(days):
        (folder / f"{day}.rack.jsonl").write_bytes(lines(entry(number)))
    shelf = Sheets(tmp_path, "shelf")
    assert len(shelf.read()) == len(days)
    for path in folder.iterdir():  # long ago
        os.utime(path, ns=(10**18, 10**18))
    for _ in range(10):
        shelf.news()
    with (folder / f"{days[5]}.rack.jsonl").open("ab") as file:
        file.write(lines(entry(1_000)))
    found: list[Entry] = []
    for _ in range(1 + len(days) // 128):
        found += shelf.news()
    assert found == [entry(1_000)]


@pytest.mark.parametrize("late", ["2025-01-06.shelf", "2025-06-06.shelf", "2025-03-06.rack"])
def test_an_old_sheet_that_came_while_nobody_listened_is_news_at_the_first_look(tmp_path: Path, late: str) -> None:
    folder = tmp_path / "sheets/2025"
    folder.mkdir(parents=True)
    days = [f"2025-{month:02d}-{day:02d}" for month in range(1, 13) for day in range(1, 29)]
    for number, day in enumerate(days):
        (folder / f"{day}.rack.jsonl").write_bytes(lines(entry(number)))
    earlier = Sheets(tmp_path, "earlier")
    earlier.read()
    with (folder / f"{late}.jsonl").open("ab") as file:  # by a sync program, new or longer than it was
        file.write(lines(entry(1_000)))
    for path in (*folder.iterdir(), folder, tmp_path / "sheets"):  # long ago
        os.utime(path, ns=(10**18 + (path.stem == late), 10**18 + (path.stem == late)))
    marks = {path: [*mark[:2], 10**18, *mark[3:]] for path, mark in earlier.marks().items()}
    reader = Sheets(tmp_path, "reader")
    assert reader.resume(marks)
    assert reader.news() == [entry(1_000)]
    assert reader.news() == []


def test_nothing_new_costs_the_same_looks_after_ten_years(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    counted: list[str] = []
    disk = HookedDisk(str(tmp_path), lambda name, _: counted.append(name))
    for year in range(2016, 2026):
        folder = tmp_path / f"sheets/{year}"
        folder.mkdir(parents=True)
        for day in range(1, 29):
            for month in range(1, 13):
                (folder / f"{year}-{month:02d}-{day:02d}.rack.jsonl").touch()
        os.utime(folder, ns=(10**18, 10**18))
    os.utime(tmp_path / "sheets", ns=(10**18, 10**18))
    monkeypatch.setattr(watch, "_SETTLED_NS", -1)  # they were not written just now
    shelf = Sheets(tmp_path, "shelf", disk)
    shelf.read()
    counted.clear()
    assert shelf.news() == []
    assert "list" not in counted
    assert counted.count("open") <= 1, "one old sheet is read in turn, whatever its status says"
    assert len(counted) < 200


def test_a_conflict_copy_brings_only_what_is_not_known(tmp_path: Path) -> None:
    rack, shelf = Sheets(tmp_path, "rack"), Sheets(tmp_path, "shelf")
    rack.append(save(0, 3), FIRST_DAY)
    shelf.read()
    copy = (tmp_path / SHEET).with_name("2026-03-10.rack (copy).jsonl")
    copy.write_bytes((tmp_path / SHEET).read_bytes() + lines(entry(10)))
    assert shelf.news() == [entry(10)]
    assert [trouble.path for trouble in shelf.troubles] == ["sheets/2026/2026-03-10.rack (copy).jsonl"]
    copy.unlink()
    assert shelf.news() == []
    assert shelf.troubles == []


def test_a_sheet_that_is_taken_away_is_told_until_it_comes_back(tmp_path: Path) -> None:
    rack, shelf = Sheets(tmp_path, "rack"), Sheets(tmp_path, "shelf")
    rack.append(save(0, 3), FIRST_DAY)
    shelf.read()
    (tmp_path / SHEET).rename(tmp_path / "kept")
    assert shelf.news() == []
    assert shelf.news() == []
    assert [trouble.what.partition(".jsonl ")[2][:28] for trouble in shelf.troubles] == [
        "is not there any more. What "
    ]
    (tmp_path / "kept").rename(tmp_path / SHEET)
    assert shelf.news() == []
    assert shelf.troubles == []


def test_when_the_drive_is_pulled_out_that_is_told_once_and_nothing_is_lost_when_it_is_back(tmp_path: Path) -> None:
    colony = tmp_path / "colony"
    colony.mkdir()
    rack, shelf = Sheets(colony, "rack"), Sheets(colony, "shelf")
    rack.append(save(0, 3), FIRST_DAY)
    rack.append(save(10), SECOND_DAY)
    shelf.read()
    colony.rename(tmp_path / "drive")
    assert shelf.news() == []
    assert [trouble.path for trouble in shelf.troubles] == ["sheets"]
    (tmp_path / "drive").rename(colony)
    Sheets(colony, "cellar").append(save(20, by="EM"), SECOND_DAY)
    assert shelf.news() == save(20, by="EM")
    assert shelf.troubles == []


# A sheet of this desk that another program takes away while it is open


def test_what_a_desk_saved_is_saved_again_when_its_sheet_is_replaced_by_an_older_one(tmp_path: Path) -> None:
    rack = Sheets(tmp_path, "rack")
    rack.append(save(0), FIRST_DAY)
    older = (tmp_path / SHEET).read_bytes()
    rack.append(save(10, 2), FIRST_DAY)
    (tmp_path / "draft").write_bytes(older)
    (tmp_path / "draft").rename(tmp_path / SHEET)
    rack.append(save(20), FIRST_DAY)
    assert (tmp_path / SHEET).read_bytes() == older, "another's file is never written to"
    assert ids(Sheets(tmp_path, "reader").read()) == ids([*save(0), *save(10, 2), *save(20)])
    (renamed, again) = rack.rescues()
    assert (renamed.before, renamed.name) == ("rack", rack.desk)
    assert (again.sheets, again.entries, again.by) == ((SHEET,), 2, "AK")
    assert rack.news() == []


def test_what_a_desk_saved_is_saved_again_when_its_sheet_or_folder_is_deleted(tmp_path: Path) -> None:
    rack = Sheets(tmp_path, "rack")
    rack.append(save(0), FIRST_DAY)
    (tmp_path / SHEET).unlink()
    rack.append(save(10), FIRST_DAY)
    assert ids(Sheets(tmp_path, "reader").read()) == ids([*save(0), *save(10)])
    for sheet in (tmp_path / "sheets/2026").iterdir():
        sheet.unlink()
    (tmp_path / "sheets/2026").rmdir()
    (tmp_path / "sheets").rmdir()
    rack.append(save(20), FIRST_DAY)
    assert ids(Sheets(tmp_path, "reader").read()) == ids([*save(0), *save(10), *save(20)])


def test_what_a_desk_saved_is_saved_again_when_an_editor_writes_over_its_sheet(tmp_path: Path) -> None:
    rack = Sheets(tmp_path, "rack")
    rack.append(save(0), FIRST_DAY)
    seen_in_the_editor = (tmp_path / SHEET).read_bytes()
    rack.append(save(10), FIRST_DAY)
    rack.append(save(11), FIRST_DAY)
    (tmp_path / SHEET).write_bytes(seen_in_the_editor + b"my note\n")
    rack.append(save(20), FIRST_DAY)
    sheets = Sheets(tmp_path, "reader")
    assert ids(sheets.read()) == ids([*save(0), *save(10), *save(11), *save(20)])
    assert (tmp_path / SHEET).read_bytes() == seen_in_the_editor + b"my note\n"


def test_a_second_writer_of_one_name_is_never_written_behind(tmp_path: Path) -> None:
    one, other = Sheets(tmp_path, "rack"), Sheets(tmp_path, "rack")
    for number in range(0, 20, 2):
        one.append(save(number), FIRST_DAY)
        other.append(save(number + 1), FIRST_DAY)
    assert ids(Sheets(tmp_path, "reader").read()) == ids(save(0, 20))


def test_a_desk_whose_save_fails_does_not_cut_what_a_second_writer_of_its_name_has_written(tmp_path: Path) -> None:
    def before(name: str, _path: str) -> None:
        if name == "sync" and failing:
            failing.clear()
            with (tmp_path / SHEET).open("ab") as file:
                file.write(lines(entry(50)))
            raise OSError(5, "Input/output error")

    failing: list[bool] = []
    rack = Sheets(tmp_path, "rack", HookedDisk(str(tmp_path), before))
    rack.append(save(0), FIRST_DAY)
    failing.append(True)
    with pytest.raises(NotSaved):
        rack.append(save(10), FIRST_DAY)
    rack.append(save(10), FIRST_DAY)
    assert ids(Sheets(tmp_path, "reader").read()) == ids([*save(0), *save(10), entry(50)])


def test_a_sheet_replaced_in_the_very_moment_of_a_save_does_not_lose_it(tmp_path: Path) -> None:
    replaced: list[bool] = []

    def before(name: str, _path: str) -> None:
        if name == "sync" and rack_saved and not replaced:
            replaced.append(True)
            (tmp_path / "draft").write_bytes((tmp_path / SHEET).read_bytes()[:0])
            (tmp_path / "draft").rename(tmp_path / SHEET)

    rack_saved: list[bool] = []
    rack = Sheets(tmp_path, "rack", HookedDisk(str(tmp_path), before))
    rack.append(save(0), FIRST_DAY)
    rack_saved.append(True)
    rack.append(save(10, 2), FIRST_DAY)
    assert replaced
    reader = Sheets(tmp_path, "reader")
    assert ids(reader.read()) == ids([*save(0), *save(10, 2)])
    assert reader.troubles == []


# Marks kept between runs


def test_a_later_run_takes_up_where_an_earlier_one_stopped(tmp_path: Path) -> None:
    rack = Sheets(tmp_path, "rack")
    rack.append(save(0, 3), FIRST_DAY)
    earlier = Sheets(tmp_path, "reader")
    earlier.read()
    marks = earlier.marks()
    rack.append(save(10, 2), FIRST_DAY)
    rack.append(save(20), SECOND_DAY)
    later = Sheets(tmp_path, "reader")
    assert later.resume(marks)
    assert later.news() == [*save(10, 2), *save(20)]
    assert later.news() == []


def test_marks_do_not_hold_when_a_sheet_is_not_as_it_was(tmp_path: Path) -> None:
    rack = Sheets(tmp_path, "rack")
    rack.append(save(0), FIRST_DAY)
    rack.append(save(3), SECOND_DAY)
    reader = Sheets(tmp_path, "reader")
    reader.read()
    marks = reader.marks()
    assert Sheets(tmp_path, "reader").resume(marks)
    sheet = tmp_path / SHEET
    content = sheet.read_bytes()
    for changed in (b"", content[:-5], content.replace(b"watered", b"wetered") + lines(entry(9))):
        sheet.write_bytes(changed)
        assert not Sheets(tmp_path, "reader").resume(marks)
    sheet.unlink()
    assert not Sheets(tmp_path, "reader").resume(marks)
    sheet.write_bytes(content)
    assert not Sheets(tmp_path, "reader").resume({SHEET: ["1", 2, 3]})
    assert not Sheets(tmp_path, "reader").resume({SHEET: [1, 2, 3, 4, 5, "zz"]})


def test_troubles_of_sheets_that_are_not_read_again_are_still_told(tmp_path: Path) -> None:
    rack = Sheets(tmp_path, "rack")
    rack.append(save(0), FIRST_DAY)
    with (tmp_path / SHEET).open("ab") as file:
        file.write(b"hello\n")
    reader = Sheets(tmp_path, "reader")
    reader.read()
    later = Sheets(tmp_path, "reader")
    assert later.resume(reader.marks())
    assert later.troubles == reader.troubles != []
