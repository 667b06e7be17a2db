"""A subject's page: how it stands, its weights as a line, the season's timeline, every entry newest first."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

from rounds.due.fitness import fit_to_pair
from rounds.logbook.entries import Corrected, Entry
from rounds.paper.timeline import corrected_by
from rounds.screens.board.board import BLANK, Line, Span, fit, line, pressing
from rounds.screens.record import quick, stock
from rounds.screens.record.along import write_record
from rounds.screens.record.before_pairing import before_pairing
from rounds.screens.record.correcting import correct
from rounds.screens.record.egg_boxes import weighs
from rounds.screens.record.filling import move
from rounds.screens.record.menu import more
from rounds.screens.record.taking_back import take_back_last
from rounds.screens.screen import RoundScreen
from rounds.screens.views.stop import matter_lines
from rounds.screens.views.subject import entry_line, subject_head
from rounds.standing.clutch import called, clutch
from rounds.standing.egg_boxes import boxes_at
from rounds.standing.enclosure import enclosure
from rounds.standing.shelves import shelf_of


class SubjectScreen(RoundScreen):
    """The page of one animal, group, enclosure, clutch, supply or the room."""

    NAME = "page"
    FOOTER: ClassVar[tuple[str, ...]] = (
        "entry-down",
        "correct",
        "write",
        "subject-behaviour",
        "subject-weight",
        "subject-sheet",
        "subject-fit",
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

    def whom(self) -> str:
        return self.subject

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
        places = self._places()
        word = {"enclosure": "stands on", "clutch": "lies in"}.get(sort, "lives in")
        where = f"   {word} {' and '.join(map(standing.name, places))}" if places else ""
        return [line(Span(fit(f" {called(standing, self.subject)}   {sort}{where}", width), "title")), BLANK]

    def _places(self) -> tuple[str, ...]:
        """Where it is: an animal's enclosure, the shelf of an egg box, the places that hold a clutch's eggs."""
        standing = self.shift.desk.standing
        if self.subject.startswith("clutch/"):
            return clutch(standing, self.subject).places_left
        if self.subject.startswith("enclosure/"):
            shelf = shelf_of(standing, self.subject)
            return (shelf,) if shelf != self.subject else ()
        place = standing.places.get(self.subject)
        return (place,) if place else ()

    def body(self, width: int, height: int) -> list[Line]:
        self._read()
        desk, now = self.shift.desk, self.shift.now()
        matters = [one for one in self.shift.matters_about([self.subject]) if one.put_off is None]
        # What needs attention stands first: on a small screen the rest of the head is cut.
        above = [*matter_lines(matters, now, width, 4, self.label("attention")), BLANK] if matters else []
        most = max(4, height - 6)
        for drawn in (True, False):
            top = above + subject_head(
                desk.standing, desk.house, now, self.subject, self._entries, width, height, drawn=drawn
            )
            if len(top) <= most:
                break
        else:
            top = [*top[: most - 1], line(" ", Span("…", "quiet"))]
        room = height - len(top) - 2
        first = max(0, min(self.at - room // 2, len(self._entries) - room))
        shown = [*top, BLANK, line(" ", Span(f"{len(self._entries)} entries, newest first", "quiet"))]
        for place, entry in enumerate(self._entries[first : first + room], first):
            corrected, keys = self._dead.get(entry.id), self.steps("entry-up", "entry-down", place - self.at)
            row = entry_line(desk.standing, now, self.subject, entry, corrected, width, place == self.at)
            shown.append(pressing(row, *keys))
        return shown

    def footer(self) -> tuple[str, ...]:
        """The keys that do something here: no one behaves in an egg box, a sheet for the vet is of an animal."""
        if self.subject.startswith("supply/"):
            return ("entry-down", "correct", "write", "page-take-back", "subject-back", "help")
        standing, left_out = self.shift.desk.standing, set[str]()
        if not self.subject.startswith("animal/"):
            left_out |= {"subject-sheet", "subject-fit"}
        if not self.subject.startswith(("animal/", "group/")):
            one = enclosure(standing, self.subject) if self.subject.startswith("enclosure/") else None
            left_out |= set() if one is not None and one.holds_animals else {"subject-behaviour"}
            left_out |= set() if self._boxes() else {"subject-weight"}
        left_out |= set() if self._places() else {"subject-place"}
        return tuple(one for one in self.FOOTER if one not in left_out)

    def _boxes(self) -> bool:
        desk = self.shift.desk
        return bool(boxes_at(desk.standing, self.subject, desk.house.egg_figures))

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
        """Begin a weight, of an egg box too; of a supply, a count."""
        if self.subject.startswith(("animal/", "group/")):
            self.converse(quick.weight(self, self.subject, digit))
        elif self.subject.startswith("supply/"):
            self.converse(stock.count(self, self.subject, digit))
        elif self._boxes():
            self.converse(weighs(self, self.subject, digit))
        else:
            self.say("A weight is of an animal, a group or an egg box.", "today")

    def action_fit(self) -> None:
        """Each check before pairing, with its house rule."""
        if not self.subject.startswith("animal/"):
            self.say("Before pairing one animal is looked at.", "quiet")
            return
        desk, now = self.shift.desk, self.shift.now()
        if not desk.standing.card(self.subject).here:
            self.say(f"{desk.standing.name(self.subject)} is not here.", "quiet")
            return
        self.converse(before_pairing(self, fit_to_pair(desk.standing, desk.house, now, self.subject)))

    def action_sheet(self) -> None:
        """The sheet for the vet."""
        if self.subject.startswith("animal/"):
            self.app.open_screen("referral", self.subject)
        else:
            self.say("A sheet for the vet is of one animal.", "quiet")

    def action_record(self) -> None:
        """Write the record that goes along with it."""
        if self.subject.startswith(("animal/", "group/")):
            self.say(*write_record(self, self.subject))
        else:
            self.say("A record goes along with an animal, or with some of a group.", "quiet")

    def action_place(self) -> None:
        """The page of its enclosure; of an egg box that of its shelf, of a clutch that of its egg box."""
        places = self._places()
        if places:
            self.app.open_subject(places[0])
        else:
            self.say("It is in no enclosure.", "quiet")

    def action_go_there(self) -> None:
        """Walk to its stop."""
        self.app.walk_to(self.subject)
