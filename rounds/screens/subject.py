"""A subject's page: how it stands, its weights as a line, the season's timeline, every entry newest first."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

from rounds.logbook.entries import Arrived, Corrected, EnclosureSetUp, Entry
from rounds.paper.said import said
from rounds.paper.timeline import corrected_by, timeline
from rounds.paper.words import (
    age_words,
    date_words,
    day_words,
    many,
    phase_words,
    resident,
    state_words,
    time_words,
    window_words,
)
from rounds.screens.board.board import BLANK, Line, Span, fit, line, wrap
from rounds.screens.board.drawing import weight_line
from rounds.screens.record import quick
from rounds.screens.record.correcting import correct, take_back_last
from rounds.screens.record.filling import move
from rounds.screens.record.menu import more
from rounds.screens.screen import RoundScreen
from rounds.screens.views.stop import matter_lines
from rounds.standing.animal import animal
from rounds.standing.clutch import clutch
from rounds.standing.enclosure import enclosure
from rounds.standing.female import female
from rounds.standing.group import group


class SubjectScreen(RoundScreen):
    """The page of one animal, group, enclosure, clutch or the room."""

    NAME = "page"
    FOOTER: ClassVar[tuple[str, ...]] = (
        "entry-down",
        "correct",
        "write",
        "subject-behaviour",
        "subject-weight",
        "subject-place",
        "subject-there",
        "subject-back",
        "help",
    )

    def __init__(self, subject: str) -> None:
        super().__init__()
        self.subject = subject
        self.at = 0
        #: Whether the cursor stays on the entry it is on, at the top too: that one is being corrected.
        self._keeps = False
        self._entries: list[Entry] = []
        self._dead: Mapping[str, Corrected] = {}
        self._seen_of: object = None

    def _read(self) -> None:
        """All entries, read again when the standing has changed."""
        standing = self.shift.desk.standing
        page = standing.page(self.subject)
        if self._seen_of is page:
            return
        self._seen_of = page
        history = self.shift.desk.history(self.subject)
        self._dead = corrected_by(history)
        before = self._entries[self.at].id if self.at < len(self._entries) else ""
        self._entries = list(reversed(history))
        # The cursor stays on its entry when others are written above it; at the top it stays at the top.
        kept = next((place for place, one in enumerate(self._entries) if one.id == before), self.at)
        self.at = min(kept if self.at or self._keeps else 0, max(0, len(self._entries) - 1))
        self._keeps = False

    def head(self, width: int) -> list[Line]:
        standing = self.shift.desk.standing
        sort = self.subject.partition("/")[0]
        place = standing.places.get(self.subject)
        where = f"   lives in {standing.name(place)}" if place else ""
        return [line(Span(fit(f" {standing.name(self.subject)}   {sort}{where}", width), "title")), BLANK]

    def body(self, width: int, height: int) -> list[Line]:
        self._read()
        top = self._standing_lines(width)
        matters = [one for one in self.shift.matters_about([self.subject]) if one.put_off is None]
        if matters:
            top += [BLANK, *matter_lines(matters, self.shift.now(), width, 4, self.label("attention"))]
        if height - len(top) < 8:
            top = top[: max(4, height - 8)]
        room = height - len(top) - 2
        first = max(0, min(self.at - room // 2, len(self._entries) - room))
        shown = [*top, BLANK, line(" ", Span(f"{len(self._entries)} entries, newest first", "quiet"))]
        for place, entry in enumerate(self._entries[first : first + room], first):
            shown.append(self._entry_line(entry, place == self.at, width))
        return shown

    def _entry_line(self, entry: Entry, mark: bool, width: int) -> Line:
        standing, now = self.shift.desk.standing, self.shift.now()
        who = "" if entry.about == self.subject else f"{standing.name(entry.about)}: "
        text = f"{who}{said(standing, entry)}" + (f": {entry.note}" if entry.note else "")
        gone = self._dead.get(entry.id)
        if gone is not None:
            text = f"(corrected {time_words(gone.at, now)} {gone.by}) {text}"
        late = f", written {time_words(entry.written, now)}" if entry.written else ""
        when = f"{time_words(entry.at, now)} {entry.by}"
        head = Span(" > " if mark else "   ", "key")
        style = "cursor" if mark else "quiet" if gone is not None else ""
        return line(head, Span(fit(when, 20), "quiet"), Span(fit(text + late, width - 24), style))

    def _standing_lines(self, width: int) -> list[Line]:
        standing, house, now = self.shift.desk.standing, self.shift.desk.house, self.shift.now()
        sort = self.subject.partition("/")[0]
        if sort == "enclosure":
            return self._enclosure_lines(width)
        if sort == "clutch":
            return self._clutch_lines(width)
        if sort not in ("animal", "group"):
            return [line(" ", Span("what was written about the room as a whole", "quiet"))]
        one = group(standing, self.subject) if sort == "group" else animal(standing, self.subject)
        told = resident(standing, house, self.subject, now)
        shown = [line(" ", Span(told.sex, "name"), f"   {told.age}   {told.weight}   {told.trend}")]
        words = [state_words(standing, house, one, now) if sort == "animal" else f"{told.state}"]
        if one.gone is not None:
            words.append(f"not here since {date_words(one.gone.at, now)}: {said(standing, one.gone)}")
        arrived = one.page.last(Arrived)
        if arrived is not None and arrived.about == self.subject:
            if arrived.hatched:
                words.append(f"hatched {'about ' if arrived.hatched_about else ''}{arrived.hatched:%Y-%m-%d}")
            parents = [
                f"{word} {standing.name(who)}"
                for word, who in (("dam", arrived.dam), ("sire", arrived.sire))
                if who
            ]
            words += [*parents, *arrived.traits]
            if arrived.origin:
                words.append(f"from {arrived.origin}")
        if sort == "animal" and one.sex == "F":
            her = female(standing, self.subject, house.breeding_days)
            window = window_words(her, now)
            words.append("" if window in words[0] else window)
            if her.clutches:
                eggs = ", ".join(str(found.count) for found in her.clutches)
                words.append(f"{many(len(her.clutches), 'clutch', 'clutches')}: {eggs} eggs")
            if her.last_egg_check is not None:
                words.append(f"last egg check {day_words(her.last_egg_check.at, now)}")
        seen = one.last_vet
        if seen is not None:
            words.append(f"vet {date_words(seen.at, now)}: {seen.outcome} {seen.instructions}".strip())
        shown += [line(" ", text) for text in wrap("   ".join(word for word in words if word), width - 2)]
        drawn = weight_line(one.weights, width - 14)
        if drawn:
            shown += [
                BLANK,
                *(
                    line(" ", Span(text, "good" if row < len(drawn) - 1 else "quiet"))
                    for row, text in enumerate(drawn)
                ),
            ]
        season = timeline(self._entries)[:6]
        if season:
            told_season = "  ·  ".join(self._season_words(entry) for entry in reversed(season))
            shown += [
                BLANK,
                *(line(" ", Span(text, "quiet")) for text in wrap("season: " + told_season, width - 2)[:4]),
            ]
        return shown

    def _season_words(self, entry: Entry) -> str:
        who = "" if entry.about == self.subject else self.shift.desk.standing.name(entry.about) + " "
        return f"{date_words(entry.at, self.shift.now())} {who}{said(self.shift.desk.standing, entry)}"

    def _enclosure_lines(self, width: int) -> list[Line]:
        standing, house, now = self.shift.desk.standing, self.shift.desk.house, self.shift.now()
        one = enclosure(standing, self.subject)
        up = one.page.last(EnclosureSetUp)
        words = [
            one.what,
            up.where if up else "",
            f"rack {up.rack}" if up and up.rack else "",
            "" if one.stands else "taken down",
        ]
        shown = [line(" ", ", ".join(word for word in words if word))]
        for who in one.living[:6]:
            told = resident(standing, house, who, now)
            shown.append(
                line(
                    "   ",
                    fit(told.sex, 4),
                    Span(fit(told.name, 14), "name"),
                    fit(f"{told.age}  {told.weight}  {told.state}", width - 24),
                )
            )
        if len(one.living) > 6:
            shown.append(line("   ", Span(f"and {len(one.living) - 6} more", "quiet")))
        if one.climate:
            last = one.climate[-1]
            shown.append(line(" ", Span(f"{day_words(last.at, now)} {last.by}: {last.phrase()}", "quiet")))
        return shown

    def _clutch_lines(self, width: int) -> list[Line]:
        standing, house, now = self.shift.desk.standing, self.shift.desk.house, self.shift.now()
        eggs = clutch(standing, self.subject)
        words = [
            f"dam {standing.name(eggs.dam)}" if eggs.dam else "dam not known",
            f"sire {standing.name(eggs.sire)}" if eggs.sire else "",
        ]
        if eggs.dam:
            words.append(phase_words(female(standing, eggs.dam, house.breeding_days), now))
        words.append(
            f"{many(eggs.count, 'egg')}, {many(eggs.slugs, 'slug')}"
            + ("" if eggs.complete else ", not said to be complete")
        )
        if eggs.begun_at:
            words.append(f"begun {date_words(eggs.begun_at, now)} ({age_words(eggs.begun_at.date(), now)})")
        if eggs.boxed:
            box = eggs.in_boxes
            again = "boxed again" if box.again else "boxed"
            medium = f", {eggs.boxed.medium}" if eggs.boxed.medium else ""
            words.append(f"{again} in {standing.name(eggs.place)}: {box.put}{medium}")
            since = "since then " if box.again else ""
            words.append(f"{since}{box.hatched} hatched, {box.lost} lost, {box.left} left to hatch")
        else:
            words.append(f"{eggs.lost} lost, {eggs.hatched} hatched")
        return [line(" ", text) for text in wrap("   ".join(word for word in words if word), width - 2)]

    # Keys

    def action_cursor(self, step: int) -> None:
        """Another entry."""
        self._read()
        self.at = max(0, min(len(self._entries) - 1, self.at + step))
        self.paint()

    def action_correct(self) -> None:
        """Correct the entry selected."""
        self._read()
        if not self._entries:
            return
        entry = self._entries[self.at]
        if entry.id in self._dead:
            self.say("This entry was corrected already.", "quiet")
            return
        self._keeps = True
        self.converse(correct(self, entry))

    def action_take_back(self) -> None:
        """Take back what was saved last."""
        self._keeps = True
        take_back_last(self)

    def action_move(self) -> None:
        """Move it."""
        if self.subject.startswith(("animal/", "group/")):
            self.converse(move(self, self.subject))

    def action_more(self) -> None:
        """Write any entry about it."""
        self.converse(more(self, self.subject, self.shift.desk.standing.places.get(self.subject)))

    def action_behaviour(self) -> None:
        """Behaviour seen."""
        if self.subject.startswith(("animal/", "group/", "enclosure/")):
            place = (
                self.subject
                if self.subject.startswith("enclosure/")
                else self.shift.desk.standing.places.get(self.subject)
            )
            self.converse(quick.behaviour(self, self.subject, place))

    def action_digit(self, digit: str) -> None:
        """Begin a weight."""
        if self.subject.startswith(("animal/", "group/")):
            self.converse(quick.weight(self, self.subject, digit))

    def action_place(self) -> None:
        """The page of its enclosure."""
        place = self.shift.desk.standing.places.get(self.subject)
        if place is not None:
            self.app.open_subject(place)
        else:
            self.say("It lives in no enclosure.", "quiet")

    def action_go_there(self) -> None:
        """Walk to its stop."""
        self.app.walk_to(self.subject)
