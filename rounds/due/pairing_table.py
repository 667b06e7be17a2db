"""Every female with every male: how close kin they are, and what speaks against them now.

What it says of a pair is worked out when that pair is looked at; the kinship of all comes from one reckoning.
"""

from __future__ import annotations

from datetime import datetime
from functools import cached_property
from typing import Final, NamedTuple

from rounds.due.checks_before import VET_CHECK, Check
from rounds.due.checks_before_hers import GRAVID_CHECK
from rounds.due.figures import fraction_of
from rounds.due.fitness import fitness
from rounds.due.matters.burdens import Reason, burdens, close_kin
from rounds.due.matters.look import Look, Reckoning
from rounds.rules.house import House
from rounds.standing.animal import animal
from rounds.standing.as_of import as_of
from rounds.standing.fold import Standing
from rounds.standing.kin_words import kin_words
from rounds.standing.pedigree import Kin, KinTable, pedigree

#: Up to so many animals, those who can be paired now come first: in more it would be felt at a key.
_FREE_FIRST: Final = 200
#: So many pairs that were looked at are kept.
_AT_HAND: Final = 4_096


class Pair(NamedTuple):
    """A female and a male: their kin, in words too; why either is not paired now; what their young would suffer."""

    dam: str
    sire: str
    kin: Kin
    words: str
    not_now: tuple[Reason, ...]
    cautions: tuple[Reason, ...]

    @property
    def figure(self) -> str:
        """The inbreeding of their young, as `figure_of` has it."""
        return figure_of(self.kin)

    @property
    def short(self) -> str:
        """What stands in the table: why not now in short, else the figure and the kin; ! stands by a caution.

        What the young would suffer from is said of a pair that is not paired now too.
        """
        burdens = self.burdens
        if self.not_now:
            return f"{burdens[0]}! not now" if burdens else self.not_now[0].short
        related = self.kin.most or self.kin.not_known
        said = self.figure if related else "" if burdens else self.words
        mark = "!" if self.cautions else ""
        behind = burdens[0] if burdens else self.words if related and self.kin.most == self.kin.least else ""
        return f"{said}{mark} {'' if self.kin.not_known else behind}".strip()

    @property
    def burdens(self) -> tuple[str, ...]:
        """What some of their young would suffer from, in few words: `scaleless`."""
        return tuple(one.short for one in self.cautions if "pairing.scaleless_percent" in one.house)

    @property
    def kin_in_full(self) -> str:
        """How they are kin, with the figure where there is one."""
        return self.words if not self.kin.most else f"{self.figure} {self.words}"


def _as_reason(check: Check) -> Reason:
    """A check that says no, or that she may be gravid, in a cell's few letters and in full."""
    full = check.short or check.says
    if check.name == VET_CHECK and check.says:
        return Reason(check.says.rstrip("."), check.entries, check.house, "for the vet")
    if check.answer == "not known":
        return Reason(f"{full} ({check.says})", check.entries, check.house, full)
    return Reason(full, check.entries, check.house, full.partition(" (")[0].partition(",")[0])


def figure_of(kin: Kin) -> str:
    """The inbreeding of the young: `1/8`, `1/4 to 0` with the worst first, or that it is not known."""
    if kin.not_known:
        return "kin not known"
    most = fraction_of(kin.most)
    return most if kin.most == kin.least else f"{most} to {fraction_of(kin.least)}"


class PairingTable:
    """Females and males that are here and grown enough to be asked about, and what is said of each pair.

    In their order they stand by name, in a colony that is not large those first who can be paired now.
    """

    def __init__(self, standing: Standing, house: House, now: datetime) -> None:
        self.standing = as_of(standing, now)
        self.house = house
        self.now = now
        self._reckoning = Reckoning(self.standing, house, now)
        self._looks: dict[str, Look] = {}
        self._not_now: dict[str, tuple[Reason, ...]] = {}
        self._not_known: dict[str, tuple[str, ...]] = {}
        self._pairs: dict[tuple[str, str], Pair] = {}
        #: Left out: those too young to be asked about, and those of unknown sex.
        self.too_young = self.sex_unknown = 0
        self.dams: tuple[str, ...] = ()
        self.sires: tuple[str, ...] = ()
        self._sort()

    def _sort(self) -> None:
        least = self.house.number("eggbinding.can_carry_from_months")
        found: dict[str, list[str]] = {"F": [], "M": []}
        for subject in self.standing.subjects("animal"):
            card = self.standing.card(subject)
            if not card.here:
                continue
            months = animal(self.standing, subject).age_months(self.now)
            if months is not None and months < least:
                self.too_young += 1
            elif card.sex not in found:
                self.sex_unknown += 1
            else:
                found[card.sex].append(subject)
        names = self.standing.name
        few = len(found["F"]) + len(found["M"]) <= _FREE_FIRST
        self.dams, self.sires = (
            tuple(sorted(found[sex], key=lambda one: (few and bool(self.not_now(one)), names(one).casefold(), one)))
            for sex in ("F", "M")
        )

    @cached_property
    def _kin(self) -> KinTable:
        return pedigree(self.standing, self.house.breeding_days).table(self.dams, self.sires)

    def look(self, subject: str) -> Look:
        """One of them under the house rules."""
        found = self._looks.get(subject)
        if found is None:
            found = self._looks[subject] = Look(self.standing, self.house, self.now, subject, self._reckoning)
        return found

    def not_now(self, subject: str) -> tuple[Reason, ...]:
        """Why one of them is not paired now, whoever the mate; empty when nothing noted speaks against it.

        A female who may be gravid is not paired now.
        """
        if subject not in self._not_now:
            found = fitness(self.look(subject))
            told = [
                check
                for check in found.checks
                if check.answer == "no" or (check.name == GRAVID_CHECK and check.answer != "yes")
            ]
            self._not_now[subject] = tuple(map(_as_reason, told))
            self._not_known[subject] = tuple(
                dict.fromkeys(one.short for one in found.of("not known") if one.short and one not in told)
            )
        return self._not_now[subject]

    def not_known(self, subject: str) -> tuple[str, ...]:
        """What has to be looked at before one of them is paired, in few words: `may be gravid`."""
        self.not_now(subject)
        return self._not_known[subject]

    def pair(self, dam: str, sire: str) -> Pair:
        """One female with one male; they need not be in the table."""
        found = self._pairs.get((dam, sire))
        if found is None:
            inside = dam in self._members and sire in self._members
            kin = self._kin.kin(dam, sire) if inside else self._kin.pedigree.kin(dam, sire)
            words = kin_words(dam, sire, kin.worst.parents, kin.most) if kin.worst is not None else "kin not known"
            her, him = self.look(dam), self.look(sire)
            cautions = (*burdens(her, him), *close_kin(her, him, self._kin.pedigree, kin))
            found = Pair(dam, sire, kin, words, (*self.not_now(dam), *self.not_now(sire)), cautions)
            if len(self._pairs) >= _AT_HAND:
                self._pairs.clear()
            self._pairs[dam, sire] = found
        return found

    @cached_property
    def _members(self) -> frozenset[str]:
        return frozenset((*self.dams, *self.sires))

    @cached_property
    def free(self) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """The females and the males that can be paired now."""
        dams = tuple(one for one in self.dams if not self.not_now(one))
        return dams, tuple(one for one in self.sires if not self.not_now(one))

    def figures(self) -> list[list[Kin]]:
        """The kinship of all that can be paired now: a row a female, a place a male; quick for thousands."""
        dams, sires = self.free
        return [self._kin.row(dam, sires) for dam in dams]

    def mates(self, subject: str) -> list[Pair]:
        """One animal with every mate of the table: those who can be paired now before those who cannot, least kin
        first."""
        if animal(self.standing, subject).sex == "M":
            pairs = [self.pair(dam, subject) for dam in self.dams]
        else:
            pairs = [self.pair(subject, sire) for sire in self.sires]
        return sorted(pairs, key=lambda pair: (bool(pair.not_now), bool(pair.kin.not_known), pair.kin.most))
