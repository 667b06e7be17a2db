"""Who eats on which day: heads by age class, as they were and as they will be."""

from __future__ import annotations

from datetime import date

import msgspec
import pytest

from rounds.due.heads import heads
from rounds.standing.animal import Animal, animal
from rounds.standing.fold import Standing
from tests.due.stops import HOUSE
from tests.notation import at, logbook, standing

ADULT = """
2026-01-01 AK
08:00 b3 enclosure_set_up name=B3
08:00 wattle arrived name=Wattle sex=F hatched=2023-05-01 place=b3
"""
YOUNG = """
2026-04-01 AK
08:00 b3 enclosure_set_up name=B3
08:00 group/hatch arrived name=Hatch count=12 hatched=2026-03-20 place=b3
"""


def on(page: str, day: str, now: str = "2026-04-12 09:00", use: str = "insects") -> dict[str, float]:
    """How many of each class eat on a day; classes of which there are none are left away."""
    found = heads(standing(page), HOUSE, at(now))
    place = date.fromisoformat(day).toordinal() - found.first
    return {age: counts[place] for age, counts in found.of(use).items() if counts[place]}


@pytest.mark.parametrize(
    ("day", "eats"),
    [("2025-12-31", {}), ("2026-01-01", {"adult": 1}), ("2026-04-12", {"adult": 1}), ("2027-05-01", {"older": 1})],
)
def test_an_animal_eats_from_the_day_it_arrived_in_the_class_it_is_in_by_then(
    day: str, eats: dict[str, float]
) -> None:
    assert on(ADULT, day) == eats


def test_one_whose_age_is_not_known_eats_as_an_adult() -> None:
    assert on(ADULT.replace(" hatched=2023-05-01", ""), "2026-04-12") == {"adult": 1}


def test_who_brumated_did_not_eat_and_did_before_and_after() -> None:
    slept = ADULT + "2026-02-01\n08:00 wattle brumation_began\n2026-03-01\n08:00 wattle brumation_ended\n"
    days = ("2026-01-31", "2026-02-01", "2026-02-28", "2026-03-01")
    assert [bool(on(slept, day)) for day in days] == [True, False, False, True]
    asleep = ADULT + "2026-04-01\n08:00 wattle brumation_began\n"
    assert on(asleep, "2026-06-01") == {}


def test_who_left_or_died_ate_until_then_and_one_who_came_back_eats_again() -> None:
    gone = ADULT + "2026-03-01\n08:00 wattle left how=lent\n"
    assert (on(gone, "2026-02-28"), on(gone, "2026-03-01")) == ({"adult": 1}, {})
    back = gone + "2026-04-01\n08:00 wattle arrived name=Wattle sex=F hatched=2023-05-01 place=b3\n"
    assert on(back, "2026-04-12") == {"adult": 1}


def test_a_group_is_as_many_as_there_were_on_the_day() -> None:
    fewer = (
        YOUNG + "2026-04-05\n08:00 group/hatch died count=2\n2026-04-08\n08:00 group/hatch left how=sold count=4\n"
    )
    days = ("2026-04-01", "2026-04-05", "2026-04-07", "2026-04-08", "2026-04-12")
    assert [on(fewer, day).get("hatchling", 0) for day in days] == [12, 10, 10, 6, 6]
    sold_out = fewer + "2026-04-10\n08:00 group/hatch left how=sold\n"
    assert [on(sold_out, day).get("hatchling", 0) for day in ("2026-04-09", "2026-04-10", "2026-05-01")] == [
        6,
        0,
        0,
    ]


def test_young_split_off_or_singled_out_eat_where_they_are_and_once() -> None:
    split = (
        YOUNG
        + "2026-04-05\n08:00 group/large arrived name=Large count=0 hatched=2026-03-20 place=b3\n"
        + "09:00 group/hatch split_off into=group/large count=5\n"
        + "2026-04-08\n08:00 mallee arrived name=Mallee hatched=2026-03-20 place=b3\n"
        + "09:00 group/hatch singled_out animal=mallee\n"
    )
    assert [on(split, day) for day in ("2026-04-04", "2026-04-06", "2026-04-12")] == [{"hatchling": 12}] * 3


def test_a_group_merged_into_another_eats_there_from_that_day_on() -> None:
    two = YOUNG + "2026-04-02\n08:00 group/late arrived name=Late count=3 hatched=2026-03-20 place=b3\n"
    merged = two + "2026-04-08\n08:00 group/late merged into=group/hatch count=3\n"
    assert [on(merged, day)["hatchling"] for day in ("2026-04-01", "2026-04-03", "2026-04-08", "2026-04-12")] == [
        12,
        15,
        15,
        15,
    ]


def test_greens_begin_with_the_weeks_of_the_house() -> None:
    # Six weeks after 20 March.
    assert on(YOUNG, "2026-04-30", use="greens") == {}
    assert on(YOUNG, "2026-05-01", use="greens") == {"hatchling": 12}


def test_at_the_ends_of_the_calendar_no_one_is_counted_where_there_is_no_day() -> None:
    for now in ("0001-01-03 12:00", "9999-12-30 12:00"):
        found = heads(standing(ADULT), HOUSE, at(now))
        assert len(found.of("insects")["adult"]) == found.end - found.first + 1


def test_after_a_save_only_the_page_written_on_is_looked_up_again(monkeypatch: pytest.MonkeyPatch) -> None:
    page = ADULT + "".join(f"08:0{n} a{n} arrived name=A{n} hatched=2023-05-01\n" for n in range(1, 9))
    looked: list[str] = []

    def looked_at(stood: Standing, who: str) -> Animal:
        looked.append(who)
        return animal(stood, who)

    monkeypatch.setattr("rounds.due.heads.animal", looked_at)
    before, now = standing(page), at("2026-04-12 09:00")
    assert heads(before, HOUSE, now).awake == 9
    looked.clear()
    (asleep,) = logbook("2026-04-11 AK\n09:00 wattle brumation_began\n")
    assert heads(before.after(msgspec.structs.replace(asleep, id="later")), HOUSE, now).awake == 8
    assert looked == ["animal/wattle"]
