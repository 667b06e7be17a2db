"""From mating to the first egg: a place to lay, digging, and a window that passes."""

from __future__ import annotations

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
    assert matter.says == "Wattle digs since 1 Apr and has no lay box."
    assert [entry.kind for entry in matter.entries] == ["behaviour_seen", "mating_seen"]
    assert matter.place == "enclosure/b3"
    assert "lay box" in matter.acts
    assert matter.worsens == "vet from 8 Apr (after day 7), any danger sign: vet now"


def test_once_she_has_a_lay_box_it_is_answered() -> None:
    assert found(DUG + BOX, "2026-04-01 18:00", "no lay box") == []
    assert found(DUG + "18:00 @b3 lay_box_in", "2026-04-01 18:00", "no lay box") == []
    assert found(DUG + "18:00 wattle moved to=@l1", "2026-04-01 18:00", "no lay box") == []


def test_taken_out_again_she_has_none() -> None:
    assert found(DUG + BOX + "19:00 wattle lay_box_out", "2026-04-01 20:00", "no lay box") == [
        "today no lay box wattle"
    ]


@pytest.mark.parametrize(
    "because",
    [
        "2026-01-05\n10:00 wattle put_together mate=karri\n2026-01-08\n10:00 wattle parted",
        "2026-01-05\n10:00 wattle eggs_laid clutch=%wattle-1 count=20 complete=true",
        "2026-03-30\n10:00 wattle felt_for_eggs found=eggs",
        "2026-01-05\n10:00 wattle behaviour_seen behaviour=copulation toward=karri",
    ],
    ids=["with a male in the last months", "stored sperm after a clutch", "eggs felt", "copulation seen"],
)
def test_she_can_be_carrying_by_more_than_a_mating_seen(because: str) -> None:
    page = f"{ROOM}{because}\n2026-04-01\n17:30 wattle {DIG}"
    assert found(page, "2026-04-01 18:00", "no lay box") == ["today no lay box wattle"]


def test_an_unmated_female_who_digs_is_watched_because_she_may_lay_infertile_eggs() -> None:
    # Common practice, no source.
    page = ROOM + f"2026-04-01\n17:30 wattle {DIG}"
    matter = the(page, "2026-04-01 18:00", "no lay box")
    assert matter.level == Level.WATCH
    assert matter.says.endswith("; no mating of hers is known.")
    assert matter.worsens.startswith("today from 5 Apr (day 5 of digging), vet from 8 Apr (after day 7)")
    assert found(page, "2026-04-04", "no lay box") == ["watch no lay box wattle"]
    assert found(page, "2026-04-05", "no lay box") == ["today no lay box wattle"]


def test_an_animal_of_unknown_sex_counts_as_a_female_when_it_is_old_enough() -> None:
    page = ROOM + f"2026-04-01\n17:00 pup arrived name=Pup hatched={{}} place=@b4\n17:30 pup {DIG}"
    assert found(page.format("2025-05-01"), "2026-04-01 18:00", "no lay box") == ["watch no lay box pup"]
    assert found(page.format("2025-10-01"), "2026-04-01 18:00", "no lay box") == []


def test_a_male_who_digs_needs_no_lay_box() -> None:
    assert found(ROOM + f"2026-04-01\n17:30 karri {DIG}", "2026-04-01 18:00", *LADDER) == []


def test_closing_the_nest_after_laying_is_no_new_digging() -> None:
    page = DUG + BOX + "2026-04-03\n10:00 wattle eggs_laid clutch=%wattle-1 count=20 complete=true\n11:00 wattle "
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
    assert found(DUG, "2026-04-08", *LADDER) == ["vet digging without eggs wattle", "today no lay box wattle"]


def test_about_a_week_of_scratching_before_eggs_stays_below_the_vet() -> None:
    # Common practice, no source: about a week of scratching before eggs.
    page = DUG + BOX + f"2026-04-07\n09:00 wattle {DIG}\n"
    assert found(page, "2026-04-07 10:00", "digging without eggs") == ["today digging without eggs wattle"]
    eggs = page + "20:00 wattle eggs_laid clutch=%wattle-1 count=20 complete=true\n"
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


def test_a_digger_who_stopped_is_felt_for_eggs_and_her_days_run_on_no_more() -> None:
    page = DUG + BOX + f"2026-04-02\n09:00 wattle {DIG}\n2026-04-04\n09:00 wattle egg_check_done absent=digging\n"
    matter = the(page, "2026-04-09", "digging without eggs")
    assert matter.level == Level.TODAY
    assert matter.says == "Wattle dug for 2 days until 2 Apr and stopped; no eggs were seen."
    none = page + "10:00 wattle felt_for_eggs found=none\n"
    assert found(none, "2026-04-09", "digging without eggs") == []


def test_who_dug_longer_than_a_week_and_stopped_is_still_for_the_vet() -> None:
    page = DUG + BOX + f"2026-04-09\n09:00 wattle {DIG}\n2026-04-11\n09:00 wattle egg_check_done absent=digging\n"
    page += "10:00 wattle felt_for_eggs found=none\n"
    assert found(page, "2026-04-12", "digging without eggs") == ["vet digging without eggs wattle"]
    assert found(page + "11:00 wattle vet_seen", "2026-04-12", "digging without eggs") == []


def test_silence_does_not_take_a_vet_matter_away() -> None:
    assert found(DUG + BOX, "2026-05-20", "digging without eggs") == ["vet digging without eggs wattle"]


def test_referred_for_it_she_is_with_the_vet_and_the_digging_is_not_said_twice() -> None:
    page = DUG + BOX + "2026-04-08\n09:00 wattle referred\n"
    assert found(page, "2026-04-08", "digging without eggs", "with the vet") == ["vet with the vet wattle"]


def test_a_referral_from_before_it_was_for_the_vet_does_not_hide_it() -> None:
    page = MATED + f"2026-03-30\n09:00 wattle referred why=eye\n2026-04-01\n17:30 wattle {DIG}\n{BOX}"
    assert found(page, "2026-04-08", "digging without eggs", "with the vet") == [
        "vet with the vet wattle",
        "vet digging without eggs wattle",
    ]


def test_a_lay_box_is_wanted_a_week_before_her_window_opens() -> None:
    # Mated on 12 March, the window opens on 26 March.
    assert found(MATED, "2026-03-18", "lay box not ready") == []
    assert found(MATED, "2026-03-19", "lay box not ready") == ["watch lay box not ready wattle"]
    assert found(MATED + "2026-03-18\n10:00 wattle lay_box_in", "2026-03-19", "lay box not ready") == []
    assert the(MATED, "2026-03-19", "lay box not ready").says == (
        "Wattle's window to lay opens on 26 Mar and no lay box is prepared."
    )


def test_in_her_window_with_eggs_felt_the_box_is_wanted_today() -> None:
    felt = MATED + "2026-03-25\n10:00 wattle felt_for_eggs found=eggs\n"
    assert found(felt, "2026-03-25", "lay box not ready") == ["watch lay box not ready wattle"]
    assert found(felt, "2026-03-26", "lay box not ready") == ["today lay box not ready wattle"]


def test_eggs_felt_in_a_female_of_no_known_mating_want_a_box_too() -> None:
    page = ROOM + "2026-03-25\n10:00 wattle felt_for_eggs found=eggs\n"
    assert found(page, "2026-03-25", "lay box not ready") == ["today lay box not ready wattle"]


def test_after_a_clutch_the_next_box_is_wanted_before_the_next_clutch() -> None:
    # By stored sperm, three to six weeks later: laid on 1 April, from 22 April on, a week before that the box.
    laid = ROOM + "2026-04-01\n10:00 wattle eggs_laid clutch=%wattle-1 count=20 complete=true\n"
    assert found(laid, "2026-04-14", "lay box not ready") == []
    assert found(laid, "2026-04-15", "lay box not ready") == ["watch lay box not ready wattle"]
    assert "stored sperm" in the(laid, "2026-04-15", "lay box not ready").says
    assert found(laid, "2026-05-14", "lay box not ready") == []


def test_a_shallow_nest_is_said() -> None:
    shallow = MATED + "2026-03-20\n10:00 wattle lay_box_in depth_cm=10\n"
    assert found(shallow, "2026-03-20", "nest too shallow") == ["watch nest too shallow wattle"]
    dug = shallow + f"2026-04-01\n17:30 wattle {DIG}\n"
    assert found(dug, "2026-04-01 18:00", "nest too shallow") == ["today nest too shallow wattle"]
    assert found(MATED + "2026-03-20\n10:00 wattle lay_box_in depth_cm=15", "2026-03-20", "nest too shallow") == []


def test_the_window_closes_42_days_after_the_last_mating_seen() -> None:
    heavy = MATED + "2026-04-10\n10:00 wattle condition_seen body=heavy\n"
    assert found(heavy, "2026-04-23 23:00", "window past") == []
    assert found(heavy, "2026-04-24", "window past") == ["vet window past wattle"]


def test_mated_again_since_she_is_not_for_the_vet_yet_and_not_forgotten() -> None:
    page = MATED + "2026-04-10\n10:00 wattle condition_seen body=heavy\n2026-04-11\n10:00 wattle mating_seen\n"
    assert found(page, "2026-04-23", "window past") == []
    matter = the(page, "2026-04-24", "window past")
    assert matter.level == Level.TODAY
    assert matter.says == (
        "Wattle carries (heavy on 10 Apr); by her mating of 12 Mar the window to lay closed on 23 Apr, "
        "by that of 11 Apr it is open until 23 May."
    )
    assert found(page, "2026-05-24", "window past") == ["vet window past wattle"]
    light = MATED + "2026-04-11\n10:00 wattle mating_seen\n"
    assert found(light, "2026-04-24", "window past") == []


@pytest.mark.parametrize(
    ("sign", "words"),
    [
        ("10:00 wattle felt_for_eggs found=eggs", "eggs felt on 20 Apr"),
        ('10:00 wattle egg_check_done present="eggs felt"', "eggs felt on 20 Apr"),
        ("10:00 wattle condition_seen body=heavy", "heavy on 20 Apr"),
        (f"10:00 wattle {DIG}", "digging since 20 Apr"),
        ("10:00 wattle weighed grams=460", "15 % above her own weight before mating"),
        ("10:00 wattle ate how=refused\n11:00 wattle ate how=refused", "off her food"),
    ],
)
def test_past_the_window_every_sign_that_she_carries_is_for_the_vet(sign: str, words: str) -> None:
    page = ROOM + "2026-03-05\n10:00 wattle weighed grams=400\n2026-03-12\n10:00 wattle mating_seen\n2026-04-20\n"
    matter = the(page + sign, "2026-04-24", "window past")
    assert matter.level == Level.VET
    assert f"she carries ({words})" in matter.says
    assert matter.since == at("2026-04-24 00:00")


def test_past_the_window_without_any_sign_she_is_watched_for_two_weeks() -> None:
    assert found(MATED, "2026-04-24", "window past") == ["watch window past wattle"]
    assert found(MATED, "2026-05-08", "window past") == []
    empty = (
        MATED
        + "2026-04-20\n10:00 wattle felt_for_eggs found=none\n"
        + "10:01 wattle ate how=refused\n10:02 wattle ate how=refused"
    )
    assert found(empty, "2026-04-24", "window past") == ["watch window past wattle"]


def test_eggs_end_it() -> None:
    heavy = MATED + "2026-04-10\n10:00 wattle condition_seen body=heavy\n"
    laid = heavy + "2026-04-23\n10:00 wattle eggs_laid clutch=%wattle-1 count=20 complete=true\n"
    assert found(laid, "2026-04-24", "window past") == []


def test_after_a_vets_visit_it_rests_for_a_week_and_comes_back() -> None:
    seen = MATED + "2026-04-10\n10:00 wattle condition_seen body=heavy\n2026-04-24\n10:00 wattle vet_seen\n"
    assert found(seen, "2026-05-01", "window past") == []
    assert found(seen, "2026-05-02", "window past") == ["vet window past wattle"]
    assert the(seen, "2026-05-02", "window past").says.endswith("not since a vet saw her on 24 Apr either.")


def test_a_vet_who_found_her_empty_ends_it() -> None:
    page = (
        MATED
        + "2026-04-10\n10:00 wattle condition_seen body=heavy\n2026-04-20\n10:00 wattle vet_seen carrying=false\n"
    )
    assert found(page, "2026-05-02", "window past", "lay box not ready") == []


def test_eggs_felt_past_the_time_to_the_next_clutch_are_for_the_vet_too() -> None:
    laid = ROOM + "2026-03-02\n10:00 wattle eggs_laid clutch=%wattle-1 count=20 complete=true\n"
    assert found(laid, "2026-04-14", "window past") == []
    felt = laid + "2026-04-05\n10:00 wattle felt_for_eggs found=eggs\n"
    assert found(felt, "2026-04-13", "window past") == []
    assert found(felt, "2026-04-14", "window past") == ["vet window past wattle"]
