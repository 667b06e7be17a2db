"""The hatch watch and what it finds: the first out, eggs left behind, none by the end of the window."""

from __future__ import annotations

from datetime import date, timedelta

from rounds.due.hatching import hatch_forecast
from rounds.due.lines import lines_at
from rounds.standing.fold import fold
from tests.due.matters.found import HOUSE, found, the
from tests.notation import at, logbook

LEFT, LATE, OVERDUE = "eggs left behind", "hatching late", "hatching overdue"
PAGE = """
2026-03-01 AK
08:00 s1 enclosure_set_up name=S1 what="incubator shelf"
08:01 wattle arrived name=Wattle sex=F
2026-03-02
09:00 wattle eggs_laid clutch=wattle-1 count=18 complete=true
10:00 wattle-1 eggs_boxed count=18 place=s1
""" + "".join(f"{date(2026, 3, 2) + timedelta(days=day)}\n11:00 s1 climate_read air_c=29\n" for day in range(1, 96))
WINDOW = hatch_forecast(fold(logbook(PAGE)), HOUSE, at("2026-04-01"), "clutch/wattle-1")


def watch(page: str, now: str, stop: str = "enclosure/s1") -> list[str]:
    standing = fold(logbook(page))
    return [one.says for one in lines_at(standing, HOUSE, at(now), stop) if one.care == "hatch watch"]


def day_of(moment: date, clock: str = "12:00") -> str:
    return f"{moment} {clock}"


def test_the_eggs_are_looked_at_each_day_from_the_first_day_of_the_window() -> None:
    assert WINDOW is not None
    assert watch(PAGE, day_of(WINDOW.early - timedelta(days=1))) == []
    (says,) = watch(PAGE, day_of(WINDOW.early))
    assert says == f"hatch watch: Wattle 1, 18 eggs, until {WINDOW.late.day} {WINDOW.late:%b}"
    looked = PAGE + f"{WINDOW.early}\n08:00 wattle-1 eggs_seen\n"
    assert watch(looked, day_of(WINDOW.early)) == []
    assert len(watch(looked, day_of(WINDOW.early + timedelta(days=1)))) == 1


def test_a_look_into_one_box_is_no_look_into_the_other() -> None:
    two = PAGE.replace("count=18 place=s1", "count=10 place=s1\n10:05 wattle-1 eggs_boxed count=8 place=k2")
    assert WINDOW is not None
    now = day_of(WINDOW.early)
    (in_s1,), in_k2 = watch(two, now), watch(two, now, "enclosure/k2")
    assert in_s1.startswith("hatch watch: Wattle 1, 10 of 18 eggs, until")
    assert in_k2 == [in_s1.replace("10 of", "8 of")]
    for look in ("eggs_seen place=s1", "candled fertile=10 place=s1"):
        looked = two + f"{WINDOW.early}\n08:00 wattle-1 {look}\n"
        assert (watch(looked, now), watch(looked, now, "enclosure/k2")) == ([], in_k2)
    every = two + f"{WINDOW.early}\n08:00 wattle-1 eggs_seen\n"
    assert (watch(every, now), watch(every, now, "enclosure/k2")) == ([], [])
    sweating = two + f"{WINDOW.early}\n08:00 wattle-1 eggs_seen signs=sweating place=s1\n"
    next_day = day_of(WINDOW.early + timedelta(days=1))
    assert "sweating" in watch(sweating, next_day)[0]
    assert "sweating" not in watch(sweating, next_day, "enclosure/k2")[0]


def test_an_egg_that_pipped_early_begins_the_watch_and_sweating_is_said() -> None:
    early = PAGE + "2026-04-10\n08:00 wattle-1 eggs_seen signs=pipped count=1\n"
    assert watch(early, "2026-04-11 08:00") == ["hatch watch: Wattle 1, 18 left, pipped 10 Apr"]
    assert the(early, "2026-04-11 08:00", LEFT).says == "Wattle 1: pipped 10 Apr, 18 eggs left."
    out = early + "2026-04-11\n08:00 wattle-1 hatched count=1\n"
    assert watch(out, "2026-04-12 08:00") == ["hatch watch: Wattle 1, 17 left, first out 10 Apr"]
    assert WINDOW is not None
    sweating = PAGE + f"{WINDOW.early}\n08:00 wattle-1 eggs_seen signs=sweating\n"
    assert watch(sweating, day_of(WINDOW.early + timedelta(days=1))) == [
        "hatch watch: Wattle 1, sweating: may hatch within a day"
    ]


def test_young_are_taken_out_and_eggs_left_after_three_days_are_for_today() -> None:
    # Up to 3 days between first and last of a clutch: other dragons, B.
    page = PAGE + "2026-05-01\n08:00 wattle-1 hatched count=12\n"
    matter = the(page, "2026-05-01 12:00", LEFT)
    assert matter.says == "Wattle 1: hatching since 1 May, 6 eggs left."
    assert matter.do[0] == "Take young out promptly: adults eat them."
    assert found(page, "2026-05-04 12:00", LEFT) == [f"watch {LEFT} wattle-1"]
    assert found(page, "2026-05-05 12:00", LEFT) == [f"today {LEFT} wattle-1"]
    assert found(page + "2026-05-02\n08:00 wattle-1 hatched count=6\n", "2026-05-05 12:00", LEFT) == []


def test_none_out_by_the_end_of_the_window_is_late_until_it_is_overdue() -> None:
    assert WINDOW is not None
    last = hatch_forecast(fold(logbook(PAGE)), HOUSE, at(day_of(WINDOW.late)), "clutch/wattle-1")
    assert last is not None
    assert found(PAGE, day_of(last.late), LATE) == []
    assert found(PAGE, day_of(last.late + timedelta(days=1)), LATE) == [f"watch {LATE} wattle-1"]
    late = day_of(last.late + timedelta(days=1))
    assert watch(PAGE, late) == [f"hatch watch: Wattle 1, 18 eggs, window ended {last.late.day} {last.late:%b}"]
    wall = date(2026, 3, 2) + timedelta(days=96)
    assert found(PAGE, day_of(wall), LATE, OVERDUE) == [f"watch {LATE} wattle-1"]
    assert the(PAGE, day_of(wall), LATE).key == the(PAGE, late, LATE).key
    assert found(PAGE, day_of(wall + timedelta(days=1)), LATE, OVERDUE) == [f"watch {OVERDUE} wattle-1"]


def test_cold_eggs_never_wait_longer_than_the_longest_incubation() -> None:
    cold = PAGE.replace("air_c=29", "air_c=21")
    wall = date(2026, 3, 2) + timedelta(days=96)
    assert found(cold, day_of(wall + timedelta(days=1)), LATE, OVERDUE) == [f"watch {OVERDUE} wattle-1"]
