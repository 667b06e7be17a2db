"""The order of the room: who has no place, who is in quarantine, deaths in the whole room."""

from __future__ import annotations

from collections.abc import Iterator

from rounds.due.matter import Level, Matter
from rounds.due.matters.look import Look, cites, run_of
from rounds.due.matters.wording import CALL_STEP, day, listed, many
from rounds.logbook.entries import Died, EnclosureTakenDown, Entry, Moved
from rounds.standing.enclosure import enclosure


@cites()
def no_place(look: Look) -> Iterator[Matter]:
    """An animal is in the colony and lives in no enclosure that stands: nobody walks past it.

    Today.
    """
    one = look.animal
    place = look.place
    if place is not None and enclosure(look.standing, place).stands:
        return
    steps: list[Entry] = [entry for entry in (one.last(Moved) or one.arrived,) if entry is not None]
    down = enclosure(look.standing, place).last(EnclosureTakenDown) if place else None
    what = "has no place" if place is None else f"lives in {look.standing.name(place)}, which does not stand"
    if look.she == "they":
        what = what.replace("has", "have").replace("lives", "live")
    yield look.matter(
        no_place,
        Level.TODAY,
        f"{look.name} {what}.",
        since=max(entry.at for entry in (*steps, *((down,) if down else ()))),
        entries=(*steps, *((down,) if down else ())),
        do=("Write down where it lives now; not here any more: write down that it left or died.",),
        worsens="whom nobody walks past nobody feeds or looks at",
        acts=("move",),
    )


@cites("health.quarantine_days")
def quarantine(look: Look) -> Iterator[Matter]:
    """An arrival is in quarantine.

    Watch while it runs; today when its days are over and nobody has ended it.
    """
    one = look.animal
    since = one.quarantine_since
    if since is None or one.arrived is None:
        return
    days = look.house.days("health.quarantine_days")
    ends = look.in_days(since, days)
    over = look.now.date() >= ends
    they = "are" if look.she == "they" else "is"
    says = (
        f"{look.name}'s quarantine was to end on {day(ends)}, after {many(days, 'day')}."
        if over
        else f"{look.name} {they} in quarantine, day {look.days_since(since) + 1} of {days}, until {day(ends)}."
    )
    yield look.matter(
        quarantine,
        Level.TODAY if over else Level.WATCH,
        says,
        since=since,
        entries=(one.arrived,),
        do=("Well, eating and checked? Write down that quarantine ended.",)
        if over
        else ("Last on the walk, its own gear, hands washed after.",),
        worsens="kept apart until somebody ends it" if over else f"to be ended from {day(ends)}",
        acts=("quarantine",) if over else ("note",),
    )


@cites("health.quarantine_days")
def quarantine_shared(look: Look) -> Iterator[Matter]:
    """An animal in quarantine shares its enclosure with one that is not.

    Today.
    """
    one = look.animal
    if one.quarantine_since is None or one.arrived is None:
        return
    others = [other for who in one.companions() if (other := look.at(who)).animal.quarantine_since is None]
    if not others:
        return
    stay = one.stays[-1] if one.stays else None
    newest = [other.animal.stays[-1].since for other in others if other.animal.stays]
    yield look.matter(
        quarantine_shared,
        Level.TODAY,
        f"{look.name}, in quarantine, lives with {listed(other.name for other in others)}.",
        since=max(min(newest, default=one.arrived.at), stay.since if stay else one.arrived.at),
        entries=(one.arrived,),
        do=("Part them; who was with it counts as in quarantine too.",),
        worsens="what one has the other may have too",
        acts=("move",),
    )


@cites("young.deaths", "young.deaths_within_days")
def deaths_in_room(look: Look) -> Iterator[Matter]:
    """Several animals of the room died within two weeks.

    Today: look for what they had in common. Young counted together have a rule of their own; a group that
    has died out counts here, each of its young for one.
    """
    within = look.house.days("young.deaths_within_days")
    deaths = _deaths(look)
    lately = [entry for entry in deaths if look.days_since(entry.at) <= within]
    count = sum(_many(look, entry) for entry in lately)
    if count < look.house.number("young.deaths"):
        return
    names = listed(dict.fromkeys(look.standing.name(entry.about) for entry in lately))
    yield look.matter(
        deaths_in_room,
        Level.TODAY,
        f"{many(count, 'animal')} of the room died within {many(within, 'day')}: {names}.",
        since=run_of(deaths, within)[0].at,
        entries=tuple(lately),
        do=(
            "What had they in common: enclosure, food, a newcomer, warmth?",
            f"Keep the dead cool for the vet: {CALL_STEP}",
        ),
        worsens="one more",
        acts=("note",),
    )


def _deaths(look: Look) -> list[Died]:
    """Deaths of animals, and of groups that have died out, oldest first."""
    deaths: list[Died] = []
    for sort in ("animal", "group"):
        for subject in look.standing.subjects(sort):
            one = look.at(subject).animal
            if one.last(Died) is not None and isinstance(one.gone, Died):
                deaths.extend([one.gone] if sort == "animal" else one.own(Died))
    return sorted(deaths, key=lambda entry: entry.key)


def _many(look: Look, death: Died) -> int:
    if not death.about.startswith("group/"):
        return 1
    return death.count if death.count is not None else look.at(death.about).group.started
