"""A click does what the key does, no more; what is dragged over is copied as text."""

from __future__ import annotations

from pathlib import Path

import pytest

from rounds.logbook.entries import (
    BehaviourSeen,
    EggCheckDone,
    Noted,
    StopWalked,
)
from tests.screens.rack import Rack, colony, opened

ROOM = """
    2026-03-01 AK
    08:00  enclosure/b1   enclosure_set_up  name=B1
    08:00  enclosure/b2   enclosure_set_up  name=B2
    08:10  animal/wattle  arrived  name=Wattle sex=F place=enclosure/b1 hatched=2023-03-01
    08:10  animal/sedge   arrived  name=Sedge sex=F place=enclosure/b1 hatched=2023-03-01
    08:10  animal/karri   arrived  name=Karri sex=M place=enclosure/b2 hatched=2022-03-01
    08:20  animal/wattle  weighed  grams=450
    08:20  animal/karri   weighed  grams=510
"""
MORNING = "2026-03-02 07:00"
PARAGRAPH = "Left eye half shut.\rDug at the glass until noon.\r\rRing Dr Ferris at nine.\r"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return colony(tmp_path / "colony", ROOM)


def notes(rack: Rack) -> list[str]:
    return [one.note for one in rack.of(Noted)]


async def test_a_click_on_a_key_word_presses_the_key(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.click("attention")
        assert rack.screen == "AttentionScreen"
        await rack.click("back")
        assert rack.screen == "WalkScreen"
        await rack.click("behaviour")
        await rack.sees("Behaviour of Sedge")
        await rack.click("head bobbing")
        assert [(one.about, one.behaviour) for one in rack.of(BehaviourSeen)] == [("animal/sedge", "head bobbing")]


async def test_a_click_on_an_animal_selects_it_and_writes_nothing(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.click("Sedge")
        await rack.sees("> F Sedge")
        await rack.click("Sedge")
        assert not rack.written
        await rack.press("n", *"x", "enter")
        assert [one.about for one in rack.of(Noted)] == ["animal/sedge"]
        await rack.click("not known which")
        await rack.click("Wattle")
        await rack.sees("> F Wattle")


async def test_a_click_on_a_matter_selects_it_and_a_second_one_opens_it(tmp_path: Path) -> None:
    page = ROOM + "    09:00  animal/karri  condition_seen  signs=lethargy look=dull\n"
    page += "    09:00  animal/sedge  condition_seen  signs=prolapse look=dull\n"
    async with opened(colony(tmp_path / "colony", page), MORNING, keeper="AK") as rack:
        await rack.press("a")
        await rack.sees("> ")
        await rack.click("Karri")
        (marked,) = [line for line in (await rack.text()).split("\n") if line.startswith(" > ")]
        assert "Karri" in marked
        await rack.click("Karri")
        await rack.sees("rule", "seen")
        assert not rack.written


async def test_a_double_click_walks_no_stop_that_was_not_looked_at(tmp_path: Path) -> None:
    # Both were weighed: one Enter a stop.
    page = ROOM + "    09:00  animal/sedge  weighed  grams=430\n"
    async with opened(colony(tmp_path / "colony", page), MORNING, keeper="AK") as rack:
        await rack.click("as planned, next", times=2)
        assert [one.about for one in rack.of(StopWalked)] == ["enclosure/b1"]


async def test_a_double_click_does_not_pass_what_is_asked_twice(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("e")
        await rack.click("lethargy", times=2)
        await rack.sees("YES lethargy")
        await rack.click("break off", times=2)
        await rack.sees("Not written yet. Enter writes it, Backspace again drops it")


async def test_clicks_tick_signs_and_write_as_their_keys_do(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("e")
        await rack.click("lethargy")
        await rack.sees("YES lethargy")
        await rack.click("break off")
        await rack.sees("Not written yet. Enter writes it, Backspace again drops it")
        assert not rack.written
        await rack.press("enter")
        assert [one.present for one in rack.of(EggCheckDone)] == [("lethargy",)]


async def test_a_click_in_the_field_puts_the_caret_there(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("n", *"dull")
        await rack.click("dull")
        await rack.press("x", "enter")
        assert notes(rack) == ["duxll"]


async def test_what_is_dragged_over_on_the_board_is_copied_as_text_and_presses_nothing(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.drag("as planned", "planned, next")
        await rack.press("ctrl+c")
        assert rack.app.clipboard == "as planned, next"
        await rack.sees("Copied.")
        assert rack.app.is_running
        assert not rack.written


async def test_lines_are_copied_without_the_blanks_behind_them(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        lines = (await rack.text()).split("\n")
        at = next(number for number, line in enumerate(lines) if "Wattle" in line)
        await rack.drag("Wattle", lines[at + 1].strip())
        await rack.press("ctrl+c")
        wanted = lines[at][lines[at].index("Wattle") :].rstrip() + "\n" + lines[at + 1].rstrip()
        assert rack.app.clipboard == wanted


async def test_ctrl_c_with_nothing_selected_leaves_nothing_and_says_how(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("ctrl+c")
        await rack.sees("To leave: q, or Ctrl-Q.")
        assert rack.app.is_running
