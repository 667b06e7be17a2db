"""What brought an alarm down, readable for three days."""

from __future__ import annotations

import pytest

from rounds.due.matter import Level
from tests.due.matters.found import DIG, ROOM, found, the
from tests.notation import at

RULE = "alarm answered"
DUG = (
    ROOM
    + f"2026-03-12\n10:00 wattle mating_seen\n2026-04-01\n17:30 wattle {DIG}\n17:31 wattle lay_box_in depth_cm=20\n"
)


@pytest.mark.parametrize(
    ("answer", "how"),
    [
        ('vet_seen outcome="eggs on the way"', "vet seen"),
        ('vet_called vet=Moser said="wait two days"', "vet phoned (Moser)"),
        ("eggs_laid clutch=w-1 count=20 complete=true", "20 eggs laid in all"),
        ("eggs_laid clutch=w-1 count=12", "12 eggs laid so far"),
    ],
    ids=["a visit", "a call", "a clutch", "eggs of a believable number"],
)
def test_who_answered_it_and_how_is_readable_for_three_days(answer: str, how: str) -> None:
    page = DUG + f"2026-04-09 BS\n10:00 wattle {answer}\n"
    assert found(page, "2026-04-09 09:59", RULE) == []
    matter = the(page, "2026-04-09 10:00", RULE)
    assert matter.level == Level.WATCH
    assert matter.says == f"Wattle: digging without eggs answered 9 Apr 10:00: {how} (BS)."
    assert [entry.by for entry in matter.entries] == ["BS"]
    assert matter.acts[0] == "note", "it came down: the vet is not the first thing to do"
    assert found(page, "2026-04-12 10:00", RULE) == ["watch alarm answered wattle"]
    assert found(page, "2026-04-12 10:01", RULE) == []


def test_written_down_late_it_is_readable_for_three_days_from_then() -> None:
    page = DUG + "2026-04-09\n10:00 wattle vet_seen written=2026-04-14T08:00:00+02:00\n"
    assert the(page, "2026-04-14 08:00", RULE).says == (
        "Wattle: digging without eggs answered 9 Apr 10:00: vet seen (AK)."
    )
    assert found(page, "2026-04-17 08:00", RULE) == ["watch alarm answered wattle"]
    assert found(page, "2026-04-17 08:01", RULE) == []


def test_the_word_complete_is_an_answer_that_is_named() -> None:
    page = ROOM + "2026-03-12\n10:00 wattle mating_seen\n2026-04-01\n06:00 wattle eggs_laid clutch=w-1 count=14\n"
    page += "2026-04-02 BS\n18:00 wattle eggs_laid clutch=w-1 count=14 complete=true\n"
    assert the(page, "2026-04-02 18:00", RULE).says == (
        "Wattle: laying stopped answered 2 Apr 18:00: 14 eggs laid in all (BS)."
    )


def test_of_several_that_came_down_together_each_is_named() -> None:
    page = DUG + "2026-04-09\n09:00 wattle egg_check_done present=straining\n10:00 wattle vet_seen\n"
    assert the(page, "2026-04-09 11:00", RULE).says == (
        "Wattle: danger sign and digging without eggs answered 9 Apr 10:00: vet seen (AK)."
    )


def test_eggs_leave_a_danger_sign_standing_and_only_the_digging_is_answered() -> None:
    page = DUG + "2026-04-09\n09:00 wattle egg_check_done present=straining\n"
    page += "10:00 wattle eggs_laid clutch=w-1 count=20 complete=true\n"
    assert found(page, "2026-04-09 11:00", RULE, "danger sign") == [
        "vet now danger sign wattle",
        "watch alarm answered wattle",
    ]
    assert the(page, "2026-04-09 11:00", RULE).says == (
        "Wattle: digging without eggs answered 9 Apr 10:00: 20 eggs laid in all (AK)."
    )


@pytest.mark.parametrize(
    "said",
    ["vet_seen", "vet_called said=wait", "eggs_laid clutch=w-1 count=20 complete=true", "weighed grams=400"],
)
def test_where_nothing_was_for_the_vet_nothing_is_said(said: str) -> None:
    page = DUG + f"2026-04-07\n10:00 wattle {said}\n"
    assert found(page, "2026-04-07 11:00", RULE) == []


def test_a_male_too_and_young_counted_together() -> None:
    page = ROOM + "2026-04-01\n09:00 group/young arrived name=Young count=9 place=b5\n"
    page += "10:00 group/young condition_seen signs=tremor\n10:00 karri condition_seen signs=burn\n"
    page += "11:00 group/young vet_called\n11:00 karri vet_seen\n"
    assert found(page, "2026-04-01 12:00", RULE) == ["watch alarm answered karri", "watch alarm answered young"]
    assert the(page.replace("11:00 karri vet_seen\n", ""), "2026-04-01 12:00", RULE).says == (
        "Young: danger sign answered 1 Apr 11:00: vet phoned (AK)."
    )


def test_seen_again_it_stands_again_and_is_answered_no_more() -> None:
    page = ROOM + "2026-04-01\n10:00 karri condition_seen signs=burn\n11:00 karri vet_seen\n"
    again = page + "18:00 karri condition_seen signs=burn\n"
    assert found(page, "2026-04-01 19:00", RULE, "danger sign") == ["watch alarm answered karri"]
    assert found(again, "2026-04-01 19:00", RULE, "danger sign") == ["vet danger sign karri"]


def test_an_entry_taken_back_says_what_it_said_in_marks_on_one_line() -> None:
    behind = the(DUG, "2026-04-08 12:00", "digging without eggs").entries[0].id
    page = DUG + f'2026-04-09\n10:00 wattle corrected replaces={behind} was="{{}}" because="it was Sedge"\n'
    short = page.format("nest digging")
    assert found(short, "2026-04-09 11:00", "digging without eggs") == []
    assert the(short, "2026-04-09 11:00", RULE).says == "Wattle: taken back 9 Apr 10:00: “nest digging” (AK)."
    assert found(short, "2026-04-12 10:00", RULE) == ["watch alarm answered wattle"]
    assert found(short, "2026-04-12 10:01", RULE) == []
    says = the(page.format("dug “deep” " * 40), "2026-04-09 11:00", RULE).says
    assert "\n" not in says
    assert len(says) < 120
    assert says.count("“") == says.count("”") == 1


def test_of_a_tub_the_last_vet_who_was_heard_about_those_who_may_have_dug() -> None:
    page = ROOM + "08:10 hakea arrived name=Hakea sex=F hatched=2022-03-01 place=b3\n"
    page += f"2026-04-01\n17:30 enclosure/b3 {DIG}\n2026-04-02\n17:30 enclosure/b3 {DIG}\n"
    page += "2026-04-09\n10:00 wattle vet_seen\n2026-04-10\n10:00 hakea vet_called\n"
    assert found(page, "2026-04-10 09:00", RULE, "unknown digger") == ["vet unknown digger b3"]
    matter = the(page, "2026-04-10 10:00", RULE)
    assert matter.says == "B3: unknown digger answered 10 Apr 10:00: vet phoned (AK)."
    assert matter.since == at("2026-04-10 10:00")
    assert the(page, "2026-04-13 10:00", RULE).key == matter.key
    assert found(page, "2026-04-13 10:01", RULE) == []


def test_of_a_tub_digging_taken_back_and_no_other_slip() -> None:
    page = ROOM + f"2026-04-01\n17:30 enclosure/b3 {DIG}\n17:31 enclosure/b3 fed\n"
    dug, fed = "20260401-00007", "20260401-00008"
    assert found(
        page + f'18:00 enclosure/b3 corrected replaces={dug} was="nest digging"\n', "2026-04-01 19:00", RULE
    ) == ["watch alarm answered b3"]
    assert (
        found(page + f'18:00 enclosure/b3 corrected replaces={fed} was="fed insects"\n', "2026-04-01 19:00", RULE)
        == []
    )
