"""Windows of one machine, as processes: each has a name of its own, and a crash gives it back."""

from __future__ import annotations

import fcntl
import os
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from rounds.desk.desk import Desk
from rounds.sheets.store import Sheets
from tests.conftest import RecordFigure
from tests.desks.laptops import colony, note

PROJECT = Path(__file__).parents[2]
WINDOW = """
import sys
from pathlib import Path
from rounds.desk.desk import Desk
from rounds.logbook.drafts import draft
from rounds.logbook.entries import Noted
desk = Desk.open(Path(sys.argv[1]), keeper=sys.argv[2])
print(desk.name, flush=True)
for line in sys.stdin:
    (entry,) = desk.record(draft(Noted, "room", note=line.strip()))
    print(entry.id, flush=True)
"""


class Window:
    """A window: a process with an open desk that writes a note for each line it is given."""

    def __init__(self, folder: Path, keeper: str = "AK") -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-c", WINDOW, str(folder), keeper],
            cwd=PROJECT,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        self.name = self._answer()

    def _answer(self) -> str:
        assert self.process.stdout is not None
        return self.process.stdout.readline().strip()

    def write(self, text: str) -> str:
        """Have a note written; its id once it was acknowledged."""
        assert self.process.stdin is not None
        self.process.stdin.write(text + "\n")
        self.process.stdin.flush()
        return self._answer()

    def kill(self) -> None:
        """End it as a crash does."""
        self.process.kill()
        self.process.wait(20)

    def close(self) -> None:
        """Let go of it."""
        self.kill()
        for stream in (self.process.stdin, self.process.stdout):
            assert stream is not None
            stream.close()


@contextmanager
def windows(folder: Path, many: int) -> Iterator[list[Window]]:
    """So many windows, one opened after the other."""
    opened: list[Window] = []
    try:
        for _ in range(many):
            opened.append(Window(folder))
        yield opened
    finally:
        for window in opened:
            window.close()


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A colony."""
    return colony(tmp_path / "colony")


def test_a_third_window_gets_the_third_name_and_a_killed_ones_name_is_free_at_once(
    folder: Path, record_figure: RecordFigure
) -> None:
    with windows(folder, 3) as (one, two, three):
        own = one.name
        assert [two.name, three.name] == [f"{own}-2", f"{own}-3"]
        written = [window.write(f"from {window.name}") for window in (one, two, three)]
        two.kill()
        started = time.monotonic()
        with windows(folder, 2) as (fourth, fifth):
            assert (fourth.name, fifth.name) == (f"{own}-2", f"{own}-4")
            took = time.monotonic() - started
            written += [fourth.write("in the place of the second"), one.write("still here")]
    found = [entry.id for entry in Sheets(folder, "reader").read()]
    assert all(found.count(one) == 1 for one in written)
    sheets = {path.name.split(".")[1] for path in folder.rglob("*.jsonl")} - {"before"}
    assert sheets == {own, f"{own}-2", f"{own}-3"}, "each window has its own sheet and no other"
    record_figure("a name after kill -9", f"free for the next window, two of which started in {took:.2f} s")


def test_the_lock_outlives_neither_a_crash_nor_its_process_id(folder: Path, home: Path) -> None:
    with windows(folder, 1) as (one,):
        name = one.name
        lock = home / "state" / "rounds" / "desks" / f"{name}.lock"
        assert lock.read_text().splitlines()[0] == str(one.process.pid)
        one.kill()
        assert lock.exists(), "a crash leaves the file"
    # The number of the dead process belongs to a living one by now: this test's own.
    lock.write_text(f"{os.getpid()}\n{folder}\n")
    with windows(folder, 1) as (again,):
        assert again.name == name
        with lock.open() as held, pytest.raises(BlockingIOError):
            fcntl.flock(held, fcntl.LOCK_EX | fcntl.LOCK_NB)


def test_a_window_that_only_looks_takes_no_name(folder: Path) -> None:
    desk = Desk.open(folder, writing=False)
    assert desk.name == "reader"
    with windows(folder, 1) as (one,):
        assert not one.name.endswith("-2")
        noted = one.write("seen by whoever looks")
        assert desk.news() == {"room"}
        assert noted in {entry.id for entry in desk.recent}


def test_one_process_that_opens_a_colony_twice_is_two_desks(folder: Path) -> None:
    first, second = (Desk.open(folder, keeper=by) for by in ("AK", "EM"))
    assert second.name == f"{first.name}-2"
    first.record(note("one"))
    second.record(note("two"))
    assert first.news() == second.news() == {"room"}
    first.close()
    third = Desk.open(folder, keeper="LO")
    assert third.name == first.name
    second.close()
    third.close()
