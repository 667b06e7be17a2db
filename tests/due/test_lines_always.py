"""Promises about due lines whatever was written: they never raise, and Enter clears what it stands for."""

from __future__ import annotations

from datetime import datetime, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from rounds.due.lines import lines_at
from rounds.due.walk import Walk
from rounds.logbook.drafts import draft
from rounds.logbook.entries import KINDS, Entry
from rounds.logbook.entries.base import SUBJECT
from rounds.logbook.words import WalkPart
from rounds.rules.default import default_rules
from rounds.rules.settings import settings_of
from rounds.standing.fold import Standing, fold
from tests.any_entries import START, SUBJECTS, entries
from tests.due.stops import HOUSE, words

COLONY = settings_of('name = "Shed"\ntime_zone = "Europe/Vienna"', default_rules())
_NOW = st.integers(0, 60 * 24 * 70).map(lambda minutes: START + timedelta(minutes=minutes))
_PARTS = st.sampled_from(["morning", "evening"])


@settings(max_examples=150, deadline=None)
@given(entries(), _NOW, _PARTS)
def test_no_entries_make_a_stop_raise_and_every_line_makes_sense(
    written: list[Entry], now: datetime, part: WalkPart
) -> None:
    found = fold(written)
    for stop in (*SUBJECTS["enclosure"], None):
        for line in lines_at(found, HOUSE, now, stop, part):
            assert SUBJECT.fullmatch(line.about)
            assert line.place == (stop or "")
            since_due = max(0, (Walk(found, COLONY, now).day - line.due).days)
            # Eggs are candled within some hours or days: it is late only after them.
            assert line.late_days == since_due or (line.care == "candle" and 0 <= line.late_days < since_due)
            assert line.plain == bool(line.drafts)
            assert all(key in HOUSE.rules for key in line.house)
            assert line.house
            assert line.says


@settings(max_examples=100, deadline=None)
@given(entries(), _NOW, _PARTS)
def test_what_enter_writes_clears_every_plain_line(written: list[Entry], now: datetime, part: WalkPart) -> None:
    found = fold(written)
    for stop in (*SUBJECTS["enclosure"], None):
        plain = [line for line in lines_at(found, HOUSE, now, stop, part) if line.plain]
        drafts = [one for line in plain for one in line.drafts]
        done = found.after_all(one.entry(f"z{number}", now, "AK") for number, one in enumerate(drafts))
        left = [words(line) for line in lines_at(done, HOUSE, now, stop, part) if line.plain]
        assert left == []


@settings(max_examples=60, deadline=None)
@given(entries(), _NOW)
def test_the_order_in_which_entries_arrive_makes_no_difference(written: list[Entry], now: datetime) -> None:
    one, other = fold(written), Standing().after_all(reversed(written))
    for stop in (*SUBJECTS["enclosure"], None):
        assert lines_at(one, HOUSE, now, stop) == lines_at(other, HOUSE, now, stop)


@settings(max_examples=60, deadline=None)
@given(entries(), _NOW)
def test_a_walk_that_is_followed_comes_to_its_end_with_every_stop_done_once(
    written: list[Entry], now: datetime
) -> None:
    found = fold(written)
    walk = Walk(found, COLONY, now)
    open_stops = [stop for stop in walk.order if stop not in walk.done]
    visited: list[str] = []
    while (stop := walk.resume) is not None:
        visited.append(stop)
        walked = draft(KINDS["stop_walked"], stop, walk=walk.part, day=walk.day)
        found = found.after(walked.entry(f"z{len(visited):03d}", now, "AK"))
        walk = Walk(found, COLONY, now)
    assert sorted(visited) == sorted(open_stops)
    assert walk.finished
