"""A key that is held down is told from one that is pressed, by the times at which it came."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from rounds.screens.keys.presses import HELD, LET_GO, RELEASED, Presses

#: Keyboards wait so long before they repeat a key, and so long between two repeats, in s.
WAITS = st.floats(0.2, 0.7)
REPEATS = st.floats(0.005, 0.5)


def acted(moments: list[float], keys: list[str] | None = None) -> int:
    """How many of the keys that came at these moments acted."""
    presses = Presses()
    return sum(
        not presses.refuses(keys[number] if keys else "enter", moment, "acts")
        for number, moment in enumerate(moments)
    )


def after(gaps: list[float]) -> list[float]:
    """The moments of keys with these gaps between them, in s."""
    moments = [1_000.0]
    for gap in gaps:
        moments.append(moments[-1] + gap)
    return moments


@given(WAITS, REPEATS)
def test_a_held_key_acts_once_whatever_the_keyboard(wait: float, repeat: float) -> None:
    assert acted(after([wait, *[repeat] * 200])) == 1


@given(st.lists(st.floats(0, HELD - 0.01), max_size=200))
def test_a_key_that_comes_again_and_again_acts_once_however_unevenly(gaps: list[float]) -> None:
    assert acted(after(gaps)) == 1


@given(st.lists(st.floats(0, HELD - 0.01) | st.floats(LET_GO + 0.01, 60), max_size=200))
def test_a_key_acts_whenever_it_was_let_go_before_whatever_came_too_soon(gaps: list[float]) -> None:
    assert acted(after(gaps)) == 1 + sum(gap > LET_GO for gap in gaps)


@given(st.lists(st.floats(HELD + 0.01, 60), max_size=50))
def test_a_key_pressed_once_in_so_long_always_acts(gaps: list[float]) -> None:
    assert acted(after(gaps)) == 1 + len(gaps)


def test_after_a_key_that_came_too_soon_no_other_one_acts_before_all_were_let_go() -> None:
    assert acted(after([0.3, 0.2, 0.7, 1.3]), ["b", "b", "4", "5", "6"]) == 2


def test_what_moves_a_cursor_or_types_may_come_as_fast_as_it_likes() -> None:
    presses = Presses()
    assert not any(presses.refuses("down", moment, "moves") for moment in after([0.02] * 100))
    assert not presses.refuses("enter", 1_002.0, "acts")


def test_a_key_that_acted_and_is_held_opens_nothing() -> None:
    presses = Presses()
    assert not presses.refuses("h", 10.0, "acts")
    assert presses.refuses("h", 10.4, "opens")
    assert not presses.refuses("h", 12.0, "opens")
    assert not presses.refuses("b", 12.1, "opens")
    assert not presses.refuses("b", 12.2, "opens")


def test_repeats_of_a_keyboard_are_told_of_once_and_each_key_pressed_again_or_beside_it() -> None:
    presses = Presses()
    keys = ["enter", "enter", "enter", "enter", "enter", "enter", "b", "b", "enter"]
    moments = after([0.3, 0.03, 0.03, 2, 0.1, 0.03, 0.03, 0.4])
    told = [
        (presses.refused if presses.refuses(key, moment, "acts") and presses.tells else 0)
        for key, moment in zip(keys, moments, strict=True)
    ]
    assert told == [0, 1, 0, 0, 0, 1, 2, 0, 4]


def test_what_has_not_been_seen_is_not_done_and_the_hold_goes_on() -> None:
    presses = Presses()
    assert presses.refuses("enter", 10.0, "acts", seen=False)
    assert presses.refuses("enter", 10.5, "acts", seen=True)
    assert not presses.refuses("enter", 11.8, "acts", seen=True)


def test_a_key_that_moves_while_the_others_wait_keeps_them_waiting() -> None:
    presses = Presses()
    assert not presses.refuses("enter", 10.0, "acts")
    assert presses.refuses("enter", 10.3, "acts")
    assert not presses.refuses("right", 11.0, "moves")
    assert presses.refuses("enter", 11.7, "acts")
    assert not presses.refuses("enter", 13.0, "acts")


def test_one_press_too_soon_is_let_go_as_a_hold_is_and_two_take_longer() -> None:
    assert acted(after([0.5, 0.9, 0.9])) == 3
    assert acted(after([0.5, 0.5, 0.9, 0.9])) == 1
    assert acted(after([0.5, 0.5, 1.3])) == 2


def test_who_lets_go_for_a_second_as_the_screen_says_is_heard() -> None:
    assert acted(after([0.3, 0.3, 1.01, 1.01, 1.01])) == 4


def test_a_stuck_key_does_not_bar_the_way_out_and_the_way_out_is_taken_once() -> None:
    presses = Presses()
    for moment in after([0.02] * 50):
        presses.refuses("enter", moment, "acts")
    assert not presses.refuses("ctrl+q", 1_001.1, "leaves", seen=False)
    assert presses.refuses("ctrl+q", 1_001.5, "leaves")
    assert not presses.refuses("ctrl+q", 1_002.5, "leaves")


def test_the_enter_behind_what_was_typed_counts_at_once_and_held_it_does_nothing_behind_it() -> None:
    presses = Presses()
    assert not presses.refuses("enter", 10.0, "acts")
    assert not presses.refuses("enter", 10.2, "ends")
    assert presses.refuses("enter", 10.6, "opens")
    assert not presses.refuses("enter", 10.7, "ends"), "a scanner's, though the others wait"


@given(WAITS.filter(lambda wait: wait < RELEASED), st.integers(1, 20))
def test_behind_what_was_typed_a_key_that_stays_down_does_nothing_and_pressed_again_it_acts(
    wait: float, times: int
) -> None:
    presses = Presses()
    assert not presses.refuses("enter", 10.0, "ends")
    held = [10.0 + wait + number * 0.03 for number in range(times)]
    assert all(presses.refuses("enter", moment, "acts") for moment in held)
    assert not presses.refuses("enter", held[-1] + LET_GO + 0.01, "ends")
    assert not presses.refuses("enter", held[-1] + LET_GO + RELEASED + 0.02, "acts")
