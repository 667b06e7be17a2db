"""Initials as they are written down."""

from __future__ import annotations


def as_initials(text: str) -> str:
    """Up to three letters stand in capitals; longer names stay as they were typed."""
    return text.upper() if len(text) <= 3 else text
