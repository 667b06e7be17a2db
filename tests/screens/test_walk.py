"""The walk, key by key."""

from __future__ import annotations

from pathlib import Path

import pytest

from rounds.desk.desk import Desk
from rounds.logbook.drafts import draft
from rounds.logbook.entries import (
    Ate,
    BehaviourSeen,
    Cleaned,
    ClimateRead,
    Corrected,
    EnclosureSetUp,
    Fed,
    LeftOut,
    Moved,
    Noted,
    StopWalked,
    Weighed,
)
from tests.screens.rack import Clock, colony, kinds, opened

#: Three tubs; in the third live two. Everything is done and weighed on the day before.
ROOM = """
    2026-03-01 AK
    08:00  b1      enclosure_set_up  name=B1 rack=B tag=TUB-0001
    08:00  b2      enclosure_set_up  name=B2 rack=B tag=TUB-0002
    08:00  b3      enclosure_set_up  name=B3 rack=B tag=TUB-0003
    08:10  wattle  arrived  name=Wattle sex=F place=b1 hatched=2023-03-01 tag=WAT
    08:10  karri   arrived  name=Karri sex=M place=b2 hatched=2022-03-01
    08:10  sedge   arrived  name=Sedge sex=F place=b3 hatched=2023-06-01
    08:10  fern    arrived  name=Fern sex=F place=b3 hatched=2023-06-01
    08:20  wattle  weighed  grams=450
    08:20  karri   weighed  grams=510
    08:20  sedge   weighed  grams=400
    08:20  fern    weighed  grams=410
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return colony(tmp_path / "colony", ROOM)


async def test_a_plain_stop_is_one_key_and_nothing_is_written_before_it(folder: Path) -> None:
    async with opened(folder, "2026-03-02 07:00", keeper="AK") as rack:
        await rack.sees("B1", "stop 1 of 3", "Wattle", "feed insects", "spot clean")
        assert rack.news() == []
        await rack.press("enter")
        assert rack.count() == 1
        assert rack.news() == [
            "fed enclosure/b1",
            "fed enclosure/b1",
            "watered enclosure/b1",
            "cleaned enclosure/b1",
            "stop_walked enclosure/b1",
        ]
        await rack.sees("B2", "stop 2 of 3, 1 done")


async def test_what_wants_a_look_holds_the_walk_up_once(tmp_path: Path) -> None:
    folder = colony(tmp_path / "colony", ROOM.replace("08:20  karri   weighed  grams=510\n", ""))
    async with opened(folder, "2026-03-02 07:00", keeper="AK") as rack:
        await rack.press("enter", "enter")
        await rack.sees("B2", "Still open: weigh Karri")
        assert [entry.about for entry in rack.of(StopWalked)] == ["enclosure/b1"]
        assert [entry.about for entry in rack.of(Cleaned)] == ["enclosure/b1", "enclosure/b2"]
        await rack.press("enter")
        assert [entry.about for entry in rack.of(StopWalked)] == ["enclosure/b1", "enclosure/b2"]
        await rack.sees("B3")


async def test_a_weight_is_typed_straight_in(folder: Path) -> None:
    async with opened(folder, "2026-03-02 07:00", keeper="AK") as rack:
        await rack.write("452")
        await rack.press("enter")
        assert rack.count() == 4
        assert [(entry.about, entry.grams) for entry in rack.of(Weighed)] == [("animal/wattle", 452)]


async def test_a_weight_with_a_decimal_from_the_number_pad(folder: Path) -> None:
    async with opened(folder, "2026-03-02 07:00", keeper="AK") as rack:
        await rack.press("4", "5", "2", "decimal", "5", "enter")
        assert [entry.grams for entry in rack.of(Weighed)] == [452.5]


async def test_a_weight_read_again_in_the_shift_says_which_one_counts(folder: Path) -> None:
    async with opened(folder, "2026-03-02 07:00", keeper="AK") as rack:
        for grams in ("452", "460", "454"):
            await rack.write(grams)
            await rack.press("enter")
        await rack.sees("Wattle: 454 g; 454 g counts, median of 3 readings")
        await rack.sees("454 g", "weight: median of 3 readings")
        assert [entry.grams for entry in rack.of(Weighed)] == [452, 460, 454]


async def test_a_weight_far_off_is_asked_about_once_and_only_once(folder: Path) -> None:
    async with opened(folder, "2026-03-02 07:00", keeper="AK") as rack:
        await rack.write("542")
        await rack.press("enter")
        await rack.sees("Wattle: 542 g is 20 % more than 450 g on 1 Mar", "Is that what the scale says?")
        assert not rack.of(Weighed)
        await rack.press("enter")  # the thumb is on Enter already, so that says no: it is typed again
        assert not rack.of(Weighed)
        await rack.write("542")
        await rack.press("enter", "y")
        assert [entry.grams for entry in rack.of(Weighed)] == [542]
        await rack.sees_not("Is that what the scale says?")


async def test_a_weight_of_nothing_or_of_a_ton_is_not_written(folder: Path) -> None:
    async with opened(folder, "2026-03-02 07:00", keeper="AK") as rack:
        await rack.press("0", "enter")
        await rack.sees("A weight of nothing was not written")
        await rack.write("999999")
        await rack.press("enter")
        await rack.sees("999999 g is too much: at most 5000 g can be written.")
        await rack.press("y", *["backspace"] * 6, *"450.1.2", "enter")
        await rack.sees("450.1.2", "Type a number, then Enter")
        assert not rack.of(Weighed)


async def test_a_behaviour_is_two_keys_and_three_when_it_is_not_known_who(folder: Path) -> None:
    async with opened(folder, "2026-03-02 07:00", keeper="AK") as rack:
        await rack.press("b", "h")
        assert rack.count() == 2
        await rack.press("right", "right")
        await rack.sees("Sedge", "Fern", "one of them, not known which")
        rack.count()
        await rack.press("b", "u", "d")
        assert rack.count() == 3
        assert [(entry.about, entry.behaviour) for entry in rack.of(BehaviourSeen)] == [
            ("animal/wattle", "head bobbing"),
            ("enclosure/b3", "nest digging"),
        ]
        await rack.sees("TODAY B3: one of them has dug since 2 Mar. Which?")


async def test_the_row_for_one_not_known_takes_a_behaviour_in_two_keys(folder: Path) -> None:
    async with opened(folder, "2026-03-02 07:00", keeper="AK") as rack:
        await rack.press("right", "right", "down", "down")
        await rack.sees("> ? one of them, not known which")
        rack.count()
        await rack.press("b", "1")
        assert rack.count() == 2
        assert [entry.about for entry in rack.of(BehaviourSeen)] == ["enclosure/b3"]
        await rack.press("4", "2")
        await rack.sees("Select the animal first")
        assert not rack.of(Weighed)


async def test_a_line_is_left_out_with_its_reason(folder: Path) -> None:
    async with opened(folder, "2026-03-02 07:00", keeper="AK") as rack:
        await rack.press("o", "1")
        await rack.sees("Why?", "1 asleep")
        await rack.write("brumating, let her be")
        await rack.press("enter")
        assert [(entry.care, entry.reason) for entry in rack.of(LeftOut)] == [
            ("feed insects", "brumating, let her be")
        ]
        await rack.sees("left out: brumating, let her be")
        await rack.press("enter")
        assert {entry.food for entry in rack.of(Fed)} == {"greens"}, "what was left out is not written as done"


async def test_nothing_is_left_out_without_a_reason(folder: Path) -> None:
    async with opened(folder, "2026-03-02 07:00", keeper="AK") as rack:
        await rack.press("o", "1", "enter", "enter", "escape")
        assert not rack.written


async def test_take_back_writes_corrections_and_both_stay_readable(folder: Path) -> None:
    async with opened(folder, "2026-03-02 07:00", keeper="AK") as rack:
        await rack.press("enter")
        walked = rack.written
        await rack.press("z")
        await rack.sees("Take back what you wrote at 07:00?", "fed insects")
        await rack.press("enter")
        corrections = rack.of(Corrected)
        assert {entry.replaces for entry in corrections} == {entry.id for entry in walked}
        assert rack.written[: len(walked)] == walked
        await rack.press("left")
        await rack.sees("B1", "stop 1 of 3, 0 done", "feed insects")
        await rack.press("p", "e")
        await rack.sees("(corrected 07:00 AK) fed insects", "taken back")


async def test_take_back_takes_one_key_at_a_time_and_never_anothers(folder: Path) -> None:
    async with opened(folder, "2026-03-02 07:00", keeper="EM") as rack:
        await rack.write("452")
        await rack.press("enter", "n", "x", "enter")
        await rack.press("z", "enter", "z", "enter", "z")
        await rack.sees("There is nothing of yours to take back")
        (weighed,), (noted,) = rack.of(Weighed), rack.of(Noted)
        assert [entry.replaces for entry in rack.of(Corrected)] == [noted.id, weighed.id]


async def test_take_back_knows_one_key_from_another_though_the_clock_went_back(folder: Path) -> None:
    clock = Clock("2026-03-02 07:00")
    async with opened(folder, clock, keeper="AK") as rack:
        await rack.write("452")
        await rack.press("enter")
        clock.forward(minutes=-5)
        await rack.press("n", "x", "enter", "z", "enter")
        assert [entry.replaces for entry in rack.of(Corrected)] == [entry.id for entry in rack.of(Noted)]


async def test_a_jump_by_letters_goes_to_enclosure_animal_or_what_holds_them(folder: Path) -> None:
    async with opened(folder, "2026-03-02 07:00", keeper="AK") as rack:
        await rack.press("j", *"sed", "enter")
        await rack.sees("B3", "stop 3 of 3", "> F Sedge")
        await rack.press("slash", "b", "2", "enter")
        await rack.sees("B2", "Karri")
        await rack.press("j", *"nobody")
        await rack.sees("nothing is called that")
        await rack.press("enter", "escape")
        await rack.sees("B2", "Karri")
        assert not rack.written


async def test_a_label_scanned_as_keys_all_at_once_jumps_and_writes_nothing(folder: Path) -> None:
    async with opened(folder, "2026-03-02 07:00", keeper="AK") as rack:
        await rack.burst("/", *"TUB-0003", "enter")
        await rack.sees("B3", "stop 3 of 3")
        await rack.burst("/", *"wat", "enter", "/", *"TUB-0002", "enter")
        await rack.sees("B2", "stop 2 of 3")
        await rack.press("a")
        await rack.burst("/", *"WAT", "enter")
        await rack.sees("B1", "> F Wattle")
        assert not rack.written


async def test_a_label_scanned_as_a_paste_jumps_from_any_screen(folder: Path) -> None:
    async with opened(folder, "2026-03-02 07:00", keeper="AK") as rack:
        await rack.paste("TUB-0003\r")
        await rack.sees("B3", "stop 3 of 3")
        await rack.paste("/TUB-0002\n")
        await rack.sees("B2", "stop 2 of 3")
        await rack.press("h")
        await rack.paste("WAT")
        await rack.sees("B1", "> F Wattle")
        await rack.paste("TUB-9999")
        await rack.sees("Nothing has the label “TUB-9999”")
        await rack.press("j")
        await rack.paste("TUB-0003\r")
        await rack.sees("B3", "stop 3 of 3")
        assert not rack.written


async def test_a_scanned_label_answers_no_question(folder: Path) -> None:
    async with opened(folder, "2026-03-02 07:00", keeper="AK") as rack:
        await rack.write("542")
        await rack.press("enter")
        await rack.paste("y1\r")
        await rack.sees("Is that what the scale says?")
        await rack.press("n", "escape", "b")
        await rack.paste("d")
        assert not rack.written


async def test_keys_that_arrive_together_reach_the_screen_they_open(folder: Path) -> None:
    async with opened(folder, "2026-03-02 07:00", keeper="AK") as rack:
        await rack.burst("a", "enter", "backspace", "p", "backspace", "b", "h", "n", *"dug", "enter")
        assert kinds(rack.written) == ["behaviour_seen", "noted"]
        assert rack.of(Noted)[0].note == "dug"


async def test_going_on_without_enter_writes_nothing(folder: Path) -> None:
    async with opened(folder, "2026-03-02 07:00", keeper="AK") as rack:
        await rack.press("right", "right", "right", "left", "left", "backspace", "up", "down")
        await rack.sees("B1", "stop 1 of 3, 0 done")
        assert not rack.written


async def test_morning_and_evening_are_two_walks(folder: Path) -> None:
    clock = Clock("2026-03-02 07:00")
    async with opened(folder, clock, keeper="AK") as rack:
        await rack.press("enter", "enter", "enter")
        await rack.sees("The morning walk is done: 3 stops of 3")
        await rack.press("f3")
        await rack.sees("evening walk", "stop 1 of 3, 0 done")
        clock.set("2026-03-02 18:00")
        await rack.press("enter")
        assert [(entry.about, entry.walk) for entry in rack.of(StopWalked)][-1] == ("enclosure/b1", "evening")
    async with opened(folder, clock, keeper="AK") as rack:
        await rack.sees("evening walk", "B2", "stop 2 of 3, 1 done")


async def test_midnight_during_a_walk_parts_nothing(folder: Path) -> None:
    clock = Clock("2026-03-02 23:58")
    async with opened(folder, clock, keeper="AK") as rack:
        await rack.press("enter")
        clock.set("2026-03-03 00:05")
        await rack.press("enter", "enter")
        walked = rack.of(StopWalked)
        assert {(str(entry.day), entry.walk) for entry in walked} == {("2026-03-02", "evening")}
        assert [str(entry.at.date()) for entry in walked] == ["2026-03-02", "2026-03-03", "2026-03-03"]
        await rack.sees("The evening walk is done: 3 stops of 3")
    names = sorted(path.name[:10] for path in folder.glob("sheets/2026/*.jsonl"))
    assert names == ["2026-03-01", "2026-03-02", "2026-03-03"]


async def test_an_app_left_open_over_night_walks_the_morning_walk_of_the_new_day(folder: Path) -> None:
    clock = Clock("2026-03-02 19:00")
    async with opened(folder, clock, keeper="AK") as rack:
        await rack.press("enter")
        clock.set("2026-03-03 07:00")
        rack.app.begin_reckoning()
        await rack.settled()
        await rack.sees("morning walk", "0 done")
        await rack.press("enter")
        assert [(str(entry.day), entry.walk) for entry in rack.of(StopWalked)][-1] == ("2026-03-03", "morning")


async def test_the_clock_striking_the_evening_does_not_turn_the_walk_under_way(folder: Path) -> None:
    clock = Clock("2026-03-02 13:58")
    async with opened(folder, clock, keeper="AK") as rack:
        await rack.press("enter")
        clock.set("2026-03-02 14:30")
        rack.app.begin_reckoning()
        await rack.settled()
        await rack.press("enter", "enter")
        assert {entry.walk for entry in rack.of(StopWalked)} == {"morning"}
        await rack.sees("The morning walk is done")


async def test_the_walk_goes_on_where_it_was_left_though_nobody_said_goodbye(folder: Path) -> None:
    clock = Clock("2026-03-02 07:00")
    async with opened(folder, clock) as rack:
        await rack.press("enter", "a", "k", "enter", "enter")
        await rack.sees("B2", "stop 2 of 3, 1 done")
    async with opened(folder, clock) as rack:
        await rack.sees("AK", "B2", "stop 2 of 3, 1 done", "AK is still on shift here")
        await rack.press("enter")
        assert [(entry.about, entry.by) for entry in rack.of(StopWalked)] == [("enclosure/b2", "AK")]


async def test_entries_of_another_desk_appear_while_a_weight_is_typed(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("rounds.screens.app.LISTEN", 0.02)
    clock = Clock("2026-03-02 07:00")
    async with opened(folder, clock, keeper="AK") as rack:
        other = Desk.open(folder, clock=clock, keeper="EM")
        try:
            assert other.name != rack.desk.name
            await rack.press("right", "right", "down", "4", "0")
            await rack.sees("Weight of Sedge", "40_")
            other.record(draft(Noted, "enclosure/b3", note="seen from the other desk"))
            await rack.comes("seen from the other desk")
            await rack.sees("Weight of Sedge", "40_", "> F Sedge")
            await rack.press("5", "enter")
            assert [(entry.about, entry.grams) for entry in rack.of(Weighed)] == [("animal/sedge", 405)]
        finally:
            other.close()


async def test_a_stop_done_at_both_desks_is_shown_as_done_twice(folder: Path) -> None:
    clock = Clock("2026-03-02 07:00")
    async with opened(folder, clock, keeper="AK") as rack:
        other = Desk.open(folder, clock=clock, keeper="EM")
        try:
            await rack.press("enter", "left")
            clock.forward(minutes=3)
            other.record(draft(StopWalked, "enclosure/b1", walk="morning", day=clock.now.date()))
            rack.app.listen()
            await rack.sees("done 2 times on this walk: AK 07:00 and EM 07:03", "stop 1 of 3, 1 done")
        finally:
            other.close()


async def test_an_animal_another_desk_moved_away_is_selected_no_more(folder: Path) -> None:
    clock = Clock("2026-03-02 07:00")
    async with opened(folder, clock, keeper="AK") as rack:
        other = Desk.open(folder, clock=clock, keeper="EM")
        try:
            await rack.press("right", "right", "down")
            await rack.sees("> F Sedge")
            other.record(draft(Moved, "animal/sedge", to="enclosure/b1"))
            rack.app.listen()
            await rack.sees("> F Fern", "Sedge lives here no more")
        finally:
            other.close()


async def test_food_taken_a_climate_and_a_note_are_a_few_keys_each(folder: Path) -> None:
    async with opened(folder, "2026-03-02 07:00", keeper="AK") as rack:
        await rack.press("f", "r")
        assert rack.count() == 2
        assert [(entry.about, entry.how) for entry in rack.of(Ate)] == [("animal/wattle", "refused")]
        await rack.press("c", *"39.5", "enter", *"24", "enter", "enter", "enter")
        reading = rack.of(ClimateRead)[-1]
        assert (reading.about, reading.basking_c, reading.cool_c, reading.night_low_c) == (
            "enclosure/b1",
            39.5,
            24,
            None,
        )
        await rack.press("n", *"left hind foot swollen?", "enter")
        assert rack.of(Noted)[-1].note == "left hind foot swollen?"


async def test_every_ask_is_broken_off_without_a_trace(folder: Path) -> None:
    async with opened(folder, "2026-03-02 07:00", keeper="AK") as rack:
        for keys in ("4", "b", "e", "l", "f", "c", "n", "o", "i", "z", "j", "f2"):
            await rack.press(keys, "escape")
            assert rack.app.walk_screen.ask is None, keys
        assert not rack.written


async def test_capitals_are_the_same_keys(folder: Path) -> None:
    async with opened(folder, "2026-03-02 07:00", keeper="AK") as rack:
        await rack.press("B", "H")
        assert [entry.behaviour for entry in rack.of(BehaviourSeen)] == ["head bobbing"]


async def test_insects_too_late_today_hold_nobody_up(folder: Path) -> None:
    written = folder / "colony.toml"
    written.write_text('lights_off = "19:30"\n' + written.read_text())
    async with opened(folder, "2026-03-02 19:00", keeper="AK") as rack:
        await rack.sees("insects", "too late today", "stop 1 of")
        await rack.sees_not("weigh  ")
        await rack.press("enter")
        await rack.sees("stop 2 of")


async def test_a_stop_that_another_desk_set_up_just_now_is_found_by_the_jump(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("rounds.screens.app.LISTEN", 3600)
    clock = Clock("2026-03-02 07:00")
    async with opened(folder, clock, keeper="AK") as rack:
        other = Desk.open(folder, clock=clock, keeper="EM")
        try:
            other.record(draft(EnclosureSetUp, "enclosure/z9", name="Z9"))
            await rack.press("slash", *"z9")
            await rack.sees("> Z9")
        finally:
            other.close()
