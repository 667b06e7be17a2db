"""A desk looks after its own sheets: what costs a name and what does not, what it reads again, what it says."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from rounds.desk import own_journal
from rounds.desk.desk import Desk
from rounds.errors import NotSaved
from rounds.logbook.entries import Corrected, Entry
from rounds.sheets.disk import Disk
from rounds.sheets.journal import KEPT
from tests.desks.clones import Machine, own, put_back
from tests.desks.laptops import Clock, note, weight


@contextmanager
def refusing(desk: Desk) -> Iterator[None]:
    """The disk takes nothing."""
    disk = desk.sheets._disk

    def full(_handle: int, _content: bytes) -> int:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    disk.write = full  # type: ignore[method-assign, assignment]
    try:
        yield
    finally:
        del disk.write


# Tried again


def tried_twice(desk: Desk, clock: Clock, write: Callable[[], tuple[Entry, ...]]) -> tuple[Entry, ...]:
    """What is on disk after it was refused, and tried again by the same question."""
    given: list[list[Entry]] = []
    append = desk.sheets.append

    def noting(entries: list[Entry], day: object) -> tuple[Entry, ...]:
        given.append([*entries])
        return append(entries, day)  # type: ignore[arg-type]

    desk.sheets.append = noting  # type: ignore[method-assign, assignment]
    with refusing(desk), pytest.raises(NotSaved):
        write()
    clock.forward(minutes=2)
    saved = write()
    assert given[0] == given[1] == [*saved]
    return saved


def test_a_save_tried_again_has_its_ids_so_that_it_counts_once_wherever_the_first_try_went(
    shed: Machine, clock: Clock
) -> None:
    desk = shed.open()
    draft = weight("wattle", 451)
    (first,) = tried_twice(desk, clock, lambda: desk.record(draft))
    (other,) = desk.record(weight("wattle", 451))
    assert other.id != first.id, "another key is another entry"
    saved = tried_twice(desk, clock, lambda: desk.correct(first, draft, "a slip"))
    assert [type(one) is Corrected for one in saved] == [True, False]
    wrong = desk.last_save()
    clock.forward(minutes=1)
    with refusing(desk), pytest.raises(NotSaved):
        desk.take_back(wrong=wrong)
    before = desk.sheets.append
    ids: list[str] = []
    with refusing(desk):
        desk.sheets.append = lambda entries, day: ids.extend(one.id for one in entries) or before(entries, day)  # type: ignore[method-assign, func-returns-value]
        for _ in range(2):
            clock.forward(minutes=1)
            with pytest.raises(NotSaved):
                desk.take_back(wrong=wrong)
    assert len(set(ids)) * 2 == len(ids)


# What costs no name and no reading


def test_a_blank_line_at_the_end_of_the_sheet_costs_no_record_and_no_name(shed: Machine) -> None:
    shed.write("451")
    name = shed.name
    shed.quit()
    with own(shed, name).open("ab") as sheet:
        sheet.write(b"\n")
    shed.write("452")
    shed.write("453")
    (record,) = (shed.home / "rounds/journal").rglob(f"2026-04-12.{name}.jsonl")
    assert record.read_bytes() == own(shed, name).read_bytes()
    shed.quit()
    assert (shed.name, shed.told) == (name, [])


def test_a_sheet_that_is_just_being_replaced_is_waited_for_before_the_first_save_too(shed: Machine) -> None:
    shed.write("451")
    name = shed.name
    shed.quit()
    shed.open()
    shed.listen()
    sheet = own(shed, name)
    content = sheet.read_bytes()
    sheet.unlink()
    shed.listen()
    sheet.write_bytes(content)
    for _ in range(2):
        shed.listen()
    assert (shed.name, shed.told) == (name, [])
    sheet.unlink()
    for _ in range(2):
        shed.listen()
    assert shed.ids() >= set(shed.acknowledged)


def test_after_a_change_of_rights_the_sheets_are_held_against_their_marks_once(
    shed: Machine, monkeypatch: pytest.MonkeyPatch
) -> None:
    from rounds.sheets import watch
    from rounds.sheets.history import Shelf

    monkeypatch.setattr(watch, "_SETTLED_NS", -1)
    for _ in range(3):
        shed.write()
    assert shed.desk is not None
    shed.desk.close(keeping=True)
    shed.desk = None
    for sheet in shed.sheets():
        os.utime(sheet, ns=(sheet.stat().st_atime_ns, sheet.stat().st_mtime_ns - 10**9))
    read: list[str] = []
    shelf_read = Shelf.read_behind

    def noting(shelf: Shelf, path: str, *more: Any) -> Any:
        read.append(path)
        return shelf_read(shelf, path, *more)

    monkeypatch.setattr(Shelf, "read_behind", noting)
    desk = shed.open()
    desk.close(keeping=True)
    shed.desk = None
    assert {*read} >= {str(sheet.relative_to(shed.colony)) for sheet in shed.sheets()}
    read.clear()
    shed.open()
    assert len(read) <= 1, "one at most, in turn"


# Another window, and a disk that is full


def looked_at(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The files and folders that are opened or listed from now on."""
    found: list[str] = []

    def noting(call: Callable[..., Any]) -> Callable[..., Any]:
        def noted(disk: Disk, path: str, *more: Any) -> Any:
            found.append(disk._at(path))
            return call(disk, path, *more)

        return noted

    for name in ("open", "list"):
        monkeypatch.setattr(Disk, name, noting(getattr(Disk, name)))
    return found


def test_a_desk_that_has_not_written_yet_reads_no_sheet_and_lists_no_year_at_each_look(
    shed: Machine, monkeypatch: pytest.MonkeyPatch
) -> None:
    from rounds.sheets import watch

    monkeypatch.setattr(watch, "_SETTLED_NS", -1)
    shed.write()
    shed.quit()
    desk = shed.open()
    for _ in range(2):
        shed.listen()
    found = looked_at(monkeypatch)
    desk.look_after_own(back=True, patient=True)
    assert [path for path in found if path.startswith(str(shed.colony))] == []


def test_what_another_window_writes_costs_a_look_at_its_sheet_and_not_at_a_month(
    shed: Machine, clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    for _ in range(5):
        shed.write()
        clock.forward(days=1)
    shed.listen()
    window = Desk.open(shed.colony, clock=clock, keeper="EM")
    window.record(note("from the other window"))
    shed.listen()
    window.record(note("and one more"))
    found = looked_at(monkeypatch)
    shed.listen()
    window.close()
    earlier = {"2026-04-13", "2026-04-14", "2026-04-15"}
    assert [path for path in found if any(day in path for day in earlier) and "journal" in path] == []


def test_while_something_is_owed_and_the_disk_is_full_only_the_year_is_listed(
    shed: Machine, monkeypatch: pytest.MonkeyPatch
) -> None:
    shed.write("451")
    older = own(shed).read_bytes()
    shed.write("452")
    (shed.colony / "sheets/2024").mkdir()
    put_back(own(shed), older)
    desk = shed.open()
    with refusing(desk):
        shed.listen()
        found = looked_at(monkeypatch)
        desk.look_after_own(patient=True)
    assert [path for path in found if path.endswith(("sheets", "sheets/2024"))] == []
    shed.listen()
    assert shed.ids() >= set(shed.acknowledged)


# A clock that was wrong once


def test_a_clock_set_far_ahead_for_a_day_throws_no_record_away(shed: Machine, clock: Clock) -> None:
    shed.write()
    shed.quit()
    clock.set("2106-01-01 08:00")
    shed.write()
    shed.quit()
    assert any(file.name.startswith("2026-04-12") for file in own_journal.place(shed.colony).rglob("*.jsonl"))
    assert KEPT.days == 31


def test_a_folder_of_records_that_the_disk_does_not_give_ends_nothing(
    shed: Machine, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refused(_self: Path, _pattern: str) -> Iterator[Path]:
        raise OSError(errno.EIO, "Input/output error")

    shed.write()
    shed.quit()
    monkeypatch.setattr(Path, "glob", refused)
    shed.write()
    assert shed.ids() >= set(shed.acknowledged)
