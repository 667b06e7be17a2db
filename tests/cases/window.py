"""The app in a pseudo-terminal of its own: keys go in as a terminal sends them, the screen is read as it stands."""

from __future__ import annotations

import codecs
import contextlib
import fcntl
import os
import pty
import re
import select
import signal
import struct
import subprocess
import termios
import time
import unicodedata
from collections.abc import Callable
from types import TracebackType
from typing import Final

from tests.cases.home import Home

#: How long the app may take for one thing on a busy machine, in s.
PATIENCE = 20.0
#: What the key line says when the walk can go on, is done, or has no stop yet.
AT_WORK: Final = ("as planned, next", "h hand over", "F2 set up")
#: Windows that have not been ended.
OPEN: list[Window] = []
_PIECES = re.compile(
    r"\x1b\[(?P<given>[0-9;?<>=]*)[ -/]*(?P<what>[@-~])"
    r"|\x1b\][^\x07\x1b]*(?:\x07|\x1b\\)"
    r"|\x1bP[^\x1b]*\x1b\\"
    r"|\x1b[()][A-Z0-9]|\x1b[=>78M]"
    r"|(?P<sign>[\x00-\x1f])"
    r"|(?P<text>[^\x00-\x1f]+)"
)
#: An escape sequence of which the rest has not arrived.
_BEGUN = re.compile(r"\x1b(?:\[[0-9;?<>=]*[ -/]*|\][^\x07\x1b]*\x1b?|P[^\x1b]*\x1b?|[()])?\Z")


class Screen:
    """What stands on a terminal after everything that was sent to it."""

    def __init__(self, lines: int, columns: int) -> None:
        self.columns = columns
        self.rows = [[" "] * columns for _ in range(lines)]
        self._line = self._column = 0
        self._rest = ""
        self._decoder = codecs.getincrementaldecoder("utf-8")("replace")

    def take(self, sent: bytes) -> None:
        """Draw what was sent."""
        text = self._rest + self._decoder.decode(sent)
        begun = _BEGUN.search(text)
        self._rest = text[begun.start() :] if begun else ""
        for piece in _PIECES.finditer(text, 0, begun.start() if begun else len(text)):
            if piece["text"]:
                self._write(piece["text"])
            elif piece["sign"]:
                self._move_by(piece["sign"])
            elif piece["what"]:
                self._obey(piece["given"], piece["what"])

    @property
    def text(self) -> str:
        """The lines from top to bottom."""
        return "\n".join("".join(row).rstrip() for row in self.rows)

    def _write(self, text: str) -> None:
        for sign in text:
            if unicodedata.combining(sign):
                continue
            wide = 1 + (unicodedata.east_asian_width(sign) in "WF")
            if self._column + wide > self.columns:
                self._column = 0
                self._line = min(self._line + 1, len(self.rows) - 1)
            self.rows[self._line][self._column] = sign
            for place in range(self._column + 1, self._column + wide):
                self.rows[self._line][place] = ""
            self._column += wide

    def _move_by(self, sign: str) -> None:
        if sign == "\r":
            self._column = 0
        elif sign == "\n":
            self._line = min(self._line + 1, len(self.rows) - 1)
        elif sign == "\b":
            self._column = max(0, self._column - 1)

    def _obey(self, given: str, what: str) -> None:
        numbers = [int(number) if number.isdigit() else 0 for number in given.split(";")]
        first = numbers[0]
        if what in "Hf":
            self._line = min(max(first, 1), len(self.rows)) - 1
            self._column = min(max(numbers[1] if len(numbers) > 1 else 1, 1), self.columns) - 1
        elif what in "AB":
            by = max(first, 1) * (1 if what == "B" else -1)
            self._line = min(max(self._line + by, 0), len(self.rows) - 1)
        elif what in "CD":
            by = max(first, 1) * (1 if what == "C" else -1)
            self._column = min(max(self._column + by, 0), self.columns - 1)
        elif what == "G":
            self._column = min(max(first, 1), self.columns) - 1
        elif what == "K":
            start, stop = ((self._column, self.columns), (0, self._column + 1), (0, self.columns))[min(first, 2)]
            self.rows[self._line][start:stop] = [" "] * (stop - start)
        elif what == "J" and first >= 2:
            self.rows = [[" "] * self.columns for _ in self.rows]


class Window:
    """The app, open on a home's colony."""

    def __init__(self, home: Home, *words: str, lines: int = 24, columns: int = 80, **more: str) -> None:
        self.home = home
        self.screen = Screen(lines, columns)
        self.drawn = 0
        master, slave = pty.openpty()
        self._master = master
        fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", lines, columns, 0, 0))

        def own_session() -> None:
            os.setsid()
            fcntl.ioctl(0, termios.TIOCSCTTY, 0)

        self.process = subprocess.Popen(
            [*home.inside, str(home.rounds), *words],
            stdin=slave,
            stdout=slave,
            stderr=slave,
            env=home.environment(**more),
            preexec_fn=own_session,
        )
        os.close(slave)
        self.code: int | None = None
        OPEN.append(self)

    def __enter__(self) -> Window:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.end()

    def end(self) -> None:
        """End the app whatever it does, and close its terminal."""
        with contextlib.suppress(ProcessLookupError):
            self.process.send_signal(signal.SIGCONT)
            self.process.kill()
        self.process.wait(PATIENCE)
        self.hang_up()
        if self in OPEN:
            OPEN.remove(self)

    def press(self, keys: str | bytes) -> None:
        """Send keys, taking in what is drawn meanwhile."""
        rest = keys.encode() if isinstance(keys, str) else keys
        while rest:
            able = select.select([self._master], [self._master], [], 1.0)
            if able[0]:
                self.look(0)
            if able[1]:
                rest = rest[os.write(self._master, rest[:256]) :]

    def look(self, seconds: float = 0.05) -> bool:
        """Take in what is drawn within that time; whether anything was."""
        if self._master < 0 or not select.select([self._master], [], [], seconds)[0]:
            return False
        try:
            sent = os.read(self._master, 1 << 16)
        except OSError:  # the app has closed its side
            time.sleep(min(seconds, 0.02))
            return False
        self.drawn += len(sent)
        self.screen.take(sent)
        return bool(sent)

    def watch(self, seconds: float) -> None:
        """Go on taking in what is drawn for that long."""
        end = time.monotonic() + seconds
        while (left := end - time.monotonic()) > 0:
            self.look(min(left, 0.05))

    def quiet(self, seconds: float = 0.4, most: float = PATIENCE) -> None:
        """Until nothing new was drawn for that long."""
        end = time.monotonic() + most
        while time.monotonic() < end and self.look(seconds):
            pass

    @property
    def text(self) -> str:
        """What stands on the screen now."""
        return self.screen.text

    @property
    def running(self) -> bool:
        """Whether the app still runs."""
        return self.process.poll() is None

    def sees(self, *words: str, patience: float = PATIENCE) -> bool:
        """Whether one of these comes to stand on the screen."""
        return self.reaches(lambda: any(each in self.text for each in words), patience)

    def reaches(self, reached: Callable[[], bool], patience: float = PATIENCE) -> bool:
        """Whether something comes to hold while the screen is watched."""
        end = time.monotonic() + patience
        while not reached():
            if time.monotonic() > end:
                return False
            if not self.look(0.03) and not self.running:
                self.quiet(0.05, 1)
                return reached()
        return True

    def must_see(self, *words: str) -> None:
        """Raises `AssertionError` when none of these ever stands on the screen."""
        assert self.sees(*words), f"never saw {words}; the screen:\n{self.text}"

    def take_over(self) -> None:
        """Begin the shift as AK, or go on with it."""
        self.must_see("Enter take over", *AT_WORK)
        self.quiet(0.3)
        if "Enter take over" in self.text:
            self.press("\r")
            self.must_see("Your initials")
            self.press("ak\r")
            assert self.reaches(lambda: "Your initials" not in self.text), f"initials stay asked:\n{self.text}"
            for _ in range(40):  # each vet matter wants to be read, by a key of its own
                self.quiet(0.3)
                if any(words in self.text for words in AT_WORK):
                    break
                self.watch(1.1)  # as long as it takes to read one
                self.press("y")
            self.must_see(*AT_WORK)

    def ends(self, patience: float = PATIENCE) -> bool:
        """Whether the app ends by itself; its exit code is `code` then."""
        self.reaches(lambda: not self.running, patience)
        self.code = self.process.poll()
        return self.code is not None

    def leave(self) -> int:
        """Leave by its key; the exit code. Raises `AssertionError` when it stays."""
        self.press("q")
        if not self.ends(3):
            self.press("q")
        assert self.ends(), f"it stays:\n{self.text}"
        assert self.code is not None
        return self.code

    def hang_up(self) -> None:
        """Close the window."""
        if self._master >= 0:
            os.close(self._master)
            self._master = -1
