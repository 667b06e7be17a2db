"""A save is validated before it is written: it may be mended, refused, or asked about."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from rounds.desk.shift import Shift
from rounds.desk.validation import draft_of, ends_a_life, judged
from rounds.logbook.drafts import Draft


class Validated(NamedTuple):
    """Drafts as they may be written; why they may not be; what the keeper has to say yes to first."""

    drafts: tuple[Draft, ...]
    refused: str = ""
    asked: tuple[str, ...] = ()


def validated(shift: Shift, drafts: Iterable[Draft], excluding: frozenset[str] = frozenset()) -> Validated:
    """Validate each draft as if it were written now; `excluding` are the ids of entries it replaces."""
    desk = shift.desk
    wanted: list[Draft] = []
    asked: list[str] = []
    for number, draft in enumerate(drafts):
        entry = draft.entry(f"draft-{number}", shift.now(), desk.keeper)
        found = judged(desk.standing, desk.house, entry, excluding)
        if found.refused:
            return Validated((), found.refused)
        ends = ends_a_life(desk.standing, found.entry)
        asked += [*found.doubts, *([ends] if ends else [])]
        wanted.append(draft_of(found.entry, draft))
    return Validated(tuple(wanted), "", tuple(dict.fromkeys(asked)))
