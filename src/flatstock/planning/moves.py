"""What a new plan moved of the one before, and why: from the two documents and what has changed."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import datetime, timedelta
from typing import Any

from flatstock.planning.problem.begun import figures_of
from flatstock.planning.problem.week import Week
from flatstock.workshop.today import Today

__all__ = ["changed", "moves"]

Document = Mapping[str, Any]
#: kinds of places and people that one sheet's step can keep another's from
TAKEN = ("hot_press", "cooling_press", "stack", "rack", "bench", "lift", "saw", "scale")


def moves(before: Document, after: Document, week: Week, today: Today) -> list[dict[str, Any]]:
    """One entry a step with hands that begins at another moment than it was to, by its new start.

    Each has `sheet`, `step`, `from` and `to` (null: no longer planned), `by_min`, and `because`: the first that
    holds of a lot on hold, somebody away, a place out of order, its moment gone by, a sheet's own step before
    it, and what holds its place, frame or people now. Elements of a press that fail are why a mould stays longer in
    it, and where nothing else is in the way why it comes into it later: what is no later they don't hold up.
    """
    explain = _Why(before, after, week, today)
    old, new = ({(t["sheet"], t["step"]): t for t in _tasks(plan) if t["people"]} for plan in (before, after))
    begun = {(row.sheet, row.step) for row in today.done}
    found = []
    for key, task in old.items():
        other = new.get(key)
        if key in begun or (other is not None and _at(other["start"]) == _at(task["start"])):
            continue
        if other is not None and _at(other["end"]) <= week.clock.moment(week.now):
            continue  # taken to have been done before what is written
        found.append(
            {
                "sheet": key[0],
                "step": key[1],
                "from": task["start"],
                "to": None if other is None else other["start"],
                "by_min": None
                if other is None
                else round((_at(other["start"]) - _at(task["start"])) / timedelta(minutes=1)),
                "because": explain(task, other),
            }
        )
    return sorted(found, key=lambda one: (one["to"] or "~", one["sheet"], one["step"]))


def changed(before: Document, after: Document, week: Week, today: Today) -> list[dict[str, Any]]:
    """One entry a step with hands that begins when it was to, but in another place or with other people; and one a step
    that the plan before did not have of a sheet which it had.

    Each has `sheet`, `step`, `at`, places and people before (none: it is a new step) and now, and `because`.
    """
    explain, now = _Why(before, after, week, today), week.clock.moment(week.now)
    old, new = ({(t["sheet"], t["step"]): t for t in _tasks(plan) if t["people"]} for plan in (before, after))
    begun, known = {(row.sheet, row.step) for row in today.done}, {sheet for sheet, _ in old}
    found = []
    for key, task in new.items():
        was = old.get(key)
        if key in begun or key[0] not in known or _at(task["end"]) <= now:
            continue
        if was is not None and (_at(was["start"]) != _at(task["start"]) or _alike(was, task)):
            continue
        found.append(
            {
                "sheet": key[0],
                "step": key[1],
                "at": task["start"],
                "places_before": [] if was is None else was["places"],
                "people_before": [] if was is None else was["people"],
                "places": task["places"],
                "people": task["people"],
                "because": "the plan before came without it" if was is None else explain(was, task),
            }
        )
    return sorted(found, key=lambda one: (one["at"], one["sheet"], one["step"]))


def _alike(one: Any, other: Any) -> bool:
    return all(set(one[what]) == set(other[what]) for what in ("places", "people"))


def _tasks(plan: Document) -> list[Any]:
    """All of a plan's, those too that empty moulds whose charge is given up."""
    return [*plan["tasks"], *(task for one in plan.get("given_up", ()) for task in one.get("ahead", ()))]


def _at(text: str) -> datetime:
    return datetime.fromisoformat(text)


class _Why:
    def __init__(self, before: Document, after: Document, week: Week, today: Today) -> None:
        self.week, self.today = week, today
        self.now = week.clock.moment(week.now)
        self.figures = figures_of(before)
        self.old = {(t["sheet"], t["step"]): t for t in _tasks(before)}
        self.needs = {one["id"]: one for one in after["sheets"]}
        self.steps: dict[str, list[Any]] = {}
        for task in sorted(_tasks(after), key=lambda t: (_at(t["start"]), _at(t["end"]))):
            self.steps.setdefault(task["sheet"], []).append(task)
        self.kinds = {one.id: one.kind for one in week.sheets}
        self.given_up = {one["sheet"]: one for one in after.get("given_up", ())}
        self.set_aside = {one["sheet"]: one for one in after.get("set_aside", ())}
        self.tasks: Sequence[Any] = _tasks(after)

    def __call__(self, task: Any, other: Any | None) -> str:
        return next(self._reasons(task, other), "the rest of the week goes better so")

    def _reasons(self, task: Any, other: Any | None) -> Iterator[str]:
        sheet = task["sheet"]
        if (gone := self.given_up.get(sheet)) is not None:
            instead = f"; {gone['instead']} is pressed for it" if gone["instead"] else ""
            yield f"its charge is given up{instead}"
        held = dict(self.today.held)
        if other is None or task["step"] in ("weigh", "prepare"):
            yield from (
                f"lot {one['lot']} is held" + (f" ({held[one['lot']]})" if held[one["lot"]] else "")
                for one in self.figures[sheet]["lots"]
                if one["lot"] in held
            )
        if other is None and (aside := self.set_aside.get(sheet)) is not None:
            yield f"its charge is set aside: {aside['because']}"
        start, end = self._minutes(task)
        for absence in self.today.absences:
            away = self._span(absence.start, absence.end)
            if absence.person in task["people"] and away[0] < end and start < away[1]:
                yield f"{absence.person} is away" + (f" ({absence.why})" if absence.why else "")
        weaker = []
        for outage in self.today.outages:
            out = self._span(outage.start, outage.end)
            if (
                outage.place not in (*task["places"], self.figures[sheet]["frame"])
                or out[0] >= end
                or start >= out[1]
            ):
                continue
            why = f" ({outage.why})" if outage.why else ""
            if outage.elements is None:
                yield f"{outage.place} is out of order{why}"
            else:
                weaker.append(f"{outage.place} heats without {outage.elements} of its elements{why}")
        if task["step"] == "transfer" and self._longer(sheet, "dwell_min"):
            yield from weaker
        if other is None:
            yield self._not_any_more(task)
            return
        if _at(task["start"]) < self.now:
            yield f"it had not begun by {self.now:%H:%M}"
        yield from self._in_the_way(task, other)
        if task["step"] == "load" and _at(other["start"]) > _at(task["start"]):
            yield from self._warmed_up_again(task)
            yield from weaker

    def _warmed_up_again(self, task: Any) -> Iterator[str]:
        """A press that was to take a mould while it warms up after an outage."""
        point, start = self.figures[task["sheet"]]["set_point_C"], self._minutes(task)[0]
        for outage in self.today.outages:
            up = self.week.heat_up.get((outage.place, point))
            if outage.elements is not None or outage.place not in task["places"] or up is None:
                continue
            _, works = self._span(outage.start, outage.end)
            if works <= start < works + up + self.week.times.soak:
                yield f"{outage.place} is warmed up again after it was out of order"

    def _longer(self, sheet: str, figure: str) -> bool:
        """Whether the sheet needs more of it now than in the plan before."""
        now = self.needs.get(sheet)
        return now is not None and now[figure] > self.figures[sheet][figure]

    def _in_the_way(self, task: Any, other: Any) -> Iterator[str]:
        """What is where this step was to be: its own sheet's step before, or another sheet's."""
        start, end, sheet = _at(task["start"]), _at(task["end"]), task["sheet"]
        if (ended := self._held_up(task, other)) is not None:
            yield f"its {ended['step']} ends at {_at(ended['end']):%a %H:%M}"
        elif task["step"] in ("move", "demould") and self._longer(sheet, "press_cool_min"):
            minutes = (figures["press_cool_min"] for figures in (self.needs[sheet], self.figures[sheet]))
            yield "it must be under pressure for {} min, not {}".format(*minutes)
        kinds = self.week.sites
        places = {
            p for p in task["places"] if p in kinds and kinds[p].kind in TAKEN and kinds[p].capacity == 1
        }
        for one in self.tasks:
            if one["sheet"] == sheet or _at(one["end"]) <= start or _at(one["start"]) >= end:
                continue
            if shared := sorted(places & set(one["places"])) or sorted(
                set(task["people"]) & set(one["people"])
            ):
                yield f"{shared[0]} has {one['sheet']} then ({one['step'].replace('_', ' ')})"
        if task["step"] == "prepare":
            yield from self._kept(places, sheet, start, end)

    def _kept(self, benches: set[str], sheet: str, start: datetime, end: datetime) -> Iterator[str]:
        """What others have from one of their steps to another: the bench they wait on, or every frame or pair of skins
        that this one could take."""

        def having(until: str, of: Callable[[str, Any], Sequence[str]]) -> dict[str, str]:
            """By place, frame or skins: whose it is then, and until when."""
            kept: dict[str, str] = {}
            for who, steps in self.steps.items():
                first, last = (
                    next((t for t in steps if t["step"] == name), None) for name in ("prepare", until)
                )
                if who == sheet or who not in self.needs or first is None or last is None:
                    continue
                if _at(first["start"]) < end and start < _at(last["end"]):
                    kept |= {
                        name: f"{name} has {who} until {_at(last['end']):%a %H:%M}" for name in of(who, first)
                    }
            return kept

        waiting = having("load", lambda _, first: first["places"])
        yield from (waiting[name] for name in sorted(benches & set(waiting)))
        kind, needs = self.kinds.get(sheet), self.needs.get(sheet)
        if kind is None or needs is None:
            return
        moulds = having("demould", lambda who, _: [self.needs[who][part] for part in ("frame", "skins")])
        for part, fitting in (("frame", kind.frames), ("skins", kind.skins)):
            if needs[part] in moulds and set(fitting) <= set(moulds):
                yield moulds[needs[part]]

    def _not_any_more(self, task: Any) -> str:
        """Why a step is not planned any more: its sheet is left out, or is pressed without it."""
        if task["sheet"] not in self.needs:
            return "it finds no time any more"
        if task["step"] == "move":
            left = next((t for t in self.steps[task["sheet"]] if t["step"] == "press_cool"), None)
            return (
                "its mould is opened where it is"
                if left is None
                else f"its mould is opened in {left['places'][0]}"
            )
        return "its sheet comes without it"

    def _held_up(self, task: Any, other: Any) -> Any | None:
        """The sheet's own step with hands before this one, where it ends too late for this one to be as it was.

        A stay between them lasts until the second, however soon the mould might have left: as long as the shorter
        of the two plans has it is what it takes at most.
        """
        own = self.steps.get(task["sheet"], [])
        before = [
            t for t in own if t["people"] and _at(t["end"]) <= _at(other["start"]) and t["id"] != other["id"]
        ]
        was = self.old.get((task["sheet"], before[-1]["step"])) if before else None
        if was is None or _at(before[-1]["end"]) <= _at(was["end"]):
            return None
        stay = timedelta(0)
        if task["step"] in ("transfer", "move", "demould"):
            stay = min(_at(two["start"]) - _at(one["end"]) for one, two in ((was, task), (before[-1], other)))
        return before[-1] if _at(before[-1]["end"]) + stay > _at(task["start"]) else None

    def _minutes(self, task: Any) -> tuple[int, int]:
        clock = self.week.clock
        return clock.minute(_at(task["start"])), clock.minute(_at(task["end"]))

    def _span(self, start: datetime | None, end: datetime | None) -> tuple[int, int]:
        clock = self.week.clock
        return (
            self.week.now if start is None else clock.minute(start),
            self.week.end + 1 if end is None else clock.minute(end),
        )
