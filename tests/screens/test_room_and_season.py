"""The room, the season, two panes, and the sheet for the vet: keys in, and what is on the screen."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from rich.cells import cell_len

from rounds.logbook.entries import StopWalked
from tests.screens.rack import colony, opened

ROOM = """
    2026-03-01 AK
    08:00  a1      enclosure_set_up  name=A1
    08:00  a2      enclosure_set_up  name=A2
    08:00  b1      enclosure_set_up  name=B1
    08:00  b2      enclosure_set_up  name=B2
    08:00  s1      enclosure_set_up  name=S1 what="incubator shelf"
    08:10  wattle  arrived  name=Wattle sex=F place=a1 hatched=2022-02-01
    08:10  sedge   arrived  name=Sedge sex=F place=a2 hatched=2022-02-01
    08:10  karri   arrived  name=Karri sex=M place=b2 hatched=2021-02-01
    08:20  wattle  weighed  grams=450
    09:00  wattle  mating_seen
    09:00  sedge   eggs_laid clutch=sedge-2026-1 count=20 complete=true
    10:00  clutch/sedge-2026-1 eggs_boxed count=20 place=s1
    2026-03-25 AK
    08:00  wattle  egg_check_done  present=lethargy
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return colony(tmp_path / "colony", ROOM)


# The room


async def test_the_room_is_two_keys_away_and_shows_the_racks_as_they_stand(folder: Path) -> None:
    async with opened(folder, "2026-03-26 07:00", keeper="AK") as rack:
        await rack.press("v", "r")
        text = await rack.text()
        heads, first, second = text.split("\n")[2:5]
        assert heads.split() == ["rack", "A", "rack", "B", "shelves"]
        assert first.split()[:3] == [">A1", "VET", "NOW"]
        assert first.split()[3] == "B1"
        assert second.split()[0] == "A2"
        await rack.sees("1 VET NOW", "0 of 5 stops done", "A1 tub, Wattle, not walked", "lethargy")
        assert not rack.written


async def test_arrows_move_between_enclosures_and_enter_walks_there(folder: Path) -> None:
    async with opened(folder, "2026-03-26 07:00", keeper="AK") as rack:
        await rack.press("v", "r", "right", "down")
        await rack.sees(">B2", "B2 tub, Karri")
        await rack.press("down", "left", "up")
        await rack.sees(">A1")
        await rack.press("right", "right")
        await rack.sees(">S1")
        await rack.press("enter")
        assert rack.screen == "WalkScreen"
        await rack.sees("S1 incubator shelf")
        assert not rack.written


async def test_the_next_one_that_needs_something_and_its_page(folder: Path) -> None:
    async with opened(folder, "2026-03-26 07:00", keeper="AK") as rack:
        await rack.press("j", *"b2", "enter", "v", "r")
        await rack.sees(">B2")
        await rack.press("n")
        await rack.sees(">S1 TODAY")
        await rack.press("n")
        await rack.sees(">A1 VET NOW")
        await rack.press("p")
        await rack.sees("A1 enclosure")
        await rack.press("backspace", "backspace")
        assert rack.screen == "WalkScreen"


async def test_a_click_selects_an_enclosure_and_a_second_walks_there(folder: Path) -> None:
    async with opened(folder, "2026-03-26 07:00", keeper="AK") as rack:
        await rack.press("v", "r")
        await rack.click("B2")
        await rack.sees(">B2")
        await rack.click(">B2")
        assert rack.screen == "WalkScreen"
        await rack.sees("B2 tub")


async def test_a_stop_that_was_walked_is_done_in_the_room(folder: Path) -> None:
    async with opened(folder, "2026-03-26 07:00", keeper="AK") as rack:
        await rack.press("j", *"b1", "enter", "enter", "enter", "enter", "v", "r")
        assert [entry.about for entry in rack.of(StopWalked)] == ["enclosure/b1", "enclosure/b2"]
        await rack.sees("B1 done", "B2·look", "2 of 5 stops done")


async def test_twenty_racks_of_forty_rows_scroll_both_ways_and_their_names_stay(tmp_path: Path) -> None:
    page = ["2026-03-01 AK"]
    for letter in "ABCDEFGHIJKLMNOPQRST":
        page += [
            f"08:00  {letter.lower()}{row}  enclosure_set_up  name={letter}{row} rack={letter}"
            for row in range(1, 41)
        ]
    async with opened(colony(tmp_path / "many", "\n".join(page)), "2026-03-26 07:00", keeper="AK") as rack:
        await rack.press("v", "r")
        await rack.sees("rack A", "→ 15 more", "↓ ")
        await rack.press(*["pagedown"] * 5, *["right"] * 10)
        text = await rack.text()
        assert ">K40" in text
        heads = text.split("\n")[2]
        assert "rack K" in heads
        assert "rack A" not in heads
        await rack.sees("← ", "↑ ")
        await rack.press(*["pageup"] * 5, *["left"] * 19)
        await rack.sees(">A1")


@pytest.mark.parametrize(
    "size", [(79, 20), (80, 24), (110, 24), (120, 40), (160, 50), (200, 60), (40, 12)], ids=str
)
async def test_every_size_shows_each_screen_within_its_edges(folder: Path, size: tuple[int, int]) -> None:
    async with opened(folder, "2026-03-26 07:00", keeper="AK", size=size) as rack:
        for keys, words in (
            ((), "A1"),
            (("v", "r"), "A1"),
            (("backspace", "v", "s"), "Sedge"),
            (("backspace", "a"), "lethargy"),
            (("t",), "For the vet"),
        ):
            await rack.press(*keys)
            text = await rack.text()
            assert words in text
            lines = text.split("\n")
            assert len(lines) <= size[1]
            assert all(cell_len(one) <= size[0] for one in lines)
            assert ("│" in text) == (size[0] >= 110 and rack.screen != "ReferralScreen"), rack.screen


# Two panes


async def test_from_110_columns_the_room_stands_beside_the_stop_with_the_stop_marked(folder: Path) -> None:
    async with opened(folder, "2026-03-26 07:00", keeper="AK", size=(120, 40)) as rack:
        await rack.sees("the room 0 of 5 walked", "A1 VET NOW", ">A1")
        await rack.press("right")
        await rack.sees(">A2")
        await rack.sees_not(">A1")
        await rack.click("B2")
        await rack.sees("B2 tub", ">B2")
        assert not rack.written


async def test_in_little_space_the_room_is_told_in_signs(tmp_path: Path) -> None:
    page = ["2026-03-01 AK"]
    for letter in "ABCDE":
        page += [f"08:00  {letter.lower()}{row}  enclosure_set_up  name={letter}{row}" for row in range(1, 8)]
    page += ["08:10 wattle arrived name=Wattle sex=F place=c2", "2026-03-25 AK"]
    page += ["08:00 wattle mating_seen", "08:00 wattle egg_check_done present=lethargy"]
    async with opened(
        colony(tmp_path / "many", "\n".join(page)), "2026-03-26 07:00", keeper="AK", size=(110, 24)
    ) as rack:
        await rack.comes("C2 N", "N vet now V vet T today", "o look - due · walked")


async def test_the_matter_stands_beside_the_list_as_the_cursor_moves(folder: Path) -> None:
    async with opened(folder, "2026-03-26 07:00", keeper="AK", size=(130, 40)) as rack:
        await rack.press("a")
        await rack.sees("Phone a reptile vet now", "Do not press")
        await rack.press("down")
        await rack.sees_not("Phone a reptile vet now")
        await rack.press("up", "enter")
        assert "│" not in await rack.text(), "an opened matter has the whole width"


async def test_what_was_found_stands_whole_beside_the_list(folder: Path) -> None:
    async with opened(folder, "2026-03-26 07:00", keeper="AK", size=(130, 40)) as rack:
        await rack.press("r", *"wattle weighed", "enter")
        await rack.comes("1 Mar 08:20 AK weighed 450 g", "Wattle lives in A1")


# The season


async def test_the_days_that_the_season_names_are_those_drawn_beside_a_second_pane_too(folder: Path) -> None:
    async with opened(folder, "2026-03-26 07:00", keeper="AK", size=(160, 50)) as rack:
        await rack.press("v", "s")
        await rack.sees("season, 26 Jan to 30 Jul 2026", "Feb", "Jul")


async def test_the_season_shows_females_by_weeks_and_egg_boxes_below_their_dam(folder: Path) -> None:
    async with opened(folder, "2026-03-26 07:00", keeper="AK") as rack:
        await rack.press("v", "s")
        text = await rack.text()
        wattle = next(one for one in text.split("\n") if "Wattle" in one)
        assert "[" in wattle
        assert "=]" in wattle
        assert "VET NOW lethargy" in wattle
        await rack.sees(
            "season, 26 Jan to 31 May 2026", "^ 26 Mar", "L20", "20 eggs S1", "hatches 19 Apr to 20 May"
        )
        await rack.press("down", "down", "down")
        await rack.press("enter")
        await rack.sees("clutch")
        assert not rack.written


async def test_weeks_go_by_the_arrows_and_t_leads_back_to_today(folder: Path) -> None:
    async with opened(folder, "2026-03-26 07:00", keeper="AK") as rack:
        await rack.press("v", "s")
        await rack.sees("Feb", "^ 26 Mar")
        await rack.press(*["right"] * 6)
        await rack.sees_not("^ 26 Mar")
        await rack.sees("Jun", "Wattle")
        await rack.press("t")
        await rack.sees("^ 26 Mar")


async def test_today_stands_on_a_narrow_season_too(folder: Path) -> None:
    async with opened(folder, "2026-03-26 07:00", keeper="AK", size=(60, 16)) as rack:
        await rack.press("v", "s")
        await rack.sees("^ 26 Mar", "VET NOW lethargy")


async def test_the_season_says_how_many_lines_it_has(folder: Path) -> None:
    for size in ((80, 24), (40, 12)):
        async with opened(folder, "2026-03-26 07:00", keeper="AK", size=size) as rack:
            await rack.press("v", "s")
            head = (await rack.text()).split("\n")[0]
            assert re.search(r" 1 of \d+$", head.rstrip()), head
            await rack.press("down")
            assert re.search(r" 2 of \d+$", (await rack.text()).split("\n")[0].rstrip())


async def test_what_is_written_changes_the_season_at_once(folder: Path) -> None:
    async with opened(folder, "2026-03-26 07:00", keeper="AK") as rack:
        await rack.press("v", "s")
        await rack.sees("Sedge A2")
        await rack.press("g")
        assert rack.screen == "WalkScreen"
        await rack.press("j", *"sedge", "enter", "b")
        await rack.press("escape", "v", "s")
        await rack.sees("Sedge A2")


# The sheet for the vet


async def test_two_keys_from_a_matter_write_the_sheet_as_text_and_as_a_page(folder: Path, home: Path) -> None:
    async with opened(folder, "2026-03-26 07:00", keeper="AK") as rack:
        await rack.press("a")
        rack.count()
        await rack.press("t")
        await rack.sees("For the vet: Wattle", "WHY", "lethargy")
        await rack.press("enter")
        assert rack.count() == 2
        await rack.sees("for-the-vet-wattle-2026-03-26-0700.txt", "for-the-vet-wattle-2026-03-26-0700.html")
        assert not rack.written
    text = (home / "for-the-vet-wattle-2026-03-26-0700.txt").read_text(encoding="utf-8")
    page = (home / "for-the-vet-wattle-2026-03-26-0700.html").read_text(encoding="utf-8")
    assert "For the vet: Wattle" in text
    assert page.startswith("<!doctype html>")
    assert str(home) not in page + text
    assert str(folder) not in page + text


async def test_the_sheet_is_on_an_animals_page_too_and_only_of_an_animal(folder: Path) -> None:
    async with opened(folder, "2026-03-26 07:00", keeper="AK") as rack:
        await rack.press("p", "t")
        assert rack.screen == "ReferralScreen"
        await rack.press("backspace", "e", "t")
        await rack.sees("A sheet for the vet is of one animal.")


async def test_a_home_folder_that_takes_nothing_is_said(
    folder: Path, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with opened(folder, "2026-03-26 07:00", keeper="AK") as rack:
        await rack.press("p", "t")
        monkeypatch.setenv("HOME", str(home / "gone"))
        await rack.press("enter")
        await rack.sees("The sheet was not written to your home folder")


@pytest.mark.parametrize(
    ("view", "told"), [("s", "later"), ("i", "read"), ("y", "count"), ("u", "count"), ("p", "put")]
)
async def test_an_empty_view_offers_only_keys_that_do_something(tmp_path: Path, view: str, told: str) -> None:
    async with opened(colony(tmp_path / "none"), "2026-03-26 07:00", keeper="AK") as rack:
        await rack.press("v", view)
        keys = " ".join((await rack.text()).split("\n")[-2:])
        assert "Backspace back" in keys
        assert told not in keys
        await rack.press("w", "a")
        await rack.sees("Nothing needs attention.", "Backspace back")
        await rack.sees_not("acknowledge")
