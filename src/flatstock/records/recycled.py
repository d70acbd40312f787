"""How recycled a sheet is, by mass, with the rule that says so."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from sqlalchemy import Connection, func, select

from flatstock.records.tables.stock import lot, weighing, withdrawn

__all__ = ["RULE", "Content", "Origin", "class_of", "content_of", "content_of_sheet"]

Origin = Literal["post_consumer", "pre_consumer", "own_regrind", "virgin", "unknown"]

#: ISO 14021 as two dictionaries cite it: scrap that the process which made it takes back is not recycled content
RULE = (
    "ISO 14021 (read at second hand): recycled content is post-consumer and bought-in pre-consumer material as a share"
    " of the whole mass; own regrind counts as nothing. The second figure leaves own regrind out on both sides: what"
    " the sheet was made from, not a declaration. Material of unknown origin counts as not recycled."
)

#: the origins that a lot may have, by class; what industry sends was never with a consumer
_CLASSES: Mapping[str, Origin] = {
    "packaging": "post_consumer",
    "crates": "post_consumer",
    "household": "post_consumer",
    "building": "post_consumer",
    "vehicle": "post_consumer",
    "electrical": "post_consumer",
    "industry": "pre_consumer",
    "own_regrind": "own_regrind",
    "virgin": "virgin",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Content:
    """Masses by class [kg]."""

    masses: Mapping[Origin, float]

    @property
    def declared(self) -> float | None:
        """Post- and pre-consumer share of the whole; None where nothing was weighed."""
        return self._share(self._total)

    @property
    def without_regrind(self) -> float | None:
        """The same with own regrind left out on both sides; None where nothing else was weighed."""
        return self._share(self._total - self.masses.get("own_regrind", 0.0))

    @property
    def _total(self) -> float:
        return sum(self.masses.values())

    def _share(self, of: float) -> float | None:
        recycled = self.masses.get("post_consumer", 0.0) + self.masses.get("pre_consumer", 0.0)
        return recycled / of if of > 0 else None


def class_of(origin: str) -> Origin:
    """The class of a lot's origin; unknown for what is not on the list."""
    return _CLASSES.get(origin, "unknown")


def content_of(charge: Mapping[str, float]) -> Content:
    """Masses [kg] by a lot's origin, as they are by class.

    >>> blue = content_of({"crates": 15.80, "own_regrind": 1.00, "virgin": 0.80})
    >>> round(blue.declared, 3), round(blue.without_regrind, 3)
    (0.898, 0.952)
    """
    masses: dict[Origin, float] = {}
    for origin, mass in charge.items():
        masses[class_of(origin)] = masses.get(class_of(origin), 0.0) + mass
    return Content(masses=masses)


def content_of_sheet(db: Connection, sheet: str) -> Content:
    """Of what was weighed for one sheet, corrected weighings as corrected."""
    back = select(withdrawn.c.event).where(withdrawn.c.event == weighing.c.event).exists()
    query = (
        select(lot.c.origin, func.sum(weighing.c.actual_kg).label("mass"))
        .join(weighing, weighing.c.lot == lot.c.id)
        .where(weighing.c.sheet == sheet, ~back)
        .group_by(lot.c.origin)
    )
    return content_of({row.origin: row.mass for row in db.execute(query)})
