"""Turning an answer into a page: one template a page, a named part of it for what changes in place."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime
from functools import cache
from hashlib import sha256
from importlib.resources import files
from typing import Any

from fastapi import Request
from fastapi.responses import HTMLResponse
from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from flatstock.errors import UserError
from flatstock.prints.words import KIND_WORDS, day, kind_of, plastic_name
from flatstock.web.explained import linked
from flatstock.web.guesses import on_a_page
from flatstock.web.workplace import Workplace

__all__ = ["NAV", "addresses_of", "in_units", "place_of", "refused", "show", "wants_part"]

#: the pages in the row at the top: address, word
NAV = (
    ("/", "Today"),
    ("/week", "Week"),
    ("/orders", "Orders"),
    ("/card", "Sheet card"),
    ("/stack", "Night's stack"),
    ("/store", "Store"),
    ("/fault", "Faults"),
    ("/before", "Before the first sheet"),
    ("/shop", "The shop"),
)


@cache
def _environment() -> Environment:
    made = Environment(
        loader=PackageLoader("flatstock.web"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters |= {"plastic": plastic_name, "day": day, "kind": kind_of, "instant": datetime.fromisoformat}
    made.filters |= {"plain": on_a_page, "linked": linked}
    made.filters["pairs"] = lambda words: [(word, word) for word in words]
    made.globals |= {"nav": NAV, "kind_words": KIND_WORDS, "look": look}
    return made


@cache
def look(name: str) -> str:
    """The address of a style, script or font, with a mark that changes with what is in it."""
    data = (files("flatstock.web") / "look" / name).read_bytes()
    return f"/look/{name}?{sha256(data).hexdigest()[:12]}"


def place_of(request: Request) -> Workplace:
    """The workshop that the app is open on."""
    place: Workplace = request.app.state.place
    return place


def wants_part(request: Request) -> bool:
    """Whether only the part that changes is asked for."""
    return request.headers.get("hx-request") == "true"


def show(
    request: Request,
    template: str,
    *,
    status: int = 200,
    headers: Mapping[str, str] | None = None,
    **given: Any,
) -> HTMLResponse:
    """A page or a part of one."""
    place = place_of(request)
    saying = place.saying()
    role = request.state.visitor.role
    if "faults" in given:
        given["faults"] = tuple(place.shown().fault(one) for one in given["faults"])
    context = {
        "request": request,
        "here": request.url.path,
        "shop_name": place.shop().name if place.started and role else "",  # nothing to who is not paired
        "started": place.started,
        "now": place.now(),
        "by_hand": place.hand_changes() if place.started and role in ("lead", "operator") else (),
        "trouble": place.trouble if role in ("lead", "operator") else "",
        "practice": place.started and place.shop().today is not None,
        "say": saying.words,
        "at": saying.time,
        "on_day": saying.day_time,
        "picture": lambda svg: Markup(saying.svg(svg)),  # drawings escape what they write
        "shown": place.shown(),
        "dim": request.cookies.get("ground", "auto"),
        "mark": saying.decimal_mark,
        "face": saying.clock_face,
        "token": getattr(request.state, "token", ""),
        "device": getattr(request.state, "device", ""),
        "role": role,
    }
    html = _environment().get_template(template).render(**(context | given))
    return HTMLResponse(html, status_code=status, headers={"cache-control": "no-store", **(headers or {})})


def addresses_of(request: Request) -> tuple[str, ...]:
    """Where the shop's other devices find the app now; empty where it serves this machine alone."""
    where = request.app.state.addresses
    return tuple(where() if callable(where) else where)


def in_units(place: Workplace) -> Callable[[object], str]:
    """Says a sentence that the floor made, in metric units, as the shop reads and writes it."""
    shown, words = place.shown(), place.saying().words
    return lambda text: words(shown.prose(str(text)))


def refused(request: Request, error: UserError, template: str = "refused.html", **given: Any) -> HTMLResponse:
    """What is wrong, a sentence a fault."""
    return show(request, template, status=422, faults=error.faults, **given)
