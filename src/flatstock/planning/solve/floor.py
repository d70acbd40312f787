"""What the floor allows: every place, frame, skin, pair of hands and ampere is finite."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from itertools import combinations, pairwise

from flatstock.planning.problem.clock import Span, counted
from flatstock.planning.problem.week import HOT, SAW, Site, Week
from flatstock.planning.solve.chains import Chain, Hands
from flatstock.planning.solve.cpsat import Model, Var

__all__ = ["Heated", "add_floor"]

BEGINS = {"dwell": "load", "press_cool": "transfer"}  #: a stay has begun with the step before it
MILLI = 1000  #: kg to g, in whole numbers
GROUPS: tuple[tuple[str, ...], ...] = ((HOT,), (SAW,), (HOT, SAW), ())
#: start, end and use of a press's heaters in one supervised stay
Heated = dict[tuple[str, int], tuple[Var, Var, Var]]


class _Floor:
    def __init__(self, model: Model, week: Week, chains: Sequence[Chain]) -> None:
        self.m, self.week, self.chains = model, week, chains
        self.sessions = week.supervised()
        self.heated: Heated = {}

    def interval(self, start: Var, end: Var, on: Var, name: str, *, begun: bool = False) -> Var:
        """What is `begun` counts from now on: what was before can't be helped."""
        if begun:
            start = self.week.now
            later = self.m.new_int_var(start, self.week.end + 10_000, f"end of {name}")
            self.m.add_max_equality(later, [end, start])
            end = later
        size = self.m.new_int_var(0, self.week.end - min(0, self.week.start) + 10_000, f"for {name}")
        return self.m.new_optional_interval_var(start, size, end, on, name)

    def share(self, spans: Sequence[Var], begun: Sequence[bool], sites: Sequence[Site]) -> None:
        """No more at once than these places take; nothing new comes into one that is out of order."""
        self._at_most(list(spans), sum(site.capacity for site in sites))
        out = [
            self.m.new_fixed_size_interval_var(s.start, s.length, f"{site.id} out")
            for site in sites
            for s in site.absent
            for _ in range(site.capacity)
        ]
        if out:
            later = [span for span, is_begun in zip(spans, begun, strict=True) if not is_begun]
            self._at_most(later + out, sum(site.capacity for site in sites))

    def _at_most(self, spans: list[Var], capacity: int) -> None:
        if capacity == 1:
            self.m.add_no_overlap(spans)
        else:
            self.m.add_cumulative(spans, [1] * len(spans), capacity)

    def on_now(self, press: str) -> Span | None:
        """Since when a press is heated that is hot now."""
        spans = self.week.hot.get(press, ())
        return next((span for span in spans if span.start < self.week.now <= span.end), None)


def add_floor(model: Model, week: Week, chains: Sequence[Chain], hands: Sequence[Hands]) -> Heated:
    """All constraints between sheets; the heaters' variables."""
    floor = _Floor(model, week, chains)
    _heaters(floor)
    _presses(floor)
    _cooling_presses(floor)
    _hand_places(floor)
    _stays(floor)
    _moulds(floor)
    _people(floor, hands)
    _lots(floor)
    _supply(floor)
    _alike(floor)
    return floor.heated


def _heaters(floor: _Floor) -> None:
    m, week = floor.m, floor.week
    for press in week.of_kind("hot_press"):
        for k, window in enumerate(floor.sessions):
            used = m.new_bool_var(f"{press.id} hot in {k}")
            start = m.new_int_var(window.start, window.end, f"{press.id} on in {k}")
            end = m.new_int_var(window.start, window.end, f"{press.id} off in {k}")
            size = m.new_int_var(0, window.length, f"{press.id} heated for in {k}")
            m.add(start + size == end)
            m.add(size == 0).only_enforce_if(~used)
            floor.heated[press.id, k] = (start, end, used)
            _already(floor, press.id, window, floor.heated[press.id, k])
    for chain in floor.chains:
        _session_of(floor, chain)
    _heated_long_enough(floor)


def _already(floor: _Floor, press: str, window: Span, heating: tuple[Var, Var, Var]) -> None:
    """What is on now goes on; else nothing is heated before now. What was before stands in `week.hot`."""
    m, week = floor.m, floor.week
    start, end, used = heating
    if window.start >= week.now:
        return
    if window.end <= week.now:
        m.add(used == 0)
        return
    on = floor.on_now(press)
    if on is None:
        m.add(start >= week.now)
    else:
        m.add(used == 1)
        m.add(start == max(on.start, window.start))
        m.add(end >= week.now)


def _heated_long_enough(floor: _Floor) -> None:
    """Implied: heaters are on for at least heat-up, soak and every mould's stay; it lifts the bound on energy."""
    week, t = floor.week, floor.week.times
    for (press, k), (start, end, used) in floor.heated.items():
        if floor.sessions[k].start < week.now:
            continue  # begun as it was
        warm = min((m for (p, _), m in week.heat_up.items() if p == press), default=0) + t.soak
        stays = [
            (t.load + max(c.sheet.kind.dwell[press].planned, c.sheet.dwell_least) + t.transfer)
            * c.session[press, k]
            for c in floor.chains
            if (press, k) in c.session
        ]
        floor.m.add(end - start >= warm * used + sum(stays))


def _session_of(floor: _Floor, chain: Chain) -> None:
    """The supervised stay in which a sheet is in the hot press, from its heat-up to its transfer."""
    m, week = floor.m, floor.week
    if chain.begun("transfer"):
        return
    for press, chosen in chain.press.items():
        dwell = chain.sheet.kind.dwell[press]
        warm = week.heat_up[press, dwell.set_point] + week.times.soak
        literals = []
        for k, window in enumerate(floor.sessions):
            inside = m.new_bool_var(f"{chain.sheet.id} in {press} {k}")
            start, end, used = floor.heated[press, k]
            m.add_implication(inside, used)
            m.add(chain.clamped <= end).only_enforce_if(inside)
            if chain.begun("load"):
                m.add(inside == int(window.start <= week.now < window.end))
            else:
                m.add(chain.load >= start + warm).only_enforce_if(inside)
                m.add(chain.load >= window.start).only_enforce_if(inside)
            chain.session[press, k] = inside
            literals.append(inside)
        m.add(sum(literals) == chosen)


def _presses(floor: _Floor) -> None:
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
        floor.share(spans, [c.begun("load") for c in there], [press])
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


def _cooling_presses(floor: _Floor) -> None:
    """Occupied from the transfer until the mould has been carried on, or opened."""
    m, t = floor.m, floor.week.times
    for press in floor.week.of_kind("cooling_press"):
        spans, begun = [], []
        for chain in floor.chains:
            if press.id not in chain.cooling:
                continue
            moved = chain.sheet.work("move")
            gone = m.new_int_var(floor.week.start, floor.week.end + t.move, f"{chain.sheet.id} gone")
            end = chain.leave + t.move if moved is None else moved.end
            m.add(gone == end).only_enforce_if(chain.moving)
            m.add(gone == chain.leave).only_enforce_if(~chain.moving)
            on = chain.cooling[press.id]
            begun.append(chain.begun("transfer"))
            name = f"{chain.sheet.id} in {press.id}"
            spans.append(floor.interval(chain.transfer, gone, on, name, begun=begun[-1]))
        floor.share(spans, begun, [press])


def _hand_places(floor: _Floor) -> None:
    """Scales, benches, lifts, saws. Of several of a kind the first that is free is taken."""
    week, t = floor.week, floor.week.times
    work: dict[str, list[tuple[Var, bool]]] = defaultdict(list)

    def add(what: str, chain: Chain, step: str, start: Var, end: Var, on: Var) -> None:
        begun = chain.begun(step)
        work[what].append((floor.interval(start, end, on, f"{step} {chain.sheet.id}", begun=begun), begun))

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
        floor.share([span for span, _ in spans], [begun for _, begun in spans], sites)


def _stays(floor: _Floor) -> None:
    m, week = floor.m, floor.week
    for place in week.of_kind("stack", "rack"):
        there = [chain for chain in floor.chains if place.id in chain.stay]
        begun = [c.begun("move") for c in there]
        spans = [
            floor.interval(c.leave, c.demould, c.stay[place.id], f"{c.sheet.id} in {place.id}", begun=b)
            for c, b in zip(there, begun, strict=True)
        ]
        floor.share(spans, begun, [place])
        if place.mass_max is not None:
            heavy = [-int(-c.sheet.kind.mould_mass // 1) for c in there]
            m.add_cumulative(spans, heavy, int(place.mass_max))
        if place.kind == "stack" and place.capacity > 1:
            for one, other in combinations(there, 2):
                both = one.begun("move") and other.begun("move")
                if not (both and (one.begun("demould") or other.begun("demould"))):
                    _last_in_first_out(m, one, other, place.id)


def _last_in_first_out(m: Model, one: Chain, other: Chain, place: str) -> None:
    """Of two moulds in a stack: one is gone before the other comes, or lies on it and leaves first."""
    both = [one.stay[place], other.stay[place]]
    names = f"{one.sheet.id} {other.sheet.id}"
    ways = [m.new_bool_var(f"{way} {names}") for way in ("gone", "yet", "under", "on")]
    m.add_bool_or([*ways, ~both[0], ~both[1]])
    gone, yet, under, on = ways
    m.add(one.demould <= other.leave).only_enforce_if([gone, *both])
    m.add(other.demould <= one.leave).only_enforce_if([yet, *both])
    m.add(one.leave < other.leave).only_enforce_if([under, *both])
    m.add(other.demould < one.demould).only_enforce_if([under, *both])
    m.add(other.leave < one.leave).only_enforce_if([on, *both])
    m.add(one.demould < other.demould).only_enforce_if([on, *both])


def _moulds(floor: _Floor) -> None:
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
            floor.share(_kept(floor, what, chains), [c.begun("prepare") for c in chains], sites)
        shared = {frozenset(things) for things in union.values() if len(things) > 1}
        for things in shared:
            chains = [c for group, many in groups.items() if set(group) <= things for c in many]
            if len({getattr(c.sheet.kind, what) for c in chains}) > 1:
                spans = _kept(floor, what, chains)
                floor.m.add_cumulative(spans, [1] * len(spans), len(things))


def _kept(floor: _Floor, what: str, chains: Sequence[Chain]) -> list[Var]:
    """How long each sheet keeps its frame or skins."""
    return [
        floor.interval(c.prepare, c.free, c.on, f"{what} {c.sheet.id}", begun=c.begun("prepare"))
        for c in chains
    ]


def _people(floor: _Floor, hands: Sequence[Hands]) -> None:
    """For every group of skills: no more hands at work that need one of them than people who have one."""
    m, week = floor.m, floor.week
    for group in GROUPS:
        needing = [work for work in hands if not group or work.skill in group]
        if not needing:
            continue
        pieces = counted([one.present for one in week.skilled(*group)], start=week.start, end=week.end)
        most = max(there for _, there in pieces)
        spans = [m.new_optional_fixed_size_interval_var(w.start, w.minutes, w.on, "hands") for w in needing]
        demand = [work.people for work in needing]
        for span, there in pieces:
            if there < most:
                spans.append(m.new_fixed_size_interval_var(span.start, span.length, "away"))
                demand.append(most - there)
        m.add_cumulative(spans, demand, most)


def _lots(floor: _Floor) -> None:
    drawn: dict[str, list[Var]] = defaultdict(list)
    for chain in floor.chains:
        if chain.begun("weigh"):
            continue  # `week.lots` is what is left
        for lot, mass in chain.sheet.kind.lots.items():
            drawn[lot].append(round(mass * MILLI) * chain.on)
    for lot, masses in drawn.items():
        floor.m.add(sum(masses) <= int(floor.week.lots.get(lot, 0.0) * MILLI + 1e-6))


def _supply(floor: _Floor) -> None:
    """On no phase more than the connection is rated for, whatever is on at once.

    What can be on together is settled by steps: a set of steps whose loads add up to more than the rating on
    a phase, and no smaller set does, must not all run at once. Of such a set two steps are kept apart.
    """
    week = floor.week
    if week.rated is None:
        return
    for apart in _too_much(week):
        one, other = (
            sorted(apart, key=lambda step: (step != "heated", step))[:2]
            if len(apart) > 1
            else (*apart, *apart)
        )
        _keep_apart(floor, one, other)


def _too_much(week: Week) -> list[frozenset[str]]:
    """Smallest sets of steps that overload a phase when they run at once."""
    rated = week.rated or 0.0
    steps = sorted({step for load in week.loads for step in load.on_during} - {"always"})
    found: list[frozenset[str]] = []
    for size in range(1, len(steps) + 1):
        for some in combinations(steps, size):
            chosen = frozenset(some)
            if any(smaller <= chosen for smaller in found):
                continue
            on = [load for load in week.loads if load.on_during & (chosen | {"always"})]
            if any(sum(load.amps[phase] for load in on) > rated + 1e-6 for phase in range(3)):
                found.append(chosen)
    return found


def _spans(floor: _Floor, step: str) -> list[tuple[Var, Var, Var, bool]]:
    """Start, end, use of every such step, and whether it has begun; of a heated press for "heated"."""
    t = floor.week.times
    if step == "heated":
        return [
            (*heating, floor.sessions[k].start < floor.week.now and floor.on_now(press) is not None)
            for (press, k), heating in floor.heated.items()
        ]
    found: list[tuple[Var, Var, Var, bool]] = []
    for c in floor.chains:
        ways: dict[str, tuple[Var, Var, Var] | None] = {
            "weigh": (c.weigh, c.weighed, c.on),
            "prepare": (c.prepare, c.prepare + t.prepare, c.on),
            "load": (c.load, c.loaded, c.on),
            "dwell": (c.loaded, c.transfer, c.on),
            "transfer": (c.transfer, c.clamped, c.on),
            "press_cool": (c.clamped, c.leave, c.on),
            "move": (c.leave, c.leave + t.move, c.moving),
            "demould": (c.demould, c.free, c.on),
            "trim": None if c.trim is None else (c.trim, c.trimmed, c.on),
        }
        way = ways.get(step)
        if way is not None:
            found.append((*way, c.begun(BEGINS.get(step, step))))
    return found


def _keep_apart(floor: _Floor, one: str, other: str) -> None:
    """No step of the one kind while a step of the other runs. One kind alone that overloads never runs."""
    m = floor.m
    if one == other:
        for _, _, on, begun in _spans(floor, one):
            if not begun:
                m.add(on == 0)
        return
    for a_start, a_end, a_on, a_begun in _spans(floor, one):
        for b_start, b_end, b_on, b_begun in _spans(floor, other):
            if a_begun and b_begun:
                continue
            first = m.new_bool_var("first")
            m.add(a_end <= b_start).only_enforce_if([first, a_on, b_on])
            m.add(b_end <= a_start).only_enforce_if([~first, a_on, b_on])


def _alike(floor: _Floor) -> None:
    """Sheets that nothing tells apart go in the order of their numbers."""
    groups: dict[object, list[Chain]] = defaultdict(list)
    for chain in floor.chains:
        sheet = chain.sheet
        if sheet.done is not None:
            continue
        needs = (
            sheet.promised, sheet.dwell_least, sheet.cool_least, sheet.rest_least, sheet.stack_least,
        )  # fmt: skip
        groups[sheet.order, sheet.kind.key, sheet.due, needs].append(chain)
    for chains in groups.values():
        for one, other in pairwise(chains):
            floor.m.add_implication(other.on, one.on)
            floor.m.add(one.load <= other.load).only_enforce_if([one.on, other.on])
