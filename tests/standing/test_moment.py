"""The standing as of a moment."""

from __future__ import annotations

from rounds.standing.animal import animal
from rounds.standing.as_of import as_of
from tests.notation import at, logbook, standing

PAGE = """
2026-03-01 AK
08:00 b3 enclosure_set_up name=B3
08:00 b4 enclosure_set_up name=B4
08:01 wattle arrived name=Wattle sex=F place=b3
08:02 wattle weighed grams=450
2026-03-05
08:00 wattle moved to=b4
08:05 wattle weighed grams=440
08:10 sedge arrived name=Sedge sex=F place=b4
"""


def test_what_is_dated_later_does_not_count_yet() -> None:
    then = as_of(standing(PAGE), at("2026-03-04"))
    assert [entry.grams for entry in animal(then, "animal/wattle").weights] == [450]
    assert animal(then, "animal/wattle").place == "enclosure/b3"
    assert then.living_in("enclosure/b4") == ()
    assert not animal(then, "animal/sedge").here


def test_it_equals_the_fold_of_the_entries_up_to_then() -> None:
    moment = at("2026-03-04")
    short = PAGE.partition("2026-03-05")[0]
    assert as_of(standing(PAGE), moment) == standing(short)
    assert as_of(standing(PAGE), moment).places == standing(short).places


def test_with_nothing_dated_later_it_is_the_same_standing() -> None:
    whole = standing(PAGE)
    assert as_of(whole, at("2026-03-05 08:10")) is whole


def test_what_was_taken_back_later_stays_taken_back() -> None:
    book = logbook(PAGE)
    wrong = next(entry for entry in book if entry.kind == "weighed")
    whole = standing(PAGE + f"2026-03-06\n08:00 wattle corrected replaces={wrong.id}")
    assert animal(as_of(whole, at("2026-03-04")), "animal/wattle").weights == ()


def test_an_entry_more_counts_in_the_standing_after_it() -> None:
    later = standing("2026-03-09 AK\n08:00 wattle weighed grams=455")
    entry = animal(later, "animal/wattle").weights[0]
    then = as_of(standing(PAGE), at("2026-03-04")).after(entry)
    assert [one.grams for one in animal(then, "animal/wattle").weights] == [450, 455]
    assert then.living_in("enclosure/b3") == ("animal/wattle",)
