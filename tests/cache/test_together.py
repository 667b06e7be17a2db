"""A history read by several processes is the history; one that fails is made up for, and none is left behind."""

from __future__ import annotations

import os
import signal
import threading
from pathlib import Path

import pytest

from rounds.cache import lines as lines_module
from rounds.cache import together
from rounds.cache.cache import Cache
from rounds.cache.kept import page_bytes
from rounds.desk.colony_file import load
from rounds.desk.desk import Desk
from rounds.sheets.store import Sheets
from tests.benchmarks.long_history import write
from tests.cache.test_cache import everything
from tests.cache.test_lines import by_the_sheets
from tests.desks.laptops import Clock

LAST = Clock("2026-04-11 12:00").now.date()


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Four months of a small colony, with a damaged line and a copy of a sheet."""
    made = tmp_path_factory.mktemp("long") / "colony"
    write(made, 20, 120, LAST)
    sheets = sorted((made / "sheets/2026").glob("*.jsonl"))
    content = sheets[5].read_bytes()
    sheets[5].write_bytes(content.replace(b'"by":"', b'"by":"X', 1))
    sheets[9].with_name(f"{sheets[9].stem} (copy).jsonl").write_bytes(sheets[9].read_bytes())
    return made


@pytest.fixture
def clock() -> Clock:
    return Clock("2026-04-12 07:00")


@pytest.fixture(autouse=True)
def _small(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(lines_module, "WORTH_A_RUN", 1)


def desk_on(folder: Path, clock: Clock, keep: Path) -> Desk:
    return Desk(folder, load(folder), Sheets(folder, "rack"), clock=clock, keeper="AK", cache=Cache(folder, keep))


def alone(folder: Path, clock: Clock, keep: Path) -> dict[str, object]:
    """What one process reads."""
    desk = desk_on(folder, clock, keep)
    for _ in desk.reading():
        pass
    return everything(desk)


def no_child_is_left() -> bool:
    try:
        os.waitpid(-1, os.WNOHANG)
    except ChildProcessError:
        return True
    return False


@pytest.mark.parametrize("processes", [2, 3, 5])
def test_what_several_processes_read_is_what_one_reads(
    folder: Path, clock: Clock, tmp_path: Path, processes: int
) -> None:
    desk = desk_on(folder, clock, tmp_path / "several")
    told = list(desk.reading(processes))
    assert told[-1][0] == told[-1][1]
    assert told == sorted(told)
    assert everything(desk) == alone(folder, clock, tmp_path / "one")
    assert desk.troubles
    assert desk.news() == frozenset()
    for subject in ("room", "enclosure/t0003", "animal/a00001"):
        assert desk.history(subject) == by_the_sheets(folder, subject)
    assert desk._cache is not None
    assert desk._cache.lines is not None
    assert no_child_is_left()


def test_a_process_that_dies_is_made_up_for(
    folder: Path, clock: Clock, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    listen = together.Helper.listen

    def killed(helper: together.Helper, wait: float) -> bool:
        if helper.done == 0:
            os.kill(helper._process, signal.SIGKILL)
        return listen(helper, wait)

    monkeypatch.setattr(together.Helper, "listen", killed)
    desk = desk_on(folder, clock, tmp_path / "several")
    for _ in desk.reading(3):
        pass
    assert everything(desk) == alone(folder, clock, tmp_path / "one")
    assert no_child_is_left()


def test_what_a_process_left_half_written_is_not_taken(
    folder: Path, clock: Clock, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("rounds.cache.together.page_bytes", lambda page: page_bytes(page)[:-4])
    desk = desk_on(folder, clock, tmp_path / "several")
    for _ in desk.reading(2):
        pass
    assert everything(desk) == alone(folder, clock, tmp_path / "one")


def test_where_no_process_can_be_had_one_reads_it_all(
    folder: Path, clock: Clock, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refused() -> int:
        raise OSError("no more processes")

    monkeypatch.setattr(os, "fork", refused)
    desk = desk_on(folder, clock, tmp_path / "several")
    for _ in desk.reading(4):
        pass
    assert everything(desk) == alone(folder, clock, tmp_path / "one")


def test_broken_off_no_process_is_left(folder: Path, clock: Clock, tmp_path: Path) -> None:
    reading = desk_on(folder, clock, tmp_path / "several").reading(4)
    next(reading)
    reading.close()
    assert no_child_is_left()


def test_a_short_history_and_a_program_with_threads_are_read_by_one(monkeypatch: pytest.MonkeyPatch) -> None:
    assert together.shares_for(1000) == 1
    monkeypatch.setattr(threading, "active_count", lambda: 2)
    assert together.shares_for(10 << 30) == 1
