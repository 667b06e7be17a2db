"""Any entry, from the menu of entries."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from rounds.logbook.entries import (
    ROOM,
    AppointmentEnded,
    Counted,
    EggBoxMadeUp,
    Entry,
    Hatched,
    Merged,
    SingledOut,
    SplitOff,
)
from rounds.paper.subject import called
from rounds.screens.prompts.asks import Talk
from rounds.screens.prompts.choices import Choice, Option
from rounds.screens.record.egg_boxes import make_up
from rounds.screens.record.filling import fill
from rounds.screens.record.forms import FORM_OF, FORMS, GROUPS
from rounds.screens.record.hatching import hatched
from rounds.screens.record.host import Host
from rounds.screens.record.kind_form import fits
from rounds.screens.record.stock import ended
from rounds.screens.record.young import count, merge, single_out, split
from rounds.standing.appointments import appointments


def _made_up(screen: Host, about: str) -> Talk:
    yield from make_up(screen, about, earlier=fill(screen, FORM_OF[EggBoxMadeUp], about))


def _appointment_ended(screen: Host, about: str) -> Talk:
    """One that waits is asked about by its day; with none, its day is typed: it may stand on no sheet."""
    if next(iter(appointments(screen.shift.desk.standing.page(about)).waiting()), None) is None:
        yield from fill(screen, FORM_OF[AppointmentEnded], about)
    else:
        yield from ended(screen, about)


#: Kinds that are asked in a talk of their own.
TALKS: Final[dict[type[Entry], Callable[[Host, str], Talk]]] = {
    AppointmentEnded: _appointment_ended,
    Counted: count,
    EggBoxMadeUp: _made_up,
    Hatched: hatched,
    Merged: merge,
    SingledOut: single_out,
    SplitOff: split,
}


def more(screen: Host, subject: str, place: str | None) -> Talk:
    """Choose a kind of entry in two keys, fill its form, write it.

    What cannot be said of the animal selected is said of its enclosure (a lamp changed, say), else of the room.
    """
    standing = screen.shift.desk.standing
    name = called(standing, subject)
    # A supply lives nowhere: what is said on its page is about it alone.
    alone = subject.startswith("supply/")
    wanted = (subject,) if alone else (subject, place, ROOM)
    groups = [
        one for one in GROUPS if not alone or any(form.group == one[0] and fits(form, subject) for form in FORMS)
    ]
    if len(groups) == 1:
        group = groups[0][0]
    else:
        group = yield Choice(f"An entry about {name}", [Option(key, word, key) for key, word in groups])
    able = [
        (form, who)
        for form in FORMS
        if form.group == group
        for who in [next((one for one in wanted if one is not None and fits(form, one)), None)]
        if who is not None
    ]
    if not able:
        screen.say(f"None of these can be said about {name}. Select an animal first.", "today")
        return
    form, about = yield Choice(
        f"An entry about {name}",
        [
            Option(form.key, form.label + (f" ({called(standing, who)})" if who != subject else ""), (form, who))
            for form, who in able
        ],
    )
    talk = TALKS.get(form.kind)
    if talk is not None:
        yield from talk(screen, about)
    else:
        yield from fill(screen, form, about)
