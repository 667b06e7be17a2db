"""`rounds log`: write entries, all of them or none."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from rounds.cli.call import Call
from rounds.cli.given import Line, json_lines
from rounds.cli.intake import Intake
from rounds.desk.desk import Desk
from rounds.errors import BadEntry, UsageError
from rounds.logbook import plain
from rounds.logbook.entries import KINDS, Entry
from rounds.paper.plain_text import shown
from rounds.paper.said import said
from rounds.paper.values import entry_values
from rounds.paper.words import many


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
    lines = list(json_lines(call.stdin.read())) if reading else []
    if reading and not lines:
        call.say("Nothing was given on standard input, so nothing was written.")
        return 0
    with call.desk(writing=True) as desk:
        if not reading:
            lines = [_line(call, words)]
        taken = Intake(desk, lines, prefixes=not reading, sure=call.options.sure).taken()
        for remark in dict.fromkeys(taken.remarks):
            call.say(remark)
        written = taken.entries if call.options.dry_run else desk.record(*taken.entries)
        _tell(call, desk, written, taken.skipped)
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
            about = "the room" if entry.about == "room" else desk.standing.name(entry.about)
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
