"""The order of the room."""

from __future__ import annotations

from rounds.due.matter import Level
from tests.due.matters.found import ROOM, found, the
from tests.notation import at

NEW = ROOM + "2026-04-01\n08:00 nell arrived name=Nell sex=F hatched=2023-01-01 place=@l1 quarantine=true\n"


def test_quarantine_runs_for_90_days_and_is_then_to_be_ended() -> None:
    assert the(NEW, "2026-04-01 09:00", "quarantine").says == "Nell is in quarantine, day 1 of 90, until 30 Jun."
    assert found(NEW, "2026-06-29", "quarantine") == ["watch quarantine nell"]
    assert found(NEW, "2026-06-30", "quarantine") == ["today quarantine nell"]
    assert the(NEW, "2026-06-30", "quarantine").key == the(NEW, "2026-04-02", "quarantine").key
    ended = NEW + "2026-06-30\n08:00 nell quarantine_ended\n"
    assert found(ended, "2026-06-30 09:00", "quarantine") == []


def test_an_animal_in_quarantine_lives_with_nobody_who_is_not() -> None:
    assert found(NEW, "2026-04-02", "quarantine shared") == []
    shared = NEW + "2026-04-03\n08:00 sedge moved to=@l1\n"
    matter = the(shared, "2026-04-03 09:00", "quarantine shared")
    assert (matter.level, matter.since) == (Level.TODAY, at("2026-04-03 08:00"))
    assert matter.says == "Nell, in quarantine, lives with Sedge."
    both = NEW + "08:00 tess arrived name=Tess sex=F place=@l1 quarantine=true\n"
    assert found(both, "2026-04-02", "quarantine shared") == []


def test_an_animal_without_a_place_is_found() -> None:
    page = ROOM + "2026-04-01\n08:00 nell arrived name=Nell sex=F\n"
    assert the(page, "2026-04-01 09:00", "no place").says == "Nell has no place."
    assert found(page + "09:00 nell moved to=@b4\n", "2026-04-01 10:00", "no place") == []
    assert found(page + "09:00 nell left how=sold\n", "2026-04-01 10:00", "no place") == []


def test_so_is_one_in_an_enclosure_that_does_not_stand() -> None:
    down = ROOM + "2026-04-01\n08:00 @b3 enclosure_taken_down\n"
    matter = the(down, "2026-04-01 09:00", "no place")
    assert matter.says == "Wattle lives in B3, which does not stand."
    assert matter.since == at("2026-04-01 08:00")
    never = ROOM + "2026-04-01\n08:00 +hatch arrived name=Hatch count=3 place=@z9\n"
    assert the(never, "2026-04-01 09:00", "no place").says == "Hatch live in z9, which does not stand."


def test_two_animals_dead_within_two_weeks_concern_the_room() -> None:
    one = ROOM + "2026-04-01\n08:00 wattle died\n"
    assert found(one, "2026-04-02", "deaths in room") == []
    two = one + "2026-04-10\n08:00 sedge died\n"
    assert (
        the(two, "2026-04-11", "deaths in room").says
        == "2 animals of the room died within 14 days: Wattle and Sedge."
    )
    assert found(two, "2026-04-16", "deaths in room") == []


def test_a_group_that_died_out_is_not_passed_over_in_silence() -> None:
    page = ROOM + "08:10 +hatch arrived name=Hatch count=9 place=@b5\n2026-04-01\n08:00 +hatch died count=3\n"
    assert found(page, "2026-04-02", "deaths in room") == []
    out = page + "2026-04-02\n08:00 +hatch died\n"
    assert found(out, "2026-04-02 09:00", "deaths in group", "deaths in room") == ["today deaths in room room"]
    assert "Hatch" in the(out, "2026-04-02 09:00", "deaths in room").says


def test_who_has_left_or_died_has_no_matters() -> None:
    page = ROOM + "2026-04-01\n08:00 wattle egg_check_done present=straining\n09:00 wattle {}\n"
    for end in ("died", "left how=sold"):
        assert not [one for one in found(page.format(end), "2026-04-01 10:00") if one.endswith("wattle")]
    back = page.format("left how=lent") + "2026-05-01\n08:00 wattle arrived name=Wattle sex=F place=@b3\n"
    assert "vet now danger sign wattle" in found(back, "2026-05-01 09:00")
