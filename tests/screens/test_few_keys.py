"""The everyday entries beside the walk, and how many keys each takes at the stop."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from rounds.logbook.entries import EggsBoxed, EggsLaid, Hatched, Moved, VetCalled, Weighed
from tests.screens.rack import colony, opened

ROOM = """
    2026-03-01 AK
    08:00  b1      enclosure_set_up  name=B1
    08:00  b2      enclosure_set_up  name=B2
    08:00  b3      enclosure_set_up  name=B3
    08:00  b4      enclosure_set_up  name=B4
    08:00  b5      enclosure_set_up  name=B5
    08:00  b6      enclosure_set_up  name=B6
    08:00  l1      enclosure_set_up  name=L1 what="lay box"
    08:00  s1      enclosure_set_up  name=S1 what="incubator shelf"
    08:10  wattle  arrived  name=Wattle sex=F place=b1 hatched=2023-03-01
    08:10  karri   arrived  name=Karri sex=M place=b2 hatched=2022-03-01
    08:10  sedge   arrived  name=Sedge sex=F place=b4 hatched=2023-06-01
    08:10  mulga   arrived  name=Mulga sex=M place=b5 hatched=2022-06-01
    08:10  fern    arrived  name=Fern sex=F place=b6 hatched=2022-06-01
    08:20  wattle  weighed  grams=450
    08:30  wattle  put_together  mate=karri
    09:00  fern    eggs_laid  clutch=fern-2026-1 count=20 complete=true
    10:00  fern-2026-1   eggs_boxed  count=20 place=s1
    2026-03-03 AK
    08:30  wattle  parted  mate=karri
    2026-05-20 AK
    08:00  group/hatch-1  arrived  name="Hatch 1" count=10 place=b3 clutch=fern-2026-1 hatched=2026-05-20
    08:05  fern-2026-1   hatched  count=10 into=hatch-1
    2026-05-30 AK
    08:00  mulga   moved  to=b4
    08:00  wattle  moved  to=l1
    2026-06-01 AK
    08:00  sedge   eggs_laid  clutch=sedge-2026-1 count=20 slugs=2 complete=true
"""

#: What is done: at whose stop, the keys, and what stands on the sheets then.
EVERYDAY: dict[str, tuple[str, tuple[str, ...], list[str]]] = {
    "moved back where she was": ("wattle", ("m", "enter"), ["moved animal/wattle"]),
    "parted, he goes back": (
        "sedge",
        ("i", "b", "p", "f2", "enter"),
        ["parted animal/sedge", "moved animal/mulga"],
    ),
    "mating seen with her tub-mate": ("sedge", ("i", "b", "m", "f2"), ["mating_seen animal/sedge"]),
    "put together again, a caution answered, he moves in": (
        "wattle",
        ("i", "b", "t", "f2", "y", "enter"),
        ["put_together animal/wattle", "moved animal/karri"],
    ),
    "UV lamp changed": ("karri", ("i", "c", "l", "f2"), ["lamp_changed enclosure/b2"]),
    "eggs boxed": ("sedge", ("i", "b", "x", "f2"), ["eggs_boxed clutch/sedge-2026-1"]),
    "hatched, more of them": (
        "fern",
        ("i", "b", "h", "5", "f2"),
        ["hatched clutch/fern-2026-1", "arrived group/hatch-1"],
    ),
    "whole-group weight": ("hatch", (*"25/10", "enter"), ["weighed group/hatch-1"]),
    "group counted, one had died": (
        "hatch",
        ("g", "9", "enter", "d"),
        ["died group/hatch-1", "counted group/hatch-1"],
    ),
    "eggs laid, complete": ("wattle", ("i", "b", "e", "1", "8", "enter", "c", "f2"), ["eggs_laid animal/wattle"]),
    "vet phoned": ("wattle", ("i", "v", "c", *"wait", "f2"), ["vet_called animal/wattle"]),
    "condition with a sign": ("wattle", ("i", "s", "c", "c", "f2"), ["condition_seen animal/wattle"]),
    "death of one young": ("hatch", ("i", "m", "d", "1", "f2"), ["died group/hatch-1"]),
}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return colony(tmp_path / "colony", ROOM)


@pytest.mark.parametrize("what", EVERYDAY)
async def test_an_everyday_entry_is_a_few_keys(
    what: str, folder: Path, record_figure: Callable[[str, object], None]
) -> None:
    who, keys, written = EVERYDAY[what]
    async with opened(folder, "2026-06-02 07:00", keeper="AK") as rack:
        await rack.press("j", *who, "enter")
        rack.count(), rack.news()
        await rack.press(*keys)
        assert rack.news() == written
        assert rack.app.walk_screen.ask is None, "nothing more is asked"
        record_figure(f"keys: {what}", rack.count())


async def test_what_the_eggs_weigh_is_typed_with_them(folder: Path) -> None:
    async with opened(folder, "2026-06-02 07:00", keeper="AK") as rack:
        await rack.press("j", *"wattle", "enter", "i", "b", "e", *"18", "enter", "c", "enter", "enter")
        await rack.sees("eggs weigh", "all of them so far; empty when not weighed")
        await rack.press(*"63", "f2")
        (laid,) = rack.of(EggsLaid)
        assert (laid.count, laid.complete, laid.slugs, laid.eggs_grams) == (18, True, 0, 63)


async def test_moved_back_is_where_she_was(folder: Path) -> None:
    async with opened(folder, "2026-06-02 07:00", keeper="AK") as rack:
        await rack.press("j", *"wattle", "enter", "m")
        await rack.sees("Move Wattle to", "> B1 back to where it was")
        await rack.press("enter")
        assert [(one.about, one.to) for one in rack.of(Moved)] == [("animal/wattle", "enclosure/b1")]
        await rack.press("j", *"wattle", "enter", "m", *"6", "enter")
        assert rack.of(Moved)[-1].to == "enclosure/b6", "any part of a name finds it"


async def test_who_never_lived_elsewhere_is_not_moved_by_an_enter_too_many(folder: Path) -> None:
    async with opened(folder, "2026-06-02 07:00", keeper="AK") as rack:
        await rack.press("j", *"sedge", "enter", "m", "enter", "enter")
        await rack.sees("Move Sedge to")
        assert not rack.of(Moved)
        await rack.press("down", "down", "enter")
        assert [one.to for one in rack.of(Moved)] == ["enclosure/b2"]


async def test_eggs_boxed_are_offered_without_the_slugs_on_the_shelf_used_last(folder: Path) -> None:
    async with opened(folder, "2026-06-02 07:00", keeper="AK") as rack:
        await rack.press("j", *"sedge", "enter", "i", "b", "x")
        await rack.sees("clutch Sedge 1", "eggs 18", "egg box or shelf S1")
        await rack.press("f2")
        assert [(one.count, one.place) for one in rack.of(EggsBoxed)] == [(18, "enclosure/s1")]


async def test_slugs_thrown_out_before_leave_all_the_sound_eggs_to_be_boxed(tmp_path: Path) -> None:
    thrown_out = ROOM + "    09:00  sedge-2026-1   eggs_lost  count=2 why=slugs\n"
    async with opened(colony(tmp_path / "colony", thrown_out), "2026-06-02 07:00", keeper="AK") as rack:
        await rack.press("j", *"sedge", "enter", "i", "b", "x")
        await rack.sees("clutch Sedge 1", "eggs 18", "egg box or shelf S1")


async def test_hatched_young_are_counted_by_the_keeper_and_go_into_their_group(folder: Path) -> None:
    async with opened(folder, "2026-06-02 07:00", keeper="AK") as rack:
        await rack.press("j", *"fern", "enter", "i", "b", "h", "f2")
        await rack.sees("How many young?")
        await rack.press("5", "f2")
        assert [(one.count, one.into) for one in rack.of(Hatched)] == [(5, "group/hatch-1")]


async def test_a_group_is_weighed_together_and_the_mean_is_written_with_what_was_on_the_scale(folder: Path) -> None:
    async with opened(folder, "2026-06-02 07:00", keeper="AK") as rack:
        await rack.press("j", *"hatch", "enter", *"25.4", "divide", *"10", "enter")
        (weighed,) = rack.of(Weighed)
        assert (weighed.grams, weighed.number, weighed.note) == (2.54, 10, "")
        await rack.sees("2.54 g each (10 together, 25.4 g)")
        await rack.press("5", "/", "0", "enter")
        await rack.sees("Type a number")


async def test_a_telephone_call_with_the_vet_has_who_what_and_by_when(folder: Path) -> None:
    async with opened(folder, "2026-06-02 07:00", keeper="AK") as rack:
        await rack.press("j", *"wattle", "enter", "i", "v", "c", *"bring her tomorrow", "enter", *"Dr Moe", "enter")
        await rack.write("+1d")
        await rack.sees("= Wed 3 Jun 2026")
        await rack.press("f2")
        (called,) = rack.of(VetCalled)
        assert (called.said, called.vet, str(called.again)) == ("bring her tomorrow", "Dr Moe", "2026-06-03")


async def test_a_long_list_scrolls_and_any_part_of_a_name_finds_its_option(folder: Path) -> None:
    async with opened(folder, "2026-06-02 07:00", keeper="AK") as rack:
        await rack.press("f2", "e", *"E1", "enter")
        await rack.sees("what [tub]", "→ tub", "and 3 more")
        await rack.press(*"box")
        await rack.sees("what [lay box]")
        await rack.press(*"egg")
        await rack.sees("what [egg box]")
        await rack.press("ctrl+u", *"shelf")
        await rack.sees("what [incubator shelf]", "→ incubator shelf")
        await rack.press("escape", "j", *"hatch", "enter", "m")
        await rack.press(*["down"] * 7)
        await rack.sees("> S1 incubator shelf")


async def test_eggs_that_are_boxed_already_are_shown_and_fewer_are_asked_about(folder: Path) -> None:
    async with opened(folder, "2026-06-02 07:00", keeper="AK") as rack:
        await rack.press("j", *"sedge", "enter", "i", "b", "x", "f2")
        rack.clock.forward(days=2)
        await rack.press("i", "b", "x")
        await rack.sees("> clutch Sedge 1", "eggs 18", "Sedge 1: 18 are boxed in S1, none in no box.")
        await rack.press("enter", *"14", "f2")
        await rack.sees("18 were left in boxes and none in no box. Are the 14 boxed now all that is left?")
        await rack.press("enter")
        assert [one.count for one in rack.of(EggsBoxed)] == [18]
        await rack.press("i", "b", "x", "f2")
        assert [one.count for one in rack.of(EggsBoxed)] == [18, 18]
