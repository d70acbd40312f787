"""What one row says about another: references, IDs, fits. On rows, so that all faults come at once."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import time
from difflib import get_close_matches
from itertools import pairwise
from math import pi
from zoneinfo import available_timezones

from flatstock.plastics.library import library
from flatstock.plastics.naming import meant_by
from flatstock.plastics.safety import never_pressed
from flatstock.workshop import defaults
from flatstock.workshop.build import ids
from flatstock.workshop.build_stock import zone
from flatstock.workshop.parents import check_parents
from flatstock.workshop.row import Row
from flatstock.workshop.spots import Notes
from flatstock.workshop.weights import check_weights
from flatstock.workshop.words import HOW_TO_ID, is_id

__all__ = ["check_references"]

LONGEST_NIGHT = 12  #: hours of a stay past midnight: of more than that the two times are taken to be confused

#: everything that a plan or a card can point at shares one list of IDs
_MACHINES = (
    "hot_presses",
    "cooling_presses",
    "stacks",
    "racks",
    "benches",
    "lifts",
    "saws",
    "dryers",
    "scales",
)


def check_references(
    shop: Row,
    lists: Mapping[str, list[Row]],
    plastics: Mapping[str, Row],
    known_plastics: frozenset[str],
    notes: Notes,
) -> None:
    """Note what doesn't fit together.

    Parameters
    ----------
    shop
        shop.toml.
    lists
        "lots", "orders" and "offcuts", each its rows.
    plastics
        The tables of plastics.toml.
    known_plastics
        IDs of the library and of plastics.toml, lower case.
    """
    _clock(shop, notes)
    taken = _unique([r for key in (*_MACHINES, "frames", "skins", "people") for r in shop.tables(key)], notes)
    for rows in lists.values():
        _unique(rows, notes)
    _metals(shop, notes)
    for key, of in (("hot_presses", "default_hot_press"), ("cooling_presses", "default_cooling_press"),
                    ("stacks", "default_stack")):  # fmt: skip
        if shop.has(key) or key not in shop.lines:  # else they are there, and can't be read
            places = shop.tables(key)
            if all(row.text("id") and row.text("id").lower() not in taken for row in places):
                _refer(shop, of, {row.text("id") for row in places}, f"no such place among {key}", notes)
    for press in shop.tables("hot_presses"):
        _heaters(press, notes)
    for press in shop.tables("hot_presses") + shop.tables("cooling_presses"):
        _press(press, notes)
    for place in shop.tables("stacks") + shop.tables("racks"):
        _faces(place, notes)
        for plate in (place.table("bottom_plate"), place.table("top_plate")):
            _whole_plate(plate, notes)
    for frame in shop.tables("frames"):
        _frame(frame, shop, notes)
    for row in (*shop.tables("frames"), *shop.tables("skins")):
        _ids_listed(row, notes)
    check_weights(shop, notes)
    for person in shop.tables("people"):
        _person(person, notes)
    practice = shop.table("practice")
    _dwells(practice.tables("dwell") if practice else [], known_plastics, notes)
    for row in plastics.values():
        _base(row, known_plastics, notes)
    _stock(lists, known_plastics, notes)


def _dwells(rows: Iterable[Row], plastics: frozenset[str], notes: Notes) -> None:
    first: dict[tuple[str, float], Row] = {}
    for row in rows:
        _plastic(row, plastics, notes)
        if not (row.text("plastic") and row.has("thickness") and row.has("dwell")):
            continue
        before = first.setdefault((row.text("plastic").lower(), round(row.number("thickness"), 6)), row)
        if before.maybe("dwell") != row.maybe("dwell"):
            what = (
                f"another dwell of {row.text('plastic')} {_mm(row.number('thickness'))}, beside the"
                f" {before.number('dwell') / 60:g} min of line {before.line}"
            )
            notes.fault(*row.at("dwell"), what, "keep the one that has worked here")


def _clock(shop: Row, notes: Notes) -> None:
    try:
        zone(shop.text("time_zone") or "UTC")
    except (KeyError, ValueError, OSError):
        near = get_close_matches(shop.text("time_zone"), available_timezones(), n=1, cutoff=0.7)
        notes.fault(
            *shop.at("time_zone"),
            f"no time zone {shop.text('time_zone')!r}",
            f"the nearest is {near[0]}" if near else 'write one as in "Europe/Lisbon"',
        )


def _unique(rows: Iterable[Row], notes: Notes) -> set[str]:
    """Note each ID that is there twice, whatever its case, as it is asked for; those IDs in lower case."""
    first: dict[str, Row] = {}
    taken = set()
    for row in rows:
        for name in ids(row):
            if (before := first.get(name.lower())) is None:
                first[name.lower()] = row
                continue
            taken.add(name.lower())
            key = "ids" if row.texts("ids") else "id"
            notes.fault(*row.at(key), f"the ID {name} is taken by line {before.line}", "give each its own")
    return taken


def _ids_listed(row: Row, notes: Notes) -> None:
    if "ids" not in row.lines:
        return
    if row.values.get("ids") == ():
        notes.fault(*row.at("ids"), "no ID stands in the list", 'name each, as in ["A-1", "A-2"]')
    for name in row.texts("ids"):
        if not is_id(name):
            notes.fault(*row.at("ids"), f"{name!r} can't be an ID", HOW_TO_ID)


def _metals(shop: Row, notes: Notes) -> None:
    library = set(defaults.data_file("metals.toml"))
    own = {row.path.rpartition(".")[2]: row for row in shop.tables("metals")}
    for name, row in own.items():
        for key in ("density_kg_m3", "specific_heat_J_kgK", "conductivity_W_mK"):
            stem = key.split("_kg")[0].split("_J")[0].split("_W")[0]
            if name not in library and stem not in row.lines:
                file, line, _ = row.at(stem)
                notes.fault(
                    file, line, f"{row.path}.{key}", "missing", "a metal that the library lacks needs it"
                )
    known = library | set(own)
    users = [
        r
        for key in ("hot_presses", "cooling_presses", "stacks", "racks", "frames", "skins")
        for r in shop.tables(key)
    ]
    nested = [r.table(key) for r in users for key in ("top_platen", "bottom_plate", "top_plate")]
    for row in (*users, *(r for r in nested if r is not None)):
        for key in ("metal", "platen_metal"):
            _refer(row, key, known, "no such metal", notes)


def _press(press: Row, notes: Notes) -> None:
    _faces(press, notes)
    if not all(press.has(key) for key in ("force", "piston_diameter", "pistons", "gauge_max")):
        return
    area = press.count("pistons") * pi / 4 * press.number("piston_diameter") ** 2
    reached = area * press.number("gauge_max")
    if not 0.5 <= reached / press.number("force") <= 2:
        notes.fault(
            *press.at("force"),
            f"{press.number('gauge_max') / 1e5:g} bar on these pistons gives {reached / 1e3:.0f} kN, not"
            f" {press.number('force') / 1e3:g} kN",
            "check the bore, the number of pistons, the gauge and the force",
        )


def _heaters(press: Row, notes: Notes) -> None:
    if press.maybe("bottom_power") == press.maybe("top_power") == 0:
        what = "neither of its platens has heaters"
        notes.fault(*press.at("top_power"), what, "write what the nameplate says, or make it a cooling press")


def _faces(place: Row, notes: Notes) -> None:
    for key in ("bottom_face", "top_face"):
        face = place.table(key)
        if face is None:
            continue
        if face.text("kind") == "fixed" and not face.has("film"):
            notes.fault(face.file, face.line, f"{face.path}.film_W_m2K", "missing", 'a "fixed" face needs it')
        if face.text("kind") == "water" and not face.has("temperature"):
            notes.fault(
                face.file, face.line, f"{face.path}.temperature_C", "missing", 'a "water" face needs it'
            )


def _whole_plate(plate: Row | None, notes: Notes) -> None:
    for key in ("length", "width", "thickness"):
        if plate is not None and key not in plate.lines:
            notes.fault(
                plate.file, plate.line, f"{plate.path}.{key}_mm", "missing", "a plate needs its measures"
            )


def _frame(frame: Row, shop: Row, notes: Notes) -> None:
    for side in ("length", "width"):
        inside, outside = frame.maybe(f"cavity_{side}"), frame.maybe(f"outside_{side}")
        if inside is not None and outside is not None and inside >= outside:
            notes.fault(
                *frame.at(f"cavity_{side}"),
                f"the cavity ({_mm(inside)}) is not smaller than the frame's outside ({_mm(outside)})",
                "swap them, or measure again",
            )
    size = _size(frame, "outside")
    presses = [(p.text("id"), _size(p, "platen")) for p in shop.tables("hot_presses")]
    if size and presses and all(s is not None and not _covers(s, size) for _, s in presses):
        best = ", ".join(f"{name} {_mm(s[0])} x {_mm(s[1])}" for name, s in presses if s)
        notes.fault(
            *frame.at("outside_length"),
            f"the frame ({_mm(size[0])} x {_mm(size[1])} outside) fits no hot press's platens ({best})",
            "a frame must lie on the platens with all of its land",
        )
    skins = [(s, _size(s, "")) for s in shop.tables("skins") if s.flag("fit_for_use")]
    if size and skins and all(s is not None and not _covers(s, size) for _, s in skins):
        notes.fault(
            *frame.at("outside_length"),
            f"no pair of skins is as large as the frame ({_mm(size[0])} x {_mm(size[1])} outside)",
            "a skin must reach over the frame's land on every side",
        )


def _person(person: Row, notes: Notes) -> None:
    for stay in person.tables("present"):
        keys = ("start", "lunch_start", "lunch_end", "end")
        times = [(key, t) for key in keys if (t := stay.clock(key)) is not None]
        back = [(key, before, after) for (_, before), (key, after) in pairwise(times) if after <= before]
        if len(back) == 1 and _overnight(times[0][1], times[-1][1]):
            back = []
        for key, before, after in back:
            notes.fault(*stay.at(key), f"{after:%H:%M} is not after {before:%H:%M}",
                        "times of a stay run start, lunch_start, lunch_end, end; one that goes on past midnight takes"
                        f" up to {LONGEST_NIGHT} hours")  # fmt: skip
        if stay.has("lunch_start") != stay.has("lunch_end"):
            missing = "lunch_end" if stay.has("lunch_start") else "lunch_start"
            notes.fault(stay.file, stay.line, f"{stay.path}.{missing}", "missing", "a break needs both ends")


def _overnight(start: time, end: time) -> bool:
    """Whether a stay goes on past midnight, rather than that its two times are confused."""
    minutes = 60 * (24 + end.hour - start.hour) + end.minute - start.minute
    return end <= start and minutes <= 60 * LONGEST_NIGHT


def _stock(lists: Mapping[str, list[Row]], plastics: frozenset[str], notes: Notes) -> None:
    lots = {row.text("id"): row for row in lists["lots"]}
    if _no_lots(lists, notes):
        for lot in lists["lots"]:
            _lot_plastic(lot, plastics, notes)
        for row in (*lists["orders"], *lists["offcuts"]):
            _plastic(row, plastics, notes)
        return
    check_parents(lists["lots"], notes)
    for lot in lists["lots"]:
        _lot_plastic(lot, plastics, notes)
        for parent in lot.texts("parents"):
            if parent not in lots and parent not in notes.lost:
                notes.fault(*lot.at("parents"), f"no lot {parent}", _near(parent, lots))
    for order in lists["orders"]:
        _plastic(order, plastics, notes)
        for name in order.shares("lots"):
            if name not in lots and name not in notes.lost:
                notes.fault(*order.at("lots"), f"no lot {name}", _near(name, lots))
    for offcut in lists["offcuts"]:
        _plastic(offcut, plastics, notes)
        _refer(offcut, "lot", set(lots), "no such lot", notes)


def _no_lots(lists: Mapping[str, list[Row]], notes: Notes) -> bool:
    """Whether nothing can be said of lots that others name: their file can't be read, or none is on file at all."""
    if {"lots.csv", "lots.toml"} & notes.unread or any(not row.text("id") for row in lists["lots"]):
        return True
    if lists["lots"]:
        return False
    naming = [row for row in lists["orders"] if row.shares("lots")]
    naming += [row for row in lists["offcuts"] if row.has("lot")]
    if naming:
        lines = f"{len(naming)} line{'s' * (len(naming) > 1)} of orders and offcuts name some"
        notes.fault("lots.csv", 0, "", f"no lot is on file, and {lines}", "write the lots, one a line")
    return True


def _lot_plastic(lot: Row, plastics: frozenset[str], notes: Notes) -> None:
    name = lot.text("plastic").lower()
    if not name or name in plastics or "plastics.toml" in notes.unread:
        return
    if lot.text("status") in ("quarantine", "blocked", "empty"):
        notes.warn(
            *lot.at("plastic"), f"{lot.text('plastic')!r} is no plastic on file; the lot stays unpressed."
        )
        return
    if entry := never_pressed(name):
        what = f"{lot.text('plastic')} is never pressed: {entry.reason}"
        notes.fault(*lot.at("plastic"), what, "give the lot the status blocked, and keep it apart")
        return
    what, near = _unknown_plastic(lot.text("plastic"), plastics)
    notes.fault(*lot.at("plastic"), what, f"{near}; or quarantine the lot until it is known what it is")


def _plastic(row: Row, plastics: frozenset[str], notes: Notes) -> None:
    name = row.text("plastic")
    if "plastics.toml" in notes.unread or name in notes.lost or name.lower() in plastics:
        return
    # what is never pressed is told by its own rule, and not that something on file is called nearly the same
    if row.has("plastic") and not (name and never_pressed(name)):
        notes.fault(*row.at("plastic"), *_unknown_plastic(name, plastics))


def _base(row: Row, plastics: frozenset[str], notes: Notes) -> None:
    """The plastic on file that one of the shop's own starts from."""
    name = row.text("base")
    if not row.has("base") or name in notes.lost or name.lower() in plastics:
        return
    if name and (entry := never_pressed(name)):
        notes.fault(*row.at("base"), f"{name} is never pressed: {entry.reason}", "take this plastic out")
    else:
        notes.fault(*row.at("base"), *_unknown_plastic(name, plastics))


def _unknown_plastic(name: str, plastics: Iterable[str]) -> tuple[str, str]:
    """What is wrong with a name that is no plastic's ID, and what to write: what it means, or the nearest."""
    if meant := [one.id for one in meant_by(name, library())]:
        return f"{name!r} is another name of {' or '.join(meant)}", f"write {' or '.join(meant)}"
    return f"{name!r}: no such plastic on file", _near(name.lower(), plastics)


def _refer(row: Row, key: str, known: Iterable[str], what: str, notes: Notes) -> None:
    name = row.text(key)
    if (name or row.has(key)) and name not in set(known) and name not in notes.lost:
        notes.fault(*row.at(key), f"{name!r}: {what}", _near(name, known))


def _near(name: str, known: Iterable[str]) -> str:
    names = sorted(filter(None, known))
    near = get_close_matches(name, names, n=2, cutoff=0.5)
    if near:
        return f"the nearest is {' or '.join(near)}"
    return f"on file: {', '.join(names)}" if names else "none is on file"


def _size(row: Row, part: str) -> tuple[float, float] | None:
    prefix = f"{part}_" if part else ""
    length, width = row.maybe(f"{prefix}length"), row.maybe(f"{prefix}width")
    return None if length is None or width is None else (length, width)


def _covers(outer: tuple[float, float], inner: tuple[float, float]) -> bool:
    return outer[0] >= inner[0] - 1e-9 and outer[1] >= inner[1] - 1e-9


def _mm(metres: float) -> str:
    return f"{metres * 1000:g} mm"
