"""Keys from a terminal whose bytes are not all UTF-8: what they are not stands as “�”, and ends nothing."""

from __future__ import annotations

from codecs import getincrementaldecoder
from functools import partial

from textual.drivers import linux_driver

_DECODER = partial(getincrementaldecoder("utf-8"), errors="replace")


def read_on() -> None:
    """Have Textual's reading of keys go on where bytes are no UTF-8.

    A terminal set to another encoding sends such with the first umlaut, and some send one for Alt with a letter.
    Textual decodes strictly: its thread would end with them, and the app with a traceback.
    """
    linux_driver.getincrementaldecoder = lambda _encoding: _DECODER  # type: ignore[attr-defined]
