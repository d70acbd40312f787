"""A press with failed elements, at once: dwells scaled by two runs of the heat model, until they are worked out."""

from __future__ import annotations

from collections.abc import Set as AbstractSet
from dataclasses import replace
from math import ceil, floor
from typing import TYPE_CHECKING

from flatstock.errors import Refused
from flatstock.planning.problem.week import Dwell, Kind
from flatstock.pressing.questions import CardQuestion
from flatstock.workshop.shop import Workshop

if TYPE_CHECKING:
    from flatstock.pressing.heating import Heating

__all__ = ["scaled"]


def scaled(kind: Kind, presses: AbstractSet[str], *, now: Workshop, before: Workshop) -> Kind:
    """The kind of sheet with the dwells that these presses need now.

    Least and planned dwell grow as the middle of the time to melt-through does, the latest as the middle of the time
    that the face bears. A planned dwell that a whole card would shorten stays on the long side.
    """
    dwells = dict(kind.dwell)
    for press in presses & kind.dwell.keys():
        try:
            new, old = (_heating(shop, kind, press) for shop in (now, before))
            slower = max(1.0, new.melt_history.time / old.melt_history.time)
            longer = 1.0 if new.latest is None or old.latest is None else new.latest / old.latest
        except Refused:
            del dwells[press]  # it never melts through there any more
            continue
        dwells[press] = _longer(dwells[press], slower, longer)
    return replace(kind, dwell=dwells) if dwells else kind


def _heating(shop: Workshop, kind: Kind, press: str) -> Heating:
    from flatstock.pressing.card import work_out  # the heat model takes a second or two to come

    total = sum(kind.lots.values())
    question = CardQuestion(
        plastic=kind.plastic,
        thickness=kind.thickness / 1e3,
        press=press,
        lots={lot: mass / total for lot, mass in kind.lots.items()},
        colour=kind.colour,
    )
    return work_out(shop, question).heating


def _longer(dwell: Dwell, slower: float, longer: float) -> Dwell:
    least, latest = ceil(dwell.least * slower), dwell.latest
    latest = None if latest is None else max(least, floor(latest * longer))
    planned = ceil(dwell.planned * slower)
    return replace(
        dwell,
        least=least,
        planned=planned if latest is None else max(least, min(planned, latest)),
        latest=latest,
    )
