"""What became of the young of a clutch, over all groups they went through and the animals singled out of them.

Where young of several clutches were put into one group they cannot be told apart: the sum is then that of all these
clutches together, and says so.

hatched + from elsewhere + found = in no group + alive + died + left + not found (+ singled out, never registered)
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

import msgspec

from rounds.logbook.entries import Arrived, Died, Entry, Hatched, Merged, SingledOut, SplitOff
from rounds.logbook.group_census import GroupCensus
from rounds.standing.animal import animal
from rounds.standing.fold import Standing
from rounds.standing.group import Group, group


class YoungOf(msgspec.Struct, frozen=True):
    """The young of one clutch, or of several that share a group: who they are, and every term of their sum."""

    clutches: tuple[str, ...]
    groups: tuple[str, ...]
    #: Animals with names of their own, those that are gone among them.
    animals: tuple[str, ...]
    hatched: int = 0
    #: Young that came into one of the groups from no clutch of the colony.
    elsewhere: int = 0
    #: More than were reckoned, when counts were settled.
    found: int = 0
    in_no_group: int = 0
    alive: int = 0
    died: int = 0
    left: int = 0
    not_found: int = 0
    unregistered: int = 0
    #: Registered, and never written as hatched.
    unhatched: int = 0
    #: More went than came: 0 where the sum holds.
    over: int = 0

    @property
    def says(self) -> str:
        """The sum in words: `20 hatched = 17 alive + 2 died + 1 left`; terms of 0 are left away."""
        came = {
            "hatched": self.hatched,
            "never written as hatched": self.unhatched,
            "from elsewhere": self.elsewhere,
            "found more": self.found,
        }
        went = {
            "in no group yet": self.in_no_group,
            "died": self.died,
            "left": self.left,
            "not found": self.not_found,
            "singled out and never registered": self.unregistered,
        }
        left = " + ".join(f"{many} {word}" for word, many in came.items() if many) or "0 hatched"
        right = " + ".join([f"{self.alive} alive", *(f"{many} {word}" for word, many in went.items() if many)])
        return f"{left} = {right}" + (f", {self.over} too many" if self.over else "")


def young_of(standing: Standing, clutch: str) -> YoungOf:
    """The young of a clutch, with those of every clutch that shares a group with them; worked out once."""
    found: YoungOf | None = standing.views.get(("young of", clutch))
    if found is None:
        found = standing.views["young of", clutch] = _read(standing, clutch)
    return found


def neighbours(standing: Standing, subject: str) -> Iterator[str]:
    """Groups that young of this one went into, or came from."""
    page = standing.page(subject)
    for entry in page.of(SplitOff):
        yield entry.into if entry.about == subject else entry.about
    for gone in page.of(Merged):
        yield gone.into if gone.about == subject else gone.about


def _read(standing: Standing, clutch: str) -> YoungOf:
    clutches, groups, animals = _connected(standing, clutch)
    terms = dict.fromkeys(("hatched", "elsewhere", "in_no_group", "unhatched", "unregistered", "over"), 0)
    for one in clutches:
        hatched = sum(entry.count for entry in standing.page(one).of(Hatched) if entry.about == one)
        registered = _registered(standing, one)
        terms["hatched"] += hatched
        terms["in_no_group"] += max(0, hatched - registered)
        terms["unhatched"] += max(0, registered - hatched)
    sums: list[GroupCensus] = [group(standing, one).census for one in groups]
    ends = [animal(standing, one) for one in animals]
    for one in groups:
        elsewhere = (entry for entry in group(standing, one).own(Arrived) if not entry.clutch)
        terms["elsewhere"] += sum(entry.count or 0 for entry in elsewhere)
    terms["unregistered"] = sum(one.arrived is None for one in ends)
    came = [one for one in ends if one.arrived is not None]
    died = sum(isinstance(one.gone, Died) for one in came)
    here = sum(one.gone is None for one in came)
    return YoungOf(
        tuple(clutches),
        tuple(groups),
        tuple(animals),
        **terms | {"over": sum(one.over for one in sums)},
        found=sum(one.found for one in sums),
        alive=sum(one.alive for one in sums) + here,
        died=sum(one.died for one in sums) + died,
        left=sum(one.left for one in sums) + len(came) - here - died,
        not_found=sum(one.not_found for one in sums),
    )


def _connected(standing: Standing, clutch: str) -> tuple[list[str], list[str], list[str]]:
    """Every clutch, group and animal that hangs together with a clutch by young that went from one to the other."""
    seen: dict[str, None] = {clutch: None}
    for subject in (waiting := [clutch]):
        page = standing.page(subject)
        next_ones: list[str] = []
        if subject.startswith("clutch/"):
            next_ones += [entry.about for entry in page.of(Arrived) if entry.clutch == subject]
        elif subject.startswith("group/"):
            next_ones += neighbours(standing, subject)
            next_ones += [entry.clutch for entry in group(standing, subject).own(Arrived) if entry.clutch]
            next_ones += [entry.animal for entry in group(standing, subject).own(SingledOut)]
        else:
            next_ones += [entry.about for entry in page.of(SingledOut)]
        for one in next_ones:
            if one not in seen:
                seen[one] = None
                waiting.append(one)
    parts: dict[str, list[str]] = {"clutch": [], "group": [], "animal": []}
    for subject in sorted(seen):
        parts.setdefault(subject.partition("/")[0], []).append(subject)
    return parts["clutch"], parts["group"], parts["animal"]


def _registered(standing: Standing, clutch: str) -> int:
    """Young of a clutch that came into a group, or are animals that were never in one."""
    many, alone = 0, set()
    for entry in standing.page(clutch).of(Arrived):
        if entry.clutch != clutch:
            continue
        if entry.about.startswith("group/"):
            many += entry.count or 0
        elif not standing.page(entry.about).of(SingledOut):
            alone.add(entry.about)
    return many + len(alone)


def in_no_group(standing: Standing, clutch: str) -> int:
    """Young of a clutch that hatched and were registered nowhere: in no group, and not as animals.

    Where a group says nothing of its clutch, or of how many came, it is taken to hold those that hatched into it.
    """
    hatched = [entry for entry in standing.page(clutch).of(Hatched) if entry.about == clutch]
    came = [entry for entry in standing.page(clutch).of(Arrived) if entry.clutch == clutch]
    if any(entry.count is None for entry in came if entry.about.startswith("group/")):
        return 0
    silent = sum(
        entry.count
        for entry in hatched
        if entry.into is not None
        and (arrived := group(standing, entry.into).own(Arrived))
        and not any(one.clutch for one in arrived)
    )
    return max(0, sum(entry.count for entry in hatched) - _registered(standing, clutch) - silent)


def clutches_of_group(standing: Standing, young: Group, since: datetime | None = None) -> tuple[str, ...]:
    """The clutches that young of this group may be of, by its own arrivals and those of the groups it came from.

    With `since`, only of what came into it from then on: the others are not in it any more.
    """
    found: dict[str, None] = {}
    seen = {young.subject}
    for subject in (waiting := [young.subject]):
        one = group(standing, subject)
        first = since if subject == young.subject else None
        own = [entry for entry in one.own(Arrived) if first is None or entry.at >= first]
        found.update(dict.fromkeys(entry.clutch for entry in own if entry.clutch))
        came: list[SplitOff | Merged] = [entry for entry in one.page.of(SplitOff) if entry.into == subject]
        came += [entry for entry in one.page.of(Merged) if entry.into == subject]
        sources = dict.fromkeys(entry.about for entry in came if first is None or entry.at >= first)
        fresh = [other for other in sources if other not in seen]
        seen.update(fresh)
        waiting += fresh
    return tuple(found)


def came_from(standing: Standing, subject: str) -> Iterator[tuple[str, Entry | None]]:
    """The subject (with None), and each group its young came from, with the entry by which they did."""
    yield subject, None
    seen = {subject}
    for one in (waiting := [subject]):
        page = standing.page(one)
        came: list[Entry] = [entry for entry in page.of(SplitOff) if entry.into == one]
        came += [entry for entry in page.of(Merged) if entry.into == one]
        came += [entry for entry in page.of(SingledOut) if entry.animal == one]
        for entry in came:
            if entry.about not in seen:
                seen.add(entry.about)
                waiting.append(entry.about)
                yield entry.about, entry
