"""What a measured sheet and its flash say about the next charge."""

from __future__ import annotations

from flatstock.documents import Document, dated, number, rounded, why
from flatstock.evidence import Value
from flatstock.flow.correction import corrected_charge
from flatstock.flow.weighing import round_to_step
from flatstock.plastics.safety import cautions_on
from flatstock.pressing.accounts import GAUGE, balance_of, check_measured
from flatstock.pressing.charging import Charge
from flatstock.pressing.questions import CorrectQuestion
from flatstock.pressing.setting import set_out
from flatstock.workshop.shop import Workshop

__all__ = ["answer_correct"]

FORMULA = "docs/flow.md"
LARGE_CHANGE = 0.10  #: share of the charge from which a correction asks for a second measurement


def answer_correct(shop: Workshop, question: CorrectQuestion) -> Document:
    """The next charge as `flatstock.correct/1`. Raises `Refused` where the numbers cannot belong together."""
    setting = set_out(
        shop,
        plastic=question.plastic,
        thickness=question.thickness,
        press=question.press,
        frame=question.frame,
        any_lot=False,
        frame_must_fit=False,
    )
    charge = Charge(setting=setting)
    check_measured(question, charge)
    flash = question.flash
    accounts = balance_of(question, charge)
    change = _change(question, charge)
    following = round_to_step(question.charge + change.value, step=charge.step)
    return {
        "format": "flatstock.correct/1",
        "shop": shop.name,
        **dated(question.made_at),
        "plastic": setting.plastic.id,
        "thickness_mm": rounded(question.thickness * 1e3),
        "charge_kg": rounded(question.charge),
        "measured_mm": rounded(question.measured * 1e3),
        "next_charge_kg": number(
            Value(
                following,
                following + change.low - change.value,
                following + change.high - change.value,
                "computed",
                FORMULA,
                "kg",
            )
        ),
        "change_kg": number(change),
        "scale_step_kg": rounded(charge.step),
        "flash_kg": None if flash is None else rounded(flash),
        # sheet and flash less charge: positive where more came out than went in
        "balance_kg": None if flash is None else number(accounts.excess),
        "advice": _advice(question, charge, change.value),
        "why": _reasons(question, charge),
        "warnings": [*accounts.warnings, *_warnings(question, change.value), *setting.warnings],
        "cautions": cautions_on("correct"),
    }


def _change(question: CorrectQuestion, charge: Charge) -> Value:
    """What to weigh more [kg], flash the same again; its band is the density's and the gauge's."""
    density, area = charge.density, charge.cold_area
    step = corrected_charge(
        charge=question.charge,
        thickness=question.measured,
        wanted=question.thickness,
        density=density.value,
        cold_area=area,
        flash=question.flash or 0.0,
        flash_next=None,
    )
    half = density.value * area * GAUGE
    low, high = (density.low, density.high) if step.for_thickness >= 0 else (density.high, density.low)
    return Value(
        step.change,
        min(step.change, area * low * (question.thickness - question.measured)) - half,
        max(step.change, area * high * (question.thickness - question.measured)) + half,
        "computed",
        FORMULA,
        "kg",
    )


def _reasons(question: CorrectQuestion, charge: Charge) -> list[Document]:
    inputs = [
        ("density of the cold sheet", charge.density, 1.0, "kg/m3"),
        ("linear shrinkage", charge.shrinkage, 100.0, "%"),
        ("thickness wanted", _said(question.thickness), 1e3, "mm"),
        ("thickness measured", _said(question.measured), 1e3, "mm"),
    ]
    formula = "Δm = ρ · L (1-s) · W (1-s) · (wanted - measured), flash the same again"
    return [
        why("change_kg", formula, inputs, FORMULA),
        why("next_charge_kg", "last charge + change, rounded to the scale's step", inputs, FORMULA),
    ]


def _said(value: float) -> Value:
    return Value.sure(value, kind="measured", source="said in the question", unit="m")


def _advice(question: CorrectQuestion, charge: Charge, change: float) -> list[str]:
    found = []
    expected = charge.allowance.value * charge.net.value
    thickness = abs(question.thickness - question.measured) * 1e3
    if abs(change) < charge.step / 2:
        found.append("The sheet is where it should be: keep the charge.")
    else:
        word = "thin" if change > 0 else "thick"
        found.append(
            f"{thickness:.2f} mm too {word}: {'add' if change > 0 else 'take off'} {abs(change):.2f} kg, all else"
            " equal."
        )
    if question.flash is not None and question.flash > 1.5 * expected:
        found.append(
            f"{question.flash:.2f} kg of flash is more than the allowance of {expected:.2f} kg: shorten full pressure"
            " rather than feeding the flash with more charge."
        )
    if question.flash is None:
        found.append("Weigh the flash too: then charge, sheet and flash can be held against each other.")
    found.append("Use the mean of nine readings, cold; one corner hides a wedge.")
    return found


def _warnings(question: CorrectQuestion, change: float) -> list[str]:
    if abs(change) > LARGE_CHANGE * question.charge:
        return [
            f"The change is {100 * abs(change) / question.charge:.0f} % of the charge: measure once more before you"
            " weigh by it."
        ]
    return []
