"""Entry ⇄ one line of JSON, with its checksum.

A line is the entry's JSON object. Its last member is always ``crc``: eight hex digits, the CRC-32 (ISO-HDLC) of all
bytes before it. A save of several entries counts as a whole: each of its lines but the last has ``more``, the
number of lines still to come. A reader sets a save aside whose last line is missing.
"""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta
from typing import Any, Final
from zlib import crc32

import msgspec

from rounds.errors import BadEntry
from rounds.logbook.entries import KINDS, AnyEntry, Entry
from rounds.logbook.entries.base import SUBJECT
from rounds.logbook.members import members

DECODER: Final = msgspec.json.Decoder(AnyEntry)
_ENCODER: Final = msgspec.json.Encoder()
_TAIL_LENGTH: Final = len(b',"crc":"00000000"}')
_MORE: Final = re.compile(rb',"more":(\d+),"crc":"[0-9a-f]{8}"\}$')
#: What a text with a pattern is like, by its member.
_LIKE: Final = {"clock": "an hour such as 10:30", "currency": "three capital letters such as AUD"}
_EPOCH: Final = datetime(1970, 1, 1, tzinfo=UTC)
_MS: Final = timedelta(milliseconds=1)
_DIGITS: Final = "0123456789abcdefghjkmnpqrstvwxyz"
#: Members of a line that belong to the line, not to the entry.
ENVELOPE: Final = frozenset({"more", "crc"})


def line_of(entry: Entry, more: int = 0) -> bytes:
    """The line of an entry, without its newline. `more` lines of the same save follow."""
    body = _ENCODER.encode(entry)[:-1]
    if more:
        body += b',"more":%d' % more
    return body + b',"crc":"%08x"}' % crc32(body)


def plain_line(entry: Entry) -> bytes:
    """The entry as a JSON object without the members of a line, as `rounds log -` takes it."""
    return _ENCODER.encode(entry)


def is_whole(line: bytes) -> bool:
    """Whether the line's checksum agrees with its bytes."""
    return line.endswith(b',"crc":"%08x"}' % crc32(line[:-_TAIL_LENGTH]))


def more_after(line: bytes) -> int:
    """How many lines of the same save follow this one."""
    found = _MORE.search(line[-48:])
    return int(found[1]) if found else 0


def last_of_save(line: bytes) -> bytes:
    """A sound line as the last of its save: without ``more``, with a new checksum, the entry unchanged."""
    body, ending = _MORE.subn(b"", line)
    return body + b',"crc":"%08x"}' % crc32(body) if ending else line


def entry_of(line: bytes | str) -> Entry:
    """Decode one line. Raises `msgspec.DecodeError` or `ValidationError` when it is no entry of ours."""
    return DECODER.decode(line)


def id_of(moment: datetime, salt: int) -> str:
    """An id that sorts by the moment of writing (to the ms) and carries 25 random bits against twins."""
    # Whole numbers throughout: by way of a float, one ms in some is cut down to the one before.
    ms = (moment - _EPOCH) // _MS
    text = ""
    for number, length in ((ms, 9), (salt & 0x1FFFFFF, 5)):
        part = ""
        for _ in range(length):
            number, digit = divmod(number, 32)
            part = _DIGITS[digit] + part
        text += part
    return text


def ms_of(id: str) -> int | None:
    """The ms in which an id of ours was given; None for an id from elsewhere."""
    try:
        return sum(_DIGITS.index(digit) << 5 * place for place, digit in enumerate(reversed(id[:9])))
    except ValueError:
        return None


def validated(entry: Entry) -> Entry:
    """The entry as it will read back from disk.

    Raises `BadEntry` with a plain sentence when a field has a value the sheet cannot hold.
    """
    try:
        again = DECODER.decode(_ENCODER.encode(entry))
    except (msgspec.MsgspecError, UnicodeEncodeError) as error:
        raise BadEntry(plain_reason(error, entry.kind)) from error
    _check_subjects(again)
    return again


def from_mapping(fields: dict[str, Any], *, lenient: bool = False) -> Entry:
    """An entry from the members of a JSON object, as `rounds log` takes them.

    `lenient` takes numbers and truths written as text. Raises `BadEntry` naming an unknown kind or
    member, a missing one, or a value out of its range.
    """
    kind = fields.get("kind")
    known = KINDS.get(kind) if isinstance(kind, str) else None
    if known is None:
        raise BadEntry(f"{kind!r} is no entry kind; docs/entries.md lists them")
    names = set(known.__struct_fields__) | {"kind"}
    for name in fields:
        if name not in names:
            raise BadEntry(
                f"{kind} has no member {name!r}; it may have {', '.join(sorted(names - {'kind', 'id'}))}"
            )
    try:
        # By way of JSON it takes a tenth of the time, which ten years of lines are given in.
        entry: Entry = (
            msgspec.convert(fields, AnyEntry, strict=False) if lenient else DECODER.decode(_ENCODER.encode(fields))
        )
    except (msgspec.MsgspecError, UnicodeEncodeError) as error:
        raise BadEntry(plain_reason(error, str(kind))) from error
    return validated(entry)


def plain_reason(error: Exception, kind: str) -> str:
    """What msgspec says, in a keeper's words: which member of which kind, and what was wanted."""
    if isinstance(error, UnicodeEncodeError):
        before = error.object[max(0, error.start - 20) : error.start]
        where = f"a letter behind “{before}”" if before else "the first letter of a text"
        return f"{kind}: {where} is no UTF-8. Write it again, or set the terminal to UTF-8"
    text = str(error)
    if "matching regex" in text:
        where = text.partition(" - at `$.")[2].strip("`")
        return f"{kind}, {where}: wanted {_LIKE.get(where, 'it written another way')}"
    wanted, _, where = text.partition(" - at `$")
    member = where.strip("`").lstrip(".")
    wanted = (
        wanted.replace("Object missing required field", "it lacks")
        .replace("Expected `", "wanted `")
        .replace("Invalid RFC3339 encoded datetime", "wanted a date and time such as 2026-04-12T07:15:00+02:00")
        .replace("Invalid RFC3339 encoded date", "wanted a date such as 2026-04-12")
    )
    return f"{kind}{', ' + member if member else ''}: {wanted}"


def _check_subjects(entry: Entry) -> None:
    sort_of_about = entry.about.partition("/")[0]
    if SUBJECT.fullmatch(entry.about) and sort_of_about not in entry.of:
        wanted = " or ".join(_article(sort) if sort != "room" else "the room" for sort in entry.of)
        raise BadEntry(f"{entry.kind} is about {wanted}, not about {entry.about!r}")
    for name, sort in subject_sorts(type(entry)).items():
        value = getattr(entry, name)
        for subject in (value,) if isinstance(value, str) else (value or ()):
            if SUBJECT.fullmatch(subject) is None:
                raise BadEntry(
                    f"{entry.kind}, {name}: {subject[:80]!r} names no subject; write animal/…, group/…, "
                    "enclosure/…, clutch/…, supply/… (small letters, digits, hyphens) or room"
                )
            if sort and not subject.startswith(sort + "/"):
                raise BadEntry(f"{entry.kind}, {name}: {subject!r} should name {_article(sort)}")


def _article(sort: str) -> str:
    return ("an " if sort[0] in "ae" else "a ") + sort


def subject_sorts(kind: type[Entry]) -> dict[str, str]:
    """The members of a kind that name subjects, each with the sort it may name ("" for any)."""
    return {name: one.names for name, one in members(kind).items() if one.sort == "subject"}


def list_fields(kind: type[Entry]) -> frozenset[str]:
    """The members of a kind that hold several values."""
    return frozenset(name for name, one in members(kind).items() if one.many)
