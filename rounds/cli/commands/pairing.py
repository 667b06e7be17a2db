"""`rounds pairing`: the table of every female with every male, one animal's mates, or the page of a pair."""

from __future__ import annotations

from rounds.cli.call import Call
from rounds.desk.desk import Desk
from rounds.desk.subjects import Names
from rounds.due.pairing_table import PairingTable
from rounds.errors import BadEntry
from rounds.paper.pairing import pair_page, pairing_table
from rounds.paper.pairing_text import page_text, table_text
from rounds.standing.animal import animal


def run(call: Call) -> int:
    """Print what is known before a pairing; nothing is written."""
    options = call.options
    with call.desk() as desk:
        now = desk.now()
        table = PairingTable(desk.standing, desk.house, now)
        named = [_animal(desk, word) for word in (options.female, options.male) if word]
        if len(named) == 2:
            found = pair_page(table, desk.settings, *_her_first(desk, *named))
        else:
            found = pairing_table(table, desk.settings, named[0] if named else None)
        if options.json:
            call.json(found | call.missing_values(desk))
        else:
            call.caution_of(desk)
            call.print((page_text if len(named) == 2 else table_text)(found, now))
        call.warn_of(desk)
    return 0


def _animal(desk: Desk, word: str) -> str:
    """An animal of known sex. Raises `BadEntry`."""
    subject = Names(desk.standing).find(word, sorts=("animal",))
    if animal(desk.standing, subject).sex == "?":
        raise BadEntry(f"{desk.standing.name(subject)}: its sex is not known. Settle the sex first")
    return subject


def _her_first(desk: Desk, one: str, other: str) -> tuple[str, str]:
    """The two as female and male. Raises `BadEntry`."""
    sexes = [animal(desk.standing, who).sex for who in (one, other)]
    if sexes[0] == sexes[1]:
        both = "females" if sexes[0] == "F" else "males"
        names = " and ".join(desk.standing.name(who) for who in dict.fromkeys((one, other)))
        raise BadEntry(f"{names}: name a female and a male; these are {both}")
    return (one, other) if sexes[0] == "F" else (other, one)
