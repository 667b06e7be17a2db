"""A fault of the program ends it in order: exit code 70, one sentence, a report, the terminal as it was."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from tests.screens.rack import colony
from tests.screens.test_terminal import BACK, ROOM, Terminal

#: Opens the app as the command does, after something was broken.
OPEN = """
from datetime import UTC, datetime, timedelta
from rounds.cli import main

back = timedelta(seconds=float(sys.argv[2]))
sys.exit(main(["--colony", sys.argv[1]], clock=lambda: datetime.now(UTC) - back))
"""
BREAK = """
import sys, threading, time
from itertools import count
from rounds.screens.app import RoundsApp
from rounds.screens.keys.dispatch import KeyedApp
from rounds.screens.screen import RoundScreen
from rounds.screens.keys.driver import TerminalDriver
from rounds.screens.walk import WalkScreen

second = count()
KeyedApp.read_at = lambda app, event: next(second)  # whoever presses has waited for what is to be seen
RoundScreen.is_seen = lambda screen, key, moment: True

def fail(error=ZeroDivisionError("nobody thought of this")):
    raise error
"""
#: An app that ends by itself has all the time it needs, on a machine that is busy with other things too.
UNHURRIED = "from rounds.screens.board import terminal\nterminal.PATIENCE = 100.0\n"
WRITER = """
from textual.drivers._writer_thread import WriterThread

BROKEN = []

def run(self):
    while (text := self._queue.get()) is not None:
        if BROKEN: fail()
        self._file.write(text)
        self._file.flush()

WriterThread.run = run
"""
FAULTS = {
    "in a key": ("WalkScreen.action_food = lambda self: fail()", "ZeroDivisionError: nobody thought of this"),
    "of a pipe": ("WalkScreen.action_food = lambda self: fail(BrokenPipeError(32, 'x'))", "BrokenPipeError"),
    "in a timer": (
        "WalkScreen.action_food = lambda self: self.set_timer(0.01, fail)",
        "ZeroDivisionError: nobody thought of this",
    ),
    "in a worker": (
        "async def work(): fail()\nWalkScreen.action_food = lambda self: self.app.run_worker(work())",
        "ZeroDivisionError: nobody thought of this",
    ),
    "in the thread that reads": (
        "WalkScreen.action_food = lambda self: setattr(TerminalDriver, '_read', lambda *_: fail())",
        "ZeroDivisionError: nobody thought of this",
    ),
    "in the thread that writes, which has much to write": (
        WRITER + "WalkScreen.action_food = lambda self: (BROKEN.append(1), [self.app.bell() for _ in range(99)])",
        "ZeroDivisionError: nobody thought of this",
    ),
    "behind which the app hangs": (
        "def hang(self): threading.Thread(target=fail).start(); time.sleep(600)\nWalkScreen.action_food = hang",
        "ZeroDivisionError: nobody thought of this",
    ),
}
#: Those behind which it cannot end by itself.
HANG = ("in the thread that writes, which has much to write", "behind which the app hangs")


@pytest.mark.parametrize("fault", FAULTS)
def test_a_fault_is_one_sentence_a_report_and_an_exit_code(fault: str, tmp_path: Path, home: Path) -> None:
    broken, named = FAULTS[fault]
    folder = colony(tmp_path / "colony", ROOM)
    program = tmp_path / "program.py"
    program.write_text(("" if fault in HANG else UNHURRIED) + BREAK + broken + OPEN)
    with Terminal(folder, command=[sys.executable, str(program), str(folder), str(BACK)]) as terminal:
        terminal.begin_shift()
        terminal.forget()
        terminal.press("f")
        terminal.seconds_to_end()
        terminal.rest()
        assert terminal.process.returncode == 70
        assert b"\x1b[?1049l" in terminal.out
        after = terminal.text[terminal.text.rfind("Something went wrong") :]
    assert "Traceback" not in terminal.text
    (report,) = (home / "state" / "rounds" / "reports").iterdir()
    assert "".join(after.split()).endswith("".join(str(report).split()))
    assert named in report.read_text()
