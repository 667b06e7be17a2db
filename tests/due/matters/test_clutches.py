"""Clutches: eggs to be boxed, and eggs that do not hatch."""

from __future__ import annotations

from rounds.due.matter import Level
from tests.due.matters.found import ROOM, found, the

LAID = ROOM + "2026-04-02\n09:00 wattle eggs_laid clutch=wattle-1 count=20 slugs=2 complete=true\n"
BOXED = LAID + "12:00 wattle-1 eggs_boxed count=18\n"


def test_eggs_are_boxed_within_a_day() -> None:
    assert found(LAID, "2026-04-03 08:59", "eggs not boxed") == ["watch eggs not boxed wattle-1"]
    assert found(LAID, "2026-04-03 09:00", "eggs not boxed") == ["today eggs not boxed wattle-1"]
    assert the(LAID, "2026-04-03 09:00", "eggs not boxed").says == "Box 18 eggs of Wattle, laid 2 Apr 09:00."
    assert found(BOXED, "2026-04-03 09:00", "eggs not boxed") == []


def test_slugs_and_eggs_that_are_lost_need_no_box() -> None:
    assert found(LAID.replace("slugs=2", "slugs=20"), "2026-04-04", "eggs not boxed") == []
    assert found(LAID + "12:00 wattle-1 eggs_lost count=18\n", "2026-04-04", "eggs not boxed") == []


def test_a_clutch_under_way_is_not_boxed_yet() -> None:
    assert found(LAID.replace(" complete=true", ""), "2026-04-02 10:00", "eggs not boxed") == []


def test_eggs_in_the_box_longer_than_any_that_hatched_are_watched() -> None:
    # 96 days at 26 °C, as quoted by others (grade C).
    assert found(BOXED, "2026-07-07", "hatching overdue") == []
    assert found(BOXED, "2026-07-08", "hatching overdue") == ["watch hatching overdue wattle-1"]
    assert the(BOXED, "2026-07-08", "hatching overdue").says == (
        "Candle 18 eggs of Wattle: 97 days, longer than any that hatched."
    )
    hatched = BOXED + "2026-06-10\n09:00 wattle-1 hatched count=18\n"
    assert found(hatched, "2026-07-08", "hatching overdue") == []


def test_slugs_that_were_thrown_out_leave_all_the_sound_eggs_to_be_boxed() -> None:
    slugs_out = LAID + "12:00 wattle-1 eggs_lost count=2 why=slugs\n"
    assert the(slugs_out, "2026-04-03 09:00", "eggs not boxed").says.startswith("Box 18 eggs of Wattle")
    one_more = slugs_out + "12:10 wattle-1 eggs_lost count=1\n"
    assert the(one_more, "2026-04-03 09:00", "eggs not boxed").says.startswith("Box 17 eggs of Wattle")


def test_where_some_are_boxed_the_others_are_asked_about() -> None:
    some = LAID + "12:00 wattle-1 eggs_boxed count=10 place=b3\n"
    matter = the(some, "2026-04-03 09:00", "eggs not boxed")
    assert matter.says == "Box 8 eggs of Wattle, laid 2 Apr 09:00."
    assert "Count them among the slugs" in matter.do[1]
    assert found(some, "2026-04-16 12:00", "eggs not boxed") == ["today eggs not boxed wattle-1"]
    assert found(some, "2026-04-17 12:00", "eggs not boxed") == []
    assert found(some + "12:30 wattle-1 eggs_boxed count=8 place=b4\n", "2026-04-03 09:00", "eggs not boxed") == []
    slugs = LAID.replace("slugs=2", "slugs=10") + "12:00 wattle-1 eggs_boxed count=10 place=b3\n"
    assert found(slugs, "2026-04-03 09:00", "eggs not boxed") == []


def test_eggs_in_no_box_are_told_where_they_were_laid() -> None:
    assert the(LAID, "2026-04-03 09:00", "eggs not boxed").place == "enclosure/b3"


def test_eggs_of_one_who_died_while_she_laid_wait_for_a_box_too() -> None:
    begun = ROOM + "2026-04-02\n09:00 wattle eggs_laid clutch=wattle-1 count=6\n"
    assert found(begun, "2026-04-03 09:00", "eggs not boxed") == []
    for gone in ("died", "left how=lent"):
        page = begun + f"20:00 wattle {gone}\n"
        assert the(page, "2026-04-03 09:00", "eggs not boxed").says == "Box 6 eggs of Wattle, laid 2 Apr 09:00."
        assert found(page + "21:00 wattle-1 eggs_boxed count=6\n", "2026-04-03 09:00", "eggs not boxed") == []


HATCHED_TWICE = BOXED + (
    "2026-06-10 AK\n09:00 wattle-1 hatched count=12\n2026-06-10 EM\n09:20 wattle-1 hatched count=12\n"
)


def test_a_clutch_that_two_desks_broke_is_for_today_with_its_sum() -> None:
    matter = the(HATCHED_TWICE, "2026-06-10 12:00", "clutch does not add up")
    assert matter.level == Level.TODAY
    assert matter.says == "Wattle 1: 20 laid, but 2 slugs + 24 hatched: 6 too many."
    assert matter.since == matter.entries[-1].known
    assert [one.by for one in matter.entries[-2:]] == ["AK", "EM"]
    more = HATCHED_TWICE + "2026-06-11 EM\n09:00 wattle-1 eggs_lost count=2\n"
    assert the(more, "2026-06-11 12:00", "clutch does not add up").key == matter.key, "put off, it stays put off"


def test_a_clutch_adds_up_again_when_one_of_the_two_is_taken_back() -> None:
    second = the(HATCHED_TWICE, "2026-06-10 12:00", "clutch does not add up").entries[-1].id
    back = HATCHED_TWICE + f"11:30 clutch/wattle-1 corrected replaces={second} because='AK wrote it'\n"
    assert found(back, "2026-06-10 12:00", "clutch does not add up") == []
    whole = BOXED + "2026-06-10\n09:00 wattle-1 hatched count=16\n09:05 wattle-1 eggs_lost count=2\n"
    assert found(whole, "2026-06-10 12:00", "clutch does not add up") == []
