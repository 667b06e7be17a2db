"""`rounds matters`: all that needs attention."""

from __future__ import annotations

from rounds.cli.call import Call
from rounds.desk.subjects import Names
from rounds.due import reckon
from rounds.paper.matters import matter_list, matters_text


def run(call: Call) -> int:
    """Print the matters, worst first."""
    with call.desk() as desk:
        now = desk.now()
        if call.options.about:
            subject = Names(desk.standing).find(call.options.about)
            found = reckon.matters_about(
                desk.standing, desk.house, now, (subject, *desk.standing.living_in(subject))
            )
        else:
            found = reckon.matters(desk.standing, desk.house, now)
        told = matter_list(desk.standing, desk.settings, now, found, every=call.options.all)
        if call.options.json:
            call.json(told)
        else:
            call.caution_of(desk)
            call.print(matters_text(told, now))
        call.warn_of(desk)
    return 0
