"""What can go wrong, said so that a keeper can mend it. One tree; each class carries its exit code."""

from __future__ import annotations


class RoundsError(Exception):
    """A plain sentence for the keeper: what, where and how to mend it.

    Every error that may reach a keeper is one of these; the plain commands print
    ``str(error)`` on stderr and leave with ``exit_code``.
    """

    exit_code = 1


class UsageError(RoundsError):
    """The command was put in a way that cannot be carried out."""

    exit_code = 2


class NoColony(RoundsError):
    """There is no colony where one was looked for."""

    exit_code = 3


class BadRule(RoundsError):
    """colony.toml, or a house rule in it, cannot be used."""

    exit_code = 4


class BadEntry(RoundsError):
    """An entry says something that cannot be written down as it stands."""

    exit_code = 5


class NotSaved(RoundsError):
    """The disk did not take the entry. Nothing of it counts as written. `reason` says why, without the entry."""

    exit_code = 6

    def __init__(self, told: str, reason: str = "") -> None:
        super().__init__(told)
        self.reason = reason or told


class Refused(RoundsError):
    """A step that safety forbids now, such as signing over an unseen vet-now matter."""

    exit_code = 7
