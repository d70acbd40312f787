"""A plan run through the heat model: platens, plates and stacks with the history that the plan gives them.

Inputs are at their middle; the plan's durations are on the safe side already (`forecast`), so a sheet that
fails here fails in the middle of what is known. Instants are seconds on the plan's clock.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from math import inf

import numpy as np

from flatstock.heat import layers as h
from flatstock.heat.pile import Until, run
from flatstock.heat.press import ColdPress, HotPress, Mould, carry_through_air
from flatstock.pressing.card_numbers import Card
from flatstock.pressing.cooling import PLATES, air_carry, without_flash
from flatstock.pressing.polymers import polymer_of
from flatstock.pressing.rig import SKIN_TO_SHEET, cold_press, hot_press, rack_faces, stack_place
from flatstock.pressing.stacking import REMELTS
from flatstock.workshop.shop import Stack, Workshop

__all__ = ["Going", "Verdict", "rehearse"]

LONGEST = 24 * 3600.0  #: s that is looked for what is missing
CLOSE = 0.05  #: K: nearer than this counts as there
#: s after which two moulds that lie on each other are about as warm as each other: our own figure
TOUCHING = 3600.0


@dataclass(frozen=True, eq=False, kw_only=True)
class Going:
    """One sheet's way through the shop."""

    sheet: str
    card: Card
    press: str
    cooling: str
    hot_from: float  #: the heaters of its stay were switched on
    laid: float  #: load ends
    lifted: float  #: transfer begins
    clamped: float
    left: float  #: press_cool ends
    stay: str | None
    stayed: float  #: in the stack or rack from here
    opened: float  #: demould begins
    ramp: float  #: before laying it down, at its own set-point for at least this
    #: its dwell is by the heat on record, which the platens of a rehearsal have not had: it is not judged by them
    on_record: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """What the model says of one sheet. `more_…` is what it lacks, seconds; 0: nothing, inf: it never gets there."""

    sheet: str
    core_at_transfer: float  #: coldest point [°C]
    core_at_open: float  #: hottest point when the cooling press opens [°C]
    peak_after: float  #: hottest point after that [°C]
    core_at_demould: float  #: hottest point [°C]
    verdict: str
    more_dwell: float = 0.0
    more_cool: float = 0.0
    more_rest: float = 0.0
    more_before: float = 0.0  #: in the cooling press, before it lies with `melts` without melting them again
    heated_by: str | None = None  #: the sheet whose mould melted it again
    melts: tuple[str, ...] = ()  #: sheets of the kinds that it melted again in a stack, or would by itself

    @property
    def good(self) -> bool:
        """Whether nothing is wrong with it."""
        return self.verdict == "good"


@dataclass(slots=True)
class _Found:
    """What is known of a sheet so far."""

    going: Going
    mould: Mould | None = None
    coldest: float = 0.0
    at_open: float = 0.0
    peak: float = 0.0
    at_demould: float = 0.0
    melted: float = 1.0  #: least molten fraction since it was opened
    remelted: float = 0.0
    scorched: bool = False
    more_dwell: float = 0.0
    more_cool: float = 0.0
    more_rest: float = 0.0
    more_before: float = 0.0
    heated_by: _Found | None = None
    melts: list[str] = field(default_factory=list)
    opened_press: tuple[ColdPress, Mould] | None = None  #: as it stood when the mould was about to leave it


def rehearse(shop: Workshop, goings: Sequence[Going]) -> list[Verdict]:
    """Run every sheet of a plan through the model; one verdict a sheet, in the order given."""
    found = {one.sheet: _Found(one) for one in goings}
    for press in shop.hot_presses:
        _heat(shop, [f for f in found.values() if f.going.press == press])
    for place in shop.cooling_presses:
        _press_cool(shop, place, [f for f in found.values() if f.going.cooling == place])
    for stack in shop.stacks.values():
        _stack(shop, stack, [f for f in found.values() if f.going.stay == stack.id])
    _cooler_first(shop, list(found.values()))
    for f in found.values():
        if f.going.stay in shop.racks:
            _rack(shop, f)
    return [_verdict(f) for f in found.values()]


def _heat(shop: Workshop, moulds: list[_Found]) -> None:
    """One hot press: platens soaked at the first set-point of each heated stay, then as each mould leaves them."""
    press: HotPress | None = None
    since, stay = 0.0, -1.0
    for f in sorted(moulds, key=lambda f: f.going.laid):
        one, heating = f.going, f.going.card.heating
        fresh = hot_press(
            heating.shop_press,
            heating.mould,
            room=shop.room.value,
            set_point=heating.set_point,
            platen_cells=PLATES,
        )
        if press is None or one.hot_from != stay or fresh.lower.area_ratio != press.lower.area_ratio:
            press = fresh
        else:
            early = max(0.0, one.laid - since - one.ramp)
            press, _, _ = press.stand_empty(early, tolerance=0.2)
            press = replace(press, heaters=fresh.heaters)
            press, _, _ = press.stand_empty(one.laid - since - early, tolerance=0.2)
        charge = h.charge(
            polymer_of(heating.thermal),
            mass=heating.mass,
            temperature=shop.room.value,
            cells=20,
            moisture=heating.moisture,
        )
        allowance, limit = _face(one.card)
        press, hot, outcome = press.hold(
            heating.mould.around(charge, shop.room.value),
            duration=one.lifted - one.laid,
            activation=0.0
            if heating.process.face_activation is None
            else heating.process.face_activation.value,
            tolerance=0.2,
        )
        f.coldest = float(outcome.history.coldest[-1, 0])
        if one.on_record:
            f.coldest = max(f.coldest, heating.target)
        else:
            f.scorched = outcome.dose > allowance or float(np.max(outcome.history.face)) > limit
        if f.coldest < heating.target - CLOSE:
            until = Until(kind="coldest_above", level=heating.target)
            _, _, further = press.hold(hot, duration=LONGEST, until=until, loaded=False, tolerance=0.2)
            f.more_dwell = further.time if further.reached else inf
        f.mould = _carried(shop, one.card, hot)
        since, stay = one.lifted, one.hot_from


def _face(card: Card) -> tuple[float, float]:
    if card.beyond_assumed:  # this shop's sheets have borne it
        return inf, inf
    allowance, limit = card.setting.process.face_allowance, card.setting.process.face_limit
    return (inf if allowance is None else allowance.value, inf if limit is None else limit.value)


def _carried(shop: Workshop, card: Card, hot: Mould) -> Mould:
    """Without its flash, after its way through the air."""
    setting, cooling = card.setting, card.setting.cooling
    lost = 0.0 if card.flash.mass is None else card.flash.mass.value
    mass = max(card.charge.plastic_mass - lost, 1e-3) / setting.mould.area
    return air_carry(
        without_flash(hot, mass=mass, thermal=setting.thermal),
        setting.mould,
        duration=shop.practice.air_time,
        contact=SKIN_TO_SHEET if cooling is None else cooling.sheet_contact.value,
        room=shop.room.value,
        edge=0.0 if cooling is None else cooling.edge_film.value,
    )


def _press_cool(shop: Workshop, place: str, moulds: list[_Found]) -> None:
    """One cooling press: fans blow while a mould is in it, where the shop has them on."""
    machine = shop.cooling_presses[place]
    press: ColdPress | None = None
    since = 0.0
    for f in sorted(moulds, key=lambda f: f.going.clamped):
        one, mould = f.going, f.mould
        assert mould is not None
        mould_set = one.card.setting.mould
        calm = cold_press(machine, mould_set, room=shop.room.value, fans=False, plate_cells=PLATES)
        blown = cold_press(machine, mould_set, room=shop.room.value, fans=machine.fans_on, plate_cells=PLATES)
        if press is None or press.lower.area_ratio != calm.lower.area_ratio:
            press = calm
        press = replace(press, outer=calm.outer).stand_empty(one.clamped - since, tolerance=0.2)
        press = replace(press, outer=blown.outer)
        press, cooled, outcome = press.hold(mould, duration=one.left - one.clamped, tolerance=0.2)
        f.at_open = f.peak = f.at_demould = float(outcome.history.hottest[-1, 0])
        f.melted = float(outcome.history.melted[-1, 0])
        f.mould, f.opened_press, since = cooled, (press, cooled), one.left
        goal = _limits(one.card)[0 if one.stay is not None else 1]
        if f.at_open > goal + CLOSE:
            until = Until(kind="hottest_below", level=goal)
            _, _, further = press.hold(cooled, duration=LONGEST, until=until, tolerance=0.2)
            more = further.time if further.reached else inf
            if one.stay is not None:
                f.more_cool = more
            else:
                f.more_rest = more


def _limits(card: Card) -> tuple[float, float]:
    """Below which it may be opened, and demoulded [°C]."""
    process = card.setting.process
    assert process.open_below is not None
    assert process.demould_below is not None
    return process.open_below.value, process.demould_below.value


def _rack(shop: Workshop, f: _Found) -> None:
    one, mould = f.going, f.mould
    assert one.stay is not None
    assert mould is not None
    rack, mould_set = shop.racks[one.stay], one.card.setting.mould

    def stand(mould: Mould, duration: float, until: Until | None = None) -> tuple[Mould, float, float, bool]:
        after, outcome = carry_through_air(
            mould,
            duration=duration,
            skin_sheet=h.Joint.fixed(SKIN_TO_SHEET),
            faces=rack_faces(rack, mould_set, room=shop.room.value),
            room=shop.room.value,
            edge_film=rack.edge_film.value,
            perimeter_per_area=mould_set.perimeter_per_area,
            until=until,
            tolerance=0.2,
        )
        return after, float(outcome.history.hottest[-1, 0]), outcome.time, outcome.reached

    limit = _limits(one.card)[1]
    after, f.at_demould, _, _ = stand(mould, one.opened - one.left)
    if f.at_demould > limit + CLOSE:
        _, _, more, reached = stand(after, LONGEST, Until(kind="hottest_below", level=limit))
        f.more_rest = more if reached else inf


def _stack(shop: Workshop, stack: Stack, moulds: list[_Found]) -> None:
    """A stack that grows and shrinks: a stage from each coming or going to the next."""
    if not moulds:
        return
    events = sorted({t for f in moulds for t in (f.going.stayed, f.going.opened)})
    standing: list[_Found] = []
    place = stack_place(stack, moulds[0].going.card.setting.mould, room=shop.room.value, fans=False)
    lower, upper = place.plates
    for now, then in zip(events, [*events[1:], events[-1] + LONGEST], strict=True):
        leaving = [f for f in standing if f.going.opened <= now]
        standing = [f for f in standing if f.going.opened > now]
        for f in leaving:
            _too_warm(shop, f)
        standing += [f for f in moulds if f.going.stayed == now]
        if not standing or now == events[-1]:
            continue
        inside = [f.mould for f in standing if f.mould is not None]
        outcome = run(place.pile(inside, lower, upper), duration=then - now, tolerance=0.2)
        layers = list(outcome.pile.layers)
        lower = layers.pop(0) if lower is not None else None
        upper = layers.pop() if upper is not None else None
        for level, f in enumerate(standing):
            hottest, melted = outcome.history.hottest[:, level], outcome.history.melted[:, level]
            f.mould = Mould(*layers[3 * level : 3 * level + 3])
            f.peak = max(f.peak, float(np.max(hottest)))
            f.at_demould = float(hottest[-1])
            least = np.minimum.accumulate(np.concatenate([[f.melted], melted]))[1:]
            f.remelted = max(f.remelted, float(np.max(melted - least)))
            f.melted = float(least[-1])
            if f.remelted > REMELTS and f.heated_by is None:
                warm = dict(zip((g.going.sheet for g in standing), outcome.history.hottest[0], strict=True))
                f.heated_by = max(
                    (g for g in standing if g is not f), key=lambda g: warm[g.going.sheet], default=None
                )


def _cooler_first(shop: Workshop, moulds: Sequence[_Found]) -> None:
    """How much longer what melted a mould again had to stay in the press: until nothing of it is warm enough to do
    that. One of every other kind that would do the same by itself is told too: the next plan may lay that there."""
    melted = [f for f in moulds if f.heated_by is not None]
    for f in melted:
        assert f.heated_by is not None
        _cooler_by(f, f.heated_by)
    for f in _one_of_each_kind(melted, lambda f: f.remelted):
        known = {id(by.going.card) for by in moulds if f.going.sheet in by.melts}
        for by in _one_of_each_kind(moulds, lambda f: f.at_open):
            if id(by.going.card) not in known and _melts(shop, f, by):
                _cooler_by(f, by)


def _one_of_each_kind(moulds: Sequence[_Found], most: Callable[[_Found], float]) -> list[_Found]:
    """The one with the most of something; sheets of a kind on one press share a card."""
    found: dict[int, _Found] = {}
    for f in sorted(moulds, key=most):
        found[id(f.going.card)] = f
    return list(found.values())


def _melts(shop: Workshop, f: _Found, by: _Found) -> bool:
    """Whether a mould would melt another again on which it is laid, both as they came from their cooling presses."""
    onset = f.going.card.setting.thermal.melting_onset.value
    if by.at_open <= onset or f.opened_press is None or by.opened_press is None or f.going.stay is None:
        return False
    place = stack_place(
        shop.stacks[f.going.stay], f.going.card.setting.mould, room=shop.room.value, fans=False
    )
    inside = [f.opened_press[1], by.opened_press[1]]
    melted = run(place.pile(inside, *place.plates), duration=TOUCHING, tolerance=0.2).history.melted[:, 0]
    return float(np.max(melted - np.minimum.accumulate(melted))) > REMELTS


def _cooler_by(f: _Found, by: _Found) -> None:
    """How much longer one mould would have to stay under pressure to leave another as it is."""
    if by.opened_press is None:
        return
    press, mould = by.opened_press
    until = Until(kind="hottest_below", level=f.going.card.setting.thermal.melting_onset.value)
    _, _, further = press.hold(mould, duration=LONGEST, until=until, tolerance=0.2)
    by.more_before = max(by.more_before, further.time if further.reached else inf)
    by.melts.append(f.going.sheet)


def _too_warm(shop: Workshop, f: _Found) -> None:
    """How much longer a mould that leaves a stack too warm would need, by itself in the air: the least it can be."""
    limit = _limits(f.going.card)[1]
    if f.at_demould <= limit + CLOSE or f.mould is None:
        return
    mould_set = f.going.card.setting.mould
    _, outcome = carry_through_air(
        f.mould,
        duration=LONGEST,
        skin_sheet=h.Joint.fixed(SKIN_TO_SHEET),
        faces=rack_faces(None, mould_set, room=shop.room.value),
        room=shop.room.value,
        edge_film=0.0,
        perimeter_per_area=mould_set.perimeter_per_area,
        until=Until(kind="hottest_below", level=limit),
        tolerance=0.2,
    )
    f.more_rest = outcome.time if outcome.reached else inf


def _verdict(f: _Found) -> Verdict:
    faults: Mapping[str, bool] = {
        "raw": f.more_dwell > 0,
        "scorched": f.scorched,
        "opened hot": f.more_cool > 0,
        "melts again": f.remelted > REMELTS,
        "too warm to demould": f.more_rest > 0,
    }
    named = [words for words, wrong in faults.items() if wrong]
    return Verdict(
        sheet=f.going.sheet,
        core_at_transfer=f.coldest,
        core_at_open=f.at_open,
        peak_after=f.peak,
        core_at_demould=f.at_demould,
        verdict=", ".join(named) or "good",
        more_dwell=f.more_dwell,
        more_cool=f.more_cool,
        more_rest=f.more_rest,
        more_before=f.more_before,
        heated_by=None if f.heated_by is None else f.heated_by.going.sheet,
        melts=tuple(f.melts),
    )
