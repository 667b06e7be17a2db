"""The plain commands and the files beside the colony: users without a home, strange days, links, modes."""

from __future__ import annotations

import shutil
import stat
import subprocess
import zlib
from pathlib import Path
from typing import Final

from tests.cases.going_back import begun
from tests.cases.home import Home, enclosures
from tests.cases.sheet import read
from tests.cases.verdict import Verdict, case, tells
from tests.cases.window import Window

#: A user that has no entry on any system we know of, in a name space of its own.
UNKNOWN: Final = ("unshare", "--user", "--map-user=64321", "--map-group=64321")
HOMES: Final = ("HOME", "TMPDIR", "XDG_STATE_HOME", "XDG_CACHE_HOME", "XDG_DATA_HOME", "XDG_CONFIG_HOME")
NOBODY: Final = (*UNKNOWN, "env", *(f"--unset={name}" for name in HOMES))


def can_be_nobody(rounds: Path) -> bool:
    """Whether a process here can become a user without an entry and still run the program."""
    if shutil.which("unshare") is None:
        return False
    return subprocess.run([*NOBODY, str(rounds), "--version"], capture_output=True, check=False).returncode == 0


@case("5f", "no HOME and no entry of the user: a sentence for every command")
def no_home(rounds: Path, folder: Path) -> Verdict:
    home = begun(rounds, folder)
    if not can_be_nobody(rounds):
        return Verdict(None, "a user without an entry cannot be had here (unshare --user)")
    nobody = Home(rounds, home.folder, home.colony, NOBODY)
    colony = {"ROUNDS_COLONY": str(home.colony)}
    commands: list[tuple[dict[str, str], tuple[str, ...]]] = [
        *((colony, words) for words in COMMANDS),
        *(({"ROUNDS_COLONY": ""}, words) for words in COMMANDS),
        (colony, ("--colony", "~/colony", "today")),
        (colony, ("--colony", "~nobody-of-that-name/colony", "today")),
        (colony, ("demo", "--folder", "~/demo")),
    ]
    traces: list[str] = []
    strange: set[int] = set()
    for more, words in commands:
        ran = nobody.run(*words, **more)
        if ran.traceback:
            traces.append(" ".join(words))
        if ran.code not in range(7):
            strange.add(ran.code)
    return Verdict(
        not traces and not strange,
        f"no HOME, no user entry: a traceback from {len(traces) or 'none'} of {len(commands)} commands"
        f"{' (' + ', '.join(traces[:4]) + ')' if traces else ''}"
        f"{'; exit codes ' + ', '.join(map(str, sorted(strange))) if strange else ''}",
    )


COMMANDS: Final = (
    ("today",), ("matters",), ("show", "wattle"), ("log", "weighed", "wattle", "grams=451"), ("check",),
    ("find", "wattle"), ("hand-over",), ("open",), ("demo",), ("new",),
)  # fmt: skip


@case("5f2", "no HOME and no entry of the user: the app", quick=True)
def no_home_in_the_app(rounds: Path, folder: Path) -> Verdict:
    home = begun(rounds, folder)
    if not can_be_nobody(rounds):
        return Verdict(None, "a user without an entry cannot be had here (unshare --user)")
    with Window(Home(rounds, home.folder, home.colony, NOBODY)) as window:
        there = window.reaches(lambda: tells(window.text, "take over", "as planned", "home"), 6)
        window.watch(0.5)
        text = window.text
        window.press("q")
        window.ends(3)
        code = window.code
    text += window.text
    trace = tells(text, "traceback", "runtimeerror", "keyerror")
    said = next((row.strip() for row in text.splitlines() if "home" in row), "")
    return Verdict(
        there and not trace and (code == 0 or bool(said)),
        f"no HOME, no user entry, the app: {'a traceback' if trace else said or 'it opens'}, exit {code}",
    )


@case("5f3", "the fault reporter with standard error closed and nowhere to write")
def fault_reporter(rounds: Path, folder: Path) -> Verdict:
    home = begun(rounds, folder)
    broken = folder / "broken"
    broken.mkdir()
    # A fault of the program, made from outside: a module of the standard library that falls over when it is asked.
    (broken / "zoneinfo.py").write_text("raise ZeroDivisionError('a fault made for this case')\n")
    blocked = folder / "blocked"
    blocked.write_text("a file where a folder should be")
    found: list[str] = []
    tries = 0
    for words in (("today",), ("log", "noted", "room", "note=x"), ("show", "wattle")):
        for name, how in (
            ("plain", ""),
            ("stderr closed", "2>&-"),
            ("both closed", ">&- 2>&-"),
            ("full", "2>/dev/full"),
        ):
            tries += 1
            environment = home.environment(PYTHONPATH=str(broken), XDG_STATE_HOME=str(blocked), TMPDIR=str(blocked))
            done = subprocess.run(
                ["/bin/sh", "-c", f'exec "$@" {how}', "sh", str(rounds), *words],
                capture_output=True,
                env=environment,
                timeout=60,
                check=False,
            )
            said = done.stdout + done.stderr
            if b"Traceback (most" in said:
                found.append(f"{words[0]}, {name}: a traceback")
            if done.returncode in (0, 120) or done.returncode < 0:
                found.append(f"{words[0]}, {name}: exit {done.returncode}")
    return Verdict(
        not found,
        f"a fault of the program, {tries} ways to report it: {'; '.join(found[:4]) or 'a sentence or silence'}",
    )


@case("5f4", "a state folder that can only be read: the log still takes entries", quick=True)
def state_read_only(rounds: Path, folder: Path) -> Verdict:
    home = begun(rounds, folder)
    home.folder.joinpath(".local").mkdir(parents=True, exist_ok=True)
    home.folder.joinpath(".local", "state").write_text("a file where a folder should be")
    first = home.run("log", "noted", "room", "note=one")
    second = home.run("log", "noted", "room", "note=two")
    lost = [note for note, ran in (("one", first), ("two", second)) if ran.code == 0 and note not in home.notes()]
    trace = first.traceback or second.traceback
    return Verdict(
        first.code == second.code == 0 and not lost and not trace,
        f"no state folder can be made: exits {first.code} and {second.code}, {len(lost) or 'none'} of 2 gone"
        f"{', a traceback' if trace else ''}",
    )


DAYS: Final = (
    "0001-01-01", "0001-01-02", "9999-12-31", "9999-12-31 23:59", "0000-01-01", "-99999999d", "-99999999999999999h",
    "1.1.1", "31.12.9999", "0001-01-01T00:00+23:59", "9999-12-31T23:59-23:59", "1 jan 1", "29 feb", "",
)  # fmt: skip


#: Rooms on both sides of Greenwich; in year 1 their clocks are off by odd seconds.
ZONES: Final = ("Europe/Vienna", "America/Chicago")
ASKED: Final = (("today",), ("show", "wattle"), ("hand-over",))


@case("5g", "--on 0001-01-01 and other days at the edge")
def far_days(rounds: Path, folder: Path) -> Verdict:
    found: list[str] = []
    tries = 0

    def asked(home: Home, *words: str) -> None:
        nonlocal tries
        tries += 1
        ran = home.run(*words)
        if ran.traceback or ran.code not in (0, 1, 2, 3, 5):
            found.append(f"{' '.join(words)} in {home.folder.name}: exit {ran.code}")

    for zone in ZONES:
        home = Home(rounds, folder / zone.replace("/", "-"))
        home.must("new", str(home.colony), "--name", "Shed", "--time-zone", zone)
        home.log(enclosures(2))
        for day in DAYS:
            for words in ASKED if day in ("0001-01-01", "9999-12-31") else ASKED[:1]:
                asked(home, "--on", day, *words)
        for day in ("0001-01-01", "9999-12-31", "1.1.1"):
            asked(home, "log", "noted", "room", "note=x", "--at", day)
            asked(home, "find", "wattle", "since", day)
            asked(home, "find", "wattle", "until", day)
    return Verdict(
        not found,
        f"{tries} commands on days at the edge: {len(found) or 'none'} end in a fault"
        f"{': ' + '; '.join(found[:3]) if found else ''}",
    )


LINES: Final = (
    '{"kind": ["weighed"], "about": "animal/wattle", "grams": 450}',
    '{"kind": {"a": 1}, "about": "animal/wattle"}',
    '{"kind": null, "about": "animal/wattle"}',
    '{"kind": 5, "about": "animal/wattle"}',
    '{"kind": true, "about": "animal/wattle"}',
    '{"kind": "noted", "about": ["room"], "note": "x"}',
    '{"kind": "noted", "about": {"room": 1}, "note": "x"}',
    '{"kind": "noted", "about": "room", "note": ["x"]}',
    '{"kind": "noted", "about": "room", "note": "x", "at": ["now"]}',
    '{"kind": "noted", "about": "room", "note": "x", "at": 1e999}',
    '{"kind": "noted", "about": "room", "note": "x", "id": ["a"]}',
    '{"kind": "noted", "about": "room", "note": "x", "by": {"AK": 1}}',
    '{"kind": "corrected", "replaces": ["a"]}',
    '{"kind": "corrected", "replaces": {"a": 1}, "because": []}',
    '{"kind": "weighed", "about": "animal/wattle", "grams": [450]}',
    '{"kind": "weighed", "about": "animal/wattle", "grams": 1e400}',
    '{"kind": "moved", "about": "animal/wattle", "to": ["b2"]}',
    '{"kind": "egg_check_done", "about": "animal/karri", "present": {"digging": 1}}',
    '{"kind": "egg_check_done", "about": "animal/karri", "present": [["digging"]]}',
    '["kind"]', '"kind"', "5", "null", "{}", '{"kind":"noted"', "[" * 5000, '{"a":' * 3000, "NaN",
    '{"kind": "noted", "about": "room", "note": "x", "more": [1], "crc": {"a": 1}}',
    '{"kind": "noted", "about": "room", "note": "x", "crc": 5}',
    '{"kind": "noted", "about": "room", "note": "\\ud800"}',
    '{"kind": "noted", "about": "room", "note": "x", "grams": ' + "9" * 5000 + "}",
)  # fmt: skip


@case("5h", "a JSON line whose kind is a list, and others like it, given and on a sheet")
def strange_lines(rounds: Path, folder: Path) -> Verdict:
    home = begun(rounds, folder)
    found: list[str] = []
    for line in LINES:
        ran = home.run("log", "-", given=line + "\n")
        if ran.traceback or ran.code not in (0, 2, 5):
            found.append(f"{line[:40]}: exit {ran.code}")
    other = home.colony / "sheets" / "2025" / "2025-01-02.shelf-77ab.jsonl"
    other.parent.mkdir(exist_ok=True)
    other.write_bytes(b"".join(map(checked, LINES)))
    for words in (("today",), ("check",), ("show", "wattle"), ("find", "note", "x"), ("show", "--lines")):
        ran = home.run(*words)
        if ran.traceback or ran.code not in (0, 1):
            found.append(f"on a sheet, {' '.join(words)}: exit {ran.code}")
    sentence = "; ".join(found[:3]) or "each has its sentence"
    return Verdict(
        not found,
        f"{len(LINES)} strange JSON lines, given and on a sheet: {len(found) or 'none'} end in a fault: {sentence}",
    )


def checked(line: str) -> bytes:
    """The same line as a sheet would have it, with a check that agrees."""
    text = line.encode().removesuffix(b"}")
    return text + b',"crc":"%08x"}\n' % zlib.crc32(text)


def handed_over(home: Home, place: Path) -> tuple[str, Path | None]:
    """Write the hand-over as a file by its key; what the screen said and the file."""
    with Window(home) as window:
        window.take_over()
        window.press("h")
        window.sees("hand over", "hand-over", "Hand")
        window.quiet()
        window.press("t")
        window.watch(0.8)
        text = window.text
    files = [path for path in place.glob("hand-over-*") if not path.is_symlink()]
    return text, max(files, key=lambda path: path.lstat().st_mtime_ns, default=None)


@case("5i", "a hand-over file that is there already, or is a link")
def hand_over_file(rounds: Path, folder: Path) -> Verdict:
    home = begun(rounds, folder)
    _, first = handed_over(home, home.folder)
    if first is None:
        return Verdict(None, "no hand-over file was written by its key")
    mine = "my own words\n"
    alien = home.folder / "taxes.txt"
    for path in names_of_the_next_minutes(home.folder, first):
        path.write_text(mine)
    handed_over(home, home.folder)
    overwritten = [path for path in names_of_the_next_minutes(home.folder, first) if path.read_text() != mine]
    for path in names_of_the_next_minutes(home.folder, first):
        path.unlink()
        path.symlink_to(alien)
    alien.write_text(mine)
    text, _ = handed_over(home, home.folder)
    followed = alien.read_text() != mine
    for path in names_of_the_next_minutes(home.folder, first):
        path.unlink()
        path.symlink_to(home.folder / "made-by-a-link.txt")
    handed_over(home, home.folder)
    made = (home.folder / "made-by-a-link.txt").exists()
    return Verdict(
        not overwritten and not followed and not made,
        f"hand-over file: {'an existing one is overwritten' if overwritten else 'an existing one is kept'}, "
        f"{'a link is followed' if followed or made else 'a link is not followed'}"
        f"{'' if tells(text, 'written', 'hand-over') else '; nothing is said'}",
    )


def names_of_the_next_minutes(folder: Path, first: Path) -> list[Path]:
    """The names that the hand-over may take within the next minutes."""
    stem, _, minute = first.stem.rpartition("-")
    hour, past = int(minute[:2]), int(minute[2:4])
    return [
        folder / f"{stem}-{(hour + (past + more) // 60) % 24:02d}{(past + more) % 60:02d}.txt" for more in range(5)
    ]


@case("5j", "files as found, kept aside: readable by those who could read the sheet", quick=True)
def modes_aside(rounds: Path, folder: Path) -> Verdict:
    found: list[str] = []
    for mode in (0o600, 0o640):
        home = begun(rounds, folder / f"{mode:o}")
        home.must("log", "noted", "room", "note=one")
        home.must("log", "noted", "room", "note=two")
        sheet = next(path for path in home.sheets() if any(line.get("note") == "one" for line in read(path)))
        older = sheet.with_name(sheet.name.replace(sheet.name[:10], "2025-01-02"))
        older = sheet.parents[1] / "2025" / older.name
        older.parent.mkdir(exist_ok=True)
        content = sheet.read_bytes()
        older.write_bytes(content.replace(b"note=one", b"note=oNe").replace(b'"one"', b'"oNe"'))
        sheet.unlink()
        older.chmod(mode)
        older.parent.chmod(0o755)
        home.run("check", "--repair")
        kept = list(home.colony.glob("sheets/aside/*"))
        if not kept:
            found.append(f"{mode:o}: nothing kept")
        for path in kept:
            got = stat.S_IMODE(path.stat().st_mode)
            readers = 0o444 & mode
            if got & 0o444 != readers:
                found.append(f"a sheet {mode:o} kept as {got:o}")
        left = stat.S_IMODE(older.stat().st_mode) if older.exists() else 0
        if older.exists() and left & 0o444 != mode & 0o444:
            found.append(f"a sheet {mode:o} repaired to {left:o}")
    return Verdict(not found, f"as-found files of two modes: {'; '.join(found) or 'readable as the sheet was'}")
