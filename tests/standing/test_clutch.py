"""A clutch in its box: what is left to hatch, whatever was lost, hatched and boxed again, in whatever order."""

from __future__ import annotations

import pytest

from rounds.logbook.boxing import BOXING_HOURS
from rounds.paper.subject import subject_page, subject_text
from rounds.rules.default import default_house
from rounds.rules.settings import Settings
from rounds.screens.views.subject import subject_head
from rounds.standing.clutch import Clutch, clutch, clutches_in
from tests.notation import VIENNA, at, standing

ROOM = """
2026-03-01 AK
08:00 enclosure/s1 enclosure_set_up name=S1 what="incubator shelf"
08:00 enclosure/s2 enclosure_set_up name=S2 what="incubator shelf"
08:01 wattle arrived name=Wattle sex=F hatched=2023-03-01
2026-04-01
06:00 wattle eggs_laid clutch=clutch/wattle-2026-1 count=22 slugs=2 complete=true
"""
EGGS = "clutch/wattle-2026-1"


def eggs(text: str) -> Clutch:
    return clutch(standing(ROOM + text), EGGS)


def boxed(count: int, place: str = "enclosure/s1") -> str:
    return f"clutch/wattle-2026-1 eggs_boxed count={count} place={place}\n"


def lost(count: int) -> str:
    return f"clutch/wattle-2026-1 eggs_lost count={count}\n"


def hatched(count: int) -> str:
    return f"clutch/wattle-2026-1 hatched count={count}\n"


FIRST = "2026-04-01\n09:00 " + boxed(20)


@pytest.mark.parametrize(
    ("after", "left"),
    [
        ("", 20),
        ("2026-04-10\n09:00 " + lost(2), 18),
        ("2026-04-10\n09:00 " + lost(2) + "10:00 " + boxed(18), 18),
        ("2026-04-10\n09:00 " + lost(2) + "10:00 " + boxed(18) + "2026-04-20\n09:00 " + lost(3), 15),
        ("2026-04-10\n09:00 " + lost(2) + "10:00 " + boxed(18) + "2026-04-20\n09:00 " + boxed(18), 18),
        ("2026-05-20\n09:00 " + hatched(5) + "09:30 " + lost(2) + "10:00 " + boxed(13) + "12:00 " + hatched(4), 9),
        ("2026-05-20\n09:00 " + hatched(20), 0),
    ],
)
def test_boxed_again_the_count_is_what_is_in_the_box_then(after: str, left: int) -> None:
    assert eggs(FIRST + after).left_to_hatch == left


@pytest.mark.parametrize("count", [16, 19])
def test_a_count_that_does_not_add_up_is_believed_as_the_last_one_made(count: int) -> None:
    assert eggs(FIRST + "2026-04-10\n09:00 " + lost(2) + "10:00 " + boxed(count)).left_to_hatch == count


def test_what_was_lost_before_the_eggs_were_boxed_never_was_in_the_box() -> None:
    assert eggs("2026-04-01\n08:00 " + lost(2) + "09:00 " + boxed(18)).left_to_hatch == 18


def test_a_loss_noted_late_of_the_time_before_changes_nothing_in_the_box() -> None:
    assert eggs(FIRST + "2026-04-10\n10:00 " + boxed(18) + "2026-04-05\n09:00 " + lost(2)).left_to_hatch == 18


def test_a_second_box_of_the_same_day_adds_to_the_first_as_far_as_eggs_are_left() -> None:
    one = eggs("2026-04-01\n09:00 " + boxed(12) + "09:10 " + boxed(8, "enclosure/s2"))
    assert one.left_to_hatch == 20
    assert [clutches_in(one.standing, place) for place in ("enclosure/s1", "enclosure/s2")] == [[one], [one]]
    assert [one.left_in(place) for place in ("enclosure/s1", "enclosure/s2")] == [12, 8]
    assert eggs("2026-04-01\n09:00 " + boxed(20) + "09:10 " + boxed(20, "enclosure/s2")).left_to_hatch == 20


@pytest.mark.parametrize(
    ("first", "second", "left"),
    [
        ("2026-04-01\n20:00", "2026-04-02\n07:00", 20),
        ("2026-04-01\n23:50", "2026-04-02\n00:10", 20),
        ("2026-04-01\n09:00", "2026-04-02\n09:00", 20),
        ("2026-04-01\n09:00", "2026-04-02\n09:01", 8),
    ],
)
def test_a_second_box_within_the_day_adds_also_past_midnight(first: str, second: str, left: int) -> None:
    one = eggs(f"{first} {boxed(12)}{second} {boxed(8, 'enclosure/s2')}")
    assert one.left_to_hatch == left


def test_a_loss_of_boxed_eggs_in_between_makes_the_next_box_the_same_eggs_again() -> None:
    between = "2026-04-01\n09:00 " + boxed(10) + "09:05 " + lost(3) + "09:10 " + boxed(7, "enclosure/s2")
    assert eggs(between).left_to_hatch == 7, "two of the three were slugs; one came out of the box"


def test_slugs_that_are_thrown_out_come_out_of_no_box() -> None:
    room = ROOM.replace("count=22 slugs=2", "count=20 slugs=4")
    before = "2026-04-01\n08:00 " + lost(4) + "09:00 " + boxed(8) + "09:10 " + boxed(8, "enclosure/s2")
    between = "2026-04-01\n09:00 " + boxed(8) + "09:05 " + lost(4) + "09:10 " + boxed(8, "enclosure/s2")
    after = "2026-04-01\n09:00 " + boxed(8) + "09:05 " + boxed(8, "enclosure/s2") + "10:00 " + lost(4)
    for page in (before, between, after):
        assert clutch(standing(room + page), EGGS).left_to_hatch == 16
    a_week_later = "2026-04-01\n09:00 " + boxed(16) + "2026-04-08\n09:00 " + lost(4)
    assert clutch(standing(room + a_week_later), EGGS).left_to_hatch == 12, "then they come out of the box"


def test_what_is_still_to_be_boxed_has_its_slugs_taken_off_once() -> None:
    room = ROOM.replace("count=22 slugs=2", "count=20 slugs=4")
    assert clutch(standing(room), EGGS).unboxed == 16
    assert clutch(standing(room + "2026-04-01\n08:00 " + lost(4)), EGGS).unboxed == 16
    assert clutch(standing(room + "2026-04-01\n08:00 " + lost(5)), EGGS).unboxed == 15


def test_one_of_two_boxes_moved_and_then_the_other_are_both_there_again() -> None:
    two = "2026-04-10\n10:00 " + boxed(8, "enclosure/s2") + "10:05 " + boxed(12, "enclosure/s1")
    one = eggs(FIRST + two)
    assert (one.left_to_hatch, one.left_in("enclosure/s1"), one.left_in("enclosure/s2")) == (20, 12, 8)


def test_a_share_is_known_until_eggs_of_two_places_are_lost_or_hatched() -> None:
    two = "2026-04-01\n09:00 " + boxed(12) + "09:10 " + boxed(8, "enclosure/s2")
    assert eggs(FIRST + "2026-04-20\n09:00 " + lost(3)).left_in("enclosure/s1") == 17
    for gone in (lost(3), hatched(3)):
        one = eggs(two + "2026-05-20\n09:00 " + gone)
        assert (one.left_to_hatch, one.left_in("enclosure/s1"), one.left_in("enclosure/s2")) == (17, None, None)


def test_a_day_for_boxing_is_the_default_of_the_house() -> None:
    assert default_house(VIENNA).number("eggbinding.eggs_boxed_hours") == BOXING_HOURS


def test_eggs_laid_later_go_into_a_box_of_their_own_or_all_into_one() -> None:
    first = "2026-04-01\n09:00 wattle eggs_laid clutch=clutch/w count=8\n"
    first += "10:00 clutch/w eggs_boxed count=8 place=enclosure/s1\n"
    rest = "2026-04-02\n09:00 wattle eggs_laid clutch=clutch/w count=20 complete=true\n"
    rest += "10:00 clutch/w eggs_boxed count={}"
    for count in (12, 20):
        room = ROOM.rpartition("2026-04-01")[0]
        assert clutch(standing(room + first + rest.format(count)), "clutch/w").left_to_hatch == 20


def test_moved_to_another_shelf_the_first_one_holds_them_no_more() -> None:
    one = eggs(FIRST + "2026-04-10\n09:00 " + lost(2) + "10:00 " + boxed(18, "enclosure/s2"))
    assert clutches_in(one.standing, "enclosure/s1") == []
    assert clutches_in(one.standing, "enclosure/s2") == [one]


TWO = "2026-04-01\n10:00 " + boxed(10) + "10:05 " + boxed(10, "enclosure/s2")


@pytest.mark.parametrize(
    ("after", "sum_"),
    [
        ("", "22 laid, 2 slugs among them: 2 slugs not boxed, 20 not boxed"),
        ("2026-04-01\n08:00 " + lost(2), "22 laid, 2 slugs among them: 2 lost, 20 not boxed"),
        (
            "2026-04-01\n08:00 " + lost(4) + "09:00 " + boxed(18),
            "22 laid, 2 slugs among them: 4 lost before boxing; 18 boxed in S1, 0 lost since, 18 left",
        ),
        (TWO, ": 2 slugs not boxed; 20 boxed: 10 in S1, 10 in S2; 0 lost since, 20 left"),
        (
            TWO + "2026-05-20\n09:00 " + lost(2) + "09:30 " + hatched(5),
            "; 20 boxed: 10 in S1, 10 in S2; 2 lost since, 5 hatched, 13 left",
        ),
        (
            TWO + f"2026-04-10\n09:00 {EGGS} eggs_boxed count=4 place=enclosure/s2 out_of=enclosure/s1\n",
            "; 20 boxed: 10 in S1, 10 in S2, 4 moved from S1 to S2; 0 lost since, 20 left",
        ),
        (FIRST + "2026-04-10\n09:00 " + lost(2), "; 20 boxed in S1, 2 lost since, 18 left"),
        (
            FIRST + "2026-04-10\n09:00 " + lost(2) + "10:00 " + boxed(18) + "2026-04-20\n09:00 " + lost(3),
            ": 2 lost earlier, 2 slugs not boxed; 18 boxed again in S1, 3 lost since, 15 left",
        ),
        (
            FIRST + "2026-04-10\n09:00 " + lost(2) + "10:00 " + boxed(8, "enclosure/s2"),
            "; 8 boxed again in S2, 10 of 18 not accounted for; 0 lost since, 8 left",
        ),
        (
            FIRST + "2026-04-10\n10:00 " + boxed(21),
            "; 21 boxed again in S1, 1 more than were left; 0 lost since, 21",
        ),
        ("2026-04-01\n09:00 " + boxed(8), "2 slugs not boxed, 12 not boxed; 8 boxed in S1, 0 lost since, 8 left"),
    ],
)
def test_the_sum_on_its_page_on_the_screen_and_for_machines_adds_up(after: str, sum_: str) -> None:
    settings = Settings(name="Shed", zone=VIENNA, house=default_house(VIENNA))
    now, room = at("2026-05-25 08:00"), standing(ROOM + after)
    values = subject_page(room, settings, now, EGGS, (), ())
    assert sum_ in values["sum"]
    assert values["sum"] in " ".join(subject_text(values, now).split())
    screen = " ".join(span.text for line in subject_head(room, settings.house, now, EGGS, (), 80) for span in line)
    assert values["sum"] in " ".join(screen.split())


def test_a_box_more_after_a_loss_from_either_of_two_adds_to_what_is_left() -> None:
    more = "12:00 wattle eggs_laid clutch=clutch/wattle-2026-1 count=27 slugs=2\n"
    two = "2026-04-01\n09:00 " + boxed(12) + "09:10 " + boxed(8, "enclosure/s2") + "10:00 " + lost(3)
    one = eggs(two + more + "12:30 " + boxed(5))
    assert one.in_boxes.shares is None, "from which box the eggs were lost no one wrote"
    assert one.left_to_hatch == 24
