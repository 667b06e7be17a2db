"""A pseudo-terminal that drives a full-screen program: what it shows, and when the bytes came."""

from __future__ import annotations

import contextlib
import fcntl
import os
import pty
import re
import select
import struct
import termios
import time
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Final, NamedTuple

#: What a terminal answers to the questions a full-screen program asks, so that none waits for it in vain.
_ANSWERS: Final = (
    (re.compile(rb"\x1b\[\?2026\$p"), b"\x1b[?2026;2$y"),  # synchronized output: known, off
    (re.compile(rb"\x1b\[\?2048\$p"), b"\x1b[?2048;0$y"),  # in-band window resize: not known
    (re.compile(rb"\x1b\[0?c"), b"\x1b[?62;22c"),  # what are you
    (re.compile(rb"\x1b\[6n"), b"\x1b[1;1R"),  # where is the cursor
    (re.compile(rb"\x1b\[\?u"), b""),  # the kitty keyboard: older terminals say nothing
)
_CONTROL: Final = re.compile(rb"\x1b(?:\[[0-?]*[ -/]*[@-~]|\][^\x07\x1b]*(?:\x07|\x1b\\)|[()][0-9A-B]|[=>78])")


class Left(NamedTuple):
    """How a program ended: its exit code, and the most memory it held, in MB."""

    code: int
    peak_mb: float


class Terminal:
    """A program in a pseudo-terminal of 80 × 24."""

    def __init__(
        self, command: Sequence[str], environment: Mapping[str, str], *, columns: int = 80, lines: int = 24
    ) -> None:
        self._seen = b""
        self._asked = b""
        self.begun = time.perf_counter()
        self.child, self._handle = pty.fork()
        if self.child == 0:
            os.execvpe(command[0], list(command), dict(environment))
        fcntl.ioctl(self._handle, termios.TIOCSWINSZ, struct.pack("HHHH", lines, columns, 0, 0))
        os.set_blocking(self._handle, False)

    def wait_for(self, text: str, limit: float = 60.0) -> float:
        """Read until the text is on the screen; the moment at which its last byte came. Raises `TimeoutError`."""
        wanted = text.encode()
        end = time.perf_counter() + limit
        while time.perf_counter() < end:
            moment = self._take(min(0.5, end - time.perf_counter()))
            if wanted in self._seen:
                return moment
        raise TimeoutError(f"{text!r} did not appear; there was {self.text[-2000:]!r}")

    def settle(self, quiet: float = 0.25, limit: float = 30.0) -> None:
        """Read until nothing has come for some time."""
        end = time.perf_counter() + limit
        last = time.perf_counter()
        while time.perf_counter() < min(end, last + quiet):
            before = len(self._seen)
            self._take(quiet)
            if len(self._seen) != before:
                last = time.perf_counter()

    def press(self, key: bytes, sign: bytes = b"") -> float:
        """Press a key; seconds until bytes came back (that hold `sign`, if one is given)."""
        self._seen = b""
        begun = time.perf_counter()
        os.write(self._handle, key)
        end = begun + 10
        while time.perf_counter() < end:
            moment = self._take(end - time.perf_counter())
            if self._seen and sign in self._seen:
                return moment - begun
        raise TimeoutError(f"nothing came back for {key!r}: {self._seen[-500:]!r}")

    @property
    def text(self) -> str:
        """What has been written since the last key, without what only moves the cursor or colours."""
        return _CONTROL.sub(b"", self._seen).decode(errors="replace")

    def forget(self) -> None:
        """Wait from here on for what comes anew."""
        self._seen = b""

    def _take(self, wait: float) -> float:
        ready, _, _ = select.select([self._handle], [], [], max(0.0, wait))
        moment = time.perf_counter()
        if ready:
            with contextlib.suppress(OSError):
                content = os.read(self._handle, 1 << 16)
                self._seen += content
                self._answer(content)
        return moment

    def _answer(self, content: bytes) -> None:
        self._asked = (self._asked + content)[-64:] if len(content) < 64 else content
        for question, answer in _ANSWERS:
            if question.search(self._asked):
                self._asked = b""
                if answer:
                    with contextlib.suppress(OSError):
                        os.write(self._handle, answer)

    def leave(self, key: bytes = b"q", limit: float = 20.0) -> Left:
        """Press the key that ends the program and wait for its end."""
        peak = self._peak_mb()
        os.write(self._handle, key)
        end = time.perf_counter() + limit
        while True:
            self._take(0.01)
            peak = max(peak, self._peak_mb())
            done, status, usage = os.wait4(self.child, os.WNOHANG)
            if done:
                break
            if time.perf_counter() > end:
                os.kill(self.child, 9)
                done, status, usage = os.wait4(self.child, 0)
                break
        os.close(self._handle)
        return Left(os.waitstatus_to_exitcode(status), peak or usage.ru_maxrss / 1024)

    def _peak_mb(self) -> float:
        """The most memory the program itself has held so far; what `wait4` tells counts its parent's too."""
        with contextlib.suppress(OSError):
            for line in Path(f"/proc/{self.child}/status").read_text().splitlines():
                if line.startswith("VmHWM:"):
                    return int(line.split()[1]) / 1024
        return 0.0
