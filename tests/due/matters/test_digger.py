"""Digging in a shared tub, animal not known."""

from __future__ import annotations

from rounds.due.matter import Level
from tests.due.matters.found import DIG, ROOM, found, the

TUB = (
    ROOM
    + """
08:10 hakea arrived name=Hakea sex=F hatched=2022-03-01 place=@b3
08:11 boronia arrived name=Boronia sex=F hatched=2022-03-01 place=@b3
08:12 sedge moved to=@b3
2026-03-10
10:00 sedge mating_seen sire=karri
2026-03-15
10:00 hakea mating_seen sire=karri
2026-01-20
10:00 boronia put_together mate=karri
2026-01-22
10:00 boronia parted
"""
)
DUG = TUB + f"2026-04-01\n17:30 @b3 {DIG}\n"


def test_digging_of_an_unknown_animal_asks_who_it_was_likeliest_first() -> None:
    matter = the(DUG, "2026-04-01 18:00", "unknown digger")
    assert matter.level == Level.TODAY
    assert matter.says == (
        "Somebody digs in B3 since 1 Apr: find out who, likeliest first: Sedge (in her window, mated 10 Mar), "
        "Hakea (in her window, mated 15 Mar), Boronia (can be carrying), Wattle (no mating known)."
    )
    assert "who" in matter.acts
    assert matter.about == matter.place == "enclosure/b3"


def test_eggs_felt_make_her_the_likeliest() -> None:
    felt = DUG.replace("2026-04-01\n", "2026-03-30\n10:00 wattle felt_for_eggs found=eggs\n2026-04-01\n")
    assert "first: Wattle (eggs felt)" in the(felt, "2026-04-01 18:00", "unknown digger").says


def test_the_male_and_the_young_of_the_tub_are_not_named() -> None:
    page = DUG + "08:00 karri moved to=@b3\n08:00 pup arrived name=Pup hatched=2026-01-01 place=@b3\n"
    assert "Karri" not in the(page, "2026-04-01 18:00", "unknown digger").says
    assert "Pup" not in the(page, "2026-04-01 18:00", "unknown digger").says


def test_digging_noted_by_name_on_that_day_or_later_answers_it() -> None:
    assert found(DUG + f"17:45 hakea {DIG}", "2026-04-01 18:00", "unknown digger") == []
    assert found(DUG + f"08:00 hakea {DIG}", "2026-04-01 18:00", "unknown digger") == []
    assert (
        found(DUG + "2026-04-02\n08:00 hakea egg_check_done present=digging", "2026-04-02", "unknown digger") == []
    )
    assert (
        found(DUG + "2026-04-02\n08:00 hakea eggs_laid clutch=%h-1 count=2", "2026-04-02", "unknown digger") == []
    )


def test_digging_by_name_of_the_day_before_does_not_nor_of_one_who_lives_elsewhere() -> None:
    before = TUB + f"2026-03-31\n17:30 hakea {DIG}\n2026-04-01\n17:30 @b3 {DIG}\n"
    assert "first: Hakea (dug on 31 Mar" in the(before, "2026-04-01 18:00", "unknown digger").says
    elsewhere = DUG.replace("08:12 sedge moved to=@b3", "08:12 sedge moved to=@b4") + f"17:45 sedge {DIG}"
    assert found(elsewhere, "2026-04-01 18:00", "unknown digger") == ["today unknown digger @b3"]


def test_who_lived_there_then_is_asked_about_though_she_was_moved_since() -> None:
    moved = DUG + "17:50 sedge moved to=@b4\n"
    assert "first: Sedge" in the(moved, "2026-04-01 18:00", "unknown digger").says


def test_a_correction_answers_it() -> None:
    taken_back = DUG + "17:40 @b3 corrected replaces=20260401-00014\n"
    assert the(DUG, "2026-04-01 18:00", "unknown digger").entries[0].id == "20260401-00014"
    assert found(taken_back, "2026-04-01 18:00", "unknown digger") == []


def test_where_one_female_lives_it_can_only_have_been_her() -> None:
    page = ROOM + f"2026-04-01\n17:30 @b4 {DIG}\n"
    assert the(page, "2026-04-01 18:00", "unknown digger").says.endswith("It can only have been her.")


def test_where_no_female_is_known_to_live_the_sexes_are_in_doubt() -> None:
    assert found(ROOM + f"2026-04-01\n17:30 @b5 {DIG}\n", "2026-04-01 18:00", "unknown digger") == [
        "watch unknown digger @b5"
    ]
    assert found(ROOM + f"2026-04-01\n17:30 @l1 {DIG}\n", "2026-04-01 18:00", "unknown digger") == []


def test_it_is_asked_for_two_weeks_after_it_was_last_seen() -> None:
    assert found(DUG, "2026-04-15", "unknown digger") == ["today unknown digger @b3"]
    assert found(DUG, "2026-04-16", "unknown digger") == []


def test_it_keeps_its_name_when_it_is_seen_again() -> None:
    again = DUG + f"2026-04-03\n17:30 @b3 {DIG}\n"
    assert the(again, "2026-04-03 18:00", "unknown digger").key == "unknown digger enclosure/b3 2026-04-01"
