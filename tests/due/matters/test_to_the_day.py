"""Boundaries of rules that stand in no other page of tests: the day, the count or the animal on both sides."""

from __future__ import annotations

import pytest

from rounds.due.matter import Level
from rounds.due.matters.look import Reckoning
from rounds.due.matters.wording import CALL_STEP
from tests.due.matters.found import DIG, HOUSE, ROOM, found, the
from tests.due.matters.test_promises import explains_itself
from tests.notation import at, standing


def test_who_lives_alone_fights_with_nobody_and_young_counted_together_may() -> None:
    biting = "11:00 enclosure/b3 behaviour_seen behaviour=biting\n"
    alone = f"{ROOM}2026-04-01\n{biting}"
    assert found(alone, "2026-04-01 12:00", "fighting") == []
    two = f"{ROOM}2026-04-01\n08:00 sedge moved to=enclosure/b3\n{biting}"
    assert len(found(two, "2026-04-01 12:00", "fighting")) == 1
    young = f"{ROOM}2026-04-01\n08:00 wattle moved to=enclosure/b4\n"
    young += f"08:01 group/young arrived name=Young place=enclosure/b3 count=5\n{biting}"
    assert len(found(young, "2026-04-01 12:00", "fighting")) == 1


DROPPED = ROOM + "2026-04-01\n10:00 karri droppings_seen\n2026-04-05\n10:00 karri ate how=well\n"


def test_no_droppings_counts_from_the_last_ones_whatever_came_before() -> None:
    page = ROOM + "2026-03-20\n10:00 karri droppings_seen\n" + DROPPED.removeprefix(ROOM)
    assert found(page, "2026-04-11", "no droppings") == []
    matter = the(page, "2026-04-12", "no droppings")
    assert matter.since == at("2026-04-01 10:00")


def test_who_drops_unnoted_for_forty_days_is_one_of_whom_droppings_are_not_noted() -> None:
    assert len(found(DROPPED, "2026-05-11", "no droppings")) == 1
    assert found(DROPPED, "2026-05-12", "no droppings") == []


def test_no_droppings_says_when_to_phone_until_it_is_for_the_vet() -> None:
    assert any(CALL_STEP in step for step in the(DROPPED, "2026-04-12", "no droppings").do)


BITING = ROOM + "2026-04-01\n08:00 sedge moved to=enclosure/b3\n10:00 sedge behaviour_seen behaviour=biting\n"


def test_bites_three_days_apart_are_one_fight_and_four_days_apart_two() -> None:
    one = BITING + "2026-04-04\n10:00 sedge behaviour_seen behaviour=biting\n"
    assert the(one, "2026-04-04 11:00", "fighting").since == at("2026-04-01 10:00")
    two = BITING + "2026-04-05\n10:00 sedge behaviour_seen behaviour=biting\n"
    assert the(two, "2026-04-05 11:00", "fighting").since == at("2026-04-05 10:00")


def test_looks_are_reckoned_for_the_walk_of_the_hour() -> None:
    page, evening = standing(ROOM), f"{HOUSE.evening_from:%H:%M}"
    clock = {"00:00": "evening", "04:00": "morning", "12:00": "morning", evening: "evening", "23:59": "evening"}
    for now, part in clock.items():
        assert Reckoning(page, HOUSE, at(f"2026-04-01 {now}")).round.part == part


def test_heavy_after_laying_is_a_tenth_above_her_own_weight_and_no_hair_less() -> None:
    page = ROOM + "2026-03-10\n08:00 wattle weighed grams=400\n2026-03-12\n10:00 wattle mating_seen\n2026-04-02\n"
    page += "09:00 wattle eggs_laid clutch=clutch/w-1 count=12 complete=true\n"
    page += "2026-04-03\n09:00 wattle weighed grams={}\n"
    assert len(found(page.format(440), "2026-04-03 10:00", "heavy after laying")) == 1
    assert found(page.format(439.9), "2026-04-03 10:00", "heavy after laying") == []


NONE_FOUND = DROPPED + '2026-04-15\n10:00 karri droppings_seen look="none found"\n'
RUNNY = (
    ROOM + "2026-04-01\n10:00 karri droppings_seen look=runny\n2026-04-02\n10:00 karri droppings_seen look=runny\n"
)
BLOOD = ROOM + '2026-04-01\n10:00 karri droppings_seen look="blood or mucus"\n'
NO_FOOD = ROOM + "".join(f"2026-04-{day:02}\n09:00 karri ate how=refused\n" for day in range(1, 30, 4))
DUG = ROOM + f"2026-04-01\n17:30 wattle {DIG}\n2026-04-02\n17:30 wattle {DIG}\n17:31 wattle lay_box_in\n"
IN_TUB = ROOM + f"2026-04-01\n09:00 wattle moved to=enclosure/b4\n10:00 enclosure/b4 {DIG}\n"
IN_TUB += f"2026-04-03\n10:00 enclosure/b4 {DIG}\n"


@pytest.mark.parametrize(
    ("rule", "page", "before", "vet"),
    [
        ("no droppings", NONE_FOUND, "2026-04-30", "2026-05-02"),
        ("refused food", NO_FOOD, "2026-04-28", "2026-04-30"),
        ("digging without eggs", DUG, "2026-04-07", "2026-04-09"),
        ("unknown digger", IN_TUB, "2026-04-07", "2026-04-12"),
    ],
)
def test_once_it_is_for_the_vet_the_vet_comes_first_and_not_before(
    rule: str, page: str, before: str, vet: str
) -> None:
    milder, worse = the(page, before, rule), the(page, vet, rule)
    assert milder.level < Level.VET == worse.level
    assert "vet" in milder.worsens
    explains_itself(milder, standing(page), at(before))
    explains_itself(worse, standing(page), at(vet))
    assert worse.acts[0] == "vet called" != milder.acts[0]


def test_blood_in_the_droppings_is_for_the_vet_first_and_runny_ones_say_when() -> None:
    explains_itself(the(RUNNY, "2026-04-03", "droppings not right"), standing(RUNNY), at("2026-04-03"))
    explains_itself(the(BLOOD, "2026-04-03", "droppings not right"), standing(BLOOD), at("2026-04-03"))


def test_young_who_gain_a_hair_less_than_six_percent_a_week_are_named() -> None:
    page = ROOM + "08:10 group/hatch arrived name=Hatch count=14 hatched=2026-02-20 place=enclosure/b5\n"
    page += "2026-03-20\n08:00 group/hatch weighed grams=4\n2026-04-03\n08:00 group/hatch weighed grams={}\n"
    assert len(found(page.format(4.49), "2026-04-03", "not growing")) == 1, "5.95 %"
    assert found(page.format(4.495), "2026-04-03", "not growing") == []


def test_dull_once_is_warmed_and_weighed_and_dull_again_is_for_the_vet() -> None:
    once = ROOM + "2026-04-01\n10:00 karri condition_seen look=dull\n"
    twice = once + "2026-04-02\n10:00 karri condition_seen look=dull\n"
    for page, now, level in ((once, "2026-04-01 11:00", Level.TODAY), (twice, "2026-04-02 11:00", Level.VET)):
        matter = the(page, now, "looks dull")
        assert matter.level == level
        explains_itself(matter, standing(page), at(now))


def test_a_loss_while_she_lays_is_for_the_vet_unless_eggs_enough_are_there() -> None:
    page = (
        ROOM
        + "2026-03-12\n10:00 wattle mating_seen\n2026-04-01\n08:00 wattle eggs_laid clutch=clutch/w-1 count={}\n"
    )
    for day, grams in (("02", 400), ("03", 400), ("04", 365), ("05", 364)):
        page += f"2026-04-{day}\n08:00 wattle weighed grams={grams}\n"
    assert found(page.format(9), "2026-04-05 09:00", "weight loss") == ["vet weight loss wattle"]
    assert found(page.format(10), "2026-04-05 09:00", "weight loss") == ["today weight loss wattle"]


def test_a_reading_out_of_range_is_told_by_the_last_one_and_dated_by_the_first() -> None:
    page = ROOM + "2026-04-01\n10:00 enclosure/b3 climate_read basking_c=35\n2026-04-02\n"
    page += "10:00 enclosure/b3 climate_read basking_c=36\n"
    matter = the(page, "2026-04-03", "climate out of range")
    assert matter.since == at("2026-04-01 10:00")
    assert [entry.at for entry in matter.entries] == [at("2026-04-02 10:00")]


def test_a_male_she_was_parted_from_hides_not_the_one_she_is_with_now() -> None:
    page = ROOM + "2026-03-02\n08:00 jarrah arrived name=Jarrah sex=M hatched=2022-03-01\n"
    page += "09:00 wattle put_together mate=jarrah\n2026-03-04\n09:00 wattle parted\n2026-04-01\n"
    page += "08:00 wattle weighed grams=349\n09:00 wattle put_together mate=karri\n"
    assert the(page, "2026-04-01 10:00", "should not be together").since == at("2026-04-01 09:00")


def test_signs_that_once_came_to_the_vets_sum_stand_though_she_eats_again() -> None:
    page = ROOM + "2026-03-12\n10:00 wattle mating_seen\n"
    page += "".join(f"2026-04-{day:02}\n09:00 wattle ate how=refused\n" for day in (1, 6, 11))
    looks = "".join(f"2026-04-{day:02}\n10:00 wattle condition_seen look=bright\n" for day in range(1, 14))
    assert found(page + looks, "2026-04-10 12:00", "signs add up") == []
    assert found(page + looks, "2026-04-11 12:00", "signs add up") == ["vet signs add up wattle"]
    ate = page + "2026-04-12\n09:00 wattle ate how=well\n" + looks
    assert found(ate, "2026-04-13 12:00", "signs add up") == ["vet signs add up wattle"]
    assert found(ate + "13:00 wattle vet_called\n", "2026-04-13 14:00", "signs add up") == []
