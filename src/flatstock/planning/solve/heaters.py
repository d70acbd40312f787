"""When each press is heated: only while supervised and in order, long enough for its moulds, clean for the first of
them."""

from __future__ import annotations

from collections.abc import Sequence

from flatstock.planning.problem.stretches import Stretch
from flatstock.planning.solve.chains import Chain
from flatstock.planning.solve.cpsat import Var
from flatstock.planning.solve.ground import Ground

__all__ = ["add_heaters"]


def add_heaters(floor: Ground) -> None:
    """The heaters' variables, and in which stretch each sheet is pressed."""
    m = floor.m
    for press, listed in floor.stretches.items():
        for stretch in listed:
            k, window = stretch.number, stretch.span
            used = m.new_bool_var(f"{press} hot in {k}")
            start = m.new_int_var(window.start, window.end, f"{press} on in {k}")
            end = m.new_int_var(window.start, window.end, f"{press} off in {k}")
            size = m.new_int_var(0, window.length, f"{press} heated for in {k}")
            m.add(start + size == end)
            m.add(size == 0).only_enforce_if(~used)
            floor.heated[press, k] = (start, end, used)
            _already(floor, press, stretch, floor.heated[press, k])
        _off_through_outages(floor, press, listed)
    for chain in floor.chains:
        _session_of(floor, chain)
    _heated_long_enough(floor)


def _off_through_outages(floor: Ground, press: str, listed: Sequence[Stretch]) -> None:
    """Once the mould is out that a press holds now its heaters go off where it is out of order, and come on again no
    sooner than they are off."""
    m = floor.m
    inside = [c for c in floor.chains if press in c.press and c.begun("load") and not c.begun("transfer")]
    for stretch in listed:
        if stretch.off_by is None:
            continue
        end = floor.heated[press, stretch.number][1]
        last = m.new_int_var(stretch.off_by, max(stretch.off_by, stretch.span.end), f"{press} off by")
        m.add_max_equality(last, [stretch.off_by, *(chain.clamped for chain in inside)])
        m.add(end <= last)
        for other in listed:
            if other.stay == stretch.stay and other.number != stretch.number:
                start, _, used = floor.heated[press, other.number]
                m.add(start >= end).only_enforce_if(used)


def _already(floor: Ground, press: str, stretch: Stretch, heating: tuple[Var, Var, Var]) -> None:
    """What is on now goes on; else nothing is heated before now. What was before stands in `week.hot`."""
    m, week, window = floor.m, floor.week, stretch.span
    start, end, used = heating
    since = max([week.now, *(one.free_from(week) for one in week.given_up if one.press == press)])
    if window.start >= since:
        return
    if window.end <= since:
        m.add(used == 0)
        return
    on = floor.week.on_now(press)
    if on is None:
        m.add(start >= max(since, week.emptied_by(press)))
    else:
        m.add(used == 1)
        m.add(start == max(on.start, window.start))
        m.add(end >= min(week.emptied_by(press), window.end))


def _heated_long_enough(floor: Ground) -> None:
    """Implied: heaters are on for at least heat-up, soak and every mould's stay; it lifts the bound on energy."""
    week, t = floor.week, floor.week.times
    begun = {
        (press, stretch.number)
        for press, listed in floor.stretches.items()
        for stretch in listed
        if stretch.span.start < week.now
    }
    for (press, k), (start, end, used) in floor.heated.items():
        if (press, k) in begun:
            continue  # as it was
        warm = min((m for (p, _), m in week.heat_up.items() if p == press), default=0) + t.soak
        stays = [
            (t.load + max(c.sheet.kind.dwell[press].planned, c.sheet.dwell_least) + t.transfer)
            * c.session[press, k]
            for c in floor.chains
            if (press, k) in c.session
        ]
        floor.m.add(end - start >= warm * used + sum(stays) + _changes(floor, press, k, used))


def _changes(floor: Ground, press: str, k: int, used: Var) -> Var:
    """Minutes of changing that no order of a stay's kinds of sheet does without: into each kind but one, by the
    shortest way into it."""
    m = floor.m
    inside: dict[str, list[Var]] = {}
    for chain in floor.chains:
        if (press, k) in chain.session:
            inside.setdefault(chain.sheet.kind.key, []).append(chain.session[press, k])
    into = {
        key: min(
            (floor.week.changes.get((press, other, key), 0) for other in inside if other != key), default=0
        )
        for key in inside
    }
    if not any(into.values()):
        return 0
    total = -max(into.values()) * used
    for key, literals in inside.items():
        there = m.new_bool_var(f"{key} in {press} {k}")
        m.add_max_equality(there, literals)
        total += into[key] * there
    return total


def _session_of(floor: Ground, chain: Chain) -> None:
    """The stretch in which a sheet is in the hot press, from its heat-up to its transfer."""
    m, week = floor.m, floor.week
    if chain.begun("transfer"):
        return
    for press, chosen in chain.press.items():
        dwell = chain.sheet.kind.dwell[press]
        warm = week.heat_up[press, dwell.set_point] + week.times.soak
        literals = []
        for stretch in floor.stretches[press]:
            k, window = stretch.number, stretch.span
            inside = m.new_bool_var(f"{chain.sheet.id} in {press} {k}")
            start, end, used = floor.heated[press, k]
            m.add_implication(inside, used)
            m.add(chain.clamped <= end).only_enforce_if(inside)
            if chain.begun("load"):
                m.add(inside == int(window.start <= week.now < window.end))
            else:
                m.add(chain.load >= start + warm).only_enforce_if(inside)
                m.add(chain.load >= max(window.start, week.warm_at.get(press, window.start))).only_enforce_if(
                    inside
                )
            chain.session[press, k] = inside
            literals.append(inside)
        m.add(sum(literals) == chosen)
