"""Vet matters that only entries on no sheet raise: they stand all the same, marked, until it is decided on them."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import datetime
from typing import Final

import msgspec

from rounds.due import reckon
from rounds.due.matter import Level, Matter
from rounds.logbook.entries import Entry
from rounds.rules.house import House
from rounds.standing.animal import animal
from rounds.standing.fold import Standing

#: Behind the sentence of such a matter, wherever it stands.
ON_NO_SHEET: Final = "On no sheet."


class OffSheet:
    """What was read before and stands on no sheet any more, held against a standing without it."""

    def __init__(self, standing: Standing, entries: Sequence[Entry]) -> None:
        """Nothing is worked out before a matter of one whom the entries concern is asked for."""
        self.standing = standing
        self.entries = entries
        self._subjects = frozenset(subject for entry in entries for subject in entry.subjects())
        self._ids = frozenset(entry.id for entry in entries)
        self._after: Standing | None = None

    @property
    def after(self) -> Standing:
        """The standing as it would be with these entries."""
        if self._after is None:
            self._after = self.standing.after_all(self.entries)
        return self._after

    def concerns(self, subject: str) -> bool:
        """Whether a matter about this subject can have come down: it, who lives with it, and where it lives."""
        if subject in self._subjects:
            return True
        place = subject if subject.startswith("enclosure/") else self.standing.places.get(subject)
        if place is None:
            return False
        return place in self._subjects or any(one in self._subjects for one in self.standing.living_in(place))

    @property
    def concerned(self) -> list[str]:
        """All subjects of whom a matter can have come down, who is known only by what is missing too."""
        places = {self.after.places.get(one) for one in self._subjects} | self._subjects
        found = dict.fromkeys(sorted(self._subjects))
        for place in sorted(one for one in places if one is not None and one.startswith("enclosure/")):
            found.update(dict.fromkeys((place, *self.after.living_in(place))))
        return list(found)

    def matters_about(self, house: House, now: datetime, subject: str) -> tuple[Matter, ...]:
        """The matters about a subject, worst first; those that came down with these entries are marked.

        One came down when nothing like it stands without them, or only a lower level, or fewer signs.
        """
        here = reckon.matters_about(self.standing, house, now, (subject,))
        if not self.entries or not self.concerns(subject):
            return here
        return self.marked(here, reckon.matters_about(self.after, house, now, (subject,)))

    def marked(self, here: Sequence[Matter], there: Sequence[Matter]) -> tuple[Matter, ...]:
        """The matters about one subject without these entries, and with them: all that stand, worst first."""
        found = {matter.key: matter for matter in here}
        for matter in there:
            if matter.level < Level.VET:
                continue
            stands = found.get(matter.key) or _the_same(matter, here, there)
            if self._is_worse(matter, stands):
                if stands is not None:
                    del found[stands.key]
                found[matter.key] = msgspec.structs.replace(
                    matter, says=f"{matter.says} {ON_NO_SHEET}", on_no_sheet=True
                )
        return tuple(sorted(found.values(), key=lambda matter: matter.order))

    def _is_worse(self, matter: Matter, stands: Matter | None) -> bool:
        """Whether a matter for the vet says more than the one of its name that stands without these entries."""
        if stands is None or stands.level < matter.level:
            return True
        if not any(entry.id in self._ids for entry in matter.entries):
            return False
        if matter.danger and matter.about.startswith("animal/"):
            return bool(_signs(self.after, matter.about) - _signs(self.standing, matter.about))
        return matter.says != stands.says

    def at_stake(self, house: House, now: datetime) -> list[Matter]:
        """The vet matters that go, or have gone already, when these entries are left on no sheet; worst first."""
        matters = (one for subject in self.concerned for one in self.matters_about(house, now, subject))
        return [
            one
            for one in sorted(matters, key=lambda matter: matter.order)
            if one.on_no_sheet or (one.level >= Level.VET and any(entry.id in self._ids for entry in one.entries))
        ]


def matters_with(
    standing: Standing,
    house: House,
    now: datetime,
    entries: Sequence[Entry],
    subjects: Collection[str] | None = None,
) -> tuple[Matter, ...]:
    """The matters about these subjects (None: all), worst first, with those that came down with `entries`."""
    found = (
        reckon.matters(standing, house, now)
        if subjects is None
        else reckon.matters_about(standing, house, now, subjects)
    )
    if not entries:
        return found
    off = OffSheet(standing, entries)
    concerned = {one for one in off.concerned if (subjects is None or one in subjects) and off.concerns(one)}
    here, there = (
        _apart(found),
        _apart(reckon.matters_about(off.after, house, now, reckon.by_place(off.after, sorted(concerned)))),
    )
    others = [one for one in found if one.about not in concerned]
    marked = [one for about in concerned for one in off.marked(here.get(about, ()), there.get(about, ()))]
    return tuple(sorted((*others, *marked), key=lambda matter: matter.order))


def _apart(found: Sequence[Matter]) -> dict[str, list[Matter]]:
    """Matters by whom they are about, in the order given."""
    apart: dict[str, list[Matter]] = {}
    for matter in found:
        apart.setdefault(matter.about, []).append(matter)
    return apart


def _the_same(matter: Matter, here: Sequence[Matter], there: Sequence[Matter]) -> Matter | None:
    """The matter that stands of one rule alone, since another day: it is the same one, begun earlier or later."""
    same = [one for one in here if one.rule == matter.rule]
    return same[0] if len(same) == 1 == sum(one.rule == matter.rule for one in there) else None


def _signs(standing: Standing, subject: str) -> set[str]:
    return {one.sign for one in animal(standing, subject).danger}
