"""How large things on the sheets may be. What is written stays well below what every reader takes.

No source: all of these are our choice. A day of a large colony is some megabytes.
"""

from __future__ import annotations

from typing import Final

_MIB: Final = 1 << 20

# For whoever writes

#: An entry's line, in bytes: a hand-over of 200,000 letters, each written as six, and room to spare.
LINE: Final = 2 * _MIB
#: The lines of one save, in bytes, and how many they may be.
SAVE: Final = 16 * _MIB
SAVE_LINES: Final = 50_000
#: A part of a day's sheet, in bytes: a save that would go beyond it begins another.
PART: Final = 64 * _MIB
#: Parts of a day's sheet of one desk.
PARTS: Final = 9_999

# For whoever reads

#: A sheet of more bytes is read in blocks, and only if it begins with a line of ours.
AT_ONCE: Final = 256 * _MIB
#: The digits of `more` in a line whose check does not agree.
MORE_DIGITS: Final = 6
#: The digits of a part's number.
PART_DIGITS: Final = 6
#: A line of more bytes is none of ours.
LONGEST_LINE: Final = 4 * _MIB
#: So many bytes of a line that is none of ours are passed over in a sheet that is read in blocks.
PASSED_OVER: Final = 64 * _MIB
#: How far back from the end of a sheet the end of its last whole save is looked for.
LAST_LOOK: Final = 64 * _MIB
#: Bytes of a sheet that are read together when it is read in blocks.
BLOCK: Final = 16 * _MIB
