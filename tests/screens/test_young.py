"""Young by keys: counted, made from a clutch, split, merged, named, reserved, sold; and their screen."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest

from rounds.logbook.entries import (
    Arrived,
    Counted,
    CountSettled,
    Hatched,
    Left,
    Merged,
    Released,
    Reserved,
    SexSettled,
    SingledOut,
    SplitOff,
    Weighed,
)
from rounds.standing.descent import descent_of
from rounds.standing.group import group
from rounds.standing.holding import holds
from tests.notation import standing
from tests.screens.rack import Rack, colony, opened

ROOM = """
    2026-02-01 AK
    08:00  a1      enclosure_set_up  name=A1
    08:00  t1      enclosure_set_up  name=T1
    08:00  t2      enclosure_set_up  name=T2
    08:00  t3      enclosure_set_up  name=T3
    08:00  s1      enclosure_set_up  name=S1 what="incubator shelf"
    08:10  wattle  arrived  name=Wattle sex=F place=a1 hatched=2023-03-01
    08:10  karri   arrived  name=Karri sex=M place=a1 hatched=2022-03-01
    08:30  wattle  eggs_laid  clutch=wattle-1 count=24 complete=true sire=karri
    09:00  wattle-1  eggs_boxed  count=24 place=s1
    2026-04-10 AK
    08:00  wattle-1  hatched  count=20 into=hatch
    08:00  group/hatch  arrived  name=Hatch count=20 place=t1 clutch=wattle-1 hatched=2026-04-10 bred_here=true
    08:00  group/small  arrived  name=Small count=0 place=t2 clutch=wattle-1 hatched=2026-04-10 bred_here=true
    08:00  group/hatch  split_off  into=small count=4
    2026-06-20 AK
    08:00  group/hatch  weighed  grams=6.2 number=16
    08:00  group/small  weighed  grams=4 number=4
"""
NOW = "2026-06-21 09:00"


async def at_the_tub(rack: Rack) -> None:
    """Stand at T1, the group selected."""
    rack.app.walk_to("group/hatch")
    await rack.settled()
    rack.count()


async def test_the_count_that_is_due_is_made_with_one_key_and_the_number_and_no_enter_makes_it(
    tmp_path: Path,
) -> None:
    async with opened(colony(tmp_path, ROOM), NOW, keeper="AK") as rack:
        await at_the_tub(rack)
        await rack.sees("count", "16 reckoned")
        await rack.press("enter")
        assert rack.of(Counted) == []
        await rack.press("g", "1", "6", "enter")
        assert [one.count for one in rack.of(Counted)] == [16]
        await rack.sees_not("16 reckoned")


async def test_a_group_is_counted_in_four_keys(tmp_path: Path) -> None:
    async with opened(colony(tmp_path, ROOM), NOW, keeper="AK") as rack:
        await at_the_tub(rack)
        await rack.sees("g count")
        await rack.press("g", "1", "6", "enter")
        assert rack.count() <= 4
        (counted,) = rack.written
        assert isinstance(counted, Counted)
        assert (counted.about, counted.count) == ("group/hatch", 16)
        await rack.sees("counted 16")


async def test_fewer_than_reckoned_are_asked_about_and_not_swallowed(tmp_path: Path) -> None:
    async with opened(colony(tmp_path, ROOM), NOW, keeper="AK") as rack:
        await at_the_tub(rack)
        await rack.press("g", "1", "4", "enter")
        await rack.sees("2 fewer than the 16 reckoned: 20 arrived = 16 alive + 4 split off", "What became of them?")
        assert rack.written == []
        await rack.press("d")
        await rack.sees("Hatch: 2 of 16 died.")  # the yes that no Enter gives
        await rack.press("y")
        assert rack.news() == ["died group/hatch", "counted group/hatch"]
        await rack.press("g", "1", "3", "enter", "f")
        (settled,) = rack.of(CountSettled)
        assert settled.count == 13
        await rack.sees("13 alive + 2 died + 4 split off + 1 not found")


async def test_only_noted_the_missing_stand_as_a_matter(tmp_path: Path) -> None:
    async with opened(colony(tmp_path, ROOM), NOW, keeper="AK") as rack:
        await at_the_tub(rack)
        await rack.press("g", "1", "5", "enter", "n")
        assert rack.news() == ["counted group/hatch"]
        await rack.press("right", "left")
        await rack.sees("Hatch: 1 missing. Counted 15, reckoned 16.")


async def test_more_than_reckoned_are_asked_about(tmp_path: Path) -> None:
    async with opened(colony(tmp_path, ROOM), NOW, keeper="AK") as rack:
        await at_the_tub(rack)
        await rack.press("g", "1", "8", "enter")
        await rack.sees("2 more than the 16 reckoned")
        await rack.press("m")
        assert rack.news() == ["count_settled group/hatch"]


async def test_a_total_a_number_and_the_smallest_are_one_weighing(tmp_path: Path) -> None:
    async with opened(colony(tmp_path, ROOM), NOW, keeper="AK") as rack:
        await at_the_tub(rack)
        await rack.press(*"64/10/3.1", "enter")
        (weighed,) = rack.of(Weighed)
        assert (weighed.grams, weighed.number, weighed.smallest) == (6.4, 10, 3.1)
        await rack.press("right", "left")
        await rack.sees("Hatch: the smallest weighs 3.1 g, the mean is 6.4 g.")


async def test_a_hatching_makes_a_group_in_one_save(tmp_path: Path) -> None:
    async with opened(colony(tmp_path, ROOM.partition("2026-04-10")[0]), "2026-04-10 09:00", keeper="AK") as rack:
        rack.app.open_subject("clutch/wattle-1")
        await rack.settled()
        await rack.press("i", "b", "h", "1", "2", "f2")
        await rack.sees("Into which group? Its name", "Wattle young")
        await rack.press("enter")
        await rack.sees("Where does Wattle young live", "T1 tub")
        await rack.press("enter")
        hatched, arrived = rack.written
        assert isinstance(hatched, Hatched)
        assert isinstance(arrived, Arrived)
        assert (hatched.count, hatched.into) == (12, arrived.about)
        assert (arrived.name, arrived.count, arrived.place) == ("Wattle young", 12, "enclosure/t1")
        assert (arrived.clutch, arrived.dam, arrived.sire) == ("clutch/wattle-1", "animal/wattle", "animal/karri")
        assert arrived.hatched is not None
        assert arrived.hatched.isoformat() == "2026-04-10"
        # More of them out on the next day: they join the group, in one save too.
        await rack.press("i", "b", "h", "3", "f2")
        assert rack.news()[-2:] == ["hatched clutch/wattle-1", "arrived group/wattle-young"]
        assert rack.desk.standing.card("group/wattle-young").place == "enclosure/t1"
        await rack.press("z", "y")
        await rack.sees("Taken back")


async def to_the_young(rack: Rack) -> None:
    await rack.press("v", "y")
    assert rack.screen == "YoungScreen"


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (60, 14)])
async def test_the_young_stand_by_clutch_with_what_is_due(tmp_path: Path, size: tuple[int, int]) -> None:
    async with opened(colony(tmp_path, ROOM), NOW, keeper="AK", size=size) as rack:
        await to_the_young(rack)
        await rack.sees("Wattle 1", "Hatch", "16 young", "6.2 g", "T1")
        if size[0] >= 80:
            await rack.sees("Wattle × Karri", "20 hatched = 20 alive", "due: count", "never counted", "may be sold")
            await rack.sees("not for sale yet: the mean is 4 g")


async def test_the_growth_stands_whole_beside_a_second_pane(tmp_path: Path) -> None:
    page = ROOM + "    2026-06-14 AK\n    08:00  group/hatch  weighed  grams=6.1 number=16\n"
    for size in ((80, 24), (120, 40), (160, 50)):
        async with opened(colony(tmp_path / str(size[0]), page), NOW, keeper="AK", size=size) as rack:
            await rack.press("v", "y")
            text = await rack.text()
            left = " ".join(one.split("│")[0] for one in text.split("\n"))
            assert re.search(r"under band, +-?[\d.]+ % +a +week", left), text


async def test_split_into_a_new_group_with_its_place_in_one_save(tmp_path: Path) -> None:
    async with opened(colony(tmp_path, ROOM), NOW, keeper="AK") as rack:
        await to_the_young(rack)
        await rack.press("s", "5", "enter")
        await rack.press("up", "up", "enter")  # a new group stands first
        await rack.press("enter")  # the name offered
        await rack.sees("Where does Hatch small live", "T3 tub")
        await rack.press("enter", "1", "enter")
        arrived, split = rack.written
        assert isinstance(arrived, Arrived)
        assert isinstance(split, SplitOff)
        assert (arrived.name, arrived.place, arrived.count, arrived.clutch) == (
            "Hatch small",
            "enclosure/t3",
            0,
            "clutch/wattle-1",
        )
        assert (split.into, split.count, split.why) == (arrived.about, 5, "the small ones")
        await rack.sees("Hatch: 11, Hatch small: 5")


async def test_more_than_there_are_is_refused_with_the_sum(tmp_path: Path) -> None:
    async with opened(colony(tmp_path, ROOM), NOW, keeper="AK") as rack:
        await to_the_young(rack)
        await rack.press("s", *"25", "enter", "down", "enter", "enter")
        assert rack.written == []
        await rack.sees("Hatch: this does not add up", "16 now")


async def test_all_of_a_group_into_another(tmp_path: Path) -> None:
    async with opened(colony(tmp_path, ROOM), NOW, keeper="AK") as rack:
        await to_the_young(rack)
        await rack.press("down", "m", "down", "enter")
        (merged,) = rack.written
        assert isinstance(merged, Merged)
        assert (merged.about, merged.into, merged.count) == ("group/small", "group/hatch", 4)
        await rack.sees("Hatch: 20, those of Small among them", "1 of 1")


async def test_one_gets_a_name_and_takes_dam_sire_clutch_and_day_along(tmp_path: Path) -> None:
    async with opened(colony(tmp_path, ROOM), NOW, keeper="AK") as rack:
        await to_the_young(rack)
        await rack.press("n", *"Mallee", "down", "down", "f", "f2")
        singled, arrived, sexed = rack.written
        assert isinstance(singled, SingledOut)
        assert isinstance(arrived, Arrived)
        assert isinstance(sexed, SexSettled)
        assert (arrived.name, arrived.place, arrived.clutch) == ("Mallee", "enclosure/t1", "clutch/wattle-1")
        assert (arrived.dam, arrived.sire, arrived.bred_here) == ("animal/wattle", "animal/karri", True)
        assert (sexed.sex, sexed.certainty) == ("F", "likely")
        assert singled.animal == arrived.about == sexed.about
        await rack.sees("Mallee", "F, likely", "15 left in Hatch")


async def test_what_some_of_a_group_show_one_that_gets_a_name_may_show_and_it_is_never_said_for_sure(
    tmp_path: Path,
) -> None:
    noted = ROOM + "    09:00  group/hatch  traits_settled  shows=leatherback count=3\n"
    async with opened(colony(tmp_path, noted), NOW, keeper="AK") as rack:
        await to_the_young(rack)
        await rack.press("n")
        await rack.sees("It may show leatherback (noted of 3 young): look")
        await rack.press(*"Mallee", "f2")
        assert [one.traits for one in rack.of(Arrived)] == [()], "nothing is written that no one saw"
        rack.app.open_subject("animal/mallee")
        await rack.sees("may show leatherback (noted of 3 young)")


TWO = (
    ROOM
    + """
    2026-02-01 AK
    08:20  sedge   arrived  name=Sedge sex=F place=a1 hatched=2023-03-01
    08:20  marri   arrived  name=Marri sex=M place=a1 hatched=2022-03-01
    08:40  sedge   eggs_laid  clutch=sedge-1 count=10 complete=true sire=marri
    09:10  sedge-1  eggs_boxed  count=10 place=s1
    2026-04-20 AK
    08:00  sedge-1  hatched  count=8 into=hatch
    08:01  group/hatch  arrived  name=Hatch count=8 place=t1 clutch=sedge-1 dam=sedge sire=marri hatched=2026-04-20
"""
)


async def test_of_two_clutches_in_one_group_no_dam_is_written_that_no_one_knows(tmp_path: Path) -> None:
    async with opened(colony(tmp_path, TWO), NOW, keeper="AK") as rack:
        await to_the_young(rack)
        await rack.press("n", *"Mallee", "f2")
        arrived = next(entry for entry in rack.written if isinstance(entry, Arrived))
        assert (arrived.clutch, arrived.dam, arrived.sire) == (None, None, None)
        assert arrived.possible_sires == ("animal/karri", "animal/marri")


def test_some_of_two_clutches_go_into_a_new_group_with_what_is_known_of_both() -> None:
    known = standing(TWO)
    mixed = group(known, "group/hatch")
    assert descent_of(known, mixed)[:4] == (None, None, None, ("animal/karri", "animal/marri"))
    hers = descent_of(known, mixed, "clutch/wattle-1")
    assert hers[:4] == ("clutch/wattle-1", "animal/wattle", "animal/karri", ())
    assert (hers.hatched, descent_of(known, mixed).hatched) == (date(2026, 4, 10), date(2026, 4, 20))


async def test_reserved_with_a_deposit_and_sold_only_to_whom(tmp_path: Path) -> None:
    folder = colony(tmp_path, ROOM)
    toml = folder / "colony.toml"
    toml.write_text(toml.read_text().replace('# currency = "AUD"', 'currency = "AUD"'))
    async with opened(folder, NOW, keeper="AK") as rack:
        await to_the_young(rack)
        await rack.press("o", "o", "3", "enter", *"Bo", "enter", *"1.250", "enter")
        await rack.sees("1.250 may be 1250 or 1.25: write one of the two.")
        await rack.press(*["backspace"] * 5, *"50", "enter")
        (reserved,) = rack.of(Reserved)
        assert (reserved.whom, reserved.count, reserved.deposit, reserved.currency) == ("Bo", 3, 50, "AUD")
        await rack.press("l", *"14", "down", "s", "down", *"Ann", "f2")
        assert rack.of(Left) == []
        await rack.sees("Hatch is not sold: 3 reserved for Bo, 13 of 16 are free. Set free first: i, y, f")


async def test_too_light_is_not_sold_and_the_rule_is_named(tmp_path: Path) -> None:
    async with opened(colony(tmp_path, ROOM), NOW, keeper="AK") as rack:
        await to_the_young(rack)
        await rack.press("down", "l", "1", "down", "s", "f2")
        assert rack.written == []
        await rack.sees("Small is not sold: the mean is 4 g, 5 g at least (house rule sale.least_grams).")


async def test_the_record_goes_into_a_text_file(tmp_path: Path, home: Path) -> None:
    async with opened(colony(tmp_path, ROOM), NOW, keeper="AK") as rack:
        rack.app.open_subject("group/hatch")
        await rack.settled()
        await rack.press("s")
        await rack.sees("Written to")
        (file,) = home.glob("record-hatch-*.txt")
        text = file.read_text()
        assert "16 young of Hatch" in text
        assert max(len(row) for row in text.split("\n")) <= 80


async def test_the_weight_of_all_typed_as_that_of_one_is_told_how(tmp_path: Path) -> None:
    async with opened(colony(tmp_path / "colony", ROOM), NOW, keeper="AK") as rack:
        await at_the_tub(rack)
        await rack.press(*"102", "enter")
        await rack.sees("Hatch: 102 g is", "All 16 together? Type 102/16.")
        assert not rack.of(Weighed)
        await rack.press(*"102", "/", *"16", "enter")
        assert [(one.grams, one.number) for one in rack.of(Weighed)] == [(6.375, 16)]


HELD = (
    ROOM
    + """
    2026-06-20 AK
    09:00  group/hatch  reserved   whom=Ann count=2
    09:01  group/hatch  reserved   whom=Ben count=3
    09:02  group/hatch  held_back  count=1
"""
)


@pytest.mark.parametrize(
    ("key", "stays"),
    [
        ("1", ""),
        ("e", ""),
        ("2", "3 reserved for Ben, 1 held back"),
        ("3", "2 reserved for Ann, 1 held back"),
        ("4", "2 reserved for Ann, 3 reserved for Ben"),
    ],
)
async def test_what_is_set_free_is_what_stands_behind_the_digit(tmp_path: Path, key: str, stays: str) -> None:
    async with opened(colony(tmp_path, HELD), NOW, keeper="AK") as rack:
        await to_the_young(rack)
        await rack.press("o", "f")
        await rack.sees("1 all of them", "2 2 reserved for Ann", "3 3 reserved for Ben", "4 1 held back")
        await rack.press(key)
        if stays:
            await rack.press("enter")
        assert len(rack.of(Released)) == 1
        assert holds(group(rack.desk.standing, "group/hatch")).says == stays


async def test_some_of_a_reservation_are_set_free(tmp_path: Path) -> None:
    async with opened(colony(tmp_path, HELD), NOW, keeper="AK") as rack:
        await to_the_young(rack)
        await rack.press("o", "f", "3")
        await rack.sees("How many of the 3 reserved for Ben")
        await rack.press("1", "enter")
        assert (
            holds(group(rack.desk.standing, "group/hatch")).says
            == "2 reserved for Ann, 2 reserved for Ben, 1 held back"
        )


OTHERS = """
    2026-02-20 AK
    08:30  wattle  eggs_laid  clutch=wattle-2 count=12 complete=true sire=karri
    09:00  wattle-2  eggs_boxed  count=12 place=s1
"""


@pytest.mark.parametrize(("answer", "into"), [("y", ["group/hatch"]), ("enter", [])])
async def test_young_that_hatch_into_the_group_of_another_clutch_are_asked_about(
    tmp_path: Path, answer: str, into: list[str]
) -> None:
    async with opened(colony(tmp_path, ROOM + OTHERS), NOW, keeper="AK") as rack:
        rack.app.open_subject("clutch/wattle-2")
        await rack.settled()
        await rack.press("i", "b", "h", "5", "down", *"hat", "f2")
        await rack.sees("Young of Wattle 1 and Wattle 2 cannot be told apart once they are together.")
        assert rack.written == []
        await rack.press(answer)
        assert [one.into for one in rack.of(Hatched)] == into


async def test_many_more_than_reckoned_said_to_be_there_are_asked_about_once(tmp_path: Path) -> None:
    async with opened(colony(tmp_path, ROOM), NOW, keeper="AK") as rack:
        await at_the_tub(rack)
        await rack.press("i", "y", "c", "4", "0", "enter")
        await rack.sees("24 more than the 16 reckoned")
        await rack.press("m")
        assert [one.count for one in rack.of(CountSettled)] == [40]


async def test_a_hatching_left_half_typed_is_brought_back_with_its_group(tmp_path: Path) -> None:
    folder = colony(tmp_path, ROOM.partition("2026-04-10")[0])
    async with opened(folder, "2026-04-10 09:00", keeper="AK") as rack:
        rack.app.walk_to("animal/wattle")
        await rack.settled()
        await rack.press("i", "b", "h", "1", "2")
        rack.app.keep_typed()
        assert not rack.written
    async with opened(folder, "2026-04-10 10:00", keeper="AK") as rack:
        await rack.sees("Not written: AK typed this")
        await rack.press("b", "f2")
        await rack.sees("Into which group? Its name")
        await rack.press("enter", "enter")
        assert [type(entry) for entry in rack.written] == [Hatched, Arrived]


async def test_a_key_that_chooses_nothing_is_said(tmp_path: Path) -> None:
    async with opened(colony(tmp_path, ROOM), NOW, keeper="AK") as rack:
        await to_the_young(rack)
        await rack.press("o")
        await rack.sees_not("Nothing chosen")
        await rack.press("enter")
        await rack.sees("held back: not for sale", "Nothing chosen. A key from the list, or Backspace.")
        await rack.press("down")
        await rack.sees_not("Nothing chosen")
        await rack.press("q")
        await rack.sees("Nothing chosen.")
        assert rack.written == []
