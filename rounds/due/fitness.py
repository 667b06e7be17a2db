"""Fit to pair: a list of checks, each with its word, its figure, the house rule behind it and its entries.

A check says `yes`, `no` or `not known`; `not known` is no yes. A sign for the vet, treatment and quarantine come
first: no figure makes up for them. It suggests nothing and writes nothing.
"""

from __future__ import annotations

from datetime import datetime

import msgspec

from rounds.due.checks_before import APART_CHECK, VET_CHECK, Answer, Check, checks_of_any
from rounds.due.checks_before_hers import checks_of_hers
from rounds.due.matters.look import Look
from rounds.rules.house import House
from rounds.standing.as_of import as_of
from rounds.standing.fold import Standing

__all__ = ["APART_CHECK", "VET_CHECK", "Answer", "Check", "Fitness", "fit_to_pair", "fitness"]


class Fitness(msgspec.Struct, frozen=True):
    """All checks of one animal, the gravest first."""

    subject: str
    checks: tuple[Check, ...]

    @property
    def answer(self) -> Answer:
        """no, once one check says no; not known, once one is not; else yes."""
        answers = {check.answer for check in self.checks}
        return "no" if "no" in answers else "not known" if "not known" in answers or not answers else "yes"

    @property
    def says(self) -> str:
        """The sum in words: `fit by these checks`, `not now: too light (310 g, bred from 350 g)`."""
        if self.answer == "yes":
            return "fit by these checks"
        told = list(
            dict.fromkeys(check.short or check.says for check in self.checks if check.answer == self.answer)
        )
        more = f", and {len(told) - 2} more" if len(told) > 2 else ""
        return f"{'not now' if self.answer == 'no' else 'not known'}: {', '.join(told[:2])}{more}"

    def of(self, answer: Answer) -> tuple[Check, ...]:
        """The checks with this answer."""
        return tuple(check for check in self.checks if check.answer == answer)


def fit_to_pair(standing: Standing, house: House, now: datetime, subject: str) -> Fitness:
    """Whether an animal is fit to be paired at `now`, by what was noted up to then."""
    return fitness(Look(as_of(standing, now), house, now, subject))


def fitness(look: Look) -> Fitness:
    """The same of a look."""
    checks = [*checks_of_any(look)]
    if look.animal.sex == "F":
        checks += checks_of_hers(look)
    return Fitness(look.subject, tuple(checks))
