"""Danger signs, and animals that are with the vet."""

from __future__ import annotations

import pytest

from rounds.due.matter import Level
from rounds.logbook.words import DANGER_SIGNS
from tests.due.matters.found import DIG, ROOM, found, the
from tests.notation import at


@pytest.mark.parametrize("sign", sorted(DANGER_SIGNS))
@pytest.mark.parametrize("noted", ['wattle egg_check_done present="{}"', 'wattle condition_seen signs="{}"'])
def test_any_danger_sign_in_a_female_who_can_be_carrying_is_vet_now(sign: str, noted: str) -> None:
    # dvm360, Preovulatory stasis and dystocia in oviparous lizards; Exotic Animal Formulary 5th ed. Table 4-16.
    matter = the(ROOM + "2026-04-01\n10:00 " + noted.format(sign), "2026-04-01 10:01", "danger sign")
    assert (matter.level, matter.danger) == (Level.VET_NOW, True)
    assert sign in matter.says
    assert "agree it with your vet" in matter.do[0]
    assert "refer" in matter.acts


@pytest.mark.parametrize(
    "page",
    [
        "2026-03-30\n10:00 wattle vet_seen outcome=well carrying=false",
        "2026-03-30\n10:00 wattle eggs_laid clutch=%wattle-1 count=20 complete=true",
        "2026-03-30\n10:00 wattle mating_seen",
        "2026-03-31\n10:00 wattle referred appointment=2026-04-20",
        "2026-03-31\n10:00 wattle condition_seen look=bright",
        "2026-03-31\n10:00 wattle felt_for_eggs found=none",
        "2026-03-31\n10:00 wattle brumation_began",
    ],
)
def test_whatever_else_holds(page: str) -> None:
    danger = (
        page
        + "\n2026-04-01\n10:00 wattle egg_check_done present=straining\n11:00 wattle condition_seen look=bright"
    )
    assert the(ROOM + danger, "2026-04-01 12:00", "danger sign").level == Level.VET_NOW


def test_when_sex_or_age_is_not_known_the_safe_side_is_taken() -> None:
    page = (
        ROOM + "2026-04-01\n09:00 pup arrived name=Pup sex={} {} place=@b5\n10:00 pup condition_seen signs=tremor"
    )
    now = "2026-04-01 11:00"
    assert the(page.format("?", ""), now, "danger sign").level == Level.VET_NOW
    assert the(page.format("F", ""), now, "danger sign").level == Level.VET_NOW
    assert the(page.format("F", "hatched=2025-05-01"), now, "danger sign").level == Level.VET_NOW
    assert the(page.format("F", "hatched=2025-12-01"), now, "danger sign").level == Level.VET
    laid = page.format("M", "") + "\n10:30 pup eggs_laid clutch=%pup-1 count=2"
    assert the(laid, now, "danger sign").level == Level.VET_NOW, "eggs were seen of it, whatever stands as its sex"


def test_in_any_other_animal_it_is_vet_and_cannot_be_put_off_either() -> None:
    matter = the(ROOM + "2026-04-01\n10:00 karri condition_seen signs=lethargy", "2026-04-01 11:00", "danger sign")
    assert (matter.level, matter.danger) == (Level.VET, True)
    young = (
        ROOM
        + "2026-04-01\n09:00 +young arrived name=Young count=9 place=@b5\n10:00 +young condition_seen signs=tremor"
    )
    assert found(young, "2026-04-01 11:00", "danger sign") == ["vet danger sign +young"]


def test_it_stands_until_an_egg_check_finds_it_gone_or_a_vet_has_seen_her() -> None:
    page = ROOM + "2026-04-01\n10:00 wattle egg_check_done present=straining\n"
    assert found(page, "2026-06-01", "danger sign") == ["vet now danger sign wattle"]
    assert found(page + "18:00 wattle egg_check_done absent=tremor\n", "2026-04-02", "danger sign") != []
    assert found(page + "18:00 wattle egg_check_done absent=straining\n", "2026-04-02", "danger sign") == []
    assert found(page + "18:00 wattle vet_seen\n", "2026-04-02", "danger sign") == []


def test_lethargy_ends_in_a_male_who_is_bright_again_and_never_so_in_a_female() -> None:
    page = ROOM + "2026-04-01\n10:00 {0} condition_seen signs={1}\n18:00 {0} condition_seen look=bright\n"
    assert found(page.format("karri", "lethargy"), "2026-04-02", "danger sign") == []
    assert found(page.format("karri", "tremor"), "2026-04-02", "danger sign") == ["vet danger sign karri"]
    assert found(page.format("wattle", "lethargy"), "2026-04-02", "danger sign") == ["vet now danger sign wattle"]


def test_it_keeps_its_name_while_signs_come_and_go() -> None:
    page = ROOM + "2026-04-01\n10:00 wattle egg_check_done present=straining\n2026-04-02\n"
    page += "10:00 wattle egg_check_done present=tremor absent=straining\n"
    assert the(page, "2026-04-02 11:00", "danger sign").key == "danger sign animal/wattle 2026-04-01"


def test_referred_she_is_not_to_wait_for_the_appointment() -> None:
    page = ROOM + "2026-04-01\n10:00 wattle referred appointment=2026-04-08\n2026-04-02\n"
    matter = the(page + "10:00 wattle condition_seen signs=prolapse", "2026-04-02 11:00", "danger sign")
    assert "referred to a vet on 1 Apr 10:00, not seen yet" in matter.says
    assert matter.do[0] == "Do not wait for the appointment."


def test_a_dull_animal_is_looked_after_today_and_goes_to_the_vet_when_dull_again() -> None:
    page = ROOM + "2026-04-01\n10:00 karri condition_seen look=dull\n"
    assert found(page, "2026-04-01 11:00", "looks dull") == ["today looks dull karri"]
    assert found(page + "18:00 karri condition_seen look=dull\n", "2026-04-01 19:00", "looks dull") == [
        "today looks dull karri"
    ]
    twice = page + "2026-04-02\n10:00 karri condition_seen look=dull\n"
    assert found(twice, "2026-04-02 11:00", "looks dull") == ["vet looks dull karri"]
    assert found(twice + "18:00 karri condition_seen look=bright\n", "2026-04-02 19:00", "looks dull") == []
    assert found(twice + "18:00 karri vet_seen\n", "2026-04-02 19:00", "looks dull") == []


def test_a_dull_female_who_can_be_carrying_is_for_the_vet_at_once() -> None:
    page = ROOM + "2026-03-20\n10:00 wattle mating_seen\n2026-04-01\n10:00 {} condition_seen look=dull\n"
    assert found(page.format("wattle"), "2026-04-01 11:00", "looks dull") == ["vet looks dull wattle"]
    assert found(page.format("sedge"), "2026-04-01 11:00", "looks dull") == ["today looks dull sedge"]


def test_dull_is_not_said_beside_a_danger_sign_nor_in_brumation() -> None:
    signs = ROOM + "2026-04-01\n10:00 karri condition_seen look=dull signs=lethargy\n"
    assert found(signs, "2026-04-01 11:00")[0] == "vet danger sign karri"
    assert found(signs, "2026-04-01 11:00", "looks dull") == []
    asleep = ROOM + "2026-04-01\n09:00 karri brumation_began\n10:00 karri condition_seen look=dull\n"
    assert found(asleep, "2026-04-01 11:00", "looks dull") == []


def test_a_referred_animal_stays_on_the_list_until_the_visit_is_written_down() -> None:
    page = ROOM + '2026-04-01\n10:00 wattle referred to="the reptile vet" why="eight days of digging" {}\n'
    matter = the(page.format("appointment=2026-04-03"), "2026-04-02", "with the vet")
    assert matter.level == Level.VET
    assert matter.says == (
        "Wattle is with the vet (the reptile vet) for “eight days of digging”: the appointment is on 3 Apr."
    )
    assert "is today" in the(page.format("appointment=2026-04-03"), "2026-04-03", "with the vet").says
    assert (
        "3 Apr is past and no visit is written down"
        in the(page.format("appointment=2026-04-03"), "2026-04-09", "with the vet").says
    )
    assert "no appointment is written down" in the(page.format(""), "2026-06-09", "with the vet").says
    assert found(page.format("") + "2026-04-03\n10:00 wattle vet_seen", "2026-04-03 11:00", "with the vet") == []


def test_what_the_vet_said_is_shown_for_two_weeks_and_as_long_as_she_is_treated() -> None:
    page = ROOM + '2026-04-01\n10:00 wattle vet_seen instructions="warm, quiet, weigh daily" {}\n'
    matter = the(page.format(""), "2026-04-15", "vet said")
    assert matter.level == Level.WATCH
    assert matter.says == "Wattle was seen by a vet on 1 Apr: “warm, quiet, weigh daily”."
    assert found(page.format(""), "2026-04-16", "vet said") == []
    treated = page.format("under_treatment_until=2026-05-01")
    assert "under treatment until 1 May" in the(treated, "2026-05-01", "vet said").says
    assert found(treated, "2026-05-02", "vet said") == []


def test_words_from_outside_stand_in_marks_on_one_line() -> None:
    page = ROOM + '2026-04-01\n10:00 wattle vet_seen instructions="{}"\n'.format("keep warm “so” " * 40)
    says = the(page, "2026-04-02", "vet said").says
    assert "\n" not in says
    assert len(says) < 260
    assert says.count("“") == says.count("”") == 1


def test_an_animal_under_treatment_does_not_brumate() -> None:
    page = ROOM + "2026-04-01\n10:00 karri vet_seen under_treatment_until=2026-04-20\n11:00 karri brumation_began\n"
    matter = the(page, "2026-04-02", "brumating under treatment")
    assert (matter.level, matter.since) == (Level.TODAY, at("2026-04-01 11:00"))
    assert found(page, "2026-04-21", "brumating under treatment") == []
    assert found(page + "12:00 karri brumation_ended\n", "2026-04-02", "brumating under treatment") == []


def test_danger_stands_beside_the_rungs_of_the_ladder() -> None:
    page = ROOM + f"2026-03-12\n10:00 wattle mating_seen\n2026-04-01\n10:00 wattle {DIG}\n"
    page += "10:05 wattle egg_check_done present=digging,straining\n"
    assert found(page, "2026-04-01 11:00", "danger sign", "no lay box") == [
        "vet now danger sign wattle",
        "today no lay box wattle",
    ]
