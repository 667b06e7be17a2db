"""The end of a shift: the sheet that is signed, the entry signing writes, and what is asked about before it."""

from __future__ import annotations

from typing import Final

from rounds.desk.shift import Shift
from rounds.due.line import DueLine
from rounds.logbook.drafts import Draft
from rounds.logbook.entries import ROOM, HandedOver

#: Care that an animal waits for and a vet may ask about: it is not signed over unasked.
PRESSING: Final = ("egg check", "treatment")


def waiting(shift: Shift) -> list[DueLine]:
    """Egg checks and treatments that are due on this walk and were neither done nor left out."""
    every = (due for stop in (*shift.walk().order, None) for due in shift.lines_at(stop))
    return [due for due in every if due.care in PRESSING and due.left_out is None]


def hand_over_sheet(shift: Shift, notes: str = "") -> str:
    """The sheet that would be signed now, as text of 80 columns."""
    from rounds.paper.hand_over import Done, hand_over, shift_began
    from rounds.paper.hand_over_text import hand_over_text

    desk, now = shift.desk, shift.now()
    counting = [entry for entry in desk.recent if entry.at <= now]
    values = hand_over(
        desk.standing,
        desk.settings,
        now,
        Done(
            shift.walk(),
            shift.lines_at,
            shift.all_matters,
            counting,
            tuple(one.sentence for one in desk.troubles),
        ),
        by=desk.keeper,
        since=shift_began(counting, desk.keeper, now),
        notes=notes,
    )
    return hand_over_text(values, now)


def hand_over_draft(shift: Shift, notes: str = "") -> Draft:
    """What signing writes. Raises `Refused` while a vet-now matter has no acknowledgement."""
    from rounds.paper.hand_over import refuse_unread

    refuse_unread(shift.all_matters, shift.desk.standing)
    return Draft(HandedOver, ROOM, {"sheet": hand_over_sheet(shift, notes), "note": notes, "desk": shift.desk.name})
