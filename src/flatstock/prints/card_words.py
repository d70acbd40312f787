"""What the screen and the paper say of a press card in the same way, in the shop's units."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from flatstock.prints.frame_words import FrameWords
from flatstock.prints.numbers import (
    dwell_and_latest,
    minutes_at_most,
    minutes_not_before,
    not_before,
    number,
    plain,
)
from flatstock.prints.shown import Shown
from flatstock.prints.words import people_of, plastic_name
from flatstock.units import System

__all__ = ["CardWords", "Cooled", "Step", "Weighed"]

Document = Mapping[str, Any]
_ORDINALS = ("first mould", "second in a row", "third in a row")
_FIRST = "first mould of the day"  #: in the words of the step that opens the cooling press
_SAME = 0.02  # min: documents carry six figures
_NEAR = 10.0  # min: a step this soon before the next is told to a tenth


@dataclass(frozen=True, slots=True)
class Weighed:
    """A line of the weigh list; `mass` without its unit."""

    lot: str
    mass: str
    tolerance: str
    also: str  #: the same in kilograms where the scale counts in them and the shop reads pounds


@dataclass(frozen=True, slots=True)
class Step:
    """A step as it is read at the press."""

    at: str
    do: str
    pressure: str
    gauge: str
    people: str


@dataclass(frozen=True, slots=True)
class Cooled:
    """How long a mould stays in the cooling press; `minutes` None: not cool enough before the next."""

    which: str
    minutes: str | None
    expected: str


class CardWords:
    """A `flatstock.card/1` in words."""

    def __init__(self, card: Document, system: System) -> None:
        self.card = card
        self.shown = Shown(system, scale_step=card.get("scale_step_kg"))

    @property
    def sheet(self) -> str:
        """Plastic and thickness: "HDPE 12 mm"."""
        return f"{plastic_name(self.card['plastic'])} {self.shown.size(self.card['thickness_mm'])}"

    @property
    def cavity(self) -> str:
        """Length by width of the cavity."""
        return self.shown.sizes(self.card["cavity_length_mm"], self.card["cavity_width_mm"])

    @cached_property
    def clock(self) -> tuple[str, str | None]:
        """The advised dwell and the latest one, in minutes; None where the face bears any dwell.

        See `dwell_and_latest`.
        """
        return dwell_and_latest(self.card)

    @property
    def latest(self) -> str:
        """The line that says when the mould has to be out."""
        late = self.clock[1]
        if late is None:
            return "the face bears more than 4 h"
        expected = plain(number(self.card["dwell_latest_min"]).value, 0)
        if self.card.get("latest_by_practice"):
            least = minutes_at_most(self.card["dwell_latest_min"])
            return f"{late} min, by practice; faces are only assumed to bear {least} ({expected} expected)"
        advised = number(self.card["dwell_advised_min"]).value
        sooner = advised is not None and advised > (number(self.card["dwell_latest_min"]).early or 0.0)
        return f"{late} min ({expected} expected)" + ", sooner than the dwell: see Take note" * sooner

    @cached_property
    def weigh_unit(self) -> tuple[str, float, int]:
        """Unit of the weigh list, how many in a kilogram, decimals."""
        return self.shown.scale_of(self.card["charge_kg"])

    def _weighed(self, mass: float) -> str:
        """A mass of the weigh list, without the unit that heads it."""
        _, factor, decimals = self.weigh_unit
        return self.shown.mass_parts(mass)[0] if self.shown.in_ounces else plain(mass * factor, decimals)

    def kilograms(self, mass: float) -> str:
        """The same as a scale in kilograms shows it; empty unless the shop reads pounds from such a scale."""
        metric = Shown(scale_step=self.shown.scale_step)
        return metric.mass(mass) if self.shown.two_scales else ""

    @property
    def weigh(self) -> list[Weighed]:
        """The weigh list, with its sum where it has several lines."""
        rows = [
            Weighed(
                str(row["lot"] or "any released lot"),
                self._weighed(row["mass_kg"]),
                f"± {self._tolerance(row['tolerance_kg'])}",
                self.kilograms(row["mass_kg"]),
            )
            for row in self.card["weigh"]
        ]
        whole = number(self.card["charge_kg"]).value
        if len(rows) > 1 and whole is not None:
            rows.append(Weighed("together", self._weighed(whole), "", self.kilograms(whole)))
        return rows

    def _tolerance(self, mass: float) -> str:
        """In the unit of the list; with a unit of its own where it would read as nothing."""
        _, factor, decimals = self.weigh_unit
        said = plain(mass * factor, decimals)
        if not float(said) and mass:
            return self.shown.mass(mass)
        return f"{said} oz" if self.shown.in_ounces else said  # the list has pounds and ounces

    @property
    def tolerance_note(self) -> str:
        """The scale's step, and what the tolerance means in the sheet."""
        said = f"Scale step {self.shown.step()}."
        means = self.card.get("thickness_tolerance_mm")
        if means and self.card["weigh"]:
            most = self._tolerance(max(row["tolerance_kg"] for row in self.card["weigh"]))
            unit = f" {self.weigh_unit[0]}" if most.replace(".", "").isdigit() else ""
            said += f" ± {most}{unit} is ± {self._fine(means)} of sheet."
        return said

    def _fine(self, millimetres: float) -> str:
        """A small length to a hundredth of a millimetre, or said to be less."""
        said = self.shown.one(millimetres, "mm", 2)
        return said if float(said.split()[0]) else f"less than {self.shown.one(0.03, 'mm', 2)}"

    @property
    def heap_note(self) -> str:
        """How high the loose heap stands."""
        card, shown = self.card, self.shown
        opening = f" of {shown.one(card['daylight_mm'], 'mm', 0)} daylight" if card.get("daylight_mm") else ""
        return f"Heap {shown.band(card['heap_mm'], 'mm', 0)}{opening}."

    @property
    def level_note(self) -> str:
        """How high the melt stands."""
        card, shown = self.card, self.shown
        return (
            f"Molten, the net charge stands at {shown.band(card['hot_level_mm'], 'mm')},"
            f" {shown.band(card['proud_mm'], 'mm')} over the frame;"
            f" the whole charge at {shown.band(card['hot_level_charge_mm'], 'mm')}."
        )

    @cached_property
    def times(self) -> list[str]:
        """When each step is due, agreeing with the dwell and the cooling time said elsewhere on the card.

        The transfer stands at the advised dwell as it is said; what comes before is moved with it and told
        to a tenth where less than ten minutes lie before the next step; what comes after is rounded up.
        """
        card, said = self.card, self.clock[0]
        advised = number(card["dwell_advised_min"]).value
        at = [number(step["at_min"]) for step in card["steps"]]
        cooled = number(card["press_cool_min"][0]).late if card["press_cool_min"] else None
        times: list[str] = []
        for i, one in enumerate(at):
            before = at[i - 1].value if i else None
            if one.value is None:
                times.append("")
            elif advised is not None and abs(one.value - advised) < _SAME:
                times.append(said)
            elif advised is not None and 0 < one.value < advised:
                moved = one.value + float(said) - advised
                following = next((later.value for later in at[i + 1 :] if later.value is not None), None)
                near = following is not None and following - one.value < _NEAR
                times.append(plain(moved) if near else not_before(moved))
            elif cooled is not None and before is not None and abs(one.value - before - cooled) < _SAME:
                times.append(plain(float(times[i - 1]) + float(not_before(cooled))))
            else:
                times.append(not_before(one.value))
        return times

    @property
    def of_frame(self) -> FrameWords:
        """Whether the frame gives the size sold, and when the melt has filled it."""
        return FrameWords(self.card, self.shown)

    @property
    def steps(self) -> list[Step]:
        """Every step with its time, pressure and people."""
        shown, made = self.shown, []
        for step, when in zip(self.card["steps"], self.times, strict=True):
            at = number(step["at_min"])
            band = f" ({plain(at.low)} to {plain(at.high)} min)" if at.has_band else ""
            pressure, gauge = step["pressure_MPa"], step["gauge_bar"]
            made.append(
                Step(
                    at=when,
                    do=shown.prose(f"{step['do']}{band}"),
                    pressure="" if pressure is None else shown.one(pressure, "MPa", 2 if pressure else 0),
                    gauge="" if gauge is None else shown.one(gauge, "bar", 0),
                    people=people_of(step["people"]),
                )
            )
        return made

    def steps_of(self, mould: int) -> list[Step]:
        """The same where it is the second or third in a row: the cooling press is opened as late as that one needs."""
        made, cooled = self.steps, self.cooled
        if mould == 1 or not cooled:
            return made
        mine = cooled[mould - 1]
        at = next((n for n, one in enumerate(self.card["steps"]) if _FIRST in one["do"]), 0)
        if not at:
            return made
        if mine.minutes is None:
            step = replace(made[at], at="", do=f"{mine.which}: {mine.expected}; leave it closed")
        else:
            opened = plain(float(made[at - 1].at) + float(mine.minutes))  # counted from when it is clamped
            step = replace(made[at], at=opened, do=made[at].do.replace(_FIRST, mine.which))
        return [*made[:at], step, *made[at + 1 :]]

    @property
    def no_press(self) -> bool:
        """Whether the document says that the shop has no cooling press."""
        return "cooling_press" in self.card and self.card["cooling_press"] is None

    @property
    def cooled(self) -> Sequence[Cooled]:
        """The first, second and third mould in a row."""
        if self.no_press:
            return ()
        found = []
        for which, one in zip(_ORDINALS, self.card["press_cool_min"], strict=True):
            minutes = minutes_not_before(one)
            said = "not cool enough before the next one arrives"
            found.append(Cooled(which, minutes, said if minutes is None else self.shown.band(one, "min")))
        return found

    @property
    def fans(self) -> str:
        """Whether fans blow, after a comma."""
        return {True: ", fans on", False: ", fans off", None: ""}[self.card.get("fans_on")]

    def degrees(self, name: str) -> str:
        """A temperature of the card without a band."""
        return self.shown.one(self.card[name], "C")
