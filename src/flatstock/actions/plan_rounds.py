"""Plan, rehearse, and plan again until plan and heat model agree; then improve what agrees while time is left."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, NamedTuple

from flatstock.actions.lacking import short
from flatstock.actions.mending import asked, faults_of, goings, that_matter
from flatstock.errors import Fault, Refused
from flatstock.planning.problem.schedule import Run, Schedule
from flatstock.planning.problem.stranded import over_at_least
from flatstock.planning.problem.week import Week
from flatstock.planning.solve.in_turn import minutes_late, sheets_late, sheets_open
from flatstock.workshop.shop import Order, Workshop

if TYPE_CHECKING:
    from flatstock.planning.dispatch.rule import How
    from flatstock.planning.solve.found import Found, Level
    from flatstock.pressing.card import Card
    from flatstock.pressing.rehearsal import Going, Verdict

__all__ = ["Agreed", "NotInTime", "agree"]

ROUNDS = 6  #: of planning and rehearsing, before what is left is named as a conflict
FIRST_SHARE, AGAIN_SHARE = 0.4, 0.7  #: of the time left, for the first round and for each after it
#: a round gets this share of all the time at least, s from and to; once time is over the shortest
ROUND_SHARE, SHORTEST, LONG = 0.15, 0.8, 5.0
#: of the time, where sheets are late or left out: the rest is for what would help, and for when the rest is ready
MAIN_SHARE = 0.55
MENDED_SHARE = 0.7  #: of it, until the heat model lets such a plan pass
BUT_ENERGY, ALL = 3, 5  #: levels of the search
LAST = ("heaters_Wh", "changeover_min")  #: levels that rest on how much is late
PROOF_SHARE = 0.03  #: of the time, for how little of each of them any plan has
#: of the time, and s, after its end in which a plan that fails is still mended
BEYOND_SHARE, BEYOND = 0.1, 2.0
ROUNDS_SHARE = 0.85  #: of the time, for the rounds: the rest is for that, and for the same plan put sooner
SOONER, SOONER_STOPPED = 4.0, 0.6  #: s for it at most, and where somebody stopped the search
RIPE = 1.5  #: s for moulds that stay in a press for longer than they have to
SOONER_LEAST = 0.3  #: s with which it is not begun: setting it out takes as long

#: times as long as the heat model took, for it and for the document with what moved and the judge: our own figure
AFTERWARDS = 2.0


class NotInTime(Refused):
    """No plan was found in the time given; a longer search may find one."""


@dataclass(frozen=True, slots=True)
class Agreed:
    """The plan that physics lets pass, or the best of those that it doesn't, and the way there."""

    week: Week  #: with what the rehearsal found its sheets to need
    found: Found
    verdicts: list[Verdict]
    rounds: int
    faults: list[dict[str, Any]] = field(default_factory=list)  #: what each round found wrong
    #: why what the heat model asked for came to no plan; empty: it did, or asked for nothing
    refused: str = ""
    stopped: bool = False  #: somebody asked for it

    @property
    def worth(self) -> tuple[float, ...]:
        """Sheets that physics lets fail, then the levels' values: less is better, the first that differs counts."""
        return _worth(self.found, self.verdicts)

    def after(self, other: Agreed) -> Agreed:
        """The same, with the rounds that went before it."""
        faults = [{**one, "round": one["round"] + other.rounds} for one in self.faults]
        return replace(self, rounds=other.rounds + self.rounds, faults=[*other.faults, *faults])


class _Met(NamedTuple):
    """A plan with what the heat model says of it."""

    week: Week
    found: Found
    verdicts: list[Verdict]

    @property
    def worth(self) -> tuple[float, ...]:
        """As of what is agreed."""
        return _worth(self.found, self.verdicts)


def _worth(found: Found, verdicts: Sequence[Verdict]) -> tuple[float, ...]:
    return (sum(not one.good for one in verdicts), *(level.value for level in found.levels))


def agree(
    shop: Workshop,
    card: Callable[[Order, str], Card],
    week: Week,
    *,
    seconds: float,
    rehearsed: bool,
    tell: Callable[[str, float, float], bool],
    say: Callable[[str], None],
    before: Mapping[str, Run],
    soonest: frozenset[str],
    like: Schedule | None,
    first: Week | None = None,
    shown: Found | None = None,
    seek: Callable[..., Found] | None = None,
    heat: Callable[[Workshop, list[Going]], list[Verdict]] | None = None,
) -> Agreed:
    """`rehearsed`: whether the plan is run through the heat model at all. `seek`: the search, `heat`: the model.
    `first`: the week before any rehearsal asked something of it, of which the bounds are; None: it is this one.
    `shown`: a plan of the week that people have been told of: the heat model sees it first, and no worse one is taken.

    Where sheets are late or left out `MAIN_SHARE` of the time is used, else all of it. A plan that physics lets
    fail is mended even when the time is over, once whatever that takes, and for as long as `BEYOND_SHARE` and `BEYOND`
    say: the rounds left are short ones then. Where what the heat model asks for comes to no plan at all, the best of
    those before stands, with what is wrong with it. Raises `Refused` where there was none.
    """
    began = time.monotonic()  # what has to be imported is part of it
    if seek is None:
        from flatstock.planning.solve.search import search  # OR-Tools takes a second to come

        seek = search
    if heat is None and rehearsed:
        from flatstock.pressing.rehearsal import rehearse  # so does the heat model

        heat = rehearse
    if heat is None or not rehearsed:
        found = seek(
            week, seconds=seconds, tell=tell, start=(), levels=BUT_ENERGY, before=before, soonest=soonest,
            like=like, how=None,
        )  # fmt: skip
        if found.schedule is None:
            raise _no_plan(found.status)
        return Agreed(week, found, [], 0)

    def look(week: Week, schedule: Schedule) -> list[Verdict]:
        assert heat is not None
        return that_matter(week, heat(shop, goings(card, shop.orders, week, schedule)))

    rounds = _Rounds(week, first or week, began=began, seconds=seconds, look=look, say=say)
    if shown is not None and shown.schedule is not None:
        rounds.rehearse(shown)
    while not rounds.over:
        try:
            found = seek(
                rounds.week, seconds=rounds.turn(), tell=tell, start=rounds.start, levels=rounds.levels,
                before=before, soonest=soonest, like=rounds.like or like, how=rounds.how,
            )  # fmt: skip
        except KeyboardInterrupt:  # before it had a plan of its own
            if not rounds.met:
                raise
            rounds.stopped = True
            break
        if found.schedule is None:
            if not rounds.met:
                if found.status == "unknown" and rounds.once_more():
                    continue
                raise _no_plan(found.status)
            rounds.refused = "" if rounds.agreed else _nothing(found.status).what
            break
        rounds.rehearse(found)
    anew = not before and not soonest
    return rounds.best(tell=tell if anew else None, before=None if soonest else before)


class _Rounds:
    """What the rounds have come to so far."""

    def __init__(
        self,
        week: Week,
        first: Week,
        *,
        began: float,
        seconds: float,
        look: Callable[[Week, Schedule], list[Verdict]],
        say: Callable[[str], None],
    ) -> None:
        self.week, self.first, self.began, self.seconds = week, first, began, seconds
        self.look, self.say = look, say
        self.shortest = min(LONG, max(SHORTEST, ROUND_SHARE * seconds))
        self.end = ROUNDS_SHARE * seconds
        self.met: list[_Met] = []  #: every plan that was rehearsed
        self.agreed: list[_Met] = []  #: those of which nothing more is asked
        self.start: Sequence[int] = ()
        self.like: Schedule | None = None
        self.how: How | None = None
        self.rounds = 0
        self.wrong: list[dict[str, Any]] = []
        self.known: list[tuple[Level, ...]] = []
        self.least = {
            "over_latest_min": float(over_at_least(first)),
            "late_sheets": float(sheets_late(first)),
            "late_min": float(minutes_late(first)),
            "sheets_after_closing": float(sheets_open(first)),
        }
        self.refused, self.stopped, self.over = "", False, False
        self.nothing_yet = False  #: the first turn is over, and found no plan
        self.afterwards = 0.0  #: s for what comes after a search, as long as it took last

    @property
    def levels(self) -> int:
        """The first round leaves energy and changes as they fall: what the rehearsal wants is best known early."""
        return BUT_ENERGY if self.rounds == 0 else ALL

    @property
    def spent(self) -> float:
        """Seconds."""
        return time.monotonic() - self.began

    def turn(self) -> float:
        """Seconds for the next search."""
        left = self.end - self.spent - self.afterwards
        turn = left * (FIRST_SHARE if self.rounds == 0 else AGAIN_SHARE)
        if self.nothing_yet:
            turn = left
        if self.rounds and not self.agreed:  # the rounds that may still be needed have their time too
            turn = min(turn, left - (ROUNDS - self.rounds - 1) * self.shortest)
        return max(turn, self.shortest if left > self.shortest else SHORTEST)

    def once_more(self) -> bool:
        """Whether there is time for all of what is left to go into a plan at all, where the first turn found none."""
        self.nothing_yet = not self.nothing_yet and self.end - self.spent > self.shortest
        return self.nothing_yet

    def rehearse(self, found: Found) -> None:
        """Run a plan of the week as it stands through the heat model; the week has then what that asks of it."""
        self.nothing_yet = False
        week, schedule = self.week, found.schedule
        assert schedule is not None
        self.like, self.how, self.start = schedule, found.how, found.values
        settled, levels = found.status == "optimal", self.levels
        if week is self.first:
            self.known.append(found.levels)
        found = _bounded(found, self.known, self.least)
        self.say(f"running it through the heat model, round {self.rounds + 1}")
        self.stopped, searched = found.stopped, time.monotonic()
        verdicts = self._looked(week, schedule)
        self.afterwards = AFTERWARDS * (time.monotonic() - searched)
        self.rounds += 1
        again = asked(week, schedule, verdicts)
        self.wrong += faults_of(self.rounds, verdicts)
        self.met.append(_Met(week, found, verdicts))
        if again is None:
            self.agreed.append(self.met[-1])
        late_share = MAIN_SHARE if self.agreed else MENDED_SHARE
        self.end = self.seconds * (ROUNDS_SHARE if short(week, schedule).nothing else late_share)
        late = bool(self.agreed) and self.end - self.spent - self.afterwards < self.shortest
        done = again is None and settled and levels == ALL
        # however long the first plan took, it is not left to open moulds hot before it was mended once
        too_late = self.rounds > 1 and self.spent > (1 + BEYOND_SHARE) * self.seconds + BEYOND
        self.over = self.stopped or late or done or too_late or self.rounds >= ROUNDS
        self.week = again or week

    def _looked(self, week: Week, schedule: Schedule) -> list[Verdict]:
        try:
            return self.look(week, schedule)
        except KeyboardInterrupt:  # the plan found is worth the second or two that this takes
            self.stopped = True
            return self.look(week, schedule)

    def best(
        self, *, tell: Callable[[str, float, float], bool] | None, before: Mapping[str, Run] | None
    ) -> Agreed:
        """What is taken; of equals the last, which had the most time. `tell`: as in a search, where a plan is made anew
        and may be put sooner. `before`: the plan that people work by, empty where it is made anew; None: a date is
        asked for."""
        best = min(reversed(self.agreed or self.met), key=lambda one: one.worth)
        if not self.stopped:
            self._prove(best)
        if tell is not None:
            best = self._sooner(best, tell)
        if before is not None:
            best = self._when_ripe(best, before)
        found = _bounded(best.found, self.known, self.least)
        return Agreed(best.week, found, best.verdicts, self.rounds, self.wrong, self.refused, self.stopped)

    def _prove(self, best: _Met) -> None:
        """How little any plan heats and changes in which no more is late or not done: what the rounds proved holds for
        levels as they were then."""
        from flatstock.planning.solve.least import least_of  # OR-Tools takes a second to come

        values = {level.name: level.value for level in best.found.levels}
        for level in _bounded(best.found, self.known, self.least).levels:
            if level.name in LAST and level.bound <= 0 < level.value:
                seconds = PROOF_SHARE * self.seconds
                self.least[level.name] = least_of(level.name, self.first, values, seconds=seconds)

    def _sooner(self, best: _Met, tell: Callable[[str, float, float], bool]) -> _Met:
        """The same plan put sooner, where the heat model has as little against that."""
        from flatstock.planning.solve.sooner import sooner

        assert best.found.schedule is not None
        # what would help waits for its share of the time
        end = self.seconds if short(best.week, best.found.schedule).nothing else self.end
        left = SOONER_STOPPED if self.stopped else end - self.spent - self.afterwards
        if left < SOONER_LEAST:
            return best
        try:
            found = sooner(best.week, best.found, seconds=min(left, SOONER), tell=tell)
            if found is None or found.schedule is None:
                return best
            then = _Met(best.week, found, self.look(best.week, found.schedule))
        except KeyboardInterrupt:
            self.stopped = True
            return best
        return then if then.worth <= best.worth else best

    def _when_ripe(self, best: _Met, before: Mapping[str, Run]) -> _Met:
        """The same plan with no mould left in a press for longer than it has to be there, where the heat model has as
        little against that."""
        from flatstock.planning.solve.sooner import when_ripe

        for emptied in (False, True):
            left = 0.0 if self.stopped else self.seconds - self.spent
            # the first is worth what it takes: nobody would leave a mould in so
            if emptied and left < SOONER_LEAST:
                break
            seconds = min(RIPE, max(SOONER_STOPPED, left))
            try:
                found = when_ripe(best.week, best.found, seconds=seconds, before=before, emptied=emptied)
                if found is None or found.schedule is None:
                    continue
                then = _Met(best.week, found, self.look(best.week, found.schedule))
            except KeyboardInterrupt:
                self.stopped = True
                break
            if then.worth <= best.worth:
                best = then
        return best


def _bounded(
    found: Found, known: Sequence[tuple[Level, ...]], least: Mapping[str, float] = MappingProxyType({})
) -> Found:
    """With the best bound that was proved of the week as it was before any rehearsal asked for more.

    What a rehearsal asks is asked of one arrangement of the moulds; another might do without. So what is proved of the
    weeks after it is no bound on every plan. A level's bound holds for plans in which the levels before it are as
    they were then; what no plan has less of (`least`, by level), whatever the others, holds always.
    """
    levels = [replace(own, bound=min(own.value, least.get(own.name, 0.0))) for own in found.levels]
    for other in known:
        for n, (own, theirs) in enumerate(zip(levels, other, strict=False)):
            if own.name != theirs.name:
                break
            levels[n] = replace(own, bound=min(own.value, max(own.bound, theirs.bound)))
            if own.value != theirs.value:
                break
    proven = all(level.bound >= level.value - 1e-6 for level in levels)
    return replace(found, levels=tuple(levels), status="optimal" if proven else "feasible")


def _no_plan(status: str) -> Refused:
    return (NotInTime if status == "unknown" else Refused)(_nothing(status))


def _nothing(status: str) -> Fault:
    if status == "unknown":
        return Fault("the plan", "no plan was found in the time given", "give it more time")
    return Fault("the plan", "no plan is possible", "look at people, places and times")
