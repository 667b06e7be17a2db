"""`rounds boxes`: every egg box, what it should weigh and what is due."""

from __future__ import annotations

from rounds.cli.call import Call
from rounds.desk.subjects import Names
from rounds.paper.boxes import boxes, boxes_text


def run(call: Call) -> int:
    """Print the egg boxes, shelf by shelf."""
    with call.desk() as desk:
        now, asked = desk.now(), call.options.shelf
        place = Names(desk.standing).find(asked, ("enclosure",)) if asked else None
        found = boxes(desk.standing, desk.settings, now, place)
        if call.options.json:
            call.json(found | call.missing_values(desk))
        else:
            call.caution_of(desk)
            call.print(boxes_text(found, now))
        call.warn_of(desk)
    return 0
