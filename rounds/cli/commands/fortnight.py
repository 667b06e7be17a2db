"""`rounds fortnight`: the next fourteen days."""

from __future__ import annotations

from rounds.cli.call import Call
from rounds.paper.fortnight import fortnight_list, fortnight_text


def run(call: Call) -> int:
    """Print what comes on which day."""
    with call.desk() as desk:
        now = desk.now()
        told = fortnight_list(desk.standing, desk.settings, now)
        if call.options.json:
            call.json(told | call.missing_values(desk))
        else:
            call.caution_of(desk)
            call.print(fortnight_text(told, now))
        call.warn_of(desk)
    return 0
