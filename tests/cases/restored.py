"""A restored sheet counts: content decides, not the time and the size of a file."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

from tests.cases.going_back import begun
from tests.cases.home import Home
from tests.cases.sheet import grams, line_of, read
from tests.cases.verdict import Verdict, case, tells
from tests.cases.window import Window


def shown_grams(home: Home) -> float | None:
    """Her last weight as the program shows it."""
    text = home.must("show", "wattle").out
    for word, unit in zip(text.split(), text.split()[1:], strict=False):
        if unit.startswith("g") and word.replace(".", "").isdigit() and float(word) > 100:
            return float(word)
    return None


def rewritten(file: Path, content: bytes) -> None:
    """Write into a file in place and leave its time as it was."""
    status = file.stat()
    with file.open("r+b") as out:
        out.write(content)
    os.utime(file, ns=(status.st_atime_ns, status.st_mtime_ns))


def weighed(rounds: Path, folder: Path) -> tuple[Home, Path]:
    """A colony in which Wattle weighs 384 g on the set-up sheet and 392 g on a sheet of her own."""
    home = begun(rounds, folder)
    home.must("log", "weighed", "wattle", "grams=384", "--sure")
    other = Home(rounds, folder / "other", home.colony)
    other.must("log", "weighed", "wattle", "grams=392", "--sure")
    return home, next(path for path in home.sheets() if 392.0 in grams(path))


@case("3a", "one byte flipped with the time unchanged, read, restored by cp -a")
def flipped_and_restored(rounds: Path, folder: Path) -> Verdict:
    home, sheet = weighed(rounds, folder)
    backup = folder / "backup.jsonl"
    shutil.copy2(sheet, backup)
    good = sheet.read_bytes()
    rewritten(sheet, good.replace(b'"grams":392.0', b'"grams":393.0'))
    read_by_all(home)
    seen_damaged = shown_grams(home)
    rewritten(sheet, good)
    after = shown_grams(home)
    check = home.check()
    with Window(home) as window:
        window.take_over()
        window.watch(1.2)
        on_screen = "392 g" in window.text
        window.leave()
    return Verdict(
        after == 392 and on_screen,
        f"flipped, read ({seen_damaged:g} g), restored with its time: {after:g} g shown where the sheet says 392"
        f"{'' if on_screen else ', the app too'}; check ends with {check.code}",
    )


@case("3b", "one byte flipped with the time unchanged after the sheet was read, then a start")
def flipped_after_reading(rounds: Path, folder: Path) -> Verdict:
    home, sheet = weighed(rounds, folder)
    read_by_all(home)
    good = sheet.read_bytes()
    rewritten(sheet, good.replace(b'"grams":392.0', b'"grams":393.0'))
    check = home.check()
    shown = shown_grams(home)
    told = check.code != 0 and tells(check.said, sheet.name)
    return Verdict(
        told,
        f"flipped with its time unchanged after it was read: check {'names the sheet' if told else 'is clean'}; "
        f"{shown:g} g shown",
    )


@case("3c", "two sound lines exchanged for others of the same length, the time unchanged", quick=True)
def other_content(rounds: Path, folder: Path) -> Verdict:
    home, sheet = weighed(rounds, folder)
    read_by_all(home)
    lines = [line | {"grams": 399.0} if line["kind"] == "weighed" else line for line in read(sheet)]
    content = b"".join(line_of({name: value for name, value in line.items() if name != "crc"}) for line in lines)
    assert len(content) == sheet.stat().st_size
    rewritten(sheet, content)
    shown = shown_grams(home)
    return Verdict(
        shown == 399,
        f"sound content of the same size and time put in its place: {shown:g} g shown, 399 on the sheet",
    )


@case("3d", "the running app: a byte flipped and restored under it")
def under_the_app(rounds: Path, folder: Path) -> Verdict:
    home, sheet = weighed(rounds, folder)
    good = sheet.read_bytes()
    rewritten(sheet, good.replace(b'"grams":392.0', b'"grams":393.0'))
    with Window(home) as window:
        window.take_over()
        window.watch(1.5)
        rewritten(sheet, good)
        window.watch(4)
        during = "392 g" in window.text
        window.leave()
    with Window(home) as window:
        window.take_over()
        window.watch(1.5)
        after = "392 g" in window.text
        window.leave()
    return Verdict(
        after,
        f"restored under the open app: 392 g {'stands' if during else 'does not stand'} there within 4 s, "
        f"and {'stands' if after else 'does not stand'} there at the next start",
    )


def read_by_all(home: Home) -> None:
    """Have the app read the colony and keep what it read, as a keeper's day does."""
    with Window(home) as window:
        window.take_over()
        window.watch(0.5)
        window.leave()


@case("3e", "the demo made again at the same path shows nothing of yesterday's user")
def demo_made_again(rounds: Path, folder: Path) -> Verdict:
    home = Home(rounds, folder / "home")
    place = folder / "demo"
    home.must("demo", "--folder", str(place))
    home.must("--colony", str(place), "log", "noted", "room", "note=tried in the demo")
    reader = Home(rounds, home.folder, place)
    with Window(reader) as window:
        window.take_over()
        window.press("ntyped in the demo\r")
        window.must_see("note: typed in the demo")
        window.leave()
    home.must("demo", "--folder", str(place), "--fresh")
    with Window(reader) as window:
        window.must_see("Enter take over", "as planned, next")
        window.watch(2.6)
        text = window.text
    check = reader.check()
    reader.run("log", "noted", "room", "note=new")
    notes = reader.notes()
    back = [note for note in ("tried in the demo", "typed in the demo") if note in notes]
    alarmed = tells(text + check.said, "missing", "went back", "another writer") or check.code != 0
    return Verdict(
        not back and not alarmed,
        f"demo made again at the same path: {len(back) or 'none'} of 2 old notes written into it"
        f"{', and the keeper is told of a loss' if alarmed else ''}",
    )
