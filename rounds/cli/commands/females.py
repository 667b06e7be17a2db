"""`rounds females`: when each female lays, and what speaks for eggs in her."""

from __future__ import annotations

from rounds.cli.call import Call
from rounds.desk.subjects import Names
from rounds.errors import BadEntry
from rounds.paper.females import females, females_text


def run(call: Call) -> int:
    """Print the females, those who lay or are due first."""
    with call.desk() as desk:
        now = desk.now()
        told = females(desk.standing, desk.settings, now)
        if call.options.about:
            subject = Names(desk.standing).find(call.options.about)
            told["females"] = [her for her in told["females"] if her["subject"] == subject]
            if not told["females"]:
                raise BadEntry(f"{desk.standing.name(subject)} is no female that is here")
        if call.options.json:
            call.json(told | call.missing_values(desk))
        else:
            call.caution_of(desk)
            call.print(females_text(told, now))
        call.warn_of(desk)
    return 0
