"""The night's stack: how hot each mould is in the morning, when it may be opened, and things to try."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, time, timedelta
from typing import Annotated, Any
from urllib.parse import urlencode

from fastapi import APIRouter, Depends, Query, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from flatstock.actions.choices import card_choices
from flatstock.actions.kept import kept_plan
from flatstock.actions.stacks import MouldWords, StackQuestion
from flatstock.actions.tonight import Night, Standing, tonight
from flatstock.actions.workshops import zone_of
from flatstock.errors import Fault, OutOfRange, Refused, UserError
from flatstock.prints.drawing import stack_svg
from flatstock.prints.pdf import stack_pdf
from flatstock.prints.shown import Shown
from flatstock.prints.text.closing import STACKING, belonging
from flatstock.prints.words import clock, instant_ends, rests_on
from flatstock.times import arrivals, moment
from flatstock.units import from_si, parse_number, to_si
from flatstock.web.answers import Answers
from flatstock.web.asked import dial
from flatstock.web.floorwork import Floorwork
from flatstock.web.page import place_of, show, wants_part
from flatstock.web.papers import paper_of
from flatstock.web.pile import Row, changed, rows_of
from flatstock.web.reasons import reasons_of
from flatstock.workshop.shop import Workshop

__all__ = ["router"]

router = APIRouter()
MORNING = time(8, 0)
MOST = 40  # moulds on one page
Word = Annotated[str, Query(max_length=80)]
Words = Annotated[list[str], Query(max_length=MOST)]


def _asked(
    plastic: Words = [],  # noqa: B006 - FastAPI copies it
    thickness: Words = [],  # noqa: B006
    arrives: Words = [],  # noqa: B006
    core: Words = [],  # noqa: B006
    at: Word = "",
    room: Word = "",
    fans: Word = "",
    place: Word = "",
) -> tuple[list[Row], dict[str, str]]:
    """The moulds that were asked about, and the rest of the question."""
    return rows_of(plastic, thickness, arrives, core), {"at": at, "room": room, "fans": fans, "place": place}


Asked = Annotated[tuple[list[Row], dict[str, str]], Depends(_asked)]


@router.get("/stack", response_class=HTMLResponse)
def stack(request: Request, asked: Asked, do: Word = "") -> Response:
    """The whole page, or the answer alone; `do` adds, takes off or lifts a mould."""
    shop, now = place_of(request).shop(), place_of(request).now()
    rows, rest = asked
    night, place = None, ""
    if not rows:
        night = _night(request, shop, now)
        place = _stack_of(night, rest["place"])
        rows = _rows(night.stacks[place], shop, now) if night is not None and place else _usual(shop)
    if do:
        return RedirectResponse(_address(changed(rows, do), rest), 303)
    given: dict[str, Any] = {
        "rows": rows,
        "choices": card_choices(shop),
        "places": tuple(shop.stacks),
        "chosen": rest["place"] or place or shop.default_stack or "",
        "night": night,
        "meant": rest["place"],
        "stands": night.stacks.get(place, ()) if night is not None else (),
        "at_word": rest["at"] or "08:00",
        "fans": rest["fans"],
        "fans_fitted": any(one.fan_film is not None for one in shop.stacks.values()),
        "unit": "in" if shop.units_shown == "us" else "mm",
        "degrees": "°F" if shop.units_shown == "us" else "°C",
        "room_dial": _room_dial(shop, rest["room"]),
    }
    try:
        rest["place"] = given["chosen"]
        given |= _answer(request, shop, _question(shop, now, rows, rest), rows, rest)
        status = 200
    except (UserError, OutOfRange) as error:
        given |= {"faults": getattr(error, "faults", ()), "outside": str(error)}
        status = 422
    if wants_part(request):
        heads = {"HX-Replace-Url": _address(rows, rest)}
        return show(request, "stack_answer.html", status=status, headers=heads, **given)
    return show(request, "stack.html", status=status, **given)


@router.get("/stack.pdf")
def stack_paper(request: Request, asked: Asked) -> Response:
    """The same stack on paper."""
    shop, now = place_of(request).shop(), place_of(request).now()
    question = _question(shop, now, *asked)
    answers: Answers = request.app.state.answers
    answer = answers.stack(shop, question)
    return paper_of(
        request,
        lambda path: stack_pdf(answer.document, answer.picture, path, shop.paper, shop.units_shown),
        "stack.pdf",
    )


def _night(request: Request, shop: Workshop, now: datetime) -> Night | None:
    """What stands where tonight; None: nothing is planned."""
    work: Floorwork = request.app.state.floor
    try:
        plan = kept_plan(shop.folder)
    except Refused:
        return None
    if plan is None:
        return None
    try:
        floor, begun = work.floor()[1], work.begun()
    except Refused:
        floor, begun = None, set()
    return tonight(plan, floor, begun, shop, now)


def _stack_of(night: Night | None, asked: str) -> str:
    """The stack that is asked about, else the one with most on it; empty: nothing stands on it, or on any."""
    if night is None or asked:
        return asked if night is not None and asked in night.stacks else ""
    return max(night.stacks, key=lambda place: len(night.stacks[place]), default="")


def _rows(stands: Sequence[Standing], shop: Workshop, now: datetime) -> list[Row]:
    zone = zone_of(shop)
    us = shop.units_shown == "us"
    length, heat = ("in", "F") if us else ("mm", "C")
    return [
        Row(
            plastic=one.plastic,
            thickness=f"{from_si(one.thickness_mm / 1000, 'length', length):.4g}",
            arrives=_arrival(one.arrives.astimezone(zone), now.astimezone(zone)),
            core="" if one.core_C is None else f"{from_si(one.core_C, 'temperature', heat):.0f}",
        )
        for one in stands
    ]


def _arrival(at: datetime, now: datetime) -> str:
    """As a field says it: of another day with its date."""
    return clock(at) if at.date() == now.date() else f"{at:%Y-%m-%dT%H:%M}"


def _usual(shop: Workshop) -> list[Row]:
    """Two moulds to begin with."""
    choices = card_choices(shop)
    if not choices.plastics or not choices.thicknesses:
        return []
    deep = from_si(choices.thicknesses[-1], "length", "in" if shop.units_shown == "us" else "mm")
    return [Row(choices.plastics[0].id, f"{deep:.4g}", at, "") for at in ("14:00", "15:00")]


def _question(shop: Workshop, now: datetime, rows: list[Row], rest: dict[str, str]) -> StackQuestion:
    """What is asked of the model. Raises `WrongWords` or `Refused`."""
    if not rows:
        raise Refused(Fault("stack", "no mould is on it", "add one"))
    zone = zone_of(shop)
    us = shop.units_shown == "us"
    length, heat = ("in", "F") if us else ("mm", "C")
    moments = arrivals([row.arrives for row in rows], zone=zone, now=now, where="arrives")
    moulds = tuple(
        MouldWords(
            plastic=row.plastic,
            thickness=to_si(parse_number(row.thickness, where="thickness"), "length", length),
            arrives=when,
            core=to_si(parse_number(row.core, where="core"), "temperature", heat) if row.core else None,
        )
        for row, when in zip(rows, moments, strict=True)
    )
    last = max(moments)
    morning = datetime.combine(last.astimezone(zone).date() + timedelta(days=1), MORNING, zone)
    asked = moment(rest["at"], zone=zone, after=last, where="at") if rest["at"] else morning
    return StackQuestion(
        moulds=moulds,
        at=asked,
        place=rest["place"] or None,
        room=to_si(parse_number(rest["room"], where="room"), "temperature", heat) if rest["room"] else None,
        fans={"on": True, "off": False}.get(rest["fans"]),
        made_at=now,
    )


def _answer(
    request: Request, shop: Workshop, question: StackQuestion, rows: list[Row], rest: dict[str, str]
) -> dict[str, Any]:
    answers: Answers = request.app.state.answers
    answer = answers.stack(shop, question)
    document, shown = answer.document, Shown(shop.units_shown)
    return {
        "stack": document,
        "asked_at": datetime.fromisoformat(document["at"]),
        "ends": instant_ends,
        "drawing": stack_svg(answer.picture, shown=shown) if answer.picture is not None else "",
        "cautions": belonging(document["cautions"], STACKING),
        "rests_on": rests_on(document),
        "reasons": reasons_of(document, shown),
        "paper": _address(rows, rest).replace("/stack?", "/stack.pdf?"),
    }


def _address(rows: list[Row], rest: dict[str, str]) -> str:
    words = [pair for row in rows for pair in row.words()]
    words += [(name, value) for name, value in rest.items() if value]
    return f"/stack?{urlencode(words)}"


def _room_dial(shop: Workshop, room: str) -> Any:
    unit = "F" if shop.units_shown == "us" else "C"
    usual = from_si(shop.room.value, "temperature", unit)
    try:
        value = parse_number(room, where="room") if room else usual
    except UserError:
        value = usual
    low, high = (from_si(end, "temperature", unit) for end in (0.0, 40.0))
    return dial(
        "room",
        "The room in the night",
        value,
        low=low,
        high=high,
        steps=(1.0, 5.0),
        unit=f"°{unit}",
        quick=[usual],
    )
