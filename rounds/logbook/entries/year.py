"""An animal's year before pairing: the warm-up after brumation, a season of rest, and the traits it has."""

from rounds.logbook.entries.base import Count, Entry, Text, joined


class WarmUpBegan(Entry, frozen=True, kw_only=True):
    """The warm-up at the end of brumation began: light and heat go up day by day."""

    of = ("animal",)
    milestone = True

    def phrase(self) -> str:
        return "warm-up began"


class Rested(Entry, frozen=True, kw_only=True):
    """The keeper rests an animal: it is not paired this season, or `for_good` not any more.

    It ends when the animal is put together with another; that of a season ends with the next brumation too.
    """

    of = ("animal",)
    milestone = True
    keep = 16
    example = {"for_good": True}
    for_good: bool = False

    def phrase(self) -> str:
        return "retired, not paired any more" if self.for_good else "rests, not paired this season"


class TraitsSettled(Entry, frozen=True, kw_only=True):
    """Which traits an animal shows, carries unseen, may carry, does not show, and does not carry, from here on.

    The names are those of the colony's own list of traits (colony.toml); `leatherback` is known without one.
    `normal` is said of a young that was looked at and does not show it, though it may carry it: it tells of its
    parents. Of a group `count` says in how many of the young it was seen so: one entry for each look.
    """

    of = ("animal", "group")
    milestone = True
    keep = 32
    example = {"shows": ["leatherback"], "how": "seen"}
    shows: tuple[str, ...] = ()
    carries: tuple[str, ...] = ()
    possible: tuple[str, ...] = ()
    normal: tuple[str, ...] = ()
    without: tuple[str, ...] = ()
    how: Text = ""
    count: Count | None = None

    def phrase(self) -> str:
        said = (
            ("shows", self.shows),
            ("carries", self.carries),
            ("may carry", self.possible),
            ("normal for", self.normal),
            ("without", self.without),
        )
        many = f"of {self.count} young" if self.count is not None else ""
        return joined(
            "traits settled", many, *(f"{word} {', '.join(names)}" for word, names in said if names), self.how
        )
