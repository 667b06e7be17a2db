"""Files belong to the keeper: the umask is honoured, the group is let in as the folder says, nobody else writes."""

from __future__ import annotations

import os
import stat
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from rounds.desk.colony_file import write_new
from rounds.sheets.repair import repair
from tests.desks.laptops import colony, laptop, note
from tests.notation import at

PROJECT = Path(__file__).parents[2]
NOW = "2026-04-12 18:00"


@pytest.fixture(params=[0o000, 0o002, 0o022, 0o027, 0o077], ids=oct)
def umask(request: pytest.FixtureRequest) -> Iterator[int]:
    """The keeper's umask."""
    mask: int = request.param
    before = os.umask(mask)
    yield mask
    os.umask(before)


def modes(folder: Path) -> dict[str, int]:
    """The permissions of everything in a folder."""
    return {str(path.relative_to(folder)): stat.S_IMODE(path.lstat().st_mode) for path in sorted(folder.rglob("*"))}


def command(home: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """A command as a keeper's shell runs it."""
    environment = {
        "PATH": os.environ["PATH"],
        "HOME": str(home),
        "ROUNDS_COLONY": str(home / "colony"),
        "ROUNDS_KEEPER": "AK",
    }
    return subprocess.run(
        [sys.executable, "-m", "rounds", *words], cwd=PROJECT, env=environment, capture_output=True, text=True
    )


def test_nothing_that_is_written_can_be_written_by_everybody_and_the_umask_is_honoured(
    umask: int, tmp_path: Path
) -> None:
    home = tmp_path / "keeper"
    home.mkdir(mode=0o755)
    assert command(home, "new", "--name", "Shed", "--time-zone", "Europe/Vienna").returncode == 0
    assert command(home, "log", "enclosure-set-up", "b3").returncode == 0
    assert command(home, "log", "taken_over", "room").returncode == 0
    assert command(home, "hand-over", "--sign").returncode == 0
    sheet = next((home / "colony").rglob("*.jsonl"))
    sheet.rename(sheet.with_name("2026-01-01.old.jsonl"))
    with sheet.with_name("2026-01-01.old.jsonl").open("ab") as old:
        old.write(b"damage\n")
    command(home, "check", "--repair")
    found = modes(home)
    assert any("aside" in name for name in found), "a repair was made"
    assert any(name.endswith(".lock") for name in found), "and a desk's name was taken"
    files = {name: mode for name, mode in found.items() if (home / name).is_file()}
    for name, mode in found.items():
        assert not mode & 0o002, f"{name} can be written by everybody: {mode:o}"
    for name, mode in files.items():
        assert not mode & umask, f"{name} lets in whom the umask {umask:o} keeps out: {mode:o}"
        assert not mode & 0o111, name


@pytest.mark.parametrize(
    ("folder_mode", "folders", "sheet"),
    [
        (0o700, 0o700, 0o600),
        (0o750, 0o750, 0o640),
        (0o755, 0o755, 0o644),
        (0o770, 0o770, 0o640),
        (0o2770, 0o2770, 0o640),
        (0o777, 0o775, 0o644),
    ],
)
def test_the_group_is_let_in_as_the_colonys_folder_lets_it_in(
    folder_mode: int, folders: int, sheet: int, tmp_path: Path
) -> None:
    before = os.umask(0o022)
    try:
        folder = tmp_path / "colony"
        write_new(folder, "Shed", "Europe/Vienna")
        folder.chmod(folder_mode)
        laptop(folder, NOW).record(note("x"))
    finally:
        os.umask(before)
    found = modes(folder)
    assert found["sheets"] == found["sheets/2026"] == folders
    assert found["sheets/2026/2026-04-12.rack.jsonl"] == sheet, "a group reads, and only the desk's user writes"


def test_what_a_repair_keeps_aside_is_read_by_those_who_could_read_the_sheet_and_no_others(tmp_path: Path) -> None:
    folder = colony(tmp_path / "colony")
    sheet = next(folder.rglob("*.jsonl"))
    for mode in (0o600, 0o640, 0o644):
        sheet.chmod(mode)
        sheet.write_bytes(sheet.read_bytes() + b"damage %o\n" % mode)
        before = os.umask(0o077)
        try:
            (mended,) = repair(folder, at(NOW).date())
        finally:
            os.umask(before)
        assert stat.S_IMODE((folder / mended.aside).stat().st_mode) == mode
        assert stat.S_IMODE(sheet.stat().st_mode) == mode
    sheet.chmod(0o666)
    sheet.write_bytes(sheet.read_bytes() + b"damage\n")
    repair(folder, at(NOW).date())
    assert stat.S_IMODE(sheet.stat().st_mode) == 0o644
