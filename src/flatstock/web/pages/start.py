"""A new workshop from the browser alone: plain questions with usual answers, then the first card."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from typing import Annotated, Any
from zoneinfo import available_timezones

from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from starlette.concurrency import run_in_threadpool

from flatstock.actions.workshops import start_workshop
from flatstock.errors import Fault, UserError, WrongWords
from flatstock.units import System, from_si, parse_number, parse_quantity, to_si
from flatstock.web.page import place_of, show
from flatstock.workshop.start import StartAnswers
from flatstock.workshop.start_questions import NONE_YET, QUESTIONS, Question, usual_answer

__all__ = ["router"]

router = APIRouter()
UNITS: Mapping[str, Mapping[str, str]] = {
    "metric": {"length": "mm", "mass": "kg", "temperature": "C", "power": "kW", "voltage": "V", "current": "A",
               "force": "kN", "pressure": "bar"},
    "us": {"length": "in", "mass": "lb", "temperature": "F", "power": "kW", "voltage": "V", "current": "A",
           "force": "lbf", "pressure": "psi"},
}  # fmt: skip
FINER = {"scale_step": {"metric": "g", "us": "oz"}}  #: fields that are said in a smaller unit
OF_FORCE = {"force": "force", "piston_diameter": "length", "gauge_max": "pressure"}
LABELS = {
    "platen_length": "long", "platen_width": "wide", "platen_thickness": "thick", "cavity_length": "long",
    "cavity_width": "wide", "scale_capacity": "takes at most", "scale_step": "shows steps of", "room_length": "long",
    "room_width": "wide", "room_height": "high", "door_width": "wide", "door_height": "high", "force": "closing force",
    "piston_diameter": "or bore of its one cylinder", "gauge_max": "and highest gauge pressure",
}  # fmt: skip
TEXTS = {
    "force": "What force does it close with, or which bore has its one cylinder and how far does the gauge go? Empty:"
    " not known.",
    "units": "What do you measure in?",
    "cooling_press": "Is there a press to cool moulds in?",
    "room_length": "How long, wide and high is the room? Another shape than a rectangle is drawn later.",
}
CHOICES = {
    "metric": "millimetres, kilograms, °C", "us": "inches, pounds, °F", "aluminium": "aluminium",
    "mild_steel": "mild steel", "stainless_steel": "stainless steel", "both": "both", "bottom": "the bottom one",
    "top": "the top one", "yes": "yes, without fans", "no": "no", "fans": "yes, with fans", "1": "one", "3": "three",
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask:
    """One input of the form."""

    name: str
    label: str
    unit: str
    value: str
    fault: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """One question with its inputs."""

    question: Question
    text: str
    asks: tuple[Ask, ...]
    choices: tuple[tuple[str, str], ...]
    chosen: str
    fault: str


@router.get("/start", response_class=HTMLResponse)
def start(request: Request, units: Annotated[str, Query(max_length=10)] = "metric") -> Response:
    """The questions, answered as is usual."""
    if place_of(request).started:
        return RedirectResponse("/", 303)
    system: System = "us" if units == "us" else "metric"
    return _page(request, system, {}, ())


@router.post("/start")
async def write(request: Request) -> Response:
    """Write the workshop, or say at each question what is wrong."""
    place = place_of(request)
    if place.started:
        return RedirectResponse("/", 303)
    form = {key: str(value)[:200] for key, value in (await request.form()).items() if isinstance(value, str)}
    system: System = "us" if form.get("units") == "us" else "metric"
    values: dict[str, Any] = {}
    faults: list[Fault] = []
    answered: set[str] = set()
    for question in QUESTIONS:
        try:
            found = _read(question, form, system)
        except UserError as error:
            faults += [replace(one, where=question.fields[0]) for one in error.faults]
            continue
        values |= found
        answered |= set(found)
    if not faults:
        names = {one.name for one in fields(StartAnswers)} - {"assumed"}
        try:
            answers = StartAnswers(**values, assumed=frozenset(names - answered))
            await run_in_threadpool(start_workshop, place.folder, answers)
        except UserError as error:
            faults += list(error.faults)
    if faults:
        return _page(request, system, form, tuple(faults))
    return RedirectResponse("/card", 303)


def _page(
    request: Request, system: System, form: Mapping[str, str], faults: tuple[Fault, ...]
) -> HTMLResponse:
    usual = StartAnswers(units=system)
    asked = [_asked(question, usual, system, form, faults) for question in QUESTIONS]
    mine = {name for question in QUESTIONS for name in question.fields}
    rest = [one for one in faults if one.where not in mine]
    return show(
        request,
        "start.html",
        status=422 if faults else 200,
        asked=asked,
        system=system,
        rest=rest,
        wrong=sum(bool(one.fault) for one in asked),
        zones=sorted(available_timezones()),
    )


def _asked(
    question: Question,
    usual: StartAnswers,
    system: System,
    form: Mapping[str, str],
    faults: tuple[Fault, ...],
) -> Asked:
    said = usual_answer(question, usual)
    parts = _parts(question, said, system)
    mine = [one for one in faults if one.where in question.fields]
    wrong = " ".join(dict.fromkeys(replace(one, where="").sentence() for one in mine))
    chosen = form.get(question.fields[0], said)
    if question.fields[0] == "units":
        chosen = system
    return Asked(
        question=question,
        text=TEXTS.get(question.fields[0]) or question.text.partition(":")[0].rstrip("?") + "?",
        asks=()
        if question.choices
        else tuple(
            Ask(
                name=name,
                label=LABELS.get(name, ""),
                unit=_unit(question, name, system),
                value=form.get(name, parts.get(name, "")),
                fault=wrong if {name, question.fields[0]} & {one.where for one in mine} else "",
            )
            for name in question.fields
        ),
        choices=tuple((one, CHOICES.get(one, one)) for one in question.choices),
        chosen=chosen,
        fault=wrong,
    )


def _parts(question: Question, said: str, system: System) -> dict[str, str]:
    """The usual answer, a part for each input; the unit stands beside the input already."""
    if question.kind in ("text", "zone"):
        return {question.fields[0]: said}
    if question.kind in ("force", "choice", "cooling"):
        return {}
    if question.kind == "list":
        first = question.fields[0]
        return {first: ", ".join(_bare(one, question, first, system) for one in said.split(","))}
    return {
        name: _bare(one, question, name, system)
        for name, one in zip(question.fields, re.split(r"\s+x\s+|,\s*", said), strict=False)
    }


def _bare(said: str, question: Question, name: str, system: System) -> str:
    """A quantity without its unit, in the unit beside the input."""
    value = parse_quantity(said, question.dimension, where=name)
    return f"{from_si(value, question.dimension, _unit(question, name, system)):.6g}"


def _unit(question: Question, name: str, system: System) -> str:
    dimension = OF_FORCE.get(name) if question.kind == "force" else question.dimension
    return FINER.get(name, UNITS[system]).get(system if name in FINER else dimension or "", "")


def _read(question: Question, form: Mapping[str, str], system: System) -> dict[str, Any]:
    """The fields that a question fills; an input that was left empty fills none. Raises `WrongWords`."""
    first = question.fields[0]
    said = form.get(first, "").strip()
    if question.kind == "cooling":
        word = said if said in ("yes", "no", "fans") else "yes"
        return {"cooling_press": word != "no", "fans": word == "fans"}
    if question.choices:
        return {first: said if said in question.choices else question.choices[0]}
    if question.kind == "zone":
        if said and said not in available_timezones():
            raise WrongWords(
                Fault("", f"there is no time zone {said!r}", "write a region and city, as in Europe/Lisbon")
            )
        return {first: said} if said else {}
    if question.kind == "text":
        return {first: said} if said else {}
    if question.kind == "list" and said.lower() in NONE_YET:
        return {first: ()}
    if question.kind == "list":
        parts = [one for one in re.split(r"[;,]\s+|;|\s+and\s+", said) if one.strip()]
        unit = _unit(question, first, system)
        return {first: tuple(_si(one, question.dimension, unit) for one in parts)} if parts else {}
    found = {}
    for name in question.fields:
        text = form.get(name, "").strip()
        if text:
            dimension = OF_FORCE[name] if question.kind == "force" else question.dimension
            found[name] = _si(text, dimension, _unit(question, name, system))
    return found


def _si(text: str, dimension: str, unit: str) -> float:
    """A bare number in the unit beside the input, or a quantity with a unit of its own."""
    try:
        bare = parse_number(text)
    except UserError:
        return parse_quantity(text, dimension, where="")
    if bare < 0 and dimension != "temperature":
        raise WrongWords(Fault("", f"{text!r} is negative", "write a size"))
    return to_si(bare, dimension, unit)
