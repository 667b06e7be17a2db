"""Where the walk stands: the stop, who and what is there, and which of them the next key is about."""

from __future__ import annotations

from collections.abc import Sequence

from rounds.due.line import DueLine
from rounds.due.room import is_look
from rounds.screens.record.egg_rows import EggRow, egg_rows, first_due
from rounds.screens.screen import RoundScreen
from rounds.screens.views.stop import UNKNOWN
from rounds.standing.animal import animal
from rounds.standing.clutch import called


class WalkPlace(RoundScreen):
    """The place of the walk. `stop` is the enclosure stood at, `cursor` the one selected in it."""

    def __init__(self) -> None:
        super().__init__()
        self.stop: str | None = None
        self.cursor = ""
        #: The stop where this key said what is still open: Enter pressed again there goes on.
        self._warned = ""

    @property
    def stands_at(self) -> object:
        return self.stop

    def stand_at(self, stop: str | None, subject: str = "") -> None:
        """Stand at a stop, with this animal or clutch selected, or the one that needs most."""
        self.stop = stop
        self._warned = ""
        hers = [row.key for row in self._egg_rows() if subject and subject in row.key.split()]
        self.cursor = subject if subject in self._here() else hers[0] if hers else self._neediest()
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
            gone, self.cursor = self.cursor, self._in_its_place(rows)
            if says := self._gone_words(gone):
                self.say_gone(says)
        super().paint()

    def _in_its_place(self, rows: Sequence[str]) -> str:
        """Whom keys are about now: the same egg box, whatever came into it or left it; else who needs most."""
        box = self.cursor.partition(" ")[0]
        same = [key for key in rows if key.partition(" ")[0] == box]
        return same[0] if same else self._neediest()

    def _gone_words(self, gone: str) -> str:
        """What is said of the one that was selected and is here no more; nothing where a box was only filled."""
        standing = self.shift.desk.standing
        if gone.startswith(("animal/", "group/")):
            return f"{standing.name(gone)} lives here no more."
        box, _, eggs = gone.partition(" ")
        now_at, _, others = self.cursor.partition(" ")
        if not box.startswith(("enclosure/", "clutch/")) or (now_at == box and not (eggs and others)):
            return ""
        return f"{called(standing, eggs if now_at == box else box)} is here no more."

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
        walk = self.shift.walk()
        return [due for due in self._lines() if is_look(due, walk)]

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
