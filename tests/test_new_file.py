"""What is written outside the colony is written beside what is there: no file is overwritten, no link followed."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from rounds import system
from tests.screens.failing_disk import failing
from tests.screens.rack import colony, opened

ROOM = """
    2026-03-01 AK
    08:00  b1      enclosure_set_up  name=B1
    08:10  wattle  arrived  name=Wattle sex=F place=b1
"""
TAKEN = ("a file", "a link", "a link that leads nowhere", "a folder", "a pipe")


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = tmp_path / "home"
    folder.mkdir()
    monkeypatch.setenv("HOME", str(folder))
    for name in ("STATE", "CACHE", "CONFIG", "DATA"):
        monkeypatch.setenv(f"XDG_{name}_HOME", str(tmp_path / name))
    return folder


def take(path: Path, what: str) -> None:
    """Have something stand under this name already."""
    other = path.parent.parent / "other"
    other.write_text("kept")
    if what == "a file":
        path.write_text("kept")
    elif what == "a folder":
        path.mkdir()
    elif what == "a pipe":
        os.mkfifo(path)
    else:
        path.symlink_to(other if what == "a link" else path.parent / "nowhere")


@pytest.mark.parametrize("what", TAKEN)
def test_a_name_that_is_taken_is_left_alone_and_the_next_one_is_used(what: str, home: Path) -> None:
    take(home / "page.txt", what)
    before = os.lstat(home / "page.txt")
    assert system.write_new_file(home, "page", ".txt", b"new") == home / "page-2.txt"
    assert system.write_new_file(home, "page", ".txt", b"newer") == home / "page-3.txt"
    assert (home / "page-2.txt").read_bytes() == b"new"
    assert os.path.samestat(os.lstat(home / "page.txt"), before)
    assert not (home / "nowhere").exists()
    assert (home.parent / "other").read_text() == "kept"


def test_a_file_that_could_not_be_written_whole_is_taken_away(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(_handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(system, "sync", full)
    with pytest.raises(OSError, match="No space left"):
        system.write_new_file(home, "page", ".txt", b"half")
    assert list(home.iterdir()) == []


@pytest.mark.parametrize("what", TAKEN)
async def test_the_hand_over_as_text_overwrites_nothing(what: str, home: Path, tmp_path: Path) -> None:
    async with opened(colony(tmp_path / "colony", ROOM), "2026-03-02 07:00", keeper="AK", size=(132, 30)) as rack:
        await rack.press("h")
        take(home / "hand-over-2026-03-02-0700.txt", what)
        await rack.press("t", "t")
        await rack.sees("Written to", "-0700-3.txt")
    first, second = (home / f"hand-over-2026-03-02-0700-{number}.txt" for number in (2, 3))
    assert "Quandong shed" in first.read_text()
    assert "Quandong shed" in second.read_text()
    assert (tmp_path / "other").read_text() == "kept"


async def test_a_home_folder_that_takes_no_file_is_said_in_a_sentence(
    home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with opened(colony(tmp_path / "colony", ROOM), "2026-03-02 07:00", keeper="AK") as rack:
        await rack.press("h")
        for gone, told in (
            (str(home / "gone"), "No such file or directory"),
            ("rel", "This user has no home folder"),
        ):
            monkeypatch.setenv("HOME", gone)
            await rack.press("t")
            await rack.sees(f"The file was not written to your home folder: {told}")


async def test_entries_written_to_a_file_instead_overwrite_nothing(home: Path, tmp_path: Path) -> None:
    async with opened(colony(tmp_path / "colony", ROOM), "2026-03-02 07:00", keeper="AK") as rack:
        failing(rack).full = True
        for second in range(10):
            (home / f"rounds-not-saved-20260302-07000{second}.jsonl").symlink_to(tmp_path / "other")
        await rack.press("n", "x", "enter", "f")
        await rack.sees("not to the logbook")
    assert not (tmp_path / "other").exists()
    (written,) = home.glob("rounds-not-saved-*-2.jsonl")
    assert b'"note":"x"' in written.read_bytes()
