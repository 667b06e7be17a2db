"""Every test has a home of its own: nothing of the user's is read or written."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.desks.clones import DAY, Machine
from tests.desks.laptops import ROOM, Clock, colony


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The keeper's home folder."""
    folder = tmp_path / "home"
    folder.mkdir()
    monkeypatch.setenv("HOME", str(folder))
    for name in ("STATE", "CACHE", "CONFIG", "DATA"):
        monkeypatch.setenv(f"XDG_{name}_HOME", str(folder / name.lower()))
    return folder


@pytest.fixture
def clock() -> Clock:
    """The clock of every machine."""
    return Clock(DAY)


@pytest.fixture
def shed(tmp_path: Path, clock: Clock) -> Machine:
    """A machine with a colony."""
    machine = Machine(tmp_path / "shed", clock)
    machine.home.mkdir(parents=True)
    colony(machine.colony, ROOM)
    return machine
