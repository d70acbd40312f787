"""Which frame to have made for the sheet that is to be sold: cavity, outside, mass, and what it asks of the press."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from math import ceil

from flatstock.documents import Document, dated, number, rounded, why
from flatstock.errors import Fault, NoSuchNumber, Refused
from flatstock.evidence import Value
from flatstock.flow.charge import charge_with_allowance, net_charge
from flatstock.flow.lifting import mould_mass
from flatstock.flow.shrinkage import cavity_for, cold_area
from flatstock.plastics.model import Plastic
from flatstock.plastics.safety import cautions_on, check_pressable
from flatstock.pressing.frames_held import pressed_here
from flatstock.pressing.picking import pick
from flatstock.pressing.reason_inputs import FLOW, MILLI, SHOP, Input, on_file, sure
from flatstock.pressing.setting import plastic_called, plastics_of
from flatstock.pressing.trimming import Trimming
from flatstock.workshop.shop import Frame, HotPress, Metal, PracticeValues, Workshop

__all__ = ["FrameQuestion", "answer_frame"]

#: m: of a frame where there is none to go by (assumed), and what it is made of
LAND, METAL = 0.040, "mild_steel"
#: m: a frame is ordered in whole millimetres, or in twentieths of an inch where inches are read
WHOLE = {"metric": 1e-3, "us": 0.0254 / 20}
PAGE = "docs/pressing.md"


@dataclass(frozen=True, slots=True, kw_only=True)
class FrameQuestion:
    """Which sheet is to be sold; None where the shop's own counts. Lengths [m]."""

    length: float | None = None  #: trimmed
    width: float | None = None
    trim: float | None = None  #: cut from each edge
    land: float | None = None
    plastics: Sequence[str] = ()  #: none: those that the shop presses
    press: str | None = None
    made_at: datetime | None = None


def answer_frame(shop: Workshop, question: FrameQuestion) -> Document:
    """The frame to have made, as `flatstock.frame/1`.

    Raises
    ------
    NoSuchNumber
        No sheet, trim or land is so large or small.
    Refused
        The size to be sold, or what is pressed, is neither said nor on file; or it is never pressed.
    """
    practice = _practice(shop.practice, question)
    plastics = _plastics(shop, question)
    press = pick(
        question.press, shop.hot_presses, what="hot press", where="--press", default=shop.default_hot_press
    )
    like = next(iter(shop.frames.values()), None)
    land = question.land or (LAND if like is None else like.land)
    metal = shop.metals[METAL] if like is None else like.metal
    made = _made_to(metal, practice, plastics, land, step=WHOLE[shop.units_shown])
    warnings = [*_warnings(shop, press, made), *_unmeasured(plastics)]
    return {
        "format": "flatstock.frame/1",
        "shop": shop.name,
        **dated(question.made_at),
        "trimmed_length_mm": rounded((practice.trimmed_length or 0.0) * MILLI),
        "trimmed_width_mm": rounded((practice.trimmed_width or 0.0) * MILLI),
        "edge_trim_mm": rounded(practice.trim * MILLI),
        "cavity_length_mm": rounded(made.cavity_length * MILLI),
        "cavity_width_mm": rounded(made.cavity_width * MILLI),
        "land_mm": rounded(land * MILLI),
        "outside_length_mm": rounded(made.outside_length * MILLI),
        "outside_width_mm": rounded(made.outside_width * MILLI),
        "plastics": [_in_plastic(made, practice, one) for one in plastics],
        "press": press.id,
        "full_force_kN": number(_force(shop, made), 1e-3),
        "force_max_kN": None if press.cylinder is None else rounded(press.cylinder.force_max / 1e3),
        "thicknesses": _thicknesses(shop, made, plastics),
        "frames": [_there(frames, practice, plastics) for frames in _sizes(shop)],
        "warnings": warnings,
        "cautions": cautions_on("frame"),
        "why": _why(practice, plastics, _land(shop, question, land)),
    }


def _practice(practice: PracticeValues, question: FrameQuestion) -> PracticeValues:
    """The shop's, with the size that is asked for."""
    length = practice.trimmed_length if question.length is None else question.length
    width = practice.trimmed_width if question.width is None else question.width
    faults = [
        Fault(f"--{name}", f"no trimmed {name} is on file", f"say --{name} {usual}, or write trimmed_{name}_mm"
              " under [practice] in shop.toml")
        for name, found, usual in (("length", length, "1200mm"), ("width", width, "800mm"))
        if found is None
    ]  # fmt: skip
    if faults:
        raise Refused(faults)
    trim = practice.trim if question.trim is None else question.trim
    for name, value, least, most in (
        ("--length", length, 0.01, 20.0),
        ("--width", width, 0.01, 20.0),
        ("--trim", trim, 0.0, 0.5),
        ("--land", question.land, 1e-3, 1.0),
    ):
        if value is not None and not least <= value <= most:
            said = f"{value * 1e3:.0f}" if value >= 1 else f"{value * 1e3:g}"
            what = f"{said} mm is not between {least * 1e3:g} and {most * 1e3:g} mm"
            raise NoSuchNumber(Fault(name, what, "write 1200mm" if least == 0.01 else "write 10mm"))
    return replace(practice, trimmed_length=length, trimmed_width=width, trim=trim)


def _plastics(shop: Workshop, question: FrameQuestion) -> list[Plastic]:
    """Those asked for, else those pressed here; the one that may shrink most first."""
    known = plastics_of(shop)
    asked = [plastic_called(known, name) for name in question.plastics]
    faults = [fault for one in asked for fault in check_pressable(one, None, None, None, where="--plastic")]
    found = list(dict.fromkeys(one.id for one in asked or pressed_here(shop)))
    if not faults and not found:
        faults = [
            Fault("--plastic", "no order, released lot or practice dwell says what is pressed", "say --plastic HDPE")
        ]  # fmt: skip
    if faults:
        raise Refused(faults)
    return sorted((known[name] for name in found), key=lambda one: -one.shrinkage.high)


def _made_to(
    metal: Metal, practice: PracticeValues, plastics: Sequence[Plastic], land: float, *, step: float
) -> Frame:
    """A frame that surely gives the size with each of the plastics, up to a whole step; of no thickness yet."""
    most = [one.shrinkage.high for one in plastics]
    length, width = (
        ceil(cavity_for(trimmed=side or 0.0, trim=practice.trim, shrinkages=most) / step - 1e-6) * step
        for side in (practice.trimmed_length, practice.trimmed_width)
    )
    return Frame(
        id="",
        thickness=0.0,
        cavity_length=length,
        cavity_width=width,
        outside_length=length + 2 * land,
        outside_width=width + 2 * land,
        metal=metal,
        mass=0.0,
    )


def _in_plastic(made: Frame, practice: PracticeValues, plastic: Plastic) -> Document:
    trimming = Trimming(frame=made, practice=practice, shrinkage=plastic.shrinkage)
    found: Document = {"plastic": plastic.id, "shrinkage_percent": number(plastic.shrinkage, 100.0)}
    for side in trimming.sides:
        found[f"cavity_needed_{side.name}_mm"] = number(side.needed, MILLI)
        found[f"spare_{side.name}_mm"] = number(side.spare, MILLI)
    return found


def _sizes(shop: Workshop) -> list[list[Frame]]:
    sizes: dict[tuple[float, float], list[Frame]] = {}
    for frame in shop.frames.values():
        sizes.setdefault((frame.cavity_length, frame.cavity_width), []).append(frame)
    return list(sizes.values())


def _there(frames: Sequence[Frame], practice: PracticeValues, plastics: Sequence[Plastic]) -> Document:
    """Frames of one size that the shop has, and in which plastics they give it."""
    tried = [(one, Trimming(frame=frames[0], practice=practice, shrinkage=one.shrinkage)) for one in plastics]
    return {
        "frames": [frame.id for frame in frames],
        "cavity_length_mm": rounded(frames[0].cavity_length * MILLI),
        "cavity_width_mm": rounded(frames[0].cavity_width * MILLI),
        "gives": [
            {
                "plastic": one.id,
                "gives_trimmed": trimming.verdict,
                **{f"spare_{side.name}_mm": number(side.spare, MILLI) for side in trimming.sides},
            }
            for one, trimming in tried
        ],
    }


def _force(shop: Workshop, made: Frame) -> Value:
    return shop.practice.full_pressure.mapped(lambda p: p * made.cavity_area, unit="N", kind="computed")


def _thicknesses(shop: Workshop, made: Frame, plastics: Sequence[Plastic]) -> list[Document]:
    """What a frame of each thickness of the shop weighs, and a mould of it with skins that cover it.

    Thicknesses of its orders where it has no frame yet; no mould without skins to go by.
    """
    skin = next(iter(shop.skins.values()), None)
    found = []
    made_already = {frame.thickness for frame in shop.frames.values()}
    for thickness in sorted(made_already or {order.thickness for order in shop.orders.values()}):
        ring = (made.outside_length * made.outside_width - made.cavity_area) * thickness
        mass = ring * made.metal.density.value
        charge = max(_charge(shop, made, one, thickness) for one in plastics)
        whole = None
        if skin is not None:
            one_skin = skin.mass * made.outside_length * made.outside_width / (skin.length * skin.width)
            whole = mould_mass(frame=mass, skin=one_skin, charge=charge)
        found.append(
            {
                "thickness_mm": rounded(thickness * MILLI),
                "frame_mass_kg": rounded(mass),
                "mould_mass_kg": None if whole is None else rounded(whole),
            }
        )
    return found


def _charge(shop: Workshop, made: Frame, plastic: Plastic, thickness: float) -> float:
    area = cold_area(
        cavity_length=made.cavity_length, cavity_width=made.cavity_width, shrinkage=plastic.shrinkage.value
    )
    net = net_charge(thickness=thickness, density=plastic.density.value, cold_area=area)
    return charge_with_allowance(net_charge=net, allowance=shop.practice.flash_allowance.value)


def _warnings(shop: Workshop, press: HotPress, made: Frame) -> list[str]:
    found = []
    outside = sorted((made.outside_length, made.outside_width))
    platen = sorted((press.bottom.length, press.bottom.width))
    over = [side - room for side, room in zip(outside, platen, strict=True)]
    if max(over) > 1e-6:
        found.append(
            f"It is larger than the platens of {press.id}, {platen[1] * 1e3:g} x {platen[0] * 1e3:g} mm, by"
            f" {max(over) * 1e3:.4g} mm: sell a smaller sheet, have a narrower land, or another press."
        )
    if not any(
        max(skin.length, skin.width) >= outside[1] - 1e-9
        and min(skin.length, skin.width) >= outside[0] - 1e-9
        for skin in shop.skins.values()
        if skin.fit_for_use
    ):
        found.append(
            "No pair of skins on file covers it: they are to be"
            f" {outside[1] * 1e3:g} x {outside[0] * 1e3:g} mm at least."
        )
    cylinder, force = press.cylinder, _force(shop, made).value
    if cylinder is not None and force > cylinder.force_max:
        found.append(
            f"The usual full pressure takes {force / 1e3:.3g} kN on it, and {press.id} is rated for"
            f" {cylinder.force_max / 1e3:.3g} kN: {cylinder.force_max / made.cavity_area / 1e6:.2g} MPa is left."
        )
    return found


def _land(shop: Workshop, question: FrameQuestion, land: float) -> Value:
    """Width of the rim with where it comes from."""
    if question.land is not None:
        return sure(land, "m", "asked for")
    return sure(land, "m", f"the first frame of {SHOP}") if shop.frames else sure(land, "m", PAGE, "assumed")


def _unmeasured(plastics: Sequence[Plastic]) -> list[str]:
    """Whose shrinkage nobody here has measured, for a frame is had made once."""
    names = [one.id.upper() for one in plastics if one.shrinkage.kind not in ("measured", "fitted")]
    if not names:
        return []
    return [
        f"Shrinkage of {', '.join(names)} is not measured here: press three sheets in a frame that you can borrow,"
        " measure cavity and cold sheet, and write shrinkage_percent in plastics.toml before this one is ordered. Too"
        " large a frame costs trim, too small a one every sheet."
    ]


def _why(practice: PracticeValues, plastics: Sequence[Plastic], land: Value) -> list[Document]:
    shrinkages: list[Input] = [
        (f"shrinkage of {one.id.upper()}", one.shrinkage, 100.0, "%") for one in plastics
    ]
    trim: Input = ("edge trim", on_file(practice, "trim", practice.trim, "m"), MILLI, "mm")
    found = []
    for name, wanted in (("length", practice.trimmed_length), ("width", practice.trimmed_width)):
        sold: Input = (f"trimmed {name}", sure(wanted or 0.0, "m", f"--{name}, or {SHOP}"), MILLI, "mm")
        found += [
            why(f"cavity_{name}_mm", "(trimmed + 2 · edge trim) / (1 - shrinkage) of the plastic that may shrink most,"
                " where it does, up to a whole millimetre or a twentieth of an inch", [sold, trim, *shrinkages], FLOW),
            why(f"outside_{name}_mm", f"cavity {name} + 2 · land",
                [("land", land, MILLI, "mm")], PAGE),
        ]  # fmt: skip
    return found
