"""The walk: its order, what is done, where it goes on."""

from __future__ import annotations

import pytest

from rounds.due.round import part_of
from rounds.due.walk import Walk
from rounds.logbook.words import WalkPart
from rounds.rules.default import default_rules
from rounds.rules.settings import Settings, settings_of
from tests.notation import at, standing

ROOM = """
2026-03-01 AK
08:00 a1 enclosure_set_up name=A1
08:00 a2 enclosure_set_up name=A2
08:00 a10 enclosure_set_up name=A10
08:00 b1 enclosure_set_up name=B1
"""


def colony(more: str = "") -> Settings:
    return settings_of(f'name = "Shed"\ntime_zone = "Europe/Vienna"\n{more}', default_rules())


def walk(page: str, now: str, part: WalkPart | None = None, settings: Settings | None = None) -> Walk:
    return Walk(standing(page), settings or colony(), at(now), part)


def walked(
    page: str, *stops: str, day: str = "2026-04-12", part: str = "morning", by: str = "AK", hour: str = "08"
) -> str:
    lines = [f"{hour}:{minute:02d} {stop} stop_walked walk={part} day={day}" for minute, stop in enumerate(stops)]
    return f"{page}\n{day} {by}\n" + "\n".join(lines)


def test_stops_follow_the_walking_order_of_the_house_then_the_names() -> None:
    assert walk(ROOM, "2026-04-12 08:00").order == ("enclosure/a1", "enclosure/a2", "enclosure/a10", "enclosure/b1")
    own = colony('walking_order = ["B1", "a2"]')
    assert walk(ROOM, "2026-04-12 08:00", settings=own).order[:2] == ("enclosure/b1", "enclosure/a2")


def test_who_is_in_quarantine_is_walked_last_unless_the_colony_says_otherwise() -> None:
    new = ROOM + "2026-04-01\n08:00 nell arrived name=Nell place=a2 quarantine=true\n"
    last = ("enclosure/a1", "enclosure/a10", "enclosure/b1", "enclosure/a2")
    assert walk(new, "2026-04-12 08:00").order == last
    assert walk(new, "2026-03-31 08:00").order[-1] == "enclosure/b1"
    named = colony('walking_order = ["A1", "A2"]')
    assert walk(new, "2026-04-12 08:00", settings=named).order[:2] == ("enclosure/a1", "enclosure/a2")
    moved = new + "2026-04-10\n08:00 nell moved to=a1\n"
    assert walk(moved, "2026-04-12 08:00").order[-1] == "enclosure/a1"
    ended = new + "2026-04-10\n08:00 nell quarantine_ended\n"
    assert walk(ended, "2026-04-12 08:00").order[1] == "enclosure/a2"
    died = new + "2026-04-10\n08:00 nell died\n"
    assert walk(died, "2026-04-12 08:00").order[1] == "enclosure/a2"


def test_an_enclosure_taken_down_is_no_stop() -> None:
    page = ROOM + "2026-04-01\n08:00 a2 enclosure_taken_down"
    assert "enclosure/a2" not in walk(page, "2026-04-12 08:00").order


def test_progress_counts_the_stops_done_today_on_this_walk() -> None:
    page = walked(walked(ROOM, "a1", "a2", day="2026-04-11"), "a1")
    assert walk(page, "2026-04-12 08:30").progress == (1, 4)
    assert walk(page, "2026-04-12 18:00").progress == (0, 4)
    assert walk(page, "2026-04-11 09:00").progress == (2, 4)


def test_it_goes_on_behind_the_last_stop_walked() -> None:
    assert walk(ROOM, "2026-04-12 08:00").resume == "enclosure/a1"
    assert walk(walked(ROOM, "a1", "a2"), "2026-04-12 08:30").resume == "enclosure/a10"
    # Begun in the middle: to the end of the room, then round to what was passed over.
    assert walk(walked(ROOM, "a10"), "2026-04-12 08:30").resume == "enclosure/b1"
    assert walk(walked(ROOM, "a10", "b1"), "2026-04-12 08:30").resume == "enclosure/a1"


def test_a_finished_walk_goes_on_nowhere() -> None:
    done = walk(walked(ROOM, "a1", "a2", "a10", "b1"), "2026-04-12 09:00")
    assert (done.resume, done.finished, done.next("enclosure/a1")) == (None, True, None)


def test_each_keeper_goes_on_behind_the_own_last_stop() -> None:
    page = walked(walked(ROOM, "b1", by="EM"), "a1", by="AK", hour="09")
    found = walk(page, "2026-04-12 09:30")
    assert found.resume_for("EM") == "enclosure/a2"
    page = walked(walked(ROOM, "a10", by="EM"), "a1", by="AK", hour="09")
    found = walk(page, "2026-04-12 09:30")
    assert found.resume_for("EM") == "enclosure/b1"
    assert found.resume_for("AK") == "enclosure/a2"
    assert found.resume_for("ZZ") == found.resume == "enclosure/a2"


def test_a_stop_done_by_two_keepers_shows_both() -> None:
    page = walked(walked(ROOM, "a1", by="AK"), "a1", by="EM", hour="09")
    assert [entry.by for entry in walk(page, "2026-04-12 09:30").done["enclosure/a1"]] == ["AK", "EM"]
    assert walk(page, "2026-04-12 09:30").progress == (1, 4)


def test_a_stop_taken_back_is_open_again() -> None:
    page = walked(ROOM, "a1") + "\n09:00 enclosure/a1 corrected replaces=20260412-00004"
    assert walk(page, "2026-04-12 09:30").resume == "enclosure/a1"


def test_the_next_stop_is_the_next_not_done_and_never_the_same() -> None:
    found = walk(walked(ROOM, "a2"), "2026-04-12 08:30")
    assert found.next("enclosure/a1") == "enclosure/a10"
    assert found.next("enclosure/b1") == "enclosure/a1"
    assert found.next("enclosure/elsewhere") == "enclosure/a1"
    last = walk(walked(ROOM, "a1", "a2", "a10"), "2026-04-12 08:30")
    assert last.next("enclosure/b1") is None


def test_neighbours_and_numbers_of_stops() -> None:
    found = walk(ROOM, "2026-04-12 08:00")
    assert (found.before("enclosure/a1"), found.before("enclosure/a2")) == (None, "enclosure/a1")
    assert (found.after("enclosure/b1"), found.after("enclosure/a1")) == (None, "enclosure/a2")
    assert (found.after("enclosure/x"), found.before("enclosure/x")) == (None, None)
    assert (found.number("enclosure/a10"), found.number("enclosure/x")) == (3, None)


def test_an_empty_room_has_no_walk() -> None:
    found = walk("", "2026-04-12 08:00")
    assert (found.order, found.resume, found.progress, found.finished) == ((), None, (0, 0), True)


@pytest.mark.parametrize(
    ("now", "part"),
    [
        ("2026-04-12 03:00", "morning"),
        ("2026-04-12 13:59", "morning"),
        ("2026-04-12 14:00", "evening"),
        ("2026-04-12 23:59", "evening"),
        ("2026-04-13 00:30", "evening"),
        ("2026-04-13 02:59", "evening"),
        ("2026-04-13 03:00", "morning"),
    ],
)
def test_the_clock_parts_morning_from_evening(now: str, part: str) -> None:
    assert part_of(at(now), colony().house) == part


def test_a_colony_may_part_the_day_at_another_hour() -> None:
    assert part_of(at("2026-04-12 16:00"), colony('evening_from = "16:30"').house) == "morning"
    assert part_of(at("2026-04-12 16:30"), colony('evening_from = "16:30"').house) == "evening"


def test_a_walk_begun_before_midnight_is_finished_as_the_same_walk() -> None:
    page = walked(ROOM, "a1", part="evening", hour="23")
    after = walk(page, "2026-04-13 00:30")
    assert (after.day.isoformat(), after.part, after.resume) == ("2026-04-12", "evening", "enclosure/a2")


def test_a_walk_left_unfinished_is_not_taken_up_the_next_morning() -> None:
    page = walked(ROOM, "a1", "a2", part="evening", hour="18")
    assert walk(page, "2026-04-13 08:00").resume == "enclosure/a1"
    assert walk(page, "2026-04-13 08:00", part="evening").progress == (0, 4)


def test_the_night_in_which_the_clocks_change_does_not_part_a_walk() -> None:
    # 03:00 does not exist on 29 March 2026: at 02:59 + 1 minute the clock shows 04:00 … the day has turned.
    page = walked(ROOM, "a1", day="2026-03-28", part="evening", hour="23")
    assert walk(page, "2026-03-29 01:59").resume == "enclosure/a2"
    assert walk(page, "2026-03-29 03:30").part == "morning"


def test_animals_without_a_place_and_in_places_that_do_not_stand_are_named() -> None:
    page = (
        ROOM
        + """
    2026-04-01 AK
    08:00 stray arrived name=Stray
    08:00 wattle arrived name=Wattle place=a2
    08:00 karri arrived name=Karri place=a1
    08:00 gone arrived name=Gone
    08:00 group/young arrived name=Young count=3 place=nowhere
    08:01 gone died
    08:02 a2 enclosure_taken_down
    """
    )
    assert walk(page, "2026-04-12 08:00").no_place == ("animal/stray", "animal/wattle", "group/young")


def test_stops_walked_later_than_now_count_not() -> None:
    page = walked(ROOM, "a1", hour="11")
    assert walk(page, "2026-04-12 09:00").progress == (0, 4)
