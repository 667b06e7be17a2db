"""Feeders and supplies, and what is agreed for a day."""

from datetime import date
from typing import Annotated

import msgspec

from rounds.logbook.entries.base import Currency, Entry, Money, Text, day_said, joined
from rounds.logbook.money import money
from rounds.logbook.words import AppointmentEnd

_Amount = Annotated[float, msgspec.Meta(ge=0, le=10_000_000)]
_Unit = Annotated[str, msgspec.Meta(max_length=20)]
_Clock = Annotated[str, msgspec.Meta(pattern=r"^(?:[01]\d|2[0-3]):[0-5]\d$")]
_Name = Annotated[str, msgspec.Meta(max_length=200)]


class StockCounted(Entry, frozen=True, kw_only=True):
    """So much of a supply is in stock, by count; in the unit of the supply (`pieces`, `g` …).

    The first count, or what first came in, opens the supply. `name` is what keepers call it; else its id says it.
    """

    of = ("supply",)
    keep = 48
    example = {"amount": 800, "unit": "pieces"}
    amount: _Amount
    unit: _Unit = "pieces"
    name: _Name = ""

    def phrase(self) -> str:
        return f"in stock {self.amount:.10g} {self.unit}"


class StockIn(Entry, frozen=True, kw_only=True):
    """So much of a supply came in: bought, or bred here. `name` as in `stock_counted`."""

    of = ("supply",)
    keep = 48
    example = {"amount": 1000, "unit": "pieces", "price": 25, "currency": "AUD"}
    amount: _Amount
    unit: _Unit = "pieces"
    name: _Name = ""
    price: Money | None = None
    currency: Currency = ""
    origin: Text = ""

    def phrase(self) -> str:
        return joined(
            f"{self.amount:.10g} {self.unit} came in",
            money(self.price, self.currency) if self.price is not None else "",
            self.origin,
        )


class AppointmentMade(Entry, frozen=True, kw_only=True):
    """Something is agreed for a day: a vet's visit, a buyer who comes. `clock` is the hour, as 10:30.

    A visit of a vet on that day or later keeps it; else `appointment_ended` says what became of it.
    """

    of = ("animal", "group", "room")
    afterwards = True
    #: Those of the room wait for months among many others.
    keep = 64
    example = {"on": "2026-04-16", "clock": "10:30", "whom": "the vet", "why": "look at her again"}
    on: date
    clock: _Clock | None = None
    whom: Text = ""
    why: Text = ""

    def phrase(self) -> str:
        return joined(
            f"appointment on {day_said(self.on, self.at)}" + (f" at {self.clock}" if self.clock else ""),
            self.whom,
            self.why,
        )


class AppointmentEnded(Entry, frozen=True, kw_only=True):
    """What became of an appointment: kept, not kept, or cancelled. `on` is the day it was for.

    Of several on that day it says of which: with `whom`, at what `clock`; of all of them where neither is said.
    """

    of = ("animal", "group", "room")
    afterwards = True
    keep = 64
    example = {"on": "2026-04-16", "how": "kept"}
    on: date
    how: AppointmentEnd = "kept"
    whom: Text = ""
    clock: _Clock | None = None

    def phrase(self) -> str:
        of = "".join(f" {word}" for word in (self.clock, f"with {self.whom}" if self.whom else "") if word)
        return f"appointment of {day_said(self.on, self.at)}{of} {self.how}"
