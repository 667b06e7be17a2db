"""The vet: referrals, visits, calls, treatments, tests."""

from datetime import date
from typing import Annotated

import msgspec

from rounds.logbook.entries.base import Entry, Text, joined
from rounds.logbook.words import Sample


class Referred(Entry, frozen=True, kw_only=True):
    """She was referred to a vet: until seen she stays visible as "with the vet"."""

    of = ("animal", "group")
    afterwards = True
    milestone = True
    example = {
        "to": "the reptile vet",
        "why": "has dug for a week, no eggs",
        "appointment": "2026-04-13",
    }
    to: Text = ""
    why: Text = ""
    appointment: date | None = None

    def phrase(self) -> str:
        return joined("referred to " + (self.to or "a vet"), self.why)


class VetSeen(Entry, frozen=True, kw_only=True):
    """A vet has seen the animal. Instructions stand as the vet gave them.

    `under_treatment_until` marks an animal that is not paired, sold or brumated before that day; a treatment
    without that day lasts until it is said to have ended. `carrying` is whether the vet found her gravid, if it
    was looked for. `again` is the day by which the vet wants to see or hear of it again; `weigh_days` says that
    the vet wants it weighed every so many days, until `weigh_until` if that is given.
    """

    of = ("animal", "group")
    afterwards = True
    milestone = True
    keep = 16
    example = {
        "outcome": "kept overnight",
        "instructions": "warm and quiet",
        "carrying": True,
    }
    outcome: Text = ""
    instructions: Text = ""
    treatment: Text = ""
    under_treatment_until: date | None = None
    carrying: Annotated[bool, msgspec.Meta(extra={"says": "gravid, as the vet found"})] | None = None
    vet: Text = ""
    again: date | None = None
    weigh_days: Annotated[int, msgspec.Meta(ge=1, le=60, extra={"unit": "days"})] | None = None
    weigh_until: date | None = None

    @property
    def found_gravid(self) -> bool:
        """Whether the vet found her gravid (`carrying`, as the sheets have it)."""
        return self.carrying is True

    @property
    def found_empty(self) -> bool:
        """Whether the vet looked for eggs and found none."""
        return self.carrying is False

    def phrase(self) -> str:
        return joined("vet seen", self.outcome, self.instructions)


class VetCalled(Entry, frozen=True, kw_only=True):
    """A vet was spoken to by telephone: who, and what was said, in the vet's own words.

    `again` is the day by which the vet wants to see or hear of the animal.
    """

    of = ("animal", "group")
    afterwards = True
    keep = 16
    example = {
        "vet": "the reptile vet",
        "said": "bring her tomorrow at nine",
        "again": "2026-04-13",
    }
    vet: Text = ""
    said: Text = ""
    again: date | None = None

    def phrase(self) -> str:
        return joined("vet phoned" + (f" ({self.vet})" if self.vet else ""), self.said)


class TreatmentGiven(Entry, frozen=True, kw_only=True):
    """A treatment was given as the vet prescribed it; `what` in the vet's words."""

    of = ("animal", "group")
    example = {"what": "as the vet wrote it down"}
    what: Text = ""

    def phrase(self) -> str:
        return joined("treatment given as prescribed", self.what)


class TreatmentEnded(Entry, frozen=True, kw_only=True):
    """A treatment is over, as the vet said."""

    of = ("animal", "group")

    def phrase(self) -> str:
        return "treatment ended"


class Tested(Entry, frozen=True, kw_only=True):
    """A sample was tested: droppings for parasites, or a swab for viruses. `clear` once the result is known."""

    of = ("animal", "group")
    afterwards = True
    example = {"what": "faecal test", "clear": True}
    what: Sample
    clear: bool | None = None
    result: Text = ""

    def phrase(self) -> str:
        found = {None: "sent, no result yet", True: "clear", False: "not clear"}[self.clear]
        return joined(f"{self.what} {found}", self.result)
