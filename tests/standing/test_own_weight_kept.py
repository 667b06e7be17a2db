"""Her own weight is found by few steps; it is the same as by the plain way, over all weighings each time."""

from __future__ import annotations

from datetime import datetime, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from rounds.logbook.entries import Entry
from rounds.logbook.times import days_between
from rounds.standing.clutch import Clutch
from rounds.standing.female import Female
from rounds.standing.fold import fold
from rounds.standing.slopes import median
from rounds.standing.weighing import Weighing, sure_ones
from tests.due.matters.found import HOUSE
from tests.due.matters.random_pages import DAYS, OPENING, entry_of, moments, pages


class _Plainly(Female):
    """The same female, each figure sought among all weighings each time."""

    def _sure(self, known: datetime | None) -> tuple[Weighing, ...]:
        return sure_ones(self.weighings(known))

    def weight_before(self, eggs: Clutch) -> float | None:
        return self._weight_before(self.laying_with(eggs)[0])

    def own_weight(self, now: datetime, known: datetime | None = None) -> float | None:
        weights, start = self._sure(known), self.cycle_start
        chances = [window for window in self.windows(known or now) if window.why != "stored sperm"]
        if chances:
            before = [entry.grams for entry in weights if entry.at.date() <= chances[0].first]
            if before:
                return median(before[-3:])
        last = self.laying_with(self.last_complete) if self.last_complete is not None else ()
        if start is not None and any(entry.at == start for one in last for entry in one.laid):
            return super().own_weight(now, known)
        months = self.animal.age_months(now)
        if chances or (months is not None and months < self.days.grown_months):
            return None
        old = [entry.grams for entry in weights if days_between(entry.at, now) >= 28]
        if not old or (months is None and median(old) < self.days.grown_grams):
            return None
        return max(median(old[-3:]), median(old))


@st.composite
def _weighed(draw: st.DrawFn) -> list[Entry]:
    """More weighings than a random page has: of some days several, that agree or do not; and mostly a mating."""
    steps = st.tuples(st.sampled_from([340, 380, 400, 404, 430, 470]), st.integers(0, DAYS * 4))
    lines = [(f"weighed grams={grams}", quarter) for grams, quarter in draw(st.lists(steps, max_size=25))]
    mated = [
        ("mating_seen sire=karri", quarter) for quarter in draw(st.lists(st.integers(0, DAYS * 4), max_size=1))
    ]
    opening = [entry_of(40_000 + number, line, 0) for number, line in enumerate(OPENING)]
    return opening + [
        entry_of(50_000 + number, f"wattle {line}", quarter * 360)
        for number, (line, quarter) in enumerate([*lines, *mated])
    ]


@settings(max_examples=60, deadline=None)
@given(page=pages(), weighed=_weighed(), now=moments)
def test_her_own_weight_is_that_of_the_plain_way(page: list[Entry], weighed: list[Entry], now: datetime) -> None:
    standing = fold([*page, *weighed])
    for subject in ("animal/wattle", "animal/sedge"):
        kept, plainly = (sort(standing, subject, HOUSE.breeding_days) for sort in (Female, _Plainly))
        for moment in (now, now - timedelta(days=40)):
            assert kept.own_weight(now, moment) == plainly.own_weight(now, moment)
        assert kept.own_weight(now) == plainly.own_weight(now)
        for mine, others in zip(kept.clutches, plainly.clutches, strict=True):
            assert [kept.weight_before(mine)] * 2 == [plainly.weight_before(others)] * 2
        assert list(map(kept.gain, kept.weighings())) == list(map(plainly.gain, plainly.weighings()))
