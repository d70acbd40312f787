"""The time zone of this machine by its IANA name, as far as the machine tells."""

from __future__ import annotations

import os
from pathlib import Path
from zoneinfo import available_timezones

__all__ = ["machine_zone"]

LOCALTIME = Path("/etc/localtime")  # Linux, macOS: a link into the time zone database
WRITTEN = Path("/etc/timezone")  # Debian and its like: the name in words


def machine_zone(*, localtime: Path = LOCALTIME, written: Path = WRITTEN) -> str:
    """The name, or "UTC" where the machine doesn't tell it (Windows, a machine without a zone)."""
    known = available_timezones()
    for name in (os.environ.get("TZ", "").removeprefix(":"), _linked(localtime), _first_line(written)):
        if name in known:
            return "UTC" if name in ("Etc/UTC", "Etc/UCT", "Etc/Zulu", "Etc/Universal", "UCT") else name
    return "UTC"


def _linked(localtime: Path) -> str:
    try:
        return localtime.resolve().as_posix().rpartition("zoneinfo/")[2]
    except (OSError, RuntimeError):
        return ""


def _first_line(written: Path) -> str:
    try:
        return written.read_text("utf-8").strip()
    except (OSError, UnicodeDecodeError):
        return ""
