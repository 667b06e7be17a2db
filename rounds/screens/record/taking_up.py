"""What was being typed when the app ended, offered again: brought back, dropped, or left for the next start."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final, Protocol

from rounds.desk.unfinished import NOTES, Unfinished
from rounds.logbook.entries import ROOM, Hatched, Noted, Weighed
from rounds.logbook.times import fixed
from rounds.paper.words import stamp_words
from rounds.screens.board.board import Line, Span, line, short, wrap
from rounds.screens.prompts.asks import CANCEL, OPEN, Ask, Talk
from rounds.screens.prompts.words import as_written
from rounds.screens.record.filling import fill, title_of
from rounds.screens.record.forms import FORMS
from rounds.screens.record.hatching import hatched
from rounds.screens.record.host import Host
from rounds.screens.record.kind_form import NOTE, KindForm, fits
from rounds.standing.clutch import called
from rounds.standing.fold import Standing

_NOTE: Final = next(form for form in FORMS if form.kind is Noted and form.asked[0].name == NOTE.name)
_WEIGHED: Final = next(form for form in FORMS if form.kind is Weighed)
_WHEN: Final = "%Y-%m-%d %H:%M"
_ANSWERS: Final = {"b": "back", "d": "drop", "l": "later"}


class LeftOver(Protocol):
    """What earlier runs left, as far as the talk knows it."""

    left: list[Unfinished]

    def answered(self, one: Unfinished) -> None:
        """The keeper has said what becomes of it."""


class Offered(Ask):
    """One thing that was left: its letters alone answer, so that no digit or Enter on its way drops it."""

    def __init__(self, told: str) -> None:
        self.told = told
        #: Whether the key before said what dropping does: it is asked for twice.
        self._dropping = False

    def takes(self, key: str, character: str | None) -> Any:
        answer = "later" if key in (*CANCEL, "backspace") else _ANSWERS.get((character or "").lower(), OPEN)
        asked_before, self._dropping = self._dropping, answer == "drop"
        return OPEN if self._dropping and not asked_before else answer

    def lines(self, width: int, height: int) -> list[Line]:
        told = short(wrap(self.told, width - 2), max(1, min(6, height - 1)))
        keys, drop = [Span(" ")], "again drops it" if self._dropping else "drop it"
        for letter, words in (("b", "bring it back"), ("d", drop), ("l", "later: asked at the next start")):
            keys += [Span(letter, "key", (letter,)), Span(f" {words}   ", "", (letter,))]
        return [*(line(" ", Span(one, "today")) for one in told), tuple(keys)]


def take_up(
    screen: Host, left: LeftOver, notes: Callable[[str], None], dropped: Callable[[Unfinished], None]
) -> Talk:
    """Ask about each, the oldest first. `notes` takes the notes for the next keeper, `dropped` what is dropped."""
    for one in tuple(left.left):
        answer = yield Offered(_told(screen, one))
        if answer == "later":
            screen.say("Kept. It is asked again at the next start.")
            continue
        left.answered(one)
        if answer == "drop":
            dropped(one)
            screen.say("Dropped. Where the same is asked again, Ctrl-Z brings it back.", "today")
        elif one.asked == NOTES:
            notes(_with_author(screen, one, one.held.get("", one.words)))
            screen.say("Your notes for the next keeper are back. They are signed with the hand-over.", "good")
        else:
            yield from _brought_back(screen, one)


def is_written(screen: Host, one: Unfinished) -> bool:
    """Whether it stands in the logbook: the app ended just behind the save."""
    text = as_written(one.held.get("", ""))
    return bool(text) and any(
        entry.note == text and entry.by == one.by and (entry.written or entry.at) >= one.at
        for entry in screen.shift.desk.standing.page(one.about).of(Noted)
    )


def _told(screen: Host, one: Unfinished) -> str:
    when = stamp_words(fixed(one.at, screen.shift.desk.settings.zone), screen.shift.now())
    return f"Not written: {one.by or 'somebody'} typed this {when}, then the app ended. {_whole(one)}"


def _whole(one: Unfinished) -> str:
    """The question, and behind it what was typed."""
    if one.words.startswith(one.asked):
        return one.words
    between = "" if one.asked.endswith((":", "?", ".")) else "." if ": " in one.asked else ":"
    return f"{one.asked}{between} {one.words}"


def _brought_back(screen: Host, one: Unfinished) -> Talk:
    """The form of the same question, or a note about the same subject, with what was typed and when."""
    standing = screen.shift.desk.standing
    about = one.about if one.about == ROOM or one.about in standing.pages else ROOM
    when = fixed(one.at, screen.shift.desk.settings.zone).strftime(_WHEN)
    held = {"when": when, **one.held, "note": _with_author(screen, one, one.held.get("note", ""))}
    place = standing.places.get(about)
    for who in (about, *([place] if place is not None else []), ROOM):
        for form in FORMS:
            if not fits(form, who) or one.asked not in {title_of(form, name) for name in _names(standing, who)}:
                continue
            if form.kind is Hatched:  # its young go into their group with it
                yield from hatched(screen, who, held=held)
            else:
                yield from fill(screen, form, who, held)
            return
    text = one.held.get("", "")
    if text and one.asked.startswith(f"Weight of {standing.name(about)}") and fits(_WEIGHED, about):
        yield from fill(screen, _WEIGHED, about, {**held, "grams": text})
    elif text and one.asked == f"Note about {standing.name(about)}:":
        yield from _as_note(screen, about, when, _with_author(screen, one, text))
    else:
        yield from _as_note(screen, about, when, _with_author(screen, one, _whole(one)))


def _names(standing: Standing, subject: str) -> tuple[str, str]:
    """What a subject may have been called in a question."""
    return standing.name(subject), called(standing, subject)


def _as_note(screen: Host, about: str, when: str, text: str) -> Talk:
    form: KindForm = _NOTE
    yield from fill(screen, form, about if fits(form, about) else ROOM, {"when": when, "note": text})


def _with_author(screen: Host, one: Unfinished, text: str) -> str:
    """Another keeper's words are said to be theirs."""
    return text if one.by in ("", screen.shift.desk.keeper) else f"{text} (typed by {one.by})".lstrip()
