"""What a hand in a hurry must not do: kill a group, write for a male, lose what was typed, leave the program."""

from __future__ import annotations

from pathlib import Path

import pytest

from rounds.logbook.entries import (
    Corrected,
    Died,
    EggsLaid,
    EnclosureSetUp,
    EnclosureTakenDown,
    Fed,
    Left,
    MatingSeen,
    Moved,
    Noted,
    PutTogether,
    SexSettled,
    StopWalked,
    VetCalled,
    Weighed,
)
from tests.screens.rack import colony, opened
from tests.screens.test_begin import answered

ROOM = """
    2026-03-01 AK
    08:00  b1      enclosure_set_up  name=B1 rack=B
    08:00  b2      enclosure_set_up  name=B2 rack=B
    08:00  b3      enclosure_set_up  name=B3 rack=B
    08:10  wattle  arrived  name=Wattle sex=F place=b1 hatched=2023-03-01
    08:10  karri   arrived  name=Karri sex=M place=b2 hatched=2022-03-01
    08:10  group/young  arrived  name=Young count=10 place=b3 hatched=2026-02-20
    08:20  wattle  weighed  grams=450
    08:20  karri   weighed  grams=510
    08:20  group/young  weighed  grams=3.1
"""
MORNING = "2026-03-02 07:00"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return colony(tmp_path / "colony", ROOM)


# Counts that kill


@pytest.mark.parametrize("keys", [("i", "m", "d"), ("i", "m", "l"), ("i", "m", "l", "down", "s", "up")])
@pytest.mark.parametrize("who", ["young", "wattle"])
async def test_five_enters_in_a_row_kill_and_sell_nobody(who: str, keys: tuple[str, ...], folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("j", *who, "enter", *keys, *["enter"] * 8)
        assert not rack.of(Died)
        assert not rack.of(Left)


async def test_of_a_group_it_is_asked_how_many_and_more_than_one_wants_y(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("j", *"young", "enter", "i", "m", "d", "f2")
        await rack.sees("How many of the group?")
        await rack.press("1", "f2")
        assert [one.count for one in rack.of(Died)] == [1]
        await rack.press("i", "m", "d", "3", "f2")
        await rack.sees("Young: 3 of 9 died", "y write it", "Enter do not write it")
        await rack.press("enter")
        await rack.sees("Not written: how many: 3")
        await rack.press("i", "m", "d", "9", "f2", "y")
        assert [one.count for one in rack.of(Died)] == [1, 9]


async def test_more_gone_than_there_are_is_refused_with_the_sum(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("j", *"young", "enter", "i", "m", "d", *"12", "f2")
        await rack.sees("Young: this does not add up: 10 arrived = 0 alive + 12 died, 2 too many. There are 10 now")
        assert not rack.written


async def test_an_animal_that_died_wants_its_y_too(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("i", "m", "d", "f2")
        await rack.sees("Wattle died.")
        await rack.press("y")
        assert [one.about for one in rack.of(Died)] == ["animal/wattle"]


async def test_an_enclosure_is_taken_down_when_nobody_lives_in_it_and_then_with_y(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("p", "e", "i", "c", "x", "f2")
        await rack.sees("Wattle still lives in B1. Move them first.")
        await rack.press("w", "m", "b", "2", "enter", "j", *"b1", "enter", "i", "c", "x", *["enter"] * 6)
        assert not rack.of(EnclosureTakenDown)
        await rack.press("j", *"b1", "enter", "i", "c", "x", "f2", "y")
        assert [one.about for one in rack.of(EnclosureTakenDown)] == ["enclosure/b1"]


# Sex and life


async def test_what_is_said_of_females_is_refused_for_a_male_in_one_sentence(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("right")
        for keys in (("i", "b", "e"), ("i", "b", "f"), ("e",), ("l",)):
            await rack.press(*keys)
            await rack.sees("Karri is a male")
        assert not rack.written


async def test_a_mating_written_from_his_side_is_about_her(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("right", "i", "b", "m")
        await rack.sees("female", "Wattle F, B1")
        await rack.press(*"wat", "f2")
        assert [(one.about, one.sire) for one in rack.of(MatingSeen)] == [("animal/wattle", "animal/karri")]
        await rack.sees("Wattle: mating seen with Karri")
        await rack.press("i", "b", "t", *"wat", "f2", "n")
        assert [(one.about, one.mate) for one in rack.of(PutTogether)] == [("animal/wattle", "animal/karri")]


async def test_a_mating_from_his_side_without_her_is_refused(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("right", "i", "b", "m", "f2")
        await rack.sees("Karri is a male: write it about her, or say with whom.")
        assert not rack.written


async def test_a_mating_put_right_with_the_male_as_the_one_it_is_about_is_turned_round(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("i", "b", "m", *"kar", "f2", "p", "x", "c")
        await rack.press("up", *"karri", "enter", *"wattle", "f2", "enter")
        assert {(one.about, one.sire) for one in rack.of(MatingSeen)} == {("animal/wattle", "animal/karri")}
        (correction,) = rack.of(Corrected)
        assert correction.was == "mating seen with Karri"


async def test_an_entry_about_the_dead_is_asked_about_and_only_y_writes_it(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("i", "m", "d", "f2", "y", "j", *"wattle", "enter")
        assert rack.screen == "SubjectScreen"
        await rack.press("b", "h")
        await rack.sees("Wattle: died on 2 Mar 2026 (AK). This would be after that.")
        await rack.press("enter")
        await rack.press("4", "5", "0", "enter", "enter")
        assert not rack.of(Weighed)
        await rack.press("i", "s", "n", *"buried", "f2")
        assert [one.note for one in rack.of(Noted)] == ["buried"], "what is noted afterwards is not asked about"
        rack.clock.forward(hours=3)
        await rack.press("i", "s", "w", *"448", "enter", *"yesterday 18", "f2")
        assert [one.grams for one in rack.of(Weighed)] == [448], "what was seen before is in order"


# Weights


@pytest.mark.parametrize(
    ("who", "digits", "told"),
    [
        ("wattle", "45", "90 % less than 450 g"),
        ("wattle", "700", "56 % more than 450 g"),
        ("young", "31", "900 % more than 3.1 g"),
    ],
)
async def test_a_far_off_weight_is_asked_about_at_the_form_too(
    who: str, digits: str, told: str, folder: Path
) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("j", *who, "enter", "i", "s", "w", *digits, "f2")
        await rack.sees(told, "Is that what the scale says?")
        await rack.press("enter")
        assert not rack.of(Weighed)
        await rack.press("i", "s", "w", *digits, "f2", "y")
        assert [one.grams for one in rack.of(Weighed)] == [float(digits)]


async def test_a_weight_that_was_agreed_to_is_asked_about_once(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press(*"700", "enter", "y")
        assert [one.grams for one in rack.of(Weighed)] == [700]
        await rack.sees("Wattle: 700 g")


# The walk


async def test_enter_at_a_tub_that_has_become_empty_writes_the_stop_and_no_feed(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.sees("feed insects")
        await rack.press("m", "b", "2", "enter")
        await rack.sees("nobody lives here", "nothing is due here")
        await rack.press("enter")
        assert not rack.of(Fed)
        assert [one.about for one in rack.of(StopWalked)] == ["enclosure/b1"]
        assert len(rack.of(Moved)) == 1


async def test_enter_where_the_last_one_has_died_writes_the_stop_and_no_feed(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("i", "m", "d", "f2", "y", "enter")
        assert not rack.of(Fed)
        assert [one.about for one in rack.of(StopWalked)] == ["enclosure/b1"]


@pytest.mark.parametrize(
    "other", [("b", "h"), ("right", "left"), ("p", "backspace"), ("a", "w"), ("up",), ("n", "escape")]
)
async def test_still_open_is_said_again_after_any_other_key(other: tuple[str, ...], tmp_path: Path) -> None:
    folder = colony(tmp_path / "colony", ROOM.replace("08:20  wattle  weighed  grams=450\n", ""))
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("enter")
        await rack.sees("Still open: weigh Wattle")
        await rack.press(*other)
        await rack.press("enter")
        await rack.sees("Still open: weigh Wattle")
        assert not rack.of(StopWalked)
        await rack.press("enter")
        assert [one.about for one in rack.of(StopWalked)] == ["enclosure/b1"]


# Backspace


async def test_backspace_says_what_it_would_drop_before_it_does(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("c", *"39.5", "enter", "backspace")
        await rack.sees("cool end", "Backspace again drops what you wrote: 39.5 °C.")
        await rack.press("2", "backspace", "backspace")
        await rack.sees("cool end", "Backspace again drops")
        await rack.press("backspace")
        await rack.sees("Not written: 39.5 °C.")
        assert not rack.written


async def test_a_figure_that_was_doubted_is_not_missed(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press(*"45", "enter", "enter", "backspace")
        assert rack.app.walk_screen.ask is None
        assert not rack.written


async def test_what_escape_drops_is_said(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("n", *"left foot", "escape")
        await rack.sees("Not written: “left foot”.")
        await rack.press("i", "b", "e", *"18", "escape")
        await rack.sees("Not written: eggs in all: 18.")
        assert not rack.of(EggsLaid)


async def test_a_form_filled_is_not_lost_by_backspace_at_the_question_behind_it(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("i", "b", "t", *"karri", "f2", "backspace")
        await rack.sees("Who moves?", "Backspace again drops what you wrote: male: Karri.")
        await rack.press("m")
        assert len(rack.of(PutTogether)) == 1


async def test_backspace_leaves_ticks_where_they_are(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("i", "s", "c", "1", "c", "backspace")
        await rack.sees("signs lethargy, sore mouth", "Its own key takes a tick away")


async def test_backspace_never_leaves_the_program_before_the_first_colony(tmp_path: Path) -> None:
    app, text = await answered(tmp_path / "shed", *["backspace"] * 3)
    assert app.return_value is None
    assert "Begin a colony" in text
    _, text = await answered(tmp_path / "shed", "enter", *"Shed", "enter", "ctrl+u", "backspace")
    assert "Backspace again drops what you wrote: “Shed”." in text
    _, text = await answered(
        tmp_path / "shed", "enter", *"Shed", "enter", "ctrl+u", "backspace", "backspace", "enter"
    )
    assert "Shed_" in text, "the name is kept for the next try"


async def test_notes_for_the_next_keeper_stay_when_the_sheet_is_left(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("h", "n", *"ring the vet", "enter", "backspace", "right", "h", "pagedown")
        await rack.sees("ring the vet")
        await rack.press("n")
        await rack.sees("For the next keeper ring the vet _")


async def test_initials_typed_are_not_dropped_by_one_backspace_at_a_vet_matter(tmp_path: Path) -> None:
    page = ROOM + "    2026-03-01 AK\n    19:00  wattle  condition_seen  signs=prolapse\n"
    async with opened(colony(tmp_path / "colony", page), MORNING) as rack:
        await rack.press("enter", "e", "m", "enter", "backspace")
        await rack.sees("Backspace again drops what you wrote: the initials “em”.")
        await rack.press("y")
        assert rack.desk.keeper == "EM"


# Pages


async def test_z_takes_back_on_a_page_and_the_cursor_stays_on_its_entry(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("p", *"455", "enter", "down", "down")
        await rack.sees("> yesterday 08:10 AK arrived")
        await rack.press("z")
        await rack.sees("Take back what you wrote at 07:00?", "weighed 455 g")
        await rack.press("enter")
        (correction,) = rack.of(Corrected)
        assert correction.was == "weighed 455 g"
        await rack.sees("> yesterday 08:10 AK arrived")


async def test_a_correction_keeps_the_cursor_on_the_entry_and_the_time_to_the_second(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("p", *"455", "enter", "x", "c", *"456", "f2", "enter")
        first, right = rack.of(Weighed)
        assert (right.grams, right.at) == (456, first.at)
        await rack.sees("(corrected 07:00 AK) weighed 455 g")
        await rack.sees("> 07:00 AK (corrected")  # however far apart the columns stand


# What cannot be, and what is hardly so


async def test_z_does_not_take_an_arrival_back_from_one_that_others_have_written_about(tmp_path: Path) -> None:
    page = """
        2026-03-02 EM
        06:00  b1      enclosure_set_up  name=B1
        2026-03-02 AK
        06:10  wattle  arrived  name=Wattle sex=F place=b1 hatched=2023-03-01
        2026-03-02 EM
        06:20  wattle  egg_check_done  present=straining
    """
    async with opened(colony(tmp_path / "colony", page), MORNING, keeper="AK") as rack:
        await rack.press("z")
        await rack.sees("Wattle has other entries: correct the arrival instead, or write that she left.")
        await rack.press("y")
        assert not rack.written


async def test_a_male_with_eggs_felt_wants_his_y_on_the_screen(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("i", "b", "m", *"kar", "f2", "i", "m", "s", "m", "f2")
        await rack.sees("Wattle: noted as of a female: a mating on 2 Mar 2026. Is it a male?")
        await rack.press("enter")
        assert not rack.of(SexSettled)
        await rack.press("i", "m", "s", "m", "f2", "y")
        assert [one.sex for one in rack.of(SexSettled)] == ["M"]


async def test_the_vets_next_day_is_held_against_the_day_of_the_call_on_the_screen(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("i", "v", "c", *"wait", "down", "down", *"2026-03-01", "f2")
        await rack.sees("Wattle: the vet's next day has to be after 2 Mar 2026, the day of this entry.")
        await rack.press("i", "v", "c", *"wait", "down", "down", *"1 mar", "f2")
        await rack.sees("Wattle: the vet's next day is 364 days away, 1 Mar 2027. Is that the day?")
        await rack.press("enter")
        assert not rack.of(VetCalled)


async def test_a_group_weighed_beyond_what_an_entry_takes_is_refused_before_it_is_asked_about(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("j", *"young", "enter", *"52400/2", "enter")
        await rack.sees("26200 g is too much: at most 5000 g can be written.")
        await rack.press(*["backspace"] * 7, *"3.1.1", "enter")
        await rack.sees("3.1.1", "Type a number, then Enter")
        await rack.press(*["backspace"] * 2, "enter")
        assert [one.grams for one in rack.of(Weighed)] == [3.1]
        await rack.press("i", "s", "w", *"9000", "f2")
        await rack.sees("weight: 9000 g is too much: at most 5000 g.")


# Names that stand already, and stops that are done


async def test_a_second_tub_of_a_name_is_asked_about_once_and_only_y_sets_it_up(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("f2", "e", *"b1", "f2")
        await rack.sees("There is a B1 already. Another one?")
        await rack.press("enter")
        assert not rack.of(EnclosureSetUp)
        await rack.press("f2", "e", *"b1", "f2", "y")
        assert [(one.about, one.name) for one in rack.of(EnclosureSetUp)] == [("enclosure/b1-2", "b1")]


async def test_enter_at_a_stop_that_is_done_says_by_whom_and_writes_nothing_before_a_second_enter(
    folder: Path,
) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("right", "enter", "enter", "j", *"b2", "enter")
        rack.news()
        await rack.press("enter")
        await rack.sees("Done at 07:00 by AK.", "Enter again does it again; → only goes on.")
        assert rack.news() == []
        await rack.press("enter")
        assert "stop_walked enclosure/b2" in rack.news()
