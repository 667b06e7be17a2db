"""The weight rule on both sides of each of its numbers."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta

import pytest

from rounds.logbook.entries import Corrected, Weighed
from rounds.standing.animal import animal
from rounds.standing.fold import fold
from rounds.standing.group import group
from rounds.standing.trend import Limits, Trend, trend_of
from rounds.standing.weighing import Weighing, WeighingRule, last_word, weighings_of
from rounds.standing.weighings import restarts, windows_upto
from rounds.standing.weighings import weighings as weighings_of_her
from tests.notation import at, logbook, standing

START = at("2026-01-05 08:00")
RULE = WeighingRule()


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


def read(*grams: float) -> Weighing:
    """Figures read on one day as one weighing."""
    (one,) = weighings_of(weighings(grams, days=0.1), RULE)
    return one


def test_of_readings_the_median_counts_of_two_that_agree_their_mean() -> None:
    assert read(400, 420, 410).grams == 410
    assert read(400, 420).grams == 410
    assert read(400, 402, 420, 430).grams == 411
    assert (read(372.1, 400).unsure, read(372, 400).unsure) == (False, True), "7 % apart"


@pytest.mark.parametrize(
    ("grams", "counts"),
    [((400, 300), 300), ((400, 350, 300), 300), ((300, 301, 400, 401), 301), ((5000, 4000, 400), 400),
     ((280, 300, 350, 400, 450), 300)],
)  # fmt: skip
def test_of_readings_that_differ_the_one_below_the_middle_counts(grams: tuple[float, ...], counts: float) -> None:
    assert (read(*grams).unsure, read(*grams).grams) == (True, counts)


def test_a_third_reading_or_a_fourth_says_which_holds() -> None:
    assert (read(400, 300, 401).unsure, read(400, 300, 401).grams) == (False, 400)
    assert (read(1, 5000, 401, 402).unsure, read(1, 5000, 401, 402).grams) == (False, 401.5)


def test_before_its_readings_differed_a_weighing_stood_by_those_that_agreed() -> None:
    assert read(450, 452, 390, 389).settled().grams == 450
    assert read(450, 452).settled().grams == 451
    assert [one.grams for one in last_word([read(400), read(460, 400)])] == [400, 460]
    assert [one.grams for one in last_word([read(460), read(400)])] == [400]


def test_a_day_is_one_weighing_and_so_are_a_few_hours_of_the_next() -> None:
    def after(*hours: float) -> list[list[float]]:
        readings = [
            Weighed(id=f"h{n}", at=START + timedelta(hours=one), by="AK", about="animal/wattle", grams=400 + n)
            for n, one in enumerate(hours)
        ]
        return [[entry.grams for entry in one.readings] for one in weighings_of(readings, RULE)]

    # It begins at 08:00; the room's day turns at 03:00.
    assert after(0, 11.99, 18.9) == [[400, 401, 402]], "to ten to three at night"
    assert after(0, 19.1) == [[400], [401]], "and not past three"
    assert after(12, 22.5) == [[400], [401]], "in the evening, and next morning"
    assert after(15.99, 16.01) == [[400, 401]], "a minute before midnight, and a minute after"
    assert after(16, 21.99, 22) == [[400, 401], [402]], "six hours from the first, into the next day"
    assert after(12, 22, 24.5) == [[400], [401, 402]], "what comes between glues no two together"


def test_weights_read_every_three_hours_around_the_clock_are_one_weighing_a_day() -> None:
    readings = [
        Weighed(id=f"c{n:02}", at=START + timedelta(hours=3 * n), by="AK", about="animal/wattle", grams=400 + n)
        for n in range(24)
    ]
    assert [len(one.readings) for one in weighings_of(readings, RULE)] == [7, 8, 8, 1]


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
    assert [(one.grams, one.times) for one in weighings_of_her(her, RULE)] == [(451, 2), (381, 3)]


def test_when_some_of_a_group_die_the_mean_of_one_before_and_the_one_after_are_two_weighings() -> None:
    page = """
    2026-01-05
    08:00 group/hatch arrived name=Hatch count=9
    09:00 group/hatch weighed grams=4
    09:10 group/hatch died count=2
    09:20 group/hatch weighed grams=5
    """
    assert [one.grams for one in weighings_of_her(group(standing(page), "group/hatch"), RULE)] == [4, 5]


def test_a_wrong_weight_taken_back_is_out_before_the_median() -> None:
    page = logbook("""
    2026-01-05
    08:00 wattle arrived name=Wattle sex=F
    09:00 wattle weighed grams=384
    09:01 wattle weighed grams=834
    """)
    back = Corrected(id="c", at=at("2026-01-05 09:02"), by="AK", about="animal/wattle", replaces=page[-1].id)
    two, one = fold(page), fold([*page, back])
    assert [(w.grams, w.unsure) for w in weighings_of_her(animal(two, "animal/wattle"), RULE)] == [(384, True)]
    assert [(w.grams, w.unsure) for w in weighings_of_her(animal(one, "animal/wattle"), RULE)] == [(384, False)]


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
