"""What the floor needs to know of planned sheets and heaters, read from a plan document."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any

__all__ = ["Planned", "Setting", "Task", "planned", "settings_of"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """One step as planned."""

    step: str
    start: datetime
    end: datetime
    places: tuple[str, ...]
    people: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """A sheet to press. Seconds, °C, kg."""

    id: str
    order: str | None = None
    plastic: str | None = None
    colour: str | None = None
    thickness_mm: float | None = None
    lots: Mapping[str, float] = field(default_factory=dict)  #: lot to kg
    charge: float | None = None
    mould_mass: float | None = None
    set_point: float | None = None
    dwell: float | None = None  #: not before
    dwell_planned: float | None = None  #: as the card advises, breathing and full pressure in it
    dwell_latest: float | None = None
    press_cool: float | None = None  #: not before
    frame: str | None = None
    skins: str | None = None
    tasks: Mapping[str, Task] = field(default_factory=dict)  #: step to its first task
    given_up: bool = False  #: no sheet comes of it; its tasks are those of its mould
    aside: str = ""  #: why the plan leaves its charge apart; empty: it is to be pressed

    @property
    def what(self) -> str:
        """In a few words: "HDPE dark 12 mm"."""
        words = [
            None if self.plastic is None else self.plastic.upper(),
            self.colour,
            None if self.thickness_mm is None else f"{self.thickness_mm:g} mm",
        ]
        return " ".join(word for word in words if word) or "not in the plan"


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """What a hot press's heaters are set to from an instant on."""

    press: str
    at: datetime
    to: float | None  #: °C; None: off


def planned(plan: Mapping[str, Any] | None) -> dict[str, Planned]:
    """The sheets of a `flatstock.plan/1`, in the order in which they are to be loaded, then those whose charge it sets
    aside or gives up; none without a plan."""
    if plan is None:
        return {}
    tasks: dict[str, dict[str, Task]] = {}
    behind = [task for one in plan.get("given_up", ()) for task in (*one["tasks"], *one.get("ahead", ()))]
    for one in sorted(
        [*plan.get("tasks", ()), *behind], key=lambda one: datetime.fromisoformat(one["start"])
    ):
        tasks.setdefault(one["sheet"], {}).setdefault(
            one["step"],
            Task(
                step=one["step"],
                start=datetime.fromisoformat(one["start"]),
                end=datetime.fromisoformat(one["end"]),
                places=tuple(one["places"]),
                people=tuple(one["people"]),
            ),
        )
    found = [_planned(sheet, tasks.get(sheet["id"], {})) for sheet in plan.get("sheets", ())]
    found += [
        replace(_planned({**one, "id": one["sheet"]}, {}), aside=one["because"])
        for one in plan.get("set_aside", ())
    ]
    gone = [
        replace(_planned({**one, "id": one["sheet"]}, tasks.get(one["sheet"], {})), given_up=True)
        for one in plan.get("given_up", ())
    ]
    return {one.id: one for one in (*sorted(found, key=_first), *gone)}


def settings_of(plan: Mapping[str, Any] | None) -> tuple[Setting, ...]:
    """Each time that a `flatstock.plan/1` has heaters switched or set anew, in order; none without a plan."""
    found = [
        Setting(press=one["place"], at=datetime.fromisoformat(one["start"]), to=one["to_C"])
        for one in (plan or {}).get("settings", ())
        if one["kind"] in ("heat_up", "raise", "lower", "off")
    ]
    return tuple(sorted(found, key=lambda one: (one.at, one.press)))


def _planned(sheet: Mapping[str, Any], tasks: Mapping[str, Task]) -> Planned:
    return Planned(
        id=sheet["id"],
        order=sheet.get("order"),
        plastic=sheet.get("plastic"),
        colour=sheet.get("colour"),
        thickness_mm=sheet.get("thickness_mm"),
        lots={one["lot"]: one["mass_kg"] for one in sheet.get("lots", ())},
        charge=sheet.get("charge_kg"),
        mould_mass=sheet.get("mould_mass_kg"),
        set_point=sheet.get("set_point_C"),
        dwell=_seconds(sheet.get("dwell_min")),
        dwell_planned=_seconds(sheet.get("dwell_planned_min")),
        dwell_latest=_seconds(sheet.get("dwell_latest_min")),
        press_cool=_seconds(sheet.get("press_cool_min")),
        frame=sheet.get("frame"),
        skins=sheet.get("skins"),
        tasks=tasks,
    )


def _seconds(minutes: float | None) -> float | None:
    return None if minutes is None else 60.0 * minutes


def _first(one: Planned) -> tuple[bool, float, str]:
    load = one.tasks.get("load")
    return load is None, 0.0 if load is None else load.start.timestamp(), one.id
