"""The week to be planned. Minutes are whole and count from the clock's origin; masses kg, currents A.

Built by `build.set_out`; nothing here knows a plastic, a heat model or a solver.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from math import inf
from types import MappingProxyType
from typing import Any

from flatstock.planning.problem.clock import Clock, Span, common, joined, less
from flatstock.planning.problem.straight_lines import Line

__all__ = [
    "Done", "Dwell", "GivenUp", "Kind", "Load", "Person", "Sheet", "Site", "Times", "Warming", "Week", "Work",
]  # fmt: skip

HOT, SAW = "hot_transfer", "saw"


@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    """Somebody who works here."""

    id: str
    skills: frozenset[str]
    present: tuple[Span, ...]
    busy: tuple[Span, ...] = ()  #: taking out what was given up
    away: tuple[Span, ...] = ()  #: of the hours on file, those at which changes.toml has them elsewhere

    @property
    def at_hand(self) -> tuple[Span, ...]:
        """When there is time for a step of a sheet."""
        return tuple(less(joined(self.present), self.busy)) if self.busy else self.present


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """A place or a group of equal things; `capacity`: how many sheets or tasks at once."""

    id: str
    kind: str
    capacity: int = 1
    mass_max: float | None = None  #: [kg]
    absent: tuple[Span, ...] = ()  #: out of order
    more: Mapping[str, object] = field(default_factory=dict)  #: what else the document says of it


@dataclass(frozen=True, slots=True, kw_only=True)
class Dwell:
    """One kind of sheet in one hot press."""

    set_point: float  #: [°C]
    least: int  #: the coldest point reaches its target
    planned: int  #: what the shop's card advises
    latest: int | None  #: before the face has had too much
    advised: int | None = None  #: what the card advises, of a mould in the press that can't stay so long
    #: its kind's, of a mould in the press whose own is by the heat that it has had in fact
    of_kind: Dwell | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Warming:
    """One kind of sheet in a cooling press whose plates get warm; minutes by minutes of their warmth (`warmth`)."""

    opens: tuple[Line, ...]  #: until its mould may be opened
    ends: tuple[Line, ...]  #: until it may be demoulded there
    leaves: tuple[Line, ...]  #: warmth that it leaves behind, if it left as it came
    fades: int  #: what each minute that it stays takes off that, in 1/`SCALE` min


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """What sheets of one plastic, colour, thickness and recipe share."""

    key: str
    plastic: str
    colour: str | None
    thickness: float  #: [mm]
    charge: float  #: [kg]
    lots: Mapping[str, float]  #: [kg]
    mould_mass: float  #: [kg]
    frames: tuple[str, ...]  #: any of these
    skins: tuple[str, ...]
    dwell: Mapping[str, Dwell]  #: by hot press
    #: by cooling press: until the mould may be opened, plates as warm as a row that never rests makes them
    press_cool: Mapping[str, int]
    cool_to_end: Mapping[
        str, int
    ]  #: by cooling press: until the sheet may be demoulded there, plates as warm
    rest: Mapping[str, int]  #: by stack or rack, after press_cool: until the sheet may be demoulded
    energy: float  #: one sheet's share of the heaters' work [kWh]
    dry: Mapping[str, int] = field(default_factory=dict)  #: by dryer; empty: it is weighed as it is
    #: by cooling press without water: how long it stays by how warm its plates are, as the heat model has it
    by_warmth: Mapping[str, Warming] = field(default_factory=dict)
    #: the same, of those whose plates get so warm that it matters; elsewhere the two above hold
    warming: Mapping[str, Warming] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """One step with hands as it was begun; `end` is known, or expected where `goes_on`."""

    step: str
    start: int
    end: int
    places: tuple[str, ...]
    people: tuple[str, ...]
    goes_on: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """What has happened to one sheet before the plan's moment; it is taken as it is."""

    works: tuple[Work, ...]  #: in the order of the steps, none missing before the last
    frame: str
    skins: str
    figures: Mapping[str, Any]  #: what the plan before said of this sheet, for what is behind it


@dataclass(frozen=True, slots=True, kw_only=True)
class Inside:
    """A mould that has been laid into a hot press and is in it still."""

    load: Work  #: its dwell counts from the end of it
    press: str
    dwell: Dwell

    @property
    def latest(self) -> int | None:
        """Its face bears the press until then; None: for as long as it takes."""
        return None if self.dwell.latest is None else self.load.end + self.dwell.latest


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One sheet to be pressed."""

    id: str
    order: str
    kind: Kind
    due: int | None
    condition: int  #: flat rest after the saw
    dwell_least: int = 0  #: what the rehearsal found it needs beyond its kind's, 0: nothing
    cool_least: int = 0
    rest_least: int = 0  #: where it is demoulded in its cooling press
    #: and in a stack or rack, by its id: another place, or the press, cools another way
    stays_least: tuple[tuple[str, int], ...] = ()
    stack_least: int = 0  #: in the cooling press, before it may lie with others in a stack
    #: in a cooling press whose plates get warm: so many per cent of what they add to the stay on cold ones
    warm_percent: int = 100
    stack_percent: int = 0  #: and, before it may lie with others in a stack, of what it takes to be opened
    #: keys of the kinds that it would melt again there: it is with these alone that both hold; empty: with any
    melts: frozenset[str] = frozenset()
    done: Done | None = None
    dried: tuple[int, int, str] | None = None  #: in which dryer its charge was or is, from when to when
    promised: int | None = None  #: it may not be ready later than this
    #: its charge is given up while its mould cools: that is emptied once it may be, and nothing comes of it
    lost: bool = False

    def rests(self, place: str) -> int:
        """Minutes in a stack or rack until it may be demoulded."""
        return max(self.kind.rest.get(place, 0), dict(self.stays_least).get(place, 0))

    @property
    def to_dry(self) -> Mapping[str, int]:
        """Minutes by dryer, where its charge has still to go into one."""
        return {} if self.dried is not None or self.work("weigh") is not None else self.kind.dry

    def work(self, step: str) -> Work | None:
        """The step, where it has begun."""
        works = self.done.works if self.done else ()
        return next((one for one in works if one.step == step), None)

    @property
    def inside(self) -> Inside | None:
        """The hot press that its mould is in now; None: it is in none, or in one that its kind does not fit."""
        load = self.work("load")
        if load is None or self.work("transfer") is not None:
            return None
        press = next((place for place in load.places if place in self.kind.dwell), None)
        return None if press is None else Inside(load=load, press=press, dwell=self.kind.dwell[press])

    def asks(
        self,
        *,
        dwell: int = 0,
        cool: int = 0,
        rest: int = 0,
        stays: Mapping[str, int] = MappingProxyType({}),
        stack: int = 0,
        warm_percent: int = 0,
        stack_percent: int = 0,
        melts: Iterable[str] = (),
    ) -> Sheet:
        """The same sheet, needing at least these minutes, and shares; before it lies with these kinds, too."""
        own = dict(self.stays_least)
        return replace(
            self,
            dwell_least=max(self.dwell_least, dwell),
            cool_least=max(self.cool_least, cool),
            rest_least=max(self.rest_least, rest),
            stays_least=tuple(
                sorted((place, max(own.get(place, 0), stays.get(place, 0))) for place in {*own, *stays})
            ),
            stack_least=max(self.stack_least, stack),
            warm_percent=max(self.warm_percent, warm_percent),
            stack_percent=max(self.stack_percent, stack_percent),
            melts=self.melts | frozenset(melts),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class GivenUp:
    """A charge that becomes no sheet; its flake is used. Its mould comes out of a hot press cold, or cools on where it
    is: then it is one of the week's sheets (`Sheet.lost`), and the plan has when it is emptied."""

    sheet: Sheet  #: with what was done to it
    since: int  #: heaters off, or when it was put aside
    press: str | None  #: the hot press that it is still in
    written: bool  #: in done.csv; else it is this plan that gives it up
    because: str
    call: str = ""  #: what would save it, where something would
    call_by: int | None = None
    cold: int | None = None  #: it may be opened from then on; None: in no time that is known
    out: Span | None = None  #: when it is taken out and opened; None: not in this plan, or it is out
    people: tuple[str, ...] = ()  #: who takes it out
    places: tuple[str, ...] = ()  #: the lift or bench that takes
    instead: str | None = None  #: the sheet that is pressed for it

    def free_from(self, week: Week) -> int:
        """Its press may be heated again from then on, minutes."""
        return week.end + 1 if self.out is None else self.out.end

    def laid_in(self, press: str) -> Work | None:
        """When its mould was laid into a press; None: it never was."""
        load = self.sheet.work("load")
        return load if load is not None and press in load.places else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """What draws current, and during which steps or settings."""

    id: str
    amps: tuple[float, float, float]
    on_during: frozenset[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Times:
    """How long hands take, minutes."""

    weigh: int
    prepare: int
    load: int
    transfer: int
    move: int
    demould: int
    trim: int
    soak: int
    settle: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Week:
    """Everything that a plan has to keep to."""

    shop: str
    clock: Clock
    start: int  #: of what the document shows
    now: int  #: nothing that has not begun begins before it
    end: int
    closing: int  #: "most sheets by closing" counts up to here
    times: Times
    people: tuple[Person, ...]
    sheets: tuple[Sheet, ...]
    sites: Mapping[str, Site]
    frames: Mapping[str, float]  #: thickness [mm]
    skins: tuple[str, ...]
    lots: Mapping[str, float]  #: released mass [kg]
    heat_up: Mapping[tuple[str, float], int]  #: (press, set-point): from room
    changes: Mapping[tuple[str, str, str], int]  #: (press, kind before, kind after): whole change
    ramps: Mapping[tuple[str, float, float], int]  #: (press, from, to): raise or lower, with settling
    cleans: Mapping[tuple[str, str], int]  #: (kind before, kind after): clean-down
    loads: tuple[Load, ...]
    rated: float | None  #: [A]; None: no supply on file
    heat_cost: Mapping[str, tuple[float, float]]  #: by press: kWh to heat up, kW to hold
    warnings: tuple[str, ...] = ()
    unplaced: Mapping[str, tuple[str, ...]] = field(
        default_factory=dict
    )  #: order: why none of it can be pressed

    absent: Mapping[str, tuple[Span, ...]] = field(default_factory=dict)  #: frames and skins out of order
    hot: Mapping[str, tuple[Span, ...]] = field(default_factory=dict)  #: by press: heated before `now`
    #: by press that has cooled a little since its last mould: its platens are ready for the next one then
    warm_at: Mapping[str, int] = field(default_factory=dict)
    given_up: tuple[GivenUp, ...] = ()
    put_aside: tuple[
        tuple[Sheet, str], ...
    ] = ()  #: weighed from a lot that is held now: the sheet, and which lot
    two_person_lift: float = inf  #: what two people may lift by hand [kg]
    loose: bool = False  #: what is weighed or prepared, and in no press yet, may be left out

    @property
    def counts_left_out(self) -> int:
        """What a sheet that is left out adds to those not done by closing: where the week goes on after that, being
        done later is better than not at all, though it heats for more."""
        return 2 if self.end > self.closing else 1

    def of_kind(self, *kinds: str) -> list[Site]:
        """The places of these kinds."""
        return [site for site in self.sites.values() if site.kind in kinds]

    def skilled(self, *skills: str) -> list[Person]:
        """Those who have any of these skills; all, where none is asked."""
        return [one for one in self.people if not skills or one.skills & set(skills)]

    def supervised(self) -> list[Span]:
        """Minutes in which somebody with `hot_transfer` is there: heating is never unattended."""
        there = joined(span for one in self.skilled(HOT) for span in one.present)
        return common(there, [Span(self.start, self.end)])

    def emptied_by(self, press: str) -> int:
        """When the mould that is being taken out of a hot press now is out; now, where none is."""
        ends = [self.now]
        for sheet in self.sheets:
            load, out = sheet.work("load"), sheet.work("transfer")
            if load is not None and out is not None and press in load.places:
                ends.append(out.end)
        return max(ends)

    def holds(self, press: str) -> bool:
        """Whether a mould is in a hot press now, or on its way out of it."""
        for sheet in self.sheets:
            load, out = sheet.work("load"), sheet.work("transfer")
            if load is not None and press in load.places and (out is None or out.end > self.now):
                return True
        return False

    def on_now(self, press: str) -> Span | None:
        """Since when a press is heated that is hot now; None: it is off, or goes off with what is given up in it, or
        since it is out of order and holds no mould."""
        if any(one.press == press for one in self.given_up):
            return None
        out = any(span.start <= self.now < span.end for span in self.sites[press].absent)
        if out and not self.holds(press):
            return None
        spans = self.hot.get(press, ())
        return next((span for span in spans if span.start < self.now <= span.end), None)

    def sawing(self) -> bool:
        """Whether sheets are trimmed: a saw works while somebody who may use it is there, for as long as it takes."""
        return any(
            span.end - max(span.start, self.now) >= self.times.trim
            for saw in self.of_kind("saw")
            for one in self.skilled(SAW)
            for span in less(one.present, saw.absent)
        )

    def gone(self, site: Site) -> bool:
        """Whether it is out of order from now to the end of the plan."""
        return any(span.start <= self.now and span.end > self.end for span in site.absent)

    def lift_for(self, mass: float) -> Site | None:
        """A lifting aid that bears a mould of this mass; one that is out of order for good is none."""
        fit = [
            site
            for site in self.of_kind("lift")
            if (site.mass_max is None or site.mass_max >= mass) and not self.gone(site)
        ]
        return min(fit, key=lambda site: site.id, default=None)

    def slid(self, mass: float) -> bool:
        """Whether a mould can only be slid at one height: no lift bears it, and it is more than two people may lift."""
        return mass > self.two_person_lift and self.lift_for(mass) is None

    def scale_for(self, charge: float) -> Site:
        """The smallest scale that takes the whole charge; the largest where none does."""
        scales = sorted(self.of_kind("scale"), key=lambda site: (site.mass_max or float("inf"), site.id))
        return next((s for s in scales if s.mass_max is None or s.mass_max >= charge), scales[-1])
