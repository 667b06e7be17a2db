"""From mating to the first egg: a place to lay, digging, and a window that passes."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from rounds.due.matter import Level
from tests.due.matters.found import DIG, ROOM, found, the
from tests.due.stops import house_with
from tests.notation import at

MATED = ROOM + "2026-03-12\n10:00 wattle mating_seen sire=karri\n"
DUG = MATED + f"2026-04-01\n17:30 wattle {DIG}\n"
BOX = "18:00 wattle lay_box_in depth_cm=20\n"
LADDER = ("no lay box", "digging without eggs")


def test_a_mated_female_who_digs_without_a_lay_box_needs_one_today() -> None:
    matter = the(DUG, "2026-04-01 18:00", "no lay box")
    assert matter.level == Level.TODAY
    assert matter.says == "Wattle has dug since 1 Apr. No lay box."
    assert [entry.kind for entry in matter.entries] == ["behaviour_seen", "mating_seen"]
    assert matter.place == "enclosure/b3"
    assert "lay box" in matter.acts
    assert matter.worsens == "vet from 8 Apr (after day 7), any danger sign: vet now"


@pytest.mark.parametrize(
    "box",
    [
        "wattle lay_box_in depth_cm=20",
        "enclosure/b3 lay_box_in",
        "wattle moved to=l1",
        "sedge moved to=b3\n18:01 sedge lay_box_in",
    ],
    ids=["given to her", "put into her tub", "she was moved into one", "given to one who lives with her"],
)
def test_once_she_has_a_lay_box_it_is_answered(box: str) -> None:
    assert found(DUG + f"18:00 {box}\n", "2026-04-01 18:30", "no lay box") == []


@pytest.mark.parametrize("who_in", ["wattle", "enclosure/b3"])
@pytest.mark.parametrize("who_out", ["wattle", "enclosure/b3"])
def test_taken_out_again_she_has_none_however_in_and_out_were_addressed(who_in: str, who_out: str) -> None:
    page = DUG + f"18:00 {who_in} lay_box_in depth_cm=20\n19:00 {who_out} lay_box_out\n"
    assert found(page, "2026-04-01 18:59", "no lay box") == []
    assert found(page, "2026-04-01 20:00", "no lay box") == ["today no lay box wattle"]
    back = page + f"20:00 {who_in} lay_box_in depth_cm=20\n"
    assert found(back, "2026-04-01 20:00", "no lay box") == []


@pytest.mark.parametrize(
    "because",
    [
        "2026-01-05\n10:00 wattle put_together mate=karri\n2026-01-08\n10:00 wattle parted",
        "2026-01-05\n10:00 wattle eggs_laid clutch=wattle-1 count=20 complete=true",
        "2026-03-30\n10:00 wattle felt_for_eggs found=eggs",
        "2026-01-05\n10:00 wattle behaviour_seen behaviour=copulation toward=karri",
    ],
    ids=["with a male in the last months", "stored sperm after a clutch", "eggs felt", "copulation seen"],
)
def test_she_may_be_gravid_by_more_than_a_mating_seen(because: str) -> None:
    page = f"{ROOM}{because}\n2026-04-01\n17:30 wattle {DIG}"
    assert found(page, "2026-04-01 18:00", "no lay box") == ["today no lay box wattle"]


def test_an_unmated_female_who_digs_is_watched_because_she_may_lay_infertile_eggs() -> None:
    # Common practice, no source.
    page = ROOM + f"2026-04-01\n17:30 wattle {DIG}"
    matter = the(page, "2026-04-01 18:00", "no lay box")
    assert matter.level == Level.WATCH
    assert matter.says == "Wattle has dug since 1 Apr. No lay box. No mating is known."
    assert matter.worsens == "today from 5 Apr (day 5), vet from 8 Apr (after day 7), any danger sign: vet now"
    assert found(page, "2026-04-04", "no lay box") == ["watch no lay box wattle"]
    assert found(page, "2026-04-05", "no lay box") == ["today no lay box wattle"]


@pytest.mark.parametrize("sex", ["F", "?"])
def test_from_8_months_on_she_counts_as_able_to_and_so_does_one_of_unknown_sex(sex: str) -> None:
    # Mature at 8 to 12 months (Llinas).
    page = ROOM + f"2026-04-01\n17:00 pup arrived name=Pup sex={sex} hatched={{}} place=b4\n17:30 pup {DIG}"
    assert found(page.format("2025-08-01"), "2026-04-01 18:00", "no lay box") == ["watch no lay box pup"]
    assert found(page.format("2025-08-02"), "2026-04-01 18:00", "no lay box") == []


def test_a_male_who_digs_needs_no_lay_box() -> None:
    assert found(ROOM + f"2026-04-01\n17:30 karri {DIG}", "2026-04-01 18:00", *LADDER) == []


def test_closing_the_nest_after_laying_is_no_new_digging() -> None:
    page = DUG + BOX + "2026-04-03\n10:00 wattle eggs_laid clutch=wattle-1 count=20 complete=true\n11:00 wattle "
    page += f"lay_box_out\n16:00 wattle {DIG}\n"
    assert found(page, "2026-04-03 18:00", *LADDER) == []
    assert found(page + f"2026-04-05\n10:00 wattle {DIG}", "2026-04-05 18:00", *LADDER) == [
        "today no lay box wattle"
    ]


@pytest.mark.parametrize(
    ("now", "level"),
    [
        ("2026-04-02", []),
        ("2026-04-03", ["watch digging without eggs wattle"]),
        ("2026-04-04", ["watch digging without eggs wattle"]),
        ("2026-04-05", ["today digging without eggs wattle"]),
        ("2026-04-07 23:59", ["today digging without eggs wattle"]),
        ("2026-04-08 00:00", ["vet digging without eggs wattle"]),
        ("2026-04-20", ["vet digging without eggs wattle"]),
    ],
)
def test_digging_without_eggs_goes_from_watch_on_day_3_over_today_on_day_5_to_the_vet_after_day_7(
    now: str, level: list[str]
) -> None:
    assert found(DUG + BOX, now, *LADDER) == level


def test_without_a_lay_box_that_is_what_is_said_until_it_is_for_the_vet() -> None:
    assert found(DUG, "2026-04-05", *LADDER) == ["today no lay box wattle"]
    assert found(DUG, "2026-04-07 23:59", *LADDER) == ["today no lay box wattle"]
    assert found(DUG, "2026-04-08", *LADDER) == ["vet digging without eggs wattle"], "one matter for one cause"
    assert the(DUG, "2026-04-08", "digging without eggs").says == ("Wattle: day 8, no eggs. Dug 1 Apr. No lay box.")


@pytest.mark.parametrize(
    "noted",
    [
        DIG,
        'behaviour_seen behaviour="trial nest"',
        "egg_check_done present=digging",
        "condition_seen look=bright signs=digging",
    ],
)
def test_digging_counts_however_it_was_entered(noted: str) -> None:
    page = MATED + f"2026-04-01\n17:30 wattle {noted}\n"
    assert the(page, "2026-04-01 18:00", "no lay box").says == "Wattle has dug since 1 Apr. No lay box."
    assert found(page + BOX, "2026-04-07", *LADDER) == ["today digging without eggs wattle"]
    assert found(page + BOX, "2026-04-08", *LADDER) == ["vet digging without eggs wattle"]


def test_about_a_week_of_scratching_before_eggs_stays_below_the_vet() -> None:
    # Common practice, no source: about a week of scratching before eggs.
    page = DUG + BOX + f"2026-04-07\n09:00 wattle {DIG}\n"
    assert found(page, "2026-04-07 10:00", "digging without eggs") == ["today digging without eggs wattle"]
    eggs = page + "20:00 wattle eggs_laid clutch=wattle-1 count=20 complete=true\n"
    assert found(eggs, "2026-04-08", "digging without eggs") == []


def test_the_days_of_the_ladder_are_house_rules() -> None:
    strict = house_with(eggbinding={"dig_vet_day": 5, "dig_today_day": 4})
    assert found(DUG + BOX, "2026-04-06", "digging without eggs", house=strict) == [
        "vet digging without eggs wattle"
    ]


def test_a_matter_keeps_its_name_from_day_to_day_of_one_episode() -> None:
    again = DUG + BOX + f"2026-04-03\n09:00 wattle {DIG}\n"
    keys = {the(again, now, "digging without eggs").key for now in ("2026-04-03 12:00", "2026-04-06", "2026-04-09")}
    assert keys == {"digging without eggs animal/wattle 2026-04-01"}


@pytest.mark.parametrize(
    ("now", "level", "says"),
    [
        ("2026-04-03", "watch", "day 3, no eggs. Has dug since 1 Apr."),
        ("2026-04-04", "watch", "day 4, no eggs. Dug 1 to 2 Apr."),
        ("2026-04-05", "today", "day 5, no eggs. Dug 1 to 2 Apr."),
        ("2026-04-08", "vet", "day 8, no eggs. Dug 1 to 2 Apr."),
        ("2026-04-30", "vet", "day 30, no eggs. Dug 1 to 2 Apr."),
    ],
)
def test_through_a_pause_her_days_run_on_from_the_first(now: str, level: str, says: str) -> None:
    page = DUG + BOX + f"2026-04-02\n09:00 wattle {DIG}\n2026-04-04\n"
    page += "09:00 wattle egg_check_done absent=digging\n10:00 wattle felt_for_eggs found=none\n"
    matter = the(page, now, "digging without eggs")
    assert (matter.level.word, matter.says) == (level, f"Wattle: {says}")


def test_noted_again_after_a_pause_it_never_has_a_lower_level() -> None:
    page = DUG + BOX + f"2026-04-06\n09:00 wattle {DIG}\n2026-04-20\n09:00 wattle {DIG}\n"
    assert the(page, "2026-04-06 10:00", "digging without eggs").says == (
        "Wattle: day 6, no eggs. Has dug since 1 Apr."
    )
    assert the(page, "2026-04-20 10:00", "digging without eggs").says == (
        "Wattle: day 20, no eggs. Has dug since 1 Apr."
    )
    assert the(page, "2026-04-20 10:00", "digging without eggs").level == Level.VET


def test_only_where_it_was_not_for_the_vet_yet_do_two_weeks_without_digging_end_it() -> None:
    patient = house_with(eggbinding={"dig_vet_day": 21})
    assert found(DUG + BOX, "2026-04-15", "digging without eggs", house=patient) == [
        "today digging without eggs wattle"
    ]
    assert found(DUG + BOX, "2026-04-16", "digging without eggs", house=patient) == []


@pytest.mark.parametrize(
    "answer",
    [
        "vet_seen",
        "vet_called said=wait",
        "eggs_laid clutch=w-1 count=10 complete=true",
    ],
)
def test_a_vet_or_eggs_of_a_believable_number_end_it(answer: str) -> None:
    page = DUG + BOX + f"2026-04-09\n09:00 wattle {answer}\n"
    assert found(page, "2026-04-09 08:59", "digging without eggs") == ["vet digging without eggs wattle"]
    assert found(page, "2026-04-09 09:00", "digging without eggs") == []


@pytest.mark.parametrize(
    "routine",
    [
        "egg_check_done absent=digging,lethargy",
        "felt_for_eggs found=none",
        "weighed grams=400",
        "ate how=well",
        "condition_seen look=bright body=good",
        "eggs_laid clutch=w-1 count=9 complete=true",
        "lay_box_in depth_cm=25",
        "mating_seen sire=karri",
        "moved to=b4",
    ],
)
def test_no_clear_check_weight_feed_or_short_clutch_ends_it(routine: str) -> None:
    page = DUG + BOX + f"2026-04-09\n09:00 wattle {routine}\n"
    assert found(page, "2026-04-09 09:30", "digging without eggs") == ["vet digging without eggs wattle"]
    assert found(page, "2026-05-09 09:30", "digging without eggs") == ["vet digging without eggs wattle"]


def test_who_dug_longer_than_a_week_and_stopped_is_still_for_the_vet() -> None:
    page = DUG + BOX + f"2026-04-09\n09:00 wattle {DIG}\n2026-04-11\n09:00 wattle egg_check_done absent=digging\n"
    page += "10:00 wattle felt_for_eggs found=none\n"
    assert found(page, "2026-04-12", "digging without eggs") == ["vet digging without eggs wattle"]
    assert found(page + "11:00 wattle vet_seen", "2026-04-12", "digging without eggs") == []
    assert found(page + "11:00 wattle vet_called", "2026-04-12", "digging without eggs") == []


def test_silence_does_not_take_a_vet_matter_away() -> None:
    assert found(DUG + BOX, "2026-05-20", "digging without eggs") == ["vet digging without eggs wattle"]


@pytest.mark.parametrize("referred_on", ["2026-03-30", "2026-04-08"])
def test_a_referral_says_so_and_takes_nothing_away(referred_on: str) -> None:
    page = DUG + BOX + f"{referred_on}\n09:00 wattle referred\n"
    assert found(page, "2026-04-08 10:00", "digging without eggs", "with the vet") == [
        "vet digging without eggs wattle",
        "today with the vet wattle",
    ]
    told = "30 Mar" if referred_on == "2026-03-30" else "8 Apr"
    assert the(page, "2026-04-08 10:00", "digging without eggs").says == (
        f"Wattle: day 8, no eggs. Dug 1 Apr. Referred {told}."
    )


def test_a_lay_box_is_wanted_a_week_before_her_window_opens() -> None:
    # Mated on 12 March, the window opens on 26 March.
    assert found(MATED, "2026-03-18", "lay box not ready") == []
    assert found(MATED, "2026-03-19", "lay box not ready") == ["watch lay box not ready wattle"]
    assert found(MATED + "2026-03-18\n10:00 wattle lay_box_in", "2026-03-19", "lay box not ready") == []
    assert the(MATED, "2026-03-19", "lay box not ready").says == ("Wattle: no lay box yet. Window opens 26 Mar.")


def test_in_her_window_with_eggs_felt_the_box_is_wanted_today() -> None:
    felt = MATED + "2026-03-25\n10:00 wattle felt_for_eggs found=eggs\n"
    assert found(felt, "2026-03-25", "lay box not ready") == ["watch lay box not ready wattle"]
    assert found(felt, "2026-03-26", "lay box not ready") == ["today lay box not ready wattle"]


def test_eggs_felt_in_a_female_of_no_known_mating_want_a_box_too() -> None:
    page = ROOM + "2026-03-25\n10:00 wattle felt_for_eggs found=eggs\n"
    assert found(page, "2026-03-25", "lay box not ready") == ["today lay box not ready wattle"]


def test_after_a_clutch_the_next_box_is_wanted_before_the_next_clutch() -> None:
    # By stored sperm, three to six weeks later: laid on 1 April, from 22 April on, a week before that the box.
    laid = ROOM + "2026-04-01\n10:00 wattle eggs_laid clutch=wattle-1 count=20 complete=true\n"
    assert found(laid, "2026-04-14", "lay box not ready") == []
    assert found(laid, "2026-04-15", "lay box not ready") == ["watch lay box not ready wattle"]
    assert the(laid, "2026-04-15", "lay box not ready").says == (
        "Wattle: no lay box yet. Window for the next clutch opens 22 Apr."
    )
    assert found(laid, "2026-05-13", "lay box not ready") == ["watch lay box not ready wattle"]
    assert found(laid, "2026-05-14", "lay box not ready") == []


COMPANY = ROOM + "2026-03-01\n10:00 wattle put_together mate=karri\n2026-03-10\n10:00 wattle parted\n"


def test_company_of_a_male_opens_the_window_from_its_first_day_to_its_last() -> None:
    # A mating takes half a minute. First day together + 14 is 15 March, last day + 42 is 21 April.
    assert found(COMPANY, "2026-03-07", "lay box not ready") == []
    assert the(COMPANY, "2026-03-08", "lay box not ready").says == "Wattle: no lay box yet. Window opens 15 Mar."
    assert found(COMPANY, "2026-04-21", "lay box not ready", "window past") == ["watch lay box not ready wattle"]
    seen = COMPANY + looked("2026-03-15", "2026-04-21")
    assert found(seen, "2026-04-22", "lay box not ready", "window past") == ["watch window past wattle"]
    assert the(seen, "2026-04-22", "window past").says == "Wattle: window ended 21 Apr, no eggs, no other sign."
    assert the(COMPANY, "2026-04-22", "signs add up").says == (
        "Wattle may be egg-bound: window ended 21 Apr, no eggs; nobody looked at her for 37 days."
    )
    shared = ROOM + "2026-03-02\n10:00 karri moved to=b3\n2026-03-10\n10:00 karri moved to=b5\n"
    shared += looked("2026-03-16", "2026-04-21")
    assert the(shared, "2026-03-09", "lay box not ready").says == "Wattle: no lay box yet. Window opens 16 Mar."
    assert found(shared, "2026-04-22", "lay box not ready", "window past") == ["watch window past wattle"]


def test_after_company_alone_the_signs_that_she_is_gravid_add_up_too() -> None:
    heavy = (
        COMPANY
        + looked("2026-03-15", "2026-04-21")
        + "2026-04-20\n10:00 wattle condition_seen body=heavy look=bright\n"
    )
    assert found(heavy, "2026-04-21", "signs add up") == []
    assert the(heavy, "2026-04-22", "signs add up").says == (
        "Wattle may be egg-bound: window ended 21 Apr, no eggs; heavy 20 Apr."
    )


def test_a_shallow_nest_is_said() -> None:
    shallow = MATED + "2026-03-20\n10:00 wattle lay_box_in depth_cm=10\n"
    assert found(shallow, "2026-03-20", "nest too shallow") == ["watch nest too shallow wattle"]
    dug = shallow + f"2026-04-01\n17:30 wattle {DIG}\n"
    assert found(dug, "2026-04-01 18:00", "nest too shallow") == ["today nest too shallow wattle"]
    assert found(MATED + "2026-03-20\n10:00 wattle lay_box_in depth_cm=15", "2026-03-20", "nest too shallow") == []


def looked(first: str, last: str) -> str:
    """A clear look each evening from one day to another."""
    day, lines = date.fromisoformat(first), []
    while day <= date.fromisoformat(last):
        lines += [str(day), "18:00 wattle egg_check_done absent=lethargy,straining"]
        day += timedelta(days=1)
    return "\n".join(lines) + "\n"


LOOKED = looked("2026-03-26", "2026-05-24")


def test_the_window_closes_42_days_after_the_last_mating_seen() -> None:
    heavy = MATED + "2026-04-10\n10:00 wattle condition_seen body=heavy\n" + LOOKED
    assert found(heavy, "2026-04-23", "signs add up", "window past") == []
    assert found(heavy, "2026-04-24", "signs add up", "window past") == ["vet signs add up wattle"]
    matter = the(heavy, "2026-04-24", "signs add up")
    assert matter.says == "Wattle may be egg-bound: window ended 23 Apr, no eggs; heavy 10 Apr."
    assert matter.adds == ("4  window ended 23 Apr, no eggs", "1  heavy 10 Apr", "5  together; vet from 5")
    assert {"evidence.window_past", "evidence.gain", "evidence.vet_points"} <= set(matter.house)


def test_mated_again_since_the_first_window_counts_less_and_is_not_forgotten() -> None:
    page = MATED + "2026-04-10\n10:00 wattle condition_seen body=heavy\n2026-04-11\n10:00 wattle mating_seen\n"
    page += LOOKED
    assert found(page, "2026-04-23", "signs add up", "window past") == []
    assert the(page, "2026-04-24", "signs add up").says == (
        "Look closely at Wattle: first window ended 23 Apr, no eggs; heavy 10 Apr."
    )
    assert the(page, "2026-04-24", "signs add up").level == Level.TODAY
    assert found(page, "2026-05-23", "signs add up") == ["today signs add up wattle"]
    assert the(page, "2026-05-24", "signs add up").says == (
        "Wattle may be egg-bound: window ended 23 May, no eggs; heavy 10 Apr."
    )


@pytest.mark.parametrize(
    ("sign", "words"),
    [
        ("10:00 wattle felt_for_eggs found=eggs", "eggs felt 20 Apr"),
        ('10:00 wattle egg_check_done present="eggs felt"', "eggs felt 20 Apr"),
        ('10:00 wattle condition_seen signs="eggs felt"', "eggs felt 20 Apr"),
        ("10:00 wattle condition_seen body=heavy", "heavy 20 Apr"),
        ('10:00 wattle condition_seen body="very heavy"', "heavy 20 Apr"),
        (f"10:00 wattle {DIG}", "dug 20 Apr"),
        ("10:00 wattle weighed grams=460", "15 % above her own weight 20 Apr"),
        ("10:00 wattle weighed grams=440", "10 % above her own weight 20 Apr"),
        ("10:00 wattle ate how=refused\n2026-04-24\n07:00 wattle ate how=refused", "off food 4 days"),
        ("10:00 wattle condition_seen look=quiet", "looked quiet 20 Apr"),
    ],
)
def test_past_the_window_every_sign_that_she_is_gravid_makes_it_vet(sign: str, words: str) -> None:
    page = ROOM + "2026-03-05\n10:00 wattle weighed grams=400\n2026-03-12\n10:00 wattle mating_seen\n" + LOOKED
    page += f"2026-04-20\n{sign}\n"
    assert found(page, "2026-04-23", "signs add up", "window past") == []
    matter = the(page, "2026-04-24", "signs add up")
    assert matter.level == Level.VET
    assert matter.says == f"Wattle may be egg-bound: window ended 23 Apr, no eggs; {words}."
    assert found(page, "2026-04-24", "window past") == [], "one matter for one cause"


@pytest.mark.parametrize("sign", ["10:00 wattle weighed grams=439", "10:00 wattle condition_seen look=bright"])
def test_what_is_no_sign_adds_nothing(sign: str) -> None:
    page = ROOM + "2026-03-05\n10:00 wattle weighed grams=400\n2026-03-12\n10:00 wattle mating_seen\n" + LOOKED
    page += f"2026-04-20\n{sign}\n"
    assert found(page, "2026-04-24", "signs add up", "window past") == ["watch window past wattle"]


def test_in_her_window_weak_signs_add_up_to_today_and_to_the_vet() -> None:
    page = ROOM + "2026-03-05\n10:00 wattle weighed grams=400\n2026-03-12\n10:00 wattle mating_seen\n" + LOOKED
    signs = (
        "2026-04-01\n10:00 wattle felt_for_eggs found=eggs\n",
        "2026-04-02\n10:00 wattle weighed grams=450\n",
        "2026-04-02\n10:30 wattle ate how=refused\n2026-04-06\n09:00 wattle ate how=refused\n",
        "2026-04-06\n10:00 wattle condition_seen look=quiet\n2026-04-06\n10:10 wattle weighed grams=452\n",
    )
    assert found(page + "".join(signs[:1]), "2026-04-06 11:00", "signs add up") == []
    assert the(page + "".join(signs[:3]), "2026-04-06 11:00", "signs add up").says == (
        "Look closely at Wattle: eggs felt 1 Apr; off food 4 days."
    )
    assert found(page + "".join(signs[:3]), "2026-04-06 11:00", "signs add up") == ["today signs add up wattle"]
    assert found(page + "".join(signs), "2026-04-06 11:00", "signs add up") == ["vet signs add up wattle"]


@pytest.mark.parametrize(
    "routine",
    [
        "egg_check_done absent=lethargy,straining",
        "condition_seen look=bright body=good",
        "felt_for_eggs found=none",
        "weighed grams=400",
        "ate how=well",
        "mating_seen sire=karri",
        "put_together mate=karri",
        "eggs_laid clutch=w-1 count=9 complete=true",
    ],
)
def test_once_vet_no_later_entry_but_an_answer_brings_it_down(routine: str) -> None:
    page = ROOM + "2026-03-05\n10:00 wattle weighed grams=400\n2026-03-12\n10:00 wattle mating_seen\n" + LOOKED
    page += "2026-04-20\n10:00 wattle ate how=refused\n10:01 wattle condition_seen look=quiet body=heavy\n"
    page += f"2026-04-24\n10:00 wattle {routine}\n"
    for now in ("2026-04-24 09:59", "2026-04-24 10:01", "2026-05-24"):
        assert found(page, now, "signs add up") == ["vet signs add up wattle"]


def test_past_the_window_without_any_sign_she_is_watched_for_two_weeks() -> None:
    page = MATED + LOOKED
    assert found(page, "2026-04-23", "window past", "signs add up") == []
    assert found(page, "2026-04-24", "window past", "signs add up") == ["watch window past wattle"]
    assert the(page, "2026-04-24", "window past").says == "Wattle: window ended 23 Apr, no eggs, no other sign."
    assert found(page, "2026-05-07", "window past", "signs add up") == ["watch window past wattle"]
    assert found(page, "2026-05-08", "window past", "signs add up") == []


def test_none_felt_lowers_nothing() -> None:
    page = MATED + LOOKED + "2026-04-20\n10:00 wattle felt_for_eggs found=eggs\n"
    none = page + "2026-04-21\n10:00 wattle felt_for_eggs found=none\n"
    none += '18:30 wattle egg_check_done absent="eggs felt"\n'
    assert found(page, "2026-04-24", "signs add up") == ["vet signs add up wattle"]
    assert found(none, "2026-04-24", "signs add up") == ["vet signs add up wattle"]


def test_a_clutch_too_short_to_be_believed_is_no_window_without_eggs() -> None:
    page = MATED + "2026-04-02\n09:00 wattle eggs_laid clutch=w-1 count=9 complete=true\n"
    assert found(page, "2026-04-25", "window past") == []


def test_eggs_of_a_believable_number_end_it() -> None:
    heavy = MATED + LOOKED + "2026-04-10\n10:00 wattle condition_seen body=heavy\n"
    laid = heavy + "2026-04-24\n10:00 wattle eggs_laid clutch=wattle-1 count={} complete=true\n"
    assert found(laid.format(10), "2026-04-24 09:59", "signs add up", "window past") == ["vet signs add up wattle"]
    assert found(laid.format(10), "2026-04-24 10:00", "signs add up", "window past") == []
    assert found(laid.format(9), "2026-04-24 10:00", "signs add up") == ["vet signs add up wattle"]


@pytest.mark.parametrize(
    ("told", "rests_until", "back"),
    [
        ("vet_seen", "2026-05-01 10:00", "2026-05-01 10:01"),
        ("vet_called said=wait", "2026-04-29 10:00", "2026-04-29 10:01"),
        ("vet_seen again=2026-04-27", "2026-04-27 23:59", "2026-04-28 00:01"),
        ("vet_called again=2026-05-05", "2026-05-05 23:59", "2026-05-06 00:01"),
    ],
    ids=["a visit: a week", "a call: five days", "until the vet's own day", "until the day said by telephone"],
)
def test_after_a_vets_visit_or_call_it_rests_and_comes_back(told: str, rests_until: str, back: str) -> None:
    page = MATED + LOOKED + f"2026-04-10\n10:00 wattle condition_seen body=heavy\n2026-04-24\n10:00 wattle {told}\n"
    page += "2026-04-25\n10:00 wattle condition_seen body=heavy\n"
    assert found(page, "2026-04-24 09:59", "signs add up") == ["vet signs add up wattle"]
    assert found(page, "2026-04-24 10:00", "signs add up") == []
    assert found(page, rests_until, "signs add up") == []
    assert found(page, back, "signs add up") == ["vet signs add up wattle"]
    assert the(page, back, "signs add up").since == at("2026-04-24 10:00"), "a new matter, to be read again"


def test_a_vet_who_found_her_empty_ends_it() -> None:
    page = (
        MATED
        + "2026-04-10\n10:00 wattle condition_seen body=heavy\n2026-04-20\n10:00 wattle vet_seen carrying=false\n"
    )
    assert found(page, "2026-05-02", "window past", "signs add up", "lay box not ready") == []


def test_past_the_time_to_the_next_clutch_signs_are_for_the_vet() -> None:
    # By stored sperm: laid on 2 March, the next clutch until 13 April.
    laid = ROOM + "2026-03-02\n10:00 wattle eggs_laid clutch=wattle-1 count=20 complete=true\n11:00 wattle weighed "
    laid += "grams=400\n" + looked("2026-03-20", "2026-05-24")
    assert found(laid, "2026-04-14", "window past", "signs add up") == [], "a next clutch is no promise"
    felt = laid + "2026-04-05\n10:00 wattle felt_for_eggs found=eggs\n"
    assert found(felt, "2026-04-13", "signs add up") == []
    assert found(felt, "2026-04-14", "signs add up") == ["vet signs add up wattle"]
    heavy = laid + "2026-04-05\n10:00 wattle condition_seen body=heavy\n"
    assert found(heavy, "2026-04-14", "signs add up") == ["today signs add up wattle"]
    gained = felt + "2026-04-05\n10:05 wattle weighed grams=440\n"
    assert found(gained, "2026-04-13", "signs add up") == []
    assert the(gained, "2026-04-14", "signs add up").says == (
        "Wattle may be egg-bound: window ended 13 Apr, no eggs; eggs felt 5 Apr; 10 % above her own weight 5 Apr."
    )
