"""The form of an entry kind, and how a filled form becomes drafts."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime
from typing import Any, Final, NamedTuple

from rounds.logbook.drafts import Draft
from rounds.logbook.entries import Candled, EggsBoxed, EggsLaid, EggsLost, EggsSeen, Entry, Hatched
from rounds.logbook.members import members
from rounds.screens.prompts.fields import WHEN, Field, Sort


class KindForm(NamedTuple):
    """One entry kind in the menu of entries: its group, its letter, its label, and what is asked."""

    group: str
    key: str
    label: str
    kind: type[Entry]
    #: What is asked beside the time and a note. A field is named as the member it fills; how it is read, its words,
    #: its unit and its limit are the member's own unless the field says otherwise.
    asked: tuple[Field, ...] = ()
    told: str = ""

    @property
    def fields(self) -> tuple[Field, ...]:
        """The whole form, in the order in which it is filled."""
        own = tuple(_of_its_member(self.kind, field) for field in self.asked)
        note = () if any(field.name == NOTE.name for field in own) else (NOTE,)
        return (*own, WHEN, *note)


NOTE = Field("note", "note", several=True)
ALL: Final = "how many of the group; nothing is taken for granted"
#: Members that are true or false, and the words for each: false, then true.
TRUTHS: Final[dict[str, tuple[str, str]]] = {
    "complete": ("not yet", "complete"),
    "carrying": ("no", "yes"),
    "scrubbed": ("fresh water", "dish scrubbed too"),
    "clear": ("not clear", "clear"),
    "up_marked": ("not marked", "marked"),
    "for_good": ("this season", "for good"),
    "in_box": ("in no box", "in a box"),
    "only_held": ("reserved too", "held back only"),
}
#: Of which sex the animal is that a member of this name names.
_SEXES: Final[dict[str, str]] = {"sire": "M", "mate": "M", "dam": "F"}
#: How a form asks for what a member holds.
_ASKED_AS: Final[dict[str, Sort]] = {
    "whole": "whole",
    "figure": "figure",
    "truth": "choice",
    "day": "date",
    "word": "choice",
    "subject": "subject",
}


def _of_its_member(kind: type[Entry], field: Field) -> Field:
    """A field as the member it fills has it; one that says how it is read stands as it is."""
    member = members(kind).get(field.name)
    if member is None or field.sort != "text":
        return field
    return field._replace(
        sort="ticks" if member.many else _ASKED_AS.get(member.sort, "text"),
        required=field.required or member.needed,
        options=TRUTHS[field.name] if member.sort == "truth" else member.words,
        unit=member.unit,
        most=member.most,
    )


def fits(form: KindForm, subject: str) -> bool:
    """Whether an entry of this form may be about the subject (eggs boxed from her page ask for the clutch)."""
    sort = subject.partition("/")[0]
    return sort in form.kind.of or ("clutch" in form.kind.of and sort in ("animal", "enclosure"))


def drafts_of(form: KindForm, subject: str, filled: dict[str, Any], next_clutch: Callable[[], str]) -> list[Draft]:
    """What a filled form wants written. `next_clutch` names the clutch that eggs laid belong to."""
    fields = dict(filled)
    when: datetime | None = fields.pop("when", None)
    about = subject
    for member, words in TRUTHS.items():
        if fields.get(member) == "":  # left out: neither is said
            del fields[member]
        elif isinstance(fields.get(member), str):  # a count may have the name of a truth
            fields[member] = fields[member] == words[1]
    if form.kind is EggsLaid:
        fields["clutch"] = next_clutch()
    if form.kind in (EggsBoxed, EggsLost, Hatched, Candled, EggsSeen):
        about = fields.pop("clutch", subject)
    return [Draft(form.kind, about, fields, when)]


def with_finders(kind: type[Entry], fields: Sequence[Field], finder: Callable[[str], Any]) -> list[Field]:
    """The fields of a form of this kind with what looks subjects up put in, where nothing else does."""
    return [
        field._replace(find=field.find or finder(_named_by(kind, field.name))) if field.sort == "subject" else field
        for field in fields
    ]


def _named_by(kind: type[Entry], name: str) -> str:
    """Which subjects a field may name, as a finder takes it: `enclosure`, `animal:M`."""
    name = name.removeprefix("or_")  # another one who may be it instead
    member = members(kind).get(name)
    # A form may ask for what the entry is about under its sort: the clutch that was boxed.
    sort = member.names if member is not None else name
    return f"{sort}:{_SEXES[name]}" if name in _SEXES else sort
