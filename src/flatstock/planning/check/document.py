"""A `flatstock.plan/1` as the judge reads it; `shape` has looked at every field before."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

__all__ = [
    "Load",
    "Plan",
    "Power",
    "Resource",
    "Setting",
    "Sheet",
    "Task",
    "by_time",
    "minutes",
    "read",
    "sheet_of",
    "task_of",
]


def minutes(start: datetime, end: datetime) -> float:
    """Minutes of true time between two instants, whatever their offsets."""
    return (end - start).total_seconds() / 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Resource:
    """A place, a thing or a person."""

    id: str
    kind: str
    capacity: int
    thickness: float | None  #: of a frame [mm]
    skills: frozenset[str]
    present: tuple[tuple[datetime, datetime], ...]
    load_max: float | None  #: [kg]; None: not said
    #: of a hot press; without an end: to the end of the plan
    out: tuple[tuple[datetime, datetime | None], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One sheet; times in minutes, masses in kg, temperatures in °C."""

    id: str
    order: str
    thickness: float  #: [mm]
    lots: tuple[tuple[str, float], ...]
    charge: float
    set_point: float
    dwell: float
    dwell_planned: float
    dwell_latest: float | None
    press_cool: float
    frame: str
    skins: str
    condition_h: float
    due: datetime | None
    ready: datetime
    late: float
    mould_mass: float | None  #: None: not said


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """One step of one sheet."""

    id: str
    sheet: str
    step: str
    start: datetime
    end: datetime
    places: tuple[str, ...]
    people: tuple[str, ...]

    @property
    def lasts(self) -> float:
        """Minutes."""
        return minutes(self.start, self.end)

    @property
    def where(self) -> str:
        """For a finding: which sheet, step and task, and when it starts."""
        return f"{self.sheet} {self.step} ({self.id}) at {self.start.isoformat()}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """What a hot press is set to, or taken to."""

    place: str
    kind: str
    start: datetime
    end: datetime
    from_C: float | None
    to_C: float | None

    @property
    def where(self) -> str:
        """For a finding."""
        return f"{self.place} {self.kind} at {self.start.isoformat()}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """What draws current [A], and during which steps or settings."""

    id: str
    amps: tuple[float, float, float]
    on_during: frozenset[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Power:
    """What the plan says is drawn from `start` to `end` [A]."""

    start: datetime
    end: datetime
    amps: tuple[float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """The whole document."""

    start: datetime
    end: datetime
    resources: Mapping[str, Resource]
    lots: Mapping[str, tuple[str, float]]  #: status, mass [kg]
    sheets: Mapping[str, Sheet]
    tasks: Sequence[Task]
    settings: Sequence[Setting]
    rated: float | None
    loads: Sequence[Load]
    power: Sequence[Power]
    steps: Mapping[str, tuple[Task, ...]]  #: by sheet, by time
    by_press: Mapping[str, tuple[Setting, ...]]  #: by place, by time

    def of_kind(self, places: Sequence[str], *kinds: str) -> list[str]:
        """Those of `places` that are of these kinds."""
        return [p for p in places if p in self.resources and self.resources[p].kind in kinds]

    def step(self, sheet: str, name: str) -> Task | None:
        """The first such step of a sheet."""
        return next((task for task in self.steps.get(sheet, ()) if task.step == name), None)

    def hot(self) -> list[Resource]:
        """Everybody who may load and transfer."""
        return [r for r in self.resources.values() if r.kind == "person" and "hot_transfer" in r.skills]


def read(document: Mapping[str, Any]) -> Plan:
    """The document as dataclasses; of two things with one id the later counts."""
    tasks = [task_of(one) for one in document["tasks"]]
    settings = [_setting(one) for one in document["settings"]]
    supply = document["supply"]
    return Plan(
        start=_instant(document["start"]),
        end=_instant(document["end"]),
        resources={one["id"]: _resource(one) for one in document["resources"]},
        lots={one["id"]: (one["status"], one["mass_kg"]) for one in document["lots"]},
        sheets={one["id"]: sheet_of(one) for one in document["sheets"]},
        tasks=tasks,
        settings=settings,
        rated=supply["rated_A"],
        loads=[
            Load(id=one["id"], amps=_amps(one), on_during=frozenset(one["on_during"]))
            for one in supply["loads"]
        ],
        power=[
            Power(start=_instant(one["start"]), end=_instant(one["end"]), amps=_amps(one))
            for one in document["power"]
        ],
        steps=by_time(tasks, "sheet"),
        by_press=by_time(settings, "place"),
    )


def by_time(things: Sequence[Any], field: str) -> dict[str, tuple[Any, ...]]:
    """Tasks or settings by what a field of them says, each list by time."""
    found: dict[str, list[Any]] = {}
    for one in sorted(things, key=lambda one: (one.start, one.end)):
        found.setdefault(getattr(one, field), []).append(one)
    return {name: tuple(ones) for name, ones in found.items()}


def _instant(text: str) -> datetime:
    return datetime.fromisoformat(text)


def _amps(one: Mapping[str, Any]) -> tuple[float, float, float]:
    return one["L1_A"], one["L2_A"], one["L3_A"]


def _resource(one: Mapping[str, Any]) -> Resource:
    return Resource(
        id=one["id"],
        kind=one["kind"],
        capacity=one["capacity"],
        thickness=one.get("thickness_mm"),
        skills=frozenset(one.get("skills", ())),
        present=tuple((_instant(p["start"]), _instant(p["end"])) for p in one.get("present", ())),
        load_max=one.get("load_max_kg"),
        out=tuple(
            (_instant(p["start"]), p["end"] and _instant(p["end"])) for p in one.get("out_of_order", ())
        ),
    )


def sheet_of(one: Mapping[str, Any]) -> Sheet:
    """An entry of `sheets`."""
    return Sheet(
        id=one["id"],
        order=one["order"],
        thickness=one["thickness_mm"],
        lots=tuple((lot["lot"], lot["mass_kg"]) for lot in one["lots"]),
        charge=one["charge_kg"],
        set_point=one["set_point_C"],
        dwell=one["dwell_min"],
        dwell_planned=one["dwell_planned_min"],
        dwell_latest=one["dwell_latest_min"],
        press_cool=one["press_cool_min"],
        frame=one["frame"],
        skins=one["skins"],
        condition_h=one["condition_h"],
        due=None if one["due"] is None else _instant(one["due"]),
        ready=_instant(one["ready"]),
        late=one["late_min"],
        mould_mass=one.get("mould_mass_kg"),
    )


def task_of(one: Mapping[str, Any]) -> Task:
    """An entry of `tasks`."""
    return Task(
        id=one["id"],
        sheet=one["sheet"],
        step=one["step"],
        start=_instant(one["start"]),
        end=_instant(one["end"]),
        places=tuple(one["places"]),
        people=tuple(one["people"]),
    )


def _setting(one: Mapping[str, Any]) -> Setting:
    return Setting(
        place=one["place"],
        kind=one["kind"],
        start=_instant(one["start"]),
        end=_instant(one["end"]),
        from_C=one["from_C"],
        to_C=one["to_C"],
    )
