"""What the young of two would carry, whether they are together or not: close kin, traits that are a burden."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import msgspec

from rounds.due.figures import percent_of
from rounds.due.matters.look import Look
from rounds.logbook.entries import Entry
from rounds.standing.traits import notes

if TYPE_CHECKING:
    from rounds.standing.pedigree import Kin, Pedigree


class Reason(msgspec.Struct, frozen=True):
    """Why two should not be together, the entries behind it, and its house rules; `short` for a table of many."""

    says: str
    entries: tuple[Entry | None, ...]
    house: tuple[str, ...] = ()
    short: str = ""


def reasons_of_young(look: Look, his: Look) -> Iterator[Reason]:
    """Why the young of these two would carry a burden, whether they are together or not."""
    if not _kin_tells(look, his):
        return
    from rounds.standing.pedigree import pedigree  # late: no start has to wait for it

    yield from burdens(look, his)
    parents = pedigree(look.standing, look.house.breeding_days)
    yield from close_kin(look, his, parents, parents.kin(look.subject, his.subject))


def _kin_tells(look: Look, his: Look) -> bool:
    """Whether the two have an ancestor in common, or one of their ancestors or they have a note of a burden.

    Where neither is so, there is nothing to reckon; most pairs are such, and a start has not to wait for it.
    """
    from rounds.standing.parents import parents_of

    above: list[dict[str, None]] = []
    for who in (look.subject, his.subject):
        found = {who: None}
        for one in (ahead := [who]):
            new = [up for up in parents_of(look.standing, one, look.house.breeding_days).named if up not in found]
            found.update(dict.fromkeys(new))
            ahead += new
        above.append(found)
    hers, him = above
    if not hers.keys().isdisjoint(him):
        return True
    traits = [trait for trait in look.house.traits if trait.burden]
    return any(notes(look.standing, one, traits) for one in (*hers, *him))


def burdens(look: Look, his: Look) -> Iterator[Reason]:
    """Traits that some of their young would suffer from."""
    crosses = look.reckoning.burdens
    for trait in crosses.traits:
        cross = crosses.cross(look.subject, his.subject, trait)
        if not cross.burdened:
            continue
        notes = [note for note in (cross.hers.note, cross.his.note) if note is not None]
        both = [note.status for note in notes] == ["shows", "shows"]
        who = f"two {trait.name}s" if both else f"{trait.name} on both sides"
        yield Reason(
            f"{who}, {percent_of(cross.burdened)} of the young {trait.two}",
            tuple(note.entry for note in notes),
            ("pairing.scaleless_percent",),
            trait.two,
        )


def close_kin(look: Look, his: Look, parents: Pedigree, kin: Kin) -> Iterator[Reason]:
    """That they are closer kin than the house allows."""
    if kin.worst is None or kin.most * 100 < look.house.number("pairing.inbreeding_percent"):
        return
    from rounds.standing.kin_words import kin_words

    words = kin_words(look.subject, his.subject, kin.worst.parents, kin.most)
    figure = percent_of(kin.most) if kin.least == kin.most else f"up to {percent_of(kin.most)}"
    behind = (*parents.parents(look.subject).entries, *parents.parents(his.subject).entries)
    yield Reason(f"{words}, inbreeding of the young {figure}", behind, ("pairing.inbreeding_percent",), words)
