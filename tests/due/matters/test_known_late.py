"""What is written late, about the hours of a call, or under another name: it hides nothing and raises no ghosts."""

from __future__ import annotations

import pytest

from rounds.due.matter import Level
from tests.due.matters.found import ROOM, all_found, found, the

DIG = 'behaviour_seen behaviour="nest digging"'
MATED = ROOM + "2026-03-05\n10:00 wattle weighed grams=400\n2026-03-12\n10:00 wattle mating_seen\n"


@pytest.mark.parametrize("contact", ['vet_called said="faecal sample clear"', 'vet_seen outcome="claws cut"'])
def test_a_sign_seen_before_a_call_and_written_after_it_was_not_told_and_stands(contact: str) -> None:
    page = MATED + f"2026-04-10\n09:00 wattle {contact}\n"
    late = page + "2026-04-09\n18:00 wattle egg_check_done present=tremor written=2026-04-10T10:00:00+02:00\n"
    assert the(late, "2026-04-10 11:00", "danger sign").level == Level.VET_NOW
    told = page + "2026-04-09\n18:00 wattle egg_check_done present=tremor\n"
    assert found(told, "2026-04-10 11:00", "danger sign") == []


def test_complete_written_late_for_a_few_eggs_lowers_nothing() -> None:
    laid = MATED + "2026-04-04\n08:00 wattle eggs_laid clutch=w-1 count=6\n"
    assert the(laid, "2026-04-07 12:00", "laying stopped").level == Level.VET_NOW
    done = laid + "09:00 wattle eggs_laid clutch=w-1 count=6 complete=true written=2026-04-07T12:00:00+02:00\n"
    assert the(done, "2026-04-07 12:01", "laying stopped").level == Level.VET_NOW


def test_very_few_eggs_said_to_be_complete_do_not_stop_the_clock() -> None:
    one = MATED + "2026-04-04\n08:00 wattle eggs_laid clutch=w-1 count=1 complete=true\n"
    assert the(one, "2026-04-05 12:00", "laying stopped").level == Level.VET
    assert the(one, "2026-04-06 09:00", "laying stopped").level == Level.VET_NOW
    nine = one.replace("count=1", "count=9")
    assert the(nine, "2026-04-06 09:00", "laying stopped").level == Level.TODAY


def test_a_clutch_of_last_year_entered_today_raises_nothing() -> None:
    today = "written=2026-03-10T09:00:00+01:00"
    page = ROOM + f"2025-03-31\n17:00 wattle {DIG} {today}\n2025-04-01\n17:00 wattle {DIG} {today}\n"
    page += f"18:00 wattle eggs_laid clutch=w-1 count=20 complete=true {today}\n"
    assert found(page, "2026-03-10 10:00", "signs add up", "digging without eggs", "window past") == []


def test_a_call_about_a_danger_sign_is_asked_about_until_a_vet_has_seen_her() -> None:
    page = MATED + "2026-04-20\n08:00 wattle egg_check_done present=lethargy\n10:00 wattle vet_called "
    open_end = page + 'said="bring her"\n'
    assert found(open_end, "2026-04-20 11:00", "danger sign", "vet waits") == []
    assert found(open_end, "2026-04-25 09:59", "danger sign", "vet waits") == []
    assert the(open_end, "2026-04-25 10:00", "vet waits").says == (
        "Wattle: danger sign 20 Apr, vet phoned 20 Apr. Not seen by a vet since."
    )
    assert the(open_end, "2026-04-25 10:00", "vet waits").level == Level.VET
    named = page + 'said="bring her tomorrow" again=2026-04-21\n'
    assert found(named, "2026-04-21 09:00", "vet waits") == ["today vet waits wattle"]
    assert found(named, "2026-04-22 09:00", "vet waits") == ["vet vet waits wattle"]
    assert found(named + "2026-04-22\n10:00 wattle vet_seen\n", "2026-04-22 11:00", "vet waits") == []


def test_a_far_day_named_by_a_vet_rests_the_signs_two_weeks_at_most() -> None:
    page = MATED + "2026-04-24\n10:00 wattle vet_called again=2026-09-01\n"
    page += "2026-04-25\n10:00 wattle felt_for_eggs found=eggs\n"
    assert found(page, "2026-05-08 09:00", "signs add up") == []
    assert found(page, "2026-05-08 11:00", "signs add up") == ["vet signs add up wattle"]


def test_what_a_vet_found_counts_on_after_the_visit() -> None:
    page = MATED + "2026-04-10\n10:00 wattle vet_seen carrying=true\n"
    assert the(page, "2026-05-02", "signs add up").says.startswith(
        "Wattle may be egg-bound: window ended 23 Apr, no eggs; gravid by the vet 10 Apr"
    )


def test_found_empty_a_few_days_after_a_mating_the_window_stays() -> None:
    early = MATED + "2026-03-15\n10:00 wattle vet_seen carrying=false\n"
    assert the(early, "2026-03-27", "lay box not ready").says == "Wattle: no lay box yet. Window opened 26 Mar."
    late = MATED + "2026-04-15\n10:00 wattle vet_seen carrying=false\n"
    assert found(late, "2026-04-16", "lay box not ready") == []


def test_found_empty_after_laying_the_next_clutch_still_has_its_window() -> None:
    page = ROOM + "2026-04-01\n10:00 wattle eggs_laid clutch=w-1 count=20 complete=true\n"
    page += "2026-04-03\n10:00 wattle vet_seen carrying=false\n"
    assert the(page, "2026-04-23", "lay box not ready").says == (
        "Wattle: no lay box yet. Window for the next clutch opened 22 Apr."
    )


def test_digging_on_after_a_call_is_for_the_vet_again_once_the_call_is_over() -> None:
    dug = MATED + "".join(f"2026-04-0{day}\n10:00 wattle {DIG}\n" for day in range(1, 9))
    called = dug + "2026-04-08\n12:00 wattle vet_called said=wait again=2026-04-10\n"
    assert found(called, "2026-04-09", "digging without eggs") == []
    on = called + f"2026-04-10\n10:00 wattle {DIG}\n"
    assert found(on, "2026-04-10 11:00", "digging without eggs") == ["today digging without eggs wattle"]
    assert the(on, "2026-04-11 09:00", "digging without eggs").says.startswith("Wattle: day 11, no eggs.")
    assert the(on, "2026-04-11 09:00", "digging without eggs").level == Level.VET


def test_dull_on_two_days_with_a_bright_look_between_is_for_the_vet() -> None:
    page = ROOM + "2026-04-01\n08:00 karri condition_seen look=dull\n18:00 karri condition_seen look=bright\n"
    page += "2026-04-02\n08:00 karri condition_seen look=dull\n18:00 karri condition_seen look=bright\n"
    assert found(page, "2026-04-02 19:00", "looks dull") == ["vet looks dull karri"]


def test_weight_made_good_after_laying_is_no_gain() -> None:
    page = ROOM + "2026-02-20\n10:00 wattle weighed grams=440\n2026-03-01\n10:00 wattle mating_seen\n"
    page += "2026-04-01\n10:00 wattle eggs_laid clutch=w-1 count=20 complete=true\n"
    page += "2026-04-02\n10:00 wattle weighed grams=370\n2026-04-20\n10:00 wattle weighed grams=430\n"
    page += "2026-04-27\n10:00 wattle weighed grams=440\n"
    assert found(page, "2026-05-01", "signs add up") == []


def test_missed_looks_in_the_time_to_a_next_clutch_are_no_sign() -> None:
    page = ROOM + "2026-04-01\n10:00 wattle eggs_laid clutch=w-1 count=20 complete=true\n"
    assert found(page, "2026-05-20", "signs add up") == []


def test_digging_noted_of_a_male_answers_no_unknown_digger() -> None:
    page = ROOM + "08:10 hakea arrived name=Hakea sex=F hatched=2022-03-01 place=b3\n10:00 karri moved to=b3\n"
    page += f"2026-04-01\n17:30 enclosure/b3 {DIG}\n2026-04-02\n17:30 enclosure/b3 {DIG}\n"
    assert found(page, "2026-04-09", "unknown digger") == ["vet unknown digger b3"]
    assert found(page + f"2026-04-09\n08:00 karri {DIG}\n", "2026-04-09 09:00", "unknown digger") == [
        "vet unknown digger b3"
    ]


@pytest.mark.parametrize("seen", ["egg_check_done present=lethargy", f"{DIG}\n2026-04-02\n08:00 wattle {DIG}"])
def test_said_to_be_a_male_after_signs_of_eggs_she_keeps_her_alarm_until_a_vet_heard_of_it(seen: str) -> None:
    page = ROOM + f"2026-04-01\n08:00 wattle {seen}\n2026-04-10\n08:00 wattle sex_settled sex=M\n"
    rules = ("danger sign", "digging without eggs")
    assert found(page, "2026-04-10 09:00", *rules) == found(page, "2026-04-10 07:59", *rules) != []
    assert found(page + "08:30 wattle vet_called said=male\n", "2026-04-10 09:00", *rules) == []


def test_a_refusal_after_a_week_takes_nothing_from_the_time_without_food_before_it() -> None:
    page = ROOM + f"2026-05-21\n10:00 wattle {DIG}\n"
    page += "".join(f"2026-{day}\n08:00 wattle ate how=refused\n" for day in ("05-28", "05-31", "06-02"))
    page += "2026-06-08\n19:00 wattle condition_seen look=dull\n"
    assert found(page, "2026-06-09", "signs add up") == ["vet signs add up wattle"]
    again = page + "2026-06-10\n08:00 wattle ate how=refused\n"
    assert found(again, "2026-06-10 09:00", "signs add up") == ["vet signs add up wattle"]


def test_a_brumation_entered_late_hides_no_loss_and_entered_with_its_weights_raises_none() -> None:
    before = ROOM + "".join(f"2026-03-{day:02}\n09:00 karri weighed grams=500\n" for day in (2, 5, 9, 12))
    lost = before + "".join(f"2026-04-{day:02}\n09:00 karri weighed grams=420\n" for day in (6, 13))
    rules = ("weight loss", "brumation loss")
    assert found(lost, "2026-04-14", *rules) == ["vet weight loss karri"]
    late = lost + "2026-03-14\n09:00 karri brumation_began written=2026-04-14T08:00:00+02:00\n"
    assert "vet weight loss karri" in found(late, "2026-04-14 09:00", *rules)
    history = before + "2026-03-14\n10:00 karri brumation_began\n2026-04-05\n10:00 karri brumation_ended\n"
    history += "".join(f"2026-04-{day:02}\n09:00 karri weighed grams=420\n" for day in (6, 13))
    entered = "\n".join(
        f"{line} written=2026-04-14T08:00:00+02:00" if " karri weighed" in line or "brumation" in line else line
        for line in history.splitlines()
    )
    assert "vet weight loss karri" not in found(entered, "2026-04-14 09:00", *rules)


def test_a_few_eggs_of_last_year_written_down_today_raise_nothing() -> None:
    for rest in ("", " complete=true"):
        line = f"wattle eggs_laid clutch=w-0 count=4{rest} written="
        page = ROOM.replace("2026-03-01", "2025-03-01") + f"2025-06-01\n09:00 {line}"
        old = page + "2026-03-01T10:00:00+01:00\n"
        assert not [one for one in all_found(old, "2026-03-02 10:00") if one.level >= Level.TODAY], rest
        # Two weeks ago is not last year.
        late = page + "2025-06-15T10:00:00+02:00\n"
        assert the(late, "2025-06-15 12:00", "laying stopped").level == Level.VET_NOW, rest
