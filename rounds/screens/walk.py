"""The walk: one stop fills the screen, and a plain stop costs one key."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property, partial
from typing import TYPE_CHECKING, ClassVar, Final

from rounds.due.line import DueLine
from rounds.logbook.drafts import Draft, draft
from rounds.logbook.entries import StopWalked
from rounds.logbook.words import WalkPart
from rounds.paper.clutch_words import clutch_words
from rounds.paper.words import resident
from rounds.screens.board.board import Line
from rounds.screens.prompts.asks import Talk, letter_of
from rounds.screens.prompts.saving import Save
from rounds.screens.record import quick
from rounds.screens.record.egg_rows import EggRow, egg_rows, first_due
from rounds.screens.record.leaving_out import leave_out
from rounds.screens.record.taking_back import Legs, take_back_last, were_walked
from rounds.screens.screen import RoundScreen
from rounds.screens.views.eggs import egg_lines
from rounds.screens.views.missing import missing_line
from rounds.screens.views.stop import UNKNOWN, stop_lines
from rounds.screens.views.walk import (
    after_the_last,
    before_the_first,
    done_before,
    head_line,
    still_open,
    stop_head,
)
from rounds.standing.animal import animal
from rounds.standing.clutch import clutches_in

if TYPE_CHECKING:
    from rounds.screens.room_beside import RoomBeside

#: A click in the room leads so many stops away at most.
_FAR: Final = 60


class WalkScreen(RoundScreen):
    """The main screen. `stop` is the enclosure stood at, `cursor` the one selected in it."""

    NAME = "walk"
    SHARE = 0.69
    FOOTER: ClassVar[tuple[str, ...]] = (
        "stop",
        "weight",
        "behaviour",
        "egg-check",
        "lay-box",
        "food",
        "leave-out",
        "more",
        "take-back",
        "jump",
        "attention",
        "hand-over",
        "move",
        "help",
    )

    #: At a shelf and at an egg box: no key for animals.
    AT_EGGS: ClassVar[tuple[str, ...]] = (
        "stop",
        "weight",
        "climate",
        "leave-out",
        "more",
        "note",
        "take-back",
        "jump",
        "attention",
        "hand-over",
        "move",
        "help",
    )

    def __init__(self) -> None:
        super().__init__()
        self.stop: str | None = None
        self.cursor = ""
        #: The stop where this key said what is still open, and the stop where the key before did: Enter pressed
        #: again at that one goes on.
        self._warned = ""
        self._said_open = ""
        #: A figure typed up to this key, and to the key before, that no one here takes: Enter behind it is no stop.
        self._figure = self._figure_before = ""
        self._legs = Legs()

    def on_mount(self) -> None:
        """Start where the walk was left."""
        if self.stop is None:
            self.resume()

    def footer(self) -> tuple[str, ...]:
        """Before the first enclosure only setting up makes sense; without a stop, only going elsewhere."""
        if not self.shift.walk().order:
            return ("set-up", "help", "quit")
        if self.stop is None:
            return ("hand-over", "attention", "previous", "jump", "other-walk", "set-up", "help", "quit")
        if self._egg_rows():
            return self.AT_EGGS
        if self.cursor.startswith("group/"):
            # Young counted together lay no eggs.
            return tuple("count" if id == "egg-check" else id for id in self.FOOTER if id != "lay-box")
        return self.FOOTER

    @property
    def stands_at(self) -> object:
        return self.stop

    def has_to_be_seen(self, key: str) -> bool:
        """A stop is done by a key pressed after it could be seen."""
        if self.ask is None and self.stop is not None and (own := self.own_key(key)) and own.id == "stop":
            return True
        return super().has_to_be_seen(key)

    async def pressed(self, key: str, character: str | None) -> None:
        """Any other key at a stop lets Enter say again what is still open there."""
        self._said_open, self._warned = self._warned, ""
        self._figure_before, self._figure = self._figure, ""
        if self.ask is None and self._figure_before and (sign := letter_of(key, character)) in (".", ","):
            self._no_figure(sign)
            return
        await super().pressed(key, character)

    def on_screen_resume(self) -> None:
        self._warned = ""
        super().on_screen_resume()

    # Where we stand

    def stand_at(self, stop: str | None, subject: str = "") -> None:
        """Stand at a stop, with this animal selected, or the one that needs most."""
        self.stop = stop
        self._warned = ""
        self.cursor = subject if subject in self._here() else self._neediest()
        self.paint()

    def _egg_rows(self) -> tuple[EggRow, ...]:
        """The egg boxes here, each with each clutch in it."""
        return egg_rows(self.shift.desk.standing, self.shift.desk.house, self.stop)

    def _egg_due(self, rows: Sequence[EggRow]) -> list[DueLine]:
        """What is due to these boxes, at their own stops too."""
        places = dict.fromkeys(row.box.place for row in rows)
        return [due for place in places for due in self.shift.lines(place) if due.left_out is None]

    def _egg_row(self) -> EggRow | None:
        """The egg box selected."""
        return next((row for row in self._egg_rows() if row.key == self.cursor), None)

    def paint(self) -> None:
        rows = self._rows()
        if rows and self.cursor not in rows:
            # Registered just now, or gone since, perhaps by another desk: the next key would be about another.
            if self.cursor.startswith(("animal/", "group/")) and self.ask is None:
                self.message = f"{self.shift.desk.standing.name(self.cursor)} lives here no more."
                self.message_style = "today"
            self.cursor = self._neediest()
        super().paint()

    def resume(self) -> None:
        """Stand where the walk goes on."""
        self.stand_at(self.shift.walk().resume_for(self.shift.desk.keeper or None))

    def _here(self) -> tuple[str, ...]:
        return self.shift.desk.standing.living_in(self.stop) if self.stop else ()

    def _rows(self) -> tuple[str, ...]:
        here = self._here()
        if not here:
            return tuple(row.key for row in self._egg_rows())
        return (*here, UNKNOWN) if len(here) > 1 else here

    def _neediest(self) -> str:
        here = self._here()
        if rows := self._egg_rows():
            return (first_due(rows, self._egg_due(rows)) or rows[0]).key
        wanted = [due.about for due in self._open_looks() if due.about in here]
        matters = [matter.about for matter in self.shift.matters_about(here)]
        return next(iter([*wanted, *matters, *here]), "")

    def _selected(self) -> str:
        """Who keys are about: the animal selected, or the enclosure."""
        if self.cursor in self._here():
            return self.cursor
        return self.stop or "room"

    def whom(self) -> str:
        return self._selected()

    def _lines(self) -> tuple[DueLine, ...]:
        return self.shift.lines(self.stop) if self.stop else ()

    def _open_looks(self) -> list[DueLine]:
        """What an animal still waits for here today. A climate reading holds no one up: it stays due."""
        day = self.shift.walk().day
        return [
            due
            for due in self._lines()
            if not due.plain and due.left_out is None and due.due <= day and due.care not in ("climate", "lamp")
        ]

    # What is shown

    def head(self, width: int) -> list[Line]:
        below = missing_line(self.shift, self.label("missing"), width)
        return [head_line(self.shift, self.stop, self.shift.now(), width), below]

    def body(self, width: int, height: int) -> list[Line]:
        standing, house, now = self.shift.desk.standing, self.shift.desk.house, self.shift.now()
        walk = self.shift.walk()
        if not walk.order:
            return before_the_first(self.label, width)
        if self.stop is None:
            return after_the_last(self.shift, self.label, width, height)
        here = self._here()
        shown = stop_head(self.shift, self.stop, width)
        rows = self._egg_rows()
        eggs = list({row.eggs.subject: row.eggs for row in rows if row.eggs is not None}.values())
        eggs = eggs or clutches_in(standing, self.stop)
        weigh = {due.about for due in self._egg_due(rows) if due.care == "egg box"}
        subjects = [self.stop, *here, *(one.subject for one in eggs)]
        last = [
            entry for subject in subjects for entry in standing.page(subject).newest(14) if entry.about in subjects
        ]
        unique = {entry.id: entry for entry in last}
        newest = sorted(unique.values(), key=lambda entry: entry.key, reverse=True)
        return shown + stop_lines(
            residents=[resident(standing, house, who, now) for who in here],
            cursor=self.cursor,
            steps=partial(self.steps, "up", "down"),
            unknown=len(here) > 1,
            matters=[matter for matter in self.shift.matters_about(subjects) if matter.put_off is None],
            due=self._lines(),
            last=newest,
            standing=standing,
            stop=self.stop,
            now=now,
            width=width,
            height=height - len(shown),
            see=self.label("attention"),
            eggs=[] if rows else [clutch_words(one, now, self.stop) for one in eggs],
            boxes=lambda most: egg_lines(
                rows, self.cursor, now, width, most, partial(self.steps, "up", "down"), weigh
            ),
        )

    @cached_property
    def _room_beside(self) -> RoomBeside:
        from rounds.screens.room_beside import RoomBeside  # a narrow screen has no room for it

        return RoomBeside(self)

    def beside(self, width: int, height: int) -> list[Line] | None:
        """The room, with this stop marked in it."""
        return self._room_beside.lines(self.stop, width, height)

    def ways_to(self, subject: str) -> tuple[str, ...]:
        """The keys that go from this stop to another that is not too far: each step is a key."""
        walk = self.shift.walk()
        here, there = walk.number(self.stop) if self.stop else None, walk.number(subject)
        if here is None or there is None or abs(there - here) > _FAR:
            return ()
        return self.steps("previous", "next", there - here)

    # Keys

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Keys that make no sense without a stop are dim."""
        needs_stop = {
            "digit",
            "behaviour",
            "egg_check",
            "lay_box",
            "food",
            "count",
            "more",
            "climate",
            "note",
            "leave_out",
            "move",
        }
        if action in needs_stop and self.stop is None:
            return None
        return True

    def action_stop(self) -> None:
        """All plain lines as planned, and on."""
        if self.stop is None:
            return
        stop = self.stop
        if figure := self._figure_before:
            self.say(f"{self._no_one()} {figure} was not written. {self.label('stop')} again goes on.", "today")
            return
        if self._legs.overtaken(self.app.pressed_at, self.app.presses.refused_ever, self.shift.desk.house):
            self.converse(were_walked(self, self._legs, self.label("stop"), self.stand_at))
            return
        plain = [due for due in self._lines() if due.plain and due.left_out is None]
        drafts: list[Draft] = [one for due in plain for one in due.drafts]
        looks = self._open_looks()
        before = self.shift.walk().done.get(stop, ())
        if before and self._said_open != stop:
            self._warned = stop
            self.say(done_before(before[-1], looks, self.label), "today")
            return
        if looks and self._said_open != stop:
            self._warned = stop

            def planned() -> Talk:
                if drafts:
                    saved = yield Save(*drafts)
                    if not saved:
                        return
                self._say_open(looks)

            self.converse(planned())
            return

        def walked() -> Talk:
            seen = draft(StopWalked, stop, walk=self.shift.part, day=self.shift.walk().day)
            saved = yield Save(*drafts, seen)
            if saved:
                self._legs.did(self.app.pressed_at, self.app.presses.refused_ever)
                self.stand_at(self.shift.walk().next(stop))

        self.converse(walked())

    def _say_open(self, looks: list[DueLine]) -> None:
        if self.cursor not in [due.about for due in looks]:
            here = self._here()
            self.cursor = next((due.about for due in looks if due.about in here), self.cursor)
        self.say(still_open(self.shift.desk.standing, looks, self.label), "today")

    def action_digit(self, digit: str) -> None:
        """Begin a weight."""
        who = self._selected()
        if row := self._egg_row():
            self.converse(self._weigh_box(row, digit))
            return
        if who.startswith("enclosure/") or who == "room":
            self._no_figure(digit)
            return

        def talk() -> Talk:
            yield from quick.weight(self, who, digit)
            self._to_next_weigh(who)

        self.converse(talk())

    def _weigh_box(self, row: EggRow, digit: str) -> Talk:
        from rounds.screens.record.egg_boxes import weigh_box

        yield from weigh_box(self, row.box, digit)
        rows = self._egg_rows()
        after = first_due(rows, self._egg_due(rows), "egg box")
        self.cursor = after.key if after is not None else self.cursor

    def _no_one(self) -> str:
        """Why a figure is about no one."""
        return "Select the animal first: ↑ ↓." if self._here() else "Nobody lives here."

    def _no_figure(self, sign: str) -> None:
        """A sign of a figure that is about no one."""
        self._figure = self._figure_before + sign
        self.say(self._no_one(), "today")

    def _to_next_weigh(self, who: str) -> None:
        due = [one.about for one in self._open_looks() if one.care == "weigh" and one.about != who]
        if due:
            self.cursor = next((one for one in due if one in self._here()), self.cursor)

    def action_behaviour(self) -> None:
        """Behaviour seen."""
        self.converse(quick.behaviour(self, self._selected(), self.stop))

    def action_egg_check(self) -> None:
        """The egg check; at an egg box all that is done with its eggs."""
        if row := self._egg_row():
            from rounds.screens.record.egg_looks import eggs_menu

            self.converse(eggs_menu(self, row.box, row.eggs))
            return
        who = self._female("An egg check is of one female")
        if who:
            self.converse(quick.egg_check(self, who))

    def action_lay_box(self) -> None:
        """Lay box in or out."""
        self.converse(quick.lay_box(self, self._selected()))

    def _female(self, sentence: str) -> str:
        who = self._selected()
        if who.startswith("animal/"):
            return who
        females = [
            one
            for one in self._here()
            if one.startswith("animal/") and animal(self.shift.desk.standing, one).sex != "M"
        ]
        if len(females) == 1:
            return females[0]
        self.say(f"{sentence}: select her first with ↑ ↓.", "today")
        return ""

    def action_count(self) -> None:
        """Count the group selected, or the only one here."""
        groups = [one for one in self._here() if one.startswith("group/")]
        who = self._selected() if self._selected() in groups else groups[0] if len(groups) == 1 else ""
        if who:
            from rounds.screens.record.young import count

            self.converse(count(self, who))
        else:
            self.say("Select the group first: ↑ ↓." if groups else "No young are counted together here.", "today")

    def action_food(self) -> None:
        """How it ate."""
        self.converse(quick.food(self, self._selected()))

    def action_climate(self) -> None:
        """Read the climate."""
        if self.stop:
            self.converse(quick.climate(self, self.stop))

    def action_note(self) -> None:
        """A note."""
        self.converse(quick.note(self, self._selected()))

    def action_leave_out(self) -> None:
        """Leave out a line."""
        self.converse(leave_out(self, self._lines()))

    def action_more(self) -> None:
        """Any other entry."""
        from rounds.screens.record.menu import more

        self.converse(more(self, self._selected(), self.stop))

    def action_take_back(self) -> None:
        """Take back what was saved last."""
        take_back_last(self, self.stand_at)

    def action_move(self) -> None:
        """Move the animal selected."""
        from rounds.screens.record.filling import move

        if row := self._egg_row():
            from rounds.screens.record.egg_boxes import shelve

            self.converse(shelve(self, row.box))
            return
        who = self._selected()
        if who.startswith(("animal/", "group/")):
            self.converse(move(self, who))
        else:
            self.say(self._no_one(), "today")

    def action_page(self) -> None:
        """The subject's page."""
        row = self._egg_row()
        self.app.open_subject(row.box.place if row is not None else self._selected())

    def action_cursor(self, step: int) -> None:
        """Select another animal."""
        rows = self._rows()
        if rows:
            at = rows.index(self.cursor) if self.cursor in rows else 0
            self.cursor = rows[max(0, min(len(rows) - 1, at + step))]
            self.paint()

    def action_go(self, step: int) -> None:
        """To another stop, writing nothing."""
        walk = self.shift.walk()
        if not walk.order:
            return
        if self.stop is None:
            self.stand_at(walk.order[-1 if step < 0 else 0])
            return
        to = walk.after(self.stop) if step > 0 else walk.before(self.stop)
        if to is not None:
            self.stand_at(to)
        else:
            self.say("That was the last stop." if step > 0 else "This is the first stop.", "quiet")

    def action_other_walk(self) -> None:
        """Change between morning and evening."""
        other: WalkPart = "evening" if self.shift.part == "morning" else "morning"
        self.shift.choose_walk(other)
        self.resume()
        self.say(f"This is the {other} walk.", "quiet")
