"""Repair: what counted before it counts after it, once is enough, and the sheet as it was lies aside."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path
from typing import Final

from rounds.sheets.parse import line_by_line
from rounds.sheets.repair import repair
from tests.fuzzing.feed import Feed
from tests.fuzzing.targets import Taker
from tests.fuzzing.targets.append import disk_with
from tests.fuzzing.targets.lines import sheet
from tests.sheets.saves import FIRST_DAY, NOWHERE

_PATH: Final = "sheets/2026/2026-03-10.rack.jsonl"


def prepared(_folder: Path) -> Taker:
    """Takes a sheet."""
    return take


def take(content: bytes) -> None:
    """One sheet, repaired."""
    there = sheet(Feed(content), most=8).content
    disk = disk_with(_PATH, there)
    before = line_by_line(_PATH, there)
    repair(NOWHERE, FIRST_DAY + timedelta(days=1), disk)
    mended = disk.files[_PATH].content
    after = line_by_line(_PATH, mended)
    assert after.entries == before.entries, "what counted counts, in its order"
    assert after.bad == (), "nothing is left that does not count"
    assert mended == there or any(file.content == there for path, file in disk.files.items() if "/aside/" in path)
    assert repair(NOWHERE, FIRST_DAY + timedelta(days=1), disk) == [], "once is enough"
