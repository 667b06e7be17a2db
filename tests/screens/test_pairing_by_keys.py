"""Pairing by keys: put together from either page, what speaks against it first, what was seen, who is the sire."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from rounds.logbook.entries import BehaviourSeen, BrumationBegan, EggsLaid, MatingSeen, Moved, PutTogether
from tests.screens.rack import colony, opened

ROOM = """
    2026-03-01 AK
    08:00  b1      enclosure_set_up  name=B1
    08:00  b2      enclosure_set_up  name=B2
    08:00  b3      enclosure_set_up  name=B3
    08:00  b4      enclosure_set_up  name=B4
    08:10  wattle  arrived  name=Wattle sex=F place=b1 hatched=2023-03-01 bred_here=true
    08:10  sedge   arrived  name=Sedge sex=F place=b2 hatched=2023-03-01 bred_here=true
    08:10  karri   arrived  name=Karri sex=M place=b3 hatched=2022-03-01 bred_here=true
    08:10  marri   arrived  name=Marri sex=M place=b4 hatched=2022-03-01 bred_here=true
    08:20  sedge   weighed  grams=330
    2026-03-15 AK
    08:00  wattle  weighed  grams=440
    08:00  karri   weighed  grams=470
    2026-03-29 AK
    08:00  wattle  weighed  grams=444
    08:00  karri   weighed  grams=474
    08:01  wattle  condition_seen  body=good look=bright
    08:01  karri   condition_seen  body=good look=bright
"""
TOGETHER = ROOM + "    09:00  wattle  put_together  mate=karri\n    09:00  karri  moved  to=b1\n"
PARTED = TOGETHER + "    2026-04-01 AK\n    09:00  wattle  parted\n    09:00  karri  moved  to=b3\n"

#: At whose stop, the keys, what stands on the sheets then.
FEW: dict[str, tuple[str, str, tuple[str, ...], list[str]]] = {
    "put together from her page, with whom is typed": (
        ROOM,
        "wattle",
        ("i", "b", "t", "k", "f2", "enter"),
        ["put_together animal/wattle", "moved animal/karri"],
    ),
    "put together from his page, she is the one it is about": (
        ROOM,
        "karri",
        ("i", "b", "t", "w", "f2", "enter"),
        ["put_together animal/wattle", "moved animal/karri"],
    ),
    "a caution is answered with y": (
        ROOM,
        "sedge",
        ("i", "b", "t", "k", "f2", "y"),
        ["put_together animal/sedge"],
    ),
    "mating seen from her stop": (TOGETHER, "wattle", ("i", "b", "m", "f2"), ["mating_seen animal/wattle"]),
    "mating seen from his stop": (TOGETHER, "karri", ("i", "b", "m", "f2"), ["mating_seen animal/wattle"]),
    "nape bite": (TOGETHER, "karri", ("b", "n"), ["behaviour_seen animal/karri"]),
}


@pytest.mark.parametrize("what", FEW)
async def test_a_pairing_is_a_few_keys(
    what: str, tmp_path: Path, record_figure: Callable[[str, object], None]
) -> None:
    page, who, keys, written = FEW[what]
    async with opened(colony(tmp_path / "colony", page), "2026-03-30 07:00", keeper="AK") as rack:
        await rack.press("j", *who, "enter")
        rack.count(), rack.news()
        await rack.press(*keys)
        if "caution" in what:
            await rack.sees("Who moves?")
            assert rack.count() <= 6
            await rack.press("n")
            assert rack.news() == written
            return
        assert rack.news() == written
        assert rack.app.walk_screen.ask is None, "nothing more is asked"
        many = rack.count()
        assert many <= (4 if "mating" in what else 6)
        record_figure(f"keys: {what}", many)


async def test_from_his_stop_the_females_are_offered_the_fit_ones_first_with_what_was_found(tmp_path: Path) -> None:
    async with opened(colony(tmp_path / "colony", ROOM), "2026-03-30 07:00", keeper="AK") as rack:
        await rack.press("j", *"karri", "enter", "i", "b", "t")
        await rack.sees("Put together with a female: Karri", "Karri: fit by these checks.")
        await rack.sees("Wattle fit by these checks", "Sedge not now: too light (330 g")
        text = await rack.text()
        assert text.index("Wattle  fit") < text.index("Sedge  not now")


async def test_what_speaks_against_it_is_said_before_anything_is_written(tmp_path: Path) -> None:
    async with opened(colony(tmp_path / "colony", ROOM), "2026-03-30 07:00", keeper="AK") as rack:
        await rack.press("j", *"sedge", "enter", "i", "b", "t", "k", "f2")
        await rack.sees("Sedge: too light (330 g, bred from 350 g).", "put them together")
        await rack.press("enter")
        assert not rack.of(PutTogether), "Enter says no to a caution"
        await rack.press("i", "b", "t", "k", "f2", "y", "n")
        assert [one.about for one in rack.of(PutTogether)] == ["animal/sedge"]
        assert not rack.of(Moved)


async def test_what_was_shown_in_a_pairing_says_toward_whom(tmp_path: Path) -> None:
    async with opened(colony(tmp_path / "colony", TOGETHER), "2026-03-30 07:00", keeper="AK") as rack:
        await rack.press("j", *"karri", "enter", "b", "h")
        await rack.sees("Karri: head bobbing toward Wattle")
        await rack.press("b", "k")
        assert [(one.behaviour, one.toward) for one in rack.of(BehaviourSeen)] == [
            ("head bobbing", "animal/wattle"),
            ("basking", None),
        ]
        await rack.press("j", *"wattle", "enter", "p")
        await rack.sees("with Karri since yesterday: bobbing")


async def test_the_likeliest_sire_stands_in_the_form_when_she_lays(tmp_path: Path) -> None:
    seen = "2026-03-30 AK\n    10:00  wattle  mating_seen  sire=karri\n"
    mated = PARTED.replace("    2026-04-01 AK\n", f"    {seen}    2026-04-01 AK\n")
    async with opened(colony(tmp_path / "colony", mated), "2026-04-25 07:00", keeper="AK") as rack:
        await rack.press("j", *"wattle", "enter", "i", "b", "e")
        await rack.sees("sire", "Karri")
        await rack.press("1", "8", "enter", "c", "f2")
        assert [(one.count, one.sire) for one in rack.of(EggsLaid)] == [(18, "animal/karri")]
        assert not rack.of(MatingSeen)


async def test_brumation_without_a_faecal_test_is_asked_about_once(tmp_path: Path) -> None:
    async with opened(colony(tmp_path / "colony", ROOM), "2026-03-30 07:00", keeper="AK") as rack:
        await rack.press("j", *"wattle", "enter", "i", "m", "b", "f2")
        await rack.sees("Wattle: no faecal test is noted. Test before brumation.")
        await rack.press("n")
        assert not rack.of(BrumationBegan)
        await rack.press("i", "m", "b", "f2", "y")
        assert len(rack.of(BrumationBegan)) == 1


async def test_the_checks_before_pairing_stand_on_her_page_with_their_rules(tmp_path: Path) -> None:
    async with opened(colony(tmp_path / "colony", ROOM), "2026-03-30 07:00", keeper="AK") as rack:
        await rack.press("j", *"sedge", "enter", "p")
        await rack.sees("before pairing: not now: too light (330 g, bred from 350 g)")
        await rack.press("f")
        await rack.sees("Before pairing: Sedge", "weight: 330 g on 1 Mar, bred from 350 g")
        await rack.press("backspace")
        await rack.sees("before pairing: not now")
