"""Weeks of a few minutes with a few sheets, made by hand, small enough to be settled by trying everything."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import UTC, datetime

from flatstock.planning.document import plan_document
from flatstock.planning.problem.clock import Clock, Span
from flatstock.planning.problem.week import Dwell, Kind, Load, Person, Sheet, Site, Times, Warming, Week

MONDAY = datetime(2026, 3, 2, tzinfo=UTC)
ONE_EACH = Times(weigh=1, prepare=1, load=1, transfer=1, move=1, demould=1, trim=1, soak=1, settle=1)
#: the saw may not run while heaters are on: 10 A with them is more than the 20 A that are rated
LOADS = (
    Load(id="HEAT", amps=(15.0, 15.0, 15.0), on_during=frozenset({"heated"})),
    Load(id="SAW", amps=(10.0, 10.0, 10.0), on_during=frozenset({"trim"})),
)


def tiny_kind(
    key: str,
    *,
    dwell: int = 2,
    latest: int | None = None,
    cool: int = 1,
    whole: int = 4,
    rest: Mapping[str, int] | None = None,
    set_point: float = 195.0,
    presses: Sequence[str] = ("HP1",),
    coolers: Sequence[str] = ("CP1",),
    frames: Sequence[str] = ("F1",),
    skins: Sequence[str] = ("S1", "S2", "S3"),
    warming: Warming | None = None,
) -> Kind:
    """A kind of sheet; `whole` is how long it cools in the press to be demoulded there, `warming` the same by the
    warmth of plates."""
    return Kind(
        key=key, plastic="hdpe", colour=key, thickness=12.0, charge=1.0, lots={"L-1": 1.0}, mould_mass=10.0,
        frames=tuple(frames), skins=tuple(skins),
        dwell={p: Dwell(set_point=set_point, least=dwell, planned=dwell, latest=latest) for p in presses},
        press_cool=dict.fromkeys(coolers, cool), cool_to_end=dict.fromkeys(coolers, whole),
        rest={} if rest is None else dict(rest), energy=0.0,
        warming={} if warming is None else dict.fromkeys(coolers, warming),
    )  # fmt: skip


def person(name: str, *spans: tuple[int, int], skills: Sequence[str] = ("hot_transfer", "saw")) -> Person:
    """Somebody present from each first to each second minute."""
    return Person(id=name, skills=frozenset(skills), present=tuple(Span(a, b) for a, b in spans))


def tiny_week(
    wanted: Sequence[tuple[Kind, int]],
    *,
    end: int,
    people: Sequence[Person],
    times: Times = ONE_EACH,
    presses: Sequence[str] = ("HP1",),
    coolers: Sequence[str] = ("CP1",),
    stays: Sequence[Site] = (),
    frames: Sequence[str] = ("F1",),
    skins: Sequence[str] = ("S1", "S2", "S3"),
    benches: int = 1,
    saw: bool = False,
    saw_while_hot: bool = True,
    closing: int | None = None,
    heat_up: int = 1,
    ramp: int = 2,
    clean: Mapping[tuple[str, str], int] | None = None,
    condition: int = 0,
    lot: float = 99.0,
) -> Week:
    """The week in which `wanted` (kind, due minute) is to be pressed. Without a lift two people carry."""
    kinds = {kind.key: kind for kind, _ in wanted}
    sheets = tuple(
        Sheet(id=f"{n:02d}", order=f"O-{kind.key}-{due}", kind=kind, due=due, condition=condition)
        for n, (kind, due) in enumerate(wanted, 1)
    )
    sites = [Site(id=name, kind="hot_press") for name in presses]
    sites += [Site(id=name, kind="cooling_press") for name in coolers]
    sites += [*stays, Site(id="BENCH", kind="bench", capacity=benches), Site(id="SCALE", kind="scale")]
    sites += [Site(id="SAW", kind="saw")] if saw else []
    points = {(p, kind.dwell[p].set_point) for kind in kinds.values() for p in kind.dwell}
    cleans = dict(clean or {})
    ramps = {(p, a, b): ramp for p, a in points for q, b in points if p == q and a != b}
    changes = {
        (p, a.key, b.key): ramps.get((p, a.dwell[p].set_point, b.dwell[p].set_point), 0) + cleans.get((a.key, b.key), 0)
        for p in presses for a in kinds.values() for b in kinds.values() if a.key != b.key
    }  # fmt: skip
    return Week(
        shop="tiny", clock=Clock(MONDAY, UTC), start=0, now=0, end=end, closing=end if closing is None else closing,
        times=times, people=tuple(people), sheets=sheets, sites={site.id: site for site in sites},
        frames=dict.fromkeys(frames, 12.0), skins=tuple(skins), lots={"L-1": lot},
        heat_up=dict.fromkeys(points, heat_up), changes=changes, ramps=ramps, cleans=cleans,
        loads=() if saw_while_hot else LOADS, rated=None if saw_while_hot else 20.0,
        heat_cost=dict.fromkeys(presses, (1.0, 0.6)),
    )  # fmt: skip


def document_of(week: Week, found) -> dict:
    """What a search found, as the judge reads it."""
    return plan_document(
        week, found.schedule, found.people, made_at=MONDAY.isoformat(),
        lots=[{"id": "L-1", "plastic": "hdpe", "colour": None, "status": "released", "mass_kg": week.lots["L-1"]}],
        proof={"status": found.status,
               "objective": [{"name": one.name, "value": one.value, "bound": one.bound} for one in found.levels],
               "seconds": 1.0},
        cautions=[],
    )  # fmt: skip


def shifted(week: Week, minutes: int) -> Week:
    """The same week, everything later by `minutes`."""

    def later(spans: Sequence[Span]) -> tuple[Span, ...]:
        return tuple(Span(span.start + minutes, span.end + minutes) for span in spans)

    return replace(
        week,
        start=week.start + minutes,
        now=week.now + minutes,
        end=week.end + minutes,
        closing=week.closing + minutes,
        people=tuple(replace(one, present=later(one.present)) for one in week.people),
        sheets=tuple(replace(one, due=None if one.due is None else one.due + minutes) for one in week.sheets),
    )
