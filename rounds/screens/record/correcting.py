"""A mistake is answered by a correction: an entry is taken back, or the right one put in its place."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from rounds.desk.adding_up import cannot_be_taken_back, without
from rounds.desk.shift import Shift
from rounds.desk.slips import vanishing
from rounds.desk.young_door import sums_broken
from rounds.logbook.drafts import Draft
from rounds.logbook.entries import (
    Arrived,
    Ate,
    BehaviourSeen,
    Cleaned,
    ClimateRead,
    Corrected,
    Died,
    EggCheckDone,
    EnclosureSetUp,
    Entry,
    LayBoxIn,
    LayBoxOut,
    Left,
    LeftOut,
    TraitsSettled,
)
from rounds.logbook.words import EGG_SIGNS
from rounds.paper.words import time_words
from rounds.rules.house import House
from rounds.screens.prompts.asks import Talk
from rounds.screens.prompts.choices import Choice, Option
from rounds.screens.prompts.finding import find, finder
from rounds.screens.prompts.form import Field, Form
from rounds.screens.prompts.saving import Save
from rounds.screens.prompts.words import Words
from rounds.screens.record.filling import any_subject, clockwork
from rounds.screens.record.forms import FORM_OF
from rounds.screens.record.host import Host
from rounds.screens.record.kind_form import TRUTHS, KindForm, drafts_of, with_finders
from rounds.screens.record.setting_up import ENCLOSURE_FIELDS, arrival, arrival_fields
from rounds.screens.record.taking_back import in_words
from rounds.screens.record.validating import validated
from rounds.standing.fold import Standing
from rounds.standing.traits import MOST_TICKS, trait_names

#: The forms of kinds that are written with a key or two of their own, and so stand in no menu.
_FORMS: Final = {
    form.kind: form
    for form in (
        KindForm("", "", "behaviour", BehaviourSeen, (Field("behaviour", "behaviour"),)),
        KindForm("", "", "how it ate", Ate, (Field("how", "it ate"), Field("food", "food", required=True))),
        KindForm("", "", "cleaned", Cleaned, (Field("extent", "clean", required=True),)),
        KindForm(
            "",
            "",
            "climate",
            ClimateRead,
            (
                Field("basking_c", "basking spot"),
                Field("cool_c", "cool end"),
                Field("night_low_c", "night low"),
                Field("air_c", "air in the shelf"),
                Field("air_low_c", "lowest"),
                Field("air_high_c", "highest"),
                Field("humidity", "humidity"),
                Field("uv_index", "UV index"),
            ),
        ),
        KindForm(
            "",
            "",
            "egg check",
            EggCheckDone,
            (
                Field("present", "seen", "ticks", options=EGG_SIGNS, hint="its key marks what was seen"),
                Field("absent", "not seen", "ticks", options=EGG_SIGNS, hint="looked for, and not seen"),
            ),
        ),
        KindForm("", "", "lay box in", LayBoxIn, (Field("depth_cm", "depth"), Field("medium", "medium"))),
        KindForm("", "", "lay box out", LayBoxOut),
        KindForm("", "", "left out", LeftOut, (Field("reason", "why"),)),
        KindForm("", "", "enclosure set up", EnclosureSetUp, (*ENCLOSURE_FIELDS,)),
        KindForm("", "", "arrived", Arrived),
    )
}
#: Kinds that open a subject: what they are about cannot be another one.
_OPENING: Final = (Arrived, EnclosureSetUp)
_REASONS: Final = ("slip of the finger", "wrong animal", "misread", "not sure any more")


def correct(screen: Host, wrong: Entry) -> Talk:
    """Correct one entry by its form, or take it back; both stay readable."""
    shift = screen.shift
    standing = shift.desk.standing
    if isinstance(wrong, Corrected):
        screen.say("A correction is not corrected: write the entry again as it should be.", "today")
        return
    form = FORM_OF.get(type(wrong)) or _FORMS.get(type(wrong))
    options = [Option("t", "take it back: it was not so", "back")]
    if form is not None:
        options.append(Option("c", "put the right one in its place", "right"))
    entry = (
        f"{standing.name(wrong.about)}, {time_words(wrong.at, shift.now())} {wrong.by}: {in_words(standing, wrong)}"
    )
    what = yield Choice(entry, options, by_digits=False)
    instead: Draft | None = None
    if what == "right" and form is not None:
        fields = _fields(form, wrong, standing, shift.desk.house)
        # What is wrong is mostly the figure, seldom of whom it is.
        own = 1 if fields[0].name == "about" else 0
        filled = yield Form(f"As it should be: {form.label}", fields, clockwork(screen), at=own)
        instead = _instead(form, wrong, filled)
        checked = validated(shift, [instead], frozenset({wrong.id}))
        if checked.refused:
            screen.say(checked.refused, "today")
            return
        instead = checked.drafts[0]
        after = without(standing, [wrong], shift.now()).after(_in_its_place(shift, wrong, instead))
        if refused := cannot_be_taken_back(standing, after, [wrong]):
            screen.say(refused, "today")
            return
    else:
        after = without(standing, [wrong], shift.now())
        refused = vanishing(after, [wrong], standing) or sums_broken(standing, after, [wrong])[0]
        if refused:
            screen.say(refused, "today")
            return
    because = yield Words("Why?", optional=True, ready=_REASONS)
    saved = yield Save(
        write=lambda: shift.correct(wrong, instead, because),
        says=[f"corrected: {entry}"],
        judged=[instead] if instead else [],
        excluding=frozenset({wrong.id}),
    )
    if saved:
        screen.say("Corrected; both stay readable." if instead else "Taken back; it stays readable.", "good")


def _in_its_place(shift: Shift, wrong: Entry, instead: Draft) -> Entry:
    """The entry as it will be written: at the time of the wrong one, unless it brings its own."""
    right = instead if instead.at is not None else instead._replace(at=wrong.at)
    return right.entry("in-its-place", shift.now(), shift.desk.keeper)


def _fields(form: KindForm, wrong: Entry, standing: Standing, house: House) -> list[Field]:
    """The form as the wrong entry filled it; whom it is about can be put right too."""
    sorts = "|".join(form.kind.of)
    fields: Sequence[Field] = form.fields
    if isinstance(wrong, TraitsSettled):
        told = (*wrong.shows, *wrong.carries, *wrong.possible, *wrong.normal, *wrong.without)
        names = tuple(dict.fromkeys((*trait_names(house.traits, True), *told)))[:MOST_TICKS]
        fields = [field._replace(options=names) if field.sort == "ticks" else field for field in fields]
    if isinstance(wrong, Died | Left | TraitsSettled) and wrong.about.startswith("animal/"):
        fields = [field for field in fields if field.name != "count"]
    if isinstance(wrong, Arrived):
        fields = (*arrival_fields(wrong.about.partition("/")[0]), *fields)
    # Who was the male and who the female may be the mistake: each may be named in each place.
    fields = [
        field._replace(find=any_subject(standing, "animal")) if field.name in ("sire", "or_sire", "mate") else field
        for field in fields
    ]
    findable = with_finders(form.kind, fields, finder(standing, exclude=wrong.about))
    filled = [_given(field, wrong) for field in findable]
    if isinstance(wrong, _OPENING) or wrong.about == "room" or any(field.name == "clutch" for field in fields):
        return filled
    about = Field(
        "about",
        "of whom",
        "subject",
        required=True,
        given=wrong.about,
        find=lambda typed: find(standing, typed, sorts),
    )
    return [about, *filled]


def _instead(form: KindForm, wrong: Entry, filled: dict[str, Any]) -> Draft:
    """The right entry: what the form says, and what no field asks for as the wrong entry had it."""
    filled = dict(filled)
    if filled.get("when") == wrong.at.replace(second=0):
        del filled["when"]  # a time left as it was keeps its seconds
    asked = {field.name for field in form.fields} | {"clutch"}
    if isinstance(wrong, Arrived):
        asked |= {field.name for field in arrival_fields(wrong.about.partition("/")[0])} | {"hatched_about"}
        asked |= {"possible_sires"}
        filled = arrival(filled) | {"quarantine": filled.get("quarantine") == "yes"}
        if "possible_sires" in filled:  # the form has room for two of them
            more = (*filled["possible_sires"], *wrong.possible_sires[2:])
            filled["possible_sires"] = tuple(dict.fromkeys(more))
    about = filled.pop("about", wrong.about)
    own = set(type(wrong).__struct_fields__) - set(Entry.__struct_fields__)
    kept = {name: getattr(wrong, name) for name in own - asked}
    if isinstance(wrong, EggCheckDone):
        seen = filled.get("present", ())
        filled["absent"] = tuple(sign for sign in filled.get("absent", ()) if sign not in seen)
    wanted = drafts_of(form, about, filled, lambda: getattr(wrong, "clutch", ""))[0]
    return wanted._replace(fields={**kept, **wanted.fields})


def _when(wrong: Entry) -> str:
    """Its time with its offset, which alone says which of two hours in autumn it was."""
    return f"{wrong.at:%Y-%m-%d %H:%M}{wrong.at.isoformat()[-6:]}"


def _given(field: Field, wrong: Entry) -> Field:
    if field.name == "when":
        return field._replace(given=_when(wrong))
    if isinstance(wrong, Arrived) and field.name in ("sire", "or_sire") and wrong.sire is None:
        sires = dict(zip(("sire", "or_sire"), wrong.possible_sires, strict=False))
        return field._replace(given=sires.get(field.name, ""))
    value: Any = (
        wrong.about if field.name == "clutch" and "clutch" in wrong.of else getattr(wrong, field.name, None)
    )
    if value is None or value == ():
        return field
    if isinstance(value, bool):
        value = TRUTHS.get(field.name, ("no", "yes"))[value]
    elif isinstance(value, tuple):
        value = ", ".join(value)
    elif isinstance(value, float):
        value = f"{value:g}"
    elif field.about and getattr(wrong, field.about):
        value = f"{value:%Y-%m}"
    return field._replace(given=str(value))
