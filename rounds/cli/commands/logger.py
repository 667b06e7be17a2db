"""`rounds logger`: read a temperature logger's file onto a shelf."""

from __future__ import annotations

from rounds.cli.call import Call
from rounds.desk.logger import Coming, coming_of, content_of, told_of
from rounds.desk.subjects import Names
from rounds.logbook.logger_columns import Asked
from rounds.logbook.logger_table import MOST_BYTES
from rounds.paper.values import Values, entry_values
from rounds.paper.words import many


def run(call: Call) -> int:
    """Write what is new in the file; with --dry-run only tell of it."""
    options = call.options
    asked = Asked(
        column=options.column or "",
        humidity=options.humidity or "",
        unit=options.unit or "",
        zone=options.zone or "",
        order=options.date_order,
    )
    content = call.stdin.read(MOST_BYTES + 1) if options.file == "-" else content_of(options.file)
    name = "standard input" if options.file == "-" else options.file.replace("\\", "/").rpartition("/")[2]
    with call.desk(writing=True) as desk:
        shelf = Names(desk.standing).find(options.shelf)
        coming = coming_of(desk, shelf, content, name, asked)
        written = () if options.dry_run else desk.record(*coming.drafts)
        told = told_of(desk, coming)
        if call.options.json:
            call.json(_values(coming, told, options.dry_run) | {"written": [entry_values(one) for one in written]})
        else:
            for one in told:
                call.print(one)
        if options.dry_run:
            call.say(f"{many(len(coming.drafts), 'entry', 'entries')} could be written; nothing was (--dry-run).")
        elif written:
            call.say(f"Saved: {many(len(written), 'entry', 'entries')}.")
    return 0


def _values(coming: Coming, told: list[str], dry: bool) -> Values:
    return {
        "shelf": coming.shelf,
        "column": coming.file.column,
        "unit": coming.file.unit,
        "lines": coming.file.lines,
        "bad_lines": coming.file.bad,
        "new": coming.new,
        "kept": coming.kept,
        "known": coming.known,
        "differ": coming.differ,
        "told": told,
        "dry_run": dry,
    }
