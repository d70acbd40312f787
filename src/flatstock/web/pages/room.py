"""The room drawn to scale: what is known of it at once, and where it has to be looked for, how far that is."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from flatstock.actions.room_kept import KEPT, known_room
from flatstock.actions.room_reasons import room_reasons
from flatstock.actions.rooms import RoomFile, RoomOutcome, retold, room_file
from flatstock.actions.workshops import Beside
from flatstock.errors import Fault, Refused
from flatstock.prints.drawing.floor import room_svg
from flatstock.prints.pdf.room import room_pdf
from flatstock.prints.room_lengths import in_units, length_words
from flatstock.prints.room_words import air_lines, fire_lines, walking_order
from flatstock.prints.text.closing import belonging
from flatstock.web.beside import beside_of, known_before
from flatstock.web.page import place_of, show
from flatstock.web.papers import paper_of
from flatstock.web.reasons import reasons_of
from flatstock.web.room_search import RoomSearch, RoomWork

__all__ = ["looking_words", "room_of", "router", "search_for", "short_words", "shortening"]

router = APIRouter()
STATUS = {
    "optimal": "The best there is on this grid, proven.",
    "feasible": "It passes every rule; a shorter walk is not ruled out.",
    "impossible": "It can't be, proven.",
    "unknown": "Not found in the time given; that does not say that it can't be.",
}


@router.get("/before/room", response_class=HTMLResponse)
def room(request: Request) -> Response:
    """The room from above, to scale; or how far the search for it is."""
    outcome, work = room_of(request)
    if outcome is None:
        return show(request, "room_looking.html", work=work)
    document, system = outcome.document, outcome.system

    def read(words: str) -> str:
        return in_units(words, system)

    return show(
        request,
        "room.html",
        room=document,
        drawing=room_svg(document, scale=50, system=system),
        read=read,
        length=lambda length_mm: length_words(length_mm, system),
        warnings=[read(str(one["text"])) for one in document["warnings"]],
        proven=STATUS[document["proof"]["status"]],
        order=walking_order(document),
        air=air_lines(document, system),
        fire=fire_lines(document, system),
        cautions=belonging(document["cautions"], ("room", "fire", "electricity")),
        work=work,
        shortening=_search(request).shortening,
        may_shorten=document["proof"]["status"] == "feasible" and (place_of(request).folder / KEPT).is_file(),
        reasons=reasons_of(room_reasons(document, system), place_of(request).shown()),
    )


@router.get("/before/room/progress", response_class=HTMLResponse)
def progress(request: Request) -> Response:
    """How far the search is; asked for every other second while it goes on."""
    outcome, work = room_of(request)
    shortening = outcome is not None and _search(request).shortening
    heads = {} if shortening or (outcome is None and work.going) else {"HX-Refresh": "true"}
    return show(request, "room_progress.html", headers=heads, work=work, shortening=shortening)


@router.post("/before/room/stop")
def stop(request: Request) -> Response:
    """Look no further."""
    _search(request).stop()
    return RedirectResponse("/before/room", 303)


@router.post("/before/room/look")
def look(request: Request) -> Response:
    """Look for a plan once more; where one is known, for one that walks less."""
    place = place_of(request)
    known = room_of(request)[0] if request.query_params.get("shorter") else None
    _search(request).begin(_which(request), place.folder, beside_of(request), place.now(), known)
    return RedirectResponse("/before/room", 303)


@router.get("/before/room.pdf")
def room_paper(request: Request) -> Response:
    """The room on paper."""
    outcome, work = room_of(request)
    if outcome is None:
        raise Refused(Fault("the room", looking_words(work).rstrip("."), "come back when it is there"))
    size = "letter" if outcome.paper == "letter" else "a4"
    return paper_of(request, lambda path: room_pdf(outcome.document, path, size, outcome.system), "room.pdf")


def room_of(request: Request) -> tuple[RoomOutcome | None, RoomWork]:
    """The room where it is known, and what the search for it is at; it begins where nobody has looked yet.

    Raises
    ------
    Refused
        room.toml has faults, or the plan drawn in it breaks rules, or the search came upon something unforeseen.
    """
    place, search, of = place_of(request), _search(request), _which(request)

    def at_once(beside: Beside) -> RoomOutcome | None:
        return known_room(place.folder, beside, made_at=place.now())

    def asked(beside: Beside) -> RoomFile:
        return room_file(place.folder, beside)

    def as_now(found: RoomOutcome) -> RoomOutcome:
        file = known_before(request, ("room.toml", of), asked, rests_on="no lot")
        return known_before(
            request,
            ("as now", of, work.since),
            lambda beside: retold(found, place.folder, beside, file=file),
            rests_on="stock",
        )

    work = search.state(of)
    known = known_before(request, ("room", of), at_once, rests_on="no lot")
    if known is not None:
        return as_now(known), work
    if work.untouched:
        search.begin(of, place.folder, beside_of(request), place.now())
        work = search.state(of)
    if work.faults:
        raise Refused(work.faults)
    return None if work.outcome is None else as_now(work.outcome), work


def search_for(request: Request) -> RoomWork:
    """What the search for the room is at, whether or not one is needed."""
    return _search(request).state(_which(request))


def shortening(request: Request) -> bool:
    """Whether a plan is shown and one that walks less is being looked for."""
    return _search(request).shortening


def short_words(outcome: RoomOutcome) -> str:
    """In a sentence."""
    document = outcome.document
    walk = document["walk_m_per_day"]
    if walk is None:
        return STATUS[document["proof"]["status"]]
    walked = in_units(f"{walk:.1f} m walked a day", outcome.system)
    return f"{len(walking_order(document))} things stand in it; {walked}."


def looking_words(work: RoomWork) -> str:
    """Of a room that is not known yet."""
    if work.stopped:
        return "Not known: the search for where everything can stand was stopped."
    return "Not known yet: where everything can stand is being looked for."


def _which(request: Request) -> object:
    """What changes when room.toml does, or when a plan of it is kept or taken away."""
    place = place_of(request)
    try:
        stat = (place.folder / KEPT).stat()
    except OSError:
        return place.written(), None
    return place.written(), (stat.st_mtime_ns, stat.st_size)


def _search(request: Request) -> RoomSearch:
    search: RoomSearch = request.app.state.rooms
    return search
