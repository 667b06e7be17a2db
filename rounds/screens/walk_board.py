"""The walk as it is shown: its head, the stop with all that is there, the room beside it, the keys that matter."""

from __future__ import annotations

from functools import cached_property, partial
from typing import TYPE_CHECKING, ClassVar, Final

from rounds.paper.clutch_words import clutch_words
from rounds.paper.words import resident
from rounds.screens.board.board import Line
from rounds.screens.views.eggs import egg_lines
from rounds.screens.views.missing import missing_line
from rounds.screens.views.stop import stop_lines
from rounds.screens.views.walk import after_the_last, before_the_first, head_line, stop_head
from rounds.screens.walk_place import WalkPlace
from rounds.standing.clutch import clutches_in

if TYPE_CHECKING:
    from rounds.screens.room_beside import RoomBeside

#: A click in the room leads so many stops away at most.
_FAR: Final = 60


class WalkBoard(WalkPlace):
    """What the walk shows of where it stands."""

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
                rows, self.cursor, now, width, most, partial(self.steps, "up", "down"), self.label, weigh
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
