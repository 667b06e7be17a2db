"""What a supply will be needed for: heads × ration × feedings, corrected by what was really used; and its end."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta
from math import isclose
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rounds.due.reckon import matters as reckon
from rounds.due.stock import Stock
from rounds.due.supplies import supplies
from rounds.paper.supplies import stock_values
from rounds.rules.changes import changed_rules
from rounds.rules.default import default_rules
from rounds.rules.house import House
from rounds.rules.supplies import supplies_of
from rounds.screens.views.supplies import supply_row
from tests.notation import VIENNA, at, standing

LOCUSTS = {"use": "insects", "hatchling": 20, "young": 15, "adult": 10, "older": 8}


def house_with(rules: Mapping[str, Any] | None = None, **of: Mapping[str, Any]) -> House:
    """A house that keeps these supplies."""
    return House(changed_rules(default_rules(), dict(rules or {})), VIENNA, supplies=supplies_of(of))


HOUSE = house_with(locusts=LOCUSTS)
#: Three adults and a young one: 3 × 10 ÷ 2 + 15 × 1 = 30 a day.
FOUR = """
2026-01-01 AK
08:00 b3 enclosure_set_up name=B3
08:00 wattle arrived name=Wattle sex=F hatched=2023-05-01 place=b3
08:00 karri arrived name=Karri sex=M hatched=2023-05-01
08:00 sedge arrived name=Sedge sex=F hatched=2023-05-01
08:00 pup arrived name=Pup hatched=2025-12-01
"""


def the(page: str, now: str, house: House = HOUSE, subject: str = "supply/locusts") -> Stock:
    return supplies(standing(page), house, at(now)).stock(subject)


def count(day: str, amount: float, what: str = "locusts", kind: str = "stock_counted", unit: str = "pieces") -> str:
    return f"{day}\n08:00 {what} {kind} amount={amount} unit={unit}\n"


def test_the_need_is_heads_times_ration_times_feedings_by_age_class() -> None:
    stock = the(FOUR + count("2026-04-10", 400), "2026-04-10 09:00")
    assert (stock.need_week, stock.need_fortnight, stock.planned) == (7 * 30, 14 * 30, 30)
    assert not stock.learned
    assert stock.left == 400


def test_how_pressing_it_is_goes_by_the_house_rule_wherever_it_is_shown() -> None:
    page, now = FOUR + count("2026-04-10", 100), "2026-04-10 09:00"  # 30 a day: three days
    for out_days, level in ((2, "watch"), (3, "today")):
        house = house_with({"supplies": {"out_days": out_days}}, locusts=LOCUSTS)
        stands, moment = standing(page, house.zone), at(now, house.zone)
        (told,) = [one for one in reckon(stands, house, moment) if one.rule == "runs out"]
        shown = stock_values(supplies(stands, house, moment).stock("supply/locusts"), house, moment)
        assert (told.level.word, shown["level"], shown["days_left"]) == (level, level, 3)
        assert supply_row(shown, moment, 80, False)[2].style == level
    full = the(FOUR + count("2026-04-10", 1000), now)
    assert full.level is None


def test_a_young_one_eats_as_an_adult_from_the_day_it_is_one() -> None:
    page = "2026-01-01 AK\n08:00 pup arrived name=Pup hatched=2025-04-13\n" + count("2026-04-10", 1000)
    # Young on the 10th, 11th and 12th of April (15 a day); an adult from the 13th (10 every second day).
    stock = the(page, "2026-04-10 09:00")
    assert stock.need_week == 3 * 15 + 4 * 5


def test_hatchlings_get_two_meals_a_day_where_the_house_says_so_and_no_greens_before_their_weeks() -> None:
    page = "2026-04-01 AK\n08:00 group/hatch arrived name=Hatch count=12 hatched=2026-04-01\n"
    house = house_with(locusts=LOCUSTS, kale={"use": "greens"})
    stock = the(page + count("2026-04-10", 1), "2026-04-10 09:00", house)
    assert stock.need_week == 7 * 12 * 20 * 2
    # Greens begin six weeks after the 1st of April, on the 13th of May: one day of these fourteen.
    kale = the(page + count("2026-04-30", 1, "kale", unit="g"), "2026-04-30 09:00", house, "supply/kale")
    assert kale.need_fortnight == 12 * 5


def test_who_brumates_died_or_left_does_not_eat() -> None:
    page = FOUR + "2026-04-09\n08:00 wattle brumation_began\n08:00 karri died\n08:00 sedge left how=sold\n"
    assert the(page + count("2026-04-10", 1), "2026-04-10 09:00").need_week == 7 * 15
    awake = page + "2026-04-10\n07:00 wattle brumation_ended\n"
    assert the(awake + count("2026-04-10", 1), "2026-04-10 09:00").need_week == 7 * 20


def test_feeding_fixed_to_the_calendar_needs_its_very_days() -> None:
    house = house_with({"feeding.insects_adult_days": "FREQ=WEEKLY;BYDAY=MO"}, locusts=LOCUSTS)
    page = "2026-01-01 AK\n08:00 wattle arrived name=Wattle hatched=2023-05-01\n"
    # 26 Nov 2026 is a Thursday.
    stock = the(page + count("2026-11-26", 15), "2026-11-26 09:00", house)
    assert (stock.need_week, stock.need_fortnight) == (10, 20)
    assert f"{stock.runs_out}" == "2026-12-07"


def test_really_used_is_learned_from_the_counts_of_the_last_weeks() -> None:
    # Planned 30 a day, 300 in ten days; 360 were used.
    page = FOUR + count("2026-04-01", 900) + count("2026-04-05", 100, kind="stock_in") + count("2026-04-11", 640)
    stock = the(page, "2026-04-11 09:00")
    assert (stock.really, stock.factor, stock.learned) == (36, 1.2, True)
    assert isclose(stock.need_week or 0, 7 * 36)


def test_a_part_that_began_earlier_counts_with_the_days_that_lie_within() -> None:
    # Of 100 days the last 28 count, and what was used is taken to be even over them.
    page = FOUR + count("2026-01-01", 9000) + count("2026-04-11", 6000)
    stock = the(page, "2026-04-11 09:00")
    assert stock.really is not None
    assert isclose(stock.really, 30)
    assert isclose(stock.factor, 1)


def test_what_was_counted_long_ago_is_not_learned_from() -> None:
    page = FOUR + count("2026-01-01", 900) + count("2026-01-11", 100)
    assert not the(page, "2026-03-11 09:00").learned


@pytest.mark.parametrize(("left", "factor"), [(0, 2.0), (899, 0.5), (950, 1.0)])
def test_one_slip_in_a_count_does_not_carry_far(left: float, factor: float) -> None:
    # 900 counted; nearly nothing used is held at half the plan, all of it at twice; more than was there is no use.
    page = FOUR + count("2026-04-01", 900) + count("2026-04-11", left)
    assert the(page, "2026-04-11 09:00").factor == factor


def test_a_supply_that_colony_toml_does_not_tell_of_has_its_habit_from_the_counts() -> None:
    page = FOUR + count("2026-04-01", 500, "flies")
    first = the(page, "2026-04-03 09:00", subject="supply/flies")
    assert (first.left, first.need_week, first.runs_out, first.order) == (500, None, None, 0)
    stock = the(page + count("2026-04-11", 400, "flies"), "2026-04-13 09:00", subject="supply/flies")
    assert (stock.really, stock.left, stock.need_week, stock.planned) == (10, 380, 70, None)
    assert f"{stock.runs_out}" == "2026-05-21"


def test_dust_is_not_planned_and_runs_out_by_its_habit() -> None:
    house = house_with(calcium={"use": "dust", "unit": "g"})
    page = FOUR + count("2026-04-01", 100, "calcium", unit="g") + count("2026-04-11", 60, "calcium", unit="g")
    stock = the(page, "2026-04-11 09:00", house, "supply/calcium")
    assert (stock.planned, stock.need_week, stock.unit) == (None, 28, "g")
    assert f"{stock.runs_out}" == "2026-04-26"


def test_insects_weighed_in_g_need_rations_in_g() -> None:
    without = house_with(locusts={"use": "insects", "unit": "g"})
    assert the(FOUR + count("2026-04-10", 1, unit="g"), "2026-04-10 09:00", without).need_week is None
    given_in_g = house_with(locusts=LOCUSTS | {"unit": "g"})
    assert the(FOUR + count("2026-04-10", 1, unit="g"), "2026-04-10 09:00", given_in_g).need_week == 210


def test_two_supplies_for_one_use_share_the_feedings_by_what_was_fed_by_name() -> None:
    house = house_with(locusts=LOCUSTS, roaches=LOCUSTS | {"name": "Roaches"})
    page = FOUR + count("2026-04-10", 1) + count("2026-04-10", 1, "roaches")
    assert the(page, "2026-04-10 09:00", house).need_week == 105
    fed = page + "2026-04-09\n08:00 wattle fed what=roaches\n09:00 karri fed what=ROACHES\n"
    assert the(fed, "2026-04-10 09:00", house, "supply/roaches").need_week == 210 * 3 / 4
    assert the(fed, "2026-04-10 09:00", house).need_week == 210 / 4
    near = page + "2026-04-09\n08:00 wattle fed what=roach\n"
    assert the(near, "2026-04-10 09:00", house, "supply/roaches").need_week == 105


def test_what_is_left_goes_down_by_what_is_used_and_up_by_what_came_in() -> None:
    page = FOUR + count("2026-04-10", 100)
    assert [the(page, f"2026-04-{day} 09:00").left for day in (10, 11, 13, 14)] == [100, 70, 10, 0]
    came = page + count("2026-04-13", 200, kind="stock_in")
    assert [the(came, f"2026-04-{day} 09:00").left for day in (13, 14, 15)] == [210, 180, 150]
    # It was out for a week: what came in then is there, and owes nothing.
    late = page + count("2026-04-20", 200, kind="stock_in")
    assert the(late, "2026-04-21 09:00").left == 170


def test_what_first_came_in_is_reckoned_from_though_it_was_never_counted() -> None:
    stock = the(FOUR + count("2026-04-10", 90, kind="stock_in"), "2026-04-11 09:00")
    assert (stock.counted, stock.left) == (None, 60)


def test_an_order_is_for_two_weeks_when_few_days_are_left() -> None:
    page = FOUR + count("2026-04-10", 180)
    stock = the(page, "2026-04-10 09:00")
    assert (f"{stock.runs_out}", f"{stock.order_on}", stock.order) == ("2026-04-16", "2026-04-11", 0)
    next_day = the(page, "2026-04-11 09:00")
    assert (f"{next_day.order_on}", next_day.order) == ("2026-04-11", 14 * 30 - 150)
    patient = house_with(locusts=LOCUSTS | {"order_days": 1})
    assert the(page, "2026-04-11 09:00", patient).order == 0


def test_the_order_is_no_less_than_lasts_until_the_next_one_comes() -> None:
    slow = house_with(locusts=LOCUSTS | {"order_days": 20})
    assert the(FOUR + count("2026-04-10", 0), "2026-04-10 09:00", slow).order == 20 * 30


def test_the_days_are_the_rooms_across_a_change_of_the_clocks_and_the_end_of_the_year() -> None:
    for counted, now, left in (
        ("2026-10-24", "2026-10-26 08:00", 40),
        ("2026-03-28", "2026-03-30 08:00", 40),
        ("2026-12-30", "2027-01-01 08:00", 40),
        ("2028-02-28", "2028-03-01 08:00", 40),
    ):
        house = house_with(locusts={"use": "insects", "older": 120, "adult": 120})
        page = "2025-01-01 AK\n08:00 wattle arrived name=Wattle hatched=2020-01-01\n" + count(counted, 100)
        stock = the(page, now, house)
        assert stock.left == left, counted


def test_entries_of_tomorrow_do_not_count_yet() -> None:
    page = FOUR + count("2026-04-10", 100)
    assert the(page + count("2026-04-12", 900), "2026-04-11 09:00") == the(page, "2026-04-11 09:00")


HEADS = st.lists(st.sampled_from(["2026-03-20", "2025-09-01", "2024-01-01", "2019-01-01"]), max_size=8)
DAYS_AGO = st.integers(0, 40)
STEPS = st.lists(
    st.tuples(DAYS_AGO, st.sampled_from(["stock_counted", "stock_in"]), st.floats(0, 5_000)), min_size=1, max_size=8
)


def colony_of(hatched: list[str]) -> str:
    heads = [f"08:00 head-{number} arrived name=H{number} hatched={day}" for number, day in enumerate(hatched)]
    return "\n".join(["2026-03-25 AK", *heads, ""])


def steps_of(steps: list[tuple[int, str, float]]) -> str:
    now = at("2026-05-10 09:00")
    return "".join(
        count(f"{now - timedelta(days=ago):%Y-%m-%d}", round(amount, 2), kind=kind)
        for ago, kind, amount in sorted(steps, reverse=True)
    )


@given(heads=HEADS, more=HEADS)
def test_more_heads_need_no_less(heads: list[str], more: list[str]) -> None:
    plan = the(colony_of(heads) + count("2026-05-10", 5), "2026-05-10 09:00")
    larger = the(colony_of([*heads, *more]) + count("2026-05-10", 5), "2026-05-10 09:00")
    assert plan.need_week is not None
    assert larger.need_week is not None
    assert larger.need_week >= plan.need_week
    assert (larger.planned or 0) >= (plan.planned or 0)


@given(heads=HEADS, steps=STEPS)
def test_whatever_was_counted_the_factor_is_held_and_the_end_agrees_with_the_need(
    heads: list[str], steps: list[tuple[int, str, float]]
) -> None:
    now = "2026-05-10 09:00"
    stock = the(colony_of(heads) + steps_of(steps), now)
    assert 0.5 <= stock.factor <= 2
    assert stock.left is not None
    assert stock.left >= 0
    assert stock.need_week is not None
    assert stock.need_fortnight is not None
    assert 0 <= stock.need_week <= stock.need_fortnight
    days = stock.days_left(at(now).date())
    for need, length in ((stock.need_week, 7), (stock.need_fortnight, 14)):
        if abs(need - stock.left) > 1e-6:
            assert (need <= stock.left) == (days is None or days >= length)
    if stock.order:
        assert stock.order >= stock.need_fortnight - stock.left - 1e-6
        assert days is not None
        assert days <= 5
