"""An animal's year before pairing: the warm-up after brumation, and the traits it shows or carries."""

from rounds.logbook.entries.base import Entry, Text, joined


class WarmUpBegan(Entry, frozen=True, kw_only=True):
    """The warm-up at the end of brumation began: light and heat go up day by day."""

    of = ("animal",)
    milestone = True

    def phrase(self) -> str:
        return "warm-up began"


class TraitsSettled(Entry, frozen=True, kw_only=True):
    """Which traits an animal shows, carries unseen, may carry, and does not carry, from here on.

    The names are those of the colony's own list of traits (colony.toml); `leatherback` is known without one.
    """

    of = ("animal",)
    milestone = True
    example = {"shows": ["leatherback"], "how": "seen"}
    shows: tuple[str, ...] = ()
    carries: tuple[str, ...] = ()
    possible: tuple[str, ...] = ()
    without: tuple[str, ...] = ()
    how: Text = ""

    def phrase(self) -> str:
        said = (
            ("shows", self.shows),
            ("carries", self.carries),
            ("may carry", self.possible),
            ("without", self.without),
        )
        return joined("traits settled", *(f"{word} {', '.join(names)}" for word, names in said if names), self.how)
