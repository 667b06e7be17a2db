"""What a save is held against before it is written: turned round, refused, or asked about."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from rounds.desk.shift import Shift
from rounds.desk.validation import draft_of, ends_a_life, judged
from rounds.logbook.drafts import Draft


class Looked(NamedTuple):
    """Drafts as they may be written; why not, if not; and what is to be said yes to first."""

    drafts: tuple[Draft, ...]
    refused: str = ""
    asked: tuple[str, ...] = ()


def look_over(shift: Shift, drafts: Iterable[Draft], excluding: frozenset[str] = frozenset()) -> Looked:
    """Judge each draft as if it were written now; `excluding` are ids of entries that are being replaced."""
    desk = shift.desk
    wanted: list[Draft] = []
    asked: list[str] = []
    for number, draft in enumerate(drafts):
        entry = draft.entry(f"draft-{number}", shift.now(), desk.keeper)
        found = judged(desk.standing, desk.house, entry, excluding)
        if found.refused:
            return Looked((), found.refused)
        ends = ends_a_life(desk.standing, found.entry)
        asked += [*found.doubts, *([ends] if ends else [])]
        wanted.append(draft_of(found.entry, draft))
    return Looked(tuple(wanted), "", tuple(dict.fromkeys(asked)))
