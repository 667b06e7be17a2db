"""Attention: all matters, worst first; open one to see why, and act on it from here."""

from __future__ import annotations

from datetime import date, timedelta
from typing import ClassVar

from rounds.due.matter import Act, Level, Matter
from rounds.logbook.drafts import draft
from rounds.logbook.entries import (
    Acknowledged,
    BehaviourSeen,
    EggsLaid,
    Entry,
    FeltForEggs,
    LampChanged,
    Measured,
    Moved,
    Parted,
    PutOff,
    QuarantineEnded,
    Referred,
    TreatmentGiven,
    VetSeen,
)
from rounds.paper.said import said
from rounds.paper.words import left_words, time_words
from rounds.screens import talks
from rounds.screens.asks import Search, Talk, Words
from rounds.screens.board import BLANK, Line, Span, fit, line, wrap
from rounds.screens.choices import Choice, Option
from rounds.screens.finding import find
from rounds.screens.form import Unreadable, day_of
from rounds.screens.forms import FORM_OF
from rounds.screens.keys import ATTENTION, EVERYWHERE, bindings
from rounds.screens.more import fill
from rounds.screens.saving import Save
from rounds.screens.screen import RoundScreen
from rounds.screens.stop_view import STYLE_OF_LEVEL, level_word

#: What acting on a matter is called, and the key it has.
ACTS: dict[Act, tuple[str, str]] = {
    "lay box": ("l", "lay box in or out"),
    "egg check": ("e", "egg check"),
    "weigh": ("w", "weigh"),
    "felt": ("f", "felt for eggs"),
    "eggs laid": ("g", "eggs laid"),
    "refer": ("r", "refer to a vet"),
    "vet seen": ("v", "vet has seen her or him"),
    "who": ("u", "it is known now which animal it was"),
    "part": ("p", "parted"),
    "move": ("m", "moved"),
    "climate": ("c", "read the climate"),
    "lamp": ("h", "UV lamp changed"),
    "feed": ("d", "food: how it ate"),
    "droppings": ("s", "droppings seen"),
    "quarantine": ("q", "quarantine ended"),
    "measure": ("x", "measure"),
    "treatment": ("t", "treatment given as prescribed"),
    "note": ("n", "note"),
}
_FORMS: dict[Act, type[Entry]] = {
    "felt": FeltForEggs,
    "eggs laid": EggsLaid,
    "refer": Referred,
    "vet seen": VetSeen,
    "part": Parted,
    "move": Moved,
    "lamp": LampChanged,
    "quarantine": QuarantineEnded,
    "measure": Measured,
    "treatment": TreatmentGiven,
}


class AttentionScreen(RoundScreen):
    """The list, or one matter opened."""

    KEYS = ATTENTION
    BINDINGS = bindings(ATTENTION, EVERYWHERE)
    BINDING_GROUP_TITLE = "Attention"
    FOOTER: ClassVar[tuple[str, ...]] = (
        "open",
        "act",
        "acknowledge",
        "put-off",
        "matter-page",
        "go-there",
        "back",
        "help",
    )

    def __init__(self) -> None:
        super().__init__()
        self.chosen = ""
        self.opened = False
        self.top = 0
        self.read_top = 0

    def _matters(self) -> tuple[Matter, ...]:
        every = self.shift.all_matters
        return (*(one for one in every if one.put_off is None), *(one for one in every if one.put_off is not None))

    def _matter(self) -> Matter | None:
        matters = self._matters()
        found = next((one for one in matters if one.key == self.chosen), None)
        if found is None and matters and not self.opened:
            found = matters[0]
            self.chosen = found.key
        return found

    def head(self, width: int) -> list[Line]:
        counts = self.shift.counts()
        told = (
            "   ".join(f"{counts[level]} {level.word}" for level in reversed(Level) if counts[level]) or "nothing"
        )
        return [line(Span(fit(f" {self.shift.desk.settings.name}   attention   {told}", width), "title")), BLANK]

    def body(self, width: int, height: int) -> list[Line]:
        matter = self._matter()
        if self.opened and matter is None:
            return [
                line(" ", Span("This matter is settled.", "good")),
                BLANK,
                line(" Backspace goes back to the list."),
            ]
        if matter is None:
            return [line(" ", Span("Nothing needs attention.", "good"))]
        if self.opened:
            whole = matter_lines(matter, self.shift, width)
            self.read_top = max(0, min(self.read_top, len(whole) - height))
            return whole[self.read_top : self.read_top + height]
        rows: list[Line] = []
        at = 0
        for one in self._matters():
            mark = one.key == matter.key
            if mark:
                at = len(rows)
            rows += self._row(one, width, mark)
        self.top = max(0, min(max(self.top, at + 3 - height), at, len(rows) - height))
        return rows[self.top : self.top + height]

    def _row(self, matter: Matter, width: int, mark: bool) -> list[Line]:
        standing = self.shift.desk.standing
        place = standing.name(matter.place) if matter.place else ""
        tail = ""
        if matter.put_off is not None:
            tail = f"  put off until {matter.put_off.until:%d %b}: {matter.put_off.reason}"
        elif matter.deadline is not None:
            tail = f"  {left_words(matter.deadline, self.shift.now())}"
        if matter.needs_acknowledging:
            tail += "  not read yet"
        elif matter.acknowledged is not None:
            tail += f"  read by {matter.acknowledged.by}"
        parts = wrap(matter.says + tail, width - 18)
        word = "off" if matter.put_off is not None else level_word(matter.level)
        style = "quiet" if matter.put_off is not None else STYLE_OF_LEVEL[matter.level]
        shown = [
            line(
                Span(" > " if mark else "   ", "key"),
                Span(f"{word:<7}", style),
                " ",
                Span(fit(place, 6)),
                " ",
                Span(parts[0], "cursor" if mark else ""),
            )
        ]
        shown += [line(" " * 18, Span(part, "quiet" if matter.put_off else "")) for part in parts[1:3]]
        return shown

    # Keys

    def action_cursor(self, step: int) -> None:
        """Another matter, or another line of the one opened."""
        if self.opened:
            self.read_top = max(0, self.read_top + step)
        else:
            keys = [one.key for one in self._matters()]
            if keys:
                at = keys.index(self.chosen) if self.chosen in keys else 0
                self.chosen = keys[max(0, min(len(keys) - 1, at + step))]
        self.paint()

    def action_open(self) -> None:
        """Open the matter; once open, act on it."""
        if self.opened:
            self.action_act()
        elif self._matter() is not None:
            self.opened, self.read_top = True, 0
            self.paint()

    def action_back(self) -> None:
        """Back to the list, or to where you came from."""
        if self.opened:
            self.opened = False
            self.paint()
        else:
            self.app.pop_screen()

    def action_acknowledge(self) -> None:
        """Say that it was read."""
        matter = self._matter()
        if matter is not None:
            self.converse(self._acknowledging(matter))

    def _acknowledging(self, matter: Matter) -> Talk:
        saved = yield Save(draft(Acknowledged, matter.about, matter=matter.key, level=matter.level.word))
        if saved:
            self.say("Read, and taken on. It stays open until it is settled.", "good")

    def action_put_off(self) -> None:
        """Put it off."""
        matter = self._matter()
        if matter is None:
            return
        if matter.danger or matter.level is Level.VET_NOW:
            self.say("A danger sign cannot be put off.", "vet")
            return
        self.converse(self._putting_off(matter))

    def _putting_off(self, matter: Matter) -> Talk:
        today = self.shift.day
        until = yield Choice(
            "Put off until",
            [
                Option("t", "tomorrow", today + timedelta(days=1)),
                Option("3", "in three days", today + timedelta(days=3)),
                Option("w", "in a week", today + timedelta(days=7)),
                Option("d", "another day …", None),
            ],
        )
        if until is None:
            text = yield Words("Until which day", check=lambda word: _not_ahead(word, today))
            until = day_of(text, "until", today)
        reason = yield Words(
            "Why?",
            ready=("agreed with the vet", "normal for this animal", "is being watched", "waits for supplies"),
        )
        saved = yield Save(draft(PutOff, matter.about, matter=matter.key, until=until, reason=reason))
        if saved:
            self.say(f"Put off until {until:%d %b}; it stands at the end of the list.", "good")

    def action_act(self) -> None:
        """Act on it from here."""
        matter = self._matter()
        if matter is not None:
            self.converse(self._acting(matter))

    def _acting(self, matter: Matter) -> Talk:
        acts = matter.acts or ("note",)
        if "note" not in acts:
            acts = (*acts, "note")
        act: Act = yield Choice("What was done?", [Option(*ACTS[one], one) for one in acts])
        who, place = matter.about, matter.place
        if act == "who":
            yield from self._who(matter)
        elif act == "egg check":
            yield from talks.egg_check(self, who)
        elif act == "lay box":
            yield from talks.lay_box(self, who)
        elif act == "weigh":
            yield from talks.weight(self, who, "")
        elif act == "climate":
            yield from talks.climate(self, place or who)
        elif act == "feed":
            yield from talks.food(self, who)
        elif act == "droppings":
            from rounds.logbook.entries import DroppingsSeen

            yield from fill(self, FORM_OF[DroppingsSeen], who)
        elif act == "note":
            yield from talks.note(self, who)
        else:
            about = place if act == "lamp" and place is not None else who
            yield from fill(self, FORM_OF[_FORMS[act]], about)

    def _who(self, matter: Matter) -> Talk:
        """It is known now which animal it was: the entry about the tub is replaced by one about the animal."""
        standing = self.shift.desk.standing
        place = matter.place or matter.about
        here = [one for one in standing.living_in(place) if one.startswith("animal/")]
        options = [Option(str(number), standing.name(one), one) for number, one in enumerate(here, 1)]
        seen = [one for one in matter.entries if isinstance(one, BehaviourSeen) and one.about == place]
        sightings = f" (seen {len(seen)} times)" if len(seen) > 1 else ""
        who = yield Choice(f"Who was it?{sightings}", [*options, Option("o", "somebody else …", "")])
        if not who:
            who = yield Search("Who was it?", lambda typed: find(standing, typed, "animal"))
        pending = list(seen)

        def corrected() -> tuple[Entry, ...]:
            written: tuple[Entry, ...] = ()
            while pending:  # what is written is not written again when the disk fails in between
                wrong = pending[0]
                right = draft(BehaviourSeen, who, behaviour=wrong.behaviour, toward=wrong.toward, note=wrong.note)
                written += self.shift.correct(wrong, right, f"it was {standing.name(who)}")
                pending.pop(0)
            return written

        yield Save(write=corrected, told=[f"{standing.name(who)}: {one.phrase()}" for one in seen])
        self.say(f"Written for {standing.name(who)}; the entry about the tub stays readable.", "good")

    def action_page(self) -> None:
        """The subject's page."""
        matter = self._matter()
        if matter is not None:
            self.app.open_subject(matter.about)

    def action_go_there(self) -> None:
        """Walk to the stop."""
        matter = self._matter()
        if matter is not None:
            self.app.walk_to(matter.about if matter.about != "room" else matter.place or "room")


def matter_lines(matter: Matter, shift: object, width: int) -> list[Line]:
    """One matter, whole: what, why, from which entries, by which rule, what to do, when it worsens."""
    from rounds.desk.shift import Shift

    assert isinstance(shift, Shift)
    standing, now = shift.desk.standing, shift.now()
    style = STYLE_OF_LEVEL[matter.level]
    where = f"   {standing.name(matter.place)}" if matter.place else ""
    shown: list[Line] = [
        line(" ", Span(level_word(matter.level), style), "  ", Span(standing.name(matter.about), "name"), where),
        BLANK,
    ]
    shown += [line(" ", Span(one, "name")) for one in wrap(matter.says, width - 2)]
    if matter.deadline is not None:
        shown.append(
            line(" ", Span(f"until {matter.deadline:%A %d %b, %H:%M}: {left_words(matter.deadline, now)}", style))
        )
    shown.append(BLANK)
    shown += _part("do", matter.do, width)
    if matter.worsens:
        shown += _part("worsens", (matter.worsens,), width)
    if matter.entries:
        told = tuple(
            f"{time_words(entry.at, now)} {entry.by}  {standing.name(entry.about)}  {said(standing, entry)}"
            + (f": {entry.note}" if entry.note else "")
            for entry in matter.entries
        )
        shown += _part("seen", told, width)
    else:
        shown += _part("seen", ("no entry: this is about what has not been written",), width)
    shown += _part("rule", tuple(shift.desk.house.rule(key).cite() for key in matter.house), width)
    if matter.acknowledged is not None:
        shown += _part("read", (f"{time_words(matter.acknowledged.at, now)} by {matter.acknowledged.by}",), width)
    if matter.put_off is not None:
        shown += _part(
            "put off",
            (f"until {matter.put_off.until:%d %b %Y} by {matter.put_off.by}: {matter.put_off.reason}",),
            width,
        )
    return shown


def _part(word: str, texts: tuple[str, ...], width: int) -> list[Line]:
    shown: list[Line] = []
    for text in texts:
        for row, part in enumerate(wrap(text, width - 12)):
            head = f" {word:<8} " if not shown else " " * 10
            shown.append(
                line(
                    Span(head, "quiet"),
                    "· " if row == 0 and len(texts) > 1 else "  " if len(texts) > 1 else "",
                    part,
                )
            )
    return [*shown, BLANK] if shown else shown


def _not_ahead(text: str, today: date) -> str:
    try:
        day = day_of(text, "until", today)
    except Unreadable as error:
        return str(error)
    return "" if day > today else "until: give a day that is still to come."
