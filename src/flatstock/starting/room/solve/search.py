"""Finds plans: builds one thing after the other, takes a few up again, and sets them down elsewhere.

What stands always keeps every rule, walks included, so each attempt is a plan of part of the items; the search
goes on until all stand and then towards fewer metres. Chance decides what is taken up, from a seed.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from math import exp, inf
from random import Random

import numpy as np

from flatstock.starting.room.question import Placement, Question
from flatstock.starting.room.solve.building import Builder
from flatstock.starting.room.solve.clusters import set_down
from flatstock.starting.room.solve.plane import Cluster
from flatstock.starting.room.solve.spots import Spots
from flatstock.starting.room.solve.walks import Walks
from flatstock.starting.room.solve.worth import Taste, Worth

__all__ = ["Found", "Searcher"]

Where = dict[str, Placement]
ANEW = 0.4  # how often a line is taken up where one of its things found no place
PATIENCE = 8  # steps without a better plan, times 1, 1, 2, 1, 1, 2, 4 …, until all is set down anew
FORCED = 0.5  # how often a thing that found no place is set down all the same
MOST_LACKED = 4  # things that a plan may lack and still be worth remembering
CLUSTERED, CLUSTER_TRIES = 0.8, 8  # how often clusters come first where all is set down anew; places tried
REGROUPED = 0.1  # how often a cluster is taken up and set down elsewhere
URGED = 0.3  # how often a thing is set down where it is walked to less, whatever stands there
IN_THE_WAY_M = 2.0  # what a place is held to cost for each thing that stands in its way [m/day]
ROUND = 100  # steps without a better plan after which all is set down anew
LAST = 0.4  # share of the time, at its end, in which the search goes on from the best plan instead
LATE = 0.6  # by so much less a step may be worse then
WARM, COOL = 0.15, 0.004  # share of the day's walk by which a step may be worse, at most and at least


@dataclass(frozen=True, slots=True)
class Found:
    """A plan, perhaps of a part."""

    where: Mapping[str, Placement]
    missing: int  #: things that must stand and do not
    left_out: int  #: things that need not stand and do not
    walk: float  #: [m/day]

    @property
    def order(self) -> tuple[int, int, float]:
        """The less, the better."""
        return self.missing, self.left_out, self.walk


class Searcher:
    """One search over one question; `clusters`: for some groups of things how they walk least, alone."""

    def __init__(
        self,
        question: Question,
        spots: Spots,
        walks: Walks,
        *,
        seed: int = 1,
        clusters: Sequence[Sequence[Cluster]] = (),
    ) -> None:
        self._question, self._spots, self._walks, self._clusters = question, spots, walks, list(clusters)
        self._worth = Worth(question, spots)
        self._random = Random(seed)
        self._fixed: Where = {i.id: i.placed for i in question.items if i.placed is not None}
        self._open = [item for item in question.items if item.placed is None]
        self._weight = {item.id: 1.0 for item in self._open}
        self._size = {
            item.id: sum(f.rect.area_mm2 for f in shape.floors if f.zone) + shape.box.area_mm2
            for item in self._open
            for shape in spots.shapes[item.id][:1]
        }
        self._builder = Builder(question, spots, walks, self._worth, self._random)
        self._line = self._builder.line

    def run(
        self,
        until: float,
        *,
        start: Mapping[str, Placement] | None = None,
        judged: Callable[[Found], float | None] = lambda found: found.walk,
        meets: Callable[[Found], None] = lambda _: None,
        lacks: Callable[[Found], None] = lambda _: None,
        stop: Callable[[], bool] = lambda: False,
    ) -> Found:
        """Search until the clock (`time.monotonic`) says `until`, or `stop` says so, which is asked all the time.

        Each plan of everything that would be the best so far is `judged`: its walk, None where it does not pass.
        `meets` hears of every plan of everything, judged or not; `lacks` of plans that lack a few things.
        """
        began = time.monotonic()
        first = self._found(self._built(dict(start), until, stop)) if start else self._anew(until, stop)
        now = low = best = self._judged(first, judged)
        stale, tries, patience = 0, 1, PATIENCE
        while self._open and time.monotonic() < until and not stop():
            late = time.monotonic() > began + (1 - LAST) * (until - began)
            # straight down at first; the longer nothing better comes, the more a step may be worse
            cool = 1.0 - min(1.0, stale / ROUND) * (1.0 - LATE if late else 1.0)
            other = self._found(self._built(self._eased(now.where), until, stop), most=self._bar(now, cool))
            stale += 1
            if other.missing == 0:
                meets(other)
            elif other.missing <= MOST_LACKED:
                lacks(other)
            if other.order < best.order:
                other = self._judged(other, judged)
                best = min(best, other, key=lambda found: found.order)
            if other.order < low.order:
                low, stale = other, 0
            if self._takes(now, other, cool):
                now = other
            lacking = now.missing or now.left_out
            if stale <= (patience if lacking else ROUND):
                continue
            if late and not lacking:
                now, low, stale = best, best, 0
                continue
            tries += 1
            patience = PATIENCE * _luby(tries)
            now, stale = self._anew(until, stop), 0
            if now.order < best.order:
                now = self._judged(now, judged)
                best = min(best, now, key=lambda found: found.order)
            low = now
        return best

    @property
    def looked(self) -> int:
        """Plans whose walks were asked for."""
        return self._builder.looked

    def _eased(self, where: Mapping[str, Placement]) -> Where:
        """A plan with a few things taken up, and perhaps one of them set down where it was wanted."""
        rest = None
        if self._clusters and self._random.random() < REGROUPED:
            rest = self._regrouped(where)
        elif self._random.random() < FORCED:
            rest = self._forced(where)
        if rest is None and self._random.random() < URGED:
            rest = self._urged(where)
        if rest is None:
            taken = self._taken(where)
            rest = {name: at for name, at in where.items() if name not in taken}
        return rest

    def _anew(self, until: float, stop: Callable[[], bool]) -> Found:
        """Everything set down anew, mostly cluster by cluster first."""
        where = dict(self._fixed)
        if self._random.random() < CLUSTERED:
            for group in self._random.sample(self._clusters, len(self._clusters)):
                where = self._with_cluster(where, self._random.choice(group)) or where
        return self._found(self._built(where, until, stop))

    def _regrouped(self, where: Mapping[str, Placement]) -> Where | None:
        """A cluster taken up and set down elsewhere as it walks least; None: it fits nowhere."""
        cluster = self._random.choice(self._random.choice(self._clusters))
        return self._with_cluster({n: at for n, at in where.items() if n not in cluster}, cluster)

    def _with_cluster(self, where: Mapping[str, Placement], cluster: Cluster) -> Where | None:
        if any(name in where for name in cluster):
            return None
        for more in set_down(self._spots, cluster, where, self._random, CLUSTER_TRIES):
            self._builder.looked += 1
            if self._walks.passes({**where, **more}, roughly=True):
                return {**where, **more}
        return None

    def _judged(self, found: Found, judged: Callable[[Found], float | None]) -> Found:
        if found.missing:
            return found
        walk = judged(found)
        return Found(found.where, 1, found.left_out, inf) if walk is None else replace(found, walk=walk)

    def _bar(self, now: Found, cool: float) -> float:
        return now.walk * (1 + 4 * WARM * (1 - cool) + 4 * COOL) + 0.5 if not now.missing else inf

    def _takes(self, now: Found, other: Found, cool: float) -> bool:
        """True where the search goes on from `other`."""
        if (now.missing, now.left_out) != (other.missing, other.left_out):
            for name in self._weight:
                if name not in other.where:
                    self._weight[name] += 0.2
            was, would = self._lack(now), self._lack(other)
            return would <= was or self._random.random() < exp((was - would) / 0.3)
        heat = now.walk * (WARM * (1 - cool) + COOL) + 1e-9
        return other.walk <= now.walk or self._random.random() < exp((now.walk - other.walk) / heat)

    def _lack(self, found: Found) -> float:
        return sum(weight for name, weight in self._weight.items() if name not in found.where)

    def _found(self, where: Where, most: float = inf) -> Found:
        out = [item for item in self._open if item.id not in where]
        missing = sum(not item.optional for item in out)
        if missing:
            return Found(where, missing, len(out) - missing, 0.0)
        free = self._walks.free(where)
        if not self._walks.far and self._walks.shut_in(where, free, first=True):
            return Found(where, 1, len(out), inf)
        walk = self._walks.metres_a_day(where, free, most=most)
        if walk is None or walk == inf:  # too far from something, or no way there: as good as not there
            return Found(where, 1, len(out), inf)
        return Found(where, 0, len(out), walk)

    def _taken(self, where: Mapping[str, Placement]) -> set[str]:
        """What is taken up: one thing and some of what is near it, walks to it, or stands in line with it."""
        there = [item.id for item in self._open if item.id in where]
        missing = [item.id for item in self._open if item.id not in where]
        if not there:
            return set()
        first = self._random.choice(missing or there)
        count = self._random.choice((1, 1, 2, 2, 3, 3, 4, 5)) + (1 if missing else 0)
        if first in where:
            at = where[first]
            far = {n: abs(where[n].x_mm - at.x_mm) + abs(where[n].y_mm - at.y_mm) for n in there}
        else:
            at = where[self._random.choice(there)]
            far = {n: abs(where[n].x_mm - at.x_mm) + abs(where[n].y_mm - at.y_mm) for n in there}
        partners = self._worth.partners(first)
        how = self._random.random()

        def rank(name: str) -> float:
            if how < 0.4:
                return far[name] * self._random.uniform(0.7, 1.3)
            if how < 0.75:
                return (0 if name in partners else 1) + self._random.random()
            return self._random.random()

        taken = {first} if first in where else set()
        for name in sorted((n for n in there if n not in taken), key=rank):
            if len(taken) >= count:
                break
            taken.add(name)
        for name in list(taken):
            if name in self._line and self._random.random() < 0.7:
                taken |= self._line[name] & set(there)
        return taken

    def _forced(self, where: Mapping[str, Placement]) -> Where | None:
        """A thing that found no place set down where least is in its way, and that taken up; None: nothing misses."""
        missing = [item.id for item in self._open if item.id not in where]
        if not missing:
            return None
        name = self._random.choices(missing, [self._weight[n] for n in missing])[0]
        noise = np.random.default_rng(self._random.getrandbits(32))
        tried: list[tuple[float, int, int, int, tuple[str, ...]]] = []
        for shape, others in self._spots.in_the_way(name, where):
            price = np.zeros((len(self._spots.xs), len(self._spots.ys)))
            for other, flags in others.items():
                price += np.where(flags, 0.0, self._weight.get(other, inf))
            price *= 1 + 0.3 * noise.random(price.shape)
            price[~self._spots.alone(name, shape.turn)] = inf
            for n in np.argpartition(price, 3, axis=None)[:3]:
                i, j = (int(k) for k in np.unravel_index(n, price.shape))
                if price[i, j] < inf:
                    out = tuple(other for other, flags in others.items() if not flags[i, j])
                    tried.append((float(price[i, j]), i, j, shape.turn, out))
        for _, i, j, turn, out in sorted(tried):
            rest = {n: at for n, at in where.items() if n not in out}
            rest[name] = self._spots.at(i, j, turn)
            self._builder.looked += 1
            if self._walks.passes(rest, roughly=True):
                return rest
        return None

    def _urged(self, where: Mapping[str, Placement]) -> Where | None:
        """A thing that people walk to set down where they walk less, and whatever is in its way there taken up."""
        walked = [item.id for item in self._open if item.id in where and self._worth.partners(item.id)]
        if not walked:
            return None
        name = self._random.choice(walked)
        others = {n: at for n, at in where.items() if n != name}
        taste = Taste(walk=1.0, floor=0.0, wall=0.0)
        floor = self._worth.floor({})
        noise = np.random.default_rng(self._random.getrandbits(32))
        tried: list[tuple[float, int, int, int, tuple[str, ...]]] = []
        for shape, free in self._spots.in_the_way(name, others):
            xs, ys = np.nonzero(self._spots.alone(name, shape.turn))
            if not len(xs):
                continue
            price = self._worth.of(shape, (xs, ys), others, floor, taste)
            for other, flags in free.items():
                cost = IN_THE_WAY_M if other in self._weight else inf
                price = price + np.where(flags[xs, ys], 0.0, cost)
            price = price * (1 + 0.4 * noise.random(len(price))) + noise.random(len(price))
            for n in np.argpartition(price, min(3, len(price) - 1))[:3]:
                if price[n] < inf:
                    i, j = int(xs[n]), int(ys[n])
                    out = tuple(other for other, flags in free.items() if not flags[i, j])
                    tried.append((float(price[n]), i, j, shape.turn, out))
        for _, i, j, turn, out in sorted(tried):
            rest = {n: at for n, at in others.items() if n not in out}
            rest[name] = self._spots.at(i, j, turn)
            self._builder.looked += 1
            if self._walks.passes(rest, roughly=True):
                return rest
        return None

    def _built(self, where: Where, until: float, stop: Callable[[], bool]) -> Where:
        """Set down what does not stand, largest first but for chance; what finds no place is left."""
        todo = [item.id for item in self._open if item.id not in where]
        taste = Taste(
            walk=self._random.choice((0.3, 1.0, 1.0, 3.0)),
            floor=self._random.choice((0.0, 1.0, 3.0, 8.0)),
            wall=self._random.choice((0.0, 0.5, 1.0, 3.0)),
        )
        todo.sort(key=lambda n: -self._size[n] * self._weight[n] ** 0.5 * self._random.uniform(0.5, 1.5))
        done: set[str] = set()
        for name in todo:
            if name in done:
                continue
            group = self._builder.together(name, todo)
            done.update(group)
            waiting = [n for n in todo if n not in done and self._builder.fits(n, where)]
            if time.monotonic() >= until or stop() or self._builder.set_down(group, where, taste, waiting):
                continue
            standing = {n: where[n] for n in self._line.get(name, ()) if n in where and n in self._weight}
            if standing and self._random.random() < ANEW:  # its line pins it: all of that is set down anew
                for other in standing:
                    del where[other]
                if not self._builder.set_down(
                    self._builder.together(name, [*todo, *standing]), where, taste, waiting
                ):
                    where |= standing
        return where


def _luby(n: int) -> int:
    """1, 1, 2, 1, 1, 2, 4 …: how long to go on where nobody knows how long it takes.

    Luby, Sinclair and Zuckerman 1993, Information Processing Letters 47 (from memory).
    """
    k = n.bit_length()
    return 1 << (k - 1) if n == (1 << k) - 1 else _luby(n - (1 << (k - 1)) + 1)
