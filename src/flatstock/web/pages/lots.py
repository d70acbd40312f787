"""Taking a lot in, its page, its tests, and who holds or releases it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Annotated, Any, cast

from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from starlette.concurrency import run_in_threadpool

from flatstock.actions.float_sink import look_at_floating
from flatstock.actions.lot_book import STATUSES, Status, enter_lot, give_status
from flatstock.actions.lot_page import check_stock, next_lot_name, page_of_lot, take_over_scale
from flatstock.actions.lot_reasons import lot_reasons
from flatstock.actions.lot_results import write_down
from flatstock.actions.lot_state import held_through
from flatstock.actions.lot_tests import SHORT, required_tests
from flatstock.actions.wet_flake import is_wet, steam_words
from flatstock.errors import Fault, Refused, UserError
from flatstock.plastics.library import library
from flatstock.plastics.safety import cautions_for
from flatstock.prints.pdf.labels import LABELS
from flatstock.units import parse_measure, parse_number, to_si
from flatstock.web.floorwork import Floorwork
from flatstock.web.noting import done, note, told_of
from flatstock.web.page import place_of, show
from flatstock.web.pages.floating import seen_in
from flatstock.web.planning_on import plan_on_after
from flatstock.web.reasons import reasons_of
from flatstock.workshop.layouts import layout
from flatstock.workshop.shop import Workshop

__all__ = ["router"]

router = APIRouter()
Word = Annotated[str, Query(max_length=80)]
#: reasons that are a tap away, by the status they give
WHYS: dict[Status, tuple[str, ...]] = {
    "quarantine": ("its tests are not in", "looks odd", "a sheet of it failed", "a customer complained"),
    "blocked": ("PVC found", "bromine found", "acrid fume at the press", "never pressed here"),
    "released": ("all its tests are in", "looked at again: clean", "dried and weighed again"),
    "empty": ("used up", "given away", "thrown away"),
}
WORDS: dict[Status, str] = {
    "quarantine": "Hold it",
    "blocked": "Block it",
    "released": "Release it",
    "empty": "It is used up",
}
#: what a test asks for beside passed or failed: label, unit, unit where shops read pounds, and the two words
ASKS: dict[str, tuple[str, str, str, str, str]] = {
    "moisture": ("water by mass", "%", "%", "dry enough", "dry it first"),
    "bulk_density": ("loose, level, tapped once", "kg/m³", "lb/ft³", "as usual", "not as usual"),
    "bromine": ("", "", "", "clear", "found"),
    "chlorine": ("", "", "", "clear", "found"),
    "float_sink": ("", "", "", "as expected", "not as expected"),
    "melt_under_extract": ("", "", "", "as expected", "not as expected"),
    "zero_find": ("", "", "", "clean enough", "too many strangers"),
    "paper": ("", "", "", "seen, and it fits", "missing, or it does not fit"),
}
#: what a field of the list is called on the form of a new lot
FIELDS = {
    "id": "Its number",
    "mass_kg": "On the scale",
    "plastic": "Plastic",
    "form": "What it was",
    "colour": "Colour",
    "parents": "Made from",
    "note": "Whose, and their papers",
    "origin": "Where it comes from",
}
USUAL = ("", "", "", "passed", "failed")


@router.get("/store/new", response_class=HTMLResponse)
def new(request: Request) -> Response:
    """The form of a new lot."""
    return _new(request, {}, ())


@router.get("/store/new/tests", response_class=HTMLResponse)
def asked_of(request: Request, origin: Word = "unknown", colour: Word = "", form: Word = "") -> Response:
    """What such a lot must be tested for."""
    return show(
        request, "lot_tests_asked.html", tests=required_tests(origin, colour=colour, form=form), origin=origin
    )


@router.post("/store/new")
async def enter(request: Request) -> Response:
    """Take it in; it stands in quarantine until its tests are in."""
    said = await _said(request)
    place = place_of(request)
    us = place.shop().units_shown == "us"
    try:
        who = _who(said)
        mass = parse_measure(said.get("mass", ""), "mass", unit="lb" if us else "kg", where="mass")
        row = {
            name: said.get(name, "")
            for name in ("id", "plastic", "form", "colour", "origin", "parents", "note")
        }
        row |= {"mass_kg": f"{mass:.6g}", "status": "quarantine"}
        faults = await run_in_threadpool(
            enter_lot,
            place.folder,
            row,
            at=place.instant(),
            who=who,
            why="taken in: its tests are not in yet",
        )
    except UserError as error:
        faults = error.faults
    if faults:
        return _new(request, said, tuple(_on_the_form(one) for one in faults))
    request.app.state.live.tell()
    return RedirectResponse(f"/store/lot/{said['id'].strip()}", 303)


def _on_the_form(fault: Fault) -> Fault:
    """A fault of the lot's line in the list, at the field of the form that it comes from.

    >>> _on_the_form(Fault("lots.csv line 9, lots.B 1.id", "'B 1' is no id", "")).where
    'Its number'
    """
    field = fault.where.rpartition(".")[2]
    return (
        replace(fault, where=FIELDS[field]) if fault.where.startswith("lots.") and field in FIELDS else fault
    )


@router.get("/store/lot/{lot}", response_class=HTMLResponse)
def lot(request: Request, lot: str) -> Response:
    """Everything of one lot."""
    return _page(request, lot, ())


@router.get("/store/lot/{lot}/test", response_class=HTMLResponse)
def form_of_test(request: Request, lot: str, test: Word = "") -> Response:
    """The form of one test."""
    return _test(request, lot, test, {}, ())


@router.post("/store/lot/{lot}/test")
async def tested(request: Request, lot: str) -> Response:
    """Note a test's result, and do what follows from it."""
    said = await _said(request)
    place = place_of(request)
    try:
        answer = await run_in_threadpool(_note_test, request, lot, said)
        faults = await run_in_threadpool(
            write_down, place.folder, place.shop(), answer, device=request.state.device or None
        )
    except UserError as error:
        faults = error.faults
    if faults:
        return _test(request, lot, said.get("test", ""), said, faults)
    request.app.state.live.tell()
    return RedirectResponse(f"/store/lot/{lot}", 303)


@router.post("/store/lot/{lot}/status")
async def status(request: Request, lot: str) -> Response:
    """Hold, block or release it, with who and why."""
    said = await _said(request)
    place = place_of(request)
    wanted = said.get("status", "")
    try:
        if wanted not in STATUSES:
            raise Refused(Fault("status", f"{wanted!r} is no status", f"one of {', '.join(STATUSES)}"))
        if wanted == "released" and request.state.visitor.role != "lead":
            raise Refused(Fault("release", "this device may hold a lot, not release one", "ask a lead"))
        page = page_of_lot(_work(request).board().store, place.shop(), lot)
        if wanted == "released" and page.holds:
            raise Refused(page.holds)
        why = said.get("why_else", "").strip() or said.get("why", "")
        given = await run_in_threadpool(
            give_status,
            place.folder,
            lot,
            cast("Status", wanted),
            at=place.instant(),
            who=_who(said),
            why=why,
            device=request.state.device or None,
        )
    except UserError as error:
        return _page(request, lot, error.faults)
    request.app.state.live.tell()
    await run_in_threadpool(plan_on_after, request, [given])
    return RedirectResponse(f"/store/lot/{lot}", 303)


@router.post("/store/lot/{lot}/count")
async def count(request: Request, lot: str) -> Response:
    """The lot on the scale against its book; written into the book only when asked to.

    A device without a network keeps what it shall write, and tells it once, with the moment it was on the scale.
    """
    said = await _said(request)
    told = told_of(request, said)
    place = place_of(request)
    us = place.shop().units_shown == "us"
    try:
        mass = parse_measure(said.get("mass", ""), "mass", unit="lb" if us else "kg", where="mass")
        if said.get("do") != "write":
            store = _work(request).board().store
            stock = await run_in_threadpool(check_stock, store, place.shop(), lot, mass)
            return _page(request, lot, (), stock=stock, mass_typed=said["mass"], counter=said.get("who", ""))
        await run_in_threadpool(
            take_over_scale,
            place.folder,
            lot,
            mass,
            at=place.instant() if told is None else told.at,
            who=_who(said),
            device=request.state.device or None,
            told=None if told is None else told.id,
        )
    except UserError as error:
        return _page(request, lot, error.faults, mass_typed=said.get("mass", ""), counter=said.get("who", ""))
    request.app.state.live.tell()
    return done(request, f"/store/lot/{lot}")


def _note_test(request: Request, lot: str, said: dict[str, str]) -> Any:
    """The event. Raises `Refused` or `WrongWords`."""
    place = place_of(request)
    shop = place.shop()
    page_of_lot(_work(request).board().store, shop, lot)
    test, result = said.get("test", ""), said.get("result", "")
    if test not in ASKS:
        raise Refused(Fault("test", f"there is no test {test!r}", "tap one on the lot's page"))
    if result not in ("passed", "failed"):
        raise Refused(Fault("result", "it has none", "tap what came out"))
    if test == "float_sink" and result == "passed":
        _fits(shop, lot, said.get("seen", ""))
    facts: dict[str, str | float] = {"lot": lot, "test": test, "result": result}
    unit = ASKS[test][2 if shop.units_shown == "us" else 1]
    if text := said.get("number", "").strip():
        number = parse_number(text, where="result")
        dimension, to = {"bulk_density": ("density", "kg/m3")}.get(test, ("", ""))
        facts["number"] = number if not dimension else to_si(number, dimension, unit.replace("³", "3"))
        if to:
            facts["number"] = float(f"{facts['number']:.6g}")
    if test == "zero_find" and result == "passed":
        _clean(facts, said.get("share", ""))
    if test in ("moisture", "bulk_density") and "number" not in facts:
        raise Refused(Fault("result", f"what was the {ASKS[test][0]}?", "write the number"))
    for name in ("found", "seen"):
        if said.get(name, "").strip():
            facts[name] = said[name].strip()
    if result == "passed" and (steam := _steam(shop, lot, test, said)):
        _wet_all_the_same(request, said, steam)
        facts["found"] = f"{facts['found']}; {steam}" if "found" in facts else steam
    return note(request, "tested", who=_who(said), facts=facts).event


def _clean(facts: Mapping[str, str | float], share: str) -> None:
    """A lot isn't called clean beside a count of its strangers that says otherwise [both % by count]."""
    most = facts.get("number")
    if not share or not isinstance(most, int | float):
        return
    asked = parse_number(share, where="share")
    if most > asked * (1 + 1e-6):
        raise Refused(
            Fault(
                "result",
                f"up to {most:.2g} % may be strangers, and {asked:g} % is what must not be missed",
                "look through more of it, or note that there are too many",
            )
        )


def _steam(shop: Workshop, lot: str, test: str, said: dict[str, str]) -> str:
    """What the typed water does in a charge, where it is above what may be breathed; else nothing."""
    if test != "moisture":
        return ""
    try:
        share = parse_number(said.get("number", ""), where="result") / 100
    except UserError:
        return ""
    return steam_words(shop, shop.lots[lot], share) if share < 1 else ""


def _wet_all_the_same(request: Request, said: dict[str, str], steam: str) -> None:
    """Wet flake is called dry enough by a lead alone, who has read what it does. Raises `Refused`."""
    what = f"{said['number'].strip()} % water is {steam}"
    if request.state.visitor.role != "lead":
        raise Refused(Fault("dry enough", what, "tap that it is dried first, or ask a lead"))
    if said.get("steam_read", "") != said["number"]:
        instead = (
            "tap that it is dried first; a lead who stands by it notes it once more, and the steam with it"
        )
        raise Refused(Fault("dry enough", what, instead))


def _fits(shop: Workshop, lot: str, seen: str) -> None:
    """Raises `Refused` where the flake did what the lot's plastic can't do."""
    name = shop.lots[lot].plastic
    if seen and look_at_floating(shop, seen_in(seen)).rules_out(name):
        what = f"{lot} is said to be {name.upper()}, and a flake of that would not do what was seen"
        raise Refused(Fault("result", what, "tap that it is not as expected; the lot is held then"))


def _new(request: Request, said: dict[str, str], faults: tuple[Fault, ...]) -> HTMLResponse:
    shop = place_of(request).shop()
    origins = layout("lots").table.by_name["origin"].choices
    origin = said.get("origin", "")
    return show(
        request,
        "lot_new.html",
        status=422 if faults else 200,
        said={"id": next_lot_name(shop)} | said,
        faults=faults,
        origins=[(one, one.replace("_", " ")) for one in origins],
        plastics=[(one.id, one.name) for one in library().values()],
        colours=sorted({one.colour for one in shop.lots.values() if one.colour}),
        forms=sorted({one.form for one in shop.lots.values() if one.form}),
        lots=list(shop.lots),
        people=list(shop.people),
        away=_work(request).away(),
        us=shop.units_shown == "us",
        tests=required_tests(origin, colour=said.get("colour"), form=said.get("form", "")) if origin else (),
        origin=origin,
    )


def _page(request: Request, name: str, faults: tuple[Fault, ...], **given: Any) -> HTMLResponse:
    place = place_of(request)
    shop = place.shop()
    page = page_of_lot(_work(request).board().store, shop, name)
    more: dict[str, Any] = {"stock": None, "mass_typed": "", "counter": ""} | given
    return show(
        request,
        "lot.html",
        status=422 if faults else 200,
        page=page,
        lot=page.lot,
        wet=is_wet(page.lot.moisture),
        through=held_through(shop, page.lot),
        faults=faults,
        zone=place.zone(),
        whys=WHYS,
        words=WORDS,
        people=list(shop.people),
        us=shop.units_shown == "us",
        short=SHORT,
        doors={"float_sink": "float", "zero_find": "sample", "moisture": "water"},
        cautions=cautions_for("fume"),
        labels=list(LABELS),
        reasons=reasons_of(lot_reasons(page, place.shown().mass), place.shown()),
        **more,
    )


def _test(
    request: Request, name: str, test: str, said: dict[str, str], faults: tuple[Fault, ...]
) -> HTMLResponse:
    place = place_of(request)
    shop = place.shop()
    page = page_of_lot(_work(request).board().store, shop, name)
    if test not in ASKS:
        raise Refused(Fault("test", f"there is no test {test!r}", "tap one on the lot's page"))
    label, metric, pounds, good, bad = ASKS[test]
    asked = next((one for one in page.tests if one.test == test), None)
    return show(
        request,
        "lot_test.html",
        status=422 if faults else 200,
        lot=page.lot,
        test=test,
        asked=asked,
        short=SHORT,
        label=label,
        unit=pounds if shop.units_shown == "us" else metric,
        results=(("passed", good), ("failed", bad)),
        people=list(shop.people),
        away=_work(request).away(),
        said=said,
        faults=faults,
        steam=_steam(shop, name, test, said),
        cautions=cautions_for("wet" if test == "moisture" else "fume"),
    )


async def _said(request: Request) -> dict[str, str]:
    form = await request.form()
    return {key: str(value)[:200] for key, value in form.items() if isinstance(value, str)}


def _who(said: dict[str, str]) -> list[str]:
    if not said.get("who"):
        raise Refused(Fault("who", "nobody says so", "tap who you are"))
    return [said["who"]]


def _work(request: Request) -> Floorwork:
    work: Floorwork = request.app.state.floor
    return work
