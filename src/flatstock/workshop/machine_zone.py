"""The time zone of this machine by its IANA name, as far as the machine tells."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo, available_timezones

__all__ = ["machine_zone"]

Clock = Callable[[datetime], timedelta | None]
LOCALTIME = Path("/etc/localtime")  # Linux, macOS: a link into the time zone database
WRITTEN = Path("/etc/timezone")  # Debian and its like: the name in words
WEEKS = 104  #: ahead: what two zones must show alike to be taken for each other
#: of zones that keep the same clock the one that is offered: a large city (common knowledge, no source)
CITIES = (
    "UTC", "Europe/London", "Europe/Berlin", "Europe/Helsinki", "Europe/Istanbul", "America/New_York",
    "America/Chicago", "America/Denver", "America/Phoenix", "America/Los_Angeles", "America/Anchorage",
    "Pacific/Honolulu", "America/Halifax", "America/Sao_Paulo", "America/Bogota", "America/Mexico_City",
    "America/Caracas", "Africa/Lagos", "Africa/Johannesburg", "Africa/Nairobi", "Asia/Dubai", "Asia/Karachi",
    "Asia/Kolkata", "Asia/Dhaka", "Asia/Bangkok", "Asia/Shanghai", "Asia/Tokyo", "Australia/Brisbane",
    "Australia/Sydney", "Pacific/Auckland",
)  # fmt: skip


def _machine_clock(moment: datetime) -> timedelta | None:
    """What the machine's clock is ahead of UTC at a moment."""
    try:
        return moment.astimezone().utcoffset()
    except (OSError, OverflowError, ValueError):
        return None


def machine_zone(
    *, localtime: Path = LOCALTIME, written: Path = WRITTEN, clock: Clock = _machine_clock
) -> str:
    """The name; where the machine doesn't tell it (Windows), a zone that keeps the machine's clock for two years.

    "UTC" where no zone does.
    """
    known = available_timezones()
    for name in (os.environ.get("TZ", "").removeprefix(":"), _linked(localtime), _first_line(written)):
        if name in known:
            return "UTC" if name in ("Etc/UTC", "Etc/UCT", "Etc/Zulu", "Etc/Universal", "UCT") else name
    cities = [name for name in CITIES if name in known]
    others = sorted(name for name in known if "/" in name and not name.startswith("Etc/"))
    return _first_alike([*cities, *others], clock)


def _first_alike(names: Iterable[str], clock: Clock) -> str:
    now = datetime.now(UTC)
    weeks = [now + timedelta(weeks=n) for n in range(WEEKS)]
    shown = [clock(week) for week in weeks]
    for name in names:
        zone = ZoneInfo(name)
        if all(week.astimezone(zone).utcoffset() == ahead for week, ahead in zip(weeks, shown, strict=True)):
            return name
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
