"""What a screen asks to be chosen, confirmed, read or ticked: answers of a single key, which no paste can give."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from typing import Any, ClassVar, NamedTuple

from rich.cells import cell_len

from rounds.screens.board.board import BLANK, Line, Span, fit, line, pressing, row_of, short, wrap
from rounds.screens.keys.presses import Reach
from rounds.screens.prompts.asks import BROKEN_OFF, CANCEL, OPEN, Ask, letter_of


class Option(NamedTuple):
    """One of the answers to a choice."""

    key: str
    label: str
    value: Any


class Choice(Ask):
    """One of a few, by its letter, by its digit, or by arrows and Enter.

    Without `by_digits` no digit answers: where a figure was typed just before, or may be next.
    """

    def __init__(
        self,
        title: str,
        options: Sequence[Option],
        *,
        hint: str = "",
        start: int | None = None,
        by_digits: bool = True,
    ) -> None:
        self.title = title
        self.options = list(options)
        self.hint = hint
        self.cursor = start
        self.by_digits = by_digits
        self.columns = 1
        #: Whether the key before chose nothing: that is said.
        self.missed = False

    def takes(self, key: str, character: str | None) -> Any:
        if key in CANCEL or key == "backspace":
            return BROKEN_OFF
        self.missed = False
        if key == "enter" and self.cursor is not None:
            return self.options[self.cursor].value
        if key in ("up", "down", "left", "right"):
            step = {"up": -self.columns, "down": self.columns, "left": -1, "right": 1}[key]
            at = 0 if self.cursor is None else self.cursor + step
            if 0 <= at < len(self.options):
                self.cursor = at
            return OPEN
        if character is not None:
            for option in self.options:
                if option.key == character.lower() or option.key == key:
                    return option.value
            is_digit = self.by_digits and character.isdecimal() and character != "0"
            if is_digit and int(character) <= min(9, len(self.options)):
                return self.options[int(character) - 1].value
        self.missed = True
        return OPEN

    def lines(self, width: int, height: int) -> list[Line]:
        cells = max((cell_len(option.label) for option in self.options), default=0) + 8
        self.columns = max(1, min(4, (width - 2) // cells))
        cell = (width - 2) // self.columns
        rows: list[Line] = []
        row: list[Span] = [Span(" ")]
        for place, option in enumerate(self.options):
            mark = "name" if place == self.cursor else ""
            digit = str(place + 1) if place < 9 and self.by_digits else " "
            twice = option.key == self.brought_by and digit != " "  # at once it would be the key held down
            head = option.key if not option.key.isdecimal() and not twice else " "
            keys = (option.key,)
            row += [
                Span(">" if place == self.cursor else " ", "", keys),
                Span(f"{head} ", "key", keys),
                Span(f"{digit} ", "key" if twice else "quiet", (digit,) if twice else keys),
                Span(fit(option.label, cell - 6) + " ", mark, keys),
            ]
            if (place + 1) % self.columns == 0:
                rows.append(tuple(row))
                row = [Span(" ")]
        if len(row) > 1:
            rows.append(tuple(row))
        title: list[Line] = [line(" ", Span(one, "ask")) for one in short(wrap(self.title, width - 2), 3)]
        hint = [line(" ", Span(self.hint, "quiet"))] if self.hint else []
        if self.missed:
            hint = [line(" ", Span(fit("Nothing chosen. A key from the list, or Backspace.", width - 2), "today"))]
        room = max(1, height - len(title) - len(hint))
        if len(rows) > room:
            # Not all of them fit: those around the one chosen, which the arrows move.
            at = (self.cursor or 0) // self.columns
            room = max(1, room - 1)
            first = max(0, min(at - room // 2, len(rows) - room))
            rows = [*rows[first : first + room], line("   ", Span("↑ ↓ shows the others", "quiet"))]
        return [*title, *rows, *hint][:height]


class Confirm(Ask):
    """Something that is asked about once: Enter or y for yes, n or Backspace for no. No digit answers.

    Where a figure is doubted and may be typed again, a digit begins it: that digit is the answer then.
    """

    def __init__(
        self,
        says: Sequence[str],
        *,
        yes: str = "yes",
        no: str = "no",
        style: str = "today",
        by_enter: bool = True,
        by_backspace: bool = True,
        figure: bool = False,
    ) -> None:
        self.says = says
        self.yes = yes
        self.no = no
        self.style = style
        #: Whether Enter says yes; where the thumb is on Enter already it says no, and y says yes.
        self.by_enter = by_enter
        #: Whether Backspace says no; where no leaves the program it says nothing.
        self.by_backspace = by_backspace
        #: Whether a figure is doubted that may be typed again.
        self.figure = figure
        self.to_be_seen = not by_enter  # a doubt was not expected: what was typed before is no answer to it
        self.top = 0

    def reach(self, key: str, character: str | None) -> Reach:
        # Typed before the doubt could be seen it may be the figure of the next animal.
        return "opens" if self._begins(key, character) else super().reach(key, character)

    def _begins(self, key: str, character: str | None) -> str:
        """What of a figure this key begins, where one may be typed again."""
        sign = letter_of(key, character)
        return sign.replace(",", ".") if self.figure and re.fullmatch(r"[0-9.,]", sign) else ""

    def takes(self, key: str, character: str | None) -> Any:
        if key == "backspace" and not self.by_backspace:
            return OPEN
        if begun := self._begins(key, character):
            return begun
        if key in CANCEL or key == "backspace" or character in ("n", "N"):
            return False
        if key in ("up", "down"):
            self.top = max(0, self.top + (1 if key == "down" else -1))
        if key == "enter":
            return self.by_enter
        return True if character in ("y", "Y") else OPEN

    def lines(self, width: int, height: int) -> list[Line]:
        text = [line(" ", Span(one, self.style)) for text in self.says for one in wrap(text, width - 2)]
        first, second = ("Enter", "n") if self.by_enter else ("y", "Enter")
        yes, no = (first.lower(),), (second.lower(),)
        keys = [Span(" "), Span(first, "key", yes), Span(f" {self.yes}", "", yes), Span("   ")]
        keys += [Span(second, "key", no), Span(f" {self.no}", "", no)]
        keys += [Span("   "), Span("digits", "key"), Span(" another figure")] if self.figure else []
        room = max(1, height - 1)
        self.top = max(0, min(self.top, len(text) - room))
        if len(text) > room:
            keys += [Span("   "), Span("↑ ↓", "key"), Span(" more")]
        return [*text[self.top : self.top + room], tuple(keys)]


class Read(Ask):
    """Something to be read before anything goes on: only y says so; no digit, and one Enter too many says nothing.

    With `rest` all that stands above the row that begins with it has to have been on screen: y reads on till then.
    With `leave` it may be decided on: n answers False, and Backspace, for later, None.
    """

    whole: ClassVar[bool] = True
    to_be_seen = True

    def __init__(
        self,
        title: str,
        text: Callable[[int], Sequence[Line]],
        *,
        yes: str,
        no: str,
        leave: str = "",
        rest: str = "",
    ) -> None:
        self.rest = rest
        self.title = title
        self.text = text
        self.yes = yes
        self.no = no
        self.leave = leave
        self.top = 0
        #: Rows of it on the screen, and whether all that has to be was there.
        self._room, self._seen = 1, not rest

    def takes(self, key: str, character: str | None) -> Any:
        if self.leave and (key == "backspace" or character in ("n", "N")):
            return None if key == "backspace" else False
        if key in CANCEL or key == "backspace" or character in ("n", "N"):
            return BROKEN_OFF
        if key in ("up", "down", "pageup", "pagedown"):
            self.top = max(0, self.top + {"up": -1, "down": 1, "pageup": -10, "pagedown": 10}[key])
        if character not in ("y", "Y"):
            return OPEN
        if not self._seen:
            self.top += self._room
            return OPEN
        return True

    def lines(self, width: int, height: int) -> list[Line]:
        text = self.text(width)
        room = self._room = max(1, height - 3)
        self.top = max(0, min(self.top, len(text) - room))
        self._seen = self._seen or self.top + room >= row_of(text, self.rest)
        yes = self.yes if self._seen else "read on"
        keys = [
            Span(" "),
            Span("y", "key", ("y",)),
            Span(f" {yes}", "", ("y",)),
            Span("   "),
            *([Span("n", "key", ("n",)), Span(f" {self.leave}", "", ("n",)), Span("   ")] if self.leave else []),
            Span("Backspace", "key", ("backspace",)),
            Span(f" {self.no}", "", ("backspace",)),
        ]
        if len(text) > room:
            keys += [Span("   "), Span("↓", "key"), Span(" more" if self.top + room < len(text) else " the end")]
        below = [BLANK] * (room - len(text))
        title = line(" ", Span(fit(self.title, width - 2), "ask"))
        return [title, *text[self.top : self.top + room], *below, BLANK, tuple(keys)]


class Ticks(Ask):
    """A list of signs, each seen, not seen, or not looked for. Enter writes what is marked, and no more.

    A digit marks a sign as seen, again as looked for and not seen, again as not looked for. `n` says of all that a
    look shows, and that are not marked, that they were looked for and not seen; a digit after it marks that one as
    seen. The answer is (seen, not seen).
    Nothing marked is lost silently: the key that breaks off has to be pressed twice then.
    """

    whole: ClassVar[bool] = True

    def __init__(
        self,
        title: str,
        signs: Sequence[str],
        *,
        above: Sequence[Line] = (),
        below: str = "",
        grave: frozenset[str] = frozenset(),
        by_look: Sequence[str] = (),
        before: Mapping[str, str] | None = None,
    ) -> None:
        self.title = title
        self.signs = list(signs)
        self.above = above
        self.below = below
        self.grave = grave
        #: What a look without touching shows.
        self.by_look = frozenset(by_look)
        #: What was seen before and stands unanswered, with when, by sign.
        self.before = dict(before or {})
        self.seen: set[str] = set()
        self.not_seen: set[str] = set()
        #: Those that `n` has marked, and no digit since.
        self._by_all: set[str] = set()
        self.leaving = False

    def reach(self, key: str, character: str | None) -> Reach:
        return "acts" if key in ("enter", *CANCEL) else "moves"

    def takes(self, key: str, character: str | None) -> Any:
        if key in CANCEL or key == "backspace":
            if self.leaving or not (self.seen or self.not_seen):
                return BROKEN_OFF
            self.leaving = True
            return OPEN
        self.leaving = False
        if key == "enter":
            return self._marked(self.seen), self._marked(self.not_seen)
        if character in ("n", "N"):
            fresh = self.by_look - self.seen - self.not_seen
            self.not_seen |= fresh
            self._by_all |= fresh
        elif character is not None and re.fullmatch(r"[0-9]", character):
            place = (int(character) - 1) % 10
            if place < len(self.signs):
                self._next(self.signs[place])
        return OPEN

    def _marked(self, marked: set[str]) -> tuple[str, ...]:
        return tuple(sign for sign in self.signs if sign in marked)

    def _next(self, sign: str) -> None:
        """Not looked for, seen, not seen, and round again. What `n` has marked is seen next."""
        if sign in self._by_all:
            self._by_all.discard(sign)
            self.not_seen.discard(sign)
            self.seen.add(sign)
        elif sign in self.seen:
            self.seen.discard(sign)
            self.not_seen.add(sign)
        elif sign in self.not_seen:
            self.not_seen.discard(sign)
        else:
            self.seen.add(sign)

    def lines(self, width: int, height: int) -> list[Line]:
        title = line(" ", Span(fit(self.title, width - 2), "ask"))
        keys = self._keys(width)
        below = [line(" ", Span(one, "quiet")) for one in wrap(self.below, width - 2)] if self.below else []
        signs = [self._sign(place, width - 16) for place in range(len(self.signs))]
        # Every sign stays on the screen: the rest is left out first.
        for shown in (
            [title, *self.above, BLANK, *signs, BLANK, *keys, *below],
            [title, *signs, *keys, *below],
            [title, *signs, *keys],
            [title, *signs, *keys[:1]],
        ):
            if len(shown) <= height:
                return shown
        half = (len(signs) + 1) // 2
        cells = (width - 16) // 2 - 4
        left = [self._sign(place, cells) for place in range(half)]
        right = [self._sign(place, cells) for place in range(half, len(self.signs))]
        pairs = [(*one, *(right[place] if place < len(right) else ())) for place, one in enumerate(left)]
        return [title, *pairs, *keys[:1]][-height:]

    def _keys(self, width: int) -> list[Line]:
        if self.leaving:
            warning = "Not written yet. Enter writes it, Backspace again drops it"
            warning += f": {', '.join(self._marked(self.seen))} seen" if self.seen else ""
            warning += f"{',' if self.seen else ':'} {len(self.not_seen)} not seen" if self.not_seen else ""
            return [line(" ", Span(one, "today")) for one in short(wrap(f"{warning}.", width - 2), 2)]
        enter = " writes what is marked" if self.seen or self.not_seen else " looked at her, nothing to mark"
        write, leave = ("enter",), ("backspace",)
        first = line(" ", Span("Enter", "key", write), Span(enter, "", write), "   ")
        first += line(Span("Backspace", "key", leave), Span(" break off", "", leave))
        second = line(
            " ",
            Span("digit", "key"),
            " seen, not seen, not looked for   " if width >= 70 else " seen, not, –   ",
            Span("n", "key", ("n",)),
            Span(" looked for all, none seen" if width >= 70 else " none seen", "", ("n",)),
        )
        return [first, second]

    def _sign(self, place: int, cells: int) -> Line:
        sign = self.signs[place]
        mark = "YES" if sign in self.seen else " no" if sign in self.not_seen else " – "
        style = ("vet" if sign in self.grave else "today") if sign in self.seen else ""
        text = f"{sign}   {self.before[sign]}" if sign in self.before else sign
        digit = str((place + 1) % 10)
        return pressing(
            line("   ", Span(digit, "key"), f"  {mark}  ", Span(fit(text, max(6, cells)), style)), digit
        )
