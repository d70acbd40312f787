"""A search for better plans and a proof that there are none, side by side on one question.

The search runs in Python; the proof sleeps in CP-SAT most of its time and runs in a thread of its own.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from math import inf
from threading import Event, Lock, Thread

from flatstock.starting.room.check import judge
from flatstock.starting.room.document import walk_per_day
from flatstock.starting.room.plan import Plan
from flatstock.starting.room.question import Placement, Question, split_zone
from flatstock.starting.room.solve.along_aisles import along_aisles
from flatstock.starting.room.solve.cuts import Learnt
from flatstock.starting.room.solve.dives import dive, what_passes
from flatstock.starting.room.solve.groups import Group, group_bounds
from flatstock.starting.room.solve.hopeful import open_spots
from flatstock.starting.room.solve.master import Master
from flatstock.starting.room.solve.parts import parts
from flatstock.starting.room.solve.plane import Cluster, arrangements
from flatstock.starting.room.solve.prove import TOLERANCE, Proven, prove
from flatstock.starting.room.solve.search import Found, Searcher
from flatstock.starting.room.solve.spots import Spots
from flatstock.starting.room.solve.walks import Walks
from flatstock.starting.room.variants import without

__all__ = ["Outcome", "Tell", "race"]

Tell = Callable[[float, float], None]  #: walk and bound [m/day]
PROOF_WAITS = 0.25  # [s]: the first plan mostly comes sooner than CP-SAT is loaded
AISLES_WAIT = 1.0  # [s]: what is tight is looked for along aisles, everything else is found by then
#: [s] for a proof by the whole at first, for parts of it together, and for one part
WHOLE_S, PARTS_S, A_PART_S = 4.0, 14.0, 9.0
FAR_S = 1.0  # by the whole at first, where the limit to an exit is near: parts say sooner that it is too near
ARRANGEMENTS, ARRANGED_S = 8, 2.0  # ways of a group handed to the search, and the time for them [s]
A_DIVE_S, MOST_DIVES, DIVES_SHARE = (
    8.0,
    6,
    0.6,
)  # for one dive [s], in vain one after the other, share of the time
LEAST_ROOM_M = 1.0  # above the bound, that a dive is given [m/day]
FROM_BEST = 0.7  # share of the time after which the search only goes on from the best plan
HINT_S = 3.0  # [s] that the search goes on from a plan that a model found
OWN_S = 4.0  # [s] that it then goes its own way at least, before it takes the next one
#: [s] that the search looks and waits by turns where it is doubtful that there is a plan: it takes the time that the
#: proof reasons in, as only one of two threads runs Python at a time
LOOKS_S, WAITS_S = 0.5, 1.5
ROUGH_MM = 1500  # plans whose machines lie in the same squares are one arrangement


@dataclass(slots=True)
class Outcome:
    """Where a race stands."""

    best: Found | None = None  #: passes the judge
    bound: float = 0.0  #: no plan in which all stands walks less [m/day]
    impossible: bool = False  #: proven that not everything can stand
    stopped: bool = False  #: by Ctrl-C
    refused: tuple[
        str, ...
    ] = ()  #: of what must stand, a part that can't on its own; empty: nobody knows of one
    pool: list[Found] = field(default_factory=list)  #: plans that were met, not yet judged
    parts: list[Found] = field(default_factory=list)  #: plans that lack a few things, not yet judged
    #: what walking has against plans of it, and of parts of it
    learnt: Learnt = field(default_factory=Learnt)

    @property
    def closed(self) -> bool:
        """True where the best plan is proven the best."""
        return self.best is not None and not self.best.left_out and self.best.walk <= self.bound + TOLERANCE


class _Over(Event):
    """Set when a race is decided; it counts as set too once somebody wants it to end."""

    def __init__(self, stop: Callable[[], bool]) -> None:
        super().__init__()
        self._stop = stop

    def is_set(self) -> bool:
        return super().is_set() or self._stop()


class _Race:
    def __init__(
        self,
        question: Question,
        spots: Spots,
        until: float,
        *,
        first: bool,
        tight: bool,
        tell: Tell,
        stop: Callable[[], bool],
        learnt: Learnt | None,
    ) -> None:
        self.question, self.spots, self.until, self.first, self.tell = question, spots, until, first, tell
        self.aisles_wait = 0.0 if tight else AISLES_WAIT
        self.out, self.lock = Outcome(learnt=Learnt() if learnt is None else learnt), Lock()
        self.over, self.handed, self.doubtful = _Over(stop), Event(), Event()
        self.pool: dict[tuple[tuple[str, int, int, int], ...], Found] = {}
        self.hint: Mapping[str, Placement] | None = None
        self.clusters: Sequence[Sequence[Cluster]] = ()
        self.parts: dict[frozenset[str], Found] = {}
        self.walked = {split_zone(end)[0] for flow in question.flows for end in (flow.start, flow.to)}

    def judged(self, found: Found) -> float | None:
        """The walk of a plan that passes the judge, which is kept where it is the best so far."""
        plan = Plan(placements=found.where, left_out=dict.fromkeys(self._out(found.where), ""))
        judgement = judge(self.question, plan)
        if judgement.faults:
            return None
        walk = walk_per_day(self.question, judgement.ways, plan)
        assert walk is not None  # each flow has its way, or the judge would not have passed it
        with self.lock:
            here = Found(found.where, 0, found.left_out, walk)
            if self.out.best is None or here.order < self.out.best.order:
                self.out.best = here
                self.tell(walk, self.out.bound)
            if self.first or self.out.closed or (not self.question.flows and not here.left_out):
                self.over.set()
        return walk

    def handed_after(self, least: float) -> Callable[[], bool]:
        """Says once something was handed to the search, but not before the clock says `least`."""
        return lambda: self.over.is_set() or (self.handed.is_set() and time.monotonic() >= least)

    def meets(self, found: Found) -> None:
        """A plan of everything, better or not, for the alternatives: the best of each rough arrangement."""
        rough = tuple(
            (name, at.x_mm // ROUGH_MM, at.y_mm // ROUGH_MM, at.turned_deg)
            for name, at in sorted(found.where.items())
            if name in self.walked or not self.walked
        )
        kept = self.pool.get(rough)
        if kept is None or found.order < kept.order:
            self.pool[rough] = found

    def lacks(self, found: Found) -> None:
        """A plan that lacks a few things: one for each set of what stands in it."""
        self.parts.setdefault(frozenset(found.where), found)

    def raised(self, bound: float) -> None:
        """A bound proven."""
        with self.lock:
            if bound > self.out.bound + 1e-9:
                self.out.bound = bound
                if self.out.best is not None:
                    self.tell(self.out.best.walk, bound)
            if self.out.closed:
                self.over.set()

    def proof(self) -> None:
        """What the second thread does."""
        if self.over.wait(PROOF_WAITS):
            return
        if not self._standing() and self._refused():
            self.out.impossible = True
            spare = [item.id for item in self.question.items if item.optional]
            if spare and not self.out.refused:
                self._refused_without(spare)
            if self.out.refused or not spare:
                self.over.set()
            return
        if not self.over.is_set() and self.question.flows:
            self._bounds()

    def _refused(self) -> bool:
        """Whether not everything can stand: the whole for a while, then parts of it, then the whole to the end."""
        began, whole = time.monotonic(), FAR_S if Walks(self.question).far else WHOLE_S
        found = self._proven(self.question, began + whole)
        if found.status == "unknown":
            for part in parts(self.question):
                left = min(self.until, began + whole + PARTS_S) - time.monotonic()
                if left <= 0 or self._standing():
                    break
                if self._proven(part, time.monotonic() + min(left, A_PART_S)).status == "impossible":
                    self.out.refused = tuple(item.id for item in part.items)
                    return True
            if not self._standing():
                found = self._proven(self.question, self.until)
        if found.status != "impossible":
            self._take(found)
        return found.status == "impossible"

    def _refused_without(self, spare: Sequence[str]) -> None:
        """Whether what must stand can't either, without what need not."""
        must = without(self.question, spare)
        if must.items and self.out.best is None and self._proven(must, self.until).status == "impossible":
            self.out.refused = tuple(item.id for item in must.items)

    def _proven(self, question: Question, until: float) -> Proven:
        whole = question is self.question
        return prove(
            question,
            self.spots if whole else open_spots(question),
            until=min(until, self.until),
            learnt=self.out.learnt,
            goal=False,
            workers=1,
            stop=self._standing if whole else lambda: self.over.is_set() or self.out.best is not None,
            meets=self.hands_over if whole else lambda _: None,
        )

    def aisled(self) -> None:
        """What the third thread does, until everything stands."""
        if self.over.wait(self.aisles_wait):
            return
        plans = along_aisles(
            self.question, self.spots, learnt=self.out.learnt, until=self.until, stop=self._standing,
            doubtful=self.doubts,
        )  # fmt: skip
        for where in plans:
            if self.judged(Found(where, 0, 0, 0.0)) is not None:
                self.handed.set()
            elif not self._standing():
                self.hands_over(where)

    def doubts(self) -> None:
        """Aisles as most rooms have them were looked for in vain."""
        self.doubtful.set()
        self.handed.set()

    def _standing(self) -> bool:
        best = self.out.best
        return self.over.is_set() or (best is not None and not best.left_out)

    def _bounds(self) -> None:
        best = self.out.best
        most = inf if best is None or best.left_out else best.walk
        parts = group_bounds(self.question, until=self.until, most=most, stop=self.over.is_set)
        self.raised(sum(group.bound for group in parts))
        self._arrange(parts)
        self._dive(parts)

        def known_parts(master: Master) -> None:
            for group in parts:
                master.at_least(group.bound, group.flows)

        while not self.over.is_set():
            best = self.out.best
            known = None if best is None or best.left_out else (best.where, best.walk)
            found = prove(
                self.question, self.spots, until=self.until, best=known, workers=1, stop=self.over.is_set,
                bounds=known_parts, learnt=self.out.learnt,
                tell=lambda bound, *_: self.raised(bound),
            )  # fmt: skip
            self._take(found)
            if found.status == "unknown" and time.monotonic() >= self.until - 0.05:
                return
            self.raised(found.bound)
            if found.status != "unknown":
                return

    def hands_over(self, where: Mapping[str, Placement]) -> None:
        """A plan of boxes and zones, for the search to go on from."""
        self.hint = where
        self.handed.set()

    def _dive(self, groups: Sequence[Group]) -> None:
        """Look for plans between the bound and the best, until that gives nothing better or half the time is over."""
        end = time.monotonic() + DIVES_SHARE * (self.until - time.monotonic())
        tries, seed = 0, 0
        while (left := end - time.monotonic()) > 0 and tries < MOST_DIVES and not self.over.is_set():
            best, seed = self.out.best, seed + 1
            if best is None or best.left_out or best.walk <= self.out.bound + TOLERANCE:
                return
            below = self.out.bound + max(LEAST_ROOM_M, (best.walk - self.out.bound) * (0.3, 0.6)[seed % 2])
            where = dive(
                self.question, self.spots, groups, below=min(below, best.walk), seed=seed,
                seconds=min(left, A_DIVE_S), stop=self.over.is_set,
            )  # fmt: skip
            if where is not None:
                self.hands_over(where)
                self.over.wait(min(left, HINT_S / 2))
            better = self.out.best is not None and self.out.best.order < best.order
            tries = 0 if better else tries + 1

    def _arrange(self, groups: Sequence[Group]) -> None:
        """Hand the search some ways in which each group walks hardly more than it must."""
        found: list[list[Cluster]] = []
        for group in groups:
            names = self.walked & {i.id for i in self.question.items if i.placed is None} & group.names
            part = without(
                replace(self.question, flows=group.flows),
                [item.id for item in self.question.items if item.id not in names],
            )
            end = min(self.until, time.monotonic() + ARRANGED_S)
            if group.bound > 0 and len(names) > 1:
                options = arrangements(
                    part, walk=group.bound, count=ARRANGEMENTS, until=end, stop=self.over.is_set
                )
                found += [options] if options else []
        if found:
            self.clusters = found
            self.handed.set()

    def _take(self, found: Proven) -> None:
        """A plan that the proof met on its way."""
        if found.where is not None and found.walk is not None:
            best = self.out.best
            if best is None or (0, 0, found.walk) < best.order:
                self.judged(Found(found.where, 0, 0, found.walk))
                self.handed.set()

    def _out(self, where: Mapping[str, Placement]) -> list[str]:
        return [item.id for item in self.question.items if item.id not in where]


def race(
    question: Question,
    spots: Spots,
    *,
    until: float,
    first: bool = False,
    tight: bool = False,
    proof: bool = True,
    start: Mapping[str, Placement] | None = None,
    learnt: Learnt | None = None,
    tell: Tell = lambda *_: None,
    stop: Callable[[], bool] = lambda: False,
) -> Outcome:
    """Search and prove until the clock (`time.monotonic`) says `until`; Ctrl-C or `stop` ends it with what there is.

    `start`: a plan of a part of it, to begin with where that part passes. `tight`: it is known to be tight, so plans
    along aisles are looked for at once. `learnt`: by another race of this question or of one that it is a part of.
    Without `proof` all the time goes into looking.
    """
    if start is not None:
        start = _passing(question, start)
    one = _Race(question, spots, until, first=first, tight=tight, tell=tell, stop=stop, learnt=learnt)
    # no daemons: Python waits for them before it ends, or a search would meet an interpreter that is gone
    threads = [Thread(target=work) for work in ([one.proof] if proof else []) + [one.aisled]]
    for thread in threads:
        thread.start()
    try:
        walks, seed, began = Walks(question), 1, time.monotonic()
        own, with_clusters, hinted = Searcher(question, spots, walks, seed=seed), one.clusters, False
        left = start  # where the search's own way stands
        while not one.over.is_set() and time.monotonic() < until:
            one.handed.clear()
            late = time.monotonic() > began + FROM_BEST * (until - began)
            if one.out.best is not None and seed > 1:
                # clusters are of use where all is set down anew
                start = one.out.best.where if late or not one.clusters else None
            searcher, end, least, seed = own, until, 0.0, seed + 1
            if one.out.best is None:
                least = time.monotonic() + OWN_S
                if proof and one.doubtful.is_set():
                    one.over.wait(min(WAITS_S, until - time.monotonic()))
                    end = min(until, time.monotonic() + LOOKS_S)
            hint = None if one.out.best is None and hinted else one.hint
            hinted = hint is not None
            if hint is not None:
                one.hint, end = None, min(end, time.monotonic() + HINT_S)
                start = what_passes(question, walks, hint)
                searcher = Searcher(question, spots, walks, seed=seed, clusters=one.clusters)
            elif one.out.best is not None or with_clusters is not one.clusters:
                with_clusters = one.clusters
                searcher = own = Searcher(question, spots, walks, seed=seed, clusters=with_clusters)
            found = searcher.run(
                end,
                start=start,
                judged=one.judged,
                meets=one.meets,
                lacks=one.lacks,
                stop=one.handed_after(least),
            )
            if searcher is own:
                left = found.where
            start = left
            if not any(item.placed is None for item in question.items):
                break
    except KeyboardInterrupt:
        one.out.stopped = True
    one.over.set()
    for thread in threads:
        thread.join(timeout=2.0)
    one.out.pool, one.out.parts = list(one.pool.values()), list(one.parts.values())
    return one.out


def _passing(question: Question, start: Mapping[str, Placement]) -> Mapping[str, Placement] | None:
    """What of a start is in the question, with whatever stands already; None where that breaks a rule."""
    where = {item.id: item.placed or start.get(item.id) for item in question.items}
    known = {name: at for name, at in where.items() if at is not None}
    rest = without(question, [name for name, at in where.items() if at is None])
    return known if judge(rest, Plan(placements=known)).passes else None
