"""Who is together and should not be."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime
from typing import TYPE_CHECKING, TypeAlias

from rounds.due.matter import Level, Matter
from rounds.due.matters.burdens import Reason, reasons_of_young
from rounds.due.matters.look import Look, cites, needs, run_of
from rounds.due.matters.wording import day, listed, many
from rounds.logbook.entries import BehaviourSeen, BrumationBegan, Entry
from rounds.standing.animal import Animal, Stay
from rounds.standing.breeding import Company

if TYPE_CHECKING:
    pass


#: A family and the traits noted in one of it.
_Alike: TypeAlias = "tuple[object, tuple[str, ...]]"


@cites(
    "breeding.female_least_months",
    "breeding.female_least_grams",
    "breeding.male_least_months",
    "pairing.after_laying_days",
    "health.quarantine_days",
    "health.treatment_lasts_days",
)
def should_not_be_together(look: Look) -> Iterator[Matter]:
    """A female and a male are together, and one of them is not fit for it.

    Today: part them. She or he is too young, she is too light, is gravid, has just laid, digs or lays; one of
    them is under treatment, also when only a treatment given or a vet's instruction without an end says so, is
    with the vet, shows a danger sign, is in quarantine or brumates. Together means put together and not parted,
    or living in one enclosure. Young too small to mate are left in peace.
    """
    reasons: dict[str, Reason] = {}
    since: list[datetime] = []
    who: list[str] = []
    of_her, of_her_too = [*_of_her(look)], [*_of_either(look)]
    for company, his in _with_now(look):
        found = [*of_her, *_of_him(his), *of_her_too, *_of_either(his)]
        if not found:
            continue
        reasons.update({reason.says: reason for reason in found})
        who.append(his.name)
        since.append(company.since)
    if not reasons:
        return
    yield look.matter(
        should_not_be_together,
        Level.TODAY,
        f"Part {look.name} and {listed(who)}: {listed(reasons)}.",
        since=min(since),
        entries=_entries(look, reasons.values()),
        do=("Part them, and write it down.",),
        worsens="a mating: she may be gravid before she should",
        acts=("part", "move"),
        house=tuple(dict.fromkeys(key for reason in reasons.values() for key in reason.house)),
    )


def _with_now(look: Look) -> list[tuple[Company, Look]]:
    """Males she is with now that are here; not while both are too small to mate."""
    small = look.house.number("eggbinding.can_carry_from_months")
    she_is_small = look.younger_than(small)
    seen: dict[str, tuple[Company, Look]] = {}
    for company in look.female.company:
        if company.until is not None or company.mate is None or company.mate in seen:
            continue
        his = look.reckoning.mate(company.mate)
        if his.animal.here and not (she_is_small and his.younger_than(small)):
            seen[company.mate] = (company, his)
    return list(seen.values())


def _of_her(look: Look) -> Iterator[Reason]:
    house, her = look.house, look.female
    least = house.days("breeding.female_least_months")
    months = look.age_months
    if months is not None and months < least:
        yield Reason(
            f"she is {many(months, 'month')} old, bred from {least}",
            (look.animal.arrived,),
            ("breeding.female_least_months",),
        )
    last = look.last_weighing
    grams = house.number("breeding.female_least_grams")
    if last is not None and last.grams < grams:
        yield Reason(
            f"she weighs {last.grams:g} g, bred from {grams:g} g",
            (last.reading,),
            ("breeding.female_least_grams",),
        )
    if her.laying is not None:
        yield Reason("she is laying", her.laying.laid)
    elif look.digging is not None:
        yield Reason("she digs and should be alone", look.digging.entries)
    elif her.felt is not None:
        yield Reason(f"she is gravid, eggs felt {day(her.felt.at)}", (her.felt,))
    elif her.heavy is not None and look.gravid_because is not None:
        yield Reason(f"she is heavy, may be gravid ({day(her.heavy.at)})", (her.heavy,))
    last_clutch, rest = her.last_complete, house.days("pairing.after_laying_days")
    if last_clutch and last_clutch.complete and look.days_since(last_clutch.complete.at) < rest:
        yield Reason(
            f"she laid {day(last_clutch.complete.at)} and rests {many(rest, 'day')}",
            (last_clutch.complete,),
            ("pairing.after_laying_days",),
        )


def _of_him(his: Look) -> Iterator[Reason]:
    least = his.house.days("breeding.male_least_months")
    months = his.age_months
    if months is not None and months < least:
        yield Reason(
            f"he is {many(months, 'month')} old, bred from {least}",
            (his.animal.arrived,),
            ("breeding.male_least_months",),
        )


def _of_either(look: Look) -> Iterator[Reason]:
    one = look.animal
    treated = one.under_the_vet(look.now, look.house.days("health.treatment_lasts_days"))
    if treated is not None:
        yield Reason(f"{look.she} is under treatment", (treated,), ("health.treatment_lasts_days",))
    if one.with_the_vet is not None:
        yield Reason(f"{look.she} is with the vet", (one.with_the_vet,))
    if one.danger:
        signs = tuple(sign.entry for sign in one.danger)
        yield Reason(f"{look.she} shows a sign for the vet", signs)
    if one.quarantine_since is not None:
        yield Reason(f"{look.she} is in quarantine", (one.arrived,), ("health.quarantine_days",))
    if one.brumating_since is not None:
        yield Reason(f"{look.she} brumates", (one.last(BrumationBegan),))


def _entries(look: Look, reasons: Iterable[Reason]) -> tuple[Entry, ...]:
    found: dict[str, Entry] = {}
    for reason in reasons:
        found.update({entry.id: entry for entry in reason.entries if entry is not None})
    for company, _ in _with_now(look):
        if company.entry is not None:
            found[company.entry.id] = company.entry
    return tuple(sorted(found.values(), key=lambda entry: entry.key))


@cites("pairing.inbreeding_percent", "pairing.scaleless_percent")
def young_would_suffer(look: Look) -> Iterator[Matter]:
    """A female and a male are together whose young would carry a burden.

    Today: part them. Leatherback × leatherback gives a quarter scaleless young, a welfare burden (Di-Poï &
    Milinkovitch 2016). Parent × young and full sibs give an inbreeding coefficient of 25 %, half sibs of 12.5 %
    (textbook). Kin is reckoned from every sire and dam written down, and from clutches; where a sire is not
    settled, by the closest of those who may be.
    """
    alike: set[_Alike] = set()
    males = _with_now(look)
    many = len(males) > 1
    above = _ancestors(look) if many else frozenset[str]()
    for company, his in males:
        if many and _alike(his, above) in alike:
            continue
        reasons = [*reasons_of_young(look, his)]
        if not reasons:
            if many:
                alike.add(_alike(his, above))
            continue
        yield look.matter(
            young_would_suffer,
            Level.TODAY,
            f"Part {look.name} and {his.name}: {listed(reason.says for reason in reasons)}.",
            since=company.since,
            entries=_entries(look, reasons),
            do=(
                "Part them, and write it down.",
                "Mated already? Decide now what becomes of the eggs.",
            ),
            worsens="a mating",
            acts=("part", "move"),
            house=tuple(key for reason in reasons for key in reason.house),
        )
        return  # one matter a female: the others are said once this one is answered


def _ancestors(look: Look) -> frozenset[str]:
    from rounds.standing.pedigree import pedigree

    return frozenset(pedigree(look.standing, look.house.breeding_days).above((look.subject,)))


def _alike(his: Look, above: frozenset[str]) -> _Alike:
    """By what the young of a male with one female are reckoned: of brothers with the same traits noted alike.

    Himself where he is `above` her, among her ancestors: then he is no brother like another.
    """
    if his.subject in above:
        return his.subject, ()
    crosses = his.reckoning.burdens
    parents = crosses.pedigree.parents(his.subject)
    noted = (crosses.note(his.subject, trait) for trait in crosses.traits)
    return parents.ways, tuple("" if note is None else note.status for note in noted)


@cites("pairing.together_days")
def pair_together_long(look: Look) -> Iterator[Matter]:
    """A pair that was put together is together longer than the house rule.

    Watch. Adults otherwise live singly; a male is in for 2–3 days, then apart for a week (Dessen 2018).
    """
    limit = look.house.days("pairing.together_days")
    long = [
        (company, his)
        for company, his in _with_now(look)
        if company.entry is not None and look.days_since(company.since) > limit
    ]
    if not long:
        return
    company = long[0][0]
    days = many(look.days_since(company.since), "day")
    yield look.matter(
        pair_together_long,
        Level.WATCH,
        f"{look.name} and {listed(one.name for _, one in long)}: together for {days}.",
        since=company.since,
        entries=tuple(one.entry for one, _ in long if one.entry is not None),
        do=("Part them for a week, and write it down.",),
        worsens="bites, and a female who gets no rest",
        acts=("part", "move"),
    )


@cites("pairing.males_apart_months")
def two_males(look: Look) -> Iterator[Matter]:
    """Two or more adult males live in one enclosure.

    Today: part them, they fight.
    """
    apart = look.house.number("pairing.males_apart_months")
    males = [
        one
        for who in look.enclosure.living
        if who.startswith("animal/") and (one := look.at(who)).animal.sex == "M" and not one.younger_than(apart)
    ]
    if len(males) < 2:
        return
    stays = sorted(stay.since for one in males if (stay := _stay_here(one.animal, look.subject)))
    behind = [entry for one in males if (entry := _came(one.animal, look.subject)) is not None]
    yield look.matter(
        two_males,
        Level.TODAY,
        f"Part {listed(one.name for one in males)}: adult males in one enclosure, {look.name}.",
        since=stays[1] if len(stays) > 1 else look.now,
        entries=tuple(behind),
        do=("Give each an enclosure of his own; look both over for bites.",),
        worsens="bites, and one of them kept from food and warmth",
        acts=("move",),
    )


def _stay_here(one: Animal, place: str) -> Stay | None:
    return next((stay for stay in reversed(one.stays) if stay.enclosure == place and stay.until is None), None)


def _came(one: Animal, place: str) -> Entry | None:
    stay = _stay_here(one, place)
    if stay is None:
        return None
    moves: list[Entry] = [entry for entry in one.page.newest(200) if entry.about == one.subject]
    return next((entry for entry in moves if entry.at == stay.since and place in entry.subjects()), None)


@cites("pairing.fight_days")
@needs(BehaviourSeen)
def fighting(look: Look) -> Iterator[Matter]:
    """Biting or chasing was seen in a shared enclosure.

    Biting: today. Chasing: watch. Shown for 3 days, as long as the enclosure is shared. A nape bite in
    mating is another word and is not meant.
    """
    tub = look.subject.startswith("enclosure/")
    behaviour = look.enclosure.behaviour_of_unknown if tub else look.animal.behaviour
    days = look.house.days("pairing.fight_days")
    seen = run_of([entry for entry in behaviour if entry.behaviour in ("biting", "chasing")], days)
    if not seen or look.days_since(seen[-1].at) > days or not _shared(look, tub):
        return
    bites = [entry for entry in seen if entry.behaviour == "biting"]
    last = (bites or seen)[-1]
    toward = f" {last.to} {look.standing.name(last.toward)}" if last.toward else ""
    yield look.matter(
        fighting,
        Level.TODAY if bites else Level.WATCH,
        f"{look.name}: {last.behaviour}{toward} {day(last.at)}.",
        since=seen[0].at,
        entries=tuple(seen),
        do=("Look them over for bites: toes and tails first.", "Part those who fight; a second basking spot."),
        worsens="wounds, or one kept from food and warmth" if bites else "biting: today",
        acts=("move", "part", "who") if tub else ("move", "part"),
    )


def _shared(look: Look, tub: bool) -> bool:
    if tub:
        return len(look.enclosure.living) > 1 or any(who.startswith("group/") for who in look.enclosure.living)
    return bool(look.animal.companions()) or look.subject.startswith("group/")
