"""Lists and the walk read from the register what the pages say, whatever was written and however pages are kept."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from rounds.logbook.entries import Corrected, Entry, StopWalked
from rounds.standing.animal import animal
from rounds.standing.card import Card, card_of
from rounds.standing.enclosure import enclosure, walking_order
from rounds.standing.fold import Standing, fold
from rounds.standing.group import group
from rounds.standing.page import Page
from rounds.standing.pages import StoredPages
from rounds.standing.register import Register, Walked
from tests.any_entries import START, entries
from tests.notation import standing

_SORTS = ("animal", "group", "enclosure", "clutch")


class Kept:
    """A register kept as a cache keeps it: answers, but no pages."""

    def __init__(self, whole: Standing, since: date) -> None:
        self._register = whole.register
        self._cards = {subject: whole.card(subject) for subject in whole.pages}
        found = {(one.day, one.walk) for page in whole.pages.values() for one in page.of(StopWalked)}
        self.walks: set[tuple[date, str]] = {key for key in found if key[0] >= since}
        self.since = since

    def walk(self, key: tuple[date, str]) -> Walked:
        return self._register.walked(*key)

    def card(self, subject: str) -> Card:
        return self._cards[subject]

    def places(self) -> dict[str, str]:
        return dict(self._register.places)

    def newest(self) -> dict[str, datetime]:
        return dict(self._register.newest)

    def orders(self) -> dict[tuple[str, ...], tuple[str, ...]]:
        return {}


def kept_elsewhere(whole: Standing, opened: list[str] | None = None, since: date = date.min) -> Standing:
    """The same standing with pages that are fetched one by one, and its register kept beside them."""
    pages = dict(whole.pages)

    def fetch(subject: str) -> Page:
        if opened is not None:
            opened.append(subject)
        return pages[subject]

    kept = StoredPages(frozenset(pages), fetch)
    return Standing(kept, Register(kept, Kept(whole, since)))


def told(of: Standing, written: Sequence[Entry] = ()) -> dict[str, object]:
    """What the register tells, of the walks on which these entries were written among others."""
    walks = {(entry.day, entry.walk) for entry in written if isinstance(entry, StopWalked)}
    return {
        "cards": {subject: of.card(subject) for subject in sorted(of.pages)},
        "places": dict(of.places),
        "living": {place: of.living_in(place) for place in of.subjects("enclosure")},
        "subjects": {sort: list(of.subjects(sort)) for sort in _SORTS},
        "order": walking_order(of, ("B3", "enclosure/c1")),
        "walked": {walk: of.register.walked(*walk) for walk in {*walks, (START.date(), "morning")}},
    }


@given(entries(), entries(), st.booleans())
def test_the_register_goes_along_as_if_made_anew(before: list[Entry], after: list[Entry], looked: bool) -> None:
    written = [*before, *after]
    whole = fold(before)
    told(whole, written[::2])
    for step in (whole, kept_elsewhere(whole), kept_elsewhere(whole, since=START.date())):
        if looked:
            told(step, written[::2])
        for entry in after:
            step = step.after(entry)
        assert told(step, written) == told(fold(written), written)
        assert step == fold(written)
        # One that was taken back may have been later; looking back from then on finds the same.
        newest = fold(written).latest
        assert newest is None or (step.latest is not None and step.latest >= newest)


@given(entries())
def test_cards_say_what_the_views_say(written: list[Entry]) -> None:
    whole = fold(written)
    for subject in whole.subjects("animal"):
        card, one = whole.card(subject), animal(whole, subject)
        assert (card.name, card.here, card.sex, card.place) == (one.name, one.here, one.sex, one.place)
        assert card.quarantine == (one.here and one.quarantine_since is not None)
    for subject in whole.subjects("group"):
        assert (whole.card(subject).here, whole.card(subject).place) == (
            group(whole, subject).here,
            whole.places.get(subject),
        )
    for subject in whole.subjects("enclosure"):
        place = enclosure(whole, subject)
        assert (whole.card(subject).name, whole.card(subject).here) == (place.name, place.stands)
        assert whole.card(subject) == card_of(place.page)


@given(entries(), st.integers(0, 72))
def test_looking_back_is_the_same_however_pages_are_kept(written: list[Entry], hours: int) -> None:
    moment = START + timedelta(hours=hours)
    whole = fold(written)
    told(whole, written[::2])
    cut = told(Standing({subject: page.upto(moment) for subject, page in whole.pages.items()}), written)
    assert told(whole.upto(moment), written) == cut
    assert told(kept_elsewhere(whole).upto(moment), written) == cut


ROOM = """
    2026-03-10 AK
    08:00  b3      enclosure_set_up  name=B3
    08:00  b1      enclosure_set_up  name=B1
    08:01  wattle  arrived  name=Wattle sex=F place=b3 tag=4711
    17:30  enclosure/b3  fed
    17:31  b3      stop_walked  walk=evening day=2026-03-10
"""


def test_the_walk_and_its_labels_open_no_page() -> None:
    opened: list[str] = []
    kept = kept_elsewhere(standing(ROOM), opened)
    assert walking_order(kept) == ("enclosure/b1", "enclosure/b3")
    assert kept.living_in("enclosure/b3") == ("animal/wattle",)
    assert kept.card("animal/wattle").tag == "4711"
    assert list(kept.register.walked(date(2026, 3, 10), "evening")) == ["enclosure/b3"]
    assert kept.register.walked(date(2026, 3, 11), "morning") == {}
    assert opened == []


def test_hearing_of_an_entry_opens_no_page_before_it_is_looked_at() -> None:
    opened: list[str] = []
    fed = standing(ROOM).page("enclosure/b3").newest(9)[1]
    again = type(fed)(id="later", at=START + timedelta(days=99), by="EM", about="enclosure/b3")
    kept = kept_elsewhere(standing(ROOM), opened).after(again)
    assert opened == []
    assert kept.page("enclosure/b3").newest(1) == [again]
    assert opened == ["enclosure/b3"]


def test_a_stop_taken_back_is_not_done_though_its_walk_was_not_looked_at() -> None:
    kept = kept_elsewhere(standing(ROOM))
    (stood,) = standing(ROOM).page("enclosure/b3").of(StopWalked)
    back = Corrected(id="c", at=stood.at, by="AK", about=stood.about, replaces=stood.id)
    assert kept.after(back).register.walked(stood.day, stood.walk) == {}
