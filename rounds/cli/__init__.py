"""The plain door: every figure a screen shows can be had here, and nothing of this loads Textual."""

from __future__ import annotations

import gc
import io
import os
import sys
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from importlib import import_module
from typing import TYPE_CHECKING, BinaryIO, TextIO

from rounds.cli.output import NoOutput

if TYPE_CHECKING:
    from rounds.desk.desk import Clock

#: Exit codes beside those of `rounds.errors`, which docs/commands.md lists.
FOUND = 1
UNEXPECTED = 70  # EX_SOFTWARE of sysexits.h
NO_OUTPUT = 74  # EX_IOERR of sysexits.h
BROKEN_PIPE = 141  # as a shell tells a program that a closed pipe ended
INTERRUPTED = 130


def main(
    words: Sequence[str] | None = None,
    *,
    clock: Clock | None = None,
    environment: Mapping[str, str] | None = None,
    stdin: BinaryIO | None = None,
    out: TextIO | None = None,
    err: TextIO | None = None,
) -> int:
    """Carry out one command line and give its exit code. No traceback ever reaches a keeper."""
    _speak_utf8()
    # A closed standard output or error (>&-) is none at all.
    out = out or sys.stdout or open(os.devnull, "w")  # noqa: PTH123, SIM115
    err = err or sys.stderr or open(os.devnull, "w")  # noqa: PTH123, SIM115
    try:
        code = _carried_out(
            list(sys.argv[1:] if words is None else words),
            clock=clock,
            environment=os.environ if environment is None else environment,
            stdin=stdin or (sys.stdin.buffer if sys.stdin is not None else io.BytesIO()),
            out=out,
            err=err,
            alone=words is None,
        )
        out.flush()
        return code
    except KeyboardInterrupt:
        return INTERRUPTED
    except BrokenPipeError:
        _close(sys.stdout)
        return BROKEN_PIPE
    except OSError as error:
        _close(sys.stdout)
        _tell(err, f"The output could not be written: {error.strerror or error}.")
        return NO_OUTPUT
    except Exception:  # not even the fault could be told of
        return UNEXPECTED


def _tell(err: TextIO, sentence: str) -> None:
    """A sentence for the keeper, where one still hears; a message that cannot be written ends nothing."""
    try:
        err.write(f"{sentence}\n")
        err.flush()
    except (OSError, ValueError):
        _close(err)


def _close(stream: TextIO | None) -> None:
    """Nothing may be written there any more, at the end of the process neither: nobody reads it."""
    with suppress(OSError, ValueError):
        if stream is not None:
            os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())


def _carried_out(
    words: list[str],
    *,
    clock: Clock | None,
    environment: Mapping[str, str],
    stdin: BinaryIO,
    out: TextIO,
    err: TextIO,
    alone: bool,
) -> int:
    """`alone`: the command is all that the process is for, and its end that of the process."""
    from rounds.errors import RoundsError

    try:
        _load_msgspec()

        from rounds import system
        from rounds.cli.call import Call
        from rounds.cli.parser import COMMANDS, parsed

        system.keep_others_from_writing()
        options = parsed(words)
        call = Call(options, clock=clock, environment=environment, stdin=stdin, out=out, err=err, words=words)
        if options.version:
            from rounds import __version__

            call.print(f"rounds {__version__}")
            return 0
        module = COMMANDS[options.command or "open"][0]
        with _no_rubbish(alone and module not in ("open", "demo")):
            code: int = import_module(f"rounds.cli.commands.{module}").run(call)
        return code
    except RoundsError as error:
        out.flush()
        _tell(err, _shown(str(error)))
        return error.exit_code
    except (BrokenPipeError, KeyboardInterrupt, NoOutput):
        raise
    except SystemExit as error:  # --help
        return error.code if isinstance(error.code, int) else 2
    except Exception as error:
        from rounds.cli.report import unexpected

        _tell(err, _shown(unexpected(error, words, environment)))
        return UNEXPECTED


def _load_msgspec() -> None:
    """Load msgspec with Python's own `typing`, as it does where typing_extensions is not installed.

    That one loads `inspect`, `ast` and `dis` for itself, a twentieth of a plain command; what msgspec takes of it
    has been in `typing` since Python 3.11.
    """
    if "msgspec" in sys.modules or "typing_extensions" in sys.modules:
        return
    sys.modules["typing_extensions"] = None  # type: ignore[assignment]
    try:
        import_module("msgspec")
    finally:
        del sys.modules["typing_extensions"]


@contextmanager
def _no_rubbish(short: bool) -> Iterator[None]:
    """A command that is over at once leaves no rubbish worth collecting; looking for it is a fifth of the time."""
    if not short:
        yield
        return
    gc.disable()
    try:
        yield
    finally:
        # Python looks for rubbish once more when it ends; what is frozen goes with the process.
        gc.freeze()


def _shown(sentence: str) -> str:
    from rounds.paper.plain_text import shown

    return shown(sentence, lines=True)


def _speak_utf8() -> None:
    """Names are UTF-8 whatever the locale says; what cannot be written is written out."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(encoding="utf-8", errors="backslashreplace")
