"""What a press card says of its frame: whether it gives the size sold, and when the melt has filled it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import ceil, floor
from typing import Any

from flatstock.prints.numbers import Number, number, plain
from flatstock.prints.shown import Shown

__all__ = ["GIVES", "Filled", "FrameWords", "spare_words"]

Document = Mapping[str, Any]
SHORT = 120.0  #: s up to which a time is told in seconds
SIDES = ("length", "width")
HALF = 50.0  #: %, of which a card tells beside the heap as it is laid
GIVES = {"yes": "given", "perhaps": "not sure", "no": "not given"}
UNKNOWN = "When the melt has filled the frame is not known, without its viscosity: Take note says what to write where."


@dataclass(frozen=True, slots=True)
class Filled:
    """A line of what is said of filling the frame."""

    of: str  #: the field that it is about
    title: str
    said: str
    verdict: str = ""


@dataclass(frozen=True, slots=True)
class FrameWords:
    """The fields of a `flatstock.card/1` about its frame, in words; empty where an older card lacks them."""

    card: Document
    shown: Shown

    @property
    def trimmed(self) -> tuple[str, str] | None:
        """A name and what is left after trimming: whether that is the size sold, and by how much."""
        card, shown = self.card, self.shown
        if "gives_trimmed" not in card:
            return None
        verdict = card["gives_trimmed"]
        if verdict is None:
            long, wide = (card[f"after_trim_{side}_mm"] for side in SIDES)
            return "after trimming", f"{shown.band(long, 'mm', 0, bare=True)} × {shown.band(wide, 'mm', 0)}"
        sold = [card[f"trimmed_{side}_mm"] for side in SIDES]
        size = shown.sizes(*sold) if None not in sold else shown.size(next(one for one in sold if one))
        spares = [
            f"{side} {spare_words(card[f'spare_{side}_mm'], shown)}"
            for side in SIDES
            if card[f"spare_{side}_mm"] is not None
        ]
        needed = f"; a cavity of {self.needed} surely does" if verdict != "yes" else ""
        said = {"yes": "given", "perhaps": "not sure", "no": "NOT GIVEN"}[verdict]
        return f"trimmed {size}", f"{said}: {', '.join(spares)}{needed}"

    @property
    def needed(self) -> str:
        """The cavity that gives the size sold at every shrinkage of the band."""
        sides = [number(self.card[f"cavity_needed_{side}_mm"]).late for side in SIDES]
        digits = [
            "any" if one is None else self.shown.digits(ceil(one * 10 - 1e-3) / 10, "mm", 1) for one in sides
        ]
        return f"{' × '.join(digits)} {self.shown.unit('mm')}"

    @property
    def spreading(self) -> list[str]:
        """Sentences on how the melt comes to the frame, the one that counts first."""
        card = self.card
        if card.get("spread_contact_s") is None:
            return [UNKNOWN] if "spread_contact_s" in card else []
        first = self._when()
        if number(card["spread_contact_s"]).late:
            covers = plain(number(card["heap_covers_percent"]).value, 0)
            first += (
                f" a heap over {covers} % of the cavity, melted through, is at the frame all round in"
                f" {lapse(card['spread_contact_s'])} at contact pressure, {lapse(card['spread_full_s'])} at full."
            )
        else:
            first += " it is at the frame all round as soon as it has melted through."
        half = lapse(card["spread_half_contact_s"]), lapse(card["spread_half_full_s"])
        found = [first]
        if number(card["heap_covers_percent"]).value != HALF:
            found.append(f"Heaped over half of it: {half[0]} and {half[1]}.")
        force, full = (number(card.get(name)).value for name in ("spread_force_kN", "full_force_kN"))
        if force:
            found.append(
                f"Full pressure is {self.shown.one(full, 'kN', 0)}; {self._force(force)} would spread it in the time of"
                " full pressure alone."
            )
        return found

    @property
    def filling(self) -> list[Filled]:
        """How the melt comes to the frame, line by line; empty where an older card lacks it."""
        card, shown = self.card, self.shown
        if "spread_contact_s" not in card:
            return []
        covers = f"{shown.band(card['heap_covers_percent'], '%', 0)} of the cavity"
        rows = [Filled("heap_covers_percent", "The heap covers", covers)]
        if card["spread_contact_s"] is None:
            rows.append(Filled("spread_contact_s", "Full all round", UNKNOWN))
        else:
            said = "as soon as it has melted through"
            if number(card["spread_contact_s"]).late:
                said = (
                    f"{lapse(card['spread_contact_s'])} after melting through at contact pressure,"
                    f" {lapse(card['spread_full_s'])} at full"
                )
            rows += [
                Filled("spread_contact_s", "Full all round", said),
                Filled(
                    "full_pressure_from_min",
                    "Full pressure",
                    self._when().rstrip(":")[len("Full pressure ") :],
                ),
            ]
        return [*rows, *self._forces(), *self._gauges()]

    def _forces(self) -> list[Filled]:
        """Whether the force of full pressure spreads the melt in its time."""
        card = self.card
        full = f"full pressure is {self.shown.band(card['full_force_kN'], 'kN', 0)}"
        if card["spread_contact_s"] is None:
            return [Filled("full_force_kN", "Force", full)]
        force = number(card["spread_force_kN"]).late
        would = f"; {self._force(force)} would surely spread it in its time alone" if force else ""
        enough = "not surely enough" if card["spread_by"] == "short" else "enough"
        return [Filled("spread_force_kN", "Force", f"{full}{would}", enough)]

    def _gauges(self) -> list[Filled]:
        """What the gauge of the hot press must read."""
        advised = number(self.card["dwell_advised_min"]).value
        hot = [
            (step["pressure_MPa"], step["gauge_bar"])
            for step in self.card["steps"]
            if (at := number(step["at_min"]).value) is not None and advised is not None and at <= advised
        ]
        readings = [reading for pressure, reading in hot if pressure]
        if not readings:
            return []
        if None in readings:
            said = f"no reading: the bore of {self.card['press']} is not on file (piston_diameter_mm)"
            return [Filled("steps.gauge_bar", "Gauge", said)]
        contact, full = (self.shown.one(reading, "bar", 0) for reading in (readings[0], readings[-1]))
        return [
            Filled("steps.gauge_bar", "Gauge", f"must read {full} at full pressure, {contact} at contact")
        ]

    @property
    def start(self) -> str:
        """The same in short, for a paper that hangs at the press."""
        if self.card.get("spread_contact_s") is None:
            return UNKNOWN if "spread_contact_s" in self.card else ""
        said = self._when().rstrip(":")
        return (
            f"{said}: the melt is at the frame then." if self.card["spread_by"] == "contact" else f"{said}."
        )

    def _when(self) -> str:
        """When full pressure may go on, or that it goes on before the melt is where it should be."""
        start, by = number(self.card["full_pressure_from_min"]).late, self.card["spread_by"]
        if by == "contact" and start is not None:
            return f"Full pressure may go on from {ceil(start * 10 - 1e-6) / 10:g} min:"
        if by == "full":
            return "Full pressure goes on while the melt still spreads, and ends that:"
        return "Full pressure goes on while the melt still spreads, and may not end that:"

    def _force(self, force: float) -> str:
        return self.shown.one(force, "kN", 0 if force >= 9.95 or self.shown.us else 1)


def spare_words(field: object, shown: Shown) -> str:
    """What a side has over or is short of, at both ends of its band, to a tenth of a millimetre.

    On the side that does not promise more than there is.

    >>> spare_words({"value": 2.5, "low": -1.25, "high": 5.0}, Shown()), spare_words(2.5, Shown())
    ('1.3 mm short to 5 mm over', '2.5 mm over')
    >>> spare_words({"value": 2.5, "low": 1.5, "high": 5.0}, Shown())
    '1.5 to 5 mm over'
    """
    read = number(field)
    ends = [read.low, read.high] if read.has_band else [read.value]
    tenths = [floor(end * 10 + 1e-3) / 10 for end in ends if end is not None]
    sides = ["short" if one < 0 else "over" for one in tenths]
    if len(set(sides)) > 1:
        said = (shown.one(abs(one), "mm", 1) for one in tenths)
        return " to ".join(f"{one} {side}" for one, side in zip(said, sides, strict=True))
    near, *far = sorted(set(tenths), key=abs)
    first = f"{shown.digits(abs(near), 'mm', 1)} to " if far else ""
    return f"{first}{shown.one(abs(far[-1] if far else near), 'mm', 1)} {sides[0]}"


def lapse(field: object) -> str:
    """A short time with its band, in seconds, or in minutes where it is long.

    >>> lapse({"value": 4.58, "low": 3.71, "high": 7.27}), lapse(0.4), lapse({"value": 90, "low": 60, "high": 150})
    ('5 s (4 to 7)', 'less than 1 s', '1.5 min (1.0 to 2.5)')
    """
    read: Number = number(field)
    if read.value is None or read.late is None:
        return "an unknown time"
    if read.late < 1.0:
        return "less than 1 s"
    factor, unit, decimals = (1.0, "s", 0) if read.late <= SHORT else (1 / 60, "min", 1)
    said = plain(read.value * factor, decimals)
    if not read.has_band or read.low is None:
        return f"{said} {unit}"
    low, high = (f"{end * factor:.{decimals}f}" for end in (read.low, read.late))
    return f"{said} {unit}" if low == high else f"{said} {unit} ({low} to {high})"
