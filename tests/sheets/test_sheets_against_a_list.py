"""Whatever desks do and whatever befalls them, the sheets hold exactly what was acknowledged: a list says so."""

from __future__ import annotations

import shutil
import tempfile
from datetime import timedelta
from pathlib import Path

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

from rounds.errors import NotSaved
from rounds.logbook.entries import Entry
from rounds.sheets.store import Sheets
from tests.conftest import RecordFigure
from tests.sheets.memory_disk import CHANGING, HookedDisk, MemoryDisk
from tests.sheets.saves import FIRST_DAY, NOWHERE, entry, ids

DESKS = ("cellar", "rack", "shelf")
_STEPS = {"memory": 0, "disk": 0}


class Colony(RuleBasedStateMachine):
    """Three desks and a reader on one colony; `acknowledged` is the plain list they are held to."""

    where = "memory"

    def __init__(self) -> None:
        super().__init__()
        self.failing: list[str] = []
        self.folder: Path | None = None
        if self.where == "disk":
            self.folder = Path(tempfile.mkdtemp(prefix="colony-"))
            self.disk: MemoryDisk | HookedDisk = HookedDisk(str(self.folder), self.before)
        else:
            self.disk = MemoryDisk(self.before)
        self.acknowledged: list[Entry] = []
        self.heard: list[str] = []
        self.day = FIRST_DAY
        self.next = 0
        self.older: dict[str, bytes] = {}
        self.desks = {desk: Sheets(NOWHERE, desk, self.disk) for desk in DESKS}
        self.reader = Sheets(NOWHERE, "reader", self.disk)

    def before(self, name: str, path: str) -> None:
        """Fail once, at the call that was asked for."""
        if self.failing and (name == self.failing[0] or (self.failing[0] == "any" and name in CHANGING)):
            self.failing.clear()
            raise OSError(28, "No space left on device")

    @initialize()
    def begin(self) -> None:
        assert self.reader.read() == []

    @rule(desk=st.sampled_from(DESKS), many=st.integers(1, 4), note=st.sampled_from(["", "ä\n", "x" * 9_000]))
    def save(self, desk: str, many: int, note: str) -> None:
        entries = [entry(self.next + number, desk[:2], note) for number in range(many)]
        self.next += many
        try:
            self.desks[desk].append(entries, self.day)
        except NotSaved:
            self.failing.clear()
            if self.next % 2:  # the keeper tries again, or gives it up
                self.desks[desk].append(entries, self.day)
                self.acknowledged += entries
        else:
            self.acknowledged += entries
        self.failing.clear()

    @rule(call=st.sampled_from(["write", "sync", "cut", "create", "sync_folder", "status", "any"]))
    def the_disk_fails_next_time(self, call: str) -> None:
        self.failing = [call]

    @rule(desk=st.sampled_from(DESKS))
    def a_desk_is_started_again(self, desk: str) -> None:
        self.failing.clear()
        self.desks[desk].close()
        self.desks[desk] = Sheets(NOWHERE, desk, self.disk)
        assert ids(self.desks[desk].read()) == ids(self.acknowledged)

    @rule()
    def a_day_goes_by(self) -> None:
        self.older = self.contents()
        self.day += timedelta(days=1)

    @rule()
    def the_reader_hears_the_news(self) -> None:
        self.failing.clear()
        self.heard += ids(self.reader.news())
        assert sorted(self.heard) == ids(self.acknowledged)

    @rule()
    def the_reader_takes_up_its_marks(self) -> None:
        self.failing.clear()
        self.heard += ids(self.reader.news())
        marks = self.reader.marks()
        self.reader = Sheets(NOWHERE, "reader", self.disk)
        assert self.reader.resume(marks)

    @precondition(lambda self: self.where == "memory")
    @rule(choice=st.integers(0, 10_000))
    def the_power_is_cut(self, choice: int) -> None:
        assert isinstance(self.disk, MemoryDisk)
        self.failing.clear()
        images = list(self.disk.after_power_cut())
        self.disk = images[choice % len(images)]
        self.disk.before = self.before
        self.desks = {desk: Sheets(NOWHERE, desk, self.disk) for desk in DESKS}
        self.reader = Sheets(NOWHERE, "reader", self.disk)
        # A save that failed its sync and was cut back may come back whole: it was written, though not confirmed.
        found = self.reader.read()
        assert set(ids(self.acknowledged)) <= set(ids(found))
        self.acknowledged, self.heard = found, ids(found)
        self.older = {}

    @invariant()
    def exactly_what_was_acknowledged_is_there(self) -> None:
        _STEPS[self.where] += 1
        failing, self.failing = self.failing, []
        fresh = Sheets(NOWHERE, "reader", self.disk)
        assert ids(fresh.read()) == ids(self.acknowledged)
        # A power cut may leave the beginning of a save that was never acknowledged.
        assert [trouble for trouble in fresh.troubles if "not finished" not in trouble.what] == []
        now = self.contents()
        for path, content in self.older.items():
            assert now[path] == content, "an older sheet is byte for byte the same"
        self.failing = failing

    def contents(self) -> dict[str, bytes]:
        """Every sheet's bytes."""
        if isinstance(self.disk, MemoryDisk):
            return self.disk.contents()
        assert self.folder is not None
        return {str(path): path.read_bytes() for path in self.folder.rglob("*.jsonl")}

    def teardown(self) -> None:
        for desk in self.desks.values():
            desk.close()
        if self.folder is not None:
            shutil.rmtree(self.folder)


class ColonyOnDisk(Colony):
    """The same on the real disk."""

    where = "disk"


def _run(machine: type[Colony], examples: int, steps: int) -> None:
    run_state_machine_as_test(
        machine,
        settings=settings(
            max_examples=examples,
            stateful_step_count=steps,
            deadline=None,
            suppress_health_check=list(HealthCheck),
            print_blob=True,
        ),
    )


def test_sheets_in_memory_hold_exactly_what_was_acknowledged(record_figure: RecordFigure) -> None:
    _run(Colony, 150, 30)
    record_figure("steps held against a plain list, memory", _STEPS["memory"])


def test_sheets_on_disk_hold_exactly_what_was_acknowledged(record_figure: RecordFigure) -> None:
    _run(ColonyOnDisk, 25, 25)
    record_figure("steps held against a plain list, disk", _STEPS["disk"])
