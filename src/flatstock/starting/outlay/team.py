"""Hours and presence: the minutes of a sheet, and two people from first load to last transfer."""

from __future__ import annotations

from dataclasses import dataclass, replace

from flatstock.starting.outlay.question import Question

__all__ = [
    "CYCLE",
    "PER_DAY",
    "PER_SHEET",
    "PRESENCE",
    "Team",
    "person_minutes",
    "presence_minutes",
    "team",
    "with_presence",
]

#: person-minutes of a sheet of 0.7 to 2 m2, and of a day beside them; common practice, no source
PER_SHEET = {"weigh": 4, "prepare": 5, "load": 6, "transfer": 6, "demould": 6, "trim": 8, "label": 2}
PER_DAY = {"start checks and heat-up": 45, "clean": 30, "hand-over": 15}
CYCLE = 35.0  #: from load to load [min], dwell about 28; common practice, no source
PRESENCE = "presence"  #: the resource that two people for hot work are
_LONGEST_DAY = 8.0  # [h] of a day; where no days are named


@dataclass(frozen=True, slots=True, kw_only=True)
class Team:
    """What the people named can do."""

    hot: int  #: how many may carry hot moulds
    days_of_two: float  #: a week
    hours_of_two: float  #: a week
    person_hours: float  #: a week
    by_presence: float  #: sheets a week that can be pressed
    by_minutes: float  #: sheets a week that their minutes allow


def person_minutes(sheets: float) -> float:
    """Person-minutes of a day with so many sheets.

    >>> person_minutes(8)
    386
    """
    return sum(PER_SHEET.values()) * sheets + sum(PER_DAY.values())


def presence_minutes(first_load: float, last_transfer: float) -> float:
    """Person-minutes of two from first load to last transfer [min of day]; 08:30 to 13:12 is 564.

    >>> presence_minutes(8 * 60 + 30, 13 * 60 + 12)
    564
    """
    return 2 * (last_transfer - first_load)


def team(question: Question) -> Team | None:
    """None where no people are named."""
    if not question.people:
        return None
    hot = sorted((one for one in question.people if one.hot), key=lambda one: -one.hours)
    everyone = sum(one.hours for one in question.people)
    if not question.two_hands or len(hot) < 2:
        return Team(
            hot=len(hot), days_of_two=0, hours_of_two=0, person_hours=everyone, by_presence=0, by_minutes=0
        )
    if all(one.days for one in hot):
        named = [sum(day in one.days for one in hot) for day in range(7)]
        days = float(sum(count >= 2 for count in named))
        hours = sum(sorted((one.hours / len(one.days) if day in one.days else 0.0 for one in hot), reverse=True)[1]
                    for day in range(7))  # fmt: skip
    else:
        hours = hot[1].hours  # they come at the same hours, as far as they can
        days = min(5.0, hours / _LONGEST_DAY)
    presses = max(0.0, hours * 60 - days * sum(PER_DAY.values()) / 2)
    minutes = max(0.0, everyone * 60 - days * sum(PER_DAY.values())) / sum(PER_SHEET.values())
    return Team(
        hot=len(hot), days_of_two=days, hours_of_two=hours, person_hours=everyone,
        by_presence=presses / CYCLE, by_minutes=minutes,
    )  # fmt: skip


def with_presence(question: Question) -> Question:
    """The question with the presence of two as one of its resources, where it is said who is there on which days.

    A day with one person presses nothing, whatever machines there are. Where the file names a resource `presence`
    itself, what it says goes before this; where days are not named nobody knows, and nothing is added.
    """
    crew = team(question)
    hot = [one for one in question.people if one.hot and one.hours > 0]
    if crew is None or not question.two_hands or not all(one.days for one in hot):
        return question
    if PRESENCE in question.resources or not question.resources:
        return question
    have = {**question.have, PRESENCE: round(crew.by_presence, 6)}
    return replace(question, resources=(*question.resources, PRESENCE), have=have)
