"""Whether charge, sheet and flash of one pressing can belong together: refused, warned of, or in order."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from flatstock.errors import Fault, NoSuchNumber, Refused
from flatstock.evidence import Value
from flatstock.flow.charge import sheet_thickness
from flatstock.flow.correction import CLOSES_WITHIN, Balance
from flatstock.pressing.bands import band_of, draw
from flatstock.pressing.charging import Charge
from flatstock.pressing.questions import CorrectQuestion

__all__ = ["GAUGE", "Accounts", "balance_of", "check_measured"]

FORMULA = "docs/flow.md"
GAUGE = 0.05e-3  #: m: what nine readings with a calliper leave open in the mean (assumed)
#: shares of the charge, assumed: more than this unaccounted for is no slip of a weighing but another sheet's number
TOO_FAR = 0.10
MOST_UNWEIGHED = 0.40  #: that may have left as flash which nobody weighed


@dataclass(frozen=True, slots=True, kw_only=True)
class Accounts:
    """Sheet and flash less charge, and what has to be said of it."""

    excess: Value  #: [kg]; positive where more came out than went in
    warnings: tuple[str, ...]


def check_measured(question: CorrectQuestion, charge: Charge) -> None:
    """Raise `Refused` where a number is none (`NoSuchNumber`), or where the numbers cannot be of one sheet."""
    if faults := list(_no_numbers(question)):
        raise NoSuchNumber(faults)
    if fault := next(_not_one_sheet(question, charge), None):
        raise Refused(fault)


def balance_of(question: CorrectQuestion, charge: Charge) -> Accounts:
    """The mass balance; it warns where more is open than density, shrinkage and gauge explain, and 1 %."""
    excess = _excess(question, charge)
    slack = CLOSES_WITHIN * question.charge
    said: list[str] = []
    if question.flash is not None and excess.high < -slack:
        said.append(_caution(excess, question.charge, Balance.MISSING))
    elif excess.low > slack:
        said.append(_caution(excess, question.charge, Balance.TOO_MUCH))
    elif question.flash is None and excess.high < -TOO_FAR * question.charge:
        share = -100 * excess.value / question.charge
        said.append(
            f"{-excess.value:.2f} kg of the charge is not in the sheet, {share:.0f} % of it: weigh the flash before you"
            " add more charge, and shorten full pressure if it is flash."
        )
    return Accounts(excess=excess, warnings=tuple(said))


def _caution(excess: Value, charge: float, balance: Balance) -> str:
    share = 100 * abs(excess.value) / charge
    return (
        f"The weighings differ by {abs(excess.value):.2f} kg, {share:.0f} % of the charge: {balance.value}."
    )


def _excess(question: CorrectQuestion, charge: Charge) -> Value:
    """Sheet and flash less charge [kg]; its band is what density, shrinkage and gauge leave open."""
    cavity = charge.setting.mould.frame.cavity_area
    drawn = draw({"density": charge.density, "shrinkage": charge.shrinkage})
    samples = drawn["density"] * cavity * (1 - drawn["shrinkage"]) ** 2 * question.measured
    out = (question.flash or 0.0) - question.charge
    typical = charge.density.value * charge.cold_area * question.measured
    sheet = band_of(typical, samples, unit="kg", source=FORMULA)
    half = charge.density.value * charge.cold_area * GAUGE
    return Value(typical + out, sheet.low + out - half, sheet.high + out + half, "computed", FORMULA, "kg")


def _no_numbers(question: CorrectQuestion) -> Iterator[Fault]:
    if not 0 < question.measured <= 0.2:
        yield Fault("--measured", f"{question.measured * 1e3:g} mm is no thickness", "write 11.82mm")
    if not 0 < question.charge <= 500:
        yield Fault("--charge", f"{question.charge:g} kg is no charge", "write 11.74kg")
    if question.flash is not None and not 0 <= question.flash < question.charge:
        yield Fault(
            "--flash",
            f"{question.flash:g} kg of flash cannot come from a charge of {question.charge:g} kg",
            "weigh the flash of this sheet alone, cold, and write 0.3kg",
        )


def _not_one_sheet(question: CorrectQuestion, charge: Charge) -> Iterator[Fault]:
    """Sheets of another charge, another frame or another thickness than said."""
    measured, wanted = question.measured * 1e3, question.thickness * 1e3
    excess, most = _excess(question, charge), TOO_FAR * question.charge
    implied = sheet_thickness(mass=question.charge, density=charge.density.value, cold_area=charge.cold_area)
    makes = f"{question.charge:g} kg in this cavity makes about {implied * 1e3:.1f} mm without flash"
    if excess.low > most:
        rest = "" if not question.flash else f" and {question.flash:g} kg of flash"
        yield Fault(
            where="--measured",
            what=f"{makes}, so {measured:g} mm{rest} is {excess.value:.2f} kg more than went in",
            instead="check the decimal point, the charge, the flash and the frame; a sheet full of bubbles is thicker"
            " than its mass",
        )
    least = -most if question.flash is not None else -MOST_UNWEIGHED * question.charge
    if excess.high < least:
        rest = "the flash" if question.flash is None else f"{question.flash:g} kg of flash"
        yield Fault(
            where="--measured",
            what=f"{makes}; {measured:g} mm and {rest} leave {-excess.value:.2f} kg unaccounted for",
            instead="check the decimal point and the frame, and weigh charge and flash again; a correction would feed"
            " what was lost to the next sheet",
        )
    if not 0.5 <= measured / wanted <= 1.5:
        yield Fault(
            where="--measured",
            what=f"{measured:g} mm is no sheet that was meant to be {wanted:g} mm",
            instead="check the decimal point, and --thickness",
        )
