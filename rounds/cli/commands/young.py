"""`rounds young`: the young by clutch, how they grow, and what is due to them."""

from __future__ import annotations

from rounds.cli.call import Call
from rounds.paper.young import young_list, young_text


def run(call: Call) -> int:
    """Print the young."""
    with call.desk() as desk:
        now = desk.now()
        told = young_list(desk.standing, desk.settings, now)
        if call.options.json:
            call.json(told | call.missing_values(desk))
        else:
            call.caution_of(desk)
            call.print(young_text(told, now))
        call.warn_of(desk)
    return 0
