"""Matters with what stands on no sheet: all at once they are those that each one alone has."""

from __future__ import annotations

from datetime import datetime

from hypothesis import given, settings
from hypothesis import strategies as st

from rounds.due.off_sheet import OffSheet, matters_with
from rounds.due.reckon import matters
from rounds.logbook.entries import Entry
from rounds.standing.fold import fold
from tests.due.matters.found import HOUSE
from tests.due.matters.random_pages import OPENING, entry_of, moments, pages
from tests.notation import at


@settings(max_examples=40, deadline=None)
@given(page=pages(), now=moments, data=st.data())
def test_all_at_once_and_one_by_one_are_the_same(page: list[Entry], now: datetime, data: st.DataObject) -> None:
    gone = set(data.draw(st.lists(st.integers(0, max(0, len(page) - 1)), min_size=1, max_size=12)))
    standing = fold([entry for place, entry in enumerate(page) if place not in gone])
    missing = [entry for place, entry in enumerate(page) if place in gone]
    off = OffSheet(standing, missing)
    by_subject = [one for subject in off.concerned for one in off.matters_about(HOUSE, now, subject)]
    others = [one for one in matters(standing, HOUSE, now) if one.about not in off.concerned]
    together = tuple(sorted((*others, *by_subject), key=lambda matter: matter.order))
    assert matters_with(standing, HOUSE, now, missing) == together


def test_a_danger_sign_on_no_sheet_stands_all_the_same() -> None:
    opening = [entry_of(number, line, 0) for number, line in enumerate(OPENING)]
    sign = entry_of(90, 'wattle egg_check_done present="straining"', 600)
    found = matters_with(fold(opening), HOUSE, at("2026-03-02 08:00"), [sign])
    assert [(one.about, one.on_no_sheet) for one in found if one.danger] == [("animal/wattle", True)]
