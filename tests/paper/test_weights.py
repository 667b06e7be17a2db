"""Weights on paper, in JSON and at the stop: one a day, and every reading of it to be read."""

from __future__ import annotations

import pytest

from rounds.paper.drawing import weight_line
from rounds.paper.referral import referral
from rounds.paper.referral_text import referral_text
from rounds.paper.subject import subject_page, subject_text
from rounds.paper.values import Values, resident_values
from rounds.paper.words import resident
from rounds.rules.default import default_house
from rounds.rules.settings import Settings
from rounds.standing.animal import animal
from rounds.standing.fold import fold
from rounds.standing.weighings import weighings
from tests.notation import VIENNA, at, logbook, standing

HOUSE = default_house(VIENNA)
SETTINGS = Settings(name="Shed", zone=VIENNA, house=HOUSE)
ROOM = """
2026-03-01 AK
08:00 b3 enclosure_set_up name=B3
08:01 wattle arrived name=Wattle sex=F place=b3
08:02 wattle weighed grams=400
2026-03-08
08:00 wattle weighed grams=404
2026-03-15 EM
08:00 wattle weighed grams=834
08:01 wattle weighed grams=384
08:02 wattle weighed grams=386
"""
NOW = at("2026-03-15 09:00")


def page(text: str) -> Values:
    return subject_page(standing(text), SETTINGS, NOW, "animal/wattle", logbook(text), ())


def test_json_has_each_reading_and_the_weighings_that_count() -> None:
    found = page(ROOM)
    assert [one["grams"] for one in found["weights"]] == [400, 404, 834, 384, 386]
    assert [(one["grams"], one["readings"]) for one in found["weighings"]] == [
        (400, [400]),
        (404, [404]),
        (386, [834, 384, 386]),
    ]
    assert found["weighings"][-1]["id"] == found["weights"][-1]["id"]


def test_the_table_of_weights_changes_from_weighing_to_weighing_and_shows_what_was_read() -> None:
    text = subject_text(page(ROOM), NOW)
    assert "WEIGHTS: 3" in text
    rows = [" ".join(line.split()) for line in text.splitlines() if " %" in line and " g" in line]
    assert rows[:2] == ["8 Mar 08:00 404 g +1.0 % AK", "08:02 386 g -4.5 % EM median of 3: 834, 384, 386 g"]


def test_of_forty_readings_the_last_four_are_printed() -> None:
    more = "".join(f"08:10:{second:02} wattle weighed grams=386\n" for second in range(37))
    assert "median of 40: … 386, 386, 386, 386 g" in subject_text(page(ROOM + more), NOW)


def test_forty_readings_leave_the_weights_before_them_on_the_vets_page() -> None:
    text = ROOM + "".join(f"08:10:{second:02} wattle weighed grams=386\n" for second in range(37))
    known = standing(text)
    found = referral(known, SETTINGS, NOW, "animal/wattle", logbook(text), ())
    assert [one["grams"] for one in found["weighings"]] == [400, 404, 386]
    assert len(found["weights"]) == 42
    assert "400 g" in referral_text(found, NOW)


def test_refusals_noted_over_and_over_leave_the_meals_before_them_on_the_vets_page() -> None:
    text = ROOM + "2026-03-10\n08:00 wattle ate how=well\n2026-03-14\n"
    text += "".join(f"08:10:{second:02} wattle ate how=refused\n" for second in range(20))
    found = referral(standing(text), SETTINGS, NOW, "animal/wattle", logbook(text), ())
    assert [one["says"] for one in found["eaten"]] == ["ate well", "refused insects"]


def test_the_stop_shows_the_weight_that_counts_and_says_so_on_the_day() -> None:
    known = standing(ROOM)
    row = resident(known, HOUSE, "animal/wattle", NOW)
    assert (row.weight, row.state) == ("386 g", "resting, weight: median of 3 readings")
    assert resident_values(known, HOUSE, "animal/wattle", NOW)["grams"] == 386
    assert resident(known, HOUSE, "animal/wattle", at("2026-03-16 09:00")).state == "resting"


def test_the_stop_shows_what_was_read_last_and_what_counts_beside_it() -> None:
    known = standing(ROOM + "08:05 wattle weighed grams=390\n")
    row = resident(known, HOUSE, "animal/wattle", NOW)
    assert (row.weight, row.state) == ("390 g", "resting, 388 g counts, median of 4 readings")
    assert resident_values(known, HOUSE, "animal/wattle", NOW)["grams"] == 390


def test_off_food_on_her_line_is_two_refusals_and_not_two_notes_of_one() -> None:
    text = ROOM + "2026-03-14\n08:00 wattle ate how=refused\n{} wattle ate how=refused\n"
    assert "off food" not in resident(standing(text.format("08:01")), HOUSE, "animal/wattle", NOW).state
    assert "off food since" in resident(standing(text.format("18:00")), HOUSE, "animal/wattle", NOW).state


@pytest.mark.parametrize("readings", [1, 40])
def test_the_line_of_weights_is_drawn_of_weighings(readings: int) -> None:
    text = ROOM.partition("2026-03-15")[0] + "2026-03-15 EM\n"
    text += "".join(f"08:10:{second:02} wattle weighed grams=386\n" for second in range(readings))
    one = animal(fold(logbook(text)), "animal/wattle")
    assert weight_line(weighings(one, HOUSE.weighing_rule), 60) == weight_line(
        weighings(animal(standing(ROOM), "animal/wattle"), HOUSE.weighing_rule), 60
    )


def test_the_days_below_the_drawing_are_written_as_days_with_the_year_of_an_earlier_one() -> None:
    page = "2025-12-01 AK\n08:01 wattle arrived name=Wattle sex=F\n08:02 wattle weighed grams=400\n"
    later = "".join(f"2026-03-0{day}\n08:00 wattle weighed grams={400 + day}\n" for day in (3, 4, 5))
    one = animal(standing(page + later), "animal/wattle")
    *blocks, days = weight_line(weighings(one, HOUSE.weighing_rule), 60)
    assert days.split() == ["1", "Dec", "2025", "5", "Mar"]
    assert len(days) == len(blocks[0])


def test_the_sheet_for_the_vet_gives_a_weights_whole_time_of_last_year() -> None:
    page = "2025-12-18 AK\n08:01 wattle arrived name=Wattle sex=F\n10:40 wattle weighed grams=400\n"
    later = "2026-03-05\n08:00 wattle weighed grams=404\n"
    found = referral(standing(page + later), SETTINGS, NOW, "animal/wattle", logbook(page + later), ())
    assert "18 Dec 2025 10:40" in referral_text(found, NOW)
