"""A save is validated before it is written: it may be mended, refused, or asked about."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from rounds.desk.adding_up import without
from rounds.desk.shift import Shift
from rounds.desk.validation import draft_of, ends_a_life, judged
from rounds.desk.young_door import SUMMED, sums_broken
from rounds.logbook.drafts import Draft
from rounds.logbook.entries import Entry


class Validated(NamedTuple):
    """Drafts as they may be written; why they may not be; what the keeper has to say yes to first."""

    drafts: tuple[Draft, ...]
    refused: str = ""
    asked: tuple[str, ...] = ()


def validated(shift: Shift, drafts: Iterable[Draft], excluding: frozenset[str] = frozenset()) -> Validated:
    """Validate each draft as if it were written now; `excluding` are the ids of entries it replaces."""
    desk = shift.desk
    standing = desk.standing
    wanted: list[Draft] = []
    entries: list[Entry] = []
    asked: list[str] = []
    for number, draft in enumerate(drafts):
        entry = draft.entry(f"draft-{number}", shift.now(), desk.keeper)
        found = judged(standing, desk.house, entry, excluding)
        if found.refused:
            return Validated((), found.refused)
        ends = ends_a_life(standing, found.entry)
        asked += [*found.doubts, *([ends] if ends else [])]
        wanted.append(draft_of(found.entry, draft))
        entries.append(found.entry)
        if type(found.entry) in SUMMED:  # what comes with it in this save is judged as it stands after it
            standing = standing.after(found.entry)
    refused = _sums(shift, entries, excluding)
    return Validated((), refused) if refused else Validated(tuple(wanted), "", tuple(dict.fromkeys(asked)))


def _sums(shift: Shift, entries: Sequence[Entry], excluding: frozenset[str]) -> str:
    """Why the sums of young would not hold after this save; empty when they would, or it touches none."""
    if not any(type(entry) in SUMMED for entry in entries):
        return ""
    before = shift.desk.standing
    # What is replaced may have been about another: whose it was can be the mistake.
    named = (subject for entry in entries for subject in entry.subjects())
    others = (*before.subjects("group"), *before.subjects("clutch")) if excluding else ()
    replaced = {
        one.id: one
        for subject in dict.fromkeys((*named, *others))
        for kind in SUMMED
        for one in before.page(subject).of(kind)
        if one.id in excluding
    }
    wrong = [*replaced.values()]
    after = (without(before, wrong, shift.now()) if wrong else before).after_all(entries)
    return sums_broken(before, after, [*entries, *wrong])[0]
