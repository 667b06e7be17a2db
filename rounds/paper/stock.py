"""What came in and what went out: per clutch, and in a year or between two days.

Both add up, or say by how many they do not.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from datetime import date, datetime, time
from typing import Final

from rounds.due.dates import days_after
from rounds.errors import UsageError
from rounds.logbook.entries import Arrived, Died, Entry, Left, SingledOut
from rounds.logbook.group_census import COUNTING, GroupCensus, read_census
from rounds.logbook.money import money as money_words
from rounds.logbook.times import fixed, on_wall
from rounds.paper.page import Page
from rounds.paper.values import Values, moment
from rounds.paper.words import date_words, full_day, many
from rounds.rules.house import House
from rounds.rules.settings import Settings
from rounds.standing.animal import animal
from rounds.standing.as_of import as_of
from rounds.standing.clutch import called, clutch
from rounds.standing.clutch_young import YoungOf, young_of
from rounds.standing.colony_seasons import ColonySeason, colony_seasons
from rounds.standing.fold import Standing
from rounds.standing.group import group

#: What came in, and what went out, by the words they have here.
IN: Final = ("hatched", "arrived", "came_back", "found")
#: A thousandth is the smallest part that a currency has.
_PARTS: Final = 1_000
OUT: Final = ("sold", "given", "returned", "lent", "died", "not_found")


def calendar_year(year: int) -> tuple[date, date]:
    """Its first day and its last."""
    return date(year, 1, 1), date(year, 12, 31)


def season_days(season: ColonySeason, today: date) -> tuple[date, date]:
    """Its first day and its last; of the one that goes on, a year from its first, or today if that is later."""
    return season.begins, season.ends or max(days_after(season.begins, 364), today)


def season_named(standing: Standing, house: House, now: datetime, name: str) -> ColonySeason:
    """The season of this name: `2026/27`, `2026` (it begins then), `before 2026`; that of now if empty.

    Where none begins in a year, it is the one that goes over into it. Raises `UsageError` where there is none.
    """
    found = colony_seasons(as_of(standing, now), now, house.year_days, house.zone)
    if not found:
        raise UsageError(
            "no season yet: it goes from waking to waking (brumation_ended), else from clutch to clutch; "
            "write --from DAY"
        )
    if not name:
        return found[-1]
    mine = [one for one in found if name == one.called]
    mine = mine or [one for one in found if name == f"{'before ' * one.before}{one.begins.year}"]
    if not mine and name.isdecimal():
        mine = [one for one in found if one.called == f"{int(name) - 1}/{int(name) % 100:02}"]
    if not mine:
        raise UsageError(f"there is no season {name[:20]!r}, only {', '.join(one.called for one in found)}")
    return mine[-1]


def stock(
    standing: Standing, settings: Settings, now: datetime, begins: date, ends: date, season: str = ""
) -> Values:
    """The stock as values, ready for JSON: every clutch laid from one day to another, and what came and went.

    `season` is what the days are called, where they are a season of the colony.
    """
    house, standing = settings.house, as_of(standing, now)
    whole = (begins, ends) == calendar_year(begins.year)
    return {
        "colony": settings.name,
        "now": moment(now, house),
        "year": begins.year if whole and not season else None,
        "season": season or None,
        "from": begins.isoformat(),
        "to": ends.isoformat(),
        "currency": house.currency,
        "clutches": list(_clutches(standing, house, begins, ends)),
        "coming_and_going": _year(standing, house, now, begins, ends),
    }


# Per clutch


def _clutches(standing: Standing, house: House, begins: date, ends: date) -> Iterable[Values]:
    told: set[str] = set()
    for subject in standing.subjects("clutch"):
        eggs = clutch(standing, subject)
        if subject in told or eggs.begun_at is None:
            continue
        if not begins <= fixed(eggs.begun_at, house.zone).date() <= ends:
            continue
        young = young_of(standing, subject)
        told.update(young.clutches)
        yield _clutch(standing, young)


def _clutch(standing: Standing, young: YoungOf) -> Values:
    every = [clutch(standing, one) for one in young.clutches]
    sold = Counter[str]()
    for one in (*young.groups, *young.animals):
        _add_money(sold, (group if one.startswith("group/") else animal)(standing, one).own(Left))
    return {
        "of": list(young.clutches),
        "name": " and ".join(called(standing, one) for one in young.clutches),
        "dam_name": " or ".join(dict.fromkeys(standing.name(one.dam) for one in every if one.dam)),
        "laid": sum(one.count for one in every),
        "hatched": young.hatched,
        "alive": young.alive,
        "died": young.died,
        "left": young.left,
        "not_found": young.not_found,
        "in_no_group": young.in_no_group,
        "over": young.over,
        "sum": _sum(young, sum(one.left_to_hatch for one in every), sum(one.unboxed for one in every)),
        "money": _rounded(sold),
    }


def _sum(young: YoungOf, left: int, unboxed: int) -> str:
    """What became of the young; of a clutch of which none hatched yet, how many eggs incubate or are in no box."""
    if young.says != YoungOf((), (), ()).says:
        return young.says
    if not left:
        return f"none hatched, {unboxed} not boxed" if unboxed else "none hatched"
    more = f", {unboxed} not boxed" if unboxed else ""
    return f"none hatched yet, {many(left, 'egg')} incubate{'s' * (left == 1)}{more}"


def _add_money(money: Counter[str], leavings: Iterable[Left]) -> None:
    for entry in leavings:
        if entry.price is not None and entry.how == "sold":
            money[entry.currency or "?"] += round(entry.price * _PARTS)  # whole parts: sums of money are exact


def _rounded(money: Counter[str]) -> dict[str, float]:
    return {currency: parts / _PARTS for currency, parts in sorted(money.items())}


# Per year


class _Year:
    def __init__(self) -> None:
        self.begins = 0
        self.ends = 0
        self.came: Counter[str] = Counter()
        self.went: Counter[str] = Counter()
        self.arrivals: list[tuple[Entry, int]] = []
        self.leavings: list[tuple[Left, int]] = []
        self.money: Counter[str] = Counter()


def _year(standing: Standing, house: House, now: datetime, begins: date, ends: date) -> Values:
    first = on_wall(begins, time(), house.zone)
    last = on_wall(days_after(ends, 1), time(), house.zone)
    found = _Year()
    for subject in standing.subjects("animal"):
        _animal(standing, subject, first, last, found)
    for subject in standing.subjects("group"):
        _group(standing, subject, first, last, found)
    _add_money(found.money, (entry for entry, _ in found.leavings))
    came = {word: found.came[word] for word in IN}
    went = {word: found.went[word] for word in OUT}
    reckoned = found.begins + sum(came.values()) - sum(went.values())
    return {
        "from": begins.isoformat(),
        "until": min(ends, max(begins, now.date())).isoformat(),
        "begins": found.begins,
        "in": came,
        "out": went,
        "ends": found.ends,
        "unaccounted": found.ends - reckoned,
        "money": _rounded(found.money),
        "arrivals": [
            {
                "at": entry.at.isoformat(),
                "name": standing.name(entry.about),
                "count": many_,
                "origin": getattr(entry, "origin", ""),
            }
            for entry, many_ in sorted(found.arrivals, key=lambda one: one[0].key)
        ],
        "leavings": [
            {
                "at": entry.at.isoformat(),
                "name": standing.name(entry.about),
                "count": many_,
                "how": entry.how,
                "to": entry.to,
                "price": entry.price,
                "currency": entry.currency,
            }
            for entry, many_ in sorted(found.leavings, key=lambda one: one[0].key)
        ],
    }


def _animal(standing: Standing, subject: str, first: datetime, last: datetime, found: _Year) -> None:
    """One animal: it is here or not, and each entry that changes that is a coming or a going."""
    one = animal(standing, subject)
    events: list[Entry] = [*one.own(Arrived), *one.own(Left), *one.own(Died)]
    here, ever, singled = False, False, bool(one.page.strands) and _singled_out(standing, subject)
    at_first = at_last = False
    for entry in sorted(events, key=lambda event: event.key):
        if entry.at >= last:
            break
        within = entry.at >= first
        if isinstance(entry, Arrived) and not here:
            here = True
            if within and not (singled and not ever):
                word = "came_back" if ever else "hatched" if entry.bred_here or entry.clutch else "arrived"
                found.came[word] += 1
                found.arrivals += [(entry, 1)] if word != "hatched" else []
            elif within:
                found.came["singled_out"] += 1
            ever = True
        elif isinstance(entry, Left | Died) and here:
            here = False
            if within:
                found.went[entry.how if isinstance(entry, Left) else "died"] += 1
                found.leavings += [(entry, 1)] if isinstance(entry, Left) else []
        if not within:
            at_first = here
        at_last = here
    found.begins += at_first
    found.ends += at_last


def _singled_out(standing: Standing, subject: str) -> bool:
    return bool(standing.page(subject).of(SingledOut))


def _group(standing: Standing, subject: str, first: datetime, last: datetime, found: _Year) -> None:
    """One group: the terms of its sum at the end of the year, less those at its beginning."""
    page = standing.page(subject)
    entries = [entry for kind in COUNTING for entry in page.of(kind) if entry.at < last]
    before = read_census(subject, (entry for entry in entries if entry.at < first))
    after = read_census(subject, entries)
    found.begins += _balance(before)
    found.ends += _balance(after)
    found.came["found"] += after.found - before.found
    found.went["not_found"] += after.not_found - before.not_found
    come = [
        entry for entry in entries if isinstance(entry, Arrived) and entry.about == subject and entry.at >= first
    ]
    for entry in come:
        word = "hatched" if entry.bred_here or entry.clutch else "arrived"
        found.came[word] += entry.count or 0
        if word == "arrived" and entry.count:
            found.arrivals.append((entry, entry.count))
    # A group of which it was never said how many came counts as found once it was counted.
    found.came["found"] += after.arrived - before.arrived - sum(entry.count or 0 for entry in come)
    for gone in after.gone:
        if gone.entry.at < first:
            continue
        if isinstance(gone.entry, Died):
            found.went["died"] += gone.count
        elif isinstance(gone.entry, Left):
            found.went[gone.entry.how] += gone.count
            found.leavings.append((gone.entry, gone.count))


def _balance(census: GroupCensus) -> int:
    return census.came - census.went


# As text


def stock_text(found: Values, now: datetime) -> str:
    """The stock as 80 columns of text."""
    page = Page()
    year = found["coming_and_going"]
    span = found["year"] if found["year"] is not None else f"{full_day(found['from'])} to {full_day(found['to'])}"
    span = f"of season {found['season']}" if found["season"] else span
    page.title(f"{found['colony']}   stock {span}", f"{now:%a} {now.day} {now:%b %Y %H:%M}")
    page.heading("Clutches")
    if not found["clutches"]:
        time_ = "season" if found["season"] else "year" if found["year"] is not None else "time"
        page.text(f"none laid in this {time_}", "  ")
    for one in found["clutches"]:
        # A clutch called by its dam's name does not say it twice.
        of = f" of {one['dam_name']}" if one["dam_name"] and one["dam_name"] not in one["name"] else ""
        page.text(
            f"{one['name']}{of}: {one['laid']} laid; {one['sum']}{_money(one['money'], '; sold for ')}",
            "  ",
            "    ",
        )
    page.heading("Coming and going")
    page.text(f"{year['begins']} on {full_day(year['from'])}", "  ")
    page.text(_terms(year["in"]), "  in   ")
    page.text(_terms(year["out"]), "  out  ")
    page.text(f"{year['ends']} on {full_day(year['until'])}", "  ")
    left = f", {year['unaccounted']:+d} not accounted for: `rounds check` says where" if year["unaccounted"] else ""
    page.text(sum_words(found) + left, "  sum  ")
    page.text(_money(year["money"], ""), "  sold for  ")
    for heading, rows in (
        ("Arrived", _arrivals(year["arrivals"], now)),
        ("Left", _leavings(year["leavings"], now)),
    ):
        if rows:
            page.heading(heading)
            page.table(rows, (12, 20, 6), lead="  ")
    return str(page)


def sum_words(found: Values) -> str:
    """`158 + 34 in - 105 out = 87`."""
    year = found["coming_and_going"]
    came, went = sum(year["in"].values()), sum(year["out"].values())
    return f"{year['begins']} + {came} in - {went} out = {year['begins'] + came - went}"


def _terms(terms: Values) -> str:
    return ", ".join(f"{count} {word.replace('_', ' ')}" for word, count in terms.items() if count) or "none"


def _money(money: dict[str, float], before: str) -> str:
    """`480 AUD`; a price without a currency says so."""
    words = [
        money_words(amount, currency) if currency != "?" else f"{money_words(amount, '')} of no currency"
        for currency, amount in money.items()
    ]
    return before + " and ".join(words) if words else ""


def _arrivals(rows: Sequence[Values], now: datetime) -> list[list[str]]:
    return [
        [_day(row["at"], now), row["name"], str(row["count"]), f"from {row['origin']}" if row["origin"] else ""]
        for row in rows
    ]


def _leavings(rows: Sequence[Values], now: datetime) -> list[list[str]]:
    found = []
    for row in rows:
        price = _money({row["currency"] or "?": row["price"]}, "") if row["price"] is not None else ""
        to = f" to {row['to']}" if row["to"] else ""
        found.append(
            [
                _day(row["at"], now),
                row["name"],
                str(row["count"]),
                f"{row['how']}{to}{', ' + price if price else ''}",
            ]
        )
    return found


def _day(at: str, now: datetime) -> str:
    return date_words(datetime.fromisoformat(at), now)
