"""The weight rule on both sides of each of its numbers."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta
from itertools import pairwise

import pytest

from rounds.logbook.entries import Corrected, Weighed
from rounds.standing.animal import animal
from rounds.standing.fold import fold
from rounds.standing.group import group
from rounds.standing.trend import Limits, Trend, trend_of
from rounds.standing.weighings import restarts, weighings_of, windows_upto
from rounds.standing.weighings import weighings as weighings_of_her
from tests.notation import at, logbook, standing

START = at("2026-01-05 08:00")


def weighings(grams: Sequence[float], days: float = 7) -> list[Weighed]:
    return [
        Weighed(id=f"{n:03d}", at=START + timedelta(days=days * n), by="AK", about="animal/wattle", grams=one)
        for n, one in enumerate(grams)
    ]


def of(*grams: float, days: float = 7, limits: Limits | None = None) -> Trend:
    return trend_of(weighings(grams, days), limits)


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
    drop = trend_of(weighings([400, 400, 360, 356]), brumating=True)
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


def test_of_a_shifts_readings_the_middle_one_counts_of_an_even_number_the_later() -> None:
    shift = weighings([400, 420, 410], days=0.1)
    assert [one.grams for one in weighings_of(shift, 12)] == [410]
    assert [one.grams for one in weighings_of(shift[:2], 12)] == [420]
    assert [one.grams for one in weighings_of(weighings([400, 420], days=0), 12)] == [420], (
        "in one and the same second"
    )
    assert [one.grams for one in weighings_of([*shift, *weighings([430] * 10)[9:]], 12)] == [410, 430]


def test_a_shift_is_twelve_hours_from_its_first_reading_and_goes_on_across_midnight() -> None:
    def after(*hours: float) -> list[list[float]]:
        readings = [
            Weighed(id=f"h{n}", at=START + timedelta(hours=one), by="AK", about="animal/wattle", grams=400 + n)
            for n, one in enumerate(hours)
        ]
        return [[entry.grams for entry in one.readings] for one in weighings_of(readings, 12)]

    assert after(0, 11.99) == [[400, 401]]
    assert after(0, 12) == [[400], [401]]
    assert after(15.99, 16.01) == [[400, 401]], "a minute before midnight, and a minute after"
    assert after(0, 11.99, 12.01) == [[400, 401, 402]], "read twice as the shift ends"
    assert after(0, 8.99, 12) == [[400, 401], [402]], "3 hours later it is the next one"
    assert after(*(2.0 * n for n in range(14))) == [[400 + n for n in range(12)], [412, 413]], "read on and on"


def test_weights_read_every_three_hours_around_the_clock_are_two_weighings_a_day() -> None:
    readings = [
        Weighed(id=f"c{n:02}", at=START + timedelta(hours=3 * n), by="AK", about="animal/wattle", grams=400 + n)
        for n in range(24)
    ]
    found = weighings_of(readings, 12)
    assert [len(one.readings) for one in found] == [4] * 6
    assert {later.at - earlier.at for earlier, later in pairwise(found)} == {timedelta(hours=12)}


def test_what_was_read_before_eggs_and_after_them_is_not_one_weighing_however_near() -> None:
    page = """
    2026-01-05
    08:00 wattle arrived name=Wattle sex=F
    09:00 wattle weighed grams=450
    09:05 wattle weighed grams=452
    09:30 wattle eggs_laid clutch=clutch/w-1 count=20 complete=true
    09:40 wattle weighed grams=380
    09:41 wattle weighed grams=382
    09:42 wattle weighed grams=381
    """
    her = animal(standing(page), "animal/wattle")
    assert [(one.grams, one.times) for one in weighings_of_her(her, 12)] == [(452, 2), (381, 3)]


def test_when_some_of_a_group_die_the_mean_of_one_before_and_the_one_after_are_two_weighings() -> None:
    page = """
    2026-01-05
    08:00 group/hatch arrived name=Hatch count=9
    09:00 group/hatch weighed grams=4
    09:10 group/hatch died count=2
    09:20 group/hatch weighed grams=5
    """
    assert [one.grams for one in weighings_of_her(group(standing(page), "group/hatch"), 12)] == [4, 5]


def test_a_wrong_weight_taken_back_is_out_before_the_median() -> None:
    page = logbook("""
    2026-01-05
    08:00 wattle arrived name=Wattle sex=F
    09:00 wattle weighed grams=384
    09:01 wattle weighed grams=834
    """)
    back = Corrected(id="c", at=at("2026-01-05 09:02"), by="AK", about="animal/wattle", replaces=page[-1].id)
    two, one = fold(page), fold([*page, back])
    assert [(w.grams, w.unsure(0.07)) for w in weighings_of_her(animal(two, "animal/wattle"), 12)] == [(834, True)]
    assert [(w.grams, w.unsure(0.07)) for w in weighings_of_her(animal(one, "animal/wattle"), 12)] == [(384, False)]


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
    assert [[one.grams for one in window.readings] for window in found] == [[400, 450], [350, 380], [390]]
    assert [window.restart and window.restart.why for window in found] == [None, "laying", "the vet's visit"]
    before = windows_upto(her, at("2026-03-03 09:59"))
    assert [[one.grams for one in window.readings] for window in before] == [[400, 450], [350, 380]]


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
