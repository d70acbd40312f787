"""The variables of each sheet's way through the shop, and the order of its steps."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from flatstock.planning.problem.clock import Span, joined, starts_within
from flatstock.planning.problem.drying import KEEPS
from flatstock.planning.problem.stranded import out_by
from flatstock.planning.problem.warmth import Plates
from flatstock.planning.problem.week import HOT, SAW, Sheet, Site, Week
from flatstock.planning.solve.cpsat import Model, Var, domain
from flatstock.planning.solve.met_plates import Held, MetPlates, met_plates, stay_at_least, stay_by_warmth

__all__ = ["Chain", "Hands", "Starts", "chain_of"]


@dataclass(frozen=True, slots=True)
class Hands:
    """A step that needs people, while `on`."""

    start: Var
    minutes: int
    people: int
    skill: str
    on: Var


@dataclass(slots=True, kw_only=True)
class Chain:
    """One sheet. Instants are starts in minutes; a choice maps a place to the literal that picks it."""

    sheet: Sheet
    on: Var
    weigh: Var
    weighed: Var
    prepare: Var
    load: Var
    loaded: Var
    transfer: Var
    clamped: Var
    leave: Var
    demould: Var
    free: Var  #: the mould is empty again
    trim: Var | None
    trimmed: Var
    ready: Var
    press: dict[str, Var]
    cooling: dict[str, Var]
    stay: dict[str, Var]
    direct: Var
    moving: Var
    over: Var | None = None  #: minutes that a mould which is in a hot press already stays past its latest
    dry: Var | None = None
    dryer: dict[str, Var] = field(default_factory=dict)
    session: dict[tuple[str, int], Var] = field(default_factory=dict)
    plates: MetPlates | None = None  #: None: its cooling presses don't get warm, or it has left one

    def begun(self, step: str) -> bool:
        """Whether the step is a fact."""
        return self.sheet.work(step) is not None


class Starts:
    """When enough people are there for a step: the same for many sheets, so it is worked out once."""

    def __init__(self, week: Week) -> None:
        self.week = week
        self.known: dict[tuple[int, int, str], list[Span]] = {}

    def __call__(self, people: int, minutes: int, skill: str) -> list[Span]:
        """Starts, last ones included, of a step of so many minutes for so many people with the skill."""
        key, week = (people, minutes, skill), self.week
        if key not in self.known:
            there = [one.at_hand for one in (week.skilled(skill) if skill else week.skilled())]
            self.known[key] = starts_within(
                there, people=people, minutes=minutes, start=week.now, end=week.end
            )
        return self.known[key]


class _Maker:
    def __init__(self, model: Model, week: Week, sheet: Sheet, plates: Plates, starts: Starts) -> None:
        self.m, self.week, self.sheet, self.plates, self.starts = model, week, sheet, plates, starts
        self.hands: list[Hands] = []
        self.on = model.new_bool_var(f"pressed {sheet.id}")
        if sheet.done is not None and (sheet.work("load") is not None or not week.loose):
            model.add(self.on == 1)

    def step(self, name: str, people: int, minutes: int, skill: str, on: Var) -> tuple[Var, Var]:
        """Start and end of a step with hands; as they are where it has begun."""
        fact = self.sheet.work(name)
        if fact is not None:
            now = self.week.now
            if fact.end > now:
                self.hands.append(Hands(now, fact.end - now, max(people, len(fact.people)), skill, on))
            return self.m.new_constant(fact.start), self.m.new_constant(fact.end)
        spans = self.starts(people, minutes, skill)
        if not spans:
            self.m.add(on == 0)
            return self.m.new_constant(self.week.end), self.m.new_constant(self.week.end)
        start = self.m.new_int_var_from_domain(domain(spans), f"{name} {self.sheet.id}")
        self.hands.append(Hands(start, minutes, people, skill, on))
        return start, start + minutes

    def place_of(self, step: str, kind: str) -> Site | None:
        """Where a step that has begun takes place, of the places of a kind."""
        fact = self.sheet.work(step)
        sites = [self.week.sites[place] for place in (fact.places if fact else ())]
        return next((site for site in sites if site.kind == kind), None)

    def choice(self, places: Iterable[str], fixed: Site | None, name: str) -> dict[str, Var]:
        """One of these places, while the sheet is pressed at all."""
        listed = list(places) if fixed is None else [fixed.id]
        if len(listed) == 1:
            return {listed[0]: self.on}
        picked = {place: self.m.new_bool_var(f"{name} {self.sheet.id} {place}") for place in listed}
        self.m.add(sum(picked.values()) == self.on)
        return picked


def chain_of(
    model: Model, week: Week, sheet: Sheet, plates: Plates, starts: Starts
) -> tuple[Chain, list[Hands]]:
    """The variables of one sheet with the order of its steps, and its steps that need hands; `plates` as they are,
    `starts` of this week."""
    make = _Maker(model, week, sheet, plates, starts)
    m, t, kind, on = model, week.times, sheet.kind, make.on
    lifted = 1 if week.lift_for(kind.mould_mass) else 2
    weigh, weighed = make.step("weigh", 1, t.weigh, "", on)
    prepare, prepared = make.step("prepare", 1, t.prepare, "", on)
    load, loaded = make.step("load", 2, t.load, HOT, on)
    transfer, clamped = make.step("transfer", 2, t.transfer, HOT, on)
    demould, free = make.step("demould", lifted, t.demould, "", on)
    sawn = not sheet.lost and (sheet.work("trim") is not None or week.sawing())
    trim, trimmed = make.step("trim", 1, t.trim, SAW, on) if sawn else (None, free)
    for end, later, start in ((weighed, "prepare", prepare), (prepared, "load", load), (free, "trim", trim)):
        if start is not None and sheet.work(later) is None:
            m.add(start >= end).only_enforce_if(on)
    dry, dryer = _dry(make, weigh, load)
    press = make.choice(kind.dwell, make.place_of("load", "hot_press"), "press")
    cooling = make.choice(kind.press_cool, make.place_of("transfer", "cooling_press"), "cooling")
    over = _dwell(make, press, loaded, transfer) if sheet.work("transfer") is None else None
    leave = m.new_int_var(week.start, week.end, f"leave {sheet.id}")
    stay, direct, moving = _stays(make, leave, lifted)
    plates_met = _cool(make, cooling, stay, direct, clamped=clamped, leave=leave, demould=demould)
    ready = m.new_int_var(week.start, week.end + sheet.condition, f"ready {sheet.id}")
    m.add(ready == trimmed + sheet.condition).only_enforce_if(on)
    if sheet.promised is not None:
        m.add(on == 1)
        m.add(ready <= sheet.promised)
    chain = Chain(
        sheet=sheet, on=on, weigh=weigh, weighed=weighed, prepare=prepare, load=load, loaded=loaded, transfer=transfer,
        clamped=clamped, leave=leave, demould=demould, free=free, trim=trim, trimmed=trimmed, ready=ready, press=press,
        cooling=cooling, stay=stay, direct=direct, moving=moving, over=over, dry=dry, dryer=dryer,
        plates=plates_met,
    )  # fmt: skip
    return chain, make.hands


def _dry(make: _Maker, weigh: Var, load: Var) -> tuple[Var | None, dict[str, Var]]:
    """When and where its charge is dried, while somebody is there; it is pressed soon after."""
    m, week, sheet = make.m, make.week, make.sheet
    if sheet.dried is not None and sheet.work("load") is None:
        _, end, _ = sheet.dried
        m.add(load <= max(end, week.now) + KEEPS).only_enforce_if(make.on)
        if sheet.work("weigh") is None:
            m.add(weigh >= end).only_enforce_if(make.on)
    minutes = sheet.to_dry
    if not minutes:
        return None, {}
    there = joined(span for one in week.people for span in one.present)
    start = m.new_int_var(week.now, week.end, f"dry {sheet.id}")
    picked = {place: m.new_bool_var(f"dry {sheet.id} {place}") for place in minutes}
    m.add(sum(picked.values()) == make.on)
    for place, chosen in picked.items():
        spans = starts_within([there], people=1, minutes=minutes[place], start=week.now, end=week.end)
        if not spans:
            m.add(chosen == 0)
            continue
        m.add_linear_expression_in_domain(start, domain(spans)).only_enforce_if(chosen)
        m.add(weigh >= start + minutes[place]).only_enforce_if(chosen)
        m.add(load <= start + minutes[place] + KEEPS).only_enforce_if(chosen)
    return start, picked


def _dwell(make: _Maker, press: dict[str, Var], loaded: Var, transfer: Var) -> Var | None:
    """From the planned dwell to the latest. Also by how much a mould that is in its press already is over that: the
    search seeks as little of it as can be before all else, and of what has not been loaded there is none."""
    m, week, sheet, load = make.m, make.week, make.sheet, make.sheet.work("load")
    over = None
    for place, chosen in press.items():
        dwell = sheet.kind.dwell[place]
        m.add(transfer >= loaded + max(dwell.planned, sheet.dwell_least)).only_enforce_if(chosen)
        if dwell.latest is None:
            continue
        if load is None:
            m.add(transfer <= loaded + dwell.latest).only_enforce_if(chosen)
            continue
        latest = load.end + dwell.latest
        over = m.new_int_var(0, out_by(week, latest) - latest, f"{sheet.id} over its latest by")
        m.add_max_equality(over, [0, transfer - latest])
    return over


def _stays(make: _Maker, leave: Var, lifted: int) -> tuple[dict[str, Var], Var, Var]:
    """Which stack or rack takes it, or none, and whether it is moved there."""
    m, week, sheet = make.m, make.week, make.sheet
    moved, opened = sheet.work("move"), sheet.work("demould")
    allowed = list(sheet.kind.rest) if opened is None else []
    if moved is not None:
        allowed = [place for place in moved.places if week.sites[place].kind in ("stack", "rack")]
    stay = {place: m.new_bool_var(f"{sheet.id} in {place}") for place in allowed}
    direct = m.new_bool_var(f"{sheet.id} cools to the end in the press")
    moving = m.new_bool_var(f"{sheet.id} is moved")
    m.add(sum(stay.values()) == moving)
    m.add(moving + direct == make.on)
    if moved is not None:
        m.add(moving == 1)
        m.add(leave == moved.start)
        if moved.end > week.now:
            people = max(lifted, len(moved.people))
            make.hands.append(Hands(week.now, moved.end - week.now, people, "", moving))
    elif stay:
        spans = make.starts(lifted, week.times.move, "")
        if not spans:
            m.add(moving == 0)
        else:
            start = m.new_int_var_from_domain(domain(spans), f"move {sheet.id}")
            m.add(leave == start).only_enforce_if(moving)
            make.hands.append(Hands(start, week.times.move, lifted, "", moving))
    return stay, direct, moving


def _cool(
    make: _Maker,
    cooling: dict[str, Var],
    stay: dict[str, Var],
    direct: Var,
    *,
    clamped: Var,
    leave: Var,
    demould: Var,
) -> MetPlates | None:
    """How long it cools where; also how it meets plates that get warm, where that isn't settled yet."""
    m, t, sheet = make.m, make.week.times, make.sheet
    m.add(demould == leave).only_enforce_if(direct)
    if sheet.work("demould") is not None:
        return None
    moved = sheet.work("move")
    if moved is not None:
        for place, chosen in stay.items():
            m.add(demould >= max(moved.end + sheet.rests(place), make.week.now)).only_enforce_if(chosen)
        return None
    m.add(leave >= make.week.now)
    stacked = [chosen for place, chosen in stay.items() if make.week.sites[place].kind == "stack"]
    plates: MetPlates | None = None
    for place, chosen in cooling.items():
        held = Held(chosen, stacked, direct, clamped, leave, demould)
        if place in sheet.kind.warming:
            plates = plates or met_plates(m, make.week, sheet, clamped)
            stay_by_warmth(m, sheet, place, held, plates, known=make.plates.warmth.get(sheet.id))
        else:
            stay_at_least(m, sheet, place, held)
    for place, chosen in stay.items():
        m.add(demould >= leave + t.move + sheet.rests(place)).only_enforce_if(chosen)
    return plates
