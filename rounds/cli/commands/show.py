"""`rounds show`: one subject's page, the vet's page, or entries as lines."""

from __future__ import annotations

from collections.abc import Iterable

from rounds.cli.call import Call
from rounds.desk.offer import known_matters
from rounds.desk.subjects import Names, known
from rounds.errors import BadEntry, UsageError
from rounds.logbook import rows
from rounds.logbook.entries import Entry
from rounds.paper.referral import referral
from rounds.paper.referral_text import referral_text
from rounds.paper.subject import subject_page, subject_text


def run(call: Call) -> int:
    """Print a page."""
    options = call.options
    if not options.subject and not options.lines:
        raise UsageError(
            "Show whom? `rounds show wattle`, `rounds show B3`, or `rounds show --lines` for every entry"
        )
    with call.desk() as desk:
        now = desk.now()
        if not options.subject:
            until = now if options.on else None
            for entries in desk.sheets.each_day():
                counting = (entry for entry in entries if until is None or entry.at <= until)
                _lines(call, sorted(counting, key=lambda entry: entry.key))
            return 0
        # What stands on the sheets can be looked at, though it never arrived: that is how a slip is found.
        subject = options.subject if options.subject in desk.standing.pages else None
        subject = subject or Names(desk.standing).find(options.subject)
        history = desk.history(subject)
        if options.lines:
            _lines(call, history)
            return 0
        found = known_matters(desk, (subject,))
        if options.referral:
            if not (subject.startswith("animal/") and known(desk.standing, subject)):
                raise BadEntry("A page for the vet is of one animal")
            vet = referral(desk.standing, desk.settings, now, subject, history, found, call.keeper)
            if options.json:
                call.json(vet | call.missing_values(desk, subject))
            else:
                call.caution_of(desk, subject)
                call.print(referral_text(vet, now))
        else:
            told = subject_page(desk.standing, desk.settings, now, subject, history, found)
            if options.json:
                call.json(told | call.missing_values(desk, subject))
            else:
                call.caution_of(desk, subject)
                call.print(subject_text(told, now))
        call.warn_of(desk)
    return 0


def _lines(call: Call, entries: Iterable[Entry]) -> None:
    """Entries as `rounds log -` takes them, oldest first. One object a line: no “format” member around them."""
    import json

    for entry in entries:
        line = rows.plain_line(entry).decode()
        if not (line.isascii() and line.isprintable()):
            # Names may hold what a terminal obeys: it is written as \u…, DEL too, which JSON itself lets stand.
            line = json.dumps(json.loads(line), separators=(",", ":")).replace("\x7f", "\\u007f")
        call.print(line)
