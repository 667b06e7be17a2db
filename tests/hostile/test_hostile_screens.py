"""Whatever names, notes and tags hold, every screen stays what it is: plain text in its own cells."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from rounds.screens.app import RoundsApp
from rounds.screens.attention import AttentionScreen
from rounds.screens.screen import RoundScreen
from tests.conftest import RecordFigure
from tests.hostile.hostile import HOSTILE, NAMES, hostile_colony, too_wide, unfit
from tests.screens.rack import Rack, opened

NOW = "2026-04-12 18:00"
SIZES = [(80, 24), (46, 14), (132, 43)]


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return hostile_colony(tmp_path_factory.mktemp("hostile") / "colony")


@pytest.fixture
def folder(written: Path, tmp_path: Path) -> Path:
    """A colony whose every text is hostile."""
    return shutil.copytree(written, tmp_path / "colony")


class Seen:
    """Looks at what a terminal would be sent, and counts how often."""

    def __init__(self, rack: Rack) -> None:
        self.rack = rack
        self.screens = 0
        self._before: object = None

    async def plain(self) -> str:
        """The text of the whole screen: nothing in it acts on a terminal, and every line fits its cells."""
        app = self.rack.app
        if app.screen is not self._before:  # a screen is laid out once; its lines are drawn anew each time
            self._before = app.screen
            await self.rack.pilot.pause()
        assert app._exception is None
        width, height = app.size
        strips = app.screen._compositor.render_strips(app.size)
        assert len(strips) == height
        drawn = [strip.text for strip in strips]
        for strip, text in zip(strips, drawn, strict=True):
            assert strip.cell_length == width, text
            assert unfit(text) == [], text
            assert too_wide(text, width) == []
            assert not [one for one in strip if one.control]
            # A link or an action of Textual in a name would be met as a style of the segment.
            assert not [one for one in strip if one.style is not None and (one.style.link or one.style.meta)], text
        if isinstance(app.screen, RoundScreen):
            text = app.screen.board.text
            assert unfit(text) == []
            assert too_wide(text, width) == [], type(app.screen).__name__
        self.screens += 1
        return "\n".join(drawn)


@pytest.mark.parametrize("size", SIZES, ids=str)
async def test_every_stop_page_and_matter_is_plain_text_in_its_own_cells(
    size: tuple[int, int], folder: Path, record_figure: RecordFigure
) -> None:
    async with opened(folder, NOW, keeper="AK", size=size) as rack:
        seen = Seen(rack)
        stops = rack.app.shift.walk().order
        assert len(stops) == len(NAMES) - 1
        for stop in stops:
            rack.app.walk_screen.stand_at(stop)
            await seen.plain()
        for _ in range(3):
            await rack.press("down")
            await seen.plain()
        subjects = (*stops, *rack.desk.standing.subjects("animal"), "group/g0", "clutch/c0", "supply/s0", "room")
        for subject in subjects if size == (80, 24) else subjects[::4]:
            rack.app.open_subject(subject)
            await seen.plain()
            await rack.press("pagedown")
            await seen.plain()
            await rack.press("backspace")
        await rack.press("a")
        assert isinstance(rack.app.screen, AttentionScreen)
        for _ in range(12):
            await rack.press("down", "enter")
            await seen.plain()
            await rack.press("backspace", "d")
            await seen.plain()
            await rack.press("escape")
        await rack.press("backspace")
        for view in ("y", "u", "f", "s", "p", "i", "r"):
            await rack.press("v", view)
            for key in ("down", "pagedown", "pagedown", "up"):
                await seen.plain()
                await rack.press(key)
            await rack.press("backspace")
        record_figure(
            f"hostile texts on screens of {size[0]} × {size[1]}", f"{seen.screens} screens, every cell plain text"
        )


async def test_taking_over_and_handing_over_are_plain_text(folder: Path) -> None:
    async with opened(folder, NOW) as rack:
        seen = Seen(rack)
        for _ in range(12):
            await seen.plain()
            await rack.press("down")
        await rack.press("enter", *"AK", "enter")
        while rack.screen == "TakeOverScreen":
            await seen.plain()
            await rack.press("y")
        await rack.press("h")
        for _ in range(20):
            await seen.plain()
            await rack.press("pagedown")
        await rack.press("n")
        await rack.paste(HOSTILE["moves the cursor"])
        await seen.plain()
        await rack.press("enter", "t")
        await seen.plain()
        (file,) = (Path.home()).glob("hand-over-*.txt")
        text = file.read_text()
        assert unfit(text) == []
        assert too_wide(text) == []


async def test_what_is_asked_and_typed_is_plain_text(folder: Path) -> None:
    async with opened(folder, NOW, keeper="AK") as rack:
        seen = Seen(rack)
        asked = (
            ("b",),
            ("i", "b", "m"),
            ("i", "m", "m"),
            ("f2", "e"),
            ("f2", "a"),
            ("j",),
            ("n",),
            ("o",),
            ("?",),
        )
        texts = list(HOSTILE.values())
        for turn, keys in enumerate(asked):
            await rack.press(*keys)
            await seen.plain()
            for text in [texts[(turn * 3 + step) % len(texts)] for step in range(3)]:
                await rack.paste(text)
                await seen.plain()
                await rack.press("down", "x")
                await seen.plain()
                if rack.app.screen is not rack.app.walk_screen or rack.app.walk_screen.ask is None:
                    rack.app.action_walk()
                    await rack.press("escape", *keys)
            await rack.press("escape", "escape", "escape")
            rack.app.action_walk()


async def test_a_hostile_label_scanned_does_nothing_but_be_looked_for(folder: Path) -> None:
    async with opened(folder, NOW, keeper="AK") as rack:
        seen = Seen(rack)
        before = len(rack.written)
        for text in HOSTILE.values():
            await rack.paste(text)
            await seen.plain()
            await rack.paste(text + "\r")
            await seen.plain()
            await rack.press("escape")
            rack.app.action_walk()
        assert len(rack.written) == before
        for text in HOSTILE.values():  # typed by a scanner that acts as a keyboard, as far as it has keys
            await rack.press("j")
            await rack.burst(*(letter for letter in text[:60] if letter.isprintable()))
            await seen.plain()
            await rack.press("escape")


async def test_an_entry_that_was_not_saved_is_shown_in_plain_text(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from rounds.errors import NotSaved

    def full(*_: object) -> None:
        raise NotSaved(f"Not saved: {HOSTILE['moves the cursor']}")

    async with opened(folder, NOW, keeper="AK") as rack:
        seen = Seen(rack)
        monkeypatch.setattr(rack.desk.sheets, "append", full)
        await rack.press("n")
        await rack.paste(HOSTILE["never ends, in words"] + HOSTILE["turns the line round"])
        await rack.press("enter")
        assert "NOT SAVED" in await seen.plain()
        await rack.press("f")
        assert "Written to" in await seen.plain()


def test_the_app_knows_no_markup_and_no_action_in_a_line() -> None:
    """The board draws segments, so that `[@click=…]` in a name is eleven letters and no more."""
    source = "\n".join(
        path.read_text(encoding="utf-8")
        for path in Path(RoundsApp.__module__.replace(".", "/")).parent.glob("*.py")
    )
    for word in ("from_markup", "Text.from_ansi", "markup=True", "render_markup"):
        assert word not in source
