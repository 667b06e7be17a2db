"""`rounds log`: write entries, all of them or none."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import chain
from typing import Any

from rounds.cli.call import Call
from rounds.cli.given import Line, json_lines
from rounds.cli.intake import Intake, Taken
from rounds.cli.restoring import by_day, pieces, restore, write_days
from rounds.desk.desk import Desk
from rounds.errors import BadEntry, UsageError
from rounds.logbook import plain
from rounds.logbook.entries import KINDS, Entry
from rounds.paper.plain_text import shown
from rounds.paper.said import said
from rounds.paper.values import entry_values
from rounds.paper.words import many
from rounds.standing.clutch import called


def run(call: Call) -> int:
    """Write one entry from words, or many from JSON lines on standard input."""
    words: list[str] = call.options.words
    if not words:
        raise UsageError(
            "What was seen? `rounds log weighed wattle grams=452 --by AK`; `rounds help log` shows more"
        )
    reading = words == ["-"]
    if reading and call.options.at:
        raise UsageError("With `-` each line brings its own “at”; --at is for one entry from words")
    coming = pieces(call.stdin) if reading else iter(())
    first, second = next(coming, []), next(coming, [])
    if second:
        return _restored(call, first, chain([second], coming))
    lines = list(json_lines(b"".join(first))) if reading else []
    if reading and not lines:
        call.say("Nothing was given on standard input, so nothing was written.")
        return 0
    with call.desk(writing=True) as desk:
        if not reading:
            lines = [_line(call, words)]
        taken = Intake(desk, lines, prefixes=not reading, sure=call.options.sure).taken()
        for remark in dict.fromkeys(taken.remarks):
            call.say(remark)
        written = taken.entries if call.options.dry_run else _write(desk, taken)
        _tell(call, desk, written, taken.skipped)
    return 0


def _write(desk: Desk, taken: Taken) -> tuple[Entry, ...]:
    """Write what was taken: what stood on a sheet before on its day's, the rest in one save on today's."""
    today = desk.clock_time().date()
    days = by_day((entry for entry in taken.entries if entry.id in taken.restored), desk.settings.zone, today)
    earlier = {day: entries for day, entries in days.items() if day != today}
    if earlier:
        write_days(desk, earlier)
        desk.news()
    elsewhere = {entry.id for entries in earlier.values() for entry in entries}
    saved = {entry.id: entry for entry in desk.record(*(one for one in taken.entries if one.id not in elsewhere))}
    return tuple(saved.get(entry.id, entry) for entry in taken.entries)


def _restored(call: Call, first: list[bytes], rest: Iterable[list[bytes]]) -> int:
    """Write more lines than one save takes: they stood on sheets before."""
    dry = call.options.dry_run
    with call.desk(writing=True) as desk:
        done = restore(desk, first, rest, dry_run=dry)
    if call.options.json:
        call.json({"written": done.written, "skipped": done.skipped, "dry_run": dry})
    if done.skipped:
        call.say(f"{many(done.skipped, 'entry', 'entries')} stood on the sheets already and were left as they are.")
    entries = many(done.written, "entry", "entries")
    call.say(f"{entries} could be written; nothing was (--dry-run)." if dry else f"Saved: {entries}.")
    return 0


def _line(call: Call, words: list[str]) -> Line:
    """The one entry that the words of the command give."""
    kind, *rest = words
    kind = kind.replace("-", "_")
    if kind not in KINDS:
        return Line(0, {"kind": kind}, lenient=True)
    about = ""
    if rest and "=" not in rest[0]:
        about, *rest = rest
    members: dict[str, Any] = plain.members(kind, rest, subject=plain.as_written)
    members["kind"] = kind
    if about:
        members["about"] = about
    if call.options.at:
        members["at"] = call.options.at
    if call.options.note is not None:
        members["note"] = call.options.note
    if "about" not in members and KINDS[kind].of != ("room",) and kind != "corrected":
        raise BadEntry(f"Whom or what is it about? rounds log {kind} SUBJECT …")
    return Line(0, members, lenient=True)


def _tell(call: Call, desk: Desk, written: Iterable[Entry], skipped: list[Entry]) -> None:
    entries = list(written)
    dry = call.options.dry_run
    if call.options.json:
        call.json(
            {
                "written": [entry_values(entry) for entry in entries],
                "skipped": [entry.id for entry in skipped],
                "dry_run": dry,
            }
        )
    else:
        for entry in entries:
            about = "the room" if entry.about == "room" else called(desk.standing, entry.about)
            note = f": {entry.note}" if entry.note else ""
            call.print(
                f"{shown(entry.id)}  {entry.at:%Y-%m-%d %H:%M} {shown(entry.by)}  {shown(about)}  "
                f"{shown(said(desk.standing, entry) + note)}"
            )
    if skipped:
        call.say(f"{many(len(skipped), 'entry', 'entries')} stood on the sheets already and were left as they are.")
    if dry:
        call.say(f"{many(len(entries), 'entry', 'entries')} could be written; nothing was (--dry-run).")
    elif entries:
        call.say(f"Saved: {many(len(entries), 'entry', 'entries')}.")
