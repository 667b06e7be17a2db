"""Any entry, from the menu of entries; taking back; correcting; and setting up what lives in the room."""

from __future__ import annotations

from collections.abc import Generator, Sequence
from typing import Any

from rounds.errors import NotSaved
from rounds.logbook.drafts import Draft, draft
from rounds.logbook.entries import Arrived, Corrected, EnclosureSetUp, Entry, Moved, Parted, PutTogether
from rounds.logbook.plain import slug
from rounds.logbook.words import EnclosureType
from rounds.paper.said import said
from rounds.paper.words import time_words
from rounds.screens.asks import Ask, Talk, Words
from rounds.screens.choices import Choice, Confirm, Option
from rounds.screens.finding import finder
from rounds.screens.form import WHEN, Field, Form
from rounds.screens.forms import FORM_OF, FORMS, GROUPS, KindForm, drafts_of, fits, with_finders
from rounds.screens.screen import RoundScreen, Save
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


def take_back(screen: RoundScreen, wrong: Sequence[Entry]) -> Talk:
    """Take back what was saved last; it is shown before."""
    shift = screen.shift
    standing = shift.desk.standing
    told = [f"{standing.name(entry.about)}: {said(standing, entry)}" for entry in wrong]
    first = time_words(wrong[0].written or wrong[0].at, shift.now())
    yes = yield Confirm([f"Take back what you wrote at {first}?", *told[:8]], yes="take it back", no="leave it")
    if not yes:
        return
    while True:
        try:
            shift.take_back()
            break
        except NotSaved as error:
            again = yield Confirm([f"NOT SAVED. {error}"], yes="try again", no="leave it as it is", style="vet")
            if not again:
                return
    screen.say(f"Taken back: {'; '.join(told)}", "good")


def correct(screen: RoundScreen, wrong: Entry) -> Talk:
    """Correct one entry by its form, or take it back; both stay readable."""
    shift = screen.shift
    standing = shift.desk.standing
    if isinstance(wrong, Corrected):
        screen.say("A correction is not corrected: write the entry again as it should be.", "today")
        return
    form = FORM_OF.get(type(wrong))
    options = [Option("t", "take it back: it was not so", "back")]
    if form is not None and fits(form, wrong.about):
        options.append(Option("c", "put the right one in its place", "right"))
    what = yield Choice(
        f"{standing.name(wrong.about)}, {time_words(wrong.at, shift.now())} {wrong.by}: {said(standing, wrong)}",
        options,
    )
    instead: Draft | None = None
    if what == "right" and form is not None:
        fields = [_given(field, wrong) for field in with_finders(form.fields, finder(standing))]
        filled = yield Form(
            f"As it should be: {form.label}", fields, now=shift.now(), zone=shift.desk.settings.zone
        )
        clutch = getattr(wrong, "clutch", "")
        instead = drafts_of(form, wrong.about, filled, lambda: clutch)[0]
    because = yield Words(
        "Why?", optional=True, ready=("slip of the finger", "wrong animal", "misread", "not sure any more")
    )
    while True:
        try:
            shift.correct(wrong, instead, because)
            break
        except NotSaved as error:
            again = yield Confirm([f"NOT SAVED. {error}"], yes="try again", no="leave it as it is", style="vet")
            if not again:
                return
    screen.say("Corrected; both stay readable." if instead else "Taken back; it stays readable.", "good")


def _given(field: Field, wrong: Entry) -> Field:
    if field.name == "when":
        return field._replace(given=f"{wrong.at:%Y-%m-%d %H:%M}")
    value: Any = getattr(wrong, field.name, None)
    if value is None or value == ():
        return field
    if isinstance(value, bool):
        value = {"complete": ("not yet", "complete"), "carrying": ("no", "yes")}.get(field.name, ("no", "yes"))[
            value
        ]
    if isinstance(value, float):
        value = f"{value:g}"
    return field._replace(given=str(value))


# Setting up


def set_up(screen: RoundScreen, place: str | None) -> Talk:
    """Set up an enclosure, or register an animal or a group."""
    what = yield Choice(
        "Set up",
        [
            Option("e", "an enclosure: tub, tank, bin, lay box, shelf, egg box", "enclosure"),
            Option("a", "an animal", "animal"),
            Option("g", "a group counted together", "group"),
        ],
    )
    if what == "enclosure":
        yield from set_up_enclosure(screen)
    else:
        yield from register(screen, what, place)


def set_up_enclosure(screen: RoundScreen) -> Talk:
    """The form of an enclosure; the next one can follow at once."""
    shift = screen.shift
    rack, what = "", "tub"
    while True:
        fields = [
            Field("name", "name", required=True, hint="what is written on it, such as B3"),
            Field("what", "what", "choice", required=True, options=ENCLOSURE_TYPES, given=what),
            Field("rack", "rack", given=rack, hint="such as B; empty for open tubs"),
            Field("where", "where", hint="such as by the door"),
            Field("order", "walking order", "figure", hint="a number; empty: by rack and name"),
            Field("tag", "label", hint="what a scanner reads from its label, if it has one"),
        ]
        filled = yield Form("Set up an enclosure", fields, now=shift.now(), zone=shift.desk.settings.zone)
        subject = new_subject(screen, "enclosure", filled["name"])
        saved = yield Save(draft(EnclosureSetUp, subject, **filled))
        if not saved:
            return
        rack, what = filled.get("rack", ""), filled["what"]
        screen.app.enclosure_added(subject)
        again = yield Confirm([f"{filled['name']} is set up."], yes="another one", no="done", style="good")
        if not again:
            return


def register(screen: RoundScreen, sort: str, place: str | None) -> Talk:
    """The form of an animal or a group; the next one can follow at once."""
    shift = screen.shift
    while True:
        standing = shift.desk.standing
        fields = [
            Field("name", "name", required=True),
            Field("place", "lives in", "subject", required=True, given=place or ""),
            *(
                [Field("sex", "sex", "choice", required=True, options=("F", "M", "?"), given="?")]
                if sort == "animal"
                else []
            ),
            *([Field("count", "how many", "whole", required=True)] if sort == "group" else []),
            Field("hatched", "hatched", "date", hint="2024-05-12, or only 2024-05 or 2024", about="hatched_about"),
            Field("origin", "from", hint="who it came from; empty when bred here"),
            Field("quarantine", "quarantine", "choice", required=True, options=("no", "yes"), given="no"),
            *(
                [
                    Field("sire", "sire", "subject"),
                    Field("dam", "dam", "subject"),
                    Field("traits", "traits", hint="such as leatherback; several parted by commas"),
                ]
                if sort == "animal"
                else [Field("clutch", "clutch", "subject")]
            ),
            Field("tag", "label", hint="what a scanner reads from its label, if it has one"),
            WHEN,
        ]
        filled = yield Form(
            f"Register {'an animal' if sort == 'animal' else 'a group'}",
            with_finders(fields, finder(standing)),
            now=shift.now(),
            zone=shift.desk.settings.zone,
        )
        when = filled.pop("when", None)
        filled["quarantine"] = filled["quarantine"] == "yes"
        filled["bred_here"] = not filled.get("origin")
        if "traits" in filled:
            filled["traits"] = tuple(word.strip() for word in filled["traits"].split(",") if word.strip())
        subject = new_subject(screen, sort, filled["name"])
        saved = yield Save(Draft(Arrived, subject, filled, when))
        if not saved:
            return
        place = filled["place"]
        screen.app.walk_screen.paint()
        again = yield Confirm(
            [f"{filled['name']} lives in {shift.desk.standing.name(place)}."],
            yes="another one",
            no="done",
            style="good",
        )
        if not again:
            return


def new_subject(screen: RoundScreen, sort: str, name: str) -> str:
    """An id that no subject has yet, from the name on it."""
    base = slug(name) or sort
    pages = screen.shift.desk.standing.pages
    subject, number = f"{sort}/{base}", 2
    while subject in pages:
        subject = f"{sort}/{base[:55]}-{number}"
        number += 1
    return subject
