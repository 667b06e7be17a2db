"""Which matters stand: every rule over every subject, and what keepers have answered to them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime
from operator import attrgetter
from typing import Final

import msgspec

from rounds.due import matters as rules
from rounds.due.matter import Level, Matter
from rounds.due.matters.look import Look, Reckoning, Rule
from rounds.logbook.entries import ROOM, Acknowledged, PutOff
from rounds.rules.house import House
from rounds.standing.as_of import as_of
from rounds.standing.fold import Standing

_LEVELS: Final = {level.word: level for level in Level}
_SORTS: Final = ("animal", "group", "enclosure", "clutch", "supply")
_NEEDED: Final = rules.NEEDED
_order = attrgetter("order")


def matters(standing: Standing, house: House, now: datetime) -> tuple[Matter, ...]:
    """Every matter that stands at `now`, worst first. Entries dated later do not count."""
    subjects = [subject for sort in _SORTS for subject in standing.subjects(sort)]
    return matters_about(standing, house, now, (*by_place(standing, subjects), ROOM))


def by_place(standing: Standing, subjects: Iterable[str]) -> list[str]:
    """Subjects so that who lives together comes together, the enclosure among them.

    Where pages are fetched, each is then fetched seldom.
    """
    places = standing.places
    return sorted(subjects, key=lambda subject: places.get(subject, subject))


def matters_about(standing: Standing, house: House, now: datetime, subjects: Iterable[str]) -> tuple[Matter, ...]:
    """The matters about these subjects, worst first: all that a stop needs after a key."""
    standing = as_of(standing, now)
    asked = dict.fromkeys(subjects)
    reckoning = Reckoning(standing, house, now, whole=ROOM in asked)
    found: list[Matter] = []
    for subject in asked:
        here = list(_about(Look(standing, house, now, subject, reckoning)))
        found.extend(_answered(standing, house, now, here) if here else ())
    return tuple(sorted(found, key=_order))


def open_matters(found: Iterable[Matter]) -> tuple[Matter, ...]:
    """Those that are not put off, in the order given."""
    return tuple(matter for matter in found if matter.put_off is None)


def explained(matter: Matter, house: House) -> tuple[str, ...]:
    """The house rules a matter rests on, each with its value, grade and source, as they are shown."""
    return tuple(house.rule(key).cite() for key in matter.house)


def found_by(look: Look) -> Iterator[Matter]:
    """Every matter about the subject of a look, in no order; nothing is said of what keepers answered."""
    yield from _about(look)


def _about(look: Look) -> Iterator[Matter]:
    kinds = look.standing.page(look.subject).strands.keys()
    for rule in _rules_for(look):
        needed = _NEEDED.get(rule.__name__)
        if needed is None or not needed.isdisjoint(kinds):
            yield from rule(look)


def _rules_for(look: Look) -> Iterable[Rule]:
    """The rules that look at this subject; few for one that is not here any more."""
    subject = look.subject
    sort = subject.partition("/")[0]
    card = look.standing.card(subject)
    if not card.here:
        # What a vet should see does not go because the young were put with others.
        return rules.MOVED_ON if card.moved_on else rules.GONE if sort in ("animal", "group") else ()
    if sort == "animal":
        pairing = rules.PAIRING if look.animal.sex == "F" else ()
        return (*(rules.FEMALE if look.may_be_gravid else ()), *pairing, *rules.ANIMAL)
    if sort == "group":
        return rules.GROUP
    if sort == "enclosure":
        return rules.ENCLOSURE
    if sort == "clutch":
        return rules.CLUTCH
    if sort == "supply":
        return rules.SUPPLY
    return rules.ROOM if subject == ROOM else ()


def _answered(standing: Standing, house: House, now: datetime, found: list[Matter]) -> Iterator[Matter]:
    """The matters about one subject with what keepers answered: acknowledged, or put off until a day."""
    page = standing.page(found[0].about)
    acknowledged, put_off = page.of(Acknowledged), page.of(PutOff)
    if not acknowledged and not put_off:
        yield from found
        return
    for matter in found:
        key = matter.key
        answers = [entry for entry in acknowledged if entry.matter == key and _covers(entry, matter)]
        delays = [entry for entry in put_off if entry.matter == key and now.date() < entry.until]
        if matter.danger or matter.level == Level.VET_NOW:
            delays = []
        if matter.level == Level.VET:
            # To tomorrow at the latest, whatever day was written.
            delays = [entry for entry in delays if now.date() <= entry.at.date()]
        if delays and _level_at(standing, house, matter, delays[-1].at) < matter.level:
            delays = []
        yield msgspec.structs.replace(
            matter,
            acknowledged=answers[-1] if answers else None,
            put_off=delays[-1] if delays else None,
        )


def _covers(answer: Acknowledged, matter: Matter) -> bool:
    """Whether an acknowledgement was of this level or a worse one; of a danger, also of every sign of it."""
    # Written by hand without a level it is taken for one of today's: a vet matter asks for its own word.
    level = _LEVELS.get(answer.level or Level.TODAY.word)
    if level is None or level < matter.level:
        return False
    return matter.asks_again is None or answer.at >= matter.asks_again


def _level_at(standing: Standing, house: House, matter: Matter, moment: datetime) -> int:
    """The level the matter had when it was put off: at a worse one it comes back."""
    look = Look(as_of(standing, moment), house, moment, matter.about)
    return max((one.level for one in _about(look) if one.key == matter.key), default=0)
