"""The walk: one stop fills the screen, and a plain stop costs one key."""

from __future__ import annotations

from rounds.due.line import DueLine
from rounds.logbook.drafts import Draft, draft
from rounds.logbook.entries import StopWalked
from rounds.logbook.words import WalkPart
from rounds.screens.prompts.asks import Talk, letter_of
from rounds.screens.prompts.saving import Save
from rounds.screens.record import quick
from rounds.screens.record.egg_rows import EggRow, first_due
from rounds.screens.record.leaving_out import leave_out
from rounds.screens.record.taking_back import Legs, take_back_last, were_walked
from rounds.screens.views.walk import done_before, still_open
from rounds.screens.walk_board import WalkBoard


class WalkScreen(WalkBoard):
    """The main screen."""

    NAME = "walk"

    def __init__(self) -> None:
        super().__init__()
        #: The stop where the key before said what is still open: Enter pressed again there goes on.
        self._said_open = ""
        #: A figure typed up to this key, and to the key before, that no one here takes: Enter behind it is no stop.
        self._figure = self._figure_before = ""
        self._legs = Legs()

    def on_mount(self) -> None:
        """Start where the walk was left."""
        if self.stop is None:
            self.resume()

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
        if self._holds_animals():
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
        if self._holds_animals():
            self.converse(quick.lay_box(self, self._selected()))

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
        if self._holds_animals():
            self.converse(quick.food(self, self._selected()))

    def _holds_animals(self) -> bool:
        """Whether a key for animals makes sense here; at egg boxes it is said that it does not."""
        if self._egg_rows():
            self.say(f"Egg boxes are here, no animal. {self.label('egg-check')} is for the eggs.", "today")
            return False
        return True

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
