"""A female's chances of a clutch, to the day and to the minute."""

from __future__ import annotations

import pytest

from rounds.standing.breeding import Days
from rounds.standing.female import Female, female
from tests.notation import at, standing

ROOM = """
2026-03-01 AK
08:00 enclosure/b3 enclosure_set_up name=B3
08:01 wattle arrived name=Wattle sex=F hatched=2023-03-01 place=enclosure/b3
08:02 karri arrived name=Karri sex=M hatched=2022-03-01
"""
#: Another clutch may come of stored sperm from 24 April on.
LAID = "2026-04-03\n10:00 wattle eggs_laid clutch=clutch/w-1 count=20 complete=true\n"


def her(text: str) -> Female:
    return female(standing(ROOM + text), "animal/wattle", Days())


def test_a_vet_who_finds_her_empty_ends_stored_sperm_only_once_the_next_clutch_can_be_in_her() -> None:
    for day, stored in (("2026-04-23", True), ("2026-04-24", False)):
        seen = her(f"{LAID}{day}\n10:00 wattle vet_seen carrying=false")
        assert (seen.stored_since(at("2026-05-01")) is not None) is stored
    found_empty = her(f"{LAID}2026-04-26\n10:00 wattle vet_seen carrying=false")
    assert found_empty.stored_since(at("2026-04-25")) is not None, "the vet has not been there yet"
    assert found_empty.stored_since(at("2026-04-26")) is None
    well = her(f"{LAID}2026-04-26\n10:00 wattle vet_seen outcome=well")
    assert well.stored_since(at("2026-05-01")) is not None


def test_with_a_male_counts_from_the_minute_they_are_put_together_to_the_minute_they_are_parted() -> None:
    text = "2026-03-10\n10:00 wattle put_together mate=karri\n2026-03-12\n09:00 wattle parted"
    pair = her(text)
    assert pair.last_with_male(at("2026-03-10 09:59")) is None
    assert pair.last_with_male(at("2026-03-12 09:00")) == at("2026-03-12 09:00")
    assert pair.last_with_male(at("2026-03-20 10:00")) == at("2026-03-12 09:00")
    going_on = her(text.partition("\n2026-03-12")[0])
    assert going_on.last_with_male(at("2026-03-10 10:00")) == at("2026-03-10 10:00")
    assert going_on.last_with_male(at("2026-03-20 10:00")) == at("2026-03-20 10:00")


def test_a_weight_written_down_with_her_eggs_still_tells_her_own_weight_and_a_later_one_does_not() -> None:
    page = """
    2026-03-05
    10:00 wattle weighed grams=400
    2026-03-10
    10:00 wattle mating_seen
    2026-04-01
    10:00 wattle eggs_laid clutch=clutch/w-1 count=20 complete=true
    2026-03-06
    10:00 wattle weighed grams=420 written={}
    """
    assert her(page.format("2026-04-01T10:00:00+02:00")).weight_before_last_clutch() == 410
    assert her(page.format("2026-04-01T10:01:00+02:00")).weight_before_last_clutch() == 400


def test_a_clutch_counts_for_her_usual_from_the_least_that_is_usual_at_all_or_once_a_vet_has_heard_of_it() -> None:
    laid = "2026-04-03\n10:00 wattle eggs_laid clutch=clutch/w-1 count={} complete=true\n"
    assert her(laid.format(10)).usual_count() == 10
    assert her(laid.format(9)).usual_count() is None
    assert her(laid.format(9) + "11:00 wattle vet_called").usual_count() == 9
    assert her(laid.format(0) + "11:00 wattle vet_called").usual_count() is None


def test_her_last_mating_is_remembered_beyond_her_clutches() -> None:
    assert her("").last_mating_ever is None
    mated = "2026-03-10\n10:00 wattle mating_seen\n2026-03-12\n10:00 wattle behaviour_seen behaviour=copulation\n"
    last = her(mated + LAID).last_mating_ever
    assert last is not None
    assert last.at == at("2026-03-12 10:00")
    assert her(mated + LAID).matings == ()


@pytest.mark.parametrize(
    ("mating", "closes"),
    [
        ("2026-03-10", "2026-04-21"),  # on the first day of their company
        ("2026-03-12", "2026-04-23"),
        ("2026-03-13", "2026-04-24"),  # on its last
        ("2026-03-14", "2026-04-25"),  # the day after: the company counts by itself
    ],
)
def test_a_mating_seen_on_any_day_of_a_pairing_counts_by_its_day(mating: str, closes: str) -> None:
    page = "2026-03-10\n10:00 wattle put_together mate=karri\n2026-03-13\n10:00 wattle parted\n"
    (window,) = her(f"{page}{mating}\n12:00 wattle mating_seen").windows(at("2026-04-01"))
    assert str(window.closes) == closes
    (together,) = her(page).windows(at("2026-04-01"))
    assert (str(together.opens), str(together.closes)) == ("2026-03-24", "2026-04-24")


def test_without_a_mating_her_own_weight_is_that_from_before_the_company() -> None:
    page = """
    2026-03-05
    10:00 wattle weighed grams=400
    2026-03-10
    10:00 wattle put_together mate=karri
    2026-03-12
    10:00 wattle parted
    2026-03-20
    10:00 wattle weighed grams=430
    2026-04-10
    10:00 wattle eggs_laid clutch=clutch/w-1 count=20 complete=true
    2026-04-20
    10:00 wattle put_together mate=karri
    """
    assert her(page).weight_before_last_clutch() == 400


def test_a_card_is_as_new_as_the_last_move() -> None:
    page = ROOM + "2026-03-05\n10:00 wattle moved to=enclosure/b4\n2026-03-06\n10:00 wattle moved to=enclosure/b3\n"
    assert standing(page).card("animal/wattle").since == at("2026-03-06 10:00")


def test_a_clutch_written_down_late_opens_the_next_window_from_then_on() -> None:
    page = LAID.replace("complete=true", "complete=true written=2026-04-10T10:00:00+02:00")
    assert her(page).stored_since(at("2026-04-05")) is None
    assert her(page).stored_since(at("2026-04-10 09:59")) is None
    assert her(page).stored_since(at("2026-04-10 10:00")) is not None
    assert her(LAID).stored_since(at("2026-04-03 09:59")) is None
    assert her(LAID).stored_since(at("2026-04-03 10:00")) is not None


def test_what_was_never_named_is_called_by_its_id() -> None:
    page = standing(ROOM + LAID + "12:00 room noted note=warm\n")
    assert page.card("clutch/w-1").name == "w-1"
    assert page.card("room").name == "room"
    assert page.card("animal/nobody").name == "nobody"


def test_scratching_after_laying_closes_the_nest_whenever_a_vet_once_found_her_empty() -> None:
    dug = 'wattle behaviour_seen behaviour="nest digging"'
    empty = "2026-03-05\n10:00 wattle vet_seen carrying=false\n"
    assert her(f"{empty}{LAID}18:00 {dug}").digging(at("2026-04-04")) is None
    assert her(f"{empty}2026-03-05\n18:00 {dug}").digging(at("2026-03-06")) is not None, "after the vet it is none"


def test_of_one_still_growing_a_weight_of_weeks_ago_is_not_her_own() -> None:
    young = ROOM.replace("hatched=2023-03-01", "hatched=2024-10-01") + "2026-03-02\n08:00 wattle weighed grams=300"
    one = female(standing(young), "animal/wattle", Days())
    assert one.own_weight(at("2026-03-31")) is None
    assert one.own_weight(at("2026-04-01")) == 300, "18 months by the calendar"


def test_eggs_noted_at_the_moment_a_clutch_was_complete_begin_no_other() -> None:
    for moment, laying in (("10:00", False), ("10:01", True)):
        two = her(f"{LAID}{moment} wattle eggs_laid clutch=clutch/w-2 count=2")
        assert (two.laying is not None) is laying


def test_of_one_never_with_a_male_her_own_weight_is_the_median_of_the_last_three_that_are_old() -> None:
    grams = (300, 300, 300, 400, 402, 404)
    page = "".join(f"2026-03-{2 + day:02}\n08:00 wattle weighed grams={one}\n" for day, one in enumerate(grams))
    assert her(page + "2026-04-10\n08:00 wattle weighed grams=500").own_weight(at("2026-04-20")) == 402


def test_a_heavy_body_with_a_lay_box_is_in_the_lay_box_mated_or_not() -> None:
    box = "2026-04-01\n10:00 wattle lay_box_in depth_cm=20\n"
    assert her(box).phase(at("2026-04-02")) == "resting"
    assert her(box + "11:00 wattle condition_seen body=heavy\n").phase(at("2026-04-02")) == "in lay box"


def test_who_shared_no_minute_of_a_tub_was_no_company() -> None:
    page = """
    2026-04-01
    10:00 karri moved to=enclosure/b3
    10:00 wattle moved to=enclosure/b4
    """
    assert her(page).company == ()
    assert len(her(page.replace("10:00 wattle", "10:01 wattle")).company) == 1


def test_a_lay_box_given_in_the_minute_she_was_moved_is_with_her() -> None:
    moved = "2026-04-01\n10:00 wattle moved to=enclosure/b4\n{} wattle lay_box_in depth_cm=20\n"
    assert her(moved.format("10:00")).has_lay_box
    assert not her(moved.format("09:59")).has_lay_box


def test_a_male_is_company_once_he_is_eight_months_old_by_the_calendar() -> None:
    young = (
        ROOM.replace("hatched=2022-03-01", "hatched=2025-08-10") + "2026-04-01\n10:00 karri moved to=enclosure/b3\n"
    )
    for day, company in (("2026-04-09", 0), ("2026-04-10", 1)):
        page = standing(f"{young}{day}\n10:00 karri moved to=enclosure/b4")
        assert len(female(page, "animal/wattle", Days()).company) == company


def test_a_second_male_of_the_same_days_changes_nothing_and_one_who_came_later_does() -> None:
    here = "2026-03-10\n10:00 karri moved to=enclosure/b3\n"
    bull = "09:00 bull arrived name=Bull sex=M hatched=2022-03-01\n"
    one = her(here).windows(at("2026-03-20"))
    both = her(here + "10:00 bull arrived name=Bull sex=M hatched=2022-03-01 place=enclosure/b3\n")
    assert both.windows(at("2026-03-20")) == one
    assert [time.mate for time in both.company] == ["animal/bull", "animal/karri"]
    gone = "2026-03-12\n10:00 karri moved to=enclosure/b4\n2026-03-19\n10:00 bull moved to=enclosure/b3\n"
    later = her("2026-03-10\n" + bull + here.partition("\n")[2] + gone)
    [window] = later.windows(at("2026-03-21"))
    assert (window.first, window.last) == (at("2026-03-10").date(), at("2026-03-21").date())
