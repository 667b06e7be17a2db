"""`rounds check --repair`: what is damaged is set aside, never guessed at, and nothing is thrown away.

A sheet is mended in three steps, each on disk before the next: the sheet as it was found is kept whole in
`sheets/aside/`; a new file with its sound lines, byte for byte as they were written, is made beside it;
that file takes the sheet's place at once. Stopped at any moment, one of the two whole files is there.
"""

from __future__ import annotations

import contextlib
import os
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import NamedTuple

from rounds.logbook import rows
from rounds.sheets.aside import keep_aside, make_folders, sync_folders
from rounds.sheets.disk import Disk, FileStatus, write_all
from rounds.sheets.history import Shelf
from rounds.sheets.parse import judge, line_by_line, stripped
from rounds.sheets.watch import day_in, name_of, shown


class Mended(NamedTuple):
    """What was done about one sheet, or why nothing was."""

    path: str
    #: Where the sheet as it was found lies now; empty when it was left as it is.
    aside: str
    what: str


def repair(folder: Path, today: date, disk: Disk | None = None) -> list[Mended]:
    """Set aside what is damaged on the sheets of days before `today` (the room's date).

    Sheets of today and later are left alone: a desk may be writing them. A copy made by a sync program is
    put aside when every entry in it stands on other sheets too. Lines of a kind that only a newer version
    knows stay where they are. A sheet that cannot be read or written is reported and left.
    """
    disk = disk or Disk(os.path.realpath(folder))
    shelf = Shelf(disk)
    return [mended for path in shelf.paths() for mended in _looked_after(disk, shelf, path, today)]


def _looked_after(disk: Disk, shelf: Shelf, path: str, today: date) -> Iterator[Mended]:
    try:
        _, content, status = shelf.unread(path)
        name = name_of(path)
        if name is None:
            yield from _copy_put_away(disk, shelf, path, content, status)
            return
        sound, lines = _sound_lines(path, content)
        if sound == content:
            return
        if name.day >= today:
            what = "has damaged lines, but a desk may still be writing it; repair it from tomorrow on"
            yield Mended(path, "", f"{shown(path)} {what}.")
            return
        aside = keep_aside(disk, f"{path.rpartition('/')[2].removesuffix('.jsonl')}.as-found", content, status)
        _put_in_place(disk, path, sound, status)
        many = f"{lines} line{'s' * (lines != 1)}" if lines else "what other programs had put around its lines"
        what = f"{shown(path)}: {many} set aside; the sheet as it was found lies in {aside}."
        yield Mended(path, aside, what)
    except OSError as error:
        yield Mended(path, "", f"{shown(path)} could not be repaired ({error.strerror or error}); it is as it was.")


def _sound_lines(path: str, content: bytes) -> tuple[bytes, int]:
    """The lines that are as they were written, each ended by a newline, and how many others there are.

    Only where the last line of a save is set aside, the one before it now says that it is the last.
    """
    reading = line_by_line(path, content)
    kept: list[bytes] = []
    others = start = 0
    for first, last in (*reading.bad, (len(content), len(content))):
        pieces = [stripped(line) for line in content[start:first].split(b"\n")]
        kept += [line for line in pieces if line.strip()]
        gone = [stripped(line) for line in content[first:last].split(b"\n") if line.strip()]
        others += len(gone)
        if gone and kept and judge(gone[-1]).more == 0:
            # It ended its save: without it the lines before would be taken for a save that was not finished.
            kept[-1] = rows.last_of_save(kept[-1])
        start = last
    return b"".join([line + b"\n" for line in kept]), others


def _put_in_place(disk: Disk, path: str, content: bytes, like: FileStatus) -> None:
    """Let a file with this content, as readable as the one at the path, take its place at once and on disk."""
    folders = make_folders(disk, path.rpartition("/")[0])
    draft = f"{path}.mending"
    with contextlib.suppress(FileNotFoundError):  # left by a repair that was stopped
        disk.remove(draft)
    handle = disk.open(draft, os.O_RDWR | os.O_CREAT | os.O_EXCL | os.O_APPEND, 0o600)
    try:
        disk.let_read(handle, like)
        write_all(disk, handle, content)
        disk.sync(handle)
    finally:
        disk.close(handle)
    disk.rename(draft, path)
    sync_folders(disk, folders)


def _copy_put_away(disk: Disk, shelf: Shelf, path: str, content: bytes, status: FileStatus) -> Iterator[Mended]:
    """Put a copy aside when nothing in it counts that does not count without it."""
    lines = {stripped(line) for line in content.split(b"\n")}
    missing = {line for line in lines if judge(line).sound}
    for other in shelf.paths():
        if missing and name_of(other) is not None and day_in(other) == day_in(path):
            _, there, _ = shelf.unread(other)
            missing.difference_update(stripped(line) for line in there.split(b"\n"))
    if missing:
        what = f"is a copy and holds {len(missing)} entries that stand nowhere else; it stays, and they count"
        yield Mended(path, "", f"{shown(path)} {what}.")
        return
    name = path.rpartition("/")[2]
    aside = keep_aside(disk, f"{name}.copy", content, status)
    disk.remove(path)
    with contextlib.suppress(OSError):
        disk.sync_folder(path.rpartition("/")[0])
    yield Mended(
        path, aside, f"{shown(path)} held nothing that is not on other sheets too; it lies in {shown(aside)}."
    )
