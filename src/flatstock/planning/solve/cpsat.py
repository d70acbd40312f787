"""The one door to OR-Tools' CP-SAT."""

from __future__ import annotations

import os
import time
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from flatstock.planning.problem.clock import Span
from flatstock.planning.solve.or_tools import cp_model
from flatstock.planning.solve.outside import NeverStarted, Tell, helper

__all__ = [
    "Answer",
    "Model",
    "Search",
    "Settings",
    "Var",
    "completed",
    "domain",
    "evaluate",
    "improve",
    "model_of",
    "new_model",
    "plain",
]

Var = Any  # OR-Tools' variables and expressions carry no types worth naming
Model = cp_model.CpModel
WORKERS = max(
    2, min(8, os.cpu_count() or 2)
)  #: one a core: more of them share the cores and find plans later
PATIENT = 100  #: times its own count of seconds that a repeatable search may take by the clock


@dataclass(frozen=True, slots=True)
class Answer:
    """How one search ended. `values`: by index of variable; None where nothing was found."""

    status: str  #: "optimal", "feasible", "impossible" or "unknown"
    values: Sequence[int] | None
    value: float | None
    bound: float | None
    seconds: float
    stopped: bool = False  #: somebody asked for it

    def __call__(self, var: Var) -> int:
        """A variable's value."""
        assert self.values is not None
        return int(self.values[var.index]) if hasattr(var, "index") else int(var)


def plain(values: Sequence[int]) -> Answer:
    """A plan that is known to fit, of which no search has said how good it is."""
    return Answer("feasible", values, None, None, 0.0)


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


def completed(
    model: Model,
    held: Sequence[tuple[Var, int, int]],
    *,
    seconds: float,
    hint: Sequence[int] = (),
    gap: float = 0.0,
) -> list[int] | None:
    """Values of all variables where some lie between a least and a most value; None where none are found soon.

    What the model minimises is minimised as far as that leaves it open. `hint`: values that are known to fit.
    `gap`: of what is minimised, the share that may be left of it.
    """
    held_model = model.clone()
    held_model.clear_hints()  # type: ignore[no-untyped-call]  # OR-Tools gives it no types
    for index, value in enumerate(hint):
        held_model.add_hint(held_model.get_int_var_from_proto_index(index), value)
    for var, least, most in held:
        held_model.add_linear_constraint(held_model.get_int_var_from_proto_index(var.index), least, most)
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.relative_gap_limit = gap
    solver.parameters.num_workers = 1
    solver.parameters.catch_sigint_signal = False
    solver.parameters.random_seed = 1
    if solver.solve(held_model) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    return list(solver.response_proto.solution)


class _Watch(cp_model.CpSolverSolutionCallback):
    def __init__(self, tell: Tell) -> None:
        super().__init__()
        self._tell = tell

    def on_solution_callback(self) -> None:
        values = list(self.response_proto.solution)
        if self._tell(values, self.objective_value, self.best_objective_bound):
            self.stop_search()


@dataclass(frozen=True, slots=True)
class Settings:
    """How to search."""

    seconds: float
    repair: bool = False  #: the hint is known not to fit and is to be mended first
    repeatable: bool = False  #: the same plan each time: time is counted in the solver's own steps
    workers: int = WORKERS
    seed: int = 1


class Search:
    """One search of one model; it may be stopped from another thread."""

    def __init__(self, model: Model, settings: Settings) -> None:
        self.model, self.solver, self.stopped = model, cp_model.CpSolver(), False
        told = self.solver.parameters
        told.num_workers = 1 if settings.repeatable else settings.workers
        told.random_seed = settings.seed
        told.catch_sigint_signal = False  # it would leave Ctrl-C to end the process from then on
        told.repair_hint = settings.repair
        told.max_time_in_seconds = max(0.05, settings.seconds)
        if settings.repeatable:
            # several workers in turns count hardly any time of their own: the clock ended them
            told.max_deterministic_time = settings.seconds
            told.max_time_in_seconds = PATIENT * settings.seconds

    def stop(self) -> None:
        """Come to an end with what there is."""
        self.stopped = True
        self.solver.stop_search()

    def run(self, tell: Tell) -> Answer:
        """Search; `tell` hears of every solution and says whether to stop."""
        status = self.solver.solve(self.model, _Watch(lambda *found: tell(*found) or self.stopped))
        words = {
            cp_model.OPTIMAL: "optimal",
            cp_model.FEASIBLE: "feasible",
            cp_model.INFEASIBLE: "impossible",
        }
        said = words.get(status, "unknown")
        found = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
        goal = self.model.has_objective()
        return Answer(
            status=said,
            values=list(self.solver.response_proto.solution) if found else None,
            value=self.solver.objective_value if found and goal else None,
            bound=self.solver.best_objective_bound if goal and said != "impossible" else None,
            seconds=self.solver.wall_time,
        )


def model_of(text: str) -> Model:
    """A model from its text, `str(model.proto)`."""
    model = new_model()
    model.proto.parse_text_format(text)
    return model


def improve(
    model: Model,
    *,
    seconds: float,
    hint: Sequence[int] | None = None,
    tell: Tell | None = None,
    repair: bool = False,
    repeatable: bool = False,
    workers: int = WORKERS,
) -> Answer:
    """Search in a process of its own for `seconds`; `tell` hears of every solution and says whether to stop.

    Ctrl-C, or the end of that process, gives the best there was until then. `repair`: the hint is known not to
    fit and is to be mended first.
    """
    model.clear_hints()  # type: ignore[no-untyped-call]  # OR-Tools gives it no types
    # the same week with other durations may have fewer variables: then the hint says nothing of this one
    if hint and len(hint) == len(model.proto.variables):
        for index, value in enumerate(hint):
            model.add_hint(model.get_int_var_from_proto_index(index), value)
    last: list[tuple[Sequence[int], float, float]] = []
    began = time.monotonic()
    text = str(model.proto)
    written = 0.0 if repeatable else 2 * (time.monotonic() - began)  # it takes as long to be read
    settings = Settings(max(0.05, seconds - written), repair, repeatable, workers)

    def heard(values: Sequence[int], value: float, bound: float) -> bool:
        last[:] = [(values, value, bound)]
        return tell is not None and tell(values, value, bound)

    process = helper()
    try:
        answer = None if process is None else process.solve(text, settings, heard)
    except NeverStarted:
        process = None
    if process is None:
        return Search(model, settings).run(heard)
    if isinstance(answer, Answer):
        return replace(answer, stopped=process.stopped)
    spent = time.monotonic() - began
    if not last:
        return Answer("unknown", None, None, None, spent, process.stopped)
    return Answer("feasible", *last[0], spent, process.stopped)
