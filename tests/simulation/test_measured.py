"""The harness can fail, and counts what it says it counts."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Sequence
from datetime import datetime
from functools import cache

import pytest
from msgspec.structs import replace

from rounds.due.matter import Level, Matter
from rounds.logbook.entries import EggsLaid
from rounds.standing.fold import Standing
from tests.simulation import alarms_page
from tests.simulation.courses import HEALTHY, SICK
from tests.simulation.judge import NoRules, Program
from tests.simulation.measured import Onsets, Sick
from tests.simulation.pen import ZONE, moment
from tests.simulation.report import report, varied
from tests.simulation.rooms import HER
from tests.simulation.run import VARIED, Plan, measure, one_season
from tests.simulation.said import vet
from tests.simulation.show import page as shown

SMALL = Plan(many=10, rooms=0, seed=3)
FEW = Plan(many=2, rooms=0, seed=3)


class When(NoRules):
    """A vet matter about her whenever a test says so."""

    def __init__(self, when: Callable[[datetime], bool]) -> None:
        self._when = when

    def matters(self, standing: Standing, now: datetime, subjects: tuple[str, ...]) -> Sequence[Matter]:
        return (vet(now),) if self._when(now) else ()


def test_without_rules_none_is_caught() -> None:
    measured = measure(SMALL, judge=NoRules())
    assert (measured.caught, measured.silenced, measured.false_vets) == (0, 0, 0)
    tables = "\n".join(report(measured))
    assert "| gone wrong: at *vet* before the hour of no return | 0.0 % |" in tables
    assert "What stood at the hour of no return: nothing 10." in tables


def test_an_alarm_about_everyone_catches_all_and_is_false_for_every_healthy_one() -> None:
    measured = measure(SMALL, judge=When(lambda _: True))
    assert measured.caught == 1
    assert measured.silenced == 0
    assert measured.false_vets == 1
    assert all(one.early == 1 for one in measured.sick)


def test_an_alarm_that_goes_on_its_own_is_counted_as_silenced() -> None:
    measured = measure(SMALL, judge=When(lambda now: now.hour < 12))
    assert measured.caught == 1
    assert measured.silenced == len(measured.sick)


def test_a_matter_that_comes_back_within_three_days_is_the_same_one() -> None:
    onsets = Onsets(Level.VET, Level.VET_NOW)
    for day in (1, 2, 5, 9, 30):
        onsets.take(day, [vet(moment(day))])
        onsets.take(day, [])
    assert onsets.begun == {"test": 3}
    onsets.take(40, [replace(vet(moment(40)), level=Level.TODAY)])
    assert onsets.begun == {"test": 3}


def test_one_that_stood_on_the_walk_before_is_the_same_however_many_days_nobody_came() -> None:
    onsets = Onsets(Level.VET, Level.VET_NOW)
    for day in (1, 9, 30):
        onsets.take(day, [vet(moment(day))])
    assert onsets.begun == {"test": 1}


def test_eggs_written_of_part_of_a_clutch_are_an_answer_told_apart() -> None:
    """The alarm goes with the first word that the clutch is complete, as it must; it was only part of it."""

    class UntilEggs(NoRules):
        def matters(self, standing: Standing, now: datetime, subjects: tuple[str, ...]) -> Sequence[Matter]:
            complete = any(entry.complete for entry in standing.page(HER).of(EggsLaid))
            return () if complete else (vet(now),)

    found = [one_season(SMALL, ("part of a clutch", number), UntilEggs()) for number in range(12)]
    assert any(isinstance(one, Sick) and one.eggs_answered for one in found)
    assert all(isinstance(one, Sick) and one.silenced is None for one in found)


def test_an_alarm_after_the_hour_of_no_return_is_late() -> None:
    late = measure(SMALL, judge=When(lambda now: now.month >= 12))
    assert late.caught == 0
    dates = [one.no_return for one in late.sick]
    assert len(set(dates)) == len(dates)


def test_the_program_catches_some_and_the_processes_make_no_difference() -> None:
    alone, together = measure(FEW), measure(FEW, processes=2)
    assert alone == together
    assert 0 < alone.caught <= 1


def test_a_room_is_measured() -> None:
    plan = Plan(many=0, rooms=1, seed=3)
    plan = dataclasses.replace(plan, biology=dataclasses.replace(plan.biology, season_days=24))
    measured = measure(plan, judge=Program(ZONE))
    (room,) = measured.rooms
    assert 7 <= room.mornings == len(room.looks) <= 10
    assert room.lines["weigh"] > 0
    assert "### A healthy room of 50" in "\n".join(report(measured))


def test_each_assumption_that_is_varied_changes_what_is_written() -> None:
    tasks = [(name, 0) for name in SICK]
    base = cache(lambda task: one_season(SMALL, task))
    for what, change in VARIED[1:]:
        assert any(one_season(change(SMALL), task) != base(task) for task in tasks), what
    table = "\n".join(varied([(what, measure(SMALL, judge=NoRules())) for what, _ in VARIED[:2]]))
    assert "| signs seen half as often | 0.0 % | 0 of 10 |" in table


def test_one_season_is_shown_walk_by_walk() -> None:
    lines = list(shown(SMALL, "no eggs", 0))
    text = "\n".join(lines)
    assert "NO RETURN" in text
    assert "wattle: died" in text
    assert " + " in text
    assert "egg check" in text
    assert text == "\n".join(shown(SMALL, "no eggs", 0))


def test_the_page_tells_the_command_and_every_course() -> None:
    page = alarms_page.PAGE.read_text(encoding="utf-8")
    assert "python -m tests.simulation --vary --write" in page
    for name in (*SICK, *HEALTHY):
        assert f"| {name} |" in alarms_page.between(page, "measured")
    for what, _ in VARIED:
        assert f"| {what} |" in alarms_page.between(page, "varied")


def test_a_page_without_its_marks_is_refused() -> None:
    with pytest.raises(ValueError, match="marks"):
        alarms_page.with_part("# Alarms", "measured", [])
