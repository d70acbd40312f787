"""What a flake is: put it in a liquid, tap what it did, and see what is left and what to try next."""

from __future__ import annotations

from typing import Annotated, Any, Literal, cast
from urllib.parse import urlencode

from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse, Response

from flatstock.actions.float_sink import WATER, FloatAnswer, Liquid, Seen, look_at_floating, ready_liquid
from flatstock.errors import Fault, UserError, WrongWords
from flatstock.prints.drawing.densities import densities_svg
from flatstock.prints.words import plastic_name
from flatstock.units import parse_number
from flatstock.web.page import place_of, show

__all__ = ["router", "seen_in"]

router = APIRouter()
DID = ("floats", "hovers", "sinks")
MOST = 12  #: observations of one flake
OUNCES_A_GALLON = (
    35.27396195 * 3.785411784
)  #: of solute for a US gallon of water of 1 kg/L, for each kg of solute a kg
#: the liquids that a workshop keeps ready beside water [kg/m3]; the first and last two split the commodity plastics
USUAL = (925.0, WATER, 1080.0, 1190.0)


@router.get("/store/float", response_class=HTMLResponse)
def floating(
    request: Request,
    seen: Annotated[list[str] | None, Query(max_length=MOST)] = None,
    lot: Annotated[str, Query(max_length=80)] = "",
    liquid: Annotated[str, Query(max_length=20)] = "",
) -> Response:
    """One flake's way through the liquids."""
    place = place_of(request)
    shop = place.shop()
    faults: tuple[Fault, ...] = ()
    told: list[Seen] = []
    chosen: Liquid | None = None
    try:
        told = [_seen(one) for one in seen or ()]
        chosen = ready_liquid(_kg_m3(liquid)) if liquid else None
    except UserError as error:
        faults = error.faults
    answer = look_at_floating(shop, told)
    following = chosen or (answer.best.liquid if answer.best and len(answer.left) > 1 else None)
    words = [_word(one) for one in answer.seen]
    given: dict[str, Any] = {
        "answer": answer,
        "faults": faults,
        "lot": lot if lot in shop.lots else "",
        "said": shop.lots[lot].plastic if lot in shop.lots else "",
        "seen": list(zip(answer.seen, words, strict=True)),
        "without": [_address([w for n, w in enumerate(words) if n != out], lot) for out in range(len(words))],
        "following": following,
        "asked": liquid,
        "mix": place.saying().words(place.shown().prose(_mix(following, shop.units_shown == "us"))),
        "usual": [ready_liquid(one) for one in USUAL],
        "did": DID,
        "tell": lambda density, did: f"{density:.1f}:{did}",
        "left": list(answer.left),
        "people": list(shop.people),
        "splits": _splits(answer) if chosen is None else None,
        "drawing": densities_svg(
            [
                {
                    "name": one.id.upper().replace("_", " "),
                    "low": one.low,
                    "high": one.high,
                    "left": one in answer.left,
                }
                for one in answer.every
            ],
            [(one.density, one.did) for one in answer.seen],
            following.density if following else None,
        ),
    }
    return show(request, "floating.html", status=422 if faults else 200, **given)


def seen_in(text: str) -> list[Seen]:
    """What a result on record was read from: "1085.0:floats 943.0:sinks". Raises `WrongWords`."""
    return [_seen(one) for one in text.split()[:MOST]]


def _seen(text: str) -> Seen:
    """An observation of an address: "998.2:floats"."""
    density, _, did = text.partition(":")
    if did not in DID:
        raise WrongWords(Fault("seen", f"a flake does not do {did[:20]!r}", f"it {', '.join(DID)}"))
    known = ready_liquid(parse_number(density, where="seen")).density
    return Seen(density=known, did=cast("Literal['floats', 'sinks', 'hovers']", did))


def _word(one: Seen) -> str:
    return f"{one.density:.1f}:{one.did}"


def _address(words: list[str], lot: str) -> str:
    asked = [("seen", one) for one in words] + ([("lot", lot)] if lot else [])
    return f"/store/float?{urlencode(asked)}"


def _kg_m3(text: str) -> float:
    """A density in g/cm³ as it is read off a hydrometer, or in kg/m³."""
    number = parse_number(text, where="liquid")
    return number * 1000.0 if number < 10 else number


def _mix(liquid: Liquid | None, us: bool) -> str:
    """What to put into the jar."""
    if liquid is None or not liquid.percent:
        return "" if liquid is None else "as it comes from the tap"
    solute = liquid.name.partition("% ")[2].removesuffix(" in water")
    amount = (
        f"{OUNCES_A_GALLON * liquid.per_kg_water:.1f} oz of {solute} to a gallon of water"
        if us
        else f"{1000 * liquid.per_kg_water:.0f} g of {solute} to 1 kg of water (a litre)"
    )
    return f"{amount}, by weight; check with a hydrometer at 20 °C"


def _splits(answer: FloatAnswer) -> dict[str, list[str]] | None:
    """What would be left after each outcome of the best test."""
    best = answer.best
    if best is None or len(answer.left) < 2:
        return None
    names = {one.id: plastic_name(one.id) for one in answer.left}
    return {"floats": [names[one] for one in best.floats], "sinks": [names[one] for one in best.sinks]}
