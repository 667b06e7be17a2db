"""Entries that stand on no sheet any more are read, and written again, left missing, or decided on later."""

from __future__ import annotations

from functools import partial

from rounds.desk.shift import Shift
from rounds.paper.missing import missing_lines
from rounds.paper.words import many
from rounds.screens.board.board import BLANK, Line, Span, line, wrap
from rounds.screens.prompts.asks import Talk
from rounds.screens.prompts.choices import Confirm, Read
from rounds.screens.prompts.saving import Save
from rounds.screens.views.missing import urgent_rows


def bring_back(shift: Shift) -> Talk:
    """Show what is missing, the vet matters first, and do what the keeper says. Nothing is asked when nothing is.

    A vet matter is left by a second y only.
    """
    desk = shift.desk
    missing = desk.missing
    if missing is None:
        return
    entries, sentence = missing.entries, missing.sentence
    if not shift.complete:
        shift.reckon_now()
    urgent = shift.urgent_lines()
    told = missing_lines(desk.standing, shift.now(), entries)

    def text(width: int) -> list[Line]:
        shown = urgent_rows(urgent, width)
        shown += [line(" ", Span(one, "vet")) for one in wrap(sentence, width - 2)] + [BLANK]
        return shown + [line(" ", Span(one)) for each in told for one in wrap(each, width - 2)]

    answer = yield Read(
        "Missing on the sheets",
        text,
        yes="write them again" if entries else "I have read it",
        no="decide later",
        leave="leave them missing" if entries else "",
    )
    if answer is True:
        yield Save(write=shift.bring_back, says=[many(len(entries), "entry", "entries")])
        if entries and desk.missing is None:
            is_are = "entry is" if len(entries) == 1 else "entries are"
            desk.notices.append(f"{len(entries)} {is_are} written again.")
    elif answer is False:
        if vet := shift.at_stake(entries):
            asked = [f"{one.level.word.upper()}: {one.says}" for one in vet]
            asked.append("Left missing, only a note says it. Leave them?")
            if not (yield Confirm(asked, yes="leave them missing", no="decide later", style="vet", by_enter=False)):
                return
        yield Save(
            write=partial(shift.leave_missing, entries), says=[f"{len(entries)} left missing, and a note of it"]
        )
