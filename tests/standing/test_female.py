"""A female's breeding year, as the page says it."""

from __future__ import annotations

import pytest

from rounds.standing.animal import animal
from rounds.standing.breeding import Days
from rounds.standing.female import Female, female
from tests.notation import at, standing

ROOM = """
2026-03-01 AK
08:00 @b3 enclosure_set_up name=B3
08:00 @b4 enclosure_set_up name=B4
08:00 @l1 enclosure_set_up name=L1 what="lay box"
08:01 wattle arrived name=Wattle sex=F hatched=2023-03-01 place=@b3
08:02 karri arrived name=Karri sex=M hatched=2022-03-01 place=@b4
"""
DUG = 'wattle behaviour_seen behaviour="nest digging"'


def her(text: str) -> Female:
    return female(standing(ROOM + text), "animal/wattle")


def phase(text: str, now: str) -> str:
    return her(text).phase(at(now), Days())


def test_she_goes_from_mated_to_laid() -> None:
    text = "2026-03-10\n10:00 wattle mating_seen sire=karri"
    assert phase(text, "2026-03-20") == "mated"
    text += "\n2026-03-25\n10:00 wattle felt_for_eggs found=eggs"
    assert phase(text, "2026-03-26") == "gravid"
    text += f"\n2026-04-01\n10:00 {DUG}"
    assert phase(text, "2026-04-01") == "nesting"
    text += "\n12:00 wattle lay_box_in box=@l1\n12:00 wattle moved to=@l1"
    assert phase(text, "2026-04-01 13:00") == "in lay box"
    text += "\n2026-04-03\n10:00 wattle eggs_laid clutch=%wattle-1 count=4"
    assert phase(text, "2026-04-03") == "laying"
    text += "\n12:00 wattle eggs_laid clutch=%wattle-1 count=20 complete=true"
    assert phase(text, "2026-04-04") == "laid"
    assert phase(text, "2026-05-01") == "resting"


def test_put_together_ends_when_they_are_parted() -> None:
    text = "2026-03-10\n10:00 wattle put_together mate=karri"
    assert her(text).with_male_now is not None
    assert her(text + "\n2026-03-12\n10:00 wattle parted").with_male_now is None


@pytest.mark.parametrize(
    "apart",
    ["karri moved to=@b4", "wattle moved to=@l1", "karri died", "wattle left how=sold", "karri left how=lent"],
)
def test_put_together_ends_too_when_one_of_them_goes_elsewhere(apart: str) -> None:
    text = f"""
    2026-03-10
    10:00 karri moved to=@b3
    10:00 wattle put_together mate=karri
    2026-03-12
    10:00 {apart}
    """
    found = her(text)
    assert found.with_male_now is None
    assert found.last_with_male(at("2026-03-20")) == at("2026-03-12 10:00")


def test_a_pair_put_together_without_a_move_is_together_until_somebody_says_otherwise() -> None:
    assert her("2026-03-10\n10:00 wattle put_together mate=karri").with_male_now is not None


def test_a_lay_box_set_into_her_tub_does_not_move_with_her() -> None:
    text = "2026-03-10\n10:00 wattle lay_box_in depth_cm=20"
    assert her(text).has_lay_box
    assert not her(text + "\n2026-03-12\n10:00 wattle moved to=@b4").has_lay_box


def test_a_lay_box_she_was_set_into_is_hers_while_she_is_in_it() -> None:
    text = "2026-03-10\n10:00 wattle lay_box_in box=@l1\n10:00 wattle moved to=@l1"
    assert her(text).has_lay_box
    assert not her(text + "\n2026-03-12\n10:00 wattle moved to=@b3").has_lay_box
    assert not her(text.partition("\n10:00 wattle moved")[0] + "\n2026-03-12\n10:00 wattle lay_box_out").has_lay_box


def test_a_lay_box_of_the_tub_is_there_for_all_in_it() -> None:
    assert her("2026-03-10\n10:00 @b3 lay_box_in").has_lay_box
    assert not her("2026-03-10\n10:00 @b3 lay_box_in\n11:00 @b3 lay_box_out").has_lay_box


def test_scratching_on_the_day_after_laying_closes_the_nest() -> None:
    # Common practice, no source.
    laid = "2026-04-03\n10:00 wattle eggs_laid clutch=%wattle-1 count=20 complete=true"
    assert her(f"{laid}\n18:00 {DUG}").digging(14) is None
    again = her(f"{laid}\n2026-04-05\n10:00 {DUG}").digging(14)
    assert again is not None
    assert again.since == at("2026-04-05 10:00")


def test_digging_is_over_when_none_was_seen_for_longer_than_the_gap() -> None:
    dug = her(f"2026-04-03\n10:00 {DUG}")
    assert dug.digging(14, at("2026-04-17")) is not None
    assert dug.digging(14, at("2026-04-18")) is None
    assert dug.phase(at("2026-04-18"), Days()) == "resting"
    assert dug.digging_ever(14) is not None


def test_digging_after_a_long_pause_is_a_new_run_and_a_vet_ends_one() -> None:
    two = her(f"2026-03-03\n10:00 {DUG}\n2026-04-03\n10:00 {DUG}").digging(14)
    assert two is not None
    assert two.since == at("2026-04-03 10:00")
    assert her(f"2026-04-03\n10:00 {DUG}\n2026-04-04\n10:00 wattle vet_seen").digging(14) is None


def test_digging_found_at_an_egg_check_is_hers() -> None:
    found = her("2026-04-03\n10:00 wattle egg_check_done present=digging").digging(14)
    assert found is not None
    assert found.day(at("2026-04-05")) == 3


def test_her_weight_before_carrying_is_the_median_of_the_last_three_before_the_mating() -> None:
    text = """
    2026-03-02
    08:00 wattle weighed grams=480
    2026-03-03
    08:00 wattle weighed grams=400
    2026-03-04
    08:00 wattle weighed grams=402
    2026-03-05
    08:00 wattle weighed grams=404
    2026-03-10
    10:00 wattle behaviour_seen behaviour=copulation toward=karri
    2026-03-20
    08:00 wattle weighed grams=450
    2026-04-01
    10:00 wattle eggs_laid clutch=%wattle-1 count=20 complete=true
    """
    assert her(text.partition("2026-04-01")[0]).weight_before_carrying() == 402
    assert her(text).weight_before_last_clutch() == 402


def test_without_a_mating_noted_it_is_the_weight_from_before_she_can_have_carried() -> None:
    text = """
    2026-03-02
    08:00 wattle weighed grams=400
    2026-04-20
    08:00 wattle weighed grams=460
    2026-05-01
    10:00 wattle eggs_laid clutch=%wattle-1 count=20 complete=true
    """
    assert her(text).weight_before_last_clutch() is None
    assert her(text).weight_before_last_clutch(42) == 400


def test_a_danger_sign_stands_until_an_egg_check_finds_it_gone_or_a_vet_has_seen_her() -> None:
    text = "2026-04-03\n10:00 wattle egg_check_done present=straining,tremor"
    one = animal(standing(ROOM + text), "animal/wattle")
    assert [sign.sign for sign in one.danger] == ["straining", "tremor"]
    text += "\n2026-04-04\n10:00 wattle egg_check_done absent=straining present=tremor"
    one = animal(standing(ROOM + text), "animal/wattle")
    assert [(sign.sign, sign.entry.at) for sign in one.danger] == [("tremor", at("2026-04-03 10:00"))]
    assert one.danger_since == at("2026-04-03 10:00")
    seen = animal(standing(ROOM + text + "\n11:00 wattle vet_seen"), "animal/wattle")
    assert (seen.danger, seen.danger_since) == ((), None)


def test_a_sign_that_comes_back_is_dated_anew() -> None:
    text = """
    2026-04-03
    10:00 wattle condition_seen signs=lethargy
    2026-04-04
    10:00 wattle egg_check_done absent=lethargy
    2026-04-06
    10:00 wattle condition_seen signs=lethargy
    """
    assert animal(standing(ROOM + text), "animal/wattle").danger_since == at("2026-04-06 10:00")


def test_an_animal_that_was_only_ever_named_by_others_lived_nowhere() -> None:
    page = ROOM + "2026-04-01\n10:00 wattle put_together mate=stranger\n10:01 stranger weighed grams=400"
    assert animal(standing(page), "animal/stranger").stays == ()
    assert female(standing(page), "animal/wattle").with_male_now is not None
