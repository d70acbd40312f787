"""Before the first sheet: the room to scale, the electrical supply, what to buy when."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response

from flatstock.actions.outlay_reasons import outlay_reasons
from flatstock.actions.outlays import OutlayAnswer, plan_outlay
from flatstock.actions.supplies import SupplyAnswer, look_at_supply
from flatstock.errors import UserError
from flatstock.prints.drawing.cash import cash_svg
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
from flatstock.web.answers import Rest
from flatstock.web.beside import known_before
from flatstock.web.page import place_of, show
from flatstock.web.pages.room import looking_words, room_of, search_for, short_words, shortening
from flatstock.web.papers import paper_of
from flatstock.web.reasons import reasons_of

__all__ = ["router"]

router = APIRouter()
Answer = TypeVar("Answer")
FILES = {"room": "room.toml", "supply": "supply.toml", "purchases": "outlay.toml"}


@router.get("/before", response_class=HTMLResponse)
def before(request: Request) -> Response:
    """The three questions, with the short answer to each."""
    place = place_of(request)
    short: dict[str, Any] = {}
    for name, file in FILES.items():
        if name == "purchases" and request.state.visitor.role != "lead":  # money is a lead's
            continue
        if not place.has(file):
            short[name] = None
            continue
        try:
            short[name] = _short(request, name)
        except UserError as error:
            short[name] = error.faults[0].sentence()
    return show(
        request, "before.html", short=short, looking=search_for(request), shortening=shortening(request)
    )


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
    return paper_of(request, lambda path: supply_pdf(answer.document, path, answer.paper), "supply.pdf")


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
        reasons=reasons_of(outlay_reasons(document), place_of(request).shown()),
        cautions=belonging(document["cautions"], ("money",)),
    )


@router.get("/before/purchases.pdf")
def purchases_paper(request: Request) -> Response:
    """The dossier for a lender."""
    answer = _outlay(request)
    return paper_of(
        request,
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
        outcome, work = room_of(request)
        return looking_words(work) if outcome is None else short_words(outcome)
    if name == "supply":
        return verdict_words(_supply(request).document)
    return headline(_outlay(request).document)


def _supply(request: Request) -> SupplyAnswer:
    return _once(request, look_at_supply, rests_on="no lot")


def _outlay(request: Request) -> OutlayAnswer:
    """What weeks bring is measured with lots that never run out, so that what they hold now does not count."""
    return _once(request, plan_outlay, rests_on="lots")


def _once(request: Request, work_out: Callable[..., Answer], *, rests_on: Rest) -> Answer:
    place = place_of(request)
    return known_before(
        request,
        work_out.__name__,
        lambda beside: work_out(place.folder, beside, made_at=place.now()),
        rests_on=rests_on,
    )
