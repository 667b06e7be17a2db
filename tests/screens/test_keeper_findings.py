"""What a keeper ran into at the rack, and is not to run into again."""

from __future__ import annotations

from pathlib import Path

import pytest

from rounds.desk.colony_file import write_new
from rounds.logbook.entries import Acknowledged, BehaviourSeen, EggCheckDone, HandedOver, TakenOver
from rounds.screens.screen import RoundScreen
from rounds.sheets.store import Sheets
from tests.notation import at, logbook
from tests.screens.rack import opened

PAGE = """
2026-03-01 AK
08:00  b3      enclosure_set_up  name=B3
08:01  wattle  arrived  name=Wattle sex=F place=b3 hatched=2023-05-01
2026-03-20 AK
08:00  wattle  mating_seen
18:00  wattle  condition_seen  signs=prolapse look=dull
"""


@pytest.fixture
def grave(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A room in which a prolapse was seen yesterday."""
    for name in ("STATE", "CACHE", "CONFIG"):
        monkeypatch.setenv(f"XDG_{name}_HOME", str(tmp_path / name.lower()))
    room = tmp_path / "room"
    write_new(room, "Shed", "Europe/Vienna")
    Sheets(room, "rack-aaaa").append(logbook(PAGE), at("2026-03-20").date())
    return room


async def test_initials_given_beforehand_do_not_skip_reading_the_vet_matters(grave: Path) -> None:
    async with opened(grave, "2026-03-21 07:00", offered="mm") as rack:
        await rack.sees("take over", "prolapse")
        assert rack.desk.keeper == ""
        await rack.press("enter", "enter")
        await rack.sees("I have read it")
        await rack.press("y")
        (taken,) = rack.of(TakenOver)
        assert taken.by == "MM"
        assert len(taken.matters) == 1


async def test_who_is_on_shift_already_does_not_take_over_again_and_somebody_else_does(grave: Path) -> None:
    async with opened(grave, "2026-03-21 07:00", offered="MM") as rack:
        await rack.press("enter", "enter", "y")
    async with opened(grave, "2026-03-21 08:00", offered="mm") as rack:
        assert rack.desk.keeper == "MM"
    async with opened(grave, "2026-03-21 09:00", offered="EM") as rack:
        await rack.sees("take over", "prolapse")
        assert rack.desk.keeper == ""


async def test_a_sheet_that_cannot_be_read_is_said_loudest_at_the_take_over(grave: Path) -> None:
    (sheet,) = grave.rglob("*.jsonl")
    sheet.write_bytes(sheet.read_bytes().replace(b"prolapse", b"prolapsf"))
    async with opened(grave, "2026-03-21 07:00") as rack:
        await rack.sees("NOT ALL OF THE SHEETS COULD BE READ", "may lack entries")


async def test_an_egg_check_does_not_deny_the_digging_seen_the_same_day(grave: Path) -> None:
    async with opened(grave, "2026-03-21 07:00", keeper="AK") as rack:
        await rack.press("b", "d")
        assert [seen.behaviour for seen in rack.of(BehaviourSeen)] == ["nest digging"]
        await rack.press("e", "enter")
        (check,) = rack.of(EggCheckDone)
        assert (check.present, check.absent) == ((), ()), "an Enter says no more than was marked"
        await rack.press("w")
        await rack.sees("Wattle has dug since 21 Mar")


async def test_an_egg_check_may_still_say_that_she_digs_no_more(grave: Path) -> None:
    async with opened(grave, "2026-03-21 07:00", keeper="AK") as rack:
        await rack.press("b", "d", "e", "9", "9", "enter")
        (check,) = rack.of(EggCheckDone)
        assert (check.present, check.absent) == ((), ("digging",))


async def test_signing_over_an_egg_check_nobody_made_is_asked_about_and_enter_does_not_sign(grave: Path) -> None:
    async with opened(grave, "2026-04-05 07:00", keeper="AK") as rack:
        await rack.press("a", "y", "h")
        await rack.sees("not done: 1 egg check")
        await rack.press("s")
        await rack.sees("Not done on this walk: 1 egg check (Wattle). Sign all the same?")
        await rack.press("enter")
        assert not rack.of(HandedOver)
        await rack.press("s", "y")
        assert [sheet.by for sheet in rack.of(HandedOver)] == ["AK"]


async def test_signing_when_every_check_was_made_or_left_out_is_one_enter(grave: Path) -> None:
    async with opened(grave, "2026-04-05 07:00", keeper="AK") as rack:
        await rack.press("a", "y", "w", "e", "enter", "h")
        await rack.sees("ready to sign")
        await rack.press("s", "enter")
        assert len(rack.of(HandedOver)) == 1


async def test_what_the_last_keeper_wanted_read_stands_above_the_matters(grave: Path) -> None:
    async with opened(grave, "2026-03-29 07:00", keeper="AK") as rack:
        await rack.press("a", "y", "h", "s", "n")
        await rack.write("ring the vet at nine")
        await rack.press("enter", "y")
        await rack.sees("for you, from AK, 29 Mar 07:00: ring the vet at nine")
        assert isinstance(rack.app.screen, RoundScreen)
        text = rack.app.screen.board.text
        assert text.index("ring the vet at nine") < text.index("open matters")


async def test_a_y_meant_for_signing_signs_and_never_becomes_a_note(grave: Path) -> None:
    async with opened(grave, "2026-03-21 07:00", keeper="AK") as rack:
        await rack.press("a", "y", "h", "s")
        await rack.sees("AK hands over.", "No notes for the next.", "y 1 sign", "n 2 notes for the next first")
        await rack.press("n", "enter")
        await rack.sees("No notes for the next.")
        assert not rack.of(HandedOver)
        await rack.press("y")
        assert [(one.by, one.note) for one in rack.of(HandedOver)] == [("AK", "")]


async def test_notes_for_the_next_are_added_on_a_line_of_their_own_and_said(grave: Path) -> None:
    async with opened(grave, "2026-03-21 07:00", keeper="AK") as rack:
        await rack.press("a", "y", "h", "n", *"ring the vet", "enter")
        await rack.sees("Noted for the next: “ring the vet”. s signs.")
        await rack.press("n", *"weigh Wattle", "enter")
        await rack.press("n", "enter", "n", *"no", "escape")
        await rack.sees("Not written: “ring the vet ⏎ weigh Wattle ⏎ no”.")
        await rack.press("s")
        await rack.sees("With your notes: “ring the vet ⏎ weigh Wattle”.")
        await rack.press("n")
        await rack.sees("Not signed. Your notes stay; s signs.")
        assert not rack.of(HandedOver)
        await rack.press("s", "y")
        assert [one.note for one in rack.of(HandedOver)] == ["ring the vet\nweigh Wattle"]


async def test_a_backspace_on_a_vet_page_says_that_what_it_drops_are_the_initials(grave: Path) -> None:
    async with opened(grave, "2026-03-21 07:00") as rack:
        await rack.press("enter", *"MM", "enter")
        await rack.sees("I have read it")
        await rack.press("backspace")
        await rack.sees("Backspace again drops what you wrote: the initials “MM”.")


async def test_a_vet_matter_is_taken_on_once_its_last_line_was_on_the_screen(grave: Path) -> None:
    async with opened(grave, "2026-03-21 07:00", offered="EM", size=(40, 10)) as rack:
        await rack.press("enter", "enter")
        await rack.sees("read on")
        await rack.sees_not("I have read it")
        for _ in range(20):
            await rack.press("y")
            if "I have read it" in await rack.text():
                break
            assert not rack.of(TakenOver)
        # What is to be done, and what was seen, stood on the screen; the sources may lie below.
        assert not rack.of(TakenOver)
        await rack.press("y")
        assert len(rack.of(TakenOver)) == 1


async def test_in_the_list_one_for_the_vet_that_is_cut_is_opened_before_it_is_taken_on(grave: Path) -> None:
    async with opened(grave, "2026-03-21 07:00", offered="EM", size=(30, 10)) as rack:
        await rack.press("enter", "enter")
        while not rack.of(TakenOver):
            await rack.press("y")
        before = len(rack.of(Acknowledged))
        await rack.press("a", "y")
        await rack.sees("It goes on.")
        assert len(rack.of(Acknowledged)) == before
        for _ in range(20):
            await rack.press("y")
            if len(rack.of(Acknowledged)) > before:
                break
        await rack.sees("Read, and taken on.")
