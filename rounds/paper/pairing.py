"""Pairings before they are made: the table of every female with every male, and the page of one pair, as values."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from fractions import Fraction
from typing import Final

from rounds.due.figures import fraction_of, percent_of
from rounds.due.fitness import fitness
from rounds.due.matters.burdens import Reason
from rounds.due.matters.wording import listed
from rounds.due.pairing_table import Pair, PairingTable, figure_of
from rounds.paper.said import said
from rounds.paper.values import Values, entry_values, moment
from rounds.paper.words import age_words, date_words, many, resident
from rounds.rules.settings import Settings
from rounds.standing.animal import Animal, animal
from rounds.standing.crosses import Cross, Crosses, Parent, looks
from rounds.standing.female import female
from rounds.standing.parents import Parents
from rounds.standing.pedigree import Pedigree, pedigree
from rounds.standing.traits import Trait, is_told_of

#: So many paths are listed, the largest share first; what the others bring is one figure.
MOST_PATHS: Final = 12
#: A table of more pairs gives their figures alone: a million pairs in words are read by no one.
MOST_PAIRS: Final = 40_000
#: So many looks of the young are listed.
MOST_LOOKS: Final = 16
LIMIT: Final = "pairing.inbreeding_percent"


def pairing_table(table: PairingTable, settings: Settings, of: str | None = None) -> Values:
    """The table as values ready for JSON: of all, or of one animal with every mate, least kin first."""
    rows: list[list[str]] = []
    if of is None:
        dams, sires = table.dams, table.sires
        females, males = table.free
        small = len(females) * len(males) <= MOST_PAIRS
        pairs: Iterable[Pair] = (table.pair(dam, sire) for dam in females for sire in males) if small else ()
        told: dict[int, str] = {}
        figures = table.figures()  # held, so that no two of them can have one identity
        for row in figures:
            rows.append([told.get(id(kin)) or told.setdefault(id(kin), figure_of(kin)) for kin in row])
    else:
        pairs = table.mates(of)
        his = animal(table.standing, of).sex == "M"
        dams, sires = (table.dams, (of,)) if his else ((of,), table.sires)
    return {
        "colony": settings.name,
        "now": moment(table.now, table.house),
        "of": of,
        "females": [_member(table, one, sires) for one in dams],
        "males": [_member(table, one, dams) for one in sires],
        "pairs": [_short(table, pair) for pair in pairs],
        "rows": rows,
        "left_out": {"too_young": table.too_young, "sex_unknown": table.sex_unknown},
        "limit_percent": table.house.number(LIMIT),
        "rules": [table.house.rule(LIMIT).cite()],
    }


def pair_page(table: PairingTable, settings: Settings, dam: str, sire: str) -> Values:
    """All that is known of one pair before it is put together, as values ready for JSON."""
    pair, standing, house = table.pair(dam, sire), table.standing, table.house
    parents = pedigree(standing, house.breeding_days)
    crosses = Crosses(standing, parents, house.traits).of(dam, sire)
    rules = dict.fromkeys([LIMIT, *(key for one in (*pair.cautions, *pair.not_now) for key in one.house)])
    return {
        "colony": settings.name,
        "now": moment(table.now, house),
        "female": _member(table, dam) | _life(table, dam) | {"last_clutch": _last_clutch(table, dam)},
        "male": _member(table, sire) | _life(table, sire),
        **_short(table, pair),
        "cautions": _cautions(table, pair),
        "pedigree": _pedigree_words(table, parents, pair),
        "paths": _paths(table, pair),
        "traits": [_cross(table, dam, sire, cross) for cross in crosses],
        "unlisted_traits": [
            {"subject": who, "name": standing.name(who), "traits": words}
            for who in (dam, sire)
            if (words := _unlisted(animal(standing, who), house.traits))
        ],
        "young": [
            {"looks": list(look), "chance": fraction_of(chance), "percent": float(chance * 100)}
            for look, chance in looks(crosses)[:MOST_LOOKS]
        ],
        "rules": [house.rule(key).cite() for key in rules],
        "entries": [
            {**entry_values(entry), "says": said(standing, entry)}
            for entry in {
                entry.id: entry
                for one in (*pair.cautions, *pair.not_now)
                for entry in one.entries
                if entry is not None
            }.values()
        ],
    }


def _unlisted(one: Animal, traits: Iterable[Trait]) -> list[str]:
    """Words of an arrival that no trait of the colony's list reads: no chance of the young can be told of them."""
    return [word for word in one.traits if not any(is_told_of(trait, word) for trait in traits)]


def _member(table: PairingTable, who: str, mates: Sequence[str] = ()) -> Values:
    """One of the table. Of one not paired now also what its young with any of these mates would suffer from."""
    waits = bool(mates) and bool(table.not_now(who)) and len(table.dams) * len(table.sires) <= MOST_PAIRS
    return {
        "subject": who,
        "name": table.standing.name(who),
        "not_now": [one.says for one in table.not_now(who)],
        "look_first": list(table.not_known(who)),
        "burdens": _burdens(table, who, mates) if waits else [],
    }


def _burdens(table: PairingTable, who: str, mates: Iterable[str]) -> list[str]:
    """`scaleless with Ironbark and Karri`, a burden each."""
    found: dict[str, list[str]] = {}
    his = animal(table.standing, who).sex == "M"
    for mate in mates:
        for burden in (table.pair(mate, who) if his else table.pair(who, mate)).burdens:
            found.setdefault(burden, []).append(table.standing.name(mate))
    return [f"{burden} with {listed(names)}" for burden, names in found.items()]


def _short(table: PairingTable, pair: Pair) -> Values:
    known = not pair.kin.not_known
    return {
        "dam": pair.dam,
        "sire": pair.sire,
        "names": [table.standing.name(pair.dam), table.standing.name(pair.sire)],
        "says": pair.short,
        "kin": pair.words,
        "inbreeding": _exact(pair.kin.most) if known else None,
        "percent": float(pair.kin.most * 100) if known else None,
        "least": _exact(pair.kin.least) if known else None,
        "not_known": pair.kin.not_known or None,
        "not_now": [one.says for one in pair.not_now],
        "cautions": [one.says for one in pair.cautions],
        "reaches_limit": any(LIMIT in one.house for one in pair.cautions),
        "burdens": [one.says for one in pair.cautions if LIMIT not in one.house],
    }


def _exact(share: Fraction) -> str:
    """A fraction as it is; one that no one would read, of thousands of generations, as a percentage."""
    return str(share) if share.denominator.bit_length() < 400 else percent_of(share)


def _cautions(table: PairingTable, pair: Pair) -> list[str]:
    """What stands in front of the page: what the young would suffer, then why not now. A sentence each."""
    name = table.standing.name
    found = [_as_caution(reason) for reason in pair.cautions]
    found += [f"Kin not known: {pair.kin.not_known}."] if pair.kin.not_known else []
    for who in (pair.dam, pair.sire):
        told = [one.says for one in table.not_now(who)]
        found += [f"{says}." if says.startswith(name(who)) else f"{name(who)}: {says}." for says in told]
    return found


def _as_caution(reason: Reason) -> str:
    burden = "pairing.scaleless_percent" in reason.house
    return f"{reason.says[:1].upper()}{reason.says[1:]}{', a welfare burden' if burden else ''}."


def _life(table: PairingTable, who: str) -> Values:
    row = resident(table.standing, table.house, who, table.now)
    one = animal(table.standing, who)
    return {
        "age": age_words(one.hatched, table.now),
        "weight": row.weight,
        "trend": row.trend,
        "state": row.state,
        "place_name": table.standing.name(one.place) if one.place else "",
        "fit": fitness(table.look(who)).says,
    }


def _last_clutch(table: PairingTable, dam: str) -> str:
    her = female(table.standing, dam, table.house.breeding_days)
    if not her.clutches:
        return "no clutch noted"
    last = her.clutches[-1]
    laid = f"last clutch {date_words(last.begun_at, table.now)}, " if last.begun_at is not None else "last clutch "
    return f"{laid}{many(last.count, 'egg')}; {many(len(her.clutches), 'clutch', 'clutches')} in all"


def _pedigree_words(table: PairingTable, parents: Pedigree, pair: Pair) -> list[str]:
    """What has to be known beside the figure: whose parents are not known, whose sire is reckoned or open."""
    name = table.standing.name
    found: list[str] = []
    for who in (pair.dam, pair.sire):
        own = parents.parents(who)
        missing = [word for word, known in (("dam", own.dams), ("sire", own.sires)) if not known]
        if missing:
            found.append(f"{name(who)}: {' and '.join(missing)} not known, taken as unrelated.")
    above = [who for who in parents.above((pair.dam, pair.sire)) if parents.parents(who).known == "reckoned"]
    for who in above[:6]:
        own = parents.parents(who)
        if own.couples:
            found.append(f"{name(who)}: {_either(own, name)}; young of several clutches were put together.")
        else:
            found.append(f"{name(who)}: sire not written down; by matings and company {_sires(own, name)}.")
    found += [
        f"{name(who)}: sire {_sires(parents.parents(who), name)}." for who in pair.kin.open[:6] if who not in above
    ]
    if pair.kin.bounds:
        found.append("So many parents are open that the figures are bounds.")
    return found


def _sires(parents: Parents, name: Callable[[str], str]) -> str:
    return " or ".join(name(sire) if sire is not None else "a male not known" for sire in parents.sires)


def _either(parents: Parents, name: Callable[[str], str]) -> str:
    """`dam Ma or Mb, sire Pa`: of one that may be of several clutches."""
    sires = f", sire {_sires(parents, name)}" if parents.sires else ""
    return f"dam {' or '.join(map(name, parents.dams))}{sires}"


def _paths(table: PairingTable, pair: Pair) -> Values:
    """The common ancestors that make the figure, and what is left of it beside those listed."""
    if pair.kin.worst is None or not pair.kin.most:
        return {"listed": [], "more": 0, "rest": "0", "sum": "0"}
    shares, _ = pair.kin.worst.shares(pair.dam, pair.sire)
    listed = shares[:MOST_PATHS]
    whole = pair.kin.worst.of(pair.dam, pair.sire)
    rest = whole - sum((share.share for share in listed), Fraction(0))
    return {
        "listed": [
            {
                "ancestor": share.ancestor,
                "name": table.standing.name(share.ancestor),
                "from_dam": share.first,
                "from_sire": share.second,
                "paths": share.paths if share.paths.bit_length() < 400 else 0,
                "inbreeding": _exact(share.inbreeding),
                "share": _exact(share.share),
            }
            for share in listed
        ],
        "more": len(shares) - len(listed),
        "rest": _exact(rest),
        "sum": _exact(whole),
    }


def _cross(table: PairingTable, dam: str, sire: str, cross: Cross) -> Values:
    name = table.standing.name
    return {
        "trait": cross.trait.name,
        "way": cross.trait.way,
        "female": _has(cross.trait, cross.hers, name(dam)),
        "male": _has(cross.trait, cross.his, name(sire)),
        "young": [
            {
                "copies": copies,
                "says": cross.trait.outcome(copies),
                "chance": fraction_of(chance),
                "percent": float(chance * 100),
            }
            for copies, chance in sorted(cross.young.items(), reverse=True)
            if chance
        ],
    }


def _has(trait: Trait, parent: Parent, name: str) -> str:
    """What a parent has of a trait, in words: `Banksia shows it`, `Karri may carry it, 2/3`."""
    if not parent.copies:
        return f"{name}: what is noted of kin cannot all be true"
    sure = next((copies for copies, chance in parent.copies.items() if chance == 1), None)
    if sure == 0:
        return f"{name} has none" if parent.note is not None else f"{name}: nothing noted, taken as without"
    if sure == 1:
        return f"{name} carries it" if trait.way == "recessive" else f"{name} shows it"
    if sure == 2:
        return f"{name} shows it" if trait.way == "recessive" else f"{name} is {trait.look(2)}"
    return f"{name} may carry it, {fraction_of(parent.carries)}"
