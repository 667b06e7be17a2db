"""The demo on disk: a colony that opens like any other."""

from __future__ import annotations

from datetime import date, time
from pathlib import Path

import pytest

from demo_colony import write
from demo_colony.people import KEEPERS, ROOM_NAME, ZONE
from rounds.desk.colony_file import load
from rounds.errors import NotSaved, UsageError
from rounds.logbook.times import on_wall
from rounds.sheets.store import Sheets

END = on_wall(date(2026, 4, 12), time(8), ZONE)


@pytest.fixture(scope="module")
def colony(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("demo") / "quandong"
    write.write(folder, END)
    return folder


def test_its_settings_are_read(colony: Path) -> None:
    settings = load(colony)
    assert settings.name == ROOM_NAME
    assert settings.zone == ZONE
    assert settings.keepers == KEEPERS
    assert settings.desks == ("rack-laptop", "bench")


def test_its_sheets_hold_every_entry_and_nothing_is_set_aside(colony: Path) -> None:
    sheets = Sheets(colony, "reader")
    read = sorted(sheets.read(), key=lambda entry: entry.id)
    assert read == write.entries(END)
    assert list(sheets.troubles) == []


def test_each_desk_has_a_sheet_a_day(colony: Path) -> None:
    names = {path.relative_to(colony / "sheets").as_posix() for path in colony.glob("sheets/*/*")}
    assert "2026/2026-04-11.rack-laptop.jsonl" in names
    assert "2025/2025-12-31.bench.jsonl" in names
    assert len(names) == 2 * 119 + 1


def test_an_empty_folder_is_taken(tmp_path: Path) -> None:
    (tmp_path / "quandong").mkdir()
    write.write(tmp_path / "quandong", END)
    assert (tmp_path / "quandong" / "colony.toml").exists()


def test_a_folder_that_holds_something_is_left_as_it_is(tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_text("mine")
    with pytest.raises(UsageError, match="holds something already"):
        write.write(tmp_path, END)
    assert [path.name for path in tmp_path.iterdir()] == ["mine.txt"]


def test_a_file_in_its_place_is_left_as_it_is(tmp_path: Path) -> None:
    (tmp_path / "quandong").write_text("mine")
    with pytest.raises(UsageError):
        write.write(tmp_path / "quandong", END)
    assert (tmp_path / "quandong").read_text() == "mine"


def test_when_the_disk_does_not_take_it_nothing_is_left(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(_self: Path, _content: bytes) -> int:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", full)
    with pytest.raises(NotSaved, match="No space left"):
        write.write(tmp_path / "quandong", END)
    assert list(tmp_path.iterdir()) == []
