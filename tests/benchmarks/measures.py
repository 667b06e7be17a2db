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
from functools import cache, partial
from pathlib import Path
from typing import Final, NamedTuple

from tests.benchmarks.medians import medians
from tests.benchmarks.terminal import Left, Terminal

TOP: Final = Path(__file__).resolve().parents[2]
STOP: Final = "as planned, next"


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


def environment(home: Path) -> dict[str, str]:
    """The variables of a home of its own, with compiled modules kept as on any machine."""
    kept = {key: value for key, value in os.environ.items() if key not in ("PYTHONDONTWRITEBYTECODE", "NO_COLOR")}
    folders = {f"XDG_{name}_HOME": str(home / name.lower()) for name in ("STATE", "CACHE", "DATA", "CONFIG")}
    return {
        **kept,
        **folders,
        "HOME": str(home),
        "TERM": "xterm-256color",
        "COLUMNS": "80",
        "LINES": "24",
        "ROUNDS_KEEPER": "AK",
    }


def started(command: list[str], sign: str, home: Path, key: bytes = b"q") -> tuple[float, Left]:
    """Seconds from the start of a program to `sign` on its screen, and how it ended."""
    terminal = Terminal(command, environment(home))
    moment = terminal.wait_for(sign, 600)
    terminal.settle()
    return moment - terminal.begun, terminal.leave(key)


TAKE_OVER: Final = """
import sys
from pathlib import Path
from rounds.desk.desk import Desk
from rounds.desk.shift import Shift
from rounds.logbook.drafts import draft
from rounds.logbook.entries import TakenOver
desk = Desk.open(Path(sys.argv[1]), keeper="AK")
if Shift(desk).keeper_before() != "AK":
    desk.record(draft(TakenOver, "room", desk=desk.name))
desk.close(keeping=True)
"""


@cache
def on_shift(colony: Path, home: Path) -> None:
    """Have AK take over at the desk of this home, so that the app opens at the stop."""
    subprocess.run([sys.executable, "-c", TAKE_OVER, str(colony)], env=environment(home), check=True)


def open_command(colony: Path, home: Path) -> list[str]:
    """The app on a colony, for the keeper who is on shift there."""
    on_shift(colony, home)
    return [sys.executable, "-m", "rounds", "--colony", str(colony)]


BARE: Final = [sys.executable, str(TOP / "tests" / "benchmarks" / "bare.py")]


def start_up(colony: Path, home: Path, repeats: int, name: str, aim: float) -> Figure:
    """Start to the first usable stop, against a bare app."""

    def ours() -> float:
        return started(open_command(colony, home), STOP, home)[0] * 1000

    def bare() -> float:
        return started(BARE, "bare line", home)[0] * 1000

    ours()  # the first start works the cache out
    value, floor = medians(repeats, ours, bare)
    return Figure(f"start to first usable stop, {name}", value, floor, "ms", aim)


def peak_memory(colony: Path, home: Path, name: str) -> Figure:
    """The most memory held when all is reckoned and some stops were walked to, against a bare app."""

    def held(command: list[str], sign: str) -> float:
        terminal = Terminal(command, environment(home))
        terminal.wait_for(sign, 600)
        terminal.settle(6.0)  # a large room is reckoned in some seconds, and shows nothing meanwhile
        for _ in range(30):
            terminal.press(b"+")
            terminal.settle(0.06)
        return terminal.leave().peak_mb

    value, floor = medians(3, partial(held, open_command(colony, home), STOP), partial(held, BARE, "bare line"))
    return Figure(f"peak memory, {name}", value, floor, "MB", 2.0)


def key_to_repaint(colony: Path, home: Path, keys: int, name: str, size: tuple[int, int] = (80, 24)) -> Figure:
    """A key that selects another animal or stop, to the first bytes that come back, at a screen size."""
    """A key that selects another animal or stop, to the first bytes that come back; `size` in columns and lines."""
    columns, lines = size
    variables = {**environment(home), "COLUMNS": str(columns), "LINES": str(lines)}
    ours = Terminal(open_command(colony, home), variables, columns=columns, lines=lines)
    ours.wait_for(STOP, 600)
    ours.settle(1.0)
    bare = Terminal(BARE, variables, columns=columns, lines=lines)
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
    return Figure(f"key to repaint at a stop, {name}", statistics.median(mine), statistics.median(floor), "ms", 2.5)


def view_opened(colony: Path, home: Path, times: int, letter: str, sign: str, name: str) -> Figure:
    """A view of the colony opened by its letter, to its first frame, against a bare app's key."""
    ours = Terminal(open_command(colony, home), environment(home))
    ours.wait_for(STOP, 600)
    ours.settle(2.0)
    bare = Terminal(BARE, environment(home))
    bare.wait_for("bare line")
    bare.settle(1.0)
    opened: list[float] = []
    floor: list[float] = []
    for _ in range(times):
        ours.press(b"v")
        ours.settle(1.2)  # a keeper lets go of one key before the next
        opened.append(ours.press(letter.encode(), sign.encode()) * 1000)
        ours.settle(1.2)
        ours.press(b"w")
        ours.settle(1.2)
        floor.append(bare.press(b"x") * 1000)
        bare.settle(0.1)
    ours.leave()
    bare.leave()
    return Figure(f"first frame of {name}", statistics.median(opened), statistics.median(floor), "ms", 0)


def text_typed(colony: Path, home: Path, letters: int, name: str) -> Iterator[Figure]:
    """A note opened, and a letter of it typed, to the first bytes that come back, against a bare app's key.

    A letter of a note of 1,000 letters is held against one of a short note.
    """
    ours = Terminal(open_command(colony, home), environment(home))
    ours.wait_for(STOP, 600)
    ours.settle(1.0)
    bare = Terminal(BARE, environment(home))
    bare.wait_for("bare line")
    bare.settle(1.0)
    opened: list[float] = []
    typed: list[float] = []
    floor: list[float] = []
    for turn in range(letters):
        if turn % 8 == 0:
            if turn:
                ours.press(b"\x1b", b"Not written")  # broken off: a note is opened anew
                ours.settle(0.3)
            opened.append(ours.press(b"n", b"\x1b[?25h") * 1000)
            ours.settle(0.3)
        for terminal, found in ((ours, typed), (bare, floor)):
            found.append(terminal.press(b"x") * 1000)
            terminal.settle(0.06)
    ours.press(b"\x1b")
    ours.settle(0.3)
    ours.press(b"n", b"\x1b[?25h")
    ours.press(b"\x1b[200~" + (b"dull since noon, left the roaches, " * 30)[:1_000] + b"\x1b[201~")
    ours.settle(0.5)
    long: list[float] = []
    for _ in range(letters):
        long.append(ours.press(b"x") * 1000)
        ours.settle(0.06)
    ours.press(b"\x1b")
    ours.settle(0.3)
    ours.leave()
    bare.leave()
    yield Figure(
        f"letter of a note of 1,000 letters, {name}", statistics.median(long), statistics.median(typed), "ms", 1.5
    )
    yield Figure(
        f"letter of a note to repaint, {name}", statistics.median(typed), statistics.median(floor), "ms", 2.5
    )
    yield Figure(f"note opened, {name}", statistics.median(opened), statistics.median(floor), "ms", 0)


def key_to_disk(colony: Path, home: Path, saves: int, name: str) -> Figure:
    """A weight recorded, from the key's handler to the line on disk, against append + fdatasync of the same bytes.

    The clock is read when the sync returns: what the program does with the entry after that is no longer the
    saving of it, and stands in the key's repaint.
    """
    os.environ.update({key: value for key, value in environment(home).items() if key.startswith("XDG_")})
    from rounds.desk.desk import Desk
    from rounds.logbook import rows
    from rounds.logbook.drafts import draft
    from rounds.logbook.entries import Weighed
    from rounds.sheets.disk import Disk

    synced = [0.0]

    class Timed(Disk):
        def sync(self, handle: int) -> None:
            super().sync(handle)
            synced[0] = time.perf_counter()

    desk = Desk.open(colony, keeper="AK")
    who = desk.standing.subjects("animal")[-1]
    mine: list[float] = []
    floor: list[float] = []
    handle, path = tempfile.mkstemp(dir=colony)
    try:
        desk.record(draft(Weighed, who, grams=400.0))
        assert desk.sheets._writer.sheet is not None
        desk.sheets._writer.sheet._disk = Timed(os.path.realpath(colony))
        for turn in range(saves):
            begun = time.perf_counter()
            (entry,) = desk.record(draft(Weighed, who, grams=400.0 + turn % 5))
            mine.append((synced[0] - begun) * 1000)
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


def history(colony: Path, home: Path) -> Iterator[Figure]:
    """Every entry of an animal and of an enclosure, against looking through all sheets for it."""
    os.environ.update({key: value for key, value in environment(home).items() if key.startswith("XDG_")})
    from rounds.desk.desk import Desk

    desk = Desk.open(colony, writing=False)
    # Those that were there from the first day on: the longest histories.
    animal = next(one for one in desk.standing.subjects("animal") if desk.standing.card(one).here)
    for subject in (animal, desk.standing.subjects("enclosure")[-1]):
        entries = len(desk.history(subject))

        def by_the_index(subject: str = subject) -> float:
            begun = time.perf_counter()
            desk.history(subject)
            return (time.perf_counter() - begun) * 1000

        def looking(subject: str = subject) -> float:
            begun = time.perf_counter()
            list(desk.sheets.about(subject))
            return (time.perf_counter() - begun) * 1000

        value, floor = medians(3, by_the_index, looking)
        sort = subject.partition("/")[0]
        yield Figure(f"history of one {sort}, {entries:,} entries", value, floor, "ms", 0)


def reckoning(animals: int) -> Figure:
    """All due lines and matters of a room, against one pass that reads the pages in memory. µs an animal."""
    from rounds.due import reckon
    from rounds.due.lines import lines_at
    from rounds.rules.default import default_house
    from rounds.standing.enclosure import walking_order
    from rounds.standing.fold import Gathering
    from tests.benchmarks.long_history import ZONE, write

    with colony_of(animals, 0.2 if animals < 5_000 else 0.08, write) as folder:
        from rounds.sheets.store import Sheets

        gathering = Gathering()
        for part in Sheets(folder, "reader").read_through():
            gathering.add(part.entries)
        standing = gathering.standing()
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


def hatching(clutches: int) -> Figure:
    """The forecast of every clutch, with two months of a reading each 5 minutes on two shelves, against one sum.

    Each time as after a save: the readings of one shelf are new. The floor adds up its readings once. ms.
    """
    from rounds.due.hatching import hatch_forecast
    from rounds.logbook.entries import ClimateLogged
    from rounds.rules.default import default_house
    from rounds.standing.fold import fold
    from tests.benchmarks.incubators import ZONE, colony_of_clutches, readings_of_a_day

    house, now = default_house(ZONE), datetime(2026, 3, 1, 8, tzinfo=UTC)
    standing = fold(colony_of_clutches(clutches, days=60, until=now))
    fresh = iter(readings_of_a_day(f"new-{number}", "s1", now, number) for number in range(1_000))

    def ours() -> float:
        after = standing.after(next(fresh))
        begun = time.perf_counter()
        found = [hatch_forecast(after, house, now, one) for one in after.subjects("clutch")]
        taken = (time.perf_counter() - begun) * 1e3
        assert all(found)
        return taken

    def reading() -> float:
        begun = time.perf_counter()
        for one in standing.page("enclosure/s1").of(ClimateLogged):
            total = 0.0
            for _, celsius, _ in one.readings():
                total += celsius
        return (time.perf_counter() - begun) * 1e3

    value, floor = medians(5, ours, reading)
    return Figure(f"hatch forecasts of {clutches} clutches after a save", value, floor, "ms", 0)


def rebuild(colony: Path, home: Path, repeats: int) -> Iterator[Figure]:
    """Read, check and fold all sheets, against decoding their lines with the typed decoder. µs a line.

    In a process of its own, as large as the program is when it does so.
    """
    command = [
        sys.executable,
        "-m",
        "tests.benchmarks.rebuilding",
        str(colony),
        str(home / "rebuilt"),
        str(repeats),
    ]
    told = subprocess.run(command, check=True, capture_output=True, text=True, cwd=TOP, env=environment(home))
    for line in told.stdout.splitlines():
        what, value, floor, aim = line.split("\t")
        yield Figure(what, float(value), float(floor), "µs a line", float(aim))


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
