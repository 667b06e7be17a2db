"""Real processes in a real pseudo-terminal: killed, hung up on, told to end. Nothing acknowledged is lost, and
nothing is left running.
"""

from __future__ import annotations

import contextlib
import fcntl
import os
import re
import select
import signal
import struct
import subprocess
import sys
import termios
import time
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from types import TracebackType

import pytest

from rounds.logbook.entries import StopWalked, TakenOver, Weighed
from tests.notation import at
from tests.screens.rack import colony, on_disk

#: The promise: gone within so many seconds. On a machine that is busy with other things they may pass without a
#: turn: so many of so many times are enough.
WITHIN = 2.0
ENOUGH = 2
TIMES = 5
#: How long anything may take on a machine that is busy with other things, in s.
PATIENCE = 30.0
#: The room's clock runs, but from this morning on, so that the same care is due whenever the tests run.
BACK = time.time() - at("2026-03-02 07:00").timestamp()
ROOT = Path(__file__).parents[2]
OPEN = """
import sys
from datetime import UTC, datetime, timedelta
from itertools import count
from pathlib import Path
from rounds.screens.opening import run
from rounds.screens.keys.dispatch import KeyedApp
from rounds.screens.screen import RoundScreen

if sys.argv[3] == "a key a second":
    # Whoever presses has waited for what is to be seen.
    second = count()
    KeyedApp.read_at = lambda app, event: next(second)
    RoundScreen.is_seen = lambda screen, key, moment: True
back = timedelta(seconds=float(sys.argv[2]))
sys.exit(run(Path(sys.argv[1]), clock=lambda: datetime.now(UTC) - back))
"""
ESCAPES = re.compile(rb"\x1b(?:\[[0-9;?<>=]*[ -/]*[@-~]|\][^\x07\x1b]*(?:\x07|\x1b\\)|[()][A-B0-2]|[=>])")
ROOM = """
    2026-03-01 AK
    08:00  b1      enclosure_set_up  name=B1
    08:00  b2      enclosure_set_up  name=B2
    08:00  b3      enclosure_set_up  name=B3
    08:10  wattle  arrived  name=Wattle sex=F place=b1
    08:10  karri   arrived  name=Karri sex=M place=b2
    08:10  sedge   arrived  name=Sedge sex=F place=b3
    08:20  wattle  weighed  grams=450
    08:20  karri   weighed  grams=510
    08:20  sedge   weighed  grams=400
"""


class Terminal:
    """The app in a pseudo-terminal of 80 by 24."""

    def __init__(
        self,
        folder: Path,
        *,
        controlling: bool = True,
        before: str = "",
        pace: str = "a key a second",
        command: Sequence[str] = (),
    ) -> None:
        """`before` is Python carried out first; `command` is run instead of the app."""
        self.folder = folder
        self.master, slave = os.openpty()
        fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))

        def its_own() -> None:
            os.setsid()
            if controlling:
                fcntl.ioctl(0, termios.TIOCSCTTY, 0)

        self.process = subprocess.Popen(
            command or [sys.executable, "-c", before + OPEN, str(folder), str(BACK), pace],
            stdin=slave,
            stdout=slave,
            stderr=slave,
            cwd=ROOT,
            env={**os.environ, "TERM": "xterm-256color", "PYTHONPATH": str(ROOT)},
            preexec_fn=its_own,
        )
        os.close(slave)
        self.out = b""

    def __enter__(self) -> Terminal:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        with contextlib.suppress(ProcessLookupError):
            os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait(PATIENCE)
        self.hang_up()

    def press(self, keys: str | bytes) -> None:
        """Send keys as a terminal does."""
        os.write(self.master, keys.encode() if isinstance(keys, str) else keys)

    def hang_up(self) -> None:
        """The window is closed, or the line is cut."""
        if self.master >= 0:
            os.close(self.master)
            self.master = -1

    def until(self, reached: Callable[[], bool], what: str) -> None:
        """Read what the app draws until something holds."""
        end = time.monotonic() + PATIENCE
        while not reached():
            assert time.monotonic() < end, f"never {what}; on the screen:\n{self.text[-3000:]}"
            assert self.process.poll() is None, f"ended before {what}:\n{self.text[-3000:]}"
            self.draw()

    def draw(self, seconds: float = 0.05) -> None:
        """Take what the app has drawn."""
        with contextlib.suppress(OSError):  # the other side is gone
            if select.select([self.master], [], [], seconds)[0]:
                self.out += os.read(self.master, 65_536)

    def rest(self) -> None:
        """Take all that an ended process has drawn: a line hands on a few KiB at a time."""
        with contextlib.suppress(OSError):  # the other side is gone, and nothing is left
            while select.select([self.master], [], [], PATIENCE)[0]:
                part = os.read(self.master, 65_536)
                if not part:
                    return
                self.out += part

    @property
    def text(self) -> str:
        """Everything drawn so far, without its escape sequences."""
        return ESCAPES.sub(b"", self.out).decode(errors="replace")

    def forget(self) -> None:
        """Look from here on at what is drawn anew."""
        self.out = b""

    def sees(self, words: str) -> None:
        """Until these words were drawn."""
        self.until(lambda: words in self.text, f"saw {words!r}")

    def writes(self, wanted: Callable[[], bool], what: str) -> None:
        """Until something is on disk."""
        self.until(wanted, f"wrote {what}")

    def begin_shift(self) -> None:
        """Take over as AK and walk the first stop."""
        self.sees("take over")
        self.press("\r")
        self.sees("Your initials")
        self.press("ak\r")
        self.writes(lambda: any(isinstance(one, TakenOver) for one in on_disk(self.folder)), "the take-over")
        self.sees("stop 1 of 3")
        self.press("\r")
        self.writes(lambda: walked(self.folder) == ["enclosure/b1"], "the first stop")

    def seconds_to_end(self) -> float:
        """How long the process still runs; at most PATIENCE."""
        begin = time.monotonic()
        while self.process.poll() is None:
            assert time.monotonic() - begin < PATIENCE, "it never ended"
            if self.master >= 0:
                self.draw(0.01)
            else:
                with contextlib.suppress(subprocess.TimeoutExpired):
                    self.process.wait(0.01)
        return time.monotonic() - begin


def walked(folder: Path) -> list[str]:
    return [entry.about for entry in on_disk(folder) if isinstance(entry, StopWalked)]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return colony(tmp_path / "colony", ROOM)


@contextlib.contextmanager
def nothing_left_of(process: subprocess.Popen[bytes]) -> Iterator[None]:
    yield
    with pytest.raises(ProcessLookupError):
        os.killpg(process.pid, 0)


def test_bytes_that_are_no_utf_8_end_nothing(folder: Path) -> None:
    with Terminal(folder) as terminal:
        terminal.begin_shift()
        terminal.press(b"\xfc")  # an umlaut as a terminal set to Latin-1 sends it
        terminal.press(b"\x1b[200~\xff\xfe\x00\x1b[201~")
        terminal.press(b"\xc3")  # half of one
        terminal.press("511\r")
        terminal.writes(
            lambda: any(isinstance(one, Weighed) and one.grams == 511 for one in on_disk(folder)), "the weight"
        )


def test_killed_in_the_middle_of_a_walk_everything_acknowledged_is_there_and_the_walk_goes_on(folder: Path) -> None:
    with Terminal(folder) as terminal:
        terminal.begin_shift()
        terminal.press("511\r")
        terminal.writes(
            lambda: any(isinstance(one, Weighed) and one.grams == 511 for one in on_disk(folder)), "the weight"
        )
        terminal.press("51")  # a weight half typed is not acknowledged, and not written
        terminal.sees("51_")
        acknowledged = on_disk(folder)
        terminal.process.kill()
        terminal.process.wait(PATIENCE)
    assert on_disk(folder) == acknowledged
    with Terminal(folder) as terminal:
        terminal.sees("AK is still on shift here")
        terminal.sees("stop 2 of 3, 1 done")
        terminal.press("\r")
        terminal.writes(lambda: walked(folder) == ["enclosure/b1", "enclosure/b2"], "the second stop")
    entries = on_disk(folder)
    assert entries[: len(acknowledged)] == acknowledged
    assert {entry.by for entry in entries} == {"AK"}


ENDINGS: dict[str, Callable[[Terminal], None]] = {
    "the window is closed": Terminal.hang_up,
    "it is told to end": lambda terminal: os.kill(terminal.process.pid, signal.SIGTERM),
    "it is told that the line is cut": lambda terminal: os.kill(terminal.process.pid, signal.SIGHUP),
}


@pytest.mark.parametrize("ending", ENDINGS)
def test_the_terminal_goes_away_and_the_process_is_gone_within_two_seconds(ending: str, folder: Path) -> None:
    in_time = 0
    for attempt in range(1, TIMES + 1):
        with Terminal(folder) as terminal:
            if attempt == 1:
                terminal.begin_shift()
            else:
                terminal.sees("still on shift")
            acknowledged = on_disk(folder)
            with nothing_left_of(terminal.process):
                ENDINGS[ending](terminal)
                took = terminal.seconds_to_end()
            if ending != "the window is closed":
                terminal.rest()
                assert b"\x1b[?1049l" in terminal.out, "the terminal is given back as it was"
        assert on_disk(folder) == acknowledged
        assert walked(folder) == ["enclosure/b1"]
        in_time += took <= WITHIN
        if in_time == ENOUGH:
            return
    pytest.fail(f"{ending}: gone within {WITHIN:.0f} s {in_time} times of {TIMES}, last in {took:.1f} s")


def test_a_thousand_enters_in_a_real_terminal_are_one_stop_at_most(folder: Path) -> None:
    with Terminal(folder) as terminal:
        terminal.begin_shift()
    with Terminal(folder, pace="as it comes") as terminal:
        terminal.sees("still on shift")
        terminal.press("\r" * 1_000)
        terminal.sees("Then Enter came too soon, or is held")
        terminal.press("/sedge\r")
        terminal.sees("stop 3 of 3")
    assert len(walked(folder)) <= 2


ASKS = """
import sys
from pathlib import Path
from rounds import system
there, asked = system.terminal_is_there, Path(sys.argv[1]).with_name("asked").open("a")
system.terminal_is_there = lambda handle: (asked.write("x"), asked.flush()) and there(handle)
"""


def test_where_no_signal_tells_that_the_terminal_went_away_it_is_noticed_all_the_same(folder: Path) -> None:
    asked = folder.with_name("asked")
    in_time = 0
    for attempt in range(TIMES):
        asked.unlink(missing_ok=True)
        with Terminal(folder, controlling=False, before=ASKS) as terminal:
            if attempt == 0:
                terminal.begin_shift()
                terminal.sees("B1")
            else:
                terminal.sees("still on shift")
            # It stays while the terminal is there.
            terminal.until(lambda: asked.exists() and asked.stat().st_size >= 2, "looked for its terminal twice")
            with nothing_left_of(terminal.process):
                terminal.hang_up()
                took = terminal.seconds_to_end()
        assert walked(folder) == ["enclosure/b1"]
        in_time += took <= WITHIN
        if in_time == ENOUGH:
            return
    pytest.fail(f"gone within {WITHIN:.0f} s {in_time} times of {TIMES}, last in {took:.1f} s")


HANGS = """
import sys
import time
from pathlib import Path
from rounds.sheets.disk import Disk
sync = Disk.sync
hanging = Path(sys.argv[1]).with_name("hanging")
Disk.sync = lambda disk, handle: (hanging.touch(), time.sleep(600)) if COUNT.pop() == "hang" else sync(disk, handle)
COUNT = ["hang", "take over"]
"""


def test_an_app_that_hangs_on_its_disk_ends_when_it_is_told_to(tmp_path: Path) -> None:
    hanging = tmp_path / "hanging"
    in_time = 0
    for attempt in range(TIMES):
        hanging.unlink(missing_ok=True)
        folder = colony(tmp_path / f"colony-{attempt}", ROOM)
        with Terminal(folder, before=HANGS) as terminal:
            terminal.sees("take over")
            terminal.press("\rak\r")
            terminal.sees("stop 1 of 3")
            acknowledged = on_disk(folder)
            terminal.press("\r")
            terminal.until(hanging.exists, "hung on its disk")
            with nothing_left_of(terminal.process):
                os.kill(terminal.process.pid, signal.SIGTERM)
                took = terminal.seconds_to_end()
            terminal.rest()
            assert b"rounds was told to end, was busy, and was ended." in terminal.out
        assert [entry for entry in on_disk(folder) if entry in acknowledged] == acknowledged
        in_time += took <= WITHIN
        if in_time == ENOUGH:
            return
    pytest.fail(f"gone within {WITHIN:.0f} s {in_time} times of {TIMES}, last in {took:.1f} s")


def test_a_terminal_that_is_gone_from_the_start_keeps_no_process(folder: Path) -> None:
    with Terminal(folder) as terminal, nothing_left_of(terminal.process):
        terminal.hang_up()
        assert terminal.seconds_to_end() < PATIENCE


def test_leaving_by_its_key_ends_the_process_and_gives_the_terminal_back(folder: Path) -> None:
    with Terminal(folder) as terminal:
        terminal.begin_shift()
        terminal.press("q")
        terminal.seconds_to_end()
        terminal.rest()
        assert terminal.process.returncode == 0
        assert b"\x1b[?1049l" in terminal.out


def test_a_label_scanned_into_a_real_terminal_jumps_and_writes_nothing(folder: Path) -> None:
    with Terminal(folder) as terminal:
        terminal.begin_shift()
        before = on_disk(folder)
        terminal.press("/sedge\r")
        terminal.sees("stop 3 of 3")
        terminal.press("\x1b[200~B1\r\x1b[201~")  # the same from a scanner that pastes
        terminal.sees("stop 1 of 3, 1 done")
        assert on_disk(folder) == before


MOVED = re.compile(rb"\x1b\[(\d+);(\d+)H")


@pytest.mark.parametrize("no_color", ["", "1"])
def test_the_terminals_own_cursor_is_shown_where_text_is_typed_and_hidden_elsewhere(
    no_color: str, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NO_COLOR", no_color)
    with Terminal(folder) as terminal:
        terminal.begin_shift()
        shown, hidden = b"\x1b[?25h", b"\x1b[?25l"
        terminal.until(lambda: terminal.out.rfind(hidden) > terminal.out.rfind(shown), "hid the cursor")
        terminal.press("nh\u00e4utet")
        terminal.until(lambda: MOVED.findall(terminal.out)[-1][1] == b"8", "stood behind the sixth letter")
        terminal.press("\x1b[D\x1b[D")
        terminal.until(lambda: MOVED.findall(terminal.out)[-1][1] == b"6", "stood two letters before")
        terminal.until(lambda: terminal.out.rfind(shown) > terminal.out.rfind(hidden), "showed the cursor")
        terminal.press("\r")
        terminal.until(lambda: terminal.out.rfind(hidden) > terminal.out.rfind(shown), "hid the cursor again")
