"""A keeper at the rack: the full-screen app over a colony on disk, driven by keys.

What was written is read back from the sheets, as another program would read it; what the keeper saw is
the text on the board. A keeper takes a second for a key, so the clock goes on by a second with each.
"""

from __future__ import annotations

import asyncio
import unicodedata
from collections.abc import AsyncIterator, Iterable
from contextlib import asynccontextmanager
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any, TypeVar
from zoneinfo import ZoneInfo

from msgspec.structs import replace
from rich.cells import cell_len
from textual import events
from textual.keys import _character_to_key
from textual.message_pump import MessagePump
from textual.pilot import Pilot

from rounds.desk.colony_file import write_new
from rounds.desk.desk import Desk
from rounds.logbook.entries import Entry
from rounds.logbook.rows import id_of
from rounds.screens.app import RoundsApp
from rounds.screens.begin import BeginApp
from rounds.screens.keys.key_map import KeyMap
from rounds.screens.screen import RoundScreen
from rounds.sheets.store import Sheets
from tests.notation import VIENNA, at, logbook

Kind = TypeVar("Kind", bound=Entry)
#: No test waits longer than this for anything, in s.
PATIENCE = 20.0


class Clock:
    """The room's clock, standing still until it is put on."""

    def __init__(self, moment: str, zone: ZoneInfo = VIENNA) -> None:
        self.now = at(moment, zone)
        self._zone = zone

    def __call__(self) -> datetime:
        return self.now

    def forward(self, **time: float) -> None:
        """Put the clock on."""
        self.now += timedelta(**time)

    def set(self, moment: str) -> None:
        """Set the clock."""
        self.now = at(moment, self._zone)


def colony(folder: Path, page: str = "") -> Path:
    """A colony's folder, with what a page of the logbook says (written by an earlier desk)."""
    write_new(folder, "Quandong shed", "Europe/Vienna")
    by_day: dict[Any, list[Entry]] = {}
    for number, written in enumerate(logbook(page)):
        entry = replace(written, id=id_of(written.at + timedelta(milliseconds=2 * number), number))
        by_day.setdefault(entry.at.date(), []).append(entry)
    before = Sheets(folder, "before")
    for day, entries in by_day.items():
        before.append(entries, day)
    before.close()
    return folder


def on_disk(folder: Path) -> list[Entry]:
    """Every entry of a colony's sheets, in the order of writing, read anew."""
    return sorted(Sheets(folder, "reader").read(), key=lambda entry: entry.id)


class Rack:
    """One open app. `keys` counts the keys pressed since `count` was last called."""

    def __init__(self, folder: Path, desk: Desk, app: RoundsApp, pilot: Pilot[None], clock: Clock) -> None:
        self.folder = folder
        self.desk = desk
        self.app = app
        self.pilot = pilot
        self.clock = clock
        self.keys = 0
        self._earlier = {entry.id for entry in on_disk(folder)}
        self._told = set(self._earlier)
        app.monotonic = lambda: clock.now.timestamp()  # type: ignore[method-assign]
        app.read_at = lambda _: clock.now.timestamp()  # type: ignore[method-assign, assignment]

    # Keys

    async def press(self, *keys: str, after: float = 1.0) -> None:
        """Press keys, by name or by their character, each so many s after the one before, which was answered."""
        for key in keys:
            self._send(key, after)
            await self.settled()

    async def write(self, text: str) -> None:
        """Type a text letter by letter."""
        await self.press(*text)

    async def burst(self, *keys: str) -> None:
        """Keys that arrive all at once, as from a label scanner or over a slow line."""
        self.clock.forward(seconds=1)
        for key in keys:
            self._send(key, 0)
        await self.settled()

    async def hold(self, key: str, times: int, *, first: float = 0.03, every: float = 0.03) -> None:
        """A key held down: it comes again and again, much faster than a keeper presses it.

        `first` is what the keyboard waits before it repeats the key, `every` the time between two repeats, in s.
        """
        await self.press(key)
        for number in range(times - 1):
            await self.press(key, after=every if number else first)

    async def paste(self, text: str) -> None:
        """Text that arrives as a paste."""
        self.app.post_message(events.Paste(text))
        await self.settled()

    # Mouse

    async def click(self, words: str, times: int = 1) -> None:
        """Click on the middle of some words of the board, so many times in a moment."""
        self.clock.forward(seconds=1)
        await self.pilot.click(offset=await self._place(words, middle=True), times=times)
        await self.settled()

    async def drag(self, first: str, last: str) -> None:
        """Drag the mouse from the first letter of some words to the last letter of others."""
        x, y = await self._place(last)
        await self.pilot.mouse_down(offset=await self._place(first))
        await self.pilot.hover(offset=(x + cell_len(last) - 1, y))
        await self.pilot.mouse_up(offset=(x + cell_len(last) - 1, y))
        await self.settled()

    async def _place(self, words: str, *, middle: bool = False) -> tuple[int, int]:
        for y, line in enumerate((await self.text()).split("\n")):
            if words in line:
                return cell_len(line[: line.index(words)]) + (cell_len(words) // 2 if middle else 0), y
        raise AssertionError(f"{words!r} is not on the board:\n{self.board_text}")

    def _send(self, key: str, after: float) -> None:
        self.keys += 1
        self.clock.forward(seconds=after)
        self.app.post_message(key_event(key))

    async def settled(self) -> None:
        """Until every key so far was answered, and all matters are reckoned."""
        for _ in range(2):  # the second time for what the first had called later
            await reached(self.app)
        if self.app._reckoning is not None:  # a few matters at a time, fewer on a machine busy with other things
            await asyncio.wait_for(self._reckoned(), PATIENCE)
        screen = self.app.screen if self.app.screen_stack else None
        if isinstance(screen, RoundScreen) and screen.is_attached and not screen.is_painted:
            painted = asyncio.Event()
            screen.call_after_refresh(painted.set)
            await asyncio.wait_for(painted.wait(), PATIENCE)

    async def _reckoned(self) -> None:
        while self.app._reckoning is not None and self.app.is_running:
            await asyncio.sleep(0.001)

    def count(self) -> int:
        """How many keys were pressed since the last count."""
        keys, self.keys = self.keys, 0
        return keys

    # What the keeper sees

    @property
    def caret(self) -> tuple[int, int]:
        """Where the terminal's cursor stands, which a screen reader follows: column and line."""
        x, y = self.app.cursor_position
        return x, y

    @property
    def beside_caret(self) -> tuple[str, str]:
        """What stands in the caret's line before it and from it on, as the terminal shows it."""
        x, y = self.caret
        text = "".join(segment.text for segment in self.app.screen._compositor.render_strips()[y])
        line, before = text.rstrip(), ""
        while line and cell_len(before) < x:
            before, line = before + line[0], line[1:]
        return before.strip(), line

    async def text(self) -> str:
        """The text on the board, once everything is laid out."""
        screen = self.app.screen
        assert isinstance(screen, RoundScreen)
        for pump in (screen, screen.board, screen, screen.board, self.app):
            await reached(pump)
        return self.board_text

    @property
    def board_text(self) -> str:
        """The text on the board as it is."""
        screen = self.app.screen
        assert isinstance(screen, RoundScreen)
        return screen.board.text

    async def sees(self, *words: str) -> None:
        """These words stand on the board, whatever the line ends between them."""
        text = " ".join((await self.text()).split())
        for word in words:
            assert word in text, f"{word!r} is not on the board:\n{self.board_text}"

    async def comes(self, *words: str) -> None:
        """These words appear on the board by themselves, sooner or later."""
        for _ in range(int(PATIENCE * 50)):
            if all(word in " ".join(self.board_text.split()) for word in words):
                return
            await self.pilot.pause(0.02)
        await self.sees(*words)

    async def sees_not(self, *words: str) -> None:
        """These words do not stand on the board."""
        text = " ".join((await self.text()).split())
        for word in words:
            assert word not in text, f"{word!r} is on the board:\n{self.board_text}"

    @property
    def screen(self) -> str:
        """The name of the screen in front."""
        return type(self.app.screen).__name__

    # What is written

    @property
    def written(self) -> list[Entry]:
        """The entries on disk that were not there when the app was opened, in the order of writing."""
        return [entry for entry in on_disk(self.folder) if entry.id not in self._earlier]

    def of(self, kind: type[Kind]) -> list[Kind]:
        """Those of one kind."""
        return [entry for entry in self.written if isinstance(entry, kind)]

    def news(self) -> list[str]:
        """What was written since this was last asked, in words: kind and subject."""
        fresh = [entry for entry in self.written if entry.id not in self._told]
        self._told |= {entry.id for entry in fresh}
        return [f"{entry.kind} {entry.about}" for entry in fresh]


async def reached(pump: MessagePump) -> None:
    """Until everything that waited there was taken up. A screen that was just opened is laid out by then."""
    there = asyncio.Event()
    pump.call_later(there.set)
    await asyncio.wait_for(there.wait(), PATIENCE)


def key_event(key: str) -> events.Key:
    """What a terminal sends for a key."""
    name = _character_to_key(key) if len(key) == 1 else key
    character: str | None = key if len(key) == 1 else None
    if character is None:
        try:
            character = unicodedata.lookup(name.upper().replace("_", " "))
        except KeyError:
            character = {"space": " ", "enter": "\r", "tab": "\t"}.get(name)
    return events.Key(name, character)


@asynccontextmanager
async def opened(
    folder: Path,
    moment: str | Clock,
    *,
    keeper: str = "",
    size: tuple[int, int] = (80, 24),
    key_map: KeyMap | None = None,
    offered: str = "",
) -> AsyncIterator[Rack]:
    """The app over a colony, on a screen of this size, at a moment of the room's clock."""
    clock = moment if isinstance(moment, Clock) else Clock(moment)
    desk = Desk.open(folder, clock=clock, keeper=keeper)
    try:
        app = RoundsApp(desk, key_map, offered=offered)
        async with app.run_test(size=size) as pilot:
            rack = Rack(folder, desk, app, pilot, clock)
            await pilot.pause()
            await rack.settled()
            yield rack
    finally:
        desk.close()


def kinds(entries: Iterable[Entry]) -> list[str]:
    """The kinds of entries, in order."""
    return [entry.kind for entry in entries]


async def begun(folder: Path, name: str, zone: str) -> None:
    """A colony begun in the app, by its two answers."""
    app = BeginApp(folder, "UTC")
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        for key in ("enter", *name, "enter", "ctrl+u", *zone, "enter"):
            app.post_message(key_event(key))
        await pilot.pause()
    assert app.return_value == folder
