"""What one more of each thing would change in a week that can't be done: each is tried by planning again with it."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from functools import partial
from typing import TYPE_CHECKING

from flatstock.actions.lacking import Lack, short
from flatstock.planning.dispatch.rule import Dispatched, dispatches
from flatstock.planning.offers import Offer
from flatstock.planning.problem.schedule import Schedule
from flatstock.planning.problem.week import Week
from flatstock.planning.relief import Relief, reliefs, what_is_away
from flatstock.times import lasting

if TYPE_CHECKING:
    from flatstock.planning.solve.found import Found

__all__ = ["Help", "Tried", "helps"]

UP_TO_CLOSING = 3  #: levels of the search: late sheets, late minutes, sheets by closing
#: of the priority rules' ways, those that go best here, by which each thing that might help is tried
WAYS = 4
#: of the time, for rules in the week as it is, and for each thing by them
RULED_FIRST, RULED_SHARE = 0.2, 0.4
#: of it, for all ways in a week that the heat model worked out: those that go best here may not there
WORKED_OUT = 0.15
BEYOND = 2.0  #: s after the time is over in which the first thing that helps is still looked for
SHORTEST = 0.7  #: s for a search then
Tell = Callable[[str, float, float], bool]
#: what might help, and the week that has it, which may take time to make
Thing = tuple[str, Callable[[], Relief]]


@dataclass(frozen=True, slots=True)
class Help:
    """One thing more with which the same search found a better week; minutes and sheets by order."""

    what: str
    resource: str  #: what it says was short; empty: nothing was, a sheet is spared
    late: Mapping[str, int]
    missing: Mapping[str, int]
    serves: frozenset[str] = frozenset()  #: orders of which a sheet uses it itself
    #: as long as everything else, or nothing was left to be found; else by rules alone
    searched: bool = False

    def costs(self) -> str:
        """What other orders lose by it, in words; empty: nothing."""
        lost = [f"{order} is {lasting(-less)} later" for order, less in sorted(self.late.items()) if less < 0]
        lost += [
            f"{-less} sheet{'s' * (less != -1)} of {order} find{'s' * (less == -1)} no time"
            for order, less in sorted(self.missing.items())
            if less < 0
        ]
        return " and ".join(lost)


@dataclass(frozen=True, slots=True)
class Tried:
    """What was found to help, most first; what only the priority rules had time for; and what nothing had."""

    found: tuple[Help, ...] = ()
    unsearched: tuple[str, ...] = ()
    untried: tuple[str, ...] = ()
    better: Schedule | None = None  #: a better plan of the week as it is, which more search alone found


def helps(
    week: Week,
    found: Found,
    offered: Sequence[Offer],
    more: Sequence[Thing],
    *,
    seconds: float,
    least: float,
    tell: Tell,
    say: Callable[[str], None] = lambda _: None,
) -> Tried:
    """What one more of each thing changes, most first. `more`: what only physics knows how to make a
    week of, by its name.

    Each is first led through the shop by priority rules, which takes a moment; then each is planned again from the
    best plan that there is of it, those that the rules found best first, `least` seconds or more for each, until
    `seconds` are over. The week as it is gets the same rules and a search as long first: only what is better
    than that comes from the thing, not from searching more. What is found is a promise that it helps; what is not is
    none that it doesn't, and what found no time for a search is told. Where time is short each goes by fewer of the
    rules' ways, and until one thing is known to help the looking goes on for up to `BEYOND` s, by shorter searches.
    Ctrl-C leaves what is known by then.
    """
    from flatstock.planning.solve.search import search

    assert found.schedule is not None
    if short(week, found.schedule).nothing:
        return Tried()
    looking = _Looking(week, found.schedule, seconds=seconds, least=least, tell=tell, say=say, search=search)
    with suppress(KeyboardInterrupt):
        looking.by_rules(_named(what_is_away(week)), more, _named((*_spared(week, offered), *reliefs(week))))
        looking.by_search()
    return looking.told()


class _Looking:
    """What is known so far of what would help."""

    def __init__(
        self,
        week: Week,
        plan: Schedule,
        *,
        seconds: float,
        least: float,
        tell: Tell,
        say: Callable[[str], None],
        search: Callable[..., Found],
    ) -> None:
        self.week, self.plan, self.least, self.tell, self.say = week, plan, least, tell, say
        self.seconds, self.end, self.search = seconds, time.monotonic() + seconds, search
        self.lack = self.base = short(week, plan)
        self.better: Schedule | None = None  #: of the week as it is, than this plan
        self.ruled: list[tuple[Lack, Relief, Schedule]] = []
        self.searched: dict[str, Lack] = {}  #: what a search found with each
        self.untried: list[str] = []
        self.stopped = False

    def _left(self) -> float:
        return self.end - time.monotonic()

    def _over(self) -> bool:
        """Whether to look no further: what is known to help is enough when time is over, or somebody said so."""
        self.stopped = self.stopped or self.tell("trying", 0.0, 0.0)
        return self.stopped or self._left() < (0.0 if self._helped() else -BEYOND)

    def _helped(self) -> bool:
        return any(self._then(one, plan).worth < self.base.worth for _, one, plan in self.ruled)

    def _then(self, one: Relief, plan: Schedule) -> Lack:
        known = [short(one.week, plan), *([self.searched[one.what]] if one.what in self.searched else [])]
        return min(known, key=lambda lack: lack.worth)

    def by_rules(self, away: Sequence[Thing], more: Sequence[Thing], known: Sequence[Thing]) -> None:
        """Each by a few of the priority rules' ways: those that go best in the week as it is.

        What has just gone wrong (`away`) is tried first, then what the heat model has to work out, which is not begun
        when time is over (`more`: in still air it is the fans that would change most), then the rest.
        """
        self.say("trying what would help, by the priority rules")
        things = [*away, *more, *known]
        worked_out = range(len(away), len(away) + len(more))
        self.untried = [what for what, _ in things]
        began = time.monotonic()
        first_end = began + RULED_FIRST * self.seconds
        as_it_is = list(dispatches(self.week, until=lambda: time.monotonic() > first_end))
        each = (time.monotonic() - began) / max(1, len(as_it_is))
        ways = int(RULED_SHARE * self.seconds / max(1e-3, each * len(things)))
        as_it_is.sort(key=lambda one: one.worth)
        hows = [one.how for one in as_it_is[: max(1, min(WAYS, ways))]]
        for best in as_it_is[:1]:
            self._found(best.schedule)
        for n, (what, make) in enumerate(things):
            if self._over():
                return
            if n in worked_out and self._left() <= 0:
                continue
            one = make()
            kept = {sheet.id for sheet in one.week.sheets}
            runs = {name: run for name, run in self.plan.runs.items() if name in kept}
            plans = [replace(self.plan, runs=runs)]
            by_rule = self._every_way(one.week) if n in worked_out else dispatches(one.week, hows=hows)
            plans += [it.schedule for it in by_rule]
            least = min(plans, key=lambda plan: short(one.week, plan).worth)
            self.ruled.append((short(one.week, least), one, least))
            self.untried.remove(what)

    def _every_way(self, week: Week) -> Iterator[Dispatched]:
        """Until a plan lacks nothing or its share of the time is over: with fans sheets go through the shop in another
        way than in still air."""
        end = time.monotonic() + WORKED_OUT * self.seconds
        for one in dispatches(week, until=lambda: time.monotonic() > end):
            yield one
            if not any(one.worth):
                return

    def by_search(self) -> None:
        """Each from the best plan there is of it, those that the rules found best first."""
        self.ruled.sort(key=lambda entry: entry[0].worth)
        if self.ruled and not self.stopped and self._left() >= 2 * self.least:
            self.say("planning the week as it is for as long")
            plan = self._searched(self.week, self.better or self.plan, len(self.ruled) + 1)
            if plan is not None:
                self._found(plan)
        for n, (lack, one, plan) in enumerate(self.ruled):
            if self._over() or (self._left() < self.least and self._helped()):
                return
            if not lack.nothing:  # else nothing is left to be found
                self.say(f"trying {one.what} ({n + 1} of {len(self.ruled)})")
                then = self._searched(one.week, plan, len(self.ruled) - n)
                if then is not None:
                    self.searched[one.what] = short(one.week, then)

    def _found(self, plan: Schedule) -> None:
        """A plan of the week as it is: what counts as a thing's merit is what goes beyond the best of them."""
        lack = short(self.week, plan)
        if lack.worth < self.base.worth:
            self.base, self.better = lack, plan

    def _searched(self, week: Week, plan: Schedule, still: int) -> Schedule | None:
        """The best plan of a search for one of so many shares; None: it came to none."""
        left = self._left()
        seconds = max(self.least, left / still) if left >= self.least else SHORTEST
        answer = self.search(week, seconds=seconds, levels=UP_TO_CLOSING, like=plan, by_rule=False)
        self.stopped = self.stopped or answer.stopped
        return answer.schedule

    def told(self) -> Tried:
        """What helps, most first, and what there was no time for."""
        helping: list[tuple[tuple[float, float, float], Help]] = []
        for lack, one, plan in self.ruled:
            then = self._then(one, plan)
            if then.worth < self.base.worth:
                searched = lack.nothing or one.what in self.searched
                help_ = Help(one.what, one.resource, *_less(self.base, then), one.serves(), searched)
                helping.append((then.worth, help_))
        helping.sort(key=lambda entry: (entry[0], entry[1].what))
        unsearched = [
            one.what for lack, one, _ in self.ruled if not lack.nothing and one.what not in self.searched
        ]
        return Tried(
            tuple(help_ for _, help_ in helping), tuple(unsearched), tuple(self.untried), self.better
        )


def _named(found: Iterable[Relief]) -> list[Thing]:
    return [(one.what, partial(_itself, one)) for one in found]


def _itself(one: Relief) -> Relief:
    return one


def _spared(week: Week, offered: Sequence[Offer]) -> Iterable[Relief]:
    """The week without a sheet that offcuts can stand in for."""
    for one in offered:
        if one.sheet is not None:
            left = tuple(sheet for sheet in week.sheets if sheet.id != one.sheet.id)
            yield Relief(f"{one.names} in place of {one.sheet.id}", "", replace(week, sheets=left))


def _less(lack: Lack, then: Lack) -> tuple[dict[str, int], dict[str, int]]:
    """By order, the late minutes and the missing sheets that are gone; negative: more of them."""
    return tuple(
        {order: less for order in {*a, *b} if (less := a.get(order, 0) - b.get(order, 0)) != 0}
        for a, b in ((lack.late, then.late), (lack.missing, then.missing))
    )  # type: ignore[return-value]  # two of them
