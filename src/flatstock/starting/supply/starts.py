"""Starting currents of motors against the breakers that see them, and the order to start in."""

from __future__ import annotations

from dataclasses import dataclass

from flatstock.starting.supply.states import states
from flatstock.workshop.currents import amps_per_phase, line_current, lines_of
from flatstock.workshop.supply import Load, Supply

__all__ = ["INSTANTANEOUS", "Start", "start_order", "starts"]

#: lowest instantaneous trip over rated current: IEC 60898-1 types, read (`breaker_types` in docs/sources.md);
#: a fuse has none: its own curve decides
INSTANTANEOUS = {"B": 3.0, "C": 5.0, "D": 10.0}
_USUAL_START = 7.0  # direct start, 5 to 8 times (`motor_starts`, read); where the plate says nothing
_STAR_DELTA = 1 / 3  # `motor_starts`, read


@dataclass(frozen=True, slots=True, kw_only=True)
class Start:
    """One motor's direct start, on top of everything that may run beside it."""

    load: str
    start: float  #: in each of its lines [A]
    peak: float  #: in the main device, on the line that then carries most [A]
    trips_from: float | None  #: lowest at which the main device may act at once [A]; None: a fuse
    own_trips_from: float | None  #: of its own device; None: a fuse, or not known
    star_delta: float | None  #: [A]; None: not three-phase
    assumed: bool  #: the start factor is a usual one, not the plate's

    @property
    def verdict(self) -> str:
        """`holds`, `may_trip`, or `unknown` where a fuse's curve has to say."""
        own = self.own_trips_from is not None and self.start >= self.own_trips_from
        if own or (self.trips_from is not None and self.peak >= self.trips_from):
            return "may_trip"
        return "unknown" if self.trips_from is None else "holds"


def starts(supply: Supply) -> list[Start]:
    """Every motor, by id."""
    found = []
    for load in sorted(supply.loads, key=lambda one: one.id):
        if load.control != "motor" and load.start_factor is None:
            continue
        start = line_current(load, supply) * (load.start_factor or _USUAL_START)
        found.append(Start(
            load=load.id,
            start=start,
            peak=_peak(load, start, supply),
            trips_from=_trips(supply.characteristic, supply.rated),
            own_trips_from=None if load.own_rated is None else _trips(load.own_characteristic, load.own_rated),
            star_delta=start * _STAR_DELTA if load.connection == "3P" else None,
            assumed=load.start_factor is None,
        ))  # fmt: skip
    return found


def start_order(supply: Supply) -> list[str]:
    """One after the other: motors, the largest start first; then what runs on; heaters last."""
    size = {one.load for one in starts(supply)}

    def place(load: Load) -> tuple[int, float, str]:
        return (0 if load.id in size else 2 if load.heats else 1, -load.power, load.id)

    return [one.id for one in sorted(supply.loads, key=place)]


def _trips(characteristic: str, rated: float) -> float | None:
    times = INSTANTANEOUS.get(characteristic)
    return None if times is None else times * rated


def _peak(load: Load, start: float, supply: Supply) -> float:
    """The start on top of the worst state in which this load may run at all [A]."""
    every = states(supply)
    runs = [state for state in every if state[load.id] > 0] or every
    others = [one for one in supply.loads if one is not load]
    amps = [amps_per_phase(one, supply) for one in others]
    on = lines_of(load, supply)
    return start + max(
        sum(state[one.id] * each[line] for one, each in zip(others, amps, strict=True))
        for state in runs
        for line in on
    )
