"""Plans with a few aisles, one after the other: what walking still has against one comes back as cuts."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Mapping

from flatstock.starting.room.question import Placement, Question
from flatstock.starting.room.solve.aisles import ask_for_aisles
from flatstock.starting.room.solve.cpsat import solve
from flatstock.starting.room.solve.cuts import Cut, Explainer, Learnt, exactly
from flatstock.starting.room.solve.master import Master
from flatstock.starting.room.solve.spots import Spots

__all__ = ["along_aisles"]

#: aisles, and rectangles of the trolley, fewest first. Three and two are enough for the demo's things in every room
#: from 6.0 to 9.2 m that has a plan by this model, and are soonest solved (measured)
TRIED = ((3, 2), (4, 2), (5, 3))


def along_aisles(
    question: Question, spots: Spots, *, learnt: Learnt, until: float, stop: Callable[[], bool]
) -> Iterator[Mapping[str, Placement]]:
    """Plans in which everything stands and people get out by aisles, not yet judged; each differs from those before.

    `learnt`: what walking is known to have against them; what is found out joins it. Most pass: limits of length alone
    and straight gaps are not in the model to the last millimetre.
    """
    explainer = Explainer(question, spots)
    for aisles, parts in TRIED:
        master = Master(question, spots)
        ask_for_aisles(master, aisles=aisles, trolley_parts=parts)
        known = 0
        while (left := until - time.monotonic()) > 0 and not stop():
            known, cuts = learnt.since(known, question)
            for cut in cuts:
                master.cut(cut.boxes, cut.walk)
            answer = solve(master.model, seconds=left, workers=1, stop=stop, lean=True)
            if answer.values is None:
                break
            where = master.where(answer)
            yield where
            cuts = explainer.cuts(where, master.walked(answer))
            learnt.add(cuts or [Cut(tuple(exactly(question, where, set(where))))])
