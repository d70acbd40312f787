"""Which frame to have made, for somebody who has none yet or whose frames give too little."""

from __future__ import annotations

from collections.abc import Sequence
from math import floor
from typing import Annotated, Any
from urllib.parse import urlencode

from fastapi import APIRouter, Depends, Query, Request
from fastapi.responses import HTMLResponse, Response

from flatstock.actions.choices import card_choices
from flatstock.actions.frame_sizes import FrameQuestion, frame_size
from flatstock.errors import OutOfRange, UserError
from flatstock.prints.frame_words import GIVES, spare_words
from flatstock.prints.text.closing import belonging
from flatstock.prints.words import rests_on
from flatstock.units import from_si
from flatstock.web.asked import Dial, dial, quantity
from flatstock.web.page import place_of, show, wants_part
from flatstock.web.reasons import reasons_of
from flatstock.workshop.shop import Workshop

__all__ = ["router"]

router = APIRouter()
Word = Annotated[str, Query(max_length=80)]
Words = Annotated[list[str], Query(max_length=40)]
LAND, LARGEST = 0.040, (1.2, 0.8)  #: m: rim and cavity in a shop that has nothing to go by (assumed)
LEFT = 0.96  #: of a cavity, in the plastic that shrinks most (assumed)
STEPS = {"metric": 0.010, "us": 0.5 * 0.0254}  #: m: sizes to start from
LONGEST = 3.0  #: m that the sliders go to


def _asked(
    request: Request,
    length: Word = "",
    width: Word = "",
    trim: Word = "",
    land: Word = "",
    plastic: Words = [],  # noqa: B006 - FastAPI copies it
    press: Word = "",
) -> dict[str, Any]:
    """The words of the question; what nobody has said yet is filled in with where its slider stands."""
    return _usual(place_of(request).shop()) | {
        name: said
        for name, said in (
            ("length", length),
            ("width", width),
            ("trim", trim),
            ("land", land),
            ("plastic", plastic),
            ("press", press),
        )
        if said
    }


Asked = Annotated[dict[str, Any], Depends(_asked)]


@router.get("/frame", response_class=HTMLResponse)
def frame(request: Request, asked: Asked) -> Response:
    """The whole page, or the answer alone."""
    shop = place_of(request).shop()
    given: dict[str, Any] = {
        "asked": asked,
        "plastics": card_choices(shop).plastics,
        "presses": tuple(shop.hot_presses),
    }
    values = _read(shop, _usual(shop))
    try:
        values = _read(shop, asked)
        given |= _answer(request, shop, asked, values)
        status = 200
    except (UserError, OutOfRange) as error:
        given |= {"faults": getattr(error, "faults", ()), "outside": str(error)}
        status = 422
    if wants_part(request):
        heads = {"HX-Replace-Url": f"/frame?{urlencode(asked, doseq=True)}"}
        return show(request, "frame_size_answer.html", status=status, headers=heads, **given)
    return show(request, "frame_size.html", status=status, dials=_dials(shop, values), **given)


def _unit(shop: Workshop) -> str:
    return "in" if shop.units_shown == "us" else "mm"


def _usual(shop: Workshop) -> dict[str, Any]:
    """What counts where nothing is asked: the shop's own, else about what its first frame or its press has room for."""
    practice, like = shop.practice, next(iter(shop.frames.values()), None)
    press = shop.hot_presses.get(shop.default_hot_press or "")
    land = LAND if like is None else like.land
    room = LARGEST if press is None else (press.bottom.length - 2 * land, press.bottom.width - 2 * land)
    cavity = room if like is None else (like.cavity_length, like.cavity_width)
    step = STEPS[shop.units_shown]
    length, width = (max(floor((side * LEFT - 2 * practice.trim) / step), 1) * step for side in cavity)
    lengths = {
        "length": practice.trimmed_length or length,
        "width": practice.trimmed_width or width,
        "trim": practice.trim,
        "land": land,
    }
    return {name: f"{from_si(one, 'length', _unit(shop)):.6g}" for name, one in lengths.items()}


def _read(shop: Workshop, asked: dict[str, Any]) -> dict[str, float]:
    """The lengths in metres. Raises `WrongWords`."""
    return {
        name: quantity(asked[name], "length", _unit(shop), name)
        for name in ("length", "width", "trim", "land")
    }


def _answer(
    request: Request, shop: Workshop, asked: dict[str, Any], values: dict[str, float]
) -> dict[str, Any]:
    place = place_of(request)
    plastics: Sequence[str] = asked.get("plastic", ())
    usual, practice = _usual(shop), shop.practice
    on_file = {
        "length": practice.trimmed_length,
        "width": practice.trimmed_width,
        "trim": practice.trim,
        "land": LAND,
    }
    # what is left as the shop has it is not asked for: its evidence is the shop's
    said = {
        name: None if on_file[name] is not None and asked[name] == usual[name] else value
        for name, value in values.items()
    }
    question = FrameQuestion(**said, plastics=plastics, press=asked.get("press"), made_at=place.now())
    document, shown = frame_size(shop, question), place.shown()

    def sizes(of: Any, stem: str) -> str:
        return shown.sizes(of[f"{stem}_length_mm"], of[f"{stem}_width_mm"])

    return {
        "frame": document,
        "chosen": {one["plastic"] for one in document["plastics"]},
        "sizes": sizes,
        "spare": lambda field: spare_words(field, shown),
        "gives": GIVES,
        "reasons": reasons_of(document, shown),
        "cautions": belonging(document["cautions"], ("lifting", "hot")),
        "rests_on": rests_on(document),
    }


def _dials(shop: Workshop, values: dict[str, float]) -> list[Dial]:
    """Sheet, trim and land in the shop's units."""
    us, unit = shop.units_shown == "us", _unit(shop)
    asked = [
        ("length", "Sheet as sold, length", 0.1, LONGEST, (0.5, 5.0) if us else (10.0, 100.0)),
        ("width", "Sheet as sold, width", 0.1, LONGEST / 2, (0.5, 5.0) if us else (10.0, 100.0)),
        ("trim", "Cut from each edge", 0.0, 0.05, (0.05, 0.25) if us else (1.0, 5.0)),
        ("land", "Land: width of the frame's rim", 0.01, 0.15, (0.25, 1.0) if us else (5.0, 20.0)),
    ]
    return [
        dial(
            name,
            label,
            from_si(values[name], "length", unit),
            low=from_si(low, "length", unit),
            high=from_si(high, "length", unit),
            steps=steps,
            unit=unit,
        )
        for name, label, low, high, steps in asked
    ]
