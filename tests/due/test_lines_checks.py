"""The look at a female by every rung of the ladder, and treatment as prescribed."""

from __future__ import annotations

import pytest

from tests.due.stops import due, house_with, lines

CHECK = "egg check"
SEDGE = """
2026-03-01 AK
08:00 b3 enclosure_set_up name=B3
08:00 sedge arrived name=Sedge sex=F hatched=2023-05-01 place=b3
"""
MATED = SEDGE + "2026-03-10\n17:00 sedge mating_seen\n"
#: A house that begins to look a week before the window opens.
WEEK_BEFORE = house_with(eggbinding={"near_days": 7})


def why(page: str, now: str) -> list[tuple[str, int]]:
    """What the line of the look says, and how late it is."""
    return [(line.says, line.late_days) for line in lines(page, now) if line.care == CHECK]


def test_a_female_of_whom_nothing_is_known_is_not_checked() -> None:
    assert due(SEDGE, "2026-04-12 08:00", CHECK) == []


def test_the_daily_look_begins_when_her_window_opens_and_none_is_asked_before() -> None:
    # Mated on 10 March, the window opens on the 24th.
    assert due(MATED, "2026-03-23 08:00", CHECK) == []
    assert why(MATED, "2026-03-24 08:00") == [("egg check: look, in her window", 0)]
    assert why(MATED, "2026-03-26 08:00") == [("egg check: look, in her window", 2)]
    looked = MATED + "2026-03-24\n08:00 sedge egg_check_done\n"
    assert due(looked, "2026-03-24 18:00", CHECK, part="evening") == []
    assert why(looked, "2026-03-25 08:00") == [("egg check: look, in her window", 0)]


def test_a_house_may_begin_a_week_before_the_window_opens() -> None:
    assert due(MATED, "2026-03-16 08:00", CHECK, house=WEEK_BEFORE) == []
    assert due(MATED, "2026-03-17 08:00", CHECK, house=WEEK_BEFORE) == ["egg check sedge"]


def test_once_the_window_ended_it_is_weekly_until_eggs_come_or_the_months_are_over() -> None:
    # The window ends on 21 April; 120 days after the mating it is 8 July.
    page = MATED + "2026-04-21\n08:00 sedge egg_check_done\n"
    assert due(page, "2026-04-27 08:00", CHECK) == []
    assert why(page, "2026-04-28 08:00") == [("egg check: look, window over", 0)]
    assert why(page, "2026-05-05 08:00") == [("egg check: look, window over", 7)]
    assert due(page, "2026-07-08 08:00", CHECK) != []
    assert due(page, "2026-07-09 08:00", CHECK) == []


def test_the_window_opens_by_the_first_mating_and_ends_by_the_last() -> None:
    page = MATED + "2026-03-14\n17:00 sedge mating_seen\n"
    assert due(page, "2026-03-23 08:00", CHECK) == []
    assert due(page, "2026-03-24 08:00", CHECK) == ["egg check sedge"]
    looked = page + "2026-04-24\n08:00 sedge egg_check_done\n"
    assert why(looked, "2026-04-25 08:00") == [("egg check: look, overdue", 0)]
    assert due(looked + "2026-04-25\n08:00 sedge egg_check_done\n", "2026-04-26 08:00", CHECK) == []


def test_copulation_noted_as_behaviour_is_a_mating() -> None:
    page = SEDGE + "2026-03-10\n17:00 sedge behaviour_seen behaviour=copulation"
    assert due(page, "2026-03-23 08:00", CHECK) == []
    assert due(page, "2026-03-24 08:00", CHECK) == ["egg check sedge"]


HE = "08:00 b4 enclosure_set_up name=B4\n08:00 karri arrived name=Karri sex=M hatched=2022-03-01 place=b4\n"


@pytest.mark.parametrize(
    "company",
    [
        "2026-03-10\n17:00 sedge put_together mate=karri\n2026-03-14\n17:00 sedge parted\n",
        "2026-03-10\n17:00 karri moved to=b3\n2026-03-14\n17:00 karri moved to=b4\n",
    ],
    ids=["put together", "in one tub"],
)
def test_company_of_a_male_opens_it_though_nobody_saw_a_mating(company: str) -> None:
    # It takes half a minute. First day together + 14 is 24 March, last day + 42 is 25 April.
    page = SEDGE + HE + company
    assert due(page, "2026-03-23 08:00", CHECK) == []
    assert why(page, "2026-03-24 08:00") == [("egg check: look, was with a male", 0)]
    looked = page + "2026-04-24\n08:00 sedge egg_check_done\n"
    assert why(looked, "2026-04-25 08:00") == [("egg check: look, was with a male", 0)]
    over = looked + "2026-04-25\n08:00 sedge egg_check_done\n"
    assert due(over, "2026-05-01 08:00", CHECK) == []
    assert why(over, "2026-05-02 08:00") == [("egg check: look, window over", 0)]


def test_digging_noted_of_the_tub_she_lives_in_alone_is_hers() -> None:
    page = SEDGE + '2026-04-10\n18:00 enclosure/b3 behaviour_seen behaviour="nest digging"\n'
    assert why(page, "2026-04-11 08:00") == [("egg check: look, digging", 1)]


def test_a_male_too_young_to_mate_opens_none() -> None:
    page = SEDGE + HE.replace("hatched=2022-03-01", "hatched={}")
    page += "2026-03-10\n17:00 karri moved to=b3\n2026-03-14\n17:00 karri moved to=b4\n"
    assert due(page.format("2025-07-14"), "2026-03-24 08:00", CHECK) == ["egg check sedge"]
    assert due(page.format("2025-07-15"), "2026-03-24 08:00", CHECK) == []


def test_after_a_clutch_the_time_of_the_next_one_is_looked_at_by_stored_sperm() -> None:
    # Three to six weeks after the clutch: 22 March to 12 April.
    page = SEDGE + "2026-03-01\n09:00 sedge eggs_laid clutch=s-1 count=20 complete=true\n"
    page += "2026-03-05\n09:00 sedge egg_check_done\n"
    assert due(page, "2026-03-21 08:00", CHECK) == []
    assert why(page, "2026-03-22 08:00") == [("egg check: look, next clutch", 0)]
    looked = page + "2026-04-11\n09:00 sedge egg_check_done\n"
    assert why(looked, "2026-04-12 08:00") == [("egg check: look, next clutch", 0)]
    assert due(looked, "2026-04-13 08:00", CHECK) == []


@pytest.mark.parametrize("sex", ["F", "?"])
def test_from_8_months_on_she_is_looked_at_and_so_is_one_of_unknown_sex(sex: str) -> None:
    # Mature at 8 to 12 months (Llinas). Months are the calendar's.
    page = MATED.replace("sex=F hatched=2023-05-01", f"sex={sex} hatched={{}}").replace("mating_seen", "{}")
    digs = 'behaviour_seen behaviour="nest digging"'
    assert due(page.format("2025-07-24", digs), "2026-03-24 08:00", CHECK) == ["egg check sedge late 14"]
    assert due(page.format("2025-07-25", digs), "2026-03-24 08:00", CHECK) == []


def test_a_mating_written_down_late_makes_no_look_late() -> None:
    page = SEDGE + "2026-03-10\n17:00 sedge mating_seen written=2026-04-12T07:00:00+02:00"
    assert due(page, "2026-04-12 08:00", CHECK) == ["egg check sedge"]
    assert due(page, "2026-04-13 08:00", CHECK) == ["egg check sedge late 1"]


LATE = "written=2026-04-12T07:00:00+02:00"


@pytest.mark.parametrize("order", [1, -1])
@pytest.mark.parametrize(
    ("stricter", "reason"),
    [
        (f"2026-03-29\n17:00 sedge mating_seen {LATE}\n", "in her window"),
        (f"2026-04-11\n17:00 sedge felt_for_eggs found=eggs {LATE}\n", "eggs felt"),
        (f'2026-04-11\n17:00 sedge behaviour_seen behaviour="nest digging" {LATE}\n', "digging"),
    ],
)
def test_of_rungs_that_fall_due_on_one_day_the_stricter_counts(stricter: str, reason: str, order: int) -> None:
    # The window of the first mating ended on 16 February: weekly. The other asks daily, both from today on.
    old = f"2026-01-05\n17:00 sedge mating_seen {LATE}\n"
    page = SEDGE + "".join((old, stricter)[::order])
    assert why(page, "2026-04-12 08:00") == [(f"egg check: look, {reason}", 0)]
    looked = page + "2026-04-12\n09:00 sedge egg_check_done\n"
    assert due(looked, "2026-04-13 08:00", CHECK) == ["egg check sedge"], "daily, not weekly"


def test_digging_asks_for_a_check_each_day_mated_or_not() -> None:
    page = SEDGE + '2026-04-10\n18:00 sedge behaviour_seen behaviour="nest digging"'
    assert due(page, "2026-04-10 18:05", CHECK, part="evening") == ["egg check sedge"]
    page += "\n18:10 sedge egg_check_done absent=lethargy"
    assert due(page, "2026-04-10 18:15", CHECK, part="evening") == []
    assert due(page, "2026-04-11 08:00", CHECK) == ["egg check sedge"]


@pytest.mark.parametrize(
    "noted", ["felt_for_eggs found=eggs", 'egg_check_done present="eggs felt"', 'condition_seen signs="eggs felt"']
)
def test_eggs_felt_ask_for_a_look_each_day_and_none_felt_takes_nothing_away(noted: str) -> None:
    page = SEDGE + f"2026-04-10\n08:00 sedge {noted}\n08:01 sedge egg_check_done\n"
    assert due(page, "2026-04-10 09:00", CHECK) == []
    assert why(page, "2026-04-11 08:00") == [("egg check: look, eggs felt", 0)]
    none = page + "2026-04-11\n08:00 sedge felt_for_eggs found=none\n"
    assert due(none, "2026-04-12 08:00", CHECK) == ["egg check sedge late 1"]


def test_felt_heavy_counts_in_a_female_who_may_be_gravid() -> None:
    heavy = "2026-03-20\n08:00 sedge condition_seen body=heavy\n"
    company = SEDGE + HE + "2026-03-10\n08:01 sedge put_together mate=karri\n"
    assert due(SEDGE + heavy, "2026-03-21 08:00", CHECK) == []
    assert due(company, "2026-03-21 08:00", CHECK) == [], "before the window opens"
    assert why(company + heavy, "2026-03-21 08:00") == [("egg check: look, heavy", 1)]


def test_once_eggs_have_begun_she_is_checked_on_each_walk() -> None:
    page = SEDGE + "2026-04-10\n08:00 sedge eggs_laid clutch=s-1 count=3\n08:05 sedge egg_check_done"
    assert due(page, "2026-04-10 09:00", CHECK) == []
    assert due(page, "2026-04-10 18:00", CHECK, part="evening") == ["egg check sedge"]
    page += "\n18:05 sedge egg_check_done"
    assert due(page, "2026-04-10 18:10", CHECK, part="evening") == []
    assert due(page, "2026-04-11 08:00", CHECK) == ["egg check sedge"]
    assert due(page, "2026-04-12 08:00", CHECK) == ["egg check sedge late 1"]
    (line,) = [line for line in lines(page, "2026-04-11 08:00") if line.care == CHECK]
    assert (line.says, line.plain, line.drafts) == ("egg check: look, laying", False, ())


def test_after_laying_she_is_checked_and_weighed_at_24_and_at_72_hours() -> None:
    both = (CHECK, "weigh")
    page = (
        MATED + "2026-04-10\n09:00 sedge eggs_laid clutch=s-1 count=20 complete=true\n09:01 sedge weighed grams=400"
    )
    assert due(page, "2026-04-10 18:00", *both, part="evening") == []
    assert due(page, "2026-04-11 08:00", *both) == ["egg check sedge", "weigh sedge"]
    page += "\n2026-04-11\n09:00 sedge egg_check_done\n09:01 sedge weighed grams=398"
    assert due(page, "2026-04-12 08:00", *both) == []
    assert due(page, "2026-04-13 08:00", *both) == ["egg check sedge", "weigh sedge"]
    assert [line.says for line in lines(page, "2026-04-13 08:00") if line.care in both] == [
        "egg check: look, 72 h after laying",
        "weigh, and feel for eggs if practised, 72 h after laying",
    ]
    page += "\n2026-04-13\n09:00 sedge egg_check_done\n09:01 sedge weighed grams=398"
    assert due(page, "2026-04-14 08:00", *both) == []


def test_a_check_after_laying_that_was_missed_is_late_until_it_lapses() -> None:
    page = SEDGE + "2026-04-10\n09:00 sedge eggs_laid clutch=s-1 count=20 complete=true"
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
    09:00 sedge eggs_laid clutch=s-1 count=20 complete=true
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
    page = MATED + '2026-03-24\n08:00 sedge left_out care="egg check" reason="asleep"'
    assert due(page, "2026-03-24 09:00", CHECK) == ["egg check sedge left out: asleep"]
    assert due(page, "2026-03-25 09:00", CHECK) == ["egg check sedge late 1"]


def test_a_check_while_laying_left_out_in_the_morning_is_due_in_the_evening() -> None:
    page = SEDGE + "2026-04-10\n08:00 sedge eggs_laid clutch=s-1 count=3\n"
    page += '08:05 sedge left_out care="egg check" reason="left alone"'
    assert due(page, "2026-04-10 09:00", CHECK) == ["egg check sedge left out: left alone"]
    assert due(page, "2026-04-10 18:00", CHECK, part="evening") == ["egg check sedge"]


def test_checks_name_the_house_rules_they_rest_on() -> None:
    (line,) = [line for line in lines(MATED, "2026-03-24 08:00") if line.care == CHECK]
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
