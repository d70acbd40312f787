"""Why the numbers of a card that are set, chosen or simply added up are what they are."""

from __future__ import annotations

from flatstock.documents import Document, why
from flatstock.pressing.card_numbers import Card
from flatstock.pressing.reason_inputs import (
    FLOW,
    MILLI,
    PAGE,
    SHOP,
    Input,
    cavity_area,
    full_time,
    on_file,
    sure,
)

__all__ = ["given_reasons"]


def given_reasons(card: Card) -> list[Document]:
    """One entry for each number that no model made: asked for, on file, or plain arithmetic."""
    return [*_sheet(card), *_weighing(card), *_temperatures(card), *_times(card), *_steps(card)]


def _sheet(card: Card) -> list[Document]:
    s, frame, press = card.setting, card.setting.mould.frame, card.setting.press
    length, width = (
        on_file(frame, f"cavity_{side}", getattr(frame, f"cavity_{side}"), "m")
        for side in ("length", "width")
    )
    asked = sure(s.thickness, "m", "asked for")
    return [
        why("thickness_mm", "the cold sheet, as asked for", [("thickness wanted", asked, MILLI, "mm")], PAGE),
        why("cavity_length_mm", f"inside of frame {frame.id}", [("cavity length", length, MILLI, "mm")], SHOP),
        why("cavity_width_mm", f"inside of frame {frame.id}", [("cavity width", width, MILLI, "mm")], SHOP),
        why("daylight_mm", f"widest opening of {press.id}",
            [("daylight", on_file(press, "daylight", press.daylight, "m"), MILLI, "mm")], SHOP),
        why("mould_mass_kg", "frame + two skins + charge", [
            ("frame", on_file(frame, "mass", frame.mass, "kg"), 1.0, "kg"),
            ("one skin", on_file(s.mould.skin, "mass", s.mould.skin.mass, "kg"), 1.0, "kg"),
            ("charge", card.charge.charge, 1.0, "kg")], FLOW),
    ]  # fmt: skip


def _weighing(card: Card) -> list[Document]:
    charge, practice = card.charge, card.setting.shop.practice
    scale = charge.scale
    step: Input = ("scale step", on_file(scale, "step", charge.step, "kg"), 1.0, "kg")
    allowed = on_file(practice, "thickness_tolerance", practice.thickness_tolerance, "m")
    tolerance: Input = ("thickness tolerance", allowed, MILLI, "mm")
    density: Input = ("density of the cold sheet", charge.density, 1.0, "kg/m3")
    area: Input = ("cold area", sure(charge.cold_area, "m2", FLOW, "computed"), 1.0, "m2")
    shares = [
        (
            f"share of {name}",
            sure(share, "", "asked for") if card.question.lots else sure(share, "", PAGE, "computed"),
            100.0,
            "%",
        )
        for name, share in card.setting.lots.items()
    ]
    largest = "the largest scale's: none takes the whole charge" if scale is None else f"of {scale.id}"
    return [
        why("scale_step_kg", f"step of the smallest scale that takes the whole charge; here {largest}", [step], SHOP),
        why("weigh.mass_kg", "the charge split by shares in whole steps that sum to it",
            [("charge", charge.charge, 1.0, "kg"), *shares, step], FLOW),
        why("weigh.tolerance_kg", "thickness tolerance · ρ · cold area, not under one step",
            [tolerance, density, area, step], FLOW),
        why("thickness_tolerance_mm", "weighing tolerance / (ρ · cold area)",
            [("weighing tolerance", sure(charge.tolerance, "kg", FLOW, "computed"), 1.0, "kg"), density, area], FLOW),
    ]  # fmt: skip


def _temperatures(card: Card) -> list[Document]:
    process = card.setting.process
    rules = (
        (
            "melt_target_C",
            "the coldest point counts as melted through at",
            "melt target",
            process.melt_target,
        ),
        ("open_below_C", "cooling pressure may be let off below", "release limit", process.open_below),
        (
            "demould_below_C",
            "the sheet is stiff enough to take out below",
            "demould limit",
            process.demould_below,
        ),
    )
    several = len(card.setting.melting) > 1
    found = [
        why(
            of,
            f"{words} this, on file for the plastic" + several * " of the charge that asks most",
            [*_each(card, of.removesuffix("_C"), name)] if several else [(name, value, 1.0, "°C")],
            "docs/pressing.md" if several else "docs/plastics.md",
        )
        for of, words, name, value in rules
        if value is not None
    ]
    set_point: list[Input] = [("set-point", card.setting.set_point, 1.0, "°C")]
    if process.highest_set_point is not None:
        set_point.append(("highest set-point", process.highest_set_point, 1.0, "°C"))
    words = "as asked for, else on file for the plastic; never over its highest"
    return [why("set_point_C", words, set_point, "docs/plastics.md"), *found]


def _each(card: Card, field: str, name: str) -> list[Input]:
    """A limit of each plastic of the charge."""
    return [
        (f"{name} of {one.id.upper()}", value, 1.0, "°C")
        for one, _ in card.setting.melting
        if one.process is not None and (value := getattr(one.process, field)) is not None
    ]


def _times(card: Card) -> list[Document]:
    practice, flash = card.setting.shop.practice, card.flash
    advised = sure(card.advised[0], "s", PAGE, "computed")
    minutes = [
        ("load", on_file(practice, "load_time", practice.load_time, "s"), 1 / 60, "min"),
        ("advised dwell", advised, 1 / 60, "min"),
        ("transfer", on_file(practice, "transfer_time", practice.transfer_time, "s"), 1 / 60, "min"),
    ]
    if card.question.every is not None:
        minutes = [("from mould to mould", sure(card.question.every, "s", "asked for"), 1 / 60, "min")]
    found = [why("press_every_min", "as asked for, else this card's cycle: load + advised dwell + transfer",
                 minutes, PAGE)]  # fmt: skip
    if flash.asked_time is not None:
        inputs: list[Input] = [("full pressure", sure(flash.asked_time, "s", "asked for"), 1 / 60, "min")]
        return [*found, why("full_pressure_min", "as asked for", inputs, PAGE)]
    if flash.viscosity is None:
        note = f"one minute counts until the flash has been weighed: {flash.unknown}"
        return [*found, why("full_pressure_min", "until flash equals its allowance", [], FLOW, note=note)]
    frame = card.setting.mould.frame
    inputs = [
        ("melt viscosity", flash.viscosity, 1e-3, "kPa s"),
        ("flash allowance", card.charge.allowance, 100.0, "%"),
        ("full pressure", flash.pressure, 1e-6, "MPa"),
        ("net charge", card.charge.net, 1.0, "kg"),
        ("frame", on_file(frame, "thickness", frame.thickness, "m"), MILLI, "mm"),
    ]
    formula = (
        "until flash equals its allowance, five minutes at most and no longer than the face is sure to bear"
    )
    return [*found, why("full_pressure_min", formula, inputs, FLOW)]


def _steps(card: Card) -> list[Document]:
    s, press, practice = card.setting, card.setting.press, card.setting.shop.practice
    cylinder = press.cylinder
    advised = card.advised[0]
    at: list[Input] = [
        ("advised dwell", sure(advised, "s", PAGE, "computed"), 1 / 60, "min"),
        ("full pressure", full_time(card), 1 / 60, "min"),
        ("breathing", on_file(practice, "breathe_time", card.breathe_time, "s"), 1 / 60, "min"),
        ("transfer", on_file(practice, "transfer_time", practice.transfer_time, "s"), 1 / 60, "min"),
    ]
    if card.cool_times[0] is not None:
        at.append(("first mould under pressure, late end",
                   sure(card.cool_times[0].high, "s", "docs/heat.md", "computed"), 1 / 60, "min"))  # fmt: skip
    pressures: list[Input] = [
        ("contact pressure", card.contact, 1e-6, "MPa"),
        ("full pressure", card.pressures[0], 1e-6, "MPa"),
        ("following pressure", s.shop.practice.following_pressure, 1e-6, "MPa"),
    ]
    area: Input = ("cavity area", cavity_area(s.mould.frame), 1.0, "m2")
    bore: list[Input] = []
    if cylinder is not None:
        pressures.append(("rated force", on_file(press, "force", cylinder.force_max, "N"), 1e-3, "kN"))
        bore.append(("pistons", on_file(press, "pistons", cylinder.pistons, ""), 1.0, ""))
        if cylinder.piston_diameter is not None:
            bore.append(
                ("piston", on_file(press, "piston_diameter", cylinder.piston_diameter, "m"), MILLI, "mm")
            )
    return [
        why("steps.at_min", "laying down at 0; transfer at the advised dwell; full pressure and breathing end there;"
            " clamped after the transfer; opened at the late end of the first mould's time", at, PAGE),
        why("steps.pressure_MPa", "contact, full and following pressure on the sheet, no more than rated force / cavity"
            " area", [*pressures, area], PAGE),
        why("steps.gauge_bar", "pressure on the sheet · cavity area / (pistons · π d²/4); none without the bore",
            [*pressures[:3], area, *bore], FLOW),
        why("steps.people", "two to move a mould, one at the pump", [], PAGE,
            note="loading and transferring take two different people trained for hot transfers"),
    ]  # fmt: skip
