"""When can a new order be ready? A promise, what it waits for, and into the order book with it."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Request
from fastapi import Form as Sent
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from flatstock.actions.choices import CardChoices, card_choices
from flatstock.actions.promises import Wanted
from flatstock.errors import Fault, Refused, UserError
from flatstock.prints.text.closing import belonging
from flatstock.units import from_si, parse_number, to_si
from flatstock.web.asked import dial
from flatstock.web.asking import Asking
from flatstock.web.page import place_of, show

__all__ = ["router"]

router = APIRouter()
Word = Annotated[str, Sent(max_length=80)]
CAUTIONS = ("unattended", "claims")


@router.get("/orders/ask", response_class=HTMLResponse)
def ask(request: Request) -> Response:
    """What is asked for, how far the answer is, or the answer."""
    return _page(request, (), {})


@router.post("/orders/ask")
def begin(
    request: Request,
    plastic: Word = "",
    thickness: Word = "",
    count: Word = "",
    colour: Word = "",
    lot: Word = "",
) -> Response:
    """Ask."""
    said = {"plastic": plastic, "thickness": thickness, "count": count, "colour": colour, "lot": lot}
    place = place_of(request)
    try:
        wanted = _wanted(request, said)
    except UserError as error:
        return _page(request, error.faults, said)
    asking: Asking = request.app.state.asking
    if not asking.begin(place.shop(), wanted, place.now()):
        fault = Fault("", "another promise is being worked out", "wait for it, or stop it")
        return _page(request, (fault,), said)
    return RedirectResponse("/orders/ask", 303)


@router.post("/orders/ask/stop")
def stop(request: Request) -> Response:
    """Take what is found so far."""
    asking: Asking = request.app.state.asking
    asking.stop()
    return RedirectResponse("/orders/ask", 303)


@router.get("/orders/ask/progress", response_class=HTMLResponse)
def progress(request: Request) -> Response:
    """How far it is; asked for every other second while it goes on."""
    asking: Asking = request.app.state.asking
    work = asking.state()
    heads = {} if work.going else {"HX-Refresh": "true"}
    return show(request, "ask_progress.html", headers=heads, work=work)


def _wanted(request: Request, said: dict[str, str]) -> Wanted:
    """Raises `Refused` or `WrongWords` at what can't be meant."""
    shop = place_of(request).shop()
    us = shop.units_shown == "us"
    known = {one.id for one in card_choices(shop).plastics}
    if said["plastic"] not in known:
        raise Refused(
            Fault(
                "plastic", f"{said['plastic']!r} can't be pressed here", f"one of {', '.join(sorted(known))}"
            )
        )
    count = parse_number(said["count"], where="sheets")
    if count != int(count):
        raise Refused(Fault("sheets", f"{said['count']} sheets", "write a whole number"))
    if said["lot"] and said["lot"] not in shop.lots:
        raise Refused(
            Fault("lot", f"no lot is called {said['lot']!r}", "leave it to the plan, or name one on file")
        )
    return Wanted(
        plastic=said["plastic"],
        thickness=to_si(parse_number(said["thickness"], where="thickness"), "length", "in" if us else "mm"),
        count=int(count),
        colour=said["colour"].strip() or None,
        lots={said["lot"]: 1.0} if said["lot"] else {},
    )


def _page(request: Request, faults: tuple[Fault, ...], said: dict[str, str]) -> HTMLResponse:
    place = place_of(request)
    shop = place.shop()
    asking: Asking = request.app.state.asking
    work = asking.state()
    choices = card_choices(shop)
    us = shop.units_shown == "us"
    before = work.wanted
    plastic = said.get("plastic") or (before.plastic if before else "")
    if plastic not in {one.id for one in choices.plastics}:
        plastic = choices.plastics[0].id if choices.plastics else ""
    thick = before.thickness if before else _middle(choices)
    given: dict[str, Any] = {
        "work": work,
        "faults": faults or work.faults,
        "choices": choices,
        "plastic": plastic,
        "colour": said.get("colour", (before.colour or "") if before else ""),
        "lot": said.get("lot", next(iter(before.lots), "") if before else ""),
        "lots": [one.id for one in shop.lots.values() if one.status == "released"],
        "colours": sorted({one.colour for one in shop.lots.values() if one.colour}),
        "dials": [
            dial("thickness", "Thickness of the cold sheets", from_si(thick, "length", "in" if us else "mm"),
                 low=from_si(choices.thinnest, "length", "in" if us else "mm"),
                 high=from_si(choices.thickest, "length", "in" if us else "mm"),
                 steps=(0.01,) if us else (0.25,), unit="in" if us else "mm",
                 quick=[from_si(one, "length", "in" if us else "mm") for one in choices.thicknesses]),
            dial("count", "Sheets", before.count if before else 1, low=1, high=30, steps=(1, 5), unit="", quick=[]),
        ],
        "cautions": belonging(work.document["cautions"], CAUTIONS) if work.document else [],
    }  # fmt: skip
    return show(request, "ask.html", status=422 if faults else 200, **given)


def _middle(choices: CardChoices) -> float:
    there = choices.thicknesses
    return there[len(there) // 2] if there else choices.thinnest
