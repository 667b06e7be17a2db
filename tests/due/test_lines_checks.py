"""The egg check by every rung of the ladder, and treatment as prescribed."""

from __future__ import annotations

from tests.due.stops import due, house_with, lines

CHECK = "egg check"
SEDGE = """
2026-03-01 AK
08:00 @b3 enclosure_set_up name=B3
08:00 sedge arrived name=Sedge sex=F hatched=2023-05-01 place=@b3
"""
MATED = SEDGE + "2026-03-10\n17:00 sedge mating_seen\n"
#: A house whose window opens late enough for the weekly rung to bear.
LATE_WINDOW = house_with(breeding={"window_opens": 28})


def test_a_female_of_whom_nothing_is_known_is_not_checked() -> None:
    assert due(SEDGE, "2026-04-12 08:00", CHECK) == []


def test_the_weekly_check_begins_14_days_after_mating() -> None:
    assert due(MATED, "2026-03-23 08:00", CHECK, house=LATE_WINDOW) == []
    assert due(MATED, "2026-03-24 08:00", CHECK, house=LATE_WINDOW) == ["egg check sedge"]
    assert due(MATED, "2026-03-26 08:00", CHECK, house=LATE_WINDOW) == ["egg check sedge late 2"]


def test_it_is_weekly_until_a_week_before_her_window_and_daily_from_then_on() -> None:
    page = MATED + "2026-03-24\n08:00 sedge egg_check_done"
    assert due(page, "2026-03-30 08:00", CHECK, house=LATE_WINDOW) == []
    # Day 21 is a week before day 28: the daily check begins, and it is not late for the days before.
    assert due(page, "2026-03-31 08:00", CHECK, house=LATE_WINDOW) == ["egg check sedge"]
    page += "\n2026-03-31\n08:00 sedge egg_check_done"
    assert due(page, "2026-03-31 18:00", CHECK, house=LATE_WINDOW, part="evening") == []
    assert due(page, "2026-04-01 08:00", CHECK, house=LATE_WINDOW) == ["egg check sedge"]
    assert due(page, "2026-04-03 08:00", CHECK, house=LATE_WINDOW) == ["egg check sedge late 2"]


def test_with_the_default_window_the_daily_check_begins_on_day_7() -> None:
    assert due(MATED, "2026-03-16 08:00", CHECK) == []
    assert due(MATED, "2026-03-17 08:00", CHECK) == ["egg check sedge"]


def test_the_window_opens_by_the_first_mating_also_when_more_follow() -> None:
    page = MATED + "2026-03-14\n17:00 sedge mating_seen"
    assert due(page, "2026-03-16 08:00", CHECK) == []
    assert due(page, "2026-03-17 08:00", CHECK) == ["egg check sedge"]


def test_copulation_noted_as_behaviour_is_a_mating() -> None:
    page = SEDGE + "2026-03-10\n17:00 sedge behaviour_seen behaviour=copulation"
    assert due(page, "2026-03-17 08:00", CHECK) == ["egg check sedge"]


def test_a_mating_written_down_late_makes_no_check_late() -> None:
    page = SEDGE + "2026-03-10\n17:00 sedge mating_seen written=2026-04-12T07:00:00+02:00"
    assert due(page, "2026-04-12 08:00", CHECK) == ["egg check sedge"]
    assert due(page, "2026-04-13 08:00", CHECK) == ["egg check sedge late 1"]


def test_digging_asks_for_a_check_each_day_mated_or_not() -> None:
    page = SEDGE + '2026-04-10\n18:00 sedge behaviour_seen behaviour="nest digging"'
    assert due(page, "2026-04-10 18:05", CHECK, part="evening") == ["egg check sedge"]
    page += "\n18:10 sedge egg_check_done absent=lethargy"
    assert due(page, "2026-04-10 18:15", CHECK, part="evening") == []
    assert due(page, "2026-04-11 08:00", CHECK) == ["egg check sedge"]


def test_eggs_felt_ask_for_a_check_each_day_until_none_are_felt() -> None:
    page = SEDGE + "2026-04-10\n08:00 sedge felt_for_eggs found=eggs\n08:01 sedge egg_check_done present=eggs-felt"
    page = page.replace("eggs-felt", '"eggs felt"')
    assert due(page, "2026-04-11 08:00", CHECK) == ["egg check sedge"]
    page += "\n2026-04-11\n08:00 sedge felt_for_eggs found=none"
    assert due(page, "2026-04-12 08:00", CHECK) == []


def test_felt_heavy_counts_in_a_female_who_can_be_carrying() -> None:
    heavy = "\n2026-04-10\n08:00 sedge condition_seen body=heavy"
    company = SEDGE + "2026-03-10\n08:00 karri arrived name=Karri sex=M\n08:01 sedge put_together mate=animal/karri"
    assert due(SEDGE + heavy, "2026-04-11 08:00", CHECK) == []
    assert due(company + heavy, "2026-04-11 08:00", CHECK) == ["egg check sedge late 1"]


def test_once_eggs_have_begun_she_is_checked_on_each_walk() -> None:
    page = SEDGE + "2026-04-10\n08:00 sedge eggs_laid clutch=%s-1 count=3\n08:05 sedge egg_check_done"
    assert due(page, "2026-04-10 09:00", CHECK) == []
    assert due(page, "2026-04-10 18:00", CHECK, part="evening") == ["egg check sedge"]
    page += "\n18:05 sedge egg_check_done"
    assert due(page, "2026-04-10 18:10", CHECK, part="evening") == []
    assert due(page, "2026-04-11 08:00", CHECK) == ["egg check sedge"]
    assert due(page, "2026-04-12 08:00", CHECK) == ["egg check sedge late 1"]
    (line,) = [line for line in lines(page, "2026-04-11 08:00") if line.care == CHECK]
    assert (line.says, line.plain, line.drafts) == ("egg check: laying", False, ())


def test_after_laying_she_is_checked_and_weighed_at_24_and_at_72_hours() -> None:
    both = (CHECK, "weigh")
    page = (
        MATED
        + "2026-04-10\n09:00 sedge eggs_laid clutch=%s-1 count=20 complete=true\n09:01 sedge weighed grams=400"
    )
    assert due(page, "2026-04-10 18:00", *both, part="evening") == []
    assert due(page, "2026-04-11 08:00", *both) == ["egg check sedge", "weigh sedge"]
    page += "\n2026-04-11\n09:00 sedge egg_check_done\n09:01 sedge weighed grams=398"
    assert due(page, "2026-04-12 08:00", *both) == []
    assert due(page, "2026-04-13 08:00", *both) == ["egg check sedge", "weigh sedge"]
    assert [line.says for line in lines(page, "2026-04-13 08:00") if line.care in both] == [
        "egg check: 72 h after laying",
        "weigh 72 h after laying",
    ]
    page += "\n2026-04-13\n09:00 sedge egg_check_done\n09:01 sedge weighed grams=398"
    assert due(page, "2026-04-14 08:00", *both) == []


def test_a_check_after_laying_that_was_missed_is_late_until_it_lapses() -> None:
    page = SEDGE + "2026-04-10\n09:00 sedge eggs_laid clutch=%s-1 count=20 complete=true"
    assert due(page, "2026-04-15 08:00", CHECK) == ["egg check sedge late 4"]
    # One look five days after laying answers for both.
    assert due(page + "\n2026-04-15\n08:00 sedge egg_check_done", "2026-04-15 09:00", CHECK) == []
    assert due(page, "2026-04-24 08:00", CHECK) == ["egg check sedge late 13"]
    assert due(page, "2026-04-25 08:00", CHECK) == []
    patient = house_with(eggbinding={"after_laying_lapses_days": 20})
    assert due(page, "2026-04-25 08:00", CHECK, house=patient) == ["egg check sedge late 14"]


def test_a_mating_before_the_clutch_counts_no_more_after_it() -> None:
    page = (
        MATED
        + """
    2026-04-10
    09:00 sedge eggs_laid clutch=%s-1 count=20 complete=true
    2026-04-11
    09:00 sedge egg_check_done
    2026-04-13
    09:00 sedge egg_check_done
    """
    )
    assert due(page, "2026-04-16 08:00", CHECK) == []


def test_a_vet_who_finds_her_empty_ends_the_checks() -> None:
    page = MATED + "2026-03-30\n09:00 sedge vet_seen carrying=false"
    assert due(page, "2026-04-02 08:00", CHECK) == []


def test_a_male_is_not_checked_for_eggs() -> None:
    page = MATED.replace("sex=F", "sex=M")
    assert due(page, "2026-03-20 08:00", CHECK) == []


def test_an_animal_of_unknown_sex_with_eggs_felt_is_checked() -> None:
    page = SEDGE.replace("sex=F ", "") + "2026-04-10\n08:00 sedge felt_for_eggs found=eggs"
    assert due(page, "2026-04-10 08:05", CHECK) == ["egg check sedge"]


def test_a_check_left_out_is_shown_with_its_reason_and_is_late_the_next_day() -> None:
    page = MATED + '2026-03-17\n08:00 sedge left_out care="egg check" reason="asleep"'
    assert due(page, "2026-03-17 09:00", CHECK) == ["egg check sedge left out: asleep"]
    assert due(page, "2026-03-18 09:00", CHECK) == ["egg check sedge late 1"]


def test_a_check_while_laying_left_out_in_the_morning_is_due_in_the_evening() -> None:
    page = SEDGE + "2026-04-10\n08:00 sedge eggs_laid clutch=%s-1 count=3\n"
    page += '08:05 sedge left_out care="egg check" reason="left alone"'
    assert due(page, "2026-04-10 09:00", CHECK) == ["egg check sedge left out: left alone"]
    assert due(page, "2026-04-10 18:00", CHECK, part="evening") == ["egg check sedge"]


def test_checks_name_the_house_rules_they_rest_on() -> None:
    (line,) = [line for line in lines(MATED, "2026-03-20 08:00") if line.care == CHECK]
    assert line.house == ("breeding.window_opens", "eggbinding.near_days", "eggbinding.check_near_days")


# Treatment.

TREATED = (
    SEDGE + '2026-04-10\n09:00 sedge vet_seen treatment="eye drops as written" under_treatment_until=2026-04-14\n'
)


def test_treatment_is_due_each_day_from_the_visit_to_its_end() -> None:
    assert due(TREATED, "2026-04-10 18:00", "treatment", part="evening") == ["treatment sedge"]
    given = TREATED + '18:05 sedge treatment_given what="eye drops"'
    assert due(given, "2026-04-10 18:10", "treatment", part="evening") == []
    assert due(given, "2026-04-11 08:00", "treatment") == ["treatment sedge"]
    assert due(given, "2026-04-13 08:00", "treatment") == ["treatment sedge late 2"]
    assert due(given, "2026-04-14 08:00", "treatment") == ["treatment sedge late 3"]
    assert due(given, "2026-04-15 08:00", "treatment") == []


def test_a_treatment_never_begun_is_late_from_the_visit() -> None:
    assert due(TREATED, "2026-04-12 08:00", "treatment") == ["treatment sedge late 2"]


def test_treatment_given_before_the_visit_belongs_to_an_earlier_one() -> None:
    page = (
        SEDGE + "2026-04-10\n08:00 sedge treatment_given" + TREATED.removeprefix(SEDGE).removeprefix("2026-04-10")
    )
    assert due(page, "2026-04-10 18:00", "treatment", part="evening") == ["treatment sedge"]


def test_the_line_says_what_the_vet_wrote_and_wants_the_keeper_to_look() -> None:
    (line,) = [line for line in lines(TREATED, "2026-04-11 08:00") if line.care == "treatment"]
    assert (line.says, line.plain, line.drafts) == ("treatment as prescribed: eye drops as written", False, ())


def test_a_visit_without_treatment_asks_for_none() -> None:
    page = SEDGE + "2026-04-10\n09:00 sedge vet_seen outcome=healthy"
    assert due(page, "2026-04-11 08:00", "treatment") == []
