"""One save: entries that are on disk together or not at all, and why a disk did not take them."""

from __future__ import annotations

import errno
from collections.abc import Iterable, Sequence
from typing import Final

from rounds.errors import BadEntry, NotSaved
from rounds.logbook import rows
from rounds.logbook.entries import Entry
from rounds.sheets import limits


class Save:
    """Entries validated, and their lines. A sheet grows by nothing else, so that nothing else reaches the disk."""

    __slots__ = ("entries", "lines")

    def __init__(self, entries: Iterable[Entry]) -> None:
        """Raises `BadEntry` for an entry that would not read back, and for more than a save takes."""
        #: As they will read back.
        self.entries: Final = tuple(rows.validated(entry) for entry in entries)
        last = len(self.entries) - 1
        lines = [rows.line_of(entry, last - place) + b"\n" for place, entry in enumerate(self.entries)]
        size = sum(map(len, lines))
        if size > limits.SAVE or len(lines) > limits.SAVE_LINES:
            raise BadEntry(
                f"Not saved: {len(lines):,} entries ({size >> 20} MiB) are too much for one save; it takes "
                f"{limits.SAVE_LINES:,} of {limits.SAVE >> 20} MiB together. Give them in several parts."
            )
        longest = max(lines, key=len)
        if len(longest) > limits.LINE:
            entry = self.entries[lines.index(longest)]
            raise BadEntry(
                f"Not saved: {entry.kind}, {entry.about}: an entry takes {limits.LINE >> 20} MiB of text at most. "
                "Write it in several."
            )
        self.lines: Final = b"".join(lines)


#: Why the disk did not take it, and what to do, by what the system says.
_REASONS: Final = {
    errno.ENOSPC: "the disk is full. Make room on it, then try again",
    errno.EDQUOT: "your share of the disk is used up. Make room, then try again",
    errno.EROFS: "the disk can only be read just now. Make it writable (a lock on the card?), then try again",
    errno.EACCES: "this user may not write there. Have the folder's permissions set right, then try again",
    errno.EPERM: "this user may not write there. Have the folder's permissions set right, then try again",
    errno.EIO: "the disk answers with an error. Copy the colony to another disk soon, and try again",
    errno.ENOENT: "the colony's folder is gone (a drive pulled out?). Bring it back, then try again",
    errno.ENOTDIR: "something else stands where a folder of the sheets should be. Move it, then try again",
    errno.EEXIST: "something else stands where the sheet should be. Move it, then try again",
    errno.EISDIR: "a folder stands where the sheet should be. Move it, then try again",
    errno.ELOOP: "a link stands where the sheets should be, and links are not followed. Move it, then try again",
    errno.EMFILE: "too many files are open. Close other programs, then try again",
    errno.ENFILE: "too many files are open. Close other programs, then try again",
}


def not_saved(entries: Sequence[Entry], error: OSError) -> NotSaved:
    """What was not saved, why, and what to do about it, in a keeper's words."""
    first = entries[0]
    others = f" and {len(entries) - 1} more" if len(entries) > 1 else ""
    reason = f"The reason: {_reason(error)}."
    return NotSaved(f"Not saved: {first.about}, {first.phrase()}{others}. {reason}", reason)


def not_written_again(error: OSError) -> NotSaved:
    """Why the disk did not take what is to be written again, in a keeper's words."""
    return NotSaved(
        "Saved entries are gone from this desk's sheet and are not written again yet. They are kept, and it is "
        f"tried again. The reason: {_reason(error)}."
    )


def _reason(error: OSError) -> str:
    return _REASONS.get(error.errno or 0) or f"the disk refused it ({error.strerror or error}). Try again"
