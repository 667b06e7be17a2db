"""The bytes of a sheet → its good entries, and what is wrong with the rest. Nothing here is fatal.

A sheet without damage is read at one go. Only one with trouble is looked at line by line, and each
line that does not count is reported with its number and what to do about it.
"""

from __future__ import annotations

import re
import sys
from array import array
from binascii import hexlify
from collections.abc import Callable, Iterator
from itertools import compress
from operator import attrgetter, itemgetter
from typing import Final, NamedTuple, TypeAlias
from zlib import crc32

import msgspec

from rounds.logbook.entries import KINDS, Entry
from rounds.logbook.entries.base import SUBJECT
from rounds.logbook.rows import DECODER, is_whole, more_after, plain_reason
from rounds.sheets.limits import MORE_DIGITS

_CHECK_LENGTH: Final = len(b',"crc":"00000000"}\n')
_BOM: Final = b"\xef\xbb\xbf"
_SHOWN: Final = 4_096
#: Bytes that are read together, and those at the end of a line that tell whether more lines of its save follow.
_BLOCK: Final = 1 << 16
_LAST: Final = 49
_BODY: Final = itemgetter(slice(None, -_CHECK_LENGTH))
_CHECK: Final = itemgetter(slice(-_CHECK_LENGTH, None))
_ABOUT: Final = attrgetter("about")
_ENDING: Final = re.compile(rb'(?:,"more":(\d{1,%d}))?,"crc":"[0-9a-f]{8}"\}$' % MORE_DIGITS)

CHANGED: Final = (
    "was changed after it was written (its check does not agree). It is set aside and does not count; "
    "if it should, write the entry again"
)
FOREIGN: Final = "is no entry of ours (no check at its end). It is set aside and does not count"
EMPTIED: Final = "holds only empty bytes, as a power cut leaves them. It is set aside"
LINES_MISSING: Final = "does not follow the line before it: lines of a save are missing between the two"
UNFINISHED: Final = (
    "begins a save that was not finished: the program or the power went while it was being written, or "
    "another desk is writing it just now. Nothing of it counts; what was acknowledged before it is all there"
)


class Trouble(NamedTuple):
    """Something on the sheets that a keeper should know of.

    `path` is relative to the colony; `line` counts from 1 (0: the whole file); `what` is a sentence;
    `line_text` is the line's own bytes, cut after 4,096, never to be shown without making them safe.
    """

    path: str
    line: int
    what: str
    line_text: bytes = b""

    @property
    def sentence(self) -> str:
        """What is wrong, and in which sheet."""
        return self.what if self.path in self.what else f"{self.path}, {self.what}"


class Lines(NamedTuple):
    """The lines of a stretch of a sheet that is nothing but good lines."""

    #: How many bytes each is long, with its end.
    lengths: list[int]
    #: What the entry of each line is about.
    about: list[str]
    #: Entries that name more subjects, with the place of their line among these.
    naming: list[tuple[int, Entry]]


class Reading(NamedTuple):
    """What a sheet holds, from where the reading began."""

    entries: list[Entry]
    troubles: list[Trouble]
    #: Bytes and lines up to the end of the last save that is good and whole; where to read on.
    end: int
    lines: int
    #: The save at the end that is not finished, if there is one.
    unfinished: Trouble | None = None
    #: Bytes that belong to no good line, for setting aside: (first byte, byte after the last).
    bad: tuple[tuple[int, int], ...] = ()
    #: All lines, when every one is good; also those whose entries were passed over.
    all_lines: Lines | None = None
    #: Whether the first line stands there again, as when another program put a sheet together with a copy of it.
    is_doubled: bool = False


#: Gives those of some entries that are to be handed out; the others are passed over.
Sift: TypeAlias = Callable[[list[Entry]], list[Entry]]


def read_sheet(path: str, content: bytes, first_line: int = 1, sift: Sift | None = None) -> Reading:
    """Read the bytes of a sheet, or of its end from `first_line` on.

    With `sift` the entries of a sheet that is nothing but good lines are passed over as soon as each line is
    checked and decoded: of ten years a reading of all needs a tenth.
    """
    if not content:
        return Reading([], [], 0, first_line - 1)
    if not content.endswith(b"\n") or more_after(content[-_LAST:-1]):
        return line_by_line(path, content, first_line)
    entries: list[Entry] = []
    all_lines = Lines([], [], [])
    for block in _blocks(content):
        good = all_good_into(block.splitlines(keepends=True), block, all_lines)
        if good is None:
            return line_by_line(path, content, first_line)
        entries += good if sift is None else sift(good)
    many = len(all_lines.about)
    return Reading(
        entries,
        [],
        len(content),
        first_line - 1 + many,
        all_lines=all_lines,
        is_doubled=content.find(content[: all_lines.lengths[0]], 1) >= 0,
    )


def _blocks(content: bytes) -> Iterator[bytes]:
    """Whole lines, some hundred at a time: what is done with them finds them still in the processor's cache."""
    start = 0
    while start < len(content):
        stop = content.find(b"\n", min(start + _BLOCK, len(content) - 1)) + 1
        yield content[start:stop]
        start = stop


def all_good(lines: list[bytes]) -> list[Entry] | None:
    """The entries of lines, each with its end, if every one is good; else None."""
    return all_good_into(lines, b"".join(lines), Lines([], [], []))


def all_good_into(lines: list[bytes], content: bytes, all_lines: Lines) -> list[Entry] | None:
    """The entries of lines that stand one behind the other, if each is good; they are put to `all_lines`."""
    if b"".join(map(_CHECK, lines)) != _checks(lines):
        return None
    try:
        entries: list[Entry] = DECODER.decode_lines(content)
    except (msgspec.MsgspecError, RecursionError, ValueError):
        return None
    about = list(map(_ABOUT, entries))
    places = range(len(all_lines.about), len(all_lines.about) + len(entries))
    naming = list(compress(zip(places, entries, strict=True), map(_NAMING.__contains__, map(type, entries))))
    if len(entries) != len(lines) or not (
        _known_subjects.issuperset(about) or not any(map(_is_strange, set(about)))
    ):
        return None
    if any(strange_subject(entry) for _, entry in naming):
        return None
    all_lines.lengths.extend(map(len, lines))
    all_lines.about.extend(about)
    all_lines.naming.extend(naming)
    return entries


def _checks(lines: list[bytes]) -> bytes:
    """The ends that these lines should have, one behind the other.

    All at once and in C: this is passed through for each line of ten years when all is read again.
    """
    sums = array("I", map(crc32, map(_BODY, lines)))
    if sys.byteorder == "little":
        sums.byteswap()
    digits = hexlify(sums)
    ends = bytearray(b',"crc":"00000000"}\n' * len(lines))
    for place in range(8):
        ends[8 + place :: _CHECK_LENGTH] = digits[place::8]
    return bytes(ends)


#: Kinds that name more subjects than the one they are about.
_NAMING: Final = frozenset(kind for kind in KINDS.values() if kind.mentions)
#: Subjects found to be well formed; there are some thousands of them in a colony.
_known_subjects: set[str] = set()


def strange_subject(entry: Entry) -> str:
    """A subject the entry names that is none of ours; empty when all are."""
    return next((subject or "(nothing)" for subject in entry.subjects() if _is_strange(subject)), "")


def _is_strange(subject: str) -> bool:
    if subject in _known_subjects:
        return False
    if SUBJECT.fullmatch(subject) is None:
        return True
    if len(_known_subjects) > 100_000:
        _known_subjects.clear()
    _known_subjects.add(sys.intern(subject))  # one and the same text as where pages are kept
    return False


class _Judged(NamedTuple):
    """One line: its entry, or why it does not count."""

    entry: Entry | None
    #: How many lines of its save follow; None when its ending, which says so, is not there.
    more: int | None
    what: str = ""
    #: Whether its check agrees: then it stays in the sheet, even if this version cannot read it.
    sound: bool = True


def ends_save(line: bytes) -> bool:
    """Whether a line (without its end) is the last of its save, sound or damaged."""
    ending = _ENDING.search(stripped(line)[-48:])
    return ending is not None and not int(ending[1] or 0)


def stripped(line: bytes) -> bytes:
    """A line without what other programs and power cuts put around it."""
    return line.removesuffix(b"\r").removeprefix(_BOM).lstrip(b"\0")


def judge(line: bytes) -> _Judged:
    """What one line (without its end, and `stripped`) is worth."""
    if not is_whole(line):
        ending = _ENDING.search(line[-48:])
        if ending:
            return _Judged(None, int(ending[1] or 0), CHANGED, sound=False)
        return _Judged(None, None, FOREIGN if line else EMPTIED, sound=False)
    more = more_after(line)
    try:
        entry: Entry = DECODER.decode(line)
    except (msgspec.MsgspecError, RecursionError, ValueError) as error:
        return _Judged(None, more, _why_not(line, error))
    strange = strange_subject(entry)
    if strange:
        return _Judged(None, more, f"names {strange[:80]!r}, which is no subject of ours. It does not count")
    return _Judged(entry, more)


def _why_not(line: bytes, error: Exception) -> str:
    try:
        fields = msgspec.json.decode(line)
        kind = fields.get("kind") if isinstance(fields, dict) else None
    except (msgspec.MsgspecError, RecursionError, ValueError):
        kind = None
    if isinstance(kind, str) and kind not in KINDS:
        return (
            f"is of a kind this version does not know ({kind[:80]!r}): it was written by a newer one. It stays "
            "in the sheet and counts as soon as rounds is brought up to date here"
        )
    reason = plain_reason(error, kind if isinstance(kind, str) else "entry")
    return f"cannot be read by this version ({reason[:200]}). It stays in the sheet and does not count"


def line_by_line(path: str, content: bytes, first_line: int = 1) -> Reading:
    """Read a sheet that has some trouble, line by line."""
    entries: list[Entry] = []
    pending: list[Entry] = []
    told = _Told(path)
    bad: list[tuple[int, int]] = []
    begun = begun_line = -1  # where a save that is not finished yet begins
    end, lines = 0, first_line - 1  # of the last save that is good and whole
    offset, number = 0, first_line - 1
    left = 0  # lines of the save that are still to come
    while offset < len(content):
        stop = content.find(b"\n", offset)
        after = stop + 1 if stop >= 0 else len(content)
        raw = content[offset : stop if stop >= 0 else after]
        line = told.stripped(raw)
        start, offset, number = offset, after, number + 1
        if not raw.strip():
            if begun < 0 and end == start:
                end, lines = after, number
            continue
        judged = judge(line)
        if judged.more is None and stop < 0:  # torn: the writing stopped within this line
            if begun < 0:
                begun, begun_line = start, number
            break
        if judged.what:
            told.tell(number, judged.what, line)
        if left and judged.more is not None and judged.more != left - 1:
            told.tell(number, LINES_MISSING, line)
        left = judged.more if judged.more is not None else max(left - 1, 0)
        if not judged.sound:
            bad.append((start, after))
        if judged.entry is not None:
            pending.append(judged.entry)
        if judged.more:
            if begun < 0:
                begun, begun_line = start, number
        elif judged.more == 0:
            entries += pending
            pending.clear()
            begun = -1
            if judged.sound:
                end, lines = after, number
    unfinished = None
    if begun >= 0:
        text = content[begun : begun + _SHOWN].partition(b"\n")[0]
        unfinished = Trouble(path, begun_line, f"line {begun_line} {UNFINISHED}.", text)
        bad = [(start, stop) for start, stop in bad if start < begun] + [(begun, len(content))]
    return Reading(entries, told.troubles(), end, lines, unfinished, tuple(bad))


class _Told:
    """Troubles of one sheet as they are found: lines in a row with one and the same trouble are reported once."""

    def __init__(self, path: str) -> None:
        self._path = path
        self._runs: list[tuple[int, int, str, bytes]] = []
        self._returns = self._marks = self._nulls = False

    def stripped(self, raw: bytes) -> bytes:
        """The line without what was put around it, which is noted."""
        line = stripped(raw)
        if len(line) < len(raw):
            self._returns = self._returns or raw.endswith(b"\r")
            self._marks = self._marks or raw.startswith(_BOM)
            self._nulls = self._nulls or (b"\0" in raw and bool(line))
        return line

    def tell(self, number: int, what: str, line: bytes) -> None:
        """Note what is wrong with a line."""
        if self._runs and self._runs[-1][1] == number - 1 and self._runs[-1][2] == what:
            first, _, _, text = self._runs[-1]
            self._runs[-1] = (first, number, what, text)
        else:
            self._runs.append((number, number, what, line[:_SHOWN]))

    def troubles(self) -> list[Trouble]:
        """All of them, by line."""
        found = []
        around = [
            (self._marks, "a byte-order mark"),
            (self._returns, "line ends of another system"),
            (self._nulls, "empty bytes before a line"),
        ]
        if put_in := " and ".join(name for there, name in around if there):
            what = (
                f"this sheet carries {put_in}, put in by another program or a power cut; it is read all the same."
            )
            found.append(Trouble(self._path, 0, what))
        for first, last, what, text in self._runs:
            which = f"line {first} {what}." if first == last else f"lines {first} to {last}: each {what}."
            found.append(Trouble(self._path, first, which, text))
        return found
