"""What is measured, each beside its floor in the same run. Run by hand: `python -m tests.benchmarks`."""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import Final, NamedTuple

from tests.benchmarks.terminal import Left, Terminal

TOP: Final = Path(__file__).resolve().parents[2]
_OPEN: Final = (
    "import sys; from pathlib import Path; from rounds.screens.app import run; run(Path(sys.argv[1]), keeper='AK')"
)
_STOP: Final = "as planned, next"


class Figure(NamedTuple):
    """One row: what, the figure and its floor (both in `unit`), and the aim as a ratio (0: none)."""

    what: str
    value: float
    floor: float
    unit: str
    aim: float

    @property
    def ratio(self) -> float:
        """How many times the floor."""
        return self.value / self.floor if self.floor else 0.0


def medians(repeats: int, *measures: Callable[[], float]) -> list[float]:
    """The medians of several measures taken in turn, so that a slow moment of the machine meets all of them."""
    taken: list[list[float]] = [[] for _ in measures]
    for measure in measures:
        measure()  # the first of each warms file caches and compiled modules
    for _ in range(repeats):
        for found, measure in zip(taken, measures, strict=True):
            found.append(measure())
    return [statistics.median(found) for found in taken]


def environment(home: Path) -> dict[str, str]:
    """The variables of a home of its own, with compiled modules kept as on any machine."""
    kept = {key: value for key, value in os.environ.items() if key not in ("PYTHONDONTWRITEBYTECODE", "NO_COLOR")}
    folders = {f"XDG_{name}_HOME": str(home / name.lower()) for name in ("STATE", "CACHE", "DATA", "CONFIG")}
    return {**kept, **folders, "HOME": str(home), "TERM": "xterm-256color", "COLUMNS": "80", "LINES": "24"}


def started(command: list[str], sign: str, home: Path, key: bytes = b"q") -> tuple[float, Left]:
    """Seconds from the start of a program to `sign` on its screen, and how it ended."""
    terminal = Terminal(command, environment(home))
    moment = terminal.wait_for(sign, 600)
    terminal.settle()
    return moment - terminal.begun, terminal.leave(key)


def open_command(colony: Path) -> list[str]:
    """The app on a colony."""
    return [sys.executable, "-c", _OPEN, str(colony)]


BARE: Final = [sys.executable, str(TOP / "tests" / "benchmarks" / "bare.py")]


def start_up(colony: Path, home: Path, repeats: int, name: str, aim: float) -> Iterator[Figure]:
    """Start to the first usable stop, and the most memory held, against a bare app."""
    peaks: dict[str, list[float]] = {"ours": [], "bare": []}

    def ours() -> float:
        seconds, left = started(open_command(colony), _STOP, home)
        peaks["ours"].append(left.peak_mb)
        return seconds * 1000

    def bare() -> float:
        seconds, left = started(BARE, "bare line", home)
        peaks["bare"].append(left.peak_mb)
        return seconds * 1000

    ours()  # the first start works the cache out
    value, floor = medians(repeats, ours, bare)
    yield Figure(f"start to first usable stop, {name}", value, floor, "ms", aim)
    most, least = statistics.median(peaks["ours"]), statistics.median(peaks["bare"])
    yield Figure(f"peak memory, {name}", most, least, "MB", 2.0)


def key_to_repaint(colony: Path, home: Path, keys: int) -> Figure:
    """A key that selects another animal or stop, to the first bytes that come back."""
    ours = Terminal(open_command(colony), environment(home))
    ours.wait_for(_STOP, 600)
    ours.settle(1.0)
    bare = Terminal(BARE, environment(home))
    bare.wait_for("bare line")
    bare.settle(1.0)
    mine: list[float] = []
    floor: list[float] = []
    for turn in range(keys):
        for terminal, found in ((ours, mine), (bare, floor)):
            found.append(terminal.press(b"+" if turn % 2 == 0 else b"-") * 1000)
            terminal.settle(0.06)
    ours.leave()
    bare.leave()
    return Figure("key to repaint at a stop", statistics.median(mine), statistics.median(floor), "ms", 2.5)


def key_to_disk(colony: Path, home: Path, saves: int, name: str) -> Figure:
    """One entry recorded, to the line on disk, against append + fdatasync of the same bytes."""
    os.environ.update({key: value for key, value in environment(home).items() if key.startswith("XDG_")})
    from rounds.desk.desk import Desk
    from rounds.logbook import rows
    from rounds.logbook.drafts import draft
    from rounds.logbook.entries import Noted

    desk = Desk.open(colony, keeper="AK")
    mine: list[float] = []
    floor: list[float] = []
    handle, path = tempfile.mkstemp(dir=colony)
    try:
        for _ in range(saves):
            begun = time.perf_counter()
            (entry,) = desk.record(draft(Noted, "room", note="measured"))
            mine.append((time.perf_counter() - begun) * 1000)
            line = rows.line_of(entry) + b"\n"
            begun = time.perf_counter()
            os.write(handle, line)
            os.fdatasync(handle)
            floor.append((time.perf_counter() - begun) * 1000)
    finally:
        os.close(handle)
        Path(path).unlink()
        desk.close()
    return Figure(f"key to line on disk, {name}", statistics.median(mine), statistics.median(floor), "ms", 1.5)


def reckoning(animals: int) -> Figure:
    """All due lines and matters of a room, against one pass that reads the pages in memory. µs an animal."""
    from rounds.due import reckon
    from rounds.due.lines import lines_at
    from rounds.rules.loader import default_house
    from rounds.standing.enclosure import walking_order
    from rounds.standing.fold import fold
    from tests.benchmarks.long_history import ZONE, write

    with colony_of(animals, 0.2, write) as folder:
        from rounds.logbook.sheets import Sheets

        standing = fold(Sheets(folder, "reader").read())
        house = default_house(ZONE)
        now = datetime.now(UTC).astimezone(ZONE)
        here = max(1, len([one for one in standing.places if one.startswith("animal/")]))

        def ours() -> float:
            standing.views.clear()
            begun = time.perf_counter()
            for stop in walking_order(standing):
                lines_at(standing, house, now, stop)
            reckon.matters(standing, house, now)
            return (time.perf_counter() - begun) / here * 1e6

        def reading() -> float:
            begun = time.perf_counter()
            for subject in standing.places:
                sum(len(strand) for strand in standing.pages[subject].strands.values())
            return (time.perf_counter() - begun) / here * 1e6

        value, floor = medians(3, ours, reading)
    return Figure(f"due lines and matters, {here:,} animals", value, floor, "µs an animal", 0)


def rebuild(colony: Path, most: int = 1_000_000) -> Figure:
    """Read, check and fold sheets from nothing, against decoding them with the typed decoder. µs a line."""
    import msgspec

    from rounds.logbook.entries import AnyEntry
    from rounds.logbook.sheets import Sheets
    from rounds.standing.fold import Gathering

    texts: list[bytes] = []
    lines = 0
    for path in sorted(colony.glob("sheets/*/*.jsonl")):
        texts.append(path.read_bytes())
        lines += texts[-1].count(b"\n")
        if lines > most:
            break
    with tempfile.TemporaryDirectory() as folder:
        part = Path(folder)
        for number, text in enumerate(texts):
            year = part / "sheets" / f"{2000 + number // 300}"
            year.mkdir(parents=True, exist_ok=True)
            name = f"{2000 + number // 300}-{1 + number % 300 // 25:02d}-{1 + number % 25:02d}.bench.jsonl"
            (year / name).write_bytes(text)
        decoder = msgspec.json.Decoder(AnyEntry)

        def ours() -> float:
            begun = time.perf_counter()
            gathering = Gathering()
            for found in Sheets(part, "reader").read_through():
                gathering.add(found.entries)
            gathering.standing()
            return (time.perf_counter() - begun) / lines * 1e6

        def decoding() -> float:
            begun = time.perf_counter()
            for text in texts:
                decoder.decode_lines(text)
            return (time.perf_counter() - begun) / lines * 1e6

        value, floor = medians(2, ours, decoding)
    return Figure(f"rebuild from nothing, {lines:,} lines", value, floor, "µs a line", 3.0)


def plain_today(colony: Path, home: Path, repeats: int) -> Figure:
    """`rounds today`, against importing tinydb and dateutil.rrule."""
    variables = environment(home)

    def timed(*words: str) -> Callable[[], float]:
        def measure() -> float:
            begun = time.perf_counter()
            subprocess.run(words, env=variables, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
            return (time.perf_counter() - begun) * 1000

        return measure

    ours = timed(sys.executable, "-m", "rounds", "--colony", str(colony), "today")
    value, floor = medians(repeats, ours, timed(sys.executable, "-c", "import tinydb, dateutil.rrule"))
    return Figure("plain today on the demo", value, floor, "ms", 2.0)


@contextmanager
def colony_of(animals: int, years: float, write: Callable[..., object]) -> Iterator[Path]:
    """A colony of so many animals with a history of so many years, taken away afterwards."""
    with tempfile.TemporaryDirectory() as folder:
        colony = Path(folder) / "colony"
        write(colony, animals, round(years * 365), datetime.now(UTC).date())
        yield colony


def demo(folder: Path, variables: Mapping[str, str]) -> Path:
    """The demo colony of today."""
    from zoneinfo import ZoneInfo

    from demo_colony.write import write

    assert variables
    colony = folder / "demo"
    write(colony, datetime.now(UTC), ZoneInfo("UTC"))
    return colony
