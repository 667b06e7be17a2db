"""Which keys are pressed and which are held down: a terminal sends the same for both, so their times tell.

A held key comes again after 0.25 to 0.66 s, and then up to 60 times a second. No terminal says when it is let go.
"""

from __future__ import annotations

from math import inf
from typing import Final, Literal

#: The same key again within this time is held down, in s. A keyboard waits up to two thirds of a second before it
#: repeats a key. No source: our own choice.
HELD: Final = 0.8
#: A key that came too soon is let go once no key has come for this time, in s. No source: our own choice.
LET_GO: Final = 1.0

#: How far a key reaches. `moves`: it moves a cursor, types, marks, or looks elsewhere. `opens`: it asks something.
#: `acts`: it writes, answers, signs, goes on or takes back. `ends`: it answers with what was typed, so it is meant.
#: `leaves`: the way out, which a stuck key must not bar.
Reach = Literal["moves", "opens", "acts", "ends", "leaves"]


class Presses:
    """The keys so far, by when each was read from the terminal. One that acts does so once, however long held.

    Once a key came too soon, none that acts or opens counts before no key has come for a second: the next keys of a
    hurried hand were meant for what the refused one would have brought, and an elbow presses several.
    """

    def __init__(self) -> None:
        #: When each key came last, and whether it acted then.
        self._last: dict[str, tuple[float, bool]] = {}
        self._too_soon: float | None = None
        #: Whether the key that was refused last is the first one since keys counted: it is said once.
        self.begins = False

    def refuses(self, key: str, moment: float, reach: Reach, *, seen: bool = True) -> bool:
        """Whether a key, read at a moment in s, came too soon to count.

        `seen` says whether what it would be done to has stood on the screen long enough.
        """
        name = key.lower()
        last, acted = self._last.get(name, (-inf, False))
        again = moment - last < HELD
        waits = self._too_soon is not None and moment - self._too_soon < LET_GO
        held = again and (acted or reach in ("acts", "leaves"))
        refused = held if reach == "leaves" else reach in ("opens", "acts") and (held or waits or not seen)
        self._last[name] = moment, (not refused and reach in ("acts", "ends", "leaves")) or (acted and again)
        if refused or waits:
            self.begins = refused and not waits
            self._too_soon = moment
        return refused


class Backspaces:
    """Backspaces in a row. One that is held down ends at the empty field: it runs neither out of the question nor
    on into what Backspace does on the screen behind it."""

    def __init__(self) -> None:
        self._last: float | None = None
        #: Whether the last key was a Backspace so soon behind another that it is held down.
        self.held = False
        #: Whether those held down were begun in a question.
        self.from_question = False
        #: Whether one of them has deleted something.
        self.deleted = False

    def press(self, key: str, moment: float, *, asked: bool) -> None:
        """A key, the moment it was read in s, and whether something is asked."""
        if key != "backspace":
            self._last, self.held, self.from_question, self.deleted = None, False, False, False
            return
        self.held = self._last is not None and moment - self._last < HELD
        self.from_question = asked or (self.held and self.from_question)
        self._last = moment
