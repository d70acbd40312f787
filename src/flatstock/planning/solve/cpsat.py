"""The one door to OR-Tools' CP-SAT."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from ortools.sat.python import cp_model

from flatstock.planning.problem.clock import Span

__all__ = ["Answer", "Model", "Var", "domain", "evaluate", "improve", "new_model"]

Var = Any  # OR-Tools' variables and expressions carry no types worth naming
Model = cp_model.CpModel
WORKERS = max(
    2, min(8, os.cpu_count() or 2)
)  #: one a core: more of them share the cores and find plans later


@dataclass(frozen=True, slots=True)
class Answer:
    """How one search ended. `values`: by index of variable; None where nothing was found."""

    status: str  #: "optimal", "feasible", "impossible" or "unknown"
    values: Sequence[int] | None
    value: float | None
    bound: float | None
    seconds: float

    def __call__(self, var: Var) -> int:
        """A variable's value."""
        assert self.values is not None
        return int(self.values[var.index]) if hasattr(var, "index") else int(var)


def new_model() -> Model:
    """An empty model."""
    return cp_model.CpModel()


def domain(spans: Sequence[Span]) -> Any:
    """Integers in these spans, their ends included."""
    return cp_model.Domain.from_intervals([[span.start, span.end] for span in spans])


def evaluate(total: Var, answer: Answer) -> float:
    """A sum's value in an answer; a sum of nothing is a plain number."""
    if isinstance(total, int):
        return float(total)
    flat = cp_model.FlatIntExpr(total)
    parts = zip(flat.vars, flat.coeffs, strict=True)
    return float(sum(coefficient * answer(var) for var, coefficient in parts) + flat.offset)


class _Watch(cp_model.CpSolverSolutionCallback):
    def __init__(self, tell: Callable[[Sequence[int], float, float], bool]) -> None:
        super().__init__()
        self._tell = tell

    def on_solution_callback(self) -> None:
        values = list(self.response_proto.solution)
        if self._tell(values, self.objective_value, self.best_objective_bound):
            self.stop_search()


def improve(
    model: Model,
    *,
    seconds: float,
    hint: Sequence[int] | None = None,
    tell: Callable[[Sequence[int], float, float], bool] | None = None,
    repair: bool = False,
    repeatable: bool = False,
) -> Answer:
    """Search for `seconds`; `tell` hears of every solution and says whether to stop.

    `repair`: the hint is known not to fit and is to be mended first.
    """
    model.clear_hints()  # type: ignore[no-untyped-call]  # OR-Tools gives it no types
    if hint:
        for index, value in enumerate(hint):
            model.add_hint(model.get_int_var_from_proto_index(index), value)
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = max(0.05, seconds)
    solver.parameters.num_workers = WORKERS
    solver.parameters.interleave_search = repeatable
    solver.parameters.repair_hint = repair
    if repeatable:
        solver.parameters.max_deterministic_time = seconds
    solver.parameters.random_seed = 1
    watch = _Watch(tell) if tell is not None else None
    status = solver.solve(model, watch) if watch is not None else solver.solve(model)
    words = {
        cp_model.OPTIMAL: "optimal",
        cp_model.FEASIBLE: "feasible",
        cp_model.INFEASIBLE: "impossible",
    }
    said = words.get(status, "unknown")
    found = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    goal = model.has_objective()
    return Answer(
        status=said,
        values=list(solver.response_proto.solution) if found else None,
        value=solver.objective_value if found and goal else None,
        bound=solver.best_objective_bound if goal and said != "impossible" else None,
        seconds=solver.wall_time,
    )
