"""Keys that are held down: an elbow on Enter, on another key, on two at once."""

from __future__ import annotations

import time
from collections import Counter
from pathlib import Path
from typing import Any, Final

from tests.cases.home import Home, enclosures
from tests.cases.verdict import Verdict, case, many
from tests.cases.window import Window

#: How a held key repeats, in keys a second, and how long it lies there.
A_SECOND: Final = 60
HELD: Final = 1_000
STOPS: Final = 46


def held(window: Window, key: str, times: int, a_second: int = A_SECOND) -> None:
    """Press one key so many times, as the repeat of a terminal does."""
    begin = time.monotonic()
    for number in range(times):
        window.press(key)
        while (left := begin + (number + 1) / a_second - time.monotonic()) > 0:
            window.look(left)


def plain_room(rounds: Path, folder: Path) -> Home:
    """Many stops at which everything plain is due, and nothing wants a look first."""
    colony = folder / "colony"
    set_up = Home(rounds, folder / "home-of-set-up", colony)
    set_up.begin(enclosures(STOPS))
    weights = [
        {"kind": "weighed", "about": line["about"], "grams": 450} for line in enclosures(STOPS) if "grams" in line
    ]
    set_up.log(weights)
    return Home(rounds, folder / "home", colony)


def written_since(home: Home, before: set[str]) -> list[dict[str, Any]]:
    """The entries that were written meanwhile."""
    return [entry for entry in home.entries() if entry["id"] not in before and entry["kind"] != "taken_over"]


@case("5a", "Enter held down: 1,000 at 60 a second")
def enter_held(rounds: Path, folder: Path) -> Verdict:
    home = plain_room(rounds, folder)
    before = {entry["id"] for entry in home.entries()}
    with Window(home) as window:
        window.take_over()
        held(window, "\r", HELD)
        window.quiet()
        written = written_since(home, before)
        stops = [entry for entry in written if entry["kind"] == "stop_walked"]
        takes = take_back_all(window, home, before) if stops else 0
    undone = corrected_of(home, written)
    kinds = Counter(entry["kind"] for entry in written)
    told = ", ".join(f"{count} {kind.replace('_', ' ')}" for kind, count in kinds.most_common(4))
    back = f"; {undone} of {len(written)} taken back by {many(takes, 'take-back')}" if stops else ""
    return Verdict(
        len(stops) <= 1 and takes <= 1,
        f"Enter held, 1,000 at 60 a second: {many(len(stops), 'stop')} walked, "
        f"{many(len(written), 'entry', 'entries')} written ({told or 'nothing'}){back}",
    )


def take_back_all(window: Window, home: Home, before: set[str], most: int = 60) -> int:
    """Press the take-back until nothing of the run counts; how often that was."""
    window.press("n")  # whatever is asked now: no
    window.watch(0.3)
    for number in range(1, most + 1):
        window.press("z")
        if not window.sees("Take", patience=2):
            return number
        window.watch(0.2)
        window.press("y")
        window.sees("Taken back", patience=2)
        window.watch(0.1)
        written = written_since(home, before)
        if corrected_of(home, written) >= sum(one["kind"] != "corrected" for one in written):
            return number
    return most


def corrected_of(home: Home, written: list[dict[str, Any]]) -> int:
    """How many of these entries are taken back by now."""
    taken = {str(entry.get("replaces")) for entry in home.entries() if entry["kind"] == "corrected"}
    return sum(entry["id"] in taken for entry in written)


HELD_KEYS: Final = {
    "z": "take back",
    "y": "yes",
    " ": "blank",
    "\x7f": "Backspace",
    "1": "1",
    "b": "b",
    "\t": "Tab",
}


@case("5a2", "other keys held down: 100 at 60 a second each")
def others_held(rounds: Path, folder: Path) -> Verdict:
    home = plain_room(rounds, folder)
    found: list[str] = []
    ended: list[str] = []
    for key, word in HELD_KEYS.items():
        with Window(home) as window:
            window.take_over()
            before = {entry["id"] for entry in home.entries()}
            held(window, key, 100)
            window.quiet()
            window.press("\x1b")
            window.watch(0.3)
            if not window.running:
                ended.append(word)
        written = written_since(home, before)
        stops = sum(entry["kind"] == "stop_walked" for entry in written)
        if stops > 1 or len(written) > 8:
            found.append(f"{word}: {many(stops, 'stop')}, {many(len(written), 'entry', 'entries')}")
    with Window(home) as window:
        window.take_over()
        before = {entry["id"] for entry in home.entries()}
        held(window, "451\r", 60)
        window.quiet()
    weights = sum(entry["kind"] == "weighed" for entry in written_since(home, before))
    if ended:
        found.append(f"the app ended under {', '.join(ended)}")
    return Verdict(
        not found,
        f"{len(HELD_KEYS)} other keys held: {'; '.join(found) or 'at most one thing written for each'} "
        f"(60 times 451 and Enter in a second: {many(weights, 'weight')})",
    )


@case("5a3", "an elbow twice: Enter held for a second, a second of rest, held again")
def held_twice(rounds: Path, folder: Path) -> Verdict:
    home = plain_room(rounds, folder)
    before = {entry["id"] for entry in home.entries()}
    with Window(home) as window:
        window.take_over()
        for _ in range(3):
            held(window, "\r", 60)
            window.watch(1.2)
        window.quiet()
    stops = sum(entry["kind"] == "stop_walked" for entry in written_since(home, before))
    return Verdict(
        stops <= 3, f"Enter held three times for a second: {many(stops, 'stop')} walked, 3 at most are meant"
    )


#: How terminals repeat: the pause before the first repeat in s, and repeats a second.
REPEATS: Final = ((0.25, 30), (0.5, 30), (0.66, 25), (1.0, 10), (0.5, 4))


@case("5a5", "an elbow on Enter as terminals repeat it: a pause, then 4 to 30 a second for four seconds")
def as_terminals_repeat(rounds: Path, folder: Path) -> Verdict:
    walked: list[int] = []
    for number, (pause, a_second) in enumerate(REPEATS):
        home = plain_room(rounds, folder / str(number))
        before = {entry["id"] for entry in home.entries()}
        with Window(home) as window:
            window.take_over()
            window.watch(1.5)
            window.press("\r")
            window.watch(pause)
            held(window, "\r", 4 * a_second, a_second)
            window.quiet()
        walked.append(sum(entry["kind"] == "stop_walked" for entry in written_since(home, before)))
    return Verdict(
        max(walked) <= 1,
        f"Enter held as {many(len(REPEATS), 'terminal')} repeat it: {', '.join(map(str, walked))} stops walked, "
        "1 each at most is meant",
    )


@case("5a6", "an elbow on two keys at once: Enter with another, 30 a second for three seconds")
def two_keys_held(rounds: Path, folder: Path) -> Verdict:
    found: list[str] = []
    for other, word in (("\x7f", "Backspace"), ("y", "y"), ("1", "1"), ("n", "n"), (" ", "blank"), ("o", "o")):
        home = plain_room(rounds, folder / word)
        before = {entry["id"] for entry in home.entries()}
        with Window(home) as window:
            window.take_over()
            window.watch(0.8)
            held(window, f"\r{other}", 90, 30)
            window.quiet()
            ended = not window.running
        written = written_since(home, before)
        stops = sum(entry["kind"] == "stop_walked" for entry in written)
        if stops > 1 or len(written) > 8 or ended:
            what = "the app ended" if ended else f"{many(stops, 'stop')}, {many(len(written), 'entry', 'entries')}"
            found.append(f"with {word}: {what}")
    return Verdict(
        not found, f"Enter and another key held at once: {'; '.join(found) or 'one stop at most with each'}"
    )


@case("5a4", "a keeper who walks: an Enter every 1.5 s is never taken for a repeat")
def honest_walk(rounds: Path, folder: Path) -> Verdict:
    home = plain_room(rounds, folder)
    before = {entry["id"] for entry in home.entries()}
    with Window(home) as window:
        window.take_over()
        window.watch(1.5)
        for _ in range(6):
            window.press("\r")
            window.watch(1.5)
        text = window.text
    stops = sum(entry["kind"] == "stop_walked" for entry in written_since(home, before))
    asked = "" if "7 of" in text or stops == 6 else "; it asked"
    return Verdict(stops == 6, f"six Enters 1.5 s apart: {many(stops, 'stop')} walked{asked}")
