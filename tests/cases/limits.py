"""Limits the writer knows before the reader: large sheets, files in place of sheets, damaged ends."""

from __future__ import annotations

import json
import os
import shutil
import threading
import time
from collections.abc import Callable, Iterator
from datetime import timedelta
from pathlib import Path
from typing import Final

from tests.cases.going_back import begun, gone, of_three, three_saved
from tests.cases.home import Home, room_now
from tests.cases.sheet import line_of, read, weights_in
from tests.cases.verdict import Verdict, case, many, tells
from tests.cases.window import Window

#: What a reader of the older program refuses, in bytes, and how much less of it is already there.
LIMIT: Final = 256 << 20
SHORT_OF_IT: Final = 15_000
#: One file in place of a sheet, in bytes.
HUGE: Final = 1 << 30
#: A key is felt as slow from here on, in s; a number of our own choosing (docs/performance.md measures keys).
SLOW: Final = 1.0


def filled(sheet: Path, most: int) -> int:
    """Fill a sheet with sound notes up to so many bytes; how many lines were added."""
    stamp = room_now().isoformat(timespec="seconds")
    note = "x" * 9_000
    count = 0
    size = sheet.stat().st_size
    with sheet.open("ab") as out:
        while True:
            members = {
                "kind": "noted",
                "id": f"19990101-{count:06d}",
                "at": stamp,
                "by": "EM",
                "about": "room",
                "note": note,
            }
            line = line_of(members)
            if size + len(line) > most:
                return count
            size += out.write(line)
            count += 1


@case("4a", "a sheet that passes 256 MiB")
def above_the_limit(rounds: Path, folder: Path) -> Verdict:
    home = begun(rounds, folder)
    home.must("log", "noted", "room", "note=first")
    sheet = next(path for path in home.sheets() if any(line.get("note") == "first" for line in read(path)))
    filled(sheet, LIMIT - SHORT_OF_IT)
    acknowledged = ["first"]
    for number in range(4):
        note = f"n{number} " + "y" * 8_000
        if home.run("log", "noted", "room", f"note={note}").code == 0:
            acknowledged.append(note[:3].strip())
    with Window(home) as window:
        window.take_over()
        window.press("nin the app\r")
        if window.sees("note: in the app", patience=15):
            acknowledged.append("in the app")
        window.leave()
    largest = max(path.stat().st_size for path in home.sheets())
    check = home.check()
    counting = {
        entry["note"][:3].strip() if entry["note"][:1] == "n" and len(entry["note"]) > 20 else entry["note"]
        for entry in home.entries()
        if entry.get("note")
    }
    lost = [note for note in acknowledged if note not in counting]
    return Verdict(
        not lost,
        f"sheet grown past 256 MiB: {len(lost) or 'none'} of {len(acknowledged)} acknowledged entries unread; "
        f"largest sheet {largest / (1 << 20):.1f} MiB, check ends with {check.code}",
    )


@case("4b", "`show --lines | log -` keeps each day's lines on their day, ten years of them")
def restore_recipe(rounds: Path, folder: Path) -> Verdict:
    home = begun(rounds, folder)
    days = ten_years(home)
    begin = time.monotonic()
    lines = home.must("show", "--lines").out
    fresh = Home(rounds, folder / "fresh-home", folder / "fresh")
    fresh.must("new", str(fresh.colony), "--name", "Quandong shed", "--time-zone", "Europe/Vienna")
    fresh.must("log", "-", given=lines)
    took = time.monotonic() - begin
    again = fresh.must("show", "--lines").out
    same = sorted(lines.splitlines()) == sorted(again.splitlines())
    largest = max(path.stat().st_size for path in fresh.sheets())
    strayed = sum(
        line["by"] == "EM" and not path.name.startswith(line["at"][:10])
        for path in fresh.sheets()
        for line in read(path)
    )
    total = len(lines.splitlines())
    return Verdict(
        same and not strayed,
        f"ten years read back by the recipe: {'the same' if same else 'other'} {many(total, 'line')}, "
        f"{many(strayed, 'line')} not on their day, {many(len(fresh.sheets()), 'sheet')} for {many(days, 'day')}, "
        f"largest {largest / (1 << 20):.1f} MiB ({took:.1f} s)",
    )


def ten_years(home: Home, each_day: int = 4) -> int:
    """Write ten years of notes and weights straight onto sheets of another desk; how many days."""
    today = room_now()
    count = 0
    for back in range(3650, 0, -1):
        day = today - timedelta(days=back)
        count += 1
        folder = home.colony / "sheets" / f"{day:%Y}"
        folder.mkdir(parents=True, exist_ok=True)
        with (folder / f"{day:%Y-%m-%d}.shelf-77ab.jsonl").open("wb") as out:
            for number in range(each_day):
                out.write(
                    line_of(
                        {
                            "kind": "noted",
                            "id": f"{day:%Y%m%d}-{number:05d}",
                            "at": (day + timedelta(minutes=number)).isoformat(timespec="seconds"),
                            "by": "EM",
                            "about": "room",
                            "note": f"{number} of {day:%d %b}",
                        }
                    )
                )
    return count


class Memory:
    """The most memory a process holds while it is watched, in bytes."""

    def __init__(self, process: int) -> None:
        self.most = 0
        self._file = Path(f"/proc/{process}/statm")
        self._end = threading.Event()
        self._thread = threading.Thread(target=self._watch, daemon=True)
        self._thread.start()

    def _watch(self) -> None:
        while not self._end.wait(0.02):
            try:
                pages = int(self._file.read_text().split()[1])
            except (OSError, IndexError):
                return
            self.most = max(self.most, pages * os.sysconf("SC_PAGE_SIZE"))

    def end(self) -> int:
        """Stop watching; the most it held."""
        self._end.set()
        self._thread.join()
        return self.most


@case("4c", "a file of 1 GB in place of the open sheet: the next key")
def huge_file(rounds: Path, folder: Path) -> Verdict:
    desk = three_saved(rounds, folder)
    desk.window.quiet()
    desk.sheet.unlink()
    with desk.sheet.open("wb") as out:
        out.truncate(HUGE)
    memory = Memory(desk.window.process.pid)
    begin = time.monotonic()
    desk.window.press("454\r")
    saved = desk.window.sees("weighed 454 g", patience=60)
    took = time.monotonic() - begin
    begin = time.monotonic()
    desk.window.press("455\r")
    desk.window.sees("weighed 455 g", patience=60)
    second = time.monotonic() - begin
    desk.window.watch(2)
    most = memory.end()
    desk.window.leave()
    desk.sheet.unlink()
    lost = [weight for weight in (*gone(desk.home), 454.0, 455.0) if weight not in weights_in(desk.home.colony)]
    return Verdict(
        saved and took < SLOW and second < SLOW and not lost,
        f"1 GB in place of the open sheet: next key {took:.1f} s, the one after {second:.1f} s, most memory "
        f"{most / 1e6:.0f} MB; {len(lost) or 'none'} of 5 weights gone",
    )


def newest(home: Home) -> Path:
    """The sheet that was written last."""
    return max(home.sheets(), key=lambda path: path.stat().st_mtime_ns)


@case("4d", "the last line damaged and without newline counts alike before and after the next append")
def damaged_end(rounds: Path, folder: Path) -> Verdict:
    home = begun(rounds, folder)
    found: list[str] = []
    differ = 0
    for words, damage in DAMAGES.items():
        home.log(
            [
                {"kind": "noted", "about": "room", "note": f"{words} one"},
                {"kind": "noted", "about": "room", "note": f"{words} two"},
                {"kind": "weighed", "about": "animal/wattle", "grams": 452},
            ]
        )
        sheet = newest(home)
        lines = sheet.read_bytes().rstrip(b"\n").split(b"\n")
        sheet.write_bytes(b"\n".join([*lines[:-1], damage(lines[-1])]))
        before = {entry["id"] for entry in home.entries()}
        said = home.check().out
        home.must("log", "noted", "room", f"note={words} next")
        after = {entry["id"] for entry in home.entries()}
        if before - after:
            differ += 1
            told = ", called not acknowledged" if tells(home.check().out + said, "not finished") else ""
            found.append(f"{words}: {many(len(before - after), 'line')} counted when read, none after{told}")
    sentence = "; ".join(found) or f"{many(len(DAMAGES), 'damaged end')}, one rule for reading and appending"
    return Verdict(not differ, sentence)


def flipped(line: bytes) -> bytes:
    """A digit of the figure flipped."""
    return line.replace(b"452", b"453")


DAMAGES: Final[dict[str, Callable[[bytes], bytes]]] = {
    "a flipped digit": flipped,
    "a check cut short": lambda line: line[:-3],
    "whole": lambda line: line,
    "blanks behind": lambda line: line + b"   ",
    "a carriage return": lambda line: line + b"\r",
    "no check": lambda line: line.rpartition(b',"crc"')[0] + b"}",
    "empty bytes behind": lambda line: line + bytes(40),
}


@case("4e", "4,000 long notes in one input, of one day")
def recipe_of_a_large_day(rounds: Path, folder: Path) -> Verdict:
    home = begun(rounds, folder)
    day = room_now() - timedelta(days=3)
    lines: Iterator[str] = (
        json.dumps(
            {
                "kind": "noted",
                "id": f"19990102-{number:05d}",
                "about": "room",
                "by": "EM",
                "note": f"{number} " + "z" * 9_000,
                "at": (day + timedelta(seconds=number)).isoformat(timespec="seconds"),
            }
        )
        for number in range(4_000)
    )
    first = home.run("log", "-", given="\n".join(lines) + "\n")
    entries = home.entries()
    largest = max(path.stat().st_size for path in home.sheets())
    kept = sum(len(entry.get("note", "")) > 8_000 for entry in entries)
    return Verdict(
        first.code == 0 and kept == 4_000,
        f"4,000 long notes in one input: {kept:,} read back, largest sheet {largest / (1 << 20):.0f} MiB",
    )


@case("4f", "a folder, a link or a pipe in place of the open sheet does not keep the next key waiting")
def other_things(rounds: Path, folder: Path) -> Verdict:
    found: list[str] = []
    lost: list[float] = []
    for words in ("folder", "pipe", "dead link"):
        there = folder / words.replace(" ", "-")
        desk = three_saved(rounds, there)
        desk.sheet.unlink()
        if words == "folder":
            desk.sheet.mkdir()
        elif words == "pipe":
            os.mkfifo(desk.sheet)
        else:
            desk.sheet.symlink_to(there / "nowhere")
        begin = time.monotonic()
        desk.window.press("454\r")
        if not desk.window.sees("weighed 454 g", patience=6):
            found.append(f"{words}: the key was not saved")
        elif time.monotonic() - begin > SLOW:
            found.append(f"{words}: {time.monotonic() - begin:.1f} s")
        desk.window.leave()
        lost += gone(desk.home)
        shutil.rmtree(there)
    return Verdict(not found and not lost, "; ".join(found) or f"another thing in its place: {of_three(lost)}")
