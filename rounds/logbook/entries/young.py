"""Young counted together, and animals on their way to a buyer."""

from rounds.logbook.entries.base import Animal, Count, Currency, Entry, Group, Money, Text, joined
from rounds.logbook.entries.lives import short
from rounds.logbook.money import money


class Counted(Entry, frozen=True, kw_only=True):
    """A group was counted: so many were there. It does not change how many there are reckoned to be.

    Fewer than there should be? Write what became of them (`died`, `left`); not found, or never counted before,
    is `count_settled`.
    """

    of = ("group",)
    keep = 16
    example = {"count": 17}
    count: Count

    def phrase(self) -> str:
        return f"counted {self.count}"


class CountSettled(Entry, frozen=True, kw_only=True):
    """So many there are from here on: those missing were looked for and not found, those too many never counted.

    The difference stands in the sum of the group as "not found" or "found more".
    """

    of = ("group",)
    milestone = True
    keep = 128
    example = {"count": 17, "note": "looked under the bark too"}
    count: Count

    def phrase(self) -> str:
        return f"count settled: {self.count} are there"


class SplitOff(Entry, frozen=True, kw_only=True):
    """So many of a group went into another group, new or there already."""

    of = ("group",)
    milestone = True
    keep = 128
    mentions = ("into",)
    example = {"into": "group/hatch-1-large", "count": 6, "why": "the large ones"}
    into: Group
    count: Count
    why: Text = ""

    def phrase(self) -> str:
        return joined(f"{self.count} split off into {short(self.into)}", self.why)


class Merged(Entry, frozen=True, kw_only=True):
    """All that are left of a group went into another; it is a group of its own no more.

    `count` is how many that were; left away it is filled in when it is written.
    """

    of = ("group",)
    milestone = True
    keep = 128
    mentions = ("into",)
    example = {"into": "group/hatch-2", "count": 9}
    into: Group
    count: Count | None = None

    def phrase(self) -> str:
        return f"{self.count if self.count is not None else 'all'} merged into {short(self.into)}"


class SingledOut(Entry, frozen=True, kw_only=True):
    """One young of a group became an animal with a name of its own; its arrival says the rest."""

    of = ("group",)
    milestone = True
    keep = 128
    mentions = ("animal",)
    example = {"animal": "animal/mallee"}
    animal: Animal

    def phrase(self) -> str:
        return f"singled out {short(self.animal)}"


class HeldBack(Entry, frozen=True, kw_only=True):
    """It stays in the colony, for now or for good: not for sale."""

    of = ("animal", "group")
    milestone = True
    keep = 128
    example = {"why": "for next year's pairing"}
    why: Text = ""
    count: Count | None = None

    def phrase(self) -> str:
        return joined(f"{self.count} held back" if self.count is not None else "held back", self.why)


class Reserved(Entry, frozen=True, kw_only=True):
    """Reserved for somebody, with or without a deposit."""

    of = ("animal", "group")
    milestone = True
    #: As many as a large group may have: one let go would be sold to another.
    keep = 128
    example = {"whom": "a keeper in the next valley", "deposit": 20, "currency": "AUD"}
    whom: Text
    deposit: Money | None = None
    currency: Currency = ""
    count: Count | None = None

    def phrase(self) -> str:
        return joined(
            f"{self.count} reserved for {self.whom}" if self.count is not None else f"reserved for {self.whom}",
            f"deposit {money(self.deposit, self.currency)}" if self.deposit is not None else "",
        )


class Released(Entry, frozen=True, kw_only=True):
    """Neither held back nor reserved any more; with `whom`, only that reservation ended.

    With `only_held` it is no longer held back; what is reserved stays so.
    """

    of = ("animal", "group")
    milestone = True
    keep = 128
    whom: Text = ""
    count: Count | None = None
    only_held: bool = False

    def phrase(self) -> str:
        many = f"{self.count} " if self.count is not None else ""
        if self.whom:
            return f"{many}no longer reserved for {self.whom}"
        return f"{many}no longer held back" + ("" if self.only_held else " or reserved")
