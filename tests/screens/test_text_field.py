"""Text typed in a real field: mended anywhere, pasted whole, selected, copied; and a mouse that does as keys do."""

from __future__ import annotations

from pathlib import Path

import pytest

from rounds.desk.desk import Desk
from rounds.logbook.drafts import draft
from rounds.logbook.entries import (
    BehaviourSeen,
    Fed,
    HandedOver,
    LayBoxIn,
    LeftOut,
    Moved,
    Noted,
    TakenOver,
    VetCalled,
    Weighed,
)
from rounds.screens.app import RoundsApp
from tests.screens.failing_disk import failing
from tests.screens.rack import Rack, colony, opened

ROOM = """
    2026-03-01 AK
    08:00  enclosure/b1   enclosure_set_up  name=B1
    08:00  enclosure/b2   enclosure_set_up  name=B2
    08:10  animal/wattle  arrived  name=Wattle sex=F place=enclosure/b1 hatched=2023-03-01
    08:10  animal/sedge   arrived  name=Sedge sex=F place=enclosure/b1 hatched=2023-03-01
    08:10  animal/karri   arrived  name=Karri sex=M place=enclosure/b2 hatched=2022-03-01
    08:20  animal/wattle  weighed  grams=450
    08:20  animal/karri   weighed  grams=510
"""
MORNING = "2026-03-02 07:00"
PARAGRAPH = "Left eye half shut.\rDug at the glass until noon.\r\rRing Dr Ferris at nine.\r"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return colony(tmp_path / "colony", ROOM)


@pytest.fixture
def left(monkeypatch: pytest.MonkeyPatch) -> list[None]:
    """Each time the app was left."""
    times: list[None] = []
    monkeypatch.setattr(RoundsApp, "exit", lambda _app: times.append(None))
    return times


def notes(rack: Rack) -> list[str]:
    return [one.note for one in rack.of(Noted)]


# Letters


async def test_umlauts_are_kept_as_they_are_typed(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("n", *"Häutung fast fertig, frißt öfter", "enter")
        assert notes(rack) == ["Häutung fast fertig, frißt öfter"]


async def test_a_mark_typed_behind_its_letter_is_kept_as_one_letter_and_deleted_with_it(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("n", *"gru\u0308n", "enter", "n", *"gru\u0308", "backspace", *"au", "enter")
        assert notes(rack) == ["gr\u00fcn", "grau"]


async def test_decomposed_letters_pasted_are_kept_composed_so_that_names_are_found_again(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("n")
        await rack.paste("A\u0308uglein")
        await rack.press("enter")
        assert notes(rack) == ["\u00c4uglein"]


async def test_an_animal_is_found_however_its_umlauts_are_put_together(tmp_path: Path) -> None:
    page = ROOM + "    08:10  animal/gruen  arrived  name=Gr\u00fcn sex=F place=enclosure/b2 hatched=2023-03-01\n"
    async with opened(colony(tmp_path / "colony", page), MORNING, keeper="AK") as rack:
        await rack.press("j")
        await rack.paste("Gru\u0308n")
        await rack.sees("> Gr\u00fcn F, B2")


async def test_wide_letters_move_the_caret_by_two_columns(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("n")
        await rack.text()
        begun, _ = rack.caret
        await rack.press(*"大龍a")
        await rack.text()
        assert rack.caret[0] == begun + 5
        await rack.press("left", "left", "delete", "enter")
        assert notes(rack) == ["大a"]


# Mending


async def test_a_letter_is_mended_in_the_middle_of_a_word(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("n", *"Wattel digs", *["left"] * 7, "delete", "delete", *"le", "enter")
        assert notes(rack) == ["Wattle digs"]


async def test_home_end_and_words_at_a_time(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("n", *"dull and lame", "home", *"not ", "end", *" today")
        await rack.press("ctrl+left", "ctrl+left", "ctrl+w", "enter")
        assert notes(rack) == ["not dull lame today"]


async def test_what_is_selected_is_replaced_by_what_is_typed(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("n", *"left eye shut", "home", *["shift+right"] * 4, *"right", "enter")
        assert notes(rack) == ["right eye shut"]


async def test_what_was_deleted_comes_back(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("n", *"bright and active", "ctrl+u")
        await rack.sees("Note about Sedge: _")
        await rack.press("ctrl+z", "enter")
        assert notes(rack) == ["bright and active"]


async def test_what_is_selected_in_a_note_is_copied_cut_and_put_elsewhere(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("n", *"dull ", "home", "shift+end", "ctrl+c", "end", "ctrl+v")
        assert rack.app.clipboard == "dull "
        assert rack.app.is_running
        await rack.press("enter")
        assert notes(rack) == ["dull dull"]


async def test_ctrl_c_in_a_question_leaves_nothing_and_keeps_what_is_typed(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("n", *"dull", "ctrl+c")
        await rack.sees("dull_", "To leave: Ctrl-Q. It says first what would be dropped.")
        await rack.press("enter")
        assert notes(rack) == ["dull"]


async def test_a_reason_longer_than_its_line_is_seen_whole(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK", size=(40, 24)) as rack:
        reason = "she ate yesterday, digs today, and is left in peace until tomorrow"
        await rack.press("o", "1", *reason)
        await rack.sees(reason)
        await rack.press("home", "up", "left", "enter")
        assert [one.reason for one in rack.of(LeftOut)] == [reason]


async def test_the_caret_stands_where_the_next_letter_goes(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("n", *"dull", "left")
        await rack.text()
        assert rack.beside_caret == ("dul", "l")
        await rack.press("escape", "p", "x", "c", *["tab"] * 11, *"again")
        await rack.text()
        assert rack.beside_caret[0].endswith("again")


async def test_no_key_of_the_screen_fires_while_text_is_typed(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("n", *"bqawjhxz?/*+-1", "f2", "f3", "f4", "f5", "pageup", "tab", "enter")
        assert notes(rack) == ["bqawjhxz?/*+-1"]
        assert len(rack.written) == 1
        assert rack.screen == "WalkScreen"


async def test_signs_of_the_number_pad_are_typed(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("n", "2", "add", "1", "subtract", "3", "divide", "4", "decimal", "5", "enter")
        assert notes(rack) == ["2+1-3/4.5"]


async def test_keys_that_arrive_together_go_to_the_field_and_then_to_the_next_question(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.burst("l", "1", "0", "enter", *"damp sand", "left", "S", "enter", "n", *"so", "enter", "b", "h")
        assert [one.kind for one in rack.written] == ["lay_box_in", "noted", "behaviour_seen"]
        assert notes(rack) == ["so"]
        assert rack.written[0].medium == "damp sanSd"  # type: ignore[attr-defined]


async def test_help_is_there_and_what_was_typed_is_too(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("n", *"dul", "f1")
        await rack.sees("Keys while text is typed", "Ctrl-J Begin a line")
        text = await rack.text()
        assert text.index("Ctrl-Z") < text.index("Keys of this screen")
        await rack.press("enter", "l", "enter")
        assert notes(rack) == ["dull"]


async def test_a_paste_into_a_form_chooses_nothing_ticks_nothing_and_writes_nothing(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("i", "s", "c")
        for _ in range(3):  # its ticks, its two choices
            await rack.paste("12bn\r")
            await rack.sees("A paste answers nothing here: press a key.")
            await rack.press("tab")
        await rack.press("tab", "tab")
        await rack.sees("Enter here writes it")
        await rack.paste("y\r")
        await rack.sees("A paste answers nothing here: press a key.")
        await rack.sees("signs none")
        assert not rack.written


async def test_a_larger_or_smaller_window_keeps_what_is_typed_and_where(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("n", *"dull", "left", "left")
        for size in ((40, 12), (120, 40)):
            await rack.pilot.resize_terminal(*size)
            await rack.text()
            assert rack.beside_caret == ("du", "ll")
        await rack.press("x", "enter")
        assert notes(rack) == ["duxll"]


async def test_news_of_another_desk_take_neither_the_text_nor_the_caret(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        other = Desk.open(folder, clock=rack.clock, keeper="EM")
        try:
            await rack.press("n", *"dull", "left")
            other.record(draft(BehaviourSeen, "enclosure/b1", behaviour="nest digging"))
            rack.app.listen()
            await rack.sees("has dug")
            await rack.press("x", "enter")
        finally:
            other.close()
        assert notes(rack)[-1] == "dulxl"


async def test_a_note_the_disk_did_not_take_is_there_to_be_tried_again(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        disk = failing(rack)
        disk.full = True
        await rack.press("n", *"dull", "ctrl+j", *"lame", "enter")
        await rack.sees("NOT SAVED", "Sedge: note: dull ⏎ lame")
        disk.full = False
        await rack.press("t")
        assert notes(rack) == ["dull\nlame"]


# Ready answers and breaking off


async def test_a_digit_takes_a_ready_answer_only_while_the_field_is_empty(
    folder: Path,
) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("f", "o", "2", "enter")
        await rack.press("f", "o", *"x2", "home", "delete", "enter")
        assert [one.what for one in rack.of(Fed)] == ["fruit", "2"]


async def test_backspace_on_an_empty_field_breaks_off_and_asks_for_a_second_one_where_more_is_lost(
    folder: Path,
) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("n", "a", "backspace", "backspace")
        await rack.sees("Empty. Wait a moment, then Backspace breaks off.")
        await rack.press("backspace")
        await rack.sees("as planned, next")
        await rack.press("l", "9", "enter", "x", "backspace", "backspace")
        await rack.sees("Backspace again drops what you wrote: 9 cm.")
        await rack.press("y", "backspace", "backspace")
        await rack.sees("Backspace again drops what you wrote: 9 cm.")
        await rack.press("backspace")
        await rack.sees("Not written: 9 cm.")
        assert not rack.written


async def test_escape_breaks_off_and_says_what_was_typed(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("n", *"dull", "escape")
        await rack.sees("Not written: “dull”.")


async def test_in_a_form_a_letter_replaces_what_was_given_and_an_arrow_mends_it(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("n", *"dull", "enter", "p", "x", "c", "home", *"not ", "f2", "enter")
        assert notes(rack) == ["dull", "not dull"]
        await rack.press("w", "n", *"calm", "enter", "p", "x", "c", *"lame", "f2", "enter")
        assert notes(rack)[-1] == "lame"


# Several lines


async def test_a_paragraph_pasted_into_a_note_is_kept_whole_and_enter_writes_it(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("n")
        await rack.paste(PARAGRAPH)
        assert not rack.written
        await rack.sees("Left eye half shut.", "Ring Dr Ferris at nine._", "Ctrl-J begins a line")
        await rack.press("enter")
        assert notes(rack) == ["Left eye half shut.\nDug at the glass until noon.\n\nRing Dr Ferris at nine."]
        await rack.sees("note: Left eye half shut. ⏎ Dug at the glass")


async def test_ctrl_j_begins_a_line_and_the_arrows_go_between_lines(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("n", *"one", "ctrl+j", *"three", "up", "end", "ctrl+j", *"two", "enter")
        assert notes(rack) == ["one\ntwo\nthree"]


async def test_in_a_form_the_arrows_leave_a_text_of_several_lines_at_its_ends(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("i", "v", "c", *"rest", "ctrl+j", *"warmth", "up", *"! ", "down", "down", *"Dr Wren", "f2")
        (call,) = rack.of(VetCalled)
        assert call.said == "rest! \nwarmth".replace(" \n", "\n")
        assert call.vet == "Dr Wren"


async def test_two_lines_pasted_where_one_can_stand_are_joined_and_that_is_said(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("o", "1")
        await rack.paste("not hungry\rlooks well\r")
        await rack.sees("not hungry looks well_", "2 lines were pasted and joined: here stands one.")
        assert not rack.written
        await rack.press("enter")
        assert [one.reason for one in rack.of(LeftOut)] == ["not hungry looks well"]


async def test_what_was_copied_here_and_is_put_into_a_field_is_whole_or_said_and_writes_nothing(
    folder: Path,
) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        rack.app.copy_to_clipboard("not hungry\nlooks well\n")
        await rack.press("o", "1", "ctrl+v")
        await rack.sees("not hungry looks well_", "2 lines were pasted and joined: here stands one.")
        await rack.press("escape")
        rack.app.copy_to_clipboard("x" * 9_000 + "\n")
        await rack.press("n", "ctrl+v")
        await rack.sees("Not all of it: 2,000 letters find room here.")
        await rack.press("escape")
        rack.app.copy_to_clipboard("asleep under the bark\n")
        await rack.press("o", "1", "ctrl+v")
        await rack.sees("asleep under the bark_")
        assert not rack.written


async def test_two_lines_pasted_over_a_figure_are_refused_and_that_is_said(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("4")
        await rack.paste("52\r460\r")
        await rack.sees("Several lines were pasted. Here stands one.")
        await rack.paste("52\r")
        assert [one.grams for one in rack.of(Weighed)] == [452]


async def test_a_label_scanned_where_one_is_asked_for_is_as_typed_with_enter(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("down", "m")
        await rack.paste("b2\r")
        assert [one.to for one in rack.of(Moved)] == ["enclosure/b2"]


async def test_what_finds_no_room_is_said(folder: Path) -> None:
    async with opened(folder, MORNING) as rack:
        await rack.press("enter")
        await rack.paste("A" * 20)
        await rack.sees("A" * 12 + "_", "Not all of it: 12 letters find room here.")
        await rack.press("backspace", "enter")
        assert [one.by for one in rack.of(TakenOver)] == ["A" * 11]


async def test_what_a_terminal_would_obey_is_not_typed(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("n")
        await rack.paste("a\tb\x1b[2J\u202ec\x07")
        await rack.press("enter")
        assert notes(rack) == ["a b[2Jc"]


async def test_notes_for_the_next_keeper_have_lines_on_the_sheet_and_at_the_take_over(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("h", "n", *"ring the vet", "ctrl+j", *"weigh Sedge", "enter")
        for _ in range(4):
            await rack.press("pagedown")
        lines = [line.strip() for line in (await rack.text()).split("\n")]
        assert lines.index("weigh Sedge") == lines.index("ring the vet") + 1
        await rack.press("s", "y")
        assert [one.note for one in rack.of(HandedOver)] == ["ring the vet\nweigh Sedge"]
        await rack.text()
        lines = [line.strip() for line in (await rack.text()).split("\n")]
        assert "weigh Sedge" in lines
        assert all("⏎" not in line for line in lines)


# Ready answers: a digit fills the field, Enter writes


async def test_a_digit_puts_a_ready_answer_into_the_field_and_enter_writes_it(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("f", "o", "2")
        await rack.sees("What was given fruit_", "Enter writes it")
        assert not rack.written
        await rack.press("enter")
        assert [one.what for one in rack.of(Fed)] == ["fruit"]


async def test_what_begins_with_a_digit_is_the_text_as_typed(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        for text in ("20", "2 left, dry", "1 to 1 sand and soil", "12"):
            await rack.press("f", "o", *text, "enter")
        await rack.burst("f", "o", *"1 to 3", "enter")
        assert [one.what for one in rack.of(Fed)] == ["20", "2 left, dry", "1 to 1 sand and soil", "12", "1 to 3"]


async def test_a_medium_that_begins_with_a_digit_fires_no_key(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("l", *"20", "enter", *"1 to 1 sand and soil", "enter")
        assert [(one.depth_cm, one.medium) for one in rack.of(LayBoxIn)] == [(20, "1 to 1 sand and soil")]
        assert len(rack.written) == 1


async def test_backspace_takes_a_ready_answer_away_and_another_can_be_taken(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("f", "o", "2", "backspace", "3", "enter")
        await rack.press("f", "o", "2", "end", *" and salad", "enter")
        assert [one.what for one in rack.of(Fed)] == ["pellets", "fruit and salad"]


# A held Backspace


async def test_a_held_backspace_stays_in_the_note_and_the_words_typed_after_it_are_words(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("n", *"abc")
        await rack.hold("backspace", 9)
        await rack.sees("Note about Sedge: _", "Empty. Wait a moment, then Backspace breaks off.")
        await rack.press(*"basking spot dirty", "enter")
        assert [one.kind for one in rack.written] == ["noted"]
        assert notes(rack) == ["basking spot dirty"]


async def test_a_backspace_held_on_an_open_question_goes_no_further_than_that_question(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("right")
        await rack.sees("stop 2 of 2")
        await rack.press("n")
        await rack.hold("backspace", 9)
        await rack.sees("as planned, next", "stop 2 of 2")
        await rack.press("backspace")
        await rack.sees("stop 1 of 2")


async def test_a_figure_deleted_by_a_held_backspace_is_typed_again(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press(*"954")
        await rack.hold("backspace", 8)
        await rack.press(*"450", "enter")
        assert [one.grams for one in rack.of(Weighed)] == [450]


# Leaving


async def test_ctrl_q_says_what_it_would_drop_and_leaves_when_pressed_again(folder: Path, left: list[None]) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("n", *"dull", "ctrl+q")
        await rack.sees("dull_", "Not left. Ctrl-Q again leaves and drops “dull”.")
        await rack.press("!", "ctrl+q")
        assert not left
        await rack.press("ctrl+q")
        assert left == [None]
        assert not rack.written


async def test_ctrl_q_leaves_at_once_where_nothing_was_typed(folder: Path, left: list[None]) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("n", "ctrl+q")
        assert left == [None]


async def test_notes_for_the_next_that_are_not_signed_are_said_before_the_app_is_left(
    folder: Path, left: list[None]
) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("h", "n", *"ring the vet", "enter", "w", "q")
        await rack.sees("Not left. q again leaves and drops notes for the next: “ring the vet”.")
        assert not left
        await rack.press("q")
        assert left == [None]


# What is offered is replaced


async def test_initials_offered_are_replaced_by_what_is_typed_and_taken_by_enter(folder: Path) -> None:
    async with opened(folder, MORNING, offered="AK") as rack:
        await rack.press("enter")
        await rack.sees("Enter takes it; what you type replaces it")
        await rack.press(*"JT", "enter")
        assert [one.by for one in rack.of(TakenOver)] == ["JT"]
    async with opened(folder, "2026-03-02 08:00", offered="MM") as rack:
        await rack.press("enter", "enter")
        assert [one.by for one in rack.of(TakenOver)] == ["MM"]


async def test_initials_that_colony_toml_does_not_list_are_asked_about_once(folder: Path) -> None:
    settings = folder / "colony.toml"
    settings.write_text(
        settings.read_text("utf-8").replace("[keepers]", '[keepers]\nAK = "Anna"\nEM = "Emil"'), "utf-8"
    )
    async with opened(folder, MORNING) as rack:
        await rack.press("enter", *"JT", "enter")
        await rack.sees("JT is not among the keepers in colony.toml: AK, EM.")
        await rack.press("n")
        await rack.press(*"em", "enter")
        assert [one.by for one in rack.of(TakenOver)] == ["EM"]
    for hour, who, keys in (("08", "JT", "y"), ("09", "EM", ""), ("10", "JT", "")):
        async with opened(folder, f"2026-03-02 {hour}:00", offered=who) as rack:
            await rack.press("enter", "enter", *keys)
            assert [one.by for one in rack.of(TakenOver)] == [who]


# What was broken off


async def test_a_note_broken_off_comes_back_by_ctrl_z_when_it_is_asked_again(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("n", *"dug until noon", "escape")
        await rack.sees("Not written: “dug until noon”. Asked again, Ctrl-Z brings it back.")
        await rack.press("n")
        await rack.sees("Ctrl-Z brings back “dug until noon”")
        await rack.press("ctrl+z", *", then slept", "enter", "n")
        await rack.sees_not("Ctrl-Z brings back")
        await rack.press("escape")
        assert notes(rack) == ["dug until noon, then slept"]


async def test_the_vets_words_broken_off_come_back_by_ctrl_z_in_their_field(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("i", "v", "c", *"rest and warmth", "escape", "i", "v", "c")
        await rack.sees("Ctrl-Z brings back “rest and warmth”")
        await rack.press("ctrl+z", "f2")
        assert [one.said for one in rack.of(VetCalled)] == ["rest and warmth"]


async def test_a_paste_where_a_key_is_asked_for_is_said(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("b")
        await rack.paste("nest digging")
        await rack.sees("A paste answers nothing here: press a key of the question.")
        assert not rack.written


async def test_what_is_taken_back_is_said_with_the_first_words_of_its_note(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("n", *"basking spot dirty", "enter", "z")
        await rack.sees("Sedge: note: basking spot dirty")
        await rack.press("enter")
        await rack.sees("Taken back: Sedge: note: basking spot dirty")


async def test_the_hint_of_the_notes_for_the_next_finds_room_in_80_columns(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("h", "n")
        await rack.sees("Enter alone leaves it out; Ctrl-J begins a line; Backspace breaks off")


async def test_what_a_form_needs_is_asked_for_in_plain_words(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("i", "b", "e", "f2")
        await rack.sees("How many eggs?")
        await rack.press(*"14", "f2")
        await rack.sees("Say whether she is done.")
        assert not rack.written
