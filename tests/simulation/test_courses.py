"""The seasons themselves are sane, whatever the program makes of them."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from itertools import pairwise

import pytest

from rounds.audit import findings
from rounds.due.matter import Matter
from rounds.logbook.entries import (
    BehaviourSeen,
    Died,
    EggCheckDone,
    EggsLaid,
    Entry,
    FeltForEggs,
    MatingSeen,
    PutTogether,
    VetCalled,
    Weighed,
)
from rounds.logbook.words import DANGER_SIGNS, EGG_SIGNS
from rounds.standing.fold import Standing
from tests.simulation.assumed import Biology, Habits
from tests.simulation.courses import DAY, HEALTHY, SICK, Course, grown
from tests.simulation.dwellers import Dweller
from tests.simulation.judge import Judge, NoRules, Program
from tests.simulation.pen import ZONE, moment
from tests.simulation.rooms import HER, TUB, alone, healthy_kinds, noted, of_fifty
from tests.simulation.said import vet

HABITS, BIOLOGY = Habits(), Biology()
PROGRAM = Program(ZONE)


class Everything(NoRules):
    """Says vet of her on every walk."""

    def matters(self, standing: Standing, now: datetime, subjects: tuple[str, ...]) -> Sequence[Matter]:
        return (vet(now),)


def course(name: str, number: int) -> Course:
    return grown(name, f"7 {name} {number} course", BIOLOGY, noted(HABITS))


def page(name: str, number: int, judge: Judge = PROGRAM) -> tuple[list[Entry], Dweller]:
    """All entries of a season, in the order of writing, and her."""
    season, her = alone(name, number, 7, HABITS, BIOLOGY, judge)
    return [entry for walk in season.walks() for entry in walk.entries], her


@pytest.mark.parametrize("name", SICK)
def test_each_that_goes_wrong_has_its_hours_in_order(name: str) -> None:
    for number in range(30):
        one = course(name, number)
        assert one.trouble is not None
        assert one.no_return is not None
        assert one.death is not None
        assert one.trouble < one.no_return < one.death < one.days * DAY
        assert all(0 <= one.no_return - day * DAY <= 4 * DAY for day in one.danger if day * DAY < one.no_return)
        assert all(before[0] < after[0] for before, after in pairwise(one.weights))


@pytest.mark.parametrize("name", HEALTHY)
def test_the_healthy_have_no_such_hour_and_lay_whole_clutches(name: str) -> None:
    for number in range(30):
        one = course(name, number)
        assert one.trouble is one.no_return is one.death is None
        assert not one.danger
        assert all(laying.eggs == laying.whole and 11 <= laying.whole <= 40 for laying in one.layings)
        assert all(after.began - before.ended >= 16 * DAY for before, after in pairwise(one.layings))
        assert one.grams(0) * 0.9 < one.grams(one.days * DAY)


def test_her_weight_rises_with_the_eggs_and_falls_with_them() -> None:
    one = course("mating seen", 0)
    first = one.layings[0]
    own, gravid, after = one.grams(0), one.grams(first.began), one.grams(first.ended)
    assert after < own < gravid
    assert first.whole * 2.9 - 1 <= gravid - own <= first.whole * 4.9 + 1


def test_follicles_without_a_mate_and_no_male_ever() -> None:
    for name in ("follicles, no mate", "never with a male"):
        written, _ = page(name, 1)
        assert not [entry for entry in written if isinstance(entry, MatingSeen | PutTogether)]


def test_nobody_sees_an_unseen_mating() -> None:
    for number in range(4):
        written, _ = page("unseen mating", number)
        assert not [entry for entry in written if isinstance(entry, MatingSeen)]


def test_the_healthy_are_shared_out_as_said() -> None:
    kinds = [name for name, _ in healthy_kinds(1000)]
    assert healthy_kinds(1000)[:300] == healthy_kinds(300)
    assert {name: kinds.count(name) / 1000 for name in HEALTHY} == {
        name: part for name, (_, part) in HEALTHY.items()
    }


@pytest.mark.parametrize("name", [*SICK, *HEALTHY])
def test_what_is_written_holds_together_and_the_same_seed_writes_the_same(name: str) -> None:
    written, her = page(name, 1)
    assert not [one for one in findings(written) if one.level == "wrong"]
    assert [entry.id for entry in written] == sorted({entry.id for entry in written})
    assert her.dead == (name in SICK)
    assert written == page(name, 1)[0]
    assert page(name, 1, NoRules())[0] != page(name, 0, NoRules())[0]


@pytest.mark.parametrize("name", SICK)
def test_nothing_is_written_of_the_dead(name: str) -> None:
    written, _ = page(name, 2)
    died = [entry for entry in written if isinstance(entry, Died) and entry.about == HER]
    assert len(died) == 1
    assert all(entry.at <= died[0].at for entry in written if entry.about == HER)


def test_no_vet_is_told_of_one_in_trouble() -> None:
    for name in SICK:
        written, her = page(name, 3, Everything())
        assert her.course.trouble is not None
        calls = [entry.at for entry in written if isinstance(entry, VetCalled) and entry.about == HER]
        assert calls
        assert max(calls) < moment(her.course.trouble)


def test_a_room_of_fifty_holds_together() -> None:
    season = of_fifty(1, 7, HABITS, Biology(season_days=30), PROGRAM)
    assert len(season.dwellers) == 50
    assert [one.sex for one in season.dwellers].count("F") == 22 + 4
    written = [entry for walk in season.walks() for entry in walk.entries]
    assert not [one for one in findings(written) if one.level == "wrong"]


def test_keepers_are_as_fallible_as_said() -> None:
    written = [entry for number in range(8) for entry in page("no eggs", number)[0]]
    checks = [entry for entry in written if isinstance(entry, EggCheckDone)]
    assert any(not entry.present and not entry.absent for entry in checks)
    assert any(entry.absent == EGG_SIGNS for entry in checks)
    assert any(set(entry.present) & DANGER_SIGNS for entry in checks)
    assert any(entry.written for entry in written)
    assert any(isinstance(entry, BehaviourSeen) and entry.about == TUB for entry in written)
    assert any(isinstance(entry, FeltForEggs) and entry.found == "eggs" for entry in written)
    assert any(isinstance(entry, Weighed) and entry.about != HER for entry in written)


def test_part_of_a_clutch_is_sometimes_taken_for_all_of_it() -> None:
    ends = []
    for number in range(8):
        written, her = page("part of a clutch", number)
        laid = [entry for entry in written if isinstance(entry, EggsLaid)]
        assert laid[-1].count < her.course.layings[0].whole
        ends.append(laid[-1].complete)
    assert True in ends
    assert False in ends


def test_what_is_seen_in_passing_does_not_hang_on_the_rules() -> None:
    def digging(judge: Judge) -> list[tuple[date, str]]:
        written = [entry for number in range(4) for entry in page("no eggs", number, judge)[0]]
        return [(entry.at.date(), entry.about) for entry in written if isinstance(entry, BehaviourSeen)]

    assert digging(PROGRAM) == digging(NoRules()) != []
