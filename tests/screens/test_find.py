"""Find on the screens: a line of conditions in, what was recorded out, newest first."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from rounds.logbook.entries import Corrected
from rounds.screens.find import FindScreen
from rounds.screens.subject import SubjectScreen
from rounds.screens.walk import WalkScreen
from tests.notation import at
from tests.screens.rack import Rack, colony, opened

ROOM = """
    2026-03-01 AK
    08:00  b1      enclosure_set_up  name=B1
    08:00  b2      enclosure_set_up  name=B2
    08:10  wattle  arrived  name=Wattle sex=F place=b1 hatched=2023-03-01
    08:10  karri   arrived  name=Karri sex=M place=b2 hatched=2022-03-01
    2026-03-02 AK
    08:20  wattle  weighed  grams=310
    2026-03-08 EM
    08:20  wattle  weighed  grams=295 note="after shedding"
    08:30  b2      climate_read  basking_c=47
    08:40  wattle  ate  how=refused
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return colony(tmp_path / "colony", ROOM)


async def ask(rack: Rack, line: str) -> None:
    """Look for something from wherever the keeper is."""
    await rack.press("r")
    await rack.write(line)
    await rack.press("enter")
    await read_through(rack)


async def read_through(rack: Rack) -> None:
    """Until the search has come to its end, or waits for the cursor."""
    screen = rack.app.screen
    assert isinstance(screen, FindScreen)
    while screen._search is not None and len(screen.found) < screen._most:
        await rack.pilot.pause(0.001)
    await rack.settled()


async def test_a_weight_under_a_figure_is_found_and_enter_opens_whose_it_is(folder: Path) -> None:
    async with opened(folder, "2026-03-09 07:00", keeper="EM") as rack:
        await ask(rack, "wattle weighed grams<300")
        await rack.sees(
            "1 found",
            "weighed, Wattle, grams below 300",
            "> yesterday 08:20 EM Wattle: weighed 295 g: after shedding",
        )
        await rack.press("enter")
        assert isinstance(rack.app.screen, SubjectScreen)
        await rack.sees("Wattle animal lives in B1")
        await rack.press("backspace", "backspace")
        assert isinstance(rack.app.screen, WalkScreen)
        assert not rack.written


async def test_yesterday_is_three_keys_and_the_cursor_goes_down_the_list(folder: Path) -> None:
    async with opened(folder, "2026-03-09 07:00", keeper="EM") as rack:
        await rack.press("r", "1", "enter")
        await read_through(rack)
        await rack.sees("3 found", "on 8 Mar 2026", "> yesterday 08:40 EM Wattle: refused")
        await rack.press("down")
        await rack.sees("> yesterday 08:30 EM B2: climate read, basking 47 °C")


async def test_a_line_that_cannot_be_read_stays_and_says_what_is_wrong(folder: Path) -> None:
    async with opened(folder, "2026-03-09 07:00", keeper="EM") as rack:
        await rack.press("r")
        await rack.write("watle")
        await rack.press("enter")
        await rack.sees("Find watle", "Did you mean Wattle (animal/wattle)?")
        await rack.press("backspace", "backspace", *"tle weighed", "enter")
        await read_through(rack)
        await rack.sees("2 found")


async def test_the_line_is_changed_from_where_it_stands(folder: Path) -> None:
    async with opened(folder, "2026-03-09 07:00", keeper="EM") as rack:
        await ask(rack, "by em")
        await rack.sees("3 found", "by em")
        await rack.press("c", *" weighed", "enter")
        await read_through(rack)
        await rack.sees("1 found", "weighed, by em")


async def test_broken_off_at_once_it_leads_back_and_after_a_list_to_the_list(folder: Path) -> None:
    async with opened(folder, "2026-03-09 07:00", keeper="EM") as rack:
        await rack.press("r", "backspace")
        assert isinstance(rack.app.screen, WalkScreen)
        await ask(rack, "wattle died")
        await rack.sees("0 found", "Nothing is found.")
        await rack.press("c", *["backspace"] * len("wattle died"), "backspace")
        await rack.sees("died, Wattle", "Nothing is found.")


async def test_a_corrected_entry_is_found_and_marked(folder: Path) -> None:
    async with opened(folder, "2026-03-09 07:00", keeper="EM") as rack:
        await rack.press("p", "down", "x", "t", "1", "enter")
        assert rack.of(Corrected)
        await rack.press("backspace")
        await ask(rack, "weighed")
        await rack.sees("2 found", "> yesterday 08:20 EM (corrected 07:00 EM) Wattle: weighed 295 g")


async def test_two_hundred_are_read_and_more_as_the_cursor_comes_near_their_end(tmp_path: Path) -> None:
    first = at("2024-01-01 08:00")
    days = [first + timedelta(days=day) for day in range(450)]
    page = ROOM + "\n".join(f"{day:%Y-%m-%d} AK\n08:00 room noted note=quiet" for day in days)
    async with opened(colony(tmp_path / "colony", page), "2026-03-09 07:00", keeper="EM") as rack:
        await ask(rack, "noted")
        await rack.sees("200 found, more below")
        await rack.press(*["pagedown"] * 13)
        await read_through(rack)
        await rack.sees("400 found, more below")
        await rack.press(*["pagedown"] * 30)
        await read_through(rack)
        await rack.sees("450 found")
