"""A keeper's machine as a program sees it: a home folder, its environment, and a colony's folder.

Everything is done from outside, by the command line of the program under trial. Nothing of `rounds` is imported.
"""

from __future__ import annotations

import json
import os
import stat
import subprocess
import time
from collections.abc import Iterable, Mapping
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, NamedTuple

#: How long one command may take before the case gives up, in s.
PATIENCE = 120.0
#: The hour of the room in every case: care of the morning is due whenever the cases are run.
ROOM_HOUR = 9

Line = Mapping[str, Any]


class Ran(NamedTuple):
    """One command that has ended."""

    code: int
    out: str
    err: str

    @property
    def said(self) -> str:
        """All that it said, on both outputs."""
        return self.out + self.err

    @property
    def traceback(self) -> bool:
        """Whether a keeper saw a traceback."""
        return "Traceback (most recent call last)" in self.said


class Home:
    """A home folder on a machine, with the state, cache and data folders in it."""

    def __init__(
        self, rounds: Path, folder: Path, colony: Path | None = None, inside: tuple[str, ...] = ()
    ) -> None:
        self.rounds = rounds
        #: What the program is run inside of: a command that makes another user or another machine of this one.
        self.inside = inside
        self.folder = folder
        self.colony = colony or folder / "colony"
        folder.mkdir(parents=True, exist_ok=True)

    @property
    def state(self) -> Path:
        """What belongs to this machine and not to the colony."""
        return self.folder / ".local" / "state" / "rounds"

    def environment(self, **more: str) -> dict[str, str]:
        """What the program is told of this home, and nothing of the one the cases run in."""
        kept = {name: os.environ[name] for name in ("PATH", "LANG", "LC_ALL", "TZ") if name in os.environ}
        return {
            **kept,
            "HOME": str(self.folder),
            "TMPDIR": str(self.folder),
            "XDG_STATE_HOME": str(self.folder / ".local" / "state"),
            "XDG_CACHE_HOME": str(self.folder / ".cache"),
            "XDG_DATA_HOME": str(self.folder / ".local" / "share"),
            "XDG_CONFIG_HOME": str(self.folder / ".config"),
            "ROUNDS_COLONY": str(self.colony),
            "ROUNDS_KEEPER": "AK",
            "TERM": "xterm-256color",
            "PYTHONUTF8": "1",
            **more,
        }

    def run(self, *words: str, given: str | bytes = b"", **more: str) -> Ran:
        """Run one command to its end."""
        done = subprocess.run(
            [*self.inside, str(self.rounds), *words],
            input=given.encode() if isinstance(given, str) else given,
            capture_output=True,
            env=self.environment(**more),
            timeout=PATIENCE,
            check=False,
        )
        return Ran(done.returncode, done.stdout.decode(errors="replace"), done.stderr.decode(errors="replace"))

    def must(self, *words: str, given: str | bytes = b"") -> Ran:
        """Run a command that the case stands on. Raises `AssertionError` when it does not end well."""
        ran = self.run(*words, given=given)
        assert ran.code == 0, f"rounds {' '.join(words)} ended with {ran.code}: {ran.said[-600:]}"
        return ran

    def begin(self, lines: Iterable[Line]) -> None:
        """Begin a colony in which it is nine in the morning, and write these lines."""
        self.must("new", str(self.colony), "--name", "Quandong shed", "--time-zone", room_zone())
        self.log(lines)

    def log(self, lines: Iterable[Line]) -> Ran:
        """Write many entries in one save."""
        return self.must("log", "-", given="".join(json.dumps(line) + "\n" for line in lines))

    def entries(self, colony: Path | None = None) -> list[dict[str, Any]]:
        """Every entry that counts, as the program prints them."""
        ran = self.must("--colony", str(colony or self.colony), "show", "--lines")
        return [json.loads(line) for line in ran.out.splitlines()]

    def notes(self) -> set[str]:
        """The notes among the entries."""
        return {entry["note"] for entry in self.entries() if entry.get("note")}

    def check(self) -> Ran:
        """What `rounds check` says."""
        return self.run("check")

    def sheets(self) -> list[Path]:
        """Every file among the sheets, by name; no link, no pipe."""
        return sheets_of(self.colony)

    def sheet(self) -> Path:
        """The newest sheet, where there is one desk."""
        return self.sheets()[-1]


def sheets_of(colony: Path) -> list[Path]:
    """The sheets of a colony, by name; no link, no pipe, no folder."""
    found = colony.glob("sheets/2*/*.jsonl")
    return sorted(path for path in found if stat.S_ISREG(path.lstat().st_mode))


def room_zone() -> str:
    """The time zone in which it is nine in the morning just now."""
    behind = datetime.now(UTC).hour - ROOM_HOUR  # hours that the room is behind UTC, from -9 to 14
    if behind > 12:
        behind -= 24
    return "Etc/GMT" if not behind else f"Etc/GMT{behind:+d}"


def room_now() -> datetime:
    """The room's clock."""
    from zoneinfo import ZoneInfo

    return datetime.now(ZoneInfo(room_zone()))


def enclosures(count: int) -> list[Line]:
    """So many enclosures with a dragon in each, set up and weighed some weeks ago."""
    from datetime import timedelta

    begun = room_now() - timedelta(days=40)
    lines: list[Line] = []
    for number in range(1, count + 1):
        name = ANIMALS[number - 1] if number <= len(ANIMALS) else f"Dragon {number}"
        slug = name.lower().replace(" ", "-")
        stamp = begun.isoformat(timespec="seconds")
        lines += [
            {"kind": "enclosure_set_up", "about": f"enclosure/b{number}", "name": f"B{number}", "at": stamp},
            {
                "kind": "arrived",
                "about": f"animal/{slug}",
                "name": name,
                "sex": "FM"[number % 2],
                "place": f"enclosure/b{number}",
                "hatched": f"{begun.year - 3}-03-01",
                "at": stamp,
            },
            {"kind": "weighed", "about": f"animal/{slug}", "grams": 450, "at": stamp},
        ]
    return lines


ANIMALS = ("Wattle", "Karri", "Sedge", "Mulga", "Banksia", "Correa")


def wait_for(seconds: float) -> None:
    """Let the program under trial do what it does by itself in that time."""
    time.sleep(seconds)
