"""Which keys are pressed and which are held down: a terminal sends the same for both, so their times tell.

A held key comes again after 0.25 to 0.66 s, and then up to 60 times a second. No terminal says when it is let go.
"""

from __future__ import annotations

from math import inf
from typing import Final, Literal

#: The same key again within this time is held down, in s. A keyboard waits up to two thirds of a second before it
#: repeats a key. No source: our own choice.
HELD: Final = 0.8
#: Once more than one key came too soon, keys count again when none has come for this time, in s: an elbow that
#: presses and presses again is not a thumb. No longer than the screen says. No source: our own choice.
LET_GO: Final = 1.0
#: Behind what was typed the same key may be pressed again after this time, in s: longer than keyboards wait as they
#: come (up to two thirds of a second), so that a thumb that stays on Enter does no stop. No source: our own choice.
RELEASED: Final = 0.7
#: A keyboard waits at least so long before it repeats a key, in s: what comes sooner is no press of its own.
REPEATS: Final = 0.25

#: How far a key reaches. `moves`: it moves a cursor, types, marks, or looks elsewhere. `opens`: it asks something.
#: `acts`: it writes, answers, signs, goes on or takes back. `ends`: it answers with what was typed, so it is meant.
#: `leaves`: the way out, which a stuck key must not bar.
Reach = Literal["moves", "opens", "acts", "ends", "leaves"]


class Presses:
    """The keys so far, by when each was read from the terminal. One that acts does so once, however long held.

    Once a key came too soon, none that acts or opens counts before no key has come for the time of a hold, or for
    longer if it was more than one: the next keys of a hurried hand were meant for what the refused one would have
    brought, and an elbow presses several.
    """

    def __init__(self) -> None:
        #: When each key came last, whether it acted then, and how soon the next one is held down, in s.
        self._last: dict[str, tuple[float, bool, float]] = {}
        self._before = -inf
        self._too_soon: float | None = None
        self._told = ""
        #: Keys refused since keys counted last; and in all, but for the repeats of a keyboard.
        self.refused = self.refused_ever = 0
        #: Whether the key that was refused last is to be told of: the first one, another one, one pressed again.
        self.tells = False

    def refuses(self, key: str, moment: float, reach: Reach, *, seen: bool = True) -> bool:
        """Whether a key, read at a moment in s, came too soon to count.

        `seen` says whether what it would be done to has stood on the screen long enough. What `ends` was meant, so
        the same key may be pressed again behind it sooner, after `RELEASED`.
        """
        name = key.lower()
        last, acted, hold = self._last.get(name, (-inf, False, HELD))
        again = moment - last < hold
        lock = LET_GO if self.refused > 1 else HELD
        waits = self._too_soon is not None and moment - self._too_soon < lock
        held = again and (acted or reach in ("acts", "leaves"))
        refused = held if reach == "leaves" else reach in ("opens", "acts") and (held or waits or not seen)
        acts = (not refused and reach in ("acts", "ends", "leaves")) or (acted and again)
        self._last[name] = moment, acts, RELEASED if reach == "ends" else HELD
        if refused or waits:
            pressed = moment - self._before >= REPEATS
            self.refused = self.refused + refused if waits else 1
            self.refused_ever += refused and pressed
            self.tells = refused and (not waits or pressed or name != self._told)
            self._told = name if refused else self._told
            self._too_soon = moment
        self._before = moment
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
