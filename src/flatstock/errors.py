"""What can go wrong, and the only kinds of error that a person is shown.

::

    UserError            a person can put it right; carries one `Fault` for each thing that is wrong
    ├── Refused          the question was understood and the answer is no (exit code 1)
    │   ├── NotNow       nothing is wrong with it; it can't be kept now: the disk is full, the folder read-only
    │   └── NoSuchNumber a number of it is none that any workshop could ask with: no sheets, 900 °C (exit code 2)
    └── WrongWords       the words of the call are wrong (exit code 2)
    OutOfRange           a number given to the engine lies outside what its formula holds for
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

__all__ = ["Fault", "NoSuchNumber", "NotNow", "OutOfRange", "Refused", "UserError", "WrongWords"]


@dataclass(frozen=True, slots=True, order=True)
class Fault:
    """One thing that is wrong, in one clear sentence each."""

    where: str  #: file, line and field ("shop.toml line 12, frames.F12-1.thickness_mm"), or an option
    what: str  #: what is wrong, with its numbers
    instead: str  #: what would be right

    def sentence(self) -> str:
        """The fault as it is shown to a person.

        >>> Fault(where="--thickness", what="'12' has no unit", instead="write 12mm or 1/2in").sentence()
        "--thickness: '12' has no unit; write 12mm or 1/2in."
        >>> Fault(where="mass", what="54 kg: a slip of the decimal sign?", instead="weigh it again").sentence()
        'mass: 54 kg: a slip of the decimal sign? Weigh it again.'
        """
        start = f"{self.where}: " if self.where else ""
        end = f"; {self.instead}" if self.instead else ""
        if self.instead and self.what.endswith("?"):  # a question ends its own sentence
            end = f" {self.instead[0].upper()}{self.instead[1:]}"
        return f"{start}{self.what}{end}".rstrip(".") + "."


class UserError(Exception):
    """Something a person can put right; shown as one sentence a fault, never as a traceback."""

    exit_code = 1

    def __init__(self, faults: Iterable[Fault] | Fault | str) -> None:
        if isinstance(faults, str):
            faults = Fault(where="", what=faults, instead="")
        self.faults: tuple[Fault, ...] = (faults,) if isinstance(faults, Fault) else tuple(faults)
        super().__init__("\n".join(f.sentence() for f in self.faults))


class Refused(UserError):
    """The question was understood; the answer is no, with the reason."""


class NotNow(Refused):
    """Nothing is wrong with what was asked, but it can't be kept now; the same is kept once that is mended."""


class NoSuchNumber(Refused):
    """A number of the question is none that can be meant, whatever the workshop: the words of a call are wrong."""

    exit_code = 2


class WrongWords(UserError):
    """The words of the call are wrong: an unknown option, a quantity without a unit."""

    exit_code = 2


class OutOfRange(ValueError):
    """A number outside the range that a formula or the solver holds for (an engine error, SI units)."""
