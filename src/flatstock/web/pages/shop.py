"""The shop's set-up as forms: every file, a block or a row at a time, with the checks that the files have."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from functools import partial
from hashlib import sha256
from typing import Annotated, Any
from urllib.parse import urlencode

from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData

from flatstock.actions.choices import room_classes
from flatstock.actions.setting_up import (
    Entry,
    Sheaf,
    change,
    put,
    sheaf_of,
    table_for,
    take_away,
    text_of_file,
)
from flatstock.errors import Fault, Refused, UserError
from flatstock.units import written
from flatstock.web.guesses import as_it_was, bare, on_a_page, said_of
from flatstock.web.meanwhile import as_shown, only_changed
from flatstock.web.page import place_of, show
from flatstock.workshop import defaults
from flatstock.workshop.fields import Field, Table
from flatstock.workshop.literals import text_of
from flatstock.workshop.plain_values import (
    field_words,
    from_plain,
    plain_example,
    row_pattern,
    said_plainly,
)
from flatstock.workshop.skill_words import skill_words
from flatstock.workshop.stay_words import STAY_EXAMPLE, are_stays

__all__ = ["router"]

router = APIRouter()
NAMES = {
    "shop": "Presses, moulds, places, people",
    "orders": "Orders",
    "lots": "Lots of flake",
    "offcuts": "Offcuts",
    "plastics": "Own values of plastics",
    "supply": "Electrical supply",
    "room": "The room",
    "outlay": "Purchases and money",
}
LISTED = ("orders", "lots", "offcuts")  #: files of rows
ASSUMED = "assumed until it is confirmed or another number is written here"
CONFIRMED = "_so"  #: of the form: names of assumed numbers that somebody says are so
_BAND = re.compile(r"\[[^,\]]+, ([^,\]]+), [^,\]]+\]")  # low, value, high
Name = Annotated[str, Query(max_length=60)]
At = Annotated[int | None, Query(ge=0, le=1_000_000)]


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """One field of a form."""

    field: Field
    label: str
    unit: str
    value: str
    lines: bool  #: of any number of rows
    meaning: str
    picked: bool  #: one of its choices, from a list
    choices: tuple[tuple[str, str], ...]  #: as the file has it, and in words
    hint: str
    fault: str
    assumed: bool  #: as the file has it


@router.get("/shop", response_class=HTMLResponse)
def shop(request: Request) -> Response:
    """What can be set up."""
    return show(request, "shop.html", names=NAMES)


@router.get("/shop/files", response_class=HTMLResponse)
def files(request: Request, name: Name = "shop") -> Response:
    """A file as its text, for what no form can say, and for a file with faults."""
    file, text = text_of_file(place_of(request).folder, name)
    return show(
        request, "shop_file.html", names=NAMES, name=name, file=file, text=text, was=_mark(text), faults=()
    )


@router.post("/shop/files")
async def write_file(request: Request) -> Response:
    """The whole text of a file."""
    form = await request.form()
    name, text = str(form.get("name") or ""), str(form.get("text") or "")
    file, now = text_of_file(place_of(request).folder, name)
    said_by = _said_by(request, {key: str(value) for key, value in form.items() if isinstance(value, str)})
    folder, plain = place_of(request).folder, text.replace("\r\n", "\n")
    was = str(form.get("was") or "") or _mark(now)
    if was != _mark(now):
        what = "it has changed since this page showed it: a weighing, or somebody else"
        faults: tuple[Fault, ...] = (Fault(file, what, "copy your change, open it again, and make it there"),)
    else:
        try:
            faults = await run_in_threadpool(partial(put, folder, file, plain, was=now, **said_by))
        except Refused as error:
            faults = error.faults
    if faults:
        return show(
            request,
            "shop_file.html",
            status=422,
            names=NAMES,
            name=name,
            file=file,
            text=text,
            was=was,
            faults=faults,
        )
    return RedirectResponse(f"/shop/part/{name}" if name in NAMES else "/shop", 303)


@router.get("/shop/part/{name}", response_class=HTMLResponse)
def part(request: Request, name: str) -> Response:
    """One file, what stands in it, and what may be added."""
    sheaf = _sheaf(request, name)
    return show(
        request,
        "shop_part.html",
        names=NAMES,
        name=name,
        sheaf=sheaf,
        about=on_a_page(sheaf.about),
        said_of=said_of,
    )


@router.get("/shop/part/{name}/form", response_class=HTMLResponse)
def form(request: Request, name: str, at: At = None, of: Name = "") -> Response:
    """The form of one block or row; without `at` that of a new one."""
    entry = _entry(request, name, at, of)
    return _form(request, name, entry, entry.values, ())


@router.post("/shop/part/{name}/form")
async def save(request: Request, name: str) -> Response:
    """Write the block or row, or say at each field what is wrong."""
    sent = await request.form()
    said = {key: str(value)[:20_000] for key, value in sent.items() if isinstance(value, str)}
    of = said.pop("_of", "")
    at = int(said["_at"]) if said.get("_at", "").isdecimal() else None
    folder = place_of(request).folder
    entry = _entry(request, name, at, of)  # refuses a name that no file has
    said |= _ticked(sent, table_for(name, of))
    said_by = _said_by(request, said)
    said.pop(CONFIRMED, None)
    shown, do = said.pop("_was", ""), said.pop("_do", "")
    confirmed = [str(one) for one in sent.getlist(CONFIRMED)]
    plain = _plainly(name, of, entry.values)
    said, faults = only_changed(said, shown, entry.title, plain)
    said = _as_the_file(name, of, as_it_was(said, plain, confirmed), entry.values)
    if do == "away" and at is not None:
        write = partial(take_away, folder, name, at, of, **said_by)
    else:
        # a lot that is held or weighed from now on stays so: only what differs is written
        differs = {key: value for key, value in said.items() if value != entry.values.get(key, "")}
        write = partial(change, folder, name, at, of, differs, **said_by)
    if not faults:
        try:
            faults = await run_in_threadpool(write)
        except UserError as error:
            faults = error.faults
    if faults:
        return _form(request, name, entry, said, faults, confirmed)
    return RedirectResponse(f"/shop/part/{name}?{urlencode({'kept': entry.title or of or name})}", 303)


def _plainly(name: str, of: str, values: Mapping[str, str]) -> dict[str, str]:
    """A block as its form shows it: bands, lists and tables in words."""
    fields = _fields(name, of)
    return {key: said_plainly(fields[key], text) if key in fields else text for key, text in values.items()}


def _as_the_file(name: str, of: str, said: Mapping[str, str], before: Mapping[str, str]) -> dict[str, str]:
    """What a form says as the file has it; what nobody touched exactly as it stands there."""
    fields, shown = _fields(name, of), _plainly(name, of, before)
    return {
        key: before[key]
        if key in before and text == shown[key]
        else from_plain(fields[key], text)
        if key in fields
        else text
        for key, text in said.items()
    }


def _fields(name: str, of: str) -> Mapping[str, Field]:
    """Of a block of a TOML file; a list's row has no values but words and numbers."""
    table = None if name in LISTED else table_for(name, of)
    return {} if table is None else table.by_name


def _mark(text: str) -> str:
    """What changes when a text does."""
    return sha256(text.encode()).hexdigest()


def _said_by(request: Request, said: dict[str, str]) -> dict[str, Any]:
    """When, who and why, as they stand with the change in the records."""
    who, why = said.pop("_who", "").strip(), said.pop("_why", "").strip()
    place = place_of(request)
    at = place.instant() if place.started and place.living() is not None else datetime.now(UTC)
    return {"at": at, "who": [who] if who else []} | ({"why": why[:200]} if why else {})


def _sheaf(request: Request, name: str) -> Sheaf:
    return sheaf_of(place_of(request).folder, name)


def _entry(request: Request, name: str, at: int | None, of: str) -> Entry:
    sheaf = _sheaf(request, name)
    if at is None:
        return Entry(at=-1, of=of, title="", values={})
    found = next((one for one in sheaf.entries if one.at == at and one.of == of), None)
    if found is None:
        raise Refused(
            Fault(
                sheaf.file, "there is no such part", "it may have been changed meanwhile: open the list again"
            )
        )
    return found


def _form(
    request: Request,
    name: str,
    entry: Entry,
    values: Mapping[str, str],
    faults: tuple[Fault, ...],
    confirmed: Collection[str] = (),
) -> HTMLResponse:
    table = table_for(name, entry.of)
    if table is None:
        raise Refused(Fault(name, f"nothing in it is called {entry.of!r}", "see the list"))
    place, stands = place_of(request), _plainly(name, entry.of, entry.values)
    values = _plainly(name, entry.of, values)
    asked = [field for field in table.fields if _asked(field, values, new=entry.at < 0)]
    boxes = [_box(field, stands, values, faults, _offered(name, field)) for field in asked]
    at_field = {box.field.name for box in boxes if box.fault}
    rest = [fault for fault in faults if _field_of(fault) not in at_field]
    return show(
        request,
        "shop_form.html",
        status=422 if faults else 200,
        names=NAMES,
        name=name,
        entry=entry,
        was=as_shown(entry.title, stands),
        what=table.name,
        first=[box for box in boxes if _first(box, new=entry.at < 0)],
        others=[box for box in boxes if not _first(box, new=entry.at < 0)],
        rest=rest,
        confirmed=confirmed,
        known=_known(place) if place.started else {},
        people=_people(place),
    )


def _asked(field: Field, values: Mapping[str, str], *, new: bool) -> bool:
    """What a form asks; tables of their own have their own forms, unless they stand in one line here.

    Hours of somebody new are asked with the rest; later they are where the file has them.
    """
    if field.name == "format":
        return False
    if field.name in values or field.table is None:
        return bool(values.get(field.name)) or not field.example.startswith("[[")
    return are_stays(field) if new else field.kind == "table" and not field.example.startswith("[")


def _first(box: Box, *, new: bool) -> bool:
    """What stands open: what is needed or said, and of somebody new the skills and hours without which nothing can be
    planned with them."""
    return bool(box.field.required or box.value) or (new and box.field.name in ("skills", "present"))


def _ticked(sent: FormData, table: Table | None) -> dict[str, str]:
    """Fields that are ticked in a form, as words with a comma between."""
    ticked = (
        [field.name for field in table.fields if field.kind == "texts" and field.choices] if table else []
    )
    lists = {name: [str(one) for one in sent.getlist(name) if one] for name in ticked if name in sent}
    return {name: ", ".join(words)[:20_000] for name, words in lists.items()}


def _field_of(fault: Fault) -> str:
    return fault.where.rpartition(".")[2]


def _box(
    field: Field,
    stands: Mapping[str, str],
    values: Mapping[str, str],
    faults: tuple[Fault, ...],
    offered: tuple[str, ...],
) -> Box:
    # it stands at its field: the file, line and name would only say so again
    mine = next((replace(one, where="").sentence() for one in faults if _field_of(one) == field.name), "")
    there = stands.get(field.name, "")
    assumed = bare(there) != there
    return Box(
        field=field,
        label=field_words(field),
        unit=written(field.unit or ""),
        value=bare(values.get(field.name, "")),
        lines=field.kind == "tables" and not are_stays(field),
        meaning=on_a_page(field.meaning.replace("of `[metals.ID]`", "the shop's own")).replace("`", ""),
        picked=field.kind == "choice" or (bool(offered) and field.kind != "texts"),
        choices=tuple((one, _choice(field, one)) for one in offered),
        hint=f"{ASSUMED}; {_hint(field)}" if assumed else _hint(field),
        fault=mine,
        assumed=assumed,
    )


def _offered(name: str, field: Field) -> tuple[str, ...]:
    """What may be chosen: of a room's things the classes too that have a typical size, though it may be another."""
    return room_classes() if (name, field.name) == ("room", "class") else field.choices


def _hint(field: Field) -> str:
    """What counts where nothing is written, and an example."""
    example = "" if field.choices or field.kind == "flag" else _example(field)
    empty = "" if field.required else f"left empty: {_left_empty(field)}"
    return "; ".join(one for one in (empty, example) if one)


def _example(field: Field) -> str:
    if are_stays(field):
        return f"as in {STAY_EXAMPLE}"
    text = text_of(field.example)
    band = _BAND.fullmatch(text) if field.kind == "value" else None
    if band is not None:
        return f"as in {band[1]}"
    if field.kind == "tables" and field.table is not None and text.startswith("[["):
        return f"a line each: {row_pattern(field.table)}"
    plain = plain_example(field, text)
    if plain.startswith(("{", "[")):
        return f"as the file has it: {text}"
    if field.kind == "tables":
        return f"a line each, as in {plain}"
    text = plain
    words = field.refers == "metals" or field.name == "class"
    return f"as in {_choice(field, text) if words else text}" if text else ""


def _left_empty(field: Field) -> str:
    if field.library:
        return defaults.written(field.library)
    if field.preset is None:
        return on_a_page(field.default) if field.default not in ("", '""') else "nothing"
    if isinstance(field.preset, bool):
        return "yes" if field.preset else "no"
    if field.preset == []:
        return "none"
    return _choice(field, str(field.preset))


def _choice(field: Field, name: str) -> str:
    """A word that a file has, as people say it."""
    return skill_words(name) if field.name == "skills" else name.replace("_", " ")


def _people(place: Any) -> list[str]:
    """Who may say that it was changed."""
    try:
        return list(place.shop().people) if place.started else []
    except Refused:
        return []


def _known(place: Any) -> dict[str, list[str]]:
    """What a field that refers to something may name."""
    try:
        shop = place.shop()
    except Refused:
        return {}
    from flatstock.actions.choices import card_choices

    return {
        "lots": list(shop.lots),
        "plastics": [one.id for one in card_choices(shop).plastics],
        "metals": list(shop.metals),
        "hot_presses": list(shop.hot_presses),
        "cooling_presses": list(shop.cooling_presses),
        "stacks": list(shop.stacks),
    }
