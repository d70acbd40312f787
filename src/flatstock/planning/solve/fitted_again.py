"""A plan of which the heat model asks more, brought to fit again: what fits as it is stays to the minute, and only what
doesn't is planned anew, with what lies in the same stack or is pressed about then.

A plan that was searched for long is good but for a few moulds; a rule would begin all of it anew.
"""

from __future__ import annotations

import time
from collections.abc import Iterator, Mapping, Sequence

from flatstock.planning.problem.schedule import Run
from flatstock.planning.problem.warmth import ends_after, opens_after, stacked_after, warmths
from flatstock.planning.problem.week import Sheet, Week
from flatstock.planning.solve.cpsat import Search, Settings
from flatstock.planning.solve.neighbours import held_but
from flatstock.planning.solve.week_model import WeekModel

__all__ = ["fitted_again", "no_longer_fit"]

AROUND = 120  #: minutes about which sheets are planned anew with those that don't fit
MOST = 24  #: sheets that are planned anew at once: more than that is a new plan
SLICE, SHORTEST = 4.0, 0.3  #: s for one such plan at most, and with which none is begun


def no_longer_fit(week: Week, runs: Mapping[str, Run]) -> set[str]:
    """Ids of the sheets of a plan that stay nowhere long enough for what is asked of them, or lie in a stack with what
    they would melt again."""
    found, warmth = set[str](), warmths(week, runs)
    sheets = [sheet for sheet in week.sheets if sheet.id in runs]
    for sheet in sheets:
        if not _stays_long_enough(week, sheet, runs[sheet.id], warmth[sheet.id]):
            found.add(sheet.id)
        if sheet.melts and not _laid_cold(week, sheet, runs[sheet.id], warmth[sheet.id]):
            beside = {
                other.id for other in sheets
                if other is not sheet and other.kind.key in sheet.melts and _together(runs[sheet.id], runs[other.id])
            }  # fmt: skip
            found |= beside | {sheet.id} if beside else set()
    return found


def _stays_long_enough(week: Week, sheet: Sheet, run: Run, warmth: int) -> bool:
    t, dwell = week.times, sheet.kind.dwell[run.press]
    clamped = run.transfer + t.transfer
    if sheet.work("transfer") is None and run.transfer - run.load - t.load < max(
        dwell.planned, sheet.dwell_least
    ):
        return False
    if sheet.work("move") is None and run.leave < clamped + opens_after(sheet, run.cooling, warmth):
        return False
    if sheet.work("demould") is not None:
        return True
    if run.stay is None:
        return run.demould >= clamped + ends_after(sheet, run.cooling, warmth)
    stacked = week.sites[run.stay].kind == "stack" and not sheet.melts and sheet.work("move") is None
    if stacked and not _laid_cold(week, sheet, run, warmth):
        return False
    return run.demould >= run.leave + t.move + sheet.rests(run.stay)


def _laid_cold(week: Week, sheet: Sheet, run: Run, warmth: int) -> bool:
    clamped = run.transfer + week.times.transfer
    return sheet.work("move") is not None or run.leave >= clamped + stacked_after(sheet, run.cooling, warmth)


def _together(one: Run, other: Run) -> bool:
    """Whether two moulds are in the same stack or rack at some time."""
    return (
        one.stay is not None
        and one.stay == other.stay
        and one.leave < other.demould
        and other.leave < one.demould
    )


def fitted_again(
    model: WeekModel, values: Sequence[int], runs: Mapping[str, Run], *, seconds: float
) -> Iterator[Sequence[int]]:
    """Values of plans of the week in which fewer or more of the sheets that don't fit and their neighbours are planned
    anew, for as little of the model's objective as is found; `values`: of the plan, which need not fit."""
    end, tried = time.monotonic() + seconds, set[frozenset[str]]()
    for free in _freed(model.week, runs):
        left = end - time.monotonic()
        if left < SHORTEST:
            return
        if not free or len(free) > MOST or free in tried:
            continue
        tried.add(free)
        piece = held_but(model, values[: model.own], free)
        answer = Search(piece, Settings(min(SLICE, left))).run(lambda *_: False)
        if answer.values is not None:
            yield answer.values


def _freed(week: Week, runs: Mapping[str, Run]) -> Iterator[frozenset[str]]:
    """Those that don't fit with what they lie with and what is loaded about then; then with their whole stays, and with
    the stays after them."""
    wrong = no_longer_fit(week, runs)
    if not wrong:
        return
    beside = {name for name, run in runs.items() for one in wrong if _together(runs[one], run)}
    around = {
        name for name, run in runs.items() if any(abs(run.load - runs[one].load) <= AROUND for one in wrong)
    }
    yield frozenset(wrong | beside | around)
    stays = week.supervised()
    own = [k for k, stay in enumerate(stays) if any(stay.start <= runs[one].load < stay.end for one in wrong)]
    for further in (0, 1):
        spans = [stays[k + n] for k in own for n in range(further + 1) if k + n < len(stays)]
        inside = {name for name, run in runs.items() if any(s.start <= run.load < s.end for s in spans)}
        yield frozenset(wrong | beside | inside)
