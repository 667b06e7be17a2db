"""`rounds help`: how the commands are put."""

from __future__ import annotations

from rounds.cli.call import Call
from rounds.cli.parser import parser
from rounds.errors import UsageError


def run(call: Call) -> int:
    """Print the help of the whole, or of one command."""
    top, each = parser()
    about = call.options.about
    if about is not None and about not in each:
        raise UsageError(f"There is no command {about!r}: {', '.join(each)}")
    call.print((each[about] if about else top).format_help())
    return 0
