"""From words to an entry and back: what cannot be kept is refused in a keeper's words."""

from __future__ import annotations

from typing import Any

import pytest

from rounds.errors import BadEntry
from rounds.logbook import rows
from rounds.logbook.entries import Entry

_SHARED = {"id": "x", "at": "2026-03-10T08:00:00+01:00", "by": "AK", "about": "enclosure/b3"}


@pytest.mark.parametrize(
    ("members", "where"),
    [
        ({"kind": "fed", "food": "in\udcffects"}, "a letter behind “in”"),
        ({"kind": "fed", "food": "insects", "note": "gr\udcfcn"}, "a letter behind “gr”"),
        ({"kind": "cleaned", "by": "\udcc4K"}, "the first letter of a text"),
    ],
    ids=["a word that is chosen", "a note", "initials"],
)
def test_words_of_a_terminal_that_is_not_utf_8_are_refused_and_the_place_is_named(
    members: dict[str, Any], where: str
) -> None:
    with pytest.raises(BadEntry) as refused:
        rows.from_mapping({**_SHARED, **members}, lenient=True)
    assert str(refused.value) == (
        f"{members['kind']}: {where} is no UTF-8. Write it again, or set the terminal to UTF-8"
    )


def test_a_kind_without_words_of_its_own_is_told_by_its_name() -> None:
    noted = rows.from_mapping(
        {**_SHARED, "kind": "vet_called", "about": "animal/wattle", "said": "wait"}, lenient=True
    )
    assert Entry.phrase(noted) == "vet called"
