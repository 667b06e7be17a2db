"""A start that finds less than was read before says so, and offers what is still known."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from rounds import folders
from rounds.cache.cache import Cache
from rounds.desk.colony_file import load, write_new
from rounds.desk.desk import Desk
from rounds.desk.missing import Missing
from rounds.desk.offer import leave_missing, offered
from rounds.logbook.drafts import draft
from rounds.logbook.entries import EggCheckDone, Entry
from rounds.sheets.repair import repair
from rounds.sheets.store import Sheets
from tests.desks.laptops import Clock, colony, ids, laptop, note, weight, weights
from tests.desks.test_restore import rounds
from tests.notation import at
from tests.screens.rack import opened

NOW = "2026-04-12 18:00"
TODAY = Path("sheets/2026/2026-04-12.office.jsonl")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """The office weighed Wattle three times today, and wrote a note two days ago."""
    made = colony(tmp_path / "colony")
    clock = Clock("2026-04-10 08:00")
    office = laptop(made, clock, "office", "EM")
    office.record(note("an old note"))
    clock.set("2026-04-12 08:00")
    for grams in (451, 452, 453):
        office.record(weight("wattle", grams))
        clock.forward(minutes=5)
    return made


def started(folder: Path, clock: Clock | str = NOW) -> Desk:
    """A desk that goes on from what it knew, as `rounds` opens it."""
    desk = Desk(
        folder,
        load(folder),
        Sheets(folder, "rack"),
        clock=Clock(clock) if isinstance(clock, str) else clock,
        keeper="AK",
        cache=Cache(folder),
        missing=Missing(folders.state(), folder),
    )
    if not desk.load_from_cache(at_once=False):
        desk.read()
    return desk


def known(folder: Path) -> None:
    """A run that reads everything and keeps it."""
    desk = started(folder)
    assert desk.missing is None
    assert desk.keep()
    desk.close()


def older(sheet: Path, lines: int) -> None:
    """An older copy is renamed over it: so many lines fewer."""
    copy = sheet.with_name("copy")
    copy.write_bytes(b"".join(sheet.read_bytes().splitlines(keepends=True)[:-lines]))
    copy.rename(sheet)


def missing(desk: Desk) -> list[Entry]:
    return [] if desk.missing is None else list(desk.missing.entries)


def test_a_start_that_finds_an_older_copy_of_a_sheet_says_so_and_the_keeper_has_the_lines_written_again(
    folder: Path,
) -> None:
    known(folder)
    before = {entry.id: entry for entry in Sheets(folder, "reader").read()}
    older(folder / TODAY, 2)
    desk = started(folder)
    assert weights(desk, "wattle") == [451]
    assert [entry.grams for entry in missing(desk)] == [452, 453]  # type: ignore[attr-defined]
    assert desk.missing is not None
    assert desk.missing.sentence == (
        f"Missing: 2 of the entries that were read here stand on no sheet any more. {TODAY} is 2 lines shorter."
    )
    again = started(folder)
    assert missing(again) == missing(desk), "until something is done about it, whatever else is kept"
    written = again.bring_back()
    assert [before[entry.id] for entry in written] == list(written), "with their own ids, times and initials"
    assert again.missing is None
    assert weights(again, "wattle") == [451, 452, 453]
    again.close()
    after = {entry.id: entry for entry in Sheets(folder, "reader").read()}
    (note_of_it,) = (after.pop(id) for id in after.keys() - before.keys())
    assert (note_of_it.about, note_of_it.note) == (
        "room",
        f"2 entries are written again by desk rack, as the keeper said: gone from {TODAY.name}.",
    )
    assert after == before
    assert again.last_save() == (), "the note is no key of the keeper's"
    assert started(folder).missing is None


def test_what_the_keeper_leaves_missing_is_not_offered_again(folder: Path) -> None:
    known(folder)
    older(folder / TODAY, 1)
    desk = started(folder)
    leave_missing(desk, offered(desk))
    assert desk.missing is None
    assert started(folder).missing is None
    assert desk.keep()
    older(folder / TODAY, 1)
    assert [entry.grams for entry in missing(started(folder))] == [452]  # type: ignore[attr-defined]


@pytest.mark.parametrize("while_open", [True, False])
def test_when_the_sheet_comes_back_the_offer_is_gone_and_each_entry_counts_once(
    folder: Path, tmp_path: Path, while_open: bool
) -> None:
    known(folder)
    shutil.copytree(folder, tmp_path / "backup")
    older(folder / TODAY, 2)
    desk = started(folder)
    assert len(missing(desk)) == 2
    assert desk.keep()
    shutil.copy(tmp_path / "backup" / TODAY, folder / TODAY)
    if while_open:
        desk.news()
    else:
        desk = started(folder)
    assert desk.missing is None
    assert weights(desk, "wattle") == [451, 452, 453]
    assert started(folder).missing is None


def test_a_sheet_that_is_gone_is_offered_whole_also_by_a_desk_that_is_open(folder: Path) -> None:
    known(folder)
    running = started(folder)
    (folder / TODAY).rename(folder / "elsewhere")
    running.news()
    assert running.missing is None, "it may be just being replaced"
    running.news()
    assert len(missing(running)) == 3
    assert weights(running, "wattle") == [451, 452, 453], "until the next start it counts"
    (folder / "elsewhere").rename(folder / TODAY)
    running.news()
    assert running.missing is None
    (folder / TODAY).unlink()
    later = started(folder)
    assert len(missing(later)) == 3
    assert f"{TODAY} is 3 lines shorter" in (later.missing.sentence if later.missing else "")


def test_what_another_desk_writes_again_is_missing_no_more(folder: Path) -> None:
    known(folder)
    running = started(folder)
    gone = [entry for entry in Sheets(folder, "reader").read() if getattr(entry, "grams", 0) > 450]
    (folder / TODAY).unlink()
    running.news()
    running.news()
    assert len(missing(running)) == 3
    Sheets(folder, "office-2").append(gone, at(NOW).date())
    running.news()
    assert running.missing is None
    assert weights(running, "wattle") == [451, 452, 453]


def test_a_running_desk_whose_sheets_are_put_back_by_older_ones_reads_again_and_offers(folder: Path) -> None:
    running = started(folder)
    older(folder / TODAY, 2)
    stale = []
    for _ in range(2):
        running.news()
        stale.append(running.is_stale)
    assert stale == [False, True], "at the first look it may be just being copied"
    running.read()
    assert [entry.grams for entry in missing(running)] == [452, 453]  # type: ignore[attr-defined]


def test_a_sheet_that_is_just_being_copied_anew_is_waited_for(folder: Path) -> None:
    running = started(folder)
    whole = (folder / TODAY).read_bytes()
    with (folder / TODAY).open("r+b") as copying:
        copying.truncate()
        for place in range(0, len(whole), 50):
            running.news()
            copying.write(whole[place : place + 50])
            copying.flush()
    running.news()
    assert not running.is_stale
    assert running.missing is None
    assert weights(running, "wattle") == [451, 452, 453]


def test_an_entry_whose_line_is_damaged_is_offered_and_after_a_repair_it_is_not(folder: Path) -> None:
    known(folder)
    sheet = folder / "sheets/2026/2026-04-10.office.jsonl"
    sheet.write_bytes(sheet.read_bytes().replace(b"an old note", b"an odd note"))
    kept = Cache(folder).folder
    shutil.copytree(kept, kept.with_name("before"))
    assert [entry.note for entry in missing(started(folder))] == ["an old note"]
    shutil.rmtree(folders.state() / "missing")
    shutil.rmtree(kept)
    kept.with_name("before").rename(kept)
    repair(folder, at(NOW).date())
    assert started(folder).missing is None


def test_what_was_answered_by_a_correction_is_not_offered(folder: Path) -> None:
    clock = Clock(NOW)
    desk = started(folder, clock)
    wrong = next(entry for entry in desk.recent if getattr(entry, "grams", 0) == 453)
    desk.correct(wrong, because="the other tub")
    assert desk.keep()
    desk.close()
    older(folder / TODAY, 1)
    assert missing(started(folder, clock)) == []


def test_a_correction_that_is_missing_is_offered_too(folder: Path) -> None:
    clock = Clock("2026-04-12 09:00")
    office = laptop(folder, clock, "office", "EM")
    office.correct(next(entry for entry in office.recent if getattr(entry, "grams", 0) == 452), because="a slip")
    known(folder)
    older(folder / TODAY, 1)
    desk = started(folder)
    assert [entry.kind for entry in missing(desk)] == ["corrected"]
    assert weights(desk, "wattle") == [451, 452, 453]
    desk.bring_back()
    assert weights(desk, "wattle") == [451, 453]


def test_nothing_is_offered_of_another_colony_at_the_same_place(folder: Path) -> None:
    known(folder)
    shutil.rmtree(folder)
    write_new(folder, "Quandong shed", "Europe/Vienna")
    assert started(folder).missing is None
    laptop(folder, NOW, "office").record(note("another room"))
    assert started(folder).missing is None


def test_what_was_tried_in_a_demo_is_not_missing_in_the_next_one(tmp_path: Path) -> None:
    demo = tmp_path / "demo"
    for _ in range(2):
        assert rounds(demo, "demo", "--folder", str(demo), "--fresh", "--by", "AK")[0] == 0
        desk = started(demo)
        assert desk.missing is None
        desk.record(note("tried"))
        assert desk.keep()
        desk.close()


def test_when_all_sheets_of_a_colony_are_gone_they_are_offered(folder: Path) -> None:
    known(folder)
    every = ids(folder)
    shutil.rmtree(folder / "sheets")
    desk = started(folder)
    assert sorted(entry.id for entry in missing(desk)) == every
    desk.bring_back()
    desk.close()
    assert len(ids(folder)) == len(every) + 1, "and a note of it"
    assert set(ids(folder)) > set(every)


def test_a_sheet_under_another_name_is_nothing_missing(folder: Path) -> None:
    known(folder)
    (folder / TODAY).rename((folder / TODAY).with_name("2026-04-12.office.2.jsonl"))
    assert started(folder).missing is None


def test_the_plain_commands_say_it_first_and_write_it_again(folder: Path) -> None:
    her = laptop(folder, "2026-04-12 09:00", "office", "EM")
    her.record(draft(EggCheckDone, "animal/wattle", present=("straining",), absent=("digging",)))
    assert "vet" in rounds(folder, "matters")[1]
    known(folder)
    older(folder / TODAY, 1)
    code, page, words = rounds(folder, "today")
    assert code == 0
    assert page.startswith("VET NOW: Wattle: straining")
    assert "Missing: 1 of the entries" in page
    assert "Missing: 1 of the entries" in words
    code, page, _ = rounds(folder, "check")
    told = " ".join(page.split())
    assert code == 1
    assert "MISSING ON THE SHEETS" in told
    assert "12 Apr 09:00 EM Wattle" in told
    code, page, _ = rounds(folder, "check", "--bring-back")
    assert "Written again: 1 entry." in page
    assert "MISSING" not in page
    assert "Missing" not in rounds(folder, "today")[1]
    assert "vet now" in rounds(folder, "matters")[1]


def test_the_plain_command_leaves_it_missing(folder: Path) -> None:
    known(folder)
    older(folder / TODAY, 1)
    assert "Left missing: 1 entry." in rounds(folder, "check", "--leave-missing")[1]
    assert "MISSING" not in rounds(folder, "check")[1]
    assert rounds(folder, "check", "--bring-back")[1].count("Written again: 0 entries") == 1


async def test_at_the_take_over_it_stands_first_and_y_writes_it_again(folder: Path) -> None:
    known(folder)
    older(folder / TODAY, 2)
    async with opened(folder, NOW) as rack:
        await rack.sees("Missing: 2 of the entries")
        await rack.press("enter", "A", "K", "enter")
        await rack.sees("Missing on the sheets", "452 g", "453 g", "y write them again", "n leave them missing")
        await rack.press("y")
        await rack.sees_not("MISSING")
        assert rack.desk.missing is None
        rack.app.listen()
        await rack.sees("2 entries are written again.")
    assert [getattr(entry, "grams", 0) for entry in Sheets(folder, "reader").read()].count(453) == 1


@pytest.mark.parametrize("key", ["y", "n", "backspace"])
async def test_on_the_walk_a_line_says_it_and_its_key_shows_it(folder: Path, key: str) -> None:
    known(folder)
    older(folder / TODAY, 2)
    async with opened(folder, NOW, keeper="AK") as rack:
        await rack.sees("MISSING: 2 entries. F12 shows them.")
        await rack.press("f12")
        await rack.sees("452 g", "Missing on the sheets")
        await rack.press(key)
        if key == "backspace":
            await rack.sees("MISSING: 2")
        else:
            await rack.sees_not("MISSING: 2")
        found = [getattr(entry, "grams", 0) for entry in Sheets(folder, "reader").read()]
        assert (452 in found) == (key == "y")


def test_what_was_left_missing_is_offered_again_when_it_came_back_and_is_gone_once_more(folder: Path) -> None:
    known(folder)
    whole = (folder / TODAY).read_bytes()
    older(folder / TODAY, 2)
    desk = started(folder)
    assert desk.missing is not None
    desk.missing.leave()
    (folder / TODAY).write_bytes(whole)
    desk = started(folder)
    assert (desk.missing, weights(desk, "wattle")) == (None, [451, 452, 453])
    assert desk.keep()
    older(folder / TODAY, 2)
    assert len(missing(started(folder))) == 2


@pytest.mark.parametrize("while_open", [True, False])
def test_a_sheet_renamed_by_a_copier_is_nothing_missing(folder: Path, while_open: bool) -> None:
    known(folder)
    desk = started(folder)
    (folder / TODAY).rename(folder / "sheets/2026/2026-04-12.office (conflict).jsonl")
    if while_open:
        for _ in range(3):
            desk.news()
    else:
        desk = started(folder)
    assert desk.missing is None


def test_while_the_folder_is_gone_nothing_is_missing(folder: Path, tmp_path: Path) -> None:
    known(folder)
    desk = started(folder)
    for part in ("sheets", ""):
        (folder / part).rename(tmp_path / "drive")
        for _ in range(3):
            desk.news()
        assert desk.missing is None
        (tmp_path / "drive").rename(folder / part)
        desk.news()
    assert weights(desk, "wattle") == [451, 452, 453]
    (folder / TODAY).rename(tmp_path / "gone")
    for _ in range(3):
        desk.news()
    assert len(missing(desk)) == 3


def test_two_windows_note_and_leave_what_is_missing_together(folder: Path) -> None:
    known(folder)
    older(folder / TODAY, 2)
    one, other = started(folder), started(folder)
    assert len(missing(one)) == len(missing(other)) == 2
    assert one.missing is not None
    one.missing.leave()
    other.news()
    assert other.missing is None
    assert started(folder).missing is None


def test_nothing_is_said_of_sheets_that_have_their_lines_again(folder: Path) -> None:
    noted = Missing(folders.state(), folder)
    known(folder)
    noted.note([], {str(TODAY): 2}, {str(TODAY): 3})
    assert started(folder).missing is None


def test_what_a_crowded_day_has_let_go_is_not_missing(tmp_path: Path) -> None:
    clock = Clock("2026-04-05 08:00")
    made = colony(tmp_path / "colony")
    office, bench = laptop(made, clock, "office"), laptop(made, clock, "bench")
    for _ in range(56):
        office.record(weight("wattle", 400))
        clock.forward(minutes=1)
    bench.record(note("a"))
    bench.record(note("b"))
    known(made)
    for _ in range(4):
        office.record(weight("wattle", 300))
        clock.forward(minutes=1)
    sheet = made / "sheets/2026/2026-04-05.bench.jsonl"
    sheet.write_bytes(b"".join(reversed(sheet.read_bytes().splitlines(keepends=True))))
    assert started(made).missing is None


def test_the_check_says_of_lines_written_again_that_a_note_tells_why(folder: Path) -> None:
    known(folder)
    (folder / "sheets/2026/2026-04-10.office.jsonl").unlink()
    desk = started(folder)
    desk.bring_back()
    desk.close()
    _, out, _ = rounds(folder, "check")
    assert "They were written again: a note there says why." in " ".join(out.split())
    assert "elsewhere" not in out


async def test_lines_that_no_one_knows_are_told_without_a_count(folder: Path) -> None:
    known(folder)
    Missing(folders.state(), folder).note([], {str(TODAY): 2}, {str(TODAY): 9})
    async with opened(folder, NOW, keeper="AK") as rack:
        await rack.sees("MISSING: some lines of the sheets. F12 shows them.")
        await rack.sees_not("0 entries")


def test_a_damaged_line_is_told_with_its_sheet(folder: Path) -> None:
    known(folder)
    sheet = folder / TODAY
    sheet.write_bytes(sheet.read_bytes().replace(b'"grams":452', b'"grams":852'))
    desk = started(folder)
    assert desk.missing is not None
    assert desk.missing.sentence == (
        f"Missing: 1 of the entries that were read here stand on no sheet any more. A damaged line on {TODAY}."
    )
    desk.bring_back()
    assert desk.missing is None
