"""Signs for the vet, animals that look dull, and what a vet still waits for."""

from __future__ import annotations

import pytest

from rounds.due.matter import Level
from rounds.logbook.words import DANGER_SIGNS, HEALTH_SIGNS, URGENT_SIGNS
from rounds.paper.words import age_words
from rounds.standing.animal import animal
from tests.due.matters.found import DIG, HOUSE, ROOM, found, the
from tests.notation import at, standing


@pytest.mark.parametrize("sign", sorted(DANGER_SIGNS))
@pytest.mark.parametrize("noted", ['wattle egg_check_done present="{}"', 'wattle condition_seen signs="{}"'])
def test_any_danger_sign_in_a_female_who_may_be_gravid_is_vet_now(sign: str, noted: str) -> None:
    # dvm360, Preovulatory stasis and dystocia in oviparous lizards; Exotic Animal Formulary 5th ed. Table 4-16.
    matter = the(ROOM + "2026-04-01\n10:00 " + noted.format(sign), "2026-04-01 10:01", "danger sign")
    assert (matter.level, matter.danger) == (Level.VET_NOW, True)
    assert sign in matter.says
    assert matter.says == f"Wattle: {sign} 1 Apr 10:00. She may be gravid."
    assert matter.do[:2] == (
        "Phone a reptile vet now, day or night. Do not wait.",
        "Anything more: agree it with your vet.",
    )
    assert "Do not press, massage or inject. Keep the vet's deadline." in matter.do
    assert {"vet called", "vet seen", "refer"} <= set(matter.acts)


@pytest.mark.parametrize(
    "page",
    [
        "2026-03-30\n10:00 wattle vet_seen outcome=well carrying=false",
        "2026-03-30\n10:00 wattle eggs_laid clutch=wattle-1 count=20 complete=true",
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
    page = ROOM + "2026-04-01\n09:00 pup arrived name=Pup sex={} {} place=b5\n"
    page += "10:00 pup condition_seen signs=lethargy\n"
    now = "2026-04-01 11:00"
    unknown = the(page.format("?", ""), now, "danger sign")
    assert unknown.level == Level.VET_NOW
    assert unknown.says == "Pup: lethargy 1 Apr 10:00. It may be gravid."
    assert the(page.format("F", ""), now, "danger sign").level == Level.VET_NOW
    # Mature at 8 to 12 months (Llinas): from 8 months on she counts as able to, and so does one of unknown sex.
    for sex in ("F", "?"):
        assert the(page.format(sex, "hatched=2025-08-01"), now, "danger sign").level == Level.VET_NOW
        assert the(page.format(sex, "hatched=2025-08-02"), now, "danger sign").level == Level.VET
    laid = page.format("M", "") + "10:30 pup eggs_laid clutch=pup-1 count=2\n"
    assert the(laid, now, "danger sign").level == Level.VET_NOW, "eggs were seen of it, whatever stands as its sex"


@pytest.mark.parametrize(
    ("hatched", "day", "shown", "level"),
    [
        ("2025-02-01", "2025-09-30", "7 m", Level.VET),
        ("2025-02-01", "2025-10-01", "8 m", Level.VET_NOW),
        ("2025-03-01", "2025-10-31", "7 m", Level.VET),
        ("2025-03-01", "2025-11-01", "8 m", Level.VET_NOW),
        ("2025-06-30", "2026-02-27", "7 m", Level.VET),
        ("2025-06-30", "2026-02-28", "8 m", Level.VET_NOW),
    ],
)
def test_the_age_that_is_shown_is_the_age_that_is_judged(hatched: str, day: str, shown: str, level: Level) -> None:
    page = f"""
    {hatched} AK
    08:00  b3   enclosure_set_up  name=B3
    08:00  pup  arrived  name=Pup sex=F place=b3 hatched={hatched}
    {day}
    10:00  pup  condition_seen  signs=lethargy
    """
    now = at(f"{day} 10:01")
    assert age_words(animal(standing(page), "animal/pup").hatched, now) == shown
    assert the(page, f"{day} 10:01", "danger sign").level == level


def test_in_any_other_animal_it_is_vet_and_cannot_be_put_off_either() -> None:
    matter = the(ROOM + "2026-04-01\n10:00 karri condition_seen signs=lethargy", "2026-04-01 11:00", "danger sign")
    assert (matter.level, matter.danger) == (Level.VET, True)
    assert matter.says == "Karri: lethargy 1 Apr 10:00."
    assert matter.do[0] == "Phone a reptile vet today. Say what you saw, and when."


@pytest.mark.parametrize("sign", sorted(DANGER_SIGNS))
@pytest.mark.parametrize("who", ["karri", "pup", "group/young"])
def test_tremor_and_prolapse_are_vet_now_in_any_animal_the_others_vet(who: str, sign: str) -> None:
    page = ROOM + "2026-04-01\n09:00 group/young arrived name=Young count=9 place=b5\n"
    page += f'09:00 pup arrived name=Pup hatched=2026-01-01 place=b4\n10:00 {who} condition_seen signs="{sign}"\n'
    level = "vet now" if sign in ("tremor", "prolapse") else "vet"
    said = f"{level} danger sign {who.rpartition('/')[2]}"
    assert found(page, "2026-04-01 11:00", "danger sign") == [said]
    assert set(URGENT_SIGNS) == {"tremor", "prolapse"}


@pytest.mark.parametrize("sign", sorted(HEALTH_SIGNS))
@pytest.mark.parametrize("who", ["wattle", "karri"])
def test_mouth_nose_breathing_jaw_limbs_toes_burns_and_bites_are_for_the_vet(who: str, sign: str) -> None:
    page = ROOM + f'2026-04-01\n10:00 {who} condition_seen signs="{sign}"\n'
    matter = the(page, "2026-04-01 11:00", "danger sign")
    assert (matter.level, matter.danger) == (Level.VET, True)
    assert matter.says == f"{who.capitalize()}: {sign} 1 Apr 10:00."
    gone = page + f'18:00 {who} egg_check_done absent="{sign}"\n18:01 {who} condition_seen look=bright\n'
    assert found(gone, "2026-06-01", "danger sign") == [f"vet danger sign {who}"]


STRAINED = ROOM + "2026-04-01\n10:00 wattle egg_check_done present=straining\n"


@pytest.mark.parametrize(
    "routine",
    [
        "egg_check_done absent=tremor",
        "egg_check_done absent=straining",
        "egg_check_done",
        "condition_seen look=bright",
        "felt_for_eggs found=none",
        "weighed grams=400",
        "ate how=well",
        "referred appointment=2026-04-04",
        "treatment_given what=drops",
        "moved to=b4",
        "eggs_laid clutch=wattle-1 count=20 complete=true",
    ],
)
def test_no_clear_check_no_later_day_and_no_eggs_end_it(routine: str) -> None:
    page = STRAINED + f"18:00 wattle {routine}\n"
    for now in ("2026-04-01 19:00", "2026-04-02", "2026-06-01"):
        assert found(page, now, "danger sign") == ["vet now danger sign wattle"]


@pytest.mark.parametrize("answer", ["vet_seen", "vet_called said=wait", "died", "left how=sold"])
def test_a_vets_visit_or_call_ends_it_and_so_does_a_death_or_a_leaving(answer: str) -> None:
    page = STRAINED + f"18:00 wattle {answer}\n"
    assert found(page, "2026-04-01 17:59", "danger sign") == ["vet now danger sign wattle"]
    assert found(page, "2026-04-01 18:00", "danger sign") == []
    again = page + "2026-04-02\n08:00 wattle egg_check_done present=straining\n"
    seen_again = ["vet now danger sign wattle"] if answer.startswith("vet") else []
    assert found(again, "2026-04-02 08:00", "danger sign") == seen_again, "seen again, it stands again"


def test_a_correction_of_the_entry_behind_it_ends_it() -> None:
    behind = the(STRAINED, "2026-04-01 11:00", "danger sign").entries[0].id
    assert found(STRAINED + f"11:00 wattle corrected replaces={behind}\n", "2026-04-01 12:00", "danger sign") == []


def test_a_sign_not_seen_again_says_when_it_was_seen_and_when_not() -> None:
    page = STRAINED + "2026-04-02\n09:00 wattle egg_check_done absent=straining\n"
    assert the(page, "2026-04-02 10:00", "danger sign").says == (
        "Wattle: straining 1 Apr 10:00, not 2 Apr. She may be gravid. Signs come and go."
    )
    back = page + "18:00 wattle egg_check_done present=straining\n"
    assert the(back, "2026-04-02 19:00", "danger sign").says == "Wattle: straining 2 Apr 18:00. She may be gravid."


def test_yesterdays_tremor_entered_after_this_mornings_clear_check_is_shown() -> None:
    page = ROOM + "2026-04-02\n08:00 wattle egg_check_done absent=lethargy,tremor,straining\n"
    late = page + "2026-04-01\n19:00 wattle egg_check_done present=tremor written=2026-04-02T09:00:00+02:00\n"
    assert found(page, "2026-04-02 10:00", "danger sign") == []
    assert the(late, "2026-04-02 10:00", "danger sign").says == (
        "Wattle: tremor 1 Apr 19:00, not 2 Apr. She may be gravid. Signs come and go."
    )


def test_lethargy_in_a_male_who_is_bright_again_stays_for_the_vet() -> None:
    page = ROOM + "2026-04-01\n10:00 {0} condition_seen signs={1}\n18:00 {0} condition_seen look=bright\n"
    assert found(page.format("karri", "lethargy"), "2026-04-02", "danger sign") == ["vet danger sign karri"]
    assert found(page.format("karri", "tremor"), "2026-04-02", "danger sign") == ["vet now danger sign karri"]
    assert found(page.format("wattle", "lethargy"), "2026-04-02", "danger sign") == ["vet now danger sign wattle"]


def test_with_eggs_felt_it_says_that_she_is_gravid() -> None:
    page = ROOM + "2026-04-01\n09:00 wattle felt_for_eggs found=eggs\n10:00 wattle condition_seen signs=tremor\n"
    assert the(page, "2026-04-01 11:00", "danger sign").says == "Wattle: tremor 1 Apr 10:00. Gravid."


def test_it_keeps_its_name_while_signs_come_and_go() -> None:
    page = ROOM + "2026-04-01\n10:00 wattle egg_check_done present=straining\n2026-04-02\n"
    page += "10:00 wattle egg_check_done present=tremor absent=straining\n"
    assert the(page, "2026-04-02 11:00", "danger sign").key == "danger sign animal/wattle 2026-04-01"


def test_referred_she_is_not_to_wait_for_the_appointment() -> None:
    page = ROOM + "2026-04-01\n10:00 wattle referred appointment=2026-04-08\n2026-04-02\n"
    matter = the(page + "10:00 wattle condition_seen signs=prolapse", "2026-04-02 11:00", "danger sign")
    assert matter.says == "Wattle: prolapse 2 Apr 10:00. She may be gravid. Referred 1 Apr, not seen yet."
    assert matter.do[0] == "Do not wait for the appointment."


def test_a_dull_animal_is_looked_after_today_and_goes_to_the_vet_when_dull_again() -> None:
    page = ROOM + "2026-04-01\n10:00 karri condition_seen look=dull\n"
    assert found(page, "2026-04-01 11:00", "looks dull") == ["today looks dull karri"]
    assert found(page + "18:00 karri condition_seen look=dull\n", "2026-04-01 19:00", "looks dull") == [
        "today looks dull karri"
    ]
    twice = page + "2026-04-02\n10:00 karri condition_seen look=dull\n"
    assert found(twice, "2026-04-02 11:00", "looks dull") == ["vet looks dull karri"]
    assert the(twice, "2026-04-02 11:00", "looks dull").says == "Karri: dull 1 Apr 10:00, again 2 Apr."
    bright = twice + "18:00 karri condition_seen look=bright\n"
    assert the(bright, "2026-04-09", "looks dull").level == Level.VET, "bright again or not"
    assert the(bright, "2026-04-09", "looks dull").says == (
        "Karri: dull 1 Apr 10:00, again 2 Apr. He looked bright 2 Apr."
    )
    for answer in ("vet_seen", "vet_called said=wait"):
        assert found(twice + f"18:00 karri {answer}\n", "2026-04-02 19:00", "looks dull") == []


def test_dull_once_and_bright_the_next_day_is_over() -> None:
    page = (
        ROOM
        + "2026-04-01\n10:00 karri condition_seen look=dull\n2026-04-02\n10:00 karri condition_seen look=bright\n"
    )
    assert found(page, "2026-04-02 09:59", "looks dull") == ["today looks dull karri"]
    assert found(page, "2026-04-02 10:00", "looks dull") == []


def test_a_dull_female_who_may_be_gravid_is_for_the_vet_at_once() -> None:
    page = ROOM + "2026-03-20\n10:00 wattle mating_seen\n2026-04-01\n10:00 {} condition_seen look=dull\n"
    assert found(page.format("wattle"), "2026-04-01 11:00", "looks dull") == ["vet looks dull wattle"]
    assert found(page.format("sedge"), "2026-04-01 11:00", "looks dull") == ["today looks dull sedge"]
    bright = page.format("wattle") + "2026-04-02\n10:00 wattle condition_seen look=bright\n"
    assert the(bright, "2026-04-05", "looks dull").says == (
        "Wattle: dull 1 Apr 10:00. She may be gravid. She looked bright 2 Apr."
    )
    laid = bright + "2026-04-05\n10:00 wattle eggs_laid clutch=w-1 count=20 complete=true\n"
    assert found(laid, "2026-04-05 11:00", "looks dull") == [], "eggs of a believable number answer it"


def test_dull_is_not_said_beside_a_danger_sign_nor_in_brumation() -> None:
    signs = ROOM + "2026-04-01\n10:00 karri condition_seen look=dull signs=lethargy\n"
    assert found(signs, "2026-04-01 11:00")[0] == "vet danger sign karri"
    assert found(signs, "2026-04-01 11:00", "looks dull") == []
    asleep = ROOM + "2026-04-01\n09:00 karri brumation_began\n10:00 karri condition_seen look=dull\n"
    assert found(asleep, "2026-04-01 11:00", "looks dull") == []


REFERRED = ROOM + '2026-04-01\n10:00 wattle referred to="the reptile vet" why="eight days of digging" {}\n'


def test_a_referral_is_for_today_without_an_appointment_on_its_day_and_after_it() -> None:
    page = REFERRED.format("appointment=2026-04-03")
    assert found(page, "2026-04-02", "with the vet") == [], "a state of hers until then, not a matter"
    today = the(page, "2026-04-03", "with the vet")
    assert today.level == Level.TODAY
    assert today.says == "Wattle: vet's appointment today (the reptile vet)."
    assert the(page, "2026-04-04", "with the vet").says == "Wattle: the appointment was 3 Apr. Was she seen?"
    without = the(REFERRED.format(""), "2026-06-09", "with the vet")
    assert (without.level, without.says) == (
        Level.TODAY,
        "Wattle: referred 1 Apr, no appointment written down.",
    )
    seen = REFERRED.format("") + "2026-04-03\n10:00 wattle vet_seen\n"
    assert found(seen, "2026-04-03 11:00", "with the vet") == []


def test_a_call_closes_a_referral_without_an_appointment_and_leaves_one_that_lies_ahead() -> None:
    called = "2026-04-02\n10:00 wattle vet_called said=wait\n"
    assert found(REFERRED.format("") + called, "2026-04-02 11:00", "with the vet") == []
    ahead = REFERRED.format("appointment=2026-04-03") + called
    assert found(ahead, "2026-04-03", "with the vet") == ["today with the vet wattle"]


@pytest.mark.parametrize("told", ["vet_seen", "vet_called"])
def test_the_vets_own_day_is_for_today_until_the_vet_was_heard_again(told: str) -> None:
    page = ROOM + f"2026-04-01\n10:00 wattle {told} again=2026-04-08\n"
    assert found(page, "2026-04-07 23:59", "vet waits") == []
    matter = the(page, "2026-04-08 00:00", "vet waits")
    assert matter.level == Level.TODAY
    assert matter.says == "Wattle: the vet wants to hear of her by 8 Apr."
    assert found(page, "2026-05-08", "vet waits") == ["today vet waits wattle"]
    for answer in ("vet_seen", "vet_called"):
        assert found(page + f"2026-04-08\n11:00 wattle {answer}\n", "2026-04-08 12:00", "vet waits") == []


def test_an_animal_under_treatment_does_not_brumate() -> None:
    page = ROOM + "2026-04-01\n10:00 karri vet_seen under_treatment_until=2026-04-20\n11:00 karri brumation_began\n"
    matter = the(page, "2026-04-02", "brumating under treatment")
    assert (matter.level, matter.since) == (Level.TODAY, at("2026-04-01 11:00"))
    assert matter.says == "Karri brumates under treatment."
    assert found(page, "2026-04-20", "brumating under treatment") == ["today brumating under treatment karri"]
    assert found(page, "2026-04-21", "brumating under treatment") == []
    assert found(page + "12:00 karri brumation_ended\n", "2026-04-02", "brumating under treatment") == []


@pytest.mark.parametrize("told", ['treatment_given what="eye drops"', 'vet_seen instructions="keep quiet"'])
def test_nor_under_a_treatment_given_or_an_instruction_without_an_end(told: str) -> None:
    page = ROOM + f"2026-04-01\n10:00 karri {told}\n11:00 karri brumation_began\n"
    assert found(page, "2026-04-15 09:59", "brumating under treatment") == ["today brumating under treatment karri"]
    assert found(page, "2026-04-15 10:01", "brumating under treatment") == []
    ended = page + "2026-04-05\n10:00 karri treatment_ended\n"
    assert found(ended, "2026-04-05 11:00", "brumating under treatment") == []


def test_danger_stands_beside_the_rungs_of_the_ladder() -> None:
    page = ROOM + f"2026-03-12\n10:00 wattle mating_seen\n2026-04-01\n10:00 wattle {DIG}\n"
    page += "10:05 wattle egg_check_done present=digging,straining\n"
    assert found(page, "2026-04-01 11:00", "danger sign", "no lay box") == [
        "vet now danger sign wattle",
        "today no lay box wattle",
    ]


def test_a_female_dull_on_two_days_is_for_the_vet_before_she_is_looked_at_again() -> None:
    once = ROOM + "2026-04-01\n10:00 wattle condition_seen look=dull\n"
    assert the(once, "2026-04-01 11:00", "looks dull").acts[0] == "egg check"
    twice = the(once + "2026-04-02\n10:00 wattle condition_seen look=dull\n", "2026-04-02 11:00", "looks dull")
    assert (twice.level, twice.acts[0]) == (Level.VET, "vet called")


def test_what_a_vet_waits_for_is_said_once_and_speaks_of_no_eggs_to_a_male() -> None:
    page = ROOM + "2026-04-01\n10:00 karri condition_seen signs=prolapse\n11:00 karri vet_called said=wait\n"
    matter = the(page, "2026-04-06 12:00", "vet waits")
    assert matter.level == Level.VET
    assert matter.do == (
        "Phone a reptile vet today. Say what you saw, and when.",
        "Anything more: agree it with your vet.",
        "Write down what the vet said.",
    )
    assert all("egg" not in HOUSE.rule(key).cite().partition("(")[0] for key in matter.house)
