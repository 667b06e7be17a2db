"""Gravid or not: what speaks for it, what against, and what proves nothing.

A list and no verdict of a vet. Each line says what was seen and when. That no eggs were felt proves nothing:
feeling is for practised hands, and other masses feel like eggs (dvm360, Preovulatory stasis and dystocia in
oviparous lizards).
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

import msgspec

from rounds.due.dates import day, span
from rounds.due.figures import percent
from rounds.due.forecast import LayForecast, forecast_of
from rounds.logbook.entries import Ate, Entry, FeltForEggs, VetSeen
from rounds.logbook.times import days_between
from rounds.rules.house import House
from rounds.standing.digging import may_be_gravid
from rounds.standing.female import Female
from rounds.standing.weighing import last_word


class Saying(msgspec.Struct, frozen=True):
    """One thing that was seen: in words, and the entries behind it. `strong`: it alone makes eggs likely."""

    says: str
    entries: tuple[Entry, ...] = ()
    strong: bool = False


class GravidOrNot(msgspec.Struct, frozen=True):
    """What speaks for eggs in her, what against, what proves nothing; and the sum of it in a few words.

    `chance`: the mating, company or stored sperm that they may come of, while her window is not over.
    """

    verdict: str
    chance: Saying | None
    speaks_for: tuple[Saying, ...]
    against: tuple[Saying, ...]
    proves_nothing: tuple[Saying, ...]


def gravid_or_not(her: Female, house: House, now: datetime) -> GravidOrNot | None:
    """What is known of one female at `now`; None for one who cannot be gravid."""
    one = her.animal
    if not (may_be_gravid(one, now, her.days) or her.felt or (one.sex != "M" and her.matings)):
        return None
    forecast = forecast_of(her, now)
    chance = None
    if forecast is not None and forecast.state != "over":
        chance = Saying(f"{_chance(her, forecast)}, {forecast.short}", forecast.entries)
    speaks = tuple(_speaks_for(her, house, now))
    against = tuple(_against(her, house, now, forecast))
    nothing = tuple(_proves_nothing(her, house, now, forecast))
    return GravidOrNot(_verdict(her, chance, speaks, against, now), chance, speaks, against, nothing)


def _verdict(
    her: Female, chance: Saying | None, speaks: tuple[Saying, ...], against: tuple[Saying, ...], now: datetime
) -> str:
    if her.laying is not None:
        return "laying"
    felt = her.felt
    if felt is not None:
        who = "a vet found eggs" if isinstance(felt, VetSeen) else "eggs felt"
        return f"gravid: {who} {day(felt.at)}"
    strong = sum(saying.strong for saying in speaks)
    if strong >= 2 or (strong and (chance is not None or len(speaks) > strong)):
        return "likely gravid"
    if strong or her.gravid_because(now) is not None:
        return "may be gravid"
    return (
        "nothing seen speaks for eggs" if not speaks else "little speaks for eggs" if against else "may be gravid"
    )


def _speaks_for(her: Female, house: House, now: datetime) -> Iterator[Saying]:
    felt = her.felt_ever
    if felt:
        vet = [entry for entry in felt if isinstance(entry, VetSeen)]
        yield Saying(
            f"a vet found eggs {day(vet[-1].at)}" if vet else f"eggs felt {day(felt[-1].at)}", felt[-1:], True
        )
    digs = her.digging(now)
    if digs is not None:
        dug = (
            f"has dug since {day(digs.since)}"
            if days_between(digs.last, now) <= 1
            else f"dug {span(digs.since, digs.last)}"
        )
        yield Saying(dug, digs.entries, True)
    gained = _gain(her)
    if gained is not None and gained[0] >= house.number("eggbinding.gain_percent") / 100 - 1e-6:
        yield Saying(f"{percent(gained[0])} above her own weight {day(gained[1][-1].at)}", gained[1], True)
    if her.heavy is not None:
        yield Saying(f"heavy {day(her.heavy.at)}", (her.heavy,), True)
    run = [entry for entry in her.animal.refusals(house.days("health.off_food_gap_days")) if her.counts(entry)]
    if run and days_between(run[-1].at, now) <= house.days("health.refused_lapses_days"):
        since = f"off food since {day(run[0].at)}" if len(run) > 1 else f"refused food {day(run[0].at)}"
        yield Saying(since, (run[0], *run[1:][-1:]))


def _chance(her: Female, forecast: LayForecast) -> str:
    if forecast.why == "stored sperm":
        if forecast.after_slugs:
            return f"laid {day(forecast.first)}, slugs only: no male is needed for that"
        return f"laid {day(forecast.first)}, sperm may be stored"
    if forecast.why == "mated":
        mated = max((entry.at.date() for entry in her.matings), default=forecast.last)
        more = f", with a male to {day(forecast.last)}" if forecast.last > mated else ""
        return f"mated {day(mated)}{more}"
    return f"with a male {span(forecast.first, forecast.last)}"


def _against(her: Female, house: House, now: datetime, forecast: LayForecast | None) -> Iterator[Saying]:
    empty = [entry for entry in her.animal.own(VetSeen) if entry.found_empty]
    if empty and not her.felt_ever and days_between(empty[-1].at, now) <= her.days.gravid_days:
        yield Saying(f"a vet found no eggs {day(empty[-1].at)}", (empty[-1],))
    if her.gravid_because(now) is None and not her.company:
        yield Saying("no mating and no male is known; she may lay without one")
    gained = _gain(her)
    over = house.number("eggbinding.gain_percent") / 100
    if gained is not None and gained[0] < over / 2:
        under = f"{percent(-gained[0])} under" if gained[0] <= -0.01 else f"{percent(max(0, gained[0]))} above"
        yield Saying(f"no gain: {under} her own weight {day(gained[1][-1].at)}", gained[1])
    if forecast is not None and forecast.state == "over":
        held = "" if forecast.why == "stored sperm" else "; eggs held back look the same"
        yield Saying(f"{forecast.says}{held}", forecast.entries)


def _proves_nothing(her: Female, house: House, now: datetime, forecast: LayForecast | None) -> Iterator[Saying]:
    felt = [entry for entry in her.animal.own(FeltForEggs) if her.counts(entry) and entry.found != "eggs"]
    if felt:
        words = "no eggs felt" if felt[-1].found == "none" else "felt, not sure"
        yield Saying(f"{words} {day(felt[-1].at)}", (felt[-1],))
    ate = [entry for entry in her.animal.own(Ate) if her.counts(entry)]
    if ate and ate[-1].how != "refused" and days_between(ate[-1].at, now) <= her.days.nesting_gap:
        yield Saying(f"ate {day(ate[-1].at)}", (ate[-1],))
    gained, over = _gain(her), house.number("eggbinding.gain_percent") / 100
    if gained is not None and over / 2 <= gained[0] < over - 1e-6:
        yield Saying(f"{percent(gained[0])} above her own weight {day(gained[1][-1].at)}", gained[1])
    if gained is None and forecast is not None:
        yield Saying("no gain can be told: not weighed before and since")


def _gain(her: Female) -> tuple[float, tuple[Entry, ...]] | None:
    """Her gain over her own weight at the last weighing that can tell, and the readings behind it."""
    for weighed in reversed(last_word(her.weighings())):
        gain = her.gain(weighed)
        if gain is not None:
            return gain, weighed.middle
    return None
