"""Times as people write them: a date and a time, or HH:MM for the next such moment.

Every time that comes out carries a fixed offset from UTC, so that differences across a change of the
clocks are true.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date, datetime, time, timedelta, timezone, tzinfo

from flatstock.errors import Fault, WrongWords

__all__ = [
    "DAYS",
    "MONTHS",
    "START_OF_DAY",
    "arrivals",
    "clock",
    "day_clock",
    "lasting",
    "moment",
    "now",
    "weekday_clock",
    "weekday_date",
]

#: as they are said, Monday and January first, the same in every locale
DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip

START_OF_DAY = time(7, 0)  # what a practice workshop, which stands still on one day, takes for "now"
_LONGEST_GAP = timedelta(hours=18)  # between two moulds of a stack; more is a slip, not a pause
_CLOCK = re.compile(r"(\d{1,2}):(\d{2})(?:[ \u00a0]?([ap])\.?m\.?)?", re.IGNORECASE)


def now(text: str | None, *, zone: tzinfo, today: date | None, clock: datetime | None = None) -> datetime:
    """The moment that a command takes for now: what was said, else the practice day, else the clock."""
    if today is not None:
        true = datetime.combine(today, START_OF_DAY, zone)
    else:
        true = (clock or datetime.now(zone)).astimezone(zone)
    return fixed(true) if text is None else moment(text, zone=zone, after=true, where="--now")


def moment(text: str, *, zone: tzinfo, after: datetime, where: str) -> datetime:
    """The moment that `text` says; HH:MM is the next such moment, `after` itself included.

    Raises
    ------
    WrongWords
        It is neither HH:MM nor a date with a time.
    """
    at = _clock(text)
    if at is None:
        return _full(text, zone, where)
    local = after.astimezone(zone)
    found = datetime.combine(local.date(), at, zone)
    if found < local:
        found = datetime.combine(local.date() + timedelta(days=1), at, zone)
    return fixed(found)


def arrivals(
    texts: Sequence[str], *, zone: tzinfo, now: datetime, where: str | Sequence[str]
) -> list[datetime]:
    """When each mould arrives, in the order written; `where` all of them stand, or each.

    With its day a time stands as written, in any order. The first HH:MM is on the day of `now`, before or
    after it; each later one is the first such moment at or after the mould written before it, since a stack is
    written lowest first.

    Raises
    ------
    WrongWords
        A fault for each that is no time, or a clock time that would fall more than 18 hours after the mould written
        before it.
    """
    found: list[datetime] = []
    faults: list[Fault] = []
    day, last = now.astimezone(zone).date(), ""
    places = [where] * len(texts) if isinstance(where, str) else where
    for text, place in zip(texts, places, strict=True):
        at = _clock(text)
        if at is None:
            try:
                found.append(_full(text, zone, place))
            except WrongWords as error:
                faults.extend(error.faults)
                continue
        else:
            arrives = datetime.combine(day, at, zone)
            if found and arrives < found[-1]:
                arrives = datetime.combine(day + timedelta(days=1), at, zone)
            found.append(fixed(arrives))
        if at is not None and len(found) > 1 and found[-1] - found[-2] > _LONGEST_GAP:
            faults.append(
                Fault(
                    place,
                    f"{text} does not follow the mould written before it, {last}",
                    "write the moulds lowest first, with the day where it is another one: 2026-03-03T08:00",
                )
            )
        day, last = found[-1].astimezone(zone).date(), text
    if faults:
        raise WrongWords(faults)
    return found


def clock(moment: datetime, *, beside: datetime | None = None) -> str:
    """Hour and minute, seconds dropped; with the weekday where it is not the day of `beside`, and with the date where
    a weekday could be that of another week.

    >>> clock(datetime(2026, 3, 3, 12, 30), beside=datetime(2026, 3, 2, 9, 0))
    'Tue 12:30'
    >>> clock(datetime(2026, 2, 20, 12, 30), beside=datetime(2026, 3, 2, 9, 0))
    'Fri 20 Feb 12:30'
    >>> clock(datetime(2025, 12, 31, 12, 30), beside=datetime(2026, 3, 2, 9, 0))
    'Wed 31 Dec 2025 12:30'
    """
    hour = f"{moment.hour:02d}:{moment.minute:02d}"
    if beside is None or moment.date() == beside.date():
        return hour
    weekday = DAYS[moment.weekday()]
    if abs(moment.date() - beside.date()) < timedelta(days=7):
        return f"{weekday} {hour}"
    year = "" if moment.year == beside.year else f" {moment.year}"
    return f"{weekday} {moment.day} {MONTHS[moment.month - 1][:3]}{year} {hour}"


def weekday_clock(moment: datetime) -> str:
    """Hour and minute with the weekday, whichever day it is: beside a date, or for what lies within days.

    >>> weekday_clock(datetime(2026, 3, 3, 12, 30))
    'Tue 12:30'
    """
    return f"{DAYS[moment.weekday()]} {clock(moment)}"


def weekday_date(day: date) -> str:
    """A day of this year, for what lies weeks ahead.

    >>> weekday_date(date(2026, 3, 6))
    'Fri 6 March'
    """
    return f"{DAYS[day.weekday()]} {day.day} {MONTHS[day.month - 1]}"


def day_clock(moment: datetime) -> str:
    """Hour and minute with the day and its date, for what may lie weeks ahead and is read on another day.

    >>> day_clock(datetime(2026, 3, 6, 15, 45))
    'Fri 6 March 15:45'
    """
    return f"{weekday_date(moment)} {clock(moment)}"


def lasting(minutes: float) -> str:
    """How long, in whole minutes; hours where there are two or more of them, days from the third on.

    >>> lasting(95), lasting(924), lasting(1440), lasting(4380)
    ('95 min', '15 h 24 min', '24 h', '3 days 1 h')
    """
    whole = round(minutes)
    if whole < 120:
        return f"{whole} min"
    hours, rest = divmod(whole, 60)
    if hours < 72:
        return f"{hours} h" + (f" {rest} min" if rest else "")
    days, rest = divmod(round(whole / 60), 24)
    return f"{days} days" + (f" {rest} h" if rest else "")


def fixed(moment: datetime) -> datetime:
    """The same moment to the second, with its offset written as a number."""
    return moment.replace(microsecond=0, tzinfo=timezone(moment.utcoffset() or timedelta(0)), fold=0)


def _clock(text: str) -> time | None:
    match = _CLOCK.fullmatch(text.strip())
    if match is None or int(match[2]) > 59:
        return None
    hour, half = int(match[1]), (match[3] or "").lower()
    if half and not 1 <= hour <= 12:
        return None
    if half:
        hour = hour % 12 + (12 if half == "p" else 0)
    return time(hour, int(match[2])) if hour <= 23 else None


def _full(text: str, zone: tzinfo, where: str) -> datetime:
    try:
        found = datetime.fromisoformat(text.strip())
    except ValueError:
        raise WrongWords(
            Fault(where, f"{text.strip()!r} is no time", "write 08:00, or with the day 2026-03-03T08:00")
        ) from None
    return fixed(found if found.tzinfo else found.replace(tzinfo=zone))
