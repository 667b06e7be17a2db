"""`rounds check`: every sheet read, what is damaged, and what does not hold together."""

from __future__ import annotations

import os
from collections.abc import Sequence
from datetime import date
from typing import NamedTuple

from rounds.audit import Finding, findings, writing
from rounds.cli import FOUND
from rounds.cli.call import Call
from rounds.desk.desk import Desk
from rounds.desk.missing import is_known_here
from rounds.errors import BadRule, Refused, UsageError
from rounds.logbook.entries import Entry
from rounds.logbook.times import fixed
from rounds.paper.page import Page
from rounds.paper.values import entry_values
from rounds.paper.words import many
from rounds.sheets.disk import Disk
from rounds.sheets.doubles import doubles_among
from rounds.sheets.history import Shelf
from rounds.sheets.parse import Trouble
from rounds.sheets.repair import Mended, repair
from rounds.sheets.store import Sheets
from rounds.sheets.watch import name_of, shown

_HEADINGS = {"wrong": "Cannot all be true", "doubt": "Looks like a slip", "said": "To know (no mistake)"}


def run(call: Call) -> int:
    """Print what was found. Exit code 1 when something is wrong or doubtful, 0 when all holds together."""
    from rounds.desk.colony_file import load

    rule, today = "", fixed(call.clock()).date()
    try:
        settings = load(call.colony)
        today = fixed(call.clock(), settings.zone).date()
    except BadRule as error:
        rule = str(error)
    missing = _missing(call)
    mended = repair(call.colony, today) if call.options.repair else []
    sheets = _sheets(call)
    twice = doubles_among((path, entries) for path, _, entries in sheets)
    troubles = sorted({*Sheets(call.colony, "check").look_over(), *(trouble for _, trouble in twice)})
    every = [entry for _, _, entries in sheets for entry in entries]
    named = [(path, on, entries) for path, on, entries in sheets if on is not None]
    found = (*findings(every), *writing.on_other_days_sheets(named))
    if call.options.json:
        call.json(_values(sheets, every, rule, troubles, found, mended) | {"missing": missing.values})
    else:
        call.print(_text(sheets, every, rule, troubles, found, mended, missing))
    bad = rule or troubles or missing.told or any(one.level != "said" for one in found)
    return FOUND if bad else 0


class _Missing(NamedTuple):
    """What stands on no sheet any more."""

    #: In sentences; none when nothing is missing.
    told: list[str]
    #: What was done about it.
    done: str
    values: dict[str, object] | None


def _missing(call: Call) -> _Missing:
    """What was read here and no sheet holds now; with --bring-back it is written again first."""
    from rounds.desk.offer import known_matters
    from rounds.paper.missing import missing_lines, urgent_lines

    if call.options.on or not is_known_here(call.colony):
        return _Missing([], "", None)
    done = ""
    try:
        with call.desk(writing=call.options.bring_back or call.options.leave_missing) as desk:
            if call.options.bring_back:
                done = f"Written again: {many(len(desk.bring_back()), 'entry', 'entries')}."
            elif call.options.leave_missing and desk.missing is not None:
                done = _left(call, desk)
            values: dict[str, object] | None = call.missing_values(desk)["missing"]
            missing = desk.missing
            if missing is None:
                return _Missing([], done, values)
            standing, now, entries = desk.standing, desk.now(), missing.entries
            told = [
                *urgent_lines(standing, now, entries, known_matters(desk)),
                f"{missing.sentence} `rounds check --bring-back` writes them again; `rounds check --leave-missing` "
                "leaves them missing.",
                *missing_lines(standing, now, entries),
            ]
            return _Missing(told, done, values)
    except BadRule:
        return _Missing([], "", None)


def _left(call: Call, desk: Desk) -> str:
    """Leave what is missing, and say so. Raises `UsageError` without initials, `Refused` over a vet matter."""
    from rounds.desk.offer import at_stake, leave_missing, offered

    entries = offered(desk)
    if not call.keeper:
        raise UsageError("Who leaves them? Give --by with your initials, or set ROUNDS_KEEPER")
    vet = at_stake(desk, entries)
    if vet and not call.options.sure:
        lines = "\n".join(f"  {one.level.word.upper()}: {shown(one.says)}" for one in vet)
        raise Refused(
            f"Not left: {many(len(vet), 'vet matter')} among what is missing.\n{lines}\n"
            "`rounds check --bring-back` writes it again. `rounds check --leave-missing --sure` leaves it."
        )
    leave_missing(desk, entries)
    return f"Left missing: {many(len(entries), 'entry', 'entries')}. A note says what was left, and by whom."


def _sheets(call: Call) -> list[tuple[str, date | None, list[Entry]]]:
    """Every sheet with its day and its good entries; with --on what was seen later is left out."""
    shelf = Shelf(Disk(os.path.realpath(call.colony)))
    until = None
    if call.options.on:
        from rounds.cli.moments import reckoning_moment
        from rounds.desk.colony_file import load

        settings = load(call.colony)
        until = reckoning_moment(call.options.on, settings.zone, call.clock(), settings.date_order)
    sheets: list[tuple[str, date | None, list[Entry]]] = []
    for path in shelf.paths():
        name = name_of(path)
        entries = [entry for entry in shelf.reading(path).entries if until is None or entry.at <= until]
        sheets.append((shown(path), name.day if name else None, entries))
    return sheets


def _values(
    sheets: Sequence[object],
    every: Sequence[Entry],
    rule: str,
    troubles: Sequence[Trouble],
    found: Sequence[Finding],
    mended: Sequence[Mended],
) -> dict[str, object]:
    return {
        "sheets": len(sheets),
        "entries": len({entry.id for entry in every}),
        "settings": rule or None,
        "troubles": [{"path": one.path, "line": one.line, "says": one.what} for one in troubles],
        "findings": [
            {"level": one.level, "says": one.sentence, "entries": [entry_values(entry) for entry in one.entries]}
            for one in found
        ],
        "repaired": [{"path": one.path, "aside": one.aside or None, "says": one.what} for one in mended],
    }


def _text(
    sheets: Sequence[object],
    every: Sequence[Entry],
    rule: str,
    troubles: Sequence[Trouble],
    found: Sequence[Finding],
    mended: Sequence[Mended],
    missing: _Missing,
) -> str:
    page = Page()
    ids = len({entry.id for entry in every})
    page.text(f"{many(len(sheets), 'sheet')} read, {many(ids, 'entry', 'entries')}.")
    parts = [
        ("Missing on the sheets", missing.told),
        ("Done", [missing.done] if missing.done else []),
        ("Repaired", [one.what for one in mended]),
        ("colony.toml", [rule] if rule else []),
        ("Damaged sheets", [one.sentence for one in troubles]),
        *((words, [one.sentence for one in found if one.level == level]) for level, words in _HEADINGS.items()),
    ]
    for heading, sentences in parts:
        if sentences:
            page.heading(f"{heading}: {len(sentences)}")
            page.bullets(sentences, "  ")
    if not (rule or troubles or found or missing.told):
        page.text("All of it holds together.")
    return str(page)
