"""Who may sign a hand-over: somebody who took over."""

from __future__ import annotations

from rounds.errors import Refused
from rounds.logbook.entries import ROOM, Entry, HandedOver, TakenOver
from rounds.paper.plain_text import shown
from rounds.standing.fold import Standing


def refuse_not_taken_over(standing: Standing, by: str, but: Entry | None = None) -> None:
    """Raise `Refused` when a keeper who is not on shift would sign. `but` is the hand-over that is being written.

    On shift is who took over and has not handed over since, nor has anybody at the desk of that shift.
    """
    room = standing.page(ROOM)
    taken = [one for one in room.of(TakenOver) if one.by == by and (but is None or one.key < but.key)]
    if taken:
        last = taken[-1]
        ended = [
            one
            for one in room.of(HandedOver)
            if one is not but and one.id != (but.id if but else "") and last.key < one.key
            if one.by == by or (one.desk and one.desk == last.desk)
        ]
        if not ended:
            return
    raise Refused(
        f"Not signed: {shown(by)} has not taken over since the last hand-over. Take over first: "
        f"`rounds log taken_over room --by {shown(by)}`, or in the app with Enter."
    )
