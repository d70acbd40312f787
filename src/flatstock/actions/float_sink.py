"""What a flake can be after it floated or sank, and what to try next, for a workshop's own list of plastics."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from flatstock.errors import Fault, OutOfRange, WrongWords
from flatstock.intake.floating import Candidate, Seen, Split, candidates, possible, split_best
from flatstock.intake.liquids import WATER, Liquid, mixture_for
from flatstock.plastics.safety import check_pressable
from flatstock.pressing.setting import plastics_of
from flatstock.workshop.shop import Workshop

__all__ = ["WATER", "Candidate", "FloatAnswer", "Liquid", "Seen", "Split", "look_at_floating", "ready_liquid"]


@dataclass(frozen=True, slots=True, kw_only=True)
class FloatAnswer:
    """What is left, what is ruled out, and the liquid that splits the rest best."""

    seen: tuple[Seen, ...]
    left: tuple[Candidate, ...]
    out: tuple[Candidate, ...]
    best: Split | None  #: None: density tells no further
    never: frozenset[str]  #: of all of them, what may not be pressed here
    unknown: frozenset[str]  #: of the others, what no card can be made for: data are missing

    def rules_out(self, plastic: str) -> bool:
        """Whether a plastic is known here, and what was seen leaves it out."""
        return any(one.id == plastic for one in self.out)

    @property
    def every(self) -> tuple[Candidate, ...]:
        """Left or not, the lightest first."""
        return tuple(sorted((*self.left, *self.out), key=lambda one: (one.low, one.high, one.id)))


def look_at_floating(shop: Workshop, seen: Sequence[Seen]) -> FloatAnswer:
    """The plastics of the library, the shop's own and the usual strangers, against what was seen."""
    known = plastics_of(shop)
    every = candidates(known)
    left = possible(seen, every)
    never = frozenset(
        one.id
        for one in every
        if check_pressable(known.get(one.id), None, None, None, name=one.name or one.id)
    )
    without_card = {one for one, plastic in known.items() if plastic.process is None or plastic.missing}
    return FloatAnswer(
        seen=tuple(seen),
        left=left,
        out=tuple(one for one in every if one not in left),
        best=split_best(left),
        never=never,
        unknown=frozenset(one.id for one in every if one.id not in known or one.id in without_card) - never,
    )


def ready_liquid(density: float) -> Liquid:
    """Water, or what to mix for a density [kg/m3]. Raises `WrongWords` where nothing here makes it."""
    if abs(density - WATER) < 0.05:
        return Liquid(name="water", density=WATER)
    try:
        return mixture_for(density)
    except OutOfRange as error:
        fault = Fault("liquid", str(error).rstrip("."), "name a density between 0.867 and 1.197 g/cm3")
        raise WrongWords(fault) from None
