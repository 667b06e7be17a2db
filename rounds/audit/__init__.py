"""The audit, `rounds check`: what does not hold together in what was written. Pure; linear in its length.

A rule is a function from the book of all entries to findings; `RULES` lists them. Nothing here judges an animal:
it finds slips of the pen, so that what is reckoned from the entries can be trusted.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import Final

from rounds.audit import breeding, groups, kin, lives, places, supplies, weights, writing
from rounds.audit.finding import LEVELS, Book, Finding, FindingLevel
from rounds.logbook.entries import Entry

RULES: Final[tuple[Callable[[Book], Iterator[Finding]], ...]] = (
    lives.arrived_twice,
    lives.two_of_one_name,
    lives.died_and_came_back,
    lives.outside_its_life,
    lives.names_the_unknown,
    places.moved_to_nowhere,
    places.taken_down_while_lived_in,
    groups.more_gone_than_came,
    groups.same_young_by_two_keepers,
    groups.merged_without_a_number,
    groups.more_registered_than_hatched,
    groups.singled_out_and_unknown,
    lives.quarantine_ended_never_begun,
    lives.hatched_after_arriving,
    kin.eggs_from_a_male,
    kin.mating_of_one_sex,
    kin.sex_to_and_fro,
    kin.parents_that_cannot_be,
    kin.own_ancestor,
    breeding.clutches,
    breeding.more_young_than_eggs,
    breeding.clutch_does_not_add_up,
    breeding.more_out_of_a_box_than_it_held,
    breeding.same_eggs_by_two_keepers,
    breeding.same_laying_by_two_keepers,
    breeding.boxed_again_in_doubt,
    breeding.laid_on_after_hatching,
    breeding.parted_never_together,
    breeding.brumation_out_of_step,
    breeding.lay_box_out_never_in,
    supplies.more_counted_than_there_was,
    supplies.unit_changed,
    supplies.nearly_a_supply,
    weights.off_by_ten,
    writing.corrections,
    writing.ahead_of_its_writing,
    writing.written_late,
    writing.walked_twice,
)


def findings(entries: Iterable[Entry]) -> tuple[Finding, ...]:
    """All that does not hold together in these entries (in any order), the surest first, then the oldest."""
    written, found = writing.each_once(entries)
    book = Book(written)
    for rule in RULES:
        found.extend(rule(book))
    return tuple(
        sorted(found, key=lambda one: (LEVELS.index(one.level), one.entries[0].key if one.entries else ()))
    )


__all__ = ["LEVELS", "RULES", "Book", "Finding", "FindingLevel", "findings"]
