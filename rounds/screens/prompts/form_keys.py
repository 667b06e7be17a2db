"""The keys of a form: a few fields, filled from top to bottom with Enter, any of them mended with the arrows.

What cannot be read is refused when its field is left: the form says why and how to write it, and nothing typed
is lost. A time is said back below its field before anything is written.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, ClassVar

from rounds.logbook.written_figures import SUMS
from rounds.screens.keys.presses import Reach
from rounds.screens.prompts.asks import BROKEN_OFF, CANCEL, OPEN, TO_FIELD, Found, Typed, letter_of
from rounds.screens.prompts.fields import TICK_KEYS, Clockwork, Field, Unreadable, is_about, said_back, value_of
from rounds.screens.prompts.words import as_written


class FormKeys(Typed):
    """What a form holds and what its keys do. The answer is a dict of the members that were filled."""

    whole: ClassVar[bool] = True

    def __init__(
        self, title: str, fields: Sequence[Field], clock: Clockwork, *, told: str = "", at: int = 0
    ) -> None:
        self.title = title
        self.fields = list(fields)
        self.clock = clock
        self.typed = {field.name: field.given for field in fields}
        self.ticked: dict[str, set[str]] = {
            field.name: {one for one in field.options if one in field.given.split(", ")}
            for field in fields
            if field.sort == "ticks"
        }
        self.chosen: dict[str, Found] = {}
        #: Fields that still hold what they were given: the first letter replaces it, Backspace mends it.
        self.untouched = {field.name for field in fields if field.given}
        #: What a field was mended in: said if the form is broken off.
        self.mended: set[str] = set()
        #: The letters by which an option of a choice is being looked for.
        self.part = ""
        self.pick = 0
        self.picked = False
        self.told = told
        for field in fields:
            if field.sort == "subject" and field.given and field.find:
                for found in field.find(field.given):
                    if found.value == field.given:
                        self._take(field, found)
                        break
        # Where the first figure that is needed has still to be written, else where it is to begin.
        needed = [place for place, one in enumerate(self.fields) if one.required and not one.given]
        self.at = needed[0] if needed else at

    # The text field

    @property
    def field(self) -> Field | None:
        """The field being filled; None on the last line, which writes."""
        return self.fields[self.at] if self.at < len(self.fields) else None

    @property
    def in_field(self) -> str | None:
        field = self.field
        return self.typed[field.name] if field is not None and field.sort not in ("choice", "ticks") else None

    @property
    def field_name(self) -> str:
        return self.field.name if self.field is not None else ""

    @property
    def offers(self) -> bool:
        """A subject that was found is offered too: a letter looks for another one."""
        field = self.field
        return field is not None and (field.name in self.untouched or field.name in self.chosen)

    @property
    def texts(self) -> dict[str, str]:
        texts = {one.name: self.typed[one.name] for one in self.fields if one.sort in ("text", "when", "date")}
        return {name: text for name, text in texts.items() if text and name in self.mended}

    @property
    def held(self) -> dict[str, str]:
        """What each field was mended to: a text as it stands, ticks one behind the other, a subject by its id."""
        return {
            one.name: ", ".join(sorted(self.ticked[one.name]))
            if one.sort == "ticks"
            else self.chosen[one.name].value
            if one.name in self.chosen
            else self.typed[one.name]
            for one in self.fields
            if one.name in self.mended
        }

    def hold(self, held: Mapping[str, str]) -> None:
        """Have again what was held in an earlier run, as if it were typed; begin at the first field of it."""
        for field in self.fields:
            text = held.get(field.name, "")
            if not text:
                continue
            self.mended.add(field.name)
            self.untouched.discard(field.name)
            if field.sort == "ticks":
                self.ticked[field.name] = {one for one in field.options if one in text.split(", ")}
                continue
            self.typed[field.name] = text
            found = [one for one in field.find(text) if one.value == text] if field.find is not None else []
            for one in found[:1]:
                self._take(field, one)

    @property
    def several(self) -> bool:  # type: ignore[override]
        """Whether the field being filled may hold several lines."""
        return self.field is not None and self.field.several

    def before_typing(self) -> None:
        """A letter over what was given replaces it; over a subject already found it looks for another."""
        field = self.field
        if field is not None and (self.chosen.pop(field.name, None) is not None or field.name in self.untouched):
            self.typed[field.name] = ""

    def edited(self, text: str) -> None:
        field = self.field
        if field is not None:
            self.typed[field.name] = text
            self.chosen.pop(field.name, None)
            self.untouched.discard(field.name)
            self.mended.add(field.name)
            self.pick, self.picked = 0, False

    # Keys

    def reach(self, key: str, character: str | None) -> Reach:
        """Enter held down runs to the line that writes, and no further."""
        if key == "enter":
            return "acts" if self.field is None else "moves"
        return super().reach(key, character)

    def pasted(self, text: str) -> Any:
        """Where nothing is typed in a text field no letter of a paste chooses, ticks or writes."""
        self.wrong = "A paste answers nothing here: press a key."
        return OPEN

    def takes(self, key: str, character: str | None) -> Any:
        self.wrong = ""
        if key in CANCEL:
            return BROKEN_OFF
        if key == "f2":
            return self._read() if self._leave(0) else OPEN
        if key in ("down", "tab", "up", "shift+tab"):
            self._leave(1 if key in ("down", "tab") else -1)
            return OPEN
        field = self.field
        if field is None:
            if key == "enter":
                return self._read()
            if key == "backspace":
                self._leave(-1)
        elif key == "enter":
            self._leave(1)
        elif key == "backspace" and self._is_empty and self.at == 0:
            return BROKEN_OFF
        elif field.sort == "choice":
            self._choose(field, key, character)
        elif field.sort == "ticks":
            self._tick(field, key, character)
        elif field.sort == "subject" and key in ("left", "right"):
            self.pick = max(0, min(len(self.found(field)) - 1, self.pick + (1 if key == "right" else -1)))
            self.picked = True
        elif key == "backspace" and field.name in self.chosen:
            self.edited("")
        else:
            if not letter_of(key, character):  # who goes to and fro in what was given mends it
                self.untouched.discard(field.name)
            return TO_FIELD
        return OPEN

    @property
    def _is_empty(self) -> bool:
        return not any(self.typed.values()) and not any(self.ticked.values())

    def _leave(self, step: int) -> bool:
        """Go to another field, unless this one cannot be read; whether it could."""
        if self.at < len(self.fields):
            field = self.fields[self.at]
            if field.sort == "subject" and field.name not in self.chosen:
                found = self.found(field)
                if found and (self.typed[field.name] or self.picked):
                    self._take(field, found[min(self.pick, len(found) - 1)])
                    self.mended.add(field.name)
            try:
                self._value(field)
            except Unreadable as error:
                self.wrong = str(error)
                return False
        self.pick, self.picked, self.part = 0, False, ""
        self.at = max(0, min(len(self.fields), self.at + step))
        return True

    def _take(self, field: Field, found: Found) -> None:
        self.chosen[field.name] = found
        self.typed[field.name] = found.label.split("  ")[0].strip()

    def _choose(self, field: Field, key: str, character: str | None) -> None:
        options = field.options if field.required else ("", *field.options)
        at = options.index(self.typed[field.name]) if self.typed[field.name] in options else -1
        before = self.typed[field.name]
        if key == "backspace":
            self.typed[field.name], self.part = "", ""
        elif key in ("left", "right") or (key == "space" and not self.part):
            self.typed[field.name], self.part = options[(at + (-1 if key == "left" else 1)) % len(options)], ""
        elif character and character.isdecimal() and 0 < int(character) <= len(field.options):
            self.typed[field.name], self.part = field.options[int(character) - 1], ""
        elif character and character.isprintable():
            self._find_option(field, character, [*options[at + 1 :], *options[: at + 1]])
        if self.typed[field.name] != before:
            self.untouched.discard(field.name)
            self.mended.add(field.name)

    def _find_option(self, field: Field, letter: str, order: Sequence[str]) -> None:
        """The option that the letters typed so far are part of; the same letter again goes to the next one."""
        longer, alone = (self.part + letter).casefold(), letter.casefold()
        for part, options in (*([(longer, field.options)] if self.part else []), (alone, order)):
            matches = [one for one in options if part in one.casefold()]
            matches.sort(key=lambda one: not one.casefold().startswith(part))
            if matches:
                self.part, self.typed[field.name] = part, matches[0]
                return

    def _tick(self, field: Field, key: str, character: str | None) -> None:
        if key == "backspace":
            self.wrong = "What is ticked stays. Its own key takes a tick away."
        elif character and character.lower() in TICK_KEYS[: len(field.options)]:
            self.ticked[field.name] ^= {field.options[TICK_KEYS.index(character.lower())]}
            self.mended.add(field.name)

    def found(self, field: Field) -> Sequence[Found]:
        """The subjects that what stands in a field may mean."""
        return field.find(self.typed[field.name]) if field.find else ()

    # Reading

    def _read(self) -> Any:
        answer: dict[str, Any] = {}
        for place, field in enumerate(self.fields):
            try:
                value = self._value(field)
                if value is None and field.required:
                    raise Unreadable(field.missing or f"{field.label} is needed.")
            except Unreadable as error:
                self.at, self.wrong = place, str(error)
                return OPEN
            if value is not None:
                answer[field.name] = value
                if field.about and is_about(field, self.typed[field.name], self.clock):
                    answer[field.about] = True
        return answer

    def _value(self, field: Field) -> Any:
        if field.sort == "ticks":
            return tuple(one for one in field.options if one in self.ticked[field.name]) or None
        if field.sort != "subject":
            if field.name in SUMS:
                # In the currency that this form names, else in the colony's own.
                field = field._replace(unit=self.typed.get("currency", "").strip().upper() or self.clock.currency)
            return value_of(field, as_written(self.typed[field.name]), self.clock)
        text = self.typed[field.name].strip()
        if not text:
            return None
        found = self.chosen.get(field.name)
        if found is None:
            matches = self.found(field)
            if len(matches) != 1:
                many = "more than one" if matches else "nothing"
                raise Unreadable(f"{field.label}: {many} is called “{text}”.")
            found = matches[0]
        return found.value

    def said_back(self, field: Field) -> str:
        """What a time or a day was read as."""
        return said_back(field, self.typed[field.name], self.clock)

    def in_words(self) -> str:
        """What was written into it, to be said when it is dropped."""
        told = [
            f"{field.label}: {', '.join(sorted(self.ticked[field.name])) if field.sort == 'ticks' else text}"
            for field in self.fields
            if field.name in self.mended and ((text := self.typed[field.name]) or self.ticked.get(field.name))
        ]
        return "; ".join(told)
