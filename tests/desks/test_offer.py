"""A vet matter that stands on no sheet is as loud as one that stands, until it is brought back or left."""

from __future__ import annotations

import io
import json
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from rounds.cli import main
from rounds.desk.desk import Desk
from rounds.desk.offer import at_stake, offered
from rounds.logbook.drafts import draft
from rounds.logbook.entries import (
    Acknowledged,
    Arrived,
    ConditionSeen,
    EggCheckDone,
    HandedOver,
    Noted,
    TakenOver,
    VetCalled,
)
from rounds.sheets.store import Sheets
from tests.desks.laptops import Clock, laptop, note, weight
from tests.desks.test_missing import NOW, TODAY, folder, known, older, started
from tests.desks.test_restore import rounds
from tests.notation import at
from tests.screens.rack import Rack, opened

__all__ = ["folder"]
STRAINING = draft(EggCheckDone, "animal/wattle", present=("straining",), absent=("digging",))


def office(folder: Path, moment: str = "2026-04-12 09:00") -> Desk:
    return laptop(folder, moment, "office", "EM")


@pytest.fixture
def cut(folder: Path) -> Path:
    """Wattle was seen straining this morning, AK is on shift, and then an older copy of the sheet was put back."""
    laptop(folder, "2026-04-12 07:00", "rack").record(draft(TakenOver, "room", desk="rack"))
    office(folder).record(STRAINING)
    known(folder)
    older(folder / TODAY, 1)
    return folder


def told(folder: Path, *words: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(rounds(folder, *words, "--json")[1])
    return found


def words_of(page: str) -> str:
    return " ".join(page.split())


def notes(folder: Path) -> list[Noted]:
    return [entry for entry in Sheets(folder, "reader").read() if isinstance(entry, Noted) and "eft" in entry.note]


# Signing


def test_no_hand_over_is_signed_over_a_vet_now_matter_on_no_sheet(cut: Path) -> None:
    code, _, words = rounds(cut, "hand-over", "--sign")
    assert code == 7
    assert "Not signed: 1 vet-now matter on no sheet." in words
    assert "Wattle: straining" in words
    assert "--bring-back" in words
    code, page, _ = rounds(cut, "hand-over")
    assert words_of(page).startswith("VET NOW: Wattle: straining 12 Apr 09:00.")
    assert "MATTERS OPEN: 1 VET NOW" in page.upper()


def test_a_reader_of_it_does_not_make_it_be_signed_over_and_bringing_it_back_does(cut: Path) -> None:
    (matter,) = [one for one in told(cut, "matters")["matters"] if one["level"] == "vet now"]
    read = draft(Acknowledged, "animal/wattle", matter=matter["key"], level="vet now")
    laptop(cut, "2026-04-12 17:00", "rack").record(read)
    assert rounds(cut, "hand-over", "--sign")[0] == 7
    assert rounds(cut, "check", "--bring-back")[0] in (0, 1)
    assert rounds(cut, "hand-over", "--sign")[0] == 0


def test_a_hand_over_given_as_a_line_is_held_to_the_same(cut: Path) -> None:
    code, _, words = rounds(cut, "log", "handed_over", "room")
    assert code == 7
    assert "on no sheet" in words


async def test_in_the_app_it_is_not_signed_either_before_it_was_decided(cut: Path) -> None:
    async with opened(cut, NOW, keeper="AK") as rack:
        await rack.press("h")
        await rack.sees("1 vet-now matter on no sheet: F12")
        await rack.press("s")
        await rack.sees("Not signed. Wattle: straining", "F12 brings it back or leaves it")
        assert not rack.of(HandedOver)


# Where it stands


@pytest.mark.parametrize(
    "command", [("today",), ("matters",), ("hand-over",), ("show", "wattle"), ("find", "wattle")]
)
def test_it_stands_first_on_every_page_with_its_step_and_in_json(cut: Path, command: tuple[str, ...]) -> None:
    first = words_of(rounds(cut, *command)[1])
    assert first.startswith("VET NOW: Wattle: straining 12 Apr 09:00.")
    assert "On no sheet. Phone a reptile vet now, day or night. Do not wait. Missing: 1 of the entries" in first
    missing = told(cut, *command)["missing"]
    assert [one["level"] for one in missing["matters"]] == ["vet now"]
    assert len(missing["entries"]) == 1


def test_it_counts_among_the_matters_and_at_her_stop(cut: Path) -> None:
    found = told(cut, "matters")
    assert found["counts"]["vet now"] == 1
    assert found["matters"][0]["on_no_sheet"] is True
    (stop,) = [one for one in told(cut, "today")["stops"] if one["name"] == "B3"]
    assert stop["matters"][0]["level"] == "vet now"
    assert told(cut, "show", "wattle", "--referral")["why"][0]["level"] == "vet now"


def test_on_the_page_of_another_it_is_not_said(cut: Path) -> None:
    page = rounds(cut, "show", "karri")[1]
    assert "straining" not in page
    assert "Missing: 1 of the entries" in page
    assert told(cut, "show", "karri")["missing"]["matters"] == []


def test_where_nothing_is_missing_json_says_null(folder: Path) -> None:
    known(folder)
    assert told(folder, "today")["missing"] is None


async def test_at_the_take_over_it_stands_above_all_with_its_step_and_is_read(cut: Path) -> None:
    async with opened(cut, NOW) as rack:
        await rack.settled()
        rack.desk.keeper = ""
        rack.app.open_screen("take over")
        board = words_of(await rack.text())
        assert "open matters: 1 vet now" in board
        assert board.index("VET NOW: Wattle: straining 12 Apr 09:00.") < board.index("Missing: 1 of the entries")
        assert "Phone a reptile vet now, day or night." in board
        await rack.press("enter", "E", "M", "enter")
        await rack.sees("Missing on the sheets", "VET NOW: Wattle: straining")
        await rack.press("backspace")
        await rack.sees("1 of 1 vet matter", "Wattle: straining", "On no sheet.")


async def test_the_line_on_the_walk_names_the_level_and_the_animal(cut: Path) -> None:
    async with opened(cut, NOW, keeper="AK") as rack:
        await rack.sees("MISSING: 1 entry, 1 VET NOW (Wattle). F12.", "VET NOW Wattle: straining")


# What counts as come down


def test_a_sign_more_of_the_same_level_is_said(folder: Path) -> None:
    office(folder, "2026-04-12 08:30").record(draft(ConditionSeen, "animal/wattle", signs=("lethargy",)))
    office(folder).record(draft(ConditionSeen, "animal/wattle", signs=("prolapse", "tremor")))
    known(folder)
    older(folder / TODAY, 1)
    page = words_of(rounds(folder, "matters")[1])
    assert page.startswith("VET NOW: Wattle: ")
    assert "prolapse" in page[: page.index("Missing:")]


def test_a_bright_look_that_is_missing_makes_no_matter_worse(folder: Path) -> None:
    office(folder, "2026-04-12 08:30").record(draft(ConditionSeen, "animal/wattle", signs=("lethargy",)))
    office(folder).record(draft(EggCheckDone, "animal/wattle", absent=("lethargy",)))
    known(folder)
    older(folder / TODAY, 1)
    assert rounds(folder, "matters")[1].startswith("Missing: 1 of")
    assert told(folder, "matters")["missing"]["matters"] == []


def test_a_call_that_is_missing_is_said_so_that_no_one_phones_twice(folder: Path) -> None:
    office(folder).record(STRAINING)
    office(folder, "2026-04-12 10:00").record(draft(VetCalled, "animal/wattle", said="wait until noon"))
    known(folder)
    older(folder / TODAY, 1)
    for command in (("today",), ("show", "wattle"), ("hand-over",), ("check",)):
        assert "Wattle: vet phoned 12 Apr 10:00 (EM). On no sheet." in words_of(rounds(folder, *command)[1])
    assert [one["kind"] for one in told(folder, "matters")["missing"]["vet_calls"]] == ["vet_called"]


async def test_the_walk_names_a_call_that_is_missing(folder: Path) -> None:
    office(folder, "2026-04-12 10:00").record(draft(VetCalled, "animal/wattle", said="wait until noon"))
    known(folder)
    older(folder / TODAY, 1)
    async with opened(folder, NOW, keeper="AK") as rack:
        await rack.sees("MISSING: 1 entry, 1 vet call (Wattle). F12.")


# Leaving it


def test_the_plain_command_leaves_a_vet_matter_only_by_a_word_more_and_notes_it(cut: Path) -> None:
    code, _, words = rounds(cut, "check", "--leave-missing")
    assert code == 7
    assert "Not left: 1 vet matter among what is missing." in words
    assert "VET NOW: Wattle: straining" in words
    assert notes(cut) == []
    code, page, _ = rounds(cut, "check", "--leave-missing", "--sure")
    assert "Left missing: 1 entry." in page
    (left,) = notes(cut)
    assert (left.about, left.by) == ("animal/wattle", "AK")
    assert "VET NOW: Wattle: straining" in left.note
    assert "Left on no sheet: 1 entry: 12 Apr 09:00 EM Wattle" in left.note
    assert "straining" in rounds(cut, "show", "wattle")[1]
    assert "Missing" not in rounds(cut, "today")[1]


def test_whoever_leaves_something_says_who_they_are(cut: Path) -> None:
    err = io.StringIO()
    code = main(
        ("check", "--leave-missing", "--sure"),
        clock=lambda: at(NOW),
        environment={"ROUNDS_COLONY": str(cut)},
        stdin=io.BytesIO(),
        out=io.StringIO(),
        err=err,
    )
    assert code == 2
    assert "--by" in err.getvalue()
    assert "Missing" in rounds(cut, "today")[1]


def test_what_is_no_vet_matter_is_noted_in_one_line_about_the_room(folder: Path) -> None:
    known(folder)
    older(folder / TODAY, 2)
    rounds(folder, "check", "--leave-missing")
    (left,) = notes(folder)
    assert left.about == "room"
    assert left.note.startswith("Left on no sheet: 2 entries: 12 Apr 08:05 EM Wattle ")


async def leaving(rack: Rack) -> None:
    await rack.press("f12")
    await rack.sees("n leave them missing")
    await rack.press("n")


async def test_on_the_screens_a_vet_matter_is_left_by_a_second_y(cut: Path) -> None:
    async with opened(cut, NOW, keeper="AK") as rack:
        await leaving(rack)
        await rack.sees("VET NOW: Wattle: straining", "Leave them?", "y leave them missing")
        await rack.press("enter")
        await rack.sees("MISSING: 1 entry, 1 VET NOW")
        assert notes(cut) == []
        await leaving(rack)
        await rack.press("y")
        await rack.sees_not("MISSING", "F12", "On no sheet. Phone")
        await rack.sees("AK Wattle note: VET NOW: Wattle: straining")
    (left,) = notes(cut)
    assert (left.about, left.by) == ("animal/wattle", "AK")


@pytest.mark.parametrize("key", ["n", "enter", "backspace"])
async def test_a_held_key_leaves_nothing(cut: Path, key: str) -> None:
    async with opened(cut, NOW, keeper="AK") as rack:
        await leaving(rack)
        await rack.hold(key, 40)
        assert notes(cut) == []
        assert rack.desk.missing is not None


@pytest.mark.parametrize("key", ["n", "y"])
async def test_a_key_held_since_before_the_list_was_there_answers_nothing(cut: Path, key: str) -> None:
    async with opened(cut, NOW, keeper="AK") as rack:
        await rack.hold(key, 5)
        await rack.press("f12", after=0.03)
        for _ in range(40):
            await rack.press(key, after=0.03)
        assert rack.desk.missing is not None
        assert notes(cut) == []


async def test_what_goes_missing_while_the_list_is_read_is_not_left_with_it(folder: Path) -> None:
    known(folder)
    older(folder / TODAY, 1)
    late = note("found missing later")
    async with opened(folder, NOW, keeper="AK") as rack:
        await rack.press("f12")
        assert rack.desk.missing is not None
        rack.desk.missing.note([late.entry("late", rack.desk.now(), "EM")], {})
        await rack.press("n")
        assert [one.note for one in rack.desk.missing.entries] == ["found missing later"]


async def test_what_comes_back_while_the_list_is_read_is_not_noted_as_left(cut: Path) -> None:
    async with opened(cut, NOW, keeper="AK") as rack:
        assert rack.desk.missing is not None
        entries = rack.desk.missing.entries
        await leaving(rack)
        rack.desk.missing.came_back({entry.id for entry in entries})
        await rack.press("y")
        assert notes(cut) == []


def test_a_sheet_that_is_gone_under_a_running_desk_is_not_left_by_one_word(folder: Path) -> None:
    """The vet matter stands at that desk until its next start, and would go with it."""
    office(folder).record(STRAINING)
    known(folder)
    running = started(folder, Clock(NOW))
    (folder / TODAY).unlink()
    running.news()
    running.news()
    assert [one.level.word for one in at_stake(running, offered(running))] == ["vet now"]


def test_the_same_sign_since_an_earlier_day_is_one_matter_and_no_worse(folder: Path) -> None:
    office(folder, "2026-04-11 09:00").record(draft(ConditionSeen, "animal/wattle", signs=("lethargy",)))
    office(folder).record(draft(ConditionSeen, "animal/wattle", signs=("lethargy",)))
    known(folder)
    older(folder / "sheets/2026/2026-04-11.office.jsonl", 1)
    assert [one["on_no_sheet"] for one in told(folder, "matters", "--about", "wattle")["matters"]] == [False]
    assert told(folder, "matters")["missing"]["matters"] == []


def test_a_greater_loss_of_weight_is_said_though_a_loss_stands_for_the_vet_already(folder: Path) -> None:
    days = ("2026-03-08", "2026-03-15", "2026-03-22", "2026-03-29", "2026-04-05", "2026-04-12")
    for day, grams in zip(days, (450, 452, 449, 451, 380, 330), strict=True):
        office(folder, f"{day} 09:00").record(weight("karri", grams))
    known(folder)
    older(folder / TODAY, 1)
    (loss,) = told(folder, "matters", "--about", "karri")["missing"]["matters"]
    assert loss["level"] == "vet"
    assert "330 g" in loss["says"]


def test_an_animal_that_only_missing_entries_know_has_its_matter_too(folder: Path) -> None:
    office(folder).record(
        draft(Arrived, "animal/hakea", name="Hakea", sex="F", place="enclosure/b4", hatched=date(2023, 2, 1)),
        draft(ConditionSeen, "animal/hakea", signs=("tremor",)),
    )
    known(folder)
    older(folder / TODAY, 2)
    assert words_of(rounds(folder, "matters")[1]).startswith("VET NOW: Hakea: tremor")
    assert rounds(folder, "hand-over", "--sign")[0] == 7
    rounds(folder, "check", "--leave-missing", "--sure")
    (left,) = notes(folder)
    assert left.about == "room"
    assert "VET NOW: Hakea: tremor" in left.note


def test_no_danger_on_no_sheet_is_put_off(cut: Path) -> None:
    key = told(cut, "matters")["matters"][0]["key"]
    code, _, words = rounds(cut, "log", "put_off", "wattle", f"matter={key}", "until=2026-04-13", "reason=busy")
    assert code == 5
    assert "a danger sign cannot be put off" in words


async def test_a_sheet_that_goes_while_the_walk_stands_open_is_said_without_a_key(folder: Path) -> None:
    known(folder)
    async with opened(folder, NOW, keeper="AK") as rack:
        await rack.sees_not("MISSING")
        (folder / TODAY).unlink()
        rack.app.listen()
        rack.app.listen()
        await rack.sees("MISSING: 3 entries. F12 shows them.")
