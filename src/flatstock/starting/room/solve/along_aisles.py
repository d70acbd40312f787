"""Plans with a few aisles, one after the other: what walking still has against one comes back as cuts."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from flatstock.starting.room.question import Placement, Question
from flatstock.starting.room.solve.aisles import ask_for_aisles
from flatstock.starting.room.solve.cpsat import solve
from flatstock.starting.room.solve.cuts import Cut, Explainer, Learnt, exactly
from flatstock.starting.room.solve.master import Master
from flatstock.starting.room.solve.spots import Spots

__all__ = ["along_aisles"]


@dataclass(frozen=True, slots=True)
class _Ways:
    """How many rectangles are asked for, and how long at first."""

    aisles: int
    lanes: int
    trolley_parts: int
    walk_parts: int
    work: float  #: CP-SAT's own seconds, which a busy machine does not shorten


#: by turns, each in every round for twice as long and from another seed. Three aisles are enough for the demo's things
#: in 6.2 m x 5.6 m and are soonest solved; in 6.0 m x 5.6 m and 5.8 m x 5.8 m nothing stands without lanes (measured)
TRIED = (_Ways(3, 0, 2, 2, 1.0), _Ways(3, 2, 2, 3, 1.2), _Ways(4, 2, 2, 3, 1.2), _Ways(5, 3, 3, 3, 1.2))
USUAL = TRIED[1]  #: enough where there is a plan, mostly


def along_aisles(
    question: Question,
    spots: Spots,
    *,
    learnt: Learnt,
    until: float,
    stop: Callable[[], bool],
    doubtful: Callable[[], None] = lambda: None,
) -> Iterator[Mapping[str, Placement]]:
    """Plans in which everything stands and people get out by aisles, not yet judged; each differs from those before.

    `learnt`: what walking is known to have against them; what is found out joins it. `doubtful` is called when
    aisles and lanes as most rooms have them were looked for in vain. Most pass: limits of length alone and straight
    gaps are not in the model to the last millimetre.
    """
    explainer = Explainer(question, spots)
    models = [_Model(question, spots, ways) for ways in TRIED]
    turn = 0
    while models and time.monotonic() < until and not stop():
        for model in list(models):
            while time.monotonic() < until and not stop():
                for cut in model.fresh(learnt):
                    model.master.cut(cut.boxes, cut.walk)
                answer = solve(
                    model.master.model, seconds=until - time.monotonic(), work=model.ways.work * 2**turn,
                    workers=1, stop=stop, lean=True, seed=turn + 1, shuffled=turn > 0,
                )  # fmt: skip
                if answer.status == "impossible":
                    models.remove(model)
                if answer.values is None:
                    break
                where = model.master.where(answer)
                yield where
                cuts = explainer.cuts(where, model.master.walked(answer))
                learnt.add(cuts or [Cut(tuple(exactly(question, where, set(where))))])
            if model.ways == USUAL and not stop():  # a search that betters a plan must not be broken off
                doubtful()
        turn += 1


class _Model:
    """One model, made when it is first asked, and the cuts that it knows."""

    def __init__(self, question: Question, spots: Spots, ways: _Ways) -> None:
        self._question, self._spots, self.ways = question, spots, ways
        self._known = 0

    @cached_property
    def master(self) -> Master:
        """Boxes, zones and aisles."""
        master, ways = Master(self._question, self._spots), self.ways
        ask_for_aisles(
            master, aisles=ways.aisles, lanes=ways.lanes, trolley_parts=ways.trolley_parts,
            walk_parts=ways.walk_parts,
        )  # fmt: skip
        return master

    def fresh(self, learnt: Learnt) -> list[Cut]:
        """What was learnt since it was asked last."""
        self._known, cuts = learnt.since(self._known, self._question)
        return cuts
