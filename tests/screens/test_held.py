"""The rack's accidents: a key that is held or stuck, a wet elbow, a walk faster than legs."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from random import Random

import pytest

from rounds.desk.desk import Desk
from rounds.desk.last_try import Asked
from rounds.logbook.entries import (
    BehaviourSeen,
    ClimateRead,
    Corrected,
    EnclosureSetUp,
    Entry,
    HandedOver,
    StopWalked,
    TakenOver,
    Weighed,
)
from rounds.screens.app import RoundsApp
from rounds.screens.begin import BeginApp
from rounds.screens.keys.register import ALLOWED
from tests.screens.rack import Clock, colony, key_event, kinds, opened

ROOM = """
    2026-03-01 AK
    08:00  b1      enclosure_set_up  name=B1 rack=B tag=TUB-0001
    08:00  b2      enclosure_set_up  name=B2 rack=B tag=TUB-0002
    08:00  b3      enclosure_set_up  name=B3 rack=B tag=TUB-0003
    08:00  b4      enclosure_set_up  name=B4 rack=B tag=TUB-0004
    08:00  b5      enclosure_set_up  name=B5 rack=B tag=TUB-0005
    08:00  b6      enclosure_set_up  name=B6 rack=B tag=TUB-0006
    08:00  b7      enclosure_set_up  name=B7 rack=B tag=TUB-0007
    08:00  b8      enclosure_set_up  name=B8 rack=B tag=TUB-0008
    08:10  wattle  arrived  name=Wattle sex=F place=b1 hatched=2023-03-01
    08:10  karri   arrived  name=Karri sex=M place=b2 hatched=2022-03-01
    08:20  wattle  weighed  grams=450
    08:20  karri   weighed  grams=510
"""
ILL = (
    ROOM
    + "    19:00  animal/wattle  condition_seen  signs=prolapse\n    19:00  karri  condition_seen  signs=prolapse\n"
)
MORNING = "2026-03-02 07:00"
TOO_SOON = "Not taken: Enter came too soon, or is held. Let go for a second."
#: What an elbow on Enter presses too: on the keyboard, and on the number pad.
BESIDE = {
    "the keyboard": [
        "enter",
        "enter",
        "apostrophe",
        "semicolon",
        "right_square_bracket",
        "backslash",
        "slash",
        "full_stop",
        "backspace",
        "p",
        "l",
        "o",
    ],
    "the number pad": ["enter", "enter", "add", "subtract", "3", "6", "9", "0", "2", "decimal", "up", "right"],
}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return colony(tmp_path / "colony", ROOM)


@pytest.fixture
def brisk(folder: Path) -> Path:
    """The same room with legs that are slower than a thumb."""
    with (folder / "colony.toml").open("a", encoding="utf-8") as file:
        file.write("[house_rules.walk]\nlegs_seconds = 3\n")
    return folder


@pytest.fixture
def saves(monkeypatch: pytest.MonkeyPatch) -> list[tuple[Entry, ...]]:
    """Every save, as it is written."""
    found: list[tuple[Entry, ...]] = []
    save = Desk._save

    def noting(desk: Desk, asked: Asked, sign: Callable[[], list[Entry]]) -> tuple[Entry, ...]:
        saved = save(desk, asked, sign)
        found.append(saved)
        return saved

    monkeypatch.setattr(Desk, "_save", noting)
    return found


def stops(entries: list[Entry]) -> list[str]:
    return [entry.about.removeprefix("enclosure/") for entry in entries if isinstance(entry, StopWalked)]


# A key that is held


@pytest.mark.parametrize("wait", [0.25, 0.5, 0.66])
async def test_a_thousand_enters_at_sixty_a_second_are_one_stop(wait: float, folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.hold("enter", 1_000 if wait == 0.5 else 60, first=wait, every=1 / 60)
        assert stops(rack.written) == ["b1"]
        await rack.sees("B2", "stop 2 of 8, 1 done", TOO_SOON)
        await rack.press("enter", after=1.3)
        assert stops(rack.written) == ["b1", "b2"]
        await rack.sees_not(TOO_SOON)


async def test_a_keyboard_that_repeats_twice_a_second_is_told_from_a_keeper_too(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.hold("enter", 40, first=0.66, every=0.5)
        assert stops(rack.written) == ["b1"]


async def test_a_thousand_enters_that_a_slow_machine_reads_late_are_one_stop(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.burst(*["enter"] * 1_000)
        assert stops(rack.written) == ["b1"]


async def test_a_stop_that_holds_the_walk_up_is_not_passed_by_the_same_enter(tmp_path: Path) -> None:
    page = ROOM.replace("    08:20  wattle  weighed  grams=450\n", "")
    async with opened(colony(tmp_path / "colony", page), MORNING, keeper="AK") as rack:
        await rack.hold("enter", 60, first=0.4)
        assert not rack.of(StopWalked)
        await rack.sees("Still open: weigh Wattle", "Then Enter came too soon, or is held: let go for a second.")


async def test_whatever_key_is_held_writes_once_at_most_and_signs_nothing(
    folder: Path, saves: list[tuple[Entry, ...]], monkeypatch: pytest.MonkeyPatch
) -> None:
    left: list[float] = []
    monkeypatch.setattr(RoundsApp, "action_leave", lambda app: left.append(app.pressed_at))
    held = [("w", key) for key in sorted(ALLOWED)]
    held += [(screen, key) for screen, keys in {"a": "yod", "h": "snt", "p": "xzm"}.items() for key in keys]
    async with opened(folder, MORNING, keeper="AK") as rack:
        for screen, key in held:
            await rack.press("escape", "escape", "w", screen, after=2)
            before, saves[:], left[:] = stops(rack.written), [], []
            await rack.hold(key, 8, first=0.4)
            where = f"{key} on {screen}: {saves}"
            assert len(saves) <= 1, where
            assert len(left) <= 1, where
            assert len(stops(rack.written)) <= len(before) + 1, where
        assert not {"handed_over", "taken_over", "corrected"} & set(kinds(rack.written))


@pytest.mark.parametrize(("opens", "answers"), [("b", "b"), ("b", "h"), ("f", "1"), ("f", "w"), ("z", "enter")])
async def test_a_key_that_answers_does_so_once_and_opens_nothing_behind_the_question(
    opens: str, answers: str, folder: Path, saves: list[tuple[Entry, ...]]
) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("enter", "left")
        saves.clear()
        await rack.press(opens)
        await rack.hold(answers, 60, first=0.4)
        assert len(saves) == 1
        assert rack.screen == "WalkScreen"
        assert rack.app.walk_screen.ask is None


async def test_a_held_enter_signs_once_and_takes_nothing_over(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("h", "s")
        await rack.hold("enter", 60, first=0.4)
        assert kinds(rack.written) == ["handed_over"]
        await rack.sees("take over", TOO_SOON)


async def test_what_is_left_out_behind_a_figure_that_was_typed_may_be_left_out_fast(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("c", *"39.5", "enter")
        await rack.hold("enter", 60, first=0.2)
        assert [one.basking_c for one in rack.of(ClimateRead)] == [39.5]
        assert not rack.of(StopWalked)


async def test_a_held_f2_writes_a_form_that_was_filled_in_and_opens_no_other(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("f2", "e", *"b9")
        await rack.hold("f2", 60, first=0.4)
        assert [one.name for one in rack.of(EnclosureSetUp)] == ["b9"]
        await rack.sees_not("Set up or register")


async def test_held_enter_fills_no_form_in(folder: Path, saves: list[tuple[Entry, ...]]) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("i", "s", "c")
        await rack.hold("enter", 60, first=0.4)
        await rack.sees(TOO_SOON)
        assert not saves


async def test_the_keys_behind_one_that_came_too_soon_answer_nothing(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("b")
        await rack.press("b", *"450", "enter", after=0.2)
        assert not rack.written
        await rack.sees("Behaviour of Wattle", "Not taken, 5 keys: Enter came too soon")
        await rack.press("b", after=1.3)
        assert [entry.behaviour for entry in rack.of(BehaviourSeen)] == ["beard blackening"]


async def test_a_steady_thumb_goes_on_after_a_key_that_came_too_soon(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("enter")
        await rack.press("enter", after=0.4)
        await rack.sees(TOO_SOON)
        for _ in range(5):
            await rack.press("enter", after=0.9)
        assert stops(rack.written) == ["b1", "b2", "b3", "b4", "b5", "b6"]


async def test_the_line_about_keys_that_come_too_soon_names_the_last_and_counts_on(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("enter")
        await rack.press("enter", after=0.4)
        await rack.press("enter", after=0.6)
        await rack.sees("Not taken, 2 keys: Enter came too soon, or is held. Let go for a second.")
        await rack.press("b", after=0.3)
        await rack.sees("Not taken, 3 keys: b came too soon, or is held. Let go for a second.")


async def test_what_was_taken_is_said_before_the_key_that_was_not(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press(*"452", "enter")
        await rack.press("enter", after=0.4)
        assert rack.of(Weighed)
        line = "Wattle: 452 g. Then Enter came too soon, or is held: let go for a second."
        assert line in await rack.text(), "whole, in one line of 80 columns"
        await rack.press("enter", after=0.3)
        await rack.sees("Wattle: 452 g. Then 2 keys came too soon, Enter last: let go for a second.")
        await rack.sees_not("Not taken")
        assert not stops(rack.written)


async def test_enter_behind_a_figure_goes_on_once_it_was_let_go(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press(*"452", "enter")
        await rack.press("enter", after=0.71)
        assert [entry.grams for entry in rack.of(Weighed)] == [452]
        assert stops(rack.written) == ["b1"]


@pytest.mark.parametrize("wait", [0.25, 0.5, 0.66])
async def test_the_enter_of_a_figure_that_is_held_does_no_stop(wait: float, folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press(*"452")
        await rack.hold("enter", 200, first=wait)
        assert [entry.grams for entry in rack.of(Weighed)] == [452]
        assert not stops(rack.written)


@pytest.mark.parametrize(
    ("keys", "letter", "digit", "word"),
    [("b", "b", "5", "beard blackening"), ("is", "s", "3", "shed"), ("ib", "b", "6", "eggs boxed")],
)
async def test_an_answer_on_the_key_that_asked_is_offered_by_its_digit_which_may_come_at_once(
    keys: str, letter: str, digit: str, word: str, folder: Path
) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press(*keys)
        text = await rack.text()
        assert f" {digit} {word}" in text
        assert f"{letter} {digit} {word}" not in text
        asked = rack.app.walk_screen.ask
        await rack.press(letter, after=0.3)
        await rack.press(*letter * 30, after=0.03)
        assert not rack.written
        assert rack.app.walk_screen.ask is asked, "a held key answers nothing"
        await rack.press("escape", "w", *keys, after=2)
        await rack.press(digit, after=0.3)
        assert rack.app.walk_screen.ask is not asked
        await rack.sees_not(f" {digit} {word}")


async def test_a_beard_blackening_takes_two_quick_keys(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("b")
        await rack.press("5", after=0.25)
        assert [entry.behaviour for entry in rack.of(BehaviourSeen)] == ["beard blackening"]


# Seen before it is done


async def test_a_stop_that_came_just_now_is_not_done(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("right")
        await rack.press("enter", after=0.3)
        assert not rack.written
        await rack.sees("B2", TOO_SOON)
        await rack.press("right", after=2)
        await rack.press("enter", after=0.6)
        assert stops(rack.written) == ["b3"]


async def test_a_stop_that_another_screen_lay_over_has_to_be_seen_again(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("a", "backspace")
        await rack.press("enter", after=0.3)
        assert not rack.written


async def test_how_long_it_takes_to_see_a_stop_is_a_house_rule(folder: Path) -> None:
    with (folder / "colony.toml").open("a", encoding="utf-8") as file:
        file.write("[house_rules.walk]\nseen_seconds = 3\n")
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("enter", after=2)
        assert not rack.written
        await rack.press("enter", after=4)
        assert stops(rack.written) == ["b1"]


async def test_a_doubt_is_not_answered_by_a_key_that_was_pressed_before_it_stood_there(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.burst(*"999", "enter", "y")
        await rack.sees("Is that what the scale says?")
        assert not rack.of(Weighed)


# The whole day under a stuck key


async def test_a_stuck_enter_begins_no_colony(tmp_path: Path) -> None:
    app = BeginApp(tmp_path / "shed", "UTC")
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        for _ in range(1_000):
            app.post_message(key_event("enter"))
        await pilot.pause()
    assert app.return_value is None
    assert not (tmp_path / "shed").exists()


@pytest.mark.parametrize("key", ["enter", "y"])
@pytest.mark.parametrize("page", [ROOM, ILL], ids=["nothing for the vet", "two for the vet"])
async def test_a_key_stuck_from_the_start_reads_nothing_and_walks_nothing(
    key: str, page: str, tmp_path: Path
) -> None:
    async with opened(colony(tmp_path / "colony", page), MORNING, offered="AK") as rack:
        await rack.hold(key, 200, first=0.4, every=1 / 60)
        assert not rack.written
        await rack.sees("take over")


async def test_a_held_y_reads_one_vet_matter_and_not_the_next(tmp_path: Path) -> None:
    async with opened(colony(tmp_path / "colony", ILL), MORNING, offered="AK") as rack:
        await rack.press("enter", "enter")
        await rack.sees("1 of 2 vet matters")
        await rack.hold("y", 300, first=0.4, every=1 / 60)
        await rack.sees("2 of 2 vet matters", "Not taken: y came too soon")
        assert not rack.written
        await rack.press("y", after=1.3)
        assert kinds(rack.written) == ["acknowledged", "acknowledged", "taken_over"]


async def test_enter_stuck_at_the_last_stop_goes_no_further(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press(*["right"] * 7)
        await rack.hold("enter", 300, first=0.4, every=1 / 60)
        assert stops(rack.written) == ["b8"]
        assert not rack.of(HandedOver)


# A wet elbow


@pytest.mark.parametrize("where", BESIDE)
@pytest.mark.parametrize("seed", range(5))
async def test_a_wet_elbow_is_one_stop_at_most(
    seed: int, where: str, folder: Path, record_figure: Callable[[str, object], None]
) -> None:
    draw = Random(seed)
    async with opened(folder, MORNING, keeper="AK") as rack:
        rack.clock.forward(seconds=5)
        await rack.press("enter")
        for _ in range(200):
            await rack.press(draw.choice(BESIDE[where]), after=draw.uniform(0.005, 0.4))
        written = kinds(rack.written)
        assert len(stops(rack.written)) <= 1
        assert not {"handed_over", "taken_over", "corrected", "acknowledged", "died", "left"} & set(written)
        record_figure(f"a wet elbow on {where}, seed {seed}", f"201 keys, {len(written)} entries")


@pytest.mark.parametrize("seed", range(4))
async def test_an_elbow_with_uneven_pauses_is_two_stops_at_most(seed: int, folder: Path) -> None:
    draw = Random(seed)
    async with opened(folder, MORNING, keeper="AK") as rack:
        for _ in range(100):
            await rack.press("enter", after=draw.uniform(0.3, 0.99))
        assert len(stops(rack.written)) <= 2


# Legs


async def test_a_keeper_who_does_a_stop_a_second_is_never_held_up(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        for number in range(8):
            await rack.press("enter", after=1.0)
            assert len(stops(rack.written)) == number + 1


@pytest.mark.parametrize("every", [0.82, 0.9, 1.0, 1.15])
async def test_a_steady_thumb_is_never_asked_whether_it_walked(every: float, folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        for number in range(8):
            await rack.press("enter", after=every)
            assert len(stops(rack.written)) == number + 1


async def test_only_the_stops_that_were_fast_are_named_and_taken_back(brisk: Path) -> None:
    async with opened(brisk, MORNING, keeper="AK") as rack:
        await rack.press("enter", "enter", after=1.5)
        rack.clock.forward(seconds=3)
        for label in ("0003", "0004", "0005", "0006"):
            rack.clock.forward(seconds=0.1)
            await rack.press("/", *f"TUB-{label}", "enter", after=0.005)
            await rack.press("enter", after=0.71)
        assert stops(rack.written) == ["b1", "b2", "b3", "b4", "b5"]
        await rack.sees("3 stops in 2 s: B3, B4, B5. Were they walked?", "u no, take all 3 back")
        await rack.press("u")
        await rack.sees("B3", "stop 3 of 8, 2 done", "Taken back: 3 stops")


async def test_keys_too_soon_over_minutes_ask_nothing(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        for _ in range(4):
            await rack.press("enter", after=60)
            await rack.press("enter", "enter", after=0.3)
        assert stops(rack.written) == ["b1", "b2", "b3", "b4"]


async def test_a_thumb_that_was_too_quick_twice_is_not_asked(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        for _ in range(4):
            await rack.press("enter", after=2)
            await rack.press("enter", after=0.1)  # a key that bounces
        assert stops(rack.written) == ["b1", "b2", "b3", "b4"]


async def test_two_labels_scanned_one_right_after_the_other_are_both_gone_to(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("enter")
        for label in ("0003", "0005"):
            rack.clock.forward(seconds=0.3)
            await rack.press("/", *f"TUB-{label}", "enter", after=0.005)
        await rack.sees("B5", "stop 5 of 8")
        await rack.press("enter", after=0.1)
        assert stops(rack.written) == ["b1"], "the scanner's Enter came just before"
        await rack.press("enter", after=1.1)
        assert stops(rack.written) == ["b1", "b5"]


async def test_the_stop_after_three_in_less_than_three_seconds_is_asked_about_and_enter_does_not_answer(
    brisk: Path,
) -> None:
    async with opened(brisk, MORNING, keeper="AK") as rack:
        await rack.press(*["enter"] * 4, after=0.9)
        assert stops(rack.written) == ["b1", "b2", "b3"]
        await rack.sees("3 stops in 2 s: B1, B2, B3. Were they walked?", "y yes", "u no, take all 3 back")
        await rack.press(*["enter"] * 5)
        assert len(stops(rack.written)) == 3
        await rack.press("y")
        await rack.sees("Enter goes on.")
        await rack.press("enter")
        assert stops(rack.written) == ["b1", "b2", "b3", "b4"]


async def test_one_key_takes_the_run_back_in_one_save_and_the_keeper_stands_where_it_began(
    brisk: Path, saves: list[tuple[Entry, ...]]
) -> None:
    async with opened(brisk, MORNING, keeper="AK") as rack:
        await rack.press("right")
        await rack.press("enter", after=3)
        await rack.press(*["enter"] * 3, after=0.9)
        done = rack.written
        saves.clear()
        await rack.press("u")
        (corrections,) = saves
        assert {one.replaces for one in corrections if isinstance(one, Corrected)} == {one.id for one in done}
        await rack.sees("B2", "stop 2 of 8, 0 done", f"Taken back: 3 stops, {len(done)} entries")
        await rack.press("enter")
        assert stops(rack.written)[-1] == "b2"


async def test_stops_that_were_said_to_be_walked_are_not_asked_about_again(brisk: Path) -> None:
    async with opened(brisk, MORNING, keeper="AK") as rack:
        await rack.press(*["enter"] * 4, after=0.9)
        await rack.press("y", after=0.6)
        await rack.press("enter", after=0.6)
        await rack.press(*["enter"] * 3, after=0.9)
        await rack.sees("3 stops in 2 s: B4, B5, B6. Were they walked?", "u no, take all 3 back")


async def test_a_question_about_legs_that_is_broken_off_is_asked_again(brisk: Path) -> None:
    async with opened(brisk, MORNING, keeper="AK") as rack:
        await rack.press(*["enter"] * 4, after=0.81)
        await rack.press("backspace", after=0.1)
        await rack.press("enter", after=0.3)
        assert len(stops(rack.written)) == 3


# Taking back


async def test_z_offers_a_run_of_stops_as_a_whole_beside_the_last_save_after_a_restart_too(
    folder: Path, saves: list[tuple[Entry, ...]]
) -> None:
    clock = Clock(MORNING)
    async with opened(folder, clock, keeper="AK") as rack:
        await rack.press("enter")
        clock.forward(minutes=1)
        await rack.press("enter", "enter", "enter", "enter")
        run = {entry.id for entry in rack.written if entry.about[-2:] in ("b2", "b3", "b4", "b5")}
    clock.forward(minutes=20)
    async with opened(folder, clock, keeper="AK") as rack:
        await rack.press("z")
        await rack.sees(
            "last: B5: ", "run: 4 stops in 3 s: B2, B3, B4, B5", f"{len(run)} entries, 07:01:02 to 07:01:05",
            "Enter the last alone", "r the run, all 4 stops", "n leave it",
        )  # fmt: skip
        await rack.press("n")
        assert not rack.written
        saves.clear()
        await rack.press("z", "r")
        assert len(saves) == 1
        assert {entry.replaces for entry in rack.of(Corrected)} == run
        await rack.sees("B2", "stop 2 of 8, 1 done", "Taken back: 4 stops")


async def test_z_and_enter_take_the_last_stop_alone_back(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("enter", "enter", "z", "enter")
        last = [
            entry for entry in rack.written if entry.about == "enclosure/b2" and not isinstance(entry, Corrected)
        ]
        assert {entry.replaces for entry in rack.of(Corrected)} == {entry.id for entry in last}


async def test_a_weight_before_a_run_is_not_taken_back_with_it(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press(*"452", "enter", "enter", "enter", "z", "r")
        assert rack.of(Weighed)
        assert rack.of(Weighed)[0].id not in {entry.replaces for entry in rack.of(Corrected)}


async def test_a_held_z_and_a_held_enter_behind_it_take_back_one_save(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        for _ in range(3):
            await rack.press("enter", after=60)
        await rack.hold("z", 60, first=0.4)
        await rack.press("z", after=2)
        assert not rack.of(Corrected)
        await rack.hold("enter", 60, first=0.4)
        assert {entry.about for entry in rack.of(Corrected)} == {"enclosure/b3"}


async def test_who_took_over_is_no_part_of_a_run(folder: Path) -> None:
    async with opened(folder, MORNING, offered="AK") as rack:
        await rack.press("enter", "enter", "enter", "enter", "z", "r")
        assert rack.of(TakenOver)
        assert rack.of(TakenOver)[0].id not in {entry.replaces for entry in rack.of(Corrected)}


async def test_help_says_what_not_taken_and_were_they_walked_mean(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("?", *["pagedown"] * 5)
        await rack.sees("“Not taken”: the key came again", "“Were they walked?”: three stops")
