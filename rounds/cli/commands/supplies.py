"""`rounds supplies`: what is in stock, how long it lasts, what to order."""

from __future__ import annotations

from rounds.cli.call import Call
from rounds.paper.supplies import supplies_text, supply_list


def run(call: Call) -> int:
    """Print the supplies, those that run out first before the others."""
    with call.desk() as desk:
        now = desk.now()
        told = supply_list(desk.standing, desk.settings, now)
        if call.options.json:
            call.json(told | call.missing_values(desk))
        else:
            call.caution_of(desk)
            call.print(supplies_text(told, now))
        call.warn_of(desk)
    return 0
