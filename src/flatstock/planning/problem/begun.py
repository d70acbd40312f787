"""A week that is under way: what has been done is taken as it is, what has changed holds from now on."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence, Set
from dataclasses import replace
from datetime import datetime
from typing import Any

from flatstock.errors import Fault, Refused
from flatstock.planning.problem.changed import changed
from flatstock.planning.problem.given_up import hopeless, lost, numbered, taken_out, with_figures, written
from flatstock.planning.problem.loaded import as_heated, as_loaded
from flatstock.planning.problem.past import Past
from flatstock.planning.problem.schedule import Run, Schedule
from flatstock.planning.problem.stranded import out_sooner, stranded
from flatstock.planning.problem.week import GivenUp, Kind, Sheet, Week
from flatstock.workshop.today import GIVEN_UP, Today

__all__ = ["begun", "figures_of", "in_hot_press", "runs_of", "runs_to_keep", "schedule_of"]


def begun(
    week: Week,
    plan: Mapping[str, Any],
    today: Today,
    *,
    now: datetime,
    kinds: Mapping[str, Kind],
    cools: Callable[[Sheet, str, int], int | None],
    beyond: Set[str] = frozenset(),
) -> Week:
    """The week as it stands at `now`.

    Parameters
    ----------
    week
        As the files have it, from the start of `plan` on.
    plan
        The `flatstock.plan/1` that was being followed.
    today
        What has happened and what has changed.
    kinds
        By order: of sheets that are under way although nothing new may be begun of them.
    cools
        Minutes after which a sheet's mould may be opened that stays in a hot press without heat, having been so many
        minutes in it with heat; None: in no time that is known.
    beyond
        Sheets whose moulds are in a hot press and that no plan was found to take out in time: they are given up.

    Raises
    ------
    Refused
        Where what is written can't have happened.
    """
    week = replace(week, now=week.clock.minute(now, up=True))
    past = Past(week, plan, today, figures_of(plan))
    faults: list[Fault] = []
    known = {sheet.id: sheet for sheet in week.sheets}
    siblings = {sheet.order: sheet for sheet in week.sheets}
    under_way: dict[str, Sheet] = {}
    aside: list[tuple[Sheet, str]] = []
    failed = {
        outage.place: week.now if outage.start is None else week.clock.minute(outage.start)
        for outage in today.outages
        if outage.elements is not None
    }
    in_press = {one.sheet: one for one in today.in_press}
    for name, rows in sorted(past.rows.items()):
        order = past.figures[name]["order"]
        sheet = known.get(name) or past.of_order(name, kinds)
        if (
            sheet is None and order in siblings
        ):  # the number of one that was to stand in for a charge given up
            sheet = replace(siblings[order], id=name)
        if sheet is None:
            faults.append(Fault(rows[0].where, f"the order {order} of this sheet is not on file",
                                "put it back into orders.csv"))  # fmt: skip
            continue
        taken = past.taken(sheet, rows, faults)
        if lot := past.held(name):
            aside.append((with_figures(taken, past.figures[name]), lot))
        else:
            heated = in_press.get(name)
            under_way[name] = (
                as_loaded(taken, past.figures[name], failed)
                if heated is None
                else as_heated(taken, heated, week.clock)
            )
    ends = {row.sheet: row for row in today.done if row.step == GIVEN_UP}
    given_up = [
        written(week, under_way.pop(name), row, past.figures[name])
        for name, row in ends.items()
        if name in under_way
    ]
    inside = [one.sheet for one in given_up if one.press or one.sheet.lost]
    faults += past.crowded([*under_way.values(), *inside])
    if faults:
        raise Refused(faults)
    known_sheets = week.sheets
    gone = [sheet.id for sheet, _ in aside]

    def with_all(week: Week, given_up: Sequence[GivenUp]) -> Week:
        sheets, instead = numbered(known_sheets, under_way, given_up, gone)
        sheets += [one.sheet for one in given_up if one.sheet.lost]
        return replace(
            week,
            put_aside=tuple(aside),
            sheets=tuple(past.dried(sheet) for sheet in sorted(sheets, key=lambda sheet: sheet.id)),
            given_up=tuple(replace(one, instead=instead.get(one.sheet.id)) for one in given_up),
        )

    week = changed(with_all(week, given_up), plan, today, given_up)
    shortened = False
    for one in stranded(week):
        sooner = out_sooner(week, one)
        if sooner is None:
            given_up.append(lost(week, one))
            del under_way[one.sheet.id]
        else:
            under_way[one.sheet.id], shortened = sooner, True
    for name in sorted(beyond & under_way.keys()):
        given_up.append(hopeless(week, under_way.pop(name)))
    week = with_all(week, given_up) if given_up or shortened else week
    return taken_out(week, cools) if given_up else week


def in_hot_press(week: Week) -> list[str]:
    """Sheets whose moulds are in a hot press now; what has to be out first comes first."""
    there = []
    for sheet in week.sheets:
        inside = sheet.inside
        if inside is not None:
            there.append((week.end if inside.latest is None else inside.latest, sheet.id))
    return [name for _, name in sorted(there)]


def figures_of(plan: Mapping[str, Any]) -> dict[str, Any]:
    """What a plan says of every sheet, those whose charge is given up or set aside too."""
    behind = (*plan.get("given_up", ()), *plan.get("set_aside", ()))
    given_up = {one["sheet"]: {**one, "id": one["sheet"]} for one in behind}
    return given_up | {one["id"]: one for one in plan["sheets"]}


def runs_of(week: Week, plan: Mapping[str, Any]) -> dict[str, Run]:
    """The ways of a plan's sheets, on the week's clock; of moulds too that cool on though they are given up."""
    ready = {one["id"]: week.clock.minute(datetime.fromisoformat(one["ready"])) for one in plan["sheets"]}
    steps: dict[str, dict[str, Any]] = {}
    cooling = [one for one in plan.get("given_up", ()) if one.get("ahead")]
    for task in (*plan["tasks"], *(task for one in cooling for task in (*one["tasks"], *one["ahead"]))):
        steps.setdefault(task["sheet"], {})[task["step"]] = task

    def start(task: Any) -> int:
        return week.clock.minute(datetime.fromisoformat(task["start"]))

    def place(task: Any, *kinds: str) -> str:
        found = (
            p for p in (task or {"places": ()})["places"] if p in week.sites and week.sites[p].kind in kinds
        )
        return next(found, "")

    return {
        name: Run(
            sheet=name,
            press=place(of["load"], "hot_press"),
            cooling=place(of["transfer"], "cooling_press"),
            weigh=start(of["weigh"]),
            scale=place(of["weigh"], "scale"),
            prepare=start(of["prepare"]),
            bench=place(of["prepare"], "bench"),
            load=start(of["load"]),
            transfer=start(of["transfer"]),
            leave=start(of["move"]) if "move" in of else start(of["demould"]),
            stay=place(of.get("move"), "stack", "rack") or None,
            demould=start(of["demould"]),
            demould_at=place(of["demould"], "bench", "lift"),
            trim=start(of["trim"]) if "trim" in of else None,
            saw=place(of.get("trim"), "saw") or None,
            ready=ready.get(name, start(of["demould"])),
            dry=start(of["dry"]) if "dry" in of else None,
            dryer=place(of.get("dry"), "dryer") or None,
            people={step: tuple(task["people"]) for step, task in of.items()},
        )
        for name, of in steps.items()
    }


def runs_to_keep(week: Week, plan: Mapping[str, Any]) -> dict[str, Run]:
    """The ways that a plan from now on moves as little as it can.

    Of a mould that can't be left in until the plan's time any more the transfer is to be when its dwell is over, not
    as near to that time as its face bears.
    """
    runs = runs_of(week, plan)
    for sheet in week.sheets:
        run, ends = runs.get(sheet.id), _over_by(sheet)
        if run is not None and ends is not None and run.transfer > ends[1]:
            runs[sheet.id] = replace(run, transfer=ends[0])
    return runs


def _over_by(sheet: Sheet) -> tuple[int, int] | None:
    """When the dwell of a mould in a hot press is over, and its latest; None: it is in none, or has no latest."""
    inside = sheet.inside
    if inside is None or inside.latest is None:
        return None
    return inside.load.end + max(inside.dwell.planned, sheet.dwell_least), inside.latest


def schedule_of(week: Week, plan: Mapping[str, Any]) -> Schedule:
    """A plan's schedule from now on, on the week's clock."""
    heated: dict[str, list[tuple[int, int]]] = {}
    since: dict[str, int] = {}
    for one in plan["settings"]:
        moment = week.clock.minute(datetime.fromisoformat(one["start"]))
        if one["kind"] == "heat_up":
            since[one["place"]] = moment
        elif one["kind"] == "off" and one["place"] in since and moment > week.now:
            heated.setdefault(one["place"], []).append((since[one["place"]], moment))
    return Schedule(runs=runs_of(week, plan), heated={press: tuple(spans) for press, spans in heated.items()})
