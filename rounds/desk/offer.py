"""What stands on no sheet any more, as a keeper decides on it: the vet matters that hang on it, and leaving it."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from typing import TYPE_CHECKING, Final

from rounds.due.off_sheet import ON_NO_SHEET, OffSheet, matters_with
from rounds.logbook.drafts import Draft, draft
from rounds.logbook.entries import ROOM, Entry, Noted
from rounds.paper.missing import missing_lines
from rounds.paper.words import many

if TYPE_CHECKING:
    from datetime import datetime

    from rounds.desk.desk import Desk
    from rounds.due.matter import Matter
    from rounds.standing.fold import Standing

#: Letters of a note that says what was left; what does not fit is counted.
_MOST: Final = 1_500


def offered(desk: Desk) -> tuple[Entry, ...]:
    """The entries that are offered to be written again."""
    return () if desk.missing is None else desk.missing.entries


def known_matters(desk: Desk, subjects: Collection[str] | None = None) -> tuple[Matter, ...]:
    """The matters about these subjects (None: all), worst first, those too that stand on no sheet."""
    return matters_with(desk.standing, desk.house, desk.now(), offered(desk), subjects)


def at_stake(desk: Desk, entries: Sequence[Entry]) -> list[Matter]:
    """The vet matters that no one sees any more once these entries are left."""
    return OffSheet(desk.standing, entries).at_stake(desk.house, desk.now())


def leave_missing(desk: Desk, entries: Sequence[Entry]) -> tuple[Entry, ...]:
    """Leave these entries on no sheet and write down what was left; the notes. They are not offered again.

    A note about each one of whom a vet matter hangs on them, and one about the room of the rest. Raises `NotSaved`,
    `BadEntry`: then nothing is left.
    """
    missing = desk.missing
    if missing is None:
        return ()
    ids = {entry.id for entry in entries}
    left = [entry for entry in missing.entries if entry.id in ids]  # the others came back meanwhile
    if entries and not left:
        return ()
    notes = desk.record(*_notes(desk, left))
    missing.leave(ids)
    return notes


def _notes(desk: Desk, entries: Sequence[Entry]) -> Iterator[Draft]:
    standing, rest = desk.standing, list(entries)
    stake: dict[str, list[Matter]] = {}
    for matter in at_stake(desk, entries):
        # One who is known only by what is left has no page that would show a note.
        about = matter.about if matter.about in standing.pages else ROOM
        stake.setdefault(about, []).append(matter)
    after = standing.after_all(entries)
    for about, matters in stake.items():
        behind = {entry.id for matter in matters for entry in matter.entries}
        whose = {matter.about for matter in matters}
        told = [one for one in rest if one.id in behind or not whose.isdisjoint(one.subjects())]
        ids = {one.id for one in told}
        rest = [one for one in rest if one.id not in ids]
        says = " ".join(
            f"{one.level.word.upper()}: {one.says.removesuffix(ON_NO_SHEET).strip()}" for one in matters
        )
        yield draft(Noted, about, note=f"{says} {_left(told, after, desk.now())}".strip())
    if rest:
        yield draft(Noted, ROOM, note=_left(rest, after, desk.now()))
    elif not entries and desk.missing is not None:
        yield draft(Noted, ROOM, note=f"Left on no sheet. {desk.missing.sentence}")


def _left(entries: Sequence[Entry], after: Standing, now: datetime) -> str:
    """What was left on no sheet, entry by entry. `after` is the standing that has them."""
    if not entries:
        return ""
    told: list[str] = []
    length = 0
    for one in missing_lines(after, now, entries):
        length += len(one) + 2
        if told and length > _MOST:
            break
        told.append(" ".join(one.split()))
    more = f"; and {len(entries) - len(told)} more" if len(told) < len(entries) else ""
    return f"Left on no sheet: {many(len(entries), 'entry', 'entries')}: {'; '.join(told)}{more}."
