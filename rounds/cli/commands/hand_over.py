"""`rounds hand-over`: the sheet of this shift, and signing it."""

from __future__ import annotations

from rounds.cli.call import Call
from rounds.cli.commands.today import walk_of
from rounds.cli.signing import refuse_not_taken_over
from rounds.desk.offer import known_matters
from rounds.errors import UsageError
from rounds.logbook.drafts import draft
from rounds.logbook.entries import ROOM, HandedOver
from rounds.paper.hand_over import Done, hand_over, refuse_unread, shift_began
from rounds.paper.hand_over_text import hand_over_text


def run(call: Call) -> int:
    """Print the sheet; with --sign write it down first: not while a vet-now matter is unread, or on no sheet."""
    options = call.options
    if options.sign and not call.keeper:
        raise UsageError("Who hands over? Give --by with your initials, or set ROUNDS_KEEPER")
    with call.desk(writing=options.sign) as desk:
        now = desk.now()
        walk, at = walk_of(desk, options.walk)
        found = known_matters(desk)
        if options.sign:
            refuse_unread(found, desk.standing)
            refuse_not_taken_over(desk.standing, call.keeper)
        told = hand_over(
            desk.standing,
            desk.settings,
            now,
            Done(walk, at, found, desk.recent, tuple(trouble.sentence for trouble in desk.troubles)),
            by=call.keeper,
            since=shift_began(desk.recent, call.keeper, now),
            to=options.to or "",
            notes=options.note or "",
        )
        sheet = hand_over_text(told, now)
        signed = None
        if options.sign:
            (signed,) = desk.record(
                draft(HandedOver, ROOM, to=options.to or "", desk=desk.name, sheet=sheet, note=options.note or "")
            )
        known = None if signed else found
        if call.options.json:
            call.json({**told, "signed": signed.id if signed else None, **call.missing_values(desk, known=known)})
        else:
            call.caution_of(desk, known=known)
            call.print(sheet)
        if signed:
            call.say(f"Signed by {signed.by} and written to the logbook (entry {signed.id}).")
        call.warn_of(desk)
    return 0
