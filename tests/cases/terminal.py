"""What a terminal does to the app: bytes of another coding, impossible sequences, sleep, a long note."""

from __future__ import annotations

import os
import signal
import time
from collections import Counter
from pathlib import Path
from typing import Final

from tests.cases.going_back import begun
from tests.cases.home import Home
from tests.cases.sheet import weights_in
from tests.cases.verdict import Verdict, case, many, tells
from tests.cases.window import Window

#: A line of 80 columns with its colours, and the cursor: what one key may draw anew, in bytes. A number of our own.
DRAWN_FOR_A_KEY: Final = 400


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
                        window.reaches(lambda: asleep(window.process.pid), 5)
                    time.sleep(0.03)
                if signal.SIGTSTP in signals:
                    # The shell had the terminal: what is typed before the app is back is the shell's.
                    window.quiet(0.3)
                    if asleep(window.process.pid):  # it went to sleep only now: the shell wakes it again
                        window.process.send_signal(signal.SIGCONT)
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
