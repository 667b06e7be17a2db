"""Young counted together: how many there are, where, and how old."""

from __future__ import annotations

from rounds.logbook.entries import Counted, CountSettled, Entry
from rounds.standing.animal import Animal
from rounds.standing.fold import Standing
from rounds.standing.identity import GroupIdentity


class Group(GroupIdentity, Animal):
    """A group as it stands. It has a page, stays, weights and food like an animal, and a count."""

    def _departures(self) -> list[Entry]:
        # Some of it dying or being sold does not move the others out of their tub.
        return [self.gone] if self.gone is not None else []


def group(standing: Standing, subject: str) -> Group:
    """The group as it stands; worked out once for a standing."""
    found = standing.views.get(("group", subject))
    if found is None:
        found = standing.views[("group", subject)] = Group(standing, subject)
    assert isinstance(found, Group)
    return found


def groups_here(standing: Standing) -> list[Group]:
    """All groups that are in the colony now, by id."""
    return [one for subject in standing.subjects("group") if (one := group(standing, subject)).here]


def last_count(young: Group) -> Counted | CountSettled | None:
    """The last time it was counted."""
    every = [one for one in (young.last(Counted), young.last(CountSettled)) if one is not None]
    return max(every, key=lambda one: one.key, default=None)
