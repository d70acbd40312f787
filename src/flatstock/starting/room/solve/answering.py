"""The answer to a question about a room: a plan with how far it is proven, or why there is none."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from dataclasses import replace

from flatstock.starting.room.answer import Help, Proof, RoomAnswer
from flatstock.starting.room.plan import Plan
from flatstock.starting.room.question import Question
from flatstock.starting.room.solve.conflict import Drafts, KnownPlans, smallest_conflict, unknown_conflict
from flatstock.starting.room.solve.first_looks import first_looks, refused_alone
from flatstock.starting.room.solve.hopeful import open_spots
from flatstock.starting.room.solve.leaving_out import fewest_left_out
from flatstock.starting.room.solve.others import alternatives, left_out, more_plans, shortest_out
from flatstock.starting.room.solve.race import Outcome, Tell, race
from flatstock.starting.room.solve.relief import Relief, what_would_help
from flatstock.starting.room.solve.search import Found
from flatstock.starting.room.variants import without

__all__ = ["answer"]

NAMED_S, ANSWERED_S = 6.0, 10.0  # [s] from the start: a conflict is named, what would help is tried
RACE_SHARE, OTHERS_S = (
    0.92,
    2.5,
)  # the rest of the time, or less [s], is for plans that differ, where they lack
DECIDED_SHARE = 0.6  # of the time that is left then, to find out whether a conflict is a smallest one
LEAST_S, HELPED_S = 2.0, 4.0  # [s] for either, and for what would help, however late it is


def answer(
    question: Question,
    *,
    seconds: float = 30.0,
    first: bool = False,
    tell: Tell = lambda *_: None,
    named: Callable[[str], None] = lambda _: None,
    stop: Callable[[], bool] = lambda: False,
) -> RoomAnswer:
    """Place everything that has no place yet.

    Parameters
    ----------
    seconds
        How long to look for better plans. Where there is none, a conflict is named and what would help is tried
        within about 10 s, or a third of `seconds` where that is more; longer only where it is not decided yet whether
        it is a smallest one, or little is known that would help.
    first
        Stop at the first plan that passes, and at the first conflict.
    tell
        Hears of better plans and bounds: walk and bound [m/day].
    named
        Hears why there is no plan, as soon as that is known.
    stop
        Asked all along; once it says so the search ends with what there is.
    """
    began = time.monotonic()
    asked, gone = question, dict[str, str]()
    spots = open_spots(question)
    for item in question.items:
        if item.optional and item.placed is None and (no := refused_alone(question, spots, item)):
            gone[item.id] = no.why
    question = without(question, list(gone))
    spots = open_spots(question) if gone else spots
    refusal = first_looks(question, spots)
    if refusal is not None:
        named(refusal.why)
        until = _helped_by(began, seconds)
        helps = what_would_help(question, refusal.conflict, until=until, by_place=refusal.by_place)
        proof = _proof(asked, "impossible", began)
        return RoomAnswer(
            plan=None, proof=proof, conflict=refusal.conflict, why=refusal.why, would_help=helps
        )
    outcome = race(question, spots, until=began + RACE_SHARE * seconds, first=first, tell=tell, stop=stop)
    if outcome.best is not None:
        others_by = 0.0 if first or outcome.stopped else min(began + seconds, time.monotonic() + OTHERS_S)
        outcome.pool = more_plans(question, spots, outcome.pool, outcome.best.where, others_by)
        return _planned(asked, question, outcome, gone, began, began + seconds)
    if outcome.impossible and not outcome.refused and any(item.optional for item in question.items):
        question, whole = without(question, [i.id for i in question.items if i.optional]), question
        until = max(began + seconds, time.monotonic() + LEAST_S)
        outcome = race(question, open_spots(question), until=until, first=True, stop=stop)
        if outcome.best is not None:
            best, out = outcome.best, len(whole.items) - len(question.items)
            outcome.best, outcome.impossible = Found(best.where, 0, out, best.walk), True
            return _planned(asked, whole, outcome, gone, began, until)
    if outcome.impossible:
        until = began if first else began + seconds
        return _impossible(question, outcome, began, 0.0 if stop() else seconds, named, until)
    return _not_found(question, outcome, began)


def _planned(
    asked: Question,
    question: Question,
    outcome: Outcome,
    gone: Mapping[str, str],
    began: float,
    until: float,
) -> RoomAnswer:
    assert outcome.best is not None
    best = shortest_out(question, outcome.best, outcome.pool)
    because = left_out(question, best.where)
    if best.left_out:
        until = max(until, time.monotonic() + LEAST_S)
        fewest = fewest_left_out(question, best, impossible=outcome.impossible, until=until)
        best = fewest.best
        because = dict.fromkeys(left_out(question, best.where), fewest.because())
    plan = Plan(placements=dict(best.where), left_out={**because, **gone})
    bound = None if best.left_out else min(outcome.bound, best.walk)
    proof = replace(
        _proof(asked, "optimal" if outcome.closed else "feasible", began),
        walk_m_per_day=best.walk,
        bound_m_per_day=bound,
    )
    return RoomAnswer(plan=plan, proof=proof, alternatives=alternatives(question, best.where, outcome.pool))


def _impossible(
    question: Question,
    outcome: Outcome,
    began: float,
    seconds: float,
    named: Callable[[str], None],
    until: float,
) -> RoomAnswer:
    looking = _Looking(question, outcome)
    with suppress(KeyboardInterrupt):  # wherever it comes: what is known by then is told
        looking.go_on(began, seconds, named, until)
    conflict, known = looking.conflict, looking.known
    names, why, helps = conflict.refusal.conflict, conflict.refusal.why, looking.helps
    # what was tried for help has decided some of it since
    undecided = [name for name in conflict.undecided if not known.stand(set(names) - {name})]
    if undecided:
        why = f"{why}; {_undecided(names, undecided)}"
    proof = _proof(question, "impossible", began)
    return RoomAnswer(plan=None, proof=proof, conflict=names, why=why, would_help=helps)


class _Looking:
    """What is known of a room that can't be: a set that can't stand together, and what would help."""

    def __init__(self, question: Question, outcome: Outcome) -> None:
        self._question, self._learnt = question, outcome.learnt
        self.known = KnownPlans(question, outcome.parts)
        self._part = without(
            question,
            [item.id for item in question.items if outcome.refused and item.id not in outcome.refused],
        )
        self.conflict = unknown_conflict(self._part)
        self._drafts: Drafts = {}
        self._relief: Relief | None = None

    @property
    def helps(self) -> tuple[Help, ...]:
        """What helps, as far as it is known."""
        return () if self._relief is None else self._relief.helps

    def go_on(self, began: float, seconds: float, named: Callable[[str], None], until: float) -> None:
        """Name a set, try what would help, decide with the time that is left whether the set is a smallest one."""
        named_by = max(began + max(NAMED_S, seconds / 4), time.monotonic() + LEAST_S)
        self.conflict = smallest_conflict(
            self._part, self.known, until=named_by, learnt=self._learnt, drafts=self._drafts
        )
        named(self.conflict.refusal.why)
        relief = self._relief = Relief(self._question, self.conflict.refusal.conflict, known=self.known)
        if self.conflict.stopped:
            return
        relief.look(_helped_by(began, seconds))
        if self.conflict.undecided and not relief.stopped and time.monotonic() < until - LEAST_S:
            idle = [i.id for i in self._question.items if i.id not in self.conflict.refusal.conflict]
            part = without(self._question, idle)
            share = time.monotonic() + DECIDED_SHARE * (until - time.monotonic())
            self.conflict = smallest_conflict(
                part, self.known, until=share, learnt=self._learnt, drafts=self._drafts
            )
        if not (relief.stopped or self.conflict.stopped):
            relief.look(until, till_enough=True)


def _undecided(names: Sequence[str], undecided: Sequence[str]) -> str:
    """How far it is known that the set is a smallest one."""
    if len(undecided) == len(names):
        return "in the time it was not proven that nothing in this set is idle"
    every = " or ".join((", ".join(undecided[:-1]), undecided[-1]) if len(undecided) > 1 else undecided)
    rest = "without any other one of them a plan was found"
    return f"whether the rest can stand without {every} was not decided in the time; {rest}"


def _not_found(question: Question, outcome: Outcome, began: float) -> RoomAnswer:
    """Neither a plan nor a proof; but plans of all things but a few are told, where any were met."""
    known = KnownPlans(question, outcome.parts)
    why = f"no plan was found in {time.monotonic() - began:.0f} s, and no proof that there is none"
    helps = what_would_help(question, (), known=known, until=0.0)
    return RoomAnswer(plan=None, proof=_proof(question, "unknown", began), why=why, would_help=helps)


def _helped_by(began: float, seconds: float) -> float:
    """Until when changes are tried: longer where somebody has given the search long."""
    return max(began + min(seconds, max(ANSWERED_S, seconds / 3)), time.monotonic() + HELPED_S)


def _proof(question: Question, status: str, began: float) -> Proof:
    return Proof(status=status, grid_mm=question.grid_mm, seconds=time.monotonic() - began)  # type: ignore[arg-type]
