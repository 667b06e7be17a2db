"""Shelves with eggs: too hot now or last night, drifting, not read; boxes on them; shelves without eggs."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta

import pytest

from rounds.due.lines import lines_at
from rounds.due.reckon import matters
from rounds.logbook.entries import ClimateLogged, Entry
from rounds.standing.fold import fold
from tests.due.matters.found import HOUSE, found, the, words
from tests.due.stops import house_with
from tests.notation import at, logbook

HOT, COLD, DRIFT = "eggs were too hot", "eggs were too cold", "shelf drifts"
OUT, UNREAD = "climate out of range", "climate not read"
SHELF = """
2026-03-01 AK
08:00 s1 enclosure_set_up name=S1 what="incubator shelf"
08:00 k1 enclosure_set_up name=K1 what="egg box"
08:01 wattle arrived name=Wattle sex=F
2026-03-02
09:00 wattle eggs_laid clutch=wattle-1 count=18 complete=true
09:30 k1 egg_box_made_up medium=vermiculite shelf=s1
10:00 wattle-1 eggs_boxed count=18 place=k1
"""
RULES = (HOT, COLD, DRIFT, OUT)


def logger(begun: str, readings: Sequence[float], minutes: int = 60) -> Entry:
    """A stretch of a logger on S1."""
    return ClimateLogged(
        id=f"log-{begun}",
        at=at(begun),
        by="EM",
        about="enclosure/s1",
        minutes=tuple(minutes * place for place in range(len(readings))),
        air_c=tuple(readings),
    )


def with_log(now: str, *stretches: Entry, page: str = SHELF) -> list[str]:
    every = matters(fold([*logbook(page), *stretches]), HOUSE, at(now))
    return [words(one) for one in every if one.rule in RULES]


NIGHT = logger("2026-04-10 20:00", [29, 30, 31, 32.5, 33.1, 33.0, 31.5, 30, 29.4, 29.2, 29.0])


def test_a_night_at_33_is_a_matter_as_soon_as_the_logger_is_read_though_it_is_cool_again() -> None:
    assert with_log("2026-04-11 07:00", NIGHT) == [f"today {HOT} s1"]
    (matter,) = [
        one for one in matters(fold([*logbook(SHELF), NIGHT]), HOUSE, at("2026-04-11 07:00")) if one.rule == HOT
    ]
    assert matter.says == "S1: 3 h above 32 °C, up to 33.1, from 10 Apr 23:00."
    assert matter.do[0].startswith("18 eggs there.")
    assert "Quinn et al. 2007" in HOUSE.rule("climate.incubator_alarm_c").cite()
    assert matter.entries == (NIGHT,)


def test_it_stays_for_the_days_of_the_house_and_no_longer() -> None:
    calm = [logger(f"2026-04-{day} 08:00", [29.0] * 12) for day in (11, 12, 13, 14)]
    assert with_log("2026-04-13 20:00", NIGHT, *calm) == [f"today {HOT} s1"]
    assert with_log("2026-04-14 20:00", NIGHT, *calm) == []


def test_while_it_is_hot_still_that_is_the_one_matter() -> None:
    assert with_log("2026-04-11 00:30", logger("2026-04-10 20:00", [29, 30, 31, 32.5, 33.1])) == [f"today {OUT} s1"]
    at_32 = logger("2026-04-10 20:00", [29.0, 30.0, 31.0, 32.0])
    assert with_log("2026-04-10 23:30", at_32) == [f"watch {OUT} s1"]


def test_heat_before_the_eggs_were_laid_and_a_shelf_without_eggs_raise_nothing() -> None:
    before = logger("2026-03-01 20:00", [33.0, 33.0, 29.0])
    assert with_log("2026-03-02 12:00", before) == []
    empty = SHELF + "2026-03-20\n09:00 wattle-1 eggs_lost count=18\n"
    assert with_log("2026-04-11 07:00", NIGHT, page=empty) == []


COLD_NIGHT = logger("2026-04-10 20:00", [29, 27, 24, 21, 20, 20, 20.5, 24, 27, 29, 29.2])


def test_a_cold_night_is_told_for_the_days_of_the_house_once_it_is_over() -> None:
    assert with_log("2026-04-11 07:00", COLD_NIGHT) == [f"watch {COLD} s1"]
    (matter,) = [
        one
        for one in matters(fold([*logbook(SHELF), COLD_NIGHT]), HOUSE, at("2026-04-11 07:00"))
        if one.rule == COLD
    ]
    assert matter.says == "S1: 8 h below 28 °C, down to 20.0, from 10 Apr 22:00."
    assert matter.do[0].startswith("18 eggs there.")
    calm = [logger(f"2026-04-{day} 08:00", [29.0] * 12) for day in (11, 12, 13, 14)]
    assert with_log("2026-04-13 20:00", COLD_NIGHT, *calm) == [f"watch {COLD} s1"]
    assert with_log("2026-04-14 20:00", COLD_NIGHT, *calm) == []


def test_while_it_is_cold_still_that_is_the_one_matter_and_less_than_the_margin_is_none_once_over() -> None:
    still = logger("2026-04-10 20:00", [29, 27, 24, 21])
    assert with_log("2026-04-11 00:00", still) == [f"today {OUT} s1"]
    cool = logger("2026-04-10 20:00", [29, 27, 26, 27, 29, 29])
    assert COLD not in " ".join(with_log("2026-04-11 07:00", cool))


def test_a_lowest_far_below_the_band_counts_though_the_mean_is_fine() -> None:
    page = SHELF + "2026-04-09\n08:00 s1 climate_read air_c=29\n2026-04-10\n08:00 s1 climate_read "
    assert "down to 20.0" in the(page + "air_c=29 air_low_c=20 air_high_c=30\n", "2026-04-10 08:01", COLD).says
    assert found(page + "air_c=29 air_low_c=25 air_high_c=30\n", "2026-04-10 08:01", COLD) == []


def test_by_hand_one_reading_is_enough() -> None:
    page = SHELF + "2026-04-10\n08:00 s1 climate_read air_c=29\n20:00 s1 climate_read air_c=33\n"
    assert found(page, "2026-04-10 20:01", *RULES) == [f"today {OUT} s1"]
    page += "22:00 s1 climate_read air_c=29.5\n"
    assert found(page, "2026-04-10 22:01", *RULES) == [f"today {HOT} s1"]
    assert the(page, "2026-04-10 22:01", HOT).says.startswith("S1: 4 h above 32 °C, up to 33.0")


def test_a_highest_above_the_alarm_counts_though_the_mean_is_fine() -> None:
    page = SHELF + "2026-04-09\n08:00 s1 climate_read air_c=29\n2026-04-10\n08:00 s1 climate_read "
    assert found(page + "air_c=29 air_low_c=27 air_high_c=33\n", "2026-04-10 09:00", *RULES) == [f"today {HOT} s1"]
    assert found(page + "air_c=29 air_low_c=28 air_high_c=32\n", "2026-04-10 09:00", *RULES) == []
    alone = page + "air_c=29 air_high_c=33.2\n"
    assert found(alone, "2026-04-10 09:00", *RULES) == [f"today {HOT} s1"]


def test_a_highest_alone_does_not_say_for_how_long() -> None:
    page = SHELF + "2026-04-10\n08:00 s1 climate_read air_c=29 air_high_c=33.2\n"
    assert the(page, "2026-04-10 08:30", HOT).says == "S1: was above 32 °C, up to 33.2, from 10 Apr 08:00."


@pytest.mark.parametrize("beside", ["", "\n09:00 s1 climate_read air_c=29", "\n07:00 s1 climate_read air_c=29"])
def test_a_highest_noted_alone_is_told_and_no_logger_is_named_where_none_was(beside: str) -> None:
    page = SHELF + f"2026-04-10\n08:00 s1 climate_read air_high_c=33.2{beside}\n"
    assert the(page, "2026-04-10 09:30", HOT).says == "S1: 33.2 °C read by hand 10 Apr 08:00."


def test_what_a_keeper_read_off_stays_told_though_the_logger_did_not_see_it() -> None:
    page = SHELF + "2026-04-10\n08:00 s1 climate_read air_c=33.4\n"
    assert with_log("2026-04-10 08:01", page=page) == [f"today {OUT} s1"]
    log = logger("2026-04-10 06:00", [29.0, 29.1, 29.0, 29.1, 29.0])
    assert with_log("2026-04-10 10:01", log, page=page) == [f"today {HOT} s1"]
    every = matters(fold([*logbook(page), log]), HOUSE, at("2026-04-10 10:01"))
    (matter,) = [one for one in every if one.rule == HOT]
    assert matter.says == "S1: 33.4 °C read by hand 10 Apr 08:00, the logger did not see it."
    high = SHELF + "2026-04-10\n08:00 s1 climate_read air_c=29 air_high_c=33.4\n"
    assert with_log("2026-04-10 10:01", log, page=high) == [f"today {HOT} s1"]
    calm = [logger(f"2026-04-{day} 08:00", [29.0] * 12) for day in (11, 12, 13)]
    assert with_log("2026-04-13 20:00", log, *calm, page=page) == []


STEADY = [29.0, 29.2] * 16


def test_a_lowest_noted_alone_is_told_as_a_highest_is() -> None:
    alone = SHELF + "2026-04-10\n08:00 s1 climate_read air_low_c=20\n"
    assert the(alone, "2026-04-10 09:00", COLD).says == "S1: 20.0 °C read by hand 10 Apr 08:00."
    assert found(alone.replace("air_low_c=20", "air_low_c=27.5"), "2026-04-10 09:00", COLD) == []


def test_a_shelf_that_warms_up_is_told_before_it_passes_its_band() -> None:
    warming = logger("2026-04-09 22:00", [*STEADY, 29.3, 29.5, 29.7, 29.9, 30.1, 30.3, 30.5])
    assert with_log("2026-04-11 13:00", warming) == [f"today {DRIFT} s1"]
    slower = logger("2026-04-09 22:00", [*STEADY, 29.8, 29.9, 30.0, 30.1, 30.2, 30.3, 30.4])
    assert with_log("2026-04-11 13:00", slower) == [f"watch {DRIFT} s1"]


def test_how_far_a_shelf_has_to_move_is_a_house_rule() -> None:
    slower = logger("2026-04-09 22:00", [*STEADY, 29.8, 29.9, 30.0, 30.1, 30.2, 30.3, 30.4])
    page, now = fold([*logbook(SHELF), slower]), at("2026-04-11 13:00")
    for changed, drifts in (({"drift_c": 0.5}, True), ({"drift_c": 1}, False), ({"drift_hours": 3}, False)):
        every = {one.rule for one in matters(page, house_with(incubation=changed), now)}
        assert (DRIFT in every) == drifts, changed


@pytest.mark.parametrize(
    "readings",
    [
        [*STEADY, *STEADY[:7]],
        [*STEADY, 29.2, 29.2, 29.2, 29.2, 29.2, 29.2, 29.3],
        [*STEADY, 29.3, 29.9, 29.4, 29.8, 29.3, 29.9, 29.5],
        # A room that warms up each day takes the shelf with it: no drift.
        [*[29.0, 29.2, 29.4, 29.6, 29.8, 30.0, 30.2, 30.2, 30.0, 29.8, 29.6, 29.2] * 3, 29.0, 29.3, 29.6, 29.9],
    ],
)
def test_a_thermostat_at_work_and_a_room_s_day_are_no_drift(readings: list[float]) -> None:
    assert with_log("2026-04-11 13:00", logger("2026-04-09 22:00", readings)) == []


def test_days_that_go_one_way_drift_by_hand_readings_too() -> None:
    def read(*values: float) -> str:
        days = [at("2026-04-04 08:00") + timedelta(days=day) for day in range(len(values))]
        return SHELF + "".join(
            f"{day:%Y-%m-%d}\n08:00 s1 climate_read air_c={value}\n"
            for day, value in zip(days, values, strict=True)
        )

    assert found(read(29, 29.2, 29.6, 30.0, 30.4), "2026-04-08 09:00", DRIFT) == [f"watch {DRIFT} s1"]
    assert found(read(29, 29.2, 29, 29.2, 29.1), "2026-04-08 09:00", DRIFT) == []
    assert found(read(30.4, 30, 29.6, 29.2, 28.6), "2026-04-08 09:00", DRIFT) == [f"watch {DRIFT} s1"]


def test_a_box_is_read_where_its_shelf_stands() -> None:
    standing = fold(logbook(SHELF))
    now = at("2026-03-03 08:00")
    cares = {
        place: [one.says for one in lines_at(standing, HOUSE, now, f"enclosure/{place}") if one.care == "climate"]
        for place in ("s1", "k1")
    }
    assert cares == {"s1": ["climate: air temperature"], "k1": []}
    read = fold([*logbook(SHELF), logger("2026-03-03 00:00", [29.0] * 7)])
    assert [one.care for one in lines_at(read, HOUSE, now, "enclosure/s1") if one.care == "climate"] == []


def test_no_reading_for_days_is_a_matter_and_a_logger_s_file_answers_it() -> None:
    assert found(SHELF, "2026-03-08 08:00", UNREAD) == [f"today {UNREAD} s1"]
    every = matters(fold([*logbook(SHELF), logger("2026-03-07 00:00", [29.0] * 24)]), HOUSE, at("2026-03-08 08:00"))
    assert [words(one) for one in every if one.rule == UNREAD] == []
