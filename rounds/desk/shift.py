"""A shift under way: the open colony with what is due and what needs attention, kept up to date by the key.

After a key only what the entry can have changed is reckoned again; everything is when the day or the
hour has moved on, in slices between keys.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date, datetime

from rounds.desk.desk import Desk
from rounds.desk.offer import at_stake, leave_missing, offered
from rounds.due.line import DueLine
from rounds.due.lines import lines_at
from rounds.due.matter import Level, Matter
from rounds.due.off_sheet import OffSheet
from rounds.due.room import Room, cells, cells_before, room
from rounds.due.round import part_of, walk_day
from rounds.due.walk import Walk
from rounds.logbook.drafts import Draft
from rounds.logbook.entries import ROOM, Entry, TakenOver
from rounds.logbook.words import WalkPart
from rounds.paper.missing import in_short, urgent_lines
from rounds.standing.shelves import told_by_eggs


class Shift:
    """The desk and all that is worked out from it now."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        self.part: WalkPart = part_of(desk.now(), desk.settings.house)
        self._part_of_day = walk_day(desk.now(), desk.house)
        self._matters: dict[str, tuple[Matter, ...]] = {}
        self._lines: dict[str, tuple[DueLine, ...]] = {}
        #: Where everybody lived when it was last asked what has changed: who moved out changed that place too.
        self._places = desk.standing.places
        self._ordered: tuple[Matter, ...] | None = None
        self._counted: tuple[tuple[Matter, ...], dict[Level, int]] | None = None
        self._walk: Walk | None = None
        #: The room as it was last worked out, and of which walk and which matters.
        self._room: tuple[Walk, tuple[Matter, ...] | None, Room] | None = None
        #: Whether a screen draws the room: then its due lines are reckoned between keys too.
        self.draws_room = False
        self.reckoned_at: datetime | None = None
        self._touched_meanwhile: set[str] = set()
        #: What stands on no sheet, and the entries of it by which matters were reckoned.
        self._off = OffSheet(desk.standing, offered(desk))
        self._heard = self._off.entries

    # What is due and what needs attention

    def now(self) -> datetime:
        """The reckoning moment."""
        return self.desk.now()

    @property
    def day(self) -> date:
        """The room's date."""
        return self.now().date()

    def walk(self) -> Walk:
        """The walk of this part of the day."""
        if self._walk is None:
            self._walk = Walk(self.desk.standing, self.desk.settings, self.now(), self.part)
        return self._walk

    def choose_walk(self, part: WalkPart) -> None:
        """Walk the morning or the evening round."""
        self.part = part
        self._walk = None
        self._lines.clear()

    def turn(self) -> bool:
        """When the room's day has turned since the walk was chosen, the walk of the new day; whether it has.

        Within a day the walk is left as it is: one begun in the morning is not cut in two by the clock.
        """
        day = walk_day(self.now(), self.desk.house)
        if day == self._part_of_day:
            return False
        self.begin_walk()
        return True

    def begin_walk(self) -> None:
        """The walk that belongs to this hour: at the beginning of a shift, or of a day."""
        self._part_of_day = walk_day(self.now(), self.desk.house)
        self.choose_walk(part_of(self.now(), self.desk.settings.house))

    def lines(self, enclosure: str) -> tuple[DueLine, ...]:
        """The due lines of a stop."""
        found = self._lines.get(enclosure)
        if found is None:
            found = self._lines[enclosure] = lines_at(
                self.desk.standing, self.desk.house, self.now(), enclosure, self.part
            )
        return found

    def lines_at(self, stop: str | None) -> tuple[DueLine, ...]:
        """The due lines of a stop, or of those who live nowhere."""
        if stop is not None:
            return self.lines(stop)
        return lines_at(self.desk.standing, self.desk.house, self.now(), None, self.part)

    def room(self) -> Room:
        """The racks with what each enclosure needs: the same one until something changes.

        Before every matter is reckoned only what was walked is known.
        """
        self.draws_room = True
        walk, matters = self.walk(), self.all_matters if self.complete else None
        if self._room is None or self._room[0] is not walk or self._room[1] is not matters:
            standing = self.desk.standing
            found = cells_before(standing, walk) if matters is None else cells(standing, walk, self.lines, matters)
            self._room = walk, matters, room(standing, found, self.desk.settings.racks)
        return self._room[2]

    def matters_about(self, subjects: Iterable[str]) -> tuple[Matter, ...]:
        """The open matters of these subjects, worst first."""
        self._hear_of_missing()
        return tuple(
            sorted(
                (matter for subject in dict.fromkeys(subjects) for matter in self._of(subject)),
                key=lambda matter: matter.order,
            )
        )

    def _of(self, subject: str) -> tuple[Matter, ...]:
        found = self._matters.get(subject)
        if found is None:
            found = self._matters[subject] = self._reckoned(subject, self.now())
        return found

    def _reckoned(self, subject: str, now: datetime) -> tuple[Matter, ...]:
        """What is open about a subject, what stands on no sheet too."""
        return self._off_sheet().matters_about(self.desk.house, now, subject)

    def _off_sheet(self) -> OffSheet:
        """What stands on no sheet, held against the standing as it is now."""
        standing, entries = self.desk.standing, offered(self.desk)
        if self._off.standing is not standing or self._off.entries is not entries:
            self._off = OffSheet(standing, entries)
        return self._off

    def _hear_of_missing(self) -> bool:
        """Whether other entries stand on no sheet than before: then what they concern is reckoned again."""
        before, self._heard = self._heard, offered(self.desk)
        if before is self._heard:
            return False
        self.touched({*OffSheet(self.desk.standing, before).concerned, *self._off_sheet().concerned})
        return True

    @property
    def complete(self) -> bool:
        """Whether every subject's matters have been reckoned."""
        return self.reckoned_at is not None

    def reckon_all(self) -> Iterator[None]:
        """Reckon every matter again, giving way after each few subjects so that keys stay instant."""
        if not self.draws_room:
            self._lines.clear()
        self._walk = None
        self._touched_meanwhile.clear()
        fresh: dict[str, tuple[Matter, ...]] = {}
        lines: dict[str, tuple[DueLine, ...]] = {}
        now = self.now()
        for subject in self._subjects():
            fresh[subject] = self._reckoned(subject, now)
            yield
        part = self.part
        if self.draws_room:
            # The lines of before stay until those of now are all there: a room is not drawn half.
            for stop in self.walk().order:
                lines[stop] = lines_at(self.desk.standing, self.desk.house, now, stop, part)
                yield
        for subject in self._touched_meanwhile:
            fresh.pop(subject, None)
            lines.pop(subject, None)
        self._matters = fresh
        if lines and part == self.part:
            self._lines = lines
        for subject in self._touched_meanwhile:
            self._of(subject)
        self._ordered = None
        self.reckoned_at = now

    def _subjects(self) -> list[str]:
        """All subjects, place by place: who lives together is looked at together, while its pages are at hand."""
        standing = self.desk.standing
        found: dict[str, None] = {}
        for place in standing.subjects("enclosure"):
            found.update(dict.fromkeys((place, *standing.living_in(place))))
        for sort in ("animal", "group", "clutch", "supply"):
            found.update(dict.fromkeys(standing.subjects(sort)))
        # Who is known only by what stands on no sheet comes too.
        return list(dict.fromkeys((*found, ROOM, *self._off_sheet().concerned)))

    def forget(self) -> None:
        """Everything was read again: nothing that was worked out before holds."""
        self._matters, self._ordered, self.reckoned_at = {}, None, None
        self._lines.clear()
        self._walk = None

    def reckon_now(self) -> None:
        """Reckon every matter again, at once."""
        for _ in self.reckon_all():
            pass

    @property
    def matters(self) -> tuple[Matter, ...]:
        """All open matters that are not put off, worst first."""
        return tuple(matter for matter in self.all_matters if matter.put_off is None)

    @property
    def all_matters(self) -> tuple[Matter, ...]:
        """All open matters, worst first, those put off too."""
        self._hear_of_missing()
        if self._ordered is None:
            if not self.complete:
                self.reckon_now()
            every = (matter for found in self._matters.values() for matter in found)
            self._ordered = tuple(sorted(every, key=lambda matter: matter.order))
        return self._ordered

    def counts(self) -> dict[Level, int]:
        """How many open matters there are of each level."""
        matters = self.all_matters
        if self._counted is None or self._counted[0] is not matters:
            counts = dict.fromkeys(Level, 0)
            for matter in self.matters:
                counts[matter.level] += 1
            self._counted = (matters, counts)
        return self._counted[1]

    # Writing, and hearing of others

    def record(self, *drafts: Draft) -> tuple[Entry, ...]:
        """Have what was seen saved, and reckon again what it can have changed. Raises `NotSaved`, `BadEntry`."""
        entries = self.desk.record(*drafts)
        self.touched(subject for entry in entries for subject in entry.subjects())
        return entries

    def bring_back(self) -> tuple[Entry, ...]:
        """Have written again what stands on no sheet any more. Raises `NotSaved`."""
        entries = self.desk.bring_back()
        self.touched(subject for entry in entries for subject in entry.subjects())
        return entries

    def urgent_lines(self) -> list[str]:
        """A line for each vet matter on no sheet, with its step, and for each call; none before all is reckoned."""
        desk = self.desk
        if desk.missing is None or not self.complete:
            return []
        return urgent_lines(desk.standing, self.now(), offered(desk), self.all_matters)

    def missing_in_short(self) -> str:
        """`1 entry, 1 VET NOW (Wattle)`: what is missing, for a line of its own."""
        matters = self.all_matters if self.complete else ()
        return in_short(self.desk.standing, offered(self.desk), matters)

    def at_stake(self, entries: Sequence[Entry]) -> list[Matter]:
        """The vet matters that no one sees any more once these entries are left on no sheet."""
        return at_stake(self.desk, entries)

    def leave_missing(self, entries: Sequence[Entry]) -> tuple[Entry, ...]:
        """Leave these on no sheet, and have noted what was left; the notes. Raises `NotSaved`."""
        notes = leave_missing(self.desk, entries)
        self.touched(subject for note in notes for subject in note.subjects())
        self._hear_of_missing()
        return notes

    def last_run(self) -> tuple[tuple[Entry, ...], ...]:
        """The last stops of this keeper that were done in quick succession, save by save."""
        return self.desk.last_run(self.desk.house.number("walk.legs_seconds"))

    def take_back(self, wrong: Sequence[Entry] = ()) -> tuple[Entry, ...]:
        """Take these entries back, or what was saved last."""
        wrong = self.desk.take_back(wrong=wrong)
        self.touched(subject for entry in wrong for subject in entry.subjects())
        return wrong

    def correct(self, wrong: Entry, instead: Draft | None = None, because: str = "") -> tuple[Entry, ...]:
        """Correct an entry."""
        entries = self.desk.correct(wrong, instead, because)
        self.touched(subject for entry in (wrong, *entries) for subject in entry.subjects())
        return entries

    def news(self) -> frozenset[str]:
        """Take in what other desks wrote; the subjects it is about, the room when a sheet went or came back."""
        subjects = self.desk.news()
        if subjects:
            self.touched(subjects)
        return subjects | {ROOM} if self._hear_of_missing() else subjects

    def touched(self, subjects: Iterable[str]) -> None:
        """Reckon again what entries about these subjects can have changed."""
        standing = self.desk.standing
        changed = told_by_eggs(standing, subjects)
        before, self._places = self._places, standing.places
        places = {where.get(subject) for subject in changed for where in (before, standing.places)} | changed
        for place in places:
            if place is not None and place.startswith("enclosure/"):
                changed.add(place)
                changed.update(standing.living_in(place))
                self._lines.pop(place, None)
        self._touched_meanwhile |= changed
        for subject in changed:
            self._matters.pop(subject, None)
        if self.complete:
            for subject in changed:
                self._of(subject)
        self._ordered = None
        self._walk = None

    def keeper_before(self) -> str:
        """Who took over at this desk and has not handed over since (after a crash, or a closed window)."""
        mine = [entry for entry in self.desk.recent_shifts if entry.desk in self.desk.names]
        return mine[-1].by if mine and isinstance(mine[-1], TakenOver) else ""
