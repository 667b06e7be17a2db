"""What is said before an animal is brumated: its age and a faecal test, on both sides of each boundary."""

from __future__ import annotations

import pytest

from rounds.desk.validation import judged
from rounds.due.before_pairing import before_brumation
from tests.due.matters.found import HOUSE, ROOM
from tests.notation import at, logbook, standing

TESTED = '2026-09-01\n08:00 wattle tested what="faecal test" clear=true\n'


def said(page: str, now: str, who: str = "wattle") -> list[str]:
    return [one.says for one in before_brumation(standing(page), HOUSE, at(now), f"animal/{who}")]


@pytest.mark.parametrize(
    ("now", "told"),
    [
        ("2026-10-31 08:00", []),
        (
            "2026-11-01 08:00",
            ["Wattle: the last faecal test was 1 Sep, it counts for 60 days. Test before brumation."],
        ),
    ],
)
def test_a_clear_faecal_test_counts_for_sixty_days(now: str, told: list[str]) -> None:
    assert said(ROOM + TESTED, now) == told


def test_the_last_test_counts_not_the_best_one() -> None:
    page = ROOM + TESTED + '2026-09-10\n08:00 wattle tested what="faecal test" clear=false\n'
    assert said(page, "2026-09-11") == ["Wattle: the faecal test of 10 Sep was not clear. Test before brumation."]
    virus = ROOM + TESTED + '2026-09-10\n08:00 wattle tested what="virus test" clear=false\n'
    assert said(virus, "2026-09-11") == []


@pytest.mark.parametrize(
    ("hatched", "told"),
    [("2025-09-20", []), ("2025-09-21", ["Wattle: 11 months old, brumated from 12."])],
)
def test_brumated_from_twelve_months_to_the_day(hatched: str, told: list[str]) -> None:
    page = (ROOM + TESTED).replace("name=Wattle sex=F hatched=2023-03-01", f"name=Wattle sex=F hatched={hatched}")
    assert said(page, "2026-09-20 08:00") == told


def test_a_sign_for_the_vet_and_a_treatment_are_said() -> None:
    sign = ROOM + TESTED + "2026-09-10\n08:00 wattle condition_seen signs=burn\n"
    assert said(sign, "2026-09-11") == ["Wattle: burn seen, no vet heard of it."]
    treated = ROOM + TESTED + "2026-09-10\n08:00 wattle vet_seen under_treatment_until=2026-09-12\n"
    rule = "An animal under treatment is not brumated."
    assert said(treated, "2026-09-12 23:00") == [f"Wattle: under treatment to 12 Sep. {rule}"]
    assert said(treated, "2026-09-13 01:00") == []


@pytest.mark.parametrize(
    ("lines", "told"),
    [
        ("08:00 wattle referred to=vet", "Wattle: referred to a vet 10 Sep, none has seen it."),
        ('08:00 wattle droppings_seen look="blood or mucus"', "Wattle: blood or mucus in the droppings 10 Sep."),
        ("08:00 wattle condition_seen body=thin", "Wattle: thin since 10 Sep."),
        ("08:00 wattle felt_for_eggs found=eggs", "Wattle: gravid (eggs felt 10 Sep)."),
        ("08:00 wattle mating_seen", "Wattle: may be gravid (mated: window 24 Sep to 22 Oct)."),
    ],
)
def test_a_sick_animal_and_a_gravid_female_are_not_brumated_unasked(lines: str, told: str) -> None:
    assert told in said(ROOM + TESTED + f"2026-09-10\n{lines}\n", "2026-09-11")


def test_food_refused_before_brumation_is_no_caution() -> None:
    refused = "".join(f"2026-09-{day}\n08:00 wattle ate how=refused\n" for day in (10, 12, 14, 16))
    assert said(ROOM + TESTED + refused, "2026-09-17") == []


def test_brumation_written_late_is_judged_by_what_was_so_when_it_began() -> None:
    tested_later = ROOM + '2026-11-01\n08:00 wattle tested what="faecal test" clear=true\n'
    late = logbook(tested_later + "2026-10-20\n08:00 wattle brumation_began\n")[-1]
    found = judged(standing(tested_later), HOUSE, late)
    assert found.doubts == ("Wattle: no faecal test is noted. Test before brumation.",)
    after = logbook(tested_later + "2026-11-02\n08:00 wattle brumation_began\n")[-1]
    assert judged(standing(tested_later), HOUSE, after).doubts == ()


def test_what_was_asked_about_once_is_not_asked_again_when_its_note_is_mended() -> None:
    page = logbook(ROOM + "2026-10-20\n08:00 wattle brumation_began\n08:00 wattle brumation_began\n")
    stood = standing(ROOM + "2026-10-20\n08:00 wattle brumation_began\n")
    wrong, right = page[-2], page[-1]
    assert judged(stood, HOUSE, right).doubts != ()
    assert judged(stood, HOUSE, right, frozenset({wrong.id})).doubts == ()


def test_a_pairing_mended_to_another_male_is_asked_about_as_his() -> None:
    room = ROOM + "08:04 pup arrived name=Pup sex=M hatched=2026-01-01 place=b5 bred_here=true\n"
    wrong = "2026-04-01\n09:00 wattle put_together mate=karri\n"
    page = logbook(room + wrong + "09:00 wattle put_together mate=pup\n09:00 wattle put_together mate=karri\n")
    stood = standing(room + wrong)
    other, same = page[-2], page[-1]
    replaced = frozenset({page[-3].id})
    assert judged(stood, HOUSE, other, replaced).doubts == ("Pup: too young (3 months, bred from 18).",)
    assert judged(stood, HOUSE, same, replaced).doubts == ()


def test_a_pair_that_is_together_already_is_said_to_be_so_once() -> None:
    room = ROOM + "2026-04-01\n09:00 wattle put_together mate=karri\n"
    again = logbook(room + "2026-04-02\n09:00 wattle put_together mate=karri\n")[-1]
    assert judged(standing(room), HOUSE, again).doubts == ("Wattle and Karri are together already, since 1 Apr.",)
