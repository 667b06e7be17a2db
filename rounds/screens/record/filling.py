"""Filling the form of an entry: what its fields offer first, and what belongs to it beside the entry itself."""

from __future__ import annotations

from collections.abc import Generator, Mapping
from types import MappingProxyType
from typing import Any

from rounds.desk.validation import wrong_sex
from rounds.due.fitness import fit_to_pair
from rounds.logbook.drafts import Draft, draft
from rounds.logbook.entries import (
    Candled,
    Died,
    EggBoxWeighed,
    EggsBoxed,
    EggsLaid,
    EggsSeen,
    Hatched,
    Left,
    MatingSeen,
    Moved,
    Parted,
    PedigreeNoted,
    PutTogether,
    TraitsSettled,
    VetCalled,
    VetSeen,
)
from rounds.paper.said import said
from rounds.screens.prompts.asks import Ask, Found, Search, Talk
from rounds.screens.prompts.choices import Choice, Confirm, Option
from rounds.screens.prompts.fields import Clockwork, Field
from rounds.screens.prompts.finding import find, finder
from rounds.screens.prompts.form import Form
from rounds.screens.prompts.saving import Save
from rounds.screens.record.host import Host
from rounds.screens.record.kind_form import KindForm, drafts_of, with_finders
from rounds.screens.record.offers import (
    Finder,
    clutches_for,
    mate_before,
    mates_for,
    mates_of,
    mates_to_pair,
    place_before,
    places_for,
    sires_for,
)
from rounds.screens.record.validating import validated
from rounds.standing.animal import animal
from rounds.standing.clutch import called, clutch
from rounds.standing.enclosure import enclosure
from rounds.standing.female import female
from rounds.standing.fold import Standing
from rounds.standing.group import groups_here
from rounds.standing.sires import likely_sires
from rounds.standing.traits import trait_names


def clockwork(screen: Host) -> Clockwork:
    """What times are read by, in this colony and now."""
    settings = screen.shift.desk.settings
    return Clockwork(screen.shift.now(), settings.zone, settings.date_order, settings.house.currency)


def title_of(form: KindForm, name: str) -> str:
    """The heading of a form about a subject of this name."""
    return f"{form.label[:1].upper()}{form.label[1:]}: {name}"


def fill(screen: Host, form: KindForm, subject: str, held: Mapping[str, str] = MappingProxyType({})) -> Talk:
    """Ask the form of a kind, and write it. `held` is what was typed into its fields before."""
    shift = screen.shift
    standing = shift.desk.standing
    refused = wrong_sex(standing, form.kind, subject)
    if refused:
        screen.say(refused, "today")
        return
    # On a clutch's own page the clutch is asked for all the same.
    exclude = "" if subject.startswith("clutch/") else subject
    fields = with_finders(form.kind, fields_of(screen, form, subject), finder(standing, exclude))
    told = _boxed_before(standing, subject) if form.kind is EggsBoxed else form.told
    if form.kind is PutTogether and subject.startswith("animal/"):
        told = f"{standing.name(subject)}: {fit_to_pair(standing, shift.desk.house, shift.now(), subject).says}."
    title = title_of(form, called(standing, subject))
    if (
        form.kind in (PutTogether, Parted)
        and subject.startswith("animal/")
        and animal(standing, subject).sex == "M"
    ):
        title = title.replace(" a male", " a female", 1)
    asked = Form(title, fields, clockwork(screen), told=told)
    asked.hold(held)
    filled = yield asked
    drafts = drafts_of(form, subject, filled, lambda: next_clutch(screen, subject))
    if form.kind is PutTogether and not (yield from cautioned(screen, drafts)):
        screen.say("Not written.", "today")
        return
    drafts += yield from _where_they_live(screen, subject, drafts[0])
    saved = yield Save(*drafts)
    if saved:
        standing = shift.desk.standing
        written = ", ".join(said(standing, entry) for entry in saved)
        screen.say(f"{standing.name(saved[0].about)}: {written}", "good")


def cautioned(screen: Host, drafts: list[Draft]) -> Generator[Ask, Any, bool]:
    """Say what speaks against a pairing before anything else is asked; whether it is to be written all the same.

    What was agreed to here is not asked again when it is saved.
    """
    found = validated(screen.shift, drafts)
    if found.refused or not found.asked:
        return True
    answer = yield Confirm(found.asked, yes="put them together", no="do not", by_enter=False)
    return answer is True


def fields_of(screen: Host, form: KindForm, subject: str) -> list[Field]:
    """The fields as this subject needs them, with what is likeliest in them."""
    standing = screen.shift.desk.standing
    given, found = _offered(screen, form, subject)
    fields: list[Field] = []
    for field in form.fields:
        if field.name == "count" and form.kind in (Died, Left, TraitsSettled) and subject.startswith("animal/"):
            continue
        if form.kind is TraitsSettled and field.sort == "ticks":
            field = field._replace(options=trait_names(screen.shift.desk.house.traits, field.name == "shows"))
        if field.name in given:
            field = field._replace(given=given[field.name])
        if field.name in found:
            field = field._replace(find=found[field.name])
        if (
            field.name in ("mate", "sire")
            and form.kind is not PedigreeNoted  # his own sire
            and subject.startswith("animal/")
            and animal(standing, subject).sex == "M"
        ):
            field = field._replace(label="female", hint="she is the one it is about; it is turned round")
        fields.append(field)
    return fields


def _offered(screen: Host, form: KindForm, subject: str) -> tuple[dict[str, str], dict[str, Any]]:
    """What fields hold already, and what looks up who is meant, those who are there first."""
    standing = screen.shift.desk.standing
    given: dict[str, str] = {}
    found: dict[str, Any] = {}
    if form.kind in (MatingSeen, PutTogether, Parted, EggsLaid):
        member = "mate" if form.kind in (PutTogether, Parted) else "sire"
        house, now = screen.shift.desk.house, screen.shift.now()
        found[member] = mates_for(standing, subject)
        if form.kind is PutTogether and subject.startswith("animal/"):
            found[member] = mates_to_pair(standing, house, now, subject)
        if form.kind is EggsLaid and subject.startswith("animal/"):
            found[member] = sires_for(standing, house, now, subject)
            given |= _likely_sire(screen, subject)
        with_it = mates_of(standing, subject)
        if len(with_it) == 1 and form.kind is not EggsLaid:
            given[member] = with_it[0]
        elif form.kind is PutTogether and (last := _again_with(screen, subject)) is not None:
            given[member] = last
    if form.kind is Moved:
        found["to"] = places_for(standing, subject)
        back = place_before(standing, subject)
        if back is not None:
            given["to"] = back
    if any(field.name == "clutch" for field in form.fields):
        given |= _of_a_clutch(standing, form, subject)
    if form.kind in (VetCalled, VetSeen) and screen.shift.desk.house.vet:
        given["vet"] = screen.shift.desk.house.vet
    return given, found


def _again_with(screen: Host, subject: str) -> str | None:
    """With whom it was paired last, unless anything speaks against that one now, such as the week apart."""
    desk = screen.shift.desk
    last = mate_before(desk.standing, subject)
    if last is None or fit_to_pair(desk.standing, desk.house, screen.shift.now(), last).answer == "no":
        return None
    return last


def _likely_sire(screen: Host, subject: str) -> dict[str, str]:
    """The sire that stands in the form: of the clutch begun, else the likeliest of those who may be."""
    standing, house = screen.shift.desk.standing, screen.shift.desk.house
    her = female(standing, subject, house.breeding_days)
    if her.laying is not None and her.laying.sire is not None:
        return {"sire": her.laying.sire}
    likely = likely_sires(her, screen.shift.now())
    return {"sire": likely[0].subject} if likely else {}


def _of_a_clutch(standing: Standing, form: KindForm, subject: str) -> dict[str, str]:
    likely = clutches_for(standing, subject)
    if not likely:
        return {}
    given = {"clutch": likely[0]}
    eggs = clutch(standing, likely[0])
    if form.kind is EggsBoxed:
        if (left := eggs.unboxed or eggs.left_to_hatch) > 0:
            given["count"] = str(left)
        place = _egg_place(standing)
        if place is not None:
            given["place"] = place
    from rounds.standing.egg_boxes import is_egg_box  # late: no start has to wait for it

    if form.kind is EggBoxWeighed and is_egg_box(standing, subject):
        return {}  # only of a box without a name it is asked whose
    if form.kind in (EggsBoxed, Candled, EggsSeen) and is_egg_box(standing, subject):
        given["place"] = subject
    if form.kind is Hatched:
        into = [
            young.subject for young in groups_here(standing) if young.arrived and young.arrived.clutch == likely[0]
        ]
        if into:
            given["into"] = into[0]
    return given


def _boxed_before(standing: Standing, subject: str) -> str:
    """Where the eggs of the clutch that is offered lie already."""
    for one in clutches_for(standing, subject)[:1]:
        eggs = clutch(standing, one)
        places = list(dict.fromkeys(standing.name(box.place) for box in eggs.in_boxes.boxes if box.place))
        if eggs.left_to_hatch:
            where = f" in {', '.join(places)}" if places else ""
            waits = eggs.unboxed or "none"
            return f"{called(standing, one)}: {eggs.left_to_hatch} are boxed{where}, {waits} in no box."
    return ""


def _egg_place(standing: Standing) -> str | None:
    """The shelf or egg box that eggs were last put into, or the only one there is."""
    holds = [
        place
        for place in standing.subjects("enclosure")
        if standing.card(place).here and not enclosure(standing, place).holds_animals
    ]
    last = {place: entries[-1] for place in holds if (entries := standing.page(place).of(EggsBoxed))}
    if last:
        return max(last, key=lambda place: last[place].key)
    return holds[0] if len(holds) == 1 else None


def _where_they_live(screen: Host, subject: str, wanted: Draft) -> Generator[Ask, Any, list[Draft]]:
    """Put together and parted usually mean a move: it is asked, not assumed."""
    standing = screen.shift.desk.standing
    if wanted.kind is PutTogether:
        pair = [animal(standing, subject), animal(standing, wanted.fields["mate"])]
        pair.sort(key=lambda one: one.sex == "M")
        her, him = pair
        if her.place == him.place:
            return []
        options = [
            Option(
                letter, f"{mover.name} moves in with {host.name}, into {standing.name(host.place)}", (mover, host)
            )
            for letter, mover, host in (("m", him, her), ("f", her, him))
            if host.place is not None
        ]
        moves = yield Choice("Who moves?", [*options, Option("n", "no one moves", None)], start=0, by_digits=False)
        if moves is not None:
            mover, host = moves
            return [Draft(Moved, mover.subject, {"to": host.place, "why": f"to {host.name}"}, wanted.at)]
    if wanted.kind is Parted:
        mate = wanted.fields.get("mate")
        other = animal(standing, mate) if mate else None
        if other is not None and other.place is not None and other.place == animal(standing, subject).place:
            him = animal(standing, subject) if animal(standing, subject).sex == "M" else other
            her = other if him.subject == subject else animal(standing, subject)
            back = place_before(standing, him.subject)
            stays = [Found(f"stays in {standing.name(him.place)}", "")]
            places = places_for(standing, him.subject)

            def offered(typed: str) -> list[Found]:
                if typed.strip():
                    return list(places(typed))
                every = list(places(""))
                return [*every[:1], *stays, *every[1:]] if back is not None else [*stays, *every]

            to = yield Search(f"Where does {him.name} go?", offered)
            if to:
                return [Draft(Moved, him.subject, {"to": to, "why": f"parted from {her.name}"}, wanted.at)]
    return []


def move(screen: Host, subject: str) -> Talk:
    """Where it moves to: back where it was stands first, any other by a few letters."""
    standing = screen.shift.desk.standing
    back = place_before(standing, subject)
    to = yield Search(f"Move {standing.name(subject)} to", places_for(standing, subject), by_enter=back is not None)
    saved = yield Save(draft(Moved, subject, to=to))
    if saved:
        screen.say(f"{called(standing, subject)}: {said(standing, saved[0])}", "good")


def next_clutch(screen: Host, subject: str) -> str:
    """The clutch that eggs laid now belong to."""
    desk = screen.shift.desk
    return female(desk.standing, subject, desk.house.breeding_days).next_clutch(screen.shift.day.year)


def any_subject(standing: Standing, sorts: str) -> Finder:
    """What looks up any subject of these sorts."""
    return lambda typed: find(standing, typed, sorts, most=200)
