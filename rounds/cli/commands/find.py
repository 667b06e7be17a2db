"""`rounds find`: entries by kind, subject, keeper, period, words and figures."""

from __future__ import annotations

from rounds.cli.call import Call
from rounds.desk.desk import Desk
from rounds.desk.find import MOST, Found, find
from rounds.desk.progress import Telling
from rounds.desk.subjects import Names
from rounds.logbook.conditions import Conditions
from rounds.logbook.find_words import conditions
from rounds.paper.found import found_list, found_text


def run(call: Call) -> int:
    """Print what was found, newest first."""
    options = call.options
    with call.desk() as desk:
        now = desk.now()
        wanted = conditions(" ".join(options.words), Names(desk.standing), now.date(), desk.settings.date_order)
        found, more = _found(call, desk, wanted)
        told = found_list(desk.standing, desk.settings, now, wanted, found, more=more)
        if options.json:
            call.json(told | call.missing_values(desk))
        else:
            call.caution_of(desk)
            call.print(found_text(told, now))
        call.warn_of(desk)
    return 0


def _found(call: Call, desk: Desk, wanted: Conditions) -> tuple[list[Found], bool]:
    """As many as are shown, and whether there are more. A long search says how far it is."""
    telling = Telling(call.err)
    found: list[Found] = []
    try:
        for step in find(desk, wanted):
            found += step.found
            if len(found) > MOST and not call.options.all:
                return found[:MOST], True
            telling(step.done, step.of)
    finally:
        telling.end()
    return found, False
