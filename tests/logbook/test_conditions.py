"""What a keeper writes to find something, and what it is read as."""

from __future__ import annotations

from datetime import date
from typing import Final

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rounds.errors import BadEntry
from rounds.logbook.conditions import Conditions, in_words
from rounds.logbook.find_words import conditions

#: Thursday, 12 November 2026.
TODAY = date(2026, 11, 12)


class Room:
    """A room whose animals and tubs are known by these names."""

    subjects: Final = {
        "wattle": "animal/wattle",
        "sedge": "animal/sedge",
        "hatch 1": "group/hatch-1",
        "grosse grüne": "animal/grosse-grune",
        "b3": "enclosure/b3",
        "enclosure/b3": "enclosure/b3",
        "left": "animal/left",
        "room": "room",
    }

    def named(self, word: str) -> str | None:
        """By the whole name."""
        return self.subjects.get(word.casefold())

    def find(self, word: str) -> str:
        """By the beginning."""
        for name, subject in self.subjects.items():
            if name.startswith(word.casefold()):
                return subject
        raise BadEntry(f"There is no subject “{word}” here.")


def read(line: str) -> Conditions:
    return conditions(line, Room(), TODAY)


def said(line: str) -> str:
    return in_words(read(line), lambda subject: subject.rpartition("/")[2])


@pytest.mark.parametrize(
    ("line", "means"),
    [
        ("wattle", "wattle"),
        ("Wattle weighed grams<300 since 1 Oct", "weighed, wattle, grams below 300, since 1 Oct 2026"),
        ("weighed since 1 oct wattle grams < 300 g", "weighed, wattle, grams below 300, since 1 Oct 2026"),
        ("wat weighed", "weighed, wattle"),
        ("hatch 1 died", "died, hatch-1"),
        ("Große Grüne shed_seen", "shed seen, grosse-grune"),
        ("egg check done by ak", "egg check done, by ak"),
        ("egg-check-done", "egg check done"),
        ("weighed ate wattle", "weighed, ate, wattle"),
        ("wattle B3", "wattle, b3"),
        ("enclosure/b3 climate_read degrees>35", "climate read, b3, degrees above 35"),
        ("degrees above 35,5", "degrees above 35.5"),
        ("grams over 300", "grams above 300"),
        ("grams under 300", "grams below 300"),
        ("uv_index>=3", "uv_index at least 3"),
        ("grams≤300", "grams at most 300"),
        ("eggs_laid slugs=0", "eggs laid, slugs exactly 0"),
        ("fed yesterday", "fed, on 11 Nov 2026"),
        ("fed today", "fed, on 12 Nov 2026"),
        ("fed on mon", "fed, on 9 Nov 2026"),
        ("fed since -2d", "fed, since 10 Nov 2026"),
        ("fed since 2 weeks ago until yesterday", "fed, since 29 Oct 2026, until 11 Nov 2026"),
        ("fed from 1 mar to 15 mar 2026", "fed, since 1 Mar 2026, until 15 Mar 2026"),
        ("fed in oct 2025", "fed, since 1 Oct 2025, until 31 Oct 2025"),
        ("fed in 2025", "fed, since 1 Jan 2025, until 31 Dec 2025"),
        ("fed until feb 2024", "fed, until 29 Feb 2024"),
        ("note dusty sand since yesterday", "since 11 Nov 2026, note “dusty”, note “sand”"),
        ('note "by the door"', "note “by the door”"),
        ("about left died", "died, left"),
        ("about watt died", "died, wattle"),
        ("left", "left"),
        ("kind left sedge", "left, sedge"),
        ("room noted", "noted, room"),
        ("handed over room", "handed over, room"),
        ("taken over by ak", "taken over, by ak"),
        ("vet phoned wattle", "vet called, wattle"),
        ("Morning stop b3", "stop walked, b3"),
        ("spot clean b3 yesterday", "cleaned, b3, on 11 Nov 2026"),
        ("lethargy wattle", "lethargy seen, wattle"),
        ("weak hind limbs", "weak hind limbs seen"),
        ("nest digging since yesterday", "nest digging seen, since 11 Nov 2026"),
        ("kind vet phoned", "vet called"),
    ],
)
def test_words_in_any_order_are_conditions(line: str, means: str) -> None:
    assert said(line) == means


def test_a_name_that_is_a_kind_wants_about_before_it() -> None:
    assert read("left").kinds == ("left",)
    assert read("about left").subjects == ("animal/left",)
    assert read('"left"').subjects == ("animal/left",)


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("", "Find what? Write it in a line: wattle weighed grams<300 since 1 oct by AK note dusty."),
        ("wieghed", "There is no subject “wieghed” here. “wieghed” is no entry kind either. Did you mean weighed?"),
        ("kind wieghed", "“wieghed” is no entry kind; docs/entries.md lists them. Did you mean weighed?"),
        ("jarrah", "There is no subject “jarrah” here. In notes: note jarrah"),
        (
            "gramms<300",
            "No entry has a figure “gramms”; write grams, degrees, eggs or another. Did you mean grams?",
        ),
        ("ate grams<300", "ate has no grams. Its figures: none."),
        (
            "climate_read grams<30",
            "climate_read has no grams. Its figures: air_c, air_high_c, air_low_c, basking_c, cool_c, humidity, "
            "night_low_c, uv_index.",
        ),
        ("mating_seen eggs>15", "mating_seen has no eggs. Its figures: none."),
        ("grams", "grams wants a figure: grams<300 or grams>300."),
        ("wattle grams", "grams wants a figure: grams<300 or grams>300."),
        ("grams<<3", "“<<” is no sign: write grams<300 or grams>300."),
        ("grams<heavy", "“heavy” is no figure: write grams<300."),
        ("grams under", "grams wants a figure: write grams under 300."),
        (
            "since 12 nov until 3 nov",
            "The period ends before it begins: since 12 Nov 2026, until 3 Nov 2026. Turn them round.",
        ),
        ("since 31 feb", "since: “31 feb” is no day: there is no such day"),
        ("since", "“since” wants a word behind it, such as since 3 nov."),
        ("wattle by", "“by” wants a word behind it, such as by AK."),
        ("wattle note", "“note” wants a word behind it, such as note dusty."),
    ],
)
def test_what_cannot_be_read_is_said_in_a_sentence(line: str, told: str) -> None:
    with pytest.raises(BadEntry) as error:
        read(line)
    assert str(error.value).startswith(told)


_WORDS: Final = (*"wattle b3 weighed fed since by note < 300 grams 1 oct in to today".split(), '"')  # noqa: SIM905


@given(st.text(max_size=60) | st.lists(st.sampled_from(_WORDS)).map(" ".join))
def test_any_line_is_read_or_refused_with_a_sentence(line: str) -> None:
    try:
        found = read(line)
    except BadEntry as error:
        told = str(error)
    else:
        told = said(line)
        assert found != Conditions()
    assert told
