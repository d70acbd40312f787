"""What the floor allows: every place, frame, skin, pair of hands and ampere is finite."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from itertools import combinations, pairwise

from flatstock.planning.problem.clock import counted
from flatstock.planning.problem.warmth import Plates
from flatstock.planning.problem.week import HOT, SAW, Sheet, Site, Week
from flatstock.planning.solve.amps import add_supply
from flatstock.planning.solve.chains import Chain, Hands
from flatstock.planning.solve.cpsat import Model, Var
from flatstock.planning.solve.dryers import add_dryers
from flatstock.planning.solve.ground import Ground, Heated
from flatstock.planning.solve.heaters import add_heaters
from flatstock.planning.solve.wiping import add_wiping

__all__ = ["add_floor", "likeness"]

MILLI = 1000  #: kg to g, in whole numbers
GROUPS: tuple[tuple[str, ...], ...] = ((HOT,), (SAW,), (HOT, SAW), ())


def add_floor(
    model: Model, week: Week, chains: Sequence[Chain], hands: Sequence[Hands], plates: Plates, tidy: Var
) -> Heated:
    """All constraints between sheets; the heaters' variables. `tidy`: sheets alike go in the order of their numbers."""
    floor = Ground(model, week, chains)
    add_heaters(floor)
    add_wiping(floor)
    _presses(floor)
    _cooling_presses(floor)
    _warm_plates(floor, plates)
    _hand_places(floor)
    add_dryers(model, week, chains)
    _stays(floor)
    _moulds(floor)
    _people(floor, hands)
    _lots(floor)
    add_supply(floor)
    _alike(floor, tidy)
    return floor.heated


def _presses(floor: Ground) -> None:
    """One mould at a time, and between two kinds the change of set-point and colour."""
    m, week = floor.m, floor.week
    for press in week.of_kind("hot_press"):
        there = [chain for chain in floor.chains if press.id in chain.press]
        spans = [
            floor.interval(
                c.load,
                c.clamped,
                c.press[press.id],
                f"{c.sheet.id} in {press.id}",
                begun=c.begun("load"),
            )
            for c in there
        ]
        floor.share(spans, [press.id if c.begun("load") else None for c in there], [press])
        for one, other in combinations(there, 2):
            if one.begun("load") and other.begun("load"):
                continue
            a, b = one.sheet.kind.key, other.sheet.kind.key
            forth, back = week.changes.get((press.id, a, b), 0), week.changes.get((press.id, b, a), 0)
            if max(forth, back) == 0:
                continue
            first = m.new_bool_var(f"{one.sheet.id} before {other.sheet.id}")
            both = [one.press[press.id], other.press[press.id]]
            m.add(other.load >= one.clamped + forth).only_enforce_if([first, *both])
            m.add(one.load >= other.clamped + back).only_enforce_if([~first, *both])


def _cooling_presses(floor: Ground) -> None:
    """Occupied from the transfer until the mould has been carried on, or opened."""
    m, t = floor.m, floor.week.times
    for press in floor.week.of_kind("cooling_press"):
        spans: list[Var] = []
        inside: list[str | None] = []
        for chain in floor.chains:
            if press.id not in chain.cooling:
                continue
            moved = chain.sheet.work("move")
            gone = m.new_int_var(floor.week.start, floor.week.end + t.move, f"{chain.sheet.id} gone")
            end = chain.leave + t.move if moved is None else moved.end
            m.add(gone == end).only_enforce_if(chain.moving)
            m.add(gone == chain.leave).only_enforce_if(~chain.moving)
            on = chain.cooling[press.id]
            begun = chain.begun("transfer")
            inside.append(press.id if begun else None)
            name = f"{chain.sheet.id} in {press.id}"
            spans.append(floor.interval(chain.transfer, gone, on, name, begun=begun))
        floor.share(spans, inside, [press])


def _warm_plates(floor: Ground, plates: Plates) -> None:
    """Of two moulds in a cooling press whose plates get warm, the later one finds them as the earlier one left them, or
    warmer."""
    m = floor.m
    for press in floor.week.of_kind("cooling_press"):
        met = [
            (chain, chain.plates)
            for chain in floor.chains
            if chain.plates is not None and press.id in chain.cooling and press.id in chain.sheet.kind.warming
        ]
        waiting = [one for one in met if not one[0].begun("transfer")]
        inside = [of.left for chain, of in met if chain.begun("transfer")]
        settled = [plates.cold[press.id]] if press.id in plates.cold else []
        for chain, of in waiting:
            for left in (*settled, *inside):
                m.add(of.found >= left).only_enforce_if(chain.cooling[press.id])
        for one, other in combinations(waiting, 2):
            first = m.new_bool_var(f"{one[0].sheet.id} cools before {other[0].sheet.id}")
            both = [chain.cooling[press.id] for chain, _ in (one, other)]
            for (before, its), (after, of), way in ((one, other, first), (other, one, ~first)):
                m.add(after.transfer >= before.leave).only_enforce_if([way, *both])
                m.add(of.found >= its.left).only_enforce_if([way, *both])


def _hand_places(floor: Ground) -> None:
    """Scales, benches, lifts, saws. Of several of a kind the first that is free is taken."""
    week, t = floor.week, floor.week.times
    work: dict[str, list[tuple[Var, tuple[str, ...]]]] = defaultdict(list)

    def add(what: str, chain: Chain, step: str, start: Var, end: Var, on: Var) -> None:
        fact = chain.sheet.work(step)
        span = floor.interval(start, end, on, f"{step} {chain.sheet.id}", begun=fact is not None)
        work[what].append((span, () if fact is None else fact.places))

    for chain in floor.chains:
        on = chain.on
        lift = week.lift_for(chain.sheet.kind.mould_mass)
        scale = week.scale_for(chain.sheet.kind.charge).id
        add(scale, chain, "weigh", chain.weigh, chain.weighed, on)
        add("bench", chain, "prepare", chain.prepare, chain.loaded, on)
        add(lift.id if lift else "bench", chain, "demould", chain.demould, chain.free, on)
        if lift:
            add(lift.id, chain, "move", chain.leave, chain.leave + t.move, chain.moving)
        if chain.trim is not None:
            add("saw", chain, "trim", chain.trim, chain.trimmed, on)
    for kind, spans in work.items():
        sites = week.of_kind(kind) or [week.sites[kind]]
        names = {site.id for site in sites}
        begun = [next((place for place in places if place in names), None) for _, places in spans]
        floor.share([span for span, _ in spans], begun, sites)


def _stays(floor: Ground) -> None:
    m, week = floor.m, floor.week
    for place in week.of_kind("stack", "rack"):
        there = [chain for chain in floor.chains if place.id in chain.stay]
        begun = [c.begun("move") for c in there]
        spans = [
            floor.interval(c.leave, c.demould, c.stay[place.id], f"{c.sheet.id} in {place.id}", begun=b)
            for c, b in zip(there, begun, strict=True)
        ]
        floor.share(spans, [place.id if b else None for b in begun], [place])
        if place.mass_max is not None:
            heavy = [-int(-c.sheet.kind.mould_mass // 1) for c in there]
            m.add_cumulative(spans, heavy, int(place.mass_max))
        if place.kind == "stack" and place.capacity > 1:
            for one, other in combinations(there, 2):
                both = one.begun("move") and other.begun("move")
                if not (both and (one.begun("demould") or other.begun("demould"))):
                    slid = not both and any(week.slid(c.sheet.kind.mould_mass) for c in (one, other))
                    _last_in_first_out(m, one, other, place.id, apart=slid)


def _last_in_first_out(m: Model, one: Chain, other: Chain, place: str, *, apart: bool) -> None:
    """Of two moulds in a stack: one is gone before the other comes, or lies on it and leaves first. `apart`: nobody may
    lift one onto the other."""
    both = [one.stay[place], other.stay[place]]
    names = f"{one.sheet.id} {other.sheet.id}"
    ways = [m.new_bool_var(f"{way} {names}") for way in ("gone", "yet", "under", "on")]
    m.add_bool_or([*ways, ~both[0], ~both[1]])
    gone, yet, under, on = ways
    if apart:
        m.add_bool_and([~under, ~on])
    m.add(one.demould <= other.leave).only_enforce_if([gone, *both])
    m.add(other.demould <= one.leave).only_enforce_if([yet, *both])
    m.add(one.leave < other.leave).only_enforce_if([under, *both])
    m.add(other.demould < one.demould).only_enforce_if([under, *both])
    m.add(other.leave < one.leave).only_enforce_if([on, *both])
    m.add(one.demould < other.demould).only_enforce_if([on, *both])


def _moulds(floor: Ground) -> None:
    """Frames and skins belong to a sheet from preparing the mould to the end of demoulding."""
    for what in ("frames", "skins"):
        groups: dict[tuple[str, ...], list[Chain]] = defaultdict(list)
        for chain in floor.chains:
            groups[getattr(chain.sheet.kind, what)].append(chain)
        union = {thing: {thing} for group in groups for thing in group}
        for group in groups:  # groups that share a thing are one resource, each with its own share beside it
            for thing in group:
                union[thing] |= set(group)
        for group, chains in groups.items():
            sites = [Site(id=one, kind=what, absent=floor.week.absent.get(one, ())) for one in group]
            floor.share(_kept(floor, what, chains), [_had(c, what) for c in chains], sites)
        shared = {frozenset(things) for things in union.values() if len(things) > 1}
        for things in shared:
            chains = [c for group, many in groups.items() if set(group) <= things for c in many]
            if len({getattr(c.sheet.kind, what) for c in chains}) > 1:
                spans = _kept(floor, what, chains)
                floor.m.add_cumulative(spans, [1] * len(spans), len(things))


def _had(chain: Chain, what: str) -> str | None:
    """The frame or skins of a sheet that is under way in them."""
    done = chain.sheet.done
    if done is None or not chain.begun("prepare"):
        return None
    return done.frame if what == "frames" else done.skins


def _kept(floor: Ground, what: str, chains: Sequence[Chain]) -> list[Var]:
    """How long each sheet keeps its frame or skins."""
    return [
        floor.interval(c.prepare, c.free, c.on, f"{what} {c.sheet.id}", begun=c.begun("prepare"))
        for c in chains
    ]


def _people(floor: Ground, hands: Sequence[Hands]) -> None:
    """For every group of skills: no more hands at work that need one of them than people who have one."""
    m, week = floor.m, floor.week
    for group in GROUPS:
        needing = [work for work in hands if not group or work.skill in group]
        if not needing:
            continue
        pieces = counted([one.at_hand for one in week.skilled(*group)], start=week.start, end=week.end)
        most = max(there for _, there in pieces)
        spans = [m.new_optional_fixed_size_interval_var(w.start, w.minutes, w.on, "hands") for w in needing]
        demand = [work.people for work in needing]
        for span, there in pieces:
            if there < most:
                spans.append(m.new_fixed_size_interval_var(span.start, span.length, "away"))
                demand.append(most - there)
        m.add_cumulative(spans, demand, most)


def _lots(floor: Ground) -> None:
    drawn: dict[str, list[Var]] = defaultdict(list)
    for chain in floor.chains:
        if chain.begun("weigh"):
            continue  # `week.lots` is what is left
        for lot, mass in chain.sheet.kind.lots.items():
            drawn[lot].append(round(mass * MILLI) * chain.on)
    for lot, masses in drawn.items():
        floor.m.add(sum(masses) <= int(floor.week.lots.get(lot, 0.0) * MILLI + 1e-6))


def _alike(floor: Ground, tidy: Var) -> None:
    """Sheets that nothing tells apart go in the order of their numbers, where that is asked."""
    groups: dict[object, list[Chain]] = defaultdict(list)
    for chain in floor.chains:
        if chain.sheet.done is None:
            groups[likeness(chain.sheet)].append(chain)
    for chains in groups.values():
        for one, other in pairwise(chains):
            floor.m.add_bool_or([one.on, ~other.on, ~tidy])
            floor.m.add(one.load <= other.load).only_enforce_if([one.on, other.on, tidy])


def likeness(sheet: Sheet) -> object:
    """The same for sheets that nothing tells apart."""
    needs = (
        sheet.promised, sheet.dwell_least, sheet.cool_least, sheet.rest_least, sheet.stays_least, sheet.stack_least,
        sheet.warm_percent, sheet.stack_percent, sheet.melts, sheet.dried,
    )  # fmt: skip
    return sheet.order, sheet.kind.key, sheet.due, needs
