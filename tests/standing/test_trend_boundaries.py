"""The weight rule on both sides of each of its numbers."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta

import pytest

from rounds.logbook.entries import Weighed
from rounds.standing.animal import animal
from rounds.standing.trend import Limits, Trend
from rounds.standing.weighings import one_a_day, readings_of, restarts, windows_upto
from tests.notation import at, standing

START = at("2026-01-05 08:00")


def weighings(grams: Sequence[float], days: float = 7) -> list[Weighed]:
    return [
        Weighed(id=f"{n:03d}", at=START + timedelta(days=days * n), by="AK", about="animal/wattle", grams=one)
        for n, one in enumerate(grams)
    ]


def of(*grams: float, days: float = 7, limits: Limits | None = None) -> Trend:
    return Trend(weighings(grams, days), limits)


def test_a_drop_needs_two_in_a_row_at_seven_percent_and_both() -> None:
    assert of(400, 400, 372, 372).dropped
    assert not of(400, 400, 372.1, 372).dropped
    assert not of(400, 400, 372, 372.1).dropped
    assert not of(400, 372, 372).dropped, "fewer than four weighings"
    three = Limits(least=3)
    assert of(400, 372, 372, limits=three).dropped, "one earlier weighing is enough to be under"
    assert not of(372, 372, limits=Limits(least=2)).dropped


def test_the_earlier_median_is_that_of_the_last_twelve_before_the_drop() -> None:
    long_ago = [500.0] * 20
    assert not of(*long_ago, *[400.0] * 12, 373, 373).dropped
    assert of(*long_ago, *[400.0] * 5, 373, 373).dropped, "of twelve most are 500 still"


def test_a_slow_fall_needs_five_weighings_and_five_percent() -> None:
    assert of(400, 395, 390, 385, 379).fallen
    assert not of(400, 395, 390, 385).fallen
    assert not of(400, 396, 392, 388, 384).fallen, "4 %"
    assert of(*(400 * 0.95 ** (week / 4) for week in range(5))).fallen, "5 % to the gram"
    assert not of(*(400 * 0.9501 ** (week / 4) for week in range(5))).fallen
    assert not of(379, 385, 390, 395, 400).fallen
    assert not of(400, 400, 400, 400, 400).fallen


def test_a_fall_is_fitted_over_the_last_six_weighings() -> None:
    rising = [300.0, 310, 320, 330, 340, 350]
    assert not of(*rising, 400, 400, 400, 400, 400, 400).fallen
    falling = of(*rising, 400, 395, 390, 385, 380, 375)
    assert falling.fallen
    assert falling.fitted_days == 35
    assert falling.fitted == pytest.approx(-0.0625, abs=0.002)


def test_the_days_of_a_fit_are_days() -> None:
    assert of(400, 395, 390, 385, 379, days=1).fitted_days == 4
    assert of(400, 395, 390, 385, 379, days=1).fitted == pytest.approx(-0.0525, abs=0.003)


def test_a_loss_is_told_from_the_weighing_before_the_drop() -> None:
    loss = of(400, 400, 400, 360, 356)
    assert loss.loss == pytest.approx(0.11)
    assert loss.loss_days == 14
    assert loss.lost_since is not None
    assert loss.lost_since.grams == 356
    steady = of(400, 401, 400, 401)
    assert (steady.loss, steady.lost_since) == (0, None)


def test_a_drop_shown_by_more_weighings_is_dated_by_the_first_that_showed_it() -> None:
    since = of(400, 400, 400, 360, 356, 355, 354).lost_since
    assert since is not None
    assert since.grams == 356


def test_brumating_no_loss_counts() -> None:
    drop = Trend(weighings([400, 400, 360, 356]), brumating=True)
    assert (drop.lost, drop.loss, drop.words) == (False, 0, "brumating")


@pytest.mark.parametrize(
    ("grams", "words"),
    [
        ((400, 400, 400, 411), "steady"),
        ((400, 400, 400, 419), "steady"),
        ((400, 400, 400, 421), "up 5 %"),
        ((400, 404.3, 408.5, 412.6), "up 3 %"),
        ((400, 403, 407, 411), "steady"),
        ((400, 395.8, 391.7, 387.6), "down 3 %"),
    ],
)
def test_under_three_percent_is_steady_and_under_five_where_the_line_is(
    grams: tuple[float, ...], words: str
) -> None:
    assert of(*grams).words.startswith(words)


def test_the_last_weighing_that_turned_by_five_percent_tells_its_own_change() -> None:
    turned = of(400, 410, 430, 450, 427).change
    assert turned is not None
    assert turned.since.grams == 450
    less = of(400, 410, 430, 450, 429).change
    assert less is not None
    assert less.since.grams == 400
    same_way = of(400, 410, 430, 450, 474).change
    assert same_way is not None
    assert same_way.since.grams == 400


def test_a_reading_put_right_at_its_moment_is_answered_by_the_last_one() -> None:
    first, second, third = weighings([400, 410, 420], days=0)
    (later,) = weighings([430])
    assert readings_of([first, second, third]) == (third,)
    other = Weighed(id="x", at=START + timedelta(hours=1), by="AK", about="animal/wattle", grams=500)
    assert readings_of([first, other]) == (first, other)
    assert later.at == first.at


def test_of_a_days_readings_the_middle_one_counts_of_an_even_number_the_later() -> None:
    day = weighings([400, 420, 410], days=0.1)
    assert [one.grams for one in one_a_day(day)] == [410]
    assert [one.grams for one in one_a_day(day[:2])] == [420]
    assert [one.grams for one in one_a_day([*day, *weighings([430] * 10)[9:]])] == [410, 430]


def test_windows_begin_with_what_restarted_them() -> None:
    page = """
    2026-01-05
    08:00 wattle arrived name=Wattle sex=F
    08:01 wattle weighed grams=400
    2026-02-01
    09:59 wattle weighed grams=450
    10:00 wattle eggs_laid clutch=clutch/w-1 count=20 complete=true
    10:00 wattle weighed grams=350
    2026-03-01
    10:00 wattle weighed grams=380
    2026-03-02
    10:00 wattle vet_seen carrying=false
    2026-03-03
    10:00 wattle weighed grams=390
    """
    her = animal(standing(page), "animal/wattle")
    found = windows_upto(her, at("2026-03-03 10:00"))
    assert [[one.grams for one in window.weighings] for window in found] == [[400, 450], [350, 380], [390]]
    assert [window.restart and window.restart.why for window in found] == [None, "laying", "the vet's visit"]
    before = windows_upto(her, at("2026-03-03 09:59"))
    assert [[one.grams for one in window.weighings] for window in before] == [[400, 450], [350, 380]]


def test_without_weighings_there_are_no_days_and_no_loss() -> None:
    none = of()
    assert (none.fitted_days, none.fitted, none.loss, none.off, none.enough) == (0, 0, 0, 0, False)


@pytest.mark.parametrize(("weighed", "begins"), [("2026-04-01", "2026-04-10"), ("2026-03-09", "2026-03-10")])
def test_brumation_written_down_late_parts_no_weights_that_were_judged_without_it(
    weighed: str, begins: str
) -> None:
    page = f"""
    2026-03-01
    08:00 karri arrived name=Karri sex=M
    08:01 karri weighed grams=400
    {weighed}
    08:00 karri weighed grams=390
    2026-03-10
    08:00 karri brumation_began written=2026-04-10T08:00:00+02:00
    """
    (restart,) = restarts(animal(standing(page), "animal/karri"))
    assert f"{restart.at:%Y-%m-%d}" == begins
