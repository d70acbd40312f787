"""What the hot presses are set to, and that sheets dwell only at their own set-point."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import datetime

from flatstock.planning.check.document import Plan, Setting, Task, minutes
from flatstock.planning.check.finding import Finding
from flatstock.planning.check.spans import gaps

__all__ = ["Takes", "at_set_point", "cleaned", "off_while_out", "quick", "sequence", "sessions"]

#: minutes that a setting takes at least: press, kind, from_C, to_C
Takes = Callable[[str, str, float, float], float]
_SAME = 1e-6


def sessions(plan: Plan) -> Iterator[tuple[str, datetime, datetime]]:
    """When each press is heated: from its first setting to off; without off, to the end of the plan."""
    for press, settings in sorted(plan.by_press.items()):
        since: datetime | None = None
        for n, setting in enumerate(settings):
            if setting.kind == "off":
                if since is not None:
                    yield press, since, setting.start
                since = None
            else:
                since = setting.start if since is None else since
                if n == len(settings) - 1:
                    yield press, since, max(plan.end, *(one.end for one in settings))


def sequence(plan: Plan) -> Iterator[Finding]:
    """Settings that do not follow on each other."""
    for settings in plan.by_press.values():
        on = False
        for n, one in enumerate(settings):
            before = settings[n - 1] if n else None
            if on and before is not None:
                yield from _follows(before, one)
            elif before is not None and one.start < before.end:
                yield _overlaps(before, one)
            if not on and one.kind not in ("heat_up", "off"):
                yield Finding(
                    one.where, "the heaters are off before it", "heat_up first", "heated", one.start
                )
            if on and one.kind == "heat_up":
                yield Finding(
                    one.where, "the heaters are on already", "heat_up follows off", "heated", one.start
                )
            yield from _way(one)
            on = one.kind != "off"
        if on:
            last = settings[-1]
            what = f"nothing switches the heaters off after {last.end.isoformat()}"
            yield Finding(last.where, what, "off at the end", "heated", last.end)


def off_while_out(plan: Plan) -> Iterator[Finding]:
    """Heaters that are on while their press is out of order, but for a mould that it held when it failed."""
    for press, start, end in sessions(plan):
        for failed, works in plan.resources[press].out if press in plan.resources else ():
            last = end if works is None else min(end, works)
            held = [task.end for task in plan.tasks if _held(plan, task, press, failed)]
            if max(start, failed, *held) < last:
                what = (
                    f"it is out of order from {failed.isoformat()} on, and is heated until {last.isoformat()}"
                )
                instead = "heaters off while it is out of order, once the mould that it held is out"
                yield Finding(f"{press} at {failed.isoformat()}", what, instead, "hot_while_out", last)


def _held(plan: Plan, task: Task, press: str, moment: datetime) -> bool:
    """Whether a task is the transfer of a mould that was in a press at a moment."""
    if task.step != "transfer" or press not in task.places or task.end <= moment:
        return False
    return any(one.step == "load" and one.sheet == task.sheet and one.start <= moment for one in plan.tasks)


def _overlaps(before: Setting, one: Setting) -> Finding:
    what = f"it starts before {before.kind} ends at {before.end.isoformat()}"
    return Finding(one.where, what, "one setting after the other", "settings_overlap", one.start)


def _follows(before: Setting, one: Setting) -> Iterator[Finding]:
    if one.start > before.end:
        what = f"nothing is set from {before.end.isoformat()} on, after {before.kind}"
        yield Finding(one.where, what, "hold fills the gap", "hold_fills", before.end)
    elif one.start < before.end:
        yield _overlaps(before, one)
    if one.kind == "off" or one.from_C is None or before.to_C is None:
        return
    if abs(one.from_C - before.to_C) > _SAME:
        what = f"it starts from {one.from_C:g} °C, {before.kind} ended at {before.to_C:g} °C"
        yield Finding(one.where, what, f"from {before.to_C:g} °C", "temperatures", one.start)


def _way(one: Setting) -> Iterator[Finding]:
    if one.kind == "off":
        return
    low, high = one.from_C, one.to_C
    if high is None:
        yield Finding(one.where, "to_C is null", "say the temperature", "temperatures", one.start)
    elif low is not None:
        right = {"heat_up": high > low, "raise": high > low, "lower": high < low}
        if not right.get(one.kind, abs(high - low) <= _SAME):
            what = f"{one.kind} goes from {low:g} to {high:g} °C"
            instead = "up for heat_up and raise, down for lower, no change else"
            yield Finding(one.where, what, instead, "temperatures", one.start)


def quick(plan: Plan, takes: Takes) -> Iterator[Finding]:
    """Settings that take less time than the model says."""
    for one in plan.settings:
        if one.kind in ("hold", "off") or one.from_C is None or one.to_C is None:
            continue
        least, took = takes(one.place, one.kind, one.from_C, one.to_C), minutes(one.start, one.end)
        if took < least - _SAME:
            what = f"it takes {took:g} min"
            yield Finding(one.where, what, f"at least {least:.1f} min", "too_quick", one.start)


def at_set_point(plan: Plan) -> Iterator[Finding]:
    """Dwells during a change, at another set-point, or in a press that is not heated."""
    for task in plan.tasks:
        if task.step != "dwell" or task.sheet not in plan.sheets:
            continue
        wanted = plan.sheets[task.sheet].set_point
        for press in plan.of_kind(task.places, "hot_press"):
            during = [
                one
                for one in plan.by_press.get(press, ())
                if one.start < task.end and one.end > task.start and one.kind != "off"
            ]
            for one in during:
                at = max(one.start, task.start)
                if one.kind != "hold":
                    what = f"{press} is in {one.kind} from {one.start.isoformat()} to {one.end.isoformat()}"
                    yield Finding(task.where, what, "dwell while the press holds", "while_changing", at)
                elif one.to_C is None or abs(one.to_C - wanted) > _SAME:
                    held = "no temperature" if one.to_C is None else f"{one.to_C:g} °C"
                    what = f"{press} holds {held}, the sheet needs {wanted:g} °C"
                    yield Finding(task.where, what, "its own set-point", "set_point", at)
            for start, end in gaps((task.start, task.end), [(one.start, one.end) for one in during]):
                what = f"{press} is not heated from {start.isoformat()} to {end.isoformat()}"
                yield Finding(task.where, what, f"hold at {wanted:g} °C throughout", "set_point", start)


def cleaned(plan: Plan) -> Iterator[Finding]:
    """Wiping platens while a mould is between them or on its way."""
    for one in plan.settings:
        if one.kind != "clean":
            continue
        for task in plan.tasks:
            # a dwell during a change has its own rule
            if (
                one.place in task.places
                and task.step != "dwell"
                and task.start < one.end
                and task.end > one.start
            ):
                what = f"{task.sheet} is there for {task.step} ({task.id})"
                yield Finding(one.where, what, "clean an empty press", "clean", max(one.start, task.start))
