"""`rounds help`: how the commands are put, and what an entry kind holds."""

from __future__ import annotations

from rounds.cli.call import Call
from rounds.cli.parser import parser
from rounds.errors import UsageError
from rounds.logbook.entries import KINDS


def run(call: Call) -> int:
    """Print the help of the whole, of one command, or of one entry kind."""
    top, each = parser()
    about = call.options.about
    kind = (about or "").replace("-", "_")
    if about is None:
        call.print(top.format_help())
    elif about in each:
        call.print(each[about].format_help())
        if about == "log":
            call.print("\nentry kinds (`rounds help KIND` tells its members):")
            _kinds(call)
    elif kind in KINDS:
        from rounds.paper.entry_kinds import kind_page

        call.print(kind_page(kind))
    else:
        raise UsageError(
            f"There is no command or entry kind {about!r}: `rounds help` and `rounds help log` list them"
        )
    return 0


def _kinds(call: Call) -> None:
    from rounds.paper.plain_text import wrapped

    call.print("\n".join(wrapped(", ".join(sorted(KINDS)), 78, "  ", "  ")))
