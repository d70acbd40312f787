"""How long moulds cool under pressure, and where plates get warm how each finds them and leaves them (`warmth`).

Two variables a mould carry it: until when the plates that it finds would stay warm, and until when those do that it
leaves. How warm the plates are is what is left of the first when it is clamped; its stay and what it leaves lie above
straight lines in that. Of two moulds the later one finds the plates as the earlier one left them, or warmer: that holds
of every two, so that nobody has to know which follows right after which.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from flatstock.planning.problem.straight_lines import SCALE, Line
from flatstock.planning.problem.warmth import ends_after, opens_after, raised, stack_lines, stacked_after
from flatstock.planning.problem.week import Sheet, Week
from flatstock.planning.solve.cpsat import Model, Var

__all__ = ["Held", "MetPlates", "met_plates", "stay_at_least", "stay_by_warmth"]

WARM = 5000  #: minutes that plates may stay warm after a plan's end: more than the heat model looks at


@dataclass(frozen=True, slots=True)
class MetPlates:
    """When the plates that a mould finds would be cold, and when those that it leaves are."""

    found: Var
    left: Var


@dataclass(frozen=True, slots=True)
class Held:
    """A mould in a cooling press. Literals, and instants in minutes."""

    chosen: Var  #: it comes into this one
    stacked: Sequence[Var]  #: it goes on to a stack, one literal each
    direct: Var  #: it is demoulded there
    clamped: Var
    leave: Var
    demould: Var


def met_plates(model: Model, week: Week, sheet: Sheet, clamped: Var) -> MetPlates:
    """The two variables of a mould."""
    first, last = min(week.start, week.now - WARM), week.end + WARM
    found = model.new_int_var(first, last, f"cold before {sheet.id}")
    model.add(found >= clamped)
    return MetPlates(found, model.new_int_var(first, last, f"cold after {sheet.id}"))


def stay_at_least(model: Model, sheet: Sheet, place: str, held: Held) -> None:
    """Where plates stay cold enough."""
    model.add(held.leave >= held.clamped + opens_after(sheet, place, 0)).only_enforce_if(held.chosen)
    whole = held.clamped + ends_after(sheet, place, 0)
    model.add(held.demould >= whole).only_enforce_if([held.chosen, held.direct])
    least = 0 if sheet.melts else stacked_after(sheet, place, 0)
    for laid in held.stacked if least else ():
        model.add(held.leave >= held.clamped + least).only_enforce_if([held.chosen, laid])


def stay_by_warmth(
    model: Model, sheet: Sheet, place: str, held: Held, plates: MetPlates, *, known: int | None
) -> None:
    """Where they get warm. `known`: the warmth that it found, where it has been clamped."""
    warming = sheet.kind.warming[place]
    warmth = plates.found - held.clamped if known is None else known

    def stays(until: Var, lines: Iterable[Line], least: int, *on: Var) -> None:
        for slope, cold in lines:
            model.add(SCALE * (until - held.clamped) >= slope * warmth + cold).only_enforce_if(*on)
        if least:
            model.add(until >= held.clamped + least).only_enforce_if(*on)

    stays(held.leave, raised(warming.opens, sheet.warm_percent), sheet.cool_least, held.chosen)
    stays(held.demould, raised(warming.ends, sheet.warm_percent), sheet.rest_least, held.chosen, held.direct)
    lines = stack_lines(warming, sheet.stack_percent) if sheet.stack_percent else []
    for laid in () if sheet.melts else held.stacked:
        stays(held.leave, lines, sheet.stack_least, held.chosen, laid)
    for slope, cold in warming.leaves:
        left = slope * warmth + cold - warming.fades * (held.leave - held.clamped)
        model.add(SCALE * (plates.left - held.leave) >= left).only_enforce_if(held.chosen)
