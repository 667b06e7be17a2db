"""The supplies: what is left, what will be needed, until when it lasts, and what to order."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, datetime
from math import ceil
from typing import Final

from rounds.due.round import walk_day
from rounds.due.stock import Stock
from rounds.due.supplies import supplies
from rounds.paper.page import Page
from rounds.paper.values import Values, moment
from rounds.paper.words import date_words, day_words, many
from rounds.rules.house import House
from rounds.rules.settings import Settings
from rounds.standing.fold import Standing

#: What needs no vet, and is no rule of the trade: where the rations come from.
RATIONS: Final = "Rations are house rules: agree them with your vet, and set them in colony.toml."


def supply_list(standing: Standing, settings: Settings, now: datetime) -> Values:
    """The supplies as values, ready for JSON; those that run out first stand before the others."""
    found = supplies(standing, settings.house, now)
    every = [stock_values(one, settings.house, now) for one in found.every()]
    return {
        "colony": settings.name,
        "now": moment(now, settings.house),
        "heads": found.heads.awake if every else 0,
        "supplies": every,
        "order": [one for one in every if one["order"]],
    }


def stock_values(stock: Stock, house: House, now: datetime) -> Values:
    """One supply, with the house rules it is reckoned by."""
    return {
        "supply": stock.subject,
        "name": stock.name,
        "unit": stock.unit,
        "use": stock.use or None,
        "counted": {"at": moment(stock.counted.at, house), "amount": stock.counted.amount}
        if stock.counted
        else None,
        "came_in_since": stock.came_in,
        "left": _rounded(stock.left),
        "planned_a_day": _rounded(stock.planned),
        "planned_in": stock.planned_in or None,
        "used_a_day": _rounded(stock.really),
        "factor": round(stock.factor, 3) if stock.learned else None,
        "need_week": _up(stock.need_week),
        "need_fortnight": _up(stock.need_fortnight),
        "runs_out": stock.runs_out.isoformat() if stock.runs_out else None,
        "days_left": stock.days_left(walk_day(now, house)),
        "order_on": stock.order_on.isoformat() if stock.order_on else None,
        "order": stock.order,
        "level": stock.level.word if stock.level is not None else None,
        "rules": [house.rule(key).cite() for key in stock.house],
    }


def _rounded(amount: float | None) -> float | None:
    return None if amount is None else round(amount, 1 if amount < 10 else 0)


def _up(amount: float | None) -> float | None:
    """A need: never less than it is."""
    return None if amount is None else float(ceil(amount - 1e-9)) if amount >= 10 else ceil(amount * 10 - 1e-9) / 10


def amount_words(amount: float | None, unit: str = "") -> str:
    """`560`, `1.5 kg`, `?`."""
    return "?" if amount is None else f"{amount:,.10g} {unit}".rstrip()


def lasts_words(found: Values, now: datetime) -> str:
    """Until when a supply lasts: `out`, `runs out tomorrow`, `runs out 4 Dec`, `lasts a year`, `not known`."""
    if found["left"] is None:
        return "not counted yet"
    if found["need_fortnight"] is None:
        return "use not known"
    if found["runs_out"] is None:
        return "lasts a year or more"
    day = date.fromisoformat(found["runs_out"])
    days = found["days_left"]
    if days == 0:
        return "out" if not found["left"] else "runs out today"
    return f"runs out {'tomorrow' if days == 1 else date_words(day, now)}"


def counted_words(found: Values, now: datetime) -> str:
    """Its last count, and what came in since: `800 counted 3 days ago, 500 came in`."""
    last = found["counted"]
    came = f", {amount_words(found['came_in_since'])} came in" if found["came_in_since"] else ""
    if last is None:
        return f"never counted{came}"
    return f"{amount_words(last['amount'])} counted {day_words(datetime.fromisoformat(last['at']), now)}{came}"


def use_words(found: Values) -> str:
    """What is used of it a day: really used beside what was planned, `58 (planned 61)`."""
    really, plan = found["used_a_day"], found["planned_a_day"]
    if really is None:
        return f"planned {amount_words(plan)}" if plan is not None else other_unit(found) or "?"
    return amount_words(really) + (f" (planned {amount_words(plan)})" if plan is not None else "")


def other_unit(found: Values) -> str:
    """Why nothing is planned: `counted in g, planned in pieces`; else empty."""
    return f"counted in {found['unit']}, planned in {found['planned_in']}" if found["planned_in"] else ""


def use_sentence(found: Values) -> str:
    """`Used a day: 58 (planned 61).`, `Planned a day: 61.` while no one knows what is used; else empty."""
    if found["used_a_day"] is None:
        plan = found["planned_a_day"]
        return f"Planned a day: {amount_words(plan)}." if plan is not None else ""
    return f"Used a day: {use_words(found)}."


def order_words(found: Iterable[Values]) -> list[str]:
    """The order list: `locusts: 560 pieces`."""
    return [f"{one['name']}: {amount_words(one['order'], one['unit'])}" for one in found]


def supplies_text(found: Values, now: datetime) -> str:
    """The supplies as 80 columns of text."""
    page = Page()
    page.title(f"{found['colony']}   supplies", f"{now:%a} {now.day} {now:%b %Y %H:%M}")
    every: Sequence[Values] = found["supplies"]
    if not every:
        page.text(
            "No supply is known yet. Count one: rounds log stock_counted locusts amount=800. "
            "What they are for: [supplies] in colony.toml."
        )
        return str(page)
    page.text(f"{many(found['heads'], 'head')} that eat" if found["heads"] else "no one eats")
    page.heading("Order today")
    page.bullets(order_words(found["order"]) or ["nothing"], "  ")
    page.heading("In stock")
    rows = [["", "", "left", "7 days", "14 days", "unit"]]
    for one in every:
        rows.append(
            [
                one["name"],
                lasts_words(one, now),
                amount_words(one["left"]),
                amount_words(one["need_week"]),
                amount_words(one["need_fortnight"]),
                one["unit"],
            ]
        )
    page.table(rows, (16, 24, 9, 8, 8), lead="  ")
    page.heading("Last count, and what is used a day")
    page.table([[one["name"], counted_words(one, now), use_words(one)] for one in every], (16, 34), lead="  ")
    page.blank()
    page.text(RATIONS)
    return str(page)
