"""Instants in sentences that were made for other programs too, by the shop's clock."""

from __future__ import annotations

import re
from datetime import datetime

from flatstock.times import clock

__all__ = ["instants_said"]

_INSTANT = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d(?::\d\d)?(?:[+-]\d\d:\d\d|Z)")
_TASK = re.compile(r" \([\w-]+-[a-z_]+\)")  # the id of a task, behind its sheet and step


def instants_said(text: str, now: datetime) -> str:
    """Every instant as hour and minute, with the weekday where it is not today; ids of tasks are left out.

    >>> now = datetime.fromisoformat("2026-03-02T11:00:00+01:00")
    >>> instants_said("HP1 off at 2026-03-02T08:41:00+00:00: it starts before 2026-03-03T08:43:00+00:00", now)
    'HP1 off at 09:41: it starts before Tue 09:43'
    >>> instants_said("O-104-01 prepare (O-104-01-prepare) at 2026-03-02T07:36:00+00:00", now)
    'O-104-01 prepare at 08:36'
    """

    def said(found: re.Match[str]) -> str:
        return clock(datetime.fromisoformat(found[0]).astimezone(now.tzinfo), beside=now)

    return _INSTANT.sub(said, _TASK.sub("", text))
