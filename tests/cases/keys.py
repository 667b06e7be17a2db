"""What the rack does to the keys: an elbow on Enter, a process put to sleep, a terminal of another coding."""

from __future__ import annotations

import os
import signal
import time
from collections import Counter
from pathlib import Path
from typing import Any, Final

from tests.cases.going_back import begun
from tests.cases.home import Home, enclosures
from tests.cases.sheet import weights_in
from tests.cases.verdict import Verdict, case, many, tells
from tests.cases.window import Window

#: How a held key repeats, in keys a second, and how long it lies there.
A_SECOND: Final = 60
HELD: Final = 1_000
STOPS: Final = 46
#: A line of 80 columns with its colours, and the cursor: what one key may draw anew, in bytes. A number of our own.
DRAWN_FOR_A_KEY: Final = 400


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


@case("5c", "one byte that is no UTF-8 while a note is typed")
def latin_1(rounds: Path, folder: Path) -> Verdict:
    home = begun(rounds, folder)
    with Window(home) as window:
        window.take_over()
        window.press("nskin comes off ")
        window.sees("skin comes off")
        window.press(b"sch\xfcn ")
        window.press("and it eats")
        window.watch(1.5)
        ended = not window.running
        if not ended:
            window.press("\r")
            window.watch(1)
        text = window.text
        window.ends(0.2)
        code = window.code
    kept = [note for note in home.notes() if note.startswith("skin comes off")]
    offered = "skin comes off" in offered_at_start(home)
    trace = tells(text, "traceback", "unicodedecodeerror")
    where = "it is written" if kept else "the next start offers it" if offered else "it is gone"
    return Verdict(
        bool(kept or offered) and not trace and not (ended and code == 0),
        f"a Latin-1 ü in a note: {'the app ends with exit ' + str(code) if ended else 'the app goes on'}"
        f"{', a traceback on the screen' if trace else ''}; the note of 15 letters before it: {where}",
    )


def offered_at_start(home: Home) -> str:
    """All that the next start shows, where the same note is begun again and brought back too."""
    with Window(home) as window:
        window.take_over()
        window.watch(0.8)
        seen = window.text
        if "typed" not in seen and "draft" not in seen and "skin comes off" not in seen:
            window.press("n")
            window.watch(0.4)
            window.press("\x1a")
            window.watch(0.4)
            seen += window.text
        else:
            window.press("n")
            window.watch(0.4)
            seen += window.text
            window.press("\x1a")
            window.watch(0.4)
            seen += window.text
    return seen


ENDINGS: Final = {"kill -9": signal.SIGKILL, "SIGHUP": signal.SIGHUP, "SIGTERM": signal.SIGTERM}


@case("5c2", "the app ends while a note is typed: kill -9, SIGHUP, SIGTERM, a closed window")
def ends_while_typing(rounds: Path, folder: Path) -> Verdict:
    gone: list[str] = []
    for word in (*ENDINGS, "closed window"):
        home = begun(rounds, folder / word.replace(" ", "-"))
        with Window(home) as window:
            window.take_over()
            window.press("nskin comes off at the tail")
            window.sees("off at the tail")
            window.watch(1.5)
            if word in ENDINGS:
                window.process.send_signal(ENDINGS[word])
            else:
                window.hang_up()
            window.process.wait(10)
        if "skin comes off at the tail" not in offered_at_start(home):
            gone.append(word)
    return Verdict(
        not gone,
        f"a note half typed when the app ends: offered at the next start after {4 - len(gone)} of 4 endings"
        f"{' (gone: ' + ', '.join(gone) + ')' if gone else ''}",
    )


RUBBISH: Final = (
    b"\xfc", b"\xc3", b"\xff\xfe", b"\x00", b"\xed\xa0\x80", b"\xf0\x9f", b"\x80", b"\xc0\xaf",
    b"\x1b[200~\xff\xc3\x1b[201~", b"\x1b[\xff", b"\x1b\xfc", b"\x1b[<0;1;", b"\x1b]0;\xff\x07",
    b"\x1b[999999999999999999999~", b"\x1b[1114112u", b"\x1b[55296u", b"\x1b[0u", b"\x1b[<99999999999;1;1M",
    b"\x1b[<0;99999999999999999999;1M", b"\x1b[M\xff\xff\xff", b"\x1b[48;99999;99999;0;0t", b"\x1b[0;0R",
    b"\x1b[?2026;2$y", b"\x1b[8;0;0t", b"\x1b[I\x1b[O", b"\x1bP\xff\x1b\\", b"\x1b[9999999999;9999999999H",
)  # fmt: skip


@case("5c3", "other bytes that a terminal may send: halves, NUL, impossible sequences, at two questions")
def rubbish_bytes(rounds: Path, folder: Path) -> Verdict:
    home = begun(rounds, folder)
    fallen: list[str] = []
    traces = 0
    left = [(opening, piece) for opening in ("", "n") for piece in RUBBISH]
    while left:
        with Window(home) as window:
            window.take_over()
            while left and window.running:
                opening, piece = left.pop(0)
                window.press(opening)
                window.press(piece)
                window.watch(0.05)
                window.press("\x1b")
                window.watch(0.4 if len(piece) > 6 else 0.12)  # a fault takes its time until it is drawn
                if not window.running or tells(window.text, "traceback"):
                    window.ends(3)
                    traces += tells(window.text, "traceback", "error:")
                    fallen.append(f"{ascii(piece)[2:-1]} (exit {window.code})")
                    break
    return Verdict(
        not fallen,
        f"{2 * len(RUBBISH)} pieces of rubbish at two questions: the app ends at {len(fallen) or 'none'}"
        f"{': ' + ', '.join(fallen[:4]) if fallen else ''}"
        f"{'; ' + many(traces, 'traceback') + ' shown' if traces else ''}",
    )


def asleep(process: int) -> bool:
    """Whether a process was stopped by a signal."""
    return Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()[0] == "T"


def typed_weights(home: Home, signals: list[signal.Signals], every: int, count: int) -> tuple[int, int, int, str]:
    """Type weights, send signals in between; how many were typed, were written, are nobody's, and what happened."""
    typed: list[float] = []
    with Window(home) as window:
        window.take_over()
        before = Counter(weights_in(home.colony))
        base = before.total()
        for number in range(count):
            weight = 440 + number % 20
            typed.append(float(weight))
            if number % every == 1:
                for each in signals:
                    window.process.send_signal(each)
                    if each == signal.SIGTSTP:  # a shell goes on only once it has seen it stop
                        window.reaches(lambda: asleep(window.process.pid), 1)
                    time.sleep(0.03)
                if (
                    signal.SIGTSTP in signals
                ):  # the shell had the terminal: what is typed before the app is back is its
                    window.quiet(0.3)
            for sign in f"{weight}\r":  # one at a time, as fingers do
                window.press(sign)
            if not window.reaches(lambda than=base: len(weights_in(home.colony)) > than, 0.25):  # type: ignore[misc]
                window.press("\x1b")  # a figure that came out of order is doubted: leave it
                window.watch(0.15)
            base = len(weights_in(home.colony))
        window.watch(1)
        state = "" if window.running else "; the app ended"
    found = Counter(weights_in(home.colony)) - before
    never = sum((found - Counter(typed)).values())
    if never:
        state += f" ({', '.join(f'{weight:g}' for weight in found - Counter(typed))})"
    return len(typed), sum(found.values()), never, state


@case("5d", "SIGSTOP and SIGCONT while weights are typed")
def stopped_and_continued(rounds: Path, folder: Path) -> Verdict:
    home = begun(rounds, folder)
    typed, written, never, state = typed_weights(home, [signal.SIGSTOP, signal.SIGCONT], 10, 200)
    return Verdict(
        not never and written == typed and not state,
        f"SIGSTOP, SIGCONT while {typed} weights are typed: {written} written, {never or 'none'} never "
        f"typed by anybody{state}",
    )


@case("5d2", "SIGCONT alone while weights are typed")
def continued_alone(rounds: Path, folder: Path) -> Verdict:
    home = begun(rounds, folder)
    typed, written, never, state = typed_weights(home, [signal.SIGCONT], 3, 200)
    return Verdict(
        not never and written == typed and not state,
        f"SIGCONT alone while {typed} weights are typed: {written} written, {never or 'none'} never "
        f"typed by anybody{state}",
    )


@case("5d3", "SIGTSTP and SIGCONT, as job control does, while weights are typed")
def job_control(rounds: Path, folder: Path) -> Verdict:
    home = begun(rounds, folder)
    typed, written, never, state = typed_weights(home, [signal.SIGTSTP, signal.SIGCONT, signal.SIGCONT], 10, 60)
    return Verdict(
        not never and written == typed and not state,
        f"SIGTSTP, SIGCONT twice while {typed} weights are typed: {written} written, {never or 'none'} never "
        f"typed by anybody{state}",
    )


def computing(process: int) -> float:
    """Seconds that a process has computed so far, on all cores."""
    fields = Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


@case("5e", "a note of 1,000 characters: until all is shown, and what is drawn for each key")
def long_note(rounds: Path, folder: Path) -> Verdict:
    home = begun(rounds, folder)
    words = " ".join(f"w{number:03d}" for number in range(200))[:997] + "END"
    with Window(home) as window:
        window.take_over()
        window.press("n")
        window.quiet()
        begin, computed = time.monotonic(), computing(window.process.pid)
        window.press(words)
        shown = window.sees("END", patience=60)
        at_once = time.monotonic() - begin
        window.quiet()
        computed = computing(window.process.pid) - computed
        drawn = window.drawn
        for sign in "x" * 50:  # one after the other, each after the last is shown
            window.press(sign)
            window.look(0.3)
        window.quiet()
        each = (window.drawn - drawn) / 50
        window.press("\r")
        written = window.reaches(lambda: any(note.startswith(words) for note in home.notes()), 20)
    return Verdict(
        shown and written and each <= DRAWN_FOR_A_KEY,
        f"a note of {len(words):,} characters sent at once: {at_once:.1f} s until all is shown ({computed:.1f} s "
        f"of computing); each further key draws {each:,.0f} bytes{'' if written else '; it was not written'}",
    )
