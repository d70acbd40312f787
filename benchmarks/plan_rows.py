"""Weeks by the clock: the demo's, and larger ones on two hot presses; with a rule's plan to start from, and without."""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from benchmarks.table import Peer, Row
from benchmarks.timing import median_time
from flatstock import demo
from flatstock.actions.plans import Physics
from flatstock.actions.workshops import zone_of
from flatstock.planning.dispatch.rule import dispatch
from flatstock.planning.problem.build import set_out
from flatstock.planning.problem.week import Week
from flatstock.planning.relief import reliefs
from flatstock.planning.solve.found import Found
from flatstock.planning.solve.search import search
from flatstock.workshop.files import read

__all__ = ["plan_rows"]

MONDAY = datetime(2026, 3, 2, 7, 0, tzinfo=UTC)
MORE = ("a second hot press", "a second cooling press", "a rack as large again", "a second lay-up bench")
TARGET_FIRST = 5.0  #: s


@dataclass(frozen=True, slots=True)
class _Timed:
    """One search: what it found, and when its first plan that presses every sheet it will press was there."""

    found: Found
    first: float


def plan_rows(*, quick: bool) -> Iterator[Row]:
    """The demo week, then weeks of 60 and of 120 sheets."""
    seconds = 1.0 if quick else 60.0
    week = _demo_week()
    yield from _week_rows(week, "demo week, 33 sheets", seconds)
    for count in (10,) if quick else (60, 120):
        yield from _week_rows(_larger(week, count), f"week of {count} sheets, two hot presses", seconds)


def _week_rows(week: Week, name: str, seconds: float) -> Iterator[Row]:
    with_rule, without = _timed(week, seconds, by_rule=True), _timed(week, seconds, by_rule=False)
    yield Row(
        work=f"{name}: first plan",
        seconds=with_rule.first,
        target=TARGET_FIRST,
        setting="model, rule, and the model filled in with the rule's plan",
        peers=(
            Peer(name="same model from nothing, first plan of any worth", seconds=without.first),
            Peer(
                name="priority rules alone",
                seconds=median_time(lambda: dispatch(week), runs=3),
                setting=_worth_of_rule(week),
            ),
        ),
    )
    yield Row(
        work=f"{name}: after {seconds:g} s",
        seconds=with_rule.found.seconds,
        setting=_levels(with_rule.found),
        error=_gap(with_rule.found),
        peers=(
            Peer(
                name="same model from nothing",
                seconds=without.found.seconds,
                setting=_levels(without.found),
                error=_gap(without.found),
            ),
        ),
        note="error: gap of the first level that is not settled; levels: late sheets, late minutes, sheets not"
        " done by closing, kWh for heating up and holding, each with its bound where that is less",
    )


def _timed(week: Week, seconds: float, *, by_rule: bool) -> _Timed:
    began = time.perf_counter()
    first: list[float] = []

    def tell(_name: str, _value: float, _bound: float) -> bool:
        first.append(time.perf_counter() - began)
        return False

    found = search(week, seconds=seconds, tell=tell, by_rule=by_rule)
    return _Timed(found, min(first, default=seconds))


def _levels(found: Found) -> str:
    parts = []
    for level in found.levels:
        scale = 1e3 if level.name.endswith("_Wh") else 1.0
        bound = "" if level.bound >= level.value - 1e-6 else f" (at best {level.bound / scale:.4g})"
        parts.append(f"{level.value / scale:.4g}{bound}")
    return ", ".join(parts) or "nothing found"


def _gap(found: Found) -> float | None:
    open_ = (level for level in found.levels if level.bound < level.value - 1e-6)
    first = next(open_, None)
    return None if first is None else (first.value - first.bound) / first.value


def _worth_of_rule(week: Week) -> str:
    found = dispatch(week)
    return "no plan" if found is None else ", ".join(f"{value:.4g}" for value in found.worth)


def _demo_week() -> Week:
    with TemporaryDirectory() as folder:
        demo.copy_to(Path(folder) / "demo")
        shop = read(Path(folder) / "demo")
        return set_out(shop, Physics(shop), zone=zone_of(shop), start=MONDAY)


def _larger(week: Week, count: int) -> Week:
    """The demo's sheets over and over, on two of each press with twice the moulds, and a supply that bears them."""
    for what in MORE:
        week = next(one.week for one in reliefs(week) if one.what == what)
    twice = {key: f"{key} again" for key in (*week.frames, *week.skins)}
    kinds = {
        sheet.kind.key: replace(
            sheet.kind,
            frames=(*sheet.kind.frames, *(twice[f] for f in sheet.kind.frames)),
            skins=(*sheet.kind.skins, *(twice[s] for s in sheet.kind.skins)),
        )
        for sheet in week.sheets
    }
    like = [week.sheets[n % len(week.sheets)] for n in range(count)]
    sheets = [replace(one, id=f"{one.order}-{n:03d}", kind=kinds[one.kind.key]) for n, one in enumerate(like)]
    return replace(
        week,
        sheets=tuple(sorted(sheets, key=lambda sheet: sheet.id)),
        frames=week.frames | {twice[name]: thickness for name, thickness in week.frames.items()},
        skins=(*week.skins, *(twice[name] for name in week.skins)),
        lots={lot: mass * (1 + count // len(week.sheets)) for lot, mass in week.lots.items()},
        rated=None,
    )
