"""The promises of every matter, over the demo colony and random logbooks."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable
from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from demo_colony.people import ZONE
from demo_colony.write import entries as demo_entries
from rounds.due.matter import Level, Matter
from rounds.due.matters import ALL, title
from rounds.due.reckon import explained, matters, matters_about
from rounds.logbook.entries import KINDS, Entry
from rounds.logbook.words import DANGER_SIGNS
from rounds.rules.default import default_house
from rounds.standing.animal import animal
from rounds.standing.fold import Standing, fold
from tests.due.matters.found import HOUSE
from tests.due.matters.random_pages import LINES, OPENING, START, entry_of, moments, pages
from tests.notation import at

#: What no matter may tell a keeper to do; the word may stand only in the sentence that forbids it.
FORBIDDEN = re.compile(r"\b(press|massage|inject|dose|squeeze|oxytocin|calcium|drug|medicine|antibiotic)\w*", re.I)
NEVER = "Do not press, massage or inject"
NAMES = {title(rule) for rule in ALL}


def explains_itself(matter: Matter, standing: Standing, now: datetime) -> None:
    """Level, one sentence, entries, rule and source, what to do, when it worsens; nothing a keeper must not do."""
    assert matter.rule in NAMES
    assert matter.says.endswith((".", "?"))
    assert "\n" not in matter.says
    ours = re.sub("“[^”]*”", "", matter.says)
    assert matter.entries
    for entry in matter.entries:
        assert entry.at <= now
        assert any(entry in standing.page(subject).of(type(entry)) for subject in entry.subjects()), entry
    assert matter.since <= now
    assert matter.since.utcoffset() is not None
    for cited in explained(matter, HOUSE):
        assert "grade " in cited
    assert matter.do
    assert matter.worsens
    steps = " ".join(matter.do)
    for text in (ours, matter.worsens, *matter.do):
        for sentence in re.split(r"[.;:]\s", text):
            assert not FORBIDDEN.search(sentence) or sentence == NEVER, sentence
    assert matter.acts
    assert len(set(matter.do)) == len(matter.do), "a step is said once"
    if matter.level >= Level.VET:
        assert any(step.startswith("Phone ") for step in matter.do), matter.do
        assert "agree it with your vet" in steps
        assert {"refer", "vet seen"} & set(matter.acts)
        assert re.search(r"\bvet\b(?! now)", matter.worsens) is None, "it is for the vet already"
    # Laying stopped: the eggs come first, whether they are all decides. Vet waits: the vet is to be phoned.
    if matter.rule not in ("laying stopped", "vet waits"):
        assert (matter.acts[0] == "vet called") is (matter.level >= Level.VET)
    assert any("Phone a reptile vet" in step for step in matter.do) is (matter.level >= Level.VET)
    if matter.level < Level.TODAY:
        assert matter.deadline is None or matter.rule == "laying stopped"
    if matter.level == Level.VET_NOW:
        assert "Phone a reptile vet now, day or night. Do not wait." in matter.do


def fit_together(found: Iterable[Matter]) -> None:
    """Worst first, and no two matters of one rule about one subject, nor of one name."""
    found = list(found)
    assert found == sorted(found, key=lambda matter: matter.order)
    assert [key for key, times in Counter(matter.key for matter in found).items() if times > 1] == []
    about: dict[str, set[str]] = {}
    for matter in found:
        about.setdefault(matter.about, set()).add(matter.rule)
    for rules in about.values():
        assert not {"no lay box", "lay box not ready"} <= rules
        assert not {"signs add up", "window past"} <= rules
        assert not {"danger sign", "looks dull"} <= rules
        assert not {"laying stopped", "heavy after laying"} <= rules
        assert not ("laying stopped" in rules and {"no lay box", "window past"} & rules)


def test_the_random_pages_hold_every_kind_that_matters_look_at() -> None:
    told = {line.split()[1] for line in (*LINES, *OPENING)}
    aside = {"acknowledged", "put_off", "handed_over", "taken_over", "corrected", "stop_walked", "left_out"}
    plain_care = {"cleaned", "watered", "misted"}
    assert told == set(KINDS) - aside - plain_care


@settings(max_examples=120, deadline=None)
@given(page=pages(), now=moments)
def test_every_matter_explains_itself_whatever_was_written_in_whatever_order(
    page: list[Entry], now: datetime
) -> None:
    standing = fold(page)
    found = matters(standing, HOUSE, now)
    fit_together(found)
    for matter in found:
        explains_itself(matter, standing, now)


@settings(max_examples=60, deadline=None)
@given(page=pages(), now=moments)
def test_what_is_dated_later_makes_no_difference(page: list[Entry], now: datetime) -> None:
    known = [entry for entry in page if entry.at <= now]
    assert matters(fold(page), HOUSE, now) == matters(fold(known), HOUSE, now)


@settings(max_examples=40, deadline=None)
@given(page=pages(), now=moments, data=st.data())
def test_neither_the_order_of_the_sheets_nor_asking_stop_by_stop_makes_a_difference(
    page: list[Entry], now: datetime, data: st.DataObject
) -> None:
    standing = fold(page)
    whole = matters(standing, HOUSE, now)
    assert matters(fold(data.draw(st.permutations(page))), HOUSE, now) == whole
    apart = [
        matter for subject in (*standing.pages, "room") for matter in matters_about(standing, HOUSE, now, [subject])
    ]
    assert tuple(sorted(apart, key=lambda matter: matter.order)) == whole


@settings(max_examples=60, deadline=None)
@given(page=pages(), now=moments, hours=st.integers(1, 48))
def test_a_matter_keeps_its_name_as_long_as_nothing_is_written(
    page: list[Entry], now: datetime, hours: int
) -> None:
    standing = fold([entry for entry in page if entry.at <= now])
    before = {(matter.rule, matter.about): matter.key for matter in matters(standing, HOUSE, now)}
    for matter in matters(standing, HOUSE, now + timedelta(hours=hours)):
        # The day an egg check falls due, or a mother of eggs unread, moves with the rung she stands on.
        if matter.rule not in ("egg check overdue", "climate not read"):
            assert before.get((matter.rule, matter.about), matter.key) == matter.key


@settings(max_examples=80, deadline=None)
@given(page=pages(), sign=st.sampled_from(sorted(DANGER_SIGNS)), who=st.sampled_from(["wattle", "sedge"]))
def test_a_danger_sign_in_a_female_is_vet_now_whatever_was_written_before(
    page: list[Entry], sign: str, who: str
) -> None:
    # A sign beats a statistic: forecasts, phases, referrals and other readings of the logbook change nothing.
    now = at("2026-08-30 12:00")
    minutes = int((now - START) / timedelta(minutes=1)) - 1
    page = [*page, entry_of(90_000, f"{who} sex_settled sex=F", minutes - 1)]
    page.append(entry_of(90_001, f'{who} egg_check_done present="{sign}"', minutes))
    standing = fold(page)
    if not animal(standing, f"animal/{who}").here:
        return
    found = [one for one in matters(standing, HOUSE, now) if one.rule == "danger sign" and one.about.endswith(who)]
    assert [(one.level, one.danger, one.put_off) for one in found] == [(Level.VET_NOW, True, None)]


@settings(max_examples=40, deadline=None)
@given(page=pages(), year=st.sampled_from([1, 2, 1800, 2025, 9998]), data=st.data())
def test_a_broken_clock_breaks_nothing(page: list[Entry], year: int, data: st.DataObject) -> None:
    wrong = set(data.draw(st.lists(st.integers(0, max(0, len(page) - 1)), max_size=6)))
    edges = [datetime(year, 1, 1, tzinfo=timezone(timedelta(hours=14))), datetime(year, 12, 31, 23, 59, tzinfo=UTC)]
    broken = [replace(entry, at=edges[place % 2]) if place in wrong else entry for place, entry in enumerate(page)]
    now = at("2026-06-30 12:00")
    for matter in matters(fold(broken), HOUSE, now):
        assert matter.since <= now


@pytest.mark.parametrize("day", ["2026-04-12 08:00", "2026-08-02 20:00", "2027-01-15 09:00"])
def test_every_matter_of_the_demo_colony_explains_itself(day: str) -> None:
    now = at(day, ZONE)
    standing = fold(demo_entries(now))
    found = matters(standing, default_house(ZONE), now)
    assert len({matter.rule for matter in found}) >= 15
    fit_together(found)
    for matter in found:
        explains_itself(matter, standing, now)
