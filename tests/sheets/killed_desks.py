"""Desks in processes of their own, killed at random instants. Run by `test_kills.py`, not by itself.

    python -m tests.sheets.killed_desks FOLDER KILLS DESKS SEED

Each round forks DESKS writers, which hold a writer lock each, write saves and tell down a pipe what was
acknowledged; a random while after all of them told something (or one did: the others may be killed as they begin)
each is killed (SIGKILL), and what is on the sheets is held against what they told. Prints the counts as JSON. It
ends with the kills, not after a time: a machine busy with other things sees as many.
"""

from __future__ import annotations

import json
import os
import random
import select
import signal
import sys
import time
from datetime import date, timedelta
from pathlib import Path

from rounds.desk import writer_lock
from rounds.logbook.entries import Entry, Noted
from rounds.sheets.disk import Disk
from rounds.sheets.store import Sheets
from tests.sheets.saves import moment

FIRST = date(2026, 3, 10)


def entries(writer: str, number: int, rng: random.Random) -> list[Entry]:
    """A save of some entries, some of them longer than a page of memory."""
    many = rng.choice([1, 1, 2, 3, 5, 24])
    long = rng.choice([0, 0, 40, 9_000])
    return [
        Noted(id=f"{writer}.{number}.{many}.{place}", at=moment(number), by="AK", about="room", note="x" * long)
        for place in range(many)
    ]


def write(folder: Path, state: Path, writer: str, pipe: int, day: date, seed: int) -> None:
    """Write until killed; each acknowledged save is told by its number and length."""
    rng = random.Random(seed)
    lock = writer_lock.acquire(state, folder, "rack-test")
    sheets = Sheets(folder, lock.name, journal=Disk(str(state / "journal")), identity=lock)
    sheets.look_after_own(day, back=True)
    number = 0
    while True:
        save = entries(writer, number, rng)
        sheets.append(save, day)
        os.write(pipe, f"{writer} {number} {len(save)} {lock.name}\n".encode())
        number += 1


def main() -> None:
    """Kill, look, and again."""
    folder, kills, desks, seed = sys.argv[1], *map(int, sys.argv[2:5])
    rng = random.Random(seed)
    colony, state = Path(folder) / "colony", Path(folder) / "state"
    colony.mkdir()
    (colony / "colony.toml").write_text('name = "Quandong shed"\n')
    (state / "journal").mkdir(parents=True)
    begun: set[str] = set()
    counts = {
        "kills": 0,
        "acknowledged": 0,
        "told nothing": 0,
        "in flight, whole": 0,
        "torn ends": 0,
        "full reads": 0,
    }
    names: set[str] = set()
    acknowledged: set[str] = set()
    attempted_whole: set[str] = set()
    found: set[str] = set()
    reader = Sheets(colony, "reader")
    reader.read()
    while counts["kills"] < kills:
        day = FIRST + timedelta(days=counts["kills"] // 60)
        older = {path: path.read_bytes() for path in colony.rglob("*.jsonl") if path.name[:10] < day.isoformat()}
        children: list[tuple[int, int, str]] = []
        for desk in range(desks):
            writer = f"w{counts['kills']}-{desk}"
            told, pipe = os.pipe()
            child = os.fork()
            if child == 0:
                try:
                    os.close(told)
                    write(colony, state, writer, pipe, day, rng.randrange(1 << 30) + desk)
                finally:
                    os._exit(3)
            os.close(pipe)
            children.append((child, told, writer))
        waiting = {told for _, told, _ in children}
        every = rng.random() < 0.5
        while waiting:
            waiting -= set(select.select(waiting, [], [])[0])
            if not every:
                break
        time.sleep(rng.random() * 0.008)
        for child, _, _ in children:
            os.kill(child, signal.SIGKILL)
        for child, told, _ in children:
            _, status = os.waitpid(child, 0)
            assert os.WIFSIGNALED(status), f"a writer ended by itself: {status}"
            counts["kills"] += 1
            with os.fdopen(told, "rb") as lines:
                every_line = lines.read().decode().splitlines()
                counts["told nothing"] += not every_line
                for line in every_line:
                    name, number, many, held = line.split()
                    names.add(held)
                    acknowledged.update(f"{name}.{number}.{many}.{place}" for place in range(int(many)))
        counts["torn ends"] += torn_ends(colony, day)
        found.update(entry.id for entry in reader.news())
        # What one was killed in a later desk writes to its end: the next, or one after it if that died as it began.
        begun |= {writer for _, _, writer in children}
        check(acknowledged, found, begun, attempted_whole)
        for path, content in older.items():
            assert path.read_bytes() == content, f"{path.name} is of an older day and has changed"
        if rng.random() < 0.05:
            counts["full reads"] += 1
            assert {entry.id for entry in Sheets(colony, "reader").read()} == found
    last = Sheets(colony, "rack-test")
    everything = last.read()
    assert {entry.id for entry in everything} == found
    assert len(everything) == len(found)
    assert [one.what for one in last.troubles if "not finished" not in one.what] == []
    counts["acknowledged"] = len(acknowledged)
    counts["in flight, whole"] = len({identity.rsplit(".", 2)[0] for identity in found - acknowledged})
    counts["desk names"] = len(names)
    print(json.dumps(counts))


def torn_ends(colony: Path, day: date) -> int:
    """Sheets of the day that end within a save."""
    from rounds.sheets.open_sheet import last_save

    disk, torn = Disk(str(colony)), 0
    for path in colony.rglob(f"{day.isoformat()}.*.jsonl"):
        handle = disk.open(str(path.relative_to(colony)), os.O_RDONLY)
        cut = last_save(disk, handle, path.stat().st_size)
        torn += bool(cut and cut[2])
        disk.close(handle)
    return torn


def check(acknowledged: set[str], found: set[str], writers: set[str], whole: set[str]) -> None:
    """All that was acknowledged is there; of the rest at most one save of each writer, ever, and that whole."""
    assert acknowledged <= found, sorted(acknowledged - found)[:5]
    had = {identity.split(".")[0] for identity in whole}
    extra: dict[str, set[str]] = {}
    for identity in found - acknowledged - whole:
        save, _ = identity.rsplit(".", 1)
        extra.setdefault(save, set()).add(identity)
    for save, identities in extra.items():
        writer, _, many = save.split(".")
        assert writer in writers - had, f"{writer} had two saves that were not acknowledged"
        assert len(identities) == int(many), f"{save} is half there"
        whole |= identities
    assert len({save.split(".")[0] for save in extra}) == len(extra)


if __name__ == "__main__":
    main()
