"""The order of the room: who has no place, whose quarantine is over, deaths in the whole room."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import Final, get_args

from rounds.due.figures import tenths
from rounds.due.matter import Level, Matter
from rounds.due.matters.look import Look, cites, run_of
from rounds.due.matters.wording import CALL_STEP, listed, many
from rounds.logbook.entries import CountSettled, Died, EnclosureTakenDown, Entry, Left, Moved, Tested
from rounds.logbook.group_census import YoungGone
from rounds.logbook.words import Sample
from rounds.standing.enclosure import enclosure

#: The tests that come before the end of quarantine.
_SAMPLES: Final[tuple[Sample, ...]] = get_args(Sample)


@cites()
def no_place(look: Look) -> Iterator[Matter]:
    """An animal is in the colony and lives in no enclosure that stands: it is not on the walk.

    Today.
    """
    one = look.animal
    place = look.place
    if place is not None and enclosure(look.standing, place).stands:
        return
    steps: list[Entry] = [entry for entry in (one.last(Moved) or one.arrived,) if entry is not None]
    down = enclosure(look.standing, place).last(EnclosureTakenDown) if place else None
    it = look.it
    where = f"{look.standing.name(place)} does not stand. " if place else ""
    yield look.matter(
        no_place,
        Level.TODAY,
        f"{look.name}: not on the walk, no one will feed {it}.",
        since=max(entry.at for entry in (*steps, *((down,) if down else ()))),
        entries=(*steps, *((down,) if down else ())),
        do=(
            f"{where}Write down where {look.she} live{'' if look.she == 'they' else 's'} now.",
            "Not here any more? Write it down.",
        ),
        worsens="no one feeds or looks at an animal that is not on the walk",
        acts=("move",),
    )


@cites("health.quarantine_days")
def quarantine(look: Look) -> Iterator[Matter]:
    """The days of a quarantine are over and no one has ended it.

    Today. It says which test is missing, has no result yet, or is not clear: a faecal test and a virus test
    come before its end. While quarantine runs it is no matter: it stands beside the animal's name.
    """
    one = look.animal
    since = one.quarantine_since
    if since is None or one.arrived is None:
        return
    days = look.house.days("health.quarantine_days")
    if look.now.date() < look.in_days(since, days):
        return
    tests = [entry for entry in one.own(Tested) if entry.key > one.arrived.key]
    last = {entry.what: entry for entry in tests}
    wanting = [missing for what in _SAMPLES if (missing := _wanting(what, last.get(what)))]
    unclear = any(entry.clear is False for entry in last.values())
    yield look.matter(
        quarantine,
        Level.TODAY,
        f"{look.name}: keep in quarantine, {listed(wanting)}."
        if wanting
        else f"{look.name}: end quarantine, {many(days, 'day')} are over and tests clear.",
        since=since,
        entries=(one.arrived, *last.values()),
        do=(
            *((f"Not clear: {CALL_STEP}",) if unclear else ()),
            "Have the tests done, and write down the results." if wanting else "Is it eating, and well?",
            "Then write down that quarantine ended.",
        ),
        worsens="it lives apart until someone ends quarantine",
        acts=("tested", "quarantine") if wanting else ("quarantine", "tested"),
    )


def _wanting(what: str, last: Tested | None) -> str:
    """What stands against ending quarantine in one of its tests; nothing when it was clear."""
    if last is None:
        return f"no {what}"
    return {None: f"{what} without a result", True: "", False: f"{what} not clear"}[last.clear]


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
        f"Part {look.name} from {listed(other.name for other in others)}: {look.name} is in quarantine.",
        since=max(min(newest, default=one.arrived.at), stay.since if stay else one.arrived.at),
        entries=(one.arrived,),
        do=("Part them. Keep who was with it apart as long: its days are not counted here.",),
        worsens="what one has the other may have too",
        acts=("move",),
    )


@cites(
    "young.deaths",
    "young.deaths_within_days",
    "young.survival_percent",
    "young.survival_days",
    "young.deaths_p",
    "young.deaths_rate_days",
)
def deaths_in_room(look: Look) -> Iterator[Matter]:
    """Several animals of the room died within two weeks.

    Today: look for what they had in common. Young counted together have a rule of their own; those that died of a
    group that is no more, or that was never registered, count here, each for one. Where young died in several
    groups, one here and one there, or one in a group and one with a name, all together are held against the
    published survival (Wild et al. 2023).
    """
    within = look.house.days("young.deaths_within_days")
    deaths = _deaths(look)
    lately = [entry for entry in deaths if look.days_since(entry.at) <= within]
    count = sum(_many(look, entry) for entry in lately)
    if count < look.house.number("young.deaths"):
        yield from _here_and_there(look)
        return
    names = listed(dict.fromkeys(look.standing.name(entry.about) for entry in lately))
    what = "died or were not found" if any(isinstance(entry, CountSettled) for entry in lately) else "died"
    yield look.matter(
        deaths_in_room,
        Level.TODAY,
        f"{many(count, 'animal')} {what} within {many(within, 'day')}: {names}.",
        since=run_of(deaths, within)[0].at,
        entries=tuple(lately),
        do=(
            "What did they share: enclosure, food, a new arrival, warmth?",
            f"Keep the dead cool for the vet: {CALL_STEP}",
        ),
        worsens="one more",
        acts=("note",),
    )


def _here_and_there(look: Look) -> Iterator[Matter]:
    """Young that died in several groups, or in a group and by name, more than published, though not so many in any
    one group."""
    house, within = look.house, look.house.days("young.deaths_within_days")
    censuses = [look.at(subject).group.census for subject in look.standing.subjects("group")]
    lost = [one for census in censuses for one in census.lost if one.entry.at <= look.now]
    if not lost:
        return  # one of a group at least is among them
    gone = [one for one in _no_more(look) if one.is_young]
    dead = [one.animal.gone for one in gone if isinstance(one.animal.gone, Died)]
    every = sorted(
        (*lost, *(YoungGone(death, 1) for death in dead if death.at <= look.now)), key=lambda one: one.entry.key
    )
    if look.days_since(every[-1].entry.at) > within:
        return
    from rounds.due.survival import chance_of, daily_rate, days_lived  # late: no start has to wait for it

    for days in (within, house.days("young.deaths_rate_days")):
        lately = [one for one in every if look.days_since(one.entry.at) <= days]
        groups = list(dict.fromkeys(one.entry.about for one in lately))
        count = sum(one.count for one in lately)
        in_groups = sum(one.startswith("group/") for one in groups)
        if len(groups) < 2 or not in_groups or count < house.number("young.deaths"):
            continue
        since = look.midnight(look.in_days(look.now, -days))
        lived = sum(days_lived(census.steps, since, look.now) for census in censuses)
        named = (look.at(subject) for subject in look.standing.subjects("animal"))
        lived += sum(_lived(one, since) for one in named if one.is_young)
        expected = lived * daily_rate(house)
        if chance_of(count, expected) > house.number("young.deaths_p"):
            continue
        names = listed(
            [look.standing.name(one) for one in groups[:3]] + [f"{len(groups) - 3} more"] * (len(groups) > 3)
        )
        where = f"in {len(groups)} groups " if in_groups == len(groups) else ""
        few = tenths(expected) if expected >= 0.1 else "under 0.1"
        yield look.matter(
            deaths_in_room,
            Level.TODAY,
            f"{count} young died {where}within {days} days, {few} expected: {names}.",
            since=run_of([one.entry for one in every], house.days("young.deaths_rate_days"))[0].at,
            entries=tuple(one.entry for one in lately),
            do=(
                "What did they share: food, water, a new arrival, warmth, the order of the walk?",
                f"Keep the dead cool for the vet: {CALL_STEP}",
            ),
            worsens="one more",
            acts=("note",),
        )
        return


def _lived(young: Look, since: datetime) -> float:
    """The days that one with a name lived here from a moment on."""
    came = young.animal.arrived
    begun = max(since, came.at) if came is not None else since
    ended = min(young.now, young.animal.gone.at) if young.animal.gone is not None else young.now
    return max(0.0, (ended - begun) / timedelta(days=1))


def _no_more(look: Look) -> list[Look]:
    """The animals that are not here any more; the pages of the others are not opened."""
    standing = look.standing
    return [look.at(one) for one in standing.subjects("animal") if not standing.card(one).here]


def _deaths(look: Look) -> list[Died | CountSettled]:
    """Deaths of animals, and in groups that are no more or were never registered, oldest first.

    Young of such a group that were not found count as dead.
    """
    deaths: list[Died | CountSettled] = []
    for one in _no_more(look):
        if one.animal.last(Died) is not None and isinstance(one.animal.gone, Died):
            deaths.append(one.animal.gone)
    for subject in look.standing.subjects("group"):
        page = look.standing.page(subject)
        if look.standing.card(subject).here or not (bool(page.of(Died)) or bool(page.of(CountSettled))):
            continue
        group = look.at(subject).group
        lost = [one.entry for one in group.census.lost if not isinstance(one.entry, Left)]
        deaths.extend(lost if group.census.steps else group.own(Died))
    return sorted(deaths, key=lambda entry: entry.key)


def _many(look: Look, death: Died | CountSettled) -> int:
    if not death.about.startswith("group/"):
        return 1
    gone = look.at(death.about).group.census.gone
    return next((one.count for one in gone if one.entry.id == death.id), death.count or 1)
