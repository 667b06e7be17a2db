"""The form of an entry kind, and how a filled form becomes drafts."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime
from typing import Any, Final, NamedTuple

from rounds.logbook.drafts import Draft
from rounds.logbook.entries import EggsBoxed, EggsLaid, EggsLost, Entry, Hatched
from rounds.screens.prompts.fields import Field


class KindForm(NamedTuple):
    """One entry kind in the menu of entries: its group, its letter, its label and its fields."""

    group: str
    key: str
    label: str
    kind: type[Entry]
    fields: tuple[Field, ...]
    told: str = ""


NOTE = Field("note", "note")
ALL: Final = "how many of the group; nothing is taken for granted"
COUNTED: Final = "If fewer are there than were, it is asked whether they died or left."
#: Members that are true or false, and the words for each: false, then true.
TRUTHS: Final[dict[str, tuple[str, str]]] = {
    "complete": ("not yet", "complete"),
    "carrying": ("no", "yes"),
    "scrubbed": ("fresh water", "dish scrubbed too"),
    "clear": ("not clear", "clear"),
}

#: Which subjects a field of this name may name.
FIELD_SORTS: Final[dict[str, str]] = {
    "sire": "animal:M",
    "mate": "animal:M",
    "dam": "animal:F",
    "to": "enclosure",
    "place": "enclosure",
    "into": "group",
    "clutch": "clutch",
}


def fits(form: KindForm, subject: str) -> bool:
    """Whether an entry of this form may be about the subject (eggs boxed from her page ask for the clutch)."""
    sort = subject.partition("/")[0]
    if form.label == "counted":
        return sort == "group"
    return sort in form.kind.of or ("clutch" in form.kind.of and sort in ("animal", "enclosure"))


def drafts_of(form: KindForm, subject: str, filled: dict[str, Any], next_clutch: Callable[[], str]) -> list[Draft]:
    """What a filled form wants written. `next_clutch` names the clutch that eggs laid belong to."""
    fields = dict(filled)
    when: datetime | None = fields.pop("when", None)
    about = subject
    for member, words in TRUTHS.items():
        if member in fields:
            fields[member] = fields[member] == words[1]
    if form.label == "counted":
        told = fields.get("note")
        fields = {"note": f"counted {fields['count']}" + (f": {told}" if told else "")}
    if form.kind is EggsLaid:
        fields["clutch"] = next_clutch()
    if form.kind in (EggsBoxed, EggsLost, Hatched):
        about = fields.pop("clutch", subject)
    return [Draft(form.kind, about, fields, when)]


def with_finders(fields: Sequence[Field], finder: Callable[[str], Any]) -> list[Field]:
    """The fields with what looks subjects up put in, where nothing else does."""
    return [
        field._replace(find=field.find or finder(FIELD_SORTS.get(field.name, "")))
        if field.sort == "subject"
        else field
        for field in fields
    ]
