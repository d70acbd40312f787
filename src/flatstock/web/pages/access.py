"""Who may see and tap: pairing other devices, PINs of leads, and whether records are open."""

from __future__ import annotations

from typing import Annotated, Any

import segno
from fastapi import APIRouter, Form, Query, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from markupsafe import Markup

from flatstock.errors import Fault, Refused
from flatstock.web.access.door import COOKIE, YEAR, Visitor
from flatstock.web.access.keys import Keys, Role
from flatstock.web.access.limits import Limit
from flatstock.web.page import addresses_of, place_of, show

__all__ = ["qr_svg", "router"]

router = APIRouter()
ROLES: dict[Role, str] = {
    "lead": "everything that this machine may",
    "operator": "the board with its taps, and every page but money and access",
    "visitor": "looks, taps nothing",
}
Word = Annotated[str, Form(max_length=80)]
_codes = Limit(burst=6, every=20.0)  #: tries of a code or a PIN, of one address
_pins = Limit(burst=6, every=120.0)  #: of one person's PIN, from wherever


@router.get("/access", response_class=HTMLResponse)
def access(request: Request) -> Response:
    """Devices, PINs, and whether records are open."""
    return _page(request)


@router.post("/access/code", response_class=HTMLResponse)
def new_code(request: Request, role: Word = "operator") -> Response:
    """A fresh code with its picture, good once and for ten minutes."""
    if role not in ROLES:
        raise Refused(Fault("role", f"there is no role {role!r}", f"one of {', '.join(ROLES)}"))
    keys = _keys(request)
    if role == "lead" and not keys.leads():
        raise Refused(
            Fault("lead", "a lead's device asks for a lead's PIN, and nobody has one", "set a PIN first")
        )
    code = keys.code(role)
    pairs = [(one, qr_svg(f"{one}/pair?code={code}")) for one in addresses_of(request)]
    return _page(request, code=code, role_paired=role, pairs=pairs)


@router.post("/access/forget")
def forget(request: Request, device: Word = "") -> Response:
    """A device is no longer let in."""
    _keys(request).forget(device)
    request.app.state.live.tell()  # its stream ends now, not at its next beat
    return RedirectResponse("/access", 303)


@router.post("/access/pin")
def pin(request: Request, person: Word = "", pin: Word = "", again: Word = "") -> Response:
    """Set a lead's PIN."""
    if person not in place_of(request).shop().people:
        raise Refused(Fault("person", f"nobody here is called {person!r}", "choose somebody on file"))
    if pin != again:
        raise Refused(Fault("PIN", "the two are not the same", "write it twice alike"))
    _keys(request).set_pin(person, pin)
    return RedirectResponse("/access", 303)


@router.post("/access/records")
def records(request: Request, open_to_all: Word = "") -> Response:
    """Let anybody in the network see a sheet's record page, or no longer."""
    _keys(request).open_records(open_to_all == "yes")
    return RedirectResponse("/access", 303)


@router.post("/access/serve")
def serve(request: Request, shop: Word = "") -> Response:
    """From the app's next start on it listens to the shop's network, or to this machine alone."""
    _keys(request).serve_the_shop(shop == "yes")
    return RedirectResponse("/access", 303)


@router.get("/pair", response_class=HTMLResponse)
def pairing(request: Request, code: Annotated[str, Query(max_length=40)] = "") -> Response:
    """Where an unpaired device comes to; the code is in the address where it was scanned."""
    return _pairing(request, code, ())


@router.post("/pair")
def pair(request: Request, code: Word = "", name: Word = "", person: Word = "", pin: Word = "") -> Response:
    """Pair this device, once the code (and for a lead the PIN) is right."""
    address = request.client.host if request.client else ""
    if not _codes.allows(address):
        return _pairing(
            request, code, (Fault("", "that was too many tries", "wait a few minutes"),), status=429
        )
    keys = _keys(request)
    role = keys.role_of(code)
    if role is None:
        return _pairing(request, "", (Fault("code", "no such code, or it is over", "ask for a fresh one"),))
    if role == "lead":
        if not pin:  # the code alone is no try at a PIN: it is asked for
            return _pairing(request, code, (), name=name)
        if not _pins.allows(person):
            fault = Fault("PIN", "that was too many tries", "wait a while")
            return _pairing(request, code, (fault,), status=429, name=name)
        if not keys.pin_fits(person, pin):
            return _pairing(request, code, (Fault("PIN", "it does not fit", "try again"),), name=name)
        _pins.forgive(person)
    found = keys.pair(code, name, place_of(request).now().isoformat())
    if found is None:
        return _pairing(request, "", (Fault("code", "it has been used meanwhile", "ask for a fresh one"),))
    _codes.forgive(address)
    answer = RedirectResponse("/", 303)
    answer.set_cookie(
        COOKIE,
        found[1],
        max_age=YEAR,
        httponly=True,
        samesite="strict",
        secure=request.url.scheme == "https",
        path="/",
    )
    return answer


@router.post("/leave")
def leave(request: Request) -> Response:
    """This device is no longer paired."""
    visitor: Visitor = request.state.visitor
    if not visitor.here and visitor.device:
        _keys(request).forget(visitor.device)
    answer = RedirectResponse("/pair", 303)
    answer.delete_cookie(COOKIE)
    return answer


def qr_svg(text: str, scale: int = 6) -> Markup:
    """A QR symbol of ISO/IEC 18004 as SVG, with a text alternative."""
    drawn = segno.make(text, error="m", micro=False)
    svg = drawn.svg_inline(border=4, dark="#111", light="#fff", title=f"QR: {text}", omitsize=True)
    wide = drawn.symbol_size(scale=scale, border=4)[0]
    return Markup(svg.replace("<svg ", f'<svg width="{wide}" height="{wide}" ', 1))  # it scales with its page


def _keys(request: Request) -> Keys:
    keys: Keys = request.app.state.keys
    return keys


def _page(request: Request, **given: Any) -> HTMLResponse:
    place, keys = place_of(request), _keys(request)
    more: dict[str, Any] = {"code": "", "pairs": [], "role_paired": ""} | given
    return show(
        request,
        "access.html",
        devices=keys.devices(),
        roles=ROLES,
        people=list(place.shop().people) if place.started else [],
        with_pin=keys.leads(),
        open_records=keys.records_are_open,
        addresses=addresses_of(request),
        serves=keys.serves_the_shop,
        encrypted=request.url.scheme == "https",
        **more,
    )


def _pairing(
    request: Request, code: str, faults: tuple[Fault, ...], status: int = 0, name: str = ""
) -> HTMLResponse:
    keys = _keys(request)
    return show(
        request,
        "pair.html",
        status=status or (422 if faults else 200),
        code=code,
        name=name,
        faults=faults,
        needs_pin=keys.role_of(code) == "lead" if code else False,
        leads=keys.leads() if code and keys.role_of(code) == "lead" else [],
        encrypted=request.url.scheme == "https",
    )
