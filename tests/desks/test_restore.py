"""Back up and restore, tried: a backup is a copy of the folder, and putting it back finds everything."""

from __future__ import annotations

import io
import shutil
import subprocess
import sys
from collections.abc import Sequence
from datetime import date, datetime
from pathlib import Path

import pytest

from rounds.cli import main, restoring
from rounds.errors import NotSaved
from rounds.logbook.entries import Entry
from rounds.sheets.store import Sheets
from tests.conftest import RecordFigure
from tests.desks.laptops import ROOM, Clock, colony, ids, laptop, matters, note, stop, weight
from tests.notation import at

PROJECT = Path(__file__).parents[2]
NOW = "2026-04-12 18:00"
WRITER = """
import sys
from pathlib import Path
from rounds.errors import NotSaved
from rounds.logbook.drafts import draft
from rounds.logbook.entries import Noted
desk = Desk.open(Path(sys.argv[1]), keeper="AK")
while True:
    saved = desk.record(*(draft(Noted, "room", note="x" * 900) for _ in range(3)))
    print(*(one.id for one in saved), flush=True)
"""


def rounds(folder: Path, *words: str, stdin: bytes = b"", now: str = NOW) -> tuple[int, str, str]:
    """A plain command: exit code, data, words."""
    out, err = io.StringIO(), io.StringIO()
    moment: datetime = at(now)
    code = main(
        words,
        clock=lambda: moment,
        environment={"ROUNDS_COLONY": str(folder), "ROUNDS_KEEPER": "AK"},
        stdin=io.BytesIO(stdin),
        out=out,
        err=err,
    )
    return code, out.getvalue(), err.getvalue()


@pytest.fixture
def kept(tmp_path: Path) -> Path:
    """A colony in which some weeks were written down at two desks."""
    folder = colony(tmp_path / "colony", ROOM)
    clock = Clock("2026-03-02 08:00")
    desks = [laptop(folder, clock, "rack", "AK"), laptop(folder, clock, "office", "EM")]
    for day in range(40):
        for desk in desks:
            desk.record(stop("b3", f"{clock.now:%Y-%m-%d}"), weight("wattle", 450 + day % 7))
            clock.forward(minutes=3)
        clock.forward(days=1)
    desks[1].news()
    desks[1].correct(desks[1].recent[0], because="the other tub")
    return folder


def test_a_copy_of_the_folder_put_back_somewhere_else_holds_everything(kept: Path, tmp_path: Path) -> None:
    before = laptop(kept, NOW)
    shutil.copytree(kept, tmp_path / "backup")
    shutil.rmtree(kept)
    restored = shutil.copytree(tmp_path / "backup", tmp_path / "new disk" / "colony")
    after = laptop(restored, NOW)
    assert after.standing.digest() == before.standing.digest()
    assert matters(after) == matters(before)
    assert after.troubles == []
    assert rounds(restored, "today")[:2] == (0, rounds(tmp_path / "backup", "today")[1])
    assert rounds(restored, "check")[0] == rounds(tmp_path / "backup", "check")[0]
    (entry,) = after.record(note("and on it goes"))
    assert entry.id in ids(restored)


def test_only_the_sheets_and_the_settings_need_to_be_copied(kept: Path, tmp_path: Path) -> None:
    restored = tmp_path / "restored"
    restored.mkdir()
    shutil.copytree(kept / "sheets", restored / "sheets")
    shutil.copy(kept / "colony.toml", restored)
    assert laptop(restored, NOW).standing.digest() == laptop(kept, NOW).standing.digest()


def test_a_desk_goes_on_in_the_sheets_it_wrote_before_the_restore(kept: Path, tmp_path: Path) -> None:
    clock = Clock(NOW)
    desk = laptop(kept, clock)
    (early,) = desk.record(note("before"))
    shutil.copytree(kept, tmp_path / "backup")
    (lost,) = desk.record(note("after the backup"))
    shutil.rmtree(kept)
    shutil.copytree(tmp_path / "backup", kept)
    again = laptop(kept, clock)
    (later,) = again.record(note("after the restore"))
    found = ids(kept)
    assert early.id in found
    assert later.id in found
    assert lost.id not in found, "what no copy holds is gone: a backup is as old as it is"
    assert [path.name for path in kept.rglob("2026-04-12.rack*")] == ["2026-04-12.rack.jsonl"]


def test_a_running_desk_writes_down_again_what_a_restore_under_it_took_away(kept: Path, tmp_path: Path) -> None:
    desk = laptop(kept, Clock(NOW))
    shutil.copytree(kept, tmp_path / "backup")
    saved = [desk.record(note(f"{number}"))[0].id for number in range(5)]
    shutil.rmtree(kept / "sheets")
    shutil.copytree(tmp_path / "backup" / "sheets", kept / "sheets")
    saved += [desk.record(note("after it"))[0].id]
    assert set(saved) <= set(ids(kept))
    assert [name for name in desk.names if name != "rack"] == [desk.name]
    (told,) = desk.notices
    assert told == "5 entries were gone from 2026-04-12.rack.jsonl. They are saved again. Nothing is lost."


def test_a_running_desk_whose_whole_folder_was_replaced_saves_nothing_and_says_so(
    kept: Path, tmp_path: Path
) -> None:
    desk = laptop(kept, Clock(NOW))
    shutil.copytree(kept, tmp_path / "backup")
    kept.rename(tmp_path / "away")
    shutil.copytree(tmp_path / "backup", kept)
    before = ids(kept)
    with pytest.raises(NotSaved, match="the colony's folder is gone"):
        desk.record(note("where would this go?"))
    assert ids(kept) == before
    (entry,) = laptop(kept, NOW).record(note("after a new start"))
    assert entry.id in ids(kept)


def test_a_copy_made_while_a_desk_writes_holds_all_that_was_acknowledged_before_it_began(
    kept: Path, tmp_path: Path, record_figure: RecordFigure
) -> None:
    command = [sys.executable, "-c", WRITER, str(kept)]
    with subprocess.Popen(command, cwd=PROJECT, stdout=subprocess.PIPE, text=True) as writer:
        assert writer.stdout is not None
        acknowledged: set[str] = set()
        torn = 0
        for number in range(12):
            acknowledged.update(writer.stdout.readline().split())
            backup = shutil.copytree(kept, tmp_path / f"backup-{number}")
            sheets = Sheets(backup, "reader")
            found = [entry.id for entry in sheets.read()]
            assert acknowledged <= set(found)
            assert len(found) == len(set(found))
            torn += any("not finished" in one.what for one in sheets.troubles)
            assert all("not finished" in one.what for one in sheets.troubles)
        writer.kill()
        writer.stdout.read()
    record_figure("backups copied while a desk writes", f"12, {torn} of them in the middle of a save, nothing lost")


def test_a_sheet_that_was_deleted_comes_back_from_the_backup_while_the_desk_is_open(
    kept: Path, tmp_path: Path
) -> None:
    shutil.copytree(kept, tmp_path / "backup")
    desk = laptop(kept, NOW)
    before = desk.standing.digest()
    lost = sorted(kept.rglob("*.office.jsonl"))[5]
    lost.unlink()
    assert len(ids(kept)) == len(ids(tmp_path / "backup")) - 2
    shutil.copy(tmp_path / "backup" / lost.relative_to(kept), lost)
    desk.news()
    assert desk.standing.digest() == before == laptop(kept, NOW).standing.digest()


def test_the_other_laptops_copy_is_a_backup_too(kept: Path, tmp_path: Path) -> None:
    other = shutil.copytree(kept, tmp_path / "other")
    (newer,) = laptop(other, NOW, "other", "LO").record(note("written there since"))
    for sheet in kept.rglob("2026-03-*.jsonl"):
        sheet.unlink()
    shutil.copytree(other, kept, dirs_exist_ok=True)
    assert ids(kept) == ids(other)
    assert newer.id in ids(kept)
    assert laptop(kept, NOW).standing.digest() == laptop(other, NOW).standing.digest()


def test_entries_printed_as_lines_make_the_same_colony_anew(kept: Path, tmp_path: Path) -> None:
    code, lines, _ = rounds(kept, "show", "--lines")
    assert code == 0
    assert lines.count("\n") == len(ids(kept))
    fresh = colony(tmp_path / "fresh", "")
    code, _, said = rounds(fresh, "log", "-", stdin=lines.encode())
    assert code == 0, said
    assert laptop(fresh, NOW).standing.digest() == laptop(kept, NOW).standing.digest()
    assert rounds(fresh, "matters")[1] == rounds(kept, "matters")[1]
    code, _, said = rounds(fresh, "log", "-", stdin=lines.encode())
    assert (code, "stood on the sheets already" in said) == (0, True), "twice does no harm"


def by_day(folder: Path) -> dict[str, int]:
    """How many lines lie on the sheets of each day."""
    found: dict[str, int] = {}
    for sheet in folder.rglob("*.jsonl"):
        found[sheet.name[:10]] = found.get(sheet.name[:10], 0) + sheet.read_bytes().count(b"\n")
    return found


@pytest.mark.parametrize("piece", [restoring.PIECE_LINES, 7])
def test_lines_are_written_on_the_sheets_of_their_days_also_when_they_are_taken_piece_by_piece(
    kept: Path, tmp_path: Path, piece: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(restoring, "PIECE_LINES", piece)
    (late,) = laptop(kept, "2026-04-11 08:00").record(weight("sedge", 380, at("2026-03-05 07:00")))
    lines = rounds(kept, "show", "--lines")[1].encode()
    fresh = colony(tmp_path / "fresh", "")
    code, _, said = rounds(fresh, "log", "-", stdin=lines)
    assert code == 0, said
    assert by_day(fresh) == by_day(kept)
    assert {entry.id: entry for entry in Sheets(fresh, "r").read()} == {
        entry.id: entry for entry in Sheets(kept, "r").read()
    }
    assert late.id in ids(fresh)
    assert laptop(fresh, NOW).standing.digest() == laptop(kept, NOW).standing.digest()
    assert rounds(fresh, "today", "--json")[1] == rounds(kept, "today", "--json")[1]
    before = by_day(fresh)
    code, _, said = rounds(fresh, "log", "-", stdin=lines)
    assert (code, "stood on the sheets already" in said) == (0, True)
    assert by_day(fresh) == before


@pytest.mark.parametrize("piece", [restoring.PIECE_LINES, 7])
def test_a_restore_that_was_stopped_half_way_goes_on_and_nothing_doubles(
    kept: Path, tmp_path: Path, piece: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(restoring, "PIECE_LINES", piece)
    lines = rounds(kept, "show", "--lines")[1].encode().splitlines(keepends=True)
    fresh = colony(tmp_path / "fresh", "")
    append = Sheets.append
    saves = iter(range(10_000))

    def full(sheets: Sheets, entries: Sequence[Entry], day: date) -> tuple[Entry, ...]:
        if next(saves) == 15:
            raise NotSaved("Not saved: the disk is full.")
        return append(sheets, entries, day)

    monkeypatch.setattr(Sheets, "append", full)
    code, _, said = rounds(fresh, "log", "-", stdin=b"".join(lines))
    assert code == 6
    assert "Give the same lines again to go on" in said
    assert 0 < len(ids(fresh)) < len(lines)
    monkeypatch.setattr(Sheets, "append", append)
    assert rounds(fresh, "log", "-", stdin=b"".join(lines))[0] == 0
    assert by_day(fresh) == by_day(kept)
    assert ids(fresh) == ids(kept)


@pytest.mark.parametrize("piece", [restoring.PIECE_LINES, 7])
def test_a_line_that_was_damaged_or_stands_twice_is_told_by_its_number(
    kept: Path, tmp_path: Path, piece: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(restoring, "PIECE_LINES", piece)
    lines = rounds(kept, "show", "--lines")[1].encode().splitlines(keepends=True)
    fresh = colony(tmp_path / "fresh", "")
    damaged = [*lines[:20], lines[20][:-9] + b"\n", *lines[21:]]
    code, _, said = rounds(fresh, "log", "-", stdin=b"".join(damaged))
    assert code == 5
    assert "line 21: it is no JSON" in said
    other = lines[9].replace(b'"by":"', b'"by":"X')
    code, _, said = rounds(fresh, "log", "-", stdin=b"".join([*lines, other]))
    assert code == 5
    assert f"line {len(lines) + 1}: the id" in said
    code, _, said = rounds(fresh, "log", "-", stdin=b"".join([*lines[:30], lines[29], *lines[30:]]))
    assert code == 0
    assert ("line 31: this entry stands further up" in said) == (piece > 100)
    assert ids(fresh) == ids(kept)


def test_after_check_reports_damage_the_line_is_set_aside_and_the_sheet_comes_back_from_the_backup(
    kept: Path, tmp_path: Path
) -> None:
    shutil.copytree(kept, tmp_path / "backup")
    hurt = sorted(kept.rglob("*.office.jsonl"))[5]
    content = bytearray(hurt.read_bytes())
    content[content.index(b"grams") + 8] ^= 1
    hurt.write_bytes(bytes(content))

    code, said, _ = rounds(kept, "check")
    assert code == 1
    name = str(hurt.relative_to(kept))
    told = " ".join(said.split())
    assert "DAMAGED SHEETS: 1" in told
    assert "line 2 was changed after it was written" in told
    assert name in told
    assert len(ids(kept)) == len(ids(tmp_path / "backup")) - 1, "all other entries count"

    _, said, _ = rounds(kept, "check", "--repair")
    assert "1 line set aside" in " ".join(said.split())
    assert hurt.read_bytes().count(b"\n") == 1
    assert len(ids(kept)) == len(ids(tmp_path / "backup")) - 1, "and no other entry went with it"
    (aside,) = (kept / "sheets" / "aside").iterdir()
    assert aside.read_bytes() == bytes(content), "as it was found"
    assert "DAMAGED" not in rounds(kept, "check")[1]

    shutil.copy(tmp_path / "backup" / name, hurt)
    assert ids(kept) == ids(tmp_path / "backup")
    assert laptop(kept, NOW).standing.digest() == laptop(tmp_path / "backup", NOW).standing.digest()


@pytest.mark.parametrize("hurt", [0, 1, 2, 3, 4])
@pytest.mark.parametrize("behind", [True, False])
def test_a_repair_leaves_counting_what_counted_before_it(hurt: int, behind: bool, tmp_path: Path) -> None:
    folder = colony(tmp_path / "colony", "")
    desk = laptop(folder, "2026-03-10 08:00")
    desk.record(*(note(f"number {number}") for number in range(5)))
    if behind:
        desk.record(note("the next key"))
    sheet = next(folder.rglob("*.jsonl"))
    lines = sheet.read_bytes().splitlines(keepends=True)
    lines[hurt] = lines[hurt].replace(b"number", b"nunber")
    sheet.write_bytes(b"".join(lines))
    before = ids(folder)
    assert len(before) == 4 + behind, "one line is damaged, the others of its save count"
    assert rounds(folder, "check", "--repair")[1].count("1 line set aside") == 1
    assert ids(folder) == before
    laptop(folder, NOW).record(note("and the desk goes on"))
    assert len(ids(folder)) == len(before) + 1
