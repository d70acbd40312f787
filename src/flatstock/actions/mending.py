"""A plan's instants for the heat model, and what its verdicts ask of the week that is planned again."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from math import ceil, inf
from typing import TYPE_CHECKING, Any

from flatstock.planning.problem.schedule import Schedule
from flatstock.planning.problem.steps import steps_of
from flatstock.planning.problem.warmth import asked_for, warmths
from flatstock.planning.problem.week import Week
from flatstock.workshop.shop import Order

if TYPE_CHECKING:
    from flatstock.pressing.card import Card
    from flatstock.pressing.rehearsal import Going, Verdict

__all__ = ["asked", "conflicts", "faults_of", "goings", "rehearsal_document", "that_matter"]


#: verdicts on how warm a mould is when it is opened
OPENINGS = ("opened hot", "too warm to demould")


def goings(
    card: Callable[[Order, str], Card], orders: Mapping[str, Order], week: Week, schedule: Schedule
) -> list[Going]:
    """The plan's instants, as the rehearsal takes them."""
    from flatstock.pressing.rehearsal import Going

    sheets = {sheet.id: sheet for sheet in week.sheets}
    listed = []
    for name, run in sorted(schedule.runs.items()):
        sheet = sheets[name]
        ends = {step.name: step.end for step in steps_of(week, sheet, run)}
        point = sheet.kind.dwell[run.press].set_point
        spans = schedule.heated[run.press]
        hot = next((start for start, end in spans if start <= run.load <= end), run.load)
        ramps = [m for (press, _, to), m in week.ramps.items() if press == run.press and to == point]
        listed.append(
            Going(
                sheet=name,
                card=card(orders[sheet.order], run.press),
                press=run.press,
                cooling=run.cooling,
                hot_from=60.0 * hot,
                laid=60.0 * ends["load"],
                lifted=60.0 * run.transfer,
                clamped=60.0 * ends["transfer"],
                left=60.0 * run.leave,
                stay=run.stay,
                stayed=60.0 * ends.get("move", run.leave),
                opened=60.0 * run.demould,
                ramp=60.0 * min(ramps, default=0),
                on_record=sheet.kind.dwell[run.press].of_kind is not None,
            )
        )
    return listed


def that_matter(week: Week, verdicts: Sequence[Verdict]) -> list[Verdict]:
    """The same verdicts; of a mould whose charge is given up only whether it is opened cold enough."""
    lost = {sheet.id for sheet in week.sheets if sheet.lost}
    return [_of_its_opening(one) if one.sheet in lost else one for one in verdicts]


def _of_its_opening(one: Verdict) -> Verdict:
    named = [words for words in one.verdict.split(", ") if words in OPENINGS]
    return replace(one, verdict=", ".join(named) or "good", more_dwell=0.0, heated_by=None)


def asked(week: Week, schedule: Schedule, verdicts: Sequence[Verdict]) -> Week | None:
    """The week with what the rehearsal found each sheet to need; None where it found nothing wrong."""
    if all(one.good for one in verdicts):
        return None
    sheets = {sheet.id: sheet for sheet in week.sheets}
    warmth = warmths(week, schedule.runs)
    for one in verdicts:
        run, begun = schedule.runs[one.sheet], sheets[one.sheet].work
        clamped = run.transfer + week.times.transfer
        minutes, stays, melts = dict[str, int](), dict[str, int](), set[str]()  # of what is not a fact yet
        if 0 < one.more_dwell < inf and not begun("transfer"):
            minutes["dwell"] = run.transfer - run.load - week.times.load + ceil(one.more_dwell / 60)
        if 0 < one.more_cool < inf and not begun("move"):
            minutes["cool"] = run.leave - clamped + ceil(one.more_cool / 60)
        if 0 < one.more_before < inf and not begun("move"):
            minutes["stack"] = run.leave - clamped + ceil(one.more_before / 60)
            melts = {sheets[other].kind.key for other in one.melts}
        if 0 < one.more_rest < inf and not begun("demould"):
            since = clamped if run.stay is None else run.leave + week.times.move
            rest = run.demould - since + ceil(one.more_rest / 60)
            if run.stay is None:
                minutes["rest"] = rest
            else:
                stays[run.stay] = rest
        # what warm plates add is asked of plates as warm, and in proportion of all that are warm
        asks = asked_for(
            sheets[one.sheet], run.cooling, warmth[one.sheet], minutes, moved=run.stay is not None
        )
        # the next plan may put any of its kind where this one stood
        for other in sheets.values():
            if other.kind.key == sheets[one.sheet].kind.key:
                sheets[other.id] = other.asks(**asks, stays=stays, melts=melts)
    asking = tuple(sheets.values())
    return None if asking == week.sheets else replace(week, sheets=asking)


def conflicts(verdicts: Sequence[Verdict]) -> list[str]:
    """What plan and heat model did not come to agree on, in words."""
    found = []
    for one in verdicts:
        if one.good:
            continue
        words = f"{one.sheet}: {one.verdict} when the plan is run through the heat model{_heat(one)}"
        never = [
            what
            for what, more in (
                ("melts through", one.more_dwell),
                ("may be opened", one.more_cool),
                ("may be demoulded", one.more_rest),
            )
            if more == inf
        ]
        words += f"; no time makes up for it: it never {' or '.join(never)} there" if never else ""
        found.append(f"{words}.")
    return found


def _heat(one: Verdict) -> str:
    if one.heated_by is None:
        return ""
    return f" (up to {one.peak_after:.0f} °C, from {one.heated_by} above or below it)"


def faults_of(number: int, verdicts: Sequence[Verdict]) -> list[dict[str, Any]]:
    """What a round found wrong, sheet by sheet, and what it asks of the next plan for it."""
    found = []
    for one in verdicts:
        asks = [
            f"{ceil(more / 60)} min more {where}"
            for where, more in (
                ("in the hot press", one.more_dwell),
                ("under pressure", one.more_cool),
                (f"under pressure before it comes into a stack{_with(one.melts)}", one.more_before),
                ("before it is demoulded", one.more_rest),
            )
            if 0 < more < inf
        ]
        if not one.good or asks:
            words = f"{one.verdict}{_heat(one)}"
            words += f": asks for {' and '.join(asks)}" if asks else ""
            found.append({"round": number, "sheet": one.sheet, "verdict": one.verdict, "text": words})
    return found


def _with(melts: Sequence[str]) -> str:
    return f" with {' or '.join(melts)}" if melts else ""


def rehearsal_document(
    rounds: int, verdicts: Sequence[Verdict], wrong: Sequence[dict[str, Any]] = ()
) -> dict[str, Any]:
    """`wrong`: what each round found (`faults_of`)."""
    return {
        "rounds": rounds,
        "faults": list(wrong),
        "sheets": [
            {
                "sheet": one.sheet,
                "core_at_transfer_C": round(one.core_at_transfer, 1),
                "core_at_open_C": round(one.core_at_open, 1),
                "peak_after_C": round(one.peak_after, 1),
                "core_at_demould_C": round(one.core_at_demould, 1),
                "verdict": one.verdict,
            }
            for one in verdicts
        ],
    }
