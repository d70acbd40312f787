"""Walks between the zones of a plan, and the ways out: which there are, and how long they are.

Model: formats of `flatstock.room/1` and the floor-plan problem it states. F(w) is the set of middles of an
axis-parallel open square of side w that meets no wall, item or column. A standing place is the middle of a work or
service zone; it must lie in F(access or service width), and a walk in there must come, within the narrow limit, to
a place of F(escape width) from which a walk in F(escape width) leads to an exit: a square in the room, against the
opening, within its clear width.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from flatstock.starting.room.lines import (
    FAR,
    Free,
    Ints,
    around,
    distances,
    free_for,
    lines_for,
    path_back,
    straightened,
)
from flatstock.starting.room.question import Item, Placement, Question, Zone
from flatstock.starting.room.rectangles import Rect
from flatstock.starting.room.walls import exit_squares, outside

__all__ = ["WayOut", "Ways", "solids_of"]

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class WayOut:
    """The shortest way out of a zone that keeps to the widths."""

    exit: str | None  #: the door; None: there is no way
    walk_mm: int | None  #: to the middle of a square against the opening
    narrow_mm: (
        int | None
    )  #: the least that must be walked before the way is as wide as a way out; None: never


def solids_of(question: Question, placements: Mapping[str, Placement]) -> list[Rect]:
    """Everything that nothing can go through: walls, columns, items."""
    room = question.room
    boxes = [item.footprint(placements[item.id]) for item in question.items if item.id in placements]
    return [*boxes, *(column.box for column in room.columns), *outside(room), *around(room.bounds)]


class Ways:
    """Walks and ways out of one plan; each is worked out once, when it is first asked for."""

    def __init__(self, question: Question, placements: Mapping[str, Placement]) -> None:
        self._question = question
        self._solids = solids_of(question, placements)
        self._zones: dict[str, tuple[Zone, Rect]] = {}
        for item in question.items:
            if item.id in placements:
                self._zones |= _zones(item, placements[item.id])
        rules = question.rules
        self._exits = exit_squares(question.room, rules)
        wide = rules.escape_width_mm
        ends = [p for _, strip in self._exits for p in _ends(strip, wide)]
        widths = (rules.access_width_mm, rules.service_width_mm, wide)
        points = [rect.centre_twice for _, rect in self._zones.values()]
        self._lines = lines_for(
            self._solids, [(w, w) for w in widths], [*points, *ends], question.room.bounds
        )
        self._order = {name: n for n, name in enumerate(self._zones)}

    def stands(self, zone: str) -> bool:
        """True where a square of the zone's width fits at its middle."""
        of, rect = self._zones[zone]
        return self._in_room(rect) and bool(self._free(self._width(of)).node[self._node(zone)])

    def walk_mm(self, start: str, end: str) -> int | None:
        """The shortest walk of the access-width square between two zones' middles; None: there is none."""
        if not self._can_walk(start, end):
            return None
        walk = int(self._walks[self._order[start]][self._node(end)])
        return None if walk >= FAR else (walk + 1) // 2

    def path_mm(self, start: str, end: str) -> list[Point]:
        """The corners of such a walk; empty where there is none."""
        if not self._can_walk(start, end):
            return []
        walks = self._walks[self._order[start]]
        corners = path_back(
            self._lines, self._free(self._question.rules.access_width_mm), walks, self._node(end)
        )
        return [(x / 2, y / 2) for x, y in corners]

    def out(self, zone: str) -> WayOut:
        """The shortest way out of a zone within the narrow limit."""
        if not self.stands(zone):
            return WayOut(None, None, None)
        leads_out = (self._to_exits < FAR).any(axis=0)
        least = int(np.where(leads_out, self._narrow(zone), FAR).min())
        if least >= FAR:
            return WayOut(None, None, None)
        best, walk, _ = self._best(zone)
        if walk >= FAR:
            return WayOut(None, None, (least + 1) // 2)
        return WayOut(self._exits[best][0].id, (walk + 1) // 2, (least + 1) // 2)

    def out_path_mm(self, zone: str) -> list[Point]:
        """The corners of the shortest way out from the zone's middle; empty where there is none."""
        if self.out(zone).walk_mm is None:
            return []
        best, _, meet = self._best(zone)
        narrow = self._free(self._width(self._zones[zone][0]))
        wide = self._free(self._question.rules.escape_width_mm)
        there = path_back(self._lines, narrow, self._narrow(zone), meet)
        on = path_back(self._lines, wide, self._to_exits[best], meet)[::-1]
        return straightened((x / 2, y / 2) for x, y in (*there, *on))

    def _best(self, zone: str) -> tuple[int, int, tuple[int, int]]:
        """Which exit, how far [half mm], and the crossing from which on the way is wide."""
        narrow = self._narrow(zone)
        within = np.where(narrow <= 2 * self._question.rules.narrow_longest_mm, narrow, FAR)
        totals = self._to_exits + within
        best, i, j = (int(n) for n in np.unravel_index(int(totals.argmin()), totals.shape))
        return best, int(totals[best, i, j]), (i, j)

    @cached_property
    def _maps(self) -> dict[int, Free]:
        return {}

    def _free(self, width: int) -> Free:
        if width not in self._maps:
            self._maps[width] = free_for(self._lines, self._solids, width, width)
        return self._maps[width]

    @cached_property
    def _walks(self) -> Ints:
        """From every zone's middle, at access width; (zones, nx, ny)."""
        return self._from_zones(list(self._zones), self._question.rules.access_width_mm)

    @cached_property
    def _service(self) -> dict[str, Ints]:
        names = [name for name, (zone, _) in self._zones.items() if zone.kind == "service"]
        found = self._from_zones(names, self._question.rules.service_width_mm)
        return dict(zip(names, found, strict=True))

    @cached_property
    def _to_exits(self) -> Ints:
        """From every exit, at the width of a way out; (exits, nx, ny)."""
        wide = self._question.rules.escape_width_mm
        free = self._free(wide)
        starts = np.full((max(len(self._exits), 1), *free.node.shape), FAR, dtype=np.int64)
        for layer, (_, strip) in zip(starts, self._exits, strict=False):
            low, high = _ends(strip, wide)
            here = self._lines.within(low, high)
            layer[here] = np.where(free.node[here], 0, FAR)
        return distances(self._lines, free, starts)

    def _narrow(self, name: str) -> Ints:
        """From a zone's middle at its own width."""
        if self._width(self._zones[name][0]) == self._question.rules.access_width_mm:
            walks: Ints = self._walks[self._order[name]]
            return walks
        return self._service[name]

    def _from_zones(self, names: list[str], width: int) -> Ints:
        free = self._free(width)
        starts = np.full((len(names), *free.node.shape), FAR, dtype=np.int64)
        for layer, name in zip(starts, names, strict=True):
            if self._in_room(self._zones[name][1]) and free.node[self._node(name)]:
                layer[self._node(name)] = 0
        return distances(self._lines, free, starts)

    def _can_walk(self, start: str, end: str) -> bool:
        node = self._free(self._question.rules.access_width_mm).node
        inside = all(self._in_room(self._zones[name][1]) for name in (start, end))
        return inside and bool(node[self._node(start)] and node[self._node(end)])

    def _in_room(self, rect: Rect) -> bool:
        """True where its middle is in the room's bounding box: only there the lines run."""
        (x, y), b = rect.centre_twice, self._question.room.bounds
        return 2 * b.x_mm <= x <= 2 * b.right_mm and 2 * b.y_mm <= y <= 2 * b.top_mm

    def _node(self, zone: str) -> tuple[int, int]:
        return self._lines.node(self._zones[zone][1].centre_twice)

    def _width(self, zone: Zone) -> int:
        rules = self._question.rules
        return rules.service_width_mm if zone.kind == "service" else rules.access_width_mm


def _zones(item: Item, at: Placement) -> dict[str, tuple[Zone, Rect]]:
    return {f"{item.id}.{zone.id}": (zone, item.zone_as_placed(zone, at)) for zone in item.zones}


def _ends(strip: Rect, wide: int) -> tuple[tuple[int, int], tuple[int, int]]:
    """Between which two points the middle of a square of side `wide` lies in the strip [half mm]."""
    low = 2 * strip.x_mm + wide, 2 * strip.y_mm + wide
    return low, (2 * strip.right_mm - wide, 2 * strip.top_mm - wide)
