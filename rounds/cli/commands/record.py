"""`rounds record NAME`: the page that goes along with an animal, or with some of a group."""

from __future__ import annotations

from rounds.cli.call import Call
from rounds.desk.subjects import Names
from rounds.paper.going_along import going_along, going_along_text


def run(call: Call) -> int:
    """Print the record."""
    options = call.options
    with call.desk() as desk:
        now = desk.now()
        subject = Names(desk.standing).find(options.subject, ("animal", "group"))
        told = going_along(desk.standing, desk.settings, now, subject, options.count, call.keeper)
        if options.json:
            call.json(told | call.missing_values(desk, subject))
        else:
            call.caution_of(desk, subject)
            call.print(going_along_text(told, now))
        call.warn_of(desk)
    return 0
