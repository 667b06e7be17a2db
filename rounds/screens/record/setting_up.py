"""Setting up what stands and lives in the room, so that a colony can be started with nothing but the app."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

from rounds.logbook.drafts import Draft, draft
from rounds.logbook.entries import Arrived, EnclosureSetUp, PedigreeNoted
from rounds.logbook.plain import slug
from rounds.logbook.words import EnclosureType
from rounds.screens.prompts.asks import Talk
from rounds.screens.prompts.choices import Choice, Confirm, Option
from rounds.screens.prompts.finding import finder
from rounds.screens.prompts.form import WHEN, Field, Form
from rounds.screens.prompts.saving import Save
from rounds.screens.record.filling import clockwork
from rounds.screens.record.host import Host
from rounds.screens.record.kind_form import with_finders

_TYPES: tuple[EnclosureType, ...] = EnclosureType.__args__  # type: ignore[attr-defined]
#: Since when it has been here. A colony that starts now writes last season's entries too, which need it.
SINCE: Final = WHEN._replace(
    label="here since", hint="empty: now · 3 nov · 12.10.2025 · 2024-05-01: what was before today"
)
ENCLOSURE_FIELDS: Final = (
    Field("name", "name", required=True, hint="what is written on it, such as B3"),
    Field("what", "what", "choice", required=True, options=_TYPES, given="tub"),
    Field("rack", "rack", hint="such as B; empty for open tubs"),
    Field("where", "where", hint="such as by the door"),
    Field("order", "walking order", "figure", hint="a number; empty: by rack and name"),
    Field("tag", "label", hint="what a scanner reads from its label, if it has one"),
)

ANCESTOR_FIELDS: Final = (
    Field("name", "name", required=True),
    Field("sex", "sex", "choice", options=("F", "M", "?"), given="?"),
    Field("hatched", "hatched", "date", hint="2024-05-12 · or only 2024-05 or 2024", about="hatched_about"),
    Field("sire", "sire", "subject"),
    Field("or_sire", "or sire", "subject", hint="another male who may be the sire instead"),
    Field("dam", "dam", "subject"),
    Field("origin", "from", hint="who bred it"),
    Field("traits", "traits", hint="such as leatherback or 66 % het albino; several parted by commas"),
)


def arrival_fields(sort: str, place: str = "") -> tuple[Field, ...]:
    """What is asked of an animal or a group that is in the colony from here on."""
    alone = sort == "animal"
    return (
        Field("name", "name", required=True),
        Field("place", "lives in", "subject", required=True, given=place),
        Field("sex", "sex", "choice", required=True, options=("F", "M", "?"), given="?")
        if alone
        else Field("count", "how many", "whole", required=True),
        Field(
            "hatched", "hatched", "date", hint="2024-05-12 · 3 nov · or only 2024-05 or 2024", about="hatched_about"
        ),
        Field("origin", "from", hint="who it came from; empty when bred here"),
        Field(
            "quarantine",
            "quarantine",
            "choice",
            options=("no", "yes"),
            hint="empty: asked when it came from elsewhere",
        ),
        *(
            (
                Field("sire", "sire", "subject"),
                Field("or_sire", "or sire", "subject", hint="another male who may be the sire instead"),
                Field("dam", "dam", "subject"),
                Field("traits", "traits", hint="such as leatherback or 66 % het albino; several parted by commas"),
            )
            if alone
            else (Field("clutch", "clutch", "subject"),)
        ),
        Field("tag", "label", hint="what a scanner reads from its label, if it has one"),
    )


def arrival(filled: dict[str, Any]) -> dict[str, Any]:
    """The members of an arrival that these fields give, but for the quarantine."""
    members = dict(filled)
    members["bred_here"] = not members.get("origin")
    other = members.pop("or_sire", None)
    if other is not None:
        sires = dict.fromkeys(one for one in (members.pop("sire", None), other) if one is not None)
        members["possible_sires"] = tuple(sires)
    if "traits" in members:
        members["traits"] = tuple(word.strip() for word in members["traits"].split(",") if word.strip())
    return members


def set_up(screen: Host, place: str | None, added: Callable[[str], None]) -> Talk:
    """Set up an enclosure, or register an animal or a group. `added` hears of each enclosure set up."""
    what = yield Choice(
        "Set up",
        [
            Option("e", "an enclosure: tub, tank, bin, lay box, shelf, egg box", "enclosure"),
            Option("a", "an animal", "animal"),
            Option("g", "a group counted together", "group"),
            Option("p", "an ancestor that never lived here, from papers", "ancestor"),
        ],
    )
    if what == "enclosure":
        yield from set_up_enclosure(screen, added)
    elif what == "ancestor":
        yield from note_ancestor(screen)
    else:
        yield from register(screen, what, place)


def set_up_enclosure(screen: Host, added: Callable[[str], None]) -> Talk:
    """The form of an enclosure; the next one can follow at once."""
    rack, what, when = "", "tub", ""
    while True:
        given = {"rack": rack, "what": what}
        given["when"] = when
        fields = [field._replace(given=given.get(field.name, "")) for field in (*ENCLOSURE_FIELDS, SINCE)]
        form = Form("Set up an enclosure", fields, clockwork(screen))
        filled = yield form
        # What was there before today was mostly set up on one day: the next one is offered that day.
        when, since = form.typed["when"], filled.pop("when", None)
        subject = new_subject(screen, "enclosure", filled["name"])
        saved = yield Save(draft(EnclosureSetUp, subject, since, **filled))
        if not saved:
            return
        rack, what = filled.get("rack", ""), filled["what"]
        added(subject)
        again = yield Confirm([f"{filled['name']} is set up."], yes="another one", no="done", style="good")
        if not again:
            return


def register(screen: Host, sort: str, place: str | None) -> Talk:
    """The form of an animal or a group; the next one can follow at once."""
    shift = screen.shift
    since = ""
    while True:
        standing = shift.desk.standing
        fields = [*arrival_fields(sort, place or ""), SINCE._replace(given=since)]
        form = Form(
            f"Register {'an animal' if sort == 'animal' else 'a group'}",
            with_finders(Arrived, fields, finder(standing)),
            clockwork(screen),
        )
        filled = yield form
        since, when = form.typed["when"], filled.pop("when", None)
        filled = arrival(filled)
        answer = filled.get("quarantine")
        filled["quarantine"] = answer == "yes"
        if answer is None and filled.get("origin"):
            filled["quarantine"] = yield Confirm(
                [f"{filled['name']} comes from {filled['origin']}. Does it go into quarantine?"],
                yes="quarantine from now",
                no="no",
            )
        subject = new_subject(screen, sort, filled["name"])
        saved = yield Save(Draft(Arrived, subject, filled, when))
        if not saved:
            return
        place = filled["place"]
        again = yield Confirm(
            [f"{filled['name']} lives in {shift.desk.standing.name(place)}."],
            yes="another one",
            no="done",
            style="good",
        )
        if not again:
            return


def note_ancestor(screen: Host) -> Talk:
    """The form of an ancestor that never lived here; the next one can follow at once."""
    shift = screen.shift
    while True:
        standing = shift.desk.standing
        form = Form(
            "An ancestor that never lived here",
            with_finders(PedigreeNoted, ANCESTOR_FIELDS, finder(standing)),
            clockwork(screen),
            told="Its parents first, then it can name them. It counts in no stock and needs no care.",
        )
        filled = arrival((yield form))
        del filled["bred_here"]
        saved = yield Save(draft(PedigreeNoted, new_subject(screen, "animal", filled["name"]), **filled))
        if not saved:
            return
        again = yield Confirm([f"{filled['name']} is noted."], yes="another one", no="done", style="good")
        if not again:
            return


def new_subject(screen: Host, sort: str, name: str) -> str:
    """An id that no subject has yet, from the name on it."""
    base = slug(name) or sort
    pages = screen.shift.desk.standing.pages
    subject, number = f"{sort}/{base}", 2
    while subject in pages:
        subject = f"{sort}/{base[:55]}-{number}"
        number += 1
    return subject
