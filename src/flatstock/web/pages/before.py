"""Before the first sheet: the room to scale, the electrical supply, what to buy when."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response

from flatstock.actions.outlays import plan_outlay
from flatstock.actions.rooms import place_room
from flatstock.actions.supplies import look_at_supply
from flatstock.actions.workshops import shop_beside
from flatstock.errors import Refused, UserError
from flatstock.prints.drawing.cash import cash_svg
from flatstock.prints.drawing.floor import room_svg
from flatstock.prints.outlay_words import (
    NECESSITY_WORDS,
    OF_WORDS,
    headline,
    money,
    month_name,
    payback,
    waits,
)
from flatstock.prints.pdf import outlay_pdf, supply_pdf
from flatstock.prints.pdf.room import room_pdf
from flatstock.prints.room_words import air_lines, fire_lines, walking_order
from flatstock.prints.supply_words import (
    CABLE_WORDS,
    LEAKAGE_WORDS,
    START_WORDS,
    amps,
    connection_words,
    hangs,
    sum_rows,
    verdict_words,
)
from flatstock.prints.text.closing import belonging
from flatstock.web.answers import Answers
from flatstock.web.page import place_of, show
from flatstock.web.papers import paper_of
from flatstock.web.reasons import reasons_of

__all__ = ["router"]

router = APIRouter()
ROOM_SECONDS = 20.0  #: at most, for a first plan
STATUS = {
    "optimal": "The best there is on this grid, proven.",
    "feasible": "It passes every rule; a shorter walk is not ruled out.",
    "impossible": "It can't be, proven.",
    "unknown": "Not found in the time given; that does not say that it can't be.",
}
FILES = {"room": "room.toml", "supply": "supply.toml", "purchases": "outlay.toml"}


@router.get("/before", response_class=HTMLResponse)
def before(request: Request) -> Response:
    """The three questions, with the short answer to each."""
    place = place_of(request)
    short: dict[str, Any] = {}
    for name, file in FILES.items():
        if not place.has(file):
            short[name] = None
            continue
        try:
            short[name] = _short(request, name)
        except UserError as error:
            short[name] = error.faults[0].sentence()
    return show(request, "before.html", short=short)


@router.get("/before/room", response_class=HTMLResponse)
def room(request: Request) -> Response:
    """The room from above, to scale."""
    outcome = _room(request)
    document = outcome.document
    return show(
        request,
        "room.html",
        room=document,
        drawing=room_svg(document, scale=50, system=outcome.system),
        proven=STATUS[document["proof"]["status"]],
        order=walking_order(document),
        air=air_lines(document),
        fire=fire_lines(document),
        cautions=belonging(document["cautions"], ("room", "fire", "electricity")),
    )


@router.get("/before/room.pdf")
def room_paper(request: Request) -> Response:
    """The room on paper."""
    outcome = _room(request)
    size = "letter" if outcome.paper == "letter" else "a4"
    return paper_of(lambda path: room_pdf(outcome.document, path, size, outcome.system), "room.pdf")


@router.get("/before/supply", response_class=HTMLResponse)
def supply(request: Request) -> Response:
    """What the connection carries."""
    document = _supply(request).document
    lines = document["supply"]["phases"]
    return show(
        request,
        "supply.html",
        supply=document,
        lines=range(lines),
        connection=connection_words(document["supply"]),
        verdict=verdict_words(document),
        amps=amps,
        on_each=lambda load: _on_each(load, lines),
        hangs=lambda load: hangs(load, lines),
        sums=sum_rows(document["worst"], "everything on"),
        start_words=START_WORDS,
        cable_words=CABLE_WORDS,
        leakage_words=LEAKAGE_WORDS,
        reasons=reasons_of(document, place_of(request).shown()),
        cautions=belonging(document["cautions"], ("electricity",)),
    )


@router.get("/before/supply.pdf")
def supply_paper(request: Request) -> Response:
    """The supply on paper, two sheets for the electrician."""
    answer = _supply(request)
    return paper_of(lambda path: supply_pdf(answer.document, path, answer.paper), "supply.pdf")


@router.get("/before/purchases", response_class=HTMLResponse)
def purchases(request: Request) -> Response:
    """What to buy in which month, and whether it pays."""
    document = _outlay(request).document
    return show(
        request,
        "purchases.html",
        outlay=document,
        headline=headline(document),
        drawing="" if document["refused"] else cash_svg(document),
        money=money,
        month=lambda number: month_name(document, number),
        payback=payback,
        waits=waits,
        necessity=NECESSITY_WORDS,
        of_words=OF_WORDS,
        cautions=belonging(document["cautions"], ("money",)),
    )


@router.get("/before/purchases.pdf")
def purchases_paper(request: Request) -> Response:
    """The dossier for a lender."""
    answer = _outlay(request)
    return paper_of(
        lambda path: outlay_pdf(answer.document, path, answer.paper, premises=answer.premises),
        "purchases.pdf",
    )


def _on_each(load: Any, lines: int) -> list[float]:
    """Amperes of a load on each line."""
    if load["connection"] == "3P":
        return [load["current_A"]] * lines
    first = (load["phase"] or 1) - 1
    hung = {first} if load["connection"] == "LN" else {first, (first + 1) % lines}
    return [load["current_A"] if n in hung else 0.0 for n in range(lines)]


def _short(request: Request, name: str) -> str:
    if name == "room":
        document = _room(request).document
        walk = document["walk_m_per_day"]
        if walk is None:
            return STATUS[document["proof"]["status"]]
        return f"{len(walking_order(document))} things stand in it; {walk:.0f} m walked a day."
    if name == "supply":
        return verdict_words(_supply(request).document)
    return headline(_outlay(request).document)


def _room(request: Request) -> Any:
    """The first plan that passes every rule; `flatstock room` looks for the shortest walk as long as it is told."""
    return _kept(
        request,
        "room",
        lambda folder, now: place_room(
            folder, shop_beside(folder), first=True, seconds=ROOM_SECONDS, made_at=now
        ),
    )


def _supply(request: Request) -> Any:
    return _kept(
        request, "supply", lambda folder, now: look_at_supply(folder, shop_beside(folder), made_at=now)
    )


def _outlay(request: Request) -> Any:
    return _kept(
        request, "purchases", lambda folder, now: plan_outlay(folder, shop_beside(folder), made_at=now)
    )


def _kept(request: Request, name: str, work_out: Any) -> Any:
    """The answer, kept as long as no file of the workshop changes; a shop.toml may still be missing."""
    place, answers = place_of(request), request.app.state.answers
    assert isinstance(answers, Answers)
    try:
        shop = place.shop() if place.started else None
    except Refused:  # its faults are told where they matter; these three questions need no shop
        shop = None
    if shop is None:
        return work_out(place.folder, place.now())
    return answers.kept(shop, name, lambda: work_out(place.folder, place.now()))
