"""NO_COLOR in a real pseudo-terminal: no byte that sets a colour is written, on either ground (no-color.org)."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from tests.screens.rack import colony
from tests.screens.test_terminal import ROOM, Terminal

#: Select Graphic Rendition: what stands between ESC [ and m.
SGR = re.compile(rb"\x1b\[([0-9;:]*)m")
#: Colours of letters and of the ground (ECMA-48, and the bright ones of aixterm).
COLOURS = {*range(30, 50), *range(90, 108)}
GRAVE = "    2026-03-01 AK\n    19:00  wattle  condition_seen  signs=prolapse\n"


def colours(written: bytes) -> set[int]:
    """The codes of all colours set in what was written."""
    codes = {int(code) for found in SGR.findall(written) for code in re.split(rb"[;:]", found) if code}
    return codes & COLOURS


def look_around(terminal: Terminal) -> None:
    """Take over past a vet-now matter, then see the walk, attention, help, a form, and the other ground."""
    terminal.sees("take over")
    terminal.press("\rak\r")
    terminal.sees("I have read it")
    terminal.press("y")
    terminal.sees("stop 1 of 3")
    for keys, words in (
        ("a", "prolapse"),
        ("w?", "Keys of this screen"),
        ("\r" + "isc", "its key ticks"),
        ("\x1b", "leave out"),
    ):
        terminal.press(keys)
        terminal.sees(words)
    terminal.press("\x1bOS")  # F4: the other ground
    before = terminal.text.count("prolapse")
    terminal.press("a")
    terminal.until(lambda: terminal.text.count("prolapse") > before, "showed attention on the other ground")
    terminal.press("wb")
    terminal.sees("Behaviour of")


@pytest.mark.parametrize("no_color", ["1", "yes"])
def test_without_colour_no_colour_is_ever_written(
    no_color: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NO_COLOR", no_color)
    monkeypatch.setenv("COLORTERM", "truecolor")
    with Terminal(colony(tmp_path / "colony", ROOM + GRAVE)) as terminal:
        look_around(terminal)
        assert colours(terminal.out) == set()
        codes = {code for found in SGR.findall(terminal.out) for code in found.split(b";")}
        assert {b"1", b"7"} <= codes, "bold and reverse stay: they are no colours"


def test_with_colour_there_is_some_so_that_this_test_can_fail(tmp_path: Path) -> None:
    with Terminal(colony(tmp_path / "colony", ROOM + GRAVE)) as terminal:
        terminal.sees("take over")
        assert colours(terminal.out)


def test_a_new_colony_is_begun_without_colour(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    with Terminal(tmp_path / "none") as terminal:
        terminal.sees("A new colony")
        terminal.press("\r")
        terminal.sees("called")
        assert colours(terminal.out) == set()


def test_plain_commands_write_no_colour(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "rounds", "--colony", str(colony(tmp_path / "colony", ROOM)), "today"],
        capture_output=True,
        env={**os.environ, "NO_COLOR": "1"},
        cwd=Path(__file__).parents[2],
        check=True,
    )
    assert colours(done.stdout) == set()
