"""When it can't be done: what slips, by how much, what would help, and when it would be ready, written into a plan."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from flatstock.actions.helping import Help, Tried
from flatstock.actions.ready_later import FURTHER, Later
from flatstock.planning.gone import gone_for_good
from flatstock.planning.problem.week import Week
from flatstock.times import day_clock, lasting

__all__ = ["explained"]


def _lacking(saving: Iterable[tuple[Help, int]], order: str) -> list[tuple[Help, int]]:
    """What an order was short of, most first; what its own sheets use goes before what only leaves them room."""
    return sorted((one for one in saving if one[0].resource), key=lambda one: order not in one[0].serves)


def _short_of(one: Help, order: str) -> str:
    if order in one.serves:
        return f"short of {one.resource}"
    return f"other orders, short of {one.resource}, leave it no room"


def explained(document: dict[str, Any], week: Week, tried: Tried | None, later: Later | None) -> None:
    """Write into a plan why orders slip, what would help, and when what is left out would be ready.

    `tried`: None where nothing was tried.
    """
    found = () if tried is None else tried.found
    for one in document["late"]:
        _why_late(one, week, found, looked=tried is not None)
    if tried is not None:
        document["warnings"] += _not_known(tried)
    for one in document["left_out"]:
        if one["order"] not in week.unplaced:
            _why_left_out(one, week, found, later)


def _why_late(one: dict[str, Any], week: Week, found: Sequence[Help], *, looked: bool) -> None:
    order = one["order"]
    saving = [(h, h.late[order]) for h in found if h.late.get(order, 0) > 0]
    saving.sort(key=lambda entry: -entry[1])
    one["would_help"] = [
        {"what": h.what, "saves_min": saved, "costs": h.costs(), "searched": h.searched}
        for h, saved in saving
    ]
    lacking = _lacking(saving, order)
    one["because"] = [
        f"{_short_of(h, order)}: planned again with {h.what} it is {lasting(saved)} less late"
        + (f", though {h.costs()}" if h.costs() else "")
        for h, saved in lacking[:2]
    ]
    if looked and not lacking:
        one["because"] = ["no one thing more was found in the time given with which it is less late"]
    if any(s.due is not None and s.due <= week.now for s in week.sheets if s.order == order):
        one["because"] = ["it was due before now, so that no plan has it in time", *one["because"]]


def _not_known(tried: Tried) -> Iterator[str]:
    """What there was no time to look into, in words."""
    if tried.better is not None:
        yield (
            "A better plan of the week as it is was found while looking what would help, but the heat model asks more"
            " of it than it allows: more time may bring out one that passes."
        )
    if tried.unsearched:
        yield (
            "Only the priority rules had time to try with more of these, no search:"
            f" {'; '.join(tried.unsearched)}. More time may find that they help, or help more."
        )
    if tried.untried:
        yield (f"There was no time to try whether this would help: {'; '.join(tried.untried)}. Give it more.")


def _why_left_out(one: dict[str, Any], week: Week, found: Sequence[Help], later: Later | None) -> None:
    order = one["order"]
    gone = list(gone_for_good(week, next(sheet for sheet in week.sheets if sheet.order == order)))
    if gone:
        one["because"] += f": {' and '.join(gone)}"
    saving = [(h, h.missing[order]) for h in found if h.missing.get(order, 0) > 0]
    saving.sort(key=lambda entry: -entry[1])
    one["would_help"] = [
        {"what": h.what, "sheets": more, "costs": h.costs(), "searched": h.searched} for h, more in saving
    ]
    for h, more in _lacking(saving, order)[:1]:
        one["because"] += f"; {_short_of(h, order)}: with {h.what} there is time for {more} of them"
    if later is None:
        return
    at = later.ready.get(order)
    one["ready"] = None if at is None else at.isoformat()
    one["late_min"] = later.late.get(order)
    if at is not None:
        late = later.late.get(order, 0)
        some = later.placed[order]
        who = "they are" if not later.left.get(order) else f"{some} of them {'is' if some == 1 else 'are'}"
        one["because"] += f". Planned into the time after it {who} ready by {day_clock(at)}" + (
            f", {lasting(late)} late over these sheets" if late else ""
        )
    if later.left.get(order) and not gone:
        one["because"] += _not_even_then(one["because"], later, order)


def _not_even_then(said: str, later: Later, order: str) -> str:
    """Of sheets that find no time in the weeks after either; empty where what is `said` has the reason."""
    empty = later.empty.get(order, ())
    if "no flake" in said and empty:
        return ""
    why = (
        f"not enough is left of {' and '.join(empty)}"
        if empty
        else "more time to plan in may find some; else look whether a mould or a person is missing altogether"
    )
    others = later.left[order]
    if later.placed.get(order):
        which = "the other" if others == 1 else f"the other {others}"
    else:
        which = "it" if others == 1 else f"{others} of them"
    return f". There is no time for {which} in {FURTHER} weeks more: {why}"
