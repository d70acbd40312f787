"""A week that is under way: what has been done is taken as it is, what has changed holds from now on."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence, Set
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

from flatstock.errors import Fault, Refused
from flatstock.planning.problem.changed import changed
from flatstock.planning.problem.dried import dried
from flatstock.planning.problem.given_up import hopeless, lost, numbered, taken_out, with_figures, written
from flatstock.planning.problem.schedule import Run, Schedule
from flatstock.planning.problem.stranded import stranded
from flatstock.planning.problem.week import Done, GivenUp, Kind, Sheet, Week, Work
from flatstock.workshop.today import GIVEN_UP, Happened, Today

__all__ = ["HANDS", "begun", "figures_of", "in_hot_press", "runs_of", "schedule_of"]

#: the steps that need hands, in order; the stays between them follow from them
HANDS = ("weigh", "prepare", "load", "transfer", "move", "demould", "trim")
#: a stay that is written begins where a step ended
AFTER = {"dwell": "load", "press_cool": "transfer", "stack": "move", "rack": "move"}
#: kinds of places of which a step takes one each; one of a later kind in a tuple stands for the first
TAKES: Mapping[str, tuple[tuple[str, ...], ...]] = {
    "weigh": (("scale",),),
    "prepare": (("bench",),),
    "load": (("bench",), ("hot_press",)),
    "transfer": (("hot_press",), ("cooling_press",)),
    "move": (("cooling_press",), ("stack", "rack"), ("lift",)),
    "demould": (("bench", "lift"),),
    "trim": (("saw",),),
}


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
    past = _Past(week, plan, today)
    faults: list[Fault] = []
    known = {sheet.id: sheet for sheet in week.sheets}
    siblings = {sheet.order: sheet for sheet in week.sheets}
    under_way: dict[str, Sheet] = {}
    aside: list[tuple[Sheet, str]] = []
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
            under_way[name] = taken
    ends = {row.sheet: row for row in today.done if row.step == GIVEN_UP}
    given_up = [
        written(week, under_way.pop(name), row, past.figures[name])
        for name, row in ends.items()
        if name in under_way
    ]
    faults += past.crowded([*under_way.values(), *(one.sheet for one in given_up if one.press)])
    if faults:
        raise Refused(faults)
    known_sheets = week.sheets
    gone = [sheet.id for sheet, _ in aside]

    def with_all(week: Week, given_up: Sequence[GivenUp]) -> Week:
        sheets, instead = numbered(known_sheets, under_way, given_up, gone)
        return replace(
            week,
            put_aside=tuple(aside),
            sheets=tuple(past.dried(sheet) for sheet in sheets),
            given_up=tuple(replace(one, instead=instead.get(one.sheet.id)) for one in given_up),
        )

    week = changed(with_all(week, given_up), plan, today, given_up)
    for one in stranded(week):
        given_up.append(lost(week, one))
        del under_way[one.sheet.id]
    for name in sorted(beyond & under_way.keys()):
        given_up.append(hopeless(week, under_way.pop(name)))
    return taken_out(with_all(week, given_up), cools) if given_up else week


def in_hot_press(week: Week) -> list[str]:
    """Sheets whose moulds are in a hot press now; what has to be out first comes first."""
    there = []
    for sheet in week.sheets:
        load = sheet.work("load")
        if load is None or sheet.work("transfer") is not None:
            continue
        latest = next((sheet.kind.dwell[p].latest for p in load.places if p in sheet.kind.dwell), None)
        there.append((week.end if latest is None else load.end + latest, sheet.id))
    return [name for _, name in sorted(there)]


def figures_of(plan: Mapping[str, Any]) -> dict[str, Any]:
    """What a plan says of every sheet, those whose charge is given up or set aside too."""
    behind = (*plan.get("given_up", ()), *plan.get("set_aside", ()))
    given_up = {one["sheet"]: {**one, "id": one["sheet"]} for one in behind}
    return given_up | {one["id"]: one for one in plan["sheets"]}


def runs_of(week: Week, plan: Mapping[str, Any]) -> dict[str, Run]:
    """The ways of a plan's sheets, on the week's clock."""
    steps: dict[str, dict[str, Any]] = {}
    for task in plan["tasks"]:
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
            ready=start(of["demould"]),
            dry=start(of["dry"]) if "dry" in of else None,
            dryer=place(of.get("dry"), "dryer") or None,
        )
        for name, of in steps.items()
    }


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


class _Past:
    def __init__(self, week: Week, plan: Mapping[str, Any], today: Today) -> None:
        self.week, self.plan, self.today = week, plan, today
        self.figures = figures_of(plan)
        behind = [
            task for key in ("given_up", "set_aside") for one in plan.get(key, ()) for task in one["tasks"]
        ]
        self.tasks: dict[tuple[str, str], Any] = {
            (t["sheet"], t["step"]): t for t in (*plan["tasks"], *behind)
        }
        self.rows: dict[str, list[Happened]] = {}
        for row in today.done:
            self.rows.setdefault(row.sheet, []).append(row)
        for name in sorted(self.rows):
            self._emptied(name)

    def _emptied(self, name: str) -> None:
        """A mould that was prepared, and whose frame or skins another was prepared in since, has been emptied: its
        charge is weighed and no more, whether or not anybody took the line back."""
        rows = self.rows[name]
        if {row.step for row in rows} - {"dry", "weigh", "prepare"}:
            return
        prepared = next((row for row in rows if row.step == "prepare"), None)
        if prepared is None or not any(
            row.step == "prepare" and row.start > prepared.start and self._mould(other) & self._mould(name)
            for other, others in self.rows.items()
            if other != name
            for row in others
        ):
            return
        kept = [row for row in rows if row is not prepared]
        if not any(row.step == "weigh" for row in kept):  # it was, before it was prepared
            begun = prepared.start - timedelta(minutes=self.week.times.weigh)
            kept.append(
                replace(prepared, step="weigh", start=begun, end=prepared.start, places=(), people=())
            )
        self.rows[name] = kept

    def _mould(self, sheet: str) -> set[str]:
        """Frame and skins of a sheet, as written, else as planned."""
        named = [place for row in self.rows[sheet] for place in row.places]
        frame = next((p for p in named if p in self.week.frames), self.figures[sheet]["frame"])
        return {frame, next((p for p in named if p in self.week.skins), self.figures[sheet]["skins"])}

    def minute(self, text: str) -> int:
        return self.week.clock.minute(datetime.fromisoformat(text))

    def held(self, sheet: str) -> str:
        """The lot that it was weighed from and that is held now, while it is in no press: nothing is done to it."""
        held = {lot for lot, _ in self.today.held}
        steps = {row.step for row in self.rows[sheet]}
        hot = steps & {"load", *AFTER, "transfer", "move", "demould", "trim", "condition", GIVEN_UP}
        lots = [one["lot"] for one in self.figures[sheet]["lots"] if one["lot"] in held]
        return lots[0] if lots and not hot else ""

    def of_order(self, name: str, kinds: Mapping[str, Kind]) -> Sheet | None:
        """A sheet of an order of which nothing new may be begun."""
        figures = self.figures[name]
        kind = kinds.get(figures["order"])
        if kind is None:
            return None
        due = figures["due"]
        return Sheet(
            id=name,
            order=figures["order"],
            kind=kind,
            due=None if due is None else self.minute(due),
            condition=round(figures["condition_h"] * 60),
        )

    def taken(self, sheet: Sheet, rows: Sequence[Happened], faults: list[Fault]) -> Sheet:
        """The sheet with its works: as written, else as planned, else right before what follows."""
        spans = self._spans(sheet.id, rows)
        if not spans:
            return sheet  # dried, and nothing more
        last = max(HANDS.index(step) for step in spans)
        moved = "move" in spans or (sheet.id, "move") in self.tasks
        works: list[Work] = []
        follows: int | None = None
        for step in reversed(HANDS[: last + 1]):
            if step == "move" and (not moved or (last > HANDS.index("move") and "move" not in spans
                                                 and not self._fits(sheet.id, "move", follows))):  # fmt: skip
                continue
            start, end, goes_on = self._span(sheet, step, spans, follows)
            row = next((r for r in rows if r.step == step), None)
            works.append(
                Work(
                    step=step,
                    start=start,
                    end=end,
                    places=self._places(sheet.id, step, row, rows),
                    people=row.people if row and row.people else self._people(sheet.id, step),
                    goes_on=goes_on,
                )
            )
            follows = start
        works.reverse()
        for row in rows:
            before = [
                w
                for w in works
                if w.step in HANDS and row.step in HANDS and HANDS.index(w.step) < HANDS.index(row.step)
            ]
            if any(w.start > self.week.clock.minute(row.start) for w in before):
                faults.append(Fault(row.where, f"{row.step} begins before the step ahead of it",
                                    "correct the times: a sheet's steps follow one another"))  # fmt: skip
        press = next((p for w in works if w.step == "load" for p in w.places if p in sheet.kind.dwell), None)
        if press is None and any(w.step == "load" for w in works):
            faults.append(Fault(rows[0].where, f"{sheet.id} is not of a kind that its press can take",
                                "correct the place"))  # fmt: skip
        named = [p for row in rows for p in row.places]
        figures = self.figures[sheet.id]
        return replace(
            sheet,
            done=Done(
                works=tuple(works),
                frame=next((p for p in named if p in self.week.frames), figures["frame"]),
                skins=next((p for p in named if p in self.week.skins), figures["skins"]),
                figures=figures,
            ),
        )

    def dried(self, sheet: Sheet) -> Sheet:
        """The sheet with when its charge was in the dryer."""
        row = next((r for r in self.rows.get(sheet.id, ()) if r.step == "dry"), None)
        return dried(sheet, row, self.tasks.get((sheet.id, "dry")), clock=self.week.clock, now=self.week.now)

    def _spans(self, sheet: str, rows: Sequence[Happened]) -> dict[str, tuple[int, int | None]]:
        """By step with hands: start and end [min], as rows of it or of the stay after it tell."""
        clock, t = self.week.clock, self.week.times
        spans: dict[str, tuple[int, int | None]] = {}
        for row in rows:
            if row.step in HANDS:
                end = None if row.end is None else clock.minute(row.end)
                spans[row.step] = (clock.minute(row.start), end)
        for row in rows:
            start = clock.minute(row.start)
            before = AFTER.get(row.step)
            if row.step == "condition":
                before = "trim" if (sheet, "trim") in self.tasks else "demould"
            if before is not None and before not in spans:
                spans[before] = (start - getattr(t, before), start)
            if row.step == "dwell" and row.end is not None and "transfer" not in spans:
                spans["transfer"] = (clock.minute(row.end), None)
        return spans

    def _fits(self, sheet: str, step: str, follows: int | None) -> bool:
        """Whether the step can have been done as planned before what follows it."""
        task = self.tasks.get((sheet, step))
        return task is not None and self.minute(task["end"]) <= min(
            self.week.now, self.week.now if follows is None else follows
        )

    def _span(
        self, sheet: Sheet, step: str, spans: Mapping[str, tuple[int, int | None]], follows: int | None
    ) -> tuple[int, int, bool]:
        minutes: int = getattr(self.week.times, step)
        if step in spans:
            start, end = spans[step]
            if end is not None:
                return start, max(end, start), False
            expected = max(start + minutes, self.week.now)
            return (
                (start, min(start + minutes, follows), False)
                if follows is not None
                else (start, expected, True)
            )
        assert follows is not None  # the last step is written
        if self._fits(sheet.id, step, follows):
            task = self.tasks[sheet.id, step]
            return self.minute(task["start"]), self.minute(task["end"]), False
        return follows - minutes, follows, False

    def _places(
        self, sheet: str, step: str, row: Happened | None, rows: Sequence[Happened]
    ) -> tuple[str, ...]:
        """One place of each kind that the step takes: as written, else as written for its neighbours, else planned."""
        sites = self.week.sites
        own = [p for p in row.places if p in sites] if row else []
        others = [p for r in rows if r is not row for p in r.places if p in sites]
        task = self.tasks.get((sheet, step))
        planned = (
            list(task["places"])
            if task
            else [p for (s, _), t in self.tasks.items() if s == sheet for p in t["places"]]
        )
        found = []
        for kinds in TAKES[step]:
            of = [p for p in own if sites[p].kind in kinds]
            if not of and "bench" not in kinds and "lift" not in kinds:
                of = [p for p in others if sites[p].kind in kinds]
            of = of or [p for p in planned if p in sites and sites[p].kind in kinds]
            found += of[:1]
        return tuple(found)

    def _people(self, sheet: str, step: str) -> tuple[str, ...]:
        task = self.tasks.get((sheet, step))
        return tuple(task["people"]) if task else ()

    def crowded(self, sheets: Iterable[Sheet]) -> list[Fault]:
        """Two moulds that would be in one press now: one of them must have left it."""
        there: dict[str, list[str]] = {}
        for sheet in sheets:
            place = _in_press(self.week, sheet)
            if place is not None:
                there.setdefault(place, []).append(sheet.id)
        return [
            Fault(
                "done.csv",
                f"{place} would hold {' and '.join(names)} at once",
                "write what was done to the one that has left it",
            )
            for place, names in sorted(there.items())
            if len(names) > self.week.sites[place].capacity
        ]


def _in_press(week: Week, sheet: Sheet) -> str | None:
    """The hot or cooling press that a mould is in now."""
    load, gone, opened = (
        sheet.work("load"),
        sheet.work("transfer"),
        sheet.work("move") or sheet.work("demould"),
    )
    if load is None or opened is not None:
        return None
    step, kind = (gone, "cooling_press") if gone is not None else (load, "hot_press")
    return next((p for p in step.places if week.sites[p].kind == kind), None)
