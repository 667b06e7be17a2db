"""Food and mist: by age, by tub, by day of the room."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime, time
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from rounds.due.age import age_class
from rounds.due.lines import lines_at
from rounds.logbook.entries import Fed, Misted
from rounds.logbook.times import months_after, months_between
from rounds.rules.changes import changed_rules
from rounds.rules.default import default_house, default_rules
from rounds.rules.house import House
from tests.due.stops import HOUSE, due, house_with, lines
from tests.notation import VIENNA, at, standing

FOOD = ("feed insects", "feed greens")
WATTLE = """
2026-03-01 AK
08:00 b3 enclosure_set_up name=B3
08:00 wattle arrived name=Wattle sex=F hatched=2023-05-01 place=b3
"""
TWO = WATTLE + "08:00 karri arrived name=Karri sex=M hatched=2023-05-01 place=b3\n"
MIXED = WATTLE + "08:00 pup arrived name=Pup hatched=2025-09-01 place=b3\n"
HATCHLINGS = """
2026-03-01 AK
08:00 b3 enclosure_set_up name=B3
08:00 group/young arrived name=Young count=12 hatched=2026-03-01 place=b3
"""


def test_adults_have_insects_every_second_day() -> None:
    fed = WATTLE + "2026-04-10\n08:00 enclosure/b3 fed dusted=calcium"
    assert due(fed, "2026-04-11 08:00", "feed insects") == []
    assert due(fed, "2026-04-12 08:00", "feed insects") == ["feed insects b3"]
    assert due(fed, "2026-04-14 08:00", "feed insects") == ["feed insects b3 late 2"]


@pytest.mark.parametrize(
    ("hatched", "next_day"), [("2025-09-01", 11), ("2024-04-01", 12), ("2020-04-01", 14), ("", 12)]
)
def test_the_interval_follows_age_and_an_age_not_known_counts_as_an_adults(hatched: str, next_day: int) -> None:
    born = f"hatched={hatched}" if hatched else ""
    page = f"""
    2026-03-01 AK
    08:00 b3 enclosure_set_up name=B3
    08:00 wattle arrived name=Wattle {born} place=b3
    2026-04-10
    18:00 wattle fed
    """
    assert due(page, f"2026-04-{next_day - 1} 23:00", "feed insects") == []
    assert due(page, f"2026-04-{next_day} 08:00", "feed insects") == ["feed insects b3"]


def test_what_was_never_noted_is_due_today_and_not_late() -> None:
    assert due(WATTLE, "2026-04-12 08:00", *FOOD) == ["feed insects b3", "feed greens b3"]


def test_greens_and_insects_are_counted_apart() -> None:
    fed = WATTLE + "2026-04-12\n08:00 enclosure/b3 fed food=greens"
    assert due(fed, "2026-04-12 09:00", *FOOD) == ["feed insects b3"]
    assert due(fed, "2026-04-14 09:00", *FOOD) == ["feed insects b3", "feed greens b3"]


def test_other_food_is_neither() -> None:
    fed = WATTLE + "2026-04-12\n08:00 enclosure/b3 fed food=other what=egg"
    assert due(fed, "2026-04-12 09:00", *FOOD) == ["feed insects b3", "feed greens b3"]


def test_food_given_to_the_tub_counts_for_each_who_lived_in_it() -> None:
    fed = TWO + "2026-04-12\n08:00 enclosure/b3 fed\n08:01 enclosure/b3 fed food=greens"
    assert due(fed, "2026-04-12 12:00", *FOOD) == []


def test_when_all_in_the_tub_are_due_alike_one_line_stands_for_the_tub_and_writes_one_entry() -> None:
    (line,) = [line for line in lines(TWO, "2026-04-12 08:00") if line.care == "feed insects"]
    assert (line.about, line.place, line.plain) == ("enclosure/b3", "enclosure/b3", True)
    (draft,) = line.drafts
    assert draft.entry("1", at("2026-04-12 08:00"), "AK") == Fed(
        id="1", at=at("2026-04-12 08:00"), by="AK", about="enclosure/b3", food="insects", dusted="calcium"
    )


def test_what_was_given_to_one_alone_counts_for_that_one_alone() -> None:
    fed = TWO + "2026-04-12\n08:00 karri fed dusted=calcium"
    assert due(fed, "2026-04-12 08:30", "feed insects") == ["feed insects wattle"]


def test_a_tub_of_mixed_ages_is_fed_by_animal_on_the_days_on_which_not_all_are_due() -> None:
    fed = MIXED + "2026-04-10\n08:00 enclosure/b3 fed dusted=calcium"
    assert due(fed, "2026-04-11 08:00", "feed insects") == ["feed insects pup"]
    fed += "\n2026-04-11\n08:00 pup fed"
    # Both are due, but only the young one is to be dusted again (every 2nd day; adults weekly).
    assert due(fed, "2026-04-12 08:00", "feed insects") == ["feed insects pup", "feed insects wattle"]
    says = [line.says for line in lines(fed, "2026-04-12 08:00") if line.care == "feed insects"]
    assert says == ["insects, dusted with calcium", "insects"]


def test_the_line_of_the_tub_is_as_late_as_the_latest_in_it() -> None:
    fed = TWO + "2026-04-08\n08:00 karri fed dusted=calcium\n2026-04-09\n08:00 wattle fed dusted=calcium"
    assert due(fed, "2026-04-12 08:00", "feed insects") == ["feed insects b3 late 2"]


def test_a_group_shares_a_tub_like_anybody_else() -> None:
    page = HATCHLINGS + "08:00 dam arrived name=Dam hatched=2023-01-01 place=b3\n2026-03-02\n08:00 enclosure/b3 fed"
    assert due(page, "2026-03-02 18:00", "feed insects", part="evening") == ["feed insects young"]
    assert due(page, "2026-03-03 08:00", "feed insects") == ["feed insects young"]
    assert due(page, "2026-03-04 08:00", "feed insects") == ["feed insects b3 late 1"]


def test_an_animal_that_is_moved_takes_its_feeding_along() -> None:
    page = (
        WATTLE
        + """08:00 c1 enclosure_set_up name=C1
        2026-04-11 AK
        08:00 enclosure/b3 fed
        09:00 wattle moved to=c1
        18:00 enclosure/c1 fed food=greens
        2026-04-12
        08:00 enclosure/b3 fed food=greens
        """
    )
    assert due(page, "2026-04-12 09:00", *FOOD, stop="c1") == []
    assert due(page, "2026-04-13 09:00", *FOOD, stop="c1") == ["feed insects c1", "feed greens c1"]


def test_food_in_the_tub_before_it_came_counts_not() -> None:
    page = """
    2026-04-11 AK
    08:00 b3 enclosure_set_up name=B3
    08:00 enclosure/b3 fed
    09:00 wattle arrived name=Wattle place=b3
    """
    assert due(page, "2026-04-11 10:00", "feed insects") == ["feed insects b3"]


def test_brumating_animals_are_not_fed_and_the_others_are_fed_one_by_one() -> None:
    page = TWO + "2026-04-01\n08:00 karri brumation_began"
    assert due(page, "2026-04-12 08:00", *FOOD) == ["feed insects wattle", "feed greens wattle"]
    assert due(page + "\n08:01 wattle brumation_began", "2026-04-12 08:00", *FOOD) == []
    awake = page + "\n2026-04-10\n08:00 karri brumation_ended"
    assert due(awake, "2026-04-12 08:00", *FOOD) == ["feed insects b3", "feed greens b3"]


def test_nothing_is_due_for_animals_that_are_gone() -> None:
    assert due(WATTLE + "2026-04-01\n08:00 wattle died", "2026-04-12 08:00") == []
    assert due(WATTLE + "2026-04-01\n08:00 wattle left how=sold", "2026-04-12 08:00") == []


def test_one_that_is_back_from_a_loan_is_fed_again() -> None:
    page = WATTLE + "2026-04-01\n08:00 wattle left how=lent\n2026-04-12\n08:00 wattle arrived name=Wattle place=b3"
    assert due(page, "2026-04-12 09:00", "feed insects") == ["feed insects b3"]


def test_an_entry_taken_back_feeds_nobody() -> None:
    page = WATTLE + "2026-04-12\n08:00 enclosure/b3 fed\n08:01 enclosure/b3 corrected replaces=20260412-00002"
    assert due(page, "2026-04-12 09:00", "feed insects") == ["feed insects b3"]


def test_entries_dated_after_now_count_not() -> None:
    page = WATTLE + "2026-04-13\n08:00 enclosure/b3 fed"
    assert due(page, "2026-04-12 09:00", "feed insects") == ["feed insects b3"]


def test_what_is_written_late_counts_by_when_it_was_done() -> None:
    page = WATTLE + "2026-04-10\n18:00 enclosure/b3 fed written=2026-04-12T07:00:00+02:00"
    assert due(page, "2026-04-12 08:00", "feed insects") == ["feed insects b3"]


# Hatchlings: twice a day, dust, mist, greens from week 6.


def test_hatchlings_have_a_meal_and_mist_on_each_walk() -> None:
    page = HATCHLINGS + "2026-03-02\n08:00 enclosure/b3 fed\n08:00 enclosure/b3 misted"
    assert due(page, "2026-03-02 08:05", "feed insects", "mist") == []
    assert due(page, "2026-03-02 18:00", "feed insects", "mist", part="evening") == ["feed insects b3", "mist b3"]
    fed = page + "\n18:01 enclosure/b3 fed\n18:01 enclosure/b3 misted"
    assert due(fed, "2026-03-02 18:05", "feed insects", "mist", part="evening") == []
    assert due(fed, "2026-03-03 08:00", "feed insects", "mist") == ["feed insects b3", "mist b3"]
    assert due(fed, "2026-03-04 08:00", "feed insects", "mist") == ["feed insects b3 late 1", "mist b3 late 1"]


def test_the_second_meal_is_said_to_be_one() -> None:
    page = HATCHLINGS + "2026-03-02\n08:00 enclosure/b3 fed dusted=calcium"
    (line,) = [line for line in lines(page, "2026-03-02 18:00", part="evening") if line.care == "feed insects"]
    assert line.says == "insects, second meal"


def test_one_meal_noted_at_two_desks_is_one_meal() -> None:
    page = HATCHLINGS + "2026-03-02\n08:00 enclosure/b3 fed\n08:20 enclosure/b3 fed"
    assert due(page, "2026-03-02 18:00", "feed insects", part="evening") == ["feed insects b3"]


def test_an_evening_walk_begun_early_feeds_once() -> None:
    page = HATCHLINGS + "2026-03-02\n08:00 enclosure/b3 fed\n13:30 enclosure/b3 fed"
    assert due(page, "2026-03-02 13:40", "feed insects", part="evening") == []
    assert due(page, "2026-03-02 20:00", "feed insects", part="evening") == []
    alone = HATCHLINGS + "2026-03-02\n13:30 enclosure/b3 fed"
    assert due(alone, "2026-03-02 13:40", "feed insects", part="evening") == []


def test_no_second_meal_follows_hard_on_a_late_first_one() -> None:
    page = HATCHLINGS + "2026-03-02\n12:00 enclosure/b3 fed"
    assert due(page, "2026-03-02 14:30", "feed insects", part="evening") == []
    assert due(page, "2026-03-02 15:00", "feed insects", part="evening") == ["feed insects b3"]


def test_a_meal_missed_in_the_morning_is_not_made_up_for_by_two_in_the_evening() -> None:
    page = HATCHLINGS + "2026-03-02\n18:00 enclosure/b3 fed"
    assert due(page, "2026-03-02 18:01", "feed insects", part="evening") == []
    assert due(page, "2026-03-02 22:30", "feed insects", part="evening") == []


def test_a_house_may_feed_hatchlings_once_and_not_mist_them() -> None:
    house = house_with(feeding={"insects_hatchling_a_day": 1, "mist_hatchling_a_day": 0})
    page = HATCHLINGS + "2026-03-02\n08:00 enclosure/b3 fed"
    assert due(page, "2026-03-02 18:00", "feed insects", "mist", part="evening", house=house) == []


def test_mist_ends_with_the_second_month_and_adults_have_none() -> None:
    assert due(HATCHLINGS, "2026-04-30 08:00", "mist") == ["mist b3"]
    assert due(HATCHLINGS, "2026-05-01 08:00", "mist") == []
    assert due(WATTLE, "2026-04-30 08:00", "mist") == []


def test_mist_is_one_key_for_the_enclosure() -> None:
    (line,) = [line for line in lines(HATCHLINGS, "2026-03-02 08:00") if line.care == "mist"]
    assert [(draft.kind, draft.about) for draft in line.drafts] == [(Misted, "enclosure/b3")]


def test_greens_begin_at_six_weeks() -> None:
    assert due(HATCHLINGS, "2026-04-11 08:00", "feed greens") == []
    assert due(HATCHLINGS, "2026-04-12 08:00", "feed greens") == ["feed greens b3"]


def test_calcium_is_said_in_the_line_when_it_is_due() -> None:
    page = (
        WATTLE
        + "2026-04-06\n08:00 enclosure/b3 fed dusted=calcium\n"
        + "2026-04-08\n08:00 enclosure/b3 fed\n2026-04-10\n08:00 enclosure/b3 fed"
    )
    assert [line.says for line in lines(page, "2026-04-12 08:00") if line.care == "feed insects"] == ["insects"]
    assert [line.says for line in lines(page, "2026-04-13 08:00") if line.care == "feed insects"] == [
        "insects, dusted with calcium"
    ]


def test_vitamins_are_not_calcium() -> None:
    page = WATTLE + "2026-04-10\n08:00 enclosure/b3 fed dusted=vitamins"
    assert "dusted" in lines(page, "2026-04-12 08:00")[0].says
    page = WATTLE + '2026-04-10\n08:00 enclosure/b3 fed dusted="Calcium and D3"'
    assert "dusted" not in lines(page, "2026-04-12 08:00")[0].says


def test_hatchlings_and_gravid_females_have_calcium_every_second_day() -> None:
    # House rules: no number found for either; hypocalcaemia in 64 % of those tested, Schmidt-Ukaj et al. 2017.
    def dusted(page: str, now: str) -> list[bool]:
        return ["dusted" in line.says for line in lines(page, now) if line.care == "feed insects"]

    young = HATCHLINGS + "2026-03-10\n08:00 enclosure/b3 fed dusted=calcium\n"
    assert dusted(young, "2026-03-11 08:00") == [False]
    assert dusted(young, "2026-03-12 08:00") == [True]
    fed = WATTLE + "2026-04-10\n08:00 enclosure/b3 fed dusted=calcium\n"
    assert dusted(fed, "2026-04-12 08:00") == [False]
    gravid = fed + "2026-04-11\n08:00 wattle felt_for_eggs found=eggs\n"
    assert dusted(gravid, "2026-04-12 08:00") == [True]
    (line,) = [line for line in lines(gravid, "2026-04-12 08:00") if line.care == "feed insects"]
    assert "feeding.calcium_gravid_days" in line.house


def test_one_back_from_a_loan_is_not_late_for_the_time_away() -> None:
    page = WATTLE + "09:00 enclosure/b3 fed\n2026-03-02\n08:00 wattle left how=lent\n"
    page += "2026-04-12\n08:00 wattle arrived name=Wattle place=b3\n"
    assert due(page, "2026-04-12 09:00", "feed insects") == ["feed insects b3"]
    assert due(page, "2026-04-13 09:00", "feed insects") == ["feed insects b3 late 1"]


# Lights off.


def lights(clock: str, **areas: Mapping[str, Any]) -> House:
    rules = changed_rules(default_rules(), dict(areas))
    return House(rules, VIENNA, lights_off=time.fromisoformat(clock))


def test_no_insects_within_two_hours_of_lights_off() -> None:
    house, fed = lights("20:00"), WATTLE + "2026-04-09\n08:00 enclosure/b3 fed dusted=calcium"

    def told(now: str) -> list[tuple[str, bool, int, int]]:
        found = lines(fed, now, part="evening", house=house)
        return [
            (one.says, one.plain, len(one.drafts), one.late_days) for one in found if one.care == "feed insects"
        ]

    assert told("2026-04-12 17:59") == [("insects", True, 1, 1)]
    assert told("2026-04-12 18:00") == [("too late today: lights off at 20:00", False, 0, 0)]
    assert told("2026-04-13 00:30") == [("too late today: lights off at 20:00", False, 0, 0)]
    (line,) = [one for one in lines(fed, "2026-04-12 19:00", house=house) if one.care == "feed insects"]
    assert (line.due, line.house) == (date(2026, 4, 13), ("feeding.before_lights_off_hours",))
    assert "feed greens b3" in due(fed, "2026-04-12 19:00", part="evening", house=house)


def test_a_second_meal_too_late_is_let_go_and_a_house_may_set_other_hours() -> None:
    page = HATCHLINGS + "2026-03-02\n08:00 enclosure/b3 fed"
    assert due(page, "2026-03-02 17:00", "feed insects", part="evening", house=lights("20:00")) != []
    assert due(page, "2026-03-02 18:30", "feed insects", part="evening", house=lights("20:00")) == []
    one_hour = lights("20:00", feeding={"before_lights_off_hours": 1})
    assert due(page, "2026-03-02 18:30", "feed insects", part="evening", house=one_hour) == ["feed insects b3"]


# Days: clocks, months, midnight.


@pytest.mark.parametrize(
    ("change", "before", "after"), [(29, "2026-03-27", "2026-03-29"), (25, "2026-10-23", "2026-10-25")]
)
def test_the_nights_in_which_the_clocks_change_are_days_like_any_other(
    change: int, before: str, after: str
) -> None:
    page = WATTLE + f"{before}\n23:30 enclosure/b3 fed"
    assert due(page, f"{after[:8]}{change - 1} 23:00", "feed insects") == []
    assert due(page, f"{after} 03:30", "feed insects") == ["feed insects b3"]
    assert due(page, f"{after} 23:59", "feed insects") == ["feed insects b3"]


def test_late_is_counted_in_days_of_the_room_not_in_hours() -> None:
    page = WATTLE + "2026-04-10\n23:00 enclosure/b3 fed"
    assert due(page, "2026-04-12 06:00", "feed insects") == ["feed insects b3"]
    assert due(page, "2026-04-13 23:59", "feed insects") == ["feed insects b3 late 1"]


def test_an_entry_written_in_another_zone_counts_on_the_rooms_day() -> None:
    # 20:00 on the 10th in Los Angeles is 05:00 on the 11th in the room.
    moment = datetime.fromisoformat("2026-04-10T20:00:00-07:00")
    meal = Fed(id="x", at=moment, by="AK", about="enclosure/b3")
    after = standing(WATTLE).after(meal)
    for day, found in (("2026-04-12", False), ("2026-04-13", True)):
        cares = [line.care for line in lines_at(after, HOUSE, at(f"{day} 08:00"), "enclosure/b3")]
        assert ("feed insects" in cares) is found


def test_what_is_done_shortly_after_midnight_belongs_to_the_walk_before() -> None:
    pup = WATTLE.replace("2023-05-01", "2025-09-01") + "2026-04-11\n00:20 enclosure/b3 fed"
    assert due(pup, "2026-04-11 08:00", "feed insects") == ["feed insects b3"]
    calendar = house_with(walk={"day_turns_hour": 0})
    assert due(pup, "2026-04-11 08:00", "feed insects", house=calendar) == []


def test_a_day_in_a_room_far_east_turns_by_its_own_clock() -> None:
    adelaide = default_house(ZoneInfo("Australia/Adelaide"))
    page = WATTLE + "2026-04-10\n23:00 enclosure/b3 fed"
    assert due(page, "2026-04-12 04:00", "feed insects", house=adelaide) == ["feed insects b3"]


@pytest.mark.parametrize(
    ("hatched", "day", "age"),
    [
        ("2026-01-31", "2026-03-30", "hatchling"),
        ("2026-01-31", "2026-03-31", "young"),
        ("2025-12-31", "2026-02-27", "hatchling"),
        ("2025-12-31", "2026-02-28", "young"),
        ("2025-04-12", "2026-04-11", "young"),
        ("2025-04-12", "2026-04-12", "adult"),
        ("2024-02-29", "2025-02-27", "young"),
        ("2024-02-29", "2025-02-28", "adult"),
        ("2024-02-29", "2028-02-28", "adult"),
        ("2024-02-29", "2028-02-29", "older"),
        ("2027-01-01", "2026-04-12", "hatchling"),
    ],
)
def test_age_classes_change_on_birthdays_leap_days_among_them(hatched: str, day: str, age: str) -> None:
    assert age_class(date.fromisoformat(hatched), HOUSE, date.fromisoformat(day)) == age


def test_the_31st_of_january_and_a_month_is_the_last_of_february() -> None:
    assert months_after(date(2026, 1, 31), 1) == date(2026, 2, 28)
    assert months_after(date(2024, 1, 31), 1) == date(2024, 2, 29)
    assert months_after(date(2025, 12, 15), 1) == date(2026, 1, 15)
    assert months_after(date(2026, 11, 30), 14) == date(2028, 1, 30)
    assert months_between(date(2026, 1, 31), date(2026, 2, 28)) == 1


def test_young_go_over_to_the_adults_interval_on_their_birthday() -> None:
    page = WATTLE.replace("2023-05-01", "2025-04-12") + "2026-04-10\n08:00 enclosure/b3 fed"
    assert due(page, "2026-04-11 08:00", "feed insects") == ["feed insects b3"]
    page += "\n2026-04-11\n08:00 enclosure/b3 fed"
    assert due(page, "2026-04-12 08:00", "feed insects") == []


# Left out.


def test_a_line_left_out_stays_with_its_reason_and_is_late_the_next_day() -> None:
    page = WATTLE + "2026-04-10\n08:00 enclosure/b3 fed dusted=calcium"
    left = page + '\n2026-04-12\n08:00 enclosure/b3 left_out care="feed insects" reason="no insects"'
    assert due(left, "2026-04-12 18:00", "feed insects") == ["feed insects b3 left out: no insects"]
    assert due(left, "2026-04-13 08:00", "feed insects") == ["feed insects b3 late 1"]
    twice = left + '\n2026-04-13\n08:00 enclosure/b3 left_out care="feed insects" reason="again none"'
    assert due(twice, "2026-04-13 08:00", "feed insects") == ["feed insects b3 late 1 left out: again none"]
    assert due(twice, "2026-04-14 08:00", "feed insects") == ["feed insects b3 late 2"]


def test_of_two_reasons_on_one_day_the_newer_is_shown() -> None:
    page = (
        WATTLE
        + """
    2026-04-12
    08:00 enclosure/b3 left_out care="feed insects" reason="no insects"
    09:00 enclosure/b3 left_out care="feed insects" reason="they come at noon"
    """
    )
    assert due(page, "2026-04-12 10:00", "feed insects") == ["feed insects b3 left out: they come at noon"]


def test_one_animal_left_out_parts_the_line_of_the_tub() -> None:
    page = TWO + '2026-04-12\n08:00 karri left_out care="feed insects" reason="fasting for the vet"'
    assert due(page, "2026-04-12 09:00", "feed insects") == [
        "feed insects karri left out: fasting for the vet",
        "feed insects wattle",
    ]


def test_a_line_left_out_and_then_done_is_done() -> None:
    page = (
        WATTLE
        + '2026-04-12\n08:00 enclosure/b3 left_out care="feed insects" reason="later"\n12:00 enclosure/b3 fed'
    )
    assert due(page, "2026-04-12 13:00", "feed insects") == []


def test_a_meal_left_out_in_the_morning_says_nothing_about_the_evenings() -> None:
    page = HATCHLINGS + '2026-03-02\n08:00 enclosure/b3 left_out care="feed insects" reason="no insects"'
    assert due(page, "2026-03-02 09:00", "feed insects") == ["feed insects b3 left out: no insects"]
    assert due(page, "2026-03-02 18:00", "feed insects", part="evening") == ["feed insects b3"]
    page += '\n18:00 enclosure/b3 left_out care="feed insects" reason="still none"'
    assert due(page, "2026-03-02 21:30", "feed insects", part="evening") == ["feed insects b3 left out: still none"]


def test_a_meal_left_out_on_an_evening_walk_begun_early_stays_left_out() -> None:
    page = (
        HATCHLINGS
        + '2026-03-02\n08:00 enclosure/b3 fed\n13:30 enclosure/b3 left_out care="feed insects" reason="none left"'
    )
    assert due(page, "2026-03-02 13:40", "feed insects", part="evening") == ["feed insects b3 left out: none left"]


def test_greens_left_out_are_shown_too() -> None:
    page = WATTLE + '2026-04-12\n08:00 enclosure/b3 left_out care="feed greens" reason="wilted"'
    assert due(page, "2026-04-12 09:00", "feed greens") == ["feed greens b3 left out: wilted"]


def test_another_care_left_out_changes_nothing() -> None:
    page = WATTLE + '2026-04-12\n08:00 enclosure/b3 left_out care="feed greens" reason="none"'
    assert due(page, "2026-04-12 09:00", "feed insects") == ["feed insects b3"]


# No place.


def test_an_animal_without_a_place_is_fed_all_the_same() -> None:
    page = "2026-04-01 AK\n08:00 stray arrived name=Stray"
    assert due(page, "2026-04-12 08:00", stop=None) == [
        "feed insects stray",
        "feed greens stray",
        "dish stray",
        "weigh stray",
    ]


def test_an_animal_in_a_tub_that_was_taken_down_is_not_forgotten() -> None:
    page = WATTLE + "2026-04-01\n08:00 b3 enclosure_taken_down"
    assert "feed insects wattle" in due(page, "2026-04-12 08:00", stop=None)
    assert due(WATTLE, "2026-04-12 08:00", stop=None) == []


def test_food_follows_a_recurrence_rule_where_the_colony_sets_one() -> None:
    house = house_with(feeding={"insects_adult_days": "FREQ=WEEKLY;BYDAY=MO,TH"})
    # 6 and 9 April 2026 are a Monday and a Thursday.
    page = WATTLE + "2026-04-06\n08:00 enclosure/b3 fed"
    assert due(page, "2026-04-08 08:00", "feed insects", house=house) == []
    assert due(page, "2026-04-09 08:00", "feed insects", house=house) == ["feed insects b3"]
    assert due(page, "2026-04-11 08:00", "feed insects", house=house) == ["feed insects b3 late 2"]
    # Fed on the Saturday as well: the next is Monday's.
    page += "\n2026-04-11\n08:00 enclosure/b3 fed"
    assert due(page, "2026-04-12 08:00", "feed insects", house=house) == []
    assert due(page, "2026-04-13 08:00", "feed insects", house=house) == ["feed insects b3"]


def test_care_by_a_recurrence_rule_never_noted_waits_for_its_first_day() -> None:
    house = house_with(feeding={"insects_adult_days": "FREQ=WEEKLY;BYDAY=MO,TH"})
    # She arrived on a Sunday.
    assert due(WATTLE, "2026-03-01 09:00", "feed insects", house=house) == []
    assert due(WATTLE, "2026-03-02 09:00", "feed insects", house=house) == ["feed insects b3"]
    assert due(WATTLE, "2026-03-03 09:00", "feed insects", house=house) == ["feed insects b3 late 1"]
