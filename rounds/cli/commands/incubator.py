"""`rounds incubator`: the shelves, and the clutches on them."""

from __future__ import annotations

from rounds.cli.call import Call
from rounds.paper.incubator import incubator, incubator_text


def run(call: Call) -> int:
    """Print each shelf with its temperatures and the clutches on it."""
    with call.desk() as desk:
        now = desk.now()
        told = incubator(desk.standing, desk.settings, now)
        if call.options.json:
            call.json(told | call.missing_values(desk))
        else:
            call.caution_of(desk)
            plain = not (call.out.encoding or "").casefold().startswith("utf")
            call.print(incubator_text(told, now, plain=plain))
        call.warn_of(desk)
    return 0
