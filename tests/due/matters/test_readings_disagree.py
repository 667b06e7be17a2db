"""Readings of one weighing that do not agree, low ones above all: more of them never make less alarm."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rounds.due.line import DueLine
from rounds.standing.animal import animal
from rounds.standing.trend import trend
from tests.due.matters.found import HOUSE, ROOM, all_found, found, the
from tests.due.stops import lines
from tests.notation import at, standing

#: Sedge weighs 400 g, then comes what is asked about.
OWN = ROOM + "".join(
    f"2026-03-{day:02}\n08:00 sedge weighed grams={grams}\n"
    for day, grams in ((2, 400), (9, 401), (16, 399), (23, 400))
)
LOW = OWN + "2026-03-27\n08:00 sedge weighed grams=352\n"


def weighed(day: str, *readings: tuple[str, float], who: str = "sedge") -> str:
    return f"{day}\n" + "".join(f"{clock} {who} weighed grams={grams}\n" for clock, grams in readings)


def due(page: str, now: str) -> DueLine | None:
    """Her weighing on the walk of that moment."""
    return next((line for line in lines(page, now, "b4") if line.care == "weigh"), None)


def words(page: str, now: str) -> str:
    return trend(animal(standing(page), "animal/sedge"), HOUSE.weight_limits, at(now)).words


# A second weighing


def test_weighed_again_the_next_morning_a_loss_of_a_fifth_is_the_vets() -> None:
    page = OWN + weighed("2026-03-29", ("19:00", 320)) + weighed("2026-03-30", ("06:30", 319))
    assert found(page, "2026-03-30 07:00", "weight loss") == ["vet weight loss sedge"]


def test_a_low_reading_between_two_low_weighings_hides_neither() -> None:
    page = OWN + weighed("2026-03-29", ("20:00", 320)) + weighed("2026-03-30", ("06:00", 320), ("08:30", 320))
    assert found(page, "2026-03-30 09:00", "weight loss") == ["vet weight loss sedge"]
    assert found(page, "2026-04-12", "weight loss") == ["vet weight loss sedge"]


def test_low_three_times_on_one_day_it_is_weighed_again_on_the_next_walk_day() -> None:
    page = OWN + weighed("2026-03-29", ("08:00", 320), ("08:05", 321), ("18:00", 318))
    assert found(page, "2026-03-29 19:00", "weight loss") == []
    assert due(page, "2026-03-29 19:00") is None
    line = due(page, "2026-03-30 07:00")
    assert line is not None
    assert (line.says, str(line.due)) == ("weigh again, 20 % less", "2026-03-30")
    again = page + weighed("2026-03-30", ("07:00", 319))
    assert found(again, "2026-03-30 08:00", "weight loss") == ["vet weight loss sedge"]
    assert due(again, "2026-03-31 07:00") is None, "the matter says it now"


def test_a_minute_before_midnight_and_after_it_is_one_weighing() -> None:
    page = OWN + weighed("2026-03-29", ("23:50", 320)) + weighed("2026-03-30", ("00:10", 320))
    assert found(page, "2026-03-30 01:00", "weight loss") == []


# Readings that disagree


def test_a_doubted_reading_takes_no_loss_away_and_it_is_weighed_again_the_next_day() -> None:
    page = LOW + weighed("2026-04-03", ("08:00", 350))
    assert found(page, "2026-04-03 09:00", "weight loss") == ["today weight loss sedge"]
    doubted = page + "08:01 sedge weighed grams=398\n"
    assert the(doubted, "2026-04-03 09:00", "weight loss").says == (
        "Sedge: 12 % lost in 11 days, 350 g, lower of 2 readings that differ."
    )
    assert words(doubted, "2026-04-03 09:00") == "weigh again"
    line = due(doubted, "2026-04-04 07:00")
    assert line is not None
    assert line.says == "weigh again, readings differ"
    assert found(doubted + weighed("2026-04-12", ("08:00", 348)), "2026-04-12 09:00", "weight loss") == [
        "today weight loss sedge"
    ]


def test_two_readings_and_a_doubt_of_which_one_is_taken_back_take_no_loss_away() -> None:
    page = LOW + weighed("2026-04-03", ("08:00", 350), ("08:01", 351), ("08:02", 400))
    assert found(page, "2026-04-03 09:00", "weight loss") == ["today weight loss sedge"]
    wrong = animal(standing(page), "animal/sedge").weights[-2]
    page += f"08:03 sedge corrected replaces={wrong.id}\n"
    assert found(page, "2026-04-03 09:00", "weight loss") == ["today weight loss sedge"]


def test_three_readings_of_which_no_two_agree_are_as_unsure_as_two() -> None:
    page = LOW + weighed("2026-04-03", ("08:00", 300), ("08:01", 350), ("08:02", 400))
    assert words(page, "2026-04-03 09:00") == "weigh again"
    assert found(page, "2026-04-03 09:00", "weight loss") == ["vet weight loss sedge"]
    slips = OWN + weighed("2026-04-03", ("08:00", 5000), ("08:01", 4000), ("08:02", 400))
    assert words(slips, "2026-04-03 09:00") == "weigh again"


def test_a_mean_of_two_that_agree_counts() -> None:
    page = LOW + weighed("2026-04-03", ("08:00", 350), ("08:01", 354))
    assert (
        the(page, "2026-04-03 09:00", "weight loss").says
        == "Sedge: 12 % lost in 11 days, 352 g, mean of 2 readings."
    )


def test_over_brumation_the_lower_of_two_that_differ_counts() -> None:
    page = ROOM + weighed("2026-03-02", ("08:00", 400), who="karri")
    page += "2026-03-05\n08:00 karri brumation_began\n"
    page += weighed("2026-04-03", ("08:00", 352), ("08:01", 385), who="karri")
    assert found(page, "2026-04-03 09:00", "brumation loss") == ["today brumation loss karri"]


def test_growing_too_slowly_goes_by_the_lower_of_two_that_differ() -> None:
    page = ROOM + "2026-03-01\n08:00 group/hatch arrived name=Hatch count=1 hatched=2026-02-20 place=b3\n"
    page += weighed("2026-03-02", ("08:00", 20), who="group/hatch")
    page += weighed("2026-03-20", ("08:00", 20), ("08:01", 25), who="group/hatch")
    assert found(page, "2026-03-20 09:00", "not growing") == ["today not growing hatch"]


def test_weighed_as_the_vet_asked_the_line_says_too_that_readings_differ() -> None:
    page = OWN + "2026-03-25\n08:00 sedge vet_seen weigh_days=1\n"
    page += weighed("2026-03-29", ("08:00", 350), ("08:01", 400))
    line = due(page, "2026-03-30 07:00")
    assert line is not None
    assert line.says == "weigh, as the vet asked, readings differ"


def test_in_brumation_no_one_is_weighed_again_for_it() -> None:
    page = OWN + "2026-03-25\n08:00 sedge brumation_began\n" + weighed("2026-03-29", ("08:00", 350), ("08:01", 400))
    assert due(page, "2026-03-30 07:00") is None


# Limits


@pytest.mark.parametrize(("own", "low"), [(400, 340), (440, 374), (500, 425), (560, 476), (320, 272)])
def test_a_loss_of_fifteen_percent_to_the_gram_is_the_vets(own: int, low: int) -> None:
    page = ROOM + "".join(weighed(f"2026-03-{day:02}", ("08:00", own)) for day in (2, 9, 16, 23))
    page += weighed("2026-03-27", ("08:00", low)) + weighed("2026-03-29", ("08:00", low))
    assert found(page, "2026-03-29 09:00", "weight loss") == ["vet weight loss sedge"]


def test_a_gram_above_the_limit_is_not_said_to_have_reached_it() -> None:
    page = OWN + weighed("2026-03-27", ("08:00", 341)) + weighed("2026-03-29", ("08:00", 341))
    matter = the(page, "2026-03-29 09:00", "weight loss")
    assert (matter.says, matter.worsens.partition(",")[0]) == (
        "Sedge: 14 % lost in 6 days, 341 g.",
        "vet from a loss of 15 %",
    )


# Whatever is read more

_GRAMS = st.sampled_from([1.0, 280.0, 300.0, 320.0, 340.0, 352.0, 368.0, 371.0, 373.0, 385.0, 398.0, 400.0, 430.0])
_CLOCKS = ("06:00", "08:00", "08:01", "13:00", "18:30", "23:50")


def level(page: str) -> int:
    losses = [one for one in all_found(page, "2026-04-04 02:30") if one.rule == "weight loss"]
    return max((int(one.level) for one in losses), default=0)


def unsure(page: str) -> bool:
    return (
        trend(animal(standing(page), "animal/sedge"), HOUSE.weight_limits, at("2026-04-04 02:30"))
        .weighings[-1]
        .unsure
    )


@settings(max_examples=150, deadline=None)
@given(
    before=st.sampled_from([OWN, LOW]),
    readings=st.lists(_GRAMS, min_size=1, max_size=5),
    more=_GRAMS,
    under=st.booleans(),
)
def test_a_low_reading_more_never_makes_less_alarm_nor_does_any_while_they_disagree(
    before: str, readings: list[float], more: float, under: bool
) -> None:
    more = min(readings) if under else more
    page = before + weighed("2026-04-03", *zip(_CLOCKS, readings, strict=False))
    read_on = page + f"23:55 sedge weighed grams={more}\n"
    if more <= min(readings) or unsure(read_on):
        assert level(read_on) >= level(page)
