"""Put to sleep and woken, by a shell or by a signal: every key once and in order, the terminal as it should be."""

from __future__ import annotations

import fcntl
import os
import shlex
import shutil
import signal
import struct
import sys
import termios
from pathlib import Path

import pytest

from rounds.logbook.entries import Weighed
from tests.screens.rack import colony, on_disk
from tests.screens.test_terminal import BACK, OPEN, ROOM, Terminal

#: What a full-screen program asks of its terminal: the other screen, mouse, marked pastes.
TAKEN = (b"\x1b[?1049h", b"\x1b[?1006h", b"\x1b[?2004h")
LETTERS = termios.ECHO | termios.ICANON


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return colony(tmp_path / "colony", ROOM)


def weights(folder: Path) -> list[int]:
    """Those of Karri since the room was set up, as they were written."""
    found = [one for one in on_disk(folder) if isinstance(one, Weighed) and one.about == "animal/karri"]
    return [int(one.grams) for one in found[1:]]


def is_raw(terminal: Terminal) -> bool:
    return not termios.tcgetattr(terminal.master)[3] & LETTERS


def sleeps(process: int) -> bool:
    return Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()[0] == "T"


needs_proc = pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="this system has no /proc")


@pytest.mark.parametrize("stopped", [True, False], ids=["stopped and woken", "woken without having slept"])
def test_of_weights_typed_while_the_process_is_woken_each_is_written_as_it_was_typed(
    stopped: bool, folder: Path
) -> None:
    typed = [500 + number % 20 for number in range(40)]
    with Terminal(folder) as terminal:
        terminal.begin_shift()
        for number, key in enumerate("".join(f"{grams}\r" for grams in typed)):
            if number % 7 == 3:
                if stopped:
                    os.kill(terminal.process.pid, signal.SIGSTOP)
                terminal.press(key)
                os.kill(terminal.process.pid, signal.SIGCONT)
            else:
                terminal.press(key)
            terminal.draw(0.001)
        terminal.writes(lambda: len(weights(folder)) == len(typed), "all of them")
    assert weights(folder) == typed


@needs_proc
def test_put_to_sleep_the_terminal_is_given_back_and_woken_it_is_taken_again(folder: Path) -> None:
    with Terminal(folder) as terminal:
        terminal.begin_shift()
        terminal.press("50")
        terminal.sees("50_")
        terminal.forget()
        os.kill(terminal.process.pid, signal.SIGTSTP)
        terminal.until(lambda: sleeps(terminal.process.pid), "slept")
        terminal.until(lambda: b"\x1b[?1049l" in terminal.out, "gave the screen back")
        assert not is_raw(terminal)
        fcntl.ioctl(terminal.master, termios.TIOCSWINSZ, struct.pack("HHHH", 30, 100, 0, 0))
        terminal.forget()
        os.kill(terminal.process.pid, signal.SIGCONT)
        terminal.until(lambda: all(mark in terminal.out for mark in TAKEN), "took the terminal again")
        terminal.sees("50_")
        terminal.until(lambda: b"\x1b[30;1H" in terminal.out, "painted as many rows as there are now")
        assert is_raw(terminal)
        terminal.press("9\r")
        terminal.writes(lambda: weights(folder) == [509], "the weight that was begun before")


@needs_proc
def test_stopped_without_warning_the_terminal_is_taken_again_as_it_was(folder: Path) -> None:
    with Terminal(folder) as terminal:
        terminal.begin_shift()
        terminal.press("nhello")
        terminal.sees("hello")
        raw = termios.tcgetattr(terminal.master)
        os.kill(terminal.process.pid, signal.SIGSTOP)
        terminal.until(lambda: sleeps(terminal.process.pid), "slept")
        shell = termios.tcgetattr(terminal.master)
        shell[3] |= LETTERS
        termios.tcsetattr(terminal.master, termios.TCSANOW, shell)  # as a shell does that finds it stopped
        terminal.forget()
        os.kill(terminal.process.pid, signal.SIGCONT)
        terminal.until(lambda: all(mark in terminal.out for mark in TAKEN), "took the terminal again")
        terminal.sees("hello")
        assert termios.tcgetattr(terminal.master)[:4] == raw[:4]
        shown, hidden = b"\x1b[?25h", b"\x1b[?25l"
        terminal.until(lambda: terminal.out.rfind(shown) > terminal.out.rfind(hidden), "shows its cursor")


@pytest.mark.skipif(shutil.which("bash") is None, reason="this system has no bash")
@pytest.mark.parametrize("sent", [signal.SIGTSTP, signal.SIGSTOP], ids=["told to stop", "stopped"])
def test_a_shell_that_brings_it_back_has_it_as_it_was(sent: signal.Signals, folder: Path, tmp_path: Path) -> None:
    told = tmp_path / "process"
    program = f"import os; open({str(told)!r}, 'w').write(str(os.getpid())){OPEN}"
    words = shlex.join([sys.executable, "-c", program, str(folder), str(BACK), "a key a second"])
    script = tmp_path / "open"
    script.write_text(f"exec {words}\n")
    with Terminal(folder, command=["bash", "--norc", "--noprofile", "-i"]) as shell:
        shell.press(f"PS1='ready$ '; bash {script}\n")
        shell.begin_shift()
        process = int(told.read_text())
        shell.press("50")
        shell.sees("50_")
        shell.forget()
        os.kill(process, sent)
        shell.sees("ready$")
        shell.forget()
        shell.press("fg\n")
        shell.until(lambda: all(mark in shell.out for mark in TAKEN), "took the terminal again")
        shell.sees("50_")
        shell.press("8\r")
        shell.writes(lambda: weights(folder) == [508], "the weight that was begun before")
        shell.forget()
        shell.press("q")
        shell.sees("ready$")
