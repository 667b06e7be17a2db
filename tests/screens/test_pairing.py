"""The pairing table walked through by keys, a pair opened, and a pair put together."""

from __future__ import annotations

from pathlib import Path

import pytest

from rounds.logbook.drafts import draft
from rounds.logbook.entries import Arrived, FeltForEggs, Moved, PutTogether, TraitsSettled
from rounds.screens.pairing import PairingScreen
from rounds.screens.subject import SubjectScreen
from tests.screens.rack import colony, opened

ROOM = """
    2026-03-01 AK
    08:00  b1  enclosure_set_up  name=B1
    08:00  b2  enclosure_set_up  name=B2
    08:00  b3  enclosure_set_up  name=B3
    08:10  ma    arrived  name=Mallee sex=F hatched=2020-01-01 place=b1 bred_here=true
    08:10  pa    arrived  name=Ironbark sex=M hatched=2020-01-01 place=b2 bred_here=true
    08:10  she   arrived  name=Banksia sex=F hatched=2022-01-01 sire=pa dam=ma place=b3 bred_here=true
    08:10  fern  arrived  name=Fern sex=F hatched=2025-03-01 place=b3 bred_here=true
    08:10  m1    arrived  name=Belah sex=M hatched=2022-01-01 bred_here=true
    08:10  m2    arrived  name=Coolibah sex=M hatched=2022-01-01 bred_here=true
    08:10  m3    arrived  name=Gidgee sex=M hatched=2022-01-01 bred_here=true
    08:10  m4    arrived  name=Marri sex=M hatched=2022-01-01 bred_here=true
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return colony(tmp_path / "colony", ROOM)


async def test_the_table_is_walked_through_and_stays_in_sight_at_its_edges(folder: Path) -> None:
    async with opened(folder, "2026-03-09 07:00", keeper="EM") as rack:
        await rack.press("v", "p")
        await rack.sees(
            "female 1 of 3, male 1 of 5",
            "young of … Belah Coolibah Gidgee Ironbark",
            "> Banksia >unrelated unrelated unrelated 1/4! sire",
            "Fern not now: too young (12 months, bred from 24)",
            "Banksia × Belah: unrelated. Look first: Banksia: ",
        )
        await rack.press("right", "right", "plus")
        await rack.sees("Banksia × Ironbark: sire × daughter, inbreeding of the young 25 %.")
        await rack.press("right", "right", "right")
        await rack.sees("male 5 of 5", "young of … Coolibah Gidgee Ironbark Marri", "Banksia × Marri: unrelated.")
        await rack.press("down", "down", "down", "minus")
        await rack.sees("female 3 of 3, male 4 of 5", "Fern × Ironbark: Fern too young (12 months, bred from 24).")
        await rack.press("pageup", *["left"] * 6)
        await rack.sees("female 1 of 3, male 1 of 5")


async def test_a_pair_is_opened_and_left_again(folder: Path) -> None:
    async with opened(folder, "2026-03-09 07:00", keeper="EM") as rack:
        await rack.press("v", "p", "right", "right", "right", "enter")
        await rack.sees(
            "Banksia × Ironbark",
            "CAUTION Sire × daughter, inbreeding of the young 25 %.",
            "Inbreeding of the young 1/4 = 25 %.",
            "1/4 by Ironbark: 1 generation above her, 0 above him",
        )
        await rack.press("left")
        await rack.sees("Banksia × Gidgee", "No caution by what is noted.")
        await rack.press("e")
        assert isinstance(rack.app.screen, SubjectScreen)
        await rack.press("backspace", "backspace")
        await rack.sees("pairing", "> Banksia")
        await rack.press("m")
        await rack.sees("Gidgee animal")
        await rack.press("backspace", "backspace")
        assert not isinstance(rack.app.screen, PairingScreen)
        assert not rack.written


async def test_a_pair_is_put_together_in_three_keys(folder: Path) -> None:
    async with opened(folder, "2026-03-09 07:00", keeper="EM") as rack:
        await rack.press("v", "p")
        rack.count()
        await rack.press("t", "f2")
        await rack.sees("Belah moves in with Banksia, into B3")
        await rack.press("enter")
        assert rack.count() == 3
        (put,), (moved,) = rack.of(PutTogether), rack.of(Moved)
        assert (put.about, put.mate) == ("animal/she", "animal/m1")
        assert (moved.about, moved.to) == ("animal/m1", "enclosure/b3")


async def test_a_caution_is_said_before_it_is_written_and_only_y_goes_on(folder: Path) -> None:
    async with opened(folder, "2026-03-09 07:00", keeper="EM") as rack:
        await rack.press("v", "p", "right", "right", "right", "t", "f2")
        await rack.sees("sire × daughter, inbreeding of the young 25 %.", "y put them together", "Enter do not")
        await rack.press("enter")
        assert not rack.written
        await rack.press("t", "f2", "y", "n")
        (put,) = rack.of(PutTogether)
        assert (put.about, put.mate) == ("animal/she", "animal/pa")


async def test_kin_that_is_not_known_for_a_loop_is_said_first(tmp_path: Path) -> None:
    page = ROOM + "    08:20  m4  arrived  name=Marri sex=M sire=m4\n"
    async with opened(colony(tmp_path / "colony", page), "2026-03-09 07:00", keeper="EM") as rack:
        await rack.press("v", "p", *["right"] * 4)
        await rack.sees("> Banksia", ">kin not known")
        await rack.press("t")
        await rack.sees("Kin not known: Marri stands as its own parent.", "y go on")
        await rack.press("enter")
        await rack.sees("Not put together. Nothing is written.")
        assert not rack.written


async def test_what_is_written_meanwhile_changes_the_table(folder: Path) -> None:
    async with opened(folder, "2026-03-09 07:00", keeper="EM") as rack:
        await rack.press("v", "p")
        rack.app.shift.record(draft(FeltForEggs, "animal/she", found="eggs"))
        await rack.press("up")
        await rack.sees("> Mallee", "Banksia not now: gravid")


async def test_a_reason_that_begins_with_her_name_says_it_once_beside_it(tmp_path: Path) -> None:
    page = ROOM.replace("    08:10  fern", "    09:00  she  mating_seen  sire=m1\n    08:10  fern")
    page += "    2026-04-20\n    09:00  she  felt_for_eggs  found=eggs\n"
    async with opened(colony(tmp_path / "colony", page), "2026-04-21 07:00", keeper="EM") as rack:
        await rack.press("v", "p", "down")
        await rack.sees("Banksia not now: may be egg-bound: window ended")


async def test_an_empty_room_has_no_one_to_pair(tmp_path: Path) -> None:
    page = "2026-03-01 AK\n08:00 b1 enclosure_set_up name=B1\n08:10 she arrived name=She sex=F place=b1\n"
    async with opened(colony(tmp_path / "colony", page), "2026-03-09 07:00", keeper="EM") as rack:
        await rack.press("v", "p")
        await rack.sees("No grown male is here.", "Backspace back")
        await rack.sees_not("put together")
        await rack.press("t", "enter", "e", "m", "down", "right")
        assert not rack.written


async def test_at_the_smallest_and_the_largest_size_the_pair_is_still_said(folder: Path) -> None:
    for size in ((40, 10), (80, 24), (200, 60)):
        async with opened(folder, "2026-03-09 07:00", keeper="EM", size=size) as rack:
            await rack.press("v", "p", "down")
            await rack.sees("Mallee × Belah: unrelated.")


async def test_traits_are_ticked_from_the_colonys_own_list(folder: Path) -> None:
    settings = folder / "colony.toml"
    settings.write_text(
        settings.read_text(encoding="utf-8") + '\n[traits]\nalbino = "recessive"\n', encoding="utf-8"
    )
    async with opened(folder, "2026-03-09 07:00", keeper="EM") as rack:
        await rack.press("v", "p", "e", "i", "m", "t")
        await rack.sees("Traits: Banksia", "1 – leatherback", "2 – albino", "3 – scaleless")
        await rack.press("1", "enter", "2", "f2")
        (settled,) = rack.of(TraitsSettled)
        assert (settled.about, settled.shows, settled.carries) == ("animal/she", ("leatherback",), ("albino",))
        await rack.press("x", "c", "enter", "2", "f2", "3", "enter")
        right = rack.of(TraitsSettled)[-1]
        assert (right.shows, right.carries) == (("leatherback",), ())


async def test_an_arrival_may_name_two_males_one_of_whom_is_the_sire(folder: Path) -> None:
    async with opened(folder, "2026-03-09 07:00", keeper="EM") as rack:
        await rack.press("f2", "a", *"Nell", "enter", "enter", "1", "enter", "enter", "enter", "enter")
        await rack.sees("> sire")
        await rack.press(*"Belah", "enter", *"Gidgee", "enter", "f2")
        await rack.sees("Nell")
        (nell,) = rack.of(Arrived)
        assert (nell.name, nell.sire, nell.possible_sires) == ("Nell", None, ("animal/m1", "animal/m3"))


async def test_a_row_that_is_not_paired_now_does_not_hide_a_burden_on_the_young(tmp_path: Path) -> None:
    page = ROOM.replace("name=Mallee", "name=Mallee traits=leatherback").replace(
        "name=Ironbark", "name=Ironbark traits=leatherback"
    )
    gravid = "    2026-03-05\n    09:00  ma  felt_for_eggs  found=eggs\n"
    async with opened(colony(tmp_path / "colony", page + gravid), "2026-03-09 07:00", keeper="EM") as rack:
        await rack.press("v", "p")
        await rack.sees("Mallee scaleless! with Ironbark; not now: gravid")
