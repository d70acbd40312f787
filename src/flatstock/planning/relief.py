"""What would help a week that is late: each thing is tried by planning again with one more of it.

Nothing here guesses: a reason is a resource with which the same search finds fewer late minutes.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import zip_longest
from math import ceil
from typing import Any

from flatstock.planning.problem.clock import Span, common, joined
from flatstock.planning.problem.week import HOT, Kind, Person, Sheet, Site, Week
from flatstock.workshop.skill_words import trained

__all__ = ["Relief", "reliefs", "what_is_away"]

HOUR = 60
REST = 6 * HOUR  #: minutes away after which somebody's next day begins; less is a break


@dataclass(frozen=True, slots=True)
class Relief:
    """One thing more, and the week that has it."""

    what: str
    resource: str  #: what it says was short, in words
    week: Week
    kinds: frozenset[str] | None = None  #: of sheets that use it themselves; None: all do

    def serves(self) -> frozenset[str]:
        """Orders of which a sheet uses it itself; others it can only leave more room."""
        return frozenset(
            one.order for one in self.week.sheets if self.kinds is None or one.kind.key in self.kinds
        )


def reliefs(week: Week) -> Iterator[Relief]:
    """The same week with one more of each thing that could be short."""
    yield from _lots(week)
    for thickness in sorted({sheet.kind.thickness for sheet in week.sheets}):
        yield _mould(week, thickness)
    yield Relief("a second pair of hands for hot moulds", f"people {trained(HOT)}", _helper(week))
    yield Relief("an hour more a day for everybody", "hours", _longer(week))
    for kind, what, short in (
        ("hot_press", "a second hot press", "hot presses"),
        ("cooling_press", "a second cooling press", "cooling presses"),
        ("rack", "a rack as large again", "room in racks"),
        ("saw", "a second saw", "saws"),
        ("bench", "a second lay-up bench", "benches"),
        ("dryer", "a second dryer", "dryers"),
    ):
        found = _place(week, kind)
        if found is not None:
            uses = _of(week, lambda one: bool(one.dry)) if kind == "dryer" else None
            yield Relief(what, short, found, uses)
    if week.rated is not None and week.of_kind("saw"):
        yield Relief("a supply, or an interlock, with which the saw may run while the heaters are on",
                     "amperes", replace(week, rated=None))  # fmt: skip


def what_is_away(week: Week) -> Iterator[Relief]:
    """Who is away is there as their hours on file have it, what is out of order works, each from now on."""
    ahead = [Span(week.now, week.end + 1)]
    missed = {one.id: away for one in week.people if (away := common(one.away, ahead))}
    alone = [(name,) for name in missed]
    for names in [*alone, *([tuple(missed)] if len(missed) > 1 else [])]:
        people = tuple(
            replace(one, present=tuple(joined([*one.present, *missed[one.id]]))) if one.id in names else one
            for one in week.people
        )
        who = " and ".join(names)
        yield Relief(
            f"{who} there at the hours on file", f"{who}, who {_be(names)} away", replace(week, people=people)
        )
    for name, site in week.sites.items():
        if any(gone.end > week.now for gone in site.absent):
            works = replace(site, absent=tuple(gone for gone in site.absent if gone.end <= week.now))
            sites = {**week.sites, name: works}
            yield Relief(
                f"{name} in order again", f"{name}, which is out of order", replace(week, sites=sites)
            )
    for name, out in week.absent.items():
        if any(gone.end > week.now for gone in out):
            yield Relief(
                f"{name} in order again",
                f"{name}, which is out of order",
                replace(week, absent={other: gone for other, gone in week.absent.items() if other != name}),
                _of(week, lambda kind, name=name: name in kind.frames or name in kind.skins),  # type: ignore[misc]
            )


def _be(names: Sequence[str]) -> str:
    return "is" if len(names) == 1 else "are"


def _lots(week: Week) -> Iterator[Relief]:
    """As much of a lot as all the sheets take that are still to be weighed from it, where it holds less."""
    asked: dict[str, float] = {}
    for sheet in week.sheets:
        if sheet.work("weigh") is None:
            for lot, mass in sheet.kind.lots.items():
                asked[lot] = asked.get(lot, 0.0) + mass
    for lot, mass in sorted(asked.items()):
        more = ceil(mass - week.lots.get(lot, 0.0))
        if more > 0:
            yield Relief(
                f"{more} kg more of {lot}",
                f"kilograms of {lot}",
                replace(week, lots={**week.lots, lot: mass + 1}),
                frozenset(sheet.kind.key for sheet in week.sheets if lot in sheet.kind.lots),
            )


def _with_kinds(week: Week, changed: Mapping[str, Kind]) -> Week:
    sheets: list[Sheet] = [replace(s, kind=changed.get(s.kind.key, s.kind)) for s in week.sheets]
    return replace(week, sheets=tuple(sheets))


def _mould(week: Week, thickness: float) -> Relief:
    kinds = {s.kind.key: s.kind for s in week.sheets}
    frame, skins = f"one more frame {thickness:g} mm", "one more pair of skins"
    changed = {
        key: replace(
            kind,
            frames=(*kind.frames, frame) if kind.thickness == thickness else kind.frames,
            skins=(*kind.skins, skins),
        )
        for key, kind in kinds.items()
    }
    more = replace(week, frames={**week.frames, frame: thickness}, skins=(*week.skins, skins))
    return Relief(f"one more {thickness:g} mm frame with its skins", f"{thickness:g} mm frames",
                  _with_kinds(more, changed), _of(week, lambda kind: kind.thickness == thickness))  # fmt: skip


def _of(week: Week, uses: Callable[[Kind], bool]) -> frozenset[str]:
    return frozenset(sheet.kind.key for sheet in week.sheets if uses(sheet.kind))


def _helper(week: Week) -> Week:
    hours = joined(span for one in week.people for span in one.present)
    helper = Person(id="one more", skills=frozenset({HOT}), present=tuple(hours))
    return replace(week, people=(*week.people, helper))


def _longer(week: Week) -> Week:
    """Every stay that ends a day goes on for an hour; a night shift's is the one in the morning."""
    people = []
    for one in week.people:
        spans = sorted(one.present)
        nexts = (span.start for span in spans[1:])
        longer = [
            Span(span.start, span.end + HOUR) if after is None or after - span.end >= REST else span
            for span, after in zip_longest(spans, nexts)
        ]
        people.append(replace(one, present=tuple(longer)))
    return replace(week, people=tuple(people), end=week.end + HOUR)


def _place(week: Week, kind: str) -> Week | None:
    """Another place like the first of its kind; None where there is none to be like."""
    known = week.of_kind(kind)
    if kind == "dryer":
        known = [site for site in known if any(site.id in sheet.kind.dry for sheet in week.sheets)]
    if not known:
        return None
    like = known[0]
    name = f"{like.id} again"
    other: Site = replace(like, id=name)
    changed = {
        key: replace(
            k,
            dwell=_copied(k.dwell, like.id, name),
            press_cool=_copied(k.press_cool, like.id, name),
            cool_to_end=_copied(k.cool_to_end, like.id, name),
            by_warmth=_copied(k.by_warmth, like.id, name),
            warming=_copied(k.warming, like.id, name),
            rest=_copied(k.rest, like.id, name),
            dry=_copied(k.dry, like.id, name),
        )
        for key, k in {s.kind.key: s.kind for s in week.sheets}.items()
    }
    more = replace(
        week,
        sites={**week.sites, name: other},
        heat_up={**week.heat_up, **{(name, t): m for (p, t), m in week.heat_up.items() if p == like.id}},
        changes={
            **week.changes,
            **{(name, a, b): m for (p, a, b), m in week.changes.items() if p == like.id},
        },
        ramps={**week.ramps, **{(name, a, b): m for (p, a, b), m in week.ramps.items() if p == like.id}},
        heat_cost={
            **week.heat_cost,
            **({name: week.heat_cost[like.id]} if like.id in week.heat_cost else {}),
        },
    )
    return _with_kinds(more, changed)


def _copied(many: Mapping[str, Any], of: str, name: str) -> dict[str, Any]:
    return {**many, **({name: many[of]} if of in many else {})}
