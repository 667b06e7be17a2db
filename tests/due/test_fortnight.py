"""The next fourteen days: what comes on which day, and what is overdue under today."""

from __future__ import annotations

from datetime import date, datetime, timedelta

import pytest
from hypothesis import given, settings

from rounds.due.coming import Coming
from rounds.due.fortnight import SOURCES, Day, fortnight
from rounds.due.hatching import hatch_forecast
from rounds.due.lines import lines_at
from rounds.due.matter import Level
from rounds.due.reckon import matters as reckon
from rounds.rules.house import House
from rounds.standing.fold import fold
from tests.any_entries import START, entries
from tests.due.matters.random_pages import moments, pages
from tests.due.matters.test_answers import DUG, KEY
from tests.due.stops import HOUSE, house_with
from tests.due.test_supplies import count
from tests.due.test_supplies import house_with as keeping
from tests.notation import VIENNA, at, standing

PAIR = """
2026-03-01 AK
08:00 b3 enclosure_set_up name=B3
08:00 b4 enclosure_set_up name=B4
08:01 wattle arrived name=Wattle sex=F hatched=2023-03-01 place=b3
08:03 karri arrived name=Karri sex=M hatched=2022-03-01 place=b4
"""


def days(page: str, now: str, house: House = HOUSE) -> tuple[Day, ...]:
    return fortnight(standing(page, house.zone), house, at(now, house.zone))


def short(one: Coming) -> str:
    return f"{one.what} {one.about.rpartition('/')[2]}" + (f" {one.clock}" if one.clock else "")


def coming(page: str, now: str, *whats: str, house: House = HOUSE) -> list[str]:
    """What comes of these sorts, each behind its day; the overdue with a !."""
    found: list[str] = []
    for day in days(page, now, house):
        found += [f"{one.day:%d %b}! {short(one)}" for one in day.overdue if one.what in whats]
        found += [f"{day.day:%d %b} {short(one)}" for one in day.coming if one.what in whats]
    return found


def test_there_are_fourteen_days_from_the_rooms_day_on() -> None:
    found = days(PAIR, "2026-12-27 09:00")
    assert [one.day for one in found] == [date(2026, 12, 27) + timedelta(days=ahead) for ahead in range(14)]
    # Shortly after midnight it is still the day before.
    assert days(PAIR, "2026-12-27 01:00")[0].day == date(2026, 12, 26)
    for night in ("2026-10-20 09:00", "2026-03-25 09:00"):
        across = [one.day for one in days(PAIR, night)]
        assert len(set(across)) == 14
        assert across[-1] - across[0] == timedelta(days=13)


def test_a_window_has_the_day_for_the_lay_box_its_first_day_and_its_last() -> None:
    page = PAIR + "2026-04-01\n08:00 wattle mating_seen sire=karri\n"
    whats = ("lay box", "window opens", "window ends")
    assert coming(page, "2026-04-03 09:00", *whats) == ["08 Apr lay box wattle"]
    assert coming(page, "2026-04-20 09:00", *whats) == ["08 Apr! lay box wattle"]
    boxed = page + "2026-04-05\n08:00 wattle lay_box_in depth_cm=25\n"
    assert coming(boxed, "2026-05-01 09:00", *whats) == ["13 May window ends wattle"]


def test_a_pair_has_a_day_to_be_parted_and_stands_under_today_when_it_passed() -> None:
    page = PAIR + "2026-04-01\n08:00 wattle put_together mate=karri\n08:00 karri moved to=b3\n"
    assert coming(page, "2026-04-02 09:00", "part") == ["03 Apr part wattle"]
    assert coming(page, "2026-04-10 09:00", "part") == ["03 Apr! part wattle"]


def test_the_next_weighing_comes_by_its_interval_and_late_ones_stand_under_today() -> None:
    page = PAIR + "2026-04-01\n08:00 wattle weighed grams=400\n08:00 karri weighed grams=400\n"
    adult = HOUSE.days("weighing.adult_days")
    due = date(2026, 4, 1) + timedelta(days=adult)
    before = due - timedelta(days=13)
    assert coming(page, f"{before} 09:00", "weigh") == [
        f"{due:%d %b} weigh karri",
        f"{due:%d %b} weigh wattle",
    ] or (
        sorted(coming(page, f"{before} 09:00", "weigh"))
        == [f"{due:%d %b} weigh karri", f"{due:%d %b} weigh wattle"]
    )
    late = due + timedelta(days=3)
    assert sorted(coming(page, f"{late} 09:00", "weigh")) == [
        f"{due:%d %b}! weigh karri",
        f"{due:%d %b}! weigh wattle",
    ]


def test_what_was_left_out_today_comes_tomorrow() -> None:
    page = PAIR + "2026-04-01\n08:00 karri weighed grams=400\n09:00 wattle left_out care=weigh reason=shedding\n"
    assert coming(page, "2026-04-01 10:00", "weigh") == ["02 Apr weigh wattle"]


def test_a_lamp_never_changed_comes_on_the_day_on_which_it_is_as_old_as_the_house_rule() -> None:
    months = HOUSE.days("climate.lamp_months")
    assert months == 6
    assert coming(PAIR, "2026-08-25 09:00", "lamp") == ["01 Sep lamp b3", "01 Sep lamp b4"]
    assert coming(PAIR, "2026-08-18 09:00", "lamp") == []


def test_a_full_clean_fixed_to_the_calendar_comes_round_each_time() -> None:
    house = house_with(cleaning={"full_days": "FREQ=MONTHLY;BYDAY=1SA,2SA"})
    page = PAIR + "2026-03-28\n08:00 enclosure/b3 cleaned extent=full\n08:00 enclosure/b4 cleaned extent=full\n"
    assert coming(page, "2026-04-02 09:00", "full clean", house=house) == [
        "04 Apr full clean b3",
        "04 Apr full clean b4",
        "11 Apr full clean b3",
        "11 Apr full clean b4",
    ]


def test_quarantine_and_treatment_have_a_last_day() -> None:
    page = PAIR + "2026-04-01\n08:00 nell arrived name=Nell place=b3 quarantine=true\n"
    assert coming(page, "2026-06-20 09:00", "quarantine") == ["30 Jun quarantine nell"]
    treated = PAIR + "2026-04-01\n08:00 wattle vet_seen treatment=drops under_treatment_until=2026-04-10\n"
    assert coming(treated, "2026-04-02 09:00", "treatment ends") == ["10 Apr treatment ends wattle"]
    assert coming(treated, "2026-04-11 09:00", "treatment ends") == []


def test_a_matter_put_off_comes_on_the_day_until_which_it_was() -> None:
    light = PAIR + "2026-04-01\n08:00 wattle weighed grams=349\n09:00 wattle put_together mate=karri\n"
    key = "should not be together animal/wattle 2026-04-01"
    page = light + f'10:00 wattle put_off matter="{key}" until=2026-04-05 reason="her tub is wet"\n'
    assert coming(page, "2026-04-02 09:00", "put off") == ["05 Apr put off wattle"]
    (one,) = [one for day in days(page, "2026-04-02 09:00") for one in day.coming if one.what == "put off"]
    assert one.why == "should not be together: her tub is wet"
    assert coming(page, "2026-04-05 09:00", "put off") == [], "it is open again"
    parted = page + "2026-04-03\n10:00 wattle parted mate=karri\n"
    assert coming(parted, "2026-04-04 09:00", "put off") == [], "it is over"


def test_one_for_the_vet_comes_back_the_next_day_whatever_was_written() -> None:
    page = DUG + f'2026-04-08\n10:00 wattle put_off matter="{KEY}" until=2026-04-20 reason="vet is away"\n'
    assert coming(page, "2026-04-08 12:00", "put off") == ["09 Apr put off wattle"]


def test_a_reservation_has_no_day_and_the_buyer_who_comes_for_it_has() -> None:
    page = PAIR + "2026-04-01\n08:00 karri reserved whom=Bo\n"
    assert not [one for day in days(page, "2026-04-02 09:00") for one in day.coming if "Bo" in one.why]
    agreed = page + "08:02 karri appointment_made on=2026-04-03 clock=09:30 whom=Bo\n"
    assert coming(agreed, "2026-04-02 09:00", "appointment") == ["03 Apr appointment karri 09:30"]


def test_what_was_agreed_comes_on_its_day_by_the_hour() -> None:
    page = (
        PAIR
        + "2026-04-01\n08:00 room appointment_made on=2026-04-03 whom=electrician\n"
        + "08:01 wattle appointment_made on=2026-04-03 clock=16:00 whom=vet\n"
        + "08:02 karri appointment_made on=2026-04-03 clock=09:30 whom=buyer\n"
        + "08:03 wattle vet_called said=wait again=2026-04-05\n"
        + "08:04 karri referred to=vet appointment=2026-04-06\n"
    )
    assert coming(page, "2026-04-02 09:00", "appointment", "vet") == [
        "03 Apr appointment karri 09:30",
        "03 Apr appointment wattle 16:00",
        "03 Apr appointment room",
        "05 Apr vet wattle",
        "06 Apr vet karri",
    ]
    assert coming(page, "2026-04-08 09:00", "vet") == ["05 Apr! vet wattle", "06 Apr! vet karri"]
    assert coming(page, "2026-04-20 09:00", "appointment") == [], "it is not asked for ever"


LAID = (
    PAIR
    + """
2026-03-01
08:05 s1 enclosure_set_up name=S1 what="incubator shelf"
2026-03-10
08:00 wattle eggs_laid clutch=one count=12 complete=true
09:00 one eggs_boxed count=12 place=s1
"""
)


def test_the_window_of_a_clutch_has_its_first_its_likely_and_its_last_day() -> None:
    stands, whats = standing(LAID), ("hatch watch", "likely hatch", "hatch by")
    found = hatch_forecast(stands, HOUSE, at("2026-04-30 09:00"), "clutch/one")
    assert found is not None
    told = [
        f"{found.window_begins:%d %b} hatch watch one",
        f"{found.likely:%d %b} likely hatch one",
        f"{found.late:%d %b} hatch by one",
    ]
    # Without a reading the forecast is the same on each day: the days come up as the fortnight reaches them.
    assert coming(LAID, f"{found.window_begins - timedelta(days=13)} 09:00", *whats) == told[:1]
    assert coming(LAID, f"{found.window_begins - timedelta(days=14)} 09:00", *whats) == []
    assert coming(LAID, f"{found.late - timedelta(days=1)} 09:00", *whats) == told[2:]


def test_an_egg_box_is_weighed_and_a_clutch_candled() -> None:
    assert coming(LAID, "2026-03-10 12:00", "candle") == ["10 Mar candle one"]
    looked = LAID + "2026-03-10\n10:00 one candled fertile=12\n"
    opens = int(HOUSE.band("eggs.candle_days")[0])
    assert coming(looked, "2026-03-12 12:00", "candle") == [
        f"{date(2026, 3, 10) + timedelta(days=opens):%d %b} candle one"
    ]
    boxes = coming(looked, "2026-03-12 12:00", "egg box")
    assert len(boxes) == 1


def test_water_that_is_asked_for_today_does_not_hide_the_next_weighing_of_the_box() -> None:
    page = (
        PAIR
        + '2026-03-10\n08:00 k1 enclosure_set_up name=K1 what="egg box"\n'
        + "08:10 k1 egg_box_made_up medium=vermiculite tare_grams=95 dry_grams=120 ratio=1\n"
        + "08:20 wattle eggs_laid clutch=one count=12 complete=true\n"
        + "09:00 one eggs_boxed count=12 place=k1 eggs_grams=48\n"
        + "2026-03-17\n09:00 k1 egg_box_weighed grams=370\n"
    )
    assert coming(page, "2026-03-18 09:00", "top up", "egg box") == ["17 Mar! top up k1", "24 Mar egg box k1"]
    (short_of,) = [one for one in days(page, "2026-03-18 09:00")[0].overdue if one.what == "top up"]
    assert short_of.why == "13 g (13 ml)"
    added = page.replace("grams=370", "grams=370 added_grams=13")
    assert coming(added, "2026-03-18 09:00", "top up", "egg box") == ["24 Mar egg box k1"]


def test_young_counted_together_are_counted_again() -> None:
    page = PAIR + "2026-04-01\n08:00 group/hatch arrived name=Hatch count=10 place=b3 hatched=2026-04-01\n"
    assert coming(page, "2026-04-02 09:00", "count") == ["08 Apr count hatch"]
    assert coming(page, "2026-04-10 09:00", "count") == ["08 Apr! count hatch"] or coming(
        page, "2026-04-10 09:00", "count"
    ) == ["10 Apr count hatch"]
    counted = page + "2026-04-05\n08:00 group/hatch counted count=10\n"
    assert coming(counted, "2026-04-10 09:00", "count") == ["12 Apr count hatch"]


def test_a_supply_is_counted_again_here_on_the_last_day_before_a_matter_says_so() -> None:
    let_go = PAIR + count("2026-04-01", 0)
    came = let_go + count("2026-04-03", 500, kind="stock_in")
    never = PAIR + count("2026-04-03", 500, kind="stock_in")
    for page, day in ((let_go, None), (came, date(2026, 4, 11)), (never, date(2026, 4, 13))):
        told = [f"{day:%d %b} count locusts"] if day is not None else []
        assert coming(page, "2026-04-04 09:00", "count") == told
        for now in (date(2026, 4, 10) + timedelta(days=ahead) for ahead in range(5)):
            found = reckon(standing(page), HOUSE, at(f"{now} 09:00"))
            assert ("stock not counted" in {one.rule for one in found}) == (day is not None and now > day)


def test_supplies_are_ordered_run_out_and_are_counted() -> None:
    house = keeping(locusts={"use": "insects", "adult": 10, "older": 20, "order_days": 4})
    page = PAIR + count("2026-04-01", 80)
    # Two adults, 10 a day: eight days from the first of April on.
    assert coming(page, "2026-04-02 09:00", "order", "runs out", "count", house=house) == [
        "05 Apr order locusts",
        "09 Apr runs out locusts",
        "11 Apr count locusts",
    ]
    assert coming(page, "2026-04-06 09:00", "order", "runs out", house=house) == [
        "06 Apr order locusts",
        "09 Apr runs out locusts",
    ]


@settings(max_examples=25, deadline=None)
@given(page=pages(), now=moments)
def test_what_is_due_today_on_the_walk_stands_under_today(page: list, now: datetime) -> None:  # type: ignore[type-arg]
    stands = fold(page)
    today = fortnight(stands, HOUSE, now)[0]
    told = {(one.what, one.about) for one in (*today.overdue, *today.coming)}
    for stop in (None, *stands.subjects("enclosure")):
        if stop is not None and not stands.card(stop).here:
            continue
        for line in lines_at(stands, HOUSE, now, stop):
            if line.left_out is None and line.care in ("weigh", "full clean", "lamp"):
                assert (line.care, line.about) in told


@settings(max_examples=40, deadline=None)
@given(page=entries())
def test_whatever_was_written_each_thing_stands_once_and_on_its_day(page: list) -> None:  # type: ignore[type-arg]
    house = keeping(locusts={"use": "insects"}, roaches={"use": "dust"})
    now = START + timedelta(days=70)
    found = fortnight(fold(page), house, now)
    assert len(found) == 14
    for day in found:
        assert all(one.day == day.day for one in day.coming)
        assert all(one.day < day.day for one in day.overdue)
        assert not day.overdue or day is found[0]
        assert len(set(day.coming)) == len(day.coming)


@pytest.mark.parametrize("moment", ["0001-01-02T00:00:00+00:00", "9999-12-31T12:00:00+00:00"])
def test_at_the_ends_of_the_calendar_nothing_falls_over(moment: str) -> None:
    now = datetime.fromisoformat(moment)
    house = keeping(locusts={"use": "insects"}, calcium={"use": "dust", "unit": "g"})
    page = PAIR + count("2026-04-01", 80)
    found = fortnight(standing(page), house, now)
    assert [one.day for one in found] == sorted({one.day for one in found})
    assert abs((found[0].day - now.astimezone(VIENNA).date()).days) <= 1
    assert len(SOURCES) >= 11


def test_the_last_days_of_the_calendar_have_their_lines_too() -> None:
    page = PAIR.replace("2026-03-01", "9999-11-01") + "9999-12-01\n09:00 wattle mating_seen sire=karri\n"
    assert coming(page, "9999-12-20 09:00", "due to lay", "window ends") == ["31 Dec window ends wattle"]


def test_late_and_what_is_said_of_a_lay_box_are_of_one_window() -> None:
    page = PAIR + "2026-04-01\n08:00 wattle mating_seen sire=karri\n"
    (box,) = [one for one in days(page, "2026-04-20 09:00")[0].overdue if one.what == "lay box"]
    assert (box.day, box.why) == (date(2026, 4, 8), "window opened 15 Apr")


@pytest.mark.parametrize(("now", "overdue"), [("2026-04-14", 0), ("2026-04-15", 0), ("2026-04-16", 1)])
def test_candling_is_late_after_the_last_day_it_may_take(now: str, overdue: int) -> None:
    page = PAIR + (
        "2026-04-01\n08:00 s1 enclosure_set_up name=S1 what='incubator shelf'\n"
        "08:10 wattle eggs_laid clutch=wattle-1 count=20 complete=true\n"
        "08:20 wattle-1 eggs_boxed place=s1 count=20 up_marked=true\n"
    ).replace("'", '"')
    today = days(page, f"{now} 09:00")[0]
    candled = [one for one in (*today.overdue, *today.coming) if one.what == "candle"]
    late = [(today.day - one.day).days for one in today.overdue if one.what == "candle"]
    assert len(candled) == 1
    assert late == [1] * overdue


def test_a_visit_that_was_referred_for_and_agreed_is_told_once() -> None:
    page = PAIR + (
        '2026-04-01\n08:00 wattle referred to="the reptile vet" why=thin appointment=2026-04-03\n'
        '08:10 wattle appointment_made on=2026-04-03 clock=10:30 whom="the reptile vet"\n'
    )
    assert coming(page, "2026-04-02 09:00", "vet", "appointment") == ["03 Apr appointment wattle 10:30"]
    other = page.replace('whom="the reptile vet"', "whom=Ann")
    assert sorted(coming(other, "2026-04-02 09:00", "vet", "appointment")) == [
        "03 Apr appointment wattle 10:30",
        "03 Apr vet wattle",
    ]


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("condition_seen signs=lethargy", "danger sign, vet first"),
        ("referred to=vet", "with the vet"),
        ("condition_seen look=bright", ""),
    ],
)
def test_no_day_of_a_forecast_stands_without_the_vet_it_waits_for(line: str, why: str) -> None:
    page = PAIR + f"2026-03-10\n08:00 wattle mating_seen\n2026-03-20\n08:00 wattle {line}\n"
    told = [one for day in days(page, "2026-03-21 09:00") for one in day.coming if one.what == "due to lay"]
    assert [one.why for one in told] == [why]


def test_signs_that_add_up_to_the_vet_stand_there_too() -> None:
    page = PAIR + (
        "2026-03-10\n08:00 wattle mating_seen\n2026-03-22\n08:00 wattle felt_for_eggs found=eggs\n"
        "2026-03-25\n08:00 wattle felt_for_eggs found=eggs\n2026-03-30\n08:00 wattle ate how=refused\n"
        "2026-04-03\n08:00 wattle ate how=refused\n2026-04-07\n08:00 wattle condition_seen look=quiet\n"
        "2026-04-13\n08:00 wattle ate how=refused\n"
    )
    (matter,) = [one for one in reckon(standing(page), HOUSE, at("2026-04-14 09:00")) if one.level >= Level.VET]
    assert matter.rule == "signs add up"
    told = [one for day in days(page, "2026-04-14 09:00") for one in (*day.overdue, *day.coming)]
    by_day = {one.what: one.why for one in told if one.about == "animal/wattle" and one.what != "weigh"}
    assert by_day == {
        "lay box": "for the vet, window opened 24 Mar",
        **dict.fromkeys(("likely lays", "window ends"), "for the vet"),
    }
