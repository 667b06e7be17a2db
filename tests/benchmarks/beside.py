"""`python -m tests.benchmarks.beside OLD`: this program in turn with an earlier one, on the same colony.

OLD is a work tree of the earlier version with a `.venv` of its own. Its demo colony is read by both, so that
neither meets a kind that it does not know. Figures are medians of so many pairs, as processor time
and on the wall: on a machine that others use, the first is the one to believe.
"""

from __future__ import annotations

import argparse
import contextlib
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Final, NamedTuple

from tests.benchmarks.measures import STOP, TAKE_OVER, TOP, environment
from tests.benchmarks.terminal import Terminal

#: The earlier program writes the colony: it knows each kind in it.
_DEMO: Final = """
import sys
from datetime import UTC, datetime
from pathlib import Path
from zoneinfo import ZoneInfo
from demo_colony.write import write
write(Path(sys.argv[1]), datetime.now(UTC), ZoneInfo("UTC"))
"""


class Spent(NamedTuple):
    """Milliseconds of the processor, and on the wall."""

    processor: float
    wall: float


class Program:
    """One version, with its own home: its cache is its own, the colony is the other's too."""

    def __init__(self, top: Path, home: Path, colony: Path) -> None:
        self.python = str(top / ".venv" / "bin" / "python") if (top / ".venv").is_dir() else sys.executable
        self.colony = colony
        self.variables = {**environment(home), "PYTHONPATH": str(top)}
        home.mkdir(parents=True, exist_ok=True)

    def plain(self, *words: str) -> Spent:
        """A plain command, from its start to its end."""
        begun = time.perf_counter()
        child = subprocess.Popen(
            [self.python, "-m", "rounds", "--colony", str(self.colony), *words],
            env=self.variables,
            cwd=self.colony.parent,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        _, status, usage = os.wait4(child.pid, 0)
        wall = time.perf_counter() - begun
        child.returncode = os.waitstatus_to_exitcode(status)
        if child.returncode:
            raise SystemExit(f"`rounds {' '.join(words)}` ended with {child.returncode}")
        return Spent((usage.ru_utime + usage.ru_stime) * 1000, wall * 1000)

    def opened(self) -> Terminal:
        """The full-screen program, in a pseudo-terminal."""
        return Terminal([self.python, "-m", "rounds", "--colony", str(self.colony)], self.variables)

    def start(self) -> Spent:
        """The full-screen program, from its start to its first usable stop."""
        terminal = self.opened()
        moment = terminal.wait_for(STOP, 600)
        spent = Spent(processor_of(terminal.child), (moment - terminal.begun) * 1000)
        terminal.settle()
        terminal.leave()
        return spent

    def run(self, source: str) -> None:
        """A few lines of Python, given the colony."""
        subprocess.run(
            [self.python, "-c", source, str(self.colony)], env=self.variables, check=True, cwd=self.colony.parent
        )


def processor_of(process: int) -> float:
    """Milliseconds that a process has had of the processor until now, all its threads."""
    spent = 0
    for told in Path(f"/proc/{process}/task").glob("*/schedstat"):
        with contextlib.suppress(OSError):
            spent += int(told.read_text().split()[0])
    return spent / 1e6


def in_turn(pairs: int, old: Callable[[], Spent], new: Callable[[], Spent]) -> tuple[list[Spent], list[Spent]]:
    """Both so many times, turn and turn about, each first as often as the other."""
    for _ in range(2):  # compiled modules and the cache are written
        old(), new()
    before: list[Spent] = []
    now: list[Spent] = []
    for turn in range(pairs):
        if turn % 2:
            now.append(new())
            before.append(old())
        else:
            before.append(old())
            now.append(new())
    return before, now


def row(what: str, before: Sequence[Spent], now: Sequence[Spent]) -> str:
    """A row of the table: medians and the least, and the ratios of each."""
    cells = []
    for old, new in zip(zip(*before, strict=True), zip(*now, strict=True), strict=True):
        middle = statistics.median(old), statistics.median(new)
        cells.append(
            f"{middle[0]:7.1f} | {middle[1]:7.1f} | {middle[1] / middle[0]:5.3f} ({min(new) / min(old):5.3f})"
        )
    return f"| {what:24} | {' | '.join(cells)} |"


def keys(pairs: int, old: Program, new: Program) -> tuple[list[Spent], list[Spent]]:
    """A key at a stop to the first bytes that come back, both programs open side by side."""
    open_now = [one.opened() for one in (old, new)]
    for terminal in open_now:
        terminal.wait_for(STOP, 600)
        terminal.settle(1.5)
    found: tuple[list[Spent], list[Spent]] = ([], [])
    for turn in range(pairs):
        for terminal, told in zip(open_now, found, strict=True):
            before = processor_of(terminal.child)
            wall = terminal.press(b"+" if turn % 2 == 0 else b"-") * 1000
            terminal.settle(0.06)
            told.append(Spent(processor_of(terminal.child) - before, wall))
    for terminal in open_now:
        terminal.leave()
    return found


def main() -> int:
    """Print the table."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.beside", description=__doc__)
    parser.add_argument("old", type=Path, help="a work tree of the earlier version, with its .venv")
    parser.add_argument("--pairs", type=int, default=30)
    parser.add_argument("--colony", type=Path, help="a colony that both can read (else the earlier demo)")
    parser.add_argument("--only", default="start,keys,today,matters", help="what is measured, commas between")
    options = parser.parse_args()
    wanted = options.only.split(",")
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        colony = (options.colony or home / "demo").resolve()
        old, new = (
            Program(options.old.resolve(), home / "old", colony),
            Program(TOP, home / "new", colony),
        )
        if options.colony is None:
            old.run(_DEMO)
        print(f"| {'what':24} | processor: before | now | ratio (of the least) | wall: before | now | ratio |")
        print("|---|---|---|---|---|---|---|")
        for words in (one for one in wanted if one not in ("start", "keys")):
            found = in_turn(options.pairs, lambda: old.plain(words), lambda: new.plain(words))  # noqa: B023
            print(row(f"plain {words}", *found), flush=True)
        if {"start", "keys"} & set(wanted):
            for program in (old, new):
                program.run(TAKE_OVER)
        if "start" in wanted:
            print(row("start to first stop", *in_turn(options.pairs, old.start, new.start)), flush=True)
        if "keys" in wanted:
            print(row("key to repaint", *keys(options.pairs * 2, old, new)), flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main())
