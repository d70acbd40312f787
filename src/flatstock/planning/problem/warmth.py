"""Cooling presses whose plates get warm: how long each mould stays by how warm it finds them, over a whole plan.

Warmth is told in minutes: the rest after which empty plates are cold again. So it is enough to know from which minute
on they are cold: a mould clamped before then meets plates as warm as there are minutes left, and pushes that minute on.
What a stay takes, and how far it pushes, grows ever faster with the warmth: each is the highest of a few straight
lines, which is what a solver of linear constraints can work with. Everything counts in whole minutes, upwards.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import ceil

from flatstock.planning.problem.schedule import Run
from flatstock.planning.problem.straight_lines import SCALE, Line
from flatstock.planning.problem.week import Kind, Sheet, Warming, Week

__all__ = [
    "Plates",
    "asked_for",
    "cold_from",
    "ends_after",
    "in_a_row",
    "least_to_end",
    "least_to_open",
    "opens_after",
    "plates_of",
    "raised",
    "stack_lines",
    "stacked_after",
    "to_open",
    "warmths",
]

WHOLE = 100  #: per cent
ADDED = 3  #: minutes: plates that add less to a stay are as good as cold
ROW = 20  #: moulds after which a row that never rests finds plates hardly warmer: our own figure


def least_to_open(sheet: Sheet, place: str) -> int:
    """Minutes in a cooling press until its mould may be opened, on cold plates: no plan needs less."""
    warming = sheet.kind.warming.get(place)
    return sheet.kind.press_cool[place] if warming is None else _highest(warming.opens, 0)


def least_to_end(sheet: Sheet, place: str) -> int:
    """Minutes in a cooling press until it may be demoulded there, on cold plates: no plan needs less."""
    warming = sheet.kind.warming.get(place)
    return sheet.kind.cool_to_end[place] if warming is None else _highest(warming.ends, 0)


def to_open(kind: Kind, place: str, warmth: int) -> int:
    """Minutes in a cooling press until a mould of a kind may be opened, on plates that warm, whether or not it matters
    in this week."""
    told = kind.by_warmth.get(place)
    return kind.press_cool[place] if told is None else _highest(told.opens, warmth)


def in_a_row(kind: Kind, place: str, *, rest: int) -> int:
    """How warm plates are at most that moulds of a kind find which follow each other with so many minutes between, each
    opened as soon as it may be; 0 where nothing is told of them."""
    told, warmth = kind.by_warmth.get(place), 0
    if told is None:
        return warmth
    for _ in range(ROW):
        stay = _highest(told.opens, warmth)
        warmth = max(warmth, _highest(told.leaves, warmth, less=told.fades * stay) - rest)
    return warmth


def opens_after(sheet: Sheet, place: str, warmth: int) -> int:
    """Minutes in a cooling press until its mould may be opened, on plates that warm."""
    warming = sheet.kind.warming.get(place)
    if warming is None:
        return max(sheet.kind.press_cool.get(place, 0), sheet.cool_least)
    return max(_highest(raised(warming.opens, sheet.warm_percent), warmth), sheet.cool_least)


def ends_after(sheet: Sheet, place: str, warmth: int) -> int:
    """Minutes in a cooling press until it may be demoulded there, on plates that warm."""
    warming = sheet.kind.warming.get(place)
    if warming is None:
        return max(sheet.kind.cool_to_end.get(place, 0), sheet.rest_least)
    return max(_highest(raised(warming.ends, sheet.warm_percent), warmth), sheet.rest_least)


def stacked_after(sheet: Sheet, place: str, warmth: int) -> int:
    """Minutes in a cooling press before its mould may lie with others in a stack, or with those that it would melt
    again (`Sheet.melts`), on plates that warm; 0: as soon as it may be opened."""
    warming = sheet.kind.warming.get(place)
    if warming is None or not sheet.stack_percent:
        return sheet.stack_least
    return max(_highest(stack_lines(warming, sheet.stack_percent), warmth), sheet.stack_least)


def stack_lines(warming: Warming, percent: int) -> list[Line]:
    """So many per cent of what it takes to be opened."""
    return [(_share(slope, percent), _share(cold, percent)) for slope, cold in warming.opens]


def raised(lines: Sequence[Line], percent: int) -> Sequence[Line]:
    """The lines with what warm plates add to a stay on cold ones at so many per cent."""
    if percent == WHOLE:
        return lines
    base = max(cold for _, cold in lines)
    return [(_share(slope, percent), base + _share(cold - base, percent)) for slope, cold in lines]


def asked_for(
    sheet: Sheet, place: str, warmth: int, minutes: Mapping[str, int], *, moved: bool
) -> dict[str, int]:
    """Minutes that a mould is found to need, as what they ask of its kind (`Sheet.asks`).

    In a cooling press whose plates get warm it is what they add to a stay on cold ones that grows, in proportion, so
    that the first mould of a morning stays no longer for what a later one lacked; on plates that add next to nothing
    it is the stay itself. `moved`: it goes on to a stack or rack, else it is demoulded there.
    """
    warming = sheet.kind.warming.get(place)
    asks = dict(minutes)
    if warming is None:
        return asks
    name, lines = ("cool", warming.opens) if moved else ("rest", warming.ends)
    if name in asks and (percent := _percent(lines, warmth, asks[name])) is not None:
        del asks[name]
        asks["warm_percent"] = percent
    if "stack" in asks:
        asks["stack_percent"] = ceil(WHOLE * SCALE * asks.pop("stack") / _at(warming.opens, warmth))
    return asks


def _percent(lines: Sequence[Line], warmth: int, minutes: int) -> int | None:
    """What warm plates add, at so many per cent, comes to these minutes; None: they add next to nothing."""
    cold = max(base for _, base in lines)
    added = _at(lines, warmth) - cold
    return None if added < ADDED * SCALE else ceil(WHOLE * (minutes * SCALE - cold) / added)


def cold_from(sheet: Sheet, place: str, *, clamped: int, leave: int, cold: int) -> int:
    """From when on plates are cold again that a mould leaves, `cold`: without it they would be from then on."""
    warming = sheet.kind.warming.get(place)
    if warming is None:
        return cold
    warmth = max(0, cold - clamped)
    left = _highest(warming.leaves, warmth, less=warming.fades * (leave - clamped))
    return max(cold, leave + left)


def _share(value: int, percent: int) -> int:
    return -(-value * percent // WHOLE)


def _at(lines: Sequence[Line], warmth: int) -> int:
    """The highest line at that warmth, in 1/`SCALE` min."""
    return max(slope * warmth + cold for slope, cold in lines)


def _highest(lines: Sequence[Line], warmth: int, *, less: int = 0) -> int:
    """The same less something, in whole minutes, upwards."""
    return -((less - _at(lines, warmth)) // SCALE)


@dataclass(frozen=True, slots=True)
class Plates:
    """What is settled of the plates by moulds that have been clamped."""

    warmth: Mapping[str, int]  #: by sheet that has been clamped: of the plates that it found
    cold: Mapping[str, int]  #: by cooling press: cold from then on, by moulds that have left it


def plates_of(week: Week) -> Plates:
    """As they are, from what has happened."""
    return Plates(*_through(week, {}))


def warmths(week: Week, runs: Mapping[str, Run]) -> dict[str, int]:
    """By sheet of a plan, how warm the plates are that its mould finds."""
    return _through(week, runs)[0]


def _through(week: Week, runs: Mapping[str, Run]) -> tuple[dict[str, int], dict[str, int]]:
    """One mould after the other: by sheet how warm the plates are that it finds, by cooling press from when on they
    are cold again."""
    found: dict[str, int] = {}
    cold: dict[str, int] = {}
    for clamped, sheet, place, leave in sorted(_stays(week, runs), key=lambda one: (one[0], one[1].id)):
        until = cold.get(place, clamped)
        found[sheet.id] = max(0, until - clamped)
        if leave is not None:
            cold[place] = cold_from(sheet, place, clamped=clamped, leave=leave, cold=until)
    return found, cold


def _stays(week: Week, runs: Mapping[str, Run]) -> Iterator[tuple[int, Sheet, str, int | None]]:
    """When each mould is clamped, where, and when it leaves; None: it is in there, and no run says."""
    ends = {one.sheet.id: one.since for one in week.given_up}
    for sheet in (*week.sheets, *(one.sheet for one in week.given_up if not one.sheet.lost)):
        run, gone = runs.get(sheet.id), sheet.work("transfer")
        if run is not None:
            yield (
                run.transfer + week.times.transfer if gone is None else gone.end,
                sheet,
                run.cooling,
                run.leave,
            )
        elif gone is not None:
            place = next((p for p in gone.places if p in sheet.kind.press_cool), "")
            after = sheet.work("move") or sheet.work("demould")
            yield gone.end, sheet, place, ends.get(sheet.id) if after is None else after.start
