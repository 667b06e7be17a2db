"""What left twice: two desks let the same animal, or the same young, go to two people."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from rounds.due.matter import Level, Matter
from rounds.due.matters.look import Look, cites, needs
from rounds.logbook.entries import Arrived, Left


@cites()
@needs(Left)
def left_twice(look: Look) -> Iterator[Matter]:
    """An animal left twice and never came back in between, or more left a group than there were.

    Today: two desks that did not know of each other may have sold the same one, and somebody waits for it. It ends
    when one of the two entries is corrected or taken back. One that was lent, and then sold to whoever has it, is
    no slip; more dead than there were is for `rounds check` to tell.
    """
    left = [entry for entry in look.animal.own(Left) if entry.at <= look.now]
    if look.subject.startswith("group/"):
        census = look.group.census
        if census.over and left:
            words = f"{look.name}: {census.over} more went than there were. {census.says}."
            yield _matter(look, words, tuple(left[-2:]))
        return
    if len(left) < 2:
        return
    back = look.animal.own(Arrived)
    twice = [
        (one, other)
        for one, other in pairwise(left)
        if one.how != "lent" and not any(one.key < came.key < other.key for came in back)
    ]
    if twice:
        one, other = twice[-1]
        yield _matter(
            look, f"{look.name} left twice: {_to(one)} ({one.by}), {_to(other)} ({other.by}).", (one, other)
        )


def _to(entry: Left) -> str:
    return f"{entry.how} to {entry.to.strip()}" if entry.to.strip() else entry.how


def _matter(look: Look, says: str, entries: tuple[Left, ...]) -> Matter:
    return look.matter(
        left_twice,
        Level.TODAY,
        says,
        since=max(entry.known for entry in entries),
        entries=entries,
        do=(
            "Ask the keepers who has it, and tell the one who waits.",
            "On its page, take back the entry that is wrong.",
        ),
        worsens="someone comes for one that is gone",
        acts=("note",),
    )
