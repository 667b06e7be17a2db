"""`rounds matters`: all that needs attention."""

from __future__ import annotations

from rounds.cli.call import Call
from rounds.desk.offer import known_matters
from rounds.desk.subjects import Names
from rounds.paper.matters import matter_list, matters_text


def run(call: Call) -> int:
    """Print the matters, worst first."""
    with call.desk() as desk:
        now = desk.now()
        if call.options.about:
            subject = Names(desk.standing).find(call.options.about)
            found = known_matters(desk, (subject, *desk.standing.living_in(subject)))
            known = None
        else:
            found = known = known_matters(desk)
        told = matter_list(desk.standing, desk.settings, now, found, every=call.options.all)
        if call.options.json:
            call.json(told | call.missing_values(desk, known=known))
        else:
            call.caution_of(desk, known=known)
            call.print(matters_text(told, now))
        call.warn_of(desk)
    return 0
