"""How many flakes of a lot to look through, and what its water would do in a charge: answers with their reasons."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil
from typing import Any

from flatstock.documents import number, rounded, why
from flatstock.errors import OutOfRange, UserError
from flatstock.evidence import Value
from flatstock.intake.sampling import sample_mass, upper_bound, zero_find_sample
from flatstock.intake.weighing import water_of
from flatstock.plastics.safety import cautions_for, rules
from flatstock.pressing.charging import Charge
from flatstock.pressing.setting import set_out
from flatstock.workshop.shop import Workshop

__all__ = ["SampleAsked", "WaterAsked", "look_through", "steam_of", "usual_charge"]

Document = dict[str, Any]
PAGE = "docs/intake.md"


@dataclass(frozen=True, slots=True, kw_only=True)
class SampleAsked:
    """What must not be missed, how sure, and what was found."""

    share: float  #: by count
    confidence: float
    flake: float  #: mass of one flake [kg]
    looked: int | None = None  #: flakes looked through; None: not yet
    found: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterAsked:
    """A charge [kg] with a mass fraction of water, pressed at a set-point [°C] under a pressure on the sheet [Pa]."""

    charge: float
    moisture: float
    set_point: float
    pressure: float
    sheet: float | None = None  #: volume of the sheet [m3], to compare with
    moisture_source: str = "asked for"


def look_through(asked: SampleAsked) -> Document:
    """How many flakes, what they weigh, and what a find or none says. Raises `OutOfRange`."""
    flakes = zero_find_sample(share=asked.share, confidence=asked.confidence)
    weight = sample_mass(flakes, flake=asked.flake)
    bound = (
        None
        if asked.looked is None
        else upper_bound(asked.found, sample=asked.looked, confidence=asked.confidence)
    )
    sure = [
        ("share not to be missed, by count", _own(asked.share), 100.0, "%"),
        ("how sure", _own(asked.confidence), 100.0, "%"),
    ]
    flake = ("mass of one flake", _own(asked.flake), 1e6, "mg")
    reasons = [
        why("flakes", "n = ln(1 - C) / ln(1 - p), upwards: the binomial without a find", sure, PAGE),
        why("sample_g", "flakes x mass of one", [*sure, flake], PAGE),
    ]
    if bound is not None:
        seen = [("flakes looked through", _own(float(asked.looked or 0)), 1.0, ""),
                ("strangers found", _own(float(asked.found)), 1.0, ""), sure[1]]  # fmt: skip
        reasons.append(
            why("bound_percent", "the share at which so few finds or fewer have the chance 1 - C: one-sided"
                " Clopper and Pearson", seen, PAGE)
        )  # fmt: skip
    return {
        "flakes": flakes,
        "sample_g": rounded(weight * 1000),
        "bound_percent": None if bound is None else rounded(bound * 100),
        "enough": None if bound is None else bound <= asked.share * (1 + 1e-9),
        "again": _again(asked, flakes),
        "why": reasons,
    }


def _again(asked: SampleAsked, flakes: int) -> int | None:
    """How many flakes would do with as many strangers found for each so far; None: more will not help."""
    if asked.looked is None or not asked.looked:
        return None
    if asked.found == 0:
        return max(0, flakes - asked.looked)
    if asked.found / asked.looked >= asked.share:
        return None
    low, high = asked.looked, asked.looked
    while upper_bound(asked.found, sample=high, confidence=asked.confidence) > asked.share:
        low, high = high, high * 2
        if high > 10_000_000:
            return None
    while high - low > 1:
        middle = (low + high) // 2
        fits = upper_bound(asked.found, sample=middle, confidence=asked.confidence) <= asked.share
        low, high = (low, middle) if fits else (middle, high)
    return ceil(high - asked.looked)


def steam_of(asked: WaterAsked) -> Document:
    """Water of a charge, the steam it makes, and whether it may be pressed so. Raises `OutOfRange`."""
    found = water_of(
        charge=asked.charge, moisture=asked.moisture, set_point=asked.set_point, pressure=asked.pressure
    )
    moisture = Value.sure(asked.moisture, kind="measured", source=asked.moisture_source)
    inputs = [
        ("charge", _own(asked.charge), 1.0, "kg"),
        ("water by mass", moisture, 100.0, "%"),
        ("set-point", _own(asked.set_point), 1.0, "C"),
    ]
    pressed = ("pressure on the sheet, over that of the air", _own(asked.pressure), 1e-6, "MPa")
    return {
        "water_g": rounded(found.water * 1000),
        "steam_open_L": rounded(found.litres_open),
        "steam_pressed_L": rounded(found.litres_pressed),
        "sheet_L": None if asked.sheet is None else rounded(asked.sheet * 1000),
        "dry_first": found.advice == "dry first",
        "limit_percent": rules().wet_charge_share * 100,
        "most_g": number(_own(rules().wet_charge_share * asked.charge), 1000.0),
        "why": [
            why("water_g", "charge x water by mass", inputs[:2], PAGE),
            why("steam_open_L", "V = m R T / (M p): steam as an ideal gas at the pressure of the air", inputs, PAGE),
            why("steam_pressed_L", "V = m R T / (M p): p is the pressure on the sheet and the air's; nothing where"
                " water does not boil at the set-point under it", [*inputs, pressed], PAGE),
        ],
        "cautions": cautions_for("wet"),
    }  # fmt: skip


def usual_charge(shop: Workshop, plastic: str) -> tuple[float, float] | None:
    """What one charge of a plastic weighs at the shop's middle frame [kg], and its set-point [°C].

    None where the shop has no frame, or the plastic can't be pressed here.
    """
    frames = sorted({frame.thickness for frame in shop.frames.values()})
    if not frames or not plastic:
        return None
    try:
        setting = set_out(shop, plastic=plastic, thickness=frames[len(frames) // 2], any_lot=False)
    except (UserError, OutOfRange):
        return None
    return Charge(setting=setting).charge.value, setting.set_point.value


def _own(value: float) -> Value:
    return Value.sure(value, kind="measured", source="asked for")
