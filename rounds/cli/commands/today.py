"""`rounds today`: the round, stop by stop."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from rounds.cli.call import Call
from rounds.desk.desk import Desk
from rounds.desk.offer import known_matters
from rounds.due.line import DueLine
from rounds.due.lines import lines_at
from rounds.due.walk import Walk
from rounds.logbook.words import WalkPart
from rounds.paper.today import today, today_text


def walk_of(desk: Desk, part: WalkPart | None) -> tuple[Walk, Callable[[str | None], Sequence[DueLine]]]:
    """The walk at the reckoning moment, and what is due at its stops."""
    walk = Walk(desk.standing, desk.settings, desk.now(), part)

    def at(stop: str | None) -> Sequence[DueLine]:
        return lines_at(desk.standing, desk.house, desk.now(), stop, walk.part)

    return walk, at


def run(call: Call) -> int:
    """Print today's round."""
    with call.desk() as desk:
        walk, at = walk_of(desk, getattr(call.options, "walk", None))
        found = known_matters(desk)
        in_json = call.options.json
        told = today(desk.standing, desk.settings, desk.now(), walk, at, found, forecasts=in_json)
        if in_json:
            call.json(told | call.missing_values(desk, known=found))
        else:
            call.caution_of(desk, known=found)
            call.print(today_text(told, desk.now()))
        call.warn_of(desk)
    return 0
