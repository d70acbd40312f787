"""A week as one model: every sheet's variables, what the floor allows, and the sums that are sought."""

from __future__ import annotations

from collections.abc import Mapping

from flatstock.planning.problem.schedule import Run, Schedule
from flatstock.planning.problem.warmth import plates_of
from flatstock.planning.problem.week import Week
from flatstock.planning.solve.beside import add_beside
from flatstock.planning.solve.chains import Chain, Hands, Starts, chain_of
from flatstock.planning.solve.cpsat import Answer, Model, Var, new_model
from flatstock.planning.solve.floor import add_floor
from flatstock.planning.solve.ground import Heated
from flatstock.planning.solve.seats import seated

__all__ = ["SOONER", "WeekModel"]

LONGEST_LATE = 100_000  #: minutes: a sheet that is left out counts as this late
WATT_HOURS = 1000
#: parts of a Wh, one of which a press pays for each stay that it might have been heated sooner
SOONER = 10_000


class WeekModel:
    """The week's variables, and the sums that are sought."""

    def __init__(self, week: Week) -> None:
        self.week, self.m = week, new_model()
        self.chains: list[Chain] = []
        hands: list[Hands] = []
        plates, starts = plates_of(week), Starts(week)
        for sheet in week.sheets:
            chain, work = chain_of(self.m, week, sheet, plates, starts)
            self.chains.append(chain)
            hands += work
        self.hands = hands
        #: sheets that nothing tells apart go in the order of their numbers: a search of the whole is quicker so
        self.tidy: Var = self.m.new_bool_var("tidy")
        self.heated: Heated = add_floor(self.m, week, self.chains, hands, plates, self.tidy)
        overs = [chain.over for chain in self.chains if chain.over is not None]
        #: minutes that moulds stay hot past their latest; None: none is in a press that has one
        self.over_latest: Var | None = sum(overs) if overs else None
        self.late_sheets, self.late_minutes = self._lateness()
        self.unfinished = self._unfinished()
        self.energy = self._energy()
        #: the same in parts, of which there are `SOONER` to a Wh: of plans that heat for as much the one that heats in
        #: the first stays has least
        self.energy_soonest: Var = SOONER * self.energy + sum(
            k * used for (_, k), (_, _, used) in self.heated.items()
        )
        self.own = len(self.m.proto.variables)  #: variables that any search of such a week has
        add_beside(self.m, week, self.chains, plates)
        self.before: Mapping[str, Run] = {}  #: a plan that this one is to be like
        self.moved_minutes: Var | None = None  #: from it

    def _lateness(self) -> tuple[Var, Var]:
        m, week = self.m, self.week
        late, minutes = [], []
        for chain in self.chains:
            due = chain.sheet.due
            if due is None:
                continue
            is_late = m.new_bool_var(f"{chain.sheet.id} late")
            by = m.new_int_var(0, LONGEST_LATE, f"{chain.sheet.id} late by")
            m.add(chain.ready <= due).only_enforce_if([~is_late, chain.on])
            m.add(by >= chain.ready - due).only_enforce_if(chain.on)
            if due <= week.end + chain.sheet.condition:
                m.add(is_late == 1).only_enforce_if(~chain.on)
                m.add(by >= week.end + chain.sheet.condition - due + 24 * 60).only_enforce_if(~chain.on)
            late.append(is_late)
            minutes.append(by)
        return sum(late), sum(minutes)

    def _unfinished(self) -> Var:
        """Sheets that are not out of their mould, and sawn, by closing; left out, see `Week.counts_left_out`."""
        m, left, more = self.m, [], self.week.counts_left_out - 1
        for chain in self.chains:
            if chain.sheet.lost:
                continue
            over = m.new_bool_var(f"{chain.sheet.id} after closing")
            m.add_implication(~chain.on, over)
            m.add(chain.ready - chain.sheet.condition <= self.week.closing).only_enforce_if([~over, chain.on])
            left.append(over + more * (1 - chain.on) if more else over)
        return sum(left)

    def _energy(self) -> Var:
        """Of heating up and holding [Wh]; what the sheets take in is the same in every plan."""
        total = []
        for (press, _), (start, end, used) in self.heated.items():
            up, hold = self.week.heat_cost[press]
            total.append(round(up * WATT_HOURS) * used)
            total.append(round(hold * WATT_HOURS / 60) * (end - start))
        return sum(total)

    def tidied(self) -> Model:
        """The model as it stands now, sheets alike in the order of their numbers."""
        whole = self.m.clone()
        whole.add(self.tidy == 1)
        return whole

    def last_ready(self, sheets: frozenset[str]) -> Var:
        """When the last of these is ready; all of them are pressed."""
        last = self.m.new_int_var(self.week.start, self.week.end + LONGEST_LATE, "all are ready")
        for chain in self.chains:
            if chain.sheet.id in sheets:
                self.m.add(chain.on == 1)
                self.m.add(last >= chain.ready)
        return last

    def moved(self, before: Mapping[str, Run]) -> Var:
        """Minutes that steps which haven't begun are shifted from an earlier plan, sooner or later, summed."""
        m, total = self.m, []
        for chain in self.chains:
            run = before.get(chain.sheet.id)
            if run is None:
                continue
            pairs = [
                ("weigh", chain.weigh, run.weigh),
                ("prepare", chain.prepare, run.prepare),
                ("load", chain.load, run.load),
                ("transfer", chain.transfer, run.transfer),
                ("move", chain.leave, run.leave),
                ("demould", chain.demould, run.demould),
            ]
            if chain.trim is not None and run.trim is not None:
                pairs.append(("trim", chain.trim, run.trim))
            for step, start, was in pairs:
                if chain.begun(step):
                    continue
                by = m.new_int_var(0, LONGEST_LATE, f"{step} of {chain.sheet.id} moved by")
                m.add(by >= start - was).only_enforce_if(chain.on)
                m.add(by >= was - start).only_enforce_if(chain.on)
                total.append(by)
        self.before, self.moved_minutes = before, sum(total)
        return self.moved_minutes

    def schedule(self, answer: Answer) -> Schedule:
        """What was found, as runs."""
        runs = {c.sheet.id: _run(self.week, c, answer) for c in self.chains if answer(c.on)}
        heated: dict[str, list[tuple[int, int]]] = {
            press: [(span.start, span.end) for span in spans if span != self.week.on_now(press)]
            for press, spans in self.week.hot.items()
        }
        for (press, _), (start, end, used) in self.heated.items():
            if answer(used) and answer(end) > answer(start):
                heated.setdefault(press, []).append((answer(start), answer(end)))
        return Schedule(
            runs=seated(self.week, runs),
            heated={press: tuple(sorted(spans)) for press, spans in heated.items()},
        )


def _picked(answer: Answer, choice: dict[str, Var]) -> str | None:
    return next((place for place, literal in choice.items() if answer(literal)), None)


def _run(week: Week, c: Chain, answer: Answer) -> Run:
    lift = week.lift_for(c.sheet.kind.mould_mass)
    press, cooling = _picked(answer, c.press), _picked(answer, c.cooling)
    assert press is not None
    assert cooling is not None
    return Run(
        sheet=c.sheet.id,
        press=press,
        cooling=cooling,
        weigh=answer(c.weigh),
        scale=week.scale_for(c.sheet.kind.charge).id,
        prepare=answer(c.prepare),
        bench="",
        load=answer(c.load),
        transfer=answer(c.transfer),
        leave=answer(c.leave),
        stay=_picked(answer, c.stay),
        demould=answer(c.demould),
        demould_at=lift.id if lift else "",
        trim=None if c.trim is None else answer(c.trim),
        saw=None,
        ready=answer(c.ready),
        dry=None if c.dry is None else answer(c.dry),
        dryer=_picked(answer, c.dryer),
    )
