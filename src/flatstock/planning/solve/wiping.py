"""Clean-down over night: the first mould of a heated stay waits until the colour of the last one is wiped off."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from flatstock.planning.solve.chains import Chain
from flatstock.planning.solve.cpsat import Model, Var
from flatstock.planning.solve.ground import Ground

__all__ = ["add_wiping"]

Colour = str | None


@dataclass(frozen=True, slots=True)
class _Ends:
    """Of one heated stretch: whether anything is pressed in it, and which sheet is the first and which the last."""

    used: Var
    first: Mapping[str, Var]
    last: Mapping[str, Var]


def add_wiping(floor: Ground) -> None:
    """For every press, from stay to stay, which colour is on its platens, and the minutes that wiping it off takes."""
    pressed = {c.sheet.kind.key: c.sheet.kind for c in floor.chains}
    lost = {one.sheet.kind.key: one.sheet.kind for one in floor.week.given_up}
    wipes = {
        (a.colour, b.colour): minutes
        for a in (pressed | lost).values()
        for b in pressed.values()
        if (minutes := floor.week.cleans.get((a.key, b.key), 0)) > 0
    }
    if not wipes:
        return
    for press in floor.week.of_kind("hot_press"):
        _wiped(floor, press.id, wipes)


def _wiped(floor: Ground, press: str, wipes: Mapping[tuple[Colour, Colour], int]) -> None:
    m, week = floor.m, floor.week
    loaded = [
        (fact, c.sheet.kind) for c in floor.chains if (fact := c.sheet.work("load")) and press in fact.places
    ]
    #: what became no sheet was laid on the platens all the same
    gone = [one for one in week.given_up if not one.sheet.lost]
    loaded += [(fact, one.sheet.kind) for one in gone if (fact := one.laid_in(press))]
    on = floor.week.on_now(press)
    colours = {c.sheet.kind.colour for c in floor.chains} | {kind.colour for _, kind in loaded}
    before = max(loaded, key=lambda entry: entry[0].start)[1].colour if loaded else _NONE
    state: dict[Colour, Var] = {colour: m.new_constant(int(colour == before)) for colour in colours}
    for stretch in floor.stretches[press]:
        k, window = stretch.number, stretch.span
        inside = [(c, c.session[press, k]) for c in floor.chains if (press, k) in c.session]
        if window.end <= week.now or not inside:
            continue
        ends = _ends(m, floor, inside, f"{press} {k}")
        start, _, _ = floor.heated[press, k]
        under_way = on is not None and window.start < week.now and any(f.start >= on.start for f, _ in loaded)
        for chain, _ in inside if not under_way else ():
            kind = chain.sheet.kind
            warm = week.heat_up[press, kind.dwell[press].set_point] + week.times.soak
            for colour, there in state.items():
                minutes = wipes.get((colour, kind.colour), 0)
                if minutes and not chain.begun("load"):
                    m.add(chain.load >= start + warm + minutes).only_enforce_if(
                        [ends.first[chain.sheet.id], there]
                    )
        state = _after(m, inside, ends, state, f"{press} after {k}")


_NONE = object()  #: nothing has been pressed yet


def _ends(m: Model, floor: Ground, inside: Sequence[tuple[Chain, Var]], name: str) -> _Ends:
    week = floor.week
    used = m.new_bool_var(f"pressed in {name}")
    m.add_max_equality(used, [literal for _, literal in inside])
    picked: list[dict[str, Var]] = []
    for which, sign in (("first", 1), ("last", -1)):
        moment = m.new_int_var(week.start - 10_000, week.end + 10_000, f"{which} in {name}")
        literals = {c.sheet.id: m.new_bool_var(f"{c.sheet.id} {which} in {name}") for c, _ in inside}
        m.add(sum(literals.values()) == used)
        for chain, literal in inside:
            m.add_implication(literals[chain.sheet.id], literal)
            m.add(sign * moment <= sign * chain.load).only_enforce_if(literal)
            m.add(moment == chain.load).only_enforce_if(literals[chain.sheet.id])
        picked.append(literals)
    return _Ends(used, *picked)


def _after(
    m: Model, inside: Sequence[tuple[Chain, Var]], ends: _Ends, state: Mapping[Colour, Var], name: str
) -> dict[Colour, Var]:
    """The colour on the platens after a stay: of its last sheet, or as it was."""
    found: dict[Colour, Var] = {}
    for colour, before in state.items():
        found[colour] = m.new_bool_var(f"{colour or 'no colour'} on {name}")
        last = sum(ends.last[c.sheet.id] for c, _ in inside if c.sheet.kind.colour == colour)
        m.add(found[colour] == last).only_enforce_if(ends.used)
        m.add(found[colour] == before).only_enforce_if(~ends.used)
    return found
