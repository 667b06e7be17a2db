"""What is agreed for a day waits until someone says what became of it."""

from __future__ import annotations

import pytest

from rounds.standing.appointments import appointments, with_whom
from tests.notation import standing

MADE = """
2026-04-01 AK
08:00 wattle arrived name=Wattle sex=F
2026-04-10
08:00 wattle appointment_made on=2026-04-16 clock=10:30 whom="the vet" why="look at her again"
"""


def waiting(page: str, about: str = "animal/wattle") -> list[str]:
    return [f"{one.on:%d %b} {with_whom(one)}" for one in appointments(standing(page).page(about)).waiting()]


def test_it_waits_with_whom_when_and_why() -> None:
    assert waiting(MADE) == ["16 Apr the vet 10:30, look at her again"]
    room = "2026-04-10 AK\n08:00 room appointment_made on=2026-04-12\n"
    assert waiting(room, "room") == ["12 Apr appointment"]


@pytest.mark.parametrize(
    ("then", "waits"),
    [
        ("2026-04-15\n08:00 wattle vet_seen outcome=well\n", True),
        ("2026-04-16\n11:00 wattle vet_seen outcome=well\n", False),
        ("2026-04-17\n11:00 wattle vet_seen outcome=well\n", False),
        ("2026-04-16\n11:00 wattle vet_called said='come tomorrow'\n", True),
        ("2026-04-16\n11:00 wattle appointment_ended on=2026-04-16 how=kept\n", False),
        ("2026-04-12\n11:00 wattle appointment_ended on=2026-04-16 how=cancelled\n", False),
        ("2026-04-16\n11:00 wattle appointment_ended on=2026-04-17\n", True),
    ],
)
def test_a_vet_on_the_day_or_later_or_a_word_about_that_day_answers_it(then: str, waits: bool) -> None:
    assert bool(waiting(MADE + then)) is waits


def test_one_agreed_again_for_the_same_day_after_it_was_cancelled_waits() -> None:
    again = (
        MADE
        + "2026-04-12\n11:00 wattle appointment_ended on=2026-04-16 how=cancelled\n"
        + "2026-04-13\n11:00 wattle appointment_made on=2026-04-16 whom='another vet'\n"
    )
    assert waiting(again) == ["16 Apr another vet"]


@pytest.mark.parametrize(
    ("which", "waits"),
    [
        ("", []),
        (" whom=ANN", ["12 Apr Bo 15:00"]),
        (" clock=15:00", ["12 Apr Ann 10:00"]),
        (" whom=Bo clock=10:00", ["12 Apr Ann 10:00", "12 Apr Bo 15:00"]),
    ],
)
def test_of_two_on_one_day_the_one_that_is_named_ends(which: str, waits: list[str]) -> None:
    page = (
        "2026-04-10 AK\n08:00 room appointment_made on=2026-04-12 whom=Ann clock=10:00\n"
        "08:01 room appointment_made on=2026-04-12 whom=Bo clock=15:00\n"
        f"2026-04-12\n11:00 room appointment_ended on=2026-04-12 how=kept{which}\n"
    )
    assert waiting(page, "room") == waits


def test_another_day_agreed_after_it_passed_takes_its_place_and_before_that_does_not() -> None:
    later = "08:00 wattle appointment_made on=2026-04-20 whom=vet\n"
    assert waiting(MADE + "2026-04-17\n" + later) == ["20 Apr vet"]
    assert len(waiting(MADE + "2026-04-12\n" + later)) == 2


def test_a_buyer_takes_no_vets_place() -> None:
    buyer = "2026-04-17\n08:00 wattle appointment_made on=2026-04-20 whom=Ann\n"
    assert waiting(MADE + buyer) == ["16 Apr the vet 10:30, look at her again", "20 Apr Ann"]
    assert waiting(MADE + buyer.replace("Ann", "'the reptile vet'")) == ["20 Apr the reptile vet"]


def test_of_two_on_one_day_the_one_that_is_named_is_over() -> None:
    both = MADE + "2026-04-11\n08:00 wattle appointment_made on=2026-04-16 clock=09:30 whom=Ann\n"
    ended = both + "2026-04-16\n12:00 wattle appointment_ended on=2026-04-16"
    vet, ann = "16 Apr the vet 10:30, look at her again", "16 Apr Ann 09:30"
    assert waiting(ended + " whom=ann\n") == [vet]
    assert waiting(ended + " clock=10:30\n") == [ann]
    assert waiting(ended + " whom=Bo\n") == [ann, vet]
    assert waiting(ended + "\n") == [], "no one is named: all of that day"


def test_a_buyer_of_the_room_takes_no_ones_place_but_his_own() -> None:
    page = "2026-04-10 AK\n08:00 room appointment_made on=2026-04-12 whom=Ann\n"
    later = "2026-04-14\n08:00 room appointment_made on=2026-04-20 whom="
    assert waiting(page + later + "Bo", "room") == ["12 Apr Ann", "20 Apr Bo"]
    assert waiting(page + later + "ann", "room") == ["20 Apr ann"]


def test_a_vet_wants_to_hear_by_the_day_named_last() -> None:
    page = standing(
        MADE
        + "2026-04-11\n08:00 wattle vet_called said=wait again=2026-04-14\n"
        + "2026-04-13\n08:00 wattle vet_seen again=2026-04-30\n"
    ).page("animal/wattle")
    named = appointments(page).vet_by
    assert named is not None
    assert f"{named[0]}" == "2026-04-30"


def test_a_referral_has_its_day_until_a_vet_has_seen_her() -> None:
    referred = MADE + "2026-04-11\n08:00 wattle referred to=vet appointment=2026-04-12\n"
    found = appointments(standing(referred).page("animal/wattle")).referred_for
    assert found is not None
    assert f"{found[0]}" == "2026-04-12"
    seen = standing(referred + "2026-04-12\n08:00 wattle vet_seen\n").page("animal/wattle")
    assert appointments(seen).referred_for is None


def test_what_is_agreed_far_ahead_waits_behind_many_agreed_after_it() -> None:
    page = "2026-01-10 AK\n08:00 room appointment_made on=2026-12-16 whom='the vet'\n" + "".join(
        f"2026-02-{day:02}\n08:00 room appointment_made on=2026-03-{day:02} whom=Bo\n"
        f"09:00 room appointment_ended on=2026-03-{day:02} how=kept\n"
        for day in range(1, 29)
    )
    assert waiting(page, "room") == ["16 Dec the vet"]
