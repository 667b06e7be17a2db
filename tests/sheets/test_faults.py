"""Each file call fails in turn, the power is cut at each: nothing acknowledged is lost, nothing is half there."""

from __future__ import annotations

import errno
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from rounds.errors import NotSaved
from rounds.logbook.entries import Entry
from rounds.sheets.store import Sheets
from tests.conftest import RecordFigure
from tests.sheets.memory_disk import CHANGING, HookedDisk, MemoryDisk, PowerCut
from tests.sheets.saves import FIRST_DAY, NOWHERE, SECOND_DAY, ids, read_back, save

FAULTS = {
    "disk full": errno.ENOSPC,
    "I/O error": errno.EIO,
    "read-only": errno.EROFS,
    "permission taken away": errno.EACCES,
    "file gone": errno.ENOENT,
}
#: Three saves of a day, the second of several lines, then the next day.
STORY: list[tuple[date, list[Entry]]] = [
    (FIRST_DAY, save(0)),
    (FIRST_DAY, save(10, 3)),
    (FIRST_DAY, save(20)),
    (SECOND_DAY, save(30, 2)),
    (SECOND_DAY, save(40)),
]
Disks = Callable[[Callable[[str, str], None]], MemoryDisk | HookedDisk]


class Fault:
    """Fails the call of a number; with `lasting`, every changing call from there on until it is mended."""

    def __init__(self, number: int, code: int, *, lasting: bool = False) -> None:
        self.number, self.code, self.lasting = number, code, lasting
        self.calls = 0
        self.struck = self.mended = False
        self.disk: MemoryDisk | HookedDisk | None = None
        self.short = False

    def __call__(self, name: str, path: str) -> None:
        self.calls += 1
        if self.mended:
            return
        if self.calls == self.number or (self.struck and self.lasting and name in CHANGING):
            if self.short and name == "write" and not self.struck:
                assert self.disk is not None
                self.disk.takes = 7  # the next call for the rest of the bytes fails
                self.struck, self.number = True, self.calls + 1
                return
            self.struck = True
            raise OSError(self.code, "made to fail")


def tell_the_story(sheets: Sheets, fault: Fault, look: Callable[[], list[Entry]]) -> list[Entry]:
    """Write the story, trying again what was not saved; what is on the sheets is looked at after each failure."""
    acknowledged: list[Entry] = []
    for day, entries in STORY:
        for _ in range(3):
            try:
                sheets.append(entries, day)
            except NotSaved as error:
                told = str(error)
            else:
                acknowledged += entries
                break
            assert told.startswith(f"Not saved: {entries[0].about}")
            assert "ry again" in told
            fault.mended, mended = True, fault.mended
            found = ids(look())
            fault.mended = mended or fault.lasting
            # While a disk goes on failing, what was written before its sync failed cannot be taken back.
            assert found == ids(acknowledged) or (fault.lasting and found == ids([*acknowledged, *entries]))
        else:
            raise AssertionError("it should be saved once the disk is well again")
    return acknowledged


@pytest.fixture(params=["memory", "disk"])
def disks(request: pytest.FixtureRequest, tmp_path: Path) -> Disks:
    """Makes a new, empty disk each time."""
    made = [0]

    def make(before: Callable[[str, str], None]) -> MemoryDisk | HookedDisk:
        if request.param == "memory":
            return MemoryDisk(before)
        made[0] += 1
        folder = tmp_path / str(made[0])
        folder.mkdir()
        return HookedDisk(str(folder), before)

    return make


def _calls_of_the_story(disks: Disks) -> list[str]:
    calls: list[str] = []
    disk = disks(lambda name, _: calls.append(name))
    tell_the_story(Sheets(NOWHERE, "rack", disk), Fault(-1, 0), lambda: [])
    return calls


@pytest.mark.parametrize("lasting", [False, True], ids=["once", "lasting"])
def test_whichever_call_fails_what_was_acknowledged_is_there_and_the_rest_can_be_tried_again(
    disks: Disks, lasting: bool, request: pytest.FixtureRequest, record_figure: RecordFigure
) -> None:
    cases = struck = 0
    for call, name in enumerate(_calls_of_the_story(disks), 1):
        for code in FAULTS.values():
            for short in (False, True) if name == "write" else (False,):
                fault = Fault(call, code, lasting=lasting)
                fault.short = short
                disk = fault.disk = disks(fault)
                sheets = Sheets(NOWHERE, "rack", disk)
                told = tell_the_story(sheets, fault, lambda disk=disk: read_back(disk))  # type: ignore[misc]
                fault.mended = True
                assert ids(read_back(disk)) == ids(told)
                sheets.close()
                cases += 1
                struck += fault.struck
    assert struck == cases
    kind = request.node.callspec.params["disks"]
    record_figure(f"faults injected, {kind}, {'lasting' if lasting else 'once'}", f"{cases}, nothing lost")


def test_whenever_the_power_is_cut_what_was_acknowledged_is_there_and_no_save_is_half_there(
    record_figure: RecordFigure,
) -> None:
    calls = len(_calls_of_the_story(MemoryDisk))
    cuts = images = 0
    for call in range(1, calls + 2):
        acknowledged: list[Entry] = []
        under_way: list[Entry] = []

        counted = [0]

        def cut_off(_name: str, _path: str, last: int = call, counted: list[int] = counted) -> None:
            counted[0] += 1
            if counted[0] >= last:
                raise PowerCut

        disk = MemoryDisk(cut_off)
        try:
            sheets = Sheets(NOWHERE, "rack", disk)
            for day, entries in STORY:
                under_way = entries
                sheets.append(entries, day)
                acknowledged += entries
                under_way = []
        except PowerCut:
            cuts += 1
        disk.before = None
        seen: set[tuple[tuple[str, bytes], ...]] = set()
        for image in disk.after_power_cut():
            state = tuple(sorted(image.contents().items()))
            if state in seen:
                continue
            seen.add(state)
            images += 1
            found = ids(read_back(image))
            assert found in (ids(acknowledged), ids([*acknowledged, *under_way]))
            before_next = image.contents()
            later = Sheets(NOWHERE, "rack", image)
            later.append(save(90, 2), SECOND_DAY)
            assert ids(read_back(image)) == sorted([*found, *ids(save(90, 2))])
            for path, content in before_next.items():
                if "03-10" in path:
                    assert image.contents()[path] == content, "yesterday's sheet is never opened for writing"
    record_figure(
        "power cuts", f"{cuts} instants, {images} disks found afterwards, nothing lost, no save half there"
    )


def test_after_a_failed_sync_that_sheet_is_never_written_to_again() -> None:
    failing = [False]

    def before(name: str, _path: str) -> None:
        if name == "sync" and failing[0]:
            failing[0] = False
            raise OSError(errno.EIO, "Input/output error")

    disk = MemoryDisk(before)
    sheets = Sheets(NOWHERE, "rack", disk)
    sheets.append(save(0), FIRST_DAY)
    failing[0] = True
    with pytest.raises(NotSaved, match="Copy the colony to another disk"):
        sheets.append(save(10, 2), FIRST_DAY)
    held = disk.contents()["sheets/2026/2026-03-10.rack.jsonl"]
    sheets.append(save(10, 2), FIRST_DAY)
    assert disk.contents()["sheets/2026/2026-03-10.rack.jsonl"] == held
    assert "sheets/2026/2026-03-10.rack.2.jsonl" in disk.contents()
    assert ids(read_back(disk)) == ids([*save(0), *save(10, 2)])


def test_failed_tries_leave_no_files_behind() -> None:
    def full(name: str, _path: str) -> None:
        if name in ("write", "sync"):
            raise OSError(errno.ENOSPC, "No space left on device")

    disk = MemoryDisk(full)
    sheets = Sheets(NOWHERE, "rack", disk)
    for _ in range(5):
        with pytest.raises(NotSaved, match=r"The reason: the disk is full\. Make room on it, then try again"):
            sheets.append(save(0), FIRST_DAY)
    assert disk.contents() == {}
    disk.before = None
    sheets.append(save(0), FIRST_DAY)
    assert list(disk.contents()) == ["sheets/2026/2026-03-10.rack.jsonl"]
