"""Egg checks, laying and what comes after."""

from __future__ import annotations

import pytest

from rounds.due.matter import Level
from tests.due.matters.found import DIG, ROOM, all_found, found, the
from tests.notation import at

MATED = ROOM + "2026-03-12\n10:00 wattle mating_seen sire=karri\n"
BEGUN = MATED + "2026-04-02\n09:00 wattle eggs_laid clutch=%wattle-1 count=5\n"
#: A clutch of 20 of the year before, so that her usual is known.
USUAL = "2025-04-02 AK\n09:00 wattle eggs_laid clutch=%wattle-0 count=20 complete=true\n" + BEGUN


def test_while_eggs_may_still_come_she_is_watched_with_the_clock_running() -> None:
    matter = the(BEGUN, "2026-04-02 09:30", "laying stopped")
    assert matter.level == Level.WATCH
    assert matter.deadline == at("2026-04-04 09:00")
    assert matter.says == (
        "Wattle has laid 5 eggs so far, the last 30 minutes ago; the vet's deadline is 4 Apr 09:00."
    )


@pytest.mark.parametrize(
    ("now", "level"),
    [
        ("2026-04-02 14:59", "watch"),
        ("2026-04-02 15:00", "today"),
        ("2026-04-03 08:59", "today"),
        ("2026-04-03 09:00", "vet"),
        ("2026-04-04 08:59", "vet"),
        ("2026-04-04 09:00", "vet now"),
        ("2026-04-09 09:00", "vet now"),
    ],
)
def test_when_nothing_more_is_noted_the_clock_runs_to_vet_now_after_48_hours(now: str, level: str) -> None:
    matter = the(BEGUN, now, "laying stopped")
    assert matter.level.word == level
    assert matter.deadline == at("2026-04-04 09:00")
    assert ("complete or not?" in matter.says) == (level != "watch")


def test_the_48_hours_are_elapsed_hours_when_the_clocks_change() -> None:
    # The clocks went forward in the night to 29 March 2026: 48 hours after 09:00 it is 10:00.
    page = MATED + "2026-03-28\n09:00 wattle eggs_laid clutch=%wattle-1 count=5\n"
    assert the(page, "2026-03-30 09:59", "laying stopped").level == Level.VET
    matter = the(page, "2026-03-30 10:00", "laying stopped")
    assert matter.level == Level.VET_NOW
    assert matter.deadline == at("2026-03-30 10:00")


def test_an_egg_more_starts_the_clock_anew_a_recount_does_not() -> None:
    more = BEGUN + "2026-04-03\n09:00 wattle eggs_laid clutch=%wattle-1 count=6\n"
    assert the(more, "2026-04-03 12:00", "laying stopped").deadline == at("2026-04-05 09:00")
    same = BEGUN + "2026-04-03\n09:00 wattle eggs_laid clutch=%wattle-1 count=5\n"
    assert the(same, "2026-04-03 12:00", "laying stopped").deadline == at("2026-04-04 09:00")


def test_eggs_felt_after_the_last_one_are_for_today_at_once() -> None:
    felt = BEGUN + "09:20 wattle felt_for_eggs found=eggs\n"
    matter = the(felt, "2026-04-02 09:30", "laying stopped")
    assert matter.level == Level.TODAY
    assert "eggs felt 2 Apr 09:20" in matter.says
    assert found(
        BEGUN + '09:20 wattle egg_check_done present="eggs felt"\n', "2026-04-02 09:30", "laying stopped"
    ) == ["today laying stopped wattle"]


def test_eggs_felt_before_the_first_say_nothing_about_those_that_are_left() -> None:
    before = MATED + "2026-04-01\n09:00 wattle felt_for_eggs found=eggs\n2026-04-02\n"
    before += "09:00 wattle eggs_laid clutch=%wattle-1 count=5\n"
    assert found(before, "2026-04-02 09:30", "laying stopped") == ["watch laying stopped wattle"]


def test_a_count_well_short_of_her_usual_is_for_today_an_hour_after_the_last_egg() -> None:
    assert the(USUAL, "2026-04-02 09:59", "laying stopped").level == Level.WATCH
    short = the(USUAL, "2026-04-02 10:00", "laying stopped")
    assert short.level == Level.TODAY
    assert "her usual is 20" in short.says
    assert found(USUAL.replace("count=5", "count=11"), "2026-04-02 10:00", "laying stopped") == [
        "watch laying stopped wattle"
    ]


def test_a_weight_well_above_her_own_before_mating_is_for_today_at_once() -> None:
    before = BEGUN.replace("2026-03-12\n", "2026-03-11\n08:00 wattle weighed grams=400\n2026-03-12\n")
    heavy = before + "09:10 wattle weighed grams=440\n"
    assert (
        the(heavy, "2026-04-02 09:30", "laying stopped").says.count("10 % above her own weight before mating") == 1
    )
    assert the(heavy, "2026-04-02 09:30", "laying stopped").level == Level.TODAY
    light = before + "09:10 wattle weighed grams=438\n"
    assert the(light, "2026-04-02 09:30", "laying stopped").level == Level.WATCH


def test_complete_ends_it() -> None:
    done = BEGUN + "11:00 wattle eggs_laid clutch=%wattle-1 count=20 complete=true\n"
    assert found(done, "2026-04-02 18:00", "laying stopped") == []
    assert (
        found(
            BEGUN + "18:00 wattle eggs_laid clutch=%wattle-1 count=5 complete=true\n",
            "2026-04-05",
            "laying stopped",
        )
        == []
    )


def test_eggs_felt_after_the_clutch_was_said_to_be_complete_open_it_again() -> None:
    done = MATED + "2026-04-02\n09:00 wattle eggs_laid clutch=%wattle-1 count=12 complete=true\n"
    felt = done + "2026-04-03\n08:00 wattle felt_for_eggs found=eggs\n"
    assert the(felt, "2026-04-03 08:30", "laying stopped").level == Level.TODAY
    assert the(felt, "2026-04-04 09:00", "laying stopped").level == Level.VET_NOW
    assert found(felt + "09:00 wattle felt_for_eggs found=none\n", "2026-04-03 09:30", "laying stopped") == []


def test_eggs_felt_weeks_later_are_those_of_the_next_clutch() -> None:
    done = MATED + "2026-04-02\n09:00 wattle eggs_laid clutch=%wattle-1 count=12 complete=true\n"
    assert found(done + "2026-04-17\n08:00 wattle felt_for_eggs found=eggs\n", "2026-04-17", "laying stopped") == []


def test_a_vets_visit_after_the_last_egg_ends_the_countdown_and_asks_for_the_count() -> None:
    seen = BEGUN + "2026-04-03\n14:00 wattle vet_seen outcome=treated\n"
    matter = the(seen, "2026-04-05 12:00", "laying stopped")
    assert (matter.level, matter.deadline) == (Level.WATCH, None)
    again = seen + "2026-04-04\n09:00 wattle eggs_laid clutch=%wattle-1 count=9\n"
    assert the(again, "2026-04-04 16:00", "laying stopped").deadline == at("2026-04-06 09:00")


def test_being_referred_does_not_stop_the_clock() -> None:
    referred = BEGUN + "2026-04-03\n14:00 wattle referred\n"
    assert found(referred, "2026-04-04 09:00", "laying stopped", "with the vet") == [
        "vet now laying stopped wattle",
        "vet with the vet wattle",
    ]


def test_weighing_well_above_her_own_weight_after_laying_she_may_hold_eggs() -> None:
    page = (
        ROOM
        + """
    2026-03-10
    08:00 wattle weighed grams=400
    2026-03-12
    10:00 wattle mating_seen
    2026-04-02
    09:00 wattle eggs_laid clutch=%wattle-1 count=12 complete=true
    2026-04-03
    09:00 wattle weighed grams={}
    """
    )
    matter = the(page.format(440), "2026-04-03 10:00", "heavy after laying")
    assert matter.level == Level.TODAY
    assert matter.says == (
        "Wattle weighs 440 g after laying, 10 % above her own 400 g before she was carrying: she may hold eggs."
    )
    assert found(page.format(439), "2026-04-03 10:00", "heavy after laying") == []
    lighter = page.format(440) + "\n2026-04-05\n09:00 wattle weighed grams=405\n"
    assert found(lighter, "2026-04-05 10:00", "heavy after laying") == []
    seen = page.format(440) + "\n11:00 wattle vet_seen\n"
    assert found(seen, "2026-04-03 12:00", "heavy after laying") == []
    felt = page.format(440) + "\n11:00 wattle felt_for_eggs found=eggs\n"
    assert found(felt, "2026-04-03 12:00", "heavy after laying", "laying stopped") == ["vet laying stopped wattle"]


def test_a_weight_weeks_after_laying_is_no_sign_of_eggs_held() -> None:
    page = (
        ROOM
        + """
    2026-03-10
    08:00 wattle weighed grams=400
    2026-03-12
    10:00 wattle mating_seen
    2026-04-02
    09:00 wattle eggs_laid clutch=%wattle-1 count=12 complete=true
    2026-04-20
    09:00 wattle weighed grams=460
    """
    )
    assert found(page, "2026-04-20", "heavy after laying") == []


def test_a_weekly_egg_check_is_overdue_when_it_is_a_week_late_a_daily_one_after_a_day() -> None:
    # Mated on 12 March: near her window from 19 March on, a check every day.
    assert found(MATED, "2026-03-19", "egg check overdue") == []
    matter = the(MATED, "2026-03-20", "egg check overdue")
    assert matter.level == Level.TODAY
    assert matter.says == "Wattle's egg check is 1 day late (near her window; never done)."
    checked = MATED + "2026-03-20\n18:00 wattle egg_check_done absent=lethargy\n"
    assert found(checked, "2026-03-21", "egg check overdue") == []
    assert found(checked, "2026-03-22", "egg check overdue") == ["today egg check overdue wattle"]


def test_while_she_nests_who_cannot_check_her_calls_the_vet() -> None:
    page = MATED + f"2026-03-30\n10:00 wattle {DIG}\n11:00 wattle egg_check_done present=digging\n"
    matter = the(page, "2026-04-01", "egg check overdue")
    assert matter.says.endswith("Cannot check her today? Call the vet.")
    assert any("agree it with your vet" in step for step in matter.do)


def test_while_she_lays_a_check_is_overdue_by_half_a_day() -> None:
    checked = BEGUN + "10:00 wattle egg_check_done absent=straining\n"
    assert found(checked, "2026-04-03 09:59", "egg check overdue") == []
    assert found(checked, "2026-04-03 10:00", "egg check overdue") == ["today egg check overdue wattle"]
    assert "Call the vet." in the(checked, "2026-04-03 10:00", "egg check overdue").says


def test_off_her_food_bright_and_active_is_expected_of_a_carrying_female() -> None:
    page = MATED + "2026-03-25\n10:00 wattle ate how=refused\n2026-03-27\n10:00 wattle ate how=refused\n"
    page += "10:01 wattle condition_seen look=bright\n2026-03-29\n10:00 wattle ate how=refused\n"
    matter = the(page, "2026-03-29 12:00", "off food while carrying")
    assert matter.level == Level.WATCH
    assert matter.says == "Wattle left her food 3 times; bright and active: expected while carrying."
    assert found(page, "2026-03-29 12:00", "refused food") == []


def test_it_is_expected_of_no_other_animal_and_not_when_she_looks_dull() -> None:
    refused = "2026-03-2{0}\n10:00 {1} ate how=refused\n"
    unmated = ROOM + "".join(refused.format(day, "sedge") for day in (5, 7, 9))
    assert found(unmated, "2026-03-29 12:00", "off food while carrying", "refused food") == [
        "watch refused food sedge"
    ]
    dull = (
        MATED
        + "".join(refused.format(day, "wattle") for day in (5, 7, 9))
        + "11:00 wattle condition_seen look=dull\n"
    )
    assert found(dull, "2026-03-29 12:00", "off food while carrying", "refused food", "looks dull") == [
        "vet looks dull wattle",
        "watch refused food wattle",
    ]


def test_off_food_at_an_egg_check_counts_until_she_eats() -> None:
    page = MATED + '2026-03-25\n10:00 wattle egg_check_done present="off food"\n'
    assert found(page, "2026-03-25", "off food while carrying") == ["watch off food while carrying wattle"]
    assert found(page + "18:00 wattle ate how=well\n", "2026-03-25 19:00", "off food while carrying") == []


def test_no_two_matters_of_the_ladder_say_the_same_about_her() -> None:
    for now in ("2026-04-02 09:30", "2026-04-02 16:00", "2026-04-03 16:00", "2026-04-05"):
        rules = [matter.rule for matter in all_found(BEGUN, now) if matter.about == "animal/wattle"]
        assert len(rules) == len(set(rules))
        assert not {"no lay box", "digging without eggs", "window past", "lay box not ready"} & set(rules)
