"""The plain door, in this process: a colony of its own, a clock that is set by hand, and what was said."""

from __future__ import annotations

import io
import json
from datetime import datetime
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from rounds.cli import main
from tests.notation import at


class Said(NamedTuple):
    """What a command said: exit code, data and words."""

    code: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        """The data of a call with --json."""
        return json.loads(self.out)


class Door:
    """`rounds` in a colony of its own, at a time of the room's clock."""

    def __init__(self, folder: Path, environment: dict[str, str]) -> None:
        self.folder = folder
        self.environment = environment
        self.now = at("2026-04-12 18:00")

    def __call__(self, *words: str, stdin: str | bytes = b"", by: str | None = "AK") -> Said:
        """Carry out a command line."""
        out, err = io.StringIO(), io.StringIO()
        environment = dict(self.environment)
        if by is not None:
            environment["ROUNDS_KEEPER"] = by
        code = main(
            words,
            clock=self._clock,
            environment=environment,
            stdin=io.BytesIO(stdin.encode() if isinstance(stdin, str) else stdin),
            out=out,
            err=err,
        )
        return Said(code, out.getvalue(), err.getvalue())

    def _clock(self) -> datetime:
        return self.now

    def at(self, moment: str) -> None:
        """Set the clock."""
        self.now = at(moment)

    def well(self, *words: str, stdin: str | bytes = b"", by: str | None = "AK") -> Said:
        """Carry out a command line that has to succeed."""
        said = self(*words, stdin=stdin, by=by)
        assert said.code == 0, said.err
        return said

    def sheets(self) -> dict[str, bytes]:
        """Every sheet by its path."""
        return {
            str(path.relative_to(self.folder)): path.read_bytes()
            for path in sorted((self.folder / "sheets").rglob("*.jsonl"))
        }


@pytest.fixture
def door(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Door:
    """A colony that was just started, in the room's zone Europe/Vienna."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    folder = tmp_path / "colony"
    found = Door(folder, {"ROUNDS_COLONY": str(folder), "XDG_STATE_HOME": str(tmp_path / "state")})
    found.well("new", "--name", "Quandong shed", "--time-zone", "Europe/Vienna")
    return found


@pytest.fixture
def room(door: Door) -> Door:
    """A room with three enclosures and three animals, set up on 1 March."""
    door.at("2026-03-01 08:00")
    lines = [
        {"kind": "enclosure_set_up", "about": "b3", "name": "B3"},
        {"kind": "enclosure_set_up", "about": "b4", "name": "B4"},
        {"kind": "enclosure_set_up", "about": "l1", "name": "L1", "what": "lay box"},
        {
            "kind": "arrived",
            "about": "wattle",
            "name": "Wattle",
            "sex": "F",
            "place": "b3",
            "hatched": "2023-02-01",
        },
        {"kind": "arrived", "about": "sedge", "name": "Sedge", "sex": "F", "place": "b3", "hatched": "2023-12-01"},
        {"kind": "arrived", "about": "karri", "name": "Karri", "sex": "M", "place": "b4", "hatched": "2022-02-01"},
    ]
    door.well("log", "-", stdin="\n".join(map(json.dumps, lines)))
    door.at("2026-04-12 18:00")
    return door
