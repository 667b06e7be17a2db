"""Real processes on one colony, killed at random instants, and sheets cut at every byte."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from rounds.sheets.aside import make_folders
from rounds.sheets.disk import Disk
from rounds.sheets.save import Save
from rounds.sheets.store import Sheets
from tests.conftest import RecordFigure
from tests.sheets.memory_disk import MemoryDisk
from tests.sheets.saves import FIRST_DAY, NOWHERE, ids, save

PROJECT = Path(__file__).parents[2]
SHEET = "sheets/2026/2026-03-10.rack.jsonl"


def kill(folder: Path, kills: int, desks: int, seed: int) -> dict[str, int]:
    """Run the killing in a process of its own."""
    command = [sys.executable, "-m", "tests.sheets.killed_desks", str(folder)]
    command += [str(number) for number in (kills, desks, seed)]
    done = subprocess.run(command, cwd=PROJECT, capture_output=True, text=True, timeout=300)
    assert done.returncode == 0, done.stderr
    counts: dict[str, int] = json.loads(done.stdout)
    return counts


def test_a_desk_killed_at_random_instants_loses_nothing_acknowledged(
    tmp_path: Path, record_figure: RecordFigure
) -> None:
    counts = kill(tmp_path, kills=120, desks=1, seed=20260310)
    assert counts["kills"] == 120
    assert counts["acknowledged"] > counts["kills"]
    assert counts["desk names"] == 1, "a killed desk's name is free at once"
    record_figure("kills -9 of one desk", f"{counts}, nothing acknowledged lost, no save half there")


def test_three_desks_at_once_killed_at_random_instants_lose_nothing_acknowledged(
    tmp_path: Path, record_figure: RecordFigure
) -> None:
    counts = kill(tmp_path, kills=120, desks=3, seed=20260311)
    assert counts["kills"] == 120
    # Each of the three has a name of its own; one that died as it took a name may leave that to nobody.
    assert 3 <= counts["desk names"] <= 3 + counts["told nothing"]
    record_figure("kills -9 of three desks at once", f"{counts}, nothing acknowledged lost, no save half there")


@pytest.mark.parametrize("where", ["memory", "disk"])
def test_a_sheet_cut_at_any_byte_of_its_last_saves_is_gone_on_with(
    where: str, tmp_path: Path, record_figure: RecordFigure
) -> None:
    saves = [save(0, 2), save(10, 3), save(20)]
    content, ends = b"", []
    for entries in saves:
        content += Save(entries).lines
        ends.append(len(content))
    cases = 0
    for length in range(0, len(content) + 1, 1 if where == "memory" else 9):
        disk = MemoryDisk() if where == "memory" else Disk(str(tmp_path))
        put(disk, SHEET, content[:length])
        # A save of which only the very last newline is lacking is whole.
        whole = [entries for entries, end in zip(saves, ends, strict=True) if length >= end - 1]
        acknowledged = ids(one for entries in whole for one in entries)
        desk = Sheets(NOWHERE, "rack", disk)
        assert ids(desk.read()) == acknowledged
        desk.append(save(90), FIRST_DAY)
        desk.close()
        after = Sheets(NOWHERE, "reader", disk)
        assert ids(after.read()) == sorted([*acknowledged, *ids(save(90))])
        assert after.troubles == []
        cases += 1
    record_figure(f"sheets cut at a byte of their last saves, {where}", f"{cases}, nothing lost, each gone on with")


def put(disk: Disk, path: str, content: bytes) -> None:
    """Have a file of this content on the disk, whatever was there."""
    make_folders(disk, path.rpartition("/")[0])
    handle = disk.open(path, os.O_RDWR | os.O_CREAT | os.O_APPEND)
    disk.cut(handle, 0)
    disk.write(handle, content)
    disk.close(handle)
