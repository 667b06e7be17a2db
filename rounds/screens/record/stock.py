"""Supplies, a few keys each: count one, write what came in, begin another. And what is agreed for a day."""

from __future__ import annotations

from rounds.due.stock import Stock
from rounds.due.supplies import supplies
from rounds.logbook.drafts import Draft
from rounds.logbook.entries import AppointmentEnded, AppointmentMade, Entry, StockCounted, StockIn
from rounds.logbook.plain import folded, slug
from rounds.paper.words import date_words
from rounds.screens.prompts.asks import Figure, Talk
from rounds.screens.prompts.choices import Choice, Option
from rounds.screens.prompts.fields import Field
from rounds.screens.prompts.form import Form
from rounds.screens.prompts.saving import Save
from rounds.screens.record.filling import clockwork, fill
from rounds.screens.record.forms_supplies import APPOINTMENT_FORMS
from rounds.screens.record.host import Host
from rounds.standing.appointments import appointments, with_whom

_MOST = 10_000_000
_NEW = (
    Field(
        "name", "name", required=True, hint="what is written on it, such as locusts; as you name it when feeding"
    ),
    Field("amount", "in stock", "figure", required=True, most=_MOST, missing="How much is there?"),
    Field("unit", "unit", given="pieces", hint="pieces, g, kg, litres …"),
)


def _stock(screen: Host, subject: str) -> Stock:
    shift = screen.shift
    return supplies(shift.desk.standing, shift.desk.house, shift.now()).stock(subject)


def count(screen: Host, subject: str, typed: str) -> Talk:
    """So much is there of a supply; `typed` are the digits typed so far."""
    stock = _stock(screen, subject)
    reckoned = f"reckoned: {stock.left:,.0f}" if stock.left is not None else "the first count"
    amount = yield Figure(
        f"{stock.name}: how much is there",
        typed=typed,
        unit=stock.unit,
        most=_MOST,
        hint=f"{reckoned} · Enter writes it",
    )
    saved = yield Save(Draft(StockCounted, subject, {"amount": amount, **_members(screen, stock, subject)}))
    if saved:
        screen.say(f"{stock.name}: {amount:,.10g} {stock.unit} counted.", "good")


def came_in(screen: Host, subject: str) -> Talk:
    """So much of a supply came in."""
    stock = _stock(screen, subject)
    amount = yield Figure(f"{stock.name}: how much came in", unit=stock.unit, most=_MOST)
    saved = yield Save(Draft(StockIn, subject, {"amount": amount, **_members(screen, stock, subject)}))
    if saved:
        screen.say(f"{stock.name}: {amount:,.10g} {stock.unit} came in.", "good")


def _members(screen: Host, stock: Stock, subject: str) -> dict[str, str]:
    """The unit; and the name, where this entry opens the supply and its id does not say it."""
    members = {"unit": stock.unit} if stock.unit != "pieces" else {}
    opened = screen.shift.desk.standing.card(subject).opened
    return members if opened or slug(stock.name) == stock.name else {**members, "name": stock.name}


def begin(screen: Host) -> Talk:
    """Another supply, by its first count."""
    form = Form("A supply not counted yet", _NEW, clockwork(screen))
    filled = yield form
    shift = screen.shift
    found = supplies(shift.desk.standing, shift.desk.house, shift.now())
    name, unit = filled["name"].strip(), (filled.get("unit") or "pieces").strip()
    known = next((one for one in found.subjects() if folded(found.name(one)) == folded(name)), None)
    subject = known or f"supply/{slug(name) or 'supply'}"
    if known is None and subject in found.subjects():
        screen.say(f"{found.name(subject)} is called so already ({subject}). Give this one another name.", "today")
        return
    named = {"name": name} if known is None and slug(name) != name else {}
    saved = yield Save(Draft(StockCounted, subject, {"amount": filled["amount"], "unit": unit[:20], **named}))
    if saved:
        screen.say(f"{name}: {filled['amount']:,.10g} {unit} counted.", "good")


def appointment(screen: Host, subject: str, whom: str = "") -> Talk:
    """Agree a day."""
    form = next(one for one in APPOINTMENT_FORMS if one.kind is AppointmentMade)
    yield from fill(screen, form, subject, {"whom": whom} if whom else {})


def ended(screen: Host, subject: str) -> Talk:
    """What became of an appointment: of several that wait, of which."""
    shift = screen.shift
    waiting = list(appointments(shift.desk.standing.page(subject)).waiting())
    if not waiting:
        screen.say("No appointment waits here.", "quiet")
        return
    now = shift.now()
    one = waiting[0]
    if len(waiting) > 1:
        one = yield Choice(
            "Which appointment?",
            [
                Option(str(place), f"{date_words(made.on, now)}: {with_whom(made)}", made)
                for place, made in enumerate(waiting[:9], 1)
            ],
            start=0,
        )
    how = yield Choice(
        f"{date_words(one.on, now)}, {with_whom(one)}: was it kept?",
        [Option("k", "kept", "kept"), Option("n", "not kept", "not kept"), Option("c", "cancelled", "cancelled")],
    )
    others = [made for made in waiting if made.on == one.on and made is not one]
    of = {"whom": one.whom, "clock": one.clock} if others else {}
    saved: tuple[Entry, ...] = yield Save(Draft(AppointmentEnded, subject, {"on": one.on, "how": how, **of}))
    if saved:
        screen.say(f"Appointment of {date_words(one.on, now)}: {how}.", "good")
