"""Matters acknowledged and put off."""

from __future__ import annotations

from rounds.due.matter import Level
from rounds.due.reckon import matters, matters_about, open_matters
from tests.due.matters.found import DIG, HOUSE, ROOM, all_found, the
from tests.notation import at, standing

DUG = (
    ROOM
    + f"2026-03-12\n10:00 wattle mating_seen\n2026-04-01\n17:30 wattle {DIG}\n17:31 wattle lay_box_in depth_cm=20\n"
)
KEY = "digging without eggs animal/wattle 2026-04-01"
RULE = "digging without eggs"


def test_an_acknowledged_matter_stays_open_and_asks_again_at_a_worse_level() -> None:
    page = DUG + f'2026-04-05\n10:00 wattle acknowledged matter="{KEY}" level=today\n'
    on = the(page, "2026-04-06", RULE)
    assert on.acknowledged is not None
    assert on in open_matters(all_found(page, "2026-04-06"))
    worse = the(page, "2026-04-08", RULE)
    assert (worse.level, worse.acknowledged, worse.needs_acknowledging) == (Level.VET, None, True)


def test_an_acknowledgement_of_a_worse_level_covers_a_milder_one() -> None:
    page = DUG + f'2026-04-05\n10:00 wattle acknowledged matter="{KEY}" level="vet"\n'
    assert the(page, "2026-04-06", RULE).acknowledged is not None
    assert not the(page, "2026-04-08", RULE).needs_acknowledging


def test_the_next_matter_of_its_kind_is_not_acknowledged() -> None:
    page = DUG + f'2026-04-05\n10:00 wattle acknowledged matter="{KEY}" level=vet\n'
    page += "2026-04-06\n10:00 wattle vet_seen\n2026-05-01\n"
    page += f"17:30 wattle {DIG}\n"
    assert the(page, "2026-05-04", RULE).acknowledged is None


def test_an_acknowledgement_without_a_level_does_not_cover_a_vet_matter() -> None:
    page = DUG + f'2026-04-05\n10:00 wattle acknowledged matter="{KEY}"\n'
    assert the(page, "2026-04-06", RULE).acknowledged is not None
    assert the(page, "2026-04-08", RULE).acknowledged is None


def test_a_new_danger_sign_asks_again_though_the_matter_is_the_same() -> None:
    page = ROOM + "2026-04-01\n10:00 wattle egg_check_done present=lethargy\n"
    page += '10:05 wattle acknowledged matter="danger sign animal/wattle 2026-04-01" level="vet now"\n'
    assert not the(page, "2026-04-01 11:00", "danger sign").needs_acknowledging
    seen_again = page + "18:00 wattle egg_check_done present=lethargy\n"
    assert not the(seen_again, "2026-04-01 19:00", "danger sign").needs_acknowledging
    page += "18:00 wattle egg_check_done present=straining\n"
    assert the(page, "2026-04-01 19:00", "danger sign").needs_acknowledging


def test_a_matter_is_put_off_until_its_day() -> None:
    page = ROOM + "2026-04-01\n08:00 wattle weighed grams=349\n09:00 wattle put_together mate=karri\n"
    key = "should not be together animal/wattle 2026-04-01"
    page += f'10:00 wattle put_off matter="{key}" until=2026-04-05 reason="her tub is wet"\n'
    off = the(page, "2026-04-04 23:59", "should not be together")
    assert off.put_off is not None
    assert off.put_off.reason == "her tub is wet"
    assert off not in open_matters(all_found(page, "2026-04-04 23:59"))
    on = the(page, "2026-04-05 00:00", "should not be together")
    assert on.level == off.level == Level.TODAY, "no worse than it was: its day alone brings it back"
    assert on.put_off is None
    assert on in open_matters(all_found(page, "2026-04-05 00:00"))


def test_put_off_it_comes_back_when_it_gets_worse_than_it_was_then() -> None:
    page = DUG + f'2026-04-03\n10:00 wattle put_off matter="{KEY}" until=2026-04-20 reason="she digs well"\n'
    assert the(page, "2026-04-04", RULE).put_off is not None
    assert the(page, "2026-04-05", RULE).put_off is None
    today = page + f'2026-04-05\n10:00 wattle put_off matter="{KEY}" until=2026-04-20 reason="second box in"\n'
    assert the(today, "2026-04-07", RULE).put_off is not None
    assert the(today, "2026-04-08", RULE).put_off is None


def test_a_vet_matter_is_put_off_to_tomorrow_at_the_latest() -> None:
    page = DUG + f'2026-04-08\n10:00 wattle put_off matter="{KEY}" until={{}} reason="vet is away until tomorrow"\n'
    for until in ("2026-04-09", "2026-04-20"):
        off = the(page.format(until), "2026-04-08 23:59", RULE)
        assert off.level == Level.VET
        assert off.put_off is not None
        assert off.put_off.reason == "vet is away until tomorrow"
        assert the(page.format(until), "2026-04-09 00:00", RULE).put_off is None
    again = (
        page.format("2026-04-20") + f'2026-04-09\n08:00 wattle put_off matter="{KEY}" until=2026-04-20 reason=so\n'
    )
    assert the(again, "2026-04-09 23:59", RULE).put_off is not None, "each day by a word of its own"
    assert the(again, "2026-04-10 00:00", RULE).put_off is None


def test_danger_signs_and_what_is_vet_now_cannot_be_put_off() -> None:
    page = (
        ROOM + "2026-04-01\n10:00 wattle egg_check_done present=lethargy\n10:01 karri condition_seen signs=tremor\n"
    )
    for who in ("wattle", "karri"):
        page += f'10:05 {who} put_off matter="danger sign animal/{who} 2026-04-01" until=2026-04-09 reason=later\n'
    found = [one for one in all_found(page, "2026-04-02") if one.rule == "danger sign"]
    assert [one.put_off for one in found] == [None, None]
    past = ROOM + "2026-04-01\n10:00 wattle eggs_laid clutch=w-1 count=4\n2026-04-03\n10:00 wattle put_off "
    past += 'matter="laying stopped animal/wattle 2026-04-01" until=2026-04-09 reason=later\n'
    assert the(past, "2026-04-03 11:00", "laying stopped").put_off is None


def test_answers_taken_back_or_dated_later_count_for_nothing() -> None:
    page = DUG + f'2026-04-05\n10:00 wattle acknowledged matter="{KEY}" level=today\n'
    answer = the(page, "2026-04-06", RULE).acknowledged
    assert answer is not None
    assert the(page, "2026-04-05 09:00", RULE).acknowledged is None
    taken_back = page + f"11:00 wattle corrected replaces={answer.id}\n"
    assert the(taken_back, "2026-04-06", RULE).acknowledged is None


def test_a_stop_asks_only_for_those_who_are_there() -> None:
    now = at("2026-04-06")
    whole = matters(standing(DUG), HOUSE, now)
    stop = matters_about(standing(DUG), HOUSE, now, ["enclosure/b3", "animal/wattle", "animal/wattle"])
    assert stop == tuple(one for one in whole if one.about in ("enclosure/b3", "animal/wattle"))
    assert matters_about(standing(DUG), HOUSE, now, ["animal/nobody", "clutch/none", "enclosure/none", "?"]) == ()
