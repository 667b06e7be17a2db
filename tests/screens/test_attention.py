"""Attention: every matter says why, and is acted on from where it is read."""

from __future__ import annotations

from pathlib import Path

import pytest

from rounds.logbook.entries import (
    Acknowledged,
    BehaviourSeen,
    Corrected,
    EggCheckDone,
    HandedOver,
    PutOff,
    Referred,
    TakenOver,
    VetCalled,
    Weighed,
)
from rounds.logbook.entries import (
    Tested as SampleTested,
)
from tests.screens.rack import colony, opened

SHARED_TUB = """
    2026-03-01 AK
    08:00  t1      enclosure_set_up  name=T1 what="open tub"
    08:00  b1      enclosure_set_up  name=B1
    08:10  sedge   arrived  name=Sedge sex=F place=t1 hatched=2023-06-01
    08:10  fern    arrived  name=Fern sex=F place=t1 hatched=2023-06-01
    08:10  karri   arrived  name=Karri sex=M place=b1 hatched=2022-03-01
    08:20  sedge   weighed  grams=400
    08:20  fern    weighed  grams=410
    08:20  karri   weighed  grams=510
    09:00  fern    mating_seen  sire=karri
    2026-03-20 EM
    17:40  enclosure/t1  behaviour_seen  behaviour="nest digging" note="sand on the glass"
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return colony(tmp_path / "colony", SHARED_TUB)


async def test_who_it_was_is_written_for_her_and_the_entry_about_the_tub_stays_readable(folder: Path) -> None:
    async with opened(folder, "2026-03-21 07:00", keeper="AK") as rack:
        await rack.press("a")
        await rack.sees("TODAY T1", "T1: one of them has dug since 20 Mar. Which?")
        await rack.press("down", "down", "enter", "d", "u")
        await rack.sees("Who was it?", "Fern", "Sedge")
        await rack.press("1")
        (correction,), (seen,) = rack.of(Corrected), rack.of(BehaviourSeen)
        assert (correction.about, correction.instead, correction.because) == (
            "enclosure/t1",
            seen.id,
            "it was Fern",
        )
        assert (seen.about, seen.behaviour, seen.by) == ("animal/fern", "nest digging", "AK")
        assert seen.at.isoformat() == "2026-03-20T17:40:00+01:00", "she dug when it was seen, not when it was known"
        assert seen.note == "sand on the glass"
        await rack.press("backspace")
        await rack.sees("Fern has dug since 20 Mar")
        await rack.sees_not("one of them has dug")


async def test_named_wrongly_and_taken_back_the_digging_is_the_tubs_again(folder: Path) -> None:
    async with opened(folder, "2026-03-21 07:00", keeper="AK") as rack:
        await rack.press("a", "down", "down", "enter", "d", "u", "1", "backspace", "backspace", "z")
        await rack.sees("Take back what you wrote", "Fern: nest digging")
        await rack.press("y")
        again = [seen for seen in rack.of(BehaviourSeen) if seen.about == "enclosure/t1"]
        assert [(seen.behaviour, seen.note) for seen in again] == [("nest digging", "sand on the glass")]
        await rack.press("a")
        await rack.sees("T1: one of them has dug since 20 Mar. Which?")


async def test_a_matter_is_put_off_with_a_reason_and_stands_at_the_end(folder: Path) -> None:
    async with opened(folder, "2026-03-21 07:00", keeper="AK") as rack:
        await rack.press("a", "down", "o", "t", *"is watched by camera", "enter")
        (off,) = rack.of(PutOff)
        assert (str(off.until), off.reason) == ("2026-03-22", "is watched by camera")
        await rack.sees("off T1", "put off until 22 Mar: is watched by camera")
        rack.clock.set("2026-03-22 07:00")
        rack.app.shift.reckon_now()
        await rack.press("up")
        await rack.sees("TODAY T1 T1: one of them dug 20 Mar")


async def test_nothing_is_put_off_without_a_reason_or_to_a_day_gone_by(folder: Path) -> None:
    async with opened(folder, "2026-03-21 07:00", keeper="AK") as rack:
        await rack.press("a", "o", "d", *"2026-03-20", "enter")
        await rack.sees("give a day that is still to come")
        await rack.press("ctrl+u", *"2026-03-30", "enter", "enter")
        await rack.sees("Type a few words")
        await rack.press("escape")
        assert not rack.written


async def test_a_danger_sign_is_vet_now_and_is_referred_from_its_page(folder: Path) -> None:
    async with opened(folder, "2026-03-21 07:00", keeper="AK") as rack:
        await rack.press("j", *"fern", "enter", "e", "4", "8", "enter")
        await rack.sees("Phone a vet now")
        assert rack.of(EggCheckDone)[0].present == ("straining", "off food")
        await rack.press("a", "enter")
        await rack.sees("VET NOW Fern", "Phone a reptile vet now", "Do not press")
        await rack.press("o")
        await rack.sees("cannot be put off")
        await rack.press("enter", "r", *"the reptile vet", "f2")
        (referred,) = rack.of(Referred)
        assert (referred.about, referred.to) == ("animal/fern", "the reptile vet")
        assert not rack.of(PutOff)


async def test_go_there_and_the_page_lead_from_a_matter_and_back(folder: Path) -> None:
    async with opened(folder, "2026-03-21 07:00", keeper="AK") as rack:
        await rack.press("right", "a", "down", "down", "p")
        await rack.sees("T1 enclosure", "nest digging: sand on the glass")
        await rack.press("backspace")
        assert rack.screen == "AttentionScreen"
        await rack.press("g")
        await rack.sees("T1", "Fern", "Sedge")
        assert rack.screen == "WalkScreen"
        assert not rack.written


async def test_a_keeper_who_takes_over_reads_the_vet_matters_one_by_one(folder: Path) -> None:
    async with opened(folder, "2026-03-21 07:00", keeper="AK") as rack:
        for letters in ("fern", "sedge"):
            await rack.press("j", *letters, "enter", "e", "1", "enter")
        await rack.press("a", "y", "down", "y")
        read = [entry.matter for entry in rack.of(Acknowledged)]
        assert len(set(read)) == 2
        await rack.press("h", "s", "enter", "enter")
        assert rack.of(HandedOver)
        await rack.press("enter", "e", "m", "enter")
        await rack.sees("1 of 2 vet matters")
        await rack.press("y")
        await rack.sees("2 of 2 vet matters")
        await rack.press("backspace")
        assert not rack.of(TakenOver), "half read is not taken over"
        assert rack.screen == "TakeOverScreen"
        await rack.press("enter", "e", "m", "enter", "y", "y")
        (taken,) = rack.of(TakenOver)
        assert set(taken.matters) == set(read)
        assert [entry.by for entry in rack.of(Acknowledged)] == ["AK", "AK", "EM", "EM"]


async def test_a_matter_settled_at_another_place_says_so(folder: Path) -> None:
    async with opened(folder, "2026-03-21 07:00", keeper="AK") as rack:
        await rack.press("a", "down", "down", "enter", "d", "u", "2")
        await rack.sees("T1: taken back 21 Mar 07:00", "It stays under watch for 3 days.")
        await rack.press("y", "o", "d", "p", "g", "up", "down", "enter")
        assert not rack.of(Acknowledged)
        await rack.press("backspace")
        await rack.sees("attention")


async def test_a_matter_about_weight_is_acted_on_by_weighing(folder: Path) -> None:
    async with opened(folder, "2026-03-21 07:00", keeper="AK") as rack:
        await rack.press("j", *"fern", "enter", "e", "0", "enter", *"455", "enter", "enter")
        assert [entry.grams for entry in rack.of(Weighed)] == [455]
        assert rack.of(EggCheckDone)[0].present == ("eggs felt",)


DUG_FOR_LONG = """
    2026-03-01 AK
    08:00  b1      enclosure_set_up  name=B1
    08:10  wattle  arrived  name=Wattle sex=F place=b1 hatched=2023-06-01 bred_here=true
    08:20  wattle  weighed  grams=400
    2026-03-12 AK
    17:40  wattle  behaviour_seen  behaviour="nest digging"
    2026-03-15 AK
    17:40  wattle  behaviour_seen  behaviour="nest digging"
"""


async def test_a_vet_matter_can_wait_until_tomorrow_and_no_longer(tmp_path: Path) -> None:
    async with opened(colony(tmp_path / "colony", DUG_FOR_LONG), "2026-03-21 07:00", keeper="AK") as rack:
        await rack.press("a")
        await rack.sees("> VET B1 Wattle: day 10, no eggs.")
        await rack.press("o")
        await rack.sees("tomorrow", "Not later: it is for the vet.")
        await rack.sees_not("in a week", "another day")
        await rack.press("enter", "1", "enter")
        (off,) = rack.of(PutOff)
        assert (str(off.until), off.reason) == ("2026-03-22", "agreed with the vet")
        await rack.sees("put off until 22 Mar")


async def test_a_vet_matter_is_answered_by_a_call_from_where_it_is_read(tmp_path: Path) -> None:
    folder = colony(tmp_path / "colony", DUG_FOR_LONG)
    written = folder / "colony.toml"
    written.write_text(written.read_text() + '\n[vet]\nname = "Dr Quoll"\nphone = "08 5550 1234"\n')
    async with opened(folder, "2026-03-21 07:00", keeper="AK") as rack:
        await rack.press("a", "enter")
        await rack.sees("vet Dr Quoll, 08 5550 1234", "Phone Dr Quoll, 08 5550 1234 today")
        await rack.press("enter")
        await rack.sees("phoned the vet", "referred to a vet", "a vet has seen it")
        await rack.press("k", *"seen tomorrow", "f2")
        (call,) = rack.of(VetCalled)
        assert (call.about, call.said, call.vet) == ("animal/wattle", "seen tomorrow", "Dr Quoll, 08 5550 1234")
        await rack.sees(
            "Wattle: digging without eggs answered 21 Mar 07:00: vet phoned (Dr Quoll) (AK). It stays under watch "
            "for 3 days."
        )


async def test_without_a_number_the_matter_says_where_to_write_it(tmp_path: Path) -> None:
    async with opened(colony(tmp_path / "colony", DUG_FOR_LONG), "2026-03-21 07:00", keeper="AK") as rack:
        await rack.press("a", "enter")
        await rack.sees("vet no number yet: write it in colony.toml, under [vet]")


async def test_about_a_tub_the_vet_was_phoned_for_one_who_lives_there(folder: Path) -> None:
    async with opened(folder, "2026-03-29 07:00", keeper="AK") as rack:
        await rack.press("a")
        while "> VET T1 T1: one of them dug" not in " ".join((await rack.text()).split()):
            assert rack.keys < 9, await rack.text()
            await rack.press("down")
        await rack.press("d", "k")
        await rack.sees("About whom?", "Fern", "Sedge")
        await rack.press("enter", "f2")
        await rack.sees("what was said")
        assert not rack.of(VetCalled), "a call that reached nobody answers nothing"
        await rack.press(*"wait", "f2")
        assert [entry.about for entry in rack.of(VetCalled)] == ["animal/fern"]


async def test_quarantine_ends_with_its_tests_written_from_the_same_place(tmp_path: Path) -> None:
    page = """
        2026-03-01 AK
        08:00  b1      enclosure_set_up  name=B1
        08:10  wattle  arrived  name=Wattle sex=F place=b1 hatched=2025-11-01 quarantine=true
        2026-06-01 AK
        08:10  wattle  weighed  grams=200
    """
    async with opened(colony(tmp_path / "colony", page), "2026-08-01 07:00", keeper="AK") as rack:
        await rack.press("a")
        while "> TODAY B1 Wattle: keep in quarantine" not in " ".join((await rack.text()).split()):
            assert rack.keys < 9, await rack.text()
            await rack.press("down")
        await rack.press("d", "a", "1", "down", "2", "f2")
        assert [(one.what, one.clear) for one in rack.of(SampleTested)] == [("faecal test", True)]


async def test_a_matter_longer_than_the_screen_is_read_on_by_page_down(folder: Path) -> None:
    async with opened(folder, "2026-03-21 07:00", keeper="AK", size=(80, 16)) as rack:
        await rack.press("a", "enter")
        await rack.sees("Fern: no lay box yet.", "PgDn page down")
        await rack.press("pagedown")
        await rack.sees_not("no lay box yet")
        await rack.press("pageup")
        await rack.sees("Fern: no lay box yet.")
