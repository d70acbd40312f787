"""The question of `flatstock outlay` answered: everything worked out once, for the document and the prints."""

from __future__ import annotations

from dataclasses import dataclass

from flatstock.starting.outlay.chain import Chain, Delay, chain, delays
from flatstock.starting.outlay.check import faults
from flatstock.starting.outlay.follow import CENT, Month, first_sale, follow
from flatstock.starting.outlay.nexts import Next, base_names, nexts
from flatstock.starting.outlay.question import Question
from flatstock.starting.outlay.risk import RUNS, SEED, Risk, risk
from flatstock.starting.outlay.settled import too_late
from flatstock.starting.outlay.stage import Staged, can_sell, stage
from flatstock.starting.outlay.team import CYCLE, PRESENCE, Team, team, with_presence
from flatstock.starting.outlay.worth import Bar, break_even, npv, tornado

__all__ = ["Answer", "answer"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """All that is worked out about one outlay."""

    question: Question
    staged: Staged
    orders: dict[str, int]  #: of the plan; empty where nothing is bought, or no plan works
    months: list[Month]
    refused: str | None
    first_sale: int | None
    break_even: float | None
    npv: float
    nexts: list[Next]
    chain: Chain | None
    delays: list[Delay]
    tornado: list[Bar]
    risk: Risk
    team: Team | None
    warnings: list[str]

    @property
    def lowest(self) -> float:
        """Least cash, after paying or at a month's end."""
        return min(min(one.paid_to, one.end) for one in self.months)


def answer(question: Question, *, runs: int = RUNS, seed: int = SEED) -> Answer:
    """The best plan, what it is worth, and what it rests on. Every plan is judged before it is shown."""
    question = with_presence(question)
    staged = stage(question)
    orders = staged.orders or {}
    if staged.orders is not None and (wrong := faults(question, orders, cash_end=staged.cash_end)):
        raise AssertionError(" ".join(wrong))
    months = follow(question, orders)
    refused = _refused(question, staged)
    return Answer(
        question=question,
        staged=staged,
        orders=orders,
        months=months,
        refused=refused,
        first_sale=first_sale(months),
        break_even=break_even(question),
        npv=npv(question, orders),
        nexts=nexts(question),
        chain=chain(question, orders),
        delays=delays(question, orders),
        tornado=tornado(question, orders),
        risk=risk(question, orders, runs=runs, seed=seed),
        team=team(question),
        warnings=_warnings(question, staged, months),
    )


def _refused(question: Question, staged: Staged) -> str | None:
    """Why no order of these purchases works; None where one does, even if buying nothing leaves more."""
    if not question.two_hands:
        return "Hot work needs two people who may do it, present on the same day; the people named never are."
    if staged.orders or question.margin <= 0 or not question.required:
        return None if staged.orders is not None else _stands_still(question)
    needed = [question.by_id[name] for name in base_names(question)]
    cost, have = sum(one.cost for one in needed), question.cash + question.overdraft
    slow, dear = max(needed, key=lambda one: one.lead), max(needed, key=lambda one: one.cost)
    if cost > have + CENT:
        return (
            f"What is needed to press and sell costs {_money(cost)}, cash and overdraft are {_money(have)}:"
            f" {_money(cost - have)} short; {dear.id} alone costs {_money(dear.cost)}."
        )
    if slow.required and slow.lead >= question.months:
        return f"{slow.id} takes {slow.lead} months to arrive; the plan looks at {question.months}."
    if can_sell(question) is False:
        return (
            f"Every order that would press and sell runs out of cash: what is needed costs {_money(cost)} of"
            f" {_money(have)}, and {_money(question.fixed)} a month run on until sheets are sold, from month"
            f" {slow.lead} at the earliest."
        )
    return None if staged.orders is not None else _stands_still(question)


def _stands_still(question: Question) -> str:
    """No plan at all keeps its cash, not even buying nothing."""
    months = follow(question, {})
    under = (one.month for one in months if min(one.paid_to, one.end) < -question.overdraft - CENT)
    return (
        f"Fixed costs of {_money(question.fixed)} a month leave too little: every order runs out of cash, and buying"
        f" nothing does in month {next(under, question.months)}."
    )


def _money(value: float, decimals: int = 0) -> str:
    return f"{value:,.{decimals}f}".replace(",", " ")


def _warnings(question: Question, staged: Staged, months: list[Month]) -> list[str]:
    found = []
    if staged.status == "feasible" and staged.bound is not None and staged.cash_end is not None:
        found.append(
            f"Stopped before the proof was complete: no plan leaves more than {_money(staged.bound, 2)}, this one"
            f" {_money(staged.cash_end, 2)}."
        )
    if question.margin <= 0:
        found.append(
            f"A sheet made costs {question.variable:g} and brings {question.yield_ * question.price:g}:"
            " every sheet loses."
        )
    if staged.orders == {} and question.purchases:
        found.append(
            "Buying nothing leaves most cash at the horizon: this does not pay within it, or can't be paid."
        )
    crew = team(question)
    most = max((one.made for one in months), default=0.0) / question.weeks
    counted = crew is not None and question.have.get(PRESENCE) == round(crew.by_presence, 6)
    if crew is not None and counted:
        found.append(
            f"Two people for hot work are there on {crew.days_of_two:g} days a week, for about"
            f" {crew.by_presence:.0f} sheets (a sheet in {CYCLE:g} min, common practice, no source): that is counted as"
            f" the resource {PRESENCE}. Name it under resources and have to go by a figure of your own."
        )
    elif crew is not None and 0 < crew.by_presence < most:
        found.append(
            f"The plan makes up to {most:.0f} sheets a week; two people for hot work are there for about"
            f" {crew.by_presence:.0f} ({crew.days_of_two:g} days). The resource people should say so."
        )
    if crew is not None and 0 < crew.by_minutes < most:
        found.append(
            f"Their minutes allow about {crew.by_minutes:.0f} sheets a week, the plan makes up to {most:.0f}."
        )
    open_ = [one for one in question.checks if not one.done]
    if open_:
        found.append(f"{len(open_)} of {len(question.checks)} things that must be settled first are open.")
    found += too_late(question, staged.orders or {}, months)
    if question.measured is None or not question.measured.weeks:
        found.append(
            "Capacities are as typed; `flatstock outlay --measured` plans weeks with and without what can be bought,"
            " and those go before them."
        )
    return found
