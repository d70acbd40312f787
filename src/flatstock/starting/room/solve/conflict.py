"""A smallest set of things that can't stand together: one after the other is taken away as long as it stays impossible.

Less to place is never harder: whatever is taken away frees its floor and asks for nothing any more. So what is left
when nothing more can go is a smallest set; where a proof did not come to its end in time the thing stays in it.

First by the model of boxes and zones and of the floor that people and the trolley need somewhere: CP-SAT says in a
moment of most sets that they can't be. Then every thing that is left is taken away once more, with walks: a plan must
be found for the rest, or a proof. Plans are looked for first, a moment each, as most are found so soon; what is not
found is asked of the proof alone, which beside a search takes five times as long. What walking has against the plans of
one set holds in the next, so that one proof shortens the others. Plans that were met on the way, of all things but a
few, answer many of these questions at once.
"""

from __future__ import annotations

import time
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from flatstock.starting.room.check import judge
from flatstock.starting.room.plan import Plan
from flatstock.starting.room.question import Item, Placement, Question
from flatstock.starting.room.solve.clash import sentence
from flatstock.starting.room.solve.cpsat import solve
from flatstock.starting.room.solve.cuts import Learnt
from flatstock.starting.room.solve.dives import what_passes
from flatstock.starting.room.solve.first_looks import Refusal
from flatstock.starting.room.solve.hopeful import open_spots
from flatstock.starting.room.solve.master import Master
from flatstock.starting.room.solve.parts import floor_mm2
from flatstock.starting.room.solve.prove import prove
from flatstock.starting.room.solve.race import Outcome, race
from flatstock.starting.room.solve.room_to_walk import room_to_walk
from flatstock.starting.room.solve.search import Found
from flatstock.starting.room.solve.spots import Spots
from flatstock.starting.room.solve.walks import Walks
from flatstock.starting.room.variants import without

__all__ = ["Conflict", "Drafts", "KnownPlans", "boxes_lie", "smallest_conflict", "unknown_conflict"]

A_PLAN_S = 1.0  # [s] for one look for a plan before anything is proven with walks
PROOFS = 3  # times that each is asked of the proof, which goes on with what it has learnt
A_QUESTION_S = 1.5  # [s] for one question whether some things can stand together, or a third of what is left
BOXES_S = 1.0  # [s] to see whether boxes and zones alone refuse it


Drafts = dict[
    frozenset[str], Mapping[str, Placement]
]  #: sets of things, with a plan that the model has for each


class KnownPlans:
    """Plans of parts of a question that the judge passes, each by what stands in it."""

    def __init__(self, question: Question, parts: Iterable[Found] = ()) -> None:
        self._question = question
        self._must = {item.id for item in question.items if not item.optional}
        self._passed: dict[frozenset[str], Mapping[str, Placement]] = {}
        for part in sorted(parts, key=lambda found: found.order):
            self.add(part.where)

    def add(self, where: Mapping[str, Placement]) -> None:
        """Take a plan in, where it tells something new and passes."""
        names = frozenset(where)
        if any(names <= known for known in self._passed):
            return
        rest = without(self._question, [item.id for item in self._question.items if item.id not in names])
        if judge(rest, Plan(placements=where)).passes:
            self._passed[names] = where

    def stand(self, names: Collection[str]) -> bool:
        """True where these things are known to stand together: a plan without the rest of one that passes."""
        return any(set(names) <= known for known in self._passed)

    def lacking(self) -> list[tuple[tuple[str, ...], Mapping[str, Placement]]]:
        """What each plan lacks of what must stand, in the question's order, and the plan; fewest first."""
        found: list[tuple[tuple[str, ...], Mapping[str, Placement]]] = []
        for names, where in self._passed.items():
            lacks = tuple(item.id for item in self._question.items if item.id in self._must - names)
            if lacks and not any(set(other) < set(lacks) for other, _ in found):
                found.append((lacks, where))
        return sorted(found, key=lambda one: len(one[0]))


@dataclass(frozen=True, slots=True)
class Conflict:
    """What can't stand together."""

    refusal: Refusal
    undecided: tuple[str, ...]  #: things of it without which nobody knows yet whether the rest can stand
    stopped: bool = False  #: by Ctrl-C

    @property
    def smallest(self) -> bool:
        """True where it is proven that the rest can stand as soon as any of it goes."""
        return not self.undecided


def smallest_conflict(
    question: Question,
    known: KnownPlans,
    *,
    until: float,
    learnt: Learnt | None = None,
    drafts: Drafts | None = None,
) -> Conflict:
    """The set and its sentence, for a question that is proven impossible; `learnt` on the way there.

    `drafts`: sets that the model does not refuse, from a call before of this question; those of this one join them.

    Ctrl-C ends it with the smallest set that is known to be impossible by then.
    """
    naming = _Naming(
        question, known, until, Learnt() if learnt is None else learnt, {} if drafts is None else drafts
    )
    stopped = False
    try:
        naming.shrink()
        naming.decide()
    except KeyboardInterrupt:
        stopped = True
    return naming.conflict(stopped=stopped)


def unknown_conflict(question: Question) -> Conflict:
    """Of a question that is proven impossible, before anything else is known: all that must stand."""
    names = tuple(item.id for item in question.items if not item.optional)
    return Conflict(Refusal(names, sentence(question, names, walking=True)), names)


class _Naming:
    """A set that can't stand together, smaller and smaller: `part` holds it all along."""

    def __init__(
        self, question: Question, known: KnownPlans, until: float, learnt: Learnt, drafts: Drafts
    ) -> None:
        self.known, self.until, self.learnt, self.drafts = known, until, learnt, drafts
        self.part = without(question, [item.id for item in question.items if item.optional])

    def shrink(self) -> None:
        """Take away whatever may go as long as the model refuses the rest: the smallest half, then ones."""
        order: Sequence[Item] = sorted(self.part.items, key=floor_mm2)
        chunk = len(order) // 2
        while order and time.monotonic() < self.until:
            some, rest = order[: max(1, chunk)], order[max(1, chunk) :]
            fewer = without(self.part, [item.id for item in some])
            asked = (
                fewer.items
                and not self.known.stand(fewer.by_id)
                and frozenset(fewer.by_id) not in self.drafts
            )
            gone = bool(asked) and self._refused(fewer)
            if gone:
                self.part = fewer
            order = rest if gone or chunk <= 1 else order
            chunk //= 2

    def decide(self) -> None:
        """Take every thing away once more, with walks: a plan for the rest, or a proof."""
        for fewer in self._open_questions(largest_first=True):
            draft = self.drafts.get(frozenset(fewer.by_id))
            out = _looked_for(fewer, draft, time.monotonic() + min(A_PLAN_S, _share(self.until)), self.learnt)
            if out.best is not None:
                self.known.add(out.best.where)
            if out.stopped:
                raise KeyboardInterrupt
        for fewer in (fewer for _ in range(PROOFS) for fewer in self._open_questions(largest_first=False)):
            said = prove(
                fewer, open_spots(fewer), until=time.monotonic() + _share(self.until), learnt=self.learnt, goal=False,
                workers=1,
            )  # fmt: skip
            if said.status == "impossible":
                self.part = fewer
            elif said.where is not None:
                self.known.add(said.where)

    def _open_questions(self, *, largest_first: bool) -> Iterator[Question]:
        """What is left without each thing, as long as nobody knows and there is time."""
        for item in sorted(self.part.items, key=floor_mm2, reverse=largest_first):
            fewer = without(self.part, [item.id])
            if time.monotonic() < self.until and fewer.items and not self.known.stand(fewer.by_id):
                yield fewer

    def conflict(self, *, stopped: bool) -> Conflict:
        """What is known by now."""
        names = tuple(item.id for item in self.part.items)
        walking = True  # as where it is not decided in time
        try:
            walking = boxes_lie(self.part, max(self.until, time.monotonic() + BOXES_S)) is not False
        except KeyboardInterrupt:
            stopped = True
        rests = {name: set(names) - {name} for name in names}
        undecided = tuple(name for name, rest in rests.items() if rest and not self.known.stand(rest))
        return Conflict(Refusal(names, sentence(self.part, names, walking=walking)), undecided, stopped)

    def _refused(self, fewer: Question) -> bool:
        """Whether the model refuses these; a plan that it has for them may be one that passes."""
        spots = open_spots(fewer)
        if not _each_has_a_place(fewer, spots):
            return True
        master = Master(fewer, spots)
        room_to_walk(master)
        for cut in self.learnt.since(0, fewer)[1]:
            master.cut(cut.boxes, cut.walk)
        said = solve(master.model, seconds=_share(self.until), lean=True)
        if said.values is not None:
            self.drafts[frozenset(fewer.by_id)] = where = master.where(said)
            self.known.add(where)
        return said.status == "impossible"


def _looked_for(
    fewer: Question, draft: Mapping[str, Placement] | None, until: float, learnt: Learnt
) -> Outcome:
    """A search for a plan of these, from as much of a draft as people get out of."""
    start = None if draft is None else what_passes(fewer, Walks(fewer), draft)
    return race(
        fewer, open_spots(fewer), until=until, first=True, tight=True, proof=False, start=start, learnt=learnt
    )


def _each_has_a_place(question: Question, spots: Spots) -> bool:
    return all(
        any(spots.alone(item.id, shape.turn).any() for shape in spots.shapes[item.id])
        for item in question.items
    )


def _share(until: float) -> float:
    """How long one question may take: most are answered long before, on a busy machine a few are not [s]."""
    left = until - time.monotonic()
    return min(left, max(A_QUESTION_S, left / 3))


def boxes_lie(question: Question, until: float) -> bool | None:
    """Whether boxes and zones alone lie beside each other, whoever walks where."""
    spots = Spots(question)  # places that nobody gets out of count too
    if not _each_has_a_place(question, spots):
        return False
    said = solve(Master(question, spots).model, seconds=_share(until)).status
    return {"impossible": False, "unknown": None}.get(said, True)
