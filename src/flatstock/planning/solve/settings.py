"""What the heaters of a press do between its moulds: heat up, soak, raise or lower, clean, hold, off."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from flatstock.planning.problem.schedule import Run, Schedule
from flatstock.planning.problem.week import Sheet, Week

__all__ = ["Setting", "changeover", "settings_of"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """One stretch of a press's heaters; None: whatever the room has made of it."""

    place: str
    kind: str
    start: int
    end: int
    before: float | None
    after: float | None


def settings_of(week: Week, schedule: Schedule) -> list[Setting]:
    """Every setting of every press, in the order of the clock."""
    sheets = {sheet.id: sheet for sheet in week.sheets}
    found: list[Setting] = []
    for press, spans in schedule.heated.items():
        before: Sheet | None = None
        last_load = week.start
        laid = sorted(
            (
                (fact.start, one.sheet)
                for one in week.given_up
                if not one.sheet.lost and (fact := one.laid_in(press)) is not None
            ),
            key=lambda entry: entry[0],
        )
        for start, end in spans:
            runs = sorted(
                (run for run in schedule.runs.values() if run.press == press and start <= run.load < end),
                key=lambda run: run.load,
            )
            lost = [(moment, sheet) for moment, sheet in laid if moment < start]
            if lost and (before is None or lost[-1][0] > last_load):
                before = lost[-1][1]  # it became no sheet, and was on the platens all the same
            if runs:
                found += _stay(week, sheets, press, start, end, runs, before)
                before, last_load = sheets[runs[-1].sheet], runs[-1].load
    return sorted(found, key=lambda s: (s.start, s.place, s.end))


def changeover(week: Week, schedule: Schedule) -> int:
    """Minutes of raising, lowering and wiping down, over all presses."""
    changes = ("raise", "lower", "clean")
    return sum(one.end - one.start for one in settings_of(week, schedule) if one.kind in changes)


def _stay(
    week: Week,
    sheets: dict[str, Sheet],
    press: str,
    start: int,
    end: int,
    runs: list[Run],
    last: Sheet | None,
) -> Iterator[Setting]:
    """One heated stay, from heat-up to off."""
    first = sheets[runs[0].sheet]
    point = first.kind.dwell[press].set_point
    loaded = runs[0].load  # what was loaded sooner than the model has it was loaded all the same
    # a stay that is over was heated up as it was, whatever a press with failed elements takes now
    at = min(start + week.heat_up[press, point], max(start + 1, loaded - week.times.soak))
    soaked = min(at + week.times.soak, loaded)

    def setting(kind: str, a: int, b: int, x: float | None, y: float | None) -> Setting:
        return Setting(place=press, kind=kind, start=a, end=b, before=x, after=y)

    yield setting("heat_up", start, at, None, point)
    yield setting("soak", at, soaked, point, point)
    now, before = soaked, first
    if last is not None and week.cleans.get((last.kind.key, first.kind.key), 0):
        clean = week.cleans[last.kind.key, first.kind.key]
        if loaded - now >= clean:
            yield setting("clean", now, now + clean, point, point)
            now += clean
    for run in runs:
        sheet = sheets[run.sheet]
        goal = sheet.kind.dwell[press].set_point
        clean = week.cleans.get((before.kind.key, sheet.kind.key), 0)
        if clean:
            cleaned = min(now + clean, run.load)
            yield setting("clean", now, cleaned, point, point)
            now = cleaned
        if goal != point:
            # the change ends as the mould comes in, so that the platens hold for as short a time as may be
            change = max(now, run.load - week.ramps.get((press, point, goal), 0))
            if change > now:
                yield setting("hold", now, change, point, point)
            yield setting("raise" if goal > point else "lower", change, run.load, point, goal)
            point = goal
            now = run.load
        fact = sheet.work("transfer")
        gone = run.transfer + week.times.transfer if fact is None else fact.end
        yield setting("hold", now, gone, point, point)
        now, before = gone, sheet
    off = max(end, now)  # heaters that went off while the last mould was taken out held it until it was
    if off > now:
        yield setting("hold", now, off, point, point)
    yield setting("off", off, off, point, None)
