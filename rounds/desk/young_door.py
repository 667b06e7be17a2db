"""Young at the door: what is refused, filled in or asked about before it is written. Pure; every door asks here."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from typing import Final

from msgspec.structs import replace

from rounds.logbook.entries import (
    Arrived,
    Counted,
    CountSettled,
    Entry,
    Hatched,
    HeldBack,
    Left,
    Merged,
    Released,
    Reserved,
    SingledOut,
    SplitOff,
    StockIn,
    TraitsSettled,
    Weighed,
)
from rounds.logbook.group_census import COUNTING, GroupCensus, read_census
from rounds.logbook.money import decimals, money
from rounds.logbook.times import with_year
from rounds.rules.house import House
from rounds.standing.animal import Animal, animal
from rounds.standing.clutch import called
from rounds.standing.clutch_young import clutches_of_group, young_of
from rounds.standing.fold import Standing
from rounds.standing.group import Group, group
from rounds.standing.holding import Holds, holds, released

#: Entries that a sum of young is made of.
SUMMED: Final[frozenset[type[Entry]]] = frozenset({*COUNTING, Hatched})
#: A count settled at more than so many times what is reckoned is asked about; less is a matter of counting.
_MORE_THAN_THERE: Final = 1.5


def sums_broken(before: Standing, after: Standing, entries: Iterable[Entry]) -> tuple[str, str]:
    """A sentence when these entries (written, or taken back) would make more go than came; and of whom it is.

    Looks at every group and every clutch they touch. A sum that did not hold before may be mended, not made worse.
    """
    touched: dict[str, None] = {}
    for entry in entries:
        if type(entry) in SUMMED:
            touched.update(dict.fromkeys(entry.subjects()))
    for subject in touched:
        if subject.startswith("group/"):
            old, new = group(before, subject).census, group(after, subject).census
            if new.over > old.over:
                return _does_not_add_up(after.name(subject), old, new), subject
    for subject in [*touched]:
        if subject.startswith(("animal/", "group/")):
            came = (entry.clutch for entry in before.page(subject).of(Arrived) if entry.about == subject)
            touched.update(dict.fromkeys(eggs for eggs in came if eggs))
    for subject in touched:
        if subject.startswith("clutch/"):
            was, now = young_of(before, subject), young_of(after, subject)
            if now.hatched and now.unhatched > was.unhatched:
                return (
                    f"{called(after, subject)}: {now.says}. More young are registered than hatched. "
                    "Write those that hatched first, or correct a count."
                ), subject
    return "", ""


def _does_not_add_up(name: str, old: GroupCensus, new: GroupCensus) -> str:
    return (
        f"{name}: this does not add up: {new.says}. There are {old.alive} now ({old.says}). "
        "Correct a count. Are more there? Settle the count first: i, y, a (rounds log count_settled)."
    )


def refused(standing: Standing, house: House, entry: Entry, excluding: frozenset[str]) -> str:
    """A sentence when an entry about young, or one that sells, cannot be as it was written."""
    name = standing.name(entry.about)
    if entry.about.startswith("group/") and type(entry) in SUMMED and not isinstance(entry, Merged):
        before = census_without(standing, entry, excluding)
        after = census_without(standing, entry, excluding, entry)
        if after.over > before.over:
            return _does_not_add_up(name, before, after)
    if isinstance(entry, SplitOff | Merged) and entry.into == entry.about:
        return f"{name} cannot go into itself: name another group."
    if isinstance(entry, Merged):
        before = census_without(standing, entry, excluding)
        if not before.known:
            settle = f"i, y, a (rounds log count_settled {entry.about})"
            return f"{name} was never counted. Settle its count first: {settle}."
        there = before.alive
        if entry.count is not None and entry.count != there:
            some = "To move some, split them off: i, y, p (rounds log split_off)."
            return f"{name}: all {there} of them merge, not {entry.count}. {some}"
        if there == 0:
            return f"{name}: none are left to merge."
    if isinstance(entry, SingledOut) and (before_it := _none_of_this_group(standing, entry, excluding)):
        return before_it
    if isinstance(entry, Merged | SplitOff | SingledOut):
        return _with_a_sign(standing, entry, excluding)
    if isinstance(entry, Released):
        return _nothing_to_release(standing, entry, excluding)
    if isinstance(entry, Reserved) and not entry.whom.strip():
        return f"{name}: reserved for whom? Give a name."
    if isinstance(entry, Left):
        from rounds.due.sale import sale_refused  # late: no start has to wait for it

        return sale_refused(standing, house, entry, excluding)
    return ""


def _with_a_sign(standing: Standing, entry: Merged | SplitOff | SingledOut, excluding: frozenset[str]) -> str:
    """A sentence when a group would come to nothing while a sign of it is unanswered."""
    if not entry.about.startswith("group/"):
        return ""
    census, young = census_without(standing, entry, excluding), group(standing, entry.about)
    going = census.alive if isinstance(entry, Merged) else entry.count if isinstance(entry, SplitOff) else 1
    if not young.danger or going < census.alive:
        return ""
    signs = ", ".join(sign.sign for sign in young.danger)
    return f"{standing.name(entry.about)}: {signs}, no vet has heard of it. It stays a group until one has."


def _none_of_this_group(standing: Standing, entry: SingledOut, excluding: frozenset[str]) -> str:
    """An animal that was here before the group was."""
    came = [one for one in standing.page(entry.animal).of(Arrived) if one.about == entry.animal]
    first = min((one.at for one in came if one.id not in excluding), default=None)
    opened = min((step.at for step in group(standing, entry.about).census.steps), default=None)
    if first is None or opened is None or first >= opened:
        return ""
    who, young = standing.name(entry.animal), standing.name(entry.about)
    return f"{who} is here since {with_year(first)}, before {young} was: give the young another name."


def _nothing_to_release(standing: Standing, entry: Released, excluding: frozenset[str]) -> str:
    one = _one(standing, entry)
    later = {
        other.id for kind in (HeldBack, Reserved, Released) for other in one.own(kind) if other.key > entry.key
    }
    before = holds(one, excluding | later | {entry.id})
    if released(before, entry) != before:
        return ""
    name = standing.name(entry.about)
    if not before.every:
        return f"{name} is neither held back nor reserved: there is nothing to set free."
    what = f"reserved for {entry.whom.strip()}" if entry.whom.strip() else "held back"
    return f"{name}: nothing is {what}. There is: {before.says}."


def filled_in(standing: Standing, house: House, entry: Entry, excluding: frozenset[str]) -> Entry:
    """The entry with what belongs to it: how many merge, the currency, when young of a clutch hatched."""
    if isinstance(entry, Left | StockIn) and entry.price is not None and not entry.currency and house.currency:
        return replace(entry, currency=house.currency)
    if isinstance(entry, Reserved) and entry.deposit is not None and not entry.currency and house.currency:
        return replace(entry, currency=house.currency)
    if isinstance(entry, Merged) and entry.count is None:
        return replace(entry, count=census_without(standing, entry, excluding).alive)
    if isinstance(entry, Arrived) and entry.hatched is None and entry.clutch is not None:
        return replace(entry, hatched=_hatched(standing, entry, excluding))
    return entry


def _hatched(standing: Standing, entry: Arrived, excluding: frozenset[str]) -> date | None:
    """The day on which young of a clutch hatched, the last before they were registered: none is taken for older."""
    assert entry.clutch is not None
    if any(one.hatched for one in standing.page(entry.about).of(Arrived) if one.id not in excluding):
        return None  # it came back: its day is known
    out = [
        one.at.date()
        for one in standing.page(entry.clutch).of(Hatched)
        if one.about == entry.clutch and one.at <= entry.at and one.id not in excluding
    ]
    return max(out, default=None)


def doubts(standing: Standing, house: House, entry: Entry, excluding: frozenset[str]) -> Iterator[str]:
    """What is asked about an entry about young, or a sum of money, before it is written."""
    name = standing.name(entry.about)
    if isinstance(entry, Left):
        from rounds.due.sale import sale_doubts

        yield from sale_doubts(standing, house, entry, excluding)
        if entry.price is not None and entry.how != "sold":
            yield f"{name}: a price, but it was {entry.how}. Was it sold?"
    if isinstance(entry, Left | Reserved | StockIn):
        yield from _parts_of_none(entry, name)
    if isinstance(entry, Reserved | HeldBack):
        yield from _not_free(standing, entry, excluding)
    if isinstance(entry, Weighed) and entry.number is not None and entry.about.startswith("group/"):
        then = census_without(standing, entry, excluding | since(standing, entry))
        there = then.alive
        if then.known and entry.number > there:
            yield f"{name}: {entry.number} on the scale, but only {there} are there."
    if isinstance(entry, Weighed) and entry.smallest is not None and entry.smallest > entry.grams:
        yield f"{name}: the smallest weighs {entry.smallest:g} g, more than the mean of {entry.grams:g} g."
    if isinstance(entry, SplitOff | Merged):
        yield from _out_of_quarantine(standing, entry)
        yield from _mixed(standing, entry, _clutches_in(standing, entry.about, entry), entry.into)
    if isinstance(entry, Hatched) and entry.into is not None:
        yield from _hatched_to_others(standing, entry, entry.into)
    if isinstance(entry, CountSettled | TraitsSettled) and entry.about.startswith("group/"):
        yield from _more_than_there(standing, entry, excluding)
    if isinstance(entry, SingledOut):
        before = [one for one in standing.page(entry.animal).of(SingledOut) if one.id not in excluding]
        if before:
            yield f"{standing.name(entry.animal)} was singled out already, of {standing.name(before[-1].about)}."


def _parts_of_none(entry: Left | Reserved | StockIn, name: str) -> Iterator[str]:
    """A sum with more decimals than its currency has: likelier a slip."""
    amount, currency = entry.deposit if isinstance(entry, Reserved) else entry.price, entry.currency
    if amount is not None and currency and round(amount, digits := decimals(currency)) != amount:
        has = f"{digits} decimals" if digits else "no decimals"
        yield f"{name}: {money(amount, currency)}, but {currency} has {has}. Is it that sum?"


def count_doubt(standing: Standing, entry: Counted, excluding: frozenset[str]) -> str:
    """A sentence when a count is not what is reckoned: what became of the others is asked, not guessed."""
    census = census_without(standing, entry, excluding | since(standing, entry))
    if not census.known or entry.count == census.alive:
        return ""
    name, difference = standing.name(entry.about), abs(census.alive - entry.count)
    settle = f"i, y, a (rounds log count_settled {entry.about} count={entry.count})"
    if entry.count < census.alive:
        return (
            f"{name}: {entry.count} counted, {census.alive} reckoned ({census.says}). What became of {difference}? "
            f"Dead or gone: write that first. Not found: settle the count, {settle}."
        )
    return (
        f"{name}: {entry.count} counted, {census.alive} reckoned ({census.says}). Were {difference} never counted? "
        f"Then settle the count, {settle}."
    )


def census_without(
    standing: Standing, entry: Entry, excluding: frozenset[str] = frozenset(), *more: Entry
) -> GroupCensus:
    """The census of the group an entry is about when it, and those that do not count, are left aside; with more."""
    page, aside = standing.page(entry.about), excluding | {entry.id}
    counting = (one for kind in COUNTING for one in page.of(kind) if one.id not in aside)
    return read_census(entry.about, (*counting, *more))


def since(standing: Standing, entry: Entry) -> frozenset[str]:
    """What came into a group or left it after an entry: one seen earlier is held against those there then."""
    page = standing.page(entry.about)
    return frozenset(one.id for kind in COUNTING for one in page.of(kind) if one.key > entry.key)


def _one(standing: Standing, entry: Entry) -> Animal:
    return group(standing, entry.about) if entry.about.startswith("group/") else animal(standing, entry.about)


def _not_free(standing: Standing, entry: Reserved | HeldBack, excluding: frozenset[str]) -> Iterator[str]:
    """More of a group than are free; an animal that is held back or reserved already, to be reserved."""
    one, name = _one(standing, entry), standing.name(entry.about)
    every: Holds = holds(one, excluding | {entry.id})
    what = "reserve" if isinstance(entry, Reserved) else "hold back"
    if isinstance(one, Group):
        there = one.count
        free = there - every.counted(there, every.every)
        # Held back whole a group is so whatever was reserved of it.
        wanted = there if entry.count is None and isinstance(entry, Reserved) else entry.count or 0
        if wanted > free:
            kept = f": {every.says}" if every.every else ""
            yield f"{name}: {wanted} to {what}, {free} of {there} are free{kept}. {what.capitalize()} all the same?"
    elif every.every and isinstance(entry, Reserved):
        yield f"{name} is {every.says}. Reserve it all the same?"


def _more_than_there(
    standing: Standing, entry: CountSettled | TraitsSettled, excluding: frozenset[str]
) -> Iterator[str]:
    census = census_without(standing, entry, excluding | since(standing, entry))
    if not census.known:
        return
    if isinstance(entry, CountSettled):
        yield from settled_doubt(standing, entry.about, entry.count, census.alive)
    elif entry.count is not None and entry.count > census.alive:
        yield f"{standing.name(entry.about)}: seen in {entry.count} young, but {census.alive} are there."


def settled_doubt(standing: Standing, subject: str, count: int, reckoned: int) -> tuple[str, ...]:
    """What is asked about a count settled far above what is reckoned; nothing where none are left."""
    if not reckoned or count <= _MORE_THAN_THERE * reckoned:
        return ()
    return (f"{standing.name(subject)}: {count} settled, but {reckoned} are reckoned. Are there so many?",)


def _out_of_quarantine(standing: Standing, entry: SplitOff | Merged) -> Iterator[str]:
    source, target = group(standing, entry.about), group(standing, entry.into)
    if source.quarantine_since is not None and target.arrived is not None and target.quarantine_since is None:
        yield f"{source.name} is in quarantine, {target.name} is not. Put them together?"
    if target.quarantine_since is not None and source.quarantine_since is None:
        yield f"{target.name} is in quarantine, {source.name} is not. Put them together?"


def _hatched_to_others(standing: Standing, entry: Hatched, into: str) -> Iterator[str]:
    """The same of young that hatch; the rest of a clutch of which some are there is not asked about each day."""
    if entry.about not in _clutches_in(standing, into, entry):
        yield from _mixed(standing, entry, (entry.about,), into)


def _clutches_in(standing: Standing, subject: str, entry: Entry) -> tuple[str, ...]:
    """The clutches of those in a group as an entry says something of it: a group that was empty began again."""
    page = standing.page(subject)
    census = read_census(subject, (one for kind in COUNTING for one in page.of(kind) if one.key < entry.key))
    empty = [step.at for step in census.steps if not step.count] if census.known else []
    return clutches_of_group(standing, group(standing, subject), max(empty, default=None))


def _mixed(standing: Standing, entry: Entry, ours: tuple[str, ...], into: str) -> Iterator[str]:
    """Young of these clutches put to those of others: who is of which no one can say from then on."""
    theirs = _clutches_in(standing, into, entry)
    if ours and theirs and ours != theirs:
        names = " and ".join(called(standing, one) for one in dict.fromkeys((*theirs, *ours)))
        yield f"Young of {names} cannot be told apart once they are together. Put them together?"
