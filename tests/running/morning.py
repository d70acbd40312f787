"""A Monday morning written by hand: two sheets of dark HDPE, 12 mm, and what happened to the first of them."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from flatstock.running.event import Event

DAY = datetime(2026, 3, 2, tzinfo=UTC)  # a Monday: OP1 and OP2 from 07:15, OP1 at lunch from 12:00


def at(clock):
    hour, minute, *second = (int(part) for part in clock.split(":"))
    return DAY + timedelta(hours=hour, minutes=minute, seconds=sum(second))


def an_event(kind, clock, *, named=None, noted=None, who=("OP1", "OP2"), sheet=None, **changes):
    when = at(clock)
    return Event(id=named or f"{kind} {sheet} {clock}", at=when, noted_at=at(noted) if noted else when, kind=kind,
                 who=tuple(who), sheet=sheet, **changes)  # fmt: skip


def _sheet(name, first):
    def task(step, start, end, *places):
        moments = [(at(first) + timedelta(minutes=m)).isoformat() for m in (start, end)]
        return {"id": f"{name}-{step}", "sheet": name, "step": step, "start": moments[0], "end": moments[1],
                "places": list(places), "people": ["OP1", "OP2"]}  # fmt: skip

    return {
        "id": name, "order": "O-107", "plastic": "hdpe", "colour": "dark", "thickness_mm": 12.0,
        "lots": [{"lot": "L-2301", "mass_kg": 11.74}], "charge_kg": 11.74, "mould_mass_kg": 68.0, "set_point_C": 195.0,
        "dwell_min": 28.0, "dwell_latest_min": 50.0, "press_cool_min": 15.0, "frame": "F12-1", "skins": "S01-02",
    }, [
        task("weigh", -12, -8, "SCALE60"), task("prepare", -8, -3, "BENCH"), task("load", -3, 0, "HP1", "BENCH"),
        task("dwell", 0, 28, "HP1"), task("transfer", 28, 31, "HP1", "CP1"), task("press_cool", 31, 60, "CP1"),
        task("move", 60, 63, "CP1", "ST1"), task("stack", 63, 300, "ST1"), task("demould", 300, 306, "LT1"),
    ]  # fmt: skip


def a_plan():
    found = [_sheet("S-1", "08:33"), _sheet("S-2", "09:10")]
    return {
        "format": "flatstock.plan/1",
        "made_at": at("07:00").isoformat(),
        "sheets": [sheet for sheet, _ in found],
        "tasks": [task for _, tasks in found for task in tasks],
    }


def way_to(step):
    """What has happened to S-1 up to and with a step."""
    listed = [
        an_event("checked", "07:38", who=("OP1",), facts={"list": "start"}),
        an_event("heating_on", "07:40", place="HP1", facts={"set_point_C": 195}),
        an_event("weighed", "08:25", sheet="S-1", who=("OP2",), facts={"lot": "L-2301", "mass_kg": 11.74}),
        an_event("prepared", "08:30", sheet="S-1", who=("OP2",), facts={"frame": "F12-1", "skins": "S01-02"}),
        an_event("loaded", "08:33", sheet="S-1", place="HP1"),
        an_event("transferred", "09:02", sheet="S-1", place="CP1"),
        an_event("moved", "09:30", sheet="S-1", place="ST1"),
        an_event("demoulded", "14:00", sheet="S-1", place="LT1"),
    ]
    return listed[: [e.kind for e in listed].index(step) + 1]
