"""Times in forms: said back below the field while they are typed, refused when the field is left."""

from __future__ import annotations

from pathlib import Path

import pytest

from rounds.logbook.entries import Arrived, EnclosureSetUp, MatingSeen, Noted, PutOff, Referred
from tests.screens.rack import colony, opened

ROOM = """
    2026-03-01 AK
    08:00  b1      enclosure_set_up  name=B1
    08:10  wattle  arrived  name=Wattle sex=F place=b1 hatched=2023-03-01
    08:20  wattle  weighed  grams=450
"""
NOTE = ("i", "s", "n", "x", "enter")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return colony(tmp_path / "colony", ROOM)


@pytest.mark.parametrize(
    ("written", "said", "at"),
    [
        ("yesterday 18", "= yesterday, Tue 24 Nov 18:00", "2026-11-24T18:00:00+01:00"),
        ("3 nov", "= Tue 3 Nov 12:00 (no hour was given: read as noon)", "2026-11-03T12:00:00+01:00"),
        ("12.10. 8:00", "= Mon 12 Oct 08:00", "2026-10-12T08:00:00+02:00"),
        ("-2d", "= Mon 23 Nov 07:00", "2026-11-23T07:00:00+01:00"),
        ("6:30", "= today, Wed 25 Nov 06:30", "2026-11-25T06:30:00+01:00"),
        ("25 oct 2:30", "02:30 came twice", "2026-10-25T02:30:00+02:00"),
    ],
)
async def test_a_time_is_said_back_while_it_is_typed_and_once_the_field_is_left(
    written: str, said: str, at: str, folder: Path
) -> None:
    async with opened(folder, "2026-11-25 07:00", keeper="AK") as rack:
        await rack.press(*NOTE)
        await rack.write(written)
        await rack.sees(f"when {written}_", said)
        await rack.press("enter")
        await rack.sees("> Enter here writes it", said)
        assert not rack.written
        await rack.press("f2")
        (noted,) = rack.of(Noted)
        assert noted.at.isoformat() == at
        assert noted.written is not None


@pytest.mark.parametrize(
    ("written", "told"),
    [
        ("tomorrow 8", "that has not come yet"),
        ("19:00", "“19:00” is today, Wed 25 Nov 19:00: that has not come yet."),
        ("in the evening", "“in the evening” is no time; write 7:30, yesterday 18"),
        ("31.2. 8", "there is no such day"),
    ],
)
@pytest.mark.parametrize("leaves", ["enter", "down", "up", "tab", "f2"])
async def test_what_cannot_be_read_is_refused_at_its_field_and_stays_there_to_be_mended(
    leaves: str, written: str, told: str, folder: Path
) -> None:
    async with opened(folder, "2026-11-25 07:00", keeper="AK") as rack:
        await rack.press(*NOTE)
        await rack.write(written)
        await rack.sees_not("=")
        await rack.press(leaves)
        await rack.sees(f"> when {written}_", told)
        assert not rack.written
        await rack.press(*["backspace"] * len(written), *"6", "f2")
        assert len(rack.of(Noted)) == 1


async def test_a_colony_that_writes_the_month_first_is_read_so_in_forms(folder: Path) -> None:
    settings = folder / "colony.toml"
    settings.write_text(settings.read_text().replace('"day-month"', '"month-day"'))
    async with opened(folder, "2026-11-25 07:00", keeper="AK") as rack:
        await rack.press(*NOTE, *"3/4 8:00")
        await rack.sees("= Wed 4 Mar 08:00")


async def test_days_that_lie_ahead_and_days_that_lie_behind(folder: Path) -> None:
    async with opened(folder, "2026-11-25 07:00", keeper="AK") as rack:
        await rack.press("i", "v", "r", "enter", "enter", *"3 feb")
        await rack.sees("= Wed 3 Feb 2027")
        await rack.press("f2")
        assert [str(one.appointment) for one in rack.of(Referred)] == ["2027-02-03"]
        await rack.press("f2", "a", *"Sedge", "enter", *"b1", "enter", "f", "enter", *"may 2024")
        await rack.sees("= Wed 1 May 2024 (about: no day was given)")
        await rack.press("f2")
        (sedge,) = rack.of(Arrived)
        assert (str(sedge.hatched), sedge.hatched_about) == ("2024-05-01", True)


async def test_an_enclosure_and_an_animal_are_set_up_with_the_day_since_which_they_have_been_here(
    folder: Path,
) -> None:
    async with opened(folder, "2026-11-25 07:00", keeper="AK") as rack:
        await rack.press("f2", "e", *"B7", *["enter"] * 6, *"1.9.2025")
        await rack.sees("here since 1.9.2025_", "= Mon 1 Sep 2025 12:00")
        await rack.press("f2", "enter", *"B8", "f2", "n")
        assert [(one.name, f"{one.at:%Y-%m-%d}") for one in rack.of(EnclosureSetUp)] == [
            ("B7", "2025-09-01"),
            ("B8", "2025-09-01"),
        ]
        await rack.press("f2", "a", *"Karri", "enter", *"b7", "enter", "m", "up", "up", "up", "tab", "tab")
        # Over the fields that may stay empty, to the last one.
        while "> here since" not in rack.board_text:
            await rack.press("tab")
        await rack.press(*"yesterday")
        await rack.sees("here since yesterday_")
        await rack.press("f2", "n")
        (karri,) = rack.of(Arrived)
        assert (karri.place, f"{karri.at:%Y-%m-%d %H:%M}") == ("enclosure/b7", "2026-11-24 12:00")
        await rack.press("j", *"wattle", "enter", "i", "b", "m", *"kar", "enter", *"10 mar 18", "f2")
        assert [one.at.isoformat() for one in rack.of(MatingSeen)] == ["2026-03-10T18:00:00+01:00"]


async def test_a_day_to_put_off_until_is_said_back_too(tmp_path: Path) -> None:
    page = ROOM + '    08:30  wattle  behaviour_seen  behaviour="nest digging"\n'
    async with opened(colony(tmp_path / "colony", page), "2026-03-02 07:00", keeper="AK") as rack:
        await rack.press("a", "o", "d", *"yesterday", "enter")
        await rack.sees("give a day that is still to come")
        await rack.press("ctrl+u", *"+1w")
        await rack.sees("= Mon 9 Mar 2026")
        await rack.press("enter", "3", "enter")
        assert [str(one.until) for one in rack.of(PutOff)] == ["2026-03-09"]
