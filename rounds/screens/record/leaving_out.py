"""A due line is left out, or all of them, with the reason."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from rounds.due.line import DueLine
from rounds.logbook.drafts import draft
from rounds.logbook.entries import LeftOut
from rounds.screens.prompts.asks import Found, Search, Talk
from rounds.screens.prompts.choices import Choice, Option
from rounds.screens.prompts.saving import Save
from rounds.screens.prompts.words import Words
from rounds.screens.record.host import Host
from rounds.standing.clutch import called

REASONS: Final = ("asleep", "shedding", "just laid", "vet said so", "no time", "out of stock", "disturbed already")


def leave_out(screen: Host, lines: Sequence[DueLine]) -> Talk:
    """Leave one due line out, or all of them, with the reason."""
    standing = screen.shift.desk.standing
    open_lines = [due for due in lines if due.left_out is None]
    if not open_lines:
        screen.say("Nothing is due here that could be left out.", "quiet")
        return
    chosen: Sequence[DueLine] = open_lines
    if len(open_lines) > 1:
        options = [
            Option(
                str(number),
                f"{due.care} {'' if due.about == due.place else called(standing, due.about)}".strip(),
                [due],
            )
            for number, due in enumerate(open_lines, 1)
        ]
        options.append(Option("a", "all of them", open_lines))
        if len(options) <= 10:
            chosen = yield Choice("Leave out which?", options)
        else:
            every = [Found(option.label, option.value) for option in options]
            chosen = yield Search(
                "Leave out which?", lambda typed: [one for one in every if typed.casefold() in one.label.casefold()]
            )
    reason = yield Words("Why?", ready=REASONS)
    saved = yield Save(*(draft(LeftOut, due.about, care=due.care, reason=reason) for due in chosen))
    if saved:
        screen.say(f"Left out: {', '.join(due.care for due in chosen)} ({reason})", "good")
