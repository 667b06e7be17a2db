"""The rows of the text field: drawn as the stock text area draws them, repainted only where a key changed them."""

from __future__ import annotations

import asyncio
import random
from collections.abc import Iterator
from pathlib import Path

import pytest
from textual.document._document import Document
from textual.geometry import Region
from textual.strip import Strip
from textual.widgets import TextArea

from rounds.screens.board.board import rows_of, typed_ends, typed_rows
from rounds.screens.prompts.text_field import TextField
from tests.screens.rack import PATIENCE, Rack, colony, opened, reached

ROOM = """
    2026-03-01 AK
    08:00  b1      enclosure_set_up  name=B1
    08:10  wattle  arrived  name=Wattle sex=F place=b1 hatched=2023-03-01
"""
MORNING = "2026-03-02 07:00"
WORDS = ("dull", "and", "左の目", "a" * 90, "left", "Häutung", "x")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return colony(tmp_path / "colony", ROOM)


def field_of(rack: Rack) -> TextField:
    return rack.app.screen.query_one(TextField)


def cells(strip: Strip) -> list[tuple[str, object, object, object]]:
    """Each letter as a terminal shows it."""
    return [
        (letter, style.color, style.bgcolor, (bool(style.bold), bool(style.underline), bool(style.reverse)))
        for text, style, _ in strip
        if style is not None
        for letter in text
    ]


def texts(chance: random.Random) -> Iterator[str]:
    for _ in range(30):
        yield chance.choice((" ", "\n", " | ")).join(chance.choices(WORDS, k=chance.randrange(40)))


async def test_each_row_is_drawn_as_the_stock_text_area_draws_it(folder: Path) -> None:
    chance = random.Random(7)
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("n", "x")
        field = field_of(rack)
        for text in texts(chance):
            field.load_text(text)
            places = sorted(chance.randrange(len(text) + 1) for _ in range(2))
            assert isinstance(field.document, Document)
            first, last = (field.document.get_location_from_index(place) for place in places)
            field.move_cursor(first)
            field.move_cursor(last, select=chance.random() < 0.5)
            for y in range(field.size.height):
                assert cells(field._render_line(y)) == cells(TextArea._render_line(field, y)), (text, y)


async def laid_out(rack: Rack) -> None:
    """Until the field has grown to the rows of its text and these are painted."""
    field = field_of(rack)
    while field.size.height < field.wrapped_document.height:
        await rack.pilot.pause(0.001)
    for pump in (field, rack.app.screen):
        await reached(pump)
        painted = asyncio.Event()
        pump.call_after_refresh(painted.set)
        await painted.wait()


async def test_a_letter_at_the_end_of_a_long_note_repaints_its_row_and_no_other(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    painted: list[Region] = []
    plain = TextArea.refresh

    def refresh(area: TextArea, *regions: Region, **words: bool) -> TextArea:
        painted.extend(regions or (area.size.region,))
        return plain(area, *regions, **words)

    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("n")
        await rack.paste("dull since noon, left the roaches " * 15)
        await asyncio.wait_for(laid_out(rack), PATIENCE)
        height = field_of(rack).size.height
        assert height > 5
        monkeypatch.setattr(TextArea, "refresh", refresh)
        await rack.press("x")
        rows = {y for region in painted for y in range(region.y, region.bottom)}
        assert len(rows) == 1
        await rack.text()
        assert rack.beside_caret[0].endswith("left the roaches x")


async def test_what_the_field_shows_is_what_stands_in_it_after_any_keys(folder: Path) -> None:
    chance = random.Random(11)
    keys = [
        *"ab c",
        "left",
        "right",
        "up",
        "down",
        "home",
        "end",
        "backspace",
        "delete",
        "ctrl+w",
        "ctrl+z",
        "ctrl+j",
    ]
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("n")
        await rack.paste("dull since noon, left the roaches " * 8)
        field = field_of(rack)
        for _ in range(60):
            await rack.press(*chance.choices(keys, k=3), "shift+left")
            await rack.pilot.pause()
            shown = [field._drawn.get(y) for y in range(field.size.height)]
            assert shown == [field._row(y) for y in range(field.size.height)]
            if rack.app.screen is not rack.app.walk_screen or not field.text:
                break


def test_the_end_of_a_long_text_fills_its_rows_without_going_through_all_of_it() -> None:
    text = "dull since noon, left the roaches " * 200
    assert typed_ends(text, 76, 5)[-1] == typed_rows(text, 76)[-1].ljust(76)
    assert rows_of(text, 76, 9) == 9
    assert rows_of("dull", 76, 9) == 1
    assert rows_of("a\n" * 4, 76, 9) == 5
