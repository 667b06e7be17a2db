"""A restored sheet counts: content decides, not the time and the size of a file."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

from tests.cases.going_back import begun
from tests.cases.home import Home, enclosures
from tests.cases.sheet import grams, line_of, read
from tests.cases.verdict import Verdict, case, tells
from tests.cases.window import AT_WORK, Window


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
        window.must_see("Enter take over", *AT_WORK)
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


@case("3f", "the colony's folder is taken away and another begun at its path: nothing of the old one comes back")
def another_begun(rounds: Path, folder: Path) -> Verdict:
    home = Home(rounds, folder / "home")
    home.begin(enclosures(2))
    home.must("log", "noted", "room", "note=of the old one")
    read_by_all(home)
    shutil.rmtree(home.colony)
    home.begin(enclosures(2))
    with Window(home) as window:
        window.take_over()
        window.press("nof the new one\r")
        window.must_see("note: of the new one")
        window.watch(2)
        text = window.text
        window.leave()
    notes, check = home.notes(), home.check()
    alarmed = tells(text + check.said, "missing", "went back", "another writer", "again under")
    return Verdict(
        notes == {"of the new one"} and not alarmed,
        f"another colony begun at the same path: {len(notes - {'of the new one'}) or 'none'} of 1 old note in it, "
        f"{'a loss is reported' if alarmed else 'no loss is reported'}",
    )


@case(
    "3g",
    "a copy of the colony is opened beside it and both are written: neither gets what was written in the other",
)
def copy_beside(rounds: Path, folder: Path) -> Verdict:
    home = begun(rounds, folder)
    home.must("log", "noted", "room", "note=both")
    read_by_all(home)
    copy = Home(rounds, home.folder, folder / "copy")
    shutil.copytree(home.colony, copy.colony)
    for number in range(3):
        home.must("log", "noted", "room", f"note=here {number}")
        copy.must("log", "noted", "room", f"note=there {number}")
    with Window(home) as one, Window(copy) as other:
        for window, word in ((one, "here"), (other, "there")):
            window.take_over()
            window.press(f"n{word} in the app\r")
            window.must_see(f"note: {word} in the app")
        other.leave()
        one.watch(1.5)
        one.leave()
    notes = {"here": home.notes(), "there": copy.notes()}
    strayed = sum(note.startswith("there") for note in notes["here"])
    strayed += sum(note.startswith("here") for note in notes["there"])
    lost = sum(5 - len([note for note in notes[word] if note.startswith((word, "both"))]) for word in notes)
    return Verdict(
        not strayed and not lost,
        f"a copy opened beside the colony, both written: {lost or 'none'} of 10 notes gone, "
        f"{strayed or 'none'} in the wrong colony",
    )


@case("3h", "the colony is moved to another path between two starts: the walk goes on, nothing is written twice")
def moved_between(rounds: Path, folder: Path) -> Verdict:
    home = begun(rounds, folder)
    for number in range(3):
        home.must("log", "noted", "room", f"note=n{number}")
    read_by_all(home)
    moved = Home(rounds, home.folder, folder / "moved")
    home.colony.rename(moved.colony)
    before = len(moved.entries())
    with Window(moved) as window:
        window.take_over()
        window.watch(1.5)
        text = window.text
        window.leave()
    moved.must("log", "noted", "room", "note=n3")
    notes = [entry["note"] for entry in moved.entries() if entry.get("note")]
    lost = 4 - len(set(notes))
    alarmed = tells(text + moved.check().said, "missing", "another writer")
    return Verdict(
        not lost and len(notes) == 4 and not alarmed,
        f"colony moved between two starts: {lost or 'none'} of 4 notes gone, {len(moved.entries()) - before - 1} "
        f"written beyond what was, {'a loss is reported' if alarmed else 'no loss is reported'}",
    )
