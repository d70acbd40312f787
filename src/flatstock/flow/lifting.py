"""What a mould weighs, and who may lift it.

Arithmetic for planning, not a manual-handling assessment: heat, height, reach, grip and the way to
go lower every figure here. Defer to the local rules and to the assessment of the place.
"""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum

from flatstock.errors import OutOfRange
from flatstock.flow.ranges import not_negative, positive

__all__ = ["Handling", "handling", "mould_mass", "team_lift"]

#: Share of the sum of what each may lift alone, by number of people: about two thirds for two,
#: half for three. L23, Manual handling, paragraph on team handling, as quoted in a published copy.
TEAM_SHARE = {1: 1.0, 2: 2 / 3, 3: 1 / 2}


def mould_mass(*, frame: float, skin: float, charge: float = 0.0) -> float:
    """Mass of a mould set [kg]: `frame`, two skins of `skin` each, and the `charge` in it [kg].

    >>> round(mould_mass(frame=24.5, skin=19.9, charge=17.6))
    82
    """
    not_negative(frame=frame, skin=skin, charge=charge)
    return frame + 2 * skin + charge


def team_lift(*, alone: Sequence[float]) -> float:
    """What one, two or three people may lift together [kg]; `alone` is what each may lift alone [kg].

    Raises
    ------
    OutOfRange
        Nobody, or more than three people: the source gives no figure; use a lifting aid.

    Source
    ------
    `TEAM_SHARE`. The guidance's example: 20 kg each, about 26.6 kg for two.

    >>> round(team_lift(alone=[25.0, 16.0]), 1)
    27.3
    """
    positive(**{f"person {i}": one for i, one in enumerate(alone, start=1)})
    try:
        return TEAM_SHARE[len(alone)] * sum(alone)
    except KeyError:
        raise OutOfRange(
            f"{len(alone)} people: the team rule is known for one to three; use a lifting aid."
        ) from None


class Handling(Enum):
    """How a mould may be moved."""

    LIFT_ALONE = "one person may lift it"
    LIFT_TOGETHER = "only together"
    NEVER_LIFT = "never by hand: slide at one height, or use a lifting aid"


def handling(mass: float, *, alone: Sequence[float]) -> Handling:
    """How a mould of `mass` [kg] may be moved by the one to three people there; cold, and gripped well.

    A hot mould is slid whatever it weighs.

    >>> handling(82.0, alone=[25.0, 25.0]).name
    'NEVER_LIFT'
    """
    positive(mass=mass)
    together = team_lift(alone=alone)
    if mass <= min(alone):
        return Handling.LIFT_ALONE
    return Handling.LIFT_TOGETHER if len(alone) > 1 and mass <= together else Handling.NEVER_LIFT
