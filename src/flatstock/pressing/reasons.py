"""Why each number of a card is what it is: formula, inputs with their evidence, source, and the band's origins."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from flatstock.documents import Document, why
from flatstock.evidence import Kind, Value, weakest
from flatstock.pressing.bands import shares_of
from flatstock.pressing.card_numbers import Card
from flatstock.pressing.hot_columns import FACE_CLOCK
from flatstock.pressing.reason_inputs import (
    FLOW,
    HEAT,
    MILLI,
    PAGE,
    SHOP,
    Input,
    cavity_area,
    full_time,
    on_file,
    sure,
)
from flatstock.pressing.reasons_frame import frame_reasons
from flatstock.pressing.reasons_given import given_reasons
from flatstock.pressing.reasons_heat import settled_cold, settled_hot

__all__ = ["card_reasons", "input_words", "kinds_counted"]

ASKED = "asked for"
PLASTIC_WORDS = {
    "melt_k_180": ("conductivity of the melt", 1.0, "W/mK"),
    "solid_k_23": ("conductivity of the solid", 1.0, "W/mK"),
    "latent": ("heat of fusion", 1e-3, "kJ/kg"),
    "solid_cp_23": ("heat capacity of the solid at 23 °C", 1.0, "J/kgK"),
    "melt_cp_180": ("heat capacity of the melt at 180 °C", 1.0, "J/kgK"),
    "bed_factor": ("factor on the flake bed's conductivity", 1.0, ""),
    "bed_void": ("void share of the clamped flake", 1.0, ""),
}


def input_words(name: str) -> tuple[str, float, str]:
    """A drawn input in words, what its number is multiplied by to be shown, and the unit then; "": its own unit.

    >>> input_words("ldpe: latent")
    ('LDPE: heat of fusion', 0.001, 'kJ/kg')
    """
    plastic, _, field = name.rpartition(": ")
    if field not in PLASTIC_WORDS:
        return name, 1.0, ""
    words, factor, unit = PLASTIC_WORDS[field]
    return (f"{plastic.upper()}: {words}" if plastic else words), factor, unit


def _drawn(inputs: Iterable[tuple[str, Value]], shares: dict[str, float]) -> list[Input]:
    """Inputs of a heat answer, those that make most of its band first."""
    listed = sorted(inputs, key=lambda item: -shares.get(item[0], 0.0))
    found = []
    for name, value in listed:
        words, factor, unit = input_words(name)
        found.append((words, value, factor, unit or value.unit))
    return found


def _named(shares: dict[str, float]) -> dict[str, float]:
    return {input_words(name)[0]: share for name, share in shares.items()}


def card_reasons(card: Card) -> list[Document]:
    """One entry for each number of the card."""
    return [
        *_filling(card),
        *frame_reasons(card),
        *_hot(card),
        _advised(card),
        *_flash(card),
        _cooling(card),
        *given_reasons(card),
    ]


def _filling(card: Card) -> list[Document]:
    """The charge, and how it fills the frame: loose, molten and cold."""
    s, charge, frame = card.setting, card.charge, card.setting.mould.frame
    thickness: Input = ("thickness wanted", sure(s.thickness, "m", ASKED), MILLI, "mm")
    length: Input = ("cavity length", on_file(frame, "cavity_length", frame.cavity_length, "m"), MILLI, "mm")
    width: Input = ("cavity width", on_file(frame, "cavity_width", frame.cavity_width, "m"), MILLI, "mm")
    height: Input = ("frame", on_file(frame, "thickness", frame.thickness, "m"), MILLI, "mm")
    density, shrinkage, melt = _density(card), _shrinkage(card), _melt_density(card)
    net: Input = ("net charge", charge.net, 1.0, "kg")
    whole: Input = ("charge", charge.charge, 1.0, "kg")
    of_net = shares_of(
        {density[0]: charge.density, shrinkage[0]: charge.shrinkage},
        lambda c: c[density[0]] * (1 - c[shrinkage[0]]) ** 2,
    )
    return [
        why("net_charge_kg", "m = ρ · L (1-s) · W (1-s) · h", [density, length, width, shrinkage, thickness], FLOW,
            shares=of_net),
        why(
            "charge_kg",
            "(net charge · (1 + allowance)) / (1 - water), rounded to the scale's step",
            [
                net,
                ("flash allowance", charge.allowance, 100.0, "%"),
                ("water in the charge", _moisture(card), 100.0, "%"),
                ("scale step", on_file(charge.scale, "step", charge.step, "kg"), 1.0, "kg"),
            ],
            FLOW,
            shares={net[0]: 1.0},
            note="the band is the net charge's: the allowance is decided, not found out",
        ),
        why("heap_mm", "charge / (bulk density · cavity area)",
            [whole, ("loose bulk density", s.bulk_density, 1.0, "kg/m3"), length, width], FLOW,
            shares=_all_of("loose bulk density", s.bulk_density)),
        why("hot_level_mm", "net charge / (melt density · cavity area)", [net, melt, length, width], FLOW,
            shares=_all_of(melt[0], charge.melt_density),
            note="the band is the melt's: the charge stands as it is weighed"),
        why("hot_level_charge_mm", "charge / (melt density · cavity area)", [whole, melt, length, width], FLOW,
            shares=_all_of(melt[0], charge.melt_density)),
        why("proud_mm", "hot level of the net charge - frame", [net, melt, height], FLOW,
            shares=_all_of(melt[0], charge.melt_density)),
        why("cold_length_mm", "cavity · (1 - shrinkage)", [length, shrinkage], FLOW,
            shares=_all_of(shrinkage[0], charge.shrinkage)),
        why("cold_width_mm", "cavity · (1 - shrinkage)", [width, shrinkage], FLOW,
            shares=_all_of(shrinkage[0], charge.shrinkage)),
    ]  # fmt: skip


def _hot(card: Card) -> list[Document]:
    """What the heat model says of the hot press."""
    process, heating, hot = card.setting.process, card.heating, settled_hot(card)
    target: list[Input] = (
        [] if process.melt_target is None else [("melt target", process.melt_target, 1.0, "°C")]
    )
    energy_shares = heating.energy_shares(card.advised[0])
    face = (
        ("activation energy", process.face_activation, 1e-3, "kJ/mol"),
        ("allowance at 200 °C", process.face_allowance, 1 / 60, "min"),
        ("limit of the face", process.face_limit, 1.0, "°C"),
    )
    known: list[Input] = [
        (name, value, factor, unit) for name, value, factor, unit in face if value is not None
    ]
    return [
        why(
            "dwell_min",
            "first instant at which the coldest point of the charge reaches the target; one-dimensional heat balance",
            [*_drawn(heating.heat_inputs.items(), heating.dwell_shares), *hot, *target],
            HEAT,
            shares=_named(heating.dwell_shares),
            note="flake and melt heated through the steel skins; corners, edges and squeeze-out are left out",
        ),
        why("dwell_latest_min",
            "the hotter face has had its allowance in equivalent minutes at 200 °C, or passes its limit",
            [*known, *_drawn(heating.heat_inputs.items(), heating.latest_shares), *hot],
            HEAT, note="a comparison between dwells, never a promise about degradation",
            shares=_named(heating.latest_shares) | {"activation energy": heating.latest_shares.get(FACE_CLOCK, 0.0)}),
        why("platen_dip_C", "set-point - lowest reading of the deeper platen's sensor after loading",
            [*_drawn(heating.heat_inputs.items(), heating.dip_shares), *hot], HEAT,
            shares=_named(heating.dip_shares)),
        why("energy_kWh", "heater power over the dwell, and what brings the platens back to where they were",
            [*_drawn(heating.heat_inputs.items(), energy_shares), *hot,
             ("advised dwell", sure(card.advised[0], "s", PAGE, "computed"), 1 / 60, "min")],
            HEAT, shares=_named(energy_shares)),
    ]  # fmt: skip


def _density(card: Card) -> Input:
    return ("density of the cold sheet", card.charge.density, 1.0, "kg/m3")


def _shrinkage(card: Card) -> Input:
    return ("linear shrinkage", card.charge.shrinkage, 100.0, "%")


def _melt_density(card: Card) -> Input:
    return ("density of the melt at the set-point", card.charge.melt_density, 1.0, "kg/m3")


def _all_of(name: str, value: Value) -> dict[str, float]:
    """The whole band from one input, where it has one."""
    return {} if value.is_sure else {name: 1.0}


def _flash(card: Card) -> list[Document]:
    """Flash and the sheet that is left; what is missing where it is not predicted."""
    flash, frame = card.flash, card.setting.mould.frame
    charge: Input = ("charge, unrounded", sure(card.charge.dry, "kg", FLOW, "computed"), 1.0, "kg")
    formula = "ρ · A · (g0 - g), g = g0 / √(1 + 2 Δp P g0² t / (12 η L A))"
    thickness = "(charge - flash) / (ρ · cold area)"
    if flash.viscosity is None:
        note = f"not predicted, so weigh it: {flash.unknown}"
        return [why(of, words, [], FLOW, note=note) for of, words in
                (("flash_kg", formula), ("sheet_thickness_mm", thickness))]  # fmt: skip
    sides = weakest(
        *(
            frame.evidence.get(f"{part}_{side}", "measured")
            for part in ("cavity", "outside")
            for side in ("length", "width")
        )
    )
    inputs: list[Input] = [
        ("melt viscosity", flash.viscosity, 1e-3, "kPa s"),
        ("full pressure", flash.pressure, 1e-6, "MPa"),
        ("full-pressure time", full_time(card), 1 / 60, "min"),
        ("first gap", Value.sure(flash.first_gap, kind="computed", source=FLOW, unit="m"), MILLI, "mm"),
        _melt_density(card),
        ("cavity area", cavity_area(frame), 1.0, "m2"),
        ("perimeter of the cavity", sure(frame.perimeter, "m", SHOP, sides), MILLI, "mm"),
        ("land", sure(frame.land, "m", SHOP, sides), MILLI, "mm"),
    ]
    return [
        why("flash_kg", formula, inputs, FLOW, shares=flash.shares),
        why("sheet_thickness_mm", thickness, [*inputs, charge, _density(card), _shrinkage(card)], FLOW,
            shares=flash.shares, note="the band is the flash's; that of the density stands with the net charge"),
    ]  # fmt: skip


def _cooling(card: Card) -> Document:
    formula = "last instant from clamping at which the hottest point is above the limit, moulds in a row"
    if card.cooling is None:
        return why("press_cool_min", formula, [], HEAT, note="no cooling press is on file: not computed")
    return why(
        "press_cool_min",
        formula,
        [*_drawn(card.cooling.draws.inputs.items(), card.cooling.shares), *settled_cold(card)],
        HEAT,
        shares=_named(card.cooling.shares),
        note="the plates keep the heat of the moulds before; a sheet may leave a contact gap as it shrinks",
    )


def _advised(card: Card) -> Document:
    dwell = card.heating.dwell
    inputs: list[Input] = [
        ("melt-through", dwell, 1 / 60, "min"),
        ("breathing", sure(card.breathe_time, "s", *_breathing(card)), 1 / 60, "min"),
        ("full pressure", full_time(card), 1 / 60, "min"),
    ]
    if card.practice_dwell is not None:
        inputs.append(("practice", sure(card.practice_dwell, "s", SHOP), 1 / 60, "min"))
    return why(
        "dwell_advised_min",
        "the largest of: late end of melt-through's band; melt-through + breathing + full pressure; practice",
        inputs,
        card.advised[1],
    )


def _moisture(card: Card) -> Value:
    """Of the lots; nobody has measured it where a lot says nothing, or none is named."""
    stock = card.setting.stock
    if stock and all(lot.moisture is not None for lot, _ in stock):
        return sure(card.setting.moisture, "", "lots of this workshop")
    return sure(card.setting.moisture, "", "taken as dry where no lot says how wet it is", "assumed")


def _breathing(card: Card) -> tuple[str, Kind]:
    """Where the shop's breathing time stands, and its evidence."""
    kind = card.setting.shop.practice.evidence.get("breathe_time", "measured")
    return ("common practice, no source" if kind == "assumed" else SHOP), kind


def kinds_counted(reasons: Iterable[Document]) -> dict[str, int]:
    """How many different inputs are of each kind of evidence; what was asked for rests on nothing."""
    seen = {
        (line["name"], line["kind"])
        for reason in reasons
        for line in reason["inputs"]
        if line["source"] != ASKED
    }
    return dict(sorted(Counter(kind for _, kind in seen).items()))
