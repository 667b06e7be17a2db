"""The back-test in small: what is promised is kept on colonies the model does not know, and the tally adds up."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from rounds.rules.default import default_house
from tests.backtest import hatching
from tests.backtest.__main__ import report
from tests.backtest.laying import COURSES, cases
from tests.backtest.tally import PROMISED, Case, own_words, row, table
from tests.notation import VIENNA

DAY = date(2026, 4, 1)


def case(came: int, own: int = 0) -> Case:
    """A forecast of 1 to 11 April, likely the 6th, in a window of 28 March to 21 April."""
    days = [DAY + timedelta(days=days) for days in (0, 5, 10)]
    wall = (DAY - timedelta(days=4), DAY + timedelta(days=20))
    return Case("a course", "first", own, days[0], days[1], days[2], DAY + timedelta(days=came), wall)


def test_both_ends_of_a_forecast_belong_to_it() -> None:
    assert [case(came).within for came in (-1, 0, 10, 11)] == [False, True, True, False]
    assert [case(came).outside for came in (-5, -4, 20, 21)] == [True, False, False, True]


def test_a_row_counts_what_came_within_before_and_after() -> None:
    found = row([case(-1), case(0), case(5), case(21)])
    assert (found.many, found.within, found.before, found.after, found.outside) == (4, 50, 25, 25, 25)
    assert found.days_wide == 11
    assert found.days_off == 6


def test_the_table_parts_forecasts_by_own_intervals() -> None:
    lines = list(table([case(0), case(0, 1), case(11, 2), case(0, 3)]))
    assert [own_words(own) for own in (0, 1, 2, 3)] == ["none", "1 or 2", "1 or 2", "3 or more"]
    assert [line.split(" | ")[2:5] for line in lines[2:]] == [
        ["none", "1", "100 %"],
        ["1 or 2", "2", "50 %"],
        ["3 or more", "1", "100 %"],
    ]


def test_forecasts_keep_what_they_promise_on_colonies_they_do_not_know() -> None:
    # Courses are assumed; a slow and a fast colony come outside the house's window, where nothing can be right.
    house = default_house(VIENNA)
    found = [one for number, course in enumerate(COURSES) for one in cases(course, number, house)]
    assert len(found) > 300
    assert {one.sort for one in found} == {
        "first clutch, mating seen",
        "first clutch, company only",
        "later clutch",
        "still waiting",
    }
    possible = row([one for one in found if not one.outside])
    assert possible.within >= PROMISED
    fresh = [one for one in found if one.course == "slow" and one.sort.startswith("first") and one.own == 0]
    known = [one for one in found if one.course == "slow" and one.sort.startswith("first") and one.own >= 2]
    assert row(known).days_off < row(fresh).days_off, "a slow colony is learned"
    assert next(report(found, 6)).startswith("6 colonies, ")


def test_a_forecast_of_hatching_keeps_what_it_promises_once_there_is_one() -> None:
    forecast = hatching.forecaster()
    if forecast is None:
        pytest.skip("this program forecasts no hatching")
    house = default_house(VIENNA)
    found = [one for course in hatching.COURSES for one in hatching.cases(course, 1, house, forecast)]
    assert {one.sort for one in found} == {"hatching, day 1", "hatching, day 35"}
    assert row(found).within >= PROMISED
