"""Lists and the walk read from the register what the pages say, whatever was written and however pages are kept."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from rounds.logbook.entries import Entry, StopWalked
from rounds.standing.animal import animal
from rounds.standing.card import card_of
from rounds.standing.enclosure import enclosure, walking_order
from rounds.standing.fold import Standing, fold
from rounds.standing.group import group
from rounds.standing.page import Page
from rounds.standing.pages import KeptPages
from tests.any_entries import START, entries
from tests.notation import standing

_SORTS = ("animal", "group", "enclosure", "clutch")


def kept_elsewhere(whole: Standing, opened: list[str] | None = None) -> Standing:
    """The same standing with pages that are fetched one by one, and its register filled as a cache fills it."""
    pages = dict(whole.pages)

    def fetch(subject: str) -> Page:
        if opened is not None:
            opened.append(subject)
        return pages[subject]

    kept = KeptPages(frozenset(pages), fetch)
    register = whole.register
    cards = {subject: register.card(subject) for subject in pages}
    walks = {(one.day, one.walk) for page in pages.values() for one in page.of(StopWalked)}
    walked = {(day, part): register.walked(day, part) for day, part in walks}
    return Standing(kept, register.kept(kept, cards, dict(register.newest), walked, date.min))


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


@given(entries(), entries())
def test_the_register_goes_along_as_if_made_anew(before: list[Entry], after: list[Entry]) -> None:
    written = [*before, *after]
    whole = fold(before)
    told(whole, written[::2])
    for step in (whole, kept_elsewhere(whole)):
        told(step, written[::2])
        for entry in after:
            step = step.after(entry)
        assert told(step, written) == told(fold(written), written)
        assert step == fold(written)
        assert step.latest == fold(written).latest


@given(entries())
def test_cards_say_what_the_views_say(written: list[Entry]) -> None:
    whole = fold(written)
    for subject in whole.subjects("animal"):
        card, one = whole.card(subject), animal(whole, subject)
        assert (card.name, card.here, card.sex, card.place) == (one.name, one.here, one.sex, one.place)
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
    08:00  @b3     enclosure_set_up  name=B3
    08:00  @b1     enclosure_set_up  name=B1
    08:01  wattle  arrived  name=Wattle sex=F place=@b3 tag=4711
    17:30  @b3     fed
    17:31  @b3     stop_walked  walk=evening day=2026-03-10
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
