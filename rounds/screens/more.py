"""Any entry, from the menu of entries; taking back; correcting; and setting up what lives in the room."""

from __future__ import annotations

from collections.abc import Generator
from typing import Any

from rounds.logbook.drafts import Draft
from rounds.logbook.entries import Moved, Parted, PutTogether
from rounds.logbook.words import EnclosureType
from rounds.paper.said import said
from rounds.screens.asks import Ask, Talk
from rounds.screens.choices import Choice, Confirm, Option
from rounds.screens.finding import finder
from rounds.screens.form import Field, Form
from rounds.screens.forms import FORMS, GROUPS, KindForm, drafts_of, fits, with_finders
from rounds.screens.saving import Save
from rounds.screens.screen import RoundScreen
from rounds.standing.animal import animal
from rounds.standing.female import female

ENCLOSURE_TYPES: tuple[EnclosureType, ...] = EnclosureType.__args__  # type: ignore[attr-defined]


def more(screen: RoundScreen, subject: str, place: str | None) -> Talk:
    """Choose a kind of entry in two keys, fill its form, write it."""
    name = screen.shift.desk.standing.name(subject)
    group = yield Choice(f"An entry about {name}", [Option(key, word, key) for key, word in GROUPS])
    forms = [form for form in FORMS if form.group == group]
    able = [form for form in forms if fits(form, subject)]
    about = subject
    if not able and place is not None:
        able, about = [form for form in forms if fits(form, place)], place
    if not able:
        screen.say(f"None of these can be said about {name}. Select an animal first.", "today")
        return
    form = yield Choice(
        f"An entry about {screen.shift.desk.standing.name(about)}",
        [Option(one.key, one.label, one) for one in able],
    )
    yield from fill(screen, form, about)


def fill(screen: RoundScreen, form: KindForm, subject: str) -> Talk:
    """Ask the form of a kind, and write it."""
    shift = screen.shift
    standing = shift.desk.standing
    fields = with_finders(form.fields, finder(standing, subject))
    clutches = female(standing, subject).clutches if subject.startswith("animal/") else ()
    if clutches:
        fields = [one._replace(given=clutches[-1].subject) if one.name == "clutch" else one for one in fields]
    title = f"{form.label[:1].upper()}{form.label[1:]}: {standing.name(subject)}"
    filled = yield Form(title, fields, now=shift.now(), zone=shift.desk.settings.zone, told=form.told)
    drafts = drafts_of(form, subject, filled, lambda: next_clutch(screen, subject))
    drafts += yield from _where_they_live(screen, subject, drafts[0])
    saved = yield Save(*drafts)
    if saved:
        screen.say(
            f"{standing.name(subject)}: {', '.join(said(shift.desk.standing, entry) for entry in saved)}", "good"
        )


def _where_they_live(screen: RoundScreen, subject: str, wanted: Draft) -> Generator[Ask, Any, list[Draft]]:
    """Put together and parted usually mean a move: it is asked, not assumed."""
    standing = screen.shift.desk.standing
    her = animal(standing, subject)
    if wanted.kind is PutTogether:
        his = animal(standing, wanted.fields["mate"])
        if her.place and his.place != her.place:
            yes = yield Confirm(
                [f"Does {his.name} move in with her, into {standing.name(her.place)}?"],
                yes="move him in",
                no="he does not move",
            )
            if yes:
                return [Draft(Moved, his.subject, {"to": her.place, "why": f"to {her.name}"}, wanted.at)]
    if wanted.kind is Parted:
        mate = wanted.fields.get("mate")
        him = animal(standing, mate) if mate else None
        if him is not None and him.place is not None and him.place == her.place:
            where = Form(
                f"Where does {him.name} go?",
                with_finders([Field("to", "to", "subject", hint="empty: he stays where he is")], finder(standing)),
                now=screen.shift.now(),
                zone=screen.shift.desk.settings.zone,
            )
            moved = yield where
            if moved.get("to"):
                return [Draft(Moved, him.subject, {"to": moved["to"], "why": f"parted from {her.name}"}, wanted.at)]
    return []


def next_clutch(screen: RoundScreen, subject: str) -> str:
    """The clutch that eggs laid now belong to: the one begun, else a new one, named by dam, year, number."""
    shift = screen.shift
    her = female(shift.desk.standing, subject)
    if her.laying is not None:
        return her.laying.subject
    short = subject.partition("/")[2][:40]
    number = 1
    while f"clutch/{short}-{shift.day.year}-{number}" in shift.desk.standing.pages:
        number += 1
    return f"clutch/{short}-{shift.day.year}-{number}"
