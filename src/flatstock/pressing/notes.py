"""What a card has to warn of, one sentence each, worst first."""

from __future__ import annotations

from math import floor

from flatstock.evidence import Value
from flatstock.flow.level import Filling
from flatstock.flow.moisture import steam_volume
from flatstock.plastics.safety import rules
from flatstock.pressing.card_numbers import Card
from flatstock.pressing.rig import rim_and_edge_loss
from flatstock.pressing.trimming import short_words

__all__ = ["WORTH_SAYING", "card_warnings", "practice_notes"]

AIR = 101_325.0  # Pa, standard atmosphere
VERIFIED = (3e-3, 30e-3)  #: m: thicknesses the heat model's default grid has been verified for
HOW_TO_FILL = {
    Filling.TWO_STEPS: Filling.TWO_STEPS.value,
    Filling.TOO_HIGH: "it does not go in, even in two steps; densify the flake or press thinner",
}
WORTH_SAYING = 5e-4  #: water as a mass fraction from which steam is mentioned


def card_warnings(card: Card) -> list[str]:
    """Everything about this card that somebody should read before pressing."""
    return [
        *_dwell(card),
        *_too_thin(card),
        *card.setting.warnings,
        *_charge(card),
        *_spreading(card),
        *_flash(card),
        *_trimming(card),
        *card.pressures[1],
        *_cooling(card),
        *_handling(card),
    ]


def _dwell(card: Card) -> list[str]:
    found = []
    found += practice_notes(card)
    advised = card.advised[0] / 60
    latest = card.heating.dwell_latest
    said = card.beyond_assumed or card.spent  # as practice, or as no window
    if latest is not None and advised > latest.low / 60 and not said:
        found.append(
            f"The advised dwell of {advised:.1f} min is longer than the face is sure to bear"
            f" ({floor(latest.low / 60)} to {latest.high / 60:.0f} min): {_shorter(card, latest)}press thinner, or"
            " lower the set-point."
        )
    if card.heating.late_end_unknown:
        found.append(
            f"In {100 * card.heating.never_melts:.0f} of 100 computed cases the core has not melted through after four"
            " hours: how late it may be is not known, and the dwell rests on this shop's practice alone. This press is"
            " at its limit with this sheet: cut a sheet of each lot open in the middle."
        )
    dips = card.heating.dips
    slow = [
        side
        for side, dip, power in (
            ("bottom", dips[0], card.setting.press.power_bottom.value),
            ("top", dips[1], card.setting.press.power_top.value),
        )
        if power > 0 and dip.recovered is None
    ]
    if slow:
        found.append(
            f"When the core has melted through, the {' and '.join(slow)} platen{' is' if len(slow) == 1 else 's are'}"
            " still below the set-point: let the press come back to it before the next mould, or that one takes longer"
            " than this card says."
        )
    press = card.setting.press
    if min(press.power_bottom.value, press.power_top.value) <= 0:
        found.append("One side of this press is not heated: the unheated platen starts at room temperature.")
    if press.loss is not None and press.loss.value < (least := rim_and_edge_loss(press, card.setting.mould)):
        found.append(
            f"{press.id} has a loss_W_K of {press.loss.value:g} on file, less than what its rims and edges lose by"
            f" their films: it is reckoned with {least:.3g} W/K, and nothing lost through its backs. Measure the loss"
            " again, or give rim_film_W_m2K and edge_film_W_m2K lower values."
        )
    if not VERIFIED[0] <= card.setting.thickness <= VERIFIED[1]:
        found.append("The heat model has been verified for sheets of 3 to 30 mm only; this one lies outside.")
    return found


def _shorter(card: Card, latest: Value) -> str:
    """Less full pressure, where that alone would end the dwell in time."""
    room = floor((latest.low - card.heating.dwell.value - card.breathe_time) / 6) / 10
    enough = card.heating.dwell.high <= latest.low and 0.1 <= room < card.full_time / 60
    return f"ask for --full-pressure {room:g}min, " if enough else ""


def practice_notes(card: Card) -> list[str]:
    """What has to be said where this shop's practice is longer than a face is assumed to bear."""
    latest = card.heating.dwell_latest
    if latest is None or not card.beyond_assumed:
        return []
    return [
        f"The advised dwell is this shop's practice, {card.advised[0] / 60:.3g} min, and at"
        f" {card.setting.set_point.value:.0f} °C that is longer than the face is assumed to bear"
        f" ({floor(latest.low / 60)} to {latest.high / 60:.0f} min): look for yellow or brittle faces. If they are"
        f" sound, write what they bear as face_allowance_min under [{card.setting.plastic.id}] in plastics.toml."
    ]


def _charge(card: Card) -> list[str]:
    charge, setting = card.charge, card.setting
    found = []
    if charge.scale is None:
        found.append(f"No scale of this workshop takes {charge.dry:.1f} kg at once: weigh it in parts.")
    proud = charge.level(charge.net.value).value - setting.mould.frame.thickness
    if proud > 0.2e-3:
        found.append(
            f"Molten, the net charge stands {proud * 1e3:.1f} mm proud of the frame: the frame does not set the"
            " thickness, the charge does. A frame 0.2 to 0.5 mm under the sheet and pressure that follows the"
            " shrinking sheet keep sink and voids away."
        )
    filling = charge.heap_advice.filling
    if filling is not Filling.FITS:
        found.append(
            f"The loose heap stands {charge.heap.value * 1e3:.0f} mm of {setting.press.daylight * 1e3:.0f} mm daylight:"
            f" {HOW_TO_FILL[filling]}."
        )
    for name, mass in charge.weigh_list:
        if mass == 0:
            found.append(
                f"The share of lot {name} is less than half a step of the scale and rounds to nothing."
            )
    if setting.moisture >= WORTH_SAYING:
        water = setting.moisture * charge.weighed
        steam = steam_volume(water_mass=water, temperature=setting.set_point.value, pressure=AIR)
        found.append(
            f"The charge holds {_figures(water * 1e3)} g of water, {_figures(steam * 1e3)} L of steam at"
            f" {setting.set_point.value:.0f} °C; over {100 * rules().wet_charge_share:g} % a charge is refused until it"
            " is dried."
        )
    if not setting.lots:
        found.append(
            f"No released lot of {setting.plastic.id.upper()} is on file: the weigh list names none."
        )
    return found


def _figures(value: float) -> str:
    """Two figures, or whole units from ten on."""
    return f"{value:.0f}" if value >= 10 else f"{value:.2g}"


def _flash(card: Card) -> list[str]:
    flash = card.flash
    if flash.viscosity is None:
        return [
            f"Neither flash nor spreading is predicted, since {flash.unknown}. Until then keep full pressure short,"
            " weigh the flash, and lay the flake level, corners first."
        ]
    return (
        [] if flash.viscosity.kind == "measured" else ["The melt viscosity is an estimate: weigh the flash."]
    )


def _spreading(card: Card) -> list[str]:
    """A melt that may not be at the frame all round when full pressure ends."""
    spread = card.spreading
    contact, full, viscosity = spread.at_contact, spread.at_full, spread.viscosity
    late = spread.verdict(contact_until=card.contact_until, full_time=card.full_time) == "short"
    if not late or contact is None or full is None or viscosity is None:
        return []
    left = 1.0 - (card.full_time / full.high if full.high > 0 else 0.0)
    longer = contact.high * max(left, 0.0) - max(card.contact_until - card.heating.dwell.high, 0.0)
    latest, ways = card.heating.dwell_latest, ["lay the flake level, corners first"]
    if latest is None or card.advised[0] + longer <= latest.low:
        ways.append(f"press {longer / 60:.1f} min longer, at contact pressure")
    force, cylinder = spread.force_within(card.full_time), card.setting.press.cylinder
    more = ""
    if force is not None:
        rated = cylinder is not None and force.value > cylinder.force_max
        beyond = f", more than {card.setting.press.id} is rated for" if rated else ""
        more = f" {_figures(force.value / 1e3)} kN would spread it in the time of full pressure{beyond}."
    return [
        "The melt is not sure to be at the frame all round when full pressure ends: with"
        f" {_figures(viscosity.value / 1e3)} kPa s a heap over {100 * spread.covers.value:.0f} % of the cavity takes"
        f" {contact.value / 60:.2g} min at contact pressure or {full.value / 60:.2g} min at full"
        f" ({full.high / 60:.2g} at the latest). To help:"
        f" {', or '.join(ways)}.{more}"
    ]


def _trimming(card: Card) -> list[str]:
    """A frame that cannot give the size sold."""
    trimming = card.trimming
    if trimming.verdict != "no":
        return []
    return [f"Frame {trimming.frame.id} does not give {trimming.sold}: {short_words(trimming)}."]


def _too_thin(card: Card) -> list[str]:
    """Full pressure that leaves less sheet than is wanted, and what would leave enough."""
    flash, setting = card.flash, card.setting
    thin = None if flash.thickness is None else setting.thickness - flash.thickness.value
    tolerance = setting.shop.practice.thickness_tolerance
    if thin is None or flash.thickness is None or thin <= 2 * tolerance:
        return []
    better = (
        ""
        if flash.advised_time is None
        else f"; {flash.advised_time / 60:.1f} min would use up the allowance"
    )
    return [
        f"Full pressure for {card.full_time / 60:.3g} min squeezes out too much: the sheet comes out"
        f" {flash.thickness.value * 1e3:.2f} mm thick{better}."
    ]


def _cooling(card: Card) -> list[str]:
    if card.cooling is None:
        return ["The workshop has no cooling press on file: cooling under pressure is not computed."]
    found = []
    if card.fans_lacking:
        found.append(
            f"No fans are on file for {card.cooling.shop_press.id}: the cooling times are those with usual fans fitted,"
            " assumed."
        )
    frame, plate = card.setting.mould.frame, card.cooling.shop_press.bottom
    outside, face = (
        sorted(sides) for sides in ((frame.outside_length, frame.outside_width), (plate.length, plate.width))
    )
    if any(side > room + 1e-6 for side, room in zip(outside, face, strict=True)):
        found.append(
            f"Frame {frame.id} is larger than the plates of {card.cooling.shop_press.id}: its rim is neither pressed"
            " nor cooled by them."
        )
    usual = card.setting.shop.practice.following_pressure.value
    if card.following < usual:
        found.append(
            f"{card.cooling.shop_press.id} is rated for {card.following / 1e6:.2g} MPa on this area, less than the"
            f" usual {usual / 1e6:.2g} MPa: sink is likelier."
        )
    names = ("first", "second", "third")
    late = [name for name, value in zip(names, card.cool_times, strict=True) if value is None]
    if late:
        hottest = card.cooling.hottest_when_leaving
        worst = max(h for name, h in zip(names, hottest, strict=True) if name in late)
        remedy = "wait longer between moulds, or cool on a rack"
        if card.setting.cooling and card.setting.cooling.fan_film is not None and not card.fans:
            remedy = "switch the fans on, " + remedy
        which = " and ".join((", ".join(late[:-1]), late[-1]) if late[:-1] else late)
        found.append(
            f"The {which} mould in a row is not below {card.cooling.open_below:g} °C when the next arrives"
            f" after {card.every / 60:.0f} min (about {worst:.0f} °C): the plates keep the heat of the moulds before;"
            f" {remedy}."
        )
    found.append(
        "Do not lay a fresh mould on one that is still warm without looking at the stack first: it heats the lower"
        " sheet up again."
    )
    return found


def _handling(card: Card) -> list[str]:
    most = card.setting.shop.practice.two_person_lift
    if card.charge.mould_mass > most:
        return [
            f"The loaded mould weighs {card.charge.mould_mass:.0f} kg, over the {most:.0f} kg that two people may lift:"
            " slide it at one height or use a lifting aid, never lift it by hand."
        ]
    return []
