"""The fold over more entries than a page keeps, as they come off the sheets: newest first."""

from __future__ import annotations

from datetime import timedelta

from rounds.logbook.entries import Entry, MatingSeen, Weighed
from rounds.standing.fold import Gathering, fold
from tests.notation import at, standing

START = at("2026-03-01 08:00")


def matings(first: int, many: int, sire: str) -> list[Entry]:
    """Matings of Wattle, an hour apart."""
    return [
        MatingSeen(id=f"m{n:04}", at=START + timedelta(hours=n), by="AK", about="animal/wattle", sire=sire)
        for n in range(first, first + many)
    ]


def test_an_old_mating_stands_on_his_page_though_hers_has_its_fill() -> None:
    old, new = matings(0, 1, "animal/karri"), matings(1, 5 * MatingSeen.keep, "animal/jarrah")
    gathering = Gathering()
    gathering.add(gathering.sift(new, new[-1].at))
    gathering.add(gathering.sift(old, old[-1].at))
    found = gathering.standing()
    assert found.page("animal/karri").of(MatingSeen) == tuple(old)
    assert len(found.page("animal/wattle").of(MatingSeen)) == MatingSeen.keep
    assert found == fold([*old, *new])


def test_what_was_seen_before_the_newest_entry_leaves_the_newest_where_it_was() -> None:
    page = standing("2026-03-02\n08:00 wattle weighed grams=400")
    assert page.latest == at("2026-03-02 08:00")
    for moment, latest in (("2026-03-01 08:00", "2026-03-02 08:00"), ("2026-03-03 08:00", "2026-03-03 08:00")):
        late = Weighed(id="w", at=at(moment), by="AK", about="animal/wattle", grams=400.0)
        assert page.after(late).latest == at(latest)
    empty = standing("")
    assert empty.latest is None
    assert empty.after(late).latest == late.at


def test_an_old_entry_among_others_hides_none_of_them() -> None:
    def weighed(number: int, about: str) -> Weighed:
        at = START + timedelta(hours=number)
        return Weighed(id=f"w{number:04}", at=at, by="AK", about=about, grams=400.0)

    many = [weighed(number, "animal/wattle") for number in range(10, 10 + 5 * Weighed.keep)]
    mixed = [weighed(1, "animal/wattle"), weighed(2, "animal/sedge")]
    gathering = Gathering()
    gathering.add(many)
    gathering.add(mixed)
    found = gathering.standing()
    assert found.page("animal/sedge").of(Weighed) == (mixed[1],)
    assert found == fold([*mixed, *many])
