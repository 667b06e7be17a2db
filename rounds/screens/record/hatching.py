"""Young that hatch: written about their clutch, and into their group, in one save."""

from __future__ import annotations

from collections.abc import Generator, Mapping
from types import MappingProxyType
from typing import Any

from rounds.logbook.drafts import Draft
from rounds.logbook.entries import Arrived, Hatched
from rounds.paper.said import said
from rounds.screens.prompts.asks import Ask, Figure, Search, Talk
from rounds.screens.prompts.finding import finder
from rounds.screens.prompts.form import Form
from rounds.screens.prompts.saving import Save
from rounds.screens.prompts.words import Words
from rounds.screens.record.filling import clockwork, fields_of, title_of
from rounds.screens.record.forms import FORM_OF
from rounds.screens.record.host import Host
from rounds.screens.record.kind_form import drafts_of, with_finders
from rounds.screens.record.setting_up import new_subject
from rounds.screens.record.young import places_for_young
from rounds.standing.clutch import called, clutch
from rounds.standing.clutch_young import clutches_of_group, young_of
from rounds.standing.fold import Standing
from rounds.standing.group import group, groups_here


def hatched(
    screen: Host, subject: str, place: str | None = None, held: Mapping[str, str] = MappingProxyType({})
) -> Talk:
    """Young came out of a clutch, at a box out of its eggs there: how many, and their group, made here if need be.

    One save. `held` is what was typed into the form before.
    """
    standing = screen.shift.desk.standing
    form = FORM_OF[Hatched]
    fields = with_finders(Hatched, fields_of(screen, form, subject), finder(standing))
    asked = Form(
        title_of(form, called(standing, subject)),
        fields,
        clockwork(screen),
        told="Into group empty: its name and place are asked next.",
    )
    asked.hold(held)
    filled = yield asked
    (wanted,) = drafts_of(form, subject, filled, lambda: "")
    if place is not None and wanted.fields.get("place") is None:
        wanted = wanted._replace(fields={**wanted.fields, "place": place})
    wanted = yield from _twins(standing, wanted)
    drafts = yield from hatched_into(screen, wanted)
    saved = yield Save(*drafts)
    if saved:
        now = screen.shift.desk.standing
        words = ", ".join(f"{called(now, entry.about)}: {said(now, entry)}" for entry in saved)
        screen.say(words, "good")


def _twins(standing: Standing, wanted: Draft) -> Generator[Ask, Any, Draft]:
    """Of more young than eggs are in, it is asked out of how many eggs they came; empty says as many as young."""
    eggs, many = clutch(standing, wanted.about), wanted.fields.get("count") or 0
    here = eggs.left_in(wanted.fields["place"]) if wanted.fields.get("place") else None
    left = eggs.left_to_hatch if here is None else here
    if not eggs.boxed or many <= left:
        return wanted
    out = yield Figure(
        f"{many} young, {left} eggs in. Twins? Out of how many eggs", whole_number=True, optional=True, most=many
    )
    return wanted if out is None else wanted._replace(fields={**wanted.fields, "eggs": int(out)})


def hatched_into(screen: Host, wanted: Draft) -> Generator[Ask, Any, list[Draft]]:
    """What a hatching wants written: it and the arrival of its young, in the group named or in a new one. One save.

    `wanted` is the `hatched` draft. A name left empty leaves the young in no group yet.
    """
    standing = screen.shift.desk.standing
    eggs, hatched = clutch(standing, wanted.about), dict(wanted.fields)
    if not hatched.get("count"):
        return [wanted]
    when = (wanted.at or screen.shift.now()).date()
    # Registered before they were written as hatched: they are in their group already.
    waiting = young_of(standing, wanted.about).unhatched
    into, members = hatched.get("into"), {"count": max(0, hatched["count"] - waiting)}
    if not members["count"]:
        return [wanted]
    if into is None:
        name = yield Words(
            "Into which group? Its name",
            offered=_name_for(standing, wanted.about),
            optional=True,
        )
        if not name:
            return [wanted]
        named = [one for one in groups_here(standing) if one.name.casefold() == name.casefold()]
        same = [one for one in named if wanted.about in clutches_of_group(standing, one)]
        into = same[0].subject if same else new_subject(screen, "group", name)
        if not same:
            place = yield Search(f"Where does {name} live", places_for_young(standing))
            members |= {"name": name, "place": place, "hatched": when}
    old = group(standing, into)
    if old.arrived is not None:
        members |= {
            "name": old.name,
            "hatched": old.hatched or when,
            "quarantine": old.quarantine_since is not None,
        }
        if old.place:
            members["place"] = old.place
    members |= {"name": members.get("name", standing.name(into)), "bred_here": True, "clutch": wanted.about}
    members |= {"dam": eggs.dam} if eggs.dam else {}
    members |= {"sire": eggs.sire} if eggs.sire else {}
    return [
        wanted._replace(fields={**hatched, "into": into}),
        Draft(Arrived, into, members, wanted.at),
    ]


def _name_for(standing: Standing, eggs: str) -> str:
    name = standing.name(eggs)
    one = clutch(standing, eggs)
    base = f"{standing.name(one.dam)} young" if one.dam else f"{name} young"
    return f"{name} young" if any(young.name == base for young in groups_here(standing)) else base
