"""The worst that can be on at once, phase by phase, and the verdict."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import acos, hypot, sqrt, tan
from typing import Literal, TypeVar

from flatstock.starting.supply.states import State, most_on_each_line, states
from flatstock.workshop.currents import HIGH_VOLTAGE, amps_per_phase, line_current, neutral, phasors
from flatstock.workshop.supply import Load, Supply, volts_of

__all__ = ["NEC_CONTINUOUS", "Verdict", "Worst", "counted", "fits", "look_at", "needed", "placed"]

Amps = TypeVar("Amps", float, complex)
Verdict = Literal["fits", "only_by_phase_angle", "over"]
#: NEC 210.20(A): what is on for three hours and more; read (`electrical_code` in docs/sources.md)
NEC_CONTINUOUS = 1.25
_SLACK = 1e-9  # [A] a sum that comes out at the rating is not over it


@dataclass(frozen=True, slots=True, kw_only=True)
class Worst:
    """What the supply has to carry in the state that loads a phase most. Amperes, one a line."""

    on: tuple[str, ...]
    arithmetic: tuple[float, ...]
    everything_on: tuple[float, ...]  #: with all loads on as far as interlocks let them; else as `arithmetic`
    phasor: tuple[float, ...]
    neutral: float
    high_phasor: tuple[float, ...]  #: heaters at the high end of the voltage
    high_arithmetic: tuple[float, ...]
    power: float  #: [W]
    most_power: float  #: largest of all states, which need not be the one that loads a phase most [W]
    reactive: float  #: [var]
    needed: tuple[float, ...]  #: what is held against the rating: largest of each line over all states
    verdict: Verdict

    @property
    def apparent(self) -> float:
        """[VA]"""
        return hypot(self.power, self.reactive)

    def over(self, rated: float) -> dict[int, float]:
        """Lines that are over the rating, from 1, and by how many amperes."""
        return {n: amps - rated for n, amps in enumerate(self.needed, 1) if amps > rated + _SLACK}


def counted(load: Load, supply: Supply) -> float:
    """The factor with which a load's current is held against the rating."""
    return NEC_CONTINUOUS if supply.rule == "NEC" and load.continuous else 1.0


def placed(supply: Supply, phases: Mapping[str, int]) -> Supply:
    """The same supply with these loads on these phases."""
    loads = (replace(one, phase=phases[one.id]) if one.id in phases else one for one in supply.loads)
    return replace(supply, loads=tuple(loads))


def needed(supply: Supply) -> tuple[float, ...]:
    """What is held against the rating, line by line [A]: as `Worst.needed`, without all the rest."""
    amps = [amps_per_phase(load, supply, share=counted(load, supply)) for load in supply.loads]
    return most_on_each_line(supply, amps) if amps else (0.0,) * supply.lines


def fits(supply: Supply) -> bool:
    """True where no line is over the rating in any state."""
    return max(needed(supply)) <= supply.rated + _SLACK


def look_at(supply: Supply) -> Worst:
    """The worst state of a supply whose every load has its phase; magnitudes added decide."""
    every = states(supply)
    # each load's part of every line once, as currents are in proportion to shares: there may be many states
    alone = [(load.id, counted(load, supply)) for load in supply.loads]
    amps = [amps_per_phase(load, supply, share=of) for load, (_, of) in zip(supply.loads, alone, strict=True)]
    sums = [_added(amps, state, alone, supply.lines, 0.0) for state in every]
    at = max(range(len(every)), key=lambda i: (max(sums[i]), sum(sums[i])))
    whole = next((s for s in every if all(share > 0 for share in s.values())), every[at])
    state = every[at]
    needed = tuple(max(one[line] for one in sums) for line in range(supply.lines))
    turned = [phasors(load, supply, share=of) for load, (_, of) in zip(supply.loads, alone, strict=True)]
    most = max(max(map(abs, _added(turned, one, alone, supply.lines, 0j))) for one in every)
    watts = [real_power(load, supply) for load in supply.loads]
    return Worst(
        on=tuple(name for name, share in state.items() if share > 0),
        arithmetic=_magnitudes(supply, state),
        everything_on=_magnitudes(supply, whole),
        phasor=_by_phasor(supply, state),
        neutral=neutral(_phasors(supply, state)),
        high_phasor=_by_phasor(supply, state, heaters=HIGH_VOLTAGE),
        high_arithmetic=_magnitudes(supply, state, heaters=HIGH_VOLTAGE),
        power=_power(supply, state),
        most_power=max(
            sum(one[name] * power for (name, _), power in zip(alone, watts, strict=True)) for one in every
        ),
        reactive=sum(
            share * real_power(load, supply) * tan(acos(load.power_factor))
            for load, share in _with_shares(supply, state)
        ),
        needed=needed,
        verdict=_verdict(supply, max(needed), most),
    )


def _added(
    parts: Sequence[tuple[Amps, ...]],
    state: State,
    loads: Sequence[tuple[str, float]],
    lines: int,
    zero: Amps,
) -> tuple[Amps, ...]:
    """Each load's part at full share, times its share, added up line by line."""
    shares = [state[name] for name, _ in loads]
    return tuple(
        sum((share * part[line] for share, part in zip(shares, parts, strict=True)), zero)
        for line in range(lines)
    )


def _power(supply: Supply, state: State) -> float:
    return sum(share * real_power(load, supply) for load, share in _with_shares(supply, state))


def real_power(load: Load, supply: Supply) -> float:
    """[W]; from the current where that was measured."""
    if load.current is None:
        return load.power
    volts = volts_of(load.connection, supply) * (sqrt(3) if load.connection == "3P" else 1.0)
    return line_current(load, supply) * volts * load.power_factor


def _verdict(supply: Supply, most: float, most_by_phasor: float) -> Verdict:
    if most <= supply.rated + _SLACK:
        return "fits"
    return "only_by_phase_angle" if most_by_phasor <= supply.rated + _SLACK else "over"


def _with_shares(supply: Supply, state: State) -> list[tuple[Load, float]]:
    return [(load, state[load.id]) for load in supply.loads]


def _magnitudes(
    supply: Supply, state: State, *, heaters: float = 1.0, counting: bool = False
) -> tuple[float, ...]:
    total = [0.0] * supply.lines
    for load, share in _with_shares(supply, state):
        factor = share * (counted(load, supply) if counting else 1.0) * (heaters if load.heats else 1.0)
        for line, amps in enumerate(amps_per_phase(load, supply, share=factor)):
            total[line] += amps
    return tuple(total)


def _phasors(
    supply: Supply, state: State, *, heaters: float = 1.0, counting: bool = False
) -> list[tuple[complex, ...]]:
    return [
        phasors(
            load, supply, share=share * (counted(load, supply) if counting else 1.0), heaters=heaters
        )
        for load, share in _with_shares(supply, state)
    ]  # fmt: skip


def _by_phasor(
    supply: Supply, state: State, *, heaters: float = 1.0, counting: bool = False
) -> tuple[float, ...]:
    on = _phasors(supply, state, heaters=heaters, counting=counting)
    return tuple(abs(sum((one[line] for one in on), 0j)) for line in range(supply.lines))
