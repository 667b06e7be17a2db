"""`rounds` and `rounds open`: the full-screen app, or today's round where there is no terminal."""

from __future__ import annotations

import gc
import sys

from rounds.cli.call import Call


def run(call: Call) -> int:
    """Open the app; without a terminal print today's round."""
    if call.options.json or call.options.on or not has_terminal(call):
        from rounds.cli.commands import today

        return today.run(call)
    # While all is being loaded nothing becomes garbage: looking for it would cost a tenth of the start. The
    # app has it looked for again once the first screen is there.
    gc.disable()
    # Only here is Textual loaded.
    from rounds.screens.opening import run as run_app

    return run_app(call.colony, keeper=call.keeper, clock=call.clock, report=call.report)


def has_terminal(call: Call) -> bool:
    """Whether a keeper sits at a terminal that can show screens."""
    if call.environment.get("TERM", "dumb") in ("", "dumb"):
        return False
    return (
        all(stream is not None and stream.isatty() for stream in (sys.stdin, sys.stdout)) and call.out is sys.stdout
    )
