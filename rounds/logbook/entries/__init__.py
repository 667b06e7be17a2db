"""The entry kinds: one frozen record each, named in the past tense. `KINDS` lists them all.

A kind names itself where it is defined and nowhere else: being a subclass of `Entry` in one of these
modules is what puts it into `KINDS` and into what a line of a sheet may be.
"""

from typing import TYPE_CHECKING, Final, TypeAlias, Union

from rounds.logbook.entries.base import ROOM as ROOM
from rounds.logbook.entries.base import Entry as Entry
from rounds.logbook.entries.base import kind_of_name
from rounds.logbook.entries.breeding import *
from rounds.logbook.entries.care import *
from rounds.logbook.entries.eggs import *
from rounds.logbook.entries.incubation import *
from rounds.logbook.entries.lives import *
from rounds.logbook.entries.seen import *
from rounds.logbook.entries.shift import *
from rounds.logbook.entries.supplies import *
from rounds.logbook.entries.vet import *
from rounds.logbook.entries.year import *
from rounds.logbook.entries.young import *

#: Every kind by the word it has on disk.
KINDS: Final[dict[str, type[Entry]]] = {kind_of_name(kind.__name__): kind for kind in Entry.__subclasses__()}

if TYPE_CHECKING:
    AnyEntry: TypeAlias = Entry
else:
    # What a decoder takes: exactly one of the kinds, told apart by the word.
    AnyEntry = Union[tuple(KINDS.values())]
