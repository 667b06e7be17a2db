"""The people's side: stops walked, matters answered, shifts handed over, mistakes corrected."""

from datetime import date
from typing import Annotated

import msgspec

from rounds.logbook.entries.base import Entry, Subject, Text, day_said, joined
from rounds.logbook.words import WalkPart


class StopWalked(Entry, frozen=True, kw_only=True):
    """A keeper stood at this enclosure on this walk and looked. `walk` and `day` name the walk."""

    of = ("enclosure",)
    keep = 6
    example = {"walk": "morning", "day": "2026-04-12"}
    walk: WalkPart
    day: date

    def phrase(self) -> str:
        return f"{self.walk} stop"


class Acknowledged(Entry, frozen=True, kw_only=True):
    """A matter was read and taken on by a keeper. It stays open; a worse level asks again."""

    afterwards = True
    keep = 24
    example = {"matter": "danger sign animal/wattle 2026-04-12", "level": "vet now"}
    matter: Text
    level: Text = ""

    def phrase(self) -> str:
        return f"acknowledged {self.level} {self.matter}".replace("  ", " ")


class PutOff(Entry, frozen=True, kw_only=True):
    """A matter was put off until a day, with the reason. Danger signs cannot be."""

    afterwards = True
    keep = 24
    example = {
        "about": "enclosure/b3",
        "matter": "lamp due enclosure/b3 2026-04-12",
        "until": "2026-04-20",
        "reason": "tube ordered",
    }
    matter: Text
    until: date
    reason: Annotated[str, msgspec.Meta(min_length=1, max_length=10_000)]

    def phrase(self) -> str:
        return f"put off until {day_said(self.until, self.at)}: {self.reason}"


class HandedOver(Entry, frozen=True, kw_only=True):
    """The outgoing keeper signed the hand-over: the sheet as text, and the notes for the next."""

    of = ("room",)
    keep = 12
    example = {"to": "EM"}
    to: Text = ""
    desk: Text = ""
    sheet: Annotated[str, msgspec.Meta(max_length=200_000)] = ""

    def phrase(self) -> str:
        return "handed over" + (f" to {self.to}" if self.to else "")


class TakenOver(Entry, frozen=True, kw_only=True):
    """The next keeper took over: which hand-over was read, which matters were acknowledged, at which desk."""

    of = ("room",)
    keep = 12
    hand_over: Text = ""
    matters: tuple[str, ...] = ()
    desk: Text = ""

    def phrase(self) -> str:
        return "taken over"


class Corrected(Entry, frozen=True, kw_only=True):
    """An earlier entry is wrong. It stays readable and counts no more; `instead` names the one put in its place.

    `about` and `also` repeat the subjects of the entry it replaces, `was` what it said, in words.
    """

    afterwards = True
    keep = 8
    mentions = ("also",)
    example = {
        "replaces": "1m7zzz0abcdefg",
        "because": "it was Sedge",
        "was": "nest digging",
    }
    replaces: Annotated[str, msgspec.Meta(min_length=1, max_length=40)]
    instead: str = ""
    because: Text = ""
    was: Text = ""
    also: tuple[Subject, ...] = ()

    def phrase(self) -> str:
        return joined("taken back" if not self.instead else "corrected", self.because)
