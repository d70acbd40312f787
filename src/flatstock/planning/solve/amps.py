"""On no phase more than the connection is rated for, whatever is on at once."""

from __future__ import annotations

from flatstock.planning.problem.too_much import HEATERS, too_much
from flatstock.planning.solve.cpsat import Var
from flatstock.planning.solve.ground import Ground

__all__ = ["add_supply"]


BEGINS = {
    "dwell": "load",
    "press_cool": "transfer",
    "rack": "move",
    "stack": "move",
}  #: begun with the step before
#: whichever of a set comes first here gives way to the others: the saw can wait, a dwell can't
GIVES_WAY = (
    "trim",
    "dry",
    "weigh",
    "prepare",
    "demould",
    "move",
    "rack",
    "stack",
    "press_cool",
    "load",
    "transfer",
)
Stretch = tuple[Var, Var, Var, bool]  #: start, end, use, and whether it has begun


def add_supply(floor: Ground) -> None:
    """On no phase more than the connection is rated for, whatever is on at once.

    What can be on together is settled by kinds of step: kinds whose loads add up to more than the rating on a
    phase, where no fewer of them do, must not all run at once. Of such a set each step of the kind that gives way
    keeps clear of one of the other kinds, of whichever is best for it.
    """
    if floor.week.rated is None:
        return
    clear = _Clear(floor)
    for together in too_much(floor.week):
        gives_way, *others = sorted(together, key=_rank)
        for n, one in enumerate(clear.of(gives_way)):
            if not others:
                if not one[3]:
                    floor.m.add(one[2] == 0)  # it overloads by itself
            elif len(others) == 1:
                clear.keep((gives_way, n), others[0], None)
            else:
                ways = [clear.chosen((gives_way, n), other) for other in others]
                floor.m.add_bool_or([*ways, *([] if one[3] else [~one[2]])])


def _rank(kind: str) -> tuple[int, str]:
    return (GIVES_WAY.index(kind) if kind in GIVES_WAY else len(GIVES_WAY), kind)


class _Clear:
    """Which step keeps clear of every step of which kind."""

    def __init__(self, floor: Ground) -> None:
        self.floor = floor
        self.spans: dict[str, list[Stretch]] = {}
        self.kept: dict[tuple[str, int, str], Var] = {}

    def of(self, kind: str) -> list[Stretch]:
        """Every step, or heated stretch, of a kind."""
        if kind not in self.spans:
            self.spans[kind] = _spans(self.floor, kind)
        return self.spans[kind]

    def chosen(self, step: tuple[str, int], kind: str) -> Var:
        """Whether one step keeps clear of all of a kind."""
        if (*step, kind) not in self.kept:
            literal = self.floor.m.new_bool_var(f"{step[0]} {step[1]} clear of {kind}")
            self.kept[*step, kind] = literal
            self.keep(step, kind, literal)
        return self.kept[*step, kind]

    def keep(self, step: tuple[str, int], kind: str, chosen: Var | None) -> None:
        """It does, always or where that is chosen."""
        m = self.floor.m
        a_start, a_end, a_on, a_begun = self.of(step[0])[step[1]]
        where = [] if chosen is None else [chosen]
        for b_start, b_end, b_on, b_begun in self.of(kind):
            if a_begun and b_begun:
                continue
            first = m.new_bool_var("first")
            m.add(a_end <= b_start).only_enforce_if([first, a_on, b_on, *where])
            m.add(b_end <= a_start).only_enforce_if([~first, a_on, b_on, *where])


def _spans(floor: Ground, kind: str) -> list[Stretch]:
    """Every step of a kind; for heaters the stretch in which a setting of that kind can lie."""
    t = floor.week.times
    if kind in HEATERS:
        return _heaters(floor, kind)
    found: list[Stretch] = []
    if kind == "dry":
        return [
            (c.dry, c.dry + minutes, c.dryer[place], False)
            for c in floor.chains
            if c.dry is not None
            for place, minutes in c.sheet.to_dry.items()
        ]
    for c in floor.chains:
        ways: dict[str, tuple[Var, Var, Var] | None] = {
            "weigh": (c.weigh, c.weighed, c.on),
            "prepare": (c.prepare, c.prepare + t.prepare, c.on),
            "load": (c.load, c.loaded, c.on),
            "dwell": (c.loaded, c.transfer, c.on),
            "transfer": (c.transfer, c.clamped, c.on),
            "press_cool": (c.clamped, c.leave, c.on),
            "move": (c.leave, c.leave + t.move, c.moving),
            "demould": (c.demould, c.free, c.on),
            "trim": None if c.trim is None else (c.trim, c.trimmed, c.on),
        }
        begun = c.begun(BEGINS.get(kind, kind))
        if kind in ("rack", "stack"):
            stays = [on for place, on in c.stay.items() if floor.week.sites[place].kind == kind]
            found += [(c.leave + t.move, c.demould, on, begun) for on in stays]
        elif (way := ways.get(kind)) is not None:
            found.append((*way, begun))
    return found


def _heaters(floor: Ground, kind: str) -> list[Stretch]:
    """From heat-up to off; of a heat-up or a soak alone the minutes in which it can lie, whatever the set-point."""
    week, found = floor.week, []
    since = {(p, one.number): one.span.start for p, listed in floor.stretches.items() for one in listed}
    for (press, k), (start, end, used) in floor.heated.items():
        ups = [minutes for (p, _), minutes in week.heat_up.items() if p == press]
        shortest, longest = min(ups, default=0), max(ups, default=0)
        begun = since[press, k] < week.now and floor.week.on_now(press) is not None
        stretch = {
            "heat_up": (start, start + longest),
            "soak": (start + shortest, start + longest + week.times.soak),
        }.get(kind, (start, end))
        found.append((*stretch, used, begun))
    return found
