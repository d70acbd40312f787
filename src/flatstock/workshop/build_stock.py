"""From checked rows to people, practice, lots, orders and offcuts."""

from __future__ import annotations

from datetime import UTC, datetime, time, tzinfo
from typing import Literal, cast
from zoneinfo import ZoneInfo

from flatstock.workshop.row import Row
from flatstock.workshop.shop import Lot, Offcut, Order, Person, PracticeValues, Presence

__all__ = ["lot", "offcut", "order", "person", "practice", "with_offset", "zone"]


def zone(name: str) -> tzinfo:
    """The shop's clock; UTC without a time zone database.

    Raises
    ------
    KeyError, ValueError
        There is no such time zone.
    """
    return UTC if name.upper() == "UTC" else ZoneInfo(name)


def person(row: Row) -> Person:
    """Somebody who works here."""
    return Person(
        id=row.text("id"),
        skills=frozenset(row.texts("skills")),
        presence=tuple(_presence(r) for r in row.tables("present")),
        lift_max=row.number("lift_max"),
        role=row.text("role"),
    )


#: plain numbers of [practice] that a card gives reasons for, and their names in the file
_PRACTICE = {
    "breathe_time": "breathe",
    "load_time": "load",
    "transfer_time": "transfer",
    "air_time": "air",
    "thickness_tolerance": "thickness_tolerance",
    "trim": "edge_trim",
    "trimmed_length": "trimmed_length",
    "trimmed_width": "trimmed_width",
}


def practice(row: Row) -> PracticeValues:
    """How the shop works; `row` holds the defaults where its file is silent."""
    return PracticeValues(
        flash_allowance=row.value("flash_allowance"),
        thickness_tolerance=row.number("thickness_tolerance"),
        contact_pressure=row.value("contact_pressure"),
        full_pressure=row.value("full_pressure"),
        following_pressure=row.value("following_pressure"),
        breathe_time=row.number("breathe"),
        load_time=row.number("load"),
        transfer_time=row.number("transfer"),
        air_time=row.number("air"),
        soak_time=row.number("soak"),
        trim=row.number("edge_trim"),
        two_person_lift=row.number("two_person_lift"),
        condition=row.number("condition"),
        move_time=row.number("move"),
        prepare_time=row.number("prepare"),
        weigh_time=row.number("weigh"),
        demould_time=row.number("demould"),
        trim_time=row.number("trim"),
        settle_time=row.number("settle"),
        clean_light_to_dark=row.number("clean_light_to_dark"),
        clean_dark_to_light=row.number("clean_dark_to_light"),
        trimmed_length=row.maybe("trimmed_length"),
        trimmed_width=row.maybe("trimmed_width"),
        dwell={
            (r.text("plastic").lower(), round(r.number("thickness"), 9)): r.number("dwell")
            for r in row.tables("dwell")
        },
        evidence={name: row.evidence(key) for name, key in _PRACTICE.items()},
    )


def lot(row: Row) -> Lot:
    """A lot of flake."""
    return Lot(
        id=row.text("id"),
        plastic=row.text("plastic").lower(),
        form=row.text("form"),
        colour=row.maybe_text("colour"),
        mass=row.number("mass"),
        status=cast(Literal["received", "quarantine", "released", "blocked", "empty"], row.text("status")),
        origin=row.text("origin"),
        mfr=row.maybe("mfr"),
        viscosity=row.maybe_value("viscosity"),
        moisture=row.maybe("moisture"),
        bulk_density=row.maybe("bulk_density"),
        strangers={name.lower(): share for name, share in row.shares("strangers").items()},
        parents=row.texts("parents"),
        bromine=cast(Literal["not_tested", "clear", "found"], row.text("bromine")),
        dry_first=row.flag("dry_first"),
        place=row.maybe_text("place"),
        note=row.text("note"),
    )


def order(row: Row, clock: tzinfo) -> Order:
    """An order; its due time gets the shop's offset where it has none."""
    due = row.moment("due")
    return Order(
        id=row.text("id"),
        what=row.text("what"),
        plastic=row.text("plastic").lower(),
        colour=row.maybe_text("colour"),
        thickness=row.number("thickness"),
        sheets=row.count("sheets"),
        due=with_offset(due, clock),
        condition=row.maybe("condition"),
        lots=row.shares("lots"),
        offcuts=row.texts("offcuts"),
        note=row.text("note"),
    )


def offcut(row: Row) -> Offcut:
    """An offcut in store."""
    return Offcut(
        id=row.text("id"),
        plastic=row.text("plastic").lower(),
        colour=row.maybe_text("colour"),
        thickness=row.number("thickness"),
        length=row.number("length"),
        width=row.number("width"),
        lot=row.maybe_text("lot"),
        note=row.text("note"),
    )


def _presence(row: Row) -> Presence:
    start, end = row.clock("start"), row.clock("end")
    return Presence(
        weekdays=row.weekdays("days"),
        start=start or time(0),
        end=end or time(23, 59),
        lunch_start=row.clock("lunch_start"),
        lunch_end=row.clock("lunch_end"),
    )


def with_offset(moment: datetime | None, clock: tzinfo) -> datetime | None:
    """A moment by the shop's clock where it doesn't say by which."""
    return moment.replace(tzinfo=clock) if moment is not None and moment.tzinfo is None else moment
