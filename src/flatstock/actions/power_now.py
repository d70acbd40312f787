"""Amperes on each line of the supply now, by what the board says is on, and whether the saw may start beside it.

The loads and the way they are added up are the week plan's own, so that a board and the chart under the plan agree.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from flatstock.planning.problem.supply_loads import Load, loads_of
from flatstock.running.view import Floor
from flatstock.workshop.shop import Workshop

__all__ = ["LINES", "PowerNow", "SawAnswer", "power_now", "power_reasons", "said_of_saw"]

Document = dict[str, Any]
LINES = ("L1", "L2", "L3")
HANDLING = frozenset({"load", "transfer"})  #: steps of minutes, which the board notes when they are over
SAW = "trim"
WORDS = {
    "always": "always",
    "heated": "a press is heated",
    "dwell": "a mould is in a hot press",
    "press_cool": "a mould is in a cooling press",
    "stack": "a mould stands in a stack",
    "rack": "a mould stands in a rack",
    "trim": "somebody saws",
    "load": "a mould is laid in",
    "transfer": "a mould is transferred",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class SawAnswer:
    """Whether the saw may start, added up as magnitudes."""

    may: bool
    dusty: bool  #: the extract is off: whatever is left of the supply, the saw's dust would stay in the room
    only_until_handling: bool  #: it may, but not while a mould is loaded or transferred
    over: tuple[str, ...]  #: lines that would draw more than the supply is rated for
    amps: tuple[float, ...]  #: on each line with the saw [A]
    needs: tuple[float, ...]  #: the saw and what runs with it, on each line [A]


@dataclass(frozen=True, slots=True, kw_only=True)
class PowerNow:
    """What is drawn now. Amperes, one for each line in use."""

    amps: tuple[float, ...]
    rated: float
    on: tuple[Load, ...]  #: loads that are on
    running: frozenset[str]  #: the steps that have them on
    saw: SawAnswer | None  #: None: nothing of the supply runs while somebody saws

    @property
    def most(self) -> int:
        """The line that is loaded most, counted from 0."""
        return max(range(len(self.amps)), key=lambda line: self.amps[line])

    @property
    def left(self) -> tuple[float, ...]:
        """Up to the rating, on each line [A]; negative: over."""
        return tuple(self.rated - one for one in self.amps)

    @property
    def tightest(self) -> int:
        """The line on which the saw leaves least, counted from 0; without a saw the one that is loaded most."""
        if self.saw is None:
            return self.most
        with_saw = self.saw.amps
        return max(range(len(with_saw)), key=lambda line: with_saw[line])


def power_now(floor: Floor, shop: Workshop) -> PowerNow | None:
    """By the loads of supply.toml and what stands where; None where no supply is on file.

    Lines that carry nothing at all are left out, so that a supply of one phase shows one. In a power cut everything
    is off but what nobody knows; then the answer is of no use, and the danger's words stand over it.
    """
    if shop.supply is None:
        return None
    loads = loads_of(shop)
    running = _running(floor)
    lines = shop.supply.lines
    saw = None
    if any(SAW in load.on_during for load in loads):
        alone, handled = (
            _sum(loads, running | {SAW}, lines),
            _sum(loads, running | {SAW} | HANDLING, lines),
        )
        before = _sum(loads, running, lines)
        limit = shop.supply.rated + 1e-6
        over = tuple(LINES[n] for n in range(lines) if alone[n] > limit)
        dusty = floor.extract.on is False
        saw = SawAnswer(
            may=not over and not dusty,
            dusty=dusty,
            only_until_handling=not over and any(one > limit for one in handled),
            over=over,
            amps=alone,
            needs=tuple(after - now for after, now in zip(alone, before, strict=True)),
        )
    return PowerNow(
        amps=_sum(loads, running, lines),
        rated=shop.supply.rated,
        on=tuple(load for load in loads if load.on_during & running),
        running=running,
        saw=saw,
    )


def _running(floor: Floor) -> frozenset[str]:
    """The steps of a plan that go on now, as far as the board knows."""
    found = {"always"}
    for place in floor.places:
        if place.heat is not None and place.heat.on:
            found.add("heated")
        if place.moulds:
            stay = {"hot_press": "dwell", "cooling_press": "press_cool"}.get(place.kind, place.kind)
            found.add(stay)
    return frozenset(found)


def _sum(loads: tuple[Load, ...], running: frozenset[str], lines: int) -> tuple[float, ...]:
    """A load counts once however many steps ask for it."""
    return tuple(sum(load.amps[n] for load in loads if load.on_during & running) for n in range(lines))


def power_reasons(power: PowerNow) -> Document:
    """A document with the amperes and a `why` of each."""
    inputs = [
        {
            "name": f"{load.id} on {LINES[line]}",
            "value": f"{load.amps[line]:.1f} A",
            "kind": "computed",
            "source": "supply.toml; on because "
            + ", ".join(sorted(WORDS.get(one, one) for one in load.on_during & power.running)),
        }
        for line in range(len(power.amps))
        for load in power.on
        if load.amps[line]
    ]
    why = [
        {
            "of": "amps_now",
            "title": "What each line draws now",
            "formula": "the loads that are on, each once, added up as magnitudes on each line",
            "source": "docs/supply.md",
            "note": "the board knows what is heated and what stands in the presses; what somebody plugs in besides, and"
            " the surge of a motor that starts, are not in it",
            "inputs": inputs,
        }
    ]
    document: Document = {
        "amps_now": " / ".join(f"{one:.1f}" for one in power.amps) + " A",
        "why": why,
    }
    if power.saw is not None:
        document["saw_may"] = " / ".join(f"{one:.1f}" for one in power.saw.amps) + " A with the saw"
        why.append(
            {
                "of": "saw_may",
                "title": "Whether the saw may start",
                "formula": "what is drawn now + what is on while somebody saws, on each line, at most what the supply"
                " is rated for; never while the extract is off",
                "source": "docs/supply.md",
                "note": "the main protective device may hold a while above its rating; that is no basis to work on."
                " What is wired is for the licensed electrician",
                "inputs": [
                    {"name": f"{LINES[n]}, the saw and its own", "value": f"{power.saw.needs[n]:.1f} A",
                     "kind": "computed", "source": "supply.toml"}
                    for n in range(len(power.amps))
                ]
                + [{"name": "rated", "value": f"{power.rated:g} A", "kind": "measured", "source": "supply.toml"}],
            }
        )  # fmt: skip
    return document


def said_of_saw(power: PowerNow | None) -> Mapping[str, str] | None:
    """The answer in words for the board; None where there is no supply or no saw on it."""
    if power is None or power.saw is None:
        return None
    saw = power.saw
    line = power.tightest
    name, left = LINES[line], power.left[line]
    if saw.dusty:
        return {"word": "keep the saw off", "why": "the extract is off: say first that it runs"}
    if not saw.may:
        return {
            "word": "keep the saw off",
            "why": f"with it {name} would draw {saw.amps[line]:.1f} A",
        }
    why = f"{left:.0f} A left on {name}, it takes {saw.needs[line]:.0f} A"
    if saw.only_until_handling:
        why += "; not while a mould is loaded or transferred"
    return {"word": "the saw may start", "why": why}
