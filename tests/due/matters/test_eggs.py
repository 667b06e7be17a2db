"""Egg checks, laying and what comes after."""

from __future__ import annotations

import pytest

from rounds.due.matter import Level
from tests.due.matters.found import DIG, ROOM, all_found, found, the
from tests.notation import at

MATED = ROOM + "2026-03-12\n10:00 wattle mating_seen sire=karri\n"
BEGUN = MATED + "2026-04-02\n09:00 wattle eggs_laid clutch=wattle-1 count=5\n"
#: A clutch of 20 of the year before, so that her usual is known.
USUAL = "2025-04-02 AK\n09:00 wattle eggs_laid clutch=wattle-0 count=20 complete=true\n" + BEGUN


def test_while_eggs_may_still_come_she_is_watched_with_the_clock_running() -> None:
    matter = the(BEGUN, "2026-04-02 09:30", "laying stopped")
    assert matter.level == Level.WATCH
    assert matter.deadline == at("2026-04-04 09:00")
    assert matter.says == "Wattle: laying, 5 eggs so far, the last 30 min ago. Vet by 4 Apr 09:00."


#: Twelve eggs, so that the count alone says nothing.
TWELVE = MATED + "2026-04-02\n09:00 wattle eggs_laid clutch=wattle-1 count=12\n"


@pytest.mark.parametrize(
    ("now", "level", "says"),
    [
        ("2026-04-02 14:59", "watch", "laying, 12 eggs so far, the last 5 h ago. Vet by 4 Apr 09:00."),
        ("2026-04-02 15:00", "today", "stopped laying 6 h ago at 12. Vet by 4 Apr 09:00."),
        ("2026-04-03 08:59", "today", "stopped laying 23 h ago at 12. Vet by 4 Apr 09:00."),
        ("2026-04-03 09:00", "vet", "stopped laying 24 h ago at 12. Vet by 4 Apr 09:00."),
        ("2026-04-04 08:59", "vet", "stopped laying 47 h ago at 12. Vet by 4 Apr 09:00."),
        ("2026-04-04 09:00", "vet now", "stopped laying 48 h ago at 12. Vet due now."),
        ("2026-04-04 09:40", "vet now", "stopped laying 48 h ago at 12. Vet 40 min overdue."),
        ("2026-04-09 09:00", "vet now", "stopped laying 168 h ago at 12. Vet 120 h overdue."),
    ],
)
def test_when_nothing_more_is_noted_the_clock_runs_to_vet_now_after_48_hours(
    now: str, level: str, says: str
) -> None:
    matter = the(TWELVE, now, "laying stopped")
    assert matter.level.word == level
    assert matter.deadline == at("2026-04-04 09:00")
    assert matter.says == f"Wattle: {says}"
    asked = "Complete or not? Write the eggs as complete, or the count so far."
    assert asked in matter.do


def test_the_48_hours_are_elapsed_hours_when_the_clocks_change() -> None:
    # The clocks went forward in the night to 29 March 2026: 48 hours after 09:00 it is 10:00.
    page = MATED + "2026-03-28\n09:00 wattle eggs_laid clutch=wattle-1 count=5\n"
    assert the(page, "2026-03-30 09:59", "laying stopped").level == Level.VET
    matter = the(page, "2026-03-30 10:00", "laying stopped")
    assert matter.level == Level.VET_NOW
    assert matter.deadline == at("2026-03-30 10:00")


def test_an_egg_more_starts_the_clock_again_a_recount_does_not() -> None:
    more = BEGUN + "2026-04-03\n08:59 wattle eggs_laid clutch=wattle-1 count=6\n"
    assert the(more, "2026-04-03 12:00", "laying stopped").deadline == at("2026-04-05 08:59")
    same = BEGUN + "2026-04-03\n09:00 wattle eggs_laid clutch=wattle-1 count=5\n"
    assert the(same, "2026-04-03 12:00", "laying stopped").deadline == at("2026-04-04 09:00")


def test_once_vet_one_egg_more_does_not_bring_it_down_ten_do() -> None:
    more = BEGUN + "2026-04-03\n{} wattle eggs_laid clutch=wattle-1 count={}\n"
    assert found(more.format("08:59", 6), "2026-04-03 09:10", "laying stopped") == ["watch laying stopped wattle"]
    late = the(more.format("09:00", 6), "2026-04-03 09:10", "laying stopped")
    assert (late.level, late.deadline) == (Level.VET, at("2026-04-04 09:00"))  # the wait before it runs on
    assert found(more.format("09:00", 9), "2026-04-03 09:10", "laying stopped") == ["vet laying stopped wattle"]
    assert found(more.format("09:00", 10), "2026-04-03 09:10", "laying stopped") == ["watch laying stopped wattle"]


def test_nor_does_an_egg_written_under_another_name() -> None:
    page = BEGUN + "2026-04-04\n10:00 wattle eggs_laid clutch=wattle-2 count={}\n"
    assert found(page.format(1), "2026-04-04 10:10", "laying stopped") == ["vet now laying stopped wattle"]
    assert found(page.format(9), "2026-04-04 10:10", "laying stopped") == ["vet now laying stopped wattle"]
    assert found(page.format(10), "2026-04-04 10:10", "laying stopped") == ["watch laying stopped wattle"]
    for contact in ("vet_seen", "vet_called said=wait"):
        heard = page.format(1) + f"11:00 wattle {contact}\n"
        assert found(heard, "2026-04-04 11:10", "laying stopped") == ["watch laying stopped wattle"]


def test_nor_does_the_word_complete_over_a_short_clutch() -> None:
    page = BEGUN + "2026-04-0{}\n09:00 wattle eggs_laid clutch=wattle-1 count={} complete=true\n"
    assert the(page.format(3, 6), "2026-04-03 10:00", "laying stopped").level == Level.VET
    assert the(page.format(4, 6), "2026-04-20 10:00", "laying stopped").level == Level.VET_NOW
    assert found(page.format(4, 20), "2026-04-04 10:00", "laying stopped") == []


def test_eggs_felt_after_the_last_one_are_for_today_at_once() -> None:
    felt = BEGUN + "09:20 wattle felt_for_eggs found=eggs\n"
    matter = the(felt, "2026-04-02 09:30", "laying stopped")
    assert matter.level == Level.TODAY
    assert matter.says == "Wattle: stopped laying 30 min ago at 5, eggs felt. Vet by 4 Apr 09:00."
    assert found(
        BEGUN + '09:20 wattle egg_check_done present="eggs felt"\n', "2026-04-02 09:30", "laying stopped"
    ) == ["today laying stopped wattle"]


def test_eggs_felt_before_the_first_say_nothing_about_those_that_are_left() -> None:
    before = MATED + "2026-04-01\n09:00 wattle felt_for_eggs found=eggs\n2026-04-02\n"
    before += "09:00 wattle eggs_laid clutch=wattle-1 count=5\n"
    assert found(before, "2026-04-02 09:30", "laying stopped") == ["watch laying stopped wattle"]


def test_a_count_well_short_of_her_usual_is_for_today_an_hour_after_the_last_egg() -> None:
    assert the(USUAL, "2026-04-02 09:59", "laying stopped").level == Level.WATCH
    short = the(USUAL, "2026-04-02 10:00", "laying stopped")
    assert short.level == Level.TODAY
    assert short.says == "Wattle: stopped laying 1 h ago at 5, her usual is 20. Vet by 4 Apr 09:00."
    for count, level in ((9, "today"), (10, "watch")):
        page = USUAL.replace("count=5", f"count={count}")
        assert found(page, "2026-04-02 10:00", "laying stopped") == [f"{level} laying stopped wattle"]


def test_without_a_usual_of_her_own_ten_is_the_least_usual() -> None:
    # Cleveland zoo sheet; Dörnath 2014: 11 to 40 eggs a clutch.
    assert the(BEGUN, "2026-04-02 10:00", "laying stopped").says == (
        "Wattle: stopped laying 1 h ago at 5, usual is 10 or more. Vet by 4 Apr 09:00."
    )
    for count, level in ((9, "today"), (10, "watch")):
        page = BEGUN.replace("count=5", f"count={count}")
        assert found(page, "2026-04-02 10:00", "laying stopped") == [f"{level} laying stopped wattle"]


def test_a_weight_well_above_her_own_before_mating_is_for_today_at_once() -> None:
    before = BEGUN.replace("2026-03-12\n", "2026-03-11\n08:00 wattle weighed grams=400\n2026-03-12\n")
    heavy = before + "09:10 wattle weighed grams=440\n"
    assert the(heavy, "2026-04-02 09:30", "laying stopped").says == (
        "Wattle: stopped laying 30 min ago at 5, 10 % above her own weight. Vet by 4 Apr 09:00."
    )
    assert the(heavy, "2026-04-02 09:30", "laying stopped").level == Level.TODAY
    light = before + "09:10 wattle weighed grams=439\n"
    assert the(light, "2026-04-02 09:30", "laying stopped").level == Level.WATCH


def test_complete_ends_it_as_far_as_it_fits() -> None:
    done = BEGUN + "11:00 wattle eggs_laid clutch=wattle-1 count={} complete=true\n"
    assert found(done.format(10), "2026-04-02 18:00", "laying stopped") == []
    short = the(done.format(9), "2026-04-02 18:00", "laying stopped")
    assert (short.level, short.deadline) == (Level.TODAY, None)
    assert short.says == "Wattle: said to be done at 9 eggs, usual is 10 or more."
    assert found(done.format(9), "2026-04-16", "laying stopped") == ["today laying stopped wattle"]
    assert found(done.format(9), "2026-04-17", "laying stopped") == [], "she counts as freshly laid no more"
    for contact in ("vet_seen", "vet_called said=wait"):
        heard = done.format(9) + f"12:00 wattle {contact}\n"
        assert found(heard, "2026-04-02 18:00", "laying stopped") == []


def test_of_her_usual_half_is_believed() -> None:
    done = USUAL + "11:00 wattle eggs_laid clutch=wattle-1 count={} complete=true\n"
    assert found(done.format(10), "2026-04-02 18:00", "laying stopped") == []
    assert the(done.format(9), "2026-04-02 18:00", "laying stopped").says == (
        "Wattle: said to be done at 9 eggs, her usual is 20."
    )


def test_after_a_short_clutch_the_digging_before_it_still_counts() -> None:
    page = MATED + f"2026-03-30\n09:00 wattle {DIG}\n09:01 wattle lay_box_in depth_cm=20\n2026-04-02\n"
    page += "09:00 wattle eggs_laid clutch=wattle-1 count={} complete=true\n2026-04-05\n09:00 wattle " + DIG + "\n"
    page += "09:30 wattle egg_check_done present=digging\n"
    rules = ("digging without eggs", "signs add up")
    assert found(page.format(9), "2026-04-05 12:00", *rules) == [
        "vet signs add up wattle",
        "today digging without eggs wattle",
    ]
    assert the(page.format(9), "2026-04-05 12:00", "signs add up").says == (
        "Wattle may hold eggs: laid 9, usual is 10 or more; dug 5 Apr, after laying; "
        "nobody looked at her for 6 days."
    )
    day_8 = found(page.format(9), "2026-04-06", *rules)
    assert day_8 == ["vet digging without eggs wattle"], "her days run on from 30 March, and say it"
    assert found(page.format(20), "2026-04-06", "digging without eggs") == [], "these eggs are believed"


def test_eggs_felt_after_the_clutch_was_said_to_be_complete_open_it_again() -> None:
    done = MATED + "2026-04-02\n09:00 wattle eggs_laid clutch=wattle-1 count=12 complete=true\n"
    felt = done + "2026-04-03\n08:00 wattle felt_for_eggs found=eggs\n"
    assert the(felt, "2026-04-03 08:30", "laying stopped").level == Level.TODAY
    assert the(felt, "2026-04-04 09:00", "laying stopped").level == Level.VET_NOW
    none = felt + "09:00 wattle felt_for_eggs found=none\n"
    assert the(none, "2026-04-03 09:30", "laying stopped").level == Level.VET, "none felt proves nothing"
    assert found(felt + "09:00 wattle vet_seen carrying=false\n", "2026-04-03 09:30", "laying stopped") == []


def test_the_word_complete_does_not_take_away_eggs_felt_since_the_last_one() -> None:
    page = MATED + "2026-04-01\n06:00 wattle eggs_laid clutch=w-1 count=14\n"
    page += "2026-04-02\n16:00 wattle felt_for_eggs found=eggs\n"
    assert the(page, "2026-04-02 17:00", "laying stopped").level == Level.VET
    said = page + "2026-04-02\n18:00 wattle eggs_laid clutch=w-1 count=14 complete=true\n"
    assert the(said, "2026-04-02 18:30", "laying stopped").level == Level.VET
    assert the(said, "2026-04-03 06:00", "laying stopped").level == Level.VET_NOW, "48 h after the last egg"
    rules = ("laying stopped", "alarm answered")
    laid = said + "2026-04-03\n07:00 wattle eggs_laid clutch=w-1 count=20 complete=true\n"
    assert found(laid, "2026-04-03 08:00", *rules) == ["watch alarm answered wattle"], "six eggs more do"
    seen = said + "2026-04-03\n07:00 wattle vet_seen carrying=false\n"
    assert found(seen, "2026-04-03 08:00", *rules) == ["watch alarm answered wattle"]


def test_felt_before_the_last_egg_a_clutch_said_to_be_complete_is_complete() -> None:
    page = MATED + "2026-04-01\n06:00 wattle eggs_laid clutch=w-1 count=14\n07:00 wattle felt_for_eggs found=eggs\n"
    page += "10:00 wattle eggs_laid clutch=w-1 count=20\n11:00 wattle eggs_laid clutch=w-1 count=20 complete=true\n"
    assert found(page, "2026-04-03 12:00", "laying stopped") == []


def test_eggs_felt_weeks_later_are_those_of_the_next_clutch() -> None:
    done = MATED + "2026-04-02\n09:00 wattle eggs_laid clutch=wattle-1 count=12 complete=true\n"
    assert found(done + "2026-04-17\n08:00 wattle felt_for_eggs found=eggs\n", "2026-04-17", "laying stopped") == []


@pytest.mark.parametrize("contact", ["vet_seen outcome=treated", "vet_called said=wait"])
def test_a_vets_visit_or_call_ends_the_countdown_for_48_hours(contact: str) -> None:
    seen = TWELVE + f"2026-04-03\n14:00 wattle {contact}\n"
    assert the(seen, "2026-04-03 13:59", "laying stopped").level == Level.VET
    matter = the(seen, "2026-04-05 13:59", "laying stopped")
    assert (matter.level, matter.deadline) == (Level.WATCH, None)
    assert matter.worsens == "not finished by then: vet"
    late = the(seen, "2026-04-05 14:00", "laying stopped")
    verb = "saw her" if contact.startswith("vet_seen") else "was phoned"
    assert late.level == Level.VET
    assert late.says == f"Wattle: stopped laying 77 h ago at 12. A vet {verb} 3 Apr 14:00."
    again = seen + "2026-04-04\n09:00 wattle eggs_laid clutch=wattle-1 count=15\n"
    assert the(again, "2026-04-04 16:00", "laying stopped").deadline == at("2026-04-06 09:00")


def test_laying_that_a_vet_saw_and_that_is_not_finished_after_the_vets_day_is_vet() -> None:
    seen = TWELVE + "2026-04-03\n14:00 wattle vet_seen outcome=treated again=2026-04-07\n"
    assert the(seen, "2026-04-07 23:59", "laying stopped").level == Level.WATCH
    late = the(seen, "2026-04-08 00:00", "laying stopped")
    assert late.level == Level.VET
    assert late.says == (
        "Wattle: stopped laying 135 h ago at 12. A vet saw her 3 Apr 14:00. Not finished by the vet's 7 Apr."
    )
    done = seen + "2026-04-07\n14:00 wattle eggs_laid clutch=wattle-1 count=20 complete=true\n"
    assert found(done, "2026-04-08 00:00", "laying stopped") == []


def test_being_referred_does_not_stop_the_clock() -> None:
    referred = TWELVE + "2026-04-03\n14:00 wattle referred\n"
    assert found(referred, "2026-04-04 09:00", "laying stopped", "with the vet") == [
        "vet now laying stopped wattle",
        "today with the vet wattle",
    ]


HEAVY = "heavy after laying"


def test_weighing_well_above_her_own_weight_after_laying_she_may_hold_eggs() -> None:
    page = (
        ROOM
        + """
    2026-03-10
    08:00 wattle weighed grams=400
    2026-03-12
    10:00 wattle mating_seen
    2026-04-02
    09:00 wattle eggs_laid clutch=wattle-1 count=12 complete=true
    2026-04-03
    09:00 wattle weighed grams={}
    """
    )
    matter = the(page.format(440), "2026-04-03 10:00", "heavy after laying")
    assert matter.level == Level.TODAY
    assert matter.says == "Wattle may hold eggs: 440 g after laying, 10 % above her own."
    assert found(page.format(439), "2026-04-03 10:00", "heavy after laying") == []
    lighter = page.format(440) + "\n2026-04-05\n09:00 wattle weighed grams=405\n"
    assert found(lighter, "2026-04-05 10:00", "heavy after laying") == []
    seen = page.format(440) + "\n11:00 wattle vet_seen\n"
    assert found(seen, "2026-04-03 12:00", "heavy after laying") == []
    felt = page.format(440) + "\n11:00 wattle felt_for_eggs found=eggs\n"
    rules = ("heavy after laying", "laying stopped", "signs add up")
    assert found(felt, "2026-04-03 12:00", *rules) == ["vet laying stopped wattle"], "one matter for one cause"
    again = page.format(440) + "\n{} wattle weighed grams={}\n"
    assert found(again.format("20:59", 445), "2026-04-03 21:00", "heavy after laying") == [
        "today heavy after laying wattle"
    ], "twice on the scale on one day is one weighing"
    second = the(page.format(440) + "\n2026-04-04\n07:00 wattle weighed grams=445\n", "2026-04-04 08:00", HEAVY)
    assert second.level == Level.VET
    assert second.says == "Wattle may hold eggs: still 445 g after laying, 11 % above her own."
    assert found(again.format("21:00", 439), "2026-04-03 21:00", "heavy after laying") == []
    later = (
        page.format(440)
        + "\n2026-04-04\n07:00 wattle weighed grams=445\n2026-04-06\n09:00 wattle weighed grams=400\n{}"
    )
    assert found(later.format(""), "2026-04-06 10:00", "heavy after laying") == ["vet heavy after laying wattle"], (
        "no later weight brings it down"
    )
    for contact in ("vet_seen", "vet_called said=wait"):
        heard = later.format(f"10:00 wattle {contact}\n")
        assert found(heard, "2026-04-06 11:00", "heavy after laying") == []


def test_a_few_eggs_more_do_not_answer_it() -> None:
    page = ROOM + "2026-03-10\n08:00 wattle weighed grams=400\n2026-03-12\n10:00 wattle mating_seen\n2026-04-02\n"
    page += "09:00 wattle eggs_laid clutch=w-1 count=12 complete=true\n2026-04-03\n09:00 wattle weighed grams=445\n"
    page += "2026-04-04\n09:00 wattle weighed grams=445\n2026-04-05\n10:00 wattle eggs_laid clutch=w-2 count={}\n"
    assert found(page.format("2"), "2026-04-05 10:10", "heavy after laying") == ["vet heavy after laying wattle"]
    done = "{} complete=true"
    assert found(page.format(done.format(5)), "2026-04-05 10:10", "heavy after laying") == [
        "vet heavy after laying wattle"
    ]
    assert found(page.format(done.format(10)), "2026-04-05 10:10", "heavy after laying") == [], "believed alone"


def test_a_weight_weeks_after_laying_is_no_sign_of_eggs_held() -> None:
    page = (
        ROOM
        + """
    2026-03-10
    08:00 wattle weighed grams=400
    2026-03-12
    10:00 wattle mating_seen
    2026-04-02
    09:00 wattle eggs_laid clutch=wattle-1 count=12 complete=true
    2026-04-20
    09:00 wattle weighed grams=460
    """
    )
    assert found(page, "2026-04-20", "heavy after laying") == []


def test_a_daily_look_is_overdue_after_a_day_a_weekly_one_after_a_week() -> None:
    # Mated on 12 March: in her window from 26 March to 23 April, a look every day.
    assert found(MATED, "2026-03-26", "egg check overdue") == []
    matter = the(MATED, "2026-03-27", "egg check overdue")
    assert matter.level == Level.TODAY
    assert matter.says == "Wattle: look 1 day late, no look noted (in her window)."
    looked = MATED + "2026-03-27\n18:00 wattle egg_check_done absent=lethargy\n"
    assert found(looked, "2026-03-28", "egg check overdue") == []
    assert the(looked, "2026-03-29", "egg check overdue").says == (
        "Wattle: look 1 day late, last 27 Mar (due to lay)."
    )
    over = MATED + "2026-04-23\n18:00 wattle egg_check_done absent=lethargy\n"
    assert found(over, "2026-05-06", "egg check overdue") == []
    assert the(over, "2026-05-07", "egg check overdue").says == (
        "Wattle: look 7 days late, last 23 Apr (window over)."
    )


def test_where_another_matter_of_her_eggs_is_open_it_is_not_said_beside_it() -> None:
    dug = MATED + f"2026-03-30\n10:00 wattle {DIG}\n10:01 wattle lay_box_in depth_cm=20\n"
    assert found(dug, "2026-04-01", "egg check overdue", "digging without eggs") == [
        "today egg check overdue wattle",
        "watch digging without eggs wattle",
    ]
    assert found(dug, "2026-04-03", "egg check overdue", "digging without eggs") == [
        "today digging without eggs wattle"
    ]
    sign = MATED + "2026-04-01\n10:00 wattle condition_seen signs=lethargy\n"
    assert found(sign, "2026-04-05", "egg check overdue", "danger sign") == ["vet now danger sign wattle"]
    assert found(TWELVE, "2026-04-03 16:00", "egg check overdue", "laying stopped") == ["vet laying stopped wattle"]


def test_while_she_nests_who_cannot_look_at_her_phones_the_vet() -> None:
    page = MATED + f"2026-03-30\n10:00 wattle {DIG}\n11:00 wattle egg_check_done present=digging\n"
    matter = the(page, "2026-04-01", "egg check overdue")
    assert matter.says == "Wattle: look 1 day late, last 30 Mar (digging)."
    assert "Not possible today: phone a reptile vet, and agree it with your vet." in matter.do
    resting = MATED + "2026-03-27\n18:00 wattle egg_check_done absent=lethargy\n"
    assert not any("phone" in step for step in the(resting, "2026-03-29", "egg check overdue").do)


def test_while_she_lays_a_look_is_overdue_by_half_a_day() -> None:
    looked = TWELVE + "10:00 wattle egg_check_done absent=straining\n"
    looked += "2026-04-03\n09:30 wattle eggs_laid clutch=wattle-1 count=15\n"
    assert found(looked, "2026-04-03 09:59", "egg check overdue") == []
    matter = the(looked, "2026-04-03 10:00", "egg check overdue")
    assert matter.says == "Wattle: look 12 h late, last 2 Apr (laying)."
    assert "Not possible today: phone a reptile vet, and agree it with your vet." in matter.do


REFUSED = "2026-03-{0}\n10:00 {1} ate how=refused\n"


def test_off_food_and_bright_is_expected_of_a_gravid_female_for_two_weeks() -> None:
    # dvm360, Preovulatory stasis and dystocia in oviparous lizards.
    page = MATED + "".join(REFUSED.format(day, "wattle") for day in (25, 27, 29))
    page += "10:01 wattle condition_seen look=bright\n"
    assert found(page, "2026-04-07", "refused food") == [], "a state on her line, not a matter"
    matter = the(page, "2026-04-08", "refused food")
    assert matter.level == Level.TODAY
    assert matter.says == "Wattle: refused food 3 times, since 25 Mar."
    eats = page + "2026-04-07\n10:00 wattle ate how=some\n"
    assert found(eats, "2026-04-08", "refused food") == []


def test_it_is_expected_of_no_other_animal_and_not_when_she_looks_dull() -> None:
    unmated = ROOM + "".join(REFUSED.format(day, "sedge") for day in (25, 27, 29))
    assert found(unmated, "2026-03-29 12:00", "refused food") == ["watch refused food sedge"]
    dull = MATED + "".join(REFUSED.format(day, "wattle") for day in (25, 27, 29))
    dull += "11:00 wattle condition_seen look=dull\n"
    assert found(dull, "2026-03-29 12:00", "refused food", "looks dull") == [
        "vet looks dull wattle",
        "watch refused food wattle",
    ]


@pytest.mark.parametrize("noted", ['egg_check_done present="off food"', 'condition_seen signs="off food"'])
def test_off_food_counts_however_it_was_entered_until_she_eats(noted: str) -> None:
    page = ROOM + "".join(f"2026-03-{day}\n10:00 sedge {noted}\n" for day in (25, 27, 29))
    assert found(page, "2026-03-29 12:00", "refused food") == ["watch refused food sedge"]
    assert found(page + "18:00 sedge ate how=well\n", "2026-03-29 19:00", "refused food") == []


def test_no_two_matters_of_the_ladder_say_the_same_about_her() -> None:
    for now in ("2026-04-02 09:30", "2026-04-02 16:00", "2026-04-03 16:00", "2026-04-05"):
        rules = [matter.rule for matter in all_found(BEGUN, now) if matter.about == "animal/wattle"]
        assert len(rules) == len(set(rules))
        assert not {"no lay box", "digging without eggs", "window past", "lay box not ready"} & set(rules)


def test_company_of_one_whose_sex_was_settled_later_names_her_arrival_as_what_led_to_it() -> None:
    page = "2026-03-01 AK\n08:00 b9 enclosure_set_up name=B9\n08:01 fern arrived name=Fern sex=F place=b9\n"
    page += "08:02 pup arrived name=Pup place=b9\n08:03 pup sex_settled sex=M\n08:04 fern moved to=b4\n"
    assert the(ROOM + page, "2026-04-13", "signs add up").entries


def test_the_deadline_is_said_by_the_rooms_clock_where_the_clocks_change() -> None:
    # Vienna: 48 hours from 24 October 10:00 (+2) end on 26 October at 9:00 (+1); from 28 March 10:00 at 11:00.
    for page, now, told in (
        (ROOM.replace("2026-03-01", "2026-01-01") + "2026-10-24\n", "2026-10-24 12:00", "Vet by 26 Oct 09:00."),
        (ROOM.replace("2026-03-01", "2026-01-01") + "2026-03-28\n", "2026-03-28 12:00", "Vet by 30 Mar 11:00."),
    ):
        begun = page + "10:00 wattle eggs_laid clutch=wattle-1 count=5\n"
        assert the(begun, now, "laying stopped").says.endswith(told)
