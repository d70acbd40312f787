"""How many flakes to look through, and what a lot's water does in the press: both answered as the dials turn."""

from __future__ import annotations

from typing import Annotated, Any
from urllib.parse import urlencode

from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse, Response

from flatstock.actions.looking_through import SampleAsked, WaterAsked, look_through, steam_of, usual_charge
from flatstock.actions.wet_flake import USUAL, drying_words
from flatstock.errors import OutOfRange, UserError
from flatstock.units import from_si, parse_number, to_si
from flatstock.web.asked import dial
from flatstock.web.page import place_of, show, wants_part
from flatstock.web.reasons import reasons_of
from flatstock.workshop.shop import Lot, Workshop

__all__ = ["router"]

router = APIRouter()
Word = Annotated[str, Query(max_length=20)]
FLAKE = 45.0  # mg; a flake of 8 mm of a bottle's wall, common practice, no source


@router.get("/store/sample", response_class=HTMLResponse)
def sample(
    request: Request,
    share: Word = "0.1",
    sure: Word = "95",
    flake: Word = "",
    looked: Word = "",
    found: Word = "0",
    lot: Annotated[str, Query(max_length=80)] = "",
) -> Response:
    """Flakes to look through without a find, and what a find says."""
    place = place_of(request)
    shop = place.shop()
    us = shop.units_shown == "us"
    words = {"share": share, "sure": sure, "flake": flake, "looked": looked, "found": found, "lot": lot}
    given: dict[str, Any] = {"lot": lot if lot in shop.lots else "", "people": list(shop.people)}
    numbers = {"share": 0.1, "sure": 95.0, "flake": FLAKE, "looked": 0.0, "found": 0.0}
    try:
        numbers |= {name: parse_number(words[name], where=name) for name in numbers if words[name]}
        asked = SampleAsked(
            share=numbers["share"] / 100,
            confidence=numbers["sure"] / 100,
            flake=numbers["flake"] * 1e-6,
            looked=round(numbers["looked"]) or None,
            found=round(numbers["found"]),
        )
        document = look_through(asked)
        given |= {"document": document, "reasons": reasons_of(document, place.shown()), "asked": asked}
        status = 200
    except (UserError, OutOfRange, OverflowError) as error:
        given |= {"faults": getattr(error, "faults", ()), "outside": str(error)}
        status = 422
    if wants_part(request):
        heads = {"HX-Replace-Url": _address("/store/sample", words)}
        return show(request, "sample_answer.html", status=status, headers=heads, **given)
    given["dials"] = [
        dial("share", "Share that must not be missed, by count", numbers["share"], low=0.01, high=5.0,
             steps=(0.01, 0.1), unit="%", quick=[0.05, 0.1, 0.5, 1.0]),
        dial("sure", "How sure", numbers["sure"], low=80, high=99.9, steps=(1,), unit="%", quick=[90, 95, 99]),
        dial("flake", "One flake weighs (a hundred on the scale, by 100)", numbers["flake"], low=1, high=500,
             steps=(1, 10), unit="mg", quick=[FLAKE]),
        dial("looked", "Flakes looked through so far", numbers["looked"], low=0, high=20000, steps=(10, 100),
             unit="", quick=[]),
        dial("found", "Strangers found among them", numbers["found"], low=0, high=50, steps=(1,), unit="", quick=[]),
    ]  # fmt: skip
    given["us"] = us
    return show(request, "sample.html", status=status, **given)


@router.get("/store/water", response_class=HTMLResponse)
def water(
    request: Request,
    charge: Word = "",
    moisture: Word = "",
    set_point: Word = "",
    pressure: Word = "",
    before: Word = "",
    after: Word = "",
    lot: Annotated[str, Query(max_length=80)] = "",
) -> Response:
    """Litres of steam in a charge, and whether to dry it first."""
    place = place_of(request)
    shop = place.shop()
    us = shop.units_shown == "us"
    of_lot = shop.lots.get(lot)
    words = {"charge": charge, "moisture": moisture, "set_point": set_point, "pressure": pressure,
             "before": before, "after": after, "lot": lot}  # fmt: skip
    kg, celsius, press = ("lb", "F", "psi") if us else ("kg", "C", "MPa")
    whole, point = _usual(shop, of_lot)
    si = {
        "charge": whole,
        "moisture": (of_lot.moisture if of_lot and of_lot.moisture is not None else 0.003),
        "set_point": point,
        "pressure": shop.practice.full_pressure.value,
    }
    given: dict[str, Any] = {"lot": lot if of_lot else "", "people": list(shop.people), "said": words}
    given |= {"water_said": False, "drying": drying_words(shop, of_lot.plastic if of_lot else "")}
    first = si["moisture"]
    try:
        if charge:
            si["charge"] = to_si(parse_number(charge, where="charge"), "mass", kg)
        if set_point:
            si["set_point"] = to_si(parse_number(set_point, where="set-point"), "temperature", celsius)
        if pressure:
            si["pressure"] = to_si(parse_number(pressure, where="pressure"), "pressure", press)
        if moisture:
            si["moisture"] = parse_number(moisture, where="water") / 100
        if before and after:
            wet, dry = parse_number(before, where="before drying"), parse_number(after, where="after drying")
            if not 0 < dry <= wet:
                raise OutOfRange("what is left after drying weighs something, and no more than before")
            si["moisture"] = (wet - dry) / wet
        # what the dial starts with is nobody's measurement: it is not offered to be noted
        given["water_said"] = bool(before and after) or abs(si["moisture"] - first) > 1e-9
        document = steam_of(
            WaterAsked(
                charge=si["charge"],
                moisture=si["moisture"],
                set_point=si["set_point"],
                pressure=si["pressure"],
                moisture_source="lots of this workshop"
                if of_lot and not (moisture or before)
                else "asked for",
            )
        )
        given |= {"document": document, "reasons": reasons_of(document, place.shown()), "asked": si}
        status = 200
    except (UserError, OutOfRange, OverflowError) as error:
        given |= {"faults": getattr(error, "faults", ()), "outside": str(error)}
        status = 422
    if wants_part(request):
        heads = {"HX-Replace-Url": _address("/store/water", words)}
        return show(request, "water_answer.html", status=status, headers=heads, **given)
    given["dials"] = [
        dial("charge", "Charge", round(from_si(si["charge"], "mass", kg), 2), low=1, high=from_si(40, "mass", kg),
             steps=(0.1, 1), unit=kg, quick=[]),
        dial("moisture", "Water in it, by mass", round(si["moisture"] * 100, 4), low=0.0, high=2.0, steps=(0.01, 0.05),
             unit="%", quick=[0.05, 0.1, 0.3]),
        dial("set_point", "Set-point of the platens", round(from_si(si["set_point"], "temperature", celsius), 1),
             low=from_si(120, "temperature", celsius), high=from_si(260, "temperature", celsius),
             steps=(1, 5), unit="°F" if us else "°C", quick=[]),
        dial("pressure", "Pressure on the sheet", round(from_si(si["pressure"], "pressure", press), 1 if us else 3),
             low=0, high=from_si(2e6, "pressure", press), steps=(5,) if us else (0.05,), unit=press, quick=[]),
    ]  # fmt: skip
    return show(request, "water.html", status=status, **given)


def _usual(shop: Workshop, lot: Lot | None) -> tuple[float, float]:
    """Charge and set-point of a lot's plastic at the shop's middle frame, where there is one."""
    released = (one.plastic for one in shop.lots.values() if one.status == "released")
    plastic = lot.plastic if lot else next(released, "")
    return usual_charge(shop, plastic) or USUAL


def _address(path: str, words: dict[str, str]) -> str:
    return f"{path}?{urlencode({name: value for name, value in words.items() if value})}"
