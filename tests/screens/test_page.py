"""A subject's page: all of its entries, and the correction of one."""

from __future__ import annotations

from pathlib import Path

import pytest

from rounds.logbook.entries import Arrived, BehaviourSeen, Corrected, Noted, Weighed
from tests.screens.rack import colony, opened

ROOM = """
    2026-03-01 AK
    08:00  b1      enclosure_set_up  name=B1
    08:00  b2      enclosure_set_up  name=B2
    08:10  wattle  arrived  name=Wattle sex=F place=b1 hatched=2023-03-01
    08:10  karri   arrived  name=Karri sex=M place=b2 hatched=2022-03-01
    08:20  wattle  weighed  grams=450
    2026-03-08 AK
    08:20  wattle  weighed  grams=455 note="after food"
    08:30  wattle  behaviour_seen  behaviour="arm-waving"
    09:00  wattle  mating_seen  sire=karri
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return colony(tmp_path / "colony", ROOM)


async def test_her_page_says_when_she_is_due_and_what_speaks_for_eggs_in_one_row_each(folder: Path) -> None:
    async with opened(folder, "2026-03-26 07:00", keeper="EM") as rack:
        await rack.press("p")
        await rack.sees(
            "mated 8 Mar, due 25 Mar to 16 Apr",
            "forecast due since 25 Mar, likely by 2 Apr, waiting 18 days; from the house",
            "gravid? may be gravid; proves nothing: no gain can be told",
            "season: 1 Mar arrived · 8 Mar mating seen with Karri",
        )


async def test_on_a_tall_screen_the_rows_of_her_page_are_whole(folder: Path) -> None:
    async with opened(folder, "2026-03-26 07:00", keeper="EM", size=(120, 40)) as rack:
        await rack.press("p")
        await rack.sees("from the house's window: no interval of the colony yet")


async def test_a_page_tells_the_season_the_weights_and_every_entry(folder: Path) -> None:
    async with opened(folder, "2026-03-09 07:00", keeper="EM") as rack:
        await rack.press("p")
        await rack.sees(
            "Wattle animal lives in B1",
            "455 g",
            "season: 1 Mar arrived · 8 Mar mating seen with Karri",
            "5 entries, newest first",
            "> yesterday 09:00 AK mating seen with Karri",
            "weighed 455 g: after food",
        )


async def test_a_weight_is_corrected_by_the_right_one_at_the_time_of_the_wrong_one(folder: Path) -> None:
    async with opened(folder, "2026-03-09 07:00", keeper="EM") as rack:
        await rack.press("p", "down", "down", "x", "c")
        await rack.sees("As it should be", "455")
        await rack.press(*"435", "f2", "3", "enter")
        (correction,), (right,) = rack.of(Corrected), rack.of(Weighed)
        assert (right.grams, right.at.isoformat(), right.by) == (435, "2026-03-08T08:20:00+01:00", "EM")
        assert right.note == "after food"
        assert (correction.instead, correction.because) == (right.id, "misread")
        await rack.sees("weighed 435 g", "(corrected 07:00 EM) weighed 455 g", "Corrected; both stay readable")


async def test_an_arrival_with_entries_after_it_is_put_right_and_not_taken_back(folder: Path) -> None:
    async with opened(folder, "2026-03-09 07:00", keeper="EM") as rack:
        await rack.press("p", *["down"] * 4, "x", "t")
        await rack.sees("Wattle has other entries: correct the arrival instead, or write that she left.")
        assert not rack.written
        await rack.press("x", "c", "f2", "enter")
        (correction,), (right,) = rack.of(Corrected), rack.of(Arrived)
        assert (correction.instead, right.about) == (right.id, "animal/wattle")


async def test_an_entry_is_taken_back_with_a_reason_and_only_once(folder: Path) -> None:
    async with opened(folder, "2026-03-09 07:00", keeper="EM") as rack:
        await rack.press("p", "down", "x", "t", *"it was Sedge", "enter")
        (correction,) = rack.of(Corrected)
        assert (correction.instead, correction.because) == ("", "it was Sedge")
        await rack.sees("> yesterday 08:30 AK (corrected 07:00 EM) arm-waving")
        await rack.press("x")
        await rack.sees("This entry was corrected already")
        await rack.press("up", "up", "x")
        await rack.sees("A correction is not corrected")
        assert len(rack.of(Corrected)) == 1


async def test_a_behaviour_written_for_the_wrong_animal_is_put_right(folder: Path) -> None:
    async with opened(folder, "2026-03-09 07:00", keeper="EM") as rack:
        await rack.press("p", "down", "x", "c")
        await rack.sees("of whom Wattle", "arm-waving")
        await rack.press("up", *"karri", "f2", "2", "enter")
        (seen,), (correction,) = rack.of(BehaviourSeen), rack.of(Corrected)
        assert (seen.about, seen.behaviour) == ("animal/karri", "arm-waving")
        assert seen.at.isoformat() == "2026-03-08T08:30:00+01:00"
        assert (correction.about, correction.instead) == ("animal/wattle", seen.id)


async def test_a_day_of_hatching_written_wrong_at_the_start_is_put_right(folder: Path) -> None:
    async with opened(folder, "2026-03-09 07:00", keeper="EM") as rack:
        await rack.press("p", "down", "down", "down", "down", "x", "c")
        await rack.sees("Wattle", "2023-03-01")
        await rack.press("down", "down", "down", *"2022-11", "f2", "enter")
        (right,) = rack.of(Arrived)
        assert (right.name, right.place, right.sex, str(right.hatched), right.hatched_about) == (
            "Wattle",
            "enclosure/b1",
            "F",
            "2022-11-01",
            True,
        )
        await rack.press("backspace")
        await rack.sees("> F Wattle 3 y 4 m")


async def test_what_was_seen_earlier_is_written_late_with_both_times(folder: Path) -> None:
    async with opened(folder, "2026-03-09 07:00", keeper="EM") as rack:
        await rack.press("p", "i", "s", "n", *"gaped in the evening", "enter", *"yesterday 18:00", "f2")
        (noted,) = rack.of(Noted)
        assert noted.at.isoformat() == "2026-03-08T18:00:00+01:00"
        assert noted.written is not None
        await rack.sees("yesterday 18:00 EM note: gaped in the evening, written 07:00")


async def test_a_page_of_an_enclosure_shows_who_lives_there_and_leads_on(folder: Path) -> None:
    async with opened(folder, "2026-03-09 07:00", keeper="EM") as rack:
        await rack.press("p", "e")
        await rack.sees("B1 enclosure", "Wattle", "tub set up")
        await rack.press("g")
        await rack.sees("stop 1 of 2")
        assert not rack.written


async def test_a_correction_begins_at_the_figure_and_leaves_whom_it_is_about(folder: Path) -> None:
    async with opened(folder, "2026-03-09 07:00", keeper="EM") as rack:
        await rack.press("p", "down", "down", "x", "c")
        await rack.sees("of whom Wattle", "> weight 455")
        await rack.press(*"440", "f2", "enter")
        assert [(one.about, one.grams) for one in rack.of(Weighed)] == [("animal/wattle", 440)]


async def test_a_small_page_says_what_needs_attention_first_and_cuts_no_drawing_in_two(tmp_path: Path) -> None:
    weights = "".join(
        f"    2026-02-{day:02}\n    08:20  wattle  weighed  grams={400 + 5 * day}\n" for day in range(2, 28, 3)
    )
    room = (
        ROOM.replace("2026-03-01 AK", "2026-02-01 AK")
        + "    2026-05-12\n    08:00 wattle egg_check_done present='eggs felt'\n"
    )
    first, _, later = room.partition("    2026-03-08")
    folder = colony(tmp_path / "colony", first + weights + "    2026-03-08" + later)
    async with opened(folder, "2026-05-12 09:00", keeper="EM") as rack:
        await rack.press("p")
        rows = (await rack.text()).split("\n")
        assert rows[2].split()[:2] == ["VET", "Wattle"]
        assert not any("█" in row for row in rows)
        await rack.pilot.resize_terminal(80, 40)
        await rack.sees("█")


async def test_the_page_of_a_clutch_is_headed_as_the_clutch_is_called(tmp_path: Path) -> None:
    laid = "    2026-04-01\n    08:00 wattle eggs_laid clutch=wattle-2026-1 count=20 complete=true\n"
    async with opened(colony(tmp_path / "colony", ROOM + laid), "2026-04-02 09:00", keeper="EM") as rack:
        rack.app.open_subject("clutch/wattle-2026-1")
        await rack.sees("Wattle 1 clutch")


async def test_a_page_leads_from_a_clutch_to_its_box_and_on_to_the_shelf(tmp_path: Path) -> None:
    eggs = """
    2026-03-20
    08:00  s1  enclosure_set_up  name=S1 what="incubator shelf"
    08:00  k1  enclosure_set_up  name=K1 what="egg box"
    08:30  wattle  eggs_laid  clutch=wattle-2026-1 count=20 complete=true
    09:00  k1  egg_box_made_up  medium=vermiculite shelf=s1
    09:30  clutch/wattle-2026-1  eggs_boxed  count=20 place=k1
"""
    async with opened(colony(tmp_path / "colony", ROOM + eggs), "2026-03-21 09:00", keeper="EM") as rack:
        rack.app.open_subject("clutch/wattle-2026-1")
        await rack.sees("Wattle 1 clutch lies in K1", "e its enclosure")
        await rack.sees_not("b * behaviour")
        await rack.press("e")
        await rack.sees("K1 enclosure stands on S1", "0-9 weight")
        await rack.press("e")
        await rack.sees("S1 enclosure")
        await rack.sees_not("its enclosure", "weight")


async def test_the_keeper_of_an_entry_of_last_year_stands_apart_from_what_was_seen(tmp_path: Path) -> None:
    folder = colony(tmp_path / "colony", ROOM.replace("2026-03-08", "2026-03-18"))
    async with opened(folder, "2027-02-01 07:00", keeper="EM") as rack:
        await rack.press("p")
        await rack.sees("18 Mar 2026 08:20 AK weighed 455 g")
