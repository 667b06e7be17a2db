"""A form in place: a few fields, filled from top to bottom with Enter, any of them mended with the arrows.

Nothing typed is lost when a field cannot be read: the form says which, why and how to write it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from datetime import date, datetime, time, timedelta
from typing import Any, ClassVar, Literal, NamedTuple
from zoneinfo import ZoneInfo

from rounds.logbook.times import on_wall
from rounds.screens.asks import BROKEN_OFF, CANCEL, OPEN, TWINS, Found, Typed
from rounds.screens.board import BLANK, Line, Span, fit, line, wrap

Sort = Literal["text", "figure", "whole", "date", "choice", "ticks", "subject", "when"]


class Field(NamedTuple):
    """One field: the member of the entry it fills, its label, and how it is read."""

    name: str
    label: str
    sort: Sort = "text"
    required: bool = False
    options: tuple[str, ...] = ()
    unit: str = ""
    hint: str = ""
    given: str = ""
    find: Callable[[str], Sequence[Found]] | None = None
    #: The member that says that a day is only about right: set when no more than a month or a year was written.
    about: str = ""


WHEN = Field("when", "when", "when", hint="empty: now · 07:15 · yesterday 18:00 · 2026-04-12 18:00")


class Unreadable(Exception):
    """A field cannot be read; the sentence says how to write it."""


class Form(Typed):
    """Asks for all fields. The answer is a dict of the members that were filled."""

    whole: ClassVar[bool] = True

    def __init__(
        self, title: str, fields: Sequence[Field], *, now: datetime, zone: ZoneInfo, told: str = ""
    ) -> None:
        self.title = title
        self.fields = list(fields)
        self.typed = {field.name: field.given for field in fields}
        self.ticked: dict[str, set[str]] = {
            field.name: {one for one in field.options if one in field.given.split(", ")}
            for field in fields
            if field.sort == "ticks"
        }
        self.chosen: dict[str, Found] = {}
        #: Fields that still hold what they were given: the first letter replaces it, Backspace mends it.
        self.untouched = {field.name for field in fields if field.given}
        self.at = 0
        self.pick = 0
        self.wrong = ""
        self.told = told
        self._now = now
        self._zone = zone
        for field in fields:
            if field.sort == "subject" and field.given and field.find:
                for found in field.find(field.given):
                    if found.value == field.given:
                        self.chosen[field.name] = found
                        self.typed[field.name] = found.label.split("  ")[0].strip()
                        break

    # Keys

    def takes(self, key: str, character: str | None) -> Any:
        self.wrong = ""
        if key in CANCEL:
            return BROKEN_OFF
        if key == "f2":
            self._leave(0)
            return self._read()
        if key in ("down", "tab"):
            self._leave(1)
            return OPEN
        if key in ("up", "shift+tab"):
            self._leave(-1)
            return OPEN
        if self.at == len(self.fields):
            if key == "enter":
                return self._read()
            if key == "backspace":
                self._leave(-1)
            return OPEN
        field = self.fields[self.at]
        if key == "enter":
            self._leave(1)
        elif field.sort == "choice":
            self._choose(field, key, character)
        elif field.sort == "ticks":
            self._tick(field, key, character)
        elif key == "backspace":
            if not self.typed[field.name] and self.at == 0 and not any(self.typed.values()):
                return BROKEN_OFF
            found = self.chosen.pop(field.name, None)
            self.untouched.discard(field.name)
            self.typed[field.name] = "" if found is not None else self.typed[field.name][:-1]
            self.pick = 0
        elif field.sort == "subject" and key in ("left", "right"):
            self.pick = max(0, self.pick + (1 if key == "right" else -1))
        elif key == "ctrl+u":
            self.typed[field.name] = ""
        else:
            sign = TWINS.get(key, character or "")
            if sign and sign.isprintable() and len(sign) == 1 and len(self.typed[field.name]) < 2_000:
                if self.chosen.pop(field.name, None) is not None or field.name in self.untouched:
                    self.typed[field.name] = ""  # a letter over a subject already found looks for another
                self.untouched.discard(field.name)
                self.typed[field.name] += sign
                self.pick = 0
        return OPEN

    def _leave(self, step: int) -> None:
        if self.at < len(self.fields):
            field = self.fields[self.at]
            if field.sort == "subject" and self.typed[field.name] and field.name not in self.chosen:
                found = self._found(field)
                if found:
                    self.chosen[field.name] = found[min(self.pick, len(found) - 1)]
                    self.typed[field.name] = self.chosen[field.name].label.split("  ")[0].strip()
        self.pick = 0
        self.at = max(0, min(len(self.fields), self.at + step))

    def _choose(self, field: Field, key: str, character: str | None) -> None:
        options = field.options if field.required else ("", *field.options)
        at = options.index(self.typed[field.name]) if self.typed[field.name] in options else -1
        if key == "backspace":
            self.typed[field.name] = ""
        elif key in ("left", "right", "space"):
            at = (at + (-1 if key == "left" else 1)) % len(options)
            self.typed[field.name] = options[at]
        elif character and character.isprintable():
            if character.isdecimal() and 0 < int(character) <= len(field.options):
                self.typed[field.name] = field.options[int(character) - 1]
                return
            order = [*options[at + 1 :], *options[: at + 1]]
            match = next((one for one in order if one.casefold().startswith(character.casefold())), None)
            if match is not None:
                self.typed[field.name] = match

    def _tick(self, field: Field, key: str, character: str | None) -> None:
        ticked = self.ticked[field.name]
        if key == "backspace":
            ticked.clear()
        elif character and re.fullmatch("[0-9]", character):
            place = (int(character) - 1) % 10
            if place < len(field.options):
                ticked ^= {field.options[place]}

    def _found(self, field: Field) -> Sequence[Found]:
        return field.find(self.typed[field.name]) if field.find else ()

    # Reading

    def _read(self) -> Any:
        answer: dict[str, Any] = {}
        for place, field in enumerate(self.fields):
            try:
                value = self._value(field)
                if value is None and field.required:
                    raise Unreadable(f"{field.label} is needed.")
            except Unreadable as error:
                self.at, self.wrong = place, str(error)
                return OPEN
            if value is not None:
                answer[field.name] = value
                if field.about and re.fullmatch(r"\d{4}(-\d{1,2})?", self.typed[field.name].strip()):
                    answer[field.about] = True
        return answer

    def _value(self, field: Field) -> Any:
        if field.sort == "ticks":
            return tuple(one for one in field.options if one in self.ticked[field.name]) or None
        text = self.typed[field.name].strip()
        if not text:
            return None
        if field.sort == "figure":
            return _figure(field.label, text)
        if field.sort == "whole":
            if not re.fullmatch(r"\d{1,6}", text):
                raise Unreadable(f"{field.label}: write a whole number, such as 18.")
            return int(text)
        if field.sort == "date":
            return day_of(text, field.label, self._now.date())
        if field.sort == "when":
            return moment_of(text, self._now, self._zone)
        if field.sort == "choice":
            return text
        if field.sort == "subject":
            found = self.chosen.get(field.name)
            if found is None:
                matches = self._found(field)
                if len(matches) != 1:
                    raise Unreadable(f"{field.label}: nothing, or more than one, is called {text!r}.")
                found = matches[0]
            return found.value
        return text

    # Looks

    def lines(self, width: int, height: int) -> list[Line]:
        shown: list[Line] = [line(" ", Span(fit(self.title, width - 2), "ask")), BLANK]
        label = max(len(field.label) for field in self.fields) + 2
        body: list[Line] = []
        at_line = 0
        for place, field in enumerate(self.fields):
            here = place == self.at
            if here:
                at_line = len(body)
            body.append(
                line(
                    Span(" > " if here else "   ", "key"),
                    Span(fit(field.label, label), "name" if here else "quiet"),
                    *self._value_spans(field, here, width - label - 4),
                )
            )
            if here and field.sort == "subject" and field.name not in self.chosen:
                found = self._found(field)
                for number, one in enumerate(found[:4]):
                    mark = number == min(self.pick, len(found) - 1)
                    body.append(
                        line(
                            " " * (label + 3),
                            Span(
                                ("→ " if mark else "  ") + fit(one.label, width - label - 7),
                                "name" if mark else "quiet",
                            ),
                        )
                    )
            if here and field.sort == "ticks":
                for number, option in enumerate(field.options, 1):
                    there = option in self.ticked[field.name]
                    body.append(
                        line(
                            " " * (label + 3),
                            Span(f"{number % 10} ", "key"),
                            Span(f"{'YES ' if there else ' –  '}{option}", "name" if there else "quiet"),
                        )
                    )
        last = self.at == len(self.fields)
        if last:
            at_line = len(body)
        body.append(
            line(
                Span(" > " if last else "   ", "key"),
                Span("Enter here writes it" if last else "write it", "ask" if last else "quiet"),
            )
        )
        below: list[Line] = [BLANK]
        if self.wrong:
            below += [line(" ", Span(one, "today")) for one in wrap(self.wrong, width - 2)]
        elif not last:
            field = self.fields[self.at]
            hint = field.hint or (
                "left and right, or a letter, choose"
                if field.sort == "choice"
                else "letters find it; left and right choose"
                if field.sort == "subject"
                else "what you type replaces it; Backspace mends it"
                if field.name in self.untouched
                else ""
            )
            if hint:
                below.append(line(" ", Span(fit(hint, width - 2), "quiet")))
        if self.told:
            below += [line(" ", Span(one, "quiet")) for one in wrap(self.told, width - 2)]
        below.append(
            line(
                " ",
                Span("Enter", "key"),
                " next field   ",
                Span("↑ ↓", "key"),
                " mend one   ",
                Span("F2", "key"),
                " write it   ",
                Span("Escape", "key"),
                " break off",
            )
        )
        if len(shown) + min(4, len(body)) + len(below) > height:
            # A small screen: the field, what is wrong with it, and the keys.
            shown = shown[:1]
            below = [one for one in below if one]
            if not self.wrong:
                below = below[-1:]
        room = max(1, height - len(shown) - len(below))
        first = max(0, min(at_line - room // 2, len(body) - room))
        return [*shown, *body[first : first + room], *below][:height]

    def _value_spans(self, field: Field, here: bool, width: int) -> list[Span]:
        if field.sort == "choice" and here:
            spans: list[Span] = []
            for option in field.options:
                mark = option == self.typed[field.name]
                spans.append(Span(f"[{option}]" if mark else f" {option} ", "name" if mark else "quiet"))
            if sum(len(span.text) for span in spans) <= width:
                return spans
            return [Span(fit(f"[{self.typed[field.name] or '–'}]  ← → or a letter", width), "name")]
        if field.sort == "ticks":
            return [
                Span(
                    fit(", ".join(one for one in field.options if one in self.ticked[field.name]) or "none", width)
                )
            ]
        text = self.typed[field.name]
        if here:
            text = (text if len(text) < width - 3 else "…" + text[-(width - 4) :]) + "_"
        return [Span(fit(f"{text} {field.unit if text.strip('_') else ''}".rstrip(), width))]


def _figure(label: str, text: str) -> float:
    if not re.fullmatch(r"\d{1,6}([.,]\d{1,3})?", text):
        raise Unreadable(f"{label}: write a number, such as 452 or 38.5.")
    return float(text.replace(",", "."))


def day_of(text: str, label: str, today: date) -> date:
    """A day as keepers write it: 2026-04-12, today, yesterday; 2024-05 and 2024 mean their first day.

    Raises `Unreadable` for anything that could mean two days, such as 03/04/2026.
    """
    word = text.casefold()
    if word in ("today", "yesterday"):
        return today - timedelta(days=word == "yesterday")
    found = re.fullmatch(r"(\d{4})(?:-(\d{1,2}))?(?:-(\d{1,2}))?", text)
    if found is None:
        raise Unreadable(f"{label}: write the day as 2026-04-12 (year, month, day), or only 2024-05 or 2024.")
    try:
        return date(int(found[1]), int(found[2] or 1), int(found[3] or 1))
    except ValueError:
        raise Unreadable(f"{label}: there is no day {text}.") from None


def moment_of(text: str, now: datetime, zone: ZoneInfo) -> datetime:
    """A moment as keepers write it: 07:15 (today), yesterday 18:00, 2026-04-12 18:00.

    Raises `Unreadable`, also for a moment that has not come yet.
    """
    found = re.fullmatch(r"(?:(\S+)\s+)?(\d{1,2}):(\d{2})", text.strip())
    if found is None:
        raise Unreadable("when: write 07:15, yesterday 18:00 or 2026-04-12 18:00.")
    day = day_of(found[1], "when", now.date()) if found[1] else now.date()
    try:
        moment = on_wall(day, time(int(found[2]), int(found[3])), zone)
    except ValueError:
        raise Unreadable(f"when: there is no time {found[2]}:{found[3]}.") from None
    if moment > now:
        raise Unreadable("when: that has not come yet; leave it empty for now.")
    return moment
