"""Danger comes before data: what the screen says first, and only afterwards what it asks."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from pathlib import Path

from flatstock.running.event import Event

__all__ = ["Danger", "DangerWords", "Heat", "dangers", "heats", "words_of"]


@dataclass(frozen=True, slots=True, kw_only=True)
class DangerWords:
    """What is said in one kind of danger."""

    headline: str
    lines: tuple[str, ...]
    then: str
    ends_with: tuple[str, ...]
    defer_to: str
    mark: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Danger:
    """A danger that is on, or one that is over but whose platens have not been measured since."""

    event: str  #: id
    kind: str
    place: str | None  #: None: the whole shop
    since: datetime
    over: datetime | None  #: None: it is on
    say: DangerWords
    measure: tuple[str, ...]  #: hot presses with a mould in them, to be measured now; empty while it is on


@dataclass(frozen=True, slots=True, kw_only=True)
class Heat:
    """One hot press's heaters, and the last that was measured."""

    press: str
    on: bool
    since: datetime | None  #: of `on` or off
    set_point: float | None  #: as told when they were switched on [°C]
    reads: tuple[tuple[datetime, float], ...]  #: platens measured [°C], in order
    cuts: tuple[tuple[datetime, datetime | None], ...]  #: spans without heat while they were meant to be on
    points: tuple[tuple[datetime, float], ...] = ()  #: set-points told [°C], in order


@cache
def words_of() -> Mapping[str, DangerWords]:
    """What is said, by kind of danger; `data/danger.toml`."""
    text = (Path(__file__).parent / "data" / "danger.toml").read_text(encoding="utf-8")
    return {
        kind: DangerWords(
            headline=table["headline"],
            lines=tuple(table["lines"]),
            then=table["then"],
            ends_with=tuple(table["ends_with"]),
            defer_to=table["defer_to"],
            mark=table["mark"],
        )
        for kind, table in tomllib.loads(text).items()
    }


def dangers(events: Sequence[Event], *, loaded: Mapping[str, datetime], now: datetime) -> list[Danger]:
    """Every danger that is on, and those over whose presses wait to be measured.

    Parameters
    ----------
    events
        That stand, in order.
    loaded
        Hot presses with a mould in them, and since when.
    """
    found = []
    for event in events:
        words = words_of().get(event.kind)
        if words is None or event.at > now:
            continue
        over = _over(event, events, words, now)
        unread = (
            tuple(
                press
                for press, since in sorted(loaded.items())
                if event.place in (None, press)
                and since <= event.at
                and not _measured(events, press, over, now)
            )
            if over is not None
            else ()
        )
        if over is None or unread:
            found.append(
                Danger(
                    event=event.id,
                    kind=event.kind,
                    place=event.place,
                    since=event.at,
                    over=over,
                    say=words,
                    measure=unread,
                )
            )
    return found


def _over(danger: Event, events: Sequence[Event], words: DangerWords, now: datetime) -> datetime | None:
    for event in events:
        if event.kind not in words.ends_with or not danger.at <= event.at <= now:
            continue
        named = event.facts.get("danger")
        if named == danger.id or (event.kind == "power_back" and event.place in (None, danger.place)):
            return event.at
    return None


def _measured(events: Sequence[Event], press: str, since: datetime, now: datetime) -> bool:
    return any(e.kind == "platen_read" and e.place == press and since <= e.at <= now for e in events)


def heats(events: Sequence[Event], presses: Sequence[str], *, now: datetime) -> dict[str, Heat]:
    """Which heaters are on, as far as was told: a mould laid in a press says that it is hot.

    A power cut ends heating, and nothing but a person brings it back; smoke or an accident does not prove that
    anybody has reached the isolator.
    """
    found = {}
    for press in presses:
        on, since, point = False, None, None
        reads: list[tuple[datetime, float]] = []
        cuts: list[tuple[datetime, datetime | None]] = []
        points: list[tuple[datetime, float]] = []
        for event in events:
            if event.at > now or event.where not in (None, press):
                continue
            told = event.kind == "loaded" and not (cuts and cuts[-1][1] is None)
            if event.kind == "heating_on" or (told and not on):
                on, since = True, event.at
                if (set_to := _number(event, "set_point_C")) is not None:
                    point = set_to
                    points.append((event.at, set_to))
                if cuts and cuts[-1][1] is None:
                    cuts[-1] = (cuts[-1][0], event.at)
            elif event.kind in ("heating_off", "power_cut"):
                if on:
                    cuts.append((event.at, None))
                    since = event.at
                on = False
            elif event.kind == "platen_read":
                reads += [(event.at, read)] if (read := _number(event, "temperature_C")) is not None else []
        found[press] = Heat(
            press=press,
            on=on,
            since=since,
            set_point=point,
            reads=tuple(reads),
            cuts=tuple(cuts),
            points=tuple(points),
        )
    return found


def _number(event: Event, name: str) -> float | None:
    fact = event.facts.get(name)
    return float(fact) if isinstance(fact, int | float) and not isinstance(fact, bool) else None
