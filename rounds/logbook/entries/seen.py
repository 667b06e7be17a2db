"""What was seen of an animal: behaviour, droppings, shed, condition, and notes."""

from rounds.logbook.entries.base import Animal, Entry, Text, joined
from rounds.logbook.entries.lives import short
from rounds.logbook.words import Behaviour, Body, Droppings, Look, Shed, Sign


class BehaviourSeen(Entry, frozen=True, kw_only=True):
    """Behaviour of an animal; about the enclosure when it is not known which animal in it that was."""

    of = ("animal", "group", "enclosure")
    keep = 400
    mentions = ("toward",)
    example = {"behaviour": "nest digging"}
    behaviour: Behaviour
    toward: Animal | None = None

    def phrase(self) -> str:
        return self.behaviour + (f" {self.to} {short(self.toward)}" if self.toward else "")

    @property
    def to(self) -> str:
        """The word before the other animal: two copulate with each other, the rest is done toward one."""
        return "with" if self.behaviour == "copulation" else "toward"


class DroppingsSeen(Entry, frozen=True, kw_only=True):
    """Droppings, or that none were found."""

    of = ("animal", "group", "enclosure")
    keep = 240
    example = {"look": "normal"}
    look: Droppings = "normal"

    def phrase(self) -> str:
        return f"droppings {self.look}"


class ShedSeen(Entry, frozen=True, kw_only=True):
    """A shed begun, come off clean, or stuck."""

    of = ("animal", "group")
    example = {"state": "begun"}
    state: Shed
    where: Text = ""

    def phrase(self) -> str:
        return joined(f"shed {self.state}", self.where)


class ConditionSeen(Entry, frozen=True, kw_only=True):
    """How an animal looked: bright, quiet or dull; its body from very thin to very heavy; any sign."""

    of = ("animal", "group")
    #: What was seen stays until it is answered, however many looks came after it.
    keep = 400
    example = {"look": "bright", "body": "heavy"}
    look: Look | None = None
    body: Body | None = None
    signs: tuple[Sign, ...] = ()

    def phrase(self) -> str:
        return joined("looked " + (self.look or "at"), self.body or "", *self.signs)


class Noted(Entry, frozen=True, kw_only=True):
    """A note in the keeper's own words (in `note`)."""

    afterwards = True
    keep = 4
    example = {"about": "enclosure/b3", "note": "door of the rack sticks"}

    def phrase(self) -> str:
        return "note"
