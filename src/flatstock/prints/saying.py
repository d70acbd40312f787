"""How a shop writes numbers and times: comma or point, 24 hours or am and pm.

Answers are written with points and 24 hours; pages, papers and lines in a terminal say the same in the shop's own
way. Documents (JSON) stay as they are written.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Literal

from flatstock.prints.clock_face import ClockFace, twelve_hours, worded
from flatstock.prints.words import clock
from flatstock.times import weekday_clock

if TYPE_CHECKING:
    from flatstock.workshop.shop import Workshop

__all__ = ["PLAIN", "Saying", "saying_of"]

_DECIMAL = re.compile(r"(?<![\w.,:/-])(-?\d+)\.(\d+)(?![\w.]*\.\w|[A-Za-z_])")


@dataclass(frozen=True, slots=True)
class Saying:
    """The two habits of a shop."""

    decimal_mark: Literal["point", "comma"] = "point"
    clock_face: ClockFace = "24h"

    def words(self, text: object) -> str:
        """A number, or a sentence with numbers and times in it.

        >>> Saying("comma", "am_pm").words("11.74 kg at 13:05")
        '11,74 kg at 1:05 pm'
        >>> Saying("comma", "am_pm").words("not before 09:22: core 20 degC; noted 09:22:05")
        'not before 9:22 am: core 20 degC; noted 09:22:05'
        """
        said = str(text)
        if self.decimal_mark == "comma":
            said = _DECIMAL.sub(r"\1,\2", said)
        if self.clock_face == "am_pm":
            said = twelve_hours(said)
        return said

    def time(self, moment: datetime, beside: datetime | None = None) -> str:
        """Hour and minute, with the weekday where it is not the day of `beside`.

        >>> Saying("point", "am_pm").time(datetime(2026, 3, 2, 0, 5))
        '12:05 am'
        """
        return self.words(clock(moment, beside=beside))

    def day_time(self, moment: datetime) -> str:
        """Hour and minute with the weekday, whichever day it is.

        >>> Saying("point", "am_pm").day_time(datetime(2026, 3, 2, 0, 5))
        'Mon 12:05 am'
        """
        return self.words(weekday_clock(moment))

    def svg(self, drawing: str) -> str:
        """A drawing with its words said so."""
        return drawing if self == PLAIN else worded(drawing, self.words)


PLAIN = Saying()


def saying_of(shop: Workshop) -> Saying:
    """How a workshop says them (`decimal_mark` and `clock_face` of its shop.toml)."""
    return Saying(shop.decimal_mark, shop.clock_face)
