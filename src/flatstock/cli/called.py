"""How the command is called on this machine, for the lines that a person is meant to type next."""

from __future__ import annotations

import os
import shlex

__all__ = ["called"]


def called() -> str:
    """`flatstock`, or the start script of a checkout as it was called: that one is on nobody's path.

    >>> called().endswith("flatstock")
    True
    """
    return shlex.quote(os.environ.get("FLATSTOCK_CALLED") or "flatstock")
