"""The parents of an animal as its own entries name them; what its clutch tells besides is not looked at here."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final, NamedTuple, TypeAlias

from rounds.logbook.entries import Arrived, PedigreeNoted

#: The kinds that name parents.
Descent: TypeAlias = Arrived | PedigreeNoted
OF_DESCENT: Final = (Arrived, PedigreeNoted)


class Written(NamedTuple):
    """Sire, dam and clutch as they were written; `possible` are males any of whom may be the sire."""

    dam: str | None = None
    sire: str | None = None
    possible: tuple[str, ...] = ()
    clutch: str | None = None
    entries: tuple[Descent, ...] = ()

    @property
    def sires(self) -> tuple[str, ...]:
        """Every male that is named as the sire."""
        return (self.sire,) if self.sire is not None else tuple(dict.fromkeys(self.possible))


def written_parents(entries: Iterable[Descent]) -> Written:
    """The parents that the entries about one animal name, in whatever order they come.

    The newest that names one counts; one that names none takes none away.
    """
    found, told = Written(), dict[str, Descent]()
    for entry in sorted(entries, key=lambda one: one.key):
        laid_in = entry.clutch if isinstance(entry, Arrived) else None
        if entry.sire or entry.dam or entry.possible_sires or laid_in:
            told[entry.id] = entry
        if entry.sire or entry.possible_sires:
            found = found._replace(sire=entry.sire, possible=() if entry.sire else entry.possible_sires)
        found = found._replace(dam=entry.dam or found.dam, clutch=laid_in or found.clutch)
    return found._replace(entries=tuple(told.values()))
