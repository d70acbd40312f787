"""What has been done of a week: its steps with their times, places and people, as written or else as planned."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

from flatstock.errors import Fault
from flatstock.planning.problem.dried import dried
from flatstock.planning.problem.week import Done, Kind, Sheet, Week, Work
from flatstock.workshop.today import GIVEN_UP, Happened, Today

__all__ = ["Past"]

#: the steps that need hands, in order; the stays between them follow from them
HANDS = ("weigh", "prepare", "load", "transfer", "move", "demould", "trim")
#: a stay that is written begins where a step ended
AFTER = {"dwell": "load", "press_cool": "transfer", "stack": "move", "rack": "move"}
#: by which step a mould came into a place of a kind
COMES_BY = {"stack": "move", "rack": "move", "cooling_press": "transfer", "hot_press": "load"}
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
#: of what holds a mould, the kinds that it is in before or after a step, or in the course of it
HOLDS: Mapping[str, tuple[str, ...]] = {
    "weigh": (),
    "prepare": (),
    "load": ("hot_press",),
    "dwell": ("hot_press",),
    "transfer": ("hot_press", "cooling_press"),
    "press_cool": ("cooling_press",),
    "move": ("cooling_press", "stack", "rack"),
    "stack": ("stack", "rack"),
    "rack": ("stack", "rack"),
    "demould": ("cooling_press", "stack", "rack"),
    "trim": (),
}


class Past:
    """What was done of a plan's sheets: as written, else as planned.

    `figures`: what the plan says of each sheet, those given up and set aside too.
    """

    def __init__(self, week: Week, plan: Mapping[str, Any], today: Today, figures: Mapping[str, Any]) -> None:
        self.week, self.today, self.figures = week, today, figures
        behind = [
            task
            for key in ("given_up", "set_aside")
            for one in plan.get(key, ())
            for task in (*one["tasks"], *one.get("ahead", ()))
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
        """An instant of the plan on the week's clock [min]."""
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
        faults += self._misplaced(rows)
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

    def _misplaced(self, rows: Sequence[Happened]) -> Iterator[Fault]:
        """Places that hold moulds, though not at that step."""
        sites = self.week.sites
        for row in rows:
            if row.step not in HOLDS:
                continue
            for place in row.places:
                kind = sites[place].kind if place in sites else ""
                if kind in COMES_BY and kind not in HOLDS[row.step]:
                    fits = [one.id for kind in HOLDS[row.step] for one in self.week.of_kind(kind)]
                    yield Fault(f"{row.where}, place",
                                f"{place} is a {kind.replace('_', ' ')}, which {row.step} has nothing to do with",
                                f"correct the place: {', '.join(fits)}" if fits else "leave it out")  # fmt: skip

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
        for row in rows:
            step = self._came_by(row) if row.step == GIVEN_UP else None
            if step is not None and not spans.keys() & HANDS[HANDS.index(step) :]:
                spans[step] = self._right_before(sheet, step, clock.minute(row.start))
        return spans

    def _came_by(self, row: Happened) -> str | None:
        """The step by which a mould came to where its charge was given up; None: to no place that holds moulds."""
        kinds = {self.week.sites[place].kind for place in row.places if place in self.week.sites}
        return next((step for kind, step in COMES_BY.items() if kind in kinds), None)

    def _right_before(self, sheet: str, step: str, moment: int) -> tuple[int, int]:
        """As planned where it was over by then, else as short before as it can be."""
        if self._fits(sheet, step, moment):
            task = self.tasks[sheet, step]
            return self.minute(task["start"]), self.minute(task["end"])
        minutes: int = getattr(self.week.times, step)
        return moment - minutes, moment

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
        return *self._right_before(sheet.id, step, follows), False

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
