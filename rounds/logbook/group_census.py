"""The census of a group: where each of its young came from and what became of it, adding up at every moment.

came (arrived + split in + merged in + found) = alive + died + left + singled out + split off + merged + not found
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

import msgspec

from rounds.logbook.entries import Arrived, CountSettled, Died, Entry, Left, Merged, SingledOut, SplitOff

#: The kinds that the sum of a group is made of.
COUNTING: tuple[type[Entry], ...] = (Arrived, CountSettled, Died, Left, Merged, SingledOut, SplitOff)


class Step(msgspec.Struct, frozen=True):
    """How many there were from a moment on."""

    at: datetime
    count: int


class YoungGone(msgspec.Struct, frozen=True):
    """Young that died, left, or were looked for and not found, by the entry that says so."""

    entry: Died | Left | CountSettled
    count: int


class GroupCensus(msgspec.Struct, frozen=True):
    """Every term of a group's sum, in young."""

    arrived: int = 0
    split_in: int = 0
    merged_in: int = 0
    #: More than were reckoned, when a count was settled.
    found: int = 0
    died: int = 0
    left: int = 0
    singled_out: int = 0
    split_off: int = 0
    merged_away: int = 0
    #: Fewer than were reckoned, when a count was settled.
    not_found: int = 0
    #: Whether every arrival said how many, so that the sum says anything.
    known: bool = True
    #: The entry by which it came to nothing, if it did.
    ended: Entry | None = None
    steps: tuple[Step, ...] = ()
    #: Deaths, leavings and young not found, oldest first.
    gone: tuple[YoungGone, ...] = ()

    @property
    def lost(self) -> tuple[YoungGone, ...]:
        """Deaths, and young not found, oldest first."""
        return tuple(one for one in self.gone if not isinstance(one.entry, Left))

    @property
    def came(self) -> int:
        """All that ever came into it."""
        return self.arrived + self.split_in + self.merged_in + self.found

    @property
    def went(self) -> int:
        """All that are accounted for and not in it any more."""
        gone = self.died + self.left + self.singled_out + self.split_off + self.merged_away
        return gone + self.not_found

    @property
    def alive(self) -> int:
        """How many there are."""
        return max(0, self.came - self.went)

    @property
    def over(self) -> int:
        """How many more went than came: 0 where the sum holds."""
        return max(0, self.went - self.came) if self.known else 0

    @property
    def terms(self) -> dict[str, int]:
        """The terms by their words, those that came first; alive among them."""
        return {**self._came, "alive": self.alive, **self._went}

    @property
    def _came(self) -> dict[str, int]:
        return {
            "arrived": self.arrived,
            "split in": self.split_in,
            "merged in": self.merged_in,
            "found more": self.found,
        }

    @property
    def _went(self) -> dict[str, int]:
        return {
            "died": self.died,
            "left": self.left,
            "singled out": self.singled_out,
            "split off": self.split_off,
            "merged": self.merged_away,
            "not found": self.not_found,
        }

    @property
    def says(self) -> str:
        """The sum in words: `20 arrived = 17 alive + 2 died + 1 left`; terms of 0 are left away."""
        came = " + ".join(f"{many} {word}" for word, many in self._came.items() if many) or "0 arrived"
        went = [f"{many} {word}" for word, many in self._went.items() if many]
        if not self.known and not self.came:
            return " + ".join([f"{self.alive} alive", *went]) + " (never said how many arrived)"
        right = " + ".join([f"{self.alive} alive", *went])
        return f"{came} = {right}" + (f", {self.over} too many" if self.over else "")


def read_census(subject: str, entries: Iterable[Entry]) -> GroupCensus:
    """The census that these entries of a group's page make, in whatever order they come."""
    reading = _Reading(subject)
    for entry in sorted(entries, key=lambda one: one.key):
        reading.take(entry)
    return reading.census()


class _Reading:
    def __init__(self, subject: str) -> None:
        self._subject = subject
        self._terms = dict.fromkeys(("arrived", "split_in", "merged_in", "found"), 0)
        self._terms |= dict.fromkeys(("died", "left", "singled_out", "split_off", "merged_away", "not_found"), 0)
        self._balance = 0
        self._known = True
        self._opened = False
        self._ended: Entry | None = None
        self._steps: list[Step] = []
        self._gone: list[YoungGone] = []

    def take(self, entry: Entry) -> None:
        """One entry more, the next in order."""
        came = self._came(entry)
        if came is not None:
            word, count = came
            self._opened, self._ended = True, None
            self._known = self._known and count is not None
            self._add(word, count or 0)
        # Who died or left before the group was registered is not counted in it.
        if self._opened and entry.about == self._subject:
            self._go(entry)
        if self._opened:
            self._steps.append(Step(entry.at, max(0, self._balance)))

    def _came(self, entry: Entry) -> tuple[str, int | None] | None:
        if isinstance(entry, Arrived) and entry.about == self._subject:
            return "arrived", entry.count
        if isinstance(entry, SplitOff) and entry.into == self._subject:
            return "split_in", entry.count
        if isinstance(entry, Merged) and entry.into == self._subject:
            # Without a number nothing is known to have come in; the group it came from says that it ended.
            return "merged_in", entry.count or 0
        return None

    def _go(self, entry: Entry) -> None:
        if isinstance(entry, Died | Left):
            self._gone.append(YoungGone(entry, max(0, self._balance) if entry.count is None else entry.count))
            self._out("died" if isinstance(entry, Died) else "left", entry.count, entry)
        elif isinstance(entry, SplitOff):
            self._out("split_off", entry.count, entry)
        elif isinstance(entry, SingledOut):
            self._out("singled_out", 1, entry)
        elif isinstance(entry, Merged):
            self._out("merged_away", entry.count, entry)
            if not self._known and self._ended is None:
                # All that were left went, and no one ever said how many came: none stays behind.
                self._ended = entry
        elif isinstance(entry, CountSettled):
            self._settle(entry)

    def _out(self, word: str, count: int | None, entry: Entry) -> None:
        many = max(0, self._balance) if count is None else count
        self._terms[word] += many
        self._balance -= many
        if self._ended is None and (count is None or (self._known and self._balance <= 0)):
            self._ended = entry

    def _settle(self, entry: CountSettled) -> None:
        difference = entry.count - self._balance
        if not self._known:
            self._known = True
            word = "arrived"
        else:
            word = "found"
        if difference > 0:
            self._add(word, difference)
        else:
            self._add("not_found", -difference, -1)
            if difference < 0:
                self._gone.append(YoungGone(entry, -difference))
        if entry.count > 0:
            self._ended = None
        elif self._ended is None:
            self._ended = entry

    def _add(self, word: str, count: int, way: int = 1) -> None:
        self._terms[word] += count
        self._balance += way * count

    def census(self) -> GroupCensus:
        """What was read."""
        return GroupCensus(
            **self._terms,
            known=self._known,
            ended=self._ended,
            steps=tuple(self._steps),
            gone=tuple(self._gone),
        )
