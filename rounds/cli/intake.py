"""From words or JSON to entries that may be written: times, keepers and subjects filled in, every slip named."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import datetime, timedelta
from functools import cached_property
from typing import Any, Final, NamedTuple

from rounds.cli.given import Line, fill_days, fill_figures, in_words, no_kind, shared_out, told
from rounds.cli.opened import opened_by
from rounds.cli.putting_off import refuse_put_off
from rounds.cli.signing import refuse_not_taken_over
from rounds.desk.desk import Desk
from rounds.desk.offer import offered
from rounds.desk.slips import vanishing
from rounds.desk.subjects import SORTS, Names, as_id, here, id_of
from rounds.desk.validation import judged, there_without
from rounds.desk.young_door import count_doubt, sums_broken
from rounds.errors import BadEntry
from rounds.logbook import rows
from rounds.logbook.descent import OF_DESCENT
from rounds.logbook.entries import (
    KINDS,
    Arrived,
    Corrected,
    Counted,
    Died,
    EggsLaid,
    EnclosureSetUp,
    Entry,
    HandedOver,
    Left,
    PutOff,
    Weighed,
)
from rounds.logbook.written_times import read_moment
from rounds.paper.plain_text import shown
from rounds.rules.plausible import weight_doubt
from rounds.standing.animal import animal
from rounds.standing.female import female
from rounds.standing.fold import Standing

#: An entry may be dated so far ahead of the clock: two clocks are never quite alike.
AHEAD: Final = timedelta(minutes=5)
#: Parents may have lived elsewhere: they need not be known here.
_PARENTS: Final = frozenset({"sire", "dam", "possible_sires"})


class Taken(NamedTuple):
    """Entries that may be written, those that stand on the sheets already, and remarks about times."""

    entries: list[Entry]
    skipped: list[Entry]
    remarks: list[str]
    #: Ids of entries that came with one: they stood on a sheet before.
    restored: frozenset[str] = frozenset()


class Intake:
    """Takes the lines of one `rounds log` for one desk. All of them or none."""

    def __init__(self, desk: Desk, lines: Iterable[Line], *, prefixes: bool, sure: bool = False) -> None:
        self.desk = desk
        self.lines = list(lines)
        self.prefixes = prefixes
        #: Whether what is doubted is written all the same.
        self.sure = sure
        self.now = desk.clock_time()
        self.remarks: list[str] = []
        #: What these lines correct, by id.
        self._wrong: dict[str, Entry] = {}

    def taken(self) -> Taken:
        """The entries, in the order of their lines. Raises `BadEntry` naming each line that cannot be written."""
        errors: dict[int, str] = {}
        made: dict[int, Entry] = {}
        opened = opened_by(self.desk.standing, self.desk.house, self.lines, errors)
        names = Names(self.desk.standing, opened, prefixes=self.prefixes)
        # Corrections last: what they replace may stand in these lines too.
        for place, line in sorted(enumerate(self.lines), key=lambda one: one[1].members.get("kind") == "corrected"):
            if place in errors:
                continue
            try:
                made[place] = self._entry(line, names, made)
            except BadEntry as error:
                errors[place] = str(error)
        found = [(place, self.lines[place], made[place]) for place in sorted(made)]
        fresh, skipped = self._fresh(found, errors)
        batch = [entry for _, _, entry in found]
        after = self.desk.standing.after_all(batch) if any("id" not in one.members for one in self.lines) else None
        entries: list[Entry] = []
        for place, line, entry in fresh:
            try:
                self._fits(entry, line, batch)
                entries.append(entry if after is None else self._judged(entry, line, after))
            except BadEntry as error:
                errors[place] = str(error)
        if after is not None and not errors:
            self._sums(fresh, after, errors)
        if errors:
            raise BadEntry(told([f"{self.lines[place].where()}{errors[place]}" for place in sorted(errors)]))
        restored = frozenset(entry.id for _, line, entry in fresh if "id" in line.members)
        return Taken(entries, skipped, self.remarks, restored)

    def _sums(self, fresh: list[tuple[int, Line, Entry]], after: Standing, errors: dict[int, str]) -> None:
        """Refuse lines after which the sums of young do not hold; what has ids stood on a sheet, and is taken."""
        written = [(place, entry) for place, line, entry in fresh if "id" not in line.members]
        replaced = [
            self._wrong[one.replaces]
            for _, one in written
            if isinstance(one, Corrected) and one.replaces in self._wrong
        ]
        entries = [*(entry for _, entry in written), *replaced]
        refused, subject = sums_broken(self.desk.standing, after, entries)
        if refused:
            touching = [place for place, entry in written if subject in entry.subjects()]
            errors[touching[-1] if touching else written[-1][0]] = refused

    def _judged(self, entry: Entry, line: Line, after: Standing) -> Entry:
        """The entry as it may be written. What has an id stood on a sheet, and is taken as it stood there."""
        if "id" in line.members:
            return entry
        if isinstance(entry, Died | Left) and entry.count is None and not _says_all(line.members):
            there = there_without(after, entry) if entry.about.startswith("group/") else 1
            if there > 1:
                raise BadEntry(
                    f"how many of {shown(after.name(entry.about))}? There are {there}: write count=1, or count=all "
                    "for the whole group"
                )
        if isinstance(entry, Corrected):
            wrong = self._wrong.get(entry.replaces)
            refused = vanishing(after, [wrong] if wrong is not None else [], self.desk.standing)
            if refused:
                raise BadEntry(refused)
        found = judged(after, self.desk.house, entry)
        if found.refused:
            raise BadEntry(found.refused)
        asked = [*found.doubts]
        if asked and isinstance(entry, Weighed):
            asked += self._all_together(entry)
        if isinstance(entry, Counted) and (doubt := count_doubt(after, entry, frozenset())):
            asked.append(doubt)
        if asked and not self.sure:
            raise BadEntry(
                f"{' '.join(asked)} If it is right, write it with --sure; if it was seen earlier, give its time"
            )
        if found.entry.about != entry.about:
            self.remarks.append(
                f"Written about {after.name(found.entry.about)}: such an entry is about the female."
            )
        return found.entry

    def _all_together(self, entry: Weighed) -> Iterator[str]:
        """What is asked of a far-off mean that fits as the weight of all of them together."""
        if entry.about.startswith("group/") and (number := entry.number or 0) > 1:
            each = entry.grams / number
            if not weight_doubt(self.desk.standing, self.desk.house, entry.about, each, entry.at):
                yield f"All {number} together? Write total={entry.grams:g} number={number}."

    # One line

    def _entry(self, line: Line, names: Names, made: Mapping[int, Entry]) -> Entry:
        members = dict(line.members)
        kind = members.get("kind")
        if isinstance(kind, str):
            members["kind"] = kind = kind.replace("-", "_")
        known = KINDS.get(kind) if isinstance(kind, str) else None
        if known is None:
            raise BadEntry(no_kind(kind))
        given_id = "id" in members
        self._fill_times(members, given_id)
        if line.lenient:
            fill_figures(members, known, self.desk.house.currency)
            fill_days(members, known, self.now.date(), self.desk.settings.date_order)
        if not members.get("by"):
            if not self.desk.keeper:
                raise BadEntry("who is writing? Give --by with your initials, or set ROUNDS_KEEPER")
            members["by"] = self.desk.keeper
        if known is Corrected:
            self._fill_correction(members, made)
        else:
            self._fill_subjects(members, known, names)
        if not given_id:
            shared_out(members)
        if known in (Died, Left) and _says_all(members):
            del members["count"]
        if not given_id:
            members["id"] = self.desk.next_id()
        try:
            entry = rows.from_mapping(members, lenient=line.lenient)
        except BadEntry as error:
            raise BadEntry(in_words(str(error), known)) from error
        return entry

    def _fill_times(self, members: dict[str, Any], given_id: bool) -> None:
        """A missing `at` is now; one without an offset is by the room's clock. What is late keeps both times."""
        zone = self.desk.settings.zone
        for name in ("at", "written"):
            value = members.get(name)
            if value is None:
                members.pop(name, None)
            elif isinstance(value, str):
                # What has an id stood on a sheet: it is taken as it stood there.
                if given_id and _has_offset(value):
                    continue
                latest = None if given_id else self.now + AHEAD
                read = read_moment(value, self.now, zone, self.desk.settings.date_order, latest=latest)
                members[name] = read.moment
                if read.remark:
                    self.remarks.append(read.remark)
        at = members.setdefault("at", self.now)
        if not given_id and "written" not in members and isinstance(at, datetime) and at != self.now:
            members["written"] = self.now

    def _fill_subjects(self, members: dict[str, Any], kind: type[Entry], names: Names) -> None:
        """Names and beginnings become ids; each subject has to exist, or be opened by these entries."""
        sorts = rows.subject_sorts(kind)
        if kind is EggsLaid and "clutch" not in members and isinstance(members.get("about"), str):
            members["about"] = names.find(members["about"], ("animal",))
            her = female(self.desk.standing, members["about"], self.desk.house.breeding_days)
            members["clutch"] = her.next_clutch(self.now.year)
        if "about" not in members and kind.of == ("room",):
            members["about"] = "room"
        for name, sort in sorts.items():
            value = members.get(name)
            wanted = kind.of if name == "about" else (sort,) if sort else SORTS
            if isinstance(value, str):
                members[name] = self._subject(value, name, kind, wanted, names)
            elif isinstance(value, list) and all(isinstance(one, str) for one in value):
                members[name] = [self._subject(one, name, kind, wanted, names) for one in value]

    def _subject(self, word: str, name: str, kind: type[Entry], sorts: tuple[str, ...], names: Names) -> str:
        if name == "clutch" and kind is EggsLaid:
            return word
        if name in _PARENTS and kind in OF_DESCENT:
            try:
                return as_id(word) or names.find(word, sorts)
            except BadEntry:
                return id_of(word, "animal")
        if word == "room" and "room" not in kind.of and name == "about":
            return word  # rows says what it should be about
        return names.find(word, [sort for sort in sorts if sort != "room"] or SORTS)

    def _fill_correction(self, members: dict[str, Any], made: Mapping[int, Entry]) -> None:
        """A correction stands on the pages of the entry it replaces."""
        wrong_id = members.get("replaces")
        wrong: Entry | None = None
        if isinstance(wrong_id, str):
            wrong = next((one for one in made.values() if one.id == wrong_id), None) or self._known.get(wrong_id)
            if wrong is None:
                raise BadEntry(f"there is no entry {shown(wrong_id)[:60]} to correct; `rounds show` tells the ids")
        if isinstance(wrong, Corrected):
            raise BadEntry("a correction is not corrected: write the entry again as it should be")
        if wrong is not None:
            self._wrong[wrong.id] = wrong
        instead = members.get("instead")
        if isinstance(instead, str) and instead and "id" not in members:
            if instead == wrong_id:
                raise BadEntry("an entry is not put in its own place: write the right one, and name its id")
            if not any(one.id == instead for one in made.values()) and instead not in self._known:
                raise BadEntry(f"there is no entry {shown(instead)[:60]} to put in its place")
        if wrong is not None and "id" not in members:
            members["about"], members["also"] = wrong.about, list(wrong.subjects()[1:])
            members.setdefault("was", self.desk.words_of(wrong))

    # All of them together

    @cached_property
    def _known(self) -> Mapping[str, Entry]:
        """Every entry on the sheets by id. Read only when an id has been given: it is a second reading."""
        return {entry.id: entry for entry in self.desk.sheets.read()}

    def _fresh(
        self, found: list[tuple[int, Line, Entry]], errors: dict[int, str]
    ) -> tuple[list[tuple[int, Line, Entry]], list[Entry]]:
        """Those to be written, and those that stand on the sheets (or above) already, word for word."""
        fresh: list[tuple[int, Line, Entry]] = []
        skipped: list[Entry] = []
        above: dict[str, Entry] = {}
        for place, line, entry in found:
            if "id" not in line.members:
                fresh.append((place, line, entry))
                continue
            other = above.get(entry.id) or self._known.get(entry.id)
            if other is None:
                above[entry.id] = entry
                fresh.append((place, line, entry))
            elif other == entry:
                skipped.append(entry)
                if entry.id in above:
                    self.remarks.append(f"{line.where()}this entry stands further up in these lines too.")
            else:
                errors[place] = (
                    f"the id {shown(entry.id)} belongs to another entry: {other.phrase()[:60]}, "
                    f"{other.about}, {other.at:%Y-%m-%d %H:%M} {other.by}"
                )
        return fresh, skipped

    def _fits(self, entry: Entry, line: Line, batch: list[Entry]) -> None:
        """What only the whole colony can say against an entry."""
        if isinstance(entry, HandedOver) and "id" not in line.members:
            from rounds.due.off_sheet import matters_with
            from rounds.paper.hand_over import refuse_unread

            # As it stood when it was signed: what came later does not count.
            after = self.desk.standing.after_all(batch)
            refuse_unread(matters_with(after, self.desk.house, entry.at, offered(self.desk)), after)
            refuse_not_taken_over(after, entry.by, entry)
        if isinstance(entry, PutOff) and "id" not in line.members:
            refuse_put_off(
                self.desk.standing.after_all(batch), self.desk.house, entry, self.now, offered(self.desk)
            )
        if isinstance(entry, Arrived) and entry.about.startswith("animal/") and "id" not in line.members:
            leaves = any(isinstance(one, Left | Died) and one.about == entry.about for one in batch)
            twins = [one for one in batch if isinstance(one, Arrived) and one.about == entry.about]
            if (here(self.desk.standing, entry.about) or twins[0] is not entry) and not leaves:
                first = animal(self.desk.standing, entry.about).arrived or twins[0]
                raise BadEntry(
                    f"{shown(entry.name)} ({entry.about}) is here already, arrived {first.at:%d %b %Y}. If this is "
                    f"another, give it an id of its own: {entry.about}-2 name={shown(entry.name)}"
                )
        if isinstance(entry, EnclosureSetUp) and "id" not in line.members:
            twins_set_up = [one for one in batch if isinstance(one, EnclosureSetUp) and one.about == entry.about]
            if twins_set_up[0] is not entry:
                raise BadEntry(f"{entry.about} is set up twice in these lines: give each an id of its own")


def _says_all(members: Mapping[str, Any]) -> bool:
    """Whether a count is written as the word for the whole group."""
    count = members.get("count")
    return isinstance(count, str) and count.strip().casefold() == "all"


def _has_offset(text: str) -> bool:
    return text[-1:] in "Zz" or text[-6:-5] in ("+", "-")
