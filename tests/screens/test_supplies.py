"""Supplies and the next fourteen days on the screens: keys in, entries out, and what the keeper sees."""

from __future__ import annotations

from pathlib import Path

import pytest

from rounds.logbook.entries import AppointmentEnded, AppointmentMade, Corrected, StockCounted, StockIn
from tests.screens.rack import Rack, colony, opened

ROOM = """
    2026-03-01 AK
    08:00  b1      enclosure_set_up  name=B1
    08:00  b2      enclosure_set_up  name=B2
    08:10  wattle  arrived  name=Wattle sex=F place=b1 hatched=2023-06-01
    08:10  karri   arrived  name=Karri sex=M place=b2 hatched=2023-06-01
    2026-04-01 AK
    08:20  roaches  stock_counted  amount=500
    2026-04-05 AK
    08:20  locusts  stock_counted  amount=900
    2026-04-11 AK
    08:20  roaches  stock_counted  amount=400
"""
SUPPLIES = '\n[supplies.locusts]\nuse = "insects"\nadult = 10\n\n[supplies.calcium]\nuse = "dust"\nunit = "g"\n'


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    made = colony(tmp_path / "colony", ROOM)
    with (made / "colony.toml").open("a", encoding="utf-8") as file:
        file.write(SUPPLIES)
    return made


async def at_supplies(rack: Rack) -> None:
    await rack.press("v", "u")
    await rack.sees("supplies", "locusts", "roaches", "calcium")


async def test_a_supply_is_counted_in_four_keys_where_the_cursor_stands(folder: Path) -> None:
    async with opened(folder, "2026-04-12 07:00", keeper="AK") as rack:
        await at_supplies(rack)
        await rack.sees("> roaches", "nothing to order")
        rack.count()
        await rack.press("2", "0", "5", "enter")
        assert rack.count() == 4
        (counted,) = rack.of(StockCounted)
        assert (counted.about, counted.amount, counted.unit, counted.name) == ("supply/roaches", 205, "pieces", "")
        await rack.sees("roaches: 205 pieces counted.", "> roaches")
        await rack.press("z", "y")
        assert rack.of(Corrected)
        await rack.sees("400 counted yesterday")


async def test_what_came_in_is_written_and_the_order_goes(folder: Path) -> None:
    async with opened(folder, "2026-04-12 07:00", keeper="AK") as rack:
        await at_supplies(rack)
        while "> locusts" not in rack.board_text:
            await rack.press("down")
        await rack.press(*"20", "enter")
        await rack.sees("1 to order", "Order today: locusts: 260 pieces", "runs out tomorrow")
        await rack.press("i", *"1000", "enter")
        (came,) = rack.of(StockIn)
        assert (came.about, came.amount) == ("supply/locusts", 1000)
        await rack.sees("nothing to order", "locusts: 1,000 pieces came in.", "> locusts")


async def test_what_came_in_has_its_price_on_the_form_and_the_colonys_currency(folder: Path) -> None:
    toml = folder / "colony.toml"
    toml.write_text(toml.read_text().replace('# currency = "AUD"', 'currency = "AUD"'))
    async with opened(folder, "2026-04-12 07:00", keeper="AK") as rack:
        rack.app.open_subject("supply/roaches")
        await rack.press("i", "c", "i")
        await rack.sees("came in", "price", "currency")
        await rack.press(*"300", "down", "down", "down", *"1.250", "f2")
        await rack.sees("price: 1.250 may be 1250 or 1.25: write one of the two.")
        assert rack.of(StockIn) == []
        await rack.press("backspace", "f2")
        (came,) = rack.of(StockIn)
        assert (came.amount, came.price, came.currency) == (300, 1.25, "AUD")
        # In a currency of three decimals it is one sum and no other.
        await rack.press("i", "c", "i", *"500", *["down"] * 4, *"KWD", "up", *"1.250", "f2")
        assert [(one.price, one.currency) for one in rack.of(StockIn)[1:]] == [(1.25, "KWD")]


async def test_a_comma_that_may_part_thousands_is_refused_and_one_that_cannot_is_a_point(folder: Path) -> None:
    async with opened(folder, "2026-04-12 07:00", keeper="AK") as rack:
        await at_supplies(rack)
        await rack.press(*"1,250", "enter")
        await rack.sees("1,250 may be 1250 or 1.250: write one of the two.")
        assert rack.of(StockCounted) == []
        await rack.press("backspace", "enter")
        assert [one.amount for one in rack.of(StockCounted)] == [1.25]


async def test_a_far_off_count_is_asked_about_once(folder: Path) -> None:
    async with opened(folder, "2026-04-12 07:00", keeper="AK") as rack:
        await at_supplies(rack)
        await rack.press(*"9000", "enter")
        await rack.sees("roaches: 9,000 counted, but only 400 can be there. Did more come in?")
        await rack.press("n")
        assert rack.of(StockCounted) == []


async def test_a_supply_of_colony_toml_is_opened_by_its_first_count_in_its_own_unit(folder: Path) -> None:
    async with opened(folder, "2026-04-12 07:00", keeper="AK") as rack:
        await at_supplies(rack)
        while "> calcium" not in rack.board_text:
            await rack.press("down")
        await rack.sees("not counted yet")
        await rack.press(*"120", "enter")
        (counted,) = rack.of(StockCounted)
        assert (counted.about, counted.unit) == ("supply/calcium", "g")


async def test_another_supply_begins_with_its_name_and_how_much_there_is(folder: Path) -> None:
    async with opened(folder, "2026-04-12 07:00", keeper="AK") as rack:
        await at_supplies(rack)
        await rack.press("n", *"Fruit flies (big)", "enter", *"300", "f2")
        (counted,) = rack.of(StockCounted)
        assert (counted.about, counted.name, counted.amount) == ("supply/fruit-flies-big", "Fruit flies (big)", 300)
        await rack.sees("Fruit flies (big): 300 pieces counted.")
        await rack.press("n", *"LOCUSTS", "enter", *"70", "f2")
        assert [one.about for one in rack.of(StockCounted)] == ["supply/fruit-flies-big", "supply/locusts"]


async def test_the_page_of_a_supply_has_its_history_and_takes_a_count_and_a_correction(folder: Path) -> None:
    async with opened(folder, "2026-04-12 07:00", keeper="AK") as rack:
        await at_supplies(rack)
        await rack.press("enter")
        await rack.sees("roaches supply", "Runs out 21 May", "in stock 500 pieces", "Used a day: 10")
        await rack.press(*"350", "enter")
        assert [one.amount for one in rack.of(StockCounted)] == [350]
        await rack.press("x", "t", "1", "enter")
        assert [one.about for one in rack.of(Corrected)] == ["supply/roaches"]
        await rack.press("i", "c")
        await rack.sees("stock counted", "stock came in")
        await rack.press("i", *"20", "f2")
        assert [one.amount for one in rack.of(StockIn)] == [20]


async def test_without_any_supply_a_keeper_is_told_how_to_begin(tmp_path: Path) -> None:
    bare = colony(tmp_path / "bare", ROOM.partition("    2026-04-01")[0])
    async with opened(bare, "2026-04-12 07:00", keeper="AK") as rack:
        await rack.press("v", "u")
        await rack.sees("No supply is known yet.", "n begins one")
        await rack.press("down", "enter", "z")
        await rack.press("5")
        await rack.sees("A supply not counted yet")


async def test_the_fortnight_goes_to_the_page_and_to_the_stop_and_back(folder: Path) -> None:
    async with opened(folder, "2026-04-12 07:00", keeper="AK") as rack:
        await rack.press("v", "f")
        await rack.sees("the next fourteen days", "> Sun 12 Apr weigh", "Karri; Wattle", "Sat 18 Apr")
        await rack.press("enter")
        await rack.sees("Which (weigh)", "Karri", "Wattle")
        await rack.press("down", "enter")
        await rack.sees("Wattle animal lives in B1")
        await rack.press("backspace")
        await rack.sees("the next fourteen days")
        await rack.press("g", *"kar", "enter")
        assert rack.screen == "WalkScreen"
        await rack.sees("B2")


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (60, 12)])
async def test_every_line_of_the_fortnight_can_be_reached(folder: Path, size: tuple[int, int]) -> None:
    async with opened(folder, "2026-04-12 07:00", keeper="AK", size=size) as rack:
        await rack.press("v", "f")
        await rack.press("pagedown", "pagedown", "pagedown", "pagedown")
        await rack.sees("> Sat 25 Apr")
        await rack.press("pageup", "pageup", "pageup", "pageup")
        await rack.sees("> Sun 12 Apr")


async def test_an_appointment_is_made_on_the_page_and_answered_from_its_matter(folder: Path) -> None:
    async with opened(folder, "2026-04-12 07:00", keeper="AK") as rack:
        await rack.press("p")
        await rack.sees("Wattle animal")
        await rack.press("i", "v", "a", *"+2d", "enter", *"1030", "enter", *"the vet", "f2")
        (made,) = rack.of(AppointmentMade)
        assert (made.about, f"{made.on}", made.clock, made.whom) == (
            "animal/wattle",
            "2026-04-14",
            "10:30",
            "the vet",
        )
        await rack.press("v", "f")
        await rack.comes("Tue 14 Apr appointment Wattle: the vet 10:30")
        rack.clock.set("2026-04-14 07:00")
        rack.app.shift.reckon_now()
        await rack.press("a")
        await rack.sees("Wattle: the vet 10:30. Today.")
        rack.clock.set("2026-04-15 07:00")
        rack.app.shift.reckon_now()
        await rack.press("up")
        await rack.sees("> watch B1 Wattle: the vet 10:30. 14 Apr: was it kept?")
        await rack.press("d", "y", "n")
        (ended,) = rack.of(AppointmentEnded)
        assert (ended.about, f"{ended.on}", ended.how) == ("animal/wattle", "2026-04-14", "not kept")
        await rack.sees_not("was it kept?")


async def test_an_hour_that_is_none_is_refused_where_it_is_typed(folder: Path) -> None:
    async with opened(folder, "2026-04-12 07:00", keeper="AK") as rack:
        await rack.press("p", "i", "v", "a", *"+2d", "enter", *"25:00", "enter")
        await rack.sees("at: write an hour, such as 10:30.")
        assert rack.of(AppointmentMade) == []


async def test_a_supply_is_jumped_to_by_a_few_letters(folder: Path) -> None:
    async with opened(folder, "2026-04-12 07:00", keeper="AK") as rack:
        await rack.press("j", *"loc", "enter")
        await rack.sees("locusts supply")


async def test_any_entry_asks_about_the_appointment_that_waits(folder: Path) -> None:
    async with opened(folder, "2026-04-12 07:00", keeper="AK") as rack:
        await rack.press("p", "i", "v", "k")
        await rack.sees("What became of an appointment: Wattle", "it was for")
        await rack.press("escape", "i", "v", "a", *"+2d", "enter", *"1030", "enter", *"the vet", "f2")
        await rack.sees("appointment on 14 Apr at 10:30, the vet")
        await rack.press("i", "v", "k")
        await rack.sees("14 Apr, the vet 10:30: was it kept?")
        await rack.press("k")
        (ended,) = rack.of(AppointmentEnded)
        assert (f"{ended.on}", ended.how) == ("2026-04-14", "kept")


async def test_of_two_appointments_on_one_day_the_other_still_waits(folder: Path) -> None:
    async with opened(folder, "2026-04-12 07:00", keeper="AK") as rack:
        await rack.press("p", "i", "v", "a", *"+2d", "enter", *"0930", "enter", *"Ann", "f2")
        await rack.press("i", "v", "a", *"+2d", "enter", *"1030", "enter", *"the vet", "f2")
        await rack.press("i", "v", "k", "1", "k")
        (ended,) = rack.of(AppointmentEnded)
        assert (f"{ended.on}", ended.whom, ended.clock) == ("2026-04-14", "Ann", "09:30")
        await rack.press("i", "v", "k")
        await rack.sees("14 Apr, the vet 10:30: was it kept?")


@pytest.mark.parametrize("size", [(60, 16), (80, 24), (120, 40), (160, 50)], ids=str)
async def test_no_column_of_the_supplies_is_cut_whatever_the_size(folder: Path, size: tuple[int, int]) -> None:
    async with opened(folder, "2026-04-12 08:00", keeper="EM", size=size) as rack:
        await at_supplies(rack)
        table = [row.partition("│")[0] for row in (await rack.text()).split("\n")[2:6]]
        assert table[0].split()[:3] == ["left", "7", "days"]
        assert not any("…" in row for row in table)
