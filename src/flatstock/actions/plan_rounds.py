"""Plan, rehearse, and plan again until plan and heat model agree; then improve what agrees while time is left."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, NamedTuple

from flatstock.actions.mending import asked, faults_of, goings, that_matter
from flatstock.actions.shortfall import short
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
ROUND_SHARE, SHORTEST, LONG = (
    0.15,
    0.8,
    5.0,
)  #: a round gets this share of all the time at least, s from and to; once time is over the shortest
MAIN_SHARE = (
    0.55  #: of the time, where sheets are late or left out: the rest is for what would help, and for when
)
MENDED_SHARE = 0.7  #: of it, until the heat model lets such a plan pass
BUT_ENERGY, ALL = 3, 5  #: levels of the search
CHANGES_BOUND = 0.05  #: of the time, for how few minutes of changing any plan has


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
    seek: Callable[..., Found] | None = None,
    heat: Callable[[Workshop, list[Going]], list[Verdict]] | None = None,
) -> Agreed:
    """`rehearsed`: whether the plan is run through the heat model at all. `seek`: the search, `heat`: the model.
    `first`: the week before any rehearsal asked something of it, of which the bounds are; None: it is this one.

    Where sheets are late or left out `MAIN_SHARE` of the time is used, else all of it. A plan that physics lets
    fail is mended even when the time is over: the rounds left are short ones then. Where what the heat model asks for
    comes to no plan at all, the best of those before stands, with what is wrong with it. Raises `Refused` where there
    was none.
    """
    began = time.monotonic()  # what has to be imported is part of it
    if seek is None:
        from flatstock.planning.solve.search import search  # OR-Tools takes a second to come

        seek = search
    if heat is None and rehearsed:
        from flatstock.pressing.rehearsal import rehearse  # so does the heat model

        heat = rehearse

    rounds, first = 0, first or week
    shortest = min(LONG, max(SHORTEST, ROUND_SHARE * seconds))
    end = seconds
    met: list[_Met] = []  #: every plan that was rehearsed
    agreed: list[_Met] = []  #: those of which nothing more is asked
    least = {
        "over_latest_min": float(over_at_least(first)),
        "late_sheets": float(sheets_late(first)),
        "late_min": float(minutes_late(first)),
        "sheets_after_closing": float(sheets_open(first)),
    }
    start: Sequence[int] = ()
    how: How | None = None
    wrong: list[dict[str, Any]] = []
    known: list[tuple[Level, ...]] = []
    refused, stopped = "", False
    # cards take seconds where nothing has been worked out yet: not after a search
    if heat is not None and rehearsed:
        for order, press in sorted({(one.order, press) for one in week.sheets for press in one.kind.dwell}):
            card(shop.orders[order], press)
    afterwards = 0.0  #: s for what comes after a search, as long as it took last
    while True:
        left = end - (time.monotonic() - began) - afterwards
        # the first round leaves energy and changes as they fall: what the rehearsal wants is best known early
        share, levels = (FIRST_SHARE, BUT_ENERGY) if rounds == 0 else (AGAIN_SHARE, ALL)
        turn = left * share
        if rounds and not agreed:  # the rounds that may still be needed have their time too
            turn = min(turn, left - (ROUNDS - rounds - 1) * shortest)
        turn = max(turn, shortest if left > shortest else SHORTEST)
        try:
            found = seek(
                week, seconds=turn if rehearsed else seconds, tell=tell, start=start,
                levels=levels, before=before, soonest=soonest, like=like, how=how,
            )  # fmt: skip
        except KeyboardInterrupt:  # before it had a plan of its own
            if not met:
                raise
            stopped = True
            break
        if found.schedule is None:
            if not met:
                raise (NotInTime if found.status == "unknown" else Refused)(_nothing(found.status))
            refused = "" if agreed else _nothing(found.status).what
            break
        if heat is None or not rehearsed:
            return Agreed(week, found, [], 0)
        schedule = found.schedule
        like, how = schedule, found.how
        settled = found.status == "optimal"
        if week is first:
            known.append(found.levels)
        found = _bounded(found, known, least)
        say(f"running it through the heat model, round {rounds + 1}")
        stopped, searched = found.stopped, time.monotonic()
        try:
            verdicts = heat(shop, goings(card, shop.orders, week, schedule))
        except KeyboardInterrupt:  # the plan found is worth the second or two that this takes
            stopped = True
            verdicts = heat(shop, goings(card, shop.orders, week, schedule))
        afterwards = AFTERWARDS * (time.monotonic() - searched)
        rounds += 1
        verdicts = that_matter(week, verdicts)
        again = asked(week, schedule, verdicts)
        wrong += faults_of(rounds, verdicts)
        met.append(_Met(week, found, verdicts))
        if again is None:
            agreed.append(met[-1])
        late_share = MAIN_SHARE if agreed else MENDED_SHARE
        end = seconds * (1.0 if short(week, schedule).nothing else late_share)
        over = bool(agreed) and end - (time.monotonic() - began) - afterwards < shortest
        done = again is None and settled and levels == ALL
        if stopped or over or done or rounds >= ROUNDS:
            break
        week, start = again or week, found.values
    # of equals the last, which had the most time
    best = min(reversed(agreed or met), key=lambda one: one.worth)
    if not stopped:
        least |= _least_changes(first, best.found, CHANGES_BOUND * seconds)
    return Agreed(
        best.week, _bounded(best.found, known, least), best.verdicts, rounds, wrong, refused, stopped
    )


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


def _least_changes(week: Week, found: Found, seconds: float) -> dict[str, float]:
    """How few minutes of changing any plan has in which no more is late or not done, however much it heats."""
    from flatstock.planning.solve.least import least_of  # OR-Tools takes a second to come

    values = {level.name: level.value for level in found.levels}
    if not values.get("changeover_min"):
        return {}
    return {"changeover_min": least_of("changeover_min", week, values, seconds=seconds)}


def _nothing(status: str) -> Fault:
    if status == "unknown":
        return Fault("the plan", "no plan was found in the time given", "give it more with --seconds")
    return Fault("the plan", "no plan is possible", "look at people, places and times")
