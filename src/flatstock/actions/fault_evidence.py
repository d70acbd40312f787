"""What the records say about a bad sheet: water of its lots, dwell, opening, breathing, weighings, wedges, repeats."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from flatstock.pressing.mixing import ISLANDS
from flatstock.quality.faults.guide import Answer, Fault
from flatstock.quality.faults.ranking import Found
from flatstock.quality.faults.wedges import same_side
from flatstock.quality.grading import grades
from flatstock.quality.thickness import ThicknessMap
from flatstock.running.event import Event
from flatstock.running.sheets import Planned
from flatstock.workshop.shop import Lot, Workshop

__all__ = ["Read", "Seen", "evidence"]

WET = 0.001  #: water from which on it may make bubbles: the limit of the question, by mass
SLIP = 0.01  #: of a charge: a weighing further off than this counts as off; our own figure
THICK = 0.02  #: over what was wanted; our own figure
#: below the first: all alike; from the second on: some behaves otherwise; our own figures
STRANGERS = (0.005, 0.02)
REGRIND = 0.2  #: share of own regrind from which on it may make a sheet brittle; our own figure


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """Another sheet with the same kind of fault."""

    sheet: str
    press: str | None
    skins: str | None
    frame: str | None
    lots: frozenset[str]
    cells: frozenset[int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Read:
    """What is on record of one sheet. Masses in kg, times in s."""

    sheet: Planned  #: as planned
    events: Sequence[Event]  #: of this sheet, as they stand
    lots: Mapping[str, float]  #: as weighed, else as planned
    shop: Workshop
    press: str | None = None
    skins: str | None = None
    frame: str | None = None
    cells: frozenset[int] = frozenset()
    map: ThicknessMap | None = None
    maps: Sequence[ThicknessMap] = ()  #: of the last sheets of its press, this one last
    before: Sequence[Seen] = ()  #: earlier sheets with such a fault

    def last(self, *kinds: str) -> datetime | None:
        """When one of these happened last."""
        return max((one.at for one in self.events if one.kind in kinds), default=None)


def evidence(fault: Fault, read: Read) -> tuple[Found, ...]:
    """Answers to a fault's questions that nobody has to give: each with where it was read and what it weighs."""
    weights = {one.id: one.record for one in fault.questions}
    return tuple(
        Found(question=name, answer=answer, weight=weights[name], where=where)
        for name, answer, where in _all(read)
        if weights.get(name, 0.0) > 0
    )


def _all(read: Read) -> Iterator[tuple[str, Answer, str]]:
    yield from _water(read)
    yield from _times(read)
    yield from _weighings(read)
    yield from _thickness(read)
    yield from _repeats(read)
    yield from _flake(read)


def _is(true: bool) -> Answer:
    return "yes" if true else "no"


def _water(read: Read) -> Iterator[tuple[str, Answer, str]]:
    dried = {one.facts.get("lot") for one in read.events if one.kind == "weighed" and one.facts.get("dried")}
    wet = {name: lot.moisture for name, lot in _lots(read) if lot.moisture is not None and name not in dried}
    if wet:
        name = max(wet, key=lambda one: wet[one])
        water = sum(read.lots[lot] * share for lot, share in wet.items())
        where = f"list of lots: {name} {100 * wet[name]:.2g} % water, {1000 * water:.0f} g in this charge"
        yield "mass_loss", _is(wet[name] >= WET), where
    known = [name for name, lot in _lots(read) if lot.dry_first and name not in dried]
    if known and not any(share >= WET for share in wet.values()):
        yield (
            "mass_loss",
            "yes",
            f"list of lots: {known[0]} is dried before use, and nobody said that this charge was",
        )


def _times(read: Read) -> Iterator[tuple[str, Answer, str]]:
    loaded, out = read.last("loaded"), read.last("transferred")
    if loaded and out and out > loaded:
        dwell, planned = (out - loaded).total_seconds(), read.sheet
        if planned.dwell:
            where = f"its way: {dwell / 60:.0f} min in the hot press, melted through at {planned.dwell / 60:.0f} min"
            yield "dwell_below", _is(dwell < planned.dwell), where
        if planned.dwell_latest:
            where = (
                f"its way: {dwell / 60:.0f} min in the hot press, latest {planned.dwell_latest / 60:.0f} min"
            )
            yield "dwell_over", _is(dwell > planned.dwell_latest), where
            if dwell > planned.dwell_latest:  # in time says nothing of platens that are too hot
                yield "too_hot", "yes", where
        breathed = [one for one in read.events if one.kind == "breathed"]
        where = f"its way: breathed {len(breathed)} times" if breathed else "its way: no breathing is noted"
        yield "breathed", _is(bool(breathed)), where
    opened = min(
        (e.at for e in read.events if e.kind in ("moved", "demoulded") and out and e.at > out), default=None
    )
    if out and opened and read.sheet.press_cool:
        cooled = (opened - out).total_seconds()
        where = f"its way: opened after {cooled / 60:.0f} min, {read.sheet.press_cool / 60:.0f} min asked for"
        yield "opened_early", _is(cooled < read.sheet.press_cool), where


def _weighings(read: Read) -> Iterator[tuple[str, Answer, str]]:
    told = {str(one.facts.get("lot")): one for one in read.events if one.kind == "weighed"}
    actual = _sum(one.facts.get("mass_kg") for one in told.values())
    target = (
        read.sheet.charge
        or sum(read.sheet.lots.values())
        or _sum(one.facts.get("target_kg") for one in told.values())
    )
    if not told or not target or set(read.sheet.lots) - set(told):
        return
    where = f"weighings: {actual:.2f} kg of {target:.2f} kg"
    yield "charge_below", _is(actual < target * (1 - SLIP)), where
    yield "charge_above", _is(actual > target * (1 + SLIP)), where


def _thickness(read: Read) -> Iterator[tuple[str, Answer, str]]:
    found, wanted = read.map, read.sheet.thickness_mm
    if found is not None:
        limit = next((one.wedge for one in grades() if one.wedge is not None), 0.3e-3)
        where = f"measured: {1000 * found.wedge:.2f} mm from corner to corner"
        yield "has_wedge", _is(found.wedge > limit), where
        if wanted:
            where = f"measured: {1000 * found.mean:.2f} mm on average, {wanted:g} mm wanted"
            yield "too_thick", _is(1000 * found.mean > wanted * (1 + THICK)), where
    alike = same_side(read.maps)
    if alike is not None:
        where = f"the last three sheets of {read.press or 'this press'}: " + (
            "they rise the same way" if alike else "they do not rise the same way"
        )
        yield "three_agree", _is(alike), where


def _repeats(read: Read) -> Iterator[tuple[str, Answer, str]]:
    others = [one for one in read.before if one.sheet != read.sheet.id]
    if not others:
        return
    names = ", ".join(one.sheet for one in others[-3:])
    of_press = [one for one in others if one.press and one.press == read.press]
    if read.cells and len(read.cells) < 9 and any(one.cells for one in of_press):
        same = all(one.cells & read.cells for one in of_press if one.cells)
        yield "same_place", _is(same), f"the same fault before: {names}"
    if read.skins and all(one.skins for one in others):
        yield (
            "same_skin",
            _is(all(one.skins == read.skins for one in others)),
            f"the same fault before: {names}",
        )
    if read.frame and all(one.frame for one in others):
        yield (
            "same_frame",
            _is(all(one.frame == read.frame for one in others)),
            f"the same fault before: {names}",
        )
    if read.lots:
        same = all(one.lots & set(read.lots) for one in others)
        yield "same_lot", _is(same), f"the same fault before: {names}"


def _flake(read: Read) -> Iterator[tuple[str, Answer, str]]:
    lots, whole = list(_lots(read)), sum(read.lots.values())
    if not lots or whole <= 0:
        return
    share = sum(read.lots[name] * sum(lot.strangers.values()) for name, lot in lots) / whole
    where = f"list of lots: {100 * share:.2g} % strangers in the charge"
    if share >= STRANGERS[1] or (share < STRANGERS[0] and any(lot.strangers for _, lot in lots)):
        yield "strangers", _is(share >= STRANGERS[1]), where
    flows = {name: lot.mfr for name, lot in lots if lot.mfr}
    if len(flows) == len(lots):
        gap = max(flows.values()) / min(flows.values())
        yield "flow_gap", _is(gap > ISLANDS), f"list of lots: melt flow {gap:.1f} times apart"
    again = sum(read.lots[name] for name, lot in lots if lot.origin == "own_regrind") / whole
    yield "has_regrind", _is(again > REGRIND), f"weighings: {100 * again:.0f} % own regrind"


def _lots(read: Read) -> Iterator[tuple[str, Lot]]:
    for name in read.lots:
        if name in read.shop.lots:
            yield name, read.shop.lots[name]


def _sum(masses: Iterable[object]) -> float:
    return sum(float(one) for one in masses if isinstance(one, int | float))
