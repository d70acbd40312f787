"""Whether a frame gives the trimmed sheet that the shop sells, and which cavity would."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import ceil, floor
from typing import Literal

from flatstock.evidence import Value
from flatstock.flow.shrinkage import cavity_for, cold_length
from flatstock.workshop.shop import Frame, PracticeValues

__all__ = ["Side", "Trimming", "Verdict", "short_words"]

#: at every shrinkage of its band, at some, at none; None: no size sold is on file
Verdict = Literal["yes", "perhaps", "no"] | None
SLACK = 1e-5  #: m: finer than a cavity is measured


@dataclass(frozen=True, slots=True, kw_only=True)
class Side:
    """One side of a cavity and the trimmed length that is to come of it. Lengths [m]."""

    name: Literal["length", "width"]
    cavity: float
    wanted: float | None  #: None: no such size is on file
    trim: float  #: cut from each of its two ends
    shrinkage: Value

    @property
    def after_trim(self) -> Value:
        """What is left of the cold sheet when the least trim is off both ends; never under 0."""
        return self.shrinkage.mapped(lambda s: max(self._inside_the_trim(s), 0.0), unit="m", kind="computed")

    @property
    def needed(self) -> Value | None:
        """The cavity that the wanted length asks for."""
        wanted = self.wanted
        if wanted is None:
            return None
        return self.shrinkage.mapped(
            lambda s: cavity_for(trimmed=wanted, trim=self.trim, shrinkages=[s]), unit="m", kind="computed"
        )

    @property
    def spare(self) -> Value | None:
        """How much longer than wanted it is after trimming; below 0: too short."""
        wanted = self.wanted
        if wanted is None:
            return None
        return self.shrinkage.mapped(lambda s: self._inside_the_trim(s) - wanted, unit="m", kind="computed")

    def _inside_the_trim(self, shrinkage: float) -> float:
        return cold_length(cavity=self.cavity, shrinkage=shrinkage) - 2 * self.trim


@dataclass(frozen=True, eq=False, kw_only=True)
class Trimming:
    """A frame's cavity beside the size sold, with the shrinkage of one charge. Lengths [m]."""

    frame: Frame
    practice: PracticeValues
    shrinkage: Value  #: linear, a share of the cavity

    @cached_property
    def sides(self) -> tuple[Side, Side]:
        """Length and width of the cavity; the longer of the two is for the longer side sold, however it is written."""
        frame, practice = self.frame, self.practice
        length, width = practice.trimmed_length, practice.trimmed_width
        if length is not None and width is not None:
            longer = frame.cavity_length >= frame.cavity_width
            width, length = sorted((length, width), reverse=not longer)
        return self._side("length", frame.cavity_length, length), self._side(
            "width", frame.cavity_width, width
        )

    def _side(self, name: Literal["length", "width"], cavity: float, wanted: float | None) -> Side:
        return Side(
            name=name, cavity=cavity, wanted=wanted, trim=self.practice.trim, shrinkage=self.shrinkage
        )

    @property
    def spares(self) -> list[tuple[Side, Value]]:
        """The sides of which a size is on file, with what they have over."""
        return [(side, spare) for side in self.sides if (spare := side.spare) is not None]

    @property
    def sold(self) -> str:
        """The size sold, in words."""
        sides = " x ".join(
            "any" if side.wanted is None else f"{side.wanted * 1e3:.6g}" for side in self.sides
        )
        trim = self.practice.trim * 1e3
        return f"the trimmed sheet of {sides} mm with {trim:.4g} mm off each edge"

    @property
    def verdict(self) -> Verdict:
        """Whether the frame gives the trimmed sheet."""
        spares = [spare for _, spare in self.spares]
        if not spares:
            return None
        if all(spare.low >= -SLACK for spare in spares):
            return "yes"
        return "perhaps" if all(spare.high >= -SLACK for spare in spares) else "no"


def short_words(trimming: Trimming) -> str:
    """By how much which side is short or over at both ends of the shrinkage's band, and which cavity would do."""
    said = [
        f"{side.name} {_over(spare.high)} where it shrinks {100 * side.shrinkage.low:.3g} %,"
        f" {_over(spare.low)} where {100 * side.shrinkage.high:.3g} %"
        if not side.shrinkage.is_sure
        else f"{side.name} {_over(spare.value)}"
        for side, spare in trimming.spares
    ]
    needed = [side.needed for side in trimming.sides]
    cavity = " x ".join("any" if one is None else f"{ceil(one.high * 1e4 - 1e-3) / 10:.1f}" for one in needed)
    return f"{'; '.join(said)}. A cavity of {cavity} mm gives it whatever it shrinks in this band"


def _over(spare: float) -> str:
    millimetres = floor(spare * 1e4 + 1e-3) / 10  # never more than there is
    return f"{abs(millimetres):g} mm {'too short' if millimetres < 0 else 'over'}"
