"""Places: what cannot be true of where animals and eggs were put, and of enclosures that stood or did not."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from datetime import datetime
from typing import Final

from rounds.audit.finding import Book, Finding, by_subject, from_before, is_the_end, when
from rounds.logbook.entries import (
    Arrived,
    CountSettled,
    Died,
    EggsBoxed,
    EnclosureSetUp,
    EnclosureTakenDown,
    Entry,
    LayBoxIn,
    Left,
    Merged,
    Moved,
    SingledOut,
    SplitOff,
)


def moved_to_nowhere(book: Book) -> Iterator[Finding]:
    """Someone or some eggs were put where no enclosure stood at that time."""
    set_up: dict[str, list[Entry]] = by_subject(book.any_of(EnclosureSetUp, EnclosureTakenDown))
    place: str | None
    history = {enclosure: _Stood(entries) for enclosure, entries in set_up.items()}
    for entry in book.any_of(Arrived, Moved, EggsBoxed, LayBoxIn):
        if isinstance(entry, Moved):
            place = entry.to
        elif isinstance(entry, Arrived | EggsBoxed):
            place = entry.place
        else:
            place = entry.box if isinstance(entry, LayBoxIn) else None
        if place is None:
            continue
        stood = history.get(place)
        if stood is None:
            why, behind = "was never set up", None
        else:
            why, behind = stood.against(entry.at)
        if why:
            also = () if behind is None else (behind,)
            if isinstance(behind, EnclosureSetUp) and from_before([entry], behind):
                yield Finding(
                    "said",
                    f"{book.name(entry.about)}: {entry.phrase()} on {when(entry)} is known from before; "
                    f"{book.name(place)} {why}.",
                    (entry, behind),
                )
                continue
            yield Finding(
                "doubt" if behind is not None and behind.at.date() == entry.at.date() else "wrong",
                f"{book.name(entry.about)}: {entry.phrase()} on {when(entry)}, but {book.name(place)} {why}. "
                "Correct the place, or write when that enclosure stood.",
                (entry, *also),
            )


class _Stood:
    """When one enclosure stood: asked in the order of time, so that each entry is looked at once."""

    def __init__(self, entries: list[Entry]) -> None:
        self.entries = entries
        self.next = 0
        self.down: Entry | None = None
        self.up: Entry | None = None

    def against(self, moment: datetime) -> tuple[str, Entry | None]:
        """Why it did not stand at that moment, and the entry that says so; empty when it stood."""
        while self.next < len(self.entries) and self.entries[self.next].at <= moment:
            entry = self.entries[self.next]
            self.next += 1
            if isinstance(entry, EnclosureSetUp):
                self.up, self.down = entry, None
            else:
                self.down = entry
        if self.down is not None and self.down.at < moment:
            return f"was taken down on {when(self.down)}", self.down
        if self.up is None:
            later = next((one for one in self.entries if isinstance(one, EnclosureSetUp)), None)
            return (f"was set up only on {when(later)}", later) if later is not None else ("was never set up", None)
        return "", None


#: At one and the same moment who moves out goes before the enclosure is taken down.
_FIRST: Final[dict[type[Entry], int]] = {
    EnclosureSetUp: 0,
    Arrived: 1,
    Moved: 2,
    Left: 2,
    Died: 2,
    CountSettled: 2,
    Merged: 2,
    SingledOut: 2,
    SplitOff: 2,
    EnclosureTakenDown: 3,
}


def taken_down_while_lived_in(book: Book) -> Iterator[Finding]:
    """An enclosure was taken down while someone still lived in it."""
    events = sorted(book.any_of(*_FIRST), key=lambda entry: (entry.at, _FIRST[type(entry)], entry.id))
    lives: dict[str, str] = {}
    living: dict[str, set[str]] = defaultdict(set)
    held: dict[str, int | None] = {}
    for entry in events:
        who, place = entry.about, None
        if isinstance(entry, EnclosureTakenDown):
            if living[who]:
                names = sorted(book.name(one) for one in living[who])
                more = f" and {len(names) - 6} more" if len(names) > 6 else ""
                yield Finding(
                    "wrong",
                    f"{book.name(who)} was taken down on {when(entry)} while {', '.join(names[:6])}{more} "
                    "still lived in it. Write where they went, "
                    "or correct the taking down.",
                    (entry,),
                )
            continue
        if isinstance(entry, EnclosureSetUp):
            continue
        if isinstance(entry, Arrived):
            before = held.get(who)
            held[who] = entry.count if before is None or entry.count is None else before + entry.count
            place = entry.place or lives.get(who)
        elif isinstance(entry, Moved):
            place = entry.to
        elif not is_the_end(entry, held):
            continue
        if who in lives:
            living[lives.pop(who)].discard(who)
        if place is not None:
            lives[who] = place
            living[place].add(who)
