"""Every rule, one after the other."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from flatstock.planning.check import (
    cooling_on,
    dwells,
    given_up,
    heating,
    lots,
    moulds,
    names,
    people,
    places,
    promises,
    shape,
    stacks,
    steps,
    supply,
)
from flatstock.planning.check.document import read
from flatstock.planning.check.finding import Finding
from flatstock.planning.check.heating import Takes

__all__ = ["judge"]


def judge(plan: Mapping[str, Any], *, takes: Takes | None = None) -> list[Finding]:
    """Everything that is wrong with a `flatstock.plan/1`; empty when it can be run.

    Reads the document alone. Where its shape is wrong only that is said, since nothing else can be read.
    `takes` gives the minutes that a setting needs at least (press, kind, from °C, to °C), which no
    document can say of itself; without it the rule `too_quick` is not looked at.
    """
    if wrong := list(shape.faults(plan)):
        return wrong
    read_ = read(plan)
    floor = cooling_on.with_given_up(plan, read_)
    pieces = supply.drawn(floor)
    found = [
        *names.duplicates(plan),
        *names.order(plan),
        *names.unknown(plan, read_),
        *steps.lengths(floor),
        *steps.present(read_),
        *steps.order(floor),
        *steps.touching(floor),
        *steps.nowhere(floor),
        *dwells.figures(read_),
        *dwells.dwells(read_),
        *dwells.press_cools(floor),
        *places.needed(floor),
        *places.touched(floor),
        *places.capacity(floor),
        *places.benches(floor),
        *places.masses(floor),
        *stacks.stacks(floor),
        *moulds.shared(floor),
        *moulds.fits(read_),
        *people.busy(floor),
        *people.skilled(floor),
        *people.enough(floor),
        *people.watched(read_),
        *heating.sequence(read_),
        *heating.off_while_out(read_),
        *heating.at_set_point(read_),
        *heating.cleaned(read_),
        *supply.overloads(read_, pieces),
        *supply.said(read_, pieces),
        *lots.lots(read_),
        *given_up.given_up(plan, read_),
        *cooling_on.emptied(plan),
        *promises.ready(read_),
        *promises.late(plan, read_),
        *promises.left_out(plan),
        *promises.proof(plan),
        *promises.rehearsed(plan, read_),
    ]
    if takes is not None:
        found += heating.quick(read_, takes)
    return found
