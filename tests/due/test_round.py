"""Days on which care falls due, on both sides of each boundary."""

from __future__ import annotations

from datetime import date

import pytest

from rounds.due.round import Round
from rounds.logbook.entries import Fed
from rounds.logbook.words import WalkPart
from tests.due.stops import HOUSE, due, house_with
from tests.notation import at, logbook, standing

ROOM = """
2026-03-30 AK
08:00 enclosure/b3 enclosure_set_up name=B3
08:01 group/young arrived name=Young count=5 hatched=2026-03-20 place=enclosure/b3
"""


def walk(now: str, part: WalkPart = "morning", page: str = ROOM) -> Round:
    return Round(standing(page), HOUSE, at(now), part)


def turn(fed: str, now: str, opened: str | None = None, part: WalkPart = "morning") -> str | None:
    """The day on which a meal twice a day fell due."""
    done = [entry for entry in logbook(ROOM + fed) if isinstance(entry, Fed)]
    day = date.fromisoformat(opened) if opened else None
    found = walk(now, part).turn_due(None, "feeding.insects_hatchling_a_day", done, day)
    return f"{found}" if found else None


FED = "2026-04-01\n08:00 enclosure/b3 fed\n"


def test_a_daily_turn_falls_due_the_day_after_or_on_the_day_it_is_owed_from() -> None:
    assert turn(FED, "2026-04-01 12:00") is None
    assert turn(FED, "2026-04-04 08:00") == "2026-04-02"
    assert turn(FED, "2026-04-04 08:00", opened="2026-03-30") == "2026-04-02"
    assert turn(FED, "2026-04-04 08:00", opened="2026-04-03") == "2026-04-03"
    assert turn("", "2026-04-04 08:00") == "2026-04-04", "never noted it is due today"


def test_the_second_turn_is_due_in_the_evening_until_it_was_done() -> None:
    assert turn(FED, "2026-04-01 18:00", part="evening") == "2026-04-01"
    assert turn(FED, "2026-04-01 18:00", part="morning") is None
    in_the_evening = FED + f"{HOUSE.evening_from:%H:%M} enclosure/b3 fed\n"
    assert turn(in_the_evening, "2026-04-01 19:00", part="evening") is None
    gap = HOUSE.number("walk.turn_gap_hours")
    twice = FED + f"{8 + gap:02.0f}:00 enclosure/b3 fed\n"
    assert turn(twice, "2026-04-01 19:00", part="evening") is None, "two meals a gap apart"
    helped = FED + f"{7 + gap:02.0f}:59 enclosure/b3 fed\n"
    assert turn(helped, "2026-04-01 19:00", part="evening") == "2026-04-01", "one meal in two handfuls"


def test_food_of_the_tub_counts_for_those_of_a_group_that_are_left() -> None:
    page = ROOM + "2026-04-01\n07:00 group/young died count=1\n2026-04-02\n08:00 enclosure/b3 fed\n"
    page += "08:01 enclosure/b3 fed food=greens\n"
    assert due(page, "2026-04-02 08:30", "feed insects", "feed greens", stop="b3") == []
    assert due(page, "2026-04-03 08:30", "feed insects", stop="b3") != []


@pytest.mark.parametrize(("now", "late"), [("2026-04-02", 0), ("2026-04-03", 1), ("2026-04-01", 0)])
def test_care_is_late_from_the_day_after_it_fell_due(now: str, late: int) -> None:
    assert walk(f"{now} 08:00").late(date(2026, 4, 2)) == late


def test_a_day_beyond_the_calendar_is_its_last() -> None:
    assert walk("2026-04-01").later(date(9999, 12, 30), 1) == date.max
    assert walk("2026-04-01").later(date(9999, 12, 30), 2) == date.max
    assert walk("2026-04-01").later(date(2026, 4, 1), 2) == date(2026, 4, 3)


def test_a_meal_begun_before_the_evening_and_ended_in_it_is_the_evenings() -> None:
    evening = HOUSE.evening_from.hour
    both = FED + f"{evening - 1}:30 enclosure/b3 fed\n{evening}:00 enclosure/b3 fed\n"
    alone = f"2026-04-01\n{evening - 1}:30 enclosure/b3 fed\n{evening}:00 enclosure/b3 fed\n"
    for fed in (both, alone):
        assert turn(fed, "2026-04-01 19:00", part="evening") is None


YOUNG = """
2026-03-01 AK
08:00 enclosure/b3 enclosure_set_up name=B3
08:01 wattle arrived name=Wattle sex=F hatched=2025-10-01 place=enclosure/b3
"""


def test_one_too_young_to_be_gravid_is_looked_at_once_she_was_seen_mating() -> None:
    assert due(YOUNG, "2026-03-30 08:00", "egg check", stop="b3") == []
    mated = YOUNG + "2026-03-12\n10:00 wattle mating_seen\n"
    assert due(mated, "2026-03-30 08:00", "egg check", stop="b3") != []


SHELF = """
2026-03-01 AK
08:00 enclosure/b3 enclosure_set_up name=S1 what="incubator shelf"
08:00 sedge arrived name=Sedge sex=F
2026-04-01
08:00 sedge eggs_laid clutch=clutch/c count=20 complete=true
09:00 clutch/c eggs_boxed count=20 place=enclosure/b3
2026-04-02
"""


@pytest.mark.parametrize(
    ("read", "counts"),
    [("air_c=29", True), ("humidity=80", False), ("air_c=29 basking_c=29 cool_c=29 night_low_c=28", True)],
)
def test_a_shelf_is_read_by_any_temperature_and_not_by_its_humidity(read: str, counts: bool) -> None:
    page = SHELF + f"08:00 enclosure/b3 climate_read {read}\n"
    assert (due(page, "2026-04-02 09:00", "climate", stop="b3") == []) is counts


def test_a_gain_is_looked_at_by_her_last_weight_and_not_by_the_one_before() -> None:
    page = YOUNG.replace("2025-10-01", "2023-03-01") + "2026-03-05\n08:00 wattle weighed grams=400\n2026-03-12\n"
    page += "10:00 wattle mating_seen\n2026-03-18\n08:00 wattle weighed grams={}\n2026-03-20\n"
    page += "08:00 wattle weighed grams={}\n"
    for earlier, last, asked in ((400, 440, True), (440, 400, False), (440, 439.7, False)):
        found = due(page.format(earlier, last), "2026-03-24 08:00", "egg check", stop="b3")
        assert bool(found) is asked


def test_care_fixed_to_the_calendar_falls_due_from_the_day_it_is_owed() -> None:
    house = house_with(cleaning={"full_days": "FREQ=WEEKLY;BYDAY=MO"})
    monday, tuesday = date(2026, 3, 30), date(2026, 3, 31)
    around = Round(standing(ROOM), house, at("2026-04-01 08:00"), "morning")
    assert around.fell_due("cleaning.full_days", None, monday) == monday
    assert around.fell_due("cleaning.full_days", None, tuesday) is None
    assert around.fell_due("cleaning.full_days", monday, None) is None
    assert around.fell_due("cleaning.full_days", date(2026, 3, 29), None) == monday
    assert around.fell_due("cleaning.full_days", date(2026, 3, 1), monday) == monday
