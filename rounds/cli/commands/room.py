"""`rounds room`: the racks as they stand, with what each enclosure needs."""

from __future__ import annotations

from rounds.cli.call import Call
from rounds.cli.commands.today import walk_of
from rounds.desk.offer import known_matters
from rounds.due.room import cells, room
from rounds.paper.room import room_text, room_values


def run(call: Call) -> int:
    """Print the room."""
    with call.desk() as desk:
        now = desk.now()
        walk, at = walk_of(desk, getattr(call.options, "walk", None))
        known = known_matters(desk)
        found = cells(desk.standing, walk, at, known)
        told = room_values(desk.standing, desk.settings, now, walk, room(desk.standing, found, desk.settings.racks))
        if call.options.json:
            call.json(told | call.missing_values(desk, known=known))
        else:
            call.caution_of(desk, known=known)
            call.print(room_text(told, now))
        call.warn_of(desk)
    return 0
