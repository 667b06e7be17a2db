"""What was being typed when the app ended is offered at the next start, and is never written by itself."""

from __future__ import annotations

import signal
import stat
from collections.abc import Callable
from pathlib import Path

import pytest

from rounds.desk.shift import Shift
from rounds.logbook.entries import ConditionSeen, LayBoxIn, Moved, Noted, VetCalled, Weighed
from tests.screens.failing_disk import failing
from tests.screens.rack import Rack, colony, key_event, opened
from tests.screens.test_terminal import Terminal

ROOM = """
    2026-03-01 AK
    08:00  b1      enclosure_set_up  name=B1
    08:00  b2      enclosure_set_up  name=B2
    08:10  wattle  arrived  name=Wattle sex=F place=b1 hatched=2023-03-01
    08:10  karri   arrived  name=Karri sex=M place=b2 hatched=2022-03-01
    08:20  wattle  weighed  grams=450
"""
MORNING, LATER = "2026-03-02 07:00", "2026-03-02 19:00"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return colony(tmp_path / "colony", ROOM)


async def typed(folder: Path, *keys: str, moment: str = MORNING, keeper: str = "AK") -> None:
    """Keys pressed at the first stop, and then the window is closed."""
    async with opened(folder, moment, keeper=keeper) as rack:
        await rack.press(*keys)
        rack.app.keep_typed()
        assert not rack.written


def files(home: Path) -> list[Path]:
    return sorted((home / "state" / "rounds" / "unfinished").rglob("*.json"))


async def asked_nothing(rack: Rack) -> None:
    await rack.sees_not("Not written:")
    assert rack.app.walk_screen.ask is None


async def test_a_note_half_typed_comes_back_about_the_same_animal_with_its_time(folder: Path) -> None:
    await typed(folder, "n", *"left eye half")
    async with opened(folder, LATER, keeper="AK") as rack:
        await rack.sees(
            "Not written: AK typed this 2 Mar 07:00, then the app ended. Note about Wattle: “left eye half”"
        )
        assert not rack.written, "nothing is written by itself"
        await rack.press("b")
        await rack.sees("Note: Wattle", "left eye half", "= today, Mon 2 Mar 07:00")
        await rack.press(*" shut", "f2")
        (note,) = rack.of(Noted)
        assert (note.about, note.note, f"{note.at:%H:%M}", note.by) == (
            "animal/wattle",
            "left eye half shut",
            "07:00",
            "AK",
        )
        assert note.written is not None
    async with opened(folder, LATER, keeper="AK") as rack:
        await asked_nothing(rack)


async def test_what_is_dropped_is_asked_no_more_and_comes_back_by_undo_while_the_app_runs(folder: Path) -> None:
    await typed(folder, "n", *"dull")
    async with opened(folder, LATER, keeper="AK") as rack:
        await rack.press("4", "5", "enter")  # on its way already when the question came: no answer to it
        await rack.sees("d drop it")
        await rack.press("d", "d")
        await rack.sees("Dropped.")
        await rack.press("n", "ctrl+z", "enter")
        assert [one.note for one in rack.of(Noted)] == ["dull"]
    async with opened(folder, LATER, keeper="AK") as rack:
        await asked_nothing(rack)


@pytest.mark.parametrize("key", ["l", "escape", "backspace"])
async def test_what_is_left_for_later_is_asked_at_each_start_until_it_is_answered(key: str, folder: Path) -> None:
    await typed(folder, "n", *"dull")
    for _ in range(2):
        async with opened(folder, LATER, keeper="AK") as rack:
            await rack.sees("“dull”")
            await rack.press(key)
            await rack.sees("Kept. It is asked again at the next start.")
            rack.app.typed.left_by_key()


async def test_what_was_written_is_not_asked(folder: Path) -> None:
    await typed(folder, "n", *"dull")
    async with opened(folder, LATER, keeper="AK") as rack:
        await rack.press("l", "n", *"dull", "enter")
        rack.app.keep_typed()
    async with opened(folder, LATER, keeper="AK") as rack:
        await asked_nothing(rack)


async def test_what_was_said_to_be_dropped_on_leaving_is_not_asked(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("n", *"dull", "ctrl+q")
        await rack.sees("Ctrl-Q again leaves and drops")
        rack.app.typed.left_by_key()
    async with opened(folder, LATER, keeper="AK") as rack:
        await asked_nothing(rack)


async def test_a_form_comes_back_with_all_its_fields(folder: Path) -> None:
    await typed(folder, "i", "s", "c", "1", "2", "tab", *"du", "tab", "tab", *"6:30", "tab", *"since dawn")
    async with opened(folder, LATER, keeper="AK") as rack:
        await rack.press("b")
        await rack.sees("Condition: Wattle", "since dawn", "= today, Mon 2 Mar 06:30")
        await rack.press("f2")
        (seen,) = rack.of(ConditionSeen)
        assert (len(seen.signs), seen.note, f"{seen.at:%H:%M}") == (2, "since dawn", "06:30")


async def test_a_subject_that_was_found_is_found_again(folder: Path) -> None:
    await typed(folder, "i", "m", "m", *"b2", "tab", *"to rest")
    async with opened(folder, LATER, keeper="AK") as rack:
        await rack.press("b")
        await rack.sees("Moved: Wattle", "B2", "to rest")
        await rack.press("f2")
        assert [(one.to, one.why, f"{one.at:%H:%M}") for one in rack.of(Moved)] == [
            ("enclosure/b2", "to rest", "07:00")
        ]


@pytest.mark.parametrize("doubted", [False, True], ids=["half typed", "asked about"])
async def test_a_figure_comes_back_as_a_weight_of_that_time(doubted: bool, folder: Path) -> None:
    await typed(folder, *("812" if doubted else "45"), *(["enter"] if doubted else []))
    async with opened(folder, LATER, keeper="AK") as rack:
        await rack.sees("AK typed this 2 Mar 07:00", "812 g" if doubted else "45 g")
        await rack.press("b")
        await rack.sees("Weighed earlier: Wattle", "812" if doubted else "45", "= today, Mon 2 Mar 07:00")
        await rack.press("tab", "up", "ctrl+u", *"452", "f2")
        assert [(one.grams, f"{one.at:%H:%M}") for one in rack.of(Weighed)] == [(452, "07:00")]


async def test_answers_gathered_in_a_talk_come_back_as_a_note(folder: Path) -> None:
    await typed(folder, "l", *"30", "enter", *"damp sa")
    async with opened(folder, LATER, keeper="AK") as rack:
        await rack.sees("30 cm, “damp sa”")
        await rack.press("b")
        await rack.sees("Note: Wattle", "30 cm, “damp sa”")
        await rack.press("f2")
        assert [one.about for one in rack.of(Noted)] == ["animal/wattle"]
        assert not rack.of(LayBoxIn)


async def test_notes_for_the_next_keeper_come_back(folder: Path) -> None:
    await typed(folder, "h", "n", *"fan rattles", "enter")
    async with opened(folder, LATER, keeper="AK") as rack:
        await rack.sees("For the next keeper", "fan rattles")
        await rack.press("b")
        await rack.sees("Your notes for the next keeper are back.")
        assert rack.app.notes == "fan rattles"
        rack.app.keep_typed()
    async with opened(folder, LATER, keeper="AK") as rack:
        await rack.sees("fan rattles")


async def test_another_keeper_sees_whose_words_they_are_and_they_stay_theirs(folder: Path) -> None:
    await typed(folder, "n", *"dull", keeper="EM")
    async with opened(folder, LATER, keeper="AK") as rack:
        await rack.sees("EM typed this 2 Mar 07:00")
        await rack.press("b", "f2")
        assert [(one.by, one.note) for one in rack.of(Noted)] == [("AK", "dull (typed by EM)")]


async def test_a_form_and_a_weight_of_another_keeper_say_whose_they_are_too(folder: Path) -> None:
    await typed(folder, "i", "v", "c", *"dull since noon", keeper="EM")
    async with opened(folder, LATER, keeper="AK") as rack:
        await rack.press("b")
        await rack.sees("Phoned the vet: Wattle", "(typed by EM)")
        await rack.press("f2")
        assert [(one.by, one.said, one.note) for one in rack.of(VetCalled)] == [
            ("AK", "dull since noon", "(typed by EM)")
        ]
    await typed(folder, *"455", keeper="EM")
    async with opened(folder, LATER, keeper="AK") as rack:
        await rack.press("b", "f2")
        assert [(one.by, one.grams, one.note) for one in rack.of(Weighed)] == [("AK", 455, "(typed by EM)")]


async def test_what_was_typed_into_a_form_is_offered_field_by_field(folder: Path) -> None:
    await typed(folder, "i", "v", "c", *"Dr Quoll says: watch her", "tab", *"ring again")
    async with opened(folder, LATER, keeper="AK") as rack:
        await rack.sees("Phoned the vet: Wattle. what was said: Dr Quoll says: watch her; ")


async def test_dropping_it_is_asked_for_twice_and_any_other_key_keeps_it(folder: Path) -> None:
    await typed(folder, "n", *"dull")
    async with opened(folder, LATER, keeper="AK") as rack:
        await rack.press("d")
        await rack.sees("“dull”", "d again drops it")
        await rack.press("x")
        await rack.sees("“dull”", "d drop it")
        await rack.hold("d", 20, first=0.4)
        await rack.sees("“dull”")
        await rack.press("d")
        await rack.sees("Dropped.")


async def test_it_is_offered_once_somebody_is_on_shift(folder: Path) -> None:
    await typed(folder, "n", *"dull")
    async with opened(folder, LATER) as rack:
        await rack.sees_not("dull")
        await rack.press("enter", *"EM", "enter")
        await rack.sees("AK typed this 2 Mar 07:00", "“dull”")


async def test_what_is_typed_in_one_window_is_offered_in_another_once_that_one_has_ended(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as first:
        async with opened(folder, MORNING, keeper="EM") as second:
            await second.press("n", *"in the second")
            second.app.keep_typed()
            async with opened(folder, MORNING, keeper="RS") as third:
                await asked_nothing(third)
        await first.press("n", *"in the first")
        first.app.keep_typed()
    async with opened(folder, LATER, keeper="AK") as rack:
        await rack.sees("“in the first”")
        await rack.press("d", "d")
        await rack.sees("“in the second”")


async def test_a_fault_in_the_middle_of_a_save_loses_no_words(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: object) -> None:
        raise ZeroDivisionError("nobody thought of this")

    async def ends_by_a_fault() -> None:
        async with opened(folder, MORNING, keeper="AK") as rack:

            def kept(_: BaseException) -> None:
                rack.app.keep_typed()
                rack.app.typed.close()

            await rack.press("n", *"dull")
            rack.app.when_failed = kept
            with monkeypatch.context() as broken:
                broken.setattr(Shift, "record", fail)
                rack.app.post_message(key_event("enter"))
                await rack.app._exception_event.wait()

    with pytest.raises(ZeroDivisionError):
        await ends_by_a_fault()
    async with opened(folder, LATER, keeper="AK") as rack:
        await rack.sees("Note about Wattle: “dull”")


async def test_what_the_disk_did_not_take_is_offered_when_the_app_ends_before_it_was_answered(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        failing(rack).full = True
        await rack.press("n", *"dull", "enter")
        await rack.sees("NOT SAVED")
        rack.app.keep_typed()
    async with opened(folder, LATER, keeper="AK") as rack:
        await rack.press("b", "f2")
        assert [one.note for one in rack.of(Noted)] == ["dull"]


async def test_the_file_is_the_keepers_own_and_goes_when_nothing_is_left(folder: Path, home: Path) -> None:
    await typed(folder, "n", *"dull")
    (file,) = files(home)
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert stat.S_IMODE(file.parent.stat().st_mode) == 0o700
    async with opened(folder, LATER, keeper="AK") as rack:
        await rack.press("d", "d")
        rack.app.keep_typed()
    assert files(home) == []


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b'[{"by":"AK"}]',
        b"[" * 100_000,
        b'[{"by":"A","at":"2026-03-02T07:00:00","about":"room","asked":"","held":{},"words":"no zone"}]',
        b'[{"by":"A","at":"0001-01-01T00:00:00Z","about":"room","asked":"","held":{},"words":"long ago"}]',
        b"x" * 5_000_000,
    ],
)
async def test_a_file_that_cannot_be_read_is_said_and_laid_aside(content: bytes, folder: Path, home: Path) -> None:
    await typed(folder, "n", *"dull")
    (file,) = files(home)
    file.write_bytes(content)
    async with opened(folder, LATER, keeper="AK", size=(200, 24)) as rack:
        await rack.sees(
            f"What was being typed before cannot be read. It lies in {file.with_suffix('.unreadable')}."
        )
    assert file.with_suffix(".unreadable").read_bytes() == content


async def test_hostile_words_in_it_are_shown_as_text(folder: Path, home: Path) -> None:
    await typed(folder, "n", *"dull")
    (file,) = files(home)
    hostile = "\\u001b[2J\\u202e" + "x" * 200
    words = f'"held":{{"":"{hostile}"}},"words":"{hostile}"'
    file.write_text(
        f'[{{"by":"A\\u001b","at":"2026-03-02T07:00:00Z","about":"animal/gone","asked":"[b]{hostile}",{words}}}]'
    )
    async with opened(folder, LATER, keeper="AK") as rack:
        await rack.sees("A\\x1b typed this", "\\x1b[2J")
        await rack.press("b")
        await rack.sees("Note: room")
        assert "\x1b" not in await rack.text()


async def test_an_endless_text_is_kept_as_far_as_there_is_room(folder: Path, home: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        rack.app.notes = "x" * 10_000_000
        rack.app.keep_typed()
    (file,) = files(home)
    assert file.stat().st_size < 100_000


ENDINGS: dict[str, Callable[[Terminal], None]] = {
    "killed": lambda terminal: terminal.process.kill(),
    "told to end": lambda terminal: terminal.process.terminate(),
    "interrupted": lambda terminal: terminal.process.send_signal(signal.SIGINT),
    "the window is closed": Terminal.hang_up,
}


#: An app that ends by itself has all the time it needs, on a machine that is busy with other things too.
UNHURRIED = "from rounds.screens.board import terminal\nterminal.PATIENCE = terminal.LAST = 100.0\n"


@pytest.mark.parametrize("ending", ENDINGS)
async def test_however_the_process_ends_in_the_middle_of_a_note_the_next_start_offers_it(
    ending: str, folder: Path, home: Path
) -> None:
    with Terminal(folder, before=UNHURRIED) as terminal:
        terminal.sees("take over")
        terminal.press("\rak\r")
        terminal.sees("B1")
        terminal.press("nleft eye half")
        if ending == "killed":  # nothing is done then any more: it was kept a moment after the last letter
            terminal.until(lambda: any(b"left eye half" in one.read_bytes() for one in files(home)), "kept it")
        else:
            terminal.sees("half")
        ENDINGS[ending](terminal)
        terminal.seconds_to_end()
        assert terminal.process.returncode in (0, -signal.SIGKILL)
    assert not (home / "state" / "rounds" / "reports").exists(), "an end from outside is no fault"
    async with opened(folder, LATER, keeper="AK") as rack:
        await rack.sees("AK typed this 2 Mar 07:", "Note about Wattle: “left eye half")
