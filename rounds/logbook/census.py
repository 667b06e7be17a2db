"""The census of a clutch: laid = slugs + removed + failed + hatched + still in + not boxed.

`census_of` gives every term and the sum; `rounds.standing.census` that of a clutch as it stands.
"""

from __future__ import annotations

import msgspec

from rounds.logbook.boxing import Boxings


class Census(msgspec.Struct, frozen=True):
    """Each egg laid, once: thrown out as a slug, removed, failed, hatched, in a box, or in none. In eggs."""

    laid: int = 0
    slugs: int = 0
    removed: int = 0
    failed: int = 0
    hatched: int = 0
    still_in: int = 0
    #: Sound eggs that wait for a box.
    not_boxed: int = 0
    #: Of eggs boxed again: how many were left before and are in no box now.
    not_accounted: int = 0
    #: So many more than were laid are gone or in boxes; 0 where it adds up.
    over: int = 0
    #: Whether the eggs laid were ever counted.
    counted: bool = False

    @property
    def sum(self) -> int:
        """All terms together; as many as were laid, where it adds up and they were counted."""
        gone = self.slugs + self.removed + self.failed + self.hatched
        return gone + self.still_in + self.not_boxed + self.not_accounted

    @property
    def adds_up(self) -> bool:
        """Whether the terms are as many as were laid."""
        return not self.over and (self.sum == self.laid or not self.counted)

    @property
    def terms(self) -> str:
        """`1 slug + 2 removed + 18 in`: the terms that are not 0."""
        named = (
            (self.slugs, "slug" if self.slugs == 1 else "slugs"),
            (self.removed, "removed"),
            (self.failed, "failed"),
            (self.hatched, "hatched"),
            (self.still_in, "in"),
            (self.not_boxed, "not boxed"),
            (self.not_accounted, "not accounted for"),
        )
        return " + ".join(f"{count} {word}" for count, word in named if count) or "0"

    @property
    def words(self) -> str:
        """`21 laid = 1 slug + 2 removed + 18 in`."""
        if not self.counted:
            return f"not counted when laid; {self.terms}"
        if not self.adds_up:
            return f"{self.laid} laid, but {self.terms}: {max(self.over, self.sum - self.laid)} too many"
        return f"{self.laid} laid = {self.terms}"


def census_of(read: Boxings) -> Census:
    """The census of what the entries of a clutch say."""
    again = read.now.again
    # Slugs do not hatch: where more came out of boxes than lay in them, the slugs are still there.
    return Census(
        laid=read.laid,
        slugs=read.slugs_lost + read.slugs_in_no_box + read.stray - read.stray_failed,
        removed=read.lost - read.slugs_lost - read.failed,
        failed=read.failed + read.stray_failed,
        hatched=read.hatched,
        still_in=read.now.left,
        not_boxed=0 if again else read.unboxed,
        not_accounted=read.unboxed if again else 0,
        over=read.over,
        counted=read.counted,
    )
