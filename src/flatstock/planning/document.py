"""A schedule as `flatstock.plan/1`, with everything an outside judge needs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from typing import Any

from flatstock.planning.emptying import emptied
from flatstock.planning.given_up import given_up_documents, set_aside_documents
from flatstock.planning.overdue import overdue
from flatstock.planning.problem.clock import Span, less
from flatstock.planning.problem.schedule import Schedule
from flatstock.planning.problem.steps import Step, steps_of
from flatstock.planning.problem.warmth import opens_after, stacked_after, warmths
from flatstock.planning.problem.week import SAW, Sheet, Site, Week
from flatstock.planning.solve.settings import Setting, settings_of
from flatstock.times import day_clock
from flatstock.workshop.skill_words import trained

__all__ = ["lots_left", "plan_document"]

Document = dict[str, Any]


def plan_document(
    week: Week,
    schedule: Schedule,
    people: Mapping[tuple[str, str], tuple[str, ...]],
    *,
    made_at: str,
    lots: Sequence[Document],
    proof: Document,
    cautions: Sequence[Document],
) -> Document:
    """The whole document, but for what the rehearsal and the reasons add."""
    clock = week.clock
    sheets = {sheet.id: sheet for sheet in week.sheets}
    steps = [step for name, run in schedule.runs.items() for step in steps_of(week, sheets[name], run)]
    steps.sort(key=lambda s: (s.start, s.sheet, s.end))
    settings = settings_of(week, schedule)
    frames, skins = _moulds(week, schedule)
    warmth = warmths(week, schedule.runs)
    power = _power(week, steps, settings)
    figures = {
        name: _sheet(week, sheets[name], schedule, frames[name], skins[name], warmth[name])
        for name in sorted(schedule.runs)
    }
    tasks = _tasks(week, steps, people)
    going = emptied(week, schedule, figures, tasks, warmth)
    return {
        "format": "flatstock.plan/1",
        "shop": week.shop,
        "made_at": made_at,
        "start": clock.text(week.start),
        "end": clock.text(week.end),
        "resources": _resources(week),
        "lots": list(lots),
        "sheets": [one for name, one in figures.items() if name not in going],
        "tasks": [task for task in tasks if task["sheet"] not in going],
        "settings": [
            {
                "place": s.place,
                "kind": s.kind,
                "start": clock.text(s.start),
                "end": clock.text(s.end),
                "from_C": s.before,
                "to_C": s.after,
            }
            for s in settings
        ],
        "rehearsal": {"rounds": 0, "sheets": []},
        "supply": {
            "rated_A": week.rated,
            "loads": [
                {
                    "id": load.id,
                    "L1_A": load.amps[0],
                    "L2_A": load.amps[1],
                    "L3_A": load.amps[2],
                    "on_during": sorted(load.on_during),
                }
                for load in week.loads
            ],
        },
        "power": [
            {"start": clock.text(span.start), "end": clock.text(span.end),
             "L1_A": round(a, 3), "L2_A": round(b, 3), "L3_A": round(c, 3)}
            for span, (a, b, c) in power
        ],
        "energy_kWh": round(_energy(week, schedule, sheets), 2),
        "late": _late(schedule, sheets),
        "left_out": _left_out(week, schedule),
        "given_up": list(given_up_documents(week, schedule.runs, going)),
        "set_aside": list(set_aside_documents(week, schedule.runs)),
        "warnings": [*overdue(week, schedule), *week.warnings, *_untrimmed(week)],
        "cautions": list(cautions),
        "proof": proof,
    }  # fmt: skip


def _resources(week: Week) -> list[Document]:
    found: list[Document] = [
        {"id": site.id, "kind": site.kind, "capacity": site.capacity, **_mass(site.mass_max), **site.more}
        | _out_of_order(week, site)
        for site in week.sites.values()
    ]
    found += [
        {"id": frame, "kind": "frame", "capacity": 1, "thickness_mm": round(thickness, 6)}
        for frame, thickness in week.frames.items()
    ]
    found += [{"id": skins, "kind": "skins", "capacity": 1} for skins in week.skins]
    for person in week.people:
        spans = [{"start": week.clock.text(s.start), "end": week.clock.text(s.end)} for s in person.present]
        found.append(
            {
                "id": person.id,
                "kind": "person",
                "capacity": 1,
                "skills": sorted(person.skills),
                "present": spans,
            }
        )
    return sorted(found, key=lambda one: one["id"])


def _out_of_order(week: Week, site: Site) -> Document:
    """Of a hot press that fails: from when to when, so that its heaters can be judged; null: to the end of the plan.
    What a charge given up keeps it from is told with that."""
    kept = [Span(week.now, one.free_from(week)) for one in week.given_up if one.press == site.id]
    out = less(site.absent, kept) if site.kind == "hot_press" else []
    text, end = week.clock.text, week.end
    spans = [{"start": text(s.start), "end": text(s.end) if s.end <= end else None} for s in out]
    return {"out_of_order": spans} if spans else {}


def _mass(mass: float | None) -> Document:
    return {} if mass is None else {"load_max_kg": mass}


def _moulds(week: Week, schedule: Schedule) -> tuple[dict[str, str], dict[str, str]]:
    """Which frame and which skins each sheet has: the first of its kind that is free when it is prepared."""
    taken: tuple[dict[str, str], dict[str, str]] = ({}, {})
    until: dict[str, int] = {}
    sheets = {sheet.id: sheet for sheet in week.sheets}
    for run in sorted(
        schedule.runs.values(), key=lambda r: (not sheets[r.sheet].work("prepare"), r.prepare, r.sheet)
    ):
        sheet = sheets[run.sheet]
        kind, done, opened = sheet.kind, sheet.done, sheet.work("demould")
        end = run.demould + week.times.demould if opened is None else opened.end
        known = (done.frame, done.skins) if done is not None and sheet.work("prepare") else (None, None)
        for chosen, group, has in zip(taken, (kind.frames, kind.skins), known, strict=True):
            # the model counts them: there is always one
            chosen[run.sheet] = has or min(
                thing
                for thing in group
                if until.get(thing, run.prepare) <= run.prepare
                and not any(out.start < end and run.prepare < out.end for out in week.absent.get(thing, ()))
            )
            until[chosen[run.sheet]] = max(end, until.get(chosen[run.sheet], end))
    return taken


def _cold_in_a_stack(week: Week, sheet: Sheet, schedule: Schedule) -> bool:
    """Whether its mould had to cool for longer than until it may be opened, for what it lies with."""
    run, runs = schedule.runs[sheet.id], schedule.runs
    if run.stay is None or week.sites[run.stay].kind != "stack":
        return False
    if not sheet.melts:
        return True
    if sheet.work("move") is not None:
        return False
    return any(
        runs[other.id].leave < run.demould and run.leave < runs[other.id].demould
        for other in week.sheets
        if other.kind.key in sheet.melts and other.id in runs and other is not sheet
        and runs[other.id].stay == run.stay
    )  # fmt: skip


def _sheet(week: Week, sheet: Sheet, schedule: Schedule, frame: str, skins: str, warmth: int) -> Document:
    """`warmth`: of the plates that its mould finds in its cooling press, minutes."""
    run, kind = schedule.runs[sheet.id], sheet.kind
    dwell = kind.dwell[run.press]
    late = 0 if sheet.due is None else max(0, run.ready - sheet.due)
    load = sheet.work("load")
    loaded = run.load + week.times.load if load is None else load.end
    found: Document = {
        "id": sheet.id,
        "order": sheet.order,
        "plastic": kind.plastic,
        "colour": kind.colour,
        "thickness_mm": kind.thickness,
        "lots": [{"lot": lot, "mass_kg": round(mass, 6)} for lot, mass in sorted(kind.lots.items())],
        "charge_kg": round(kind.charge, 6),
        "mould_mass_kg": round(kind.mould_mass, 3),
        "set_point_C": dwell.set_point,
        "dwell_min": dwell.least,
        "dwell_planned_min": run.transfer - loaded,
        "dwell_latest_min": dwell.latest,
        "press_cool_min": max(
            opens_after(sheet, run.cooling, warmth),
            stacked_after(sheet, run.cooling, warmth) if _cold_in_a_stack(week, sheet, schedule) else 0,
        ),
        "frame": frame,
        "skins": skins,
        "condition_h": round(sheet.condition / 60, 4),
        "due": None if sheet.due is None else week.clock.text(sheet.due),
        "ready": week.clock.text(run.ready),
        "late_min": late,
    }
    if sheet.done is not None:
        found |= {key: sheet.done.figures[key] for key in _settled(sheet)}
    return found


def _settled(sheet: Sheet) -> Iterator[str]:
    """The figures that a sheet was weighed, pressed and cooled by, where that is behind it."""
    if sheet.work("weigh"):
        yield from ("lots", "charge_kg")
    if sheet.work("transfer"):
        yield from ("set_point_C", "dwell_min", "dwell_latest_min")
    if sheet.work("move") or sheet.work("demould"):
        yield "press_cool_min"


def _tasks(
    week: Week, steps: Sequence[Step], people: Mapping[tuple[str, str], tuple[str, ...]]
) -> list[Document]:
    tasks = [
        {
            "id": f"{step.sheet}-{step.name}",
            "sheet": step.sheet,
            "step": step.name,
            "start": week.clock.text(step.start),
            "end": week.clock.text(step.end),
            "places": list(step.places),
            "people": list(people.get((step.sheet, step.name), ())),
        }
        for step in steps
    ]
    return sorted(tasks, key=lambda task: (task["start"], task["id"]))


def _power(
    week: Week, steps: Sequence[Step], settings: Sequence[Setting]
) -> list[tuple[Span, tuple[float, float, float]]]:
    """Amperes per phase, piece by piece; a load counts once however many steps ask for it."""
    on: dict[str, list[tuple[int, int]]] = {}
    for step in steps:
        on.setdefault(step.name, []).append((step.start, step.end))
    for setting in settings:
        on.setdefault(setting.kind, []).append((setting.start, setting.end))
    heated: dict[str, int] = {}
    for setting in settings:
        if setting.kind == "heat_up":
            heated[setting.place] = setting.start
        elif setting.kind == "off":
            on.setdefault("heated", []).append((heated[setting.place], setting.end))
    edges = sorted(
        {edge for spans in on.values() for span in spans for edge in span} | {week.start, week.end}
    )
    found: list[tuple[Span, tuple[float, float, float]]] = []
    for low, high in pairwise(edges):
        running = {name for name, spans in on.items() if any(a <= low and high <= b for a, b in spans)} | {
            "always"
        }
        amps = [sum(load.amps[p] for load in week.loads if load.on_during & running) for p in range(3)]
        now = (amps[0], amps[1], amps[2])
        if found and found[-1][1] == now and found[-1][0].end == low:
            found[-1] = (Span(found[-1][0].start, high), now)
        else:
            found.append((Span(low, high), now))
    return found


def _energy(week: Week, schedule: Schedule, sheets: Mapping[str, Sheet]) -> float:
    """Heaters: heating up and holding as the empty press takes it, and what each sheet takes besides [kWh]."""
    total = sum(sheets[name].kind.energy for name in schedule.runs)
    for press, spans in schedule.heated.items():
        up, hold = week.heat_cost[press]
        warm = min(m for (p, _), m in week.heat_up.items() if p == press)
        dwelling = sum(r.transfer - r.load for r in schedule.runs.values() if r.press == press)
        total += up * len(spans) + hold * max(0, sum(b - a - warm for a, b in spans) - dwelling) / 60
    return total


def _late(schedule: Schedule, sheets: Mapping[str, Sheet]) -> list[Document]:
    minutes: dict[str, int] = {}
    for name, run in schedule.runs.items():
        due = sheets[name].due
        if due is not None and run.ready > due:
            minutes[sheets[name].order] = minutes.get(sheets[name].order, 0) + run.ready - due
    return [
        {"order": order, "minutes": late, "because": [], "would_help": []}
        for order, late in sorted(minutes.items())
    ]


def _untrimmed(week: Week) -> Iterator[str]:
    saws = [site.id for site in week.of_kind("saw")]
    if saws and not week.sawing():
        gone = all(week.gone(site) for site in week.of_kind("saw"))
        why = "out of order to its end" if gone else f"used by nobody {trained(SAW)}"
        yield (
            f"Nothing more is trimmed in this plan: {' and '.join(saws)} {'is' if len(saws) == 1 else 'are'} {why}. A"
            " sheet counts as ready from its demoulding, untrimmed."
        )
    heavy = max(
        (sheet.kind.mould_mass for sheet in week.sheets if week.slid(sheet.kind.mould_mass)), default=None
    )
    if heavy is not None and week.of_kind("stack"):
        yield (
            f"Moulds weigh up to {heavy:.0f} kg, two people may lift {week.two_person_lift:g} kg, and no lift bears"
            " them: they are slid at one height, so none is laid onto another in a stack."
        )


def _left_out(week: Week, schedule: Schedule) -> list[Document]:
    found = [{"order": order, "because": " ".join(why)} for order, why in week.unplaced.items()]
    missing: dict[str, list[Sheet]] = {}
    for sheet in week.sheets:
        if sheet.id not in schedule.runs:
            missing.setdefault(sheet.order, []).append(sheet)
    left = lots_left(week, schedule)
    found += [
        {"order": order, "because": _why_left_out(week, sheets, left)} for order, sheets in missing.items()
    ]
    return sorted(found, key=lambda one: one["order"])


def lots_left(week: Week, schedule: Schedule) -> dict[str, float]:
    """What a plan leaves of each lot [kg]."""
    left = dict(week.lots)
    for sheet in week.sheets:
        if sheet.id in schedule.runs and sheet.work("weigh") is None:
            for lot, mass in sheet.kind.lots.items():
                left[lot] = left.get(lot, 0.0) - mass
    return left


def _why_left_out(week: Week, sheets: Sequence[Sheet], left: Mapping[str, float]) -> str:
    """Want of flake where not even one more charge is left, else want of time."""
    charge = sheets[0].kind.lots
    find = "finds" if len(sheets) == 1 else "find"
    short = [lot for lot, mass in charge.items() if left.get(lot, 0.0) < mass - 1e-9]
    if short:
        parts = [
            f"{lot} has {max(0.0, left.get(lot, 0.0)):.1f} kg left, each takes {charge[lot]:.1f} kg"
            for lot in short
        ]
        return f"{len(sheets)} of its sheets {find} no flake: {' and '.join(parts)}"
    end = day_clock(week.clock.moment(week.end))
    return f"{len(sheets)} of its sheets {find} no time before {end}, where this plan ends"
