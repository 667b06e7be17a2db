"""Every case, in the order in which they are tried: the modules list themselves when they are imported."""

from __future__ import annotations

from tests.cases import going_back, identity, keys, limits, plain, restored, weighings
from tests.cases.verdict import CASES

__all__ = ["CASES", "going_back", "identity", "keys", "limits", "plain", "restored", "weighings"]
