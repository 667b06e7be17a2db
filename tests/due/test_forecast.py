"""When will she lay: three dates inside the house's window, and how they are said."""

from __future__ import annotations

from datetime import date, datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rounds.due.forecast import LayForecast, lay_forecast
from rounds.due.matter import Level
from rounds.due.reckon import matters
from rounds.logbook.entries import Entry
from rounds.rules.house import House
from rounds.standing.fold import fold
from tests.due.matters.found import HOUSE, ROOM
from tests.due.matters.random_pages import moments, pages
from tests.due.stops import house_with
from tests.notation import at, standing

MATED = ROOM + "2026-03-12\n10:00 wattle mating_seen sire=karri\n"


def asked(page: str, now: str, who: str = "wattle", house: House = HOUSE) -> LayForecast:
    """The forecast of one female, which there is."""
    found = lay_forecast(standing(page), house, at(now), f"animal/{who}")
    assert found is not None
    return found


def none(page: str, now: str, who: str = "wattle") -> bool:
    """Whether nothing is forecast."""
    return lay_forecast(standing(page), HOUSE, at(now), f"animal/{who}") is None


def test_of_a_mating_seen_it_is_the_window_of_the_house_about_its_geometric_mean() -> None:
    # 24.2 days; 10 % at 17.2, 95 % at 39.1 (t of 4 degrees, scale .2236; tests/standing/test_lognormal.py).
    found = asked(MATED, "2026-03-13")
    assert (found.early, found.likely, found.late) == (date(2026, 3, 29), date(2026, 4, 5), date(2026, 4, 20))
    assert (found.opens, found.closes) == (date(2026, 3, 26), date(2026, 4, 23))
    assert found.left is None
    assert found.says == "due 29 Mar to 20 Apr, likely 5 Apr"
    assert found.from_what == "from the house's window: no interval of the colony yet"


@pytest.mark.parametrize(
    ("now", "state", "says"),
    [
        ("2026-03-28", "not yet", "due 29 Mar to 20 Apr, likely 5 Apr"),
        ("2026-03-29", "due", "due since 29 Mar, likely by 6 Apr, waiting 17 days"),
        ("2026-04-12", "due", "due since 29 Mar, likely by 16 Apr, waiting 31 days"),
        ("2026-04-20", "due", "due since 29 Mar, likely by 23 Apr, waiting 39 days"),
        ("2026-04-21", "overdue", "overdue since 21 Apr, waiting 40 days, window ends 23 Apr"),
        ("2026-04-23", "overdue", "overdue since 21 Apr, waiting 42 days, window ends 23 Apr"),
        ("2026-04-24", "over", "window ended 23 Apr, no eggs, waiting 43 days"),
    ],
)
def test_she_waits_in_the_open_from_due_over_overdue_to_the_end_of_the_window(
    now: str, state: str, says: str
) -> None:
    found = asked(MATED, now)
    assert found.state == state
    assert found.says == says


def test_what_is_left_for_one_who_waits_comes_after_today() -> None:
    found = asked(MATED, "2026-04-12")
    assert found.left is not None
    assert date(2026, 4, 12) <= found.left[0] < found.left[1] < found.left[2] <= found.closes
    assert found.left[1] > found.likely


def test_months_after_the_window_nothing_is_forecast_any_more() -> None:
    # The window ends on 23 April; 120 days later it is 21 August.
    assert not none(MATED, "2026-08-21")
    assert none(MATED, "2026-08-22")


def test_nothing_is_forecast_for_one_who_lays_nor_for_one_without_any_chance_nor_for_a_male() -> None:
    assert none(ROOM, "2026-03-20")
    assert none(MATED, "2026-03-20", "karri")
    assert none(MATED + "2026-04-01\n10:00 wattle eggs_laid clutch=wattle-1 count=4\n", "2026-04-01 12:00")


def test_company_of_four_days_counts_each_of_them() -> None:
    page = ROOM + "2026-03-12\n10:00 wattle put_together mate=karri\n2026-03-15\n10:00 wattle parted\n"
    found, seen = asked(page, "2026-03-20"), asked(MATED, "2026-03-20")
    assert found.why == "with a male"
    assert (found.opens, found.closes) == (date(2026, 3, 26), date(2026, 4, 26))
    assert seen.early < found.early
    assert found.likely == date(2026, 4, 7)
    assert seen.late < found.late <= found.closes


def test_of_several_matings_any_may_have_been_the_one() -> None:
    found = asked(MATED + "2026-03-16\n10:00 wattle mating_seen\n", "2026-03-20")
    assert date(2026, 4, 5) < found.likely < date(2026, 4, 9)
    assert found.waited_days == 4


def test_after_a_clutch_the_next_is_forecast_from_the_laying_by_stored_sperm() -> None:
    page = MATED + "2026-04-05\n10:00 wattle eggs_laid clutch=wattle-1 count=20 complete=true\n"
    found = asked(page, "2026-04-10")
    assert found.why == "stored sperm"
    # 3 to 6 weeks: 26 April to 17 May, geometric mean 29.7 days.
    assert (found.opens, found.closes, found.likely) == (date(2026, 4, 26), date(2026, 5, 17), date(2026, 5, 5))
    assert found.says.startswith("next clutch due 26 Apr to 17 May")
    assert asked(page, "2026-05-18").says == "no next clutch by 17 May"


def test_mated_again_after_a_clutch_both_may_lead_to_the_next() -> None:
    page = MATED + "2026-04-05\n10:00 wattle eggs_laid clutch=wattle-1 count=20 complete=true\n"
    alone, again = asked(page, "2026-04-26"), asked(page + "2026-04-25\n10:00 wattle mating_seen\n", "2026-04-26")
    assert again.why == "mated"
    assert again.closes == date(2026, 6, 6)
    assert alone.late < again.late


def test_own_clutches_move_the_forecast_and_are_counted() -> None:
    before = ROOM.replace("2026-03-01 AK", "2024-01-01 AK").replace("2023-03-01", "2021-03-01")
    for year in (2024, 2025):
        before += f"{year}-03-12\n10:00 wattle mating_seen\n"
        before += f"{year}-04-16\n10:00 wattle eggs_laid clutch=wattle-{year} count=20 complete=true\n"
    page = before + "2026-03-12\n10:00 wattle mating_seen sire=karri\n"
    found = asked(page, "2026-03-13")
    assert (found.own, found.others) == (2, 0)
    assert found.from_what == "from 2 intervals: 2 of her own"
    assert asked(MATED, "2026-03-13").likely < found.likely < date(2026, 4, 16)
    sedge = asked(page + "11:00 sedge mating_seen\n", "2026-03-13", "sedge")
    assert sedge.from_what == "from 2 intervals: 2 of the colony"


def test_a_fast_female_is_never_forecast_before_the_window_nor_a_slow_one_after_it() -> None:
    for days, mated in ((10, "2025-03-12"), (60, "2025-03-12")):
        page = ROOM.replace("2026-03-01 AK", "2024-01-01 AK")
        for year in (2024, 2025):
            begun = date.fromisoformat(mated).replace(year=year)
            laid = date.fromordinal(begun.toordinal() + days)
            page += f"{begun}\n10:00 wattle mating_seen\n"
            page += f"{laid}\n10:00 wattle eggs_laid clutch=w-{year} count=20 complete=true\n"
        found = asked(page + "2026-03-12\n10:00 wattle mating_seen\n", "2026-03-13")
        assert found.from_what == "from 2 intervals: 2 of her own; 2 outside the house's window"
        assert found.opens <= found.early <= found.likely <= found.late <= found.closes


def test_the_year_is_said_where_it_is_another() -> None:
    page = ROOM + "2026-12-10\n10:00 wattle mating_seen\n"
    assert asked(page, "2026-12-11").says == "due 27 Dec to 18 Jan 2027, likely 3 Jan 2027"


def test_a_wider_spread_of_the_house_widens_the_dates() -> None:
    wide = house_with(forecast={"spread_percent": 40})
    near, far = asked(MATED, "2026-03-13"), asked(MATED, "2026-03-13", house=wide)
    assert far.early <= near.early
    assert near.late <= far.late


@settings(max_examples=120, deadline=None)
@given(written=pages(), now=moments)
def test_on_any_page_the_dates_are_in_order_and_inside_the_window(written: list[Entry], now: datetime) -> None:
    known = fold(written)
    for subject in known.subjects("animal"):
        found = lay_forecast(known, HOUSE, now, subject)
        if found is None:
            continue
        assert found.opens <= found.early <= found.likely <= found.late <= found.closes
        assert found.says
        assert found.from_what
        if found.left is not None:
            assert max(found.opens, found.today) <= found.left[0] <= found.left[1] <= found.left[2] <= found.closes


@pytest.mark.parametrize("sign", ["lethargy", "straining", "prolapse"])
@given(days=st.integers(0, 60))
@settings(max_examples=12, deadline=None)
def test_a_danger_sign_added_lowers_nothing_wherever_she_is_in_her_forecast(sign: str, days: int) -> None:
    now = date.fromordinal(date(2026, 3, 13).toordinal() + days).isoformat()
    seen = MATED + f'{now}\n11:00 wattle egg_check_done present="{sign}"\n'
    before, after = worst(MATED, f"{now} 12:00"), worst(seen, f"{now} 12:00")
    assert after["animal/wattle"] == Level.VET_NOW
    assert all(after[who] >= level for who, level in before.items())


def worst(page: str, now: str) -> dict[str, Level]:
    """The worst level of each subject."""
    found: dict[str, Level] = {}
    for one in matters(standing(page), HOUSE, at(now)):
        found[one.about] = max(found.get(one.about, Level.WATCH), one.level)
    return found


@settings(max_examples=40, deadline=None)
@given(written=pages(), now=moments)
def test_entry_by_entry_the_forecasts_are_those_of_all_at_once(written: list[Entry], now: datetime) -> None:
    grown = fold(written[:0])
    for entry in written:
        grown = grown.after(entry)
        for subject in grown.subjects("animal"):
            lay_forecast(grown, HOUSE, now, subject)
    at_once = fold(written)
    for subject in at_once.subjects("animal"):
        assert lay_forecast(grown, HOUSE, now, subject) == lay_forecast(at_once, HOUSE, now, subject)


def test_after_slugs_only_the_days_are_the_same_and_the_slugs_are_named() -> None:
    laid = ROOM + "2026-03-01\n09:00 wattle eggs_laid clutch=w-1 count=16 slugs={} complete=true\n"
    some, only = asked(laid.format(15), "2026-03-10"), asked(laid.format(16), "2026-03-10")
    assert some.says == "next clutch due 22 Mar to 12 Apr, likely 31 Mar"
    assert only.says == "next clutch due 22 Mar to 12 Apr, likely 31 Mar, after slugs only"
    due = asked(laid.format(16), "2026-04-05")
    assert due.says == "next clutch due since 22 Mar, likely by 10 Apr, waiting 35 days, after slugs only"
    # A slug more seen later, and sound eggs found later.
    late = laid.format(15) + "2026-03-12\n09:00 wattle eggs_laid clutch=w-1 count=16 slugs=16\n"
    assert asked(late, "2026-03-13").after_slugs
    found = laid.format(16) + "2026-03-02\n09:00 wattle eggs_laid clutch=w-2 count=2 complete=true\n"
    assert not asked(found, "2026-03-13").after_slugs
