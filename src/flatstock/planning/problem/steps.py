"""A sheet's steps with what each occupies, from a run: one source for solver, dispatcher and document."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from flatstock.planning.problem.schedule import Run
from flatstock.planning.problem.week import HOT, SAW, Sheet, Week

__all__ = ["STAYS", "Step", "steps_of"]

STAYS = ("stack", "rack")


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step; `hands`: how many people, with which skill ("" for anybody); `people`: who began it."""

    sheet: str
    name: str
    start: int
    end: int
    places: tuple[str, ...]
    hands: int = 0
    skill: str = ""
    people: tuple[str, ...] = ()


def steps_of(week: Week, sheet: Sheet, run: Run) -> Iterator[Step]:
    """The steps of one sheet from weighing to conditioning, in order; what has begun is as it was."""
    t, kind = week.times, sheet.kind

    def step(name: str, start: int, end: int, *places: str, hands: int = 0, skill: str = "") -> Step:
        fact = sheet.work(name)
        if fact is not None:
            return Step(sheet=sheet.id, name=name, start=fact.start, end=fact.end, places=fact.places,
                        hands=len(fact.people), people=fact.people)  # fmt: skip
        return Step(sheet=sheet.id, name=name, start=start, end=end, places=places, hands=hands, skill=skill)

    lift = week.lift_for(kind.mould_mass)
    two = 1 if lift else 2
    if run.dry is not None and run.dryer is not None:
        yield step("dry", run.dry, run.dry + kind.dry[run.dryer], run.dryer)
    elif sheet.dried is not None:
        yield step("dry", sheet.dried[0], sheet.dried[1], sheet.dried[2])
    yield step("weigh", run.weigh, run.weigh + t.weigh, run.scale, hands=1)
    yield step("prepare", run.prepare, run.prepare + t.prepare, run.bench, hands=1)
    load = step("load", run.load, run.load + t.load, run.bench, run.press, hands=2, skill=HOT)
    yield load
    yield step("dwell", load.end, run.transfer, run.press)
    transfer = step(
        "transfer", run.transfer, run.transfer + t.transfer, run.press, run.cooling, hands=2, skill=HOT
    )
    yield transfer
    yield step("press_cool", transfer.end, run.leave, run.cooling)
    if run.stay is not None:
        aids = (lift.id,) if lift else ()
        move = step("move", run.leave, run.leave + t.move, run.cooling, run.stay, *aids, hands=two)
        yield move
        yield step(week.sites[run.stay].kind, move.end, run.demould, run.stay)
    demould = step("demould", run.demould, run.demould + t.demould, run.demould_at, hands=two)
    yield demould
    end = demould.end
    if run.trim is not None and run.saw is not None:
        trim = step("trim", run.trim, run.trim + t.trim, run.saw, hands=1, skill=SAW)
        yield trim
        end = trim.end
    if sheet.condition > 0:
        yield step("condition", end, end + sheet.condition)
