"""A clutch in its box: what is left to hatch, whatever was lost, hatched and boxed again, in whatever order."""

from __future__ import annotations

import pytest

from rounds.paper.subject import subject_page, subject_text
from rounds.rules.default import default_house
from rounds.rules.settings import Settings
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
    assert eggs("2026-04-01\n09:00 " + boxed(20) + "09:10 " + boxed(20, "enclosure/s2")).left_to_hatch == 20


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


@pytest.mark.parametrize(
    ("after", "sum_"),
    [
        ("2026-04-10\n09:00 " + lost(2), "20 boxed at S1, 0 hatched, 2 lost, 18 left to hatch"),
        (
            "2026-04-10\n09:00 " + lost(2) + "10:00 " + boxed(18) + "2026-04-20\n09:00 " + lost(3),
            "18 boxed again at S1, since then 0 hatched, 3 lost, 15 left to hatch",
        ),
    ],
)
def test_the_sum_on_its_page_adds_up(after: str, sum_: str) -> None:
    settings = Settings(name="Shed", zone=VIENNA, house=default_house(VIENNA))
    now = at("2026-04-25 08:00")
    text = subject_text(subject_page(standing(ROOM + FIRST + after), settings, now, EGGS, (), ()), now)
    assert sum_ in text
