"""Company of a male: put together and not parted, or living in one enclosure."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from rounds.logbook.entries import Arrived, Died, Left, Moved, Parted, PutTogether
from rounds.standing.animal import Animal, Stay, animal
from rounds.standing.breeding import Company
from rounds.standing.fold import Standing


def company_of(standing: Standing, her: Animal, mature_months: int) -> tuple[Company, ...]:
    """When she was with a male old enough to mate (or of unknown age), oldest first."""
    times = [*put_together(standing, her), *_shared_a_tub(standing, her, mature_months)]
    return tuple(sorted(times, key=lambda one: (one.since, one.mate or "")))


def put_together(standing: Standing, her: Animal) -> Iterator[Company]:
    """Her company of males she was put together with, in the order it was written, until they were parted."""
    ends = her.own(Parted)
    for put in her.own(PutTogether):
        parted = next((end.at for end in ends if end.key > put.key and end.mate in (None, put.mate)), None)
        apart = _went_apart(standing, her, put)
        until = min((end for end in (parted, apart) if end is not None), default=None)
        yield Company(put.mate, put.at, until, put, put.known)


def _shared_a_tub(standing: Standing, her: Animal, mature_months: int) -> Iterator[Company]:
    for stay in her.stays:
        for he, his in _males_in(standing, stay.enclosure):
            if he.subject == her.subject:
                continue
            since = max(stay.since, his.since)
            until = min((end for end in (stay.until, his.until) if end is not None), default=None)
            if (until is None or since < until) and not _too_young(he, until, mature_months):
                yield Company(he.subject, since, until, None, max(stay.known, his.known))


def _males_in(standing: Standing, place: str) -> tuple[tuple[Animal, Stay], ...]:
    """Each stay of a male in an enclosure: sought once for all the females that lived there."""
    known = standing.views.get(("males in", place))
    if known is None:
        males = (he for other in sorted(_lived_in(standing, place)) if (he := animal(standing, other)).sex == "M")
        known = tuple((he, stay) for he in males for stay in he.stays if stay.enclosure == place)
        standing.views["males in", place] = known
    assert isinstance(known, tuple)
    return known


def _too_young(he: Animal, until: datetime | None, mature_months: int) -> bool:
    """Whether he was too young to mate for all of that time, as far as his age is known."""
    months = he.age_months(until) if until is not None else None
    return months is not None and months < mature_months


def _went_apart(standing: Standing, her: Animal, put: PutTogether) -> datetime | None:
    """When one of a pair was moved away from the other, or left, though nobody wrote that they were parted."""
    his = animal(standing, put.mate)
    moves = [
        entry.at
        for one in (her, his)
        for entry in (*one.own(Moved), *one.own(Left), *one.own(Died))
        if entry.key > put.key
    ]
    for moment in sorted(moves):
        hers, where = _place_at(her, moment), _place_at(his, moment)
        if hers is None or where is None or hers != where:
            return moment
    return None


def _place_at(one: Animal, moment: datetime) -> str | None:
    return next((stay.enclosure for stay in one.stays if stay.covers(moment)), None)


def _lived_in(standing: Standing, place: str) -> set[str]:
    """Animals that live, or came to live, in an enclosure, as far back as its page goes."""
    page = standing.page(place)
    came = {entry.about for entry in (*page.of(Arrived), *page.of(Moved))}
    came.update(standing.living_in(place))
    return {who for who in came if who.startswith("animal/")}
