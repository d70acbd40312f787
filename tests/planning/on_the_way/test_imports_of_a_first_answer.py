"""A first answer of a plan from now on does not wait for the heat model and the records to be imported."""

from __future__ import annotations

import subprocess
import sys


def loaded_by(words: str) -> set[str]:
    asked = f"{words}; import sys; print(*sys.modules, sep='\\n')"
    done = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True)
    return set(done.stdout.split())


def test_what_a_first_answer_needs_brings_neither_the_heat_model_nor_the_records():
    """`flatstock plan --from-now` knows its kinds of sheet from the plan before; importing takes longer than planning."""
    loaded = loaded_by("import flatstock.actions.replans")
    assert "flatstock.planning.problem.build" in loaded
    assert loaded & {"numba", "sqlalchemy", "flatstock.heat.march", "flatstock.pressing.rehearsal"} == set()


def test_its_solver_brings_no_tables_in_and_leaves_them_to_whoever_wants_them():
    """OR-Tools imports pandas, which takes as long as all the rest, for variables in tables that nothing here makes."""
    assert "pandas" not in loaded_by("import flatstock.planning.solve.search")
    assert "pandas.core.frame" in loaded_by(
        "import flatstock.planning.solve.search, pandas; pandas.DataFrame"
    )
