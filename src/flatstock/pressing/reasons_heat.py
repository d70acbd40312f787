"""What the heat answers of a card rest on beside what their bands come from: the sheet, the machines, the rules."""

from __future__ import annotations

from flatstock.pressing.card_numbers import Card
from flatstock.pressing.polymers import kinds_of
from flatstock.pressing.reason_inputs import FLOW, MILLI, PAGE, Input, cavity_area, on_file, sure

__all__ = ["settled_cold", "settled_hot"]


def settled_hot(card: Card) -> list[Input]:
    """Of melting through, the dip and the energy."""
    s, press = card.setting, card.setting.press
    found: list[Input] = [
        ("plastic in the charge", sure(card.charge.plastic_mass, "kg", FLOW, "computed"), 1.0, "kg"),
        ("water in the charge", sure(s.moisture * card.charge.weighed, "kg", FLOW, "computed"), 1.0, "kg"),
        ("cavity area", cavity_area(s.mould.frame), 1.0, "m2"),
        ("set-point", s.set_point, 1.0, "°C"),
        ("room, and charge at first", s.shop.room, 1.0, "°C"),
        *_plastics(card, ("melting begins", "melting_onset"), ("melting ends", "melting_end")),
        ("platen length", on_file(press, "platen_length", press.bottom.length, "m"), MILLI, "mm"),
        ("platen width", on_file(press, "platen_width", press.bottom.width, "m"), MILLI, "mm"),
        ("bottom platen", on_file(press, "platen_thickness", press.bottom.thickness, "m"), MILLI, "mm"),
        ("top platen", on_file(press, "platen_thickness", press.top.thickness, "m"), MILLI, "mm"),
        *_mould(card),
        ("closed after", on_file(press, "close_after", press.close_after, "s"), 1.0, "s"),
    ]
    if press.heated_mass is not None:
        found.append(("heated mass", on_file(press, "heated_mass", press.heated_mass, "kg"), 1.0, "kg"))
    if press.control == "on_off":
        found.append(("band of the controller", on_file(press, "control_band", press.band, "K"), 1.0, "K"))
    else:
        found.append(("gain of the controller", press.gain, 1.0, "W/m2K"))
    return found


def settled_cold(card: Card) -> list[Input]:
    """Of the times under cooling pressure."""
    s, cooling, practice = card.setting, card.setting.cooling, card.setting.shop.practice
    if cooling is None:
        return []
    asked = card.question.every
    every = sure(card.every, "s", PAGE, "computed") if asked is None else sure(asked, "s", "asked for")
    lost = 0.0 if card.flash.mass is None else card.flash.mass.value
    found: list[Input] = [
        ("advised dwell", sure(card.advised[0], "s", PAGE, "computed"), 1 / 60, "min"),
        ("sheet", sure(card.charge.plastic_mass - lost, "kg", FLOW, "computed"), 1.0, "kg"),
        ("cavity area", cavity_area(s.mould.frame), 1.0, "m2"),
        ("through the air", on_file(practice, "air_time", practice.air_time, "s"), 1.0, "s"),
        ("from mould to mould", every, 1 / 60, "min"),
        ("room, and plates at first", s.shop.room, 1.0, "°C"),
        ("plate length", on_file(cooling, "platen_length", cooling.bottom.length, "m"), MILLI, "mm"),
        ("plate width", on_file(cooling, "platen_width", cooling.bottom.width, "m"), MILLI, "mm"),
        ("bottom plate", on_file(cooling, "platen_thickness", cooling.bottom.thickness, "m"), MILLI, "mm"),
        ("top plate", on_file(cooling, "platen_thickness", cooling.top.thickness, "m"), MILLI, "mm"),
        *_mould(card),
        *_plastics(card, ("freezing begins", "freezing_onset"), ("freezing ends", "freezing_end")),
    ]
    if s.process.open_below is not None:
        found.append(("release limit", s.process.open_below, 1.0, "°C"))
    return found


def _plastics(card: Card, *ranges: tuple[str, str]) -> list[Input]:
    """Where each plastic of the charge melts or freezes, and how much there is of it where there are several."""
    s = card.setting
    kinds = kinds_of(s.thermal, s.plastic.id)
    if len(kinds) == 1:
        return [(words, getattr(own, name), 1.0, "°C") for _, own in kinds for words, name in ranges]
    shares: list[Input] = [
        (f"share of {one.id.upper()}", sure(share, "", "lots of the charge", "computed"), 100.0, "%")
        for one, share in s.melting
    ]
    return shares + [
        (f"{plastic.upper()}: {words}", getattr(own, name), 1.0, "°C")
        for plastic, own in kinds
        for words, name in ranges
    ]


def _mould(card: Card) -> list[Input]:
    frame, skin = card.setting.mould.frame, card.setting.mould.skin
    return [
        ("skin", on_file(skin, "thickness", skin.thickness, "m"), MILLI, "mm"),
        ("frame, half its heat on each skin", on_file(frame, "mass", frame.mass, "kg"), 1.0, "kg"),
    ]
