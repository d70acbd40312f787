"""The one door to OR-Tools' CP-SAT for rooms."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from threading import Event, Thread
from typing import Any

from ortools.sat.python import cp_model

__all__ = ["Answer", "Model", "Var", "domain", "new_model", "solve"]

Var = Any  # OR-Tools' variables and expressions carry no types worth naming
Model = cp_model.CpModel
WORKERS = 2
EVERY = 0.1  #: s between two questions whether to stop


@dataclass(frozen=True, slots=True)
class Answer:
    """How one search ended. `values`: by index of variable; None where nothing was found."""

    status: str  #: "optimal", "feasible", "impossible" or "unknown"
    values: Sequence[int] | None
    bound: float | None  #: no solution is below it

    def __call__(self, var: Var) -> int:
        """A variable's value."""
        assert self.values is not None
        return int(self.values[var.index]) if hasattr(var, "index") else int(var)


def new_model() -> Model:
    """An empty model."""
    return cp_model.CpModel()


def domain(numbers: Sequence[int]) -> Any:
    """These whole numbers."""
    return cp_model.Domain.from_values(list(numbers))


def solve(
    model: Model,
    *,
    seconds: float,
    workers: int = WORKERS,
    hint: Sequence[int] | None = None,
    stop: Callable[[], bool] | None = None,
    seed: int = 1,
    shuffled: bool = False,
    lean: bool = False,
    work: float | None = None,
) -> Answer:
    """Solve for at most `seconds`; `stop` is asked ten times a second. `shuffled`: another seed, another answer.

    `work`: at most so many seconds as CP-SAT counts them by what it does, however busy the machine is.

    `lean`: without linear relaxation, symmetries and probing, which take longer than they save where nothing is to
    be made least (measured on the demo's things in rooms of 5.4 to 9.2 m: half to a third of the CPU time).
    """
    model.clear_hints()  # type: ignore[no-untyped-call]  # OR-Tools gives it no types
    for index, value in enumerate(hint or ()):
        model.add_hint(model.get_int_var_from_proto_index(index), value)
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = max(0.05, seconds)
    if work is not None:
        solver.parameters.max_deterministic_time = work
    solver.parameters.num_workers = workers
    solver.parameters.random_seed = seed
    solver.parameters.randomize_search = shuffled
    if lean:
        solver.parameters.linearization_level = 0
        solver.parameters.symmetry_level = 0
        solver.parameters.cp_model_probing_level = 0
    # Ctrl-C is Python's: it ends the search, not only this solve
    solver.parameters.catch_sigint_signal = False
    asking = _Asking(solver, stop) if stop is not None else None
    try:
        status = solver.solve(model)
    finally:
        if asking is not None:
            asking.end()
    words = {
        cp_model.OPTIMAL: "optimal",
        cp_model.FEASIBLE: "feasible",
        cp_model.INFEASIBLE: "impossible",
    }
    said = words.get(status, "unknown")
    found = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    return Answer(
        status=said,
        values=list(solver.response_proto.solution) if found else None,
        bound=solver.best_objective_bound if model.has_objective() and said != "impossible" else None,
    )


class _Asking:
    """Asks whether to stop, now and then, from a thread of its own: the search itself holds no Python."""

    def __init__(self, solver: cp_model.CpSolver, stop: Callable[[], bool]) -> None:
        self._solver, self._stop, self._over = solver, stop, Event()
        self._thread = Thread(target=self._ask)
        self._thread.start()

    def _ask(self) -> None:
        while not self._over.wait(EVERY):
            if self._stop():
                self._solver.stop_search()

    def end(self) -> None:
        self._over.set()
        self._thread.join()
